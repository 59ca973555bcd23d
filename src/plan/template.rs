//! Label templates: YAML a maker can copy, measure and change; read before a plan is made.

mod part;
mod strip;

pub use part::single;
pub use strip::Strip;

use super::{Align, Colour, Hole, Shape};
use crate::find::{Finding, Place, Report, Source};
use crate::trade::{BlockName, Kind, Market, Severity};
use crate::unit::Length;
use crate::yaml::{self, At, Form, Node, Words};
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

/// A printed piece of a template, or one face of a piece that has several.
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
    /// A hole through it.
    pub hole: Option<Hole>,
    /// Printed under everything.
    pub ground: Option<Colour>,
    /// Seen only when the label is opened: what must be seen at once stands outside too.
    pub inside: bool,
    /// The strip of paper it is a face of.
    pub strip: Option<Strip>,
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
    /// Without advice: only what law, standards and the house ask for.
    pub only_mandatory: bool,
    /// Colour of its letters.
    pub ink: Option<At<Colour>>,
}

impl TemplateCell {
    /// Whether a statement of this block and severity stands here.
    #[must_use]
    pub fn takes(&self, block: BlockName, severity: Severity) -> bool {
        self.block == block && !(self.only_mandatory && severity == Severity::Advice)
    }
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
    ("jar-full-wrap", include_str!("../../templates/jar-full-wrap.yaml")),
    ("jar-fold-out", include_str!("../../templates/jar-fold-out.yaml")),
    ("jar-fold-out-two-languages", include_str!("../../templates/jar-fold-out-two-languages.yaml")),
    ("tin-lid-and-base", include_str!("../../templates/tin-lid-and-base.yaml")),
    ("hang-tag", include_str!("../../templates/hang-tag.yaml")),
    ("pillar-band", include_str!("../../templates/pillar-band.yaml")),
    ("taper-band", include_str!("../../templates/taper-band.yaml")),
    ("tea-light-box", include_str!("../../templates/tea-light-box.yaml")),
    ("box-sleeve", include_str!("../../templates/box-sleeve.yaml")),
    ("melt-clamshell", include_str!("../../templates/melt-clamshell.yaml")),
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
    let few = part::few(form.list("parts"), part::MOST_PARTS, "parts", report);
    let read: Vec<Option<Vec<TemplatePart>>> =
        form.list("parts").iter().filter(|_| few).map(|n| part::read(n, report)).collect();
    let whole = read.iter().all(Option::is_some);
    let parts: Vec<TemplatePart> = read.into_iter().flatten().flatten().collect();
    if whole && !parts.is_empty() {
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
