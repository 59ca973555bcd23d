//! The record of one lot: its entries, what was corrected, where its units are, whether it may leave.

use super::entry::Entry;
use super::event::Event;
use super::trouble::Trouble;
use super::{Ledger, LotRow};
use crate::lot::LotCode;
use jiff::civil::Date;
use serde::Serialize;

/// One entry as it is read back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Recorded {
    /// Its number.
    pub seq: i64,
    /// UTC, RFC 3339.
    pub at: String,
    /// What the maker's clock was ahead of UTC then.
    pub local_offset: String,
    /// The lot it is about.
    pub lot: Option<LotCode>,
    /// What happened; `None` for the pour itself.
    #[serde(flatten)]
    pub event: Option<Event>,
    /// The entry that corrects it.
    pub corrected_by: Option<i64>,
}

/// Where the units of a lot are. Always: made = the sum of the others.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Balance {
    /// Poured, as counted; as planned until somebody counts.
    pub made: i64,
    /// In the workshop, to be sold.
    pub on_hand: i64,
    /// Kept back.
    pub retained: i64,
    /// Spoiled.
    pub scrapped: i64,
    /// Gone.
    pub handed_over: i64,
    /// Not found when the shelf was counted.
    pub unaccounted: i64,
}

impl std::ops::AddAssign for Balance {
    fn add_assign(&mut self, other: Self) {
        self.made += other.made;
        self.on_hand += other.on_hand;
        self.retained += other.retained;
        self.scrapped += other.scrapped;
        self.handed_over += other.handed_over;
        self.unaccounted += other.unaccounted;
    }
}

/// Whether units may leave.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// The rest after the pour is not over.
    Curing,
    /// Cured, and nobody has released it yet.
    ToBeReleased,
    /// Somebody checked it and let it go.
    Released,
    /// Nothing leaves.
    OnHold,
}

impl State {
    /// As it is printed.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Curing => "curing",
            Self::ToBeReleased => "to be released",
            Self::Released => "released",
            Self::OnHold => "on hold",
        }
    }
}

/// All that is known of a lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LotRecord {
    /// As it was opened.
    pub lot: LotRow,
    /// Everything since, in order.
    pub entries: Vec<Recorded>,
    /// Where its units are.
    pub balance: Balance,
}

impl LotRecord {
    /// What stands: not corrected by a later entry.
    pub fn standing(&self) -> impl Iterator<Item = &Event> {
        self.entries.iter().filter(|e| e.corrected_by.is_none()).filter_map(|e| e.event.as_ref())
    }

    /// Whether units may leave on a day.
    #[must_use]
    pub fn state(&self, on: Date) -> State {
        let last = self.standing().filter(|e| matches!(e, Event::Hold { .. } | Event::Release { .. })).last();
        match last {
            Some(Event::Hold { .. }) => State::OnHold,
            Some(Event::Release { .. }) => State::Released,
            _ if self.lot.cure_until.is_some_and(|until| on < until) => State::Curing,
            _ => State::ToBeReleased,
        }
    }
}

impl Ledger {
    /// The record of a lot; `None` when there is no such lot.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn record(&self, code: &LotCode) -> Result<Option<LotRecord>, Trouble> {
        let Some(lot) = self.lot(code)? else { return Ok(None) };
        let entries = self.recorded("WHERE lot = ?1", [code.to_string()])?;
        Ok(Some(LotRecord { lot, entries, balance: self.balance(code)? }))
    }

    /// Entries that are about no single lot, in order: deliveries, recalls, forgotten buyers, slips of the clock.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn of_no_lot(&self) -> Result<Vec<Recorded>, Trouble> {
        self.recorded("WHERE lot IS NULL", [])
    }

    /// The entry with this number.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn entry(&self, seq: i64) -> Result<Option<Recorded>, Trouble> {
        Ok(self.recorded("WHERE seq = ?1", [seq])?.pop())
    }

    /// Where the units of a lot are.
    ///
    /// # Errors
    /// [`Trouble`] when the ledger cannot be read.
    pub fn balance(&self, code: &LotCode) -> Result<Balance, Trouble> {
        let sums: Vec<(String, i64)> = self.each(
            "SELECT what, sum(units) FROM unit_move WHERE lot = ?1 GROUP BY what",
            [code.to_string()],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )?;
        let of = |what: &str| sums.iter().find(|(w, _)| w == what).map_or(0, |(_, n)| *n);
        let mut balance = Balance {
            made: of("made"),
            on_hand: 0,
            retained: of("retained"),
            scrapped: of("scrapped"),
            handed_over: of("handed over"),
            unaccounted: of("missing"),
        };
        balance.on_hand =
            balance.made - balance.retained - balance.scrapped - balance.handed_over - balance.unaccounted;
        Ok(balance)
    }

    fn recorded(&self, where_: &str, params: impl rusqlite::Params) -> Result<Vec<Recorded>, Trouble> {
        let sql = format!(
            "SELECT {}, (SELECT c.seq FROM correction c WHERE c.corrected = entry.seq) FROM entry {where_} ORDER BY seq",
            Entry::COLUMNS
        );
        let entries = self.each(&sql, params, |row| Ok((Entry::read(row)?, row.get(8)?)))?;
        entries
            .into_iter()
            .map(|(entry, corrected_by)| {
                let event = Event::of(&entry).map_err(|why| Trouble::damaged(&self.path, why))?;
                let lot = entry.lot.as_deref().and_then(|l| LotCode::parse(l).ok());
                Ok(Recorded {
                    seq: entry.seq,
                    at: entry.at,
                    local_offset: entry.local_offset,
                    lot,
                    event,
                    corrected_by,
                })
            })
            .collect()
    }
}
