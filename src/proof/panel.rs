//! One page of a proof: its place, ruler, cut, boxes, and the notes beside it. Part of `proof`.

use super::layer::{Colour, EM, LINE, Layers, Pixels, wrap};
use super::{Boxed, MOST_BOXES, Panel, Tone};
use crate::inspect::Area;
use crate::plan::Shape;

/// Width of the column of notes, and between it and the page.
const NOTES: f64 = 300.0;
const BESIDE: f64 = 26.0;
/// Room for the ruler, left of the page and above it, and for the title.
const RULER: f64 = 34.0;
const TITLE: f64 = 26.0;
/// Paper shown beyond the cut or the bleed, in mm.
const PAPER: f64 = 1.5;
/// The pages together are as wide as this, if that makes neither dwarfs nor giants of them.
const ALL: f64 = 1500.0;

/// A page in its place on the canvas, in pixels.
pub struct Laid {
    /// Upper left corner of the trimmed page.
    pub corner: [f64; 2],
    pub right: f64,
    pub bottom: f64,
}

/// Pages are shown in no more pixels than this: 120 MB.
const MOST_PIXELS: f64 = 40e6;

/// So many pixels for a millimetre.
pub fn scale(panels: &[Panel]) -> f64 {
    let wide: f64 = panels.iter().map(|p| p.size[0].max(1.0)).sum();
    let high = panels.iter().map(|p| p.size[1]).fold(1.0, f64::max);
    let scale = (ALL / wide.max(1.0))
        .clamp(8.0, 14.0)
        .min(9000.0 / high)
        .min(12_000.0 / wide.max(1.0))
        .min((MOST_PIXELS / (wide.max(1.0) * high)).sqrt());
    // Rulers look even when a millimetre is a whole number of pixels.
    if scale > 2.0 { scale.floor() } else { scale }
}

/// Millimetres shown beyond the cut on each side.
pub fn around(panel: &Panel) -> f64 {
    panel.bleed.max(panel.paper).to_mm_f64().clamp(0.0, 50.0) + PAPER
}

/// Draws everything that belongs to one page.
pub fn lay(panel: &Panel, scale: f64, [x, y]: [f64; 2], layers: &mut Layers) -> Laid {
    let around = around(panel) * scale;
    let corner = [(x + RULER + around).round(), (y + TITLE + RULER + around).round()];
    let end = [corner[0] + panel.size[0] * scale, corner[1] + panel.size[1] * scale];
    layers.text(Colour::Ink, &panel.title, [x, y + 16.0], 16.0, true);
    ruler(panel, scale, corner, around, layers);
    let shape = |shape: Shape, by: f64, corner_mm: f64| Pixels {
        width: (shape.width().to_mm_f64() + 2.0 * by) * scale,
        height: (shape.height().to_mm_f64() + 2.0 * by) * scale,
        corner: (corner_mm + by).max(0.0) * scale,
    };
    let radius = |cut: Shape| match cut {
        Shape::Rectangle { .. } => f64::NEG_INFINITY,
        Shape::Rounded { corner, .. } => corner.to_mm_f64(),
        Shape::Circle { diameter } => diameter.to_mm_f64() / 2.0,
    };
    match panel.cut {
        Some(cut) => {
            let mut line = |by: f64, colour| {
                let pixels = shape(cut, by, radius(cut));
                layers.outline(colour, pixels, [corner[0] - by * scale, corner[1] - by * scale], 1.2);
            };
            let bleed = panel.bleed.to_mm_f64();
            if bleed > 0.0 && matches!(cut, Shape::Circle { .. }) {
                line(bleed, Colour::Bleed);
            }
            let edge = panel.free_edge.to_mm_f64();
            if edge > 0.0 && edge * 2.0 < panel.size[0].min(panel.size[1]) {
                line(-edge, Colour::Edge);
            }
            line(0.0, Colour::Cut);
            if bleed > 0.0 && !matches!(cut, Shape::Circle { .. }) {
                let by = bleed * scale;
                layers.frame(Colour::Bleed, [corner[0] - by, corner[1] - by, end[0] + by, end[1] + by], 1.2);
            }
        }
        None => layers.frame(Colour::Cut, [corner[0], corner[1], end[0], end[1]], 1.2),
    }
    for fold in &panel.folds {
        layers.dashes(Colour::Fold, corner[0] + fold.to_mm_f64() * scale, [corner[1], end[1]], 1.2);
    }
    let at = |mm: f64, n: usize| corner[n] + mm * scale;
    for hole in &panel.holes {
        let (disc, half) = (Shape::Circle { diameter: hole.diameter }, hole.diameter.to_mm_f64() / 2.0);
        let place = [at(hole.from_left.to_mm_f64() - half, 0), at(hole.from_top.to_mm_f64() - half, 1)];
        layers.outline(Colour::Cut, shape(disc, 0.0, radius(disc)), place, 1.2);
    }
    for (outline, [left, top]) in &panel.spots {
        layers.outline(Colour::Cut, shape(*outline, 0.0, radius(*outline)), [at(*left, 0), at(*top, 1)], 1.2);
    }
    let edge = end[0] + around;
    let (right, bottom) = notes(&panel.boxes, scale, corner, (y + TITLE + RULER, edge), layers);
    let title = x + super::layer::width(&panel.title, 16.0, true);
    Laid { corner, right: right.max(title), bottom: bottom.max(end[1] + around) }
}

/// Ticks at each millimetre, longer at each fifth, figures at each tenth.
fn ruler(panel: &Panel, scale: f64, corner: [f64; 2], around: f64, layers: &mut Layers) {
    let (left, top) = (corner[0] - around, corner[1] - around);
    for down in [false, true] {
        let size = panel.size[usize::from(down)].max(0.0);
        let mut mm = 0_u16;
        while f64::from(mm) <= size + 1e-6 && mm < 6000 {
            let at = corner[usize::from(down)] + f64::from(mm) * scale;
            let long = match mm {
                _ if mm.is_multiple_of(10) => 13.0,
                _ if mm.is_multiple_of(5) => 9.0,
                _ => 5.0,
            };
            let apart = scale >= 3.0 || mm.is_multiple_of(5);
            if apart {
                let tick = if down { [[left - long, at], [left, at]] } else { [[at, top - long], [at, top]] };
                layers.stroke(Colour::Ruler, &tick, 1.0);
            }
            if mm.is_multiple_of(10) {
                let text = mm.to_string();
                let wide = super::layer::width(&text, 12.0, false);
                let place = if down { [left - 16.0 - wide, at + 4.0] } else { [at - wide / 2.0, top - 17.0] };
                layers.text(Colour::Ruler, &text, place, 12.0, false);
            }
            mm += 1;
        }
    }
}

/// Boxes on the page, and their notes in a column right of it, in the order of their heights; returns where the column ends,
/// to the right and below.
fn notes(boxes: &[Boxed], scale: f64, corner: [f64; 2], (top, edge): (f64, f64), layers: &mut Layers) -> (f64, f64) {
    let mut order: Vec<&Boxed> = boxes.iter().filter(|b| b.areas.iter().all(sane)).take(MOST_BOXES).collect();
    let first = |b: &Boxed| b.areas.first().map_or(f64::INFINITY, |a| a.middle()[1]);
    // Of those on one line the one further left comes first.
    let place = |b: &Boxed| (first(b).round(), b.areas.first().map_or(0.0, |a| a.left));
    order.sort_by(|a, b| {
        let (a, b) = (place(a), place(b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let left = edge + BESIDE;
    let texts: Vec<Vec<String>> = order.iter().map(|b| wrap(&b.note.text, EM, false, NOTES)).collect();
    let tall = |lines: &Vec<String>| lines.iter().map(|_| LINE).sum::<f64>() + 5.0;
    // Each note as near to its box as those above leave room for; then those at the foot push the others up.
    let mut places: Vec<f64> = Vec::new();
    let mut free = top;
    for (boxed, lines) in order.iter().zip(&texts) {
        let wanted = if boxed.areas.is_empty() { free } else { corner[1] + first(boxed) * scale - LINE / 2.0 };
        places.push(wanted.max(free));
        free = wanted.max(free) + tall(lines);
    }
    let page = corner[1] * 2.0 - top + boxes_end(&order, scale);
    let mut limit = page.max(top + texts.iter().map(tall).sum::<f64>());
    for (place, lines) in places.iter_mut().zip(&texts).rev() {
        *place = place.min(limit - tall(lines)).max(top);
        limit = *place;
    }
    let (mut right, mut end) = (edge, top);
    for ((boxed, lines), y) in order.iter().zip(&texts).zip(places) {
        let colour = boxed.note.tone.colour();
        for a in &boxed.areas {
            let at = |mm: f64, n: usize| corner[n] + mm * scale;
            let frame = [at(a.left, 0) - 2.0, at(a.top, 1) - 2.0, at(a.right, 0) + 2.0, at(a.bottom, 1) + 2.0];
            layers.frame(Colour::Halo, frame, 3.6);
            layers.frame(colour, frame, 1.2);
        }
        if let Some(a) = boxed.areas.first() {
            let lead = if boxed.note.tone == Tone::Wrong { Colour::LeadWrong } else { Colour::Lead };
            // The line leaves at the foot of the box: on the words' middle it would strike out those that follow. Where boxed
            // words stand between it and the note it runs below them.
            let beside = |b: &Area| b.left > a.right && b.top < a.bottom && b.bottom > a.bottom;
            let below = order.iter().flat_map(|b| &b.areas).filter(|b| beside(b)).map(|b| b.bottom * scale + 3.0);
            let foot = a.bottom * scale + 2.0;
            let [x, last] = [a.right * scale + 2.0, panel_right(&order, scale)].map(|x| corner[0] + x);
            let [level, below] = [foot, below.fold(foot, f64::max)].map(|y| corner[1] + y);
            let note = y + LINE / 2.0;
            layers.stroke(lead, &[[x, level], [x, below], [last, below], [edge + 4.0, note], [left - 4.0, note]], 1.0);
        }
        for (n, line) in (0_u16..).zip(lines) {
            right = right.max(layers.text(colour, line, [left, y + 14.0 + f64::from(n) * LINE], EM, false));
        }
        end = end.max(y + tall(lines));
    }
    (right, end)
}

/// Height of the lowest box, in pixels from the page's upper edge.
fn boxes_end(boxes: &[&Boxed], scale: f64) -> f64 {
    boxes.iter().flat_map(|b| &b.areas).map(|a| a.bottom * scale).fold(0.0, f64::max)
}

/// Right edge of the box furthest to the right, in pixels from the page's left edge.
fn panel_right(boxes: &[&Boxed], scale: f64) -> f64 {
    boxes.iter().flat_map(|b| &b.areas).map(|a| a.right * scale).fold(0.0, f64::max) + 2.0
}

fn sane(a: &Area) -> bool {
    [a.left, a.top, a.right, a.bottom].iter().all(|v| v.is_finite() && v.abs() < 5000.0)
}
