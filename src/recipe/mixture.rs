//! The finished candle as a mixture of substances: every material taken apart by section 3 of its sheet; for `hazard`.
//!
//! Of a range the upper end counts. What a sheet does not list, and materials without a sheet, count as not hazardous and
//! are told.

use super::formula::formula;
use super::pour::Pour;
use super::ratio::Ratio;
use crate::find::{Evidence, Finding, Level, Severity};
use crate::hazard::{Content, Ingredient, Mixture, Substance, beside_harmonised};
use crate::product::{Basis, Load, Material, Product, Role};
use crate::unit::{Mass, Share};
use std::sync::Arc;

/// A recipe's fragrance and the rest of it, each as a mixture of its own: for what changes with the load.
#[derive(Debug, Clone)]
pub struct Blend {
    /// All fragrance; its contents come to the whole.
    pub fragrance: Mixture,
    /// Everything else: wax, dye, additives.
    pub rest: Mixture,
}

impl Blend {
    /// The candle with this much fragrance of the total; the other materials keep their proportions among themselves.
    #[must_use]
    pub fn at(&self, load: Share) -> Mixture {
        let rest = Share::ppb(Share::WHOLE.to_ppb() - load.to_ppb()).unwrap_or(Share::ZERO);
        let part = |mixture: &Mixture, share: Share| -> Vec<Ingredient> {
            let scaled =
                |i: &Ingredient| Ingredient { substance: Arc::clone(&i.substance), content: i.content.times(share) };
            mixture.ingredients.iter().map(scaled).collect()
        };
        let mut mixture = Mixture::solid(self.fragrance.name.clone());
        mixture.ingredients = part(&self.fragrance, load);
        mixture.ingredients.extend(part(&self.rest, rest));
        mixture
    }
}

/// The candle as the recipe states it, and what had to be assumed.
///
/// # Errors
/// The findings that stop it: loads that leave no wax, a fragrance whose composition is missing.
pub fn mixture(product: &Product) -> Result<(Mixture, Vec<Finding>), Vec<Finding>> {
    let formula = formula(product).map_err(|f| vec![f])?;
    let lines = formula.lines.iter().map(|l| (&l.material, l.role, l.of_total.content()));
    composed(product.id.clone(), lines)
}

/// The candle as it will be weighed: of every material the share in the pitcher that has most of it.
///
/// # Errors
/// As [`mixture`].
pub fn mixture_as_weighed(product: &Product, pour: &Pour) -> Result<(Mixture, Vec<Finding>), Vec<Finding>> {
    let most = |at: usize| {
        let of = |grams: &Vec<Mass>| {
            let total: Mass = grams.iter().copied().sum();
            let part = grams.get(at).copied().unwrap_or(Mass::ZERO);
            Ratio::new(i128::from(part.to_ng()), i128::from(total.to_ng()).max(1)).content()
        };
        pour.pitchers.iter().map(of).max().unwrap_or(Content::ZERO)
    };
    let lines = product.recipe.iter().enumerate().map(|(at, line)| (&line.material, line.role, most(at)));
    composed(product.id.clone(), lines)
}

/// A wax candle that holds a material at a load, with nothing known of the wax.
///
/// # Errors
/// As [`mixture`].
pub fn at_load(material: &Arc<Material>, load: Load) -> Result<(Mixture, Vec<Finding>), Vec<Finding>> {
    let (share, whole) = (i128::from(load.share.to_ppb()), i128::from(Share::WHOLE.to_ppb()));
    let content = match load.of {
        Basis::Total => Ratio::new(share, whole),
        Basis::Wax => Ratio::new(share, whole + share),
    }
    .content();
    let (mut mixture, notes) = composed(material.id.clone(), std::iter::once((material, Role::Fragrance, content)))?;
    mixture.ingredients.push(unlisted("wax", content.rest()));
    Ok((mixture, notes))
}

/// Fragrance and rest of a product.
///
/// # Errors
/// As [`mixture`]; and a recipe without fragrance.
pub fn blend(product: &Product) -> Result<Blend, Vec<Finding>> {
    let formula = formula(product).map_err(|f| vec![f])?;
    let part = |fragrance: bool| {
        let lines = || formula.lines.iter().filter(move |l| (l.role == Role::Fragrance) == fragrance);
        let whole = lines().map(|l| l.of_total.num()).sum::<i128>().max(1);
        let parts = lines().map(move |l| (&l.material, l.role, Ratio::new(l.of_total.num(), whole).content()));
        composed(product.id.clone(), parts).map(|(mixture, _)| mixture)
    };
    let blend = Blend { fragrance: part(true)?, rest: part(false)? };
    if blend.fragrance.ingredients.is_empty() {
        return Err(vec![
            Finding::input(
                "hazard/no-fragrance",
                "the recipe has no fragrance: nothing changes with a load",
                "leave `--sweep` out",
            )
            .at(product.places.of("recipe"), "this recipe"),
        ]);
    }
    Ok(blend)
}

fn composed<'a>(
    name: String,
    lines: impl Iterator<Item = (&'a Arc<Material>, Role, Content)>,
) -> Result<(Mixture, Vec<Finding>), Vec<Finding>> {
    let (mut mixture, mut notes, mut faults) = (Mixture::solid(name), Vec::new(), Vec::new());
    for (material, role, content) in lines {
        let Some(sheet) = material.sheet.as_ref().filter(|s| s.entered) else {
            let missing = without_composition(material, role);
            if missing.level == Level::Error { &mut faults } else { &mut notes }.push(missing);
            mixture.ingredients.push(unlisted(&material.name, content));
            continue;
        };
        let mut listed = 0;
        for line in &sheet.composition {
            listed += line.percent.1.to_ppb();
            notes.extend(unlike_the_list(line));
            let substance = Arc::clone(&line.hazards);
            mixture.ingredients.push(Ingredient { substance, content: content.times(line.percent.1) });
        }
        if let Some(rest) = Share::ppb(Share::WHOLE.to_ppb() - listed).filter(|rest| *rest > Share::ZERO) {
            mixture.ingredients.push(unlisted(&format!("rest of {}", material.name), content.times(rest)));
        }
    }
    if faults.is_empty() { Ok((mixture, notes)) } else { Err(faults) }
}

/// A sheet that says less than the law's own list: told, the sheet is used all the same.
fn unlike_the_list(line: &crate::product::Substance) -> Option<Finding> {
    let (entry, lacks) = beside_harmonised(&line.hazards)?;
    let finding = Finding::of(
        "hazard/harmonised",
        Level::Warning,
        Severity::Advice,
        Some(Evidence::Regulator),
        format!("`{}`: the harmonised entry {} has {}, the sheet has not", line.name, entry.index, lacks.join(", ")),
        "ask the supplier; harmonised classes and limits bind (Art. 4(3)). The entry is of the list up to the 17th adaptation, \
         and Great Britain has a list of its own",
    );
    Some(finding.at(&line.place, "this line"))
}

/// What nothing is known of, counted as not hazardous.
fn unlisted(name: &str, content: Content) -> Ingredient {
    Ingredient { substance: Arc::new(Substance { name: name.to_owned(), ..Substance::default() }), content }
}

fn without_composition(material: &Material, role: Role) -> Finding {
    let name = &material.name;
    let cure = "enter section 3 of its safety data sheet under `safety sheet: {composition: …}`; `composition: none` where \
                the sheet lists no substance";
    let finding = |level, message: String| {
        let severity = if level == Level::Error { Severity::Input } else { Severity::Advice };
        let seen = (level != Level::Error).then_some(Evidence::Policy);
        Finding::of("hazard/composition-missing", level, severity, seen, message, cure)
            .at(&material.place, "this material")
    };
    match role {
        Role::Fragrance => finding(
            Level::Error,
            format!(
                "the composition of the fragrance `{name}` is missing: nothing can be said of the candle's hazards"
            ),
        ),
        Role::Wax => finding(Level::Note, format!("no composition of `{name}` is entered: it counts as not hazardous")),
        Role::Dye | Role::Additive => {
            finding(Level::Warning, format!("no composition of `{name}` is entered: it counts as not hazardous"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{at_load, blend, mixture, mixture_as_weighed};
    use crate::hazard::{Classification, Mixture, Rules, classify};
    use crate::product::{Basis, Load};
    use crate::recipe::pour;
    use crate::unit::{Quantity, Share};
    use jiff::civil::date;

    fn product(load: &str, of: &str) -> crate::product::Product {
        let recipe = format!(
            "[{{use: {{material: Soy, role: wax}}}}, {{use: {{material: Oil, role: fragrance, safety sheet: {{date: 2026-01-01, \
             composition: [{{name: isoeugenol, cas: 97-54-1, percent: 1.15, classes: [\"Skin Sens. 1A, H317\"]}}]}}}}, \
             load: {load}, of: {of}}}]"
        );
        crate::product::example::product(&recipe, "200 g", "")
    }

    fn classified(mixture: &Mixture) -> Classification {
        classify(mixture, Rules::Clp, date(2026, 11, 25))
    }

    /// Worked by hand: 9 % of total holds 0.09 x 1.15 = 0.1035 % of the substance, 9 % of wax 9/109 x 1.15 = 0.09495 %;
    /// the limit of Skin Sens. 1A is 0.1 % (Table 3.4.5), the one for EUH208 0.01 % (Table 3.4.6).
    #[test]
    fn one_percentage_is_two_labels() {
        let (of_total, _) = mixture(&product("9 %", "total")).unwrap();
        let (of_wax, _) = mixture(&product("9 %", "wax")).unwrap();
        let (total, wax) = (classified(&of_total), classified(&of_wax));
        assert_eq!(total.classes[0].to_string(), "Skin Sens. 1, H317");
        assert_eq!(total.classes[0].because[0].content.to_string(), "0.1035 %");
        assert!(total.euh208.is_empty());
        assert!(wax.classes.is_empty());
        assert_eq!(wax.euh208[0].name(), "isoeugenol");
        assert!(wax.euh208[0].content.to_string().starts_with("0.094954"));
    }

    #[test]
    fn a_material_at_a_load_gives_what_the_product_gives() {
        for (load, of, basis) in [("9 %", "total", Basis::Total), ("9 %", "wax", Basis::Wax)] {
            let product = product(load, of);
            let (mixture, _) = mixture(&product).unwrap();
            let load = Load { share: Share::parse(load).unwrap(), of: basis };
            let (alone, _) = at_load(&product.recipe[1].material, load).unwrap();
            assert_eq!(classified(&mixture).signature(), classified(&alone).signature());
        }
    }

    #[test]
    fn the_weighed_load_decides_where_the_scale_is_coarse() {
        // 0.1 g steps on 200 g: 17.3 g of 199 g would be 8.69 %, the stated load is just under the limit of 0.1 %
        let product = product("8.69 %", "total");
        let (stated, _) = mixture(&product).unwrap();
        assert!(classified(&stated).classes.is_empty());
        let (poured, findings) = pour(&product, 1);
        let poured = poured.unwrap_or_else(|| panic!("{findings:?}"));
        let (weighed, _) = mixture_as_weighed(&product, &poured).unwrap();
        let content = |m: &Mixture| m.ingredients.iter().find(|i| i.substance.name == "isoeugenol").unwrap().content;
        let grams = &poured.pitchers[0];
        let share = grams[1].to_g_f64() / (grams[0].to_g_f64() + grams[1].to_g_f64()) * 1.15;
        assert!((content(&weighed).to_percent_f64() - share).abs() < 1e-9);
    }

    #[test]
    fn a_fragrance_without_composition_stops_and_a_wax_is_told() {
        let recipe = "[{use: {material: Soy, role: wax}}, {use: {material: Oil, role: fragrance}, load: 8 %, of: wax}]";
        let faults = mixture(&crate::product::example::product(recipe, "200 g", "")).unwrap_err();
        assert_eq!(faults[0].id, "hazard/composition-missing");
        assert!(!faults[0].places.is_empty());
        let (mixture, notes) = mixture(&product("9 %", "wax")).unwrap();
        assert!(notes.iter().any(|n| n.message.contains("Soy")));
        assert_eq!(mixture.ingredients.len(), 3);
    }

    #[test]
    fn a_blend_at_the_recipes_load_is_the_recipe() {
        let product = product("8.7 %", "total");
        let at = blend(&product).unwrap().at(Share::parse("8.7 %").unwrap());
        let (mixture, _) = mixture(&product).unwrap();
        assert_eq!(classified(&at).signature(), classified(&mixture).signature());
    }
}
