//! How a finding of the review names a statement and its place. Part of `review`.

use super::label::Page;
use super::task::Task;
use crate::find::{Finding, Level, OnPage, Severity};
use crate::law::Rule;

/// Letters of a statement that are shown to tell it by.
const SHOWN: usize = 60;

/// The statement by its first words, with the code of its sentence if it has one.
pub fn called(task: &Task<'_>) -> String {
    let text = task.texts.first().map_or("", String::as_str);
    let shown = match text.char_indices().nth(SHOWN) {
        Some((end, _)) => format!("`{}...`", text[..end].trim_end()),
        None => format!("`{text}`"),
    };
    match &task.piece {
        Some(code) => format!("{shown} ({})", code.split('/').next().unwrap_or(code)),
        None => shown,
    }
}

/// The part by its name, else the page by its number.
pub fn side(page: &Page<'_>) -> String {
    page.part.as_ref().map_or_else(|| format!("page {}", page.number), |p| format!("part `{p}`"))
}

/// What law and standards ask for weighs more than advice.
pub const fn level(severity: Severity) -> Level {
    match severity {
        Severity::Input | Severity::Required | Severity::Standard => Level::Error,
        Severity::Advice | Severity::Policy => Level::Warning,
    }
}

/// A finding about a task.
pub fn of(task: &Task<'_>, message: String, cure: impl Into<String>) -> Finding {
    let r = task.requirement;
    Finding::of(&r.id, level(r.severity), r.severity, Some(r.seen), message, cure)
}

/// A finding under a rule.
pub fn under(rule: &Rule, message: String, cure: impl Into<String>) -> Finding {
    Finding::of(rule.id, level(rule.severity), rule.severity, Some(rule.seen()), message, cure)
}

/// With its place on paper.
pub fn on(finding: Finding, page: &Page<'_>, glyph: Option<usize>) -> Finding {
    at(finding, page, glyph.and_then(|g| page.place(g)))
}

/// With its place on paper, in mm.
pub fn at(finding: Finding, page: &Page<'_>, place: Option<(f64, f64)>) -> Finding {
    if page.seen.is_none() {
        return finding;
    }
    let round = |v: f64| (v * 100.0).round() / 100.0;
    finding.on(OnPage {
        page: page.number,
        part: page.part.clone(),
        x_mm: place.map(|p| round(p.0)),
        y_mm: place.map(|p| round(p.1)),
    })
}

/// Takes back the name made up for a page whose part is not known.
pub fn part_of(finding: &mut Finding, page: &Page<'_>) {
    if page.part.is_some() {
        return;
    }
    if let Some(on) = &mut finding.on_page {
        on.part = None;
    }
    let name = page.name();
    for text in [&mut finding.message, &mut finding.cure] {
        *text = text.replace(&format!("part `{name}`"), &name);
    }
}

/// Brings a place in a turned view back to the page.
pub fn turn_back(finding: &mut Finding, page: &Page<'_>, quarters: u8) {
    if let Some(on) = &mut finding.on_page
        && let (Some(x), Some(y)) = (on.x_mm, on.y_mm)
        && quarters != 0
    {
        let round = |v: f64| (v * 100.0).round() / 100.0;
        let [x, y] = page.turned_back([x, y], quarters);
        (on.x_mm, on.y_mm) = (Some(round(x)), Some(round(y)));
    }
}
