//! A filled-in CSV form as the same nodes a YAML form gives, each with its place; part of `lot_file`.
//!
//! Three columns, `what,of,value`: `weighed,kelp-and-cedar,115.7 g`, `count,good,24`, `fills,,255.8 g`, `lot,,26329A4`.

use super::csv::{self, Cell};
use super::lot_file::KEYS;
use crate::find::{Finding, Place, Source};
use crate::yaml::{Key, Node, Value};
use std::sync::Arc;

const COLUMNS: [&str; 3] = ["what", "of", "value"];

/// How the rows of a word come together.
enum Shape {
    /// One value.
    One,
    /// A value each for names or words in the second column; the second is whether a name may come again.
    Named(bool),
    /// Values in order.
    Many,
}

fn shape(what: &str) -> Shape {
    match what {
        "weighed" | "measured" | "left" | "bottle before" | "bottle after" => Shape::Named(true),
        "count" | "labels" | "retained" => Shape::Named(false),
        "fills" | "notes" | "deviations" => Shape::Many,
        _ => Shape::One,
    }
}

/// The form.
///
/// # Errors
/// Every row that cannot be one of a form.
pub fn node(source: &Arc<Source>) -> Result<Node, Vec<Finding>> {
    let rows = csv::rows(source).map_err(|f| vec![f])?;
    let whole = Place { source: source.clone(), range: 0..source.text.len() };
    let mut rows = rows.iter();
    let titles: Vec<String> =
        rows.next().into_iter().flatten().map(|c| c.text.trim().to_lowercase()).filter(|t| !t.is_empty()).collect();
    if titles != COLUMNS {
        let message = format!("the first line is `{}`, and not `what,of,value`", titles.join(","));
        let cure = format!("write `what,of,value` on top; `what` is one of `{}`", KEYS.join("`, `"));
        let begin = Place { source: source.clone(), range: 0..source.text.len().min(1) };
        return Err(vec![Finding::input("lot/form-columns", message, cure).at(&begin, "here")]);
    }
    let (mut entries, mut findings) = (Vec::new(), Vec::new());
    for row in rows.filter(|row| !row[0].text.starts_with('#')) {
        if let Err(finding) = add(&mut entries, row) {
            findings.push(finding);
        }
    }
    if findings.is_empty() { Ok(Node { value: Value::Map(entries), place: whole }) } else { Err(findings) }
}

fn scalar(cell: &Cell) -> Node {
    let text = csv::unmarked(cell.text.trim());
    let value = if text.is_empty() { Value::Empty } else { Value::Text(text.to_owned()) };
    Node { value, place: cell.place.clone() }
}

fn add(entries: &mut Vec<(Key, Node)>, row: &[Cell]) -> Result<(), Finding> {
    let odd = |cell: &Cell, message: String, cure: &str| {
        Err(Finding::input("lot/form-row", message, cure).at(&cell.place, "here"))
    };
    if let Some(more) = row.iter().skip(COLUMNS.len()).find(|c| !c.is_blank()) {
        return odd(
            more,
            "a row has three cells, and here is another".to_owned(),
            "put text with a comma into \"quotes\"",
        );
    }
    let (what, of, value) = match row {
        [what, of, value, ..] => (what, of, value),
        short => {
            let last = &short[short.len() - 1];
            return odd(last, "a row has three cells, and here are fewer".to_owned(), "write `what,of,value`");
        }
    };
    let word = what.text.trim().to_lowercase();
    if value.is_blank() {
        return odd(value, format!("nothing is written for `{word}`"), "write the value, or take the row out");
    }
    let key = Key { word: word.clone(), place: what.place.clone() };
    let there = entries.iter().position(|(k, _)| k.word == word);
    let shape = shape(&word);
    if let Shape::Named(_) = shape
        && of.is_blank()
    {
        return odd(of, format!("`{word}` does not say of what"), "write it into the second cell");
    }
    if let Shape::One = shape {
        if !of.is_blank() {
            return odd(of, format!("`{word}` is of nothing"), "leave the second cell empty");
        }
        if there.is_some() {
            return odd(what, format!("`{word}` stands twice"), "keep one of the two");
        }
        entries.push((key, scalar(value)));
        return Ok(());
    }
    let index = there.unwrap_or_else(|| {
        let value = if matches!(shape, Shape::Many) { Value::List(Vec::new()) } else { Value::Map(Vec::new()) };
        entries.push((key, Node { value, place: what.place.clone() }));
        entries.len() - 1
    });
    let (_, node) = &mut entries[index];
    match &mut node.value {
        Value::List(items) => items.push(scalar(value)),
        Value::Map(inner) => {
            let name = csv::unmarked(of.text.trim()).to_owned();
            if matches!(shape, Shape::Named(false)) && inner.iter().any(|(k, _)| k.word == name) {
                return odd(of, format!("`{word}` of `{name}` stands twice"), "keep one of the two");
            }
            inner.push((Key { word: name, place: of.place.clone() }, scalar(value)));
        }
        Value::Empty | Value::Text(_) => {}
    }
    Ok(())
}
