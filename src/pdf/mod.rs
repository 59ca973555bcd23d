//! Pages to bytes; the only room that names printpdf. After `page`.
//!
//! printpdf lays down the drawing operations; everything around them (boxes, names of the embedded faces, title,
//! language, identity) is finished here with lopdf, so that the same pages always give the same bytes.
//! Four steps, one file each: `embed` collects the glyphs that are shown and cuts the faces down to them, `draw` turns
//! a page into operations that carry their whole graphics state, `finish` makes the document of them, `xmp` describes it.
//! Where a label is printed many times, `press` makes a form of it and places that.

mod draw;
mod embed;
mod finish;
mod marks;
mod press;
mod xmp;

pub use press::{Press, press};

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

/// How red is printed. Black is always device grey, that is, black ink alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Red {
    /// As a screen shows it: for printers of one's own.
    #[default]
    Rgb,
    /// From magenta and yellow: for a press with four inks.
    Cmyk,
    /// An ink of its own named `Red`: for a press with black and one more ink.
    Spot,
}

/// The widest and tallest page a reader must accept: 14 400 points, 200 in (ISO 32000-1, annex C.2).
const LARGEST: Length = Length::inch(200, 1);

/// Writes the pages as a PDF 1.7 file: one PDF page for each, its boxes exactly the box around the trim shape,
/// text as text with the faces embedded, black as pure black. The same input gives the same bytes.
///
/// ```
/// use waxbill::font::FaceId;
/// use waxbill::page::{Ink, Page, Placed, Text};
/// use waxbill::{pdf, plan::Shape, unit::Length};
/// let mm = Length::mm;
/// let (text, face, ink) = ("Low Tide".to_owned(), FaceId::Normal, Ink::Black);
/// let name = Placed::Text(Text { text, face, size: mm(4), x: mm(5), baseline: mm(20), ink });
/// let trim = Shape::Rectangle { width: mm(64), height: mm(50) };
/// let front = Page { part: "front".to_owned(), trim, items: vec![name] };
/// let about = pdf::About { title: "Low Tide", language: "en", subject: "candle label" };
/// assert!(pdf::write(&[front], &about).unwrap().starts_with(b"%PDF-1.7"));
/// ```
///
/// # Errors
/// No page, a page without size or beyond 200 in, text or a line without size, or a character its face does not have.
pub fn write(pages: &[Page], about: &About) -> Result<Vec<u8>, Finding> {
    if pages.is_empty() {
        return Err(Finding::input("pdf/no-page", "there is no page to write", "lay out at least one part"));
    }
    pages.iter().try_for_each(|page| sized(page).and_then(|()| ruled(page)))?;
    let runs = pages.iter().map(shaped).collect::<Result<Vec<_>, _>>()?;
    compose(pages, &runs, about)
}

/// The file of pages whose texts are shaped.
fn compose(pages: &[Page], runs: &[Vec<Run>], about: &About) -> Result<Vec<u8>, Finding> {
    let faces = embed::Faces::of(pages, runs)?;
    let drawn = pages
        .iter()
        .zip(runs)
        .map(|(page, runs)| finish::Drawn { trim: page.trim, ops: draw::operations(page, runs, &faces, Red::Rgb) })
        .collect();
    finish::document(drawn, faces, Red::Rgb, about)
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

#[cfg(test)]
mod tests {
    use super::{About, compose, shaped};
    use crate::font::FaceId;
    use crate::page::{Ink, Page, Placed, Text};
    use crate::plan::Shape;
    use crate::unit::Length;

    // ISO 32000-1, 9.7.4.3: CIDToGIDMap gives each code's glyph in two bytes, the high one first.
    // Many faces draw the plain and the no-break space with one glyph; ours do not, so it is made so here.
    #[test]
    fn two_characters_of_one_glyph_are_copied_as_two() {
        let (text, face, ink) = ("b\u{a0} a".to_owned(), FaceId::Normal, Ink::Black);
        let (size, x, baseline) = (Length::mm(3), Length::mm(1), Length::mm(8));
        let items = vec![Placed::Text(Text { text, face, size, x, baseline, ink })];
        let trim = Shape::Circle { diameter: Length::mm(30) };
        let page = Page { part: "base".to_owned(), trim, items };
        let mut runs = shaped(&page).unwrap();
        runs[0].glyphs[1].id = runs[0].glyphs[2].id;
        let bytes = compose(&[page], &[runs], &About { title: "", language: "en", subject: "" }).unwrap();

        let document = lopdf::Document::load_mem(&bytes).unwrap();
        let fonts = document.get_page_fonts(document.get_pages()[&1]).unwrap();
        let font = fonts.values().next().unwrap();
        let stream = |of: &lopdf::Dictionary, key: &[u8]| {
            let id = of.get(key).unwrap().as_reference().unwrap();
            document.get_object(id).unwrap().as_stream().unwrap().decompressed_content().unwrap()
        };
        // Codes follow the characters: space 1, a 2, b 3, no-break space 4.
        let unicode = String::from_utf8(stream(font, b"ToUnicode")).unwrap();
        for pair in ["<0001> <0020>", "<0002> <0061>", "<0003> <0062>", "<0004> <00A0>"] {
            assert!(unicode.contains(pair), "{unicode}");
        }
        let descendant = font.get(b"DescendantFonts").unwrap().as_array().unwrap()[0].as_dict().unwrap();
        assert_eq!(stream(descendant, b"CIDToGIDMap"), [0, 0, 0, 1, 0, 2, 0, 3, 0, 1]);
        let content = document.get_page_content(document.get_pages()[&1]);
        assert!(content.windows(20).any(|shown| shown == b"[<0003000400010002>]"));
    }
}
