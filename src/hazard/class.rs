//! Hazard classes with their statements: the closed list, and reading them as a safety data sheet prints them.

use super::Rules;
use super::table::TABLES;
use crate::find::nearest;
use crate::trade::{Evidence, words};
use crate::unit::Wrong;
use jiff::civil::Date;
use serde::{Serialize, Serializer};
use std::fmt;

words! {
    /// What a hazard threatens, or that it lies in the substance's physics.
    Kind {
        /// Fire, explosion, corrosion of metal.
        Physical = "physical",
        /// People.
        Health = "health",
        /// Water, soil, air.
        Environmental = "environmental",
    }
}

/// Classes of which a mixture has one at most: the most severe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Group(pub(super) &'static str);

impl Group {
    /// In words: `skin sensitisation`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        self.0
    }
}

/// A row of `rules/hazard/classes.csv`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row {
    pub name: &'static str,
    pub code: &'static str,
    pub endings: &'static str,
    pub group: Group,
    pub kind: Kind,
    pub only: Option<Rules>,
    pub from: Option<Date>,
    pub before: Option<Date>,
    pub clause: &'static str,
    pub seen: Evidence,
}

/// A hazard class and category with its statement, such as `Skin Sens. 1B, H317`: one of a closed list.
///
/// The order is that of the regulation, the more severe category of a group first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct HazardClass(u8);

impl HazardClass {
    /// All of them.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..TABLES.classes.len()).filter_map(|n| u8::try_from(n).ok().map(Self))
    }
    /// The class with this abbreviation, and this code where several share it.
    ///
    /// ```
    /// use waxbill::hazard::HazardClass;
    /// assert_eq!(HazardClass::named("Skin Sens. 1B").unwrap().code(), "H317");
    /// assert_eq!(HazardClass::named("Acute Tox. 4, H312").unwrap().group().word(), "acute toxicity dermal");
    /// ```
    #[must_use]
    pub fn named(text: &str) -> Option<Self> {
        named(text, &TABLES.classes)
    }
    fn row(self) -> &'static Row {
        &TABLES.classes[usize::from(self.0)]
    }
    pub(super) const fn index(self) -> usize {
        self.0 as usize
    }
    /// As printed: `Skin Sens. 1B`.
    #[must_use]
    pub fn abbreviation(self) -> &'static str {
        self.row().name
    }
    /// Its statement without letters at the end: `H317`, `EUH380`.
    #[must_use]
    pub fn code(self) -> &'static str {
        self.row().code
    }
    /// The letters its statement may carry (`F`, `FD`).
    pub fn endings(self) -> impl Iterator<Item = &'static str> {
        self.row().endings.split_whitespace()
    }
    /// The classes it competes with.
    #[must_use]
    pub fn group(self) -> Group {
        self.row().group
    }
    /// What it threatens.
    #[must_use]
    pub fn kind(self) -> Kind {
        self.row().kind
    }
    /// Place in the law.
    #[must_use]
    pub fn clause(self) -> &'static str {
        self.row().clause
    }
    /// How the row is known.
    #[must_use]
    pub fn seen(self) -> Evidence {
        self.row().seen
    }
    /// Whether the class exists under these rules at all.
    #[must_use]
    pub fn is_of(self, rules: Rules) -> bool {
        self.row().only.is_none_or(|only| only == rules)
    }
    /// From when mixtures new on the market are classified so, and until when those already there may wait.
    #[must_use]
    pub fn since(self) -> (Option<Date>, Option<Date>) {
        (self.row().from, self.row().before)
    }
    /// The last figure of the category: 2 of `Carc. 2`, 1 of `Skin Corr. 1A`.
    pub(super) fn category(self) -> Option<u8> {
        let digit = self.row().name.bytes().rev().find(u8::is_ascii_digit)?;
        Some(digit - b'0')
    }
    /// Whether substances of the class may not be sold to the public in a mixture that is classified for them:
    /// carcinogens, mutagens and substances toxic to reproduction of categories 1A and 1B
    /// (Regulation (EC) No 1907/2006, Annex XVII entries 28 to 30; from memory).
    #[must_use]
    pub fn bars_public_sale(self) -> bool {
        matches!(self.row().name, "Carc. 1A" | "Carc. 1B" | "Muta. 1A" | "Muta. 1B" | "Repr. 1A" | "Repr. 1B")
    }
}

impl fmt::Display for HazardClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.row().name, self.row().code)
    }
}

/// Looks up `Skin Sens. 1B` or `STOT SE 3, H335`.
pub(super) fn named(text: &str, rows: &[Row]) -> Option<HazardClass> {
    let (name, code) = text.split_once(',').map_or((text.trim(), None), |(n, c)| (n.trim(), Some(c.trim())));
    let at = rows.iter().position(|r| r.name == name && code.is_none_or(|code| r.code == code))?;
    u8::try_from(at).ok().map(HazardClass)
}

/// A class as it is stated of a substance.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stated {
    /// Which.
    pub class: HazardClass,
    /// Its statement with its letters: `H360Fd`.
    pub code: String,
    /// Organs or route named with it: `kidneys`.
    pub organs: Option<String>,
    /// Marked `*` in the list of the law: the least severe category that comes into question.
    pub least: bool,
}

impl fmt::Display for Stated {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.class.abbreviation(), self.code)
    }
}
/// Serialised as printed: `Repr. 2, H361d`.
impl Serialize for Stated {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

/// What a line under a sheet's classes can be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Printed {
    /// A class.
    Class(Stated),
    /// A supplemental statement such as `EUH066`, which is no class.
    Supplemental(String),
}

impl Stated {
    /// Reads `Skin Sens. 1B, H317`, `Skin Sens. 1B; H317`, `Skin Sens. 1B (H317)` or, where only one statement belongs
    /// to the class, `Skin Sens. 1B`. Organs in brackets and the `*` of Annex VI are kept.
    ///
    /// # Errors
    /// A [`Wrong`] when the class does not exist (with the nearest that does), or the statement is not of the class.
    ///
    /// ```
    /// use waxbill::hazard::{Printed, Stated};
    /// let Ok(Printed::Class(stated)) = Stated::parse("STOT RE 2, H373 (kidneys)") else { unreachable!() };
    /// assert_eq!((stated.to_string().as_str(), stated.organs.as_deref()), ("STOT RE 2, H373", Some("kidneys")));
    /// assert!(Stated::parse("Skin Sens. 1B, H334").unwrap_err().cure.contains("H317"));
    /// ```
    pub fn parse(text: &str) -> Result<Printed, Wrong> {
        let mut all = Self::parse_all(text)?;
        match (all.pop(), all.is_empty()) {
            (Some(one), true) => Ok(one),
            _ => Err(Wrong::new(
                format!("`{}` has several statements", shortened(text)),
                "write class and statement once each: `Acute Tox. 4, H302`",
            )),
        }
    }

    /// Reads one class with one or more statements, as sheets put them together: `Acute Tox. 4, H302+H312`.
    ///
    /// # Errors
    /// As [`Stated::parse`]; and a text with anything more in it, such as a second class.
    pub fn parse_all(text: &str) -> Result<Vec<Printed>, Wrong> {
        let (plain, organs) = without_brackets(text);
        let least = plain.contains('*');
        let plain = plain.replace('*', " ");
        let (name, code, mut rest) = code_in(&plain);
        let name = name.trim_matches(|c: char| c.is_whitespace() || ",;:-–()".contains(c)).trim();
        if name.is_empty() {
            return match code {
                Some(code) if code.starts_with("EUH") && of_code(&code).is_empty() => {
                    Ok(vec![Printed::Supplemental(code)])
                }
                Some(code) => Err(without_class(&code)),
                None => Err(Wrong::new("no class stands here", "write it as `Skin Sens. 1B, H317`")),
            };
        }
        let mut codes = vec![code];
        while !rest.trim_matches(|c: char| c.is_whitespace() || ",;.+/&-–".contains(c)).is_empty() {
            let (between, code, after) = code_in(rest);
            if code.is_none() || between.contains(char::is_alphanumeric) {
                return Err(Wrong::new(
                    format!("`{}` is more than one class", shortened(text)),
                    "write each class by itself, with its statement: `Skin Sens. 1B, H317`",
                ));
            }
            codes.push(code);
            rest = after;
        }
        let read = |code: Option<String>| one(name, code, organs.as_deref(), least).map(Printed::Class);
        codes.into_iter().map(read).collect()
    }
}

/// A class by its name and statement.
fn one(name: &str, code: Option<String>, organs: Option<&str>, least: bool) -> Result<Stated, Wrong> {
    let wanted = key(name);
    let rows: Vec<HazardClass> = HazardClass::all().filter(|c| key(c.abbreviation()) == wanted).collect();
    let Some(first) = rows.first() else { return Err(no_such_class(name, code.as_deref())) };
    let stated =
        |class: HazardClass, code: String| Ok(Stated { class, code, organs: organs.map(str::to_owned), least });
    let codes = || rows.iter().map(|c| format!("`{c}`")).collect::<Vec<_>>().join(" or ");
    let Some(code) = code else {
        // the way may stand in brackets: `Acute Tox. 4 (oral)`
        let way = organs.map(str::to_lowercase).unwrap_or_default();
        let by_way = |c: &&HazardClass| {
            let words = ["oral", "dermal", "inhal"];
            words.iter().any(|w| way.contains(w) && c.group().word().contains(w))
        };
        let mut fitting = rows.iter().filter(by_way);
        return match (rows.len(), fitting.next(), fitting.next()) {
            (1, ..) => stated(*first, first.code().to_owned()),
            (_, Some(class), None) => stated(*class, class.code().to_owned()),
            _ => Err(Wrong::new(
                format!("`{}` does not say by which way or effect", first.abbreviation()),
                format!("add the statement the sheet prints: {}", codes()),
            )),
        };
    };
    let fits = |class: &&HazardClass| {
        code.strip_prefix(class.code()).is_some_and(|end| end.is_empty() || class.endings().any(|e| e == end))
    };
    match rows.iter().find(fits) {
        Some(class) => stated(*class, code),
        None => Err(Wrong::new(
            format!("`{code}` is not a statement of `{}`", first.abbreviation()),
            format!("the class goes with {}: copy both again from section 3 of the sheet{}", codes(), also(&code)),
        )),
    }
}

fn shortened(text: &str) -> String {
    text.chars().take(60).collect()
}

fn of_code(code: &str) -> Vec<HazardClass> {
    HazardClass::all().filter(|c| c.code() == code).collect()
}

fn also(code: &str) -> String {
    let classes: Vec<String> = of_code(code).iter().map(|c| format!("`{}`", c.abbreviation())).collect();
    if classes.is_empty() { String::new() } else { format!(" (`{code}` is of {})", classes.join(", ")) }
}

fn without_class(code: &str) -> Wrong {
    let classes: Vec<String> = of_code(code).iter().map(|c| format!("`{c}`")).collect();
    let cure = if classes.is_empty() {
        "write class and statement: `Skin Sens. 1B, H317`".to_owned()
    } else {
        format!("write the class with it, as the sheet does: {}", classes.join(" or "))
    };
    Wrong::new(format!("`{code}` stands without its class"), cure)
}

fn no_such_class(name: &str, code: Option<&str>) -> Wrong {
    let shown = shortened(name);
    let names: Vec<&str> = HazardClass::all().map(HazardClass::abbreviation).collect();
    let near = nearest(name, &names).map_or_else(String::new, |n| format!("did you mean `{n}`? "));
    let of_code: Vec<String> = code.map(of_code).unwrap_or_default().iter().map(|c| format!("`{c}`")).collect();
    let of_code =
        if of_code.is_empty() { String::new() } else { format!("; the statement goes with {}", of_code.join(", ")) };
    Wrong::new(
        format!("there is no hazard class `{shown}`"),
        format!("{near}classes are written as in the regulation, for example `Skin Sens. 1B, H317`{of_code}"),
    )
}

/// The text without what stands in brackets, unless that is the statement; and the last bracket's words.
fn without_brackets(text: &str) -> (String, Option<String>) {
    let (mut plain, mut organs, mut rest) = (String::new(), None, text);
    while let Some(open) = rest.find('(') {
        let close = rest[open..].find(')').map_or(rest.len(), |n| open + n);
        let inside = rest[open + 1..close].trim();
        plain.push_str(&rest[..open]);
        if code_in(inside).1.is_some() {
            plain.push(' ');
            plain.push_str(inside);
        } else if !inside.is_empty() && inside.chars().any(char::is_alphabetic) {
            organs = Some(inside.to_owned());
        }
        plain.push(' ');
        rest = rest.get(close + 1..).unwrap_or("");
    }
    plain.push_str(rest);
    (plain, organs)
}

/// Parts a text at its first code (`H` or `EUH`, three digits, letters): what stands before, the code, what stands after.
fn code_in(text: &str) -> (&str, Option<String>, &str) {
    for (at, _) in text.match_indices('H') {
        let digits = text[at + 1..].bytes().take_while(u8::is_ascii_digit).count();
        if digits != 3 {
            continue;
        }
        let start = if text[..at].ends_with("EU") { at - 2 } else { at };
        if text[..start].ends_with(|c: char| c.is_alphanumeric()) {
            continue;
        }
        let letters = text[at + 4..].bytes().take_while(u8::is_ascii_alphabetic).count();
        let end = at + 4 + letters;
        return (&text[..start], Some(text[start..end].to_owned()), &text[end..]);
    }
    (text, None, "")
}

/// A name without case, dots and blanks, and without the word category.
fn key(name: &str) -> String {
    let lower = name.to_lowercase();
    let lower = lower.replace("category", "").replace("cat.", "");
    lower.chars().filter(|c| c.is_alphanumeric()).collect()
}

#[cfg(test)]
mod tests {
    use super::{HazardClass, Printed, Stated};

    fn read(text: &str) -> String {
        match Stated::parse(text) {
            Ok(Printed::Class(s)) => s.organs.as_ref().map_or_else(|| s.to_string(), |o| format!("{s} ({o})")),
            Ok(Printed::Supplemental(code)) => code,
            Err(wrong) => format!("! {wrong}"),
        }
    }

    #[test]
    fn classes_are_read_as_sheets_print_them() {
        for text in [
            "Skin Sens. 1B, H317",
            "Skin Sens. 1B; H317",
            "Skin Sens. 1B (H317)",
            "Skin Sens. 1B - H317",
            "Skin Sens. 1B H317",
            "Skin Sens 1B: H317",
            "skin sens. 1b, H317",
            "Skin Sens. Cat. 1B, H317",
            "Skin Sens. 1B",
        ] {
            assert_eq!(read(text), "Skin Sens. 1B, H317", "{text}");
        }
        assert_eq!(read("Acute Tox. 4 *, H302"), "Acute Tox. 4, H302");
        assert_eq!(read("Acute Tox. 4 (oral), H302"), "Acute Tox. 4, H302 (oral)");
        assert_eq!(read("Acute Tox. 4 (dermal)"), "Acute Tox. 4, H312 (dermal)");
        assert_eq!(read("Acute Tox. 4 (Inhalation: vapour)"), "Acute Tox. 4, H332 (Inhalation: vapour)");
        let all = Stated::parse_all("Acute Tox. 4, H302 + H312/H332").unwrap();
        assert_eq!(all.len(), 3);
        assert!(matches!(&all[2], Printed::Class(s) if s.to_string() == "Acute Tox. 4, H332"));
        assert_eq!(read("Repr. 1B, H360FD"), "Repr. 1B, H360FD");
        assert_eq!(read("Repr. 2 (H361fd)"), "Repr. 2, H361fd");
        assert_eq!(read("Carc. 1B, H350i"), "Carc. 1B, H350i");
        assert_eq!(
            read("STOT RE 1, H372 (central nervous system, lungs)"),
            "STOT RE 1, H372 (central nervous system, lungs)"
        );
        assert_eq!(read("EUH066"), "EUH066");
        assert_eq!(read("ED HH 1, EUH380"), "ED HH 1, EUH380");
        assert_eq!(read("Lact., H362"), "Lact., H362");
    }

    #[test]
    fn what_does_not_belong_together_is_told_with_what_does() {
        let told = |text: &str, part: &str| {
            assert!(read(text).starts_with("! ") && read(text).contains(part), "{}", read(text));
        };
        told("Skin Sens. 1B, H334", "`Skin Sens. 1B, H317`");
        told("Skin Sens. 3, H317", "did you mean `Skin Sens. 1`");
        told("Skin Sens. 1D, H317", "there is no hazard class");
        told("Repr. 2, H361FD", "is not a statement of `Repr. 2`");
        told("Acute Tox. 4", "`Acute Tox. 4, H302` or `Acute Tox. 4, H312` or `Acute Tox. 4, H332`");
        told("Skin Sens. 1B, H317, Skin Irrit. 2, H315", "write each class by itself");
        told("Skin Sens. 1B, H317 C 5 %", "is more than one class");
        told("Acute Tox. 4, H302+H312", "has several statements");
        told("Acute Tox. 4, H302+H315", "`H315` is not a statement of");
        told("H317", "write the class with it");
        told("Aquatic Chronic 2, H412", "`Aquatic Chronic 3`");
        told("", "no class stands here");
        told("Glitter 4", "there is no hazard class `Glitter 4`");
        for hostile in ["(((((", "H", "EUH", "H3", "é H317é", "Skin Sens. 1B, H317é", ")", "(H317"] {
            let _ = read(hostile);
        }
    }

    #[test]
    fn the_list_has_no_class_twice() {
        let mut shown: Vec<String> = HazardClass::all().map(|c| c.to_string()).collect();
        let all = shown.len();
        shown.sort();
        shown.dedup();
        assert_eq!(shown.len(), all);
    }
}
