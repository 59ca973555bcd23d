//! What can be typed: commands and options, each with an example.

use super::drawn_args::DrawnArgs;
use super::picture_args::PictureArgs;
use super::record_args::{BookArgs, HandOverArgs, LedgerArgs, LotArgs, LotsArgs, RecallArgs, ReceiveArgs, TraceArgs};
use super::sheet_args::SheetArgs;
use crate::hazard::Rules;
use crate::product::Basis;
use crate::trade::Market;
use crate::unit::{Quantity, Share};
use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, Parser, Subcommand};
use jiff::civil::Date;
use std::path::PathBuf;

/// Works out, draws and reads back the warning label of a small-batch candle, and keeps the record of its lot.
#[derive(Debug, Parser)]
#[command(name = "waxbill", version, propagate_version = true, arg_required_else_help = true)]
#[command(after_help = "Exit codes: 0 fine, 1 findings, 2 bad input or usage, 3 the machine failed.\n\
Local codes and licensed practice come first. Nothing this program prints is legal advice.")]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// List everything the label must carry, why, and the figures worked out
    #[command(after_help = "Example: waxbill needs products/low-tide.yaml")]
    Needs(NeedsArgs),
    /// Write the label as a PDF, read back before it is handed over
    #[command(after_help = "Examples:\n  waxbill label products/low-tide.yaml --lot 26329A4 -o low-tide.pdf\n  \
waxbill label products/low-tide.yaml --lot 26329A4 --part base --sheet a4-2x4-round --start 3 --count 12\n  \
waxbill label products/low-tide.yaml --lot 26329A4 --bleed \"3 mm\" --crop-marks")]
    // The test page belongs to a printer, a list of templates to a workshop, and neither to a product.
    #[command(mut_arg("product", |a| a.required(false).required_unless_present_any(["test_page", "list"])
        .default_value_if("test_page", "true", ".").default_value_if("list", "true", ".")))]
    Label(LabelArgs),
    /// Open a lot: batch sheet, labels with the lot code, and an entry in the ledger
    #[command(after_help = "Example: waxbill pour products/low-tide.yaml --count 12 --date 2026-11-25")]
    Pour(PourArgs),
    /// Look for faults in a product file, or in a label that anybody has drawn, before any paper is used
    #[command(after_help = "Examples:\n  waxbill check products/low-tide.yaml\n  \
waxbill check products/low-tide.yaml --label drawn.pdf --part front=1 --part base=2 --lot 26329A4")]
    Check(CheckArgs),
    /// Tell a rule or a statement: words, source, evidence, when it applies, what you may change
    #[command(after_help = "Example: waxbill explain us/net-quantity-height")]
    Explain(ExplainArgs),
    /// Work out the hazard classes of a candle or a bare mixture, with the reasons
    #[command(after_help = "Examples:\n  waxbill classify products/low-tide.yaml --sweep --svg low-tide.svg\n  \
waxbill classify materials/kelp-and-cedar.yaml --load 8 % --of total --against old/kelp-and-cedar.yaml\n  \
waxbill classify mixture.yaml --rules clp-gb --json")]
    Classify(ClassifyArgs),
    /// Make a small workshop that works at once
    #[command(after_help = "Example: waxbill new my-bench")]
    New(NewArgs),
    /// Make a unique formula identifier (UFI) for the EU or Northern Ireland, or check one
    #[command(after_help = "Examples:\n  waxbill ufi --country IE --vat 9Z54321Y --formulation 134217728\n  \
waxbill ufi GMTT-2SQN-6FDD-6TV1\n\n\
A UFI is printed on labels of the EU and Northern Ireland only, never for Great Britain, and after the poison centres\n\
have been told of the mixture. The same UFI means the same composition.")]
    Ufi(UfiArgs),
    /// Enter a delivery: a material lot with its safety sheet's revision
    #[command(
        after_help = "Example: waxbill receive materials/kelp-and-cedar.yaml --lot F-2231 --amount \"1 kg\" --date 2026-11-02"
    )]
    Receive(ReceiveArgs),
    /// Show the record of a lot, or add to it
    #[command(after_help = "Example: waxbill lot 26329A4 weigh kelp-and-cedar \"115.7 g\" --by Ines")]
    Lot(LotArgs),
    /// List the lots: curing, to be released, released, on hold, and what is on hand
    #[command(after_help = "Example: waxbill lots")]
    Lots(LotsArgs),
    /// Record units that leave
    #[command(after_help = "Example: waxbill hand-over 26329A4 --units 6 --to \"Saturday market, Quillmere\"")]
    HandOver(HandOverArgs),
    /// Follow a lot, material lot, label, safety sheet or buyer back to the materials and forward to the buyers
    #[command(after_help = "Example: waxbill trace F-2231")]
    Trace(TraceArgs),
    /// Trace, stop what is on hand, and say who must be told what by when
    #[command(after_help = "Example: waxbill recall F-2231 --reason \"supplier withdrew it\" --practice")]
    Recall(RecallArgs),
    /// Verify, export, import, copy or restore the ledger; forget a buyer
    #[command(after_help = "Example: waxbill ledger verify")]
    Ledger(LedgerArgs),
}

impl Command {
    /// Whether a script reads the answer.
    pub const fn json(&self) -> bool {
        match self {
            Self::Needs(a) => a.json,
            Self::Label(a) => a.json,
            Self::Pour(a) => a.json,
            Self::Check(a) => a.book.json,
            Self::Explain(a) => a.json,
            Self::Classify(a) => a.json,
            Self::Ufi(a) => a.json,
            Self::New(_) => false,
            Self::Receive(a) => a.book.json,
            Self::Lot(a) => a.book.json,
            Self::Lots(a) => a.book.json,
            Self::HandOver(a) => a.book.json,
            Self::Trace(a) => a.book.json,
            Self::Recall(a) => a.book.json,
            Self::Ledger(a) => a.book.json,
        }
    }
}

fn markets() -> impl TypedValueParser<Value = Market> {
    PossibleValuesParser::new(Market::ALL.iter().map(|m| m.word()))
        .map(|word| Market::from_word(&word).unwrap_or(Market::Us))
}

pub fn date(text: &str) -> Result<Date, String> {
    let shaped = text.len() == 10
        && text.bytes().enumerate().all(|(i, b)| if matches!(i, 4 | 7) { b == b'-' } else { b.is_ascii_digit() });
    if !shaped {
        return Err("write year, month and day: 2026-11-25".to_owned());
    }
    text.parse::<Date>().map_err(|_| "there is no such day; write year, month and day: 2026-11-25".to_owned())
}

pub fn count(text: &str) -> Result<u32, String> {
    let number = text.parse::<u32>().ok().filter(|n| (1..=10_000).contains(n));
    number.ok_or_else(|| "write a whole number from 1 to 10000".to_owned())
}

fn material_lot(text: &str) -> Result<(String, String), String> {
    match text.split_once('=').map(|(m, l)| (m.trim(), l.trim())) {
        Some((material, lot)) if !material.is_empty() && !lot.is_empty() => Ok((material.to_owned(), lot.to_owned())),
        _ => Err("write the material and the supplier's lot: kelp-and-cedar=F-2231".to_owned()),
    }
}

/// A product and the day on which the rules are read.
#[derive(Debug, Args)]
pub struct ProductArgs {
    /// The product file
    #[arg(value_name = "PRODUCT")]
    pub product: PathBuf,
    /// Only this market (default: all of the product's)
    #[arg(long, value_parser = markets())]
    pub market: Option<Market>,
    /// With the rules in force on this day (default: today)
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub on: Option<Date>,
}

/// Arguments of `needs`.
#[derive(Debug, Args)]
pub struct NeedsArgs {
    /// Product, market, day.
    #[command(flatten)]
    pub product: ProductArgs,
    /// Answer as JSON
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `label`.
#[derive(Debug, Args)]
pub struct LabelArgs {
    /// Product, market, day.
    #[command(flatten)]
    pub product: ProductArgs,
    /// The lot code to print; without one, space is left to write it in
    #[arg(long, value_name = "CODE")]
    pub lot: Option<String>,
    /// Where to write the PDF (default: PRODUCT-MARKET.pdf in this folder)
    #[arg(short = 'o', long, value_name = "FILE.pdf")]
    pub output: Option<PathBuf>,
    /// Print a stage as JSON instead of writing a file: what the label needs to carry where, or the placed page
    #[arg(long, value_name = "STAGE", value_parser = ["plan", "page"])]
    pub show: Option<String>,
    /// Pictures of the label.
    #[command(flatten)]
    pub picture: PictureArgs,
    /// Answer as JSON
    #[arg(long)]
    pub json: bool,
    /// How labels get onto paper; last, for its heading holds for all that follows.
    #[command(flatten)]
    pub paper: SheetArgs,
}

/// Arguments of `pour`.
#[derive(Debug, Args)]
pub struct PourArgs {
    /// Product, market, day.
    #[command(flatten)]
    pub product: ProductArgs,
    /// How many candles (or packs) to make
    #[arg(long, value_name = "N", value_parser = count)]
    pub count: u32,
    /// Day of the pour (default: today)
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub date: Option<Date>,
    /// Take this material from this supplier's lot (again for a second lot; default: the oldest first)
    #[arg(long, value_name = "MATERIAL=LOT", value_parser = material_lot)]
    pub from: Vec<(String, String)>,
    /// Answer as JSON
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// The product file
    #[arg(value_name = "PRODUCT", required_unless_present = "stock")]
    pub product: Option<PathBuf>,
    /// Only this market (default: all of the product's)
    #[arg(long, value_parser = markets())]
    pub market: Option<Market>,
    /// With the rules in force on this day (default: today)
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub on: Option<Date>,
    /// Look at the lots on hand instead: does what their labels say still hold today?
    #[arg(long, conflicts_with_all = ["product", "market"])]
    pub stock: bool,
    /// A label somebody has drawn.
    #[command(flatten)]
    pub drawn: DrawnArgs,
    /// Workshop and form of the answer.
    #[command(flatten)]
    pub book: BookArgs,
}

/// Arguments of `explain`.
#[derive(Debug, Args)]
pub struct ExplainArgs {
    /// A rule (`us/identity`), a statement (`trim wick`), or both (`us/care-trim#trim wick`)
    #[arg(value_name = "ID")]
    pub id: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
pub struct NewArgs {
    /// The folder to make; it must not exist yet, or be empty
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
}

/// Arguments of `ufi`.
#[derive(Debug, Args)]
pub struct UfiArgs {
    /// A code to check
    #[arg(value_name = "CODE", conflicts_with_all = ["country", "vat", "company_key", "formulation"])]
    pub code: Option<String>,
    /// Country of the VAT number (XN for Northern Ireland)
    #[arg(long, value_name = "CC", requires = "vat")]
    pub country: Option<String>,
    /// VAT number, with or without the country in front
    #[arg(long, value_name = "NUMBER", requires = "country", allow_hyphen_values = true)]
    pub vat: Option<String>,
    /// Company key of 13 digits instead of a VAT number
    #[arg(long, value_name = "KEY", conflicts_with_all = ["country", "vat"])]
    pub company_key: Option<String>,
    /// Number of the formulation, of your own choice: 0 to 268435455
    #[arg(long, value_name = "N")]
    pub formulation: Option<u32>,
    /// Answer as JSON
    #[arg(long)]
    pub json: bool,
}

fn rules() -> impl TypedValueParser<Value = Rules> {
    PossibleValuesParser::new(Rules::ALL.iter().map(|r| r.word()))
        .map(|word| Rules::from_word(&word).unwrap_or(Rules::Clp))
}

fn basis() -> impl TypedValueParser<Value = Basis> {
    PossibleValuesParser::new([Basis::Wax.word(), Basis::Total.word()])
        .map(|word| if word == Basis::Wax.word() { Basis::Wax } else { Basis::Total })
}

/// Arguments of `classify`.
#[derive(Debug, Args)]
pub struct ClassifyArgs {
    /// A product file, a material file (with `--load` and `--of`), or a mixture file
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Whose rules: EU and Northern Ireland, Great Britain, or the UN system (default: those the mixture file names, else clp)
    #[arg(long, value_parser = rules())]
    pub rules: Option<Rules>,
    /// With the rules in force on this day (default: today)
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub on: Option<Date>,
    /// Load of a material in the candle: `8 %`
    #[arg(long, value_name = "SHARE", num_args = 1..=2, requires = "of")]
    pub load: Vec<String>,
    /// Of what the load is a share
    #[arg(long, value_parser = basis(), requires = "load")]
    pub of: Option<Basis>,
    /// An earlier safety sheet of the same material: tells which statements change
    #[arg(long, value_name = "OLD", requires = "load")]
    pub against: Option<PathBuf>,
    /// Every load at which the label changes
    #[arg(long, conflicts_with = "against")]
    pub sweep: bool,
    /// Draw the sweep into this file
    #[arg(long, value_name = "FILE.svg", requires = "sweep")]
    pub svg: Option<PathBuf>,
    /// Answer as JSON
    #[arg(long)]
    pub json: bool,
}

impl ClassifyArgs {
    /// The load as typed, `8 %` in one word or two.
    pub fn share(&self) -> Result<Option<Share>, crate::unit::Wrong> {
        if self.load.is_empty() { Ok(None) } else { Share::parse(&self.load.join(" ")).map(Some) }
    }
}
