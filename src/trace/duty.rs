//! Who must be told by when, and how long a record is kept: rows of `rules/recall`, read with the evidence beside each.

use crate::trade::{Evidence, Market};
use jiff::civil::Date;
use serde::Serialize;

const DUTIES: &str = include_str!("../../rules/recall/duties.csv");
const RETENTION: &str = include_str!("../../rules/recall/retention.csv");

/// One duty of a recall.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Duty {
    /// Where.
    pub market: Market,
    /// What.
    pub duty: &'static str,
    /// By when.
    pub time: &'static str,
    /// Law or practice.
    pub source: &'static str,
    /// Place in it.
    pub clause: &'static str,
    /// How it is known.
    pub seen: Evidence,
}

/// One rule for keeping records.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Retention {
    /// Where.
    pub market: Market,
    /// What is kept.
    pub what: &'static str,
    /// How long.
    pub years: i16,
    /// Counted from the end of the year.
    pub from_year_end: bool,
    /// Law or practice.
    pub source: &'static str,
    /// Place in it.
    pub clause: &'static str,
    /// How it is known.
    pub seen: Evidence,
}

fn cells(text: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    text.lines().filter(|l| !l.trim().is_empty() && !l.starts_with('#')).skip(1).map(|l| l.split(',').collect())
}

/// The duties of these markets, in the order of their rows.
#[must_use]
pub fn duties(markets: &[Market]) -> Vec<Duty> {
    let row = |c: Vec<&'static str>| {
        let [market, duty, time, source, clause, seen] = c.as_slice() else { return None };
        Some(Duty { market: Market::from_word(market)?, duty, time, source, clause, seen: Evidence::from_word(seen)? })
    };
    cells(DUTIES).filter_map(row).filter(|d| markets.contains(&d.market)).collect()
}

fn retention() -> impl Iterator<Item = Retention> {
    cells(RETENTION).filter_map(|c| {
        let [market, what, years, from, source, clause, seen] = c.as_slice() else { return None };
        Some(Retention {
            market: Market::from_word(market)?,
            what,
            years: years.parse().ok()?,
            from_year_end: *from == "year end",
            source,
            clause,
            seen: Evidence::from_word(seen)?,
        })
    })
}

/// Until when the record of a lot is kept that last left on `last`; the rule that keeps it longest.
/// Without a market the house policy of ten years holds.
///
/// ```
/// use jiff::civil::date;
/// use waxbill::{trace, trade::Market};
/// // Canada Consumer Product Safety Act s. 13(2): six years after the end of the year.
/// let (until, rule) = trace::keep_until(&[Market::Ca], date(2026, 12, 5)).unwrap();
/// assert_eq!((until, rule.years), (date(2032, 12, 31), 6));
/// // Regulation (EU) 2023/988 Art. 9(3): ten years.
/// assert_eq!(trace::keep_until(&[Market::Ca, Market::Eu], date(2026, 12, 5)).unwrap().0, date(2036, 12, 5));
/// ```
#[must_use]
pub fn keep_until(markets: &[Market], last: Date) -> Option<(Date, Retention)> {
    let markets = if markets.is_empty() { &[Market::Us] } else { markets };
    retention()
        .filter(|r| markets.contains(&r.market))
        .filter_map(|r| {
            let from = if r.from_year_end { Date::new(last.year(), 12, 31).ok()? } else { last };
            let until = from.checked_add(jiff::Span::new().try_years(r.years).ok()?).ok()?;
            Some((until, r))
        })
        .max_by_key(|(until, _)| *until)
}

/// Words that may make a hazard look smaller, and may not stand in a recall notice (Regulation (EU) 2023/988 Art. 36(2)(c)).
const SOFT: [&str; 6] = [
    "voluntary",
    "precautionary",
    "discretionary",
    "in rare situations",
    "in specific situations",
    "no reported accidents",
];

/// Those of them that stand in a text.
#[must_use]
pub fn softened(text: &str) -> Vec<&'static str> {
    let lower = text.to_lowercase();
    SOFT.into_iter().filter(|soft| lower.contains(soft)).collect()
}

#[cfg(test)]
mod tests {
    use super::{DUTIES, RETENTION, cells, duties, retention, softened};
    use crate::trade::Market;

    #[test]
    fn every_row_is_read_and_every_market_has_some() {
        assert_eq!(duties(Market::ALL).len(), cells(DUTIES).count());
        assert_eq!(retention().count(), cells(RETENTION).count());
        for market in Market::ALL {
            assert!(!duties(&[*market]).is_empty() && retention().any(|r| r.market == *market), "{market}");
        }
    }

    /// 16 CFR 1115.14(e): 24 hours. Canada Consumer Product Safety Act s. 14: 2 days, 10 days. Regulation (EU) 2023/988
    /// Art. 20: without undue delay, and no number of days.
    #[test]
    fn time_limits_are_those_of_the_laws() {
        let times = |market| duties(&[market]).iter().map(|d| d.time).collect::<Vec<_>>().join("|");
        assert!(times(Market::Us).contains("24 hours") && times(Market::Us).contains("10 days"));
        assert!(times(Market::Ca).contains("2 days") && times(Market::Ca).contains("10 days"));
        assert!(times(Market::Eu).contains("without undue delay") && !times(Market::Eu).contains("days"));
    }

    /// The words of Regulation (EU) 2023/988 Art. 36(2).
    #[test]
    fn words_that_play_a_hazard_down_are_found() {
        assert_eq!(
            softened("A Precautionary step; jars may crack in rare situations"),
            ["precautionary", "in rare situations"]
        );
        assert!(softened("The jar can crack and the wax catch fire").is_empty());
    }
}
