//! The command line: one file a command; files, clock and printing live here.

mod files;

use crate::find::{self, Finding};
use std::ffi::OsString;
use std::io::Write;
use std::process::ExitCode;

/// Why a command ended early.
#[derive(Debug)]
pub enum Stop {
    /// The input cannot be understood: exit 2.
    Input(Vec<Finding>),
    /// Something is wrong with what was asked for, and nothing was written: exit 1.
    Findings(Vec<Finding>),
    /// The machine failed (disk, permission): exit 3.
    Machine(String),
}

impl Stop {
    /// One fault of the input.
    #[must_use]
    pub fn input(finding: Finding) -> Self {
        Self::Input(vec![finding])
    }

    /// As a finding, for a reader that goes on with others.
    #[must_use]
    pub fn into_finding(self) -> Finding {
        match self {
            Self::Input(mut findings) | Self::Findings(mut findings) if !findings.is_empty() => findings.remove(0),
            Self::Machine(message) => {
                Finding::input("file/unreadable", message, "check the disk and the file's permissions")
            }
            _ => Finding::input("file/unreadable", "the file cannot be read", "check it"),
        }
    }
}
