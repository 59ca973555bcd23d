//! Pictures of labels on paper: dots of each page for printers, proofs of single pages and of sheets.

use super::Stop;
use super::picture::{self, Picture, named, plain};
use super::picture_args::PictureArgs;
use super::sheet::Done;
use crate::find::Finding;
use crate::inspect::{self, Leaf, Pressed, Stock};
use crate::proof;
use crate::trade::Market;
use crate::unit::Length;
use std::path::{Path, PathBuf};

/// Most dots of all images together, since all are made before the first one is written: an eighth of a byte each, 250 MB.
const MOST_DOTS: f64 = 2e9;
/// What an image counts at least, however few its dots: 2,000 of them are the most.
const LEAST_DOTS: f64 = 1e6;

/// Makes the pictures asked for of a file of labels, which goes to `pdf`; `several` names its market where there are more of
/// them. What is found on the way belongs to the labels.
///
/// # Errors
/// A picture cannot be made, or something else would be lost where it goes.
pub fn of(
    args: &PictureArgs,
    done: &mut Done,
    codes: &[String],
    pdf: &Path,
    several: Option<Market>,
) -> Result<Vec<Picture>, Stop> {
    let mut pictures = Vec::new();
    if let Some(dpi) = args.png {
        let stock = if args.frames_printed { Stock::RedFrames } else { Stock::Blank };
        pictures.extend(dots(done, codes, pdf, dpi, stock)?);
    }
    if let Some(path) = &args.proof {
        let path: PathBuf = several.map_or_else(|| path.clone(), |market| named(path, market.word(), "png"));
        pictures.push(picture::of_proof(path, &done.bytes, &proof_of(done, codes)?)?);
    }
    picture::all_may_be_written(&pictures, &[pdf])?;
    Ok(pictures)
}

fn dots(done: &mut Done, codes: &[String], pdf: &Path, dpi: u32, stock: Stock) -> Result<Vec<Picture>, Stop> {
    let pages = done.asked.len();
    few_enough(&done.asked, dpi)?;
    let (plan, leaves, (across, down)) = (&done.faces, &done.asked[..], done.scale);
    let known = &done.findings[..];
    let asked = Pressed { plan, codes, across, down, leaves, known };
    let made = inspect::leaf_dots(&done.bytes, &asked, dpi, stock).map_err(Stop::of)?;
    let figures = pages.to_string().len();
    let mut pictures = Vec::new();
    for (n, page) in made.iter().enumerate() {
        // A page of its own for each part needs no number.
        let alone = made.iter().filter(|other| other.part == page.part).count() == 1;
        let word = plain(&page.part);
        let word = if alone { word } else { format!("{word}-{:0figures$}", n + 1) };
        pictures.push(picture::of_dots(named(pdf, &word, "png"), page, dpi)?);
    }
    done.findings.extend(made.into_iter().flat_map(|page| page.findings));
    Ok(pictures)
}

/// Refuses images that would take too much memory together, and says how many would not.
fn few_enough(leaves: &[Leaf], dpi: u32) -> Result<(), Stop> {
    let per_mm = f64::from(dpi) / 25.4;
    let dots = |leaf: &Leaf| (leaf.width * leaf.height * per_mm * per_mm).max(LEAST_DOTS);
    let all: f64 = leaves.iter().map(dots).sum();
    if all <= MOST_DOTS {
        return Ok(());
    }
    let mut sum = 0.0;
    let fit = leaves.iter().take_while(|leaf| {
        sum += dots(leaf);
        sum <= MOST_DOTS
    });
    let (pages, fit) = (leaves.len(), fit.count());
    let message = format!("`--png` would write {pages} images, one for each page: more than are made at once");
    let cure = if fit > 0 {
        format!(
            "print at most {fit} of these pages at {dpi} dots per inch at once: fewer with `--count`, or a shorter \
             `--serial`; or choose fewer dots per inch"
        )
    } else {
        "choose fewer dots per inch".to_owned()
    };
    Err(Stop::input(Finding::input("sheet/no-picture", message, cure)))
}

/// Pages of one label: the first of each part, as a label alone. Sheets: where each label stands.
fn proof_of(done: &Done, codes: &[String]) -> Result<proof::Proof, Stop> {
    let printed = done.faces.printed();
    let first = |part: usize| done.leaves.iter().position(|leaf| leaf.spots.iter().any(|spot| spot.part == part));
    let single = done.leaves.iter().all(|leaf| leaf.spots.len() == 1 && leaf.sheet.is_none());
    if single {
        let on: Vec<usize> = (0..printed.len()).filter_map(first).collect();
        let leaf = on.first().and_then(|&n| done.leaves.get(n));
        let bleed = leaf.map_or(Length::ZERO, |leaf| leaf.bleed);
        let paper = on.iter().filter_map(|&n| done.leaves.get(n)).map(|leaf| leaf.edge).max().unwrap_or(Length::ZERO);
        return proof::of_pages(&done.bytes, &done.faces, &on, bleed, paper).map_err(Stop::input);
    }
    let told = |leaf: usize, placed: &inspect::Placed| {
        let spot =
            done.leaves.get(leaf).and_then(|l| l.spots.iter().find(|s| usize::try_from(s.unit) == Ok(placed.unit)));
        let position = spot.and_then(|s| s.position).map_or_else(String::new, |n| format!("{n}: "));
        let name = printed.get(placed.part).map_or("", |printed| printed.name);
        let unit = codes.get(placed.unit).map_or_else(String::new, |code| format!(" {code}"));
        format!("{position}{name}{unit}, {:.2} x {:.2} mm in", placed.left, placed.top)
    };
    Ok(proof::of_sheets(&done.faces, &done.asked, told))
}
