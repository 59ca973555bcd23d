//! Content of the batch sheet: what to weigh, what to measure, where to stop. Plain data, set by a later room.
//!
//! Every text is ready to print. Where a column or box is to be filled by hand, the sheet says so by leaving it empty.

use super::cautions::{CAUTIONS, DEFERENCE, KNOWN_FROM};
use super::code::LotCode;
use super::draw::Draw;
use super::pieces::{Pieces, counted_rows};
use super::quantity::Quantity;
use crate::product::{Amount, Basis, Fill, Material, Product, Role};
use crate::recipe::{Pour, PourLine};
use crate::trade::Lang;
use crate::unit::{Days, Mass, Temperature};
use jiff::SignedDuration;
use jiff::civil::Date;
use serde::Serialize;

/// The batch sheet of one lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BatchSheet {
    /// `Batch sheet`.
    pub title: String,
    /// Who makes it.
    pub maker: String,
    /// The lot's code.
    pub code: LotCode,
    /// Name of the product.
    pub product: String,
    /// Day of the pour, `2026-11-25`.
    pub date: String,
    /// Units of sale.
    pub units: u32,
    /// What the lot comes to, in rows of name and value.
    pub summary: Vec<(String, String)>,
    /// One table a pitcher.
    pub pitchers: Vec<PitcherTable>,
    /// What goes into the whole lot, with room for the supplier's lot.
    pub materials: Vec<MaterialRow>,
    /// The supplier's lots it comes from, where deliveries are recorded.
    pub taken: Vec<TakenRow>,
    /// Where to stop: temperatures of this recipe.
    pub ceilings: Vec<Ceiling>,
    /// Boxes for measured values, in the order of the work.
    pub boxes: Vec<MeasuredBox>,
    /// Safety at the bench.
    pub cautions: Vec<String>,
    /// How the cautions are known.
    pub cautions_known_from: String,
    /// Rest before the first burn, where product or wax state one.
    pub cure: Option<Days>,
    /// Whether the goods have a flame, and so a first burn test.
    pub burns: bool,
    /// First day of sale and first burn test: pour and cure.
    pub first_sale: Option<String>,
    /// What the sheet yields to.
    pub deference: String,
}

/// What goes into one pitcher.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PitcherTable {
    /// `Pitcher 1 of 5`, or `In one pot`.
    pub heading: String,
    /// Headings of the columns; the fourth is filled by hand.
    pub columns: [String; 4],
    /// Lines in the recipe's order, the scale's decimals.
    pub lines: Vec<WeighLine>,
    /// Sum of the pitcher in grams.
    pub total: String,
}

/// One line to weigh.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct WeighLine {
    /// Name of the material.
    pub material: String,
    /// As the recipe states it: `8 % of wax`.
    pub share: String,
    /// Grams with the scale's decimals, without unit.
    pub grams: String,
    /// Which scale.
    pub scale: String,
}

/// One material of the lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MaterialRow {
    /// Name of the material.
    pub material: String,
    /// `wax`, `fragrance`, `dye`, `additive`, `wick`, `vessel`, `lid`, `label`, `box`.
    pub role: String,
    /// Who sells it, where known.
    pub supplier: Option<String>,
    /// How much for the whole lot, with its unit.
    pub planned: String,
    /// Date and revision of its safety sheet, where the file has one.
    pub safety_sheet: Option<String>,
}

/// What is taken from one supplier's lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct TakenRow {
    /// Name of the material.
    pub material: String,
    /// The supplier's lot.
    pub lot: String,
    /// How much, with its unit.
    pub amount: String,
    /// Units that may hold it: `1 to 12`.
    pub units: String,
}

/// A temperature not to be passed, or the window to work in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Ceiling {
    /// What it is: `never hotter`, `add fragrance at`, `pour at`, `flash point`.
    pub what: String,
    /// Whose figure.
    pub material: String,
    /// In both units.
    pub value: String,
}

/// A box to be filled by hand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MeasuredBox {
    /// What is measured.
    pub label: String,
    /// Unit or kind of entry: `°C / °F`, `time`, `g`, `count`, `name`, `text`.
    pub entry: String,
    /// What it should be, where there is a figure.
    pub target: Option<String>,
}

/// Thermometers of either kind are in use; the one that was read is ringed.
const DEGREES: &str = "°C / °F";

/// Puts the sheet together.
#[must_use]
pub fn batch_sheet(product: &Product, pour: &Pour, code: &LotCode) -> BatchSheet {
    let scented = product.recipe.iter().any(|l| l.role == Role::Fragrance);
    let cure = cure(product);
    let first_sale = cure_until(product, code.date()).map(|d| d.to_string());
    BatchSheet {
        title: "Batch sheet".to_owned(),
        maker: product.workshop.maker.name.clone(),
        code: *code,
        product: name(product),
        date: code.date().to_string(),
        units: pour.units,
        summary: summary(product, pour),
        pitchers: pitchers(pour),
        materials: materials(product, pour),
        taken: Vec::new(),
        ceilings: ceilings(product),
        boxes: boxes(product, scented),
        cautions: CAUTIONS
            .iter()
            .filter(|c| (scented || !c.scented) && (product.kind.burns() || !c.burns))
            .map(|c| c.text.to_owned())
            .collect(),
        cautions_known_from: KNOWN_FROM.to_owned(),
        cure,
        burns: product.kind.burns(),
        first_sale,
        deference: DEFERENCE.to_owned(),
    }
}

fn name(product: &Product) -> String {
    let named = product.name.get(&Lang::En).or_else(|| product.name.values().next());
    named.map_or_else(|| product.id.clone(), Clone::clone)
}

impl BatchSheet {
    /// The sheet with the supplier's lots that were taken for it.
    #[must_use]
    pub fn with_lots(mut self, pour: &Pour, pieces: &[Pieces], draws: &[Draw]) -> Self {
        let lines = |material: &str| pour.lines.iter().any(|l| l.material == material);
        let name =
            |id: &str| pieces.iter().find(|p| p.material == id).map_or_else(|| id.to_owned(), |p| p.name.clone());
        let counted = draws.iter().filter(|d| !lines(&d.material)).map(|draw| TakenRow {
            material: name(&draw.material),
            lot: draw.supplier_lot.clone(),
            amount: draw.amount.to_string(),
            units: format!("{} to {}", draw.units.0, draw.units.1),
        });
        let counted: Vec<TakenRow> = counted.collect();
        for line in &pour.lines {
            for draw in draws.iter().filter(|d| d.material == line.material) {
                let row = TakenRow {
                    material: line.name.clone(),
                    lot: draw.supplier_lot.clone(),
                    amount: match draw.amount {
                        Quantity::Grams(mass) => format!("{} g", line.shown(mass)),
                        Quantity::Pieces(n) => n.to_string(),
                    },
                    units: format!("{} to {}", draw.units.0, draw.units.1),
                };
                if !self.taken.contains(&row) {
                    self.taken.push(row);
                }
            }
        }
        self.taken.extend(counted);
        self
    }
}

/// First day after cure; `None` where neither product nor wax state one.
#[must_use]
pub fn cure_until(product: &Product, poured: Date) -> Option<Date> {
    let days = cure(product)?;
    poured.checked_add(SignedDuration::from_hours(days.count().checked_mul(24)?)).ok()
}

/// The product's own cure, else the longest among its waxes.
fn cure(product: &Product) -> Option<Days> {
    product.cure.or_else(|| product.recipe.iter().filter(|l| l.role == Role::Wax).filter_map(|l| l.material.cure).max())
}

fn summary(product: &Product, pour: &Pour) -> Vec<(String, String)> {
    let fill = match product.fill {
        Fill::Target(fill) => fill.in_g(2),
        Fill::Estimate(fill) => format!("{} (estimate: fill one, weigh it, correct the product file)", fill.in_g(0)),
    };
    let mut rows = vec![("Units".to_owned(), pour.units.to_string())];
    if pour.candles != pour.units {
        rows.push(("Pieces".to_owned(), pour.candles.to_string()));
    }
    rows.push(("Fill of one, without wick and vessel".to_owned(), fill));
    rows.push(("To issue, with loss".to_owned(), format!("{} ({} loss)", pour.issue.in_g(1), pour.loss)));
    rows.push(("Sum of the lines below".to_owned(), pour.planned.in_g(3)));
    if pour.lines.iter().any(|l| l.role == Role::Fragrance) {
        let of = |share: crate::unit::Share, basis| format!("{} of {basis}", share.near_percent(2));
        let load = format!("{}, {}", of(pour.fragrance_of_wax, "wax"), of(pour.fragrance_of_total, "total"));
        rows.push(("Fragrance as weighed".to_owned(), load));
    }
    rows
}

/// `8 % of wax`; for waxes their part of the wax.
fn share(line: &PourLine, waxes: usize) -> String {
    match line.amount {
        Amount::Load(load) if load.of == Basis::Wax => format!("{} of wax", load.share),
        Amount::Load(load) => format!("{} of total", load.share),
        Amount::PartOfWax(part) => format!("{part} of the waxes"),
        Amount::Rest if waxes > 1 => "rest of the waxes".to_owned(),
        Amount::Rest => "all the wax".to_owned(),
    }
}

fn pitchers(pour: &Pour) -> Vec<PitcherTable> {
    let number = pour.pitchers.len();
    let waxes = pour.lines.iter().filter(|l| l.role == Role::Wax).count();
    let table = |(index, grams): (usize, &Vec<Mass>)| PitcherTable {
        heading: if number == 1 { "In one pot".to_owned() } else { format!("Pitcher {} of {number}", index + 1) },
        columns: ["Material", "Share", "Weigh (g)", "Weighed (g)"].map(str::to_owned),
        lines: pour
            .lines
            .iter()
            .zip(grams)
            .map(|(line, grams)| WeighLine {
                material: line.name.clone(),
                share: share(line, waxes),
                grams: line.shown(*grams),
                scale: line.scale.clone(),
            })
            .collect(),
        total: grams.iter().copied().sum::<Mass>().in_g(3),
    };
    pour.pitchers.iter().enumerate().map(table).collect()
}

fn materials(product: &Product, pour: &Pour) -> Vec<MaterialRow> {
    let sheet = |material: &Material| {
        let sheet = material.sheet.as_ref()?;
        Some(
            sheet.revision.as_ref().map_or_else(|| sheet.date.to_string(), |r| format!("{}, revision {r}", sheet.date)),
        )
    };
    let mut rows: Vec<MaterialRow> = product
        .recipe
        .iter()
        .zip(&pour.lines)
        .map(|(line, planned)| MaterialRow {
            material: line.material.name.clone(),
            role: line.role.word().to_owned(),
            supplier: line.material.supplier.clone(),
            planned: format!("{} g", planned.shown(planned.planned)),
            safety_sheet: sheet(&line.material),
        })
        .collect();
    rows.extend(counted_rows(product, pour));
    rows
}

/// One temperature or a window.
fn window((low, high): (Temperature, Temperature)) -> String {
    if low == high { low.to_string() } else { format!("{low} to {high}") }
}

fn ceilings(product: &Product) -> Vec<Ceiling> {
    let mut rows = Vec::new();
    for line in &product.recipe {
        let material = &line.material;
        let mut push = |what: &str, value: Option<String>| {
            if let Some(value) = value {
                rows.push(Ceiling { what: what.to_owned(), material: material.name.clone(), value });
            }
        };
        push("never hotter", material.max_temperature.map(|t| t.to_string()));
        push("add fragrance at", material.add_at.filter(|_| line.role == Role::Wax).map(window));
        push("pour at", material.pour_at.filter(|_| line.role == Role::Wax).map(window));
        push("flash point", material.flash_point.map(|t| t.to_string()));
    }
    rows
}

fn boxes(product: &Product, scented: bool) -> Vec<MeasuredBox> {
    let waxes = || product.recipe.iter().filter(|l| l.role == Role::Wax).map(|l| &l.material);
    // several waxes may differ: the coolest ceiling binds, windows are shown by the list of ceilings
    let coolest = waxes().filter_map(|m| m.max_temperature).min().map(|t| format!("at most {t}"));
    let only = |pick: fn(&Material) -> Option<(Temperature, Temperature)>| {
        let mut windows = waxes().filter_map(|m| pick(m));
        windows.next().filter(|first| windows.all(|other| other == *first)).map(window)
    };
    let row = |label: &str, entry: &str, target: Option<String>| MeasuredBox {
        label: label.to_owned(),
        entry: entry.to_owned(),
        target,
    };
    let mut rows = Vec::new();
    for scale in &product.workshop.scales {
        rows.push(row(&format!("{} reads a known weight", scale.name), "g", None));
    }
    rows.push(row("Wax melted at", "time", None));
    rows.push(row("Wax melted to", DEGREES, coolest));
    if scented {
        rows.push(row("Fragrance added at", "time", None));
        rows.push(row("Wax when fragrance went in", DEGREES, only(|m| m.add_at)));
        // common practice, no source
        rows.push(row("Stirred for", "min", Some("2 min".to_owned())));
    }
    rows.push(row("Poured at", "time", None));
    rows.push(row("Wax when poured", DEGREES, only(|m| m.pour_at)));
    // common practice, no source
    rows.push(row("Room", DEGREES, Some("18 to 24 °C (64 to 75 °F)".to_owned())));
    rows.push(row("Good pieces", "count", None));
    rows.push(row("Spoiled pieces", "count", None));
    rows.push(row("Left over", "g", None));
    rows.push(row("Labels printed / used / spoiled", "count", None));
    rows.push(row("What went otherwise", "text", None));
    rows.push(row("Weighed by", "name", None));
    rows.push(row("Checked by", "name", None));
    rows
}

#[cfg(test)]
mod tests {
    use super::{BatchSheet, batch_sheet};
    use crate::lot::LotCode;
    use crate::product::example::written;
    use crate::recipe::pour;

    fn sheet(keys: &str, units: u32) -> BatchSheet {
        let product = written(&format!(
            "{keys}workshop: {{maker: {{name: Quillmere Candle Shed, town: Quillmere, postcode: '00000', country: US}},
              scales: [{{name: bench, reads to: 1 g, up to: 5 kg}}, {{name: fine, reads to: 0.1 g, up to: 500 g}}], loss: 2 %, pitcher: 1.8 kg}}\n"
        ));
        let (pour, findings) = pour(&product, units);
        batch_sheet(&product, &pour.unwrap_or_else(|| panic!("{findings:?}")), &LotCode::parse("26329A4").unwrap())
    }

    fn low_tide() -> BatchSheet {
        sheet(
            "kind: container candle\nvessel: {vessel: Straight jar, made of: glass, round: {diameter: 73 mm, wall height: 88 mm}}\n\
             wick: {type: wood, width: 13 mm, count: 2}\nfill: 12 oz\nrecipe:\n\
             - {use: {material: Harbour soy, role: wax, supplier: Tarn and Daughters, max temperature: 185 F, add at: [165 F, 175 F], pour at: [130 F, 145 F], cure: 14 days}}\n\
             - {use: {material: Kelp and Cedar, role: fragrance, supplier: Fennimore Aromatics, flash point: 93 C, safety sheet: {date: 2026-03-02, revision: '4'}}, load: 9 %, of: wax}\n",
            24,
        )
    }

    /// Grams as in the worked example of the pour: 24 candles of 12 oz at 9 % of wax and 2 % loss in five pitchers.
    #[test]
    fn every_pitcher_has_its_grams_and_the_sums_agree() {
        let sheet = low_tide();
        assert_eq!(sheet.pitchers.len(), 5);
        let first = &sheet.pitchers[0];
        assert_eq!((first.heading.as_str(), first.total.as_str()), ("Pitcher 1 of 5", "1666.6 g"));
        let lines: Vec<_> = first.lines.iter().map(|l| [l.material.as_str(), &l.share, &l.grams, &l.scale]).collect();
        assert_eq!(
            lines,
            [["Harbour soy", "all the wax", "1529", "bench"], ["Kelp and Cedar", "9 % of wax", "137.6", "fine"]]
        );
        let rows: Vec<_> = sheet.materials.iter().map(|m| [m.role.as_str(), &m.material, &m.planned]).collect();
        assert_eq!(
            rows,
            [
                ["wax", "Harbour soy", "7643 g"],
                ["fragrance", "Kelp and Cedar", "688.0 g"],
                ["wick", "wood, 13 mm", "48"],
                ["vessel", "Straight jar", "24"]
            ]
        );
        assert_eq!(sheet.materials[1].safety_sheet.as_deref(), Some("2026-03-02, revision 4"));
        let row = |name: &str| sheet.summary.iter().find(|(n, _)| n == name).unwrap().1.clone();
        assert_eq!(row("To issue, with loss"), "8331.2 g (2 % loss)");
        assert_eq!(row("Sum of the lines below"), "8331 g");
    }

    #[test]
    fn this_recipes_ceilings_stand_beside_the_boxes() {
        let sheet = low_tide();
        let ceilings: Vec<String> =
            sheet.ceilings.iter().map(|c| format!("{}: {} {}", c.material, c.what, c.value)).collect();
        assert_eq!(
            ceilings,
            [
                "Harbour soy: never hotter 85 °C (185 °F)",
                "Harbour soy: add fragrance at 73.9 °C (165 °F) to 79.4 °C (175 °F)",
                "Harbour soy: pour at 54.4 °C (130 °F) to 62.8 °C (145 °F)",
                "Kelp and Cedar: flash point 93 °C (199 °F)"
            ]
        );
        let target = |label: &str| sheet.boxes.iter().find(|b| b.label == label).unwrap().target.clone().unwrap();
        assert_eq!(target("Wax melted to"), "at most 85 °C (185 °F)");
        assert_eq!(target("Wax when poured"), "54.4 °C (130 °F) to 62.8 °C (145 °F)");
        assert_eq!(sheet.boxes[0].label, "bench reads a known weight");
    }

    #[test]
    fn the_first_day_of_sale_follows_from_the_cure() {
        let sheet = low_tide();
        // 25 November and 14 days
        assert_eq!((sheet.date.as_str(), sheet.first_sale.as_deref()), ("2026-11-25", Some("2026-12-09")));
        assert_eq!(sheet.cure.unwrap().count(), 14);
    }

    #[test]
    fn an_unscented_pillar_gets_no_fragrance_boxes_or_cautions() {
        let pillar = sheet(
            "kind: pillar\nsize: {diameter: 3 in, height: 6 in}\nwick: {type: cotton}\nfill: 600 g\nrecipe: [{use: {material: Paraffin, role: wax}}]\n",
            2,
        );
        let text = serde_json::to_string(&pillar).unwrap().to_lowercase();
        assert!(!text.contains("fragrance") && !text.contains("neat oil"), "{text}");
        assert_eq!((pillar.pitchers[0].heading.as_str(), pillar.first_sale), ("In one pot", None));
        assert_eq!((pillar.cautions.len(), low_tide().cautions.len()), (8, 11));
    }

    /// Process cautions every candle maker's bench has; common practice, no source.
    #[test]
    fn the_cautions_name_the_known_dangers() {
        let text = low_tide().cautions.join(" ").to_lowercase();
        for known in [
            "never on direct heat",
            "do not leave",
            "water out of wax",
            "never water",
            "down the drain",
            "gloves",
            "30 cm",
        ] {
            assert!(text.contains(known), "{known}");
        }
        assert!(low_tide().deference.starts_with("Local fire and building codes"));
    }
}
