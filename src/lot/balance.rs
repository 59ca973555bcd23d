//! Where the wax of a lot went, and the alarms when it does not add up. After `recipe`.
//!
//! No law gives these limits: they are common practice, no source, and are called alarms, never findings of a law.

use crate::unit::Mass;
use serde::Serialize;

/// Masses of one lot.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Masses {
    /// Weighed out: wax, fragrance, dye, additives.
    pub issued: Mass,
    /// In good candles.
    pub fills: Mass,
    /// Back in the store.
    pub returned: Mass,
    /// Kept as samples.
    pub samples: Mass,
    /// Thrown away, weighed.
    pub waste: Mass,
}

impl Masses {
    /// All that was found again.
    #[must_use]
    pub fn accounted(&self) -> Mass {
        self.fills + self.returned + self.samples + self.waste
    }
    /// What is open, in nanograms; negative when more was found than was issued.
    #[must_use]
    pub fn open(&self) -> i64 {
        self.issued.to_ng() - self.accounted().to_ng()
    }
    /// Hundredths of a percent of the issue, rounded to nearest; `None` when nothing was issued.
    fn of_issue(&self, part: Mass) -> Option<i64> {
        let issued = i128::from(self.issued.to_ng());
        (issued > 0)
            .then(|| (i128::from(part.to_ng()) * 10_000 * 2 + issued) / (issued * 2))
            .and_then(|p| p.try_into().ok())
    }
    /// `accounted / issued` in hundredths of a percent.
    #[must_use]
    pub fn accounted_share(&self) -> Option<i64> {
        self.of_issue(self.accounted())
    }
    /// `fills / issued` in hundredths of a percent.
    #[must_use]
    pub fn yield_share(&self) -> Option<i64> {
        self.of_issue(self.fills)
    }
    /// Whether the masses agree: from 97 % to 101 % accounted for (common practice, no source).
    #[must_use]
    pub fn agree(&self) -> bool {
        let (issued, accounted) = (i128::from(self.issued.to_ng()), i128::from(self.accounted().to_ng()));
        accounted * 100 >= issued * 97 && accounted * 100 <= issued * 101
    }
}

/// `99.88 %`.
#[must_use]
pub fn percent(hundredths: i64) -> String {
    format!("{}.{:02} %", hundredths / 100, hundredths % 100)
}

/// Whether one material was weighed as planned: within 2 % or two steps of the scale, whichever is more
/// (common practice, no source).
#[must_use]
pub fn as_planned(planned: Mass, weighed: Mass, step: Option<Mass>) -> bool {
    let apart = i128::from((planned.to_ng() - weighed.to_ng()).abs());
    apart * 100 <= i128::from(planned.to_ng()) * 2 || step.is_some_and(|s| apart <= i128::from(s.to_ng()) * 2)
}

#[cfg(test)]
mod tests {
    use super::{Masses, as_planned, percent};
    use crate::unit::Mass;

    /// Worked by hand: 8331.3 g issued, 24 fills of 340.9 g, 120 g left over, 20 g of waste.
    #[test]
    fn a_lot_of_24_jars_balances_to_its_last_grams() {
        let masses = Masses {
            issued: Mass::mg(8_331_300),
            fills: Mass::mg(340_900).times(24),
            returned: Mass::g(120),
            samples: Mass::ZERO,
            waste: Mass::g(20),
        };
        assert_eq!(masses.fills, Mass::mg(8_181_600));
        assert_eq!(percent(masses.accounted_share().unwrap()), "99.88 %");
        assert_eq!(masses.open(), Mass::mg(9_700).to_ng());
        assert_eq!(percent(masses.yield_share().unwrap()), "98.20 %");
        assert!(masses.agree());
    }

    #[test]
    fn the_alarm_rings_just_outside_its_ends() {
        let found = |mg| Masses { issued: Mass::g(1000), fills: Mass::mg(mg), ..Masses::default() }.agree();
        assert!(found(970_000) && !found(969_999) && found(1_010_000) && !found(1_010_001));
        assert_eq!(Masses::default().accounted_share(), None);
    }

    #[test]
    fn a_material_is_as_planned_within_two_percent_or_two_steps() {
        assert!(as_planned(Mass::g(100), Mass::g(102), None) && !as_planned(Mass::g(100), Mass::mg(102_001), None));
        assert!(
            as_planned(Mass::g(5), Mass::g(7), Some(Mass::g(1)))
                && !as_planned(Mass::g(5), Mass::mg(7001), Some(Mass::g(1)))
        );
    }
}
