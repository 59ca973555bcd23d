//! Lot code, planned grams, content of the batch sheet; after `recipe`, before `ledger`.

mod balance;
mod cautions;
mod code;
mod digest;
mod draw;
mod fill;
mod fill_plan;
mod fill_table;
mod pieces;
mod quantity;
mod sheet;
mod statistic;

pub use balance::{Masses, as_planned, percent};
pub use code::{LotCode, check_character, session_letter};
pub use digest::Digest;
pub use draw::{Draw, Shelved, Stocked, Store, draw};
pub use fill::{Fills, Says, Verdict, fills};
pub use pieces::{Pieces, pieces};
pub use quantity::{Quantity, grams};
pub use sheet::{
    BatchSheet, Ceiling, MaterialRow, MeasuredBox, PitcherTable, TakenRow, WeighLine, batch_sheet, cure_until,
};
