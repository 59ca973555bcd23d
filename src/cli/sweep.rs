//! `classify --sweep`: every load at which a product's hazard label changes, as text, JSON and a chart.

use super::args::ClassifyArgs;
use super::classify::whose;
use super::{Answer, Stop, files};
use crate::hazard::{Reason, Rules, Step, classify, sweep, thresholds};
use crate::product::Product;
use crate::recipe;
use crate::unit::{Mass, Share};
use jiff::civil::Date;
use serde_json::json;
use std::fmt::Write;

/// No candle holds more fragrance than this.
const MOST: u8 = 20;

/// Answers for a product.
pub fn of_product(product: &Product, rules: Rules, on: Date, args: &ClassifyArgs) -> Result<Answer, Stop> {
    let blend = recipe::blend(product).map_err(Stop::of)?;
    let formula = recipe::formula(product).map_err(Stop::input)?;
    let now = formula.fragrance_of_total().share();
    let most = Share::percent(MOST).max(now);
    let steps = sweep(|load| classify(&blend.at(load), rules, on), &thresholds(&blend.fragrance), most);
    if let Some(path) = &args.svg {
        files::may_replace(path, &["<svg", "<?xml"])?;
        files::write(path, chart(&product.id, &steps, now, most).as_bytes())?;
    }
    let fill = product.fill.mass();
    let text = if args.json {
        json(product, rules, on, &steps, now, fill)
    } else {
        {
            let wax = formula.fragrance_of_wax().share();
            text(product, whose(rules), on, &steps, (now, wax))
        }
    };
    Ok(Answer::fine(text))
}

/// The highest load on a scale of four decimals that is still below the next step.
fn highest_below(next: Share) -> Share {
    const STEP: i64 = 1_000; // 0.0001 %
    Share::ppb((next.to_ppb() - 1).max(0) / STEP * STEP).unwrap_or(Share::ZERO)
}

/// A threshold as printed: rounded up at the fourth decimal, so that what is printed does reach it.
fn upwards(load: Share) -> String {
    const STEP: i64 = 1_000; // 0.0001 %
    let up = (load.to_ppb() + STEP - 1) / STEP * STEP;
    Share::ppb(up).unwrap_or(Share::WHOLE).in_percent(4)
}

fn of_wax(load: Share) -> String {
    load.of_total_as_of_rest().map_or_else(|| "all".to_owned(), |s| s.in_percent(4))
}

/// Fragrance in one fill, cut off.
fn grams(fill: Mass, load: Share) -> Mass {
    fill.share(load)
}

/// Fragrance in one fill from which a threshold is reached, in whole milligrams, rounded up.
fn reaching(fill: Mass, load: Share) -> Mass {
    const MG: i64 = 1_000_000;
    Mass::ng((fill.share(load).to_ng() + MG - 1) / MG * MG)
}

fn labels(step: &Step) -> Vec<String> {
    let found = &step.classification;
    let mut labels: Vec<String> = found.classes.iter().map(ToString::to_string).collect();
    let names = |reasons: &[Reason]| reasons.iter().map(Reason::name).collect::<Vec<_>>().join(", ");
    if !found.euh208.is_empty() {
        labels.push(format!("EUH208: {}", names(&found.euh208)));
    }
    if !found.also_named.is_empty() {
        labels.push(format!("named too: {}", names(&found.also_named)));
    }
    labels
}

fn text(product: &Product, whose: &str, on: Date, steps: &[Step], (now, wax): (Share, Share)) -> String {
    let fill = product.fill.mass();
    let mut out = format!(
        "{}, {} on {on}\nfragrance now: {} of total, {} of wax, {} in a fill of {}\n",
        product.id,
        whose,
        now.in_percent(4),
        wax.in_percent(4),
        grams(fill, now).in_g(2),
        fill.in_g(2)
    );
    let at = steps.iter().rposition(|s| s.from <= now).unwrap_or(0);
    for (n, step) in steps.iter().enumerate() {
        let here = if n == at { "  <- now" } else { "" };
        let _ = writeln!(
            out,
            "\nfrom {} of total, {} of wax, {}{here}",
            upwards(step.from),
            step.from.of_total_as_of_rest().map_or_else(|| "all".to_owned(), upwards),
            reaching(fill, step.from).in_g(3)
        );
        let labels = labels(step);
        if labels.is_empty() {
            out += "  nothing\n";
        }
        for l in &labels {
            let _ = writeln!(out, "  {l}");
        }
        if !step.because.is_empty() {
            let _ = writeln!(out, "      because of {}", step.because.join(", "));
        }
    }
    if let Some(next) = steps.get(at + 1) {
        let most = highest_below(next.from);
        let _ = writeln!(
            out,
            "\nThe label stays as it is up to {} of total ({} of wax, {}).",
            most.in_percent(4),
            of_wax(most),
            grams(fill, most).in_g(2)
        );
    }
    out
}

fn json(product: &Product, rules: Rules, on: Date, steps: &[Step], now: Share, fill: Mass) -> String {
    let shown = |step: &Step| {
        let found = &step.classification;
        let names = |reasons: &[Reason]| reasons.iter().map(Reason::name).map(str::to_owned).collect::<Vec<_>>();
        json!({
            "from_percent_of_total": step.from.to_percent_f64(),
            "from_percent_of_wax": step.from.of_total_as_of_rest().map(Share::to_percent_f64),
            "from_g": reaching(fill, step.from).to_g_f64(),
            "classes": found.classes, "euh208": names(&found.euh208), "also_named": names(&found.also_named),
            "because": step.because,
        })
    };
    let value = json!({
        "product": product.id, "rules": rules, "date": on, "fill_g": fill.to_g_f64(),
        "now_percent_of_total": now.to_percent_f64(), "steps": steps.iter().map(shown).collect::<Vec<_>>(),
    });
    format!("{value:#}\n")
}

/// A bar for everything that stands on the label, over the load of the total.
fn chart(name: &str, steps: &[Step], now: Share, most: Share) -> String {
    const LEFT: f64 = 330.0;
    const WIDE: f64 = 480.0;
    const ROW: f64 = 26.0;
    let escaped = |text: &str| text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
    let x = |load: Share| LEFT + WIDE * load.to_percent_f64() / most.to_percent_f64().max(1e-9);
    let kinds = |step: &Step| -> Vec<String> {
        let mut kinds: Vec<String> = step.classification.classes.iter().map(ToString::to_string).collect();
        kinds.extend(step.classification.euh208.iter().map(|r| format!("EUH208: {}", r.name())));
        kinds.extend(step.classification.also_named.iter().map(|r| format!("named too: {}", r.name())));
        kinds
    };
    let mut rows: Vec<String> = Vec::new();
    for kind in steps.iter().flat_map(kinds) {
        if !rows.contains(&kind) {
            rows.push(kind);
        }
    }
    let count = u32::try_from(rows.len()).map_or(0.0, f64::from);
    let (bottom, height) = (56.0 + count * ROW, 56.0 + count * ROW + 50.0);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"860\" height=\"{height}\" viewBox=\"0 0 860 {height}\" \
         font-family=\"sans-serif\" font-size=\"13\">\n<rect width=\"860\" height=\"{height}\" fill=\"#fff\"/>\n\
         <text x=\"16\" y=\"26\" font-size=\"15\" font-weight=\"bold\">{}: what the label says, by fragrance load</text>\n",
        escaped(name)
    );
    for percent in (0..=100_u8).step_by(2).filter(|p| Share::percent(*p) <= most) {
        let at = x(Share::percent(percent));
        let _ = writeln!(
            svg,
            "<line x1=\"{at:.1}\" y1=\"44\" x2=\"{at:.1}\" y2=\"{bottom}\" stroke=\"#ddd\"/>\
             <text x=\"{at:.1}\" y=\"{:.1}\" text-anchor=\"middle\" fill=\"#555\">{percent} %</text>",
            bottom + 18.0
        );
    }
    let mut y = 50.0;
    for row in &rows {
        let short: String =
            if row.chars().count() > 44 { row.chars().take(43).chain(['…']).collect() } else { row.clone() };
        let _ = writeln!(
            svg,
            "<text x=\"{}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>",
            LEFT - 10.0,
            y + 16.0,
            escaped(&short)
        );
        for (n, step) in steps.iter().enumerate().filter(|(_, s)| kinds(s).contains(row)) {
            let end = steps.get(n + 1).map_or(most, |next| next.from);
            let (from, to) = (x(step.from), x(end));
            let colour = if row.starts_with("EUH208") || row.starts_with("named") { "#9db8c9" } else { "#c46a4a" };
            let _ = writeln!(
                svg,
                "<rect x=\"{from:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"16\" fill=\"{colour}\"/>",
                y + 4.0,
                (to - from).max(0.5)
            );
        }
        y += ROW;
    }
    let at = x(now);
    let _ = writeln!(
        svg,
        "<line x1=\"{at:.1}\" y1=\"40\" x2=\"{at:.1}\" y2=\"{bottom}\" stroke=\"#222\" stroke-width=\"1.5\"/>\
         <text x=\"{at:.1}\" y=\"38\" text-anchor=\"middle\">now {}</text>\n\
         <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\" fill=\"#555\">fragrance, percent of the total</text>\n</svg>",
        now.in_percent(2),
        LEFT + WIDE / 2.0,
        bottom + 38.0
    );
    svg
}
