//! The ledger as a file in the world: writers that are killed, and ledgers written by earlier versions.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]
#![allow(clippy::print_stdout, reason = "the killed writer tells on its standard output what it has recorded")]

use jiff::civil::date;
use jiff::tz::Offset;
use std::collections::BTreeSet;
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;
use waxbill::ledger::{Event, Ledger, NewHandOver, NewLot, NewPaper, NotOpened, Now, PlannedLine, Quantity, Way, What};
use waxbill::lot::{Digest, Draw, LotCode};
use waxbill::unit::Mass;

const CHILD: &str = "WAXBILL_TEST_WORKSHOP";

fn now() -> Now {
    Now::new("2026-11-25T14:03:00Z".parse().unwrap(), Offset::constant(-5))
}

fn low_tide(code: &LotCode) -> NewLot {
    let papers = [(What::Label, "label.pdf", 60_000), (What::BatchSheet, "batch-sheet.pdf", 20_000)];
    NewLot {
        product: "low-tide".into(),
        name: "Low Tide".into(),
        units: 24,
        lines: vec![
            PlannedLine { material: "harbour-soy-blend".into(), name: "Harbour soy".into(), planned: Mass::g(5786) },
            PlannedLine {
                material: "kelp-and-cedar".into(),
                name: "Kelp and Cedar".into(),
                planned: Mass::mg(462_800),
            },
        ],
        product_hash: Digest::of(b"product"),
        label_hash: Digest::of(b"label"),
        papers: papers
            .map(|(what, name, size)| NewPaper {
                what,
                name: name.into(),
                bytes: format!("{name} of {code}\n").into_bytes().into_iter().cycle().take(size).collect(),
            })
            .into(),
        draws: Vec::new(),
        cure_until: None,
        declared: None,
        markets: Vec::new(),
    }
}

/// Pours until it is killed: files first into a folder of their own, moved to their place by the ledger's last step.
/// Each lot that is recorded is then told on standard output.
fn pour_for_ever(workshop: &Path) {
    let mut ledger = Ledger::open(&workshop.join("ledger.sqlite")).unwrap();
    let mut day = date(2026, 1, 1);
    loop {
        let place = |code: &LotCode, lot: &NewLot| {
            let (making, made) = (workshop.join("making"), workshop.join(code.to_string()));
            let _ = fs::remove_dir_all(&making);
            let _ = fs::remove_dir_all(&made); // left over from a killed run
            fs::create_dir(&making)?;
            for paper in &lot.papers {
                fs::write(making.join(&paper.name), &paper.bytes)?;
            }
            fs::rename(making, made)
        };
        match ledger.open_lot(day, now(), |code| Ok(low_tide(code)), place) {
            Ok(row) => {
                println!("recorded {}", row.code);
                std::io::stdout().flush().unwrap();
            }
            Err(NotOpened::NoCode(_)) => day = day.tomorrow().unwrap(),
            Err(other) => panic!("{other:?}"),
        }
    }
}

/// Kills a writer at fifty moments, some before it has made the ledger at all. With `WAXBILL_KILLS` at as many as it says.
#[test]
fn a_writer_killed_at_any_moment_loses_no_recorded_lot() {
    if let Some(workshop) = std::env::var_os(CHILD) {
        return pour_for_ever(Path::new(&workshop));
    }
    let mut recorded = BTreeSet::new();
    let mut workshop = tempfile::tempdir().unwrap();
    let mut seed = 20_261_125_u64;
    let kills = std::env::var("WAXBILL_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(50);
    for round in 0..kills {
        if round % 10 == 0 {
            (workshop, recorded) = (tempfile::tempdir().unwrap(), BTreeSet::new());
        }
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "a_writer_killed_at_any_moment_loses_no_recorded_lot", "--nocapture"])
            .env(CHILD, workshop.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // the moments only have to differ: a linear congruence does
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        std::thread::sleep(Duration::from_micros(2_000 + (seed >> 33) % 60_000));
        child.kill().unwrap();
        for line in BufReader::new(child.stdout.take().unwrap()).lines().map_while(Result::ok) {
            if let Some(code) = line.strip_prefix("recorded ") {
                recorded.insert(LotCode::parse(code).unwrap());
            }
        }
        child.wait().unwrap();

        let ledger = Ledger::open(&workshop.path().join("ledger.sqlite")).unwrap();
        let verified = ledger.verify().unwrap();
        let lots: BTreeSet<LotCode> = ledger.lots().unwrap().iter().map(|lot| lot.code).collect();
        assert!(recorded.is_subset(&lots), "round {round}: {:?} lost", recorded.difference(&lots).collect::<Vec<_>>());
        assert!(lots.len() <= recorded.len() + 1, "round {round}: only the last one may be untold");
        assert_eq!(verified.lots, lots.len() as u64);
        for code in lots.difference(&recorded.clone()) {
            recorded.insert(*code);
        }
        for code in &lots {
            for paper in ledger.lot(code).unwrap().unwrap().papers {
                let placed = fs::read(workshop.path().join(code.to_string()).join(&paper.name)).unwrap();
                assert_eq!(ledger.paper(&paper.sha256).unwrap(), Some(placed), "{code}");
            }
        }
    }
    assert!(recorded.len() > 5, "the writer did get to write");
}

/// A ledger as the first version wrote it; the file is kept for ever.
#[test]
fn a_ledger_of_schema_1_opens_and_takes_another_lot() {
    let stored = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/ledgers/schema-1.sqlite");
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("ledger.sqlite");
    fs::copy(stored, &path).unwrap();
    let mut ledger = Ledger::open(&path).unwrap();
    let verified = ledger.verify().unwrap();
    assert_eq!((verified.entries, verified.lots, verified.papers), (3, 3, 6));
    let codes: Vec<String> = ledger.lots().unwrap().iter().map(|lot| lot.code.to_string()).collect();
    assert_eq!(codes, ["26329A4", "26329B2", "26330AW"]);
    let lot = ledger.lot(&LotCode::parse("26329A4").unwrap()).unwrap().unwrap();
    assert_eq!((lot.name.as_str(), lot.units, lot.date), ("Low Tide", 24, date(2026, 11, 25)));
    assert_eq!(lot.lines[1].planned, Mass::mg(462_800));
    assert!(ledger.paper(&lot.papers[0].sha256).unwrap().unwrap().starts_with(b"label.pdf of 26329A4\n"));
    let next = ledger.open_lot(date(2026, 11, 26), now(), |code| Ok::<_, ()>(low_tide(code)), |_, _| Ok(())).unwrap();
    assert_eq!(next.code.session(), 'B');
    assert_eq!(ledger.verify().unwrap().entries, 4);
    // what stood there before lies beside it, byte for byte what it said
    let kept = dir.path().join("ledger.schema-1.sqlite");
    let before = schema_of(&kept);
    assert_eq!(before, 1);
    let again = dir.path().join("again.sqlite");
    fs::copy(&kept, &again).unwrap();
    assert_eq!(Ledger::open(&again).unwrap().verify().unwrap().last, verified.last);
    // units of the old lots are counted as poured
    let balance = ledger.balance(&LotCode::parse("26329A4").unwrap()).unwrap();
    assert_eq!((balance.made, balance.on_hand), (24, 24));
}

/// The schema a file says it has: four bytes at 60 of the header (SQLite's file format, "user version").
fn schema_of(path: &Path) -> u32 {
    let head = fs::read(path).unwrap();
    u32::from_be_bytes(head[60..64].try_into().unwrap())
}

/// A ledger as the second schema wrote it: deliveries, a lot that draws, a hand-over, a correction.
#[test]
fn a_ledger_of_schema_2_opens_and_takes_another_entry() {
    let stored = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/ledgers/schema-2.sqlite");
    assert_eq!(schema_of(&stored), 2);
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("ledger.sqlite");
    fs::copy(stored, &path).unwrap();
    let ledger = Ledger::open(&path).unwrap();
    assert_eq!(ledger.verify().unwrap().entries, 6);
    let code = LotCode::parse("26329A4").unwrap();
    let record = ledger.record(&code).unwrap().unwrap();
    assert_eq!((record.balance.made, record.balance.handed_over, record.balance.on_hand), (24, 5, 19));
    assert_eq!(record.entries.iter().filter(|e| e.corrected_by.is_some()).count(), 1);
    assert_eq!(ledger.stock().unwrap()[0].shown(), "400 g");
    assert_eq!(ledger.hand_overs(&code).unwrap()[0].to.as_deref(), Some("Saturday market, Quillmere"));
    ledger.add(now(), vec![(Some(code), Event::Note { text: "seen".into(), deviation: false, by: None })]).unwrap();
    assert_eq!(ledger.verify().unwrap().entries, 7);
}

/// A ledger as this schema writes it: as the one before, and a bottle on the scale.
#[test]
fn a_ledger_of_schema_3_opens_and_takes_another_entry() {
    let stored = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/ledgers/schema-3.sqlite");
    assert_eq!(schema_of(&stored), 3);
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("ledger.sqlite");
    fs::copy(stored, &path).unwrap();
    let ledger = Ledger::open(&path).unwrap();
    assert_eq!(ledger.verify().unwrap().entries, 7);
    let code = LotCode::parse("26329A4").unwrap();
    let record = ledger.record(&code).unwrap().unwrap();
    let bottle = record.standing().find_map(|e| match e {
        Event::Bottle { before, after, .. } => Some(*before - *after),
        _ => None,
    });
    assert_eq!(bottle, Some(Mass::g(600)));
    let late = Event::Bottle {
        material: "kelp-and-cedar".into(),
        before: Mass::g(700),
        after: Mass::g(600),
        step: None,
        by: None,
    };
    assert!(ledger.add(now(), vec![(None, late.clone())]).is_err(), "a bottle is weighed for a lot");
    ledger.add(now(), vec![(Some(code), late)]).unwrap();
    assert_eq!(ledger.verify().unwrap().entries, 8);
}

/// Wrote `tests/ledgers/schema-3.sqlite`; a later schema gets a file and a line of its own, the old ones stay.
#[test]
#[ignore = "writes a stored ledger, once per schema"]
fn store_a_ledger_of_this_schema() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/ledgers/schema-3.sqlite");
    assert!(!path.exists(), "a stored ledger is never written again");
    let dir = tempfile::tempdir().unwrap();
    let mut ledger = Ledger::open(&dir.path().join("ledger.sqlite")).unwrap();
    let bottle = Event::Receive {
        material: "kelp-and-cedar".into(),
        name: "Kelp and Cedar".into(),
        supplier_lot: "F-2231".into(),
        supplier: Some("Fennimore Aromatics".into()),
        received: date(2026, 11, 2),
        amount: Quantity::Grams(Mass::g(1000)),
        material_sha256: Digest::of(b"material"),
        sheet: None,
        origin: None,
    };
    ledger.add(now(), vec![(None, bottle)]).unwrap();
    let small = |code: &LotCode| {
        let mut lot = low_tide(code);
        lot.papers.iter_mut().for_each(|paper| paper.bytes.truncate(200));
        let (material, supplier_lot) = ("kelp-and-cedar".into(), "F-2231".into());
        lot.draws = vec![Draw { material, supplier_lot, amount: Quantity::Grams(Mass::g(600)), units: (1, 24) }];
        Ok::<_, ()>(lot)
    };
    let code = ledger.open_lot(date(2026, 11, 25), now(), small, |_, _| Ok(())).unwrap().code;
    let to = |units| NewHandOver {
        to: "Saturday market, Quillmere".into(),
        contact: None,
        units,
        which: None,
        day: date(2026, 12, 12),
        way: Way::Sale,
        forced: None,
    };
    let slip = ledger.hand_over(now(), code, &to(15), |_| Ok::<_, ()>(())).unwrap();
    let correct = Event::Correct { entry: slip, because: "five, not fifteen".into(), by: None };
    let release = Event::Release { checked: "Oda".into(), forced: None };
    ledger.add(now(), vec![(Some(code), correct), (Some(code), release)]).unwrap();
    ledger.hand_over(now(), code, &to(5), |_| Ok::<_, ()>(())).unwrap();
    let (before, after) = (Mass::g(1300), Mass::g(700));
    let weighed =
        Event::Bottle { material: "kelp-and-cedar".into(), before, after, step: None, by: Some("Ines".into()) };
    ledger.add(now(), vec![(Some(code), weighed)]).unwrap();
    ledger.backup(&path).unwrap();
}
