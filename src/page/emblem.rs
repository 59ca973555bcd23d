//! A maker's logo at its size and in its place. Part of `page`.

use super::{Ink, Paint, Path, Point, Ring, Segment};
use crate::logo::{self, Logo};
use crate::plan::Colour;
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

/// Black and greys are black ink alone; every other colour is printed as it is.
fn ink([red, green, blue]: [u8; 3]) -> Ink {
    if red != green || green != blue {
        return Ink::Own(Colour { red, green, blue });
    }
    match red {
        0..=12 => Ink::Black,
        253.. => Ink::White,
        // Percent of black.
        grey => Ink::Grey(u8::try_from(100 - u32::from(grey) * 100 / 255).unwrap_or(100)),
    }
}

#[cfg(test)]
mod tests {
    use super::ink;
    use crate::page::Ink;
    use crate::plan::Colour;

    /// Shares of 255: 128 is half, and 51 a fifth of white, so four fifths of black.
    #[test]
    fn greys_are_black_ink_and_colours_stay_colours() {
        assert_eq!(ink([0; 3]), Ink::Black);
        assert_eq!(ink([255; 3]), Ink::White);
        assert_eq!(ink([128; 3]), Ink::Grey(50));
        assert_eq!(ink([51; 3]), Ink::Grey(80));
        assert_eq!(ink([0, 0, 128]), Ink::Own(Colour { red: 0, green: 0, blue: 128 }));
        assert_eq!(ink([254, 255, 255]), Ink::Own(Colour { red: 254, green: 255, blue: 255 }));
    }
}
