//! Checks one page against its part: finds each statement, then measures it and looks round it.

use super::TOLERANCE;
use super::alert;
use super::backdrop;
use super::code;
use super::ground;
use super::heights::{self, Measured};
use super::languages;
use super::lines::{self, Line};
use super::matching::{self, Found, Wanted};
use super::piece;
use super::read;
use super::seen::SeenPage;
use super::sign;
use super::space::{self, Clash};
use super::wording::{self, Place};
use crate::find::Finding;
use crate::plan::{Content, Item, Part, Plan};
use crate::trade::{Measure, Severity};
use hayro::hayro_syntax::page::Page;
use std::cell::OnceCell;

/// Gaps in ems at which blocks that stand side by side are parted; the first that finds a statement counts.
pub const GAPS: [f64; 4] = [read::BLOCK_GAP, 0.6, 0.4, 2.5];

/// The lines of a page, grouped in several ways as needed.
struct Groupings<'a> {
    page: &'a SeenPage,
    visible: [OnceCell<Vec<Line>>; GAPS.len()],
    hidden: OnceCell<Vec<Line>>,
}

impl<'a> Groupings<'a> {
    fn visible(&self, n: usize) -> &[Line] {
        self.visible[n].get_or_init(|| match n {
            0 => self.page.lines.clone(),
            _ => lines::group(self.page, GAPS[n], |g| g.hidden.is_none()),
        })
    }
    /// With the glyphs that are in the file but not seen.
    fn all(&self) -> &[Line] {
        self.hidden.get_or_init(|| lines::group(self.page, read::BLOCK_GAP, |_| true))
    }
    fn new(page: &'a SeenPage) -> Self {
        Self { page, visible: Default::default(), hidden: OnceCell::new() }
    }
}

/// A statement of the plan and where it was found.
pub(super) struct Task<'a> {
    pub(super) item: &'a Item,
    block: usize,
    wanted: Vec<Wanted>,
    pub(super) found: Option<Found>,
}

/// Whether the words stand on the page, visible and unbroken.
pub fn says(page: &SeenPage, text: &str) -> bool {
    let (groupings, wanted) = (Groupings::new(page), matching::words(text));
    (0..GAPS.len()).any(|n| !matching::find(groupings.visible(n), &wanted).is_empty())
}

/// Checks every item of the part; findings come in the plan's order.
pub fn check<'a>(pdf_page: &'a Page<'a>, page: &SeenPage, part: &Part, plan: &Plan, findings: &mut Vec<Finding>) {
    let groupings = Groupings::new(page);
    let tasks = placed(page, part, &groupings);
    if let Some(hole) = part.hole {
        findings.extend(piece::hole(page, part, hole));
    }
    let mut signs = sign::share(page, part, tasks.iter().map(|t| t.item)).into_iter();

    for task in &tasks {
        let signs = signs.next().unwrap_or_default();
        let spot = Place { item: task.item, page, part };
        if let Content::Qr { payload, module } = &task.item.content {
            let codes = code::read(pdf_page, page, module.to_mm_f64());
            qr(&spot, payload, module.to_mm_f64(), &codes, findings);
            continue;
        }
        if let Content::Pictograms { side, .. } = &task.item.content {
            for seen in &signs {
                framed(&spot, seen, side.to_mm_f64(), findings);
            }
            continue;
        }
        if let Content::Logo { logo, width, height } = &task.item.content {
            if space::drawn(page, logo, width.to_mm_f64(), height.to_mm_f64()).is_none() {
                findings.push(wording::no_logo(&spot));
            }
            continue;
        }
        match &task.found {
            None => findings.push(absent(&spot, &groupings, &task.wanted)),
            Some(found) => {
                alone(&spot, found, findings);
                around(&spot, found, &tasks, task.block, findings);
            }
        }
    }
    if let Some(equal) = &plan.equal {
        let found: Vec<_> = tasks.iter().filter_map(|t| Some((t.item, t.found.as_ref()?))).collect();
        languages::check(page, part, equal, &found, findings);
    }
}

/// Every statement of the part with the place it was found in, in the plan's order.
pub(super) fn find<'a>(page: &SeenPage, part: &'a Part) -> Vec<Task<'a>> {
    placed(page, part, &Groupings::new(page))
}

fn placed<'a>(page: &SeenPage, part: &'a Part, groupings: &Groupings<'_>) -> Vec<Task<'a>> {
    let blocks = part.rows.iter().flat_map(|r| &r.cells).map(|c| &c.block).enumerate();
    let mut tasks: Vec<Task<'_>> = blocks
        .flat_map(|(block, b)| b.items.iter().map(move |item| (block, item)))
        .map(|(block, item)| Task { item, block, wanted: wanted(item), found: None })
        .collect();
    place(page, part, groupings, &mut tasks);
    tasks
}

fn wanted(item: &Item) -> Vec<Wanted> {
    match &item.content {
        Content::Text { text, .. } | Content::AlertText { text, .. } => matching::words(text),
        Content::Qr { .. } | Content::Pictograms { .. } | Content::Logo { .. } => Vec::new(),
    }
}

/// Finds a place for each statement, the longest first, so that a short one is not taken from within a long one.
/// Of several places the one with the fewest faults counts; no letter serves two statements.
fn place(page: &SeenPage, part: &Part, groupings: &Groupings<'_>, tasks: &mut [Task<'_>]) {
    let mut taken = vec![false; page.glyphs.len()];
    let mut order: Vec<usize> = (0..tasks.len()).collect();
    order.sort_by_key(|&n| std::cmp::Reverse(tasks[n].wanted.iter().map(|w| w.text.len() + 1).sum::<usize>()));
    for n in order {
        let task = &mut tasks[n];
        let spot = Place { item: task.item, page, part };
        let mut best: Option<(usize, Found)> = None;
        for grouping in 0..GAPS.len() {
            for found in matching::find(groupings.visible(grouping), &task.wanted) {
                if found.glyphs().any(|g| taken[g]) {
                    continue;
                }
                let mut faults = Vec::new();
                alone(&spot, &found, &mut faults);
                if best.as_ref().is_none_or(|(fewest, _)| faults.len() < *fewest) {
                    best = Some((faults.len(), found));
                }
            }
            if best.is_some() {
                break;
            }
        }
        if let Some((_, found)) = best {
            for g in found.glyphs() {
                taken[g] = true;
            }
            task.found = Some(found);
        }
    }
}

/// Says what is in the place of a statement that is not there.
fn absent(spot: &Place<'_>, groupings: &Groupings<'_>, wanted: &[Wanted]) -> Finding {
    let page = spot.page;
    let hidden = matching::find(groupings.all(), wanted)
        .into_iter()
        .find_map(|f| f.glyphs().find(|&g| page.glyphs[g].hidden.is_some()));
    if let Some(glyph) = hidden {
        return wording::hidden(spot, glyph);
    }
    let near = matching::nearest(groupings.visible(0), wanted);
    let at = near.as_ref().and_then(|n| n.glyph).map(|g| (page.glyphs[g].x, page.glyphs[g].baseline));
    wording::missing(spot.item, page.number, spot.part, near.as_ref(), at)
}

/// What can be said of a statement by itself.
pub fn alone(spot: &Place<'_>, found: &Found, findings: &mut Vec<Finding>) {
    let (page, item) = (spot.page, spot.item);
    let least = item.least.to_mm_f64();
    let measured = heights::measured(page, found, item.measure);
    match measured.iter().min_by(|a, b| a.height.total_cmp(&b.height)) {
        None if least > 0.0 => findings.push(wording::unmeasured(spot, found)),
        Some(lowest) if lowest.height < least - TOLERANCE => findings.push(wording::too_small(spot, lowest)),
        _ => {}
    }
    if item.measure == Measure::NetQuantity {
        if let Some(letter) = heights::small_symbol(page, found) {
            let sixteenth = Measured { letter: format!("{} of an SI symbol", letter.letter), ..letter };
            findings.push(wording::under_a_sixteenth(spot, &sixteenth));
        }
        if let Some(glyph) = heights::too_narrow(page, found) {
            findings.push(wording::too_narrow(spot, glyph));
        }
    }
    if item.measure == Measure::FigureOverText
        && let Some(letter) = heights::small_letters(page, found)
    {
        findings.push(wording::under_1_6_mm(spot, &letter));
    }
    if item.bold
        && let Some(glyph) = found.glyphs().find(|&g| !is_bold(page, g))
    {
        findings.push(wording::not_bold(spot, glyph));
    }
    if let Some(glyph) = found.glyphs().find(|&g| page.glyphs[g].ink.is_some() && page.glyphs[g].stretch < SQUEEZED) {
        findings.push(wording::squeezed(spot, glyph));
    }
    if let Some((depth, glyph)) = space::worst(page, found, spot.part.shape) {
        if depth < -TOLERANCE {
            findings.push(wording::outside(spot, glyph, -depth));
        } else if depth < space::KNIFE {
            findings.push(wording::near_edge(spot, glyph, depth));
        }
    }
    if let (Some(percent), Some(ink)) = (item.lowest_percent, space::ink(page, found)) {
        let line = page.height * (1.0 - f64::from(percent) / 100.0);
        if ink.top < line - TOLERANCE {
            findings.push(wording::too_high(spot, &ink, percent, line));
        }
    }
    for word in &found.torn {
        findings.push(wording::torn(spot, found, word));
    }
}

/// Letters set narrower than this share of their font's own width are squeezed; the rest is the rounding of files.
const SQUEEZED: f64 = 0.995;

/// Black on white where that is asked for; everything else can be told from its ground.
fn colours(spot: &Place<'_>, found: &Found, black: bool, findings: &mut Vec<Finding>) {
    let page = spot.page;
    for n in found.glyphs() {
        let glyph = &page.glyphs[n];
        let (Some(ink), Some(ratio)) = (glyph.ink, glyph.contrast) else { continue };
        // On a picture its colour is told by how far the letter stands out from it.
        let white = match backdrop::picture_behind(page, glyph, &ink) {
            Some(_) => ground::white_behind(glyph.rgb, ratio),
            None => ground::is_white(ground::under(page, ink.middle(), glyph.order)),
        };
        if black && !(ground::is_black(glyph.rgb) && white) {
            findings.push(wording::not_black(spot, n));
            return;
        }
        if ratio < ground::LEGIBLE {
            findings.push(wording::faint(spot, n, ratio));
            return;
        }
    }
}

/// What can be said of a statement among the others.
fn around(spot: &Place<'_>, found: &Found, tasks: &[Task<'_>], block: usize, findings: &mut Vec<Finding>) {
    // What is declared together needs no space within itself.
    let own: Vec<usize> = tasks
        .iter()
        .filter(|t| t.block == block && t.item.clear.is_some())
        .filter_map(|t| t.found.as_ref())
        .flat_map(Found::glyphs)
        .collect();
    let law = matches!(spot.item.severity, Severity::Required | Severity::Standard);
    beside(spot, found, &own, law, findings);
}

/// What runs into a statement or crowds it, `own` being the letters that belong to it, and the symbol before it; its colour,
/// which is to be `black` on white or to stand out.
pub fn beside(spot: &Place<'_>, found: &Found, own: &[usize], black: bool, findings: &mut Vec<Finding>) {
    let page = spot.page;
    if let Some((glyph, clash)) = space::clash(page, found) {
        let with = match clash {
            Clash::Glyph(n) => format!("the letter `{}`", page.glyphs[n].text),
            Clash::Mark(_) => "a drawn shape".to_owned(),
            Clash::Picture(_) => "a picture".to_owned(),
        };
        findings.push(wording::overlapping(spot, glyph, &with));
    } else {
        colours(spot, found, black, findings);
    }
    if let Some(clear) = spot.item.clear
        && let Some((area, what)) = space::crowd(page, found, own, clear)
    {
        findings.push(wording::crowded(spot, &area, &what, clear));
    }
    let stands = || alert::alert_symbol(page, found) || alert::alert_letter(page, found).is_some();
    if matches!(spot.item.content, Content::AlertText { .. }) && !stands() {
        findings.push(wording::no_symbol(spot, found, alert::fault(page, found)));
    }
}

/// Whether a letter is bold, as far as that can be told.
pub(super) fn is_bold(page: &SeenPage, n: usize) -> bool {
    page.bold(n) != Some(false)
}

/// What can be said of the signs of an item that share a kind of frame.
pub fn framed(spot: &Place<'_>, shared: &sign::Shared, least: f64, findings: &mut Vec<Finding>) {
    if shared.found.len() < shared.asked {
        findings.push(wording::signs_missing(spot, shared));
    }
    for seen in &shared.found {
        if seen.side < least - seen.tolerance() {
            findings.push(wording::small_sign(spot, seen, least));
        }
        findings.extend(seen.faults.iter().map(|fault| wording::sign_fault(spot, seen, fault)));
    }
}

fn qr(spot: &Place<'_>, payload: &str, module: f64, codes: &[code::Code], findings: &mut Vec<Finding>) {
    let Some(found) = codes.iter().find(|c| c.payload == payload) else {
        findings.push(wording::no_code(spot, payload, codes.first()));
        return;
    };
    if found.module < module - TOLERANCE {
        findings.push(wording::small_module(spot, found, module));
    }
    if let Some((area, what)) = code::disturbed(spot.page, found) {
        findings.push(wording::not_quiet(spot, found, &area, &what));
    } else if let Some(ground) = backdrop::of_code(spot.page, found) {
        findings.push(wording::not_quiet(spot, found, &found.area, ground.word()));
    }
    let depth = space::inside(spot.part.shape, &found.area);
    if depth < -TOLERANCE {
        findings.push(wording::code_outside(spot, found, -depth));
    }
}
