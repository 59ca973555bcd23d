//! Reads the parts of a template: shapes, faces, holes, rows. Part of `plan`, called by `template`.

use super::strip::{self, Strip};
use super::{Languages, TemplateCell, TemplatePart, TemplateRow};
use crate::find::{Finding, Report};
use crate::plan::{Align, Colour, Hole, Shape};
use crate::trade::BlockName;
use crate::unit::Length;
use crate::yaml::{At, Form, Node, Words};

const PART_KEYS: &[&str] =
    &["part", "principal", "bottom", "shape", "margin", "hole", "ground", "inside", "rows", "faces"];
const FACE_KEYS: &[&str] = &["face", "width", "principal", "margin", "hole", "ground", "rows"];
/// Free edge where none is given.
const MARGIN: Length = Length::um(2500);

/// Reads a part: one printed piece, or the faces of one.
pub(super) fn read(node: &Node, report: &Report) -> Option<Vec<TemplatePart>> {
    let form = Form::open(node, "a part", PART_KEYS, report)?;
    let name = form.need_text("part", "front");
    let shape =
        form.need("shape", "{rounded: {width: 60 mm, height: 70 mm, corner: 3 mm}}").and_then(|n| shape(n, report))?;
    match shape {
        Outline::One(shape) => {
            let _ = form.need("rows", "[{block: identity, align: centre}]");
            if let Some(faces) = form.get("faces") {
                let cure = "give the part the shape `strip` or `wrap`, or write its rows under `rows`";
                let message = "only a strip or a wrap has faces side by side";
                report.add(Finding::input("template/faces", message, cure).at(&faces.place, "here"));
                return None;
            }
            Some(vec![piece(&form, name?.value, shape, None, report)?])
        }
        Outline::Strip(strip) => faces(&form, &name?.value, &strip, report),
    }
}

/// The faces of a strip, from left to right.
fn faces(form: &Form<'_>, name: &str, strip: &Strip, report: &Report) -> Option<Vec<TemplatePart>> {
    let _ = form.need("faces", "[{face: front, width: 60 mm, principal: yes, rows: [{block: identity}]}]")?;
    if let Some(rows) = form.get("rows") {
        let message = "a strip or a wrap has its rows on its faces";
        let cure = "write `rows` under each of `faces`";
        report.add(Finding::input("template/faces", message, cure).at(&rows.place, "here"));
        return None;
    }
    let inside = form.yes_no("inside").unwrap_or(false);
    let nodes = form.list("faces");
    if !few(nodes, MOST_PARTS, "faces", report) {
        return None;
    }
    let mut parts = Vec::new();
    for node in nodes {
        let Some(face) = Form::open(node, "a face", FACE_KEYS, report) else { continue };
        let Some(face_name) = face.need_text("face", "front") else { continue };
        let width = if strip.goes_round() && face.get("width").is_none() {
            None
        } else {
            let Some(width) = side(&face, "width", report) else { continue };
            Some(width)
        };
        let on = strip.face(name, width);
        let shape = Shape::Rectangle { width: width.unwrap_or(Strip::NOMINAL), height: strip.height };
        let Some(mut part) = piece(&face, face_name.value, shape, Some(on), report) else { continue };
        part.inside = inside;
        part.margin = if face.get("margin").is_some() {
            part.margin
        } else {
            form.quantity::<Length>("margin").map_or(MARGIN, |m| m.value)
        };
        parts.push(part);
    }
    if parts.len() < nodes.len() {
        return None;
    }
    strip::place(&mut parts);
    Some(parts)
}

/// What a part and a face have in common.
fn piece(form: &Form<'_>, name: String, shape: Shape, strip: Option<Strip>, report: &Report) -> Option<TemplatePart> {
    let margin = form.quantity::<Length>("margin").map_or(MARGIN, |m| m.value);
    if !few(form.list("rows"), MOST_ROWS, "rows", report) {
        return None;
    }
    let rows: Vec<TemplateRow> = form.list("rows").iter().filter_map(|n| row(n, report)).collect();
    let hole = match form.get("hole") {
        Some(node) => Some(hole(node, shape, report)?),
        None => None,
    };
    let ground = match form.get("ground") {
        Some(node) => Some(colour(node, report)?.value),
        None => None,
    };
    if margin * 2 >= shape.width().min(shape.height()) {
        report.add(
            Finding::input(
                "template/margin",
                format!("a margin of {margin} leaves nothing to print on"),
                "make the margin smaller, usually 2 to 4 mm",
            )
            .at(&form.place(), "in this part"),
        );
        return None;
    }
    Some(TemplatePart {
        principal: form.yes_no("principal").unwrap_or(false),
        // Only a part has this key; a face goes round the side.
        bottom: strip.is_none() && form.yes_no("bottom").unwrap_or(matches!(name.as_str(), "base" | "bottom")),
        name,
        shape,
        margin,
        hole,
        ground,
        // Only a part has this key; a face is told by its part.
        inside: strip.is_none() && form.yes_no("inside").unwrap_or(false),
        strip,
        rows,
        place: form.place(),
    })
}

/// A colour as `"#1f3a5f"`.
fn colour(node: &Node, report: &Report) -> Option<At<Colour>> {
    let text = node.text(report)?;
    let Some(value) = Colour::parse(&text.value) else {
        let message = format!("`{}` is not a colour", text.value);
        let cure = "write a hash and six digits in quotes, two each for red, green and blue: `\"#1f3a5f\"`";
        report.add(Finding::input("template/colour", message, cure).at(&text.place, "here"));
        return None;
    };
    Some(At { value, place: text.place })
}

/// A hole: inside the part, and near enough to one edge that the rest stays whole.
fn hole(node: &Node, shape: Shape, report: &Report) -> Option<Hole> {
    let form = Form::open(node, "a hole", &["diameter", "from left", "from top", "clear"], report)?;
    let diameter = form.need_quantity::<Length>("diameter");
    let from_top = form.need_quantity::<Length>("from top");
    let from_left = form.quantity::<Length>("from left").map_or(shape.width() / 2, |l| l.value);
    let clear = form.quantity::<Length>("clear").map_or(Length::mm(2), |l| l.value);
    let hole = Hole { diameter: diameter?.value, from_left, from_top: from_top?.value, clear };
    let (width, height) = (shape.width(), shape.height());
    let radius = hole.diameter / 2;
    let edges = [
        (hole.from_left, width),
        (hole.from_top, height),
        (width - hole.from_left, width),
        (height - hole.from_top, height),
    ];
    let (nearest, across) = edges.into_iter().min().unwrap_or((Length::ZERO, Length::ZERO));
    let fault = if hole.diameter < Length::mm(1) || nearest - radius < Length::mm(1) {
        Some("a hole is at least 1 mm wide and as far from the edge")
    } else if (nearest + radius + clear) * 3 > across {
        Some("a hole stands within the outer third of its part")
    } else {
        None
    };
    if let Some(fault) = fault {
        let cure = "measure its diameter, and its middle from the left and upper edge";
        report.add(Finding::input("template/hole", fault, cure).at(&form.place(), "here"));
        return None;
    }
    Some(hole)
}

/// One shape, or a strip of faces.
enum Outline {
    One(Shape),
    Strip(Strip),
}

fn shape(node: &Node, report: &Report) -> Option<Outline> {
    let form = Form::open(node, "a shape", &["rectangle", "rounded", "circle", "strip", "wrap"], report)?;
    if let Some(node) = form.get("strip") {
        let strip = Form::open(node, "a strip", &["height", "flap"], report)?;
        let height = side(&strip, "height", report)?;
        let flap = strip.quantity::<Length>("flap").map_or(Length::ZERO, |l| l.value);
        return Some(Outline::Strip(Strip::folded(height, flap)));
    }
    if let Some(node) = form.get("wrap") {
        let wrap = Form::open(node, "a wrap", &["height", "overlap", "circumference"], report)?;
        let height = side(&wrap, "height", report)?;
        let overlap = wrap.quantity::<Length>("overlap").map_or(Length::mm(8), |l| l.value);
        let given = match wrap.get("circumference") {
            Some(_) => Some(side(&wrap, "circumference", report)?),
            None => None,
        };
        return Some(Outline::Strip(Strip::round(height, overlap, given)));
    }
    one_shape(&form, report).map(Outline::One)
}

/// Reads the outline of one piece: `rectangle`, `rounded` or `circle` with its measures. `None` when something is wrong with it,
/// which is told.
#[must_use]
pub fn single(node: &Node, report: &Report) -> Option<Shape> {
    one_shape(&Form::open(node, "a shape", &["rectangle", "rounded", "circle"], report)?, report)
}

fn one_shape(form: &Form<'_>, report: &Report) -> Option<Shape> {
    if let Some(node) = form.get("circle") {
        let circle = Form::open(node, "a circle", &["diameter"], report)?;
        return Some(Shape::Circle { diameter: side(&circle, "diameter", report)? });
    }
    if let Some(node) = form.get("rounded") {
        let rounded = Form::open(node, "a rounded rectangle", &["width", "height", "corner"], report)?;
        let (width, height) = (side(&rounded, "width", report), side(&rounded, "height", report));
        let corner = rounded.need("corner", "3 mm").and_then(|n| n.quantity::<Length>(report));
        let (width, height, corner) = (width?, height?, corner?);
        if corner.value * 2 > width.min(height) {
            report.add(
                Finding::input(
                    "template/corner",
                    format!("corners of {} do not fit the sides", corner.value),
                    "make the radius at most half the shorter side",
                )
                .at(&corner.place, "here"),
            );
            return None;
        }
        return Some(Shape::Rounded { width, height, corner: corner.value });
    }
    let node = form.need("rectangle", "{width: 80 mm, height: 60 mm}`, or `circle: {diameter: 60 mm}")?;
    let rectangle = Form::open(node, "a rectangle", &["width", "height"], report)?;
    let (width, height) = (side(&rectangle, "width", report), side(&rectangle, "height", report));
    Some(Shape::Rectangle { width: width?, height: height? })
}

/// A side between 8 mm and 500 mm.
fn side(form: &Form<'_>, key: &str, report: &Report) -> Option<Length> {
    let length = form.need_quantity::<Length>(key)?;
    if length.value < Length::mm(8) || length.value > Length::mm(500) {
        report.add(
            Finding::input(
                "file/out-of-range",
                format!("`{key}` is {}", length.value),
                "a label measures between 8 mm and 500 mm",
            )
            .at(&length.place, "here"),
        );
        return None;
    }
    Some(length.value)
}

/// Most rows of a part and cells of a row: more than there are blocks, and few enough to set at once.
const MOST_ROWS: usize = 60;
const MOST_CELLS: usize = 12;
/// Most parts of a template and faces of a part.
pub(super) const MOST_PARTS: usize = 12;

/// Tells of more than is set.
pub(super) fn few(nodes: &[Node], most: usize, what: &str, report: &Report) -> bool {
    if let Some(beyond) = nodes.get(most) {
        let message = format!("there are {} {what}, more than the {most} that are set", nodes.len());
        let cure = "a label has some twenty blocks at most; take the rest out";
        report.add(Finding::input("template/too-many", message, cure).at(&beyond.place, "from here on"));
    }
    nodes.len() <= most
}

const CELL_KEYS: &[&str] = &["block", "align", "width", "largest", "run on", "frame", "only", "ink"];
const ROW_KEYS: &[&str] =
    &["block", "align", "width", "largest", "run on", "frame", "only", "ink", "at foot", "languages", "cells"];

/// What a cell may be limited to.
#[derive(Clone, Copy)]
struct Mandatory;

impl Words for Mandatory {
    fn words() -> Vec<(&'static str, Self)> {
        vec![("mandatory", Self)]
    }
}

fn row(node: &Node, report: &Report) -> Option<TemplateRow> {
    let form = Form::open(node, "a row", ROW_KEYS, report)?;
    let at_foot = form.yes_no("at foot").unwrap_or(false);
    if !few(form.list("cells"), MOST_CELLS, "cells", report) {
        return None;
    }
    let cells = if form.get("cells").is_some() {
        form.list("cells")
            .iter()
            .filter_map(|n| Form::open(n, "a cell", CELL_KEYS, report))
            .filter_map(|f| cell(&f, report))
            .collect()
    } else {
        vec![cell(&form, report)?]
    };
    let columns =
        form.get("languages").and_then(|n| n.word::<Languages>(report)).is_some_and(|l| l.value == Languages::Beside);
    Some(TemplateRow { cells, at_foot, columns })
}

fn cell(form: &Form<'_>, report: &Report) -> Option<TemplateCell> {
    let block = form.need("block", "identity").and_then(|n| n.word::<BlockName>(report))?.value;
    let align = form.get("align").and_then(|n| n.word::<Align>(report)).map_or(Align::Left, |a| a.value);
    Some(TemplateCell {
        block,
        align,
        width: form.quantity::<Length>("width").map(|w| w.value),
        largest: form.quantity::<Length>("largest").map_or(Length::mm(3), |l| l.value),
        run_on: form.yes_no("run on").unwrap_or(false),
        frame: form.yes_no("frame").unwrap_or(false),
        only_mandatory: form.get("only").and_then(|n| n.word::<Mandatory>(report)).is_some(),
        ink: form.get("ink").and_then(|n| colour(n, report)),
    })
}
