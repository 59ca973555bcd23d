//! Every template with every sample of its kinds in every market: what fits, what is refused and why, as `docs/templates.md`
//! shows it. Rewritten by `UPDATE=1 cargo test --test matrix`; `docs/contact.py` draws the same through the program.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop at the first thing that is wrong")]

mod quillmere;

use quillmere::{needs, read, samples, source};
use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::sync::Arc;
use std::thread;
use waxbill::find::{Finding, Level, Source};
use waxbill::plan::template::{self, BUILT_IN, Template};
use waxbill::product::Product;
use waxbill::trade::Market;
use waxbill::{page, plan};

const PAGE: &str = "docs/templates.md";
const MARK: &str = "<!-- From here on written by `UPDATE=1 cargo test --test matrix`; do not edit. -->\n";

/// Columns: how they are called, the market, and how a product's file names it.
const MARKETS: [(&str, Market, &str); 8] = [
    ("us", Market::Us, "us"),
    ("ca", Market::Ca, "ca"),
    ("ca-qc", Market::CaQc, "ca-qc"),
    ("gb", Market::Gb, "gb"),
    ("ni", Market::Ni, "ni"),
    ("eu: ie", Market::Eu, "{eu: [ie]}"),
    ("eu: fr", Market::Eu, "{eu: [fr]}"),
    ("eu: ie, fr", Market::Eu, "{eu: [ie, fr]}"),
];

/// What a sample lacks to go to every market, filled in so that only the template decides.
const FRENCH: [(&str, &str); 6] = [
    ("Scented candle", "Bougie parfumée"),
    ("Pillar candle", "Bougie pilier"),
    ("Scented tea lights", "Bougies chauffe-plat parfumées"),
    ("Beeswax taper candles", "Chandelles de cire d’abeille"),
    ("Tea lights", "Bougies chauffe-plat"),
    ("Scented wax melts", "Fondants de cire parfumés"),
];
const UFI: &str = "ufi: {country: IE, vat: 9Z54321Y, formulation: 9}";

/// The sample as its maker would write it for this market.
fn for_market(sample: &Product, file: &str) -> Product {
    let mut lines: Vec<String> = Vec::new();
    let text = source(&format!("products/{}.yaml", sample.id)).unwrap();
    let has_ufi = text.text.contains("\nufi:");
    for line in text.text.lines().filter(|l| !l.starts_with("markets:")) {
        let english = line.strip_prefix("identity: ").and_then(|w| FRENCH.iter().find(|(en, _)| *en == w));
        if let Some((english, french)) = english {
            lines.push(format!("identity: {{en: {english}, fr: {french}}}"));
        } else if line.starts_with("label:") && !has_ufi {
            lines.extend([UFI.to_owned(), line.to_owned()]);
        } else {
            lines.push(line.to_owned());
        }
        if line.starts_with("kind:") {
            lines.push(format!("markets: [{file}]"));
        }
    }
    read(&sample.id, &Arc::new(Source { name: text.name.clone(), text: lines.join("\n") + "\n" }))
}

/// `76 x 92 mm` out of `make the part at least 76 x 92 mm (or …)`.
fn smallest(finding: &Finding) -> Option<&str> {
    let (_, rest) = finding.cure.split_once("at least ")?;
    rest.split_once(" mm").map(|(size, _)| size)
}

/// What stands in the table for the first thing that stops a label.
fn refusal(finding: &Finding) -> String {
    let part = finding.message.split('`').nth(1).unwrap_or("");
    match (finding.id.as_str(), smallest(finding)) {
        ("label/does-not-fit", Some(size)) => format!("`{part}`: {} mm", size.trim_start_matches("a ")),
        (id, _) => format!("`{id}`"),
    }
}

/// `fits`, or why not.
fn answer(product: &Product, market: Market, template: &Template) -> String {
    let needs = needs(product, market, Some("26329A4"));
    if let Some(error) = needs.findings.iter().find(|f| f.level == Level::Error) {
        return refusal(error);
    }
    let set = plan::of(&needs, template).and_then(|plan| page::set(&plan));
    set.map_or_else(|found| refusal(&found[0]), |_| "fits".to_owned())
}

/// The table of one template.
fn table(name: &str, samples: &[Product]) -> String {
    let template = template::read(&template::built_in(name).unwrap()).unwrap();
    let mut out = format!("\n### `{name}`\n\n");
    let heads: Vec<&str> = MARKETS.iter().map(|m| m.0).collect();
    let _ = writeln!(out, "| Sample | {} |\n|{}", heads.join(" | "), "---|".repeat(MARKETS.len() + 1));
    for sample in samples.iter().filter(|s| template.suits.contains(&s.kind)) {
        let cells: Vec<String> =
            MARKETS.iter().map(|(_, market, file)| answer(&for_market(sample, file), *market, &template)).collect();
        let _ = writeln!(out, "| `{}` | {} |", sample.id, cells.join(" | "));
    }
    out
}

#[test]
fn the_table_of_templates_says_what_fits_and_what_is_refused() {
    let samples = samples();
    let names: Vec<&str> = BUILT_IN.iter().map(|(name, _)| *name).collect();
    let half = |odd: usize| {
        let (names, samples) = (&names, &samples);
        move || -> Vec<String> { names.iter().skip(odd).step_by(2).map(|n| table(n, samples)).collect() }
    };
    let (even, odd) = thread::scope(|scope| {
        let even = scope.spawn(half(0));
        let odd = half(1)();
        (even.join().unwrap(), odd)
    });
    let mut tables = String::new();
    for n in 0..names.len() {
        tables.push_str(if n % 2 == 0 { &even[n / 2] } else { &odd[n / 2] });
    }
    let answers: Vec<&str> =
        tables.lines().filter(|l| l.starts_with("| `")).flat_map(|l| l.split(" | ").skip(1)).collect();
    let fit = answers.iter().filter(|a| a.trim_end_matches(" |") == "fits").count();
    let told = format!("{} combinations: {fit} fit, {} are refused.\n", answers.len(), answers.len() - fit);

    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(PAGE);
    let written = fs::read_to_string(&path).unwrap();
    let (head, _) = written.split_once(MARK).expect("the page holds its mark");
    let now = format!("{head}{MARK}\n{told}{tables}");
    if std::env::var_os("UPDATE").is_some() {
        fs::write(&path, now).unwrap();
    } else {
        assert_eq!(written, now, "`UPDATE=1 cargo test --test matrix` rewrites the page; look at what changed");
    }
}

/// A card of melts of a hazardous blend in two languages of the Union needs more room than a clamshell has; how much is told.
const NONE: [(&str, &str); 2] = [("dune-grass", "eu: ie, fr"), ("eelgrass", "eu: ie, fr")];

/// Canada wants two languages everywhere (C.R.C. c. 417, s. 6(2)), the Union those of the countries (GPSR, Article 9(7)).
#[test]
fn each_sample_has_a_template_for_each_market() {
    let page = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(PAGE)).unwrap();
    for sample in samples() {
        let rows = page.lines().filter(|l| l.starts_with(&format!("| `{}` |", sample.id)));
        let rows: Vec<Vec<&str>> = rows.map(|r| r.trim_end_matches(" |").split(" | ").skip(1).collect()).collect();
        for (n, (market, ..)) in MARKETS.iter().enumerate() {
            let fits = rows.iter().any(|r| r[n] == "fits");
            assert_eq!(fits, !NONE.contains(&(sample.id.as_str(), *market)), "{} for {market}", sample.id);
        }
    }
}
