//! Figures of a product file: units, commas, ranges.

use crate::bench::Bench;
use insta::assert_snapshot;

#[test]
fn a_number_without_unit_is_told_with_the_units_that_fit() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: 9");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `9` has no unit
     --> products/low-tide.yaml:9:7
      |
    9 | fill: 9                         # wax and fragrance in one candle, no wick, no jar
      |       ^ here
      |
    help: add one of `g`, `kg`, `mg`, `oz`, `lb`: for example `340 g`
    ");
}

#[test]
fn a_decimal_comma_is_told_with_the_point() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: 8,5 oz");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `8,5` has a comma
     --> products/low-tide.yaml:9:7
      |
    9 | fill: 8,5 oz                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^^ here
      |
    help: write `8.5`: a point before the decimals, no mark between thousands
    ");
}

#[test]
fn a_mark_between_thousands_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", r#"fill: "1,000 g""#);
    assert_snapshot!(bench.check("low-tide"), @r#"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `1,000` has a comma
     --> products/low-tide.yaml:9:7
      |
    9 | fill: "1,000 g"                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^^^^^ here
      |
    help: write `1000` if the comma parts thousands, `1.000` if it stands before decimals
    "#);
}

#[test]
fn a_negative_figure_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: -9 oz");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: a mass cannot be negative
     --> products/low-tide.yaml:9:7
      |
    9 | fill: -9 oz                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^ here
      |
    help: write it as `340 g`
    ");
}

#[test]
fn a_word_for_a_figure_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: nine ounces");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `nine ounces` is not a mass
     --> products/low-tide.yaml:9:7
      |
    9 | fill: nine ounces                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^^^^^^^ here
      |
    help: write it as `340 g`
    ");
}

#[test]
fn a_unit_of_another_quantity_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: 9 in");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `in` is not a unit of mass
     --> products/low-tide.yaml:9:7
      |
    9 | fill: 9 in                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^ here
      |
    help: use one of `g`, `kg`, `mg`, `oz`, `lb`: for example `340 g`
    ");
}

#[test]
fn a_fill_in_fluid_ounces_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: 9 fl oz");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `9 fl oz` is a volume, and a mass is asked for here
     --> products/low-tide.yaml:9:7
      |
    9 | fill: 9 fl oz                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^^^ here
      |
    help: weigh it: write grams or weight ounces, for example `340 g` or `12 oz`
    ");
}

#[test]
fn a_fill_of_nothing_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: 0 g");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/out-of-range]: a fill of 0 g is not a candle
     --> products/low-tide.yaml:9:7
      |
    9 | fill: 0 g                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^ here
      |
    help: write the wax and fragrance in one candle, between 1 g and 20 kg
    ");
}

#[test]
fn a_fill_of_tons_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: 900 kg");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/out-of-range]: a fill of 900000 g is not a candle
     --> products/low-tide.yaml:9:7
      |
    9 | fill: 900 kg                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^^ here
      |
    help: write the wax and fragrance in one candle, between 1 g and 20 kg
    ");
}

#[test]
fn a_count_that_is_none_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "pieces: two\nfill: 9 oz");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-number]: `two` is not a count
     --> products/low-tide.yaml:9:9
      |
    9 | pieces: two
      |         ^^^ here
      |
    help: write a whole number from 1 to 200
    ");
}

#[test]
fn a_trim_of_two_inches_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "trim: 3/16 in", "trim: 2 in");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/out-of-range]: a wick trimmed to 50.8 mm burns badly or not at all
     --> products/low-tide.yaml:8:58
      |
    8 | wick: {type: wood, width: 13 mm, metal core: none, trim: 2 in}
      |                                                          ^^^^ here
      |
    help: write the trim of your burn test, usually 3 to 10 mm
    ");
}

#[test]
fn a_fraction_over_nothing_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "trim: 3/16 in", "trim: 3/0 in");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `3/0` divides by nothing
     --> products/low-tide.yaml:8:58
      |
    8 | wick: {type: wood, width: 13 mm, metal core: none, trim: 3/0 in}
      |                                                          ^^^^^^ here
      |
    help: write a fraction such as `3/16`
    ");
}

#[test]
fn a_burn_test_in_minutes_and_words_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "[44.5, 46.0, 43.2]", "[44.5, two days, 43.2]");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `two days` is not a time
      --> products/low-tide.yaml:14:30
       |
    14 |   hours to stop line: [44.5, two days, 43.2]
       |                              ^^^^^^^^ here
       |
    help: write it as `4 h`
    ");
}

#[test]
fn a_burn_test_of_an_unknown_recipe_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "recipe: as sold", "recipe: nearly as sold");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-word]: `nearly as sold` is not known here
      --> products/low-tide.yaml:17:11
       |
    17 |   recipe: nearly as sold
       |           ^^^^^^^^^^^^^^ here
       |
    help: write `recipe: as sold` when wax, load, wick and vessel were those sold, else `recipe: other`
    ");
}

#[test]
fn an_unknown_code_is_told() {
    let bench = Bench::new();
    bench.change(
        "products/low-tide.yaml",
        "template: jar-front-and-base",
        "template: jar-front-and-base\n  code: barcode",
    );
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-word]: `barcode` is not known here
      --> products/low-tide.yaml:20:9
       |
    20 |   code: barcode
       |         ^^^^^^^ here
       |
    help: write `code: lot`, `code: none`, `code: {url: …}` or `code: {text: …}`
    ");
}

#[test]
fn a_california_warning_without_chemical_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "label:\n", "california: {}\nlabel:\n");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: a California warning names at least one chemical
      --> products/low-tide.yaml:18:13
       |
    18 | california: {}
       |             ^ here
       |
    help: add `cancer: NAME` or `reproductive harm: NAME`, or take `california` out
    ");
}

#[test]
fn an_exception_without_reason_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "label:\n", "accept: [{rule: us/phone}]\nlabel:\n");
    assert_snapshot!(bench.check("low-tide"), @r#"
    exit code 2
    --- stderr
    error[file/missing-key]: an accepted finding needs `because`
      --> products/low-tide.yaml:18:11
       |
    18 | accept: [{rule: us/phone}]
       |           ^^^^ `because` is missing here
       |
    help: add `because: "…"`
    "#);
}
