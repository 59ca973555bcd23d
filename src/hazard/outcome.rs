//! What classifying answers: classes with reasons, names for the label, what is unknown; after `classify`.

use super::class::HazardClass;
use super::mixture::{Route, Substance};
use super::{Content, Rules};
use jiff::civil::Date;
use serde::{Serialize, Serializer};
use std::fmt;
use std::sync::Arc;

/// The hazards of a mixture.
#[derive(Debug, Clone)]
pub struct Classification {
    /// Under which rules.
    pub rules: Rules,
    /// As the rules stand on this day.
    pub date: Date,
    /// Its classes, in the order of the regulation.
    pub classes: Vec<Classified>,
    /// Sensitisers to name in the sentence of EUH208, largest first; empty when the mixture is itself classified.
    pub euh208: Vec<Reason>,
    /// Sensitisers to name on the label of a mixture that is classified as sensitising by others (Annex II 2.8).
    pub also_named: Vec<Reason>,
    /// Acute toxicity estimates of the mixture, by route, in mg/kg, mg/l or ppmV.
    pub ate_mix: Vec<(Route, f64)>,
    /// Ingredients from 1 % whose acute toxicity by some route is unknown, together, of the route with the most.
    pub unknown: Content,
    /// What cannot be said or was assumed.
    pub warnings: Vec<String>,
}

impl Classification {
    /// Codes of the supplemental statements: `EUH208`, and those of the classes that have no other (`EUH380`).
    #[must_use]
    pub fn euh(&self) -> Vec<String> {
        let of_classes = self.classes.iter().map(|c| c.code.as_str()).filter(|c| c.starts_with("EUH"));
        let sentence = (!self.euh208.is_empty()).then_some("EUH208");
        sentence.into_iter().chain(of_classes).map(str::to_owned).collect()
    }
    /// Classes that bar the mixture from sale to the public: no label is made for it.
    #[must_use]
    pub fn not_for_the_public(&self) -> Vec<&Classified> {
        self.classes.iter().filter(|c| c.class.bars_public_sale()).collect()
    }
    /// Classes, EUH208 names and other names as one value: what a change of load changes on the label.
    #[must_use]
    pub fn signature(&self) -> (Vec<String>, Vec<&str>, Vec<&str>) {
        fn names(reasons: &[Reason]) -> Vec<&str> {
            let mut names: Vec<&str> = reasons.iter().map(Reason::name).collect();
            names.sort_unstable();
            names
        }
        (self.classes.iter().map(ToString::to_string).collect(), names(&self.euh208), names(&self.also_named))
    }
}

/// A class of the mixture.
#[derive(Debug, Clone)]
pub struct Classified {
    /// Which.
    pub class: HazardClass,
    /// Its statement with its letters: `H361d`.
    pub code: String,
    /// The substances it comes from, largest first.
    pub because: Vec<Reason>,
    /// Where the substances add up: what they come to, 1 being the limit.
    pub sum: Option<f64>,
    /// Organs named with the substances' own classes.
    pub organs: Vec<String>,
}

impl fmt::Display for Classified {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.class.abbreviation(), self.code)
    }
}
/// Serialised as printed: `Skin Sens. 1, H317`.
impl Serialize for Classified {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

/// A substance that causes a class or has to be named.
#[derive(Debug, Clone)]
pub struct Reason {
    /// Which.
    pub substance: Arc<Substance>,
    /// How much of it the mixture holds.
    pub content: Content,
    /// The limit it is held against; `None` where its dose or the pH decides.
    pub limit: Option<Content>,
    /// Whether the limit is a specific one of the substance.
    pub is_specific: bool,
    /// M factor it was multiplied by.
    pub m: Option<u32>,
    /// How many times the limit is reached, M factor included: 1 is exactly at the limit. In a sum: its part of it.
    pub times: f64,
}

impl Reason {
    /// Its name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.substance.name
    }
}
