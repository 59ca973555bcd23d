//! The unique formula identifier of a mixture: 16 characters made of a company's number and the number of its formulation.
//!
//! Part of `hazard`. Annex VIII, Part A of Regulation (EC) 1272/2008; the coding is that of the UFI developers manual 1.4
//! of the European Chemicals Agency, known at second hand and checked against `tests/published/ufi-vectors.csv`.

use crate::find::Finding;
use std::fmt;

/// Formulation numbers are below this: they have 28 bits.
pub const FORMULATIONS: u32 = 1 << 28;
/// Digits of base 31: no B, I, L, O, Z, which are easily misread.
const ALPHABET: &[u8; 31] = b"0123456789ACDEFGHJKMNPQRSTUVWXY";
/// Which digit of the number stands where in the code.
const ORDER: [usize; 15] = [5, 4, 3, 7, 2, 8, 9, 10, 1, 0, 11, 6, 12, 13, 14];
/// Bits of the company's country and number together.
const COMPANY_BITS: u32 = 41;

/// What a code holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ufi {
    holder: Holder,
    number: u64,
    formulation: u32,
}

/// Whose number it is, and how that number is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Holder {
    /// ISO code as used before VAT numbers; empty for a company key.
    country: &'static str,
    group: u8,
    /// Bits of `code`.
    bits: u32,
    code: u64,
    pattern: Pattern,
}

/// How a VAT number is written without its country.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Pattern {
    /// Only digits, of one of these lengths.
    Digits(&'static [usize]),
    /// A letter, then so many digits: `U12345678`.
    After(char, usize),
    /// Nine digits, `B`, two digits.
    Dutch,
    France,
    Britain,
    Ireland,
    Spain,
    Cyprus,
    Iceland,
    /// Thirteen digits.
    CompanyKey,
}

const fn holder(country: &'static str, (group, bits): (u8, u32), code: u64, pattern: Pattern) -> Holder {
    Holder { country, group, bits, code, pattern }
}

const COMPANY_KEY: Holder = holder("", (0, 0), 0, Pattern::CompanyKey);
const THREE: (u8, u32) = (3, 1);
const FOUR: (u8, u32) = (4, 4);
const FIVE: (u8, u32) = (5, 7);

/// Countries in the order of group and code.
const HOLDERS: [Holder; 32] = [
    COMPANY_KEY,
    holder("FR", (1, 0), 0, Pattern::France),
    holder("GB", (2, 0), 0, Pattern::Britain),
    holder("LT", THREE, 0, Pattern::Digits(&[9, 12])),
    holder("SE", THREE, 1, Pattern::Digits(&[12])),
    holder("HR", FOUR, 0, Pattern::Digits(&[11])),
    holder("IT", FOUR, 1, Pattern::Digits(&[11])),
    holder("LV", FOUR, 2, Pattern::Digits(&[11])),
    holder("NL", FOUR, 3, Pattern::Dutch),
    holder("BG", FIVE, 0, Pattern::Digits(&[9, 10])),
    holder("CZ", FIVE, 1, Pattern::Digits(&[8, 9, 10])),
    holder("IE", FIVE, 2, Pattern::Ireland),
    holder("ES", FIVE, 3, Pattern::Spain),
    holder("PL", FIVE, 4, Pattern::Digits(&[10])),
    holder("RO", FIVE, 5, Pattern::Digits(&[2, 3, 4, 5, 6, 7, 8, 9, 10])),
    holder("SK", FIVE, 6, Pattern::Digits(&[10])),
    holder("CY", FIVE, 7, Pattern::Cyprus),
    holder("IS", FIVE, 8, Pattern::Iceland),
    holder("BE", FIVE, 9, Pattern::Digits(&[10])),
    holder("DE", FIVE, 10, Pattern::Digits(&[9])),
    holder("EE", FIVE, 11, Pattern::Digits(&[9])),
    holder("EL", FIVE, 12, Pattern::Digits(&[9])),
    holder("NO", FIVE, 13, Pattern::Digits(&[9])),
    holder("PT", FIVE, 14, Pattern::Digits(&[9])),
    holder("AT", FIVE, 15, Pattern::After('U', 8)),
    holder("DK", FIVE, 16, Pattern::Digits(&[8])),
    holder("FI", FIVE, 17, Pattern::Digits(&[8])),
    holder("HU", FIVE, 18, Pattern::Digits(&[8])),
    holder("LU", FIVE, 19, Pattern::Digits(&[8])),
    holder("MT", FIVE, 20, Pattern::Digits(&[8])),
    holder("SI", FIVE, 21, Pattern::Digits(&[8])),
    holder("LI", FIVE, 22, Pattern::Digits(&[5])),
];

impl Ufi {
    /// From a VAT number. `GR` counts as `EL` and `XN` (Northern Ireland) as `GB`, as the coding has it.
    ///
    /// # Errors
    /// A country without VAT coding, a number that is not written as there, or a formulation number of 2^28 and more.
    ///
    /// ```
    /// let ufi = waxbill::hazard::ufi::Ufi::of_vat("IE", "9Z54321Y", 134_217_728).unwrap();
    /// assert_eq!(ufi.to_string(), "GMTT-2SQN-6FDD-6TV1");
    /// ```
    pub fn of_vat(country: &str, vat: &str, formulation: u32) -> Result<Self, Finding> {
        let asked = country.trim().to_uppercase();
        let country = match asked.as_str() {
            "GR" => "EL",
            "XN" => "GB",
            other => other,
        };
        let Some(holder) = HOLDERS.iter().find(|h| h.country == country && !country.is_empty()) else {
            let known = HOLDERS.iter().skip(1).map(|h| h.country).collect::<Vec<_>>().join("`, `");
            return Err(Finding::input(
                "ufi/country",
                format!("the VAT numbers of `{}` have no place in a UFI", short(&asked)),
                format!("use one of `{known}`, or a company key"),
            ));
        };
        Self::of(*holder, &asked, vat, formulation)
    }

    /// From a company key, which stands in for a VAT number: 13 digits.
    ///
    /// # Errors
    /// Anything but 13 digits below 2^41, or a formulation number of 2^28 and more.
    pub fn of_company_key(key: &str, formulation: u32) -> Result<Self, Finding> {
        Self::of(COMPANY_KEY, "", key, formulation)
    }

    fn of(holder: Holder, asked: &str, text: &str, formulation: u32) -> Result<Self, Finding> {
        if formulation >= FORMULATIONS {
            return Err(Finding::input(
                "ufi/formulation",
                format!("the formulation number `{formulation}` is too large"),
                format!("use a number from 0 to {}, another for each composition", FORMULATIONS - 1),
            ));
        }
        let plain: String = text.chars().filter(|c| !c.is_whitespace() && !"-.".contains(*c)).collect();
        let plain = plain.to_uppercase();
        // `IE9Z54321Y` as well as `9Z54321Y`; the number as written comes first, as a French key may begin with `FR`.
        let number = holder.number(&plain).or_else(|| holder.number(plain.strip_prefix(asked).unwrap_or_default()));
        let Some(number) = number.filter(|n| *n < 1 << (COMPANY_BITS - holder.bits)) else {
            let what = if holder.country.is_empty() { "company key" } else { "VAT number" };
            return Err(Finding::input(
                "ufi/number",
                format!("`{}` is not written as a {what} of `{}`", short(text), holder.owner()),
                format!("write {}", holder.pattern.told()),
            ));
        };
        Ok(Self { holder, number, formulation })
    }

    /// Reads a code and everything that can be checked about it. Blanks, hyphens and `UFI:` in front do no harm.
    ///
    /// # Errors
    /// Wrong length or character, a wrong check character, or a content no company number leads to.
    pub fn decode(code: &str) -> Result<Self, Finding> {
        let wrong = |message: String, cure: &str| Finding::input("ufi/code", message, cure);
        let upper = code.trim().to_uppercase();
        let bare = upper.strip_prefix("UFI").map_or(upper.as_str(), |rest| rest.trim_start_matches([':', ' ']));
        let mut digits = Vec::with_capacity(16);
        for c in bare.chars().filter(|c| !c.is_whitespace() && *c != '-') {
            let Some(digit) = ALPHABET.iter().position(|a| char::from(*a) == c) else {
                return Err(wrong(
                    format!("a UFI has no character `{c}`"),
                    "compare with the original: only digits and letters other than B, I, L, O, Z are used",
                ));
            };
            digits.push(digit as u128);
        }
        let digits: [u128; 16] = digits.try_into().map_err(|found: Vec<u128>| {
            wrong(format!("a UFI has 16 characters, not {}", found.len()), "write it as `GMTT-2SQN-6FDD-6TV1`")
        })?;
        if (1..).zip(digits).map(|(i, d)| i * d).sum::<u128>() % 31 != 0 {
            return Err(wrong(
                format!("the check character of `{}` is wrong", short(code.trim())),
                "compare it with the original: one character is another, or two have changed places",
            ));
        }
        let mut in_order = [0; 15];
        for (at, from) in ORDER.into_iter().enumerate() {
            in_order[from] = digits[at + 1];
        }
        let payload = in_order.into_iter().fold(0, |sum, d| sum * 31 + d);
        Self::of_payload(payload).ok_or_else(|| {
            wrong(
                format!("`{}` holds no company number and formulation, though its check character fits", short(code)),
                "ask who made it for the right code",
            )
        })
    }

    fn of_payload(payload: u128) -> Option<Self> {
        let bits = |from: u32, count: u32| u64::try_from(payload >> from & ((1 << count) - 1)).ok();
        if payload >> 74 != 0 || bits(0, 1)? != 0 {
            return None; // 28 + 4 + 41 bits and the version, which is 0
        }
        let (formulation, group) = (u32::try_from(bits(46, 28)?).ok()?, bits(42, 4)?);
        let company = bits(1, COMPANY_BITS)?;
        let holder =
            *HOLDERS.iter().find(|h| u64::from(h.group) == group && company >> (COMPANY_BITS - h.bits) == h.code)?;
        let number = company & ((1 << (COMPANY_BITS - holder.bits)) - 1);
        let ufi = Self { holder, number, formulation };
        // What no company's number leads to was not made by the rules.
        (holder.number(&ufi.company_number()?) == Some(number)).then_some(ufi)
    }

    /// The country before the VAT number (`GB` for Northern Ireland too); `None` for a company key.
    #[must_use]
    pub const fn country(&self) -> Option<&'static str> {
        if self.holder.country.is_empty() { None } else { Some(self.holder.country) }
    }

    /// The company key or VAT number without its country, as far as the code keeps it: zeros in front are filled up to
    /// the shortest form, a last Irish letter `A` is lost.
    #[must_use]
    pub fn company(&self) -> String {
        self.company_number().unwrap_or_default()
    }

    /// The number of the formulation.
    #[must_use]
    pub const fn formulation(&self) -> u32 {
        self.formulation
    }

    fn company_number(&self) -> Option<String> {
        let n = self.number;
        let pair = |n: u64, base: u64| Some((character(n / base, base)?, character(n % base, base)?));
        Some(match self.holder.pattern {
            Pattern::Digits(lengths) => {
                let plain = n.to_string();
                let fits = lengths.iter().find(|l| **l >= plain.len())?;
                format!("{plain:0>fits$}")
            }
            Pattern::CompanyKey => format!("{n:013}"),
            Pattern::After(letter, digits) => format!("{letter}{n:0digits$}"),
            Pattern::Dutch => format!("{:09}B{:02}", n / 100, n % 100),
            Pattern::France => {
                let (a, b) = pair(n / 1_000_000_000, 36)?;
                format!("{a}{b}{:09}", n % 1_000_000_000)
            }
            Pattern::Britain => match n.checked_sub(1 << 40) {
                Some(d) if d < 1_000_000_000 => format!("{d:09}"),
                Some(d) => format!("{d:012}"),
                None => {
                    let (a, b) = pair(n / 1000, 26)?;
                    format!("{a}{b}{:03}", n % 1000)
                }
            },
            Pattern::Ireland => {
                if let Some(d) = n.checked_sub(1 << 33) {
                    let (second, first) = pair(d / 10_000_000, 26)?;
                    let second = if second == 'A' { String::new() } else { second.to_string() };
                    format!("{:07}{first}{second}", d % 10_000_000)
                } else {
                    let (letters, d) = (n / 1_000_000, n % 1_000_000);
                    let second = match letters / 26 {
                        26 => '+',
                        27 => '*',
                        x => character(x, 26)?,
                    };
                    format!("{}{second}{:05}{}", d / 100_000, d % 100_000, character(letters % 26, 26)?)
                }
            }
            Pattern::Spain => {
                let (first, last) = pair(n / 10_000_000, 36)?;
                format!("{first}{:07}{last}", n % 10_000_000)
            }
            Pattern::Cyprus => format!("{:08}{}", n % 100_000_000, character(n / 100_000_000, 26)?),
            Pattern::Iceland => {
                let each = (0..6).rev().map(|place| character(n / 36_u64.pow(place) % 36, 36));
                each.collect::<Option<String>>().filter(|_| n < 36_u64.pow(6))?
            }
        })
    }

    fn payload(&self) -> u128 {
        let company = self.holder.code << (COMPANY_BITS - self.holder.bits) | self.number;
        u128::from(self.formulation) << 46 | u128::from(self.holder.group) << 42 | u128::from(company) << 1
    }
}

/// The code in four groups of four, as it is printed after `UFI: ` (Annex VIII, Part A, 5.2).
impl fmt::Display for Ufi {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut in_order = [0; 15];
        let mut rest = self.payload();
        for digit in in_order.iter_mut().rev() {
            (*digit, rest) = (rest % 31, rest / 31);
        }
        let body = ORDER.map(|from| in_order[from]);
        let check = (31 - (2..).zip(body).map(|(i, d)| i * d).sum::<u128>() % 31) % 31;
        for (at, digit) in std::iter::once(check).chain(body).enumerate() {
            if at > 0 && at % 4 == 0 {
                f.write_str("-")?;
            }
            let digit = usize::try_from(digit).map_err(|_| fmt::Error)?;
            write!(f, "{}", char::from(ALPHABET[digit]))?;
        }
        Ok(())
    }
}

impl Holder {
    fn owner(&self) -> &'static str {
        match self.country {
            "" => "a company",
            "GB" => "GB or XN",
            country => country,
        }
    }

    /// The number a VAT number stands for, if it is written as in this country.
    fn number(&self, text: &str) -> Option<u64> {
        let c: Vec<char> = text.chars().collect();
        let letter = |at: usize| value(c[at], 26);
        let either = |at: usize| value(c[at], 36);
        let digits = |range: std::ops::Range<usize>| {
            let part = &c[range];
            part.iter().all(char::is_ascii_digit).then(|| part.iter().collect::<String>().parse().ok()).flatten()
        };
        let all = 0..c.len();
        match (self.pattern, c.len()) {
            (Pattern::Digits(lengths), n) if lengths.contains(&n) => digits(all),
            (Pattern::CompanyKey, 13) => digits(all),
            (Pattern::After(first, n), _) if c.len() == n + 1 && c[0] == first => digits(1..n + 1),
            (Pattern::Dutch, 12) if c[9] == 'B' => Some(digits(0..9)? * 100 + digits(10..12)?),
            (Pattern::France, 11) => Some((36 * either(0)? + either(1)?) * 1_000_000_000 + digits(2..11)?),
            (Pattern::Britain, 9 | 12) => Some((1 << 40) + digits(all)?),
            (Pattern::Britain, 5) => Some((26 * letter(0)? + letter(1)?) * 1000 + digits(2..5)?),
            (Pattern::Ireland, 8) if !c[1].is_ascii_digit() => {
                let second = match c[1] {
                    '+' => 26,
                    '*' => 27,
                    c => value(c, 26)?,
                };
                Some((26 * second + letter(7)?) * 1_000_000 + digits(0..1)? * 100_000 + digits(2..7)?)
            }
            (Pattern::Ireland, n @ (8 | 9)) => {
                let second = if n == 9 { letter(8)? } else { 0 };
                Some((1 << 33) + (26 * second + letter(7)?) * 10_000_000 + digits(0..7)?)
            }
            (Pattern::Spain, 9) => Some((36 * either(0)? + either(8)?) * 10_000_000 + digits(1..8)?),
            (Pattern::Cyprus, 9) => Some(letter(8)? * 100_000_000 + digits(0..8)?),
            (Pattern::Iceland, 6) => (0..6).try_fold(0, |sum, at| Some(sum * 36 + either(at)?)),
            _ => None,
        }
    }
}

impl Pattern {
    fn told(self) -> String {
        match self {
            Self::Digits([one]) => format!("{one} digits"),
            Self::Digits(lengths) => {
                format!("{} digits", lengths.iter().map(ToString::to_string).collect::<Vec<_>>().join(" or "))
            }
            Self::CompanyKey => format!("13 digits below {}", 1_u64 << COMPANY_BITS),
            Self::After(letter, n) => format!("`{letter}` and {n} digits"),
            Self::Dutch => "9 digits, `B` and 2 digits".to_owned(),
            Self::France => "2 digits or letters and 9 digits".to_owned(),
            Self::Britain => "9 or 12 digits, or 2 letters and 3 digits".to_owned(),
            Self::Ireland => "7 digits and 1 or 2 letters, or the old form such as `9Z54321Y`".to_owned(),
            Self::Spain => "a digit or letter, 7 digits, and a digit or letter".to_owned(),
            Self::Cyprus => "8 digits and a letter".to_owned(),
            Self::Iceland => "6 digits or letters".to_owned(),
        }
    }
}

/// In base 36 `0` to `9` and `A` to `Z` count 0 to 35; in base 26 `A` to `Z` count 0 to 25.
fn value(c: char, base: u64) -> Option<u64> {
    match (c, base) {
        ('0'..='9', 36) => Some(u64::from(c) - u64::from('0')),
        ('A'..='Z', _) => Some(u64::from(c) - u64::from('A') + base - 26),
        _ => None,
    }
}

fn character(n: u64, base: u64) -> Option<char> {
    let n = n + 36 - base;
    let n = u32::try_from(n).ok().filter(|n| *n < 36)?;
    char::from_digit(n, 36).map(|c| c.to_ascii_uppercase())
}

/// At most 40 characters of what was typed.
fn short(text: &str) -> String {
    text.chars().take(40).collect()
}
