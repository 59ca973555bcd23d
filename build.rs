//! Reads the folder `rules` with the program's own reader and writes it as static tables.
//!
//! A rule that cannot be read stops the build with file, line and what would be right.

#[path = "src/law/reader/mod.rs"]
#[allow(dead_code, unused_imports)]
mod reader;
#[path = "src/trade/mod.rs"]
#[allow(dead_code, unused_imports)]
mod trade;
#[path = "src/unit/mod.rs"]
#[allow(dead_code, unused_imports)]
mod unit;

use reader::{Book, Citation, Day, Factor, Height, HeightTable, Limit, Rule, Source, Wording};
use std::fmt::Debug;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    for watched in ["rules", "src/law/reader", "src/trade/mod.rs", "src/unit"] {
        println!("cargo::rerun-if-changed={watched}");
    }
    let root = Path::new("rules");
    let mut files = Vec::new();
    gather(root, root, &mut files)?;
    files.sort();
    match reader::read(&files) {
        Ok(book) => {
            let out = PathBuf::from(env::var_os("OUT_DIR").ok_or(io::ErrorKind::NotFound)?);
            fs::write(out.join("rules.rs"), code(&book))?;
        }
        Err(faults) => faults.iter().for_each(|fault| println!("cargo::error={fault}")),
    }
    Ok(())
}

/// Every file below `dir` as its path from `root` and its text.
fn gather(root: &Path, dir: &Path, files: &mut Vec<(String, String)>) -> io::Result<()> {
    for entry in fs::read_dir(dir)? {
        let path = entry?.path();
        if path.is_dir() {
            gather(root, &path, files)?;
        } else if let Ok(name) = path.strip_prefix(root) {
            let name = name.to_string_lossy().replace('\\', "/");
            files.push((name, fs::read_to_string(&path)?));
        }
    }
    Ok(())
}

fn code(book: &Book) -> String {
    let Book { rules, sources, wording, tables, factors } = book;
    format!(
        "pub static BOOK: Book = Book {{\nrules: {},\nsources: {},\nwording: {},\ntables: {},\nfactors: {},\n}};\n",
        each(rules, rule),
        each(sources, source),
        each(wording, words),
        each(tables, table),
        each(factors, factor)
    )
}

/// `&[a, b]`, an item a line.
fn each<T>(items: &[T], one: impl Fn(&T) -> String) -> String {
    format!("&[{}]", items.iter().map(|i| one(i) + ",\n").collect::<String>())
}

fn some<T>(value: Option<T>, one: impl Fn(T) -> String) -> String {
    value.map_or_else(|| "None".to_owned(), |v| format!("Some({})", one(v)))
}

/// A value of an enum whose `Debug` is the name of the variant.
fn of<T: Debug>(list: &str) -> impl Fn(T) -> String {
    move |value| format!("{list}::{value:?}")
}

fn rule(r: &Rule) -> String {
    let applies = each(r.applies, |(fact, values)| format!("(Fact::{fact:?}, &{values:?})"));
    let height = match r.height {
        Height::None => "Height::None".to_owned(),
        Height::Least { least, measure } => {
            format!("Height::Least {{ least: {}, measure: Measure::{measure:?} }}", length(least))
        }
        Height::Table { name, measure } => {
            format!("Height::Table {{ name: {name:?}, measure: Measure::{measure:?} }}")
        }
    };
    format!(
        "Rule {{ id: {:?}, title: {:?}, markets: {}, severity: Severity::{:?}, stricter: {:?}, applies: {applies}, \
         needs: &{:?}, governs: &{:?}, block: {}, symbols: {}, principal: {}, off_bottom: {}, height: {height}, bold: {}, clear: {:?}, \
         lowest_percent: {:?}, figures: &{:?}, because: {:?}, you_may: {:?}, sources: {}, from: {:?}, to: {:?}, file: {:?} }}",
        r.id,
        r.title,
        each(r.markets, |m| format!("Market::{m:?}")),
        r.severity,
        r.stricter,
        r.needs,
        r.governs,
        some(r.block, of("BlockName")),
        each(r.symbols, |s| format!("Sign::{s:?}")),
        r.principal,
        r.off_bottom,
        r.bold,
        r.clear,
        r.lowest_percent,
        r.figures,
        r.because,
        r.you_may,
        each(r.sources, citation),
        r.from,
        r.to,
        r.file
    )
}

fn citation(c: &Citation) -> String {
    let Citation { law, short, clause, seen, read } = c;
    format!(
        "Citation {{ law: {law:?}, short: {short:?}, clause: {clause:?}, seen: Evidence::{seen:?}, read: {} }}",
        day(*read)
    )
}

fn day(day: Day) -> String {
    format!("{day:?}")
}

fn length(length: unit::Length) -> String {
    format!("Length::raw({})", length.to_raw())
}

fn source(s: &Source) -> String {
    let Source { key, title, short, kind, edition, read, free } = s;
    format!(
        "Source {{ key: {key:?}, title: {title:?}, short: {short:?}, kind: SourceKind::{kind:?}, edition: {edition:?}, \
         read: {}, free: {free} }}",
        some(*read, day)
    )
}

fn words(w: &Wording) -> String {
    let Wording { lang, key, text, canada, fixed, alert_symbol, accept, seen, note, neutral, order } = w;
    format!(
        "Wording {{ lang: Lang::{lang:?}, key: {key:?}, text: {text:?}, canada: {canada:?}, fixed: {fixed}, alert_symbol: {alert_symbol}, \
         accept: &{accept:?}, seen: Evidence::{seen:?}, note: {note:?}, neutral: {neutral}, order: {order} }}"
    )
}

fn limit(l: Limit) -> String {
    format!("Limit {{ n: {}, unit: LimitUnit::{:?} }}", l.n, l.unit)
}

fn table(t: &HeightTable) -> String {
    let rows = each(t.rows, |r| {
        format!(
            "BandRow {{ over: {}, up_to: {}, least: {}, source: {:?}, clause: {:?}, seen: Evidence::{:?} }}",
            some(r.over, limit),
            some(r.up_to, limit),
            each(r.least, |l| length(*l)),
            r.source,
            r.clause,
            r.seen
        )
    });
    format!("HeightTable {{ name: {:?}, by: GoesBy::{:?}, columns: &{:?}, rows: {rows} }}", t.name, t.by, t.columns)
}

fn factor(f: &Factor) -> String {
    let Factor { from, to, num, den, source, clause, seen } = f;
    format!(
        "Factor {{ from: {from:?}, to: {to:?}, num: {num}, den: {den}, source: {source:?}, clause: {clause:?}, \
         seen: Evidence::{seen:?} }}"
    )
}
