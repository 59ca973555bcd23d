//! Material files: wax, fragrance, dye, additive, with limits, temperatures and the safety sheet's rows.

use super::{Basis, Load};
use crate::find::{Finding, Place, Report};
use crate::unit::{Days, Quantity, Share, Temperature};
use crate::yaml::{Form, Node, Value, Words};
use jiff::civil::Date;
use serde::Serialize;

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
    /// Section 3, a line each.
    pub composition: Vec<Substance>,
}

/// A line of section 3.
#[derive(Debug, Clone)]
pub struct Substance {
    /// As the sheet prints it.
    pub name: String,
    /// CAS number.
    pub cas: Option<String>,
    /// Lower and upper end, of the material.
    pub percent: (Share, Share),
    /// Hazard classes as the sheet prints them: `Skin Sens. 1B, H317`.
    pub classes: Vec<String>,
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
        flash_point: form.quantity::<Temperature>("flash point").map(|t| t.value),
        cure: form.quantity::<Days>("cure").map(|d| d.value),
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
        (None, None) => None,
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
    let composition = form.list("composition").iter().filter_map(|n| substance(n, report)).collect();
    Some(SafetySheet { date: date?, revision: form.text("revision").map(|t| t.value), composition })
}

fn substance(node: &Node, report: &Report) -> Option<Substance> {
    let form = Form::open(node, "a line of section 3", &["name", "cas", "percent", "classes"], report)?;
    let name = form.need_text("name", "linalool");
    let cas = form.text("cas");
    if let Some(cas) = &cas
        && !cas_holds(&cas.value)
    {
        report.add(
            Finding::input(
                "file/cas-number",
                format!("`{}` is not a CAS number: its last digit does not fit the others", cas.value),
                "copy it again from section 3 of the sheet",
            )
            .at(&cas.place, "here"),
        );
    }
    let ends: Vec<_> = form.list("percent").iter().filter_map(|n| percent(n, report)).collect();
    let percent = match ends.as_slice() {
        [one] => (*one, *one),
        [low, high] if low <= high => (*low, *high),
        _ => {
            form.need("percent", "[10, 20]")?;
            report.add(
                Finding::input(
                    "file/wrong-range",
                    "a share of section 3 is one figure, or the lower and the upper end",
                    "write for example `percent: [10, 20]`",
                )
                .at(&form.place(), "in this line"),
            );
            return None;
        }
    };
    let classes = form.list("classes").iter().filter_map(|n| n.text(report)).map(|t| t.value).collect();
    Some(Substance { name: name?.value, cas: cas.map(|c| c.value), percent, classes })
}

/// The key says percent, so a bare figure is enough here.
fn percent(node: &Node, report: &Report) -> Option<Share> {
    let text = node.text(report)?;
    let with_unit = if text.value.ends_with('%') { text.value.clone() } else { format!("{} %", text.value) };
    Share::parse(&with_unit)
        .map_err(|wrong| {
            report.add(Finding::input("file/wrong-quantity", wrong.message, wrong.cure).at(&text.place, "here"));
        })
        .ok()
}

/// Check digit of a CAS number: the last digit is the sum of the others, each times its place from the right, modulo 10.
fn cas_holds(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [first, second, check] = parts.as_slice() else { return false };
    if !(2..=7).contains(&first.len())
        || second.len() != 2
        || check.len() != 1
        || !text.bytes().all(|b| b.is_ascii_digit() || b == b'-')
    {
        return false;
    }
    let sum: u32 =
        format!("{first}{second}").bytes().rev().zip(1..).map(|(b, place)| u32::from(b - b'0') * place).sum();
    check.bytes().all(|b| u32::from(b - b'0') == sum % 10)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Harmonised entries of Annex VI to Regulation (EC) 1272/2008: linalool, citral, d-limonene.
    #[test]
    fn cas_check_digits() {
        for good in ["78-70-6", "5392-40-5", "5989-27-5"] {
            assert!(cas_holds(good), "{good}");
        }
        for bad in ["78-70-7", "5392-41-5", "1-2", "", "78706", "७8-70-6"] {
            assert!(!cas_holds(bad), "{bad}");
        }
    }
}
