//! Recipes: loads and their basis, parts of waxes.

use crate::bench::Bench;
use insta::assert_snapshot;

#[test]
fn a_load_without_basis_shows_the_grams_either_way() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "load: 8 %, of: wax", "load: 8 %");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/load-without-basis]: a load of 8 % does not say of what: in 100 g of candle it is 7.4 g of oil when taken of the wax, 8 g when taken of the total
      --> products/low-tide.yaml:12:33
       |
    12 |   - {use: kelp-and-cedar, load: 8 %}
       |      --- in this line           ^^^ of what?
       |
    help: add `of: wax` (oil against wax alone) or `of: total` (oil in the finished candle)
    ");
}

#[test]
fn a_load_of_an_unknown_basis_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "load: 8 %, of: wax", "load: 8 %, of: oil");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-word]: `oil` is not known here
      --> products/low-tide.yaml:12:42
       |
    12 |   - {use: kelp-and-cedar, load: 8 %, of: oil}
       |                                          ^^^ here
       |
    help: use one of `wax`, `total`
    ");
}

#[test]
fn a_load_without_percent_sign_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "load: 8 %, of: wax", "load: 8, of: wax");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `8` has no unit
      --> products/low-tide.yaml:12:33
       |
    12 |   - {use: kelp-and-cedar, load: 8, of: wax}
       |                                 ^ here
       |
    help: add `%`: for example `8 %`
    ");
}

#[test]
fn a_load_over_the_whole_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "load: 8 %, of: wax", "load: 108 %, of: wax");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `108 %` is more than the whole
      --> products/low-tide.yaml:12:33
       |
    12 |   - {use: kelp-and-cedar, load: 108 %, of: wax}
       |                                 ^^^^^ here
       |
    help: a percentage goes from 0 to 100
    ");
}

#[test]
fn a_fragrance_without_load_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", ", load: 8 %, of: wax", "");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: a line of the recipe needs `load`
      --> products/low-tide.yaml:12:6
       |
    12 |   - {use: kelp-and-cedar}
       |      ^^^ `load` is missing here
       |
    help: add `load: 8 %`
    ");
}

#[test]
fn a_wax_with_a_load_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "as: wax}", "load: 92 %, of: total}");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wax-with-load]: a wax has no load: it is what the load is taken of
      --> products/low-tide.yaml:11:36
       |
    11 |   - {use: harbour-soy-blend, load: 92 %, of: total}
       |                                    ^^^^ here
       |
    help: for a blend of waxes write `part: 30 %`, its part of all the wax
    ");
}

#[test]
fn waxes_that_do_not_add_up_are_told() {
    let bench = Bench::new();
    bench.change(
        "products/low-tide.yaml",
        "  - {use: harbour-soy-blend, as: wax}",
        "  - {use: harbour-soy-blend, part: 60 %}\n  - {use: skep-beeswax, part: 30 %}",
    );
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wax-parts]: the parts of the waxes do not come to 100 %
      --> products/low-tide.yaml:11:3
       |
    11 |   - {use: harbour-soy-blend, part: 60 %}
       |   ^ this recipe
       |
    help: make them add up, or leave the part off one of them
    ");
}

#[test]
fn waxes_over_the_whole_are_told() {
    let bench = Bench::new();
    bench.change(
        "products/low-tide.yaml",
        "  - {use: harbour-soy-blend, as: wax}",
        "  - {use: harbour-soy-blend}\n  - {use: skep-beeswax, part: 100 %}",
    );
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wax-parts]: the parts of the waxes come to more than the whole
      --> products/low-tide.yaml:11:3
       |
    11 |   - {use: harbour-soy-blend}
       |   ^ this recipe
       |
    help: make them add up to 100 %
    ");
}

#[test]
fn two_waxes_without_part_are_told() {
    let bench = Bench::new();
    bench.change(
        "products/low-tide.yaml",
        "  - {use: harbour-soy-blend, as: wax}",
        "  - {use: harbour-soy-blend}\n  - {use: skep-beeswax}",
    );
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wax-parts]: two waxes stand without their part
      --> products/low-tide.yaml:11:3
       |
    11 |   - {use: harbour-soy-blend}
       |   ^ this recipe
       |
    help: write `part: 30 %` beside all waxes but one
    ");
}

#[test]
fn a_recipe_without_wax_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "  - {use: harbour-soy-blend, as: wax}\n", "");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wax-parts]: the recipe has no wax
      --> products/low-tide.yaml:11:3
       |
    11 |   - {use: kelp-and-cedar, load: 8 %, of: wax}
       |   ^ this recipe
       |
    help: add a line such as `{use: harbour-soy-blend, as: wax}`
    ");
}

#[test]
fn loads_that_leave_no_wax_are_told() {
    let bench = Bench::new();
    bench.change(
        "products/low-tide.yaml",
        "load: 8 %, of: wax}",
        "load: 60 %, of: total}\n  - {use: marram-and-rain, load: 60 %, of: total}",
    );
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[practice/recipe-adds-up]: the loads of total come to 120.0 % together
      --> products/low-tide.yaml:12:6
       |
    12 |   - {use: kelp-and-cedar, load: 60 %, of: total}
       |      ^^^ this line
    13 |   - {use: marram-and-rain, load: 60 %, of: total}
       |      --- this line
       |
    note: advice; known from: secondary
    help: check each load and its basis: together they must leave wax over, and usual loads are 3 to 12 %

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_fragrance_cannot_pass_as_an_additive() {
    let bench = Bench::new();
    let line = "{use: kelp-and-cedar, load: 8 %, of: wax}";
    bench.change("products/low-tide.yaml", line, "{use: kelp-and-cedar, as: additive, load: 40 %, of: wax}");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/other-role]: Kelp and Cedar fragrance oil is a fragrance, and here it stands as `additive`
      --> products/low-tide.yaml:12:31
       |
    12 |   - {use: kelp-and-cedar, as: additive, load: 40 %, of: wax}
       |                               ^^^^^^^^ here
       |
      ::: materials/kelp-and-cedar.yaml:1:1
       |
     1 | material: Kelp and Cedar fragrance oil
       | -------- this material
       |
    help: leave `as` out, or write `as: fragrance`; if the material is no fragrance, mend its `role`
    ");
}

#[test]
fn an_additive_may_be_a_wax_of_the_recipe() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "as: wax}", "as: wax}\n  - {use: stearin, as: wax, part: 10 %}");
    assert!(bench.check("low-tide").starts_with("exit code 0"), "{}", bench.check("low-tide"));
}
