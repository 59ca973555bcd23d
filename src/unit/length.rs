//! Length in 1/36 000 mm, so that 1 mm, 1 in (914 400) and 1 pt (12 700) are all whole. Areas in its square.

use super::Quantity;
use super::number::{self, Wrong};
use serde::{Serialize, Serializer};
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A length; may be negative as a coordinate, never when read from text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(i64);

const MM: i64 = 36_000;
const IN: i64 = 914_400;
const PT: i64 = 12_700;

impl Length {
    /// No length.
    pub const ZERO: Self = Self(0);

    /// Whole millimetres.
    #[must_use]
    pub const fn mm(mm: i64) -> Self {
        Self(mm * MM)
    }
    /// Whole micrometres.
    #[must_use]
    pub const fn um(um: i64) -> Self {
        Self(um * (MM / 1000))
    }
    /// `num / den` inches; whole for every denominator used on a rule (2, 4, 8, 16, 32).
    #[must_use]
    pub const fn inch(num: i64, den: i64) -> Self {
        Self(num * IN / den)
    }
    /// From 1/36 000 mm, the unit it is held in.
    #[must_use]
    pub const fn raw(units: i64) -> Self {
        Self(units)
    }
    /// In 1/36 000 mm, the unit it is held in.
    #[must_use]
    pub const fn to_raw(self) -> i64 {
        self.0
    }
    /// In millimetres, for drawing and messages only.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "drawing")]
    pub fn to_mm_f64(self) -> f64 {
        self.0 as f64 / MM as f64
    }
    /// In points of 1/72 in, for drawing only.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "drawing")]
    pub fn to_pt_f64(self) -> f64 {
        self.0 as f64 / PT as f64
    }
    /// From millimetres as measured in a file, to the nearest unit.
    #[must_use]
    #[expect(clippy::cast_possible_truncation, clippy::cast_precision_loss, reason = "clamped before; 36000 is exact")]
    pub fn from_mm_f64(mm: f64) -> Self {
        Self((mm * MM as f64).round().clamp(-1e12, 1e12) as i64)
    }
    /// From points of 1/72 in as measured in a file, to the nearest unit.
    #[must_use]
    pub fn from_pt_f64(pt: f64) -> Self {
        Self::from_mm_f64(pt * 25.4 / 72.0)
    }
    /// `self * num / den`, cut off.
    #[must_use]
    pub fn times_ratio(self, num: i64, den: i64) -> Self {
        Self(i64::try_from(i128::from(self.0) * i128::from(num) / i128::from(den)).unwrap_or(i64::MAX / 64))
    }
    /// The circumference of a circle of this diameter, rounded up (a larger panel never asks for smaller type).
    #[must_use]
    pub fn circumference_rounded_up(self) -> Self {
        Self(i64::try_from(times_pi_up(i128::from(self.0))).unwrap_or(i64::MAX / 64))
    }
    /// Millimetres with at most `places` decimals (three at most), rounded up: for what must not be less. 1/8 in is `3.18 mm`.
    #[must_use]
    pub fn least_in_mm(self, places: u32) -> String {
        let step = MM / 10_i64.pow(places.min(3));
        Self(self.0.saturating_add(step - 1).div_euclid(step) * step).in_mm(places)
    }
    /// Millimetres with at most `places` decimals, cut off, with the unit: `1.58 mm`.
    #[must_use]
    pub fn in_mm(self, places: u32) -> String {
        format!("{} mm", number::print_cut(self.0, MM, places))
    }
    /// The larger of two lengths.
    #[must_use]
    pub fn max_of(self, other: Self) -> Self {
        self.max(other)
    }
}

/// `n * pi`, rounded up to a whole number. 355/113 exceeds pi by 8.5e-8; this ratio by less than 1e-15.
fn times_pi_up(n: i128) -> i128 {
    const PI: (i128, i128) = (3_141_592_653_589_794, 1_000_000_000_000_000);
    (n * PI.0 + PI.1 - 1).div_euclid(PI.1)
}

impl Quantity for Length {
    const NAME: &'static str = "a length";
    const EXAMPLE: &'static str = "73 mm";

    fn parse(text: &str) -> Result<Self, Wrong> {
        number::quantity(
            text,
            Self::NAME,
            Self::EXAMPLE,
            &[
                (&["mm"], MM as i128),
                (&["cm"], 10 * MM as i128),
                (&["m"], 1000 * MM as i128),
                (&["in", "in.", "inch", "inches", "\""], IN as i128),
                (&["pt"], PT as i128),
            ],
        )
        .map(Self)
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}
impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}
impl Mul<i64> for Length {
    type Output = Self;
    fn mul(self, n: i64) -> Self {
        Self(self.0.saturating_mul(n))
    }
}
impl Div<i64> for Length {
    type Output = Self;
    fn div(self, n: i64) -> Self {
        Self(self.0 / n)
    }
}
impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}
impl std::iter::Sum for Length {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Add::add)
    }
}
impl std::fmt::Display for Length {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.in_mm(2))
    }
}
/// Serialised as text in millimetres, cut at the micrometre: `1.587 mm`.
impl Serialize for Length {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.in_mm(3))
    }
}

/// An area in square units of [`Length`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Area(i128);

impl Area {
    /// Width times height.
    #[must_use]
    pub fn rectangle(width: Length, height: Length) -> Self {
        Self(i128::from(width.0) * i128::from(height.0))
    }
    /// A disc of this diameter, rounded up.
    #[must_use]
    pub fn disc(diameter: Length) -> Self {
        Self(times_pi_up(i128::from(diameter.0) * i128::from(diameter.0)) / 4 + 1)
    }
    /// `percent` of this area, rounded up.
    #[must_use]
    pub fn percent_rounded_up(self, percent: i128) -> Self {
        Self((self.0 * percent + 99).div_euclid(100))
    }
    /// Square inches, whole.
    #[must_use]
    pub const fn sq_in(n: i128) -> Self {
        Self(n * (IN as i128) * (IN as i128))
    }
    /// Thousandths of a square centimetre.
    #[must_use]
    pub const fn milli_cm2(n: i128) -> Self {
        Self(n * (10 * MM as i128) * (10 * MM as i128) / 1000)
    }
    /// In square centimetres, for messages.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "messages")]
    pub fn to_cm2_f64(self) -> f64 {
        self.0 as f64 / (100.0 * MM as f64 * MM as f64)
    }
    /// In square inches, for messages.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "messages")]
    pub fn to_sq_in_f64(self) -> f64 {
        self.0 as f64 / (IN as f64 * IN as f64)
    }
}
impl Serialize for Area {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&format!("{:.2} cm2", self.to_cm2_f64()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_least_length_is_never_shown_smaller() {
        assert_eq!(Length::inch(1, 8).least_in_mm(2), "3.18 mm");
        assert_eq!(Length::inch(1, 16).least_in_mm(3), "1.588 mm");
        assert_eq!(Length::um(1600).least_in_mm(2), "1.6 mm");
    }

    #[test]
    fn inch_point_and_millimetre_are_whole() {
        assert_eq!(Length::parse("1 in").unwrap(), Length::um(25_400));
        assert_eq!(Length::parse("72 pt").unwrap(), Length::inch(1, 1));
        assert_eq!(Length::parse("3/16 in").unwrap(), Length::inch(3, 16));
        assert_eq!(Length::inch(1, 16).in_mm(4), "1.5875 mm");
    }

    #[test]
    fn circles_round_up() {
        let c = Length::mm(100).circumference_rounded_up();
        assert!((c.to_mm_f64() - 314.159_265_358_979).abs() < 1e-4 && c.to_mm_f64() > 314.159_265);
    }
}
