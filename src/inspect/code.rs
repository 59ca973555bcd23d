//! Decodes QR codes from a raster of their neighbourhood and measures their modules on the vector shapes.

use super::backdrop;
use super::ground;
use super::limits::MOST_MARKS;
use super::picture;
use super::read::{self, LEAST_CONTRAST};
use super::seen::{Area, Painted, SeenPage};
use hayro::RenderCache;
use hayro::hayro_syntax::page::Page;
use hayro::kurbo::Affine;

/// Light modules that must surround a QR code (ISO/IEC 18004, 4 modules).
pub const QUIET: f64 = 4.0;
/// Most pixels of a raster along one side.
const MOST_SIDE: f64 = 4_000.0;
/// Pixels an inch at which the background of letters is looked up: a stroke of the smallest letters is a pixel wide.
const BACKGROUND_DPI: f64 = 200.0;

/// Pixels an inch at which codes are looked for all over a page: four to a module of a quarter of a millimetre.
const ANYWHERE_DPI: f64 = 400.0;

/// A QR code as read.
#[derive(Debug, Clone)]
pub struct Code {
    /// What it holds.
    pub payload: String,
    /// Side of a module in mm, the smaller of across and down.
    pub module: f64,
    /// The box round its modules.
    pub area: Area,
    /// Marks and pictures it is made of.
    marks: Vec<usize>,
}

impl Code {
    /// The marks it is drawn with, as they are counted in [`SeenPage::marks`].
    pub fn marks(&self) -> impl Iterator<Item = usize> + '_ {
        self.marks.iter().copied()
    }

    /// Its box with the space that must stay free round it, as far as it is on the page.
    #[must_use]
    pub fn zone(&self, seen: &SeenPage) -> Area {
        let wide = QUIET * self.module - super::TOLERANCE;
        self.area.widened(wide, wide).within(&Area { left: 0.0, top: 0.0, right: seen.width, bottom: seen.height })
    }

    /// Where it stands in the order of painting: the first of what it is made of.
    #[must_use]
    pub fn order(&self, seen: &SeenPage) -> usize {
        let of = |n: usize| match seen.marks.get(n) {
            Some(mark) => mark.order,
            None => seen.pictures[n - seen.marks.len()].order,
        };
        self.marks.iter().map(|&n| of(n)).min().unwrap_or(usize::MAX)
    }
}

/// A page of the file, and what was seen on it or on one label.
type On<'a, 's> = (&'a Page<'a>, &'s SeenPage);

/// Red, green and blue of the pixels, width, height and the pixels in a millimetre.
pub type Drawn = (Vec<[u8; 3]>, usize, usize, f64);

/// A raster of part of a view of a page at `dpi`; smaller if it would be very large.
fn draw<'a>((page, seen): On<'a, '_>, cache: &RenderCache<'a>, area: &Area, dpi: f64) -> Drawn {
    let (to, _, _) = read::frame(page);
    let longest = area.width().max(area.height()).max(0.1);
    let scale = (dpi / 25.4).min(MOST_SIDE / longest);
    // Clamped to 4000 above, so neither sign nor size is lost.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 1 and 4001")]
    let side = |mm: f64| (mm * scale).ceil().clamp(1.0, MOST_SIDE + 1.0) as u16;
    let (width, height) = (side(area.width()), side(area.height()));
    let to = seen.view.matrix(1.0) * Affine::scale(1.0 / read::PER_MM) * to;
    let to = Affine::scale(scale) * Affine::translate((-area.left, -area.top)) * to;
    (picture::render(page, Some(seen), cache, to, width, height), usize::from(width), usize::from(height), scale)
}

/// Part of a page as it is printed: its pixels row by row, their columns and rows, and the pixels in a millimetre.
pub fn printed<'a>(page: &'a Page<'a>, seen: &SeenPage, area: &Area, dpi: f64) -> Drawn {
    draw((page, seen), &RenderCache::new(), area, dpi)
}

/// A greyscale raster of part of a page, 0 black to 255 white.
///
/// Returns the pixels, width, height and the pixels in a millimetre.
fn raster<'a>(on: On<'a, '_>, cache: &RenderCache<'a>, area: &Area, dpi: f64) -> (Vec<u8>, usize, usize, f64) {
    let (pixels, width, height, scale) = draw(on, cache, area, dpi);
    (pixels.iter().map(|p| picture::luma(*p)).collect(), width, height, scale)
}

/// The colours of a page as they are printed, by the place in mm; `None` beyond the page.
pub fn colours<'a>(page: &'a Page<'a>, seen: &SeenPage) -> impl Fn([f64; 2]) -> Option<[f64; 3]> + use<> {
    let area = Area { left: 0.0, top: 0.0, right: seen.width, bottom: seen.height };
    let (pixels, width, height, scale) = draw((page, seen), &RenderCache::new(), &area, BACKGROUND_DPI);
    move |[x, y]| {
        let (x, y) = ((x * scale).floor(), (y * scale).floor());
        if x < 0.0 || y < 0.0 {
            return None;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "not below 0; too large is clamped"
        )]
        let (x, y) = (x as usize, y as usize);
        let at = (x < width && y < height).then(|| y * width + x)?;
        pixels.get(at).map(|p| p.map(|c| f64::from(c) / 255.0))
    }
}

/// Every QR code on the page. `module` is the side asked for, used to guess where codes are.
pub fn read<'a>(page: &'a Page<'a>, seen: &SeenPage, module: f64) -> Vec<Code> {
    if seen.overfull {
        return Vec::new();
    }
    let (cache, on) = (RenderCache::new(), (page, seen));
    let mut codes = Vec::new();
    for marks in clusters(seen, module) {
        let Some(area) = Area::round(marks.iter().map(|&m| area_of(seen, m))) else { continue };
        // A code has at least 21 modules along a side and at most 177, and is square.
        let ratio = area.width() / area.height();
        if !(0.9..=1.1).contains(&ratio) || area.width() < 21.0 * module * 0.4 {
            continue;
        }
        // First five pixels for each module of the size asked for; finer if the modules turn out smaller.
        let around = area.widened(area.width() * 0.15, area.height() * 0.15);
        let fitting = [5.0, 10.0, 25.0].map(|pixels| pixels / module.max(0.1) * 25.4);
        if let Some((payload, modules)) = upright(on, &cache, &area, module) {
            let module = area.width().min(area.height()) / modules;
            codes.push(Code { payload, module, area, marks });
            continue;
        }
        for dpi in fitting {
            let found = decode(on, &cache, &around, dpi);
            if let Some((payload, modules, _)) = found.into_iter().next() {
                let module = area.width().min(area.height()) / modules;
                codes.push(Code { payload, module, area, marks: marks.clone() });
                break;
            }
        }
    }
    if codes.is_empty() {
        codes = anywhere(on, seen, &cache);
    }
    codes
}

/// Decodes a code that stands upright and fills `area`, as a label's does: the raster is sampled in the middle of each
/// module, for each size a code can have whose finder patterns are where they belong (ISO/IEC 18004, 6.3.3). A general
/// search for turned and skewed codes would take ten times as long.
fn upright<'a>(on: On<'a, '_>, cache: &RenderCache<'a>, area: &Area, module: f64) -> Option<(String, f64)> {
    let (pixels, width, height, scale) = raster(on, cache, area, 5.0 / module.max(0.1) * 25.4);
    let (across, down) = (area.width() * scale, area.height() * scale);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "inside the raster"
    )]
    let middle = |n: usize, of: f64, size: f64, most: usize| (((n as f64 + 0.5) * size / of) as usize).min(most - 1);
    (21..=177_u16).step_by(4).find_map(|modules| {
        let (size, of) = (usize::from(modules), f64::from(modules));
        let dark =
            |y: usize, x: usize| pixels[middle(y, of, down, height) * width + middle(x, of, across, width)] < 128;
        let finder = |top: usize, left: usize| {
            (0..7).all(|n| {
                let (ring, core) = (n == 0 || n == 6, (2..=4).contains(&n));
                dark(top + 3, left + n) == (ring || core)
                    && dark(top + n, left + 3) == (ring || core)
                    && dark(top, left + n)
                    && dark(top + n, left)
            })
        };
        // Between the finder patterns dark and light modules take turns.
        let timing = (8..size - 8).all(|n| dark(6, n) == (n % 2 == 0) && dark(n, 6) == (n % 2 == 0));
        if !timing || !finder(0, 0) || !finder(0, size - 7) || !finder(size - 7, 0) {
            return None;
        }
        let grid = rqrr::Grid::new(rqrr::SimpleGrid::from_func(size, |x, y| dark(y, x)));
        grid.decode().ok().map(|(_, payload)| (payload, of))
    })
}

/// Modules along a side of the code and which of them are dark, row by row: what stands in the middle of each.
pub fn modules<'a>(page: &'a Page<'a>, seen: &SeenPage, code: &Code) -> (usize, Vec<bool>) {
    let area = &code.area;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "21 to 177 in a code that was read")]
    let side = (area.width().min(area.height()) / code.module).round().clamp(21.0, 177.0) as u8;
    let (pixels, width, height, scale) = raster((page, seen), &RenderCache::new(), area, 5.0 / code.module * 25.4);
    let of = f64::from(side);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "inside the raster")]
    let middle = |n: u8, size: f64, most: usize| (((f64::from(n) + 0.5) * size / of) as usize).min(most - 1);
    let dark = |y: u8, x: u8| {
        let (down, across) = (middle(y, area.height() * scale, height), middle(x, area.width() * scale, width));
        pixels[down * width + across] < 128
    };
    (usize::from(side), (0..side).flat_map(|y| (0..side).map(move |x| (y, x))).map(|(y, x)| dark(y, x)).collect())
}

/// The codes a raster of all drawings shows: for codes that stand too close to something to be told apart by the shapes.
fn anywhere<'a>(on: On<'a, '_>, seen: &SeenPage, cache: &RenderCache<'a>) -> Vec<Code> {
    let parts = drawn(seen);
    let Some(all) = Area::round(parts.iter().map(|&n| area_of(seen, n))) else { return Vec::new() };
    let page_area = Area { left: 0.0, top: 0.0, right: seen.width, bottom: seen.height };
    let all = all.widened(3.0, 3.0).within(&page_area);
    if all.width() <= 0.0 || all.height() <= 0.0 {
        return Vec::new();
    }
    let found = decode(on, cache, &all, ANYWHERE_DPI);
    let exact = |(payload, modules, rough): (String, f64, Area)| {
        // The raster is a pixel out; the shapes within half a module of it say it exactly.
        let slack = rough.width() / modules / 2.0;
        let marks: Vec<usize> = (0..seen.marks.len() + seen.pictures.len())
            .filter(|&m| rough.widened(slack, slack).holds(area_of(seen, m), 0.0))
            .collect();
        let exact = Area::round(marks.iter().map(|&m| area_of(seen, m)));
        let area = exact.filter(|a| a.widened(slack, slack).holds(&rough, 0.0)).unwrap_or(rough);
        Code { payload, module: area.width().min(area.height()) / modules, area, marks }
    };
    found.into_iter().map(exact).collect()
}

/// Decodes what a raster shows: payload, modules along a side, box in mm.
fn decode<'a>(on: On<'a, '_>, cache: &RenderCache<'a>, area: &Area, dpi: f64) -> Vec<(String, f64, Area)> {
    let (pixels, width, height, scale) = draw(on, cache, area, dpi);
    let mut image =
        rqrr::PreparedImage::prepare_from_greyscale(width, height, |x, y| picture::luma(pixels[y * width + x]));
    let grids = image.detect_grids();
    grids
        .iter()
        .filter_map(|grid| {
            let (meta, payload) = grid.decode().ok()?;
            let place = |p: &rqrr::Point| {
                let (x, y) = (area.left + f64::from(p.x) / scale, area.top + f64::from(p.y) / scale);
                Area { left: x, top: y, right: x, bottom: y }
            };
            let corners = grid.bounds.each_ref().map(place);
            let modules = f64::from(u16::try_from(meta.version.to_size()).ok()?);
            Some((payload, modules, Area::round(&corners)?))
        })
        .collect()
}

/// Marks first, pictures after them.
fn area_of(seen: &SeenPage, n: usize) -> &Area {
    match seen.marks.get(n) {
        Some(mark) => &mark.area,
        None => &seen.pictures[n - seen.marks.len()].area,
    }
}

/// Dark filled shapes and pictures.
fn drawn(seen: &SeenPage) -> Vec<usize> {
    let dark = |n: &usize| {
        seen.marks.get(*n).is_none_or(|m| m.contrast >= LEAST_CONTRAST && !matches!(m.painted, Painted::Stroked(_)))
    };
    (0..seen.marks.len() + seen.pictures.len()).filter(dark).collect()
}

/// Those that stand close together.
fn clusters(seen: &SeenPage, module: f64) -> Vec<Vec<usize>> {
    let near = (2.5 * module).max(0.8) / 2.0;
    let parts = drawn(seen);
    // Each pair is compared; a code drawn module by module has some hundreds.
    if parts.len() > MOST_MARKS / 5 {
        return Vec::new();
    }
    let mut clusters: Vec<(Area, Vec<usize>)> = Vec::new();
    for n in parts {
        let wide = area_of(seen, n).widened(near, near);
        let mut joined = (wide, vec![n]);
        clusters.retain_mut(|(area, members)| {
            let touches = area.meets(&wide, 0.0)
                && members.iter().any(|&m| area_of(seen, m).widened(near, near).meets(&wide, 0.0));
            if touches {
                joined.0 = joined.0.with(area);
                joined.1.append(members);
            }
            !touches
        });
        clusters.push(joined);
    }
    clusters.into_iter().map(|(_, members)| members).collect()
}

/// What stands in the quiet zone of a code: its box and what it is. What lies under all of it is its ground, and told by
/// [`backdrop::of_code`].
#[must_use]
pub fn disturbed(seen: &SeenPage, code: &Code) -> Option<(Area, String)> {
    let zone = code.area.widened(QUIET * code.module - super::TOLERANCE, QUIET * code.module - super::TOLERANCE);
    let (whole, order) = (code.zone(seen), code.order(seen));
    let glyph = seen.glyphs.iter().find_map(|g| {
        let area = g.ink.filter(|a| a.meets(&zone, 0.0))?;
        g.hidden.is_none().then(|| (area, format!("the letter `{}`", g.text)))
    });
    let coloured = || {
        let corner = zone.corners().into_iter().find(|p| !ground::is_white(ground::under(seen, *p, usize::MAX)))?;
        (!seen.grounds.is_empty())
            .then(|| (Area { left: corner[0], top: corner[1], ..zone }, "the coloured ground".to_owned()))
    };
    glyph.or_else(coloured).or_else(|| {
        (0..seen.marks.len() + seen.pictures.len()).filter(|n| !code.marks.contains(n)).find_map(|n| {
            let there = match seen.marks.get(n) {
                Some(mark) => {
                    let ground = || !mark.plain && backdrop::mark_lies_under(seen, mark, &whole, order);
                    mark.contrast >= LEAST_CONTRAST && mark.touches(&zone) && !ground()
                }
                None => {
                    let picture = &seen.pictures[n - seen.marks.len()];
                    picture.area.meets(&zone, 0.0) && !backdrop::picture_lies_under(seen, picture, &whole, order)
                }
            };
            there.then(|| (*area_of(seen, n), "a drawn shape or picture".to_owned()))
        })
    })
}
