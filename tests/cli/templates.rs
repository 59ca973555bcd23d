//! Label templates of the maker's own: what cannot be set is told with its place.

use crate::bench::Bench;
use insta::assert_snapshot;

/// A workshop whose jar has its own template, after a change.
fn own(from: &str, to: &str) -> Bench {
    let bench = Bench::new();
    let text = waxbill::plan::template::built_in("jar-front-and-base").unwrap().text.clone();
    bench.file("templates/own.yaml", text).change("products/low-tide.yaml", "jar-front-and-base", "own");
    bench.change("templates/own.yaml", from, to);
    bench
}

#[test]
fn a_misspelt_template_is_told_with_the_nearest() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "jar-front-and-base", "jar-front-and-bass");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/no-template]: there is no template `jar-front-and-bass`, neither in the workshop's `templates` folder nor built in
      --> products/low-tide.yaml:19:3
       |
    19 |   template: jar-front-and-bass
       |   ^ named here
       |
    help: did you mean `jar-front-and-base`? built in are `jar-front-and-base`, `jar-wrap`, `jar-full-wrap`, `jar-fold-out`, `jar-fold-out-two-languages`, `tin-lid-and-base`, `hang-tag`, `pillar-band`, `taper-band`, `tea-light-box`, `box-sleeve`, `melt-clamshell`, `melt-card`, `melt-front-and-back`, `jar-two-languages`, `tin-two-languages`, `pillar-two-languages`, `taper-two-languages`, `tea-light-two-languages`, `melt-two-languages`
    ");
}

#[test]
fn a_template_never_comes_from_outside_its_folder() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "jar-front-and-base", "../products/low-tide");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/no-template]: there is no template `../products/low-tide`, neither in the workshop's `templates` folder nor built in
      --> products/low-tide.yaml:19:3
       |
    19 |   template: ../products/low-tide
       |   ^ named here
       |
    help: built in are `jar-front-and-base`, `jar-wrap`, `jar-full-wrap`, `jar-fold-out`, `jar-fold-out-two-languages`, `tin-lid-and-base`, `hang-tag`, `pillar-band`, `taper-band`, `tea-light-box`, `box-sleeve`, `melt-clamshell`, `melt-card`, `melt-front-and-back`, `jar-two-languages`, `tin-two-languages`, `pillar-two-languages`, `taper-two-languages`, `tea-light-two-languages`, `melt-two-languages`
    ");
}

#[test]
fn two_principal_parts_are_told() {
    assert_snapshot!(own("part: base", "part: base\n    principal: yes").check("low-tide"), @r"
    exit code 2
    --- stderr
    error[template/principal-part]: 2 parts are marked as the principal one, the side shown to the customer
     --> templates/own.yaml:3:1
      |
    3 | template: jar-front-and-base
      | ^^^^^^^^ in this template
      |
    help: mark exactly one part with `principal: yes`
    ");
}

#[test]
fn no_principal_part_is_told() {
    assert_snapshot!(own("principal: yes", "principal: no ").check("low-tide"), @r"
    exit code 2
    --- stderr
    error[template/principal-part]: 0 parts are marked as the principal one, the side shown to the customer
     --> templates/own.yaml:3:1
      |
    3 | template: jar-front-and-base
      | ^^^^^^^^ in this template
      |
    help: mark exactly one part with `principal: yes`
    ");
}

#[test]
fn two_parts_of_one_name_are_told() {
    assert_snapshot!(own("part: base", "part: front").check("low-tide"), @"
    exit code 2
    --- stderr
    error[template/part-twice]: two parts are called `front`
      --> templates/own.yaml:17:5
       |
    17 |   - part: front
       |     ^^^^ second one
       |
    help: give each its own name
    ");
}

#[test]
fn a_margin_wider_than_the_label_is_told() {
    assert_snapshot!(own("margin: 2.5 mm", "margin: 35 mm").check("low-tide"), @"
    exit code 2
    --- stderr
    error[template/margin]: a margin of 35 mm leaves nothing to print on
      --> templates/own.yaml:17:5
       |
    17 |   - part: base
       |     ^^^^ in this part
       |
    help: make the margin smaller, usually 2 to 4 mm
    ");
}

#[test]
fn a_corner_rounder_than_the_label_is_told() {
    assert_snapshot!(own("corner: 3 mm", "corner: 40 mm").check("low-tide"), @r"
    exit code 2
    --- stderr
    error[template/corner]: corners of 40 mm do not fit the sides
     --> templates/own.yaml:9:60
      |
    9 |     shape: {rounded: {width: 60 mm, height: 70 mm, corner: 40 mm}}
      |                                                            ^^^^^ here
      |
    help: make the radius at most half the shorter side
    ");
}

#[test]
fn a_label_of_metres_is_told() {
    assert_snapshot!(own("diameter: 68 mm", "diameter: 68 cm").check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/out-of-range]: `diameter` is 680 mm
      --> templates/own.yaml:18:32
       |
    18 |     shape: {circle: {diameter: 68 cm}}
       |                                ^^^^^ here
       |
    help: a label measures between 8 mm and 500 mm
    ");
}

#[test]
fn an_unknown_block_is_told_with_the_nearest() {
    assert_snapshot!(own("block: warning", "block: warnings").check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/wrong-word]: `warnings` is not known here
      --> templates/own.yaml:23:17
       |
    23 |       - {block: warnings, align: centre, largest: 4 mm}
       |                 ^^^^^^^^ here
       |
    help: did you mean `warning`? use one of `product name`, `identity`, `net quantity`, `maker`, `hazard`, `warning`, `candle symbols`, `care`, `burn time`, `california`, `lot`, `code`, `look inside`, `logo`, `shipping box`
    ");
}

#[test]
fn an_unknown_shape_is_told() {
    assert_snapshot!(own("circle: {diameter: 68 mm}", "hexagon: {diameter: 68 mm}").check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/unknown-key]: a shape has no key `hexagon`
      --> templates/own.yaml:18:13
       |
    18 |     shape: {hexagon: {diameter: 68 mm}}
       |             ^^^^^^^ not known
       |
    help: a shape knows these keys: `rectangle`, `rounded`, `circle`, `strip`, `wrap`

    error[file/missing-key]: a shape needs `rectangle`
      --> templates/own.yaml:18:13
       |
    18 |     shape: {hexagon: {diameter: 68 mm}}
       |             ^^^^^^^ `rectangle` is missing here
       |
    help: add `rectangle: {width: 80 mm, height: 60 mm}`, or `circle: {diameter: 60 mm}`
    ");
}

#[test]
fn an_unknown_way_to_align_is_told() {
    assert_snapshot!(own("{block: warning, align: centre", "{block: warning, align: center").check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/wrong-word]: `center` is not known here
      --> templates/own.yaml:23:33
       |
    23 |       - {block: warning, align: center, largest: 4 mm}
       |                                 ^^^^^^ here
       |
    help: did you mean `centre`? use one of `left`, `centre`, `right`
    ");
}

#[test]
fn a_template_without_a_block_that_is_needed_is_told() {
    assert_snapshot!(own("      - {block: warning, align: centre, largest: 4 mm}\n", "").check("low-tide"), @r"
    exit code 1
    --- stdout
    error[us/fire-warning-signal]: the template `jar-front-and-base` has no place for the block `warning`
     --> templates/own.yaml:3:1
      |
    3 | template: jar-front-and-base
      | ^^^^^^^^ this template
      |
    note: standard; known from: secondary
    help: add a row `- {block: warning}` to one of its parts

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_block_placed_twice_is_told() {
    assert_snapshot!(own("{block: code, align: left}", "{block: warning, align: left}").check("low-tide"), @r"
    exit code 1
    --- stdout
    error[policy/qr-code]: the template `jar-front-and-base` has no place for the block `code`
     --> templates/own.yaml:3:1
      |
    3 | template: jar-front-and-base
      | ^^^^^^^^ this template
      |
    note: policy; known from: policy
    help: add a row `- {block: code}` to one of its parts

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_label_too_small_for_its_law_is_told_with_millimetres_and_what_may_go() {
    assert_snapshot!(own("diameter: 68 mm", "diameter: 40 mm").check("low-tide"), @"
    exit code 1
    --- stdout
    error[label/does-not-fit]: part `base` (a circle of 40 mm) cannot hold its text at legal size: its diameter is `23 mm` too small
     |
    note: expected at least a circle of 63 mm, found a circle of 40 mm
    note: page 2 (base)
    help: make the part at least a circle of 63 mm; or leave out the code, with `code: none` under `label`, and `us/phone`, `us/care-ventilate`, `us/care-hot`, `us/care-glass`, `us/care-distance`, `us/care-high-flame`, `us/care-snuff`, `us/care-move`, `us/care-surface`, `us/care-draft`, `us/care-pool`, `us/care-stop`, `us/care-first-burn`, `us/care-cool`, `us/care-session`, each with a line like `{rule: us/phone, because: …}` under `accept` in the product file: the rest then fits

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_front_too_narrow_for_its_net_quantity_is_told() {
    assert_snapshot!(own("width: 60 mm", "width: 18 mm").check("low-tide"), @"
    exit code 1
    --- stdout
    error[label/does-not-fit]: part `front` (18 x 70 mm) cannot hold its text at legal size: `NET WT` is `0.8 mm` too wide
     |
    note: expected at least 19 x 70 mm, found 18 x 70 mm
    note: page 1 (front)
    help: make the part at least 19 x 70 mm (or 19 x 74 mm)

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_template_without_the_block_of_advice_is_told() {
    assert_snapshot!(own("      - {block: care, align: centre, largest: 2 mm, run on: yes}\n", "").check("low-tide"), @r"
    exit code 1
    --- stdout
    error[us/care-trim-wood]: the template `jar-front-and-base` has no place for the block `care`
     --> templates/own.yaml:3:1
      |
    3 | template: jar-front-and-base
      | ^^^^^^^^ this template
      |
    note: advice; known from: secondary
    help: add a row `- {block: care}` to one of its parts

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_wrap_round_a_vessel_without_a_diameter_is_told_and_nothing_is_written() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "jar-front-and-base", "jar-full-wrap");
    bench.change(
        "vessels/straight-jar-73.yaml",
        "round: {diameter: 73 mm, wall height: 88 mm}",
        "box: {width: 73 mm, height: 88 mm}",
    );
    assert_snapshot!(bench.on_the_day("label products/low-tide.yaml -o wrap.pdf"), @"
    exit code 2
    --- stderr
    error[template/no-diameter]: the part `wrap` of the template `jar-full-wrap` goes round the vessel, and no diameter of a vessel or candle is known
      --> templates/jar-full-wrap.yaml:14:9
       |
    14 |       - face: warnings                   # hazard block or fire warning, as the market has it
       |         ^^^^ its first face
       |
    help: measure it and add `round: {diameter: 73 mm, wall height: 88 mm}` to the vessel's file, or `circumference: 230 mm` to the wrap in a template of your own
    ");
    assert!(!bench.path("wrap.pdf").exists());
}

#[test]
fn a_label_too_small_for_anything_legal_is_told_and_nothing_is_written() {
    let bench = own("diameter: 68 mm", "diameter: 12 mm");
    assert_snapshot!(bench.on_the_day("label products/low-tide.yaml -o small.pdf"), @"
    exit code 1
    --- stderr
    error[label/does-not-fit]: part `base` (a circle of 12 mm) cannot hold its text at legal size: no diameter up to four times as large is enough
     |
    note: page 2 (base)
    help: move statements to another part; or leave out the code, with `code: none` under `label`, and `us/phone`, `us/care-ventilate`, `us/care-hot`, `us/care-glass`, `us/care-distance`, `us/care-high-flame`, `us/care-snuff`, `us/care-move`, `us/care-surface`, `us/care-draft`, `us/care-pool`, `us/care-stop`, `us/care-first-burn`, `us/care-cool`, `us/care-session`, `us/care-light-wood`, `us/care-trim-wood`, each with a line like `{rule: us/phone, because: …}` under `accept` in the product file, and make the part at least a circle of 36 mm for the rest

    nothing was written
    ");
    assert!(!bench.path("small.pdf").exists());
}

#[test]
fn a_colour_too_pale_is_told_with_its_contrast() {
    let bench = own("{block: product name, align: centre", "{block: product name, align: centre, ink: \"#c9b458\"");
    assert_snapshot!(bench.check("low-tide"), @r##"
    exit code 2
    --- stderr
    error[template/contrast]: the letters of `product name` in #c9b458 on #ffffff have a contrast of 2.06 : 1; 4.5 : 1 can be read
      --> templates/own.yaml:13:51
       |
    13 |       - {block: product name, align: centre, ink: "#c9b458", largest: 8 mm}
       |                                                   ^^^^^^^^^ here
       |
    help: choose a darker `ink` or a lighter `ground`
    "##);
}

#[test]
fn rows_on_a_strip_and_faces_on_a_plain_part_are_told() {
    assert_snapshot!(own("    rows:\n      - {block: california", "    faces:\n      - {block: california").check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/missing-key]: a part needs `rows`
      --> templates/own.yaml:17:5
       |
    17 |   - part: base
       |     ^^^^ `rows` is missing here
       |
    help: add `rows: [{block: identity, align: centre}]`

    error[template/faces]: only a strip or a wrap has faces side by side
      --> templates/own.yaml:21:7
       |
    21 |       - {block: california, align: centre, largest: 2.4 mm}
       |       ^ here
       |
    help: give the part the shape `strip` or `wrap`, or write its rows under `rows`
    ");
    assert_snapshot!(own("circle: {diameter: 68 mm}", "strip: {height: 60 mm}").check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/missing-key]: a part needs `faces`
      --> templates/own.yaml:17:5
       |
    17 |   - part: base
       |     ^^^^ `faces` is missing here
       |
    help: add `faces: [{face: front, width: 60 mm, principal: yes, rows: [{block: identity}]}]`
    ");
}

#[test]
fn a_wrap_whose_faces_are_wider_than_its_vessel_is_told() {
    let bench = Bench::new();
    let text =
        waxbill::plan::template::built_in("jar-full-wrap").unwrap().text.replace("width: 60 mm", "width: 200 mm");
    bench.file("templates/own.yaml", text).change("products/low-tide.yaml", "jar-front-and-base", "own");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[template/wrap-too-short]: the faces of `wrap` need 240 mm, and the way round the vessel is 229.4 mm
     --> templates/own.yaml:6:1
      |
    6 | template: jar-full-wrap
      | ^^^^^^^^ this template
      |
    help: make its faces narrower in a template of your own, or choose another template
    ");
}

#[test]
fn a_coloured_warning_a_wrong_colour_and_a_hole_in_the_middle_are_told() {
    let ink = |ink: &str| {
        own("{block: warning, align: centre", &format!("{{block: warning, align: centre, ink: {ink}")).check("low-tide")
    };
    assert_snapshot!(ink("\"#a00000\""), @r##"
    exit code 2
    --- stderr
    error[template/ink]: the block `warning` has to be black on white, and `ink` is #a00000
      --> templates/own.yaml:23:46
       |
    23 |       - {block: warning, align: centre, ink: "#a00000", largest: 4 mm}
       |                                              ^^^^^^^^^ here
       |
    help: take `ink` out; colours are for the name and other words that are your own
    "##);
    assert_snapshot!(ink("red"), @r##"
    exit code 2
    --- stderr
    error[template/colour]: `red` is not a colour
      --> templates/own.yaml:23:46
       |
    23 |       - {block: warning, align: centre, ink: red, largest: 4 mm}
       |                                              ^^^ here
       |
    help: write a hash and six digits in quotes, two each for red, green and blue: `"#1f3a5f"`
    "##);
    assert_snapshot!(own("margin: 3 mm", "hole: {diameter: 4 mm, from top: 35 mm}").check("low-tide"), @"
    exit code 2
    --- stderr
    error[template/hole]: a hole stands within the outer third of its part
      --> templates/own.yaml:10:12
       |
    10 |     hole: {diameter: 4 mm, from top: 35 mm}                         # nothing is printed nearer to the edge
       |            ^^^^^^^^ here
       |
    help: measure its diameter, and its middle from the left and upper edge
    ");
}

#[test]
fn more_rows_than_are_set_are_told() {
    let logo = "      - {block: logo, align: centre}\n";
    let told = own(logo, &logo.repeat(61)).check("low-tide");
    assert!(
        told.starts_with("exit code 2")
            && told.contains("[template/too-many]")
            && told.contains("more than the 60 that are set"),
        "{told}"
    );
}
