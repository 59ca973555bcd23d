//! Paragraphs broken into lines. Part of `page`; `keep` says where a line may end.
//!
//! A paragraph is shaped once in each family of faces; at any scale the width of a stretch then follows from sums of
//! advances, and is the width of the same stretch shaped alone (kerning acts between neighbours only).

use super::keep::{is_space, opportunities};
use super::size::{Scale, at};
use crate::font::{FaceId, Missing, face};
use crate::plan::ClearSpace;
use crate::unit::Length;
use std::ops::Range;

/// Line distance, in percent of the em.
const LEADING: i64 = 122;
/// Height of the safety alert symbol, in percent of the signal word's capitals.
const SYMBOL: i64 = 125;
/// Space after the symbol, in percent of the em.
const SYMBOL_SPACE: i64 = 32;

/// Why something finds no room, by how much.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Short {
    /// The rows are higher than the part.
    Height(Length),
    /// A word, code or cell is wider than its place.
    Width(Length, String),
    /// A row that belongs into the lowest so many percent of the part stands higher.
    Lowest(u8, String),
}

/// Text of one look, as given to [`Paragraph::new`].
pub(super) struct Words {
    pub text: String,
    pub face: FaceId,
    /// The em at the legal floor.
    pub floor: Length,
}

/// Text of one look within a paragraph.
struct Span {
    face: FaceId,
    floor: Length,
    letters: Range<usize>,
}

/// One character, in font units of its span's face.
struct Letter {
    ch: char,
    /// Advances of all letters of the span before this one.
    before: i64,
    nominal: i64,
    /// Ink left of the origin and right of the advance, where it sticks out.
    out: (i64, i64),
}

/// Letters between two places where a line may end.
pub(super) struct Chunk {
    pub start: usize,
    /// Without the spaces after it.
    pub end: usize,
    /// Whether a line may end here at a space (or the paragraph ends).
    pub at_space: bool,
}

/// Words to be broken into lines.
pub(super) struct Paragraph {
    spans: Vec<Span>,
    letters: Vec<Letter>,
    pub(super) chunks: Vec<Chunk>,
    /// Ink of all its letters above and below the baseline, by span.
    reach: Vec<(i64, i64)>,
    /// Led by the safety alert symbol.
    pub alert: bool,
    /// How far it may grow.
    pub most: Scale,
    /// Free space round it.
    pub clear: Option<ClearSpace>,
    /// The lowest percent of the part it must stand in, and the item that says so.
    pub lowest: Option<(u8, String)>,
}

impl Paragraph {
    /// Shapes the texts, which follow each other with a space between.
    pub fn new(words: Vec<Words>) -> Result<Self, Missing> {
        let mut joined: Vec<Words> = Vec::new();
        let count = words.len();
        for (i, mut w) in words.into_iter().enumerate() {
            if i + 1 < count {
                w.text.push(' ');
            }
            match joined.last_mut() {
                Some(last) if last.face == w.face && last.floor == w.floor => last.text.push_str(&w.text),
                _ => joined.push(w),
            }
        }
        let text: String = joined.iter().map(|w| w.text.as_str()).collect();
        let (mut spans, mut letters, mut reach) = (Vec::new(), Vec::new(), Vec::new());
        for w in &joined {
            let f = face(w.face);
            let start = letters.len();
            let (mut before, mut top, mut low) = (0, f.cap_height(), 0);
            for g in f.shape(&w.text)?.glyphs {
                let ink = f.ink_of(g.ch);
                let out = ink.map_or((0, 0), |(l, _, r, _)| ((-l).max(0), (r - g.nominal).max(0)));
                if let Some((_, y_min, _, y_max)) = ink {
                    (top, low) = (top.max(y_max), low.min(y_min));
                }
                letters.push(Letter { ch: g.ch, before, nominal: g.nominal, out });
                before += g.advance;
            }
            spans.push(Span { face: w.face, floor: w.floor, letters: start..letters.len() });
            reach.push((top, -low));
        }
        let mut chunks = Vec::new();
        let (mut start, mut byte) = (0, 0);
        let ends = opportunities(&text).into_iter().map(|o| (o.next, o.at_space)).chain([(text.len(), true)]);
        for (next, at_space) in ends {
            let count = text[byte..next].chars().count();
            let trimmed = text[byte..next].trim_end_matches(is_space).chars().count();
            chunks.push(Chunk { start, end: start + trimmed, at_space });
            (start, byte) = (start + count, next);
        }
        Ok(Self { spans, letters, chunks, reach, alert: false, most: Scale::FLOOR, clear: None, lowest: None })
    }

    fn em(&self, span: usize, scale: Scale) -> Length {
        scale.min(self.most).of(self.spans[span].floor)
    }
    /// The largest em in it.
    pub fn largest_em(&self, scale: Scale) -> Length {
        (0..self.spans.len()).map(|s| self.em(s, scale)).max().unwrap_or(Length::ZERO)
    }
    /// The smallest em in it.
    pub fn smallest_em(&self, scale: Scale) -> Length {
        (0..self.spans.len()).map(|s| self.em(s, scale)).min().unwrap_or(Length::ZERO)
    }
    /// Height of the safety alert symbol; zero where there is none.
    pub fn symbol_height(&self, scale: Scale) -> Length {
        if !self.alert {
            return Length::ZERO;
        }
        self.spans.first().map_or(Length::ZERO, |s| {
            let f = face(s.face);
            at(self.em(0, scale), f.cap_height(), f).times_ratio(SYMBOL, 100)
        })
    }
    /// What the symbol and the space after it take from the first line.
    pub fn symbol_advance(&self, scale: Scale) -> Length {
        if !self.alert {
            return Length::ZERO;
        }
        super::symbol::width(self.symbol_height(scale)) + self.em(0, scale).times_ratio(SYMBOL_SPACE, 100)
    }
    /// Ink above the baseline.
    pub fn ascent(&self, scale: Scale) -> Length {
        let text = self.spans.iter().zip(&self.reach).enumerate();
        text.map(|(i, (s, r))| at(self.em(i, scale), r.0, face(s.face)))
            .max()
            .unwrap_or(Length::ZERO)
            .max(self.symbol_height(scale))
    }
    /// Ink below the baseline.
    pub fn descent(&self, scale: Scale) -> Length {
        let text = self.spans.iter().zip(&self.reach).enumerate();
        text.map(|(i, (s, r))| at(self.em(i, scale), r.1, face(s.face))).max().unwrap_or(Length::ZERO)
    }
    /// From baseline to baseline.
    pub fn leading(&self, scale: Scale) -> Length {
        self.largest_em(scale).times_ratio(LEADING, 100).max(self.ascent(scale) + self.descent(scale))
    }
    /// Free space it wants above and below, and at its sides.
    pub fn clearance(&self, scale: Scale) -> (Length, Length) {
        let Some(clear) = self.clear else { return (Length::ZERO, Length::ZERO) };
        let sides = self.spans.iter().enumerate().map(|(i, s)| {
            let f = face(s.face);
            at(self.em(i, scale), f.width_of_n(), f)
        });
        let width = sides.max().unwrap_or(Length::ZERO);
        // Round letters and figures reach a little below the baseline: their whole height counts.
        let below = self.spans.iter().enumerate().map(|(i, s)| {
            let f = face(s.face);
            let ink = "O0689".chars().filter_map(|c| f.ink_of(c));
            at(self.em(i, scale), ink.map(|(_, low, _, _)| -low).max().unwrap_or(0).max(0), f)
        });
        let height = self.ascent(scale) + below.max().unwrap_or(Length::ZERO);
        (height * i64::from(clear.heights), width * i64::from(clear.widths_of_n))
    }

    /// The stretches of one look in `range`: face, em, text and advance, the ink that sticks out left and right of all.
    pub fn stretches(&self, range: &Range<usize>, scale: Scale) -> Vec<Stretch> {
        let mut found = Vec::new();
        for (i, span) in self.spans.iter().enumerate() {
            let (from, to) = (span.letters.start.max(range.start), span.letters.end.min(range.end));
            if from >= to {
                continue;
            }
            let (first, last) = (&self.letters[from], &self.letters[to - 1]);
            let f = face(span.face);
            let em = self.em(i, scale);
            found.push(Stretch {
                face: span.face,
                em,
                letters: from..to,
                advance: at(em, last.before + last.nominal - first.before, f),
                out: (at(em, first.out.0, f), at(em, last.out.1, f)),
            });
        }
        found
    }
    /// The characters of a stretch.
    pub fn text(&self, range: &Range<usize>) -> String {
        self.letters[range.clone()].iter().map(|l| l.ch).collect()
    }
    /// Width of letters with all ink that sticks out, without the symbol.
    pub fn width(&self, range: &Range<usize>, scale: Scale) -> Length {
        let mut width = Length::ZERO;
        for (i, span) in self.spans.iter().enumerate() {
            let (from, to) = (span.letters.start.max(range.start), span.letters.end.min(range.end));
            if from < to {
                let (first, last) = (&self.letters[from], &self.letters[to - 1]);
                let left = if from == range.start { first.out.0 } else { 0 };
                let right = if to == range.end { last.out.1 } else { 0 };
                let (f, em) = (face(span.face), self.em(i, scale));
                width =
                    width + at(em, last.before + last.nominal - first.before, f) + at(em, left, f) + at(em, right, f);
            }
        }
        width
    }

    /// A width in font units, where all of the paragraph has one look: a quicker way to [`Self::width`], never wider.
    fn units(&self, room: Length, scale: Scale) -> Option<i64> {
        let [span] = self.spans.as_slice() else { return None };
        // Three lengths are rounded up in `width`.
        let room = i128::from(room.to_raw()) - 3;
        let em = i128::from(self.em(0, scale).to_raw().max(1));
        i64::try_from((room * i128::from(face(span.face).units_per_em())).div_euclid(em)).ok()
    }
    /// Width of letters with the ink that sticks out, in font units.
    fn units_of(&self, start: usize, end: usize) -> i64 {
        let (Some(first), Some(last)) = (self.letters.get(start), self.letters.get(end.wrapping_sub(1))) else {
            return 0;
        };
        last.before + last.nominal - first.before + first.out.0 + last.out.1
    }

    /// The lines, each as wide at most as `measure` says for its number. Words are parted only where `split` allows it and one
    /// is wider than its line.
    pub fn lines(
        &self,
        scale: Scale,
        split: bool,
        measure: &mut dyn FnMut(usize) -> Option<Length>,
    ) -> Result<Vec<Range<usize>>, Short> {
        let mut lines: Vec<Range<usize>> = Vec::new();
        let mut chunk = 0;
        while chunk < self.chunks.len() {
            let symbol = if lines.is_empty() { self.symbol_advance(scale) } else { Length::ZERO };
            let room = measure(lines.len()).ok_or(Short::Height(self.leading(scale)))? - symbol;
            let start = self.chunks[chunk].start;
            let (mut whole, mut parted) = (None, None);
            let limit = self.units(room, scale);
            for (i, c) in self.chunks.iter().enumerate().skip(chunk) {
                let fits = match limit {
                    Some(limit) => self.units_of(start, c.end) <= limit,
                    None => self.width(&(start..c.end), scale) <= room,
                };
                if !fits {
                    break;
                }
                parted = Some(i);
                if c.at_space {
                    whole = Some(i);
                }
            }
            let Some(last) = whole.or(parted.filter(|_| split)) else {
                let end = self.chunks[chunk].end;
                return Err(Short::Width(self.width(&(start..end), scale) - room, self.text(&(start..end))));
            };
            lines.push(start..self.chunks[last].end);
            chunk = last + 1;
        }
        Ok(lines)
    }

    /// The same number of lines, as even as their stretches `(from, to)` allow: no lone short word on the last one.
    pub fn balanced(&self, scale: Scale, stretches: &[(Length, Length)]) -> Vec<Range<usize>> {
        let narrowed = |less: i64, split: bool| {
            let mut measure =
                |i: usize| Some(stretches.get(i).map_or(Length::ZERO, |(from, to)| *to - *from - Length::raw(less)));
            self.lines(scale, split, &mut measure).ok().filter(|l| l.len() == stretches.len())
        };
        if narrowed(0, false).is_none() {
            return narrowed(0, true).unwrap_or_default();
        }
        let (mut fits, mut fails) = (0, stretches.iter().map(|(from, to)| (*to - *from).to_raw()).max().unwrap_or(0));
        while fails - fits > 1000 {
            let middle = i64::midpoint(fits, fails);
            if narrowed(middle, false).is_some() {
                fits = middle;
            } else {
                fails = middle;
            }
        }
        let mut lines = narrowed(fits, false).unwrap_or_default();
        self.keep_company(&mut lines, scale, stretches);
        lines
    }

    /// A lone word on the last line gets the word before it for company, where there is room and the line above keeps two.
    fn keep_company(&self, lines: &mut [Range<usize>], scale: Scale, stretches: &[(Length, Length)]) {
        let [.., above, last] = lines else { return };
        let Some(room) = stretches.last().map(|(from, to)| *to - *from) else { return };
        let starts = |range: &Range<usize>| -> Vec<usize> {
            let whole = self.chunks.windows(2).filter(|two| two[0].at_space).map(|two| two[1].start);
            whole.filter(|s| range.start < *s && *s < range.end).collect()
        };
        let breaks = starts(above);
        let (1.., Some(&moved), true) = (breaks.len().saturating_sub(1), breaks.last(), starts(last).is_empty()) else {
            return;
        };
        if self.width(&(moved..last.end), scale) > room {
            return;
        }
        let end = self.chunks.iter().filter(|c| c.end <= moved).map(|c| c.end).max().unwrap_or(above.end);
        (above.end, last.start) = (end, moved);
    }
}

/// Letters of one look on one line.
pub(super) struct Stretch {
    pub face: FaceId,
    pub em: Length,
    pub letters: Range<usize>,
    pub advance: Length,
    pub out: (Length, Length),
}

#[cfg(test)]
mod tests {
    use super::{Paragraph, Scale, Short, Words};
    use crate::font::{FaceId, face};
    use crate::unit::Length;

    fn paragraph(texts: &[(&str, bool)]) -> Paragraph {
        let words = texts.iter().map(|(text, bold)| Words {
            text: (*text).into(),
            face: if *bold { FaceId::NormalBold } else { FaceId::Normal },
            floor: Length::mm(3),
        });
        let mut paragraph = Paragraph::new(words.collect()).unwrap();
        paragraph.most = Scale(256);
        paragraph
    }
    fn broken(p: &Paragraph, width: Length) -> Vec<String> {
        let lines = p.lines(Scale::FLOOR, true, &mut |_| Some(width)).unwrap();
        lines.iter().map(|l| p.text(l)).collect()
    }

    /// What is measured within a paragraph is what the line measures when it is shaped alone.
    #[test]
    fn lines_are_as_wide_as_their_text_shaped_alone() {
        let p = paragraph(&[("To avoid fire, Keep AWAY. To put out: VAT, Wax.", false)]);
        for line in p.lines(Scale(80), true, &mut |_| Some(Length::mm(30))).unwrap() {
            let alone = face(FaceId::Normal).shape(&p.text(&line)).unwrap();
            let part = &p.stretches(&line, Scale(80))[0];
            assert_eq!(part.advance, super::at(part.em, alone.advance, face(FaceId::Normal)), "{}", p.text(&line));
        }
    }

    #[test]
    fn no_line_is_wider_than_its_measure() {
        let p = paragraph(&[("Keep the wax pool free of trimmings,", false), ("matches and debris.", true)]);
        for mm in 20..60 {
            let width = Length::mm(mm);
            for line in p.lines(Scale::FLOOR, true, &mut |_| Some(width)).unwrap() {
                assert!(p.width(&line, Scale::FLOOR) <= width);
            }
            assert_eq!(broken(&p, width).join(" "), "Keep the wax pool free of trimmings, matches and debris.");
        }
    }

    #[test]
    fn words_are_parted_only_where_they_are_wider_than_a_line() {
        let p = paragraph(&[("a heat-resistant surface", false)]);
        let word = p.width(&(2..16), Scale::FLOOR) + Length::um(1);
        assert_eq!(broken(&p, word), ["a", "heat-resistant", "surface"]);
        assert_eq!(broken(&p, word - Length::um(100)), ["a", "heat-", "resistant", "surface"]);
        let short = p.lines(Scale::FLOOR, true, &mut |_| Some(Length::mm(4))).unwrap_err();
        assert!(matches!(short, Short::Width(_, word) if word == "heat-"));
    }

    #[test]
    fn balanced_lines_leave_no_stump() {
        let p = paragraph(&[("Keep away from things that catch fire.", false)]);
        let room = (Length::ZERO, p.width(&(0..37), Scale::FLOOR));
        assert_eq!(broken(&p, room.1)[1], "fire.");
        let even: Vec<String> = p.balanced(Scale::FLOOR, &[room, room]).iter().map(|l| p.text(l)).collect();
        assert_eq!(even, ["Keep away from", "things that catch fire."]);
    }
}
