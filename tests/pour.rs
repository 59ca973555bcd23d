//! From the sample workshop's product files to grams, batch sheet and lot, as the command line will join them.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

use jiff::civil::date;
use jiff::tz::Offset;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use waxbill::find::{Finding, Level, Source, plain};
use waxbill::ledger::{Ledger, NewLot, NewPaper, Now, PlannedLine, What};
use waxbill::lot::{BatchSheet, Digest, LotCode, batch_sheet};
use waxbill::product::{Fetched, Product, Shelf, Shelves, read};
use waxbill::recipe::{Pour, pour};

struct Quillmere(PathBuf);

impl Quillmere {
    fn open() -> Self {
        Self(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/quillmere"))
    }
    fn source(&self, name: &str) -> Arc<Source> {
        Arc::new(Source { name: name.to_owned(), text: fs::read_to_string(self.0.join(name)).unwrap() })
    }
    fn product(&self, id: &str) -> Product {
        let (product, findings) = read(&self.source(&format!("products/{id}.yaml")), id, self);
        product.unwrap_or_else(|| panic!("{}", findings.iter().map(plain).collect::<String>()))
    }
}

impl Shelves for Quillmere {
    fn fetch(&self, shelf: Shelf, name: &str) -> Fetched {
        Fetched::Found(self.source(&format!("{}/{name}.yaml", shelf.folder())))
    }
    fn workshop(&self) -> Option<Result<Arc<Source>, Finding>> {
        Some(Ok(self.source("workshop.yaml")))
    }
}

const SAMPLES: [&str; 6] = ["low-tide", "salt-lamp", "night-heron", "dune-grass", "reed-bed", "mudflat"];

fn poured(id: &str, units: u32) -> (Product, Pour, Vec<Finding>) {
    let product = Quillmere::open().product(id);
    let (pour, findings) = pour(&product, units);
    let pour = pour.unwrap_or_else(|| panic!("{id}: {}", findings.iter().map(plain).collect::<String>()));
    (product, pour, findings)
}

#[test]
fn every_sample_can_be_poured_in_a_usual_lot() {
    for id in SAMPLES {
        let (_, pour, findings) = poured(id, 24);
        assert!(findings.iter().all(|f| f.level != Level::Error), "{id}");
        let step = pour.lines.iter().map(|l| l.step.to_ng()).max().unwrap();
        assert!((pour.planned.to_ng() - pour.issue.to_ng()).abs() * 2 <= step, "{id}");
    }
}

/// 24 jars of 9 oz at 8 % of wax with 2 % loss in pitchers of 1.8 kg, by hand: 24 x 255.1457 g / 0.98 = 6248.466 g in
/// four pitchers; oil 6248.466 x 0.08 / 1.08 / 4 = 115.712 g, on the fine scale 115.7 g; the rest is wax.
#[test]
fn low_tide_is_weighed_as_worked_by_hand() {
    let (product, pour, findings) = poured("low-tide", 24);
    assert!(findings.is_empty(), "{}", findings.iter().map(plain).collect::<String>());
    assert_eq!(pour.issue.in_g_fixed(3), "6248.466");
    let sheet = batch_sheet(&product, &pour, &LotCode::parse("26329A4").unwrap());
    let grams: Vec<Vec<&str>> =
        sheet.pitchers.iter().map(|p| p.lines.iter().map(|l| l.grams.as_str()).collect()).collect();
    assert_eq!(grams, [["1447", "115.7"], ["1447", "115.7"], ["1446", "115.7"], ["1446", "115.7"]]);
    assert_eq!((sheet.product.as_str(), sheet.first_sale.as_deref()), ("Low Tide", Some("2026-12-09")));
    assert_eq!(sheet.materials.last().unwrap().role, "vessel");
}

/// Melts and tea lights are sold by the pack: 24 packs of six and of twelve.
#[test]
fn packs_are_poured_by_their_pieces() {
    assert_eq!((poured("dune-grass", 24).1.candles, poured("mudflat", 24).1.candles), (144, 288));
    assert_eq!((poured("reed-bed", 24).1.candles, poured("night-heron", 24).1.candles), (48, 24));
}

#[test]
fn a_poured_sample_is_a_lot_in_the_ledger() {
    let dir = tempfile::tempdir().unwrap();
    let mut ledger = Ledger::open(&dir.path().join("ledger.sqlite")).unwrap();
    for id in SAMPLES {
        let (product, pour, _) = poured(id, 24);
        let paper = |sheet: &BatchSheet| serde_json::to_vec(sheet).unwrap();
        let make = |code: &LotCode| {
            Ok::<_, ()>(NewLot {
                product: product.id.clone(),
                name: product.name.values().next().unwrap().clone(),
                units: pour.units,
                lines: pour
                    .lines
                    .iter()
                    .map(|l| PlannedLine { material: l.material.clone(), name: l.name.clone(), planned: l.planned })
                    .collect(),
                product_hash: Digest::of(
                    product.sources.iter().map(|s| s.text.as_str()).collect::<String>().as_bytes(),
                ),
                label_hash: Digest::of(b""),
                papers: vec![NewPaper {
                    what: What::BatchSheet,
                    name: "batch-sheet.json".to_owned(),
                    bytes: paper(&batch_sheet(&product, &pour, code)),
                }],
                draws: Vec::new(),
                cure_until: None,
                declared: None,
                markets: Vec::new(),
            })
        };
        let now = Now::new("2026-11-25T14:03:00Z".parse().unwrap(), Offset::constant(-5));
        let row = ledger.open_lot(date(2026, 11, 25), now, make, |_, _| Ok(())).unwrap();
        let kept = ledger.paper(&row.papers[0].sha256).unwrap().unwrap();
        assert_eq!(kept, paper(&batch_sheet(&product, &pour, &row.code)));
        assert_eq!(row.lines.iter().map(|l| l.planned).sum::<waxbill::unit::Mass>(), pour.planned);
    }
    assert_eq!(ledger.verify().unwrap().lots, 6);
}
