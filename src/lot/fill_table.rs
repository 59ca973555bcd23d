//! The tables of fill control from `rules/fill`: tolerances, sampling plans. Beneath `fill`.

use crate::unit::{Mass, Quantity};

const TNE: &str = include_str!("../../rules/fill/tolerable-error.csv");
const MAV: &str = include_str!("../../rules/fill/maximum-variation.csv");
const SAMPLE_US: &str = include_str!("../../rules/fill/sample-us.csv");
const SHORT_CANADA: &str = include_str!("../../rules/fill/short-canada.csv");
const SAMPLE_CANADA: &str = include_str!("../../rules/fill/sample-canada.csv");
const FACTOR_CANADA: &str = include_str!("../../rules/fill/factor-canada.csv");
const PLAN_GB: &str = include_str!("../../rules/fill/plan-gb.csv");
const PLAN_EU: &str = include_str!("../../rules/fill/plan-eu.csv");
const MEAN: &str = include_str!("../../rules/fill/mean.csv");

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

/// Sample size in Canada.
pub(super) fn sample_canada(lot: u32) -> u32 {
    let read = || {
        let row = rows(SAMPLE_CANADA).find(|row| within(row, lot))?;
        if let Ok(number) = row.get(4)?.parse() {
            return Some(number);
        }
        let share = (u64::from(lot) * row.get(2)?.parse::<u64>().ok()?).div_ceil(100);
        Some(u32::try_from(share).ok()?.max(row.get(3)?.parse().unwrap_or(0)))
    };
    // a row that cannot be read asks for all of them
    read().unwrap_or(lot)
}

/// `t / sqrt(n)` of the weighted average in Canada. `None` below two packages and above the table's last row.
pub(super) fn factor_canada(sample: u32) -> Option<f64> {
    let printed: Vec<(f64, f64)> = rows(FACTOR_CANADA)
        .filter_map(|row| Some((row.first()?.parse::<u32>().ok()?.into(), row.get(1)?.parse().ok()?)))
        .collect();
    let n = f64::from(sample);
    if let Some((_, factor)) = printed.iter().find(|(at, _)| (at - n).abs() < 0.5) {
        return Some(*factor);
    }
    let neighbours = printed.windows(2).find(|pair| pair[0].0 < n && n < pair[1].0)?;
    let (below, above) = (neighbours[0], neighbours[1]);
    let t = |(n, factor): (f64, f64)| factor * n.sqrt();
    let part = (120.0 / below.0 - 120.0 / n) / (120.0 / below.0 - 120.0 / above.0);
    Some((t(below) + part * (t(above) - t(below))) / n.sqrt())
}

/// What a sampling plan says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Plan {
    /// Packages of the first sample.
    pub first: u32,
    /// So many defective ones are accepted.
    pub accept: u32,
    /// So many fail the batch.
    pub reject: u32,
    /// Packages of both samples together, and how many defective ones among them are accepted; `None` in a single plan.
    pub both: Option<(u32, u32)>,
}

/// The single plan of Great Britain; `None` below 100.
pub(super) fn plan_gb(lot: u32) -> Option<Plan> {
    let row = rows(PLAN_GB).find(|row| within(row, lot))?;
    let cell = |n: usize| row.get(n).and_then(|c| c.parse().ok());
    Some(Plan { first: cell(2)?, accept: cell(3)?, reject: cell(4)?, both: None })
}

/// The double plan of the directive; `None` below 100.
pub(super) fn plan_eu(lot: u32) -> Option<Plan> {
    let row = rows(PLAN_EU).find(|row| within(row, lot))?;
    let cell = |n: usize| row.get(n).and_then(|c| c.parse::<u32>().ok());
    let first = cell(2)?;
    Some(Plan { first, accept: cell(3)?, reject: cell(4)?, both: Some((first + cell(5)?, cell(6)?)) })
}

/// Packages weighed for the test of the mean, and its factor; `None` below 100.
pub(super) fn mean_test(lot: u32) -> Option<(u32, f64)> {
    let row = rows(MEAN).find(|row| within(row, lot))?;
    Some((row.get(2)?.parse().ok()?, row.get(3)?.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::{
        Plan, factor_canada, mean_test, plan_eu, plan_gb, sample_canada, sample_us, short_canada, tolerable,
        tolerable_rounded, variation,
    };
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

    /// Sch. II Part V against t(0.995, n-1)/sqrt(n), every row to the figures it prints; between 32 and 64 by 120 / n.
    #[test]
    fn canadas_factors_follow_from_students_t() {
        for n in (2..=32).chain([64, 96, 125]) {
            let (printed, computed) = (factor_canada(n).unwrap(), t_over_root(0.995, n as usize));
            assert!((printed - computed).abs() <= computed * 0.0035, "{n}: {printed} {computed}");
        }
        for n in 33..125 {
            let computed = t_over_root(0.995, n as usize);
            assert!((factor_canada(n).unwrap() - computed).abs() < computed * 0.004, "{n}");
        }
        assert_eq!((factor_canada(1), factor_canada(126)), (None, None));
    }

    /// SI 2006/659 Sch. 2 paras 3.3 to 3.5 and 4.6; Directive 76/211/EEC Annex II 2.2.1. The factor of the mean is
    /// t(0.995, n-1)/sqrt(n).
    #[test]
    fn inspectors_plans_are_those_of_the_laws() {
        let single = |first, accept| Some(Plan { first, accept, reject: accept + 1, both: None });
        assert_eq!([99, 100, 500].map(plan_gb), [None, single(50, 3), single(50, 3)]);
        assert_eq!([501, 3200, 3201].map(plan_gb), [single(80, 5), single(80, 5), single(125, 7)]);
        let double = |first, accept, reject, both| Some(Plan { first, accept, reject, both: Some(both) });
        assert_eq!([99, 100, 500].map(plan_eu), [None, double(30, 1, 3, (60, 4)), double(30, 1, 3, (60, 4))]);
        assert_eq!([501, 3201].map(plan_eu), [double(50, 2, 5, (100, 6)), double(80, 3, 7, (160, 8))]);
        assert_eq!([99, 100, 500, 501].map(|lot| mean_test(lot).map(|m| m.0)), [None, Some(30), Some(30), Some(50)]);
        for lot in [100, 501] {
            let (n, k) = mean_test(lot).unwrap();
            assert!((t_over_root(0.995, n as usize) - k).abs() < 0.0006);
        }
    }
}
