//! How much of a material lot, by mass or by count; kept exactly. Before `draw` and `ledger`.

use crate::unit::Mass;
use serde::{Deserialize, Serialize};

/// How much of a material lot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Quantity {
    /// By mass.
    Grams(#[serde(with = "grams")] Mass),
    /// By count: wicks, vessels, lids.
    Pieces(u32),
}

impl Quantity {
    /// Nanograms or pieces.
    #[must_use]
    pub fn number(self) -> i64 {
        match self {
            Self::Grams(mass) => mass.to_ng(),
            Self::Pieces(n) => i64::from(n),
        }
    }
    /// Of this many nanograms or pieces.
    #[must_use]
    pub fn of(unit: &str, number: i64) -> Option<Self> {
        match unit {
            "ng" => Some(Self::Grams(Mass::ng(number))),
            "pieces" => u32::try_from(number).ok().map(Self::Pieces),
            _ => None,
        }
    }
    /// `ng` or `pieces`.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Grams(_) => "ng",
            Self::Pieces(_) => "pieces",
        }
    }
}

impl std::fmt::Display for Quantity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Grams(mass) => f.write_str(&mass.in_g(3)),
            Self::Pieces(n) => write!(f, "{n} pieces"),
        }
    }
}

/// Exact grams as text.
pub mod grams {
    use crate::unit::{Mass, Quantity};
    use serde::{Deserialize, Deserializer, Serializer, de::Error};

    /// Decimal text without unit.
    #[must_use]
    pub fn text(mass: Mass) -> String {
        mass.in_g(9).trim_end_matches(" g").to_owned()
    }
    /// From decimal text without unit.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn of<E: Error>(text: &str) -> Result<Mass, E> {
        Mass::parse(&format!("{text} g")).map_err(|w| E::custom(w.message))
    }
    /// For `serde(with)`.
    ///
    /// # Errors
    /// Those of the format.
    #[expect(clippy::trivially_copy_pass_by_ref, reason = "the shape serde asks for")]
    pub fn serialize<S: Serializer>(mass: &Mass, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&text(*mass))
    }
    /// For `serde(with)`.
    ///
    /// # Errors
    /// Those of the format, or that it is no mass.
    pub fn deserialize<'de, D: Deserializer<'de>>(d: D) -> Result<Mass, D::Error> {
        of(&String::deserialize(d)?)
    }
}
