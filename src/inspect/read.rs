//! Reads the pages of a PDF with a public reader and notes every glyph, path and picture. First step of `inspect`.

use super::fonts::{self, Fonts};
use super::ground;
use super::guard;
use super::images::Images;
use super::letters::Drawings;
use super::limits;
use super::lines;
use super::locked;
use super::note::{Reader, area};
use super::seen::{Area, SeenPage, Unread, View};
use super::unread;
use super::weigh;
use crate::find::Finding;
use hayro::hayro_interpret::{Context, InterpreterCache, InterpreterSettings, RenderContent, interpret_page};
use hayro::hayro_syntax::Pdf;
use hayro::hayro_syntax::object::Rect as PdfRect;
use hayro::hayro_syntax::page::Page;
use hayro::kurbo::{Affine, Rect};

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

/// Notes everything on one page.
pub fn page<'a>(pdf: &'a Pdf, page: &'a Page<'a>, number: usize, cache: &InterpreterCache<'a>) -> SeenPage {
    noted(pdf, page, number, cache, None)
}

/// Notes everything that reaches into one label on a page of our own making, so large in mm.
pub fn label<'a>(
    pdf: &'a Pdf,
    page: &'a Page<'a>,
    number: usize,
    cache: &InterpreterCache<'a>,
    view: View,
    size: [f64; 2],
) -> SeenPage {
    noted(pdf, page, number, cache, Some((view, size)))
}

fn noted<'a>(
    pdf: &'a Pdf,
    page: &'a Page<'a>,
    number: usize,
    cache: &InterpreterCache<'a>,
    label: Option<(View, [f64; 2])>,
) -> SeenPage {
    let (to, width, height) = frame(page);
    let (view, [width, height]) = label.unwrap_or((View::default(), [width, height]));
    let to = view.matrix(PER_MM) * to;
    let sized = [width, height].iter().all(|side| side.is_finite() && *side > 0.0 && *side <= limits::MOST_SIDE);
    // A size that is none is not handed on.
    let (width, height) = if sized { (width, height) } else { (0.0, 0.0) };
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
            printed: Vec::new(),
            paper: None,
            lines: Vec::new(),
            overfull: false,
            excess: None,
            no_raster: false,
            heaviest: 0,
            sheet: Area { left: 0.0, top: 0.0, right: width, bottom: height },
            trim_given: page.raw().get::<PdfRect>(b"TrimBox".as_slice()).is_some(),
            unread: Vec::new(),
            view,
        },
        beyond: label.map(|(_, [width, height])| Rect::new(0.0, 0.0, width * PER_MM, height * PER_MM)),
        clips: Vec::new(),
        groups: Vec::new(),
        corners: 0,
        order: 0,
        images: Images::default(),
        drawings: Drawings::default(),
    };
    let done = guard::held(|| {
        // What is on a page of labels of our own making was weighed when its first label was read.
        if label.is_none() {
            match weigh::page(page) {
                Ok(load) => {
                    reader.drawings = Drawings::new(load.letter);
                    reader.seen.heaviest = load.letter;
                }
                Err(beyond) => reader.seen.refuse(beyond),
            }
        }
        if !sized {
            reader.seen.refuse(format!("has no size, none that can be told, or one above {} mm", limits::MOST_SIDE));
        }
        if reader.seen.overfull {
            return None;
        }
        let media = page.media_box();
        let bounds = to.transform_rect_bbox(Rect::new(media.x0, media.y0, media.x1, media.y1));
        // A viewer shows and prints the crop box only (ISO 32000-1, 14.11.2).
        let crop = page.crop_box();
        let shown = to.transform_rect_bbox(Rect::new(crop.x0, crop.y0, crop.x1, crop.y1)).intersect(bounds);
        reader.seen.sheet = area(shown);
        reader.fonts = fonts::of(pdf, page, cache);
        let mut context = Context::new(to, bounds, cache, pdf.xref(), settings());
        interpret_page(page, &mut context, &mut reader);
        let empty = page.page_stream().is_none_or(|content| content.trim_ascii().is_empty());
        Some((unread::notes(page), empty && page.raw().contains_key(b"Contents".as_slice())))
    });
    if done.is_none() {
        reader.seen.refuse("is damaged: reading it broke off".to_owned());
    }
    let (notes, lost) = done.flatten().unwrap_or_default();
    let mut seen = reader.seen;
    ground::look(&mut seen);
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
