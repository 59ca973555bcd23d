//! Options of `label` that make pictures, each with its bounds. Part of `args`.

use clap::Args;
use std::path::PathBuf;

/// Pictures of a label.
#[derive(Debug, Args)]
pub struct PictureArgs {
    /// Also write a picture of the label with ruler, cut, free edge, and what was found with its measured height
    #[arg(long, value_name = "FILE.png")]
    pub proof: Option<PathBuf>,
}
