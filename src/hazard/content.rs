//! Contents and sums of the classification, exact to the limit; beneath `classify`.

use crate::unit::{Share, exact};
use std::fmt;

/// How much of a mixture is one substance, in parts per 10^15.
///
/// Finer than [`Share`], since a load of wax makes shares that do not end (9/109); what does not end is rounded up,
/// so that a content that reaches a limit is never lost to rounding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Content(i64);

const WHOLE: i64 = 1_000_000_000_000_000;
const PERCENT: i64 = WHOLE / 100;

impl Content {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    /// All of it.
    pub const WHOLE: Self = Self(WHOLE);

    /// A share as stated, exactly.
    #[must_use]
    pub const fn of(share: Share) -> Self {
        Self(share.to_ppb() * 1_000_000)
    }
    /// The content of a substance that is `share` of a material which itself is this content of the mixture; rounded up.
    #[must_use]
    pub fn times(self, share: Share) -> Self {
        let whole = i128::from(Share::WHOLE.to_ppb());
        let product = i128::from(self.0) * i128::from(share.to_ppb());
        Self(i64::try_from((product + whole - 1) / whole).unwrap_or(WHOLE))
    }
    /// From parts per 10^15; `None` below 0 or above the whole.
    #[must_use]
    pub fn parts(parts: i64) -> Option<Self> {
        (0..=WHOLE).contains(&parts).then_some(Self(parts))
    }
    /// In parts per 10^15.
    #[must_use]
    pub const fn to_parts(self) -> i64 {
        self.0
    }
    /// Together, at most the whole mixture a few times over (upper ends of ranges add up so).
    #[must_use]
    pub const fn plus(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
    /// A part of it, such as the tenth of a specific limit; cut off.
    #[must_use]
    pub const fn part(self, divisor: i64) -> Self {
        Self(if divisor > 0 { self.0 / divisor } else { self.0 })
    }
    /// What is left of the mixture beside this.
    #[must_use]
    pub fn rest(self) -> Self {
        Self((WHOLE - self.0).max(0))
    }
    /// In percent, for messages and answers.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "messages")]
    pub fn to_percent_f64(self) -> f64 {
        self.0 as f64 / PERCENT as f64
    }
    /// From a bare figure in percent, as tables have it: `0.25`.
    pub(super) fn percent(text: &str) -> Option<Self> {
        exact(text).ok()?.times_floor(i128::from(PERCENT)).and_then(Self::parts)
    }
}

/// Percent with at most six decimals, cut off: `0.1035 %`.
impl fmt::Display for Content {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let millionths = self.0 / (PERCENT / 1_000_000);
        if millionths == 0 && self.0 > 0 {
            return f.write_str("under 0.000001 %");
        }
        let text = format!("{}.{:06}", millionths / 1_000_000, millionths % 1_000_000);
        write!(f, "{} %", text.trim_end_matches('0').trim_end_matches('.'))
    }
}

/// A sum of fractions held against one: `sum(C_i / limit_i) >= 1`.
///
/// Equal limits are added up first, as whole numbers. Where different limits have no common denominator within 127 bits,
/// the sum falls back to floating point and counts as reached from 1 - 10^-12 on, which is the stricter side.
#[derive(Debug, Clone, Default)]
pub(super) struct Sum {
    groups: Vec<(i128, i128)>,
}

impl Sum {
    /// Adds `amount / limit`. A limit of nothing is reached by anything.
    pub(super) fn add(&mut self, amount: i128, limit: i128) {
        let limit = limit.max(1);
        match self.groups.iter_mut().find(|(l, _)| *l == limit) {
            Some((_, sum)) => *sum = sum.saturating_add(amount),
            None => self.groups.push((limit, amount)),
        }
    }

    /// Whether the sum is at least one.
    pub(super) fn reaches_one(&self) -> bool {
        self.exactly().unwrap_or_else(|| self.as_f64() >= 1.0 - 1e-12)
    }

    fn exactly(&self) -> Option<bool> {
        let (mut num, mut den) = (0_i128, 1_i128);
        for (limit, amount) in &self.groups {
            let shared = gcd(*amount, *limit);
            let (amount, limit) = (amount / shared, limit / shared);
            let common = gcd(den, limit);
            let factor = limit / common;
            num = num.checked_mul(factor)?.checked_add(amount.checked_mul(den / common)?)?;
            den = den.checked_mul(factor)?;
        }
        Some(num >= den)
    }

    /// About how large the sum is.
    #[expect(clippy::cast_precision_loss, reason = "messages; the decision is taken exactly wherever that fits")]
    pub(super) fn as_f64(&self) -> f64 {
        self.groups.iter().map(|(limit, amount)| *amount as f64 / *limit as f64).sum()
    }
}

fn gcd(a: i128, b: i128) -> i128 {
    let (mut a, mut b) = (a.unsigned_abs(), b.unsigned_abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    i128::try_from(a).unwrap_or(1).max(1)
}

#[cfg(test)]
mod tests {
    use super::{Content, Sum};
    use crate::unit::Share;

    #[test]
    fn contents_are_exact_where_they_end_and_rounded_up_where_not() {
        let load = Content::of(Share::percent(8));
        assert_eq!(load.times(Share::ppb(12_500_000).unwrap()), Content::percent("0.1").unwrap());
        let third = Content::parts(333_333_333_333_334).unwrap(); // a third, rounded up
        assert!(third.times(Share::percent(3)) >= Content::percent("1").unwrap());
        assert_eq!(Content::percent("0.1035").unwrap().to_string(), "0.1035 %");
        assert_eq!(Content::percent("100").unwrap().to_string(), "100 %");
        assert_eq!(Content::parts(1).unwrap().to_string(), "under 0.000001 %");
    }

    #[test]
    fn a_sum_reaches_one_neither_too_early_nor_too_late() {
        let sum = |terms: &[(i128, i128)]| {
            let mut sum = Sum::default();
            for (amount, limit) in terms {
                sum.add(*amount, *limit);
            }
            sum.reaches_one()
        };
        assert!(sum(&[(1, 3), (1, 3), (1, 3)]));
        assert!(sum(&[(1, 3), (1, 6), (1, 2)]));
        assert!(!sum(&[(1, 3), (1, 6), (499_999_999, 1_000_000_000)]));
        assert!(!sum(&[]));
        // no common denominator fits: floating point decides
        let primes = [1_000_000_007_i128, 998_244_353, 1_000_000_009, 999_999_937, 999_999_929, 999_999_893];
        let many: Vec<(i128, i128)> = primes.iter().map(|p| (p / 6 + 1, *p)).collect();
        assert!(sum(&many));
        let fewer: Vec<(i128, i128)> = primes.iter().map(|p| (p / 6 - 9, *p)).collect();
        assert!(!sum(&fewer));
    }
}
