//! A maker's YAML text to nodes with places; before `product` and `plan`.
//!
//! Every value stays the text that was written (`8.50`, `007`, `NO`), so that quantities are read exactly and a finding can
//! point at the very characters. Size, depth, number of nodes and aliases are limited before anything is built.

mod form;

pub use form::{At, Form, Words};

use crate::find::{Finding, Place, Source};
use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_yaml::Spanned;
use std::fmt;
use std::ops::Range;
use std::sync::Arc;

/// The largest file that is read, in bytes. A product file has a few thousand.
pub const MOST_BYTES: usize = 1 << 20;
const MOST_NODES: usize = 20_000;
const MOST_DEPTH: usize = 40;
const MOST_ALIASES: usize = 200;

/// A value and where it stands.
#[derive(Debug, Clone)]
pub struct Node {
    /// What was written.
    pub value: Value,
    /// Where.
    pub place: Place,
}

/// What a node holds.
#[derive(Debug, Clone)]
pub enum Value {
    /// Nothing after the colon.
    Empty,
    /// A scalar, as written.
    Text(String),
    /// A list.
    List(Vec<Node>),
    /// Keys and values, in order.
    Map(Vec<(Key, Node)>),
}

/// A key and where it stands.
#[derive(Debug, Clone)]
pub struct Key {
    /// As written.
    pub word: String,
    /// Where.
    pub place: Place,
}

/// Reads one YAML document.
///
/// # Errors
/// One [`Finding`] (`file/too-large`, `file/not-yaml`) with the place the reader stopped at.
///
/// ```
/// use std::sync::Arc;
/// use waxbill::{find::Source, yaml};
/// let source = Arc::new(Source { name: "a.yaml".into(), text: "fill: 8.50 oz\n".into() });
/// let yaml::Value::Map(entries) = yaml::read(&source).unwrap().value else { unreachable!() };
/// assert!(matches!(&entries[0].1.value, yaml::Value::Text(t) if t == "8.50 oz"));
/// ```
pub fn read(source: &Arc<Source>) -> Result<Node, Finding> {
    if source.text.len() > MOST_BYTES {
        return Err(too_large(&source.name, source.text.len() as u64));
    }
    let options = serde_yaml::options! {
        budget: serde_yaml::budget! { max_nodes: MOST_NODES, max_depth: MOST_DEPTH, max_aliases: MOST_ALIASES, flow_nesting_limit: MOST_DEPTH },
        merge_keys: serde_yaml::MergeKeyPolicy::Error,
        strict_booleans: true,
    };
    match serde_yaml::from_str_with_options::<Raw>(&source.text, options) {
        Ok(raw) => Ok(raw.placed(source, &(0..source.text.len()))),
        Err(error) => Err(not_yaml(source, &error)),
    }
}

/// Reads a whole document without places, for what this program wrote itself: as long as it comes, and no aliases.
///
/// # Errors
/// One [`Finding`] with the place the reader stopped at.
pub fn whole(source: &Arc<Source>) -> Result<serde_json::Value, Finding> {
    const NO_END: usize = usize::MAX / 4;
    let options = serde_yaml::options! {
        budget: serde_yaml::budget! { max_nodes: NO_END, max_events: NO_END, max_total_scalar_bytes: NO_END,
            max_reader_input_bytes: None, max_depth: MOST_DEPTH, max_aliases: 0, max_anchors: 0 },
        merge_keys: serde_yaml::MergeKeyPolicy::Error,
        strict_booleans: true,
    };
    serde_yaml::from_str_with_options(&source.text, options).map_err(|error| not_yaml(source, &error))
}

/// The finding for a file over the limit.
#[must_use]
pub fn too_large(name: &str, bytes: u64) -> Finding {
    Finding::input(
        "file/too-large",
        format!("`{name}` has {bytes} bytes, and a file of this kind has at most {MOST_BYTES}"),
        "check that this is the file you meant; a product file has a few thousand bytes",
    )
}

fn not_yaml(source: &Arc<Source>, error: &serde_yaml::Error) -> Finding {
    let error = error.without_snippet();
    let told = error.to_string();
    let line = told.lines().next().unwrap_or("").trim();
    // The place is shown in the excerpt; the reader's own count of it would only repeat it.
    let first = line.split_once(" at line ").map_or(line, |(before, _)| before);
    let location = error.location();
    let start = location.map_or(0, |l| {
        let line = usize::try_from(l.line()).unwrap_or(1).max(1);
        let column = usize::try_from(l.column()).unwrap_or(1).max(1);
        let line_start: usize = source.text.split_inclusive('\n').take(line - 1).map(str::len).sum();
        let rest = source.text.get(line_start..).unwrap_or("");
        line_start + rest.char_indices().nth(column - 1).map_or(rest.trim_end().len(), |(i, _)| i)
    });
    let place = Place { source: source.clone(), range: start..start + 1 };
    let lower = first.to_lowercase();
    let (message, cure) = if lower.contains("duplicate") {
        ("this key stands twice; it is not clear which one counts".to_owned(), "keep one of the two")
    } else if lower.contains("documents") {
        ("a second document begins here after `---`".to_owned(), "keep one product, material or vessel in a file")
    } else if lower.contains("unknown anchor") || lower.contains("unknown alias") {
        (
            "this alias (`*`) names an anchor (`&`) that is nowhere above it".to_owned(),
            "write the value out, or put text that begins with `*` into \"quotes\"",
        )
    } else if lower.contains("recursive reference") {
        (
            "this alias (`*`) stands inside the value it stands for".to_owned(),
            "write the value out, without anchors (`&`, `*`)",
        )
    } else if lower.contains("null into string") {
        (
            "here a key is missing before the colon".to_owned(),
            "write the key, or put it into \"quotes\" if it is `~` or `null`",
        )
    } else if lower.contains("nodes") || lower.contains("alias") {
        (
            format!("the file holds more values than a file of this kind needs: the most is {MOST_NODES}"),
            "check that this is the file you meant; write values out plainly, without anchors (`&`, `*`)",
        )
    } else if lower.contains("budget") || lower.contains("limit") || lower.contains("depth") || lower.contains("nest") {
        (
            format!(
                "lists or keys stand inside each other deeper than a file of this kind needs: the most is {MOST_DEPTH}"
            ),
            "check the brackets and the indent",
        )
    } else if lower.contains("merge") {
        ("merge keys (`<<`) are not read here".to_owned(), "write the values out")
    } else if lower.contains("tab") {
        (format!("the line cannot be read: {first}"), "indent with spaces, not tabs")
    } else {
        (
            format!("the line cannot be read: {first}"),
            "check the line and the one before: each bracket closed, the indent, a blank after the colon; put text with `: ` or ` #` into \"quotes\"",
        )
    };
    Finding::input("file/not-yaml", message, cure).at(&place, "here")
}

/// A node before its file is known.
struct Raw {
    value: RawValue,
    range: Option<Range<usize>>,
}

enum RawValue {
    Empty,
    Text(String),
    /// A scalar whose spelling is lost on the way (a number, true, false): taken from the file again.
    Plain(String),
    List(Vec<Raw>),
    Map(Vec<(String, Option<Range<usize>>, Raw)>),
}

impl Raw {
    fn placed(self, source: &Arc<Source>, within: &Range<usize>) -> Node {
        let range = self.range.filter(|r| source.text.get(r.clone()).is_some()).unwrap_or_else(|| within.clone());
        let value = match self.value {
            RawValue::Empty => Value::Empty,
            RawValue::Text(text) => Value::Text(text),
            RawValue::Plain(shown) => {
                let written =
                    source.text.get(range.clone()).map(str::trim).filter(|t| !t.is_empty() && !t.contains('\n'));
                Value::Text(written.map_or(shown, str::to_owned))
            }
            RawValue::List(items) => Value::List(items.into_iter().map(|i| i.placed(source, &range)).collect()),
            RawValue::Map(entries) => Value::Map(
                entries
                    .into_iter()
                    .map(|(word, at, node)| {
                        let at = at.filter(|r| source.text.get(r.clone()).is_some()).unwrap_or_else(|| range.clone());
                        let node = node.placed(source, &at);
                        (Key { word, place: Place { source: source.clone(), range: at } }, node)
                    })
                    .collect(),
            ),
        };
        Node { value, place: Place { source: source.clone(), range } }
    }
}

fn bytes(location: serde_yaml::Location) -> Option<Range<usize>> {
    let span = location.span();
    let start = usize::try_from(span.byte_offset()?).ok()?;
    let len = usize::try_from(span.byte_len()?).ok()?;
    Some(start..start + len)
}

impl<'de> Deserialize<'de> for Raw {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let spanned = Spanned::<RawValue>::deserialize(d)?;
        Ok(Self { range: bytes(spanned.referenced), value: spanned.value })
    }
}

impl<'de> Deserialize<'de> for RawValue {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        d.deserialize_any(Any)
    }
}

struct Any;

impl<'de> Visitor<'de> for Any {
    type Value = RawValue;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value")
    }
    fn visit_str<E>(self, v: &str) -> Result<RawValue, E> {
        Ok(RawValue::Text(v.to_owned()))
    }
    fn visit_bool<E>(self, v: bool) -> Result<RawValue, E> {
        Ok(RawValue::Plain(v.to_string()))
    }
    fn visit_i64<E>(self, v: i64) -> Result<RawValue, E> {
        Ok(RawValue::Plain(v.to_string()))
    }
    fn visit_u64<E>(self, v: u64) -> Result<RawValue, E> {
        Ok(RawValue::Plain(v.to_string()))
    }
    fn visit_i128<E>(self, v: i128) -> Result<RawValue, E> {
        Ok(RawValue::Plain(v.to_string()))
    }
    fn visit_u128<E>(self, v: u128) -> Result<RawValue, E> {
        Ok(RawValue::Plain(v.to_string()))
    }
    fn visit_f64<E>(self, v: f64) -> Result<RawValue, E> {
        Ok(RawValue::Plain(v.to_string()))
    }
    fn visit_unit<E>(self) -> Result<RawValue, E> {
        Ok(RawValue::Empty)
    }
    fn visit_none<E>(self) -> Result<RawValue, E> {
        Ok(RawValue::Empty)
    }
    fn visit_some<D: Deserializer<'de>>(self, d: D) -> Result<RawValue, D::Error> {
        d.deserialize_any(Self)
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<RawValue, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = seq.next_element::<Raw>()? {
            items.push(item);
        }
        Ok(RawValue::List(items))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<RawValue, A::Error> {
        let mut entries = Vec::new();
        while let Some(key) = map.next_key::<Spanned<String>>()? {
            entries.push((key.value, bytes(key.referenced), map.next_value::<Raw>()?));
        }
        Ok(RawValue::Map(entries))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn node(text: &str) -> Result<Node, Finding> {
        read(&Arc::new(Source { name: "t.yaml".into(), text: text.into() }))
    }

    fn texts(node: &Node) -> Vec<String> {
        match &node.value {
            Value::Empty => vec!["-".into()],
            Value::Text(t) => vec![t.clone()],
            Value::List(items) => items.iter().flat_map(texts).collect(),
            Value::Map(entries) => entries.iter().flat_map(|(_, n)| texts(n)).collect(),
        }
    }

    #[test]
    fn scalars_stay_as_written() {
        let read =
            node("a: [8.50, 007, NO, yes, 12_000, 0x1F, 1e3, \"9 %\", true, ~, 12:30, 2026-03-02]\nb:\n").unwrap();
        assert_eq!(
            texts(&read),
            ["8.50", "007", "NO", "yes", "12_000", "0x1F", "1e3", "9 %", "true", "-", "12:30", "2026-03-02", "-"]
        );
    }

    #[test]
    fn places_point_at_the_value() {
        let read = node("é: 1\nwick: {trim: 4 mm}\n").unwrap();
        let Value::Map(entries) = &read.value else { panic!() };
        let Value::Map(wick) = &entries[1].1.value else { panic!() };
        assert_eq!(wick[0].1.place.line_column(), (2, 14));
        assert_eq!(&read.place.source.text[wick[0].1.place.range.clone()], "4 mm");
        assert_eq!(&read.place.source.text[wick[0].0.place.range.clone()], "trim");
    }

    #[test]
    fn hostile_files_get_one_clear_finding() {
        let bomb = "a: &a [x,x,x,x,x,x,x,x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a]\nc: &c [*b,*b,*b,*b,*b,*b,*b,*b]\nd: &d [*c,*c,*c,*c,*c,*c,*c,*c]\ne: [*d,*d,*d,*d,*d,*d,*d,*d]\n";
        let deep = "[".repeat(100_000);
        let deep_map = "{a: ".repeat(100_000);
        let block = (0..200).fold(String::new(), |all, n| all + &" ".repeat(n) + "a:\n");
        for text in [
            bomb,
            &deep,
            &deep_map,
            &block,
            "a: 1\na: 2\n",
            "a: [1, 2",
            "a: b: c\n",
            "a:\n\tb: 1\n",
            "a: *nowhere\n",
            "<<: {a: 1}\n",
        ] {
            let finding = node(text).expect_err(&text[..text.len().min(40)]);
            assert!(finding.id.starts_with("file/") && !finding.cure.is_empty());
        }
        assert!(node(&"a: b\n".repeat(MOST_BYTES)).unwrap_err().id == "file/too-large");
    }
}
