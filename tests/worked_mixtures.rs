//! Worked examples of classification, each with its source in `tests/published/worked-mixtures.yaml`.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test stops at the first surprise")]

use jiff::civil::{Date, date};
use std::fs;
use std::sync::Arc;
use waxbill::find::{Report, Source};
use waxbill::hazard::{Classification, Mixture, Reason, Rules, classify};
use waxbill::product::mixture_in;
use waxbill::yaml::{self, Key, Node, Value};

const DAY: Date = date(2026, 11, 25);

fn entries(node: &Node) -> &[(Key, Node)] {
    let Value::Map(entries) = &node.value else { return &[] };
    entries
}

fn get<'a>(node: &'a Node, key: &str) -> Option<&'a Node> {
    entries(node).iter().find(|(k, _)| k.word == key).map(|(_, n)| n)
}

fn text(node: &Node) -> String {
    let Value::Text(text) = &node.value else { return String::new() };
    text.clone()
}

fn texts(node: &Node) -> Vec<String> {
    let Value::List(items) = &node.value else { return Vec::new() };
    let mut texts: Vec<String> = items.iter().map(text).collect();
    texts.sort();
    texts
}

fn names(reasons: &[Reason]) -> Vec<String> {
    let mut names: Vec<String> = reasons.iter().map(|r| r.name().to_owned()).collect();
    names.sort();
    names
}

/// Holds the classification against one key of what the source says; tells what differs.
fn differs(key: &str, expected: &Node, found: &Classification) -> Option<String> {
    let (want, have) = match key {
        "classes" => {
            let mut have: Vec<String> = found.classes.iter().map(ToString::to_string).collect();
            have.sort();
            (texts(expected), have)
        }
        "because_of" => {
            let sensitising = found.classes.iter().find(|c| c.class.code() == "H317");
            (texts(expected), sensitising.map(|c| names(&c.because)).unwrap_or_default())
        }
        "euh208" => (texts(expected), names(&found.euh208)),
        "also_named" => (texts(expected), names(&found.also_named)),
        _ if key.starts_with("ate_mix_") => {
            let printed = text(expected);
            let places = printed.split_once('.').map_or(0, |(_, d)| d.len());
            let route = key.trim_start_matches("ate_mix_");
            let have = found.ate_mix.iter().find(|(r, _)| r.word() == route);
            (vec![printed], have.map(|(_, v)| vec![format!("{v:.places$}")]).unwrap_or_default())
        }
        // Elements of the label are held against the label.
        "pictograms" | "signal" | "hazard_statements" => return None,
        other => return Some(format!("`{other}` is not looked at by this test")),
    };
    (want != have).then(|| format!("{key}: the source has {want:?}, found {have:?}"))
}

/// An example: its name, the mixture, its own rules, and what it gives under which rules.
type Case = (String, Mixture, Rules, Vec<(Rules, Node)>);

fn cases() -> Vec<Case> {
    let path = "tests/published/worked-mixtures.yaml";
    let source = Arc::new(Source { name: path.to_owned(), text: fs::read_to_string(path).unwrap() });
    let root = yaml::read(&source).unwrap();
    let Value::List(items) = &get(&root, "mixtures").unwrap().value else { panic!("no list of mixtures") };
    items
        .iter()
        .map(|item| {
            let report = Report::new();
            let file = mixture_in(item, &report);
            let faults = report.into_findings();
            assert!(faults.is_empty(), "{:?}", faults[0]);
            let file = file.unwrap();
            let rules = file.rules.unwrap_or(Rules::Clp);
            let expected = [("expect", rules), ("expect_clp", Rules::Clp)];
            let expected = expected.iter().filter_map(|(key, r)| get(item, key).map(|n| (*r, n.clone())));
            (file.mixture.name.clone(), file.mixture.clone(), rules, expected.collect())
        })
        .collect()
}

#[test]
fn worked_examples_come_out_as_their_sources_say() {
    let cases = cases();
    assert!(cases.len() >= 19, "cases went missing");
    let mut wrong = Vec::new();
    for (name, mixture, _, expected) in &cases {
        assert!(!expected.is_empty(), "{name} expects nothing");
        for (rules, expected) in expected {
            let found = classify(mixture, *rules, DAY);
            for (key, value) in entries(expected) {
                wrong.extend(differs(&key.word, value, &found).map(|d| format!("{name} under {rules}: {d}")));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}\n", wrong.join("\n"));
}

#[test]
fn a_wrong_expectation_is_noticed() {
    let (_, mixture, _, _) = cases().into_iter().find(|(name, ..)| name == "aquatic-boundary-25").unwrap();
    let source = Arc::new(Source { name: "t".into(), text: "classes: [\"Aquatic Chronic 3, H412\"]\n".into() });
    let expected = yaml::read(&source).unwrap();
    let (key, value) = &entries(&expected)[0];
    assert!(differs(&key.word, value, &classify(&mixture, Rules::Clp, DAY)).is_some());
}

/// The two tables of CLP and Great Britain have the same figures, so every case without new classes is the same there.
#[test]
fn great_britain_gives_the_same_where_no_new_class_is_concerned() {
    for (name, mixture, ..) in cases() {
        let of = |rules| classify(&mixture, rules, DAY);
        assert_eq!(of(Rules::Clp).signature(), of(Rules::ClpGb).signature(), "{name}");
    }
}

#[test]
fn the_order_of_the_ingredients_does_not_matter() {
    for (name, mixture, rules, _) in cases() {
        let mut turned = mixture.clone();
        turned.ingredients.reverse();
        let (a, b) = (classify(&mixture, rules, DAY), classify(&turned, rules, DAY));
        assert_eq!(format!("{a:?}"), format!("{b:?}"), "{name}");
    }
}
