//! The product file: opens it, fetches what it draws on, and builds the checked [`Product`].

use super::counted::counted;
use super::lines::{fill, line, waxes_add_up};
use super::logo;
use super::parts::{accept, burn_test, california, care, cure, label, size, ufi, wick};
use super::{
    Code, Fetched, First, Label, Line, Material, Places, Product, Shelf, Shelves, Texts, Vessel, canada, market,
    material, vessel, workshop,
};
use crate::find::{Finding, Place, Report, Source};
use crate::trade::{Kind, Lang};
use crate::unit::Mass;
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
    "counted",
    "burn test",
    "care",
    "label",
    "california",
    "ufi",
    "precautionary statements",
    "e mark",
    "ornamental container",
    "relights",
    "local product",
    "cure",
    "accept",
    "workshop",
];

/// The most lines of a recipe.
const MOST_LINES: usize = 40;

/// Everything one reading needs at hand.
pub(super) struct Desk<'a> {
    shelves: &'a dyn Shelves,
    pub(super) report: &'a Report,
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
        p.sources.clone_from(&desk.sources.borrow());
        p
    });
    if product.is_none() && !report.stops() {
        let place = Place { source: source.clone(), range: 0..0 };
        let finding =
            Finding::input("file/incomplete", "the product is not complete", "compare it with a product that works");
        report.add(finding.at(&place, "in this file"));
    }
    (product.filter(|_| !report.stops()), report.into_findings())
}

/// Reads `workshop.yaml` on its own.
#[must_use]
pub fn read_workshop(source: &Arc<Source>) -> (Option<super::Workshop>, Vec<Finding>) {
    alone(source, workshop::read)
}

fn alone<T>(source: &Arc<Source>, read: impl FnOnce(&Node, &Report) -> Option<T>) -> (Option<T>, Vec<Finding>) {
    let report = Report::new();
    let thing = match yaml::read(source) {
        Ok(node) => read(&node, &report),
        Err(finding) => {
            report.add(finding);
            None
        }
    };
    (thing.filter(|_| !report.stops()), report.into_findings())
}

fn product(node: &Node, id: &str, desk: &Desk<'_>) -> Option<Product> {
    let report = desk.report;
    if let Some(finding) = other_file(node) {
        report.add(finding);
        return None;
    }
    let form = Form::open(node, "a product", KEYS, report)?;
    let mut keys: BTreeMap<String, Place> =
        form.entries().iter().map(|(k, n)| (k.word.clone(), n.place.clone())).collect();
    let workshop = workshop_of(&form, desk, &mut keys);
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
    let recipe = recipe(&form, desk)?;
    if form.need("recipe", "[{use: harbour-soy-blend, as: wax}]").is_some() {
        waxes_add_up(&recipe, form.list("recipe").len(), &form, report);
    }
    let fill = fill(&form, vessel.as_ref(), report);
    let declared = form.quantity::<Mass>("net quantity");
    if let Some(kind) = kind.as_ref() {
        fits_kind(kind, &form, report);
    }
    let (mut markets, mut countries) = market::read(&form, report);
    if markets.is_empty()
        && let Some(w) = &workshop
    {
        markets.clone_from(&w.markets);
        countries.clone_from(&w.countries);
    }
    if form.list("markets").is_empty() && markets.is_empty() {
        let place = form.get("markets").map_or_else(|| form.place(), |n| n.place.clone());
        let message = "neither the product nor its workshop says where it is sold: no label could be made";
        let finding = Finding::input("file/missing-key", message, "add `markets: [us]`, here or in `workshop.yaml`");
        report.add(finding.at(&place, "`markets` is missing here"));
        return None;
    }
    let vessel_id = vessel.as_ref().map(|v| v.id.as_str());
    let counted = counted(form.list("counted"), kind.as_ref().map(|k| k.value), wick.as_ref(), vessel_id, desk);
    let burn_test = form.get("burn test").and_then(|n| burn_test(n, report));
    let label = form.get("label").map_or_else(
        || {
            Some(Label {
                template: None,
                templates: BTreeMap::new(),
                first: First::Oz,
                code: Code::Lot,
                burn_time: true,
                logo: None,
            })
        },
        |n| label(n, report),
    );
    let wanted = label.as_ref().and_then(|l| l.logo.as_ref());
    let wanted = wanted.or_else(|| workshop.as_ref()?.logo.as_ref());
    let logo = logo::fetch(wanted, desk.shelves, report);
    Some(Product {
        id: id.to_owned(),
        kind: kind?.value,
        name: name?,
        identity: identity?,
        markets,
        countries,
        vessel,
        package,
        size,
        pieces: form.count("pieces", 200).map_or(1, |c| c.value),
        wick,
        fill: fill?,
        declared: declared.map(|d| d.value),
        recipe,
        counted,
        burn_test,
        care: form.get("care").and_then(|n| care(n, report)).unwrap_or_default(),
        label: label?,
        logo,
        california: form.get("california").and_then(|n| california(n, report)),
        ufi: form.get("ufi").and_then(|n| ufi(n, report)),
        precautions: form.list("precautionary statements").iter().filter_map(|n| n.text(report)).collect(),
        e_mark: form.yes_no("e mark").unwrap_or(false),
        canada: canada::read(&form, report),
        cure: cure(&form, report),
        accept: form.list("accept").iter().filter_map(|n| accept(n, report)).collect(),
        workshop: workshop?,
        sources: Vec::new(),
        places: Places { product: form.place(), keys },
    })
}

/// The lines of the recipe that can be read; `None` when there are too many.
fn recipe(form: &Form<'_>, desk: &Desk<'_>) -> Option<Vec<Line>> {
    let nodes = form.list("recipe");
    if let Some(node) = nodes.get(MOST_LINES) {
        let message = format!("the recipe has more than {MOST_LINES} lines");
        let cure = "put what belongs together into one material";
        desk.report.add(Finding::input("file/too-many", message, cure).at(&node.place, "here"));
        return None;
    }
    Some(nodes.iter().filter_map(|n| line(n, desk)).collect())
}

/// A material, a vessel, a template or the workshop itself where a product is asked for.
fn other_file(node: &Node) -> Option<Finding> {
    let Value::Map(entries) = &node.value else { return None };
    let has = |word: &str| entries.iter().find(|(k, _)| k.word == word);
    if has("product").is_some() || has("kind").is_some() {
        return None;
    }
    let (word, what) =
        [("material", "a material"), ("made of", "a vessel"), ("template", "a template"), ("maker", "a workshop")]
            .into_iter()
            .find(|(word, _)| has(word).is_some())?;
    let (key, _) = has(word)?;
    Some(
        Finding::input(
            "file/not-a-product",
            format!("this is {what}, and a product is asked for here"),
            "name a product that uses it: its findings tell of this file too",
        )
        .at(&key.place, "here"),
    )
}

fn workshop_of(form: &Form<'_>, desk: &Desk<'_>, keys: &mut BTreeMap<String, Place>) -> Option<super::Workshop> {
    let mut read = |node: &Node| {
        // Later findings on the maker point into the workshop's own file.
        keys.extend(workshop::places(node));
        workshop::read(node, desk.report)
    };
    if let Some(node) = form.get("workshop") {
        return read(node);
    }
    match desk.shelves.workshop() {
        Some(Ok(source)) => {
            desk.sources.borrow_mut().push(source.clone());
            match yaml::read(&source) {
                Ok(node) => read(&node),
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
    if texts.is_empty() {
        form.need("en", "…")?;
    }
    Some(texts)
}

pub(super) fn fetched(shelf: Shelf, name: &At<String>, desk: &Desk<'_>) -> Option<Node> {
    // A name is wanted here, and its file is what many write.
    match desk.shelves.fetch(shelf, name.value.trim_end_matches(".yaml")) {
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
    let node = fetched(Shelf::Vessels, &name, desk)?;
    vessel::read(&node, &name.value, desk.report)
}

pub(super) fn material_of(node: &Node, desk: &Desk<'_>) -> Option<Arc<Material>> {
    if matches!(node.value, Value::Map(_)) {
        return material::read(node, "", desk.report).map(Arc::new);
    }
    let name = node.text(desk.report)?;
    let node = fetched(Shelf::Materials, &name, desk)?;
    material::read(&node, &name.value, desk.report).map(Arc::new)
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
        Kind::Pillar => {
            needs("size", "{diameter: 3 in, height: 6 in}", "it is what the label declares");
            if let Some(Node { value: Value::Map(entries), place }) = form.get("size")
                && !entries.iter().any(|(k, _)| k.word == "diameter")
            {
                let cure = "add its width: `size: {diameter: 3 in, height: 6 in}`";
                let message = "the size of a pillar is its diameter and its height: the label declares both";
                report.add(Finding::input("file/missing-key", message, cure).at(place, "`diameter` is missing here"));
            }
        }
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
