//! Lines of a label as folded characters, each with its glyph; from a read page or from plain text. Part of `review`.

use super::fold;
use crate::inspect::{Glyph, Line, SeenPage};
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

/// The lines of a page, pieces of a justified one put together.
pub fn of(page: &SeenPage, lines: &[Line]) -> Vec<Row> {
    joined(page, &apart(page, lines))
}

/// The lines of a page as they are.
pub fn apart(page: &SeenPage, lines: &[Line]) -> Vec<Row> {
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
        for word in words(page, line) {
            let letters: Vec<(char, usize)> = word
                .iter()
                .flat_map(|&n| crate::inspect::printed(&page.glyphs[n]).map(move |c| (c, n)))
                .filter(|(c, _)| *c != ' ')
                .collect();
            row.push(&letters, word);
        }
        row
    };
    lines.iter().map(row).collect()
}

/// The lines of a page that can be seen, as it stands and turned by quarters where writing becomes level by that.
pub fn of_page(page: &SeenPage) -> Vec<Row> {
    let turned = |q: u8| {
        page.glyphs.iter().any(|g| (g.turn.rem_euclid(360.0) - 90.0 * f64::from(q)).abs() < 2.0 && !g.is_space())
    };
    let views = (1..4_u8).filter(|q| turned(*q)).map(|q| page.turned(q)).flat_map(|view| of(&view, &view.lines));
    of(page, &page.lines).into_iter().chain(views).collect()
}

/// The words of a line. Where letters are spaced out, only a wider gap than theirs parts words.
fn words(page: &SeenPage, line: &Line) -> Vec<Vec<usize>> {
    /// Letters further apart than this are spaced out; words stand so much further apart than letters (in ems).
    const GAPS: (f64, f64) = (0.08, 0.12);
    let glyphs: Vec<usize> = line.words.iter().flat_map(|w| w.glyphs.iter().copied()).collect();
    let gap = |pair: &[usize]| (page.glyphs[pair[1]].x - page.glyphs[pair[0]].end) / line.em;
    let mut gaps: Vec<f64> = glyphs.windows(2).map(gap).collect();
    gaps.sort_by(f64::total_cmp);
    let usual = gaps.get(gaps.len() / 2).copied().unwrap_or(0.0);
    // Of a few letters it cannot be told.
    // Nor where short words, as in `9 OZ / 255 g`, make as many gaps between words as between letters.
    let narrow = gaps.get(gaps.len() / 4).copied().unwrap_or(0.0);
    if line.em <= 0.0 || glyphs.len() < 5 || narrow < GAPS.0 {
        return line.words.iter().map(|w| w.glyphs.clone()).collect();
    }
    let mut out: Vec<Vec<usize>> = vec![vec![glyphs[0]]];
    for pair in glyphs.windows(2) {
        if gap(pair) > usual + GAPS.1 {
            out.push(Vec::new());
        }
        if let Some(word) = out.last_mut() {
            word.push(pair[1]);
        }
    }
    out
}

/// Pieces of one justified line put together again: words that stand far apart, and all equally far.
fn joined(page: &SeenPage, rows: &[Row]) -> Vec<Row> {
    let mut out: Vec<Row> = Vec::with_capacity(rows.len());
    let mut rest = rows;
    while let Some(first) = rest.first() {
        let same = |r: &Row| (r.baseline - first.baseline).abs() <= SAME_BASELINE * first.em;
        let (pieces, later) = rest.split_at(rest.iter().position(|r| !same(r)).unwrap_or(rest.len()));
        rest = later;
        if pieces.len() == 1 || !justified(page, pieces) {
            out.extend_from_slice(pieces);
            continue;
        }
        let mut whole = first.clone();
        for piece in &pieces[1..] {
            let from = whole.chars.len();
            whole.chars.extend_from_slice(&piece.chars);
            whole.flat += &piece.flat;
            whole.words.extend(piece.words.iter().cloned().map(|mut word| {
                word.chars = word.chars.start + from..word.chars.end + from;
                word
            }));
            whole.right = whole.right.max(piece.right);
            whole.em = whole.em.max(piece.em);
        }
        out.push(whole);
    }
    out
}

/// Whether the gaps between all words of these pieces are alike, and no wider than justifying makes them.
fn justified(page: &SeenPage, pieces: &[Row]) -> bool {
    /// Gaps of one line differ by a point or comma and by rounding.
    const ALIKE: f64 = 1.3;
    /// In ems.
    const WIDEST: f64 = 6.0;
    let words: Vec<(f64, f64)> = pieces
        .iter()
        .flat_map(|r| &r.words)
        .filter_map(|w| Some((page.glyphs[*w.glyphs.first()?].x, page.glyphs[*w.glyphs.last()?].end)))
        .collect();
    let gaps = || words.windows(2).map(|w| w[1].0 - w[0].1);
    let (least, most) = gaps().fold((f64::INFINITY, 0.0_f64), |(l, m), gap| (l.min(gap), m.max(gap)));
    words.len() >= 3 && least > 0.0 && most <= least * ALIKE && most <= WIDEST * pieces[0].em
}

/// Writing on a curve: letters that follow each other in the file and on paper, some of them at no right angle.
pub fn bent(page: &SeenPage, take: impl Fn(&Glyph) -> bool) -> Vec<Row> {
    /// Gaps wider than this part words, and those wider than the second part lines, in ems.
    const GAPS: (f64, f64) = (0.2, 1.5);
    /// Below all that is level or turned by quarters.
    const APART: f64 = 500_000.0;
    let askew = |g: &Glyph| (g.turn.rem_euclid(90.0) - 45.0).abs() < 43.0;
    let mut rows: Vec<Row> = Vec::new();
    if !page.glyphs.iter().any(|g| askew(g) && !g.mirrored && take(g)) {
        return rows;
    }
    let mut line: Vec<Vec<usize>> = Vec::new();
    let mut last: Option<&Glyph> = None;
    let mut close = |line: &mut Vec<Vec<usize>>| {
        line.retain(|w| !w.is_empty());
        if line.iter().flatten().any(|&n| askew(&page.glyphs[n])) {
            let count = rows.len();
            rows.push(bent_row(page, line, APART + 1000.0 * f64::from(u16::try_from(count).unwrap_or(u16::MAX))));
        }
        line.clear();
    };
    for (n, glyph) in page.glyphs.iter().enumerate().filter(|(_, g)| take(g) && !g.mirrored && g.em > 0.0) {
        let gap = last.map(|l| (glyph.x - l.end).hypot(glyph.baseline - l.end_y) / glyph.em);
        if gap.is_none_or(|g| g > GAPS.1) {
            close(&mut line);
        }
        if glyph.is_space() || line.is_empty() || gap.is_some_and(|g| g > GAPS.0) {
            line.push(Vec::new());
        }
        if !glyph.is_space()
            && let Some(word) = line.last_mut()
        {
            word.push(n);
        }
        last = Some(glyph);
    }
    close(&mut line);
    rows
}

fn bent_row(page: &SeenPage, words: &[Vec<usize>], baseline: f64) -> Row {
    let em = words.iter().flatten().map(|&n| page.glyphs[n].em).fold(0.0, f64::max);
    let mut row =
        Row { chars: Vec::new(), words: Vec::new(), flat: String::new(), baseline, left: 0.0, right: 100.0, em };
    for word in words {
        let letters: Vec<(char, usize)> = word
            .iter()
            .flat_map(|&n| crate::inspect::printed(&page.glyphs[n]).map(move |c| (c, n)))
            .filter(|(c, _)| *c != ' ')
            .collect();
        row.push(&letters, word.clone());
    }
    row
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
/// Rows on either side of one that are looked at: columns side by side have some dozen pieces on a line.
const MOST_NEAR: usize = 64;
/// Baselines nearer than this share of the em are one line.
const SAME_BASELINE: f64 = 0.08;

/// The row that row `n` may continue.
pub fn above(rows: &[Row], n: usize) -> Option<usize> {
    (n.saturating_sub(MOST_NEAR)..n).rev().find(|&r| below(rows, r).contains(&n))
}

/// The rows that may continue row `n`: the nearest below it that stand at least partly under it.
pub fn below(rows: &[Row], n: usize) -> Vec<usize> {
    let here = &rows[n];
    let mut found: Vec<usize> = Vec::new();
    for (m, next) in rows.iter().enumerate().skip(n + 1).take(MOST_NEAR) {
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
