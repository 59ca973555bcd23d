//! The batch sheet on one page of paper: the content comes from `lot`, the form from `form`.

use super::Page;
use super::form::{Column, FormBlock, form};
use crate::find::Finding;
use crate::lot::{BatchSheet, MeasuredBox, PitcherTable};
use crate::plan::{Align, Shape};
use crate::unit::Length;

/// Sets the sheet.
///
/// # Errors
/// When it does not fit on one page, or a character is in no face.
pub fn batch_sheet(sheet: &BatchSheet, paper: Shape) -> Result<Page, Vec<Finding>> {
    // A column for each pitcher where there is room, else one for all that are weighed alike.
    let by_pitcher = sheet.pitchers.len() <= MOST_BOXES;
    set(sheet, paper, by_pitcher).or_else(|found| if by_pitcher { set(sheet, paper, false) } else { Err(found) })
}

/// The most empty columns side by side.
const MOST_BOXES: usize = 8;

fn set(sheet: &BatchSheet, paper: Shape, by_pitcher: bool) -> Result<Page, Vec<Finding>> {
    let code = sheet.code.to_string();
    let mut blocks = vec![FormBlock::Qr { payload: code.clone() }];
    blocks.push(summary(sheet));
    blocks.push(FormBlock::Heading("To weigh, in grams, and the lots it comes from".to_owned()));
    blocks.push(weighing(sheet, by_pitcher));
    if !sheet.ceilings.is_empty() {
        blocks.push(FormBlock::Heading("Temperatures of this recipe".to_owned()));
        blocks.push(ceilings(sheet));
    }
    blocks.push(FormBlock::Heading("Measured".to_owned()));
    blocks.push(FormBlock::Boxes {
        labels: sheet.boxes.iter().map(label).collect(),
        per_row: 5,
        height: Length::um(6500),
    });
    blocks.push(FormBlock::Heading(format!("Safety at the bench ({})", sheet.cautions_known_from)));
    blocks.push(FormBlock::Bullets(sheet.cautions.clone()));
    blocks.push(FormBlock::Paragraph(sheet.deference.clone()));
    let title = format!("{}: {}", sheet.title, sheet.product);
    form(paper, "batch sheet", &title, &format!("Lot {code} · {}\n{}", sheet.date, sheet.maker), &blocks)
}

/// Sets the second page: what is taken from which supplier's lot. `None` where no deliveries are recorded.
///
/// # Errors
/// When it does not fit on one page, or a character is in no face.
pub fn batch_lots(sheet: &BatchSheet, paper: Shape) -> Result<Option<Page>, Vec<Finding>> {
    if sheet.taken.is_empty() {
        return Ok(None);
    }
    let why = "Weigh from the lots in this order. Where a lot runs out, the units of that pitcher may hold both.";
    let blocks = [FormBlock::Paragraph(why.to_owned()), taken(sheet)];
    let note = format!("Lot {} · page 2", sheet.code);
    form(paper, "batch lots", "Taken from the store", &note, &blocks).map(Some)
}

/// The supplier's lot in its column, where it is one and short; else where to look.
fn lot_of(sheet: &BatchSheet, material: &str) -> String {
    /// What fits into the column in the smallest type.
    const LONGEST: usize = 12;
    let of: Vec<&str> = sheet.taken.iter().filter(|t| t.material == material).map(|t| t.lot.as_str()).collect();
    match of.as_slice() {
        [] => String::new(),
        [one] if one.chars().count() <= LONGEST => (*one).to_owned(),
        _ => "see page 2".to_owned(),
    }
}

fn summary(sheet: &BatchSheet) -> FormBlock {
    let mut rows: Vec<Vec<String>> =
        sheet.summary.iter().map(|(name, value)| vec![name.clone(), value.clone()]).collect();
    if let Some(day) = &sheet.first_sale {
        let cure = sheet.cure.map_or_else(String::new, |d| format!("{d} of cure"));
        let what = if sheet.burns { "First burn test and first sale" } else { "First sale" };
        rows.push(vec![what.to_owned(), format!("{day}, after {cure}")]);
    }
    let columns = vec![column("", 5, Align::Left), column("", 6, Align::Left)];
    FormBlock::Table { columns, rows, row_height: Length::ZERO }
}

/// Pitchers in a row that are weighed alike, as the index of the first and their number.
fn groups(pitchers: &[PitcherTable]) -> Vec<(usize, usize)> {
    let mut groups: Vec<(usize, usize)> = Vec::new();
    for (index, table) in pitchers.iter().enumerate() {
        match groups.last_mut() {
            Some((first, alike)) if pitchers[*first].lines == table.lines => *alike += 1,
            _ => groups.push((index, 1)),
        }
    }
    groups
}

/// One row a material; for each pitcher, or each run of pitchers weighed alike, what to weigh and room for what was weighed.
fn weighing(sheet: &BatchSheet, by_pitcher: bool) -> FormBlock {
    let of = sheet.pitchers.len();
    let groups = groups(&sheet.pitchers);
    let boxes = |alike: usize| if by_pitcher { alike } else { 1 };
    let mut columns = vec![column("Material (scale)", 9, Align::Left), column("Share", 4, Align::Left)];
    for (first, alike) in &groups {
        let heading = match (alike, of) {
            (_, 1) => "Weigh".to_owned(),
            (1, _) => format!("Pitcher {} of {of}", first + 1),
            _ => format!("Pitchers {} to {} of {of}, each", first + 1, first + alike),
        };
        columns.push(column(&heading, 4, Align::Right));
        match boxes(*alike) {
            1 => columns.push(column("Weighed", 4, Align::Left)),
            alike => columns.extend((1..=alike).map(|n| column(&format!("in {}", first + n), 3, Align::Left))),
        }
    }
    columns.push(column("Supplier's lot", 6, Align::Left));
    let lines = sheet.pitchers.first().map_or(&[][..], |p| p.lines.as_slice());
    let mut rows = Vec::new();
    for (index, (line, material)) in lines.iter().zip(&sheet.materials).enumerate() {
        let safety = material.safety_sheet.as_ref().map_or_else(String::new, |s| format!(", safety sheet {s}"));
        let mut row = vec![format!("{} ({}){safety}", line.material, line.scale), line.share.clone()];
        for (first, alike) in &groups {
            row.push(sheet.pitchers[*first].lines.get(index).map_or_else(String::new, |l| l.grams.clone()));
            row.extend(vec![String::new(); boxes(*alike)]);
        }
        row.push(lot_of(sheet, &material.material));
        rows.push(row);
    }
    let mut sum = vec!["Sum".to_owned(), String::new()];
    for (first, alike) in &groups {
        sum.push(sheet.pitchers[*first].total.clone());
        sum.extend(vec![String::new(); boxes(*alike)]);
    }
    rows.push(sum);
    for counted in sheet.materials.iter().skip(lines.len()) {
        let mut row = vec![format!("{}: {}", counted.role, counted.material), format!("{} pieces", counted.planned)];
        row.resize(columns.len() - 1, String::new());
        row.push(lot_of(sheet, &counted.material));
        rows.push(row);
    }
    FormBlock::Table { columns, rows, row_height: Length::um(6500) }
}

/// Which supplier's lot to take, how much of it, and which units it goes into.
fn taken(sheet: &BatchSheet) -> FormBlock {
    let columns = vec![
        column("Material", 7, Align::Left),
        column("Supplier's lot", 7, Align::Left),
        column("Take", 3, Align::Right),
        column("In units", 3, Align::Left),
    ];
    let rows = sheet.taken.iter().map(|t| vec![t.material.clone(), t.lot.clone(), t.amount.clone(), t.units.clone()]);
    FormBlock::Table { columns, rows: rows.collect(), row_height: Length::ZERO }
}

fn ceilings(sheet: &BatchSheet) -> FormBlock {
    let columns = vec![column("", 4, Align::Left), column("", 6, Align::Left), column("", 6, Align::Left)];
    let rows = sheet.ceilings.iter().map(|c| vec![c.what.clone(), c.value.clone(), c.material.clone()]).collect();
    FormBlock::Table { columns, rows, row_height: Length::ZERO }
}

fn label(measured: &MeasuredBox) -> String {
    let target = measured.target.as_ref().map_or_else(String::new, |t| format!(", {t}"));
    format!("{} ({}){target}", measured.label, measured.entry)
}

fn column(title: &str, share: u16, align: Align) -> Column {
    Column { title: title.to_owned(), share, align }
}
