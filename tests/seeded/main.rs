//! Seeds faults into good labels and counts what `check --label` finds, misses, and cries wolf about.
//!
//! `UPDATE=1 cargo test --test seeded` seeds all of them and writes docs/seeded-faults.md, with labels drawn by other programs
//! (`PYTHON` names the Python that has their packages). `STEP=61` tries one in 61 of each kind, `FAULT=words` kinds of that
//! name only, `TOOLS=typst,qpdf` these programs only, `EACH=1` so many labels of a kind by each; `MISSED=file` lists what was
//! missed, and `KEEP=folder` keeps the labels.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

#[path = "../drawn/mod.rs"]
mod drawn;
mod foreign;
mod table;
mod tools;

use drawn::{Dress, LOT, SAMPLES, Seeded, faults, good, pdf, sample, set};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::atomic::{AtomicUsize, Ordering};
use table::{Count, Kind, Row};
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

fn counted(findings: &[Finding]) -> impl Iterator<Item = &Finding> {
    findings.iter().filter(|f| f.level != Level::Note)
}

/// A finding as the lists of what went wrong show it.
fn shown(f: &Finding) -> String {
    format!("{} {} {:?} {:?}", f.id, f.message, f.expected, f.found)
}

/// Each item by one of as many threads as there are processors.
fn each<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let threads = std::thread::available_parallelism().map_or(2, std::num::NonZero::get);
    let mut done: Vec<(usize, R)> = std::thread::scope(|scope| {
        let run = || {
            let mut done = Vec::new();
            loop {
                let n = next.fetch_add(1, Ordering::Relaxed);
                let Some(item) = items.get(n) else { return done };
                done.push((n, work(item)));
            }
        };
        let runs: Vec<_> = (0..threads).map(|_| scope.spawn(run)).collect();
        runs.into_iter().flat_map(|r| r.join().unwrap()).collect()
    });
    done.sort_by_key(|(n, _)| *n);
    done.into_iter().map(|(_, r)| r).collect()
}

fn keep(name: &str, bytes: &[u8]) {
    if let Ok(folder) = std::env::var("KEEP") {
        std::fs::write(format!("{folder}/{}.pdf", name.replace(['/', ' '], "-")), bytes).unwrap();
    }
}

/// What is said of the good labels, drawn by hand in a dress.
fn good_ones(dress: Dress) -> Vec<Vec<Finding>> {
    each(SAMPLES, |(name, market)| {
        let label = drawn::Label { dress, ..good(name, *market) };
        let bytes = pdf::write(&set(&label));
        keep(&format!("{name}-{market}-{dress:?}"), &bytes);
        judged(&label, &bytes)
    })
}

#[test]
fn a_good_label_in_any_dress_raises_no_alarm() {
    let mut wrong = Vec::new();
    for dress in Dress::ALL {
        for ((name, market), findings) in SAMPLES.iter().zip(good_ones(dress)) {
            wrong.extend(counted(&findings).map(|f| format!("{name} {market} {dress:?}: {}", shown(f))));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A fault in a label of the sample of this number.
struct Case {
    sample: usize,
    seeded: Seeded,
}

impl Case {
    fn kind(&self) -> Kind {
        (self.seeded.slip.unwrap_or(table::NO_SLIP), self.seeded.fault, self.seeded.noted)
    }

    fn called(&self) -> String {
        let (name, market) = SAMPLES[self.sample];
        format!("{name} {market}: {}: {}", self.seeded.fault, self.seeded.what)
    }
}

/// Every fault of every sample; with `FAULT`, those whose kind has these words.
fn cases(dress: Dress) -> Vec<Case> {
    let only = std::env::var("FAULT").ok();
    let of = |(sample, (name, market)): (usize, &(&str, Market))| {
        let label = drawn::Label { dress, ..good(name, *market) };
        let kind = drawn::sample(name, *market).0.kind;
        faults::all(&label, kind).into_iter().map(move |seeded| Case { sample, seeded })
    };
    let wanted = |c: &Case| only.as_deref().is_none_or(|f| c.seeded.fault.contains(f));
    SAMPLES.iter().enumerate().flat_map(of).filter(wanted).collect()
}

/// Where the cases of each kind stand.
fn by_kind(cases: &[Case]) -> BTreeMap<Kind, Vec<usize>> {
    let mut kinds: BTreeMap<Kind, Vec<usize>> = BTreeMap::new();
    for (n, case) in cases.iter().enumerate() {
        kinds.entry(case.kind()).or_default().push(n);
    }
    kinds
}

/// Whether each case is told, drawn by hand; those that are not with what was said instead.
fn tried(cases: &[&Case], good: &[Vec<Finding>], missed: &mut Vec<String>) -> Vec<bool> {
    let told = each(cases, |case| {
        let findings = judged(&case.seeded.label, &pdf::write(&set(&case.seeded.label)));
        (case.seeded.is_told(&findings, &good[case.sample]), findings)
    });
    for (case, (_, findings)) in cases.iter().zip(&told).filter(|(_, (told, _))| !told) {
        missed.push(format!("{} -> {:?}", case.called(), findings.iter().map(shown).collect::<Vec<_>>()));
    }
    told.into_iter().map(|(told, _)| told).collect()
}

/// A row of the table for each dress: alarms on good labels, and of a share of the faults those found and missed.
fn dresses(step: usize, lost: &mut Vec<String>) -> String {
    let mut text = table::DRESSES.to_owned();
    for dress in Dress::ALL {
        let good = good_ones(dress);
        let alarms: usize = good.iter().map(|g| counted(g).count()).sum();
        let cases = cases(dress);
        let share: Vec<&Case> = cases.iter().step_by(step).collect();
        let mut missed = Vec::new();
        let told = tried(&share, &good, &mut missed);
        lost.extend(missed.iter().map(|m| format!("{dress:?}: {m}")));
        let found = told.iter().filter(|t| **t).count();
        text += &format!("| {} | {} | {alarms} | {found} | {} |\n", dress.word(), SAMPLES.len(), missed.len());
    }
    text
}

/// The cases that the tool of this number draws: of every kind so many, from samples that had the fewest so far.
fn chosen(tool: usize, cases: &[Case], each: usize) -> Vec<&Case> {
    let mut used = vec![0; SAMPLES.len()];
    let mut out = Vec::new();
    for (k, (kind, places)) in by_kind(cases).iter().enumerate() {
        if tools::cannot(tools::TOOLS[tool], kind.1).is_some() {
            continue;
        }
        let mut left: Vec<usize> = places.clone();
        left.rotate_left((tool * 7 + k * 3) % places.len());
        for _ in 0..each.min(places.len()) {
            let at = (0..left.len()).min_by_key(|&n| used[cases[left[n]].sample]).unwrap();
            let case = &cases[left.remove(at)];
            used[case.sample] += 1;
            out.push(case);
        }
    }
    assert!(used.iter().all(|n| *n > 0) || std::env::var_os("FAULT").is_some(), "every sample has its turn: {used:?}");
    out
}

/// What came of one tool.
fn by_tool(tool: usize, cases: &[Case], lost: &mut Vec<String>) -> table::Column {
    let name = tools::TOOLS[tool];
    let per_kind = std::env::var("EACH").ok().and_then(|s| s.parse().ok()).unwrap_or(2);
    let chosen = chosen(tool, cases, per_kind);
    let whole: Vec<drawn::Label> = SAMPLES.iter().map(|(name, market)| good(name, *market)).collect();
    let labels: Vec<&drawn::Label> = whole.iter().chain(chosen.iter().map(|c| &c.seeded.label)).collect();
    let sheets: Vec<_> = labels.iter().map(|l| set(l)).collect();
    let mut column = table::Column { name, ..table::Column::default() };
    let (version, files) = match tools::draw(name, &sheets) {
        Ok(drawn) => drawn,
        Err(why) => {
            column.absent = Some(why);
            return column;
        }
    };
    column.version = version;
    let items: Vec<(&drawn::Label, Vec<u8>)> = labels.into_iter().zip(files).collect();
    let told = each(&items, |(label, bytes)| judged(label, bytes));
    let (good, faulty) = told.split_at(whole.len());
    for (n, findings) in good.iter().enumerate() {
        let (sample, market) = SAMPLES[n];
        keep(&format!("{name}-{sample}-{market}"), &items[n].1);
        column.alarms += counted(findings).count();
        lost.extend(counted(findings).map(|f| format!("{name}: {sample} {market}: alarm {}", shown(f))));
    }
    for (n, (case, findings)) in chosen.iter().zip(faulty).enumerate() {
        let count = column.counts.entry(case.kind()).or_default();
        let told = case.seeded.is_told(findings, &good[case.sample]);
        *if told { &mut count.found } else { &mut count.missed } += 1;
        if !told {
            keep(&format!("missed-{name}-{}", case.called().replace(['#', '`', ':'], "")), &items[whole.len() + n].1);
            lost.push(format!("{name}: {} -> {:?}", case.called(), findings.iter().map(shown).collect::<Vec<_>>()));
        }
    }
    column
}

/// What was missed so far, for whoever waits.
fn note_down(missed: &[String]) {
    if let Ok(file) = std::env::var("MISSED") {
        std::fs::write(file, missed.join("\n")).unwrap();
    }
}

/// One in seven of each kind by default; all of them with `UPDATE=1`, which writes the table.
#[test]
fn every_seeded_fault_is_found() {
    let update = std::env::var_os("UPDATE").is_some();
    let step = std::env::var("STEP").ok().and_then(|s| s.parse().ok()).unwrap_or(if update { 1 } else { 7 });
    let cases = cases(Dress::Plain);
    let kinds = by_kind(&cases);
    let share: Vec<&Case> = kinds.values().flat_map(|places| places.iter().step_by(step)).map(|&n| &cases[n]).collect();
    let good = good_ones(Dress::Plain);
    let mut missed = Vec::new();
    let mut by_hand: Row = BTreeMap::new();
    for (case, told) in share.iter().zip(tried(&share, &good, &mut missed)) {
        let count: &mut Count = by_hand.entry(case.kind()).or_default();
        *if told { &mut count.found } else { &mut count.missed } += 1;
    }
    let lost = missed.len();
    note_down(&missed);
    if update {
        let alarms = good.iter().map(|g| counted(g).count()).sum();
        // Drawn anew by what is installed where the table is made.
        let only = std::env::var("TOOLS").ok();
        let wanted = |n: &usize| only.as_deref().is_none_or(|o| o.split(',').any(|t| t == tools::TOOLS[*n]));
        let mut columns = Vec::new();
        for n in (0..tools::TOOLS.len()).filter(wanted) {
            columns.push(by_tool(n, &cases, &mut missed));
            note_down(&missed);
        }
        let text = table::written(&by_hand, alarms, &columns, step) + &dresses(step.max(61), &mut missed);
        std::fs::write("docs/seeded-faults.md", &text).unwrap();
    }
    note_down(&missed);
    if std::env::var_os("FAULT").is_none() {
        // The page has a row for each kind, and each was tried.
        let page = std::fs::read_to_string("docs/seeded-faults.md").unwrap();
        let tried: BTreeSet<_> = by_hand.keys().map(|k| (table::slip(k), k.1.to_owned())).collect();
        assert_eq!(table::faults(&page), tried, "run `UPDATE=1 cargo test --test seeded`");
        assert!(cases.len() >= 500);
    }
    assert!(missed.is_empty(), "{} tried, {lost} missed\n{}", share.len(), missed.join("\n"));
}
