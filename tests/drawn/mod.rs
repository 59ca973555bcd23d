//! Labels drawn by a stranger: statements set line under line on two pages, by no code of the program, with faults to order.
//!
//! What is drawn comes from the needs of a sample; how it is laid out and written shares nothing with `page` and `pdf`.

#![allow(
    dead_code,
    unused_imports,
    clippy::assigning_clones,
    clippy::disallowed_methods,
    clippy::many_single_char_names,
    clippy::redundant_closure_for_method_calls,
    clippy::semicolon_if_nothing_returned,
    clippy::struct_excessive_bools,
    clippy::too_many_lines,
    clippy::unwrap_used,
    clippy::panic,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    reason = "each user takes what it needs; a test stops at the first surprise; sizes are those of a label"
)]

pub mod faults;
pub mod json;
pub mod pdf;
mod setting;
mod symbols;

pub use setting::{Line, Sheet, advance, set};
use std::fs;
use std::path::Path;
use std::sync::Arc;
use waxbill::find::{Finding, Level, Source};
use waxbill::law;
use waxbill::product::{self, Fetched, Product, Shelf, Shelves};
use waxbill::require::{self, Needs, Occasion};
use waxbill::trade::{BlockName, Lang, Market, Measure, Sign};

/// The day on which the rules are read.
pub const DAY: &str = "2026-11-25";
/// A lot code that holds together: 25 November 2026 is day 329 (ISO 8601), its check character by ISO 7064 MOD 37,36.
pub const LOT: &str = "26329A4";

/// The folder of the sample workshop.
struct Quillmere;

fn source(name: &str) -> Option<Arc<Source>> {
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

/// A sample product with what its label needs.
pub fn sample(name: &str, market: Market) -> (Product, Needs) {
    let (product, _) = product::read(&source(&format!("products/{name}.yaml")).unwrap(), name, &Quillmere);
    let product = product.unwrap();
    let at = Occasion { market, date: DAY.parse().unwrap(), lot: Some(LOT), weighed: None };
    let needs = require::on(&product, &at, law::builtin()).unwrap();
    (product, needs)
}

/// Samples of all kinds and markets.
pub const SAMPLES: &[(&str, Market)] = &[
    ("low-tide", Market::Us),
    ("salt-lamp", Market::Us),
    ("night-heron", Market::Us),
    ("dune-grass", Market::Us),
    ("reed-bed", Market::Us),
    ("mudflat", Market::Us),
    ("sea-thrift", Market::Gb),
    ("sea-thrift", Market::Ni),
    ("sea-thrift", Market::Eu),
    ("samphire", Market::Gb),
    ("samphire", Market::Eu),
    ("curlew", Market::Eu),
    ("spindrift", Market::Gb),
    ("plover", Market::Ca),
    ("eelgrass", Market::Ca),
    ("tidewrack", Market::CaQc),
    ("godwit", Market::CaQc),
];

/// One statement before it is set.
#[derive(Debug, Clone)]
pub struct Statement {
    /// The requirement: `us/care-trim#trim wooden wick`.
    pub id: String,
    /// Which statement.
    pub key: String,
    pub lang: Lang,
    pub text: String,
    /// On the front.
    pub front: bool,
    /// At the foot of the front.
    pub foot: bool,
    pub bold: bool,
    pub alert: bool,
    /// Em in mm, so that its letters are as high as asked for.
    pub em: f64,
    /// A least height is asked for.
    pub measured: bool,
    pub measure: Measure,
    /// A quarter turned, where it stands at the foot.
    pub turned: bool,
    pub rgb: [f64; 3],
    /// Width of letters, 100 being that of the font.
    pub stretch: f64,
    /// Not painted.
    pub unpainted: bool,
    /// Moved from where it would stand.
    pub shift: [f64; 2],
    /// A bar is drawn through it.
    pub struck: bool,
    /// A white line is drawn over it.
    pub whited: bool,
    /// Other words run through it, at a slant.
    pub crossed: bool,
    /// Degrees anticlockwise by which its line climbs.
    pub slant: f64,
}

/// A pictogram or sign.
#[derive(Debug, Clone)]
pub struct Picture {
    pub id: String,
    pub sign: Sign,
    pub side: f64,
    pub rgb: [f64; 3],
    /// Degrees off its point or side.
    pub turn: f64,
    /// Drawn without its symbol.
    pub empty: bool,
    /// Drawn with the symbol of another hazard.
    pub other: bool,
}

/// A code for telephones.
#[derive(Debug, Clone)]
pub struct Qr {
    pub payload: String,
    pub module: f64,
    /// A letter stands in its quiet zone.
    pub crowded: bool,
}

/// How the lines of the back are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dress {
    /// Flush left, one statement below the other.
    Plain,
    /// Maker and lot along the edge, a quarter turn to the left.
    Turned,
    /// Maker and lot round a circle.
    Curved,
    /// Narrow and justified: wide gaps between words.
    Justified,
    /// Narrow, words parted by hyphens at the ends of lines.
    Hyphens,
    /// Letters spaced out by a fifth of the em.
    Spaced,
    /// All capitals, but for what is measured on its small letters.
    Capitals,
    /// Typographic quotes, ligatures and bullets.
    Typographic,
}

impl Dress {
    pub const ALL: [Self; 8] = [
        Self::Plain,
        Self::Turned,
        Self::Curved,
        Self::Justified,
        Self::Hyphens,
        Self::Spaced,
        Self::Capitals,
        Self::Typographic,
    ];

    /// As the table names it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Plain => "flush left",
            Self::Turned => "maker and lot a quarter turned",
            Self::Curved => "maker and lot round a circle",
            Self::Justified => "narrow and justified",
            Self::Hyphens => "hyphens at line ends",
            Self::Spaced => "letters spaced out",
            Self::Capitals => "all capitals",
            Self::Typographic => "quotes, ligatures, bullets",
        }
    }
}

/// A label before it is set.
#[derive(Debug, Clone)]
pub struct Label {
    pub dress: Dress,
    pub sample: String,
    pub market: Market,
    pub statements: Vec<Statement>,
    pub pictures: Vec<Picture>,
    pub qr: Option<Qr>,
    pub front: [f64; 2],
    pub back_width: f64,
}

/// Heights of Helvetica in thousandths of the em: capitals 718, figures 703, `o` 538, `x` 523 (Adobe's font metrics).
fn em_for(least: f64, measure: Measure) -> f64 {
    let share = match measure {
        Measure::Capital | Measure::NetQuantity | Measure::Figure | Measure::FigureOverText => 0.70,
        Measure::LowerO => 0.52,
        Measure::LowerX => 0.51,
    };
    least / share * 1.06
}

/// The label a careful stranger would draw.
pub fn good(name: &str, market: Market) -> Label {
    let (_, needs) = sample(name, market);
    let mut label = Label {
        sample: name.to_owned(),
        market,
        statements: Vec::new(),
        pictures: Vec::new(),
        qr: None,
        front: [100.0, 100.0],
        back_width: 150.0,
        dress: Dress::Plain,
    };
    for r in needs.requirements.iter().filter(|r| r.block != BlockName::ShippingBox) {
        if !r.signs.is_empty() {
            let side = r.least.map_or(5.0, |l| l.to_mm_f64()).max(5.0);
            // A fifteenth of 52 x 74 mm is a square of 16.02 mm (CLP, Annex I, 1.2.1.3).
            let side = if r.signs.iter().any(|s| s.ghs().is_some()) { 16.2_f64.max(side) } else { side + 0.2 };
            label.pictures.extend(r.signs.iter().map(|sign| Picture {
                id: r.id.clone(),
                sign: *sign,
                side,
                rgb: if sign.ghs().is_some() { [0.85, 0.1, 0.1] } else { [0.0; 3] },
                turn: 0.0,
                empty: false,
                other: false,
            }));
            continue;
        }
        for (n, lang) in needs.languages.iter().enumerate() {
            let Some(text) = r.texts.get(lang) else { continue };
            if needs.languages[..n].iter().any(|l| r.texts.get(l) == Some(text)) {
                continue;
            }
            if r.block == BlockName::Code {
                label.qr = Some(Qr { payload: text.clone(), module: 0.5, crowded: false });
                continue;
            }
            let least = r.least.map_or(0.0, |l| l.to_mm_f64());
            let (least, measure) = if least > 0.0 { (least, r.measure) } else { (1.45, Measure::Capital) };
            label.statements.push(Statement {
                id: r.id.clone(),
                key: r.statement.to_owned(),
                lang: *lang,
                text: text.clone(),
                front: r.principal
                    || matches!(r.block, BlockName::ProductName | BlockName::Identity | BlockName::NetQuantity),
                foot: r.block == BlockName::NetQuantity,
                bold: r.bold,
                alert: r.alert_symbol,
                em: em_for(least.max(1.45), measure),
                measured: r.least.is_some(),
                measure: r.measure,
                turned: false,
                rgb: [0.0; 3],
                stretch: 100.0,
                unpainted: false,
                shift: [0.0; 2],
                struck: false,
                whited: false,
                crossed: false,
                slant: 0.0,
            });
        }
    }
    label
}

/// A label with one fault.
pub struct Seeded {
    /// The kind of fault, a row of the table.
    pub fault: &'static str,
    /// Its number in the list of slips of the trade, where it stands there.
    pub slip: Option<u8>,
    /// What was changed, for the list of what was missed.
    pub what: String,
    /// Ids of the findings that tell it; a rule stands for its statements too (`us/lot-code` for `us/lot-code#lot`).
    pub told_by: Vec<String>,
    /// Its proper answer is a note, for a label may be so.
    pub noted: bool,
    pub label: Label,
}

impl Seeded {
    /// Whether one of the findings names the fault. One that the good label has too tells nothing.
    pub fn is_told(&self, findings: &[Finding], good: &[Finding]) -> bool {
        let names = |id: &str| {
            let of = |by: &String| id.strip_prefix(by.as_str()).is_some_and(|r| r.is_empty() || r.starts_with('#'));
            self.told_by.iter().any(of)
        };
        findings
            .iter()
            .filter(|f| (f.level == Level::Note) == self.noted)
            .filter(|f| !good.iter().any(|g| g.id == f.id && g.message == f.message))
            .any(|f| names(&f.id))
    }
}
