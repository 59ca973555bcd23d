//! The program as its user meets it: every test states the whole answer, exit code first.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod bench;
mod commands;
mod hostile;
mod keys;
mod labels;
mod materials;
mod rules;
mod samples;
mod shelves;
mod templates;
mod values;
mod vessels;
