//! The colour under a part, and the white fields on it for what is always printed in black on white. Part of `page`.

use super::block::Piece;
use super::draw::{Drawn, ink, path_ink, rounded};
use super::outline::Area;
use super::part::{Ready, Row};
use super::{Ink, Page, Paint, Path, Placed, Point, Ring, Segment};
use crate::plan::{Printed, Shape};
use crate::unit::Length;

/// White round the ink on a field, at the sides and above.
const ROUND: (Length, Length) = (Length::um(1300), Length::um(900));
/// Rows further apart have fields of their own.
const APART: Length = Length::um(4000);
/// Radius of a field's corners.
const CORNER: Length = Length::um(800);

/// The ground in its colour with white fields; nothing where the ground is white paper.
pub(super) fn ground(ready: &Ready, drawn: &Drawn) -> Vec<Placed> {
    let Some(colour) = ready.part.ground else { return Vec::new() };
    let fill = |ring: Ring, ink: Ink| Placed::Path(Path { rings: vec![ring], paint: Paint::Fill(ink) });
    let mut items = vec![fill(outline(ready.part.shape), Ink::Own(colour))];
    let mut fields: Vec<Area> = Vec::new();
    // Whether the row before ended in a field that the next may share.
    let mut open = false;
    for row in ready.head.iter().chain(&ready.foot) {
        let cells: Vec<usize> = row.cells.iter().filter(|c| c.on_white).map(|c| c.number).collect();
        let here = drawn.marks.iter().filter(|m| cells.contains(&m.owner.0)).flat_map(|m| match &m.placed {
            Placed::Text(text) => ink(text).into_iter().collect(),
            Placed::Path(path) => path_ink(path),
        });
        let quiet = drawn.reserved.iter().filter(|r| cells.contains(&r.owner.0));
        let quiet = quiet.filter_map(|r| if words(row, r.owner) { inside(ready, r.area) } else { Some(r.area) });
        let area = here.chain(quiet).reduce(around);
        // A letter of a colour of its own stands on the ground, and no field grows over it.
        let whole = cells.len() == row.cells.len();
        match (area, fields.last_mut()) {
            (None, _) => {}
            // Rows that follow each other closely share a field.
            (Some(area), Some(field)) if open && whole && area.top - field.bottom <= APART => {
                *field = around(*field, area);
            }
            (Some(area), _) => fields.push(area),
        }
        open = area.is_some() && whole;
    }
    items.extend(fields.into_iter().map(|f| fill(rounded(f.grown(ROUND.0, ROUND.1), CORNER), Ink::White)));
    items
}

/// The page with the ground of each of its faces running on for `bleed` beyond the cut, so that a knife that wanders leaves
/// no white edge; a disc stays a disc, everything else fills the box of the bleed. Where faces meet, nothing changes.
#[must_use]
pub fn bled(mut page: Page, printed: &Printed<'_>, bleed: Length) -> Page {
    if bleed <= Length::ZERO {
        return page;
    }
    let beyond = printed.faces.iter().filter_map(|face| {
        let colour = face.ground?;
        let (width, height) = (printed.shape.width(), printed.shape.height());
        let left = face.piece.as_ref().map_or(Length::ZERO, |on| on.left);
        let right = left + face.shape.width();
        let area = Area {
            left: if left <= Length::ZERO { -bleed } else { left },
            top: -bleed,
            right: if right >= width { width + bleed } else { right },
            bottom: height + bleed,
        };
        let radius = match printed.shape {
            Shape::Circle { diameter } => diameter / 2 + bleed,
            Shape::Rectangle { .. } | Shape::Rounded { .. } => Length::ZERO,
        };
        Some(Placed::Path(Path { rings: vec![cornered(area, radius)], paint: Paint::Fill(Ink::Own(colour)) }))
    });
    let items = beyond.chain(std::mem::take(&mut page.items)).collect();
    Page { items, ..page }
}

/// A box with or without round corners.
fn cornered(area: Area, radius: Length) -> Ring {
    if radius > Length::ZERO {
        return rounded(area, radius);
    }
    let at = |x, y| Point { x, y };
    let to = [at(area.right, area.top), at(area.right, area.bottom), at(area.left, area.bottom)];
    Ring { start: at(area.left, area.top), to: to.map(Segment::Line).to_vec(), closed: true }
}

/// Whether what is reserved goes round words, not round a code or a picture.
fn words(row: &Row, owner: (usize, Option<usize>)) -> bool {
    let block = row.cells.iter().find(|c| c.number == owner.0).map(|c| &c.block);
    let piece = owner.1.and_then(|n| block?.pieces.get(n));
    matches!(piece, Some(Piece::Words(_)))
}

/// What of a space that must stay free lies within the margins: the ground at the edge is no printed matter.
fn inside(ready: &Ready, area: Area) -> Option<Area> {
    let (top, bottom) = (area.top.max(ready.outline.top()), area.bottom.min(ready.outline.bottom()));
    let (left, right) = ready.outline.chord(top, bottom)?;
    let area = Area { left: area.left.max(left), top, right: area.right.min(right), bottom };
    (area.left < area.right && area.top < area.bottom).then_some(area)
}

fn around(a: Area, b: Area) -> Area {
    Area {
        left: a.left.min(b.left),
        top: a.top.min(b.top),
        right: a.right.max(b.right),
        bottom: a.bottom.max(b.bottom),
    }
}

/// The outline of a shape, clockwise from its left or upper left.
#[must_use]
pub fn outline(shape: Shape) -> Ring {
    let (width, height) = (shape.width(), shape.height());
    let whole = Area { left: Length::ZERO, top: Length::ZERO, right: width, bottom: height };
    match shape {
        Shape::Rectangle { .. } => cornered(whole, Length::ZERO),
        Shape::Rounded { corner, .. } => rounded(whole, corner),
        Shape::Circle { diameter } => rounded(whole, diameter / 2),
    }
}
