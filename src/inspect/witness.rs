//! A second opinion on what can be seen: the label is drawn, and the ink of each letter looked for among the pixels. After `read`.
//!
//! The order of painting tells most of what hides a letter. A broad white line over it, white letters upon it, a mixing of
//! colours: these show only in what is printed.

use super::backdrop;
use super::code;
use super::ground;
use super::seen::{Area, Glyph, Hidden, SeenPage};
use hayro::hayro_syntax::page::Page;

/// Pixels an inch, and the most pixels.
const DPI: f64 = 150.0;
const MOST_PIXELS: f64 = 6_000_000.0;
/// A letter of whose ink less than this share is there cannot be read. Some fonts draw parts of a letter over each other, so
/// that the outlines promise more than is printed.
const LEAST_INK: f64 = 0.5;
/// A pixel is of the letter's colour when it is no further from it, of 1 from black to white.
const NEAR: f64 = 0.3;

struct Drawn {
    pixels: Vec<[u8; 3]>,
    width: usize,
    height: usize,
    per_mm: f64,
}

/// Marks the letters that are painted and of which hardly anything is to be seen.
pub fn look<'a>(page: &'a Page<'a>, seen: &mut SeenPage) {
    let there = |g: &Glyph| g.hidden.is_none() && g.ink.is_some();
    if seen.overfull || !seen.glyphs.iter().any(there) {
        return;
    }
    let area = Area { left: 0.0, top: 0.0, right: seen.width, bottom: seen.height };
    let dpi = DPI.min((MOST_PIXELS / (seen.width * seen.height)).sqrt() * 25.4);
    let (pixels, width, height, per_mm) = code::printed(page, seen, &area, dpi);
    let drawn = Drawn { pixels, width, height, per_mm };
    let lost: Vec<usize> = (0..seen.glyphs.len())
        .filter(|&n| there(&seen.glyphs[n]) && !is_printed(seen, &seen.glyphs[n], &area, &drawn))
        .collect();
    if lost.is_empty() {
        return;
    }
    for n in lost {
        seen.glyphs[n].hidden = Some(Hidden::Covered);
    }
    seen.regroup();
}

fn is_printed(seen: &SeenPage, glyph: &Glyph, label: &Area, drawn: &Drawn) -> bool {
    let Some(ink) = glyph.ink.filter(|ink| label.holds(ink, 0.0)) else { return true };
    // What is not plain is left out of the drawing, and so may be what the letter stands out from.
    let untold = glyph.contrast.is_none();
    if seen.no_raster && (untold || seen.faces.get(glyph.face).is_some_and(|f| f.drawn)) {
        return true;
    }
    // Thin letters take hardly a pixel of their own colour: on a picture too they are weighed against what is round them.
    let picture = backdrop::picture_behind(seen, glyph, &ink).is_some();
    let rim = picture.then(|| drawn.rim(&ink, 0.06 * glyph.em)).flatten();
    let over_picture = picture && rim.is_none();
    let paper = rim.unwrap_or_else(|| ground::under(seen, ink.middle(), glyph.order));
    match glyph.fills.filter(|_| !over_picture && !untold) {
        Some(fills) if drawn.is_blot(&ink, glyph.rgb, fills) => false,
        Some(fills) => drawn.weighs(&ink, glyph.rgb, paper, LEAST_INK * fills * drawn.per_mm * drawn.per_mm),
        None => drawn.has(&ink, glyph.rgb),
    }
}

impl Drawn {
    /// The middle colour just above and just below a box, where no neighbour on the line stands.
    fn rim(&self, area: &Area, off: f64) -> Option<[f64; 3]> {
        let above = Area { top: area.top - off, bottom: area.top - off, ..*area };
        let below = Area { top: area.bottom + off, bottom: area.bottom + off, ..*area };
        let all: Vec<[f64; 3]> = self.within(&above).chain(self.within(&below)).collect();
        let middle = |n: usize| {
            let mut one: Vec<f64> = all.iter().map(|p| p[n]).collect();
            one.sort_by(f64::total_cmp);
            one.get(one.len() / 2).copied()
        };
        Some([middle(0)?, middle(1)?, middle(2)?])
    }

    fn within(&self, area: &Area) -> impl Iterator<Item = [f64; 3]> + '_ {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the raster")]
        let cell = |mm: f64, most: usize| ((mm * self.per_mm).max(0.0) as usize).min(most);
        let (left, right) = (cell(area.left, self.width), (cell(area.right, self.width) + 1).min(self.width));
        let (top, bottom) = (cell(area.top, self.height), (cell(area.bottom, self.height) + 1).min(self.height));
        let rows = self.pixels.chunks_exact(self.width.max(1)).take(bottom).skip(top);
        rows.flat_map(move |row| row.iter().take(right).skip(left)).map(|p| p.map(|c| f64::from(c) / 255.0))
    }

    /// Whether so many pixels' worth of the letter's colour are there, as against the paper's.
    fn weighs(&self, area: &Area, ink: [f64; 3], paper: [f64; 3], least: f64) -> bool {
        let from_paper = |c: [f64; 3]| [0, 1, 2].map(|n| c[n] - paper[n]);
        let way = from_paper(ink);
        let length: f64 = way.iter().map(|d| d * d).sum();
        if length <= 0.0 {
            return true;
        }
        let mut mass = 0.0;
        self.within(area).any(|pixel| {
            let [a, b, c] = from_paper(pixel);
            mass += ((a * way[0] + b * way[1] + c * way[2]) / length).clamp(0.0, 1.0);
            mass >= least
        }) || least <= 0.0
    }

    /// Whether nearly the whole box of a letter has its colour, though the letter leaves room in it: it stands on its own colour.
    fn is_blot(&self, area: &Area, ink: [f64; 3], fills: f64) -> bool {
        /// The letter takes less of its box than this, and its colour more than that.
        const SHARES: (f64, f64) = (0.7, 0.97);
        if fills > SHARES.0 * area.width() * area.height() {
            return false;
        }
        let near = |p: &[f64; 3]| p.iter().zip(ink).all(|(a, b)| (a - b).abs() <= NEAR);
        let (mut all, mut same) = (0_u32, 0_u32);
        for pixel in self.within(area) {
            all += 1;
            same += u32::from(near(&pixel));
        }
        f64::from(same) > SHARES.1 * f64::from(all)
    }

    /// Whether the letter's colour stands anywhere.
    fn has(&self, area: &Area, ink: [f64; 3]) -> bool {
        self.within(area).any(|p| p.iter().zip(ink).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max) <= NEAR)
    }
}
