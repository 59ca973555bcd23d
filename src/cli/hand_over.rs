//! `hand-over`: units leave; what may not leave is refused unless a reason is recorded.

use super::record_args::HandOverArgs;
use super::{Answer, Stop, book};
use crate::find::{Evidence, Finding, Level, Severity};
use crate::ledger::{Ledger, LotRecord, NewHandOver, State};
use crate::lot::LotCode;
use jiff::civil::Date;
use serde_json::json;

/// Runs the command.
pub fn run(args: &HandOverArgs) -> Result<Answer, Stop> {
    let book = book::open(&args.book)?;
    let (code, _) = book.record(&args.code)?;
    let (_, now, day) = book::when(args.date);
    let to = args.to.trim();
    if to.is_empty() {
        book::needed(None, "--to", "who gets them")?;
    }
    let forced = if args.force {
        Some(book::needed(args.because.as_ref(), "--because", "the reason why they leave all the same")?)
    } else {
        None
    };
    let which = args.which;
    if let Some((first, last)) = which
        && last - first + 1 != args.units
    {
        return Err(Stop::input(Finding::input(
            "lot/which-units",
            format!("units {first} to {last} are {}, and {} are to be handed over", last - first + 1, args.units),
            "let the two agree",
        )));
    }
    let new = NewHandOver {
        to: to.to_owned(),
        contact: args.contact.clone(),
        units: args.units,
        which,
        day,
        way: args.way,
        forced,
    };
    let seq =
        book.ledger.hand_over(now, code, &new, |ledger| allowed(ledger, &code, args, day)).map_err(book::refused)?;
    let (_, record) = book.record(&args.code)?;
    let left = record.balance.on_hand;
    if args.book.json {
        let value = json!({
            "entry": seq, "lot": code, "units": args.units, "to": to, "day": day.to_string(), "as": args.way,
            "forced": new.forced, "balance": record.balance,
        });
        return Ok(Answer::fine(format!("{value:#}\n")));
    }
    let forced = new.forced.map_or_else(String::new, |why| format!("; forced: {why}"));
    Ok(Answer::fine(format!(
        "{} of lot {code} to {to}, {day}, {}; {left} left on hand{forced} (entry {seq})\n",
        args.units, args.way
    )))
}

fn allowed(ledger: &Ledger, code: &LotCode, args: &HandOverArgs, day: Date) -> Result<(), Stop> {
    let trouble = |t| super::pour::trouble(&t);
    let Some(record) = ledger.record(code).map_err(trouble)? else { return Ok(()) };
    let on_hand = record.balance.on_hand;
    if i64::from(args.units) > on_hand {
        // never forced: what is not there cannot leave
        return Err(stop(
            "lot/not-on-hand",
            format!("{} units of lot {code} are to leave, and {on_hand} are on hand", args.units),
            "count the shelf (`waxbill lot CODE count --found N`) or correct the entry that is wrong",
        ));
    }
    if let Some((first, last)) = args.which {
        if last > u32::try_from(record.balance.made).unwrap_or(0).max(record.lot.units) {
            return Err(stop("lot/which-units", format!("lot {code} has no unit {last}"), "read the number again"));
        }
        let gone = ledger.hand_overs(code).map_err(trouble)?;
        if let Some(h) = gone.iter().find(|h| h.which.is_some_and(|(f, l)| f <= last && first <= l)) {
            return Err(stop(
                "lot/which-units",
                format!("some of the units {first} to {last} left on {} already (entry {})", h.day, h.seq),
                "read the numbers again, or correct that entry",
            ));
        }
    }
    if day < record.lot.date {
        return Err(stop("lot/before-the-pour", format!("lot {code} was poured {}", record.lot.date), "check the day"));
    }
    if args.force {
        return Ok(());
    }
    may_leave(&record, day)
}

fn may_leave(record: &LotRecord, day: Date) -> Result<(), Stop> {
    let (code, force) = (record.lot.code, "or `--force --because \"...\"`, which is recorded");
    match record.state(day) {
        State::Released => Ok(()),
        State::OnHold => Err(stop(
            "lot/on-hold",
            format!("lot {code} is on hold"),
            format!("release it when the reason is settled: `waxbill lot {code} release --by NAME`, {force}"),
        )),
        State::Curing => Err(stop(
            "lot/curing",
            format!(
                "lot {code} cures until {}",
                record.lot.cure_until.map_or_else(|| "a later day".to_owned(), |d| d.to_string())
            ),
            format!("wait, {force}"),
        )),
        State::ToBeReleased => Err(stop(
            "lot/not-released",
            format!("nobody has released lot {code}"),
            format!("check one and release it: `waxbill lot {code} release --by NAME`, {force}"),
        )),
    }
}

/// A refusal under the house's rule that nothing leaves unchecked: exit 1.
pub fn stop(id: &str, message: String, cure: impl Into<String>) -> Stop {
    Stop::Findings(vec![Finding::of(id, Level::Error, Severity::Policy, Some(Evidence::Policy), message, cure)])
}
