//! Keys and words of a product file: unknown, missing, twice, of another shape.

use crate::bench::Bench;
use insta::assert_snapshot;

#[test]
fn an_unknown_key_is_told_with_the_nearest_one() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "vessel: straight", "vesel: straight");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/missing-key]: a container candle needs `vessel`: the label's panel follows from it
     --> products/low-tide.yaml:3:7
      |
    3 | kind: container candle
      |       ^^^^^^^^^^^^^^^^ this kind
      |
    help: add `vessel: straight-jar-73`

    error[file/unknown-key]: a product has no key `vesel`
     --> products/low-tide.yaml:7:1
      |
    7 | vesel: straight-jar-73
      | ^^^^^ did you mean `vessel`?
      |
    help: did you mean `vessel`? a product knows these keys: `product`, `kind`, `name`, `identity`, `markets`, `vessel`, `package`, `size`, `pieces`, `wick`, `fill`, `net quantity`, `recipe`, `counted`, `burn test`, `care`, `label`, `california`, `ufi`, `precautionary statements`, `e mark`, `ornamental container`, `relights`, `local product`, `cure`, `accept`, `workshop`
    ");
}

#[test]
fn an_unknown_key_near_to_nothing_is_told_with_all_keys() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "markets: [us]", "colour: blue");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/unknown-key]: a product has no key `colour`
     --> products/low-tide.yaml:6:1
      |
    6 | colour: blue
      | ^^^^^^ not known
      |
    help: a product knows these keys: `product`, `kind`, `name`, `identity`, `markets`, `vessel`, `package`, `size`, `pieces`, `wick`, `fill`, `net quantity`, `recipe`, `counted`, `burn test`, `care`, `label`, `california`, `ufi`, `precautionary statements`, `e mark`, `ornamental container`, `relights`, `local product`, `cure`, `accept`, `workshop`
    ");
}

#[test]
fn an_unknown_key_inside_a_wick_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "metal core", "metalcore");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/unknown-key]: a wick has no key `metalcore`
     --> products/low-tide.yaml:8:34
      |
    8 | wick: {type: wood, width: 13 mm, metalcore: none, trim: 3/16 in}
      |                                  ^^^^^^^^^ did you mean `metal core`?
      |
    help: did you mean `metal core`? a wick knows these keys: `type`, `count`, `width`, `metal core`, `lead`, `trim`
    ");
}

#[test]
fn a_key_with_nothing_after_it_counts_as_missing() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "kind: container candle", "kind:");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: a product needs `kind`
     --> products/low-tide.yaml:3:1
      |
    3 | kind:
      | ^^^^ `kind` is missing here
      |
    help: add `kind: container candle`
    ");
}

#[test]
fn a_missing_recipe_is_told() {
    let bench = Bench::new();
    bench.change(
        "products/low-tide.yaml",
        "recipe:\n  - {use: harbour-soy-blend, as: wax}\n  - {use: kelp-and-cedar, load: 8 %, of: wax}\n",
        "",
    );
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: a product needs `recipe`
     --> products/low-tide.yaml:2:1
      |
    2 | product: Low Tide
      | ^^^^^^^ `recipe` is missing here
      |
    help: add `recipe: [{use: harbour-soy-blend, as: wax}]`
    ");
}

#[test]
fn a_missing_fill_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz ", "# fill: 9 oz ");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: a product needs `fill`
     --> products/low-tide.yaml:2:1
      |
    2 | product: Low Tide
      | ^^^^^^^ `fill` is missing here
      |
    help: add `fill: 9 oz`
    ");
}

#[test]
fn a_missing_identity_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "identity: {en: Scented candle, fr: Bougie parfumée}\n", "");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: a product needs `identity`
     --> products/low-tide.yaml:2:1
      |
    2 | product: Low Tide
      | ^^^^^^^ `identity` is missing here
      |
    help: add `identity: {en: Scented candle}`
    ");
}

#[test]
fn a_key_twice_is_told_at_the_second() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz ", "kind: pillar\nfill: 9 oz ");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/not-yaml]: this key stands twice; it is not clear which one counts
     --> products/low-tide.yaml:9:1
      |
    9 | kind: pillar
      | ^ here
      |
    help: keep one of the two
    ");
}

#[test]
fn an_unknown_market_is_told_with_the_known_ones() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "[us]", "[usa]");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-word]: `usa` is not known here
     --> products/low-tide.yaml:6:11
      |
    6 | markets: [usa]
      |           ^^^ here
      |
    help: did you mean `us`? use one of `us`, `ca`, `ca-qc`, `gb`, `ni`, `eu`
    ");
}

#[test]
fn an_unknown_language_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fr: Bougie parfumée", "zh: xiangxun");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/unknown-key]: a text in several languages has no key `zh`
     --> products/low-tide.yaml:5:32
      |
    5 | identity: {en: Scented candle, zh: xiangxun}
      |                                ^^ not known
      |
    help: a text in several languages knows these keys: `en`, `fr`, `bg`, `cs`, `da`, `de`, `el`, `es`, `et`, `fi`, `ga`, `hr`, `hu`, `it`, `lt`, `lv`, `mt`, `nl`, `pl`, `pt`, `ro`, `sk`, `sl`, `sv`
    ");
}

#[test]
fn a_list_where_one_value_belongs_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "kind: container candle", "kind: [container candle, pillar]");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-shape]: a text or a figure belongs here, and here stands a list
     --> products/low-tide.yaml:3:7
      |
    3 | kind: [container candle, pillar]
      |       ^ here
      |
    help: write one value
    ");
}

#[test]
fn one_value_where_keys_belong_is_told() {
    let bench = Bench::new();
    bench.change(
        "products/low-tide.yaml",
        "wick: {type: wood, width: 13 mm, metal core: none, trim: 3/16 in}",
        "wick: wood",
    );
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-shape]: a wick is written as keys and values, and here stands a single value
     --> products/low-tide.yaml:8:7
      |
    8 | wick: wood
      |       ^^^^ here
      |
    help: write the keys one to a line, for example `type: …`
    ");
}

#[test]
fn a_text_over_two_lines_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "product: Low Tide", r#"product: "Low\nTide""#);
    assert_snapshot!(bench.check("low-tide"), @r#"
    exit code 2
    --- stderr
    error[file/wrong-shape]: the text has a line break or a control character
     --> products/low-tide.yaml:2:10
      |
    2 | product: "Low\nTide"
      |          ^^^^^^^^^^^ here
      |
    help: write it on one line
    "#);
}

#[test]
fn several_faults_are_told_in_one_run() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "container candle", "jar candle");
    bench.change("products/low-tide.yaml", "load: 8 %, of: wax", "load: 8 %");
    bench.change("products/low-tide.yaml", "vessel: straight", "vesel: straight");
    bench.change("vessels/straight-jar-73.yaml", "330 ml", "12 oz");
    bench.change("workshop.yaml", "region: ME", "county: ME");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/wrong-word]: `jar candle` is not known here
     --> products/low-tide.yaml:3:7
      |
    3 | kind: jar candle
      |       ^^^^^^^^^^ here
      |
    help: use one of `container candle`, `pillar`, `taper`, `votive`, `tea light`, `wax melt`

    error[file/unknown-key]: a product has no key `vesel`
     --> products/low-tide.yaml:7:1
      |
    7 | vesel: straight-jar-73
      | ^^^^^ did you mean `vessel`?
      |
    help: did you mean `vessel`? a product knows these keys: `product`, `kind`, `name`, `identity`, `markets`, `vessel`, `package`, `size`, `pieces`, `wick`, `fill`, `net quantity`, `recipe`, `counted`, `burn test`, `care`, `label`, `california`, `ufi`, `precautionary statements`, `e mark`, `ornamental container`, `relights`, `local product`, `cure`, `accept`, `workshop`

    error[file/load-without-basis]: a load of 8 % does not say of what: in 100 g of candle it is 7.4 g of oil when taken of the wax, 8 g when taken of the total
      --> products/low-tide.yaml:12:33
       |
    12 |   - {use: kelp-and-cedar, load: 8 %}
       |      --- in this line           ^^^ of what?
       |
    help: add `of: wax` (oil against wax alone) or `of: total` (oil in the finished candle)

    error[file/unknown-key]: the maker has no key `county`
     --> workshop.yaml:6:3
      |
    6 |   county: ME
      |   ^^^^^^ did you mean `country`?
      |
    help: did you mean `country`? the maker knows these keys: `name`, `street`, `town`, `region`, `postcode`, `country`, `phone`, `email`, `web`, `street listed publicly`
    ");
}
