//! What lies under, behind and over letters: paper, a colour over the whole part, a field on it, something that covers them.
//!
//! Comes after `read` and sets the contrast they are read by.

use super::backdrop;
use super::read::LEAST_CONTRAST;
use super::seen::{Area, Hidden, Mark, Painted, SeenPage};

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
    let (one, two) = (light(one), light(two));
    one.max(two) / one.min(two)
}

/// Relative luminance and its offset (WCAG 2.2, "relative luminance", "contrast ratio").
fn light(rgb: [f64; 3]) -> f64 {
    let [r, g, b] = rgb.map(|c| if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) });
    0.2126 * r + 0.7152 * g + 0.0722 * b + 0.05
}

/// Whether what a dark letter stands out from so far is as light as [`is_white`] asks of each colour.
pub fn white_behind(letter: [f64; 3], contrast: f64) -> bool {
    light(letter) * contrast >= light([0.9; 3])
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

/// Most pairs of letter and shape that are compared; more is not worked through.
const MOST_PAIRS: usize = 20_000_000;

/// What is behind a point of a letter.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Behind {
    Colour([f64; 3]),
    /// A picture or a pattern; only a raster tells.
    Unknown,
}

/// Marks the letters that something opaque is painted over later, and tells the contrast of the others.
pub fn look(seen: &mut SeenPage) {
    let filled: Vec<usize> =
        (0..seen.marks.len()).filter(|&n| !matches!(seen.marks[n].painted, Painted::Stroked(_))).collect();
    if filled.len().saturating_add(seen.pictures.len()).saturating_mul(seen.glyphs.len()) > MOST_PAIRS {
        seen.refuse("holds more letters over shapes than can be compared".to_owned());
        return;
    }
    for n in 0..seen.glyphs.len() {
        let Some(ink) = seen.glyphs[n].ink else { continue };
        let near: Vec<&Mark> = filled.iter().map(|&m| &seen.marks[m]).filter(|m| m.area.meets(&ink, 0.0)).collect();
        let order = seen.glyphs[n].order;
        let covered = near.iter().any(|m| m.order > order && hides(m, &ink))
            || seen.pictures.iter().any(|p| p.order > order && !p.stencil && p.area.meets(&ink, 0.0));
        let told = seen.glyphs[n].contrast.and(against(seen, &near, &ink, order, seen.glyphs[n].rgb));
        let glyph = &mut seen.glyphs[n];
        glyph.contrast = told.map(|(least, _)| least);
        if glyph.hidden.is_none() {
            glyph.hidden = if covered {
                Some(Hidden::Covered)
            } else {
                told.is_some_and(|(_, pale)| pale).then_some(Hidden::Pale)
            };
        }
    }
}

/// Whether the shape, painted later, takes the letter away: something pale anywhere on it, something dark all over it.
fn hides(mark: &Mark, ink: &Area) -> bool {
    mark.opaque && if mark.contrast < LEAST_CONTRAST { mark.touches(ink) } else { samples(ink).all(|p| mark.covers(p)) }
}

/// The middle of the box and its corners.
fn samples(ink: &Area) -> impl Iterator<Item = [f64; 2]> {
    ink.corners().into_iter().chain([ink.middle()])
}

/// The least contrast of the letter's colour to what is behind the middle and the corners of its box, and whether most of
/// them are too pale. What lies behind a part of a letter only is a clash, which is looked for elsewhere.
fn against(seen: &SeenPage, near: &[&Mark], ink: &Area, order: usize, rgb: [f64; 3]) -> Option<(f64, bool)> {
    let mut all = Vec::with_capacity(5);
    for point in samples(ink) {
        match behind(seen, near, point, order) {
            Behind::Colour(paper) => all.push(contrast(rgb, paper)),
            Behind::Unknown => return None,
        }
    }
    let pale = all.iter().filter(|c| **c < LEAST_CONTRAST).count();
    Some((all.into_iter().fold(f64::INFINITY, f64::min), pale > 2))
}

fn behind(seen: &SeenPage, near: &[&Mark], point: [f64; 2], order: usize) -> Behind {
    let mark = near.iter().rev().find(|m| m.order < order && m.covers(point));
    let since = mark.map_or(0, |m| m.order);
    if seen.pictures.iter().any(|p| p.order > since && p.order < order && p.area.has(point)) {
        return Behind::Unknown;
    }
    match mark {
        None => Behind::Colour([1.0; 3]),
        Some(mark) if mark.plain => Behind::Colour(mark.rgb),
        Some(_) => Behind::Unknown,
    }
}

/// The contrast of letters over pictures and patterns, looked up on a raster of the page in colour.
///
/// `colour` gives the colour at a point in mm. Looked at are points just above and just below the letter's box, where no
/// neighbour on the line stands; the median counts.
pub fn sample(seen: &mut SeenPage, colour: impl Fn([f64; 2]) -> Option<[f64; 3]>) {
    for n in 0..seen.glyphs.len() {
        let glyph = &seen.glyphs[n];
        let (Some(ink), None) = (glyph.ink, glyph.contrast) else { continue };
        if glyph.hidden.is_some() || backdrop::is_left_out(seen, glyph, &ink) {
            continue;
        }
        let glyph = &mut seen.glyphs[n];
        let off = 0.06 * glyph.em;
        let mut found: Vec<f64> = [ink.top - off, ink.bottom + off]
            .into_iter()
            .flat_map(|y| [0.1, 0.3, 0.5, 0.7, 0.9].map(|x| [ink.left + x * ink.width(), y]))
            .filter_map(|p| colour(p).map(|paper| contrast(glyph.rgb, paper)))
            .collect();
        found.sort_by(f64::total_cmp);
        glyph.contrast = found.get(found.len() / 2).copied();
        if glyph.contrast.is_some_and(|c| c < LEAST_CONTRAST) {
            glyph.hidden = Some(Hidden::Pale);
        }
    }
}
