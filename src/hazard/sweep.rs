//! How the classification changes with the load: every content at which label or names change; after `classify`.

use super::outcome::Classification;
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

/// Walks from no load to `most`, `at` classifying the mixture at a load of the total.
///
/// `candidates` are loads at which a single substance reaches a limit or a cut-off, computed from the limits. Between two
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
