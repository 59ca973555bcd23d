//! `needs`: everything the label must carry, why, and the figures worked out.

use super::args::NeedsArgs;
use super::open::{self, Opened};
use super::{Answer, Stop, listed};
use crate::find;
use crate::hazard::{Classified, Reason, pack};
use crate::product::Basis;
use crate::recipe::{self, Formula};
use crate::require::{BurnTime, Hazards, Needs, Net, Requirement, SMALL_PACK};
use crate::trade::{BlockName, Evidence, Lang, Market, Severity};
use crate::unit::Length;
use serde_json::{Value, json};
use std::fmt::Write;

/// Runs the command.
pub fn run(args: &NeedsArgs) -> Result<Answer, Stop> {
    let opened = open::product(&args.product)?;
    let on = args.product.on.unwrap_or_else(open::today);
    let (mut parts, mut stopped) = (Vec::new(), false);
    for market in open::markets(&args.product, &opened.product) {
        let needs = open::needs(&opened, market, on, None)?;
        stopped |= find::stops(&needs.findings);
        let formula = recipe::formula(&opened.product).ok();
        if args.json {
            parts.push(format!("{:#}", as_json(&needs, formula.as_ref())));
        } else {
            parts.push(text(&opened, &needs, formula.as_ref()));
        }
    }
    Ok(open::joined(&parts, args.json, stopped))
}

fn text(opened: &Opened, needs: &Needs, formula: Option<&Formula>) -> String {
    let mut out = format!("{} for {} on {}\n\n", needs.title, needs.market, needs.date);
    for (name, value) in figures(opened, needs, formula) {
        let _ = writeln!(out, "  {name:<14} {value}");
    }
    let mut block: Option<BlockName> = None;
    for requirement in &needs.requirements {
        if block != Some(requirement.block) {
            block = Some(requirement.block);
            let _ = writeln!(out, "\n{}", requirement.block);
        }
        one(&mut out, requirement, &needs.languages);
    }
    if let Some(hazards) = needs.figures.hazards.as_ref().filter(|h| !h.may_go.is_empty()) {
        let told = if hazards.relieved {
            "left out, for the maker says that nothing makes room"
        } else {
            "may be left out where nothing makes room"
        };
        let _ = writeln!(out, "\nsmall package (up to 125 ml)\n  {}: {told}", hazards.may_go.codes());
        if let Some(rule) = crate::law::rule(SMALL_PACK) {
            let _ = writeln!(out, "      {}", rule.because);
            let _ = writeln!(out, "      {}: {} ({})", rule.id, rule.citation(), known(rule.seen()));
        }
    }
    let _ = writeln!(out, "\n`waxbill explain ID` tells more. Local codes and licensed practice come first.");
    if !needs.findings.is_empty() {
        let _ = write!(out, "\n{}", listed(&needs.findings));
    }
    out
}

fn one(out: &mut String, requirement: &Requirement, languages: &[Lang]) {
    if !requirement.signs.is_empty() {
        let signs = requirement.signs.iter().map(|s| s.word()).collect::<Vec<_>>().join(", ");
        let _ = writeln!(out, "  (sign) {signs}");
    }
    let mut texts: Vec<&String> = languages.iter().filter_map(|l| requirement.texts.get(l)).collect();
    texts.dedup();
    for text in texts {
        let symbol = if requirement.alert_symbol { "(alert symbol) " } else { "" };
        let shown =
            if requirement.block == BlockName::Code { format!("QR code: {text}") } else { text.replace('\u{a0}', " ") };
        let _ = writeln!(out, "  {symbol}{shown}");
    }
    let mut how = Vec::new();
    if let Some(side) = pictogram_side(requirement) {
        how.push(format!(
            "each at least {} along its side, a fifteenth of the least label of 52 x 74 mm; on a smaller label a fifteenth \
             of that, and never below {}",
            side.least_in_mm(2),
            requirement.least.unwrap_or(Length::mm(10)).least_in_mm(2)
        ));
    } else if let Some(least) = requirement.least.filter(|_| !requirement.signs.is_empty()) {
        how.push(format!("each at least {} along its side", least.least_in_mm(2)));
    } else if let Some(least) = requirement.least {
        how.push(format!("at least {} high ({})", least.least_in_mm(2), requirement.measure));
    }
    let off_bottom = requirement.off_bottom.is_some();
    for (told, word) in
        [(requirement.bold, "bold"), (requirement.principal, "on the front panel"), (off_bottom, "not on the bottom")]
    {
        if told {
            how.push(word.to_owned());
        }
    }
    if let Some(percent) = requirement.lowest_percent {
        how.push(format!("in its lowest {percent} %"));
    }
    if let Some((heights, widths)) = requirement.clear {
        how.push(format!("{heights} x its height free above and below, {widths} x the width of its `N` at the sides"));
    }
    let how = if how.is_empty() { String::new() } else { format!("; {}", how.join(", ")) };
    let _ = writeln!(out, "      {}{how}", binding(requirement.severity));
    let _ = writeln!(out, "      {}", requirement.because);
    let _ = writeln!(out, "      {}: {} ({})", requirement.rule, requirement.citation, known(requirement.seen));
}

/// The side a hazard pictogram is asked for on a label as large as the law's least one or larger (CLP, Annex I, 1.2.1.3 and
/// 1.2.1.4): what `check` and `label` hold it against.
fn pictogram_side(requirement: &Requirement) -> Option<Length> {
    let hazard = requirement.signs.iter().any(|s| s.ghs().is_some());
    let side = pack::pictogram_side(Length::mm(52), Length::mm(74));
    hazard.then(|| requirement.least.map_or(side, |least| least.max_of(side)))
}

/// How strongly a rule binds, for people.
pub(super) const fn binding(severity: Severity) -> &'static str {
    match severity {
        Severity::Input => "the file itself",
        Severity::Required => "required by law",
        Severity::Standard => "voluntary standard, expected by trade and insurers",
        Severity::Advice => "usual advice",
        Severity::Policy => "house policy of this program",
    }
}

/// How a rule is known, for people.
pub(super) const fn known(seen: Evidence) -> &'static str {
    match seen {
        Evidence::Law => "text of the law read",
        Evidence::Regulator => "regulator's text read",
        Evidence::Secondary => "read second hand",
        Evidence::Derived => "worked out from what was read",
        Evidence::Memory => "from memory, not read",
        Evidence::Policy => "our own choice",
    }
}

fn figures(opened: &Opened, needs: &Needs, formula: Option<&Formula>) -> Vec<(&'static str, String)> {
    let figures = &needs.figures;
    let mut rows = Vec::new();
    let estimate = if figures.fill_is_estimate { " (an estimate)" } else { "" };
    let pieces = if figures.pieces > 1 { format!(", {} to a pack", figures.pieces) } else { String::new() };
    rows.push(("fill", format!("{} ({}){estimate}{pieces}", figures.fill.in_g(2), figures.fill.in_oz(2))));
    let home = needs.market == Market::Us;
    let by_count = needs.requirements.iter().any(|r| r.statement == "net count");
    match &figures.net {
        // Declared by count: what is filled stands above.
        _ if needs.market.is_canadian() && by_count => {}
        _ if !home => rows.push(("net quantity", figures.metric.clone().unwrap_or_default().replace('\u{a0}', " "))),
        Some(Net::Weight(net)) => {
            let (first, second) = match net.first {
                crate::product::First::Oz => (&net.customary, &net.metric),
                crate::product::First::G => (&net.metric, &net.customary),
            };
            rows.push((
                "net quantity",
                format!("{first} declared, {second} derived from it and cut down").replace('\u{a0}', " "),
            ));
        }
        Some(Net::Size { height, diameter }) => {
            let across = diameter.as_ref().map_or_else(String::new, |d| format!(", across {d}"));
            rows.push(("declared size", format!("{height}{across}").replace('\u{a0}', " ")));
        }
        None => {}
    }
    if let Some(hazards) = &figures.hazards {
        rows.push(("hazard", hazard(hazards)));
    }
    if let Some(panel) = figures.panel.as_ref().filter(|_| home || needs.market.is_canadian()) {
        let (inches, cm) = (panel.area.to_sq_in_f64(), panel.area.to_cm2_f64());
        let area = if home { format!("{inches:.2} sq in ({cm:.1} cm²)") } else { format!("{cm:.2} cm²") };
        rows.push(("front panel", format!("{area}: {}", panel.how)));
    }
    if let Some(formula) = formula {
        for line in formula.lines.iter().filter(|l| !l.is_base) {
            let (of_wax, of_total) =
                (formula.of_wax(line).share().near_percent(2), line.of_total.share().near_percent(2));
            rows.push(("load", format!("{}: {of_wax} of wax is {of_total} of the total", line.material.name)));
        }
    }
    if opened.product.kind.burns() {
        let burn = match &figures.burn_time {
            BurnTime::Claim(claim) => format!(
                "{} h may be claimed: {} candles, lower 95 % bound {} h",
                claim.printed.whole_h(),
                claim.candles,
                claim.bound.number(1)
            ),
            BurnTime::NotStated(why) => format!("not stated: {why}"),
        };
        rows.push(("burn time", burn));
    }
    rows
}

/// `Skin Sens. 1, H317, by linalool`; or what stands on the label without a class.
fn hazard(hazards: &Hazards) -> String {
    let names = |reasons: &[Reason]| reasons.iter().map(Reason::name).collect::<Vec<_>>().join(", ");
    if hazards.is_classified() {
        let class = |c: &Classified| format!("{c}, by {}", names(&c.because));
        return hazards.found.classes.iter().map(class).collect::<Vec<_>>().join("; ");
    }
    match hazards.found.euh208.as_slice() {
        [] => "not classified".to_owned(),
        some => format!("not classified; EUH208 names {}", names(some)),
    }
}

/// The shape documented in `docs/answers.md`.
fn as_json(needs: &Needs, formula: Option<&Formula>) -> Value {
    let figures = &needs.figures;
    let requirements: Vec<Value> = needs
        .requirements
        .iter()
        .map(|r| {
            json!({
                "id": r.id, "rule": r.rule, "severity": r.severity, "seen": r.seen, "statement": r.statement,
                "text": r.texts, "alert_symbol": r.alert_symbol, "signs": r.signs, "least_height_mm": r.least.map(Length::to_mm_f64),
                "least_side_mm": pictogram_side(r).map(Length::to_mm_f64),
                "measure": r.measure, "bold": r.bold, "block": r.block,
                "part": if r.principal { "principal" } else if r.off_bottom.is_some() { "not the bottom" } else { "any" },
                "because": r.because, "source": r.citation,
            })
        })
        .collect();
    let net = match &figures.net {
        Some(Net::Weight(net)) => json!({
            "first": net.first, "oz": net.customary.replace('\u{a0}', " "), "g": net.metric.replace('\u{a0}', " "),
            "larger_g": net.larger().to_g_f64(),
        }),
        Some(Net::Size { height, diameter }) => json!({
            "height": height.replace('\u{a0}', " "), "diameter": diameter.as_ref().map(|d| d.replace('\u{a0}', " ")),
        }),
        None => Value::Null,
    };
    let loads: Vec<Value> = formula
        .into_iter()
        .flat_map(|f| f.lines.iter().filter(|l| !l.is_base).map(move |l| (f, l)))
        .map(|(f, l)| {
            let stated = match l.amount {
                crate::product::Amount::Load(load) => Some(load.of.word()),
                _ => None,
            };
            json!({
                "material": l.material.id, "stated_of": stated.unwrap_or(Basis::Total.word()),
                "percent_of_wax": f.of_wax(l).share().to_percent_f64(), "percent_of_total": l.of_total.share().to_percent_f64(),
            })
        })
        .collect();
    let burn_time = match &figures.burn_time {
        BurnTime::Claim(claim) => {
            json!({ "hours": claim.printed.whole_h(), "candles": claim.candles, "lower_bound_h": claim.bound.to_h_f64() })
        }
        BurnTime::NotStated(why) => json!({ "hours": null, "why": why }),
    };
    json!({
        "product": needs.product, "market": needs.market, "date": needs.date, "languages": needs.languages,
        "figures": {
            "fill_g": figures.fill.to_g_f64(), "fill_is_estimate": figures.fill_is_estimate, "pieces": figures.pieces, "net": net,
            "panel_area_cm2": figures.panel.as_ref().map(|p| p.area.to_cm2_f64()),
            "panel_area_sq_in": figures.panel.as_ref().map(|p| p.area.to_sq_in_f64()),
            "loads": loads, "burn_time": burn_time, "metric": figures.metric.as_ref().map(|m| m.replace('\u{a0}', " ")),
            "classes": figures.hazards.as_ref().map(|h| &h.found.classes),
            "small_package": figures.hazards.as_ref().filter(|h| !h.may_go.is_empty()).map(|h| json!({
                "hazard_statements": h.may_go.hazard, "precautionary_statements": h.may_go.precautionary, "left_out": h.relieved,
            })),
        },
        "requirements": requirements,
        "findings": needs.findings.iter().map(find::json).collect::<Vec<_>>(),
    })
}
