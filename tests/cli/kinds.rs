//! Kinds: those that are known, goods that are no candle, and what each kind needs or cannot have.

use crate::bench::Bench;
use insta::assert_snapshot;

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
fn a_pillar_without_diameter_is_told() {
    let bench = Bench::new();
    bench.change("products/night-heron.yaml", "diameter: 3 in, ", "");
    assert_snapshot!(bench.check("night-heron"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: the size of a pillar is its diameter and its height: the label declares both
     --> products/night-heron.yaml:6:7
      |
    6 | size: {height: 6 in}
      |       ^ `diameter` is missing here
      |
    help: add its width: `size: {diameter: 3 in, height: 6 in}`
    ");
}

#[test]
fn a_letter_that_no_face_has_is_told() {
    let bench = Bench::new();
    bench.change("products/salt-lamp.yaml", "name: Salt Lamp", "name: Salt Lamp \u{1F56F}");
    assert_snapshot!(bench.check("salt-lamp"), @r"
    exit code 1
    --- stdout
    error[label/character]: the character `🕯 (U+1F56F)` of `Salt Lamp 🕯` is in none of the faces that are printed with
     |
    help: write it with letters of the Latin, Greek or Cyrillic alphabet and usual punctuation

    note[practice/burn-claim-evidence]: no burn time is stated: the product file has no `burn test`
     --> products/salt-lamp.yaml:2:1
      |
    2 | product: Salt Lamp
      | ^^^^^^^ here
      |
    note: advice; known from: memory
    help: the label is complete without; to state one, give the hours of at least three candles burnt to their stop line in `burn test`

    Salt Lamp 🕯 for us on 2026-11-25: 1 finding
    ");
}
