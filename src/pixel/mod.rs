//! Dots to a PNG file and back: colour for screens, one bit for printers. Knows neither labels nor PDF.

mod read;
mod write;

pub use read::{Shades, Unread, read};
pub use write::{colour, one_bit};
