//! Back to every material lot, forward to every hand-over, and the balance between; after `ledger`.
//!
//! A walk asks the ledger one step at a time and goes no further than what it finds. Where it cannot be known which units
//! hold something (a melted-down lot, units without numbers) all that may hold it are taken in.

mod duty;
mod walk;

pub use duty::{Duty, Retention, duties, keep_until, softened};
pub use walk::{Component, Trace, TracedLot, walk};
