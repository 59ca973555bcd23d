//! Fill control of one lot: what the weighed fills say under each market's rule, and where to aim next time.
//!
//! A verdict names its rule. Limits on single units and on sums are decided in whole nanograms; only standard deviations
//! and the factors of Student's t are floating point.

use super::fill_table::{
    factor_canada, plan_eu, plan_gb, sample_canada, sample_us, short_canada, tolerable, tolerable_rounded, variation,
};
use super::statistic::{deviation, mean, t_over_root, tolerance_factor};
use crate::trade::{Market, words};
use crate::unit::Mass;
use serde::Serialize;

words! {
    /// What a rule says of a sample.
    Says {
        /// Passes.
        Passes = "passes",
        /// Passes an inspector, yet the maker gives less than declared.
        Warns = "warns",
        /// Too few were weighed for this rule.
        TooFew = "too few weighed",
        /// Fails.
        Fails = "fails",
    }
}

/// One rule's word.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Verdict {
    /// The rule's name.
    pub rule: &'static str,
    /// Its word.
    pub says: Says,
    /// The figures it is drawn from.
    pub because: String,
}

/// What the weighed fills of a lot say.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fills {
    /// How many were weighed.
    pub weighed: u32,
    /// Of how many.
    pub of: u32,
    /// The declared net mass.
    pub declared: Mass,
    /// Mean in grams.
    pub mean_g: f64,
    /// Standard deviation in grams, with n - 1.
    pub deviation_g: f64,
    /// The least.
    pub least: Mass,
    /// Each rule of each market.
    pub verdicts: Vec<Verdict>,
    /// Where to aim next time, in grams; `None` with fewer than two.
    pub target_g: Option<f64>,
}

/// Judges a sample. `lot` is the number of units made, `step` the scale's.
/// `None` when nothing was weighed or nothing is declared by weight.
#[must_use]
pub fn fills(sample: &[Mass], declared: Mass, lot: u32, markets: &[Market], step: Option<Mass>) -> Option<Fills> {
    let least = sample.iter().copied().min()?;
    if declared <= Mass::ZERO {
        return None;
    }
    let weighed = u32::try_from(sample.len()).ok()?;
    let it = Sample { nets: sample, declared, weighed, lot: lot.max(weighed), least };
    let mut verdicts = Vec::new();
    for market in markets {
        let of = match market {
            Market::Us => it.united_states(),
            Market::Ca | Market::CaQc => it.canada(),
            Market::Gb => it.great_britain(),
            Market::Ni | Market::Eu => {
                let mut of = it.three_rules("Directive 76/211/EEC Annex I, three rules");
                of.extend(it.inspected("Directive 76/211/EEC Annex II (inspector)", plan_eu(it.lot)));
                of
            }
        };
        for verdict in of {
            if !verdicts.contains(&verdict) {
                verdicts.push(verdict);
            }
        }
    }
    let tolerance = if markets == [Market::Us] { variation(declared) } else { tolerable_rounded(declared) };
    verdicts.extend(it.own_promise(tolerance));
    Some(Fills {
        weighed,
        of: it.lot,
        declared,
        mean_g: mean(sample),
        deviation_g: deviation(sample),
        least,
        verdicts,
        target_g: it.target(tolerance, step),
    })
}

pub(super) struct Sample<'a> {
    pub(super) nets: &'a [Mass],
    pub(super) declared: Mass,
    pub(super) weighed: u32,
    pub(super) lot: u32,
    least: Mass,
}

impl Sample<'_> {
    /// Sum of errors in nanograms: at least 0 when the mean is at least what is declared, exactly.
    fn error(&self) -> i128 {
        self.nets.iter().map(|m| i128::from(m.to_ng()) - i128::from(self.declared.to_ng())).sum()
    }
    /// How many are short by more than this.
    fn short_by(&self, tolerance: Mass) -> u32 {
        let limit = self.declared - tolerance;
        u32::try_from(self.nets.iter().filter(|m| **m < limit).count()).unwrap_or(u32::MAX)
    }
    fn error_g(&self) -> f64 {
        mean(self.nets) - self.declared.to_g_f64()
    }

    /// NIST Handbook 133, 2026, 2.3.7: packages short by more than the variation, then the average error against
    /// `s` times the factor of Table 2-1. For the maker's own lot the average itself (16 CFR 500.25).
    fn united_states(&self) -> Vec<Verdict> {
        const RULE: &str = "NIST Handbook 133, 2.3.7 (inspector)";
        let Some((wanted, factor, allowed)) = sample_us(self.lot) else { return Vec::new() };
        let mut out = Vec::new();
        match variation(self.declared) {
            None => out.push(Verdict {
                rule: RULE,
                says: Says::TooFew,
                because: format!("the table of variations known here does not reach {}", self.declared.in_g(1)),
            }),
            Some(most) => {
                let short = self.short_by(most);
                let sel = factor.and_then(|_| self.limit_us(factor));
                let error = self.error_g();
                let figures = format!(
                    "average error {error:+.4} g, limit {}, {short} short by more than {}",
                    sel.map_or_else(|| "none".to_owned(), |l| format!("-{l:.4} g")),
                    most.in_g(1)
                );
                let says = if short > allowed {
                    Says::Fails
                } else if self.weighed < wanted {
                    Says::TooFew
                } else if self.error() >= 0 || sel.is_some_and(|sel| error.abs() < sel) {
                    Says::Passes
                } else {
                    Says::Fails
                };
                let because = if says == Says::TooFew { format!("{figures}; weigh {wanted}") } else { figures };
                out.push(Verdict { rule: RULE, says, because });
            }
        }
        out.push(Verdict {
            rule: "16 CFR 500.25, the maker's own average",
            says: if self.error() >= 0 { Says::Passes } else { Says::Warns },
            because: format!("mean {:.3} g for {}", mean(self.nets), self.declared.in_g(3)),
        });
        out
    }

    /// `s` times the factor of the sample that was weighed: that of the table for its size, else Student's t.
    fn limit_us(&self, table: Option<i64>) -> Option<f64> {
        let printed = table.filter(|_| sample_us(self.lot).is_some_and(|(n, ..)| n == self.weighed));
        let factor = match printed.and_then(|f| i32::try_from(f).ok()) {
            Some(thousandths) => f64::from(thousandths) / 1000.0,
            None => t_over_root(0.975, self.nets.len()),
        };
        (self.weighed > 1).then(|| factor * deviation(self.nets))
    }

    /// Directive 76/211/EEC Annex I: the mean, one tolerable error (at most 2.5 % of packs), two tolerable errors (none).
    fn three_rules(&self, rule: &'static str) -> Vec<Verdict> {
        let Some(one) = tolerable_rounded(self.declared) else { return Vec::new() };
        let (short, never) = (self.short_by(one), self.short_by(one + one));
        let passes = self.error() >= 0 && short * 40 <= self.weighed && never == 0;
        vec![Verdict {
            rule,
            says: if passes { Says::Passes } else { Says::Fails },
            because: self.figures(short, never, one),
        }]
    }

    fn figures(&self, short: u32, never: u32, one: Mass) -> String {
        format!(
            "mean {:.3} g for {}, {short} below {}, {never} below {}, least {}",
            mean(self.nets),
            self.declared.in_g(3),
            (self.declared - one).in_g(1),
            (self.declared - one - one).in_g(1),
            self.least.in_g(2)
        )
    }

    /// SI 2006/659 Sch. 2: a batch under 100 is weighed whole (2.8), at most 5 % may be defective (3.6), the mean of all
    /// is at least what is declared (4.7); none short by two tolerable errors.
    fn great_britain(&self) -> Vec<Verdict> {
        const RULE: &str = "SI 2006/659 Sch. 2, batch under 100";
        if self.lot >= 100 {
            let mut of = self.three_rules("SI 2006/659, three packers' rules");
            of.extend(self.inspected("SI 2006/659 Sch. 2 (inspector)", plan_gb(self.lot)));
            return of;
        }
        let Some(one) = tolerable_rounded(self.declared) else { return Vec::new() };
        let (short, never) = (self.short_by(one), self.short_by(one + one));
        let figures = self.figures(short, never, one);
        let (says, because) = if short * 20 > self.lot || never > 0 {
            (Says::Fails, figures)
        } else if self.weighed < self.lot {
            (Says::TooFew, format!("{figures}; weigh all {}", self.lot))
        } else if self.error() < 0 {
            (Says::Fails, figures)
        } else {
            (Says::Passes, figures)
        };
        vec![Verdict { rule: RULE, says, because }]
    }

    /// Consumer Packaging and Labelling Regulations s. 39 and Sch. II: weighted average (mean and t s / sqrt(n), t = 0 when
    /// the whole lot is weighed), short packages, two below twice the tolerance. The sign of the term and n - 1 are
    /// inferred from the printed table of t: the formulas are pictures in the consolidation.
    fn canada(&self) -> Vec<Verdict> {
        const RULE: &str = "C.R.C. c. 417 s. 39 and Sch. II";
        let Some(one) = tolerable(self.declared) else { return Vec::new() };
        let wanted = sample_canada(self.lot);
        let (short, twice) = (self.short_by(one), self.short_by(one + one));
        let add = if self.weighed >= self.lot { 0.0 } else { self.factor_canada() * deviation(self.nets) };
        let weighted = mean(self.nets) + add;
        let enough = if add == 0.0 { self.error() >= 0 } else { weighted >= self.declared.to_g_f64() };
        let fail_at = short_canada(self.weighed).unwrap_or(1);
        let figures = format!(
            "weighted average {weighted:.3} g for {}, {short} below {} ({fail_at} fail), {twice} below {} (2 fail)",
            self.declared.in_g(3),
            (self.declared - one).in_g(1),
            (self.declared - one - one).in_g(1)
        );
        let says = if short >= fail_at || twice >= 2 {
            Says::Fails
        } else if self.weighed < wanted {
            Says::TooFew
        } else if enough {
            Says::Passes
        } else {
            Says::Fails
        };
        let because = if says == Says::TooFew { format!("{figures}; weigh {wanted}") } else { figures };
        vec![Verdict { rule: RULE, says, because }]
    }

    /// The printed factor, or the quantile it was printed from where more are weighed than the table has rows for.
    fn factor_canada(&self) -> f64 {
        factor_canada(self.weighed).unwrap_or_else(|| t_over_root(0.995, self.nets.len()))
    }

    /// House policy: be sure of it, not merely not caught. The mean with 95 % confidence, and 97.5 % of the units with 95 %.
    fn own_promise(&self, tolerance: Option<Mass>) -> Option<Verdict> {
        let (n, s) = (self.nets.len(), deviation(self.nets));
        let (k, tolerance) = (tolerance_factor(n, 0.975, 0.95)?, tolerance?);
        let lower_mean = mean(self.nets) - t_over_root(0.95, n) * s;
        let lower_unit = mean(self.nets) - k * s;
        let limit = self.declared - tolerance;
        let sure = lower_mean >= self.declared.to_g_f64() && lower_unit >= limit.to_g_f64();
        Some(Verdict {
            rule: "house policy, sure of mean and single units",
            says: if sure { Says::Passes } else { Says::Warns },
            because: format!(
                "mean at least {lower_mean:.2} g for {}, units at least {lower_unit:.2} g for {}",
                self.declared.in_g(3),
                limit.in_g(1)
            ),
        })
    }

    /// `Q + max(t s / sqrt(n), k s - tolerance, d / 2)`: house policy.
    fn target(&self, tolerance: Option<Mass>, step: Option<Mass>) -> Option<f64> {
        let (n, s) = (self.nets.len(), deviation(self.nets));
        let k = tolerance_factor(n, 0.975, 0.95)?;
        let half_step = step.map_or(0.0, |d| d.to_g_f64() / 2.0);
        let more = (t_over_root(0.95, n) * s).max(k * s - tolerance?.to_g_f64()).max(half_step);
        Some(self.declared.to_g_f64() + more)
    }
}

#[cfg(test)]
#[path = "fill_tests.rs"]
mod tests;
