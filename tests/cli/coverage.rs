//! Every finding that a maker's files can cause stands in one of the tests of the program.

use std::fs;
use std::path::{Path, PathBuf};

/// Caused by no file of the maker's: a fault of the program itself, of the disk between two looks, or of a PDF from elsewhere;
/// tested where they arise.
const ELSEWHERE: &[&str] = &[
    "file/incomplete",
    "file/pdf",
    "file/unreadable",
    "label/code-too-long",
    "label/hole",
    "label/layout-fault",
    "label/no-room",
    "label/outside-faces",
    "label/page-size",
    "label/pages",
    // Only where no requirement of a net quantity holds, and every market has one.
    "label/quantity",
    // Told only where a workshop gave all other words of its own language; see tests/shapes.rs.
    "template/look-inside",
];

fn files(folder: &Path, all: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files(&path, all);
        } else if path.extension().is_some_and(|x| x == "rs") {
            all.push(path);
        }
    }
}

fn text(folders: &[&str]) -> String {
    let mut all = Vec::new();
    for folder in folders {
        files(&Path::new(env!("CARGO_MANIFEST_DIR")).join(folder), &mut all);
    }
    all.iter().map(|f| fs::read_to_string(f).unwrap()).collect()
}

/// Ids of findings as the source writes them: `"file/unknown-key"`.
fn ids(source: &str) -> Vec<&str> {
    let rooms = ["file/", "template/", "label/", "recipe/", "practice/", "policy/lot-code"];
    let mut ids: Vec<&str> = source
        .split('"')
        .filter(|t| rooms.iter().any(|room| t.starts_with(room) && t.len() > room.len()))
        .filter(|t| t.bytes().all(|b| b.is_ascii_lowercase() || b == b'-' || b == b'/'))
        .collect();
    ids.sort_unstable();
    ids.dedup();
    ids
}

#[test]
fn every_finding_is_seen_in_a_test() {
    let rooms =
        ["cli", "find", "yaml", "product", "recipe", "burn", "require", "plan", "page", "pdf", "inspect", "lot"];
    let folders = rooms.map(|room| format!("src/{room}"));
    let source = text(&folders.iter().map(String::as_str).collect::<Vec<_>>());
    let seen = text(&["tests/cli"]);
    let ids = ids(&source);
    assert!(ids.len() > 50, "the source tells more than {} findings", ids.len());
    let unseen: Vec<&&str> =
        ids.iter().filter(|id| !ELSEWHERE.contains(id) && !seen.contains(&format!("[{id}]"))).collect();
    assert!(unseen.is_empty(), "no test of the program shows {unseen:?}");
}
