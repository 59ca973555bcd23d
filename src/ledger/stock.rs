//! What is in the store: material lots, their deliveries, what is left. Asked of the derived rows.

use super::Ledger;
use super::graph::digest;
use super::trouble::Trouble;
use crate::lot::{Digest, LotCode, Shelved, Stocked};
use crate::unit::Mass;
use rusqlite::{Connection, Row};
use serde::Serialize;
use std::collections::BTreeSet;

/// A material lot, oldest delivery first.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StoredLot {
    /// Its number in the ledger.
    pub id: i64,
    /// The material's id in the workshop.
    pub material: String,
    /// The supplier's lot.
    pub supplier_lot: String,
    /// `ng` or `pieces`.
    pub unit: String,
    /// What is left.
    pub left: i64,
    /// Day of the first delivery.
    pub received: String,
}

impl StoredLot {
    /// For sharing out a pour; `None` when it is counted in pieces.
    #[must_use]
    pub fn stocked(&self) -> Option<Stocked> {
        (self.unit == "ng").then(|| Stocked {
            material: self.material.clone(),
            supplier_lot: self.supplier_lot.clone(),
            left: Mass::ng(self.left),
        })
    }
    /// For sharing out a pour; `None` when it is weighed.
    #[must_use]
    pub fn shelved(&self) -> Option<Shelved> {
        (self.unit == "pieces").then(|| Shelved {
            material: self.material.clone(),
            supplier_lot: self.supplier_lot.clone(),
            left: u32::try_from(self.left).unwrap_or(0),
        })
    }
    /// What is left, with its unit.
    #[must_use]
    pub fn shown(&self) -> String {
        if self.unit == "ng" { Mass::ng(self.left).in_g(3) } else { format!("{} pieces", self.left) }
    }
}

/// One delivery.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Receipt {
    /// Its entry.
    pub seq: i64,
    /// Day it came.
    pub received: String,
    /// Who sold it.
    pub supplier: Option<String>,
    /// Nanograms or pieces.
    pub amount: i64,
    /// Digest of the material's file then.
    pub material_hash: Digest,
    /// Date of the safety sheet.
    pub sheet_date: Option<String>,
    /// Revision of the safety sheet.
    pub sheet_revision: Option<String>,
    /// Digest of the safety sheet's file.
    pub sheet_hash: Option<Digest>,
    /// The lot melted down for it.
    pub origin: Option<LotCode>,
    /// The supplier's lot.
    pub supplier_lot: String,
}

impl Receipt {
    /// Revision of the safety sheet, else its date.
    #[must_use]
    pub fn sheet(&self) -> Option<&str> {
        self.sheet_revision.as_deref().or(self.sheet_date.as_deref())
    }
}

const STORED: &str = "SELECT m.id, m.material, m.supplier_lot, m.unit,
    (SELECT coalesce(sum(amount), 0) FROM stock_move s WHERE s.material_lot = m.id), coalesce(min(r.received), '')
    FROM material_lot m JOIN receipt r ON r.material_lot = m.id
    WHERE NOT EXISTS (SELECT 1 FROM correction c WHERE c.corrected = r.seq)";

fn stored(row: &Row<'_>) -> rusqlite::Result<StoredLot> {
    Ok(StoredLot {
        id: row.get(0)?,
        material: row.get(1)?,
        supplier_lot: row.get(2)?,
        unit: row.get(3)?,
        left: row.get(4)?,
        received: row.get(5)?,
    })
}

/// Every material lot that was received, oldest first.
pub(super) fn all(of: &Connection) -> rusqlite::Result<Vec<StoredLot>> {
    of.prepare_cached(&format!("{STORED} GROUP BY m.id ORDER BY 6, min(r.seq)"))?.query_map([], stored)?.collect()
}

/// The material lots of these materials that were received, oldest first.
pub(super) fn of(of: &Connection, materials: &[String]) -> rusqlite::Result<Vec<StoredLot>> {
    let mut all = Vec::new();
    let mut statement =
        of.prepare_cached(&format!("{STORED} AND m.material = ?1 GROUP BY m.id ORDER BY 6, min(r.seq)"))?;
    for material in materials.iter().collect::<BTreeSet<_>>() {
        for lot in statement.query_map([material], stored)? {
            all.push(lot?);
        }
    }
    Ok(all)
}

impl Ledger {
    /// Every material lot that was received, oldest first.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn stock(&self) -> Result<Vec<StoredLot>, Trouble> {
        all(&self.connection).map_err(|e| self.trouble(&e))
    }

    /// The material lot with this number.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn stored_lot(&self, id: i64) -> Result<Option<StoredLot>, Trouble> {
        let ask = || {
            self.connection
                .prepare_cached(&format!("{STORED} AND m.id = ?1 GROUP BY m.id"))?
                .query_map([id], stored)?
                .next()
                .transpose()
        };
        ask().map_err(|e| self.trouble(&e))
    }

    /// The deliveries of a material lot that stand.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn receipts(&self, material_lot: i64) -> Result<Vec<Receipt>, Trouble> {
        let sql = format!("{RECEIPTS} WHERE r.material_lot = ?1 AND {STANDS} ORDER BY r.seq");
        self.each(&sql, [material_lot], receipt)
    }

    /// The delivery of a material that came with the newest safety sheet: by the sheet's date, then by the delivery's entry.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn newest_sheet(&self, material: &str) -> Result<Option<Receipt>, Trouble> {
        let sql = format!(
            "{RECEIPTS} WHERE m.material = ?1 AND (r.sheet_date IS NOT NULL OR r.sheet_revision IS NOT NULL) AND {STANDS}
             ORDER BY r.sheet_date IS NULL, r.sheet_date DESC, r.seq DESC LIMIT 1"
        );
        Ok(self.each(&sql, [material], receipt)?.pop())
    }
}

const RECEIPTS: &str =
    "SELECT r.seq, r.received, r.supplier, r.amount, r.material_hash, r.sheet_date, r.sheet_revision,
    r.sheet_hash, r.origin, m.supplier_lot FROM receipt r JOIN material_lot m ON m.id = r.material_lot";

const STANDS: &str = "NOT EXISTS (SELECT 1 FROM correction c WHERE c.corrected = r.seq)";

fn receipt(row: &Row<'_>) -> rusqlite::Result<Receipt> {
    let origin: Option<String> = row.get(8)?;
    Ok(Receipt {
        seq: row.get(0)?,
        received: row.get(1)?,
        supplier: row.get(2)?,
        amount: row.get(3)?,
        material_hash: digest(row, 4)?,
        sheet_date: row.get(5)?,
        sheet_revision: row.get(6)?,
        sheet_hash: row.get::<_, Option<[u8; 32]>>(7)?.map(Digest::from_bytes),
        origin: origin.and_then(|o| LotCode::parse(&o).ok()),
        supplier_lot: row.get(9)?,
    })
}
