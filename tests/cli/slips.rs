//! Files that are something else, and answers given twice or too often.

use crate::bench::Bench;
use insta::assert_snapshot;

#[test]
fn a_material_in_place_of_a_product_is_told() {
    let bench = Bench::new();
    assert_snapshot!(bench.on_the_day("check materials/kelp-and-cedar.yaml"), @"
    exit code 2
    --- stderr
    error[file/not-a-product]: this is a material, and a product is asked for here
     --> materials/kelp-and-cedar.yaml:1:1
      |
    1 | material: Kelp and Cedar fragrance oil
      | ^^^^^^^^ here
      |
    help: name a product that uses it: its findings tell of this file too
    ");
}

#[test]
fn wording_of_ones_own_that_cannot_be_read_is_told() {
    let bench = Bench::new();
    bench.file("wording/de.yaml", "no statement: Achtung\n");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/own-wording]: wording/de.yaml:1:15: expected mapping start
     |
    help: mend the line it names
    ");
}

#[test]
fn a_recipe_longer_than_any_is_told() {
    let bench = Bench::new();
    let line = "  - {use: kelp-and-cedar, load: 8 %, of: wax}\n";
    bench.change("products/low-tide.yaml", line, &line.repeat(40));
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/too-many]: the recipe has more than 40 lines
      --> products/low-tide.yaml:51:5
       |
    51 |   - {use: kelp-and-cedar, load: 8 %, of: wax}
       |     ^ here
       |
    help: put what belongs together into one material
    ");
}

#[test]
fn a_code_given_twice_is_told() {
    let bench = Bench::new();
    let code = "net quantity first: oz\n  code: {url: \"https://quillmere.example\", text: Low Tide}";
    bench.change("products/low-tide.yaml", "net quantity first: oz", code);
    assert_snapshot!(bench.check("low-tide"), @r#"
    exit code 2
    --- stderr
    error[file/two-codes]: the code is given twice
      --> products/low-tide.yaml:21:50
       |
    21 |   code: {url: "https://quillmere.example", text: Low Tide}
       |                                                  ^^^^^^^^ second one
       |
    help: keep `url` or `text`
    "#);
}

#[test]
fn records_without_a_ledger_are_told() {
    let bench = Bench::new();
    assert_snapshot!(bench.run("lots"), @"
    exit code 2
    --- stderr
    error[lot/no-ledger]: there is no ledger `./ledger.sqlite`
     |
    help: go into the workshop's folder or name it with `--workshop`; the first pour or delivery makes the ledger
    ");
}
