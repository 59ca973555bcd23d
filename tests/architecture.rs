//! The shape of the program, kept by a test: which room of `src` may use which, and what only one room may name.
//!
//! The tables here are the architecture; DEVELOPERS.md tells it in words. A line changes only with its reason.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// A room, then the rooms it may use, in the order of the pipeline: a room uses only rooms above it.
const MAY_USE: &[(&str, &[&str])] = &[
    ("trade", &[]),
    ("unit", &[]),
    ("find", &["trade", "unit"]),
    ("yaml", &["find", "trade", "unit"]),
    ("font", &[]),
    // Dots to a file and back; knows neither labels nor PDF.
    ("pixel", &["find"]),
    // Knows nothing of candles nor of files: classes and limits in, classification out. `product` reads the mixture files.
    ("hazard", &["find", "trade", "unit"]),
    // A maker's logo: bytes to shapes.
    ("logo", &["pixel", "find"]),
    ("product", &["logo", "hazard", "yaml", "find", "trade", "unit"]),
    ("recipe", &["hazard", "product", "find", "trade", "unit"]),
    // burn: of `recipe` only the example product its tests begin from.
    ("burn", &["product", "recipe", "find", "trade", "unit"]),
    ("law", &["trade", "unit", "find", "yaml"]),
    ("require", &["law", "logo", "product", "recipe", "burn", "hazard", "find", "trade", "unit"]),
    ("plan", &["require", "law", "logo", "product", "hazard", "yaml", "find", "trade", "unit"]),
    ("lot", &["product", "recipe", "law", "find", "trade", "unit"]),
    ("page", &["plan", "logo", "font", "lot", "find", "trade", "unit"]),
    // sheet: of `font` only the names of the faces its test page is set in.
    ("sheet", &["page", "plan", "font", "yaml", "find", "unit"]),
    ("pdf", &["sheet", "page", "plan", "font", "find", "unit"]),
    // Reads what was written and shares nothing with the writer, else it would share its mistakes.
    ("inspect", &["plan", "logo", "find", "trade", "unit"]),
    // Pictures of a label with what was found on it: drawn like any page, shown by the reader.
    ("proof", &["inspect", "page", "pdf", "plan", "font", "pixel", "find", "trade", "unit"]),
    // Judges labels of any make: what is seen against what is needed; a stranger's label has no template and no page.
    ("review", &["inspect", "lot", "plan", "require", "law", "product", "hazard", "find", "trade", "unit"]),
    ("ledger", &["lot", "find", "trade", "unit"]),
    ("trace", &["ledger", "lot", "trade", "unit"]),
    ("cli", EVERY_ROOM),
];

/// Stands for every room above; only `cli`, which nobody may use, has it.
const EVERY_ROOM: &[&str] = &["*"];

/// What `build.rs` compiles too (by `#[path]`): it reaches no room but these, nor a crate but `serde` and `serde_yaml`.
const BUILT_TWICE: &[(&str, &[&str])] =
    &[("src/trade", &[]), ("src/unit", &[]), ("src/law/reader", &["trade", "unit"])];

/// An outside crate, then the rooms that may name it. Crates without a line (`serde`, `serde_json`, `jiff`) serve all.
const ONLY_IN: &[(&str, &[&str])] = &[
    ("annotate_snippets", &["find"]),
    ("clap", &["cli"]),
    ("flate2", &["pdf", "inspect"]),
    ("hayro", &["inspect"]),
    ("lopdf", &["pdf", "inspect"]), // the reader may look at the raw objects; printpdf writes through it
    ("png", &["pixel"]),
    ("printpdf", &["pdf"]),
    ("qrcode", &["page", "inspect"]), // inspect: only its tests, which draw what is to be read
    ("roxmltree", &["logo"]),
    ("rqrr", &["inspect"]),
    ("rusqlite", &["ledger"]),
    ("rustybuzz", &["font"]),
    ("serde_yaml", &["yaml", "law"]), // law: its reader runs in build.rs too, where `yaml` is not
    ("statrs", &["burn", "lot"]),
    ("subsetter", &["pdf"]),
    ("tempfile", &["cli", "ledger"]),
    ("ttf_parser", &["font", "pdf"]), // pdf: measures of the face as cut down
    ("unicode_linebreak", &["page"]),
    ("unicode_segmentation", &["page"]),
];

/// What touches the machine, then the rooms that may: everything else is a pure function of its arguments.
const MACHINE: &[(&str, &[&str])] = &[
    // The clock.
    ("Instant", &["cli", "ledger"]), // ledger: how long a lock was waited for
    ("SystemTime", &["cli"]),
    ("Timestamp::now", &["cli", "ledger"]),
    ("Zoned::now", &["cli"]),
    // The environment and other processes.
    ("env::", &["cli"]),
    ("process::", &["cli"]),
    // Files. The ledger is a file.
    ("fs::", &["cli", "ledger"]),
    ("File::", &["cli", "ledger"]),
    // Printing.
    ("print!", &["cli"]),
    ("println!", &["cli"]),
    ("eprint!", &["cli"]),
    ("eprintln!", &["cli"]),
    // Chance.
    ("rand::", &[]),
    ("getrandom::", &[]),
    ("RandomState", &[]),
    // The network: nobody.
    ("TcpListener", &[]),
    ("TcpStream", &[]),
    ("UdpSocket", &[]),
];

/// Longest file, in lines; the usual one has 200 to 330.
const LONGEST: usize = 500;

/// Longer files, each with the reason why it is not cut in two.
const LONGER: &[(&str, &str)] = &[];

/// A Rust file: its path and its text with comments and what stands in quotes blanked out.
struct Code {
    path: String,
    text: String,
    bare: String,
}

impl Code {
    fn of(path: &str, text: &str) -> Self {
        Self { path: path.to_owned(), text: text.to_owned(), bare: without_words(text) }
    }

    /// The room it belongs to. `main.rs` hands over to `cli` and counts as part of it.
    fn room(&self) -> &str {
        let inside = self.path.strip_prefix("src/").unwrap_or(&self.path);
        match inside {
            "main.rs" => "cli",
            _ => inside.split('/').next().unwrap_or(inside),
        }
    }

    fn line(&self, at: usize) -> usize {
        self.bare[..at].matches('\n').count() + 1
    }
}

/// The code with comments, strings and characters blanked out, line by line as long as before.
fn without_words(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    let starts = |at: usize, word: &str| word.chars().enumerate().all(|(n, c)| chars.get(at + n) == Some(&c));
    while at < chars.len() {
        let end = if starts(at, "//") {
            (at..chars.len()).find(|&n| chars[n] == '\n').unwrap_or(chars.len())
        } else if starts(at, "/*") {
            (at + 2..chars.len()).find(|&n| starts(n, "*/")).map_or(chars.len(), |n| n + 2)
        } else if let Some(marks) = raw_string(&chars, at) {
            let close = format!("\"{}", "#".repeat(marks));
            let open = at + marks + 2;
            (open..chars.len()).find(|&n| starts(n, &close)).map_or(chars.len(), |n| n + close.len())
        } else if chars[at] == '"' {
            let mut n = at + 1;
            while n < chars.len() && chars[n] != '"' {
                n += if chars[n] == '\\' { 2 } else { 1 };
            }
            n + 1
        } else if starts(at, "'\\") {
            (at + 3..chars.len()).find(|&n| chars[n] == '\'').map_or(chars.len(), |n| n + 1)
        } else if chars[at] == '\'' && chars.get(at + 2) == Some(&'\'') {
            at + 3
        } else {
            out.push(chars[at]);
            at += 1;
            continue;
        };
        let end = end.min(chars.len());
        out.extend(chars[at..end].iter().map(|&c| if c == '\n' { '\n' } else { ' ' }));
        at = end;
    }
    out
}

/// How many `#` open a raw string here, if one does.
fn raw_string(chars: &[char], at: usize) -> Option<usize> {
    let word = at > 0 && (chars[at - 1].is_alphanumeric() || chars[at - 1] == '_');
    if chars[at] != 'r' || (word && chars[at - 1] != 'b') {
        return None;
    }
    let marks = chars[at + 1..].iter().take_while(|c| **c == '#').count();
    (chars.get(at + 1 + marks) == Some(&'"')).then_some(marks)
}

/// Whether the name that begins at `at` is whole: not the tail of a longer one, not a step of a path.
fn begins(code: &str, at: usize) -> bool {
    !code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_')
}

/// First names after each `crate::`, `waxbill::` and as many `super::` as lead out of the room, groups in braces
/// included, with the line of each.
fn used_names(code: &Code) -> Vec<(usize, String)> {
    let name = |s: &str| s.trim().chars().take_while(|c| c.is_alphanumeric() || "_*".contains(*c)).collect::<String>();
    let mut found = Vec::new();
    let steps = code.path.trim_end_matches("/mod.rs").matches('/').count();
    for prefix in ["crate::", "waxbill::", &"super::".repeat(steps)] {
        for (at, _) in code.bare.match_indices(prefix).filter(|(at, _)| begins(&code.bare, *at)) {
            let rest = &code.bare[at + prefix.len()..];
            let Some(group) = rest.strip_prefix('{') else {
                found.push((code.line(at), name(rest)));
                continue;
            };
            let (mut depth, mut item) = (0, String::new());
            for c in group.chars() {
                match c {
                    '{' => depth += 1,
                    '}' if depth == 0 => break,
                    '}' => depth -= 1,
                    ',' if depth == 0 => found.push((code.line(at), name(&std::mem::take(&mut item)))),
                    c if depth == 0 => item.push(c),
                    _ => {}
                }
            }
            found.push((code.line(at), name(&item)));
        }
    }
    found.retain(|(_, name)| !name.is_empty());
    found
}

/// Lines on which `word` stands as a whole path step, macro or crate.
fn lines_with(code: &Code, word: &str) -> Vec<usize> {
    let ends_open = word.ends_with("::") || word.ends_with('!');
    let whole = |at: usize| {
        let rest = &code.bare[at + word.len()..];
        begins(&code.bare, at) && (ends_open || !rest.starts_with(|c: char| c.is_alphanumeric() || c == '_'))
    };
    code.bare.match_indices(word).filter(|(at, _)| whole(*at)).map(|(at, _)| code.line(at)).collect()
}

/// Lines that name an outside crate: as `name::…`, `::name` or `use name`, but not as a room's own module or variable.
fn lines_naming(code: &Code, name: &str) -> Vec<usize> {
    let names = |at: usize| {
        let (before, rest) = (&code.bare[..at], &code.bare[at + name.len()..]);
        let used = before.ends_with("use ") && rest.starts_with([';', ' ']);
        // `::name` from the root is the crate; `step::name` is something else of that name.
        let step = before.ends_with("::") && before[..before.len() - 2].ends_with(|c: char| c.is_alphanumeric());
        begins(&code.bare, at) && !step && (rest.starts_with("::") || used)
    };
    code.bare.match_indices(name).filter(|(at, _)| names(*at)).map(|(at, _)| code.line(at)).collect()
}

/// Every breach of the tables in one file of `src`.
fn breaches(code: &Code) -> Vec<String> {
    let rooms: BTreeMap<_, _> = MAY_USE.iter().copied().collect();
    let (path, room) = (&code.path, code.room());
    let mut wrong = Vec::new();
    if !code.text.starts_with("//!") {
        wrong.push(format!("{path}: does not begin with a `//!` line that says its place"));
    }
    if path == "src/lib.rs" {
        return wrong;
    }
    let Some(may) = rooms.get(room) else {
        wrong.push(format!("{path}: the room `{room}` is not in the table"));
        return wrong;
    };
    for (line, used) in used_names(code) {
        let whole_crate = used == "*" && code.bare.lines().nth(line - 1).is_some_and(|l| l.contains("crate::*"));
        let other = used != room && rooms.contains_key(used.as_str());
        if whole_crate || (other && *may != EVERY_ROOM && !may.contains(&used.as_str())) {
            wrong.push(format!("{path}:{line}: `{room}` may not use `{used}`"));
        }
    }
    for (folder, may) in BUILT_TWICE.iter().filter(|(folder, _)| path.starts_with(folder)) {
        for (line, used) in used_names(code) {
            if used != room && rooms.contains_key(used.as_str()) && !may.contains(&used.as_str()) {
                wrong.push(format!("{path}:{line}: `{folder}` runs in build.rs, where `{used}` is not"));
            }
        }
    }
    // A room's own tests may make with another crate what the room reads.
    let tests = path.ends_with("tests.rs");
    for (name, only) in ONLY_IN.iter().filter(|(_, only)| !tests && !only.contains(&room)) {
        let only = only.join("` and `");
        wrong.extend(lines_naming(code, name).iter().map(|n| format!("{path}:{n}: only `{only}` may name `{name}`")));
    }
    for (word, _) in MACHINE.iter().filter(|(_, only)| !only.contains(&room)) {
        let lines = lines_with(code, word);
        wrong.extend(lines.iter().map(|n| format!("{path}:{n}: `{room}` may not touch the machine: `{word}`")));
    }
    wrong
}

fn rust_files(dir: &Path, out: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() && !path.ends_with("target") {
            rust_files(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

/// Every Rust file below these folders, by its path from the root of the project.
fn files(folders: &[&str]) -> Vec<Code> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths = Vec::new();
    for folder in folders.iter().map(|f| root.join(f)).filter(|f| f.is_dir()) {
        rust_files(&folder, &mut paths);
    }
    paths.sort();
    let name = |path: &Path| path.strip_prefix(root).unwrap().to_str().unwrap().replace('\\', "/");
    paths.iter().map(|p| Code::of(&name(p), &fs::read_to_string(p).unwrap())).collect()
}

#[test]
fn rooms_use_each_other_in_the_allowed_directions_only() {
    let wrong: Vec<_> = files(&["src"]).iter().flat_map(breaches).collect();
    assert!(wrong.is_empty(), "\n{}\n", wrong.join("\n"));
}

#[test]
fn the_table_has_every_room_once_and_no_circle() {
    let mut above: Vec<&str> = Vec::new();
    for (room, may) in MAY_USE {
        assert!(!above.contains(room), "`{room}` stands twice");
        for used in may.iter().filter(|used| **used != "*") {
            assert!(above.contains(used), "`{room}` uses `{used}`, which does not stand above it");
        }
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(room);
        assert!(folder.join("mod.rs").is_file(), "there is no room `{room}`");
        above.push(room);
    }
    assert_eq!(MAY_USE.iter().filter(|(_, may)| *may == EVERY_ROOM).count(), 1, "only `cli` uses every room");
}

#[test]
fn crates_with_a_room_of_their_own_are_dependencies() {
    let manifest = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("Cargo.toml")).unwrap();
    let known = |name: &str| manifest.lines().any(|l| l.split(['=', '.']).next().unwrap().trim() == name);
    for (name, _) in ONLY_IN {
        assert!(known(&name.replace('_', "-")) || known(name), "`{name}` is no dependency any more: take its line out");
    }
}

#[test]
fn files_say_their_place_and_stay_short() {
    let all = files(&["src", "tests", "benches"]);
    let headless: Vec<_> = all.iter().filter(|c| !c.text.starts_with("//!")).map(|c| c.path.as_str()).collect();
    assert!(headless.is_empty(), "without a `//!` line on top: {headless:?}");
    let is_listed = |path: &str| LONGER.iter().any(|(listed, _)| *listed == path);
    let lines = |c: &Code| c.text.lines().count();
    let long: Vec<_> = all
        .iter()
        .filter(|c| lines(c) > LONGEST && !is_listed(&c.path))
        .map(|c| format!("{} has {} lines", c.path, lines(c)))
        .collect();
    assert!(long.is_empty(), "more than {LONGEST} lines: {long:?}");
    for (listed, _) in LONGER {
        assert!(all.iter().any(|c| c.path == *listed && lines(c) > LONGEST), "`{listed}` need not be listed any more");
    }
}

#[test]
fn a_reader_that_uses_the_writer_is_found() {
    let text = "//! In.\nuse crate::pdf::write;\nuse crate::{find::Finding, page::{Page, Ink}};\n// use crate::font::face;\n\
                fn f() { let _ = \"crate::cli::run\"; crate::pdf::write(super::super::ledger::x()) }\n";
    let wrong = breaches(&Code::of("src/inspect/mod.rs", text));
    assert_eq!(
        wrong,
        [
            "src/inspect/mod.rs:2: `inspect` may not use `pdf`",
            "src/inspect/mod.rs:3: `inspect` may not use `page`",
            "src/inspect/mod.rs:5: `inspect` may not use `pdf`",
            "src/inspect/mod.rs:5: `inspect` may not use `ledger`",
        ]
    );
}

#[test]
fn crates_clocks_and_files_outside_their_rooms_are_found() {
    let text = "//! P.\nuse rusqlite::Connection;\nuse std::fs;\nfn f() { let t = std::time::Instant::now(); fs::read(t); }\n\
                /* println!(\"\") */ fn g(process: u8) { my_println!(); println!('\"', r#\"env::\"# ) }\n";
    let wrong = breaches(&Code::of("src/recipe/scale.rs", text));
    assert_eq!(
        wrong,
        [
            "src/recipe/scale.rs:2: only `ledger` may name `rusqlite`",
            "src/recipe/scale.rs:4: `recipe` may not touch the machine: `Instant`",
            "src/recipe/scale.rs:4: `recipe` may not touch the machine: `fs::`",
            "src/recipe/scale.rs:5: `recipe` may not touch the machine: `println!`",
        ]
    );
}

#[test]
fn a_room_outside_the_table_and_a_file_without_its_place_are_found() {
    let wrong = breaches(&Code::of("src/util/mod.rs", "fn f() {}\n"));
    assert_eq!(wrong.len(), 2, "{wrong:?}");
    let wrong = breaches(&Code::of("src/law/reader/row.rs", "//! R.\nuse crate::find::Finding;\n"));
    assert_eq!(wrong, ["src/law/reader/row.rs:2: `src/law/reader` runs in build.rs, where `find` is not"]);
}
