//! Requirements and a template to a plan: which part carries which statement, and how large at least.

use super::logo;
use super::template::{Template, TemplateCell, TemplatePart};
use super::{Block, Cell, ClearSpace, Colour, Content, Equal, Item, Part, Plan, Row, Shape, folds, french};
use crate::find::{Finding, Level};
use crate::hazard::pack;
use crate::law::Rule;
use crate::product::Package;
use crate::product::logo::Printed;
use crate::require::{Needs, Requirement};
use crate::trade::{BlockName, Lang, Market, Measure, Severity, Sign};
use crate::unit::Length;

/// Modules of a QR code are at least this wide: 0.4 mm, house policy (`policy/qr-module`).
pub const MODULE: Length = Length::um(400);
/// Letters no rule gives a height for: capitals of 1.4 mm, house policy (`policy/text-height`).
pub const LEGIBLE: Length = Length::um(1400);
/// Signs for use no rule gives a side for: 5 mm, house policy.
pub const SIGN: Length = Length::um(5000);

/// Sets the needs into the template.
///
/// # Errors
/// A finding for each needed block that has no place, or none on the principal part; for a wrap round a vessel without
/// diameter; for what must stand on the outside of a label that folds open; and for colours that cannot be read.
pub fn of(needs: &Needs, template: &Template) -> Result<Plan, Vec<Finding>> {
    let template = &template.fitted(needs.figures.container).map_err(|f| vec![f])?;
    let mut findings = Vec::new();
    let mut on_label: Vec<&Requirement> =
        needs.requirements.iter().filter(|r| r.block != BlockName::ShippingBox).collect();
    for requirement in &on_label {
        placed(requirement, template, &mut findings);
    }
    on_label.extend(folds::pointer(needs, template, &mut findings));
    if !findings.is_empty() {
        findings.dedup_by(|a, b| a.message == b.message);
        return Err(findings);
    }
    let small = all_on_panel(&on_label, template);
    let asked = Asked {
        requirements: &on_label,
        market: needs.market,
        languages: &needs.languages,
        small,
        logo: needs.logo.as_ref(),
    };
    let parts: Vec<Part> = template
        .parts
        .iter()
        .map(|part| Part {
            name: part.name.clone(),
            principal: part.principal,
            shape: part.shape,
            margin: part.margin,
            hole: part.hole,
            piece: part.strip.as_ref().and_then(|s| s.on.clone()),
            ground: part.ground,
            rows: rows(part, &asked),
        })
        .collect();
    for (part, from) in parts.iter().zip(&template.parts) {
        colours(part, from, &mut findings);
    }
    if !findings.is_empty() {
        return Err(findings);
    }
    let equal = needs.both_languages.map(|rule| Equal {
        rule: rule.id.to_owned(),
        severity: rule.severity,
        first: (rule.severity == Severity::Required).then(|| needs.languages.first().copied()).flatten(),
    });
    Ok(Plan { market: needs.market, product: needs.title.clone(), languages: needs.languages.clone(), equal, parts })
}

/// Whether all that the law asks for stands on the principal part (C.R.C. c. 417, s. 16).
fn all_on_panel(requirements: &[&Requirement], template: &Template) -> bool {
    let on_panel = |block| template.parts.iter().any(|p| p.principal && cells(p).any(|c| c.block == block));
    requirements.iter().filter(|r| r.severity == Severity::Required).all(|r| on_panel(r.block))
}

/// What the parts share out among themselves.
#[derive(Clone, Copy)]
struct Asked<'a> {
    requirements: &'a [&'a Requirement],
    market: Market,
    languages: &'a [Lang],
    /// All that the law asks for stands on the principal part.
    small: bool,
    /// Printed once, where the template has its block.
    logo: Option<&'a Printed>,
}

/// All cells of a part of a template.
pub(super) fn cells(part: &TemplatePart) -> impl Iterator<Item = &TemplateCell> {
    part.rows.iter().flat_map(|r| &r.cells)
}

/// Letters in a colour, or on one, are told from their ground (WCAG 2.2, 1.4.3); what law and standards ask for stays black
/// on white.
fn colours(part: &Part, from: &TemplatePart, findings: &mut Vec<Finding>) {
    let ground = part.ground.unwrap_or(Colour::WHITE);
    for cell in part.rows.iter().flat_map(|r| &r.cells) {
        let ink = cell.ink.unwrap_or(Colour::BLACK);
        let place = cells(from).filter(|c| c.block == cell.block.name).find_map(|c| c.ink.as_ref()).map(|i| &i.place);
        let (id, message, cure) = if cell.black_on_white() {
            if ink == Colour::BLACK {
                continue;
            }
            let message = format!("the block `{}` has to be black on white, and `ink` is {ink}", cell.block.name);
            ("template/ink", message, "take `ink` out; colours are for the name and other words that are your own")
        } else {
            let ratio = ink.contrast(ground);
            if ratio >= Colour::LEAST_CONTRAST {
                continue;
            }
            // Cut off, so that a ratio that is too low never looks sufficient.
            let shown = (ratio * 100.0).floor() / 100.0;
            let message = format!(
                "the letters of `{}` in {ink} on {ground} have a contrast of {shown:.2} : 1; 4.5 : 1 can be read",
                cell.block.name
            );
            ("template/contrast", message, "choose a darker `ink` or a lighter `ground`")
        };
        findings.push(Finding::input(id, message, cure).at(place.unwrap_or(&from.place), "here"));
    }
}

fn placed(requirement: &Requirement, template: &Template, findings: &mut Vec<Finding>) {
    let block = requirement.block;
    let takes = |p: &&TemplatePart| cells(p).any(|c| c.takes(block, requirement.severity));
    let holders: Vec<&TemplatePart> = template.parts.iter().filter(takes).collect();
    let (message, cure) = if holders.is_empty() {
        (
            format!("the template `{}` has no place for the block `{block}`", template.name),
            format!("add a row `- {{block: {block}}}` to one of its parts"),
        )
    } else if requirement.principal && !holders.iter().any(|p| p.principal) {
        let principal = template.parts.iter().find(|p| p.principal).map_or("", |p| p.name.as_str());
        (
            format!(
                "the block `{block}` belongs on the side shown to the customer, and the template puts it on `{}`",
                holders[0].name
            ),
            format!("move its row to the part `{principal}`"),
        )
    } else if let Some(rule) = requirement.off_bottom.filter(|_| holders.iter().all(|p| p.bottom)) {
        let message = format!(
            "the block `{block}` may not stand on the bottom of the container, and the template puts it on `{}`",
            holders[0].name
        );
        let cure = "choose a template with a label on the side, or move the row to another part";
        let finding = Finding::of(rule, Level::Error, requirement.severity, Some(requirement.seen), message, cure);
        findings.push(finding.at(&template.place, "this template"));
        return;
    } else {
        findings.extend(folds::outside(requirement, template, &holders));
        return;
    };
    findings.push(
        Finding::of(requirement.rule, Level::Error, requirement.severity, Some(requirement.seen), message, cure)
            .at(&template.place, "this template"),
    );
}

fn rows(part: &TemplatePart, asked: &Asked<'_>) -> Vec<Row> {
    // A hazard pictogram takes a fifteenth of the least area of the label (CLP, Annex I, 1.2.1.3): 52 x 74 mm up to 3 l.
    let least_area = pack::pictogram_side(Length::mm(52), Length::mm(74));
    let least_side = pack::pictogram_side(part.shape.width(), part.shape.height()).min(least_area);
    let languages = asked.languages;
    let each = || languages.iter().map(|l| vec![*l]).collect::<Vec<_>>();
    let mut rows = Vec::new();
    for row in &part.rows {
        let one = matches!(row.cells.as_slice(), [_]) && languages.len() > 1;
        let place = |cells: Vec<Cell>, rows: &mut Vec<Row>| {
            if !cells.is_empty() {
                rows.push(Row { cells, at_foot: row.at_foot });
            }
        };
        let of = |c: &TemplateCell, group: &[Lang]| cell(c, asked, group, least_side);
        if one && row.columns {
            place(each().iter().flat_map(|group| row.cells.iter().filter_map(|c| of(c, group))).collect(), &mut rows);
            continue;
        }
        // Running text of several languages, and groups of sentences: each language stands by itself.
        let whole = |c: &TemplateCell| c.run_on || matches!(c.block, BlockName::Warning | BlockName::Care);
        let apart = one && row.cells.iter().all(whole);
        let groups = if apart { each() } else { vec![languages.to_vec()] };
        for group in groups {
            place(row.cells.iter().filter_map(|c| of(c, &group)).collect(), &mut rows);
        }
    }
    rows
}

/// Pictograms and signs first, in one row; then each language's statements together, in the order of the languages. What is
/// the same in several languages (a name, an address) is printed once.
fn cell(cell: &TemplateCell, asked: &Asked<'_>, group: &[Lang], least_side: Length) -> Option<Cell> {
    let languages = asked.languages;
    if cell.block == BlockName::Logo {
        let printed = asked.logo.filter(|_| group.first() == languages.first())?;
        return block(cell, vec![logo::item(printed)]);
    }
    let item = |requirement: &Requirement, content| item(requirement, asked.small, content);
    let here: Vec<&Requirement> =
        asked.requirements.iter().copied().filter(|r| cell.takes(r.block, r.severity)).collect();
    let mut items = Vec::new();
    let signs: Vec<Sign> = here.iter().flat_map(|r| r.signs.iter().copied()).collect();
    if let Some(first) = here.iter().find(|r| !r.signs.is_empty()).filter(|_| group.first() == languages.first()) {
        let hazard = signs.iter().any(|s| s.ghs().is_some());
        let asked = first.least.unwrap_or(SIGN);
        let side = if hazard { asked.max_of(least_side) } else { asked };
        items.push(item(first, Content::Pictograms { signs, side }));
    }
    for lang in group {
        for requirement in &here {
            let Some(text) = requirement.texts.get(lang) else { continue };
            let before = languages.iter().take_while(|l| *l != lang);
            if before.into_iter().any(|l| requirement.texts.get(l) == Some(text)) {
                continue;
            }
            if cell.block == BlockName::Code {
                items.push(item(requirement, Content::Qr { payload: text.clone(), module: MODULE }));
                return block(cell, items);
            }
            let (mut text, lang) = (text.clone(), *lang);
            // Addresses and codes have colons of their own.
            let words = !matches!(cell.block, BlockName::Maker | BlockName::Lot) && requirement.statement != "ufi";
            if lang == Lang::Fr && words {
                text = french::set(&text, asked.market);
            }
            // In running text a statement without a full stop is told from the next one by a semicolon.
            let last = here.last().is_some_and(|r| r.id == requirement.id);
            if cell.run_on && !last && !text.ends_with(['.', '!', '?', ':', ';']) {
                text.push(';');
            }
            let content =
                if requirement.alert_symbol { Content::AlertText { text, lang } } else { Content::Text { text, lang } };
            items.push(item(requirement, content));
        }
    }
    block(cell, items)
}

fn block(cell: &TemplateCell, items: Vec<Item>) -> Option<Cell> {
    (!items.is_empty()).then_some(Cell {
        block: Block { name: cell.block, items, run_on: cell.run_on, frame: cell.frame, largest: cell.largest },
        align: cell.align,
        width: cell.width,
        ink: cell.ink.as_ref().map(|i| i.value),
    })
}

fn item(requirement: &Requirement, small: bool, content: Content) -> Item {
    let usual = || requirement.least.map(|least| (least, requirement.measure));
    let (least, measure) =
        requirement.least_on_panel.filter(|_| small).or_else(usual).unwrap_or((LEGIBLE, Measure::Capital));
    Item {
        id: requirement.id.clone(),
        severity: requirement.severity,
        content,
        least,
        measure,
        bold: requirement.bold,
        clear: requirement.clear.map(|(heights, widths_of_n)| ClearSpace { heights, widths_of_n }),
        lowest_percent: requirement.lowest_percent,
    }
}

/// Parts that are larger than what they are stuck on: a round base against a round vessel, a face against its wall.
#[must_use]
pub fn sizes(needs: &Needs, template: &Template, rule: &Rule) -> Vec<Finding> {
    let Some(container) = needs.figures.container else { return Vec::new() };
    let Ok(template) = template.fitted(Some(container)) else { return Vec::new() };
    let too_large = |part: &TemplatePart| -> Option<(Length, Length, &str)> {
        if part.hole.is_some() {
            return None; // it hangs
        }
        match (container, part.shape) {
            (Package::Round { diameter, .. } | Package::Lid { diameter }, Shape::Circle { diameter: label }) => {
                (label > diameter).then_some((label, diameter, "diameter"))
            }
            (Package::Round { diameter, height }, shape) => {
                let around = diameter.circumference_rounded_up();
                let high = (shape.height() > height).then(|| (shape.height(), height, "height of the wall"));
                high.or_else(|| (shape.width() > around).then(|| (shape.width(), around, "way round the wall")))
            }
            (Package::Box { width, height }, shape) => {
                let high = (shape.height() > height).then(|| (shape.height(), height, "height of the side"));
                high.or_else(|| (shape.width() > width).then(|| (shape.width(), width, "width of the side")))
            }
            (Package::Lid { .. }, _) => None,
        }
    };
    let told = |part: &TemplatePart| {
        let (label, room, what) = too_large(part)?;
        let message =
            format!("the part `{}` measures {}, and the {what} is {}", part.name, label.in_mm(1), room.in_mm(1));
        let cure = "choose a smaller label in the template, or measure vessel and label again";
        let finding = Finding::of(rule.id, Level::Warning, rule.severity, Some(rule.seen()), message, cure);
        Some(finding.at(&part.place, "this part"))
    };
    template.parts.iter().filter_map(told).collect()
}

/// Parts that carry the hazard block and are smaller than the law wants where there is room (CLP, Annex I, Table 1.3).
#[must_use]
pub fn hazard_sizes(needs: &Needs, template: &Template, rule: &Rule) -> Vec<Finding> {
    let classified = needs.figures.hazards.as_ref().is_some_and(crate::require::Hazards::is_classified);
    let (Some(long), Some(short)) = (rule.figure::<Length>("width"), rule.figure::<Length>("height")) else {
        return Vec::new();
    };
    let Ok(template) = template.fitted(needs.figures.container) else { return Vec::new() };
    let told = |part: &TemplatePart| {
        let (a, b) = (part.shape.width(), part.shape.height());
        if !cells(part).any(|c| c.block == BlockName::Hazard) || (a.max(b) >= long && a.min(b) >= short) {
            return None;
        }
        let message = format!(
            "the part `{}` with the hazard block measures {} x {}; {} x {} is wanted where the package has room",
            part.name,
            a.in_mm(0),
            b.in_mm(0),
            long.in_mm(0),
            short.in_mm(0)
        );
        let cure = "use a larger label if the package has room for it";
        let finding = Finding::of(rule.id, Level::Note, rule.severity, Some(rule.seen()), message, cure);
        Some(finding.at(&part.place, "this part"))
    };
    if classified { template.parts.iter().filter_map(told).collect() } else { Vec::new() }
}
