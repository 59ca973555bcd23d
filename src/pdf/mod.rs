//! Pages to bytes; the only room that names printpdf. After `page`.
//!
//! printpdf lays down the drawing operations; everything around them (boxes, names of the embedded faces, title,
//! language, identity) is finished here with lopdf, so that the same pages always give the same bytes.
//! Four steps, one file each: `embed` collects the glyphs that are shown and cuts the faces down to them, `draw` turns
//! a page into operations that carry their whole graphics state, `finish` makes the document of them, `xmp` describes it.

mod draw;
mod embed;
mod finish;
mod xmp;

use crate::find::Finding;
use crate::font::{Run, face};
use crate::page::{Page, Paint, Path, Placed, Text};
use crate::unit::Length;

/// What the file says about itself.
#[derive(Debug, Clone, Copy)]
pub struct About<'a> {
    /// Shown as the window's title.
    pub title: &'a str,
    /// Language of the text as a BCP 47 tag: `en`.
    pub language: &'a str,
    /// What it is: `candle label`; may be empty.
    pub subject: &'a str,
}

/// The widest and tallest page a reader must accept: 14 400 points, 200 in (ISO 32000-1, annex C.2).
const LARGEST: Length = Length::inch(200, 1);

/// Writes the pages as a PDF 1.7 file: one PDF page for each, its boxes exactly the box around the trim shape,
/// text as text with the faces embedded, black as pure black. The same input gives the same bytes.
///
/// # Errors
/// No page, a page without size or beyond 200 in, text or a line without size, or a character its face does not have.
pub fn write(pages: &[Page], about: &About) -> Result<Vec<u8>, Finding> {
    if pages.is_empty() {
        return Err(Finding::input("pdf/no-page", "there is no page to write", "lay out at least one part"));
    }
    pages.iter().try_for_each(|page| sized(page).and_then(|()| ruled(page)))?;
    let runs = pages.iter().map(shaped).collect::<Result<Vec<_>, _>>()?;
    let faces = embed::Faces::of(pages, &runs)?;
    let drawn = pages
        .iter()
        .zip(&runs)
        .map(|(page, runs)| finish::Drawn { trim: page.trim, ops: draw::operations(page, runs, &faces) })
        .collect();
    finish::document(drawn, faces, about)
}

/// Refuses a page whose box no reader can show.
fn sized(page: &Page) -> Result<(), Finding> {
    let (width, height) = (page.trim.width(), page.trim.height());
    if [width, height].iter().all(|side| (Length::raw(1)..=LARGEST).contains(side)) {
        return Ok(());
    }
    Err(Finding::input(
        "pdf/page-size",
        format!("the part `{}` measures `{width}` by `{height}`", page.part),
        "give it a width and a height above 0 mm and up to 5080 mm",
    ))
}

/// Refuses a line without width: a reader would draw it one dot wide on any device (ISO 32000-1, 8.4.3.2).
fn ruled(page: &Page) -> Result<(), Finding> {
    let thin = |item: &Placed| matches!(item, Placed::Path(Path { paint: Paint::Stroke(_, width), .. }) if *width <= Length::ZERO);
    if !page.items.iter().any(thin) {
        return Ok(());
    }
    Err(Finding::input(
        "pdf/line-width",
        format!("the part `{}` has a line of no width", page.part),
        "give every line a width above 0 mm",
    ))
}

/// Shapes every line of text of a page, in the order of its items.
fn shaped(page: &Page) -> Result<Vec<Run>, Finding> {
    page.items
        .iter()
        .filter_map(|item| match item {
            Placed::Text(text) => Some(text),
            Placed::Path(_) => None,
        })
        .map(|text| shape(text, &page.part))
        .collect()
}

fn shape(text: &Text, part: &str) -> Result<Run, Finding> {
    if text.size <= Length::ZERO {
        return Err(Finding::input(
            "pdf/text-size",
            format!("the text `{}` of the part `{part}` has the size `{}`", text.text, text.size),
            "give it a size above 0 mm",
        ));
    }
    let face = face(text.face);
    face.shape(&text.text).map_err(|missing| {
        Finding::input(
            "pdf/missing-character",
            format!(
                "the face `{}` has no character `{}` (U+{:04X}), used in `{}` on the part `{part}`",
                face.name(),
                missing.0.escape_debug(),
                u32::from(missing.0),
                text.text
            ),
            "write the text without this character",
        )
    })
}

/// A fault of this room or of a crate below it, not of the maker's input.
fn broken(what: impl std::fmt::Display) -> Finding {
    Finding::input(
        "pdf/not-written",
        format!("the PDF cannot be written: {what}"),
        "report it with the product file; nothing was written",
    )
}
