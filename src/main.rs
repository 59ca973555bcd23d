//! The program: hands the command line to [`waxbill::cli`] and its answer to the shell.

use std::process::ExitCode;

fn main() -> ExitCode {
    waxbill::cli::run(std::env::args_os())
}
