//! Buyers, apart from the chain: an entry holds a number and a salted digest, so that a name can be blanked for good.
//!
//! The salt goes with the name: from digest and counts alone nobody can try out names.

use super::event::{Event, Way};
use super::trouble::Trouble;
use super::{Ledger, NotOpened, Now};
use crate::lot::{Digest, LotCode};
use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, params};
use serde::Serialize;

/// Somebody who took units.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Buyer {
    /// Number.
    pub id: i64,
    /// Name; none once forgotten.
    pub name: Option<String>,
    /// Where they are reached.
    pub contact: Option<String>,
}

/// Units about to leave.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewHandOver {
    /// To whom: a person, a shop, a market stall with its place.
    pub to: String,
    /// Where they are reached, where a recall would need it.
    pub contact: Option<String>,
    /// How many.
    pub units: u32,
    /// Which, where they are numbered.
    pub which: Option<(u32, u32)>,
    /// The day.
    pub day: Date,
    /// How.
    pub way: Way,
    /// Why in spite of a refusal.
    pub forced: Option<String>,
}

fn commitment(salt: &[u8; 16], name: &str, contact: Option<&str>) -> Digest {
    let mut bytes = salt.to_vec();
    for field in [name, contact.unwrap_or("")] {
        bytes.extend_from_slice(&(field.len() as u64).to_be_bytes());
        bytes.extend_from_slice(field.as_bytes());
    }
    Digest::of(&bytes)
}

impl Ledger {
    /// Records units that leave, after `allow` has looked at the ledger, which nobody can change meanwhile.
    ///
    /// # Errors
    /// The error of `allow`; [`Trouble::Refused`] when there are not so many units on hand.
    pub fn hand_over<T>(
        &self,
        now: Now,
        lot: LotCode,
        new: &NewHandOver,
        allow: impl FnOnce(&Self) -> Result<(), T>,
    ) -> Result<i64, NotOpened<T>> {
        let mut failed = None;
        let done = self.write(now, |ledger| {
            allow(ledger).map_err(Some)?;
            let (buyer, buyer_sha256) = ledger.meet(&new.to, new.contact.as_deref()).map_err(|e| {
                failed = Some(ledger.trouble(&e));
                None
            })?;
            let (units, which, day, way) = (new.units, new.which, new.day, new.way);
            let forced = new.forced.clone();
            Ok(vec![(Some(lot), Event::HandOver { buyer, buyer_sha256, units, which, day, way, forced })])
        });
        match (done, failed) {
            (Ok(numbers), _) => Ok(numbers.last().copied().unwrap_or_default()),
            (Err(_), Some(trouble)) | (Err(NotOpened::Ledger(trouble) | NotOpened::PlacedOnly(_, trouble)), _) => {
                Err(NotOpened::Ledger(trouble))
            }
            (Err(NotOpened::NoCode(wrong)), _) => Err(NotOpened::NoCode(wrong)),
            (Err(NotOpened::Caller(Some(own))), _) => Err(NotOpened::Caller(own)),
            (Err(NotOpened::Caller(None)), None) => {
                Err(NotOpened::Ledger(Trouble::Refused { why: "the buyer cannot be kept".to_owned() }))
            }
        }
    }

    /// The number of a buyer; a new one is entered. To be called inside a transaction.
    fn meet(&self, name: &str, contact: Option<&str>) -> rusqlite::Result<(i64, Digest)> {
        let known: Option<(i64, [u8; 16])> = self
            .connection
            .prepare_cached("SELECT id, salt FROM buyer WHERE name = ?1 AND contact IS ?2")?
            .query_row(params![name, contact], |row| Ok((row.get(0)?, row.get(1)?)))
            .optional()?;
        if let Some((id, salt)) = known {
            return Ok((id, commitment(&salt, name, contact)));
        }
        let (id, salt): (i64, [u8; 16]) = self
            .connection
            .prepare_cached("SELECT coalesce(max(id), 0) + 1, randomblob(16) FROM buyer")?
            .query_row([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        self.connection
            .prepare_cached("INSERT INTO buyer VALUES (?1, ?2, ?3, ?4)")?
            .execute(params![id, name, contact, salt])?;
        Ok((id, commitment(&salt, name, contact)))
    }

    /// Everybody with this name, or with this number.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn buyers(&self, name_or_number: &str) -> Result<Vec<Buyer>, Trouble> {
        self.each(
            "SELECT id, name, contact FROM buyer WHERE name = ?1 OR id = ?2 ORDER BY id",
            params![name_or_number, name_or_number.parse::<i64>().unwrap_or(0)],
            |row| Ok(Buyer { id: row.get(0)?, name: row.get(1)?, contact: row.get(2)? }),
        )
    }

    /// Blanks the name of a buyer and notes that it was done. Counts, entries and chain stay as they are.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be written.
    pub fn forget(&self, now: Now, buyer: i64) -> Result<i64, Trouble> {
        let mut failed = None;
        let done = self.write(now, |ledger| {
            ledger
                .connection
                .execute("UPDATE buyer SET name = NULL, contact = NULL, salt = NULL WHERE id = ?1", [buyer])
                .map_err(|e| failed = Some(ledger.trouble(&e)))?;
            Ok::<_, ()>(vec![(None, Event::Forget { buyer })])
        });
        let seq = match (done, failed) {
            (Ok(numbers), _) => numbers.last().copied().unwrap_or_default(),
            (Err(NotOpened::Ledger(trouble)), _) | (Err(_), Some(trouble)) => return Err(trouble),
            (Err(_), None) => return Err(Trouble::Refused { why: "the buyer cannot be forgotten".to_owned() }),
        };
        // the name must not live on in the log beside the file
        self.connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(())).map_err(|e| self.trouble(&e))?;
        Ok(seq)
    }
}

/// Whose name is not the one the entries were written with.
pub(super) fn unlike_their_digest(of: &Connection) -> rusqlite::Result<Option<String>> {
    let mut statement = of.prepare(
        "SELECT e.seq, b.name, b.contact, b.salt, json_extract(e.payload, '$.buyer_sha256')
         FROM hand_over h JOIN entry e ON e.seq = h.seq JOIN buyer b ON b.id = h.buyer WHERE b.name IS NOT NULL",
    )?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let (seq, name, contact): (i64, String, Option<String>) = (row.get(0)?, row.get(1)?, row.get(2)?);
        let (salt, digest): ([u8; 16], String) = (row.get(3)?, row.get(4)?);
        if commitment(&salt, &name, contact.as_deref()).to_string() != digest {
            return Ok(Some(format!("the buyer of entry {seq} is not the one that was recorded")));
        }
    }
    Ok(None)
}
