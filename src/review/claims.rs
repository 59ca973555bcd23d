//! Promises on a label, with the evidence each would need. Part of `review`.

use super::Desk;
use super::data::{self, Sort};
use super::rows::{Row, below};
use super::search::{self, Hit};
use super::told;
use crate::find::{Finding, Level, Severity};

/// Judges the words of the lists.
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    for page in desk.pages {
        let mut told_already: Vec<usize> = Vec::new();
        for claim in data::claims(desk.needs.market).filter(|c| !matches!(c.sort, Sort::Qualifier | Sort::Beside)) {
            let hits = search::find(page.rows(0), &search::letters(claim.words)).into_iter();
            let mut hits: Vec<Hit> = hits.filter(|h| !h.glyphs().any(|g| told_already.contains(&g))).collect();
            told_already.extend(hits.iter().flat_map(Hit::glyphs));
            // A name of an insect may be harmless in one place and promise something in another.
            let harmless = |h: &Hit| claim.sort == Sort::InsectWord && !promises(page.rows(0), h);
            hits.sort_by_key(harmless);
            let Some(hit) = hits.into_iter().next() else { continue };
            let beside = harmless(&hit);
            let (id, message, cure) = match claim.sort {
                Sort::InsectWord if beside => (
                    "label/insect-claim",
                    format!(
                        "`{}` is on the label; a promise about insects would make a pesticide of the candle",
                        claim.words
                    ),
                    "let the words name the scent or the place, and promise nothing".to_owned(),
                ),
                Sort::Insect | Sort::InsectWord => (
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
            let level = if beside { Level::Note } else { Level::Warning };
            let finding = Finding::of(id, level, Severity::Advice, Some(claim.seen), message, cure);
            findings.push(told::on(finding, page, hit.glyphs().next()));
        }
    }
}

/// Words that make a promise of the name of an insect on the same line or the next.
const REPELS: [&str; 22] = [
    "away",
    "off",
    "against",
    "free",
    "repel",
    "repels",
    "repelling",
    "repellent",
    "kill",
    "kills",
    "ward",
    "wards",
    "stop",
    "stops",
    "deter",
    "deters",
    "no",
    "contre",
    "sans",
    "anti",
    "éloigne",
    "chasse",
];

fn promises(rows: &[Row], hit: &Hit) -> bool {
    let lines = std::iter::once(hit.row).chain(below(rows, hit.row)).filter_map(|r| rows.get(r));
    lines.flat_map(|r| &r.words).any(|w| w.folded.split('-').any(|part| REPELS.contains(&part)))
}
