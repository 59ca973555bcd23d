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
use waxbill::{inspect, law};

/// What the program says of a label.
fn judged(label: &drawn::Label, bytes: &[u8]) -> Vec<Finding> {
    let (product, needs) = sample(&label.sample, label.market);
    let pages = inspect::labels(bytes, 0.4).unwrap();
    let names = ["front", "back"];
    let pages: Vec<Page<'_>> =
        pages.iter().zip(names).map(|(seen, name)| Page::of(seen, Some(name), &[])).collect();
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
            wrong.push(format!("{name} {market}: {} {} {:?} {:?} {:?}", finding.id, finding.message, finding.expected, finding.found, finding.on_page));
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

#[test]
fn every_seeded_fault_is_found() {
    let mut table: BTreeMap<Row, Count> = BTreeMap::new();
    let mut missed = Vec::new();
    let step: usize = std::env::var("STEP").ok().and_then(|s| s.parse().ok()).unwrap_or(1);
    for (name, market) in SAMPLES {
        let label = good(name, *market);
        let kind = sample(name, *market).0.kind;
        for seeded in faults::all(&label, kind).into_iter().step_by(step) {
            let found = judged(&seeded.label, &pdf::write(&set(&seeded.label)));
            let told = found.iter().any(|f| seeded.told_by.iter().any(|id| f.id.starts_with(id.as_str())));
            let count = table.entry((seeded.slip.unwrap_or(99), seeded.fault)).or_default();
            if told {
                count.found += 1;
            } else {
                count.missed += 1;
                let other: Vec<String> = found.iter().map(|f| format!("{} {}", f.id, f.message)).collect();
                missed.push(format!("{name} {market}: {}: {} -> {other:?}", seeded.fault, seeded.what));
            }
        }
    }
    let (found, lost) = table.values().fold((0, 0), |(f, m), c| (f + c.found, m + c.missed));
    for ((slip, fault), count) in &table {
        eprintln!("{slip:>3} {fault:<40} {:>5} {:>5}", count.found, count.missed);
    }
    eprintln!("{found} found, {lost} missed");
    assert!(missed.is_empty(), "{}", missed.join("\n"));
    assert!(found + lost >= 500 || step > 1);
}
