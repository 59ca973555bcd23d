//! The proof of our own label: everything its plan asks for, where it stands and how large it is. Part of `proof`.

use super::{Boxed, MOST_SHEETS, Note, Panel, Proof, Tone};
use crate::find::Finding;
use crate::inspect::{self, Area, Sighting, TOLERANCE};
use crate::plan::{Plan, Printed, Shape};
use crate::unit::Length;

/// What a label's PDF shows of its plan. Page n is the n-th printed piece.
///
/// # Errors
/// The bytes cannot be read.
pub fn of_label(bytes: &[u8], plan: &Plan) -> Result<Proof, Finding> {
    let pages: Vec<usize> = (0..plan.printed().len()).collect();
    of_pages(bytes, plan, &pages, Length::ZERO, Length::ZERO)
}

/// The same of a file of labels one to a page: the n-th printed piece stands on the page `on[n]`, from 0, with `bleed`
/// and, all told, `paper` beyond its cut on each side.
///
/// # Errors
/// The bytes cannot be read.
pub fn of_pages(bytes: &[u8], plan: &Plan, on: &[usize], bleed: Length, paper: Length) -> Result<Proof, Finding> {
    let sighted = inspect::sightings_on(bytes, plan, on)?;
    let printed = plan.printed();
    let panels = printed.iter().zip(on).zip(sighted).map(|((printed, n), seen)| Panel {
        bleed,
        paper,
        boxes: grouped(&seen),
        ..panel(*n, printed)
    });
    let heading = format!("{}, {}: proof with measured heights, not for print", plan.product, plan.market);
    Ok(Proof { heading, panels: panels.collect(), notes: Vec::new() })
}

/// Sheets of labels: where each stands, and which it is. More than [`MOST_SHEETS`] sheets are told, not shown.
///
/// `told` says what is written beside a label of a sheet, counted from 0.
#[must_use]
pub fn of_sheets(plan: &Plan, leaves: &[inspect::Leaf], told: impl Fn(usize, &inspect::Placed) -> String) -> Proof {
    let parts = plan.pages();
    let all = leaves.len();
    let panel = |(n, leaf): (usize, &inspect::Leaf)| {
        let boxed = |placed: &inspect::Placed| {
            let shape = parts.get(placed.part)?.shape;
            let (right, bottom) = (placed.left + shape.width().to_mm_f64(), placed.top + shape.height().to_mm_f64());
            let area = Area { left: placed.left, top: placed.top, right, bottom };
            let note = Note { tone: Tone::Found, text: told(n, placed) };
            Some(((shape, [placed.left, placed.top]), Boxed { areas: vec![area], note }))
        };
        let (spots, boxes) = leaf.labels.iter().filter_map(boxed).unzip();
        Panel {
            title: format!("sheet {} of {all}   {:.1} x {:.1} mm", n + 1, leaf.width, leaf.height),
            page: n + 1,
            size: [leaf.width, leaf.height],
            spots,
            boxes,
            ..Panel::default()
        }
    };
    let panels: Vec<Panel> = leaves.iter().enumerate().take(MOST_SHEETS).map(panel).collect();
    let more = all - panels.len();
    let notes = (more > 0).then(|| Note { tone: Tone::Plain, text: format!("{more} more sheets are not shown") });
    let heading = format!("{}, {}: proof of sheets, not for print", plan.product, plan.market);
    Proof { heading, panels, notes: notes.into_iter().collect() }
}

/// Page `n` from 0, with nothing found on it yet.
pub(super) fn panel(n: usize, printed: &Printed<'_>) -> Panel {
    Panel {
        title: format!("{}   {}", printed.name, measures(printed.shape)),
        page: n + 1,
        size: [printed.shape.width().to_mm_f64(), printed.shape.height().to_mm_f64()],
        cut: Some(printed.shape),
        free_edge: printed.faces.iter().map(|face| face.margin).min().unwrap_or(Length::ZERO),
        folds: printed.folds(),
        holes: printed.holes(),
        ..Panel::default()
    }
}

fn measures(shape: Shape) -> String {
    match shape {
        Shape::Circle { diameter } => format!("{} across", diameter.in_mm(1)),
        _ => format!("{} x {}", shape.width().in_mm(1), shape.height().in_mm(1)),
    }
}

/// What is said of a sighting: its tone, its words, its figures.
fn told(seen: &Sighting) -> (Tone, String, String) {
    let (tone, figures) = match &seen.measured {
        _ if seen.areas.is_empty() => (Tone::Wrong, "not found".to_owned()),
        Some((what, size)) => {
            let what = if what.starts_with('`') { what.trim_matches('`') } else { what };
            let short = *size < seen.least - TOLERANCE;
            // Rounded alike, so that what is as high as it must be reads so; a short measure with one place more, cut off.
            let figures = if short {
                format!("{what}\u{a0}{:.3}\u{a0}mm, least\u{a0}{:.3}", (size * 1000.0).floor() / 1000.0, seen.least)
            } else if seen.least <= 0.0 {
                format!("{what}\u{a0}{:.2}\u{a0}mm", size + 1e-9)
            } else {
                format!("{what}\u{a0}{:.2}\u{a0}mm, least\u{a0}{:.2}", size + 1e-9, seen.least + 1e-9)
            };
            (if short { Tone::Wrong } else { Tone::Found }, figures)
        }
        None if seen.least > 0.0 => (Tone::Plain, "no letter to measure".to_owned()),
        None => (Tone::Found, "no least height".to_owned()),
    };
    let words = match seen.what.char_indices().nth(26) {
        Some((end, _)) => format!("{}…", seen.what[..end].trim_end()),
        None => seen.what.clone(),
    };
    (tone, words, figures)
}

/// Statements of one block that follow each other and are as large as each other share a note, told by the lowest of them.
fn grouped(seen: &[Sighting]) -> Vec<Boxed> {
    let size = |s: &Sighting| s.measured.as_ref().map_or(0.0, |m| m.1);
    let alike = |a: &Sighting, b: &Sighting| {
        let close = (size(a) - size(b)).abs() < 0.04 * size(a).max(size(b));
        let found = |s: &Sighting| !s.areas.is_empty() && s.measured.is_some() && size(s) >= s.least - TOLERANCE;
        // The figures decide, not their last place.
        #[expect(clippy::float_cmp, reason = "both come from the same figure of the plan")]
        let same = a.block == b.block && a.least == b.least;
        same && close && found(a) && found(b)
    };
    let boxed = |group: &[Sighting]| {
        let lowest = group.iter().min_by(|a, b| size(a).total_cmp(&size(b)))?;
        let (tone, _, figures) = told(lowest);
        let (_, words, _) = told(group.first()?);
        let words = match group.len() - 1 {
            0 => words,
            more => format!("{words} and {more} more of `{}`", lowest.block),
        };
        let areas = group.iter().flat_map(|s| s.areas.iter().copied()).collect();
        Some(Boxed { areas, note: Note { tone, text: format!("{words}: {figures}") } })
    };
    seen.chunk_by(alike).filter_map(boxed).collect()
}
