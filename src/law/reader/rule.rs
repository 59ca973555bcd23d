//! What a rule is once it has been read; `row` makes it, `build.rs` writes it down, `require` asks it.

use super::{Fact, Facts};
use crate::trade::{BlockName, Evidence, Market, Measure, Severity, Sign};
use crate::unit::{Length, Quantity};
use serde::{Serialize, Serializer};
use std::fmt;

/// A calendar day: year, month, day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(pub i16, pub i8, pub i8);

impl Day {
    /// Reads `2026-11-25`; a day that does not exist is refused.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let bytes = text.as_bytes();
        if bytes.len() != 10 || bytes[4] != b'-' || bytes[7] != b'-' {
            return None;
        }
        let number = |t: &str| t.bytes().all(|b| b.is_ascii_digit()).then(|| t.parse().ok()).flatten();
        let (year, month, day) = (number(text.get(..4)?)?, number(text.get(5..7)?)?, number(text.get(8..)?)?);
        let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
        let days = match month {
            1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
            4 | 6 | 9 | 11 => 30,
            2 => 28 + i16::from(leap),
            _ => return None,
        };
        let (month, day) = (i8::try_from(month).ok()?, (1..=days).contains(&day).then_some(day)?);
        (1900 <= year).then_some(Self(year, month, i8::try_from(day).ok()?))
    }
}

/// Serialised as `2026-11-25`.
impl Serialize for Day {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.0, self.1, self.2)
    }
}

/// The least height of letters a rule asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Height {
    /// None.
    None,
    /// A fixed one.
    Least {
        /// At least this.
        least: Length,
        /// Measured on this letter.
        measure: Measure,
    },
    /// By the area of the principal display panel, the quantity or the capacity, as the table says.
    Table {
        /// File in `rules/tables`; after a `/` the column, else its first one.
        name: &'static str,
        /// Measured on this letter.
        measure: Measure,
    },
}

/// One place in a source on which a rule rests.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Citation {
    /// Key of the source.
    pub law: &'static str,
    /// What stands before the clause: `16 CFR`.
    pub short: &'static str,
    /// `500.6(b)`; may be empty where a source has no clauses.
    pub clause: &'static str,
    /// How this place is known.
    pub seen: Evidence,
    /// When it was looked at.
    pub read: Day,
}

impl fmt::Display for Citation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(if self.clause.is_empty() {
            self.short
        } else {
            return write!(f, "{} {}", self.short, self.clause);
        })
    }
}

/// One row of law, standard, advice or house policy.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Rule {
    /// File name without ending: `us/identity`.
    pub id: &'static str,
    /// What it is about, in a few words.
    pub title: &'static str,
    /// Where it holds.
    pub markets: &'static [Market],
    /// How strongly it binds.
    pub severity: Severity,
    /// Why being wrong about it does no harm; needed where a required rule is only remembered.
    pub stricter: Option<&'static str>,
    /// Facts that must all hold, each with the values that count.
    pub applies: &'static [(Fact, &'static [&'static str])],
    /// Statements it puts on the label; empty where it is only a check or governs others' statements.
    pub needs: &'static [&'static str],
    /// Blocks or statements of other rules for which its height, space and place hold too.
    pub governs: &'static [&'static str],
    /// The block its own statements stand in.
    pub block: Option<BlockName>,
    /// Signs that stand beside its words, or alone where it has none.
    pub symbols: &'static [Sign],
    /// They must stand on the principal display panel.
    pub principal: bool,
    /// They may not stand on the bottom of the container alone.
    pub off_bottom: bool,
    /// Least height.
    pub height: Height,
    /// In bold.
    pub bold: bool,
    /// Free space: times the height of the lettering above and below, times the width of `N` at the sides.
    pub clear: Option<(u8, u8)>,
    /// Within the lowest so many percent of the panel.
    pub lowest_percent: Option<u8>,
    /// Its numbers by name, as written: `("trim", "1/4 in")`.
    pub figures: &'static [(&'static str, &'static str)],
    /// One plain sentence for the maker.
    pub because: &'static str,
    /// What the maker may change, and where; one plain sentence.
    pub you_may: &'static str,
    /// Where it comes from; never empty.
    pub sources: &'static [Citation],
    /// First day it holds.
    pub from: Option<Day>,
    /// Last day it holds.
    pub to: Option<Day>,
    /// The file to edit.
    pub file: &'static str,
}

impl Rule {
    /// Whether all its conditions hold. A fact that is not known holds no condition.
    #[must_use]
    pub fn holds(&self, facts: &Facts) -> bool {
        self.applies.iter().all(|(fact, values)| facts.get(*fact).is_some_and(|v| values.contains(&v)))
    }
    /// How it is known: the strongest way, or `policy` where it is our own choice.
    #[must_use]
    pub fn seen(&self) -> Evidence {
        self.main().map_or(Evidence::Memory, |c| c.seen)
    }
    /// The place it rests on above all: `16 CFR 500.6(b)`.
    #[must_use]
    pub fn citation(&self) -> String {
        self.main().map(ToString::to_string).unwrap_or_default()
    }
    /// The first of the best known sources; of a policy ours, whatever law it borrows a figure from.
    fn main(&self) -> Option<&Citation> {
        let ours = |c: &Citation| self.severity == Severity::Policy && c.seen != Evidence::Policy;
        self.sources.iter().min_by_key(|c| (ours(c), c.seen))
    }
    /// One of its numbers as a quantity: `rule.figure::<Length>("trim")`.
    #[must_use]
    pub fn figure<Q: Quantity>(&self, name: &str) -> Option<Q> {
        self.figure_text(name).and_then(|text| Q::parse(text).ok())
    }
    /// One of its numbers as written, for those without unit.
    #[must_use]
    pub fn figure_text(&self, name: &str) -> Option<&'static str> {
        self.figures.iter().find(|(n, _)| *n == name).map(|(_, text)| *text)
    }
    /// Whether its height, boldness, space and place hold for this statement of this block.
    #[must_use]
    pub fn governs(&self, block: BlockName, statement: &str) -> bool {
        self.needs.contains(&statement) || self.governs.iter().any(|g| *g == block.word() || *g == statement)
    }
    /// Whether the rule holds in this market on this day.
    #[must_use]
    pub fn in_force_on(&self, market: Market, day: Day) -> bool {
        self.markets.contains(&market) && self.from.is_none_or(|from| from <= day) && self.to.is_none_or(|to| day <= to)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_days_that_exist_are_read() {
        assert_eq!(Day::parse("2024-02-29"), Some(Day(2024, 2, 29)));
        for odd in ["2026-02-29", "1900-02-29", "2026-04-31", "2026-00-10", "2026-13-01", "2026-01-00", "2026-1-1", ""]
        {
            assert_eq!(Day::parse(odd), None, "{odd}");
        }
        for odd in ["+026-01-01", "2026/01/01", "1899-12-31", "２０26-01-01", "2026-01-1\u{e9}", "20261é1-01"] {
            assert_eq!(Day::parse(odd), None, "{odd}");
        }
        assert!(Day(2024, 12, 31) < Day(2025, 1, 1));
        assert_eq!(Day(2026, 1, 2).to_string(), "2026-01-02");
    }
}
