//! Hours of burning and days of cure.

use super::Quantity;
use super::number::{self, Wrong};
use serde::{Serialize, Serializer};

/// A time span in whole seconds, written in hours or minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hours(i64);

impl Hours {
    /// Whole hours.
    #[must_use]
    pub const fn h(hours: i64) -> Self {
        Self(hours * 3600)
    }
    /// Whole seconds, the unit it is held in.
    #[must_use]
    pub const fn seconds(seconds: i64) -> Self {
        Self(seconds)
    }
    /// In seconds, the unit it is held in.
    #[must_use]
    pub const fn to_seconds(self) -> i64 {
        self.0
    }
    /// In hours, for statistics.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "statistics")]
    pub fn to_h_f64(self) -> f64 {
        self.0 as f64 / 3600.0
    }
    /// From hours computed, cut off at the second below.
    #[must_use]
    #[expect(clippy::cast_possible_truncation, reason = "clamped")]
    pub fn from_h_f64_down(hours: f64) -> Self {
        Self((hours * 3600.0).floor().clamp(0.0, 1e12) as i64)
    }
    /// Whole hours, cut off.
    #[must_use]
    pub const fn whole_h(self) -> i64 {
        self.0 / 3600
    }
    /// Hours with at most `places` decimals, cut off, without unit.
    #[must_use]
    pub fn number(self, places: u32) -> String {
        number::print_cut(self.0, 3600, places)
    }
}

impl Quantity for Hours {
    const NAME: &'static str = "a time";
    const EXAMPLE: &'static str = "4 h";

    fn parse(text: &str) -> Result<Self, Wrong> {
        number::quantity(text, Self::NAME, Self::EXAMPLE, &[(&["h", "hour", "hours"], 3600), (&["min", "minutes"], 60)])
            .map(Self)
    }
}
impl std::fmt::Display for Hours {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} h", self.number(2))
    }
}
/// Serialised as text in hours: `60.5 h`.
impl Serialize for Hours {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&format!("{} h", self.number(2)))
    }
}

/// Whole days of rest between pour and sale.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Days(i64);

impl Days {
    /// So many days.
    #[must_use]
    pub const fn new(days: i64) -> Self {
        Self(days)
    }
    /// The number of days.
    #[must_use]
    pub const fn count(self) -> i64 {
        self.0
    }
}

impl Quantity for Days {
    const NAME: &'static str = "a number of days";
    const EXAMPLE: &'static str = "14 days";

    fn parse(text: &str) -> Result<Self, Wrong> {
        number::quantity(text, Self::NAME, Self::EXAMPLE, &[(&["days", "day", "d"], 1), (&["weeks", "week"], 7)])
            .map(Self)
    }
}
impl std::fmt::Display for Days {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} days", self.0)
    }
}
