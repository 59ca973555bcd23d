//! The rows that are computed from an entry, in the transaction that adds it. Beneath every question to the ledger.
//!
//! [`rows`] looks only at the entry and at rows of earlier entries, so that the same chain always gives the same rows.

use super::entry::Entry;
use super::event::Event;
use super::pour;
use crate::lot::Digest;
use rusqlite::{Connection, OptionalExtension, params};

/// Tables that follow from the chain, with the columns that order them.
pub(super) const TABLES: &[&str] =
    &["material_lot", "receipt", "lot", "draw", "stock_move", "unit_move", "hand_over", "correction"];

/// Why no rows could be made.
#[derive(Debug)]
pub(super) enum NoRows {
    Sqlite(rusqlite::Error),
    /// The entry cannot be understood.
    Odd(String),
}

impl From<rusqlite::Error> for NoRows {
    fn from(error: rusqlite::Error) -> Self {
        Self::Sqlite(error)
    }
}

/// Adds the rows of one entry.
pub(super) fn rows(to: &Connection, entry: &Entry) -> Result<(), NoRows> {
    let Some(event) = Event::of(entry).map_err(NoRows::Odd)? else { return pour_rows(to, entry) };
    let lot = entry.lot.as_deref().unwrap_or("");
    match &event {
        Event::Receive {
            material, supplier_lot, supplier, received, amount, material_sha256, sheet, origin, ..
        } => {
            let id = material_lot(to, material, supplier_lot, amount.unit())?;
            to.prepare_cached("INSERT INTO receipt VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)")?.execute(
                params![
                    entry.seq,
                    id,
                    received.to_string(),
                    supplier,
                    amount.number(),
                    material_sha256.as_bytes(),
                    sheet.as_ref().and_then(|s| s.date).map(|d| d.to_string()),
                    sheet.as_ref().and_then(|s| s.revision.clone()),
                    sheet.as_ref().and_then(|s| s.sha256).as_ref().map(Digest::as_bytes),
                    origin.map(|o| o.to_string()),
                ],
            )?;
            stock(to, entry.seq, id, amount.number())
        }
        Event::Count { good, scrapped, .. } => {
            let made: i64 = to
                .prepare_cached("SELECT coalesce(sum(units), 0) FROM unit_move WHERE lot = ?1 AND what = 'made'")?
                .query_row([lot], |row| row.get(0))?;
            units(to, entry.seq, lot, "made", i64::from(*good) + i64::from(*scrapped) - made)?;
            units(to, entry.seq, lot, "scrapped", (*scrapped).into())
        }
        Event::StockTake { found, .. } => {
            let expected = on_hand(to, lot)?;
            units(to, entry.seq, lot, "missing", expected - i64::from(*found))
        }
        Event::Scrap { units: n, .. } => units(to, entry.seq, lot, "scrapped", (*n).into()),
        Event::Retain { units: n, .. } => units(to, entry.seq, lot, "retained", (*n).into()),
        Event::HandOver { buyer, units: n, which, day, way, forced, .. } => {
            to.prepare_cached("INSERT INTO hand_over VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)")?.execute(
                params![
                    entry.seq,
                    lot,
                    buyer,
                    day.to_string(),
                    way.word(),
                    n,
                    which.map(|w| w.0),
                    which.map(|w| w.1),
                    forced
                ],
            )?;
            units(to, entry.seq, lot, "handed over", (*n).into())
        }
        Event::Correct { entry: corrected, .. } => {
            to.prepare_cached("INSERT INTO correction VALUES (?1, ?2)")?.execute([*corrected, entry.seq])?;
            undo(to, *corrected, entry.seq)
        }
        Event::Weigh { .. }
        | Event::Bottle { .. }
        | Event::Left { .. }
        | Event::Measure { .. }
        | Event::Note { .. }
        | Event::Labels { .. }
        | Event::Fill { .. }
        | Event::Hold { .. }
        | Event::Release { .. }
        | Event::Recall { .. }
        | Event::RecallEnd { .. }
        | Event::Forget { .. }
        | Event::Clock { .. } => Ok(()),
    }
}

/// Units that should lie on the shelf.
pub(super) fn on_hand(of: &Connection, lot: &str) -> rusqlite::Result<i64> {
    of.prepare_cached(
        "SELECT coalesce(sum(CASE what WHEN 'made' THEN units ELSE -units END), 0) FROM unit_move WHERE lot = ?1",
    )?
    .query_row([lot], |row| row.get(0))
}

fn pour_rows(to: &Connection, entry: &Entry) -> Result<(), NoRows> {
    let lot = pour::read(entry).map_err(NoRows::Odd)?;
    let code = lot.code.to_string();
    to.prepare_cached("INSERT INTO lot VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")?.execute(params![
        code,
        entry.seq,
        lot.product,
        lot.product_hash.as_bytes(),
        lot.label_hash.as_bytes(),
        lot.date.to_string(),
        lot.units,
        lot.cure_until.map(|d| d.to_string()),
    ])?;
    for draw in &lot.draws {
        let id = material_lot(to, &draw.material, &draw.supplier_lot, draw.amount.unit())?;
        to.prepare_cached("INSERT INTO draw VALUES (?1, ?2, ?3, ?4, ?5, ?6)")?.execute(params![
            entry.seq,
            id,
            code,
            draw.amount.number(),
            draw.units.0,
            draw.units.1
        ])?;
        stock(to, entry.seq, id, -draw.amount.number())?;
    }
    units(to, entry.seq, &code, "made", lot.units.into())
}

fn material_lot(to: &Connection, material: &str, supplier_lot: &str, unit: &str) -> Result<i64, NoRows> {
    let known: Option<(i64, String)> = to
        .prepare_cached("SELECT id, unit FROM material_lot WHERE material = ?1 AND supplier_lot = ?2")?
        .query_row([material, supplier_lot], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    match known {
        Some((id, known)) if known == unit => Ok(id),
        Some((_, known)) => Err(NoRows::Odd(format!("lot `{supplier_lot}` of `{material}` is kept in {known}"))),
        None => {
            let last: i64 =
                to.prepare_cached("SELECT coalesce(max(id), 0) FROM material_lot")?.query_row([], |row| row.get(0))?;
            to.prepare_cached("INSERT INTO material_lot VALUES (?1, ?2, ?3, ?4)")?.execute(params![
                last + 1,
                material,
                supplier_lot,
                unit
            ])?;
            Ok(last + 1)
        }
    }
}

fn stock(to: &Connection, seq: i64, id: i64, amount: i64) -> Result<(), NoRows> {
    to.prepare_cached("INSERT INTO stock_move VALUES (?1, ?2, ?3)")?.execute([seq, id, amount])?;
    Ok(())
}

fn units(to: &Connection, seq: i64, lot: &str, what: &str, units: i64) -> Result<(), NoRows> {
    if units != 0 {
        to.prepare_cached("INSERT INTO unit_move VALUES (?1, ?2, ?3, ?4)")?.execute(params![seq, lot, what, units])?;
    }
    Ok(())
}

/// What the corrected entry moved is moved back.
fn undo(to: &Connection, corrected: i64, seq: i64) -> Result<(), NoRows> {
    let moved: Vec<(String, String, i64)> = to
        .prepare_cached("SELECT lot, what, units FROM unit_move WHERE seq = ?1 ORDER BY what")?
        .query_map([corrected], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
        .collect::<Result<_, _>>()?;
    for (lot, what, number) in moved {
        units(to, seq, &lot, &what, -number)?;
    }
    let stocked: Vec<(i64, i64)> = to
        .prepare_cached("SELECT material_lot, amount FROM stock_move WHERE seq = ?1 ORDER BY material_lot")?
        .query_map([corrected], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<Result<_, _>>()?;
    for (id, amount) in stocked {
        stock(to, seq, id, -amount)?;
    }
    Ok(())
}
