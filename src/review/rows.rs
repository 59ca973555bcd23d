//! Lines of a label as folded characters, each with its glyph; from a read page or from plain text. Part of `review`.

use super::fold;
use crate::inspect::{Line, SeenPage};
use std::ops::Range;

/// A folded character.
#[derive(Debug, Clone, Copy)]
pub struct Ch {
    /// After folding.
    pub c: char,
    /// Index of its glyph on the page.
    pub glyph: usize,
    /// A word begins here.
    pub start: bool,
}

/// A word as printed.
#[derive(Debug, Clone)]
pub struct Word {
    /// As on the label.
    pub text: String,
    /// Folded.
    pub folded: String,
    /// Its glyphs.
    pub glyphs: Vec<usize>,
    /// Its characters in the row.
    pub chars: Range<usize>,
}

/// One line.
#[derive(Debug, Clone)]
pub struct Row {
    /// From left to right, without spaces and points.
    pub chars: Vec<Ch>,
    /// From left to right.
    pub words: Vec<Word>,
    /// All its characters as one text: to see at once what cannot be in it.
    pub flat: String,
    /// From the top, in mm.
    pub baseline: f64,
    /// In mm.
    pub left: f64,
    /// In mm.
    pub right: f64,
    /// In mm.
    pub em: f64,
}

impl Row {
    fn push(&mut self, letters: &[(char, usize)], glyphs: Vec<usize>) {
        let folded = fold::word(letters);
        let from = self.chars.len();
        self.flat.extend(folded.iter().map(|(c, _)| *c));
        self.chars.extend(folded.iter().enumerate().map(|(n, &(c, glyph))| Ch { c, glyph, start: n == 0 }));
        self.words.push(Word {
            text: letters.iter().map(|(c, _)| c).collect(),
            folded: folded.iter().map(|(c, _)| c).collect(),
            glyphs,
            chars: from..self.chars.len(),
        });
    }

    /// The words as printed, with spaces.
    pub fn text(&self) -> String {
        self.words.iter().map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ")
    }
}

/// The lines of a page.
pub fn of(page: &SeenPage, lines: &[Line]) -> Vec<Row> {
    let row = |line: &Line| {
        let mut row = Row {
            chars: Vec::new(),
            words: Vec::new(),
            flat: String::new(),
            baseline: line.baseline,
            left: line.left,
            right: line.right,
            em: line.em,
        };
        for word in &line.words {
            let letters: Vec<(char, usize)> = word
                .glyphs
                .iter()
                .flat_map(|&n| page.glyphs[n].text.chars().filter_map(crate::inspect::plain).map(move |c| (c, n)))
                .filter(|(c, _)| *c != ' ')
                .collect();
            row.push(&letters, word.glyphs.clone());
        }
        row
    };
    lines.iter().map(row).collect()
}

/// The lines of a plain text, as if typed on paper; each character counts as a glyph.
pub fn of_text(text: &str) -> Vec<Row> {
    let mut number = 0;
    let mut rows = Vec::new();
    let mut at = 0.0;
    for line in text.lines() {
        at += 4.0;
        if line.trim().is_empty() {
            // An empty line parts what stands above from what stands below.
            at += 20.0;
            continue;
        }
        let mut row = Row {
            chars: Vec::new(),
            words: Vec::new(),
            flat: String::new(),
            baseline: at,
            left: 0.0,
            right: 100.0,
            em: 3.0,
        };
        let letters: Vec<(char, usize)> = line
            .chars()
            .filter_map(crate::inspect::plain)
            .map(|c| {
                number += 1;
                (c, number - 1)
            })
            .collect();
        for word in letters.split(|(c, _)| *c == ' ').filter(|w| !w.is_empty()) {
            row.push(word, word.iter().map(|(_, n)| *n).collect());
        }
        rows.push(row);
    }
    rows
}

/// Lines further apart than this many ems do not continue each other.
const LINE_REACH: f64 = 3.0;
/// Baselines nearer than this share of the em are one line.
const SAME_BASELINE: f64 = 0.08;

/// The rows that may continue row `n`: the nearest below it that stand at least partly under it.
pub fn below(rows: &[Row], n: usize) -> Vec<usize> {
    let here = &rows[n];
    let mut found: Vec<usize> = Vec::new();
    for (m, next) in rows.iter().enumerate().skip(n + 1) {
        let drop = next.baseline - here.baseline;
        if drop > LINE_REACH * here.em {
            break;
        }
        if drop < 0.3 * here.em.min(next.em) || next.right <= here.left || next.left >= here.right {
            continue;
        }
        match found.first() {
            Some(&nearest) if next.baseline - rows[nearest].baseline > SAME_BASELINE * here.em => break,
            _ => found.push(m),
        }
    }
    found
}
