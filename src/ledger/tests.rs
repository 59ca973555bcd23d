//! The ledger held to its promises: nothing changed, nothing lost, every refusal in plain words.

use super::open::{MIGRATIONS, connect};
use super::{Ledger, LotRow, NewLot, NewPaper, NotOpened, Now, PlannedLine, Trouble, What};
use crate::lot::{Digest, LotCode};
use crate::unit::Mass;
use jiff::civil::{Date, date};
use jiff::tz::Offset;
use rusqlite::Connection;
use std::convert::Infallible;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;
use tempfile::TempDir;

const DAY: Date = date(2026, 11, 25);

fn now() -> Now {
    Now::new("2026-11-25T14:03:00Z".parse().unwrap(), Offset::constant(-5))
}

fn low_tide(code: &LotCode) -> NewLot {
    NewLot {
        product: "low-tide".into(),
        name: "Low Tide – Marée basse \"9 oz\"".into(),
        units: 24,
        lines: vec![
            PlannedLine { material: "harbour-soy-blend".into(), name: "Harbour soy".into(), planned: Mass::g(5786) },
            PlannedLine {
                material: "kelp-and-cedar".into(),
                name: "Kelp and Cedar".into(),
                planned: Mass::ng(462_800_000_001),
            },
        ],
        product_hash: Digest::of(b"product"),
        label_hash: Digest::of(b"label"),
        papers: vec![
            NewPaper { what: What::Label, name: "label.pdf".into(), bytes: format!("label of {code}").into() },
            NewPaper { what: What::BatchSheet, name: "batch-sheet.pdf".into(), bytes: b"the same for all".to_vec() },
        ],
        draws: Vec::new(),
        cure_until: None,
        declared: None,
        markets: Vec::new(),
    }
}

fn pour(ledger: &mut Ledger, day: Date) -> LotRow {
    ledger.open_lot(day, now(), |code| Ok::<_, Infallible>(low_tide(code)), |_, _| Ok(())).unwrap()
}

fn folder() -> (TempDir, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("ledger.sqlite");
    (dir, path)
}

#[test]
fn a_lot_comes_back_as_it_was_recorded() {
    let (_dir, path) = folder();
    let row = pour(&mut Ledger::open(&path).unwrap(), DAY);
    let ledger = Ledger::open(&path).unwrap();
    assert_eq!(ledger.lot(&LotCode::parse("26329A4").unwrap()).unwrap().as_ref(), Some(&row));
    assert_eq!(ledger.lots().unwrap(), std::slice::from_ref(&row));
    assert_eq!((row.opened.as_str(), row.local_offset.as_str()), ("2026-11-25T14:03:00Z", "-05:00"));
    let new = low_tide(&row.code);
    assert_eq!((&row.name, row.units, &row.lines), (&new.name, new.units, &new.lines));
    assert_eq!(ledger.paper(&row.papers[0].sha256).unwrap().unwrap(), new.papers[0].bytes);
    assert_eq!(ledger.paper(&Digest::of(b"never stored")).unwrap(), None);
    assert_eq!(ledger.lot(&LotCode::parse("26329B2").unwrap()).unwrap(), None);
}

#[test]
fn pours_of_a_day_are_counted_by_letters_until_none_is_left() {
    let (_dir, path) = folder();
    let mut ledger = Ledger::open(&path).unwrap();
    let letters: String = (0..24).map(|_| pour(&mut ledger, DAY).code.session()).collect();
    assert_eq!(letters, "ABCDEFGHJKLMNPQRSTUVWXYZ");
    let full = ledger.open_lot(DAY, now(), |_| -> Result<NewLot, ()> { panic!("no code to make") }, |_, _| Ok(()));
    assert!(matches!(full, Err(NotOpened::NoCode(w)) if w.message.contains("24 pours")));
    assert_eq!(pour(&mut ledger, date(2026, 11, 26)).code.to_string().as_str()[..6], *"26330A");
    assert_eq!(pour(&mut ledger, date(2026, 11, 24)).code.to_string().as_str()[..6], *"26328A");
    let verified = ledger.verify().unwrap();
    // the batch sheet has the same bytes in every lot and is kept once
    assert_eq!((verified.entries, verified.lots, verified.papers), (26, 26, 27));
    assert!(matches!(
        ledger.open_lot(date(1999, 1, 1), now(), |c| Ok::<_, ()>(low_tide(c)), |_, _| Ok(())),
        Err(NotOpened::NoCode(_))
    ));
}

#[test]
fn a_failed_pour_leaves_nothing_behind_and_its_code_free() {
    let (_dir, path) = folder();
    let mut ledger = Ledger::open(&path).unwrap();
    let make_failed = ledger.open_lot(DAY, now(), |_| Err("does not fit"), |_, _| Ok(()));
    assert_eq!(make_failed, Err(NotOpened::Caller("does not fit")));
    let place_failed = ledger.open_lot(DAY, now(), |code| Ok(low_tide(code)), |_, _| Err("folder is there"));
    assert_eq!(place_failed, Err(NotOpened::Caller("folder is there")));
    assert_eq!(ledger.verify().unwrap().entries + ledger.verify().unwrap().papers, 0);
    assert_eq!(pour(&mut ledger, DAY).code.to_string(), "26329A4");
}

#[test]
fn a_pour_that_panics_rolls_back() {
    let (_dir, path) = folder();
    let panicked = std::panic::catch_unwind(|| {
        let mut ledger = Ledger::open(&path).unwrap();
        let _ = ledger.open_lot(DAY, now(), |code| Ok::<_, ()>(low_tide(code)), |_, _| panic!("in the middle"));
    });
    assert!(panicked.is_err());
    assert_eq!(Ledger::open(&path).unwrap().lots().unwrap(), []);
}

#[test]
fn rows_are_neither_changed_nor_removed() {
    let (_dir, path) = folder();
    pour(&mut Ledger::open(&path).unwrap(), DAY);
    let other = Connection::open(&path).unwrap();
    for (sql, told) in [
        ("UPDATE entry SET payload = '{}'", "entries are never changed"),
        ("UPDATE entry SET seq = 9", "entries are never changed"),
        ("DELETE FROM entry", "entries are never removed"),
        ("UPDATE paper SET bytes = x'00'", "papers are never changed"),
        ("DELETE FROM paper", "papers are never removed"),
        ("INSERT OR REPLACE INTO paper SELECT sha256, what, x'00' FROM paper", "stored already"),
        (
            "INSERT OR REPLACE INTO entry SELECT seq, at, local_offset, kind, lot, '{}', previous, hash FROM entry",
            "end of the chain",
        ),
        (
            "INSERT INTO entry SELECT 2, at, local_offset, 'note', '26329B2', '{}', hash, zeroblob(32) FROM entry",
            "no such lot",
        ),
        ("INSERT INTO entry SELECT 2, at, local_offset, kind, lot, '{}', hash, zeroblob(32) FROM entry", "UNIQUE"),
        (
            "INSERT INTO entry SELECT 2, 'today', local_offset, 'note', lot, '{}', hash, zeroblob(32) FROM entry",
            "CHECK",
        ),
        ("INSERT INTO entry SELECT 2, at, local_offset, 'note', lot, 'x', hash, zeroblob(32) FROM entry", "CHECK"),
    ] {
        let error = other.execute_batch(sql).unwrap_err().to_string();
        assert!(error.contains(told), "{sql}: {error}");
    }
    assert_eq!(Ledger::open(&path).unwrap().verify().unwrap().entries, 1);
}

/// What somebody could do with a general SQLite tool after dropping the triggers.
#[test]
fn alterations_behind_the_programs_back_are_noticed() {
    for (sql, told) in [
        (
            "UPDATE entry SET payload = replace(payload, '\"units\":24', '\"units\":25') WHERE seq = 2",
            "entry 2 was altered",
        ),
        ("UPDATE entry SET at = '2026-11-25T14:03:01Z' WHERE seq = 3", "entry 3 was altered"),
        ("UPDATE entry SET hash = zeroblob(32) WHERE seq = 1", "entry 1 was altered"),
        ("DELETE FROM entry WHERE seq = 2", "missing before entry 3"),
        ("DELETE FROM entry WHERE seq = 1", "missing before entry 2"),
        ("UPDATE paper SET bytes = x'00' WHERE what = 'batch sheet'", "not what was stored"),
        ("DELETE FROM paper WHERE what = 'batch sheet'", "batch sheet of lot 26329A4 is missing"),
    ] {
        let (_dir, path) = folder();
        let mut ledger = Ledger::open(&path).unwrap();
        (0..3).for_each(|_| drop(pour(&mut ledger, DAY)));
        assert_eq!(ledger.verify().unwrap().lots, 3);
        let other = Connection::open(&path).unwrap();
        let triggers = "DROP TRIGGER entry_is_not_changed; DROP TRIGGER entry_is_not_removed;
                        DROP TRIGGER paper_is_not_changed; DROP TRIGGER paper_is_not_removed;";
        other.pragma_update(None, "foreign_keys", false).unwrap();
        other.execute_batch(triggers).unwrap();
        assert!(other.execute(sql, []).unwrap() > 0, "{sql}");
        let Err(Trouble::Damaged { why, .. }) = ledger.verify() else { panic!("not noticed: {sql}") };
        assert!(why.contains(told), "{sql}: {why}");
    }
}

#[test]
fn a_flipped_byte_in_the_file_never_passes_unnoticed() {
    let (_dir, path) = folder();
    pour(&mut Ledger::open(&path).unwrap(), DAY);
    let whole = fs::read(&path).unwrap();
    let at = whole.windows(9).position(|w| w == b"the same ").unwrap();
    let mut bytes = whole;
    bytes[at] ^= 1;
    fs::write(&path, bytes).unwrap();
    assert!(Ledger::open(&path).unwrap().verify().is_err());
}

#[test]
fn a_second_writer_hears_that_the_ledger_is_locked() {
    let (_dir, path) = folder();
    pour(&mut Ledger::open(&path).unwrap(), DAY);
    let first = Connection::open(&path).unwrap();
    first.execute_batch("BEGIN IMMEDIATE").unwrap();
    let connection = connect(&path, Duration::from_millis(50)).unwrap();
    let mut second = Ledger { path: path.clone(), connection, taken: Box::new(|_| false) };
    assert_eq!(second.lots().unwrap().len(), 1, "reading goes on");
    let locked = second.open_lot(DAY, now(), |code| Ok::<_, ()>(low_tide(code)), |_, _| Ok(()));
    assert_eq!(locked, Err(NotOpened::Ledger(Trouble::Locked { path: path.clone() })));
    assert!(Trouble::Locked { path }.to_string().contains("wait until the other program has finished"));
    first.execute_batch("COMMIT").unwrap();
    assert_eq!(pour(&mut second, DAY).code.to_string(), "26329B2");
}

#[test]
fn a_second_writer_waits_for_the_first() {
    let (_dir, path) = folder();
    let mut ledger = Ledger::open(&path).unwrap();
    let first = Connection::open(&path).unwrap();
    first.execute_batch("BEGIN IMMEDIATE").unwrap();
    let done = std::thread::spawn(move || {
        std::thread::sleep(Duration::from_millis(300));
        first.execute_batch("COMMIT").unwrap();
    });
    assert_eq!(pour(&mut ledger, DAY).code.to_string(), "26329A4");
    done.join().unwrap();
}

#[test]
fn writers_at_once_on_a_new_ledger_share_the_letters() {
    let (_dir, path) = folder();
    std::thread::scope(|scope| {
        for _ in 0..6 {
            scope.spawn(|| {
                let mut ledger = Ledger::open(&path).unwrap();
                (0..4).for_each(|_| drop(pour(&mut ledger, DAY)));
            });
        }
    });
    let ledger = Ledger::open(&path).unwrap();
    let letters: String = ledger.lots().unwrap().iter().map(|lot| lot.code.session()).collect();
    assert_eq!(letters, "ABCDEFGHJKLMNPQRSTUVWXYZ");
    assert_eq!(ledger.verify().unwrap().entries, 24);
}

#[test]
fn a_full_disk_is_the_machines_fault_and_changes_nothing() {
    let (_dir, path) = folder();
    let mut ledger = Ledger::open(&path).unwrap();
    pour(&mut ledger, DAY);
    let pages: i64 = ledger.connection.query_row("PRAGMA page_count", [], |row| row.get(0)).unwrap();
    ledger.connection.pragma_update(None, "max_page_count", pages + 2).unwrap();
    let big = |code: &LotCode| {
        let mut lot = low_tide(code);
        lot.papers[0].bytes = vec![7; 1_000_000];
        Ok::<_, ()>(lot)
    };
    let full = ledger.open_lot(DAY, now(), big, |_, _| panic!("nothing is placed before it is recorded"));
    let Err(NotOpened::Ledger(trouble)) = full else { panic!("{full:?}") };
    assert!(trouble.is_machine() && trouble.to_string().contains("full"), "{trouble}");
    assert_eq!(ledger.verify().unwrap().entries, 1);
}

fn refused(path: &Path) -> Trouble {
    Ledger::open(path).expect_err("must be refused")
}

#[test]
fn what_is_no_ledger_is_refused_and_left_alone() {
    let (dir, path) = folder();
    assert!(refused(dir.path()).to_string().contains("it is a folder"));
    fs::write(&path, "Dear diary, today I poured").unwrap();
    assert!(matches!(refused(&path), Trouble::NotALedger { .. }));
    assert_eq!(fs::read_to_string(&path).unwrap(), "Dear diary, today I poured");
    fs::write(&path, "short").unwrap();
    assert!(matches!(refused(&path), Trouble::NotALedger { .. }));
    fs::write(&path, [b"SQLite format 3\0".as_slice(), &[9; 200]].concat()).unwrap();
    assert!(matches!(refused(&path), Trouble::NotALedger { .. }));
    fs::remove_file(&path).unwrap();
    Connection::open(&path).unwrap().execute_batch("CREATE TABLE recipes (name)").unwrap();
    let before = fs::read(&path).unwrap();
    assert!(refused(&path).to_string().contains("another program's"));
    assert_eq!(fs::read(&path).unwrap(), before);
}

#[cfg(unix)]
#[test]
fn links_to_nothing_and_missing_folders_are_told() {
    let (dir, path) = folder();
    std::os::unix::fs::symlink(dir.path().join("gone.sqlite"), &path).unwrap();
    assert!(refused(&path).to_string().contains("points to nothing"));
    assert!(!dir.path().join("gone.sqlite").exists());
    let missing = refused(&dir.path().join("no/such/folder/ledger.sqlite"));
    assert!(missing.is_machine() && missing.to_string().contains("may be written to"), "{missing}");
    let below_a_file = dir.path().join("workshop.yaml");
    fs::write(&below_a_file, "").unwrap();
    assert!(refused(&below_a_file.join("ledger.sqlite")).is_machine());
}

/// No user, not even the super-user, can make a file in `/proc`: the same refusal as in a folder without the right to write.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_where_nothing_can_be_made_is_told() {
    let trouble = refused(Path::new("/proc/ledger.sqlite"));
    assert!(matches!(trouble, Trouble::Machine { .. }), "{trouble}");
}

#[test]
fn a_ledger_from_a_later_version_is_refused() {
    let (_dir, path) = folder();
    pour(&mut Ledger::open(&path).unwrap(), DAY);
    Connection::open(&path).unwrap().pragma_update(None, "user_version", 99).unwrap();
    let trouble = refused(&path);
    let known = i64::try_from(MIGRATIONS.len()).unwrap();
    assert_eq!(trouble, Trouble::FromTheFuture { path, schema: 99, known });
    assert!(trouble.to_string().contains("newer version"));
}

#[test]
fn an_empty_file_and_an_empty_sqlite_file_become_ledgers() {
    let (_dir, path) = folder();
    fs::write(&path, "").unwrap();
    assert_eq!(Ledger::open(&path).unwrap().lots().unwrap(), []);
    fs::remove_file(&path).unwrap();
    // what is left when the machine dies between setting the journal and making the tables
    Connection::open(&path).unwrap().pragma_update(None, "journal_mode", "wal").unwrap();
    assert_eq!(pour(&mut Ledger::open(&path).unwrap(), DAY).code.to_string(), "26329A4");
}

#[test]
fn the_file_is_set_for_safety() {
    let (_dir, path) = folder();
    let ledger = Ledger::open(&path).unwrap();
    let ask = |pragma: &str| -> String {
        ledger
            .connection
            .pragma_query_value(None, pragma, |row| row.get::<_, rusqlite::types::Value>(0))
            .map(|value| match value {
                rusqlite::types::Value::Text(text) => text,
                rusqlite::types::Value::Integer(number) => number.to_string(),
                other => format!("{other:?}"),
            })
            .unwrap()
    };
    // 2 is FULL (SQLite's documentation of `PRAGMA synchronous`, from memory)
    assert_eq!([ask("journal_mode"), ask("synchronous"), ask("foreign_keys")], ["wal", "2", "1"]);
    let loose: i64 = ledger
        .connection
        .query_row(
            "SELECT count(*) FROM pragma_table_list
             WHERE schema = 'main' AND type = 'table' AND name NOT LIKE 'sqlite%' AND NOT strict",
            [],
            |r| r.get(0),
        )
        .unwrap();
    assert_eq!(loose, 0);
}
