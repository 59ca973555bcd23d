//! Holds a statement in one language against the same in another, as both are printed: which is larger, which comes first.
//!
//! Charter of the French language (Quebec), s. 51, second hand: no other language stands out more than French. In the rest
//! of Canada one size for both is our own choice (C.R.C. c. 417, s. 6(8) asks it of panels of one language each).

use super::matching::Found;
use super::seen::{Area, SeenPage};
use super::space;
use crate::find::{Finding, Level, OnPage};
use crate::plan::{Content, Equal, Item, Part};
use crate::trade::{Lang, Severity};

/// Sizes that differ by less are alike: files round them to about a thousandth.
const ALIKE: f64 = 0.005;

/// Lines whose ink begins within so many mm of each other stand level: accents reach higher than small letters.
const LEVEL: f64 = 0.8;

/// A statement as printed.
struct Printed<'a> {
    item: &'a Item,
    lang: Lang,
    /// The smallest and the largest size of type in it.
    em: (f64, f64),
    /// Every letter of it.
    bold: bool,
    /// Its ink.
    ink: Area,
}

/// Adds a finding for each statement whose languages stand unlike.
pub fn check(page: &SeenPage, part: &Part, equal: &Equal, found: &[(&Item, &Found)], findings: &mut Vec<Finding>) {
    let printed: Vec<Printed<'_>> = found.iter().filter_map(|(item, found)| printed(page, item, found)).collect();
    for (n, one) in printed.iter().enumerate() {
        let twin = |p: &&Printed<'_>| p.item.id == one.item.id && p.lang != one.lang;
        for other in printed[n + 1..].iter().filter(twin) {
            // The language that leads, where one does; else the one that was planned first.
            let (lead, next) = if equal.first == Some(other.lang) { (other, one) } else { (one, other) };
            compare(page, part, equal, lead, next, findings);
        }
    }
}

fn compare(
    page: &SeenPage,
    part: &Part,
    equal: &Equal,
    lead: &Printed<'_>,
    next: &Printed<'_>,
    findings: &mut Vec<Finding>,
) {
    let told = |of: &Printed<'_>, message: String, cure: &str| {
        let level = if equal.severity == Severity::Required { Level::Error } else { Level::Warning };
        let round = |v: f64| (v * 100.0).round() / 100.0;
        Finding::of(&equal.rule, level, equal.severity, None, message, cure).on(OnPage {
            page: page.number,
            part: Some(part.name.clone()),
            x_mm: Some(round(of.ink.left)),
            y_mm: Some(round(of.ink.top)),
        })
    };
    let first = equal.first.is_some();
    let called = |p: &Printed<'_>| super::wording::called(p.item);
    // Smallest with smallest and largest with largest: small capitals are of two sizes in both.
    let below = |a: f64, b: f64| a < b * (1.0 - ALIKE);
    let smaller = below(lead.em.0, next.em.0) || below(lead.em.1, next.em.1);
    let larger = below(next.em.0, lead.em.0) || below(next.em.1, lead.em.1);
    if smaller || (larger && !first) {
        let (small, large) = if smaller { (lead, next) } else { (next, lead) };
        let message =
            format!("{} is printed smaller in `{}` than its twin in `{}`", called(small), small.lang, large.lang);
        let cure = "print both in one size; write both in capitals, or both in small letters";
        let size = |mm: f64| format!("type of {mm:.3} mm");
        let (asked, there) =
            if below(small.em.0, large.em.0) { (large.em.0, small.em.0) } else { (large.em.1, small.em.1) };
        findings.push(told(small, message, cure).instead(size(asked), size(there)));
    }
    if (next.bold && !lead.bold) || (lead.bold && !next.bold && !first) {
        let (bold, plain) = if next.bold { (next, lead) } else { (lead, next) };
        let message = format!("{} is not bold in `{}`, and is in `{}`", called(plain), plain.lang, bold.lang);
        findings.push(told(plain, message, "print both bold, or neither"));
    }
    // Below, but not in a column to the left; or to the right, but not above.
    let (a, b) = (&lead.ink, &next.ink);
    let below = a.top > b.top + LEVEL && a.right > b.left;
    let right = a.left >= b.right && a.top >= b.top - LEVEL;
    if first && (below || right) {
        let message = format!("{} stands in `{}` after its twin in `{}`", called(lead), lead.lang, next.lang);
        findings.push(told(lead, message, "put it before the other language, above or to the left"));
    }
}

fn printed<'a>(page: &SeenPage, item: &'a Item, found: &Found) -> Option<Printed<'a>> {
    let (Content::Text { lang, .. } | Content::AlertText { lang, .. }) = &item.content else { return None };
    let ems = || found.glyphs().filter_map(|n| page.glyphs.get(n)).map(|g| g.em).filter(|em| *em > 0.0);
    let em = (ems().reduce(f64::min)?, ems().reduce(f64::max)?);
    let ink = space::ink(page, found)?;
    let bold = found.glyphs().all(|n| super::part::is_bold(page, n));
    Some(Printed { item, lang: *lang, em, bold, ink })
}
