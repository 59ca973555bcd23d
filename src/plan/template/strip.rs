//! Strips of paper with several faces, and wraps that are cut to the vessel they go round. Part of `plan`.

use super::{Template, TemplatePart};
use crate::find::Finding;
use crate::plan::{OnPiece, Shape};
use crate::product::Package;
use crate::unit::Length;

/// The strip a face is printed on.
#[derive(Debug, Clone)]
pub struct Strip {
    /// Name of the printed piece.
    pub name: String,
    /// Its height, which is that of each face.
    pub height: Length,
    /// Width of this face, where the template fixes it; else it takes an even share of what the others leave.
    pub width: Option<Length>,
    /// Blank strip at the right end: a flap to glue, or what lies under the other end of a wrap.
    pub flap: Length,
    /// For a wrap: the way round the vessel where the template fixes it.
    circumference: Option<Length>,
    round: bool,
    /// Where the face stands on the piece.
    pub on: Option<OnPiece>,
}

/// A face narrower than this holds no text worth reading; house policy.
const LEAST_FACE: Length = Length::mm(20);

impl Strip {
    /// Width of a face that takes what is left, as long as no vessel is known.
    pub(super) const NOMINAL: Length = Length::mm(75);

    /// A strip folded where faces meet.
    pub(super) fn folded(height: Length, flap: Length) -> Self {
        let (name, width, circumference, on) = (String::new(), None, None, None);
        Self { name, height, width, flap, circumference, round: false, on }
    }
    /// A wrap round a vessel.
    pub(super) fn round(height: Length, overlap: Length, circumference: Option<Length>) -> Self {
        Self { circumference, round: true, ..Self::folded(height, overlap) }
    }
    /// One face of it.
    pub(super) fn face(&self, name: &str, width: Option<Length>) -> Self {
        Self { name: name.to_owned(), width, ..self.clone() }
    }
    /// Whether its width follows from the vessel.
    pub(super) const fn goes_round(&self) -> bool {
        self.round
    }
}

/// Puts the faces of one strip side by side.
pub(super) fn place(faces: &mut [TemplatePart]) {
    let width: Length = faces.iter().map(|f| f.shape.width()).sum();
    let mut left = Length::ZERO;
    // A wrap may be longer than its faces.
    let long = faces.iter().filter_map(|f| f.strip.as_ref()?.circumference).fold(width, Ord::max);
    for face in faces {
        let wide = face.shape.width();
        if let Some(strip) = &mut face.strip {
            let shape = Shape::Rectangle { width: long + strip.flap, height: strip.height };
            strip.on = Some(OnPiece { name: strip.name.clone(), shape, left, folded: !strip.round });
        }
        left = left + wide;
    }
}

impl Template {
    /// The template with its wraps cut to the vessel or candle they go round.
    ///
    /// # Errors
    /// When no diameter is known, or the faces do not go round.
    pub fn fitted(&self, container: Option<Package>) -> Result<Self, Finding> {
        let mut fitted = self.clone();
        let same = |a: &TemplatePart, b: &TemplatePart| match (&a.strip, &b.strip) {
            (Some(a), Some(b)) => a.name == b.name,
            _ => false,
        };
        for faces in fitted.parts.chunk_by_mut(same) {
            let Some(strip) = faces.first().and_then(|f| f.strip.clone()).filter(Strip::goes_round) else { continue };
            let around = match (strip.circumference, container) {
                (Some(given), _) => given,
                (None, Some(Package::Round { diameter, .. })) => up(diameter.circumference_rounded_up()),
                (None, _) => return Err(no_diameter(self, &strip, faces)),
            };
            let fixed: Length = faces.iter().filter_map(|f| f.strip.as_ref()?.width).sum();
            let sharing = faces.iter().filter(|f| f.strip.as_ref().is_some_and(|s| s.width.is_none())).count();
            let sharing = i64::try_from(sharing).unwrap_or(i64::MAX);
            let least = fixed + LEAST_FACE * sharing;
            if around < least {
                return Err(too_short(self, &strip, around, least));
            }
            for face in faces.iter_mut() {
                let Some(strip) = &mut face.strip else { continue };
                let width = strip.width.unwrap_or_else(|| (around - fixed) / sharing.max(1));
                face.shape = Shape::Rectangle { width, height: strip.height };
                strip.circumference = Some(around);
            }
            place(faces);
        }
        Ok(fitted)
    }
}

/// To the next tenth of a millimetre, as it can be cut.
fn up(length: Length) -> Length {
    let tenth = Length::um(100).to_raw();
    Length::raw((length.to_raw() + tenth - 1).div_euclid(tenth) * tenth)
}

fn no_diameter(template: &Template, strip: &Strip, faces: &[TemplatePart]) -> Finding {
    let finding = Finding::input(
        "template/no-diameter",
        format!(
            "the part `{}` of the template `{}` goes round the vessel, and no diameter of a vessel or candle is known",
            strip.name, template.name
        ),
        "measure it and add `round: {diameter: 73 mm, wall height: 88 mm}` to the vessel's file, or \
         `circumference: 230 mm` to the wrap in a template of your own",
    );
    let place = faces.first().map_or(&template.place, |f| &f.place);
    finding.at(place, "its first face")
}

fn too_short(template: &Template, strip: &Strip, around: Length, least: Length) -> Finding {
    Finding::input(
        "template/wrap-too-short",
        format!(
            "the faces of `{}` need {}, and the way round the vessel is {}",
            strip.name,
            least.in_mm(1),
            around.in_mm(1)
        ),
        "make its faces narrower in a template of your own, or choose another template",
    )
    .at(&template.place, "this template")
}
