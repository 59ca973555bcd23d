//! Labels into the positions of sheets, from any start. Part of `sheet`.

use super::{Leaf, Sheet, Spot};
use crate::find::Finding;
use crate::plan::Shape;
use crate::unit::Length;

/// What is printed: how many of which part.
#[derive(Debug, Clone, Copy)]
pub struct Job<'a> {
    /// Its name, for messages.
    pub name: &'a str,
    /// Which part of the label, from 0.
    pub part: usize,
    /// Its outline.
    pub shape: Shape,
    /// Nothing is printed nearer to its edge.
    pub margin: Length,
    /// The first position to use, from 1.
    pub start: u32,
    /// How many.
    pub count: u32,
}

/// Fills sheets, the first one from its position `start` on, each label in the middle of its position.
///
/// # Errors
/// When the sheet has no such position, or the label is larger than a position.
pub fn fill(sheet: &Sheet, job: &Job<'_>) -> Result<Vec<Leaf>, Finding> {
    if sheet.position(job.start).is_none() {
        let message =
            format!("position {} is asked for, and the sheet `{}` has {}", job.start, sheet.name, sheet.positions());
        let cure =
            format!("begin at a position from 1 to {}, counted row by row from the upper left", sheet.positions());
        return Err(Finding::input("sheet/start", message, cure).at(&sheet.place, "this sheet"));
    }
    fits(sheet, job)?;
    let (dx, dy) = ((sheet.shape.width() - job.shape.width()) / 2, (sheet.shape.height() - job.shape.height()) / 2);
    let mut leaves: Vec<Leaf> = Vec::new();
    for unit in 0..job.count {
        let n = (job.start - 1 + unit) % sheet.positions() + 1;
        if unit == 0 || n == 1 {
            leaves.push(sheet.leaf());
        }
        if let (Some((left, top)), Some(leaf)) = (sheet.position(n), leaves.last_mut()) {
            let position = Some(n);
            leaf.spots.push(Spot { part: job.part, unit, position, left: left + dx, top: top + dy });
        }
    }
    Ok(leaves)
}

impl Sheet {
    fn leaf(&self) -> Leaf {
        let (width, height) = (self.width, self.height);
        let sheet = Some(self.name.clone());
        Leaf { width, height, edge: Length::ZERO, bleed: Length::ZERO, marks: Vec::new(), sheet, spots: Vec::new() }
    }
}

/// The label's box lies in the position's; where the position is cut round, so does all that may be printed on.
fn fits(sheet: &Sheet, job: &Job<'_>) -> Result<(), Finding> {
    let (position, label) = (sheet.shape, job.shape);
    let inside = label.width() <= position.width() && label.height() <= position.height();
    let reached = match label {
        // A disc in a box of its size touches only the middles of the sides.
        Shape::Circle { diameter } => position.width().min(position.height()) >= diameter,
        _ => reaches(position, label, job.margin),
    };
    if inside && reached {
        return Ok(());
    }
    let message = format!(
        "the part `{}` measures {}, and a position of the sheet `{}` {}",
        job.name,
        measures(label),
        sheet.name,
        measures(position)
    );
    let cure = "print one part with `--part`, name a sheet for each (`--sheet front=a4-3x4 --sheet base=a4-2x4-round`), or one with larger positions";
    Err(Finding::input("sheet/label-too-large", message, cure).at(&sheet.place, "this sheet"))
}

/// Whether the corners of what may be printed on lie in the position, the label in its middle.
#[expect(clippy::cast_precision_loss, reason = "lengths are far below 2^52")]
fn reaches(position: Shape, label: Shape, margin: Length) -> bool {
    let half = |length: Length| length.to_raw() as f64 / 2.0;
    let (x, y) = (half(label.width() - margin * 2), half(label.height() - margin * 2));
    let round = match position {
        Shape::Circle { diameter } => half(diameter),
        Shape::Rounded { corner, .. } => half(corner * 2),
        Shape::Rectangle { .. } => return true,
    };
    let (dx, dy) = (x - (half(position.width()) - round), y - (half(position.height()) - round));
    dx <= 0.0 || dy <= 0.0 || dx.hypot(dy) <= round
}

fn measures(shape: Shape) -> String {
    match shape {
        Shape::Circle { diameter } => format!("{diameter} across (round)"),
        _ => format!("{} x {}", shape.width(), shape.height()),
    }
}

#[cfg(test)]
mod tests {
    use super::{Job, fill};
    use crate::plan::Shape;
    use crate::sheet::{Sheet, built_in, read};
    use crate::unit::Length;

    fn sheet(name: &str) -> Sheet {
        read(&built_in(name).unwrap()).unwrap()
    }

    fn job(shape: Shape, start: u32, count: u32) -> Job<'static> {
        Job { name: "front", part: 0, shape, margin: Length::mm(3), start, count }
    }

    const FRONT: Shape = Shape::Rectangle { width: Length::mm(60), height: Length::mm(70) };

    /// Counted on fingers: six positions are left from the seventh of twelve, so 24 labels take 6, 12 and 6.
    #[test]
    fn a_part_used_sheet_is_filled_up_and_others_follow() {
        let leaves = fill(&sheet("a4-3x4"), &job(FRONT, 7, 24)).unwrap();
        assert_eq!(leaves.iter().map(|l| l.spots.len()).collect::<Vec<_>>(), [6, 12, 6]);
        let (first, second) = (leaves[0].spots[0], leaves[1].spots[0]);
        assert_eq!((first.left, first.top, first.unit), (Length::mm(11), Length::um(149_500), 0));
        assert_eq!((second.left, second.top, second.unit), (Length::mm(11), Length::um(5_500), 6));
        assert_eq!(leaves[2].spots[5].unit, 23);
    }

    /// By hand: 63 - 60 = 3 mm and 84 - 70 = 14 mm, half of it on each side.
    #[test]
    fn a_smaller_label_stands_in_the_middle() {
        let leaves = fill(&sheet("letter-3x3"), &job(FRONT, 2, 1)).unwrap();
        let spot = leaves[0].spots[0];
        assert_eq!((spot.left, spot.top), (Length::um(10_450 + 66_000 + 1_500), Length::um(11_700 + 7_000)));
    }

    #[test]
    fn a_start_past_the_end_and_a_label_too_large_are_refused() {
        assert!(fill(&sheet("a4-3x4"), &job(FRONT, 12, 1)).is_ok());
        for start in [0, 13] {
            assert_eq!(fill(&sheet("a4-3x4"), &job(FRONT, start, 1)).unwrap_err().id, "sheet/start");
        }
        let wide = Shape::Rectangle { width: Length::um(60_001), height: Length::mm(70) };
        assert_eq!(fill(&sheet("a4-3x4"), &job(wide, 1, 1)).unwrap_err().id, "sheet/label-too-large");
    }

    /// Pythagoras: 42 x 56 mm of print have a diagonal of 70 mm; with the margin of 3 mm the label is 48 x 62 mm.
    #[test]
    fn what_is_printed_must_lie_in_a_round_position() {
        let mut round = sheet("letter-2x3-round");
        let label = Shape::Rectangle { width: Length::mm(48), height: Length::mm(62) };
        round.shape = Shape::Circle { diameter: Length::mm(70) };
        assert!(fill(&round, &job(label, 1, 1)).is_ok());
        round.shape = Shape::Circle { diameter: Length::um(69_900) };
        assert_eq!(fill(&round, &job(label, 1, 1)).unwrap_err().id, "sheet/label-too-large");
    }
}
