//! Keys and words of a product file: unknown, missing, twice, of another kind.

use crate::bench::Bench;
use insta::assert_snapshot;

#[test]
fn an_unknown_key_is_told_with_the_nearest_one() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "vessel: straight", "vesel: straight");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/unknown-key]: a product has no key `vesel`
     --> products/low-tide.yaml:7:1
      |
    7 | vesel: straight-jar-73
      | ^^^^^ did you mean `vessel`?
      |
    help: did you mean `vessel`? a product knows these keys: `product`, `kind`, `name`, `identity`, `markets`, `vessel`, `package`, `size`, `pieces`, `wick`, `fill`, `net quantity`, `recipe`, `burn test`, `care`, `label`, `california`, `cure`, `accept`, `workshop`

    error[file/missing-key]: a container candle needs `vessel`: the label's panel follows from it
     --> products/low-tide.yaml:3:7
      |
    3 | kind: container candle
      |       ^^^^^^^^^^^^^^^^ this kind
      |
    help: add `vessel: straight-jar-73`
    ");
}

#[test]
fn an_unknown_key_near_to_nothing_is_told_with_all_keys() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "markets: [us]", "colour: blue");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/unknown-key]: a product has no key `colour`
     --> products/low-tide.yaml:6:1
      |
    6 | colour: blue
      | ^^^^^^ not known
      |
    help: a product knows these keys: `product`, `kind`, `name`, `identity`, `markets`, `vessel`, `package`, `size`, `pieces`, `wick`, `fill`, `net quantity`, `recipe`, `burn test`, `care`, `label`, `california`, `cure`, `accept`, `workshop`
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
fn an_unknown_kind_is_told_with_the_known_ones() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "container candle", "jar candle");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-word]: `jar candle` is not known here
     --> products/low-tide.yaml:3:7
      |
    3 | kind: jar candle
      |       ^^^^^^^^^^ here
      |
    help: use one of `container candle`, `pillar`, `taper`, `votive`, `tea light`, `wax melt`
    ");
}

#[test]
fn a_misspelt_kind_is_told_with_the_nearest_one() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "container candle", "container candel");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-word]: `container candel` is not known here
     --> products/low-tide.yaml:3:7
      |
    3 | kind: container candel
      |       ^^^^^^^^^^^^^^^^ here
      |
    help: did you mean `container candle`? use one of `container candle`, `pillar`, `taper`, `votive`, `tea light`, `wax melt`
    ");
}

#[test]
fn a_spray_is_refused_with_the_reason() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "container candle", "room spray");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/other-goods]: no label is made for `room spray`: a spray is a liquid or an aerosol: other classes, other wording and often a child-resistant closure apply
     --> products/low-tide.yaml:3:7
      |
    3 | kind: room spray
      |       ^^^^^^^^^^ not a candle
      |
    help: a candle label on it would be wrong; this program knows `container candle`, `pillar`, `taper`, `votive`, `tea light`, `wax melt`
    ");
}

#[test]
fn a_diffuser_is_refused_with_the_reason() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "container candle", "reed diffuser");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/other-goods]: no label is made for `reed diffuser`: a diffuser is a liquid sold by volume: other classes, a child-resistant closure and a tactile mark may apply
     --> products/low-tide.yaml:3:7
      |
    3 | kind: reed diffuser
      |       ^^^^^^^^^^^^^ not a candle
      |
    help: a candle label on it would be wrong; this program knows `container candle`, `pillar`, `taper`, `votive`, `tea light`, `wax melt`
    ");
}

#[test]
fn gel_is_refused_with_the_reason() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "container candle", "gel candle");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/other-goods]: no label is made for `gel candle`: gel candles have a liquid fuel and their own limits for the fragrance's flash point
     --> products/low-tide.yaml:3:7
      |
    3 | kind: gel candle
      |       ^^^^^^^^^^ not a candle
      |
    help: a candle label on it would be wrong; this program knows `container candle`, `pillar`, `taper`, `votive`, `tea light`, `wax melt`
    ");
}

#[test]
fn a_missing_kind_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "kind: container candle\n", "");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: a product needs `kind`
     --> products/low-tide.yaml:2:1
      |
    2 | product: Low Tide
      | ^^^^^^^ `kind` is missing here
      |
    help: add `kind: container candle`
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
fn a_jar_candle_without_vessel_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "vessel: straight-jar-73\n", "");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: a container candle needs `vessel`: the label's panel follows from it
     --> products/low-tide.yaml:3:7
      |
    3 | kind: container candle
      |       ^^^^^^^^^^^^^^^^ this kind
      |
    help: add `vessel: straight-jar-73`
    ");
}

#[test]
fn a_candle_without_wick_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "wick: {type: wood, width: 13 mm, metal core: none, trim: 3/16 in}\n", "");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: a container candle needs `wick`: trim and lead statements follow from it
     --> products/low-tide.yaml:3:7
      |
    3 | kind: container candle
      |       ^^^^^^^^^^^^^^^^ this kind
      |
    help: add `wick: {type: cotton, metal core: none}`
    ");
}

#[test]
fn a_melt_with_a_wick_is_told() {
    let bench = Bench::new();
    bench.change("products/dune-grass.yaml", "pieces: 6", "pieces: 6\nwick: {type: cotton, metal core: none}");
    assert_snapshot!(bench.check("dune-grass"), @r"
    exit code 2
    --- stderr
    error[file/wick-in-melt]: a wax melt has no wick
     --> products/dune-grass.yaml:8:7
      |
    8 | wick: {type: cotton, metal core: none}
      |       ^ here
      |
    help: take the wick out, or choose another kind
    ");
}

#[test]
fn a_pillar_with_a_vessel_is_told() {
    let bench = Bench::new();
    bench.change("products/night-heron.yaml", "fill: 600 g", "fill: 600 g\nvessel: straight-jar-73");
    assert_snapshot!(bench.check("night-heron"), @r"
    exit code 2
    --- stderr
    error[file/vessel-on-freestanding]: a pillar stands without a vessel
     --> products/night-heron.yaml:9:9
      |
    9 | vessel: straight-jar-73
      |         ^^^^^^^^^^^^^^^ here
      |
    help: take the vessel out, or choose `container candle`
    ");
}

#[test]
fn a_taper_without_size_and_package_is_told_both() {
    let bench = Bench::new();
    bench.change(
        "products/reed-bed.yaml",
        "package: {box: {width: 50 mm, height: 254 mm}}\nsize: {diameter: 7/8 in, height: 10 in}\n",
        "",
    );
    assert_snapshot!(bench.check("reed-bed"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: a taper needs `size`: its length is what the label declares
     --> products/reed-bed.yaml:3:7
      |
    3 | kind: taper
      |       ^^^^^ this kind
      |
    help: add `size: {height: 10 in}`

    error[file/missing-key]: a taper needs `package`: the band or box carries the label
     --> products/reed-bed.yaml:3:7
      |
    3 | kind: taper
      |       ^^^^^ this kind
      |
    help: add `package: {box: {width: 60 mm, height: 260 mm}}`
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
    bench.change("products/low-tide.yaml", "fr: Bougie parfumée", "de: Duftkerze");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/unknown-key]: a text in several languages has no key `de`
     --> products/low-tide.yaml:5:32
      |
    5 | identity: {en: Scented candle, de: Duftkerze}
      |                                ^^ not known
      |
    help: a text in several languages knows these keys: `en`, `fr`
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
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/unknown-key]: a product has no key `vesel`
     --> products/low-tide.yaml:7:1
      |
    7 | vesel: straight-jar-73
      | ^^^^^ did you mean `vessel`?
      |
    help: did you mean `vessel`? a product knows these keys: `product`, `kind`, `name`, `identity`, `markets`, `vessel`, `package`, `size`, `pieces`, `wick`, `fill`, `net quantity`, `recipe`, `burn test`, `care`, `label`, `california`, `cure`, `accept`, `workshop`

    error[file/unknown-key]: the maker has no key `county`
     --> ./workshop.yaml:6:3
      |
    6 |   county: ME
      |   ^^^^^^ did you mean `country`?
      |
    help: did you mean `country`? the maker knows these keys: `name`, `street`, `town`, `region`, `postcode`, `country`, `phone`, `email`, `web`, `street listed publicly`

    error[file/wrong-word]: `jar candle` is not known here
     --> products/low-tide.yaml:3:7
      |
    3 | kind: jar candle
      |       ^^^^^^^^^^ here
      |
    help: use one of `container candle`, `pillar`, `taper`, `votive`, `tea light`, `wax melt`

    error[file/load-without-basis]: a load of 8 % does not say of what: in 100 g of candle it is 7.4 g of oil when taken of the wax, 8 g when taken of the total
      --> products/low-tide.yaml:12:33
       |
    12 |   - {use: kelp-and-cedar, load: 8 %}
       |                                 ^^^ of what?
       |
      ::: products/low-tide.yaml:12:6
       |
    12 |   - {use: kelp-and-cedar, load: 8 %}
       |      --- in this line
       |
    help: add `of: wax` (oil against wax alone) or `of: total` (oil in the finished candle)
    ");
}
