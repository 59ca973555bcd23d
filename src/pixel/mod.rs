//! Dots to a PNG file: colour for screens, one bit for printers. Knows neither labels nor PDF.

mod write;

pub use write::{colour, one_bit};
