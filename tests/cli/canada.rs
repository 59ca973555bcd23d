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

    note[ca/chemical-classes]: looked at for SOR/2001-269 as well: the flash point of Marram and Rain fragrance oil is 96 °C (flammable up to 37.8 °C, combustible up to 60 °C); no ingredient from 1.00 % is told to harm by mouth or skin (harmful up to 2000 mg/kg); not looked at: toxic when breathed in, glues that bond skin, containers under pressure
      --> products/eelgrass.yaml:11:3
       |
    11 |   - {use: headland-paraffin, as: wax}
       |   ^ here
       |
    note: policy; known from: policy
    help: ask somebody who knows these regulations where one of these might hold

    note[policy/french-words]: the French sentences for safe use are this program's own, and nobody whose language it is has read them yet
     --> products/eelgrass.yaml:6:10
      |
    6 | markets: [ca, ca-qc]
      |          ^ here
      |
    note: policy; known from: policy
    help: have them read before a print run; `docs/unverified.md` lists them

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

    note[ca/chemical-classes]: looked at for SOR/2001-269 as well: the flash point of Marram and Rain fragrance oil is 96 °C (flammable up to 37.8 °C, combustible up to 60 °C); no ingredient from 1.00 % is told to harm by mouth or skin (harmful up to 2000 mg/kg); not looked at: toxic when breathed in, glues that bond skin, containers under pressure
      --> products/eelgrass.yaml:11:3
       |
    11 |   - {use: headland-paraffin, as: wax}
       |   ^ here
       |
    note: policy; known from: policy
    help: ask somebody who knows these regulations where one of these might hold

    note[policy/french-words]: the French sentences for safe use are this program's own, and nobody whose language it is has read them yet
     --> products/eelgrass.yaml:6:10
      |
    6 | markets: [ca, ca-qc]
      |          ^ here
      |
    note: policy; known from: policy
    help: have them read before a print run; `docs/unverified.md` lists them

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

    note[policy/french-words]: the French sentences for safe use are this program's own, and nobody whose language it is has read them yet
     --> products/sandpiper.yaml:6:10
      |
    6 | markets: [ca]
      |          ^ here
      |
    note: policy; known from: policy
    help: have them read before a print run; `docs/unverified.md` lists them

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

/// C.R.C. c. 417, s. 13: a label that folds open with the name on the base is refused; its pendant of two languages carries
/// the name on the front, and only lot and code stand on the base.
#[test]
fn a_label_that_folds_open_carries_the_name_on_its_front_in_canada() {
    let bench = Bench::new();
    bench.change("products/tidewrack.yaml", "template: jar-two-languages", "template: jar-fold-out");
    let told = bench.on_the_day("label products/tidewrack.yaml --lot 26329A4");
    assert!(told.starts_with("exit code 1\n") && told.contains("error[ca/dealer-place]"), "{told}");
    assert!(!bench.path("tidewrack-ca.pdf").exists());
    bench.change("products/tidewrack.yaml", "template: jar-fold-out", "template: jar-fold-out-two-languages");
    let told = bench.on_the_day("label products/tidewrack.yaml --lot 26329A4");
    assert!(told.starts_with("exit code 0\n"), "{told}");
    for market in ["ca", "ca-qc"] {
        assert!(bench.path(&format!("tidewrack-{market}.pdf")).is_file());
        let plan = bench.on_the_day(&format!("label products/tidewrack.yaml --market {market} --show plan"));
        let (front, base) = plan.split_once("\"name\": \"base\"").expect("a base");
        assert!(front.contains("Saltpan Lane") && !base.contains("Saltpan Lane"), "{base}");
    }
}

/// C.R.C. c. 417, s. 6(1) and (3).
#[test]
fn a_local_product_stands_in_french_alone() {
    let bench = Bench::new();
    let key = "relights: no\nlocal product: {municipality: Anse-aux-Brumes, language: fr, mother tongue: {en: 2 %, fr: 96 %}}";
    bench.change("products/plover.yaml", "relights: no", key);
    let told = bench.check("plover");
    assert!(told.starts_with("exit code 1\n") && told.contains("its maker is not in Canada"), "{told}");
    bench.change("workshop.yaml", "country: US", "country: CA");
    let told = bench.on_the_day("label products/plover.yaml --json");
    assert!(told.starts_with("exit code 0\n") && told.contains("stands in `fr` alone"), "{told}");
    let told = bench.on_the_day("needs products/plover.yaml");
    assert!(told.contains("Bougie parfumée") && !told.contains("Scented candle"), "{told}");
    bench.change("products/plover.yaml", "fr: 96 %}", "fr: 99 %}");
    let told = bench.check("plover");
    assert!(told.starts_with("exit code 2\n") && told.contains("2 % and 99 % are more than everybody"), "{told}");
}

#[test]
fn french_that_nobody_has_read_is_told_once_to_a_label() {
    let bench = Bench::new();
    for (line, times) in [
        ("needs products/plover.yaml --market ca", 1),
        ("label products/plover.yaml --market ca", 1),
        ("check products/curlew.yaml --market eu", 1),
        ("needs products/low-tide.yaml", 0),
        ("check products/curlew.yaml --market gb", 0),
    ] {
        assert_eq!(bench.on_the_day(line).matches("note[policy/french-words]").count(), times, "{line}");
    }
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

    note[policy/french-words]: the French sentences for safe use are this program's own, and nobody whose language it is has read them yet
     --> products/godwit.yaml:6:10
      |
    6 | markets: [ca-qc]
      |          ^ here
      |
    note: policy; known from: policy
    help: have them read before a print run; `docs/unverified.md` lists them

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
