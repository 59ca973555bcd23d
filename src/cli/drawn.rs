//! `check --label` and `check --text`: a label of anybody's make, judged against the product.

use super::args::{CheckArgs, ProductArgs};
use super::{Answer, Stop, files, listed, open};
use crate::find::{self, Finding, Level};
use crate::inspect::{self, Area, SeenLabel};
use crate::lot::LotCode;
use crate::plan::MODULE;
use crate::proof::{self, Boxed, Note, Panel, Proof, Tone};
use crate::review::{self, Desk, Known, Page, Stands};
use crate::trade::Market;
use jiff::civil::Date;
use serde_json::json;
use std::path::Path;

/// Largest plain text.
const MOST_TEXT: usize = 200_000;

/// What was read.
enum Label {
    Pages { seen: Vec<SeenLabel>, bytes: Vec<u8> },
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
    if let Label::Pages { seen, .. } = &label {
        parts_exist(&args.drawn.part, seen.len())?;
        pages_exist(args.drawn.pages, seen.len())?;
    }
    let market = market(args, &open::markets(&asked, &opened.product))?;
    let needs = open::needs(&opened, market, on, lot.as_deref())?;
    let book = open::book(&opened)?;
    let known: Vec<Known> = open::template(&opened, market).map_or_else(
        |_| Vec::new(),
        |t| t.parts.iter().map(|p| Known { name: p.name.clone(), principal: p.principal, shape: p.shape }).collect(),
    );
    if let Label::Pages { .. } = &label {
        parts_known(&args.drawn.part, &known)?;
    }
    let named = |number: usize| args.drawn.part.iter().find(|(_, n)| *n == number).map(|(name, _)| name.as_str());
    let pages: Vec<Page<'_>> = match &label {
        Label::Text(text) => vec![Page::of_text(text)],
        Label::Pages { seen, .. } => {
            let (from, to) = args.drawn.pages.unwrap_or((1, usize::MAX));
            let wanted = |s: &&SeenLabel| (from..=to).contains(&s.page.number);
            let page = |s| Page::of(s, named(s.page.number), &known);
            if let Some(finding) = seen.iter().filter(wanted).find_map(|s| s.page.refused()) {
                return Err(Stop::input(finding));
            }
            let mut pages = review::once(seen.iter().filter(wanted).map(page).collect());
            review::name_in_turn(&mut pages, &known);
            pages
        }
    };
    let desk = Desk { product: &opened.product, needs: &needs, book: &book, lot: lot.as_deref(), pages: &pages };
    let (mut findings, stands) = review::judge(&desk);
    // It explains the others, so it comes first.
    if let Label::Pages { bytes, .. } = &label
        && let Some(finding) = inspect::incomplete(bytes)
    {
        findings.insert(0, finding);
    }
    if let (Some(path), Label::Pages { bytes, .. }) = (&args.drawn.proof, &label) {
        let heading = format!("{}, {market}: what was read of the label, not for print", needs.title);
        let proof = proof_of(heading, &pages, &findings, &stands);
        files::may_replace(path, &[b"\x89PNG\r\n\x1a\n"])?;
        // What was found is told even where it cannot be drawn.
        match proof::draw(bytes, &proof) {
            Ok(picture) => files::write(path, &picture)?,
            Err(finding) => findings.push(finding),
        }
    }
    let counted = findings.iter().filter(|f| f.level != Level::Note).count();
    let file =
        args.drawn.label.as_ref().or(args.drawn.text.as_ref()).map_or_else(String::new, |p| p.display().to_string());
    let text = if args.book.json {
        let list: Vec<_> = findings.iter().map(find::json).collect();
        let verdict = if counted > 0 { "findings" } else { "pass" };
        let parts: Vec<_> = pages
            .iter()
            .filter_map(|p| Some((p, p.seen?)))
            .map(|(p, s)| json!({ "page": p.number, "part": p.part, "width_mm": hundredths(s.width), "height_mm": hundredths(s.height), "again": p.again }))
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
            Label::Pages { .. } => "what cannot be read in a file stays for your own eyes",
        };
        format!("{}{file}: {} for {market} on {on}: {told} ({read})\n", listed(&findings), needs.title)
    };
    Ok(Answer { text, found: counted > 0 })
}

/// As finely as a page is measured.
fn hundredths(mm: f64) -> f64 {
    (mm * 100.0).round() / 100.0
}

/// What was found in blue, what is wrong in red; what has no place on a page stands at the side.
fn proof_of(heading: String, pages: &[Page<'_>], findings: &[Finding], stands: &[Stands]) -> Proof {
    let counts = |f: &&Finding| f.level != Level::Note;
    let panel = |(n, page): (usize, &Page<'_>)| {
        let seen = page.seen?;
        let on_file = |area: &Area| {
            let corners = area.corners().map(|p| seen.view.on_page(p));
            let points = corners.map(|[x, y]| Area { left: x, top: y, right: x, bottom: y });
            Area::round(&points).unwrap_or(*area)
        };
        let at = |f: &Finding| {
            let on = f.on_page.as_ref().filter(|o| o.page == page.number)?;
            Some([on.x_mm?, on.y_mm?])
        };
        let holds = |s: &Stands, p: [f64; 2]| s.page == n && s.areas.iter().any(|a| a.widened(0.2, 0.2).has(p));
        let wrong = |s: &Stands| findings.iter().filter(counts).filter_map(at).any(|p| holds(s, p));
        let mut boxes: Vec<Boxed> = stands
            .iter()
            .filter(|s| s.page == n && !wrong(s))
            .map(|s| Boxed {
                areas: s.areas.iter().map(on_file).collect(),
                note: Note { tone: Tone::Found, text: s.what.replace('`', "") },
            })
            .collect();
        for finding in findings.iter().filter(counts) {
            let Some([x, y]) = at(finding) else { continue };
            let own = stands.iter().find(|s| holds(s, [x, y]));
            let spot = Area { left: x - 0.3, top: y - 0.3, right: x + 3.0, bottom: y + 2.5 };
            let areas = own.map_or_else(|| vec![page.word_at([x, y]).unwrap_or(spot)], |s| s.areas.clone());
            let note = Note { tone: Tone::Wrong, text: finding.message.replace('`', "") };
            boxes.push(Boxed { areas: areas.iter().map(on_file).collect(), note });
        }
        let plain = seen.view == inspect::View::default();
        Some(Panel {
            title: format!("{}   {:.1} x {:.1} mm", page.name(), seen.width, seen.height),
            page: page.number,
            size: if plain { [seen.width, seen.height] } else { [seen.sheet.width(), seen.sheet.height()] },
            cut: plain.then_some(page.shape),
            boxes,
            ..Panel::default()
        })
    };
    let nowhere = |f: &&Finding| f.on_page.as_ref().is_none_or(|o| o.x_mm.is_none());
    let mut notes: Vec<Note> = findings
        .iter()
        .filter(counts)
        .filter(nowhere)
        .map(|f| Note { tone: Tone::Wrong, text: f.message.replace('`', "") })
        .collect();
    if !notes.is_empty() {
        notes.insert(0, Note { tone: Tone::Plain, text: "Missing, or wrong at no one place:".to_owned() });
    }
    Proof { heading, panels: pages.iter().enumerate().filter_map(panel).collect(), notes }
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
    if let Some(path) = &args.drawn.text {
        const CURE: &str = "name a text file with the words of the label; a PDF is checked with `--label`";
        let too_large = |name: &str, bytes: u64| {
            let message = format!("`{name}` has {bytes} bytes, more than the words of a label");
            Finding::input("file/too-large", message, CURE)
        };
        // A PDF is told as one, however large it is.
        let bytes = files::bytes(path, inspect::MOST_BYTES, "text file", too_large)?;
        if bytes[..bytes.len().min(1024)].windows(5).any(|w| w == b"%PDF-") {
            let name = path.display();
            let cure = format!("check it with `--label {name}`");
            return Err(Stop::input(Finding::input("file/not-utf-8", format!("`{name}` is a PDF, not a text"), cure)));
        }
        if bytes.len() > MOST_TEXT {
            return Err(Stop::input(too_large(&path.display().to_string(), bytes.len() as u64)));
        }
        let no_text =
            |finding: Finding| if bytes.contains(&0) { Finding { cure: CURE.to_owned(), ..finding } } else { finding };
        let source = files::text(&path.display().to_string(), &bytes).map_err(|f| Stop::input(no_text(f)))?;
        return Ok(Label::Text(source.text));
    }
    let Some(path) = &args.drawn.label else { return Ok(Label::Text(String::new())) };
    let too_large = |name: &str, bytes: u64| {
        let message = format!("`{name}` has {bytes} bytes, more than a label needs");
        Finding::input("file/too-large", message, "save the label alone, with pictures of a printer's resolution")
    };
    let bytes = files::bytes(path, inspect::MOST_BYTES, "PDF", too_large)?;
    let seen = inspect::labels(&bytes, MODULE.to_mm_f64()).map_err(Stop::input)?;
    if seen.is_empty() {
        return Err(Stop::input(Finding::input("file/pdf", "the PDF has no page", "save the label again")));
    }
    Ok(Label::Pages { seen, bytes })
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

/// A stranger's label may have a front and a back that our template has not; any other name is a slip.
fn parts_known(parts: &[(String, usize)], known: &[Known]) -> Result<(), Stop> {
    let strange =
        |name: &str| !known.is_empty() && !["front", "back"].contains(&name) && known.iter().all(|k| k.name != name);
    let Some((name, page)) = parts.iter().find(|(name, _)| strange(name)) else { return Ok(()) };
    let message = format!("`--part {name}={page}` names a part that the product's template has not");
    let names: Vec<&str> = known.iter().map(|k| k.name.as_str()).collect();
    let cure = format!("its parts are `{}`; name the page after one of them", names.join("`, `"));
    Err(Stop::input(Finding::input("label/pages", message, cure)))
}

fn pages_exist(asked: Option<(usize, usize)>, pages: usize) -> Result<(), Stop> {
    match asked {
        Some((_, last)) if last > pages => {
            let message = format!("`--pages` names page {last}, which is not there: the PDF has {pages}");
            Err(Stop::input(Finding::input("label/pages", message, "count the pages from 1")))
        }
        _ => Ok(()),
    }
}
