//! What each printed part must carry: texts by language, least heights, grouping and order.
//!
//! After `require`, before `page`; `inspect` reads a finished PDF against the same [`Plan`].

mod colour;
mod folds;
mod french;
mod logo;
mod make;
mod piece;
pub mod template;

pub use colour::Colour;
pub use french::set as in_french;
pub use logo::faults as logo_faults;
pub use make::{LEGIBLE, MODULE, SIGN, hazard_sizes, of, sizes};
pub use piece::{Hole, OnPiece, Printed};

use crate::logo::Logo;
use crate::trade::{BlockName, Lang, Market, Measure, Severity, Sign};
use crate::unit::Length;
use serde::Serialize;
use std::sync::Arc;

/// The outline a part is cut to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// Square corners.
    Rectangle {
        /// Across.
        width: Length,
        /// Down.
        height: Length,
    },
    /// Corners rounded with a quarter circle.
    Rounded {
        /// Across.
        width: Length,
        /// Down.
        height: Length,
        /// Radius of the corners.
        corner: Length,
    },
    /// A disc.
    Circle {
        /// Across.
        diameter: Length,
    },
}

impl Shape {
    /// Width of the box around the shape.
    #[must_use]
    pub const fn width(self) -> Length {
        match self {
            Self::Rectangle { width, .. } | Self::Rounded { width, .. } => width,
            Self::Circle { diameter } => diameter,
        }
    }
    /// Height of the box around the shape.
    #[must_use]
    pub const fn height(self) -> Length {
        match self {
            Self::Rectangle { height, .. } | Self::Rounded { height, .. } => height,
            Self::Circle { diameter } => diameter,
        }
    }
}

/// Everything one label (all its parts) has to carry.
#[derive(Debug, Clone, Serialize)]
pub struct Plan {
    /// Where the label is for.
    pub market: Market,
    /// Name of the product, for the PDF's title.
    pub product: String,
    /// Languages of the label, the main one first.
    pub languages: Vec<Lang>,
    /// What is asked of its languages, in markets of two.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub equal: Option<Equal>,
    /// The printed pieces, in the order of the PDF's pages; faces of one piece follow each other, see [`Plan::printed`].
    pub parts: Vec<Part>,
}

/// What is asked of a statement that stands in two languages.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Equal {
    /// The rule.
    pub rule: String,
    /// How strongly it binds.
    pub severity: Severity,
    /// The language that may be neither smaller nor later than another; without it both have one size.
    pub first: Option<Lang>,
}

/// One printed piece, or one face of a piece that has several side by side.
#[derive(Debug, Clone, Serialize)]
pub struct Part {
    /// `front`, `base`, `wrap`, `lid`, `tag`.
    pub name: String,
    /// Whether this is the principal display panel.
    pub principal: bool,
    /// The outline; the PDF page is the box around it.
    pub shape: Shape,
    /// Nothing is printed nearer to the edge than this.
    pub margin: Length,
    /// A hole punched through it: nothing is printed in it or near it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hole: Option<Hole>,
    /// The piece it is a face of, where faces are printed side by side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub piece: Option<OnPiece>,
    /// Printed under everything; none is white paper. What law and standards ask for stands on white all the same.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ground: Option<Colour>,
    /// Rows from top to bottom.
    pub rows: Vec<Row>,
}

/// Blocks set side by side.
#[derive(Debug, Clone, Serialize)]
pub struct Row {
    /// Left to right.
    pub cells: Vec<Cell>,
    /// Whether the row is pushed to the foot of the part.
    pub at_foot: bool,
}

/// One block in its place.
#[derive(Debug, Clone, Serialize)]
pub struct Cell {
    /// What it says.
    pub block: Block,
    /// Where its lines stand.
    pub align: Align,
    /// Fixed width, or what is left (shared evenly).
    pub width: Option<Length>,
    /// Colour of its letters; none is black. Only for what neither law nor standard asks for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ink: Option<Colour>,
}

impl Cell {
    /// Whether it is always printed in black on white: what law or a standard asks for, pictures and codes.
    #[must_use]
    pub fn black_on_white(&self) -> bool {
        self.block.items.iter().any(|i| {
            matches!(i.severity, Severity::Required | Severity::Standard) || !matches!(i.content, Content::Text { .. })
        })
    }
}

/// Where lines stand between the edges.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Align {
    /// Ragged right.
    Left,
    /// Centred.
    Centre,
    /// Ragged left.
    Right,
}

/// Statements that stay together.
#[derive(Debug, Clone, Serialize)]
pub struct Block {
    /// Which group.
    pub name: BlockName,
    /// In order.
    pub items: Vec<Item>,
    /// Items follow each other as running text instead of each on a line of its own.
    pub run_on: bool,
    /// A thin frame is drawn around the block.
    pub frame: bool,
    /// The height the type of this block may grow to, measured as its items are; the floor is each item's `least`.
    pub largest: Length,
}

/// One statement, figure, symbol or code.
#[derive(Debug, Clone, Serialize)]
pub struct Item {
    /// Requirement it answers: `us/fire-warning#keep from children`.
    pub id: String,
    /// How strongly it binds; only `required` and `standard` items, and those of the block `lot`, may never be dropped.
    pub severity: Severity,
    /// What is printed.
    pub content: Content,
    /// Least height, measured as `measure` says.
    pub least: Length,
    /// On which letter.
    pub measure: Measure,
    /// Printed in bold.
    pub bold: bool,
    /// Free space that must stay round it, if any.
    pub clear: Option<ClearSpace>,
    /// Must stand in the lowest so many percent of the part.
    pub lowest_percent: Option<u8>,
}

/// Space round a statement, as multiples of its own letters (16 CFR 500.6(b)).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct ClearSpace {
    /// Above and below: times the height of the lettering.
    pub heights: u8,
    /// Left and right: times the width of the letter `N`.
    pub widths_of_n: u8,
}

/// What an [`Item`] prints.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Content {
    /// Words, with no-break spaces already in place.
    Text {
        /// As printed.
        text: String,
        /// In this language.
        lang: Lang,
    },
    /// Words with the safety alert symbol immediately before them on the same line.
    AlertText {
        /// As printed, without the symbol.
        text: String,
        /// In this language.
        lang: Lang,
    },
    /// A QR code.
    Qr {
        /// What it holds.
        payload: String,
        /// Least side of a module.
        module: Length,
    },
    /// The maker's logo.
    Logo {
        /// Its drawing.
        #[serde(serialize_with = "crate::logo::shared")]
        logo: Arc<Logo>,
        /// Width it is printed with.
        width: Length,
        /// Height it is printed with.
        height: Length,
    },
    /// Pictures of equal size in a row; what they say stands beside them in words.
    Pictograms {
        /// Left to right.
        signs: Vec<Sign>,
        /// Least side: of the square set on its point (hazard pictograms), of the square or disc (signs for use).
        side: Length,
    },
}
