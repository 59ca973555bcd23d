//! One rule file → one [`Rule`]; the first half of the checks on rules (those one file can fail alone).

use super::{Citation, Day, Fact, Fault, Height, Rule, Source, at, keep, shown, yaml};
use crate::trade::{BlockName, Evidence, Market, Measure, Severity, Sign};
use crate::unit::{Days, Hours, Length, Mass, Quantity, Share, Temperature, Volume, exact};
use serde::de::{MapAccess, SeqAccess, Visitor, value::MapAccessDeserializer, value::SeqAccessDeserializer};
use serde::{Deserialize, Deserializer};
use serde_yaml::Spanned;
use std::collections::BTreeMap;
use std::fmt;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    title: Spanned<String>,
    markets: Markets,
    severity: Spanned<Severity>,
    stricter: Option<Spanned<String>>,
    applies: BTreeMap<Fact, Spanned<Vec<Spanned<String>>>>,
    needs: Vec<Spanned<String>>,
    #[serde(default)]
    governs: Vec<Spanned<String>>,
    block: Option<BlockName>,
    #[serde(default)]
    symbols: Vec<Spanned<Sign>>,
    #[serde(default)]
    panel: Panel,
    #[serde(default)]
    height: RawHeight,
    #[serde(default)]
    bold: bool,
    #[serde(rename = "clear space")]
    clear: Option<Clear>,
    #[serde(rename = "lowest percent")]
    lowest_percent: Option<Spanned<u8>>,
    #[serde(default)]
    figures: BTreeMap<String, Spanned<String>>,
    because: Spanned<String>,
    #[serde(rename = "you may")]
    you_may: Spanned<String>,
    source: Spanned<Vec<RawCitation>>,
    valid: Option<Valid>,
}

/// The keys of a rule file in the order they are written.
const ORDER: &[&str] = &[
    "title",
    "markets",
    "severity",
    "stricter",
    "applies",
    "needs",
    "governs",
    "block",
    "symbols",
    "panel",
    "height",
    "bold",
    "clear space",
    "lowest percent",
    "figures",
    "because",
    "you may",
    "source",
    "valid",
];

#[derive(Deserialize, Default)]
#[serde(rename_all = "lowercase")]
enum Panel {
    Principal,
    #[serde(rename = "not the bottom")]
    NotTheBottom,
    #[default]
    Any,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Clear {
    heights: u8,
    #[serde(rename = "widths of n")]
    widths_of_n: u8,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawCitation {
    law: Spanned<String>,
    #[serde(default)]
    clause: String,
    seen: Evidence,
    read: Spanned<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Valid {
    from: Option<Spanned<String>>,
    to: Option<Spanned<String>>,
}

struct Markets(Vec<Market>);

impl<'de> Deserialize<'de> for Markets {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct AllOrList;
        impl<'de> Visitor<'de> for AllOrList {
            type Value = Markets;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("`all` or a list of markets such as `[us, ca]`")
            }
            fn visit_str<E: serde::de::Error>(self, word: &str) -> Result<Markets, E> {
                if word == "all" {
                    Ok(Markets(Market::ALL.to_vec()))
                } else {
                    Err(E::invalid_value(serde::de::Unexpected::Str(word), &self))
                }
            }
            fn visit_seq<A: SeqAccess<'de>>(self, seq: A) -> Result<Markets, A::Error> {
                Vec::deserialize(SeqAccessDeserializer::new(seq)).map(Markets)
            }
        }
        d.deserialize_any(AllOrList)
    }
}

#[derive(Default)]
enum RawHeight {
    #[default]
    None,
    Some(Box<RawLeast>),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawLeast {
    least: Option<Spanned<String>>,
    table: Option<Spanned<String>>,
    measure: Spanned<Measure>,
}

impl<'de> Deserialize<'de> for RawHeight {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct NoneOrMap;
        impl<'de> Visitor<'de> for NoneOrMap {
            type Value = RawHeight;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str(
                    "`none`, `{least: 1.6 mm, measure: capital}` or `{table: us-panel-height, measure: net quantity}`",
                )
            }
            fn visit_str<E: serde::de::Error>(self, word: &str) -> Result<RawHeight, E> {
                if word == "none" {
                    Ok(RawHeight::None)
                } else {
                    Err(E::invalid_value(serde::de::Unexpected::Str(word), &self))
                }
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<RawHeight, A::Error> {
                RawLeast::deserialize(MapAccessDeserializer::new(map)).map(|least| RawHeight::Some(Box::new(least)))
            }
        }
        d.deserialize_any(NoneOrMap)
    }
}

/// Reads the rule `id` from the text of its file.
///
/// # Errors
/// Every fault that this file has by itself.
pub(super) fn read(id: &str, text: &str, sources: &[Source]) -> Result<Rule, Vec<Fault>> {
    let path = &format!("{id}.yaml");
    let raw: Raw = serde_yaml::from_str(text).map_err(|e| vec![yaml(path, &e)])?;
    let mut faults = order(path, text);
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | '/');
    if !id.chars().all(plain) {
        faults.push(super::whole(path, "the name of a rule file holds only small letters, digits and hyphens"));
    }
    let applies = facts(path, raw.applies, &mut faults);
    let height = height(path, raw.height, &mut faults);
    let figures = figures(path, raw.figures, &mut faults);
    let citations = citations(path, raw.source, sources, &mut faults);
    let mut sentence = |text: Spanned<String>| {
        let one = text.value.trim();
        if one.is_empty() || one.contains('\n') || !one.ends_with(['.', '?']) {
            faults.push(at(path, &text, "is not one plain sentence with a full stop"));
        }
        keep(one.to_owned())
    };
    let (because, you_may) = (sentence(raw.because), sentence(raw.you_may));
    let mut day = |text: Option<Spanned<String>>| {
        text.and_then(|t| {
            Day::parse(&t.value).or_else(|| {
                faults.push(at(path, &t, not_a_day(&t.value)));
                None
            })
        })
    };
    let valid = raw.valid.unwrap_or(Valid { from: None, to: None });
    let (from, to) = (day(valid.from), day(valid.to));
    if from.is_some() && to.is_some() && from > to {
        faults.push(super::whole(path, "`valid` ends before it begins"));
    }
    if let Some(percent) = raw.lowest_percent.as_ref().filter(|p| !(1..=100).contains(&p.value)) {
        faults.push(at(path, percent, "`lowest percent` is a share of the panel from 1 to 100"));
    }
    let only_memory =
        !citations.is_empty() && citations.iter().all(|c| matches!(c.seen, Evidence::Memory | Evidence::Policy));
    if raw.severity.value == Severity::Required && only_memory && raw.stricter.is_none() {
        let cure = "read its source, choose `standard` or `advice`, or say in `stricter` why being wrong does no harm";
        faults.push(at(path, &raw.severity, format!("a rule known only from memory cannot be `required`: {cure}")));
    }
    if raw.severity.value == Severity::Input {
        faults.push(at(
            path,
            &raw.severity,
            "`input` is for faults of files: choose `required`, `standard`, `advice` or `policy`",
        ));
    }
    if matches!(raw.severity.value, Severity::Policy | Severity::Advice) {
        let texts = [raw.title.value.as_str(), because, you_may];
        for word in ["required", "by law"] {
            if texts.iter().any(|t| t.to_lowercase().contains(word)) {
                let what = raw.severity.value;
                faults.push(at(
                    path,
                    &raw.severity,
                    format!("a row of `{what}` may not say `{word}`: it binds nobody"),
                ));
            }
        }
    }
    if !raw.needs.is_empty() && raw.block.is_none() {
        faults.push(at(path, &raw.needs[0], "a rule with statements names the `block` they stand in"));
    }
    if let (Some(sign), None) = (raw.symbols.first(), raw.block) {
        faults.push(at(path, sign, "a rule with signs names the `block` they stand in"));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let list = |texts: Vec<Spanned<String>>| -> &'static [&'static str] {
        texts.into_iter().map(|t| keep(t.value)).collect::<Vec<_>>().leak()
    };
    Ok(Rule {
        id: keep(id.to_owned()),
        title: keep(raw.title.value),
        markets: raw.markets.0.leak(),
        severity: raw.severity.value,
        stricter: raw.stricter.map(|s| keep(s.value)),
        applies,
        needs: list(raw.needs),
        governs: list(raw.governs),
        block: raw.block,
        symbols: raw.symbols.into_iter().map(|s| s.value).collect::<Vec<_>>().leak(),
        principal: matches!(raw.panel, Panel::Principal),
        off_bottom: matches!(raw.panel, Panel::NotTheBottom),
        height,
        bold: raw.bold,
        clear: raw.clear.map(|c| (c.heights, c.widths_of_n)),
        lowest_percent: raw.lowest_percent.map(|p| p.value),
        figures,
        because,
        you_may,
        sources: citations.leak(),
        from,
        to,
        file: keep(shown(path)),
    })
}

fn not_a_day(text: &str) -> String {
    format!("`{text}` is not a day: write it as `2026-11-25`")
}

/// The keys stand in the order of `TEMPLATE.yaml`, so that two rules can be laid side by side.
fn order(path: &str, text: &str) -> Vec<Fault> {
    let mut last = 0;
    for (line, key) in (1..).zip(text.lines()).filter_map(|(n, l)| Some((n, l.split_once(':')?.0))) {
        let Some(index) = ORDER.iter().position(|k| *k == key) else { continue };
        if index < last {
            let message = format!("`{key}` stands before `{}` in a rule file", ORDER[last]);
            return vec![Fault { file: shown(path), line, column: 1, message }];
        }
        last = index;
    }
    Vec::new()
}

type Applies = &'static [(Fact, &'static [&'static str])];

fn facts(path: &str, raw: BTreeMap<Fact, Spanned<Vec<Spanned<String>>>>, faults: &mut Vec<Fault>) -> Applies {
    let mut out: Vec<(Fact, &'static [&'static str])> = Vec::new();
    for (fact, list) in raw {
        let known = fact.values();
        for value in list.value.iter().filter(|v| !known.contains(&v.value.as_str())) {
            let known = known.join("`, `");
            faults.push(at(path, value, format!("`{}` is not a value of `{fact}`: use one of `{known}`", value.value)));
        }
        if list.value.is_empty() {
            faults.push(at(path, &list, format!("`{fact}` has no values, so the rule could never apply")));
        }
        let values: Vec<_> = known.into_iter().filter(|k| list.value.iter().any(|v| v.value == *k)).collect();
        out.push((fact, values.leak()));
    }
    out.leak()
}

fn height(path: &str, raw: RawHeight, faults: &mut Vec<Fault>) -> Height {
    let RawHeight::Some(raw) = raw else { return Height::None };
    let measure = raw.measure.value;
    match (raw.least, raw.table) {
        (Some(least), None) => match Length::parse(&least.value) {
            Ok(length) => return Height::Least { least: length, measure },
            Err(wrong) => faults.push(at(path, &least, wrong.to_string())),
        },
        (None, Some(table)) => return Height::Table { name: keep(table.value), measure },
        _ => faults.push(at(path, &raw.measure, "`height` has either `least` or `table`")),
    }
    Height::None
}

/// Numbers are kept as written; here they only have to be some quantity, or a number without unit.
fn figures(path: &str, raw: BTreeMap<String, Spanned<String>>, faults: &mut Vec<Fault>) -> Figures {
    let reads = |t: &str| {
        let quantity = [is::<Length>(t), is::<Mass>(t), is::<Share>(t), is::<Hours>(t), is::<Days>(t)];
        quantity.contains(&true) || is::<Temperature>(t) || is::<Volume>(t) || exact(t).is_ok()
    };
    for (name, text) in raw.iter().filter(|(_, text)| !reads(&text.value)) {
        let message = format!("`{}` of `{name}` is not a number with a unit, such as `1/4 in` or `4 h`", text.value);
        faults.push(at(path, text, message));
    }
    raw.into_iter().map(|(name, text)| (keep(name), keep(text.value))).collect::<Vec<_>>().leak()
}

type Figures = &'static [(&'static str, &'static str)];

fn is<Q: Quantity>(text: &str) -> bool {
    Q::parse(text).is_ok()
}

fn citations(path: &str, raw: Spanned<Vec<RawCitation>>, sources: &[Source], faults: &mut Vec<Fault>) -> Vec<Citation> {
    if raw.value.is_empty() {
        faults.push(at(path, &raw, "a rule without source cannot be told from a guess: name at least one"));
    }
    let mut out = Vec::new();
    for row in raw.value {
        let source = sources.iter().find(|s| s.key == row.law.value);
        if source.is_none() {
            let known = sources.iter().map(|s| s.key).collect::<Vec<_>>().join("`, `");
            let message = format!("`{}` is not in `rules/sources.yaml`, which has `{known}`", row.law.value);
            faults.push(at(path, &row.law, message));
        }
        let read = Day::parse(&row.read.value);
        if read.is_none() {
            faults.push(at(path, &row.read, not_a_day(&row.read.value)));
        }
        if let (Some(source), Some(read)) = (source, read) {
            out.push(Citation { law: source.key, short: source.short, clause: keep(row.clause), seen: row.seen, read });
        }
    }
    out
}
