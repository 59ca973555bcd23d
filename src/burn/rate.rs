//! Grams an hour that burn tests amount to, held against what candles burn; beside the claim.

use crate::find::{Evidence, Finding, Level, Place, Severity};
use crate::product::{Fill, Product};
use crate::unit::{Hours, Length, Mass};
use serde::Serialize;

/// Usual band for one wick, and what no wick burns, in grams an hour (common practice, no source; published
/// measurements on tapers and pillars run from 2.4 to 10 g/h).
const USUAL: (f64, f64) = (1.2, 12.0);
const IMPOSSIBLE: f64 = 30.0;

/// Grams an hour of one wick.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Rate {
    /// The candle that burned longest.
    pub lowest_g_per_h: f64,
    /// The candle that burned shortest.
    pub highest_g_per_h: f64,
}

impl Rate {
    /// A finding when a candle lies outside the usual band: an error where no wick burns like that.
    pub(super) fn finding(&self, test: &Place) -> Option<Finding> {
        let (level, rate, what) = if self.highest_g_per_h > IMPOSSIBLE {
            (Level::Error, self.highest_g_per_h, "more than any candle burns")
        } else if self.highest_g_per_h > USUAL.1 {
            (Level::Warning, self.highest_g_per_h, "unusually fast")
        } else if self.lowest_g_per_h < USUAL.0 {
            (Level::Warning, self.lowest_g_per_h, "unusually slow")
        } else {
            return None;
        };
        Some(
            Finding::of(
                "practice/burn-claim-evidence",
                level,
                Severity::Advice,
                Some(Evidence::Policy),
                format!("the burn tests mean {rate:.1} g an hour for each wick, which is {what}"),
                "check the hours, the fill (without vessel and wick) and the number of wicks; usual is 1.2 to 12 g an hour",
            )
            .at(test, "burn test"),
        )
    }
}

/// What `hours` mean in grams an hour and wick: the fill, less what stays below the stop line where the width is known.
///
/// `None` while the fill is only an estimate, or for a candle without wick or hours.
#[must_use]
pub fn rate(product: &Product, hours: &[Hours]) -> Option<Rate> {
    let Fill::Target(fill) = product.fill else { return None };
    let wicks = f64::from(product.wick.as_ref()?.count.max(1));
    let (shortest, longest) = (hours.iter().min()?.to_h_f64(), hours.iter().max()?.to_h_f64());
    let used = fill.to_g_f64() - below_stop(product).filter(|m| *m < fill).map_or(0.0, Mass::to_g_f64);
    // a test of no hours is a slip the band shows, not a division by nothing
    let per_hour = |h: f64| used / wicks / h.max(1.0 / 3600.0);
    Some(Rate { lowest_g_per_h: per_hour(longest), highest_g_per_h: per_hour(shortest) })
}

/// Wax left at the stop line: a disc of 0.90 g/ml (common practice, no source).
fn below_stop(product: &Product) -> Option<Mass> {
    let across: Length = match (&product.vessel, &product.size) {
        (Some(vessel), _) => vessel.inside?,
        (None, Some(size)) => size.diameter?,
        (None, None) => return None,
    };
    let stop = product.burn_test.as_ref().and_then(|t| t.stop).or(product.care.stop)?;
    let (across, stop) = (across.to_mm_f64() / 10.0, stop.to_mm_f64() / 10.0);
    let grams = 0.90 * std::f64::consts::FRAC_PI_4 * across * across * stop;
    #[expect(clippy::cast_possible_truncation, reason = "clamped before")]
    let milligrams = (grams * 1000.0).clamp(0.0, 1e9) as i64;
    Some(Mass::mg(milligrams))
}
