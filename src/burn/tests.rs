//! Claims against a worked example, the t quantile against table and closed form, and every reason for none.

use super::{Why, check, claim, prediction, rate, t95};
use crate::find::Level;
use crate::product::Product;
use crate::product::example::written;
use crate::unit::{Hours, Quantity};

fn jar(burn_test: &str) -> Product {
    written(&format!(
        "kind: container candle\nwick: {{type: cotton}}\nfill: 340 g\nrecipe: [{{use: {{material: Soy, role: wax}}}}]\n\
         vessel: {{made of: glass, round: {{diameter: 76 mm, wall height: 88 mm}}, inside diameter: 73 mm}}\n{burn_test}\n\
         workshop: {{maker: {{name: Quillmere Candle Shed, town: Quillmere, postcode: '00000', country: US}}, scales: [{{name: bench, reads to: 1 g, up to: 5 kg}}]}}\n"
    ))
}

fn tested(hours: &str) -> Product {
    jar(&format!("burn test: {{hours to stop line: {hours}, stop: 1/2 in, recipe: as sold}}"))
}

fn hours(texts: &[&str]) -> Vec<Hours> {
    texts.iter().map(|text| Hours::parse(&format!("{text} h")).unwrap()).collect()
}

/// Worked example, computed by hand: mean 68.57 h, s 2.40, t(0.95, 2) = 2.920, bound 60.5 h.
#[test]
fn three_full_burns_support_sixty_hours() {
    let claim = claim(&hours(&["68.5", "71.0", "66.2"]), true).unwrap();
    assert!((claim.mean.to_h_f64() - 68.57).abs() < 0.005 && (claim.bound.to_h_f64() - 60.5).abs() < 0.05, "{claim:?}");
    assert_eq!((claim.printed, claim.candles), (Hours::h(60), 3));
}

/// Published one-sided quantiles (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2; values from memory).
#[test]
fn the_t_quantile_agrees_with_the_published_table() {
    for (freedom, t) in [(2.0, 2.920), (5.0, 2.015), (7.0, 1.895), (9.0, 1.833), (11.0, 1.796), (12.0, 1.782)] {
        assert!((t95(freedom).unwrap() - t).abs() < 0.0006, "{freedom}");
    }
    // closed forms for 1 and 2 degrees of freedom: tan 81° (a table's value) and 0.9 / sqrt(2 * 0.95 * 0.05)
    assert!((t95(1.0).unwrap() - 6.313_751_5).abs() < 1e-6);
    assert!((t95(2.0).unwrap() - 0.9 / (2.0_f64 * 0.95 * 0.05).sqrt()).abs() < 1e-6);
}

#[test]
fn like_candles_promise_their_hours_and_unlike_ones_less() {
    let (mean, bound) = prediction(&hours(&["40"; 4])).unwrap();
    assert_eq!((mean, bound), (Hours::h(40), Hours::h(40)));
    // more candles of the same spread promise more
    let (_, three) = prediction(&hours(&["38", "40", "42"])).unwrap();
    let (_, six) = prediction(&hours(&["38", "40", "42", "38", "40", "42"])).unwrap();
    assert!(three < six && six < Hours::h(40), "{three} {six}");
    assert_eq!(prediction(&hours(&["40"])), None);
}

#[test]
fn a_claim_needs_three_candles_as_sold() {
    let three = hours(&["68.5", "71", "66.2"]);
    assert_eq!(claim(&[], true), Err(Why::TooFew { tested: 0 }));
    assert_eq!(claim(&three[..2], true), Err(Why::TooFew { tested: 2 }));
    assert_eq!(claim(&three, false), Err(Why::NotAsSold));
    let Err(Why::NotAnHour { bound }) = claim(&hours(&["20", "70", "130"]), true) else { panic!("a wild spread") };
    assert!(bound < Hours::h(1));
    assert_eq!(Why::TooFew { tested: 2 }.to_string(), "2 burnt to the stop line are too few, 3 are needed");
}

/// 340 g in a 73 mm jar leave 47.84 g below 1/2 in at 0.90 g/ml (constructed log, computed by hand): 292.16 g burn.
#[test]
fn rates_count_what_burns_above_the_stop_line() {
    let product = tested("[61, 62, 60]");
    let rate = rate(&product, &product.burn_test.as_ref().unwrap().hours).unwrap();
    assert!((rate.highest_g_per_h - 292.16 / 60.0).abs() < 0.001, "{rate:?}");
    assert!((rate.lowest_g_per_h - 292.16 / 62.0).abs() < 0.001, "{rate:?}");
}

/// Band 1.2 to 12 g/h, refused above 30 g/h: common practice, no source. 292.16 g burn here.
#[test]
fn rates_outside_what_candles_burn_are_told() {
    let told = |hours: &str| -> Vec<Level> { check(&tested(hours)).into_iter().map(|f| f.level).collect() };
    assert_eq!(told("[24.4, 24.5, 24.6]"), []); // 11.97 g/h
    assert_eq!(told("[24.3, 24.3, 24.4]"), [Level::Warning]); // 12.02 g/h
    assert_eq!(told("[243, 243, 243]"), []); // 1.202 g/h
    assert_eq!(told("[244, 244, 243]"), [Level::Warning]); // 1.197 g/h
    assert_eq!(told("[9.8, 9.8, 9.8]"), [Level::Warning]); // 29.8 g/h
    assert_eq!(told("[9.7, 9.8, 9.8]"), [Level::Error]); // 30.1 g/h
    // a printed teaching example, 300 g in 60 minutes, has to be refused
    assert_eq!(told("[60 min, 60 min, 60 min]"), [Level::Error]);
    assert_eq!(told("[0 h, 60, 60]"), [Level::Error]);
    assert_eq!(check(&jar("")).len(), 0);
}

#[test]
fn two_wicks_share_the_wax() {
    let product = |wicks| {
        let mut product = tested("[20, 20, 20]");
        product.wick.as_mut().unwrap().count = wicks;
        check(&product).len()
    };
    // 14.6 g/h in all
    assert_eq!((product(1), product(2)), (1, 0));
}
