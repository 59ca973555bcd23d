//! What can happen to materials and lots, one kind of entry each, as it is kept in the chain. Beside `pour`.
//!
//! A payload is JSON; masses are decimal text in grams, exact to the nanogram, and days are civil dates.

use super::entry::Entry;
use crate::lot::{Digest, LotCode, Quantity, grams};
use crate::trade::words;
use crate::unit::Mass;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

words! {
    /// How units leave.
    Way {
        /// Sold.
        Sale = "sale",
        /// Given away.
        Gift = "gift",
        /// Given to try.
        Sample = "sample",
        /// Burnt at home or on the test bench.
        OwnUse = "own use",
    }
}

words! {
    /// Where wax goes that is in no candle.
    Left {
        /// Back to the store.
        Store = "store",
        /// Thrown away, weighed.
        Waste = "waste",
        /// Kept to look at.
        Sample = "sample",
    }
}

/// What is known of the safety sheet that came with a material lot.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sheet {
    /// Its date.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub date: Option<Date>,
    /// Its revision.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub revision: Option<String>,
    /// Name of the file it was read from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// Digest of that file.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sha256: Option<Digest>,
}

/// One thing that happened. The pour itself is kept apart ([`super::NewLot`]).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", content = "payload", rename_all = "kebab-case")]
pub enum Event {
    /// A delivery of a material lot, or wax melted down again.
    Receive {
        /// The material's id in the workshop.
        material: String,
        /// Its name.
        name: String,
        /// The supplier's lot; the maker's own mark where the supplier gives none.
        supplier_lot: String,
        /// Who sold it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        supplier: Option<String>,
        /// Day it came.
        received: Date,
        /// How much.
        amount: Quantity,
        /// Digest of the material's file as it was then.
        material_sha256: Digest,
        /// Its safety sheet.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        sheet: Option<Sheet>,
        /// The lot that was melted down for it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        origin: Option<LotCode>,
    },
    /// Grams really weighed of one material.
    Weigh {
        /// The material's id.
        material: String,
        /// On the scale.
        #[serde(with = "grams")]
        grams: Mass,
        /// Who.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// A bottle on the scale before and after it was poured from.
    Bottle {
        /// The material's id.
        material: String,
        /// With what was in it before.
        #[serde(with = "grams")]
        before: Mass,
        /// With what was left in it.
        #[serde(with = "grams")]
        after: Mass,
        /// Step of the scale.
        #[serde(default, skip_serializing_if = "Option::is_none", with = "maybe_grams")]
        step: Option<Mass>,
        /// Who.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// Wax that is in no candle.
    Left {
        /// Where it went.
        to: Left,
        /// How much.
        #[serde(with = "grams")]
        grams: Mass,
        /// Who.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// A temperature, a time, a scale check.
    Measure {
        /// What was measured.
        what: String,
        /// As read, with unit.
        value: String,
        /// What it should be.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        should: Option<String>,
        /// Who.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// Words.
    Note {
        /// What was seen.
        text: String,
        /// Whether something went otherwise than planned.
        deviation: bool,
        /// Who.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// What the pour came to.
    Count {
        /// Fit to be sold.
        good: u32,
        /// Spoiled in the pour.
        scrapped: u32,
        /// Who.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// What lay on the shelf when it was counted.
    StockTake {
        /// Units found.
        found: u32,
        /// Who.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// Units spoiled after the count.
    Scrap {
        /// How many.
        units: u32,
        /// Why.
        because: String,
        /// Who.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// Units kept back to look at later.
    Retain {
        /// How many.
        units: u32,
        /// Where.
        place: String,
        /// Kept at least until.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        until: Option<Date>,
        /// Who.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// Labels of the lot.
    Labels {
        /// Printed.
        printed: u32,
        /// On a candle.
        used: u32,
        /// Spoiled or destroyed.
        spoiled: u32,
        /// Who.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// Net fills that were weighed.
    Fill {
        /// One a candle, net.
        #[serde(with = "many_grams")]
        grams: Vec<Mass>,
        /// Step of the scale.
        #[serde(default, skip_serializing_if = "Option::is_none", with = "maybe_grams")]
        step: Option<Mass>,
        /// Who.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// Nothing leaves any more.
    Hold {
        /// Why.
        because: String,
        /// Who.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// May leave.
    Release {
        /// Who checked.
        checked: String,
        /// Why before the end of cure, or in spite of an alarm.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        forced: Option<String>,
    },
    /// Units left.
    HandOver {
        /// The buyer's number.
        buyer: i64,
        /// Digest of salt, name and contact.
        buyer_sha256: Digest,
        /// How many.
        units: u32,
        /// Which, where they are numbered.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        which: Option<(u32, u32)>,
        /// The day.
        day: Date,
        /// How.
        way: Way,
        /// Why in spite of a refusal.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        forced: Option<String>,
    },
    /// An earlier entry was a slip.
    Correct {
        /// Its number.
        entry: i64,
        /// Why.
        because: String,
        /// Who.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// A recall began.
    Recall {
        /// What it began from, as typed.
        subject: String,
        /// Why.
        reason: String,
        /// Whether it only was practised.
        practice: bool,
        /// Lots it takes in.
        lots: Vec<LotCode>,
    },
    /// A recall ended.
    RecallEnd {
        /// The entry that began it.
        recall: i64,
        /// What was found.
        findings: String,
        /// From beginning to end.
        minutes: i64,
    },
    /// A buyer's name was blanked.
    Forget {
        /// The buyer's number.
        buyer: i64,
    },
    /// The clock stood behind the entry before.
    Clock {
        /// The moment of the entry before, UTC.
        before: String,
    },
}

impl Event {
    /// The word of the entry's kind, and its payload as JSON text.
    pub(super) fn written(&self) -> (String, String) {
        let mut value = serde_json::to_value(self).unwrap_or(Value::Null);
        let kind = value["kind"].as_str().unwrap_or_default().to_owned();
        (kind, value["payload"].take().to_string())
    }

    /// What an entry says; `None` for a pour.
    ///
    /// # Errors
    /// What is odd, in words.
    pub(super) fn of(entry: &Entry) -> Result<Option<Self>, String> {
        if entry.kind == "pour" {
            return Ok(None);
        }
        let odd = |e: serde_json::Error| format!("entry {} has an odd content ({e})", entry.seq);
        let payload: Value = serde_json::from_str(&entry.payload).map_err(odd)?;
        serde_json::from_value(json!({ "kind": entry.kind, "payload": payload })).map(Some).map_err(odd)
    }

    /// Whether a later entry may correct it.
    #[must_use]
    pub const fn can_be_corrected(&self) -> bool {
        !matches!(
            self,
            Self::Correct { .. }
                | Self::Recall { .. }
                | Self::RecallEnd { .. }
                | Self::Forget { .. }
                | Self::Clock { .. }
        )
    }
}

mod maybe_grams {
    use crate::lot::grams;
    use crate::unit::Mass;
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    #[expect(clippy::ref_option, reason = "the shape serde asks for")]
    pub fn serialize<S: Serializer>(mass: &Option<Mass>, s: S) -> Result<S::Ok, S::Error> {
        mass.map(grams::text).serialize(s)
    }
    pub fn deserialize<'de, D: Deserializer<'de>>(d: D) -> Result<Option<Mass>, D::Error> {
        Option::<String>::deserialize(d)?.map(|t| grams::of(&t)).transpose()
    }
}

mod many_grams {
    use crate::lot::grams;
    use crate::unit::Mass;
    use serde::{Deserialize, Deserializer, Serializer};

    pub fn serialize<S: Serializer>(masses: &[Mass], s: S) -> Result<S::Ok, S::Error> {
        s.collect_seq(masses.iter().map(|m| grams::text(*m)))
    }
    pub fn deserialize<'de, D: Deserializer<'de>>(d: D) -> Result<Vec<Mass>, D::Error> {
        Vec::<String>::deserialize(d)?.iter().map(|t| grams::of(t)).collect()
    }
}
