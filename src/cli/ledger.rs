//! `ledger`: verify, export, import, copies, and forgetting a buyer.

use super::record_args::{LedgerArgs, LedgerWhat, Written};
use super::{Answer, Stop, book, files, port};
use crate::find::{Finding, Source};
use crate::ledger::{Buyer, Ledger, Trouble, Verified};
use serde_json::json;
use std::fs;
use std::sync::Arc;

/// Runs the command.
pub fn run(args: &LedgerArgs) -> Result<Answer, Stop> {
    let told = |value: serde_json::Value, text: String| {
        Answer::fine(if args.book.json { format!("{value:#}\n") } else { text })
    };
    let trouble = |t: Trouble| book::asked_for_too_much(&t);
    match &args.what {
        LedgerWhat::Verify => {
            let verified = book::open(&args.book)?.ledger.verify().map_err(trouble)?;
            Ok(told(json!(verified), sound(&verified)))
        }
        LedgerWhat::Export { output, form } => {
            let lines = book::open(&args.book)?.ledger.export().map_err(trouble)?;
            let number = lines.lines().count();
            let text = port::written(&lines, Written::of(*form, output.as_deref()));
            let Some(output) = output else { return super::file(text) };
            files::write(output, text.as_bytes())?;
            let shown = output.display().to_string();
            Ok(told(
                json!({ "file": shown, "lines": number }),
                format!("{number} lines in `{shown}`; names of buyers are among them\n"),
            ))
        }
        LedgerWhat::Import { file, form } => {
            let form = Written::of(*form, Some(file));
            let text = fs::read_to_string(file).map_err(|e| {
                Stop::input(Finding::input(
                    "file/not-found",
                    format!("`{}` cannot be read: {e}", file.display()),
                    "name a file that `waxbill ledger export` wrote",
                ))
            })?;
            let source = Arc::new(Source { name: file.display().to_string(), text });
            let lines = port::read(&source, form).map_err(Stop::input)?;
            let made = Ledger::import(&book::root(&args.book).join("ledger.sqlite"), &lines)
                .map_err(|t| trouble(counted_by_things(t, form)))?;
            let verified = made.verify().map_err(trouble)?;
            Ok(told(json!(verified), sound(&verified)))
        }
        LedgerWhat::Backup { file } => {
            book::open(&args.book)?.ledger.backup(file).map_err(trouble)?;
            let shown = file.display().to_string();
            Ok(told(json!({ "file": shown }), format!("copied to `{shown}`\n")))
        }
        LedgerWhat::Restore { file } => {
            let made = Ledger::restore(&book::root(&args.book).join("ledger.sqlite"), file).map_err(trouble)?;
            let verified = made.verify().map_err(trouble)?;
            Ok(told(json!(verified), sound(&verified)))
        }
        LedgerWhat::Forget { buyer } => {
            let book = book::open(&args.book)?;
            let found = book.ledger.buyers(buyer).map_err(trouble)?;
            let [one] = found.as_slice() else { return Err(which(buyer, &found)) };
            let (_, now, _) = book::when(None);
            let seq = book.ledger.forget(now, one.id).map_err(trouble)?;
            Ok(told(
                json!({ "entry": seq, "buyer": one.id }),
                format!(
                    "buyer {} is forgotten; what was handed over still counts (entry {seq}). Copies and exports made before still hold the name\n",
                    one.id
                ),
            ))
        }
    }
}

/// The lines of another form are not those of the file: what is told counts papers, buyers and entries instead.
fn counted_by_things(trouble: Trouble, form: Written) -> Trouble {
    match trouble {
        Trouble::Refused { why } if form != Written::Jsonl => Trouble::Refused {
            why: why.strip_prefix("line ").map_or_else(|| why.clone(), |rest| format!("thing {rest}")),
        },
        other => other,
    }
}

fn sound(v: &Verified) -> String {
    format!("sound: {} entries, {} lots, {} papers; last entry {}\n", v.entries, v.lots, v.papers, v.last)
}

fn which(typed: &str, found: &[Buyer]) -> Stop {
    let message = if found.is_empty() {
        format!("there is no buyer `{typed}`")
    } else {
        format!("{} buyers are called `{typed}`", found.len())
    };
    let numbers: Vec<String> =
        found.iter().map(|b| format!("{} ({})", b.id, b.contact.as_deref().unwrap_or("no contact"))).collect();
    let cure = if numbers.is_empty() {
        "write the name as it stands in the hand-over, or the number".to_owned()
    } else {
        format!("name one by its number: {}", numbers.join(", "))
    };
    Stop::input(Finding::input("lot/no-such-buyer", message, cure))
}
