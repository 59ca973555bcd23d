//! Sheets of the same label one after another are one label: the first is judged. Part of `review`.

use super::copies;
use super::label::Page;
use super::rows::{Row, Word};
use crate::inspect::{Area, Code, Glyph, Mark, Picture, SeenPage};
use crate::lot::LotCode;
use std::collections::BTreeSet;

/// Sizes, places and colours may differ this much (mm; parts of 1) from sheet to sheet.
const SLACK: f64 = 0.05;

/// Keeps the first of pages that are alike in all that is seen, but for the number of the unit in words and in the code for
/// telephones, and counts the others in [`Page::again`]. One that only says the same is judged, and noted in [`Page::unlike`].
#[must_use]
pub fn once(pages: Vec<Page<'_>>) -> Vec<Page<'_>> {
    let mut kept: Vec<Page<'_>> = Vec::new();
    for page in pages {
        if let Some(first) = kept.iter_mut().find(|first| alike(first, &page)) {
            first.again.push(page.number);
            continue;
        }
        let words = said(&page);
        let number = page.number;
        if let Some(n) = kept.iter().position(|first| !words.is_empty() && said(first) == words) {
            kept[n].unlike.push(number);
        } else if let Some((n, (missing, more))) = kept.iter().enumerate().find_map(|(n, first)| {
            let sized =
                first.seen.zip(page.seen).is_some_and(|(a, b)| near(a.width, b.width) && near(a.height, b.height));
            let (missing, more) = copies::nearly(said(first), words.clone()).filter(|_| sized)?;
            Some((n, (printed(missing, first.rows(0)), printed(more, page.rows(0)))))
        }) {
            kept[n].nearly.push((number, missing, more));
        }
        kept.push(page);
    }
    kept
}

fn alike(a: &Page<'_>, b: &Page<'_>) -> bool {
    let Some((one, two)) = a.seen.zip(b.seen) else { return false };
    let mut numbers = (BTreeSet::new(), BTreeSet::new());
    a.part == b.part
        && near(one.width, two.width)
        && near(one.height, two.height)
        && !one.overfull
        && one.no_raster == two.no_raster
        && same(&numbered(a, &mut numbers.0), &numbered(b, &mut numbers.1), |x, y| x == y)
        && same(&glyphs(one, &numbers.0), &glyphs(two, &numbers.1), |x, y| same_glyph((one, x), (two, y)))
        && same(&marks(one, a.codes), &marks(two, b.codes), |x, y| same_mark(x, y))
        && same(&one.grounds, &two.grounds, same_mark)
        && same(&one.pictures, &two.pictures, same_picture)
        && same(&one.printed, &two.printed, same_mark)
        && same(a.codes, b.codes, same_code)
        && same(&one.unread, &two.unread, |x, y| {
            std::mem::discriminant(x) == std::mem::discriminant(y)
                && x.area().zip(y.area()).is_none_or(|(x, y)| same_area(&x, &y))
        })
}

/// Every word, with the numbers of units left out.
pub fn said(page: &Page<'_>) -> Vec<String> {
    page.rows(0).iter().flat_map(|row| &row.words).map(word).collect()
}

/// A word as it says the same on each label: without the number of the unit.
pub fn word(word: &Word) -> String {
    lot_of(&word.text).unwrap_or_else(|| word.folded.clone())
}

/// Words that say so, as they stand there.
pub fn printed(said: Vec<String>, rows: &[Row]) -> Vec<String> {
    let words = || rows.iter().flat_map(|row| &row.words);
    let of = |said: String| words().find(|w| word(w) == said).map_or(said, |w| w.text.clone());
    said.into_iter().map(of).collect()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < SLACK
}

fn same<T>(a: &[T], b: &[T], mut alike: impl FnMut(&T, &T) -> bool) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| alike(a, b))
}

/// The lot codes of the words that are numbers of units (`26329A4-017`); their glyphs go into `of`.
fn numbered(page: &Page<'_>, of: &mut BTreeSet<usize>) -> Vec<String> {
    let words = page.rows(0).iter().flat_map(|row| &row.words);
    let numbers = words.filter_map(|word| Some((lot_of(&word.text)?, &word.glyphs)));
    numbers.inspect(|(_, glyphs)| of.extend(glyphs.iter())).map(|(lot, _)| lot).collect()
}

/// The lot of a unit's number.
fn lot_of(word: &str) -> Option<String> {
    let (lot, number) = word.trim_end_matches([',', '.', ';']).rsplit_once('-')?;
    let figures = !number.is_empty() && number.chars().all(|c| c.is_ascii_digit());
    figures.then(|| LotCode::parse(lot).ok()).flatten().map(|lot| lot.to_string())
}

fn glyphs<'p>(page: &'p SeenPage, numbers: &BTreeSet<usize>) -> Vec<&'p Glyph> {
    let all = page.glyphs.iter().enumerate();
    all.filter(|(n, g)| !numbers.contains(n) && !g.is_space()).map(|(_, g)| g).collect()
}

fn same_glyph((one, a): (&SeenPage, &Glyph), (two, b): (&SeenPage, &Glyph)) -> bool {
    let contrast = match (a.contrast, b.contrast) {
        (Some(a), Some(b)) => near(a, b),
        (a, b) => a.is_none() && b.is_none(),
    };
    a.text == b.text
        && one.faces.get(a.face) == two.faces.get(b.face)
        && [(a.x, b.x), (a.baseline, b.baseline), (a.em, b.em), (a.stretch, b.stretch), (a.rim, b.rim)]
            .iter()
            .all(|(a, b)| near(*a, *b))
        && near(a.turn, b.turn)
        && a.mirrored == b.mirrored
        && a.hidden == b.hidden
        && contrast
        && same_ink(a.rgb, b.rgb)
        && match (&a.ink, &b.ink) {
            (Some(a), Some(b)) => same_area(a, b),
            (a, b) => a.is_none() && b.is_none(),
        }
}

/// What is drawn, but for the codes for telephones.
fn marks<'p>(page: &'p SeenPage, codes: &[Code]) -> Vec<&'p Mark> {
    let of_codes: BTreeSet<usize> = codes.iter().flat_map(Code::marks).collect();
    page.marks.iter().enumerate().filter(|(n, _)| !of_codes.contains(n)).map(|(_, m)| m).collect()
}

fn same_mark(a: &Mark, b: &Mark) -> bool {
    same_area(&a.area, &b.area)
        && a.painted == b.painted
        && same_ink(a.rgb, b.rgb)
        && (a.plain, a.masked, a.opaque) == (b.plain, b.masked, b.opaque)
        && same(&a.rings, &b.rings, |a, b| same(a, b, |a, b| near(a[0], b[0]) && near(a[1], b[1])))
}

fn same_picture(a: &Picture, b: &Picture) -> bool {
    same_area(&a.area, &b.area) && (a.pixels, a.stencil, a.unread) == (b.pixels, b.stencil, b.unread)
}

fn same_code(a: &Code, b: &Code) -> bool {
    let open = |text: &str| text.split(' ').map(|w| lot_of(w).unwrap_or_else(|| w.to_owned())).collect::<Vec<_>>();
    near(a.module, b.module) && same_area(&a.area, &b.area) && open(&a.payload) == open(&b.payload)
}

fn same_area(a: &Area, b: &Area) -> bool {
    [(a.left, b.left), (a.top, b.top), (a.right, b.right), (a.bottom, b.bottom)].iter().all(|(a, b)| near(*a, *b))
}

fn same_ink(a: [f64; 3], b: [f64; 3]) -> bool {
    a.iter().zip(&b).all(|(a, b)| near(*a, *b))
}
