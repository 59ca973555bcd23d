//! A second unique formula identifier, which names another mixture to the poison centre. Part of `review`.

use super::label::Page;
use super::rows::Word;
use super::{Desk, lot, told};
use crate::find::{Finding, Level};

/// Judges every code of four groups of four that is not the mixture's, where the right one stands there too; that none or a
/// wrong one stands there is told with the statement. One label bears the code of its mixture (Regulation (EC) 1272/2008,
/// Annex VIII, Part A, 5.1, from memory).
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    let Some(requirement) = desk.needs.requirements.iter().find(|r| r.statement == "ufi") else { return };
    let own: Vec<String> = requirement.texts.values().map(|t| bare(t)).collect();
    let words =
        || desk.pages.iter().flat_map(|p| p.rows(0).iter().flat_map(move |r| r.words.iter().map(move |w| (p, w))));
    let is_code = |text: &str| {
        text.len() == 19 && text.split('-').all(|g| g.len() == 4 && g.bytes().all(|b| b.is_ascii_alphanumeric()))
    };
    let codes = || words().filter(|(_, w)| is_code(code(&w.text)));
    if !codes().any(|(_, w)| own.contains(&bare(&w.text))) {
        return;
    }
    // A code of the maker's own that happens to look so says what it is.
    let lot = |page: &Page<'_>, word: &Word| {
        let row = page.rows(0).iter().find(|r| r.words.iter().any(|w| w.glyphs == word.glyphs));
        row.and_then(|r| {
            let at = r.words.iter().position(|w| w.glyphs == word.glyphs)?;
            r.words[..at].last()
        })
        .is_some_and(|before| lot::NAMES.contains(&before.folded.as_str()))
    };
    for (page, word) in codes().filter(|(p, w)| !lot(p, w)).filter(|(_, w)| !own.contains(&bare(&w.text))) {
        let message = format!("`{}` is the code of another mixture, or of none", code(&word.text));
        let cure = "leave the one code that belongs to this mixture";
        let (severity, seen) = (requirement.severity, Some(requirement.seen));
        let finding = Finding::of(&requirement.id, Level::Error, severity, seen, message, cure);
        let asked = requirement.texts.values().next().cloned().unwrap_or_default();
        findings.push(told::on(finding.instead(asked, word.text.clone()), page, word.glyphs.first().copied()));
    }
}

/// The word without `UFI:` and the points round it.
fn code(word: &str) -> &str {
    let word = word.strip_prefix("UFI").unwrap_or(word);
    word.trim_matches(|c: char| !c.is_ascii_alphanumeric())
}

/// The sixteen characters.
fn bare(text: &str) -> String {
    code(text.trim_start()).chars().filter(char::is_ascii_alphanumeric).collect::<String>().to_uppercase()
}
