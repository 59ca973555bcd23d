//! What can go wrong with the ledger's file, in plain words with a cure. The foreign errors end here.

use crate::lot::LotCode;
use crate::unit::Wrong;
use rusqlite::ErrorCode;
use std::fmt;
use std::path::{Path, PathBuf};

/// Why the ledger cannot do what was asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// Somebody else is writing and did not finish in time.
    Locked {
        /// The ledger.
        path: PathBuf,
    },
    /// The disk or the rights to it: full, read-only, not there.
    Machine {
        /// The ledger.
        path: PathBuf,
        /// What the system says.
        why: String,
    },
    /// Something else stands at that path.
    NotALedger {
        /// The path.
        path: PathBuf,
        /// What it is.
        why: String,
    },
    /// The ledger is not as it was written.
    Damaged {
        /// The ledger.
        path: PathBuf,
        /// What was noticed.
        why: String,
    },
    /// What was asked for must never be: more handed over than there is, a second correction.
    Refused {
        /// What it would have been.
        why: String,
    },
    /// A file would have been overwritten.
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// A later version of the program wrote it.
    FromTheFuture {
        /// The ledger.
        path: PathBuf,
        /// Its schema.
        schema: i64,
        /// The last schema this version knows.
        known: i64,
    },
}

impl Trouble {
    pub(super) fn damaged(path: &Path, why: impl Into<String>) -> Self {
        Self::Damaged { path: path.to_owned(), why: why.into() }
    }

    pub(super) fn of(path: &Path, error: &rusqlite::Error) -> Self {
        let path = path.to_owned();
        let why = match error {
            rusqlite::Error::SqliteFailure(_, Some(text)) => text.clone(),
            other => other.to_string(),
        };
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Locked { path },
            Some(ErrorCode::ConstraintViolation) => Self::Refused { why },
            Some(ErrorCode::NotADatabase) => Self::NotALedger { path, why: "it is no SQLite file".to_owned() },
            Some(
                ErrorCode::CannotOpen
                | ErrorCode::PermissionDenied
                | ErrorCode::ReadOnly
                | ErrorCode::DiskFull
                | ErrorCode::SystemIoFailure
                | ErrorCode::FileLockingProtocolFailed
                | ErrorCode::NoLargeFileSupport
                | ErrorCode::OutOfMemory,
            ) => Self::Machine { path, why },
            _ => Self::Damaged { path, why },
        }
    }

    /// Message and cure.
    #[must_use]
    pub fn wrong(&self) -> Wrong {
        match self {
            Self::Locked { path } => Wrong::new(
                format!("the ledger `{}` is being written by somebody else", path.display()),
                "wait until the other program has finished, then run the command again; nothing was recorded",
            ),
            Self::Machine { path, why } => Wrong::new(
                format!("the ledger `{}` cannot be opened or written: {why}", path.display()),
                "look whether the folder exists, may be written to and has space left; nothing was recorded",
            ),
            Self::NotALedger { path, why } => Wrong::new(
                format!("`{}` is not a ledger: {why}", path.display()),
                "move it away; a new ledger is made by the first lot",
            ),
            Self::Damaged { path, why } => Wrong::new(
                format!("the ledger `{}` is not as it was written: {why}", path.display()),
                "keep this file as it is, and go on from the last good copy of the workshop",
            ),
            Self::Refused { why } => Wrong::new(
                format!("the ledger refuses this entry: {why}"),
                "look at what is recorded with `waxbill lot CODE`; nothing was recorded",
            ),
            Self::Exists { path } => Wrong::new(
                format!("there is a file `{}` already", path.display()),
                "move it away, or name another; nothing is overwritten",
            ),
            Self::FromTheFuture { path, schema, known } => Wrong::new(
                format!(
                    "the ledger `{}` has schema {schema}, and this version knows schemas up to {known}",
                    path.display()
                ),
                "use the newer version of waxbill that wrote it",
            ),
        }
    }

    /// Whether the machine failed rather than the input: exit code 3.
    #[must_use]
    pub const fn is_machine(&self) -> bool {
        matches!(self, Self::Locked { .. } | Self::Machine { .. })
    }
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.wrong().fmt(f)
    }
}

impl std::error::Error for Trouble {}

/// Why a lot was not opened; the ledger is as it was before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotOpened<T> {
    /// No code is left for that day, or none can say it.
    NoCode(Wrong),
    /// What `make` or `place` answered.
    Caller(T),
    /// The ledger's file.
    Ledger(Trouble),
    /// The files were placed, but the record did not last: take them away again.
    PlacedOnly(LotCode, Trouble),
}

impl NotOpened<std::convert::Infallible> {
    /// What is left where the caller cannot fail.
    pub(super) fn trouble(self) -> Trouble {
        match self {
            Self::Ledger(trouble) | Self::PlacedOnly(_, trouble) => trouble,
            Self::NoCode(wrong) => Trouble::Refused { why: wrong.message },
            Self::Caller(never) => match never {},
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Trouble;
    use rusqlite::ffi::{
        Error, SQLITE_BUSY, SQLITE_CANTOPEN, SQLITE_CORRUPT, SQLITE_FULL, SQLITE_IOERR_WRITE, SQLITE_NOTADB,
        SQLITE_READONLY_DIRECTORY,
    };
    use std::path::Path;

    fn told(code: i32) -> Trouble {
        Trouble::of(Path::new("ledger.sqlite"), &rusqlite::Error::SqliteFailure(Error::new(code), None))
    }

    #[test]
    fn the_machines_faults_are_told_from_the_files() {
        assert!(matches!(told(SQLITE_BUSY), Trouble::Locked { .. }));
        for code in [SQLITE_CANTOPEN, SQLITE_READONLY_DIRECTORY, SQLITE_FULL, SQLITE_IOERR_WRITE] {
            assert!(matches!(told(code), Trouble::Machine { .. }) && told(code).is_machine(), "{code}");
        }
        assert!(matches!(told(SQLITE_CORRUPT), Trouble::Damaged { .. }));
        assert!(matches!(told(SQLITE_NOTADB), Trouble::NotALedger { .. }) && !told(SQLITE_NOTADB).is_machine());
    }
}
