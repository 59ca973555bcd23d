//! `pour`: what it answers and leaves in the workshop, and that a refusal leaves nothing.

use crate::bench::Bench;
use insta::assert_snapshot;

const POUR: &str = "pour products/low-tide.yaml --count 12 --date 2026-11-25";

#[test]
fn a_pour_tells_code_grams_and_papers() {
    let bench = Bench::new();
    assert_snapshot!(bench.run(POUR), @"
    exit code 0
    --- stdout
    note[lot/material-lot-unknown]: no lot is recorded of `Harbour soy blend`, `Kelp and Cedar fragrance oil`, `straight-jar-73`: this pour cannot be traced back to it
     |
    note: policy; known from: policy
    help: enter what comes in with `waxbill receive MATERIAL --lot LOT --amount AMOUNT`, then pours take from it

    lot 26329A4: 12 of Low Tide, poured 2026-11-25

      Harbour soy blend                   2893 g  on the bench scale
      Kelp and Cedar fragrance oil       231.4 g  on the fine scale
      in 2 pitchers, each on the batch sheet

      lots/26329A4/26329A4-batch-sheet.pdf
      lots/26329A4/26329A4-label-us.pdf

    Melt in a water bath, never unattended; keep water out of hot wax. Local codes and licensed practice come first.
    ");
    assert!(bench.path("ledger.sqlite").is_file());
    for paper in ["26329A4-batch-sheet.pdf", "26329A4-label-us.pdf"] {
        assert!(std::fs::read(bench.path("lots/26329A4").join(paper)).unwrap().starts_with(b"%PDF-"));
    }
}

#[test]
fn the_second_pour_of_a_day_has_its_own_letter() {
    let bench = Bench::new();
    bench.run(POUR);
    assert_snapshot!(bench.run("pour products/dune-grass.yaml --count 3 --date 2026-11-25"), @"
    exit code 0
    --- stdout
    note[lot/material-lot-unknown]: no lot is recorded of `Headland pillar paraffin`, `Marram and Rain fragrance oil`: this pour cannot be traced back to it
     |
    note: policy; known from: policy
    help: enter what comes in with `waxbill receive MATERIAL --lot LOT --amount AMOUNT`, then pours take from it

    lot 26329B2: 3 of Dune Grass, poured 2026-11-25

      Headland pillar paraffin            221.2 g  on the fine scale
      Marram and Rain fragrance oil        17.6 g  on the fine scale

      lots/26329B2/26329B2-batch-sheet.pdf
      lots/26329B2/26329B2-label-us.pdf

    Melt in a water bath, never unattended; keep water out of hot wax. Local codes and licensed practice come first.
    ");
}

#[test]
fn a_large_pour_is_split_into_pitchers() {
    assert_snapshot!(Bench::new().run("pour products/low-tide.yaml --count 40 --date 2026-11-25"), @"
    exit code 0
    --- stdout
    note[lot/material-lot-unknown]: no lot is recorded of `Harbour soy blend`, `Kelp and Cedar fragrance oil`, `straight-jar-73`: this pour cannot be traced back to it
     |
    note: policy; known from: policy
    help: enter what comes in with `waxbill receive MATERIAL --lot LOT --amount AMOUNT`, then pours take from it

    lot 26329A4: 40 of Low Tide, poured 2026-11-25

      Harbour soy blend                   9643 g  on the bench scale
      Kelp and Cedar fragrance oil       771.6 g  on the fine scale
      in 6 pitchers, each on the batch sheet

      lots/26329A4/26329A4-batch-sheet.pdf
      lots/26329A4/26329A4-label-us.pdf

    Melt in a water bath, never unattended; keep water out of hot wax. Local codes and licensed practice come first.
    ");
}

#[test]
fn more_than_a_scale_weighs_is_told() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "pitcher: 1.8 kg", "");
    assert_snapshot!(bench.run("pour products/low-tide.yaml --count 40 --date 2026-11-25"), @"
    exit code 0
    --- stdout
    warning[practice/scale-readability]: 9642.6 g of Harbour soy blend is more than any scale of the workshop holds
      --> products/low-tide.yaml:11:6
       |
    11 |   - {use: harbour-soy-blend, as: wax}
       |      ^^^ this line
       |
    note: advice; known from: memory
    help: weigh it in portions of at most 5000 g, or write the size of the pitcher you pour from (`pitcher: 1.8 kg`)

    note[lot/material-lot-unknown]: no lot is recorded of `Harbour soy blend`, `Kelp and Cedar fragrance oil`, `straight-jar-73`: this pour cannot be traced back to it
     |
    note: policy; known from: policy
    help: enter what comes in with `waxbill receive MATERIAL --lot LOT --amount AMOUNT`, then pours take from it

    lot 26329A4: 40 of Low Tide, poured 2026-11-25

      Harbour soy blend                   9643 g  on the bench scale
      Kelp and Cedar fragrance oil         771 g  on the bench scale

      lots/26329A4/26329A4-batch-sheet.pdf
      lots/26329A4/26329A4-label-us.pdf

    Melt in a water bath, never unattended; keep water out of hot wax. Local codes and licensed practice come first.
    ");
}

#[test]
fn oil_too_little_for_the_scale_is_told() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "reads to: 0.1 g", "reads to: 1 g");
    assert_snapshot!(bench.run("pour products/mudflat.yaml --count 2 --date 2026-11-25"), @r"
    exit code 1
    --- stderr
    error[practice/scale-readability]: 0.171 g of Mud brown dye flakes is nothing on a scale that reads to 1 g
      --> products/mudflat.yaml:12:6
       |
    12 |   - {use: mud-brown-dye, load: 0.05 %, of: wax}
       |      ^^^ this line
       |
    note: advice; known from: memory
    help: use a scale that reads to 0.001 g, weigh a premix in wax, or pour more candles in one lot

    nothing was written
    ");
    assert!(!bench.path("ledger.sqlite").exists() && !bench.path("lots").exists());
}

#[test]
fn a_faulty_product_opens_no_lot() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "metal core: none", "metal core: zinc");
    assert_snapshot!(bench.run(POUR), @r"
    exit code 1
    --- stderr
    error[us/wick-lead]: the wick has a core of zinc, and its lead is not declared
     --> products/low-tide.yaml:8:7
      |
    8 | wick: {type: wood, width: 13 mm, metal core: zinc, trim: 3/16 in}
      |       ^ here
      |
    note: required; known from: law
    help: ask the supplier for the lead in percent of the core and write it as `lead: 0.01 %`; over 0.06 % is banned

    nothing was written
    ");
    assert!(!bench.path("ledger.sqlite").exists() && !bench.path("lots").exists());
}

#[test]
fn a_pour_of_none_or_of_thousands_is_refused() {
    assert_snapshot!(Bench::new().run("pour products/low-tide.yaml --count 0"), @r"
    exit code 2
    --- stderr
    error: invalid value '0' for '--count <N>': write a whole number from 1 to 10000

    For more information, try '--help'.
    ");
    assert_snapshot!(Bench::new().run("pour products/low-tide.yaml --count 20000"), @r"
    exit code 2
    --- stderr
    error: invalid value '20000' for '--count <N>': write a whole number from 1 to 10000

    For more information, try '--help'.
    ");
}

#[test]
fn a_pour_without_a_count_is_refused() {
    assert_snapshot!(Bench::new().run("pour products/low-tide.yaml"), @r"
    exit code 2
    --- stderr
    error: the following required arguments were not provided:
      --count <N>

    Usage: waxbill pour --count <N> <PRODUCT>

    For more information, try '--help'.
    ");
}

#[test]
fn a_ledger_that_is_none_is_left_as_it_is() {
    let bench = Bench::new();
    bench.file("ledger.sqlite", "notes of last winter, not a ledger at all\n".repeat(20));
    assert_snapshot!(bench.run(POUR), @r"
    exit code 2
    --- stderr
    error[file/ledger]: `ledger.sqlite` is not a ledger: it is no SQLite file
     |
    help: move it away; a new ledger is made by the first lot
    ");
    assert!(!bench.path("lots/26329A4").exists());
    assert!(std::fs::read_to_string(bench.path("ledger.sqlite")).unwrap().starts_with("notes of last winter"));
}

#[test]
fn a_file_in_place_of_the_lots_folder_is_the_machines_fault() {
    let bench = Bench::new();
    bench.file("lots", "");
    assert_snapshot!(bench.run(POUR), @"
    exit code 3
    --- stderr
    error: `lots/26329A4` cannot be written: entity already exists; nothing was recorded; check who may write there, and the room on the disk
    ");
}

#[test]
fn a_thing_counted_twice_is_told() {
    let bench = Bench::new();
    bench.file("materials/wooden-wick-13.yaml", "material: Wooden wick, 13 mm\nrole: wick\n");
    let twice = "net quantity first: oz\ncounted:\n  - {use: wooden-wick-13}\n  - {use: wooden-wick-13, number: 2}";
    bench.change("products/low-tide.yaml", "net quantity first: oz", twice);
    assert_snapshot!(bench.run(POUR), @"
    exit code 2
    --- stderr
    error[file/counted-twice]: `wooden-wick-13` is counted twice
      --> products/low-tide.yaml:23:6
       |
    23 |   - {use: wooden-wick-13, number: 2}
       |      ^^^ second one
       |
    help: keep one line and write `number` for how many; the vessel counts without a line of its own
    ");
}

#[test]
fn a_filled_in_table_that_is_none_is_told() {
    let bench = Bench::new();
    bench.run(POUR);
    bench.file("form.csv", "what,of,value\nlot,,26329A4\nnotes,,\"poured late\n");
    assert_snapshot!(bench.run("lot 26329A4 enter form.csv"), @r#"
    exit code 2
    --- stderr
    error[file/not-csv]: the quote that opens here is not closed
     --> form.csv:3:8
      |
    3 | notes,,"poured late
      |        ^ here
      |
    help: close it with `"`; a quote inside of a text is written twice
    "#);
}
