//! Text in comma-separated cells, read with places and written so that a spreadsheet runs none of it; part of the files.
//!
//! RFC 4180, with commas, semicolons or tabs between the cells, as spreadsheets of different countries write it.

use crate::find::{Finding, Place, Source};
use std::sync::Arc;

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// What it holds.
    pub text: String,
    /// Whether it stood in quotes: an empty one in quotes is a text, one without is nothing.
    pub quoted: bool,
    /// Where it stands.
    pub place: Place,
}

impl Cell {
    /// Whether nothing can be seen in it.
    pub fn is_blank(&self) -> bool {
        self.text.trim().is_empty()
    }
}

/// Cells of each row. Rows of blanks alone are left out.
///
/// # Errors
/// A quote that is not closed, or something after one that is.
pub fn rows(source: &Arc<Source>) -> Result<Vec<Vec<Cell>>, Finding> {
    let text = source.text.as_str();
    let start = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let between = separator(&text[start..]);
    let (mut rows, mut row, mut at) = (Vec::new(), Vec::new(), start);
    while at < text.len() {
        let (cell, end) = cell(source, at, between)?;
        row.push(cell);
        let rest = &text[end..];
        at = end;
        if rest.starts_with(between) {
            at += 1;
            if at < text.len() {
                continue;
            }
            // a separator at the very end opens one more cell
            row.push(Cell { text: String::new(), quoted: false, place: place(source, at, at) });
        } else if rest.starts_with("\r\n") {
            at += 2;
        } else if !rest.is_empty() {
            at += 1;
        }
        if row.iter().any(|c: &Cell| !c.is_blank() || c.quoted) {
            rows.push(std::mem::take(&mut row));
        }
        row.clear();
    }
    Ok(rows)
}

/// What stands between the cells of the first line, outside of quotes.
fn separator(text: &str) -> char {
    let (mut quoted, mut first) = (false, None);
    for c in text.lines().next().unwrap_or("").chars() {
        match c {
            '"' => quoted = !quoted,
            ',' | ';' | '\t' if !quoted && first.is_none() => first = Some(c),
            _ => {}
        }
    }
    first.unwrap_or(',')
}

fn place(source: &Arc<Source>, from: usize, to: usize) -> Place {
    Place { source: source.clone(), range: from..to }
}

/// The cell that begins at `at`, and where it ends.
fn cell(source: &Arc<Source>, at: usize, between: char) -> Result<(Cell, usize), Finding> {
    let rest = &source.text[at..];
    let Some(inside) = rest.strip_prefix('"') else {
        let len = rest.find([between, '\n', '\r']).unwrap_or(rest.len());
        let cell = Cell { text: rest[..len].to_owned(), quoted: false, place: place(source, at, at + len) };
        return Ok((cell, at + len));
    };
    let (mut text, mut from) = (String::new(), 0);
    loop {
        let Some(quote) = inside[from..].find('"').map(|n| from + n) else {
            let message = "the quote that opens here is not closed";
            let cure = "close it with `\"`; a quote inside of a text is written twice";
            return Err(Finding::input("file/not-csv", message, cure).at(&place(source, at, at + 1), "here"));
        };
        text.push_str(&inside[from..quote]);
        if inside[quote + 1..].starts_with('"') {
            text.push('"');
            from = quote + 2;
            continue;
        }
        let end = at + 1 + quote + 1;
        if source.text[end..].starts_with([between, '\n', '\r']) || end == source.text.len() {
            return Ok((Cell { text, quoted: true, place: place(source, at, end) }, end));
        }
        let message = "something stands after the closing quote";
        let cure = "put the whole text into quotes; a quote inside of it is written twice";
        return Err(Finding::input("file/not-csv", message, cure).at(&place(source, end, end + 1), "here"));
    }
}

/// What a spreadsheet would run, and the mark that keeps it from that.
const RUN: [char; 7] = ['=', '+', '-', '@', '\t', '\r', '\''];

/// A cell as it is written: with a mark before what a spreadsheet would take for a formula, in quotes where it must be.
pub fn written(cell: &str) -> String {
    let cell = if cell.starts_with(RUN) { format!("'{cell}") } else { cell.to_owned() };
    if cell.is_empty() || cell.contains([',', ';', '"', '\n', '\r', '\t']) || cell.trim() != cell {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell
    }
}

/// What [`written`] was given.
pub fn unmarked(cell: &str) -> &str {
    cell.strip_prefix('\'').filter(|rest| rest.starts_with(RUN)).unwrap_or(cell)
}

#[cfg(test)]
mod tests {
    use super::{rows, unmarked, written};
    use crate::find::Source;
    use std::sync::Arc;

    fn source(text: &str) -> Arc<Source> {
        Arc::new(Source { name: "form.csv".into(), text: text.into() })
    }

    fn texts(text: &str) -> Vec<Vec<String>> {
        rows(&source(text)).unwrap().into_iter().map(|r| r.into_iter().map(|c| c.text).collect()).collect()
    }

    /// RFC 4180, section 2, rules 1 to 7.
    #[test]
    fn cells_are_read_as_the_rfc_says() {
        assert_eq!(texts("aaa,bbb\r\nzzz,yyy"), [["aaa", "bbb"], ["zzz", "yyy"]]);
        assert_eq!(texts("\"aaa\",\"b \r\nbb\"\r\nzzz,\r\n"), [["aaa", "b \r\nbb"], ["zzz", ""]]);
        assert_eq!(texts("\"aaa\",\"b\"\"bb\""), [["aaa", "b\"bb"]]);
        assert_eq!(texts("\u{feff}a;b,c\n\n;;\n1;2\n"), [["a", "b,c"], ["1", "2"]]);
        assert_eq!(texts("a,"), [["a", ""]]);
        assert!(texts("").is_empty());
    }

    #[test]
    fn a_quote_gone_wrong_is_told_with_its_place() {
        let told = |text: &str| rows(&source(text)).unwrap_err().places[0].0.line_column();
        assert_eq!(told("a,b\nc,\"d\n"), (2, 3));
        assert_eq!(told("a,b\n\"c\"d,e\n"), (2, 4));
    }

    #[test]
    fn what_is_written_comes_back_and_runs_in_no_spreadsheet() {
        for text in [
            "",
            " ",
            "a",
            "=1+2",
            "'=1",
            "'a",
            "''",
            "-5",
            "+05:00",
            "@x",
            "\t",
            "a,b",
            "a;b",
            "a\"b",
            "a\nb\r\nc",
            "é",
            "Marée \u{202e}x",
            "\r",
        ] {
            let line = format!("x,{},y\n", written(text));
            let read = rows(&source(&line)).unwrap();
            assert_eq!(unmarked(&read[0][1].text), text, "{line}");
            assert_eq!(read[0].len(), 3);
            assert!(!read[0][1].text.starts_with(['=', '+', '-', '@', '\t', '\r']), "{line}");
        }
    }
}
