//! Opens a product with its workshop and template; the common beginning of most commands.

use super::args::ProductArgs;
use super::files::{self, Workshop};
use super::{Answer, Stop};
use crate::find::{self, Finding};
use crate::law::Book;
use crate::lot::LotCode;
use crate::plan::template::{self, Template};
use crate::product::{self, Product};
use crate::require::{self, Needs, Occasion};
use crate::trade::{Lang, Market};
use crate::{burn, font, law, recipe};
use jiff::{Zoned, civil::Date};
use std::path::{Path, PathBuf};

/// A product read from its file.
pub struct Opened {
    /// The product.
    pub product: Product,
    /// Findings of reading it that did not stop it.
    pub findings: Vec<Finding>,
    /// Its workshop.
    pub workshop: Workshop,
}

/// This moment, by this machine's clock and time zone.
#[expect(clippy::disallowed_methods, reason = "the one place where the clock is read")]
pub fn now() -> Zoned {
    Zoned::now()
}

/// Today, by this machine's clock and time zone.
pub fn today() -> Date {
    now().date()
}

/// Reads the product.
pub fn product(args: &ProductArgs) -> Result<Opened, Stop> {
    let path = typed(&args.product);
    let source = files::read(&path)?;
    let workshop = Workshop::around(&path);
    let id = path.file_stem().and_then(|s| s.to_str()).unwrap_or("product").to_owned();
    let (product, findings) = product::read(&source, &id, &workshop);
    match product {
        Some(product) => Ok(Opened { product, findings, workshop }),
        None => Err(Stop::of(findings)),
    }
}

/// `low-tide` inside a workshop means `products/low-tide.yaml`.
pub(super) fn typed(path: &Path) -> PathBuf {
    if path.exists() || path.extension().is_some() || path.components().count() != 1 {
        return path.to_path_buf();
    }
    let named = Path::new("products").join(path).with_extension("yaml");
    if named.is_file() { named } else { path.to_path_buf() }
}

/// Materials whose names the batch sheet could not be printed with: told before a lot is opened.
pub fn unprintable(product: &Product) -> Vec<Finding> {
    let face = font::face(font::FaceId::Normal);
    let odd = |name: &str| name.chars().find(|c| !face.has(*c));
    let told = |line: &product::Line| {
        let ch = odd(&line.material.name)?;
        let message = format!(
            "the character `{ch}` (U+{:04X}) of `{}` is in none of the faces the batch sheet is printed with",
            u32::from(ch),
            line.material.name
        );
        let cure =
            "write the material's name with letters of the Latin, Greek or Cyrillic alphabet and usual punctuation";
        Some(Finding::input("form/character", message, cure).at(&line.material.place, "this material"))
    };
    product.recipe.iter().filter_map(told).collect()
}

/// The markets asked for: one, or all of the product's.
pub fn markets(args: &ProductArgs, product: &Product) -> Vec<Market> {
    args.market.map_or_else(|| product.markets.clone(), |m| vec![m])
}

/// A lot code of this day: for finding out whether a label fits before there is a lot.
pub fn specimen(on: Date) -> Option<String> {
    LotCode::new(on, 'A').map(|code| code.to_string())
}

/// The built-in rules with the workshop's own words for other languages: `wording/de.yaml` and the like.
pub fn book(opened: &Opened) -> Result<Book, Stop> {
    let folder = opened.workshop.root.as_ref().map(|r| r.join("wording")).filter(|f| f.is_dir());
    let Some(folder) = folder else { return Ok(*law::builtin()) };
    let mut own = Vec::new();
    for lang in Lang::ALL {
        let path = folder.join(format!("{lang}.yaml"));
        if !path.is_file() {
            continue;
        }
        let source = files::read(&path)?;
        let told = |faults: Vec<law::Fault>| {
            let finding = |f: &law::Fault| Finding::input("file/own-wording", f.to_string(), "mend the line it names");
            Stop::Input(faults.iter().map(finding).collect())
        };
        own.extend(law::own_wording(*lang, &source.name, &source.text).map_err(told)?);
    }
    Ok(law::builtin().with_wording(own))
}

/// The needs of one market, with the findings of the recipe among them.
pub fn needs(opened: &Opened, market: Market, on: Date, lot: Option<&str>) -> Result<Needs, Stop> {
    needs_on(opened, &Occasion { market, date: on, lot, weighed: None })
}

/// The same for a lot that is weighed: its classes follow from the grams as rounded.
pub fn needs_on(opened: &Opened, at: &Occasion<'_>) -> Result<Needs, Stop> {
    let mut needs = require::on(&opened.product, at, &book(opened)?).map_err(Stop::of)?;
    let (_, of_recipe) = recipe::check(&opened.product);
    needs.findings.extend(of_recipe);
    needs.findings.extend(burn::check(&opened.product));
    require::accepted(&opened.product, &mut needs.findings, law::builtin());
    needs.findings.extend(opened.findings.iter().cloned());
    needs.findings.sort_by_key(|f| f.level);
    Ok(needs)
}

/// The template the product names, from the workshop or built in; else the usual one of its kind.
pub fn template(opened: &Opened, market: Market) -> Result<Template, Stop> {
    let product = &opened.product;
    let name = product.label.template_for(market).unwrap_or(template::usual_for(product.kind, market));
    let plain = !name.is_empty() && !name.contains(['/', '\\', ':']) && !name.starts_with('.');
    let own = opened.workshop.root.as_ref().filter(|_| plain).map(|r| r.join("templates").join(format!("{name}.yaml")));
    let source = match own.filter(|p| p.is_file()) {
        Some(path) => files::read(&path)?,
        None => template::built_in(name).ok_or_else(|| Stop::input(no_template(name, product)))?,
    };
    template::read(&source).map_err(Stop::Input)
}

fn no_template(name: &str, product: &Product) -> Finding {
    let names: Vec<&str> = template::BUILT_IN.iter().map(|(n, _)| *n).collect();
    let near = find::nearest(name, &names).map_or_else(String::new, |n| format!("did you mean `{n}`? "));
    Finding::input(
        "file/no-template",
        format!("there is no template `{name}`, neither in the workshop's `templates` folder nor built in"),
        format!("{near}built in are `{}`", names.join("`, `")),
    )
    .at(product.places.of("label"), "named here")
}

/// Several answers one after the other; a JSON list when there is more than one.
pub fn joined(parts: &[String], json: bool, found: bool) -> Answer {
    let text = match (json, parts) {
        (true, [one]) => format!("{one}\n"),
        (true, many) => format!("[{}]\n", many.join(",\n")),
        (false, many) => many.join("\n"),
    };
    Answer { text, found }
}
