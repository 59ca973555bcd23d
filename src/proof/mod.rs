//! A picture of a label with what was found on it: ruler, cut, free edge, boxes, measured heights. For screens, never for print.
//!
//! Beside `inspect`: the label is shown by the reader from the bytes themselves; what is drawn over it is a page of our own,
//! written and shown the same way, so that no second way of drawing exists.
//!
//! [`draw`] takes any PDF: a [`Proof`] says which pages, which boxes on them, and what stands beside.

mod label;
mod layer;
mod panel;
mod specimen;

pub use label::{of_label, of_pages, of_sheets};
pub use specimen::of_template;

use crate::find::Finding;
use crate::inspect::{self, Area};
use crate::pixel;
use crate::plan::{Hole, Shape};
use crate::unit::Length;
use layer::{Canvas, Colour, LINE, Layers, PER_METRE};

/// What a proof shows.
#[derive(Debug, Clone)]
pub struct Proof {
    /// Printed over everything.
    pub heading: String,
    /// Pages side by side, in this order; at most [`MOST_PANELS`] are shown.
    pub panels: Vec<Panel>,
    /// Stands at the side: what belongs to no place.
    pub notes: Vec<Note>,
}

/// One page of the PDF.
#[derive(Debug, Clone, Default)]
pub struct Panel {
    /// Printed over it.
    pub title: String,
    /// Which page, from 1.
    pub page: usize,
    /// Width and height of the trimmed page in mm.
    pub size: [f64; 2],
    /// Where it is cut; the whole page if `None`.
    pub cut: Option<Shape>,
    /// Nothing is printed nearer to the cut; zero draws nothing.
    pub free_edge: Length,
    /// So much is shown, and drawn as bleed, beyond the cut; zero draws nothing.
    pub bleed: Length,
    /// So much paper is shown beyond the cut, with the marks on it.
    pub paper: Length,
    /// Where the paper is folded, from the left edge.
    pub folds: Vec<Length>,
    /// Holes through it.
    pub holes: Vec<Hole>,
    /// Labels on a sheet: their outlines, and where their upper left corners stand, in mm.
    pub spots: Vec<(Shape, [f64; 2])>,
    /// What was found on it.
    pub boxes: Vec<Boxed>,
}

/// Something on a page, with what is said of it.
#[derive(Debug, Clone)]
pub struct Boxed {
    /// Millimetres from the upper left of the trimmed page; a box for each line, say.
    pub areas: Vec<Area>,
    /// Stands beside the page, with a thin line to the first box.
    pub note: Note,
}

/// A line of words in a colour.
#[derive(Debug, Clone)]
pub struct Note {
    /// Its colour.
    pub tone: Tone,
    /// The words; they are broken where the column ends. Characters no face has are shown as `?`.
    pub text: String,
}

/// What a box or a note says by its colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// Black: neither good nor bad.
    Plain,
    /// Blue: found, and as it should be.
    Found,
    /// Red: missing or not as it should be.
    Wrong,
}

/// More pages are not shown, and the proof says so.
pub const MOST_PANELS: usize = 12;
/// More sheets are not shown either.
pub const MOST_SHEETS: usize = 3;
/// More boxes on a page are not shown.
const MOST_BOXES: usize = 200;

/// Draws a proof as a PNG. The same input gives the same bytes.
///
/// # Errors
/// The PDF cannot be read, or a page holds more than can be drawn within bounds.
pub fn draw(bytes: &[u8], proof: &Proof) -> Result<Vec<u8>, Finding> {
    let shown = &proof.panels[..proof.panels.len().min(MOST_PANELS)];
    let scale = panel::scale(shown);
    let mut layers = Layers::default();
    let top = PAD + HEADING;
    let mut x = PAD;
    let mut bottom = top;
    let mut spots = Vec::new();
    for panel in shown {
        let laid = panel::lay(panel, scale, [x, top], &mut layers);
        spots.push((panel, laid.corner));
        x = laid.right + GAP;
        bottom = bottom.max(laid.bottom);
    }
    if !proof.notes.is_empty() || proof.panels.len() > shown.len() {
        let mut y = top + LINE;
        let more = proof.panels.len() - shown.len();
        let more = (more > 0).then(|| Note { tone: Tone::Plain, text: format!("{more} more pages are not shown") });
        for note in proof.notes.iter().chain(&more) {
            y = layers.paragraph(note.tone.colour(), &note.text, [x, y], SIDE) + LINE / 2.0;
        }
        x += SIDE + GAP;
        bottom = bottom.max(y);
    }
    let heading = layers.paragraph_of(Colour::Ink, &proof.heading, [PAD, PAD + 16.0], 19.0, true, (x - PAD).max(400.0));
    let width = x.max(heading.1 + PAD).max(460.0);
    key(&mut layers, shown, heading.0 + 4.0);
    let mut canvas = Canvas::new(width, bottom + PAD);
    for (panel, corner) in spots {
        let around = panel::around(panel);
        let raster = inspect::picture(bytes, panel.page, scale, around)?;
        canvas.put(&raster, [corner[0] - around * scale, corner[1] - around * scale]);
    }
    canvas.lay(&layers)?;
    pixel::colour(canvas.width, &canvas.pixels, PER_METRE)
}

/// Room round everything, above the pages, and between them, in pixels.
const PAD: f64 = 20.0;
const HEADING: f64 = 72.0;
const GAP: f64 = 26.0;
/// Width of what stands at the side.
const SIDE: f64 = 380.0;

/// Tells what the colours of lines mean, as far as they are used.
fn key(layers: &mut Layers, panels: &[Panel], y: f64) {
    let any = |test: &dyn Fn(&Panel) -> bool| panels.iter().any(test);
    let tone = |tone: Tone| any(&|p: &Panel| p.boxes.iter().any(|b| b.note.tone == tone));
    let words = [
        (true, Colour::Cut, "cut"),
        (any(&|p| p.bleed > Length::ZERO), Colour::Bleed, "bleed"),
        (any(&|p| !p.folds.is_empty()), Colour::Fold, "fold"),
        (any(&|p| p.free_edge > Length::ZERO), Colour::Edge, "free edge"),
        (tone(Tone::Found), Colour::Found, "found"),
        (tone(Tone::Wrong), Colour::Wrong, "not as it should be"),
        (true, Colour::Ruler, "ruler in mm"),
    ];
    let mut x = PAD;
    for (_, colour, text) in words.into_iter().filter(|w| w.0) {
        layers.stroke(colour, &[[x, y + 6.0], [x + 22.0, y + 6.0]], 3.0);
        x = layers.text(colour, text, [x + 28.0, y + 11.0], 14.0, false) + 22.0;
    }
}

impl Tone {
    const fn colour(self) -> Colour {
        match self {
            Self::Plain => Colour::Ink,
            Self::Found => Colour::Found,
            Self::Wrong => Colour::Wrong,
        }
    }
}
