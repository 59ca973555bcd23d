//! Labels placed on paper in millimetres: sheets of positions, a print shop's page, the printer's error, its test page.
//!
//! After `page`, before `pdf`. Positions are counted from 1, row by row from the upper left corner; all places are from the
//! upper left corner of the paper, y down. A sheet is pure geometry: what it is sold as is nobody's business here.

mod correction;
mod file;
mod place;
mod press;
mod test_page;

pub use correction::{ACROSS, Axis, Correction, DOWN, ORIGIN};
pub use file::{BUILT_IN, built_in, read};
pub use place::{Job, fill};
pub use press::{Blank, Cut, single};
pub use test_page::test_page;

use crate::find::Place;
use crate::page::Ring;
use crate::plan::Shape;
use crate::unit::Length;

/// A sheet of positions, all alike.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// Its name.
    pub name: String,
    /// One line about it.
    pub about: String,
    /// Across the paper.
    pub width: Length,
    /// Down the paper.
    pub height: Length,
    /// Positions side by side.
    pub columns: u32,
    /// Positions one below the other.
    pub rows: u32,
    /// The outline of one position.
    pub shape: Shape,
    /// From the paper's left edge to the first position.
    pub left: Length,
    /// From the paper's upper edge to the first position.
    pub top: Length,
    /// From the left edge of a position to that of the next.
    pub across: Length,
    /// From the upper edge of a position to that of the next.
    pub down: Length,
    /// Where it stands.
    pub place: Place,
}

impl Sheet {
    /// How many positions it has.
    #[must_use]
    pub const fn positions(&self) -> u32 {
        self.columns * self.rows
    }

    /// The upper left corner of the box around position `n`, counted from 1; `None` where there is none.
    ///
    /// ```
    /// use waxbill::{sheet, unit::Length};
    /// let sheet = sheet::read(&sheet::built_in("a4-3x4").unwrap()).unwrap();
    /// // Seventh of three columns: third row, first column; 11 mm, and 5.5 + 2 x 72 mm.
    /// assert_eq!(sheet.position(7), Some((Length::mm(11), Length::um(149_500))));
    /// assert_eq!(sheet.position(13), None);
    /// ```
    #[must_use]
    pub fn position(&self, n: u32) -> Option<(Length, Length)> {
        if n == 0 || n > self.positions() {
            return None;
        }
        let (row, column) = (i64::from((n - 1) / self.columns), i64::from((n - 1) % self.columns));
        Some((self.left + self.across * column, self.top + self.down * row))
    }
}

/// One printed page of paper.
#[derive(Debug, Clone)]
pub struct Leaf {
    /// Across the paper.
    pub width: Length,
    /// Down the paper.
    pub height: Length,
    /// From each edge of the paper to what is left after cutting; zero for a sheet, which is not cut.
    pub edge: Length,
    /// How far beyond the cut the print goes.
    pub bleed: Length,
    /// Lines for those who cut and fold.
    pub marks: Vec<Mark>,
    /// Name of the sheet; none where it is one label's page.
    pub sheet: Option<String>,
    /// The labels on it.
    pub spots: Vec<Spot>,
}

/// A label in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spot {
    /// Which part of the label, from 0.
    pub part: usize,
    /// Which unit, counted from 0.
    pub unit: u32,
    /// Which position of the sheet it takes, from 1.
    pub position: Option<u32>,
    /// Its left edge.
    pub left: Length,
    /// Its upper edge.
    pub top: Length,
}

/// Lines for those who cut and fold: no part of the label.
#[derive(Debug, Clone)]
pub struct Mark {
    /// What they say.
    pub kind: MarkKind,
    /// The lines, from the upper left corner of the paper.
    pub rings: Vec<Ring>,
    /// How wide they are.
    pub line: Length,
}

/// What a mark says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkKind {
    /// Cut along this line; stands beyond the bleed, on every plate.
    Cut,
    /// Fold along this line; dashed, beyond the bleed, on every plate.
    Fold,
    /// The die cuts here: along the cut itself, as an ink of its own that is never printed.
    Die,
}
