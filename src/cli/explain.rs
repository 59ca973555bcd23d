//! `explain`: a rule or a statement in full: words, source, evidence, when it applies, what the user may change.

use super::args::ExplainArgs;
use super::needs::{binding, known};
use super::{Answer, Stop};
use crate::find::Finding;
use crate::law::{self, Height, Rule, Wording};
use crate::trade::Lang;
use serde_json::{Value, json};
use std::fmt::Write;

/// Runs the command; without an id it lists all of them.
pub fn run(args: &ExplainArgs) -> Result<Answer, Stop> {
    let Some(id) = &args.id else { return Ok(Answer::fine(list(args.json))) };
    let (rule_id, statement) = id.split_once('#').map_or((id.as_str(), None), |(r, s)| (r, Some(s)));
    if let Some(rule) = law::rule(rule_id.trim()) {
        if let Some(statement) = statement
            && !rule.needs.contains(&statement)
        {
            let cure = if rule.needs.is_empty() {
                "it puts no words on the label".to_owned()
            } else {
                format!("its statements are `{}`", rule.needs.join("`, `"))
            };
            return Err(Stop::input(Finding::input(
                "explain/no-statement",
                format!("the rule `{rule_id}` has no statement `{statement}`"),
                cure,
            )));
        }
        return Ok(Answer::fine(if args.json { format!("{:#}\n", rule_json(rule)) } else { rule_text(rule) }));
    }
    let by: Vec<&Rule> = law::rules().iter().filter(|r| r.needs.contains(&id.as_str())).collect();
    if let (Some(wording), false) = (law::wording(Lang::En, id), by.is_empty()) {
        if args.json {
            let rules: Vec<Value> = by.iter().map(|r| rule_json(r)).collect();
            return Ok(Answer::fine(format!(
                "{:#}\n",
                json!({ "statement": id, "text": wording.text, "rules": rules })
            )));
        }
        let mut out = format!("statement `{id}`\n");
        words(&mut out, wording);
        for rule in by {
            out += "\n";
            out += &rule_text(rule);
        }
        return Ok(Answer::fine(out));
    }
    if let Some((id, says)) = OF_LABELS.iter().find(|(known, _)| known == id) {
        let by = "house policy, no law; told by `check PRODUCT --label FILE.pdf`";
        return Ok(Answer::fine(if args.json {
            format!("{:#}\n", json!({ "id": id, "says": says, "told_by": "check --label" }))
        } else {
            format!("{id}: {says}\n  {by}\n")
        }));
    }
    Err(Stop::input(unknown(id)))
}

/// What is told of a label and rests on no rule.
const OF_LABELS: &[(&str, &str)] = &[
    (
        "label/pair",
        "a figure in two systems of units says two things; one was worked out wrongly, or one was changed alone",
    ),
    ("label/figure", "a length that stands by itself, as beside a sign, is none of the product's lengths"),
    ("label/quantity", "a mass on the label is not that of the product file"),
    (
        "label/claim",
        "words that promise something and would need evidence; they are listed in `rules/label/claims.csv`",
    ),
    ("label/insect-claim", "words about insects make a pesticide or biocide of the candle, which needs a registration"),
    ("label/other-market", "words or signs that belong to the law of another market"),
    ("label/other-kind", "a sign for candles stands on goods that are not lit"),
    ("label/squeezed", "letters are narrower than nine tenths of what their font gives; that is hard to read"),
    ("label/contrast", "letters stand out from what is behind them by less than 4.5 to 1 (WCAG 2.2, 1.4.3)"),
    (
        "label/over-the-edge",
        "a line of words lies partly beyond the edge of the page; the knife cuts it, whatever it says. What stands beyond \
         as a whole is a mark for the printer and is let be",
    ),
    ("label/overlap", "two words are printed over each other, whatever they say; neither can be read"),
    ("label/alert-letter", "the safety alert symbol is a letter of a font, whose triangle may be thin or hollow"),
    ("label/no-text", "the words are curves, a picture or letters without names; nothing can be said of them"),
    ("label/not-read", "something on the page could not be read; look at it yourself"),
    ("label/language", "hardly a statement stands on the label in one of the languages it must be in"),
    ("label/damaged", "the end of the file is missing, or its list of contents was made anew: something may be lost"),
    (
        "label/sheet",
        "where the label ends is not known: a sheet of paper, or several labels; labels of one sheet, or pages of one size, that \
         should be alike and say different things",
    ),
    ("label/product", "the product file has faults itself, so the label is held against doubtful figures"),
];

fn unknown(id: &str) -> Finding {
    let of_files =
        ["file/", "template/", "label/", "lot/", "hazard/", "form/", "pdf/", "sheet/", "ufi/", "print/", "explain/"];
    if of_files.iter().any(|room| id.starts_with(room)) {
        let message = format!("`{id}` is no rule but the name of a fault in a file, a label or a record");
        return Finding::input("explain/unknown", message, "the message itself says what is wrong and how to mend it");
    }
    let near = law::nearest_ids(id);
    let statements: Vec<&str> = law::rules().iter().flat_map(|r| r.needs.iter().copied()).collect();
    let mut words: Vec<String> = near.iter().map(|n| format!("`{n}`")).collect();
    words.extend(crate::find::nearest(id, &statements).map(|s| format!("`{s}`")));
    let cure = if words.is_empty() {
        "`waxbill explain` without an id lists all of them".to_owned()
    } else {
        format!("did you mean {}? `waxbill explain` without an id lists all of them", words.join(", "))
    };
    Finding::input("explain/unknown", format!("there is no rule or statement `{id}`"), cure)
}

fn list(json: bool) -> String {
    if json {
        let all: Vec<Value> = law::rules().iter().map(rule_json).collect();
        return format!("{:#}\n", Value::from(all));
    }
    let mut out = String::new();
    for rule in law::rules() {
        let _ = writeln!(out, "{:<36} {:<9} {}", rule.id, rule.severity.word(), rule.title);
    }
    out
}

fn rule_text(rule: &Rule) -> String {
    let mut out = format!("{}: {}\n", rule.id, rule.title);
    let _ = writeln!(out, "  {}; {}", binding(rule.severity), known(rule.seen()));
    let _ = writeln!(out, "  {}", rule.because);
    for statement in rule.needs {
        if let Some(wording) = law::wording(Lang::En, statement) {
            let _ = writeln!(out, "  prints ({statement}):");
            words(&mut out, wording);
        }
    }
    match rule.height {
        Height::None => {}
        Height::Least { least, measure } => {
            let _ = writeln!(out, "  least height: {} ({measure})", least.least_in_mm(3));
        }
        Height::Table { name, measure } => {
            let _ = writeln!(out, "  least height: by the area of the front panel, table `{name}` ({measure})");
        }
    }
    if !rule.governs.is_empty() {
        let _ = writeln!(out, "  holds for: {}", rule.governs.join(", "));
    }
    for (name, figure) in rule.figures {
        let _ = writeln!(out, "  figure: {name} = {figure}");
    }
    let markets = rule.markets.iter().map(|m| m.word()).collect::<Vec<_>>().join(", ");
    let mut when = vec![format!("market {markets}")];
    when.extend(rule.applies.iter().map(|(fact, values)| format!("{fact} is {}", values.join(" or "))));
    let _ = writeln!(out, "  applies when: {}", when.join("; "));
    match (rule.from, rule.to) {
        (None, None) => {}
        (from, to) => {
            let from = from.map_or_else(String::new, |d| format!(" from {d}"));
            let to = to.map_or_else(String::new, |d| format!(" to {d}"));
            let _ = writeln!(out, "  in force{from}{to}");
        }
    }
    let _ = writeln!(out, "  you may: {}", rule.you_may);
    for citation in rule.sources {
        let title = law::source(citation.law).map_or("", |s| s.title);
        let _ = writeln!(out, "  source: {citation}, {title} ({}; looked at {})", known(citation.seen), citation.read);
    }
    let _ = writeln!(out, "  file: {}", rule.file);
    out
}

fn words(out: &mut String, wording: &Wording) {
    let fixed = if wording.fixed { " (words fixed by the law)" } else { "" };
    let symbol = if wording.alert_symbol { "(alert symbol) " } else { "" };
    let _ = writeln!(out, "    {symbol}{}{fixed}", wording.text);
    if let Some(canada) = wording.canada {
        let _ = writeln!(out, "    in Canada: {canada}");
    }
    for other in wording.accept {
        let _ = writeln!(out, "    also read as: {other}");
    }
    if !wording.note.is_empty() {
        let _ = writeln!(out, "    {}", wording.note);
    }
}

fn rule_json(rule: &Rule) -> Value {
    let texts: Vec<Value> = rule
        .needs
        .iter()
        .map(|s| json!({ "statement": s, "text": law::wording(Lang::En, s).map(|w| w.text), "fixed": law::wording(Lang::En, s).is_some_and(|w| w.fixed) }))
        .collect();
    let sources: Vec<Value> = rule
        .sources
        .iter()
        .map(|c| json!({ "law": c.law, "title": law::source(c.law).map(|s| s.title), "clause": c.clause, "seen": c.seen, "read": c.read.to_string() }))
        .collect();
    let applies: serde_json::Map<String, Value> = rule.applies.iter().map(|(f, v)| (f.to_string(), json!(v))).collect();
    let figures: serde_json::Map<String, Value> =
        rule.figures.iter().map(|(n, f)| ((*n).to_owned(), json!(f))).collect();
    let height = match rule.height {
        Height::None => Value::Null,
        Height::Least { least, measure } => json!({ "least_height_mm": least.to_mm_f64(), "measure": measure }),
        Height::Table { name, measure } => json!({ "table": name, "measure": measure }),
    };
    json!({
        "id": rule.id, "title": rule.title, "markets": rule.markets, "severity": rule.severity, "seen": rule.seen(),
        "applies": applies, "statements": texts, "height": height, "holds_for": rule.governs, "figures": figures, "because": rule.because, "you_may": rule.you_may, "sources": sources,
        "from": rule.from.map(|d| d.to_string()), "to": rule.to.map(|d| d.to_string()), "file": rule.file,
    })
}
