//! Products held against limits: loads, lead, fill, burn, exceptions.

use crate::bench::Bench;
use insta::assert_snapshot;

#[test]
fn a_load_over_the_limit_of_wax_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "load: 8 %, of: wax", "load: 10.5 %, of: wax");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[practice/max-load]: the fragrance comes to 10.5 % of wax, and Harbour soy blend allows 10 %: what the wax does not hold sweats out and can flare
      --> products/low-tide.yaml:12:6
       |
    12 |   - {use: kelp-and-cedar, load: 10.5 %, of: wax}
       |      ^^^ this load
       |
      ::: materials/harbour-soy-blend.yaml:4:20
       |
     4 | max load: {of wax: 10 %}
       |                    ---- this limit
       |
    note: expected at most 10 % of wax, found 10.5 % of wax
    note: advice; known from: secondary
    help: lower the load to at most 10 % of wax

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_load_that_fits_only_on_the_other_basis_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "load: 8 %, of: wax", "load: 10 %, of: total");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 1
    --- stdout
    error[practice/max-load]: the fragrance comes to 11.111 % of wax, and Harbour soy blend allows 10 %: what the wax does not hold sweats out and can flare
      --> products/low-tide.yaml:12:6
       |
    12 |   - {use: kelp-and-cedar, load: 10 %, of: total}
       |      ^^^ this load
       |
      ::: materials/harbour-soy-blend.yaml:4:20
       |
     4 | max load: {of wax: 10 %}
       |                    ---- this limit
       |
    note: expected at most 10 % of wax, found 11.111 % of wax
    note: advice; known from: secondary
    help: lower the load to at most 10 % of wax, which is 9.0909 % of total; if 10 % was meant of wax, that is 23.1 g in one candle and fits: write `of: wax`

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_core_without_declared_lead_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "metal core: none", "metal core: zinc");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[us/wick-lead]: the wick has a core of zinc, and its lead is not declared
     --> products/low-tide.yaml:8:7
      |
    8 | wick: {type: wood, width: 13 mm, metal core: zinc, trim: 3/16 in}
      |       ^ here
      |
    note: required; known from: law
    help: ask the supplier for the lead in percent of the core and write it as `lead: 0.01 %`; over 0.06 % is banned

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn lead_over_the_limit_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "metal core: none", "metal core: zinc, lead: 0.061 %");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[us/wick-lead]: the wick's core holds 0.061 % lead; more than 0.06 % is banned
     --> products/low-tide.yaml:8:7
      |
    8 | wick: {type: wood, width: 13 mm, metal core: zinc, lead: 0.061 %, trim: 3/16 in}
      |       ^ here
      |
    note: required; known from: law
    help: do not use this wick

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn lead_at_the_limit_passes() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "metal core: none", "metal core: zinc, lead: 0.06 %");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 0
    --- stdout
    Low Tide for us on 2026-11-25: nothing found
    ");
}

#[test]
fn a_wick_without_a_word_on_its_core_is_asked() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", ", metal core: none", "");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    warning[practice/wick-core-known]: the file does not say whether the wick has a metal core
     --> products/low-tide.yaml:8:7
      |
    8 | wick: {type: wood, width: 13 mm, trim: 3/16 in}
      |       ^ here
      |
    note: advice; known from: memory
    help: add `metal core: none`, or `zinc`, `tin` with the lead the supplier declares

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_fill_below_the_declared_quantity_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "net quantity: 9.5 oz\nfill: 9 oz");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[us/fill-covers-declaration]: the label would declare 9.5 oz (269 g), and 255.14 g are filled
     --> products/low-tide.yaml:9:15
      |
    9 | net quantity: 9.5 oz
      |               ^^^^^^ here
      |
    note: required; known from: law
    help: raise `fill`, or declare less with `net quantity`

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_fill_half_a_gram_short_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "net quantity: 9 oz\nfill: 254.6 g");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[us/fill-covers-declaration]: the label would declare 9 oz (255 g), and 254.6 g are filled
     --> products/low-tide.yaml:9:15
      |
    9 | net quantity: 9 oz
      |               ^^^^ here
      |
    note: required; known from: law
    help: raise `fill`, or declare less with `net quantity`

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn an_estimated_fill_makes_no_label() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: estimate");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[practice/vessel-estimate]: the fill is only estimated from the vessel's water weight: about 255 g
     --> products/low-tide.yaml:9:7
      |
    9 | fill: estimate                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^^^^ here
      |
    note: advice; known from: secondary
    help: pour one candle to the line, weigh the wax in it, and write that as `fill`

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn an_estimate_without_water_weight_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: estimate");
    bench.change("vessels/straight-jar-73.yaml", "water to fill line: 297 g", "");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/no-water-weight]: an estimate needs the vessel's water weight
     --> products/low-tide.yaml:9:7
      |
    9 | fill: estimate                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^^^^ here
      |
    help: weigh water to the fill line and write `water to fill line: 255 g` into the vessel, or write the fill itself
    ");
}

#[test]
fn a_fill_heavier_than_the_water_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: 300 g");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[practice/vessel-water-band]: a fill of 300 g stands against 297 g of water: wax floats on water, so it cannot weigh more
     --> products/low-tide.yaml:9:7
      |
    9 | fill: 300 g                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^ here
      |
     ::: vessels/straight-jar-73.yaml:1:1
      |
    1 | vessel: Straight glass jar, 73 mm
      | ------ water weighed in this vessel
      |
    note: advice; known from: memory
    help: weigh the water and the fill again; a jar's fluid ounces are not the weight of its wax

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_fill_far_below_the_water_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: 200 g");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    warning[practice/vessel-water-band]: a fill of 200 g stands against 297 g of water: wax to the same line weighs at least 0.75 of it
     --> products/low-tide.yaml:9:7
      |
    9 | fill: 200 g                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^ here
      |
     ::: vessels/straight-jar-73.yaml:1:1
      |
    1 | vessel: Straight glass jar, 73 mm
      | ------ water weighed in this vessel
      |
    note: advice; known from: memory
    help: weigh the water and the fill again; a jar's fluid ounces are not the weight of its wax

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn the_capacity_as_net_weight_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: 330 g");
    bench.change("vessels/straight-jar-73.yaml", "water to fill line: 297 g", "");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 1
    --- stdout
    warning[practice/net-not-capacity]: a fill of 330 g is nearly the capacity of the vessel, 330 ml: wax is lighter than water
     --> products/low-tide.yaml:9:7
      |
    9 | fill: 330 g                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^ here
      |
    note: advice; known from: secondary
    help: weigh the wax of one candle; the capacity is not its net weight

    warning[practice/fluid-ounce]: the fill, 11.64 oz, has as many ounces as the vessel has fluid ounces
     --> products/low-tide.yaml:9:7
      |
    9 | fill: 330 g                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^ here
      |
    note: advice; known from: secondary
    help: weigh the wax of one candle: to the same line it weighs about a tenth less than water

    Low Tide for us on 2026-11-25: 2 findings
    ");
}

#[test]
fn a_session_shorter_than_the_first_burn_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "session: 4 h", "session: 2 h");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    warning[practice/first-burn-session]: a first burn of one hour for each inch takes 3 h, and the longest session is 2 h
     --> products/low-tide.yaml:8:7
      |
    8 | wick: {type: wood, width: 13 mm, metal core: none, trim: 3/16 in}
      |       ^ here
      |
    note: advice; known from: secondary
    help: use more wicks, or a narrower vessel, or tested session hours in `care: {session: …}`

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn care_figures_other_than_tested_are_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "label:\n", "care: {session: 3 h}\nlabel:\n");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    warning[practice/figures-as-tested]: the care figures differ from those of the burn test
      --> products/low-tide.yaml:18:7
       |
    18 | care: {session: 3 h}
       |       ^ here
       |
    note: advice; known from: memory
    help: print what was tested, or repeat the test with these figures

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_test_of_another_recipe_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "recipe: as sold", "recipe: other");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    warning[practice/load-as-tested]: the burn test was made with another recipe than the one sold
      --> products/low-tide.yaml:14:3
       |
    14 |   hours to stop line: [44.5, 46.0, 43.2]
       |   ^ here
       |
    note: advice; known from: secondary
    help: repeat it with wax, load, wick and vessel as sold, then write `recipe: as sold`

    note[practice/burn-claim-evidence]: no burn time is stated: the burn test is not marked `recipe: as sold`
      --> products/low-tide.yaml:14:3
       |
    14 |   hours to stop line: [44.5, 46.0, 43.2]
       |   ^ here
       |
    note: advice; known from: memory
    help: the label is complete without; to state one, mend `burn test`

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn two_burnt_candles_are_too_few_for_a_claim() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "[44.5, 46.0, 43.2]", "[44.5, 46.0]");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 0
    --- stdout
    note[practice/burn-claim-evidence]: no burn time is stated: 2 burnt to the stop line are too few, 3 are needed
      --> products/low-tide.yaml:14:3
       |
    14 |   hours to stop line: [44.5, 46.0]
       |   ^ here
       |
    note: advice; known from: memory
    help: the label is complete without; to state one, mend `burn test`

    Low Tide for us on 2026-11-25: nothing found
    ");
}

#[test]
fn a_candle_burnt_for_minutes_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "[44.5, 46.0, 43.2]", "[44.5, 46.0, 5 min]");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[practice/burn-claim-evidence]: the burn tests mean 2578.2 g an hour for each wick, which is more than any candle burns
      --> products/low-tide.yaml:14:3
       |
    14 |   hours to stop line: [44.5, 46.0, 5 min]
       |   ^^^^^^^^^^^^^^^^^^ burn test
       |
    note: advice; known from: policy
    help: check the hours, the fill (without vessel and wick) and the number of wicks; usual is 1.2 to 12 g an hour

    warning[practice/burn-claim-evidence]: a candle that burnt less than ten minutes or more than 1000 hours is probably a slip of the pen
      --> products/low-tide.yaml:14:3
       |
    14 |   hours to stop line: [44.5, 46.0, 5 min]
       |   ^ here
       |
    note: advice; known from: memory
    help: check the hours

    note[practice/burn-claim-evidence]: no burn time is stated: the burn tests mean 2578.2 g an hour for each wick, which is more than any candle burns
      --> products/low-tide.yaml:14:3
       |
    14 |   hours to stop line: [44.5, 46.0, 5 min]
       |   ^ here
       |
    note: advice; known from: memory
    help: the label is complete without; to state one, mend `burn test`

    Low Tide for us on 2026-11-25: 2 findings
    ");
}
