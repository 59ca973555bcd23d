//! Wick, size, burn test, care figures, label and exceptions of a product file.

use super::logo;
use super::{Accept, BurnTest, California, Care, Code, First, Label, MetalCore, Size, Wick, WickType};
use crate::find::{Finding, Place, Report};
use crate::hazard::ufi::Ufi;
use crate::trade::Market;
use crate::unit::{Days, Hours, Length, Quantity, Share};
use crate::yaml::{At, Form, Node, Value};
use std::collections::BTreeMap;

/// The quantity under `key`, held against what can be meant; `usual` is told as the cure.
fn within<Q>(form: &Form<'_>, key: &str, (least, most): (Q, Q), usual: &str, report: &Report) -> Option<Q>
where
    Q: Quantity + PartialOrd + Copy + std::fmt::Display,
{
    let read = form.quantity::<Q>(key)?;
    if read.value >= least && read.value <= most {
        return Some(read.value);
    }
    let message = format!("`{key}` is {}, and it goes from {least} to {most}", read.value);
    let cure = format!("check the figure and its unit; usual is {usual}");
    report.add(Finding::input("file/out-of-range", message, cure).at(&read.place, "here"));
    None
}

/// Longest burn at a time: half an hour to twelve hours, for every kind of candle.
fn session(form: &Form<'_>, report: &Report) -> Option<Hours> {
    within(form, "session", (Hours::seconds(1800), Hours::h(12)), "`4 h`", report)
}

/// Wax left when burning stops.
fn stop(form: &Form<'_>, report: &Report) -> Option<Length> {
    within(form, "stop", (Length::mm(3), Length::mm(80)), "`1/2 in` in a vessel, `2 in` for a pillar or taper", report)
}

/// Days of rest between pour and sale, of a product or a wax.
pub(super) fn cure(form: &Form<'_>, report: &Report) -> Option<Days> {
    within(form, "cure", (Days::new(0), Days::new(365)), "`14 days`", report)
}

pub(super) fn size(node: &Node, report: &Report) -> Option<Size> {
    let form = Form::open(node, "a size", &["diameter", "height"], report)?;
    let height = form.need_quantity::<Length>("height")?;
    let diameter = form.quantity::<Length>("diameter");
    for length in [Some(&height), diameter.as_ref()].into_iter().flatten() {
        if length.value < Length::mm(3) || length.value > Length::mm(1500) {
            report.add(
                Finding::input(
                    "file/out-of-range",
                    format!("{} is not a size of a candle", length.value),
                    "write a size between 3 mm and 1.5 m",
                )
                .at(&length.place, "here"),
            );
            return None;
        }
    }
    Some(Size { diameter: diameter.map(|d| d.value), height: height.value })
}

pub(super) fn wick(node: &Node, report: &Report) -> Option<Wick> {
    let form = Form::open(node, "a wick", &["type", "count", "width", "metal core", "lead", "trim"], report)?;
    let kind = form.need("type", "cotton").and_then(|n| n.word::<WickType>(report));
    let trim = form.quantity::<Length>("trim");
    if let Some(trim) = trim.as_ref().filter(|t| t.value < Length::mm(1) || t.value > Length::mm(20)) {
        report.add(
            Finding::input(
                "file/out-of-range",
                format!("a wick trimmed to {} burns badly or not at all", trim.value),
                "write the trim of your burn test, usually 3 to 10 mm",
            )
            .at(&trim.place, "here"),
        );
    }
    Some(Wick {
        kind: kind?.value,
        count: form.count("count", 12).map_or(1, |c| c.value),
        width: form.quantity::<Length>("width").map(|l| l.value),
        metal_core: form.get("metal core").and_then(|n| n.word::<MetalCore>(report)).map(|m| m.value),
        lead: form.quantity::<Share>("lead").map(|s| s.value),
        trim: trim.map(|t| t.value),
    })
}

pub(super) fn burn_test(node: &Node, report: &Report) -> Option<BurnTest> {
    let form = Form::open(node, "a burn test", &["hours to stop line", "stop", "session", "recipe"], report)?;
    let hours = form
        .list("hours to stop line")
        .iter()
        .filter_map(|n| {
            let text = n.text(report)?;
            let with_unit = if text.value.ends_with(|c: char| c.is_ascii_digit()) {
                format!("{} h", text.value)
            } else {
                text.value
            };
            let node = Node { value: Value::Text(with_unit), place: text.place };
            node.quantity::<Hours>(report).map(|h| h.value)
        })
        .collect();
    let as_sold = form.text("recipe").map(|t| {
        if t.value != "as sold" && t.value != "other" {
            report.add(
                Finding::input(
                    "file/wrong-word",
                    format!("`{}` is not known here", t.value),
                    "write `recipe: as sold` when wax, load, wick and vessel were those sold, else `recipe: other`",
                )
                .at(&t.place, "here"),
            );
        }
        t.value == "as sold"
    });
    Some(BurnTest {
        hours,
        stop: stop(&form, report),
        session: session(&form, report),
        as_sold: as_sold.unwrap_or(false),
        place: form.place(),
    })
}

pub(super) fn care(node: &Node, report: &Report) -> Option<Care> {
    let form = Form::open(node, "a set of care figures", &["session", "stop", "distance", "cool"], report)?;
    Some(Care {
        session: session(&form, report),
        stop: stop(&form, report),
        distance: within(&form, "distance", (Length::mm(20), Length::mm(1000)), "`3 in`", report),
        cool: within(&form, "cool", (Hours::seconds(900), Hours::h(24)), "`2 h`", report),
    })
}

const LABEL_KEYS: &[&str] = &["template", "templates", "net quantity first", "code", "burn time", "logo"];

pub(super) fn label(node: &Node, report: &Report) -> Option<Label> {
    let form = Form::open(node, "the label", LABEL_KEYS, report)?;
    let first = form.get("net quantity first").map_or(Some(First::Oz), |n| n.word::<First>(report).map(|f| f.value));
    let code = form.get("code").map_or(Some(Code::Lot), |n| code(n, report));
    Some(Label {
        template: form.text("template").map(|t| t.value),
        templates: templates(&form, report),
        first: first?,
        code: code?,
        burn_time: form.yes_no("burn time").unwrap_or(true),
        logo: form.get("logo").and_then(|n| logo::read(n, report)),
    })
}

/// `templates: {ca: jar-two-languages}`.
fn templates(form: &Form<'_>, report: &Report) -> BTreeMap<Market, String> {
    let markets: Vec<&str> = Market::ALL.iter().map(|m| m.word()).collect();
    let of = form.get("templates").and_then(|n| Form::open(n, "a list of templates by market", &markets, report));
    let named = |form: &Form<'_>, market: Market| form.text(market.word()).map(|t| (market, t.value));
    of.map(|form| Market::ALL.iter().filter_map(|m| named(&form, *m)).collect()).unwrap_or_default()
}

fn code(node: &Node, report: &Report) -> Option<Code> {
    if let Value::Text(text) = &node.value {
        return match text.trim() {
            "lot" => Some(Code::Lot),
            "none" => Some(Code::None),
            other => {
                report.add(
                    Finding::input(
                        "file/wrong-word",
                        format!("`{other}` is not known here"),
                        "write `code: lot`, `code: none`, `code: {url: …}` or `code: {text: …}`",
                    )
                    .at(&node.place, "here"),
                );
                None
            }
        };
    }
    let form = Form::open(node, "a code", &["url", "text"], report)?;
    if let (Some(_), Some(text)) = (form.get("url"), form.get("text")) {
        let finding = Finding::input("file/two-codes", "the code is given twice", "keep `url` or `text`");
        report.add(finding.at(&text.place, "second one"));
        return None;
    }
    let (url, text) = (form.text("url"), form.text("text"));
    if let Some(given) = url.as_ref().or(text.as_ref()) {
        filled_in(given, report)?;
    }
    if let Some(url) = &url {
        address(url, report)?;
    }
    let code = url.map(|u| Code::Url(u.value)).or_else(|| text.map(|t| Code::Text(t.value)));
    if code.is_none() {
        form.need("url", "https://quillmere.example/lot/{lot}")?;
    }
    code
}

/// Only `{lot}` and `{product}` are filled in; another `{…}` would be printed as it stands.
fn filled_in(text: &At<String>, report: &Report) -> Option<()> {
    let rest = text.value.replace("{lot}", "").replace("{product}", "");
    if rest.contains(['{', '}']) {
        let message = format!("`{}` has a brace that nothing fills in", text.value);
        let cure = "write `{lot}` for the lot code and `{product}` for the name of the product's file";
        report.add(Finding::input("file/wrong-word", message, cure).at(&text.place, "here"));
        return None;
    }
    Some(())
}

/// `scheme://rest` without blanks: what a telephone opens as an address.
fn address(url: &At<String>, report: &Report) -> Option<()> {
    let scheme = |s: &str| {
        s.starts_with(|c: char| c.is_ascii_alphabetic())
            && s.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '+' | '-' | '.'))
    };
    let whole = url.value.split_once("://").is_some_and(|(s, rest)| scheme(s) && !rest.is_empty());
    if !whole || url.value.contains(char::is_whitespace) {
        let message = format!("`{}` is not an address a telephone could open", url.value);
        let cure = "write it whole and without blanks: `https://quillmere.example/lot/{lot}`";
        report.add(Finding::input("file/wrong-word", message, cure).at(&url.place, "here"));
        return None;
    }
    Some(())
}

pub(super) fn california(node: &Node, report: &Report) -> Option<California> {
    let form = Form::open(node, "the California warning", &["cancer", "reproductive harm"], report)?;
    let warning = California {
        cancer: form.text("cancer").map(|t| t.value),
        reproductive: form.text("reproductive harm").map(|t| t.value),
    };
    if warning == (California { cancer: None, reproductive: None }) {
        report.add(
            Finding::input(
                "file/missing-key",
                "a California warning names at least one chemical",
                "add `cancer: NAME` or `reproductive harm: NAME`, or take `california` out",
            )
            .at(&form.place(), "here"),
        );
        return None;
    }
    Some(warning)
}

pub(super) fn accept(node: &Node, report: &Report) -> Option<Accept> {
    let form = Form::open(node, "an accepted finding", &["rule", "because"], report)?;
    let (rule, because) = (form.need_text("rule", "us/care-trim"), form.need_text("because", "\"…\""));
    let (rule, because): (At<String>, At<String>) = (rule?, because?);
    let place: Place = rule.place;
    Some(Accept { rule: rule.value, because: because.value, place })
}

/// `ufi: GMTT-2SQN-6FDD-6TV1`, or `ufi: {country: IE, vat: 9Z54321Y, formulation: 134217728}`.
pub(super) fn ufi(node: &Node, report: &Report) -> Option<Ufi> {
    let told = |finding: Finding| report.add(finding.at(&node.place, "here"));
    if matches!(node.value, Value::Text(_)) {
        let text = node.text(report)?;
        return Ufi::decode(&text.value).map_err(told).ok();
    }
    let form = Form::open(node, "a unique formula identifier", &["country", "vat", "formulation"], report)?;
    let (country, vat) = (form.need_text("country", "IE"), form.need_text("vat", "9Z54321Y"));
    form.need("formulation", "1234")?;
    let formulation = form.count("formulation", 268_435_455);
    Ufi::of_vat(&country?.value, &vat?.value, formulation?.value).map_err(told).ok()
}
