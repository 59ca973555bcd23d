//! Simple shapes for the pictograms this program draws: polygons, discs, rods, curves. Part of `page`, beneath `diamond`.
//!
//! A figure is drawn in thousandths of its own size around its own middle, y down, and placed afterwards.

use super::{Ink, Paint, Path, Point, Ring, Segment};
use crate::unit::Length;

/// A place in the figure: right and down from its middle, in thousandths.
pub(in crate::page) type At = (i64, i64);

/// A piece of an outline.
#[derive(Debug, Clone, Copy)]
pub(in crate::page) enum Piece {
    Line(At),
    Curve(At, At, At),
}

/// A closed outline.
#[derive(Debug, Clone)]
pub(in crate::page) struct Outline {
    pub start: At,
    pub to: Vec<Piece>,
}

/// Outlines filled with one ink; later figures cover earlier ones.
#[derive(Debug, Clone)]
pub(in crate::page) struct Figure {
    pub ink: Ink,
    pub outline: Outline,
}

pub(in crate::page) const fn black(outline: Outline) -> Figure {
    Figure { ink: Ink::Black, outline }
}

pub(in crate::page) const fn white(outline: Outline) -> Figure {
    Figure { ink: Ink::White, outline }
}

/// Straight from corner to corner.
pub(in crate::page) fn polygon(corners: &[At]) -> Outline {
    let (start, rest) = corners.split_first().map_or(((0, 0), &[][..]), |(s, r)| (*s, r));
    Outline { start, to: rest.iter().map(|p| Piece::Line(*p)).collect() }
}

/// Curves from `start` on: two control points and an end each.
pub(in crate::page) fn curves(start: At, pieces: &[(At, At, At)]) -> Outline {
    Outline { start, to: pieces.iter().map(|(a, b, c)| Piece::Curve(*a, *b, *c)).collect() }
}

/// Handle of a quarter of a circle, in thousandths of the radius.
const HANDLE: i64 = 552;

/// An upright ellipse.
pub(in crate::page) fn ellipse((x, y): At, across: i64, down: i64) -> Outline {
    let (h, v) = (across * HANDLE / 1000, down * HANDLE / 1000);
    curves(
        (x + across, y),
        &[
            ((x + across, y + v), (x + h, y + down), (x, y + down)),
            ((x - h, y + down), (x - across, y + v), (x - across, y)),
            ((x - across, y - v), (x - h, y - down), (x, y - down)),
            ((x + h, y - down), (x + across, y - v), (x + across, y)),
        ],
    )
}

/// A circle.
pub(in crate::page) fn disc(middle: At, radius: i64) -> Outline {
    ellipse(middle, radius, radius)
}

/// A thick line with round ends.
pub(in crate::page) fn rod(from: At, till: At, width: i64) -> Outline {
    let (right, down) = (till.0 - from.0, till.1 - from.1);
    let length = (right * right + down * down).isqrt().max(1) * 2;
    // Along the rod and to its side, both as long as the radius.
    let (ahead, side) =
        ((right * width / length, down * width / length), (-down * width / length, right * width / length));
    let at = |p: At, along: i64, aside: i64| {
        (p.0 + (ahead.0 * along + side.0 * aside) / 1000, p.1 + (ahead.1 * along + side.1 * aside) / 1000)
    };
    Outline {
        start: at(from, 0, -1000),
        to: vec![
            Piece::Line(at(till, 0, -1000)),
            Piece::Curve(at(till, HANDLE, -1000), at(till, 1000, -HANDLE), at(till, 1000, 0)),
            Piece::Curve(at(till, 1000, HANDLE), at(till, HANDLE, 1000), at(till, 0, 1000)),
            Piece::Line(at(from, 0, 1000)),
            Piece::Curve(at(from, -HANDLE, 1000), at(from, -1000, HANDLE), at(from, -1000, 0)),
            Piece::Curve(at(from, -1000, -HANDLE), at(from, -HANDLE, -1000), at(from, 0, -1000)),
        ],
    }
}

impl Outline {
    /// The same elsewhere: each point goes through `f`.
    pub(in crate::page) fn moved(&self, f: impl Fn(At) -> At) -> Self {
        let to = self.to.iter().map(|piece| match piece {
            Piece::Line(p) => Piece::Line(f(*p)),
            Piece::Curve(a, b, c) => Piece::Curve(f(*a), f(*b), f(*c)),
        });
        Self { start: f(self.start), to: to.collect() }
    }
}

/// A scaled copy: `percent` of the size, then shifted.
pub(in crate::page) fn scaled(outline: &Outline, percent: i64, (x, y): At) -> Outline {
    outline.moved(|p| (p.0 * percent / 100 + x, p.1 * percent / 100 + y))
}

/// A mirrored copy: left and right changed.
pub(in crate::page) fn mirrored(outline: &Outline) -> Outline {
    outline.moved(|p| (-p.0, p.1))
}

/// A polygon from a flat list.
pub(in crate::page) fn corners(flat: &[i64]) -> Outline {
    polygon(&pairs(flat))
}

/// The right half as given, from top to bottom of the middle line, and its mirror image on the left.
pub(in crate::page) fn both_sides(top: At, right: &[(At, At, At)]) -> Outline {
    let starts: Vec<At> = std::iter::once(top).chain(right.iter().map(|(_, _, end)| *end)).collect();
    let flip = |p: At| (-p.0, p.1);
    let left = right.iter().zip(&starts).rev().map(|((a, b, _), start)| Piece::Curve(flip(*b), flip(*a), flip(*start)));
    let mut outline = curves(top, right);
    outline.to.extend(left);
    outline
}

/// A ring from a flat list, clockwise, its edges swelling inwards like the rim of a shell.
pub(in crate::page) fn scalloped(flat: &[i64]) -> Outline {
    let all = pairs(flat);
    let edges = all.iter().zip(all.iter().cycle().skip(1));
    let to = edges.map(|(a, b)| {
        let (right, down) = (b.0 - a.0, b.1 - a.1);
        let inside = |p: &At| (p.0 - down / 4, p.1 + right / 4);
        Piece::Curve(inside(a), inside(b), *b)
    });
    Outline { start: all.first().copied().unwrap_or_default(), to: to.collect() }
}

/// The figures and their mirror images.
pub(in crate::page) fn twice(figures: &[Figure]) -> Vec<Figure> {
    figures.iter().flat_map(|f| [f.clone(), Figure { ink: f.ink, outline: mirrored(&f.outline) }]).collect()
}

/// Places from a flat list: x and y of each in turn.
fn pairs(flat: &[i64]) -> Vec<At> {
    flat.as_chunks::<2>().0.iter().map(|[x, y]| (*x, *y)).collect()
}

/// Puts figures on the page: `middle` is where (0, 0) goes, `unit` is the length of 1000.
pub(in crate::page) fn placed(figures: &[Figure], middle: Point, unit: Length) -> Vec<Path> {
    let at = |p: At| Point { x: middle.x + unit.times_ratio(p.0, 1000), y: middle.y + unit.times_ratio(p.1, 1000) };
    figures
        .iter()
        .map(|figure| {
            let to = figure.outline.to.iter().map(|piece| match piece {
                Piece::Line(p) => Segment::Line(at(*p)),
                Piece::Curve(a, b, c) => Segment::Curve(at(*a), at(*b), at(*c)),
            });
            let ring = Ring { start: at(figure.outline.start), to: to.collect(), closed: true };
            Path { rings: vec![ring], paint: Paint::Fill(figure.ink) }
        })
        .collect()
}
