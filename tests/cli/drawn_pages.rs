//! `check --label` with files of many pages: what is judged, and what is left to the eye.

use crate::bench::Bench;
use crate::drawn::{good, pdf, set};
use insta::assert_snapshot;
use waxbill::trade::Market;

#[test]
fn sheets_of_one_label_are_judged_once() {
    let bench = Bench::new();
    bench.on_the_day(
        "label products/low-tide.yaml --lot 26329A4 --part base --sheet a4-2x4-round --serial 1..20 -o s.pdf",
    );
    let json = bench.on_the_day("check products/low-tide.yaml --label s.pdf --lot 26329A4 --json");
    // What stands on the front is missing, and nothing that stands again on the other sheets is told to be out of place.
    let missing = [
        "us/identity#identity",
        "us/net-weight#net weight",
        "us/burn-time#burn time",
        "policy/product-name#product name",
    ];
    let told: Vec<&str> =
        json.lines().filter_map(|l| l.trim().strip_prefix("\"id\": \"")?.strip_suffix("\",")).collect();
    assert_eq!(told, [&missing[..], &["label/sheet"]].concat(), "{json}");
    assert!(json.contains("pages 2 to 3 say the same"), "{json}");
}

#[test]
fn label_may_stand_on_some_pages_of_a_file() {
    let bench = Bench::new();
    let sheets = [set(&good("dune-grass", Market::Us)), set(&good("low-tide", Market::Us))].concat();
    let pages = sheets.len();
    bench.file("range.pdf", pdf::write(&sheets));
    let told = bench.on_the_day(&format!(
        "check products/low-tide.yaml --label range.pdf --lot 26329A4 --pages {}..{pages} --json",
        set(&good("dune-grass", Market::Us)).len() + 1
    ));
    assert!(told.contains("\"verdict\": \"pass\""), "{told}");
    let told = bench.on_the_day("check products/low-tide.yaml --label range.pdf --lot 26329A4 --pages 1..2 --json");
    assert!(told.contains("\"verdict\": \"findings\""), "{told}");
    assert_snapshot!(bench.on_the_day("check products/low-tide.yaml --label range.pdf --pages 1..99"));
}

#[test]
fn page_with_the_same_words_in_smaller_type_is_judged_too() {
    let bench = Bench::new();
    let good = good("low-tide", Market::Us);
    let mut small = good.clone();
    // 16 CFR 500.21: at least 3/16 in (4.8 mm) where the panel is above 25 and up to 100 square inches, 1/8 in (3.2 mm) above 5.
    small.statements.iter_mut().find(|s| s.text.starts_with("NET")).unwrap().em *= 0.4;
    let check = |bench: &Bench| bench.on_the_day("check products/low-tide.yaml --label twice.pdf --lot 26329A4 --json");
    bench.file("twice.pdf", pdf::write(&[set(&good), set(&good)].concat()));
    let told = check(&bench);
    assert!(told.contains("\"verdict\": \"pass\"") && told.contains("page 3 says the same"), "{told}");
    bench.file("twice.pdf", pdf::write(&[set(&good), set(&small)].concat()));
    let told = check(&bench);
    assert!(
        told.contains("\"verdict\": \"findings\"") && told.contains("page 1 and page 3 say the same words"),
        "{told}"
    );
    let told = bench.on_the_day("check products/low-tide.yaml --label twice.pdf --lot 26329A4 --pages 3..4 --json");
    assert!(told.contains("us/net-weight"), "{told}");
}
