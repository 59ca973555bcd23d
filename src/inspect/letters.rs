//! Notes letters: place, size, face, colour. Part of `note`.
//!
//! A font may hold drawings in place of outlines (a Type 3 font, ISO 32000-1, 9.6.5). Each such letter is drawn once on
//! nothing; where it is filled paths alone, they are its outline and are measured as any other's.

use super::note::{Reader, area};
use super::read::PER_MM;
use super::seen::{Face, Glyph, Hidden};
use super::slant::Slant;
use super::weigh;
use super::weight;
use hayro::hayro_interpret::font::{Glyph as Shape, GlyphRun, Type3Glyph};
use hayro::hayro_interpret::hayro_cmap::BfString;
use hayro::hayro_interpret::{
    BlendMode, CacheKey, ClipPath, Device, DrawMode, DrawProps, Image, ImageDrawProps, Paint, SoftMask,
};
use hayro::kurbo::{Affine, BezPath, Point, Rect, Shape as Outline, Vec2};
use std::collections::BTreeMap;

/// The face of letters whose font cannot be told.
const UNKNOWN: Face = Face { name: None, weight: None, key: 0, drawn: false };

/// Most lines and curves of a letter that is measured; a face drawn from a brush has some hundreds.
const MOST_PIECES: usize = 2_000;

/// Letters that the file draws itself, each drawn once.
#[derive(Debug, Default)]
pub struct Drawings {
    /// Bytes of the heaviest one.
    heaviest: u64,
    /// Bytes that were drawn on nothing, and on the page.
    measured: u64,
    shown: u64,
    outlines: BTreeMap<u128, Option<BezPath>>,
}

impl Drawings {
    /// None drawn yet, the heaviest of so many bytes.
    pub fn new(heaviest: u64) -> Self {
        Self { heaviest, ..Self::default() }
    }

    /// Counts one more on the page; whether all of them can be drawn within the bounds.
    pub fn shown(&mut self) -> bool {
        self.shown = self.shown.saturating_add(self.heaviest.max(1));
        self.shown <= weigh::MOST_CONTENT
    }

    /// Its outline in thousandths of the em; `None` where it is more than filled paths, or too much has been drawn.
    fn outline<'a>(&mut self, letter: &Type3Glyph<'a>, paint: &Paint<'a>) -> Option<&BezPath> {
        let key = letter.cache_key();
        if !self.outlines.contains_key(&key) {
            self.measured = self.measured.saturating_add(self.heaviest.max(1));
            let within = self.measured <= weigh::MOST_CONTENT;
            let outline = within.then(|| {
                let mut pen = Pen { path: BezPath::new(), plain: true };
                letter.interpret(&mut pen, Affine::IDENTITY, Affine::IDENTITY, paint);
                (pen.plain && (1..=MOST_PIECES).contains(&pen.path.elements().len())).then_some(pen.path)
            });
            self.outlines.insert(key, outline.flatten());
        }
        self.outlines.get(&key).and_then(Option::as_ref)
    }
}

/// Gathers what a letter is drawn of.
struct Pen {
    path: BezPath,
    /// Nothing but filled paths so far.
    plain: bool,
}

impl<'a> Device<'a> for Pen {
    fn draw_path(&mut self, path: &BezPath, props: DrawProps<'a>, mode: &DrawMode) {
        match mode {
            DrawMode::Fill(_) => self.path.extend(props.transform * path),
            DrawMode::Stroke(_) | DrawMode::FillAndStroke(..) => self.plain = false,
            DrawMode::Invisible => {}
        }
        self.plain &= props.soft_mask.is_none();
    }
    fn push_clip_path(&mut self, _: &ClipPath) {
        self.plain = false;
    }
    fn push_clip_rect(&mut self, _: &Rect) {
        self.plain = false;
    }
    fn push_transparency_group(&mut self, _: f32, _: Option<SoftMask<'a>>, _: BlendMode) {
        self.plain = false;
    }
    fn draw_glyph_run(&mut self, _: &GlyphRun<'_, 'a>, _: DrawProps<'a>, _: &DrawMode) {
        self.plain = false;
    }
    fn draw_image(&mut self, _: Image<'a, '_>, _: ImageDrawProps<'a>) {
        self.plain = false;
    }
    fn pop_clip(&mut self) {}
    fn pop_transparency_group(&mut self) {}
}

impl Reader {
    fn face(&mut self, shape: &Shape<'_>) -> usize {
        let face = match shape {
            Shape::Outline(o) => match o.font_data() {
                Some(d) => {
                    // A program cut down to a few letters often says "regular" because it says nothing.
                    let said = d.postscript_name.as_deref().and_then(|n| self.fonts.weight(n));
                    Face { name: d.postscript_name, weight: said.or(d.weight), key: d.cache_key, drawn: false }
                }
                None => self.fonts.of_outline(o.identifier().cache_key()).cloned().unwrap_or(UNKNOWN),
            },
            Shape::Type3(_) => Face { name: None, weight: None, key: 1, drawn: true },
        };
        let faces = &mut self.seen.faces;
        faces.iter().position(|f| *f == face).unwrap_or_else(|| {
            faces.push(face);
            faces.len() - 1
        })
    }

    /// Why letters painted like this are not seen, wherever they stand.
    fn unseen_paint(&self, props: &DrawProps<'_>, mode: &DrawMode) -> Option<Hidden> {
        match mode {
            DrawMode::Invisible => Some(Hidden::Unpainted),
            _ if props.soft_mask.is_some() || self.opacity() < 0.05 => Some(Hidden::Unpainted),
            _ if matches!(props.paint, Paint::Pattern(_)) => Some(Hidden::Pale),
            _ => None,
        }
    }

    pub fn letters<'a>(&mut self, run: &GlyphRun<'_, 'a>, props: &DrawProps<'a>, mode: &DrawMode) {
        let Some(first) = run.glyphs().first() else { return };
        let dashed = matches!(mode, DrawMode::Stroke(l) | DrawMode::FillAndStroke(_, l) if !l.dash_array.is_empty());
        let patterned = matches!(props.paint, Paint::Pattern(_));
        self.seen.no_raster |= props.soft_mask.is_some() || dashed || patterned;
        let face = self.face(first);
        let (_, rgb, _) = self.contrast(props);
        let filled = matches!(mode, DrawMode::Fill(_) | DrawMode::FillAndStroke(..));
        let base = self.unseen_paint(props, mode);
        let before = self.seen.glyphs.len();
        for glyph in run.glyphs() {
            if self.full() {
                return;
            }
            self.order += 1;
            let to = props.transform * glyph.transform();
            let origin = to * Point::ZERO;
            let along = to * Point::new(1000.0, 0.0) - origin;
            let up = to * Point::new(0.0, 1000.0) - origin;
            // Spaces have no box; they count with the letters they stand among.
            let near = Rect::from_points(origin, origin + along + up).inflate(along.hypot(), up.hypot());
            if near.is_finite() && self.passed(near) {
                continue;
            }
            let text = match glyph.as_unicode() {
                Some(BfString::Char(c)) => ligature(c).map_or_else(|| c.to_string(), str::to_owned),
                Some(BfString::String(s)) => s,
                None => '\u{FFFD}'.to_string(),
            };
            // Across the direction of writing: a side that leans is longer than the letter is high.
            let em = if along.hypot() > 0.0 { along.cross(up).abs() / along.hypot() } else { up.hypot() } / PER_MM;
            let tall = |outline: &BezPath| outline.bounding_box().height() / 1000.0 * em;
            let slant = |outline: &BezPath| {
                let b = outline.bounding_box();
                Slant([(b.x0, b.y0), (b.x1, b.y0), (b.x1, b.y1), (b.x0, b.y1)].map(|(x, y)| {
                    let at = to * Point::new(x, y);
                    [at.x / PER_MM, at.y / PER_MM]
                }))
            };
            let (bounds, shape, fills, thick, stem, advance) = match &**glyph {
                Shape::Outline(o) => {
                    let outline = o.outline();
                    let bounds = (to * &outline).bounding_box();
                    let inked = !outline.elements().is_empty() && bounds.is_finite();
                    let stem = weight::stem(&text, &outline);
                    (
                        inked.then_some(bounds),
                        inked.then(|| (tall(&outline), slant(&outline))),
                        filled.then(|| (to * &outline).area().abs() / PER_MM / PER_MM),
                        thickness(&outline),
                        stem,
                        o.advance_width(),
                    )
                }
                Shape::Type3(t) => {
                    self.seen.no_raster |= !self.drawings.shown();
                    let outline = self.drawings.outline(t, &props.paint);
                    let bounds =
                        outline.map(|drawn| (to * drawn).bounding_box()).filter(|b| b.is_finite() && b.area() > 0.0);
                    let stem = outline.and_then(|drawn| weight::stem(&text, drawn));
                    let shape = outline.map(|o| (tall(o), slant(o)));
                    (bounds, shape, None, outline.and_then(thickness), stem, t.advance_width())
                }
            };
            if bounds.is_some_and(|b| self.passed(b)) {
                continue;
            }
            let blank = is_blank(glyph, bounds, &text).then_some(Hidden::Unpainted);
            let end = match (advance, bounds) {
                (Some(advance), _) => to * Point::new(f64::from(advance), 0.0),
                (None, Some(ink)) => Point::new(ink.x1, origin.y),
                (None, None) => origin,
            };
            if !(origin.x.is_finite() && origin.y.is_finite() && end.is_finite() && up.hypot().is_finite()) {
                continue;
            }
            self.seen.glyphs.push(Glyph {
                text,
                x: origin.x / PER_MM,
                baseline: origin.y / PER_MM,
                end: end.x / PER_MM,
                end_y: end.y / PER_MM,
                em,
                ink: bounds.map(area),
                slant: shape.map(|s| s.1),
                tall: shape.map(|s| s.0),
                fills: fills.filter(|area| area.is_finite()),
                thickness: thick,
                stem,
                face,
                level: is_level(along, up),
                turn: (-along.y).atan2(along.x).to_degrees(),
                mirrored: along.cross(up) > 0.0,
                stretch: stretch(along, up),
                rgb,
                contrast: (!patterned).then_some(21.0),
                rim: 0.0,
                hidden: base.or(blank).or_else(|| self.unseen(bounds)),
                order: self.order,
            });
        }
        self.once(before, mode, props);
    }

    /// Text that is filled and stroked comes twice; the second time is left out.
    fn once(&mut self, before: usize, mode: &DrawMode, props: &DrawProps<'_>) {
        let new = self.seen.glyphs.len() - before;
        let (DrawMode::Stroke(line) | DrawMode::FillAndStroke(_, line)) = mode else { return };
        let rim = f64::from(line.line_width) * props.transform.determinant().abs().sqrt() / PER_MM;
        let rim = if rim.is_finite() { rim } else { 0.0 };
        for glyph in &mut self.seen.glyphs[before..] {
            glyph.rim = rim;
        }
        if !matches!(mode, DrawMode::Stroke(_)) || new == 0 || new > before {
            return;
        }
        let same = |a: &Glyph, b: &Glyph| {
            a.text == b.text && (a.x - b.x).abs() < 1e-9 && (a.baseline - b.baseline).abs() < 1e-9
        };
        let (old, now) = self.seen.glyphs.split_at(before);
        if old[before - new..].iter().zip(now).all(|(a, b)| same(a, b)) {
            self.seen.glyphs.truncate(before);
            for glyph in &mut self.seen.glyphs[before - new..] {
                glyph.rim = rim;
            }
        }
    }
}

/// A subset that lost a letter has nothing to print for it.
fn is_blank(glyph: &Shape<'_>, bounds: Option<Rect>, text: &str) -> bool {
    bounds.is_none() && matches!(glyph, Shape::Outline(_)) && text.chars().any(char::is_alphanumeric)
}

/// Twice the area of an outline by its length, in the font's 1000 units: the thickness of the strokes, as share of the em.
fn thickness(outline: &BezPath) -> Option<f64> {
    let length = outline.perimeter(1.0);
    (length > 0.0).then(|| 2.0 * outline.area().abs() / length / 1000.0)
}

/// The letters of a ligature that has a character of its own (Unicode, Alphabetic Presentation Forms).
fn ligature(c: char) -> Option<&'static str> {
    Some(match c {
        '\u{FB00}' => "ff",
        '\u{FB01}' => "fi",
        '\u{FB02}' => "fl",
        '\u{FB03}' => "ffi",
        '\u{FB04}' => "ffl",
        '\u{FB05}' | '\u{FB06}' => "st",
        _ => return None,
    })
}

/// How wide the letters are drawn as a share of how high they are drawn, each as against the font.
fn stretch(along: Vec2, up: Vec2) -> f64 {
    let area = along.cross(up).abs();
    let stretch = along.hypot2() / area;
    if stretch.is_finite() { stretch } else { 0.0 }
}

/// Reads from left to right, upright: the base runs right, the letters rise to the top of the page.
fn is_level(along: Vec2, up: Vec2) -> bool {
    along.x > 0.0 && up.y < 0.0 && along.y.abs() <= 0.02 * along.x && up.y.abs() >= 0.8 * up.x.abs()
}
