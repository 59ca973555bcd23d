//! Lists what is on a page but cannot be read as text: curves that look like letters, pictures, letters without a name.
//!
//! What cannot be read is told as "could not read" and never passed over.

use super::read::LEAST_CONTRAST;
use super::seen::{Area, Hidden, Painted, SeenPage, Unread};
use hayro::hayro_syntax::object::{Array, Dict, Name};
use hayro::hayro_syntax::page::Page;

/// Heights of letters in mm that are looked for among curves: from below the least any label may carry to a headline.
const LETTER: std::ops::RangeInclusive<f64> = 0.4..=25.0;
/// Fewest shapes in a row that are taken for letters.
const FEWEST: usize = 4;
/// Corners a letter has on the average when its curves are cut to straight pieces; the modules of a code have four.
const CORNERS: usize = 7;
/// Most shapes that are compared.
const MOST_SHAPES: usize = 20_000;
/// Smallest picture in mm that could hold words.
const PICTURE: [f64; 2] = [8.0, 2.0];
/// Share of the page that a picture covers to count as the whole.
const WHOLE: f64 = 0.8;

/// Everything on the page that could not be read; `notes` is the number of notes and form fields laid over it.
pub fn of(seen: &SeenPage, notes: usize) -> Vec<Unread> {
    let mut found = Vec::new();
    if seen.overfull {
        found.push(Unread::Overfull);
    }
    let page = Area { left: 0.0, top: 0.0, right: seen.width, bottom: seen.height };
    let masked = seen.marks.iter().filter(|m| m.masked).map(|m| m.area);
    for whole in seen.pictures.iter().map(|p| p.area).chain(masked) {
        let area = whole.within(&page);
        if area.width() >= PICTURE[0] && area.height() >= PICTURE[1] {
            let share = area.width() * area.height() / (page.width() * page.height());
            found.push(Unread::Picture { area: whole, whole: share >= WHOLE });
        }
    }
    let nameless = |text: &str| text.chars().any(|c| c == '\u{FFFD}' || ('\u{E000}'..='\u{F8FF}').contains(&c));
    let unseen = |hidden: Option<Hidden>| matches!(hidden, Some(Hidden::Unpainted | Hidden::OffSheet));
    let letters: Vec<Area> = seen
        .glyphs
        .iter()
        .filter(|g| nameless(&g.text) && !unseen(g.hidden))
        .map(|g| {
            let point = |x: f64, y: f64| Area { left: x, top: y, right: x, bottom: y };
            g.ink.unwrap_or_else(|| point(g.x, g.baseline).with(&point(g.end, g.end_y)))
        })
        .collect();
    if let Some(area) = Area::round(&letters) {
        found.push(Unread::Letters { area, count: letters.len() });
    }
    let count = seen.glyphs.iter().filter(|g| g.ink.is_none() && !g.is_space() && !unseen(g.hidden)).count();
    if count > 0 {
        found.push(Unread::Heights { count });
    }
    if notes > 0 {
        found.push(Unread::Notes { count: notes });
    }
    found.extend(curves(seen));
    found
}

/// A shape with its number of corners.
#[derive(Debug, Clone, Copy)]
struct Shape {
    area: Area,
    corners: usize,
}

/// Rows of shapes that look like letters turned to curves, level or upright.
fn curves(seen: &SeenPage) -> Vec<Unread> {
    let mut shapes: Vec<Shape> = Vec::new();
    for mark in &seen.marks {
        if matches!(mark.painted, Painted::Stroked(_)) || mark.contrast < LEAST_CONTRAST {
            continue;
        }
        for ring in &mark.rings {
            let Some(area) = boxed(ring) else { continue };
            if area.height() <= *LETTER.end() && area.width() <= *LETTER.end() {
                shapes.push(Shape { area, corners: ring.len() });
            }
        }
    }
    if shapes.len() > MOST_SHAPES {
        return Vec::new();
    }
    let level = rows(&shapes);
    let turned: Vec<Shape> = shapes.iter().map(|s| Shape { area: s.area.mapped(|[x, y]| [y, x]), ..*s }).collect();
    let upright = rows(&turned).into_iter().map(|(area, n)| (area.mapped(|[x, y]| [y, x]), n));
    let mut found: Vec<(Area, usize)> = level;
    // A block of letters looks like rows both ways; the level ones stand first.
    for (area, shapes) in upright {
        if !found.iter().any(|(other, _)| other.meets(&area, 0.0)) {
            found.push((area, shapes));
        }
    }
    found.into_iter().map(|(area, shapes)| Unread::Curves { area, shapes }).collect()
}

fn boxed(ring: &[[f64; 2]]) -> Option<Area> {
    ring.iter().map(|&[x, y]| Area { left: x, top: y, right: x, bottom: y }).reduce(|a, b| a.with(&b))
}

/// Rows of neighbours: each near the one before it, of like height, overlapping it in height.
fn rows(shapes: &[Shape]) -> Vec<(Area, usize)> {
    let mut sorted: Vec<&Shape> = shapes.iter().filter(|s| LETTER.contains(&s.area.height())).collect();
    sorted.sort_by(|a, b| a.area.left.total_cmp(&b.area.left));
    // Each row with its last shapes' box, the number of letters and of corners.
    let mut open: Vec<(Area, Area, usize, usize)> = Vec::new();
    let mut done = Vec::new();
    for shape in sorted {
        let area = shape.area;
        open.retain(|row| {
            let live = area.left - row.1.right <= 3.0 * row.1.height();
            if !live {
                done.push(*row);
            }
            live
        });
        let fits = |last: &Area| {
            let (low, high) = (last.height().min(area.height()), last.height().max(area.height()));
            let shared = last.bottom.min(area.bottom) - last.top.max(area.top);
            high <= 4.0 * low && shared > 0.4 * low && area.left - last.right <= 1.2 * high
        };
        match open.iter_mut().find(|row| fits(&row.1)) {
            Some((round, last, letters, corners)) => {
                // What begins within the letter before it is its counter, its dot or its accent.
                if area.left >= last.right - 0.3 * area.width() {
                    *letters += 1;
                    *last = area;
                } else {
                    *last = last.with(&area);
                }
                *round = round.with(&area);
                *corners += shape.corners;
            }
            None => open.push((area, area, 1, shape.corners)),
        }
    }
    done.extend(open);
    done.into_iter()
        .filter(|(area, _, letters, corners)| {
            *letters >= FEWEST && *corners >= CORNERS * letters && area.width() > 2.0 * area.height()
        })
        .map(|(area, _, letters, _)| (area, letters))
        .collect()
}

/// How many notes and form fields lie over the page that show something of their own.
pub(super) fn notes(page: &Page<'_>) -> usize {
    let notes = page.raw().get::<Array<'_>>(b"Annots".as_slice());
    let printed = |note: &Dict<'_>| {
        let kind = note.get::<Name<'_>>(b"Subtype".as_slice());
        // Links and pop-ups show nothing of their own; of hidden ones nothing is seen (ISO 32000-1, table 165, bits 2, 6).
        let quiet = kind.is_some_and(|k| [b"Link".as_slice(), b"Popup"].contains(&k.as_ref()));
        // What is not shown but printed (bits 6 and 3) is seen on paper.
        let unseen = |flags: u32| flags & 0x02 != 0 || flags & 0x24 == 0x20;
        !quiet && !note.get::<u32>(b"F".as_slice()).is_some_and(unseen)
    };
    notes.map_or(0, |all| all.iter::<Dict<'_>>().filter(printed).count())
}
