//! Checks that only Canada asks for and that print nothing: held against the product while their rules are in force.

use super::checks::Desk;
use super::net;
use crate::find::Level;
use crate::hazard::{Content, Ingredient};
use crate::law::Rule;
use crate::product::{Fill, MetalCore};
use crate::recipe;
use crate::trade::Lang;
use crate::unit::{Mass, Share};

/// Runs every check; none tells anything outside of Canada.
pub(super) fn run(desk: &mut Desk<'_>) {
    quantity(desk);
    by_kind(desk);
    relighting(desk);
    lead(desk);
    name(desk);
    if let Some(rule) = desk.rule("ca/chemical-irritant") {
        irritants(desk, rule);
    }
}

/// The average of a lot may not be below what is declared (C.R.C. c. 417, s. 39(4)(a)).
fn quantity(desk: &mut Desk<'_>) {
    let filled = desk.product.fill.mass().times(desk.product.pieces);
    let declared = net::in_canada(desk.product.declared.unwrap_or(filled));
    match declared {
        None => desk.tell(
            "ca/net-quantity-form",
            Level::Error,
            "fill",
            "the quantity is too small to be declared".to_owned(),
            "check `fill` and `pieces`",
        ),
        Some((text, says)) if filled + Mass::ng(1) < says && matches!(desk.product.fill, Fill::Target(_)) => {
            let message =
                format!("the label would declare {}, and {} are filled", text.replace('\u{a0}', " "), filled.in_g(2));
            let cure = "raise `fill`, or declare less with `net quantity`";
            desk.tell("ca/fill-covers-declaration", Level::Error, "net quantity", message, cure);
        }
        Some(_) => {}
    }
}

/// What is taken for granted is told: no official word on candles was found (C.R.C. c. 417, s. 21).
fn by_kind(desk: &mut Desk<'_>) {
    let kind = desk.product.kind;
    let how = if desk.rule("ca/net-quantity").is_some() { "weight" } else { "count" };
    desk.tell(
        "ca/quantity-by-kind",
        Level::Note,
        "kind",
        format!("the quantity is declared by {how}: taken for granted that a {kind} is usually sold so"),
        "keep it, or ask the Competition Bureau how candles of this kind are usually sold",
    );
}

/// SOR/2016-165, s. 1.
fn relighting(desk: &mut Desk<'_>) {
    const RULE: &str = "ca/no-relighting";
    match desk.product.canada.relights {
        Some(false) => {}
        Some(true) => desk.tell(
            RULE,
            Level::Error,
            "relights",
            "the candle lights again by itself after it is put out: it may not be sold".to_owned(),
            "change its wick; no label stands for it",
        ),
        None => desk.tell(
            RULE,
            Level::Warning,
            "wick",
            "the file does not say that the candle stays out once it is put out".to_owned(),
            "put one out, watch it, and write `relights: no`",
        ),
    }
}

/// No clause of Canada names wicks; the limit of other countries stands in for the general prohibition.
fn lead(desk: &mut Desk<'_>) {
    let Some(most) = desk.rule("ca/wick-lead").and_then(|r| r.figure::<Share>("most")) else { return };
    let Some(wick) = &desk.product.wick else { return };
    let core = wick.metal_core.map_or("", MetalCore::word);
    let (message, cure) = match wick.lead {
        None => (
            format!("the wick has a core of {core}, and its lead is not declared"),
            "ask the supplier for the lead in percent of the core and write it as `lead: 0.01 %`",
        ),
        Some(lead) if lead > most => {
            (format!("the wick's core holds {lead} lead, more than {most}: a danger to health"), "do not use this wick")
        }
        Some(_) => return,
    };
    desk.tell("ca/wick-lead", Level::Error, "wick", message, cure);
}

/// Quebec: a word within a name that says what the product is appears in French too; which words do, the maker knows.
fn name(desk: &mut Desk<'_>) {
    let names = &desk.product.name;
    let (english, french) = (names.get(&Lang::En), names.get(&Lang::Fr));
    let Some(name) = english.filter(|_| french.is_none() || french == english) else { return };
    let message = format!("the name `{name}` stands in one language");
    let cure =
        "keep it where it only names; where a word of it describes the candle, give it in French with `name: {fr: …}`";
    desk.tell("ca-qc/name", Level::Note, "name", message, cure);
}

/// Whether a substance has a class with one of these statements.
fn has(ingredient: &Ingredient, codes: &[&str]) -> bool {
    ingredient.substance.classes.iter().any(|c| codes.iter().any(|code| c.code.starts_with(code)))
}

/// The screen for irritants (SOR/2001-269, s. 42(4), (5)): always told with its figures, never answered for the maker.
fn irritants(desk: &mut Desk<'_>, rule: &Rule) {
    const DESTROYS: [&str; 1] = ["H314"];
    const IRRITATES: [&str; 4] = ["H314", "H315", "H318", "H319"];
    let limit = |name: &str| rule.figure::<Share>(name).unwrap_or(Share::ZERO);
    let (from, destructive, corrosive) = (limit("irritant from"), limit("destructive from"), limit("corrosive from"));
    let mixture = match recipe::mixture(desk.product) {
        Ok((mixture, _)) => mixture,
        Err(faults) => {
            let why = faults.into_iter().next().map_or_else(String::new, |f| f.message);
            let message = format!("how much of it irritates skin or eyes cannot be worked out: {why}");
            let cure = "enter section 3 of the safety sheet under `safety sheet: {composition: …}`, or note with `accept` who judged it";
            return desk.tell(rule.id, Level::Warning, "recipe", message, cure);
        }
    };
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
