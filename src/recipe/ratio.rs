//! An exact share of a whole as a fraction of whole numbers; beneath `formula`.

use crate::hazard::Content;
use crate::unit::{Mass, Share};
use std::cmp::Ordering;

/// A fraction from 0 to 1. Both ends stay below 2^94, see [`Ratio::of`].
#[derive(Debug, Clone, Copy)]
pub struct Ratio {
    num: i128,
    den: i128,
}

impl Ratio {
    pub(super) const fn new(num: i128, den: i128) -> Self {
        Self { num, den }
    }

    /// This share of `whole`, cut off at a whole nanogram.
    ///
    /// The product of a mass (below 2^63) and a numerator (below 2^94) does not fit an `i128`;
    /// the division is done in two steps of 31 bits instead, and stays exact.
    #[must_use]
    pub fn of(self, whole: Mass) -> Mass {
        let whole = i128::from(whole.to_ng());
        let (high, low) = (whole >> 31, whole & ((1 << 31) - 1));
        let (quotient, rest) = ((high * self.num) / self.den, (high * self.num) % self.den);
        let ng = (quotient << 31) + ((rest << 31) + low * self.num) / self.den;
        Mass::ng(i64::try_from(ng).unwrap_or(i64::MAX / 64))
    }

    /// As parts per 10^9, cut off.
    #[must_use]
    pub fn share(self) -> Share {
        i64::try_from(self.num * 1_000_000_000 / self.den).ok().and_then(Share::ppb).unwrap_or(Share::WHOLE)
    }

    /// As a content of the mixture: parts per 10^15, rounded up so that a limit reached is not lost.
    #[must_use]
    pub fn content(self) -> Content {
        let (mut parts, mut rest) = (self.num / self.den, self.num % self.den);
        for _ in 0..15 {
            rest *= 10;
            (parts, rest) = (parts * 10 + rest / self.den, rest % self.den);
        }
        let parts = parts + i128::from(rest > 0);
        i64::try_from(parts).ok().and_then(Content::parts).unwrap_or(Content::WHOLE)
    }

    /// Compared with a share as stated.
    #[must_use]
    pub fn against(self, share: Share) -> Ordering {
        (self.num * 1_000_000_000).cmp(&(i128::from(share.to_ppb()) * self.den))
    }

    pub(super) const fn num(self) -> i128 {
        self.num
    }
    pub(super) const fn den(self) -> i128 {
        self.den
    }
}

#[cfg(test)]
mod tests {
    use super::Ratio;
    use crate::hazard::Content;
    use crate::unit::Mass;

    #[test]
    fn large_fractions_stay_exact() {
        let den = 2_000_000_000_000_000_000_000_000_000; // the largest the formula makes
        assert_eq!(Ratio::new(den, den).of(Mass::g(100_000)), Mass::g(100_000));
        assert_eq!(Ratio::new(den / 4, den).of(Mass::g(100_000)), Mass::g(25_000));
        assert_eq!(Ratio::new(1, 3).of(Mass::ng(100)), Mass::ng(33));
        assert_eq!(Ratio::new(den - 1, den).of(Mass::ng(7)), Mass::ng(6));
    }

    #[test]
    fn contents_are_rounded_up_at_the_fifteenth_place_only() {
        assert_eq!(Ratio::new(1, 8).content().to_parts(), 125_000_000_000_000);
        assert_eq!(Ratio::new(9, 109).content().to_parts(), 82_568_807_339_450); // 0.082568807339449541…
        assert_eq!(Ratio::new(1, 1).content(), Content::WHOLE);
        assert_eq!(Ratio::new(0, 7).content(), Content::ZERO);
    }
}
