//! What stands right beside a statement and turns it into something else: `Do not` before it, another figure at a quantity.
//! Part of `review`.

use super::data::{self, Beside};
use super::fold;
use super::rows::{Row, Word, above, below};
use super::statement::{Stand, Taken};
use super::task::{Kind, Task};
use super::{Desk, told};
use crate::find::{Finding, Level};

/// Words before or behind a statement that are looked at.
const REACH: usize = 3;

/// Judges the neighbours of every statement that was found.
pub fn judge(
    desk: &Desk<'_>,
    tasks: &[Task<'_>],
    stands: &[Option<Stand>],
    taken: &Taken,
    findings: &mut Vec<Finding>,
) {
    for (task, stand) in tasks.iter().zip(stands).filter_map(|(t, s)| Some((t, s.as_ref()?))) {
        let page = &desk.pages[stand.page];
        let free = |word: &Word| !word.glyphs.iter().any(|g| taken.contains(&(stand.page, *g)));
        let Some((first, last)) = ends(page.rows(0), stand) else { continue };
        let turned = match task.kind {
            // A stroke may part the words of two languages that share a number.
            Kind::Net => at_quantity(page.rows(0), stand, first, last)
                .filter(|(words, _)| words != "/" || task.requirement.statement != "net count"),
            Kind::Words => turned(page.rows(0), first, last, &free),
            Kind::Lot | Kind::Names => None,
        };
        if let Some((words, glyph)) = turned {
            let message = format!("`{words}` right beside {} makes something else of it", told::called(task));
            let cure = "let the statement stand by itself, as it is asked for";
            let mut finding = told::of(task, message, cure);
            finding.level = Level::Error;
            findings.push(told::on(finding, page, glyph));
        }
    }
}

/// Row and word of the first and the last of a statement's words.
type At = (usize, usize);

fn ends(rows: &[Row], stand: &Stand) -> Option<(At, At)> {
    let at = |glyph: usize| {
        rows.iter()
            .enumerate()
            .find_map(|(r, row)| row.words.iter().position(|w| w.glyphs.contains(&glyph)).map(|w| (r, w)))
    };
    let words = || stand.hit.words.iter().filter(|w| !w.is_empty());
    Some((at(*words().next()?.first()?)?, at(*words().next_back()?.last()?)?))
}

/// Whether the word ends a sentence, or is a bullet that parts it from the next.
fn parts(word: &Word) -> bool {
    word.folded.is_empty() || word.text.ends_with(['.', ';', ':', '!', '?', '|', '\u{2022}', '\u{b7}'])
}

/// A word that turns the statement round, in the same sentence.
fn turned(rows: &[Row], first: At, last: At, free: &dyn Fn(&Word) -> bool) -> Option<(String, Option<usize>)> {
    let here = rows[first.0].words[..first.1].iter().rev();
    let over = above(rows, first.0).filter(|_| first.1 == 0);
    let before = here.chain(over.into_iter().flat_map(|r| rows[r].words.iter().rev()));
    let before: Vec<&Word> = before.take(REACH).collect();
    // `Never: ...` is no end of a sentence.
    if let Some(word) = before.first().filter(|w| w.text.ends_with(':') && free(w))
        && let Some(found) = said(&[word], Beside::Before)
    {
        return Some(found);
    }
    let mut before: Vec<&Word> = before.into_iter().take_while(|w| !parts(w) && free(w)).collect();
    before.reverse();
    if let Some(found) = said(&before, Beside::Before) {
        return Some(found);
    }
    if rows[last.0].words.get(last.1).is_some_and(parts) {
        return None;
    }
    let here = rows[last.0].words.iter().skip(last.1 + 1);
    let under = below(rows, last.0).first().copied().filter(|_| last.1 + 1 == rows[last.0].words.len());
    let after = here.chain(under.into_iter().flat_map(|r| rows[r].words.iter()));
    let mut open = true;
    // The sentence goes on in small letters, up to its own full stop.
    let after: Vec<&Word> =
        after.take_while(|w| free(w) && std::mem::replace(&mut open, !parts(w))).take(REACH).collect();
    let goes_on = after.first().is_some_and(|w| w.text.starts_with(char::is_lowercase));
    said(&after, Beside::After).filter(|_| goes_on)
}

/// The words of the list that stand among these.
fn said(words: &[&Word], place: Beside) -> Option<(String, Option<usize>)> {
    let text = words.iter().map(|w| w.folded.as_str()).collect::<Vec<_>>().join(" ");
    let there = |listed: &str| format!(" {text} ").contains(&format!(" {} ", fold::words(listed).join(" ")));
    data::beside(place).any(there).then(|| {
        let printed = words.iter().map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ");
        (printed, words.first().and_then(|w| w.glyphs.first().copied()))
    })
}

/// Another figure, a sign of multiplication or a word such as `gross` that touches a quantity.
fn at_quantity(rows: &[Row], stand: &Stand, first: At, last: At) -> Option<(String, Option<usize>)> {
    // What is printed with the figures in one word, such as `250 g/5`, stands beside them too.
    let touching = |(row, word): At| {
        let word = rows.get(row)?.words.get(word)?;
        let odd = word.text.contains(['<', '>', '×', '≤', '≥', '~'])
            || (word.text.contains('/')
                && word.folded.starts_with('g')
                && word.folded.contains(|c: char| c.is_ascii_digit()));
        odd.then(|| (word.text.clone(), word.glyphs.first().copied()))
    };
    if let Some(found) = touching(first).or_else(|| touching(last)) {
        return Some(found);
    }
    let own = |w: &&Word| w.glyphs.iter().any(|g| stand.hit.glyphs().any(|h| h == *g));
    let before = rows[first.0].words[..first.1].iter().next_back();
    let after = rows[last.0].words.get(last.1 + 1);
    [(before, true), (after, false)].into_iter().find_map(|(word, before)| {
        let word = word.filter(|w| !own(w))?;
        let listed = data::beside(Beside::Quantity).any(|l| fold::words(l).concat() == word.folded || l == word.text);
        let digits = word.folded.starts_with(|c: char| c.is_ascii_digit())
            && word.folded.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '/'));
        let figure = before && digits && !word.text.ends_with([',', ';', '.', ')', ':']);
        let sign = matches!(word.text.as_str(), "<" | ">" | "×" | "*" | "≤" | "≥" | "~" | "/");
        (listed || figure || sign).then(|| (word.text.clone(), word.glyphs.first().copied()))
    })
}
