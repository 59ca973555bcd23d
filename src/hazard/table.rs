//! The tables of `rules/hazard`, read once from the text the program is built with; beneath everything in this room.

use super::class::{Group, HazardClass, Kind, Row};
use super::content::Content;
use super::mixture::{Dose, Route, State};
use super::{Rules, class};
use crate::trade::Evidence;
use crate::unit::exact;
use std::sync::LazyLock;

/// How an ingredient counts towards a class of the mixture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Counts {
    /// By itself.
    Alone,
    /// Its content divided by the limit is added to that of others.
    InASum,
    /// The same, times its M factor.
    InASumTimesM,
    /// By itself, where adding up does not hold.
    WhenNotAdditive,
    /// Not towards the class: from here on its name goes on the label.
    Elicits,
}

/// A row of `limits.csv`.
#[derive(Debug, Clone, Copy)]
pub struct Limit {
    /// Class of the ingredient.
    pub ingredient: HazardClass,
    /// How it counts.
    pub counts: Counts,
    /// From this content on.
    pub from: Content,
    /// Class of the mixture.
    pub mixture: HazardClass,
    /// Only for mixtures in this state.
    pub gas: Option<bool>,
    /// Place in the law.
    pub clause: &'static str,
    /// How the figure is known.
    pub seen: Evidence,
}

/// A row of `cut-offs.csv`.
#[derive(Debug, Clone, Copy)]
pub(super) struct CutOff {
    pub ingredient: &'static str,
    pub from: Content,
    pub divided_by_m: bool,
}

/// A row of `acute.csv`.
#[derive(Debug, Clone, Copy)]
pub(super) struct AcuteRow {
    pub route: Route,
    pub category: u8,
    pub up_to: Dose,
    pub stands_for: Dose,
    pub only: Option<Rules>,
}

/// All tables.
#[derive(Debug)]
pub(super) struct Tables {
    pub classes: Vec<Row>,
    pub limits: Vec<Limit>,
    /// The same by class of the mixture, in the order of `classes`.
    pub by_mixture: Vec<Vec<Limit>>,
    pub acute: Vec<AcuteRow>,
    /// By class, in the order of `classes`.
    pub cut_offs: Vec<Option<CutOff>>,
}

/// The built-in tables. A row that cannot be read is left out of them; a test sees to it that there is none.
pub(super) static TABLES: LazyLock<Tables> = LazyLock::new(|| read().0);

/// The rows of a table with limits, for listing them with their sources.
#[must_use]
pub fn limits() -> &'static [Limit] {
    &TABLES.limits
}

const CLASSES: &str = include_str!("../../rules/hazard/classes.csv");
const LIMITS: &str = include_str!("../../rules/hazard/limits.csv");
const CUT_OFFS: &str = include_str!("../../rules/hazard/cut-offs.csv");
const ACUTE: &str = include_str!("../../rules/hazard/acute.csv");

/// The tables and the rows that could not be read.
fn read() -> (Tables, Vec<&'static str>) {
    let mut wrong = Vec::new();
    let classes = gather(CLASSES, class_row, &mut wrong);
    let limits = gather(LIMITS, |cells| limit_row(cells, &classes), &mut wrong);
    let cut_offs = gather(CUT_OFFS, cut_off_row, &mut wrong);
    let acute = gather(ACUTE, acute_row, &mut wrong);
    let cut_offs = classes.iter().map(|c| cut_offs.iter().find(|o| o.ingredient == c.name).copied()).collect();
    let of = |at: usize| limits.iter().filter(|l| l.mixture.index() == at).copied().collect();
    let by_mixture = (0..classes.len()).map(of).collect();
    (Tables { classes, limits, by_mixture, acute, cut_offs }, wrong)
}

fn gather<T>(text: &'static str, row: impl Fn(&[&'static str]) -> Option<T>, wrong: &mut Vec<&'static str>) -> Vec<T> {
    let lines = text.lines().skip(1).filter(|l| !l.trim().is_empty());
    lines
        .filter_map(|line| {
            let read = row(&cells(line));
            if read.is_none() {
                wrong.push(line);
            }
            read
        })
        .collect()
}

/// Cells of a line; a cell with a comma stands in quotes.
pub(super) fn cells(line: &'static str) -> Vec<&'static str> {
    let (mut cells, mut rest) = (Vec::new(), line);
    loop {
        let end = match rest.strip_prefix('"') {
            Some(quoted) => quoted.find('"').map_or(rest.len(), |n| n + 2),
            None => rest.find(',').unwrap_or(rest.len()),
        };
        cells.push(rest[..end].trim_matches('"').trim());
        match rest[end..].strip_prefix(',') {
            Some(more) => rest = more,
            None => return cells,
        }
    }
}

fn class_row(cells: &[&'static str]) -> Option<Row> {
    let [name, code, endings, group, kind, rules, from, before, clause, seen] = cells else { return None };
    let day = |text: &str| if text.is_empty() { Some(None) } else { text.parse().ok().map(Some) };
    Some(Row {
        name,
        code,
        endings,
        group: Group(group),
        kind: Kind::from_word(kind)?,
        only: only(rules).ok()?,
        from: day(from)?,
        before: day(before)?,
        clause,
        seen: Evidence::from_word(seen)?,
    })
}

/// `all`, or the one set of rules in which the row stands: `Err` for any other word.
fn only(word: &str) -> Result<Option<Rules>, ()> {
    if word == "all" { Ok(None) } else { Rules::from_word(word).map(Some).ok_or(()) }
}

fn limit_row(cells: &[&'static str], classes: &[Row]) -> Option<Limit> {
    let [ingredient, counts, from, mixture, state, clause, seen] = cells else { return None };
    Some(Limit {
        ingredient: class::named(ingredient, classes)?,
        counts: match *counts {
            "alone" => Counts::Alone,
            "in a sum" => Counts::InASum,
            "in a sum times M" => Counts::InASumTimesM,
            "when not additive" => Counts::WhenNotAdditive,
            "elicits" => Counts::Elicits,
            _ => return None,
        },
        from: Content::percent(from)?,
        mixture: class::named(mixture, classes)?,
        gas: match *state {
            "" => None,
            "gas" => Some(true),
            "solid or liquid" => Some(false),
            _ => return None,
        },
        clause,
        seen: Evidence::from_word(seen)?,
    })
}

fn cut_off_row(cells: &[&'static str]) -> Option<CutOff> {
    let [ingredient, from, divided, _clause, seen] = cells else { return None };
    Evidence::from_word(seen)?;
    let divided_by_m = match *divided {
        "yes" => true,
        "no" => false,
        _ => return None,
    };
    Some(CutOff { ingredient, from: Content::percent(from)?, divided_by_m })
}

fn acute_row(cells: &[&'static str]) -> Option<AcuteRow> {
    let [route, unit, category, up_to, stands_for, rules, _clause, seen, stands_seen] = cells else { return None };
    Evidence::from_word(seen)?;
    Evidence::from_word(stands_seen)?;
    let route = Route::from_word(route).filter(|r| r.unit() == *unit)?;
    let dose = |text: &str| exact(text).ok().and_then(Dose::of);
    Some(AcuteRow {
        route,
        category: category.parse().ok()?,
        up_to: dose(up_to)?,
        stands_for: dose(stands_for)?,
        only: only(rules).ok()?,
    })
}

impl Limit {
    /// Whether the row holds for a mixture in this state.
    pub(super) fn holds_for(&self, state: State) -> bool {
        self.gas.is_none_or(|gas| gas == (state == State::Gas))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_tables_is_read() {
        let (tables, wrong) = read();
        assert!(wrong.is_empty(), "{wrong:#?}");
        assert_eq!((tables.acute.len(), tables.cut_offs.iter().flatten().count()), (22, 29));
        for row in cut_off_names() {
            assert!(tables.classes.iter().any(|c| c.name == row), "{row}");
        }
    }

    fn cut_off_names() -> Vec<&'static str> {
        CUT_OFFS.lines().skip(1).map(|l| cells(l)[0]).collect()
    }

    #[test]
    fn quotes_keep_a_comma_in_its_cell() {
        assert_eq!(cells("a,\"b, c\",,d"), ["a", "b, c", "", "d"]);
        assert_eq!(cells("\"a, b\""), ["a, b"]);
        assert_eq!(cells("a,"), ["a", ""]);
    }
}
