//! The workshop's ledger, opened; the common beginning of the commands that record and ask.

use super::files::Workshop;
use super::pour::trouble;
use super::record_args::BookArgs;
use super::{Stop, files};
use crate::find::Finding;
use crate::ledger::{Ledger, LotRecord, NotOpened, Now, Trouble};
use crate::lot::LotCode;
use jiff::{Zoned, civil::Date};
use std::path::{Path, PathBuf};

/// An open ledger and where it lies.
pub struct Book {
    /// The workshop's folder.
    pub root: PathBuf,
    /// Its ledger.
    pub ledger: Ledger,
}

/// The workshop's folder: as asked for, else the one around this folder, else this folder.
pub fn root(args: &BookArgs) -> PathBuf {
    args.workshop
        .clone()
        .or_else(|| Workshop::around(Path::new("ledger.sqlite")).root)
        .filter(|root| !root.as_os_str().is_empty())
        .unwrap_or_else(|| PathBuf::from("."))
}

/// Opens the ledger, or makes one.
pub fn open_or_make(args: &BookArgs) -> Result<Book, Stop> {
    let root = root(args);
    if !root.is_dir() {
        return Err(Stop::input(Finding::input(
            "file/no-workshop",
            format!("there is no folder `{}`", root.display()),
            "name the folder of the workshop with `--workshop`",
        )));
    }
    let ledger = Ledger::open(&root.join("ledger.sqlite")).map_err(|t| trouble(&t))?;
    Ok(Book { root, ledger })
}

/// Opens a ledger that must be there.
pub fn open(args: &BookArgs) -> Result<Book, Stop> {
    let path = root(args).join("ledger.sqlite");
    if path.symlink_metadata().is_err() {
        return Err(Stop::input(Finding::input(
            "lot/no-ledger",
            format!("there is no ledger `{}`", path.display()),
            "go into the workshop's folder or name it with `--workshop`; the first pour or delivery makes the ledger",
        )));
    }
    open_or_make(args)
}

impl Book {
    /// The record of a lot as typed.
    pub fn record(&self, typed: &str) -> Result<(LotCode, LotRecord), Stop> {
        let code = code(typed)?;
        let record = self.ledger.record(&code).map_err(|t| trouble(&t))?;
        record.map(|r| (code, r)).ok_or_else(|| {
            Stop::input(Finding::input(
                "lot/no-such-lot",
                format!("no lot `{code}` was opened here"),
                "`waxbill lots` lists those there are",
            ))
        })
    }
}

/// A lot code as typed.
pub fn code(typed: &str) -> Result<LotCode, Stop> {
    LotCode::parse(typed)
        .map_err(|wrong| Stop::input(Finding::input("policy/lot-code-check", wrong.message, wrong.cure)))
}

/// What a write to the ledger failed of.
pub fn refused(why: NotOpened<Stop>) -> Stop {
    match why {
        NotOpened::Caller(stop) => stop,
        NotOpened::NoCode(wrong) => Stop::input(Finding::input("lot/no-code", wrong.message, wrong.cure)),
        NotOpened::Ledger(t) | NotOpened::PlacedOnly(_, t) => asked_for_too_much(&t),
    }
}

/// What must never be is a finding, exit 1; the rest is the ledger's trouble.
pub fn asked_for_too_much(t: &Trouble) -> Stop {
    match t {
        Trouble::Refused { .. } => {
            let wrong = t.wrong();
            Stop::Findings(vec![Finding::input("lot/refused", wrong.message, wrong.cure)])
        }
        other => trouble(other),
    }
}

/// Words that may not be empty.
pub fn needed(words: Option<&String>, option: &str, what: &str) -> Result<String, Stop> {
    match words.map(|w| w.trim()).filter(|w| !w.is_empty()) {
        Some(words) => Ok(words.to_owned()),
        None => Err(Stop::input(Finding::input(
            "lot/reason-missing",
            format!("{what} is recorded, and it is not given"),
            format!("add `{option} \"...\"`"),
        ))),
    }
}

/// This moment, and the day asked for or today.
pub fn when(day: Option<Date>) -> (Zoned, Now, Date) {
    let now = super::open::now();
    let day = day.unwrap_or_else(|| now.date());
    (now.clone(), Now::of(&now), day)
}

/// The bytes of a file to be digested, at most 64 MiB.
pub fn bytes(path: &Path) -> Result<Vec<u8>, Stop> {
    const MOST: u64 = 64 << 20;
    let failed = |e: &dyn std::fmt::Display| {
        Stop::input(Finding::input(
            "file/not-found",
            format!("`{}` cannot be read: {e}", path.display()),
            "check the name of the file",
        ))
    };
    let meta = std::fs::metadata(path).map_err(|e| failed(&e))?;
    if !meta.is_file() || meta.len() > MOST {
        return Err(failed(&"it is no plain file, or larger than 64 MiB"));
    }
    std::fs::read(path).map_err(|e| failed(&e))
}

/// A YAML file by path, or a material or vessel by its name in the workshop.
pub fn material_file(root: &Path, typed: &Path) -> PathBuf {
    if typed.exists() || typed.components().count() != 1 {
        return typed.to_path_buf();
    }
    let on_shelf = |folder: &str| root.join(folder).join(typed).with_extension("yaml");
    let mut shelves = ["materials", "vessels"].into_iter().map(on_shelf);
    shelves.find(|path| path.is_file()).unwrap_or_else(|| typed.to_path_buf())
}

pub use files::read as yaml;
