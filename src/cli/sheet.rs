//! `label` on paper: sheets of labels, numbered units, a print shop's pages, the test page.

use super::args::LabelArgs;
use super::files::{self, Workshop};
use super::label::one_file_a_market;
use super::open::{self, Opened};
use super::sheet_args::SheetArgs;
use super::{Answer, Stop, listed, make, picture, sheet_picture};
use crate::find::{self, Finding, Level};
use crate::lot::LotCode;
use crate::page::form::{A4, LETTER};
use crate::page::{self, Page, Series};
use crate::pdf::{self, About, Press};
use crate::plan::{Plan, Shape};
use crate::product::{self, Measured, Paper, Printer};
use crate::require::Needs;
use crate::sheet::{self, ACROSS, Axis, Blank, Correction, Cut, DOWN, Job, Leaf, Sheet};
use crate::trade::Market;
use crate::unit::{Length, Quantity};
use crate::{inspect, plan};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// Runs the command.
pub fn run(args: &LabelArgs, lot: Option<&LotCode>) -> Result<Answer, Stop> {
    if args.paper.test_page {
        return test_page(args);
    }
    if args.picture.png.is_some() && (args.paper.crop_marks || !args.paper.bleed.is_empty()) {
        let cure = "leave `--bleed` and `--crop-marks` away, or see them with `--proof FILE.png`";
        let message =
            "`--png` makes images for printers whose labels are cut already, so there is nothing beyond the cut";
        return Err(Stop::input(Finding::input("sheet/no-picture", message, cure)));
    }
    let opened = open::product(&args.product)?;
    let markets = open::markets(&args.product, &opened.product);
    one_file_a_market(args, &markets)?;
    let (paper, lot) = (&args.paper, lot.map(ToString::to_string));
    let codes = codes(paper, lot.as_deref());
    let first = codes.first().or(lot.as_ref()).map(String::as_str);
    let cut = cut(paper)?;
    let mut made = Vec::new();
    for market in &markets {
        let on = args.product.on.unwrap_or_else(open::today);
        let needs = open::needs(&opened, *market, on, first)?;
        if first.is_none() {
            make::fits_with_lot(&opened, &needs)?;
        }
        made.push((*market, pressed(args, &opened, &needs, &codes, cut)?, needs));
    }
    let path_of = |market: Market| {
        let kind = if paper.sheet.is_empty() { "pages" } else { "sheets" };
        args.output.clone().unwrap_or_else(|| PathBuf::from(format!("{}-{market}-{kind}.pdf", opened.product.id)))
    };
    for (market, ..) in &made {
        files::may_replace(&path_of(*market), &["%PDF"])?;
    }
    let mut pictures = Vec::new();
    for (market, done, _) in &mut made {
        let several = (markets.len() > 1).then_some(*market);
        pictures.push(sheet_picture::of(&args.picture, done, &codes, &path_of(*market), several)?);
    }
    let mut parts = Vec::new();
    for ((market, done, needs), pictures) in made.into_iter().zip(pictures) {
        let path = path_of(market);
        files::write(&path, &done.bytes)?;
        let pictures = picture::write(&pictures)?;
        let told = Told { pictures: &pictures, path: &path, market, lot: lot.as_deref(), codes: &codes, needs: &needs };
        parts.push(if args.json { told.json(&done) } else { told.plain(&done) });
    }
    Ok(open::joined(&parts, args.json, false))
}

/// Lot and number, all with as many figures: `26329A4-001`.
fn codes(paper: &SheetArgs, lot: Option<&str>) -> Vec<String> {
    let (Some((from, to)), Some(lot)) = (paper.serial, lot) else { return Vec::new() };
    let figures = to.to_string().len().max(3);
    (from..=to).map(|n| format!("{lot}-{n:0figures$}")).collect()
}

fn cut(paper: &SheetArgs) -> Result<Cut, Stop> {
    let most = Length::mm(20);
    let wrong = |message, cure: String| Stop::input(Finding::input("sheet/bleed", message, cure));
    let bleed = match paper.bleed.as_slice() {
        [] => Length::ZERO,
        words => Length::parse(&words.join(" ")).map_err(|w| wrong(w.message, w.cure))?,
    };
    if bleed > most {
        return Err(wrong(format!("a bleed of {bleed}"), format!("print shops ask for 2 to 5 mm; at most {most}")));
    }
    Ok(Cut { bleed, marks: paper.crop_marks })
}

/// A file in memory, read back.
pub(super) struct Done {
    /// Faces of a piece taken together.
    plan: Plan,
    /// The same parts with their faces.
    pub faces: Plan,
    /// The pages, and as the reader counts them.
    pub leaves: Vec<Leaf>,
    pub asked: Vec<inspect::Leaf>,
    /// What a millimetre across and down is drawn as.
    pub scale: (f64, f64),
    /// Whether places and sizes are moved for the printer that the workshop measured.
    corrected: bool,
    /// What is printed of each part.
    parts: Vec<Counted>,
    pub bytes: Vec<u8>,
    pub findings: Vec<Finding>,
}

impl Done {
    fn each(&self) -> impl Iterator<Item = (&plan::Part, &Counted)> {
        self.plan.parts.iter().zip(&self.parts)
    }
}

fn pressed(args: &LabelArgs, opened: &Opened, needs: &Needs, codes: &[String], cut: Cut) -> Result<Done, Stop> {
    let paper = &args.paper;
    let made = make::label(opened, needs)?;
    let mut findings = made.findings;
    let printed = made.plan.printed();
    let blanks: Vec<Blank> = printed.iter().map(Blank::of).collect();
    let bled = made.pages.into_iter().zip(&printed).map(|(page, printed)| page::bled(page, printed, cut.bleed));
    let bled: Vec<Page> = bled.collect();
    // Faces of one piece of paper are printed together, and looked at one by one.
    let whole = Plan { parts: made.plan.pages(), ..made.plan.clone() };
    let chosen = chosen(paper, &whole)?;
    let faces = chosen.iter().flat_map(|&n| printed[n].faces.iter().map(|&face| face.clone()));
    let faces = Plan { parts: faces.collect(), ..made.plan.clone() };
    let all: Vec<String> = whole.parts.iter().map(|part| part.name.clone()).collect();
    let plan = Plan { parts: chosen.iter().map(|&n| whole.parts[n].clone()).collect(), ..whole };
    let blanks: Vec<&Blank> = chosen.iter().map(|&n| &blanks[n]).collect();
    let pages = chosen.iter().map(|&n| bled[n].clone());
    let series: Vec<Series> = match codes.first() {
        None => pages.map(Series::same).collect(),
        Some(code) => {
            let parted = pages.zip(&plan.parts).map(|(page, part)| Series::of(page, part, code));
            parted.collect::<Result<_, _>>().map_err(|f| Stop::of(vec![f]))?
        }
    };
    if !codes.is_empty() {
        findings.extend(numbered(&series, &plan)?);
    }
    let correction = if paper.uncorrected || paper.sheet.is_empty() {
        Correction::NONE
    } else {
        correction(&opened.product.workshop.printer).map_err(Stop::input)?
    };
    let (leaves, parts) = leaves(paper, opened, (&plan, &all), codes, (&blanks, cut))?;
    let language = plan.languages.first().map_or("en", |l| l.word());
    let title = format!("{} labels, {}", plan.product, needs.market);
    let about = About { title: &title, language, subject: "candle labels, read back before they were handed over" };
    let job = Press { parts: &series, codes, leaves: &leaves, correction, red: paper.red };
    let bytes = pdf::press(&job, &about).map_err(|f| Stop::of(vec![f]))?;
    let asked: Vec<inspect::Leaf> = leaves.iter().map(|leaf| asked(leaf, correction)).collect();
    let (across, down) = (correction.across.scale(), correction.down.scale());
    let known = &findings;
    let faults =
        inspect::leaves(&bytes, &inspect::Pressed { plan: &faces, codes, across, down, leaves: &asked, known });
    if !faults.is_empty() {
        return Err(Stop::Findings(faults));
    }
    let corrected = correction != Correction::NONE;
    Ok(Done { plan, faces, leaves, asked, scale: (across, down), corrected, parts, bytes, findings })
}

/// The parts asked for, by their place in the plan.
fn chosen(paper: &SheetArgs, plan: &Plan) -> Result<Vec<usize>, Stop> {
    let Some(name) = &paper.part else { return Ok((0..plan.parts.len()).collect()) };
    let names: Vec<&str> = plan.parts.iter().map(|p| p.name.as_str()).collect();
    names.iter().position(|n| n == name).map(|n| vec![n]).ok_or_else(|| no_part(name, &names))
}

/// Whether the units can be told apart: on the parts printed, and by telephone.
fn numbered(series: &[Series], plan: &Plan) -> Result<Option<Finding>, Stop> {
    if !series.iter().any(Series::differs) {
        let names: Vec<&str> = plan.parts.iter().map(|p| p.name.as_str()).collect();
        return Err(Stop::input(Finding::input(
            "sheet/no-unit-code",
            format!("nothing on the part `{}` names the lot, so its labels cannot be numbered", names.join("`, `")),
            "print this part with `--count`, and number the one that carries the block `lot`",
        )));
    }
    Ok(series.iter().all(|s| s.codes.is_empty()).then(|| {
        Finding::of(
            "sheet/no-unit-qr",
            Level::Warning,
            find::Severity::Policy,
            Some(find::Evidence::Policy),
            "no QR code holds the number of the unit",
            "let the product's `code` hold the lot (`code: lot`, or `{lot}` in its address), and print the part it stands on",
        )
    }))
}

/// What the workshop measured on the test page.
fn correction(printer: &Printer) -> Result<Correction, Finding> {
    let axis = |ruler: Length, measured: &Option<Measured>| match measured {
        None => Ok(Axis::exact(ruler)),
        Some(m) => Axis::measured(ruler, m.starts, m.measures)
            .map_err(|w| Finding::input("sheet/printer", w.message, w.cure).at(&m.place, "measured here")),
    };
    Ok(Correction { across: axis(ACROSS, &printer.across)?, down: axis(DOWN, &printer.down)? })
}

/// What is printed of a part.
struct Counted {
    labels: u32,
    pages: usize,
    /// The sheet's name.
    sheet: Option<String>,
    /// The first position.
    start: u32,
}

/// The pages of paper, part after part.
fn leaves(
    paper: &SheetArgs,
    opened: &Opened,
    (plan, all): (&Plan, &[String]),
    codes: &[String],
    (blanks, cut): (&[&Blank], Cut),
) -> Result<(Vec<Leaf>, Vec<Counted>), Stop> {
    let starts = starts(paper, plan, all)?;
    let units = u32::try_from(codes.len()).ok().filter(|n| *n > 0).or(paper.count);
    let (mut leaves, mut counted) = (Vec::new(), Vec::new());
    for (n, ((part, blank), start)) in plan.parts.iter().zip(blanks).zip(starts).enumerate() {
        if paper.sheet.is_empty() {
            let count = units.unwrap_or(1);
            leaves.extend((0..count).map(|unit| sheet::single(n, unit, blank, cut)));
            counted.push(Counted { labels: count, pages: usize::try_from(count).unwrap_or(0), sheet: None, start });
            continue;
        }
        let sheet = sheet_for(paper, &part.name, all, opened.workshop.root.as_deref())?;
        let count = units.unwrap_or((sheet.positions() + 1).saturating_sub(start).max(1));
        let (name, shape, margin) = (part.name.as_str(), part.shape, part.margin);
        let job = Job { name, part: n, shape, margin, start, count };
        let filled = sheet::fill(&sheet, &job).map_err(Stop::input)?;
        counted.push(Counted { labels: count, pages: filled.len(), sheet: Some(sheet.name), start });
        leaves.extend(filled);
    }
    Ok((leaves, counted))
}

/// Where each part begins. One position for several parts does not say which of them the used sheet is for.
fn starts(paper: &SheetArgs, plan: &Plan, all: &[String]) -> Result<Vec<u32>, Stop> {
    let names: Vec<&str> = plan.parts.iter().map(|p| p.name.as_str()).collect();
    let all: Vec<&str> = all.iter().map(String::as_str).collect();
    if let Some(other) = paper.start.iter().filter_map(|(part, _)| part.as_deref()).find(|part| !all.contains(part)) {
        return Err(no_part(other, &all));
    }
    let own = |name: &str| paper.start.iter().rev().find(|(part, _)| part.as_deref() == Some(name)).map(|(_, n)| *n);
    let plain = paper.start.iter().rev().find(|(part, _)| part.is_none()).map_or(1, |(_, n)| *n);
    let without: Vec<&str> = names.iter().copied().filter(|name| own(name).is_none()).collect();
    if plain > 1 && without.len() > 1 {
        let message = format!("`--start {plain}` does not say which part the used sheet is for");
        let each = without.join(&format!("={plain}`, or `--start "));
        let cure = format!("name it: `--start {each}={plain}`; or print the parts one by one with `--part`");
        return Err(Stop::input(Finding::input("sheet/start", message, cure)));
    }
    Ok(names.iter().map(|name| own(name).unwrap_or(plain)).collect())
}

fn no_part(name: &str, names: &[&str]) -> Stop {
    let near = find::nearest(name, names).map_or_else(String::new, |n| format!("did you mean `{n}`? "));
    let cure = format!("{near}the parts are `{}`", names.join("`, `"));
    Stop::input(Finding::input("sheet/no-part", format!("the label has no part `{name}`"), cure))
}

/// The sheet named for a part, or for all.
fn sheet_for(paper: &SheetArgs, part: &str, all: &[String], root: Option<&Path>) -> Result<Sheet, Stop> {
    let of_part = |given: &str, part: &str| given.strip_prefix(part)?.strip_prefix('=').map(str::to_owned);
    let own: Vec<String> = paper.sheet.iter().filter_map(|given| of_part(given, part)).collect();
    let of_all: Vec<&String> =
        paper.sheet.iter().filter(|given| !all.iter().any(|name| of_part(given, name).is_some())).collect();
    if own.len() > 1 || of_all.len() > 1 {
        let whose = if own.len() > 1 { format!("the part `{part}`") } else { "all parts".to_owned() };
        return Err(Stop::input(Finding::input(
            "sheet/two-sheets",
            format!("two sheets are named for {whose}"),
            "name one sheet for each part (`--sheet front=a4-3x4 --sheet base=a4-2x4-round`), and at most one for the rest",
        )));
    }
    match own.into_iter().next().or_else(|| of_all.first().map(|name| (*name).clone())) {
        Some(name) => named(&name, root),
        None => Err(Stop::input(Finding::input(
            "sheet/no-sheet",
            format!("no sheet is named for the part `{part}`"),
            format!("add `--sheet {part}=SHEET`, or leave the part out with `--part`"),
        ))),
    }
}

/// A sheet by its file, from the workshop's folder, or built in.
fn named(name: &str, root: Option<&Path>) -> Result<Sheet, Stop> {
    let path = Path::new(name);
    let file = path.extension().is_some_and(|e| e == "yaml" || e == "yml") || name.contains(['/', '\\']);
    let own = root.filter(|_| !name.starts_with('.')).map(|r| r.join("sheets").join(format!("{name}.yaml")));
    let source = if file {
        files::read(path)?
    } else {
        match own.filter(|p| p.is_file()) {
            Some(path) => files::read(&path)?,
            None => sheet::built_in(name).ok_or_else(|| Stop::input(no_sheet(name)))?,
        }
    };
    sheet::read(&source).map_err(Stop::Input)
}

fn no_sheet(name: &str) -> Finding {
    let names: Vec<&str> = sheet::BUILT_IN.iter().map(|(n, _)| *n).collect();
    let near = find::nearest(name, &names).map_or_else(String::new, |n| format!("did you mean `{n}`? "));
    let message = format!("there is no sheet `{name}`, neither in the workshop's `sheets` folder nor built in");
    Finding::input("sheet/no-sheet", message, format!("{near}built in are `{}`", names.join("`, `")))
}

/// What the reader has to find: places as drawn, from the corner of the page as cut.
fn asked(leaf: &Leaf, correction: Correction) -> inspect::Leaf {
    let cut = |side: Length| (side - leaf.edge * 2).to_mm_f64();
    let labels = leaf.spots.iter().map(|spot| inspect::Placed {
        part: spot.part,
        unit: usize::try_from(spot.unit).unwrap_or(usize::MAX),
        left: (correction.across.drawn(spot.left) - leaf.edge).to_mm_f64(),
        top: (correction.down.drawn(spot.top) - leaf.edge).to_mm_f64(),
    });
    inspect::Leaf {
        width: cut(leaf.width),
        height: cut(leaf.height),
        edge: leaf.edge.to_mm_f64(),
        bleed: leaf.bleed.to_mm_f64(),
        labels: labels.collect(),
    }
}

/// The test page, on the paper of the sheet or the workshop's.
fn test_page(args: &LabelArgs) -> Result<Answer, Stop> {
    let around = Workshop::around(&args.product.product);
    let read = |root: &PathBuf| {
        let source = files::read(&root.join("workshop.yaml"))?;
        product::read_workshop(&source).0.ok_or_else(|| Stop::Input(product::read_workshop(&source).1))
    };
    let workshop = around.root.as_ref().map(read).transpose()?;
    let printer = workshop.as_ref().map_or_else(Printer::default, |w| w.printer.clone());
    let correction =
        if args.paper.uncorrected { Correction::NONE } else { correction(&printer).map_err(Stop::input)? };
    let sheet = args.paper.sheet.last().map(|name| named(name, around.root.as_deref())).transpose()?;
    let paper = match (&sheet, workshop.map(|w| w.paper)) {
        (Some(sheet), _) => Shape::Rectangle { width: sheet.width, height: sheet.height },
        (None, Some(Paper::Letter)) => LETTER,
        (None, _) => A4,
    };
    let page = sheet::test_page(paper, sheet.as_ref().map(|s| (s, correction))).map_err(Stop::input)?;
    let about = About { title: "Test page", language: "en", subject: "rulers to measure a printer with" };
    let bytes = pdf::write(&[page], &about).map_err(|f| Stop::of(vec![f]))?;
    if let Some(fault) = inspect::rulers(&bytes) {
        return Err(Stop::Findings(vec![fault]));
    }
    let path = args.output.clone().unwrap_or_else(|| PathBuf::from("test-page.pdf"));
    files::may_replace(&path, &["%PDF"])?;
    files::write(&path, &bytes)?;
    let (width, height) = (paper.width().to_mm_f64(), paper.height().to_mm_f64());
    if args.json {
        let value = json!({ "file": path, "width_mm": width, "height_mm": height, "sheet": sheet.map(|s| s.name) });
        return Ok(Answer::fine(format!("{value:#}\n")));
    }
    Ok(Answer::fine(format!(
        "{}: {width:.1} x {height:.1} mm\nPrint at 100 %, without fitting to the page, measure as the page says, and write \
         the figures under `printer` in workshop.yaml.\n",
        path.display()
    )))
}

/// What is told of a file.
struct Told<'a> {
    path: &'a Path,
    market: Market,
    lot: Option<&'a str>,
    codes: &'a [String],
    needs: &'a Needs,
    /// For people and for scripts.
    pictures: &'a (String, Vec<Value>),
}

impl Told<'_> {
    fn findings(&self, done: &Done) -> Vec<Finding> {
        self.needs.findings.iter().chain(&done.findings).cloned().collect()
    }

    fn json(&self, done: &Done) -> String {
        let findings = self.findings(done);
        let parts = done.each().map(|(part, of)| {
            json!({
                "part": part.name, "width_mm": part.shape.width().to_mm_f64(),
                "height_mm": part.shape.height().to_mm_f64(), "labels": of.labels, "pages": of.pages, "sheet": of.sheet,
                "start": of.start,
            })
        });
        let value = json!({
            "product": self.needs.product, "market": self.market, "date": self.needs.date, "lot": self.lot,
            "units": self.codes.first().zip(self.codes.last()), "file": self.path, "parts": parts.collect::<Vec<_>>(),
            "start": done.parts.first().map_or(1, |of| of.start), "corrected": done.corrected, "pictures": self.pictures.1, "findings": findings.iter().map(find::json).collect::<Vec<_>>(),
        });
        format!("{value:#}")
    }

    fn plain(&self, done: &Done) -> String {
        let mut text = listed(&self.findings(done));
        let pages: usize = done.parts.iter().map(|of| of.pages).sum();
        let total: u32 = done.parts.iter().map(|of| of.labels).sum();
        text += &format!(
            "{}: {} on {} for {}, each read back from the file\n",
            self.path.display(),
            number(total, "label"),
            number(u32::try_from(pages).unwrap_or(u32::MAX), "page"),
            self.market
        );
        for (part, Counted { labels: count, pages, sheet, .. }) in done.each() {
            let on = match sheet {
                Some(name) => format!("{} of {name}", number(u32::try_from(*pages).unwrap_or(u32::MAX), "sheet")),
                None => number(u32::try_from(*pages).unwrap_or(u32::MAX), "page"),
            };
            let (width, height) = (part.shape.width().to_mm_f64(), part.shape.height().to_mm_f64());
            text += &format!("  {:<8} {width:.1} x {height:.1} mm, {count} on {on}\n", part.name);
        }
        text += &self.pictures.0;
        if done.corrected {
            text +=
                "  moved and stretched for the printer measured in workshop.yaml (`--uncorrected` for another one)\n";
        }
        match (self.codes, self.lot) {
            ([first, .., last], _) => text += &format!("  units {first} to {last}\n"),
            ([one], _) => text += &format!("  unit {one}\n"),
            ([], None) => {
                text += "  no lot code was given: space is left to write it in (`--lot CODE`, or use `waxbill pour`)\n";
            }
            ([], Some(_)) => {}
        }
        text + "Print at 100 %, without fitting to the page. Local codes and licensed practice come first.\n"
    }
}

fn number(n: u32, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}
