//! The entry that opens a lot: what it stores and how it is read back. On top of `entry`.

use super::entry::Entry;
use crate::lot::{Digest, Draw, LotCode, Quantity as Amount, grams};
use crate::trade::Market;
use crate::unit::{Mass, Quantity};
use jiff::civil::Date;
use serde::{Deserialize, Serialize, Serializer};

/// What a stored paper is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum What {
    /// The label, all parts of it.
    #[serde(rename = "label")]
    Label,
    /// The sheet that is weighed from.
    #[serde(rename = "batch sheet")]
    BatchSheet,
}

impl What {
    /// The word in the ledger and in messages.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Label => "label",
            Self::BatchSheet => "batch sheet",
        }
    }
}

/// A file to be kept with a new lot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewPaper {
    /// What it is.
    pub what: What,
    /// The file's name, without folder.
    pub name: String,
    /// The whole file.
    pub bytes: Vec<u8>,
}

/// What one material is planned to weigh for the whole lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PlannedLine {
    /// The material's id in the workshop.
    pub material: String,
    /// Its name in plain words.
    pub name: String,
    /// As rounded for the scale.
    pub planned: Mass,
}

/// What is recorded when a lot is opened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewLot {
    /// The product's id in the workshop.
    pub product: String,
    /// The product's name as on the label.
    pub name: String,
    /// Candles planned.
    pub units: u32,
    /// Grams planned, in the order of the recipe.
    pub lines: Vec<PlannedLine>,
    /// Digest of the product as read (with the materials it uses).
    pub product_hash: Digest,
    /// Digest of what the label says and how it is set.
    pub label_hash: Digest,
    /// Files to keep.
    pub papers: Vec<NewPaper>,
    /// What comes from which material lot; nothing of materials that were never received.
    pub draws: Vec<Draw>,
    /// First day after cure.
    pub cure_until: Option<Date>,
    /// Net mass the label declares for one unit.
    pub declared: Option<Mass>,
    /// Where it is sold.
    pub markets: Vec<Market>,
}

/// A kept file, by its digest; [`super::Ledger::paper`] has the bytes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PaperRef {
    /// What it is.
    pub what: What,
    /// The file's name, without folder.
    pub name: String,
    /// Digest of its bytes.
    pub sha256: Digest,
}

/// A lot as recorded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LotRow {
    /// Its code.
    pub code: LotCode,
    /// Number of the entry that opened it.
    pub seq: i64,
    /// When it was opened: UTC, RFC 3339.
    pub opened: String,
    /// What the maker's clock was ahead of UTC then: `-05:00`.
    pub local_offset: String,
    /// The product's id.
    pub product: String,
    /// The product's name.
    pub name: String,
    /// Day of the pour.
    #[serde(serialize_with = "as_text")]
    pub date: Date,
    /// Candles planned.
    pub units: u32,
    /// Grams planned.
    pub lines: Vec<PlannedLine>,
    /// Digest of the product.
    pub product_hash: Digest,
    /// Digest of the label.
    pub label_hash: Digest,
    /// Files kept with it.
    pub papers: Vec<PaperRef>,
    /// What came from which material lot.
    pub draws: Vec<Draw>,
    /// First day after cure.
    #[serde(serialize_with = "maybe_as_text")]
    pub cure_until: Option<Date>,
    /// Net mass the label declares for one unit.
    pub declared: Option<Mass>,
    /// Where it is sold.
    pub markets: Vec<Market>,
}

#[expect(clippy::ref_option, reason = "the shape serde asks for")]
fn maybe_as_text<S: Serializer>(date: &Option<Date>, s: S) -> Result<S::Ok, S::Error> {
    date.map(|d| d.to_string()).serialize(s)
}

fn as_text<S: Serializer>(date: &Date, s: S) -> Result<S::Ok, S::Error> {
    s.collect_str(date)
}

#[derive(Serialize, Deserialize)]
struct Payload {
    product: String,
    name: String,
    date: String,
    units: u32,
    lines: Vec<PayloadLine>,
    product_sha256: String,
    label_sha256: String,
    papers: Vec<PayloadPaper>,
    // since schema 2
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    draws: Vec<PayloadDraw>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    cure_until: Option<Date>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    declared_grams: Option<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    markets: Vec<Market>,
}

#[derive(Serialize, Deserialize)]
struct PayloadDraw {
    material: String,
    supplier_lot: String,
    #[serde(flatten)]
    amount: Amount,
    units: (u32, u32),
}

#[derive(Serialize, Deserialize)]
struct PayloadLine {
    material: String,
    name: String,
    /// Decimal text, exact.
    grams: String,
}

#[derive(Serialize, Deserialize)]
struct PayloadPaper {
    what: What,
    name: String,
    sha256: String,
}

/// The payload of the entry, as JSON text.
pub(super) fn payload(date: Date, new: &NewLot) -> String {
    let payload = Payload {
        product: new.product.clone(),
        name: new.name.clone(),
        date: date.to_string(),
        units: new.units,
        lines: new
            .lines
            .iter()
            .map(|line| PayloadLine {
                material: line.material.clone(),
                name: line.name.clone(),
                grams: line.planned.in_g(9).trim_end_matches(" g").to_owned(),
            })
            .collect(),
        product_sha256: new.product_hash.to_string(),
        label_sha256: new.label_hash.to_string(),
        papers: new
            .papers
            .iter()
            .map(|paper| PayloadPaper {
                what: paper.what,
                name: paper.name.clone(),
                sha256: Digest::of(&paper.bytes).to_string(),
            })
            .collect(),
        draws: new
            .draws
            .iter()
            .map(|d| PayloadDraw {
                material: d.material.clone(),
                supplier_lot: d.supplier_lot.clone(),
                amount: d.amount,
                units: d.units,
            })
            .collect(),
        cure_until: new.cure_until,
        declared_grams: new.declared.map(grams::text),
        markets: new.markets.clone(),
    };
    serde_json::to_string(&payload).expect("text, whole numbers and lists always have a JSON form")
}

/// The lot an entry of kind `pour` opened.
///
/// # Errors
/// What is wrong with the entry, in words.
pub(super) fn read(entry: &Entry) -> Result<LotRow, String> {
    let wrong = |what: &str| format!("entry {} has {what}", entry.seq);
    let payload: Payload = serde_json::from_str(&entry.payload).map_err(|e| wrong(&format!("an odd content ({e})")))?;
    let digest = |hex: &str| Digest::from_hex(hex).ok_or_else(|| wrong(&format!("the odd digest `{hex}`")));
    let code = entry.lot.as_deref().ok_or_else(|| wrong("no lot code"))?;
    Ok(LotRow {
        code: LotCode::parse(code).map_err(|w| wrong(&format!("a lot code that is none: {}", w.message)))?,
        seq: entry.seq,
        opened: entry.at.clone(),
        local_offset: entry.local_offset.clone(),
        date: payload.date.parse().map_err(|_| wrong(&format!("the odd date `{}`", payload.date)))?,
        units: payload.units,
        lines: payload
            .lines
            .into_iter()
            .map(|line| {
                let planned = Mass::parse(&format!("{} g", line.grams))
                    .map_err(|w| wrong(&format!("odd grams: {}", w.message)))?;
                Ok(PlannedLine { material: line.material, name: line.name, planned })
            })
            .collect::<Result<_, String>>()?,
        product_hash: digest(&payload.product_sha256)?,
        label_hash: digest(&payload.label_sha256)?,
        papers: payload
            .papers
            .into_iter()
            .map(|paper| Ok(PaperRef { what: paper.what, name: paper.name, sha256: digest(&paper.sha256)? }))
            .collect::<Result<_, String>>()?,
        product: payload.product,
        name: payload.name,
        draws: payload
            .draws
            .into_iter()
            .map(|d| Draw { material: d.material, supplier_lot: d.supplier_lot, amount: d.amount, units: d.units })
            .collect(),
        cure_until: payload.cure_until,
        declared: payload
            .declared_grams
            .map(|text| Mass::parse(&format!("{text} g")).map_err(|w| wrong(&format!("odd grams: {}", w.message))))
            .transpose()?,
        markets: payload.markets,
    })
}
