//! Options of `label` that make pictures, each with its bounds. Part of `args`.

use clap::Args;
use std::path::PathBuf;

/// Pictures of a label.
#[derive(Debug, Args)]
pub struct PictureArgs {
    /// Also write a picture of the label with ruler, cut, free edge, and what was found with its measured height
    #[arg(long, value_name = "FILE.png")]
    pub proof: Option<PathBuf>,
    /// Also write a one-bit image of each part for a thermal printer with so many dots per inch: 203, 300, 600
    #[arg(long, value_name = "DPI", value_parser = dots_per_inch)]
    pub png: Option<u32>,
    /// The labels in the printer bear the red frames of hazard pictograms already; leave them out of the image
    #[arg(long, requires = "png")]
    pub frames_printed: bool,
}

/// Coarser than 100 no code could be read; finer than 1200 no printer of labels is.
fn dots_per_inch(text: &str) -> Result<u32, String> {
    let number = text.parse::<u32>().ok().filter(|n| (100..=1200).contains(n));
    number.ok_or_else(|| "write the printer's dots per inch, 100 to 1200: usual are 203, 300 and 600".to_owned())
}
