//! The picture of a template: each block in its place, with words that only fill it. Part of `proof`.

use super::{Boxed, Note, Panel, Proof, Tone, label};
use crate::find::Finding;
use crate::inspect;
use crate::plan::template::{Template, TemplateCell, TemplatePart};
use crate::plan::{Block, Cell, Content, Item, Part, Plan, Row};
use crate::trade::{BlockName, Lang, Market, Measure, Severity, Sign};
use crate::unit::Length;
use crate::{page, pdf};

/// A template filled with words of no meaning: the PDF, and what to show of it.
///
/// # Errors
/// The parts are too small even for words of this size.
pub fn of_template(template: &Template) -> Result<(Vec<u8>, Proof), Vec<Finding>> {
    // Blocks that few labels carry give way first, then all type gets smaller.
    let rare = |name| matches!(name, BlockName::Hazard | BlockName::California | BlockName::CandleSymbols);
    let tries: [(i64, bool); 4] = [(1400, true), (1400, false), (900, true), (600, true)];
    let (mut plan, mut pages) = (filled(template, tries[0].0, &|_| true), Err(Vec::new()));
    for (um, all) in tries {
        plan = filled(template, um, &|name| all || !rare(name));
        pages = page::set(&plan);
        if pages.is_ok() {
            break;
        }
    }
    let about = pdf::About { title: &template.name, language: "en", subject: "template" };
    let bytes = pdf::write(&pages?, &about).map_err(|f| vec![f])?;
    let sighted = inspect::sightings(&bytes, &plan).map_err(|f| vec![f])?;
    let printed = plan.printed();
    let panels = printed.iter().zip(sighted).enumerate().map(|(n, (printed, seen))| {
        let faces = template.parts.iter().filter(|of| printed.faces.iter().any(|face| face.name == of.name));
        let cells =
            faces.flat_map(|of| of.rows.iter().flat_map(move |r| r.cells.iter().map(move |c| (of, c, r.at_foot))));
        let boxed = |(of, cell, foot): (&TemplatePart, &TemplateCell, bool)| {
            let own = seen.iter().filter(|s| s.part == of.name && s.block == cell.block);
            let area = own.flat_map(|s| s.areas.iter().copied()).reduce(|a, b| a.with(&b))?;
            let face = if printed.faces.len() > 1 { format!("{}: ", of.name) } else { String::new() };
            let foot = if foot { ", at the foot" } else { "" };
            let largest = match cell.block {
                BlockName::Code => String::new(),
                _ => format!(", letters up to {}", cell.largest.in_mm(1)),
            };
            let text = format!("{face}{}{largest}{foot}", cell.block);
            Some(Boxed { areas: vec![area], note: Note { tone: Tone::Found, text } })
        };
        Panel { boxes: cells.filter_map(boxed).collect(), ..label::panel(n, printed) }
    });
    let panels = panels.collect();
    let shown = |block: BlockName| {
        plan.parts.iter().flat_map(|p| &p.rows).flat_map(|r| &r.cells).any(|c| c.block.name == block)
    };
    let all =
        template.parts.iter().flat_map(|p| p.rows.iter().flat_map(move |r| r.cells.iter().map(move |c| (p, c.block))));
    let left_out = all.filter(|(_, block)| !shown(*block)).map(|(part, block)| Note {
        tone: Tone::Plain,
        text: format!("also on {}, where a label needs it: {block}", part.name),
    });
    let notes = left_out.collect();
    let suits: Vec<&str> = template.suits.iter().map(|k| k.word()).collect();
    let suits = if suits.is_empty() { String::new() } else { format!(" ({})", suits.join(", ")) };
    let heading = format!("{}: {}{suits}", template.name, template.about);
    Ok((bytes, Proof { heading, panels, notes }))
}

fn filled(template: &Template, um: i64, wanted: &dyn Fn(BlockName) -> bool) -> Plan {
    let cell = |c: &TemplateCell| {
        let items: Vec<Item> = filler(c.block).into_iter().enumerate().map(|(n, f)| item(c.block, n, f, um)).collect();
        Cell {
            block: Block { name: c.block, items, run_on: c.run_on, frame: c.frame, largest: c.largest },
            align: c.align,
            width: c.width,
            ink: c.ink.as_ref().map(|ink| ink.value),
        }
    };
    let parts = template.parts.iter().map(|part| Part {
        name: part.name.clone(),
        principal: part.principal,
        shape: part.shape,
        margin: part.margin,
        hole: part.hole,
        piece: part.strip.as_ref().and_then(|strip| strip.on.clone()),
        ground: part.ground,
        rows: part
            .rows
            .iter()
            .map(|row| Row {
                cells: row
                    .cells
                    .iter()
                    .filter(|c| wanted(c.block) && c.block != BlockName::ShippingBox)
                    .map(cell)
                    .collect(),
                at_foot: row.at_foot,
            })
            .filter(|row| !row.cells.is_empty())
            .collect(),
    });
    Plan {
        market: Market::Us,
        product: template.name.clone(),
        languages: vec![Lang::En],
        equal: None,
        parts: parts.collect(),
    }
}

fn item(block: BlockName, n: usize, content: Content, um: i64) -> Item {
    Item {
        id: format!("template/{block}#{n}"),
        severity: Severity::Policy,
        content,
        least: Length::um(um),
        measure: Measure::Capital,
        bold: matches!(block, BlockName::NetQuantity) || (n == 0 && block == BlockName::Warning),
        clear: None,
        lowest_percent: None,
    }
}

/// About as much as a label says in the block.
fn filler(block: BlockName) -> Vec<Content> {
    let text = |text: &str| Content::Text { text: text.to_owned(), lang: Lang::En };
    let texts = |all: &[&str]| all.iter().map(|t| text(t)).collect::<Vec<_>>();
    match block {
        BlockName::ProductName => texts(&["Product Name"]),
        BlockName::Identity => texts(&["What it is"]),
        BlockName::NetQuantity => texts(&["NET QUANTITY"]),
        BlockName::Maker => texts(&["Name of the maker", "Town and postcode", "Telephone"]),
        BlockName::Hazard => {
            let signs = Content::Pictograms { signs: vec![Sign::Ghs07], side: Length::mm(10) };
            let words = texts(&[
                "Signal word",
                "Statement of the hazard.",
                "How to prevent it, what to do, where to put the rest.",
            ]);
            std::iter::once(signs).chain(words).collect()
        }
        BlockName::Warning => {
            let alert = Content::AlertText { text: "SIGNAL WORD".to_owned(), lang: Lang::En };
            let words =
                texts(&["Why there is a warning:", "The first message.", "The second message.", "The third message."]);
            std::iter::once(alert).chain(words).collect()
        }
        BlockName::CandleSymbols => {
            let signs = vec![Sign::KeepInSight, Sign::ThingsThatCatchFire, Sign::ChildrenAndPets];
            let signs = Content::Pictograms { signs, side: Length::mm(5) };
            std::iter::once(signs)
                .chain(texts(&["What the first says.", "What the second says.", "What the third says."]))
                .collect()
        }
        BlockName::Care => vec![text("How to use it, and how to look after it."); 5],
        BlockName::BurnTime => texts(&["How long it burns."]),
        BlockName::California => texts(&["A warning of California, where there is one."]),
        BlockName::Lot => texts(&["Lot 00000A0"]),
        BlockName::Code => vec![Content::Qr { payload: "A code for telephones".to_owned(), module: Length::um(400) }],
        BlockName::LookInside => texts(&["Open for more"]),
        BlockName::Logo => texts(&["LOGO"]),
        BlockName::ShippingBox => Vec::new(),
    }
}
