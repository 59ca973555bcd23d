//! Sheet files: YAML a maker can copy, measure and change. First step of `sheet`.

use super::Sheet;
use crate::find::{Finding, Report, Source};
use crate::page::form::{A4, LETTER};
use crate::plan::{Shape, template};
use crate::unit::Length;
use crate::yaml::{self, At, Form, Node, Value, Words};
use std::sync::Arc;

/// The sheets built into the program: name and text.
pub const BUILT_IN: &[(&str, &str)] = &[
    ("a4-2x3", include_str!("../../sheets/a4-2x3.yaml")),
    ("a4-2x4-round", include_str!("../../sheets/a4-2x4-round.yaml")),
    ("a4-3x4", include_str!("../../sheets/a4-3x4.yaml")),
    ("a4-3x8", include_str!("../../sheets/a4-3x8.yaml")),
    ("letter-2x3-round", include_str!("../../sheets/letter-2x3-round.yaml")),
    ("letter-3x3", include_str!("../../sheets/letter-3x3.yaml")),
    ("letter-3x10", include_str!("../../sheets/letter-3x10.yaml")),
];

/// The most positions side by side or one below the other.
const MOST: u32 = 100;
/// Paper measures between these.
const PAPER: (Length, Length) = (Length::mm(30), Length::mm(1000));

/// The built-in sheet of this name.
#[must_use]
pub fn built_in(name: &str) -> Option<Arc<Source>> {
    let (name, text) = BUILT_IN.iter().find(|(n, _)| *n == name)?;
    Some(Arc::new(Source { name: format!("sheets/{name}.yaml"), text: (*text).to_owned() }))
}

/// Reads a sheet.
///
/// # Errors
/// Every fault found, with its place: among them positions that overlap or leave the paper.
pub fn read(source: &Arc<Source>) -> Result<Sheet, Vec<Finding>> {
    let report = Report::new();
    let node = yaml::read(source).map_err(|finding| vec![finding])?;
    match sheet(&node, &report) {
        Some(sheet) if !report.stops() => Ok(sheet),
        _ => Err(report.into_findings()),
    }
}

/// Paper known by name.
#[derive(Clone, Copy)]
enum Named {
    A4,
    Letter,
}

impl Words for Named {
    fn words() -> Vec<(&'static str, Self)> {
        vec![("A4", Self::A4), ("letter", Self::Letter)]
    }
}

const KEYS: &[&str] = &["sheet", "about", "paper", "columns", "rows", "shape", "margin", "pitch"];
const MARGIN_KEYS: &[&str] = &["left", "top"];
const PITCH_KEYS: &[&str] = &["across", "down"];

fn sheet(node: &Node, report: &Report) -> Option<Sheet> {
    let form = Form::open(node, "a sheet", KEYS, report)?;
    let name = form.need_text("sheet", "my-sheet");
    let paper = form.need("paper", "A4`, `letter` or `{width: 210 mm, height: 297 mm}").and_then(|n| paper(n, report));
    let counted = |key, example| form.need(key, example).and_then(|_| form.count(key, MOST));
    let (columns, rows) = (counted("columns", "3"), counted("rows", "8"));
    let shape = form.need("shape", "{rectangle: {width: 60 mm, height: 70 mm}}");
    let shape = shape.and_then(|n| Some((template::single(n, report)?, n)));
    let (left, top) = pair(&form, "margin", "a margin", MARGIN_KEYS, "{left: 11 mm, top: 5.5 mm}", report);
    let (across, down) = pair(&form, "pitch", "a pitch", PITCH_KEYS, "{across: 64 mm, down: 72 mm}", report);
    let ((width, height), (shape, outline)) = (paper?, shape?);
    let (columns, rows, left, top, across, down) = (columns?, rows?, left?, top?, across?, down?);
    for (count, pitch, size, word) in
        [(&columns, &across, shape.width(), "across"), (&rows, &down, shape.height(), "down")]
    {
        apart(count.value, pitch, size, word, outline, report);
    }
    for (count, pitch, margin, size, paper, word) in [
        (&columns, &across, &left, shape.width(), width, "right"),
        (&rows, &down, &top, shape.height(), height, "lower"),
    ] {
        let ends = margin.value + pitch.value * (i64::from(count.value) - 1) + size;
        on_paper(ends, paper, word, margin, pitch, report);
    }
    Some(Sheet {
        name: name?.value,
        about: form.text("about").map(|t| t.value).unwrap_or_default(),
        width,
        height,
        columns: columns.value,
        rows: rows.value,
        shape,
        left: left.value,
        top: top.value,
        across: across.value,
        down: down.value,
        place: form.place(),
    })
}

fn paper(node: &Node, report: &Report) -> Option<(Length, Length)> {
    let size = |shape: Shape| (shape.width(), shape.height());
    if !matches!(node.value, Value::Map(_)) {
        return node.word::<Named>(report).map(|named| match named.value {
            Named::A4 => size(A4),
            Named::Letter => size(LETTER),
        });
    }
    let form = Form::open(node, "paper", &["width", "height"], report)?;
    let side = |key| {
        let side = form.need_quantity::<Length>(key)?;
        let fits = (PAPER.0..=PAPER.1).contains(&side.value);
        if !fits {
            let message = format!("paper `{}` {key}", side.value);
            let cure = format!("paper measures between {} and {}", PAPER.0, PAPER.1);
            report.add(Finding::input("file/out-of-range", message, cure).at(&side.place, "here"));
        }
        fits.then_some(side.value)
    };
    let (width, height) = (side("width"), side("height"));
    Some((width?, height?))
}

/// Two lengths under one key.
fn pair(
    form: &Form<'_>,
    key: &str,
    what: &'static str,
    names: &[&'static str],
    example: &str,
    report: &Report,
) -> (Option<At<Length>>, Option<At<Length>>) {
    let Some(form) = form.need(key, example).and_then(|n| Form::open(n, what, names, report)) else {
        return (None, None);
    };
    (form.need_quantity(names[0]), form.need_quantity(names[1]))
}

/// Each position begins where the one before has ended, or later. A pitch of nothing is refused also where there is only one.
fn apart(count: u32, pitch: &At<Length>, size: Length, word: &str, outline: &Node, report: &Report) {
    let least = format!("the pitch is measured from one edge to the same edge of the next position: {size} or more");
    let finding = if pitch.value <= Length::ZERO {
        Finding::input("sheet/pitch", format!("a pitch {word} of nothing lays all positions on each other"), least)
    } else if count > 1 && pitch.value < size {
        let message = format!("positions overlap: each is {size} {word}, and the next begins after {}", pitch.value);
        Finding::input("sheet/overlap", message, least)
    } else {
        return;
    };
    report.add(finding.at(&pitch.place, "this pitch").at(&outline.place, "this position"));
}

fn on_paper(ends: Length, paper: Length, word: &str, margin: &At<Length>, pitch: &At<Length>, report: &Report) {
    if ends <= paper {
        return;
    }
    let over = (ends - paper).least_in_mm(2);
    let message = format!("the last position ends {over} beyond the {word} edge of the paper");
    let cure = "measure margin and pitch again, count columns and rows, and look at the paper's size";
    report.add(
        Finding::input("sheet/off-paper", message, cure)
            .at(&margin.place, "this margin")
            .at(&pitch.place, "this pitch"),
    );
}

#[cfg(test)]
mod tests {
    use super::{BUILT_IN, built_in, read};
    use crate::find::Source;
    use crate::unit::Length;
    use std::sync::Arc;

    #[test]
    fn built_in_sheets_read_without_fault_and_lie_in_the_middle_of_their_paper() {
        for (name, _) in BUILT_IN {
            let sheet = read(&built_in(name).unwrap()).unwrap();
            assert_eq!(sheet.name, *name);
            let (x, y) = sheet.position(sheet.positions()).unwrap();
            let right = sheet.width - x - sheet.shape.width();
            let foot = sheet.height - y - sheet.shape.height();
            assert!((right - sheet.left).to_mm_f64().abs() < 0.01, "{name}: {right} at the right");
            assert!((foot - sheet.top).to_mm_f64().abs() < 0.51, "{name}: {foot} at the foot");
        }
    }

    fn changed(from: &str, to: &str) -> Vec<String> {
        let text = built_in("a4-3x4").unwrap().text.replace(from, to);
        let found = read(&Arc::new(Source { name: "s.yaml".into(), text })).err().unwrap_or_default();
        found.into_iter().map(|f| f.id).collect()
    }

    /// By hand: three columns of 60 mm fill 188 mm at a pitch of 64 mm, so on 210 mm the margin may be 22 mm and no more.
    #[test]
    fn the_last_position_may_end_at_the_edge_and_not_beyond() {
        assert_eq!(changed("left: 11 mm", "left: 22 mm"), Vec::<String>::new());
        assert_eq!(changed("left: 11 mm", "left: 22.01 mm"), ["sheet/off-paper"]);
        assert_eq!(changed("top: 5.5 mm", "top: 11.01 mm"), ["sheet/off-paper"]);
        assert_eq!(changed("rows: 4", "rows: 5"), ["sheet/off-paper"]);
    }

    #[test]
    fn positions_may_touch_and_not_overlap() {
        assert_eq!(changed("across: 64 mm", "across: 60 mm"), Vec::<String>::new());
        assert_eq!(changed("across: 64 mm", "across: 59.99 mm"), ["sheet/overlap"]);
        assert_eq!(changed("down: 72 mm", "down: 0 mm"), ["sheet/pitch"]);
        assert_eq!(changed("columns: 3", "columns: 0"), ["file/wrong-number"]);
        assert_eq!(changed("paper: A4", "paper: {width: 2 m, height: 297 mm}"), ["file/out-of-range"]);
    }

    #[test]
    fn a_sheet_that_is_too_short_is_told_with_what_it_lacks() {
        assert_eq!(changed("paper: A4\n", ""), ["file/missing-key"]);
        assert_eq!(changed("paper: A4", "paper: A3"), ["file/wrong-word"]);
        let sheet = read(&built_in("letter-3x3").unwrap()).unwrap();
        assert_eq!((sheet.width, sheet.height), (Length::um(215_900), Length::um(279_400)));
    }
}
