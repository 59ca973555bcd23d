//! Files given to `check` as labels: which pages are judged, what is refused and why, what is said of files that are damaged.

use crate::bench::Bench;
use crate::drawn::{good, pdf, set};
use waxbill::trade::{Lang, Market};

/// Our own bound: what is printed is the label, unless `--pages` says otherwise.
#[test]
fn pages_without_a_name_are_judged_beside_those_with_one() {
    let bench = Bench::new();
    let mut label = good("low-tide", Market::Us);
    for statement in label.statements.iter_mut().filter(|s| !s.front) {
        statement.text = statement.text.replace("Quillmere", "Quilmere");
    }
    bench.file("drawn.pdf", pdf::write(&set(&label)));
    let told =
        |more: &str| bench.on_the_day(&format!("check products/low-tide.yaml --label drawn.pdf --lot 26329A4 {more}"));
    let both = told("--part front=1");
    assert!(both.contains("`Quilmere` instead of `Quillmere`") && both.contains("page 2, "), "{both}");
    // With its range only the front is judged, and what stands on the back is missing.
    let front = told("--part front=1 --pages 1");
    assert!(front.contains("`WARNING` is not on the label") && !front.contains("page 2"), "{front}");
}

/// Common practice, no source: an option that would do nothing is refused.
#[test]
fn options_for_pages_are_refused_with_words_alone() {
    let bench = Bench::new();
    bench.file("label.txt", "Scented candle\n");
    for more in ["--proof seen.png", "--part front=1", "--pages 1"] {
        let told = bench.on_the_day(&format!("check products/low-tide.yaml --text label.txt {more}"));
        assert!(told.starts_with("exit code 2") && told.contains("cannot be used with"), "{more}: {told}");
        assert!(!bench.path("seen.png").exists());
    }
}

/// The signatures are those of ISO/IEC 15948, 5.2, of ISO/IEC 10918-1, B.1.1.3, and of ISO 32000-1, 7.5.2.
#[test]
fn files_of_another_kind_are_named_as_what_they_are() {
    let bench = Bench::new();
    bench.file("drawn.pdf", pdf::write(&set(&good("low-tide", Market::Us))));
    let told = bench.on_the_day("check products/low-tide.yaml --text drawn.pdf");
    assert!(told.starts_with("exit code 2") && told.contains("`drawn.pdf` is a PDF, not a text"), "{told}");
    assert!(told.contains("check it with `--label drawn.pdf`"), "{told}");
    for (bytes, kind) in [
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".as_slice(), "the file is a PNG picture, and not a PDF"),
        (b"\xFF\xD8\xFF\xE0\0\x10JFIF", "the file is a JPEG picture, and not a PDF"),
        (b"", "the file is empty, and not a PDF"),
        (b"some words", "the file is not a PDF"),
    ] {
        bench.file("label.pdf", bytes);
        let told = bench.on_the_day("check products/low-tide.yaml --label label.pdf");
        assert!(told.starts_with("exit code 2") && told.contains(kind), "{kind}: {told}");
    }
}

/// ISO 32000-1, 7.5.5: the last line of a file is `%%EOF`.
#[test]
fn file_that_was_cut_off_is_told_first() {
    let bench = Bench::new();
    let whole = pdf::write(&set(&good("low-tide", Market::Us)));
    bench.file("drawn.pdf", &whole[..whole.len() - 40]);
    let told =
        bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=1 --part back=2 --lot 26329A4");
    let first = told.split("\n\n").next().unwrap();
    assert!(first.contains("error[label/damaged]: the file is damaged or incomplete"), "{told}");
}

/// The maker writes the number in the workshop file; which signs part its groups is usual practice (no source).
#[test]
fn expected_telephone_number_is_written_as_the_maker_writes_it() {
    let bench = Bench::new();
    let mut label = good("low-tide", Market::Us);
    let phone = label.statements.iter_mut().find(|s| s.text.contains("555")).unwrap();
    phone.text = phone.text.replace("0134", "0143");
    bench.file("drawn.pdf", pdf::write(&set(&label)));
    let told =
        bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=1 --part back=2 --lot 26329A4");
    // Whatever space stands after the country's number.
    let told = told.replace('\u{a0}', " ");
    assert!(told.contains("expected +1 207-555-0134, found"), "{told}");
}

/// Consumer Packaging and Labelling Regulations, C.R.C., c. 417, s. 6(2): English and French.
#[test]
fn language_that_is_not_there_is_said_once_and_first() {
    let bench = Bench::new();
    let checked = |label: &crate::drawn::Label| {
        bench.file("drawn.pdf", pdf::write(&set(label)));
        bench.on_the_day(&format!(
            "check products/{}.yaml --market ca --label drawn.pdf --part front=1 --part back=2 --lot 26329A4",
            label.sample
        ))
    };
    let mut label = good("tidewrack", Market::Ca);
    let told = checked(&label);
    assert!(!told.contains("label/language"), "{told}");
    label.statements.retain(|s| s.lang != Lang::Fr);
    let told = checked(&label);
    let first = told.split("\n\n").next().unwrap();
    assert!(first.contains("error[label/language]: there is hardly any French on the label"), "{told}");
    assert_eq!(told.matches("label/language").count(), 1, "{told}");
}

/// CLP, Annex I, 1.2.1.3: a fifteenth of the least label of 52 x 74 mm, 256.53 mm2, whose root is 16.017 mm.
#[test]
fn needs_tells_the_side_of_a_pictogram_that_check_asks_for() {
    let bench = Bench::new();
    let told = bench.on_the_day("needs products/sea-thrift.yaml --market gb");
    assert!(told.contains("each at least 16.02 mm along its side"), "{told}");
    let told = bench.on_the_day("needs products/sea-thrift.yaml --market gb --json");
    assert!(told.contains("\"least_side_mm\": 16.01"), "{told}");
}

/// Our own bound: the red box is as wide as the word, which is set here in letters of 8 mm on a page of 60 to 200 mm.
#[test]
fn red_box_of_a_proof_covers_the_misspelt_word() {
    let bench = Bench::new();
    let mut label = good("low-tide", Market::Us);
    let name = label.statements.iter_mut().find(|s| s.text == "Quillmere Candle Shed").unwrap();
    "Quilmere Candle Shed".clone_into(&mut name.text);
    name.em = 8.0;
    bench.file("drawn.pdf", pdf::write(&set(&label)));
    bench.on_the_day(
        "check products/low-tide.yaml --label drawn.pdf --part front=1 --part back=2 --lot 26329A4 --proof seen.png",
    );
    let file = std::fs::File::open(bench.path("seen.png")).unwrap();
    let mut reader = png::Decoder::new(std::io::BufReader::new(file)).read_info().unwrap();
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut pixels).unwrap();
    // The longest level line of a colour, in pixels; lines of notes are pale.
    let longest = |[r, g, b]: [u8; 3]| {
        let near = |a: u8, b: u8| a.abs_diff(b) < 60;
        let rows = pixels.chunks(info.line_size).map(|row| {
            let same = row.chunks(3).map(|p| near(p[0], r) && near(p[1], g) && near(p[2], b));
            same.fold((0, 0), |(most, run), same| if same { (most.max(run + 1), run + 1) } else { (most, 0) }).0
        });
        rows.max().unwrap()
    };
    let (red, page) = (longest([205, 20, 20]), longest([190, 0, 160]));
    assert!(red * 10 > page * 2, "the box is {red} pixels wide, the page {page}");
}

/// A load above the wax's own limit makes every figure of the label doubtful; our own choice to say so.
#[test]
fn faults_of_the_product_file_are_told_with_the_label() {
    let bench = Bench::new();
    bench.file("drawn.pdf", pdf::write(&set(&good("low-tide", Market::Us))));
    bench.change("products/low-tide.yaml", "load: 8 %, of: wax", "load: 12 %, of: wax");
    let told = bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=1 --part back=2");
    assert!(told.contains("error[label/product]: the product file has"), "{told}");
}

/// Parts of one size come in the order of the template; the quantity belongs on the side that is shown (16 CFR 500.3).
#[test]
fn parts_of_one_size_are_told_apart_by_their_order_or_by_the_user() {
    let bench = Bench::new();
    bench.on_the_day("label products/night-heron.yaml --market us --lot 26329A4 -o right.pdf");
    let mut document = lopdf::Document::load_mem(&std::fs::read(bench.path("right.pdf")).unwrap()).unwrap();
    let pages = document.catalog().unwrap().get(b"Pages").unwrap().as_reference().unwrap();
    let kids = document.get_dictionary_mut(pages).unwrap().get_mut(b"Kids").unwrap().as_array_mut().unwrap();
    assert_eq!(kids.len(), 2);
    kids.reverse();
    let mut turned = Vec::new();
    document.save_to(&mut turned).unwrap();
    bench.file("turned.pdf", turned);
    let told = |file: &str, more: &str| {
        bench.on_the_day(&format!("check products/night-heron.yaml --market us --label {file} --lot 26329A4 {more}"))
    };
    assert!(told("right.pdf", "").starts_with("exit code 0"), "{}", told("right.pdf", ""));
    assert!(told("turned.pdf", "--part front=2").starts_with("exit code 0"));
    for (file, more) in [("turned.pdf", ""), ("right.pdf", "--part front=2")] {
        let told = told(file, more);
        assert!(
            told.starts_with("exit code 1") && told.contains("belongs on the side shown to the customer"),
            "{told}"
        );
    }
}

/// Our own rule: the maker's name stands in the codes of all her products, so it does not make a code that of this one.
#[test]
fn code_of_another_product_of_the_same_maker_is_told() {
    let bench = Bench::new();
    for (payload, lot, told) in [
        ("Sea Thrift, Quillmere Candle Shed", "", true),
        ("Low Tide, Quillmere Candle Shed", "", false),
        ("Lot 26329A4, Sea Thrift, Quillmere Candle Shed", "--lot 26329A4", true),
        ("Lot 26329A4, Quillmere Candle Shed", "--lot 26329A4", false),
        ("Lot 26329A4, Low Tide, Quillmere Candle Shed", "--lot 26329A4", false),
    ] {
        let mut label = good("low-tide", Market::Us);
        label.qr.as_mut().unwrap().payload = payload.to_owned();
        bench.file("drawn.pdf", pdf::write(&set(&label)));
        let said = bench.on_the_day(&format!("check products/low-tide.yaml --label drawn.pdf {lot}"));
        assert_eq!(said.contains("the QR code holds something else"), told, "{payload}: {said}");
    }
}
