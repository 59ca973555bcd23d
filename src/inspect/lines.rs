//! Groups seen glyphs to words and lines, by their places alone and not by the order in the file.

use super::seen::{Area, Glyph, SeenPage};
use serde::Serialize;
use std::collections::BTreeMap;

/// A word: glyphs without white space between them.
#[derive(Debug, Clone, Serialize)]
pub struct Word {
    /// Its characters after `plain`.
    pub text: String,
    /// Indices into [`SeenPage::glyphs`], from left to right.
    pub glyphs: Vec<usize>,
    /// The box round its ink, in mm.
    pub ink: Option<Area>,
    /// The largest em in it, in mm.
    pub em: f64,
    /// Whether all its letters are bold; `None` if that cannot be told.
    pub bold: Option<bool>,
    /// The middle one of its letters' widths as shares of what the font gives; 1 is neither squeezed nor stretched.
    pub stretch: f64,
    /// The least contrast of its letters to what is behind them, 1 to 21; `None` if that of any cannot be told.
    pub contrast: Option<f64>,
}

impl Word {
    /// A word of no letters.
    #[must_use]
    pub fn empty() -> Self {
        Self { text: String::new(), glyphs: Vec::new(), ink: None, em: 0.0, bold: None, stretch: 1.0, contrast: None }
    }

    /// Sums up its letters; `bold` is told for each face of the page once.
    fn sum_up(&mut self, page: &SeenPage, bold: &mut BTreeMap<(usize, bool), Option<bool>>) {
        let glyphs = || self.glyphs.iter().map(|&n| &page.glyphs[n]);
        let mut stretches: Vec<f64> = glyphs().map(|g| g.stretch).collect();
        stretches.sort_by(f64::total_cmp);
        let stretch = stretches.get(stretches.len() / 2).copied();
        let ink = Area::round(glyphs().filter_map(|g| g.ink.as_ref()));
        let em = glyphs().map(|g| g.em).fold(0.0, f64::max);
        let contrast = glyphs().map(|g| g.contrast).reduce(|a, b| Some(a?.min(b?))).flatten();
        let mut all = Some(true);
        for &n in &self.glyphs {
            let glyph = &page.glyphs[n];
            let one = *bold.entry((glyph.face, glyph.rim > 0.0)).or_insert_with(|| page.bold(n));
            all = match (all, one) {
                (Some(false), _) | (_, Some(false)) => Some(false),
                (None, _) | (_, None) => None,
                _ => Some(true),
            };
        }
        (self.ink, self.em, self.contrast, self.bold) = (ink, em, contrast, all);
        self.stretch = stretch.unwrap_or(1.0);
    }
}

/// Words on one baseline that are not parted by a wide gap.
#[derive(Debug, Clone, Serialize)]
pub struct Line {
    /// From left to right.
    pub words: Vec<Word>,
    /// From the top, in mm.
    pub baseline: f64,
    /// Left end, in mm.
    pub left: f64,
    /// Right end, in mm.
    pub right: f64,
    /// The largest em in it, in mm.
    pub em: f64,
}

/// Baselines nearer than this share of the em are one line.
const SAME_BASELINE: f64 = 0.08;
/// A gap wider than this share of the em parts words (a word space is about 0.25 em, kerning below 0.1 em).
const WORD_GAP: f64 = 0.16;
/// Lines further apart than this many ems do not continue each other.
const LINE_REACH: f64 = 3.0;

/// A character as compared: spaces of all kinds alike, hyphens of all kinds alike, invisible break hints left out.
#[must_use]
pub fn plain(c: char) -> Option<char> {
    match c {
        '\u{AD}' | '\u{200B}' | '\u{2060}' | '\u{FEFF}' => None,
        '\u{2010}' | '\u{2011}' => Some('-'),
        c if c.is_whitespace() => Some(' '),
        c => Some(c),
    }
}

/// The characters of a glyph after [`plain`]. A soft hyphen with ink is seen as the hyphen it is drawn as: some programs
/// write every hyphen so, because both look alike in their fonts.
pub fn printed(glyph: &Glyph) -> impl Iterator<Item = char> + '_ {
    let drawn = glyph.ink.is_some();
    glyph.text.chars().filter_map(move |c| if c == '\u{AD}' && drawn { Some('-') } else { plain(c) })
}

/// Lines of the glyphs that `take` chooses; a gap of more than `gap` ems parts blocks that stand side by side.
#[must_use]
pub fn group(page: &SeenPage, gap: f64, take: impl Fn(&Glyph) -> bool) -> Vec<Line> {
    let mut order: Vec<usize> = (0..page.glyphs.len())
        .filter(|&n| page.glyphs[n].level && page.glyphs[n].em > 0.0 && take(&page.glyphs[n]))
        .collect();
    order.sort_by(|&a, &b| page.glyphs[a].baseline.total_cmp(&page.glyphs[b].baseline));
    let mut lines = Vec::new();
    let mut rest = order.as_slice();
    while let Some(&first) = rest.first() {
        let start = &page.glyphs[first];
        let end = rest.iter().position(|&n| page.glyphs[n].baseline - start.baseline > SAME_BASELINE * start.em);
        let (row, later) = rest.split_at(end.unwrap_or(rest.len()));
        let mut row = row.to_vec();
        row.sort_by(|&a, &b| page.glyphs[a].x.total_cmp(&page.glyphs[b].x));
        part(page, &row, gap, &mut lines);
        rest = later;
    }
    let mut bold = BTreeMap::new();
    for word in lines.iter_mut().flat_map(|line: &mut Line| &mut line.words) {
        word.sum_up(page, &mut bold);
    }
    lines
}

fn part(page: &SeenPage, row: &[usize], gap: f64, lines: &mut Vec<Line>) {
    let mut line: Option<Line> = None;
    let mut parted = true;
    for &n in row {
        let glyph = &page.glyphs[n];
        if glyph.is_space() {
            parted = true;
            continue;
        }
        let room = line.as_ref().map(|l| (glyph.x - l.right) / glyph.em.max(l.em));
        if room.is_some_and(|r| r > gap) {
            lines.extend(line.take());
        }
        if room.is_none_or(|r| r > WORD_GAP) {
            parted = true;
        }
        let line = line.get_or_insert_with(|| {
            parted = true;
            Line { words: Vec::new(), baseline: glyph.baseline, left: glyph.x, right: glyph.x, em: glyph.em }
        });
        line.right = line.right.max(glyph.end);
        line.em = line.em.max(glyph.em);
        if parted {
            line.words.push(Word::empty());
            parted = false;
        }
        if let Some(word) = line.words.last_mut() {
            word.text.extend(printed(glyph).filter(|c| *c != ' '));
            word.glyphs.push(n);
        }
    }
    lines.extend(line);
}

/// The lines that may continue line `n`: the nearest below it that stand at least partly under it.
#[must_use]
pub fn below(lines: &[Line], n: usize) -> Vec<usize> {
    let here = &lines[n];
    let mut found: Vec<usize> = Vec::new();
    for (m, next) in lines.iter().enumerate().skip(n + 1) {
        let drop = next.baseline - here.baseline;
        if drop > LINE_REACH * here.em {
            break;
        }
        if drop < 0.3 * here.em.min(next.em) || next.right <= here.left || next.left >= here.right {
            continue;
        }
        match found.first() {
            Some(&nearest) if next.baseline - lines[nearest].baseline > SAME_BASELINE * here.em => break,
            _ => found.push(m),
        }
    }
    found
}
