//! The sample workshop with changes, and the way from a product to the bytes of its label.

use std::fs;
use std::path::Path;
use std::sync::Arc;
use waxbill::find::{Finding, Level, Source};
use waxbill::law::{self, Rule};
use waxbill::plan::template::{self, Template};
use waxbill::plan::{self, Content, Item, Plan};
use waxbill::product::{self, Fetched, Product, Shelf, Shelves};
use waxbill::require::{self, Needs, Occasion};
use waxbill::trade::{Lang, Market};
use waxbill::{page, pdf};

pub const CANADA: [Market; 2] = [Market::Ca, Market::CaQc];

/// The folder of the sample workshop, with another `workshop.yaml` where one is given.
#[derive(Default)]
pub struct Quillmere(pub Option<String>);

pub fn text(name: &str) -> Option<String> {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/quillmere").join(name)).ok()
}

pub fn source(name: &str, text: String) -> Arc<Source> {
    Arc::new(Source { name: name.to_owned(), text })
}

impl Shelves for Quillmere {
    fn fetch(&self, shelf: Shelf, name: &str) -> Fetched {
        let name = format!("{}/{name}.yaml", shelf.folder());
        text(&name).map_or(Fetched::Missing(Vec::new()), |t| Fetched::Found(source(&name, t)))
    }
    fn workshop(&self) -> Option<Result<Arc<Source>, Finding>> {
        let text = self.0.clone().or_else(|| text("workshop.yaml"))?;
        Some(Ok(source("workshop.yaml", text)))
    }
}

pub fn read(id: &str, text: String, at: &Quillmere) -> Product {
    let (product, findings) = product::read(&source(&format!("{id}.yaml"), text), id, at);
    product.unwrap_or_else(|| panic!("{findings:#?}"))
}

/// A sample, with one text in its file replaced by another.
pub fn sample(id: &str, from: &str, to: &str) -> Product {
    let whole = text(&format!("products/{id}.yaml")).unwrap();
    assert!(whole.contains(from), "{id} holds `{from}`");
    read(id, whole.replace(from, to), &Quillmere::default())
}

pub fn needs(product: &Product, market: Market) -> Needs {
    let at = Occasion { market, date: "2026-11-25".parse().unwrap(), lot: Some("26329A4"), weighed: None };
    require::on(product, &at, law::builtin()).unwrap_or_else(|f| panic!("{f:#?}"))
}

/// Level and message of what a rule says of a product.
pub fn told(product: &Product, rule: &str) -> Vec<(Level, String)> {
    let needs = needs(product, product.markets[0]);
    needs.findings.into_iter().filter(|f| f.id == rule).map(|f| (f.level, f.message)).collect()
}

pub fn built_in(name: &str) -> Template {
    template::read(&template::built_in(name).unwrap()).unwrap()
}

pub fn own(text: &str) -> Template {
    template::read(&source("own.yaml", text.to_owned())).unwrap()
}

pub fn planned(product: &Product, market: Market) -> Plan {
    plan::of(&needs(product, market), &built_in(product.label.template_for(market).unwrap())).unwrap()
}

pub fn written(plan: &Plan) -> Vec<u8> {
    pdf::write(&page::set(plan).unwrap(), &pdf::About { title: "Label", language: "en", subject: "" }).unwrap()
}

pub fn items(plan: &mut Plan) -> impl Iterator<Item = &mut Item> {
    let cells = plan.parts.iter_mut().flat_map(|p| &mut p.rows).flat_map(|r| &mut r.cells);
    cells.flat_map(|c| &mut c.block.items)
}

pub fn lang(item: &Item) -> Option<Lang> {
    match item.content {
        Content::Text { lang, .. } | Content::AlertText { lang, .. } => Some(lang),
        _ => None,
    }
}

/// The Canadian samples.
pub fn samples() -> Vec<Product> {
    let all = ["eelgrass", "godwit", "periwinkle", "plover", "sandpiper", "tidewrack"];
    all.map(|id| read(id, text(&format!("products/{id}.yaml")).unwrap(), &Quillmere::default())).into()
}

pub fn rules() -> impl Iterator<Item = &'static Rule> {
    law::rules().iter().filter(|r| r.id.starts_with("ca/") || r.id.starts_with("ca-qc/"))
}
