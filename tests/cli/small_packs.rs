//! Packages of up to 125 ml, where the law on chemicals lets some statements go (Regulation (EC) 1272/2008, Annex I, 1.5.2.1).

use super::bench::Bench;
use insta::assert_snapshot;

const PRODUCT: &str = "products/samphire.yaml";
const EXCEPTION: &str = "accept: [{rule: eu/clp-small-pack, because: a pouch takes neither fold-out nor tag}]\nlabel:";

/// Melts of 78 g with a substance that brings H411: of 0.65 % in the whole, counted a hundredfold (M = 10, and 10 for
/// Chronic 2 by 4.1.3.5.5.4), at least 25 %.
fn with_aquatic() -> Bench {
    let bench = Bench::new();
    bench.change(
        "materials/thrift-and-salt.yaml",
        "percent: [10, 15], classes: [\"Skin Sens. 1B, H317\"]",
        "percent: [10, 15], classes: [\"Skin Sens. 1B, H317\", \"Aquatic Chronic 1, H410\"], m: {chronic: 10}",
    );
    bench
}

/// The lines from `small package` to the next empty one.
fn told(answer: &str) -> String {
    answer
        .lines()
        .skip_while(|l| !l.starts_with("small package"))
        .take_while(|l| !l.is_empty())
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn needs_lists_what_may_go_and_what_stays() {
    let bench = with_aquatic();
    assert_snapshot!(told(&bench.run("needs products/samphire.yaml --market gb --on 2026-11-25")), @"
    small package (up to 125 ml)
      H411, P273, P501: may be left out where nothing makes room
          Up to 125 ml some statements may go where there is no room; pictograms, signal word, names and the statements for sensitisers never do.
          eu/clp-small-pack: CLP Annex I, 1.5.2.1 (text of the law read)
    ");
}

#[test]
fn a_larger_package_has_no_relief() {
    let bench = with_aquatic();
    // 10 pieces of 13 g at 0.90 g/ml are 145 ml.
    bench.change(PRODUCT, "pieces: 6", "pieces: 10");
    assert_eq!(told(&bench.run("needs products/samphire.yaml --market gb --on 2026-11-25")), "");
}

#[test]
fn what_the_maker_leaves_out_goes_and_sensitisers_stay() {
    let bench = with_aquatic();
    bench.change(PRODUCT, "label:", EXCEPTION);
    let answer = bench.run("needs products/samphire.yaml --market gb --on 2026-11-25");
    assert!(answer.contains("May produce an allergic reaction"), "{answer}");
    assert!(!answer.contains("Toxic to aquatic life"), "{answer}");
    assert_snapshot!(told(&answer), @"
    small package (up to 125 ml)
      H411, P273, P501: left out, for the maker says that nothing makes room
          Up to 125 ml some statements may go where there is no room; pictograms, signal word, names and the statements for sensitisers never do.
          eu/clp-small-pack: CLP Annex I, 1.5.2.1 (text of the law read)
    ");
}

#[test]
fn what_has_room_may_not_be_left_out() {
    let bench = with_aquatic();
    bench.change(PRODUCT, "label:", EXCEPTION);
    assert_snapshot!(bench.run("label products/samphire.yaml --market gb --lot 26329A4 --on 2026-11-25 -o out.pdf"), @"
    exit code 1
    --- stderr
    error[eu/clp-small-pack]: H411, P273, P501 are left out, and the label has room for them
     |
    note: required; known from: law
    help: take the exception for `eu/clp-small-pack` out of the product file; if the label is too small then, leave advice or the code for telephones out first

    nothing was written
    ");
    assert!(!bench.path("out.pdf").exists());
}

#[test]
fn a_label_too_small_for_all_is_told_what_may_go_and_fits_without_it() {
    let bench = with_aquatic();
    let card = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/templates/melt-card.yaml")).unwrap();
    bench.file("templates/small-card.yaml", card.replace("melt-card", "small-card").replace("104 mm", "50 mm"));
    bench.change(PRODUCT, "template: melt-card", "template: small-card");
    let label = "label products/samphire.yaml --market gb --lot 26329A4 --on 2026-11-25 -o out.pdf";
    assert_snapshot!(bench.run(label), @r#"
    exit code 1
    --- stderr
    error[label/does-not-fit]: part `back` (76 x 50 mm) cannot hold its text at legal size: `26.4 mm` of height are missing
     |
    note: expected at least 76 x 77 mm, found 76 x 50 mm
    note: page 2 (back)
    help: make the part at least 76 x 77 mm (or 104 x 69 mm); or leave out the code, with `code: none` under `label`, and `eu/melt-children`, `eu/melt-drain`, `eu/melt-eat`, `eu/melt-hot`, `eu/melt-fill`, `eu/melt-no-water`, `eu/melt-warmer`, each with a line like `{rule: eu/melt-children, because: …}` under `accept` in the product file, and make the part at least 76 x 55 mm for the rest

    note[eu/clp-small-pack]: without H411, P273, P501 and without advice it would fit, and the package holds no more than 125 ml
     |
    note: required; known from: law
    help: a fold-out label, a tag or a box comes first (CLP, Annex I, 1.5.1); where none of them can be used, write `accept: [{rule: eu/clp-small-pack, because: "…"}]` with the reason

    nothing was written
    "#);
    // Advice and the code go first, as `what_has_room_may_not_be_left_out` shows.
    let advice = ["warmer", "no-water", "fill", "hot", "eat", "drain", "children"];
    let accepted = advice.map(|rule| format!("{{rule: eu/melt-{rule}, because: told on a leaflet}}")).join(", ");
    bench.change(
        PRODUCT,
        "label: {",
        &format!("{}, {accepted}]\nlabel: {{code: none, ", EXCEPTION.split_once(']').unwrap().0),
    );
    let answer = bench.run(label);
    assert!(answer.contains("left out of the label for want of room: H411, P273, P501"), "{answer}");
    assert!(answer.starts_with("exit code 0") && bench.path("out.pdf").exists(), "{answer}");
}
