//! What was found of a plan, where, and how large: for whoever wants to see it, not only the faults. Part of `inspect`.

use super::part;
use super::read;
use super::seen::{Area, SeenPage};
use super::{code, heights, piece, sign, space};
use crate::find::Finding;
use crate::plan::{Content, Part, Plan, Printed};
use crate::trade::BlockName;
use hayro::hayro_interpret::InterpreterCache;
use hayro::hayro_syntax::page::Page;

/// A statement, code or row of signs of the plan as it stands on the page.
#[derive(Debug, Clone)]
pub struct Sighting {
    /// Requirement it answers.
    pub id: String,
    /// The part or face it stands on.
    pub part: String,
    /// The block it belongs to.
    pub block: BlockName,
    /// What it is: the words, or `QR code`, or the names of the signs.
    pub what: String,
    /// The box round each line of it; empty if it was not found.
    pub areas: Vec<Area>,
    /// What was measured: the letter, the module, the side; and its size in mm.
    pub measured: Option<(String, f64)>,
    /// The least size in mm.
    pub least: f64,
}

/// For each page of the plan ([`Plan::printed`]) everything it asks for, in the plan's order.
///
/// # Errors
/// A finding that says why the bytes cannot be read.
pub fn sightings(bytes: &[u8], plan: &Plan) -> Result<Vec<Vec<Sighting>>, Finding> {
    sightings_on(bytes, plan, &(0..plan.printed().len()).collect::<Vec<_>>())
}

/// The same where the n-th page of the plan stands on the page `on[n]` of the file, from 0.
///
/// # Errors
/// As [`sightings`].
pub fn sightings_on(bytes: &[u8], plan: &Plan, on: &[usize]) -> Result<Vec<Vec<Sighting>>, Finding> {
    let pdf = read::open(bytes)?;
    let cache = InterpreterCache::new();
    let pages = pdf.pages();
    let of = |(printed, &n): (&Printed<'_>, &usize)| {
        let Some(page) = pages.get(n) else { return Vec::new() };
        let seen = read::page(&pdf, page, n + 1, &cache);
        let face = |face: &&Part| match &face.piece {
            None => on_page(page, &seen, face),
            Some(on) => {
                let mut sighted = on_page(page, &piece::face(&seen, face, on), face);
                let right = on.left.to_mm_f64();
                for area in sighted.iter_mut().flat_map(|s| &mut s.areas) {
                    *area = area.mapped(|[x, y]| [x + right, y]);
                }
                sighted
            }
        };
        printed.faces.iter().flat_map(face).collect()
    };
    Ok(plan.printed().iter().zip(on).map(of).collect())
}

fn on_page<'a>(pdf_page: &'a Page<'a>, page: &SeenPage, part_of: &Part) -> Vec<Sighting> {
    if page.overfull {
        return Vec::new();
    }
    let tasks = part::find(page, part_of);
    let mut signs = sign::share(page, part_of, tasks.iter().map(|t| t.item)).into_iter();
    let blocks = part_of.rows.iter().flat_map(|r| &r.cells).flat_map(|c| c.block.items.iter().map(|_| c.block.name));
    let sighted = blocks.zip(&tasks).map(|(block, task)| {
        let (item, signs) = (task.item, signs.next().unwrap_or_default());
        let (what, areas, measured, least) = match &item.content {
            Content::Qr { payload, module } => {
                let codes = code::read(pdf_page, page, module.to_mm_f64());
                let found = codes.iter().find(|c| c.payload == *payload);
                let measured = found.map(|c| ("module".to_owned(), c.module));
                ("QR code".to_owned(), found.map(|c| c.area).into_iter().collect(), measured, module.to_mm_f64())
            }
            Content::Pictograms { signs: names, side } => {
                let found: Vec<&sign::Seen> = signs.iter().flat_map(|s| &s.found).collect();
                let names: Vec<&str> = names.iter().map(|s| s.word()).collect();
                let least = found.iter().map(|s| s.side).reduce(f64::min);
                let areas = found.iter().map(|s| s.area).collect();
                (names.join(", "), areas, least.map(|l| ("side".to_owned(), l)), side.to_mm_f64())
            }
            Content::Logo { logo, width, height } => {
                let area = space::drawn(page, logo, width.to_mm_f64(), height.to_mm_f64());
                let measured = area.map(|a| ("height".to_owned(), a.height()));
                ("logo".to_owned(), area.into_iter().collect(), measured, 0.0)
            }
            Content::Text { text, .. } | Content::AlertText { text, .. } => {
                let found = task.found.as_ref();
                let measured = found
                    .into_iter()
                    .flat_map(|f| heights::measured(page, f, item.measure))
                    .min_by(|a, b| a.height.total_cmp(&b.height))
                    .map(|m| (m.letter, m.height));
                (text.clone(), found.map(|f| lines(page, f)).unwrap_or_default(), measured, item.least.to_mm_f64())
            }
        };
        Sighting { id: item.id.clone(), part: part_of.name.clone(), block, what, areas, measured, least }
    });
    sighted.collect()
}

/// The boxes round what stands on each baseline.
fn lines(page: &SeenPage, found: &super::matching::Found) -> Vec<Area> {
    let mut lines: Vec<(f64, Area)> = Vec::new();
    for glyph in found.glyphs().filter_map(|n| page.glyphs.get(n)) {
        let Some(ink) = glyph.ink else { continue };
        match lines.last_mut().filter(|(baseline, _)| (baseline - glyph.baseline).abs() < 0.1 * glyph.em) {
            Some((_, area)) => *area = area.with(&ink),
            None => lines.push((glyph.baseline, ink)),
        }
    }
    lines.into_iter().map(|(_, area)| area).collect()
}
