//! Makes the lines of a ledger of any size: deliveries, pours, melted-down lots, hand-overs, as a workshop might have them.
//!
//! The chain is put together here from the recipe that the first migration prints, not by the program's own writer.

#![allow(dead_code, clippy::unwrap_used, reason = "each user takes what it needs; a test stops at the first surprise")]

use jiff::civil::{Date, date};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use waxbill::lot::{Digest, LotCode, session_letter};

/// The moments only have to differ: a linear congruence does.
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }
    /// From 0, below `end`.
    pub fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end.max(1)
    }
}

/// A material lot: its number, and the lot that was melted down for it.
pub struct Bottle {
    pub id: i64,
    pub material: String,
    pub supplier_lot: String,
    pub origin: Option<usize>,
}

/// A poured lot: what it drew (index of the bottle, first and last unit).
pub struct Poured {
    pub code: LotCode,
    pub units: u32,
    pub draws: Vec<(usize, (u32, u32))>,
    pub label: Digest,
}

/// Units that left: entry, lot, numbered units, count.
pub struct Gone {
    pub seq: i64,
    pub lot: usize,
    pub which: Option<(u32, u32)>,
    pub units: u32,
}

pub struct Size {
    pub lots: usize,
    pub bottles: usize,
    pub units: u32,
    pub hand_overs: u64,
    /// One lot in so many is melted down.
    pub melted: u64,
}

#[derive(Default)]
pub struct Workshop {
    pub lines: String,
    pub bottles: Vec<Bottle>,
    pub lots: Vec<Poured>,
    pub gone: Vec<Gone>,
    /// Scrapped, by lot.
    pub scrapped: Vec<u32>,
    seq: i64,
    previous: Option<Digest>,
}

const MATERIALS: [&str; 4] = ["harbour-soy-blend", "kelp-and-cedar", "mud-brown-dye", "stearin"];

impl Workshop {
    /// A workshop's record, made up from a seed.
    pub fn made_up(seed: u64, size: &Size) -> Self {
        let mut chance = Chance::new(seed);
        let mut it = Self { lines: "{\"waxbill-ledger\":2}\n".to_owned(), ..Self::default() };
        let buyers: Vec<Digest> = (1..=40).map(|id| it.buyer(id)).collect();
        let (mut day, mut session): (Date, usize) = (date(2010, 1, 4), 0);
        for n in 0..size.lots {
            // deliveries keep ahead of the pours, spread over the years
            while it.bottles.len() < MATERIALS.len() || it.bottles.len() * size.lots < n * size.bottles {
                let origin = None;
                it.deliver(origin, day);
            }
            if session == 24 || chance.below(3) == 0 {
                (day, session) = (day.tomorrow().unwrap(), 0);
            }
            let code = LotCode::new(day, session_letter(session).unwrap()).unwrap();
            session += 1;
            it.pour(code, size, &mut chance);
            if chance.below(size.melted) == 0 {
                it.deliver(Some(n), day);
            }
            if chance.below(5) == 0 {
                it.scrapped[n] = 1;
                it.add("scrap", Some(code), &json!({ "units": 1, "because": "frosted" }));
            }
            it.hand_over(n, day, size, &buyers, &mut chance);
        }
        it
    }

    fn add(&mut self, kind: &str, lot: Option<LotCode>, payload: &Value) -> i64 {
        self.seq += 1;
        let zero = Digest::from_bytes([0; 32]);
        let previous = self.previous.unwrap_or(zero);
        let (at, offset, payload) = ("2026-11-25T14:03:00Z", "-05:00", payload.to_string());
        let code = lot.map(|l| l.to_string());
        let mut bytes = previous.as_bytes().to_vec();
        for field in [&self.seq.to_string(), at, offset, kind, code.as_deref().unwrap_or(""), &payload] {
            bytes.extend_from_slice(&(field.len() as u64).to_be_bytes());
            bytes.extend_from_slice(field.as_bytes());
        }
        let hash = Digest::of(&bytes);
        let line = json!({ "entry": {
            "seq": self.seq, "at": at, "local_offset": offset, "kind": kind, "lot": code, "payload": payload,
            "previous": previous, "hash": hash,
        }});
        self.lines += &format!("{line}\n");
        self.previous = Some(hash);
        self.seq
    }

    fn buyer(&mut self, id: i64) -> Digest {
        let name = format!("Stall {id}, Quillmere");
        let salt = [u8::try_from(id).unwrap(); 16];
        let mut bytes = salt.to_vec();
        for field in [name.as_str(), ""] {
            bytes.extend_from_slice(&(field.len() as u64).to_be_bytes());
            bytes.extend_from_slice(field.as_bytes());
        }
        let hex: String = salt.iter().map(|b| format!("{b:02x}")).collect();
        self.lines += &format!("{}\n", json!({ "buyer": { "id": id, "name": name, "contact": null, "salt": hex } }));
        Digest::of(&bytes)
    }

    fn deliver(&mut self, origin: Option<usize>, day: Date) {
        let n = self.bottles.len();
        let material = MATERIALS[n % MATERIALS.len()].to_owned();
        let supplier_lot = format!("F-{n}");
        let code = origin.map(|o| self.lots[o].code);
        self.add(
            "receive",
            None,
            &json!({
                "material": material, "name": material, "supplier_lot": supplier_lot, "received": day.to_string(),
                "amount": { "grams": "100000" }, "material_sha256": Digest::of(b"m"),
                "sheet": { "revision": format!("{}", n % 7) }, "origin": code,
            }),
        );
        self.bottles.push(Bottle { id: i64::try_from(n).unwrap() + 1, material, supplier_lot, origin });
    }

    fn pour(&mut self, code: LotCode, size: &Size, chance: &mut Chance) {
        let units = size.units;
        let mut draws: Vec<(usize, (u32, u32))> = Vec::new();
        let mut used = BTreeSet::new();
        for _ in 0..2 + chance.below(3) {
            // mostly what came lately, as a store is used up
            let back = usize::try_from(chance.below(12)).unwrap();
            let bottle = self.bottles.len() - 1 - back.min(self.bottles.len() - 1);
            if used.insert(bottle) {
                let range = match chance.below(4) {
                    0 => (1, units / 2),
                    1 => (units / 2, units),
                    _ => (1, units),
                };
                draws.push((bottle, range));
            }
        }
        let label = Digest::of(format!("label {}", chance.below(30)).as_bytes());
        let drawn: Vec<Value> = draws
            .iter()
            .map(|(b, range)| {
                let bottle = &self.bottles[*b];
                json!({ "material": bottle.material, "supplier_lot": bottle.supplier_lot, "grams": "12.5", "units": [range.0, range.1] })
            })
            .collect();
        self.add(
            "pour",
            Some(code),
            &json!({
                "product": "low-tide", "name": "Low Tide", "date": code.date().to_string(), "units": units, "lines": [],
                "product_sha256": Digest::of(b"p"), "label_sha256": label, "papers": [], "draws": drawn,
            }),
        );
        self.lots.push(Poured { code, units, draws, label });
        self.scrapped.push(0);
    }

    fn hand_over(&mut self, lot: usize, day: Date, size: &Size, buyers: &[Digest], chance: &mut Chance) {
        let code = self.lots[lot].code;
        let (mut next, each) = (1, (size.units - 1) / u32::try_from(size.hand_overs).unwrap().max(1));
        for _ in 0..size.hand_overs {
            if each == 0 || chance.below(6) == 0 {
                continue;
            }
            let units = 1 + u32::try_from(chance.below(u64::from(each))).unwrap();
            let which = (chance.below(2) == 0).then_some((next, next + units - 1));
            next += units;
            let buyer = usize::try_from(chance.below(buyers.len() as u64)).unwrap();
            let seq = self.add(
                "hand-over",
                Some(code),
                &json!({
                    "buyer": buyer + 1, "buyer_sha256": buyers[buyer], "units": units, "which": which,
                    "day": day.to_string(), "way": "sale",
                }),
            );
            self.gone.push(Gone { seq, lot, which, units });
        }
    }
}
