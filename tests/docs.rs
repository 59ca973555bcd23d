//! `docs/files.md` against the readers: its examples are read without a fault, every key they know is explained, and
//! no key is explained that they do not know. `docs/answers.md` against the answers themselves.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test stops at the first surprise")]

use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};
use waxbill::find::Level;
use waxbill::trade::{BlockName, Evidence, Kind, Lang, Market, Measure, Severity};

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
        assert!(
            Path::new(name).extension().is_some_and(|x| x == "yaml") && !name.contains(' '),
            "`{name}` is no file name"
        );
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
    let sheets: Vec<&str> = names.iter().copied().filter(|n| n.starts_with("sheets/")).collect();
    assert!(!sheets.is_empty(), "a sheet is shown");
    for sheet in sheets {
        let words = ["label", "products/low-tide.yaml", "--part", "front", "--sheet", sheet, "--on", "2026-11-25"];
        let done = waxbill(bench.path(), &words);
        assert_eq!(done.status.code(), Some(0), "{sheet}:\n{}", String::from_utf8_lossy(&done.stderr));
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
    files.push(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/sheet/file.rs"));
    files.push(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/plan/template/part.rs"));
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
    let languages = Lang::ALL.iter().map(|l| l.word());
    let tables_only: Vec<&str> = languages.chain(["of wax", "of total"]).collect(); // explained in the text
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

/// Every key of an answer; those of maps whose keys are data (`text` by language, facts, figures) are left out.
fn keys(value: &Value, into: &mut BTreeSet<String>) {
    match value {
        Value::Array(items) => items.iter().for_each(|v| keys(v, into)),
        Value::Object(map) => {
            for (key, value) in map {
                into.insert(key.clone());
                let data = key == "text" || key == "applies" || (key == "figures" && map.contains_key("you_may"));
                if !data {
                    keys(value, into);
                }
            }
        }
        _ => {}
    }
}

/// The other direction (what is shown is what is printed) is the test of the commands shown on the pages.
#[test]
fn every_key_of_every_answer_is_explained() {
    let page = read("docs/answers.md");
    let bench = tempfile::tempdir().unwrap();
    let made = waxbill(bench.path(), &["new", "bench"]);
    assert!(made.status.success());
    let jar = "bench/products/low-tide.yaml";
    let melt = "bench/products/dune-grass.yaml";
    let text = fs::read_to_string(bench.path().join(melt)).unwrap();
    let pillar = text
        .replace("wax melt", "pillar")
        .replace("pieces: 6", "size: {diameter: 3 in, height: 6 in}\nwick: {type: cotton}");
    fs::write(bench.path().join("bench/products/pillar.yaml"), pillar).unwrap();
    let answers: &[&[&str]] = &[
        &["needs", jar],
        &["needs", melt],
        &["needs", "bench/products/pillar.yaml"],
        &["check", "bench/products/pillar.yaml"],
        &["check", "bench/products/none.yaml"],
        &["label", jar, "--on", "2026-11-25"],
        &["label", jar, "--on", "2026-11-25", "--lot", "26329A4", "--part", "base", "--serial", "1..2"],
        &["label", "--test-page", "--sheet", "a4-3x4"],
        &["pour", jar, "--count", "2", "--date", "2026-11-25"],
        &["classify", jar, "--on", "2026-11-25"],
        &["classify", jar, "--on", "2026-11-25", "--sweep"],
        &["explain"],
        &["explain", "trim wick"],
    ];
    let mut all = BTreeSet::new();
    for words in answers {
        let done = waxbill(bench.path(), &[words, &["--json"][..]].concat());
        let value: Value =
            serde_json::from_slice(&done.stdout).unwrap_or_else(|e| panic!("{words:?} answers JSON: {e}"));
        assert!(done.stderr.is_empty(), "{words:?} prints nothing else");
        keys(&value, &mut all);
    }
    assert!(all.len() > 60, "the answers have more than {} keys", all.len());
    let unexplained: Vec<&String> = all.iter().filter(|k| !page.contains(&format!("`{k}`"))).collect();
    assert!(unexplained.is_empty(), "docs/answers.md does not explain {unexplained:?}");
}

/// First words of the rows of the table that begins with `head`.
fn rows(page: &str, head: &str) -> Vec<String> {
    let table = page.split_once(head).unwrap_or_else(|| panic!("the page says `{head}`")).1;
    let rows = table.lines().skip_while(|l| !l.starts_with('|')).take_while(|l| l.starts_with('|'));
    rows.filter_map(|l| Some(l.strip_prefix("| `")?.split_once('`')?.0.to_owned())).collect()
}

#[test]
fn words_of_severity_evidence_level_and_measure_are_those_of_the_program() {
    let page = read("docs/answers.md");
    let mut severities: Vec<String> = Severity::ALL.iter().map(|s| s.word().to_owned()).collect();
    severities.rotate_left(1); // `input`, which is no rule, stands last on the page
    assert_eq!(rows(&page, "How strongly a rule binds"), severities);
    let evidence: Vec<String> = Evidence::ALL.iter().map(|e| e.word().to_owned()).collect();
    assert_eq!(rows(&page, "How the rule is known"), evidence);
    let levels = [Level::Error, Level::Warning, Level::Note].map(|l| serde_json::to_string(&l).unwrap());
    let measures = Measure::ALL.iter().map(|m| format!("\"{m}\""));
    for word in measures.chain(levels) {
        assert!(page.contains(&word.replace('"', "`")), "docs/answers.md does not name {word}");
    }
}

const WRITTEN: &str = "<!-- From here on written by `UPDATE=1 cargo test --test docs`; do not edit. -->\n";

#[test]
fn the_list_of_rules_is_that_of_the_program() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/checks.md");
    let page = fs::read_to_string(&path).unwrap();
    let (head, list) = page.split_once(WRITTEN).expect("the line that parts what is written by hand");
    let mut written = String::new();
    for (severity, title) in [
        (Severity::Required, "Required by law"),
        (Severity::Standard, "Voluntary standard, expected by trade and insurers"),
        (Severity::Advice, "Usual advice"),
        (Severity::Policy, "House policy of this program"),
    ] {
        written += &["\n## ", title, "\n\n| Rule | What | Known from |\n|---|---|---|\n"].concat();
        for rule in waxbill::law::rules().iter().filter(|r| r.severity == severity) {
            written += &["| `", rule.id, "` | ", rule.title, " | ", rule.seen().word(), " |\n"].concat();
        }
    }
    if std::env::var_os("UPDATE").is_some() {
        fs::write(path, [head, WRITTEN, &written].concat()).unwrap();
    } else {
        assert!(list == written, "docs/checks.md is out of date: run `UPDATE=1 cargo test --test docs`");
    }
}
