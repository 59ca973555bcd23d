//! The thirty slips of the trade, each by the command that tells it: one fault in a good product, label or record, and a
//! finding that names it; the twin without the fault has no such finding. The slips are usual in the trade ("common
//! practice, no source"); their list stands in docs/slips.md, which this test writes with `UPDATE=1`.

use crate::bench::Bench;
use crate::drawn::{self, LOT, faults, good, pdf, set};
use waxbill::trade::Market;

/// How a slip is made.
enum Slip {
    /// A passage of a file is changed; then the product is checked.
    File { file: &'static str, from: &'static str, to: &'static str, product: &'static str },
    /// A fault of this kind is drawn into a stranger's label; then the PDF is checked.
    Label { sample: &'static str, market: Market, fault: &'static str },
    /// Commands of the record; the last one tells it. The twin are the commands with the slip mended.
    Record { lines: &'static [&'static str], twin: &'static [&'static str] },
}

/// Number, the slip in words, how it is made, and the id of the finding that names it.
type Row = (u8, &'static str, Slip, &'static str);

const fn file(file: &'static str, from: &'static str, to: &'static str) -> Slip {
    Slip::File { file, from, to, product: "low-tide" }
}

const fn us(fault: &'static str) -> Slip {
    Slip::Label { sample: "low-tide", market: Market::Us, fault }
}

const fn gb(fault: &'static str) -> Slip {
    Slip::Label { sample: "sea-thrift", market: Market::Gb, fault }
}

const RECEIVED: &str = "receive materials/harbour-soy-blend.yaml --lot W-1 --amount 20kg --date 2026-11-02";
const JARS: &str = "receive vessels/straight-jar-73.yaml --lot G-1 --amount 24pieces --date 2026-11-02";
const OIL: &str = "receive materials/kelp-and-cedar.yaml --lot F-1 --amount 1kg --date 2026-11-02";
const LITTLE_OIL: &str = "receive materials/kelp-and-cedar.yaml --lot F-1 --amount 50g --date 2026-11-02";
const POUR: &str = "pour products/low-tide.yaml --count 12 --date 2026-11-25";

const SLIPS: &[Row] = &[
    (
        1,
        "load without its basis",
        file("products/low-tide.yaml", "load: 8 %, of: wax", "load: 8 %"),
        "file/load-without-basis",
    ),
    (
        2,
        "oil on top of a full fill",
        file(
            "products/low-tide.yaml",
            "load: 8 %, of: wax}",
            "load: 60 %, of: total}\n  - {use: marram-and-rain, load: 60 %, of: total}",
        ),
        "practice/recipe-adds-up",
    ),
    (3, "fluid ounces as weight", us("fluid ounces"), "practice/fluid-ounce"),
    (4, "ounces for grams", us("more promised than is in it"), "us/net-quantity-overstated"),
    (5, "inches and millimetres do not agree", us("inch and millimetre do not agree"), "label/pair"),
    (6, "ounces and grams do not agree", us("both units do not agree"), "us/net-quantity-conversion"),
    (7, "statements of another load", gb("hazard statement too much"), "eu/clp-hazard-statements"),
    (8, "allergen missing", gb("allergen missing"), "eu/clp-names"),
    (9, "allergen below its limit", gb("allergen below its limit named"), "eu/clp-names"),
    (
        10,
        "old safety sheet",
        file("materials/kelp-and-cedar.yaml", "date: 2026-03-02", "date: 2019-03-02"),
        "practice/sheet-age",
    ),
    (11, "wrong check character of the lot code", us("wrong check character"), "policy/lot-code-check"),
    (12, "maker or address missing", us("maker missing"), "us/maker"),
    (
        13,
        "a language missing",
        Slip::Label { sample: "sea-thrift", market: Market::Eu, fault: "language missing" },
        "eu/clp-hazard-statements",
    ),
    (14, "type too small", us("type too small@us/net-weight"), "us/net-weight"),
    (15, "pictogram in a black frame", gb("pictogram in a black frame"), "eu/clp-pictograms"),
    (16, "label smaller than the package wants", gb("label too small for the package"), "eu/clp-label-size"),
    (
        17,
        "container sentence on a pillar",
        Slip::Label { sample: "night-heron", market: Market::Us, fault: "container sentence elsewhere" },
        "us/care-hot",
    ),
    (18, "burn time not backed", us("burn time not backed"), "practice/burn-claim-evidence"),
    (
        19,
        "impossible burn rate",
        file("products/low-tide.yaml", "[44.5, 46.0, 43.2]", "[1.5, 1.6, 1.4]"),
        "practice/burn-claim-evidence",
    ),
    (
        20,
        "burn test of another recipe",
        file("products/low-tide.yaml", "recipe: as sold", "recipe: other"),
        "practice/load-as-tested",
    ),
    (21, "more oil than the wax holds", file("products/low-tide.yaml", "load: 8 %", "load: 12 %"), "practice/max-load"),
    (
        22,
        "adding and pouring swapped",
        file(
            "materials/harbour-soy-blend.yaml",
            "add at: [165 F, 175 F]\npour at: [130 F, 145 F]",
            "add at: [130 F, 145 F]\npour at: [165 F, 175 F]",
        ),
        "practice/add-below-pour",
    ),
    (
        23,
        "material lot not recorded",
        Slip::Record { lines: &[RECEIVED, JARS, POUR], twin: &[RECEIVED, JARS, OIL, POUR] },
        "lot/material-lot-unknown",
    ),
    (
        24,
        "more used than there was",
        Slip::Record { lines: &[RECEIVED, LITTLE_OIL, POUR], twin: &[RECEIVED, JARS, OIL, POUR] },
        "lot/not-enough-material",
    ),
    (25, "first burn longer than a session", us("first burn longer than a session"), "practice/first-burn-session"),
    (26, "figure beside a sign is another", us("figure beside a sign is another"), "label/figure"),
    (27, "claim without evidence", us("claim without evidence"), "label/claim"),
    (28, "words about insects", us("insects"), "label/insect-claim"),
    (
        29,
        "gift before it is released",
        Slip::Record {
            lines: &[RECEIVED, OIL, POUR, "hand-over 26329A4 --units 1 --to Ines --as gift --date 2026-11-26"],
            twin: &[RECEIVED, JARS, OIL, POUR],
        },
        "lot/curing",
    ),
    (
        30,
        "no formula identifier where one is due",
        Slip::Label { sample: "sea-thrift", market: Market::Eu, fault: "ufi missing" },
        "eu/ufi",
    ),
];

/// The label with the fault: one seeded, or a statement taken away by its key.
fn faulty(sample: &str, market: Market, fault: &str) -> drawn::Label {
    let mut label = good(sample, market);
    if let Some(key) = fault.strip_suffix(" missing").filter(|k| matches!(*k, "maker" | "ufi")) {
        label.statements.retain(|s| !s.key.starts_with(key));
        return label;
    }
    let kind = drawn::sample(sample, market).0.kind;
    let seeded = faults::all(&label, kind).into_iter().find(|s| {
        let (name, of) = fault.split_once('@').unwrap_or((fault, ""));
        s.fault == name && s.what.starts_with(of)
    });
    seeded.unwrap_or_else(|| panic!("no fault `{fault}` for {sample}")).label
}

fn checked(bench: &Bench, label: &drawn::Label) -> String {
    bench.file("drawn.pdf", pdf::write(&set(label)));
    bench.on_the_day(&format!(
        "check products/{}.yaml --market {} --label drawn.pdf --part front=1 --part back=2 --lot {LOT}",
        label.sample, label.market
    ))
}

/// The answer with the slip, and without.
fn answers(slip: &Slip) -> (String, String) {
    let (bench, twin) = (Bench::new(), Bench::new());
    match slip {
        Slip::File { file, from, to, product } => {
            bench.change(file, from, to);
            (bench.check(product), twin.check(product))
        }
        Slip::Label { sample, market, fault } => {
            (checked(&bench, &faulty(sample, *market, fault)), checked(&twin, &good(sample, *market)))
        }
        Slip::Record { lines, twin: mended } => {
            let last =
                |bench: &Bench, lines: &[&str]| lines.iter().map(|l| bench.run(l)).collect::<Vec<_>>().pop().unwrap();
            (last(&bench, lines), last(&twin, mended))
        }
    }
}

#[test]
fn each_of_the_thirty_slips_is_named_and_its_twin_is_not() {
    let mut wrong = Vec::new();
    for (number, words, slip, id) in SLIPS {
        let (with, without) = answers(slip);
        let whole = |rest: &str| !rest.starts_with(|c: char| c.is_alphanumeric() || "-/".contains(c));
        let told = |text: &str| text.split(&format!("[{id}")).skip(1).any(whole);
        if !told(&with) {
            wrong.push(format!("{number} {words}: no `{id}` in\n{with}"));
        }
        // A twin by a stranger has nothing at all.
        let clean = !matches!(slip, Slip::Label { .. }) || without.starts_with("exit code 0");
        if told(&without) || !clean {
            wrong.push(format!("{number} {words}: the twin is not clean\n{without}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(SLIPS.iter().map(|r| r.0).collect::<Vec<_>>(), (1..=30).collect::<Vec<_>>());
}

#[test]
fn the_list_of_slips_is_up_to_date() {
    let mut text = "# The slips a check tells\n\nWritten by `UPDATE=1 cargo test --test cli slip`; do not edit. The thirty slips usual at the bench \
        (common practice, no source), each\nwith the command that tells it and the id of the finding. A test makes every one of them once, and its faultless twin.\n\n\
        | # | Slip | Told by | Finding |\n|---|---|---|---|\n"
        .to_owned();
    for (number, words, slip, id) in SLIPS {
        let by = match slip {
            Slip::File { .. } => "`check PRODUCT`".to_owned(),
            Slip::Label { .. } => "`check PRODUCT --label FILE.pdf`".to_owned(),
            Slip::Record { lines, .. } => format!("`{}`", lines.last().unwrap().split(' ').next().unwrap()),
        };
        text += &format!("| {number} | {words} | {by} | `{id}` |\n");
    }
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write("docs/slips.md", &text).unwrap();
    }
    assert!(
        std::fs::read_to_string("docs/slips.md").unwrap_or_default() == text,
        "run `UPDATE=1 cargo test --test cli slip`"
    );
}
