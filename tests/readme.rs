//! Every command the README and the pages of `docs` show is run, in order, in a fresh copy of the samples.
//!
//! How a page shows commands: fenced blocks tagged `console`; a line that begins with `$ ` is a command, an end
//! `# exit 1` says that it ends with that number (else 0), the lines below it are printed by it in this order, and a
//! line `…` stands for any lines. `.ci/run` takes the first command from the README in the same way.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test stops at the first surprise")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Commands of the toolchain: run by `.ci/run` or by whoever runs this test, not from within it.
const NOT_RUN: &[&str] = &["cargo build", "cargo test", "cargo clippy", "cargo fmt", "cargo install", "cargo bench"];

/// What stands before the arguments of the program.
const PROGRAM: &[&str] =
    &["cargo run --release --locked --", "cargo run --release --", "target/release/waxbill", "waxbill"];

/// One command as shown.
#[derive(Debug, PartialEq, Eq)]
struct Shown {
    line: usize,
    command: String,
    exit: i32,
    prints: Vec<String>,
}

fn shown(page: &str) -> Vec<Shown> {
    let mut all: Vec<Shown> = Vec::new();
    let (mut fenced, mut console) = (false, false);
    for (number, line) in page.lines().enumerate() {
        if let Some(tag) = line.strip_prefix("```") {
            fenced = !fenced;
            console = fenced && tag == "console";
        } else if let Some(command) = line.strip_prefix("$ ").filter(|_| console) {
            let (command, exit) = command.split_once("# exit ").map_or((command, "0"), |(c, e)| (c, e));
            let exit = exit.trim().parse().expect("a number after `# exit`");
            let command = command.trim().to_owned();
            all.push(Shown { line: number + 1, command, exit, prints: Vec::new() });
        } else if console {
            all.last_mut().expect("a command before what it prints").prints.push(line.to_owned());
        }
    }
    all
}

/// Words as a shell splits them; nothing that needs a shell is shown.
fn words(command: &str) -> Vec<String> {
    let (mut words, mut word, mut quote) = (Vec::new(), None::<String>, None);
    for c in command.chars() {
        match (quote, c) {
            (Some(q), c) if q == c => quote = None,
            (None, '\'' | '"') => {
                quote = Some(c);
                word.get_or_insert_default();
            }
            (None, ' ') => words.extend(word.take()),
            (None, '|' | '>' | '<' | '&' | ';' | '$' | '`' | '*' | '~' | '\\') => panic!("`{command}` needs a shell"),
            (_, c) => word.get_or_insert_default().push(c),
        }
    }
    assert!(quote.is_none(), "`{command}` has an open quote");
    words.extend(word);
    words
}

/// The arguments for the program; `None` for a command of the toolchain.
fn arguments(command: &str) -> Option<Vec<String>> {
    if NOT_RUN.iter().any(|not| command.starts_with(not)) {
        return None;
    }
    let rest = PROGRAM
        .iter()
        .find_map(|p| command.strip_prefix(p).filter(|r| r.is_empty() || r.starts_with(' ')))
        .unwrap_or_else(|| panic!("`{command}` is neither waxbill nor a command of the toolchain"));
    Some(words(rest))
}

/// The first line of `wanted` that `printed` lacks, in order; `…` skips.
fn lacking<'a>(wanted: &'a [String], printed: &str) -> Option<&'a str> {
    let (mut rest, mut skips) = (printed.lines().map(str::trim_end), false);
    for line in wanted.iter().map(|l| l.trim_end()) {
        if line == "…" {
            skips = true;
            continue;
        }
        let found = if skips { rest.any(|l| l == line) } else { rest.next() == Some(line) };
        if !found {
            return Some(line);
        }
        skips = false;
    }
    None
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let target = to.join(entry.file_name());
        // A ledger that somebody's own trial left behind is no sample.
        let own = entry.path().extension().is_some_and(|e| e != "yaml" && e != "md" && e != "csv");
        match entry.file_type().unwrap().is_dir() {
            true => copy(&entry.path(), &target),
            false if own => {}
            false => drop(fs::copy(entry.path(), target).unwrap()),
        }
    }
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Runs what a page shows; returns how many commands of waxbill it shows.
fn run(page: &Path) -> usize {
    let folder = tempfile::tempdir().unwrap();
    for part in ["samples", "templates", "rules"] {
        copy(&root().join(part), &folder.path().join(part));
    }
    let mut count = 0;
    for Shown { line, command, exit, prints } in shown(&fs::read_to_string(page).unwrap()) {
        let Some(arguments) = arguments(&command) else { continue };
        let done = Command::new(env!("CARGO_BIN_EXE_waxbill"))
            .args(&arguments)
            .current_dir(folder.path())
            .env("NO_COLOR", "1")
            .output()
            .unwrap();
        let (out, told) = (String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
        let at = format!("{}:{line}: `{command}`", page.display());
        assert_eq!(done.status.code(), Some(exit), "{at}\n{out}{told}");
        if !prints.is_empty() {
            let printed = format!("{out}{told}");
            let lacks = lacking(&prints, &printed);
            assert!(lacks.is_none(), "{at} does not print, or not here:\n{}\nbut:\n{printed}", lacks.unwrap());
        }
        count += 1;
    }
    count
}

#[test]
fn commands_of_the_readme_do_what_it_says() {
    assert!(run(&root().join("README.md")) > 0, "the README shows no command");
}

/// The pages beside the README.
fn pages() -> Vec<PathBuf> {
    let mut pages = Vec::new();
    for folder in [".", "docs", "rules", "benches", "fonts"] {
        let Ok(entries) = fs::read_dir(root().join(folder)) else { continue };
        let found = entries.map(|e| e.unwrap().path()).filter(|p| p.extension().is_some_and(|e| e == "md"));
        pages.extend(found.filter(|p| *p != root().join("README.md")));
    }
    pages.sort();
    pages
}

#[test]
fn commands_of_the_other_pages_do_what_they_say() {
    for page in pages() {
        run(&page);
    }
}

#[test]
fn links_lead_to_files_that_are_there() {
    let mut dead = Vec::new();
    for page in pages().into_iter().chain([root().join("README.md")]) {
        let text = fs::read_to_string(&page).unwrap();
        let targets = text.split("](").skip(1).filter_map(|rest| rest.split(')').next());
        for target in targets.filter(|t| !t.contains("://") && !t.starts_with('#')) {
            let file = page.parent().unwrap().join(target.split('#').next().unwrap());
            if !file.exists() {
                dead.push(format!("{}: {target}", page.display()));
            }
        }
    }
    assert!(dead.is_empty(), "{dead:#?}");
}

#[test]
fn the_readme_begins_with_the_two_commands() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    let commands: Vec<String> = shown(&readme).into_iter().map(|s| s.command).collect();
    let first = commands.first().expect("a command in the README");
    assert!(first.starts_with("cargo run --release --locked -- pour "), "{first}");
    assert_eq!(commands.get(1).map(String::as_str), Some("cargo test --locked"));
}

#[test]
fn commands_are_found_in_console_blocks_only() {
    let page =
        "$ no\n```sh\n$ no\n```\n```console\n$ waxbill check 'a b.yaml'  # exit 2\nerror: x\n…\n$ cargo test\n```\n";
    let all = shown(page);
    assert_eq!(all.len(), 2);
    assert_eq!((all[0].line, all[0].exit, all[0].prints.len()), (6, 2, 2));
    assert_eq!(arguments(&all[0].command), Some(vec!["check".to_owned(), "a b.yaml".to_owned()]));
    assert_eq!(arguments(&all[1].command), None);
}

#[test]
fn printed_lines_are_looked_for_in_order() {
    let wanted = |text: &str| text.lines().map(str::to_owned).collect::<Vec<_>>();
    let printed = "one\ntwo\nthree\nfour\n";
    assert_eq!(lacking(&wanted("one\n…\nthree"), printed), None);
    assert_eq!(lacking(&wanted("one\nthree"), printed), Some("three"));
    assert_eq!(lacking(&wanted("…\nthree\n…\ntwo"), printed), Some("two"));
}
