//! The command line: one file a command; files, clock and printing live here.

mod args;
mod book;
mod check;
mod classify;
mod csv;
mod drawn;
mod drawn_args;
mod explain;
mod files;
mod hand_over;
mod label;
mod ledger;
mod lot;
mod lot_add;
mod lot_file;
mod lot_rows;
mod lots;
mod make;
mod needs;
mod new;
mod open;
mod paper;
mod picture;
mod picture_args;
mod port;
mod pour;
mod recall;
mod receive;
mod record_args;
mod sheet;
mod sheet_args;
mod sheet_picture;
mod stock;
mod sweep;
mod templates;
mod trace;
mod ufi;
mod watch;

use crate::find::{self, Finding, Level};
use args::{Arguments, Command};
use clap::Parser;
use std::ffi::OsString;
use std::io::{IsTerminal, Write};
use std::process::ExitCode;

/// Why a command ended early.
#[derive(Debug)]
enum Stop {
    /// The input cannot be understood: exit 2.
    Input(Vec<Finding>),
    /// Something is wrong with what was asked for, and nothing was written: exit 1.
    Findings(Vec<Finding>),
    /// The machine failed (disk, permission): exit 3.
    Machine(String),
}

impl Stop {
    /// One fault of the input.
    fn input(finding: Finding) -> Self {
        Self::Input(vec![finding])
    }

    /// Findings of any kind: faults of the input outrank those under rules.
    fn of(findings: Vec<Finding>) -> Self {
        let input = findings.iter().any(|f| f.level == Level::Error && f.severity == find::Severity::Input);
        if input { Self::Input(findings) } else { Self::Findings(findings) }
    }

    /// As a finding, for a reader that goes on with others.
    fn into_finding(self) -> Finding {
        match self {
            Self::Input(mut findings) | Self::Findings(mut findings) if !findings.is_empty() => findings.remove(0),
            Self::Machine(message) => {
                Finding::input("file/unreadable", message, "check the disk and the file's permissions")
            }
            _ => Finding::input("file/unreadable", "the file cannot be read", "check it"),
        }
    }
}

/// What a command leaves behind: text for people or one JSON value for scripts, and whether anything was found.
struct Answer {
    text: String,
    found: bool,
}

impl Answer {
    /// All well.
    const fn fine(text: String) -> Self {
        Self { text, found: false }
    }
}

/// Runs the program and answers its exit code: 0 fine, 1 findings, 2 bad input or usage, 3 the machine failed.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let words: Vec<OsString> = arguments.into_iter().collect();
    let arguments = match Arguments::try_parse_from(&words) {
        Ok(arguments) => arguments,
        Err(error) => {
            let shown = error.render().to_string();
            if shown == printable(&shown, false) {
                let _ = error.print();
            } else {
                let _ = std::io::stderr().lock().write_all(printable(&shown, false).as_bytes());
            }
            return ExitCode::from(if error.use_stderr() { 2 } else { 0 });
        }
    };
    let json = arguments.command.json();
    let done = match arguments.command {
        Command::Needs(args) => needs::run(&args),
        Command::Label(args) => label::run(&args),
        Command::Pour(args) => pour::run(&args),
        Command::Check(args) => {
            match args.drawn.label.as_ref().or(args.drawn.text.as_ref()).map(|name| watch::apart(&words, name)) {
                Some(Ok(Some(code))) => return ExitCode::from(code),
                Some(Err(stop)) => Err(stop),
                Some(Ok(None)) | None => check::run(&args),
            }
        }
        Command::Explain(args) => explain::run(&args),
        Command::Classify(args) => classify::run(&args),
        Command::New(args) => new::run(&args),
        Command::Ufi(args) => ufi::run(&args),
        Command::Receive(args) => receive::run(&args),
        Command::Lot(args) => lot::run(&args),
        Command::Lots(args) => lots::run(&args),
        Command::HandOver(args) => hand_over::run(&args),
        Command::Trace(args) => trace::run(&args),
        Command::Recall(args) => recall::run(&args),
        Command::Ledger(args) => ledger::run(&args),
    };
    match done {
        Ok(answer) => print(&printable(&answer.text, json), u8::from(answer.found)),
        Err(stop) => {
            let (code, text) = told(&stop, json);
            let text = printable(&text, json);
            if json {
                return print(&text, code);
            }
            let _ = std::io::stderr().lock().write_all(text.as_bytes());
            ExitCode::from(code)
        }
    }
}

/// Prints an answer. A full disk or a broken device is the machine's failure; a reader that closed the pipe early
/// (`| head`) is none.
fn print(text: &str, code: u8) -> ExitCode {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() != std::io::ErrorKind::BrokenPipe => {
            let message = format!("error: the answer cannot be printed: {}; check where it goes\n", e.kind());
            let _ = std::io::stderr().lock().write_all(message.as_bytes());
            ExitCode::from(3)
        }
        _ => ExitCode::from(code),
    }
}

/// A whole file for the standard output: byte for byte where it goes into a file or to another program, with what a
/// terminal would not show in figures where somebody looks at it.
fn file(text: String) -> Result<Answer, Stop> {
    let mut out = std::io::stdout().lock();
    if out.is_terminal() {
        return Ok(Answer::fine(text));
    }
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Stop::Machine(format!("the answer cannot be printed: {}; check where it goes", e.kind())))
        }
        _ => Ok(Answer::fine(String::new())),
    }
}

/// The text with every character that a terminal would not show, or would let change the rest, in figures: `\u{202e}`.
fn printable(text: &str, json: bool) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if !find::is_unseen(c) || c == '\n' || c == '\t' {
            out.push(c);
        } else if json {
            // In JSON such characters stand inside strings only.
            for unit in c.encode_utf16(&mut [0; 2]) {
                out += &format!("\\u{unit:04x}");
            }
        } else {
            out.extend(c.escape_unicode());
        }
    }
    out
}

fn told(stop: &Stop, json: bool) -> (u8, String) {
    let (code, findings, message) = match stop {
        Stop::Input(findings) => (2, findings.as_slice(), None),
        Stop::Findings(findings) => (1, findings.as_slice(), None),
        Stop::Machine(message) => (3, [].as_slice(), Some(message)),
    };
    if json {
        let findings: Vec<_> = findings.iter().map(find::json).collect();
        let verdict = ["pass", "findings", "input", "machine"][usize::from(code)];
        let value = serde_json::json!({ "verdict": verdict, "findings": findings, "message": message });
        return (code, format!("{value:#}\n"));
    }
    let mut text = listed(findings);
    match message {
        Some(message) => text += &format!("error: {message}\n"),
        None if code == 1 => text += "nothing was written\n",
        None => {}
    }
    (code, text)
}

/// Findings for people, most serious first, an empty line between.
fn listed(findings: &[Finding]) -> String {
    let mut sorted: Vec<&Finding> = findings.iter().collect();
    sorted.sort_by_key(|f| f.level);
    sorted.iter().map(|f| find::plain(f) + "\n\n").collect()
}
