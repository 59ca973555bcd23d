//! Times every stage from product file to read-back label inside one process: `cargo bench --bench stages`.
//!
//! Each round runs every stage once, so that a change of the machine's speed falls on all alike. Prints medians.

#![allow(
    clippy::disallowed_methods,
    clippy::panic,
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a measurement reads the clock, prints, and stops at the first surprise"
)]

use std::hint::black_box;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};
use std::{env, fs};
use waxbill::find::{Finding, Source};
use waxbill::product::{Fetched, Shelf, Shelves};
use waxbill::trade::Market;
use waxbill::{inspect, law, page, pdf, plan, product, recipe, require, yaml};

/// The sample's files, read before the clock runs.
struct Shed(Vec<(String, Arc<Source>)>);

impl Shed {
    fn open(root: &Path) -> Self {
        let mut files = Vec::new();
        for folder in ["", "products", "materials", "vessels"] {
            let entries = fs::read_dir(root.join(folder)).unwrap().map(|e| e.unwrap().path());
            for path in entries.filter(|p| p.extension().is_some_and(|e| e == "yaml")) {
                let name = format!("{folder}/{}", path.file_stem().unwrap().to_str().unwrap());
                let text = fs::read_to_string(&path).unwrap();
                files.push((name.clone(), Arc::new(Source { name, text })));
            }
        }
        Self(files)
    }

    fn get(&self, name: &str) -> Option<Arc<Source>> {
        self.0.iter().find(|(n, _)| n == name).map(|(_, s)| Arc::clone(s))
    }
}

impl Shelves for Shed {
    fn fetch(&self, shelf: Shelf, name: &str) -> Fetched {
        self.get(&format!("{}/{name}", shelf.folder())).map_or_else(|| Fetched::Missing(Vec::new()), Fetched::Found)
    }
    fn workshop(&self) -> Option<Result<Arc<Source>, Finding>> {
        self.get("/workshop").map(Ok)
    }
}

/// What a stage took, round by round.
struct Stage(&'static str, Vec<Duration>);

struct Clock {
    stages: Vec<Stage>,
    next: usize,
}

impl Clock {
    fn time<T>(&mut self, name: &'static str, work: impl FnOnce() -> T) -> T {
        if self.next == self.stages.len() {
            self.stages.push(Stage(name, Vec::new()));
        }
        let began = Instant::now();
        let made = black_box(work());
        self.stages[self.next].1.push(began.elapsed());
        self.next += 1;
        made
    }
}

fn main() {
    let rounds = env::var("ROUNDS").map_or(200, |n| n.parse().expect("ROUNDS is a whole number"));
    let shed = Shed::open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/quillmere"));
    let source = shed.get("products/low-tide").unwrap();
    let day = jiff::civil::date(2026, 11, 25);
    let mut clock = Clock { stages: Vec::new(), next: 0 };
    for _ in 0..rounds {
        clock.next = 0;
        let nodes = clock.time("YAML parse (product file)", || yaml::read(&source));
        drop(nodes.map_err(|f| f.message).unwrap());
        let (product, _) =
            clock.time("product file, workshop, materials, vessel", || product::read(&source, "low-tide", &shed));
        let product = product.unwrap();
        let template = clock.time("template", || {
            let name = product.label.template.as_deref().unwrap();
            plan::template::read(&plan::template::built_in(name).unwrap()).unwrap()
        });
        drop(clock.time("recipe", || recipe::check(&product)));
        let needs = clock.time("needs", || {
            require::on(
                &product,
                &require::Occasion { market: Market::Us, date: day, lot: Some("26329A4"), weighed: None },
                law::builtin(),
            )
            .map_err(|f| f[0].message.clone())
            .unwrap()
        });
        let plan = clock.time("plan", || plan::of(&needs, &template).unwrap());
        let pages = clock.time("fit", || page::set(&plan).unwrap());
        let about = pdf::About { title: "Low Tide", language: "en", subject: "candle label" };
        let bytes = clock.time("PDF", || pdf::write(&pages, &about).map_err(|f| f.message).unwrap());
        let findings = clock.time("read-back", || inspect::check(&bytes, &plan));
        assert!(findings.iter().all(|f| f.level != waxbill::find::Level::Error), "the label does not read back whole");
    }
    println!("| stage | ms, median | least | most |\n|---|---|---|---|");
    for Stage(name, mut took) in clock.stages {
        took.sort();
        let ms = |d: Duration| d.as_secs_f64() * 1e3;
        println!("| {name} | {:.3} | {:.3} | {:.3} |", ms(took[took.len() / 2]), ms(took[0]), ms(took[took.len() - 1]));
    }
}
