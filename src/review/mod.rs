//! Judges any label, whoever made it: the product's requirements against the words, figures, codes and signs seen on it.
//!
//! After `inspect`, which reads the PDF, and `require`, which says what has to be there; a stranger's label has no plan
//! and no template. The words are found wherever they stand, in any wording that counts; figures are read and held
//! against the product; what has no place is told. What cannot be read is said to be so, never passed over.

mod claims;
mod context;
mod copies;
mod count;
mod data;
mod figure;
mod fold;
mod forbidden;
mod gutters;
mod label;
mod languages;
mod lot;
mod names;
mod nearest;
mod net;
mod once;
mod quantity;
mod rows;
mod search;
mod signs;
mod size;
mod statement;
mod task;
mod told;
mod ufi;
mod unread;

#[cfg(test)]
mod tests_of_words;

pub use label::{Known, Page, name_in_turn};
pub use once::once;

use crate::find::{Finding, Severity};
use crate::inspect::Area;
use crate::law::Book;
use crate::product::Product;
use crate::require::Needs;
use crate::trade::Lang;

/// Everything a label is judged by.
pub struct Desk<'a> {
    /// What is sold.
    pub product: &'a Product,
    /// What its label has to carry.
    pub needs: &'a Needs,
    /// The rules and their wordings.
    pub book: &'a Book,
    /// The lot the label is for, where it is for one.
    pub lot: Option<&'a str>,
    /// The label.
    pub pages: &'a [Page<'a>],
}

/// A requirement that was found.
pub struct Stands {
    /// Index of the page among those judged.
    pub page: usize,
    /// The box round each line of it, in mm on that page.
    pub areas: Vec<Area>,
    /// Its first words.
    pub what: String,
    /// The requirement.
    pub id: String,
}

/// Judges a label. Findings come most serious first, then by what binds more, then by their place.
#[must_use]
pub fn check(desk: &Desk<'_>) -> Vec<Finding> {
    judge(desk).0
}

/// Judges a label, and says what was found where.
#[must_use]
pub fn judge(desk: &Desk<'_>) -> (Vec<Finding>, Vec<Stands>) {
    let mut findings = Vec::new();
    if let Some(finding) = unread::empty(desk) {
        return (vec![finding], Vec::new());
    }
    unread::judge(desk, &mut findings);
    let tasks = task::all(desk);
    let (stands, mut taken) = statement::judge(desk, &tasks, &mut findings);
    let found: Vec<Option<statement::Stand>> = stands.clone();
    context::judge(desk, &tasks, &found, &taken, &mut findings);
    copies::judge(desk, &tasks, &found, &taken, &mut findings);
    net::judge(desk, &mut findings);
    count::judge(desk, &mut findings);
    figure::judge(desk, &mut findings);
    names::besides(desk, &mut findings);
    ufi::judge(desk, &mut findings);
    lot::judge(desk, &mut findings);
    lot::code(desk, &mut findings);
    signs::judge(desk, &mut findings);
    size::judge(desk, &mut findings);
    size::over_the_edge(desk, &taken, &mut findings);
    size::overlapping(desk, &mut findings);
    forbidden::judge(desk, &mut taken, &mut findings);
    claims::judge(desk, &mut findings);
    ordered(&mut findings);
    findings.splice(0..0, languages::lacking(desk, &tasks, &stands));
    let stands = tasks.iter().zip(stands).filter_map(|(task, stand)| {
        let stand = stand?;
        let areas = areas(&desk.pages[stand.page], &stand.hit.words)?;
        Some(Stands { page: stand.page, areas, what: told::called(task), id: task.requirement.id.clone() })
    });
    let stands = stands.chain(signs::stands(desk)).collect();
    (findings, stands)
}

/// The box round each line, or round each word where the line is bent.
fn areas(page: &Page<'_>, words: &[Vec<usize>]) -> Option<Vec<Area>> {
    let mut lines: Vec<(f64, Area)> = Vec::new();
    let seen = page.seen?;
    for word in words {
        let Some(whole) = Area::round(word.iter().filter_map(|&n| seen.glyphs[n].ink.as_ref())) else { continue };
        // Lines are told by their baselines as they stand when the letters are level.
        let views = || word.iter().filter_map(|&n| Some((page.view(Some(n))?, n)));
        if views().any(|((view, _), n)| !view.glyphs[n].level) {
            lines.push((f64::NAN, whole));
            continue;
        }
        let Some(baseline) = views().map(|((view, _), n)| view.glyphs[n].baseline).next() else { continue };
        match lines.iter_mut().find(|(b, _)| (*b - baseline).abs() < 0.2) {
            Some((_, area)) => *area = area.with(&whole),
            None => lines.push((baseline, whole)),
        }
    }
    Some(lines.into_iter().map(|(_, area)| area).collect())
}

/// Most serious first.
fn ordered(findings: &mut [Finding]) {
    let place = |f: &Finding| {
        let on = f.on_page.as_ref();
        let mm = |v: Option<f64>| v.map_or(i64::MAX, hundredths);
        (on.map_or(usize::MAX, |o| o.page), on.map_or(i64::MAX, |o| mm(o.y_mm)), on.map_or(i64::MAX, |o| mm(o.x_mm)))
    };
    let weight = |s: Severity| match s {
        Severity::Input | Severity::Required => 0,
        Severity::Standard => 1,
        Severity::Advice => 2,
        Severity::Policy => 3,
    };
    findings.sort_by_cached_key(|f| (f.level, weight(f.severity), place(f)));
}

#[expect(clippy::cast_possible_truncation, reason = "a page is some metres at most; the cast saturates")]
fn hundredths(mm: f64) -> i64 {
    (mm * 100.0) as i64
}

impl Desk<'_> {
    /// Languages other than its own in which a statement stands on the label.
    fn in_other_languages(&self, task: &task::Task<'_>) -> Vec<Lang> {
        let requirement = task.requirement;
        let there = |text: &str| {
            let letters = search::letters(text);
            letters.len() >= 8 && self.pages.iter().any(|p| !search::find(p.rows(0), &letters).is_empty())
        };
        let official = |lang: Lang| {
            let code = task.piece.as_deref()?;
            crate::hazard::statements::printed(code, lang.word(), "", &[]).ok()
        };
        let text = |lang: Lang| {
            let own = requirement.texts.get(&lang).cloned().filter(|_| task.piece.is_none());
            let plain = || self.book.wording(lang, requirement.statement).map(|w| w.text.to_owned());
            own.or_else(|| official(lang)).or_else(|| plain().filter(|t| !t.contains('{')))
        };
        let others = Lang::ALL.iter().copied().filter(|l| *l != task.lang);
        others.filter(|l| text(*l).is_some_and(|t| there(&t))).collect()
    }
}
