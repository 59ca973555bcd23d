//! Which substances the label names: Article 18(3)(b) and Annex II, 2.8. Part of `hazard`.

use super::label::Law;

/// A substance of the mixture that may have to be named.
#[derive(Debug, Clone)]
pub struct Contributor<'a> {
    /// As it would be printed (Article 18(2)).
    pub name: &'a str,
    /// Statements of the mixture's classes it contributes to: `["H317"]`.
    pub causes: Vec<&'a str>,
    /// A sensitiser at or above its limit of elicitation (Table 3.4.6), whether or not it causes the class.
    pub elicits: bool,
    /// Content in the mixture, in any one unit: the larger comes first.
    pub content: i64,
}

/// The names in the order of printing.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Names {
    /// On the label.
    pub printed: Vec<String>,
    /// Contribute too, but four names suffice (Article 18(3), last part).
    pub left_out: Vec<String>,
}

/// As many names as suffice unless nature and severity of the hazards ask for more.
const SUFFICE: usize = 4;

/// Whether substances that contribute to a class with this statement are named. Not for skin and eye irritation, nor for
/// the environment except by Regulation (EU) 2023/707.
#[must_use]
pub fn names_for(h: &str, law: Law) -> bool {
    let h = h.trim();
    let number: Option<u32> = h.strip_prefix('H').and_then(|d| d.get(..3)).and_then(|d| d.parse().ok());
    match number {
        // Irritation, H315 and H319, is not among them.
        Some(300..=312 | 314 | 317 | 318 | 330..=336 | 340..=373) => true,
        Some(_) => false,
        None => {
            law == Law::Eu
                && matches!(h.strip_prefix("EUH"), Some("380" | "381" | "430" | "431" | "440" | "441" | "450" | "451"))
        }
    }
}

/// Chooses the names. Sensitisers are named without a cap, those that cause H334 or H317 first, then by content; of the
/// others so many that every class has one of its substances named, filled up to four.
///
/// ```
/// use waxbill::hazard::{label::Law, names::{Contributor, names}};
/// let of = |name, causes: &[&'static str], elicits, content| Contributor { name, causes: causes.to_vec(), elicits, content };
/// let chosen = names(&[of("citral", &[], true, 3), of("linalool", &["H317"], true, 16), of("wax", &[], false, 900)], Law::Eu);
/// assert_eq!(chosen.printed, ["linalool", "citral"]);
/// ```
#[must_use]
pub fn names(contributors: &[Contributor], law: Law) -> Names {
    let mut order: Vec<(&Contributor, Vec<&str>)> =
        contributors.iter().map(|c| (c, c.causes.iter().copied().filter(|h| names_for(h, law)).collect())).collect();
    let sensitises = |h: &[&str]| h.iter().any(|h| matches!(*h, "H317" | "H334"));
    order.retain(|(c, causes)| c.elicits || !causes.is_empty());
    order.sort_by_key(|(c, causes)| (!sensitises(causes), !c.elicits, std::cmp::Reverse(c.content), c.name));
    let mut chosen: Vec<bool> = order.iter().map(|(c, causes)| c.elicits || sensitises(causes)).collect();
    let mut classes: Vec<&str> = order.iter().flat_map(|(_, causes)| causes.iter().copied()).collect();
    classes.sort_unstable();
    classes.dedup();
    for class in classes {
        if !order.iter().zip(&chosen).any(|((_, causes), on)| *on && causes.contains(&class))
            && let Some(at) = order.iter().position(|(_, causes)| causes.contains(&class))
        {
            chosen[at] = true;
        }
    }
    for at in 0..order.len() {
        if chosen.iter().filter(|on| **on).count() < SUFFICE {
            chosen[at] = true;
        }
    }
    let mut names = Names::default();
    for ((c, _), on) in order.iter().zip(chosen) {
        let list = if on { &mut names.printed } else { &mut names.left_out };
        if !list.iter().any(|n| n == c.name) {
            list.push(c.name.to_owned());
        }
    }
    names
}
