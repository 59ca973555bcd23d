//! Loads and grams for N candles; after `product`.
//!
//! `formula` turns loads on either basis into exact shares, `limit` holds them against what wax and fragrance allow,
//! `pour` rounds them to what the scales can read and splits them by pitcher.

mod formula;
mod limit;
mod pour;
mod practice;
mod ratio;
mod weigh;

pub use formula::{Formula, FormulaLine, formula};
pub use limit::{Limit, limits, over_limits};
pub use pour::{Pour, PourLine, pour};
pub use practice::practice;
pub use ratio::Ratio;

use crate::find::Finding;
use crate::product::Product;

/// Everything that can be said of a recipe before a number of candles is known.
///
/// The formula is `None` when the loads cannot be brought together; the findings then say why.
#[must_use]
pub fn check(product: &Product) -> (Option<Formula>, Vec<Finding>) {
    let mut findings = practice(product);
    match formula(product) {
        Ok(formula) => {
            findings.extend(over_limits(product, &formula));
            (Some(formula), findings)
        }
        Err(finding) => {
            findings.push(finding);
            (None, findings)
        }
    }
}

#[cfg(test)]
pub(crate) mod example;
