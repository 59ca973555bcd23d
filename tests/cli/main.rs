//! The program as its user meets it: every test states the whole answer, exit code first.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod bench;
mod blanks;
mod canada;
mod commands;
mod coverage;
#[path = "../drawn/mod.rs"]
mod drawn;
mod drawn_labels;
mod drawn_pages;
mod exceptions;
mod hostile;
mod keys;
mod kinds;
mod label_files;
mod labels;
mod logos;
mod materials;
mod mixtures;
mod net_quantities;
mod outputs;
mod pictures;
mod pours;
mod recipes;
mod rules;
mod samples;
mod sheets;
mod shelves;
mod slip_list;
mod slips;
mod small_packs;
mod templates;
mod values;
mod vessels;
