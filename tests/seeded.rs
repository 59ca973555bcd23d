//! Seeds faults into good labels and counts what `check --label` finds, misses, and cries wolf about.
//!
//! `UPDATE=1 cargo test --test seeded` seeds all of them and writes the table in docs/seeded-faults.md, with a share of the
//! labels written by what other programs are installed (a browser, cairo, Ghostscript, qpdf).

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod drawn;

use drawn::faults;
use drawn::{Dress, LOT, SAMPLES, good, pdf, sample, set};
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

#[test]
fn a_good_label_in_any_dress_raises_no_alarm() {
    let mut wrong = Vec::new();
    for (name, market) in SAMPLES {
        for dress in Dress::ALL {
            let label = drawn::Label { dress, ..good(name, *market) };
            let bytes = pdf::write(&set(&label));
            if let Ok(folder) = std::env::var("KEEP") {
                std::fs::write(format!("{folder}/{name}-{market}-{dress:?}.pdf"), &bytes).unwrap();
            }
            for f in counted(judged(&label, &bytes)) {
                wrong.push(format!("{name} {market} {dress:?}: {} {} {:?} {:?}", f.id, f.message, f.expected, f.found));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A row of the table for each dress: alarms on good labels, and of a share of the faults those found and missed.
fn dresses(step: usize, lost: &mut Vec<String>) -> String {
    let mut text = String::from(
        "\n## In other dress\n\nThe same labels with the lines of their backs set in other ways, every good one and a share of the faults.\n\n| Dress | Good labels | False alarms | Faults found | Missed |\n|---|---|---|---|---|\n",
    );
    for dress in Dress::ALL {
        let (mut alarms, mut found, mut missed) = (0, 0, 0);
        for (n, (name, market)) in SAMPLES.iter().enumerate() {
            let label = drawn::Label { dress, ..good(name, *market) };
            alarms += counted(judged(&label, &pdf::write(&set(&label)))).len();
            let kind = sample(name, *market).0.kind;
            for seeded in faults::all(&label, kind).into_iter().skip(n % step).step_by(step) {
                let told = judged(&seeded.label, &pdf::write(&set(&seeded.label)));
                if told.iter().any(|f| seeded.told_by.iter().any(|id| f.id.starts_with(id.as_str()))) {
                    found += 1;
                } else {
                    lost.push(format!("{dress:?} {name} {market}: {} {}", seeded.fault, seeded.what));
                    missed += 1;
                }
            }
        }
        text += &format!("| {} | {} | {alarms} | {found} | {missed} |\n", dress.word(), SAMPLES.len());
    }
    text
}

/// Files that other programs made of the sample Low Tide (tests/foreign, each says what made it) and that hold its words.
const FOREIGN: &[&str] = &[
    "cairo",
    "chromium",
    "fpdf2",
    "ghostscript-1.3",
    "libreoffice",
    "pdflatex",
    "qpdf-2.0",
    "qpdf-aes-128",
    "qpdf-aes-256",
    "qpdf-forms",
    "qpdf-object-streams",
    "qpdf-rc4",
    "qpdf-turned",
    "reportlab-standard",
    "reportlab",
    "typst",
];

/// Files of the same label whose words cannot be read as text.
const UNREADABLE: &[&str] = &["cairo-outlined", "cairo-picture", "ghostscript-outlined", "no-unicode"];

fn foreign(name: &str) -> Vec<Finding> {
    let bytes = std::fs::read(format!("tests/foreign/{name}.pdf")).unwrap();
    let (product, _) = sample("low-tide", Market::Us);
    let at =
        waxbill::require::Occasion { market: Market::Us, date: drawn::DAY.parse().unwrap(), lot: None, weighed: None };
    let needs = waxbill::require::on(&product, &at, law::builtin()).unwrap();
    let labels = inspect::labels(&bytes, 0.4).unwrap();
    let pages: Vec<Page<'_>> = labels.iter().map(|l| Page::of(l, None, &[])).collect();
    review::check(&Desk { product: &product, needs: &needs, book: law::builtin(), lot: None, pages: &pages })
}

#[test]
fn a_label_made_by_other_programs_raises_no_alarm() {
    for name in FOREIGN {
        let alarms = counted(foreign(name));
        assert!(alarms.is_empty(), "{name}: {alarms:#?}");
    }
}

#[test]
fn what_cannot_be_read_is_never_passed_over() {
    for name in UNREADABLE {
        let findings = foreign(name);
        assert!(findings.iter().any(|f| f.id == "label/no-text"), "{name}");
        let silent = |f: &&Finding| f.id.starts_with("us/fire-warning") && f.message.contains("could not");
        assert!(findings.iter().any(|f| silent(&f)), "{name}: each statement is listed as not read");
    }
}

/// Programs that write a label in their own way: the page of a browser, or the plain file written anew. Each is told the
/// folder, and makes `out.pdf` of `in.html` or `in.pdf`.
const TOOLS: &[(&str, &[&str])] = &[
    (
        "a browser (chromium)",
        &[
            "chromium",
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-pdf-header-footer",
            "--print-to-pdf=out.pdf",
            "in.html",
        ],
    ),
    ("cairo (pdftocairo)", &["pdftocairo", "-pdf", "in.pdf", "out.pdf"]),
    ("Ghostscript", &["gs", "-q", "-dBATCH", "-dNOPAUSE", "-sDEVICE=pdfwrite", "-sOutputFile=out.pdf", "in.pdf"]),
    ("qpdf", &["qpdf", "--object-streams=generate", "--compress-streams=y", "in.pdf", "out.pdf"]),
];

/// The label as the tool writes it; `None` where the tool is not installed.
fn by_tool(tool: &[&str], sheets: &[drawn::Sheet]) -> Option<Vec<u8>> {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("in.html"), drawn::html::write(sheets)).unwrap();
    std::fs::write(folder.path().join("in.pdf"), pdf::write(sheets)).unwrap();
    let mut command = std::process::Command::new(tool[0]);
    command.args(&tool[1..]).current_dir(folder.path()).stderr(std::process::Stdio::null());
    command.status().ok()?;
    std::fs::read(folder.path().join("out.pdf")).ok()
}

/// A row of the table for each tool: good labels, alarms on them, faults found and missed.
fn tools(step: usize, lost: &mut Vec<String>) -> String {
    let mut text = String::from(
        "\n## By other programs\n\nThe same labels as other programs write them, every good one and a share of the faults.\n\n| Program | Good labels | False alarms | Faults found | Missed |\n|---|---|---|---|---|\n",
    );
    for (name, tool) in TOOLS {
        let (mut labels, mut alarms, mut found, mut missed) = (0, 0, 0, Vec::new());
        for (n, (product, market)) in SAMPLES.iter().enumerate() {
            let label = good(product, *market);
            let Some(bytes) = by_tool(tool, &set(&label)) else { continue };
            labels += 1;
            for alarm in counted(judged(&label, &bytes)) {
                alarms += 1;
                missed.push(format!(
                    "{name}: {product} {market}: alarm {} {} {:?} {:?}",
                    alarm.id, alarm.message, alarm.expected, alarm.found
                ));
            }
            let kind = sample(product, *market).0.kind;
            for seeded in faults::all(&label, kind).into_iter().skip(n % step).step_by(step) {
                let Some(bytes) = by_tool(tool, &set(&seeded.label)) else { continue };
                let told = judged(&seeded.label, &bytes);
                if told.iter().any(|f| seeded.told_by.iter().any(|id| f.id.starts_with(id.as_str()))) {
                    found += 1;
                } else {
                    missed.push(format!("{name}: {product} {market}: {} {}", seeded.fault, seeded.what));
                }
            }
        }
        if labels > 0 {
            text += &format!("| {name} | {labels} | {alarms} | {found} | {} |\n", missed.len() - alarms);
        }
        lost.extend(missed);
    }
    text
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
    // `FAULT="over the edge"` tries one kind of fault only.
    let only = std::env::var("FAULT").ok();
    let wanted = |s: &drawn::Seeded| only.as_deref().is_none_or(|f| s.fault.contains(f));
    for seeded in faults::all(&label, kind).into_iter().filter(wanted).step_by(step) {
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
        // Drawn anew by what is installed where the table is made.
        text += &dresses(61, &mut missed);
        text += &tools(37, &mut missed);
        std::fs::write("docs/seeded-faults.md", &text).unwrap();
    }
    if let Ok(file) = std::env::var("MISSED") {
        std::fs::write(file, missed.join("\n")).unwrap();
    }
    assert!(missed.is_empty(), "{found} found, {lost} missed\n{}", missed.join("\n"));
    assert!(found >= 500 || std::env::var_os("STEP").is_some());
}
