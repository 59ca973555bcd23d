//! A mixture and its ingredients, as a safety data sheet or a recipe gives them; before `classify`.

use super::Content;
use super::class::{HazardClass, Stated};
use crate::trade::words;
use crate::unit::Exact;
use serde::Serialize;
use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

words! {
    /// State at 20 °C (Annex I 1.0). A wax candle or melt is a solid.
    State {
        /// Neither liquid nor gas.
        Solid = "solid",
        /// Melts at 20 °C or below.
        Liquid = "liquid",
        /// Gas.
        Gas = "gas",
    }
}

words! {
    /// How a poison gets in, with the form of what is breathed.
    Route {
        /// By mouth.
        Oral = "oral",
        /// Through the skin.
        Dermal = "dermal",
        /// Breathed as vapour.
        Vapour = "vapour",
        /// Breathed as dust or mist.
        Dust = "dust",
        /// Breathed as gas.
        Gas = "gas",
    }
}

impl Route {
    /// Unit of its doses.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Oral | Self::Dermal => "mg/kg",
            Self::Vapour | Self::Dust => "mg/l",
            Self::Gas => "ppmV",
        }
    }
    /// Its place in lists by route.
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }
}

/// A figure with six decimals: a dose in mg/kg, mg/l or ppmV, a viscosity in mm²/s, a pH.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Dose(i64);

impl Dose {
    /// From a number as written; `None` beyond 10^12.
    #[must_use]
    pub fn of(number: Exact) -> Option<Self> {
        number.times_floor(1_000_000).filter(|n| *n <= 1_000_000_000_000_000_000).map(Self)
    }
    /// A whole number.
    #[must_use]
    pub const fn whole(number: i32) -> Self {
        Self(number as i64 * 1_000_000)
    }
    /// In millionths.
    #[must_use]
    pub const fn to_millionths(self) -> i64 {
        self.0
    }
    /// For messages and answers.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "messages")]
    pub fn to_f64(self) -> f64 {
        self.0 as f64 / 1e6
    }
}

impl fmt::Display for Dose {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.to_f64())
    }
}

/// The two multiplying factors of substances very toxic to water (Annex I Table 4.1.3).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct MFactors {
    /// For Aquatic Acute 1.
    pub acute: Option<u32>,
    /// For Aquatic Chronic 1.
    pub chronic: Option<u32>,
}

/// A specific concentration limit: it takes the place of the generic one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpecificLimit {
    /// The class it is for; where several share the abbreviation, the first of them.
    pub class: HazardClass,
    /// Only for this statement, where the limit names one.
    pub code: Option<String>,
    /// From this content on.
    pub from: Content,
}

impl SpecificLimit {
    /// Whether it is for this class of a mixture.
    pub(super) fn is_for(&self, class: HazardClass) -> bool {
        self.class.abbreviation() == class.abbreviation()
            && self.code.as_deref().is_none_or(|code| code.starts_with(class.code()))
    }
}

/// One substance with everything known of its hazards.
#[derive(Debug, Clone, Default)]
pub struct Substance {
    /// As the sheet prints it, or its identity in the list of the law.
    pub name: String,
    /// CAS number.
    pub cas: Option<String>,
    /// EC number.
    pub ec: Option<String>,
    /// Classes.
    pub classes: Vec<Stated>,
    /// Supplemental statements printed among the classes (`EUH066`).
    pub supplemental: Vec<String>,
    /// Specific limits.
    pub limits: Vec<SpecificLimit>,
    /// M factors.
    pub m: MFactors,
    /// Acute toxicity estimates, by [`Route`].
    pub ate: [Option<Dose>; 5],
    /// Doses up to which a limit test showed nothing, by [`Route`].
    pub tested_above: [Option<Dose>; 5],
    /// Routes of which nothing is known, by [`Route`].
    pub unknown_toxicity: [bool; 5],
    /// pH of the substance as used.
    pub ph: Option<Dose>,
    /// Whether its effects on skin and eyes add up with others'; `None`: they do.
    pub additive: Option<bool>,
}

/// One substance of a mixture.
#[derive(Debug, Clone)]
pub struct Ingredient {
    /// What.
    pub substance: Arc<Substance>,
    /// How much of the mixture; of a range the upper end.
    pub content: Content,
}

/// A mixture to classify.
#[derive(Debug, Clone)]
pub struct Mixture {
    /// What it is called.
    pub name: String,
    /// At 20 °C.
    pub state: State,
    /// Kinematic viscosity at 40 °C in mm²/s.
    pub viscosity: Option<Dose>,
    /// Whether effects on skin and eyes add up.
    pub additive: bool,
    /// pH of the whole.
    pub ph: Option<Dose>,
    /// What is in it; the same substance may stand more than once.
    pub ingredients: Vec<Ingredient>,
}

impl Mixture {
    /// An empty solid mixture.
    #[must_use]
    pub fn solid(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            state: State::Solid,
            viscosity: None,
            additive: true,
            ph: None,
            ingredients: Vec::new(),
        }
    }

    /// The ingredients with every substance once: the same CAS or EC number is the same substance, and so is the same
    /// name where one of the two has no number. Largest first.
    pub(super) fn merged(&self) -> Vec<Ingredient> {
        let roots = self.roots();
        if roots.iter().enumerate().all(|(at, root)| at == *root) {
            let mut all = self.ingredients.clone();
            all.sort_by(larger);
            return all;
        }
        let mut together: BTreeMap<usize, Vec<&Ingredient>> = BTreeMap::new();
        for (ingredient, root) in self.ingredients.iter().zip(roots) {
            together.entry(root).or_default().push(ingredient);
        }
        let mut merged: Vec<Ingredient> = together.into_values().map(|same| one(&same)).collect();
        merged.sort_by(larger);
        merged
    }

    /// For every ingredient the first one that is the same substance.
    fn roots(&self) -> Vec<usize> {
        let mut roots: Vec<usize> = (0..self.ingredients.len()).collect();
        let mut by_number: BTreeMap<(bool, &str), usize> = BTreeMap::new();
        let mut by_name: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (at, ingredient) in self.ingredients.iter().enumerate() {
            let substance = &ingredient.substance;
            for (is_cas, number) in [(true, &substance.cas), (false, &substance.ec)] {
                if let Some(number) = number {
                    let other = *by_number.entry((is_cas, number)).or_insert(at);
                    join(&mut roots, at, other);
                }
            }
        }
        let numbered = |at: usize| {
            let s = &self.ingredients[at].substance;
            s.cas.is_some() || s.ec.is_some()
        };
        // where every one has a number, names say nothing more
        if (0..roots.len()).any(|at| !numbered(at)) {
            for (at, ingredient) in self.ingredients.iter().enumerate() {
                by_name.entry(ingredient.substance.name.trim().to_lowercase()).or_default().push(at);
            }
        }
        for same in by_name.values().filter(|same| same.len() > 1) {
            let first = same.iter().copied().find(|at| numbered(*at)).unwrap_or(same[0]);
            for at in same.iter().copied().filter(|at| !numbered(*at)) {
                join(&mut roots, at, first);
            }
        }
        (0..roots.len()).map(|at| root(&roots, at)).collect()
    }
}

/// Largest first, then by name.
fn larger(a: &Ingredient, b: &Ingredient) -> Ordering {
    b.content.cmp(&a.content).then_with(|| a.substance.name.cmp(&b.substance.name))
}

fn root(roots: &[usize], mut at: usize) -> usize {
    while roots[at] != at {
        at = roots[at];
    }
    at
}

fn join(roots: &mut [usize], a: usize, b: usize) {
    let (a, b) = (root(roots, a), root(roots, b));
    roots[a.max(b)] = a.min(b);
}

/// The same substance from several sources: contents added up, of differing data the stricter.
fn one(same: &[&Ingredient]) -> Ingredient {
    let mut same = same.to_vec();
    same.sort_by(|a, b| larger(a, b));
    // Upper ends of ranges may come to more than there can be.
    let content = same.iter().fold(Content::ZERO, |sum, i| sum.plus(i.content)).min(Content::WHOLE);
    let Some((first, others)) = same.split_first().filter(|(_, others)| !others.is_empty()) else {
        return same.first().map_or_else(
            || Ingredient { substance: Arc::default(), content },
            |only| Ingredient { substance: Arc::clone(&only.substance), content },
        );
    };
    let mut all = Substance::clone(&first.substance);
    for other in others.iter().map(|i| &i.substance).filter(|s| !Arc::ptr_eq(s, &first.substance)) {
        all.classes.extend(other.classes.iter().cloned());
        all.supplemental.extend(other.supplemental.iter().cloned());
        all.limits.extend(other.limits.iter().cloned());
        all.cas = all.cas.or_else(|| other.cas.clone());
        all.ec = all.ec.or_else(|| other.ec.clone());
        all.m = MFactors { acute: all.m.acute.max(other.m.acute), chronic: all.m.chronic.max(other.m.chronic) };
        for route in Route::ALL.iter().map(|r| r.index()) {
            let lower = |a: Option<Dose>, b: Option<Dose>| a.into_iter().chain(b).min();
            all.ate[route] = lower(all.ate[route], other.ate[route]);
            all.tested_above[route] = lower(all.tested_above[route], other.tested_above[route]);
            all.unknown_toxicity[route] |= other.unknown_toxicity[route];
        }
        all.ph = all.ph.or(other.ph);
        all.additive = match (all.additive, other.additive) {
            (Some(false), _) | (_, Some(false)) => Some(false),
            (a, b) => a.or(b),
        };
    }
    all.classes.sort();
    all.classes.dedup();
    all.supplemental.sort();
    all.supplemental.dedup();
    Ingredient { substance: Arc::new(all), content }
}
