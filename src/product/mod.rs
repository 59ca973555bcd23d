//! Workshop, material, vessel and product files to checked types; after `yaml`, before `recipe` and `require`.
//!
//! [`read`] takes texts, never paths: the command line finds the files and hands them in.

mod canada;
mod composition;
mod counted;
#[cfg(test)]
pub(crate) mod example;
mod file;
mod lines;
pub mod logo;
mod market;
mod material;
mod mixture;
mod parts;
mod vessel;
mod workshop;

pub use canada::{Canada, Local};
pub use composition::Substance;
pub use counted::{Counted, Piece, Thing, is_piece, read_piece};
pub use file::{read, read_workshop};
pub use market::{Country, countries};
pub use material::{Material, Role, SafetySheet, read_material};
pub use mixture::{MixtureFile, mixture as mixture_in, read_mixture};
pub use vessel::{Package, Vessel, VesselMaterial};
pub use workshop::{Maker, Measured, Paper, Printer, Scale, Workshop};

use crate::find::{Finding, Place, Source};
use crate::hazard::ufi::Ufi;
use crate::trade::{Kind, Lang, Market};
use crate::unit::{Days, Hours, Length, Mass, Share};
use crate::yaml::{At, Words};
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A text in one or more languages.
pub type Texts = BTreeMap<Lang, String>;

/// What is sold, with everything it is made of.
#[derive(Debug, Clone)]
pub struct Product {
    /// Name of its file without the ending; names it in the ledger.
    pub id: String,
    /// Kind of candle.
    pub kind: Kind,
    /// Fancy name, by language.
    pub name: Texts,
    /// Common name (`Scented candle`), by language.
    pub identity: Texts,
    /// Where it is sold.
    pub markets: Vec<Market>,
    /// Countries of the European Union among them.
    pub countries: Vec<Country>,
    /// Unique formula identifier, where the maker has one.
    pub ufi: Option<Ufi>,
    /// Precautionary statements the maker chose, by code, instead of the program's choice.
    pub precautions: Vec<At<String>>,
    /// Whether the packs are filled and checked under the average system and bear the mark.
    pub e_mark: bool,
    /// What only Canada asks.
    pub canada: Canada,
    /// The vessel it is poured into and sold in.
    pub vessel: Option<Vessel>,
    /// The sales package, where it is not the vessel itself: its panel carries the label.
    pub package: Option<Package>,
    /// Size of a candle without vessel.
    pub size: Option<Size>,
    /// Candles or melts in one unit of sale.
    pub pieces: u32,
    /// The wick; none for melts.
    pub wick: Option<Wick>,
    /// Mass of wax, fragrance, dye and additives in one piece.
    pub fill: Fill,
    /// The declared net mass of one unit of sale, where the maker fixes it.
    pub declared: Option<Mass>,
    /// What goes in.
    pub recipe: Vec<Line>,
    /// What is counted: wicks, lids, label stock, boxes.
    pub counted: Vec<Counted>,
    /// Burn tests, in short.
    pub burn_test: Option<BurnTest>,
    /// Figures of the care sentences that differ from the usual ones.
    pub care: Care,
    /// How the label is made.
    pub label: Label,
    /// The maker's logo, the label's own or else the workshop's.
    pub logo: Option<logo::Printed>,
    /// The warning of California the maker declares.
    pub california: Option<California>,
    /// Rest between pour and sale.
    pub cure: Option<Days>,
    /// Findings the maker has weighed and accepts, with the reason.
    pub accept: Vec<Accept>,
    /// Who makes it and with what.
    pub workshop: Workshop,
    /// The product file itself and every file it drew on, for its content hash.
    pub sources: Vec<Arc<Source>>,
    /// Places of keys, for later findings.
    pub places: Places,
}

/// Places of the values that later findings point at.
#[derive(Debug, Clone)]
pub struct Places {
    /// The first key of the product file.
    pub product: Place,
    /// By key name: `fill`, `kind`, `vessel`, `net quantity`, `wick`, `burn test`, `label`, ...
    pub keys: BTreeMap<String, Place>,
}

impl Places {
    /// The place of `key`, or of the product.
    #[must_use]
    pub fn of(&self, key: &str) -> &Place {
        self.keys.get(key).unwrap_or(&self.product)
    }
}

/// Of what a load is a share.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Basis {
    /// Of the wax alone ("fragrance load").
    Wax,
    /// Of wax and oil together ("fragrance content").
    Total,
}

impl Basis {
    /// `wax` or `total`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Wax => "wax",
            Self::Total => "total",
        }
    }
}

impl Words for Basis {
    fn words() -> Vec<(&'static str, Self)> {
        vec![("wax", Self::Wax), ("total", Self::Total)]
    }
}

/// A share with its basis.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Load {
    /// How much.
    pub share: Share,
    /// Of what.
    pub of: Basis,
}

/// One line of a recipe.
#[derive(Debug, Clone)]
pub struct Line {
    /// What it is.
    pub material: Arc<Material>,
    /// The role it plays here (usually the material's own).
    pub role: Role,
    /// For waxes: its part of the wax, `None` for a single wax. For the rest: the load.
    pub amount: Amount,
    /// Where the line stands.
    pub place: Place,
}

/// How much of a line there is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Amount {
    /// The wax base, or what the other waxes leave of it.
    Rest,
    /// A part of the wax base, for blends made at the bench.
    PartOfWax(Share),
    /// A load on its stated basis.
    Load(Load),
}

/// How much goes into one piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fill {
    /// A weighed target.
    Target(Mass),
    /// Guessed from the vessel's water weight: 0.86 of it (common practice, no source). Never enough for a label.
    Estimate(Mass),
}

impl Fill {
    /// The mass, however it is known.
    #[must_use]
    pub const fn mass(self) -> Mass {
        match self {
            Self::Target(mass) | Self::Estimate(mass) => mass,
        }
    }
}

/// Size of a candle that stands without a vessel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Size {
    /// Across at the widest.
    pub diameter: Option<Length>,
    /// Height of a pillar, length of a taper, without the wick.
    pub height: Length,
}

/// What a wick is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum WickType {
    /// Flat or crossed wood.
    Wood,
    /// Braided cotton.
    Cotton,
    /// Paper or paper-cored cotton.
    Paper,
    /// Hemp.
    Hemp,
}

impl WickType {
    /// The spelling used in files and rules.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::words().iter().find(|(_, v)| *v == self).map_or("", |(w, _)| w)
    }
}

impl Words for WickType {
    fn words() -> Vec<(&'static str, Self)> {
        vec![("wood", Self::Wood), ("cotton", Self::Cotton), ("paper", Self::Paper), ("hemp", Self::Hemp)]
    }
}

/// The metal in a wick's core.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum MetalCore {
    /// None.
    None,
    /// Zinc.
    Zinc,
    /// Tin.
    Tin,
    /// Anything else.
    Other,
}

impl MetalCore {
    /// The spelling used in files and rules.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::words().iter().find(|(_, v)| *v == self).map_or("", |(w, _)| w)
    }
}

impl Words for MetalCore {
    fn words() -> Vec<(&'static str, Self)> {
        vec![("none", Self::None), ("zinc", Self::Zinc), ("tin", Self::Tin), ("other", Self::Other)]
    }
}

/// The wick.
#[derive(Debug, Clone, Serialize)]
pub struct Wick {
    /// What it is made of.
    pub kind: WickType,
    /// How many in one candle.
    pub count: u32,
    /// Width of a wooden wick.
    pub width: Option<Length>,
    /// Metal core; `None` where the file does not say.
    pub metal_core: Option<MetalCore>,
    /// Lead in the metal core, as the wick's maker declares it.
    pub lead: Option<Share>,
    /// Trim height used in the burn test and printed.
    pub trim: Option<Length>,
}

/// What the maker's burn tests showed.
#[derive(Debug, Clone)]
pub struct BurnTest {
    /// Hours of each candle burnt to its stop line.
    pub hours: Vec<Hours>,
    /// Wax left at the stop line.
    pub stop: Option<Length>,
    /// Hours of one session.
    pub session: Option<Hours>,
    /// Whether recipe, wick and vessel were those sold.
    pub as_sold: bool,
    /// Where it stands.
    pub place: Place,
}

/// Figures of the care sentences, where the maker's tests gave others than the usual ones.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Care {
    /// Longest session.
    pub session: Option<Hours>,
    /// Wax left when burning stops.
    pub stop: Option<Length>,
    /// Distance between burning candles.
    pub distance: Option<Length>,
    /// Rest before lighting again.
    pub cool: Option<Hours>,
}

/// How the label is made.
#[derive(Debug, Clone)]
pub struct Label {
    /// Name of the template.
    pub template: Option<String>,
    /// Names of templates for single markets.
    pub templates: BTreeMap<Market, String>,
    /// Which figure of the net quantity comes first.
    pub first: First,
    /// What the QR code holds.
    pub code: Code,
    /// Whether a burn time that the tests support is printed.
    pub burn_time: bool,
    /// The logo of this product, if it says.
    pub logo: Option<logo::Wanted>,
}

impl Label {
    /// The template named for this market, else the one for all; what is named for Canada holds in Quebec too.
    #[must_use]
    pub fn template_for(&self, market: Market) -> Option<&str> {
        let of = |market| self.templates.get(&market);
        let canada = || market.is_canadian().then(|| of(Market::Ca)).flatten();
        of(market).or_else(canada).or(self.template.as_ref()).map(String::as_str)
    }
}

/// Which figure of the net quantity is declared; the other one is derived from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum First {
    /// Ounces or pounds.
    Oz,
    /// Grams or kilograms.
    G,
}

impl Words for First {
    fn words() -> Vec<(&'static str, Self)> {
        vec![("oz", Self::Oz), ("g", Self::G)]
    }
}

/// What the QR code holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Code {
    /// No code.
    None,
    /// Lot code, product and maker as plain text.
    Lot,
    /// The maker's own address, `{lot}` and `{product}` filled in.
    Url(String),
    /// Any text, `{lot}` and `{product}` filled in.
    Text(String),
}

/// The California warning a maker declares; the program never decides whether one is due.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct California {
    /// A chemical listed for cancer.
    pub cancer: Option<String>,
    /// A chemical listed for reproductive harm.
    pub reproductive: Option<String>,
}

/// A finding the maker accepts.
#[derive(Debug, Clone)]
pub struct Accept {
    /// Which rule.
    pub rule: String,
    /// Why.
    pub because: String,
    /// Where it stands.
    pub place: Place,
}

/// The folders of a workshop a product may draw on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shelf {
    /// `materials/`.
    Materials,
    /// `vessels/`.
    Vessels,
}

impl Shelf {
    /// Name of the folder.
    #[must_use]
    pub const fn folder(self) -> &'static str {
        match self {
            Self::Materials => "materials",
            Self::Vessels => "vessels",
        }
    }
}

/// What looking on a shelf gave.
#[derive(Debug, Clone)]
pub enum Fetched {
    /// The file.
    Found(Arc<Source>),
    /// No file of that name; these are there.
    Missing(Vec<String>),
    /// The file could not be read.
    Failed(Finding),
}

/// The files a product may draw on, handed in by the command line.
pub trait Shelves {
    /// The file of this name on this shelf.
    fn fetch(&self, shelf: Shelf, name: &str) -> Fetched;
    /// The workshop file, if the product lies in a workshop.
    fn workshop(&self) -> Option<Result<Arc<Source>, Finding>>;
    /// The bytes of a picture that lies beside the workshop file; `None` if there is none of that name.
    fn picture(&self, _name: &str) -> Option<Result<Vec<u8>, Finding>> {
        None
    }
}
