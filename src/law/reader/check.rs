//! The second half of the checks on rules: what only shows when all files lie side by side.

use super::{Book, Fault, Height, Rule};
use crate::trade::{BlockName, Lang};

/// Every fault between rows, wording, tables and sources.
pub(super) fn across(book: &Book) -> Vec<Fault> {
    let mut faults = Vec::new();
    for rule in book.rules {
        statements(book, rule, &mut faults);
        if let Height::Table { name, .. } = rule.height
            && book.height_column(name).is_none()
        {
            let known = book.tables.iter().map(|t| t.name).collect::<Vec<_>>().join("`, `");
            faults.push(of(rule, format!("there is no table `{name}`: `rules/tables` has `{known}`")));
        }
    }
    let rows = book.tables.iter().flat_map(|t| t.rows.iter().map(|r| (t.name, r.source)));
    for (table, source) in rows.chain(book.factors.iter().map(|f| ("us-conversion", f.source))) {
        if book.source(source).is_none() {
            faults.push(file(&format!("tables/{table}.csv"), format!("`{source}` is not in `rules/sources.yaml`")));
        }
    }
    faults
}

fn statements(book: &Book, rule: &Rule, faults: &mut Vec<Fault>) {
    for statement in rule.needs {
        if book.wording(Lang::En, statement).is_none() {
            faults.push(of(rule, format!("the statement `{statement}` has no words in `rules/wording/en.yaml`")));
        }
    }
    let known = |name: &str| BlockName::from_word(name).is_some() || book.rules.iter().any(|r| r.needs.contains(&name));
    for name in rule.governs.iter().filter(|g| !known(g)) {
        faults.push(of(rule, format!("governs `{name}`, which is neither a block nor a statement of any rule")));
    }
    let asks = rule.height != Height::None || rule.bold || rule.clear.is_some() || rule.lowest_percent.is_some();
    if asks && rule.needs.is_empty() && rule.governs.is_empty() {
        faults.push(of(rule, "asks for a height, bold type, space or place but has no statements and `governs` none"));
    }
}

fn of(rule: &Rule, message: impl Into<String>) -> Fault {
    Fault { file: rule.file.to_owned(), line: 0, column: 0, message: message.into() }
}

fn file(path: &str, message: String) -> Fault {
    Fault { file: super::shown(path), line: 0, column: 0, message }
}
