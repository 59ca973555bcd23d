//! `trace`: back to the materials, forward to the hand-overs, and where the units are.

use super::book::Book;
use super::receive::short;
use super::record_args::TraceArgs;
use super::{Answer, Stop, book, csv, paper};
use crate::find::Finding;
use crate::ledger::{HandOver, Node};
use crate::trace::{self, Trace};
use serde_json::{Value, json};

/// Runs the command.
pub fn run(args: &TraceArgs) -> Result<Answer, Stop> {
    let book = book::open(&args.book)?;
    let trace = of(&book, &args.subject)?;
    if let Some(output) = &args.pdf {
        return paper::trace_sheet(&book, &args.subject, &trace, output, args.book.json);
    }
    if args.csv {
        return super::file(as_csv(&trace));
    }
    Ok(Answer::fine(if args.book.json { format!("{:#}\n", as_json(&trace)) } else { text(&trace) }))
}

/// The trace of what was typed.
pub fn of(book: &Book, typed: &str) -> Result<Trace, Stop> {
    let trouble = |t| super::pour::trouble(&t);
    let found = book.ledger.named(typed).map_err(trouble)?;
    let [node] = found.as_slice() else { return Err(which(book, typed, &found)) };
    trace::walk(&book.ledger, node).map_err(trouble)
}

fn which(book: &Book, typed: &str, found: &[Node]) -> Stop {
    if found.is_empty() {
        return Stop::input(Finding::input(
            "lot/nothing-of-that-name",
            format!("nothing in the ledger is called `{typed}`"),
            "name a lot (`26329A4`), units of it (`26329A4/7-12`), a supplier's lot (`F-2231`), a sheet's revision \
             (`kelp-and-cedar@4`), eight or more figures of a digest, or a buyer",
        ));
    }
    let how = |node: &Node| match node {
        Node::MaterialLot(id) => match book.ledger.stored_lot(*id) {
            Ok(Some(stored)) => format!("`{}={}`", stored.material, stored.supplier_lot),
            _ => format!("material lot {id}"),
        },
        Node::Lot(code, _) => format!("the lot {code}"),
        Node::Label(digest) => format!("the label {digest}"),
        Node::Sheet(digest) => format!("the sheet {digest}"),
        Node::Revision(material, revision) => format!("revision {revision} of {material}"),
        Node::Buyer(id) => format!("buyer {id}"),
    };
    let all: Vec<String> = found.iter().map(how).collect();
    Stop::input(Finding::input(
        "lot/several-of-that-name",
        format!("`{typed}` names more than one thing"),
        format!("say which: {}", all.join(", ")),
    ))
}

/// Ranges as people write them: `1-6, 9-24`.
pub fn ranges(units: &[(u32, u32)]) -> String {
    let one = |(first, last): &(u32, u32)| if first == last { first.to_string() } else { format!("{first}-{last}") };
    units.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// For people.
pub fn text(trace: &Trace) -> String {
    let mut out = String::from("materials\n");
    if trace.components.is_empty() {
        out += "  none recorded\n";
    }
    for c in &trace.components {
        let supplier =
            c.receipts.iter().find_map(|r| r.supplier.clone()).unwrap_or_else(|| "supplier not given".into());
        let days: Vec<&str> = c.receipts.iter().map(|r| r.received.as_str()).collect();
        let sheets: Vec<String> = c.receipts.iter().filter_map(|r| r.sheet_revision.clone()).collect();
        let sheet = sheets.first().map_or_else(String::new, |r| format!(", sheet revision {r}"));
        out += &format!(
            "  {} lot {}: {supplier}, received {}{sheet}; {} in the store\n",
            c.material,
            c.supplier_lot,
            days.join(" and "),
            c.in_store
        );
        for used in &c.used_in {
            let (amount, units) = (used.amount.to_string(), ranges(&[used.units]));
            out += &format!("    {amount} in lot {}, units {units}\n", used.lot);
        }
    }
    for lot in &trace.melted {
        out += &format!("  melted down into it: lot {lot}\n");
    }
    out += "\nlots\n";
    for l in &trace.lots {
        let b = l.balance;
        out += &format!(
            "  {} {}, poured {}, label {}, units {} of {}\n    made {}, on hand {}, retained {}, scrapped {}, handed over {}, unaccounted {}\n",
            l.code,
            l.name,
            l.poured,
            short(&l.label),
            ranges(&l.units),
            l.of,
            b.made,
            b.on_hand,
            b.retained,
            b.scrapped,
            b.handed_over,
            b.unaccounted
        );
    }
    out += "\nhanded over\n";
    if trace.hand_overs.is_empty() {
        out += "  nothing\n";
    }
    for h in &trace.hand_overs {
        let contact = h.contact.as_ref().map_or_else(String::new, |c| format!(" ({c})"));
        let which = h.which.map_or_else(String::new, |w| format!(", units {}", ranges(&[w])));
        out += &format!("  {} {} of {} to {}{contact}, {}{which}\n", h.day, h.units, h.lot, to(h), h.way);
    }
    let b = trace.balance;
    out += &format!(
        "\nbalance: made {} = on hand {} + retained {} + scrapped {} + handed over {} + unaccounted {}\n",
        b.made, b.on_hand, b.retained, b.scrapped, b.handed_over, b.unaccounted
    );
    out
}

/// The buyer, or that the name was blanked.
pub fn to(h: &HandOver) -> String {
    h.to.clone().unwrap_or_else(|| format!("buyer {} (name blanked)", h.buyer))
}

/// For scripts.
pub fn as_json(trace: &Trace) -> Value {
    json!({
        "subject": trace.subject, "components": trace.components, "melted": trace.melted, "lots": trace.lots,
        "hand_overs": trace.hand_overs, "balance": trace.balance,
    })
}

/// As on the shelf of other programs: an empty cell stays empty.
fn cell_of(cell: &str) -> String {
    if cell.is_empty() { String::new() } else { csv::written(cell) }
}

fn as_csv(trace: &Trace) -> String {
    let mut out = String::from("lot,product,poured,day,way,units,first_unit,last_unit,to,contact\n");
    for h in &trace.hand_overs {
        let lot = trace.lots.iter().find(|l| l.code == h.lot);
        let (first, last) = h.which.map_or_else(Default::default, |(f, l)| (f.to_string(), l.to_string()));
        let row = [
            h.lot.to_string(),
            lot.map_or_else(String::new, |l| l.product.clone()),
            lot.map_or_else(String::new, |l| l.poured.clone()),
            h.day.clone(),
            h.way.clone(),
            h.units.to_string(),
            first,
            last,
            to(h),
            h.contact.clone().unwrap_or_default(),
        ];
        out += &(row.iter().map(|cell| cell_of(cell)).collect::<Vec<_>>().join(",") + "\n");
    }
    out
}
