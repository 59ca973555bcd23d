//! The tables of fill control from `rules/fill`: tolerances, sampling plans. Beneath `fill`.

use crate::unit::{Mass, Quantity};

const TNE: &str = include_str!("../../rules/fill/tolerable-error.csv");
const MAV: &str = include_str!("../../rules/fill/maximum-variation.csv");
const SAMPLE_US: &str = include_str!("../../rules/fill/sample-us.csv");
const SHORT_CANADA: &str = include_str!("../../rules/fill/short-canada.csv");

fn rows(text: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    text.lines().filter(|l| !l.trim().is_empty() && !l.starts_with('#')).skip(1).map(|l| l.split(',').collect())
}

/// Decimal text in thousandths.
fn thousandths(text: &str) -> Option<i64> {
    crate::unit::exact(text).ok()?.times_floor(1000)
}

/// The row whose end is at or above `declared`; ends are printed in `unit`.
fn tolerance(table: &'static str, declared: Mass, unit: Mass) -> Option<Mass> {
    let row = rows(table).find(|row| {
        row.get(1).is_some_and(|end| {
            end.is_empty() || thousandths(end).is_some_and(|t| declared <= unit.times_ratio(t.into(), 1000))
        })
    })?;
    match (row.get(2)?, row.get(3)?) {
        (percent, &"") => Some(declared.times_ratio(thousandths(percent)?.into(), 100_000)),
        (_, grams) => Mass::parse(&format!("{grams} g")).ok(),
    }
}

/// Tolerable negative error as the table gives it.
pub(super) fn tolerable(declared: Mass) -> Option<Mass> {
    tolerance(TNE, declared, Mass::g(1))
}

/// Tolerable negative error, shares rounded up to 0.1 g (Directive 76/211/EEC Annex I 2.4, the rounding from memory).
pub(super) fn tolerable_rounded(declared: Mass) -> Option<Mass> {
    let step = Mass::mg(100);
    tolerable(declared).map(|t| Mass::ng((t.to_ng() + step.to_ng() - 1) / step.to_ng() * step.to_ng()))
}

/// Maximum allowable variation. A declared mass on the border of two rows takes the smaller one, which is stricter.
pub(super) fn variation(declared: Mass) -> Option<Mass> {
    tolerance(MAV, declared, Mass::lb(1))
}

/// Sample size, correction factor in thousandths, packages allowed beyond the variation.
pub(super) fn sample_us(lot: u32) -> Option<(u32, Option<i64>, u32)> {
    let row = rows(SAMPLE_US).find(|row| within(row, lot))?;
    Some((row.get(2)?.parse().ok()?, thousandths(row.get(3)?), row.get(4)?.parse().ok()?))
}

/// This many short packages fail a lot in Canada.
pub(super) fn short_canada(sample: u32) -> Option<u32> {
    rows(SHORT_CANADA).find(|row| within(row, sample))?.get(2)?.parse().ok()
}

fn within(row: &[&str], n: u32) -> bool {
    let end = |cell: Option<&&str>| cell.and_then(|c| c.parse::<u32>().ok());
    end(row.first()).is_none_or(|over| n > over) && end(row.get(1)).is_none_or(|up_to| n <= up_to)
}

/// Sample size in Canada (Consumer Packaging and Labelling Regulations, Sch. II Part I): all up to 10, a quarter but at
/// least ten up to 128, then 32, 64, 96, 125.
pub(super) const fn sample_canada(lot: u32) -> u32 {
    match lot {
        0..=10 => lot,
        11..=128 => {
            let quarter = lot.div_ceil(4);
            if quarter < 10 { 10 } else { quarter }
        }
        129..=4000 => 32,
        4001..=8000 => 64,
        8001..=12_000 => 96,
        _ => 125,
    }
}

#[cfg(test)]
mod tests {
    use super::{sample_canada, sample_us, short_canada, tolerable, tolerable_rounded, variation};
    use crate::lot::statistic::t_over_root;
    use crate::unit::Mass;

    /// Directive 76/211/EEC Annex I 2.4; both rows agree on every border. 340 g: 10.2 g. 400 g: 12 g. 165 g: 7.425 g,
    /// in the rounding up 7.5 g. A trade leaflet gives 9 g on 250 g.
    #[test]
    fn tolerable_errors_are_those_of_the_directive() {
        let table = [(20, 1800), (50, 4500), (75, 4500), (100, 4500), (200, 9000), (250, 9000), (300, 9000)];
        for (g, mg) in table.into_iter().chain([
            (340, 10_200),
            (400, 12_000),
            (500, 15_000),
            (600, 15_000),
            (1000, 15_000),
            (10_000, 150_000),
            (15_000, 150_000),
        ]) {
            assert_eq!(tolerable(Mass::g(g)), Some(Mass::mg(mg)), "{g} g");
        }
        assert_eq!(tolerable(Mass::g(165)), Some(Mass::mg(7425)));
        assert_eq!(tolerable_rounded(Mass::g(165)), Some(Mass::mg(7500)));
        assert_eq!(tolerable_rounded(Mass::g(340)), Some(Mass::mg(10_200)));
        for (at, over) in [(50, 51), (100, 101), (200, 201), (300, 301), (500, 501), (1000, 1001)] {
            assert!(tolerable(Mass::g(at)) <= tolerable(Mass::g(over)), "{at}");
        }
    }

    /// NIST Handbook 133, 2026 edition, chapter 2: 113 g takes 7.2 g, 907 g takes 31.7 g. The others are worked from
    /// Table 2-5 as remembered: 3 oz 0.016 lb is its row's 7.2 g, 8 oz 12.7 g, 16 oz 19.9 g, 24 oz 25.4 g.
    #[test]
    fn variations_are_those_of_the_handbook() {
        for (declared, mg) in [(Mass::g(113), 7200), (Mass::g(907), 31_700), (Mass::g(226), 12_700)] {
            assert_eq!(variation(declared), Some(Mass::mg(mg)));
        }
        for (oz, mg) in [(3, 7200), (8, 12_700), (9, 12_700), (16, 19_900), (24, 25_400)] {
            assert_eq!(variation(Mass::oz(oz)), Some(Mass::mg(mg)), "{oz} oz");
        }
        assert_eq!(variation(Mass::lb(100)), None, "beyond the rows that are known");
    }

    /// Table 2-1 against t(0.975, n-1)/sqrt(n): within a thousandth in every row.
    #[test]
    fn correction_factors_follow_from_students_t() {
        for lot in [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 250, 251, 3200, 3201] {
            let (n, factor, allowed) = sample_us(lot).unwrap();
            let computed = t_over_root(0.975, n as usize) * 1000.0;
            let factor = f64::from(i32::try_from(factor.unwrap()).unwrap());
            assert!((factor - computed).abs() < 1.0, "{lot}: {factor} {computed}");
            assert_eq!(allowed, u32::from(lot > 3200));
        }
        assert_eq!(sample_us(1), Some((1, None, 0)));
        assert_eq!([11, 12, 250, 251].map(|lot| sample_us(lot).unwrap().0), [11, 12, 12, 24]);
    }

    /// Consumer Packaging and Labelling Regulations (C.R.C. c. 417) Sch. II Parts I and IV.
    #[test]
    fn canadas_samples_are_those_of_the_schedule() {
        assert_eq!(
            [2, 10, 11, 40, 41, 48, 128, 129, 4000, 4001].map(sample_canada),
            [2, 10, 10, 10, 11, 12, 32, 32, 32, 64]
        );
        assert_eq!([2, 8, 9, 20, 21, 32, 33, 125].map(|n| short_canada(n).unwrap()), [1, 1, 2, 2, 3, 3, 4, 8]);
    }
}
