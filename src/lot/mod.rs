//! Lot code, planned grams, content of the batch sheet; after `recipe`, before `ledger`.

mod code;
mod digest;

pub use code::{LotCode, check_character, session_letter};
pub use digest::Digest;
