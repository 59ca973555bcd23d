//! Checks that print nothing: figures of the product held against the rules that name a limit.
//!
//! Each check runs only while its rule is in force, and takes severity and evidence from the rule's row.

use super::figures::{BurnTime, Figures, Net};
use crate::find::{Finding, Level, Place};
use crate::hazard::pack;
use crate::law::Rule;
use crate::product::{Fill, MetalCore, Package, Product, Role};
use crate::trade::Kind;
use crate::unit::{Days, Hours, Length, Mass, Share, Temperature, Volume};
use jiff::civil::Date;

pub(super) struct Desk<'a> {
    pub product: &'a Product,
    pub figures: &'a Figures,
    in_force: &'a [&'static Rule],
    findings: &'a mut Vec<Finding>,
}

impl Desk<'_> {
    /// The rule, while it is in force for this product.
    pub fn rule(&self, id: &str) -> Option<&'static Rule> {
        self.in_force.iter().copied().find(|r| r.id == id)
    }

    /// Adds a finding under a rule, at a key of the product file; nothing while the rule is not in force.
    pub fn tell(&mut self, rule: &str, level: Level, key: &str, message: String, cure: &str) {
        let place = self.product.places.of(key).clone();
        self.tell_at(rule, level, &place, "here", message, cure);
    }

    /// The same at any place of the maker's files.
    fn tell_at(&mut self, rule: &str, level: Level, place: &Place, label: &str, message: String, cure: &str) {
        let Some(rule) = self.rule(rule) else { return };
        let finding = Finding::of(rule.id, level, rule.severity, Some(rule.seen()), message, cure);
        self.findings.push(finding.at(place, label));
    }

    /// A second place for the finding told last.
    fn also(&mut self, place: &Place, label: &str) {
        if let Some(finding) = self.findings.last_mut() {
            finding.places.push((place.clone(), label.to_owned()));
        }
    }
}

/// Runs every check.
pub(super) fn run(
    product: &Product,
    figures: &Figures,
    in_force: &[&'static Rule],
    date: Date,
    findings: &mut Vec<Finding>,
) {
    let mut desk = Desk { product, figures, in_force, findings };
    quantity(&mut desk);
    vessel(&mut desk);
    package(&mut desk);
    words(&mut desk);
    fluid_ounces(&mut desk);
    wick(&mut desk);
    burning(&mut desk);
    temperatures(&mut desk);
    bergamot(&mut desk);
    chemicals(&mut desk, date);
    sheets(&mut desk, date);
    address(&mut desk);
    super::canada::run(&mut desk, date);
}

fn quantity(desk: &mut Desk<'_>) {
    let filled = desk.product.fill.mass().times(desk.product.pieces);
    match &desk.figures.net {
        None => desk.tell(
            "us/net-quantity-dual",
            Level::Error,
            "fill",
            "the quantity is too small to be declared in both systems, or a size is missing".to_owned(),
            "check `fill`, `pieces` and `size`",
        ),
        Some(Net::Weight(net)) if filled + Mass::ng(1) < net.larger() => {
            let message = format!(
                "the label would declare {} ({}), and {} are filled",
                plain(&net.customary),
                plain(&net.metric),
                filled.in_g(2)
            );
            desk.tell(
                "us/fill-covers-declaration",
                Level::Error,
                "net quantity",
                message,
                "raise `fill`, or declare less with `net quantity`",
            );
        }
        Some(_) => {}
    }
    if matches!(desk.product.fill, Fill::Estimate(_)) {
        let message = format!("the fill is only estimated from the vessel's water weight: about {}", filled.in_g(0));
        desk.tell(
            "practice/vessel-estimate",
            Level::Error,
            "fill",
            message,
            "pour one candle to the line, weigh the wax in it, and write that as `fill`",
        );
    }
}

fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
}

fn vessel(desk: &mut Desk<'_>) {
    let Some(vessel) = &desk.product.vessel else { return };
    let fill = desk.product.fill.mass();
    if let (Some(water), Fill::Target(_), Some(rule)) =
        (vessel.water, desk.product.fill, desk.rule("practice/vessel-water-band"))
        && let (Some(least), Some(most)) = (number(rule, "least"), number(rule, "most"))
        && let share = fill.to_g_f64() / water.to_g_f64()
        && !(least..=most).contains(&share)
    {
        let (level, why) = if share > most {
            (Level::Error, "wax floats on water, so it cannot weigh more".to_owned())
        } else {
            (Level::Warning, format!("wax to the same line weighs at least {least} of it"))
        };
        let message = format!("a fill of {} stands against {} of water: {why}", fill.in_g(1), water.in_g(1));
        let cure = "weigh the water and the fill again; a jar's fluid ounces are not the weight of its wax";
        desk.tell(rule.id, level, "fill", message, cure);
        desk.also(&vessel.place, "water weighed in this vessel");
    }
    if let Some(holds) = vessel.holds
        && fill.to_g_f64() > holds.to_ml_f64()
    {
        let message = format!(
            "a fill of {} does not go into a vessel of {}: no wax is denser than water",
            fill.in_g(0),
            holds.in_ml(0)
        );
        desk.tell(
            "practice/net-not-capacity",
            Level::Error,
            "fill",
            message,
            "weigh the wax of one candle; the capacity is not its net weight",
        );
    } else if let (Some(holds), Some(rule)) = (vessel.holds, desk.rule("practice/net-not-capacity"))
        && let Some(most) = number(rule, "most grams per ml")
        && fill.to_g_f64() > holds.to_ml_f64() * most
    {
        let message = format!(
            "a fill of {} is nearly the capacity of the vessel, {}: wax is lighter than water",
            fill.in_g(0),
            holds.in_ml(0)
        );
        desk.tell(
            rule.id,
            Level::Warning,
            "fill",
            message,
            "weigh the wax of one candle; the capacity is not its net weight",
        );
    }
}

/// A fill of as many ounces as the vessel has fluid ounces is the oldest slip of the trade.
fn fluid_ounces(desk: &mut Desk<'_>) {
    let Some(holds) = desk.product.vessel.as_ref().and_then(|v| v.holds) else { return };
    let ounces = desk.product.fill.mass().to_g_f64() / Mass::oz(1).to_g_f64();
    let same = |per: Volume| (ounces - holds.to_ml_f64() / per.to_ml_f64()).abs() < 0.01 * ounces;
    if same(Volume::US_FL_OZ) || same(Volume::IMPERIAL_FL_OZ) {
        let message = format!(
            "the fill, {}, has as many ounces as the vessel has fluid ounces",
            desk.product.fill.mass().in_oz(2)
        );
        desk.tell(
            "practice/fluid-ounce",
            Level::Warning,
            "fill",
            message,
            "weigh the wax of one candle: to the same line it weighs about a tenth less than water",
        );
    }
}

/// A plain number among a rule's figures.
fn number(rule: &Rule, name: &str) -> Option<f64> {
    rule.figure_text(name)?.parse().ok()
}

fn wick(desk: &mut Desk<'_>) {
    let Some(wick) = &desk.product.wick else { return };
    match (wick.metal_core, wick.lead) {
        (None, _) => desk.tell_metal_unknown(),
        (Some(MetalCore::None), _) => {}
        _ if desk.rule("us/wick-lead").is_none() => {}
        (Some(core), None) => {
            let message = format!("the wick has a core of {}, and its lead is not declared", core.word());
            desk.tell("us/wick-lead", Level::Error, "wick", message, "ask the supplier for the lead in percent of the core and write it as `lead: 0.01 %`; over 0.06 % is banned");
        }
        (Some(_), Some(lead)) => {
            let most = desk.rule("us/wick-lead").and_then(|r| r.figure::<Share>("most"));
            if let Some(most) = most.filter(|most| lead > *most) {
                let message = format!("the wick's core holds {lead} lead; more than {most} is banned");
                desk.tell("us/wick-lead", Level::Error, "wick", message, "do not use this wick");
            }
        }
    }
}

impl Desk<'_> {
    /// A wick whose core is not declared counts as having none for the words, but the maker is asked.
    fn tell_metal_unknown(&mut self) {
        let message = "the file does not say whether the wick has a metal core".to_owned();
        self.tell(
            "practice/wick-core-known",
            Level::Warning,
            "wick",
            message,
            "add `metal core: none`, or `zinc`, `tin` with the lead the supplier declares",
        );
    }
}

fn burning(desk: &mut Desk<'_>) {
    if !desk.product.kind.burns() {
        return;
    }
    if let (Some(first), Some(session)) = (desk.figures.first_burn, desk.figures.session)
        && first > session
    {
        let message = format!(
            "a first burn of one hour for each inch takes {} h, and the longest session is {} h",
            first.number(1),
            session.number(1)
        );
        desk.tell(
            "practice/first-burn-session",
            Level::Warning,
            "wick",
            message,
            "use more wicks, or a narrower vessel, or tested session hours in `care: {session: …}`",
        );
    }
    if let BurnTime::NotStated(why) = &desk.figures.burn_time {
        let message = format!("no burn time is stated: {why}");
        let cure = if desk.product.burn_test.is_none() {
            "the label is complete without; to state one, give the hours of at least three candles burnt to their stop line in `burn test`"
        } else {
            "the label is complete without; to state one, mend `burn test`"
        };
        desk.tell("practice/burn-claim-evidence", Level::Note, "burn test", message, cure);
    }
    let Some(test) = &desk.product.burn_test else { return };
    let differs = |care: Option<String>, tested: Option<String>| matches!((care, tested), (Some(c), Some(t)) if c != t);
    let care = &desk.product.care;
    if differs(care.session.map(|s| s.to_string()), test.session.map(|s| s.to_string()))
        || differs(care.stop.map(|s| s.to_string()), test.stop.map(|s| s.to_string()))
    {
        desk.tell(
            "practice/figures-as-tested",
            Level::Warning,
            "care",
            "the care figures differ from those of the burn test".to_owned(),
            "print what was tested, or repeat the test with these figures",
        );
    }
    if !test.as_sold {
        desk.tell(
            "practice/load-as-tested",
            Level::Warning,
            "burn test",
            "the burn test was made with another recipe than the one sold".to_owned(),
            "repeat it with wax, load, wick and vessel as sold, then write `recipe: as sold`",
        );
    }
    if test.hours.iter().any(|h| *h < Hours::seconds(600) || *h > Hours::h(1000)) {
        desk.tell(
            "practice/burn-claim-evidence",
            Level::Warning,
            "burn test",
            "a candle that burnt less than ten minutes or more than 1000 hours is probably a slip of the pen"
                .to_owned(),
            "check the hours",
        );
    }
}

fn temperatures(desk: &mut Desk<'_>) {
    let limit =
        |desk: &Desk<'_>, name: &str| desk.rule("practice/pot-temperature").and_then(|r| r.figure::<Temperature>(name));
    let (warm, hot) = (limit(desk, "warn above"), limit(desk, "refuse above"));
    let lines: Vec<_> = desk.product.recipe.iter().map(|l| l.material.clone()).collect();
    let hottest =
        lines.iter().filter(|m| m.role == Role::Wax).filter_map(|m| m.add_at.map(|a| a.1).or(m.max_temperature)).max();
    for material in &lines {
        let highest = [material.max_temperature, material.add_at.map(|t| t.1), material.pour_at.map(|t| t.1)]
            .into_iter()
            .flatten()
            .max();
        if let Some(highest) = highest.filter(|t| warm.is_some_and(|warm| *t > warm)) {
            let level = if hot.is_some_and(|hot| highest > hot) { Level::Error } else { Level::Warning };
            let message = format!("{} is brought to {highest}", material.name);
            let cure = "check the figure and its unit (F or C); wax needs less, and above 120 °C it becomes dangerous";
            desk.tell_at("practice/pot-temperature", level, &material.place, "in this material", message, cure);
        }
        if let (Some(flash), Some(add)) = (material.flash_point, hottest)
            && material.role == Role::Fragrance
            && add >= flash
        {
            let message = format!("{} is added at {add}, at or above its flash point of {flash}", material.name);
            let cure = "no flame or glowing heater within reach, lid on, a short stir";
            desk.tell_at("practice/flash-point", Level::Note, &material.place, "this fragrance", message, cure);
        }
    }
}

/// What the law on chemicals asks of the package and of the letters, beside what is printed.
fn chemicals(desk: &mut Desk<'_>, date: Date) {
    let Some(hazards) = &desk.figures.hazards else { return };
    let (whole, text) = (&hazards.whole, hazards.has_text());
    let due = pack::fastening(&whole.pairs(), whole.law, true).unwrap_or_default();
    let letters = pack::letters(whole.law, date, super::facts::capacity(desk.product));
    if !due.child_resistant.is_empty() {
        let message = format!("`{}` asks for a closure that children cannot open", due.child_resistant.join("`, `"));
        desk.tell(
            "eu/clp-closure",
            Level::Warning,
            "recipe",
            message,
            "sell it in such a package, or change the recipe; no label stands for it",
        );
    }
    if !due.tactile.is_empty() {
        let message = format!("`{}` asks for a warning mark that can be felt", due.tactile.join("`, `"));
        desk.tell(
            "eu/clp-tactile",
            Level::Warning,
            "recipe",
            message,
            "put a raised triangle on the package (EN ISO 11683), or change the recipe",
        );
    }
    if text && !letters.unsettled.is_empty() {
        let least = if letters.required { "the law fixes" } else { "no law fixes yet; good sense asks for" };
        let message = format!(
            "height of letters on {date}: an x-height of {}, which {least}; {}",
            letters.x_height.in_mm(1),
            letters.unsettled
        );
        let rule = if letters.required { "eu/clp-letters" } else { "eu/clp-legible" };
        desk.tell(rule, Level::Note, "markets", message, "read the law again before a large print run");
    }
}

/// 16 CFR 1500.13: products with 2 percent or more of oil of bergamot.
fn bergamot(desk: &mut Desk<'_>) {
    // CAS numbers of bergamot oil, from memory.
    const CAS: [&str; 3] = ["8007-75-8", "89957-91-5", "68648-33-9"];
    let Some(from) = desk.rule("us/bergamot").and_then(|r| r.figure::<Share>("from")) else { return };
    let Ok(formula) = crate::recipe::formula(desk.product) else { return };
    let mut total = 0_i64;
    for line in &formula.lines {
        let Some(sheet) = &line.material.sheet else { continue };
        let share = line.of_total.share();
        for substance in &sheet.composition {
            let named = substance.name.to_lowercase().contains("bergamot");
            if named || substance.cas.as_deref().is_some_and(|c| CAS.contains(&c)) {
                let part = i128::from(substance.percent.1.to_ppb()) * i128::from(share.to_ppb()) / 1_000_000_000;
                total = total.saturating_add(i64::try_from(part).unwrap_or(0));
            }
        }
    }
    // Upper ends of ranges may come to more than there is.
    let share = Share::ppb(total).unwrap_or(Share::WHOLE);
    if share >= from {
        let message = format!(
            "the candle holds up to {} oil of bergamot; from {from} up a product is a designated strong sensitizer",
            share.in_percent(2)
        );
        desk.tell("us/bergamot", Level::Warning, "recipe", message, "lower the load, or have somebody who knows the Federal Hazardous Substances Act decide whether a hazard label is due");
    }
}

fn sheets(desk: &mut Desk<'_>, date: Date) {
    let Some(most) = desk.rule("practice/sheet-age").and_then(|r| r.figure::<Days>("most")) else { return };
    let lines: Vec<_> = desk.product.recipe.iter().map(|l| l.material.clone()).collect();
    for material in &lines {
        let Some(sheet) = &material.sheet else { continue };
        let Ok(limit) = sheet.date.checked_add(jiff::SignedDuration::from_hours(24 * most.count())) else { continue };
        if date > limit {
            let years = most.count() / 365;
            let message =
                format!("the safety sheet of {} is dated {}, more than {years} years ago", material.name, sheet.date);
            let cure = "ask the supplier for the current sheet";
            desk.tell_at("practice/sheet-age", Level::Warning, &material.place, "this material", message, cure);
        } else if sheet.date > date {
            let message = format!("the safety sheet of {} is dated {}, after {date}", material.name, sheet.date);
            let place = &material.place;
            desk.tell_at("practice/sheet-age", Level::Warning, place, "this material", message, "check the date");
        }
    }
}

/// `00000` or `00000-0000`.
fn is_zip(text: &str) -> bool {
    let digits = |t: &str, n: usize| t.len() == n && t.bytes().all(|b| b.is_ascii_digit());
    text.split_once('-').map_or_else(|| digits(text, 5), |(five, four)| digits(five, 5) && digits(four, 4))
}

/// Words of another statement in name or identity look like a second one.
fn words(desk: &mut Desk<'_>) {
    const SIGNAL: [&str; 4] = ["warning", "caution", "danger", "attention"];
    let product = desk.product;
    for (key, texts) in [("name", &product.name), ("identity", &product.identity)] {
        for text in texts.values() {
            let lower = text.to_lowercase();
            let alone = lower.trim_end_matches([':', '!', '.', ' ']);
            if ["net wt", "net weight"].iter().any(|w| lower.contains(w)) || SIGNAL.contains(&alone) {
                let message = format!("the {key} `{text}` reads like another statement of the label");
                let cure = "leave net quantity and signal words to the label: it sets them as the rules ask";
                desk.tell("us/identity", Level::Warning, key, message, cure);
            }
        }
    }
}

/// A sales package into which its vessel does not go gives too small a panel.
fn package(desk: &mut Desk<'_>) {
    let (Some(package), Some(vessel)) = (desk.product.package, &desk.product.vessel) else { return };
    let sides = |shape: Package| match shape {
        Package::Round { diameter, height } => Some((diameter, height)),
        Package::Box { width, height } => Some((width, height)),
        Package::Lid { .. } => None,
    };
    let (Some(outer), Some(inner)) = (sides(package), sides(vessel.shape)) else { return };
    let goes_in = |a: Length, b: Length| outer.0.min(outer.1) >= a.min(b) && outer.0.max(outer.1) >= a.max(b);
    // The labelled side of a box may be its top.
    let on_top = matches!(vessel.shape, Package::Round { .. }) && goes_in(inner.0, inner.0);
    if desk.product.pieces == 1 && !goes_in(inner.0, inner.1) && !on_top {
        let message = format!(
            "the package, {} x {}, is smaller than the vessel in it, {} x {}",
            outer.0, outer.1, inner.0, inner.1
        );
        let cure = "measure the package again: the least height of letters follows from its size";
        desk.tell("us/panel-area", Level::Warning, "package", message, cure);
    }
}

fn address(desk: &mut Desk<'_>) {
    let maker = &desk.product.workshop.maker;
    let place = "workshop";
    if maker.region.is_none() {
        desk.tell(
            "us/maker",
            Level::Error,
            place,
            "the maker's address has no state".to_owned(),
            "add `region: ME` to `maker` in `workshop.yaml`",
        );
    }
    if maker.street.is_none() && !maker.street_listed {
        desk.tell(
            "us/maker-street",
            Level::Error,
            place,
            "the maker's address has no street, and it is not said to be publicly listed".to_owned(),
            "add `street: …`, or `street listed publicly: yes` where a public directory or website lists it",
        );
    }
    if maker.country != "US" {
        let message = format!("the maker is in `{}`: a candle made abroad is imported", maker.country);
        let cure = "ask the importer what the label needs beside this: the country of origin, and the importer's own name \
                    and address (19 CFR Part 134, from memory)";
        desk.tell("us/maker", Level::Warning, place, message, cure);
    }
    if maker.country == "US" && !is_zip(&maker.postcode) {
        let message = format!("`{}` is not a ZIP code", maker.postcode);
        desk.tell(
            "us/maker",
            Level::Error,
            "workshop postcode",
            message,
            "write five digits in quotes, for example `postcode: \"00000\"`, or five, a dash and four",
        );
    }
    let size_unlikely = |l: Length| l < Length::mm(5);
    if let Some(Package::Round { height, .. }) = desk.product.vessel.as_ref().map(|v| v.shape)
        && size_unlikely(height)
        && desk.product.kind != Kind::TeaLight
    {
        let message = format!("the vessel's wall is only {height} high");
        desk.tell("us/panel-area", Level::Warning, "vessel", message, "measure the straight wall again");
    }
    if desk.product.fill.mass() < Mass::g(1) {
        desk.tell("us/net-weight", Level::Error, "fill", "the fill is less than a gram".to_owned(), "check its unit");
    }
}
