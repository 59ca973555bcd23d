//! Checks that only Canada asks for and that print nothing: held against the product while their rules are in force.

use super::checks::Desk;
use super::net;
use crate::find::Level;
use crate::law::Rule;
use crate::product::{Fill, Local, MetalCore, Product};
use crate::trade::{Lang, Market};
use crate::unit::{Mass, Share};
use jiff::civil::Date;

/// Runs every check; none tells anything outside of Canada.
pub(super) fn run(desk: &mut Desk<'_>, date: Date) {
    quantity(desk);
    by_kind(desk);
    relighting(desk);
    lead(desk);
    name(desk);
    local(desk);
    super::chemicals::run(desk, date);
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

const LOCAL: &str = "ca/local-product";

/// The one language of a product made and sold in one place, where the law lets it stand alone (C.R.C. c. 417, s. 6(1), (3);
/// Quebec asks for French whatever is sold where).
pub(super) fn one_language(product: &Product, market: Market, in_force: &[&Rule]) -> Option<Lang> {
    let local = product.canada.local.as_ref()?;
    let rule = in_force.iter().find(|r| r.id == LOCAL)?;
    wrong(product, market == Market::CaQc, local, rule).is_none().then_some(local.language)
}

/// Which of its conditions does not hold, and what to do.
fn wrong(product: &Product, for_quebec: bool, local: &Local, rule: &Rule) -> Option<(String, &'static str)> {
    let limit = |name: &str| rule.figure::<Share>(name);
    let (used, other) = local.used_and_other();
    let (from, under) = (limit("used from")?, limit("other under")?);
    let place = &local.municipality;
    if product.workshop.maker.country != "CA" {
        return Some((
            "the product counts as local, and its maker is not in Canada".to_owned(),
            "take `local product` out: it has to be made where it is sold",
        ));
    }
    // A local product is sold where it is made.
    let in_quebec = for_quebec || product.workshop.maker.region.as_deref() == Some("QC");
    if in_quebec && local.language != Lang::Fr {
        return Some((
            format!(
                "in Quebec the label stands in French, and `language` of the local product is `{}`",
                local.language
            ),
            "write `language: fr` where its conditions hold, or take `local product` out",
        ));
    }
    if used < from {
        return Some((
            format!(
                "in {place} {used} speak `{}` as mother tongue; one language is enough from {from}",
                local.language
            ),
            "take `local product` out: the label then stands in both languages",
        ));
    }
    (other >= under).then(|| {
        (
            format!("in {place} {other} speak the other language as mother tongue; one is enough under {under}"),
            "take `local product` out: the label then stands in both languages",
        )
    })
}

/// C.R.C. c. 417, s. 6(1), (3): refused where a condition does not hold, else told with what has to stay true.
fn local(desk: &mut Desk<'_>) {
    let Some(local) = desk.product.canada.local.clone() else { return };
    let Some(rule) = desk.rule(LOCAL) else { return };
    // Its own rules are in force in Quebec alone.
    let for_quebec = desk.rule("ca-qc/name").is_some();
    match wrong(desk.product, for_quebec, &local, rule) {
        Some((message, cure)) => desk.tell(LOCAL, Level::Error, "local product", message, cure),
        None => {
            let message = format!(
                "the label stands in `{}` alone: made and sold only in {} and the municipalities that touch it, each with such shares",
                local.language, local.municipality
            );
            let cure = "sell it nowhere else, neither by post; take `local product` out when you do";
            desk.tell(LOCAL, Level::Note, "local product", message, cure);
        }
    }
}
