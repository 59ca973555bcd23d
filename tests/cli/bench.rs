//! The bench of the program-level tests: a copy of the sample workshop in its own folder, and the built program.
//!
//! A test changes one thing in the workshop, runs a command and states the whole answer.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

/// The day on which all tests look at the rules.
pub const DAY: &str = "2026-11-25";

/// A workshop of its own.
pub struct Bench {
    folder: TempDir,
}

impl Bench {
    /// The sample workshop, copied.
    pub fn new() -> Self {
        let bench = Self::empty();
        copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/quillmere"), bench.folder.path());
        bench
    }

    /// An empty folder.
    pub fn empty() -> Self {
        Self { folder: tempfile::Builder::new().prefix("bench-").tempdir().unwrap() }
    }

    /// Where a file of the workshop lies.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Writes a file.
    pub fn file(&self, name: &str, bytes: impl AsRef<[u8]>) -> &Self {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
        self
    }

    /// Changes a passage that stands exactly once in a file.
    pub fn change(&self, name: &str, from: &str, to: &str) -> &Self {
        let text = fs::read_to_string(self.path(name)).unwrap();
        assert_eq!(text.matches(from).count(), 1, "`{from}` stands once in {name}");
        self.file(name, text.replace(from, to))
    }

    /// Runs a command line in the workshop's folder; the answer with its exit code.
    pub fn run(&self, line: &str) -> String {
        self.args(&line.split_whitespace().collect::<Vec<_>>())
    }

    /// Runs a command whose words have blanks in them.
    pub fn args(&self, words: &[&str]) -> String {
        self.told(Command::new(env!("CARGO_BIN_EXE_waxbill")).args(words))
    }

    /// Runs a command line on the tests' day.
    pub fn on_the_day(&self, line: &str) -> String {
        self.run(&format!("{line} --on {DAY}"))
    }

    /// Checks a product on the tests' day.
    pub fn check(&self, product: &str) -> String {
        self.on_the_day(&format!("check products/{product}.yaml"))
    }

    /// Checks a product with at most 2 GB of address space, so that a file cannot fill the memory.
    #[cfg(unix)]
    pub fn check_in_little_memory(&self, product: &str) -> String {
        let program = env!("CARGO_BIN_EXE_waxbill");
        let line = format!("ulimit -v 2000000 && exec '{program}' check products/{product}.yaml --on {DAY}");
        self.told(Command::new("sh").arg("-c").arg(line))
    }

    fn told(&self, command: &mut Command) -> String {
        let Output { status, stdout, stderr } =
            command.current_dir(self.folder.path()).env_remove("RUST_BACKTRACE").output().unwrap();
        let code = status.code().map_or_else(|| "a signal".to_owned(), |c| c.to_string());
        let mut text = format!("exit code {code}\n");
        for (name, bytes) in [("stdout", stdout), ("stderr", stderr)] {
            if !bytes.is_empty() {
                text.push_str(&["--- ", name, "\n", &String::from_utf8(bytes).unwrap()].concat());
            }
        }
        // Lines of an excerpt end with a blank after the bar; an editor would take it away.
        let lines: Vec<&str> = text.lines().map(str::trim_end).collect();
        lines.join("\n").replace(&self.folder.path().display().to_string(), "BENCH")
    }
}

fn copy(from: &Path, to: &Path) {
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            fs::create_dir_all(&target).unwrap();
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).unwrap();
        }
    }
}
