//! Times classifying and sweeping inside one process: `cargo bench --bench hazard`. Prints medians.
//!
//! Beside the sweep by thresholds stands the naive repeat: classifying at 500 loads, which finds each change only to the
//! next of the 500.

#![allow(
    clippy::disallowed_methods,
    clippy::panic,
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a measurement reads the clock, prints, and stops at the first surprise"
)]

use std::hint::black_box;
use std::sync::Arc;
use std::time::{Duration, Instant};
use waxbill::hazard::{
    Classification, Content, Ingredient, MFactors, Mixture, Printed, Rules, Stated, Substance, classify, sweep,
    thresholds,
};
use waxbill::unit::Share;

/// Classes as fragrances have them, in turn.
const CLASSES: [&[&str]; 6] = [
    &["Skin Sens. 1B, H317", "Skin Irrit. 2, H315", "Eye Irrit. 2, H319"],
    &["Skin Sens. 1, H317", "Asp. Tox. 1, H304", "Aquatic Acute 1, H400", "Aquatic Chronic 3, H412"],
    &["Aquatic Acute 1, H400", "Aquatic Chronic 1, H410"],
    &["Acute Tox. 4, H302", "Skin Sens. 1A, H317", "Eye Dam. 1, H318"],
    &["Repr. 2, H361d", "Aquatic Chronic 2, H411", "STOT SE 3, H335"],
    &["Skin Irrit. 2, H315"],
];

/// Invented: `count` substances, the largest 8 %, falling off; no real oil.
fn oil(count: usize) -> Mixture {
    let mut oil = Mixture::solid("oil");
    for n in 0..count {
        let classes = CLASSES[n % CLASSES.len()].iter().map(|text| match Stated::parse(text) {
            Ok(Printed::Class(stated)) => stated,
            other => panic!("{other:?}"),
        });
        let substance = Substance {
            name: format!("substance {n}"),
            cas: Some(format!("{}-00-0", 100 + n)),
            classes: classes.collect(),
            m: MFactors { acute: Some(1), chronic: Some(10) },
            ..Substance::default()
        };
        let share = Share::ppb(80_000_000 / (i64::try_from(n).unwrap() + 1)).unwrap();
        oil.ingredients.push(Ingredient { substance: Arc::new(substance), content: Content::of(share) });
    }
    oil
}

fn candle(oil: &Mixture, load: Share) -> Classification {
    let mut candle = Mixture::solid("candle");
    candle.ingredients = oil
        .ingredients
        .iter()
        .map(|i| Ingredient { substance: Arc::clone(&i.substance), content: i.content.times(load) })
        .collect();
    classify(&candle, Rules::Clp, jiff::civil::date(2026, 11, 25))
}

fn median(rounds: usize, mut run: impl FnMut()) -> Duration {
    let mut took: Vec<Duration> = (0..rounds)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed()
        })
        .collect();
    took.sort();
    took[rounds / 2]
}

fn main() {
    let ms = |took: Duration| took.as_secs_f64() * 1e3;
    println!(
        "| substances | classify once, ms | 500 loads one by one, ms | sweep, ms | its thresholds |\n|---|---|---|---|---|"
    );
    let most = Share::percent(20);
    for count in [20, 60, 200] {
        let oil = oil(count);
        let once = median(300, || drop(black_box(candle(&oil, Share::percent(9)))));
        let naive = median(9, || {
            for n in 0..500 {
                black_box(candle(&oil, Share::ppb(n * 400_000).unwrap()));
            }
        });
        let mut steps = 0;
        let swept = median(9, || steps = sweep(|load| candle(&oil, load), &thresholds(&oil), most).len());
        println!("| {count} | {:.3} | {:.1} | {:.1} | {steps} |", ms(once), ms(naive), ms(swept));
    }
}
