//! The ledger's exported lines as YAML or CSV, and back to the very same lines; part of `ledger`.

use super::csv;
use super::record_args::Written;
use crate::find::{Finding, Source};
use crate::yaml;
use serde_json::{Map, Value};
use std::sync::Arc;

/// Names of the lists in YAML and of the kinds of line in CSV, in the order of an export.
const LISTS: [(&str, &str); 3] = [("papers", "paper"), ("buyers", "buyer"), ("entries", "entry")];
const HEAD: &str = "waxbill-ledger";

/// Every column of the table; `line` says which of the others count.
const COLUMNS: [&str; 15] = [
    "line",
    "seq",
    "at",
    "local_offset",
    "kind",
    "lot",
    "payload",
    "previous",
    "hash",
    "id",
    "name",
    "contact",
    "salt",
    "what",
    "hex",
];

/// The columns that hold numbers.
const NUMBERS: [&str; 2] = ["seq", "id"];

/// The lines in another form.
pub fn written(lines: &str, form: Written) -> String {
    match form {
        Written::Jsonl => lines.to_owned(),
        Written::Yaml => as_yaml(lines),
        Written::Csv => as_csv(lines),
    }
}

/// The lines again.
///
/// # Errors
/// What cannot be read, with its place.
pub fn read(source: &Arc<Source>, form: Written) -> Result<String, Finding> {
    match form {
        Written::Jsonl => Ok(source.text.clone()),
        Written::Yaml => from_yaml(source),
        Written::Csv => from_csv(source),
    }
}

/// Each line as its kind and its fields.
fn things(lines: &str) -> impl Iterator<Item = (String, Value)> {
    let objects = lines.lines().filter_map(|line| serde_json::from_str::<Map<String, Value>>(line).ok());
    objects.filter_map(|object| object.into_iter().next())
}

/// JSON text is YAML in double quotes, but for some signs that YAML does not show.
fn quoted(value: &Value) -> String {
    let mut out = String::new();
    for c in value.to_string().chars() {
        match c {
            '\u{7f}'..='\u{9f}' | '\u{2028}' | '\u{2029}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}' => {
                out.push_str(&format!("\\u{:04x}", u32::from(c)));
            }
            c => out.push(c),
        }
    }
    out
}

fn as_yaml(lines: &str) -> String {
    let mut out = String::new();
    for (kind, value) in things(lines).filter(|(kind, _)| kind == HEAD) {
        out += &format!("{kind}: {value}\n");
    }
    for (list, of) in LISTS {
        let mut all = things(lines).filter(|(kind, _)| kind == of).peekable();
        if all.peek().is_some() {
            out += &format!("{list}:\n");
        }
        for (_, fields) in all {
            let mut begin = "- ";
            for (key, value) in fields.as_object().into_iter().flatten() {
                out += &format!("{begin}{key}: {}\n", quoted(value));
                begin = "  ";
            }
        }
    }
    out
}

fn from_yaml(source: &Arc<Source>) -> Result<String, Finding> {
    let odd = |why: &str| Finding::input("lot/no-export", format!("`{}` is no export: {why}", source.name), CURE);
    let whole = yaml::whole(source)?;
    let Value::Object(mut whole) = whole else { return Err(odd("it has no keys")) };
    let head = whole.remove(HEAD).ok_or_else(|| odd("`waxbill-ledger` is missing"))?;
    let mut out = line(HEAD, head);
    for (list, of) in LISTS {
        match whole.remove(list) {
            None | Some(Value::Null) => {}
            Some(Value::Array(all)) => all.into_iter().for_each(|thing| out += &line(of, thing)),
            Some(_) => return Err(odd(&format!("`{list}` is no list"))),
        }
    }
    match whole.keys().next() {
        None => Ok(out),
        Some(other) => Err(odd(&format!("`{other}` is not known"))),
    }
}

const CURE: &str = "name a file that `waxbill ledger export` wrote";

fn line(kind: &str, value: Value) -> String {
    format!("{}\n", Value::Object(Map::from_iter([(kind.to_owned(), value)])))
}

fn as_csv(lines: &str) -> String {
    let mut out = COLUMNS.join(",") + "\n";
    for (kind, value) in things(lines) {
        let cells = COLUMNS.iter().map(|column| match (*column, &value) {
            ("line", _) if kind == HEAD => "ledger".to_owned(),
            ("line", _) => kind.clone(),
            ("seq", Value::Number(schema)) => schema.to_string(),
            (column, Value::Object(fields)) => match fields.get(column) {
                None | Some(Value::Null) => String::new(),
                Some(Value::String(text)) => csv::written(text),
                Some(other) => other.to_string(),
            },
            _ => String::new(),
        });
        out += &(cells.collect::<Vec<_>>().join(",") + "\n");
    }
    out
}

fn from_csv(source: &Arc<Source>) -> Result<String, Finding> {
    let rows = csv::rows(source)?;
    let mut rows = rows.iter();
    let titles: Vec<&str> = rows.next().into_iter().flatten().map(|c| c.text.trim()).collect();
    if titles != COLUMNS {
        let message = format!("`{}` is no export: its first line is not `{}`", source.name, COLUMNS.join(","));
        return Err(Finding::input("lot/no-export", message, CURE));
    }
    let mut out = String::new();
    for row in rows {
        let odd = |n: usize, message: String| {
            Finding::input("lot/no-export", message, CURE).at(&row[n.min(row.len() - 1)].place, "here")
        };
        let kind = row[0].text.as_str();
        if row.len() != COLUMNS.len() {
            return Err(odd(row.len(), format!("a row has {} cells, and here are {}", COLUMNS.len(), row.len())));
        }
        let number = |n: usize| {
            row[n].text.parse::<i64>().map(Value::from).map_err(|_| odd(n, format!("`{}` is no number", row[n].text)))
        };
        if kind == "ledger" {
            out += &line(HEAD, number(1)?);
            continue;
        }
        let columns: &[&str] = match kind {
            "paper" => &["what", "hex"],
            "buyer" => &["id", "name", "contact", "salt"],
            "entry" => &["seq", "at", "local_offset", "kind", "lot", "payload", "previous", "hash"],
            other => return Err(odd(0, format!("`{other}` is no kind of line"))),
        };
        let mut fields = Map::new();
        for (n, column) in COLUMNS.iter().enumerate().skip(1) {
            let cell = &row[n];
            let empty = cell.text.is_empty() && !cell.quoted;
            if !columns.contains(column) {
                if !empty {
                    return Err(odd(n, format!("a row of `{kind}` has no `{column}`")));
                }
                continue;
            }
            let value = match empty {
                true => Value::Null,
                false if NUMBERS.contains(column) => number(n)?,
                false => Value::from(csv::unmarked(&cell.text)),
            };
            fields.insert((*column).to_owned(), value);
        }
        out += &line(kind, Value::Object(fields));
    }
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::{read, written};
    use crate::cli::record_args::Written;
    use crate::find::Source;
    use serde_json::{Value, json};
    use std::sync::Arc;

    /// Every form gives the same lines back, whatever stands in them.
    #[test]
    fn each_form_gives_the_same_lines_back() {
        let hostile = [
            "Ines, Oda",
            "\"quoted\"",
            "two\nlines\r\n",
            "Marée d'été",
            "=HYPERLINK(\"x\")",
            "+1",
            "-1",
            "@sum",
            "'x",
            "",
            " blank ",
            "tab\there",
            "a: b # c",
            "- x",
            "null",
            "~",
            "true",
            "12",
            "1e3",
            "\u{7f}\u{85}\u{2028}\u{feff}",
            "\u{1}\u{1b}",
            "\u{1f56f}\u{fe0f}",
            "%",
            "&a *a",
            "\\n",
            "{",
            "[",
            "`",
            "|",
            ">",
            "?",
            "!!str",
            "---",
            "...",
            ";",
        ];
        let mut lines = format!("{}\n", json!({ "waxbill-ledger": 3 }));
        let paper = json!({ "paper": { "hex": "00ff", "what": "label" } });
        lines += &format!("{paper}\n");
        for (n, text) in (1..).zip(hostile) {
            let contact = if n % 2 == 0 { Value::Null } else { Value::from(text) };
            lines += &format!("{}\n", json!({ "buyer": { "contact": contact, "id": n, "name": text, "salt": null } }));
        }
        for (n, text) in (1..).zip(hostile) {
            let entry = json!({ "at": "2026-11-25T14:03:59Z", "hash": "ab", "kind": "note", "local_offset": "-05:00",
                "lot": null, "payload": json!({ "text": text }).to_string(), "previous": "00", "seq": n });
            lines += &format!("{}\n", json!({ "entry": entry }));
        }
        for form in [Written::Jsonl, Written::Yaml, Written::Csv] {
            let text = written(&lines, form);
            let source = Arc::new(Source { name: "out".into(), text: text.clone() });
            let again = read(&source, form).unwrap_or_else(|f| panic!("{form:?} {f:?}\n{text}"));
            for (before, after) in lines.lines().zip(again.lines()) {
                let value = |line: &str| serde_json::from_str::<Value>(line).unwrap();
                assert_eq!(value(before), value(after), "{form:?}");
            }
            assert_eq!(lines.lines().count(), again.lines().count(), "{form:?}");
        }
    }

    #[test]
    fn what_is_no_export_is_told() {
        let told = |form, text: &str| {
            read(&Arc::new(Source { name: "x".into(), text: text.into() }), form).unwrap_err().message
        };
        assert!(told(Written::Yaml, "a: 1\n").contains("`waxbill-ledger` is missing"));
        assert!(told(Written::Yaml, "waxbill-ledger: 3\nmore: 1\n").contains("`more` is not known"));
        assert!(told(Written::Csv, "a,b\n").contains("first line"));
        let head = super::COLUMNS.join(",");
        assert!(told(Written::Csv, &format!("{head}\nentry,x,,,,,,,,,,,,,\n")).contains("`x` is no number"));
        assert!(told(Written::Csv, &format!("{head}\nentry,1\n")).contains("here are 2"));
        assert!(told(Written::Csv, &format!("{head}\nbuyer,1,,,,,,,,,,,,,\n")).contains("has no `seq`"));
    }
}
