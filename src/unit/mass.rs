//! Mass in 1/32 ng, so that thousandths and thirty-seconds of an ounce are whole. 1 oz = 28.349 523 125 g and
//! 1 lb = 453.592 37 g exactly
//! (international avoirdupois pound of 1959; from memory, checked in tests against a unit library).

use super::number::{self, Wrong};
use super::{Quantity, Share};
use serde::{Serialize, Serializer};
use std::iter::Sum;
use std::ops::{Add, Sub};

/// A mass, never negative when read from text; held in 1/32 ng.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Mass(i64);

const NG: i64 = 32;
const G: i64 = 1_000_000_000 * NG;
const OZ: i64 = 28_349_523_125 * NG;
const LB: i64 = 453_592_370_000 * NG;

impl Mass {
    /// No mass.
    pub const ZERO: Self = Self(0);

    /// Whole grams.
    #[must_use]
    pub const fn g(grams: i64) -> Self {
        Self(grams * G)
    }
    /// Whole milligrams.
    #[must_use]
    pub const fn mg(milligrams: i64) -> Self {
        Self(milligrams * (G / 1000))
    }
    /// Whole avoirdupois ounces.
    #[must_use]
    pub const fn oz(ounces: i64) -> Self {
        Self(ounces * OZ)
    }
    /// Whole pounds.
    #[must_use]
    pub const fn lb(pounds: i64) -> Self {
        Self(pounds * LB)
    }
    /// Whole nanograms.
    #[must_use]
    pub const fn ng(nanograms: i64) -> Self {
        Self(nanograms.saturating_mul(NG))
    }
    /// In whole nanograms, cut off.
    #[must_use]
    pub const fn to_ng(self) -> i64 {
        self.0.div_euclid(NG)
    }
    /// How many hundredths of an ounce this holds, cut off. What is missing to the next by less than a nanogram counts
    /// as reached: 3 1/3 oz cannot be held exactly.
    #[must_use]
    pub fn hundredths_of_oz(self) -> i64 {
        let hundredths = (i128::from(self.0) + i128::from(NG)) * 100;
        i64::try_from((hundredths - 1).div_euclid(i128::from(OZ))).unwrap_or(0)
    }
    /// In grams, for statistics only.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "statistics need no more than 15 digits")]
    pub fn to_g_f64(self) -> f64 {
        self.0 as f64 / G as f64
    }
    /// `self * part / whole`, cut off at the unit it is held in.
    #[must_use]
    pub fn times_ratio(self, part: i128, whole: i128) -> Self {
        Self(i64::try_from((i128::from(self.0) * part).div_euclid(whole)).unwrap_or(i64::MAX / 64))
    }
    /// The share of this mass, cut off at the unit it is held in.
    #[must_use]
    pub fn share(self, share: Share) -> Self {
        self.times_ratio(i128::from(share.to_ppb()), 1_000_000_000)
    }
    /// `count` times this mass.
    #[must_use]
    pub fn times(self, count: u32) -> Self {
        self.times_ratio(i128::from(count), 1)
    }
    /// Which share of `whole` this is, cut off; `None` when `whole` is nothing or smaller than this.
    #[must_use]
    pub fn share_of(self, whole: Self) -> Option<Share> {
        (whole.0 > 0)
            .then(|| i128::from(self.0) * 1_000_000_000 / i128::from(whole.0))
            .and_then(|p| Share::ppb(i64::try_from(p).ok()?))
    }
    /// Rounded down to a multiple of `step` (the scale's readability).
    #[must_use]
    pub fn rounded_down_to(self, step: Self) -> Self {
        if step.0 <= 0 { self } else { Self(self.0.div_euclid(step.0) * step.0) }
    }
    /// Rounded to the nearest multiple of `step`, halves up.
    #[must_use]
    pub fn rounded_to(self, step: Self) -> Self {
        if step.0 <= 0 { self } else { Self((self.0 + step.0 / 2).div_euclid(step.0) * step.0) }
    }
    /// Grams with at most `places` decimals, cut off: `340.19 g`.
    #[must_use]
    pub fn in_g(self, places: u32) -> String {
        format!("{} g", number::print_cut(self.0, G, places))
    }
    /// Grams with exactly `places` decimals, rounded to nearest: for a weighing list, where columns line up.
    #[must_use]
    pub fn in_g_fixed(self, places: u32) -> String {
        let step = G / 10_i64.pow(places.min(9));
        let shown = self.rounded_to(Self(step)).0;
        let frac = shown.rem_euclid(G) / step;
        if places == 0 { (shown / G).to_string() } else { format!("{}.{frac:0w$}", shown / G, w = places as usize) }
    }
    /// Ounces with at most `places` decimals, cut off: `7.05 oz`.
    #[must_use]
    pub fn in_oz(self, places: u32) -> String {
        format!("{} oz", number::print_cut(self.0, OZ, places))
    }
}

impl Quantity for Mass {
    const NAME: &'static str = "a mass";
    const EXAMPLE: &'static str = "340 g";

    fn parse(text: &str) -> Result<Self, Wrong> {
        if ["fl oz", "floz", "fl. oz", "fl. oz.", "ml", "mL"].iter().any(|u| text.trim().ends_with(u)) {
            return Err(Wrong::new(
                format!("`{}` is a volume, and a mass is asked for here", text.trim()),
                "weigh it: write grams or weight ounces, for example `340 g` or `12 oz`",
            ));
        }
        number::quantity(
            text,
            Self::NAME,
            Self::EXAMPLE,
            &[
                (&["g", "gram", "grams"], G as i128),
                (&["kg"], 1000 * G as i128),
                (&["mg"], (G / 1000) as i128),
                (&["oz", "oz."], OZ as i128),
                (&["lb", "lb.", "lbs", "lbs."], LB as i128),
            ],
        )
        .map(Self)
    }
}

impl Add for Mass {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}
impl Sub for Mass {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}
impl Sum for Mass {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Add::add)
    }
}
impl std::fmt::Display for Mass {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.in_g(3))
    }
}
/// Serialised as text in grams, cut at the microgram: `340.194277 g`.
impl Serialize for Mass {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.in_g(6))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn masses_are_read_with_their_unit() {
        assert_eq!(Mass::parse("340 g").unwrap(), Mass::g(340));
        assert_eq!(Mass::parse("12oz").unwrap(), Mass::oz(12));
        assert_eq!(Mass::parse("1 1/2 lb").unwrap().to_ng(), 680_388_555_000);
        assert!(Mass::parse("340").unwrap_err().message.contains("no unit"));
        assert!(Mass::parse("8 fl oz").unwrap_err().cure.contains("weigh"));
        assert!(Mass::parse("-3 g").unwrap_err().message.contains("negative") || Mass::parse("-3 g").is_err());
        assert!(Mass::parse("999999999999 kg").is_err());
    }

    #[test]
    fn printing_is_cut_never_rounded_up() {
        assert_eq!(Mass::oz(8).in_g(0), "226 g");
        assert_eq!(Mass::g(200).in_oz(2), "7.05 oz");
        assert_eq!(Mass::mg(28_150).in_g_fixed(1), "28.2");
        assert_eq!(Mass::g(28).in_g_fixed(1), "28.0");
    }
}
