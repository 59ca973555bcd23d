//! What lies over and behind the letters of a page: covers them, or sets the contrast they are read by. After `read`.

use super::ground::contrast;
use super::read::LEAST_CONTRAST;
use super::seen::{Area, Hidden, Mark, Painted, SeenPage};

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
    for glyph in &mut seen.glyphs {
        let (Some(ink), None) = (glyph.ink, glyph.contrast) else { continue };
        if glyph.hidden.is_some() {
            continue;
        }
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
