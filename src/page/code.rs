//! QR codes (ISO/IEC 18004), error correction level M, as rectangles on exact lengths. Part of `page`.

use super::mask::{Encoder, Symbol};
use super::size::Scale;
use super::{Ink, Paint, Path, Point, Ring, Segment};
use crate::unit::Length;
use std::collections::BTreeMap;
use std::rc::Rc;

/// Light modules kept clear on each side (ISO/IEC 18004).
pub(super) const QUIET: i64 = 4;
/// Modules never grow beyond this, unless a fixed width says so (policy: larger ones read no better at arm's length).
const LARGEST: Length = Length::um(600);

/// The modules of each payload met so far; a code is worked out once for all families of faces.
#[derive(Default)]
pub(super) struct Codes {
    known: BTreeMap<String, Option<Rc<Symbol>>>,
    encoder: Encoder,
}

impl Codes {
    fn of(&mut self, payload: &str) -> Option<Rc<Symbol>> {
        if let Some(known) = self.known.get(payload) {
            return known.clone();
        }
        let found = self.encoder.encode(payload).map(Rc::new);
        self.known.insert(payload.to_owned(), found.clone());
        found
    }
}

/// A code and how large its modules may be.
pub(super) struct Code {
    symbol: Rc<Symbol>,
    side: i64,
    least: Length,
    most: Length,
}

impl Code {
    /// `None` where the payload is too long for any code. A fixed cell width sets how far the modules may grow.
    pub fn new(payload: &str, least: Length, width: Option<Length>, codes: &mut Codes) -> Option<Self> {
        let symbol = codes.of(payload)?;
        let side = i64::try_from(symbol.side).ok()?;
        let least = least.max(Length::um(100));
        let most = width.map_or(LARGEST, |w| w / (side + 2 * QUIET)).max(least);
        Some(Self { symbol, side, least, most })
    }
    /// How far the code may grow.
    pub fn most(&self) -> Scale {
        Scale::within(self.least, self.most)
    }
    fn module(&self, scale: Scale) -> Length {
        scale.of(self.least).min(self.most)
    }
    /// Width and height with the quiet zone.
    pub fn size(&self, scale: Scale) -> Length {
        self.module(scale) * (self.side + 2 * QUIET)
    }
    /// Width of the quiet zone on one side.
    pub fn quiet(&self, scale: Scale) -> Length {
        self.module(scale) * QUIET
    }
    /// The dark modules, one rectangle for each horizontal run, with the quiet zone's corner at `x`, `y`.
    pub fn path(&self, x: Length, y: Length, scale: Scale) -> Path {
        outline(&self.symbol, x, y, self.module(scale))
    }
}

/// A rectangle for each run of dark modules, with the quiet zone's corner at `x`, `y`.
pub(super) fn outline(symbol: &Symbol, x: Length, y: Length, module: Length) -> Path {
    let at = |n: usize| module * (i64::try_from(n).unwrap_or(0) + QUIET);
    let place = |column: usize, row: usize| Point { x: x + at(column), y: y + at(row) };
    let rectangle = |(column, row, length): (usize, usize, usize)| {
        let corners = [place(column + length, row), place(column + length, row + 1), place(column, row + 1)];
        let to = corners.into_iter().map(Segment::Line).collect();
        Ring { start: place(column, row), to, closed: true }
    };
    Path { rings: symbol.runs().map(rectangle).collect(), paint: Paint::Fill(Ink::Black) }
}

#[cfg(test)]
mod tests {
    use super::{Code, Codes, Scale};
    use crate::page::{Ring, Segment};
    use crate::unit::Length;

    /// ISO/IEC 18004: version 1 has 21 modules a side; version 4-M holds 62 bytes in 33 modules (from memory).
    #[test]
    fn side_and_quiet_zone_are_whole_modules() {
        let code = Code::new("26329A4", Length::um(400), None, &mut Codes::default()).unwrap();
        assert_eq!(code.size(Scale::FLOOR), Length::um(400) * 29);
        let long = Code::new(&"q".repeat(60), Length::um(400), None, &mut Codes::default()).unwrap();
        assert_eq!(long.size(Scale(640)), Length::um(600) * (33 + 8));
        assert!(Code::new(&"q".repeat(3000), Length::um(400), None, &mut Codes::default()).is_none());
    }

    #[test]
    fn rectangles_cover_exactly_the_dark_modules() {
        let code = Code::new("26329A4", Length::um(400), None, &mut Codes::default()).unwrap();
        let path = code.path(Length::mm(10), Length::mm(20), Scale::FLOOR);
        let area = |r: &Ring| {
            let Segment::Line(across) = r.to[0] else { return 0 };
            (across.x - r.start.x).to_raw() / Length::um(400).to_raw()
        };
        let dark = code.symbol.dark.iter().filter(|d| **d).count();
        assert_eq!(path.rings.iter().map(area).sum::<i64>(), i64::try_from(dark).unwrap());
        assert_eq!(path.rings[0].start.x, Length::mm(10) + Length::um(1600));
        assert_eq!(path.rings[0].start.y, Length::mm(20) + Length::um(1600));
    }

    #[test]
    fn a_fixed_width_lets_modules_grow_into_it() {
        let code = Code::new("26329A4", Length::um(400), Some(Length::mm(29)), &mut Codes::default()).unwrap();
        assert_eq!(code.size(code.most()), Length::mm(29));
    }
}
