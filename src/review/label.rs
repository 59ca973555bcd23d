//! The label under review: its pages, which part each prints, and their lines in several groupings. Part of `review`.

use super::rows::{self, Row};
use crate::inspect::{Code, GAPS, SeenLabel, SeenPage, group};
use crate::plan::Shape;
use crate::unit::Length;
use std::cell::OnceCell;

/// What is known of a printed part beforehand: from the product's template or from `--part`.
#[derive(Debug, Clone)]
pub struct Known {
    /// `front`, `base`, `wrap`.
    pub name: String,
    /// Whether this is the side shown to the customer.
    pub principal: bool,
    /// How it is cut.
    pub shape: Shape,
}

/// One page, or the plain text that stands for a label.
pub struct Page<'a> {
    /// From 1.
    pub number: usize,
    /// The part it prints.
    pub part: Option<String>,
    /// Whether it is the side shown to the customer, where that is known.
    pub principal: Option<bool>,
    /// How it is cut.
    pub shape: Shape,
    /// What is on it; `None` for plain text.
    pub seen: Option<&'a SeenPage>,
    /// Codes for telephones on it.
    pub codes: &'a [Code],
    /// How many alike stand on the sheet.
    pub of: usize,
    /// Numbers of further pages with the same label.
    pub again: Vec<usize>,
    text: Option<&'a str>,
    groupings: [OnceCell<Vec<Row>>; GAPS.len()],
    hidden: OnceCell<Vec<Row>>,
}

/// Sizes of page and part may differ this much (mm) and still be the same part.
const SAME_SIZE: f64 = 0.1;

impl<'a> Page<'a> {
    /// A page of a PDF. `named` is what the user said it prints, `known` the parts of the product's own template.
    #[must_use]
    pub fn of(label: &'a SeenLabel, named: Option<&str>, known: &[Known]) -> Self {
        let (seen, codes) = (&label.page, label.codes.as_slice());
        let shape =
            Shape::Rectangle { width: Length::from_mm_f64(seen.width), height: Length::from_mm_f64(seen.height) };
        let alike = |k: &&Known| {
            (k.shape.width().to_mm_f64() - seen.width).abs() < SAME_SIZE
                && (k.shape.height().to_mm_f64() - seen.height).abs() < SAME_SIZE
        };
        let part = match named {
            Some(name) => known.iter().find(|k| k.name == name),
            None => known.iter().find(alike),
        };
        Self {
            number: seen.number,
            part: named.map(str::to_owned).or_else(|| part.map(|p| p.name.clone())),
            principal: part.map(|p| p.principal).or_else(|| named.map(|n| n == "front")),
            shape: part.filter(alike).map_or(shape, |p| p.shape),
            seen: Some(seen),
            codes,
            of: label.of,
            again: Vec::new(),
            text: None,
            groupings: Default::default(),
            hidden: OnceCell::new(),
        }
    }

    /// A plain text.
    #[must_use]
    pub fn of_text(text: &'a str) -> Self {
        Self {
            number: 1,
            part: None,
            principal: None,
            shape: Shape::Rectangle { width: Length::mm(0), height: Length::mm(0) },
            seen: None,
            codes: &[],
            of: 1,
            again: Vec::new(),
            text: Some(text),
            groupings: Default::default(),
            hidden: OnceCell::new(),
        }
    }

    /// Whether it is known where the label ends: not on a sheet of paper, nor where labels alike are told by their places.
    #[must_use]
    pub fn edges_known(&self) -> bool {
        /// Smaller than the usual sheets of paper, in mm.
        const PAPER: [f64; 2] = [200.0, 270.0];
        let paper = |s: &SeenPage| s.width.min(s.height) >= PAPER[0] && s.width.max(s.height) >= PAPER[1];
        self.of == 1 && !self.seen.is_some_and(paper)
    }

    /// The name of the part for messages.
    #[must_use]
    pub fn name(&self) -> String {
        self.part.clone().unwrap_or_else(|| format!("page {}", self.number))
    }

    /// The lines that can be seen, blocks side by side parted in one of several ways.
    #[must_use]
    pub fn rows(&self, grouping: usize) -> &[Row] {
        self.groupings[grouping].get_or_init(|| match self.seen {
            None if grouping == 0 => rows::of_text(self.text.unwrap_or("")),
            None => Vec::new(),
            Some(seen) if grouping == 0 => rows::of(seen, &seen.lines),
            Some(seen) => rows::of(seen, &group(seen, GAPS[grouping], |g| g.hidden.is_none())),
        })
    }

    /// The lines with what is in the file but not seen.
    #[must_use]
    pub fn with_hidden(&self) -> &[Row] {
        self.hidden.get_or_init(|| match self.seen {
            None => Vec::new(),
            Some(seen) => rows::of(seen, &group(seen, GAPS[0], |_| true)),
        })
    }

    /// Where a glyph stands: its ink, else its origin, in mm.
    #[must_use]
    pub fn place(&self, glyph: usize) -> Option<(f64, f64)> {
        let glyph = self.seen?.glyphs.get(glyph)?;
        Some(glyph.ink.map_or((glyph.x, glyph.baseline), |a| (a.left, a.top)))
    }
}

/// How many groupings there are.
pub const GROUPINGS: usize = GAPS.len();
