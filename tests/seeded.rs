//! Seeds faults into good labels and counts what `check --label` finds, misses, and cries wolf about.
//!
//! `UPDATE=1 cargo test --test seeded` writes the table in docs/seeded-faults.md; with `TOOLS=all` the same labels are
//! also written by what other tools are installed (a browser, cairo, Ghostscript).

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod drawn;

use drawn::faults;
use drawn::{LOT, SAMPLES, good, pdf, sample, set};
use std::collections::BTreeMap;
use waxbill::find::{Finding, Level};
use waxbill::review::{self, Desk, Page};
use waxbill::trade::Market;
use waxbill::{inspect, law};

/// What the program says of a label.
fn judged(label: &drawn::Label, bytes: &[u8]) -> Vec<Finding> {
    let (product, needs) = sample(&label.sample, label.market);
    let pages = inspect::labels(bytes, 0.4).unwrap();
    let names = ["front", "back"];
    let pages: Vec<Page<'_>> = pages.iter().zip(names).map(|(seen, name)| Page::of(seen, Some(name), &[])).collect();
    let desk = Desk { product: &product, needs: &needs, book: law::builtin(), lot: Some(LOT), pages: &pages };
    review::check(&desk)
}

fn counted(findings: Vec<Finding>) -> Vec<Finding> {
    findings.into_iter().filter(|f| f.level != Level::Note).collect()
}

#[test]
fn a_good_label_by_a_stranger_raises_no_alarm() {
    let mut wrong = Vec::new();
    for (name, market) in SAMPLES {
        let label = good(name, *market);
        let bytes = pdf::write(&set(&label));
        if let Ok(folder) = std::env::var("KEEP") {
            std::fs::write(format!("{folder}/{name}-{market}.pdf"), &bytes).unwrap();
        }
        for finding in counted(judged(&label, &bytes)) {
            wrong.push(format!(
                "{name} {market}: {} {} {:?} {:?} {:?}",
                finding.id, finding.message, finding.expected, finding.found, finding.on_page
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// How often a kind of fault was found, by tool.
#[derive(Default, Clone)]
struct Count {
    found: usize,
    missed: usize,
}

/// Where a row of the table stands: by its slip, then by its name.
type Row = (u8, &'static str);

/// What one sample's faults came to.
#[derive(Default)]
struct Tally {
    table: BTreeMap<Row, Count>,
    missed: Vec<String>,
}

/// Every `step`-th fault of a sample.
fn tallied(name: &str, market: Market, step: usize) -> Tally {
    let mut tally = Tally::default();
    let label = good(name, market);
    let kind = sample(name, market).0.kind;
    for seeded in faults::all(&label, kind).into_iter().step_by(step) {
        let found = judged(&seeded.label, &pdf::write(&set(&seeded.label)));
        let told = found.iter().any(|f| seeded.told_by.iter().any(|id| f.id.starts_with(id.as_str())));
        let count = tally.table.entry((seeded.slip.unwrap_or(99), seeded.fault)).or_default();
        if told {
            count.found += 1;
        } else {
            count.missed += 1;
            let other: Vec<String> = found.iter().map(|f| format!("{} {}", f.id, f.message)).collect();
            tally.missed.push(format!("{name} {market}: {}: {} -> {other:?}", seeded.fault, seeded.what));
        }
    }
    tally
}

/// One in seven by default, each on a thread of its own; all of them with `UPDATE=1`, which writes the table.
#[test]
fn every_seeded_fault_is_found() {
    let update = std::env::var_os("UPDATE").is_some();
    let step = std::env::var("STEP").ok().and_then(|s| s.parse().ok()).unwrap_or(if update { 1 } else { 7 });
    let tallies: Vec<Tally> = std::thread::scope(|scope| {
        let runs: Vec<_> =
            SAMPLES.iter().map(|(name, market)| scope.spawn(move || tallied(name, *market, step))).collect();
        runs.into_iter().map(|r| r.join().unwrap()).collect()
    });
    let mut table: BTreeMap<Row, Count> = BTreeMap::new();
    let mut missed = Vec::new();
    for tally in tallies {
        for (row, count) in tally.table {
            let sum = table.entry(row).or_default();
            sum.found += count.found;
            sum.missed += count.missed;
        }
        missed.extend(tally.missed);
    }
    let (found, lost) = table.values().fold((0, 0), |(f, m), c| (f + c.found, m + c.missed));
    let mut text = format!(
        "# Faults seeded into labels, and how many were found\n\nWritten by `UPDATE=1 cargo test --test seeded`; do not edit. Each label is drawn by \
         code that shares nothing with the\nprogram (standard fonts, not embedded, two pages), from {} pairs of sample and market; each case has one fault. Found means:\n\
         a finding whose id names the fault. The good labels themselves raise no finding (0 false alarms on {0}).\n\
         Slips are those of [the list](slips.md).\n\n{found} found, {lost} missed, of {}.\n\n\
         | Slip | Fault | Found | Missed |\n|---|---|---|---|\n",
        SAMPLES.len(),
        found + lost
    );
    for ((slip, fault), count) in &table {
        let slip = if *slip == 99 { String::new() } else { slip.to_string() };
        text += &format!("| {slip} | {fault} | {} | {} |\n", count.found, count.missed);
    }
    if update {
        std::fs::write("docs/seeded-faults.md", &text).unwrap();
    }
    if let Ok(file) = std::env::var("MISSED") {
        std::fs::write(file, missed.join("\n")).unwrap();
    }
    assert!(missed.is_empty(), "{found} found, {lost} missed\n{}", missed.join("\n"));
    assert!(found >= 500 || std::env::var_os("STEP").is_some());
}
