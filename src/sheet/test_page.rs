//! The test page: two rulers and how to read them, and the outlines of a sheet's positions. Part of `sheet`.

use super::{ACROSS, Correction, DOWN, ORIGIN, Sheet};
use crate::find::Finding;
use crate::font::FaceId;
use crate::page::{Ink, Page, Paint, Path, Placed, Point, Ring, Segment, Text};
use crate::plan::Shape;
use crate::unit::Length;

/// Width of the rulers' lines.
const LINE: Length = Length::um(150);
/// A quarter of a circle as a curve: the share of the radius its control points stand off (0.5523, from memory).
const ROUND: (i64, i64) = (5523, 10_000);

/// Sets the page for a paper, with the outlines of a sheet's positions where they will be printed.
///
/// # Errors
/// When the paper is too small for the rulers.
pub fn test_page(paper: Shape, sheet: Option<(&Sheet, Correction)>) -> Result<Page, Finding> {
    let (width, height) = (paper.width(), paper.height());
    if width < ORIGIN * 2 + ACROSS || height < ORIGIN * 2 + DOWN {
        let message = format!("the rulers of the test page do not fit on paper of {width} x {height}");
        let cure = "print it on letter or A4: a printer's error belongs to the printer, not to the paper";
        return Err(Finding::input("sheet/test-page", message, cure));
    }
    let mut items = Vec::new();
    if let Some((sheet, correction)) = sheet {
        outlines(sheet, correction, &mut items);
    }
    ruler(ACROSS, |along, off| Point { x: ORIGIN + along, y: ORIGIN + off }, &mut items);
    ruler(DOWN, |along, off| Point { x: ORIGIN + off, y: ORIGIN + along }, &mut items);
    numbers(&mut items);
    words(sheet.map(|(s, _)| s), &mut items);
    Ok(Page { part: "test page".to_owned(), trim: paper, items })
}

fn line(from: Point, to: Point) -> Ring {
    Ring { start: from, to: vec![Segment::Line(to)], closed: false }
}

/// A line with a tick for each millimetre, longer ones at five and ten.
fn ruler(long: Length, at: impl Fn(Length, Length) -> Point, items: &mut Vec<Placed>) {
    let mut rings = vec![line(at(Length::ZERO, Length::ZERO), at(long, Length::ZERO))];
    for mm in 0..=long.to_raw() / Length::mm(1).to_raw() {
        let tick = match mm {
            n if n % 10 == 0 => Length::mm(5),
            n if n % 5 == 0 => Length::um(3500),
            _ => Length::mm(2),
        };
        rings.push(line(at(Length::mm(mm), Length::ZERO), at(Length::mm(mm), tick)));
    }
    items.push(Placed::Path(Path { rings, paint: Paint::Stroke(Ink::Black, LINE) }));
}

fn text(words: impl Into<String>, bold: bool, size: Length, x: Length, baseline: Length) -> Placed {
    let face = if bold { FaceId::NormalBold } else { FaceId::Normal };
    Placed::Text(Text { text: words.into(), face, size, x, baseline, ink: Ink::Black })
}

fn numbers(items: &mut Vec<Placed>) {
    let size = Length::mm(3);
    // Half the width of one, two and three figures at this size, so that each stands in the middle of its tick.
    let half = [Length::um(780), Length::um(1560), Length::um(2340)];
    for mm in (10..=150).step_by(10) {
        let x = ORIGIN + Length::mm(mm) - half[mm.to_string().len() - 1];
        items.push(text(mm.to_string(), false, size, x, ORIGIN + Length::um(8600)));
    }
    for mm in (10..=200).step_by(10) {
        let baseline = ORIGIN + Length::mm(mm) + Length::um(1100);
        items.push(text(mm.to_string(), false, size, ORIGIN + Length::mm(6), baseline));
    }
}

/// What the maker does with it.
const STEPS: [&str; 10] = [
    "1. Print this page at 100 %, without fitting it to the paper. Use the paper the labels will be on.",
    "2. Measure from the left edge of the paper to the line at 0 of the ruler across. It was drawn at 20 mm.",
    "3. Measure the ruler across from 0 to 150 with a steel rule, as exactly as you can read it.",
    "4. Do the same downwards: from the upper edge to the line at 0, and the ruler down from 0 to 200.",
    "5. Write the four figures into workshop.yaml, for example:",
    "printer:",
    "  across: {starts at: 20.6 mm, measures: 150.3 mm}",
    "  down: {starts at: 19.4 mm, measures: 199.8 mm}",
    "Sheets are then drawn so that labels come out in their places and at their size. The rulers of",
    "this page are never corrected: they show what the printer does.",
];

fn words(sheet: Option<&Sheet>, items: &mut Vec<Placed>) {
    let x = ORIGIN + Length::mm(20);
    let mut baseline = ORIGIN + Length::mm(26);
    if sheet.is_some() {
        // No outline runs through the words.
        let at = |x: i64, y: i64| Point { x: ORIGIN + Length::mm(x), y: ORIGIN + Length::mm(y) };
        let to = [at(168, 17), at(168, 107), at(17, 107)].map(Segment::Line).to_vec();
        let rings = vec![Ring { start: at(17, 17), to, closed: true }];
        items.push(Placed::Path(Path { rings, paint: Paint::Fill(Ink::White) }));
    }
    items.push(text("Test page: where and how large this printer prints", true, Length::um(5500), x, baseline));
    baseline = baseline + Length::mm(9);
    for step in STEPS {
        let indent = if step.starts_with("  ") { Length::mm(10) } else { Length::mm(0) };
        let indent = if step == "printer:" { Length::mm(6) } else { indent };
        items.push(text(step.trim(), false, Length::um(3400), x + indent, baseline));
        baseline = baseline + Length::mm(6);
    }
    if let Some(sheet) = sheet {
        let words = format!(
            "Grey outlines: the positions of the sheet {}, corrected as labels are. Hold this page and",
            sheet.name
        );
        for line in [words.as_str(), "an empty sheet against the light: they should lie on each other."] {
            items.push(text(line, false, Length::um(3400), x, baseline));
            baseline = baseline + Length::mm(6);
        }
    }
}

/// Each position's outline and, in its upper left, its number.
fn outlines(sheet: &Sheet, correction: Correction, items: &mut Vec<Placed>) {
    let mut rings = Vec::new();
    for n in 1..=sheet.positions() {
        let Some((left, top)) = sheet.position(n) else { continue };
        rings.push(outline(sheet.shape, left, top, correction));
        let (x, y) = (correction.across.drawn(left), correction.down.drawn(top));
        let round = matches!(sheet.shape, Shape::Circle { .. });
        let (dx, dy) = if round {
            (sheet.shape.width() / 2 - Length::mm(2), Length::mm(7))
        } else {
            (Length::mm(2), Length::um(4500))
        };
        let (size, ink) = (Length::um(3400), Ink::Grey(55));
        let number = Text { text: n.to_string(), face: FaceId::Normal, size, x: x + dx, baseline: y + dy, ink };
        items.push(Placed::Text(number));
    }
    items.push(Placed::Path(Path { rings, paint: Paint::Stroke(Ink::Grey(45), LINE) }));
}

/// The outline of a position, drawn as it has to be to come out right.
fn outline(shape: Shape, left: Length, top: Length, correction: Correction) -> Ring {
    let at = |x: Length, y: Length| Point { x: correction.across.drawn(left + x), y: correction.down.drawn(top + y) };
    let (zero, width, height) = (Length::ZERO, shape.width(), shape.height());
    let round = match shape {
        Shape::Circle { diameter } => diameter / 2,
        Shape::Rounded { corner, .. } => corner,
        Shape::Rectangle { .. } => zero,
    };
    if round == zero {
        let to = [at(width, zero), at(width, height), at(zero, height)].map(Segment::Line).to_vec();
        return Ring { start: at(zero, zero), to, closed: true };
    }
    // Where the control points of a corner's curve stand.
    let near = round - round.times_ratio(ROUND.0, ROUND.1);
    let to = vec![
        Segment::Line(at(width - round, zero)),
        Segment::Curve(at(width - near, zero), at(width, near), at(width, round)),
        Segment::Line(at(width, height - round)),
        Segment::Curve(at(width, height - near), at(width - near, height), at(width - round, height)),
        Segment::Line(at(round, height)),
        Segment::Curve(at(near, height), at(zero, height - near), at(zero, height - round)),
        Segment::Line(at(zero, round)),
        Segment::Curve(at(zero, near), at(near, zero), at(round, zero)),
    ];
    Ring { start: at(round, zero), to, closed: true }
}

#[cfg(test)]
mod tests {
    use super::test_page;
    use crate::page::form::{A4, LETTER};
    use crate::page::{Paint, Placed, Segment};
    use crate::plan::Shape;
    use crate::unit::Length;

    #[test]
    fn the_rulers_are_as_long_as_they_say_and_begin_at_20_mm() {
        for paper in [A4, LETTER] {
            let page = test_page(paper, None).unwrap();
            let rulers: Vec<_> = page
                .items
                .iter()
                .filter_map(|i| match i {
                    Placed::Path(path) if matches!(path.paint, Paint::Stroke(..)) => Some(&path.rings),
                    _ => None,
                })
                .collect();
            let ends: Vec<_> = rulers
                .iter()
                .map(|rings| {
                    let Segment::Line(end) = rings[0].to[0] else { unreachable!() };
                    (rings[0].start, end, rings.len())
                })
                .collect();
            for (start, _, _) in &ends {
                assert_eq!((start.x, start.y), (Length::mm(20), Length::mm(20)));
            }
            assert_eq!((ends[0].1.x, ends[0].1.y, ends[0].2), (Length::mm(170), Length::mm(20), 152));
            assert_eq!((ends[1].1.x, ends[1].1.y, ends[1].2), (Length::mm(20), Length::mm(220), 202));
        }
    }

    #[test]
    fn paper_too_small_for_the_rulers_is_refused() {
        let small = Shape::Rectangle { width: Length::mm(148), height: Length::mm(210) };
        assert_eq!(test_page(small, None).unwrap_err().id, "sheet/test-page");
    }
}
