//! The lot sheet and the trace on paper: one lot, or one trace, as PDF pages that were read back.

use super::book::Book;
use super::receive::short;
use super::trace::{ranges, to};
use super::{Answer, Stop, files, lot, make, open};
use crate::find::{Finding, Level};
use crate::ledger::{LotRecord, State, What};
use crate::lot::percent;
use crate::page::form::{A4, Column, FormBlock, LETTER, form};
use crate::page::{self, Page};
use crate::pdf::{self, About};
use crate::plan::{Align, Shape};
use crate::product::{Paper, read_workshop};
use crate::trace::Trace;
use crate::unit::{Length, Mass};
use crate::{find, inspect};
use jiff::civil::Date;
use serde_json::json;
use std::path::{Path, PathBuf};

/// The longest word that fits into every column.
const LONGEST_WORD: usize = 22;

/// Writes the lot sheet.
pub fn lot_sheet(
    book: &Book,
    record: &LotRecord,
    today: Date,
    output: Option<&Path>,
    json: bool,
) -> Result<Answer, Stop> {
    let code = record.lot.code.to_string();
    let paper = paper(book);
    let note = format!("Lot {code} · {}", record.lot.date);
    let title = format!("Lot sheet: {}", record.lot.name);
    let label = label_pages(book, record)?;
    let mut pages = first_pages(paper, (&title, &note), record, today, &label)?;
    let rows: Vec<Vec<String>> = record
        .entries
        .iter()
        .map(|e| {
            let line = lot::entry_text(e);
            // number, moment, offset, then the words
            let words: Vec<&str> = line.split_whitespace().skip(3).collect();
            vec![e.seq.to_string(), format!("{} {}", e.at, e.local_offset), broken(&words.join(" "))]
        })
        .collect();
    let columns = [("Entry", 2, Align::Right), ("When (UTC; local)", 7, Align::Left), ("What", 16, Align::Left)];
    pages.extend(listed(paper, "lot entries", &format!("Entries of lot {code}"), &note, &columns, &rows)?);
    pages.extend(label);
    let wanted =
        [code.clone(), record.lot.name.clone(), record.balance.made.to_string(), short(&record.lot.label_hash)];
    let bytes = written(&pages, &format!("Lot sheet {code}, {}", record.lot.name), "record of one lot", &wanted)?;
    let path = output.map_or_else(|| PathBuf::from(format!("{code}-lot-sheet.pdf")), Path::to_path_buf);
    files::write(&path, &bytes)?;
    Ok(told(&path, pages.len(), json))
}

/// The record's first page with the label in small; on a page of its own where there is no room for it.
fn first_pages(
    paper: Shape,
    (title, note): (&str, &str),
    record: &LotRecord,
    today: Date,
    label: &[Page],
) -> Result<Vec<Page>, Stop> {
    let set = |title: &str, blocks: &[FormBlock]| form(paper, "lot sheet", title, note, blocks);
    let (blocks, picture) = (first_page(record, today), picture_blocks(record, label));
    let mut all = blocks.clone();
    // before the signatures, which end the page
    let at = all.iter().position(|b| matches!(b, FormBlock::Heading(h) if h == SIGNATURES)).unwrap_or(all.len());
    all.splice(at..at, picture.clone());
    if let Ok(page) = set(title, &all) {
        return Ok(vec![page]);
    }
    let both = [set(title, &blocks), set(&format!("{title}, label"), &picture)];
    both.into_iter().map(|page| page.map_err(Stop::of)).collect()
}

const SIGNATURES: &str = "Signatures";

/// The label in small, or where it is kept when product and rules no longer make it.
fn picture_blocks(record: &LotRecord, label: &[Page]) -> Vec<FormBlock> {
    let kept: Vec<String> = record
        .lot
        .papers
        .iter()
        .filter(|p| p.what == What::Label)
        .map(|p| format!("{} (SHA-256 {})", broken(&p.name), short(&p.sha256)))
        .collect();
    let kept = format!("The file itself is in the ledger: {}.", kept.join(", "));
    let version = short(&record.lot.label_hash);
    if label.is_empty() {
        let gone = "Product, materials or rules were changed since the pour: the label is not drawn here.";
        return vec![
            FormBlock::Heading(format!("Label, version {version}")),
            FormBlock::Paragraph(format!("{gone} {kept}")),
        ];
    }
    vec![
        FormBlock::Heading(format!("Label, version {version}: picture, not to scale")),
        FormBlock::Pictures { pages: label.to_vec(), height: Length::mm(48) },
        FormBlock::Paragraph(format!("{kept} In its true size it stands on the last pages.")),
    ]
}

/// Writes a trace.
pub fn trace_sheet(book: &Book, typed: &str, trace: &Trace, output: &Path, json: bool) -> Result<Answer, Stop> {
    let paper = paper(book);
    let b = trace.balance;
    let note = format!("{} lots, {} hand-overs", trace.lots.len(), trace.hand_overs.len());
    let title = format!("Trace of {}", broken(typed));
    let balance = [b.made, b.on_hand, b.retained, b.scrapped, b.handed_over, b.unaccounted].map(|n| n.to_string());
    let first = [
        FormBlock::Heading("Balance in units".to_owned()),
        table(&["made", "on hand", "retained", "scrapped", "handed over", "unaccounted"], vec![balance.to_vec()]),
        FormBlock::Boxes {
            labels: ["Traced by", "Checked by", "Date and time"].map(str::to_owned).to_vec(),
            per_row: 3,
            height: Length::mm(9),
        },
    ];
    let materials: Vec<Vec<String>> = trace
        .components
        .iter()
        .map(|c| {
            let supplier = c.receipts.iter().find_map(|r| r.supplier.clone()).unwrap_or_default();
            let days: Vec<&str> = c.receipts.iter().map(|r| r.received.as_str()).collect();
            let lots: Vec<String> = c.used_in.iter().map(|u| u.lot.to_string()).collect();
            [c.material.clone(), c.supplier_lot.clone(), supplier, days.join(" "), lots.join(" ")]
                .map(|t| broken(&t))
                .to_vec()
        })
        .collect();
    let of_materials = ["Material", "Supplier's lot", "Supplier", "Received", "In lots"].map(|t| (t, 5, Align::Left));
    let lots: Vec<Vec<String>> = trace
        .lots
        .iter()
        .map(|l| {
            let n = l.balance;
            vec![
                l.code.to_string(),
                broken(&l.name),
                l.poured.clone(),
                format!("{} of {}", ranges(&l.units), l.of),
                n.on_hand.to_string(),
                n.handed_over.to_string(),
                short(&l.label),
            ]
        })
        .collect();
    let of_lots = [("Lot", 4), ("Product", 6), ("Poured", 4), ("Units", 4), ("On hand", 3), ("Gone", 3), ("Label", 6)]
        .map(|(t, share)| (t, share, Align::Left));
    let gone: Vec<Vec<String>> = trace
        .hand_overs
        .iter()
        .map(|h| {
            let contact = h.contact.clone().unwrap_or_default();
            let which = h.which.map_or_else(String::new, |w| format!(" (units {})", ranges(&[w])));
            let text = [h.day.clone(), h.lot.to_string(), format!("{}{which}", h.units), h.way.clone(), to(h), contact];
            text.map(|t| broken(&t)).to_vec()
        })
        .collect();
    let of_gone =
        [("Day", 4), ("Lot", 3), ("Units", 4), ("As", 3), ("To", 7), ("Contact", 7)].map(|(t, s)| (t, s, Align::Left));
    let tables: [Titled<'_>; 3] =
        [("Materials", &of_materials, &materials), ("Lots", &of_lots, &lots), ("Handed over", &of_gone, &gone)];
    let pages = together(paper, &title, &note, &first, &tables)?;
    let mut wanted: Vec<String> = trace.lots.iter().map(|l| l.code.to_string()).collect();
    wanted.extend(trace.hand_overs.iter().map(|h| h.day.clone()));
    let bytes = written(&pages, &title, "trace through the ledger", &wanted)?;
    files::write(output, &bytes)?;
    Ok(told(output, pages.len(), json))
}

fn told(path: &Path, pages: usize, json: bool) -> Answer {
    let shown = path.display().to_string();
    Answer::fine(if json {
        format!("{:#}\n", json!({ "file": shown, "pages": pages }))
    } else {
        format!("{shown}, {pages} pages\n")
    })
}

fn paper(book: &Book) -> Shape {
    let source = files::read(&book.root.join("workshop.yaml"));
    let workshop = source.ok().and_then(|s| read_workshop(&s).0);
    if workshop.is_some_and(|w| w.paper == Paper::A4) { A4 } else { LETTER }
}

/// Long words with places to break at: a column never has to refuse them.
fn broken(text: &str) -> String {
    let mut out = String::new();
    let mut run = 0;
    for c in text.chars() {
        run = if c.is_whitespace() { 0 } else { run + 1 };
        if run > LONGEST_WORD {
            out.push(' ');
            run = 1;
        }
        out.push(if c.is_control() { ' ' } else { c });
    }
    out
}

fn table(titles: &[&str], rows: Vec<Vec<String>>) -> FormBlock {
    let columns = titles.iter().map(|t| Column { title: (*t).to_owned(), share: 4, align: Align::Left }).collect();
    FormBlock::Table { columns, rows, row_height: Length::ZERO }
}

fn first_page(record: &LotRecord, today: Date) -> Vec<FormBlock> {
    let l = &record.lot;
    let state = record.state(today);
    let cure = l.cure_until.map_or_else(|| "not stated".to_owned(), |d| d.to_string());
    let summary = [
        ("State", if state == State::Curing { format!("curing until {cure}") } else { state.word().to_owned() }),
        ("Cure until", cure),
        ("Label, version", short(&l.label_hash)),
        ("Recipe, version", short(&l.product_hash)),
    ];
    let mut blocks = vec![
        FormBlock::Qr { payload: l.code.to_string() },
        table(&["", ""], summary.map(|(name, value)| vec![name.to_owned(), value]).to_vec()),
        FormBlock::Heading("Materials".to_owned()),
    ];
    let weighed = lot::weighed(record);
    let rows = l.lines.iter().map(|line| {
        let lots: Vec<String> = l
            .draws
            .iter()
            .filter(|d| d.material == line.material)
            .map(|d| format!("{} (units {})", broken(&d.supplier_lot), ranges(&[d.units])))
            .collect();
        let really = weighed.get(line.material.as_str()).map_or_else(String::new, |m| m.in_g(3));
        vec![broken(&line.name), line.planned.in_g(3), really, lots.join(", ")]
    });
    let pieces = lot::counted(record).map(|d| {
        let from = format!("{} (units {})", broken(&d.supplier_lot), ranges(&[d.units]));
        vec![broken(&d.material), d.amount.to_string(), String::new(), from]
    });
    blocks.push(table(&["Material", "Planned", "Weighed", "Supplier's lot"], rows.chain(pieces).collect()));
    if let Some((m, estimated)) = lot::masses(record) {
        let open = if m.open() < 0 { "-" } else { "" }.to_owned() + &Mass::ng(m.open().abs()).in_g(1);
        blocks.push(FormBlock::Heading("Masses".to_owned()));
        let fills = if estimated { format!("{} (from the mean)", m.fills.in_g(1)) } else { m.fills.in_g(1) };
        let row = [
            m.issued.in_g(1),
            fills,
            m.returned.in_g(1),
            m.samples.in_g(1),
            m.waste.in_g(1),
            format!("{open}, {} accounted for", m.accounted_share().map_or_else(String::new, percent)),
        ];
        blocks.push(table(&["Issued", "In candles", "Returned", "Samples", "Waste", "Open"], vec![row.to_vec()]));
    }
    if let Some(fills) = lot::judged(record) {
        blocks.push(FormBlock::Heading(format!("Fills, {} of {} weighed", fills.weighed, fills.of)));
        let verdicts = fills.verdicts.iter().map(|v| format!("{}: {}; {}", v.rule, v.says, v.because));
        blocks.push(FormBlock::Bullets(verdicts.collect()));
    }
    let b = record.balance;
    blocks.push(FormBlock::Heading("Units".to_owned()));
    let row = [b.made, b.on_hand, b.retained, b.scrapped, b.handed_over, b.unaccounted].map(|n| n.to_string());
    blocks.push(table(&["made", "on hand", "retained", "scrapped", "handed over", "unaccounted"], vec![row.to_vec()]));
    let alarms = lot::alarms(record);
    if !alarms.is_empty() {
        blocks.push(FormBlock::Heading("Look at this".to_owned()));
        blocks.push(FormBlock::Bullets(alarms));
    }
    blocks.push(FormBlock::Heading(SIGNATURES.to_owned()));
    blocks.push(FormBlock::Boxes {
        labels: ["Made by", "Checked by", "Released by", "Date"].map(str::to_owned).to_vec(),
        per_row: 4,
        height: Length::mm(12),
    });
    let last = "A record of what was done; no approval of any kind. Local codes and licensed practice come first.";
    blocks.push(FormBlock::Paragraph(last.to_owned()));
    blocks
}

/// A title over a table, with its columns and rows.
type Titled<'a> = (&'a str, &'a [(&'a str, u16, Align)], &'a [Vec<String>]);

/// All on one page where it fits, else each table on pages of its own.
fn together(
    paper: Shape,
    title: &str,
    note: &str,
    first: &[FormBlock],
    tables: &[Titled<'_>],
) -> Result<Vec<Page>, Stop> {
    let mut all = first.to_vec();
    for (heading, columns, rows) in tables.iter().filter(|(.., rows)| !rows.is_empty()) {
        all.push(FormBlock::Heading((*heading).to_owned()));
        all.push(rows_block(columns, rows));
    }
    if let Ok(page) = form(paper, "trace", title, note, &all) {
        return Ok(vec![page]);
    }
    let mut pages = vec![form(paper, "trace", title, note, first).map_err(Stop::of)?];
    for (heading, columns, rows) in tables {
        pages.extend(listed(paper, "trace", heading, title, columns, rows)?);
    }
    Ok(pages)
}

fn rows_block(columns: &[(&str, u16, Align)], rows: &[Vec<String>]) -> FormBlock {
    let columns =
        columns.iter().map(|(t, share, align)| Column { title: (*t).to_owned(), share: *share, align: *align });
    FormBlock::Table { columns: columns.collect(), rows: rows.to_vec(), row_height: Length::ZERO }
}

/// Rows on as many pages as they need.
fn listed(
    paper: Shape,
    part: &str,
    title: &str,
    note: &str,
    columns: &[(&str, u16, Align)],
    rows: &[Vec<String>],
) -> Result<Vec<Page>, Stop> {
    if rows.is_empty() {
        return Ok(Vec::new());
    }
    let block = rows_block(columns, rows);
    match form(paper, part, title, note, &[block]) {
        Ok(page) => Ok(vec![page]),
        Err(findings) if rows.len() > 1 && findings.iter().all(|f| f.id == "form/does-not-fit") => {
            let (first, rest) = rows.split_at(rows.len().div_ceil(2));
            let mut pages = listed(paper, part, title, note, columns, first)?;
            pages.extend(listed(paper, part, title, note, columns, rest)?);
            Ok(pages)
        }
        Err(findings) => Err(Stop::of(findings)),
    }
}

/// The label as it was, where product and rules still make the same version of it; its file is in the ledger anyway.
pub fn label_pages(book: &Book, record: &LotRecord) -> Result<Vec<Page>, Stop> {
    let product = book.root.join("products").join(&record.lot.product).with_extension("yaml");
    if !product.is_file() {
        return Ok(Vec::new());
    }
    let on = record.lot.date;
    let args = super::args::ProductArgs { product, market: None, on: Some(on) };
    let Ok(opened) = open::product(&args) else { return Ok(Vec::new()) };
    let markets = if record.lot.markets.is_empty() { &opened.product.markets } else { &record.lot.markets };
    if make::label_digest(&opened, markets, on).ok() != Some(record.lot.label_hash) {
        return Ok(Vec::new());
    }
    let code = record.lot.code.to_string();
    let mut pages = Vec::new();
    for market in markets {
        pages.extend(make::label(&opened, &open::needs(&opened, *market, on, Some(&code))?)?.pages);
    }
    Ok(pages)
}

/// The pages as PDF, read back.
fn written(pages: &[page::Page], title: &str, subject: &str, wanted: &[String]) -> Result<Vec<u8>, Stop> {
    let bytes = pdf::write(pages, &About { title, language: "en", subject }).map_err(|f| Stop::of(vec![f]))?;
    let missing = inspect::missing(&bytes, wanted).map_err(|f| Stop::of(vec![f]))?;
    match missing.first() {
        None => Ok(bytes),
        Some(text) => Err(Stop::Findings(vec![Finding::of(
            "label/layout-fault",
            Level::Error,
            find::Severity::Policy,
            Some(find::Evidence::Policy),
            format!("the sheet was read back without `{text}`"),
            "report this as a fault of the program; nothing was written",
        )])),
    }
}
