//! Statements, labels and pages that stand there more than once and do not say the same each time. Part of `review`.
//!
//! One good copy is not enough: the jar with the other one is sold too.

use super::label::Page;
use super::once;
use super::rows;
use super::search;
use super::statement::{Stand, Taken};
use super::task::{Kind, Task};
use super::{Desk, told};
use crate::find::{Evidence, Finding, Level, Severity};
use std::collections::BTreeMap;

/// Shorter sentences come near too many others.
const FEWEST_LETTERS: usize = 12;
/// A copy is so much like the statement; of a few words more, for `bougie allumée` is no slip of `bougie parfumée`.
const ALIKE: (f64, f64) = (0.75, 0.85);
/// So many are few.
const FEW_WORDS: usize = 3;
/// Words of one that the other has not, as they are shown.
const MOST_SHOWN: usize = 8;
/// Labels of a sheet that are told of one by one.
const MOST_TOLD: usize = 10;

/// Judges what stands there again.
pub fn judge(
    desk: &Desk<'_>,
    tasks: &[Task<'_>],
    stands: &[Option<Stand>],
    taken: &Taken,
    findings: &mut Vec<Finding>,
) {
    again(desk, tasks, stands, taken, findings);
    for page in desk.pages {
        labels(page, findings);
        for (number, missing, more) in &page.nearly {
            let message = format!("page {number} is nearly the same as {} and does not say the same", told::side(page));
            let cure = "let both say the same, or judge each by itself with `--pages`";
            let finding =
                Finding::of("label/sheet", Level::Warning, Severity::Policy, Some(Evidence::Policy), message, cure);
            findings.push(told::at(finding.instead(shown(missing), shown(more)), page, None));
        }
    }
}

/// A statement that stands there rightly, and once more with a slip.
fn again(desk: &Desk<'_>, tasks: &[Task<'_>], stands: &[Option<Stand>], taken: &Taken, findings: &mut Vec<Finding>) {
    let mut taken = taken.clone();
    let mut there: Vec<&Task<'_>> = tasks
        .iter()
        .zip(stands)
        .filter(|(t, s)| s.is_some() && t.kind == Kind::Words)
        .map(|(t, _)| t)
        .filter(|t| search::letters(&t.texts[0]).len() >= FEWEST_LETTERS)
        .collect();
    // A slip of a long sentence is none of a short one that has some of its words.
    there.sort_by_key(|t| std::cmp::Reverse(t.texts[0].len()));
    // What says any of them rightly is no slip of another.
    for task in tasks {
        for text in &task.texts {
            let letters = search::letters(text);
            for (n, page) in desk.pages.iter().enumerate() {
                taken.extend(search::find(page.rows(0), &letters).iter().flat_map(search::Hit::glyphs).map(|g| (n, g)));
            }
        }
    }
    for task in there {
        for (n, page) in desk.pages.iter().enumerate() {
            let close = search::near(page.rows(0), &task.texts[0], |g| taken.contains(&(n, g)));
            let few = task.texts[0].split_whitespace().count() <= FEW_WORDS;
            let least = if few { ALIKE.1 } else { ALIKE.0 };
            let Some(near) = close.filter(|c| c.alike >= least && !c.differ.is_empty()) else { continue };
            let words = |pick: fn(&(String, String)) -> &String| {
                let all: Vec<&str> = near.differ.iter().map(|d| pick(d).as_str()).filter(|t| !t.is_empty()).collect();
                if all.is_empty() { "nothing".to_owned() } else { format!("`{}`", all.join(" ... ")) }
            };
            let (asked, instead) = (words(|d| &d.0), words(|d| &d.1));
            let message = format!(
                "{} stands on the label, and once more otherwise: {instead} instead of {asked}",
                told::called(task)
            );
            let finding = told::of(task, message, "let both say the same, or take one out");
            findings.push(told::on(finding.instead(task.texts[0].clone(), near.found.clone()), page, near.glyph));
            taken.extend(near.glyphs.iter().map(|&g| (n, g)));
        }
    }
}

/// The other labels of a sheet that do not say what the first one says.
fn labels(page: &Page<'_>, findings: &mut Vec<Finding>) {
    let first = counted(once::said(page));
    let mut told = 0;
    for (n, copy) in page.copies.iter().enumerate() {
        let rows = rows::of_page(copy);
        let words = rows.iter().flat_map(|r| &r.words).map(once::word);
        let (missing, more) = apart(&first, &counted(words.collect()));
        if missing.is_empty() && more.is_empty() {
            continue;
        }
        let (missing, more) = (once::printed(missing, page.rows(0)), once::printed(more, &rows));
        told += 1;
        if told > MOST_TOLD {
            continue;
        }
        let message = format!("label {} of {} on the sheet does not say what the first one says", n + 2, page.of);
        let finding = Finding::of(
            "label/sheet",
            Level::Error,
            Severity::Policy,
            Some(Evidence::Policy),
            message,
            "make all labels of the sheet from one drawing; only the number of the unit may differ",
        );
        let at = copy.view.on_page([0.0, 0.0]);
        let at = page.seen.map_or(at, |s| s.view.from_page(at));
        findings.push(told::at(finding.instead(shown(&missing), shown(&more)), page, Some((at[0], at[1]))));
    }
}

fn counted(words: Vec<String>) -> BTreeMap<String, usize> {
    let mut out = BTreeMap::new();
    for word in words.into_iter().filter(|w| !w.is_empty()) {
        *out.entry(word).or_default() += 1;
    }
    out
}

/// Words of the first that the second has not, and the other way round.
fn apart(one: &BTreeMap<String, usize>, two: &BTreeMap<String, usize>) -> (Vec<String>, Vec<String>) {
    let beyond = |a: &BTreeMap<String, usize>, b: &BTreeMap<String, usize>| {
        a.iter().filter(|(w, n)| **n > b.get(*w).copied().unwrap_or(0)).map(|(w, _)| w.clone()).collect()
    };
    (beyond(one, two), beyond(two, one))
}

/// For pages that are kept apart: what one says and the other does not, where most of it is the same.
pub fn nearly(one: Vec<String>, two: Vec<String>) -> Option<(Vec<String>, Vec<String>)> {
    let (one, two) = (counted(one), counted(two));
    let all = one.len().max(two.len());
    let (missing, more) = apart(&one, &two);
    // Half of the words are the same, and there are enough of them to tell.
    let same = all >= 6 && missing.len().max(more.len()) * 2 <= all;
    same.then_some((missing, more))
}

fn shown(words: &[String]) -> String {
    match words {
        [] => "nothing".to_owned(),
        _ if words.len() > MOST_SHOWN => format!("{} ...", words[..MOST_SHOWN].join(", ")),
        _ => words.join(", "),
    }
}
