//! The label under review: its pages, which part each prints, and their lines in several groupings. Part of `review`.

use super::gutters;
use super::rows::{self, Row};
use crate::inspect::{Area, Code, GAPS, Glyph, SeenLabel, SeenPage, group};
use crate::plan::Shape;
use crate::unit::Length;
use std::cell::OnceCell;

/// What is known of a printed part beforehand: from the product's template or from `--part`.
#[derive(Debug, Clone)]
pub struct Known {
    /// `front`, `base`, `wrap`.
    pub name: String,
    /// Whether this is the side shown to the customer.
    pub principal: bool,
    /// How it is cut.
    pub shape: Shape,
}

impl Known {
    fn is_as_large_as(&self, seen: &SeenPage) -> bool {
        (self.shape.width().to_mm_f64() - seen.width).abs() < SAME_SIZE
            && (self.shape.height().to_mm_f64() - seen.height).abs() < SAME_SIZE
    }
}

/// Parts of one size are taken to come in the order of the template, where there are as many pages as parts of that size.
pub fn name_in_turn(pages: &mut [Page<'_>], known: &[Known]) {
    for first in known {
        let named = |k: &&Known| !pages.iter().any(|p| p.part.as_deref() == Some(k.name.as_str()));
        let parts: Vec<&Known> = known.iter().filter(|k| same_size(first, k)).filter(named).collect();
        let pages: Vec<&mut Page<'_>> =
            pages.iter_mut().filter(|p| p.part.is_none() && p.seen.is_some_and(|s| first.is_as_large_as(s))).collect();
        if parts.len() != pages.len() {
            continue;
        }
        for (page, part) in pages.into_iter().zip(parts) {
            (page.part, page.principal, page.shape) = (Some(part.name.clone()), Some(part.principal), part.shape);
        }
    }
}

fn same_size(a: &Known, b: &Known) -> bool {
    a.shape.width() == b.shape.width() && a.shape.height() == b.shape.height()
}

/// One page, or the plain text that stands for a label.
pub struct Page<'a> {
    /// From 1.
    pub number: usize,
    /// The part it prints.
    pub part: Option<String>,
    /// Whether it is the side shown to the customer, where that is known.
    pub principal: Option<bool>,
    /// How it is cut.
    pub shape: Shape,
    /// What is on it; `None` for plain text.
    pub seen: Option<&'a SeenPage>,
    /// Codes for telephones on it.
    pub codes: &'a [Code],
    /// How many alike stand on the sheet.
    pub of: usize,
    /// Numbers of further pages with the same label.
    pub again: Vec<usize>,
    /// The other labels on the sheet.
    pub copies: &'a [SeenPage],
    /// Numbers of further pages of the same size that say nearly the same, with the words they lack and those they have besides.
    pub nearly: Vec<(usize, Vec<String>, Vec<String>)>,
    /// Numbers of further pages with the same words, which otherwise differ from this one.
    pub unlike: Vec<usize>,
    text: Option<&'a str>,
    groupings: [OnceCell<Vec<Row>>; GROUPINGS],
    hidden: OnceCell<Vec<Row>>,
    /// The page turned by one, two and three quarters clockwise, where writing becomes level by that.
    turned: [OnceCell<Option<Box<SeenPage>>>; 3],
}

/// Sizes of page and part may differ this much (mm) and still be the same part.
const SAME_SIZE: f64 = 0.1;

impl<'a> Page<'a> {
    /// A page of a PDF. `named` is what the user said it prints, `known` the parts of the product's own template.
    #[must_use]
    pub fn of(label: &'a SeenLabel, named: Option<&str>, known: &[Known]) -> Self {
        let (seen, codes) = (&label.page, label.codes.as_slice());
        let shape =
            Shape::Rectangle { width: Length::from_mm_f64(seen.width), height: Length::from_mm_f64(seen.height) };
        let alike = |k: &&Known| k.is_as_large_as(seen);
        let first = known.iter().find(alike);
        // Of several parts of one size it cannot be any of them for sure: `name_in_turn` looks at all pages.
        let part = match named {
            Some(name) => known.iter().find(|k| k.name == name),
            None => first.filter(|_| known.iter().filter(alike).count() == 1),
        };
        Self {
            number: seen.number,
            part: named.map(str::to_owned).or_else(|| part.map(|p| p.name.clone())),
            principal: part.map(|p| p.principal).or_else(|| named.map(|n| n == "front")),
            shape: part.filter(alike).or(first).map_or(shape, |p| p.shape),
            seen: Some(seen),
            codes,
            of: label.of,
            copies: &label.copies,
            nearly: Vec::new(),
            again: Vec::new(),
            unlike: Vec::new(),
            text: None,
            groupings: Default::default(),
            hidden: OnceCell::new(),
            turned: Default::default(),
        }
    }

    /// A plain text.
    #[must_use]
    pub fn of_text(text: &'a str) -> Self {
        Self {
            number: 1,
            part: None,
            principal: None,
            shape: Shape::Rectangle { width: Length::mm(0), height: Length::mm(0) },
            seen: None,
            codes: &[],
            of: 1,
            copies: &[],
            nearly: Vec::new(),
            again: Vec::new(),
            unlike: Vec::new(),
            text: Some(text),
            groupings: Default::default(),
            hidden: OnceCell::new(),
            turned: Default::default(),
        }
    }

    /// Whether it is known where the label ends: not on a sheet of paper, nor where labels alike are told by their places.
    #[must_use]
    pub fn edges_known(&self) -> bool {
        /// Smaller than the usual sheets of paper, in mm.
        const PAPER: [f64; 2] = [200.0, 270.0];
        let paper = |s: &SeenPage| s.width.min(s.height) >= PAPER[0] && s.width.max(s.height) >= PAPER[1];
        self.of == 1 && !self.seen.is_some_and(paper)
    }

    /// The name of the part for messages.
    #[must_use]
    pub fn name(&self) -> String {
        self.part.clone().unwrap_or_else(|| format!("page {}", self.number))
    }

    /// The lines that can be seen, blocks side by side parted in one of several ways. Lines that run in another direction
    /// follow those that are level.
    #[must_use]
    pub fn rows(&self, grouping: usize) -> &[Row] {
        self.groupings[grouping].get_or_init(|| match self.seen {
            None if grouping == 0 => rows::of_text(self.text.unwrap_or("")),
            None => Vec::new(),
            Some(seen) if grouping == 0 => {
                let mut rows = rows::of(seen, &seen.lines);
                self.add_turned(&mut rows, GAPS[0], |g| g.hidden.is_none());
                rows
            }
            Some(seen) if grouping == COLUMNS => {
                let lines = gutters::parted(&group(seen, WIDEST, |g| g.hidden.is_none()));
                lines.map_or_else(Vec::new, |lines| rows::apart(seen, &lines))
            }
            Some(seen) => {
                let gap = GAPS.get(grouping).copied().unwrap_or(WIDEST);
                let mut rows = rows::of(seen, &group(seen, gap, |g| g.hidden.is_none()));
                self.add_turned(&mut rows, gap, |g| g.hidden.is_none());
                rows
            }
        })
    }

    /// The lines with what is in the file but not seen.
    #[must_use]
    pub fn with_hidden(&self) -> &[Row] {
        self.hidden.get_or_init(|| match self.seen {
            None => Vec::new(),
            Some(seen) => {
                let mut rows = rows::of(seen, &group(seen, GAPS[0], |_| true));
                self.add_turned(&mut rows, GAPS[0], |_| true);
                rows
            }
        })
    }

    fn add_turned(&self, rows: &mut Vec<Row>, gap: f64, take: impl Fn(&Glyph) -> bool + Copy) {
        /// Far below what is level, so that no line continues one of another direction.
        const APART: f64 = 100_000.0;
        for quarters in 1..4_u8 {
            let Some(view) = self.turned(quarters) else { continue };
            let lines = group(view, gap, take);
            rows.extend(rows::of(view, &lines).into_iter().map(|mut row| {
                row.baseline += APART * f64::from(quarters);
                row
            }));
        }
        if let Some(seen) = self.seen {
            rows.extend(rows::bent(seen, take));
        }
    }

    /// The page turned clockwise, where some writing becomes level by that. Its glyphs keep their numbers.
    fn turned(&self, quarters: u8) -> Option<&SeenPage> {
        let slot = self.turned.get(usize::from(quarters).checked_sub(1)?)?;
        let page = slot.get_or_init(|| {
            let seen = self.seen?;
            let some = seen.glyphs.iter().any(|g| quarters_of(g) == Some(quarters) && !g.is_space());
            some.then(|| Box::new(seen.turned(quarters)))
        });
        page.as_deref()
    }

    /// The page as it stands when the glyph is level, and by how many quarters it is turned for that.
    #[must_use]
    pub fn view(&self, glyph: Option<usize>) -> Option<(&SeenPage, u8)> {
        let seen = self.seen?;
        let quarters = glyph.and_then(|g| quarters_of(seen.glyphs.get(g)?)).unwrap_or(0);
        Some(self.turned(quarters).map_or((seen, 0), |view| (view, quarters)))
    }

    /// A place of a turned view on the page itself.
    #[must_use]
    pub fn turned_back(&self, [x, y]: [f64; 2], quarters: u8) -> [f64; 2] {
        let (wide, high) = self.seen.map_or((0.0, 0.0), |s| (s.width, s.height));
        match quarters % 4 {
            1 => [y, high - x],
            2 => [wide - x, high - y],
            3 => [wide - y, x],
            _ => [x, y],
        }
    }

    /// The box round the printed word whose ink begins at this place, or holds it, in mm.
    #[must_use]
    pub fn word_at(&self, at: [f64; 2]) -> Option<Area> {
        /// Places of findings are rounded to hundredths.
        const ROUNDED: f64 = 0.02;
        let seen = self.seen?;
        let inks = |word: &rows::Word| word.glyphs.iter().filter_map(|&n| seen.glyphs[n].ink).collect::<Vec<_>>();
        let words: Vec<Vec<Area>> = self.rows(0).iter().flat_map(|row| &row.words).map(inks).collect();
        let has = |area: &Area| area.widened(ROUNDED, ROUNDED).has(at);
        let by_letter = words.iter().find(|inks| inks.iter().any(has));
        let whole = || words.iter().find(|inks| Area::round(*inks).is_some_and(|area| has(&area)));
        Area::round(by_letter.or_else(whole)?)
    }

    /// Where a glyph stands: its ink, else its origin, in mm.
    #[must_use]
    pub fn place(&self, glyph: usize) -> Option<(f64, f64)> {
        let glyph = self.seen?.glyphs.get(glyph)?;
        Some(glyph.ink.map_or((glyph.x, glyph.baseline), |a| (a.left, a.top)))
    }
}

/// How many groupings there are.
pub const GROUPINGS: usize = GAPS.len() + 2;
/// The last parts columns where several lines leave the same strip free.
const COLUMNS: usize = GROUPINGS - 1;
/// Justified lines of a narrow block may have gaps of some ems between their words.
const WIDEST: f64 = 8.0;

/// Quarter turns clockwise that make a glyph level; `None` of what stands at other angles, or as in a mirror.
fn quarters_of(glyph: &Glyph) -> Option<u8> {
    let level = |quarters: &u8| {
        let apart = (glyph.turn - 90.0 * f64::from(*quarters)).rem_euclid(360.0);
        !(1.2..=358.8).contains(&apart)
    };
    (!glyph.mirrored).then(|| (0..4_u8).find(level)).flatten()
}
