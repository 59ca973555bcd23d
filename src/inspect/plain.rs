//! Draws what of a page is plain, leaving out what the reading library could work on without end. Serves `picture`.
//!
//! Left out are tiles and gradients, what is drawn through a mask, pictures beyond the bounds, lines of more dashes than
//! can be seen, and letters that are drawings once there are too many of them. Everything else is drawn as it is, so codes
//! can be read and colours told where the page is plain.

use super::images::Images;
use super::letters::Drawings;
use super::read;
use hayro::hayro_interpret::font::{Glyph as Shape, GlyphRun};
use hayro::hayro_interpret::{
    BlendMode, ClipPath, Context, Device, DrawMode, DrawProps, FillRule, Image as Picture, ImageData, ImageDrawProps,
    InterpreterCache, LumaData, Paint, SoftMask, StrokeProps, interpret_page,
};
use hayro::hayro_syntax::page::Page;
use hayro::kurbo::{Affine, BezPath, Rect, Shape as Outline, Stroke};
use hayro::vello_cpu::color::{AlphaColor, Srgb};
use hayro::vello_cpu::peniko::{Extend, Fill, ImageQuality, ImageSampler};
use hayro::vello_cpu::{Image, ImageSource, PixelMetadata, Pixmap, RenderContext};
use std::sync::Arc;

/// Most dashes of one line.
const MOST_DASHES: f64 = 10_000.0;

/// Whether a line can be drawn dash by dash.
pub fn dashed_within(path: &BezPath, stroke: &StrokeProps) -> bool {
    let dashes: Vec<f64> = stroke.dash_array.iter().map(|dash| f64::from(dash.abs())).collect();
    let count = f64::from(u32::try_from(dashes.len()).unwrap_or(u32::MAX));
    dashes.is_empty() || path.perimeter(0.1) * count <= MOST_DASHES * dashes.iter().sum::<f64>()
}

/// Draws the plain part of a page.
pub fn draw<'a>(page: &'a Page<'a>, drawings: Drawings, to: Affine, paper: &mut RenderContext) {
    let cache = InterpreterCache::new();
    let target = Rect::new(0.0, 0.0, f64::from(paper.width()), f64::from(paper.height()));
    let mut context = Context::new(to, target, &cache, page.xref(), read::settings());
    let mut brush = Brush { paper, images: Images::default(), drawings, masked: Vec::new() };
    interpret_page(page, &mut context, &mut brush);
}

struct Brush<'p> {
    paper: &'p mut RenderContext,
    images: Images,
    drawings: Drawings,
    /// Of each group whether it is drawn through a mask.
    masked: Vec<bool>,
}

fn rule(rule: FillRule) -> Fill {
    match rule {
        FillRule::NonZero => Fill::NonZero,
        FillRule::EvenOdd => Fill::EvenOdd,
    }
}

impl Brush<'_> {
    /// Takes up the paint; `false` where nothing is to be drawn with it.
    fn dip(&mut self, paint: &Paint<'_>, mask: Option<&SoftMask<'_>>) -> bool {
        let Paint::Color(colour) = paint else { return false };
        let [r, g, b, alpha] = colour.to_rgba().to_rgba8();
        self.paper.set_paint(AlphaColor::<Srgb>::from_rgba8(r, g, b, alpha));
        mask.is_none() && !self.masked.contains(&true)
    }

    fn stroke(&mut self, path: &BezPath, line: &StrokeProps) {
        if !dashed_within(path, line) {
            return;
        }
        self.paper.set_stroke(Stroke {
            width: f64::from(line.line_width),
            join: line.line_join,
            miter_limit: f64::from(line.miter_limit),
            start_cap: line.line_cap,
            end_cap: line.line_cap,
            dash_pattern: line.dash_array.iter().map(|n| f64::from(*n)).collect(),
            dash_offset: f64::from(line.dash_offset),
        });
        self.paper.stroke_path(path);
    }

    fn shape(&mut self, path: &BezPath, transform: Affine, mode: &DrawMode) {
        self.paper.set_transform(transform);
        match mode {
            DrawMode::Fill(fill) => {
                self.paper.set_fill_rule(rule(*fill));
                self.paper.fill_path(path);
            }
            DrawMode::Stroke(line) => self.stroke(path, line),
            DrawMode::FillAndStroke(fill, line) => {
                self.paper.set_fill_rule(rule(*fill));
                self.paper.fill_path(path);
                self.stroke(path, line);
            }
            DrawMode::Invisible => {}
        }
    }

    /// Lays down a picture, no more of its pixels than the paper has; `at` gives red, green, blue and alpha of each.
    fn pixels(&mut self, size: (u32, u32), factors: (f32, f32), transform: Affine, at: impl Fn(u32, u32) -> [u8; 4]) {
        let transform = transform * Affine::scale_non_uniform(f64::from(factors.0), f64::from(factors.1));
        let [xx, xy, yx, yy, ..] = transform.as_coeffs();
        let step = |scale: f64, pixels: u32| {
            // Of a picture finer than the paper every second, third, ... pixel does.
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 1 to 60000")]
            let step = (1.0 / scale.max(1e-9)).floor().clamp(1.0, 60_000.0) as u32;
            (step, u16::try_from(pixels.div_ceil(step)).ok().filter(|n| *n > 0))
        };
        let ((across, Some(width)), (down, Some(height))) = (step(xx.hypot(xy), size.0), step(yx.hypot(yy), size.1))
        else {
            return;
        };
        let mut data = Vec::with_capacity(usize::from(width) * usize::from(height) * 4);
        for y in 0..u32::from(height) {
            for x in 0..u32::from(width) {
                let [r, g, b, alpha] = at((x * across).min(size.0 - 1), (y * down).min(size.1 - 1));
                let faded = |c: u8| u8::try_from(u16::from(c) * u16::from(alpha) / 255).unwrap_or(u8::MAX);
                data.extend([faded(r), faded(g), faded(b), alpha]);
            }
        }
        let about = PixelMetadata { may_have_transparency: true, ..PixelMetadata::default() };
        let sampler =
            ImageSampler { x_extend: Extend::Pad, y_extend: Extend::Pad, quality: ImageQuality::Low, alpha: 1.0 };
        let image = ImageSource::Pixmap(Arc::new(Pixmap::from_parts(data, width, height, about)));
        self.paper.set_transform(transform * Affine::scale_non_uniform(f64::from(across), f64::from(down)));
        self.paper.set_paint_transform(Affine::IDENTITY);
        self.paper.set_paint(Image { image, sampler });
        self.paper.set_fill_rule(Fill::NonZero);
        let whole = (f64::from(size.0) / f64::from(across), f64::from(size.1) / f64::from(down));
        self.paper.fill_rect(&Rect::new(0.0, 0.0, whole.0, whole.1));
    }
}

impl<'a> Device<'a> for Brush<'_> {
    fn draw_path(&mut self, path: &BezPath, props: DrawProps<'a>, mode: &DrawMode) {
        if self.dip(&props.paint, props.soft_mask.as_ref()) {
            self.shape(path, props.transform, mode);
        }
    }

    fn push_clip_path(&mut self, clip: &ClipPath) {
        self.paper.set_transform(Affine::IDENTITY);
        self.paper.set_fill_rule(rule(clip.fill));
        self.paper.push_clip_path(&clip.path);
    }

    fn push_clip_rect(&mut self, rect: &Rect) {
        self.paper.set_transform(Affine::IDENTITY);
        self.paper.push_clip_rect(rect);
    }

    fn pop_clip(&mut self) {
        self.paper.pop_clip();
    }

    fn push_transparency_group(&mut self, opacity: f32, mask: Option<SoftMask<'a>>, _: BlendMode) {
        self.masked.push(mask.is_some());
        self.paper.push_layer(None, None, Some(opacity), None, None);
    }

    fn pop_transparency_group(&mut self) {
        self.masked.pop();
        self.paper.pop_layer();
    }

    fn draw_glyph_run(&mut self, run: &GlyphRun<'_, 'a>, props: DrawProps<'a>, mode: &DrawMode) {
        for glyph in run.glyphs() {
            match &**glyph {
                Shape::Outline(outline) => {
                    if self.dip(&props.paint, props.soft_mask.as_ref()) {
                        self.shape(&outline.outline(), props.transform * glyph.transform(), mode);
                    }
                }
                Shape::Type3(letter) => {
                    if !matches!(mode, DrawMode::Invisible) && self.drawings.shown() {
                        letter.interpret(self, props.transform, glyph.transform(), &props.paint);
                    }
                }
            }
        }
    }

    fn draw_image(&mut self, image: Picture<'a, '_>, props: ImageDrawProps<'a>) {
        let stream = match &image {
            Picture::Stencil(s) => s.stream(),
            Picture::Raster(r) => r.stream(),
        };
        let masked = props.soft_mask.is_some() || self.masked.contains(&true);
        if masked || !self.images.fits(stream, image.width(), image.height()) {
            return;
        }
        match image {
            Picture::Stencil(stencil) => stencil.with_stencil(
                |mask, paint| {
                    let Paint::Color(colour) = paint else { return };
                    let [r, g, b, alpha] = colour.to_rgba().to_rgba8();
                    let through = |x: u32, y: u32| {
                        let alpha = u16::from(luma(&mask, x, y)) * u16::from(alpha) / 255;
                        [r, g, b, u8::try_from(alpha).unwrap_or(u8::MAX)]
                    };
                    self.pixels((mask.width, mask.height), mask.scale_factors, props.transform, through);
                },
                None,
            ),
            Picture::Raster(raster) => raster.with_rgba(
                |colours, mask| {
                    let (size, factors) = ((colours.width(), colours.height()), colours.scale_factors());
                    let at = |x: u32, y: u32| coloured(&colours, mask.as_ref(), x, y);
                    self.pixels(size, factors, props.transform, at);
                },
                None,
            ),
        }
    }
}

/// A pixel of a mask; full beyond its end.
fn luma(mask: &LumaData, x: u32, y: u32) -> u8 {
    let at = u64::from(y) * u64::from(mask.width) + u64::from(x);
    usize::try_from(at).ok().and_then(|at| mask.data.get(at)).copied().unwrap_or(u8::MAX)
}

/// Red, green, blue and alpha of a pixel; a mask of another size is looked up at the same place.
fn coloured(colours: &ImageData, mask: Option<&LumaData>, x: u32, y: u32) -> [u8; 4] {
    let alpha = mask.map_or(u8::MAX, |mask| {
        let place = |at: u32, of: u32, size: u32| u64::from(at) * u64::from(of) / u64::from(size.max(1));
        let (x, y) = (place(x, mask.width, colours.width()), place(y, mask.height, colours.height()));
        luma(mask, u32::try_from(x).unwrap_or(0), u32::try_from(y).unwrap_or(0))
    });
    match colours {
        ImageData::Luma(grey) => {
            let grey = luma(grey, x, y);
            [grey, grey, grey, alpha]
        }
        ImageData::Rgb(rgb) => {
            let at = (u64::from(y) * u64::from(rgb.width) + u64::from(x)) * 3;
            let pixel = usize::try_from(at).ok().and_then(|at| rgb.data.get(at..at + 3));
            pixel.map_or([u8::MAX, u8::MAX, u8::MAX, 0], |p| [p[0], p[1], p[2], alpha])
        }
    }
}
