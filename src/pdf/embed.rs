//! The faces as they go into the file: cut down to the glyphs shown, with a code for each.
//!
//! In `pdf`, first of its steps.

use super::broken;
use crate::find::Finding;
use crate::font::{FaceId, Run, face};
use crate::page::{Page, Placed};
use printpdf::{Codepoint, FontId, FontMetrics, ParsedFont, PdfFont, PdfFontMetricsStub};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use subsetter::GlyphRemapper;

/// All faces shown in a document.
pub struct Faces(BTreeMap<FaceId, Embedded>);

/// One face, cut down.
struct Embedded {
    /// Its glyphs.
    shown: Shown,
    /// The units its advances are counted in.
    units_per_em: i64,
    /// For the drawing layer.
    font: PdfFont,
    /// What the drawing layer does not know of it.
    rest: Rest,
}

/// What the drawing layer leaves wrong or out of a font's dictionaries.
pub struct Rest {
    /// Height of flat capitals, in 1/1000 em.
    pub cap_height: i64,
    /// The glyph of each code, two bytes each, where they are not the same number.
    pub glyph_of_code: Option<Vec<u8>>,
}

/// Each character with the glyph it is shown by, its code in the file and its width in 1/1000 em.
///
/// The code belongs to the pair: were it the glyph's, two characters drawn by one glyph would be copied as one.
type Shown = BTreeMap<(char, u16), (u16, u16)>;

impl Faces {
    /// Gathers the glyphs shown on all pages and cuts the faces down to them.
    pub fn of(pages: &[Page], runs: &[Vec<Run>]) -> Result<Self, Finding> {
        let mut used: BTreeMap<FaceId, BTreeMap<(char, u16), i64>> = BTreeMap::new();
        for (page, runs) in pages.iter().zip(runs) {
            let texts = page.items.iter().filter_map(|item| match item {
                Placed::Text(text) => Some(text.face),
                Placed::Path(_) => None,
            });
            for (id, run) in texts.zip(runs) {
                let glyphs = run.glyphs.iter().map(|glyph| ((glyph.ch, glyph.id), glyph.nominal));
                used.entry(id).or_default().extend(glyphs);
            }
        }
        used.retain(|_, glyphs| !glyphs.is_empty());
        used.into_iter().map(|(id, glyphs)| Ok((id, cut(id, &glyphs)?))).collect::<Result<_, _>>().map(Self)
    }

    /// The codes that show a run, with the kerning after each in 1/1000 em to the left; nothing for an empty run.
    #[expect(clippy::cast_precision_loss, clippy::cast_possible_truncation, reason = "the drawing layer's numbers")]
    pub fn show(&self, id: FaceId, run: &Run) -> Option<(FontId, Vec<Codepoint>)> {
        let embedded = self.0.get(&id)?;
        let codes: Vec<_> = run
            .glyphs
            .iter()
            .filter_map(|glyph| {
                let (code, width) = *embedded.shown.get(&(glyph.ch, glyph.id))?;
                let advance = glyph.advance as f64 * 1000.0 / embedded.units_per_em as f64;
                let back = (f64::from(width) - advance) as f32;
                Some(Codepoint::with_cid(code, back, glyph.ch.to_string()))
            })
            .collect();
        (!codes.is_empty()).then(|| (resource(id), codes))
    }

    /// The fonts under their resource names, and what is left to set right on each.
    pub fn into_fonts(self) -> impl Iterator<Item = (FontId, PdfFont, Rest)> {
        self.0.into_iter().map(|(id, embedded)| (resource(id), embedded.font, embedded.rest))
    }
}

/// The name a page calls the face by. Never `F1` to `F14`: printpdf takes those for the fonts built into readers.
fn resource(id: FaceId) -> FontId {
    FontId(format!("{id:?}"))
}

fn cut(id: FaceId, glyphs: &BTreeMap<(char, u16), i64>) -> Result<Embedded, Finding> {
    let face = face(id);
    let fault = |what: &dyn std::fmt::Display| broken(format!("face `{}`: {what}", face.name()));
    let parsed = ttf_parser::Face::parse(face.data(), 0).map_err(|error| fault(&error))?;
    let units = face.units_per_em().max(1);
    let thousandths = |value: i64| (value * 2000 / units + 1).div_euclid(2);
    let small = |value: i16| i16::try_from(thousandths(value.into())).map_err(|error| fault(&error));

    let mut remapper = GlyphRemapper::new();
    let (mut shown, mut widths, mut new_glyphs) = (Shown::new(), BTreeMap::new(), vec![0_u16]);
    for (&(character, glyph), &nominal) in glyphs {
        let code = u16::try_from(new_glyphs.len()).map_err(|error| fault(&error))?;
        let width = u16::try_from(thousandths(nominal)).map_err(|error| fault(&error))?;
        new_glyphs.push(remapper.remap(glyph));
        shown.insert((character, glyph), (code, width));
        widths.insert(code, width);
    }
    let program = subsetter::subset(face.data(), 0, &remapper).map_err(|error| fault(&error))?;
    let same = new_glyphs.iter().enumerate().all(|(code, &glyph)| code == usize::from(glyph));
    let glyph_of_code = (!same).then(|| new_glyphs.iter().flat_map(|glyph| glyph.to_be_bytes()).collect());

    let box_of_all = parsed.global_bounding_box();
    let metrics = FontMetrics { ascent: small(parsed.ascender())?, descent: small(parsed.descender())? };
    let name = format!("{}+{}", tag(&program, &shown), face.name());
    // Scaled to 1/1000 em before printpdf sees them, which is then exact.
    let mut font = ParsedFont::with_glyph_data(program, 0, Some(name), BTreeMap::new(), widths, 1000, metrics);
    font.pdf_font_metrics = PdfFontMetricsStub {
        units_per_em: 1000,
        x_min: small(box_of_all.x_min)?,
        y_min: small(box_of_all.y_min)?,
        x_max: small(box_of_all.x_max)?,
        y_max: small(box_of_all.y_max)?,
        us_weight_class: parsed.weight().to_number(),
        ..PdfFontMetricsStub::default()
    };
    let rest = Rest { cap_height: thousandths(face.cap_height()), glyph_of_code };
    Ok(Embedded { shown, units_per_em: units, font: PdfFont::new(font), rest })
}

/// Six capitals that mark a face as cut down (ISO 32000-1, 9.6.4), from a hash of what is left of it.
fn tag(program: &[u8], shown: &Shown) -> String {
    let mut hash = Sha256::new().chain_update(program);
    for ((character, glyph), (code, _)) in shown {
        hash.update(u32::from(*character).to_be_bytes());
        hash.update(glyph.to_be_bytes());
        hash.update(code.to_be_bytes());
    }
    hash.finalize().iter().take(6).map(|byte| char::from(b'A' + byte % 26)).collect()
}
