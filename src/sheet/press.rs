//! One label a page for a print shop: room for bleed round the cut, marks where to cut and fold, the line of the die.
//! Part of `sheet`.

use super::{Leaf, Mark, MarkKind, Spot};
use crate::page::{Point, Ring, Segment, outline};
use crate::plan::{Hole, Printed, Shape};
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

/// A piece of paper before anything is printed on it: how it is cut, folded and punched.
#[derive(Debug, Clone)]
pub struct Blank {
    /// Its outline.
    pub shape: Shape,
    /// Where it is folded, from its left edge.
    pub folds: Vec<Length>,
    /// Its holes.
    pub holes: Vec<Hole>,
}

impl Blank {
    /// That of a printed page.
    #[must_use]
    pub fn of(printed: &Printed<'_>) -> Self {
        Self { shape: printed.shape, folds: printed.folds(), holes: printed.holes() }
    }

    /// What marks at the corners cannot tell: round corners, discs and holes.
    fn die(&self, edge: Length) -> Vec<Ring> {
        let punched = |hole: &Hole| {
            let disc = outline(Shape::Circle { diameter: hole.diameter });
            disc.moved(edge + hole.from_left - hole.diameter / 2, edge + hole.from_top - hole.diameter / 2)
        };
        let cut = match self.shape {
            Shape::Rectangle { .. } if self.holes.is_empty() => return Vec::new(),
            shape => outline(shape).moved(edge, edge),
        };
        std::iter::once(cut).chain(self.holes.iter().map(punched)).collect()
    }
}

/// A page with one label, as large as the label and what surrounds it.
///
/// Marks at folds come with the bleed or with the marks at the corners; the line of the die comes with the bleed
/// (common practice, no source).
#[must_use]
pub fn single(part: usize, unit: u32, blank: &Blank, cut: Cut) -> Leaf {
    let gap = cut.bleed.max(GAP);
    let shop = cut.marks || cut.bleed > Length::ZERO;
    let folds = if shop { blank.folds.as_slice() } else { &[] };
    let edge = if cut.marks || !folds.is_empty() { gap + MARK + FREE } else { cut.bleed };
    let (width, height) = (blank.shape.width(), blank.shape.height());
    let at = |x: Length, y: Length| Point { x, y };
    let line = |from: Point, to: Point| Ring { start: from, to: vec![Segment::Line(to)], closed: false };
    // From where to where marks reach, before and after a stretch of so much.
    let reach = |side: Length| [(edge - gap - MARK, edge - gap), (edge + side + gap, edge + side + gap + MARK)];
    let upright = |x: Length| reach(height).map(|(a, b)| line(at(x, a), at(x, b)));
    let level = |y: Length| reach(width).map(|(a, b)| line(at(a, y), at(b, y)));
    let mut marks = Vec::new();
    let mut add = |kind, rings: Vec<Ring>| {
        if !rings.is_empty() {
            marks.push(Mark { kind, rings, line: LINE });
        }
    };
    if cut.marks {
        let sides = [edge, edge + width].into_iter().flat_map(upright);
        add(MarkKind::Cut, sides.chain([edge, edge + height].into_iter().flat_map(level)).collect());
    }
    add(MarkKind::Fold, folds.iter().flat_map(|x| upright(edge + *x)).collect());
    if cut.bleed > Length::ZERO {
        add(MarkKind::Die, blank.die(edge));
    }
    Leaf {
        width: width + edge * 2,
        height: height + edge * 2,
        edge,
        bleed: cut.bleed,
        marks,
        sheet: None,
        spots: vec![Spot { part, unit, position: None, left: edge, top: edge }],
    }
}

#[cfg(test)]
mod tests {
    use super::{Blank, Cut, single};
    use crate::page::Segment;
    use crate::plan::{Hole, Shape};
    use crate::sheet::MarkKind;
    use crate::unit::Length;

    const fn mm(n: i64) -> Length {
        Length::mm(n)
    }

    fn blank(shape: Shape) -> Blank {
        Blank { shape, folds: Vec::new(), holes: Vec::new() }
    }

    fn front() -> Blank {
        blank(Shape::Rectangle { width: mm(60), height: mm(70) })
    }

    #[test]
    fn without_bleed_and_marks_the_page_is_the_label() {
        let folded = Blank { folds: vec![mm(30)], ..front() };
        for blank in [front(), folded, blank(Shape::Circle { diameter: mm(60) })] {
            let leaf = single(0, 0, &blank, Cut::default());
            let box_of = (blank.shape.width(), blank.shape.height());
            assert_eq!((leaf.width, leaf.height, leaf.edge), (box_of.0, box_of.1, Length::ZERO));
            assert!(leaf.marks.is_empty());
        }
    }

    /// By hand: 3 mm of bleed, marks from there 5 mm long, 1 mm of paper beyond: 9 mm on each side.
    #[test]
    fn marks_stand_outside_the_bleed() {
        let folded = Blank { folds: vec![mm(20), mm(45)], ..front() };
        let leaf = single(0, 0, &folded, Cut { bleed: mm(3), marks: true });
        assert_eq!((leaf.width, leaf.height, leaf.edge), (mm(78), mm(88), mm(9)));
        let kinds: Vec<_> = leaf.marks.iter().map(|m| (m.kind, m.rings.len())).collect();
        assert_eq!(kinds, [(MarkKind::Cut, 8), (MarkKind::Fold, 4)]);
        let bleed = |v: Length, side: Length| v <= mm(6) || v >= side - mm(6);
        for ring in leaf.marks.iter().flat_map(|m| &m.rings) {
            let Segment::Line(end) = ring.to[0] else { unreachable!() };
            for point in [ring.start, end] {
                assert!(bleed(point.x, leaf.width) || bleed(point.y, leaf.height), "{point:?}");
            }
        }
        let folds: Vec<Length> = leaf.marks[1].rings.iter().map(|r| r.start.x).collect();
        assert_eq!(folds, [mm(29), mm(29), mm(54), mm(54)]);
    }

    /// By hand: a disc of 50 mm with 2 mm of bleed begins 2 mm in; a hole of 4 mm whose middle is 31 and 7 mm in, 29 and 5 mm.
    #[test]
    fn the_line_of_the_die_runs_along_the_cut_and_round_holes() {
        let bleed = Cut { bleed: mm(2), marks: false };
        let leaf = single(0, 0, &blank(Shape::Circle { diameter: mm(50) }), bleed);
        assert_eq!((leaf.marks.len(), leaf.marks[0].kind), (1, MarkKind::Die));
        let start = leaf.marks[0].rings[0].start;
        assert_eq!((start.x, start.y), (mm(2 + 25), mm(2)));
        let hole = Hole { diameter: mm(4), from_left: mm(31), from_top: mm(7), clear: mm(2) };
        let tag = Blank { holes: vec![hole], ..blank(Shape::Rectangle { width: mm(62), height: mm(110) }) };
        let rings = &single(0, 0, &tag, bleed).marks[0].rings;
        assert_eq!((rings[0].start.x, rings[0].start.y), (mm(2), mm(2)));
        assert_eq!((rings[1].start.x, rings[1].start.y), (mm(2 + 31), mm(2 + 5)));
        // Marks at the corners tell of a plain rectangle all there is to tell.
        assert!(single(0, 0, &front(), bleed).marks.is_empty());
        assert!(
            single(0, 0, &tag, Cut { bleed: Length::ZERO, marks: true }).marks.iter().all(|m| m.kind == MarkKind::Cut)
        );
    }
}
