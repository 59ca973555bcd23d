//! Loads and grams for N candles; after `product`.
//!
//! `formula` turns loads on either basis into exact shares, `limit` holds them against what wax and fragrance allow,
//! `mixture` takes the materials apart into their substances for the hazard classification,
//! `pour` rounds them to what the scales can read and splits them by pitcher.

mod formula;
mod limit;
mod mixture;
mod pour;
mod ratio;
mod weigh;

pub use formula::{Formula, FormulaLine, formula};
pub use limit::{Limit, limits, over_limits};
pub use mixture::{Blend, at_load, blend, mixture, mixture_as_weighed};
pub use pour::{Pour, PourLine, pour};
pub use ratio::Ratio;

use crate::find::Finding;
use crate::product::Product;
use crate::unit::Share;

/// Everything that can be said of a recipe's loads before a number of candles is known.
///
/// The formula is `None` when the loads cannot be brought together; the findings then say why.
#[must_use]
pub fn check(product: &Product) -> (Option<Formula>, Vec<Finding>) {
    match formula(product) {
        Ok(formula) => {
            let findings = over_limits(product, &formula);
            (Some(formula), findings)
        }
        Err(finding) => (None, vec![finding]),
    }
}

/// The share of each line in the finished candle, in the recipe's order, cut off; empty when the loads leave no wax.
#[must_use]
pub fn shares(product: &Product) -> Vec<Share> {
    formula(product).map_or_else(|_| Vec::new(), |f| f.lines.iter().map(|l| l.of_total.share()).collect())
}
