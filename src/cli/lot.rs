//! `lot CODE`: the record of a lot for people and scripts: entries, balance, masses, labels, fills, alarms.

use super::record_args::{Add, LotArgs};
use super::{Answer, Stop, book, lot_add, paper, receive::short, trace::ranges};
use crate::ledger::{Event, Left, LotRecord, Recorded};
use crate::lot::{Draw, Fills, Masses, Quantity, as_planned, fills, percent};
use crate::trace::keep_until;
use crate::unit::Mass;
use jiff::civil::Date;
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// Runs the command.
pub fn run(args: &LotArgs) -> Result<Answer, Stop> {
    let book = book::open(&args.book)?;
    let (_, record) = book.record(&args.code)?;
    let (_, _, today) = book::when(None);
    match &args.what {
        Some(Add::Sheet { output }) => {
            return paper::lot_sheet(&book, &record, today, output.as_deref(), args.book.json);
        }
        Some(what) => return lot_add::run(&book, &record, what, args),
        None => {}
    }
    if args.book.json {
        return Ok(Answer::fine(format!("{:#}\n", as_json(&record, today))));
    }
    Ok(Answer::fine(text(&record, today)))
}

/// What was weighed of each material, where it was.
pub fn weighed(record: &LotRecord) -> BTreeMap<&str, Mass> {
    let mut sums: BTreeMap<&str, Mass> = BTreeMap::new();
    for event in record.standing() {
        if let Event::Weigh { material, grams, .. } = event {
            let sum = sums.entry(material).or_insert(Mass::ZERO);
            *sum = *sum + *grams;
        }
    }
    sums
}

/// What the bottles of each material lost, and the coarsest step of the scales they stood on.
fn bottles(record: &LotRecord) -> BTreeMap<&str, (Mass, Option<Mass>)> {
    let mut lost: BTreeMap<&str, (Mass, Option<Mass>)> = BTreeMap::new();
    for event in record.standing() {
        if let Event::Bottle { material, before, after, step, .. } = event {
            let (sum, coarsest) = lost.entry(material).or_insert((Mass::ZERO, None));
            *sum = *sum + (*before - *after);
            *coarsest = (*coarsest).max(*step);
        }
    }
    lost
}

/// What is planned of a material, which may stand in several lines.
fn lot_planned(record: &LotRecord, material: &str) -> Mass {
    record.lot.lines.iter().filter(|l| l.material == material).map(|l| l.planned).sum()
}

/// What was taken by the piece.
pub fn counted(record: &LotRecord) -> impl Iterator<Item = &Draw> {
    record.lot.draws.iter().filter(|d| matches!(d.amount, Quantity::Pieces(_)))
}

/// Every net fill that stands, and the coarsest step of the scales they were weighed on.
pub fn net_fills(record: &LotRecord) -> (Vec<Mass>, Option<Mass>) {
    let (mut all, mut coarsest) = (Vec::new(), None);
    for event in record.standing() {
        if let Event::Fill { grams, step, .. } = event {
            all.extend_from_slice(grams);
            coarsest = coarsest.max(*step);
        }
    }
    (all, coarsest)
}

/// Units fit to be sold, as counted.
fn good(record: &LotRecord) -> Option<u32> {
    record.standing().filter_map(|e| if let Event::Count { good, .. } = e { Some(*good) } else { None }).last()
}

/// Where the wax went; `None` until every material is weighed and fills are known. The second is whether the fills are
/// the mean of some times the good ones.
pub fn masses(record: &LotRecord) -> Option<(Masses, bool)> {
    let weighed = weighed(record);
    if record.lot.lines.is_empty() || record.lot.lines.iter().any(|l| !weighed.contains_key(l.material.as_str())) {
        return None;
    }
    let (sample, _) = net_fills(record);
    let good = good(record)?;
    if sample.is_empty() {
        return None;
    }
    let sum: Mass = sample.iter().copied().sum();
    let number = i128::try_from(sample.len()).ok()?;
    let estimated = sample.len() != usize::try_from(good).ok()?;
    let mut masses = Masses {
        issued: weighed.values().copied().sum(),
        fills: if estimated { sum.times_ratio(good.into(), number) } else { sum },
        ..Masses::default()
    };
    for event in record.standing() {
        if let Event::Left { to, grams, .. } = event {
            let place = match to {
                Left::Store => &mut masses.returned,
                Left::Waste => &mut masses.waste,
                Left::Sample => &mut masses.samples,
            };
            *place = *place + *grams;
        }
    }
    Some((masses, estimated))
}

/// What the fills say under the lot's markets.
pub fn judged(record: &LotRecord) -> Option<Fills> {
    let (sample, step) = net_fills(record);
    let made = u32::try_from(record.balance.made).unwrap_or(record.lot.units);
    fills(&sample, record.lot.declared?, made, &record.lot.markets, step)
}

/// What does not add up (common practice, no source, except the reconciliation of labels, after 21 CFR 211.125).
pub fn alarms(record: &LotRecord) -> Vec<String> {
    let mut out = Vec::new();
    let weighed = weighed(record);
    let mut told: Vec<&str> = Vec::new();
    for line in &record.lot.lines {
        let planned = lot_planned(record, &line.material);
        if let Some(really) = weighed.get(line.material.as_str())
            && !told.contains(&line.material.as_str())
            && !as_planned(planned, *really, None)
        {
            told.push(&line.material);
            out.push(format!("{}: {} weighed, {} planned", line.name, really.in_g(3), planned.in_g(3)));
        }
    }
    for (material, (lost, step)) in bottles(record) {
        let planned = lot_planned(record, material);
        let (against, word) = weighed.get(material).map_or((planned, "planned"), |w| (*w, "weighed in"));
        if !as_planned(against, lost, step) {
            let name = record.lot.lines.iter().find(|l| l.material == material).map_or(material, |l| l.name.as_str());
            out.push(format!("{name}: its bottle lost {}, and {} are {word}", lost.in_g(3), against.in_g(3)));
        }
    }
    if let Some((masses, _)) = masses(record)
        && !masses.agree()
    {
        let share = masses.accounted_share().map_or_else(String::new, percent);
        out.push(format!("{share} of the wax is accounted for; from 97 % to 101 % is usual"));
    }
    let (mut printed, mut used) = (0_i64, 0_i64);
    for event in record.standing() {
        if let Event::Labels { printed: p, used: u, spoiled: s, .. } = event {
            printed += i64::from(*p);
            used += i64::from(*u) + i64::from(*s);
        }
    }
    if printed != used {
        out.push(format!("{printed} labels printed, {used} used or spoiled"));
    }
    if record.balance.unaccounted != 0 {
        out.push(format!("{} units are unaccounted for", record.balance.unaccounted));
    }
    for verdict in judged(record).into_iter().flat_map(|f| f.verdicts) {
        if verdict.says == crate::lot::Says::Fails {
            out.push(format!("fill fails {}: {}", verdict.rule, verdict.because));
        }
    }
    out
}

fn last_day(record: &LotRecord) -> Date {
    let days = record.standing().filter_map(|e| if let Event::HandOver { day, .. } = e { Some(*day) } else { None });
    days.max().unwrap_or(record.lot.date)
}

/// For people.
pub fn text(record: &LotRecord, today: Date) -> String {
    let lot = &record.lot;
    let cure = lot.cure_until.map_or_else(String::new, |d| format!(", cure until {d}"));
    let mut out = format!(
        "lot {}: {} of {}, poured {}{cure}; {}\n  label {}, recipe {}\n\n",
        lot.code,
        lot.units,
        lot.name,
        lot.date,
        record.state(today).word(),
        short(&lot.label_hash),
        short(&lot.product_hash)
    );
    let weighed = weighed(record);
    let width = lot.lines.iter().map(|l| l.name.chars().count()).max().unwrap_or(0);
    for line in &lot.lines {
        let really = weighed.get(line.material.as_str()).map_or_else(|| "not weighed".to_owned(), |m| m.in_g(3));
        let lots: Vec<String> = lot
            .draws
            .iter()
            .filter(|d| d.material == line.material)
            .map(|d| format!("{} (units {})", d.supplier_lot, ranges(&[d.units])))
            .collect();
        let from = if lots.is_empty() { String::new() } else { format!("  from {}", lots.join(", ")) };
        out += &format!("  {:<width$}  planned {:>12}  weighed {really}{from}\n", line.name, line.planned.in_g(3));
    }
    for draw in counted(record) {
        out += &format!(
            "  {}  {} from {} (units {})\n",
            draw.material,
            draw.amount,
            draw.supplier_lot,
            ranges(&[draw.units])
        );
    }
    if let Some((m, estimated)) = masses(record) {
        let of = |share: Option<i64>| share.map_or_else(String::new, percent);
        let open = m.open();
        out += &format!(
            "\nmasses: issued {}, in candles {}{}, returned {}, samples {}, waste {}\n  {} accounted for, {}{} open; yield {}\n",
            m.issued.in_g(1),
            m.fills.in_g(1),
            if estimated { " (from the mean)" } else { "" },
            m.returned.in_g(1),
            m.samples.in_g(1),
            m.waste.in_g(1),
            of(m.accounted_share()),
            if open < 0 { "-" } else { "" },
            Mass::ng(open.abs()).in_g(1),
            of(m.yield_share())
        );
    }
    if let Some(fills) = judged(record) {
        out += &fills_text(&fills);
    }
    out += "\nentries\n";
    for entry in &record.entries {
        out += &entry_text(entry);
    }
    let b = record.balance;
    out += &format!(
        "\nmade {}, on hand {}, retained {}, scrapped {}, handed over {}, unaccounted {}\n",
        b.made, b.on_hand, b.retained, b.scrapped, b.handed_over, b.unaccounted
    );
    for alarm in alarms(record) {
        out += &format!("look at this: {alarm}\n");
    }
    if let Some((until, rule)) = keep_until(&lot.markets, last_day(record)) {
        out += &format!(
            "keep this record until {until}: {}, {}, {} [{}]\n",
            rule.what, rule.source, rule.clause, rule.seen
        );
    }
    out
}

/// The fills for people.
pub fn fills_text(fills: &Fills) -> String {
    let mut out = format!(
        "\nfills: {} of {} weighed for {}: mean {:.3} g, s {:.3} g, least {}\n",
        fills.weighed,
        fills.of,
        fills.declared.in_g(3),
        fills.mean_g,
        fills.deviation_g,
        fills.least.in_g(2)
    );
    for v in &fills.verdicts {
        out += &format!("  {}: {}; {}\n", v.rule, v.says, v.because);
    }
    if let Some(target) = fills.target_g {
        out += &format!("  aim at {target:.1} g next time (house policy)\n");
    }
    out
}

/// One entry in a line.
pub fn entry_text(entry: &Recorded) -> String {
    let corrected = entry.corrected_by.map_or_else(String::new, |by| format!("  [corrected by entry {by}]"));
    let by = |by: &Option<String>| by.as_ref().map_or_else(String::new, |b| format!(", by {b}"));
    let forced = |f: &Option<String>| f.as_ref().map_or_else(String::new, |f| format!(", forced: {f}"));
    let words = match &entry.event {
        None => "poured".to_owned(),
        Some(event) => match event {
            Event::Receive { name, supplier_lot, amount, .. } => {
                format!("received {name} lot {supplier_lot}: {amount}")
            }
            Event::Weigh { material, grams, by: b } => format!("weighed {material}: {}{}", grams.in_g(3), by(b)),
            Event::Bottle { material, before, after, by: b, .. } => {
                let lost = (*before - *after).in_g(3);
                format!(
                    "bottle of {material}: {} before, {} after, {lost} less{}",
                    before.in_g(3),
                    after.in_g(3),
                    by(b)
                )
            }
            Event::Left { to, grams, by: b } => format!("left, {to}: {}{}", grams.in_g(3), by(b)),
            Event::Measure { what, value, should, by: b } => {
                let should = should.as_ref().map_or_else(String::new, |s| format!(", should be {s}"));
                format!("measured {what}: {value}{should}{}", by(b))
            }
            Event::Note { text, deviation, by: b } => {
                format!("{}: {text}{}", if *deviation { "deviation" } else { "note" }, by(b))
            }
            Event::Count { good, scrapped, by: b } => format!("counted {good} good, {scrapped} scrapped{}", by(b)),
            Event::StockTake { found, by: b } => format!("{found} found on the shelf{}", by(b)),
            Event::Scrap { units, because, by: b } => format!("{units} scrapped: {because}{}", by(b)),
            Event::Retain { units, place, until, by: b } => {
                let until = until.map_or_else(String::new, |d| format!(" until {d}"));
                format!("{units} kept back, {place}{until}{}", by(b))
            }
            Event::Labels { printed, used, spoiled, by: b } => {
                format!("labels: {printed} printed, {used} used, {spoiled} spoiled{}", by(b))
            }
            Event::Fill { grams, by: b, .. } => format!("{} fills weighed{}", grams.len(), by(b)),
            Event::Hold { because, by: b } => format!("on hold: {because}{}", by(b)),
            Event::Release { checked, forced: f } => format!("released, checked by {checked}{}", forced(f)),
            Event::HandOver { buyer, units, day, way, forced: f, which, .. } => {
                let which = which.map_or_else(String::new, |w| format!(" (units {})", ranges(&[w])));
                format!("{units} handed over{which} to buyer {buyer} on {day}, {way}{}", forced(f))
            }
            Event::Correct { entry, because, by: b } => format!("entry {entry} was wrong: {because}{}", by(b)),
            Event::Recall { subject, reason, practice, .. } => {
                format!("{} of {subject}: {reason}", if *practice { "practice recall" } else { "recall" })
            }
            Event::RecallEnd { recall, findings, minutes } => {
                format!("recall of entry {recall} ended after {minutes} min: {findings}")
            }
            Event::Forget { buyer } => format!("buyer {buyer} forgotten"),
            Event::Clock { before } => format!("the clock stood behind {before}"),
        },
    };
    format!("  {:>4}  {} {}  {words}{corrected}\n", entry.seq, entry.at, entry.local_offset)
}

/// For scripts.
pub fn as_json(record: &LotRecord, today: Date) -> Value {
    let masses = masses(record).map(|(m, estimated)| {
        json!({
            "issued_g": m.issued.to_g_f64(), "fills_g": m.fills.to_g_f64(), "fills_estimated": estimated,
            "returned_g": m.returned.to_g_f64(), "samples_g": m.samples.to_g_f64(), "waste_g": m.waste.to_g_f64(),
            "open_g": m.issued.to_g_f64() - m.accounted().to_g_f64(),
            "accounted": m.accounted_share().map(percent), "yield": m.yield_share().map(percent),
        })
    });
    let keep = keep_until(&record.lot.markets, last_day(record));
    json!({
        "lot": record.lot, "state": record.state(today).word(), "entries": record.entries, "balance": record.balance,
        "masses": masses, "fills": judged(record), "alarms": alarms(record),
        "keep_until": keep.as_ref().map(|(d, _)| d.to_string()), "keep_because": keep.map(|(_, rule)| rule),
    })
}
