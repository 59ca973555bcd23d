//! The part's outline less its margin: where ink may stand. Part of `page`.

use crate::plan::{Hole, Shape};
use crate::unit::Length;

/// Corners up to this radius take a strip off all sides, so that rows keep the same edges; larger ones cut single rows.
const SMALL_CORNER: Length = Length::mm(4);

/// A box: left, top, right, bottom.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Area {
    pub left: Length,
    pub top: Length,
    pub right: Length,
    pub bottom: Length,
}

impl Area {
    /// Grown by `by` on all sides.
    pub fn grown(self, x: Length, y: Length) -> Self {
        Self { left: self.left - x, top: self.top - y, right: self.right + x, bottom: self.bottom + y }
    }
    /// Whether the two share more than an edge.
    pub fn meets(self, other: Self) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.bottom && other.top < self.bottom
    }
}

/// A shape drawn in by a margin on all sides.
#[derive(Debug, Clone, Copy)]
pub(super) struct Outline {
    shape: Shape,
    margin: Length,
    /// What a hole takes off the left, upper, right and lower edge: all of the part between it and the edge nearest to it.
    taken: [Length; 4],
}

impl Outline {
    pub fn new(shape: Shape, margin: Length) -> Self {
        Self { shape, margin: margin.max(Length::ZERO), taken: [Length::ZERO; 4] }
    }
    /// The same with a hole in it.
    pub fn with(self, hole: Option<Hole>) -> Self {
        let Some(hole) = hole else { return self };
        let (width, height) = (self.shape.width(), self.shape.height());
        let from = [hole.from_left, hole.from_top, width - hole.from_left, height - hole.from_top];
        let nearest = from.iter().enumerate().min_by_key(|(_, d)| **d).map_or(1, |(n, _)| n);
        let mut taken = [Length::ZERO; 4];
        taken[nearest] = from[nearest] + hole.diameter / 2 + hole.clear;
        Self { taken, ..self }
    }
    pub fn is_circle(self) -> bool {
        matches!(self.shape, Shape::Circle { .. })
    }
    /// Whether anything at all can stand inside, and the figures are of this world (up to 3 m).
    pub fn has_room(self) -> bool {
        let (w, h) = (self.shape.width(), self.shape.height());
        let [left, top, right, bottom] = self.taken.map(|t| t.max(self.margin));
        w > left + right && h > top + bottom && w.max(h) <= Length::mm(3000)
    }
    pub fn margin(self) -> Length {
        self.margin
    }
    pub fn top(self) -> Length {
        (self.margin + self.strip()).max(self.taken[1])
    }
    pub fn bottom(self) -> Length {
        self.shape.height() - (self.margin + self.strip()).max(self.taken[3])
    }
    /// What small corners take off each side: their square touches the arc at 45 degrees.
    fn strip(self) -> Length {
        let Shape::Rounded { width, height, corner } = self.shape else { return Length::ZERO };
        let radius = (corner.min(width / 2).min(height / 2) - self.margin).max(Length::ZERO);
        if radius > SMALL_CORNER { Length::ZERO } else { radius.times_ratio(292_894, 1_000_000) }
    }
    /// Width and height of the box around it, margin included.
    pub fn bottom_right(self) -> (Length, Length) {
        (self.shape.width(), self.shape.height())
    }
    pub fn middle(self) -> Length {
        self.shape.height() / 2
    }
    /// The left and right end of what lies inside over the whole height from `top` to `bottom`.
    pub fn chord(self, top: Length, bottom: Length) -> Option<(Length, Length)> {
        if top < self.top() || bottom > self.bottom() || top > bottom {
            return None;
        }
        let width = self.shape.width();
        let cut = match self.shape {
            Shape::Rectangle { .. } => Length::ZERO,
            Shape::Rounded { width, height, corner } => {
                let corner = corner.min(width / 2).min(height / 2);
                let radius = (corner - self.margin).max(Length::ZERO);
                if radius <= SMALL_CORNER {
                    self.strip()
                } else {
                    let (upper, lower) = (self.margin + radius, self.shape.height() - self.margin - radius);
                    let into = (upper - top).max(bottom - lower);
                    radius - leg(radius, into.max(Length::ZERO))
                }
            }
            Shape::Circle { diameter } => {
                let radius = diameter / 2 - self.margin;
                let off = (top - self.middle()).max(self.middle() - top);
                let off = off.max((bottom - self.middle()).max(self.middle() - bottom));
                if off > radius {
                    return None;
                }
                radius - leg(radius, off)
            }
        };
        let (left, right) = ((self.margin + cut).max(self.taken[0]), width - (self.margin + cut).max(self.taken[2]));
        (left < right).then_some((left, right))
    }
    /// Whether the whole box lies inside.
    pub fn holds(self, area: Area) -> bool {
        self.chord(area.top, area.bottom).is_some_and(|(left, right)| left <= area.left && area.right <= right)
    }
}

/// The other leg of a right triangle, rounded down.
fn leg(hypotenuse: Length, leg: Length) -> Length {
    let (h, l) = (hypotenuse.to_raw(), leg.to_raw().min(hypotenuse.to_raw()));
    Length::raw((h * h - l * l).max(0).isqrt())
}

#[cfg(test)]
mod tests {
    use super::{Area, Outline};
    use crate::plan::Shape;
    use crate::unit::Length;

    const fn mm(n: i64) -> Length {
        Length::mm(n)
    }

    /// Right triangle 3-4-5, scaled: radius 25 less the margin of 5 leaves 20; at 12 from the middle the half chord is 16.
    #[test]
    fn chord_of_a_circle_takes_the_narrower_end_of_the_band() {
        let o = Outline::new(Shape::Circle { diameter: mm(50) }, mm(5));
        assert_eq!(o.chord(mm(13), mm(30)), Some((mm(25 - 16), mm(25 + 16))));
        assert_eq!(o.chord(mm(20), mm(37)), Some((mm(25 - 16), mm(25 + 16))));
        assert_eq!(o.chord(mm(4), mm(10)), None);
    }

    /// Corner 8 less margin 3 leaves radius 5; 4 mm into the corner the cut is 5 - 3 = 2.
    #[test]
    fn corners_cut_into_lines_near_the_edge() {
        let o = Outline::new(Shape::Rounded { width: mm(40), height: mm(60), corner: mm(8) }, mm(3));
        assert_eq!(o.chord(mm(4), mm(7)), Some((mm(5), mm(35))));
        assert_eq!(o.chord(mm(10), mm(20)), Some((mm(3), mm(37))));
        assert_eq!(o.chord(mm(50), mm(56)), Some((mm(5), mm(35))));
        let small = Outline::new(Shape::Rounded { width: mm(40), height: mm(60), corner: mm(7) }, mm(3));
        assert_eq!(small.chord(small.top(), mm(20)), small.chord(mm(20), mm(30)));
        assert!(small.top() > mm(4) && small.top() < Length::um(4200));
        assert!(o.holds(Area { left: mm(5), top: mm(4), right: mm(35), bottom: mm(56) }));
        assert!(!o.holds(Area { left: mm(4), top: mm(4), right: mm(35), bottom: mm(50) }));
    }
}
