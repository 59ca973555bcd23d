//! The sample workshop as tests use it.

use std::fs;
use std::path::Path;
use std::sync::Arc;
use waxbill::find::{Finding, Source};
use waxbill::law;
use waxbill::product::{self, Fetched, Product, Shelf, Shelves};
use waxbill::require::{self, Needs, Occasion};
use waxbill::trade::Market;

/// The folder of the sample workshop.
struct Quillmere;

/// A file of it.
pub fn source(name: &str) -> Option<Arc<Source>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/quillmere").join(name);
    fs::read_to_string(path).ok().map(|text| Arc::new(Source { name: name.to_owned(), text }))
}

impl Shelves for Quillmere {
    fn fetch(&self, shelf: Shelf, name: &str) -> Fetched {
        source(&format!("{}/{name}.yaml", shelf.folder())).map_or(Fetched::Missing(Vec::new()), Fetched::Found)
    }
    fn workshop(&self) -> Option<Result<Arc<Source>, Finding>> {
        source("workshop.yaml").map(Ok)
    }
}

/// All products of it.
pub fn samples() -> Vec<Product> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/quillmere/products");
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    assert!(names.len() >= 6);
    let read = |name: &String| read(name.trim_end_matches(".yaml"), &source(&format!("products/{name}")).unwrap());
    names.iter().map(read).collect()
}

/// A product of the sample workshop, with the text of its file.
pub fn read(id: &str, text: &Arc<Source>) -> Product {
    let (product, findings) = product::read(text, id, &Quillmere);
    assert!(findings.is_empty(), "{id}: {findings:?}");
    product.unwrap()
}

/// What a product needs in a market, with or without a lot code.
pub fn needs(product: &Product, market: Market, lot: Option<&str>) -> Needs {
    let at = Occasion { market, date: "2026-11-25".parse().unwrap(), lot, weighed: None };
    require::on(product, &at, law::builtin()).unwrap()
}
