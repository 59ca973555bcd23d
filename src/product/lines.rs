//! The recipe's lines and the fill of a product file.

use super::file::{Desk, material_of};
use super::{Amount, Basis, Fill, Line, Load, Material, Role, Vessel};
use crate::find::{Finding, Report};
use crate::unit::{Mass, Share};
use crate::yaml::{At, Form, Node, Value};

pub(super) fn line(node: &Node, desk: &Desk<'_>) -> Option<Line> {
    let report = desk.report;
    let form = Form::open(node, "a line of the recipe", &["use", "as", "load", "of", "part"], report)?;
    let material = form.need("use", "harbour-soy-blend").and_then(|n| material_of(n, desk));
    let role = form.get("as").and_then(|n| n.word::<Role>(report));
    let (load, of, part) = (
        form.quantity::<Share>("load"),
        form.get("of").and_then(|n| n.word::<Basis>(report)),
        form.quantity::<Share>("part"),
    );
    let material = material?;
    let told = |finding: Finding| {
        report.add(finding);
        None
    };
    if let Some(role) = &role
        && !may_stand_as(material.role, role.value)
    {
        return told(other_role(&material, role));
    }
    let role = role.map_or(material.role, |r| r.value);
    for (key, share) in [("load", &load), ("part", &part)] {
        if let Some(share) = share.as_ref().filter(|s| s.value == Share::ZERO) {
            let message = format!("a {key} of nothing is no line of the recipe");
            let cure = "write how much of it goes in, or take the line out";
            return told(Finding::input("file/out-of-range", message, cure).at(&share.place, "here"));
        }
    }
    let amount = if role == Role::Wax {
        if let Some(load) = &load {
            return told(
                Finding::input(
                    "file/wax-with-load",
                    "a wax has no load: it is what the load is taken of",
                    "for a blend of waxes write `part: 30 %`, its part of all the wax",
                )
                .at(&load.place, "here"),
            );
        }
        part.map_or(Amount::Rest, |p| Amount::PartOfWax(p.value))
    } else {
        let Some(load) = load else {
            form.need("load", "8 %")?;
            return None;
        };
        let Some(of) = of else {
            if form.get("of").is_some() {
                return None; // its word was told
            }
            return told(without_basis(&load, &form));
        };
        Amount::Load(Load { share: load.value, of: of.value })
    };
    Some(Line { material, role, amount, place: form.place() })
}

/// Stearin is a wax in one recipe and an additive in the next; everything else has one role, and its limits follow from it.
fn may_stand_as(own: Role, here: Role) -> bool {
    own == here || matches!((own, here), (Role::Wax, Role::Additive) | (Role::Additive, Role::Wax))
}

fn other_role(material: &Material, here: &At<Role>) -> Finding {
    let (own, word) = (material.role.word(), here.value.word());
    let article = if material.role == Role::Additive { "an" } else { "a" };
    Finding::input(
        "file/other-role",
        format!("{} is {article} {own}, and here it stands as `{word}`", material.name),
        format!("leave `as` out, or write `as: {own}`; if the material is no {own}, mend its `role`"),
    )
    .at(&here.place, "here")
    .at(&material.place, "this material")
}

/// The same figure means two recipes: both are shown for a fill of 100 g.
fn without_basis(load: &At<Share>, form: &Form<'_>) -> Finding {
    let fill = Mass::g(100);
    let of_wax = fill.share(load.value.of_rest_as_of_total());
    let of_total = fill.share(load.value);
    Finding::input(
        "file/load-without-basis",
        format!(
            "a load of {} does not say of what: in 100 g of candle it is {} of oil when taken of the wax, {} when taken of the total",
            load.value,
            of_wax.in_g(2),
            of_total.in_g(2)
        ),
        "add `of: wax` (oil against wax alone) or `of: total` (oil in the finished candle)",
    )
    .at(&load.place, "of what?")
    .at(&form.place(), "in this line")
}

pub(super) fn waxes_add_up(recipe: &[Line], written: usize, form: &Form<'_>, report: &Report) {
    if recipe.len() != written {
        return; // a line was already told
    }
    let waxes: Vec<&Line> = recipe.iter().filter(|l| l.role == Role::Wax).collect();
    let place = form.get("recipe").map_or_else(|| form.place(), |n| n.place.clone());
    let told = |message: &str, cure: &str| {
        report.add(Finding::input("file/wax-parts", message, cure).at(&place, "this recipe"));
    };
    if waxes.is_empty() {
        told("the recipe has no wax", "add a line such as `{use: harbour-soy-blend, as: wax}`");
        return;
    }
    let parts: i64 = waxes.iter().map(|l| if let Amount::PartOfWax(s) = l.amount { s.to_ppb() } else { 0 }).sum();
    let rest = waxes.iter().filter(|l| matches!(l.amount, Amount::Rest)).count();
    let whole = Share::WHOLE.to_ppb();
    if rest > 1 {
        told("two waxes stand without their part", "write `part: 30 %` beside all waxes but one");
    } else if parts > whole || (rest == 1 && parts == whole) {
        told("the parts of the waxes come to more than the whole", "make them add up to 100 %");
    } else if rest == 0 && parts != whole {
        told("the parts of the waxes do not come to 100 %", "make them add up, or leave the part off one of them");
    }
}

pub(super) fn fill(form: &Form<'_>, vessel: Option<&Vessel>, report: &Report) -> Option<Fill> {
    let node = form.need("fill", "9 oz")?;
    if let Value::Text(text) = &node.value
        && text.trim() == "estimate"
    {
        let water = vessel.and_then(|v| v.water);
        if water.is_none() {
            report.add(
                Finding::input("file/no-water-weight", "an estimate needs the vessel's water weight", "weigh water to the fill line and write `water to fill line: 255 g` into the vessel, or write the fill itself")
                    .at(&node.place, "here"),
            );
        }
        // Wax poured to the same line weighs about 0.86 of the water: common practice, no source.
        return water.map(|w| Fill::Estimate(w.times_ratio(86, 100)));
    }
    let fill = node.quantity::<Mass>(report)?;
    if fill.value < Mass::g(1) || fill.value > Mass::g(20_000) {
        report.add(
            Finding::input(
                "file/out-of-range",
                format!("a fill of {} is not a candle", fill.value),
                "write the wax and fragrance in one candle, between 1 g and 20 kg",
            )
            .at(&fill.place, "here"),
        );
        return None;
    }
    Some(Fill::Target(fill.value))
}
