//! Classes of Canada's rules for chemical products (SOR/2001-269) held against the safety sheets: questions with their
//! figures, never answered for the maker. Part of `require`.

use super::checks::Desk;
use crate::find::Level;
use crate::hazard::{Content, Ingredient, Mixture, Route, Rules, classify};
use crate::law::Rule;
use crate::product::{Material, Role};
use crate::recipe;
use crate::unit::{Share, Temperature};
use jiff::civil::Date;

/// Asks what the sheets give cause to ask, and tells what was looked at and what not.
pub(super) fn run(desk: &mut Desk<'_>, date: Date) {
    let mixture = match recipe::mixture(desk.product) {
        Ok((mixture, _)) => Some(mixture),
        Err(faults) => {
            let why = faults.into_iter().next().map_or_else(String::new, |f| f.message);
            let message = format!("how much of it irritates skin or eyes cannot be worked out: {why}");
            let cure = "enter section 3 of the safety sheet under `safety sheet: {composition: …}`, or note with `accept` who judged it";
            desk.tell("ca/chemical-irritant", Level::Warning, "recipe", message, cure);
            None
        }
    };
    if let Some(rule) = desk.rule("ca/chemical-irritant") {
        irritants(desk, rule, mixture.as_ref());
    }
    let flash = flammable(desk);
    let doses = toxic(desk, mixture.as_ref(), date);
    let looked: Vec<String> = flash.into_iter().chain(doses).collect();
    let message = format!(
        "looked at for SOR/2001-269 as well: {}; not looked at: toxic when breathed in, glues that bond skin, containers \
         under pressure",
        looked.join("; ")
    );
    let cure = "ask somebody who knows these regulations where one of these might hold";
    desk.tell("ca/chemical-classes", Level::Note, "recipe", message, cure);
}

/// The lowest flash point of its oils: asked where it is that of a flammable or combustible solid. Answers what was looked at.
fn flammable(desk: &mut Desk<'_>) -> Option<String> {
    let rule = desk.rule("ca/chemical-flammable")?;
    let limit = |name: &str| rule.figure::<Temperature>(name);
    let (flammable, combustible) = (limit("flammable up to")?, limit("combustible up to")?);
    let oils = desk.product.recipe.iter().filter(|l| l.role == Role::Fragrance).map(|l| &l.material);
    let oils: Vec<&Material> = oils.map(std::convert::AsRef::as_ref).collect();
    let unknown: Vec<&str> = oils.iter().filter(|m| m.flash_point.is_none()).map(|m| m.name.as_str()).collect();
    let lowest = oils.iter().filter_map(|m| Some((m.flash_point?, m.name.as_str()))).min();
    let limits = format!("flammable up to {}, combustible up to {}", flammable.in_c(), combustible.in_c());
    if let Some((point, name)) = lowest.filter(|(point, _)| *point <= combustible) {
        let class = if point <= flammable { "flammable" } else { "combustible" };
        let message = format!(
            "{name} has a flash point of {}: a solid is {limits}, where a user can be exposed to its vapour; is the finished \
             candle {class}?",
            point.in_c()
        );
        let cure =
            "have the flash point of the finished candle judged under SOR/2001-269, and note the result with `accept`";
        desk.tell(rule.id, Level::Warning, "recipe", message, cure);
    }
    let missing = (!unknown.is_empty()).then(|| format!("no flash point is given for {}", unknown.join(", ")));
    let known = lowest.map(|(point, name)| format!("the flash point of {name} is {}", point.in_c()));
    Some(format!("{} ({limits})", known.into_iter().chain(missing).collect::<Vec<_>>().join(", ")))
}

/// Doses by mouth and skin, added up over the mixture. Answers what was looked at.
fn toxic(desk: &mut Desk<'_>, mixture: Option<&Mixture>, date: Date) -> Option<String> {
    let rule = desk.rule("ca/chemical-toxic")?;
    let Some(mixture) = mixture else { return Some("of doses by mouth and skin nothing is known".to_owned()) };
    let counted = Content::of(rule.figure::<Share>("counted from")?);
    let mut counting = mixture.clone();
    counting.ingredients.retain(|i| i.content >= counted);
    let found = classify(&counting, Rules::UnGhs, date);
    let mut told = Vec::new();
    for (route, way) in [(Route::Oral, "mouth"), (Route::Dermal, "skin")] {
        let limit = |class: &str| rule.figure_text(&format!("{class} by {way}")).and_then(|t| t.parse::<f64>().ok());
        let (very, toxic, harmful) = (limit("very toxic")?, limit("toxic")?, limit("harmful")?);
        let Some((_, dose)) = found.ate_mix.iter().find(|(r, _)| *r == route) else { continue };
        let limits = format!("very toxic up to {very}, toxic up to {toxic}, harmful up to {harmful}");
        if *dose <= harmful {
            let message = format!(
                "by the safety sheets about {dose:.0} mg/kg of it kill by {way}: {limits}, where a user can be exposed to it"
            );
            let cure = "have the candle judged under SOR/2001-269: no label of this program carries the block it may need; \
                        note the result with `accept`";
            desk.tell(rule.id, Level::Warning, "recipe", message, cure);
        }
        told.push(format!("about {dose:.0} mg/kg kill by {way} ({limits})"));
    }
    if told.is_empty() {
        let most = rule.figure_text("harmful by mouth").unwrap_or("");
        told.push(format!(
            "no ingredient from {} is told to harm by mouth or skin (harmful up to {most} mg/kg)",
            percent(counted)
        ));
    }
    Some(told.join(", "))
}

/// Whether a substance has a class with one of these statements.
fn has(ingredient: &Ingredient, codes: &[&str]) -> bool {
    ingredient.substance.classes.iter().any(|c| codes.iter().any(|code| c.code.starts_with(code)))
}

/// The screen for irritants (SOR/2001-269, s. 42(4), (5)): always told with its figures, never answered for the maker.
fn irritants(desk: &mut Desk<'_>, rule: &Rule, mixture: Option<&Mixture>) {
    const DESTROYS: [&str; 1] = ["H314"];
    const IRRITATES: [&str; 4] = ["H314", "H315", "H318", "H319"];
    let limit = |name: &str| rule.figure::<Share>(name).unwrap_or(Share::ZERO);
    let (from, destructive, corrosive) = (limit("irritant from"), limit("destructive from"), limit("corrosive from"));
    let Some(mixture) = mixture else { return };
    let sum = |codes: &[&str]| {
        mixture.ingredients.iter().filter(|i| has(i, codes)).fold(Content::ZERO, |sum, i| sum.plus(i.content))
    };
    let (irritating, destroying) = (sum(&IRRITATES), sum(&DESTROYS));
    let mut named: Vec<&Ingredient> = mixture.ingredients.iter().filter(|i| has(i, &IRRITATES)).collect();
    named.sort_by_key(|i| std::cmp::Reverse(i.content));
    let names: Vec<String> =
        named.iter().take(3).map(|i| format!("{} {}", i.substance.name, percent(i.content))).collect();
    let most = if names.is_empty() { String::new() } else { format!(" ({})", names.join(", ")) };
    let told = format!(
        "by the safety sheets {} of it irritates skin or eyes{most} and {} destroys tissue; \
         from {from} and {destructive} it is an irritant, from {corrosive} destructive corrosive, \
         where a user can be exposed to it",
        percent(irritating),
        percent(destroying),
    );
    if irritating >= Content::of(from) || destroying >= Content::of(destructive) {
        let cure = "have the candle judged under SOR/2001-269: an irritant needs the block CAUTION / ATTENTION, which no label of \
                    this program carries; note the result with `accept`";
        desk.tell(rule.id, Level::Warning, "recipe", told, cure);
    } else {
        let cure = "keep the sheets; the grades of the regulations begin lower than the classes of a sheet, so ask where it is near";
        desk.tell(rule.id, Level::Note, "recipe", told, cure);
    }
}

/// Two decimals, cut up, so that a content near a limit never looks smaller.
fn percent(content: Content) -> String {
    format!("{:.2} %", (content.to_percent_f64() * 100.0 - 1e-9).ceil().abs() / 100.0)
}
