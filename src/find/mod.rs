//! Findings: what is wrong, where in the maker's file or on the page, and the cure. Used by every later room.

mod show;

pub use crate::trade::{Evidence, Severity};
pub use show::{json, plain};

use serde::Serialize;
use std::cell::{Cell, RefCell};
use std::ops::Range;
use std::sync::Arc;

/// A text file of the maker's, as read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// The name to show: a path as the user typed or would type it.
    pub name: String,
    /// The whole text.
    pub text: String,
}

/// A stretch of a [`Source`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The file.
    pub source: Arc<Source>,
    /// Bytes of its text.
    pub range: Range<usize>,
}

impl Place {
    /// Line and column (in characters) of the start, both from 1.
    #[must_use]
    pub fn line_column(&self) -> (usize, usize) {
        let before = self.source.text.get(..self.range.start).unwrap_or("");
        let line_start = before.rfind('\n').map_or(0, |n| n + 1);
        (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
    }
}

/// What a finding does to the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// Stops it: no label, no lot.
    Error,
    /// Shown, and counts as a finding; the work goes on.
    Warning,
    /// Told for information; counts as nothing.
    Note,
}

/// One thing found.
#[derive(Debug, Clone)]
pub struct Finding {
    /// Rule id (`us/net-quantity`) or, for what is no rule, a word such as `file/unknown-key`.
    pub id: String,
    /// What it does to the work.
    pub level: Level,
    /// How strongly the rule behind it binds.
    pub severity: Severity,
    /// How the rule is known; `None` for faults of the file itself.
    pub seen: Option<Evidence>,
    /// What is wrong: lower case, no full stop, values in backticks.
    pub message: String,
    /// What would be right, where that can be said shortly.
    pub expected: Option<String>,
    /// What was found instead.
    pub found: Option<String>,
    /// Where in the maker's files, with a label each; the first is the main one.
    pub places: Vec<(Place, String)>,
    /// Where on paper.
    pub on_page: Option<OnPage>,
    /// How to mend it; empty only for notes.
    pub cure: String,
    /// What it is about, where a later check decides by that; shown nowhere.
    pub aspect: Option<Aspect>,
}

/// What a finding about a label is about, for checks that would tell the same again or tell it better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aspect {
    /// Letters narrower than their font has them.
    Squeezed,
    /// Something lies over or under letters.
    Overlap,
    /// Something is cut off at the edge of the label, or runs over it.
    Edge,
    /// Not all the signs are there.
    FewSigns,
}

/// A place on a printed part, in millimetres from its top left corner.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OnPage {
    /// Page of the PDF, from 1.
    pub page: usize,
    /// The part's name, where known.
    pub part: Option<String>,
    /// From the left; absent for what is missing.
    pub x_mm: Option<f64>,
    /// From the top.
    pub y_mm: Option<f64>,
}

impl Finding {
    /// A fault of a file: severity `input`, level error.
    pub fn input(id: impl Into<String>, message: impl Into<String>, cure: impl Into<String>) -> Self {
        Self::of(id, Level::Error, Severity::Input, None, message, cure)
    }

    /// A finding under a rule.
    pub fn of(
        id: impl Into<String>,
        level: Level,
        severity: Severity,
        seen: Option<Evidence>,
        message: impl Into<String>,
        cure: impl Into<String>,
    ) -> Self {
        Self {
            id: id.into(),
            level,
            severity,
            seen,
            message: message.into(),
            expected: None,
            found: None,
            places: Vec::new(),
            on_page: None,
            cure: cure.into(),
            aspect: None,
        }
    }

    /// Adds what it is about.
    #[must_use]
    pub const fn about(mut self, aspect: Aspect) -> Self {
        self.aspect = Some(aspect);
        self
    }

    /// Adds a place in a file.
    #[must_use]
    pub fn at(mut self, place: &Place, label: impl Into<String>) -> Self {
        self.places.push((place.clone(), label.into()));
        self
    }

    /// Adds what was expected and what was found.
    #[must_use]
    pub fn instead(mut self, expected: impl Into<String>, found: impl Into<String>) -> Self {
        self.expected = Some(expected.into());
        self.found = Some(found.into());
        self
    }

    /// Adds a place on paper.
    #[must_use]
    pub fn on(mut self, mut on_page: OnPage) -> Self {
        // Rounding makes a zero below zero, which nobody measures; with a zero added it is a plain one.
        let plain = |mm: f64| mm + 0.0;
        (on_page.x_mm, on_page.y_mm) = (on_page.x_mm.map(plain), on_page.y_mm.map(plain));
        self.on_page = Some(on_page);
        self
    }
}

/// Collects findings while a file is read, so that one run shows as many as possible.
///
/// It keeps the first hundred: nobody mends more at once, and a hostile file could cause thousands.
#[derive(Debug, Default)]
pub struct Report {
    kept: RefCell<Vec<Finding>>,
    left_out: Cell<usize>,
}

const MOST_FINDINGS: usize = 100;

impl Report {
    /// Nothing found yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }
    /// Adds one.
    pub fn add(&self, finding: Finding) {
        let mut kept = self.kept.borrow_mut();
        if kept.len() < MOST_FINDINGS {
            kept.push(finding);
        } else {
            self.left_out.set(self.left_out.get() + 1);
        }
    }
    /// Whether something stops the work.
    #[must_use]
    pub fn stops(&self) -> bool {
        self.left_out.get() > 0 || stops(&self.kept.borrow())
    }
    /// All of them, file by file from top to bottom; the last one tells how many more there were.
    #[must_use]
    pub fn into_findings(self) -> Vec<Finding> {
        let mut findings = self.kept.into_inner();
        let mut files: Vec<Arc<Source>> = Vec::new();
        for (place, _) in findings.iter().filter_map(|f| f.places.first()) {
            if !files.contains(&place.source) {
                files.push(place.source.clone());
            }
        }
        let stands = |f: &Finding| {
            let place = f.places.first().map(|(p, _)| p);
            place.map(|p| (files.iter().position(|s| *s == p.source), p.range.start))
        };
        findings.sort_by_cached_key(stands);
        if self.left_out.get() > 0 {
            let message = format!("there are {} more faults", self.left_out.get());
            findings.push(Finding::input("file/more-faults", message, "mend those told first, then look again"));
        }
        findings
    }
}

/// Control and format characters: they show nothing, or change how what follows is shown (direction, width, joining).
///
/// ```
/// assert!(waxbill::find::is_unseen('\u{202E}') && waxbill::find::is_unseen('\u{7}') && !waxbill::find::is_unseen('é'));
/// ```
#[must_use]
pub fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{AD}' | '\u{61C}' | '\u{180E}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}' | '\u{FFF9}'..='\u{FFFB}' | '\u{E0000}'..='\u{E007F}')
}

/// Whether one of the findings stops the work.
#[must_use]
pub fn stops(findings: &[Finding]) -> bool {
    findings.iter().any(|f| f.level == Level::Error)
}

/// The spelling among `known` nearest to `word`, if any is near enough to be meant.
///
/// ```
/// assert_eq!(waxbill::find::nearest("vesel", &["vessel", "wick"]), Some("vessel"));
/// assert_eq!(waxbill::find::nearest("zzz", &["vessel", "wick"]), None);
/// ```
#[must_use]
pub fn nearest<'a>(word: &str, known: &[&'a str]) -> Option<&'a str> {
    if word.len() > 100 {
        return None;
    }
    let word = word.to_lowercase();
    known
        .iter()
        .map(|k| (distance(&word, &k.to_lowercase()), *k))
        .min_by_key(|(d, _)| *d)
        .filter(|(d, k)| *d <= (k.chars().count().max(3)) / 3)
        .map(|(_, k)| k)
}

/// Edits (insert, delete, replace, swap of neighbours) between two words: optimal string alignment.
fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut rows: Vec<Vec<usize>> = vec![(0..=b.len()).collect()];
    for i in 1..=a.len() {
        let mut row = vec![i];
        for j in 1..=b.len() {
            let mut d =
                (rows[i - 1][j] + 1).min(row[j - 1] + 1).min(rows[i - 1][j - 1] + usize::from(a[i - 1] != b[j - 1]));
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                d = d.min(rows[i - 2][j - 2] + 1);
            }
            row.push(d);
        }
        rows.push(row);
    }
    rows[a.len()][b.len()]
}
