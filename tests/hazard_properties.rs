//! What holds of every classification, whatever the mixture: order, raising a content, splitting a substance, sweeps.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test stops at the first surprise")]

use jiff::civil::{Date, date};
use proptest::prelude::{Just, ProptestConfig, Strategy, any, prop_assert, prop_assert_eq, prop_oneof, proptest};
use proptest::sample::select;
use std::collections::BTreeSet;
use std::sync::Arc;
use waxbill::hazard::{
    Classification, Content, Dose, HazardClass, Ingredient, MFactors, Mixture, Printed, Route, Rules, SpecificLimit,
    State, Stated, Substance, classify, sweep, thresholds,
};
use waxbill::unit::Share;

const DAY: Date = date(2026, 11, 25);

fn stated(class: HazardClass) -> Stated {
    let Ok(Printed::Class(stated)) = Stated::parse(&class.to_string()) else { panic!("{class}") };
    stated
}

fn substance() -> impl Strategy<Value = Substance> {
    let all: Vec<HazardClass> = HazardClass::all().collect();
    let classes = proptest::collection::vec(select(all.clone()), 0..5);
    let limits = proptest::collection::vec((select(all), 1_u32..100_000_000), 0..2);
    let m = prop_oneof![Just(None), Just(Some(1)), Just(Some(10)), Just(Some(1000))];
    let ate = proptest::option::of(1_i32..6000);
    (any::<u16>(), classes, limits, m.clone(), m, ate, any::<u8>()).prop_map(
        |(name, classes, limits, acute, chronic, oral, odd)| {
            let mut ate = [None; 5];
            ate[Route::Oral.index()] = oral.filter(|_| odd % 3 == 0).map(Dose::whole);
            let mut unknown_toxicity = [false; 5];
            unknown_toxicity[Route::Oral.index()] = odd % 7 == 0;
            Substance {
                name: format!("substance {name}"),
                classes: classes.into_iter().map(stated).collect(),
                limits: limits
                    .into_iter()
                    .filter(|_| odd % 2 == 0)
                    .map(|(class, from)| SpecificLimit { class, code: None, from: share(from) })
                    .collect(),
                m: MFactors { acute, chronic },
                ate,
                unknown_toxicity,
                ph: (odd % 31 == 0).then(|| Dose::whole(1)),
                additive: (odd % 11 == 0).then_some(false),
                ..Substance::default()
            }
        },
    )
}

/// In parts per 10^9, up to 40 %: small ones as often as large ones.
fn parts() -> impl Strategy<Value = u32> {
    prop_oneof![0..2_000_000_u32, 0..40_000_000_u32, 0..400_000_000_u32]
}

fn share(parts: u32) -> Content {
    Content::of(Share::ppb(i64::from(parts)).unwrap())
}

fn mixture() -> impl Strategy<Value = Mixture> {
    let ingredient =
        (substance(), parts()).prop_map(|(s, parts)| Ingredient { substance: Arc::new(s), content: share(parts) });
    let state = select(State::ALL.to_vec());
    (proptest::collection::vec(ingredient, 1..12), state, any::<bool>(), proptest::option::of(1_i32..40)).prop_map(
        |(mut ingredients, state, additive, viscosity)| {
            // every name once: what is the same substance is another question
            for (n, ingredient) in ingredients.iter_mut().enumerate() {
                Arc::make_mut(&mut ingredient.substance).name += &format!(" of {n}");
            }
            Mixture { state, additive, viscosity: viscosity.map(Dose::whole), ingredients, ..Mixture::solid("trial") }
        },
    )
}

fn of(mixture: &Mixture, rules: Rules) -> Classification {
    classify(mixture, rules, DAY)
}

/// Every group has the same class or a more severe one; every name is still on the label.
fn is_not_less(after: &Classification, before: &Classification) -> Result<(), String> {
    let corrosive = after.classes.iter().any(|c| c.code == "H314");
    for class in &before.classes {
        let worse = after.classes.iter().any(|c| c.class.group() == class.class.group() && c.class <= class.class);
        let told = corrosive && class.class.group().word() == "eye";
        if !(worse || told) {
            return Err(format!("`{class}` is gone"));
        }
    }
    let names = |c: &Classification| -> BTreeSet<String> {
        let causes = c.classes.iter().filter(|c| matches!(c.class.code(), "H317" | "H334")).flat_map(|c| &c.because);
        c.euh208.iter().chain(&c.also_named).chain(causes).map(|r| r.name().to_owned()).collect()
    };
    let gone: Vec<String> = names(before).difference(&names(after)).cloned().collect();
    if gone.is_empty() { Ok(()) } else { Err(format!("{gone:?} are no longer named")) }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn order_does_not_matter(mixture in mixture(), seed in any::<u64>(), rules in select(Rules::ALL.to_vec())) {
        let mut turned = mixture.clone();
        let n = turned.ingredients.len();
        turned.ingredients.rotate_left(usize::try_from(seed % 12).unwrap() % n);
        if seed % 2 == 0 { turned.ingredients.reverse(); }
        prop_assert_eq!(format!("{:?}", of(&mixture, rules)), format!("{:?}", of(&turned, rules)));
    }

    #[test]
    fn raising_a_percentage_never_lowers_a_class(mixture in mixture(), at in any::<usize>(), more in parts(), rules in select(Rules::ALL.to_vec())) {
        let mut raised = mixture.clone();
        let at = at % raised.ingredients.len();
        raised.ingredients[at].content = raised.ingredients[at].content.plus(share(more));
        let held = is_not_less(&of(&raised, rules), &of(&mixture, rules));
        prop_assert!(held.is_ok(), "{:?}", held);
    }

    #[test]
    fn adding_an_ingredient_never_lowers_a_class(mixture in mixture(), new in substance(), parts in parts()) {
        let mut richer = mixture.clone();
        richer.ingredients.push(Ingredient { substance: Arc::new(new), content: share(parts) });
        let held = is_not_less(&of(&richer, Rules::Clp), &of(&mixture, Rules::Clp));
        prop_assert!(held.is_ok(), "{:?}", held);
    }

    #[test]
    fn a_substance_from_two_oils_counts_as_one(mixture in mixture(), at in any::<usize>(), part in 0_i64..1000) {
        let mut split = mixture.clone();
        let at = at % split.ingredients.len();
        let whole = split.ingredients[at].content;
        let first = Content::parts(whole.to_parts() / 1000 * part).unwrap();
        let second = Content::parts(whole.to_parts() - first.to_parts()).unwrap();
        split.ingredients[at].content = first;
        let again = Ingredient { substance: Arc::clone(&split.ingredients[at].substance), content: second };
        split.ingredients.push(again);
        let (one, two) = (of(&mixture, Rules::Clp), of(&split, Rules::Clp));
        prop_assert_eq!(one.signature(), two.signature());
    }

    #[test]
    fn great_britain_never_has_more_than_the_union(mixture in mixture()) {
        let (eu, gb) = (of(&mixture, Rules::Clp), of(&mixture, Rules::ClpGb));
        let new = |c: &&waxbill::hazard::Classified| !c.code.starts_with("EUH");
        let shown = |c: &Classification| c.classes.iter().filter(new).map(ToString::to_string).collect::<Vec<_>>();
        prop_assert_eq!(shown(&eu), shown(&gb));
        prop_assert!(gb.classes.iter().all(|c| new(&c)));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn thresholds_of_a_sweep_agree_with_classifying(oil in mixture()) {
        let at = |load: Share| {
            let mut candle = Mixture::solid("candle");
            candle.ingredients = oil.ingredients.iter()
                .map(|i| Ingredient { substance: Arc::clone(&i.substance), content: i.content.times(load) })
                .collect();
            classify(&candle, Rules::Clp, DAY)
        };
        let most = Share::percent(20);
        let steps = sweep(at, &thresholds(&oil), most);
        prop_assert_eq!(steps[0].from, Share::ZERO);
        for pair in steps.windows(2) {
            let below = Share::ppb(pair[1].from.to_ppb() - 1).unwrap();
            let (below, reached) = (at(below), at(pair[1].from));
            prop_assert_eq!(below.signature(), pair[0].classification.signature());
            prop_assert_eq!(reached.signature(), pair[1].classification.signature());
            prop_assert!(pair[0].classification.signature() != pair[1].classification.signature());
            // more oil, never less on the label
            let held = is_not_less(&pair[1].classification, &pair[0].classification);
            prop_assert!(held.is_ok(), "{:?}", held);
        }
        // the naive way: every load on a scale of a twentieth of a percent
        for n in 0..=400 {
            let load = Share::ppb(n * 500_000).unwrap();
            let step = steps.iter().rev().find(|s| s.from <= load).unwrap();
            let found = at(load);
            prop_assert_eq!(found.signature(), step.classification.signature());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_text_breaks_the_reader_of_classes(text in "[ -~é≥H0-9(),;+*E]{0,40}", class in select(HazardClass::all().collect::<Vec<_>>())) {
        let _ = Stated::parse_all(&text);
        let mixed = format!("{class}{text}");
        if let Ok(read) = Stated::parse_all(&mixed) {
            prop_assert!(!read.is_empty());
        }
        prop_assert_eq!(Stated::parse(&class.to_string()), Ok(Printed::Class(stated(class))));
    }
}
