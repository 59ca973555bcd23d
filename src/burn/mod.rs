//! The burn time that may be claimed from burn tests; after `product`.
//!
//! The claim is what the next candle will reach with 95 % confidence: the lower one-sided prediction bound
//! `mean - t(0.95, n-1) s sqrt(1 + 1/n)` over at least three candles of the recipe as sold, burnt to their stop line,
//! and of that the whole hours. A burn test at home is no laboratory's: nothing here certifies anything.

mod rate;

pub use rate::{Rate, rate};

use crate::find::{Finding, Level};
use crate::product::Product;
use crate::trade::{Evidence, Severity};
use crate::unit::Hours;
use serde::Serialize;
use statrs::distribution::{ContinuousCDF, StudentsT};

/// Fewest candles a claim can rest on.
pub const FEWEST: usize = 3;

/// A burn time the tests support.
#[derive(Debug, Clone, Serialize)]
pub struct Claim {
    /// What may be printed: whole hours, cut down from the bound.
    pub printed: Hours,
    /// The bound itself, cut at the second.
    pub bound: Hours,
    /// Mean of the tests.
    pub mean: Hours,
    /// Candles tested.
    pub candles: usize,
    /// Slowest and fastest candle, where the fill is known well enough.
    pub rate: Option<Rate>,
}

/// Why no burn time is stated.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Why {
    /// It has no flame.
    NoFlame,
    /// No candle was tested.
    NoTest,
    /// The tests were made with another recipe, wick or vessel.
    NotAsSold,
    /// Fewer than three candles.
    TooFew {
        /// Candles tested.
        tested: usize,
    },
    /// No candle burns that fast: hours, fill or tare are wrong.
    ImpossibleRate {
        /// Grams an hour and wick, as text.
        rate: String,
    },
    /// The candles differ so much, or burn so shortly, that not one whole hour can be promised.
    NotAnHour {
        /// The bound.
        bound: Hours,
    },
}

/// The burn time that may be printed for `product`.
///
/// # Errors
/// [`Why`] none may.
pub fn claim(product: &Product) -> Result<Claim, Why> {
    if !product.kind.burns() {
        return Err(Why::NoFlame);
    }
    let test = product.burn_test.as_ref().filter(|t| !t.hours.is_empty()).ok_or(Why::NoTest)?;
    if !test.as_sold {
        return Err(Why::NotAsSold);
    }
    if test.hours.len() < FEWEST {
        return Err(Why::TooFew { tested: test.hours.len() });
    }
    let rate = rate(product, &test.hours);
    if let Some(fastest) = rate.filter(|r| r.is_impossible()) {
        return Err(Why::ImpossibleRate { rate: fastest.highest_text() });
    }
    let (mean, bound) = prediction(&test.hours).ok_or(Why::TooFew { tested: test.hours.len() })?;
    let printed = Hours::h(bound.whole_h());
    if printed < Hours::h(1) {
        return Err(Why::NotAnHour { bound });
    }
    Ok(Claim { printed, bound, mean, candles: test.hours.len(), rate })
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

/// What the maker should hear about burn tests and claim; silent when all is well.
#[must_use]
pub fn findings(product: &Product) -> Vec<Finding> {
    match claim(product) {
        Ok(claim) => claim.rate.and_then(|r| r.unusual(product)).into_iter().collect(),
        Err(why) => why.finding(product).into_iter().collect(),
    }
}

impl Why {
    /// The reason in words, for the label's account and for findings.
    #[must_use]
    pub fn reason(&self) -> String {
        match self {
            Self::NoFlame => "it has no flame".to_owned(),
            Self::NoTest => "no burn test stands in the product file".to_owned(),
            Self::NotAsSold => "the burn test is not marked `recipe: as sold`".to_owned(),
            Self::TooFew { tested } => format!("{tested} burn tests are too few: {FEWEST} are needed"),
            Self::ImpossibleRate { rate } => {
                format!("the tests would mean {rate} for each wick, which no candle burns")
            }
            Self::NotAnHour { bound } => format!("the tests differ so much that only {bound} can be promised"),
        }
    }

    /// The finding for it; none for what has no flame.
    #[must_use]
    pub fn finding(&self, product: &Product) -> Option<Finding> {
        let (level, cure) = match self {
            Self::NoFlame => return None,
            Self::NoTest => (
                Level::Note,
                "burn at least three candles to their stop line and write `burn test: {hours to stop line: [44.5, 46, 43.2], recipe: as sold}`",
            ),
            Self::NotAsSold => (
                Level::Warning,
                "test the candle with wax, load, wick and vessel as sold, then write `recipe: as sold`",
            ),
            Self::TooFew { .. } => {
                (Level::Warning, "burn more candles to their stop line; five give a far better figure than three")
            }
            Self::ImpossibleRate { .. } => {
                (Level::Error, "check the hours, the fill (without vessel and wick) and the number of wicks")
            }
            Self::NotAnHour { .. } => {
                (Level::Warning, "look for what differs between the candles, and test more of them")
            }
        };
        let place = product.burn_test.as_ref().map_or_else(|| product.places.of("burn test"), |t| &t.place);
        Some(
            Finding::of(
                "burn/no-claim",
                level,
                Severity::Policy,
                Some(Evidence::Policy),
                format!("no burn time is stated: {}", self.reason()),
                cure,
            )
            .at(place, "burn test"),
        )
    }
}

#[cfg(test)]
mod tests;
