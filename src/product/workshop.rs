//! `workshop.yaml`: who the maker is, the scales at the bench, the usual loss.

use super::logo;
use super::market::{self, Country};
use crate::find::{Finding, Place, Report};
use crate::trade::Market;
use crate::unit::{Length, Mass, Quantity, Share, Wrong};
use crate::yaml::{Form, Node, Value, Words};
use serde::Serialize;
use std::collections::BTreeMap;

/// The maker's bench and address.
#[derive(Debug, Clone, Serialize)]
pub struct Workshop {
    /// Who is answerable.
    pub maker: Maker,
    /// Who answers for the products in a market the maker is not established in.
    pub responsible: BTreeMap<Market, Maker>,
    /// Where the maker usually sells.
    pub markets: Vec<Market>,
    /// Countries of the European Union among them.
    pub countries: Vec<Country>,
    /// The scales, finest last or first as written.
    pub scales: Vec<Scale>,
    /// Share of what is issued that stays in pots and spoons.
    pub loss: Share,
    /// How much one pitcher holds.
    pub pitcher: Option<Mass>,
    /// Paper of the batch sheet.
    pub paper: Paper,
    /// What the printer makes of the rulers of the test page.
    pub printer: Printer,
    /// The logo of all labels that say nothing else.
    pub logo: Option<logo::Wanted>,
}

/// A printer's error in each direction, where it was measured.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Printer {
    /// From left to right.
    pub across: Option<Measured>,
    /// From top to bottom.
    pub down: Option<Measured>,
}

/// What was measured on the test page in one direction.
#[derive(Debug, Clone, Serialize)]
pub struct Measured {
    /// From the paper's edge to where the ruler begins.
    pub starts: Length,
    /// How long the ruler is.
    pub measures: Length,
    /// Where it stands.
    #[serde(skip)]
    pub place: Place,
}

/// Name and place of business.
#[derive(Debug, Clone, Serialize)]
pub struct Maker {
    /// Name under which business is done.
    pub name: String,
    /// Street and number.
    pub street: Option<String>,
    /// Town.
    pub town: String,
    /// State, province or county.
    pub region: Option<String>,
    /// ZIP or postal code.
    pub postcode: String,
    /// Two-letter country code.
    pub country: String,
    /// Telephone.
    pub phone: Option<String>,
    /// Electronic address.
    pub email: Option<String>,
    /// Web address.
    pub web: Option<String>,
    /// Whether the street address stands in a public directory or web site (16 CFR 500.5(c)).
    pub street_listed: bool,
}

/// A scale.
#[derive(Debug, Clone, Serialize)]
pub struct Scale {
    /// What the maker calls it.
    pub name: String,
    /// Its smallest step.
    pub reads_to: Mass,
    /// The most it can weigh.
    pub up_to: Mass,
}

/// Paper in the printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Paper {
    /// 215.9 x 279.4 mm.
    Letter,
    /// 210 x 297 mm.
    A4,
}

impl Words for Paper {
    fn words() -> Vec<(&'static str, Self)> {
        vec![("letter", Self::Letter), ("A4", Self::A4)]
    }
}

const KEYS: &[&str] =
    &["maker", "responsible person", "markets", "scales", "loss", "pitcher", "paper", "printer", "logo"];
const RULER_KEYS: &[&str] = &["starts at", "measures"];
const MAKER_KEYS: &[&str] =
    &["name", "street", "town", "region", "postcode", "country", "phone", "email", "web", "street listed publicly"];

/// Where the maker and the postcode stand, for findings of the rules.
pub(super) fn places(node: &Node) -> Vec<(String, Place)> {
    let entry = |node: &Node, key: &str| match &node.value {
        Value::Map(entries) => entries.iter().find(|(k, _)| k.word == key).cloned(),
        _ => None,
    };
    let Some((key, maker)) = entry(node, "maker") else { return Vec::new() };
    let mut places = vec![("workshop".to_owned(), key.place)];
    places.extend(entry(&maker, "postcode").map(|(_, n)| ("workshop postcode".to_owned(), n.place)));
    places
}

/// Reads a workshop; `None` when something it needs is missing, which is told.
pub(super) fn read(node: &Node, report: &Report) -> Option<Workshop> {
    let form = Form::open(node, "a workshop", KEYS, report)?;
    let maker = form.need("maker", "{name: …, town: …, postcode: …, country: US}").and_then(|n| maker(n, report));
    let (markets, countries) = market::read(&form, report);
    let responsible = responsible(&form, report);
    let mut scales = Vec::new();
    for node in form.list("scales") {
        if let Some(scale) = scale(node, report) {
            scales.push(scale);
        }
    }
    if form.list("scales").is_empty() {
        report.add(
            Finding::input(
                "file/missing-key",
                "a workshop needs at least one scale",
                "add `scales: [{name: bench, reads to: 1 g, up to: 5 kg}]`",
            )
            .at(&form.place(), "`scales` is missing here"),
        );
    }
    let loss = form.quantity::<Share>("loss");
    if let Some(loss) = &loss
        && loss.value > Share::percent(30)
    {
        report.add(
            Finding::input(
                "file/out-of-range",
                format!("a process loss of {} is more than a bench loses", loss.value),
                "write the share left in pots and spoons, usually 1 to 5 %",
            )
            .at(&loss.place, "here"),
        );
    }
    let pitcher = form.quantity::<Mass>("pitcher");
    if let Some(pitcher) = pitcher.as_ref().filter(|p| p.value < Mass::g(10)) {
        report.add(
            Finding::input(
                "file/out-of-range",
                format!("a pitcher of {} holds next to nothing", pitcher.value),
                "write the wax it holds, for example `pitcher: 1.5 kg`",
            )
            .at(&pitcher.place, "here"),
        );
        return None;
    }
    let paper = form.get("paper").and_then(|n| n.word::<Paper>(report)).map(|p| p.value);
    let printer = form.get("printer").map_or_else(Printer::default, |n| printer(n, report));
    let maker = maker?;
    let paper = paper.unwrap_or(if matches!(maker.country.as_str(), "US" | "CA") { Paper::Letter } else { Paper::A4 });
    Some(Workshop {
        maker,
        responsible,
        markets,
        countries,
        scales,
        loss: loss.map_or(Share::ZERO, |l| l.value),
        pitcher: pitcher.map(|p| p.value),
        paper,
        printer,
        logo: form.get("logo").and_then(|n| logo::read(n, report)),
    })
}

/// `printer: {across: {starts at: 20.6 mm, measures: 150.3 mm}, down: …}`.
fn printer(node: &Node, report: &Report) -> Printer {
    let Some(form) = Form::open(node, "a printer", &["across", "down"], report) else { return Printer::default() };
    let measured = |key: &str| {
        let form = Form::open(form.get(key)?, "a measured ruler", RULER_KEYS, report)?;
        let (starts, measures) = (form.need_quantity::<Length>("starts at"), form.need_quantity::<Length>("measures"));
        let measures = measures?;
        Some(Measured { starts: starts?.value, measures: measures.value, place: measures.place })
    };
    Printer { across: measured("across"), down: measured("down") }
}

/// `responsible person: {eu: {name: …}, gb: …}`.
fn responsible(form: &Form<'_>, report: &Report) -> BTreeMap<Market, Maker> {
    let keys = ["eu", "ni", "gb", "us", "ca"];
    let Some(form) =
        form.get("responsible person").and_then(|n| Form::open(n, "a list of responsible persons", &keys, report))
    else {
        return BTreeMap::new();
    };
    let person = |key: &str| Some((Market::from_word(key)?, maker(form.get(key)?, report)?));
    keys.iter().filter_map(|key| person(key)).collect()
}

fn maker(node: &Node, report: &Report) -> Option<Maker> {
    let form = Form::open(node, "the maker", MAKER_KEYS, report)?;
    let text = |key: &str| form.text(key).map(|t| t.value);
    let (name, town, postcode, country) = (
        form.need_text("name", "Quillmere Candle Shed"),
        form.need_text("town", "Quillmere"),
        form.need_text("postcode", "\"00000\""),
        form.need_text("country", "US"),
    );
    let country = country.and_then(|c| {
        let ok = c.value.len() == 2 && c.value.bytes().all(|b| b.is_ascii_uppercase());
        if !ok {
            report.add(
                Finding::input(
                    "file/wrong-word",
                    format!("`{}` is not a country code", c.value),
                    "write the two capital letters of ISO 3166-1: `US`, `CA`, `GB`, `FR` …",
                )
                .at(&c.place, "here"),
            );
        }
        ok.then_some(c.value)
    });
    Some(Maker {
        name: name?.value,
        street: text("street"),
        town: town?.value,
        region: text("region"),
        postcode: postcode?.value,
        country: country?,
        phone: text("phone"),
        email: text("email"),
        web: text("web"),
        street_listed: form.yes_no("street listed publicly").unwrap_or(false),
    })
}

fn scale(node: &Node, report: &Report) -> Option<Scale> {
    let form = Form::open(node, "a scale", &["name", "reads to", "up to"], report)?;
    let (name, reads_to, up_to) =
        (form.need_text("name", "bench"), form.need("reads to", "1 g"), form.need("up to", "5 kg"));
    let (reads_to, up_to) =
        (reads_to.and_then(|n| n.quantity::<Mass>(report)), up_to.and_then(|n| n.quantity::<Mass>(report)));
    let (name, reads_to, up_to) = (name?, reads_to?, up_to?);
    if reads_to.value <= Mass::ZERO || reads_to.value.times(10) > up_to.value {
        let wrong = Wrong::new(
            format!("a scale that reads to {} cannot weigh up to {} with any use", reads_to.value, up_to.value),
            format!(
                "write its smallest step and its most, for example `reads to: {}, up to: 5 kg`",
                Mass::EXAMPLE.replace("340", "1")
            ),
        );
        report.add(
            Finding::input("file/out-of-range", wrong.message, wrong.cure)
                .at(&reads_to.place, "smallest step")
                .at(&up_to.place, "most"),
        );
        return None;
    }
    for (figure, least, most, usual) in [
        (&reads_to, Mass::mg(1), Mass::g(100), "0.1 g to 1 g"),
        (&up_to, Mass::g(1), Mass::g(1_000_000), "500 g to 30 kg"),
    ] {
        if figure.value < least || figure.value > most {
            let message =
                format!("{} is no figure of a bench scale: it goes from {least} to {most}", figure.value.in_g(9));
            let cure = format!("read the plate of the scale; usual is {usual}");
            report.add(Finding::input("file/out-of-range", message, cure).at(&figure.place, "here"));
            return None;
        }
    }
    Some(Scale { name: name.value, reads_to: reads_to.value, up_to: up_to.value })
}
