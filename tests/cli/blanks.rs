//! Text that shows nothing, figures nobody means, and two answers to one question.

use crate::bench::{Bench, DAY};
use insta::assert_snapshot;

/// The answer after one change, without its excerpt: exit code, titles and cures.
fn told(file: &str, from: &str, to: &str) -> String {
    let bench = Bench::new();
    bench.change(file, from, to);
    let answer = bench.check("low-tide");
    let kept = |l: &&str| ["exit", "error", "warning", "help"].iter().any(|w| l.starts_with(w));
    answer.lines().filter(kept).collect::<Vec<_>>().join("\n")
}

fn product(from: &str, to: &str) -> String {
    told("products/low-tide.yaml", from, to)
}

#[test]
fn blank_text_counts_as_absent() {
    for (from, to) in [
        ("town: Quillmere", "town: \"\""),
        ("town: Quillmere", "town: \"  \""),
        ("town: Quillmere", "town: \"\\u200b\\u202e\""),
        ("name: Quillmere Candle Shed", "name: \"\\u00a0\""),
        ("  postcode: \"00000\"\n", "  postcode: \"\"\n"),
        ("  region: ME\n", "  region: \"\"\n"),
    ] {
        let answer = told("workshop.yaml", from, to);
        assert!(!answer.starts_with("exit code 0"), "{to}: {answer}");
    }
    assert_snapshot!(told("workshop.yaml", "town: Quillmere", "town: \" \""), @"
    exit code 2
    error[file/missing-key]: the maker needs `town`
    help: add `town: Quillmere`
    ");
    assert_snapshot!(product("{en: Scented candle, fr: Bougie parfumée}", "{en: \"\"}"), @"
    exit code 2
    error[file/missing-key]: a text in several languages needs `en`
    help: add `en: …`
    ");
    assert_snapshot!(product("label:\n", "california: {cancer: \" \"}\nlabel:\n"), @"
    exit code 2
    error[file/missing-key]: a California warning names at least one chemical
    help: add `cancer: NAME` or `reproductive harm: NAME`, or take `california` out
    ");
}

#[test]
fn a_product_sold_nowhere_is_told() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "markets: [us]\n", "");
    bench.change("products/low-tide.yaml", "markets: [us]", "markets: []");
    assert_snapshot!(bench.run(&format!("pour products/low-tide.yaml --count 6 --date {DAY}")), @"
    exit code 2
    --- stderr
    error[file/missing-key]: neither the product nor its workshop says where it is sold: no label could be made
     --> products/low-tide.yaml:6:10
      |
    6 | markets: []
      |          ^ `markets` is missing here
      |
    help: add `markets: [us]`, here or in `workshop.yaml`
    ");
}

#[test]
fn care_figures_nobody_means_are_told() {
    let care = |figure: &str| product("label:\n", &format!("care: {{{figure}}}\nlabel:\n"));
    let all = [
        "session: 20 min",
        "session: 13 h",
        "stop: 2 mm",
        "stop: 9 cm",
        "distance: 19 mm",
        "distance: 2 m",
        "cool: 10 min",
        "cool: 25 h",
    ];
    assert_snapshot!(all.map(care).join("\n"), @"
    exit code 2
    error[file/out-of-range]: `session` is 0.33 h, and it goes from 0.5 h to 12 h
    help: check the figure and its unit; usual is `4 h`
    exit code 2
    error[file/out-of-range]: `session` is 13 h, and it goes from 0.5 h to 12 h
    help: check the figure and its unit; usual is `4 h`
    exit code 2
    error[file/out-of-range]: `stop` is 2 mm, and it goes from 3 mm to 80 mm
    help: check the figure and its unit; usual is `1/2 in` in a vessel, `2 in` for a pillar or taper
    exit code 2
    error[file/out-of-range]: `stop` is 90 mm, and it goes from 3 mm to 80 mm
    help: check the figure and its unit; usual is `1/2 in` in a vessel, `2 in` for a pillar or taper
    exit code 2
    error[file/out-of-range]: `distance` is 19 mm, and it goes from 20 mm to 1000 mm
    help: check the figure and its unit; usual is `3 in`
    exit code 2
    error[file/out-of-range]: `distance` is 2000 mm, and it goes from 20 mm to 1000 mm
    help: check the figure and its unit; usual is `3 in`
    exit code 2
    error[file/out-of-range]: `cool` is 0.16 h, and it goes from 0.25 h to 24 h
    help: check the figure and its unit; usual is `2 h`
    exit code 2
    error[file/out-of-range]: `cool` is 25 h, and it goes from 0.25 h to 24 h
    help: check the figure and its unit; usual is `2 h`
    ");
    assert_snapshot!(product("stop: 1/2 in", "stop: 0 mm"), @"
    exit code 2
    error[file/out-of-range]: `stop` is 0 mm, and it goes from 3 mm to 80 mm
    help: check the figure and its unit; usual is `1/2 in` in a vessel, `2 in` for a pillar or taper
    ");
    assert_snapshot!(product("label:\n", "cure: 60 weeks\nlabel:\n"), @"
    exit code 2
    error[file/out-of-range]: `cure` is 420 days, and it goes from 0 days to 365 days
    help: check the figure and its unit; usual is `14 days`
    ");
    for fits in [
        "session: 30 min",
        "session: 12 h",
        "stop: 3 mm",
        "stop: 80 mm",
        "distance: 20 mm",
        "distance: 1 m",
        "cool: 15 min",
        "cool: 24 h",
    ] {
        let answer = care(fits);
        assert!(!answer.contains("file/"), "{fits}: {answer}");
    }
}

#[test]
fn a_word_unknown_to_the_care_figures_is_told() {
    assert_snapshot!(product("label:\n", "care: {sesion: 4 h}\nlabel:\n"), @"
    exit code 2
    error[file/unknown-key]: a set of care figures has no key `sesion`
    help: did you mean `session`? a set of care figures knows these keys: `session`, `stop`, `distance`, `cool`
    ");
}

#[test]
fn vessels_and_packages_have_one_shape() {
    let vessel = |from: &str, to: &str| told("vessels/straight-jar-73.yaml", from, to);
    let jar = std::fs::read_to_string(Bench::new().path("vessels/straight-jar-73.yaml")).unwrap();
    let round = jar.lines().find(|l| l.starts_with("round:")).unwrap().to_owned();
    assert_snapshot!(vessel(&round, &format!("{round}\nbox: {{width: 60 mm, height: 80 mm}}")), @"
    exit code 2
    error[file/two-shapes]: `round` and `box` stand side by side: it is not clear which one counts
    help: keep the one that bears the label
    ");
    assert_snapshot!(vessel("{diameter: 73 mm", "{diameter: 73 mm, widest: 80 mm, narrowest: 70 mm"), @"
    exit code 2
    error[file/two-shapes]: `diameter` and `widest` stand side by side: it is not clear which one counts
    help: keep `diameter` for a straight wall, `widest` and `narrowest` for a tapered one
    ");
    assert_snapshot!(vessel(&round, "round: {diameter: 73 mm}"), @"
    exit code 2
    error[file/missing-key]: a round vessel needs `wall height`
    help: add `wall height: 88 mm`
    ");
    assert_snapshot!(vessel(&round, "box: {width: 50 mm, height: 90 mm, depth: 60 mm}"), @"
    exit code 2
    error[file/out-of-range]: the inside, 67 mm, is wider than the outside, 60 mm
    help: swap the two, or measure again
    ");
    assert_snapshot!(product("vessel: straight-jar-73", "vessel: straight-jar-73\npackage: {lid: {diameter: 70 mm}, box: {width: 80 mm, height: 95 mm}}"), @"
    exit code 2
    error[file/two-shapes]: `box` and `lid` stand side by side: it is not clear which one counts
    help: keep the one that bears the label
    ");
    assert_snapshot!(product("vessel: straight-jar-73", "vessel: straight-jar-73\npackage: {box: {width: 80 mm, height: 60 mm}}"), @"
    exit code 1
    warning[us/panel-area]: the package, 80 mm x 60 mm, is smaller than the vessel in it, 73 mm x 88 mm
    help: measure the package again: the least height of letters follows from its size
    warning[practice/label-fits]: the part `front` measures 70 mm, and the height of the side is 60 mm
    help: choose a smaller label in the template, or measure vessel and label again
    warning[practice/label-fits]: the part `base` measures 68 mm, and the height of the side is 60 mm
    help: choose a smaller label in the template, or measure vessel and label again
    ");
}

#[test]
fn an_inside_as_wide_as_a_street_is_told() {
    let jar = std::fs::read_to_string(Bench::new().path("vessels/straight-jar-73.yaml")).unwrap();
    let inside = jar.lines().find(|l| l.starts_with("inside diameter:")).unwrap().to_owned();
    for wide in ["2 m", "99999999999 m", "4 mm"] {
        let answer = told("vessels/straight-jar-73.yaml", &inside, &format!("inside diameter: {wide}"));
        assert!(answer.starts_with("exit code 2"), "{answer}");
    }
}

#[test]
fn scales_that_no_bench_has_are_told() {
    let scale =
        |step: &str| told("workshop.yaml", "reads to: 0.1 g, up to: 500 g", &format!("reads to: {step}, up to: 500 g"));
    assert_snapshot!(scale("0.0000001 g"), @"
    exit code 2
    error[file/out-of-range]: 0.0000001 g is no figure of a bench scale: it goes from 0.001 g to 100 g
    help: read the plate of the scale; usual is 0.1 g to 1 g
    ");
    assert!(scale("1 mg").starts_with("exit code 0"), "{}", scale("1 mg"));
}

#[test]
fn addresses_for_telephones_are_whole() {
    let code = |code: &str| product("net quantity first: oz", &format!("net quantity first: oz\n  code: {code}"));
    assert_snapshot!(code("{url: quillmere.example/x}"), @"
    exit code 2
    error[file/wrong-word]: `quillmere.example/x` is not an address a telephone could open
    help: write it whole and without blanks: `https://quillmere.example/lot/{lot}`
    ");
    assert_snapshot!(code("{url: \"https://quillmere.example/a b\"}"), @"
    exit code 2
    error[file/wrong-word]: `https://quillmere.example/a b` is not an address a telephone could open
    help: write it whole and without blanks: `https://quillmere.example/lot/{lot}`
    ");
    assert_snapshot!(code("{url: \"https://quillmere.example/{batch}\"}"), @"
    exit code 2
    error[file/wrong-word]: `https://quillmere.example/{batch}` has a brace that nothing fills in
    help: write `{lot}` for the lot code and `{product}` for the name of the product's file
    ");
    assert_snapshot!(code("{url: \"https://quillmere.example/{product}/{lot}\"}"), @"exit code 0");
}

#[test]
fn a_zip_code_is_five_figures_or_nine_with_a_dash() {
    let zip = |zip: &str| told("workshop.yaml", "  postcode: \"00000\"\n", &format!("  postcode: \"{zip}\"\n"));
    for good in ["00000", "00000-0000"] {
        assert!(zip(good).starts_with("exit code 0"), "{}", zip(good));
    }
    for bad in ["0000-0", "000000000", "0-0000", "00000-", "00-000-0000", "٠٠٠٠٠"] {
        assert!(zip(bad).contains("is not a ZIP code"), "{}", zip(bad));
    }
}

#[test]
fn a_maker_abroad_is_told_of_the_importer() {
    assert_snapshot!(told("workshop.yaml", "country: US", "country: CA"), @"
    exit code 1
    warning[us/maker]: the maker is in `CA`: a candle made abroad is imported
    help: ask the importer what the label needs beside this: the country of origin, and the importer's own name and address (19 CFR Part 134, from memory)
    ");
    let bench = Bench::new();
    bench.change("workshop.yaml", "country: US", "country: CA");
    assert!(bench.on_the_day("needs products/low-tide.yaml").contains("Quillmere, ME 00000, CA"));
}

#[test]
fn words_of_another_statement_in_a_name_are_told() {
    assert_snapshot!(product("{en: Low Tide, fr: Marée basse}", "{en: WARNING, fr: x}"), @"
    exit code 1
    warning[us/identity]: the name `WARNING` reads like another statement of the label
    help: leave net quantity and signal words to the label: it sets them as the rules ask
    ");
    assert_snapshot!(product("{en: Scented candle, fr: Bougie parfumée}", "{en: Scented candle NET WT 20 OZ}"), @"
    exit code 1
    warning[us/identity]: the identity `Scented candle NET WT 20 OZ` reads like another statement of the label
    help: leave net quantity and signal words to the label: it sets them as the rules ask
    ");
}

#[test]
fn a_template_for_another_kind_is_told() {
    assert_snapshot!(product("template: jar-front-and-base", "template: tea-light-box"), @"
    exit code 1
    warning[file/template-kind]: the template `tea-light-box` is meant for `tea light`, `votive`, and this is a container candle
    help: choose another template, or copy this one into `templates`, look it over and add the kind to `suits`
    ");
}

#[test]
fn a_load_of_nothing_is_no_line() {
    assert_snapshot!(product("load: 8 %", "load: 0 %"), @"
    exit code 2
    error[file/out-of-range]: a load of nothing is no line of the recipe
    help: write how much of it goes in, or take the line out
    ");
}

#[test]
fn bergamot_beyond_the_whole_is_still_told() {
    let bench = Bench::new();
    let lines = "    - {name: bergamot oil, cas: 8007-75-8, percent: [1, 100]}\n".repeat(15);
    bench.change("materials/kelp-and-cedar.yaml", "    - {name: linalool", &format!("{lines}    - {{name: linalool"));
    let answer = bench.check("low-tide");
    assert!(answer.contains("the candle holds up to 100 % oil of bergamot"), "{answer}");
}

/// A name on the batch sheet that cannot be printed is told before a lot is opened, where the material says it.
#[test]
fn a_character_that_cannot_be_printed_is_told_in_its_material() {
    let bench = Bench::new();
    bench.change("materials/harbour-soy-blend.yaml", "material: Harbour soy blend", "material: 港 soy");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[form/character]: the character `港` (U+6E2F) of `港 soy` is in none of the faces the batch sheet is printed with
     --> materials/harbour-soy-blend.yaml:1:1
      |
    1 | material: 港 soy
      | ^^^^^^^^ this material
      |
    help: write the material's name with letters of the Latin, Greek or Cyrillic alphabet and usual punctuation
    ");
    assert!(!bench.path("lots").exists());
}

/// Net quantity and what stands above it, in parts as small as they can be: the free space is kept, or the part is refused.
#[test]
fn small_fronts_keep_the_space_round_the_net_quantity() {
    for size in ["50 mm, height: 30 mm", "45 mm, height: 26 mm", "48 mm, height: 32 mm", "44 mm, height: 27 mm"] {
        let bench = Bench::new();
        let text =
            std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/templates/jar-front-and-base.yaml")).unwrap();
        bench.file("templates/jar-front-and-base.yaml", text.replace("60 mm, height: 70 mm", size));
        let answer = bench.check("low-tide");
        assert!(!answer.contains("must stay free"), "{size}: {answer}");
    }
}
