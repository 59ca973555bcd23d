//! What this product needs in this market on this date; after `law` and `product`, before `plan`.

mod net;
mod panel;

pub use net::{NetMass, length};
pub use panel::{Panel, of as panel_of, of_package as panel_of_package};
