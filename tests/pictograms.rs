//! Pictograms laid out, written and read back: none is lost, squeezed, turned, too small or off its part unnoticed.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

#[path = "layout/plan.rs"]
#[allow(dead_code, reason = "shared with the tests of layout")]
mod plan;

use plan::{block, cell, row, text};
use waxbill::find::Finding;
use waxbill::page::{self, Ink, Page, Paint, Path, Placed, Point, Ring, Segment};
use waxbill::plan::{Align, Content, Item, Part, Plan, Row, Shape};
use waxbill::trade::{BlockName, Measure, Sign};
use waxbill::unit::Length;
use waxbill::{inspect, pdf};

const ABOUT: pdf::About<'static> = pdf::About { title: "Low Tide", language: "en", subject: "candle label" };
const CANDLE: [Sign; 7] = [
    Sign::KeepInSight,
    Sign::ThingsThatCatchFire,
    Sign::ChildrenAndPets,
    Sign::Trim,
    Sign::Distance,
    Sign::Holder,
    Sign::Draught,
];

fn signs(id: &str, signs: &[Sign], side: Length) -> Item {
    Item {
        content: Content::Pictograms { signs: signs.to_vec(), side },
        ..text(id, "", Length::ZERO, Measure::Capital)
    }
}

fn words(id: &str, said: &str) -> Item {
    text(id, said, Length::um(1200), Measure::LowerX)
}

fn part(shape: Shape, rows: Vec<Row>) -> Part {
    Part { name: "base".into(), principal: false, shape, margin: Length::mm(2), rows }
}

fn check(pages: &[Page], plan: &Plan) -> Vec<Finding> {
    inspect::check(&pdf::write(pages, &ABOUT).unwrap(), plan)
}

/// All signs on one sheet, for eyes: `WAXBILL_KEEP=signs.pdf cargo test --test pictograms contact`.
#[test]
fn contact_sheet_of_all_signs_is_set_and_read_back() {
    let hazard: Vec<Sign> = Sign::ALL.iter().copied().filter(|s| s.ghs().is_some()).collect();
    let mut use_signs = CANDLE.to_vec();
    use_signs.push(Sign::GeneralWarning);
    let rows = vec![
        row(block(BlockName::Warning, vec![signs("large", &hazard, Length::mm(20))], Length::mm(3)), Align::Left),
        row(block(BlockName::Warning, vec![signs("small", &hazard, Length::mm(10))], Length::mm(3)), Align::Left),
        row(block(BlockName::Care, vec![signs("use", &use_signs, Length::mm(16))], Length::mm(3)), Align::Left),
        row(block(BlockName::Care, vec![signs("use small", &use_signs, Length::mm(8))], Length::mm(3)), Align::Left),
    ];
    let shape = Shape::Rectangle { width: Length::mm(190), height: Length::mm(150) };
    let plan = plan::plan(vec![part(shape, rows)]);
    let pages = page::set(&plan).unwrap();
    let bytes = pdf::write(&pages, &ABOUT).unwrap();
    if let Some(to) = std::env::var_os("WAXBILL_KEEP") {
        std::fs::write(to, &bytes).unwrap();
    }
    let findings = inspect::check(&bytes, &plan);
    assert!(findings.is_empty(), "{findings:#?}");
}
