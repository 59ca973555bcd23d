//! `new`: a small workshop that works at once.

use super::args::NewArgs;
use super::files;
use super::{Answer, Stop};
use crate::find::Finding;
use crate::plan::template::BUILT_IN;
use std::fs;

/// The files of the small workshop, from the invented one in `samples`.
const FILES: &[(&str, &str)] = &[
    ("workshop.yaml", include_str!("../../samples/quillmere/workshop.yaml")),
    ("products/low-tide.yaml", include_str!("../../samples/quillmere/products/low-tide.yaml")),
    ("products/dune-grass.yaml", include_str!("../../samples/quillmere/products/dune-grass.yaml")),
    ("materials/harbour-soy-blend.yaml", include_str!("../../samples/quillmere/materials/harbour-soy-blend.yaml")),
    ("materials/headland-paraffin.yaml", include_str!("../../samples/quillmere/materials/headland-paraffin.yaml")),
    ("materials/kelp-and-cedar.yaml", include_str!("../../samples/quillmere/materials/kelp-and-cedar.yaml")),
    ("materials/marram-and-rain.yaml", include_str!("../../samples/quillmere/materials/marram-and-rain.yaml")),
    ("vessels/straight-jar-73.yaml", include_str!("../../samples/quillmere/vessels/straight-jar-73.yaml")),
];

/// Runs the command: into a folder beside it first, then renamed, so that it is there whole or not at all.
pub fn run(args: &NewArgs) -> Result<Answer, Stop> {
    let folder = &args.folder;
    let failed = |e: &dyn std::fmt::Display| {
        Stop::Machine(format!(
            "`{}` cannot be made: {e}; check who may write there, and the room on the disk",
            folder.display()
        ))
    };
    if folder.is_symlink() {
        return Err(Stop::input(Finding::input(
            "file/not-a-folder",
            format!("`{}` is a link", folder.display()),
            "name a folder that does not exist yet; nothing was touched",
        )));
    }
    if let Ok(mut entries) = fs::read_dir(folder) {
        if entries.next().is_some() {
            return Err(Stop::input(Finding::input(
                "file/folder-in-use",
                format!("`{}` is there already and not empty", folder.display()),
                "name a folder that does not exist yet; nothing in this one was touched",
            )));
        }
    } else if folder.exists() {
        return Err(Stop::input(Finding::input(
            "file/not-a-folder",
            format!("`{}` is a file", folder.display()),
            "name a folder",
        )));
    }
    let parent = folder.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(std::path::Path::new("."));
    fs::create_dir_all(parent).map_err(|e| failed(&e.kind()))?;
    let made = tempfile::Builder::new().prefix(".waxbill-").tempdir_in(parent).map_err(|e| failed(&e.kind()))?;
    let templates = BUILT_IN.iter().map(|(name, text)| (format!("templates/{name}.yaml"), *text));
    for (name, text) in FILES.iter().map(|(name, text)| ((*name).to_owned(), *text)).chain(templates) {
        let path = made.path().join(name);
        if let Some(shelf) = path.parent() {
            fs::create_dir_all(shelf).map_err(|e| failed(&e.kind()))?;
        }
        files::write(&path, text.as_bytes())?;
    }
    files::open_to_all(made.path());
    if folder.is_dir() {
        fs::remove_dir(folder).map_err(|e| failed(&e.kind()))?;
    }
    fs::rename(made.path(), folder).map_err(|e| failed(&e.kind()))?;
    let _ = made.keep();
    files::sync_folder(parent);
    let shown = folder.display();
    Ok(Answer::fine(format!(
        "{shown}: a workshop with two products. Write your own name and address into {shown}/workshop.yaml, then try\n  \
         waxbill needs {shown}/products/low-tide.yaml\n  waxbill label {shown}/products/low-tide.yaml\n  \
         waxbill pour {shown}/products/low-tide.yaml --count 6\n"
    )))
}
