//! Lot code, planned grams, content of the batch sheet; after `recipe`, before `ledger`.

mod cautions;
mod code;
mod digest;
mod sheet;

pub use code::{LotCode, check_character, session_letter};
pub use digest::Digest;
pub use sheet::{BatchSheet, Ceiling, MaterialRow, MeasuredBox, PitcherTable, WeighLine, batch_sheet};
