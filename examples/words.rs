//! Prints what is read in PDFs, a word a line: file, page, left edge in mm, word. For comparing with other readers.

use std::process::ExitCode;

fn main() -> ExitCode {
    let mut failed = false;
    for file in std::env::args().skip(1) {
        let read = std::fs::read(&file).map_err(|e| e.to_string());
        match read.and_then(|bytes| waxbill::inspect::read(&bytes).map_err(|finding| finding.message)) {
            Ok(pages) => {
                for page in &pages {
                    for word in page.lines.iter().flat_map(|line| &line.words) {
                        let left = word.glyphs.first().map_or(0.0, |&n| page.glyphs[n].x);
                        out(&format!("{file}\t{}\t{left:.2}\t{}", page.number, word.text));
                    }
                }
            }
            Err(message) => {
                failed |= !message.contains("password");
                complain(&format!("{file}: {message}"));
            }
        }
    }
    if failed { ExitCode::FAILURE } else { ExitCode::SUCCESS }
}

#[expect(clippy::print_stdout, reason = "an example that prints")]
fn out(line: &str) {
    println!("{line}");
}

#[expect(clippy::print_stderr, reason = "an example that prints")]
fn complain(line: &str) {
    eprintln!("{line}");
}
