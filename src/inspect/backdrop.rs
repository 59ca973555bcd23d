//! Pictures, gradients and patterns that lie under letters and codes as their ground, and the plates laid between. Part of
//! `inspect`; serves `space`, `code` and `ground`.

use super::code::Code;
use super::seen::{Area, Glyph, Mark, Painted, Picture, SeenPage};

/// A ground may end so many mm before the box that stands on it.
const SLACK: f64 = 0.05;
/// Places along each side of a box at which it is looked whether something covers it.
const PLACES: [f64; 6] = [0.0, 0.2, 0.4, 0.6, 0.8, 1.0];

/// Whether the paint of a filled shape lies under the whole box.
pub fn fills(mark: &Mark, area: &Area) -> bool {
    let at = |x: f64, y: f64| [area.left + x * area.width(), area.top + y * area.height()];
    // A hair inside, for a plate as large as the box ends on its edge.
    let there = |point| mark.covers(point);
    let inner = |t: f64| t.clamp(0.001, 0.999);
    !matches!(mark.painted, Painted::Stroked(_))
        && mark.area.holds(area, SLACK)
        && PLACES.iter().all(|x| PLACES.iter().all(|y| there(at(inner(*x), inner(*y)))))
}

/// An opaque shape over the whole box that is painted after `from` and before `to`.
fn plate<'s>(seen: &'s SeenPage, area: &Area, from: usize, to: usize) -> Option<&'s Mark> {
    let between = |m: &&Mark| m.opaque && m.order > from && m.order < to && fills(m, area);
    seen.marks.iter().chain(&seen.grounds).filter(between).max_by_key(|m| m.order)
}

/// Whether a picture is no more than what the letter stands on: painted before it, and under all of it or under a plate.
pub fn is_under(seen: &SeenPage, picture: &Picture, glyph: &Glyph, ink: &Area) -> bool {
    picture.order < glyph.order
        && (picture.area.holds(ink, SLACK) || plate(seen, ink, picture.order, glyph.order).is_some())
}

/// Whether a picture disturbs nobody who reads what stands in a box and is painted at `order`: it lies under all of the box,
/// or under a plate there.
pub fn picture_lies_under(seen: &SeenPage, picture: &Picture, area: &Area, order: usize) -> bool {
    let shared = picture.area.within(area);
    picture.order < order && (picture.area.holds(area, SLACK) || plate(seen, &shared, picture.order, order).is_some())
}

/// The same of a shape: a field, a gradient, a pattern.
pub fn mark_lies_under(seen: &SeenPage, mark: &Mark, area: &Area, order: usize) -> bool {
    mark.order < order && (fills(mark, area) || plate(seen, &mark.area.within(area), mark.order, order).is_some())
}

/// The uppermost picture under a letter, where no plate and no field lies between.
pub fn picture_behind<'s>(seen: &'s SeenPage, glyph: &Glyph, ink: &Area) -> Option<&'s Picture> {
    let behind = |p: &&Picture| p.order < glyph.order && p.area.meets(ink, 0.0);
    seen.pictures.iter().rev().find(behind).filter(|p| plate(seen, ink, p.order, glyph.order).is_none())
}

/// Whether what lies behind a letter is left out of the rasters of the page, which then show another colour there: a
/// pattern, a gradient, a mask, a picture whose coding is not read.
pub fn is_left_out(seen: &SeenPage, glyph: &Glyph, ink: &Area) -> bool {
    let marks = seen.marks.iter().chain(&seen.grounds).filter(|m| !m.plain && m.touches(ink)).map(|m| m.order);
    let pictures = seen.pictures.iter().filter(|p| p.unread && p.area.meets(ink, 0.0)).map(|p| p.order);
    let last = marks.chain(pictures).filter(|order| *order < glyph.order).max();
    seen.no_raster && last.is_some_and(|order| plate(seen, ink, order, glyph.order).is_none())
}

/// What a code stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ground {
    /// A picture, with nothing between.
    Picture,
    /// A gradient or pattern, whose colours are not told.
    Pattern,
}

impl Ground {
    /// In words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Picture => "a picture",
            Self::Pattern => "a gradient or pattern",
        }
    }
}

/// The picture, gradient or pattern that a code and the space round it stand on, where no plate lies between.
#[must_use]
pub fn of_code(seen: &SeenPage, code: &Code) -> Option<Ground> {
    let (zone, order) = (code.zone(seen), code.order(seen));
    let pictures = seen.pictures.iter().filter(|p| p.order < order && p.area.holds(&zone, SLACK));
    let patterns = seen.marks.iter().filter(|m| !m.plain && m.order < order && fills(m, &zone));
    let all = pictures.map(|p| (p.order, Ground::Picture)).chain(patterns.map(|m| (m.order, Ground::Pattern)));
    let (last, ground) = all.max_by_key(|(order, _)| *order)?;
    plate(seen, &zone, last, order).is_none().then_some(ground)
}
