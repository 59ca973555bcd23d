//! The proof of our own label: everything its plan asks for, where it stands and how large it is. Part of `proof`.

use super::{Boxed, Note, Panel, Proof, Tone};
use crate::find::Finding;
use crate::inspect::{self, Sighting, TOLERANCE};
use crate::plan::{Plan, Shape};
use crate::unit::Length;

/// What a label's PDF shows of its plan. Page n is part n; the pages show `bleed` beyond their cut.
///
/// # Errors
/// The bytes cannot be read.
pub fn of_label(bytes: &[u8], plan: &Plan, bleed: Length) -> Result<Proof, Finding> {
    let sighted = inspect::sightings(bytes, plan)?;
    let panels = plan
        .parts
        .iter()
        .zip(sighted)
        .enumerate()
        .map(|(n, (part, seen))| Panel {
            title: format!("{}   {}", part.name, measures(part.shape)),
            page: n + 1,
            size: [part.shape.width().to_mm_f64(), part.shape.height().to_mm_f64()],
            cut: Some(part.shape),
            free_edge: part.margin,
            bleed,
            boxes: grouped(&seen),
        })
        .collect();
    let heading = format!("{}, {}: proof with measured heights, not for print", plan.product, plan.market);
    Ok(Proof { heading, panels, notes: Vec::new() })
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
