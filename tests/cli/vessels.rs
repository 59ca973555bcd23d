//! Vessels and the workshop: sizes, capacity, scales, address.

use crate::bench::Bench;
use insta::assert_snapshot;

#[test]
fn a_bare_ounce_of_capacity_is_told_apart() {
    let bench = Bench::new();
    bench.change("vessels/straight-jar-73.yaml", "330 ml", "12 oz");
    assert_snapshot!(bench.check("low-tide"), @r#"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `12 oz` could be weight or volume: a jar sold as "12 oz" may mean fluid ounces of water or ounces of wax, which differ by up to a tenth
     --> vessels/straight-jar-73.yaml:5:8
      |
    5 | holds: 12 oz                                  # to the brim
      |        ^^^^^ here
      |
    help: write `12 fl oz US` or `12 fl oz imp` for fluid ounces, or better, fill the jar with water on the scale and write the millilitres, for example `250 ml`
    "#);
}

#[test]
fn fluid_ounces_need_their_country() {
    let bench = Bench::new();
    bench.change("vessels/straight-jar-73.yaml", "330 ml", "12 fl oz");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `12 fl oz` does not say which fluid ounces: 29.57 ml in the United States, 28.41 ml in Great Britain
     --> vessels/straight-jar-73.yaml:5:8
      |
    5 | holds: 12 fl oz                                  # to the brim
      |        ^^^^^^^^ here
      |
    help: write `12 fl oz US` or `12 fl oz imp`, or the millilitres
    ");
}

#[test]
fn an_unknown_vessel_material_is_told() {
    let bench = Bench::new();
    bench.change("vessels/straight-jar-73.yaml", "made of: glass", "made of: crystal");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-word]: `crystal` is not known here
     --> vessels/straight-jar-73.yaml:2:10
      |
    2 | made of: crystal
      |          ^^^^^^^ here
      |
    help: use one of `glass`, `tin`, `ceramic`, `stone`, `wood`, `plastic`
    ");
}

#[test]
fn a_vessel_without_shape_is_told() {
    let bench = Bench::new();
    bench.change("vessels/straight-jar-73.yaml", "round: {diameter: 73 mm, wall height: 88 mm} ", "# ");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/missing-key]: a vessel needs `round`
     --> vessels/straight-jar-73.yaml:1:1
      |
    1 | vessel: Straight glass jar, 73 mm
      | ^^^^^^ `round` is missing here
      |
    help: add `round: {diameter: 73 mm, wall height: 88 mm}`, or `box: {width: 60 mm, height: 80 mm}`
    ");
}

#[test]
fn an_inside_wider_than_the_outside_is_told() {
    let bench = Bench::new();
    bench.change("vessels/straight-jar-73.yaml", "inside diameter: 67 mm", "inside diameter: 76 mm");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/out-of-range]: the inside, 76 mm, is wider than the outside, 73 mm
     --> vessels/straight-jar-73.yaml:1:1
      |
    1 | vessel: Straight glass jar, 73 mm
      | ^^^^^^ this vessel
      |
    help: swap the two, or measure again
    ");
}

#[test]
fn more_water_than_the_vessel_holds_is_told() {
    let bench = Bench::new();
    bench.change("vessels/straight-jar-73.yaml", "297 g", "397 g");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/out-of-range]: 397 g of water do not go into 330 ml
     --> vessels/straight-jar-73.yaml:6:21
      |
    5 | holds: 330 ml                                  # to the brim
      |        ------ to the brim
    6 | water to fill line: 397 g
      |                     ^^^^^ water to the fill line
      |
    help: weigh the water to the fill line again; 1 ml of water weighs 1 g
    ");
}

#[test]
fn a_vessel_of_ten_metres_is_told() {
    let bench = Bench::new();
    bench.change("vessels/straight-jar-73.yaml", "diameter: 73 mm,", "diameter: 73 m,");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/out-of-range]: `diameter` is 73000 mm
     --> vessels/straight-jar-73.yaml:3:19
      |
    3 | round: {diameter: 73 m, wall height: 88 mm}   # outside; the wall without shoulder and rim
      |                   ^^^^ here
      |
    help: write a size between 1 mm and 1 m, for example `diameter: 73 mm`
    ");
}

#[test]
fn a_lid_that_is_neither_yes_nor_no_is_told() {
    let bench = Bench::new();
    bench.change("vessels/straight-jar-73.yaml", "lid: no", "lid: maybe");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-word]: `maybe` is neither `yes` nor `no`
     --> vessels/straight-jar-73.yaml:7:6
      |
    7 | lid: maybe
      |      ^^^^^ here
      |
    help: write `yes` or `no`
    ");
}

#[test]
fn a_workshop_without_scales_is_told() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "scales:\n  - {name: bench scale, reads to: 1 g, up to: 5 kg}\n  - {name: fine scale, reads to: 0.1 g, up to: 500 g}\n", "");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: a workshop needs at least one scale
     --> workshop.yaml:2:1
      |
    2 | maker:
      | ^^^^^ `scales` is missing here
      |
    help: add `scales: [{name: bench, reads to: 1 g, up to: 5 kg}]`
    ");
}

#[test]
fn a_scale_with_its_figures_swapped_is_told() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "reads to: 1 g, up to: 5 kg", "reads to: 5 kg, up to: 1 g");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/out-of-range]: a scale that reads to 5000 g cannot weigh up to 1 g with any use
      --> workshop.yaml:14:35
       |
    14 |   - {name: bench scale, reads to: 5 kg, up to: 1 g}
       |                                   ^^^^         --- most
       |                                   |
       |                                   smallest step
       |
    help: write its smallest step and its most, for example `reads to: 1 g, up to: 5 kg`
    ");
}

#[test]
fn a_loss_of_half_is_told() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "loss: 2 %", "loss: 50 %");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/out-of-range]: a process loss of 50 % is more than a bench loses
      --> workshop.yaml:16:7
       |
    16 | loss: 50 %                          # what stays in pots and spoons
       |       ^^^^ here
       |
    help: write the share left in pots and spoons, usually 1 to 5 %
    ");
}

#[test]
fn a_pitcher_of_a_gram_is_told() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "1.8 kg", "1.8 g");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/out-of-range]: a pitcher of 1.8 g holds next to nothing
      --> workshop.yaml:17:10
       |
    17 | pitcher: 1.8 g
       |          ^^^^^ here
       |
    help: write the wax it holds, for example `pitcher: 1.5 kg`
    ");
}

#[test]
fn a_country_in_words_is_told() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "country: US", "country: Maine");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-word]: `Maine` is not a country code
     --> workshop.yaml:8:12
      |
    8 |   country: Maine
      |            ^^^^^ here
      |
    help: write the two capital letters of ISO 3166-1: `US`, `CA`, `GB`, `FR` …
    ");
}

#[test]
fn a_missing_street_is_told_when_it_is_not_listed() {
    let bench = Bench::new();
    bench.change(
        "workshop.yaml",
        r#"  street: 4 Saltpan Lane
  town: Quillmere
  region: ME
  postcode: "00000"
  country: US
  phone: +1 207-555-0134
  email: post@quillmere.example
  street listed publicly: yes "#,
        r#"  town: Quillmere
  region: ME
  postcode: "00000"
  country: US
  phone: +1 207-555-0134
  email: post@quillmere.example
  street listed publicly: no "#,
    );
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[us/maker-street]: the maker's address has no street, and it is not said to be publicly listed
     --> workshop.yaml:2:1
      |
    2 | maker:
      | ^^^^^ here
      |
    note: required; known from: law
    help: add `street: …`, or `street listed publicly: yes` where a public directory or website lists it

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_missing_state_is_told() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "  region: ME\n", "");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[us/maker]: the maker's address has no state
     --> workshop.yaml:2:1
      |
    2 | maker:
      | ^^^^^ here
      |
    note: required; known from: law
    help: add `region: ME` to `maker` in `workshop.yaml`

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_postcode_that_is_no_zip_code_is_told() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "  postcode: \"00000\"\n", "  postcode: \"0000\"\n");
    assert_snapshot!(bench.check("low-tide"), @r#"
    exit code 1
    --- stdout
    error[us/maker]: `0000` is not a ZIP code
     --> workshop.yaml:7:13
      |
    7 |   postcode: "0000"
      |             ^^^^^^ here
      |
    note: required; known from: law
    help: write five digits in quotes, for example `postcode: "00000"`, or five, a dash and four

    Low Tide for us on 2026-11-25: 1 finding
    "#);
}

#[test]
fn a_scale_without_its_step_is_told() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "name: fine scale, reads to: 0.1 g", "name: fine scale");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: a scale needs `reads to`
      --> workshop.yaml:15:6
       |
    15 |   - {name: fine scale, up to: 500 g}
       |      ^^^^ `reads to` is missing here
       |
    help: add `reads to: 1 g`
    ");
}

#[test]
fn an_unknown_paper_is_told() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "loss: 2 %", "paper: legal\nloss: 2 %");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-word]: `legal` is not known here
      --> workshop.yaml:16:8
       |
    16 | paper: legal
       |        ^^^^^ here
       |
    help: use one of `letter`, `A4`
    ");
}

#[test]
fn a_wall_of_millimetres_is_asked() {
    let bench = Bench::new();
    bench.change("vessels/straight-jar-73.yaml", "wall height: 88 mm", "wall height: 4 mm");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 1
    --- stdout
    warning[us/panel-area]: the vessel's wall is only 4 mm high
     --> products/low-tide.yaml:7:9
      |
    7 | vessel: straight-jar-73
      |         ^^^^^^^^^^^^^^^ here
      |
    note: required; known from: law
    help: measure the straight wall again

    warning[practice/label-fits]: the part `front` measures 70 mm, and the height of the wall is 4 mm
     --> templates/jar-front-and-base.yaml:7:5
      |
    7 |   - part: front
      |     ^^^^ this part
      |
    note: advice; known from: memory
    help: choose a smaller label in the template, or measure vessel and label again

    Low Tide for us on 2026-11-25: 2 findings
    ");
}

#[test]
fn an_estimate_from_a_gram_of_water_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: estimate");
    bench.change("vessels/straight-jar-73.yaml", "297 g", "1 g");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[practice/vessel-estimate]: the fill is only estimated from the vessel's water weight: about 0 g
     --> products/low-tide.yaml:9:7
      |
    9 | fill: estimate                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^^^^ here
      |
    note: advice; known from: secondary
    help: pour one candle to the line, weigh the wax in it, and write that as `fill`

    error[us/net-weight]: the fill is less than a gram
     --> products/low-tide.yaml:9:7
      |
    9 | fill: estimate                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^^^^ here
      |
    note: required; known from: law
    help: check its unit

    Low Tide for us on 2026-11-25: 2 findings
    ");
}
