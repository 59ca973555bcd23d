//! Acute toxicity of a mixture (Annex I 3.1.3): the estimates of its ingredients added up by route.

use super::Content;
use super::class::HazardClass;
use super::classify::{Desk, Found};
use super::content::Sum;
use super::mixture::{Dose, Ingredient, Route, State};
use super::outcome::Reason;
use super::table::{AcuteRow, TABLES};
use std::sync::Arc;

/// What adding up gave.
pub(super) struct Acute {
    pub ate_mix: Vec<(Route, f64)>,
    pub unknown: Content,
}

/// An ingredient that counts by a route.
struct Toxic {
    at: usize,
    ate: Dose,
}

/// 3.1.3.6.1: `100 / ATEmix = sum(C_i / ATE_i)` over the ingredients in the categories these rules have. Where more than
/// 10 % is of unknown toxicity, 100 is lowered by it (3.1.3.6.2.3). CLP knows categories 1 to 4; the UN GHS has a fifth.
pub(super) fn acute(desk: &mut Desk<'_>) -> Acute {
    let mut answer = Acute { ate_mix: Vec::new(), unknown: Content::ZERO };
    for route in Route::ALL.iter().copied() {
        let rows: Vec<&AcuteRow> =
            TABLES.acute.iter().filter(|r| r.route == route && r.only.is_none_or(|only| only == desk.rules)).collect();
        let unknown = unknown(desk, route);
        answer.unknown = answer.unknown.max(unknown);
        let toxic = counted(desk, route, &rows);
        if toxic.is_empty() {
            continue;
        }
        // at 10 % or less the plain formula holds
        let known =
            if unknown > Content::of(crate::unit::Share::percent(10)) { unknown.rest() } else { Content::WHOLE };
        let over = sum(desk, &toxic, Dose::whole(1), known);
        answer.ate_mix.push((route, (1e6 / over.as_f64()).round() / 1e6));
        if let Some(row) = rows.iter().find(|row| sum(desk, &toxic, row.up_to, known).reaches_one()) {
            found(desk, row, &toxic, known);
        }
    }
    if answer.unknown > Content::ZERO {
        desk.warnings.push(format!(
            "{} of the mixture consists of ingredients of unknown acute toxicity: say so on label and sheet (3.1.3.6.2.2)",
            answer.unknown
        ));
    }
    answer
}

/// `sum(C_i x bound / (ATE_i x known))`: at least one when the mixture's estimate is at most `bound`.
fn sum(desk: &Desk<'_>, toxic: &[Toxic], bound: Dose, known: Content) -> Sum {
    let mut sum = Sum::default();
    for t in toxic {
        let content = i128::from(desk.ingredients[t.at].content.to_parts());
        sum.add(
            content * i128::from(bound.to_millionths()),
            i128::from(t.ate.to_millionths()) * i128::from(known.to_parts()),
        );
    }
    sum
}

/// The class this row of the table makes; of several forms of what is breathed the most severe is kept later.
fn found(desk: &mut Desk<'_>, row: &AcuteRow, toxic: &[Toxic], known: Content) {
    let group = match row.route {
        Route::Oral => "acute toxicity oral",
        Route::Dermal => "acute toxicity dermal",
        Route::Vapour | Route::Dust | Route::Gas => "acute toxicity inhalation",
    };
    let class = HazardClass::all().find(|c| c.group().word() == group && c.category() == Some(row.category));
    let Some(class) = class else { return };
    let because = toxic.iter().map(|t| {
        let ingredient = &desk.ingredients[t.at];
        Reason {
            substance: Arc::clone(&ingredient.substance),
            content: ingredient.content,
            limit: None,
            is_specific: false,
            m: None,
            times: sum(desk, &[Toxic { at: t.at, ate: t.ate }], row.up_to, known).as_f64(),
        }
    });
    let because: Vec<Reason> = because.collect();
    let total = because.iter().map(|r| r.times).sum();
    let entry: &mut Found = desk.found.entry(class).or_default();
    if entry.because.is_empty() {
        *entry = Found { because, sum: Some(total) };
    }
}

/// Ingredients whose estimate lies in a category, present from the cut-off on: 0.1 % in categories 1 to 3, else 1 %
/// (Table 1.1, 3.1.3.3(a)).
fn counted(desk: &Desk<'_>, route: Route, rows: &[&AcuteRow]) -> Vec<Toxic> {
    let mut toxic = Vec::new();
    for at in desk.toxic.iter().copied() {
        let ingredient = &desk.ingredients[at];
        let Some(ate) = estimate(desk, ingredient, route, rows) else { continue };
        let Some(row) = rows.iter().find(|r| ate <= r.up_to) else { continue };
        let class = HazardClass::named(&format!("Acute Tox. {}", row.category));
        let from = class.and_then(|c| TABLES.cut_offs[c.index()]).map_or(Content::ZERO, |c| c.from);
        if ingredient.content >= from && ate > Dose::whole(0) {
            toxic.push(Toxic { at, ate });
        }
    }
    toxic
}

/// The estimate given, else what the category stands for (Table 3.1.2), else none.
fn estimate(desk: &Desk<'_>, ingredient: &Ingredient, route: Route, rows: &[&AcuteRow]) -> Option<Dose> {
    let substance = &ingredient.substance;
    if let Some(ate) = substance.ate[route.index()] {
        return Some(ate);
    }
    if substance.tested_above[route.index()].is_some() {
        return None;
    }
    let group = match route {
        Route::Oral => "acute toxicity oral",
        Route::Dermal => "acute toxicity dermal",
        // a class by breathing does not say the form: that of the mixture, unless a dose is known for another
        form => {
            let given = [Route::Vapour, Route::Dust, Route::Gas].iter().any(|r| substance.ate[r.index()].is_some());
            let usual = match desk.mixture.state {
                State::Solid => Route::Dust,
                State::Liquid => Route::Vapour,
                State::Gas => Route::Gas,
            };
            if given || form != usual {
                return None;
            }
            "acute toxicity inhalation"
        }
    };
    let category = substance.classes.iter().filter(|c| c.class.group().word() == group);
    let category = category.filter(|c| c.class.is_of(desk.rules)).filter_map(|c| c.class.category()).min()?;
    rows.iter().find(|r| r.category == category).map(|r| r.stands_for)
}

/// Ingredients from 1 % of which nothing is known by this route, together.
fn unknown(desk: &Desk<'_>, route: Route) -> Content {
    let from = Content::of(crate::unit::Share::percent(1));
    let of = |i: &&Ingredient| i.substance.unknown_toxicity[route.index()] && i.content >= from;
    let rows: Vec<&AcuteRow> = TABLES.acute.iter().filter(|r| r.route == route).collect();
    desk.toxic
        .iter()
        .map(|at| &desk.ingredients[*at])
        .filter(of)
        .filter(|i| estimate(desk, i, route, &rows).is_none())
        .fold(Content::ZERO, |sum, i| sum.plus(i.content))
        .min(Content::WHOLE)
}
