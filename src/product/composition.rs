//! Lines of section 3 of a safety data sheet, as keys and values or pasted as one line; used by `material` and `mixture`.
//!
//! A pasted line is `name; CAS or EC number; percentage; class, statement; …`, its parts in any order after the name:
//!
//! ```text
//! line  = name { ";" part }
//! part  = CAS | EC | range | class | "M" ["acute"|"chronic"] "=" n | "SCL" class ":" n "%" | "ATE" route ":" n [unit]
//! range = n ["-" n] "%" | "<" n "%"          class = as printed: `Skin Sens. 1B, H317`
//! route = oral | dermal | vapour | dust | gas
//! ```

use crate::find::{Finding, Place, Report};
use crate::hazard::{self, Content, Dose, HazardClass, Printed, Route, SpecificLimit, Stated, cas_holds, ec_holds};
use crate::unit::{Quantity, Share, Wrong, exact};
use crate::yaml::{Form, Node, Value};
use std::sync::Arc;

/// A line of section 3.
#[derive(Debug, Clone)]
pub struct Substance {
    /// As the sheet prints it.
    pub name: String,
    /// CAS number.
    pub cas: Option<String>,
    /// Lower and upper end, of the material or mixture.
    pub percent: (Share, Share),
    /// Its hazards.
    pub hazards: Arc<hazard::Substance>,
    /// Where it stands.
    pub place: Place,
}

const KEYS: &[&str] = &[
    "name",
    "cas",
    "ec",
    "percent",
    "classes",
    "limits",
    "m",
    "ate",
    "tested above",
    "tested_above",
    "unknown toxicity",
    "unknown_toxicity",
    "ph",
    "additive",
    "note",
];

/// Reads the lines of a composition; faults go to the report.
pub(super) fn composition(nodes: &[Node], report: &Report) -> Vec<Substance> {
    let read: Vec<Substance> = nodes.iter().filter_map(|n| substance(n, report)).collect();
    let least: i64 = read.iter().map(|s| s.percent.0.to_ppb()).sum();
    // Sheets round their figures: half a percent over the whole is still taken for that.
    if least > Share::WHOLE.to_ppb() + 5_000_000
        && let (Some(first), Some(last)) = (read.first(), read.last())
    {
        let tenths = least / 1_000_000;
        report.add(
            Finding::input(
                "file/over-the-whole",
                format!("the composition comes to {}.{} %, counted by the lower ends", tenths / 10, tenths % 10),
                "copy the percentages again: together the lower ends are at most 100 %",
            )
            .at(&first.place, "from here")
            .at(&last.place, "to here"),
        );
    }
    read
}

fn substance(node: &Node, report: &Report) -> Option<Substance> {
    if matches!(node.value, Value::Text(_)) {
        return pasted(node, report);
    }
    let form = Form::open(node, "a line of section 3", KEYS, report)?;
    let name = form.need_text("name", "linalool");
    let mut hazards = hazard::Substance::default();
    for (key, what) in [("cas", "a CAS number"), ("ec", "an EC number")] {
        let holds = if key == "cas" { cas_holds } else { ec_holds };
        let number = form.text(key);
        if let Some(number) = &number
            && !holds(&number.value)
        {
            report.add(wrong_number(key, what, &number.value).at(&number.place, "here"));
        }
        *(if key == "cas" { &mut hazards.cas } else { &mut hazards.ec }) = number.map(|n| n.value);
    }
    let percent = percent(&form, report);
    for node in form.list("classes") {
        if let Some(text) = node.text(report) {
            let read = told(Stated::parse_all(&text.value), "file/hazard-class", &text.place, report);
            add(read.unwrap_or_default(), &mut hazards);
        }
    }
    if let Some(limits) = form.get("limits") {
        hazards.limits = specific_limits(limits, report);
    }
    if let Some(m) = form.get("m") {
        hazards.m = m_factors(m, report);
    }
    for (key, doses) in [("ate", &mut hazards.ate), ("tested above", &mut hazards.tested_above)] {
        if let Some(node) = form.get(key).or_else(|| form.get(&key.replace(' ', "_"))) {
            *doses = routes(node, report);
        }
    }
    for key in ["unknown toxicity", "unknown_toxicity"] {
        for node in form.list(key) {
            unknown(node, &mut hazards.unknown_toxicity, report);
        }
    }
    hazards.ph = form.get("ph").and_then(|n| number(n, report));
    hazards.additive = form.yes_no("additive");
    hazards.name = name?.value;
    Some(finished(hazards, percent?, &form.place()))
}

fn finished(hazards: hazard::Substance, percent: (Share, Share), place: &Place) -> Substance {
    Substance {
        name: hazards.name.clone(),
        cas: hazards.cas.clone(),
        percent,
        hazards: Arc::new(hazards),
        place: place.clone(),
    }
}

fn wrong_number(key: &str, what: &str, number: &str) -> Finding {
    Finding::input(
        format!("file/{key}-number"),
        format!("`{number}` is not {what}: its last digit does not fit the others"),
        "copy it again from section 3 of the sheet",
    )
}

fn told<T>(read: Result<T, Wrong>, id: &str, place: &Place, report: &Report) -> Option<T> {
    read.map_err(|wrong| report.add(Finding::input(id, wrong.message, wrong.cure).at(place, "here"))).ok()
}

fn add(printed: Vec<Printed>, hazards: &mut hazard::Substance) {
    for one in printed {
        match one {
            Printed::Class(stated) => hazards.classes.push(stated),
            Printed::Supplemental(code) => hazards.supplemental.push(code),
        }
    }
}

/// `percent: 5`, `percent: [10, 20]` or a text such as `10-20 %`.
fn percent(form: &Form<'_>, report: &Report) -> Option<(Share, Share)> {
    form.need("percent", "[10, 20]")?;
    let nodes = form.list("percent");
    let ends: Vec<_> = nodes
        .iter()
        .filter_map(|n| {
            let text = n.text(report)?;
            told(range(&text.value), "file/wrong-quantity", &text.place, report)
        })
        .collect();
    if ends.len() != nodes.len() {
        return None;
    }
    let place = nodes.first().map_or_else(|| form.place(), |n| n.place.clone());
    match ends.as_slice() {
        [one] => Some(*one),
        [(low, lower), (high, upper)] if low == lower && high == upper && low <= high => Some((*low, *high)),
        [(low, lower), (high, upper)] if low == lower && high == upper => {
            report.add(reversed(*low, *high).at(&place, "here"));
            None
        }
        _ => {
            report.add(
                Finding::input(
                    "file/wrong-range",
                    "a share of section 3 is one figure, or the lower and the upper end",
                    "write for example `percent: [10, 20]`",
                )
                .at(&place, "in this line"),
            );
            None
        }
    }
}

fn reversed(low: Share, high: Share) -> Finding {
    Finding::input(
        "file/wrong-range",
        format!("the range runs from {low} down to {high}"),
        format!("write the lower end first: `percent: [{}, {}]`", bare(high), bare(low)),
    )
}

fn bare(share: Share) -> String {
    share.in_percent(7).trim_end_matches(" %").to_owned()
}

/// `5`, `5 %`, `10-20 %`, `>= 10 - < 20 %` or `< 1 %`: lower and upper end.
fn range(text: &str) -> Result<(Share, Share), Wrong> {
    let share = |text: &str| {
        let figure = text.trim().trim_start_matches(['<', '>', '=', '≤', '≥', ' ']).trim_end_matches('%').trim();
        Share::parse(&format!("{figure} %"))
    };
    let trimmed = text.trim().trim_end_matches('%').trim();
    if let Some((low, high)) = trimmed.split_once(['-', '–']).filter(|(low, _)| !low.trim().is_empty()) {
        let (low, high) = (share(low)?, share(high)?);
        return if low <= high {
            Ok((low, high))
        } else {
            Err(Wrong::new(
                format!("the range runs from {low} down to {high}"),
                format!("write the lower end first: `{}-{} %`", bare(high), bare(low)),
            ))
        };
    }
    if trimmed.starts_with(['<', '≤']) {
        return Ok((Share::ZERO, share(trimmed)?));
    }
    if trimmed.starts_with(['>', '≥']) {
        return Err(Wrong::new(
            format!("`{}` has no upper end", text.trim()),
            "the upper end counts: write it as `10-20 %`, or ask the supplier",
        ));
    }
    share(trimmed).map(|one| (one, one))
}

/// A limit as printed: `0.01`, `0.01 %`, `C >= 0.01 %`, or the range in which the class holds, whose lower end counts.
fn limit(text: &str) -> Result<Content, Wrong> {
    let figure = text.trim().trim_start_matches(['C', 'c', ' ', '>', '=', '≥']);
    let (from, _) = range(figure)?;
    if from == Share::ZERO {
        return Err(Wrong::new(
            format!("`{}` has no lower end above nothing", text.trim()),
            "write the percentage from which the class holds: `0.01`",
        ));
    }
    Ok(Content::of(from))
}

/// `limits: {Skin Sens. 1A: 0.01}`.
fn specific_limits(node: &Node, report: &Report) -> Vec<SpecificLimit> {
    let Value::Map(entries) = &node.value else {
        report.add(
            Finding::input(
                "file/wrong-shape",
                "specific limits are written by class",
                "write for example `limits: {Skin Sens. 1A: 0.01}`",
            )
            .at(&node.place, "here"),
        );
        return Vec::new();
    };
    let mut limits = Vec::new();
    for (key, value) in entries {
        let class = told(limited_class(&key.word), "file/hazard-class", &key.place, report);
        let from = value.text(report).and_then(|t| told(limit(&t.value), "file/wrong-quantity", &t.place, report));
        if let (Some((class, code)), Some(from)) = (class, from) {
            limits.push(SpecificLimit { class, code, from });
        }
    }
    limits
}

/// A class a limit is for; the statement may be left out.
fn limited_class(text: &str) -> Result<(HazardClass, Option<String>), Wrong> {
    if let Some(class) = HazardClass::named(text.trim()).filter(|_| !text.contains(',')) {
        return Ok((class, None));
    }
    match Stated::parse(text)? {
        Printed::Class(stated) => Ok((stated.class, Some(stated.code))),
        Printed::Supplemental(code) => {
            Err(Wrong::new(format!("`{code}` is no class with a limit"), "write for example `Skin Sens. 1A: 0.01`"))
        }
    }
}

/// `m: {acute: 10, chronic: 1}`.
fn m_factors(node: &Node, report: &Report) -> hazard::MFactors {
    let Some(form) = Form::open(node, "M factors", &["acute", "chronic"], report) else {
        return hazard::MFactors::default();
    };
    let read = |key: &str| form.count(key, MOST_M).map(|n| n.value);
    hazard::MFactors { acute: read("acute"), chronic: read("chronic") }
}

const MOST_M: u32 = 100_000_000;
const ROUTE_KEYS: &[&str] = &["oral", "dermal", "vapour", "dust", "gas"];

/// `ate: {oral: 890}`.
fn routes(node: &Node, report: &Report) -> [Option<Dose>; 5] {
    let mut doses = [None; 5];
    if let Some(form) = Form::open(node, "a list of doses by route", ROUTE_KEYS, report) {
        for (route, dose) in Route::ALL.iter().zip(&mut doses) {
            *dose = form.get(route.word()).and_then(|n| {
                let text = n.text(report)?;
                told(dose_of(&text.value, *route), "file/wrong-quantity", &text.place, report)
            });
        }
    }
    doses
}

fn dose_of(text: &str, route: Route) -> Result<Dose, Wrong> {
    let figure = text.trim().trim_end_matches("bw").trim().trim_end_matches(route.unit()).trim();
    let number = exact(figure)?;
    if number.is_zero() {
        return Err(Wrong::new("a dose of nothing", format!("write it in {}: `890`", route.unit())));
    }
    Dose::of(number).ok_or_else(|| Wrong::new(format!("`{figure}` is too large"), "check the figure"))
}

fn number(node: &Node, report: &Report) -> Option<Dose> {
    let text = node.text(report)?;
    let read = exact(&text.value).and_then(|n| {
        Dose::of(n).ok_or_else(|| Wrong::new(format!("`{}` is too large", text.value), "check the figure"))
    });
    told(read, "file/wrong-number", &text.place, report)
}

/// A bare figure such as a pH or a viscosity.
pub(super) fn figure(form: &Form<'_>, key: &str, report: &Report) -> Option<Dose> {
    form.get(key).and_then(|n| number(n, report))
}

/// `unknown_toxicity: [oral]`; `inhalation` stands for all three forms.
fn unknown(node: &Node, routes: &mut [bool; 5], report: &Report) {
    let Some(text) = node.text(report) else { return };
    for (route, is_unknown) in Route::ALL.iter().zip(routes.iter_mut()) {
        let inhaled = !matches!(route, Route::Oral | Route::Dermal);
        *is_unknown |= route.word() == text.value || (inhaled && text.value == "inhalation");
    }
    if Route::from_word(&text.value).is_none() && text.value != "inhalation" {
        report.add(
            Finding::input(
                "file/wrong-word",
                format!("`{}` is not a route", text.value),
                "use `oral`, `dermal`, `vapour`, `dust`, `gas` or `inhalation` for the last three",
            )
            .at(&text.place, "here"),
        );
    }
}

/// A pasted line; the grammar stands on top of this file.
fn pasted(node: &Node, report: &Report) -> Option<Substance> {
    let text = node.text(report)?;
    let mut parts = text.value.split(';').map(str::trim).filter(|p| !p.is_empty()).peekable();
    let mut hazards = hazard::Substance { name: parts.next().unwrap_or("").to_owned(), ..Default::default() };
    let mut percent = None;
    while let Some(part) = parts.next() {
        // A class parted from its statement by a semicolon is put together again.
        let joined = match parts.peek() {
            Some(next) if is_code(next) && !part.contains("H3") => {
                let joined = format!("{part}, {next}");
                parts.next();
                joined
            }
            _ => part.to_owned(),
        };
        told(one_part(&joined, &mut hazards, &mut percent), "file/composition-line", &text.place, report)?;
    }
    let Some(percent) = percent else {
        report.add(
            Finding::input(
                "file/composition-line",
                format!("the line of `{}` has no percentage", hazards.name),
                "add it between semicolons: `linalool; 78-70-6; 10-20 %; Skin Sens. 1B, H317`",
            )
            .at(&text.place, "here"),
        );
        return None;
    };
    Some(finished(hazards, percent, &text.place))
}

fn is_code(text: &str) -> bool {
    let digits = text.strip_prefix("EUH").or_else(|| text.strip_prefix('H'));
    digits.is_some_and(|d| d.len() >= 3 && d.len() <= 5 && d.bytes().take(3).all(|b| b.is_ascii_digit()))
        && !text.starts_with("EUH0")
}

fn one_part(part: &str, hazards: &mut hazard::Substance, percent: &mut Option<(Share, Share)>) -> Result<(), Wrong> {
    let lower = part.to_lowercase();
    let after = |word: &str| part.get(word.len()..).unwrap_or("").trim_start_matches([':', '.', ' ']);
    let numbers: String = part.chars().filter(|c| c.is_ascii_digit() || *c == '-').collect();
    let only_number = numbers.len() == part.len() && numbers.matches('-').count() == 2;
    let is_cas = lower.starts_with("cas") || (only_number && cas_holds(part));
    let is_ec = lower.starts_with("ec ") || lower.starts_with("ec:") || (only_number && ec_holds(part));
    if is_cas || is_ec || only_number {
        let number = if only_number { part } else { after(if is_cas { "cas" } else { "ec" }) };
        let (number, holds) = (number.trim(), if is_ec { ec_holds(number) } else { cas_holds(number) });
        if !holds {
            return Err(Wrong::new(
                format!("`{number}` is neither a CAS nor an EC number: its last digit does not fit the others"),
                "copy it again from section 3 of the sheet",
            ));
        }
        *(if is_ec { &mut hazards.ec } else { &mut hazards.cas }) = Some(number.to_owned());
        return Ok(());
    }
    if let Some((head, value)) = part.split_once([':', '=']) {
        let head = head.trim().to_lowercase();
        if head == "m" || head.starts_with("m ") || head.starts_with("m(") || head.starts_with("m-factor") {
            let m = value.trim().parse::<u32>().ok().filter(|m| (1..=MOST_M).contains(m)).ok_or_else(|| {
                Wrong::new(format!("`{}` is not an M factor", value.trim()), "write `M=10`, or `M acute=10`")
            })?;
            if !head.contains("chronic") {
                hazards.m.acute = Some(m);
            }
            if !head.contains("acute") {
                hazards.m.chronic = Some(m);
            }
            return Ok(());
        }
        if head.starts_with("ate") {
            let word = head.trim_start_matches("ate").replace(['(', ')'], " ");
            let route = Route::from_word(word.trim()).ok_or_else(|| {
                Wrong::new(format!("`{part}` does not say by which route"), "write `ATE oral: 890 mg/kg`")
            })?;
            hazards.ate[route.index()] = Some(dose_of(value, route)?);
            return Ok(());
        }
    }
    if lower.starts_with("scl") {
        let (class, from) = after("scl")
            .rsplit_once(':')
            .ok_or_else(|| Wrong::new(format!("`{part}` has no limit"), "write `SCL Skin Sens. 1A: 0.01 %`"))?;
        let (class, code) = limited_class(class)?;
        hazards.limits.push(SpecificLimit { class, code, from: limit(from)? });
        return Ok(());
    }
    if part.ends_with('%') || part.starts_with(['<', '>', '≤', '≥']) {
        *percent = Some(range(part)?);
        return Ok(());
    }
    add(Stated::parse_all(part)?, hazards);
    Ok(())
}

#[cfg(test)]
#[path = "composition_tests.rs"]
mod tests;
