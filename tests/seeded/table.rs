//! docs/seeded-faults.md: a row for each kind of fault, a column for each program that draws labels.

use super::drawn::SAMPLES;
use super::tools;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

/// A kind of fault: its slip, its name, and whether a note is its proper answer.
pub type Kind = (u8, &'static str, bool);

/// Stands after all slips.
pub const NO_SLIP: u8 = 99;

/// How often a kind of fault was found.
#[derive(Default, Clone)]
pub struct Count {
    pub found: usize,
    pub missed: usize,
}

/// The slip as a cell.
pub fn slip(kind: &Kind) -> String {
    if kind.0 == NO_SLIP { String::new() } else { kind.0.to_string() }
}

/// Counts by kind.
pub type Row = BTreeMap<Kind, Count>;

/// What came of one tool.
#[derive(Default)]
pub struct Column {
    pub name: &'static str,
    pub version: String,
    /// Why it drew nothing.
    pub absent: Option<String>,
    pub alarms: usize,
    pub counts: Row,
}

impl Column {
    fn sum(&self) -> Count {
        self.counts
            .values()
            .fold(Count::default(), |s, c| Count { found: s.found + c.found, missed: s.missed + c.missed })
    }

    fn cell(&self, kind: &Kind) -> String {
        match self.counts.get(kind) {
            Some(count) => format!("{}/{}", count.found, count.found + count.missed),
            None if self.absent.is_some() => "not installed".to_owned(),
            None => "-".to_owned(),
        }
    }
}

/// The head of the table of dresses.
pub const DRESSES: &str = "\n## In other dress\n\nThe same labels by hand with the lines of their backs set in other ways, every good one and a share of the faults.\n\n\
    | Dress | Good labels | False alarms | Faults found | Missed |\n|---|---|---|---|---|\n";

/// The faults that stand in the tables of the page, each with its slip.
pub fn faults(page: &str) -> BTreeSet<(String, String)> {
    let row = |line: &str| {
        let cells: Vec<&str> = line.split('|').map(str::trim).collect();
        let slip = *cells.get(1)?;
        let of_faults = cells.len() > 5 && (slip.is_empty() || slip.parse::<u8>().is_ok()) && cells[2] != ALARMS;
        of_faults.then(|| (slip.to_owned(), cells[2].to_owned()))
    };
    page.lines().filter(|l| l.starts_with('|')).filter_map(row).collect()
}

const ALARMS: &str = "**false alarms on good labels**";

/// Rows for the kinds of one table.
fn rows(by_hand: &Row, columns: &[Column], noted: bool) -> String {
    let mut text = String::from("| Slip | Fault | By hand: found | missed |");
    for c in columns {
        text += &format!(" {} |", c.name);
    }
    text += &format!("\n|---|---|---|---|{}\n", "---|".repeat(columns.len()));
    for (kind, count) in by_hand.iter().filter(|(k, _)| k.2 == noted) {
        let _ = write!(text, "| {} | {} | {} | {} |", slip(kind), kind.1, count.found, count.missed);
        for c in columns {
            text += &format!(" {} |", c.cell(kind));
        }
        text.push('\n');
    }
    text
}

/// The page without the table of dresses.
pub fn written(by_hand: &Row, alarms: usize, columns: &[Column], step: usize) -> String {
    let share = if step == 1 { "every case".to_owned() } else { format!("one in {step} of each kind of fault") };
    let (found, missed) = by_hand.values().fold((0, 0), |(f, m), c| (f + c.found, m + c.missed));
    let good = SAMPLES.len();
    let mut text = format!(
        "# Faults seeded into labels, and how many were found\n\n\
         Written by `UPDATE=1 cargo test --test seeded`; do not edit. Each label is drawn by code that shares nothing with the program, from\n\
         {good} pairs of sample and market, on two pages; each case has one fault. Found means: a finding that counts, that the good label has not,\n\
         and whose id is one of those that name this fault. Slips are those of [the list](slips.md).\n\n\
         **{found} found, {missed} missed, of {}**, drawn by hand, and {alarms} false alarms on {good} good labels.\n\n\
         By hand: {share}, written as PDF by this test (standard fonts, not embedded). The other columns: the same lines and shapes drawn by\n\
         a general program, `found/tried` of every kind of fault, from changing samples; all {good} pairs have their turn with each.\n\
         `-`: the program cannot draw it, as told below the table.\n\n",
        found + missed
    );
    text += &rows(by_hand, columns, false);
    let _ = write!(text, "| | {ALARMS} | {alarms} of {good} | |");
    for column in columns {
        let cell =
            if column.absent.is_some() { "not installed".to_owned() } else { format!("{} of {good}", column.alarms) };
        text += &format!(" {cell} |");
    }
    text.push('\n');
    let kinds: BTreeSet<&str> = by_hand.keys().map(|k| k.1).collect();
    for kind in kinds {
        let unable: Vec<&str> = columns.iter().map(|c| c.name).filter(|c| tools::cannot(c, kind).is_some()).collect();
        if let Some(why) = unable.first().and_then(|c| tools::cannot(c, kind)) {
            let _ = write!(text, "\n{kind}: not by {}: {why}.\n", unable.join(", "));
        }
    }
    text += "\n## Told as a note\n\nA label may be so, and a note says it.\n\n";
    text += &rows(by_hand, columns, true);
    text += "\n## By other programs\n\nThe sum of each column.\n\n| Program | Version | Good labels | False alarms | Faults found | Missed |\n|---|---|---|---|---|---|\n";
    for column in columns {
        let sum = column.sum();
        let _ = match &column.absent {
            Some(why) => writeln!(text, "| {} | {why} | | | | |", column.name),
            None => writeln!(
                text,
                "| {} | {} | {good} | {} | {} | {} |",
                column.name, column.version, column.alarms, sum.found, sum.missed
            ),
        };
    }
    text
}
