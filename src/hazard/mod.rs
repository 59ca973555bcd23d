//! Hazards of a mixture: from the classes of its ingredients to its own, with the reasons; after `find`, before `product`.
//!
//! [`classify`] takes a [`Mixture`] and answers a [`Classification`] under the rules of the EU ([`Rules::Clp`]), of Great
//! Britain ([`Rules::ClpGb`]) or of the UN GHS. Knows nothing of candles. Limits, cut-offs and dates are rows of
//! `rules/hazard/*.csv`; what stays code here is how they are added up.
//!
//! ```
//! use std::sync::Arc;
//! use waxbill::hazard::{Content, Ingredient, Mixture, Printed, Rules, Stated, Substance, classify};
//! use waxbill::unit::Share;
//! let Ok(Printed::Class(sensitiser)) = Stated::parse("Skin Sens. 1B, H317") else { unreachable!() };
//! let linalool = Substance { name: "linalool".into(), classes: vec![sensitiser], ..Substance::default() };
//! let mut candle = Mixture::solid("candle");
//! candle.ingredients.push(Ingredient { substance: Arc::new(linalool), content: Content::of(Share::percent(1)) });
//! let found = classify(&candle, Rules::Clp, jiff::civil::date(2026, 11, 25));
//! assert_eq!(found.classes[0].to_string(), "Skin Sens. 1, H317");
//! ```

mod acute;
mod class;
mod classify;
mod content;
pub mod elements;
mod harmonised;
pub mod label;
mod mixture;
pub mod names;
mod number;
mod outcome;
pub mod pack;
pub mod precaution;
pub mod statements;
mod sweep;
mod table;
pub mod ufi;
mod whole;

#[cfg(test)]
mod tests;

pub use class::{Group, HazardClass, Kind, Printed, Stated};
pub use classify::classify;
pub use content::Content;
pub use harmonised::{Harmonised, beside_harmonised, harmonised};
pub use mixture::{Dose, Ingredient, MFactors, Mixture, Route, SpecificLimit, State, Substance};
pub use number::{cas_holds, ec_holds};
pub use outcome::{Classification, Classified, Reason};
pub use sweep::{Step, sweep, thresholds};
pub use table::{Counts, Limit, limits};
pub use whole::Whole;

use crate::trade::words;

words! {
    /// Whose rules a mixture is classified under.
    Rules {
        /// Regulation (EC) No 1272/2008: European Union, and Northern Ireland.
        Clp = "clp",
        /// The same regulation as it holds in Great Britain since 2021: without the classes of 2023.
        ClpGb = "clp-gb",
        /// The UN system both rest on, where it goes further: category 5 of acute toxicity. No EUH statements.
        UnGhs = "un-ghs",
    }
}
