//! `check --stock`: lots on hand whose label, recipe or safety sheet is no longer what today asks for.

use super::args::{CheckArgs, ProductArgs};
use super::book::{self, Book};
use super::open::Opened;
use super::pour::trouble;
use super::receive::short;
use super::{Answer, Stop, listed, make, open};
use crate::find::{self, Evidence, Finding, Level, Severity};
use crate::ledger::{Ledger, LotRow, Receipt};
use jiff::civil::Date;
use serde_json::json;

/// Runs the command.
pub fn run(args: &CheckArgs, on: Date) -> Result<Answer, Stop> {
    let book = book::open(&args.book)?;
    let (mut findings, mut looked) = (Vec::new(), 0_u32);
    for lot in book.ledger.lots().map_err(|t| trouble(&t))? {
        let balance = book.ledger.balance(&lot.code).map_err(|t| trouble(&t))?;
        if balance.on_hand > 0 {
            looked += 1;
            findings.extend(of_lot(&book, &lot, on)?);
        }
    }
    let counted = findings.iter().filter(|f| f.level != Level::Note).count();
    if args.book.json {
        let list: Vec<_> = findings.iter().map(find::json).collect();
        let verdict = if counted > 0 { "findings" } else { "pass" };
        let value = json!({ "date": on.to_string(), "lots": looked, "verdict": verdict, "findings": list });
        return Ok(Answer { text: format!("{value:#}\n"), found: counted > 0 });
    }
    let told = match counted {
        0 => "nothing found".to_owned(),
        1 => "1 finding".to_owned(),
        n => format!("{n} findings"),
    };
    Ok(Answer { text: format!("{}{looked} lots on hand on {on}: {told}\n", listed(&findings)), found: counted > 0 })
}

fn of_lot(book: &Book, lot: &LotRow, on: Date) -> Result<Vec<Finding>, Stop> {
    let mut findings = sheets(book, lot)?;
    let product = book.root.join("products").join(&lot.product).with_extension("yaml");
    if !product.is_file() {
        findings.push(warn(
            "lot/product-gone",
            format!("lot {}: there is no file `{}` any more", lot.code, product.display()),
            "its label cannot be compared with today's rules; keep the file while units are on hand",
        ));
        return Ok(findings);
    }
    let args = ProductArgs { product, market: None, on: Some(on) };
    let today = open::product(&args).and_then(|opened| {
        let markets = if lot.markets.is_empty() { opened.product.markets.clone() } else { lot.markets.clone() };
        Ok((make::label_digest(&opened, &markets, on)?, make::recipe_digest(&opened)))
    });
    match today {
        Err(stop) => {
            for finding in stop.into_findings()?.into_iter().take(1) {
                findings.push(warn(
                    "lot/label-cannot-be-made",
                    format!("lot {}: its label could not be made today: {}", lot.code, finding.message),
                    "run `waxbill check` on the product",
                ));
            }
        }
        Ok((label, recipe)) => {
            if label != lot.label_hash {
                findings.push(warn(
                    "lot/label-outdated",
                    format!(
                        "lot {}: its label (version {}) does not say what today's product file and rules ask for (version {})",
                        lot.code,
                        short(&lot.label_hash),
                        short(&label)
                    ),
                    format!(
                        "compare it with `waxbill label`; relabel what is on hand or note why it may stay: `waxbill lot {} note`",
                        lot.code
                    ),
                ));
            }
            if recipe != lot.product_hash {
                let message = format!("lot {}: product or material files were changed since the pour", lot.code);
                let mut finding =
                    warn("lot/recipe-changed", message, "look whether the change concerns what is on hand");
                // a changed comment is no finding; what the label says is told above
                finding.level = Level::Note;
                findings.push(finding);
            }
        }
    }
    Ok(findings)
}

/// Materials of the lot of which another delivery came with a newer safety sheet.
fn sheets(book: &Book, lot: &LotRow) -> Result<Vec<Finding>, Stop> {
    let failed = |t| trouble(&t);
    let mut findings = Vec::new();
    for used in book.ledger.made_from(&lot.code).map_err(failed)? {
        let Some(own) = book.ledger.stored_lot(used.material_lot).map_err(failed)? else { continue };
        let then = book.ledger.receipts(own.id).map_err(failed)?;
        let newest = book.ledger.newest_sheet(&own.material).map_err(failed)?;
        let (Some(then), Some(newest)) = (then.iter().find_map(Receipt::sheet), newest) else { continue };
        if let Some(now) = newest.sheet().filter(|now| *now != then) {
            findings.push(warn(
                "lot/sheet-outdated",
                format!(
                    "lot {}: {} lot {} came with safety sheet {then}, and the newest, of lot {}, is {now}",
                    lot.code, own.material, own.supplier_lot, newest.supplier_lot
                ),
                "read what changed in the sheet, and whether the label of what is on hand must say it",
            ));
        }
    }
    Ok(findings)
}

/// Materials of a product whose file holds an older safety sheet than the one a delivery came with. Empty where the workshop
/// has no ledger yet.
pub fn behind(opened: &Opened) -> Result<Vec<Finding>, Stop> {
    let failed = |t| trouble(&t);
    let Some(path) = opened.workshop.root.as_ref().map(|r| r.join("ledger.sqlite")).filter(|p| p.is_file()) else {
        return Ok(Vec::new());
    };
    let ledger = Ledger::open(&path).map_err(failed)?;
    let mut findings = Vec::new();
    for line in &opened.product.recipe {
        let material = &line.material;
        let Some(sheet) = &material.sheet else { continue };
        let in_file = sheet.date.to_string();
        let Some(newest) = ledger.newest_sheet(&material.id).map_err(failed)? else { continue };
        // dates are written year first, so they compare as words
        let Some(came) = newest.sheet_date.filter(|came| *came > in_file) else { continue };
        let lot = newest.supplier_lot;
        let message = format!(
            "the file of {} holds the safety sheet of {in_file}, and lot {lot} came with that of {came}",
            material.name
        );
        let cure = "enter the newer sheet; `waxbill classify MATERIAL --against OLD` tells which statements change";
        findings.push(warn("lot/sheet-behind", message, cure).at(&material.place, "this material"));
    }
    Ok(findings)
}

fn warn(id: &str, message: String, cure: impl Into<String>) -> Finding {
    Finding::of(id, Level::Warning, Severity::Policy, Some(Evidence::Policy), message, cure)
}
