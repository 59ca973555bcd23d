//! What an inspector's sampling plan says of a batch of a hundred and more; part of `fill`.

use super::fill::{Sample, Says, Verdict};
use super::fill_table::{Plan, mean_test, tolerable_rounded};
use super::statistic::{deviation, mean};
use crate::unit::Mass;

impl Sample<'_> {
    /// How many of the first `n` weighed are defective: short by more than this.
    fn defective(&self, n: u32, tolerance: Mass) -> u32 {
        let limit = self.declared - tolerance;
        let first = self.nets.iter().zip(0..n).filter(|(net, _)| **net < limit);
        u32::try_from(first.count()).unwrap_or(u32::MAX)
    }

    /// Contents by the plan, then the mean, each of the packages that were weighed first. `None` where there is no plan.
    pub(super) fn inspected(&self, rule: &'static str, plan: Option<Plan>) -> Option<Verdict> {
        let (plan, tolerance) = (plan?, tolerable_rounded(self.declared)?);
        let limit = (self.declared - tolerance).in_g(1);
        let (contents, told) = self.contents(plan, tolerance);
        let (of_mean, mean_told) = self.mean_of_first()?;
        let says = match (contents, of_mean) {
            (Says::Fails, _) | (_, Says::Fails) => Says::Fails,
            (Says::TooFew, _) | (_, Says::TooFew) => Says::TooFew,
            _ => Says::Passes,
        };
        Some(Verdict { rule, says, because: format!("{told} below {limit}; {mean_told}") })
    }

    fn contents(&self, plan: Plan, tolerance: Mass) -> (Says, String) {
        let Plan { first, accept, reject, both } = plan;
        let found = self.defective(first, tolerance);
        let told = format!("{found} of the first {} ({accept} may be, {reject} fail)", first.min(self.weighed));
        if found >= reject {
            return (Says::Fails, told);
        }
        if self.weighed < first {
            return (Says::TooFew, format!("{told}; weigh {first}"));
        }
        if found <= accept {
            return (Says::Passes, told);
        }
        // between the two: a second sample decides
        let Some((together, accept)) = both else { return (Says::Fails, told) };
        let found = self.defective(together, tolerance);
        let told = format!("{found} of the first {} ({accept} may be)", together.min(self.weighed));
        if found > accept {
            (Says::Fails, told)
        } else if self.weighed < together {
            (Says::TooFew, format!("{told}; weigh {together}"))
        } else {
            (Says::Passes, told)
        }
    }

    fn mean_of_first(&self) -> Option<(Says, String)> {
        let (sample, factor) = mean_test(self.lot)?;
        let Some(nets) = self.nets.get(..usize::try_from(sample).ok()?) else {
            return Some((Says::TooFew, format!("the mean is tested of {sample}")));
        };
        let limit = self.declared.to_g_f64() - factor * deviation(nets);
        let mean = mean(nets);
        let told = format!("mean of the first {sample} {mean:.3} g, at least {limit:.3} g");
        Some((if mean >= limit { Says::Passes } else { Says::Fails }, told))
    }
}
