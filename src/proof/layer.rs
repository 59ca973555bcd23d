//! Strokes and words in pixels, gathered by colour, and the canvas they are laid on. Part of `proof`.
//!
//! A layer is a page of our own in black; shown by the reader it tells how much of its colour each pixel takes.

use crate::find::Finding;
use crate::font::{FaceId, face};
use crate::inspect::{self, Raster};
use crate::page::{Ink, Page, Paint, Path, Placed, Point, Ring, Segment, Text};
use crate::pdf::{self, About};
use crate::plan::Shape;
use crate::unit::Length;
use std::collections::BTreeMap;

/// A pixel of the canvas is a tenth of a millimetre of a layer's page.
const PER_MM: f64 = 10.0;
/// What the file says of itself: about 96 dots to the inch, so that viewers show it at its size.
pub const PER_METRE: u32 = 3780;
/// Size of words and distance of their lines, in pixels.
pub const EM: f64 = 14.0;
pub const LINE: f64 = 18.0;
/// Length of a dash, in pixels.
const DASH: f64 = 10.0;
/// Around the labels.
const GROUND: [u8; 3] = [236, 236, 232];

/// In the order they are laid down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Colour {
    /// White round boxes and lines, so that they are seen on dark labels.
    Halo,
    /// Lines from notes to boxes.
    Lead,
    /// The same, to what is not as it should be.
    LeadWrong,
    Ruler,
    Bleed,
    Edge,
    Fold,
    Cut,
    Found,
    Wrong,
    Ink,
}

impl Colour {
    const fn rgb(self) -> [u8; 3] {
        match self {
            Self::Halo => [255, 255, 255],
            Self::Lead => [150, 175, 215],
            Self::LeadWrong => [240, 150, 150],
            Self::Ruler => [95, 95, 95],
            Self::Bleed => [200, 120, 0],
            Self::Edge => [0, 140, 60],
            Self::Fold => [110, 60, 0],
            Self::Cut => [190, 0, 160],
            Self::Found => [0, 80, 190],
            Self::Wrong => [205, 20, 20],
            Self::Ink => [0, 0, 0],
        }
    }
}

/// What is drawn over the labels.
#[derive(Debug, Default)]
pub struct Layers(BTreeMap<Colour, Vec<Placed>>);

fn length(pixels: f64) -> Length {
    Length::from_mm_f64(pixels / PER_MM)
}

fn point([x, y]: [f64; 2]) -> Point {
    Point { x: length(x), y: length(y) }
}

/// The words with what no face has as `?`.
fn printable(text: &str) -> String {
    let f = face(FaceId::Normal);
    text.chars().map(|c| if f.has(c) { c } else { '?' }).collect()
}

/// Width in pixels.
#[expect(clippy::cast_precision_loss, reason = "drawing")]
pub fn width(text: &str, em: f64, bold: bool) -> f64 {
    let f = face(family(bold));
    f.shape(text).map_or(0.0, |run| run.advance as f64 * em / f.units_per_em() as f64)
}

const fn family(bold: bool) -> FaceId {
    if bold { FaceId::NormalBold } else { FaceId::Normal }
}

/// Parts words into lines no wider than `most`; a longer word stands over.
pub fn wrap(text: &str, em: f64, bold: bool, most: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in printable(text).split(' ').filter(|w| !w.is_empty()) {
        match lines.last_mut() {
            Some(line) if width(&format!("{line} {word}"), em, bold) <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

impl Layers {
    fn add(&mut self, colour: Colour, placed: Placed) {
        self.0.entry(colour).or_default().push(placed);
    }

    /// Words on one line from `at` (left end, baseline); returns where they end.
    pub fn text(&mut self, colour: Colour, text: &str, at: [f64; 2], em: f64, bold: bool) -> f64 {
        let text = printable(text);
        let end = at[0] + width(&text, em, bold);
        if !text.trim().is_empty() {
            let Point { x, y } = point(at);
            let placed = Text { text, face: family(bold), size: length(em), x, baseline: y, ink: Ink::Black };
            self.add(colour, Placed::Text(placed));
        }
        end
    }

    /// Words broken at `most`, in the usual size; returns the baseline after the last line.
    pub fn paragraph(&mut self, colour: Colour, text: &str, at: [f64; 2], most: f64) -> f64 {
        self.paragraph_of(colour, text, at, EM, false, most).0
    }

    /// The same in any size; returns the baseline after the last line, and the right end of the longest.
    pub fn paragraph_of(
        &mut self,
        colour: Colour,
        text: &str,
        at: [f64; 2],
        em: f64,
        bold: bool,
        most: f64,
    ) -> (f64, f64) {
        let (mut y, mut right) = (at[1], at[0]);
        for line in wrap(text, em, bold, most) {
            right = right.max(self.text(colour, &line, [at[0], y], em, bold));
            y += em / EM * LINE;
        }
        (y, right)
    }

    /// A line through the points.
    pub fn stroke(&mut self, colour: Colour, points: &[[f64; 2]], thick: f64) {
        if let [start, to @ ..] = points {
            let to = to.iter().map(|p| Segment::Line(point(*p))).collect();
            self.ring(colour, Ring { start: point(*start), to, closed: false }, thick);
        }
    }

    /// An upright line in dashes.
    pub fn dashes(&mut self, colour: Colour, x: f64, [top, bottom]: [f64; 2], thick: f64) {
        let mut y = top;
        while y < bottom {
            self.stroke(colour, &[[x, y], [x, (y + DASH).min(bottom)]], thick);
            y += DASH * 1.6;
        }
    }

    /// A box.
    pub fn frame(&mut self, colour: Colour, [left, top, right, bottom]: [f64; 4], thick: f64) {
        let to = [[right, top], [right, bottom], [left, bottom]].map(|p| Segment::Line(point(p))).to_vec();
        self.ring(colour, Ring { start: point([left, top]), to, closed: true }, thick);
    }

    /// The outline of a shape of so many pixels, its box's corner at `corner`.
    pub fn outline(&mut self, colour: Colour, shape: Pixels, corner: [f64; 2], thick: f64) {
        self.ring(colour, shape.ring(corner), thick);
    }

    fn ring(&mut self, colour: Colour, ring: Ring, thick: f64) {
        self.add(colour, Placed::Path(Path { rings: vec![ring], paint: Paint::Stroke(Ink::Black, length(thick)) }));
    }
}

/// A shape on the canvas: width, height and radius of its corners in pixels. A circle is all corner.
#[derive(Debug, Clone, Copy)]
pub struct Pixels {
    pub width: f64,
    pub height: f64,
    pub corner: f64,
}

impl Pixels {
    /// Rounded corners as Bézier curves, clockwise from the end of the upper left one.
    #[expect(
        clippy::many_single_char_names,
        reason = "left, top, width, height, radius, handle: short, to show the pattern"
    )]
    fn ring(self, [x, y]: [f64; 2]) -> Ring {
        let (w, h, r) = (self.width, self.height, self.corner.min(self.width / 2.0).min(self.height / 2.0));
        if r <= 0.0 {
            let to = [[x + w, y], [x + w, y + h], [x, y + h]].map(|p| Segment::Line(point(p))).to_vec();
            return Ring { start: point([x, y]), to, closed: true };
        }
        // Where the handles of a quarter circle stand.
        let k = r * (1.0 - 0.552_285);
        let curve = |a, b, c| Segment::Curve(point(a), point(b), point(c));
        let line = |a| Segment::Line(point(a));
        let to = vec![
            line([x + w - r, y]),
            curve([x + w - k, y], [x + w, y + k], [x + w, y + r]),
            line([x + w, y + h - r]),
            curve([x + w, y + h - k], [x + w - k, y + h], [x + w - r, y + h]),
            line([x + r, y + h]),
            curve([x + k, y + h], [x, y + h - k], [x, y + h - r]),
            line([x, y + r]),
            curve([x, y + k], [x + k, y], [x + r, y]),
        ];
        Ring { start: point([x + r, y]), to, closed: true }
    }
}

/// The picture being made.
pub struct Canvas {
    /// Pixels in a row.
    pub width: usize,
    height: usize,
    /// Row by row.
    pub pixels: Vec<[u8; 3]>,
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "pixels of a canvas, kept in bounds")]
fn whole(pixels: f64) -> usize {
    pixels.round().clamp(0.0, 20_000.0) as usize
}

impl Canvas {
    pub fn new(width: f64, height: f64) -> Self {
        let (width, height) = (whole(width.ceil()).max(1), whole(height.ceil()).max(1));
        Self { width, height, pixels: vec![GROUND; width * height] }
    }

    /// Puts a picture down, its upper left at `corner`.
    pub fn put(&mut self, raster: &Raster, corner: [f64; 2]) {
        let (left, top) = (whole(corner[0]), whole(corner[1]));
        for (y, row) in raster.pixels.chunks_exact(raster.width.max(1)).enumerate() {
            for (x, pixel) in row.iter().enumerate() {
                if let Some(mine) = self.at(left + x, top + y) {
                    *mine = *pixel;
                }
            }
        }
    }

    fn at(&mut self, x: usize, y: usize) -> Option<&mut [u8; 3]> {
        if x < self.width && y < self.height { self.pixels.get_mut(y * self.width + x) } else { None }
    }

    /// Lays all layers over what is there.
    pub fn lay(&mut self, layers: &Layers) -> Result<(), Finding> {
        #[expect(clippy::cast_precision_loss, reason = "at most 20 000")]
        let (width, height) = (length(self.width as f64), length(self.height as f64));
        let trim = Shape::Rectangle { width, height };
        let about = About { title: "proof", language: "en", subject: "" };
        for (colour, items) in &layers.0 {
            let page = Page { part: "proof".to_owned(), trim, items: items.clone() };
            let shown = inspect::picture(&pdf::write(&[page], &about)?, 1, PER_MM, 0.0)?;
            for (y, row) in shown.pixels.chunks_exact(shown.width.max(1)).enumerate() {
                for (x, [grey, ..]) in row.iter().enumerate().filter(|(_, p)| p[0] < 255) {
                    if let Some(mine) = self.at(x, y) {
                        *mine = mixed(*mine, colour.rgb(), *grey);
                    }
                }
            }
        }
        Ok(())
    }
}

/// `under` where `grey` is 255, `over` where it is 0.
fn mixed(under: [u8; 3], over: [u8; 3], grey: u8) -> [u8; 3] {
    let (a, b) = (u32::from(grey), 255 - u32::from(grey));
    [0, 1, 2].map(|n| u8::try_from((u32::from(under[n]) * a + u32::from(over[n]) * b + 127) / 255).unwrap_or(u8::MAX))
}
