//! `docs/files.md` against the readers: its examples are read without a fault, every key they know is explained, and
//! no key is explained that they do not know. `docs/answers.md` against the answers themselves.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test stops at the first surprise")]

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};
use waxbill::trade::{BlockName, Kind, Lang, Market};

fn read(path: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

/// The fenced examples of a page: file name on the first line, text.
fn examples(page: &str) -> Vec<(String, String)> {
    let mut all = Vec::new();
    let mut rest = page;
    while let Some((_, after)) = rest.split_once("```yaml\n") {
        let (text, left) = after.split_once("\n```").expect("every example is closed");
        let name = text.lines().next().and_then(|l| l.strip_prefix("# ")).expect("every example names its file");
        assert!(name.ends_with(".yaml") && !name.contains(' '), "`{name}` is no file name");
        all.push((name.to_owned(), format!("{text}\n")));
        rest = left;
    }
    all
}

fn waxbill(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_waxbill")).args(words).current_dir(folder).output().unwrap()
}

#[test]
fn every_example_of_a_file_is_read_and_passes_its_check() {
    let bench = tempfile::tempdir().unwrap();
    let examples = examples(&read("docs/files.md"));
    let names: BTreeSet<&str> = examples.iter().map(|(n, _)| n.as_str()).collect();
    assert_eq!(names.len(), examples.len(), "no file is shown twice");
    for (name, text) in &examples {
        let path = bench.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    let mut kinds = BTreeSet::new();
    for (name, text) in examples.iter().filter(|(n, _)| n.starts_with("products/")) {
        let done = waxbill(bench.path(), &["check", name, "--on", "2026-11-25"]);
        let told = format!("{}{}", String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
        assert_eq!(done.status.code(), Some(0), "{name}:\n{told}");
        kinds.extend(text.lines().find_map(|l| l.strip_prefix("kind: ")).map(str::to_owned));
    }
    assert_eq!(kinds, Kind::ALL.iter().map(|k| k.word().to_owned()).collect(), "an example for each kind");
}

/// The quoted words of a list `&["…", "…"]` that begins at the start of `text`.
fn quoted(text: &str) -> Vec<String> {
    let Some((list, _)) = text.trim_start().strip_prefix("&[").and_then(|t| t.split_once(']')) else {
        return Vec::new();
    };
    list.split('"').skip(1).step_by(2).map(str::to_owned).collect()
}

/// Every key the readers of the maker's files know, taken from their source: `const …KEYS` and the lists given to `Form::open`.
fn known() -> BTreeSet<String> {
    let mut keys: BTreeSet<String> = Lang::ALL.iter().map(|l| l.word().to_owned()).collect();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/product");
    let mut files: Vec<_> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    files.push(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/plan/template.rs"));
    for file in files {
        let text = fs::read_to_string(file).unwrap();
        for (at, _) in text.match_indices("KEYS: &[&str] =") {
            keys.extend(quoted(&text[at + "KEYS: &[&str] =".len()..]));
        }
        for (at, _) in text.match_indices("Form::open(") {
            let call = &text[at..];
            let call = &call[..call.find(")?").or(call.find("),")).unwrap_or(call.len()).min(call.len())];
            if let Some(list) = call.find("&[") {
                keys.extend(quoted(&call[list..]));
            }
        }
    }
    keys
}

#[test]
fn every_key_of_the_readers_is_explained_and_no_other() {
    let page = read("docs/files.md");
    let known = known();
    assert!(known.len() > 90, "the readers know more than {} keys", known.len());
    let explained: BTreeSet<String> = page
        .lines()
        .filter_map(|l| l.strip_prefix("| `")?.split_once("` |").map(|(key, _)| key.to_owned()))
        .filter(|key| !key.contains(".yaml"))
        .collect();
    let tables_only = ["en", "fr", "of wax", "of total"]; // explained in the text
    let unexplained: Vec<&String> =
        known.iter().filter(|k| !explained.contains(*k) && !tables_only.contains(&k.as_str())).collect();
    assert!(unexplained.is_empty(), "docs/files.md does not explain {unexplained:?}");
    for key in tables_only {
        assert!(page.contains(&format!("`{key}`")), "docs/files.md does not name `{key}`");
    }
    let invented: Vec<&String> = explained.iter().filter(|k| !known.contains(*k)).collect();
    assert!(invented.is_empty(), "docs/files.md explains keys that no reader knows: {invented:?}");
}

#[test]
fn every_word_of_the_closed_lists_is_named() {
    let page = read("docs/files.md");
    let words = Kind::ALL.iter().map(|k| k.word());
    let words = words.chain(BlockName::ALL.iter().map(|b| b.word())).chain(Market::ALL.iter().map(|m| m.word()));
    for word in words {
        assert!(page.contains(&format!("`{word}`")), "docs/files.md does not name `{word}`");
    }
}
