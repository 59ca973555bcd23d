//! Which material lot each line of a pour comes from, oldest first or as named, and which units hold it. After `recipe`.

use super::quantity::Quantity;
use crate::find::Finding;
use crate::recipe::Pour;
use crate::unit::Mass;
use serde::Serialize;

/// A material lot in the store.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Stocked {
    /// The material's id.
    pub material: String,
    /// The supplier's lot.
    pub supplier_lot: String,
    /// What is left of it.
    pub left: Mass,
}

/// What a lot takes from one material lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Draw {
    /// The material's id.
    pub material: String,
    /// The supplier's lot.
    pub supplier_lot: String,
    /// How much.
    pub amount: Quantity,
    /// First and last unit that may hold it.
    pub units: (u32, u32),
}

/// Shares out the lines of a pour. `store` is in the order in which it is used up; `named` are pairs of material and
/// supplier's lot, in the order asked for. A material that is nowhere in `store` is left out: a workshop that keeps no
/// record of its deliveries pours all the same.
///
/// Where one lot runs out in the middle of a pitcher, every unit of that pitcher may hold either.
///
/// # Errors
/// A [`Finding`] for each material of which there is not enough, or whose named lot is not in the store.
pub fn draw(pour: &Pour, store: &[Stocked], named: &[(String, String)]) -> Result<Vec<Draw>, Vec<Finding>> {
    let (mut draws, mut findings) = (Vec::new(), Vec::new());
    for (material, _) in named.iter().filter(|(m, _)| !pour.lines.iter().any(|l| l.material == *m)) {
        let lines: Vec<&str> = pour.lines.iter().map(|l| l.material.as_str()).collect();
        findings.push(Finding::input(
            "lot/not-in-the-recipe",
            format!("`{material}` is no material of this recipe"),
            format!("it has `{}`", lines.join("`, `")),
        ));
    }
    let mut done: Vec<&str> = Vec::new();
    for (index, line) in pour.lines.iter().enumerate() {
        let material = line.material.as_str();
        if done.contains(&material) {
            continue; // a material that stands in two lines of the recipe is drawn once
        }
        done.push(material);
        let known: Vec<&Stocked> = store.iter().filter(|s| s.material == material).collect();
        let asked: Vec<&str> = named.iter().filter(|(m, _)| m == material).map(|(_, lot)| lot.as_str()).collect();
        if known.is_empty() && asked.is_empty() {
            continue;
        }
        let mut from = Vec::new();
        for lot in &asked {
            match known.iter().find(|s| s.supplier_lot == *lot) {
                Some(stocked) => from.push(*stocked),
                None => findings.push(no_such_lot(material, lot, &known)),
            }
        }
        if asked.is_empty() {
            from = known.into_iter().filter(|s| s.left > Mass::ZERO).collect();
        }
        let same: Vec<usize> = (index..pour.lines.len()).filter(|i| pour.lines[*i].material == material).collect();
        let by_pitcher: Vec<Mass> =
            pour.pitchers.iter().map(|p| same.iter().filter_map(|i| p.get(*i)).copied().sum()).collect();
        let needed: Mass = by_pitcher.iter().copied().sum();
        let there: Mass = from.iter().map(|s| s.left).sum();
        if there < needed {
            if from.len() == asked.len() || asked.is_empty() {
                findings.push(not_enough(&line.name, needed, there, !asked.is_empty()));
            }
            continue;
        }
        let mut begun = Mass::ZERO;
        for stocked in from {
            let amount = stocked.left.min(needed - begun);
            if amount <= Mass::ZERO {
                break;
            }
            draws.push(Draw {
                material: material.to_owned(),
                supplier_lot: stocked.supplier_lot.clone(),
                amount: Quantity::Grams(amount),
                units: units(pour, &by_pitcher, begun, begun + amount),
            });
            begun = begun + amount;
        }
    }
    if findings.is_empty() { Ok(draws) } else { Err(findings) }
}

/// Shares out what is counted, such as vessels: `number` of them for `units` units, oldest lot first. `store` holds
/// supplier's lots and what is left of each. Nothing where none was ever received.
///
/// # Errors
/// A [`Finding`] when there are not enough.
pub fn draw_pieces(material: &str, number: u32, units: u32, store: &[(String, u32)]) -> Result<Vec<Draw>, Finding> {
    if store.is_empty() || number == 0 {
        return Ok(Vec::new());
    }
    let there: u64 = store.iter().map(|(_, left)| u64::from(*left)).sum();
    if there < u64::from(number) {
        return Err(Finding::input(
            "lot/not-enough-material",
            format!("{material}: {number} pieces are needed, and there are {there} in the store"),
            "pour fewer, or enter what came in with `waxbill receive`",
        ));
    }
    // a unit of sale may hold several: the one where a lot ends holds both
    let unit = |nth: u32| u64::from(nth) * u64::from(units) / u64::from(number) + 1;
    let (mut begun, mut draws) = (0, Vec::new());
    for (lot, left) in store {
        let taken = (*left).min(number - begun);
        if taken == 0 {
            continue;
        }
        let ends = (unit(begun), unit(begun + taken - 1));
        draws.push(Draw {
            material: material.to_owned(),
            supplier_lot: lot.clone(),
            amount: Quantity::Pieces(taken),
            units: (u32::try_from(ends.0).unwrap_or(1), u32::try_from(ends.1).unwrap_or(units)),
        });
        begun += taken;
    }
    Ok(draws)
}

/// First and last unit of the pitchers into which the part from `begun` to `end` of a material went.
fn units(pour: &Pour, by_pitcher: &[Mass], begun: Mass, end: Mass) -> (u32, u32) {
    let whole: i128 = pour.pitchers.iter().flatten().map(|m| i128::from(m.to_ng())).sum::<i128>().max(1);
    let (mut first, mut last) = (pour.units, 1);
    let (mut of_material, mut of_all) = (Mass::ZERO, 0_i128);
    for (grams, pitcher) in by_pitcher.iter().zip(&pour.pitchers) {
        let before = of_all;
        of_all += pitcher.iter().map(|m| i128::from(m.to_ng())).sum::<i128>();
        let touched = *grams > Mass::ZERO && of_material < end && of_material + *grams > begun;
        of_material = of_material + *grams;
        if touched {
            let n = i128::from(pour.units);
            let from = u32::try_from(before * n / whole + 1).unwrap_or(1);
            let to = u32::try_from((of_all * n + whole - 1) / whole).unwrap_or(pour.units);
            first = first.min(from);
            last = last.max(to.min(pour.units));
        }
    }
    (first.min(last), last)
}

fn no_such_lot(material: &str, lot: &str, known: &[&Stocked]) -> Finding {
    let lots: Vec<&str> = known.iter().map(|s| s.supplier_lot.as_str()).collect();
    Finding::input(
        "lot/no-such-material-lot",
        format!("there is no lot `{lot}` of `{material}` in the store"),
        if lots.is_empty() {
            "enter it with `waxbill receive` first".to_owned()
        } else {
            format!("there are `{}`; enter another with `waxbill receive`", lots.join("`, `"))
        },
    )
}

fn not_enough(name: &str, needed: Mass, there: Mass, named: bool) -> Finding {
    let of = if named { "of the named lots" } else { "in the store" };
    Finding::input(
        "lot/not-enough-material",
        format!("{name}: {} are needed, and there are {} {of}", needed.in_g(3), there.in_g(3)),
        "pour fewer, name another lot as well, or enter what came in with `waxbill receive`",
    )
}

#[cfg(test)]
mod tests {
    use super::{Draw, Quantity, Stocked, draw, draw_pieces};
    use crate::product::example::product;
    use crate::recipe::{Pour, pour};
    use crate::unit::Mass;

    /// Four pitchers, so that a lot of oil can run out between them.
    fn four_pitchers() -> Pour {
        let bench = "scales: [{name: bench, reads to: 1 g, up to: 5 kg}, {name: fine, reads to: 0.1 g, up to: 500 g}], \
                     loss: 0 %, pitcher: 1.1 kg";
        let recipe = "[{use: {material: Wax, role: wax}, as: wax}, \
                      {use: {material: Oil, role: fragrance}, load: 10 %, of: total}]";
        let (poured, findings) = pour(&product(recipe, "100 g", bench), 40);
        poured.unwrap_or_else(|| panic!("{findings:?}"))
    }

    fn oil(lot: &str, left: Mass) -> Stocked {
        Stocked { material: "Oil".into(), supplier_lot: lot.into(), left }
    }

    /// By hand: 40 x 100 g in four pitchers of 1000 g, 100 g of oil in each, ten candles from each.
    #[test]
    fn a_lot_that_runs_out_between_pitchers_divides_the_units() {
        let pour = four_pitchers();
        assert_eq!(pour.pitchers.len(), 4);
        let draws = draw(&pour, &[oil("F-1", Mass::g(200)), oil("F-2", Mass::g(500))], &[]).unwrap();
        let want = |lot: &str, grams, units| Draw {
            material: "Oil".into(),
            supplier_lot: lot.into(),
            amount: Quantity::Grams(grams),
            units,
        };
        assert_eq!(draws, [want("F-1", Mass::g(200), (1, 20)), want("F-2", Mass::g(200), (21, 40))]);
    }

    /// Half of the second pitcher's oil is from the other lot: units 11 to 20 may hold both.
    #[test]
    fn a_lot_that_runs_out_inside_a_pitcher_marks_all_its_units() {
        let draws = draw(&four_pitchers(), &[oil("F-1", Mass::g(150)), oil("F-2", Mass::g(500))], &[]).unwrap();
        assert_eq!(draws.iter().map(|d| d.units).collect::<Vec<_>>(), [(1, 20), (11, 40)]);
        assert_eq!(draws.iter().map(|d| d.amount.number()).sum::<i64>(), Mass::g(400).to_ng());
    }

    #[test]
    fn named_lots_go_before_old_ones_and_must_be_there() {
        let store = [oil("F-1", Mass::g(900)), oil("F-2", Mass::g(500))];
        let named = |lot: &str| vec![("Oil".to_owned(), lot.to_owned())];
        assert_eq!(draw(&four_pitchers(), &store, &named("F-2")).unwrap()[0].supplier_lot, "F-2");
        let told = draw(&four_pitchers(), &store, &named("F-3")).unwrap_err();
        assert!(told[0].message.contains("`F-3`") && told[0].cure.contains("`F-1`, `F-2`"), "{told:?}");
        assert!(draw(&four_pitchers(), &store, &[("Salt".into(), "1".into())]).is_err());
    }

    #[test]
    fn one_nanogram_short_is_short_and_an_unknown_material_is_left_out() {
        let just = Mass::ng(Mass::g(400).to_ng() - 1);
        let told = draw(&four_pitchers(), &[oil("F-1", just)], &[]).unwrap_err();
        assert!(told[0].message.starts_with("Oil: 400 g are needed, and there are 399.999 g"), "{told:?}");
        assert_eq!(draw(&four_pitchers(), &[oil("F-1", Mass::g(400))], &[]).unwrap().len(), 1);
        assert_eq!(draw(&four_pitchers(), &[], &[]).unwrap(), []);
    }

    /// By hand: six packs of four cups; ten cups of the first lot fill two packs and half of the third.
    #[test]
    fn counted_things_are_shared_out_by_units() {
        let store = [("V-1".to_owned(), 10), ("V-2".to_owned(), 0), ("V-3".to_owned(), 20)];
        let draws = draw_pieces("cup", 24, 6, &store).unwrap();
        let got: Vec<_> = draws.iter().map(|d| (d.supplier_lot.as_str(), d.amount.number(), d.units)).collect();
        assert_eq!(got, [("V-1", 10, (1, 3)), ("V-3", 14, (3, 6))]);
        assert!(draw_pieces("cup", 31, 31, &store).unwrap_err().message.contains("there are 30"));
        assert_eq!(draw_pieces("cup", 24, 6, &[]).unwrap(), []);
    }
}
