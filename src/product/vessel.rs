//! Vessels and sales packages: what they are made of, and the sizes the panel area is worked out from.

use crate::find::{Finding, Place, Report};
use crate::unit::{Length, Mass, Volume};
use crate::yaml::{Form, Node, Words};
use serde::Serialize;

/// What a vessel is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum VesselMaterial {
    /// Glass.
    Glass,
    /// Tinned steel or aluminium.
    Tin,
    /// Ceramic, stoneware.
    Ceramic,
    /// Concrete, gypsum, stone.
    Stone,
    /// Wood.
    Wood,
    /// Plastic.
    Plastic,
}

impl VesselMaterial {
    /// The spelling used in files and rules.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::words().iter().find(|(_, v)| *v == self).map_or("", |(w, _)| w)
    }
}

impl Words for VesselMaterial {
    fn words() -> Vec<(&'static str, Self)> {
        vec![
            ("glass", Self::Glass),
            ("tin", Self::Tin),
            ("ceramic", Self::Ceramic),
            ("stone", Self::Stone),
            ("wood", Self::Wood),
            ("plastic", Self::Plastic),
        ]
    }
}

/// A vessel.
#[derive(Debug, Clone)]
pub struct Vessel {
    /// Name of its file, or of the vessel.
    pub id: String,
    /// What it is made of.
    pub material: VesselMaterial,
    /// Who sells it.
    pub supplier: Option<String>,
    /// Outer shape.
    pub shape: Package,
    /// Inner width at the fill line, for the melt pool.
    pub inside: Option<Length>,
    /// What it holds to the brim.
    pub holds: Option<Volume>,
    /// Water to the fill line, weighed.
    pub water: Option<Mass>,
    /// Whether it is sold with a lid.
    pub lid: bool,
    /// Where it stands.
    pub place: Place,
}

/// Outer shape of a vessel or package, as far as the panel area needs it (16 CFR 500.21(a)).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Package {
    /// Cylinder or nearly so: outer diameter and height of the straight wall.
    Round {
        /// Outer diameter; for a tapered wall the mean of the widest and the narrowest.
        diameter: Length,
        /// Height of the wall without shoulder and flanges.
        height: Length,
    },
    /// A box: the side that bears the label.
    Box {
        /// Width of that side.
        width: Length,
        /// Its height.
        height: Length,
    },
    /// A round lid or a flat disc that bears the label.
    Lid {
        /// Diameter.
        diameter: Length,
    },
}

const KEYS: &[&str] =
    &["vessel", "made of", "supplier", "round", "box", "inside diameter", "holds", "water to fill line", "lid"];

/// Reads a vessel; faults go to the report.
pub(super) fn read(node: &Node, id: &str, report: &Report) -> Option<Vessel> {
    let form = Form::open(node, "a vessel", KEYS, report)?;
    let name = form.text("vessel");
    let material = form.need("made of", "glass").and_then(|n| n.word::<VesselMaterial>(report));
    let shape = shape(&form, report);
    let inside = match form.get("inside diameter") {
        Some(_) => Some(sized(&form, "inside diameter", "68 mm", report)?),
        None => None,
    };
    let (holds, water) = (form.quantity::<Volume>("holds"), form.quantity::<Mass>("water to fill line"));
    let (shape, widest) = shape?;
    if let Some(inside) = inside.filter(|inside| *inside > widest) {
        report.add(
            Finding::input(
                "file/out-of-range",
                format!("the inside, {inside}, is wider than the outside, {widest}"),
                "swap the two, or measure again",
            )
            .at(&form.place(), "this vessel"),
        );
        return None;
    }
    if let (Some(holds), Some(water)) = (&holds, &water)
        && water.value.to_g_f64() > holds.value.to_ml_f64() * 1.01
    {
        report.add(
            Finding::input(
                "file/out-of-range",
                format!("{} of water do not go into {}", water.value, holds.value),
                "weigh the water to the fill line again; 1 ml of water weighs 1 g",
            )
            .at(&water.place, "water to the fill line")
            .at(&holds.place, "to the brim"),
        );
        return None;
    }
    let id = if id.is_empty() { name.map_or_else(|| "vessel".to_owned(), |n| n.value) } else { id.to_owned() };
    Some(Vessel {
        id,
        material: material?.value,
        supplier: form.text("supplier").map(|t| t.value),
        shape,
        inside,
        holds: holds.map(|h| h.value),
        water: water.map(|w| w.value),
        lid: form.yes_no("lid").unwrap_or(false),
        place: form.place(),
    })
}

/// The keys of a sales package.
pub(super) const PACKAGE_KEYS: &[&str] = &["round", "box", "lid"];

/// Reads `package: {box: {width: …, height: …}}`.
pub(super) fn package(node: &Node, report: &Report) -> Option<Package> {
    let form = Form::open(node, "a package", PACKAGE_KEYS, report)?;
    one_of(&form, PACKAGE_KEYS, "keep the one that bears the label", report)?;
    if let Some(lid) = form.get("lid") {
        let lid = Form::open(lid, "a lid", &["diameter"], report)?;
        return Some(Package::Lid { diameter: sized(&lid, "diameter", "73 mm", report)? });
    }
    shape(&form, report).map(|(shape, _)| shape)
}

/// What to do where a straight and a tapered wall stand side by side.
const STRAIGHT: &str = "keep `diameter` for a straight wall, `widest` and `narrowest` for a tapered one";

/// Two shapes at once leave open which panel counts; that is told.
fn one_of(form: &Form<'_>, keys: &[&str], cure: &str, report: &Report) -> Option<()> {
    let there: Vec<&str> = keys.iter().copied().filter(|k| form.get(k).is_some()).collect();
    let [first, second, ..] = there.as_slice() else { return Some(()) };
    let message = format!("`{first}` and `{second}` stand side by side: it is not clear which one counts");
    let mut finding = Finding::input("file/two-shapes", message, cure);
    for key in [second, first] {
        if let Some(node) = form.get(key) {
            finding = finding.at(&node.place, "one of two");
        }
    }
    report.add(finding);
    None
}

/// The outer shape, and its greatest width.
fn shape(form: &Form<'_>, report: &Report) -> Option<(Package, Length)> {
    one_of(form, &["round", "box"], "keep the one that bears the label", report)?;
    if let Some(node) = form.get("box") {
        let form = Form::open(node, "a box", &["width", "height", "depth"], report)?;
        let (width, height) = (sized(&form, "width", "60 mm", report), sized(&form, "height", "80 mm", report));
        let depth = form.get("depth").map(|_| sized(&form, "depth", "60 mm", report));
        let (width, height) = (width?, height?);
        let widest = depth.map_or(Some(width), |depth| Some(depth?.max(width)))?;
        return Some((Package::Box { width, height }, widest));
    }
    let node = form.need("round", "{diameter: 73 mm, wall height: 88 mm}`, or `box: {width: 60 mm, height: 80 mm}")?;
    let form = Form::open(node, "a round vessel", &["diameter", "widest", "narrowest", "wall height"], report)?;
    one_of(&form, &["diameter", "widest"], STRAIGHT, report)?;
    one_of(&form, &["diameter", "narrowest"], STRAIGHT, report)?;
    let height = sized(&form, "wall height", "88 mm", report);
    let (diameter, widest) = if form.get("widest").is_some() || form.get("narrowest").is_some() {
        let (widest, narrowest) = (sized(&form, "widest", "80 mm", report), sized(&form, "narrowest", "70 mm", report));
        let (widest, narrowest) = (widest?, narrowest?);
        if narrowest > widest {
            let message = format!("the narrowest, {narrowest}, is wider than the widest, {widest}");
            let finding = Finding::input("file/out-of-range", message, "swap the two, or measure again");
            report.add(finding.at(&form.place(), "here"));
            return None;
        }
        ((widest + narrowest) / 2, widest)
    } else {
        let diameter = sized(&form, "diameter", "73 mm", report)?;
        (diameter, diameter)
    };
    Some((Package::Round { diameter, height: height? }, widest))
}

/// A length between 1 mm (inside: 5 mm) and 1 m.
fn sized(form: &Form<'_>, key: &str, example: &str, report: &Report) -> Option<Length> {
    let length = form.need(key, example)?.quantity::<Length>(report)?;
    let least = Length::mm(if key == "inside diameter" { 5 } else { 1 });
    if length.value < least || length.value > Length::mm(1000) {
        report.add(
            Finding::input(
                "file/out-of-range",
                format!("`{key}` is {}", length.value),
                format!("write a size between {least} and 1 m, for example `{key}: {example}`"),
            )
            .at(&length.place, "here"),
        );
        return None;
    }
    Some(length.value)
}
