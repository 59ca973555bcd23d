//! Looks for a statement among the lines of a part: its words in order and unbroken, over adjacent lines.

use super::lines::{Line, below, plain};

/// One word of a statement.
#[derive(Debug, Clone)]
pub struct Wanted {
    /// After [`plain`].
    pub text: String,
    /// A no-break space stands before it.
    pub glued: bool,
}

/// A place where a whole statement stands.
#[derive(Debug, Clone, Default)]
pub struct Found {
    /// Glyphs of each word of the statement.
    pub words: Vec<Vec<usize>>,
    /// Pairs of words that a no-break space joins but a line break parts.
    pub torn: Vec<String>,
}

impl Found {
    /// All glyphs.
    pub fn glyphs(&self) -> impl Iterator<Item = usize> + '_ {
        self.words.iter().flatten().copied()
    }
}

/// Steps after which the search for one statement gives up; a label needs a few hundred.
const MOST_STEPS: usize = 200_000;
/// Places of one statement that are looked at.
const MOST_PLACES: usize = 20;

/// The words of a statement.
#[must_use]
pub fn words(text: &str) -> Vec<Wanted> {
    let mut out: Vec<Wanted> = Vec::new();
    let mut word = String::new();
    let (mut glued, mut next_glued) = (false, false);
    for c in text.chars().chain([' ']) {
        match plain(c) {
            Some(' ') => {
                let no_break = matches!(c, '\u{A0}' | '\u{202F}');
                if word.is_empty() {
                    next_glued |= no_break;
                } else {
                    out.push(Wanted { text: std::mem::take(&mut word), glued });
                    next_glued = no_break;
                }
            }
            Some(c) => {
                if word.is_empty() {
                    glued = next_glued;
                    next_glued = false;
                }
                word.push(c);
            }
            None => {}
        }
    }
    out
}

/// Every place where the words stand, up to a bound.
#[must_use]
pub fn find(lines: &[Line], wanted: &[Wanted]) -> Vec<Found> {
    let mut search = Search { lines, steps: 0 };
    let mut places = Vec::new();
    let Some(first) = wanted.first() else { return places };
    for (n, line) in lines.iter().enumerate() {
        for (w, word) in line.words.iter().enumerate() {
            if first.text.starts_with(word.text.as_str()) && !word.text.is_empty() {
                let mut found = Found::default();
                if search.follow(n, w, wanted, None, &mut found) {
                    places.push(found);
                }
                if places.len() >= MOST_PLACES || search.steps > MOST_STEPS {
                    return places;
                }
            }
        }
    }
    places
}

struct Search<'a> {
    lines: &'a [Line],
    steps: usize,
}

impl Search<'_> {
    /// Whether the words `wanted` stand from word `w` of line `n` on; `rest` is what is left of a word broken after a hyphen.
    fn follow(&mut self, n: usize, mut w: usize, wanted: &[Wanted], rest: Option<&str>, found: &mut Found) -> bool {
        let line = &self.lines[n];
        let mut rest = rest;
        for (k, want) in wanted.iter().enumerate() {
            self.steps += 1;
            if self.steps > MOST_STEPS {
                return false;
            }
            let text = rest.unwrap_or(&want.text);
            let Some(word) = line.words.get(w) else {
                return self.next_line(n, &wanted[k..], rest, found, want.glued.then(|| wanted[k].text.as_str()));
            };
            let whole = word.text == text;
            let broken = !whole
                && w + 1 == line.words.len()
                && word.text.ends_with(['-', '\u{2013}', '\u{2014}', '/'])
                && text.starts_with(word.text.as_str());
            if !whole && !broken {
                return false;
            }
            match found.words.last_mut() {
                Some(last) if rest.is_some() => last.extend(&word.glyphs),
                _ => found.words.push(word.glyphs.clone()),
            }
            if broken {
                return self.next_line(n, &wanted[k..], text.get(word.text.len()..), found, None);
            }
            rest = None;
            w += 1;
        }
        true
    }

    fn next_line(
        &mut self,
        n: usize,
        wanted: &[Wanted],
        rest: Option<&str>,
        found: &mut Found,
        torn: Option<&str>,
    ) -> bool {
        for next in below(self.lines, n) {
            let mut tried = found.clone();
            tried.torn.extend(torn.map(str::to_owned));
            if self.follow(next, 0, wanted, rest, &mut tried) {
                *found = tried;
                return true;
            }
        }
        false
    }
}

/// The nearest thing to a statement that is on the part.
#[derive(Debug, Clone)]
pub struct Near {
    /// Words of the statement that are missing or different, as asked.
    pub wanted: Vec<String>,
    /// What stands in their stead.
    pub instead: Vec<String>,
    /// First glyph of the place.
    pub glyph: Option<usize>,
}

/// Looks for the place that shares most words with the statement; `None` if none shares half of them.
#[must_use]
pub fn nearest(lines: &[Line], wanted: &[Wanted]) -> Option<Near> {
    let wanted = &wanted[..wanted.len().min(60)];
    let mut best: Option<(usize, Near)> = None;
    let mut tries = 0;
    for (n, line) in lines.iter().enumerate() {
        for w in 0..line.words.len() {
            tries += 1;
            if tries > 2_000 {
                break;
            }
            let place = run(lines, n, w, wanted.len() + 2);
            let pairs = common(wanted, &place);
            let shared = pairs.len();
            // A place begins with a word it shares, or with the first word misprinted.
            let at_start = pairs.first().is_some_and(|&(_, p)| p == 0) || pairs.first() == Some(&(1, 1));
            if at_start && shared * 2 >= wanted.len() && best.as_ref().is_none_or(|(most, _)| shared > *most) {
                let last = pairs.last().map_or(0, |&(k, p)| p + wanted.len() - k);
                best = Some((shared, differing(wanted, &place[..last.min(place.len())], &pairs)));
            }
        }
    }
    best.map(|(_, near)| near)
}

/// Words from a place on, line after line.
fn run(lines: &[Line], mut n: usize, w: usize, count: usize) -> Vec<(&str, Option<usize>)> {
    let mut out = Vec::new();
    let mut from = w;
    loop {
        for word in lines[n].words.iter().skip(from) {
            out.push((word.text.as_str(), word.glyphs.first().copied()));
            if out.len() == count {
                return out;
            }
        }
        from = 0;
        match below(lines, n).first() {
            Some(&next) => n = next,
            None => return out,
        }
    }
}

/// Longest common subsequence: pairs of positions in both.
fn common(wanted: &[Wanted], place: &[(&str, Option<usize>)]) -> Vec<(usize, usize)> {
    let (n, m) = (wanted.len(), place.len());
    let mut best = vec![vec![0_usize; m + 1]; n + 1];
    for k in (0..n).rev() {
        for p in (0..m).rev() {
            best[k][p] =
                if wanted[k].text == place[p].0 { best[k + 1][p + 1] + 1 } else { best[k + 1][p].max(best[k][p + 1]) };
        }
    }
    let (mut k, mut p, mut pairs) = (0, 0, Vec::new());
    while k < n && p < m {
        if wanted[k].text == place[p].0 {
            pairs.push((k, p));
            (k, p) = (k + 1, p + 1);
        } else if best[k + 1][p] >= best[k][p + 1] {
            k += 1;
        } else {
            p += 1;
        }
    }
    pairs
}

fn differing(wanted: &[Wanted], place: &[(&str, Option<usize>)], pairs: &[(usize, usize)]) -> Near {
    let lone = |n: usize| !pairs.iter().any(|&(k, _)| k == n);
    let stray = |n: usize| !pairs.iter().any(|&(_, p)| p == n);
    Near {
        wanted: (0..wanted.len()).filter(|&k| lone(k)).map(|k| wanted[k].text.clone()).collect(),
        instead: (0..place.len()).filter(|&p| stray(p)).map(|p| place[p].0.to_owned()).collect(),
        glyph: place.first().and_then(|p| p.1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inspect::lines::Word;

    fn line(text: &str, left: f64, baseline: f64) -> Line {
        let words = text.split(' ').map(|w| Word { text: w.into(), glyphs: vec![0], ..Word::empty() }).collect();
        Line { words, baseline, left, right: left + 20.0, em: 2.0 }
    }

    #[test]
    fn statement_over_two_lines_beside_another_column_is_found() {
        let lines = [
            line("burn within", 0.0, 2.0),
            line("trim the", 30.0, 2.0),
            line("sight", 0.0, 4.5),
            line("wick", 30.0, 4.5),
        ];
        assert_eq!(find(&lines, &words("burn within sight")).len(), 1);
        assert_eq!(find(&lines, &words("trim the wick")).len(), 1);
        assert!(find(&lines, &words("burn within wick")).is_empty());
        assert!(find(&lines, &words("burn sight")).is_empty());
    }

    #[test]
    fn lines_with_another_between_are_not_one_statement() {
        let lines = [line("burn within", 0.0, 2.0), line("the lot", 0.0, 4.0), line("sight", 0.0, 6.0)];
        assert!(find(&lines, &words("burn within sight")).is_empty());
    }

    #[test]
    fn word_may_break_after_a_hyphen_only() {
        let lines = [line("(R)-p-mentha-", 0.0, 2.0), line("1,8-diene", 0.0, 4.0)];
        assert_eq!(find(&lines, &words("(R)-p-mentha-1,8-diene")).len(), 1);
        let lines = [line("chil", 0.0, 2.0), line("dren", 0.0, 4.0)];
        assert!(find(&lines, &words("children")).is_empty());
    }

    #[test]
    fn figure_torn_from_its_unit_is_told() {
        let lines = [line("net wt 9", 0.0, 2.0), line("oz", 0.0, 4.0)];
        assert_eq!(find(&lines, &words("net wt 9\u{A0}oz"))[0].torn, ["oz"]);
        assert!(find(&lines, &words("net wt 9 oz"))[0].torn.is_empty());
    }

    #[test]
    fn one_wrong_letter_is_pointed_at() {
        let lines = [line("keep away from childern and pets", 0.0, 2.0)];
        let near = nearest(&lines, &words("keep away from children and pets")).unwrap();
        assert_eq!((near.wanted, near.instead), (vec!["children".to_owned()], vec!["childern".to_owned()]));
    }
}
