//! `label` on paper: what it answers, what it refuses, and that nothing is left behind when it refuses.

use crate::bench::Bench;
use insta::assert_snapshot;

/// A workshop with its own sheet, after a change.
fn own(from: &str, to: &str) -> Bench {
    let bench = Bench::new();
    let text = waxbill::sheet::built_in("a4-3x4").unwrap().text.clone();
    bench.file("sheets/mine.yaml", text);
    bench.change("sheets/mine.yaml", from, to);
    bench
}

/// The answer, which must be a refusal that leaves no PDF behind.
fn refused(bench: &Bench, options: &str) -> String {
    let told = bench.on_the_day(&format!("label products/low-tide.yaml --lot 26329A4 {options}"));
    let left = std::fs::read_dir(bench.path("")).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap());
    let left: Vec<String> = left.filter(|n| n.contains(".pdf") || n.starts_with(".waxbill")).collect();
    assert!(left.is_empty(), "{left:?}");
    told
}

#[test]
fn labels_many_to_a_sheet_begin_where_the_used_sheet_is_free() {
    let bench = Bench::new();
    let line = "label products/low-tide.yaml --lot 26329A4 --part front --sheet a4-3x4 --start 7 --count 24";
    assert_snapshot!(bench.on_the_day(line), @"
    exit code 0
    --- stdout
    low-tide-us-sheets.pdf: 24 labels on 3 pages for us, each read back from the file
      front    60.0 x 70.0 mm, 24 on 3 sheets of a4-3x4
    Print at 100 %, without fitting to the page. Local codes and licensed practice come first.
    ");
    assert!(std::fs::read(bench.path("low-tide-us-sheets.pdf")).unwrap().starts_with(b"%PDF-"));
}

#[test]
fn units_are_numbered_and_each_part_has_its_own_sheet() {
    let line = "label products/low-tide.yaml --lot 26329A4 --serial 1..20 -o units.pdf --json \
                --sheet a4-3x4 --sheet base=a4-2x4-round";
    assert_snapshot!(Bench::new().on_the_day(line), @r#"
    exit code 0
    --- stdout
    {
      "corrected": false,
      "date": "2026-11-25",
      "file": "units.pdf",
      "findings": [],
      "lot": "26329A4",
      "market": "us",
      "parts": [
        {
          "height_mm": 70.0,
          "labels": 20,
          "pages": 2,
          "part": "front",
          "sheet": "a4-3x4",
          "start": 1,
          "width_mm": 60.0
        },
        {
          "height_mm": 68.0,
          "labels": 20,
          "pages": 3,
          "part": "base",
          "sheet": "a4-2x4-round",
          "start": 1,
          "width_mm": 68.0
        }
      ],
      "pictures": [],
      "product": "low-tide",
      "start": 1,
      "units": [
        "26329A4-001",
        "26329A4-020"
      ]
    }
    "#);
}

#[test]
fn a_sheet_of_the_workshop_comes_before_the_built_in_one_and_a_file_before_both() {
    let bench = own("columns: 3", "columns: 2");
    let line = "label products/low-tide.yaml --lot 26329A4 --part front -o a.pdf --sheet";
    let (name, file) =
        (bench.on_the_day(&format!("{line} mine")), bench.on_the_day(&format!("{line} sheets/mine.yaml")));
    assert!(name.contains("8 on 1 sheet of a4-3x4"), "{name}");
    assert_eq!(name, file);
}

#[test]
fn positions_that_overlap_are_refused() {
    assert_snapshot!(refused(&own("across: 64 mm", "across: 59 mm"), "--part front --sheet mine"), @"
    exit code 2
    --- stderr
    error[sheet/overlap]: positions overlap: each is 60 mm across, and the next begins after 59 mm
      --> sheets/mine.yaml:10:17
       |
     8 | shape: {rounded: {width: 60 mm, height: 70 mm, corner: 3 mm}}
       |        - this position
     9 | margin: {left: 11 mm, top: 5.5 mm}           # from the paper's edges to the first position
    10 | pitch: {across: 59 mm, down: 72 mm}          # from one position's edge to the same edge of the next
       |                 ^^^^^ this pitch
       |
    help: the pitch is measured from one edge to the same edge of the next position: 60 mm or more
    ");
}

#[test]
fn positions_that_leave_the_paper_are_refused() {
    assert_snapshot!(refused(&own("rows: 4", "rows: 5"), "--part front --sheet mine"), @"
    exit code 2
    --- stderr
    error[sheet/off-paper]: the last position ends 66.5 mm beyond the lower edge of the paper
      --> sheets/mine.yaml:9:28
       |
     9 | margin: {left: 11 mm, top: 5.5 mm}           # from the paper's edges to the first position
       |                            ^^^^^^ this margin
    10 | pitch: {across: 64 mm, down: 72 mm}          # from one position's edge to the same edge of the next
       |                              ----- this pitch
       |
    help: measure margin and pitch again, count columns and rows, and look at the paper's size
    ");
}

#[test]
fn a_pitch_of_nothing_is_refused() {
    assert_snapshot!(refused(&own("down: 72 mm", "down: 0 mm"), "--part front --sheet mine"), @"
    exit code 2
    --- stderr
    error[sheet/pitch]: a pitch down of nothing lays all positions on each other
      --> sheets/mine.yaml:10:30
       |
     8 | shape: {rounded: {width: 60 mm, height: 70 mm, corner: 3 mm}}
       |        - this position
     9 | margin: {left: 11 mm, top: 5.5 mm}           # from the paper's edges to the first position
    10 | pitch: {across: 64 mm, down: 0 mm}          # from one position's edge to the same edge of the next
       |                              ^^^^ this pitch
       |
    help: the pitch is measured from one edge to the same edge of the next position: 70 mm or more
    ");
}

#[test]
fn a_start_past_the_end_is_refused() {
    assert_snapshot!(refused(&Bench::new(), "--part front --sheet a4-3x4 --start 13"), @"
    exit code 2
    --- stderr
    error[sheet/start]: position 13 is asked for, and the sheet `a4-3x4` has 12
     --> sheets/a4-3x4.yaml:3:1
      |
    3 | sheet: a4-3x4
      | ^^^^^ this sheet
      |
    help: begin at a position from 1 to 12, counted row by row from the upper left
    ");
}

#[test]
fn a_label_larger_than_the_position_is_refused() {
    assert_snapshot!(refused(&own("width: 60 mm", "width: 59 mm"), "--part front --sheet mine"), @"
    exit code 2
    --- stderr
    error[sheet/label-too-large]: the part `front` measures 60 mm x 70 mm, and a position of the sheet `a4-3x4` 59 mm x 70 mm
     --> sheets/mine.yaml:3:1
      |
    3 | sheet: a4-3x4
      | ^^^^^ this sheet
      |
    help: print one part with `--part`, name a sheet for each (`--sheet front=a4-3x4 --sheet base=a4-2x4-round`), or one with larger positions
    ");
}

#[test]
fn a_start_for_several_parts_is_refused() {
    assert_snapshot!(refused(&Bench::new(), "--sheet a4-3x4 --start 2"), @"
    exit code 2
    --- stderr
    error[sheet/start]: `--start 2` does not say which part the used sheet is for
     |
    help: name it: `--start front=2`, or `--start base=2`; or print the parts one by one with `--part`
    ");
}

#[test]
fn each_part_may_have_a_start_of_its_own_and_one_part_needs_no_name() {
    let bench = Bench::new();
    let line =
        "label products/low-tide.yaml --lot 26329A4 --count 3 --json -o a.pdf --sheet a4-3x4 --sheet base=a4-2x4-round";
    let json = |more: &str| -> serde_json::Value {
        let told = bench.on_the_day(&format!("{line} {more}"));
        serde_json::from_str(told.split_once("--- stdout\n").unwrap_or_else(|| panic!("{told}")).1).unwrap()
    };
    let starts = |more: &str| {
        json(more)["parts"]
            .as_array()
            .unwrap_or_else(|| panic!("{}", json(more)))
            .iter()
            .map(|p| p["start"].clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(starts(""), [1, 1]);
    assert_eq!(starts("--start base=7"), [1, 7]);
    assert_eq!(starts("--start front=3 --start base=7"), [3, 7]);
    assert_eq!(starts("--start 3 --start base=7"), [3, 7]);
    assert_eq!(starts("--part front --start 3"), [3]);
    // A piece of several faces is one part. 70 mm of height fit into a position of this sheet, 295 mm of width do not.
    let sleeve = bench.change("products/mudflat.yaml", "template: tea-light-box", "template: box-sleeve");
    let told = sleeve.on_the_day("label products/mudflat.yaml --lot 26329A4 --sheet a4-3x4 --start 2");
    assert!(told.contains("sheet/label-too-large"), "{told}");
    let told = refused(&Bench::new(), "--sheet a4-3x4 --start bas=2");
    assert!(told.contains("no part `bas`") && told.contains("did you mean `base`?"), "{told}");
    assert!(refused(&Bench::new(), "--sheet a4-3x4 --start front=0").contains("write a whole number from 1 to 10000"));
}

#[test]
fn a_sheet_that_is_not_there_is_told_with_the_nearest() {
    assert_snapshot!(refused(&Bench::new(), "--sheet a4-3x5"), @"
    exit code 2
    --- stderr
    error[sheet/no-sheet]: there is no sheet `a4-3x5`, neither in the workshop's `sheets` folder nor built in
     |
    help: did you mean `a4-3x4`? built in are `a4-2x3`, `a4-2x4-round`, `a4-3x4`, `a4-3x8`, `letter-2x3-round`, `letter-3x3`, `letter-3x10`
    ");
}

#[test]
fn a_part_without_the_lot_cannot_be_numbered() {
    assert_snapshot!(refused(&Bench::new(), "--part front --serial 1..4"), @"
    exit code 2
    --- stderr
    error[sheet/no-unit-code]: nothing on the part `front` names the lot, so its labels cannot be numbered
     |
    help: print this part with `--count`, and number the one that carries the block `lot`
    ");
}

#[test]
fn numbers_without_a_lot_or_out_of_order_are_refused() {
    let bench = Bench::new();
    let without = bench.on_the_day("label products/low-tide.yaml --serial 1..4");
    assert!(without.starts_with("exit code 2") && without.contains("--lot <CODE>"), "{without}");
    for odd in ["4..1", "0..4", "1..20000", "1-4"] {
        let told = refused(&bench, &format!("--serial {odd}"));
        assert!(told.starts_with("exit code 2") && told.contains("--serial"), "{told}");
    }
}

#[test]
fn a_printer_measured_on_a_fitted_page_is_refused() {
    let bench = Bench::new();
    let printer = "loss: 2 %\nprinter:\n  across: {starts at: 20 mm, measures: 140 mm}\n ";
    bench.change("workshop.yaml", "loss: 2 % ", printer);
    assert_snapshot!(refused(&bench, "--part front --sheet a4-3x4"), @"
    exit code 2
    --- stderr
    error[sheet/printer]: the ruler of 150 mm measures 140 mm
      --> workshop.yaml:18:40
       |
    18 |   across: {starts at: 20 mm, measures: 140 mm}
       |                                        ^^^^^^ measured here
       |
    help: a printer is off by less than 3 %: print the test page again at 100 %, without fitting to the page
    ");
}

#[test]
fn a_printer_with_an_error_changes_the_sheet_and_not_the_single_label() {
    let (exact, off) = (Bench::new(), Bench::new());
    let printer = "loss: 2 %\nprinter:\n  across: {starts at: 20.6 mm, measures: 150.3 mm}\n ";
    off.change("workshop.yaml", "loss: 2 % ", printer);
    let line = "label products/low-tide.yaml --lot 26329A4 --part front --sheet a4-3x4";
    for (options, same) in [("-o a.pdf", false), ("--uncorrected -o a.pdf", true)] {
        for bench in [&exact, &off] {
            assert!(bench.on_the_day(&format!("{line} {options}")).starts_with("exit code 0"));
        }
        let read = |bench: &Bench| std::fs::read(bench.path("a.pdf")).unwrap();
        assert_eq!(read(&exact) == read(&off), same, "{options}");
    }
    for bench in [&exact, &off] {
        bench.on_the_day("label products/low-tide.yaml --lot 26329A4 -o one.pdf");
    }
    assert!(std::fs::read(exact.path("one.pdf")).unwrap() == std::fs::read(off.path("one.pdf")).unwrap());
}

#[test]
fn print_beyond_the_paper_is_refused_after_correction() {
    let bench = own("margin: {left: 11 mm, top: 5.5 mm}", "margin: {left: 0 mm, top: 5.5 mm}");
    let printer = "loss: 2 %\nprinter:\n  across: {starts at: 30 mm, measures: 150 mm}\n ";
    bench.change("workshop.yaml", "loss: 2 % ", printer);
    assert_snapshot!(refused(&bench, "--part front --sheet mine --count 1"), @"
    exit code 1
    --- stderr
    error[sheet/off-paper]: print of a label ends 4.5 mm beyond the paper
     |
    note: page 1, -10.0 mm from the left, 5.5 mm from the top
    help: the sheet's margins are narrower than the printer's error: use a sheet with wider ones

    nothing was written
    ");
}

#[test]
fn a_bleed_no_print_shop_asks_for_is_refused() {
    assert_snapshot!(refused(&Bench::new(), "--bleed 3 cm"), @"
    exit code 2
    --- stderr
    error[sheet/bleed]: a bleed of 30 mm
     |
    help: print shops ask for 2 to 5 mm; at most 20 mm
    ");
    let told = refused(&Bench::new(), "--bleed 3 mm --sheet a4-3x4");
    assert!(told.starts_with("exit code 2"), "{told}");
}

#[test]
fn a_test_page_needs_no_product() {
    let bench = Bench::new();
    assert_snapshot!(bench.run("label --test-page -o test.pdf"), @"
    exit code 0
    --- stdout
    test.pdf: 215.9 x 279.4 mm
    Print at 100 %, without fitting to the page, measure as the page says, and write the figures under `printer` in workshop.yaml.
    ");
    assert_snapshot!(bench.run("label --test-page --sheet letter-3x3"), @"
    exit code 0
    --- stdout
    test-page.pdf: 215.9 x 279.4 mm
    Print at 100 %, without fitting to the page, measure as the page says, and write the figures under `printer` in workshop.yaml.
    ");
    let without = bench.run("label -o test.pdf");
    assert!(without.starts_with("exit code 2") && without.contains("<PRODUCT>"), "{without}");
    bench.file("note.txt", "mine");
    assert!(bench.run("label --test-page -o note.txt").starts_with("exit code 2"));
    assert_eq!(std::fs::read(bench.path("note.txt")).unwrap(), b"mine");
}

#[test]
fn nothing_beyond_the_cut_is_in_an_image_for_a_thermal_printer() {
    let bleed = refused(&Bench::new(), "--bleed 3 mm --png 300");
    assert_snapshot!(bleed, @"
    exit code 2
    --- stderr
    error[sheet/no-picture]: `--png` makes images for printers whose labels are cut already, so there is nothing beyond the cut
     |
    help: leave `--bleed` and `--crop-marks` away, or see them with `--proof FILE.png`
    ");
    assert_eq!(refused(&Bench::new(), "--crop-marks --png 300"), bleed);
    let many = refused(&Bench::new(), "--part base --serial 1..501 --png 203");
    assert!(many.contains("`--png` would write 501 images"), "{many}");
}

#[test]
fn a_part_that_is_not_there_is_told_with_the_nearest() {
    assert_snapshot!(refused(&Bench::new(), "--part bas --count 3"), @"
    exit code 2
    --- stderr
    error[sheet/no-part]: the label has no part `bas`
     |
    help: did you mean `base`? the parts are `front`, `base`
    ");
}

#[test]
fn units_without_a_number_in_a_qr_code_are_warned_of() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "jar-front-and-base", "jar-front-and-base\n  code: none");
    let told = bench.on_the_day("label products/low-tide.yaml --lot 26329A4 --part base --serial 1..2 -o a.pdf");
    assert!(told.contains("warning[sheet/no-unit-qr]"), "{told}");
}

#[test]
fn a_test_page_on_small_paper_is_refused() {
    let bench = own("paper: A4", "paper: {width: 200 mm, height: 239 mm}");
    bench.change("sheets/mine.yaml", "rows: 4", "rows: 3");
    assert_snapshot!(bench.run("label --test-page --sheet mine -o a.pdf"), @"
    exit code 2
    --- stderr
    error[sheet/test-page]: the rulers of the test page do not fit on paper of 200 mm x 239 mm
     |
    help: print it on letter or A4: a printer's error belongs to the printer, not to the paper
    ");
    assert!(!bench.path("a.pdf").exists());
}

/// What is for the print shop alone is no fault of the label, whoever reads it: marks, folds and the line of the die.
#[test]
fn a_print_shops_page_is_judged_like_the_label_itself() {
    let bench = Bench::new();
    bench.change("products/mudflat.yaml", "template: tea-light-box", "template: box-sleeve");
    bench.change("products/night-heron.yaml", "template: pillar-band", "template: hang-tag");
    for product in ["low-tide", "mudflat", "night-heron"] {
        let shop = "--bleed 3 mm --crop-marks --red spot -o shop.pdf";
        let told = bench.on_the_day(&format!("label products/{product}.yaml --lot 26329A4 {shop}"));
        assert!(told.starts_with("exit code 0"), "{told}");
        let told = bench.on_the_day(&format!("check products/{product}.yaml --lot 26329A4 --label shop.pdf"));
        assert!(told.starts_with("exit code 0") && told.contains("nothing found"), "{told}");
    }
}

#[test]
fn two_sheets_for_one_part_are_refused() {
    let bench = Bench::new();
    for sheets in ["--sheet front=a4-3x4 --sheet front=a4-3x8", "--sheet a4-3x4 --sheet a4-3x8"] {
        let told = bench.on_the_day(&format!("label products/low-tide.yaml --lot 26329A4 --part front {sheets}"));
        assert!(told.starts_with("exit code 2") && told.contains("sheet/two-sheets"), "{told}");
    }
}
