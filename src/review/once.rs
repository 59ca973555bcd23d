//! Sheets of the same label one after another are one label: the first is judged. Part of `review`.

use super::label::Page;
use super::rows::Row;
use crate::inspect::SeenPage;

/// Pages may differ this much (mm) in size and print the same label.
const SAME_SIZE: f64 = 0.1;
/// A word of at least so many letters, of which so many figures, may be the number of a unit.
const NUMBER: (usize, usize) = (6, 3);

/// Keeps the first of pages that say the same, save for the numbers of units, and counts the others in [`Page::again`].
///
/// Pages with a part named by the user are all kept.
#[must_use]
pub fn once(pages: Vec<Page<'_>>) -> Vec<Page<'_>> {
    let mut kept: Vec<(Page<'_>, Vec<String>)> = Vec::new();
    for page in pages {
        let said = page.rows(0).iter().map(said).collect::<Vec<_>>();
        let alike = |(first, before): &&mut (Page<'_>, Vec<String>)| {
            let same_size = |a: &SeenPage, b: &SeenPage| {
                (a.width - b.width).abs() < SAME_SIZE && (a.height - b.height).abs() < SAME_SIZE
            };
            first.seen.zip(page.seen).is_some_and(|(a, b)| same_size(a, b))
                && first.part == page.part
                && first.codes.len() == page.codes.len()
                && *before == said
                && !said.is_empty()
        };
        match kept.iter_mut().find(alike) {
            Some((first, _)) => first.again.push(page.number),
            None => kept.push((page, said)),
        }
    }
    kept.into_iter().map(|(page, _)| page).collect()
}

/// The words of a row, with the number of a unit left open.
fn said(row: &Row) -> String {
    let word = |w: &super::rows::Word| {
        let figures = w.folded.chars().filter(char::is_ascii_digit).count();
        let number = w.folded.chars().count() >= NUMBER.0 && figures >= NUMBER.1;
        if number { w.folded.replace(|c: char| c.is_ascii_digit(), "0") } else { w.folded.clone() }
    };
    row.words.iter().map(word).collect::<Vec<_>>().join(" ")
}
