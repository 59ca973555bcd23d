//! What lies under letters: white paper, a colour over the whole part, a field on it. Part of `inspect`.

use super::seen::{Area, Mark, Painted, SeenPage};

/// Least contrast of letters with what is under them (WCAG 2.2, success criterion 1.4.3, level AA).
pub const LEGIBLE: f64 = 4.5;
/// A ground may leave so many mm free at the cut.
const EDGE: f64 = 0.3;
/// Least width of a ground that covers a face of the page, in mm.
const FACE: f64 = 20.0;
/// A line that tells where to cut is no thicker, and lies as near to the edge, in mm.
pub const THIN: f64 = 0.4;
pub const ALONG: f64 = 0.1;
/// Places along each side at which a ground is looked for.
const PLACES: [f64; 5] = [0.2, 0.35, 0.5, 0.65, 0.8];

/// Contrast of two colours, 1 to 21 (WCAG 2.2, "contrast ratio").
#[must_use]
pub fn contrast(one: [f64; 3], two: [f64; 3]) -> f64 {
    let light = |rgb: [f64; 3]| {
        let [r, g, b] = rgb.map(|c| if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) });
        0.2126 * r + 0.7152 * g + 0.0722 * b + 0.05
    };
    let (one, two) = (light(one), light(two));
    one.max(two) / one.min(two)
}

/// Nothing but paper, or paint as light.
pub fn is_white(rgb: [f64; 3]) -> bool {
    rgb.into_iter().fold(f64::INFINITY, f64::min) > 0.9
}

/// As dark as black ink.
pub fn is_black(rgb: [f64; 3]) -> bool {
    rgb.into_iter().fold(0.0, f64::max) < 0.35
}

/// Takes what covers the whole page or one of its faces, and what tells where to cut it out of the marks: they are in nobody's way. What is pale against it or covered by it was told before.
pub fn settle(seen: &mut SeenPage) {
    let (width, height) = (seen.width, seen.height);
    let ground = |m: &Mark| {
        let filled = m.opaque && !matches!(m.painted, Painted::Stroked(_)) && m.rings.len() == 1;
        let across = m.area.left <= EDGE && m.area.right >= width - EDGE;
        let down = m.area.top <= EDGE && m.area.bottom >= height - EDGE;
        // One face of a piece is as high as the page, and as wide as something can be read on.
        let face = (down && m.area.width() >= FACE) || (across && m.area.height() >= FACE);
        let there = m.area.within(&Area { left: 0.0, top: 0.0, right: width, bottom: height });
        let at = |x: f64, y: f64| [there.left + x * there.width(), there.top + y * there.height()];
        filled && ((across && down) || face) && PLACES.iter().all(|x| PLACES.iter().all(|y| m.covers(at(*x, *y))))
    };
    let marks = std::mem::take(&mut seen.marks).into_iter().filter(|m| !cuts(m, width, height));
    let (grounds, marks) = marks.partition(ground);
    seen.marks = marks;
    seen.grounds = grounds;
}

/// Whether a mark is a thin line along the edge of the page: it tells the knife where to cut, and is nobody's frame.
fn cuts(mark: &Mark, width: f64, height: f64) -> bool {
    let Painted::Stroked(line) = mark.painted else { return false };
    let near = |a: f64, b: f64| (a - b).abs() <= ALONG;
    let area = mark.area.widened(-line / 2.0, -line / 2.0);
    let round = near(area.left, 0.0) && near(area.top, 0.0) && near(area.right, width) && near(area.bottom, height);
    round && line <= THIN && mark.rings.len() == 1
}

/// The colour of the paper at a place: of the uppermost ground, else white.
pub fn paper(seen: &SeenPage, point: [f64; 2]) -> [f64; 3] {
    seen.grounds.iter().rev().find(|g| g.covers(point)).map_or([1.0; 3], |g| g.rgb)
}

/// The colour at a place before what stands at `order` is painted there.
pub fn under(seen: &SeenPage, point: [f64; 2], order: usize) -> [f64; 3] {
    let field = |m: &&Mark| m.opaque && m.order < order && !matches!(m.painted, Painted::Stroked(_)) && m.covers(point);
    seen.marks.iter().rev().find(field).map_or_else(|| paper(seen, point), |m| m.rgb)
}
