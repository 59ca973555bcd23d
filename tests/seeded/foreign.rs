//! Labels of the sample Low Tide that other programs made (tests/foreign), with its words in their own way.

use super::{counted, drawn};
use drawn::sample;
use waxbill::find::Finding;
use waxbill::review::{self, Desk, Page};
use waxbill::trade::Market;
use waxbill::{inspect, law};

/// Files that other programs made of the sample Low Tide (tests/foreign, each says what made it) and that hold its words.
const FOREIGN: &[&str] = &[
    "cairo",
    "chromium",
    "fpdf2",
    "ghostscript-1.3",
    "libreoffice",
    "pdflatex",
    "qpdf-2.0",
    "qpdf-aes-128",
    "qpdf-aes-256",
    "qpdf-forms",
    "qpdf-object-streams",
    "qpdf-rc4",
    "qpdf-turned",
    "reportlab-standard",
    "reportlab",
    "typst",
];

/// Files of the same label whose words cannot be read as text.
const UNREADABLE: &[&str] = &["cairo-outlined", "cairo-picture", "ghostscript-outlined", "no-unicode"];

fn foreign(name: &str) -> Vec<Finding> {
    let bytes = std::fs::read(format!("tests/foreign/{name}.pdf")).unwrap();
    let (product, _) = sample("low-tide", Market::Us);
    let at =
        waxbill::require::Occasion { market: Market::Us, date: drawn::DAY.parse().unwrap(), lot: None, weighed: None };
    let needs = waxbill::require::on(&product, &at, law::builtin()).unwrap();
    let labels = inspect::labels(&bytes, 0.4).unwrap();
    let pages: Vec<Page<'_>> = labels.iter().map(|l| Page::of(l, None, &[])).collect();
    review::check(&Desk { product: &product, needs: &needs, book: law::builtin(), lot: None, pages: &pages })
}

#[test]
fn a_label_made_by_other_programs_raises_no_alarm() {
    for name in FOREIGN {
        let findings = foreign(name);
        let alarms: Vec<&Finding> = counted(&findings).collect();
        assert!(alarms.is_empty(), "{name}: {alarms:#?}");
    }
}

#[test]
fn what_cannot_be_read_is_never_passed_over() {
    for name in UNREADABLE {
        let findings = foreign(name);
        assert!(findings.iter().any(|f| f.id == "label/no-text"), "{name}");
        let silent = |f: &&Finding| f.id.starts_with("us/fire-warning") && f.message.contains("could not");
        assert!(findings.iter().any(|f| silent(&f)), "{name}: each statement is listed as not read");
    }
}
