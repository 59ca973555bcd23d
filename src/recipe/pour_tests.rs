//! Tests of the grams to weigh: worked examples, and what holds for every recipe.

use super::{Pour, pour};
use crate::find::{Level, plain};
use crate::product::Basis;
use crate::product::example::product;
use crate::unit::{Mass, Share};
use proptest::prelude::{ProptestConfig, Strategy, prop_assert, proptest};
use proptest::sample::select;
use std::fmt::Write;

const SOY_AND_OIL: &str = "[{use: {material: Soy, role: wax, max load: {of wax: 10 %}}},
    {use: {material: Oil, role: fragrance, max load: {of total: 12 %}}, load: 9 %, of: wax}]";
const TWO_SCALES: &str =
    "scales: [{name: bench, reads to: 1 g, up to: 5 kg}, {name: fine, reads to: 0.1 g, up to: 500 g}]";

fn poured(recipe: &str, fill: &str, bench: &str, units: u32) -> (Pour, Vec<String>) {
    let (pour, findings) = pour(&product(recipe, fill, bench), units);
    let told = findings.iter().map(|f| format!("{:?} {}: {} | {}", f.level, f.id, f.message, f.cure)).collect();
    (pour.unwrap_or_else(|| panic!("{told:?}")), told)
}

fn shown(pour: &Pour) -> Vec<String> {
    pour.lines.iter().map(|l| l.shown(l.planned)).collect()
}

/// Worked by hand: 24 candles of 12 oz with 2 % loss need 8331.3 g; `N F (1 + loss)` would give 8328.0 g.
#[test]
fn loss_is_taken_of_what_is_issued() {
    let (pour, findings) = poured(SOY_AND_OIL, "12 oz", &format!("{TWO_SCALES}, loss: 2 %, pitcher: 1.8 kg"), 24);
    assert_eq!(pour.issue.in_g_fixed(1), "8331.3");
    assert_eq!(pour.pitchers.len(), 5);
    // by hand: 8331.29 g / 1.09 = 7643.4 g of wax, 687.9 g of oil; of the latter 137.6 g in each of five pitchers
    assert_eq!(shown(&pour), ["7643", "688.0"]);
    assert_eq!(pour.planned, Mass::g(8331));
    let grams: Vec<Vec<String>> =
        pour.pitchers.iter().map(|p| p.iter().zip(&pour.lines).map(|(m, l)| l.shown(*m)).collect()).collect();
    assert_eq!(grams, [["1529", "137.6"], ["1529", "137.6"], ["1529", "137.6"], ["1528", "137.6"], ["1528", "137.6"]]);
    assert_eq!(findings, [] as [String; 0]);
}

#[test]
fn one_candle_without_loss_is_the_fill() {
    let (pour, _) = poured(SOY_AND_OIL, "12 oz", TWO_SCALES, 1);
    assert_eq!(pour.issue, Mass::oz(12));
    // 12 oz at 9 % of wax: 312.10 g and 28.09 g (table computed by hand), both on the fine scale
    assert_eq!(shown(&pour), ["312.1", "28.1"]);
    // 28.1 / 312.1 and 28.1 / 340.2
    assert_eq!(pour.fragrance_of_wax.in_percent(3), "9.003 %");
    assert_eq!(pour.fragrance_of_total.in_percent(3), "8.259 %");
}

/// At its limit oil is rounded down: 28.09 g would read 28.1 g, which is 9.003 % of 312.1 g.
#[test]
fn oil_at_its_limit_is_rounded_down() {
    for limit in ["max load: {of wax: 9 %}", "max load: {of total: 8.2569 %}"] {
        let recipe = format!(
            "[{{use: {{material: Soy, role: wax, {limit}}}}}, {{use: {{material: Oil, role: fragrance}}, load: 9 %, of: wax}}]"
        );
        let (pour, _) = poured(&recipe, "12 oz", TWO_SCALES, 1);
        assert_eq!(shown(&pour), ["312.2", "28.0"]);
        assert_eq!(pour.fragrance_of_wax.in_percent(3), "8.968 %");
    }
}

#[test]
fn a_line_finer_than_its_scale_is_told_with_a_way_out() {
    let recipe = "[{use: {material: Paraffin, role: wax}}, {use: {material: Brown, role: dye}, load: 0.05 %, of: wax}]";
    let bench = format!("{TWO_SCALES}, pitcher: 1.8 kg");
    // 24 x 340 g: 8.16 kg, 4.08 g of dye, 0.8 g in each of five pitchers: a half step is 6 %; in one go 1.2 %
    let (_, findings) = poured(recipe, "340 g", &bench, 24);
    assert_eq!(
        findings,
        [
            "Warning practice/scale-readability: 0.815 g of Brown on a scale that reads to 0.1 g may be more than 1 % out | \
          use a scale that reads to 0.01 g, weigh a premix in wax, or pour more candles in one lot"
        ]
    );
    // 30 candles: 5.1 g of dye in one go are weighed to 1 %
    let (_, findings) = poured(recipe, "340 g", &bench, 30);
    assert!(findings[0].contains("weigh 5.1 g once for the whole lot (fine)"), "{findings:?}");
    // one candle: 0.17 g, still weighable but not well
    assert_eq!(poured(recipe, "340 g", TWO_SCALES, 1).1.len(), 1);
    // a tea light: 0.007 g are nothing
    let (none, findings) = pour(&product(recipe, "14 g", TWO_SCALES), 1);
    assert!(none.is_none() && findings[0].id == "practice/scale-readability" && findings[0].level == Level::Error);
}

/// 1 g steps for 28.1 g of oil are 1.8 % out, 0.1 g steps 0.18 %; 1 g for 312 g of wax 0.16 % (computed by hand).
#[test]
fn the_scale_of_the_oil_has_to_be_fine() {
    let bench = "scales: [{name: bench, reads to: 1 g, up to: 5 kg}]";
    let (pour, findings) = poured(SOY_AND_OIL, "12 oz", bench, 1);
    // 312 + 28 g would be less than 12 oz
    assert_eq!(shown(&pour), ["313", "28"]);
    assert_eq!(findings.len(), 1);
    assert!(findings[0].contains("28.089 g of Oil") && findings[0].contains("reads to 0.1 g"), "{findings:?}");
    assert_eq!(poured(SOY_AND_OIL, "12 oz", TWO_SCALES, 1).1, [] as [String; 0]);
}

#[test]
fn a_lot_beyond_the_scale_is_told() {
    let (pour, findings) = poured(SOY_AND_OIL, "12 oz", TWO_SCALES, 24);
    assert_eq!((pour.pitchers.len(), pour.lines[0].scale.as_str()), (1, "bench"));
    assert!(findings.iter().any(|f| f.contains("more than any scale") && f.contains("at most 5000 g")), "{findings:?}");
}

#[test]
fn numbers_that_are_slips_are_refused() {
    for (units, told) in [(0, "at least one"), (u32::MAX, "tonnes of wax"), (1_000, "pitchers")] {
        let (pour, findings) = pour(&product(SOY_AND_OIL, "12 oz", &format!("{TWO_SCALES}, pitcher: 1.8 kg")), units);
        assert!(pour.is_none());
        assert!(findings[0].message.contains(told), "{}", plain(&findings[0]));
    }
}

#[test]
fn a_load_over_its_limit_stops_the_pour() {
    let over = SOY_AND_OIL.replace("9 %, of: wax", "11 %, of: wax");
    let (pour, findings) = pour(&product(&over, "12 oz", TWO_SCALES), 24);
    assert!(pour.is_none() && findings[0].id == "practice/max-load");
}

/// Recipes of one or two waxes, one or two fragrances and an additive, with limits at or just above the loads.
fn recipes() -> impl Strategy<Value = (String, i64, u32, String)> {
    let basis = || select(vec!["wax", "total"]);
    let step = || select(vec!["1 g", "0.5 g", "0.1 g", "0.05 g", "0.01 g"]);
    (
        (100_i64..1500, 0_i64..600, 0_i64..300, basis(), basis(), 0_i64..60),
        (1_000_000_000_i64..800_000_000_000, 1_u32..60, 0_i64..900, 300_i64..4000, step(), step()),
        proptest::bool::ANY,
    )
        .prop_map(|((first, second, stearin, one, two, part), (fill, units, loss, pitcher, coarse, fine), counts)| {
            // hundredths of a percent
            let percent = |p: i64| format!("{}.{:02} %", p / 100, p % 100);
            let counts = if counts { "yes" } else { "no" };
            let mut recipe = format!("[{{use: {{material: Soy, role: wax, max load: {{of wax: LIMIT}}}}}}, {{use: {{material: A, role: fragrance, max load: {{of {one}: {p}}}}}, load: {p}, of: {one}}}", p = percent(first));
            if part > 0 {
                write!(recipe, ", {{use: {{material: Coconut, role: wax}}, part: {part} %}}").unwrap();
            }
            if second > 0 {
                write!(recipe, ", {{use: {{material: B, role: fragrance}}, load: {}, of: {two}}}", percent(second)).unwrap();
            }
            if stearin > 0 {
                write!(recipe, ", {{use: {{material: Stearin, role: additive, counts as wax: {counts}}}, load: {}, of: wax}}", percent(stearin)).unwrap();
            }
            recipe += "]";
            let bench = format!(
                "scales: [{{name: a, reads to: {coarse}, up to: 50 kg}}, {{name: b, reads to: {fine}, up to: 500 g}}], loss: {}, pitcher: {pitcher} g",
                percent(loss)
            );
            (recipe, fill, units, bench)
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn grams_come_to_the_issue_and_stay_within_every_limit((recipe, fill, units, bench) in recipes()) {
        let fill_text = format!("{}.{:09} g", fill / 1_000_000_000, fill % 1_000_000_000);
        let free = recipe.replace("max load: {of wax: LIMIT}", "max load: {of wax: 100 %}");
        // the wax's limit is put exactly at the nominal load, cut up by one part in 10^9 as a written figure would be
        let formula = crate::recipe::formula(&product(&free, &fill_text, &bench)).unwrap();
        let nominal = formula.fragrance_of_wax().share().to_ppb() + 1;
        let limit = Share::ppb(nominal).unwrap();
        let recipe = recipe.replace("LIMIT", &format!("{}.{:07} %", nominal / 10_000_000, nominal % 10_000_000));
        let p = product(&recipe, &fill_text, &bench);
        let (pour, findings) = pour(&p, units);
        if let Some(pour) = pour {
            let main = pour.lines.iter().filter(|l| l.role == crate::product::Role::Wax).max_by_key(|l| l.exact).unwrap();
            // Within half a step below; above it by up to a whole step where less would not fill the candles.
            let (off, step) = (pour.planned.to_ng() - pour.issue.to_ng(), main.step.to_ng());
            prop_assert!(-off * 2 <= step && off < step.max(1) + 1, "{} planned, {} issued", pour.planned, pour.issue);
            for (i, line) in pour.lines.iter().enumerate() {
                prop_assert!(line.planned == pour.pitchers.iter().map(|p| p[i]).sum::<Mass>());
                prop_assert!(pour.pitchers.iter().all(|p| p[i].to_ng() % line.step.to_ng() == 0 && p[i] > Mass::ZERO));
            }
            prop_assert!(pour.fragrance_of_wax <= limit, "{} of wax, limit {limit}", pour.fragrance_of_wax);
            let own = p.recipe.iter().find(|l| l.material.name == "A").unwrap().material.max_load.clone().unwrap().0;
            let a = pour.lines.iter().find(|l| l.name == "A").unwrap();
            let weighed = if own.of == Basis::Wax { a.of_wax } else { a.of_total };
            prop_assert!(weighed <= own.share, "{weighed} weighed, limit {}", own.share);
        } else {
            // only too few grams for the scale or too many pitchers may stop these
            let stops: Vec<&str> = findings.iter().filter(|f| f.level == Level::Error).map(|f| f.id.as_str()).collect();
            prop_assert!(stops.iter().all(|id| ["practice/scale-readability", "lot/number-of-candles"].contains(id)), "{stops:?}");
        }
    }
}

/// By hand: 10 candles of 204.4 g need 2044 g; on a 10 g scale alone 1950 + 90 = 2040 g would be half a candle's loss short.
#[test]
fn rounding_never_takes_from_what_the_candles_need() {
    for (fill, units) in [("204.4 g", 10), ("101.3 g", 7), ("99.1 g", 1), ("201.2 g", 12)] {
        let scales = "scales: [{name: bench, reads to: 10 g, up to: 30 kg}, {name: fine, reads to: 0.1 g, up to: 500 g}], pitcher: 1 kg";
        let (pour, _) = poured(SOY_AND_OIL, fill, scales, units);
        let needed = pour.fill.times(units);
        assert!(pour.planned >= needed && pour.planned <= needed + Mass::g(10), "{fill}: {} of {needed}", pour.planned);
    }
}
