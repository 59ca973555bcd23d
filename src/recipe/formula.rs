//! From loads on either basis to the exact share of every line in the finished candle; before `limit` and `pour`.
//!
//! With F the fill, W the wax base (all waxes, and additives that count as wax), r the loads of wax and q those of
//! total that do not count as wax: `W = F (1 - sum q) / (1 + sum r)`, a line of wax is `r W`, one of total `q F`.

use super::ratio::Ratio;
use crate::find::{Evidence, Finding, Level, Place, Severity};
use crate::product::{Amount, Basis, Line, Material, Product, Role};
use crate::unit::Share;
use std::sync::Arc;

/// The exact composition of a recipe.
#[derive(Debug, Clone)]
pub struct Formula {
    /// The lines in the recipe's order; their shares come to exactly the whole.
    pub lines: Vec<FormulaLine>,
    /// Share of the wax base in the finished candle.
    pub wax: Ratio,
}

/// One line of the composition.
#[derive(Debug, Clone)]
pub struct FormulaLine {
    /// What it is.
    pub material: Arc<Material>,
    /// The role it plays here.
    pub role: Role,
    /// As the recipe states it.
    pub amount: Amount,
    /// Whether it belongs to the wax base.
    pub is_base: bool,
    /// Its share of the finished candle (wax, fragrance, dye, additives).
    pub of_total: Ratio,
    /// Where the recipe has it.
    pub place: Place,
}

impl Formula {
    /// Share of `line` measured against the wax base.
    #[must_use]
    pub fn of_wax(&self, line: &FormulaLine) -> Ratio {
        Ratio::new(line.of_total.num(), self.wax.num())
    }

    /// Share of all fragrance in the finished candle.
    #[must_use]
    pub fn fragrance_of_total(&self) -> Ratio {
        Ratio::new(self.fragrance(), self.wax.den())
    }

    /// All fragrance measured against the wax base.
    #[must_use]
    pub fn fragrance_of_wax(&self) -> Ratio {
        Ratio::new(self.fragrance(), self.wax.num())
    }

    /// Share of these lines together on one basis.
    pub(super) fn on(&self, lines: &[usize], basis: Basis) -> Ratio {
        let num = lines.iter().filter_map(|i| self.lines.get(*i)).map(|l| l.of_total.num()).sum();
        Ratio::new(num, if basis == Basis::Wax { self.wax.num() } else { self.wax.den() })
    }

    fn fragrance(&self) -> i128 {
        self.lines.iter().filter(|l| l.role == Role::Fragrance).map(|l| l.of_total.num()).sum()
    }
}

const WHOLE: i128 = Share::WHOLE.to_ppb() as i128;

/// Works out the composition of a product.
///
/// # Errors
/// `practice/recipe-adds-up` when the loads together leave no wax, or come to more than the wax.
pub fn formula(product: &Product) -> Result<Formula, Finding> {
    let recipe = &product.recipe;
    let is_base = |l: &Line| l.role == Role::Wax || (l.role == Role::Additive && l.material.counts_as_wax);
    let sum = |base: bool, basis: Basis| -> i128 {
        recipe.iter().filter(|l| is_base(l) == base).filter_map(|l| load(l, basis)).sum()
    };
    let (of_wax, of_total) = (sum(false, Basis::Wax), sum(false, Basis::Total));
    let (base_wax, base_total) = (sum(true, Basis::Wax), sum(true, Basis::Total));
    let told = |message: String| {
        let mut finding = Finding::of(
            "practice/recipe-adds-up",
            Level::Error,
            Severity::Advice,
            Some(Evidence::Secondary),
            message,
            "check each load and its basis: together they must leave wax over, and usual loads are 3 to 12 %",
        );
        let loads = recipe.iter().filter(|l| matches!(l.amount, Amount::Load(_)));
        for line in loads {
            finding = finding.at(&line.place, "this line");
        }
        finding
    };
    if of_wax > WHOLE || of_total >= WHOLE {
        let (sum, basis) = if of_total >= WHOLE { (of_total, "total") } else { (of_wax, "wax") };
        let tenths = sum / 1_000_000;
        return Err(told(format!("the loads of {basis} come to {}.{} % together", tenths / 10, tenths % 10)));
    }

    // Numerators over one denominator: WHOLE (WHOLE + sum r) WHOLE, below 2^91 since sum r is at most WHOLE.
    let den = WHOLE * (WHOLE + of_wax) * WHOLE;
    let base = WHOLE * (WHOLE - of_total) * WHOLE;
    let of_load = |l: &Line| match l.amount {
        Amount::Load(load) if load.of == Basis::Wax => ppb(load.share) * (WHOLE - of_total) * WHOLE,
        Amount::Load(load) => ppb(load.share) * (WHOLE + of_wax) * WHOLE,
        _ => 0,
    };
    // what counts as wax is taken out of the wax base; the waxes share the rest
    let counted = base_wax * (WHOLE - of_total) + base_total * (WHOLE + of_wax);
    let waxes = base / WHOLE - counted;
    if waxes <= 0 {
        return Err(told("the additives that count as wax leave no wax".to_owned()));
    }
    let parts: i128 = recipe.iter().map(|l| if let Amount::PartOfWax(p) = l.amount { ppb(p) } else { 0 }).sum();
    let lines = recipe
        .iter()
        .map(|l| {
            let num = match l.amount {
                Amount::PartOfWax(part) => waxes * ppb(part),
                Amount::Rest => waxes * (WHOLE - parts),
                Amount::Load(_) => of_load(l),
            };
            FormulaLine {
                material: l.material.clone(),
                role: l.role,
                amount: l.amount,
                is_base: is_base(l),
                of_total: Ratio::new(num, den),
                place: l.place.clone(),
            }
        })
        .collect();
    Ok(Formula { lines, wax: Ratio::new(base, den) })
}

fn load(line: &Line, basis: Basis) -> Option<i128> {
    match line.amount {
        Amount::Load(load) if load.of == basis => Some(ppb(load.share)),
        _ => None,
    }
}

fn ppb(share: Share) -> i128 {
    i128::from(share.to_ppb())
}

#[cfg(test)]
mod tests {
    use super::{Formula, formula};
    use crate::product::example::product;
    use crate::unit::{Mass, Quantity};

    fn grams(recipe: &str, fill: &str) -> Vec<String> {
        let formula = formula(&product(recipe, fill, "")).unwrap();
        let whole = Mass::parse(fill).unwrap();
        formula.lines.iter().map(|l| l.of_total.of(whole).in_g_fixed(2)).collect()
    }

    fn sums_to_one(formula: &Formula) {
        assert_eq!(formula.lines.iter().map(|l| l.of_total.num()).sum::<i128>(), formula.wax.den());
    }

    /// Table for a fill of 12 oz = 340.194 g, computed by hand from wax = F / (1 + r) and wax = F (1 - r).
    #[test]
    fn twelve_ounces_at_five_loads_on_both_bases() {
        for (load, of_wax, of_total, as_total, as_wax) in [
            (6, ["320.94", "19.26"], ["319.78", "20.41"], "5.66 %", "6.382 %"),
            (8, ["314.99", "25.20"], ["312.98", "27.22"], "7.407 %", "8.695 %"),
            (9, ["312.10", "28.09"], ["309.58", "30.62"], "8.256 %", "9.89 %"),
            (10, ["309.27", "30.93"], ["306.17", "34.02"], "9.09 %", "11.111 %"),
            (12, ["303.74", "36.45"], ["299.37", "40.82"], "10.714 %", "13.636 %"),
        ] {
            let recipe = |of: &str| {
                format!(
                    "[{{use: {{material: Soy, role: wax}}}}, {{use: {{material: Oil, role: fragrance}}, load: {load} %, of: {of}}}]"
                )
            };
            assert_eq!(grams(&recipe("wax"), "12 oz"), of_wax);
            assert_eq!(grams(&recipe("total"), "12 oz"), of_total);
            let f = formula(&product(&recipe("wax"), "12 oz", "")).unwrap();
            sums_to_one(&f);
            // the table rounds, shares are cut off: 6.383 and 8.696, 8.257 there
            assert_eq!(f.fragrance_of_total().share().in_percent(3), as_total);
            let f = formula(&product(&recipe("total"), "12 oz", "")).unwrap();
            assert_eq!(f.fragrance_of_wax().share().in_percent(3), as_wax);
        }
    }

    /// Worked by hand: 12 oz, oil 9 %, stearin 3 % and dye 0.05 %, all of wax; with stearin in the wax base the oil is 28.08 g.
    #[test]
    fn stearin_and_dye_beside_the_oil() {
        let recipe = |counts: &str| {
            format!(
                "[{{use: {{material: Paraffin, role: wax}}}}, {{use: {{material: Oil, role: fragrance}}, load: 9 %, of: wax}},
                  {{use: {{material: Stearin, role: additive, counts as wax: {counts}}}, load: 3 %, of: wax}},
                  {{use: {{material: Brown, role: dye}}, load: 0.05 %, of: wax}}]"
            )
        };
        assert_eq!(grams(&recipe("no"), "12 oz"), ["303.61", "27.32", "9.11", "0.15"]);
        let dye = formula(&product(&recipe("no"), "12 oz", "")).unwrap().lines[3].of_total.of(Mass::oz(12));
        assert_eq!(dye.in_g_fixed(3), "0.152");
        let counted = formula(&product(&recipe("yes"), "12 oz", "")).unwrap();
        sums_to_one(&counted);
        assert_eq!(counted.lines[1].of_total.of(Mass::oz(12)).in_g_fixed(2), "28.08");
        // wax and stearin are the base: 340.194 / 1.0905 = 311.961 g, of which 3 % are stearin
        assert_eq!(counted.wax.of(Mass::oz(12)).in_g_fixed(2), "311.96");
        assert_eq!(counted.lines[2].of_total.of(Mass::oz(12)).in_g_fixed(2), "9.36");
    }

    /// Common practice, no source: 12 oz at 9 % of wax is about 312 g of wax and 28 g of oil;
    /// an 11 oz fill (about 311 g) holds about 285 g of wax at 9 %.
    #[test]
    fn the_trades_own_examples() {
        let recipe = "[{use: {material: Soy, role: wax}}, {use: {material: Oil, role: fragrance}, load: 9 %, of: wax}]";
        let rounded = |fill| -> Vec<String> {
            let f = formula(&product(recipe, fill, "")).unwrap();
            f.lines.iter().map(|l| l.of_total.of(Mass::parse(fill).unwrap()).in_g_fixed(0)).collect()
        };
        assert_eq!(rounded("12 oz"), ["312", "28"]);
        assert_eq!(rounded("311 g")[0], "285");
        assert_eq!(rounded("11 oz"), ["286", "26"]); // 311.84 g: the 285 above belongs to 311 g
    }

    /// A teaching page's figures: 255 g of water, 0.86 of it as fill = 219.3 g; at 10 % of wax 199.36 g and 19.94 g.
    #[test]
    fn a_fill_from_the_water_weight() {
        let recipe =
            "[{use: {material: Soy, role: wax}}, {use: {material: Oil, role: fragrance}, load: 10 %, of: wax}]";
        assert_eq!(grams(recipe, "219.3 g"), ["199.36", "19.94"]);
    }

    /// 220 g at 10 %: 200 g and 20 g when taken of the wax, 198 g and 22 g when taken of the total (a supplier's teaching page).
    #[test]
    fn one_percentage_is_two_recipes() {
        let recipe = |of| {
            format!(
                "[{{use: {{material: Soy, role: wax}}}}, {{use: {{material: Oil, role: fragrance}}, load: 10 %, of: {of}}}]"
            )
        };
        assert_eq!(grams(&recipe("wax"), "220 g"), ["200.00", "20.00"]);
        assert_eq!(grams(&recipe("total"), "220 g"), ["198.00", "22.00"]);
    }

    #[test]
    fn several_waxes_share_the_base_by_their_parts() {
        let recipe = "[{use: {material: Soy, role: wax}}, {use: {material: Coconut, role: wax}, part: 30 %},
            {use: {material: Oil, role: fragrance}, load: 10 %, of: total}, {use: {material: Musk, role: fragrance}, load: 5 %, of: wax}]";
        // F = 210 g: oil 21, W = 189 / 1.05 = 180, of which 54 and 126; musk 9 (by hand)
        assert_eq!(grams(recipe, "210 g"), ["126.00", "54.00", "21.00", "9.00"]);
    }

    #[test]
    fn loads_over_the_whole_are_refused() {
        for (loads, told) in [
            (
                "60 %, of: total}, {use: {material: B, role: fragrance}, load: 40 %, of: total",
                "of total come to 100.0 %",
            ),
            ("60 %, of: wax}, {use: {material: B, role: fragrance}, load: 50.5 %, of: wax", "of wax come to 110.5 %"),
            (
                "9 %, of: wax}, {use: {material: B, role: additive, counts as wax: yes}, load: 100 %, of: wax",
                "leave no wax",
            ),
        ] {
            let recipe = format!(
                "[{{use: {{material: Soy, role: wax}}}}, {{use: {{material: A, role: fragrance}}, load: {loads}}}]"
            );
            let finding = formula(&product(&recipe, "9 oz", "")).unwrap_err();
            assert!(finding.message.contains(told), "{}", finding.message);
            assert_eq!(finding.places.len(), 2);
        }
    }
}
