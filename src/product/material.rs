//! Material files: wax, fragrance, dye, additive, with limits, temperatures and the safety sheet's rows.

use super::composition::{Substance, composition};
use super::{Basis, Load};
use crate::find::{Finding, Place, Report, Source};
use crate::unit::{Days, Share, Temperature};
use crate::yaml::{self, Form, Node, Value, Words};
use jiff::civil::Date;
use serde::Serialize;
use std::sync::Arc;

/// What a material does in the recipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// Wax or wax blend.
    Wax,
    /// Fragrance oil.
    Fragrance,
    /// Colour.
    Dye,
    /// Anything else that stays in the candle.
    Additive,
}

impl Role {
    /// The spelling used in files.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::words().iter().find(|(_, v)| *v == self).map_or("", |(w, _)| w)
    }
}

impl Words for Role {
    fn words() -> Vec<(&'static str, Self)> {
        vec![("wax", Self::Wax), ("fragrance", Self::Fragrance), ("dye", Self::Dye), ("additive", Self::Additive)]
    }
}

/// Something with a supplier and a lot.
#[derive(Debug, Clone)]
pub struct Material {
    /// Name of its file, or of the material.
    pub id: String,
    /// Full name.
    pub name: String,
    /// What it does.
    pub role: Role,
    /// Who sells it.
    pub supplier: Option<String>,
    /// Most fragrance a wax holds, or most of this fragrance in the finished product.
    pub max_load: Option<(Load, Place)>,
    /// Never hotter than this.
    pub max_temperature: Option<Temperature>,
    /// Window for adding fragrance.
    pub add_at: Option<(Temperature, Temperature)>,
    /// Window for pouring.
    pub pour_at: Option<(Temperature, Temperature)>,
    /// Flash point.
    pub flash_point: Option<Temperature>,
    /// Rest before first burn and sale.
    pub cure: Option<Days>,
    /// Whether an additive counts as part of the wax base when loads are taken of wax.
    pub counts_as_wax: bool,
    /// Safety data sheet.
    pub sheet: Option<SafetySheet>,
    /// Where it stands.
    pub place: Place,
}

impl Material {
    /// Something that comes in by lots and is no part of the fill: a vessel, a lid, label stock.
    #[must_use]
    pub fn bare(id: &str, name: &str, supplier: Option<String>, place: Place) -> Self {
        Self {
            id: id.to_owned(),
            name: name.to_owned(),
            role: Role::Additive,
            supplier,
            max_load: None,
            max_temperature: None,
            add_at: None,
            pour_at: None,
            flash_point: None,
            cure: None,
            counts_as_wax: false,
            sheet: None,
            place,
        }
    }
}

/// What is known of the safety data sheet.
#[derive(Debug, Clone)]
pub struct SafetySheet {
    /// Its date.
    pub date: Date,
    /// Its revision.
    pub revision: Option<String>,
    /// Whether section 3 was entered: `composition: none` says that it lists no substance.
    pub entered: bool,
    /// Section 3, a line each.
    pub composition: Vec<Substance>,
}

const KEYS: &[&str] = &[
    "material",
    "role",
    "supplier",
    "max load",
    "max temperature",
    "add at",
    "pour at",
    "flash point",
    "cure",
    "counts as wax",
    "safety sheet",
];

/// Reads a material file by itself.
///
/// The material is `None` when something stops it; the findings tell everything that was seen.
#[must_use]
pub fn read_material(source: &Arc<Source>, id: &str) -> (Option<Material>, Vec<Finding>) {
    let report = Report::new();
    let material = match yaml::read(source) {
        Ok(node) => read(&node, id, &report),
        Err(finding) => {
            report.add(finding);
            None
        }
    };
    (material.filter(|_| !report.stops()), report.into_findings())
}

/// Reads a material; faults go to the report.
pub(super) fn read(node: &Node, id: &str, report: &Report) -> Option<Material> {
    let form = Form::open(node, "a material", KEYS, report)?;
    let name = form.need_text("material", "Kelp and Cedar fragrance oil");
    let role = form.need("role", "fragrance").and_then(|n| n.word::<Role>(report));
    let max_load = form.get("max load").and_then(|n| limit(n, report));
    let (add_at, pour_at) = (window(&form, "add at", report), window(&form, "pour at", report));
    if let (Some(add), Some(pour)) = (add_at, pour_at)
        && add.1 < pour.0
    {
        report.add(
            Finding::input(
                "practice/add-below-pour",
                format!("the fragrance is added at {} and the wax poured at {}, which is hotter", add.1, pour.0),
                "swap the two: fragrance goes in first, the pour follows as the wax cools",
            )
            .at(form.get("add at").map_or(&node.place, |n| &n.place), "added here")
            .at(form.get("pour at").map_or(&node.place, |n| &n.place), "poured here"),
        );
    }
    let sheet = form.get("safety sheet").and_then(|n| sheet(n, report));
    let name = name?.value;
    Some(Material {
        id: if id.is_empty() { name.clone() } else { id.to_owned() },
        name,
        role: role?.value,
        supplier: form.text("supplier").map(|t| t.value),
        max_load,
        max_temperature: form.quantity::<Temperature>("max temperature").map(|t| t.value),
        add_at,
        pour_at,
        flash_point: flash_point(&form, report),
        cure: super::parts::cure(&form, report),
        counts_as_wax: form.yes_no("counts as wax").unwrap_or(false),
        sheet,
        place: form.place(),
    })
}

/// `max load: {of wax: 10 %}`: the basis is part of the figure.
fn limit(node: &Node, report: &Report) -> Option<(Load, Place)> {
    if let Value::Text(text) = &node.value {
        report.add(
            Finding::input(
                "file/load-without-basis",
                format!("`{text}` does not say of what: of the wax, or of wax and oil together"),
                format!("write `max load: {{of wax: {text}}}` (usual on a wax's sheet) or `max load: {{of total: {text}}}` (usual on a fragrance certificate)"),
            )
            .at(&node.place, "here"),
        );
        return None;
    }
    let form = Form::open(node, "a load limit", &["of wax", "of total"], report)?;
    let (wax, total) = (form.quantity::<Share>("of wax"), form.quantity::<Share>("of total"));
    match (wax, total) {
        (Some(share), None) => Some((Load { share: share.value, of: Basis::Wax }, share.place)),
        (None, Some(share)) => Some((Load { share: share.value, of: Basis::Total }, share.place)),
        (Some(_), Some(total)) => {
            report.add(
                Finding::input("file/two-limits", "the limit stands on both bases", "keep the one the sheet prints")
                    .at(&total.place, "second one"),
            );
            None
        }
        (None, None) => {
            if form.get("of wax").is_none() && form.get("of total").is_none() {
                form.need("of wax", "10 %")?;
            }
            None
        }
    }
}

/// One temperature or a list of two.
fn window(form: &Form<'_>, key: &str, report: &Report) -> Option<(Temperature, Temperature)> {
    let nodes = form.list(key);
    let read: Vec<_> = nodes.iter().filter_map(|n| n.quantity::<Temperature>(report)).collect();
    match (nodes.len(), read.as_slice()) {
        (1, [one]) => Some((one.value, one.value)),
        (2, [low, high]) if low.value <= high.value => Some((low.value, high.value)),
        (0, _) => None,
        (n, _) if n != read.len() => None,
        _ => {
            let place = &nodes[0].place;
            report.add(
                Finding::input(
                    "file/wrong-range",
                    format!("`{key}` is one temperature, or the lower and the upper one"),
                    "write for example `[137 F, 145 F]`",
                )
                .at(place, "here"),
            );
            None
        }
    }
}

fn sheet(node: &Node, report: &Report) -> Option<SafetySheet> {
    let form = Form::open(node, "a safety sheet", &["date", "revision", "composition"], report)?;
    let date = form.need_text("date", "2026-03-02").and_then(|t| {
        t.value
            .parse::<Date>()
            .map_err(|_| {
                report.add(
                    Finding::input(
                        "file/wrong-date",
                        format!("`{}` is not a date", t.value),
                        "write year, month and day: `2026-03-02`",
                    )
                    .at(&t.place, "here"),
                );
            })
            .ok()
    });
    // `none`: the sheet lists no substance, which is not the same as a composition nobody entered.
    let is_none = form.get("composition").is_some_and(|n| matches!(&n.value, Value::Text(t) if t.trim() == "none"));
    let lines = if is_none { &[] } else { form.list("composition") };
    let entered = is_none || !lines.is_empty();
    let composition = composition(lines, report);
    Some(SafetySheet { date: date?, revision: form.text("revision").map(|t| t.value), entered, composition })
}

/// A flash point; `"> 200 F"`, as many sheets print it, counts as the figure.
fn flash_point(form: &Form<'_>, report: &Report) -> Option<Temperature> {
    let mut node = form.get("flash point")?.clone();
    if let Value::Text(text) = &mut node.value {
        *text = text.trim_start_matches(['>', '=', ' ']).to_owned();
    }
    node.quantity::<Temperature>(report).map(|t| t.value)
}
