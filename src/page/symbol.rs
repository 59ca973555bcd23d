//! The safety alert symbol: an exclamation mark in an equilateral triangle, drawn by this program. Part of `page`.
//!
//! A black triangle with the mark left open prints well on one-bit printers, where a thin outline breaks up.

use super::{Ink, Paint, Path, Point, Ring, Segment};
use crate::unit::Length;

/// Everything below is in thousandths of the symbol's height.
const HEIGHT: i64 = 1000;
/// Radius of the rounded corners.
const ROUND: i64 = 70;
/// Half the width: the triangle inside the rounding is `HEIGHT - 2 * ROUND` high, its half base that times tan 30 degrees.
const HALF: i64 = ROUND + ((HEIGHT - 2 * ROUND) * 577_350 + 999_999) / 1_000_000;

/// Width of a symbol of this height.
pub(super) fn width(height: Length) -> Length {
    height.times_ratio(2 * HALF, HEIGHT)
}

/// The symbol with its left end at `x`, standing on `baseline`.
pub(super) fn path(x: Length, baseline: Length, height: Length) -> Path {
    let place = |(right, up): (i64, i64)| Point {
        x: x + height.times_ratio(HALF + right, HEIGHT),
        y: baseline - height.times_ratio(up, HEIGHT),
    };
    let rings = [triangle(), bar(), dot()].into_iter().map(|outline| Ring {
        start: place(outline.start),
        to: outline
            .to
            .into_iter()
            .map(|s| match s {
                Piece::Line(p) => Segment::Line(place(p)),
                Piece::Curve(a, b, c) => Segment::Curve(place(a), place(b), place(c)),
            })
            .collect(),
        closed: true,
    });
    Path { rings: rings.collect(), paint: Paint::FillEvenOdd(Ink::Black) }
}

/// From the middle of the base, up.
type At = (i64, i64);

enum Piece {
    Line(At),
    Curve(At, At, At),
}

struct Outline {
    start: At,
    to: Vec<Piece>,
}

/// An arc of 60 degrees round `(x, y)` from direction `from`, as one cubic: handles of 4/3 tan 15 degrees times the radius.
fn arc((x, y): At, radius: i64, from: usize) -> Piece {
    const HANDLE: i64 = 357_266; // 4/3 tan(15 degrees), in millionths
    let (a, b) = (DIRECTIONS[from % 12], DIRECTIONS[(from + 2) % 12]);
    let on = |d: (i64, i64)| (x + d.0 * radius / 1_000_000, y + d.1 * radius / 1_000_000);
    let (start, end) = (on(a), on(b));
    let along = |d: (i64, i64), sign: i64| {
        (-d.1 * radius / 1_000_000 * HANDLE / 1_000_000 * sign, d.0 * radius / 1_000_000 * HANDLE / 1_000_000 * sign)
    };
    let (out, back) = (along(a, 1), along(b, -1));
    Piece::Curve((start.0 + out.0, start.1 + out.1), (end.0 + back.0, end.1 + back.1), end)
}

/// Cosine and sine of multiples of 30 degrees, in millionths.
const DIRECTIONS: [(i64, i64); 12] = [
    (1_000_000, 0),
    (866_025, 500_000),
    (500_000, 866_025),
    (0, 1_000_000),
    (-500_000, 866_025),
    (-866_025, 500_000),
    (-1_000_000, 0),
    (-866_025, -500_000),
    (-500_000, -866_025),
    (0, -1_000_000),
    (500_000, -866_025),
    (866_025, -500_000),
];

/// Counter-clockwise from the right end of the base; each corner turns by 120 degrees in two arcs.
fn triangle() -> Outline {
    let inner = HALF - ROUND;
    let corners = [(inner, ROUND, 9), (0, HEIGHT - ROUND, 1), (-inner, ROUND, 5)];
    let on = |x: i64, y: i64, from: usize| {
        let d = DIRECTIONS[from % 12];
        (x + d.0 * ROUND / 1_000_000, y + d.1 * ROUND / 1_000_000)
    };
    let mut to = Vec::new();
    for (i, (x, y, from)) in corners.into_iter().enumerate() {
        if i > 0 {
            to.push(Piece::Line(on(x, y, from)));
        }
        to.push(arc((x, y), ROUND, from));
        to.push(arc((x, y), ROUND, from + 2));
    }
    let (x, y, from) = corners[0];
    Outline { start: on(x, y, from), to }
}

/// The stroke of the exclamation mark, tapering downwards.
fn bar() -> Outline {
    let (top, foot) = (730, 335);
    let (wide, narrow) = (74, 48);
    Outline {
        start: (-narrow, foot),
        to: vec![
            Piece::Line((narrow, foot)),
            Piece::Line((wide, top - 46)),
            Piece::Curve((wide, top + 16), (-wide, top + 16), (-wide, top - 46)),
        ],
    }
}

/// Its dot.
fn dot() -> Outline {
    let (middle, radius) = ((0, 205), 74);
    let to = (0..6).map(|i| arc(middle, radius, 2 * i)).collect();
    Outline { start: (radius, 205), to }
}

#[cfg(test)]
mod tests {
    use super::{path, width};
    use crate::page::Segment;
    use crate::unit::Length;

    #[test]
    fn symbol_is_symmetric_equilateral_and_stands_on_the_baseline() {
        let h = Length::mm(10);
        let p = path(Length::ZERO, h, h);
        let mut points = vec![p.rings[0].start];
        for s in &p.rings[0].to {
            match s {
                Segment::Line(p) | Segment::Curve(_, _, p) => points.push(*p),
            }
        }
        let (left, right) = (points.iter().map(|p| p.x).min().unwrap(), points.iter().map(|p| p.x).max().unwrap());
        assert!(left >= Length::ZERO && right <= width(h));
        assert!((left + right - width(h)).to_raw().abs() < 400, "lopsided");
        assert!((points.iter().map(|p| p.y).max().unwrap() - h).to_raw().abs() < 400);
        assert!(points.iter().map(|p| p.y).min().unwrap().to_raw().abs() < 400);
        // Straight sides of the three edges are equally long.
        let sides: Vec<f64> = p.rings[0]
            .to
            .windows(2)
            .filter_map(|w| match (w[0], w[1]) {
                (Segment::Curve(_, _, a), Segment::Line(b)) => {
                    Some((a.x - b.x).to_mm_f64().hypot((a.y - b.y).to_mm_f64()))
                }
                _ => None,
            })
            .collect();
        assert_eq!(sides.len(), 2);
        assert!((sides[0] - sides[1]).abs() < 0.02, "{sides:?}");
    }
}
