//! Options of `label` for sheets, the print shop and numbered units.

use crate::pdf::Red;
use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser};

/// How labels get onto paper.
#[derive(Debug, Args)]
#[command(next_help_heading = "On paper")]
pub struct SheetArgs {
    /// Labels many to a sheet: the name of a sheet (your `sheets` folder, or built in) or its file; `PART=SHEET` for one part
    #[arg(long, value_name = "SHEET")]
    pub sheet: Vec<String>,
    /// Begin the first sheet at this position, counted row by row from the upper left; `PART=N` for one part
    #[arg(long, value_name = "N", value_parser = start, requires = "sheet")]
    pub start: Vec<(Option<String>, u32)>,
    /// How many labels of each part (default: what the first sheet holds; one without `--sheet`)
    #[arg(long, value_name = "N", value_parser = super::args::count)]
    pub count: Option<u32>,
    /// Only this part of the label
    #[arg(long, value_name = "PART")]
    pub part: Option<String>,
    /// A label for each unit of the lot, numbered, each with its own QR code: `1..24`
    #[arg(long, value_name = "FROM..TO", value_parser = serial, requires = "lot", conflicts_with = "count")]
    pub serial: Option<(u32, u32)>,
    /// Print beyond the cut for a print shop, with its box in the file, marks at folds and the line of the die: `3 mm`
    #[arg(long, value_name = "LENGTH", num_args = 1..=2, conflicts_with = "sheet")]
    pub bleed: Vec<String>,
    /// Marks where to cut, on every plate
    #[arg(long, conflicts_with = "sheet")]
    pub crop_marks: bool,
    /// How red is printed: for your own printer, for a press with four inks, or as an ink of its own
    #[arg(long, value_parser = red(), default_value = "rgb")]
    pub red: Red,
    /// Leave the printer's error (`printer` in workshop.yaml) uncorrected
    #[arg(long)]
    pub uncorrected: bool,
    /// Print rulers to measure the printer's error with, and with `--sheet` the outlines of its positions
    #[arg(long, conflicts_with_all = ["start", "count", "part", "serial", "bleed", "crop_marks", "lot", "show"])]
    pub test_page: bool,
}

impl SheetArgs {
    /// Whether anything asks for more than the parts one by one at their size.
    pub fn asked(&self) -> bool {
        let shop = !self.bleed.is_empty() || self.crop_marks || self.red != Red::Rgb;
        let many = self.count.is_some() || self.serial.is_some() || self.part.is_some();
        self.test_page || !self.sheet.is_empty() || shop || many
    }
}

/// A position, perhaps of one part.
fn start(text: &str) -> Result<(Option<String>, u32), String> {
    let (part, number) = match text.split_once('=') {
        Some((part, number)) => (Some(part.trim().to_owned()), number.trim()),
        None => (None, text),
    };
    Ok((part, super::args::count(number)?))
}

fn red() -> impl TypedValueParser<Value = Red> {
    PossibleValuesParser::new(["rgb", "cmyk", "spot"]).map(|word| match word.as_str() {
        "cmyk" => Red::Cmyk,
        "spot" => Red::Spot,
        _ => Red::Rgb,
    })
}

/// Most units a code has figures for.
const LAST: u32 = 999_999;
/// Most units in one file.
const MOST: u32 = 10_000;

fn serial(text: &str) -> Result<(u32, u32), String> {
    let number = |text: &str| {
        let digits = !text.is_empty() && text.len() <= 7 && text.bytes().all(|b| b.is_ascii_digit());
        digits.then(|| text.parse::<u32>().ok()).flatten().filter(|n| (1..=LAST).contains(n))
    };
    match text.split_once("..").map(|(from, to)| (number(from), number(to))) {
        Some((Some(from), Some(to))) if from <= to && to - from < MOST => Ok((from, to)),
        Some((Some(from), Some(to))) if from <= to => Err(format!("at most {MOST} units go into one file")),
        _ => Err(format!("write the first and the last number, from 1 to {LAST}: `1..24`")),
    }
}

#[cfg(test)]
mod tests {
    use super::serial;

    #[test]
    fn numbers_of_units_are_a_first_and_a_last() {
        assert_eq!(serial("1..24"), Ok((1, 24)));
        assert_eq!(serial("7..7"), Ok((7, 7)));
        assert_eq!(serial("1..10000"), Ok((1, 10_000)));
        assert_eq!(serial("990000..999999"), Ok((990_000, 999_999)));
        for odd in ["", "..", "1..", "..4", "0..4", "5..4", "1-4", "1..10001", "1..1000000", "-1..4", "1..4..5", "a..b"]
        {
            assert!(serial(odd).is_err(), "{odd}");
        }
    }
}
