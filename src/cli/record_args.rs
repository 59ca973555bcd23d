//! What can be typed about stock, lots, hand-overs, traces and recalls; part of `args`.

use super::args::date;
use crate::ledger::{Left, Way};
use crate::unit::{Mass, Quantity};
use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, Subcommand, ValueEnum};
use jiff::civil::Date;
use std::path::{Path, PathBuf};

/// Where the ledger is.
#[derive(Debug, Args)]
pub struct BookArgs {
    /// The workshop's folder (default: the one around this folder)
    #[arg(long, value_name = "FOLDER", global = true)]
    pub workshop: Option<PathBuf>,
    /// Answer as JSON
    #[arg(long, global = true)]
    pub json: bool,
}

fn mass(text: &str) -> Result<Mass, String> {
    Mass::parse(text).map_err(|w| format!("{}; {}", w.message, w.cure))
}

fn ways() -> impl TypedValueParser<Value = Way> {
    PossibleValuesParser::new(Way::ALL.iter().map(|w| w.word())).map(|w| Way::from_word(&w).unwrap_or(Way::Sale))
}

fn lefts() -> impl TypedValueParser<Value = Left> {
    PossibleValuesParser::new(Left::ALL.iter().map(|w| w.word())).map(|w| Left::from_word(&w).unwrap_or(Left::Store))
}

fn units(text: &str) -> Result<(u32, u32), String> {
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    match (first.trim().parse(), last.trim().parse()) {
        (Ok(first), Ok(last)) if 1 <= first && first <= last => Ok((first, last)),
        _ => Err("write the first and the last unit: 7-12".to_owned()),
    }
}

/// Arguments of `receive`.
#[derive(Debug, Args)]
pub struct ReceiveArgs {
    /// The file of a material or vessel, or its name in the workshop; before the options
    #[arg(value_name = "MATERIAL")]
    pub material: PathBuf,
    /// The supplier's lot, as on the bottle
    #[arg(long, value_name = "LOT")]
    pub lot: String,
    /// How much came: a mass with its unit, or `24 pieces`
    #[arg(long, value_name = "AMOUNT", required = true, num_args = 1..=2)]
    pub amount: Vec<String>,
    /// Who sold it (default: as in the material's file)
    #[arg(long, value_name = "NAME")]
    pub supplier: Option<String>,
    /// Day it came (default: today)
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub date: Option<Date>,
    /// The safety sheet that came with it: its digest is recorded
    #[arg(long, value_name = "FILE.pdf")]
    pub sheet: Option<PathBuf>,
    /// Date printed on that sheet (default: as in the material's file)
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub sheet_date: Option<Date>,
    /// Its revision (default: as in the material's file, unless the date differs)
    #[arg(long, value_name = "REVISION")]
    pub sheet_revision: Option<String>,
    /// It was won by melting down this lot
    #[arg(long, value_name = "CODE")]
    pub melted_from: Option<String>,
    /// This entry was a slip; what is typed now stands instead
    #[arg(long, value_name = "ENTRY", requires = "because")]
    pub corrects: Option<i64>,
    /// Why
    #[arg(long, value_name = "WORDS")]
    pub because: Option<String>,
    /// Workshop and form of the answer.
    #[command(flatten)]
    pub book: BookArgs,
}

/// Arguments of `lots`.
#[derive(Debug, Args)]
pub struct LotsArgs {
    /// State on this day (default: today)
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub on: Option<Date>,
    /// Workshop and form of the answer.
    #[command(flatten)]
    pub book: BookArgs,
}

/// Arguments of `lot`.
#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = false, subcommand_negates_reqs = false)]
pub struct LotArgs {
    /// The lot's code
    #[arg(value_name = "CODE")]
    pub code: String,
    /// What to add; nothing: show the record
    #[command(subcommand)]
    pub what: Option<Add>,
    /// Who did it
    #[arg(long, value_name = "NAME", global = true)]
    pub by: Option<String>,
    /// This entry was a slip; what is typed now stands instead (with --because)
    #[arg(long, value_name = "ENTRY", global = true)]
    pub corrects: Option<i64>,
    /// Why: for a correction, a hold, a scrap, or what is forced
    #[arg(long, value_name = "WORDS", global = true)]
    pub because: Option<String>,
    /// Workshop and form of the answer.
    #[command(flatten)]
    pub book: BookArgs,
}

/// What can be added to a lot.
#[derive(Debug, Subcommand)]
pub enum Add {
    /// Grams really weighed of a material
    Weigh {
        /// The material's name in the workshop
        material: String,
        /// As on the scale, with unit
        #[arg(value_parser = mass)]
        grams: Mass,
    },
    /// A bottle on the scale before and after: what it lost must be what was weighed in
    Bottle {
        /// The material's name in the workshop
        material: String,
        /// Bottle and contents before, with unit
        #[arg(long, value_name = "GRAMS", value_parser = mass)]
        before: Mass,
        /// Bottle and what was left in it, with unit
        #[arg(long, value_name = "GRAMS", value_parser = mass)]
        after: Mass,
        /// Step of the scale
        #[arg(long, value_name = "GRAMS", value_parser = mass)]
        step: Option<Mass>,
    },
    /// Wax that went into no candle: back to the store, waste, a sample
    Left {
        /// Where it went
        #[arg(value_parser = lefts())]
        to: Left,
        /// How much, with unit
        #[arg(value_parser = mass)]
        grams: Mass,
    },
    /// A temperature, a time, a scale check
    Measure {
        /// What was measured: "wax when poured"
        what: String,
        /// As read, with unit
        value: String,
        /// What it should be
        #[arg(long)]
        should: Option<String>,
    },
    /// Words; --deviation for what went otherwise than planned
    Note {
        /// What was seen
        text: String,
        /// Something went otherwise than planned
        #[arg(long)]
        deviation: bool,
    },
    /// What the pour came to, good and scrapped; or, with --found, what lies on the shelf
    Count {
        /// Units fit to be sold
        #[arg(long, value_name = "N", required_unless_present = "found")]
        good: Option<u32>,
        /// Units spoiled in the pour
        #[arg(long, value_name = "N", default_value_t = 0)]
        scrapped: u32,
        /// Units counted on the shelf later
        #[arg(long, value_name = "N", conflicts_with_all = ["good", "scrapped"])]
        found: Option<u32>,
    },
    /// Units spoiled after the count (with --because)
    Scrap {
        /// How many
        #[arg(value_parser = clap::value_parser!(u32).range(1..))]
        units: u32,
    },
    /// Units kept back to look at later
    Retain {
        /// How many
        #[arg(value_parser = clap::value_parser!(u32).range(1..))]
        units: u32,
        /// Where
        #[arg(long)]
        place: String,
        /// At least until
        #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
        until: Option<Date>,
    },
    /// Labels printed, used and spoiled
    Labels {
        /// Printed
        #[arg(long)]
        printed: u32,
        /// On a candle
        #[arg(long)]
        used: u32,
        /// Spoiled or destroyed
        #[arg(long, default_value_t = 0)]
        spoiled: u32,
    },
    /// Net fills that were weighed, and what they say
    Fill {
        /// One a candle, with unit: 255.4g 256.0g
        #[arg(value_parser = mass, required = true, num_args = 1..)]
        grams: Vec<Mass>,
        /// Step of the scale
        #[arg(long, value_parser = mass)]
        step: Option<Mass>,
    },
    /// Stop: nothing leaves any more (with --because)
    Hold,
    /// Let it go, after cure (who checked: --by)
    Release {
        /// Before the end of cure, or in spite of an alarm (with --because)
        #[arg(long)]
        force: bool,
        /// The day (default: today)
        #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
        date: Option<Date>,
    },
    /// Strike an entry (with --because); enter what is right afterwards
    Correct {
        /// Its number
        entry: i64,
    },
    /// Everything of the lot on paper, with boxes for signatures
    Sheet {
        /// Where to (default: CODE-lot-sheet.pdf in this folder)
        #[arg(short = 'o', long, value_name = "FILE.pdf")]
        output: Option<PathBuf>,
    },
    /// Entries from a filled-in file, all or none
    Enter {
        /// The file, YAML or CSV
        file: PathBuf,
    },
}

/// Arguments of `hand-over`.
#[derive(Debug, Args)]
pub struct HandOverArgs {
    /// The lot's code
    #[arg(value_name = "CODE")]
    pub code: String,
    /// How many units
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub units: u32,
    /// To whom: a shop, or a market stall with its place; a person only where a recall would need it
    #[arg(long, value_name = "NAME")]
    pub to: String,
    /// Where they are reached, for a recall
    #[arg(long, value_name = "ADDRESS")]
    pub contact: Option<String>,
    /// Which units, where they are numbered
    #[arg(long, value_name = "FIRST-LAST", value_parser = units)]
    pub which: Option<(u32, u32)>,
    /// The day (default: today)
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub date: Option<Date>,
    /// How they leave
    #[arg(long = "as", value_name = "WAY", default_value = "sale", value_parser = ways())]
    pub way: Way,
    /// Not released, on hold or not cured: all the same (with --because)
    #[arg(long, requires = "because")]
    pub force: bool,
    /// Why
    #[arg(long, value_name = "WORDS")]
    pub because: Option<String>,
    /// Workshop and form of the answer.
    #[command(flatten)]
    pub book: BookArgs,
}

/// Arguments of `trace`.
#[derive(Debug, Args)]
pub struct TraceArgs {
    /// A lot (26329A4), units of it (26329A4/7-12), a supplier's lot (F-2231 or kelp-and-cedar=F-2231), a sheet's revision
    /// (kelp-and-cedar@4), the digest of a label or sheet, or a buyer
    #[arg(value_name = "WHAT")]
    pub subject: String,
    /// Hand-overs as CSV
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
    /// On paper
    #[arg(long, value_name = "FILE.pdf", conflicts_with = "csv")]
    pub pdf: Option<PathBuf>,
    /// Workshop and form of the answer.
    #[command(flatten)]
    pub book: BookArgs,
}

/// Arguments of `recall`.
#[derive(Debug, Args)]
pub struct RecallArgs {
    /// What is withdrawn, as for `trace`; or `--end ENTRY`
    #[arg(value_name = "WHAT", required_unless_present = "end")]
    pub subject: Option<String>,
    /// Why
    #[arg(long, value_name = "WORDS", required_unless_present = "end")]
    pub reason: Option<String>,
    /// Only practise: nothing is put on hold
    #[arg(long)]
    pub practice: bool,
    /// End the recall that this entry began, with --findings
    #[arg(long, value_name = "ENTRY", requires = "findings", conflicts_with_all = ["subject", "reason", "practice"])]
    pub end: Option<i64>,
    /// What was found
    #[arg(long, value_name = "WORDS")]
    pub findings: Option<String>,
    /// Workshop and form of the answer.
    #[command(flatten)]
    pub book: BookArgs,
}

/// Arguments of `ledger`.
#[derive(Debug, Args)]
pub struct LedgerArgs {
    /// What to do with it
    #[command(subcommand)]
    pub what: LedgerWhat,
    /// Workshop and form of the answer.
    #[command(flatten)]
    pub book: BookArgs,
}

/// The forms of an export.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Written {
    /// A JSON object a line
    Jsonl,
    /// One YAML document
    Yaml,
    /// One table
    Csv,
}

impl Written {
    /// As asked for, else after the file's ending.
    pub fn of(asked: Option<Self>, file: Option<&Path>) -> Self {
        let ending = file.and_then(Path::extension).and_then(|e| e.to_str()).unwrap_or_default().to_lowercase();
        asked.unwrap_or(match ending.as_str() {
            "yaml" | "yml" => Self::Yaml,
            "csv" => Self::Csv,
            _ => Self::Jsonl,
        })
    }
}

/// What can be done with the whole ledger.
#[derive(Debug, Subcommand)]
pub enum LedgerWhat {
    /// Walk the whole chain, every paper and every derived row
    Verify,
    /// Write everything: lines of JSON, YAML or CSV, each of which reads back in
    Export {
        /// Where to (default: printed)
        #[arg(short = 'o', long, value_name = "FILE")]
        output: Option<PathBuf>,
        /// In which form (default: after the ending of the file, else jsonl)
        #[arg(long = "as", value_name = "FORM")]
        form: Option<Written>,
    },
    /// Make a new ledger from an export; there must be none yet
    Import {
        /// The export
        file: PathBuf,
        /// In which form it is (default: after its ending, else jsonl)
        #[arg(long = "as", value_name = "FORM")]
        form: Option<Written>,
    },
    /// Copy the ledger into one file, also while it is in use
    Backup {
        /// The copy; it must not exist yet
        file: PathBuf,
    },
    /// Make a new ledger from a copy; there must be none yet
    Restore {
        /// The copy
        file: PathBuf,
    },
    /// Blank a buyer's name for good; counts and chain stay
    Forget {
        /// Name, or number
        buyer: String,
    },
}
