//! `label`: what it writes, what it refuses, and that nothing is left behind when it refuses.

use crate::bench::Bench;
use insta::assert_snapshot;

#[test]
fn a_label_is_written_beside_the_maker() {
    let bench = Bench::new();
    assert_snapshot!(bench.on_the_day("label products/low-tide.yaml --lot 26329A4"), @r"
    exit code 0
    --- stdout
    low-tide-us.pdf: 2 parts for us, each required text read back from the file
      front    60.0 x 70.0 mm
      base     68.0 x 68.0 mm
    Print at 100 %, without fitting to the page. Local codes and licensed practice come first.
    ");
    assert!(std::fs::read(bench.path("low-tide-us.pdf")).unwrap().starts_with(b"%PDF-"));
}

#[test]
fn a_label_without_lot_leaves_space_and_says_so() {
    assert_snapshot!(Bench::new().on_the_day("label products/low-tide.yaml -o jar.pdf"), @r"
    exit code 0
    --- stdout
    jar.pdf: 2 parts for us, each required text read back from the file
      front    60.0 x 70.0 mm
      base     68.0 x 68.0 mm
      no lot code was given: space is left to write it in (`--lot CODE`, or use `waxbill pour`)
    Print at 100 %, without fitting to the page. Local codes and licensed practice come first.
    ");
}

#[test]
fn a_lot_code_is_read_in_lower_case_with_hyphens() {
    assert_snapshot!(Bench::new().on_the_day("label products/low-tide.yaml --lot 26-329-a-4 -o jar.pdf"), @r"
    exit code 0
    --- stdout
    jar.pdf: 2 parts for us, each required text read back from the file
      front    60.0 x 70.0 mm
      base     68.0 x 68.0 mm
    Print at 100 %, without fitting to the page. Local codes and licensed practice come first.
    ");
}

#[test]
fn a_lot_code_with_a_wrong_check_character_is_refused() {
    assert_snapshot!(Bench::new().on_the_day("label products/low-tide.yaml --lot 26329A5"), @r"
    exit code 2
    --- stderr
    error[policy/lot-code-check]: `26329A5` does not hold together: its check character is `5`, and `26329A` would need `4`
     |
    help: read the whole code again from the label: one character may be wrong, or two neighbours swapped
    ");
}

#[test]
fn a_lot_code_that_is_none_is_refused() {
    assert_snapshot!(Bench::new().on_the_day("label products/low-tide.yaml --lot batch7"), @r"
    exit code 2
    --- stderr
    error[policy/lot-code-check]: `batch7` is one character short of a lot code
     |
    help: a lot code is two figures of the year, three of the day, a letter and a check character, for example `26329A4`
    ");
    assert_snapshot!(Bench::new().on_the_day("label products/low-tide.yaml --lot 26999A4"), @r"
    exit code 2
    --- stderr
    error[policy/lot-code-check]: `26999A4` names day 999 of 2026, and that year goes from 001 to 365
     |
    help: read the date figures again from the label: two of the year, three of the day of the year
    ");
}

#[test]
fn a_faulty_product_leaves_no_file() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "load: 8 %, of: wax", "load: 12 %, of: wax");
    assert_snapshot!(bench.on_the_day("label products/low-tide.yaml -o jar.pdf"), @"
    exit code 1
    --- stderr
    error[practice/max-load]: the fragrance comes to 12 % of wax, and Harbour soy blend allows 10 %: what the wax does not hold sweats out and can flare
      --> products/low-tide.yaml:12:6
       |
    12 |   - {use: kelp-and-cedar, load: 12 %, of: wax}
       |      ^^^ this load
       |
      ::: materials/harbour-soy-blend.yaml:4:20
       |
     4 | max load: {of wax: 10 %}
       |                    ---- this limit
       |
    note: expected at most 10 % of wax, found 12 % of wax
    note: advice; known from: secondary
    help: lower the load to at most 10 % of wax

    error[practice/max-load-fragrance]: Kelp and Cedar fragrance oil comes to 10.714 % of total, and its supplier allows 10 %
      --> products/low-tide.yaml:12:6
       |
    12 |   - {use: kelp-and-cedar, load: 12 %, of: wax}
       |      ^^^ this load
       |
      ::: materials/kelp-and-cedar.yaml:4:22
       |
     4 | max load: {of total: 10 %}
       |                      ---- this limit
       |
    note: expected at most 10 % of total, found 10.714 % of total
    note: advice; known from: secondary
    help: lower the load to at most 10 % of total, which is 11.1111 % of wax

    nothing was written
    ");
    assert!(!bench.path("jar.pdf").exists());
}

#[test]
fn a_refused_label_leaves_the_old_file_as_it_was() {
    let bench = Bench::new();
    bench.file("jar.pdf", "the old one").change("products/low-tide.yaml", "fill: 9 oz", "fill: estimate");
    let told = bench.on_the_day("label products/low-tide.yaml -o jar.pdf");
    assert!(told.starts_with("exit code 1\n"), "{told}");
    assert_eq!(std::fs::read_to_string(bench.path("jar.pdf")).unwrap(), "the old one");
}

#[test]
fn a_missing_folder_is_the_machines_fault() {
    assert_snapshot!(Bench::new().on_the_day("label products/low-tide.yaml -o out/jar.pdf"), @"
    exit code 3
    --- stderr
    error: `out/jar.pdf` cannot be written: there is no folder `out`; check the folder, who may write there, and the room on the disk
    ");
}

#[test]
fn a_folder_in_place_of_the_file_is_told() {
    assert_snapshot!(Bench::new().on_the_day("label products/low-tide.yaml -o products"), @"
    exit code 2
    --- stderr
    error[file/would-be-lost]: `products` is a folder
     |
    help: name a new file, or remove the old one yourself; nothing was written
    ");
}

/// A folder that may not be written to. The system's own user may write anywhere, so there the test has nothing to see and
/// says so.
#[cfg(unix)]
#[test]
fn a_read_only_folder_is_the_machines_fault() {
    use std::os::unix::fs::PermissionsExt;
    let bench = Bench::new();
    bench.file("shut/note.txt", "");
    std::fs::set_permissions(bench.path("shut"), std::fs::Permissions::from_mode(0o555)).unwrap();
    if std::fs::write(bench.path("shut/probe"), "").is_ok() {
        eprintln!("skipped: this user may write into a read-only folder");
        return;
    }
    let told = bench.on_the_day("label products/low-tide.yaml -o shut/jar.pdf");
    std::fs::set_permissions(bench.path("shut"), std::fs::Permissions::from_mode(0o755)).unwrap();
    assert!(told.starts_with("exit code 3\n"), "{told}");
    assert!(told.contains("error: `shut/jar.pdf` cannot be written"), "{told}");
}

#[test]
fn one_file_for_several_markets_is_refused() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "[us]", "[us, ca]");
    assert_snapshot!(bench.on_the_day("label products/low-tide.yaml -o jar.pdf"), @r"
    exit code 2
    --- stderr
    error[file/several-markets]: one file is named, and the product goes to several markets: `us`, `ca`
     |
    help: choose one with `--market`, or leave `-o` away: each market gets its own file
    ");
}

#[test]
fn a_script_reads_a_refusal_as_json() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "fill: 9 oz", "fill: 9");
    assert_snapshot!(bench.on_the_day("label products/low-tide.yaml --json"), @r#"
    exit code 2
    --- stdout
    {
      "findings": [
        {
          "column": 7,
          "cure": "add one of `g`, `kg`, `mg`, `oz`, `lb`: for example `340 g`",
          "expected": null,
          "file": "products/low-tide.yaml",
          "found": null,
          "id": "file/wrong-quantity",
          "level": "error",
          "line": 9,
          "message": "`9` has no unit",
          "page": null,
          "part": null,
          "seen": null,
          "severity": "input",
          "x_mm": null,
          "y_mm": null
        }
      ],
      "message": null,
      "verdict": "input"
    }
    "#);
}
