//! What could not be read: pages whose words are drawings or pictures. Part of `review`.

use super::Desk;
use super::label::Page;
use super::told;
use crate::find::{Evidence, Finding, Level, Severity};
use crate::inspect::{self, Area, Unread};

/// A page with fewer letters than this has no text to speak of.
const FEW: usize = 12;

/// Whether the page shows something and hardly any of it is text.
pub fn is_unread(page: &Page<'_>) -> bool {
    let Some(seen) = page.seen else { return false };
    let letters =
        seen.glyphs.iter().filter(|g| g.hidden.is_none() && g.text.chars().any(char::is_alphanumeric)).count();
    let drawn = !seen.pictures.is_empty() || seen.no_raster;
    seen.overfull
        || (letters < FEW && drawn)
        || seen.unread.iter().any(|u| match u {
            Unread::Letters { count, .. } => *count > FEW.max(letters / 4),
            Unread::Curves { .. } | Unread::Picture { .. } => letters < FEW,
            _ => false,
        })
}

/// Whether what is missing may be there and could not be read: a page is drawn, or hardly a word stands on the whole label.
pub fn any(desk: &Desk<'_>) -> bool {
    desk.pages.iter().any(is_unread) || wordless(desk)
}

/// Whether hardly a word was read on the whole label.
fn wordless(desk: &Desk<'_>) -> bool {
    let letters = |p: &Page<'_>| p.seen.map_or(usize::MAX / 64, |s| s.glyphs.iter().filter(|g| !g.is_space()).count());
    desk.pages.iter().map(letters).fold(0, usize::saturating_add) < FEW
}

/// Whether there is nothing at all to judge.
pub fn empty(desk: &Desk<'_>) -> Option<Finding> {
    let bare = |page: &Page<'_>| match page.seen {
        Some(s) => {
            let drawn = !s.marks.is_empty() || !s.pictures.is_empty() || !s.unread.is_empty() || s.no_raster;
            !drawn && !s.overfull && page.codes.is_empty() && s.glyphs.iter().all(inspect::Glyph::is_space)
        }
        None => page.rows(0).iter().all(|r| r.words.is_empty()),
    };
    if !desk.pages.iter().all(bare) {
        return None;
    }
    let (message, cure) = match desk.pages {
        [] => return None,
        [page] if page.seen.is_none() => ("the text is empty", "write the words of the label into it"),
        [_] => ("the page is empty: nothing is printed on it", "save the label again, with its words and drawings"),
        _ => ("all pages are empty: nothing is printed on them", "save the label again, with its words and drawings"),
    };
    Some(Finding::of("label/no-text", Level::Error, Severity::Policy, Some(Evidence::Policy), message, cure))
}

/// What the label is held against may be wrong itself.
pub fn product(desk: &Desk<'_>) -> Option<Finding> {
    let count = desk.needs.findings.iter().filter(|f| f.level == Level::Error).count();
    let first = desk.needs.findings.iter().find(|f| f.level == Level::Error)?;
    let faults = if count == 1 { "a fault".to_owned() } else { format!("{count} faults") };
    let message =
        format!("the product file has {faults}, so the label is held against doubtful figures: {}", first.message);
    let cure = "look at `waxbill check` without `--label`, mend the product file, then check the label again";
    Some(Finding::of("label/product", Level::Error, Severity::Policy, Some(Evidence::Policy), message, cure))
}

/// Which page is shown to the customer is not known of a label on several pages, so nothing was said of its place.
pub fn front(desk: &Desk<'_>) -> Option<Finding> {
    let principal = desk.needs.requirements.iter().any(|r| r.principal);
    let known = |p: &Page<'_>| p.principal == Some(true) || p.seen.is_none();
    if !principal || desk.pages.len() < 2 || desk.pages.iter().any(known) {
        return None;
    }
    let message = "which page is shown to the customer is not known: whether the name and the quantity stand there was not judged";
    let cure = "name it, for example with `--part front=1`";
    Some(Finding::of("label/not-read", Level::Note, Severity::Policy, Some(Evidence::Policy), message, cure))
}

/// Says plainly what cannot be read.
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    findings.extend(product(desk).into_iter().chain(front(desk)));
    if wordless(desk) && !desk.pages.iter().any(is_unread) {
        let message = "hardly a word could be read on the whole label";
        let cure = "save the PDF with its letters as text, or check the wording with `--text`";
        findings.push(Finding::of(
            "label/no-text",
            Level::Error,
            Severity::Policy,
            Some(Evidence::Policy),
            message,
            cure,
        ));
    }
    for page in desk.pages {
        if page.seen.is_some() && !page.edges_known() {
            let (what, cure) = if page.of > 1 {
                (
                    format!("{} holds {} labels alike; the first was judged{}", told::side(page), page.of, again(page)),
                    "look over the others, and where each is cut",
                )
            } else {
                (format!("{} is a sheet of paper", told::side(page)), "save the label on a page of its own size")
            };
            let message =
                format!("{what}; where the label ends could not be read, so nothing was said of its lowest part");
            let finding =
                Finding::of("label/sheet", Level::Note, Severity::Policy, Some(Evidence::Policy), message, cure);
            findings.push(told::at(finding, page, None));
        }
        if !page.unlike.is_empty() {
            let message = format!(
                "{} and {} say the same words and are not alike: sizes, places, colours, signs or codes differ",
                told::side(page),
                pages(&page.unlike)
            );
            let cure = "judge each by itself with `--pages`; what is right on one of them passed here for all";
            let finding =
                Finding::of("label/sheet", Level::Warning, Severity::Policy, Some(Evidence::Policy), message, cure);
            findings.push(told::at(finding, page, None));
        }
        if page.edges_known() && !page.again.is_empty() {
            let message = format!("{} was judged{}", told::side(page), again(page));
            let cure = "look over the others";
            let finding =
                Finding::of("label/sheet", Level::Note, Severity::Policy, Some(Evidence::Policy), message, cure);
            findings.push(told::at(finding, page, None));
        }
        if is_unread(page) {
            let message = format!(
                "the words of {} are drawn shapes, a picture or letters without names: what stands there could not be read",
                told::side(page)
            );
            let cure = "save the PDF with its letters as text (do not convert text to curves), or check the wording with `--text`";
            let finding =
                Finding::of("label/no-text", Level::Error, Severity::Policy, Some(Evidence::Policy), message, cure);
            findings.push(told::at(finding, page, None));
            continue;
        }
        findings.extend(untold(page));
        let signs = page.seen.map_or_else(Vec::new, |s| inspect::signs(s, page.shape));
        for unread in page.seen.map_or(&[][..], |s| &s.unread) {
            let (area, what) = match unread {
                Unread::Curves { area, shapes } => (Some(area), format!("{shapes} shapes that look like letters")),
                Unread::Picture { area, .. } => (Some(area), "a picture".to_owned()),
                Unread::Letters { area, count } => (Some(area), format!("{count} letters without names")),
                Unread::Notes { count } => (None, format!("{count} notes or form fields laid over the page")),
                Unread::Content => (None, "content that the file holds and that could not be unpacked".to_owned()),
                Unread::Heights { .. } | Unread::Overfull => continue,
            };
            if area.is_some_and(|a| page.codes.iter().any(|c| c.area.widened(1.0, 1.0).holds(a, 0.0))) {
                continue;
            }
            // A row of pictograms is no row of letters.
            let sign = |a: &Area| signs.iter().any(|s| s.area.meets(a, 0.0));
            if matches!(unread, Unread::Curves { .. }) && area.is_some_and(sign) {
                continue;
            }
            let message = format!("{what} on {} could not be read", told::side(page));
            let cure = "look yourself whether words stand there, and whether they are right";
            let finding =
                Finding::of("label/not-read", Level::Note, Severity::Policy, Some(Evidence::Policy), message, cure);
            findings.push(told::at(finding, page, area.map(|a| (a.left, a.top))));
        }
    }
}

/// Says once for a page that words stand on something whose colours were not told.
fn untold(page: &Page<'_>) -> Option<Finding> {
    let seen = page.seen?;
    let glyph = seen
        .glyphs
        .iter()
        .position(|g| g.ink.is_some() && g.hidden.is_none() && g.contrast.is_none() && !g.is_space())?;
    let message = format!(
        "words on {} stand on a picture, gradient or pattern; how well they stand out was not told",
        told::side(page)
    );
    let cure = "look yourself whether all words can be read well, in daylight and at arm's length";
    let finding = Finding::of("label/not-read", Level::Note, Severity::Policy, Some(Evidence::Policy), message, cure);
    Some(told::on(finding, page, Some(glyph)))
}

/// What is said of further pages that print the same label.
fn again(page: &Page<'_>) -> String {
    match page.again.len() {
        0 => String::new(),
        1 => format!(", {} says the same", pages(&page.again)),
        _ => format!(", {} say the same", pages(&page.again)),
    }
}

/// Numbers of pages in words.
fn pages(numbers: &[usize]) -> String {
    match numbers {
        [one] => format!("page {one}"),
        [first, .., last] if last - first + 1 == numbers.len() => format!("pages {first} to {last}"),
        many => format!("pages {}", many.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")),
    }
}
