//! The fitted size is the largest at which all blocks of a part fit: every larger step is tried.
//!
//! Fitting is not monotone: larger type breaks into other lines, which may fit where a smaller size does not. The claim is
//! the program's own, and so is the meaning of "fit"; only the search is held against one that leaves nothing out.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first thing that is wrong")]

mod quillmere;

use quillmere::{needs, samples};
use std::collections::BTreeSet;
use waxbill::page::{self, Fitted};
use waxbill::plan::template::{self, BUILT_IN};
use waxbill::plan::{self, Plan};

/// Every sample in every market and template that suits it. Nothing is thinned out: trying all steps takes some seconds.
fn every_plan() -> Vec<(String, &'static str, Plan)> {
    let mut all = Vec::new();
    for product in samples() {
        for market in &product.markets {
            let needs = needs(&product, *market, Some("26329A4"));
            for (name, _) in BUILT_IN {
                let template = template::read(&template::built_in(name).unwrap()).unwrap();
                if template.suits.contains(&product.kind)
                    && let Ok(plan) = plan::of(&needs, &template)
                {
                    all.push((format!("{} {market} {name}", product.id), *name, plan));
                }
            }
        }
    }
    all
}

#[test]
fn no_larger_size_fits_than_the_one_that_was_found() {
    let (mut tried, mut grown, mut templates) = (0, 0, BTreeSet::new());
    for (label, template, plan) in every_plan() {
        for Fitted { part, scale, larger, tried: steps } in page::fitted(&plan) {
            assert_eq!(larger, [0_i64; 0], "{label}, {part}: set at {scale} 64ths");
            assert!(scale >= 64, "{label}, {part}");
            tried += steps;
            grown += usize::from(scale > 64);
            templates.insert(template);
        }
    }
    // Were nothing tried, or everything set at its floor, the test would say nothing.
    assert!(tried > 5_000 && grown > 100, "{tried} steps, {grown} grown");
    assert_eq!(templates.len(), BUILT_IN.len());
}

/// The same label is fitted to the same size each time.
#[test]
fn fitting_is_the_same_each_time() {
    for (label, _, plan) in every_plan().into_iter().step_by(9) {
        assert_eq!(page::fitted(&plan), page::fitted(&plan), "{label}");
    }
}
