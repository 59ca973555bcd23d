//! Whether letters are bold: what the font says of itself, held against the stems that are really drawn. After `read`.

use super::seen::{Glyph, SeenPage};
use hayro::kurbo::{BezPath, PathEl, Point, flatten};

/// Letters with a straight stem a quarter of an em above the baseline.
const STEMMED: &str = "hiklmnrHIEFTLMbp";
/// Stems from this share of the em on are bold. Measured on the outlines of 70 free fonts (Noto Sans, Serif and Mono,
/// `DejaVu`, Latin Modern, the 35 `PostScript` fonts of URW): the median stem of the regular ones is at most .097, of the
/// bold ones at least .108.
const BOLD_STEM: f64 = 0.1025;
/// A font that calls itself bold is not if its stems are thinner than those of any bold one that was measured.
const NEVER_BOLD: f64 = 0.098;

/// Width of the first stem from the left, a quarter of an em above the baseline, as a share of the em; only of letters
/// that have one. `outline` is in thousandths of the em.
pub fn stem(text: &str, outline: &BezPath) -> Option<f64> {
    if text.len() != 1 || !STEMMED.contains(text) {
        return None;
    }
    let level = 250.0;
    let mut crossings: Vec<(f64, i32)> = Vec::new();
    let (mut start, mut last) = (Point::ZERO, Point::ZERO);
    let mut piece = |a: Point, b: Point| {
        if (a.y <= level) != (b.y <= level) {
            crossings.push((a.x + (level - a.y) / (b.y - a.y) * (b.x - a.x), if b.y > a.y { 1 } else { -1 }));
        }
    };
    flatten(outline, 1.0, |el| match el {
        PathEl::MoveTo(p) => (start, last) = (p, p),
        PathEl::LineTo(p) => {
            piece(last, p);
            last = p;
        }
        PathEl::ClosePath => {
            piece(last, start);
            last = start;
        }
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    crossings.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut inside = 0;
    let mut from = None;
    for (x, turn) in crossings {
        let before = from.get_or_insert(x);
        inside += turn;
        if inside == 0 {
            return Some((x - *before) / 1000.0).filter(|w| w.is_finite() && *w > 0.0);
        }
    }
    None
}

/// The median of the stems of these glyphs, with the line round them, as a share of the em.
fn median<'a>(glyphs: impl Iterator<Item = &'a Glyph>) -> Option<f64> {
    let mut stems: Vec<f64> =
        glyphs.filter(|g| g.em > 0.0).filter_map(|g| Some(g.stem? + g.rim.max(0.0) / g.em)).collect();
    stems.sort_by(f64::total_cmp);
    stems.get(stems.len() / 2).copied()
}

impl SeenPage {
    /// Whether a letter is bold: by the name and the weight of its font and by the stems drawn in it; `None` if neither
    /// tells. A font called half bold (semi-bold, demi-bold) is not bold.
    #[must_use]
    pub fn bold(&self, glyph: usize) -> Option<bool> {
        let glyph = self.glyphs.get(glyph)?;
        let face = self.faces.get(glyph.face)?;
        let name = face.name.as_deref().unwrap_or("").to_lowercase();
        let half = ["semibold", "demibold", "semi-bold", "demi-bold"].iter().any(|h| name.contains(h));
        let named = !half && ["bold", "black", "heavy"].iter().any(|b| name.contains(b));
        let said = named || (!half && face.weight.is_some_and(|w| w >= 700));
        // A line drawn round the letters makes them as bold as it is wide; others of the face have none.
        let alike = |g: &&Glyph| g.face == glyph.face && (g.rim > 0.0) == (glyph.rim > 0.0);
        match median(self.glyphs.iter().filter(alike)) {
            Some(stem) if said => Some(stem >= NEVER_BOLD),
            Some(stem) if !half => Some(stem >= BOLD_STEM),
            Some(_) => Some(false),
            None if said => Some(true),
            None => (face.name.is_some() || face.weight.is_some()).then_some(false),
        }
    }
}
