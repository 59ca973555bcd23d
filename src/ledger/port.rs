//! The whole ledger out as lines of JSON and in again, and safe copies while it is in use.
//!
//! One line a thing: first `{"waxbill-ledger": SCHEMA}`, then papers, buyers, entries. What is derived is not written: it
//! follows from the entries. A line is a JSON object with one of the keys `paper`, `buyer`, `entry`.

use super::derive::NoRows;
use super::entry::{self, Entry};
use super::open::{self, copy_to};
use super::trouble::Trouble;
use super::{Ledger, not_stored};
use crate::lot::Digest;
use rusqlite::{Transaction, TransactionBehavior, params};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use std::fmt::Write;
use std::path::Path;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Paper {
    what: String,
    hex: String,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct BuyerLine {
    id: i64,
    name: Option<String>,
    contact: Option<String>,
    salt: Option<String>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct EntryLine {
    seq: i64,
    at: String,
    local_offset: String,
    kind: String,
    lot: Option<String>,
    /// As text: its bytes are hashed.
    payload: String,
    previous: Digest,
    hash: Digest,
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::with_capacity(bytes.len() * 2), |mut out, b| {
        let _ = write!(out, "{b:02x}");
        out
    })
}

fn unhex(text: &str) -> Option<Vec<u8>> {
    let figures: Vec<u8> =
        text.chars().map(|c| c.to_digit(16).and_then(|d| u8::try_from(d).ok())).collect::<Option<_>>()?;
    let (pairs, rest) = figures.as_chunks::<2>();
    rest.is_empty().then(|| pairs.iter().map(|[high, low]| high * 16 + low).collect())
}

impl Ledger {
    /// Everything, a line each, in an order that is always the same.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn export(&self) -> Result<String, Trouble> {
        let snapshot = self.connection.unchecked_transaction().map_err(|e| self.trouble(&e))?;
        let mut out = format!("{}\n", json!({ "waxbill-ledger": open::known() }));
        let mut line = |value: Value| {
            let _ = writeln!(out, "{value}");
        };
        for (what, bytes) in self.each("SELECT what, bytes FROM paper ORDER BY sha256", [], |row| {
            Ok((row.get::<_, String>(0)?, row.get::<_, Vec<u8>>(1)?))
        })? {
            line(json!({ "paper": Paper { what, hex: hex(&bytes) } }));
        }
        for buyer in self.each("SELECT id, name, contact, salt FROM buyer ORDER BY id", [], |row| {
            let salt: Option<Vec<u8>> = row.get(3)?;
            Ok(BuyerLine { id: row.get(0)?, name: row.get(1)?, contact: row.get(2)?, salt: salt.map(|s| hex(&s)) })
        })? {
            line(json!({ "buyer": buyer }));
        }
        for entry in self.each(&format!("SELECT {} FROM entry ORDER BY seq", Entry::COLUMNS), [], Entry::read)? {
            let Entry { seq, at, local_offset, kind, lot, payload, previous, hash } = entry;
            line(json!({ "entry": EntryLine { seq, at, local_offset, kind, lot, payload, previous, hash } }));
        }
        drop(snapshot);
        Ok(out)
    }

    /// Makes a new ledger at `path` from lines that [`Ledger::export`] wrote. The chain must hold.
    ///
    /// # Errors
    /// [`Trouble::Refused`] with the line that does not fit or when there is a ledger already; [`Trouble`] with the file.
    pub fn import(path: &Path, lines: &str) -> Result<Self, Trouble> {
        let refused = |why: String| Trouble::Refused { why };
        if path.exists() {
            return Err(Trouble::Exists { path: path.to_owned() });
        }
        let head = lines.lines().next().and_then(|l| serde_json::from_str::<Value>(l).ok());
        match head.as_ref().and_then(|h| h["waxbill-ledger"].as_i64()) {
            None => return Err(refused("the first line does not say that this is a ledger".to_owned())),
            Some(schema) if schema > open::known() => {
                return Err(Trouble::FromTheFuture { path: path.to_owned(), schema, known: open::known() });
            }
            Some(_) => {}
        }
        let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let machine = |e: &dyn std::fmt::Display| Trouble::Machine { path: path.to_owned(), why: e.to_string() };
        let made = tempfile::Builder::new().prefix(".waxbill-").tempdir_in(folder).map_err(|e| machine(&e))?;
        let fresh = Self::open(&made.path().join("ledger.sqlite"))?;
        let transaction = Transaction::new_unchecked(&fresh.connection, TransactionBehavior::Immediate)
            .map_err(|e| fresh.trouble(&e))?;
        for (number, line) in (2..).zip(lines.lines().skip(1)) {
            read_line(&transaction, line).map_err(|e| match not_stored(path, &e) {
                Trouble::Refused { why } => refused(format!("line {number}: {why}")),
                other => other,
            })?;
        }
        transaction.commit().map_err(|e| fresh.trouble(&e))?;
        fresh.verify()?;
        copy_to(&fresh.connection, path).map_err(|e| machine(&e))?;
        drop(fresh);
        Self::open(path)
    }

    /// A copy of the ledger as one file, made with SQLite's online backup while others may be writing.
    ///
    /// # Errors
    /// [`Trouble::Refused`] when there is a file already; [`Trouble::Machine`] when it cannot be written.
    pub fn backup(&self, to: &Path) -> Result<(), Trouble> {
        if to.exists() {
            return Err(Trouble::Exists { path: to.to_owned() });
        }
        copy_to(&self.connection, to).map_err(|why| Trouble::Machine { path: to.to_owned(), why })
    }

    /// Makes a new ledger at `path` from a copy, after walking through the copy.
    ///
    /// # Errors
    /// [`Trouble`] when the copy is none or not sound, or there is a ledger at `path` already.
    pub fn restore(path: &Path, copy: &Path) -> Result<Self, Trouble> {
        if !copy.exists() {
            return Err(Trouble::NotALedger { path: copy.to_owned(), why: "there is no such file".to_owned() });
        }
        let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let machine = |e: &dyn std::fmt::Display| Trouble::Machine { path: path.to_owned(), why: e.to_string() };
        let made = tempfile::Builder::new().prefix(".waxbill-").tempdir_in(folder).map_err(|e| machine(&e))?;
        // opening may bring it to a new schema: never the copy itself
        let trial = made.path().join("ledger.sqlite");
        std::fs::copy(copy, &trial).map_err(|e| machine(&e))?;
        let read = Self::open(&trial)?;
        read.verify()?;
        read.backup(path)?;
        drop(read);
        Self::open(path)
    }
}

fn read_line(to: &Transaction<'_>, line: &str) -> Result<(), NoRows> {
    let odd = |e: &dyn std::fmt::Display| NoRows::Odd(format!("it is no line of a ledger ({e})"));
    let value: Value = serde_json::from_str(line).map_err(|e| odd(&e))?;
    let Some((key, value)) = value.as_object().filter(|o| o.len() == 1).and_then(|o| o.iter().next()) else {
        return Err(odd(&"one key is wanted"));
    };
    match key.as_str() {
        "paper" => {
            let paper: Paper = serde_json::from_value(value.clone()).map_err(|e| odd(&e))?;
            let bytes = unhex(&paper.hex).ok_or_else(|| odd(&"not hexadecimal"))?;
            to.prepare_cached("INSERT INTO paper (sha256, what, bytes) VALUES (?1, ?2, ?3)")?.execute(params![
                Digest::of(&bytes).as_bytes(),
                paper.what,
                bytes
            ])?;
        }
        "buyer" => {
            let buyer: BuyerLine = serde_json::from_value(value.clone()).map_err(|e| odd(&e))?;
            let salt = buyer.salt.as_deref().map(|s| unhex(s).ok_or_else(|| odd(&"not hexadecimal"))).transpose()?;
            to.prepare_cached("INSERT INTO buyer VALUES (?1, ?2, ?3, ?4)")?.execute(params![
                buyer.id,
                buyer.name,
                buyer.contact,
                salt
            ])?;
        }
        "entry" => {
            let line: EntryLine = serde_json::from_value(value.clone()).map_err(|e| odd(&e))?;
            let EntryLine { seq, at, local_offset, kind, lot, payload, previous, hash } = line;
            let entry = Entry { seq, at, local_offset, kind, lot, payload, previous, hash };
            if entry.computed_hash() != entry.hash {
                return Err(NoRows::Odd(format!("entry {seq} was altered after it was written")));
            }
            entry::store(to, &entry)?;
        }
        other => return Err(odd(&format!("`{other}` is not known"))),
    }
    Ok(())
}
