//! The single steps from which a trace is walked: material lot to lots, lot to material lots, lot to hand-overs.
//!
//! Each step is one look into an index, so that a walk costs what it finds and not what the ledger holds.

use super::Ledger;
use super::trouble::Trouble;
use crate::lot::{Digest, LotCode, Quantity};
use rusqlite::{Params, Row};
use serde::Serialize;

/// Something a trace can start from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Node {
    /// A material lot, by its number.
    MaterialLot(i64),
    /// A lot, all units or some.
    Lot(LotCode, Option<(u32, u32)>),
    /// What a label says and how it is set.
    Label(Digest),
    /// A file of a safety sheet.
    Sheet(Digest),
    /// A revision of a material's safety sheet.
    Revision(String, String),
    /// A buyer, by number.
    Buyer(i64),
}

/// Some units of a lot hold some of a material lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Use {
    /// The material lot's number.
    pub material_lot: i64,
    /// The lot.
    pub lot: LotCode,
    /// How much.
    pub amount: Quantity,
    /// First and last unit that may hold it.
    pub units: (u32, u32),
}

/// Units that left.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct HandOver {
    /// Its entry.
    pub seq: i64,
    /// The lot.
    pub lot: LotCode,
    /// The buyer's number.
    pub buyer: i64,
    /// The buyer's name; none once forgotten.
    pub to: Option<String>,
    /// Where the buyer is reached.
    pub contact: Option<String>,
    /// The day.
    pub day: String,
    /// `sale`, `gift`, `sample`, `own use`.
    pub way: String,
    /// How many.
    pub units: u32,
    /// Which, where they are numbered.
    pub which: Option<(u32, u32)>,
    /// Why in spite of a refusal.
    pub forced: Option<String>,
}

pub(super) fn digest(row: &Row<'_>, at: usize) -> rusqlite::Result<Digest> {
    row.get(at).map(Digest::from_bytes)
}

pub(super) fn code(row: &Row<'_>, at: usize) -> rusqlite::Result<LotCode> {
    let text: String = row.get(at)?;
    LotCode::parse(&text)
        .map_err(|w| rusqlite::Error::FromSqlConversionFailure(at, rusqlite::types::Type::Text, w.message.into()))
}

fn quantity(row: &Row<'_>) -> rusqlite::Result<Quantity> {
    let (number, unit): (i64, String) = (row.get(2)?, row.get(5)?);
    Quantity::of(&unit, number).ok_or(rusqlite::Error::IntegralValueOutOfRange(2, number))
}

const HAND_OVERS: &str = "SELECT h.seq, h.lot, h.buyer, b.name, b.contact, h.day, h.way, h.units, h.first_unit,
    h.last_unit, h.forced FROM hand_over h JOIN buyer b ON b.id = h.buyer
    WHERE NOT EXISTS (SELECT 1 FROM correction c WHERE c.corrected = h.seq)";

impl Ledger {
    pub(super) fn each<T>(
        &self,
        sql: &str,
        params: impl Params,
        read: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Vec<T>, Trouble> {
        let ask = || self.connection.prepare_cached(sql)?.query_map(params, read)?.collect::<rusqlite::Result<_>>();
        ask().map_err(|e| self.trouble(&e))
    }

    fn uses(&self, where_: &str, params: impl Params) -> Result<Vec<Use>, Trouble> {
        let sql = format!(
            "SELECT d.material_lot, d.lot, d.amount, d.first_unit, d.last_unit, m.unit
             FROM draw d JOIN material_lot m ON m.id = d.material_lot WHERE {where_}"
        );
        self.each(&sql, params, |row| {
            Ok(Use {
                material_lot: row.get(0)?,
                lot: code(row, 1)?,
                amount: quantity(row)?,
                units: (row.get(3)?, row.get(4)?),
            })
        })
    }

    /// Where a material lot went, in the order of the lots' codes.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read; so for every step here.
    pub fn lots_with(&self, material_lot: i64) -> Result<Vec<Use>, Trouble> {
        self.uses("d.material_lot = ?1 ORDER BY d.lot", [material_lot])
    }

    /// What a lot was made from.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn made_from(&self, lot: &LotCode) -> Result<Vec<Use>, Trouble> {
        self.uses("d.lot = ?1 ORDER BY d.material_lot", [lot.to_string()])
    }

    /// Material lots that were won by melting down this lot.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn melted_from(&self, lot: &LotCode) -> Result<Vec<i64>, Trouble> {
        self.each(
            "SELECT DISTINCT material_lot FROM receipt r WHERE origin = ?1
             AND NOT EXISTS (SELECT 1 FROM correction c WHERE c.corrected = r.seq) ORDER BY 1",
            [lot.to_string()],
            |row| row.get(0),
        )
    }

    /// Hand-overs of a lot that stand.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn hand_overs(&self, lot: &LotCode) -> Result<Vec<HandOver>, Trouble> {
        self.each(&format!("{HAND_OVERS} AND h.lot = ?1 ORDER BY h.seq"), [lot.to_string()], hand_over)
    }

    /// Hand-overs to a buyer that stand.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn hand_overs_to(&self, buyer: i64) -> Result<Vec<HandOver>, Trouble> {
        self.each(&format!("{HAND_OVERS} AND h.buyer = ?1 ORDER BY h.seq"), [buyer], hand_over)
    }

    /// Lots whose label says and is set the same.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn lots_labelled(&self, label: &Digest) -> Result<Vec<LotCode>, Trouble> {
        self.each("SELECT code FROM lot WHERE label_hash = ?1 ORDER BY seq", [label.as_bytes()], |row| code(row, 0))
    }

    /// Material lots delivered under a safety sheet's file, or under a revision of a material's sheet.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn delivered_under(&self, sheet: &Node) -> Result<Vec<i64>, Trouble> {
        const STANDS: &str = "NOT EXISTS (SELECT 1 FROM correction c WHERE c.corrected = r.seq)";
        match sheet {
            Node::Sheet(hash) => self.each(
                &format!("SELECT DISTINCT material_lot FROM receipt r WHERE sheet_hash = ?1 AND {STANDS} ORDER BY 1"),
                [hash.as_bytes()],
                |row| row.get(0),
            ),
            Node::Revision(material, revision) => self.each(
                &format!(
                    "SELECT DISTINCT m.id FROM material_lot m JOIN receipt r ON r.material_lot = m.id
                     WHERE m.material = ?1 AND r.sheet_revision = ?2 AND {STANDS} ORDER BY 1"
                ),
                [material, revision],
                |row| row.get(0),
            ),
            _ => Ok(Vec::new()),
        }
    }

    /// All that `typed` may name, most exact first. `CODE/7-12` names units, `MATERIAL=LOT` a material lot,
    /// `MATERIAL@REVISION` a safety sheet; at least eight figures of a digest name a label or a sheet's file.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn named(&self, typed: &str) -> Result<Vec<Node>, Trouble> {
        let typed = typed.trim();
        let mut found = Vec::new();
        let (lot, units) = typed.split_once('/').map_or((typed, None), |(lot, units)| (lot, range(units)));
        if let Ok(code) = LotCode::parse(lot)
            && (units.is_some() || !typed.contains('/'))
            && self.lot(&code)?.is_some()
        {
            found.push(Node::Lot(code, units));
        }
        let sql = match typed.split_once('=') {
            Some(_) => "SELECT id FROM material_lot WHERE material = ?1 AND supplier_lot = ?2",
            None => "SELECT id FROM material_lot WHERE supplier_lot = ?1 AND ?2 = '' ORDER BY id",
        };
        let (first, second) = typed.split_once('=').unwrap_or((typed, ""));
        let lots: Vec<i64> = self.each(sql, [first, second], |row| row.get(0))?;
        found.extend(lots.into_iter().map(Node::MaterialLot));
        if let Some((material, revision)) = typed.split_once('@') {
            let node = Node::Revision(material.to_owned(), revision.to_owned());
            if !self.delivered_under(&node)?.is_empty() {
                found.push(node);
            }
        }
        let hex = typed.to_lowercase();
        if (8..=64).contains(&hex.len()) && hex.bytes().all(|b| b.is_ascii_hexdigit()) {
            let begins = [format!("{hex}%")];
            let labels: Vec<Digest> = self.each(
                "SELECT DISTINCT label_hash FROM lot WHERE lower(hex(label_hash)) LIKE ?1",
                begins.clone(),
                |row| digest(row, 0),
            )?;
            let sheets: Vec<Digest> = self.each(
                "SELECT DISTINCT sheet_hash FROM receipt WHERE lower(hex(sheet_hash)) LIKE ?1",
                begins,
                |row| digest(row, 0),
            )?;
            found.extend(labels.into_iter().map(Node::Label));
            found.extend(sheets.into_iter().map(Node::Sheet));
        }
        let buyers: Vec<i64> =
            self.each("SELECT id FROM buyer WHERE name = ?1 ORDER BY id", [typed], |row| row.get(0))?;
        found.extend(buyers.into_iter().map(Node::Buyer));
        Ok(found)
    }
}

/// `7-12` or `7`.
fn range(text: &str) -> Option<(u32, u32)> {
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    let (first, last) = (first.trim().parse().ok()?, last.trim().parse().ok()?);
    (1..=last).contains(&first).then_some((first, last))
}

fn hand_over(row: &Row<'_>) -> rusqlite::Result<HandOver> {
    let (first, last): (Option<u32>, Option<u32>) = (row.get(8)?, row.get(9)?);
    Ok(HandOver {
        seq: row.get(0)?,
        lot: code(row, 1)?,
        buyer: row.get(2)?,
        to: row.get(3)?,
        contact: row.get(4)?,
        day: row.get(5)?,
        way: row.get(6)?,
        units: row.get(7)?,
        which: first.zip(last),
        forced: row.get(10)?,
    })
}
