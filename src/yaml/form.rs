//! Reading a map with known keys: every fault goes to the report, so that one run shows as many as possible.

use super::{Key, Node, Value};
use crate::find::{Finding, Place, Report, nearest};
use crate::unit::{Quantity, Wrong};

/// A value read, with its place for later findings.
#[derive(Debug, Clone)]
pub struct At<T> {
    /// What was read.
    pub value: T,
    /// Where it stands.
    pub place: Place,
}

/// A closed list of words, such as [`crate::trade::Kind`].
pub trait Words: Sized + Copy + 'static {
    /// All of them with their spelling.
    fn words() -> Vec<(&'static str, Self)>;
}

macro_rules! closed_list {
    ($($name:ty),+) => { $(impl Words for $name {
        fn words() -> Vec<(&'static str, Self)> { Self::ALL.iter().map(|v| (v.word(), *v)).collect() }
    })+ };
}
closed_list!(crate::trade::Kind, crate::trade::Market, crate::trade::Lang, crate::trade::BlockName);

/// A map whose keys are known.
#[derive(Debug, Clone, Copy)]
pub struct Form<'a> {
    what: &'static str,
    entries: &'a [(Key, Node)],
    place: &'a Place,
    report: &'a Report,
}

impl<'a> Form<'a> {
    /// Opens `node` as a map of `what` (`a wick`), telling every key that is not among `keys`.
    ///
    /// `None` when the node is no map; that is told too.
    pub fn open(node: &'a Node, what: &'static str, keys: &[&'static str], report: &'a Report) -> Option<Self> {
        let Value::Map(entries) = &node.value else {
            report.add(
                Finding::input(
                    "file/wrong-shape",
                    format!("{what} is written as keys and values, and here stands {}", shape(&node.value)),
                    format!("write the keys one to a line, for example `{}: …`", keys.first().unwrap_or(&"key")),
                )
                .at(&node.place, "here"),
            );
            return None;
        };
        for (key, _) in entries {
            if keys.contains(&key.word.as_str()) {
                continue;
            }
            let near = nearest(&key.word, keys);
            let cure = near.map_or_else(
                || format!("{what} knows these keys: {}", list(keys)),
                |near| format!("did you mean `{near}`? {what} knows these keys: {}", list(keys)),
            );
            report.add(
                Finding::input("file/unknown-key", format!("{what} has no key `{}`", key.word), cure)
                    .at(&key.place, near.map_or_else(|| "not known".to_owned(), |n| format!("did you mean `{n}`?"))),
            );
        }
        Some(Self { what, entries, place: &node.place, report })
    }

    /// The value under `key`, if the key is there with something to see after it.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&'a Node> {
        self.entries.iter().find(|(k, _)| k.word == key).map(|(_, n)| n).filter(|n| match &n.value {
            Value::Empty => false,
            Value::Text(text) => !blank(text),
            Value::List(_) | Value::Map(_) => true,
        })
    }

    /// The value under `key`; its absence is told with `example`.
    #[must_use]
    pub fn need(&self, key: &str, example: &str) -> Option<&'a Node> {
        let found = self.get(key);
        if found.is_none() {
            let place = self
                .entries
                .iter()
                .find(|(k, _)| k.word == key)
                .map_or_else(|| self.first_key(), |(k, _)| k.place.clone());
            self.report.add(
                Finding::input(
                    "file/missing-key",
                    format!("{} needs `{key}`", self.what),
                    format!("add `{key}: {example}`"),
                )
                .at(&place, format!("`{key}` is missing here")),
            );
        }
        found
    }

    fn first_key(&self) -> Place {
        self.entries.first().map_or_else(|| self.place.clone(), |(k, _)| k.place.clone())
    }

    /// Where the map stands: its first key.
    #[must_use]
    pub fn place(&self) -> Place {
        self.first_key()
    }

    /// All entries, for maps whose keys are free.
    #[must_use]
    pub const fn entries(&self) -> &'a [(Key, Node)] {
        self.entries
    }

    /// The quantity under `key`, if there.
    #[must_use]
    pub fn quantity<Q: Quantity>(&self, key: &str) -> Option<At<Q>> {
        self.get(key)?.quantity(self.report)
    }
    /// The quantity under `key`; its absence is told.
    #[must_use]
    pub fn need_quantity<Q: Quantity>(&self, key: &str) -> Option<At<Q>> {
        self.need(key, Q::EXAMPLE)?.quantity(self.report)
    }
    /// The text under `key`, if there.
    #[must_use]
    pub fn text(&self, key: &str) -> Option<At<String>> {
        self.get(key)?.text(self.report)
    }
    /// The text under `key`; its absence is told.
    #[must_use]
    pub fn need_text(&self, key: &str, example: &str) -> Option<At<String>> {
        self.need(key, example)?.text(self.report)
    }
    /// The word of a closed list under `key`, if there.
    #[must_use]
    pub fn word<W: Words>(&self, key: &str) -> Option<At<W>> {
        self.get(key)?.word(self.report)
    }
    /// `yes` or `no` under `key`, if there.
    #[must_use]
    pub fn yes_no(&self, key: &str) -> Option<bool> {
        let text = self.text(key)?;
        match text.value.as_str() {
            "yes" | "true" => Some(true),
            "no" | "false" => Some(false),
            other => {
                self.report.add(
                    Finding::input(
                        "file/wrong-word",
                        format!("`{other}` is neither `yes` nor `no`"),
                        "write `yes` or `no`",
                    )
                    .at(&text.place, "here"),
                );
                None
            }
        }
    }
    /// A whole number from 1 to `most` under `key`, if there.
    #[must_use]
    pub fn count(&self, key: &str, most: u32) -> Option<At<u32>> {
        let text = self.text(key)?;
        match text.value.parse::<u32>() {
            Ok(n) if (1..=most).contains(&n) && text.value.bytes().all(|b| b.is_ascii_digit()) => {
                Some(At { value: n, place: text.place })
            }
            _ => {
                self.report.add(
                    Finding::input(
                        "file/wrong-number",
                        format!("`{}` is not a count", text.value),
                        format!("write a whole number from 1 to {most}"),
                    )
                    .at(&text.place, "here"),
                );
                None
            }
        }
    }
    /// The items under `key`; a single value counts as a list of one; nothing when absent.
    #[must_use]
    pub fn list(&self, key: &str) -> &'a [Node] {
        match self.get(key) {
            None => &[],
            Some(node) => match &node.value {
                Value::List(items) => items,
                _ => std::slice::from_ref(node),
            },
        }
    }
}

impl Node {
    /// Reads the node as a quantity with its unit.
    #[must_use]
    pub fn quantity<Q: Quantity>(&self, report: &Report) -> Option<At<Q>> {
        let text = self.text(report)?;
        match Q::parse(&text.value) {
            Ok(value) => Some(At { value, place: text.place }),
            Err(wrong) => {
                report.add(wrong_value("file/wrong-quantity", &wrong).at(&text.place, "here"));
                None
            }
        }
    }

    /// Reads the node as one line of text.
    #[must_use]
    pub fn text(&self, report: &Report) -> Option<At<String>> {
        let fault = |message: String, cure: &str| {
            report.add(Finding::input("file/wrong-shape", message, cure).at(&self.place, "here"));
            None
        };
        match &self.value {
            Value::Text(text) if text.chars().any(char::is_control) => {
                fault("the text has a line break or a control character".to_owned(), "write it on one line")
            }
            Value::Text(text) if text.chars().count() > 500 => {
                fault("the text is longer than 500 characters".to_owned(), "shorten it")
            }
            Value::Text(text) if blank(text) => {
                fault("the text is empty".to_owned(), "write something, or take the line out")
            }
            Value::Text(text) => Some(At { value: text.trim().to_owned(), place: self.place.clone() }),
            other => {
                fault(format!("a text or a figure belongs here, and here stands {}", shape(other)), "write one value")
            }
        }
    }

    /// Reads the node as a word of a closed list.
    #[must_use]
    pub fn word<W: Words>(&self, report: &Report) -> Option<At<W>> {
        let text = self.text(report)?;
        let known = W::words();
        if let Some((_, value)) = known.iter().find(|(w, _)| *w == text.value) {
            return Some(At { value: *value, place: text.place });
        }
        let words: Vec<&str> = known.iter().map(|(w, _)| *w).collect();
        let near = nearest(&text.value, &words).map_or_else(String::new, |n| format!("did you mean `{n}`? "));
        report.add(
            Finding::input(
                "file/wrong-word",
                format!("`{}` is not known here", text.value),
                format!("{near}use one of {}", list(&words)),
            )
            .at(&text.place, "here"),
        );
        None
    }
}

/// The finding for a value that does not parse.
#[must_use]
pub(super) fn wrong_value(id: &str, wrong: &Wrong) -> Finding {
    Finding::input(id, wrong.message.clone(), wrong.cure.clone())
}

/// Nothing a reader would see: blanks, and characters without width.
fn blank(text: &str) -> bool {
    text.chars().all(|c| c.is_whitespace() || crate::find::is_unseen(c))
}

fn shape(value: &Value) -> &'static str {
    match value {
        Value::Empty => "nothing",
        Value::Text(_) => "a single value",
        Value::List(_) => "a list",
        Value::Map(_) => "keys and values",
    }
}

fn list(words: &[&str]) -> String {
    words.iter().map(|w| format!("`{w}`")).collect::<Vec<_>>().join(", ")
}
