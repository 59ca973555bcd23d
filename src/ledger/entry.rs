//! One row of the chain: how it is hashed, appended and read. Beneath every kind of entry.

use super::derive::{self, NoRows};
use super::event::Event;
use super::open;
use crate::lot::{Digest, LotCode};
use jiff::tz::Offset;
use jiff::{SignedDuration, Timestamp, Unit, Zoned};
use rusqlite::{Connection, OptionalExtension, Row, params};

/// The moment of an entry, from the caller's clock, with what the local clock was ahead of UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Now {
    pub(super) at: Timestamp,
    offset: Offset,
}

impl Now {
    /// This moment, cut to whole seconds.
    #[must_use]
    pub fn new(at: Timestamp, offset: Offset) -> Self {
        let at = at
            .round(jiff::TimestampRound::new().smallest(Unit::Second).mode(jiff::RoundMode::Trunc))
            .unwrap_or(Timestamp::UNIX_EPOCH);
        Self { at, offset }
    }
    /// The moment and offset of a local time.
    #[must_use]
    pub fn of(local: &Zoned) -> Self {
        Self::new(local.timestamp(), local.offset())
    }
    fn offset_text(self) -> String {
        let seconds = self.offset.seconds();
        let (sign, minutes) = (if seconds < 0 { '-' } else { '+' }, seconds.unsigned_abs() / 60);
        format!("{sign}{:02}:{:02}", minutes / 60, minutes % 60)
    }
}

/// A row of the chain as it is stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Entry {
    pub seq: i64,
    /// UTC, RFC 3339, whole seconds.
    pub at: String,
    /// `±hh:mm`.
    pub local_offset: String,
    pub kind: String,
    pub lot: Option<String>,
    /// JSON.
    pub payload: String,
    pub previous: Digest,
    pub hash: Digest,
}

impl Entry {
    pub(super) const COLUMNS: &'static str = "seq, at, local_offset, kind, lot, payload, previous, hash";

    pub(super) fn read(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self {
            seq: row.get(0)?,
            at: row.get(1)?,
            local_offset: row.get(2)?,
            kind: row.get(3)?,
            lot: row.get(4)?,
            payload: row.get(5)?,
            previous: Digest::from_bytes(row.get(6)?),
            hash: Digest::from_bytes(row.get(7)?),
        })
    }

    /// What `hash` has to be; the recipe stands in the first migration too.
    pub(super) fn computed_hash(&self) -> Digest {
        let mut bytes = self.previous.as_bytes().to_vec();
        let seq = self.seq.to_string();
        let lot = self.lot.as_deref().unwrap_or("");
        for field in [seq.as_str(), &self.at, &self.local_offset, &self.kind, lot, &self.payload] {
            bytes.extend_from_slice(&(field.len() as u64).to_be_bytes());
            bytes.extend_from_slice(field.as_bytes());
        }
        Digest::of(&bytes)
    }
}

/// The hash that stands before the first entry.
pub(super) const BEFORE_THE_FIRST: Digest = Digest::from_bytes([0; 32]);

/// The longest a writer may have waited between its look at the clock and its entry: the patience with the lock, twice.
const WAITED: SignedDuration = SignedDuration::from_secs(2 * open::PATIENCE.as_secs().cast_signed());

/// Adds an entry to the end of the chain. To be called inside a transaction that holds the write lock.
pub(super) fn append(
    connection: &Connection,
    now: Now,
    kind: &str,
    lot: Option<LotCode>,
    payload: &str,
) -> Result<Entry, NoRows> {
    let last: Option<(i64, [u8; 32], String)> = connection
        .prepare_cached("SELECT seq, hash, at FROM entry ORDER BY seq DESC LIMIT 1")?
        .query_row([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))
        .optional()?;
    // A clock that went back is noticed, and noted once for each step back. A writer that waited for another read the clock
    // before it waited: that is no step back.
    if let Some((_, _, before)) = &last
        && kind != "clock"
        && now.at.to_string() < *before
        && before.parse::<Timestamp>().is_ok_and(|before| now.at + WAITED < before)
    {
        let (clock, noted) = Event::Clock { before: before.clone() }.written();
        append(connection, now, &clock, None, &noted)?;
        return append(connection, now, kind, lot, payload);
    }
    let mut entry = Entry {
        seq: last.as_ref().map_or(0, |(seq, ..)| *seq) + 1,
        at: now.at.to_string(),
        local_offset: now.offset_text(),
        kind: kind.to_owned(),
        lot: lot.map(|code| code.to_string()),
        payload: payload.to_owned(),
        previous: last.map_or(BEFORE_THE_FIRST, |(_, hash, _)| Digest::from_bytes(hash)),
        hash: BEFORE_THE_FIRST,
    };
    entry.hash = entry.computed_hash();
    store(connection, &entry)?;
    Ok(entry)
}

/// Puts a finished entry at the end of the chain, and the rows that follow from it beside it.
pub(super) fn store(connection: &Connection, entry: &Entry) -> Result<(), NoRows> {
    let sql = format!("INSERT INTO entry ({}) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)", Entry::COLUMNS);
    connection.prepare_cached(&sql)?.execute(params![
        entry.seq,
        entry.at,
        entry.local_offset,
        entry.kind,
        entry.lot,
        entry.payload,
        entry.previous.as_bytes(),
        entry.hash.as_bytes(),
    ])?;
    derive::rows(connection, entry)
}

#[cfg(test)]
mod tests {
    use super::{Entry, Now};
    use crate::lot::Digest;
    use jiff::Timestamp;
    use jiff::tz::Offset;

    #[test]
    fn the_moment_is_kept_in_utc_with_the_local_offset_beside_it() {
        let at: Timestamp = "2026-11-25T14:03:59.987Z".parse().unwrap();
        let now = Now::new(at, Offset::from_seconds(-(5 * 3600 + 1800)).unwrap());
        assert_eq!((now.at.to_string(), now.offset_text()), ("2026-11-25T14:03:59Z".into(), "-05:30".into()));
        assert_eq!(Now::new(at, Offset::UTC).offset_text(), "+00:00");
    }

    /// Moving a character from one field to the next must change the hash: fields carry their length.
    #[test]
    fn fields_cannot_run_into_each_other() {
        let entry = |kind: &str, payload: &str| Entry {
            seq: 1,
            at: "2026-11-25T14:03:59Z".into(),
            local_offset: "-05:00".into(),
            kind: kind.into(),
            lot: None,
            payload: payload.into(),
            previous: Digest::from_bytes([0; 32]),
            hash: Digest::from_bytes([0; 32]),
        };
        assert_ne!(entry("ab", "c").computed_hash(), entry("a", "bc").computed_hash());
        assert_eq!(entry("ab", "c").computed_hash(), entry("ab", "c").computed_hash());
    }
}
