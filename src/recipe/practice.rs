//! What the bench should know of a recipe beside its loads: fill against water, heat against flash point.

use crate::find::{Finding, Level};
use crate::product::{Fill, Product, Role};
use crate::trade::{Evidence, Severity};
use crate::unit::Temperature;

/// Findings on fill and temperatures. The bands are common practice without a source.
#[must_use]
pub fn practice(product: &Product) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(fill_against_water(product));
    findings.extend(hot_wax(product));
    findings.extend(oil_above_its_flash_point(product));
    findings
}

/// Wax filled to the same line as water weighs 0.75 to 1.00 of it; outside of that a unit or a figure is wrong.
fn fill_against_water(product: &Product) -> Option<Finding> {
    let vessel = product.vessel.as_ref()?;
    let (water, place) = (vessel.water?, product.places.of("fill"));
    let fill = match product.fill {
        Fill::Target(fill) => fill,
        Fill::Estimate(guess) => {
            return Some(
                Finding::of(
                    "recipe/estimated-fill",
                    Level::Warning,
                    Severity::Advice,
                    Some(Evidence::Secondary),
                    format!(
                        "the fill, {}, is an estimate from {} of water; real fills differ by a tenth",
                        guess.in_g(0),
                        water.in_g(0)
                    ),
                    "fill one vessel to the line, let it set, weigh what is in it, and write that as `fill`",
                )
                .at(place, "estimated"),
            );
        }
    };
    let (level, message) = if fill > water {
        (Level::Error, "wax floats on water, so it cannot weigh more")
    } else if fill.times_ratio(100, 1) < water.times_ratio(75, 1) {
        (Level::Warning, "wax to the same line weighs at least three quarters of it")
    } else {
        return None;
    };
    Some(
        Finding::of(
            "recipe/fill-against-water",
            level,
            Severity::Policy,
            Some(Evidence::Policy),
            format!("the fill is {} where the vessel takes {} of water: {message}", fill.in_g(1), water.in_g(1)),
            "check both figures and their units: a jar's fluid ounces are not the weight of its wax",
        )
        .at(place, "fill")
        .at(&vessel.place, "this vessel"),
    )
}

/// A pot above 100 °C is doubted, above 120 °C refused (common practice, no source: ceilings from 93 to 121 °C are in use).
fn hot_wax(product: &Product) -> Vec<Finding> {
    let hottest = |m: &crate::product::Material| {
        [m.max_temperature, m.add_at.map(|a| a.1), m.pour_at.map(|p| p.1)].into_iter().flatten().max()
    };
    let waxes = product.recipe.iter().filter(|l| l.role == Role::Wax);
    waxes
        .filter_map(|l| {
            let heat = hottest(&l.material).filter(|t| *t > Temperature::c(100))?;
            let level = if heat > Temperature::c(120) { Level::Error } else { Level::Warning };
            Some(
                Finding::of(
                    "recipe/wax-too-hot",
                    level,
                    Severity::Advice,
                    Some(Evidence::Secondary),
                    format!(
                        "{} is to be heated to {heat}; hot wax near its flash point catches fire like fat",
                        l.material.name
                    ),
                    "check the figure and its unit (`F` or `C`) on the wax's sheet; a water bath never passes 100 °C",
                )
                .at(&l.material.place, "this wax"),
            )
        })
        .collect()
}

/// Adding fragrance at or above its flash point is common and no fault, but then nothing may light the vapour.
fn oil_above_its_flash_point(product: &Product) -> Vec<Finding> {
    let add =
        product.recipe.iter().filter(|l| l.role == Role::Wax).filter_map(|l| l.material.add_at).map(|a| a.1).max();
    let Some(add) = add else { return Vec::new() };
    let oils = product.recipe.iter().filter(|l| l.role == Role::Fragrance);
    oils.filter_map(|l| {
        let flash = l.material.flash_point.filter(|flash| add >= *flash)?;
        Some(
            Finding::of(
                "recipe/oil-above-flash-point",
                Level::Note,
                Severity::Advice,
                Some(Evidence::Secondary),
                format!("{} goes in at up to {add}, at or above its flash point of {flash}", l.material.name),
                "no flame and no glowing heater within reach while you stir; put the lid on",
            )
            .at(&l.material.place, "this fragrance"),
        )
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::practice;
    use crate::find::Level;
    use crate::recipe::example::{product, written};

    const BENCH: &str = "workshop: {maker: {name: Quillmere Candle Shed, town: Quillmere, postcode: '00000', country: US}, \
                         scales: [{name: bench, reads to: 1 g, up to: 5 kg}]}\n";

    fn jar(fill: &str) -> Vec<(String, Level)> {
        let p = written(&format!(
            "kind: container candle\nwick: {{type: cotton}}\nfill: {fill}\nrecipe: [{{use: {{material: Soy, role: wax}}}}]\n\
             vessel: {{made of: glass, round: {{diameter: 73 mm, wall height: 88 mm}}, water to fill line: 200 g}}\n{BENCH}"
        ));
        practice(&p).into_iter().map(|f| (f.id, f.level)).collect()
    }

    /// The band 0.75 to 1.00 of the water's weight: common practice, no source.
    #[test]
    fn a_fill_outside_its_share_of_the_water_is_told() {
        let against = |level| vec![("recipe/fill-against-water".to_owned(), level)];
        assert_eq!(jar("149.9 g"), against(Level::Warning));
        assert_eq!(jar("150 g"), []);
        assert_eq!(jar("200 g"), []);
        assert_eq!(jar("200.1 g"), against(Level::Error));
        assert_eq!(jar("estimate"), [("recipe/estimated-fill".to_owned(), Level::Warning)]);
    }

    #[test]
    fn heat_is_held_against_flash_point_and_bath() {
        let told = |wax: &str, oil: &str| -> Vec<(String, Level)> {
            let recipe = format!(
                "[{{use: {{material: Soy, role: wax, {wax}}}}}, {{use: {{material: Oil, role: fragrance, {oil}}}, load: 6 %, of: wax}}]"
            );
            practice(&product(&recipe, "9 oz", "")).into_iter().map(|f| (f.id, f.level)).collect()
        };
        assert_eq!(told("max temperature: 100 C", "flash point: 93 C"), []);
        assert_eq!(told("max temperature: 100.1 C", "flash point: 93 C")[0].1, Level::Warning);
        assert_eq!(told("max temperature: 185 C", "flash point: 93 C")[0].1, Level::Error);
        assert_eq!(told("add at: 80 C", "flash point: 80 C")[0], ("recipe/oil-above-flash-point".into(), Level::Note));
        assert_eq!(told("add at: 79 C", "flash point: 80 C"), []);
    }
}
