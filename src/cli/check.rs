//! `check`: faults of the product file, before any paper is used. Labels drawn by others go to `drawn`.

use super::args::{CheckArgs, ProductArgs};
use super::{Answer, Stop, drawn, listed, make, open, stock};
use crate::find::{self, Finding, Level, Severity};
use serde_json::json;

/// Runs the command.
pub fn run(args: &CheckArgs) -> Result<Answer, Stop> {
    let on = args.on.unwrap_or_else(open::today);
    let Some(product) = &args.product else { return stock::run(args, on) };
    if args.drawn.is_asked() {
        return drawn::run(args, product, on);
    }
    let asked = ProductArgs { product: product.clone(), market: args.market, on: args.on };
    let opened = open::product(&asked)?;
    let behind = stock::behind(&opened)?;
    let (mut parts, mut found) = (Vec::new(), false);
    for market in open::markets(&asked, &opened.product) {
        // With a lot code, as the label will be printed.
        let needs = open::needs(&opened, market, on, open::specimen(on).as_deref())?;
        let mut findings: Vec<Finding> = needs.findings.clone();
        findings.extend(open::unprintable(&opened.product));
        findings.extend(behind.iter().cloned());
        if !find::stops(&findings) {
            // The label is set and read back in memory too: a label that cannot be made is a fault of the product.
            match make::label(&opened, &needs) {
                Ok(made) => findings.extend(made.findings),
                Err(more) => findings.extend(more.into_findings()?),
            }
        }
        let input = |f: &Finding| f.level == Level::Error && f.severity == Severity::Input;
        if findings.iter().any(input) {
            // A template that cannot be read is a file that cannot be read.
            return Err(Stop::Input(findings));
        }
        let counted = findings.iter().filter(|f| f.level != Level::Note).count();
        found |= counted > 0;
        if args.book.json {
            let verdict = if counted > 0 { "findings" } else { "pass" };
            let list: Vec<_> = findings.iter().map(find::json).collect();
            let value =
                json!({ "product": needs.product, "market": market, "date": on, "verdict": verdict, "findings": list });
            parts.push(format!("{value:#}"));
        } else {
            let told = match counted {
                0 => "nothing found".to_owned(),
                1 => "1 finding".to_owned(),
                n => format!("{n} findings"),
            };
            parts.push(format!("{}{} for {market} on {on}: {told}\n", listed(&findings), needs.title));
        }
    }
    Ok(open::joined(&parts, args.book.json, found))
}
