//! Reads the pages of a PDF with a public reader and notes every glyph, path and picture. First step of `inspect`.

use super::backing;
use super::fonts::{self, Fonts};
use super::ground;
use super::guard;
use super::limits;
use super::lines;
use super::locked;
use super::seen::{Area, Face, Glyph, Hidden, Mark, Painted, Picture, SeenPage, Unread, View, Window};
use super::unread;
use super::weight;
use crate::find::Finding;
use hayro::hayro_interpret::font::{Glyph as Shape, GlyphRun};
use hayro::hayro_interpret::hayro_cmap::BfString;
use hayro::hayro_interpret::{
    BlendMode, ClipPath, Context, Device, DrawMode, DrawProps, FillRule, Image, ImageDrawProps, InterpreterCache,
    InterpreterSettings, Paint, RenderContent, SoftMask, interpret_page,
};
use hayro::hayro_syntax::Pdf;
use hayro::hayro_syntax::object::Rect as PdfRect;
use hayro::hayro_syntax::page::Page;
use hayro::kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape as Outline, Vec2, flatten};

/// Units of the reading space in a millimetre; fine enough that its rounding of thin lines does not matter.
pub const PER_MM: f64 = 100.0;
/// Black on white has contrast 21; text below this is too pale (WCAG 2.2, 1.4.3 asks 3:1 of large letters).
pub const LEAST_CONTRAST: f64 = 3.0;
/// Lines narrower than this gap (in ems) belong together; see `lines`.
pub const BLOCK_GAP: f64 = 1.0;

/// Opens the file within the bounds of `limits`.
pub fn open(bytes: &[u8]) -> Result<Pdf, Finding> {
    let broken = || Finding::input("file/pdf", "the PDF is damaged and cannot be read", "make the PDF anew");
    limits::check_outside(bytes)?;
    let bytes = guard::held(|| locked::opened(bytes)).ok_or_else(broken)??;
    limits::check(&bytes)?;
    let pdf = guard::held(|| Pdf::new(bytes.into_owned())).and_then(Result::ok).ok_or_else(broken)?;
    match pdf.pages().len() {
        0 => Err(broken()),
        n if n > limits::MOST_PAGES => Err(Finding::input(
            "file/pdf",
            format!("the PDF has {n} pages; at most {} are read", limits::MOST_PAGES),
            "write the pages to smaller files",
        )),
        _ => Ok(pdf),
    }
}

/// From the page's own space to `PER_MM` parts of a millimetre from the top left of the trimmed page, and its size in mm.
pub fn frame(page: &Page<'_>) -> (Affine, f64, f64) {
    let raw = page.raw();
    let media = page.media_box();
    let boxed = |b: PdfRect| Rect::new(b.x0, b.y0, b.x1, b.y1);
    let trim = raw.get::<PdfRect>(b"TrimBox".as_slice()).map_or_else(|| boxed(page.crop_box()), boxed);
    let trim = trim.intersect(boxed(media));
    let unit = raw.get::<f32>(b"UserUnit".as_slice()).map_or(1.0, f64::from);
    let unit = if unit.is_finite() && unit > 0.0 && unit <= 100.0 { unit } else { 1.0 };
    let turn = Affine::new(page.initial_transform(true).as_coeffs());
    let turned = turn.transform_rect_bbox(trim);
    let scale = unit * 25.4 / 72.0;
    let to = Affine::scale(scale * PER_MM) * Affine::translate((-turned.x0, -turned.y0)) * turn;
    (to, turned.width() * scale, turned.height() * scale)
}

/// As [`frame`], of one label on the page: from the upper left of the label, at the size it has on paper.
pub fn framed(page: &Page<'_>, window: Option<&Window>) -> (Affine, f64, f64) {
    let (to, width, height) = frame(page);
    let Some(window) = window else { return (to, width, height) };
    let label = Affine::scale_non_uniform(1.0 / window.across, 1.0 / window.down)
        * Affine::translate((-window.left * PER_MM, -window.top * PER_MM));
    (label * to, window.width, window.height)
}

/// Notes everything on one page.
pub fn page<'a>(pdf: &'a Pdf, page: &'a Page<'a>, number: usize, cache: &InterpreterCache<'a>) -> SeenPage {
    noted(pdf, page, number, cache, None)
}

/// Notes everything that reaches into one label on a page of our own making.
pub fn label<'a>(
    pdf: &'a Pdf,
    page: &'a Page<'a>,
    number: usize,
    cache: &InterpreterCache<'a>,
    window: Window,
) -> SeenPage {
    noted(pdf, page, number, cache, Some(window))
}

fn noted<'a>(
    pdf: &'a Pdf,
    page: &'a Page<'a>,
    number: usize,
    cache: &InterpreterCache<'a>,
    window: Option<Window>,
) -> SeenPage {
    let (to, width, height) = framed(page, window.as_ref());
    let mut reader = Reader {
        fonts: Fonts::default(),
        seen: SeenPage {
            number,
            width,
            height,
            glyphs: Vec::new(),
            faces: Vec::new(),
            marks: Vec::new(),
            grounds: Vec::new(),
            pictures: Vec::new(),
            lines: Vec::new(),
            overfull: false,
            no_raster: false,
            window,
            sheet: Area { left: 0.0, top: 0.0, right: width, bottom: height },
            trim_given: page.raw().get::<PdfRect>(b"TrimBox".as_slice()).is_some(),
            unread: Vec::new(),
            view: View::default(),
        },
        beyond: window.map(|w| Rect::new(0.0, 0.0, w.width * PER_MM, w.height * PER_MM)),
        clips: Vec::new(),
        groups: Vec::new(),
        corners: 0,
        order: 0,
    };
    let done = guard::held(|| {
        // What is on a page of labels of our own making was weighed when its first label was read.
        let bounded = window.is_some() || super::forms::weigh(page) <= limits::MOST_CONTENT;
        if !bounded || !width.is_finite() || !height.is_finite() {
            return None;
        }
        let media = page.media_box();
        let bounds = to.transform_rect_bbox(Rect::new(media.x0, media.y0, media.x1, media.y1));
        reader.seen.sheet = area(bounds);
        reader.fonts = fonts::of(pdf, page, cache);
        let mut context = Context::new(to, bounds, cache, pdf.xref(), settings());
        interpret_page(page, &mut context, &mut reader);
        let empty = page.page_stream().is_none_or(|content| content.trim_ascii().is_empty());
        Some((unread::notes(page), empty && page.raw().contains_key(b"Contents".as_slice())))
    });
    let done = done.flatten();
    reader.seen.overfull |= done.is_none();
    let (notes, lost) = done.unwrap_or_default();
    let mut seen = reader.seen;
    backing::look(&mut seen);
    ground::settle(&mut seen);
    seen.lines = lines::group(&seen, BLOCK_GAP, |g| g.hidden.is_none());
    seen.unread = unread::of(&seen, notes);
    if lost {
        seen.unread.push(Unread::Content);
    }
    seen
}

/// Only the page's own content: notes laid over it are not part of the print.
pub fn settings() -> InterpreterSettings {
    InterpreterSettings { render_content: RenderContent::PAGE, ..InterpreterSettings::default() }
}

/// The face of letters whose font cannot be told.
const UNKNOWN: Face = Face { name: None, weight: None, key: 0, drawn: false };

struct Reader {
    fonts: Fonts,
    seen: SeenPage,
    /// The label that is looked at: what does not reach into it is passed over.
    beyond: Option<Rect>,
    clips: Vec<(Rect, Option<ClipPath>)>,
    groups: Vec<f32>,
    corners: usize,
    order: usize,
}

fn area(r: Rect) -> Area {
    Area { left: r.x0 / PER_MM, top: r.y0 / PER_MM, right: r.x1 / PER_MM, bottom: r.y1 / PER_MM }
}

impl Reader {
    fn full(&mut self) -> bool {
        let seen = &mut self.seen;
        let many = limits::MOST_MARKS;
        seen.overfull |= seen.glyphs.len() >= many
            || seen.marks.len() >= many
            || seen.pictures.len() >= many
            || self.corners > limits::MOST_CORNERS;
        seen.overfull
    }

    /// Whether something lies wholly beyond the label that is looked at.
    fn passed(&self, bounds: Rect) -> bool {
        self.beyond.is_some_and(|label| {
            bounds.x1 < label.x0 || bounds.x0 > label.x1 || bounds.y1 < label.y0 || bounds.y0 > label.y1
        })
    }

    fn opacity(&self) -> f32 {
        self.groups.iter().product()
    }

    /// Contrast of the paint against white paper (WCAG 2.2), its colour there, and whether nothing shines through.
    fn contrast(&self, props: &DrawProps<'_>) -> (f64, [f64; 3], bool) {
        let Paint::Color(color) = &props.paint else { return (21.0, [0.5; 3], false) };
        let [r, g, b, alpha] = color.to_rgba().components();
        let alpha = alpha * self.opacity();
        let rgb = [r, g, b].map(|c| f64::from(c * alpha + (1.0 - alpha)).clamp(0.0, 1.0));
        (ground::contrast(rgb, [1.0; 3]), rgb, alpha > 0.95 && props.soft_mask.is_none())
    }

    fn clipped(&self, ink: Rect) -> bool {
        let slack = 0.01 * PER_MM;
        self.clips.iter().any(|(bounds, path)| {
            let inside = ink.x0 >= bounds.x0 - slack
                && ink.x1 <= bounds.x1 + slack
                && ink.y0 >= bounds.y0 - slack
                && ink.y1 <= bounds.y1 + slack;
            let corner_out = || {
                path.as_ref().is_some_and(|clip| {
                    [(ink.x0, ink.y0), (ink.x1, ink.y0), (ink.x1, ink.y1), (ink.x0, ink.y1)].iter().any(|c| {
                        let turns = clip.path.winding(Point::from(*c));
                        match clip.fill {
                            FillRule::NonZero => turns == 0,
                            FillRule::EvenOdd => turns % 2 == 0,
                        }
                    })
                })
            };
            !inside || corner_out()
        })
    }

    /// Whether the ink is cut away or beyond the sheet.
    fn unseen(&self, ink: Option<Rect>) -> Option<Hidden> {
        let ink = ink?;
        let sheet = self.seen.sheet;
        let off = !area(ink).meets(&sheet, 0.0);
        if off { Some(Hidden::OffSheet) } else { self.clipped(ink).then_some(Hidden::Clipped) }
    }

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

    fn path(&mut self, path: &BezPath, props: &DrawProps<'_>, painted: Painted) {
        if self.full() {
            return;
        }
        self.order += 1;
        self.seen.no_raster |= matches!(props.paint, Paint::Pattern(_)) || props.soft_mask.is_some();
        let path = props.transform * path;
        let mut bounds = path.bounding_box();
        if let Painted::Stroked(width) = painted {
            bounds = bounds.inflate(width / 2.0 * PER_MM, width / 2.0 * PER_MM);
        }
        for (clip, _) in &self.clips {
            bounds = bounds.intersect(*clip);
        }
        if bounds.width() <= 0.0 && bounds.height() <= 0.0 || !bounds.is_finite() || self.passed(bounds) {
            return;
        }
        let mut rings: Vec<Vec<[f64; 2]>> = Vec::new();
        flatten(&path, 0.01 * PER_MM, |el| match el {
            PathEl::MoveTo(p) => rings.push(vec![[p.x / PER_MM, p.y / PER_MM]]),
            PathEl::LineTo(p) => rings.last_mut().into_iter().for_each(|r| r.push([p.x / PER_MM, p.y / PER_MM])),
            PathEl::ClosePath => rings.last_mut().into_iter().for_each(|r| r.extend(r.first().copied())),
            PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
        });
        self.corners += rings.iter().map(Vec::len).sum::<usize>();
        let (contrast, rgb, opaque) = self.contrast(props);
        let masked = props.soft_mask.is_some() || self.groups.iter().any(|o| *o < 0.001);
        let plain = matches!(props.paint, Paint::Color(_)) && !masked;
        self.seen.marks.push(Mark {
            area: area(bounds),
            rings,
            painted,
            contrast,
            rgb,
            plain,
            masked,
            opaque,
            order: self.order,
        });
    }
}

/// Twice the area of an outline by its length, in the font's 1000 units: the thickness of the strokes, as share of the em.
fn thickness(outline: &BezPath) -> Option<f64> {
    let length = outline.perimeter(1.0);
    (length > 0.0).then(|| 2.0 * outline.area().abs() / length / 1000.0)
}

impl<'a> Device<'a> for Reader {
    fn draw_path(&mut self, path: &BezPath, props: DrawProps<'a>, mode: &DrawMode) {
        let scale = props.transform.determinant().abs().sqrt() / PER_MM;
        let filled = |rule: &FillRule| match rule {
            FillRule::NonZero => Painted::Filled,
            FillRule::EvenOdd => Painted::FilledEvenOdd,
        };
        match mode {
            DrawMode::Fill(rule) => self.path(path, &props, filled(rule)),
            DrawMode::Stroke(s) => self.path(path, &props, Painted::Stroked(f64::from(s.line_width) * scale)),
            DrawMode::FillAndStroke(rule, s) => {
                self.path(path, &props, filled(rule));
                self.path(path, &props, Painted::Stroked(f64::from(s.line_width) * scale));
            }
            DrawMode::Invisible => {}
        }
    }

    fn push_clip_path(&mut self, clip: &ClipPath) {
        self.clips.push((clip.path.bounding_box(), Some(clip.clone())));
    }

    fn push_clip_rect(&mut self, rect: &Rect) {
        self.clips.push((*rect, None));
    }

    fn pop_clip(&mut self) {
        self.clips.pop();
    }

    fn push_transparency_group(&mut self, opacity: f32, mask: Option<SoftMask<'a>>, _: BlendMode) {
        self.groups.push(if mask.is_some() { 0.0 } else { opacity });
    }

    fn pop_transparency_group(&mut self) {
        self.groups.pop();
    }

    fn draw_glyph_run(&mut self, run: &GlyphRun<'_, 'a>, props: DrawProps<'a>, mode: &DrawMode) {
        let Some(first) = run.glyphs().first() else { return };
        self.seen.no_raster |= matches!(**first, Shape::Type3(_)) || props.soft_mask.is_some();
        let face = self.face(first);
        let (_, rgb, _) = self.contrast(&props);
        let patterned = matches!(props.paint, Paint::Pattern(_));
        let base = match mode {
            DrawMode::Invisible => Some(Hidden::Unpainted),
            _ if props.soft_mask.is_some() || self.opacity() < 0.05 => Some(Hidden::Unpainted),
            _ if patterned => Some(Hidden::Pale),
            _ => None,
        };
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
            let (bounds, tall, thick, stem, advance) = match &**glyph {
                Shape::Outline(o) => {
                    let outline = o.outline();
                    let bounds = (to * &outline).bounding_box();
                    let inked = !outline.elements().is_empty() && bounds.is_finite();
                    let stem = weight::stem(&text, &outline);
                    let tall = outline.bounding_box().height() / 1000.0 * up.hypot() / PER_MM;
                    (inked.then_some(bounds), inked.then_some(tall), thickness(&outline), stem, o.advance_width())
                }
                Shape::Type3(t) => (None, None, None, None, t.advance_width()),
            };
            if bounds.is_some_and(|b| self.passed(b)) {
                continue;
            }
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
                em: up.hypot() / PER_MM,
                ink: bounds.map(area),
                tall,
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
                hidden: base.or_else(|| self.unseen(bounds)),
                order: self.order,
            });
        }
        self.once(before, mode, &props);
    }

    fn draw_image(&mut self, image: Image<'a, '_>, props: ImageDrawProps<'a>) {
        if self.full() {
            return;
        }
        self.order += 1;
        let (width, height) = (image.width(), image.height());
        let stream = match &image {
            Image::Stencil(s) => s.stream(),
            Image::Raster(r) => r.stream(),
        };
        // An image within the page's own content was not seen by the check of the raw bytes.
        let unread = u64::from(width) * u64::from(height) > limits::MOST_PIXELS
            || limits::check_picture(stream.dict().data(), &stream.raw_data()).is_err();
        self.seen.no_raster |= unread;
        let stencil = matches!(image, Image::Stencil(_));
        let bounds = props.transform.transform_rect_bbox(Rect::new(0.0, 0.0, f64::from(width), f64::from(height)));
        if bounds.is_finite() && !self.passed(bounds) {
            let (area, pixels) = (area(bounds), (width, height));
            self.seen.pictures.push(Picture { area, pixels, stencil, unread, order: self.order });
        }
    }
}

impl Reader {
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
