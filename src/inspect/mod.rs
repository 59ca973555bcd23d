//! Reads a finished PDF back by an independent route and looks for everything the plan asks; never uses `page` or `pdf`.
//!
//! The last look before a file is kept: the bytes are read with another reader than the writer's library, letters are
//! measured on their outlines, QR codes are decoded from a raster.

mod alert;
mod backdrop;
mod code;
mod dots;
mod fonts;
mod frame;
mod ground;
mod guard;
pub(crate) mod heights;
mod images;
mod labels;
pub(crate) mod languages;
mod leaf_dots;
mod leaves;
mod letters;
mod limits;
mod lines;
mod locked;
mod matching;
mod note;
mod overlap;
mod part;
mod picture;
mod piece;
mod plain;
mod printed;
mod read;
mod seen;
mod sighting;
mod sign;
mod slant;
mod space;
mod steps;
mod structure;
mod symbol;
mod unpack;
mod unread;
mod view;
mod weigh;
mod weight;
mod whole;
mod witness;
mod wording;

#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_of_drawings;
#[cfg(test)]
mod tests_of_grounds;
#[cfg(test)]
mod tests_of_signs;
#[cfg(test)]
mod tests_of_slants;

pub use alert::{alert_letter, alert_symbol};
pub use backdrop::{Ground, of_code as ground_of_code};
pub use code::{Code, disturbed};
pub use dots::{Dots, LEAST_DOTS, Stock, dots};
pub(crate) use frame::Frame;
pub use leaf_dots::leaf_dots;
pub use leaves::{Leaf, Placed, Pressed, leaves};
pub use limits::{MOST_BYTES, MOST_MEMORY, MOST_SECONDS};
pub(crate) use lines::group;
pub use lines::{Line, Word, plain, printed};
pub(crate) use matching::Found;
pub use overlap::Overlap;
pub(crate) use part::{GAPS, alone, beside, framed};
pub use picture::{Raster, picture};
pub use seen::{Area, Face, Glyph, Hidden, Mark, Painted, Picture, SeenPage, Unread, View};
pub use sighting::{Sighting, sightings, sightings_on};
pub use sign::pictograms;
pub(crate) use sign::{Kind as SignKind, Seen as SeenSign, Shared, all as signs, share};
pub use whole::incomplete;
pub(crate) use wording::{Place, hidden};

use crate::find::{Finding, OnPage};
use crate::plan::{Plan, Printed};
use hayro::hayro_interpret::InterpreterCache;
use hayro::hayro_syntax::Pdf;
use hayro::hayro_syntax::page::Page;

/// Heights and places may be this many mm short before it counts: far below what can be printed or measured.
pub const TOLERANCE: f64 = 0.005;
/// Most labels of a sheet that are held against the first one.
const MOST_COPIES: usize = 200;
/// A page may differ this many mm from its part.
const PAGE_TOLERANCE: f64 = 0.05;

/// Everything seen on the pages.
///
/// # Errors
/// A finding that says why the bytes cannot be read: no PDF, damaged, encrypted, or larger than the bounds.
pub fn read(bytes: &[u8]) -> Result<Vec<SeenPage>, Finding> {
    let pdf = read::open(bytes)?;
    let cache = InterpreterCache::new();
    Ok(pdf.pages().iter().enumerate().map(|(n, p)| look(&pdf, p, n + 1, &cache)).collect())
}

/// One page, with the background of letters that stand on pictures.
fn look<'a>(pdf: &'a Pdf, page: &'a Page<'a>, number: usize, cache: &InterpreterCache<'a>) -> SeenPage {
    let mut seen = read::page(pdf, page, number, cache);
    let untold = |g: &Glyph| g.contrast.is_none() && g.hidden.is_none() && g.ink.is_some();
    if !seen.overfull && seen.glyphs.iter().any(untold) {
        let colours = code::colours(page, &seen);
        ground::sample(&mut seen, colours);
        seen.regroup();
    }
    seen
}

/// One label as seen on a page: upright, cut out of its sheet where the page holds several alike.
pub struct SeenLabel {
    /// What is on it.
    pub page: SeenPage,
    /// QR codes on it.
    pub codes: Vec<Code>,
    /// How many alike stand on the page; this is the first.
    pub of: usize,
    /// The others.
    pub copies: Vec<SeenPage>,
}

/// The label on each page. `module` is the least side of a module of a QR code in mm, by which codes are looked for.
///
/// # Errors
/// As [`read`].
pub fn labels(bytes: &[u8], module: f64) -> Result<Vec<SeenLabel>, Finding> {
    let pdf = read::open(bytes)?;
    let cache = InterpreterCache::new();
    let of = |(n, pdf_page)| {
        let seen = look(&pdf, pdf_page, n + 1, &cache);
        let turned = match seen.upright() {
            0 => seen,
            quarters => seen.turned(quarters),
        };
        let areas = turned.labels();
        let copies = areas.iter().skip(1).take(MOST_COPIES).map(|area| turned.within(area)).collect();
        let mut page = match areas.as_slice() {
            [first, _, ..] => turned.within(first),
            _ => turned,
        };
        witness::look(pdf_page, &mut page);
        let codes = code::read(pdf_page, &page, module);
        printed::look(pdf_page, &mut page);
        page.printed.retain(|m| !codes.iter().any(|c| c.area.widened(0.5, 0.5).holds(&m.area, 0.0)));
        SeenLabel { page, codes, of: areas.len().max(1), copies }
    };
    Ok(pdf.pages().iter().enumerate().map(of).collect())
}

/// Looks for everything the plan asks. Page n of the PDF is the n-th printed piece of the plan ([`Plan::printed`]).
///
/// Empty if all was found as asked. What is printed besides the plan is not looked at, unless it is in the way.
#[must_use]
pub fn check(bytes: &[u8], plan: &Plan) -> Vec<Finding> {
    let pdf = match read::open(bytes) {
        Ok(pdf) => pdf,
        Err(finding) => return vec![finding],
    };
    let cache = InterpreterCache::new();
    let mut findings = Vec::new();
    let pages = pdf.pages();
    let printed = plan.printed();
    if pages.len() != printed.len() {
        findings.push(
            Finding::input(
                "label/pages",
                format!("the PDF has {} pages for {} parts", pages.len(), printed.len()),
                "write one page for each part of the label, in the order of the plan",
            )
            .instead(printed.len().to_string(), pages.len().to_string()),
        );
    }
    for (n, sheet) in printed.iter().enumerate() {
        if let Some(page) = pages.get(n) {
            let seen = look(&pdf, page, n + 1, &cache);
            findings.extend(size(&seen, sheet));
            if seen.overfull {
                let on = OnPage { page: n + 1, part: Some(sheet.name.to_owned()), x_mm: None, y_mm: None };
                let message = format!("there is more on the page of part `{}` than can be checked", sheet.name);
                findings.push(Finding::input("file/pdf", message, "make the label with simpler drawings").on(on));
                continue;
            }
            for part in &sheet.faces {
                match &part.piece {
                    Some(on) => part::check(page, &piece::face(&seen, part, on), part, plan, &mut findings),
                    None => part::check(page, &seen, part, plan, &mut findings),
                }
            }
            findings.extend(piece::stray(&seen, sheet));
        } else {
            for part in &sheet.faces {
                let items = part.rows.iter().flat_map(|r| &r.cells).flat_map(|c| &c.block.items);
                findings.extend(items.map(|item| wording::missing(item, n + 1, part, None, None)));
            }
        }
    }
    findings
}

/// Those of `texts` that stand on no page of the PDF, visible and unbroken: for papers that have no plan.
///
/// # Errors
/// A [`Finding`] when the bytes cannot be read as a PDF.
pub fn missing<'t>(bytes: &[u8], texts: &'t [String]) -> Result<Vec<&'t str>, Finding> {
    let pages = read(bytes)?;
    Ok(texts.iter().map(String::as_str).filter(|text| !pages.iter().any(|page| part::says(page, text))).collect())
}

/// Whether the two rulers of a test page begin 20 mm from the edges and are 150 and 200 mm long, a tick to each millimetre.
#[must_use]
pub fn rulers(bytes: &[u8]) -> Option<Finding> {
    let fault = |what: String| Finding::input("label/layout-fault", what, "report this as a fault of the program");
    let pages = match read(bytes) {
        Ok(pages) => pages,
        Err(finding) => return Some(finding),
    };
    let marks = || pages.first().into_iter().flat_map(|page| &page.marks).filter(|m| m.contrast > 20.0);
    for (word, far) in [("across", [170.0, 20.0]), ("down", [20.0, 220.0])] {
        let near = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]) <= TOLERANCE;
        let from_to = |m: &&Mark| {
            let line = m.rings.first().map_or(&[][..], Vec::as_slice);
            matches!(line, [a, b] if near(*a, [20.0, 20.0]) && near(*b, far))
        };
        if !marks().any(|m| from_to(&m)) {
            return Some(fault(format!("the ruler {word} of the test page was not read back where it belongs")));
        }
    }
    None
}

/// Whether the page is as large as the part.
fn size(seen: &SeenPage, part: &Printed<'_>) -> Option<Finding> {
    let (width, height) = (part.shape.width().to_mm_f64(), part.shape.height().to_mm_f64());
    let off = (seen.width - width).abs().max((seen.height - height).abs());
    // Written so that a size that is no number counts as wrong.
    let right = off <= PAGE_TOLERANCE;
    (!right).then(|| {
        Finding::input(
            "label/page-size",
            format!("the page of part `{}` is not the size of the part", part.name),
            "print without scaling, and write the page at the size of the part",
        )
        .instead(format!("{width:.2} x {height:.2} mm"), format!("{:.2} x {:.2} mm", seen.width, seen.height))
        .on(OnPage { page: seen.number, part: Some(part.name.to_owned()), x_mm: None, y_mm: None })
    })
}
