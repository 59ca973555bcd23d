//! Label templates: YAML a maker can copy, measure and change; read before a plan is made.

use super::{Align, Shape};
use crate::find::{Finding, Place, Report, Source};
use crate::trade::{BlockName, Kind, Market};
use crate::unit::Length;
use crate::yaml::{self, Form, Node, Words};
use std::sync::Arc;

/// A template: which parts there are and which block stands where.
#[derive(Debug, Clone)]
pub struct Template {
    /// Its name.
    pub name: String,
    /// One line about it.
    pub about: String,
    /// Kinds it is meant for.
    pub suits: Vec<Kind>,
    /// The printed pieces.
    pub parts: Vec<TemplatePart>,
    /// Where it stands.
    pub place: Place,
}

/// A printed piece of a template.
#[derive(Debug, Clone)]
pub struct TemplatePart {
    /// `front`, `base`, ...
    pub name: String,
    /// Whether it is the principal display panel.
    pub principal: bool,
    /// Whether it is stuck under the container; where the file does not say, a part called `base` or `bottom` is.
    pub bottom: bool,
    /// Outline.
    pub shape: Shape,
    /// Free edge.
    pub margin: Length,
    /// Top to bottom.
    pub rows: Vec<TemplateRow>,
    /// Where it stands.
    pub place: Place,
}

/// Blocks side by side.
#[derive(Debug, Clone)]
pub struct TemplateRow {
    /// Left to right.
    pub cells: Vec<TemplateCell>,
    /// Pushed to the foot.
    pub at_foot: bool,
    /// Languages stand beside each other, each in a column of its own.
    pub columns: bool,
}

/// One block's place and look.
#[derive(Debug, Clone)]
pub struct TemplateCell {
    /// Which block.
    pub block: BlockName,
    /// Where lines stand.
    pub align: Align,
    /// Fixed width.
    pub width: Option<Length>,
    /// The type grows to this at most.
    pub largest: Length,
    /// Statements as running text.
    pub run_on: bool,
    /// A frame round it.
    pub frame: bool,
}

/// How the languages of a block stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Languages {
    Below,
    Beside,
}

impl Words for Languages {
    fn words() -> Vec<(&'static str, Self)> {
        vec![("one below the other", Self::Below), ("side by side", Self::Beside)]
    }
}

impl Words for Align {
    fn words() -> Vec<(&'static str, Self)> {
        vec![("left", Self::Left), ("centre", Self::Centre), ("right", Self::Right)]
    }
}

/// The templates built into the program: name and text.
pub const BUILT_IN: &[(&str, &str)] = &[
    ("jar-front-and-base", include_str!("../../templates/jar-front-and-base.yaml")),
    ("jar-wrap", include_str!("../../templates/jar-wrap.yaml")),
    ("tin-lid-and-base", include_str!("../../templates/tin-lid-and-base.yaml")),
    ("pillar-band", include_str!("../../templates/pillar-band.yaml")),
    ("taper-band", include_str!("../../templates/taper-band.yaml")),
    ("tea-light-box", include_str!("../../templates/tea-light-box.yaml")),
    ("melt-card", include_str!("../../templates/melt-card.yaml")),
    ("melt-front-and-back", include_str!("../../templates/melt-front-and-back.yaml")),
    ("jar-two-languages", include_str!("../../templates/jar-two-languages.yaml")),
    ("tin-two-languages", include_str!("../../templates/tin-two-languages.yaml")),
    ("pillar-two-languages", include_str!("../../templates/pillar-two-languages.yaml")),
    ("taper-two-languages", include_str!("../../templates/taper-two-languages.yaml")),
    ("tea-light-two-languages", include_str!("../../templates/tea-light-two-languages.yaml")),
    ("melt-two-languages", include_str!("../../templates/melt-two-languages.yaml")),
];

/// The built-in template of this name.
#[must_use]
pub fn built_in(name: &str) -> Option<Arc<Source>> {
    let (name, text) = BUILT_IN.iter().find(|(n, _)| *n == name)?;
    Some(Arc::new(Source { name: format!("templates/{name}.yaml"), text: (*text).to_owned() }))
}

/// The built-in template used for a kind in a market when the product names none.
#[must_use]
pub const fn usual_for(kind: Kind, market: Market) -> &'static str {
    if market.is_canadian() {
        return match kind {
            Kind::ContainerCandle => "jar-two-languages",
            Kind::Pillar => "pillar-two-languages",
            Kind::Taper => "taper-two-languages",
            Kind::Votive | Kind::TeaLight => "tea-light-two-languages",
            Kind::WaxMelt => "melt-two-languages",
        };
    }
    match kind {
        Kind::ContainerCandle => "jar-front-and-base",
        Kind::Pillar => "pillar-band",
        Kind::Taper => "taper-band",
        Kind::Votive | Kind::TeaLight => "tea-light-box",
        Kind::WaxMelt => "melt-front-and-back",
    }
}

/// Reads a template.
///
/// # Errors
/// Every fault found, with its place.
pub fn read(source: &Arc<Source>) -> Result<Template, Vec<Finding>> {
    let report = Report::new();
    let template = match yaml::read(source) {
        Ok(node) => template(&node, &report),
        Err(finding) => return Err(vec![finding]),
    };
    match template {
        Some(template) if !report.stops() => Ok(template),
        _ => Err(report.into_findings()),
    }
}

fn template(node: &Node, report: &Report) -> Option<Template> {
    let form = Form::open(node, "a template", &["template", "about", "suits", "parts"], report)?;
    let name = form.need_text("template", "jar-front-and-base");
    let suits = form.list("suits").iter().filter_map(|n| n.word::<Kind>(report)).map(|k| k.value).collect();
    let _ = form.need("parts", "[{part: front, principal: yes, …}]");
    let parts: Vec<TemplatePart> = form.list("parts").iter().filter_map(|n| part(n, report)).collect();
    if parts.len() == form.list("parts").len() && !parts.is_empty() {
        let principals = parts.iter().filter(|p| p.principal).count();
        if principals != 1 {
            report.add(
                Finding::input(
                    "template/principal-part",
                    format!("{principals} parts are marked as the principal one, the side shown to the customer"),
                    "mark exactly one part with `principal: yes`",
                )
                .at(&form.place(), "in this template"),
            );
        }
        for (n, part) in parts.iter().enumerate() {
            if parts[..n].iter().any(|p| p.name == part.name) {
                report.add(
                    Finding::input(
                        "template/part-twice",
                        format!("two parts are called `{}`", part.name),
                        "give each its own name",
                    )
                    .at(&part.place, "second one"),
                );
            }
        }
    }
    Some(Template {
        name: name?.value,
        about: form.text("about").map(|t| t.value).unwrap_or_default(),
        suits,
        parts,
        place: form.place(),
    })
}

fn part(node: &Node, report: &Report) -> Option<TemplatePart> {
    let form = Form::open(node, "a part", &["part", "principal", "bottom", "shape", "margin", "rows"], report)?;
    let name = form.need_text("part", "front");
    let shape =
        form.need("shape", "{rounded: {width: 60 mm, height: 70 mm, corner: 3 mm}}").and_then(|n| shape(n, report));
    let margin = form.quantity::<Length>("margin").map_or(Length::um(2500), |m| m.value);
    let _ = form.need("rows", "[{block: identity, align: centre}]");
    let rows: Vec<TemplateRow> = form.list("rows").iter().filter_map(|n| row(n, report)).collect();
    let shape = shape?;
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
    let name = name?.value;
    Some(TemplatePart {
        principal: form.yes_no("principal").unwrap_or(false),
        bottom: form.yes_no("bottom").unwrap_or(matches!(name.as_str(), "base" | "bottom")),
        name,
        shape,
        margin,
        rows,
        place: form.place(),
    })
}

fn shape(node: &Node, report: &Report) -> Option<Shape> {
    let form = Form::open(node, "a shape", &["rectangle", "rounded", "circle"], report)?;
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

const CELL_KEYS: &[&str] = &["block", "align", "width", "largest", "run on", "frame"];
const ROW_KEYS: &[&str] = &["block", "align", "width", "largest", "run on", "frame", "at foot", "languages", "cells"];

fn row(node: &Node, report: &Report) -> Option<TemplateRow> {
    let form = Form::open(node, "a row", ROW_KEYS, report)?;
    let at_foot = form.yes_no("at foot").unwrap_or(false);
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
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn built_in_templates_read_without_fault_and_suit_their_kind() {
        for (name, _) in BUILT_IN {
            let template = read(&built_in(name).unwrap()).unwrap();
            assert_eq!(template.name, *name);
        }
        for kind in Kind::ALL {
            for market in Market::ALL {
                let template = read(&built_in(usual_for(*kind, *market)).unwrap()).unwrap();
                assert!(template.suits.contains(kind), "{kind}, {market}");
            }
        }
    }

    #[test]
    fn a_template_without_one_principal_part_is_refused() {
        let text = built_in("pillar-band").unwrap().text.replace("principal: yes", "principal: no");
        let findings = read(&Arc::new(Source { name: "t.yaml".into(), text })).unwrap_err();
        assert_eq!(findings[0].id, "template/principal-part");
    }
}
