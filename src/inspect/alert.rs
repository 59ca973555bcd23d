//! The safety alert symbol before a signal word: drawn, in a picture or a letter of a font. Part of `inspect`.

use super::ground;
use super::heights;
use super::matching::Found;
use super::read::LEAST_CONTRAST;
use super::seen::{Area, SeenPage};
use super::space;

/// A symbol may stand so many heights of capitals before its word.
const NEAR: f64 = 1.5;
/// One that stands further off than so many belongs to something else.
const FAR: f64 = 8.0;

/// What is wrong with a symbol that stands before its word.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fault {
    /// It is so high, and the capitals are so much higher, in mm.
    Low(f64, f64),
    /// It stands so far off, and may stand so far, in mm.
    Far(f64, f64),
}

/// The beginning of the word that the symbol belongs to.
struct Word {
    baseline: f64,
    left: f64,
    cap: f64,
}

impl Word {
    fn of(page: &SeenPage, found: &Found) -> Option<Self> {
        let (n, ink) = found.glyphs().find_map(|n| page.glyphs[n].ink.map(|a| (n, a)))?;
        Some(Self { baseline: page.glyphs[n].baseline, left: ink.left, cap: heights::lettering(page, found)? })
    }

    /// How a symbol in this box stands before the word; `None` where it does not belong to it.
    ///
    /// At least as high as the capitals, and at most [`NEAR`] of their heights away, on the same line.
    fn holds(&self, area: &Area) -> Option<Result<(), Fault>> {
        let gap = self.left - area.right;
        let middle = self.baseline - self.cap / 2.0;
        let on_line = area.top < middle && area.bottom > middle;
        if !on_line || !(-0.01..=FAR * self.cap).contains(&gap) {
            return None;
        }
        Some(if area.height() < self.cap - super::TOLERANCE {
            Err(Fault::Low(area.height(), self.cap))
        } else if gap > NEAR * self.cap {
            Err(Fault::Far(gap, NEAR * self.cap))
        } else {
            Ok(())
        })
    }
}

/// A triangle is 0.9 to 1.3 times as wide as high (an equilateral one 1.155 times).
fn in_shape(area: &Area) -> bool {
    (0.9..=1.3).contains(&(area.width() / area.height()))
}

/// How each drawn triangle with its mark inside stands before a word.
fn drawn<'a>(page: &'a SeenPage, word: &'a Word) -> impl Iterator<Item = Result<(), Fault>> + 'a {
    page.marks.iter().chain(&page.printed).filter_map(move |mark| {
        let holds = word.holds(&mark.area).filter(|_| mark.contrast >= LEAST_CONTRAST && in_shape(&mark.area))?;
        (space::triangular(mark) && marked_inside(page, &mark.area)).then_some(holds)
    })
}

/// How each letter U+26A0 stands before a word (The Unicode Standard, Miscellaneous Symbols: a triangle with an exclamation
/// mark in it).
fn letters<'a>(page: &'a SeenPage, word: &'a Word) -> impl Iterator<Item = (usize, Result<(), Fault>)> + 'a {
    page.glyphs.iter().enumerate().filter_map(move |(n, glyph)| {
        let symbol = glyph.text.starts_with('\u{26A0}') && glyph.hidden.is_none();
        let area = glyph.ink.filter(|a| symbol && in_shape(a))?;
        Some((n, word.holds(&area)?))
    })
}

/// Whether the safety alert symbol stands immediately before a statement, drawn or in a picture: a triangle with its mark
/// inside, on the same line.
#[must_use]
pub fn alert_symbol(page: &SeenPage, found: &Found) -> bool {
    Word::of(page, found).is_some_and(|word| drawn(page, &word).any(|holds| holds.is_ok()))
}

/// The safety alert symbol as a letter of a font, as high and as near as a drawn one has to be.
#[must_use]
pub fn alert_letter(page: &SeenPage, found: &Found) -> Option<usize> {
    let word = Word::of(page, found)?;
    letters(page, &word).find(|(_, holds)| holds.is_ok()).map(|(n, _)| n)
}

/// What is wrong with the symbol before a statement, where one stands there that is too low or too far off.
pub fn fault(page: &SeenPage, found: &Found) -> Option<Fault> {
    let word = Word::of(page, found)?;
    drawn(page, &word).chain(letters(page, &word).map(|(_, holds)| holds)).find_map(Result::err)
}

/// An exclamation mark: a narrow shape in the middle of the triangle, in the same path, another one or a glyph. It stands out
/// from the triangle (3 : 1, WCAG 2.2, success criterion 1.4.11).
fn marked_inside(page: &SeenPage, area: &Area) -> bool {
    const STANDS_OUT: f64 = 3.0;
    let inner = |a: &Area| {
        area.holds(a, 0.0)
            && a.width() < 0.4 * area.width()
            && a.height() > 0.15 * area.height()
            && (a.middle()[0] - area.middle()[0]).abs() < 0.15 * area.width()
    };
    let round = |ring: &Vec<[f64; 2]>| {
        ring.iter().map(|&[x, y]| Area { left: x, top: y, right: x, bottom: y }).reduce(|a, b| a.with(&b))
    };
    page.marks.iter().chain(&page.printed).flat_map(|m| m.rings.iter().filter_map(round)).any(|a| inner(&a))
        && ground_and_mark(page, area)
            .is_none_or(|(side, inner)| inner.iter().any(|c| ground::contrast(side, *c) >= STANDS_OUT))
        || page.glyphs.iter().any(|g| {
            let seen = g.hidden.is_none() && g.contrast.is_none_or(|c| c >= STANDS_OUT);
            g.text == "!" && seen && g.ink.is_some_and(|a| inner(&a))
        })
}

/// The colour of a triangle at its foot, and those down its middle; `None` where a picture hides them.
fn ground_and_mark(page: &SeenPage, area: &Area) -> Option<([f64; 3], Vec<[f64; 3]>)> {
    let at = |x: f64, y: f64| {
        let place = [area.left + x * area.width(), area.top + y * area.height()];
        let over = page.marks.iter().rfind(|m| m.covers(place));
        let picture = page.pictures.iter().any(|i| i.area.has(place) && over.is_none_or(|m| m.order < i.order));
        if picture {
            page.paper.as_ref()?.colour(page.view.on_page(place))
        } else {
            Some(over.map_or_else(|| ground::paper(page, place), |m| m.rgb))
        }
    };
    let middle: Option<Vec<[f64; 3]>> = (5..18).map(|n| at(0.5, 0.05 * f64::from(n))).collect();
    Some((at(0.12, 0.95)?, middle?))
}
