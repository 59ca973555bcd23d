//! What this product needs in this market on this date; after `law` and `product`, before `plan`.

mod canada;
mod checks;
mod chemicals;
mod facts;
mod figures;
mod hazards;
mod needs;
mod net;
mod panel;

pub use figures::{BurnTime, Figures, Net};
pub use hazards::{Hazards, rules_of};
pub use needs::{Needs, Occasion, Requirement, SMALL_PACK, accepted, facts_of, on};
pub use net::{NetMass, in_canada, length};
pub use panel::{Panel, of as panel_of, of_package as panel_of_package};
