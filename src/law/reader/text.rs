//! Sources (`sources.yaml`) and words for labels (`wording/<lang>.yaml`); read before the rows that name them.

use super::{Book, Day, Fault, at, keep, yaml};
use crate::trade::{Evidence, Lang, Market, words};
use serde::{Deserialize, Serialize};
use serde_yaml::Spanned;
use std::collections::{BTreeMap, BTreeSet};

words! {
    /// What a source is.
    Kind {
        /// Binding text.
        Law = "law",
        /// A voluntary standard.
        Standard = "standard",
        /// Published by a regulator or an official body without being law.
        Guidance = "guidance",
        /// Usage of the trade, or this program's own choice.
        Practice = "practice",
    }
}

/// Where rules come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Source {
    /// As named in rows.
    pub key: &'static str,
    /// In full.
    pub title: &'static str,
    /// What stands before the clause in a citation: `16 CFR`.
    pub short: &'static str,
    /// What it is.
    pub kind: Kind,
    /// Edition or date of consolidation.
    pub edition: &'static str,
    /// When its own text was read; `None` where only others' words about it were read.
    pub read: Option<Day>,
    /// Whether the text is free to read.
    pub free: bool,
}

/// Words for one statement in one language.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Wording {
    /// Language.
    pub lang: Lang,
    /// Key of the statement, as in `needs`.
    pub key: &'static str,
    /// The words, with `{placeholders}`.
    pub text: &'static str,
    /// The words for Canada, where they differ; with the same placeholders, or their metric twins.
    pub canada: Option<&'static str>,
    /// The law fixes the words: a template may not change them.
    pub fixed: bool,
    /// The safety alert symbol stands immediately before.
    pub alert_symbol: bool,
    /// Other words that count as the same statement when a label is read.
    pub accept: &'static [&'static str],
    /// How the words are known; `policy` for our own.
    pub seen: Evidence,
    /// Remark for `explain`; may be empty.
    pub note: &'static str,
    /// The text holds no words of a language, only placeholders and signs such as `UFI:`: it stands for every language.
    pub neutral: bool,
    /// Statements of a block stand in this order: that of `en.yaml`, in every language.
    pub order: u32,
}

impl Wording {
    /// The words as printed in this market.
    #[must_use]
    pub fn text_in(&self, market: Market) -> &'static str {
        self.canada.filter(|_| market.is_canadian()).unwrap_or(self.text)
    }
}

/// Every placeholder a text may hold, and what stands in its place.
pub const PLACEHOLDERS: &[(&str, &str)] = &[
    ("product name", "the maker's name of the product"),
    ("identity", "what it is, such as `Scented candle`"),
    ("net quantity", "both figures, such as `9 oz (255 g)`"),
    ("count", "how many of what, such as `12 tea lights`"),
    ("height", "height of a pillar in both units"),
    ("diameter", "diameter of a pillar in both units"),
    ("length", "length of a taper in both units"),
    ("maker name", "who is answerable for it"),
    ("maker address", "place of business"),
    ("phone", "telephone number of the maker"),
    ("trim", "length to trim the wick to"),
    ("session", "longest time to burn at once"),
    ("cool", "time to cool before relighting"),
    ("first burn", "time of the first burn"),
    ("stop", "height of wax at which to stop"),
    ("distance", "distance between lit candles"),
    ("burn hours", "the burn time that may be claimed"),
    ("lot", "lot code"),
    ("code", "what the code for telephones holds"),
    ("cancer chemical", "chemical listed in California for cancer"),
    ("reproductive chemical", "chemical listed in California for reproductive harm"),
    ("net metric", "quantity in grams, or kilograms from 1000 g, such as `220 g`"),
    ("e mark", "the sign ℮"),
    ("trim metric", "length to trim the wick to, in millimetres or centimetres"),
    ("stop metric", "height of wax at which to stop, in millimetres or centimetres"),
    ("distance metric", "distance between lit candles, in millimetres or centimetres"),
    ("postal address", "street, town, postcode and country of the maker"),
    ("electronic address", "e-mail or web address of the maker"),
    ("responsible person", "name, postal and electronic address of who answers for the product in the market"),
    ("signal word", "signal word of the law on chemicals, in the language"),
    ("hazard statements", "hazard statements of the mixture, in the language"),
    ("precautionary statements", "precautionary statements of the mixture, in the language"),
    ("supplemental statements", "supplemental statements such as EUH208, in the language"),
    ("hazard names", "names of the substances that cause its classes, after the word for `contains` in the language"),
    ("unknown toxicity", "share of ingredients of unknown acute toxicity, such as `12 %`"),
    ("ufi", "unique formula identifier, such as `E600-30P1-S00Y-5079`"),
];

/// The placeholders of a text, in order.
///
/// ```
/// let found: Vec<_> = waxbill::law::placeholders("Trim wick to {trim} before lighting.").collect();
/// assert_eq!(found, ["trim"]);
/// ```
pub fn placeholders(text: &str) -> impl Iterator<Item = &str> {
    text.split('{').skip(1).map(|rest| rest.split_once('}').map_or(rest, |(name, _)| name))
}

/// The text with each placeholder replaced.
///
/// # Errors
/// The name of the first placeholder for which `value` has nothing.
pub fn fill(text: &str, value: impl Fn(&str) -> Option<String>) -> Result<String, &str> {
    let mut pieces = text.split('{');
    let mut out = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        let (name, rest) = piece.split_once('}').unwrap_or((piece, ""));
        out += &value(name).ok_or(name)?;
        out += rest;
    }
    Ok(out)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawSource {
    title: Spanned<String>,
    short: String,
    kind: Kind,
    edition: String,
    read: Option<Spanned<String>>,
    access: Access,
}

words! {
    /// Whether a text costs money.
    Access {
        /// Anybody can read it.
        Free = "free",
        /// It is sold.
        Paid = "paid",
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawWording {
    text: Spanned<String>,
    canada: Option<Spanned<String>>,
    #[serde(default)]
    fixed: bool,
    #[serde(default, rename = "alert symbol")]
    alert_symbol: bool,
    #[serde(default)]
    accept: Vec<Spanned<String>>,
    seen: Option<Evidence>,
    #[serde(default)]
    note: String,
    #[serde(default)]
    neutral: bool,
}

pub(super) fn sources(path: &str, text: &str) -> Result<Vec<Source>, Vec<Fault>> {
    let raw: BTreeMap<String, RawSource> = serde_yaml::from_str(text).map_err(|e| vec![yaml(path, &e)])?;
    let (mut out, mut faults) = (Vec::new(), Vec::new());
    for (key, raw) in raw {
        if raw.title.value.trim().is_empty() {
            faults.push(at(path, &raw.title, format!("source `{key}` has no title")));
        }
        let read = raw.read.and_then(|day| {
            let read = Day::parse(&day.value);
            if read.is_none() {
                faults.push(at(path, &day, format!("`{}` is not a day: write it as `2026-11-25`", day.value)));
            }
            read
        });
        out.push(Source {
            key: keep(key),
            title: keep(raw.title.value),
            short: keep(raw.short),
            kind: raw.kind,
            edition: keep(raw.edition),
            read,
            free: raw.access == Access::Free,
        });
    }
    if faults.is_empty() { Ok(out) } else { Err(faults) }
}

pub(super) fn wording(path: &str, lang: Lang, text: &str) -> Result<Vec<Wording>, Vec<Fault>> {
    let raw: BTreeMap<String, RawWording> = serde_yaml::from_str(text).map_err(|e| vec![yaml(path, &e)])?;
    let (mut out, mut faults) = (Vec::new(), Vec::new());
    for (key, raw) in raw {
        for text in raw.accept.iter().chain([&raw.text]).chain(&raw.canada) {
            if let Some(wrong) = wrong_text(&text.value) {
                faults.push(at(path, text, format!("statement `{key}`: {wrong}")));
            }
        }
        if raw.fixed && raw.seen.is_none() {
            faults.push(at(path, &raw.text, format!("statement `{key}`: fixed words need `seen`: how they are known")));
        }
        if raw.neutral && holds_words(&raw.text.value) {
            let message =
                format!("statement `{key}`: a neutral text holds no small letters outside of its placeholders");
            faults.push(at(path, &raw.text, message));
        }
        if raw.neutral && lang != Lang::En {
            faults.push(at(path, &raw.text, format!("statement `{key}`: only `en.yaml` says what is neutral")));
        }
        out.push(Wording {
            lang,
            neutral: raw.neutral,
            order: u32::try_from(raw.text.referenced.line()).unwrap_or(u32::MAX),
            key: keep(key),
            text: keep(raw.text.value),
            canada: raw.canada.map(|t| keep(t.value)),
            fixed: raw.fixed,
            alert_symbol: raw.alert_symbol,
            accept: raw.accept.into_iter().map(|t| keep(t.value)).collect::<Vec<_>>().leak(),
            seen: raw.seen.unwrap_or(Evidence::Policy),
            note: keep(raw.note),
        });
    }
    if faults.is_empty() { Ok(out) } else { Err(faults) }
}

/// The workshop's own words: a wording file beside the rules of `book`.
pub(super) fn own(book: &Book, lang: Lang, path: &str, text: &str) -> Result<Vec<Wording>, Vec<Fault>> {
    let mut rows = wording(path, lang, text).map_err(|mut faults| {
        for fault in &mut faults {
            path.clone_into(&mut fault.file);
        }
        faults
    })?;
    let mut faults = Vec::new();
    for row in &mut rows {
        let mut wrong = |message: String| {
            faults.push(Fault { file: path.to_owned(), line: row.order.into(), column: 0, message });
        };
        let key = row.key;
        let held = |text| placeholders(text).collect::<BTreeSet<_>>();
        match book.wording.iter().find(|w| w.lang == Lang::En && w.key == key) {
            None => wrong(format!("`{key}` is not a statement of any rule: `waxbill explain` lists them")),
            Some(english) if english.fixed => wrong(format!("the words of `{key}` are fixed by law")),
            Some(english) if held(english.text) != held(row.text) => {
                let needed = held(english.text).into_iter().map(|n| format!("`{{{n}}}`")).collect::<Vec<_>>();
                let needed = if needed.is_empty() { "no placeholder".to_owned() } else { needed.join(", ") };
                wrong(format!("statement `{key}`: the text holds {needed}, as the English one does"));
            }
            Some(english) => row.order = english.order,
        }
        (row.seen, row.fixed) = (Evidence::Policy, false);
        if row.note.is_empty() {
            row.note = OWN;
        }
    }
    if faults.is_empty() { Ok(rows) } else { Err(faults) }
}

/// Remark on words that are not ours.
const OWN: &str = "the maker's own words";

/// Whether something besides placeholders, signs and acronyms is in it.
fn holds_words(text: &str) -> bool {
    text.split('{').any(|piece| piece.split_once('}').map_or(piece, |(_, rest)| rest).chars().any(char::is_lowercase))
}

fn wrong_text(text: &str) -> Option<String> {
    if text.trim().is_empty() || text != text.trim() {
        return Some("the text is empty or begins or ends with a space".to_owned());
    }
    if text.matches('{').count() != text.matches('}').count() {
        return Some("a brace is not closed".to_owned());
    }
    let known = |name: &str| PLACEHOLDERS.iter().any(|(known, _)| *known == name);
    let unknown = placeholders(text).find(|name| !known(name))?;
    let list = PLACEHOLDERS.iter().map(|(name, _)| format!("`{{{name}}}`")).collect::<Vec<_>>().join(", ");
    Some(format!("`{{{unknown}}}` is not one of {list}"))
}
