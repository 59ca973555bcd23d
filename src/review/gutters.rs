//! Columns of justified text whose gutter is hardly wider than the spaces of their lines: told apart by what stays empty over
//! several lines, and not by its width. Part of `review`.

use crate::inspect::{Line, Word};

/// So many lines, one below the other, must leave the gutter free (our own bound: fewer do so by chance).
const LINES: usize = 4;
/// A gutter is at least so wide, in ems.
const WIDE: f64 = 0.4;
/// Lines further apart than this many ems are no column.
const REACH: f64 = 2.2;

/// A strip between two columns: from, to, and the baselines of the first and the last line beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Gutter {
    left: f64,
    right: f64,
    first: f64,
    last: f64,
}

/// Left and right end of the ink of a word.
fn ends(word: &Word) -> Option<(f64, f64)> {
    word.ink.map(|a| (a.left, a.right))
}

/// The gaps between the words of a line.
fn gaps(line: &Line) -> Vec<(f64, f64)> {
    let words: Vec<(f64, f64)> = line.words.iter().filter_map(ends).collect();
    let gaps = words.windows(2).map(|pair| (pair[0].1, pair[1].0));
    gaps.filter(|(from, to)| to - from >= WIDE * line.em).collect()
}

/// The strips that several lines leave free at the same place. Lines come from the top.
fn all(lines: &[Line]) -> Vec<Gutter> {
    let mut found: Vec<Gutter> = Vec::new();
    for (n, line) in lines.iter().enumerate() {
        for gap in gaps(line) {
            // Of a strip that was followed from a line further up this is the rest.
            let known = |g: &Gutter| g.left < gap.1 && g.right > gap.0 && (g.first..=g.last).contains(&line.baseline);
            if !found.iter().any(known) {
                found.extend(followed(lines, n, gap));
            }
        }
    }
    found
}

/// The strip that begins with a gap of line `n`, as far down as lines leave it free.
fn followed(lines: &[Line], n: usize, gap: (f64, f64)) -> Option<Gutter> {
    let first = &lines[n];
    let mut strip = Gutter { left: gap.0, right: gap.1, first: first.baseline, last: first.baseline };
    let mut count = 1;
    for line in &lines[n + 1..] {
        if line.baseline - strip.last > REACH * first.em.max(line.em) {
            break;
        }
        // What ends before the strip, or begins after it, leaves it free and is no evidence of it.
        if line.right <= strip.left || line.left >= strip.right {
            continue;
        }
        let shared = |g: &(f64, f64)| (g.0.max(strip.left), g.1.min(strip.right));
        let free = gaps(line).iter().map(shared).find(|(from, to)| to - from >= WIDE * first.em);
        let Some((left, right)) = free else { break };
        strip = Gutter { left, right, last: line.baseline, ..strip };
        count += 1;
    }
    (count >= LINES).then_some(strip)
}

/// The lines parted at every gutter; `None` where there is none.
pub fn parted(lines: &[Line]) -> Option<Vec<Line>> {
    let gutters = all(lines);
    if gutters.is_empty() {
        return None;
    }
    let mut out = Vec::with_capacity(lines.len() * 2);
    for line in lines {
        let beside: Vec<&Gutter> = gutters.iter().filter(|g| (g.first..=g.last).contains(&line.baseline)).collect();
        let mut words: Vec<Word> = Vec::new();
        for word in &line.words {
            let apart = words.last().and_then(ends).zip(ends(word)).is_some_and(|((_, from), (to, _))| {
                beside.iter().any(|g| g.left >= from - 0.01 && g.right <= to + 0.01)
            });
            if apart {
                out.push(piece(line, std::mem::take(&mut words)));
            }
            words.push(word.clone());
        }
        out.push(piece(line, words));
    }
    Some(out)
}

fn piece(line: &Line, words: Vec<Word>) -> Line {
    let left = words.iter().find_map(ends).map_or(line.left, |e| e.0);
    let right = words.iter().rev().find_map(ends).map_or(line.right, |e| e.1);
    Line { words, left, right, baseline: line.baseline, em: line.em }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inspect::Area;

    /// Lines of 2 mm of words that reach from and to these places.
    fn lines(words: &[&[(f64, f64)]]) -> Vec<Line> {
        let line = |(n, ends): (usize, &&[(f64, f64)])| {
            let baseline = 10.0 + 2.5 * f64::from(u16::try_from(n).unwrap_or(u16::MAX));
            let word = |&(left, right): &(f64, f64)| Word {
                ink: Some(Area { left, top: baseline - 1.5, right, bottom: baseline }),
                em: 2.0,
                ..Word::empty()
            };
            let (left, right) = (ends[0].0, ends[ends.len() - 1].1);
            Line { words: ends.iter().map(word).collect(), baseline, left, right, em: 2.0 }
        };
        words.iter().enumerate().map(line).collect()
    }

    #[test]
    fn strip_that_four_lines_leave_free_parts_them() {
        let column: [&[(f64, f64)]; 4] = [
            &[(0.0, 8.0), (11.5, 20.0), (24.0, 33.0), (36.5, 44.0)],
            &[(0.0, 11.0), (14.5, 20.0), (24.0, 30.0), (33.5, 44.0)],
            &[(0.0, 5.0), (8.5, 20.0), (24.0, 36.0), (39.5, 44.0)],
            &[(0.0, 9.0), (24.0, 31.0), (34.5, 44.0)],
        ];
        let parted = parted(&lines(&column)).unwrap();
        assert_eq!(parted.len(), 8);
        assert!(parted.iter().all(|l| l.right <= 20.0 || l.left >= 24.0), "{parted:?}");
        // Three lines are chance, and so is a strip that one of the lines runs through.
        assert!(super::parted(&lines(&column[..3])).is_none());
        assert!(super::parted(&lines(&[column[0], column[1], &[(0.0, 44.0)], column[2], column[3]])).is_none());
    }
}
