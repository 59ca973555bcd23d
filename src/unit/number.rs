//! Exact numbers as a maker writes them: `8`, `8.50`, `3/16`, `1 1/2`. First stage of every quantity.

use std::fmt;

/// Why a text is not the quantity asked for, and what to write instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// What is wrong, lower case, no full stop.
    pub message: String,
    /// How to mend it.
    pub cure: String,
}

impl Wrong {
    /// Builds the pair of message and cure.
    pub fn new(message: impl Into<String>, cure: impl Into<String>) -> Self {
        Self { message: message.into(), cure: cure.into() }
    }
}

impl fmt::Display for Wrong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.cure)
    }
}

impl std::error::Error for Wrong {}

/// A non-negative exact fraction `num / den`, as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Exact {
    num: i128,
    den: i128,
}

impl Exact {
    /// The number times `factor`, when that is whole and fits; otherwise the nearest whole number below.
    ///
    /// `None` when the product leaves the range of the unit.
    #[must_use]
    pub fn times_floor(self, factor: i128) -> Option<i64> {
        i64::try_from(self.num.checked_mul(factor)?.div_euclid(self.den)).ok()
    }

    /// Whether the number is zero.
    #[must_use]
    pub fn is_zero(self) -> bool {
        self.num == 0
    }
}

/// Reads `8`, `8.50`, `3/16` or `1 1/2` exactly. Signs, exponents and thousands marks are refused.
///
/// # Errors
/// A [`Wrong`] that names the accepted forms; a decimal comma is answered with the point form.
///
/// ```
/// use waxbill::unit::exact;
/// assert_eq!(exact("1 1/2").unwrap().times_floor(1000), Some(1500));
/// assert!(exact("9,5").unwrap_err().cure.contains("9.5"));
/// ```
pub fn exact(text: &str) -> Result<Exact, Wrong> {
    let text = text.trim();
    if text.len() > 30 {
        return Err(Wrong::new("the number is too long", "write at most 12 digits"));
    }
    if text.contains(',') {
        let (point, bare) = (text.replace(',', "."), text.replace(',', ""));
        // `1,000` is a thousand to one maker and one to another.
        let cure = match text.split_once(',') {
            Some((_, after)) if after.len() == 3 => {
                format!("write `{bare}` if the comma parts thousands, `{point}` if it stands before decimals")
            }
            _ => format!("write `{point}`: a point before the decimals, no mark between thousands"),
        };
        return Err(Wrong::new(format!("`{text}` has a comma"), cure));
    }
    let odd = || Wrong::new(format!("`{text}` is not a number"), "write it as `8`, `8.5`, `3/16` or `1 1/2`");
    let whole = |t: &str| -> Option<i128> {
        (!t.is_empty() && t.len() <= 12 && t.bytes().all(|b| b.is_ascii_digit())).then(|| t.parse().ok()).flatten()
    };
    if let Some((before, den)) = text.split_once('/') {
        let (extra, num) = match before.trim().rsplit_once(' ') {
            Some((extra, num)) => (whole(extra.trim()).ok_or_else(odd)?, num),
            None => (0, before.trim()),
        };
        let (num, den) = (whole(num).ok_or_else(odd)?, whole(den.trim()).ok_or_else(odd)?);
        if den == 0 {
            return Err(Wrong::new(format!("`{text}` divides by nothing"), "write a fraction such as `3/16`"));
        }
        return Ok(Exact { num: extra * den + num, den });
    }
    let (int, frac) = text.split_once('.').unwrap_or((text, "0"));
    let (int, places) = (whole(int).ok_or_else(odd)?, u32::try_from(frac.len()).map_err(|_| odd())?);
    let frac = whole(frac).ok_or_else(odd)?;
    let den = 10_i128.pow(places);
    Ok(Exact { num: int * den + frac, den })
}

/// One accepted unit: its spellings and how many of the room's small unit it holds.
pub(super) type UnitRow = (&'static [&'static str], i128);

/// Splits `340 g` into number and unit, finds the unit in `units`, and answers whole small units.
///
/// # Errors
/// A [`Wrong`] when the number is odd, the unit is missing or unknown, or the value is out of range.
pub fn quantity(text: &str, name: &str, example: &str, units: &[UnitRow]) -> Result<i64, Wrong> {
    let text = text.trim();
    let at = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' '))).unwrap_or(text.len());
    let (number, unit) = (text[..at].trim(), text[at..].trim());
    let listed = || units.iter().map(|(names, _)| format!("`{}`", names[0])).collect::<Vec<_>>().join(", ");
    if text.strip_prefix('-').is_some_and(|rest| rest.trim_start().starts_with(|c: char| c.is_ascii_digit())) {
        return Err(Wrong::new(format!("{name} cannot be negative"), format!("write it as `{example}`")));
    }
    if number.is_empty() {
        return Err(Wrong::new(format!("`{text}` is not {name}"), format!("write it as `{example}`")));
    }
    let one_of = if units.len() > 1 { "one of " } else { "" };
    let value = exact(number)?;
    if unit.is_empty() {
        return Err(Wrong::new(
            format!("`{text}` has no unit"),
            format!("add {}{}: for example `{example}`", one_of, listed()),
        ));
    }
    let Some((_, factor)) = units.iter().find(|(names, _)| names.contains(&unit)) else {
        return Err(Wrong::new(
            format!("`{unit}` is not a unit of {}", name.trim_start_matches("a ").trim_start_matches("an ")),
            format!("use {}{}: for example `{example}`", one_of, listed()),
        ));
    };
    value
        .times_floor(*factor)
        .filter(|v| *v < i64::MAX / 64)
        .ok_or_else(|| Wrong::new(format!("`{text}` is too large"), format!("check the unit: for example `{example}`")))
}

/// Prints `value / per` with at most `places` decimals, cut off (never rounded up), without trailing zeros.
pub(super) fn print_cut(value: i64, per: i64, places: u32) -> String {
    let scale = 10_i128.pow(places);
    let cut = (i128::from(value) * scale).div_euclid(i128::from(per));
    let (int, frac) = (cut.div_euclid(scale), cut.rem_euclid(scale));
    if places == 0 {
        return int.to_string();
    }
    let text = format!("{int}.{frac:0width$}", width = places as usize);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_exactly_as_written() {
        assert_eq!(exact("8.50").unwrap().times_floor(100), Some(850));
        assert_eq!(exact("3/16").unwrap().times_floor(160), Some(30));
        assert_eq!(exact("1 1/2").unwrap().times_floor(2), Some(3));
        for odd in ["", "1e3", "0x1F", "12_000", "1/0", "1.2.3", "1 2", "/", ".", "-3", "+3", "1/", "٣"] {
            assert!(exact(odd).is_err(), "{odd}");
        }
    }

    #[test]
    fn a_cut_print_never_overstates() {
        assert_eq!(print_cut(1999, 1000, 2), "1.99");
        assert_eq!(print_cut(2000, 1000, 2), "2");
        assert_eq!(print_cut(5, 1000, 1), "0");
    }
}
