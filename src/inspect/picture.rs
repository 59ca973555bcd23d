//! Pages as pixels: what a printer or a screen makes of them. Part of `inspect`.

use super::guard;
use super::letters::Drawings;
use super::plain;
use super::read;
use super::seen::SeenPage;
use crate::find::Finding;
use hayro::hayro_interpret::InterpreterCache;
use hayro::hayro_syntax::Pdf;
use hayro::hayro_syntax::page::Page;
use hayro::kurbo::Affine;
use hayro::vello_cpu::{Pixmap, RasterizerSettings, RenderContext, Resources, TargetInit, color};
use hayro::{RenderCache, RenderSettings, render_into};

/// Most pixels along a side of a picture, and all told.
const MOST_SIDE: f64 = 60_000.0;
const MOST_PIXELS: f64 = 64_000_000.0;

/// A page as pixels on white paper, row by row from the upper left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Raster {
    /// Pixels in a row.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Red, green and blue of each.
    pub pixels: Vec<[u8; 3]>,
}

/// The trimmed page `number` (from 1) with `around` mm on each side, at so many pixels in a millimetre.
///
/// # Errors
/// A finding that says why the bytes cannot be read or shown: see [`super::read`]; or that the picture would be too large.
pub fn picture(bytes: &[u8], number: usize, per_mm: f64, around: f64) -> Result<Raster, Finding> {
    let pdf = read::open(bytes)?;
    let (page, seen) = showable(&pdf, number)?;
    let (width, height) = (side((seen.width + 2.0 * around) * per_mm)?, side((seen.height + 2.0 * around) * per_mm)?);
    if f64::from(width) * f64::from(height) > MOST_PIXELS {
        return Err(too_large());
    }
    let (to, _, _) = read::frame(page);
    let to = scaled(to, per_mm, (-around, -around));
    let pixels = render(page, Some(&seen), &RenderCache::new(), to, width, height);
    Ok(Raster { width: usize::from(width), height: usize::from(height), pixels })
}

/// The page and what is seen on it, if drawing it costs no more than the bounds.
pub(super) fn showable(pdf: &Pdf, number: usize) -> Result<(&Page<'_>, SeenPage), Finding> {
    let none = || Finding::input("file/pdf", format!("the PDF has no page {number}"), "name a page it has");
    let page = number.checked_sub(1).and_then(|n| pdf.pages().get(n)).ok_or_else(none)?;
    let seen = read::page(pdf, page, number, &InterpreterCache::new());
    match seen.refused() {
        Some(finding) => Err(finding),
        None => Ok((page, seen)),
    }
}

pub(super) fn too_large() -> Finding {
    Finding::input("file/picture-size", "the picture would be too large", "choose fewer dots per inch")
}

/// So many pixels, the last one whole.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked just before")]
pub(super) fn side(pixels: f64) -> Result<u16, Finding> {
    // A page of exactly so many dots is not one dot larger for the rounding of its size in the file.
    let whole = (pixels - 0.01).ceil();
    if (1.0..=MOST_SIDE).contains(&whole) { Ok(whole as u16) } else { Err(too_large()) }
}

/// From the page's own space to pixels, the point `corner` (mm from the upper left of the trimmed page) at the first one.
pub(super) fn scaled(to: Affine, per_mm: f64, corner: (f64, f64)) -> Affine {
    Affine::scale(per_mm) * Affine::translate((-corner.0, -corner.1)) * Affine::scale(1.0 / read::PER_MM) * to
}

/// Draws a page on white; of one that was seen not to be plain, what is.
pub(super) fn render<'a>(
    page: &'a Page<'a>,
    seen: Option<&SeenPage>,
    cache: &RenderCache<'a>,
    to: Affine,
    width: u16,
    height: u16,
) -> Vec<[u8; 3]> {
    let mut context = RenderContext::new(width, height);
    let mut draw = || match seen.filter(|s| s.no_raster) {
        Some(seen) => plain::draw(page, Drawings::new(seen.heaviest), to, &mut context),
        None => render_into(page, cache, &read::settings(), &RenderSettings::default(), &mut context, to),
    };
    if guard::held(&mut draw).is_none() {
        context = RenderContext::new(width, height);
    }
    context.flush();
    let mut pixels = Pixmap::new(width, height);
    let settings = RasterizerSettings {
        target_init: TargetInit::Clear(color::palette::css::WHITE),
        ..RasterizerSettings::default()
    };
    context.render_with(&mut pixels, &mut Resources::default(), settings);
    pixels.data().iter().map(|p| [p.r, p.g, p.b]).collect()
}

/// Luma of ITU-R BT.601: 0 black to 255 white.
pub(super) fn luma([r, g, b]: [u8; 3]) -> u8 {
    u8::try_from((u32::from(r) * 299 + u32::from(g) * 587 + u32::from(b) * 114) / 1000).unwrap_or(u8::MAX)
}
