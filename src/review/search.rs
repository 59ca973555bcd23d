//! Looks for a sentence in the rows of a label, letter by letter, and for what comes near it. Part of `review`.
//!
//! Line breaks, hyphens at the end of a line, letter-spacing, case and points do not count; words, letters and figures do.

use super::fold;
use super::rows::{Row, below};

/// One letter of a sentence.
#[derive(Debug, Clone, Copy)]
pub struct Letter {
    c: char,
    /// A space stands before it.
    gap: bool,
}

/// Where a sentence stands.
#[derive(Debug, Clone, Default)]
pub struct Hit {
    /// Glyphs of each printed word it takes part of.
    pub words: Vec<Vec<usize>>,
    /// Row in which it begins.
    pub row: usize,
}

impl Hit {
    /// All glyphs.
    pub fn glyphs(&self) -> impl Iterator<Item = usize> + '_ {
        self.words.iter().flatten().copied()
    }
}

/// Steps after which one search gives up; a label needs some thousand.
const MOST_STEPS: usize = 400_000;
/// Places of one sentence that are looked at.
const MOST_PLACES: usize = 20;

/// The letters of a sentence.
pub fn letters(text: &str) -> Vec<Letter> {
    let words = fold::words(text);
    words.iter().flat_map(|w| w.chars().enumerate().map(|(n, c)| Letter { c, gap: n == 0 })).collect()
}

/// Every place where the sentence stands, up to a bound.
pub fn find(rows: &[Row], wanted: &[Letter]) -> Vec<Hit> {
    let mut search = Search { rows, steps: 0 };
    let mut places = Vec::new();
    let Some(first) = wanted.first() else { return places };
    if !likely(rows, wanted) {
        return places;
    }
    for (n, row) in rows.iter().enumerate() {
        for (at, ch) in row.chars.iter().enumerate() {
            let begins = ch.start || at.checked_sub(1).is_some_and(|b| !row.chars[b].c.is_alphanumeric());
            if !begins || ch.c != first.c {
                continue;
            }
            let mut path = Vec::new();
            if search.follow(n, at, wanted, &mut path) && !run_together(rows, wanted, &path) {
                places.push(hit(rows, n, &path));
            }
            if places.len() >= MOST_PLACES || search.steps > MOST_STEPS {
                return places;
            }
        }
    }
    places
}

/// Whether words of the sentence stand on the label without a space between them: one may, by the way a program sets them.
fn run_together(rows: &[Row], wanted: &[Letter], path: &[(usize, usize)]) -> bool {
    let spaces = || wanted.iter().zip(path).skip(1).filter(|(w, _)| w.gap);
    let lost = |(_, (row, at)): &(&Letter, &(usize, usize))| *at > 0 && !rows[*row].chars[*at].start;
    let lost = spaces().filter(lost).count();
    lost >= 2 && 3 * lost > spaces().count()
}

/// Whether most words of the sentence stand somewhere: a word may be parted by the end of a line, not all of them.
fn likely(rows: &[Row], wanted: &[Letter]) -> bool {
    let (mut there, mut all, mut word) = (0, 0, String::new());
    let mut count = |word: &str| {
        if word.chars().count() > 2 {
            all += 1;
            there += usize::from(rows.iter().any(|r| r.flat.contains(word)));
        }
    };
    for letter in wanted {
        if letter.gap {
            count(&word);
            word.clear();
        }
        word.push(letter.c);
    }
    count(&word);
    all < 2 || there * 2 >= all
}

/// Whether the sentence stands anywhere.
pub fn has(rows: &[Row], text: &str) -> bool {
    !find(rows, &letters(text)).is_empty()
}

/// The glyphs of a path. Of words that are in it whole the points count too, and so do points that stand alone between.
fn hit(rows: &[Row], row: usize, path: &[(usize, usize)]) -> Hit {
    let mut words: Vec<Vec<usize>> = Vec::new();
    let mut at = 0;
    while let Some(&(r, first)) = path.get(at) {
        let count = path[at..].iter().take_while(|(other, _)| *other == r).count();
        let last = path[at + count - 1].1;
        for word in &rows[r].words {
            let range = &word.chars;
            let inside = range.start > first || (range.start == first && !range.is_empty());
            if range.start >= first && range.end <= last + 1 && inside {
                words.push(word.glyphs.clone());
            } else if range.start <= last && range.end > first {
                let of_word = (range.start.max(first)..range.end.min(last + 1)).map(|n| rows[r].chars[n].glyph);
                let mut glyphs: Vec<usize> = of_word.collect();
                glyphs.dedup();
                words.push(glyphs);
            }
        }
        at += count;
    }
    words.retain(|w| !w.is_empty());
    Hit { words, row }
}

struct Search<'a> {
    rows: &'a [Row],
    steps: usize,
}

impl Search<'_> {
    /// Whether `wanted` stands from character `at` of row `n` on; `path` takes the characters.
    fn follow(&mut self, n: usize, mut at: usize, wanted: &[Letter], path: &mut Vec<(usize, usize)>) -> bool {
        let chars = &self.rows[n].chars;
        let broken_before = at == 0;
        for (k, want) in wanted.iter().enumerate() {
            self.steps += 1;
            if self.steps > MOST_STEPS {
                return false;
            }
            let Some(ch) = chars.get(at) else { return self.next_row(n, &wanted[k..], path) };
            if ch.c != want.c {
                // A hyphen at the end of a line may stand for a break inside a word.
                if ch.c == '-' && at + 1 == chars.len() && at > 0 && !want.gap {
                    return self.next_row(n, &wanted[k..], path);
                }
                return false;
            }
            // Between figures a space makes another number.
            let before = path.last().map(|&(r, a)| self.rows[r].chars[a].c);
            let figures = ch.c.is_ascii_digit() && before.is_some_and(|b| b.is_ascii_digit());
            let gap = ch.start || (k == 0 && broken_before);
            if figures && gap != want.gap {
                return false;
            }
            path.push((n, at));
            at += 1;
        }
        chars.get(at).is_none_or(|ch| ch.start || !ch.c.is_alphanumeric())
    }

    fn next_row(&mut self, n: usize, wanted: &[Letter], path: &mut Vec<(usize, usize)>) -> bool {
        let length = path.len();
        // A row of points only has no letter to go on with.
        for next in below(self.rows, n).into_iter().filter(|&next| !self.rows[next].chars.is_empty()) {
            if self.follow(next, 0, wanted, path) {
                return true;
            }
            path.truncate(length);
        }
        false
    }
}

/// What comes near a sentence that is not there.
#[derive(Debug, Clone)]
pub struct Near {
    /// What stands there.
    pub found: String,
    /// The words that differ: those asked for, and those that stand there.
    pub differ: Vec<(String, String)>,
    /// Glyph of the first word that differs, else of the first word.
    pub glyph: Option<usize>,
    /// How alike, 0 to 1.
    pub alike: f64,
    /// All its glyphs.
    pub glyphs: Vec<usize>,
}

/// Places tried for one sentence.
const MOST_TRIES: usize = 1_500;
/// Words of a sentence that are compared.
const MOST_WORDS: usize = 48;
/// Less alike than this is something else.
const LEAST_ALIKE: f64 = 0.6;

/// One word of the label.
struct Piece<'a> {
    text: &'a str,
    folded: &'a str,
    glyphs: &'a [usize],
    /// Whether a sentence may end with it: there is a full stop, or nothing below.
    closes: bool,
}

/// The place most like the sentence, with none of the glyphs `taken`; `None` if none is like it.
pub fn near(rows: &[Row], text: &str, taken: impl Fn(usize) -> bool) -> Option<Near> {
    let wanted: Vec<(String, String)> = text
        .split_whitespace()
        .map(|w| (w.to_owned(), fold::words(w).concat()))
        .filter(|(_, f)| !f.is_empty())
        .take(MOST_WORDS)
        .collect();
    let mut best: Option<Near> = None;
    let mut tries = 0;
    for (n, row) in rows.iter().enumerate() {
        for (w, word) in row.words.iter().enumerate() {
            if word.folded.is_empty() || word.glyphs.first().is_some_and(|&g| taken(g)) {
                continue;
            }
            tries += 1;
            if tries > MOST_TRIES {
                return best;
            }
            let place = run(rows, n, w, wanted.len() + 3, &taken);
            let shared = wanted.iter().filter(|(_, f)| place.iter().any(|p| p.folded == f)).count();
            if wanted.len() > 3 && shared * 5 < wanted.len() * 2 {
                continue;
            }
            let likely = place.first().is_some_and(|p| wanted.iter().take(2).any(|(_, f)| similar(f, p.folded) > 0.5));
            if !likely {
                continue;
            }
            let found = align(&wanted, &place);
            if found.alike >= LEAST_ALIKE && best.as_ref().is_none_or(|b| found.alike > b.alike) {
                best = Some(found);
            }
        }
    }
    best
}

/// Words from a place on, row after row, up to those that are `taken`.
fn run<'r>(rows: &'r [Row], mut n: usize, w: usize, count: usize, taken: &impl Fn(usize) -> bool) -> Vec<Piece<'r>> {
    let mut out = Vec::new();
    let mut from = w;
    loop {
        let next = below(rows, n).first().copied();
        for (at, word) in rows[n].words.iter().enumerate().skip(from).filter(|(_, w)| !w.folded.is_empty()) {
            if word.glyphs.iter().any(|&g| taken(g)) {
                return out;
            }
            let last = next.is_none() && at + 1 == rows[n].words.len();
            let closes = last || word.text.ends_with(['.', '!', '?']);
            out.push(Piece { text: &word.text, folded: &word.folded, glyphs: &word.glyphs, closes });
            if out.len() == count {
                return out;
            }
        }
        from = 0;
        match next {
            Some(next) => n = next,
            None => return out,
        }
    }
}

/// How alike two words are: 1 for the same, 0 for nothing shared. Two different numbers are not alike at all.
pub fn similar(a: &str, b: &str) -> f64 {
    if a == b {
        return 1.0;
    }
    let number = |t: &str| t.chars().any(|c| c.is_ascii_digit());
    if number(a) && number(b) {
        return 0.3;
    }
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().take(40).collect(), b.chars().take(40).collect());
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let change = diagonal + usize::from(x != y);
            diagonal = row[j + 1];
            row[j + 1] = change.min(diagonal + 1).min(row[j] + 1);
        }
    }
    let longest = a.len().max(b.len()).max(1);
    #[expect(clippy::cast_precision_loss, reason = "at most 40 letters")]
    let alike = 1.0 - row[b.len()] as f64 / longest as f64;
    if alike < 0.5 { 0.0 } else { alike }
}

/// The alignment of the sentence with the words of a place that keeps most.
fn align(wanted: &[(String, String)], place: &[Piece<'_>]) -> Near {
    let (n, m) = (wanted.len(), place.len());
    let mut best = vec![vec![0.0_f64; m + 1]; n + 1];
    for k in (0..n).rev() {
        for p in (0..m).rev() {
            let both = similar(&wanted[k].1, place[p].folded);
            best[k][p] = (best[k + 1][p + 1] + both).max(best[k + 1][p]).max(best[k][p + 1] - 0.01);
        }
    }
    let (mut k, mut p) = (0, 0);
    let mut pairs: Vec<(Option<usize>, Option<usize>)> = Vec::new();
    while k < n && p < m {
        let both = similar(&wanted[k].1, place[p].folded);
        if both > 0.0 && (best[k][p] - best[k + 1][p + 1] - both).abs() < 1e-9 {
            pairs.push((Some(k), Some(p)));
            (k, p) = (k + 1, p + 1);
        } else if (best[k][p] - best[k + 1][p]).abs() < 1e-9 {
            pairs.push((Some(k), None));
            k += 1;
        } else {
            pairs.push((None, Some(p)));
            p += 1;
        }
    }
    pairs.extend((k..n).map(|k| (Some(k), None)));
    // What follows the last word that fits belongs to something else.
    let end = pairs.iter().rposition(|(k, p)| k.is_some() && p.is_some()).map_or(0, |at| at + 1);
    let tail: Vec<_> = pairs.split_off(end).into_iter().filter(|(k, _)| k.is_some()).collect();
    let last = pairs.iter().rev().find_map(|(_, p)| *p);
    pairs.extend(
        last.and_then(|last| instead_of_tail(wanted, &tail, place, last))
            .into_iter()
            .flatten()
            .map(|p| (None, Some(p))),
    );
    pairs.extend(tail);
    let mut differ: Vec<(Vec<&str>, Vec<&str>)> = Vec::new();
    let mut glyph = None;
    let mut open = false;
    for (k, p) in &pairs {
        let same = matches!((k, p), (Some(k), Some(p)) if wanted[*k].1 == place[*p].folded);
        if same {
            open = false;
            continue;
        }
        if !open {
            differ.push((Vec::new(), Vec::new()));
            open = true;
        }
        if let Some((asked, there)) = differ.last_mut() {
            asked.extend(k.map(|k| wanted[k].0.as_str()));
            there.extend(p.map(|p| place[p].text));
        }
        glyph = glyph.or_else(|| p.and_then(|p| place[p].glyphs.first().copied()));
    }
    let found: Vec<&str> = pairs.iter().filter_map(|(_, p)| p.map(|p| place[p].text)).collect();
    #[expect(clippy::cast_precision_loss, reason = "at most 48 words")]
    let alike = best[0][0] / n.max(1) as f64;
    Near {
        found: found.join(" "),
        differ: differ.into_iter().map(|(a, b)| (a.join(" "), b.join(" "))).collect(),
        glyph: glyph.or_else(|| place.first().and_then(|p| p.glyphs.first().copied())),
        alike,
        glyphs: pairs.iter().filter_map(|(_, p)| *p).flat_map(|p| place[p].glyphs).copied().collect(),
    }
}

/// Words that end the sentence on the label in place of its own last ones: no more than those, and up to its full stop.
fn instead_of_tail(
    wanted: &[(String, String)],
    tail: &[(Option<usize>, Option<usize>)],
    place: &[Piece<'_>],
    last: usize,
) -> Option<std::ops::RangeInclusive<usize>> {
    /// More words than these are another sentence.
    const MOST: usize = 2;
    // A capital where none was asked for begins another sentence.
    let capital = |t: &str| t.starts_with(char::is_uppercase) && t.contains(char::is_lowercase);
    let (first, next) = (wanted.get(tail.first()?.0?)?, place.get(last + 1)?);
    if place[last].text.ends_with(['.', '!', '?']) || (capital(next.text) && !capital(&first.0)) {
        return None;
    }
    let end = (last + 1..place.len()).take(tail.len().min(MOST)).find(|&p| place[p].closes)?;
    Some(last + 1..=end)
}

#[cfg(test)]
mod tests {
    use super::super::rows::of_text;
    use super::{find, has, letters, near};

    #[test]
    fn a_sentence_is_found_over_line_breaks_hyphens_case_and_spaces() {
        for text in [
            "Never leave a burning candle unattended.",
            "NEVER LEAVE A BURNING\nCANDLE UNATTENDED!",
            "never leave a burn-\ning candle unat-\ntended",
            "N e v e r leave a burning candle unattended",
            "\u{2022} Never leave a  burning candle\u{a0}unattended;",
        ] {
            assert!(has(&of_text(text), "Never leave a burning candle unattended."), "{text}");
        }
        assert!(has(&of_text("Burn on a level, heat-\nsafe surface"), "Burn on a level, heat-safe surface."));
    }

    #[test]
    fn other_words_and_other_numbers_are_not_taken_for_it() {
        assert!(!has(&of_text("Unscented candle"), "scented candle"));
        assert!(!has(&of_text("Scented candles"), "scented candle"));
        assert!(!has(&of_text("NET WT 19 OZ"), "NET WT 9 OZ"));
        assert!(!has(&of_text("Trim to 11/4 in"), "Trim to 1 1/4 in"));
        assert!(!has(&of_text("Burn at most 4.5 hours"), "Burn at most 45 hours"));
        assert!(!has(
            &of_text("Never leave a burning\n\n\n\n\ncandle unattended"),
            "Never leave a burning candle unattended"
        ));
    }

    #[test]
    fn a_near_miss_is_told_word_by_word() {
        let rows = of_text("Danger\nMay cause an alergic skin reaction. Keep out of reach");
        let near = near(&rows, "May cause an allergic skin reaction.", |_| false).unwrap();
        assert_eq!(near.differ, [("allergic".to_owned(), "alergic".to_owned())]);
        assert_eq!(near.found, "May cause an alergic skin reaction.");
    }

    #[test]
    fn a_wrong_last_word_is_shown_and_a_new_sentence_is_not() {
        let slip = |text: &str| near(&of_text(text), "Burn candle within sight.", |_| false).unwrap();
        let wrong = slip("Burn candle within site.\nKeep away from things that catch fire.");
        assert_eq!(wrong.differ, [("sight.".to_owned(), "site.".to_owned())]);
        assert_eq!(wrong.found, "Burn candle within site.");
        let short = slip("Burn candle within\nKeep lid.");
        assert_eq!(short.differ, [("sight.".to_owned(), String::new())]);
        let short = slip("Burn candle within Lot 26329A4 of the third week.");
        assert_eq!(short.differ, [("sight.".to_owned(), String::new())]);
    }

    #[test]
    fn words_that_serve_another_statement_end_a_near_miss() {
        let rows = of_text("Burn candle within site.");
        let site = rows[0].words[3].glyphs.clone();
        let near = near(&rows, "Burn candle within sight.", |g| site.contains(&g)).unwrap();
        assert_eq!(near.found, "Burn candle within");
    }

    #[test]
    fn every_place_is_found() {
        assert_eq!(find(&of_text("lot lot\nlot"), &letters("Lot")).len(), 3);
    }
}
