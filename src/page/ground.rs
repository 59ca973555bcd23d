//! The colour under a part, and the white fields on it for what is always printed in black on white. Part of `page`.

use super::draw::{Drawn, ink, path_ink, rounded};
use super::outline::Area;
use super::part::Ready;
use super::{Ink, Paint, Path, Placed, Point, Ring, Segment};
use crate::plan::Shape;
use crate::unit::Length;

/// White round the ink on a field, at the sides and above.
const ROUND: (Length, Length) = (Length::um(1300), Length::um(900));
/// Radius of a field's corners.
const CORNER: Length = Length::um(800);

/// The ground in its colour with white fields; nothing where the ground is white paper.
pub(super) fn ground(ready: &Ready, drawn: &Drawn) -> Vec<Placed> {
    let Some(colour) = ready.part.ground else { return Vec::new() };
    let fill = |ring: Ring, ink: Ink| Placed::Path(Path { rings: vec![ring], paint: Paint::Fill(ink) });
    let mut items = vec![fill(outline(ready.part.shape), Ink::Own(colour))];
    let (mut field, mut fields): (Option<Area>, Vec<Area>) = (None, Vec::new());
    for row in ready.head.iter().chain(&ready.foot) {
        let cells: Vec<usize> = row.cells.iter().filter(|c| c.on_white).map(|c| c.number).collect();
        let here = drawn.marks.iter().filter(|m| cells.contains(&m.owner.0)).flat_map(|m| match &m.placed {
            Placed::Text(text) => ink(text).into_iter().collect(),
            Placed::Path(path) => path_ink(path),
        });
        let quiet = drawn.reserved.iter().filter(|r| cells.contains(&r.owner.0)).map(|r| r.area);
        match here.chain(quiet).reduce(around) {
            // Rows that follow each other share a field.
            Some(area) => field = Some(field.map_or(area, |f| around(f, area))),
            None => fields.extend(field.take()),
        }
    }
    fields.extend(field);
    items.extend(fields.into_iter().map(|f| fill(rounded(f.grown(ROUND.0, ROUND.1), CORNER), Ink::White)));
    items
}

fn around(a: Area, b: Area) -> Area {
    Area {
        left: a.left.min(b.left),
        top: a.top.min(b.top),
        right: a.right.max(b.right),
        bottom: a.bottom.max(b.bottom),
    }
}

/// The outline of a shape, clockwise.
fn outline(shape: Shape) -> Ring {
    let (width, height) = (shape.width(), shape.height());
    let whole = Area { left: Length::ZERO, top: Length::ZERO, right: width, bottom: height };
    match shape {
        Shape::Rectangle { .. } => {
            let to = [(width, Length::ZERO), (width, height), (Length::ZERO, height)];
            let to = to.into_iter().map(|(x, y)| Segment::Line(Point { x, y })).collect();
            Ring { start: Point { x: Length::ZERO, y: Length::ZERO }, to, closed: true }
        }
        Shape::Rounded { corner, .. } => rounded(whole, corner),
        Shape::Circle { diameter } => rounded(whole, diameter / 2),
    }
}
