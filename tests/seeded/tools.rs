//! The same labels drawn by other programs, through `tests/foreign/make/placed.py`.

use super::drawn::{Sheet, json, pdf};
use std::fs;
use std::process::Command;

/// Each draws the lines and shapes itself; qpdf and pdftocairo write anew what was drawn by hand.
pub const TOOLS: &[&str] = &[
    "chromium",
    "fpdf2",
    "Ghostscript",
    "LibreOffice",
    "pdflatex",
    "pdftocairo",
    "pycairo",
    "qpdf",
    "reportlab",
    "typst",
];

/// Tools that have no letters without ink.
const PAINTS: &[&str] = &["chromium", "Ghostscript", "LibreOffice", "pycairo", "typst"];

/// Why a tool cannot draw a fault.
pub fn cannot(tool: &str, fault: &str) -> Option<&'static str> {
    (fault == "letters not painted" && PAINTS.contains(&tool))
        .then_some("it writes no letters that are not painted, so there is nothing to read")
}

/// The labels as the tool draws them, after its version; else why there are none.
pub fn draw(tool: &str, labels: &[Vec<Sheet>]) -> Result<(String, Vec<Vec<u8>>), String> {
    let folder = tempfile::tempdir().unwrap();
    let file = |n: usize, kind: &str| folder.path().join(format!("{n:04}.{kind}"));
    for (n, sheets) in labels.iter().enumerate() {
        fs::write(file(n, "json"), json::write(sheets)).unwrap();
        fs::write(file(n, "hand"), pdf::write(sheets)).unwrap();
    }
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let mut command = Command::new(&python);
    command.args(["tests/foreign/make/placed.py", tool]).arg(folder.path());
    let Ok(done) = command.output() else { return Err(format!("not installed: {python}")) };
    let said = String::from_utf8_lossy(&done.stdout).trim().to_owned();
    match done.status.code() {
        Some(0) => Ok((said, (0..labels.len()).map(|n| fs::read(file(n, "pdf")).unwrap()).collect())),
        Some(3) => Err(said),
        _ => panic!("{tool}: {}", String::from_utf8_lossy(&done.stderr)),
    }
}
