//! How the classification changes with the load: every content at which label or names change; after `classify`.

use super::classify::{limit_of, m_of, specific};
use super::mixture::Mixture;
use super::outcome::Classification;
use super::table::{Counts, TABLES};
use crate::unit::Share;

/// From a load on, something else is on the label.
#[derive(Debug, Clone)]
pub struct Step {
    /// The lowest load with this classification, of the total.
    pub from: Share,
    /// What holds from there to the next step.
    pub classification: Classification,
    /// Substances that brought the change.
    pub because: Vec<String>,
}

/// The loads at which a substance of `fragrance` by itself reaches a limit, a tenth of its specific limit or a cut-off:
/// limit divided by its share of the fragrance, rounded up to one part in 10^9.
#[must_use]
pub fn thresholds(fragrance: &Mixture) -> Vec<Share> {
    let mut loads = Vec::new();
    for ingredient in fragrance.merged() {
        let substance = &ingredient.substance;
        let content = i128::from(ingredient.content.to_parts()).max(1);
        let mut reach = |limit: i128, m: u32| {
            let (limit, whole) = (limit * i128::from(Share::WHOLE.to_ppb()), content * i128::from(m.max(1)));
            let load = (limit + whole - 1) / whole;
            loads.extend(i64::try_from(load).ok().and_then(Share::ppb));
        };
        for stated in &substance.classes {
            let m = m_of(substance, stated.class);
            for row in TABLES.limits.iter().filter(|l| l.ingredient == stated.class && l.holds_for(fragrance.state)) {
                let own = specific(substance, row.mixture);
                let (limit, _) = limit_of(substance, row);
                match row.counts {
                    Counts::Elicits => reach(i128::from(own.map_or(row.from, |own| own.part(10)).to_parts()), 1),
                    Counts::InASumTimesM => reach(i128::from(limit.to_parts()), m),
                    _ => reach(i128::from(limit.to_parts()), 1),
                }
            }
            if let Some(cut_off) = TABLES.cut_offs[stated.class.index()] {
                reach(i128::from(cut_off.from.to_parts()), if cut_off.divided_by_m { m } else { 1 });
            }
        }
    }
    loads.sort_unstable();
    loads.dedup();
    loads
}

/// Walks from no load to `most`, `at` classifying the mixture at a load of the total.
///
/// `candidates` are loads where a change is likely, from [`thresholds`]. Between two
/// neighbours among them whose classifications differ, the change is searched down to one part in 10^9, so every
/// [`Step::from`] is the first load at which `at` gives what the step says.
pub fn sweep(at: impl Fn(Share) -> Classification, candidates: &[Share], most: Share) -> Vec<Step> {
    /// Points looked at beside the candidates, should something rise and fall between two of them.
    const GRID: i64 = 40;
    let mut points: Vec<i64> = (0..=GRID).map(|n| most.to_ppb() / GRID * n).chain([most.to_ppb()]).collect();
    for point in candidates.iter().map(|c| c.to_ppb()).filter(|p| *p <= most.to_ppb()) {
        points.extend([point.saturating_sub(1).max(0), point]);
    }
    points.sort_unstable();
    points.dedup();
    let of = |ppb: i64| at(Share::ppb(ppb).unwrap_or(most));
    let mut before = of(0);
    let mut steps = vec![Step { from: Share::ZERO, because: Vec::new(), classification: before.clone() }];
    let mut last = 0;
    for point in points {
        let here = of(point);
        while here.signature() != before.signature() {
            // the first load above `last` that differs from `before`
            let (mut low, mut high) = (last, point);
            while high - low > 1 {
                let middle = low + (high - low) / 2;
                if of(middle).signature() == before.signature() { low = middle } else { high = middle }
            }
            let changed = of(high);
            let because = causes(&before, &changed);
            steps.push(Step { from: Share::ppb(high).unwrap_or(most), because, classification: changed.clone() });
            (before, last) = (changed, high);
        }
        last = point;
    }
    steps
}

/// Substances named or reaching a limit now that did not before; where a sum was reached, the largest part of it.
fn causes(before: &Classification, now: &Classification) -> Vec<String> {
    let mut names = Vec::new();
    for class in &now.classes {
        let old = before.classes.iter().find(|c| c.to_string() == class.to_string());
        match (old, class.sum) {
            (Some(old), None) => {
                let had = |name: &str| old.because.iter().any(|r| r.name() == name);
                names.extend(class.because.iter().map(|r| r.name().to_owned()).filter(|n| !had(n)));
            }
            (Some(_), Some(_)) => {}
            (None, None) => names.extend(class.because.iter().map(|r| r.name().to_owned())),
            (None, Some(_)) => {
                let largest = class.because.iter().max_by(|a, b| a.times.total_cmp(&b.times));
                names.extend(largest.map(|r| r.name().to_owned()));
            }
        }
    }
    for (new, old) in [(&now.euh208, &before.euh208), (&now.also_named, &before.also_named)] {
        let had = |name: &str| old.iter().chain(&before.euh208).chain(&before.also_named).any(|r| r.name() == name);
        names.extend(new.iter().map(|r| r.name().to_owned()).filter(|n| !had(n)));
    }
    names.sort();
    names.dedup();
    names
}
