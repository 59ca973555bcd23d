//! Material files: limits, temperatures, the safety sheet.

use crate::bench::Bench;
use insta::assert_snapshot;

#[test]
fn a_limit_without_basis_is_told() {
    let bench = Bench::new();
    bench.change("materials/kelp-and-cedar.yaml", "{of total: 10 %}", "10 %");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/load-without-basis]: `10 %` does not say of what: of the wax, or of wax and oil together
     --> materials/kelp-and-cedar.yaml:4:11
      |
    4 | max load: 10 %
      |           ^^^^ here
      |
    help: write `max load: {of wax: 10 %}` (usual on a wax's sheet) or `max load: {of total: 10 %}` (usual on a fragrance certificate)
    ");
}

#[test]
fn a_limit_on_both_bases_is_told() {
    let bench = Bench::new();
    bench.change("materials/kelp-and-cedar.yaml", "{of total: 10 %}", "{of total: 10 %, of wax: 11 %}");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/two-limits]: the limit stands on both bases
     --> materials/kelp-and-cedar.yaml:4:22
      |
    4 | max load: {of total: 10 %, of wax: 11 %}
      |                      ^^^^ second one
      |
    help: keep the one the sheet prints
    ");
}

#[test]
fn an_unknown_role_is_told() {
    let bench = Bench::new();
    bench.change("materials/kelp-and-cedar.yaml", "role: fragrance", "role: scent");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-word]: `scent` is not known here
     --> materials/kelp-and-cedar.yaml:2:7
      |
    2 | role: scent
      |       ^^^^^ here
      |
    help: use one of `wax`, `fragrance`, `dye`, `additive`
    ");
}

#[test]
fn adding_and_pouring_swapped_is_told() {
    let bench = Bench::new();
    bench.change(
        "materials/harbour-soy-blend.yaml",
        "add at: [165 F, 175 F]\npour at: [130 F, 145 F]",
        "add at: [130 F, 145 F]\npour at: [165 F, 175 F]",
    );
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[practice/add-below-pour]: the fragrance is added at 62.8 °C (145 °F) and the wax poured at 73.9 °C (165 °F), which is hotter
     --> materials/harbour-soy-blend.yaml:6:9
      |
    6 | add at: [130 F, 145 F]
      |         ^ added here
    7 | pour at: [165 F, 175 F]
      |          - poured here
      |
    help: swap the two: fragrance goes in first, the pour follows as the wax cools
    ");
}

#[test]
fn a_window_upside_down_is_told() {
    let bench = Bench::new();
    bench.change("materials/harbour-soy-blend.yaml", "[165 F, 175 F]", "[175 F, 165 F]");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-range]: `add at` is one temperature, or the lower and the upper one
     --> materials/harbour-soy-blend.yaml:6:10
      |
    6 | add at: [175 F, 165 F]
      |          ^^^^^ here
      |
    help: write for example `[137 F, 145 F]`
    ");
}

#[test]
fn a_temperature_without_scale_is_told() {
    let bench = Bench::new();
    bench.change("materials/harbour-soy-blend.yaml", "185 F", "185");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `185` has no unit
     --> materials/harbour-soy-blend.yaml:5:18
      |
    5 | max temperature: 185
      |                  ^^^ here
      |
    help: add one of `C`, `F`: for example `165 F`
    ");
}

#[test]
fn fahrenheit_written_as_celsius_is_told() {
    let bench = Bench::new();
    bench.change("materials/harbour-soy-blend.yaml", "max temperature: 185 F", "max temperature: 185 C");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[practice/pot-temperature]: Harbour soy blend is brought to 185 °C (365 °F)
     --> materials/harbour-soy-blend.yaml:1:1
      |
    1 | material: Harbour soy blend
      | ^^^^^^^^ in this material
      |
    note: advice; known from: secondary
    help: check the figure and its unit (F or C); wax needs less, and above 120 °C it becomes dangerous

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_wax_above_boiling_water_is_told() {
    let bench = Bench::new();
    bench.change("materials/harbour-soy-blend.yaml", "max temperature: 185 F", "max temperature: 230 F");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    warning[practice/pot-temperature]: Harbour soy blend is brought to 110 °C (230 °F)
     --> materials/harbour-soy-blend.yaml:1:1
      |
    1 | material: Harbour soy blend
      | ^^^^^^^^ in this material
      |
    note: advice; known from: secondary
    help: check the figure and its unit (F or C); wax needs less, and above 120 °C it becomes dangerous

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn an_oil_added_at_its_flash_point_is_noted() {
    let bench = Bench::new();
    bench.change("materials/kelp-and-cedar.yaml", "flash point: 93 C", "flash point: 75 C");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 0
    --- stdout
    note[practice/flash-point]: Kelp and Cedar fragrance oil is added at 79.4 °C (175 °F), at or above its flash point of 75 °C (167 °F)
     --> materials/kelp-and-cedar.yaml:1:1
      |
    1 | material: Kelp and Cedar fragrance oil
      | ^^^^^^^^ this fragrance
      |
    note: advice; known from: secondary
    help: no flame or glowing heater within reach, lid on, a short stir

    Low Tide for us on 2026-11-25: nothing found
    ");
}

#[test]
fn a_cas_number_with_a_slip_is_told() {
    let bench = Bench::new();
    bench.change("materials/kelp-and-cedar.yaml", "78-70-6", "78-70-7");
    assert_snapshot!(bench.check("low-tide"), @r#"
    exit code 2
    --- stderr
    error[file/cas-number]: `78-70-7` is not a CAS number: its last digit does not fit the others
      --> materials/kelp-and-cedar.yaml:10:29
       |
    10 |     - {name: linalool, cas: 78-70-7, percent: [5, 10], classes: ["Skin Sens. 1B, H317"]}
       |                             ^^^^^^^ here
       |
    help: copy it again from section 3 of the sheet
    "#);
}

#[test]
fn a_date_the_other_way_round_is_told() {
    let bench = Bench::new();
    bench.change("materials/kelp-and-cedar.yaml", "2026-03-02", "02/03/2026");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/wrong-date]: `02/03/2026` is not a date
     --> materials/kelp-and-cedar.yaml:7:9
      |
    7 |   date: 02/03/2026
      |         ^^^^^^^^^^ here
      |
    help: write year, month and day: `2026-03-02`
    ");
}

#[test]
fn an_old_sheet_is_told() {
    let bench = Bench::new();
    bench.change("materials/kelp-and-cedar.yaml", "2026-03-02", "2019-03-02");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    warning[practice/sheet-age]: the safety sheet of Kelp and Cedar fragrance oil is dated 2019-03-02, more than 3 years ago
     --> materials/kelp-and-cedar.yaml:1:1
      |
    1 | material: Kelp and Cedar fragrance oil
      | ^^^^^^^^ this material
      |
    note: advice; known from: memory
    help: ask the supplier for the current sheet

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_sheet_of_tomorrow_is_told() {
    let bench = Bench::new();
    bench.change("materials/kelp-and-cedar.yaml", "2026-03-02", "2027-03-02");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    warning[practice/sheet-age]: the safety sheet of Kelp and Cedar fragrance oil is dated 2027-03-02, after 2026-11-25
     --> materials/kelp-and-cedar.yaml:1:1
      |
    1 | material: Kelp and Cedar fragrance oil
      | ^^^^^^^^ this material
      |
    note: advice; known from: memory
    help: check the date

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_share_upside_down_is_told() {
    let bench = Bench::new();
    bench.change("materials/kelp-and-cedar.yaml", "percent: [5, 10]", "percent: [10, 5]");
    assert_snapshot!(bench.check("low-tide"), @r#"
    exit code 2
    --- stderr
    error[file/wrong-range]: the range runs from 10 % down to 5 %
      --> materials/kelp-and-cedar.yaml:10:48
       |
    10 |     - {name: linalool, cas: 78-70-6, percent: [10, 5], classes: ["Skin Sens. 1B, H317"]}
       |                                                ^^ here
       |
    help: write the lower end first: `percent: [5, 10]`
    "#);
}

#[test]
fn two_percent_of_bergamot_oil_is_told() {
    let bench = Bench::new();
    bench.change(
        "materials/kelp-and-cedar.yaml",
        "name: linalool, cas: 78-70-6, percent: [5, 10]",
        "name: bergamot oil, cas: 8007-75-8, percent: [30, 60]",
    );
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    warning[us/bergamot]: the candle holds up to 4.44 % oil of bergamot; from 2 % up a product is a designated strong sensitizer
      --> products/low-tide.yaml:11:3
       |
    11 |   - {use: harbour-soy-blend, as: wax}
       |   ^ here
       |
    note: advice; known from: law
    help: lower the load, or have somebody who knows the Federal Hazardous Substances Act decide whether a hazard label is due

    Low Tide for us on 2026-11-25: 1 finding
    ");
}
