//! Pictures of a label, made from the bytes that were read back: the proof, and one bit a dot for printers.

use super::make::Made;
use super::picture_args::PictureArgs;
use super::{Stop, files};
use crate::proof;
use crate::trade::Market;
use crate::unit::Length;
use std::path::{Path, PathBuf};

/// How every PNG begins (ISO/IEC 15948, 5.2).
const PNG: [&[u8]; 1] = [b"\x89PNG\r\n\x1a\n"];

/// Pictures that are made, and not yet written.
pub struct Pictures<'a> {
    args: &'a PictureArgs,
    files: Vec<(PathBuf, Vec<u8>)>,
}

impl<'a> Pictures<'a> {
    pub const fn new(args: &'a PictureArgs) -> Self {
        Self { args, files: Vec::new() }
    }

    /// Makes the pictures asked for of one label. `several` names its market where there are more of them.
    pub fn of(&mut self, label: &Made, _pdf: &Path, several: Option<Market>) -> Result<(), Stop> {
        if let Some(path) = &self.args.proof {
            let path = several.map_or_else(|| path.clone(), |market| named(path, market.word()));
            let proof = proof::of_label(&label.bytes, &label.plan, Length::ZERO).map_err(Stop::input)?;
            let png = proof::draw(&label.bytes, &proof).map_err(Stop::input)?;
            self.add(path, png)?;
        }
        Ok(())
    }

    fn add(&mut self, path: PathBuf, bytes: Vec<u8>) -> Result<(), Stop> {
        files::may_replace(&path, &PNG)?;
        self.files.push((path, bytes));
        Ok(())
    }

    /// Writes all; says where.
    pub fn write(self) -> Result<Vec<PathBuf>, Stop> {
        self.files.into_iter().map(|(path, bytes)| files::write(&path, &bytes).map(|()| path)).collect()
    }
}

/// The path with a word before its ending: `low-tide-us.png`.
fn named(path: &Path, word: &str) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let end = path.extension().map_or_else(|| "png".into(), |e| e.to_string_lossy());
    path.with_file_name(format!("{stem}-{word}.{end}"))
}
