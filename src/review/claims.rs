//! Promises on a label, with the evidence each would need. Part of `review`.

use super::Desk;
use super::data::{self, Sort};
use super::search;
use super::told;
use crate::find::{Finding, Level, Severity};

/// Judges the words of the lists.
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    for page in desk.pages {
        let mut told_already: Vec<usize> = Vec::new();
        for claim in data::claims(desk.needs.market).filter(|c| c.sort != Sort::Qualifier) {
            let hit = search::find(page.rows(0), &search::letters(claim.words)).into_iter().next();
            let Some(hit) = hit else { continue };
            if hit.glyphs().any(|g| told_already.contains(&g)) {
                continue;
            }
            told_already.extend(hit.glyphs());
            let (id, message, cure) = match claim.sort {
                Sort::Insect => (
                    "label/insect-claim",
                    format!("`{}` promises something about insects", claim.words),
                    format!("take it out; it would need: {}", claim.evidence),
                ),
                _ => (
                    "label/claim",
                    format!("`{}` is a claim that needs evidence", claim.words),
                    format!("take it out, or have this at hand: {}", claim.evidence),
                ),
            };
            let finding = Finding::of(id, Level::Warning, Severity::Advice, Some(claim.seen), message, cure);
            findings.push(told::on(finding, page, hit.glyphs().next()));
        }
    }
}
