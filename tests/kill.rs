//! A writer of every kind of entry that is killed a thousand times: what it was told is recorded must be there.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]
#![allow(clippy::print_stdout, reason = "the killed writer tells on its standard output what it has recorded")]

use jiff::civil::date;
use jiff::tz::Offset;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;
use waxbill::ledger::{Event, Ledger, NewHandOver, NewLot, Now, Quantity, Way};
use waxbill::lot::{Digest, Draw};
use waxbill::unit::Mass;

const CHILD: &str = "WAXBILL_TEST_KILLED";
const KILLS: u32 = 1000;

fn now() -> Now {
    Now::new("2026-11-25T14:03:00Z".parse().unwrap(), Offset::constant(-5))
}

fn bottle() -> Event {
    Event::Receive {
        material: "wax".into(),
        name: "Wax".into(),
        supplier_lot: "T-1".into(),
        supplier: None,
        received: date(2026, 11, 1),
        amount: Quantity::Grams(Mass::g(1_000_000)),
        material_sha256: Digest::of(b"wax"),
        sheet: None,
        origin: None,
    }
}

fn lot() -> NewLot {
    let draw = Draw {
        material: "wax".into(),
        supplier_lot: "T-1".into(),
        amount: Quantity::Grams(Mass::g(100)),
        units: (1, 500),
    };
    NewLot {
        product: "low-tide".into(),
        name: "Low Tide".into(),
        units: 500,
        lines: Vec::new(),
        product_hash: Digest::of(b"p"),
        label_hash: Digest::of(b"l"),
        papers: Vec::new(),
        draws: vec![draw],
        cure_until: None,
        declared: None,
        markets: Vec::new(),
    }
}

fn told(seq: i64) {
    println!("recorded {seq}");
    std::io::stdout().flush().unwrap();
}

/// Writes deliveries, pours, hand-overs, notes and corrections until it is killed.
fn write_for_ever(path: &Path) {
    let mut ledger = Ledger::open(path).unwrap();
    let mut day = date(2026, 1, 1);
    loop {
        told(ledger.add(now(), vec![(None, bottle())]).unwrap()[0]);
        let row = loop {
            match ledger.open_lot(day, now(), |_| Ok::<_, ()>(lot()), |_, _| Ok(())) {
                Ok(row) => break row,
                Err(_) => day = day.tomorrow().unwrap(),
            }
        };
        told(row.seq);
        for n in 0..8 {
            let to = NewHandOver {
                to: format!("Stall {n}"),
                contact: None,
                units: 1 + n,
                which: None,
                day,
                way: Way::Sale,
                forced: None,
            };
            let seq = ledger.hand_over(now(), row.code, &to, |_| Ok::<_, ()>(())).unwrap();
            told(seq);
            // two entries that belong together: never one without the other
            let correct = Event::Correct { entry: seq, because: "slip".into(), by: None };
            let note = Event::Note { text: "as it was".into(), deviation: false, by: None };
            let both = ledger.add(now(), vec![(Some(row.code), correct), (Some(row.code), note)]).unwrap();
            told(both[1]);
        }
    }
}

#[test]
fn a_writer_killed_a_thousand_times_loses_nothing_it_was_told_is_recorded() {
    if let Some(path) = std::env::var_os(CHILD) {
        return write_for_ever(Path::new(&path));
    }
    let dir = tempfile::tempdir().unwrap();
    let (mut path, mut seed, mut last, mut written) = (dir.path().join("0.sqlite"), 20_261_125_u64, 0, 0);
    for round in 0..KILLS {
        if round % 50 == 0 {
            (path, last) = (dir.path().join(format!("{round}.sqlite")), 0);
        }
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "a_writer_killed_a_thousand_times_loses_nothing_it_was_told_is_recorded", "--nocapture"])
            .env(CHILD, &path)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // the moments only have to differ: a linear congruence does
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        std::thread::sleep(Duration::from_micros(2_000 + (seed >> 33) % 25_000));
        child.kill().unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines().map_while(Result::ok);
        for line in lines {
            if let Some(seq) = line.strip_prefix("recorded ").and_then(|n| n.parse::<i64>().ok()) {
                assert!(seq > last, "round {round}: entry {seq} was told twice");
                last = seq;
                written += 1;
            }
        }
        child.wait().unwrap();
        let ledger = Ledger::open(&path).unwrap();
        if last > 0 {
            // numbers have no gaps, so that the last one stands for all before it
            assert!(ledger.entry(last).unwrap().is_some(), "round {round}: entry {last} is lost");
        }
        if round % 10 == 9 || round < 20 {
            let verified = ledger.verify().unwrap();
            assert!(i64::try_from(verified.entries).unwrap() >= last);
        }
        let after = ledger.entry(last + 1).unwrap().and_then(|e| e.event);
        if matches!(after, Some(Event::Correct { .. })) {
            assert!(ledger.entry(last + 2).unwrap().is_some(), "round {round}: half of a pair");
        }
    }
    assert!(written > i64::from(KILLS), "the writer did get to write: {written}");
}
