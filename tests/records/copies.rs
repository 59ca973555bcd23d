//! The whole ledger out and in again, in every form.

use crate::shop::Shop;
use std::fs;

/// Text that a spreadsheet would run, that YAML would take for something else, and that breaks lines.
const HOSTILE: [&str; 8] = [
    "=HYPERLINK(\"x\";\"y\")",
    "+1-1",
    "@sum, \"quoted\"",
    "two\nlines",
    "Mar\u{e9}e d\u{2019}\u{e9}t\u{e9}; \u{1f56f}",
    "null",
    "a: b # c",
    "\u{202e}backwards\ttab",
];

#[test]
fn every_form_of_an_export_reads_back_in_to_an_equal_ledger() {
    let shop = Shop::stocked();
    let code = shop.released();
    for text in HOSTILE {
        let text = text.replace('\'', "\u{2019}");
        shop.fine(&format!("lot {code} note '{text}'"));
        shop.fine(&format!("hand-over {code} --units 1 --date 2026-11-20 --to '{text}' --contact '{text}'"));
    }
    shop.fine(&format!("hand-over {code} --units 1 --date 2026-11-20 --to Ines"));
    shop.fine("ledger forget Ines");
    let lines = shop.fine("ledger export");
    for name in ["out.jsonl", "out.yaml", "out.csv"] {
        shop.fine(&format!("ledger export -o {name}"));
        let folder = format!("again-{name}");
        fs::create_dir(shop.path(&folder)).unwrap();
        shop.fine(&format!("ledger import {name} --workshop {folder}"));
        assert_eq!(shop.fine(&format!("ledger export --workshop {folder}")), lines, "{name}");
        assert_eq!(shop.fine(&format!("ledger verify --workshop {folder}")), shop.fine("ledger verify"));
    }
    assert_eq!(shop.fine("ledger export --as csv"), fs::read_to_string(shop.path("out.csv")).unwrap());
    // no cell is one that a spreadsheet would run
    let table = fs::read_to_string(shop.path("out.csv")).unwrap();
    assert!(table.contains("'=HYPERLINK") && !table.contains(",=HYPERLINK") && !table.contains(",\"=HYPERLINK"));
}

/// Nothing is left where an import was refused.
#[test]
fn what_was_altered_or_is_no_export_is_refused_and_makes_no_ledger() {
    let shop = Shop::stocked();
    fs::create_dir(shop.path("new")).unwrap();
    for (name, from, to, told) in [
        ("a.yaml", "F-2231", "F-2232", "altered after it was written"),
        ("a.csv", "F-2231", "F-2232", "altered after it was written"),
        ("a.jsonl", "F-2231", "F-2232", "line 3: entry 2 was altered"),
        ("b.yaml", "entries:", "entrys:", "`entrys` is not known"),
        ("b.csv", "line,seq", "lines,seq", "its first line is not"),
        ("b.csv", "entry,2", "entry,two", "b.csv:4:7"),
        ("c.yaml", "waxbill-ledger: 3", "waxbill-ledger: 99", "knows schemas up to 3"),
    ] {
        shop.fine(&format!("ledger export -o {name}"));
        let text = fs::read_to_string(shop.path(name)).unwrap();
        assert!(text.contains(from), "{name}: {from}");
        fs::write(shop.path(name), text.replace(from, to)).unwrap();
        let (exit, out) = shop.run(&format!("ledger import {name} --workshop new"));
        assert!([1, 2].contains(&exit) && out.contains(told), "{name}: {exit} {out}");
        assert_eq!(fs::read_dir(shop.path("new")).unwrap().count(), 0, "{name}");
    }
}
