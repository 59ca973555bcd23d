//! `label --list`: the templates there are, with a picture each.

use super::files::{self, Workshop};
use super::picture::{self, Picture};
use super::picture_args::PictureArgs;
use super::{Answer, Stop, listed};
use crate::find::{self, Finding};
use crate::plan::Shape;
use crate::plan::template::{self, BUILT_IN, Template};
use crate::proof;
use serde_json::json;
use std::fs;
use std::path::{Path, PathBuf};

/// A template and where it is from; `None` is the program itself.
struct Listed {
    template: Template,
    file: Option<PathBuf>,
}

/// Runs `label --list`.
pub fn list(args: &PictureArgs, json: bool) -> Result<Answer, Stop> {
    let (all, mut findings) = every()?;
    let mut pictures = Vec::new();
    if let Some(folder) = &args.pictures {
        for one in &all {
            let path = folder.join(format!("{}.png", picture::plain(&one.template.name)));
            match proof::of_template(&one.template) {
                Ok((bytes, shown)) => {
                    let png = proof::draw(&bytes, &shown).map_err(Stop::input)?;
                    let json = json!({ "file": path, "template": one.template.name });
                    pictures.push(Picture::new(path, png, format!("picture of `{}`", one.template.name), json));
                }
                Err(found) => findings.extend(found),
            }
        }
        picture::all_may_be_written(&pictures, &[])?;
        fs::create_dir_all(folder).map_err(|e| {
            Stop::Machine(format!("`{}` cannot be made: {}; check who may write there", folder.display(), e.kind()))
        })?;
    }
    let (written, shown) = picture::write(&pictures)?;
    let found = !findings.is_empty();
    if json {
        let list: Vec<_> = findings.iter().map(find::json).collect();
        let all: Vec<_> = all.iter().map(json_of).collect();
        let value = json!({ "templates": all, "pictures": shown, "findings": list });
        return Ok(Answer { text: format!("{value:#}\n"), found });
    }
    let mut text = listed(&findings);
    for one in &all {
        text += &told(one);
    }
    text += &written;
    text +=
        "Name one in a product with `label: {template: NAME}`; copy one into your `templates` folder to change it.\n";
    Ok(Answer { text, found })
}

/// Those of the workshop one stands in, which go before those of the program with the same name, then the program's.
fn every() -> Result<(Vec<Listed>, Vec<Finding>), Stop> {
    let (mut all, mut findings, mut names) = (Vec::new(), Vec::new(), Vec::new());
    let folder = Workshop::around(Path::new("products")).root.map(|root| root.join("templates"));
    if let Some(folder) = folder.filter(|f| f.is_dir()) {
        for name in files::yaml_names(&folder) {
            let path = folder.join(format!("{name}.yaml"));
            match files::read(&path).map_err(Stop::into_finding).map(|source| template::read(&source)) {
                Ok(Ok(mut template)) => {
                    // Products name the file.
                    template.name.clone_from(&name);
                    all.push(Listed { template, file: Some(path) });
                }
                Ok(Err(found)) => findings.extend(found),
                Err(finding) => findings.push(finding),
            }
            names.push(name);
        }
    }
    for (name, _) in BUILT_IN.iter().filter(|(name, _)| !names.iter().any(|n| n == name)) {
        let source =
            template::built_in(name).ok_or_else(|| Stop::Machine(format!("no template `{name}` is built in")))?;
        all.push(Listed { template: template::read(&source).map_err(Stop::Input)?, file: None });
    }
    Ok((all, findings))
}

fn told(one: &Listed) -> String {
    let Listed { template, file } = one;
    let from = file.as_ref().map_or_else(|| "built in".to_owned(), |f| f.display().to_string());
    let mut text = format!("{} ({from})\n", template.name);
    if !template.about.is_empty() {
        text += &format!("  {}\n", template.about);
    }
    let kinds: Vec<&str> = template.suits.iter().map(|k| k.word()).collect();
    text += &format!("  for: {}\n", if kinds.is_empty() { "any kind".to_owned() } else { kinds.join(", ") });
    for part in &template.parts {
        let principal = if part.principal { ", the side shown to the customer" } else { "" };
        text += &format!("  {:<8} {}{principal}\n", part.name, measures(part.shape));
    }
    text + "\n"
}

fn measures(shape: Shape) -> String {
    let (width, height) = (shape.width().in_mm(1), shape.height().in_mm(1));
    match shape {
        Shape::Circle { diameter } => format!("a circle of {}", diameter.in_mm(1)),
        Shape::Rectangle { .. } => format!("{} x {height}", width.trim_end_matches(" mm")),
        Shape::Rounded { corner, .. } => {
            format!("{} x {height}, corners {}", width.trim_end_matches(" mm"), corner.in_mm(1))
        }
    }
}

fn json_of(one: &Listed) -> serde_json::Value {
    let parts: Vec<_> = one
        .template
        .parts
        .iter()
        .map(|p| {
            let blocks: Vec<&str> = p.rows.iter().flat_map(|r| &r.cells).map(|c| c.block.word()).collect();
            json!({
                "part": p.name, "principal": p.principal, "width_mm": p.shape.width().to_mm_f64(),
                "height_mm": p.shape.height().to_mm_f64(), "round": matches!(p.shape, Shape::Circle { .. }), "blocks": blocks,
            })
        })
        .collect();
    let template = &one.template;
    json!({ "template": template.name, "about": template.about, "suits": template.suits, "file": one.file, "parts": parts })
}
