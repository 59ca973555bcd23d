//! What is counted and not weighed: wicks, lids, label stock, boxes, each with a file of its own and lots in the store.

use super::file::{Desk, fetched};
use super::{Shelf, Wick};
use crate::find::{Finding, Place, Report, Source};
use crate::trade::Kind;
use crate::yaml::{self, Form, Node, Value, Words};
use std::sync::Arc;

/// What a counted thing is; the `role` of its file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thing {
    /// Wick, with its sustainer where it has one.
    Wick,
    /// Foot of a wick that comes apart from it.
    Sustainer,
    /// Lid of a vessel.
    Lid,
    /// Label stock, a printed label, a warning sticker.
    Label,
    /// Sales carton, band, bag.
    Box,
}

impl Thing {
    /// The spelling used in files.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::words().iter().find(|(_, v)| *v == self).map_or("", |(w, _)| w)
    }
    /// The thing a `role` names, if it is none of the weighed ones.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::words().into_iter().find(|(w, _)| *w == word.trim()).map(|(_, v)| v)
    }
    /// Whether each candle takes its own, rather than each unit of sale.
    const fn by_candle(self) -> bool {
        matches!(self, Self::Wick | Self::Sustainer | Self::Lid)
    }
}

impl Words for Thing {
    fn words() -> Vec<(&'static str, Self)> {
        vec![
            ("wick", Self::Wick),
            ("sustainer", Self::Sustainer),
            ("lid", Self::Lid),
            ("label", Self::Label),
            ("box", Self::Box),
        ]
    }
}

/// A thing that is received and used by the piece.
#[derive(Debug, Clone)]
pub struct Piece {
    /// Name of its file.
    pub id: String,
    /// Full name.
    pub name: String,
    /// What it is.
    pub thing: Thing,
    /// Who sells it.
    pub supplier: Option<String>,
    /// Where it stands.
    pub place: Place,
}

/// A counted thing of a product.
#[derive(Debug, Clone)]
pub struct Counted {
    /// What.
    pub piece: Piece,
    /// How many in each candle or unit of sale.
    pub number: u32,
    /// Whether that is in each candle; else in each unit of sale.
    pub by_candle: bool,
    /// Where the line stands.
    pub place: Place,
}

impl Counted {
    /// How many a pour takes.
    #[must_use]
    pub const fn of(&self, candles: u32, units: u32) -> u32 {
        self.number.saturating_mul(if self.by_candle { candles } else { units })
    }
}

/// In what a number of things stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Each {
    Candle,
    Unit,
}

impl Words for Each {
    fn words() -> Vec<(&'static str, Self)> {
        vec![("candle", Self::Candle), ("unit", Self::Unit)]
    }
}

/// The most counted things of a product.
const MOST: usize = 20;

/// Whether a file is about a counted thing.
#[must_use]
pub fn is_piece(node: &Node) -> bool {
    let Value::Map(entries) = &node.value else { return false };
    entries
        .iter()
        .any(|(key, node)| key.word == "role" && matches!(&node.value, Value::Text(t) if Thing::from_word(t).is_some()))
}

/// Reads the file of a counted thing by itself. `None` when something stops it.
#[must_use]
pub fn read_piece(source: &Arc<Source>, id: &str) -> (Option<Piece>, Vec<Finding>) {
    let report = Report::new();
    let piece = match yaml::read(source) {
        Ok(node) => piece(&node, id, &report),
        Err(finding) => {
            report.add(finding);
            None
        }
    };
    (piece.filter(|_| !report.stops()), report.into_findings())
}

fn piece(node: &Node, id: &str, report: &Report) -> Option<Piece> {
    let form = Form::open(node, "a thing that is counted", &["material", "role", "supplier"], report)?;
    let name = form.need_text("material", "Wooden wick, 13 mm");
    let thing = form.need("role", "wick").and_then(|n| n.word::<Thing>(report));
    let name = name?.value;
    Some(Piece {
        id: if id.is_empty() { name.clone() } else { id.to_owned() },
        name,
        thing: thing?.value,
        supplier: form.text("supplier").map(|t| t.value),
        place: form.place(),
    })
}

/// The lines under `counted`.
pub(super) fn counted(
    lines: &[Node],
    kind: Option<Kind>,
    wick: Option<&Wick>,
    vessel: Option<&str>,
    desk: &Desk<'_>,
) -> Vec<Counted> {
    let report = desk.report;
    if let Some(node) = lines.get(MOST) {
        let message = format!("more than {MOST} things are counted");
        report.add(
            Finding::input("file/too-many", message, "put what belongs together into one").at(&node.place, "here"),
        );
        return Vec::new();
    }
    let mut all: Vec<Counted> = Vec::new();
    for one in lines.iter().filter_map(|node| line(node, wick, desk)) {
        let id = one.piece.id.as_str();
        if vessel == Some(id) || all.iter().any(|other| other.piece.id == id) {
            let message = format!("`{id}` is counted twice");
            let cure = "keep one line and write `number` for how many; the vessel counts without a line of its own";
            report.add(Finding::input("file/counted-twice", message, cure).at(&one.place, "second one"));
        } else if one.piece.thing == Thing::Wick && kind.is_some_and(|k| !k.burns()) {
            let cure = "take the wick out, or choose another kind";
            report.add(Finding::input("file/wick-in-melt", "a wax melt has no wick", cure).at(&one.place, "here"));
        } else {
            all.push(one);
        }
    }
    all
}

fn line(node: &Node, wick: Option<&Wick>, desk: &Desk<'_>) -> Option<Counted> {
    let report = desk.report;
    let form = Form::open(node, "a counted thing", &["use", "number", "each"], report)?;
    let used = form.need("use", "wooden-wick-13")?;
    let piece = if matches!(used.value, Value::Map(_)) {
        piece(used, "", report)?
    } else {
        let name = used.text(report)?;
        piece(&fetched(Shelf::Materials, &name, desk)?, name.value.trim_end_matches(".yaml"), report)?
    };
    let usual = if piece.thing == Thing::Wick { wick.map_or(1, |w| w.count) } else { 1 };
    let number = if form.get("number").is_some() { form.count("number", 200)?.value } else { usual };
    let each = form.get("each").and_then(|n| n.word::<Each>(report)).map(|e| e.value == Each::Candle);
    Some(Counted { by_candle: each.unwrap_or_else(|| piece.thing.by_candle()), piece, number, place: form.place() })
}
