//! A second unique formula identifier, which names another mixture to the poison centre. Part of `review`.

use super::rows::Word;
use super::{Desk, lot, told};
use crate::find::{Finding, Level};

/// Judges every code of four groups of four that is not the mixture's, where the right one stands there too; that none or a
/// wrong one stands there is told with the statement. One code means one composition (Regulation (EC) 1272/2008, Annex VIII,
/// Part A; secondary). What stands after `Batch` is the maker's own number.
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    let Some(requirement) = desk.needs.requirements.iter().find(|r| r.statement == "ufi") else { return };
    let own = |word: &Word| requirement.texts.values().any(|t| bare(t) == bare(&word.text));
    let codes = || {
        desk.pages.iter().flat_map(|p| p.rows(0).iter().map(move |row| (p, row))).flat_map(|(page, row)| {
            let named = |n: usize| n > 0 && lot::NAMES.contains(&row.words[n - 1].folded.as_str());
            let codes = row.words.iter().enumerate().filter(move |(n, w)| is_code(code(&w.text)) && !named(*n));
            codes.map(move |(_, word)| (page, word))
        })
    };
    if !codes().any(|(_, word)| own(word)) {
        return;
    }
    for (page, word) in codes().filter(|(_, word)| !own(word)) {
        let message = format!("`{}` is the code of another mixture, or of none", code(&word.text));
        let cure = "leave the one code that belongs to this mixture";
        let (severity, seen) = (requirement.severity, Some(requirement.seen));
        let finding = Finding::of(&requirement.id, Level::Error, severity, seen, message, cure);
        let asked = requirement.texts.values().next().cloned().unwrap_or_default();
        findings.push(told::on(finding.instead(asked, word.text.clone()), page, word.glyphs.first().copied()));
    }
}

fn is_code(text: &str) -> bool {
    text.len() == 19 && text.split('-').all(|g| g.len() == 4 && g.bytes().all(|b| b.is_ascii_alphanumeric()))
}

/// The word without `UFI:` and the points round it.
fn code(word: &str) -> &str {
    let word = word.trim_start();
    word.strip_prefix("UFI").unwrap_or(word).trim_matches(|c: char| !c.is_ascii_alphanumeric())
}

/// The sixteen characters.
fn bare(text: &str) -> String {
    code(text).chars().filter(char::is_ascii_alphanumeric).collect::<String>().to_uppercase()
}
