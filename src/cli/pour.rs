//! `pour`: opens a lot: code, grams, batch sheet, labels and an entry in the ledger; all of it or nothing.

use super::args::PourArgs;
use super::open::{self, Opened};
use super::{Answer, Stop, files, listed, make};
use crate::find::{self, Finding, Level};
use crate::hazard::Mixture;
use crate::ledger::{Ledger, LotRow, NewLot, NewPaper, NotOpened, Now, PlannedLine, StoredLot, Trouble, What};
use crate::lot::{self, BatchSheet, Draw, LotCode, Pieces, Quantity, Store};
use crate::page::form::{A4, LETTER};
use crate::pdf::{self, About};
use crate::product::Paper;
use crate::recipe::{self, Pour};
use crate::require::{Net, Occasion};
use crate::trade::Market;
use crate::unit::{Mass, Wrong};
use crate::{inspect, page};
use jiff::civil::Date;
use serde_json::json;
use std::fs;
use std::path::{Path, PathBuf};

/// Runs the command.
pub fn run(args: &PourArgs) -> Result<Answer, Stop> {
    let opened = open::product(&args.product)?;
    let now = open::now();
    let date = args.date.unwrap_or_else(|| now.date());
    let on = args.product.on.unwrap_or(date);
    let markets = open::markets(&args.product, &opened.product);
    let odd = open::unprintable(&opened.product);
    if !odd.is_empty() {
        return Err(Stop::Input(odd));
    }
    let (pour, mut findings) = recipe::pour(&opened.product, args.count);
    let Some(pour) = pour.filter(|_| !find::stops(&findings)) else { return Err(Stop::of(findings)) };
    // Classes follow from the grams as they will be weighed, not from the percentage of the recipe.
    let weighed = recipe::mixture_as_weighed(&opened.product, &pour).ok().map(|(mixture, _)| mixture);
    // Everything that can be refused is refused before the ledger is touched.
    for market in &markets {
        let specimen = open::specimen(date);
        let at = Occasion { market: *market, date: on, lot: specimen.as_deref(), weighed: weighed.as_ref() };
        let needs = open::needs_on(&opened, &at)?;
        let made = make::label(&opened, &needs)?;
        for finding in needs.findings.into_iter().chain(made.findings) {
            if !findings.iter().any(|f| f.id == finding.id && f.message == finding.message) {
                findings.push(finding);
            }
        }
    }
    let root = opened.workshop.root.clone().unwrap_or_else(|| {
        args.product
            .product
            .parent()
            .filter(|p| !p.as_os_str().is_empty())
            .map_or_else(|| PathBuf::from("."), Path::to_path_buf)
    });
    let pieces = lot::pieces(&opened.product, &pour);
    let ids = pour.lines.iter().map(|l| &l.material).chain(pieces.iter().map(|p| &p.material));
    let wanted: Vec<String> = ids.chain(args.from.iter().map(|(material, _)| material)).cloned().collect();
    let mut unreceived = Vec::new();
    let shelf = root.clone();
    let mut ledger = Ledger::open(&root.join("ledger.sqlite"))
        .map_err(|t| trouble(&t))?
        .passing_over(move |code| lot_folder(&shelf, code).exists());
    let row = ledger
        .open_lot_from(
            date,
            Now::of(&now),
            &wanted,
            |code, store| {
                let draws = taken(&opened, &pour, store, &args.from)?;
                unreceived = without_lot(&pour, &pieces, &draws);
                papers(&opened, &pour, weighed.as_ref(), &draws, &markets, on, code)
            },
            |code, new| place(&root, code, new),
        )
        .map_err(|why| not_opened(why, &root))?;
    findings.extend(never_received(&unreceived));
    findings.extend(passed_over(&ledger, &root, &row.code));
    let folder = root.join("lots").join(row.code.to_string());
    let shown: Vec<PathBuf> = row.papers.iter().map(|p| folder.join(&p.name)).collect();
    if args.json {
        return Ok(Answer::fine(format!("{:#}\n", as_json(&row, &pour, &pieces, &shown, &findings))));
    }
    Ok(Answer::fine(text(&row, &pour, &pieces, &shown, &findings)))
}

/// What is taken from which lot in the store.
fn taken(opened: &Opened, pour: &Pour, store: &[StoredLot], named: &[(String, String)]) -> Result<Vec<Draw>, Stop> {
    let store = Store {
        by_mass: store.iter().filter_map(StoredLot::stocked).collect(),
        by_count: store.iter().filter_map(StoredLot::shelved).collect(),
    };
    lot::draw(pour, &lot::pieces(&opened.product, pour), &store, named).map_err(Stop::of)
}

fn grams(draw: &Draw) -> Option<f64> {
    match draw.amount {
        Quantity::Grams(mass) => Some(mass.to_g_f64()),
        Quantity::Pieces(_) => None,
    }
}

/// Everything that carries the code: the batch sheet, then a label for each market, each read back.
fn papers(
    opened: &Opened,
    pour: &Pour,
    weighed: Option<&Mixture>,
    draws: &[Draw],
    markets: &[Market],
    on: Date,
    code: &LotCode,
) -> Result<NewLot, Stop> {
    let sheet =
        lot::batch_sheet(&opened.product, pour, code).with_lots(pour, &lot::pieces(&opened.product, pour), draws);
    let mut papers = vec![NewPaper {
        what: What::BatchSheet,
        name: format!("{code}-batch-sheet.pdf"),
        bytes: sheet_pdf(opened, &sheet)?,
    }];
    let written = code.to_string();
    for market in markets {
        let at = Occasion { market: *market, date: on, lot: Some(&written), weighed };
        let made = make::label(opened, &open::needs_on(opened, &at)?)?;
        papers.push(NewPaper { what: What::Label, name: format!("{code}-label-{market}.pdf"), bytes: made.bytes });
    }
    let lines = pour
        .lines
        .iter()
        .map(|l| PlannedLine { material: l.material.clone(), name: l.name.clone(), planned: l.planned })
        .collect();
    Ok(NewLot {
        product: opened.product.id.clone(),
        name: sheet.product.clone(),
        units: pour.units,
        lines,
        product_hash: make::recipe_digest(opened),
        label_hash: make::label_digest(opened, markets, on)?,
        papers,
        draws: draws.to_vec(),
        cure_until: lot::cure_until(&opened.product, code.date()),
        declared: declared(opened, markets, on)?,
        markets: markets.to_vec(),
    })
}

/// The largest net mass that any label of the lot declares for one unit of sale.
fn declared(opened: &Opened, markets: &[Market], on: Date) -> Result<Option<Mass>, Stop> {
    let mut largest = None;
    for market in markets {
        let net = open::needs(opened, *market, on, None)?.figures.net;
        if let Some(Net::Weight(net)) = net {
            largest = largest.max(Some(net.larger()));
        }
    }
    Ok(largest)
}

/// Materials of the pour that no lot was taken of.
fn without_lot(pour: &Pour, pieces: &[Pieces], draws: &[Draw]) -> Vec<String> {
    let drawn = |material: &str| draws.iter().any(|d| d.material == material);
    let weighed = pour.lines.iter().map(|l| (&l.material, &l.name));
    let counted = pieces.iter().map(|p| (&p.material, &p.name));
    weighed.chain(counted).filter(|(material, _)| !drawn(material)).map(|(_, name)| name.clone()).collect()
}

fn never_received(names: &[String]) -> Option<Finding> {
    (!names.is_empty()).then(|| {
        Finding::of(
            "lot/material-lot-unknown",
            Level::Note,
            find::Severity::Policy,
            Some(find::Evidence::Policy),
            format!("no lot is recorded of `{}`: this pour cannot be traced back to it", names.join("`, `")),
            "enter what comes in with `waxbill receive MATERIAL --lot LOT --amount AMOUNT`, then pours take from it",
        )
    })
}

/// The batch sheet as PDF, read back: the code, every line's grams and every caution must be there.
fn sheet_pdf(opened: &Opened, sheet: &BatchSheet) -> Result<Vec<u8>, Stop> {
    let paper = if opened.product.workshop.paper == Paper::A4 { A4 } else { LETTER };
    let set = page::batch_sheet(sheet, paper).map_err(Stop::of)?;
    let title = format!("Batch sheet {}, {}", sheet.code, sheet.product);
    let about = About { title: &title, language: "en", subject: "planned grams and process of one lot" };
    let mut pages = vec![set];
    pages.extend(page::batch_lots(sheet, paper).map_err(Stop::of)?);
    let bytes = pdf::write(&pages, &about).map_err(|f| Stop::of(vec![f]))?;
    let mut wanted = vec![sheet.code.to_string(), sheet.product.clone(), sheet.deference.clone()];
    wanted.extend(sheet.pitchers.iter().flat_map(|p| p.lines.iter().map(|l| l.grams.clone())));
    wanted.extend(sheet.cautions.iter().cloned());
    wanted.extend(sheet.taken.iter().flat_map(|t| [t.lot.clone(), t.amount.clone()]));
    let missing = inspect::missing(&bytes, &wanted).map_err(|f| Stop::of(vec![f]))?;
    if let Some(text) = missing.first() {
        return Err(Stop::Findings(vec![Finding::of(
            "label/layout-fault",
            Level::Error,
            find::Severity::Policy,
            Some(find::Evidence::Policy),
            format!("the batch sheet was read back without `{text}`"),
            "report this as a fault of the program; nothing was recorded",
        )]));
    }
    Ok(bytes)
}

/// Puts the files into `lots/CODE`: all into a folder beside it first, flushed, then renamed.
fn place(root: &Path, code: &LotCode, new: &NewLot) -> Result<(), Stop> {
    let lots = root.join("lots");
    let folder = lots.join(code.to_string());
    let failed = |e: &dyn std::fmt::Display| {
        Stop::Machine(format!(
            "`{}` cannot be written: {e}; nothing was recorded; check who may write there, and the room on the disk",
            folder.display()
        ))
    };
    sweep_out(&lots);
    fs::create_dir_all(&lots).map_err(|e| failed(&e.kind()))?;
    let made = tempfile::Builder::new().prefix(".waxbill-").tempdir_in(&lots).map_err(|e| failed(&e.kind()))?;
    for paper in &new.papers {
        files::write(&made.path().join(&paper.name), &paper.bytes)?;
    }
    files::open_to_all(made.path());
    fs::rename(made.path(), &folder).map_err(|e| failed(&e.kind()))?;
    let _ = made.keep();
    files::sync_folder(&lots);
    Ok(())
}

/// Removes what runs that were cut off left half written, once it is a day old.
fn sweep_out(lots: &Path) {
    for entry in fs::read_dir(lots).into_iter().flatten().flatten() {
        let old = entry
            .metadata()
            .and_then(|m| m.modified())
            .is_ok_and(|at| at.elapsed().is_ok_and(|age| age > std::time::Duration::from_secs(24 * 60 * 60)));
        if old && entry.file_name().to_string_lossy().starts_with(".waxbill-") {
            let _ = fs::remove_dir_all(entry.path());
        }
    }
}

/// Folders that stand under a code before this one, and whose lot the ledger does not know.
fn passed_over(ledger: &Ledger, root: &Path, code: &LotCode) -> Option<Finding> {
    let unknown = |code: &LotCode| ledger.lot(code).is_ok_and(|lot| lot.is_none());
    let earlier = ('A'..code.session()).rev().filter_map(|letter| LotCode::new(code.date(), letter));
    let there: Vec<String> = earlier
        .take_while(|code| unknown(code))
        .filter(|code| lot_folder(root, code).exists())
        .map(|code| format!("lots/{code}"))
        .collect();
    (!there.is_empty()).then(|| {
        Finding::of(
            "lot/code-passed-over",
            Level::Warning,
            find::Severity::Policy,
            Some(find::Evidence::Policy),
            format!("`{}` is there already, and the ledger knows of no such lot: its code was passed over", there.join("`, `")),
            "if the ledger was lost or is an older copy, look for the newer one; else an earlier run was cut off and the \
             folder can go. It was left as it is",
        )
    })
}

fn lot_folder(root: &Path, code: &LotCode) -> PathBuf {
    root.join("lots").join(code.to_string())
}

/// The ledger's trouble as the end of a command.
pub fn trouble(trouble: &Trouble) -> Stop {
    let Wrong { message, cure } = trouble.wrong();
    if trouble.is_machine() {
        Stop::Machine(format!("{message}; {cure}"))
    } else {
        Stop::input(Finding::input("file/ledger", message, cure))
    }
}

fn not_opened(why: NotOpened<Stop>, root: &Path) -> Stop {
    match why {
        NotOpened::Caller(stop) => stop,
        NotOpened::NoCode(wrong) => Stop::input(Finding::input("policy/lot-code-check", wrong.message, wrong.cure)),
        NotOpened::Ledger(t) => trouble(&t),
        NotOpened::PlacedOnly(code, t) => {
            // The record did not last: the files would carry a code that no lot has.
            let _ = fs::remove_dir_all(root.join("lots").join(code.to_string()));
            trouble(&t)
        }
    }
}

fn text(row: &LotRow, pour: &Pour, pieces: &[Pieces], files: &[PathBuf], findings: &[Finding]) -> String {
    let mut out = listed(findings);
    out += &format!("lot {}: {} of {}, poured {}\n\n", row.code, row.units, row.name, row.date);
    let from = |material: &str| match lots(row, material) {
        lots if lots.is_empty() => String::new(),
        lots => format!("  from {}", lots.join(", ")),
    };
    // what is counted is told where it was taken from the store
    let counted = || pieces.iter().filter(|p| row.draws.iter().any(|d| d.material == p.material));
    let names = pour.lines.iter().map(|l| &l.name).chain(counted().map(|p| &p.name));
    let width = names.map(|name| name.chars().count()).max().unwrap_or(0);
    for line in &pour.lines {
        let from = from(&line.material);
        out += &format!("  {:<width$}  {:>10} g  on the {}{from}\n", line.name, line.shown(line.planned), line.scale);
    }
    for piece in counted() {
        out += &format!("  {:<width$}  {:>10} pieces{}\n", piece.name, piece.number, from(&piece.material));
    }
    if pour.pitchers.len() > 1 {
        out += &format!("  in {} pitchers, each on the batch sheet\n", pour.pitchers.len());
    }
    out += "\n";
    for file in files {
        out += &format!("  {}\n", file.display());
    }
    out += "\nMelt in a water bath, never unattended; keep water out of hot wax. Local codes and licensed practice come first.\n";
    out
}

/// The supplier's lots a material comes from, with the units where there are several.
fn lots(row: &LotRow, material: &str) -> Vec<String> {
    let of: Vec<&Draw> = row.draws.iter().filter(|d| d.material == material).collect();
    match of.as_slice() {
        [one] => vec![one.supplier_lot.clone()],
        several => several.iter().map(|d| format!("{} (units {}-{})", d.supplier_lot, d.units.0, d.units.1)).collect(),
    }
}

fn as_json(row: &LotRow, pour: &Pour, pieces: &[Pieces], files: &[PathBuf], findings: &[Finding]) -> serde_json::Value {
    let lines: Vec<_> = pour
        .lines
        .iter()
        .map(|l| {
            let of = row.draws.iter().filter(|d| d.material == l.material);
            let lots: Vec<_> =
                of.map(|d| json!({ "lot": d.supplier_lot, "g": grams(d), "units": [d.units.0, d.units.1] })).collect();
            json!({ "material": l.material, "g": l.planned.to_g_f64(), "scale": l.scale, "lots": lots })
        })
        .collect();
    let pieces: Vec<_> = pieces
        .iter()
        .map(|p| {
            let of = row.draws.iter().filter(|d| d.material == p.material);
            let lots: Vec<_> = of
                .map(|d| json!({ "lot": d.supplier_lot, "pieces": d.amount.number(), "units": [d.units.0, d.units.1] }))
                .collect();
            json!({ "material": p.material, "pieces": p.number, "lots": lots })
        })
        .collect();
    json!({
        "lot": row.code, "date": row.date, "product": row.product, "units": row.units, "issue_g": pour.issue.to_g_f64(),
        "lines": lines, "pieces": pieces, "files": files, "findings": findings.iter().map(find::json).collect::<Vec<_>>(),
    })
}
