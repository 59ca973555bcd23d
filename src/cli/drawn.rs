//! `check --label` and `check --text`: a label of anybody's make, judged against the product.

use super::args::{CheckArgs, ProductArgs};
use super::{Answer, Stop, files, listed, open};
use crate::find::{self, Finding, Level};
use crate::inspect::{self, Code, SeenPage};
use crate::lot::LotCode;
use crate::review::{self, Desk, Known, Page};
use crate::trade::Market;
use jiff::civil::Date;
use serde_json::json;
use std::path::Path;

/// Modules of a QR code are looked for by this size in mm (`policy/qr-module`).
const MODULE: f64 = 0.4;
/// Largest plain text.
const MOST_TEXT: usize = 200_000;

/// What was read.
enum Label {
    Pages(Vec<(SeenPage, Vec<Code>)>),
    Text(String),
}

/// Runs the command.
pub fn run(args: &CheckArgs, product: &Path, on: Date) -> Result<Answer, Stop> {
    let asked = ProductArgs { product: product.to_path_buf(), market: args.market, on: args.on };
    let lot = args.drawn.lot.as_deref().map(LotCode::parse).transpose();
    let lot = lot.map_err(|wrong| Stop::input(Finding::input("policy/lot-code-check", wrong.message, wrong.cure)))?;
    let lot = lot.map(|l| l.to_string());
    let opened = open::product(&asked)?;
    let label = label(args)?;
    if let Label::Pages(pages) = &label {
        parts_exist(&args.drawn.part, pages.len())?;
    }
    let market = market(args, &open::markets(&asked, &opened.product))?;
    let needs = open::needs(&opened, market, on, lot.as_deref())?;
    let book = open::book(&opened)?;
    let known: Vec<Known> = open::template(&opened).map_or_else(
        |_| Vec::new(),
        |t| t.parts.iter().map(|p| Known { name: p.name.clone(), principal: p.principal, shape: p.shape }).collect(),
    );
    let named = |number: usize| args.drawn.part.iter().find(|(_, n)| *n == number).map(|(name, _)| name.as_str());
    let pages: Vec<Page<'_>> = match &label {
        Label::Text(text) => vec![Page::of_text(text)],
        Label::Pages(seen) => {
            // Pages that are named are the label; without names all are.
            let wanted = |s: &&(SeenPage, Vec<Code>)| args.drawn.part.is_empty() || named(s.0.number).is_some();
            seen.iter().filter(wanted).map(|(s, codes)| Page::of(s, codes, named(s.number), &known)).collect()
        }
    };
    let desk = Desk { product: &opened.product, needs: &needs, book: &book, lot: lot.as_deref(), pages: &pages };
    let mut findings = review::check(&desk);
    for finding in &mut findings {
        finding.places.clear();
    }
    let counted = findings.iter().filter(|f| f.level != Level::Note).count();
    let file = args.drawn.label.as_ref().or(args.drawn.text.as_ref()).map_or_else(String::new, |p| p.display().to_string());
    let text = if args.book.json {
        let list: Vec<_> = findings.iter().map(find::json).collect();
        let verdict = if counted > 0 { "findings" } else { "pass" };
        let parts: Vec<_> = pages
            .iter()
            .filter_map(|p| Some((p, p.seen?)))
            .map(|(p, s)| json!({ "page": p.number, "part": p.part, "width_mm": s.width, "height_mm": s.height }))
            .collect();
        format!(
            "{:#}\n",
            json!({ "product": needs.product, "market": market, "date": on, "lot": lot, "file": file, "pages": parts,
                    "verdict": verdict, "findings": list })
        )
    } else {
        let told = match counted {
            0 => "nothing found".to_owned(),
            1 => "1 finding".to_owned(),
            n => format!("{n} findings"),
        };
        let read = match &label {
            Label::Text(_) => "words only; size, place, colour and codes were not looked at",
            Label::Pages(_) => "what cannot be read in a file stays for your own eyes",
        };
        format!("{}{file}: {} for {market} on {on}: {told} ({read})\n", listed(&findings), needs.title)
    };
    Ok(Answer { text, found: counted > 0 })
}

/// A label is for one market: the one asked for, or the only one of the product.
fn market(args: &CheckArgs, markets: &[Market]) -> Result<Market, Stop> {
    match markets {
        [one] => Ok(*one),
        several => {
            let list = several.iter().map(|m| m.word()).collect::<Vec<_>>().join("`, `");
            let _ = args;
            Err(Stop::input(Finding::input(
                "file/several-markets",
                format!("one label is named, and the product goes to several markets: `{list}`"),
                "say with `--market` which one it is for",
            )))
        }
    }
}

fn label(args: &CheckArgs) -> Result<Label, Stop> {
    let too_large = |name: &str, bytes: u64| {
        let message = format!("`{name}` has {bytes} bytes, more than a label needs");
        Finding::input("file/too-large", message, "save the label alone, with pictures of a printer's resolution")
    };
    if let Some(path) = &args.drawn.text {
        let bytes = files::bytes(path, MOST_TEXT, "text file", too_large)?;
        let source = files::text(&path.display().to_string(), &bytes).map_err(Stop::input)?;
        return Ok(Label::Text(source.text));
    }
    let Some(path) = &args.drawn.label else { return Ok(Label::Text(String::new())) };
    let bytes = files::bytes(path, inspect::MOST_BYTES, "PDF", too_large)?;
    let pages = inspect::read_with_codes(&bytes, MODULE).map_err(Stop::input)?;
    if pages.is_empty() {
        return Err(Stop::input(Finding::input("file/pdf", "the PDF has no page", "save the label again")));
    }
    Ok(Label::Pages(pages))
}

fn parts_exist(parts: &[(String, usize)], pages: usize) -> Result<(), Stop> {
    for (n, (name, page)) in parts.iter().enumerate() {
        if *page > pages {
            let message = format!("`--part {name}={page}` names a page that is not there: the PDF has {pages}");
            return Err(Stop::input(Finding::input("label/pages", message, "count the pages from 1")));
        }
        if parts[..n].iter().any(|(other, at)| other == name || at == page) {
            let message = format!("`--part {name}={page}` names a part or a page twice");
            return Err(Stop::input(Finding::input("label/pages", message, "name each part and each page once")));
        }
    }
    Ok(())
}
