//! Exceptions a maker accepts, and markets asked for: told when unused, unknown or without rules.

use crate::bench::Bench;
use insta::assert_snapshot;

#[test]
fn an_unused_exception_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "label:\n", "accept: [{rule: us/wick-lead, because: no core}]\nlabel:\n");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    warning[file/unused-exception]: `us/wick-lead` is accepted here, and nothing was found under it
      --> products/low-tide.yaml:18:17
       |
    18 | accept: [{rule: us/wick-lead, because: no core}]
       |                 ^^^^^^^^^^^^ here
       |
    note: policy; known from: policy
    help: take the exception out

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn an_exception_to_an_unknown_rule_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "label:\n", "accept: [{rule: us/fone, because: no telephone}]\nlabel:\n");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    warning[file/unused-exception]: there is no rule `us/fone`
      --> products/low-tide.yaml:18:17
       |
    18 | accept: [{rule: us/fone, because: no telephone}]
       |                 ^^^^^^^ here
       |
    note: policy; known from: policy
    help: copy the id from the finding you accept

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn an_exception_to_a_law_is_told() {
    let bench = Bench::new();
    bench.change(
        "products/low-tide.yaml",
        "label:\n",
        "accept: [{rule: us/identity, because: everybody sees it is a candle}]\nlabel:\n",
    );
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    warning[file/unused-exception]: `us/identity` is accepted here, and what it asks for stays on the label
      --> products/low-tide.yaml:18:17
       |
    18 | accept: [{rule: us/identity, because: everybody sees it is a candle}]
       |                 ^^^^^^^^^^^ here
       |
    note: policy; known from: policy
    help: take the exception out; only advice can be left out

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

/// A candle labelled for the United States asks for more in Canada: C.R.C. c. 417, s. 13; SOR/2016-165, s. 1.
#[test]
fn a_second_market_is_told_what_it_asks_besides() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "markets: [us]", "markets: [us, ca]");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 1
    --- stdout
    Low Tide for us on 2026-11-25: nothing found

    error[ca/dealer-place]: the block `maker` may not stand on the bottom of the container, and the template puts it on `base`
     --> templates/jar-front-and-base.yaml:3:1
      |
    3 | template: jar-front-and-base
      | ^^^^^^^^ this template
      |
    note: required; known from: law
    help: choose a template with a label on the side, or move the row to another part

    warning[ca/no-relighting]: the file does not say that the candle stays out once it is put out
     --> products/low-tide.yaml:8:7
      |
    8 | wick: {type: wood, width: 13 mm, metal core: none, trim: 3/16 in}
      |       ^ here
      |
    note: required; known from: law
    help: put one out, watch it, and write `relights: no`

    note[ca/quantity-by-kind]: the quantity is declared by weight: taken for granted that a container candle is usually sold so
     --> products/low-tide.yaml:3:7
      |
    3 | kind: container candle
      |       ^^^^^^^^^^^^^^^^ here
      |
    note: policy; known from: policy
    help: keep it, or ask the Competition Bureau how candles of this kind are usually sold

    note[ca/chemical-irritant]: by the safety sheets 0.45 % of it irritates skin or eyes (d-limonene 0.38 %, citral 0.08 %) and 0.00 % destroys tissue; from 5 % and 1 % it is an irritant, from 5 % destructive corrosive, where a user can be exposed to it
      --> products/low-tide.yaml:11:3
       |
    11 |   - {use: harbour-soy-blend, as: wax}
       |   ^ here
       |
    note: required; known from: law
    help: keep the sheets; the grades of the regulations begin lower than the classes of a sheet, so ask where it is near

    note[ca/chemical-classes]: looked at for SOR/2001-269 as well: the flash point of Kelp and Cedar fragrance oil is 93 °C (flammable up to 37.8 °C, combustible up to 60 °C); no ingredient from 1.00 % is told to harm by mouth or skin (harmful up to 2000 mg/kg); not looked at: toxic when breathed in, glues that bond skin, containers under pressure
      --> products/low-tide.yaml:11:3
       |
    11 |   - {use: harbour-soy-blend, as: wax}
       |   ^ here
       |
    note: policy; known from: policy
    help: ask somebody who knows these regulations where one of these might hold

    note[policy/french-words]: the French sentences for safe use are this program's own, and nobody whose language it is has read them yet
     --> products/low-tide.yaml:6:10
      |
    6 | markets: [us, ca]
      |          ^ here
      |
    note: policy; known from: policy
    help: have them read before a print run; `docs/unverified.md` lists them

    Low Tide for ca on 2026-11-25: 2 findings
    ");
}

#[test]
fn a_template_for_one_market_makes_labels_for_both() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "markets: [us]", "markets: [us, ca]\nrelights: no");
    bench.change("products/low-tide.yaml", "  template: jar", "  templates: {ca: jar-two-languages}\n  template: jar");
    assert_snapshot!(bench.on_the_day("label products/low-tide.yaml --lot 26329A4"), @"
    exit code 0
    --- stdout
    low-tide-us.pdf: 2 parts for us, each required text read back from the file
      front    60.0 x 70.0 mm
      base     68.0 x 68.0 mm
    Print at 100 %, without fitting to the page. Local codes and licensed practice come first.

    note[ca/quantity-by-kind]: the quantity is declared by weight: taken for granted that a container candle is usually sold so
     --> products/low-tide.yaml:3:7
      |
    3 | kind: container candle
      |       ^^^^^^^^^^^^^^^^ here
      |
    note: policy; known from: policy
    help: keep it, or ask the Competition Bureau how candles of this kind are usually sold

    note[ca/chemical-irritant]: by the safety sheets 0.45 % of it irritates skin or eyes (d-limonene 0.38 %, citral 0.08 %) and 0.00 % destroys tissue; from 5 % and 1 % it is an irritant, from 5 % destructive corrosive, where a user can be exposed to it
      --> products/low-tide.yaml:12:3
       |
    12 |   - {use: harbour-soy-blend, as: wax}
       |   ^ here
       |
    note: required; known from: law
    help: keep the sheets; the grades of the regulations begin lower than the classes of a sheet, so ask where it is near

    note[ca/chemical-classes]: looked at for SOR/2001-269 as well: the flash point of Kelp and Cedar fragrance oil is 93 °C (flammable up to 37.8 °C, combustible up to 60 °C); no ingredient from 1.00 % is told to harm by mouth or skin (harmful up to 2000 mg/kg); not looked at: toxic when breathed in, glues that bond skin, containers under pressure
      --> products/low-tide.yaml:12:3
       |
    12 |   - {use: harbour-soy-blend, as: wax}
       |   ^ here
       |
    note: policy; known from: policy
    help: ask somebody who knows these regulations where one of these might hold

    note[policy/french-words]: the French sentences for safe use are this program's own, and nobody whose language it is has read them yet
     --> products/low-tide.yaml:6:10
      |
    6 | markets: [us, ca]
      |          ^ here
      |
    note: policy; known from: policy
    help: have them read before a print run; `docs/unverified.md` lists them

    low-tide-ca.pdf: 2 parts for ca, each required text read back from the file
      front    60.0 x 82.0 mm
      back     110.0 x 82.0 mm
    Print at 100 %, without fitting to the page. Local codes and licensed practice come first.
    ");
}

#[test]
fn an_accepted_warning_becomes_a_note_with_its_reason() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: 200 g");
    let accept = "accept: [{rule: practice/vessel-water-band, because: filled low on purpose}]\nlabel:\n";
    bench.change("products/low-tide.yaml", "label:\n", accept);
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 0
    --- stdout
    note[practice/vessel-water-band]: a fill of 200 g stands against 297 g of water: wax to the same line weighs at least 0.75 of it (accepted: filled low on purpose)
     --> products/low-tide.yaml:9:7
      |
    9 | fill: 200 g                         # wax and fragrance in one candle, no wick, no jar
      |       ^^^^^ here
      |
     ::: vessels/straight-jar-73.yaml:1:1
      |
    1 | vessel: Straight glass jar, 73 mm
      | ------ water weighed in this vessel
      |
    note: advice; known from: memory
    help: weigh the water and the fill again; a jar's fluid ounces are not the weight of its wax

    Low Tide for us on 2026-11-25: nothing found
    ");
}

#[test]
fn an_error_stays_one_when_it_is_accepted() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "load: 8 %", "load: 11 %");
    bench.change(
        "products/low-tide.yaml",
        "label:\n",
        "accept: [{rule: practice/max-load, because: it burns well}]\nlabel:\n",
    );
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    error[practice/max-load]: the fragrance comes to 11 % of wax, and Harbour soy blend allows 10 %: what the wax does not hold sweats out and can flare
      --> products/low-tide.yaml:12:6
       |
    12 |   - {use: kelp-and-cedar, load: 11 %, of: wax}
       |      ^^^ this load
       |
      ::: materials/harbour-soy-blend.yaml:4:20
       |
     4 | max load: {of wax: 10 %}
       |                    ---- this limit
       |
    note: expected at most 10 % of wax, found 11 % of wax
    note: advice; known from: secondary
    help: lower the load to at most 10 % of wax

    Low Tide for us on 2026-11-25: 1 finding
    ");
}

#[test]
fn accepted_advice_is_left_out_of_the_label() {
    let bench = Bench::new();
    let accept = "accept: [{rule: us/care-pool, because: the base is small}]\nlabel:\n";
    bench.change("products/low-tide.yaml", "label:\n", accept);
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 0
    --- stdout
    note[us/care-pool]: left out of the label: Keep the wax pool clear (accepted: the base is small)
      --> products/low-tide.yaml:18:17
       |
    18 | accept: [{rule: us/care-pool, because: the base is small}]
       |                 ^^^^^^^^^^^^ here
       |
    note: advice; known from: secondary

    Low Tide for us on 2026-11-25: nothing found
    ");
    let told = bench.on_the_day("needs products/low-tide.yaml");
    assert!(!told.contains("Keep wax free"), "{told}");
}

#[test]
fn an_accepted_standard_stays_on_the_label() {
    let bench = Bench::new();
    let accept = "accept: [{rule: us/fire-warning-messages, because: no room}]\nlabel:\n";
    bench.change("products/low-tide.yaml", "label:\n", accept);
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 1
    --- stdout
    warning[file/unused-exception]: `us/fire-warning-messages` is accepted here, and what it asks for stays on the label
      --> products/low-tide.yaml:18:17
       |
    18 | accept: [{rule: us/fire-warning-messages, because: no room}]
       |                 ^^^^^^^^^^^^^^^^^^^^^^^^ here
       |
    note: policy; known from: policy
    help: take the exception out; only advice can be left out

    Low Tide for us on 2026-11-25: 1 finding
    ");
    let told = bench.on_the_day("needs products/low-tide.yaml");
    assert!(told.contains("Keep away from children and pets."), "{told}");
}

#[test]
fn the_union_without_its_countries_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "markets: [us]", "markets: [eu]");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/eu-without-countries]: the European Union has 24 languages, and the file does not say which countries the product goes to
     --> products/low-tide.yaml:6:10
      |
    6 | markets: [eu]
      |          ^ here
      |
    help: write them in place of `eu`: `markets: [{eu: [fr, ie]}]`
    ");
}
