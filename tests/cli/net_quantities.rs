//! Net quantities, near misses, symbols and empty pages of drawn labels, as the user meets them.

use crate::bench::Bench;
use crate::drawn::{Label, good, pdf, set};
use waxbill::trade::Market;

fn checked(bench: &Bench, label: &Label) -> String {
    bench.file("drawn.pdf", pdf::write(&set(label)));
    bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=1 --part back=2 --lot 26329A4")
}

/// The label of Low Tide with another declaration: 9 oz are 255.1 g (1 oz = 28.349523125 g).
fn declaring(text: &str) -> Label {
    let mut label = good("low-tide", Market::Us);
    text.clone_into(&mut label.statements.iter_mut().find(|s| s.text.starts_with("NET")).unwrap().text);
    label
}

/// 16 CFR 500.8(a) asks for both systems and shows either in front; 500.9(a) leaves `net weight` free. No rule asks for brackets.
#[test]
fn both_units_are_seen_whatever_stands_between_them() {
    let bench = Bench::new();
    for text in [
        "9 OZ / 255 g",
        "NET WT 9 OZ / 255 g",
        "NET WT 255 g / 9 OZ",
        "NET WT 9 OZ - 255 g",
        "NET WT 9 OZ/255 g",
        "NET WT 9 OZ | 255 g",
        "NET WT 9 OZ \u{b7} 255 g",
        "NET WT 255 g (9 OZ)",
        "9 OZ (255 g)",
        "9 OZ (255 g) NET WT",
    ] {
        let told = checked(&bench, &declaring(text));
        assert!(told.starts_with("exit code 0"), "{text}: {told}");
        let words: Vec<String> = declaring(text).statements.iter().map(|s| s.text.clone()).collect();
        bench.file("label.txt", words.join("\n"));
        let told = bench.on_the_day("check products/low-tide.yaml --text label.txt --lot 26329A4");
        assert!(told.starts_with("exit code 0"), "{text}: {told}");
        // The faulty twin says something else in grams.
        let told = checked(&bench, &declaring(&text.replace("255", "225")));
        assert!(told.contains("`225 g`") && told.starts_with("exit code 1"), "{text}: {told}");
    }
    let told = checked(&bench, &declaring("NET WT 9 OZ"));
    assert!(told.contains("the quantity `9 OZ` stands in customary units only"), "{told}");
}

/// 16 CFR 500.22 and 500.23: the short forms and symbols are closed lists; SI Brochure, 9th edition, 5.2: small letters.
#[test]
fn other_symbols_and_short_forms_are_told() {
    let bench = Bench::new();
    for (text, says) in [
        ("NET WT 9 OZ (255 gr)", "`gr` in `255 gr` is not the symbol of the gram"),
        ("NET WT 9 OZ (255 gm)", "`gm` in `255 gm` is not the symbol of the gram"),
        ("NET WT 9 OZ (255 G)", "the symbol `G` in `255 G` is written with a small letter"),
        ("NT WT 9 OZ (255 g)", "`NT WT` before `9 OZ` is misspelt"),
        ("NET WGT 9 OZ (255 g)", "`NET WGT` before `9 OZ` is misspelt"),
    ] {
        let told = checked(&bench, &declaring(text));
        assert!(told.starts_with("exit code 1") && told.contains(says), "{text}: {told}");
        assert!(!told.contains("must stay free"), "{text}: {told}");
    }
    for text in
        ["NET WT 9 OZ (255 g)", "NET WT. 9 OZS. (255 g)", "NET MASS 9 OZ (255 g)", "NET WEIGHT 9 OZ (255 GRAMS)"]
    {
        let told = checked(&bench, &declaring(text));
        assert!(!told.contains("misspelt") && !told.contains("us/net-quantity-units"), "{text}: {told}");
    }
}

#[test]
fn what_is_too_small_is_quoted_as_it_stands() {
    let bench = Bench::new();
    let mut label = declaring("NET WT 9 OZ / 250 g");
    label.statements.iter_mut().find(|s| s.text.starts_with("NET")).unwrap().em *= 0.4;
    let told = checked(&bench, &label);
    assert!(told.contains("`NET WT 9 OZ / 250 g` is printed too small"), "{told}");
}

#[test]
fn one_phrase_is_charged_to_one_statement() {
    let bench = Bench::new();
    let mut label = good("low-tide", Market::Us);
    label.statements.retain(|s| !s.text.starts_with("Keep from drafts"));
    for s in &mut label.statements {
        s.text = s.text.replace("things", "thinks").replace("within sight", "within site");
    }
    let told = checked(&bench, &label);
    assert!(told.contains("`thinks` instead of `things`"), "{told}");
    assert!(told.contains("instead of `sight`") && told.contains("found Burn candle within site."), "{told}");
    assert!(told.contains("`Keep from drafts.` is not on the label"), "{told}");
    assert_eq!(told.matches("found Keep away from thinks that catch fire.").count(), 1, "{told}");
    let told = checked(&bench, &good("low-tide", Market::Us));
    assert!(told.starts_with("exit code 0"), "{told}");
}

/// A page of 100 x 50 mm with this content; /F is Helvetica, /S has a triangle as its letter `A`, which stands for U+26A0.
fn page(media: &str, content: &str) -> String {
    let map = "/CIDInit /ProcSet findresource begin begincmap 1 begincodespacerange <00><FF> endcodespacerange \
               1 beginbfchar <41><26A0> endbfchar endcmap end";
    // 730 high, a little higher at 13 points than the capitals of Helvetica at 12, and 843 wide: of equal sides; the mark is left open.
    let triangle = "843 0 0 0 843 730 d1 0 0 m 843 0 l 421 730 l h 380 250 m 460 250 l 460 500 l 380 500 l h f*";
    format!(
        "%PDF-1.7\n1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n2 0 obj\n<</Type/Pages/Kids[3 0 R]/Count 1>>\nendobj\n\
         3 0 obj\n<</Type/Page/Parent 2 0 R{media}/Contents 5 0 R/Resources<</Font<</F 4 0 R/S 6 0 R>>>>>>\nendobj\n\
         4 0 obj\n<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>\nendobj\n\
         5 0 obj\n<</Length {}>>\nstream\n{content}\nendstream\nendobj\n\
         6 0 obj\n<</Type/Font/Subtype/Type3/FontBBox[0 0 843 730]/FontMatrix[.001 0 0 .001 0 0]/CharProcs<</t 7 0 R>>\
         /Encoding<</Differences[65/t]>>/FirstChar 65/LastChar 65/Widths[843]/ToUnicode 8 0 R/Resources<<>>>>\nendobj\n\
         7 0 obj\n<</Length {}>>\nstream\n{triangle}\nendstream\nendobj\n\
         8 0 obj\n<</Length {}>>\nstream\n{map}\nendstream\nendobj\ntrailer\n<</Size 9/Root 1 0 R>>\n%%EOF\n",
        content.len(),
        triangle.len(),
        map.len()
    )
}

const SIZE: &str = "/MediaBox[0 0 283.465 141.732]";

/// ANSI Z535.4 wants a triangle with an exclamation mark as high as the signal word (from memory); U+26A0 is one (The Unicode
/// Standard, Miscellaneous Symbols).
#[test]
fn alert_symbol_set_as_a_letter_is_seen() {
    let bench = Bench::new();
    let told = |letter: &str| {
        let words = "BT /F 12 Tf 40 60 Td (WARNING) Tj ET BT /F 9 Tf 40 40 Td (Poured while the tide is out.) Tj ET";
        bench.file("drawn.pdf", page(SIZE, &format!("{letter} {words}")));
        bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=1")
    };
    let absent = "the safety alert symbol does not stand immediately before `WARNING`";
    let right = told("BT /S 13 Tf 27 60 Td (A) Tj ET");
    assert!(!right.contains(absent), "{right}");
    assert!(
        right.contains("note[label/alert-letter]: the safety alert symbol before `WARNING` is a letter"),
        "{right}"
    );
    // Too low, too far, another line, none.
    for (faulty, says) in [
        ("BT /S 8 Tf 32 60 Td (A) Tj ET", "the safety alert symbol before `WARNING` is lower than its capitals"),
        ("BT /S 13 Tf 4 60 Td (A) Tj ET", "the safety alert symbol stands too far before `WARNING`"),
        ("BT /S 12 Tf 27 90 Td (A) Tj ET", absent),
        ("", absent),
    ] {
        let told = told(faulty);
        assert!(told.contains(says) && !told.contains("label/alert-letter"), "{faulty}: {told}");
    }
}

#[test]
fn empty_page_is_told_as_one_and_a_page_without_a_size_is_refused() {
    let bench = Bench::new();
    let check = |media: &str, content: &str| {
        bench.file("drawn.pdf", page(media, content));
        bench.on_the_day("check products/low-tide.yaml --label drawn.pdf")
    };
    let told = check(SIZE, "q Q");
    assert!(told.contains("error[label/no-text]: the page is empty: nothing is printed on it"), "{told}");
    assert_eq!(told.matches("[us/").count(), 0, "{told}");
    let words = "BT /F 9 Tf 20 60 Td (Scented candle) Tj ET";
    assert!(!check(SIZE, words).contains("empty"));
    // ISO 32000-1, 14.11.2: the boxes say how large a page is.
    for media in ["/MediaBox[0 0 0 0]", "/MediaBox[0 0 283 141]/CropBox[300 300 400 400]", "/MediaBox[0 0 283 0]"] {
        let told = check(media, words);
        assert!(told.starts_with("exit code 2") && told.contains("has no size"), "{media}: {told}");
    }
}

#[test]
fn part_that_the_template_has_not_and_a_text_that_is_none_are_refused() {
    let bench = Bench::new();
    bench.file("drawn.pdf", pdf::write(&set(&good("low-tide", Market::Us))));
    let told = bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part lid=1");
    assert!(told.starts_with("exit code 2") && told.contains("its parts are `front`, `base`"), "{told}");
    let told = bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=1 --part base=2");
    assert!(!told.contains("label/pages"), "{told}");
    bench.file("logo.png", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR");
    let told = bench.on_the_day("check products/low-tide.yaml --text logo.png");
    assert!(told.starts_with("exit code 2") && told.contains("name a text file with the words of the label"), "{told}");
}
