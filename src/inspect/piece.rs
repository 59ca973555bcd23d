//! Faces of a printed piece, each looked at by itself; holes; what stands where nothing may be printed. Part of `inspect`.

use super::ground;
use super::read::LEAST_CONTRAST;
use super::seen::{Area, Mark, Painted, SeenPage};
use crate::find::{Finding, OnPage};
use crate::plan::{Hole, OnPiece, Part, Printed};

/// One face as a page of its own: what lies on it, measured from its upper left corner. What reaches over its edge belongs to
/// the face its middle lies on.
pub fn face(page: &SeenPage, part: &Part, on: &OnPiece) -> SeenPage {
    let (left, width) = (on.left.to_mm_f64(), part.shape.width().to_mm_f64());
    let area = Area { left, top: 0.0, right: left + width, bottom: part.shape.height().to_mm_f64() };
    let mut face = page.within(&area);
    let here = |a: &Area| (0.0..width).contains(&a.middle()[0]);
    face.marks.retain(|m| here(&m.area));
    face.pictures.retain(|p| here(&p.area));
    face
}

/// All ink: boxes of visible letters, dark paths and pictures, with what they are.
fn inks(page: &SeenPage) -> impl Iterator<Item = (Area, Option<&Mark>, String)> {
    let letters = page.glyphs.iter().filter(|g| g.hidden.is_none());
    let letters = letters.filter_map(|g| Some((g.ink?, None, format!("the letter `{}`", g.text))));
    let dark = page.marks.iter().filter(|m| m.contrast >= LEAST_CONTRAST);
    let drawn = dark.map(|m| (m.area, Some(m), "a drawn shape".to_owned()));
    let pictures = page.pictures.iter().map(|p| (p.area, None, "a picture".to_owned()));
    letters.chain(drawn).chain(pictures)
}

fn finding(page: &SeenPage, part: &str, id: &str, at: &Area, message: String, cure: &str) -> Finding {
    let round = |v: f64| (v * 100.0).round() / 100.0;
    let (x_mm, y_mm) = (Some(round(at.left)), Some(round(at.top)));
    Finding::input(id, message, cure).on(OnPage { page: page.number, part: Some(part.to_owned()), x_mm, y_mm })
}

/// Ink on the flap of a piece, on its overlap or wherever no face is.
pub fn stray(page: &SeenPage, sheet: &Printed<'_>) -> Option<Finding> {
    let spans: Vec<(f64, f64)> = sheet
        .faces
        .iter()
        .filter_map(|f| {
            let left = f.piece.as_ref()?.left.to_mm_f64();
            Some((left, left + f.shape.width().to_mm_f64()))
        })
        .collect();
    let outside = |a: &Area| !spans.iter().any(|(from, to)| (*from..*to).contains(&a.middle()[0]));
    let (area, _, what) = inks(page).find(|(a, ..)| !spans.is_empty() && outside(a))?;
    let message = format!("{what} stands on part `{}` where no face is", sheet.name);
    let cure = "leave the flap and the overlap blank: they are glued";
    Some(finding(page, sheet.name, "label/outside-faces", &area, message, cure))
}

/// Ink in a hole or too near to it.
pub fn hole(page: &SeenPage, part: &Part, hole: Hole) -> Option<Finding> {
    let middle = [hole.from_left.to_mm_f64(), hole.from_top.to_mm_f64()];
    let reach = hole.diameter.to_mm_f64() / 2.0 + hole.clear.to_mm_f64() - super::TOLERANCE;
    let off = |a: &Area| {
        let away = |low: f64, high: f64, at: f64| (low - at).max(at - high).max(0.0);
        away(a.left, a.right, middle[0]).hypot(away(a.top, a.bottom, middle[1]))
    };
    let near = |(area, mark, _): &(Area, Option<&Mark>, String)| {
        off(area) < reach && mark.is_none_or(|m| m.distance(middle) < reach && !m.punches(&hole))
    };
    let (area, _, what) = inks(page).find(near)?;
    let message =
        format!("{what} stands in the hole of part `{}` or within {} of its rim", part.name, hole.clear.in_mm(1));
    Some(finding(page, &part.name, "label/hole", &area, message, "move it away from the hole"))
}

impl Mark {
    /// Whether it is a thin line along the rim of the hole, which tells where to punch.
    fn punches(&self, hole: &Hole) -> bool {
        let (x, y) = (hole.from_left.to_mm_f64(), hole.from_top.to_mm_f64());
        let radius = hole.diameter.to_mm_f64() / 2.0;
        let on_rim = |p: &[f64; 2]| ((p[0] - x).hypot(p[1] - y) - radius).abs() <= ground::ALONG;
        let thin = matches!(self.painted, Painted::Stroked(line) if line <= ground::THIN);
        thin && self.rings.iter().flatten().all(on_rim)
    }
    /// Distance of its paint from a point; zero inside.
    fn distance(&self, point: [f64; 2]) -> f64 {
        if self.covers(point) {
            return 0.0;
        }
        let half = if let Painted::Stroked(width) = self.painted { width / 2.0 } else { 0.0 };
        (self.to_outline(point) - half).max(0.0)
    }
}
