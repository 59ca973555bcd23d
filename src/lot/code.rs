//! The lot code on label and batch sheet: `YYDDD`, session letter, check character. First thing a lot is given.
//!
//! `YYDDD` is the ordinal date of ISO 8601 with the century left off. The session letter counts the pours of a day;
//! `I` and `O` are left out because they are read as `1` and `0`. The check character is that of ISO 7064 MOD 37,36:
//! every single wrong character and nearly every swap of neighbours is noticed.

use crate::unit::Wrong;
use jiff::civil::Date;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};
use std::fmt;

/// The letters that count the pours of one day, in order.
const SESSIONS: &str = "ABCDEFGHJKLMNPQRSTUVWXYZ";

/// The code of one lot, with a check character that fits. Prints as `26329A4`.
///
/// The century is taken as 20xx; the order is that of date and session.
///
/// ```
/// use waxbill::lot::LotCode;
/// let code = LotCode::new(jiff::civil::date(2026, 11, 25), 'A').unwrap();
/// assert_eq!(code.to_string(), "26329A4");
/// assert_eq!(LotCode::parse("26-329 a4").unwrap(), code);
/// assert!(LotCode::parse("26329A5").unwrap_err().message.contains("check character"));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LotCode {
    date: Date,
    session: char,
}

impl LotCode {
    /// The code of a pour; `None` outside the years 2000 to 2099 or for a letter that counts no session.
    #[must_use]
    pub fn new(date: Date, session: char) -> Option<Self> {
        ((2000..=2099).contains(&date.year()) && SESSIONS.contains(session)).then_some(Self { date, session })
    }

    /// The day of the pour.
    #[must_use]
    pub const fn date(&self) -> Date {
        self.date
    }

    /// The letter that counts the pours of that day.
    #[must_use]
    pub const fn session(&self) -> char {
        self.session
    }

    /// Reads a code as somebody types it: lower case, spaces and hyphens are taken, and in the five figures
    /// of the date the letters `O` and `I` count as `0` and `1`, since nothing else can be meant there.
    /// As check character `O` and `0` (`I` and `1`) stay apart: both occur, and taking one for the other would hide errors.
    ///
    /// # Errors
    /// A [`Wrong`] that says what does not fit: length, date, session letter or check character.
    pub fn parse(typed: &str) -> Result<Self, Wrong> {
        const FORM: &str = "a lot code is two figures of the year, three of the day, a letter and a check character, \
                            for example `26329A4`";
        // what was typed is shown again, but never pages of it
        let shown: String = typed.trim().chars().take(24).collect();
        let chars: Vec<char> = typed
            .chars()
            .filter(|c| !c.is_whitespace() && !matches!(c, '-' | '\u{2010}'..='\u{2015}'))
            .take(9)
            .map(|c| c.to_ascii_uppercase())
            .collect();
        if let Some(odd) = chars.iter().find(|c| !c.is_ascii_alphanumeric()) {
            return Err(Wrong::new(format!("`{shown}` has a `{}`, which no lot code has", odd.escape_debug()), FORM));
        }
        let [y1, y2, d1, d2, d3, session, check] = chars[..] else {
            let message = match chars.len() {
                6 => format!("`{shown}` is one character short of a lot code"),
                n if n < 7 => format!("`{shown}` is too short for a lot code"),
                _ => format!("`{shown}` is too long for a lot code"),
            };
            return Err(Wrong::new(message, FORM));
        };
        let mut figures = [0_i16; 5];
        for (figure, typed) in figures.iter_mut().zip([y1, y2, d1, d2, d3]) {
            let meant = match typed {
                'O' => '0',
                'I' => '1',
                other => other,
            };
            let Some(digit) = meant.to_digit(10).and_then(|d| i16::try_from(d).ok()) else {
                return Err(Wrong::new(format!("`{shown}` has `{typed}` where a figure of the date belongs"), FORM));
            };
            *figure = digit;
        }
        if !SESSIONS.contains(session) {
            return Err(Wrong::new(
                format!("`{shown}` has `{session}` where the letter of the pour belongs"),
                "that letter goes from A to Z without I and O; read the code again from the label",
            ));
        }
        let (year, day) = (2000 + figures[0] * 10 + figures[1], figures[2] * 100 + figures[3] * 10 + figures[4]);
        let Some(code) = day_of_year(year, day).and_then(|date| Self::new(date, session)) else {
            let last = if day_of_year(year, 366).is_some() { 366 } else { 365 };
            return Err(Wrong::new(
                format!("`{shown}` names day {day:03} of {year}, and that year goes from 001 to {last}"),
                "read the date figures again from the label: two of the year, three of the day of the year",
            ));
        };
        let fits = code.check();
        if check != fits {
            return Err(Wrong::new(
                format!(
                    "`{shown}` does not hold together: its check character is `{check}`, and `{}` would need `{fits}`",
                    code.body()
                ),
                "read the whole code again from the label: one character may be wrong, or two neighbours swapped",
            ));
        }
        Ok(code)
    }

    /// The code without its check character.
    fn body(self) -> String {
        format!("{:02}{:03}{}", self.date.year() % 100, self.date.day_of_year(), self.session)
    }

    fn check(self) -> char {
        check_character(&self.body()).expect("figures and a letter are in the alphabet")
    }
}

impl fmt::Display for LotCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}{}", self.body(), self.check()))
    }
}

/// Serialised as printed: `"26329A4"`.
impl Serialize for LotCode {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

/// Read as printed.
impl<'de> Deserialize<'de> for LotCode {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        Self::parse(&String::deserialize(d)?).map_err(|wrong| D::Error::custom(wrong.message))
    }
}

fn day_of_year(year: i16, day: i16) -> Option<Date> {
    let first = Date::new(year, 1, 1).ok()?;
    if day == 366 && !first.in_leap_year() {
        return None;
    }
    (1..=366).contains(&day).then(|| first.with().day_of_year(day).build().ok()).flatten()
}

/// The letter of the `nth` pour of a day, counted from 0.
///
/// # Errors
/// A [`Wrong`] after 24 pours: there is no letter left for that date.
pub fn session_letter(nth: usize) -> Result<char, Wrong> {
    SESSIONS.chars().nth(nth).ok_or_else(|| {
        Wrong::new(
            format!("all {} pours a lot code can count in one day are taken", SESSIONS.len()),
            "pour more units in one lot, or date the next lot tomorrow",
        )
    })
}

/// The check character of a text of figures and capital letters after ISO 7064 MOD 37,36;
/// `None` when the text is empty or has any other character.
#[must_use]
pub fn check_character(text: &str) -> Option<char> {
    if text.is_empty() {
        return None;
    }
    let mut p = 36;
    for c in text.chars() {
        let value = c.to_digit(36).filter(|_| !c.is_ascii_lowercase())?;
        p = (p + value) % 36;
        p = (if p == 0 { 36 } else { p } * 2) % 37;
    }
    char::from_digit((37 - p) % 36, 36).map(|c| c.to_ascii_uppercase())
}

#[cfg(test)]
mod tests {
    use super::{LotCode, SESSIONS, check_character, session_letter};
    use jiff::civil::date;

    const ALPHABET: &[u8] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

    /// Public example strings for ISO 7064 MOD 37,36 (printed in descriptions of an identifier that uses it;
    /// secondary pages, and computed again by hand).
    #[test]
    fn published_strings_get_their_check_character() {
        for (text, check) in [
            ("A12425GABC1234002", 'M'),
            ("A12425GXYZ9876008", '6'),
            ("A12425G1234567890", 'L'),
            ("A12589KCCC2586482", 'V'),
        ] {
            assert_eq!(check_character(text), Some(check), "{text}");
        }
        assert_eq!(check_character(""), None);
        assert_eq!(check_character("26329a"), None);
        assert_eq!(check_character("26 329"), None);
    }

    /// Computed by hand from the algorithm of the standard.
    #[test]
    fn own_codes_get_their_check_character() {
        for (day, session, code) in [
            (date(2026, 7, 30), 'A', "26211AL"),
            (date(2026, 11, 25), 'A', "26329A4"),
            (date(2026, 11, 25), 'B', "26329B2"),
        ] {
            assert_eq!(LotCode::new(day, session).unwrap().to_string(), code);
            assert_eq!(LotCode::parse(code).unwrap(), LotCode::new(day, session).unwrap());
        }
    }

    #[test]
    fn codes_are_taken_as_people_type_them() {
        let code = LotCode::parse("26329A4").unwrap();
        for typed in [" 26329a4 ", "26-329-A-4", "26 329 A4", "26329\u{2011}A4", "\t26329A4\n"] {
            assert_eq!(LotCode::parse(typed), Ok(code), "{typed}");
        }
        // day 301, typed with letters for figures
        let code = LotCode::new(date(2030, 10, 28), 'A').unwrap();
        assert_eq!(code.body(), "30301A");
        assert_eq!(LotCode::parse(&format!("3O3oiA{}", code.check())), Ok(code));
    }

    #[test]
    fn a_wrong_check_character_is_told_with_what_was_typed() {
        let wrong = LotCode::parse("26329a5").unwrap_err();
        assert_eq!(
            wrong.message,
            "`26329a5` does not hold together: its check character is `5`, and `26329A` would need `4`"
        );
        assert!(wrong.cure.contains("neighbours swapped"));
    }

    #[test]
    fn impossible_days_are_told() {
        for (typed, year_end) in
            [("26366A0", "to 365"), ("26000A0", "to 365"), ("28367A0", "to 366"), ("27999A0", "to 365")]
        {
            let wrong = LotCode::parse(typed).unwrap_err();
            assert!(wrong.message.contains(&typed[2..5]) && wrong.message.contains(year_end), "{wrong}");
        }
        // 2028 is a leap year, 2026 is not (Gregorian rule)
        assert_eq!(LotCode::new(date(2028, 12, 31), 'Z').unwrap().body(), "28366Z");
        assert_eq!(LotCode::new(date(2026, 12, 31), 'Z').unwrap().body(), "26365Z");
    }

    #[test]
    fn odd_texts_are_refused_with_the_form() {
        for typed in [
            "", " ", "26329A", "26329", "26329A44", "2632944", "26329I4", "26329O4", "A6329A4", "26329A!", "26329Ä4",
            "٢6329A4",
        ] {
            assert!(LotCode::parse(typed).is_err(), "{typed}");
        }
        assert!(LotCode::parse("26329A").unwrap_err().message.contains("one character short"));
        assert!(LotCode::parse(&"9".repeat(1_000_000)).unwrap_err().message.len() < 100);
        assert_eq!(LotCode::new(date(2100, 1, 1), 'A'), None);
        assert_eq!(LotCode::new(date(1999, 1, 1), 'A'), None);
        assert_eq!(LotCode::new(date(2026, 1, 1), 'a'), None);
    }

    #[test]
    fn every_code_of_a_leap_year_comes_back() {
        for nth in 0..24 {
            let mut day = date(2028, 1, 1);
            while day.year() == 2028 {
                let code = LotCode::new(day, session_letter(nth).unwrap()).unwrap();
                assert_eq!(LotCode::parse(&code.to_string()), Ok(code));
                day = day.tomorrow().unwrap();
            }
        }
        assert!(session_letter(24).is_err());
    }

    /// The property the standard promises for a hybrid system: every single substitution is detected.
    #[test]
    fn every_single_wrong_character_is_noticed() {
        let mut tried = 0_u32;
        for session in SESSIONS.bytes() {
            for day in 1..=366_u32 {
                let body = format!("28{day:03}{}", char::from(session));
                let code = format!("{body}{}", check_character(&body).unwrap());
                for at in 0..7 {
                    for &other in ALPHABET.iter().filter(|c| **c != code.as_bytes()[at]) {
                        let mut typed = code.clone().into_bytes();
                        typed[at] = other;
                        let typed = String::from_utf8(typed).unwrap();
                        assert_ne!(check_character(&typed[..6]), typed.chars().nth(6), "{code} as {typed}");
                        tried += 1;
                    }
                }
            }
        }
        assert_eq!(tried, 24 * 366 * 7 * 35);
    }

    /// Substitutions as typed: refused, or (letter O or I for a figure of the date) read as the same code.
    #[test]
    fn a_wrong_character_never_reads_as_another_lot() {
        for (day, session) in [(date(2026, 11, 25), 'A'), (date(2020, 1, 10), 'Q'), (date(2030, 10, 28), 'Z')] {
            let code = LotCode::new(day, session).unwrap();
            let right = code.to_string();
            for at in 0..7 {
                for &other in ALPHABET {
                    let mut typed = right.clone().into_bytes();
                    typed[at] = other;
                    let read = LotCode::parse(std::str::from_utf8(&typed).unwrap());
                    assert!(read.is_err() || read == Ok(code), "{right} {typed:?}");
                }
            }
        }
    }

    /// A hybrid system misses a few swaps of neighbours; counted here over every code of one leap year:
    /// under 0.4 % (the same count from a separate program in another language).
    #[test]
    fn few_swaps_of_neighbours_slip_through() {
        let (mut tried, mut missed) = (0_u32, 0_u32);
        for session in SESSIONS.chars() {
            for day in 1..=366_u32 {
                let body = format!("28{day:03}{session}");
                let code = format!("{body}{}", check_character(&body).unwrap());
                for at in 0..6 {
                    let mut typed = code.clone().into_bytes();
                    typed.swap(at, at + 1);
                    let typed = String::from_utf8(typed).unwrap();
                    if typed != code {
                        tried += 1;
                        missed += u32::from(LotCode::parse(&typed).is_ok());
                    }
                }
            }
        }
        assert_eq!((missed, tried), (192, 50_647));
    }
}
