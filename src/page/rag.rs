//! Paragraphs on a straight edge: where a line would end far before the others, all are broken anew. Part of `page`.
//!
//! What belongs together, as a figure with its unit and what stands in brackets after it, goes to the next line whole and can
//! leave a hole at the end of the one before. Of all ways to break the same number of lines, the one is taken whose lines come
//! nearest to their edge, by the sum of the squares of what they lack, the last line left out (common practice of setting
//! type, no source).

use super::lines::Paragraph;
use super::size::Scale;
use crate::unit::Length;
use std::ops::Range;

/// A line may end so much of its room before its edge, in percent, before the paragraph is broken anew.
const RAGGED: i64 = 18;
/// The last line is at least such a part of its room: a third.
const STUMP: i64 = 3;
/// More is not worked through.
const MOST_CHUNKS: usize = 400;

impl Paragraph {
    /// The lines broken anew where one but the last ends far before its edge; `None` where all is well or nothing is better.
    pub fn even_rag(
        &self,
        lines: &[Range<usize>],
        scale: Scale,
        rooms: &[(Length, Length)],
    ) -> Option<Vec<Range<usize>>> {
        let room = |line: usize| {
            let symbol = if line == 0 { self.symbol_advance(scale) } else { Length::ZERO };
            rooms.get(line).map_or(Length::ZERO, |(from, to)| *to - *from - symbol)
        };
        let lack = |line: usize, range: &Range<usize>| room(line) - self.width(range, scale);
        let short = |lines: &[Range<usize>]| -> Length {
            let all = lines.iter().enumerate().take(lines.len().saturating_sub(1));
            all.map(|(n, range)| lack(n, range)).max().unwrap_or(Length::ZERO)
        };
        let ragged = lines.iter().enumerate().take(lines.len().saturating_sub(1));
        let ragged = ragged.map(|(n, range)| (n, lack(n, range))).any(|(n, lack)| lack * 100 > room(n) * RAGGED);
        if !ragged || lines.len() != rooms.len() || self.chunks.len() > MOST_CHUNKS {
            return None;
        }
        let better = self.least_squares(rooms.len(), &lack, &room)?;
        (short(&better) < short(lines)).then_some(better)
    }

    /// Of all ways to set the paragraph on so many lines, the one with the least sum of squares; `None` where there is none.
    fn least_squares(
        &self,
        count: usize,
        lack: &dyn Fn(usize, &Range<usize>) -> Length,
        room: &dyn Fn(usize) -> Length,
    ) -> Option<Vec<Range<usize>>> {
        let chunks = &self.chunks;
        // For each line: the least sum with which it ends after so many chunks, and with which one it begins.
        let mut best: Vec<Vec<Option<(i128, usize)>>> = vec![vec![None; chunks.len() + 1]; count + 1];
        best[0][0] = Some((0, 0));
        for line in 0..count {
            for from in 0..chunks.len() {
                let Some((sum, _)) = best[line][from] else { continue };
                for to in from..chunks.len() {
                    let range = chunks[from].start..chunks[to].end;
                    let lack = lack(line, &range);
                    if lack < Length::ZERO {
                        break;
                    }
                    let last = line + 1 == count;
                    let whole = to + 1 == chunks.len();
                    // A lone word at the end, or a stump, is no better than a hole.
                    let stump = last && (from == to || (room(line) - lack) * STUMP < room(line));
                    if !chunks[to].at_space || last != whole || stump {
                        continue;
                    }
                    let lack = if last { 0 } else { i128::from(lack.to_raw()) };
                    let sum = sum + lack * lack;
                    let cell = &mut best[line + 1][to + 1];
                    if cell.is_none_or(|(least, _)| sum < least) {
                        *cell = Some((sum, from));
                    }
                }
            }
        }
        let (mut lines, mut to) = (Vec::new(), chunks.len());
        for line in (0..count).rev() {
            let (_, from) = best[line + 1][to]?;
            lines.push(chunks[from].start..chunks[to - 1].end);
            to = from;
        }
        lines.reverse();
        Some(lines)
    }
}

#[cfg(test)]
mod tests {
    use crate::font::FaceId;
    use crate::page::lines::{Paragraph, Words};
    use crate::page::size::Scale;
    use crate::unit::Length;

    fn paragraph(text: &str) -> Paragraph {
        let words = Words { text: text.into(), face: FaceId::Normal, floor: Length::mm(3) };
        Paragraph::new(vec![words]).unwrap()
    }

    fn set(p: &Paragraph, width: Length) -> (Vec<String>, Option<Vec<String>>) {
        let lines = p.lines(Scale::FLOOR, true, &mut |_| Some(width)).unwrap();
        let rooms = vec![(Length::ZERO, width); lines.len()];
        let told = |lines: &[std::ops::Range<usize>]| lines.iter().map(|l| p.text(l)).collect::<Vec<_>>();
        (told(&lines), p.even_rag(&lines, Scale::FLOOR, &rooms).map(|l| told(&l)))
    }

    /// Common practice, no source: the shortest line but the last is longer than before, and no words are lost.
    #[test]
    fn a_figure_that_is_kept_together_leaves_no_hole_before_it() {
        let text = "Light along the whole wick. First burn: about 3\u{a0}hours. Stop at 1/2\u{a0}in\u{a0}(13\u{a0}mm) of wax. \
                    Keep wax free of wick bits and matches. Keep from drafts.";
        let p = paragraph(text);
        let mut mended = 0;
        for mm in 45..90 {
            let width = Length::mm(mm);
            let (plain, Some(better)) = set(&p, width) else { continue };
            mended += 1;
            assert_eq!(better.len(), plain.len());
            assert_eq!(better.join(" "), plain.join(" "));
            let widths = |lines: &[String]| {
                lines.iter().map(|l| paragraph(l).width(&(0..l.chars().count()), Scale::FLOOR)).collect::<Vec<_>>()
            };
            let shortest = |lines: &[String]| widths(&lines[..lines.len() - 1]).into_iter().min().unwrap();
            assert!(shortest(&better) > shortest(&plain), "{plain:?} {better:?}");
            assert!(widths(&better).iter().all(|w| *w <= width), "{better:?}");
            assert!(better.last().unwrap().contains(' '));
        }
        assert!(mended > 1, "{mended}");
    }

    #[test]
    fn lines_that_are_well_filled_stay_as_they_are() {
        let p = paragraph("aa aa aa aa aa aa aa aa aa aa aa aa aa aa aa aa aa aa");
        for mm in 30..60 {
            assert_eq!(set(&p, Length::mm(mm)).1, None);
        }
    }
}
