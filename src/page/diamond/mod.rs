//! The hazard pictograms of CLP. Part of `page`.
//!
//! Annex I, 1.2.1 of Regulation (EC) 1272/2008: a square set at a point, a black symbol on white, a red frame wide enough to
//! be clearly visible. Annex V shows the symbols; six of ours are traced from the pictures of the United Nations (GHS, Annex 1,
//! as the LaTeX package ghsystem 4.8c has them),
//! the flame, the gas bottle and the exclamation mark are drawn after them. All are meant to be known at a side of 10 mm.
//! In thousandths of half the diagonal, the inner square reaches from -`INNER` to `INNER`.

mod environment;
mod health;
mod physical;

use super::figure::{Figure, placed, polygon, white};
use super::{Ink, Path, Point};
use crate::trade::Ghs;
use crate::unit::Length;

/// Half the diagonal of the white square; the rest is the frame, 6 hundredths of the side wide.
const INNER: i64 = 880;

/// Width and height of the box around a pictogram whose side is so long: its diagonal.
#[must_use]
pub fn extent(side: Length) -> Length {
    side.times_ratio(1_414_213_562, 1_000_000_000)
}

/// A pictogram; `top_left` is the corner of the box around it, `side` the side of the red square.
#[must_use]
pub fn pictogram(ghs: Ghs, top_left: Point, side: Length) -> Vec<Path> {
    let half = extent(side) / 2;
    let middle = Point { x: top_left.x + half, y: top_left.y + half };
    let square = |r: i64| polygon(&[(0, -r), (r, 0), (0, r), (-r, 0)]);
    let mut figures = vec![Figure { ink: Ink::Red, outline: square(1000) }, white(square(INNER))];
    figures.extend(symbol(ghs));
    placed(&figures, middle, half)
}

fn symbol(ghs: Ghs) -> Vec<Figure> {
    match ghs {
        Ghs::Bomb => physical::bomb(),
        Ghs::Flame => physical::flame(),
        Ghs::FlameOverCircle => physical::flame_over_circle(),
        Ghs::GasCylinder => physical::gas_cylinder(),
        Ghs::Corrosion => health::corrosion(),
        Ghs::Skull => health::skull(),
        Ghs::Exclamation => health::exclamation(),
        Ghs::HealthHazard => health::health_hazard(),
        Ghs::Environment => environment::environment(),
    }
}

#[cfg(test)]
mod tests {
    use super::{INNER, extent, pictogram, symbol};
    use crate::page::figure::{At, Piece};
    use crate::page::{Ink, Paint, Point, Segment};
    use crate::trade::Ghs;
    use crate::unit::Length;

    /// Ends of all pieces, and eight places along each curve.
    fn along(start: At, to: &[Piece]) -> Vec<At> {
        let (mut at, mut all) = (start, vec![start]);
        for piece in to {
            match *piece {
                Piece::Line(p) => at = p,
                Piece::Curve(a, b, c) => {
                    for t in 1..8_i64 {
                        let weights = [(8 - t).pow(3), 3 * t * (8 - t).pow(2), 3 * t * t * (8 - t), t.pow(3)];
                        let sum = |f: fn(At) -> i64| {
                            [at, a, b, c].iter().zip(weights).map(|(p, w)| f(*p) * w).sum::<i64>() / 512
                        };
                        all.push((sum(|p| p.0), sum(|p| p.1)));
                    }
                    at = c;
                }
            }
            all.push(at);
        }
        all
    }

    #[test]
    fn no_symbol_touches_its_frame() {
        for ghs in Ghs::ALL {
            let figures = symbol(*ghs);
            let black =
                figures.iter().filter(|f| f.ink == Ink::Black).flat_map(|f| along(f.outline.start, &f.outline.to));
            let (mut least, mut most) = (i64::MAX, 0);
            for (x, y) in black {
                assert!(x.abs() + y.abs() <= INNER - 30, "{ghs}: {x}, {y}");
                (least, most) = (least.min(y), most.max(y));
            }
            assert!(most - least > 550, "{ghs} is only {} high", most - least);
            for (x, y) in figures.iter().flat_map(|f| along(f.outline.start, &f.outline.to)) {
                assert!(x.abs() + y.abs() < INNER, "{ghs} cuts into its frame: {x}, {y}");
            }
        }
    }

    #[test]
    fn the_frame_is_a_red_square_of_the_asked_side_on_its_point() {
        let (side, corner) = (Length::mm(10), Point { x: Length::mm(3), y: Length::mm(7) });
        assert!((extent(side).to_mm_f64() - 14.142_135).abs() < 1e-3);
        let paths = pictogram(Ghs::Exclamation, corner, side);
        let points = |n: usize| {
            let ring = &paths[n].rings[0];
            let rest = ring.to.iter().map(|s| match s {
                Segment::Line(p) | Segment::Curve(_, _, p) => *p,
            });
            std::iter::once(ring.start).chain(rest).collect::<Vec<_>>()
        };
        let length = |a: Point, b: Point| (a.x - b.x).to_mm_f64().hypot((a.y - b.y).to_mm_f64());
        let outer = points(0);
        assert_eq!(paths[0].paint, Paint::Fill(Ink::Red));
        assert_eq!(paths[1].paint, Paint::Fill(Ink::White));
        for edge in [(0, 1), (1, 2), (2, 3), (3, 0)] {
            assert!((length(outer[edge.0], outer[edge.1]) - 10.0).abs() < 1e-3);
        }
        assert!((outer[0].y - corner.y).to_raw().abs() < 4 && (outer[3].x - corner.x).to_raw().abs() < 4);
        // Wide enough to be clearly visible: 0.6 mm of 10 mm.
        assert!((length(points(1)[0], points(1)[1]) - 8.8).abs() < 1e-3);
    }
}
