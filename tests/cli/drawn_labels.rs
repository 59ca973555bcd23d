//! `check --label` and `check --text` as the user meets them.

use crate::bench::Bench;
use crate::drawn::{good, pdf, set};
use insta::assert_snapshot;
use waxbill::trade::Market;

#[test]
fn a_misspelt_warning_is_told_word_by_word_with_its_place() {
    let bench = Bench::new();
    let mut label = good("sea-thrift", Market::Gb);
    let statement = label.statements.iter_mut().find(|s| s.text.contains("allergic")).unwrap();
    statement.text = statement.text.replace("allergic", "alergic");
    bench.file("drawn.pdf", pdf::write(&set(&label)));
    assert_snapshot!(bench.on_the_day(
        "check products/sea-thrift.yaml --market gb --label drawn.pdf --part front=1 --part back=2 --lot 26329A4"
    ));
}

#[test]
fn words_of_a_text_are_checked_without_their_size() {
    let bench = Bench::new();
    let text: Vec<String> = good("dune-grass", Market::Us).statements.iter().map(|s| s.text.clone()).collect();
    bench.file("label.txt", text.join("\n"));
    assert_snapshot!(bench.on_the_day("check products/dune-grass.yaml --text label.txt --lot 26329A4"));
    bench.file("label.txt", text.join("\n").replace("Do not eat", "Do not heat"));
    assert_snapshot!(bench.on_the_day("check products/dune-grass.yaml --text label.txt --lot 26329A4"));
}

#[test]
fn a_label_is_for_one_market_and_its_parts_are_on_its_pages() {
    let bench = Bench::new();
    bench.file("drawn.pdf", pdf::write(&set(&good("low-tide", Market::Us))));
    assert_snapshot!(bench.on_the_day("check products/sea-thrift.yaml --label drawn.pdf"));
    assert_snapshot!(bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=3"));
    bench.file("no.pdf", "no PDF at all");
    assert_snapshot!(bench.on_the_day("check products/low-tide.yaml --label no.pdf"));
}

#[test]
fn a_proof_shows_what_was_read() {
    let bench = Bench::new();
    bench.file("drawn.pdf", pdf::write(&set(&good("low-tide", Market::Us))));
    let told = bench.on_the_day(
        "check products/low-tide.yaml --label drawn.pdf --part front=1 --part back=2 --lot 26329A4 --proof seen.png --json",
    );
    assert!(told.contains("\"verdict\": \"pass\""), "{told}");
    // ISO/IEC 15948, 5.2: the signature every PNG begins with.
    assert!(std::fs::read(bench.path("seen.png")).unwrap().starts_with(b"\x89PNG\r\n\x1a\n"));
}

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
