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
    help: did you mean `jar-front-and-base`? built in are `jar-front-and-base`, `jar-wrap`, `tin-lid-and-base`, `pillar-band`, `taper-band`, `tea-light-box`, `melt-card`, `melt-front-and-back`, `jar-two-languages`, `tin-two-languages`, `pillar-two-languages`, `taper-two-languages`, `tea-light-two-languages`, `melt-two-languages`
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
    help: built in are `jar-front-and-base`, `jar-wrap`, `tin-lid-and-base`, `pillar-band`, `taper-band`, `tea-light-box`, `melt-card`, `melt-front-and-back`, `jar-two-languages`, `tin-two-languages`, `pillar-two-languages`, `taper-two-languages`, `tea-light-two-languages`, `melt-two-languages`
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
    assert_snapshot!(own("part: base", "part: front").check("low-tide"), @r"
    exit code 2
    --- stderr
    error[template/part-twice]: two parts are called `front`
      --> templates/own.yaml:16:5
       |
    16 |   - part: front
       |     ^^^^ second one
       |
    help: give each its own name
    ");
}

#[test]
fn a_margin_wider_than_the_label_is_told() {
    assert_snapshot!(own("margin: 2.5 mm", "margin: 35 mm").check("low-tide"), @r"
    exit code 2
    --- stderr
    error[template/margin]: a margin of 35 mm leaves nothing to print on
      --> templates/own.yaml:16:5
       |
    16 |   - part: base
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
    assert_snapshot!(own("diameter: 68 mm", "diameter: 68 cm").check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/out-of-range]: `diameter` is 680 mm
      --> templates/own.yaml:17:32
       |
    17 |     shape: {circle: {diameter: 68 cm}}
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
      --> templates/own.yaml:22:17
       |
    22 |       - {block: warnings, align: centre, largest: 4 mm}
       |                 ^^^^^^^^ here
       |
    help: did you mean `warning`? use one of `product name`, `identity`, `net quantity`, `maker`, `hazard`, `warning`, `candle symbols`, `care`, `burn time`, `california`, `lot`, `code`, `shipping box`
    ");
}

#[test]
fn an_unknown_shape_is_told() {
    assert_snapshot!(own("circle: {diameter: 68 mm}", "hexagon: {diameter: 68 mm}").check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/unknown-key]: a shape has no key `hexagon`
      --> templates/own.yaml:17:13
       |
    17 |     shape: {hexagon: {diameter: 68 mm}}
       |             ^^^^^^^ not known
       |
    help: a shape knows these keys: `rectangle`, `rounded`, `circle`

    error[file/missing-key]: a shape needs `rectangle`
      --> templates/own.yaml:17:13
       |
    17 |     shape: {hexagon: {diameter: 68 mm}}
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
      --> templates/own.yaml:22:33
       |
    22 |       - {block: warning, align: center, largest: 4 mm}
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
    assert_snapshot!(own("{block: code, align: centre}", "{block: warning, align: centre}").check("low-tide"), @r"
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
    assert_snapshot!(own("diameter: 68 mm", "diameter: 40 mm").check("low-tide"), @r"
    exit code 1
    --- stdout
    error[label/does-not-fit]: part `base` (a circle of 40 mm) cannot hold its text at legal size: its diameter is `25 mm` too small
     |
    note: expected at least a circle of 65 mm, found a circle of 40 mm
    note: page 2 (base)
    help: make the part at least a circle of 65 mm, or leave out what is optional here, with `accept: [{rule: us/care-trim-wood, because: …}]` in the product file: `us/care-trim-wood`, `us/care-light-wood`, `us/care-session`, `us/care-cool`, `us/care-first-burn`, `us/care-stop`, `us/care-pool`, `us/care-draft`, `us/care-surface`, `us/care-move`, `us/care-snuff`, `us/care-high-flame`, `us/care-distance`, `us/care-glass`, `us/care-hot`, `us/care-ventilate`, `us/phone`, or leave out the code with `code: none`

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn a_front_too_narrow_for_its_net_quantity_is_told() {
    assert_snapshot!(own("width: 60 mm", "width: 18 mm").check("low-tide"), @r"
    exit code 1
    --- stdout
    error[label/does-not-fit]: part `front` (18 x 70 mm) cannot hold its text at legal size: `NET WT` is `0.8 mm` too wide
     |
    note: expected at least 19 x 74 mm, found 18 x 70 mm
    note: page 1 (front)
    help: make the part at least 19 x 74 mm, or leave out what is optional here, with `accept: [{rule: us/burn-time, because: …}]` in the product file: `us/burn-time`

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
