//! All samples in all templates that suit them are read back clean; take any one statement away and it is missed.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop at the first thing that is wrong")]

use std::fs;
use std::path::Path;
use std::sync::Arc;
use waxbill::find::{Finding, Level, Source};
use waxbill::law;
use waxbill::plan::template::{self, BUILT_IN, Template};
use waxbill::plan::{self, Plan};
use waxbill::product::{self, Fetched, Product, Shelf, Shelves};
use waxbill::require::{self, Needs, Occasion};
use waxbill::{inspect, page, pdf};

/// The folder of the sample workshop.
struct Quillmere;

fn source(name: &str) -> Option<Arc<Source>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/quillmere").join(name);
    fs::read_to_string(path).ok().map(|text| Arc::new(Source { name: name.to_owned(), text }))
}

impl Shelves for Quillmere {
    fn fetch(&self, shelf: Shelf, name: &str) -> Fetched {
        source(&format!("{}/{name}.yaml", shelf.folder())).map_or(Fetched::Missing(Vec::new()), Fetched::Found)
    }
    fn workshop(&self) -> Option<Result<Arc<Source>, Finding>> {
        source("workshop.yaml").map(Ok)
    }
}

fn samples() -> Vec<Product> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/quillmere/products");
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    assert!(names.len() >= 6);
    names
        .iter()
        .map(|name| {
            let (product, findings) = product::read(
                &source(&format!("products/{name}")).unwrap(),
                name.trim_end_matches(".yaml"),
                &Quillmere,
            );
            assert!(findings.is_empty(), "{name}: {findings:?}");
            product.unwrap()
        })
        .collect()
}

/// Product, needs and template for every template that suits the product's kind, with and without a lot code.
fn labels() -> Vec<(Needs, Template)> {
    let mut labels = Vec::new();
    for product in samples() {
        for market in &product.markets {
            for lot in [None, Some("26329A4")] {
                let at = Occasion { market: *market, date: "2026-11-25".parse().unwrap(), lot, weighed: None };
                let needs = require::on(&product, &at, law::builtin()).unwrap();
                let before = labels.len();
                for (name, _) in BUILT_IN {
                    let template = template::read(&template::built_in(name).unwrap()).unwrap();
                    let own = product.label.template_for(*market) == Some(name);
                    // A template made for shorter texts is passed over; the product's own has to hold everything.
                    let holds = || plan::of(&needs, &template).is_ok_and(|p| page::set(&p).is_ok());
                    if own || (template.suits.contains(&product.kind) && holds()) {
                        labels.push((needs.clone(), template));
                    }
                }
                assert!(labels.len() > before, "no template holds {} for {market}", product.id);
            }
        }
    }
    labels
}

fn written(plan: &Plan) -> Vec<u8> {
    let pages = page::set(plan).unwrap_or_else(|f| panic!("{}: {f:?}", plan.product));
    pdf::write(&pages, &pdf::About { title: &plan.product, language: "en", subject: "" }).unwrap()
}

#[test]
fn every_sample_in_every_template_of_its_kind_is_read_back_clean() {
    for (needs, template) in labels() {
        let plan = plan::of(&needs, &template).unwrap();
        let findings = inspect::check(&written(&plan), &plan);
        assert!(findings.is_empty(), "{} in {}: {findings:#?}", needs.product, template.name);
    }
}

#[test]
fn any_one_statement_taken_away_is_found_missing() {
    let mut taken = 0;
    for (needs, template) in labels() {
        let whole = plan::of(&needs, &template).unwrap();
        for (n, requirement) in needs.requirements.iter().enumerate() {
            // Signs of one block stand in one row under the id of the first.
            let earlier = |r: &require::Requirement| !r.signs.is_empty() && r.block == requirement.block;
            let in_row = !requirement.signs.is_empty() && needs.requirements[..n].iter().any(earlier);
            if requirement.block.word() == "shipping box" || in_row {
                continue;
            }
            let mut fewer = needs.clone();
            fewer.requirements.retain(|r| r.id != requirement.id);
            let bytes = written(&plan::of(&fewer, &template).unwrap());
            let findings = inspect::check(&bytes, &whole);
            assert!(
                findings.iter().any(|f| f.id == requirement.id),
                "{} in {}: nobody missed {}",
                needs.product,
                template.name,
                requirement.id
            );
            // A required or standard statement must stop the label, not only be remarked on.
            let binds = matches!(requirement.severity.word(), "required" | "standard");
            let stops = findings.iter().any(|f| f.id == requirement.id && f.level == Level::Error);
            assert!(!binds || stops, "{} is missing and the label is not stopped", requirement.id);
            taken += 1;
        }
    }
    assert!(taken > 200, "{taken}");
}

#[test]
fn the_same_product_gives_the_same_bytes() {
    for (needs, template) in labels().into_iter().take(4) {
        let plan = plan::of(&needs, &template).unwrap();
        assert_eq!(written(&plan), written(&plan));
    }
}
