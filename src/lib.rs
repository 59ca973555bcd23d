//! waxbill: the warning label of a candle and the record of its lot.
//!
//! Data go one way, from the maker's YAML to a PDF that was read back. Each stage is a pure function; files, clock and
//! printing live in [`cli`] only.
//!
//! | Stage | Function | From | To |
//! |---|---|---|---|
//! | read | [`product::read`] | text of a product file and its shelves | [`product::Product`] |
//! | load | [`recipe::formula`], [`recipe::pour`] | product | shares; grams to weigh |
//! | rules | [`require::on`] | date, product, market, [`law::Book`] | [`require::Needs`] |
//! | plan | [`plan::of`] | needs and a template | [`plan::Plan`] |
//! | set | [`page::set`] | plan | [`page::Page`]s, the narrow waist |
//! | write | [`pdf::write`] | pages | bytes |
//! | or lay out | [`sheet::fill`], [`pdf::press`] | pages and a sheet | bytes |
//! | read back | [`inspect::check`], [`inspect::leaves`] | bytes and plan | [`find::Finding`]s |
//!
//! and for a label somebody else has drawn [`review::check`], from what is seen on it and the needs;
//! beside it [`lot`] (code, batch sheet) → [`ledger`] (the append-only record).
//!
//! ```
//! use std::sync::Arc;
//! use waxbill::product::{Fetched, Shelf, Shelves};
//! use waxbill::{find, inspect, law, page, pdf, plan, product, require, trade::Market};
//!
//! /// Everything stands in the one file.
//! struct Inline;
//! impl Shelves for Inline {
//!     fn fetch(&self, _: Shelf, _: &str) -> Fetched { Fetched::Missing(Vec::new()) }
//!     fn workshop(&self) -> Option<Result<Arc<find::Source>, find::Finding>> { None }
//! }
//!
//! let text = "
//! product: Dune Grass
//! kind: wax melt
//! identity: Scented wax melts
//! markets: [us]
//! package: {box: {width: 70 mm, height: 105 mm}}
//! fill: 78 g
//! recipe:
//!   - {use: {material: Headland paraffin, role: wax}}
//!   - {use: {material: Marram and Rain, role: fragrance}, load: 8 %, of: wax}
//! workshop:
//!   maker: {name: Quillmere Candle Shed, town: Quillmere, region: ME, postcode: '00000', country: US, street listed publicly: yes}
//!   scales: [{name: bench, reads to: 0.1 g, up to: 2 kg}]
//! ";
//! let source = Arc::new(find::Source { name: "dune-grass.yaml".into(), text: text.into() });
//! let (product, findings) = product::read(&source, "dune-grass", &Inline);
//! assert!(findings.is_empty());
//! let product = product.unwrap();
//! let at = require::Occasion { market: Market::Us, date: "2026-11-25".parse().unwrap(), lot: None, weighed: None };
//! let needs = require::on(&product, &at, law::builtin()).unwrap();
//! let template = plan::template::read(&plan::template::built_in("melt-front-and-back").unwrap()).unwrap();
//! let plan = plan::of(&needs, &template).unwrap();
//! let pages = page::set(&plan).unwrap();
//! let bytes = pdf::write(&pages, &pdf::About { title: "Dune Grass", language: "en", subject: "" }).unwrap();
//! assert!(inspect::check(&bytes, &plan).is_empty(), "what was set is what is read");
//! ```
pub mod burn;
pub mod cli;
pub mod find;
pub mod font;
pub mod hazard;
pub mod inspect;
pub mod law;
pub mod ledger;
pub mod logo;
pub mod lot;
pub mod page;
pub mod pdf;
pub mod pixel;
pub mod plan;
pub mod product;
pub mod proof;
pub mod recipe;
pub mod require;
pub mod review;
pub mod sheet;
pub mod trace;
pub mod trade;
pub mod unit;
pub mod yaml;
