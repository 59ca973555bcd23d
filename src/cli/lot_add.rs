//! `lot CODE weigh|left|measure|…`: adds an entry to a lot, or strikes one; both in one step for a correction.

use super::book::{Book, needed, refused, when};
use super::hand_over::stop;
use super::record_args::{Add, LotArgs};
use super::{Answer, Stop, lot, lot_file};
use crate::find::{self, Finding};
use crate::ledger::{Event, LotRecord, State};
use jiff::civil::Date;
use serde_json::json;

/// Runs the command.
pub fn run(book: &Book, record: &LotRecord, what: &Add, args: &LotArgs) -> Result<Answer, Stop> {
    let (_, now, today) = when(None);
    let code = record.lot.code;
    let mut events = events(record, what, args, today)?;
    if let Some(entry) = args.corrects {
        let because = needed(args.because.as_ref(), "--because", "the reason of a correction")?;
        events.insert(0, Event::Correct { entry, because, by: args.by.clone() });
    }
    for event in &events {
        if let Event::Correct { entry, .. } = event {
            correctable(record, *entry)?;
        }
    }
    let added: Vec<_> = events.iter().map(|e| (Some(code), e.clone())).collect();
    let numbers = book.ledger.write(now, |_| Ok(added)).map_err(refused)?;
    let (_, after) = book.record(&args.code)?;
    let alarms = lot::alarms(&after);
    if args.book.json {
        let value = json!({
            "lot": code, "entries": numbers, "state": after.state(today).word(), "balance": after.balance,
            "fills": lot::judged(&after), "alarms": alarms,
        });
        return Ok(Answer { text: format!("{value:#}\n"), found: false });
    }
    let mut text = String::new();
    for entry in after.entries.iter().filter(|e| numbers.contains(&e.seq)) {
        text += &lot::entry_text(entry);
    }
    if events.iter().any(|e| matches!(e, Event::Fill { .. }))
        && let Some(fills) = lot::judged(&after)
    {
        text += &lot::fills_text(&fills);
    }
    for alarm in &alarms {
        text += &format!("look at this: {alarm}\n");
    }
    Ok(Answer::fine(text))
}

fn events(record: &LotRecord, what: &Add, args: &LotArgs, today: Date) -> Result<Vec<Event>, Stop> {
    let by = args.by.clone();
    let because = |what: &str| needed(args.because.as_ref(), "--because", what);
    let event = match what {
        Add::Weigh { material, grams } => {
            known_material(record, material)?;
            Event::Weigh { material: material.clone(), grams: *grams, by }
        }
        Add::Bottle { material, before, after, step } => {
            known_material(record, material)?;
            if after > before {
                let message = format!("the bottle weighs {} after and {} before", after.in_g(3), before.in_g(3));
                let cure = "swap the two, or weigh it again";
                return Err(Stop::input(Finding::input("lot/bottle-grew", message, cure)));
            }
            let (material, before, after, step) = (material.clone(), *before, *after, *step);
            Event::Bottle { material, before, after, step, by }
        }
        Add::Left { to, grams } => Event::Left { to: *to, grams: *grams, by },
        Add::Measure { what, value, should } => {
            Event::Measure { what: what.clone(), value: value.clone(), should: should.clone(), by }
        }
        Add::Note { text, deviation } => Event::Note { text: text.clone(), deviation: *deviation, by },
        Add::Count { found: Some(found), .. } => Event::StockTake { found: *found, by },
        Add::Count { good, scrapped, .. } => {
            once(record, args)?;
            Event::Count { good: good.unwrap_or_default(), scrapped: *scrapped, by }
        }
        Add::Scrap { units } => Event::Scrap { units: *units, because: because("why they are scrapped")?, by },
        Add::Retain { units, place, until } => Event::Retain { units: *units, place: place.clone(), until: *until, by },
        Add::Labels { printed, used, spoiled } => {
            Event::Labels { printed: *printed, used: *used, spoiled: *spoiled, by }
        }
        Add::Fill { grams, step } => Event::Fill { grams: grams.clone(), step: *step, by },
        Add::Hold => Event::Hold { because: because("why nothing may leave")?, by },
        Add::Release { force, date } => release(record, args, *force, date.unwrap_or(today))?,
        Add::Correct { entry } => Event::Correct { entry: *entry, because: because("the reason of a correction")?, by },
        Add::Enter { file } => return lot_file::read(file, record),
        // shown by `lot`, adds nothing
        Add::Sheet { .. } => return Ok(Vec::new()),
    };
    Ok(vec![event])
}

/// Materials of the lot, with "did you mean".
pub fn known_material(record: &LotRecord, material: &str) -> Result<(), Stop> {
    let ids: Vec<&str> = record.lot.lines.iter().map(|l| l.material.as_str()).collect();
    if ids.contains(&material) {
        return Ok(());
    }
    let near = find::nearest(material, &ids).map_or_else(String::new, |n| format!("did you mean `{n}`? "));
    Err(Stop::input(Finding::input(
        "lot/not-in-the-recipe",
        format!("`{material}` is no material of lot {}", record.lot.code),
        format!("{near}it has `{}`", ids.join("`, `")),
    )))
}

/// A pour is counted once; another count of it is a correction.
fn once(record: &LotRecord, args: &LotArgs) -> Result<(), Stop> {
    let counted = record.entries.iter().find(|e| {
        e.corrected_by.is_none() && matches!(e.event, Some(Event::Count { .. })) && Some(e.seq) != args.corrects
    });
    match counted {
        None => Ok(()),
        Some(entry) => Err(stop(
            "lot/counted-already",
            format!("lot {} was counted already (entry {})", record.lot.code, entry.seq),
            format!(
                "if that was wrong add `--corrects {} --because \"...\"`; for the shelf as it is now, `count --found N`",
                entry.seq
            ),
        )),
    }
}

fn release(record: &LotRecord, args: &LotArgs, force: bool, day: Date) -> Result<Event, Stop> {
    let checked = needed(args.by.as_ref(), "--by", "the name of who checked")?;
    let code = record.lot.code;
    if force {
        let forced = Some(needed(args.because.as_ref(), "--because", "why it is released all the same")?);
        return Ok(Event::Release { checked, forced });
    }
    if record.lot.cure_until.is_some_and(|until| day < until) {
        let until = record.lot.cure_until.map_or_else(String::new, |d| d.to_string());
        return Err(stop(
            "lot/curing",
            format!("lot {code} cures until {until}"),
            "wait, or `--force --because \"...\"`, which is recorded",
        ));
    }
    let alarms = lot::alarms(record);
    if let Some(first) = alarms.first() {
        return Err(stop(
            "lot/alarm-open",
            format!("{first}{}", if alarms.len() > 1 { " (and more)" } else { "" }),
            "settle it, or `--force --because \"...\"`, which is recorded",
        ));
    }
    if record.state(day) == State::OnHold && args.because.is_none() {
        return Err(stop(
            "lot/on-hold",
            format!("lot {code} is on hold"),
            "say how that was settled: `--because \"...\"`",
        ));
    }
    Ok(Event::Release { checked, forced: args.because.clone() })
}

fn correctable(record: &LotRecord, entry: i64) -> Result<(), Stop> {
    let Some(found) = record.entries.iter().find(|e| e.seq == entry) else {
        return Err(Stop::input(Finding::input(
            "lot/no-such-entry",
            format!("lot {} has no entry {entry}", record.lot.code),
            format!("`waxbill lot {}` shows the number of each", record.lot.code),
        )));
    };
    if let Some(by) = found.corrected_by {
        return Err(stop(
            "lot/corrected-already",
            format!("entry {entry} is corrected by entry {by} already"),
            "correct what was entered instead of it",
        ));
    }
    if !found.event.as_ref().is_some_and(Event::can_be_corrected) {
        return Err(stop(
            "lot/cannot-be-corrected",
            format!("entry {entry} stays as it is"),
            "write a note that tells what was wrong",
        ));
    }
    Ok(())
}
