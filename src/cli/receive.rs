//! `receive`: a delivery into the store, with digests of the material's file and of its safety sheet.

use super::record_args::ReceiveArgs;
use super::{Answer, Stop, book};
use crate::find::{Finding, Source};
use crate::ledger::{Event, Quantity, Sheet};
use crate::lot::Digest;
use crate::product::{Material, is_piece, read_material, read_piece};
use crate::unit::{Mass, Quantity as _};
use crate::yaml::{Node, Value};
use serde_json::json;
use std::sync::Arc;

/// Runs the command.
pub fn run(args: &ReceiveArgs) -> Result<Answer, Stop> {
    let book = book::open_or_make(&args.book)?;
    let path = book::material_file(&book.root, &args.material);
    let source = book::yaml(&path)?;
    let id = path.file_stem().and_then(|s| s.to_str()).unwrap_or("material").to_owned();
    let (material, counted) = material(&source, &id)?;
    let amount = amount(&args.amount.join(" "))?;
    fits(&material, counted, amount)?;
    let lot = args.lot.trim();
    if lot.is_empty() || lot.contains(['=', '\n']) {
        return Err(Stop::input(Finding::input(
            "lot/supplier-lot",
            format!("`{lot}` cannot be a supplier's lot"),
            "copy it from the bottle; where there is none, write a mark of your own on it, such as the day it came",
        )));
    }
    let origin = args.melted_from.as_deref().map(|typed| book.record(typed)).transpose()?.map(|(code, _)| code);
    let sheet = sheet(args, material.sheet)?;
    let (_, now, received) = book::when(args.date);
    let event = Event::Receive {
        material: id.clone(),
        name: material.name.clone(),
        supplier_lot: lot.to_owned(),
        supplier: args.supplier.clone().or(material.supplier),
        received,
        amount,
        material_sha256: Digest::of(source.text.as_bytes()),
        sheet: sheet.clone(),
        origin,
    };
    let mut events = vec![(None, event)];
    if let Some(entry) = args.corrects {
        let because = book::needed(args.because.as_ref(), "--because", "the reason of a correction")?;
        events.insert(0, (None, Event::Correct { entry, because, by: None }));
    }
    let written = book.ledger.write(now, |ledger| {
        let Some(entry) = args.corrects else { return Ok(events) };
        let old = ledger.entry(entry).map_err(|t| super::pour::trouble(&t))?;
        match old.and_then(|e| e.event) {
            Some(Event::Receive { .. }) => Ok(events),
            _ => Err(Stop::input(Finding::input(
                "lot/no-such-entry",
                format!("entry {entry} is no delivery"),
                "a delivery can only correct a delivery",
            ))),
        }
    });
    let numbers = written.map_err(book::refused)?;
    let stock = book.ledger.stock().map_err(|t| super::pour::trouble(&t))?;
    let left = stock.iter().find(|s| s.material == id && s.supplier_lot == lot);
    let shown = left.map_or_else(|| amount.to_string(), crate::ledger::StoredLot::shown);
    if args.book.json {
        let value = json!({
            "entry": numbers.last(), "material": id, "lot": lot, "received": received.to_string(), "amount": amount,
            "in_store": shown, "sheet": sheet,
        });
        return Ok(Answer::fine(format!("{value:#}\n")));
    }
    let sheet = sheet.map_or_else(
        || "no safety sheet recorded".to_owned(),
        |s| {
            let revision = s.revision.map_or_else(String::new, |r| format!(" revision {r}"));
            let date = s.date.map_or_else(String::new, |d| format!(" of {d}"));
            let file = s.sha256.map_or_else(|| ", file not given".to_owned(), |h| format!(", file {}", short(&h)));
            format!("safety sheet{revision}{date}{file}")
        },
    );
    Ok(Answer::fine(format!(
        "{}, lot {lot}: {amount} received {received}, {shown} in the store; {sheet} (entry {})\n",
        material.name,
        numbers.last().copied().unwrap_or_default()
    )))
}

/// The first figures of a digest, enough to find it again.
pub fn short(digest: &Digest) -> String {
    digest.to_string()[..12].to_owned()
}

/// A material's file, or that of a vessel or another counted thing; the second is whether it is counted.
fn material(source: &Arc<Source>, id: &str) -> Result<(Material, bool), Stop> {
    let node = crate::yaml::read(source).map_err(Stop::input)?;
    let named = |key: &str| match &node.value {
        Value::Map(entries) => entries.iter().find(|(k, _)| k.word == key).and_then(|(_, n)| text(n)),
        _ => None,
    };
    if named("material").is_none()
        && let Some(name) = named("vessel")
    {
        return Ok((Material::bare(id, &name, named("supplier"), node.place.clone()), true));
    }
    if is_piece(&node) {
        let (piece, findings) = read_piece(source, id);
        let piece = piece.ok_or_else(|| Stop::of(findings))?;
        return Ok((Material::bare(id, &piece.name, piece.supplier, piece.place), true));
    }
    let (material, findings) = read_material(source, id);
    material.map(|m| (m, false)).ok_or_else(|| Stop::of(findings))
}

/// What is weighed at a pour comes in by mass, what is counted by the piece: else no pour could take it.
fn fits(material: &Material, counted: bool, amount: Quantity) -> Result<(), Stop> {
    let by_count = matches!(amount, Quantity::Pieces(_));
    if by_count == counted {
        return Ok(());
    }
    let (is, cure) =
        if counted { ("counted", "write for example `24 pieces`") } else { ("weighed", "write for example `1 kg`") };
    let message = format!("{} is {is}, and `{amount}` came in", material.name);
    Err(Stop::input(Finding::input("lot/wrong-unit", message, cure)))
}

fn text(node: &Node) -> Option<String> {
    match &node.value {
        Value::Text(text) => Some(text.clone()),
        _ => None,
    }
}

fn amount(typed: &str) -> Result<Quantity, Stop> {
    let pieces = typed.trim().strip_suffix("pieces").or_else(|| typed.trim().strip_suffix("pcs"));
    let read = match pieces {
        Some(number) => number.trim().parse().ok().filter(|n| *n > 0).map(Quantity::Pieces),
        None => {
            let mass = Mass::parse(typed).map_err(|w| {
                Stop::input(Finding::input("file/wrong-quantity", w.message, format!("{}, or `24 pieces`", w.cure)))
            })?;
            (mass > Mass::ZERO).then_some(Quantity::Grams(mass))
        }
    };
    read.ok_or_else(|| {
        Stop::input(Finding::input(
            "file/wrong-quantity",
            format!("`{typed}` is nothing that can come in"),
            "write how much came: `1 kg` or `24 pieces`",
        ))
    })
}

fn sheet(args: &ReceiveArgs, known: Option<crate::product::SafetySheet>) -> Result<Option<Sheet>, Stop> {
    let mut sheet = known.map(|s| Sheet { date: Some(s.date), revision: s.revision, file: None, sha256: None });
    if let Some(date) = args.sheet_date {
        let sheet = sheet.get_or_insert_default();
        if sheet.date != Some(date) {
            // the revision in the material's file belongs to the other sheet
            *sheet = Sheet { date: Some(date), ..Sheet::default() };
        }
    }
    if let Some(revision) = &args.sheet_revision {
        sheet.get_or_insert_default().revision = Some(revision.trim().to_owned());
    }
    if let Some(path) = &args.sheet {
        let bytes = book::bytes(path)?;
        let sheet = sheet.get_or_insert_default();
        sheet.file = path.file_name().map(|n| n.to_string_lossy().into_owned());
        sheet.sha256 = Some(Digest::of(&bytes));
    }
    Ok(sheet)
}
