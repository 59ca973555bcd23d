//! `recall`: starts the clock, traces, stops what is on hand, and says who must be told what by when.

use super::book::{Book, asked_for_too_much, needed, open, when};
use super::record_args::RecallArgs;
use super::trace::{as_json, ranges, text as trace_text, to};
use super::{Answer, Stop, files, paper};
use crate::find::{self, Evidence, Finding, Level, Severity};
use crate::ledger::Event;
use crate::lot::LotCode;
use crate::page::{Page, Placed};
use crate::product::{Workshop, read_workshop};
use crate::trace::{Duty, Trace, duties, softened};
use crate::trade::Market;
use jiff::Zoned;
use serde_json::json;
use std::collections::{BTreeMap, BTreeSet};

/// Runs the command.
pub fn run(args: &RecallArgs) -> Result<Answer, Stop> {
    let book = open(&args.book)?;
    if let Some(entry) = args.end {
        return end(&book, entry, args);
    }
    let (started, now, _) = when(None);
    let subject = needed(args.subject.as_ref(), "WHAT", "what is withdrawn")?;
    let reason = needed(args.reason.as_ref(), "--reason", "the reason")?;
    let trace = super::trace::of(&book, &subject)?;
    let lots: Vec<LotCode> = trace.lots.iter().map(|l| l.code).collect();
    let mut events = vec![(
        None,
        Event::Recall { subject: subject.clone(), reason: reason.clone(), practice: args.practice, lots: lots.clone() },
    )];
    if !args.practice {
        let because = format!("recall: {reason}");
        events.extend(lots.iter().map(|code| (Some(*code), Event::Hold { because: because.clone(), by: None })));
    }
    let numbers = book.ledger.add(now, events).map_err(|t| asked_for_too_much(&t))?;
    let entry = numbers.first().copied().unwrap_or_default();
    let markets = markets(&book, &lots)?;
    let duties = duties(&markets);
    let maker = maker(&book);
    let notice = notice(&trace, &places(&book, &trace)?, &reason, maker.as_ref(), &markets);
    let findings = soft_words(&reason, &markets);
    let took = super::open::now().duration_since(&started).as_millis();
    if args.book.json {
        let value = json!({
            "entry": entry, "practice": args.practice, "started": started.timestamp().to_string(), "reason": reason,
            "trace": as_json(&trace), "contacts": contacts_json(&trace), "duties": duties, "notice": notice,
            "held": if args.practice { Vec::new() } else { lots }, "took_ms": took,
            "findings": findings.iter().map(find::json).collect::<Vec<_>>(),
        });
        return Ok(Answer::fine(format!("{value:#}\n")));
    }
    Ok(Answer::fine(super::listed(&findings) + &told(args, entry, &started, &trace, &duties, &notice, took)))
}

fn told(
    args: &RecallArgs,
    entry: i64,
    started: &Zoned,
    trace: &Trace,
    duties: &[Duty],
    notice: &str,
    took: i128,
) -> String {
    let word = if args.practice { "PRACTICE recall" } else { "RECALL" };
    let mut out = format!(
        "{word}, begun {} (entry {entry}); traced in {took} ms\n{}\n\n",
        started.strftime("%Y-%m-%d %H:%M:%S %:z"),
        if args.practice { "nothing is put on hold" } else { "every lot below is on hold: nothing more leaves" }
    );
    out += &trace_text(trace);
    out += "\nto be told\n";
    let contacts = contacts(trace);
    if contacts.is_empty() {
        out += "  nobody: nothing left the workshop\n";
    }
    for (name, (contact, units)) in &contacts {
        let contact = contact.as_deref().unwrap_or("no address kept: tell by a public notice");
        out += &format!("  {name}: {units} units; {contact}\n");
    }
    out += "\nduties, by market [how each is known]\n";
    for d in duties {
        out += &format!("  {}: {}: {} ({}, {}) [{}]\n", d.market, d.duty, d.time, d.source, d.clause, d.seen);
    }
    out += "  Read the law or ask; local codes and authorities come first.\n\nnotice\n\n";
    out += notice;
    out += &format!("\nwhen it is settled: waxbill recall --end {entry} --findings \"...\"\n");
    out
}

/// Name of a buyer, then contact and units.
fn contacts(trace: &Trace) -> BTreeMap<String, (Option<String>, u32)> {
    let mut out: BTreeMap<String, (Option<String>, u32)> = BTreeMap::new();
    for h in &trace.hand_overs {
        let known = out.entry(to(h)).or_default();
        known.0 = known.0.take().or_else(|| h.contact.clone());
        known.1 += h.units;
    }
    out
}

fn markets(book: &Book, lots: &[LotCode]) -> Result<Vec<Market>, Stop> {
    let mut markets = Vec::new();
    for code in lots {
        let lot = book.ledger.lot(code).map_err(|t| super::pour::trouble(&t))?;
        markets.extend(lot.into_iter().flat_map(|l| l.markets));
    }
    markets.sort();
    markets.dedup();
    // a lot of an old ledger does not say where it was sold
    Ok(if markets.is_empty() { vec![Market::Us] } else { markets })
}

fn maker(book: &Book) -> Option<Workshop> {
    read_workshop(&files::read(&book.root.join("workshop.yaml")).ok()?).0
}

/// The headline of Regulation (EU) 2023/988 Art. 36(2)(a) stands on every notice: it is plain anywhere.
fn notice(
    trace: &Trace,
    places: &[(String, Vec<String>)],
    reason: &str,
    workshop: Option<&Workshop>,
    markets: &[Market],
) -> String {
    let mut out = String::from("Product safety recall\n\n");
    for l in &trace.lots {
        out += &format!("{}, lot {}", l.name, l.code);
        // unit numbers help only where those that left carry one
        let gone = || trace.hand_overs.iter().filter(|h| h.lot == l.code);
        if l.units != [(1, l.of)] && gone().all(|h| h.which.is_some()) {
            out += &format!(", units {}", ranges(&l.units));
        }
        out += &format!(": {} made, poured {}", l.balance.made, l.poured);
        let days = || gone().map(|h| h.day.as_str());
        if let (Some(first), Some(last)) = (days().min(), days().max()) {
            out += &format!(", handed over from {first} to {last}");
        }
        out += "\n";
    }
    if let Some(lot) = trace.lots.first() {
        for (name, parts) in places.iter().filter(|(_, parts)| !parts.is_empty()) {
            out += &format!("{name}: the lot code stands on the label at the {}.\n", parts.join(" and at the "));
        }
        out += &how_to_read(&lot.code);
    }
    out += &format!(
        "\nHazard: {reason}\n\nStop burning it at once. Keep it away from children and do not give it away.\n"
    );
    out += match markets {
        m if m.contains(&Market::Eu) || m.contains(&Market::Ni) => {
            "We offer you at least two of: repair, replacement, your money back. [fill in which, and how]\n"
        }
        _ => "What we offer you: [fill in: refund, replacement, and how]\n",
    };
    if let Some(w) = workshop {
        let m = &w.maker;
        let reach: Vec<&str> = [&m.phone, &m.email, &m.web].into_iter().flatten().map(String::as_str).collect();
        out += &format!(
            "\n{}, {}{}\n",
            m.name,
            m.town,
            if reach.is_empty() { String::new() } else { format!(": {}", reach.join(", ")) }
        );
    }
    out += "Please tell others who may have one.\n";
    out
}

fn contacts_json(trace: &Trace) -> Vec<serde_json::Value> {
    let each = |(to, (contact, units))| json!({ "to": to, "contact": contact, "units": units });
    contacts(trace).into_iter().map(each).collect()
}

/// The parts of each label version that bear the code, where product and rules still make that version.
fn places(book: &Book, trace: &Trace) -> Result<Vec<(String, Vec<String>)>, Stop> {
    let mut seen = BTreeSet::new();
    let mut all = Vec::new();
    for lot in trace.lots.iter().filter(|l| seen.insert((l.product.clone(), l.label))) {
        let Some(record) = book.ledger.record(&lot.code).map_err(|t| super::pour::trouble(&t))? else { continue };
        // a label that can no longer be drawn must not keep a recall from starting
        let pages = paper::label_pages(book, &record).unwrap_or_default();
        let code = lot.code.to_string();
        let bears =
            |page: &Page| page.items.iter().any(|item| matches!(item, Placed::Text(text) if text.text.contains(&code)));
        let mut parts: Vec<String> = pages.iter().filter(|p| bears(p)).map(|p| p.part.clone()).collect();
        parts.dedup();
        all.push((lot.name.clone(), parts));
    }
    Ok(all)
}

/// Where the code stands and what it says.
fn how_to_read(code: &LotCode) -> String {
    let (text, day) = (code.to_string(), code.date());
    format!(
        "The lot code stands on the label, and in its square code where there is one. `{text}` reads: {} the year {}, {} the \
         day of the year ({day}), {} the letter of that day's pour, {} a check character.\n",
        &text[..2],
        day.year(),
        &text[2..5],
        &text[5..6],
        &text[6..]
    )
}

fn soft_words(reason: &str, markets: &[Market]) -> Vec<Finding> {
    if !markets.iter().any(|m| matches!(m, Market::Eu | Market::Ni)) {
        return Vec::new();
    }
    softened(reason)
        .into_iter()
        .map(|word| {
            Finding::of(
                "lot/softened-hazard",
                Level::Warning,
                Severity::Required,
                Some(Evidence::Law),
                format!("`{word}` may not stand in a recall notice of the European Union"),
                "say plainly what may happen (Regulation (EU) 2023/988 Art. 36(2))",
            )
        })
        .collect()
}

fn end(book: &Book, entry: i64, args: &RecallArgs) -> Result<Answer, Stop> {
    let findings = needed(args.findings.as_ref(), "--findings", "what was found")?;
    let trouble = |t| super::pour::trouble(&t);
    let begun = book.ledger.entry(entry).map_err(trouble)?;
    let Some((begun, practice)) = begun.and_then(|e| match e.event {
        Some(Event::Recall { practice, .. }) => Some((e.at, practice)),
        _ => None,
    }) else {
        return Err(Stop::input(Finding::input(
            "lot/no-such-entry",
            format!("entry {entry} began no recall"),
            "give the number that `waxbill recall` printed",
        )));
    };
    let ended = book.ledger.of_no_lot().map_err(trouble)?;
    if ended.iter().any(|e| matches!(e.event, Some(Event::RecallEnd { recall, .. }) if recall == entry)) {
        return Err(super::hand_over::stop(
            "lot/recall-ended",
            format!("the recall of entry {entry} is ended already"),
            "begin another",
        ));
    }
    let (moment, now, _) = when(None);
    let minutes = begun
        .parse::<jiff::Timestamp>()
        .map_or(0, |begun| moment.timestamp().duration_since(begun).as_secs().max(0) / 60);
    let event = Event::RecallEnd { recall: entry, findings, minutes };
    let numbers = book.ledger.add(now, vec![(None, event)]).map_err(|t| asked_for_too_much(&t))?;
    let number = numbers.first().copied().unwrap_or_default();
    if args.book.json {
        return Ok(Answer::fine(format!("{:#}\n", json!({ "entry": number, "recall": entry, "minutes": minutes }))));
    }
    let word = if practice { "practice recall" } else { "recall" };
    Ok(Answer::fine(format!("{word} of entry {entry} ended after {minutes} min (entry {number})\n")))
}
