//! The product file: opens it, fetches what it draws on, and builds the checked [`Product`].

use super::{
    Accept, Amount, Basis, BurnTest, California, Care, Code, Fetched, Fill, First, Label, Line, Load, Material,
    MetalCore, Places, Product, Role, Shelf, Shelves, Size, Texts, Vessel, Wick, WickType, material, vessel, workshop,
};
use crate::find::{Finding, Place, Report, Source};
use crate::trade::{Kind, Lang};
use crate::unit::{Days, Hours, Length, Mass, Share};
use crate::yaml::{self, At, Form, Node, Value};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

const KEYS: &[&str] = &[
    "product",
    "kind",
    "name",
    "identity",
    "markets",
    "vessel",
    "package",
    "size",
    "pieces",
    "wick",
    "fill",
    "net quantity",
    "recipe",
    "burn test",
    "care",
    "label",
    "california",
    "cure",
    "accept",
    "workshop",
];

/// Everything one reading needs at hand.
struct Desk<'a> {
    shelves: &'a dyn Shelves,
    report: &'a Report,
    sources: RefCell<Vec<Arc<Source>>>,
}

/// Reads a product and all it draws on.
///
/// The product is `None` when too much is missing to go on; the findings always tell everything that was seen.
pub fn read(source: &Arc<Source>, id: &str, shelves: &dyn Shelves) -> (Option<Product>, Vec<Finding>) {
    let report = Report::new();
    let desk = Desk { shelves, report: &report, sources: RefCell::new(vec![source.clone()]) };
    let product = match yaml::read(source) {
        Ok(node) => product(&node, id, &desk),
        Err(finding) => {
            report.add(finding);
            None
        }
    };
    let product = product.map(|mut p| {
        p.sources = desk.sources.borrow().clone();
        p
    });
    (product.filter(|_| !report.stops()), report.into_findings())
}

fn product(node: &Node, id: &str, desk: &Desk<'_>) -> Option<Product> {
    let report = desk.report;
    let form = Form::open(node, "a product", KEYS, report)?;
    let workshop = workshop_of(&form, desk);
    let kind = form.need("kind", "container candle").and_then(|n| kind(n, report));
    let title = form.need_text("product", "Low Tide");
    let identity = form.need("identity", "{en: Scented candle}").and_then(|n| texts(n, report));
    let name = form
        .get("name")
        .map_or_else(|| title.as_ref().map(|t| Texts::from([(Lang::En, t.value.clone())])), |n| texts(n, report));
    let vessel = form.get("vessel").and_then(|n| vessel_of(n, desk));
    let package = form.get("package").and_then(|n| vessel::package(n, report));
    let size = form.get("size").and_then(|n| size(n, report));
    let wick = form.get("wick").and_then(|n| wick(n, report));
    let recipe: Vec<Line> = form.list("recipe").iter().filter_map(|n| line(n, desk)).collect();
    if form.need("recipe", "[{use: harbour-soy-blend, as: wax}]").is_some() {
        waxes_add_up(&recipe, form.list("recipe").len(), &form, report);
    }
    let fill = fill(&form, vessel.as_ref(), report);
    let declared = form.quantity::<Mass>("net quantity");
    if let Some(kind) = kind.as_ref() {
        fits_kind(kind, &form, report);
    }
    let mut markets = workshop::markets(&form, report);
    if markets.is_empty()
        && let Some(w) = &workshop
    {
        markets.clone_from(&w.markets);
    }
    if markets.is_empty() && form.get("markets").is_none() {
        form.need("markets", "[us]")?;
    }
    let burn_test = form.get("burn test").and_then(|n| burn_test(n, report));
    let label = form.get("label").map_or_else(
        || Some(Label { template: None, first: First::Oz, code: Code::Lot, burn_time: true }),
        |n| label(n, report),
    );
    let keys = form.entries().iter().map(|(k, n)| (k.word.clone(), n.place.clone())).collect();
    Some(Product {
        id: id.to_owned(),
        kind: kind?.value,
        name: name?,
        identity: identity?,
        markets,
        vessel,
        package,
        size,
        pieces: form.count("pieces", 200).map_or(1, |c| c.value),
        wick,
        fill: fill?,
        declared: declared.map(|d| d.value),
        recipe,
        burn_test,
        care: form.get("care").and_then(|n| care(n, report)).unwrap_or_default(),
        label: label?,
        california: form.get("california").and_then(|n| california(n, report)),
        cure: form.quantity::<Days>("cure").map(|d| d.value),
        accept: form.list("accept").iter().filter_map(|n| accept(n, report)).collect(),
        workshop: workshop?,
        sources: Vec::new(),
        places: Places { product: form.place(), keys },
    })
}

fn workshop_of(form: &Form<'_>, desk: &Desk<'_>) -> Option<super::Workshop> {
    if let Some(node) = form.get("workshop") {
        return workshop::read(node, desk.report);
    }
    match desk.shelves.workshop() {
        Some(Ok(source)) => {
            desk.sources.borrow_mut().push(source.clone());
            match yaml::read(&source) {
                Ok(node) => workshop::read(&node, desk.report),
                Err(finding) => {
                    desk.report.add(finding);
                    None
                }
            }
        }
        Some(Err(finding)) => {
            desk.report.add(finding);
            None
        }
        None => {
            desk.report.add(
                Finding::input(
                    "file/no-workshop",
                    "the product belongs to no workshop: no `workshop.yaml` lies in its folder or one above it",
                    "make one with `waxbill new FOLDER`, or write `workshop: {maker: …, scales: …}` into the product file",
                )
                .at(&form.place(), "this product"),
            );
            None
        }
    }
}

fn kind(node: &Node, report: &Report) -> Option<At<Kind>> {
    if let Value::Text(text) = &node.value
        && Kind::from_word(text.trim()).is_none()
    {
        let lower = text.to_lowercase();
        let other = [
            (
                "spray",
                "a spray is a liquid or an aerosol: other classes, other wording and often a child-resistant closure apply",
            ),
            (
                "diffuser",
                "a diffuser is a liquid sold by volume: other classes, a child-resistant closure and a tactile mark may apply",
            ),
            ("incense", "incense has no wick and its own rules for smoke"),
            ("soap", "soap falls under cosmetics or detergents law"),
            ("gel", "gel candles have a liquid fuel and their own limits for the fragrance's flash point"),
            ("oil", "oil burners and lamp oil are liquids with their own rules"),
        ];
        if let Some((_, why)) = other.iter().find(|(word, _)| lower.contains(word)) {
            let known = Kind::ALL.iter().map(|k| format!("`{k}`")).collect::<Vec<_>>().join(", ");
            report.add(
                Finding::input(
                    "file/other-goods",
                    format!("no label is made for `{text}`: {why}"),
                    format!("a candle label on it would be wrong; this program knows {known}"),
                )
                .at(&node.place, "not a candle"),
            );
            return None;
        }
    }
    node.word::<Kind>(report)
}

/// `{en: …, fr: …}`, or one text for English.
pub(super) fn texts(node: &Node, report: &Report) -> Option<Texts> {
    if matches!(node.value, Value::Text(_)) {
        return node.text(report).map(|t| Texts::from([(Lang::En, t.value)]));
    }
    let keys: Vec<&'static str> = Lang::ALL.iter().map(|l| l.word()).collect();
    let form = Form::open(node, "a text in several languages", &keys, report)?;
    let mut texts = BTreeMap::new();
    for lang in Lang::ALL {
        if let Some(text) = form.text(lang.word()) {
            texts.insert(*lang, text.value);
        }
    }
    (!texts.is_empty()).then_some(texts)
}

fn fetch(shelf: Shelf, name: &At<String>, desk: &Desk<'_>) -> Option<Node> {
    match desk.shelves.fetch(shelf, &name.value) {
        Fetched::Found(source) => {
            desk.sources.borrow_mut().push(source.clone());
            yaml::read(&source).map_err(|f| desk.report.add(f)).ok()
        }
        Fetched::Missing(known) => {
            let words: Vec<&str> = known.iter().map(String::as_str).collect();
            let near =
                crate::find::nearest(&name.value, &words).map_or_else(String::new, |n| format!("did you mean `{n}`? "));
            let there = if known.is_empty() {
                "the folder is empty".to_owned()
            } else {
                format!("there are `{}`", known.join("`, `"))
            };
            let folder = shelf.folder();
            desk.report.add(
                Finding::input(
                    "file/not-on-shelf",
                    format!("there is no `{folder}/{}.yaml` in the workshop", name.value),
                    format!("{near}{there}; or write it out in place of its name"),
                )
                .at(&name.place, "here"),
            );
            None
        }
        Fetched::Failed(finding) => {
            desk.report.add(finding.at(&name.place, "named here"));
            None
        }
    }
}

fn vessel_of(node: &Node, desk: &Desk<'_>) -> Option<Vessel> {
    if matches!(node.value, Value::Map(_)) {
        return vessel::read(node, "", desk.report);
    }
    let name = node.text(desk.report)?;
    let node = fetch(Shelf::Vessels, &name, desk)?;
    vessel::read(&node, &name.value, desk.report)
}

fn material_of(node: &Node, desk: &Desk<'_>) -> Option<Arc<Material>> {
    if matches!(node.value, Value::Map(_)) {
        return material::read(node, "", desk.report).map(Arc::new);
    }
    let name = node.text(desk.report)?;
    let node = fetch(Shelf::Materials, &name, desk)?;
    material::read(&node, &name.value, desk.report).map(Arc::new)
}

fn line(node: &Node, desk: &Desk<'_>) -> Option<Line> {
    let report = desk.report;
    let form = Form::open(node, "a line of the recipe", &["use", "as", "load", "of", "part"], report)?;
    let material = form.need("use", "harbour-soy-blend").and_then(|n| material_of(n, desk));
    let role = form.get("as").and_then(|n| n.word::<Role>(report));
    let (load, of, part) = (
        form.quantity::<Share>("load"),
        form.get("of").and_then(|n| n.word::<Basis>(report)),
        form.quantity::<Share>("part"),
    );
    let material = material?;
    let role = role.map_or(material.role, |r| r.value);
    let told = |finding: Finding| {
        report.add(finding);
        None
    };
    let amount = if role == Role::Wax {
        if let Some(load) = &load {
            return told(
                Finding::input(
                    "file/wax-with-load",
                    "a wax has no load: it is what the load is taken of",
                    "for a blend of waxes write `part: 30 %`, its part of all the wax",
                )
                .at(&load.place, "here"),
            );
        }
        part.map_or(Amount::Rest, |p| Amount::PartOfWax(p.value))
    } else {
        let Some(load) = load else {
            form.need("load", "8 %")?;
            return None;
        };
        let Some(of) = of else {
            return told(without_basis(&load, &form));
        };
        Amount::Load(Load { share: load.value, of: of.value })
    };
    Some(Line { material, role, amount, place: form.place() })
}

/// The same figure means two recipes: both are shown for a fill of 100 g.
fn without_basis(load: &At<Share>, form: &Form<'_>) -> Finding {
    let fill = Mass::g(100);
    let of_wax = fill.share(load.value.of_rest_as_of_total());
    let of_total = fill.share(load.value);
    Finding::input(
        "file/load-without-basis",
        format!(
            "a load of {} does not say of what: in 100 g of candle it is {} of oil when taken of the wax, {} when taken of the total",
            load.value,
            of_wax.in_g(2),
            of_total.in_g(2)
        ),
        "add `of: wax` (oil against wax alone) or `of: total` (oil in the finished candle)",
    )
    .at(&load.place, "of what?")
    .at(&form.place(), "in this line")
}

fn waxes_add_up(recipe: &[Line], written: usize, form: &Form<'_>, report: &Report) {
    if recipe.len() != written {
        return; // a line was already told
    }
    let waxes: Vec<&Line> = recipe.iter().filter(|l| l.role == Role::Wax).collect();
    let place = form.get("recipe").map_or_else(|| form.place(), |n| n.place.clone());
    let told = |message: &str, cure: &str| {
        report.add(Finding::input("file/wax-parts", message, cure).at(&place, "this recipe"))
    };
    if waxes.is_empty() {
        told("the recipe has no wax", "add a line such as `{use: harbour-soy-blend, as: wax}`");
        return;
    }
    let parts: i64 = waxes.iter().map(|l| if let Amount::PartOfWax(s) = l.amount { s.to_ppb() } else { 0 }).sum();
    let rest = waxes.iter().filter(|l| matches!(l.amount, Amount::Rest)).count();
    let whole = Share::WHOLE.to_ppb();
    if rest > 1 {
        told("two waxes stand without their part", "write `part: 30 %` beside all waxes but one");
    } else if parts > whole || (rest == 1 && parts == whole) {
        told("the parts of the waxes come to more than the whole", "make them add up to 100 %");
    } else if rest == 0 && parts != whole {
        told("the parts of the waxes do not come to 100 %", "make them add up, or leave the part off one of them");
    }
}

fn fill(form: &Form<'_>, vessel: Option<&Vessel>, report: &Report) -> Option<Fill> {
    let node = form.need("fill", "9 oz")?;
    if let Value::Text(text) = &node.value
        && text.trim() == "estimate"
    {
        let water = vessel.and_then(|v| v.water);
        if water.is_none() {
            report.add(
                Finding::input("file/no-water-weight", "an estimate needs the vessel's water weight", "weigh water to the fill line and write `water to fill line: 255 g` into the vessel, or write the fill itself")
                    .at(&node.place, "here"),
            );
        }
        // Wax poured to the same line weighs about 0.86 of the water: common practice, no source.
        return water.map(|w| Fill::Estimate(w.times_ratio(86, 100)));
    }
    let fill = node.quantity::<Mass>(report)?;
    if fill.value < Mass::g(1) || fill.value > Mass::g(20_000) {
        report.add(
            Finding::input(
                "file/out-of-range",
                format!("a fill of {} is not a candle", fill.value),
                "write the wax and fragrance in one candle, between 1 g and 20 kg",
            )
            .at(&fill.place, "here"),
        );
        return None;
    }
    Some(Fill::Target(fill.value))
}

/// What each kind needs and what it cannot have.
fn fits_kind(kind: &At<Kind>, form: &Form<'_>, report: &Report) {
    let needs = |key: &str, example: &str, why: &str| {
        if form.get(key).is_none() {
            report.add(
                Finding::input(
                    "file/missing-key",
                    format!("a {} needs `{key}`: {why}", kind.value),
                    format!("add `{key}: {example}`"),
                )
                .at(&kind.place, "this kind"),
            );
        }
    };
    if kind.value.burns() {
        needs("wick", "{type: cotton, metal core: none}", "trim and lead statements follow from it");
    } else if let Some(node) = form.get("wick") {
        report.add(
            Finding::input("file/wick-in-melt", "a wax melt has no wick", "take the wick out, or choose another kind")
                .at(&node.place, "here"),
        );
    }
    match kind.value {
        Kind::ContainerCandle => needs("vessel", "straight-jar-73", "the label's panel follows from it"),
        Kind::Pillar => needs("size", "{diameter: 3 in, height: 6 in}", "it is what the label declares"),
        Kind::Taper => {
            needs("size", "{height: 10 in}", "its length is what the label declares");
            needs("package", "{box: {width: 60 mm, height: 260 mm}}", "the band or box carries the label");
        }
        Kind::TeaLight | Kind::WaxMelt | Kind::Votive => {
            if form.get("vessel").is_none() {
                needs("package", "{box: {width: 80 mm, height: 60 mm}}", "the pack carries the label");
            }
        }
    }
    if let (Kind::Pillar | Kind::Taper, Some(node)) = (kind.value, form.get("vessel")) {
        report.add(
            Finding::input(
                "file/vessel-on-freestanding",
                format!("a {} stands without a vessel", kind.value),
                "take the vessel out, or choose `container candle`",
            )
            .at(&node.place, "here"),
        );
    }
}

fn size(node: &Node, report: &Report) -> Option<Size> {
    let form = Form::open(node, "a size", &["diameter", "height"], report)?;
    let height = form.need_quantity::<Length>("height")?;
    let diameter = form.quantity::<Length>("diameter");
    for length in [Some(&height), diameter.as_ref()].into_iter().flatten() {
        if length.value < Length::mm(3) || length.value > Length::mm(1500) {
            report.add(
                Finding::input(
                    "file/out-of-range",
                    format!("{} is not a size of a candle", length.value),
                    "write a size between 3 mm and 1.5 m",
                )
                .at(&length.place, "here"),
            );
            return None;
        }
    }
    Some(Size { diameter: diameter.map(|d| d.value), height: height.value })
}

fn wick(node: &Node, report: &Report) -> Option<Wick> {
    let form = Form::open(node, "a wick", &["type", "count", "width", "metal core", "lead", "trim"], report)?;
    let kind = form.need("type", "cotton").and_then(|n| n.word::<WickType>(report));
    let trim = form.quantity::<Length>("trim");
    if let Some(trim) = trim.as_ref().filter(|t| t.value < Length::mm(1) || t.value > Length::mm(20)) {
        report.add(
            Finding::input(
                "file/out-of-range",
                format!("a wick trimmed to {} burns badly or not at all", trim.value),
                "write the trim of your burn test, usually 3 to 10 mm",
            )
            .at(&trim.place, "here"),
        );
    }
    Some(Wick {
        kind: kind?.value,
        count: form.count("count", 12).map_or(1, |c| c.value),
        width: form.quantity::<Length>("width").map(|l| l.value),
        metal_core: form.get("metal core").and_then(|n| n.word::<MetalCore>(report)).map(|m| m.value),
        lead: form.quantity::<Share>("lead").map(|s| s.value),
        trim: trim.map(|t| t.value),
    })
}

fn burn_test(node: &Node, report: &Report) -> Option<BurnTest> {
    let form = Form::open(node, "a burn test", &["hours to stop line", "stop", "session", "recipe"], report)?;
    let hours = form
        .list("hours to stop line")
        .iter()
        .filter_map(|n| {
            let text = n.text(report)?;
            let with_unit = if text.value.ends_with(|c: char| c.is_ascii_digit()) {
                format!("{} h", text.value)
            } else {
                text.value
            };
            let node = Node { value: Value::Text(with_unit), place: text.place };
            node.quantity::<Hours>(report).map(|h| h.value)
        })
        .collect();
    let as_sold = form.text("recipe").map(|t| {
        if t.value != "as sold" && t.value != "other" {
            report.add(
                Finding::input(
                    "file/wrong-word",
                    format!("`{}` is not known here", t.value),
                    "write `recipe: as sold` when wax, load, wick and vessel were those sold, else `recipe: other`",
                )
                .at(&t.place, "here"),
            );
        }
        t.value == "as sold"
    });
    Some(BurnTest {
        hours,
        stop: form.quantity::<Length>("stop").map(|l| l.value),
        session: form.quantity::<Hours>("session").map(|h| h.value),
        as_sold: as_sold.unwrap_or(false),
        place: form.place(),
    })
}

fn care(node: &Node, report: &Report) -> Option<Care> {
    let form = Form::open(node, "the care figures", &["session", "stop", "distance", "cool"], report)?;
    Some(Care {
        session: form.quantity::<Hours>("session").map(|h| h.value),
        stop: form.quantity::<Length>("stop").map(|l| l.value),
        distance: form.quantity::<Length>("distance").map(|l| l.value),
        cool: form.quantity::<Hours>("cool").map(|h| h.value),
    })
}

fn label(node: &Node, report: &Report) -> Option<Label> {
    let form = Form::open(node, "the label", &["template", "net quantity first", "code", "burn time"], report)?;
    let first = form.get("net quantity first").map_or(Some(First::Oz), |n| n.word::<First>(report).map(|f| f.value));
    let code = form.get("code").map_or(Some(Code::Lot), |n| code(n, report));
    Some(Label {
        template: form.text("template").map(|t| t.value),
        first: first?,
        code: code?,
        burn_time: form.yes_no("burn time").unwrap_or(true),
    })
}

fn code(node: &Node, report: &Report) -> Option<Code> {
    if let Value::Text(text) = &node.value {
        return match text.trim() {
            "lot" => Some(Code::Lot),
            "none" => Some(Code::None),
            other => {
                report.add(
                    Finding::input(
                        "file/wrong-word",
                        format!("`{other}` is not known here"),
                        "write `code: lot`, `code: none`, `code: {url: …}` or `code: {text: …}`",
                    )
                    .at(&node.place, "here"),
                );
                None
            }
        };
    }
    let form = Form::open(node, "a code", &["url", "text"], report)?;
    let code = form.text("url").map(|u| Code::Url(u.value)).or_else(|| form.text("text").map(|t| Code::Text(t.value)));
    if code.is_none() {
        form.need("url", "https://quillmere.example/lot/{lot}")?;
    }
    code
}

fn california(node: &Node, report: &Report) -> Option<California> {
    let form = Form::open(node, "the California warning", &["cancer", "reproductive harm"], report)?;
    let warning = California {
        cancer: form.text("cancer").map(|t| t.value),
        reproductive: form.text("reproductive harm").map(|t| t.value),
    };
    if warning == (California { cancer: None, reproductive: None }) {
        report.add(
            Finding::input(
                "file/missing-key",
                "a California warning names at least one chemical",
                "add `cancer: NAME` or `reproductive harm: NAME`, or take `california` out",
            )
            .at(&form.place(), "here"),
        );
        return None;
    }
    Some(warning)
}

fn accept(node: &Node, report: &Report) -> Option<Accept> {
    let form = Form::open(node, "an accepted finding", &["rule", "because"], report)?;
    let (rule, because) = (form.need_text("rule", "us/trim"), form.need_text("because", "\"…\""));
    let (rule, because): (At<String>, At<String>) = (rule?, because?);
    let place: Place = rule.place;
    Some(Accept { rule: rule.value, because: because.value, place })
}
