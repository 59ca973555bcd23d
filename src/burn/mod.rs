//! The burn time that may be claimed from burn tests; after `product`.
//!
//! The claim is what the next candle will reach with 95 % confidence: the lower one-sided prediction bound
//! `mean - t(0.95, n-1) s sqrt(1 + 1/n)` over at least three candles of the recipe as sold, burnt to their stop line,
//! and of that the whole hours. A burn test at home is no laboratory's: nothing here certifies anything.

mod rate;

pub use rate::{Rate, rate};

use crate::find::Finding;
use crate::product::Product;
use crate::unit::Hours;
use serde::Serialize;
use statrs::distribution::{ContinuousCDF, StudentsT};
use std::fmt;

/// Fewest candles a claim can rest on.
pub const FEWEST: usize = 3;

/// A burn time the tests support.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Claim {
    /// What may be printed: whole hours, cut down from the bound.
    pub printed: Hours,
    /// The bound itself, cut at the second.
    pub bound: Hours,
    /// Mean of the tests, cut at the second.
    pub mean: Hours,
    /// Candles tested.
    pub candles: usize,
}

/// Why no burn time is stated.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Why {
    /// The tests were made with another recipe, wick or vessel.
    NotAsSold,
    /// Fewer than three candles.
    TooFew {
        /// Candles tested.
        tested: usize,
    },
    /// The candles differ so much, or burn so shortly, that not one whole hour can be promised.
    NotAnHour {
        /// The bound.
        bound: Hours,
    },
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotAsSold => f.write_str("the burn test is not marked `recipe: as sold`"),
            Self::TooFew { tested: 0 } => f.write_str("no candle was burnt to its stop line"),
            Self::TooFew { tested } => {
                write!(
                    f,
                    "{tested} burnt to the stop line {} too few, {FEWEST} are needed",
                    if *tested == 1 { "is" } else { "are" }
                )
            }
            Self::NotAnHour { bound } => {
                write!(f, "the tests are so short or so unlike that only {bound} can be promised")
            }
        }
    }
}

/// The burn time that may be printed after candles burnt `hours` to their stop line, `as_sold` if recipe, wick and
/// vessel were those sold. Whether the hours can be true at all is [`check`]'s to say.
///
/// # Errors
/// [`Why`] none may.
///
/// ```
/// use waxbill::{burn::claim, unit::{Hours, Quantity}};
/// let hours = ["68.5 h", "71 h", "66.2 h"].map(|h| Hours::parse(h).unwrap());
/// assert_eq!(claim(&hours, true).unwrap().printed, Hours::h(60));
/// assert!(claim(&hours[..2], true).is_err());
/// ```
pub fn claim(hours: &[Hours], as_sold: bool) -> Result<Claim, Why> {
    let too_few = Why::TooFew { tested: hours.len() };
    if hours.len() < FEWEST {
        return Err(too_few);
    }
    if !as_sold {
        return Err(Why::NotAsSold);
    }
    let (mean, bound) = prediction(hours).ok_or(too_few)?;
    let printed = Hours::h(bound.whole_h());
    if printed < Hours::h(1) {
        return Err(Why::NotAnHour { bound });
    }
    Ok(Claim { printed, bound, mean, candles: hours.len() })
}

/// Mean and lower one-sided 95 % prediction bound for one more candle; `None` below two candles.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "a handful of candles")]
pub fn prediction(hours: &[Hours]) -> Option<(Hours, Hours)> {
    let n = hours.len() as f64;
    if n < 2.0 {
        return None;
    }
    let mean = hours.iter().map(|h| h.to_h_f64()).sum::<f64>() / n;
    let squares: f64 = hours.iter().map(|h| (h.to_h_f64() - mean).powi(2)).sum();
    let spread = (squares / (n - 1.0)).sqrt();
    let bound = mean - t95(n - 1.0)? * spread * (1.0 + 1.0 / n).sqrt();
    Some((Hours::from_h_f64_down(mean), Hours::from_h_f64_down(bound)))
}

/// The 95 % quantile of Student's t.
fn t95(freedom: f64) -> Option<f64> {
    StudentsT::new(0.0, 1.0, freedom).ok().map(|t| t.inverse_cdf(0.95))
}

/// Findings on burn tests whose hours cannot be true, or hardly; silent when all is well.
#[must_use]
pub fn check(product: &Product) -> Vec<Finding> {
    let Some(test) = product.burn_test.as_ref() else { return Vec::new() };
    rate(product, &test.hours).and_then(|rate| rate.finding(&test.place)).into_iter().collect()
}

#[cfg(test)]
mod tests;
