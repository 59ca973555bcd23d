//! The workshop of these tests: a copy of the samples in a folder of its own, and the built program.

use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// A fresh copy of the sample workshop.
pub struct Shop {
    folder: TempDir,
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let (path, target) = (entry.path(), to.join(entry.file_name()));
        if path.is_dir() {
            copy(&path, &target);
        } else if path.extension().is_some_and(|e| e == "yaml") {
            fs::copy(path, target).unwrap();
        }
    }
}

impl Shop {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/quillmere"), folder.path());
        Self { folder }
    }
    /// With wax and oil in the store.
    pub fn stocked() -> Self {
        let shop = Self::new();
        shop.fine("receive harbour-soy-blend --lot T-100 --amount 20kg --date 2026-10-01");
        shop.fine("receive kelp-and-cedar --lot F-2231 --amount 200g --date 2026-10-05");
        shop.fine("receive materials/kelp-and-cedar.yaml --lot F-2240 --amount 1kg --date 2026-10-15");
        shop
    }
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }
    /// Words as a shell would split them; single quotes hold a text together.
    pub fn run(&self, line: &str) -> (i32, String) {
        let mut words: Vec<String> = Vec::new();
        for (n, part) in line.split('\'').enumerate() {
            if n % 2 == 1 {
                words.push(part.to_owned());
            } else {
                words.extend(part.split_whitespace().map(str::to_owned));
            }
        }
        let done = Command::new(env!("CARGO_BIN_EXE_waxbill"))
            .args(&words)
            .current_dir(self.folder.path())
            .env("NO_COLOR", "1")
            .output()
            .unwrap();
        let out = String::from_utf8_lossy(&done.stdout).into_owned() + &String::from_utf8_lossy(&done.stderr);
        (done.status.code().unwrap_or(-1), out)
    }
    pub fn fine(&self, line: &str) -> String {
        let (code, out) = self.run(line);
        assert_eq!(code, 0, "{line}\n{out}");
        out
    }
    pub fn refused(&self, exit: i32, line: &str, told: &str) {
        let (code, out) = self.run(line);
        assert_eq!(code, exit, "{line}\n{out}");
        assert!(out.contains(told), "{line}: `{told}` is not in\n{out}");
    }
    pub fn json(&self, line: &str) -> Value {
        let out = self.fine(&format!("{line} --json"));
        serde_json::from_str(&out).unwrap_or_else(|e| panic!("{line}: {e}\n{out}"))
    }
    /// Twenty-four Low Tide of 1 November 2026, which cure until the 15th.
    pub fn poured(&self) -> &'static str {
        self.fine("pour products/low-tide.yaml --count 24 --date 2026-11-01");
        "26305A0"
    }
    pub fn released(&self) -> &'static str {
        let code = self.poured();
        self.fine(&format!("lot {code} release --by Oda --date 2026-11-15"));
        code
    }
}
