//! Temperature in 1/9000 °C, so that a thousandth of a degree Fahrenheit is whole.

use super::Quantity;
use super::number::{self, Wrong};
use serde::{Serialize, Serializer};

/// A temperature from 0 °C (or 32 °F) up; wax work needs none below.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Temperature(i64);

const C: i64 = 9000;
const F: i64 = 5000;

impl Temperature {
    /// Whole degrees Celsius.
    #[must_use]
    pub const fn c(degrees: i64) -> Self {
        Self(degrees * C)
    }
    /// Nearest tenth of a degree Celsius: `85.0`.
    #[must_use]
    pub fn in_c(self) -> String {
        let tenths = (self.0 * 10 + C / 2).div_euclid(C);
        if tenths % 10 == 0 { format!("{} °C", tenths / 10) } else { format!("{}.{} °C", tenths / 10, tenths % 10) }
    }
    /// Nearest degree Fahrenheit.
    #[must_use]
    pub fn in_f(self) -> String {
        format!("{} °F", (self.0 + F / 2).div_euclid(F) + 32)
    }
}

impl Quantity for Temperature {
    const NAME: &'static str = "a temperature";
    const EXAMPLE: &'static str = "165 F";

    fn parse(text: &str) -> Result<Self, Wrong> {
        let text = text.trim();
        if let Some(number) = ["°F", "° F", "F"].iter().find_map(|u| text.strip_suffix(u)) {
            let raw = number::quantity(&format!("{number} F"), Self::NAME, Self::EXAMPLE, &[(&["F"], F as i128)])?;
            if raw < 32 * F {
                return Err(Wrong::new(
                    format!("`{text}` is below freezing"),
                    "check the figure and its unit, for example `165 F`",
                ));
            }
            return Ok(Self(raw - 32 * F));
        }
        number::quantity(text, Self::NAME, Self::EXAMPLE, &[(&["C", "°C", "° C"], C as i128), (&["F"], F as i128)])
            .map(Self)
    }
}

impl std::fmt::Display for Temperature {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} ({})", self.in_c(), self.in_f())
    }
}
/// Serialised as text in degrees Celsius: `73.9 °C`.
impl Serialize for Temperature {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.in_c())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed by hand from C = (F - 32) / 1.8.
    #[test]
    fn fahrenheit_and_celsius_agree() {
        for (f, c) in [("185 F", "85 °C"), ("250 F", "121.1 °C"), ("300 F", "148.9 °C"), ("375 F", "190.6 °C")] {
            assert_eq!(Temperature::parse(f).unwrap().in_c(), c);
        }
        assert_eq!(Temperature::parse("73.9 C").unwrap().in_f(), "165 °F");
        assert!(Temperature::parse("165").is_err());
    }
}
