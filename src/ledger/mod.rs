//! The append-only record; the only room that names SQLite. After `lot`.
//!
//! One file in the workshop holds what happened to every lot. Nothing in it is changed or removed; each entry carries
//! the hash of the one before, so [`Ledger::verify`] notices a row that somebody altered. What no file can show by
//! itself is that its *last* entries were cut off: note the last hash on paper to be sure of that too.
//! The clock comes in from outside.

mod buyer;
mod derive;
mod entry;
mod event;
mod graph;
mod open;
mod port;
mod pour;
mod record;
mod stock;
mod trouble;
mod verify;

pub use crate::lot::Quantity;
pub use buyer::{Buyer, NewHandOver};
pub use entry::Now;
pub use event::{Event, Left, Sheet, Way};
pub use graph::{HandOver, Node, Use};
pub use pour::{LotRow, NewLot, NewPaper, PaperRef, PlannedLine, What};
pub use record::{Balance, LotRecord, Recorded, State};
pub use stock::{Receipt, StoredLot};
pub use trouble::{NotOpened, Trouble};
pub use verify::Verified;

use crate::lot::{Digest, LotCode, session_letter};
use crate::unit::Wrong;
use derive::NoRows;
use entry::Entry;
use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};
use std::path::{Path, PathBuf};

/// The open record of a workshop.
pub struct Ledger {
    path: PathBuf,
    connection: Connection,
    taken: Taken,
}

/// Whether a code that the ledger would give is in use elsewhere.
type Taken = Box<dyn Fn(&LotCode) -> bool>;

impl std::fmt::Debug for Ledger {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Ledger").field("path", &self.path).finish_non_exhaustive()
    }
}

impl Ledger {
    /// Opens the ledger at `path`, or makes an empty one there.
    ///
    /// # Errors
    /// [`Trouble`] when the path is a folder, a link to nothing or a file that is no ledger, when the ledger was written
    /// by a later version, when somebody else keeps it locked, or when the disk refuses.
    pub fn open(path: &Path) -> Result<Self, Trouble> {
        open::connect(path, open::PATIENCE).map(|connection| Self {
            path: path.to_owned(),
            connection,
            taken: Box::new(|_| false),
        })
    }

    /// Passes over codes that are `taken` though no entry has them: papers of a ledger that was lost, or of a run that was
    /// cut off, stay as they are.
    #[must_use]
    pub fn passing_over(mut self, taken: impl Fn(&LotCode) -> bool + 'static) -> Self {
        self.taken = Box::new(taken);
        self
    }

    /// Every lot, in the order they were opened.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn lots(&self) -> Result<Vec<LotRow>, Trouble> {
        let sql = format!("SELECT {} FROM entry WHERE kind = 'pour' ORDER BY seq", Entry::COLUMNS);
        let mut statement = self.connection.prepare_cached(&sql).map_err(|e| self.trouble(&e))?;
        let entries = statement
            .query_map([], Entry::read)
            .and_then(Iterator::collect::<Result<Vec<_>, _>>)
            .map_err(|e| self.trouble(&e))?;
        entries.iter().map(|entry| self.lot_row(entry)).collect()
    }

    /// The lot with this code, if it was opened here.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn lot(&self, code: &LotCode) -> Result<Option<LotRow>, Trouble> {
        let sql = format!("SELECT {} FROM entry WHERE kind = 'pour' AND lot = ?1", Entry::COLUMNS);
        let entry = self
            .connection
            .prepare_cached(&sql)
            .and_then(|mut s| s.query_row([code.to_string()], Entry::read).optional())
            .map_err(|e| self.trouble(&e))?;
        entry.as_ref().map(|entry| self.lot_row(entry)).transpose()
    }

    /// Opens a lot: gives it the next free code of `date`, lets `make` prepare everything that carries the code,
    /// records that, lets `place` put the finished files where the maker finds them, and only then makes the record last.
    /// Whatever fails on the way leaves the ledger as it was, and the code free for the next try.
    ///
    /// If the machine dies after `place` and before the end, files stand under a code the ledger does not know:
    /// see [`Ledger::passing_over`].
    ///
    /// # Errors
    /// [`NotOpened`]: no letter left for that day, the error of `make` or `place`, or [`Trouble`] with the file.
    pub fn open_lot<T>(
        &mut self,
        date: Date,
        now: Now,
        make: impl FnOnce(&LotCode) -> Result<NewLot, T>,
        place: impl FnOnce(&LotCode, &NewLot) -> Result<(), T>,
    ) -> Result<LotRow, NotOpened<T>> {
        self.open_lot_from(date, now, &[], |code, _| make(code), place)
    }

    /// As [`Ledger::open_lot`]; `make` is also told what is in the store of these materials, and no other program can take from
    /// it meanwhile.
    ///
    /// # Errors
    /// As [`Ledger::open_lot`]; [`Trouble::Refused`] when more is drawn from a material lot than there is.
    pub fn open_lot_from<T>(
        &mut self,
        date: Date,
        now: Now,
        materials: &[String],
        make: impl FnOnce(&LotCode, &[StoredLot]) -> Result<NewLot, T>,
        place: impl FnOnce(&LotCode, &NewLot) -> Result<(), T>,
    ) -> Result<LotRow, NotOpened<T>> {
        let path = &self.path;
        let trouble = |e: rusqlite::Error| NotOpened::Ledger(Trouble::of(path, &e));
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate).map_err(trouble)?;
        let code = next_code(&transaction, date, &self.taken).map_err(trouble)?.map_err(NotOpened::NoCode)?;
        let store = stock::of(&transaction, materials).map_err(trouble)?;
        let new = make(&code, &store).map_err(NotOpened::Caller)?;
        for paper in &new.papers {
            keep(&transaction, paper).map_err(trouble)?;
        }
        let payload = pour::payload(date, &new);
        let entry = entry::append(&transaction, now, "pour", Some(code), &payload)
            .map_err(|e| NotOpened::Ledger(not_stored(path, &e)))?;
        let row = pour::read(&entry).map_err(|why| NotOpened::Ledger(Trouble::damaged(path, why)))?;
        place(&code, &new).map_err(NotOpened::Caller)?;
        transaction.commit().map_err(|e| NotOpened::PlacedOnly(code, Trouble::of(path, &e)))?;
        Ok(row)
    }

    /// Adds entries, all or none: what `decide` answers after looking at the ledger, which no other program can change
    /// meanwhile. Returns the number of each entry.
    ///
    /// # Errors
    /// [`NotOpened::Caller`] with the error of `decide`; else [`Trouble`], of which [`Trouble::Refused`] says that an
    /// entry must never be (more handed over than there is, a second correction of the same entry).
    pub fn write<T>(
        &self,
        now: Now,
        decide: impl FnOnce(&Self) -> Result<Vec<(Option<LotCode>, Event)>, T>,
    ) -> Result<Vec<i64>, NotOpened<T>> {
        let trouble = |e: rusqlite::Error| NotOpened::Ledger(self.trouble(&e));
        let transaction =
            Transaction::new_unchecked(&self.connection, TransactionBehavior::Immediate).map_err(trouble)?;
        let events = decide(self).map_err(NotOpened::Caller)?;
        let mut numbers = Vec::with_capacity(events.len());
        for (lot, event) in events {
            let (kind, payload) = event.written();
            let entry = entry::append(&transaction, now, &kind, lot, &payload)
                .map_err(|e| NotOpened::Ledger(not_stored(&self.path, &e)))?;
            numbers.push(entry.seq);
        }
        transaction.commit().map_err(trouble)?;
        Ok(numbers)
    }

    /// Adds entries without a condition.
    ///
    /// # Errors
    /// As [`Ledger::write`].
    pub fn add(&self, now: Now, events: Vec<(Option<LotCode>, Event)>) -> Result<Vec<i64>, Trouble> {
        self.write(now, |_| Ok::<_, std::convert::Infallible>(events)).map_err(NotOpened::trouble)
    }

    /// The bytes of a paper, so that its file can be made again.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read, or when the bytes are no longer those that were stored.
    pub fn paper(&self, sha256: &Digest) -> Result<Option<Vec<u8>>, Trouble> {
        let bytes: Option<Vec<u8>> = self
            .connection
            .prepare_cached("SELECT bytes FROM paper WHERE sha256 = ?1")
            .and_then(|mut s| s.query_row([sha256.as_bytes()], |row| row.get(0)).optional())
            .map_err(|e| self.trouble(&e))?;
        match bytes {
            Some(bytes) if Digest::of(&bytes) != *sha256 => {
                Err(Trouble::damaged(&self.path, format!("the paper `{sha256}` is not what was stored")))
            }
            other => Ok(other),
        }
    }

    /// Walks the whole ledger: the chain of entries, every paper, and the file itself.
    ///
    /// # Errors
    /// [`Trouble::Damaged`] naming the first thing that is not as it was written.
    pub fn verify(&self) -> Result<Verified, Trouble> {
        verify::walk(&self.path, &self.connection)
    }

    fn lot_row(&self, entry: &Entry) -> Result<LotRow, Trouble> {
        pour::read(entry).map_err(|why| Trouble::damaged(&self.path, why))
    }

    fn trouble(&self, error: &rusqlite::Error) -> Trouble {
        Trouble::of(&self.path, error)
    }
}

fn not_stored(path: &Path, error: &NoRows) -> Trouble {
    match error {
        NoRows::Sqlite(error) => Trouble::of(path, error),
        NoRows::Odd(why) => Trouble::Refused { why: why.clone() },
    }
}

/// The code after the last one of `date`. Entries are never removed, so their number is the next letter's place.
fn next_code(connection: &Connection, date: Date, taken: &Taken) -> rusqlite::Result<Result<LotCode, Wrong>> {
    let Some(first) = LotCode::new(date, 'A') else {
        return Ok(Err(Wrong::new(
            format!("a lot code cannot say the year {}", date.year()),
            "give a date from 2000 to 2099",
        )));
    };
    let day = first.to_string()[..5].to_owned();
    let last: Option<String> = connection
        .prepare_cached("SELECT max(lot) FROM entry WHERE kind = 'pour' AND lot >= ?1 AND lot < ?1 || '~'")?
        .query_row([day], |row| row.get(0))?;
    let used = last.and_then(|code| code.chars().nth(5));
    for nth in 0.. {
        let letter = match session_letter(nth) {
            Ok(letter) => letter,
            Err(wrong) => return Ok(Err(wrong)),
        };
        let code = LotCode::new(date, letter).unwrap_or(first);
        // A check character `I` or `O` would be read as a figure: that letter is passed over.
        if used.is_none_or(|used| letter > used) && !code.to_string().ends_with(['I', 'O']) && !taken(&code) {
            return Ok(Ok(code));
        }
    }
    Ok(Ok(first))
}

/// Stores a paper unless the same bytes are there already.
fn keep(connection: &Connection, paper: &NewPaper) -> rusqlite::Result<usize> {
    let sha256 = Digest::of(&paper.bytes);
    connection
        .prepare_cached(
            "INSERT INTO paper (sha256, what, bytes)
             SELECT ?1, ?2, ?3 WHERE NOT EXISTS (SELECT 1 FROM paper WHERE sha256 = ?1)",
        )?
        .execute(params![sha256.as_bytes(), paper.what.word(), paper.bytes])
}

#[cfg(test)]
mod stock_tests;
#[cfg(test)]
mod tests;
