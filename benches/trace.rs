//! Times a trace of a material lot to its buyers, and a durable entry, in ledgers of growing size:
//! `cargo bench --bench trace`, or `-- 10000 100000` for the numbers of units.
//!
//! Fills workshops of 10^4, 10^5 and 10^6 units over 1/50 as many lots and 1/200 as many material lots (invented data),
//! by the way of `ledger import`, in a folder of the target directory. Prints p50 and p99.

#![allow(
    clippy::disallowed_methods,
    clippy::panic,
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a measurement reads the clock, prints, and stops at the first surprise"
)]

#[path = "../tests/graph/mod.rs"]
mod graph;

use graph::{Chance, Size, Workshop};
use jiff::Span;
use jiff::civil::date;
use std::env;
use std::fs::{self, File};
use std::hint::black_box;
use std::io::Write;
use std::path::Path;
use std::time::{Duration, Instant};
use waxbill::ledger::{Event, Ledger, NewLot, NewPaper, Node, Now, What};
use waxbill::lot::{Digest, LotCode};
use waxbill::trace::walk;

const ROUNDS: usize = 1000;

/// The middle one and the one that 99 of 100 do not exceed.
fn quantiles(mut times: Vec<Duration>) -> (Duration, Duration) {
    times.sort_unstable();
    (times[times.len() / 2], times[times.len() * 99 / 100])
}

/// What the disk itself takes to keep 4 KiB for good.
fn fsync(folder: &Path) -> (Duration, Duration) {
    let mut file = File::create(folder.join("fsync")).unwrap();
    let times = (0..200).map(|_| {
        file.write_all(&[7; 4096]).unwrap();
        let began = Instant::now();
        file.sync_data().unwrap();
        began.elapsed()
    });
    quantiles(times.collect())
}

/// A lot with a label of 60 kB and a batch sheet of 20 kB, each with bytes of its own.
fn pour(code: &LotCode) -> NewLot {
    let paper = |what, name: &str, size| NewPaper {
        what,
        name: name.into(),
        bytes: format!("{name} of {code}\n").into_bytes().into_iter().cycle().take(size).collect(),
    };
    NewLot {
        product: "low-tide".into(),
        name: "Low Tide".into(),
        units: 50,
        lines: Vec::new(),
        product_hash: Digest::of(b"product"),
        label_hash: Digest::of(b"label"),
        papers: vec![paper(What::Label, "label.pdf", 60_000), paper(What::BatchSheet, "batch-sheet.pdf", 20_000)],
        draws: Vec::new(),
        cure_until: None,
        declared: None,
        markets: Vec::new(),
    }
}

fn measured(units: usize, folder: &Path) {
    let size = Size { lots: units / 50, bottles: units / 200, units: 50, hand_overs: 10, melted: 1_000_000 };
    let began = Instant::now();
    let workshop = Workshop::made_up(20_261_125, &size);
    let path = folder.join(format!("{units}.sqlite"));
    let _ = fs::remove_file(&path);
    let ledger = Ledger::import(&path, &workshop.lines).unwrap();
    let filled = began.elapsed();

    let mut chance = Chance::new(7);
    let (mut times, mut reached) = (Vec::with_capacity(ROUNDS), 0);
    for _ in 0..ROUNDS {
        let bottle = usize::try_from(chance.below(workshop.bottles.len() as u64)).unwrap();
        let node = Node::MaterialLot(workshop.bottles[bottle].id);
        let began = Instant::now();
        let trace = black_box(walk(&ledger, &node).unwrap());
        times.push(began.elapsed());
        reached += trace.hand_overs.len();
    }
    let (p50, p99) = quantiles(times);

    let code = workshop.lots[0].code;
    let now = Now::new("2026-11-25T14:03:00Z".parse().unwrap(), jiff::tz::Offset::UTC);
    let note = || vec![(Some(code), Event::Note { text: "seen".into(), deviation: false, by: None })];
    let writes = (0..200).map(|_| {
        let began = Instant::now();
        ledger.add(now, note()).unwrap();
        began.elapsed()
    });
    let (w50, w99) = quantiles(writes.collect());
    let (d50, d99) = fsync(folder);
    let mut ledger = ledger;
    let pours = (0..200).map(|n| {
        let day = date(2027, 1, 1).saturating_add(Span::new().days(n));
        let began = Instant::now();
        ledger.open_lot(day, now, |code| Ok::<_, ()>(pour(code)), |_, _| Ok(())).unwrap();
        began.elapsed()
    });
    let (p_50, p_99) = quantiles(pours.collect());
    println!(
        "{units:>8} units, {:>6} lots, {:>5} material lots, {:>6} hand-overs, file {:>4} MB, filled in {filled:.1?}",
        size.lots,
        workshop.bottles.len(),
        workshop.gone.len(),
        fs::metadata(&path).unwrap().len() / 1_000_000
    );
    println!("         trace to {} buyers on average: p50 {p50:.2?}, p99 {p99:.2?}", reached / ROUNDS);
    println!("         opening a pour with 80 kB of papers, durably: p50 {p_50:.2?}, p99 {p_99:.2?}");
    println!("         durable entry: p50 {w50:.2?}, p99 {w99:.2?}; the disk's own sync: p50 {d50:.2?}, p99 {d99:.2?}");
    drop(ledger);
    fs::remove_file(&path).unwrap();
}

fn main() {
    let asked: Vec<usize> = env::args().filter_map(|a| a.parse().ok()).collect();
    let sizes = if asked.is_empty() { vec![10_000, 100_000, 1_000_000] } else { asked };
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("trace");
    fs::create_dir_all(&folder).unwrap();
    for units in sizes {
        measured(units, &folder);
    }
}
