//! A label plan written by hand in the invented workshop, as layout gets it.

use waxbill::plan::{Align, Block, Cell, ClearSpace, Content, Item, Part, Plan, Row, Shape};
use waxbill::trade::{BlockName, Lang, Market, Measure, Severity};
use waxbill::unit::Length;

pub fn text(id: &str, text: &str, least: Length, measure: Measure) -> Item {
    Item {
        id: id.into(),
        severity: Severity::Required,
        content: Content::Text { text: text.into(), lang: Lang::En },
        least,
        measure,
        bold: false,
        clear: None,
        lowest_percent: None,
    }
}

pub fn block(name: BlockName, items: Vec<Item>, largest: Length) -> Block {
    Block { name, items, run_on: false, frame: false, largest }
}

pub fn row(block: Block, align: Align) -> Row {
    Row { cells: vec![cell(block, align)], at_foot: false }
}

pub fn cell(block: Block, align: Align) -> Cell {
    Cell { block, align, width: None }
}

pub const MESSAGES: [&str; 4] = [
    "To prevent fire and serious injury:",
    "Burn candle within sight.",
    "Keep away from things that catch fire.",
    "Keep away from children and pets.",
];

pub const CARE: [&str; 10] = [
    "Trim the wooden wick to 3/16\u{a0}in (5\u{a0}mm) before each lighting.",
    "Burn no more than 4\u{a0}h at a time.",
    "On first lighting, let the wax melt to the edge.",
    "Keep the wax pool free of trimmings, matches and debris.",
    "Keep away from draughts, vents and fans.",
    "Burn on a stable, heat-resistant surface.",
    "Do not touch or move the candle while the wax is liquid.",
    "Put out if the flame gets too high, smokes or flickers.",
    "Put out with a snuffer, never with water.",
    "Stop using when 1/2\u{a0}in (13\u{a0}mm) of wax is left.",
];

pub fn warning(frame: bool) -> Block {
    let mut signal = text("us/fire-warning#signal", "WARNING", Length::um(2400), Measure::Capital);
    signal.content = Content::AlertText { text: "WARNING".into(), lang: Lang::En };
    signal.bold = true;
    signal.severity = Severity::Standard;
    let mut items = vec![signal];
    for (n, message) in MESSAGES.iter().enumerate() {
        let mut item = text(&format!("us/fire-warning#{n}"), message, Length::um(1600), Measure::Capital);
        item.severity = Severity::Standard;
        items.push(item);
    }
    let mut block = block(BlockName::Warning, items, Length::um(3600));
    block.frame = frame;
    block
}

pub fn care() -> Block {
    let items = CARE.iter().enumerate().map(|(n, words)| {
        let mut item = text(&format!("us/care#{n}"), words, Length::um(1200), Measure::Capital);
        item.severity = Severity::Advice;
        item
    });
    let mut block = block(BlockName::Care, items.collect(), Length::um(2200));
    block.run_on = true;
    block
}

pub fn maker() -> Block {
    let mut name = text("us/maker#name", "Quillmere Candle Shed", Length::um(1600), Measure::Capital);
    name.bold = true;
    let address =
        text("us/maker#address", "4 Saltpan Lane, Quillmere, ME\u{a0}00000", Length::um(1600), Measure::Capital);
    block(BlockName::Maker, vec![name, address], Length::um(2400))
}

pub fn lot() -> Block {
    block(
        BlockName::Lot,
        vec![text("us/lot", "Lot\u{a0}26329A4", Length::um(1600), Measure::Capital)],
        Length::um(2400),
    )
}

pub fn code() -> Block {
    let payload = "https://quillmere.example/l/26329A4?p=low-tide&s=harbour-soy".to_owned();
    let item = Item {
        content: Content::Qr { payload, module: Length::um(400) },
        severity: Severity::Policy,
        ..text("us/code", "", Length::ZERO, Measure::Capital)
    };
    block(BlockName::Code, vec![item], Length::ZERO)
}

pub fn quantity(words: &str) -> Block {
    let mut item = text("us/net-quantity", words, Length::inch(1, 8), Measure::NetQuantity);
    item.clear = Some(ClearSpace { heights: 1, widths_of_n: 2 });
    item.lowest_percent = Some(30);
    item.bold = true;
    block(BlockName::NetQuantity, vec![item], Length::mm(4))
}

pub fn front() -> Part {
    let mut name = text("product-name", "Low Tide", Length::mm(3), Measure::Capital);
    name.bold = true;
    let identity = text("us/identity", "Scented candle", Length::mm(2), Measure::LowerO);
    Part {
        name: "front".into(),
        principal: true,
        shape: Shape::Rounded { width: Length::mm(64), height: Length::mm(76), corner: Length::mm(4) },
        margin: Length::mm(3),
        rows: vec![
            row(block(BlockName::ProductName, vec![name], Length::mm(9)), Align::Centre),
            row(block(BlockName::Identity, vec![identity], Length::mm(4)), Align::Centre),
            Row { cells: vec![cell(quantity("NET WT 9\u{a0}OZ (255\u{a0}g)"), Align::Centre)], at_foot: true },
        ],
    }
}

pub fn base() -> Part {
    Part {
        name: "base".into(),
        principal: false,
        shape: Shape::Circle { diameter: Length::mm(62) },
        margin: Length::mm(2),
        rows: vec![
            row(warning(false), Align::Centre),
            row(care(), Align::Centre),
            Row { cells: vec![cell(code(), Align::Centre), cell(lot(), Align::Left)], at_foot: false },
            row(maker(), Align::Centre),
        ],
    }
}

pub fn plan(parts: Vec<Part>) -> Plan {
    Plan { market: Market::Us, product: "Low Tide".into(), languages: vec![Lang::En], equal: None, parts }
}
