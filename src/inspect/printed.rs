//! What pictures of pixels show: their colours by place, and the outlines of frames and strokes in them. Serves `sign`, `space`.
//!
//! Most people place the official pictograms as pictures. Each picture of a page is looked at as it is printed, on one raster
//! round all of them; what stands apart in its colour becomes a shape like those that are drawn.

use super::code;
use super::ground;
use super::seen::{Area, Mark, Painted, Picture, SeenPage, View};
use super::sign::Kind;
use hayro::hayro_syntax::page::Page;
use std::sync::Arc;

/// Pictures smaller than this (mm, the shorter side) hold no sign.
const LEAST_PICTURE: f64 = 1.5;
/// Signs are larger than this, in mm.
const LEAST_SIGN: f64 = 5.0;
/// Pixels an inch where the raster is small enough, and its most pixels.
const DPI: f64 = 400.0;
const MOST_PIXELS: f64 = 1_500_000.0;
/// Most shapes that are taken from the pictures of a page; a photograph has more and is no sign.
const MOST_SHAPES: usize = 3_000;
/// Fewer pixels are dust.
const DUST: usize = 9;

/// The part of a page that holds pictures, as printed.
#[derive(Debug)]
pub struct Paper {
    pixels: Vec<[u8; 3]>,
    width: usize,
    height: usize,
    per_mm: f64,
    /// Where it lies in this view of the page, in mm.
    area: Area,
    view: View,
}

/// What a pixel is, for telling shapes from each other.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Tone {
    Light,
    Dark,
    Red,
    Colour,
}

fn tone([r, g, b]: [u8; 3]) -> Tone {
    let (most, least) = (r.max(g).max(b), r.min(g).min(b));
    // At the edge of a frame a pixel is half red and half white.
    let vivid = u32::from(most - least) * 3 > u32::from(most) && most > 60;
    if vivid && r == most && u32::from(r - least) * 2 > 5 * u32::from(g.abs_diff(b)) {
        Tone::Red
    } else if vivid {
        Tone::Colour
    } else if most >= 128 {
        Tone::Light
    } else {
        Tone::Dark
    }
}

impl Paper {
    /// The colour at a place of the page of the file; `None` beyond it.
    pub fn colour(&self, on_page: [f64; 2]) -> Option<[f64; 3]> {
        let [x, y] = self.view.from_page(on_page);
        let column = cell((x - self.area.left) * self.per_mm, self.width)?;
        let row = cell((y - self.area.top) * self.per_mm, self.height)?;
        self.pixels.get(row * self.width + column).map(|p| p.map(|c| f64::from(c) / 255.0))
    }

    fn row(&self, row: usize) -> &[[u8; 3]] {
        &self.pixels[row * self.width..(row + 1) * self.width]
    }

    /// Whether anything red is on it.
    pub fn has_red(&self) -> bool {
        self.pixels.iter().filter(|p| tone(**p) == Tone::Red).take(DUST).count() >= DUST
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "not below 0; too large is left out")]
fn cell(at: f64, of: usize) -> Option<usize> {
    (at >= 0.0).then_some(at as usize).filter(|n| *n < of)
}

#[expect(clippy::cast_precision_loss, reason = "a raster has at most some thousand rows")]
fn mm(pixels: usize, per_mm: f64) -> f64 {
    pixels as f64 / per_mm
}

impl SeenPage {
    /// Whether a picture may show a sign of this kind that was not made out: one that is not read, or has its colours.
    pub(crate) fn may_show_sign(&self, kind: Kind) -> bool {
        let large = |p: &&Picture| p.area.width().min(p.area.height()) >= LEAST_SIGN;
        match &self.paper {
            Some(paper) if kind == Kind::Hazard => {
                self.pictures.iter().filter(large).any(|p| p.unread) || paper.has_red()
            }
            _ => self.pictures.iter().any(|p| large(&p)),
        }
    }
}

/// Looks at the pictures of a page; what they show of signs comes into `seen.paper` and `seen.printed`.
pub fn look<'a>(page: &'a Page<'a>, seen: &mut SeenPage) {
    let sheet = Area { left: 0.0, top: 0.0, right: seen.width, bottom: seen.height };
    let areas: Vec<(Area, usize)> = seen
        .pictures
        .iter()
        .filter(|p| !p.unread)
        .map(|p| (p.area.within(&sheet), p.order))
        .filter(|(a, _)| a.width().min(a.height()) >= LEAST_PICTURE)
        .collect();
    let Some(area) = Area::round(areas.iter().map(|(a, _)| a)).filter(|_| !seen.overfull) else { return };
    let dpi = DPI.min((MOST_PIXELS / (area.width() * area.height())).sqrt() * 25.4);
    let (pixels, width, height, per_mm) = code::printed(page, seen, &area, dpi);
    let paper = Paper { pixels, width, height, per_mm, area, view: seen.view };
    let shapes = Shapes::of(&paper);
    seen.printed = shapes.marks(&paper, &areas);
    seen.paper = Some(Arc::new(paper));
}

/// Connected pixels of one tone.
struct Shape {
    tone: Tone,
    /// First and last column of each row, from `top` on.
    spans: Vec<(usize, usize)>,
    top: usize,
    pixels: usize,
    sum: [u64; 3],
    edge: bool,
}

struct Shapes(Vec<Shape>);

impl Shapes {
    /// Flood fill over runs of equal tone: each run of a row joins the runs of the row above that it touches.
    fn of(paper: &Paper) -> Self {
        let mut parent: Vec<usize> = Vec::new();
        let mut runs: Vec<(usize, usize, usize, Tone)> = Vec::new();
        let mut above = 0..0;
        for row in 0..paper.height {
            let line: Vec<Tone> = paper.row(row).iter().map(|p| tone(*p)).collect();
            let begin = runs.len();
            let mut column = 0;
            while column < line.len() {
                let kind = line[column];
                let length = line[column..].iter().take_while(|t| **t == kind).count();
                runs.push((row, column, column + length - 1, kind));
                parent.push(parent.len());
                column += length;
            }
            let mut from = above.start;
            for n in begin..runs.len() {
                let (_, first, last, kind) = runs[n];
                // Dark shapes hold together over corners, light ones do not.
                let reach = usize::from(kind != Tone::Light);
                while from < above.end && runs[from].2 + reach < first {
                    from += 1;
                }
                let touching = (from..above.end).take_while(|&m| runs[m].1 <= last + reach);
                for m in touching.filter(|&m| runs[m].3 == kind).collect::<Vec<_>>() {
                    let (a, b) = (root(&mut parent, n), root(&mut parent, m));
                    parent[a.max(b)] = a.min(b);
                }
            }
            above = begin..runs.len();
        }
        let mut shapes: Vec<Option<Shape>> = (0..runs.len()).map(|_| None).collect();
        for (n, &(row, first, last, kind)) in runs.iter().enumerate() {
            let at = root(&mut parent, n);
            let blank = || Shape { tone: kind, spans: Vec::new(), top: row, pixels: 0, sum: [0; 3], edge: false };
            let shape = shapes[at].get_or_insert_with(blank);
            match shape.spans.get_mut(row - shape.top) {
                Some(span) => *span = (span.0.min(first), span.1.max(last)),
                None => shape.spans.push((first, last)),
            }
            shape.pixels += last - first + 1;
            shape.edge |= row == 0 || row + 1 == paper.height || first == 0 || last + 1 == paper.width;
            // The middle of a run speaks for it.
            for (sum, c) in shape.sum.iter_mut().zip(paper.row(row)[usize::midpoint(first, last)]) {
                *sum += u64::from(c) * u64::try_from(last - first + 1).unwrap_or(0);
            }
        }
        Self(shapes.into_iter().flatten().filter(|s| s.pixels >= DUST).collect())
    }

    /// As painted shapes: the outline round each, in mm of the view; none of a page that holds a photograph.
    fn marks(&self, paper: &Paper, pictures: &[(Area, usize)]) -> Vec<Mark> {
        let corner = [paper.area.left, paper.area.top];
        let of_interest = |s: &&Shape| !(s.tone == Tone::Light && s.edge);
        if self.0.iter().filter(of_interest).count() > MOST_SHAPES {
            return Vec::new();
        }
        let mark = |s: &Shape| {
            let ring: Vec<[f64; 2]> =
                hull(s).into_iter().map(|at| [0, 1].map(|n| corner[n] + mm(at[n], paper.per_mm))).collect();
            let round = Area::round(
                &ring.iter().map(|&[x, y]| Area { left: x, top: y, right: x, bottom: y }).collect::<Vec<_>>(),
            )?;
            let order = pictures.iter().filter(|(a, _)| a.has(round.middle())).map(|(_, order)| *order).max()?;
            #[expect(clippy::cast_precision_loss, reason = "sums of some million bytes")]
            let rgb = s.sum.map(|c| c as f64 / s.pixels as f64 / 255.0);
            Some(Mark {
                area: round,
                rings: vec![ring],
                painted: Painted::Filled,
                contrast: ground::contrast(rgb, [1.0; 3]),
                rgb,
                plain: true,
                masked: false,
                opaque: true,
                order,
            })
        };
        self.0.iter().filter(of_interest).filter_map(mark).collect()
    }
}

fn root(parent: &mut [usize], mut n: usize) -> usize {
    while parent[n] != n {
        parent[n] = parent[parent[n]];
        n = parent[n];
    }
    n
}

/// The convex outline round the pixels, in corners of pixels (Andrew's monotone chain over the ends of the rows).
fn hull(shape: &Shape) -> Vec<[usize; 2]> {
    let rows = || shape.spans.iter().enumerate().map(|(n, span)| (shape.top + n, span));
    let left: Vec<[usize; 2]> = rows().flat_map(|(y, s)| [[s.0, y], [s.0, y + 1]]).collect();
    let right: Vec<[usize; 2]> = rows().flat_map(|(y, s)| [[s.1 + 1, y], [s.1 + 1, y + 1]]).collect();
    #[expect(clippy::cast_possible_wrap, reason = "pixels of a raster of some thousand rows")]
    let cross = |o: [usize; 2], a: [usize; 2], b: [usize; 2]| {
        let d = |p: [usize; 2], n: usize| p[n] as i64 - o[n] as i64;
        d(a, 0) * d(b, 1) - d(a, 1) * d(b, 0)
    };
    let chain = |points: &[[usize; 2]], keep: fn(i64) -> bool| {
        let mut out: Vec<[usize; 2]> = Vec::new();
        for &p in points {
            while out.len() >= 2 && !keep(cross(out[out.len() - 2], out[out.len() - 1], p)) {
                out.pop();
            }
            out.push(p);
        }
        out
    };
    // Down the right side the outline turns one way, down the left side the other.
    let mut ring = chain(&right, |turn| turn > 0);
    ring.extend(chain(&left, |turn| turn < 0).into_iter().rev());
    ring
}
