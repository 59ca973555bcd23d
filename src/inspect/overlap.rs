//! Finds words that are printed over each other anywhere on a page, whatever they say. Used by the checks of any label.
//!
//! Words on top of each other make one jumble when they are put together by their places. So the letters are taken here as
//! they are painted, one run after the other.

use super::seen::{Area, Glyph, SeenPage};
use super::space::runs_into;

/// A run goes on where the next letter begins this near (in ems) to the end of the one before it.
const NEAR: f64 = 0.3;
/// And turns by less than this many degrees, as on a curve.
const BEND: f64 = 45.0;
/// Letters of two runs must run into each other so often to count; one may touch by design.
const FEWEST: usize = 2;
/// Most runs that are compared; a label has some hundreds.
const MOST_RUNS: usize = 4_000;

/// Two words over each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Overlap {
    /// The word painted first, and the one over it.
    pub words: [String; 2],
    /// What both cover, in mm.
    pub area: Area,
}

/// Letters painted one after the other without a gap.
struct Run {
    glyphs: Vec<usize>,
    area: Area,
}

impl SeenPage {
    /// Words over each other, in the order they are painted; the same word twice in nearly the same place is a shadow or a
    /// way to make it bold, and none.
    ///
    /// `None` where there are more words than can be held against each other.
    #[must_use]
    pub fn overlaps(&self) -> Option<Vec<Overlap>> {
        let runs = runs(self);
        if runs.len() > MOST_RUNS {
            return None;
        }
        let mut found: Vec<Overlap> = Vec::new();
        for (n, over) in runs.iter().enumerate() {
            for under in runs[..n].iter().filter(|r| r.area.meets(&over.area, 0.0)) {
                let words = [under, over].map(|run| self.word(run));
                if words[0] == words[1] || words[0].ends_with(&words[1]) || words[1].ends_with(&words[0]) {
                    continue;
                }
                let pairs = under.glyphs.iter().flat_map(|&a| over.glyphs.iter().map(move |&b| (a, b)));
                let shared = pairs
                    .filter(|&(a, b)| runs_into(self, a, b))
                    .filter_map(|(a, b)| Some(self.glyphs[a].ink?.within(&self.glyphs[b].ink?)));
                let shared: Vec<Area> = shared.collect();
                let short = under.glyphs.len().min(over.glyphs.len()) == 1;
                if let Some(area) =
                    Area::round(&shared).filter(|_| shared.len() >= FEWEST || (short && !shared.is_empty()))
                {
                    found.push(Overlap { words, area });
                }
            }
        }
        Some(found)
    }

    fn word(&self, run: &Run) -> String {
        run.glyphs.iter().map(|&n| self.glyphs[n].text.as_str()).collect()
    }
}

/// Visible letters with ink, in whatever direction they run; a run may follow a curve.
fn runs(page: &SeenPage) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    let mut last: Option<&Glyph> = None;
    for (n, glyph) in page.glyphs.iter().enumerate() {
        let Some(ink) = glyph.ink.filter(|_| glyph.hidden.is_none() && !glyph.mirrored && !glyph.is_space()) else {
            last = None;
            continue;
        };
        let follows = last.is_some_and(|before| {
            let gap = (glyph.x - before.end).hypot(glyph.baseline - before.end_y);
            gap < NEAR * before.em.min(glyph.em) && before.askew(glyph) < BEND
        });
        match runs.last_mut().filter(|_| follows) {
            Some(run) => {
                run.glyphs.push(n);
                run.area = run.area.with(&ink);
            }
            None => runs.push(Run { glyphs: vec![n], area: ink }),
        }
        last = Some(glyph);
    }
    runs
}
