//! What must never be, held by the schema itself: negative stock, more handed over than there is, changed rows.

use super::{Event, Ledger, NewHandOver, NewLot, NotOpened, Now, Quantity, Trouble, Way};
use crate::lot::{Digest, Draw, LotCode};
use crate::unit::Mass;
use jiff::civil::{Date, date};
use jiff::tz::Offset;
use rusqlite::Connection;
use std::path::PathBuf;
use tempfile::TempDir;

const DAY: Date = date(2026, 11, 25);

fn now() -> Now {
    Now::new("2026-11-25T14:03:00Z".parse().unwrap(), Offset::constant(-5))
}

fn wax(grams: i64) -> (Option<LotCode>, Event) {
    let event = Event::Receive {
        material: "wax".into(),
        name: "Wax".into(),
        supplier_lot: "T-1".into(),
        supplier: Some("Tarn and Daughters".into()),
        received: DAY,
        amount: Quantity::Grams(Mass::g(grams)),
        material_sha256: Digest::of(b"wax"),
        sheet: None,
        origin: None,
    };
    (None, event)
}

fn twelve(grams: i64) -> NewLot {
    let draw = Draw {
        material: "wax".into(),
        supplier_lot: "T-1".into(),
        amount: Quantity::Grams(Mass::g(grams)),
        units: (1, 12),
    };
    NewLot {
        product: "low-tide".into(),
        name: "Low Tide".into(),
        units: 12,
        lines: Vec::new(),
        product_hash: Digest::of(b"product"),
        label_hash: Digest::of(b"label"),
        papers: Vec::new(),
        draws: vec![draw],
        cure_until: None,
        declared: None,
        markets: Vec::new(),
    }
}

fn to(name: &str, units: u32) -> NewHandOver {
    NewHandOver { to: name.into(), contact: None, units, which: None, day: DAY, way: Way::Sale, forced: None }
}

/// 1000 g of wax, a lot of twelve from 600 g of it, five sold.
fn begun() -> (TempDir, PathBuf, Ledger, LotCode) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("ledger.sqlite");
    let mut ledger = Ledger::open(&path).unwrap();
    ledger.add(now(), vec![wax(1000)]).unwrap();
    let row = ledger.open_lot(DAY, now(), |_| Ok::<_, ()>(twelve(600)), |_, _| Ok(())).unwrap();
    ledger.hand_over(now(), row.code, &to("Stall", 5), |_| Ok::<_, ()>(())).unwrap();
    (dir, path, ledger, row.code)
}

#[test]
fn more_than_there_is_never_leaves_store_or_shelf() {
    let (_dir, _path, mut ledger, code) = begun();
    let before = ledger.verify().unwrap();
    let poured = ledger.open_lot(DAY, now(), |_| Ok::<_, ()>(twelve(401)), |_, _| panic!("refused before"));
    let Err(NotOpened::Ledger(Trouble::Refused { why })) = poured else { panic!("{poured:?}") };
    assert!(why.contains("not so much of this material lot"), "{why}");
    let sold = ledger.hand_over(now(), code, &to("Shop", 8), |_| Ok::<_, ()>(()));
    let Err(NotOpened::Ledger(Trouble::Refused { why })) = sold else { panic!("{sold:?}") };
    assert!(why.contains("not so many units on hand"), "{why}");
    assert!(ledger.buyers("Shop").unwrap().is_empty(), "the buyer of a refused hand-over is not kept");
    assert_eq!(ledger.verify().unwrap(), before);
    ledger.hand_over(now(), code, &to("Shop", 7), |_| Ok::<_, ()>(())).unwrap();
    ledger.open_lot(DAY, now(), |_| Ok::<_, ()>(twelve(400)), |_, _| Ok(())).unwrap();
    assert_eq!(ledger.stock().unwrap()[0].left, 0);
}

#[test]
fn a_correction_that_would_leave_less_than_nothing_is_refused() {
    let (_dir, _path, ledger, _) = begun();
    let correct = |entry| (None, Event::Correct { entry, because: "slip".into(), by: None });
    // the delivery is drawn on already
    assert!(matches!(ledger.add(now(), vec![correct(1)]), Err(Trouble::Refused { .. })));
    // with the right one in the same step it holds: the order within the step counts
    ledger.add(now(), vec![wax(700), correct(1)]).unwrap();
    assert_eq!(ledger.stock().unwrap()[0].left, Mass::g(100).to_ng());
    assert!(matches!(ledger.add(now(), vec![correct(1)]), Err(Trouble::Refused { .. })), "once only");
    assert!(matches!(ledger.add(now(), vec![correct(99)]), Err(Trouble::Refused { .. })), "of what there is only");
    ledger.verify().unwrap();
}

#[test]
fn derived_rows_are_neither_changed_nor_removed() {
    let (_dir, path, ledger, code) = begun();
    ledger.add(now(), vec![(Some(code), Event::Correct { entry: 3, because: "slip".into(), by: None })]).unwrap();
    let other = Connection::open(&path).unwrap();
    for table in super::derive::TABLES {
        let number: i64 = other.query_row(&format!("SELECT count(*) FROM {table}"), [], |r| r.get(0)).unwrap();
        assert!(number > 0, "{table} has nothing to defend");
        let column: String = other
            .query_row(&format!("SELECT name FROM pragma_table_info('{table}') LIMIT 1"), [], |r| r.get(0))
            .unwrap();
        let update = other.execute_batch(&format!("UPDATE {table} SET {column} = {column}")).unwrap_err();
        assert!(update.to_string().contains("never changed"), "{table}: {update}");
        let delete = other.execute_batch(&format!("DELETE FROM {table}")).unwrap_err();
        assert!(delete.to_string().contains("never removed"), "{table}: {delete}");
    }
    for (sql, told) in [
        ("DELETE FROM buyer", "never removed"),
        ("UPDATE buyer SET name = 'Another'", "only be forgotten"),
        ("UPDATE buyer SET id = 9, name = NULL, contact = NULL, salt = NULL", "only be forgotten"),
        ("INSERT INTO stock_move VALUES (1, 1, -1)", "UNIQUE"),
        ("INSERT INTO stock_move VALUES (2, 9, 5)", "FOREIGN KEY"),
        ("INSERT INTO unit_move VALUES (1, '26329A4', 'handed over', 13)", "not so many"),
        ("INSERT INTO unit_move VALUES (1, '26329A4', 'lost', 1)", "CHECK"),
        ("INSERT INTO hand_over VALUES (1, '26329A4', 1, '2026-11-25', 'theft', 1, NULL, NULL, NULL)", "CHECK"),
        ("INSERT INTO hand_over VALUES (1, '26329A4', 1, '2026-11-25', 'sale', 0, NULL, NULL, NULL)", "CHECK"),
        ("INSERT INTO draw VALUES (1, 1, '26329A4', 5, 3, 13)", "no such unit"),
    ] {
        let error = other.execute_batch(sql).unwrap_err().to_string();
        assert!(error.contains(told), "{sql}: {error}");
    }
    ledger.verify().unwrap();
}

/// What somebody could do with a general SQLite tool after dropping the triggers.
#[test]
fn derived_rows_that_do_not_follow_from_the_chain_are_noticed() {
    for (sql, told) in [
        ("UPDATE unit_move SET units = 4 WHERE what = 'handed over'", "`unit_move`"),
        ("UPDATE stock_move SET amount = amount - 1 WHERE amount < 0", "`stock_move`"),
        ("DELETE FROM hand_over", "`hand_over`"),
        ("UPDATE draw SET last_unit = 6", "`draw`"),
        ("UPDATE lot SET label_hash = zeroblob(32)", "`lot`"),
        ("UPDATE receipt SET supplier = NULL", "`receipt`"),
        ("UPDATE buyer SET name = 'Another'", "is not the one that was recorded"),
    ] {
        let (_dir, path, ledger, _) = begun();
        let other = Connection::open(&path).unwrap();
        for table in ["unit_move", "stock_move", "hand_over", "draw", "lot", "receipt"] {
            other
                .execute_batch(&format!("DROP TRIGGER {table}_is_not_changed; DROP TRIGGER {table}_is_not_removed"))
                .unwrap();
        }
        other.execute_batch("DROP TRIGGER buyer_is_only_blanked; PRAGMA foreign_keys = off").unwrap();
        assert!(other.execute(sql, []).unwrap() > 0, "{sql}");
        let Err(Trouble::Damaged { why, .. }) = ledger.verify() else { panic!("not noticed: {sql}") };
        assert!(why.contains(told), "{sql}: {why}");
    }
}

#[test]
fn a_clock_that_goes_back_is_noted_before_the_entry() {
    let (_dir, _path, ledger, code) = begun();
    let at = |text: &str| Now::new(text.parse().unwrap(), Offset::constant(-5));
    let note = |text: &str| (Some(code), Event::Note { text: text.into(), deviation: false, by: None });
    // a writer that looked at the clock ten seconds ago and waited for another
    ledger.add(at("2026-11-25T14:02:50Z"), vec![note("waited")]).unwrap();
    ledger.add(at("2026-11-25T14:03:00Z"), vec![note("now")]).unwrap();
    ledger.add(at("2026-11-25T14:02:49Z"), vec![note("first"), note("second")]).unwrap();
    let clock = ledger.of_no_lot().unwrap().pop().unwrap();
    assert_eq!((clock.seq, clock.event), (6, Some(Event::Clock { before: "2026-11-25T14:03:00Z".into() })));
    assert_eq!(ledger.verify().unwrap().entries, 8, "once for one step back");
}

#[test]
fn writers_at_once_never_hand_over_more_than_there_is() {
    let (_dir, path, ledger, code) = begun();
    let sold: usize = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..6)
            .map(|n| {
                let path = &path;
                scope.spawn(move || {
                    let own = Ledger::open(path).unwrap();
                    let name = format!("Stall {n}");
                    (0..3).filter(|_| own.hand_over(now(), code, &to(&name, 1), |_| Ok::<_, ()>(())).is_ok()).count()
                })
            })
            .collect();
        threads.into_iter().map(|t| t.join().unwrap()).sum()
    });
    assert_eq!(sold, 7);
    let balance = ledger.balance(&code).unwrap();
    assert_eq!((balance.on_hand, balance.handed_over), (0, 12));
    ledger.verify().unwrap();
}

#[test]
fn a_condition_that_fails_records_nothing() {
    let (_dir, _path, ledger, code) = begun();
    let refused = ledger.hand_over(now(), code, &to("Shop", 1), |_| Err("still curing"));
    assert_eq!(refused, Err(NotOpened::Caller("still curing")));
    assert_eq!(ledger.verify().unwrap().entries, 3);
}
