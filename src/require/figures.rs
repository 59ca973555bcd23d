//! The figures a label states: net quantity, panel, trim, session, stop and the rest, and how they are printed.

use super::Occasion;
use super::hazards::Hazards;
use super::net::{self, NetMass};
use super::panel::{self, Panel};
use crate::burn::{self, Claim};
use crate::find::Level;
use crate::law::Rule;
use crate::product::{Code, Fill, Maker, Package, Product};
use crate::trade::{Kind, Lang, Market};
use crate::unit::{Hours, Length, Mass};
use serde::Serialize;

/// What the figure of the net quantity is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Net {
    /// By weight.
    Weight(NetMass),
    /// By count and size, as inches and centimetres: `10 in (25.4 cm)`.
    Size {
        /// Height or length.
        height: String,
        /// Diameter of a pillar.
        diameter: Option<String>,
    },
}

/// Everything computed for one product.
#[derive(Debug, Clone, Serialize)]
pub struct Figures {
    /// Wax, fragrance, dye and additives in one piece.
    pub fill: Mass,
    /// Whether the fill is only an estimate from the vessel's water weight.
    pub fill_is_estimate: bool,
    /// Candles or melts in one unit of sale.
    pub pieces: u32,
    /// The declared quantity; `None` when it is too small to declare.
    pub net: Option<Net>,
    /// What the label is stuck on: the package, else the vessel, else a pillar itself.
    pub container: Option<Package>,
    /// Principal display panel; `None` when its size is not known.
    pub panel: Option<Panel>,
    /// Trim height of the wick.
    pub trim: Option<Length>,
    /// Longest session.
    pub session: Option<Hours>,
    /// Rest before lighting again.
    pub cool: Option<Hours>,
    /// First burn, one hour for each inch of inner width.
    pub first_burn: Option<Hours>,
    /// Wax left when burning stops.
    pub stop: Option<Length>,
    /// Distance between burning candles.
    pub distance: Option<Length>,
    /// The burn time that may be claimed, or why none.
    pub burn_time: BurnTime,
    /// The nominal quantity in grams or kilograms, as printed where metric figures stand alone.
    pub metric: Option<String>,
    /// Classes and label elements, in markets whose labels carry them.
    #[serde(skip)]
    pub hazards: Option<Hazards>,
}

/// The burn time that may be claimed, or why none is stated.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum BurnTime {
    /// Supported by burn tests.
    Claim(Claim),
    /// Not stated, with the reason.
    NotStated(String),
}

impl Figures {
    /// Works out what follows from the product alone.
    #[must_use]
    pub fn of(product: &Product) -> Self {
        let test = product.burn_test.as_ref();
        Self {
            fill: product.fill.mass(),
            fill_is_estimate: matches!(product.fill, Fill::Estimate(_)),
            pieces: product.pieces,
            net: net_of(product),
            container: panel::container(product),
            panel: panel::of(product),
            trim: product.wick.as_ref().and_then(|w| w.trim),
            session: product.care.session.or_else(|| test.and_then(|t| t.session)),
            cool: product.care.cool,
            first_burn: None,
            stop: product.care.stop.or_else(|| test.and_then(|t| t.stop)),
            distance: product.care.distance,
            burn_time: burn_time(product),
            metric: net::metric(declared(product)),
            hazards: None,
        }
    }

    /// Puts in what a market counts in its own way.
    pub(super) fn of_market(&mut self, product: &Product, market: Market) {
        if !market.is_canadian() {
            return;
        }
        self.metric = net::in_canada(declared(product)).map(|(text, _)| text);
        if let Some(panel) = &mut self.panel {
            panel.how = "the displayed side, of a wall without front 40 %, of a lid the whole; C.R.C. c. 417, s. 2";
        }
    }

    /// Fills what the product leaves open with the usual figures of the rules in force.
    pub(super) fn add_usual(&mut self, product: &Product, in_force: &[&'static Rule]) {
        let length = |name: &str| in_force.iter().find_map(|r| r.figure::<Length>(name));
        let hours = |name: &str| in_force.iter().find_map(|r| r.figure::<Hours>(name));
        self.trim = self.trim.or_else(|| length("trim"));
        self.stop = self.stop.or_else(|| length("stop"));
        self.distance = self.distance.or_else(|| length("distance"));
        self.session = self.session.or_else(|| hours("session"));
        self.cool = self.cool.or_else(|| hours("cool"));
        self.first_burn = hours("per inch of diameter").and_then(|each| first_burn(product, each, self.session));
    }

    /// What stands for a placeholder of the wording, in this language; `None` when this product has nothing for it.
    #[must_use]
    pub fn value(&self, placeholder: &str, product: &Product, at: &Occasion<'_>, lang: Lang) -> Option<String> {
        let (maker, lot) = (&product.workshop.maker, at.lot);
        let home = at.market == Market::Us;
        let canada = at.market.is_canadian();
        let either = |length: Length| if canada { metric(length) } else { pair(length) };
        let text = match placeholder {
            "product name" => product.name.get(&lang).or_else(|| product.name.get(&Lang::En))?.clone(),
            "identity" => {
                product.identity.get(&lang).or_else(|| product.identity.get(&Lang::En).filter(|_| home))?.clone()
            }
            "net quantity" => match self.net.as_ref()? {
                Net::Weight(net) => shown(net),
                Net::Size { .. } => return None,
            },
            "count" if !home => counted(product, lang).to_lowercase(),
            "count" => counted(product, lang),
            "height" | "length" => match self.net.as_ref()? {
                Net::Size { height, .. } => height.clone(),
                Net::Weight(_) => return None,
            },
            "diameter" => match self.net.as_ref()? {
                Net::Size { diameter, .. } => diameter.clone()?,
                Net::Weight(_) => return None,
            },
            "maker name" => maker.name.clone(),
            "maker address" => address(product),
            "phone" => unbroken(maker.phone.as_ref()?),
            "trim" => either(self.trim?),
            "session" => hours(self.session?, lang),
            "cool" => hours(self.cool?, lang),
            "first burn" => hours(self.first_burn?, lang),
            "stop" => either(self.stop?),
            "distance" => either(self.distance?),
            "burn hours" => match &self.burn_time {
                BurnTime::Claim(claim) => hours(claim.printed, lang),
                BurnTime::NotStated(_) => return None,
            },
            "lot" => lot.map_or_else(|| "_".repeat(18), str::to_owned),
            "code" => code(product, lang, lot)?,
            "net metric" => self.metric.clone()?,
            "e mark" => "\u{212e}".to_owned(),
            "trim metric" => metric(self.trim?),
            "stop metric" => metric(self.stop?),
            "distance metric" => metric(self.distance?),
            "postal address" if canada => in_full(maker),
            "postal address" => postal(maker),
            "electronic address" => maker.email.clone().or_else(|| maker.web.clone())?,
            "responsible person" => {
                // Quebec is supplied by who answers for Canada.
                let home = if canada { Market::Ca } else { at.market };
                let person = product.workshop.responsible.get(&home)?;
                if canada {
                    return Some(format!("{}, {}", person.name, in_full(person)));
                }
                let reached = person.email.clone().or_else(|| person.web.clone())?;
                let phone = person.phone.as_ref().map_or_else(String::new, |p| format!(", {}", unbroken(p)));
                format!("{}, {}, {reached}{phone}", person.name, postal(person))
            }
            "ufi" => product.ufi?.to_string(),
            "unknown toxicity" => format!("{:.0}\u{a0}%", self.hazards.as_ref()?.found.unknown.to_percent_f64().ceil()),
            "signal word"
            | "hazard statements"
            | "precautionary statements"
            | "supplemental statements"
            | "hazard names" => self.hazards.as_ref()?.value(placeholder, lang)?,
            "cancer chemical" => product.california.as_ref()?.cancer.clone()?,
            "reproductive chemical" => product.california.as_ref()?.reproductive.clone()?,
            _ => return None,
        };
        Some(text)
    }
}

fn net_of(product: &Product) -> Option<Net> {
    match (product.kind, product.size) {
        (Kind::Pillar | Kind::Taper, Some(size)) => {
            let both = |l: Length| {
                net::length(l).map(|(customary, metric)| format!("{}\u{a0}({metric})", customary.to_uppercase()))
            };
            let diameter = if product.kind == Kind::Pillar { Some(both(size.diameter?)?) } else { None };
            Some(Net::Size { height: both(size.height)?, diameter })
        }
        _ => NetMass::declare(declared(product), product.label.first).map(Net::Weight),
    }
}

/// What one unit of sale declares: what the maker fixes, else all that is filled.
fn declared(product: &Product) -> Mass {
    product.declared.unwrap_or_else(|| product.fill.mass().times(product.pieces))
}

/// `9 OZ (255 g)`: customary units in capitals, so that the height of capitals counts (16 CFR 500.21(d)).
fn shown(net: &NetMass) -> String {
    let customary = net.customary.to_uppercase();
    match net.first {
        crate::product::First::Oz => format!("{customary} ({})", net.metric),
        crate::product::First::G => format!("{} ({customary})", net.metric),
    }
}

/// `12 TEA LIGHTS`; in a language whose word for it is not at hand, the number alone.
fn counted(product: &Product, lang: Lang) -> String {
    let (one, several) = match (lang, product.kind) {
        (Lang::En, Kind::TeaLight) => ("TEA LIGHT", "TEA LIGHTS"),
        (Lang::En, Kind::WaxMelt) => ("MELT", "MELTS"),
        (Lang::En, Kind::Votive) => ("VOTIVE CANDLE", "VOTIVE CANDLES"),
        (Lang::En, _) => ("CANDLE", "CANDLES"),
        (Lang::Fr, Kind::TeaLight) => ("bougie chauffe-plat", "bougies chauffe-plat"),
        (Lang::Fr, Kind::WaxMelt) => ("fondant", "fondants"),
        (Lang::Fr, _) => ("bougie", "bougies"),
        _ => return product.pieces.to_string(),
    };
    format!("{}\u{a0}{}", product.pieces, if product.pieces == 1 { one } else { several })
}

/// A house number before its street holds on to it, so that no line ends in it.
fn held(street: &str) -> String {
    if street.starts_with(|c: char| c.is_ascii_digit()) { street.replacen(' ', "\u{a0}", 1) } else { street.to_owned() }
}

/// Street, town with region and postcode, country: all of it.
fn postal(maker: &Maker) -> String {
    let mut parts: Vec<String> = maker.street.iter().map(|s| held(s)).collect();
    let town = maker.region.as_ref().map_or_else(|| maker.town.clone(), |region| format!("{}, {region}", maker.town));
    parts.push(format!("{town}\u{a0}{}", maker.postcode.replace(' ', "\u{a0}")));
    parts.push(maker.country.clone());
    parts.join(", ")
}

/// The same with the country's name: on a label of Canada the code `CA` would be taken for California.
fn in_full(maker: &Maker) -> String {
    let country = match maker.country.as_str() {
        "CA" => "Canada",
        "US" => "USA",
        other => other,
    };
    postal(&Maker { country: country.to_owned(), ..maker.clone() })
}

/// `6 mm`; from 5 cm up whole centimetres as such: `10 cm`.
fn metric(length: Length) -> String {
    let mm = (length.to_raw() + 18_000) / 36_000;
    if mm >= 50 && mm % 10 == 0 { format!("{}\u{a0}cm", mm / 10) } else { format!("{mm}\u{a0}mm") }
}

/// Street only where it is not publicly listed (16 CFR 500.5(c)); town, region, postcode always, a foreign country too.
fn address(product: &Product) -> String {
    let maker = &product.workshop.maker;
    let mut place = maker.town.clone();
    if let Some(region) = &maker.region {
        place = format!("{place}, {region}");
    }
    place = format!("{place}\u{a0}{}", maker.postcode);
    if maker.country != "US" {
        place = format!("{place}, {}", maker.country);
    }
    match &maker.street {
        Some(street) if !maker.street_listed => format!("{}, {place}", held(street)),
        _ => place,
    }
}

/// `3/16 in (5 mm)`: inches in 32nds, millimetres to the nearest whole one.
fn pair(length: Length) -> String {
    const IN: i64 = 914_400;
    let parts = (length.to_raw() * 32 + IN / 2) / IN;
    let (whole, mut num, mut den) = (parts / 32, parts % 32, 32);
    while num > 0 && num % 2 == 0 {
        num /= 2;
        den /= 2;
    }
    let inches = match (whole, num) {
        (w, 0) => w.to_string(),
        (0, _) => format!("{num}/{den}"),
        (w, _) => format!("{w}\u{a0}{num}/{den}"),
    };
    let mm = (length.to_raw() + 18_000) / 36_000;
    format!("{inches}\u{a0}in\u{a0}({mm}\u{a0}mm)")
}

/// `4 hours`, in other languages than English `4 h`.
fn hours(time: Hours, lang: Lang) -> String {
    let number = time.number(1);
    let number = number.strip_suffix(".0").unwrap_or(&number).to_owned();
    match lang {
        Lang::En => format!("{number}\u{a0}{}", if number == "1" { "hour" } else { "hours" }),
        _ => format!("{}\u{a0}h", number.replace('.', ",")),
    }
}

fn unbroken(text: &str) -> String {
    text.replace(' ', "\u{a0}")
}

/// So long for each inch of inner width, rounded up to the half hour. Several wicks melt a wide top sooner, so for them
/// the longest session is enough.
fn first_burn(product: &Product, each: Hours, session: Option<Hours>) -> Option<Hours> {
    let inside = match product.kind {
        Kind::ContainerCandle => product.vessel.as_ref()?.inside?,
        Kind::Pillar => product.size?.diameter?,
        _ => return None,
    };
    let whole = 914_400 * 1800;
    let halves = (i128::from(inside.to_raw()) * i128::from(each.to_seconds()) + whole - 1) / whole;
    let first = Hours::seconds(i64::try_from(halves * 1800).ok()?);
    let several = product.wick.as_ref().is_some_and(|w| w.count > 1);
    Some(session.filter(|_| several).map_or(first, |session| first.min(session)))
}

fn burn_time(product: &Product) -> BurnTime {
    if !product.label.burn_time {
        return BurnTime::NotStated("the product file says `burn time: no`".to_owned());
    }
    let Some(test) = product.burn_test.as_ref().filter(|_| product.kind.burns()) else {
        return BurnTime::NotStated("the product file has no `burn test`".to_owned());
    };
    if let Some(fault) = burn::check(product).into_iter().find(|f| f.level == Level::Error) {
        return BurnTime::NotStated(fault.message);
    }
    burn::claim(&test.hours, test.as_sold).map_or_else(|why| BurnTime::NotStated(why.to_string()), BurnTime::Claim)
}

/// As a part of an address: all but letters, digits and `-._~` as bytes in hexadecimal (RFC 3986, section 2).
fn percent_encoded(text: &str) -> String {
    let byte = |b: u8| match b {
        b'-' | b'.' | b'_' | b'~' => char::from(b).to_string(),
        b if b.is_ascii_alphanumeric() => char::from(b).to_string(),
        b => format!("%{b:02X}"),
    };
    text.bytes().map(byte).collect()
}

/// What the QR code holds.
fn code(product: &Product, lang: Lang, lot: Option<&str>) -> Option<String> {
    let name = product.name.get(&lang).or_else(|| product.name.get(&Lang::En))?;
    let filled = |text: &str| text.replace("{lot}", lot.unwrap_or("")).replace("{product}", &product.id);
    match &product.label.code {
        Code::None => None,
        Code::Url(url) => {
            let part = |text: &str| percent_encoded(text);
            Some(url.replace("{lot}", &part(lot.unwrap_or(""))).replace("{product}", &part(&product.id)))
        }
        Code::Text(text) => Some(filled(text)),
        Code::Lot => {
            let maker = &product.workshop.maker.name;
            Some(lot.map_or_else(|| format!("{name}, {maker}"), |lot| format!("Lot {lot}, {name}, {maker}")))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1/4 in = 6.35 mm, 1/2 in = 12.7 mm, 2 in = 50.8 mm, 3 in = 76.2 mm, 3/16 in = 4.76 mm (1 in = 25.4 mm exactly).
    #[test]
    fn pairs_of_inch_and_millimetre_agree_within_half_a_millimetre() {
        for (length, text) in [
            (Length::inch(1, 4), "1/4 in (6 mm)"),
            (Length::inch(1, 2), "1/2 in (13 mm)"),
            (Length::inch(2, 1), "2 in (51 mm)"),
            (Length::inch(3, 1), "3 in (76 mm)"),
            (Length::inch(3, 16), "3/16 in (5 mm)"),
            (Length::mm(4), "5/32 in (4 mm)"),
            (Length::mm(100), "3 15/16 in (100 mm)"),
        ] {
            assert_eq!(pair(length).replace('\u{a0}', " "), text);
        }
    }

    /// RFC 3986, section 2.3: unreserved characters stay; 2.5: others as UTF-8 bytes.
    #[test]
    fn a_product_in_an_address_is_percent_encoded() {
        assert_eq!(percent_encoded("low tide/é~1"), "low%20tide%2F%C3%A9~1");
    }

    #[test]
    fn hours_are_cut_to_what_is_printed() {
        assert_eq!(hours(Hours::h(4), Lang::En), "4\u{a0}hours");
        assert_eq!(hours(Hours::h(1), Lang::En), "1\u{a0}hour");
        assert_eq!(hours(Hours::seconds(9000), Lang::En), "2.5\u{a0}hours");
    }
}
