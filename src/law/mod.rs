//! The rules as data: rows, sources, wording, tables; before `require`.
//!
//! The built-in rules are read by `build.rs` from the folder `rules` and stand here as static tables, so that a start
//! of the program reads no YAML. [`read`] takes a folder of the same shape at run time.

mod reader;

pub use reader::{
    Band, BandRow, Book, Citation, Day, Extent, Fact, Factor, Facts, Fault, GoesBy, Height, HeightTable, Limit,
    LimitUnit, PLACEHOLDERS, Rule, Source, SourceKind, Wording, fill, placeholders, read,
};

use crate::find;
use crate::trade::{Lang, Market};
use crate::unit::Area;
use jiff::civil::Date;

mod builtin {
    //! Written by `build.rs`.
    use super::{BandRow, Book, Citation, Day, Fact, Factor, GoesBy, Height, HeightTable, Limit, LimitUnit, Rule};
    use super::{Source, SourceKind, Wording};
    #[allow(unused_imports)]
    use crate::trade::{BlockName, Evidence, Lang, Market, Measure, Severity, Sign};
    use crate::unit::Length;
    include!(concat!(env!("OUT_DIR"), "/rules.rs"));
}

/// The rules this program was built with.
///
/// ```
/// let rule = waxbill::law::builtin().rule("us/identity").unwrap();
/// assert_eq!(rule.citation(), "16 CFR 500.4");
/// ```
#[must_use]
pub const fn builtin() -> &'static Book {
    &builtin::BOOK
}

/// All built-in rules, sorted by id.
#[must_use]
pub const fn rules() -> &'static [Rule] {
    builtin::BOOK.rules
}

/// The built-in rule with this id.
#[must_use]
pub fn rule(id: &str) -> Option<&'static Rule> {
    builtin().rule(id)
}

/// The built-in rules that hold for a product with these facts, sorted by id.
///
/// ```
/// use waxbill::law::{self, Fact, Facts};
/// use waxbill::trade::Market;
/// let mut melt = Facts::new();
/// melt.set(Fact::Kind, "wax melt");
/// let rules = law::holding(Market::Us, jiff::civil::date(2026, 11, 25), &melt);
/// assert!(rules.iter().any(|r| r.id == "us/melt-warmer"));
/// assert!(!rules.iter().any(|r| r.id == "us/fire-warning-messages"), "no flame, no fire warning");
/// ```
#[must_use]
pub fn holding(market: Market, date: Date, facts: &Facts) -> Vec<&'static Rule> {
    rules().iter().filter(|r| r.in_force(market, date) && r.holds(facts)).collect()
}

/// Up to five ids that may be meant by `id`, the likeliest first: for "did you mean".
///
/// ```
/// assert_eq!(waxbill::law::nearest_ids("us/identiy").first(), Some(&"us/identity"));
/// assert!(waxbill::law::nearest_ids("wick").contains(&"us/wick-lead"));
/// ```
#[must_use]
pub fn nearest_ids(id: &str) -> Vec<&'static str> {
    let ids: Vec<&'static str> = rules().iter().map(|r| r.id).collect();
    let mut near: Vec<_> = find::nearest(id, &ids).into_iter().collect();
    let word = id.trim().to_lowercase();
    if word.len() > 2 {
        // Ids whose name begins with the word come before those that only hold it.
        let begins = |id: &&&str| id.split_once('/').is_some_and(|(_, name)| name.starts_with(&word));
        let holds = |id: &&&str| id.contains(&word) && !begins(id);
        for id in ids.iter().filter(begins).chain(ids.iter().filter(holds)) {
            if !near.contains(id) {
                near.push(id);
            }
        }
    }
    near.truncate(5);
    near
}

/// The words of a statement in a language, of the built-in rules.
#[must_use]
pub fn wording(lang: Lang, key: &str) -> Option<&'static Wording> {
    builtin().wording(lang, key)
}

/// A source of the built-in rules.
#[must_use]
pub fn source(key: &str) -> Option<&'static Source> {
    builtin().source(key)
}

/// The least height for a panel of this area, by a built-in table such as `us-panel-height`.
///
/// ```
/// use waxbill::{law, unit::{Area, Length}};
/// // 16 CFR 500.21(b)(1): a panel of exactly 5 sq in still takes 1/16 in.
/// let band = law::height_band("us-panel-height", Area::sq_in(5)).unwrap();
/// assert_eq!(band.least, Length::inch(1, 16));
/// ```
#[must_use]
pub fn height_band(table: &str, area: Area) -> Option<Band> {
    builtin().height_band(table, area)
}

/// The conversion factor between two units, of the built-in tables.
#[must_use]
pub fn factor(from: &str, to: &str) -> Option<&'static Factor> {
    builtin().factor(from, to)
}

/// Reads the workshop's own words for one language: a file of the shape of `rules/wording/<lang>.yaml`, which needs no
/// row for what the rules have already. `path` is how messages name it. For [`Book::with_wording`].
///
/// # Errors
/// All faults: besides those of a rule file a statement no rule has, words that the law fixes, and a text that does not
/// hold the same placeholders as the English one.
///
/// ```
/// use waxbill::{law, trade::Lang};
/// let words = "do not eat: {text: Nicht essen.}";
/// let book = law::builtin().with_wording(law::own_wording(Lang::De, "de.yaml", words).unwrap());
/// assert_eq!(book.wording(Lang::De, "do not eat").unwrap().text, "Nicht essen.");
/// assert_eq!(book.missing_words(Lang::De, &["do not eat", "lid off"]), ["lid off"]);
/// ```
pub fn own_wording(lang: Lang, path: &str, text: &str) -> Result<Vec<Wording>, Vec<Fault>> {
    reader::own_wording(builtin(), lang, path, text)
}

impl Rule {
    /// Whether it holds in this market on this day.
    #[must_use]
    pub fn in_force(&self, market: Market, date: Date) -> bool {
        self.in_force_on(market, Day(date.year(), date.month(), date.day()))
    }
}
