//! Volume in 10^-12 ml, so that the US fluid ounce (29.573 529 562 5 ml) and the imperial one
//! (28.413 062 5 ml) are whole (both from memory, checked in tests against a unit library where it has them).

use super::Quantity;
use super::number::{self, Wrong};
use serde::{Serialize, Serializer};

/// A volume of a vessel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Volume(i64);

const ML: i64 = 1_000_000_000_000;

impl Volume {
    /// The US fluid ounce.
    pub const US_FL_OZ: Self = Self(29_573_529_562_500);
    /// The imperial fluid ounce.
    pub const IMPERIAL_FL_OZ: Self = Self(28_413_062_500_000);

    /// Whole millilitres.
    #[must_use]
    pub const fn ml(ml: i64) -> Self {
        Self(ml * ML)
    }
    /// In millilitres, for estimates only.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "estimates")]
    pub fn to_ml_f64(self) -> f64 {
        self.0 as f64 / ML as f64
    }
    /// Millilitres with at most `places` decimals, cut off: `236.5 ml`.
    #[must_use]
    pub fn in_ml(self, places: u32) -> String {
        format!("{} ml", number::print_cut(self.0, ML, places))
    }
}

impl Quantity for Volume {
    const NAME: &'static str = "a volume";
    const EXAMPLE: &'static str = "250 ml";

    fn parse(text: &str) -> Result<Self, Wrong> {
        let text = text.trim();
        if text.ends_with("oz") && !text.contains("fl") {
            let number = text.trim_end_matches("oz").trim();
            return Err(Wrong::new(
                format!(
                    "`{text}` could be weight or volume: a jar sold as \"{number} oz\" may mean fluid ounces of water or ounces of wax, which differ by up to a tenth"
                ),
                format!(
                    "write `{number} fl oz US` or `{number} fl oz imp` for fluid ounces, or better, fill the jar with water on the scale and write the millilitres, for example `250 ml`"
                ),
            ));
        }
        if let Some(number) = ["fl oz", "fl. oz.", "fl. oz", "floz"].iter().find_map(|unit| text.strip_suffix(unit)) {
            let number = number.trim();
            return Err(Wrong::new(
                format!(
                    "`{text}` does not say which fluid ounces: 29.57 ml in the United States, 28.41 ml in Great Britain"
                ),
                format!("write `{number} fl oz US` or `{number} fl oz imp`, or the millilitres"),
            ));
        }
        number::quantity(
            text,
            Self::NAME,
            Self::EXAMPLE,
            &[
                (&["ml", "mL"], ML as i128),
                (&["cl"], 10 * ML as i128),
                (&["l", "L"], 1000 * ML as i128),
                (&["fl oz US", "US fl oz", "floz_us"], 29_573_529_562_500),
                (&["fl oz imp", "imp fl oz", "floz_imp"], 28_413_062_500_000),
            ],
        )
        .map(Self)
    }
}
impl std::fmt::Display for Volume {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.in_ml(1))
    }
}
/// Serialised as text in millilitres: `236.5 ml`.
impl Serialize for Volume {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.in_ml(3))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bare_ounce_is_no_volume() {
        let wrong = Volume::parse("8 oz").unwrap_err();
        assert!(wrong.message.contains("weight or volume") && wrong.cure.contains("8 fl oz US"));
        assert_eq!(Volume::parse("8 floz_us").unwrap().in_ml(1), "236.5 ml");
        assert_eq!(Volume::parse("8 fl oz US").unwrap().in_ml(1), "236.5 ml");
        assert!(Volume::parse("8 fl oz").unwrap_err().cure.contains("8 fl oz imp"));
    }
}
