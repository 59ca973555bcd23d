//! Where a product is sold: markets, and for the European Union the countries with their languages.

use crate::find::{Finding, Report, nearest};
use crate::trade::{Lang, Market};
use crate::yaml::{Form, Node, Value};
use serde::Serialize;
use std::sync::OnceLock;

/// A member state of the European Union and the languages of its labels.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Country {
    /// Two small letters, as in `rules/markets/eu-languages.csv`.
    pub code: &'static str,
    /// Languages a label there carries.
    pub languages: Vec<Lang>,
}

/// Every member state, by code.
pub fn countries() -> &'static [Country] {
    static ROWS: OnceLock<Vec<Country>> = OnceLock::new();
    ROWS.get_or_init(|| {
        include_str!("../../rules/markets/eu-languages.csv")
            .lines()
            .skip(1)
            .filter_map(|row| {
                let mut cells = row.split(',');
                let (code, languages) = (cells.next()?, cells.next()?);
                Some(Country { code, languages: languages.split(';').filter_map(Lang::from_word).collect() })
            })
            .collect()
    })
}

/// Reads `markets: [us, gb, {eu: [fr, be]}]`.
pub(super) fn read(form: &Form<'_>, report: &Report) -> (Vec<Market>, Vec<Country>) {
    let (mut markets, mut to) = (Vec::new(), Vec::new());
    for node in form.list("markets") {
        let market = match &node.value {
            Value::Map(_) => union(node, &mut to, report),
            _ => node.word::<Market>(report).map(|m| m.value),
        };
        if let Some(market) = market
            && !markets.contains(&market)
        {
            markets.push(market);
        }
    }
    if markets.contains(&Market::Eu)
        && to.is_empty()
        && let Some(node) = form.get("markets")
        && !report.stops()
    {
        report.add(
            Finding::input(
                "file/eu-without-countries",
                "the European Union has 24 languages, and the file does not say which countries the product goes to",
                "write them in place of `eu`: `markets: [{eu: [fr, ie]}]`",
            )
            .at(&node.place, "here"),
        );
    }
    (markets, to)
}

fn union(node: &Node, to: &mut Vec<Country>, report: &Report) -> Option<Market> {
    let form = Form::open(node, "a market with countries", &["eu"], report)?;
    for node in form.list("eu") {
        let Some(text) = node.text(report) else { continue };
        let code = text.value.to_lowercase();
        if let Some(country) = countries().iter().find(|c| c.code == code) {
            if !to.contains(country) {
                to.push(country.clone());
            }
            continue;
        }
        let codes: Vec<&str> = countries().iter().map(|c| c.code).collect();
        let near = nearest(&code, &codes).map_or_else(String::new, |n| format!("did you mean `{n}`? "));
        report.add(
            Finding::input(
                "file/wrong-word",
                format!("`{}` is no country of the European Union", text.value),
                format!("{near}use one of `{}`", codes.join("`, `")),
            )
            .at(&text.place, "here"),
        );
    }
    form.need("eu", "[fr, ie]").map(|_| Market::Eu)
}

#[cfg(test)]
mod tests {
    use super::countries;

    /// The European Union has 27 member states (Treaty on European Union, Article 52, and the withdrawal of 2020).
    #[test]
    fn every_member_state_has_a_language() {
        assert_eq!(countries().len(), 27);
        assert!(countries().iter().all(|c| !c.languages.is_empty()), "{:?}", countries());
    }
}
