//! How many pieces the label says the pack holds: each number of them is held against the product. Part of `review`.

use super::data::{self, OfPieces};
use super::quantity;
use super::rows::{Row, Word, above, below};
use super::{Desk, fold, told};
use crate::find::{Finding, Level};
use crate::trade::Lang;

/// Most words of a row of the list.
const MOST_WORDS: usize = 3;

/// Whether the number of pieces is stated: with a word for them, or beside the figures of the declaration on these lines.
pub fn stands(desk: &Desk<'_>, rows: &[Row], lines: &[usize]) -> bool {
    let pieces = desk.needs.figures.pieces;
    if places(rows).any(|(r, w)| of_pieces(rows, r, w) == Some(pieces)) {
        return true;
    }
    let all = quantity::all(rows);
    let own = |r: usize, w: usize| all.iter().any(|q| q.row == r && (q.words.0..q.words.1).contains(&w));
    let near = lines.iter().flat_map(|&r| above(rows, r).into_iter().chain([r]).chain(below(rows, r)));
    let mut words = near.flat_map(|r| (0..rows[r].words.len()).map(move |w| (r, w)));
    words.any(|(r, w)| !own(r, w) && number(&rows[r].words[w]) == Some(pieces))
}

/// Where the number stands with a word for the pieces in this language, also where two languages share it: `12 tea lights /
/// bougies`.
pub fn in_language(desk: &Desk<'_>, rows: &[Row], lang: Lang) -> Option<(usize, Vec<Vec<usize>>)> {
    let pieces = desk.needs.figures.pieces;
    places(rows).filter(|&(r, w)| of_pieces(rows, r, w) == Some(pieces)).find_map(|(row, at)| {
        let words = &rows[row].words;
        let noun = (at + 1..words.len()).find_map(|from| {
            let longest = (1..=MOST_WORDS.min(words.len() - from)).rev();
            longest.map(|n| from..from + n).find(|place| {
                let text: String = words[place.clone()].iter().map(|w| w.folded.as_str()).collect();
                data::pieces(lang).any(|l| fold::words(l).concat() == text)
            })
        })?;
        Some((row, std::iter::once(at).chain(noun).map(|n| words[n].glyphs.clone()).collect()))
    })
}

fn places(rows: &[Row]) -> impl Iterator<Item = (usize, usize)> {
    rows.iter().enumerate().flat_map(|(r, row)| (0..row.words.len()).map(move |w| (r, w)))
}

/// Numbers of pieces that are not the product's: where another number stands beside it, the declared one is no promise. No
/// label may deceive about the quantity (15 U.S.C. 1453(a); R.S.C. 1985, c. C-38, s. 7, from memory).
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    let pieces = desk.needs.figures.pieces;
    let declared = desk.needs.requirements.iter().find(|r| r.statement.starts_with("net count"));
    for page in desk.pages {
        let rows = page.rows(0);
        for (r, w) in places(rows) {
            let Some(stated) = of_pieces(rows, r, w).filter(|n| *n != pieces) else { continue };
            let row = &rows[r];
            let shown = row.words[w..].iter().take(3).map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ");
            let shown = shown.trim_end_matches([',', ';']);
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

/// `6`, `x6`, `6x`, `six`; of one to three digits, as packs have.
fn number(word: &Word) -> Option<u32> {
    let plain = word.folded.strip_prefix(['x', '×']).or_else(|| word.folded.strip_suffix(['x', '×']));
    let digits = plain.unwrap_or(&word.folded);
    let whole = (1..=3).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
    let in_words = || data::numbers().find(|(_, w)| fold::words(w).concat() == word.folded).map(|(n, _)| n);
    digits.parse().ok().filter(|n| whole && *n > 0).or_else(in_words)
}

/// `6-pack`: a number and its piece in one word.
fn compound(word: &Word) -> Option<u32> {
    let (digits, noun) = word.text.split_once(['-', '\u{2010}', '\u{2011}'])?;
    let noun = fold::words(noun).concat();
    let whole = (1..=3).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
    (whole && data::of_pieces(OfPieces::Piece).any(|l| l == noun)).then(|| digits.parse().ok())?
}

/// The number of pieces that word `w` of row `r` states. Sentences such as `never burn 2 candles at once` state none.
fn of_pieces(rows: &[Row], r: usize, w: usize) -> Option<u32> {
    let words = &rows[r].words;
    let joined = compound(&words[w]);
    let stated = joined.or_else(|| number(&words[w]))?;
    // `also in a set of 2` runs on before the words for a pack.
    let pack = ends_with(&words[..w], OfPieces::Pack);
    let first = w - pack.unwrap_or(0);
    // A line that ends in pieces, such as `12 candles`, has ended.
    let over = above(rows, r)
        .filter(|&a| first == 0 && ends_with(&rows[a].words, OfPieces::Piece).is_none())
        .and_then(|a| rows[a].words.last());
    let before = words[..first].last().or(over);
    // A sentence that runs on, here or from the line above.
    let runs_on = before.is_some_and(|b| !parts(b) && b.text.chars().all(|c| c.is_lowercase() || c == '\''));
    let listed_before = ends_with(&words[..first], OfPieces::Before).is_some();
    let begins = listed_before || before.is_none_or(parts) || (first == 0 && !runs_on) || (pack.is_some() && !runs_on);
    if joined.is_some() {
        return begins.then_some(stated);
    }
    let behind = &words[w + 1..];
    let noun = |from: usize| {
        let rest = behind.get(from..).unwrap_or(&[]);
        (1..=MOST_WORDS.min(rest.len())).rev().find(|&n| listed(&rest[..n], OfPieces::Piece)).map(|n| from + n)
    };
    // One further word may stand between: `8 scented melts`.
    let plain = behind.first().is_some_and(|w| !parts(w) && w.text.chars().all(char::is_alphabetic));
    let noun = noun(0).or_else(|| noun(1).filter(|_| plain));
    let ends = |n: usize| {
        let last = if n == 0 { &words[w] } else { &behind[n - 1] };
        let next = behind.get(n);
        parts(last)
            || next.is_none_or(|next| next.folded.is_empty() || next.text.starts_with(['(', '-', '/', '|', '\u{b7}']))
    };
    match noun {
        Some(n) => (begins && ends(n)).then_some(stated),
        None => (pack.is_some() && begins && ends(0)).then_some(stated),
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

/// Whether the first of these words are one for a piece.
pub fn of_piece(words: &[Word]) -> bool {
    (1..=MOST_WORDS.min(words.len())).any(|n| listed(&words[..n], OfPieces::Piece))
}

/// How many of the last of these words are one of the list.
fn ends_with(words: &[Word], place: OfPieces) -> Option<usize> {
    (1..=MOST_WORDS.min(words.len())).find(|&n| listed(&words[words.len() - n..], place))
}

#[cfg(test)]
mod tests {
    use super::of_pieces;
    use crate::review::rows::of_text;

    fn said(text: &str) -> Vec<u32> {
        let rows = of_text(text);
        super::places(&rows).filter_map(|(r, w)| of_pieces(&rows, r, w)).collect()
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
            "six tealights\n",
            "Boîte de 6 bougies chauffe-plat",
            "6 pcs",
            "x6 tealights",
            "Lavender, 6 candles",
            "SIX MELTS",
            "6-pack",
            "6-cube clamshell",
            "6 unscented tea lights",
            "Contains 6 soy melts",
            "6 tea lights / bougies chauffe-plat",
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
            "Small batch - also in a set of 6",
            "Poured 6 May 2026",
            "6 Drift Row",
            "6 melts of this size fill the bowl",
        ] {
            assert_eq!(said(text), [0; 0], "{text}");
        }
    }
}
