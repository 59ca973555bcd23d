//! Pages as a one-colour printer prints them: a dot is black or white. Part of `inspect`.
//!
//! Drawn from the bytes themselves. A code is read from the dots before they are handed out, and what is finer than two
//! dots is told: a stroke of one dot breaks off or closes up (common practice of thermal printing, no source).

use super::picture::{luma, render, scaled, showable, side};
use super::read::{self, LEAST_CONTRAST};
use super::seen::{Area, Painted, SeenPage};
use super::{code, sign, space};
use crate::find::{Evidence, Finding, Level, OnPage, Severity};
use crate::plan::{Content, Item, Part, Plan};
use hayro::RenderCache;
use hayro::hayro_syntax::page::Page;

/// Strokes and modules are at least so many dots wide.
pub const LEAST_DOTS: f64 = 2.0;
/// A printer of 203 dots to the inch has 8 to the millimetre, give or take.
const SLACK: f64 = 0.005;
/// So much round a hazard pictogram belongs to its frame, in mm.
const FRAME: f64 = 0.2;
/// Rows drawn at once.
const STRIP: u16 = 512;
/// Most dots of a part: 50 MB of bits.
const MOST_DOTS: f64 = 400_000_000.0;

/// A part of a label in dots.
#[derive(Debug, Clone)]
pub struct Dots {
    /// Its name.
    pub part: String,
    /// Dots in a row.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// One bit each, 0 black and 1 white, eight to a byte from the left; each row begins a byte.
    pub bits: Vec<u8>,
    /// Which black dots are red on the page, in the same order, 1 for red; empty where nobody asks.
    pub(super) red: Vec<u8>,
    /// What is too fine for the printer, and what has to be on its stock already.
    pub findings: Vec<Finding>,
}

/// What the stock in the printer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stock {
    /// White.
    Blank,
    /// With the red frames of hazard pictograms in their places.
    RedFrames,
}

/// Every part of a label in dots, so many to the inch. Page n of the PDF is page n of the plan ([`Plan::pages`]).
///
/// # Errors
/// The bytes cannot be read; a part has more dots than are handled; a code cannot be read from its dots; or hazard
/// pictograms would lose their red frames.
pub fn dots(bytes: &[u8], plan: &Plan, per_inch: u32, stock: Stock) -> Result<Vec<Dots>, Vec<Finding>> {
    let pdf = read::open(bytes).map_err(|f| vec![f])?;
    let (mut parts, mut refused) = (Vec::new(), Vec::new());
    for (n, part) in plan.pages().iter().enumerate() {
        let made = showable(&pdf, n + 1)
            .map_err(|f| vec![f])
            .and_then(|shown| if shown.1.no_raster { Err(vec![too_rich(n + 1)]) } else { Ok(shown) })
            .and_then(|(page, seen)| of_part(page, &seen, part, f64::from(per_inch), stock));
        match made {
            Ok(dots) => parts.push(dots),
            Err(found) => refused.extend(found),
        }
    }
    if refused.is_empty() { Ok(parts) } else { Err(refused) }
}

/// What is to be printed is drawn whole or not at all.
fn too_rich(number: usize) -> Finding {
    let message =
        format!("page {number} of the PDF holds patterns, masks or pictures that are not drawn within bounds");
    Finding::input("file/pdf", message, "make the label with simpler drawings")
}

fn of_part<'a>(
    page: &'a Page<'a>,
    seen: &SeenPage,
    part: &Part,
    per_inch: f64,
    stock: Stock,
) -> Result<Dots, Vec<Finding>> {
    let size = [seen.width, seen.height];
    let mut dots = drawn(page, size, &part.name, per_inch / 25.4, stock).map_err(|f| vec![f])?;
    let findings = judged(page, &mut dots, &Spot { seen, part, per_inch, corner: [0.0; 2] }, stock);
    if findings.iter().any(|f| f.level == Level::Error) {
        return Err(findings);
    }
    dots.findings = findings;
    Ok(dots)
}

/// Fits the codes of one label into its dots, and tells what is lost of it.
pub(super) fn judged<'a>(page: &'a Page<'a>, dots: &mut Dots, spot: &Spot<'_>, stock: Stock) -> Vec<Finding> {
    let (seen, part) = (spot.seen, spot.part);
    let items: Vec<&Item> = part.rows.iter().flat_map(|r| &r.cells).flat_map(|c| &c.block.items).collect();
    let (mut findings, frames) = spot.frames(&items, stock);
    // Only the red of the frames is on the stock already, not that of a logo.
    for area in &frames {
        dots.whiten_red(spot.dots_of(area));
    }
    let mut code_marks: Vec<usize> = Vec::new();
    for item in &items {
        let Content::Qr { payload, module } = &item.content else { continue };
        let codes = code::read(page, seen, module.to_mm_f64());
        // That the code is there was looked at when the file was read back.
        let Some(found) = codes.iter().find(|c| c.payload == *payload) else { continue };
        code_marks.extend(found.marks());
        let fitted = spot.fit(dots, &code::modules(page, seen, found), &found.area);
        findings.extend(spot.code(item, found, dots, &fitted));
    }
    findings.extend(spot.strokes(&code_marks));
    findings
}

/// Draws the page in strips and keeps a bit of each dot.
pub(super) fn drawn<'a>(
    page: &'a Page<'a>,
    [width, height]: [f64; 2],
    name: &str,
    per_mm: f64,
    stock: Stock,
) -> Result<Dots, Finding> {
    let (width, height) = (side(width * per_mm)?, side(height * per_mm)?);
    if f64::from(width) * f64::from(height) > MOST_DOTS {
        return Err(super::picture::too_large());
    }
    let (to, _, _) = read::frame(page);
    let cache = RenderCache::new();
    let (across, down) = (usize::from(width), usize::from(height));
    let row_bytes = across.div_ceil(8);
    let mut bits = Vec::with_capacity(row_bytes * down);
    let mut red = Vec::new();
    let mut top = 0;
    while top < height {
        let rows = STRIP.min(height - top);
        let pixels = render(page, None, &cache, scaled(to, per_mm, (0.0, f64::from(top) / per_mm)), width, rows);
        for row in pixels.chunks_exact(across) {
            // What is left of the last byte is white.
            let mut bytes = vec![0xff_u8; row_bytes];
            for (n, _) in row.iter().enumerate().filter(|(_, p)| luma(**p) < 128) {
                bytes[n / 8] &= !(0x80 >> (n % 8));
            }
            bits.extend(bytes);
            if stock == Stock::RedFrames {
                let mut bytes = vec![0_u8; row_bytes];
                row.iter().enumerate().filter(|(_, p)| is_red(**p)).for_each(|(n, _)| bytes[n / 8] |= 0x80 >> (n % 8));
                red.extend(bytes);
            }
        }
        top += rows;
    }
    Ok(Dots { part: name.to_owned(), width: across, height: down, bits, red, findings: Vec::new() })
}

/// As frames of hazard pictograms are.
fn is_red(pixel: [u8; 3]) -> bool {
    let [r, g, b] = pixel.map(u32::from);
    r >= 100 && r > 2 * g.max(b)
}

impl Dots {
    /// Whether the dot is black; white outside.
    #[must_use]
    pub fn black(&self, x: usize, y: usize) -> bool {
        x < self.width
            && self.bits.get(y * self.width.div_ceil(8) + x / 8).is_some_and(|byte| byte & (0x80 >> (x % 8)) == 0)
    }

    /// Leaves white what is red between these dots.
    fn whiten_red(&mut self, [left, top, right, bottom]: [usize; 4]) {
        let row = self.width.div_ceil(8);
        let (right, bottom) = (right.min(self.width), bottom.min(self.height));
        for y in top..bottom {
            for x in left..right {
                if self.red.get(y * row + x / 8).is_some_and(|byte| byte & (0x80 >> (x % 8)) != 0) {
                    self.blacken(x, y, false);
                }
            }
        }
    }

    fn blacken(&mut self, x: usize, y: usize, black: bool) {
        let row = self.width.div_ceil(8);
        if x < self.width
            && let Some(byte) = self.bits.get_mut(y * row + x / 8)
        {
            let bit = 0x80 >> (x % 8);
            if black { *byte &= !bit } else { *byte |= bit }
        }
    }

    /// What the codes say that can be read where one was fitted, its white round it.
    fn read(&self, at: &Fitted) -> Vec<String> {
        let quiet = at.module * 4;
        let (left, top) = (at.left.saturating_sub(quiet), at.top.saturating_sub(quiet));
        let (width, height) = (at.left + at.side + quiet - left, at.top + at.side + quiet - top);
        if width.saturating_mul(height) > 10_000_000 {
            return Vec::new();
        }
        // As it is, then each dot drawn larger: a reader made for photographs wants some pixels for each module.
        let tried = [1, 3].into_iter().map(|times| self.decoded(left, top, width, height, times));
        tried.into_iter().find(|found| !found.is_empty()).unwrap_or_default()
    }

    fn decoded(&self, left: usize, top: usize, width: usize, height: usize, times: usize) -> Vec<String> {
        let grey = |x: usize, y: usize| if self.black(left + x / times, top + y / times) { 0 } else { 255 };
        let mut image = rqrr::PreparedImage::prepare_from_greyscale(width * times, height * times, grey);
        image.detect_grids().iter().filter_map(|grid| grid.decode().ok()).map(|(_, payload)| payload).collect()
    }
}

/// A count of dots, within what a picture can have.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn whole(dots: f64) -> usize {
    dots.clamp(0.0, 100_000.0) as usize
}

/// Where a code stands in dots.
struct Fitted {
    left: usize,
    top: usize,
    side: usize,
    /// Dots along a side of a module.
    module: usize,
}

/// A label of a part, and the printer.
pub(super) struct Spot<'a> {
    pub seen: &'a SeenPage,
    pub part: &'a Part,
    pub per_inch: f64,
    /// Where it stands on the dots, in mm.
    pub corner: [f64; 2],
}

impl Spot<'_> {
    fn on(&self, area: &Area) -> OnPage {
        let round = |v: f64| Some((v * 100.0).round() / 100.0);
        OnPage {
            page: self.seen.number,
            part: Some(self.part.name.clone()),
            x_mm: round(area.left),
            y_mm: round(area.top),
        }
    }

    fn in_dots(&self, mm: f64) -> f64 {
        mm * self.per_inch / 25.4
    }

    /// Left, upper, right and lower edge of a box on the dots.
    fn edges(&self, area: &Area) -> [f64; 4] {
        let [x, y] = self.corner;
        [x + area.left, y + area.top, x + area.right, y + area.bottom].map(|mm| self.in_dots(mm))
    }

    /// The dots a box touches: the first from the left and from the top, and the first beyond it.
    fn dots_of(&self, area: &Area) -> [usize; 4] {
        let [left, top, right, bottom] = self.edges(area);
        [whole(left), whole(top), whole(right.ceil()), whole(bottom.ceil())]
    }

    /// Draws the code anew with the same whole number of dots for each module: a printer that gives some modules three dots and
    /// some four makes codes that are hard to read. It grows where there is white round it and
    /// the margin of the part is kept, else it shrinks; its middle stays.
    fn fit(&self, dots: &mut Dots, (across, dark): &(usize, Vec<bool>), area: &Area) -> Fitted {
        let [left, top, right, bottom] = self.edges(area);
        // Dots that the code touches.
        let old = self.dots_of(area);
        let at = |module: usize| {
            let side = module * across;
            let start =
                |from: f64, to: f64| whole(((from + to - f64::from(u32::try_from(side).unwrap_or(0))) / 2.0).round());
            Fitted { left: start(left, right), top: start(top, bottom), side, module }
        };
        let modules = f64::from(u16::try_from(*across).unwrap_or(1));
        let least = whole((right - left).min(bottom - top) / modules + 0.01).max(1);
        let larger = at(least + 1);
        let free = |f: &Fitted| {
            let quiet = f.module * 4;
            let inside = f.left >= quiet
                && f.top >= quiet
                && f.left + f.side + quiet <= dots.width
                && f.top + f.side + quiet <= dots.height;
            let own = |x: usize, y: usize| (old[0]..old[2]).contains(&x) && (old[1]..old[3]).contains(&y);
            let more = (f64::from(u32::try_from(f.side).unwrap_or(0)) * 25.4 / self.per_inch - area.width()) / 2.0;
            let depth = space::inside(self.part.shape, &area.widened(more, more));
            let inside = inside && depth >= self.part.margin.to_mm_f64();
            let zone = |from: usize| from - quiet..from + f.side + quiet;
            inside && zone(f.top).all(|y| zone(f.left).all(|x| own(x, y) || !dots.black(x, y)))
        };
        let fitted = if free(&larger) { larger } else { at(least) };
        for y in old[1]..old[3] {
            for x in old[0]..old[2] {
                dots.blacken(x, y, false);
            }
        }
        for (n, dark) in dark.iter().enumerate().filter(|(_, d)| **d) {
            let (x, y) = (fitted.left + n % across * fitted.module, fitted.top + n / across * fitted.module);
            for step in 0..fitted.module * fitted.module {
                dots.blacken(x + step % fitted.module, y + step / fitted.module, *dark);
            }
        }
        fitted
    }

    /// The printer, in words, that has two dots for so many mm.
    fn finer(mm: f64) -> String {
        let enough = [203_u32, 300, 600].into_iter().find(|d| f64::from(*d) / 25.4 * mm >= LEAST_DOTS - SLACK);
        match enough {
            Some(dpi) => format!("print at {dpi} dots per inch or more"),
            None => "print from the PDF".to_owned(),
        }
    }

    /// What is lost of hazard pictograms in one colour: CLP, Annex I, 1.2.1 asks for a red frame.
    fn frames(&self, items: &[&Item], stock: Stock) -> (Vec<Finding>, Vec<Area>) {
        let (mut findings, mut areas) = (Vec::new(), Vec::new());
        for (item, shared) in items.iter().zip(sign::share(self.seen, self.part, items.iter().copied())) {
            for shared in shared.iter().filter(|s| s.kind == sign::Kind::Hazard) {
                let area =
                    shared.found.first().map_or(Area { left: 0.0, top: 0.0, right: 0.0, bottom: 0.0 }, |s| s.area);
                areas.extend(shared.found.iter().map(|s| s.area.widened(FRAME, FRAME)));
                let places: Vec<String> = shared
                    .found
                    .iter()
                    .map(|s| {
                        let [x, y] = s.area.middle();
                        format!("`{x:.1} mm` from the left and `{y:.1} mm` from the top, sides `{:.1} mm`", s.side)
                    })
                    .collect();
                let finding = match stock {
                    Stock::Blank => Finding::of(
                        &item.id,
                        Level::Error,
                        item.severity,
                        None,
                        format!(
                            "a hazard pictogram has a red frame (CLP, Annex I, 1.2.1), and an image of one bit has one colour: \
                             {} on part `{}` would lose theirs",
                            shared.found.len(),
                            self.part.name
                        ),
                        "print this label in colour from the PDF, or on labels whose red frames are printed already and \
                         say so with `--frames-printed`",
                    ),
                    Stock::RedFrames => Finding::of(
                        &item.id,
                        Level::Note,
                        item.severity,
                        None,
                        format!(
                            "the red frames are left out of the image of part `{}`; the labels must bear them, their middle {}",
                            self.part.name,
                            places.join("; ")
                        ),
                        "hold a print against the proof before the rest is printed, and leave no red frame empty",
                    ),
                };
                findings.push(finding.on(self.on(&area)));
            }
        }
        (findings, areas)
    }

    /// Whether the code can be read from the dots, and its modules are wide enough.
    fn code(&self, item: &Item, found: &code::Code, dots: &Dots, fitted: &Fitted) -> Option<Finding> {
        let (on, name, dpi) = (self.on(&found.area), &self.part.name, self.per_inch);
        let module = fitted.module;
        if !dots.read(fitted).contains(&found.payload) {
            let message = format!(
                "the QR code on part `{name}` cannot be read from dots at {dpi} per inch: a module is `{module}` dots wide"
            );
            let cure =
                "use a finer printer, or make the code larger: a wider cell for the block `code`, or fewer words in it";
            return Some(Finding::of(&item.id, Level::Error, item.severity, None, message, cure).on(on));
        }
        let mm = f64::from(u16::try_from(module).unwrap_or(u16::MAX)) * 25.4 / dpi;
        if module < 2 {
            let message = format!(
                "a module of the QR code on part `{name}` is `{module}` dot wide at {dpi} per inch; under 2 dots it may not \
                 print clean"
            );
            let cure = format!("{}, or give the code more room", Self::finer(found.module));
            return Some(policy("print/thin-module", Level::Warning, message, cure).on(on));
        }
        // Smaller than on the page, so that each module has as many dots as the next.
        (mm < found.module - 0.01).then(|| {
            let message = format!(
                "a module of the QR code on part `{name}` is `{module}` dots wide, `{mm:.2} mm` in place of `{:.2} mm`: as many \
                 whole dots as its place holds",
                found.module
            );
            let cure = "read a print with a telephone before the rest is printed; with more white round it the code would be larger";
            policy("print/module", Level::Note, message, cure).on(on)
        })
    }

    /// Letters and lines that are finer than two dots, the thinnest told.
    fn strokes(&self, code_marks: &[usize]) -> Vec<Finding> {
        let thin = |mm: &f64| self.in_dots(*mm) < LEAST_DOTS - SLACK;
        let mut findings = Vec::new();
        let letters: Vec<(usize, f64)> = self
            .seen
            .glyphs
            .iter()
            .enumerate()
            .filter(|(_, g)| g.hidden.is_none() && g.letter().is_some_and(char::is_alphanumeric))
            .filter_map(|(n, g)| Some((n, g.thickness? * g.em)))
            .collect();
        let under = letters.iter().filter(|(_, mm)| thin(mm)).count();
        if let Some((n, mm)) = letters.iter().filter(|(_, mm)| thin(mm)).min_by(|a, b| a.1.total_cmp(&b.1)) {
            let glyph = &self.seen.glyphs[*n];
            let words = self.seen.lines.iter().flat_map(|l| &l.words).find(|w| w.glyphs.contains(n));
            let message = format!(
                "`{under}` of `{}` letters on part `{}` have strokes under 2 dots at {} per inch: those of `{}` are `{mm:.2} mm`, \
                 `{:.1}` dots",
                letters.len(),
                self.part.name,
                self.per_inch,
                words.map_or(glyph.text.as_str(), |w| w.text.as_str()),
                self.in_dots(*mm)
            );
            let cure = format!("look at a print under a glass, or {}", Self::finer(*mm));
            let area = glyph.ink.unwrap_or(Area {
                left: glyph.x,
                top: glyph.baseline,
                right: glyph.x,
                bottom: glyph.baseline,
            });
            findings.push(policy("print/thin-stroke", Level::Warning, message, cure).on(self.on(&area)));
        }
        let line = |(n, m): (usize, &super::seen::Mark)| {
            let (short, long) = (m.area.width().min(m.area.height()), m.area.width().max(m.area.height()));
            let (width, is_line) = match m.painted {
                Painted::Stroked(width) => (width, true),
                // A filled bar; what is shorter is a detail of a picture.
                Painted::Filled | Painted::FilledEvenOdd => (short, long >= 1.0),
            };
            (is_line && m.contrast >= LEAST_CONTRAST && !code_marks.contains(&n)).then_some((m.area, width))
        };
        let lines = self.seen.marks.iter().enumerate().filter_map(line).filter(|(_, mm)| thin(mm));
        if let Some((area, mm)) = lines.min_by(|a, b| a.1.total_cmp(&b.1)) {
            let message = format!(
                "a line on part `{}` is `{mm:.2} mm` wide, `{:.1}` dots at {} per inch; under 2 dots it may break off",
                self.part.name,
                self.in_dots(mm),
                self.per_inch
            );
            let cure = format!("look at a print under a glass, or {}", Self::finer(mm));
            findings.push(policy("print/thin-line", Level::Warning, message, cure).on(self.on(&area)));
        }
        findings
    }
}

fn policy(id: &str, level: Level, message: String, cure: impl Into<String>) -> Finding {
    Finding::of(id, level, Severity::Policy, Some(Evidence::Policy), message, cure)
}
