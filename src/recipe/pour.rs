//! Grams to weigh for N candles: process loss, pitchers, scale steps, and the load as it will really be weighed.
//!
//! Every pitcher gets the same grams of everything but the main wax; that one takes up the rounding, so that the lot's
//! sum is right to half a step of its scale and pitchers differ by one step of wax at most.

use super::formula::{Formula, FormulaLine};
use super::limit::{Limit, limits};
use super::ratio::Ratio;
use super::weigh::{half_step_counts, no_scale_holds, scale_for, too_small};
use crate::find::{Finding, stops};
use crate::product::{Amount, Product, Role, Scale};
use crate::unit::{Mass, Share};
use serde::Serialize;
use std::cmp::Ordering;

/// What is weighed for one lot.
#[derive(Debug, Clone, Serialize)]
pub struct Pour {
    /// Units of sale.
    pub units: u32,
    /// Candles or melts in them.
    pub candles: u32,
    /// Wax, fragrance, dye and additives in one candle.
    pub fill: Mass,
    /// Share of the issue that stays in pots and spoons.
    pub loss: Share,
    /// What has to be issued: `N F / (1 - loss)`.
    pub issue: Mass,
    /// What the lines to weigh come to: the issue to half a step of the main wax's scale, and never less than the candles hold.
    pub planned: Mass,
    /// One line a material, in the recipe's order.
    pub lines: Vec<PourLine>,
    /// One entry a pitcher: grams in the order of `lines`.
    pub pitchers: Vec<Vec<Mass>>,
    /// All fragrance against the wax base in the strongest pitcher, from the rounded grams, cut off.
    pub fragrance_of_wax: Share,
    /// All fragrance against the finished candle in the strongest pitcher, from the rounded grams, cut off.
    pub fragrance_of_total: Share,
}

/// One material of the lot.
#[derive(Debug, Clone, Serialize)]
pub struct PourLine {
    /// The material's id.
    pub material: String,
    /// Its name.
    pub name: String,
    /// What it does.
    pub role: Role,
    /// As the recipe states it.
    pub amount: Amount,
    /// For the whole lot, before rounding to the scale.
    pub exact: Mass,
    /// For the whole lot, as weighed.
    pub planned: Mass,
    /// Step of the scale.
    pub step: Mass,
    /// Name of the scale.
    pub scale: String,
    /// Against the wax base, from the rounded grams of the strongest pitcher, cut off.
    pub of_wax: Share,
    /// Of the finished candle, likewise.
    pub of_total: Share,
}

impl PourLine {
    /// Grams with as many decimals as the scale shows, without unit.
    #[must_use]
    pub fn shown(&self, mass: Mass) -> String {
        let places = (0..9).find(|p| self.step.to_ng() % 10_i64.pow(9 - p) == 0).unwrap_or(9);
        mass.in_g_fixed(places)
    }
}

/// The most one lot may issue; beyond it the number of candles is a slip.
const MOST: i128 = 1_000_000_000_000_000;
/// The most pitchers one sheet can list with any use.
const MOST_PITCHERS: i128 = 60;

/// Works out what to weigh for `units` units of sale.
///
/// The pour is `None` when something stops it; the findings say what, and hold everything [`super::check`] finds too.
#[must_use]
pub fn pour(product: &Product, units: u32) -> (Option<Pour>, Vec<Finding>) {
    let (formula, mut findings) = super::check(product);
    let Some(formula) = formula.filter(|_| !stops(&findings)) else { return (None, findings) };
    match plan(product, &formula, units, &mut findings) {
        Ok(pour) => (Some(pour).filter(|_| !stops(&findings)), findings),
        Err(finding) => {
            findings.push(finding);
            (None, findings)
        }
    }
}

/// `N F / (1 - loss)`, rounded up to the nanogram. (The shortcut `N F (1 + loss)` falls short.)
fn issue(candles: i128, fill: Mass, loss: Share) -> i128 {
    let left = i128::from(Share::WHOLE.to_ppb() - loss.to_ppb()).max(1);
    let needed = candles * i128::from(fill.to_ng()) * i128::from(Share::WHOLE.to_ppb());
    (needed + left - 1) / left
}

fn plan(product: &Product, formula: &Formula, units: u32, findings: &mut Vec<Finding>) -> Result<Pour, Finding> {
    let workshop = &product.workshop;
    let candles = i128::from(units) * i128::from(product.pieces);
    let issue = issue(candles, product.fill.mass(), workshop.loss);
    let number = |message: String, cure: &str| {
        Finding::input("lot/number-of-candles", message, cure).at(product.places.of("fill"), "one candle")
    };
    if units == 0 {
        return Err(number("a lot has at least one candle".to_owned(), "give the number to pour, for example 24"));
    }
    if issue > MOST {
        return Err(number(
            format!("{candles} candles need {} tonnes of wax", issue / MOST),
            "check the number of candles and the fill of one",
        ));
    }
    let pitchers = workshop.pitcher.map_or(1, |p| (issue + i128::from(p.to_ng()) - 1) / i128::from(p.to_ng().max(1)));
    if pitchers > MOST_PITCHERS {
        return Err(number(
            format!("the lot needs {pitchers} pitchers"),
            "pour it as several lots, or check the size of the pitcher in the workshop",
        ));
    }
    let pitchers = u32::try_from(pitchers).unwrap_or(1).max(1);
    let issue = Mass::ng(i64::try_from(issue).unwrap_or(i64::MAX / 64));

    let each: Vec<Each<'_>> = formula
        .lines
        .iter()
        .map(|line| Each::of(line, issue, pitchers, &workshop.scales))
        .collect::<Option<_>>()
        .ok_or_else(|| Finding::input("file/missing-key", "the workshop has no scale", "add one under `scales`"))?;
    let main = formula
        .lines
        .iter()
        .enumerate()
        .filter(|(_, l)| l.role == Role::Wax)
        .max_by_key(|(_, l)| l.of_total.num())
        .map_or(0, |(i, _)| i);
    let needed = product.fill.mass().times_ratio(candles, 1).min(issue);
    let mut bench = Bench { each, main, issue, needed, pitchers };
    bench.keep_within(&limits(formula));

    for (index, each) in bench.each.iter().enumerate() {
        let grams = if index == main { bench.main_wax().0 } else { each.grams };
        if grams <= Mass::ZERO {
            findings.push(too_small(each.line, each.exact, each.scale));
        } else {
            findings.extend(half_step_counts(each.line, each.exact, pitchers, each.scale, &workshop.scales));
            findings.extend(no_scale_holds(each.line, each.exact, each.scale));
        }
    }
    Ok(bench.finished(product, units, u32::try_from(candles).unwrap_or(u32::MAX)))
}

/// One line while it is being rounded.
struct Each<'a> {
    line: &'a FormulaLine,
    scale: &'a Scale,
    /// Exact share of one pitcher.
    exact: Mass,
    /// Rounded, for one pitcher; not used for the main wax.
    grams: Mass,
}

impl<'a> Each<'a> {
    fn of(line: &'a FormulaLine, issue: Mass, pitchers: u32, scales: &'a [Scale]) -> Option<Self> {
        let exact = line.of_total.of(issue).times_ratio(1, i128::from(pitchers));
        let scale = scale_for(exact, scales)?;
        Some(Self { line, scale, exact, grams: exact.rounded_to(scale.reads_to) })
    }
}

struct Bench<'a> {
    each: Vec<Each<'a>>,
    main: usize,
    issue: Mass,
    /// What the candles themselves hold.
    needed: Mass,
    pitchers: u32,
}

impl Bench<'_> {
    /// Grams of the main wax in the pitcher with the least of it, and how many pitchers get one step more.
    fn main_wax(&self) -> (Mass, u32) {
        let others: Mass = self.each.iter().enumerate().filter(|(i, _)| *i != self.main).map(|(_, e)| e.grams).sum();
        let step = self.each[self.main].scale.reads_to;
        let others = others.times(self.pitchers);
        let total = (self.issue - others).rounded_to(step);
        // Rounding never takes from what the candles need.
        let total = if total + others < self.needed { total + step } else { total };
        let steps = total.to_ng().max(0) / step.to_ng().max(1);
        let pitchers = i64::from(self.pitchers);
        (Mass::ng(steps / pitchers * step.to_ng()), u32::try_from(steps % pitchers).unwrap_or(0))
    }

    /// Mass of what `pick` chooses in the pitcher with the least wax, which is the strongest one.
    fn strongest(&self, pick: impl Fn(usize, &FormulaLine) -> bool) -> i128 {
        let main = self.main_wax().0;
        let grams = |(i, e): (usize, &Each<'_>)| {
            pick(i, e.line).then(|| i128::from(if i == self.main { main } else { e.grams }.to_ng()))
        };
        self.each.iter().enumerate().filter_map(grams).sum()
    }

    /// What `pick` chooses against wax base or total, as weighed.
    fn weighed(&self, pick: impl Fn(usize, &FormulaLine) -> bool, of_wax: bool) -> Ratio {
        Ratio::new(self.strongest(pick), self.strongest(|_, l| !of_wax || l.is_base).max(1))
    }

    /// Takes fragrance back by single steps until no limit is passed by rounding alone.
    fn keep_within(&mut self, limits: &[Limit]) {
        while let Some(limit) = limits.iter().find(|l| self.passes(l)) {
            // the one rounded up the most gives way first
            let Some(worst) = self
                .each
                .iter_mut()
                .enumerate()
                .filter(|(i, e)| limit.lines.contains(i) && e.grams > Mass::ZERO)
                .max_by_key(|(_, e)| e.grams - e.exact)
                .map(|(_, e)| e)
            else {
                return;
            };
            worst.grams = worst.grams - worst.scale.reads_to;
        }
    }

    fn passes(&self, limit: &Limit) -> bool {
        let of_wax = limit.most.of == crate::product::Basis::Wax;
        self.weighed(|i, _| limit.lines.contains(&i), of_wax).against(limit.most.share) == Ordering::Greater
    }

    fn finished(&self, product: &Product, units: u32, candles: u32) -> Pour {
        let (main, more) = self.main_wax();
        let pitchers: Vec<Vec<Mass>> = (0..self.pitchers)
            .map(|pitcher| {
                let grams = |(i, e): (usize, &Each<'_>)| match i == self.main {
                    true if pitcher < more => main + e.scale.reads_to,
                    true => main,
                    false => e.grams,
                };
                self.each.iter().enumerate().map(grams).collect()
            })
            .collect();
        let lines = self.each.iter().enumerate().map(|(i, e)| PourLine {
            material: e.line.material.id.clone(),
            name: e.line.material.name.clone(),
            role: e.line.role,
            amount: e.line.amount,
            exact: e.line.of_total.of(self.issue),
            planned: pitchers.iter().map(|p| p[i]).sum(),
            step: e.scale.reads_to,
            scale: e.scale.name.clone(),
            of_wax: self.weighed(|j, _| j == i, true).share(),
            of_total: self.weighed(|j, _| j == i, false).share(),
        });
        let fragrance = |of_wax| self.weighed(|_, l| l.role == Role::Fragrance, of_wax).share();
        Pour {
            units,
            candles,
            fill: product.fill.mass(),
            loss: product.workshop.loss,
            issue: self.issue,
            planned: pitchers.iter().flatten().copied().sum(),
            lines: lines.collect(),
            fragrance_of_wax: fragrance(true),
            fragrance_of_total: fragrance(false),
            pitchers,
        }
    }
}

#[cfg(test)]
#[path = "pour_tests.rs"]
mod tests;
