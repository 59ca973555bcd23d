//! Findings as text for people and as JSON for scripts.

use super::{Finding, Level};
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level as Mark, Renderer, Snippet};
use serde_json::{Value, json as object};

/// One finding the way a careful colleague would show it: what, where with an excerpt, how to mend it.
#[must_use]
pub fn plain(finding: &Finding) -> String {
    let mark = match finding.level {
        Level::Error => Mark::ERROR,
        Level::Warning => Mark::WARNING,
        Level::Note => Mark::NOTE,
    };
    let message = on_one_line(&finding.message);
    let mut group = Group::with_title(mark.primary_title(message.as_str()).id(finding.id.as_str()));
    for (index, (first, _)) in finding.places.iter().enumerate() {
        let source = &first.source;
        if finding.places[..index].iter().any(|(p, _)| p.source == *source) {
            continue; // shown in the excerpt of its file
        }
        let mut snippet = Snippet::source(source.text.as_str()).path(source.name.as_str());
        for (at, (place, label)) in finding.places.iter().enumerate().filter(|(_, (p, _))| p.source == *source) {
            let kind = if at == 0 { AnnotationKind::Primary } else { AnnotationKind::Context };
            snippet = snippet.annotation(kind.span(excerpt(&source.text, &place.range)).label(label.as_str()));
        }
        group = group.element(snippet);
    }
    let mut groups = vec![group];
    let mut told = Vec::new();
    if let (Some(expected), Some(found)) = (&finding.expected, &finding.found) {
        told.push(on_one_line(&format!("expected {expected}, found {found}")));
    }
    if let Some(on) = &finding.on_page {
        let part = on.part.as_ref().map_or_else(String::new, |p| format!(" ({p})"));
        let at = match (on.x_mm, on.y_mm) {
            (Some(x), Some(y)) => {
                // What rounds to zero has no sign.
                let [x, y] = [x, y].map(|mm| (mm * 10.0).round() / 10.0 + 0.0);
                format!(", {x:.1} mm from the left, {y:.1} mm from the top")
            }
            _ => String::new(),
        };
        told.push(format!("page {}{part}{at}", on.page));
    }
    if let Some(seen) = finding.seen {
        told.push(format!("{}; known from: {seen}", finding.severity));
    }
    for line in &told {
        groups.push(Group::with_title(Mark::NOTE.secondary_title(line.as_str())));
    }
    let cure = on_one_line(&finding.cure);
    if !cure.is_empty() {
        groups.push(Group::with_title(Mark::HELP.secondary_title(cure.as_str())));
    }
    Renderer::plain().decor_style(DecorStyle::Ascii).render(&groups)
}

/// What a file holds may stand in a message: line breaks and unseen characters are shown as `\n`, `\u{202e}`.
fn on_one_line(text: &str) -> String {
    text.chars()
        .flat_map(|c| -> Vec<char> {
            match c {
                '\n' | '\r' | '\t' => c.escape_default().collect(),
                c if super::is_unseen(c) => c.escape_unicode().collect(),
                c => vec![c],
            }
        })
        .collect()
}

/// The span to underline: on character borders, on one line, at most 60 bytes, never empty.
fn excerpt(text: &str, range: &std::ops::Range<usize>) -> std::ops::Range<usize> {
    let floor = |mut i: usize| {
        i = i.min(text.len());
        while !text.is_char_boundary(i) {
            i -= 1;
        }
        i
    };
    let start = floor(range.start);
    let line_end = text[start..].find('\n').map_or(text.len(), |n| start + n);
    let end = floor(range.end.min(line_end).min(start + 60)).max(start);
    start..end
}

/// One finding for a script; keys as documented in `docs/answers.md`.
#[must_use]
pub fn json(finding: &Finding) -> Value {
    let place = finding.places.first().map(|(p, _)| p);
    let at = place.map(super::Place::line_column);
    object!({
        "id": finding.id,
        "level": finding.level,
        "severity": finding.severity,
        "seen": finding.seen,
        "message": finding.message,
        "expected": finding.expected,
        "found": finding.found,
        "file": place.map(|p| p.source.name.as_str()),
        "line": at.map(|a| a.0),
        "column": at.map(|a| a.1),
        "page": finding.on_page.as_ref().map(|p| p.page),
        "part": finding.on_page.as_ref().and_then(|p| p.part.as_deref()),
        "x_mm": finding.on_page.as_ref().and_then(|p| p.x_mm),
        "y_mm": finding.on_page.as_ref().and_then(|p| p.y_mm),
        "cure": finding.cure,
    })
}
