//! `waxbill classify` from the outside: files in, words, JSON and exit codes out.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::Command;

/// Exit code, standard output, standard error.
fn waxbill(folder: &Path, words: &str) -> (i32, String, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_waxbill")).args(words.split(' ')).current_dir(folder).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (out.status.code().unwrap(), text(out.stdout), text(out.stderr))
}

fn json(folder: &Path, words: &str) -> Value {
    let (code, out, error) = waxbill(folder, words);
    assert_eq!(code, 0, "{error}{out}");
    serde_json::from_str(&out).unwrap()
}

const SHED: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/samples/quillmere");

#[test]
fn json_has_the_documented_keys_and_no_other() {
    let folder = tempfile::tempdir().unwrap();
    let text = "mixture: trial\nstate: liquid\nkinematic_viscosity_40c_mm2_s: 7\ningredients:\n\
                - {name: d-limonene, cas: 5989-27-5, percent: [5, 12], classes: [\"Asp. Tox. 1, H304\", \"Skin Sens. 1B; H317\"]}\n\
                - \"citral; 5392-40-5; 0.2 %; Skin Sens. 1 (H317)\"\n\
                - {name: rest, percent: 87, ate: {oral: 1000}}\n";
    fs::write(folder.path().join("m.yaml"), text).unwrap();
    let value = json(folder.path(), "classify m.yaml --json --on 2026-11-25");
    let keys: Vec<&str> = value.as_object().unwrap().keys().map(String::as_str).collect();
    assert_eq!(
        keys,
        [
            "also_named",
            "ate_mix",
            "because",
            "classes",
            "euh208",
            "hazard_statements",
            "pictograms",
            "precautionary_statements",
            "signal",
            "unknown_percent",
            "warnings"
        ]
    );
    insta::assert_json_snapshot!(value, @r#"
    {
      "also_named": [
        "citral"
      ],
      "ate_mix": {
        "oral": 1149.425287
      },
      "because": {
        "Acute Tox. 4, H302": [
          "rest"
        ],
        "Asp. Tox. 1, H304": [
          "d-limonene"
        ],
        "Skin Sens. 1, H317": [
          "d-limonene"
        ]
      },
      "classes": [
        "Acute Tox. 4, H302",
        "Skin Sens. 1, H317",
        "Asp. Tox. 1, H304"
      ],
      "euh208": [],
      "hazard_statements": [
        "H302",
        "H304",
        "H317"
      ],
      "pictograms": [
        "GHS07",
        "GHS08"
      ],
      "precautionary_statements": [
        "P102",
        "P301+P310",
        "P302+P352",
        "P331",
        "P405",
        "P501"
      ],
      "signal": "Danger",
      "unknown_percent": 0.0,
      "warnings": [
        "0.8 % of the mixture is not listed and counts as not hazardous"
      ]
    }
    "#);
}

/// 9 % of total holds 0.1035 % of a substance that is 1.15 % of the oil, 9 % of wax 0.0950 % (worked by hand).
#[test]
fn the_basis_of_a_load_decides_the_label() {
    let folder = tempfile::tempdir().unwrap();
    let text = "material: Bench oil\nrole: fragrance\nsafety sheet:\n  date: 2026-03-02\n  composition:\n    \
                - \"isoeugenol; 97-54-1; 1.15 %; Skin Sens. 1A, H317\"\n";
    fs::write(folder.path().join("oil.yaml"), text).unwrap();
    let total = json(folder.path(), "classify oil.yaml --load 9 % --of total --json");
    assert_eq!(total["classes"], serde_json::json!(["Skin Sens. 1, H317"]));
    assert_eq!(total["euh208"], serde_json::json!([]));
    let wax = json(folder.path(), "classify oil.yaml --load 9% --of wax --json");
    assert_eq!(wax["classes"], serde_json::json!([]));
    assert_eq!(wax["signal"], Value::Null);
    assert_eq!(wax["euh208"], serde_json::json!(["isoeugenol"]));
    let (_, text, _) = waxbill(folder.path(), "classify oil.yaml --load 9 % --of total");
    assert!(text.contains("isoeugenol 0.1035 %: 1.035 times its limit of 0.1 %"), "{text}");
}

#[test]
fn a_new_sheet_is_held_against_the_old_one() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = |line: &str| {
        format!(
            "material: Bench oil\nrole: fragrance\nsafety sheet:\n  date: 2026-03-02\n  composition:\n    - \"{line}\"\n"
        )
    };
    fs::write(folder.path().join("old.yaml"), sheet("linalool; 78-70-6; 5-10 %; Skin Sens. 1B, H317")).unwrap();
    fs::write(folder.path().join("new.yaml"), sheet("linalool; 78-70-6; 10-20 %; Skin Sens. 1B, H317")).unwrap();
    let (code, text, _) =
        waxbill(folder.path(), "classify new.yaml --load 8 % --of total --against old.yaml --on 2026-11-25");
    assert_eq!(code, 1);
    insta::assert_snapshot!(text, @"
    at 8 % of total, CLP of the EU and Northern Ireland on 2026-11-25
      - EUH208: linalool
      + class: Skin Sens. 1, H317
      + pictogram: GHS07
      + signal word: Warning
      + hazard statement: H317
      + precautionary statement: P101
      + precautionary statement: P102
      + precautionary statement: P280
      + precautionary statement: P302+P352
      + precautionary statement: P333+P313
      + precautionary statement: P501
      + name: linalool
    ");
    let (code, text, _) = waxbill(folder.path(), "classify new.yaml --load 8 % --of total --against new.yaml");
    assert_eq!((code, text.as_str()), (0, "nothing on the label changes at 8 % of total\n"));
}

#[test]
fn a_sweep_tells_every_threshold_and_draws_them() {
    let folder = tempfile::tempdir().unwrap();
    let svg = folder.path().join("low-tide.svg");
    let words = format!("classify products/low-tide.yaml --on 2026-11-25 --sweep --svg {}", svg.display());
    let (code, text, error) = waxbill(Path::new(SHED), &words);
    assert_eq!(code, 0, "{error}");
    insta::assert_snapshot!(text);
    let svg = fs::read_to_string(svg).unwrap();
    assert!(svg.starts_with("<svg") && svg.ends_with("</svg>\n") && svg.contains("Skin Sens. 1, H317"));
    let value = json(Path::new(SHED), "classify products/low-tide.yaml --on 2026-11-25 --sweep --json");
    assert_eq!(value["steps"][0]["classes"], serde_json::json!([]));
}

#[test]
fn bad_files_and_uses_are_told_with_line_and_cure() {
    let folder = tempfile::tempdir().unwrap();
    let bad = |text: &str, words: &str| {
        fs::write(folder.path().join("f.yaml"), text).unwrap();
        let (code, out, error) = waxbill(folder.path(), words);
        assert_eq!((code, out.as_str()), (2, ""), "{error}");
        error
    };
    for (line, told) in [
        ("{name: a, percent: 101}", "more than the whole"),
        ("{name: a, percent: [20, 10]}", "from 20 % down to 10 %"),
        ("{name: a, percent: 5, classes: [\"Skin Sens. 9, H317\"]}", "there is no hazard class"),
        ("{name: a, percent: 5, classes: [\"Skin Sens. 1, H318\"]}", "is not a statement of"),
        ("{name: a, percent: 5, cas: 78-70-7}", "not a CAS number"),
        ("{name: a, percent: 60}\n- {name: b, percent: 41}", "comes to 101.0 %"),
    ] {
        let error = bad(&format!("mixture: m\ningredients:\n- {line}\n"), "classify f.yaml");
        assert!(error.contains(told) && error.contains("f.yaml:") && error.contains("help:"), "{error}");
    }
    assert!(bad("mixture: m\n", "classify f.yaml").contains("no ingredients"));
    assert!(bad("a: 1\n", "classify f.yaml").contains("neither a product, nor a material, nor a mixture"));
    let material = "material: Oil\nrole: fragrance\n";
    assert!(bad(material, "classify f.yaml").contains("--load 8 % --of total"));
    assert!(
        bad(material, "classify f.yaml --load 8 % --of wax").contains("composition of the fragrance `Oil` is missing")
    );
    assert!(
        bad("mixture: m\ningredients: [{name: a, percent: 1}]\n", "classify f.yaml --load 8 % --of wax")
            .contains("for a material")
    );
}

/// Regulation (EC) No 1907/2006, Annex XVII entry 30: the answer comes, and says that there can be no sale.
#[test]
fn what_may_not_be_sold_to_the_public_ends_with_a_finding() {
    let folder = tempfile::tempdir().unwrap();
    let text = "mixture: m\ningredients:\n- \"a; 0.3 %; Repr. 1B, H360Fd\"\n- {name: wax, percent: 99.7}\n";
    fs::write(folder.path().join("m.yaml"), text).unwrap();
    let (code, out, _) = waxbill(folder.path(), "classify m.yaml");
    assert_eq!(code, 1);
    assert!(out.contains("Repr. 1B, H360Fd") && out.contains("not for sale to the public"), "{out}");
}
