//! waxbill: the warning label of a candle and the record of its lot.
pub mod burn;
pub mod cli;
pub mod find;
pub mod font;
pub mod inspect;
pub mod law;
pub mod ledger;
pub mod lot;
pub mod page;
pub mod pdf;
pub mod plan;
pub mod product;
pub mod recipe;
pub mod require;
pub mod trade;
pub mod unit;
pub mod yaml;
