//! The ledger at the command line, from bottles in to jars out and back again in a recall.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod copies;
mod forms;
mod pieces;
mod shop;
mod year;
