//! Products for the tests of later rooms, read by the real reader from a text in one piece.

use super::{Fetched, Product, Shelf, Shelves, read};
use crate::find::{Source, plain};
use std::sync::Arc;

struct NoShelves;

impl Shelves for NoShelves {
    fn fetch(&self, _: Shelf, _: &str) -> Fetched {
        Fetched::Missing(Vec::new())
    }
    fn workshop(&self) -> Option<Result<Arc<Source>, crate::find::Finding>> {
        None
    }
}

/// A votive with this recipe and fill; `bench` is put into the workshop.
pub fn product(recipe: &str, fill: &str, bench: &str) -> Product {
    let bench = if bench.is_empty() {
        "scales: [{name: bench, reads to: 1 g, up to: 5 kg}, {name: fine, reads to: 0.1 g, up to: 500 g}], loss: 2 %"
    } else {
        bench
    };
    written(&format!(
        "kind: votive\npackage: {{box: {{width: 60 mm, height: 60 mm}}}}\nwick: {{type: cotton, metal core: none}}\n\
         fill: {fill}\nrecipe: {recipe}\nworkshop: {{maker: {{name: Quillmere Candle Shed, town: Quillmere, postcode: '00000', country: US}}, {bench}}}\n"
    ))
}

/// The product with these keys beside its names.
pub fn written(keys: &str) -> Product {
    let text = format!("product: Low Tide\nidentity: Candle\nmarkets: [us]\n{keys}");
    let source = Arc::new(Source { name: "low-tide.yaml".into(), text });
    let (product, findings) = read(&source, "low-tide", &NoShelves);
    product.unwrap_or_else(|| panic!("{}", findings.iter().map(plain).collect::<Vec<_>>().join("\n")))
}
