//! Section 3 of a safety sheet as a maker copies it, and files that are something else.

use crate::bench::Bench;
use insta::assert_snapshot;

const LINALOOL: &str = "{name: linalool, cas: 78-70-6, percent: [5, 10], classes: [\"Skin Sens. 1B, H317\"]}";

fn told(line: &str) -> String {
    let bench = Bench::new();
    bench.change("materials/kelp-and-cedar.yaml", LINALOOL, line);
    bench.check("low-tide")
}

#[test]
fn a_line_that_is_no_composition_is_told() {
    assert_snapshot!(told("linalool; about a tenth"), @"
    exit code 2
    --- stderr
    error[file/composition-line]: there is no hazard class `about a tenth`
      --> materials/kelp-and-cedar.yaml:10:7
       |
    10 |     - linalool; about a tenth
       |       ^^^^^^^^^^^^^^^^^^^^^^^ here
       |
    help: classes are written as in the regulation, for example `Skin Sens. 1B, H317`
    ");
}

#[test]
fn a_wrong_ec_number_is_told() {
    assert_snapshot!(told(&LINALOOL.replace("cas: 78-70-6", "ec: 201-134-5")), @r#"
    exit code 2
    --- stderr
    error[file/ec-number]: `201-134-5` is not an EC number: its last digit does not fit the others
      --> materials/kelp-and-cedar.yaml:10:28
       |
    10 |     - {name: linalool, ec: 201-134-5, percent: [5, 10], classes: ["Skin Sens. 1B, H317"]}
       |                            ^^^^^^^^^ here
       |
    help: copy it again from section 3 of the sheet
    "#);
}

#[test]
fn a_class_that_is_none_is_told() {
    assert_snapshot!(told(&LINALOOL.replace("Skin Sens. 1B, H317", "Skin Tingle 1")), @r#"
    exit code 2
    --- stderr
    error[file/hazard-class]: there is no hazard class `Skin Tingle 1`
      --> materials/kelp-and-cedar.yaml:10:66
       |
    10 |     - {name: linalool, cas: 78-70-6, percent: [5, 10], classes: ["Skin Tingle 1"]}
       |                                                                  ^^^^^^^^^^^^^^^ here
       |
    help: classes are written as in the regulation, for example `Skin Sens. 1B, H317`
    "#);
}

#[test]
fn more_than_the_whole_is_told() {
    assert_snapshot!(told(&LINALOOL.replace("[5, 10]", "[99.5, 100]")), @r#"
    exit code 2
    --- stderr
    error[file/over-the-whole]: the composition comes to 100.6 %, counted by the lower ends
      --> materials/kelp-and-cedar.yaml:10:8
       |
    10 |     - {name: linalool, cas: 78-70-6, percent: [99.5, 100], classes: ["Skin Sens. 1B, H317"]}
       |        ^^^^ from here
    11 |     - {name: d-limonene, cas: 5989-27-5, percent: [1, 5], classes: ["Flam. Liq. 3, H226", "Asp. Tox. 1, H304...
    12 |     - {name: citral, cas: 5392-40-5, percent: [0.1, 1], classes: ["Skin Irrit. 2, H315", "Skin Sens. 1, H317"]}
       |        ---- to here
       |
    help: copy the percentages again: together the lower ends are at most 100 %
    "#);
}

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
