//! A share of a whole in parts per 10^9, never above the whole.

use super::Quantity;
use super::number::{self, Wrong};
use serde::{Serialize, Serializer};

/// A share from 0 to 100 %.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Share(i64);

const WHOLE: i64 = 1_000_000_000;

impl Share {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    /// All of it.
    pub const WHOLE: Self = Self(WHOLE);

    /// From parts per 10^9; `None` below 0 or above the whole.
    #[must_use]
    pub fn ppb(parts: i64) -> Option<Self> {
        (0..=WHOLE).contains(&parts).then_some(Self(parts))
    }
    /// Whole percent, at most 100.
    #[must_use]
    pub fn percent(percent: u8) -> Self {
        Self(i64::from(percent.min(100)) * (WHOLE / 100))
    }
    /// In parts per 10^9.
    #[must_use]
    pub const fn to_ppb(self) -> i64 {
        self.0
    }
    /// In percent, for messages only.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "messages")]
    pub fn to_percent_f64(self) -> f64 {
        self.0 as f64 / 1e7
    }
    /// A share stated of the rest (oil of wax) as a share of the total: `r / (1 + r)`, cut off.
    #[must_use]
    pub fn of_rest_as_of_total(self) -> Self {
        Self(i64::try_from(i128::from(self.0) * i128::from(WHOLE) / i128::from(WHOLE + self.0)).unwrap_or(0))
    }
    /// A share stated of the total as a share of the rest: `r / (1 - r)`, cut off; `None` from one half up.
    #[must_use]
    pub fn of_total_as_of_rest(self) -> Option<Self> {
        (self.0 < WHOLE)
            .then(|| i128::from(self.0) * i128::from(WHOLE) / i128::from(WHOLE - self.0))
            .and_then(|p| Self::ppb(i64::try_from(p).ok()?))
    }
    /// Percent with at most `places` decimals, rounded to the nearest: `8.26 %`. For people; limits are held exactly.
    #[must_use]
    pub fn near_percent(self, places: u32) -> String {
        let half = 5 * 10_i64.pow(6_u32.saturating_sub(places));
        Self(self.0.saturating_add(if places > 6 { 0 } else { half }).min(WHOLE)).in_percent(places)
    }
    /// Percent with at most `places` decimals, cut off: `8.25 %`.
    #[must_use]
    pub fn in_percent(self, places: u32) -> String {
        format!("{} %", number::print_cut(self.0, WHOLE / 100, places))
    }
}

impl Quantity for Share {
    const NAME: &'static str = "a percentage";
    const EXAMPLE: &'static str = "8 %";

    fn parse(text: &str) -> Result<Self, Wrong> {
        if text.trim().ends_with("oz") || text.trim().ends_with('g') {
            return Err(Wrong::new(
                format!("`{}` is a weight, and a percentage is asked for here", text.trim()),
                "write a share: 1 oz of oil to 1 lb of wax is `6.25 %` of the wax",
            ));
        }
        let parts = number::quantity(text, Self::NAME, Self::EXAMPLE, &[(&["%", "percent"], (WHOLE / 100) as i128)])?;
        Self::ppb(parts).ok_or_else(|| {
            Wrong::new(format!("`{}` is more than the whole", text.trim()), "a percentage goes from 0 to 100")
        })
    }
}

impl std::fmt::Display for Share {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.in_percent(4))
    }
}
/// Serialised as text: `8.2568 %`.
impl Serialize for Share {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.in_percent(6))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 9/109 = 8.25688 %, 2/3 = 66.6667 %.
    #[test]
    fn shares_for_people_are_rounded_to_the_nearest() {
        assert_eq!(Share(82_568_807).near_percent(2), "8.26 %");
        assert_eq!(Share(82_568_807).near_percent(1), "8.3 %");
        assert_eq!(Share(666_666_666).near_percent(0), "67 %");
        assert_eq!(Share(80_000_000).near_percent(2), "8 %");
        assert_eq!(Share(WHOLE).near_percent(2), "100 %");
    }

    #[test]
    fn shares_stop_at_the_whole() {
        assert_eq!(Share::parse("100 %").unwrap(), Share::WHOLE);
        assert!(Share::parse("100.1 %").unwrap_err().message.contains("more than the whole"));
        assert!(Share::parse("9").unwrap_err().message.contains("no unit"));
    }
}
