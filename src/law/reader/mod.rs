//! Turns the folder `rules` into checked rows; used by `build.rs` (the built-in rules) and at run time by `law`.
//!
//! Takes texts, never paths. Every fault names file, line and column, and one run shows as many as possible.

mod check;
mod fact;
mod row;
mod rule;
mod table;
mod text;

pub use fact::{Fact, Facts};
pub use rule::{Citation, Day, Height, Rule};
pub use table::{BandRow, Extent, Factor, GoesBy, HeightTable, Limit, LimitUnit};
pub use text::{Kind as SourceKind, PLACEHOLDERS, Source, Wording, fill, placeholders};

use crate::trade::{Evidence, Lang, Measure};
use crate::unit::{Area, Length};
use std::fmt;

/// What is wrong in a rule file, and where.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// As `rules/us/identity.yaml`.
    pub file: String,
    /// From 1; 0 where the whole file is meant.
    pub line: u64,
    /// From 1, in characters; 0 where the whole line is meant.
    pub column: u64,
    /// Lower case, no full stop, values in backticks; says what would be right.
    pub message: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.line, self.column) {
            (0, _) => write!(f, "{}: {}", self.file, self.message),
            (line, 0) => write!(f, "{}:{line}: {}", self.file, self.message),
            (line, column) => write!(f, "{}:{line}:{column}: {}", self.file, self.message),
        }
    }
}

/// All rows of one folder of rules.
#[derive(Debug, Clone, Copy)]
pub struct Book {
    /// Sorted by id.
    pub rules: &'static [Rule],
    /// Sorted by key.
    pub sources: &'static [Source],
    /// Sorted by language, then key.
    pub wording: &'static [Wording],
    /// Sorted by name.
    pub tables: &'static [HeightTable],
    /// In the order of their file.
    pub factors: &'static [Factor],
}

/// A least height with the line of the table it was taken from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Band {
    /// Letters are at least this high.
    pub least: Length,
    /// What decides is larger than this; `None` in the first line.
    pub over: Option<Limit>,
    /// What decides is at most this large; `None` in the last line.
    pub up_to: Option<Limit>,
    /// Key of the source.
    pub source: &'static str,
    /// Place in it.
    pub clause: &'static str,
    /// How the line is known.
    pub seen: Evidence,
}

impl Book {
    /// The rule with this id.
    #[must_use]
    pub fn rule(&self, id: &str) -> Option<&'static Rule> {
        self.rules.iter().find(|r| r.id == id)
    }
    /// The source with this key.
    #[must_use]
    pub fn source(&self, key: &str) -> Option<&'static Source> {
        self.sources.iter().find(|s| s.key == key)
    }
    /// The words of a statement: those of the language, else the neutral ones that stand for every language.
    #[must_use]
    pub fn wording(&self, lang: Lang, key: &str) -> Option<&'static Wording> {
        let row = |lang| self.wording.iter().find(|w| w.lang == lang && w.key == key);
        row(lang).or_else(|| row(Lang::En).filter(|w| w.neutral))
    }
    /// Those of these statements for which there are no words in the language, in the given order.
    #[must_use]
    pub fn missing_words<'k>(&self, lang: Lang, keys: &[&'k str]) -> Vec<&'k str> {
        keys.iter().copied().filter(|key| self.wording(lang, key).is_none()).collect()
    }
    /// The same rules with these words, each in place of the row of the same language and statement.
    ///
    /// The table of words is made anew and stays for as long as the program runs.
    #[must_use]
    pub fn with_wording(&self, own: Vec<Wording>) -> Self {
        let replaced = |w: &&Wording| !own.iter().any(|o| (o.lang, o.key) == (w.lang, w.key));
        let mut wording: Vec<Wording> = self.wording.iter().filter(replaced).copied().collect();
        wording.extend(own);
        Self { wording: in_order(wording).leak(), ..*self }
    }
    /// The factor by which a figure in `from` becomes one in `to`.
    #[must_use]
    pub fn factor(&self, from: &str, to: &str) -> Option<&'static Factor> {
        self.factors.iter().find(|f| f.from == from && f.to == to)
    }
    /// The least height for a panel of this area; `table` as in a rule: `us-panel-height` or `us-panel-height/raised`.
    #[must_use]
    pub fn height_band(&self, table: &str, area: Area) -> Option<Band> {
        self.height_by(table, Extent::Panel(area))
    }
    /// What decides on the line of a table of heights.
    #[must_use]
    pub fn goes_by(&self, table: &str) -> Option<GoesBy> {
        self.height_column(table).map(|(table, _)| table.by)
    }
    /// The least height for something so large; `None` where the table goes by something else, or does not exist.
    #[must_use]
    pub fn height_by(&self, table: &str, size: Extent) -> Option<Band> {
        let (table, column) = self.height_column(table)?;
        let fits = matches!(
            (table.by, size),
            (GoesBy::Panel, Extent::Panel(_))
                | (GoesBy::Quantity, Extent::Quantity(_))
                | (GoesBy::Capacity, Extent::Capacity(_))
        );
        let row = table.rows.iter().find(|row| fits && row.up_to.is_none_or(|end| end.holds(size) == Some(true)))?;
        let (over, up_to, source, clause, seen) = (row.over, row.up_to, row.source, row.clause, row.seen);
        row.least.get(column).map(|least| Band { least: *least, over, up_to, source, clause, seen })
    }
    /// The least height a rule asks for on a panel of this area, and on which letter it is measured; `None` too where its
    /// table goes by quantity or capacity: for these see [`Self::goes_by`] and [`Self::height_by`].
    #[must_use]
    pub fn least(&self, rule: &Rule, panel: Area) -> Option<(Length, Measure)> {
        match rule.height {
            Height::None => None,
            Height::Least { least, measure } => Some((least, measure)),
            Height::Table { name, measure } => self.height_band(name, panel).map(|band| (band.least, measure)),
        }
    }
    fn height_column(&self, name: &str) -> Option<(&'static HeightTable, usize)> {
        let (name, column) = name.split_once('/').map_or((name, None), |(name, column)| (name, Some(column)));
        let table = self.tables.iter().find(|t| t.name == name)?;
        let at = column.map_or(Some(0), |column| table.columns.iter().position(|c| *c == column))?;
        Some((table, at))
    }
}

/// Reads a whole folder given as pairs of path and text; a path looks like `us/identity.yaml`.
///
/// # Errors
/// All faults found, sorted by file and line.
pub fn read(files: &[(String, String)]) -> Result<Book, Vec<Fault>> {
    let mut faults = Vec::new();
    let (mut rules, mut sources, mut wording, mut tables, mut factors) = (vec![], vec![], vec![], vec![], vec![]);
    for (path, text) in files.iter().filter(|(path, _)| path == "sources.yaml") {
        sources.extend(gather(text::sources(path, text), &mut faults));
    }
    sources.sort_by_key(|s: &Source| s.key);
    if !faults.is_empty() {
        return Err(faults); // else every rule would be blamed for a source that only cannot be read
    }
    // `hazard` reads its own tables and words, `product` the languages of countries.
    let own = |path: &str| path.starts_with("hazard/") || path.starts_with("markets/");
    for (path, text) in files.iter().filter(|(path, _)| !own(path)) {
        let yaml = path.strip_suffix(".yaml");
        if let Some(lang) = yaml.and_then(|p| p.strip_prefix("wording/")) {
            match Lang::from_word(lang) {
                Some(lang) => wording.extend(gather(text::wording(path, lang, text), &mut faults)),
                None => faults.push(whole(path, "the name of a wording file is a language such as `en`")),
            }
        } else if let Some(name) = path.strip_prefix("tables/").and_then(|p| p.strip_suffix(".csv")) {
            if name.ends_with("conversion") {
                factors.extend(gather(table::factors(path, text), &mut faults));
            } else {
                tables.extend(gather(table::heights(path, name, text).map(|t| vec![t]), &mut faults));
            }
        } else if let Some(id) = yaml.filter(|id| id.contains('/')) {
            rules.extend(gather(row::read(id, text, &sources).map(|r| vec![r]), &mut faults));
        } else if !is_read_elsewhere(path) && !matches!(path.as_str(), "sources.yaml" | "TEMPLATE.yaml" | "HOWTO.md") {
            faults.push(whole(path, "is no place for a rule: use a folder such as `us`, `tables` or `wording`"));
        }
    }
    rules.sort_by_key(|r: &Rule| r.id);
    tables.sort_by_key(|t: &HeightTable| t.name);
    let book = Book {
        rules: rules.leak(),
        sources: sources.leak(),
        wording: in_order(wording).leak(),
        tables: tables.leak(),
        factors: factors.leak(),
    };
    // Faults between files would only repeat what a file that cannot be read already tells.
    if faults.is_empty() {
        faults = check::across(&book);
    }
    faults.sort();
    if faults.is_empty() { Ok(book) } else { Err(faults) }
}

/// As [`super::own_wording`], beside the rules of `book`.
///
/// # Errors
/// All faults of the text.
pub fn own_wording(book: &Book, lang: Lang, path: &str, text: &str) -> Result<Vec<Wording>, Vec<Fault>> {
    text::own(book, lang, path, text)
}

/// Sorted by language and key, with the order of English in every language: two files cannot disagree about it.
fn in_order(mut wording: Vec<Wording>) -> Vec<Wording> {
    wording.sort_by_key(|w| (w.lang, w.key));
    let english: std::collections::BTreeMap<_, _> =
        wording.iter().filter(|w| w.lang == Lang::En).map(|w| (w.key, w.order)).collect();
    for row in &mut wording {
        row.order = english.get(row.key).copied().unwrap_or(row.order);
    }
    wording
}

/// Tables of fill control, of recalls and of words on labels: read by the rooms that use them.
fn is_read_elsewhere(path: &str) -> bool {
    path.strip_suffix(".csv").is_some_and(|name| ["fill/", "recall/", "label/"].iter().any(|f| name.starts_with(f)))
}

fn gather<T>(read: Result<Vec<T>, Vec<Fault>>, faults: &mut Vec<Fault>) -> Vec<T> {
    read.unwrap_or_else(|wrong| {
        faults.extend(wrong);
        Vec::new()
    })
}

/// The path as a person sees it.
fn shown(path: &str) -> String {
    format!("rules/{path}")
}

fn whole(path: &str, message: impl Into<String>) -> Fault {
    Fault { file: shown(path), line: 0, column: 0, message: message.into() }
}

fn at<T>(path: &str, place: &serde_yaml::Spanned<T>, message: impl Into<String>) -> Fault {
    let start = place.referenced;
    Fault { file: shown(path), line: start.line(), column: start.column(), message: message.into() }
}

/// One fault from the YAML reader, without its excerpt: the place stands in front anyway.
fn yaml(path: &str, error: &serde_yaml::Error) -> Fault {
    let place = error.location();
    let text = error.without_snippet().to_string();
    let message = text.split(" at line ").next().unwrap_or(&text).lines().next().unwrap_or_default();
    Fault {
        file: shown(path),
        line: place.map_or(0, |p| p.line()),
        column: place.map_or(0, |p| p.column()),
        message: message.to_owned(),
    }
}

/// Makes a text live as long as the program: rows read at run time look like built-in ones.
fn keep(text: String) -> &'static str {
    text.leak()
}
