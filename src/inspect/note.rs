//! Notes every path, letter and picture of a page as the interpreter shows them. Serves `read`.

use super::fonts::Fonts;
use super::ground;
use super::images::Images;
use super::letters::Drawings;
use super::limits;
use super::plain::dashed_within;
use super::read::PER_MM;
use super::seen::{Area, Hidden, Mark, Painted, Picture, SeenPage};
use hayro::hayro_interpret::font::GlyphRun;
use hayro::hayro_interpret::pattern::Pattern;
use hayro::hayro_interpret::{
    BlendMode, ClipPath, Device, DrawMode, DrawProps, FillRule, Image, ImageDrawProps, Paint, SoftMask,
};
use hayro::kurbo::{BezPath, PathEl, Point, Rect, Shape as Outline, flatten};

/// What is noted of a page.
pub struct Reader {
    pub fonts: Fonts,
    pub seen: SeenPage,
    /// The label that is looked at: what does not reach into it is passed over.
    pub beyond: Option<Rect>,
    pub clips: Vec<(Rect, Option<ClipPath>)>,
    pub groups: Vec<f32>,
    pub corners: usize,
    pub order: usize,
    /// What its pictures cost so far.
    pub images: Images,
    /// Letters that the file draws itself.
    pub drawings: Drawings,
}

pub fn area(r: Rect) -> Area {
    Area { left: r.x0 / PER_MM, top: r.y0 / PER_MM, right: r.x1 / PER_MM, bottom: r.y1 / PER_MM }
}

impl Reader {
    pub fn full(&mut self) -> bool {
        let seen = &mut self.seen;
        let many = limits::MOST_MARKS;
        if seen.glyphs.len() >= many || seen.marks.len() >= many || seen.pictures.len() >= many {
            seen.refuse(format!("holds more than {many} letters, shapes or pictures"));
        } else if self.corners > limits::MOST_CORNERS {
            seen.refuse(format!("holds shapes of more than {} corners", limits::MOST_CORNERS));
        }
        seen.overfull
    }

    /// Whether something lies wholly beyond the label that is looked at.
    pub fn passed(&self, bounds: Rect) -> bool {
        self.beyond.is_some_and(|label| {
            bounds.x1 < label.x0 || bounds.x0 > label.x1 || bounds.y1 < label.y0 || bounds.y0 > label.y1
        })
    }

    pub fn opacity(&self) -> f32 {
        self.groups.iter().product()
    }

    /// Contrast of the paint against white paper (WCAG 2.2), its colour there, and whether nothing shines through.
    pub fn contrast(&self, props: &DrawProps<'_>) -> (f64, [f64; 3], bool) {
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
    pub fn unseen(&self, ink: Option<Rect>) -> Option<Hidden> {
        let ink = ink?;
        let sheet = self.seen.sheet;
        let off = !area(ink).meets(&sheet, 0.0);
        if off { Some(Hidden::OffSheet) } else { self.clipped(ink).then_some(Hidden::Clipped) }
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
        let tiled = matches!(&props.paint, Paint::Pattern(pattern) if matches!(**pattern, Pattern::Tiling(_)));
        let masked = tiled || props.soft_mask.is_some() || self.groups.iter().any(|o| *o < 0.001);
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

impl<'a> Device<'a> for Reader {
    fn draw_path(&mut self, path: &BezPath, props: DrawProps<'a>, mode: &DrawMode) {
        let scale = props.transform.determinant().abs().sqrt() / PER_MM;
        let filled = |rule: &FillRule| match rule {
            FillRule::NonZero => Painted::Filled,
            FillRule::EvenOdd => Painted::FilledEvenOdd,
        };
        if let DrawMode::Stroke(line) | DrawMode::FillAndStroke(_, line) = mode {
            self.seen.no_raster |= !dashed_within(path, line);
        }
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
        self.seen.no_raster |= mask.is_some();
        self.groups.push(if mask.is_some() { 0.0 } else { opacity });
    }

    fn pop_transparency_group(&mut self) {
        self.groups.pop();
    }

    fn draw_glyph_run(&mut self, run: &GlyphRun<'_, 'a>, props: DrawProps<'a>, mode: &DrawMode) {
        self.letters(run, &props, mode);
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
        let unread = !self.images.fits(stream, width, height);
        self.seen.no_raster |= unread;
        let stencil = matches!(image, Image::Stencil(_));
        let bounds = props.transform.transform_rect_bbox(Rect::new(0.0, 0.0, f64::from(width), f64::from(height)));
        if bounds.is_finite() && !self.passed(bounds) {
            let (area, pixels) = (area(bounds), (width, height));
            self.seen.pictures.push(Picture { area, pixels, stencil, unread, order: self.order });
        }
    }
}
