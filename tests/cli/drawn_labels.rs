//! `check --label` and `check --text` as the user meets them.

use crate::bench::Bench;
use crate::drawn::{Dress, good, pdf, set};
use insta::assert_snapshot;
use waxbill::trade::{Lang, Market};

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

fn checked(bench: &Bench, label: &crate::drawn::Label) -> String {
    bench.file("drawn.pdf", pdf::write(&set(label)));
    bench.on_the_day(&format!(
        "check products/{}.yaml --market {} --label drawn.pdf --part front=1 --part back=2 --lot 26329A4",
        label.sample, label.market
    ))
}

#[test]
fn a_line_over_the_edge_is_told_and_explained() {
    let bench = Bench::new();
    let mut label = good("low-tide", Market::Us);
    let n = label.statements.iter().position(|s| s.text.starts_with("Light along")).unwrap();
    let mut other = label.statements[n].clone();
    // What a rule asks for is told once, as that.
    label.statements[n].shift = [-12.0, 0.0];
    let told = checked(&bench, &label);
    assert!(told.contains("`Light along the whole wick.` is cut off at the edge of"), "{told}");
    assert!(!told.contains("label/over-the-edge"), "{told}");
    label.statements[n].shift = [0.0, 0.0];
    "Poured while the tide is out.".clone_into(&mut other.text);
    other.shift = [-12.0, 0.0];
    label.statements.push(other);
    let told = checked(&bench, &label);
    assert!(told.contains("[label/over-the-edge]: `Poured while the tide is out.` runs over the edge"), "{told}");
    let said = bench.run("explain label/over-the-edge");
    assert!(said.starts_with("exit code 0") && said.contains("a line of words lies partly beyond the edge"), "{said}");
    let said = bench.run("explain label/over-the-edge --json");
    assert!(said.contains("\"id\": \"label/over-the-edge\""), "{said}");
}

/// The sentence of EUH208 is one statement with its names (CLP, Annex II, 2.8).
#[test]
fn names_on_another_part_than_their_sentence_are_told() {
    let bench = Bench::new();
    let mut label = good("samphire", Market::Gb);
    let n = label.statements.iter().position(|s| s.text.contains("May produce an allergic reaction.")).unwrap();
    let (names, _) = label.statements[n].text.split_once(" May produce").unwrap();
    let mut front = label.statements[n].clone();
    (front.text, front.front) = (names.to_owned(), true);
    label.statements[n].text = "May produce an allergic reaction.".to_owned();
    label.statements.push(front);
    let told = checked(&bench, &label);
    assert!(told.contains("the names and `May produce an allergic reaction` stand on two parts"), "{told}");
}

#[test]
fn words_a_quarter_turned_or_round_a_circle_are_read_where_they_stand() {
    for dress in [Dress::Turned, Dress::Curved] {
        let bench = Bench::new();
        let mut label = crate::drawn::Label { dress, ..good("low-tide", Market::Us) };
        let told = checked(&bench, &label);
        assert!(told.starts_with("exit code 0"), "{dress:?} {told}");
        let name = label.statements.iter_mut().find(|s| s.key == "maker name").unwrap();
        name.text = name.text.replace("Shed", "Shde");
        let told = checked(&bench, &label);
        assert!(told.contains("us/maker#maker name") && told.contains("`Shde` instead of `Shed`"), "{dress:?} {told}");
        assert!(told.contains("page 2 (back), "), "{dress:?} {told}");
    }
}

/// 16 CFR 500.6(b): in lines generally parallel to the base on which the package rests.
#[test]
fn a_quantity_that_climbs_the_label_is_told() {
    let bench = Bench::new();
    let mut label = good("low-tide", Market::Us);
    let net = label.statements.iter_mut().find(|s| s.foot).unwrap();
    (net.turned, net.shift) = (true, [40.0, 0.0]);
    let told = checked(&bench, &label);
    assert!(told.contains("[us/net-quantity-parallel]"), "{told}");
}

#[test]
fn one_finding_tells_of_all_statements_that_stand_unlike_in_two_languages() {
    let bench = Bench::new();
    let mut label = good("plover", Market::Ca);
    label.statements.iter_mut().filter(|s| s.lang == Lang::En && !s.front).for_each(|s| s.em *= 1.2);
    let told = checked(&bench, &label);
    assert_eq!(told.matches("[ca/equal-languages]").count(), 1, "{told}");
    assert!(told.contains("so it is with "), "{told}");
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

/// A page of 100 x 50 mm with this content, one of the 14 standard fonts as /F.
fn page(content: &str) -> String {
    format!(
        "%PDF-1.7\n1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n2 0 obj\n<</Type/Pages/Kids[3 0 R]/Count 1>>\nendobj\n\
         3 0 obj\n<</Type/Page/Parent 2 0 R/MediaBox[0 0 283.465 141.732]/Contents 5 0 R/Resources<</Font<</F 4 0 R>>>>>>\nendobj\n\
         4 0 obj\n<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>\nendobj\n\
         5 0 obj\n<</Length {}>>\nstream\n{content}\nendstream\nendobj\ntrailer\n<</Size 6/Root 1 0 R>>\n%%EOF\n",
        content.len()
    )
}

#[test]
fn words_over_each_other_are_told_once_whether_the_law_asks_for_them_or_not() {
    let bench = Bench::new();
    let over = |first: &str, second: &str| {
        let content = format!("BT /F 9 Tf 20 60 Td ({first}) Tj ET BT /F 9 Tf 22 61 Td ({second}) Tj ET");
        bench.file("drawn.pdf", page(&content));
        bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=1")
    };
    let told = over("Salty and calm", "Brushed with kelp");
    assert!(told.starts_with("exit code 1"), "{told}");
    assert!(
        told.contains("error[label/overlap]: `Salty` and `Brushed` are printed over each other: they share"),
        "{told}"
    );
    let told = over("Scented candle", "Brushed with kelp");
    let times = told.matches("over or under").count() + told.matches("[label/overlap]: `Scented`").count();
    assert_eq!(times, 1, "{told}");
}

#[test]
fn file_that_costs_too_much_to_read_is_refused_with_the_reason() {
    let bench = Bench::new();
    for (name, says) in [
        ("function-wide", "page 1 of the PDF holds a colour, a gradient or a function of more than 512 KB"),
        ("function-program-deep", "page 1 of the PDF holds forms, functions or colours within each other"),
        ("font-widths", "page 1 of the PDF has a font that tells of more letters than any font has"),
        ("bomb-twice", "the streams of the PDF unpack to more than 96 MB"),
    ] {
        bench.file("drawn.pdf", std::fs::read(format!("tests/foreign/broken/{name}.pdf")).unwrap());
        let told = bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=1");
        assert!(told.starts_with(&format!("exit code 2\n--- stderr\nerror[file/pdf]: {says}")), "{name}: {told}");
    }
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
