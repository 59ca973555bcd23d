//! Canada and Quebec as the maker meets them: what is needed, what is refused, and how it is told.

use crate::bench::Bench;
use insta::assert_snapshot;

#[test]
fn needs_of_a_jar_for_quebec_put_french_first() {
    assert_snapshot!(Bench::new().on_the_day("needs products/tidewrack.yaml --market ca-qc"));
}

#[test]
fn needs_of_tapers_tell_a_count_and_no_weight() {
    assert_snapshot!(Bench::new().on_the_day("needs products/godwit.yaml"));
}

#[test]
fn labels_for_canada_and_quebec_are_written_beside_each_other() {
    let bench = Bench::new();
    assert_snapshot!(bench.on_the_day("label products/eelgrass.yaml --lot 26329A4"), @"
    exit code 0
    --- stdout
    note[ca/quantity-by-kind]: the quantity is declared by weight: taken for granted that a wax melt is usually sold so
     --> products/eelgrass.yaml:3:7
      |
    3 | kind: wax melt
      |       ^^^^^^^^ here
      |
    note: policy; known from: policy
    help: keep it, or ask the Competition Bureau how candles of this kind are usually sold

    note[ca/chemical-irritant]: by the safety sheets 0.07 % of it irritates skin or eyes (citral 0.07 %) and 0.00 % destroys tissue; from 5 % and 1 % it is an irritant, from 5 % destructive corrosive, where a user can be exposed to it
      --> products/eelgrass.yaml:11:3
       |
    11 |   - {use: headland-paraffin, as: wax}
       |   ^ here
       |
    note: required; known from: law
    help: keep the sheets; the grades of the regulations begin lower than the classes of a sheet, so ask where it is near

    eelgrass-ca.pdf: 2 parts for ca, each required text read back from the file
      front    76.0 x 76.0 mm
      back     76.0 x 76.0 mm
    Print at 100 %, without fitting to the page. Local codes and licensed practice come first.

    note[ca/quantity-by-kind]: the quantity is declared by weight: taken for granted that a wax melt is usually sold so
     --> products/eelgrass.yaml:3:7
      |
    3 | kind: wax melt
      |       ^^^^^^^^ here
      |
    note: policy; known from: policy
    help: keep it, or ask the Competition Bureau how candles of this kind are usually sold

    note[ca/chemical-irritant]: by the safety sheets 0.07 % of it irritates skin or eyes (citral 0.07 %) and 0.00 % destroys tissue; from 5 % and 1 % it is an irritant, from 5 % destructive corrosive, where a user can be exposed to it
      --> products/eelgrass.yaml:11:3
       |
    11 |   - {use: headland-paraffin, as: wax}
       |   ^ here
       |
    note: required; known from: law
    help: keep the sheets; the grades of the regulations begin lower than the classes of a sheet, so ask where it is near

    eelgrass-ca-qc.pdf: 2 parts for ca-qc, each required text read back from the file
      front    76.0 x 76.0 mm
      back     76.0 x 76.0 mm
    Print at 100 %, without fitting to the page. Local codes and licensed practice come first.
    ");
    for market in ["ca", "ca-qc"] {
        assert!(bench.path(&format!("eelgrass-{market}.pdf")).is_file());
    }
}

#[test]
fn every_canadian_sample_is_clean_and_can_be_poured() {
    let bench = Bench::new();
    for sample in ["eelgrass", "godwit", "periwinkle", "plover", "sandpiper", "tidewrack"] {
        let told = bench.check(sample);
        assert!(told.starts_with("exit code 0\n"), "{told}");
        let told = bench.run(&format!("pour products/{sample}.yaml --count 2"));
        assert!(told.starts_with("exit code 0\n"), "{told}");
    }
}

/// C.R.C. c. 417, s. 31(2).
#[test]
fn a_missing_importer_is_told_with_where_to_name_it() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "\n  ca: {", "\n  us: {");
    assert_snapshot!(bench.on_the_day("label products/sandpiper.yaml"), @"
    exit code 1
    --- stderr
    error[ca/importer]: `importer` cannot be written in the language `en`: nothing stands for `responsible person`
     --> products/sandpiper.yaml:2:1
      |
    2 | product: Sandpiper
      | ^^^^^^^ in this product
      |
    note: required; known from: law
    help: give it in the product file or the workshop; `waxbill explain ca/importer` tells where

    note[practice/burn-claim-evidence]: no burn time is stated: the product file has no `burn test`
     --> products/sandpiper.yaml:2:1
      |
    2 | product: Sandpiper
      | ^^^^^^^ here
      |
    note: advice; known from: memory
    help: the label is complete without; to state one, give the hours of at least three candles burnt to their stop line in `burn test`

    note[ca/quantity-by-kind]: the quantity is declared by count: taken for granted that a pillar is usually sold so
     --> products/sandpiper.yaml:3:7
      |
    3 | kind: pillar
      |       ^^^^^^ here
      |
    note: policy; known from: policy
    help: keep it, or ask the Competition Bureau how candles of this kind are usually sold

    nothing was written
    ");
}

/// C.R.C. c. 417, s. 13.
#[test]
fn a_base_with_the_makers_name_is_refused_and_nothing_written() {
    let bench = Bench::new();
    bench.change("products/plover.yaml", "template: tin-two-languages", "template: tin-lid-and-base");
    assert_snapshot!(bench.on_the_day("label products/plover.yaml"), @"
    exit code 1
    --- stderr
    error[ca/dealer-place]: the block `maker` may not stand on the bottom of the container, and the template puts it on `base`
     --> templates/tin-lid-and-base.yaml:2:1
      |
    2 | template: tin-lid-and-base
      | ^^^^^^^^ this template
      |
    note: required; known from: law
    help: choose a template with a label on the side, or move the row to another part

    nothing was written
    ");
    assert!(!bench.path("plover-ca.pdf").exists());
}

#[test]
fn an_ornamental_container_may_carry_it_on_the_base() {
    let bench = Bench::new();
    bench.change("products/plover.yaml", "relights: no", "relights: no\nornamental container: yes");
    bench.change("products/plover.yaml", "template: tin-two-languages", "template: tin-lid-and-base");
    let told = bench.on_the_day("label products/plover.yaml");
    assert!(!told.contains("ca/dealer-place"), "{told}");
}

/// SOR/2016-165, s. 1.
#[test]
fn a_candle_that_relights_gets_no_label() {
    let bench = Bench::new();
    bench.change("products/godwit.yaml", "relights: no", "relights: yes");
    assert_snapshot!(bench.on_the_day("label products/godwit.yaml"), @"
    exit code 1
    --- stderr
    error[ca/no-relighting]: the candle lights again by itself after it is put out: it may not be sold
      --> products/godwit.yaml:11:11
       |
    11 | relights: yes
       |           ^^^ here
       |
    note: required; known from: law
    help: change its wick; no label stands for it

    note[practice/burn-claim-evidence]: no burn time is stated: the product file has no `burn test`
     --> products/godwit.yaml:2:1
      |
    2 | product: Godwit
      | ^^^^^^^ here
      |
    note: advice; known from: memory
    help: the label is complete without; to state one, give the hours of at least three candles burnt to their stop line in `burn test`

    note[ca/quantity-by-kind]: the quantity is declared by count: taken for granted that a taper is usually sold so
     --> products/godwit.yaml:3:7
      |
    3 | kind: taper
      |       ^^^^^ here
      |
    note: policy; known from: policy
    help: keep it, or ask the Competition Bureau how candles of this kind are usually sold

    nothing was written
    ");
}

#[test]
fn an_irritant_that_was_judged_becomes_a_note() {
    let bench = Bench::new();
    bench.change("materials/marram-and-rain.yaml", "percent: [0.1, 1]", "percent: [80, 90]");
    let told = bench.check("plover");
    assert!(told.starts_with("exit code 1\n") && told.contains("warning[ca/chemical-irritant]"), "{told}");
    let accept = "accept: [{rule: ca/chemical-irritant, because: judged on 2 November 2026 as no irritant}]\nlabel:";
    bench.change("products/plover.yaml", "label:", accept);
    let told = bench.check("plover");
    assert!(told.starts_with("exit code 0\n") && told.contains("(accepted: judged on 2 November 2026"), "{told}");
}

#[test]
fn a_template_for_an_unknown_market_is_told() {
    let bench = Bench::new();
    bench.change("products/plover.yaml", "{template: tin-two-languages,", "{templates: {uk: tin-two-languages},");
    assert_snapshot!(bench.check("plover"), @"
    exit code 2
    --- stderr
    error[file/unknown-key]: a list of templates by market has no key `uk`
      --> products/plover.yaml:14:21
       |
    14 | label: {templates: {uk: tin-two-languages}, net quantity first: g}
       |                     ^^ did you mean `us`?
       |
    help: did you mean `us`? a list of templates by market knows these keys: `us`, `ca`, `ca-qc`, `gb`, `ni`, `eu`
    ");
}

#[test]
fn languages_that_stand_in_no_known_way_are_told() {
    let bench = Bench::new();
    let template = include_str!("../../templates/tin-two-languages.yaml").replace("side by side}", "crosswise}");
    bench.file("templates/tin-two-languages.yaml", template);
    let told = bench.check("plover");
    assert!(told.starts_with("exit code 2\n"), "{told}");
    assert!(told.contains("`crosswise`") && told.contains("`side by side`"), "{told}");
}

#[test]
fn rules_of_canada_are_explained() {
    let bench = Bench::empty();
    assert_snapshot!(bench.args(&["explain", "ca/importer"]), @"
    exit code 0
    --- stdout
    ca/importer: Imported by
      required by law; text of the law read
      The dealer in Canada of goods made elsewhere is named after `imported by` and `importé par`.
      prints (importer):
        Imported by {responsible person}
        in Canada: Importé par / Imported by {responsible person}
        also read as: Imported by / Importé par {responsible person}
        In Canada both languages in one line, in the words of C.R.C. c. 417, s. 31.
      applies when: market ca, ca-qc; maker in canada is no
      you may: Give name and address for `ca` with `responsible person` in `workshop.yaml`.
      source: C.R.C. c. 417, s. 31(2), Consumer Packaging and Labelling Regulations, C.R.C. c. 417 (Canada) (text of the law read; looked at 2026-11-25)
      source: C.R.C. c. 417, s. 31(4), Consumer Packaging and Labelling Regulations, C.R.C. c. 417 (Canada) (text of the law read; looked at 2026-11-25)
      file: rules/ca/importer.yaml
    ");
    assert_snapshot!(bench.args(&["explain", "ca/chemical-irritant"]), @"
    exit code 0
    --- stdout
    ca/chemical-irritant: Irritants in a scented product
      required by law; text of the law read
      A chemical product with 5 percent or more of substances that irritate skin or eyes, or 1 percent or more that destroy tissue, is an irritant where a user can be exposed to it; its maker has to find out.
      figure: corrosive from = 5 %
      figure: destructive from = 1 %
      figure: irritant from = 5 %
      applies when: market ca, ca-qc; scented is yes
      you may: Have it judged by somebody who knows these regulations, keep the papers for three years, and note the result with `accept`.
      source: SOR/2001-269, s. 42(4), Consumer Chemicals and Containers Regulations, 2001, SOR/2001-269 (Canada) (text of the law read; looked at 2026-11-25)
      source: SOR/2001-269, s. 42(5), Consumer Chemicals and Containers Regulations, 2001, SOR/2001-269 (Canada) (text of the law read; looked at 2026-11-25)
      source: SOR/2001-269, s. 5, Consumer Chemicals and Containers Regulations, 2001, SOR/2001-269 (Canada) (text of the law read; looked at 2026-11-25)
      source: SOR/2001-269, s. 46, Consumer Chemicals and Containers Regulations, 2001, SOR/2001-269 (Canada) (text of the law read; looked at 2026-11-25)
      file: rules/ca/chemical-irritant.yaml
    ");
}
