//! Canada and Quebec, from rules to a label that is read back: tables of the law, words in two languages, and what each
//! check says and where it is silent.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod bench;
mod checks;
mod labels;
mod rules;
