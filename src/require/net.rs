//! The net quantity as the United States want it printed: both systems, cut down, never overstating.
//!
//! 16 CFR 500.8-500.11, 500.17, 500.19, 500.22-500.24. Conversion factors are those of 500.19(a) "and none others";
//! where the exact factor gives less, the lesser value is shown.

use crate::product::First;
use crate::unit::{Length, Mass};
use serde::Serialize;

/// Ounces to grams, grams to ounces and pounds to grams of 16 CFR 500.19(a), in millionths.
const G_PER_OZ: i128 = 28_349_500;
const OZ_PER_G: i128 = 35_274;

/// A declared mass with its counterpart.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NetMass {
    /// Which figure is declared; the other one is derived from it.
    pub first: First,
    /// Customary units as printed: `9 oz`, `1 lb 8 oz`.
    pub customary: String,
    /// Metric as printed: `255 g`, `1.13 kg`.
    pub metric: String,
    /// What the customary figure says, exactly.
    pub customary_says: Mass,
    /// What the metric figure says, exactly.
    pub metric_says: Mass,
}

impl NetMass {
    /// Declares `mass` with `first` in front. `None` when it is too small for two figures.
    ///
    /// ```
    /// use waxbill::{product::First, require::NetMass, unit::Mass};
    /// let net = NetMass::declare(Mass::oz(12), First::Oz).unwrap();
    /// assert_eq!((net.customary.replace("\u{a0}", " "), net.metric.replace("\u{a0}", " ")), ("12 oz".into(), "340 g".into()));
    /// ```
    #[must_use]
    pub fn declare(mass: Mass, first: First) -> Option<Self> {
        match first {
            First::Oz => {
                let hundredths = mass.hundredths_of_oz();
                let (customary, customary_says) = ounces(hundredths)?;
                let grams_micro = i128::from(hundredths) * G_PER_OZ / 100;
                let (metric, metric_says) = grams(i64::try_from(grams_micro * 1000).ok()?)?;
                Some(Self { first, customary, metric, customary_says, metric_says })
            }
            First::G => {
                let (metric, metric_says) = grams(mass.to_ng())?;
                let by_chart = i128::from(metric_says.to_ng()) * OZ_PER_G / 10_000_000_000_000;
                let exact = i128::from(metric_says.to_ng()) * 100 / i128::from(Mass::oz(1).to_ng());
                let (customary, customary_says) = ounces(i64::try_from(by_chart.min(exact)).ok()?)?;
                Some(Self { first, customary, metric, customary_says, metric_says })
            }
        }
    }

    /// The larger of the two figures: the one an inspector holds the fill against (NIST Handbook 133, 2026, 2.3.3).
    #[must_use]
    pub fn larger(&self) -> Mass {
        self.customary_says.max(self.metric_says)
    }
}

/// `9 oz` below a pound; from a pound up whole pounds with the rest in ounces (16 CFR 500.9(b)).
fn ounces(hundredths: i64) -> Option<(String, Mass)> {
    if hundredths < 1 {
        return None;
    }
    let says = Mass::oz(1).times_ratio(i128::from(hundredths), 100);
    let decimals = |h: i64| match h % 100 {
        0 => format!("{}", h / 100),
        f if f % 10 == 0 => format!("{}.{}", h / 100, f / 10),
        f => format!("{}.{f:02}", h / 100),
    };
    let text = if hundredths < 1600 {
        format!("{}\u{a0}oz", decimals(hundredths))
    } else if hundredths % 1600 == 0 {
        format!("{}\u{a0}lb", hundredths / 1600)
    } else {
        format!("{}\u{a0}lb\u{a0}{}\u{a0}oz", hundredths / 1600, decimals(hundredths % 1600))
    };
    Some((text, says))
}

/// A quantity in metric units alone, as printed: `250 g`, `1.13 kg`. `None` for less than a thousandth of a gram.
#[must_use]
pub fn metric(mass: Mass) -> Option<String> {
    grams(mass.to_ng()).map(|(text, _)| text)
}

/// The same as Canada writes it, and what it says (C.R.C. c. 417, ss. 25 to 27): three figures, grams under 1000 g, a zero
/// before the point. Below 100 g two figures are enough, and whole grams need no sign between them and a fraction, which
/// English and French write differently. Cut, never rounded up.
///
/// ```
/// use waxbill::{require::in_canada, unit::Mass};
/// let told = |g| in_canada(Mass::g(g)).unwrap().0.replace('\u{a0}', " ");
/// assert_eq!([told(85), told(999), told(1000), told(1134)], ["85 g", "999 g", "1 kg", "1.13 kg"]);
/// ```
#[must_use]
pub fn in_canada(mass: Mass) -> Option<(String, Mass)> {
    let whole = mass >= Mass::g(10) && mass < Mass::g(1000);
    let mass = if whole { mass.rounded_down_to(Mass::g(1)) } else { mass };
    let step = if mass < Mass::g(1) { Mass::mg(10) } else { Mass::mg(100) };
    grams(if mass < Mass::g(10) { mass.rounded_down_to(step) } else { mass }.to_ng())
}

/// Three digits, cut; from 1000 g up in kilograms (16 CFR 500.19(b), 500.23).
fn grams(ng: i64) -> Option<(String, Mass)> {
    const G: i64 = 1_000_000_000;
    let (unit, per) = if ng >= 1000 * G { ("kg", 1000 * G) } else { ("g", G) };
    let whole = ng / per;
    let places = match whole {
        100.. => 0,
        10..=99 => 1,
        1..=9 => 2,
        _ => 3,
    };
    let step = per / 10_i64.pow(places);
    let says = Mass::ng(ng).rounded_down_to(Mass::ng(step));
    if says == Mass::ZERO {
        return None;
    }
    Some((format!("{}\u{a0}{unit}", decimal(says.to_ng() / step, places)), says))
}

/// `value / 10^places` without trailing zeros right of the point.
fn decimal(value: i64, places: u32) -> String {
    let scale = 10_i64.pow(places);
    if places == 0 {
        return value.to_string();
    }
    let text = format!("{}.{:0w$}", value / scale, value % scale, w = places as usize);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A length in both systems: `10 in` with `25.4 cm`, `1 ft 2 in` with `35.5 cm` (16 CFR 500.11, 500.17, 500.19).
///
/// Inches come first; a figure that is a whole number of 32nds is printed as a fraction, any other with two decimals, cut.
/// Centimetres are derived from the inches as printed, cut to three digits.
#[must_use]
pub fn length(length: Length) -> Option<(String, String)> {
    const IN: i64 = 914_400;
    const CM: i64 = 360_000;
    let raw = length.to_raw();
    let (inches, says) = if raw > 0 && (raw * 32) % IN == 0 {
        let parts = raw * 32 / IN;
        let (whole, mut num, mut den) = (parts / 32, parts % 32, 32);
        while num > 0 && num % 2 == 0 {
            num /= 2;
            den /= 2;
        }
        let text = match (whole, num) {
            (w, 0) => w.to_string(),
            (0, _) => format!("{num}/{den}"),
            (w, _) if w < 12 => format!("{w}\u{a0}{num}/{den}"),
            (w, _) => format!("{}\u{a0}{num}/{den}", w % 12),
        };
        (text, raw)
    } else {
        let hundredths = raw * 100 / IN;
        (decimal(hundredths, 2), hundredths * IN / 100)
    };
    if says <= 0 {
        return None;
    }
    let feet = says / (12 * IN);
    let customary = if feet == 0 {
        format!("{inches}\u{a0}in")
    } else if says % (12 * IN) == 0 {
        format!("{feet}\u{a0}ft")
    } else if (says * 32) % IN == 0 {
        let rest = self::length(Length::raw(says % (12 * IN)))?.0;
        format!("{feet}\u{a0}ft\u{a0}{rest}")
    } else {
        format!("{feet}\u{a0}ft\u{a0}{}\u{a0}in", decimal(says % (12 * IN) * 100 / IN, 2))
    };
    let places = match says / CM {
        100.. => 0,
        10..=99 => 1,
        _ => 2,
    };
    let metric = format!("{}\u{a0}cm", decimal(says * 10_i64.pow(places) / CM, places));
    Some((customary, metric))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::Quantity;

    fn both(text: &str, first: First) -> String {
        let net = NetMass::declare(Mass::parse(text).unwrap(), first).unwrap();
        format!("{} {}", net.customary, net.metric).replace('\u{a0}', " ")
    }

    /// Ounces and pounds to grams printed as examples in 16 CFR 500.8, 500.9, 500.19(b), 500.27 and 500.28 (CFR 2015).
    #[test]
    fn metric_figures_agree_with_the_examples_printed_in_the_law() {
        for (ounces, metric) in [
            ("1 lb", "453 g"),
            ("12 oz", "340 g"),
            ("1.5 lb", "680 g"),
            ("15 oz", "425 g"),
            ("2.5 oz", "70.8 g"),
            ("2 oz", "56.6 g"),
            ("4 oz", "113 g"),
            ("1.25 lb", "566 g"),
            ("3.4 oz", "96.3 g"),
            ("20.4 oz", "578 g"),
            ("5.25 lb", "2.38 kg"),
            ("6 oz", "170 g"),
            ("3.2 oz", "90.7 g"), // the law prints 90 g, two digits; below 100 g either is allowed by 500.19(b)
            ("5.0 oz", "141 g"),
            ("11.4 oz", "323 g"),
        ] {
            assert!(both(ounces, First::Oz).ends_with(&format!(" {metric}")), "{ounces}: {}", both(ounces, First::Oz));
        }
        // 16 CFR 500.8(a): 100 g goes with 3.5 oz; two decimals are shown here (500.17(a) allows three).
        assert_eq!(both("100 g", First::G), "3.52 oz 100 g");
    }

    /// Computed with the factors of 16 CFR 500.19(a), cut down.
    #[test]
    fn grams_first_gives_ounces_cut_to_two_decimals() {
        for (grams, shown) in [
            ("180 g", "6.34 oz 180 g"),
            ("200 g", "7.05 oz 200 g"),
            ("220 g", "7.76 oz 220 g"),
            ("250 g", "8.81 oz 250 g"),
            ("300 g", "10.58 oz 300 g"),
            ("500 g", "1 lb 1.63 oz 500 g"),
            ("1134 g", "2 lb 7.85 oz 1.13 kg"),
        ] {
            assert_eq!(both(grams, First::G), shown);
        }
    }

    /// 16 CFR 500.9(b): from one pound up the statement is in pounds, the rest in ounces. Computed.
    #[test]
    fn from_a_pound_up_pounds_are_named() {
        assert_eq!(both("15.99 oz", First::Oz), "15.99 oz 453 g");
        assert_eq!(both("16 oz", First::Oz), "1 lb 453 g");
        assert_eq!(both("24 oz", First::Oz), "1 lb 8 oz 680 g");
        assert_eq!(both("40 oz", First::Oz), "2 lb 8 oz 1.13 kg");
        assert_eq!(both("8 oz", First::Oz), "8 oz 226 g");
        assert_eq!(both("3 oz", First::Oz), "3 oz 85 g");
    }

    /// Packs of several pieces whose fill is a fraction of an ounce; sums done by hand.
    #[test]
    fn fractions_of_an_ounce_add_up_to_whole_ones() {
        for (fill, pieces, shown) in [
            ("2.5 oz", 6, "15 oz 425 g"),
            ("1/2 oz", 6, "3 oz 85 g"),
            ("3/4 oz", 6, "4.5 oz 127 g"),
            ("1.25 oz", 4, "5 oz 141 g"),
            ("2.5 oz", 12, "1 lb 14 oz 850 g"),
            ("3 1/3 oz", 6, "1 lb 4 oz 566 g"),
        ] {
            let net = NetMass::declare(Mass::parse(fill).unwrap().times(pieces), First::Oz).unwrap();
            assert_eq!(format!("{} {}", net.customary, net.metric).replace('\u{a0}', " "), shown);
        }
        assert_eq!(Mass::parse("2.5 oz").unwrap().in_oz(2), "2.5 oz");
    }

    #[test]
    fn nothing_is_declared_for_a_trace() {
        assert!(NetMass::declare(Mass::mg(1), First::Oz).is_none());
        assert!(NetMass::declare(Mass::ZERO, First::G).is_none());
    }

    /// 1 in = 2.54 cm exactly (16 CFR 500.19(a)); feet from 12 in up (500.11); fractions in lowest terms (500.17(a)).
    #[test]
    fn lengths_stand_in_both_systems() {
        let shown = |t: &str| {
            let (a, b) = length(Length::parse(t).unwrap()).unwrap();
            format!("{a} {b}").replace('\u{a0}', " ")
        };
        assert_eq!(shown("10 in"), "10 in 25.4 cm");
        assert_eq!(shown("3 in"), "3 in 7.62 cm");
        assert_eq!(shown("7/8 in"), "7/8 in 2.22 cm");
        assert_eq!(shown("2 1/2 in"), "2 1/2 in 6.35 cm");
        assert_eq!(shown("12 in"), "1 ft 30.4 cm");
        assert_eq!(shown("14 in"), "1 ft 2 in 35.5 cm");
        assert_eq!(shown("14 1/4 in"), "1 ft 2 1/4 in 36.1 cm");
        assert_eq!(shown("76 mm"), "2.99 in 7.59 cm");
        assert_eq!(shown("400 mm"), "1 ft 3.74 in 39.9 cm");
    }

    proptest::proptest! {
        /// Against the general unit library `uom` (seven-figure factors, so a tolerance of one part in a million).
        #[test]
        fn derived_figures_never_exceed_the_declared_one(mg in 1_000_i64..9_000_000, oz_first: bool) {
            use uom::si::f64::Mass as Reference;
            use uom::si::mass::{gram, ounce};
            let mass = Mass::mg(mg);
            let first = if oz_first { First::Oz } else { First::G };
            let net = NetMass::declare(mass, first).unwrap();
            let reference = |m: Mass| Reference::new::<gram>(m.to_g_f64()).get::<ounce>();
            let (declared, derived) = if oz_first { (net.customary_says, net.metric_says) } else { (net.metric_says, net.customary_says) };
            proptest::prop_assert!(declared <= mass + Mass::ng(1) && derived <= declared);
            proptest::prop_assert!(net.larger() <= mass + Mass::ng(1));
            // Never short by more than a unit of the last digit shown: 1 % at three digits, 0.01 oz at two decimals.
            proptest::prop_assert!(reference(derived) >= reference(declared) * 0.99 - 0.0101);
            let parsed: f64 = net.customary.replace("\u{a0}oz", "").replace("\u{a0}lb", "").split('\u{a0}').rev().zip([1.0, 16.0])
                .map(|(t, by)| t.parse::<f64>().unwrap() * if net.customary.ends_with("lb") { 16.0 } else { by }).sum();
            proptest::prop_assert!((parsed - reference(net.customary_says)).abs() < 1e-4 * parsed.max(1.0), "{} {}", parsed, reference(net.customary_says));
        }
    }
}
