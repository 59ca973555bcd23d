//! Checks pages of labels: each label in its place, complete, at its size once the printer has made its error.
//!
//! The first label of each part is looked at like a label alone, in its window on the page. The drawing operations of every
//! other must be the same but for the unit's code, so that its picture is too; its place, the words and the QR code with
//! the code are read for themselves. A label that is drawn in any other way is a fault.

use super::part;
use super::piece;
use super::read::{self, PER_MM};
use super::seen::{Area, SeenPage, View};
use super::steps::{self, Fonts, Label, Step, Steps};
use crate::find::{Finding, OnPage};
use crate::plan::{Content, Part, Plan, Printed};
use hayro::hayro_interpret::InterpreterCache;
use hayro::hayro_syntax::Pdf;
use hayro::hayro_syntax::object::Rect as PdfRect;
use hayro::hayro_syntax::page::Page;
use hayro::kurbo::Point;
use std::collections::{BTreeMap, BTreeSet};

/// A label may stand this many mm off its place: what a steel rule cannot show.
const OFF: f64 = 0.02;
/// Boxes of a page may differ by so much, in mm.
const BOXES: f64 = 0.05;
/// More are not told.
const MOST_FINDINGS: usize = 20;

/// A label's place on a page, as drawn, in mm from the upper left corner of the page as cut.
#[derive(Debug, Clone, Copy)]
pub struct Placed {
    /// Which printed piece of the plan, from 0 ([`Plan::printed`]).
    pub part: usize,
    /// Which unit, from 0.
    pub unit: usize,
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
}

/// What a page must be like.
#[derive(Debug, Clone)]
pub struct Leaf {
    /// Width of the page as cut, in mm.
    pub width: f64,
    /// Height of the page as cut, in mm.
    pub height: f64,
    /// Paper beyond the cut on each side, in mm.
    pub edge: f64,
    /// Print beyond the cut on each side, in mm.
    pub bleed: f64,
    /// Its labels, in the order they are drawn.
    pub labels: Vec<Placed>,
}

/// What a file of labels must hold.
#[derive(Debug, Clone, Copy)]
pub struct Pressed<'a> {
    /// What the label of the first unit carries.
    pub plan: &'a Plan,
    /// The codes of the units, the first one that of the plan; empty where all are alike.
    pub codes: &'a [String],
    /// What a millimetre across is drawn as, for the printer.
    pub across: f64,
    /// What a millimetre down is drawn as.
    pub down: f64,
    /// Page by page.
    pub leaves: &'a [Leaf],
    /// What was told of the label alone and accepted; anything else found is a fault.
    pub known: &'a [Finding],
}

impl Pressed<'_> {
    /// The part with the code of the unit that stands there; `None` for a unit without one.
    pub(super) fn of_unit(&self, part: &Part, placed: &Placed) -> Option<Part> {
        match (self.codes.first(), self.codes.get(placed.unit)) {
            (Some(first), Some(code)) => Some(for_unit(part, first, code)),
            (None, _) => Some(part.clone()),
            (Some(_), None) => None,
        }
    }
}

/// Looks for every label on every page. The bytes are our own, so their size is not bounded.
#[must_use]
pub fn leaves(bytes: &[u8], asked: &Pressed<'_>) -> Vec<Finding> {
    let Ok(pdf) = Pdf::new(bytes.to_vec()) else {
        return vec![Finding::input("file/pdf", "the PDF is damaged and cannot be read", "make the PDF anew")];
    };
    let pages = pdf.pages();
    if pages.len() != asked.leaves.len() {
        let message = format!("the PDF has {} pages instead of {}", pages.len(), asked.leaves.len());
        return vec![Finding::input("label/pages", message, "make the PDF anew")];
    }
    let reader = match Reader::new(&pdf, asked) {
        Ok(reader) => reader,
        Err(findings) => return findings,
    };
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get).min(8);
    let share = pages.len().div_ceil(cores).max(1);
    let reader = &reader;
    let found = std::thread::scope(|scope| {
        let started: Vec<_> = (0..pages.len())
            .step_by(share)
            .map(|from| scope.spawn(move || reader.pages(from..(from + share).min(asked.leaves.len()))))
            .collect();
        started.into_iter().map(|thread| thread.join().unwrap_or_else(|_| vec![unread()])).collect::<Vec<_>>()
    });
    found.into_iter().flatten().take(MOST_FINDINGS).collect()
}

fn unread() -> Finding {
    Finding::input("file/pdf", "the reading of the PDF ended early", "report it with the product file")
}

/// The box round all ink of a label, that beyond the paper too.
fn ink(seen: &SeenPage) -> Option<Area> {
    let glyphs = seen.glyphs.iter().filter_map(|g| g.ink.as_ref());
    Area::round(glyphs.chain(seen.marks.iter().map(|m| &m.area)))
}

/// Complete perhaps, but drawn otherwise than the first, or in another place.
fn differs(n: usize, placed: &Placed) -> Finding {
    let message = format!("a label on page {} is not drawn like the first, or not in its place", n + 1);
    let on = OnPage { page: n + 1, part: None, x_mm: Some(placed.left), y_mm: Some(placed.top) };
    Finding::input("label/layout-fault", message, "report this as a fault of the program").on(on)
}

/// A label that was looked at in full.
struct Model {
    label: Label,
    before: Vec<Step>,
    after: Vec<Step>,
    unit: usize,
    /// Its texts and codes that hold the unit's code.
    texts: Vec<String>,
    payloads: Vec<String>,
    /// The box round all its ink, in mm from its upper left corner.
    ink: Option<Area>,
}

struct Reader<'a> {
    pdf: &'a Pdf,
    asked: &'a Pressed<'a>,
    fonts: Fonts,
    /// The labels as printed: parts by themselves, and pieces with their faces.
    printed: Vec<Printed<'a>>,
    /// The same as one part each.
    whole: Vec<Part>,
    /// By part.
    models: BTreeMap<usize, Model>,
}

impl<'a> Reader<'a> {
    /// Looks at the first label of each part in full.
    fn new(pdf: &'a Pdf, asked: &'a Pressed<'a>) -> Result<Self, Vec<Finding>> {
        let pages = pdf.pages();
        let fonts = pages.first().map_or_else(|| Err(vec![unread()]), |page| Ok(Fonts::of(page)))?;
        let (printed, whole) = (asked.plan.printed(), asked.plan.pages());
        let mut reader = Self { pdf, asked, fonts, printed, whole, models: BTreeMap::new() };
        // The first of each part, and of numbered ones each whose code has a character that was not looked at yet: what is
        // wrong with one figure of a font does not show on the others.
        let mut characters: BTreeMap<usize, BTreeSet<char>> = BTreeMap::new();
        for (n, (page, leaf)) in pages.iter().zip(asked.leaves).enumerate() {
            for (at, placed) in leaf.labels.iter().enumerate() {
                let first = !characters.contains_key(&placed.part);
                let seen_before = characters.entry(placed.part).or_default();
                let before = seen_before.len();
                seen_before.extend(asked.codes.get(placed.unit).into_iter().flat_map(|code| code.chars()));
                if !first && seen_before.len() == before {
                    continue;
                }
                let (seen, findings) = reader.looked_at(page, n, placed);
                if !findings.is_empty() {
                    // What lies beyond the paper cannot be seen either: one fault, told once.
                    let off = seen.as_ref().and_then(ink).and_then(|ink| reader.off_paper(leaf, n, placed, &ink));
                    return Err(off.map_or(findings, |off| vec![off]));
                }
                if first {
                    let model = reader.model(page, leaf, at, seen.as_ref());
                    reader.models.insert(placed.part, model.ok_or_else(|| vec![differs(n, placed)])?);
                }
            }
        }
        Ok(reader)
    }

    fn part(&self, placed: &Placed) -> Option<Part> {
        self.asked.of_unit(self.whole.get(placed.part)?, placed)
    }

    /// Looks at one label as if it were alone on the page.
    fn looked_at(&self, page: &Page<'_>, n: usize, placed: &Placed) -> (Option<SeenPage>, Vec<Finding>) {
        let Some(part) = self.part(placed) else { return (None, vec![unread()]) };
        let size = [part.shape.width().to_mm_f64(), part.shape.height().to_mm_f64()];
        let Placed { left, top, .. } = *placed;
        let view = View { quarters: 0, left, top, across: self.asked.across, down: self.asked.down };
        let cache = InterpreterCache::new();
        let seen = read::label(self.pdf, page, n + 1, &cache, view, size);
        let mut findings = Vec::new();
        if seen.overfull {
            let message = format!("there is more on a label of part `{}` than can be checked", part.name);
            findings.push(Finding::input("file/pdf", message, "make the label with simpler drawings"));
        } else {
            let Some(printed) = self.printed.get(placed.part) else { return (Some(seen), vec![unread()]) };
            for face in &printed.faces {
                let Some(part) = self.asked.of_unit(face, placed) else { return (Some(seen), vec![unread()]) };
                match &part.piece {
                    Some(on) => {
                        part::check(page, &piece::face(&seen, &part, on), &part, self.asked.plan, &mut findings);
                    }
                    None => part::check(page, &seen, &part, self.asked.plan, &mut findings),
                }
            }
            findings.extend(piece::stray(&seen, printed));
            findings.retain(|f| !self.asked.known.iter().any(|k| k.id == f.id && k.message == f.message));
        }
        (Some(seen), findings)
    }

    /// The label that others are compared with, where what differs on it is found among its operations.
    fn model(&self, page: &Page<'_>, leaf: &Leaf, at: usize, seen: Option<&SeenPage>) -> Option<Model> {
        let Steps { before, mut labels, after } = steps::of(page).filter(|s| s.labels.len() == leaf.labels.len())?;
        let (placed, label) = (leaf.labels[at], labels.swap_remove(at));
        let texts: Vec<String> = label.texts.iter().map(|t| self.fonts.words(t)).collect::<Option<_>>()?;
        let payloads: Vec<String> = label.filled.iter().map(|f| steps::decoded(f)).collect::<Option<_>>()?;
        if let Some(code) = self.asked.codes.get(placed.unit) {
            // What holds the code must be among what is compared by unit.
            let part = self.part(&placed)?;
            let told = part.rows.iter().flat_map(|r| &r.cells).flat_map(|c| &c.block.items).all(|i| match &i.content {
                Content::Text { text, .. } | Content::AlertText { text, .. } => {
                    !text.contains(code.as_str()) || texts.iter().any(|t| t.contains(code.as_str()))
                }
                Content::Qr { payload, .. } => !payload.contains(code.as_str()) || payloads.contains(payload),
                Content::Pictograms { .. } | Content::Logo { .. } => true,
            });
            if !told {
                return None;
            }
        }
        let ink = ink(seen?);
        Some(Model { label, before, after, unit: placed.unit, texts, payloads, ink })
    }

    fn pages(&self, range: std::ops::Range<usize>) -> Vec<Finding> {
        let mut findings = Vec::new();
        let pages = self.pdf.pages();
        let resources = |page: &Page<'_>| page.raw().get_ref(b"Resources".as_slice());
        let shared = pages.first().and_then(resources);
        for n in range {
            if findings.len() >= MOST_FINDINGS {
                break;
            }
            let (Some(page), Some(leaf)) = (pages.get(n), self.asked.leaves.get(n)) else { break };
            findings.extend(boxes(page, n, leaf));
            // Names of forms and fonts mean the same only within the same resources.
            let same = shared.is_some() && resources(page) == shared;
            let steps = same.then(|| steps::of(page)).flatten().filter(|s| s.labels.len() == leaf.labels.len());
            for (at, placed) in leaf.labels.iter().enumerate() {
                let Some(model) = self.models.get(&placed.part) else { continue };
                if let Some(off) = model.ink.and_then(|ink| self.off_paper(leaf, n, placed, &ink)) {
                    findings.push(off);
                } else if !steps.as_ref().is_some_and(|steps| self.alike(page, steps, at, placed, model)) {
                    let told = self.looked_at(page, n, placed).1;
                    findings.extend(if told.is_empty() { vec![differs(n, placed)] } else { told });
                }
            }
        }
        findings
    }

    /// Whether the label is drawn as the model is, in its own place and with its own code.
    fn alike(&self, page: &Page<'_>, steps: &Steps, at: usize, placed: &Placed, model: &Model) -> bool {
        let label = &steps.labels[at];
        if label.steps != model.label.steps
            || steps.before != model.before
            || steps.after != model.after
            || !self.in_place(page, steps, label, placed)
        {
            return false;
        }
        let texts: Option<Vec<String>> = label.texts.iter().map(|t| self.fonts.words(t)).collect();
        let payloads: Option<Vec<String>> = label.filled.iter().map(|f| steps::decoded(f)).collect();
        let (Some(texts), Some(payloads)) = (texts, payloads) else { return false };
        let codes = self.asked.codes;
        let own = |told: &String| match (codes.get(model.unit), codes.get(placed.unit)) {
            (Some(first), Some(code)) => told.replace(first.as_str(), code),
            _ => told.clone(),
        };
        texts.iter().eq(model.texts.iter().map(own).collect::<Vec<_>>().iter())
            && payloads.iter().eq(model.payloads.iter().map(own).collect::<Vec<_>>().iter())
    }

    /// Whether the label's upper left corner is drawn where it should be, at the scale it should have, upright.
    fn in_place(&self, page: &Page<'_>, steps: &Steps, label: &Label, placed: &Placed) -> bool {
        let mut of_page = None;
        for step in &steps.before {
            match step {
                Step::Transform(matrix) if of_page.is_none() => of_page = Some(*matrix),
                Step::Plain(..) | Step::Chosen(..) => {}
                _ => return false,
            }
        }
        let [kx, 0.0, 0.0, ky, tx, ty] = of_page.unwrap_or([1.0, 0.0, 0.0, 1.0, 0.0, 0.0]) else { return false };
        let [1.0, 0.0, 0.0, 1.0, x, y] = label.at else { return false };
        let Some(part) = self.whole.get(placed.part) else { return false };
        let height = part.shape.height().to_mm_f64() * 72.0 / 25.4;
        let (to, _, _) = read::frame(page);
        let corner = to * Point::new(kx * x + tx, ky * (y + height) + ty);
        let near = |a: f64, b: f64, by: f64| (a - b).abs() <= by;
        near(corner.x / PER_MM, placed.left, OFF)
            && near(corner.y / PER_MM, placed.top, OFF)
            && near(kx, self.asked.across, 1e-6)
            && near(ky, self.asked.down, 1e-6)
    }

    /// Whether ink of the label would be printed beyond the paper.
    fn off_paper(&self, leaf: &Leaf, n: usize, placed: &Placed, ink: &Area) -> Option<Finding> {
        let (left, top) = (placed.left + ink.left * self.asked.across, placed.top + ink.top * self.asked.down);
        let (right, foot) = (placed.left + ink.right * self.asked.across, placed.top + ink.bottom * self.asked.down);
        let over = (-left).max(-top).max(right - leaf.width).max(foot - leaf.height);
        (over > leaf.edge).then(|| {
            let message = format!("print of a label ends {:.1} mm beyond the paper", over - leaf.edge);
            let cure = "the sheet's margins are narrower than the printer's error: use a sheet with wider ones";
            Finding::input("sheet/off-paper", message, cure).on(OnPage {
                page: n + 1,
                part: None,
                x_mm: Some(placed.left),
                y_mm: Some(placed.top),
            })
        })
    }
}

/// The part as it is for another unit.
fn for_unit(part: &Part, first: &str, code: &str) -> Part {
    let mut part = part.clone();
    let cells = part.rows.iter_mut().flat_map(|row| &mut row.cells);
    for item in cells.flat_map(|cell| &mut cell.block.items) {
        match &mut item.content {
            Content::Text { text, .. } | Content::AlertText { text, .. } => *text = text.replace(first, code),
            Content::Qr { payload, .. } => *payload = payload.replace(first, code),
            Content::Pictograms { .. } | Content::Logo { .. } => {}
        }
    }
    part
}

/// The paper, the cut and the bleed of a page.
fn boxes(page: &Page<'_>, n: usize, leaf: &Leaf) -> Option<Finding> {
    let mm = |points: f64| points * 25.4 / 72.0;
    let sides = |r: PdfRect| [r.x0, r.y0, r.x1, r.y1].map(mm);
    let media = sides(page.media_box());
    let read = |name: &str| page.raw().get::<PdfRect>(name.as_bytes()).map_or(media, sides);
    let inset = |by: f64| {
        let (width, height) = (leaf.width + 2.0 * leaf.edge, leaf.height + 2.0 * leaf.edge);
        [by, by, width - by, height - by]
    };
    let asked = [("MediaBox", 0.0), ("CropBox", 0.0), ("BleedBox", leaf.edge - leaf.bleed), ("TrimBox", leaf.edge)];
    asked.into_iter().find_map(|(name, by)| {
        let (found, wanted) = (if name == "MediaBox" { media } else { read(name) }, inset(by));
        let right = found.iter().zip(wanted).all(|(f, w)| (f - w).abs() <= BOXES);
        (!right).then(|| {
            let told = |b: [f64; 4]| format!("{:.2} {:.2} {:.2} {:.2} mm", b[0], b[1], b[2], b[3]);
            Finding::input("label/page-size", format!("the {name} of page {} is wrong", n + 1), "make the PDF anew")
                .instead(told(wanted), told(found))
        })
    })
}
