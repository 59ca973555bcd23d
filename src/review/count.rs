//! How many pieces the label says the pack holds: each number of them is held against the product. Part of `review`.

use super::data::{self, OfPieces};
use super::rows::{Row, Word, above};
use super::{Desk, fold, told};
use crate::find::{Finding, Level};

/// Most words of a row of the list.
const MOST_WORDS: usize = 3;

/// The number of pieces as a word of its own.
pub fn stands(desk: &Desk<'_>, rows: &[Row]) -> bool {
    let pieces = desk.needs.figures.pieces;
    rows.iter().flat_map(|r| &r.words).any(|w| number(w) == Some(pieces))
}

/// Numbers of pieces that are not the product's: where another number stands beside it, the declared one is no promise. No
/// label may deceive about the quantity (15 U.S.C. 1453(a); R.S.C. 1985, c. C-38, s. 7, from memory).
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    let pieces = desk.needs.figures.pieces;
    let declared = desk.needs.requirements.iter().find(|r| r.statement.starts_with("net count"));
    for page in desk.pages {
        let rows = page.rows(0);
        let words = rows.iter().enumerate().flat_map(|(r, row)| (0..row.words.len()).map(move |w| (r, w)));
        for (r, w) in words {
            let Some(stated) = of_pieces(rows, r, w).filter(|n| *n != pieces) else { continue };
            let row = &rows[r];
            let shown = row.words[w..].iter().take(2).map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ");
            let message = format!("the label says `{shown}`, and the product file says {pieces}");
            let cure = "state the number of `pieces` of the product file, or correct the file";
            let mut finding = match declared {
                Some(r) => Finding::of(&r.id, Level::Error, r.severity, Some(r.seen), message, cure),
                None => Finding::input("label/quantity", message, cure),
            };
            // Where the law asks for no number, the words may speak of something else.
            finding.level = if declared.is_some() { Level::Error } else { Level::Warning };
            let finding = finding.instead(pieces.to_string(), stated.to_string());
            findings.push(told::on(finding, page, row.words[w].glyphs.first().copied()));
        }
    }
}

/// `6`, `x6`, `6x`; of one to three digits, as packs have.
fn number(word: &Word) -> Option<u32> {
    let plain = word.folded.strip_prefix(['x', '×']).or_else(|| word.folded.strip_suffix(['x', '×']));
    let digits = plain.unwrap_or(&word.folded);
    let whole = (1..=3).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
    digits.parse().ok().filter(|n| whole && *n > 0)
}

/// The number of pieces that word `w` of row `r` states. Sentences such as `never burn 2 candles at once` state none.
fn of_pieces(rows: &[Row], r: usize, w: usize) -> Option<u32> {
    let words = &rows[r].words;
    let stated = number(&words[w])?;
    let over = above(rows, r).filter(|_| w == 0).and_then(|a| rows[a].words.last());
    let before = words[..w].last().or(over);
    let pack = ends_with(&words[..w], OfPieces::Pack);
    // A sentence that runs on, here or from the line above.
    let runs_on = before.is_some_and(|b| !parts(b) && b.text.chars().all(|c| c.is_lowercase() || c == '\''));
    let begins = before.is_none_or(parts) || ends_with(&words[..w], OfPieces::Before) || (w == 0 && !runs_on);
    let behind = &words[w + 1..];
    let noun = (1..=MOST_WORDS.min(behind.len())).rev().find(|&n| listed(&behind[..n], OfPieces::Piece));
    let ends = |n: usize| {
        let last = if n == 0 { &words[w] } else { &behind[n - 1] };
        let next = behind.get(n);
        parts(last) || next.is_none_or(|next| next.folded.is_empty() || next.text.starts_with(['(', '-', '/', '|']))
    };
    match noun {
        Some(n) => ((begins || pack) && ends(n)).then_some(stated),
        None => (pack && ends(0)).then_some(stated),
    }
}

/// Whether nothing goes on behind this word.
fn parts(word: &Word) -> bool {
    word.folded.is_empty() || word.text.ends_with(['.', ',', ';', ':', '!', ')', '|', '\u{2022}', '\u{b7}'])
}

/// Whether these words are one of the list.
fn listed(words: &[Word], place: OfPieces) -> bool {
    let text: String = words.iter().map(|w| w.folded.as_str()).collect();
    data::of_pieces(place).any(|l| fold::words(l).concat() == text)
}

/// Whether the last of these words are one of the list.
fn ends_with(words: &[Word], place: OfPieces) -> bool {
    (1..=MOST_WORDS.min(words.len())).any(|n| listed(&words[words.len() - n..], place))
}

#[cfg(test)]
mod tests {
    use super::of_pieces;
    use crate::review::rows::of_text;

    fn said(text: &str) -> Vec<u32> {
        let rows = of_text(text);
        let words = rows.iter().enumerate().flat_map(|(r, row)| (0..row.words.len()).map(move |w| (r, w)));
        words.filter_map(|(r, w)| of_pieces(&rows, r, w)).collect()
    }

    /// Whether a number is one of pieces is plain English and French.
    #[test]
    fn numbers_of_pieces_are_told_from_others() {
        for text in [
            "6 MELTS",
            "6\u{a0}melts",
            "Pack of 6",
            "Contains 6 wax melts.",
            "6 melts (120 g)",
            "6 MELTS, NET WT 4.2 OZ",
            "GODWIT\n6 fondants",
            "Boîte de 6 bougies chauffe-plat",
            "6 pcs",
            "x6 tealights",
            "Lavender, 6 candles",
        ] {
            assert_eq!(said(text), [6], "{text}");
        }
        for text in [
            "Never burn 6 candles at once.",
            "Never burn more than\n6 candles at once",
            "Burn for 6 hours.",
            "6 cm between candles",
            "Use 6 melts at a time.",
            "6-wick candle",
            "Lot 6",
            "6 melts of this size fill the bowl",
        ] {
            assert_eq!(said(text), [0; 0], "{text}");
        }
    }
}
