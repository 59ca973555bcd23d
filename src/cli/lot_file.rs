//! `lot CODE enter FILE`: a filled-in form, YAML or CSV, to entries, for those who write on paper first.

use super::lot_add::known_material;
use super::{Stop, files, lot_rows};
use crate::find::{Finding, Place, Report};
use crate::ledger::{Event, Left, LotRecord};
use crate::lot::LotCode;
use crate::unit::Mass;
use crate::yaml::{self, Form, Node, Value};
use std::path::Path;

pub const KEYS: &[&str] = &[
    "lot",
    "by",
    "weighed",
    "bottle before",
    "bottle after",
    "left",
    "measured",
    "count",
    "labels",
    "fills",
    "scale step",
    "retained",
    "notes",
    "deviations",
];

/// The entries of a file, in the order of the work.
pub fn read(path: &Path, record: &LotRecord) -> Result<Vec<Event>, Stop> {
    let source = files::read(path)?;
    let is_csv = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("csv"));
    let node =
        if is_csv { lot_rows::node(&source).map_err(Stop::of)? } else { yaml::read(&source).map_err(Stop::input)? };
    let report = Report::new();
    let events = entries(&node, record, &report);
    let findings = report.into_findings();
    if crate::find::stops(&findings) {
        return Err(Stop::of(findings));
    }
    let events = events.unwrap_or_default();
    if events.is_empty() {
        return Err(Stop::input(Finding::input(
            "lot/nothing-entered",
            format!("`{}` enters nothing", path.display()),
            format!("it may hold `{}`", KEYS.join("`, `")),
        )));
    }
    Ok(events)
}

fn entries(node: &Node, record: &LotRecord, report: &Report) -> Option<Vec<Event>> {
    let form = Form::open(node, "entries of a lot", KEYS, report)?;
    let lot = form.need_text("lot", &record.lot.code.to_string())?;
    if LotCode::parse(&lot.value) != Ok(record.lot.code) {
        report.add(
            Finding::input(
                "lot/another-lot",
                format!("this file is about lot `{}`, and {} was named", lot.value, record.lot.code),
                "name the lot the file is about",
            )
            .at(&lot.place, "here"),
        );
    }
    let by = form.text("by").map(|t| t.value);
    let mut events = Vec::new();
    let step = form.quantity::<Mass>("scale step").map(|q| q.value);
    for (material, node) in pairs(&form, "weighed", report) {
        known(record, &material, &node.place, report);
        if let Some(grams) = node.quantity::<Mass>(report) {
            events.push(Event::Weigh { material, grams: grams.value, by: by.clone() });
        }
    }
    events.extend(bottles(&form, record, step, by.as_ref(), report));
    for (what, node) in pairs(&form, "measured", report) {
        if let Some(value) = node.text(report) {
            events.push(Event::Measure { what, value: value.value, should: None, by: by.clone() });
        }
    }
    for (to, node) in pairs(&form, "left", report) {
        match (Left::from_word(&to), node.quantity::<Mass>(report)) {
            (Some(to), Some(grams)) => events.push(Event::Left { to, grams: grams.value, by: by.clone() }),
            (None, _) => report.add(
                Finding::input(
                    "lot/left-where",
                    format!("`{to}` is nowhere wax can be left"),
                    "write `store`, `waste` or `sample`",
                )
                .at(&node.place, "here"),
            ),
            _ => {}
        }
    }
    if let Some(node) = form.get("count") {
        let inner = Form::open(node, "a count", &["good", "scrapped"], report)?;
        inner.need("good", "24")?;
        let good = inner.count("good", 1_000_000)?.value;
        let scrapped = inner.count("scrapped", 1_000_000).map_or(0, |c| c.value);
        if record.standing().any(|e| matches!(e, Event::Count { .. })) {
            report.add(
                Finding::input(
                    "lot/counted-already",
                    format!("lot {} was counted already", record.lot.code),
                    "strike that entry first, or take the count out of this file",
                )
                .at(&node.place, "here"),
            );
        }
        events.push(Event::Count { good, scrapped, by: by.clone() });
    }
    if let Some(node) = form.get("labels") {
        let inner = Form::open(node, "labels", &["printed", "used", "spoiled"], report)?;
        let count = |key| inner.count(key, 1_000_000).map_or(0, |c| c.value);
        events.push(Event::Labels {
            printed: count("printed"),
            used: count("used"),
            spoiled: count("spoiled"),
            by: by.clone(),
        });
    }
    let grams: Vec<Mass> =
        form.list("fills").iter().filter_map(|n| n.quantity::<Mass>(report)).map(|q| q.value).collect();
    if !grams.is_empty() {
        events.push(Event::Fill { grams, step, by: by.clone() });
    }
    if let Some(node) = form.get("retained") {
        let inner = Form::open(node, "retained units", &["units", "place"], report)?;
        let units = inner.count("units", 1_000_000)?.value;
        let place = inner.need_text("place", "cool cupboard")?.value;
        events.push(Event::Retain { units, place, until: None, by: by.clone() });
    }
    for (key, deviation) in [("notes", false), ("deviations", true)] {
        for text in form.list(key).iter().filter_map(|n| n.text(report)) {
            events.push(Event::Note { text: text.value, deviation, by: by.clone() });
        }
    }
    Some(events)
}

/// Told where a material is none of the lot.
fn known(record: &LotRecord, material: &str, place: &Place, report: &Report) {
    if let Err(Stop::Input(findings)) = known_material(record, material) {
        for finding in findings {
            report.add(finding.at(place, "here"));
        }
    }
}

/// Each bottle's weight before with its weight after.
fn bottles(
    form: &Form<'_>,
    record: &LotRecord,
    step: Option<Mass>,
    by: Option<&String>,
    report: &Report,
) -> Vec<Event> {
    let mut after: Vec<_> = pairs(form, "bottle after", report);
    let mut events = Vec::new();
    let odd = |id: &str, message: String, cure: &str, node: &Node| {
        report.add(Finding::input(id, message, cure).at(&node.place, "here"));
    };
    for (material, node) in pairs(form, "bottle before", report) {
        known(record, &material, &node.place, report);
        let Some(place) = after.iter().position(|(other, _)| *other == material) else {
            let message = format!("the bottle of `{material}` has no weight after");
            odd("lot/bottle-half", message, "write it under `bottle after`", node);
            continue;
        };
        let (_, second) = after.remove(place);
        let (Some(before), Some(after)) = (node.quantity::<Mass>(report), second.quantity::<Mass>(report)) else {
            continue;
        };
        let (before, after) = (before.value, after.value);
        if after > before {
            let message = format!("the bottle weighs {} after and {} before", after.in_g(3), before.in_g(3));
            odd("lot/bottle-grew", message, "swap the two, or weigh it again", second);
        }
        events.push(Event::Bottle { material, before, after, step, by: by.cloned() });
    }
    for (material, node) in after {
        let message = format!("the bottle of `{material}` has no weight before");
        odd("lot/bottle-half", message, "write it under `bottle before`", node);
    }
    events
}

/// The entries of a map of free keys.
fn pairs<'a>(form: &Form<'a>, key: &str, report: &Report) -> Vec<(String, &'a Node)> {
    match form.get(key) {
        None => Vec::new(),
        Some(Node { value: Value::Map(entries), .. }) => entries.iter().map(|(k, n)| (k.word.clone(), n)).collect(),
        Some(node) => {
            report.add(
                Finding::input(
                    "file/wrong-shape",
                    format!("`{key}` lists names with what was read"),
                    format!("write `{key}:` and below it a line each, for example `  kelp-and-cedar: 115.7 g`"),
                )
                .at(&node.place, "here"),
            );
            Vec::new()
        }
    }
}
