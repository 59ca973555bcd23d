//! The batch sheet on one page of paper: the content comes from `lot`, the form from `form`.

use super::Page;
use super::form::{Column, FormBlock, form};
use crate::find::Finding;
use crate::lot::{BatchSheet, PitcherTable};
use crate::plan::{Align, Shape};
use crate::unit::Length;

/// Most pitchers that get a column each to write the weighed grams in.
const COLUMNS: usize = 3;

/// Sets the sheet.
///
/// # Errors
/// When it does not fit on one page, or a character is in no face.
pub fn batch_sheet(sheet: &BatchSheet, paper: Shape) -> Result<Page, Vec<Finding>> {
    let code = sheet.code.to_string();
    let mut blocks = vec![FormBlock::Qr { payload: code.clone() }];
    blocks.push(summary(sheet));
    for (first, alike) in groups(&sheet.pitchers) {
        blocks.extend(pitcher(sheet, first, alike));
    }
    blocks.push(FormBlock::Heading("Materials of the lot".to_owned()));
    blocks.push(materials(sheet));
    if !sheet.ceilings.is_empty() {
        blocks.push(FormBlock::Heading("Temperatures of this recipe".to_owned()));
        blocks.push(ceilings(sheet));
    }
    blocks.push(FormBlock::Heading("Measured".to_owned()));
    blocks.push(FormBlock::Boxes { labels: sheet.boxes.iter().map(label).collect(), per_row: 5, height: Length::um(6500) });
    blocks.push(FormBlock::Heading(format!("Safety at the bench ({})", sheet.cautions_known_from)));
    blocks.push(FormBlock::Bullets(sheet.cautions.clone()));
    blocks.push(FormBlock::Paragraph(sheet.deference.clone()));
    let title = format!("{}: {}", sheet.title, sheet.product);
    form(paper, "batch sheet", &title, &format!("Lot {code} · {} · {}", sheet.date, sheet.maker), &blocks)
}

fn summary(sheet: &BatchSheet) -> FormBlock {
    let mut rows: Vec<Vec<String>> = sheet.summary.iter().map(|(name, value)| vec![name.clone(), value.clone()]).collect();
    if let Some(day) = &sheet.first_sale {
        let cure = sheet.cure.map_or_else(String::new, |d| format!("{d} of cure"));
        rows.push(vec!["First burn test and first sale".to_owned(), format!("{day}, after {cure}")]);
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

fn pitcher(sheet: &BatchSheet, first: usize, alike: usize) -> Vec<FormBlock> {
    let (table, of) = (&sheet.pitchers[first], sheet.pitchers.len());
    let heading = match (alike, of) {
        (_, 1) => table.heading.clone(),
        (1, _) => format!("Pitcher {} of {of}", first + 1),
        _ => format!("Pitchers {} to {} of {of}, each", first + 1, first + alike),
    };
    let [material, share, weigh, weighed] = &table.columns;
    let mut columns =
        vec![column(material, 7, Align::Left), column(share, 4, Align::Left), column(weigh, 3, Align::Right)];
    match alike {
        1 => columns.push(column(weighed, 4, Align::Left)),
        n if n <= COLUMNS => columns.extend((0..n).map(|k| column(&format!("No. {}", first + k + 1), 3, Align::Left))),
        _ => columns.push(column("Weighed: one line each on the back", 5, Align::Left)),
    }
    let mut rows: Vec<Vec<String>> = table
        .lines
        .iter()
        .map(|line| vec![format!("{} ({})", line.material, line.scale), line.share.clone(), line.grams.clone()])
        .collect();
    rows.push(vec!["Sum".to_owned(), String::new(), table.total.clone()]);
    vec![FormBlock::Heading(heading), FormBlock::Table { columns, rows, row_height: Length::um(6000) }]
}

fn materials(sheet: &BatchSheet) -> FormBlock {
    let columns = vec![
        column("Material", 6, Align::Left),
        column("Role", 2, Align::Left),
        column("For the lot", 3, Align::Right),
        column("Safety sheet", 4, Align::Left),
        column("Supplier's lot", 5, Align::Left),
    ];
    let rows = sheet
        .materials
        .iter()
        .map(|m| {
            let name = m.supplier.as_ref().map_or_else(|| m.material.clone(), |s| format!("{}, {s}", m.material));
            vec![name, m.role.clone(), m.planned.clone(), m.safety_sheet.clone().unwrap_or_default()]
        })
        .collect();
    FormBlock::Table { columns, rows, row_height: Length::um(6000) }
}

fn ceilings(sheet: &BatchSheet) -> FormBlock {
    let columns = vec![column("", 4, Align::Left), column("", 6, Align::Left), column("", 6, Align::Left)];
    let rows = sheet.ceilings.iter().map(|c| vec![c.what.clone(), c.value.clone(), c.material.clone()]).collect();
    FormBlock::Table { columns, rows, row_height: Length::ZERO }
}

fn label(measured: &crate::lot::MeasuredBox) -> String {
    let target = measured.target.as_ref().map_or_else(String::new, |t| format!(", {t}"));
    format!("{} ({}){target}", measured.label, measured.entry)
}

fn column(title: &str, share: u16, align: Align) -> Column {
    Column { title: title.to_owned(), share, align }
}
