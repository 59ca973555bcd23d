//! Traces through made-up workshops against a naive walk that looks at every line again until nothing is added.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod graph;

use graph::{Chance, Size, Workshop};
use jiff::civil::date;
use jiff::tz::Offset;
use std::collections::{BTreeMap, BTreeSet};
use waxbill::ledger::{Event, Ledger, NewLot, Node, Now, Quantity};
use waxbill::lot::{Digest, Draw, LotCode};
use waxbill::trace::{Trace, walk};
use waxbill::unit::Mass;

#[derive(Debug, Default, PartialEq, Eq)]
struct Found {
    /// Unit by unit.
    units: BTreeMap<LotCode, BTreeSet<u32>>,
    components: BTreeSet<i64>,
    gone: BTreeSet<i64>,
    handed_over: i64,
    made: i64,
    scrapped: i64,
}

impl Found {
    fn of(trace: &Trace) -> Self {
        let units = |ranges: &[(u32, u32)]| ranges.iter().flat_map(|(f, l)| *f..=*l).collect();
        Self {
            units: trace.lots.iter().map(|l| (l.code, units(&l.units))).collect(),
            components: trace.components.iter().map(|c| c.id).collect(),
            gone: trace.hand_overs.iter().map(|h| h.seq).collect(),
            handed_over: trace.balance.handed_over,
            made: trace.balance.made,
            scrapped: trace.balance.scrapped,
        }
    }
}

/// Adds what follows until nothing follows any more; looks at every draw and every delivery in each turn.
fn naive(workshop: &Workshop, bottles: &[usize], lots: &[(usize, (u32, u32))]) -> Found {
    let mut units: Vec<BTreeSet<u32>> = workshop.lots.iter().map(|_| BTreeSet::new()).collect();
    for (lot, (first, last)) in lots {
        units[*lot].extend(*first..=*last);
    }
    let mut forward: BTreeSet<usize> = bottles.iter().copied().collect();
    loop {
        let before = (forward.len(), units.iter().map(BTreeSet::len).sum::<usize>());
        for (n, lot) in workshop.lots.iter().enumerate() {
            for (_, (first, last)) in lot.draws.iter().filter(|(bottle, _)| forward.contains(bottle)) {
                units[n].extend(*first..=*last);
            }
        }
        for (n, bottle) in workshop.bottles.iter().enumerate() {
            if bottle.origin.is_some_and(|origin| !units[origin].is_empty()) {
                forward.insert(n);
            }
        }
        if before == (forward.len(), units.iter().map(BTreeSet::len).sum::<usize>()) {
            break;
        }
    }
    // back from where the walk began
    let mut back: BTreeSet<usize> = bottles.iter().copied().collect();
    for (lot, (first, last)) in lots {
        let touch = |(_, (f, l)): &&(usize, (u32, u32))| f <= last && first <= l;
        back.extend(workshop.lots[*lot].draws.iter().filter(touch).map(|(bottle, _)| *bottle));
    }
    loop {
        let before = back.len();
        let origins: Vec<usize> = back.iter().filter_map(|b| workshop.bottles[*b].origin).collect();
        back.extend(origins.iter().flat_map(|o| workshop.lots[*o].draws.iter().map(|(bottle, _)| *bottle)));
        if back.len() == before {
            break;
        }
    }
    let mut found =
        Found { components: back.union(&forward).map(|b| workshop.bottles[*b].id).collect(), ..Found::default() };
    for (n, units) in units.into_iter().enumerate().filter(|(_, units)| !units.is_empty()) {
        let lot = &workshop.lots[n];
        found.made += i64::from(lot.units);
        found.scrapped += i64::from(workshop.scrapped[n]);
        for gone in workshop.gone.iter().filter(|g| g.lot == n) {
            found.handed_over += i64::from(gone.units);
            if gone.which.is_none_or(|(first, last)| (first..=last).any(|u| units.contains(&u))) {
                found.gone.insert(gone.seq);
            }
        }
        found.units.insert(lot.code, units);
    }
    found
}

fn closes(trace: &Trace) {
    for b in trace.lots.iter().map(|l| l.balance).chain([trace.balance]) {
        assert_eq!(b.made, b.on_hand + b.retained + b.scrapped + b.handed_over + b.unaccounted, "{b:?}");
        assert!(b.on_hand >= 0);
    }
}

fn compared(seed: u64, size: &Size, subjects: u32) {
    let workshop = Workshop::made_up(seed, size);
    let dir = tempfile::tempdir().unwrap();
    let ledger = Ledger::import(&dir.path().join("ledger.sqlite"), &workshop.lines).unwrap();
    let mut chance = Chance::new(seed + 77);
    let mut longest = 0;
    for turn in 0..subjects {
        let bottle = usize::try_from(chance.below(workshop.bottles.len() as u64)).unwrap();
        let lot = usize::try_from(chance.below(workshop.lots.len() as u64)).unwrap();
        let code = workshop.lots[lot].code;
        let (node, wanted) = match turn % 4 {
            0 | 1 => (Node::MaterialLot(workshop.bottles[bottle].id), naive(&workshop, &[bottle], &[])),
            2 => (Node::Lot(code, Some((2, 3))), naive(&workshop, &[], &[(lot, (2, 3))])),
            _ => (Node::Lot(code, None), naive(&workshop, &[], &[(lot, (1, size.units))])),
        };
        let trace = walk(&ledger, &node).unwrap();
        closes(&trace);
        longest = longest.max(trace.lots.len());
        assert_eq!(Found::of(&trace), wanted, "seed {seed}, {node:?}");
    }
    // by label and by sheet
    let label = workshop.lots[size.lots / 2].label;
    let same: Vec<(usize, (u32, u32))> =
        (0..workshop.lots.len()).filter(|n| workshop.lots[*n].label == label).map(|n| (n, (1, size.units))).collect();
    assert_eq!(Found::of(&walk(&ledger, &Node::Label(label)).unwrap()), naive(&workshop, &[], &same));
    let under: Vec<usize> =
        (0..workshop.bottles.len()).filter(|n| workshop.bottles[*n].material == "stearin" && n % 7 == 3).collect();
    let trace = walk(&ledger, &Node::Revision("stearin".into(), "3".into())).unwrap();
    assert_eq!(Found::of(&trace), naive(&workshop, &under, &[]));
    assert!(longest > 3, "the walks did lead somewhere");
}

#[test]
fn a_trace_finds_what_a_naive_walk_finds_in_small_workshops() {
    for seed in 1..=8 {
        compared(seed, &Size { lots: 300, bottles: 60, units: 24, hand_overs: 4, melted: 12 }, 40);
    }
}

#[test]
fn a_trace_finds_what_a_naive_walk_finds_in_10_000_lots() {
    compared(20_261_125, &Size { lots: 10_000, bottles: 2_500, units: 24, hand_overs: 2, melted: 60 }, 24);
}

/// A bottle that is filled up with what was melted from its own candles: the way leads round, and must end.
#[test]
fn a_walk_round_a_circle_ends() {
    let dir = tempfile::tempdir().unwrap();
    let mut ledger = Ledger::open(&dir.path().join("ledger.sqlite")).unwrap();
    let now = Now::new("2026-11-25T14:03:00Z".parse().unwrap(), Offset::UTC);
    let bottle = |origin| Event::Receive {
        material: "wax".into(),
        name: "Wax".into(),
        supplier_lot: "T-1".into(),
        supplier: None,
        received: date(2026, 11, 1),
        amount: Quantity::Grams(Mass::g(1000)),
        material_sha256: Digest::of(b"wax"),
        sheet: None,
        origin,
    };
    ledger.add(now, vec![(None, bottle(None))]).unwrap();
    let draw = Draw {
        material: "wax".into(),
        supplier_lot: "T-1".into(),
        amount: Quantity::Grams(Mass::g(900)),
        units: (1, 6),
    };
    let lot = NewLot {
        product: "low-tide".into(),
        name: "Low Tide".into(),
        units: 6,
        lines: Vec::new(),
        product_hash: Digest::of(b"p"),
        label_hash: Digest::of(b"l"),
        papers: Vec::new(),
        draws: vec![draw],
        cure_until: None,
        declared: None,
        markets: Vec::new(),
    };
    let code = ledger.open_lot(date(2026, 11, 2), now, |_| Ok::<_, ()>(lot), |_, _| Ok(())).unwrap().code;
    ledger.add(now, vec![(None, bottle(Some(code)))]).unwrap();
    for node in [Node::MaterialLot(1), Node::Lot(code, None)] {
        let trace = walk(&ledger, &node).unwrap();
        assert_eq!((trace.lots.len(), trace.components.len()), (1, 1));
        closes(&trace);
    }
}
