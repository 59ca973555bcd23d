//! Walks the ledger and notices whatever is not as it was written. Reads only.

use super::entry::{BEFORE_THE_FIRST, Entry};
use super::trouble::Trouble;
use super::{buyer, derive, open, pour};
use crate::lot::Digest;
use rusqlite::Connection;
use rusqlite::types::Value;
use serde::Serialize;
use std::collections::BTreeSet;
use std::path::Path;

/// What a walk through a sound ledger counted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Verified {
    /// Entries of the chain.
    pub entries: u64,
    /// Lots opened.
    pub lots: u64,
    /// Papers kept.
    pub papers: u64,
    /// Hash of the last entry; noted elsewhere, it also shows entries cut off the end.
    pub last: Digest,
}

pub(super) fn walk(path: &Path, connection: &Connection) -> Result<Verified, Trouble> {
    let trouble = |e: rusqlite::Error| Trouble::of(path, &e);
    let damaged = |why: String| Err(Trouble::damaged(path, why));
    // one snapshot for the whole walk, even if another program is writing
    let snapshot = connection.unchecked_transaction().map_err(trouble)?;

    let sound: String = snapshot.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0)).map_err(trouble)?;
    if sound != "ok" {
        return damaged(sound);
    }

    let mut verified = Verified { entries: 0, lots: 0, papers: 0, last: BEFORE_THE_FIRST };
    let mut kept = BTreeSet::new();
    let mut statement = snapshot.prepare("SELECT sha256, bytes FROM paper").map_err(trouble)?;
    let mut rows = statement.query([]).map_err(trouble)?;
    while let Some(row) = rows.next().map_err(trouble)? {
        let sha256 = Digest::from_bytes(row.get(0).map_err(trouble)?);
        let bytes = row.get_ref(1).map_err(trouble)?.as_blob().unwrap_or_default();
        if Digest::of(bytes) != sha256 {
            return damaged(format!("the paper `{sha256}` is not what was stored"));
        }
        kept.insert(sha256);
        verified.papers += 1;
    }

    // every derived row once more, in memory, from the chain alone
    let again = Connection::open_in_memory().map_err(trouble)?;
    for sql in open::MIGRATIONS {
        again.execute_batch(sql).map_err(trouble)?;
    }
    again.pragma_update(None, "foreign_keys", false).map_err(trouble)?;
    again.execute_batch("BEGIN").map_err(trouble)?;
    let sql = format!("SELECT {} FROM entry ORDER BY seq", Entry::COLUMNS);
    let mut statement = snapshot.prepare(&sql).map_err(trouble)?;
    let mut rows = statement.query([]).map_err(trouble)?;
    while let Some(row) = rows.next().map_err(trouble)? {
        let entry = Entry::read(row).map_err(trouble)?;
        verified.entries += 1;
        if u64::try_from(entry.seq) != Ok(verified.entries) || entry.previous != verified.last {
            return damaged(format!("an entry is missing before entry {}", entry.seq));
        }
        if entry.hash != entry.computed_hash() {
            return damaged(format!("entry {} was altered after it was written", entry.seq));
        }
        verified.last = entry.hash;
        if entry.kind == "pour" {
            let lot = pour::read(&entry).map_err(|why| Trouble::damaged(path, why))?;
            if let Some(paper) = lot.papers.iter().find(|paper| !kept.contains(&paper.sha256)) {
                return damaged(format!("the {} of lot {} is missing", paper.what.word(), lot.code));
            }
            verified.lots += 1;
        }
        derive::rows(&again, &entry)
            .map_err(|why| Trouble::damaged(path, format!("entry {} cannot have been: {why:?}", entry.seq)))?;
    }
    for table in derive::TABLES {
        if let Some(row) = first_difference(&snapshot, &again, table).map_err(trouble)? {
            return damaged(format!("the table `{table}` does not follow from the entries: row {row}"));
        }
    }
    if let Some(why) = buyer::unlike_their_digest(&snapshot).map_err(trouble)? {
        return damaged(why);
    }
    Ok(verified)
}

/// The first row that one of the two has and the other has not.
fn first_difference(ours: &Connection, again: &Connection, table: &str) -> rusqlite::Result<Option<String>> {
    let sql = format!("SELECT * FROM {table} ORDER BY 1, 2");
    let (mut left, mut right) = (ours.prepare(&sql)?, again.prepare(&sql)?);
    let columns = left.column_count();
    let (mut left, mut right) = (left.query([])?, right.query([])?);
    loop {
        let cells = |row: Option<&rusqlite::Row<'_>>| -> rusqlite::Result<Option<Vec<Value>>> {
            row.map(|row| (0..columns).map(|n| row.get(n)).collect()).transpose()
        };
        match (cells(left.next()?)?, cells(right.next()?)?) {
            (None, None) => return Ok(None),
            (ours, again) if ours == again => {}
            (ours, again) => return Ok(Some(format!("{:?}", ours.or(again).unwrap_or_default()))),
        }
    }
}
