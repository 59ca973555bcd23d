//! What could not be read: pages whose words are drawings or pictures. Part of `review`.

use super::Desk;
use super::label::Page;
use super::told;
use crate::find::{Evidence, Finding, Level, Severity};

/// A page with fewer letters than this has no text to speak of.
const FEW: usize = 12;
/// Corners of drawn shapes from which on a page may hold outlined words; a frame and a symbol have some hundreds.
const MANY_CORNERS: usize = 1_500;
/// A picture over this share of the page may hold words.
const LARGE: f64 = 0.25;

/// Whether the page shows something and hardly any of it is text.
pub fn is_unread(page: &Page<'_>) -> bool {
    let Some(seen) = page.seen else { return false };
    let letters = seen.glyphs.iter().filter(|g| g.hidden.is_none() && g.text.chars().any(char::is_alphanumeric)).count();
    let odd = seen.glyphs.iter().filter(|g| g.text.contains('\u{FFFD}')).count();
    if seen.overfull || odd > FEW.max(letters / 4) {
        return true;
    }
    let code = |area: &crate::inspect::Area| page.codes.iter().any(|c| c.area.widened(0.5, 0.5).holds(area, 0.0));
    let corners: usize =
        seen.marks.iter().filter(|m| !code(&m.area)).flat_map(|m| &m.rings).map(Vec::len).sum();
    let picture = seen.pictures.iter().filter(|p| !code(&p.area)).map(|p| p.area.width() * p.area.height()).sum::<f64>();
    letters < FEW && (corners > MANY_CORNERS || picture > LARGE * seen.width * seen.height)
}

/// Says plainly what cannot be read.
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    for page in desk.pages.iter().filter(|p| is_unread(p)) {
        let message = format!(
            "the words of {} are drawn shapes or a picture: what stands there in words could not be read",
            told::side(page)
        );
        let cure = "save the PDF with its letters as text (do not convert text to curves), or check the wording with `--text`";
        let finding =
            Finding::of("label/no-text", Level::Error, Severity::Policy, Some(Evidence::Policy), message, cure);
        findings.push(told::at(finding, page, None));
    }
}
