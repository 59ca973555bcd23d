//! Hazards of a mixture under EU and Great Britain CLP, from a material's safety data to the elements of the label.
//!
//! After `find`, before `require`.

pub mod elements;
pub mod label;
pub mod names;
pub mod pack;
pub mod precaution;
pub mod statements;
pub mod ufi;
