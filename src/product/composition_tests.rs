//! Tests of reading section 3.

use super::{composition, range};
use crate::find::{Report, Source};
use crate::hazard::Route;
use crate::yaml::{self, Value};
use std::sync::Arc;

fn read(lines: &str) -> (Vec<super::Substance>, Vec<crate::find::Finding>) {
    let node = yaml::read(&Arc::new(Source { name: "t.yaml".into(), text: lines.into() })).unwrap();
    let Value::List(nodes) = &node.value else { panic!("a list") };
    let report = Report::new();
    (composition(nodes, &report), report.into_findings())
}

#[test]
fn a_pasted_line_says_the_same_as_keys_and_values() {
    let pasted = "- \"linalool; 78-70-6; EC 201-134-4; 10-20 %; Skin Sens. 1B; H317; Aquatic Acute 1, H400; M acute=10; M chronic=1; \
                  SCL Skin Sens. 1: 0.5 %; ATE oral: 890 mg/kg; Repr. 2 (H361d)\"";
    let spelt = "- {name: linalool, cas: 78-70-6, ec: 201-134-4, percent: [10, 20], \
                 classes: [\"Skin Sens. 1B, H317\", \"Aquatic Acute 1, H400\", \"Repr. 2, H361d\"], m: {acute: 10, chronic: 1}, \
                 limits: {Skin Sens. 1: 0.5}, ate: {oral: 890}}";
    let shown = |text: &str| {
        let (read, faults) = read(text);
        assert!(faults.is_empty(), "{faults:?}");
        (format!("{:?}", read[0].hazards), read[0].percent)
    };
    assert_eq!(shown(pasted), shown(spelt));
    let (read, _) = read("- \"x; < 1 %; M=10; Aquatic Chronic 1, H410\"");
    assert_eq!((read[0].hazards.m.acute, read[0].hazards.m.chronic), (Some(10), Some(10)));
    assert_eq!(read[0].percent.1, range("1 %").unwrap().1);
    assert!(read[0].hazards.ate[Route::Oral.index()].is_none());
}

#[test]
fn bad_lines_are_told_where_they_stand_and_how_to_mend_them() {
    for (line, id, part) in [
        ("- {name: a, percent: 101}", "file/wrong-quantity", "more than the whole"),
        ("- {name: a, percent: [20, 10]}", "file/wrong-range", "from 20 % down to 10 %"),
        ("- {name: a, percent: [1, 2, 3]}", "file/wrong-range", "one figure"),
        ("- {name: a, percent: 20-10 %}", "file/wrong-quantity", "down to"),
        ("- {name: a, percent: \"> 10 %\"}", "file/wrong-quantity", "no upper end"),
        ("- {name: a, percent: -5}", "file/wrong-quantity", "negative"),
        ("- {name: a, percent: 1, classes: [\"Skin Sens. 4, H317\"]}", "file/hazard-class", "there is no hazard class"),
        ("- {name: a, percent: 1, classes: [\"Skin Sens. 1, H334\"]}", "file/hazard-class", "is not a statement of"),
        ("- {name: a, percent: 1, cas: 78-70-7}", "file/cas-number", "78-70-7"),
        ("- {name: a, percent: 1, ec: 201-134-5}", "file/ec-number", "201-134-5"),
        ("- {name: a, percent: 1, limits: {Skin Sens. 7: 1}}", "file/hazard-class", "there is no hazard class"),
        ("- {name: a, percent: 1, limits: {Skin Sens. 1: 0}}", "file/wrong-quantity", "no lower end"),
        ("- {name: a, percent: 1, limits: 5}", "file/wrong-shape", "specific limits"),
        ("- {name: a, percent: 1, m: {acute: 0}}", "file/wrong-number", "`0`"),
        ("- {name: a, percent: 1, ate: {oral: 0}}", "file/wrong-quantity", "nothing"),
        ("- {name: a, percent: 1, unknown_toxicity: [eye]}", "file/wrong-word", "not a route"),
        ("- {name: a}", "file/missing-key", "percent"),
        ("- {name: a, percent: 60}\n- {name: b, percent: 41}", "file/over-the-whole", "101.0 %"),
        ("- \"a; 78-70-7; 1 %\"", "file/composition-line", "78-70-7"),
        ("- \"a; Skin Sens. 1, H317\"", "file/composition-line", "no percentage"),
        ("- \"a; 1 %; M=x\"", "file/composition-line", "`x`"),
        ("- \"a; 1 %; Glitter 4\"", "file/composition-line", "there is no hazard class"),
        ("- \"a; 1 %; ATE: 5\"", "file/composition-line", "route"),
        ("- \"a; 1 %; SCL Skin Sens. 1\"", "file/composition-line", "no limit"),
    ] {
        let (_, faults) = read(line);
        let first = faults.first().unwrap_or_else(|| panic!("nothing told of {line}"));
        assert_eq!(first.id, id, "{line}: {}", first.message);
        assert!(
            format!("{}; {}", first.message, first.cure).contains(part),
            "{line}: {} {}",
            first.message,
            first.cure
        );
        assert!(!first.places.is_empty() && !first.cure.is_empty());
    }
}

#[test]
fn several_statements_of_one_class_are_all_kept() {
    let (read, faults) = read(
        "- {name: a, percent: 1, classes: [\"Acute Tox. 4, H302+H312\", \"Skin Sens. 1, H317\", EUH066]}\n\
         - \"b; 1 %; Acute Tox. 4, H302, H332; EUH071\"",
    );
    assert!(faults.is_empty(), "{faults:?}");
    let of = |n: usize| read[n].hazards.classes.iter().map(|c| c.code.as_str()).collect::<Vec<_>>();
    assert_eq!((of(0), of(1)), (vec!["H302", "H312", "H317"], vec!["H302", "H332"]));
    assert_eq!(read[1].hazards.supplemental, ["EUH071"]);
}

#[test]
fn limits_are_read_as_annex_vi_prints_them() {
    for text in ["0.5", "0.5 %", "C >= 0.5 %", "≥ 0.5 %", "0.5-2", "0.5 - < 2 %"] {
        let (read, faults) =
            read(&format!("- {{name: a, percent: 1, limits: {{\"Skin Sens. 1, H317\": \"{text}\"}}}}"));
        assert!(faults.is_empty(), "{text}: {faults:?}");
        assert_eq!(read[0].hazards.limits[0].from.to_string(), "0.5 %", "{text}");
    }
    let (read, faults) = read("- \"a; 1 %; SCL Skin Sens. 1A; H317: C >= 0.01 %\"");
    assert!(faults.len() == 1 && read.is_empty(), "a semicolon parts: {faults:?}");
    let (read, faults) = super::tests::read("- \"a; 1 %; SCL Skin Sens. 1A, H317: C >= 0.01 %\"");
    assert!(faults.is_empty() && read[0].hazards.limits[0].from.to_string() == "0.01 %");
}

#[test]
fn rounded_figures_may_come_to_a_little_over_the_whole() {
    let (read, faults) = read("- {name: a, percent: 95}\n- {name: b, percent: 5.1}");
    assert!(faults.is_empty() && read.len() == 2);
    let (_, faults) = super::tests::read("- {name: a, percent: [10, 95]}\n- {name: b, percent: [5, 50]}");
    assert!(faults.is_empty());
}
