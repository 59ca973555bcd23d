//! Opening the ledger's file: what is refused, how it is set, and the numbered migrations. First step of the room.

use super::derive::{self, NoRows};
use super::entry::Entry;
use super::trouble::Trouble;
use rusqlite::backup::Backup;
use rusqlite::{Connection, OpenFlags, TransactionBehavior};
use std::fs::{self, File};
use std::io::{ErrorKind, Read};
use std::path::Path;
use std::time::Duration;

/// How long a second writer waits for the first.
pub(super) const PATIENCE: Duration = Duration::from_secs(5);

/// `wxbl` in ASCII, in the header of every ledger: tells it from other SQLite files.
const APPLICATION_ID: i64 = 0x7778_626c;

/// One file a schema, in order; the place in this list is the schema's number less one.
pub(super) const MIGRATIONS: &[&str] = &[
    include_str!("migrations/0001-entries-and-papers.sql"),
    include_str!("migrations/0002-stock-units-and-hand-overs.sql"),
    include_str!("migrations/0003-bottles-on-the-scale.sql"),
];

/// The schema from which on rows are derived from entries.
const DERIVED: i64 = 2;

pub(super) fn connect(path: &Path, patience: Duration) -> Result<Connection, Trouble> {
    look_before(path)?;
    let trouble = |e: rusqlite::Error| Trouble::of(path, &e);
    // a bare `:memory:` would not be a file
    let plain = if path.is_relative() { Path::new(".").join(path) } else { path.to_owned() };
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut connection = Connection::open_with_flags(plain, flags).map_err(trouble)?;
    connection.busy_timeout(patience).map_err(trouble)?;
    let schema = recognise(path, &connection)?;
    set_journal(path, &connection, patience)?;
    connection.pragma_update(None, "synchronous", "full").map_err(trouble)?;
    connection.pragma_update(None, "foreign_keys", true).map_err(trouble)?;
    connection.pragma_update(None, "recursive_triggers", true).map_err(trouble)?;
    connection.pragma_update(None, "trusted_schema", false).map_err(trouble)?;
    // a blanked name is overwritten in the file, not only let go
    connection.pragma_update(None, "secure_delete", true).map_err(trouble)?;
    if schema < known() {
        if schema > 0 {
            keep_copy(path, schema, &connection)?;
        }
        migrate(&mut connection).map_err(|e| match e {
            NoRows::Sqlite(error) => Trouble::of(path, &error),
            NoRows::Odd(why) => Trouble::damaged(path, why),
        })?;
    }
    Ok(connection)
}

/// A copy of the file beside it, as it was before the first step to a new schema: `ledger.schema-1.sqlite`.
fn keep_copy(path: &Path, schema: i64, connection: &Connection) -> Result<(), Trouble> {
    let machine = |why: &dyn std::fmt::Display| Trouble::Machine {
        path: path.to_owned(),
        why: format!("the copy before the change to a new schema cannot be made: {why}"),
    };
    let stem = path.file_stem().map_or_else(|| "ledger".into(), |s| s.to_string_lossy().into_owned());
    let copy = path.with_file_name(format!("{stem}.schema-{schema}.sqlite"));
    if copy.exists() {
        return Ok(()); // made by another program that opened the ledger at the same time, or by a try that was cut off
    }
    copy_to(connection, &copy).map_err(|why| machine(&why))
}

/// SQLite's online backup into a new file, whole or not at all. Refuses a file that is there.
pub(super) fn copy_to(connection: &Connection, to: &Path) -> Result<(), String> {
    let folder = to.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let made = tempfile::Builder::new().prefix(".waxbill-").tempfile_in(folder).map_err(|e| e.to_string())?;
    let mut copy = Connection::open(made.path()).map_err(|e| e.to_string())?;
    Backup::new(connection, &mut copy)
        .and_then(|backup| backup.run_to_completion(1000, Duration::ZERO, None))
        .map_err(|e| e.to_string())?;
    // one plain file, without a log beside it
    copy.pragma_update(None, "journal_mode", "delete").map_err(|e| e.to_string())?;
    copy.close().map_err(|(_, e)| e.to_string())?;
    made.as_file().sync_all().map_err(|e| e.to_string())?;
    made.persist_noclobber(to).map_err(|e| e.error.to_string()).map(drop)
}

/// Sets the write-ahead log. SQLite itself does not wait at this step when several programs make the same new file at once.
fn set_journal(path: &Path, connection: &Connection, patience: Duration) -> Result<(), Trouble> {
    const STEP: Duration = Duration::from_millis(20);
    let mut waited = Duration::ZERO;
    loop {
        match connection.pragma_update(None, "journal_mode", "wal").map_err(|e| Trouble::of(path, &e)) {
            Err(Trouble::Locked { .. }) if waited < patience => {
                std::thread::sleep(STEP);
                waited += STEP;
            }
            settled => return settled,
        }
    }
}

/// The last schema this version knows.
pub(super) fn known() -> i64 {
    i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX)
}

/// Refuses what SQLite would answer with a riddle, or would wait on: folders, links to nothing, pipes, other files.
fn look_before(path: &Path) -> Result<(), Trouble> {
    let not = |why: &str| Err(Trouble::NotALedger { path: path.to_owned(), why: why.to_owned() });
    let machine = |e: std::io::Error| Trouble::Machine { path: path.to_owned(), why: e.to_string() };
    match fs::symlink_metadata(path) {
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(()),
        Err(e) => return Err(machine(e)),
        Ok(_) => {}
    }
    let meta = match fs::metadata(path) {
        Ok(meta) => meta,
        Err(e) if e.kind() == ErrorKind::NotFound => return not("it is a link that points to nothing"),
        Err(e) => return Err(machine(e)),
    };
    if meta.is_dir() {
        return not("it is a folder");
    }
    if !meta.is_file() {
        return not("it is no plain file");
    }
    let mut head = Vec::new();
    File::open(path).and_then(|f| f.take(16).read_to_end(&mut head)).map_err(machine)?;
    // an empty file is what a machine that died in the first instant leaves behind
    if head.is_empty() || head == b"SQLite format 3\0" { Ok(()) } else { not("it is no SQLite file") }
}

/// The schema of the file, 0 for a new one.
fn recognise(path: &Path, connection: &Connection) -> Result<i64, Trouble> {
    let trouble = |e: rusqlite::Error| Trouble::of(path, &e);
    // one snapshot: between two questions another program may make the ledger
    let snapshot = connection.unchecked_transaction().map_err(trouble)?;
    let ask = |sql: &str| snapshot.query_row(sql, [], |row| row.get::<_, i64>(0)).map_err(trouble);
    let tables = ask("SELECT count(*) FROM sqlite_schema")?;
    let (id, schema) = (ask("PRAGMA application_id")?, ask("PRAGMA user_version")?);
    if id == 0 && schema == 0 && tables == 0 {
        return Ok(0);
    }
    if id != APPLICATION_ID || schema < 1 {
        return Err(Trouble::NotALedger { path: path.to_owned(), why: "it is another program's SQLite file".into() });
    }
    if schema > known() {
        return Err(Trouble::FromTheFuture { path: path.to_owned(), schema, known: known() });
    }
    Ok(schema)
}

/// Brings the file to the last schema, all steps or none.
fn migrate(connection: &mut Connection) -> Result<(), NoRows> {
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let schema: i64 = transaction.query_row("PRAGMA user_version", [], |row| row.get(0))?;
    for (number, sql) in (1..).zip(MIGRATIONS).filter(|(number, _)| *number > schema) {
        transaction.execute_batch(sql)?;
        transaction.pragma_update(None, "user_version", number)?;
    }
    if schema < DERIVED {
        let sql = format!("SELECT {} FROM entry ORDER BY seq", Entry::COLUMNS);
        let entries: Vec<Entry> =
            transaction.prepare(&sql)?.query_map([], Entry::read)?.collect::<rusqlite::Result<_>>()?;
        for entry in &entries {
            derive::rows(&transaction, entry)?;
        }
    }
    transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
    Ok(transaction.commit()?)
}
