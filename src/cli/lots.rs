//! `lots`: every lot with its state and what is on hand.

use super::record_args::LotsArgs;
use super::{Answer, Stop, book};
use serde_json::json;

/// Runs the command.
pub fn run(args: &LotsArgs) -> Result<Answer, Stop> {
    let book = book::open(&args.book)?;
    let (_, _, day) = book::when(args.on);
    let trouble = |t| super::pour::trouble(&t);
    let mut records = Vec::new();
    for lot in book.ledger.lots().map_err(trouble)? {
        records.extend(book.ledger.record(&lot.code).map_err(trouble)?);
    }
    if args.book.json {
        let lots: Vec<_> = records
            .iter()
            .map(|r| {
                json!({
                    "lot": r.lot.code, "product": r.lot.product, "poured": r.lot.date.to_string(),
                    "state": r.state(day).word(), "cure_until": r.lot.cure_until.map(|d| d.to_string()),
                    "balance": r.balance,
                })
            })
            .collect();
        return Ok(Answer::fine(format!("{:#}\n", json!({ "on": day.to_string(), "lots": lots }))));
    }
    if records.is_empty() {
        return Ok(Answer::fine("no lot yet; `waxbill pour` opens one\n".to_owned()));
    }
    let width = records.iter().map(|r| r.lot.name.chars().count()).max().unwrap_or(0).max(7);
    let mut out =
        format!("{:<8} {:<width$} {:<10} {:<15} {:>5} {:>8}\n", "lot", "product", "poured", "state", "made", "on hand");
    for r in &records {
        let cure =
            r.lot.cure_until.filter(|until| day < *until).map_or_else(String::new, |d| format!("  cures until {d}"));
        out += &format!(
            "{:<8} {:<width$} {:<10} {:<15} {:>5} {:>8}{cure}\n",
            r.lot.code.to_string(),
            r.lot.name,
            r.lot.date.to_string(),
            r.state(day).word(),
            r.balance.made,
            r.balance.on_hand
        );
    }
    Ok(Answer::fine(out))
}
