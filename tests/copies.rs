//! What stands on a file more than once: labels of a sheet, pages and statements that do not say the same each time.
//!
//! That every jar carries its own label is why each copy counts; the bounds on likeness are our own.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod drawn;

use drawn::{LOT, Sheet, good, pdf, sample, set};
use waxbill::find::{Finding, Level};
use waxbill::review::{self, Desk, Page};
use waxbill::trade::Market;
use waxbill::{inspect, law};

const NAME: &str = "night-heron";

fn judged(sheets: &[Sheet]) -> Vec<Finding> {
    let (product, needs) = sample(NAME, Market::Us);
    let labels = inspect::labels(&pdf::write(sheets), 0.4).unwrap();
    let pages: Vec<Page<'_>> = labels.iter().map(|l| Page::of(l, None, &[])).collect();
    let pages = review::once(pages);
    let found =
        review::check(&Desk { product: &product, needs: &needs, book: law::builtin(), lot: Some(LOT), pages: &pages });
    found.into_iter().filter(|f| f.level != Level::Note).collect()
}

fn ids(findings: &[Finding]) -> Vec<&str> {
    findings.iter().map(|f| f.id.as_str()).collect()
}

/// Both sides of a label below each other, four times on one sheet.
fn four() -> Sheet {
    let sides = set(&good(NAME, Market::Us));
    let (wide, high) = (sides[1].width.max(sides[0].width) + 20.0, sides[0].height + sides[1].height + 20.0);
    let mut sheet = Sheet { width: 2.0 * wide, height: 2.0 * high, ..Sheet::default() };
    for [left, top] in [[0.0, 0.0], [wide, 0.0], [0.0, high], [wide, high]] {
        let mut down = top;
        for side in &sides {
            sheet.lines.extend(side.lines.iter().cloned().map(|mut line| {
                (line.x, line.baseline) = (line.x + left, line.baseline + down);
                line
            }));
            sheet.shapes.extend(side.shapes.iter().cloned().map(|mut shape| {
                shape.rings.iter_mut().flatten().for_each(|p| *p = [p[0] + left, p[1] + down]);
                shape
            }));
            down += side.height;
        }
    }
    sheet
}

fn change(sheet: &mut Sheet, from: &str, to: &str) {
    let line = sheet.lines.iter_mut().rfind(|l| l.text.contains(from)).unwrap();
    line.text = line.text.replacen(from, to, 1);
}

#[test]
fn labels_of_a_sheet_are_held_against_the_first() {
    let alike = judged(&[four()]);
    assert!(!ids(&alike).contains(&"label/sheet"), "{alike:#?}");
    for (from, to, lacks, has) in
        [("children", "kittens", "children", "kittens"), (LOT, "26330AW", "26329A4", "26330AW")]
    {
        let mut sheet = four();
        change(&mut sheet, from, to);
        let told = judged(&[sheet]);
        let other = told.iter().find(|f| f.id == "label/sheet").unwrap_or_else(|| panic!("{from}: {told:#?}"));
        assert!(other.message.starts_with("label 4 of 4 "), "{}", other.message);
        assert_eq!((other.expected.as_deref(), other.found.as_deref()), (Some(lacks), Some(has)));
    }
}

#[test]
fn page_that_is_nearly_a_copy_of_another_is_told() {
    let sides = set(&good(NAME, Market::Us));
    let mut other = sides[1].clone();
    assert_eq!(judged(&[sides[0].clone(), sides[1].clone(), other.clone()]).len(), 0);
    change(&mut other, "children", "kittens");
    let told = judged(&[sides[0].clone(), sides[1].clone(), other]);
    assert!(ids(&told).contains(&"label/sheet"), "{told:#?}");
}

#[test]
fn second_copy_of_a_statement_with_a_slip_is_told() {
    let mut label = good(NAME, Market::Us);
    let mut again = label.statements.iter().find(|s| s.text.contains("children")).unwrap().clone();
    again.text = again.text.replace("children", "childern");
    again.alert = false;
    let id = again.id.clone();
    label.statements.push(again);
    let told = judged(&set(&label));
    assert!(told.iter().any(|f| f.id == id && f.message.contains("once more otherwise")), "{told:#?}");
}
