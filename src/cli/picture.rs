//! Pictures of a label, made from the bytes that were read back: the proof, and one bit a dot for printers.

use super::make::Made;
use super::picture_args::PictureArgs;
use super::{Stop, files};
use crate::find::Finding;
use crate::inspect::{self, Dots, Stock};
use crate::pixel;
use crate::proof::{self, Proof};
use crate::trade::Market;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// How every PNG begins (ISO/IEC 15948, 5.2).
const PNG: [&[u8]; 1] = [b"\x89PNG\r\n\x1a\n"];

/// A picture that is made, and not yet written.
pub struct Picture {
    path: PathBuf,
    bytes: Vec<u8>,
    /// What it shows, for people and for scripts.
    told: String,
    json: Value,
}

impl Picture {
    pub const fn new(path: PathBuf, bytes: Vec<u8>, told: String, json: Value) -> Self {
        Self { path, bytes, told, json }
    }
}

/// Makes the pictures asked for of one label, whose PDF goes to `pdf`; `several` names its market where there are more of
/// them. What is found on the way belongs to the label.
///
/// # Errors
/// A picture cannot be made, or something else would be lost where it goes.
pub fn of(args: &PictureArgs, label: &mut Made, pdf: &Path, several: Option<Market>) -> Result<Vec<Picture>, Stop> {
    let mut pictures: Vec<Picture> = Vec::new();
    if let Some(dpi) = args.png {
        let stock = if args.frames_printed { Stock::RedFrames } else { Stock::Blank };
        for dots in inspect::dots(&label.bytes, &label.plan, dpi, stock).map_err(Stop::of)? {
            let path = named(pdf, &plain(&dots.part), "png");
            pictures.push(of_dots(path, &dots, dpi)?);
            label.findings.extend(dots.findings);
        }
    }
    if let Some(path) = &args.proof {
        let path = several.map_or_else(|| path.clone(), |market| named(path, market.word(), "png"));
        let proof = proof::of_label(&label.bytes, &label.plan).map_err(Stop::input)?;
        pictures.push(of_proof(path, &label.bytes, &proof)?);
    }
    all_may_be_written(&pictures, &[pdf])?;
    Ok(pictures)
}

/// The proof of a PDF, as a picture.
pub fn of_proof(path: PathBuf, pdf: &[u8], proof: &Proof) -> Result<Picture, Stop> {
    let bytes = proof::draw(pdf, proof).map_err(Stop::input)?;
    let json = json!({ "file": path, "proof": true });
    Ok(Picture { path, bytes, told: "proof with ruler and measured heights, not for print".to_owned(), json })
}

/// One bit a dot, as a picture.
pub fn of_dots(path: PathBuf, dots: &Dots, dpi: u32) -> Result<Picture, Stop> {
    // Dots per metre (11.3.4.3), of 25.4 mm to the inch, to the nearest.
    let per_metre = (dpi * 10_000 + 127) / 254;
    let bytes = pixel::one_bit(dots.width, dots.height, &dots.bits, per_metre).map_err(Stop::input)?;
    let told = format!("`{}` in {} x {} dots at {dpi} per inch", dots.part, dots.width, dots.height);
    let json = json!({ "file": path, "part": dots.part, "dpi": dpi, "width": dots.width, "height": dots.height });
    Ok(Picture { path, bytes, told, json })
}

/// Refuses pictures that would take the place of each other, of these other files, or of something that is no picture.
pub fn all_may_be_written(pictures: &[Picture], others: &[&Path]) -> Result<(), Stop> {
    for (n, picture) in pictures.iter().enumerate() {
        files::may_replace(&picture.path, &PNG)?;
        let path = picture.path.as_path();
        if others.contains(&path) || pictures[..n].iter().any(|p| p.path == path) {
            return Err(Stop::input(Finding::input(
                "file/would-be-lost",
                format!("two files would be called `{}`", path.display()),
                "name the PDF or the proof otherwise, or the parts of the template; nothing was written",
            )));
        }
    }
    Ok(())
}

/// Writes them; tells where they are, for people and for scripts.
pub fn write(pictures: &[Picture]) -> Result<(String, Vec<Value>), Stop> {
    let mut told = String::new();
    for picture in pictures {
        files::write(&picture.path, &picture.bytes)?;
        told += &format!("{}: {}\n", picture.path.display(), picture.told);
    }
    Ok((told, pictures.iter().map(|p| p.json.clone()).collect()))
}

/// The path with a word before its ending: `low-tide-us-front.png`.
pub fn named(path: &Path, word: &str, ending: &str) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!("{stem}-{word}.{ending}"))
}

/// A name as part of a file's.
pub fn plain(name: &str) -> String {
    let kept = |c: char| if c.is_alphanumeric() || c == '-' || c == '_' { c } else { '-' };
    name.chars().map(kept).take(60).collect()
}
