//! One label a page for a print shop: room for bleed round the cut, and marks where to cut. Part of `sheet`.

use super::{Leaf, Spot};
use crate::page::{Ink, Paint, Path, Point, Ring, Segment};
use crate::plan::Shape;
use crate::unit::Length;

/// Marks begin at least this far from the cut, so that none is left on the label (common practice, no source).
const GAP: Length = Length::um(2000);
/// Length of a mark (common practice, no source).
const MARK: Length = Length::um(5000);
/// Paper beyond the marks.
const FREE: Length = Length::um(1000);
/// Width of their lines.
const LINE: Length = Length::um(100);

/// What a print shop asks for.
#[derive(Debug, Clone, Copy, Default)]
pub struct Cut {
    /// How far beyond the cut the print goes.
    pub bleed: Length,
    /// Marks at the corners.
    pub marks: bool,
}

/// A page with one label, as large as the label and what surrounds it.
#[must_use]
pub fn single(part: usize, unit: u32, shape: Shape, cut: Cut) -> Leaf {
    let gap = cut.bleed.max(GAP);
    let edge = if cut.marks { gap + MARK + FREE } else { cut.bleed };
    let (width, height) = (shape.width(), shape.height());
    let mut marks = Vec::new();
    if cut.marks {
        let line = |from: Point, to: Point| Ring { start: from, to: vec![Segment::Line(to)], closed: false };
        let at = |x: Length, y: Length| Point { x, y };
        let (near, far) = (edge - gap, edge - gap - MARK);
        let mut rings = Vec::new();
        for x in [edge, edge + width] {
            for (a, b) in [(far, near), (edge + height + gap, edge + height + gap + MARK)] {
                rings.push(line(at(x, a), at(x, b)));
            }
        }
        for y in [edge, edge + height] {
            for (a, b) in [(far, near), (edge + width + gap, edge + width + gap + MARK)] {
                rings.push(line(at(a, y), at(b, y)));
            }
        }
        marks.push(Path { rings, paint: Paint::Stroke(Ink::Black, LINE) });
    }
    Leaf {
        width: width + edge * 2,
        height: height + edge * 2,
        edge,
        bleed: cut.bleed,
        marks,
        spots: vec![Spot { part, unit, left: edge, top: edge }],
    }
}

#[cfg(test)]
mod tests {
    use super::{Cut, single};
    use crate::page::Segment;
    use crate::plan::Shape;
    use crate::unit::Length;

    const FRONT: Shape = Shape::Rectangle { width: Length::mm(60), height: Length::mm(70) };

    #[test]
    fn without_bleed_and_marks_the_page_is_the_label() {
        let leaf = single(0, 0, FRONT, Cut::default());
        assert_eq!((leaf.width, leaf.height, leaf.edge), (Length::mm(60), Length::mm(70), Length::ZERO));
    }

    /// By hand: 3 mm of bleed, marks from there 5 mm long, 1 mm of paper beyond: 9 mm on each side.
    #[test]
    fn marks_stand_outside_the_bleed() {
        let leaf = single(0, 0, FRONT, Cut { bleed: Length::mm(3), marks: true });
        assert_eq!((leaf.width, leaf.height, leaf.edge), (Length::mm(78), Length::mm(88), Length::mm(9)));
        assert_eq!(leaf.marks[0].rings.len(), 8);
        let bleed = |v: Length, side: Length| v <= Length::mm(6) || v >= side - Length::mm(6);
        for ring in &leaf.marks[0].rings {
            let Segment::Line(end) = ring.to[0] else { unreachable!() };
            for point in [ring.start, end] {
                assert!(bleed(point.x, leaf.width) || bleed(point.y, leaf.height), "{point:?}");
            }
        }
    }
}
