//! Placed glyphs and shapes in millimetres: the narrow waist between layout and PDF.
//!
//! After `plan`, before `pdf`. All coordinates are from the top left corner of the page's box, y down.
//!
//! [`set`] lays out a label. Each text's floor is the em at which its measured letter has the least height of its rule; one
//! scale, from 1.0 upwards in steps of 1/64, makes all of a part grow to the largest at which all fit ([`fitted`]), then each block may grow by itself to
//! the height its plan allows. Letters are never squeezed: a narrower family is taken instead, by the rule in `fit`.
//! What cannot be placed at its floor is a finding, never an overflow; `check` looks at the finished page once more.

mod batch;
mod block;
mod burning;
mod check;
mod code;
mod diamond;
mod draw;
mod emblem;
mod figure;
mod fit;
pub mod form;
mod ground;
mod keep;
mod lines;
mod mask;
mod outline;
mod part;
mod picture;
mod rag;
mod rank;
mod relief;
mod safety;
mod sign;
mod size;
mod symbol;
mod unit;
mod wording;

pub use batch::{batch_lots, batch_sheet};
pub use diamond::{extent as pictogram_extent, pictogram};
pub use fit::{Fitted, fitted, set};
pub use ground::{bled, outline};
pub use safety::sign;
pub use unit::{DarkRun, Series, UnitCode, UnitCodes};

use crate::font::FaceId;
use crate::plan::{Colour, Shape};
use crate::unit::Length;
use serde::Serialize;

/// One page of a PDF: one part of a label, or a sheet of paper.
#[derive(Debug, Clone, Serialize)]
pub struct Page {
    /// `front`, `base`, `batch sheet`.
    pub part: String,
    /// The outline; the page is the box around it.
    pub trim: Shape,
    /// In drawing order.
    pub items: Vec<Placed>,
}

/// Something drawn.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Placed {
    /// A line of text.
    Text(Text),
    /// Filled or stroked shapes.
    Path(Path),
}

/// One run of text on one baseline, in one face.
#[derive(Debug, Clone, Serialize)]
pub struct Text {
    /// The words; never a line break.
    pub text: String,
    /// Which face.
    pub face: FaceId,
    /// The em.
    pub size: Length,
    /// Left end.
    pub x: Length,
    /// Baseline, from the top.
    pub baseline: Length,
    /// Colour.
    pub ink: Ink,
}

/// Closed or open outlines, painted at once.
#[derive(Debug, Clone, Serialize)]
pub struct Path {
    /// Each ring or line.
    pub rings: Vec<Ring>,
    /// How it is painted.
    pub paint: Paint,
}

/// One outline.
#[derive(Debug, Clone, Serialize)]
pub struct Ring {
    /// Where it starts.
    pub start: Point,
    /// Where it goes.
    pub to: Vec<Segment>,
    /// Whether it returns to its start.
    pub closed: bool,
}

/// A place on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Point {
    /// From the left.
    pub x: Length,
    /// From the top.
    pub y: Length,
}

/// A piece of an outline.
#[derive(Debug, Clone, Copy, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Segment {
    /// Straight.
    Line(Point),
    /// Cubic Bézier: two control points, then the end.
    Curve(Point, Point, Point),
}

/// How a path is painted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Paint {
    /// Inside, by the nonzero rule.
    Fill(Ink),
    /// Inside, by the even-odd rule (rings cut holes).
    FillEvenOdd(Ink),
    /// Along the outline.
    Stroke(Ink, Length),
}

/// A colour of ink. Black is pure black (K only).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ink {
    /// Pure black.
    Black,
    /// Paper.
    White,
    /// Half-tone black for rules on forms, in percent of black.
    Grey(u8),
    /// The red of warning frames.
    Red,
    /// A colour of the maker's own: red, green and blue.
    Own(Colour),
}

impl Ring {
    /// The same, so much further right and down.
    #[must_use]
    pub fn moved(self, right: Length, down: Length) -> Self {
        let to = |p: Point| Point { x: p.x + right, y: p.y + down };
        let segment = |s: Segment| match s {
            Segment::Line(p) => Segment::Line(to(p)),
            Segment::Curve(a, b, p) => Segment::Curve(to(a), to(b), to(p)),
        };
        Self { start: to(self.start), to: self.to.into_iter().map(segment).collect(), ..self }
    }
}

impl Placed {
    /// The same, so much further right and down.
    #[must_use]
    pub fn moved(self, right: Length, down: Length) -> Self {
        if right == Length::ZERO && down == Length::ZERO {
            return self;
        }
        match self {
            Self::Text(t) => Self::Text(Text { x: t.x + right, baseline: t.baseline + down, ..t }),
            Self::Path(Path { rings, paint }) => {
                Self::Path(Path { rings: rings.into_iter().map(|r| r.moved(right, down)).collect(), paint })
            }
        }
    }
}
