//! A maker's logo at its size and in its place. Part of `page`.

use super::{Ink, Paint, Path, Point, Ring, Segment};
use crate::logo::{self, Logo};
use crate::unit::Length;
use std::sync::Arc;

/// A logo of fixed size.
pub(super) struct Emblem {
    pub logo: Arc<Logo>,
    pub width: Length,
    pub height: Length,
}

impl Emblem {
    /// Its shapes with the corner of their box at `corner`.
    pub fn paths(&self, corner: Point) -> Vec<Path> {
        let at = |[x, y]: logo::At| Point {
            x: corner.x + self.width.times_ratio(x, self.logo.width.max(1)),
            y: corner.y + self.height.times_ratio(y, self.logo.height.max(1)),
        };
        let segment = |p: &logo::Piece| match *p {
            logo::Piece::Line(p) => Segment::Line(at(p)),
            logo::Piece::Curve(a, b, p) => Segment::Curve(at(a), at(b), at(p)),
        };
        let ring = |r: &logo::Ring| Ring { start: at(r.start), to: r.to.iter().map(segment).collect(), closed: true };
        let path = |s: &logo::Shape| Path {
            rings: s.rings.iter().map(ring).collect(),
            paint: if s.even_odd { Paint::FillEvenOdd(ink(s.colour)) } else { Paint::Fill(ink(s.colour)) },
        };
        self.logo.shapes.iter().map(path).collect()
    }
}

/// Black and greys are black ink alone.
fn ink([red, green, blue]: [u8; 3]) -> Ink {
    let luma = (u32::from(red) * 299 + u32::from(green) * 587 + u32::from(blue) * 114) / 1000;
    match luma {
        0..=12 => Ink::Black,
        253.. => Ink::White,
        // Percent of black.
        grey => Ink::Grey(u8::try_from(100 - grey * 100 / 255).unwrap_or(100)),
    }
}
