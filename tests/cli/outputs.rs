//! What the program writes, and what it leaves alone: other files, papers of lots, the terminal.

use crate::bench::{Bench, DAY};
use insta::assert_snapshot;
use std::fs;

fn pour(bench: &Bench) -> String {
    bench.run(&format!("pour products/low-tide.yaml --count 6 --date {DAY}"))
}

#[test]
fn a_label_replaces_no_other_file() {
    let bench = Bench::new();
    bench.file("notes.txt", "wicks are out");
    assert_snapshot!(bench.on_the_day("label products/low-tide.yaml -o notes.txt"), @"
    exit code 2
    --- stderr
    error[file/would-be-lost]: `notes.txt` is there already, and is another kind of file
     |
    help: name a new file, or remove the old one yourself; nothing was written
    ");
    assert_eq!(fs::read_to_string(bench.path("notes.txt")).unwrap(), "wicks are out");
    for to in ["workshop.yaml", "products", "ledger.sqlite"] {
        let answer = bench.on_the_day(&format!("label products/low-tide.yaml -o {to}"));
        assert!(answer.contains("exit code 2") && answer.contains("file/would-be-lost"), "{answer}");
    }
}

#[test]
fn a_label_may_replace_an_older_label() {
    let bench = Bench::new();
    for _ in 0..2 {
        let answer = bench.on_the_day("label products/low-tide.yaml -o low-tide.pdf");
        assert!(answer.starts_with("exit code 0"), "{answer}");
    }
}

#[test]
fn papers_of_a_lot_are_not_replaced() {
    let bench = Bench::new();
    assert!(pour(&bench).starts_with("exit code 0"));
    let paper = "lots/26329A4/26329A4-label-us.pdf";
    let before = fs::read(bench.path(paper)).unwrap();
    let answer = bench.on_the_day(&format!("label products/low-tide.yaml -o {paper}"));
    assert!(answer.contains("exit code 2") && answer.contains("papers of recorded lots"), "{answer}");
    assert_eq!(fs::read(bench.path(paper)).unwrap(), before);
}

#[test]
fn a_lost_ledger_gives_no_code_anew() {
    let bench = Bench::new();
    assert!(pour(&bench).contains("lot 26329A4"));
    let before = fs::read(bench.path("lots/26329A4/26329A4-label-us.pdf")).unwrap();
    fs::remove_file(bench.path("ledger.sqlite")).unwrap();
    assert_snapshot!(pour(&bench), @"
    exit code 0
    --- stdout
    warning[lot/code-passed-over]: `lots/26329A4` is there already, and the ledger knows of no such lot: its code was passed over
     |
    note: policy; known from: policy
    help: if the ledger was lost or is an older copy, look for the newer one; else an earlier run was cut off and the folder can go. It was left as it is

    note[lot/material-lot-unknown]: no lot is recorded of `Harbour soy blend`, `Kelp and Cedar fragrance oil`, `straight-jar-73`: this pour cannot be traced back to it
     |
    note: policy; known from: policy
    help: enter what comes in with `waxbill receive MATERIAL --lot LOT --amount AMOUNT`, then pours take from it

    lot 26329B2: 6 of Low Tide, poured 2026-11-25

      Harbour soy blend                   1446 g  on the bench scale
      Kelp and Cedar fragrance oil       115.7 g  on the fine scale

      lots/26329B2/26329B2-batch-sheet.pdf
      lots/26329B2/26329B2-label-us.pdf

    Melt in a water bath, never unattended; keep water out of hot wax. Local codes and licensed practice come first.
    ");
    assert_eq!(fs::read(bench.path("lots/26329A4/26329A4-label-us.pdf")).unwrap(), before);
    // The next one follows the ledger again, and says nothing.
    let third = pour(&bench);
    assert!(third.contains("lot 26329C") && !third.contains("passed over"), "{third}");
}

#[test]
#[expect(clippy::disallowed_methods, reason = "a folder is made older than it is")]
fn leftovers_of_a_killed_run_go_after_a_day() {
    let bench = Bench::new();
    for name in ["old", "new"] {
        fs::create_dir_all(bench.path(&format!("lots/.waxbill-{name}"))).unwrap();
    }
    fs::create_dir_all(bench.path("lots/mine")).unwrap();
    let two_days_ago = std::time::SystemTime::now() - std::time::Duration::from_secs(2 * 24 * 3600);
    for name in [".waxbill-old", "mine"] {
        fs::File::open(bench.path(&format!("lots/{name}"))).unwrap().set_modified(two_days_ago).unwrap();
    }
    assert!(pour(&bench).starts_with("exit code 0"));
    let there = |name: &str| bench.path(&format!("lots/{name}")).exists();
    assert!(!there(".waxbill-old") && there(".waxbill-new") && there("mine"));
}

#[cfg(unix)]
#[test]
fn a_pipe_is_no_product_and_a_link_no_folder() {
    let bench = Bench::new();
    let made = std::process::Command::new("mkfifo").arg(bench.path("products/pipe.yaml")).status().unwrap();
    assert!(made.success());
    assert_snapshot!(bench.check("pipe"), @"
    exit code 2
    --- stderr
    error[file/not-a-file]: `products/pipe.yaml` is a pipe or a device
     |
    help: save the text into a file and name that
    ");
    std::os::unix::fs::symlink(bench.path("nowhere"), bench.path("bench")).unwrap();
    assert_snapshot!(bench.run("new bench"), @"
    exit code 2
    --- stderr
    error[file/not-a-folder]: `bench` is a link
     |
    help: name a folder that does not exist yet; nothing was touched
    ");
}

#[cfg(target_os = "linux")]
#[test]
fn an_answer_that_cannot_be_printed_is_a_failure() {
    let bench = Bench::new();
    let program = env!("CARGO_BIN_EXE_waxbill");
    let line = format!("'{program}' check products/low-tide.yaml > /dev/full");
    let status = std::process::Command::new("sh").arg("-c").arg(line).current_dir(bench.path(".")).status().unwrap();
    assert_eq!(status.code(), Some(3));
}

#[test]
fn characters_that_steer_a_terminal_are_shown_in_figures() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "markets: [us]", "markets: [\"u\\u202es\"]");
    for line in ["check products/low-tide.yaml", "check products/low-tide.yaml --json", "needs products/\u{202e}x.yaml"]
    {
        let answer = bench.on_the_day(line);
        assert!(!answer.contains('\u{202e}') && answer.contains("202e"), "{line}: {answer}");
    }
    bench.file("products/keys.yaml", "\"pro\\nduct\\e[2J\": x\n");
    let answer = bench.check("keys");
    assert!(answer.contains("`pro\\nduct\\u{1b}[2J`"), "{answer}");
}

#[test]
fn a_workshop_is_found_from_every_folder() {
    let bench = Bench::new();
    fs::create_dir_all(bench.path("products/old")).unwrap();
    // Another workshop around: it must not be taken.
    for (folder, path) in [
        ("products", "./low-tide.yaml"),
        ("products", "low-tide.yaml"),
        ("products/old", "../low-tide.yaml"),
        ("vessels", "../products/./low-tide.yaml"),
        ("products", "old/../low-tide.yaml"),
    ] {
        let program = env!("CARGO_BIN_EXE_waxbill");
        let done = std::process::Command::new(program)
            .args(["check", path, "--on", DAY])
            .current_dir(bench.path(folder))
            .output()
            .unwrap();
        assert_eq!(done.status.code(), Some(0), "{folder} {path}: {}", String::from_utf8_lossy(&done.stderr));
    }
}

/// A link to a folder beside another workshop: `..` in a path goes by folders, not by words.
#[cfg(unix)]
#[test]
fn a_link_leads_to_the_workshop_it_points_into() {
    let bench = Bench::new();
    let other = Bench::empty();
    other.file("workshop.yaml", "maker: {}\n");
    std::os::unix::fs::symlink(bench.path("products"), other.path("shelf")).unwrap();
    let answer = other.on_the_day("check shelf/low-tide.yaml");
    assert!(answer.starts_with("exit code 0"), "{answer}");
    let elsewhere = Bench::empty();
    std::os::unix::fs::symlink(bench.path("products/low-tide.yaml"), elsewhere.path("tide.yaml")).unwrap();
    let answer = elsewhere.on_the_day("check tide.yaml");
    assert!(answer.starts_with("exit code 0"), "{answer}");
}
