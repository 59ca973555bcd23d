//! What differs from unit to unit on a part: the line with the unit's code and its QR code. The rest is set once. Part of `page`.
//!
//! A label is fitted for one unit; the codes of the others are as long, so they take its places.

use super::code::{QUIET, outline};
use super::mask::Encoder;
use super::{Page, Paint, Path, Placed, Ring, Segment, Text};
use crate::find::Finding;
use crate::plan::{Content, Part};
use crate::unit::Length;

/// A part of a label, taken apart.
#[derive(Debug, Clone)]
pub struct Series {
    /// What all units have alike.
    pub fixed: Page,
    /// Lines that hold the code of the first unit.
    pub texts: Vec<Text>,
    /// QR codes that hold it.
    pub codes: Vec<UnitCode>,
}

/// A QR code that is another for each unit.
#[derive(Debug, Clone)]
pub struct UnitCode {
    /// What it holds for the first unit.
    pub payload: String,
    /// Left edge of its modules, from the left of the part.
    pub x: Length,
    /// Upper edge of its modules, from the top.
    pub y: Length,
    /// Side of one module.
    pub module: Length,
    /// Modules along a side.
    pub side: usize,
}

impl Series {
    /// Nothing differs.
    #[must_use]
    pub const fn same(page: Page) -> Self {
        Self { fixed: page, texts: Vec::new(), codes: Vec::new() }
    }

    /// Parts the page of a part from what holds `code`, the code of the unit it was set for.
    ///
    /// # Errors
    /// When a statement of the part holds the code and it is not found on the page as one line or one QR code.
    pub fn of(page: Page, part: &Part, code: &str) -> Result<Self, Finding> {
        let contents = part.rows.iter().flat_map(|r| &r.cells).flat_map(|c| &c.block.items).map(|i| &i.content);
        let (mut texts, mut payloads) = (0, Vec::new());
        for content in contents {
            match content {
                Content::Text { text, .. } | Content::AlertText { text, .. } => {
                    texts += usize::from(text.contains(code));
                }
                Content::Qr { payload, .. } if payload.contains(code) => payloads.push(payload.clone()),
                Content::Qr { .. } | Content::Pictograms { .. } | Content::Logo { .. } => {}
            }
        }
        let mut series =
            Self { fixed: Page { items: Vec::new(), ..page.clone() }, texts: Vec::new(), codes: Vec::new() };
        for item in page.items {
            match &item {
                Placed::Text(text) if text.text.contains(code) => series.texts.push(text.clone()),
                Placed::Path(path) => match payloads.iter().position(|payload| is_code(path, payload).is_some()) {
                    Some(n) => series.codes.extend(is_code(path, &payloads.swap_remove(n))),
                    None => series.fixed.items.push(item),
                },
                Placed::Text(_) => series.fixed.items.push(item),
            }
        }
        if series.texts.len() < texts || !payloads.is_empty() {
            return Err(Finding::input(
                "sheet/unit-code",
                format!("the code `{code}` is broken across lines on the part `{}`", part.name),
                "give the block `lot` a row of its own in the template, or more width",
            ));
        }
        Ok(series)
    }

    /// Whether anything on it names the unit.
    #[must_use]
    pub fn differs(&self) -> bool {
        !self.texts.is_empty() || !self.codes.is_empty()
    }
}

/// Whether the path is the QR code of the payload, and where it stands.
fn is_code(path: &Path, payload: &str) -> Option<UnitCode> {
    let first = path.rings.first().filter(|_| matches!(path.paint, Paint::Fill(_)))?;
    let corner = |ring: &Ring| match ring.to.get(1) {
        Some(Segment::Line(point)) => Some(*point),
        _ => None,
    };
    let module = corner(first)?.y - first.start.y;
    if module <= Length::ZERO {
        return None;
    }
    let symbol = Encoder::default().encode(payload)?;
    let (x, y) = (first.start.x, first.start.y);
    let same = outline(&symbol, x - module * QUIET, y - module * QUIET, module);
    let alike = |a: &Ring, b: &Ring| a.start == b.start && corner(a) == corner(b);
    let whole = same.rings.len() == path.rings.len() && same.rings.iter().zip(&path.rings).all(|(a, b)| alike(a, b));
    whole.then(|| UnitCode { payload: payload.to_owned(), x, y, module, side: symbol.side })
}

/// Dark modules side by side: column and row of the first, and how many.
pub type DarkRun = (usize, usize, usize);

/// Makes the QR codes of units, one after the other.
#[derive(Default)]
pub struct UnitCodes(Encoder);

impl UnitCodes {
    /// How many modules a side of the payload's code has, and its dark ones in horizontal runs;
    /// `None` where no code holds it.
    pub fn runs(&mut self, payload: &str) -> Option<(usize, Vec<DarkRun>)> {
        let symbol = self.0.encode(payload)?;
        Some((symbol.side, symbol.runs().collect()))
    }
}
