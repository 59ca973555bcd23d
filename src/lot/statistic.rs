//! Mean, standard deviation, and the factors of Student's t that fill control needs. Beneath `fill`.

use crate::unit::Mass;
use statrs::distribution::{ChiSquared, Continuous, ContinuousCDF, Normal, StudentsT};

/// Mean in grams.
#[expect(clippy::cast_precision_loss, reason = "sums of masses in grams need no more than 15 digits")]
pub(super) fn mean(masses: &[Mass]) -> f64 {
    let sum: i128 = masses.iter().map(|m| i128::from(m.to_ng())).sum();
    sum as f64 / 1e9 / masses.len().max(1) as f64
}

/// Standard deviation of the sample in grams, with n - 1; 0 for a single one.
#[expect(clippy::cast_precision_loss, reason = "a sample has few members")]
pub(super) fn deviation(masses: &[Mass]) -> f64 {
    if masses.len() < 2 {
        return 0.0;
    }
    let mean = mean(masses);
    let squares: f64 = masses.iter().map(|m| (m.to_g_f64() - mean).powi(2)).sum();
    (squares / (masses.len() - 1) as f64).sqrt()
}

/// `t(p, n - 1) / sqrt(n)`; 0 for a sample of one.
pub(super) fn t_over_root(p: f64, n: usize) -> f64 {
    t(p, n) / count(n).sqrt()
}

/// Quantile of Student's t with `n - 1` degrees of freedom; 0 for a sample of one.
pub(super) fn t(p: f64, n: usize) -> f64 {
    if n < 2 { 0.0 } else { StudentsT::new(0.0, 1.0, count(n) - 1.0).map_or(0.0, |t| t.inverse_cdf(p)) }
}

#[expect(clippy::cast_precision_loss, reason = "a sample has few members")]
const fn count(n: usize) -> f64 {
    n as f64
}

/// The factor k with which, at this confidence, at least this share of all units is above `mean - k s`: the quantile of
/// the non-central t with noncentrality `z sqrt(n)`, over `sqrt(n)`. `None` below two units.
pub(super) fn tolerance_factor(n: usize, share: f64, confidence: f64) -> Option<f64> {
    if n < 2 {
        return None;
    }
    let normal = Normal::standard();
    let (freedom, root) = (count(n) - 1.0, count(n).sqrt());
    let chi = ChiSquared::new(freedom).ok()?;
    let delta = normal.inverse_cdf(share) * root;
    // P(T <= t) = integral of Phi(t sqrt(w / freedom) - delta) over the density of w. With w = u^4 the integrand is
    // smooth at zero for every number of degrees of freedom.
    let below = |t: f64| {
        const STEPS: u32 = 2000;
        let end = (freedom + 12.0 * (2.0 * freedom).sqrt() + 60.0).powf(0.25);
        let h = end / f64::from(STEPS);
        let at = |u: f64| {
            let w = u.powi(4);
            if w <= 0.0 { 0.0 } else { normal.cdf(t * (w / freedom).sqrt() - delta) * chi.pdf(w) * 4.0 * u.powi(3) }
        };
        let inner: f64 = (1..STEPS).map(|i| at(h * f64::from(i)) * if i % 2 == 1 { 4.0 } else { 2.0 }).sum();
        (at(0.0) + inner + at(end)) * h / 3.0
    };
    let (mut low, mut high) = (0.0, 1000.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if below(middle * root) < confidence { low = middle } else { high = middle }
    }
    Some(high)
}

#[cfg(test)]
mod tests {
    use super::{t, t_over_root, tolerance_factor};

    /// Printed tables of Student's t (one-sided 0.95): n = 6, 8, 10, 12, 13; and the 0.995 quantile for 9 degrees.
    #[test]
    fn quantiles_are_those_of_printed_tables() {
        for (n, printed) in [(6, 2.015), (8, 1.895), (10, 1.833), (12, 1.796), (13, 1.782)] {
            assert!((t(0.95, n) - printed).abs() < 0.0006, "{n}");
        }
        assert!((t(0.995, 10) - 3.250).abs() < 0.0006);
    }

    /// `SciPy` 1.17.1 (scipy.stats.t and scipy.stats.nct), by `.ci/outside-quantiles.py`, which `.ci/run` runs again.
    #[test]
    fn quantiles_and_tolerance_factors_are_those_of_another_program() {
        let table = include_str!("../../tests/published/quantiles.csv");
        let mut compared = 0;
        for row in table.lines().filter(|l| l.starts_with(|c: char| c.is_ascii_digit())) {
            let cells: Vec<&str> = row.split(',').collect();
            let n: usize = cells[0].parse().unwrap();
            for (p, cell) in [0.95, 0.975, 0.995].into_iter().zip(&cells[1..4]) {
                let other: f64 = cell.parse().unwrap();
                assert!((t(p, n) - other).abs() <= other * 1e-6, "t({p}, {n}): {} {other}", t(p, n));
                compared += 1;
            }
            if let Ok(other) = cells[4].parse::<f64>() {
                let k = tolerance_factor(n, 0.975, 0.95).unwrap();
                assert!((k - other).abs() <= 0.0002, "k({n}): {k} {other}");
                compared += 1;
            }
        }
        assert_eq!(compared, 67 * 3 + 58);
    }

    /// SI 2006/659 Sch. 2 para 4.6 and Directive 76/211/EEC Annex II: 0.640 (20), 0.503 (30), 0.379 (50);
    /// Consumer Packaging and Labelling Regulations (Canada) Sch. II Part V: a few of the printed t/sqrt(n).
    #[test]
    fn constants_of_the_laws_come_out() {
        let printed = [(20, 0.640), (30, 0.503), (50, 0.379), (2, 45.01), (3, 5.73), (4, 2.92), (5, 2.06), (12, 0.897)];
        for (n, k) in printed.into_iter().chain([(13, 0.847), (24, 0.573), (32, 0.485), (64, 0.332), (125, 0.234)]) {
            let computed = t_over_root(0.995, n);
            assert!((computed - k).abs() < 0.0055_f64.min(k * 0.002), "{n}: {computed}");
        }
    }

    /// One-sided factors for 95 % confidence as printed in tables of tolerance factors (n = 10: 2.355, 2.911, 3.981 for
    /// 90, 95 and 99 %; n = 20: 2.396 for 95 %; from memory), and for 97.5 % computed with another program.
    #[test]
    fn tolerance_factors_are_those_of_printed_tables() {
        for (n, share, printed) in [(10, 0.90, 2.355), (10, 0.95, 2.911), (10, 0.99, 3.981), (20, 0.95, 2.396)] {
            let k = tolerance_factor(n, share, 0.95).unwrap();
            assert!((k - printed).abs() < 0.0011, "{n} {share}: {k}");
        }
        let other =
            [(6, 4.329), (7, 3.970), (8, 3.723), (9, 3.542), (10, 3.402), (11, 3.292), (12, 3.201), (13, 3.125)];
        for (n, computed) in other {
            let k = tolerance_factor(n, 0.975, 0.95).unwrap();
            assert!((k - computed).abs() < 0.0011, "{n}: {k}");
        }
        assert_eq!(tolerance_factor(1, 0.975, 0.95), None);
    }
}
