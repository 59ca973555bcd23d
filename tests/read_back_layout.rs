//! Labels as layout sets them are read back without a finding, and whatever is taken away from them is missed.

#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "a test stops at the first surprise and reads the clock"
)]

#[path = "layout/plan.rs"]
#[allow(dead_code, reason = "shared with the tests of layout")]
mod plan;

use waxbill::find::Finding;
use waxbill::page::{self, Page, Placed};
use waxbill::plan::Plan;
use waxbill::{inspect, pdf};

const ABOUT: pdf::About<'static> = pdf::About { title: "Low Tide", language: "en", subject: "candle label" };

fn check(pages: &[Page], plan: &Plan) -> Vec<Finding> {
    inspect::check(&pdf::write(pages, &ABOUT).unwrap(), plan)
}

fn label() -> (Plan, Vec<Page>) {
    let plan = plan::plan(vec![plan::front(), plan::base()]);
    let pages = page::set(&plan).unwrap();
    (plan, pages)
}

#[test]
fn set_label_is_read_back_without_a_finding() {
    let (plan, pages) = label();
    let bytes = pdf::write(&pages, &ABOUT).unwrap();
    if let Some(to) = std::env::var_os("WAXBILL_KEEP") {
        std::fs::write(to, &bytes).unwrap();
    }
    let findings = inspect::check(&bytes, &plan);
    assert!(findings.is_empty(), "{findings:#?}");
    let start = std::time::Instant::now();
    let _ = inspect::check(&bytes, &plan);
    println!("read and check of two parts: {:?}", start.elapsed());
}

#[test]
fn any_text_taken_away_is_missed() {
    let (plan, pages) = label();
    let mut tried = 0;
    for p in 0..pages.len() {
        for n in 0..pages[p].items.len() {
            if !matches!(&pages[p].items[n], Placed::Text(_)) {
                continue;
            }
            let mut pages = pages.clone();
            let gone = pages[p].items.remove(n);
            assert!(!check(&pages, &plan).is_empty(), "not missed: {gone:?}");
            tried += 1;
        }
    }
    assert!(tried > 10);
}

#[test]
fn any_statement_asked_for_in_addition_is_missed() {
    let (mut plan, pages) = label();
    for part in 0..2 {
        let extra = plan::text(
            "us/extra",
            "Keep out of reach.",
            waxbill::unit::Length::mm(1),
            waxbill::trade::Measure::Capital,
        );
        plan.parts[part].rows[0].cells[0].block.items.push(extra);
        let findings = check(&pages, &plan);
        assert_eq!(findings.iter().map(|f| f.id.as_str()).collect::<Vec<_>>(), ["us/extra"]);
        plan.parts[part].rows[0].cells[0].block.items.pop();
    }
}
