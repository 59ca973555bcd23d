//! Quantities with their units: the first room of the pipeline, used by all others.
//!
//! Everything a maker declares is held as a whole number of a small unit, so that `12 oz` is exactly
//! 340.194 277 500 g and a limit is never missed by a rounding error of floating point.
//! Parsing takes the text as written (`340 g`, `1 1/2 lb`, `3/16 in`, `165 F`, `9 %`); printing never rounds up.

mod length;
mod mass;
mod number;
mod share;
mod temperature;
mod time;
mod volume;

pub use length::{Area, Length};
pub use mass::Mass;
pub use number::{Exact, Wrong, exact, quantity};
pub use share::Share;
pub use temperature::Temperature;
pub use time::{Days, Hours};
pub use volume::Volume;

/// A quantity that can be read from text with a unit, such as `340 g`.
pub trait Quantity: Sized {
    /// What the trade calls it, for messages: `a mass`.
    const NAME: &'static str;
    /// An example a maker can copy: `340 g`.
    const EXAMPLE: &'static str;

    /// Reads the quantity from text.
    ///
    /// # Errors
    /// A [`Wrong`] that says what is wrong in the trade's words and how to mend it.
    fn parse(text: &str) -> Result<Self, Wrong>;
}
