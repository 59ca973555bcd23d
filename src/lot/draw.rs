//! Which material lot each line and piece of a pour comes from, oldest first or as named, and which units hold it. After `recipe`.

use super::pieces::Pieces;
use super::quantity::Quantity;
use crate::find::Finding;
use crate::recipe::Pour;
use crate::unit::Mass;
use serde::Serialize;
use std::iter;

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

/// Pieces of a material lot in the store.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Shelved {
    /// The thing's id.
    pub material: String,
    /// The supplier's lot.
    pub supplier_lot: String,
    /// How many are left of it.
    pub left: u32,
}

/// All material lots, each list in the order in which it is used up.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Store {
    /// Weighed.
    pub by_mass: Vec<Stocked>,
    /// Counted.
    pub by_count: Vec<Shelved>,
}

/// Shares out the lines of a pour and the pieces it takes. `named` are pairs of material and supplier's lot, in the order
/// asked for. A material that is nowhere in the store is left out: a workshop that keeps no record of its deliveries pours
/// all the same.
///
/// Where one lot runs out in the middle of a pitcher, every unit of that pitcher may hold either.
///
/// # Errors
/// A [`Finding`] for each material of which there is not enough, or whose named lot is not in the store.
pub fn draw(
    pour: &Pour,
    pieces: &[Pieces],
    store: &Store,
    named: &[(String, String)],
) -> Result<Vec<Draw>, Vec<Finding>> {
    let mut findings = Vec::new();
    let taken: Vec<&str> =
        pour.lines.iter().map(|l| l.material.as_str()).chain(pieces.iter().map(|p| p.material.as_str())).collect();
    for (material, _) in named.iter().filter(|(m, _)| !taken.contains(&m.as_str())) {
        findings.push(Finding::input(
            "lot/not-in-the-recipe",
            format!("`{material}` is no material of this recipe"),
            format!("it has `{}`", taken.join("`, `")),
        ));
    }
    let mut draws = Vec::new();
    let weighed = weighed(pour, &store.by_mass, named);
    let counted = pieces.iter().map(|p| counted(p, pour.units, &store.by_count, named));
    for shared in iter::once(weighed).chain(counted) {
        match shared {
            Ok(some) => draws.extend(some),
            Err(more) => findings.extend(more),
        }
    }
    if findings.is_empty() { Ok(draws) } else { Err(findings) }
}

/// The lots asked for of one material, and a finding for each that is not in the store.
fn asked<'a>(material: &str, named: &'a [(String, String)], known: &[&str]) -> (Vec<&'a str>, Vec<Finding>) {
    let of_it = named.iter().filter(|(m, _)| m == material).map(|(_, lot)| lot.as_str());
    let (there, missing): (Vec<&str>, Vec<&str>) = of_it.partition(|lot| known.contains(lot));
    (there, missing.into_iter().map(|lot| no_such_lot(material, lot, known)).collect())
}

fn weighed(pour: &Pour, store: &[Stocked], named: &[(String, String)]) -> Result<Vec<Draw>, Vec<Finding>> {
    let (mut draws, mut findings) = (Vec::new(), Vec::new());
    let mut done: Vec<&str> = Vec::new();
    for (index, line) in pour.lines.iter().enumerate() {
        let material = line.material.as_str();
        if done.contains(&material) {
            continue; // a material that stands in two lines of the recipe is drawn once
        }
        done.push(material);
        let known: Vec<&Stocked> = store.iter().filter(|s| s.material == material).collect();
        if known.is_empty() && !named.iter().any(|(m, _)| m == material) {
            continue;
        }
        let (asked, missing) =
            asked(material, named, &known.iter().map(|s| s.supplier_lot.as_str()).collect::<Vec<_>>());
        if !missing.is_empty() {
            findings.extend(missing);
            continue;
        }
        let from: Vec<&Stocked> = if asked.is_empty() {
            known.into_iter().filter(|s| s.left > Mass::ZERO).collect()
        } else {
            asked.iter().filter_map(|lot| known.iter().find(|s| s.supplier_lot == *lot)).copied().collect()
        };
        let same: Vec<usize> = (index..pour.lines.len()).filter(|i| pour.lines[*i].material == material).collect();
        let by_pitcher: Vec<Mass> =
            pour.pitchers.iter().map(|p| same.iter().filter_map(|i| p.get(*i)).copied().sum()).collect();
        let needed: Mass = by_pitcher.iter().copied().sum();
        let there: Mass = from.iter().map(|s| s.left).sum();
        if there < needed {
            findings.push(not_enough(&line.name, &needed.in_g(3), &there.in_g(3), !asked.is_empty()));
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

/// Shares out what is counted: `pieces` for `units` units of sale. Nothing where none was ever received.
fn counted(
    pieces: &Pieces,
    units: u32,
    store: &[Shelved],
    named: &[(String, String)],
) -> Result<Vec<Draw>, Vec<Finding>> {
    let Pieces { material, name, number } = pieces;
    let known: Vec<&Shelved> = store.iter().filter(|s| s.material == *material).collect();
    let lots: Vec<&str> = known.iter().map(|s| s.supplier_lot.as_str()).collect();
    let (asked, missing) = asked(material, named, &lots);
    if !missing.is_empty() {
        return Err(missing);
    }
    if known.is_empty() || *number == 0 {
        return Ok(Vec::new());
    }
    let from: Vec<&Shelved> = if asked.is_empty() {
        known
    } else {
        asked.iter().filter_map(|lot| known.iter().find(|s| s.supplier_lot == *lot)).copied().collect()
    };
    let there: u64 = from.iter().map(|s| u64::from(s.left)).sum();
    if there < u64::from(*number) {
        return Err(vec![not_enough(name, &format!("{number} pieces"), &there.to_string(), !asked.is_empty())]);
    }
    // a unit of sale may hold several: the one where a lot ends holds both
    let unit = |nth: u32| u64::from(nth) * u64::from(units) / u64::from(*number) + 1;
    let (mut begun, mut draws) = (0, Vec::new());
    for shelved in from {
        let taken = shelved.left.min(number - begun);
        if taken == 0 {
            continue;
        }
        let ends = (unit(begun), unit(begun + taken - 1));
        draws.push(Draw {
            material: material.clone(),
            supplier_lot: shelved.supplier_lot.clone(),
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

fn no_such_lot(material: &str, lot: &str, known: &[&str]) -> Finding {
    Finding::input(
        "lot/no-such-material-lot",
        format!("there is no lot `{lot}` of `{material}` in the store"),
        if known.is_empty() {
            "enter it with `waxbill receive` first".to_owned()
        } else {
            format!("there are `{}`; enter another with `waxbill receive`", known.join("`, `"))
        },
    )
}

fn not_enough(name: &str, needed: &str, there: &str, named: bool) -> Finding {
    let of = if named { "of the named lots" } else { "in the store" };
    Finding::input(
        "lot/not-enough-material",
        format!("{name}: {needed} are needed, and there are {there} {of}"),
        "pour fewer, name another lot as well, or enter what came in with `waxbill receive`",
    )
}

#[cfg(test)]
mod tests {
    use super::{Draw, Pieces, Quantity, Shelved, Stocked, Store, weighed};
    use crate::find::Finding;
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
        let draws = weighed(&pour, &[oil("F-1", Mass::g(200)), oil("F-2", Mass::g(500))], &[]).unwrap();
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
        let draws = weighed(&four_pitchers(), &[oil("F-1", Mass::g(150)), oil("F-2", Mass::g(500))], &[]).unwrap();
        assert_eq!(draws.iter().map(|d| d.units).collect::<Vec<_>>(), [(1, 20), (11, 40)]);
        assert_eq!(draws.iter().map(|d| d.amount.number()).sum::<i64>(), Mass::g(400).to_ng());
    }

    #[test]
    fn named_lots_go_before_old_ones_and_must_be_there() {
        let store = [oil("F-1", Mass::g(900)), oil("F-2", Mass::g(500))];
        let named = |lot: &str| vec![("Oil".to_owned(), lot.to_owned())];
        assert_eq!(weighed(&four_pitchers(), &store, &named("F-2")).unwrap()[0].supplier_lot, "F-2");
        let told = weighed(&four_pitchers(), &store, &named("F-3")).unwrap_err();
        assert!(told[0].message.contains("`F-3`") && told[0].cure.contains("`F-1`, `F-2`"), "{told:?}");
    }

    #[test]
    fn one_nanogram_short_is_short_and_an_unknown_material_is_left_out() {
        let just = Mass::ng(Mass::g(400).to_ng() - 1);
        let told = weighed(&four_pitchers(), &[oil("F-1", just)], &[]).unwrap_err();
        assert!(told[0].message.starts_with("Oil: 400 g are needed, and there are 399.999 g"), "{told:?}");
        assert_eq!(weighed(&four_pitchers(), &[oil("F-1", Mass::g(400))], &[]).unwrap().len(), 1);
        assert_eq!(weighed(&four_pitchers(), &[], &[]).unwrap(), []);
    }

    fn cups(number: u32, units: u32, named: &[(String, String)]) -> Result<Vec<Draw>, Vec<Finding>> {
        let lot = |lot: &str, left| Shelved { material: "cup".into(), supplier_lot: lot.into(), left };
        let store = [lot("V-1", 10), lot("V-2", 0), lot("V-3", 20)];
        let pieces = Pieces { material: "cup".into(), name: "Cup".into(), number };
        super::counted(&pieces, units, &store, named)
    }

    /// By hand: six packs of four cups; ten cups of the first lot fill two packs and half of the third.
    #[test]
    fn counted_things_are_shared_out_by_units() {
        let draws = cups(24, 6, &[]).unwrap();
        let got: Vec<_> = draws.iter().map(|d| (d.supplier_lot.as_str(), d.amount.number(), d.units)).collect();
        assert_eq!(got, [("V-1", 10, (1, 3)), ("V-3", 14, (3, 6))]);
        assert!(cups(31, 31, &[]).unwrap_err()[0].message.contains("31 pieces are needed, and there are 30 in"));
        let none = Pieces { material: "lid".into(), name: "Lid".into(), number: 6 };
        assert_eq!(super::counted(&none, 6, &[], &[]).unwrap(), []);
    }

    #[test]
    fn counted_things_are_taken_from_the_named_lot_or_refused() {
        let named = |lot: &str| vec![("cup".to_owned(), lot.to_owned())];
        assert_eq!(cups(20, 20, &named("V-3")).unwrap()[0].supplier_lot, "V-3");
        assert!(cups(21, 21, &named("V-3")).unwrap_err()[0].message.contains("there are 20 of the named lots"));
        assert!(cups(1, 1, &named("V-9")).unwrap_err()[0].message.contains("no lot `V-9`"));
        let both = [named("V-3"), named("V-1")].concat();
        let draws = cups(24, 24, &both).unwrap();
        assert_eq!(
            draws.iter().map(|d| (d.supplier_lot.as_str(), d.units)).collect::<Vec<_>>(),
            [("V-3", (1, 20)), ("V-1", (21, 24))]
        );
    }

    /// The program's own answer, both kinds at once: nothing is drawn when one of them is short.
    #[test]
    fn a_name_that_is_neither_weighed_nor_counted_is_refused() {
        let store = Store { by_mass: vec![oil("F-1", Mass::g(500))], by_count: Vec::new() };
        let cup = [Pieces { material: "cup".into(), name: "Cup".into(), number: 40 }];
        assert_eq!(super::draw(&four_pitchers(), &cup, &store, &[]).unwrap().len(), 1);
        let told = super::draw(&four_pitchers(), &cup, &store, &[("Salt".into(), "1".into())]).unwrap_err();
        assert!(told[0].cure.contains("`Oil`, `cup`"), "{told:?}");
    }
}
