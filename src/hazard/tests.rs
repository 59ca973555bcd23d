//! Limits of the engine, each just below, at and above; clauses are of Annex I to Regulation (EC) No 1272/2008.

use super::{
    Classification, Content, Dose, Ingredient, Mixture, Printed, Route, Rules, SpecificLimit, State, Stated, Substance,
    classify,
};
use crate::unit::{Quantity, Share, exact};
use jiff::civil::date;
use std::sync::Arc;

fn stated(text: &str) -> Stated {
    match Stated::parse(text) {
        Ok(Printed::Class(stated)) => stated,
        other => panic!("{text}: {other:?}"),
    }
}

fn substance(name: &str, classes: &[&str]) -> Substance {
    Substance { name: name.to_owned(), classes: classes.iter().map(|c| stated(c)).collect(), ..Substance::default() }
}

fn content(percent: &str) -> Content {
    Content::of(Share::parse(&format!("{percent} %")).unwrap())
}

fn of(substance: Substance, percent: &str) -> Ingredient {
    Ingredient { substance: Arc::new(substance), content: content(percent) }
}

fn mixture(ingredients: Vec<Ingredient>) -> Mixture {
    Mixture { ingredients, ..Mixture::solid("trial") }
}

fn under(mixture: &Mixture, rules: Rules) -> Classification {
    classify(mixture, rules, date(2026, 11, 25))
}

fn classes(mixture: &Mixture) -> Vec<String> {
    under(mixture, Rules::Clp).classes.iter().map(ToString::to_string).collect()
}

/// `name percent class; …`: the classes of a solid mixture of these.
fn mixed(lines: &[(&str, &[&str])]) -> Vec<String> {
    let ingredient =
        |(n, (percent, classes)): (usize, &(&str, &[&str]))| of(substance(&format!("substance {n}"), classes), percent);
    classes(&mixture(lines.iter().enumerate().map(ingredient).collect()))
}

fn dose(text: &str) -> Dose {
    Dose::of(exact(text).unwrap()).unwrap()
}

/// Tables 3.4.5, 3.5.2, 3.6.2, 3.7.2, 3.8.3, 3.9.4: a single substance just below and at its limit.
#[test]
fn single_substances_count_from_their_limit_on() {
    for (class, below, at, result) in [
        ("Skin Sens. 1", "0.9999999", "1", "Skin Sens. 1, H317"),
        ("Skin Sens. 1A", "0.0999999", "0.1", "Skin Sens. 1, H317"),
        ("Skin Sens. 1B", "0.9999999", "1", "Skin Sens. 1, H317"),
        ("Resp. Sens. 1", "0.9999999", "1", "Resp. Sens. 1, H334"),
        ("Resp. Sens. 1A", "0.0999999", "0.1", "Resp. Sens. 1, H334"),
        ("Resp. Sens. 1B", "0.9999999", "1", "Resp. Sens. 1, H334"),
        ("Muta. 1A", "0.0999999", "0.1", "Muta. 1A, H340"),
        ("Muta. 1B", "0.0999999", "0.1", "Muta. 1B, H340"),
        ("Muta. 2", "0.9999999", "1", "Muta. 2, H341"),
        ("Carc. 1A", "0.0999999", "0.1", "Carc. 1A, H350"),
        ("Carc. 1B, H350i", "0.0999999", "0.1", "Carc. 1B, H350i"),
        ("Carc. 2", "0.9999999", "1", "Carc. 2, H351"),
        ("Repr. 1A", "0.2999999", "0.3", "Repr. 1A, H360"),
        ("Repr. 1B, H360FD", "0.2999999", "0.3", "Repr. 1B, H360FD"),
        ("Repr. 2, H361d", "2.9999999", "3", "Repr. 2, H361d"),
        ("Lact.", "0.2999999", "0.3", "Lact., H362"),
        ("STOT SE 1", "0.9999999", "1", "STOT SE 2, H371"),
        ("STOT SE 1", "9.9999999", "10", "STOT SE 1, H370"),
        ("STOT SE 2", "9.9999999", "10", "STOT SE 2, H371"),
        ("STOT RE 1", "0.9999999", "1", "STOT RE 2, H373"),
        ("STOT RE 1", "9.9999999", "10", "STOT RE 1, H372"),
        ("STOT RE 2", "9.9999999", "10", "STOT RE 2, H373"),
        ("STOT SE 3, H335", "19.9999999", "20", "STOT SE 3, H335"),
        ("STOT SE 3, H336", "19.9999999", "20", "STOT SE 3, H336"),
        ("Ozone 1", "0.0999999", "0.1", "Ozone 1, H420"),
        ("ED HH 1", "0.0999999", "0.1", "ED HH 1, EUH380"),
        ("ED ENV 2", "0.9999999", "1", "ED ENV 2, EUH431"),
        ("vPvM", "0.0999999", "0.1", "vPvM, EUH451"),
    ] {
        assert!(!mixed(&[(below, &[class])]).contains(&result.to_owned()), "{class} at {below} %");
        assert_eq!(mixed(&[(at, &[class])]), [result], "{class} at {at} %");
    }
}

/// 3.4.3.3.1, 3.5.3, 3.8.3: different substances are not added up; the same substance is.
#[test]
fn single_classes_do_not_add_up_but_one_substance_from_two_oils_does() {
    assert!(mixed(&[("0.6", &["Skin Sens. 1B"]), ("0.6", &["Skin Sens. 1B"])]).is_empty());
    let linalool = |cas: Option<&str>, ec: Option<&str>, name: &str| Substance {
        cas: cas.map(str::to_owned),
        ec: ec.map(str::to_owned),
        ..substance(name, &["Skin Sens. 1B"])
    };
    let both = |a: Substance, b: Substance| classes(&mixture(vec![of(a, "0.6"), of(b, "0.4")]));
    let found = ["Skin Sens. 1, H317"];
    assert_eq!(
        both(linalool(Some("78-70-6"), None, "linalool"), linalool(Some("78-70-6"), None, "3,7-dimethyl…")),
        found
    );
    assert_eq!(both(linalool(None, Some("201-134-4"), "a"), linalool(None, Some("201-134-4"), "b")), found);
    assert_eq!(both(linalool(Some("78-70-6"), None, "Linalool"), linalool(None, None, "linalool ")), found);
    assert_eq!(both(linalool(None, None, "linalool"), linalool(None, None, "linalool")), found);
    // two numbers, one name: two substances
    assert!(both(linalool(Some("78-70-6"), None, "x"), linalool(Some("5392-40-5"), None, "x")).is_empty());
    // a line with both numbers joins the two that have one each, whatever the order
    let chain = |order: [usize; 3]| {
        let all = [
            of(linalool(Some("78-70-6"), None, "a"), "0.4"),
            of(linalool(None, Some("201-134-4"), "b"), "0.3"),
            of(linalool(Some("78-70-6"), Some("201-134-4"), "c"), "0.3"),
        ];
        classes(&mixture(order.iter().map(|n| all[*n].clone()).collect()))
    };
    for order in [[0, 1, 2], [2, 1, 0], [1, 2, 0]] {
        assert_eq!(chain(order), found);
    }
}

/// Table 3.2.3 and 3.2.3.3.2; an ingredient under 1 % is left out (Table 1.1).
#[test]
fn skin_adds_up() {
    assert_eq!(mixed(&[("4.9999999", &["Skin Corr. 1A"])])[0], "Skin Irrit. 2, H315");
    assert_eq!(mixed(&[("5", &["Skin Corr. 1A"])]), ["Skin Corr. 1A, H314"]);
    assert_eq!(mixed(&[("3", &["Skin Corr. 1A"]), ("2", &["Skin Corr. 1B"])]), ["Skin Corr. 1B, H314"]);
    assert_eq!(mixed(&[("3", &["Skin Corr. 1A"]), ("2", &["Skin Corr. 1C"])]), ["Skin Corr. 1C, H314"]);
    assert_eq!(mixed(&[("3", &["Skin Corr. 1A"]), ("2", &["Skin Corr. 1"])]), ["Skin Corr. 1, H314"]);
    assert_eq!(mixed(&[("9.9999999", &["Skin Irrit. 2"])]), [""; 0]);
    assert_eq!(mixed(&[("10", &["Skin Irrit. 2"])]), ["Skin Irrit. 2, H315"]);
    assert_eq!(mixed(&[("9", &["Skin Irrit. 2"]), ("0.9999999", &["Skin Irrit. 2"])]), [""; 0]);
    assert_eq!(mixed(&[("0.9999999", &["Skin Corr. 1B"])]), [""; 0]);
    assert_eq!(mixed(&[("1", &["Skin Corr. 1B"])]), ["Skin Irrit. 2, H315", "Eye Irrit. 2, H319"]);
}

/// Table 3.3.3; skin corrosives count, each substance once; a mixture corrosive to skin tells it with H314.
#[test]
fn eyes_count_skin_corrosives() {
    assert_eq!(mixed(&[("2.9999999", &["Eye Dam. 1"])]), ["Eye Irrit. 2, H319"]);
    assert_eq!(mixed(&[("3", &["Eye Dam. 1"])]), ["Eye Dam. 1, H318"]);
    assert_eq!(mixed(&[("1.5", &["Eye Dam. 1"]), ("1.5", &["Skin Corr. 1B"])])[1], "Eye Dam. 1, H318");
    // once, not twice: 2 % of both classes is 2 %, not 4 %
    assert_eq!(mixed(&[("2", &["Skin Corr. 1B", "Eye Dam. 1"])])[1], "Eye Irrit. 2, H319");
    assert_eq!(mixed(&[("9", &["Eye Irrit. 2"])]), [""; 0]);
    assert_eq!(mixed(&[("10", &["Eye Irrit. 2"])]), ["Eye Irrit. 2, H319"]);
    // 10 x 0.99... is under the cut-off, so only the irritant is left
    assert_eq!(mixed(&[("9", &["Eye Irrit. 2"]), ("0.9", &["Eye Dam. 1"])]), [""; 0]);
    assert_eq!(mixed(&[("5", &["Skin Corr. 1B", "Eye Dam. 1"])]), ["Skin Corr. 1B, H314"]);
}

/// 1.1.2.2.2, Art. 10, 3.2.3.3.5: specific limits in both directions; a sum of contents over limits.
#[test]
fn specific_limits_take_the_place_of_generic_ones() {
    let limited = |class: &str, limits: &[(&str, &str)]| Substance {
        limits: limits
            .iter()
            .map(|(class, from)| SpecificLimit { class: stated(class).class, code: None, from: content(from) })
            .collect(),
        ..substance("limited", &[class])
    };
    let single = |s: &Substance, percent: &str| classes(&mixture(vec![of(s.clone(), percent)]));
    let low = limited("Skin Sens. 1A", &[("Skin Sens. 1A", "0.01")]);
    assert_eq!(single(&low, "0.01"), ["Skin Sens. 1, H317"]);
    assert!(single(&low, "0.0099999").is_empty());
    let high = limited("Carc. 2", &[("Carc. 2", "5")]);
    assert!(single(&high, "4.9999999").is_empty());
    assert_eq!(single(&high, "5"), ["Carc. 2, H351"]);
    // The limits of sodium hydroxide in Annex VI (011-002-00-6, from memory): 1A from 5 %, 1B from 2 %, irritant from 0.5 %.
    let lye = limited(
        "Skin Corr. 1A",
        &[("Skin Corr. 1A", "5"), ("Skin Corr. 1B", "2"), ("Skin Irrit. 2", "0.5"), ("Eye Irrit. 2", "0.5")],
    );
    assert_eq!(single(&lye, "5"), ["Skin Corr. 1A, H314"]);
    assert_eq!(single(&lye, "2"), ["Skin Corr. 1B, H314"]);
    assert_eq!(single(&lye, "1.9")[0], "Skin Irrit. 2, H315");
    assert_eq!(single(&lye, "0.5"), ["Skin Irrit. 2, H315", "Eye Irrit. 2, H319"]);
    assert!(single(&lye, "0.4999999").is_empty());
    // half of its own limit and half of the generic one make a whole
    let half = limited("Skin Irrit. 2", &[("Skin Irrit. 2", "50")]);
    let with =
        |percent| classes(&mixture(vec![of(half.clone(), "25"), of(substance("other", &["Skin Irrit. 2"]), percent)]));
    assert!(with("4.9999999").is_empty());
    assert_eq!(with("5"), ["Skin Irrit. 2, H315"]);
}

/// Tables 3.2.4 and 3.3.4; 3.2.3.1.2.
#[test]
fn what_does_not_add_up_counts_alone() {
    let mut hard =
        mixture(vec![of(substance("a", &["Skin Corr. 1B"]), "1"), of(substance("b", &["Skin Irrit. 2"]), "2.9")]);
    hard.additive = false;
    assert_eq!(classes(&hard), ["Skin Corr. 1, H314"]);
    hard.ingredients.remove(0);
    assert!(classes(&hard).is_empty());
    hard.ingredients[0].content = content("3");
    assert_eq!(classes(&hard), ["Skin Irrit. 2, H315"]);
    let acid = |ph: &str, percent: &str| {
        classes(&mixture(vec![of(Substance { ph: Some(dose(ph)), ..substance("acid", &["Skin Irrit. 2"]) }, percent)]))
    };
    assert_eq!(acid("2", "1"), ["Skin Corr. 1, H314"]);
    assert_eq!(acid("11.5", "1"), ["Skin Corr. 1, H314"]);
    assert!(acid("2.1", "1").is_empty() && acid("11.4", "1").is_empty() && acid("2", "0.9").is_empty());
    let mut whole = mixture(vec![of(substance("water", &[]), "100")]);
    whole.ph = Some(dose("11.5"));
    assert_eq!(classes(&whole), ["Skin Corr. 1, H314"]);
    whole.ph = Some(dose("11.49"));
    assert!(classes(&whole).is_empty());
}

/// Annex II 2.8 with Table 3.4.6: the sentence, or names beside the class; one tenth of a specific limit.
#[test]
fn sensitisers_below_their_limit_are_named() {
    let named = |lines: &[(&str, &str, &str)]| {
        let ingredients = lines.iter().map(|(name, percent, class)| of(substance(name, &[class]), percent)).collect();
        let found = under(&mixture(ingredients), Rules::Clp);
        let names = |r: &[super::Reason]| r.iter().map(|r| r.name().to_owned()).collect::<Vec<_>>().join(" ");
        (names(&found.euh208), names(&found.also_named))
    };
    let (sentence, beside) = (|s: &str| (s.to_owned(), String::new()), |s: &str| (String::new(), s.to_owned()));
    for (class, below, at) in [
        ("Skin Sens. 1", "0.0999999", "0.1"),
        ("Skin Sens. 1A", "0.0099999", "0.01"),
        ("Skin Sens. 1B", "0.0999999", "0.1"),
        ("Resp. Sens. 1", "0.0999999", "0.1"),
        ("Resp. Sens. 1A", "0.0099999", "0.01"),
    ] {
        assert_eq!(named(&[("a", below, class)]), sentence(""), "{class}");
        assert_eq!(named(&[("a", at, class)]), sentence("a"), "{class}");
    }
    assert_eq!(
        named(&[("a", "1", "Skin Sens. 1"), ("b", "0.2", "Skin Sens. 1B"), ("c", "0.3", "Skin Sens. 1")]),
        beside("c b")
    );
    assert_eq!(named(&[("a", "1", "Skin Sens. 1"), ("b", "0.2", "Resp. Sens. 1")]), beside("b"));
    let own = Substance {
        limits: vec![SpecificLimit { class: stated("Skin Sens. 1A").class, code: None, from: content("0.01") }],
        ..substance("own", &["Skin Sens. 1A"])
    };
    let at = |percent, rules| under(&mixture(vec![of(own.clone(), percent)]), rules).euh208.len();
    assert_eq!((at("0.001", Rules::Clp), at("0.0009999", Rules::Clp)), (1, 0));
    assert_eq!((at("0.001", Rules::ClpGb), at("0.001", Rules::UnGhs)), (1, 0));
}

/// 3.10.3.3.1.1.
#[test]
fn aspiration_needs_a_thin_liquid() {
    let at = |percent: &str, state, viscosity: Option<&str>| {
        let mut m = mixture(vec![of(substance("a", &["Asp. Tox. 1"]), percent)]);
        (m.state, m.viscosity) = (state, viscosity.map(dose));
        classes(&m).len()
    };
    assert_eq!(at("10", State::Liquid, Some("20.5")), 1);
    assert_eq!(at("10", State::Liquid, Some("20.500001")), 0);
    assert_eq!(at("9.9999999", State::Liquid, Some("7")), 0);
    assert_eq!(at("10", State::Liquid, None), 1);
    assert_eq!(at("10", State::Solid, None), 0);
    assert_eq!(at("10", State::Solid, Some("7")), 1);
}

/// Tables 4.1.1 and 4.1.2, 4.1.3.1 (cut-off 0.1/M %), each step at 25 %.
#[test]
fn water_counts_by_steps_and_factors() {
    let aquatic = |class: &str, m: Option<u32>, percent: &str| {
        let s = Substance { m: super::MFactors { acute: m, chronic: m }, ..substance(class, &[class]) };
        of(s, percent)
    };
    let one = |class: &str, m, percent| classes(&mixture(vec![aquatic(class, m, percent)]));
    assert!(one("Aquatic Acute 1", Some(1), "24.9999999").is_empty());
    assert_eq!(one("Aquatic Acute 1", Some(1), "25"), ["Aquatic Acute 1, H400"]);
    assert_eq!(one("Aquatic Acute 1", Some(100), "0.25"), ["Aquatic Acute 1, H400"]);
    assert_eq!(one("Aquatic Chronic 1", Some(10), "2.5"), ["Aquatic Chronic 1, H410"]);
    assert_eq!(one("Aquatic Chronic 1", Some(10), "2.4999999"), ["Aquatic Chronic 2, H411"]);
    assert_eq!(one("Aquatic Chronic 1", Some(10), "0.25"), ["Aquatic Chronic 2, H411"]);
    assert_eq!(one("Aquatic Chronic 1", Some(10), "0.2499999"), ["Aquatic Chronic 3, H412"]);
    assert_eq!(one("Aquatic Chronic 1", Some(10), "0.025"), ["Aquatic Chronic 3, H412"]);
    assert!(one("Aquatic Chronic 1", Some(10), "0.0249999").is_empty());
    assert_eq!(one("Aquatic Chronic 4", None, "25"), ["Aquatic Chronic 4, H413"]);
    // at the cut-off 0.1/M counts, below it does not: 0.1 % x 249 + 0.1 % of M 1
    let pair = |percent: &str| {
        classes(&mixture(vec![aquatic("Aquatic Acute 1", Some(10), "2.4"), {
            let mut other = aquatic("Aquatic Acute 1", Some(10), percent);
            Arc::make_mut(&mut other.substance).name = "other".into();
            other
        }]))
    };
    assert_eq!(pair("0.1"), ["Aquatic Acute 1, H400"]);
    assert!(pair("0.0999999").is_empty());
    let unknown = under(&mixture(vec![aquatic("Aquatic Chronic 1", None, "1")]), Rules::Clp);
    assert!(unknown.warnings.iter().any(|w| w.contains("no M factor (chronic)")), "{:?}", unknown.warnings);
}

/// 3.1.3.6 with Tables 3.1.1 and 3.1.2.
#[test]
fn acute_toxicity_is_an_estimate_by_route() {
    let toxic = |classes: &[&str], route: Route, ate: Option<&str>| {
        let mut s = substance("toxic", classes);
        s.ate[route.index()] = ate.map(dose);
        s
    };
    let at = |s: Substance, percent: &str| classes(&mixture(vec![of(s, percent)]));
    // 500 / 0.25 = 2000, the upper end of category 4, which belongs to it
    assert_eq!(at(toxic(&["Acute Tox. 4, H302"], Route::Oral, None), "25"), ["Acute Tox. 4, H302"]);
    assert!(at(toxic(&["Acute Tox. 4, H302"], Route::Oral, None), "24.9999999").is_empty());
    assert_eq!(at(toxic(&["Acute Tox. 4, H312"], Route::Dermal, None), "55"), ["Acute Tox. 4, H312"]);
    assert!(at(toxic(&["Acute Tox. 4, H312"], Route::Dermal, None), "54.9999999").is_empty());
    // the estimate wins over what the category stands for
    assert!(at(toxic(&["Acute Tox. 4, H302"], Route::Oral, Some("1900")), "25").is_empty());
    // in a solid what is breathed is dust: 1.5 / 0.3 = 5
    assert_eq!(at(toxic(&["Acute Tox. 4, H332"], Route::Dust, None), "30"), ["Acute Tox. 4, H332"]);
    assert!(at(toxic(&["Acute Tox. 4, H332"], Route::Dust, None), "29.9999999").is_empty());
    // categories 1 to 3 count from 0.1 %, category 4 from 1 %
    assert_eq!(at(toxic(&["Acute Tox. 1, H300"], Route::Oral, None), "0.1"), ["Acute Tox. 4, H302"]);
    assert!(at(toxic(&["Acute Tox. 1, H300"], Route::Oral, None), "0.0999999").is_empty());
    let many = |percent: &str| {
        let s = |n: u32| {
            of(Substance { name: n.to_string(), ..toxic(&["Acute Tox. 4, H302"], Route::Oral, Some("301")) }, percent)
        };
        classes(&mixture((0..40).map(s).collect()))
    };
    assert_eq!((many("1").len(), many("0.9999999").len()), (1, 0));
    // category 5 of the UN: 5000 belongs, CLP does not know it
    let fifth = mixture(vec![of(toxic(&[], Route::Oral, Some("5000")), "100")]);
    assert!(classes(&fifth).is_empty());
    assert_eq!(under(&fifth, Rules::UnGhs).classes[0].to_string(), "Acute Tox. 5, H303");
    assert!(
        under(&mixture(vec![of(toxic(&[], Route::Oral, Some("5000.000001")), "100")]), Rules::UnGhs).classes.is_empty()
    );
}

/// 3.1.3.6.2.3: worked by hand. 20 % of ATE 500 is 2500 plain; with 30 % unknown (100 - 30) / (20 / 500) = 1750.
#[test]
fn unknown_toxicity_counts_from_over_ten_percent() {
    let with = |percent: &str| {
        let mut unknown = substance("unknown", &[]);
        unknown.unknown_toxicity[Route::Oral.index()] = true;
        under(&mixture(vec![of(substance("toxic", &["Acute Tox. 4, H302"]), "20"), of(unknown, percent)]), Rules::Clp)
    };
    let ate = |c: &Classification| c.ate_mix[0].1.round();
    assert!((ate(&with("30")) - 1750.0).abs() < 1e-9 && with("30").classes.len() == 1);
    assert!((ate(&with("10")) - 2500.0).abs() < 1e-9 && with("10").classes.is_empty());
    // (100 - 10.0000001) / (20 / 500)
    assert!((with("10.0000001").ate_mix[0].1 - 2_249.999_997_5).abs() < 1e-6);
    assert!((with("30").unknown.to_percent_f64() - 30.0).abs() < 1e-9);
    assert!(with("30").warnings.iter().any(|w| w.starts_with("30 % of the mixture consists")));
    assert_eq!(with("0.9").unknown, Content::ZERO);
}

/// Delegated Regulation (EU) 2023/707: mixtures new on the market from 1 May 2026; not in Great Britain.
#[test]
fn new_classes_hold_from_their_day_and_in_the_union_only() {
    let m = mixture(vec![of(substance("a", &["ED HH 1, EUH380", "PBT, EUH440"]), "1")]);
    let on = |rules, day| classify(&m, rules, day);
    let before = on(Rules::Clp, date(2026, 4, 30));
    assert!(
        before.classes.is_empty() && before.warnings.iter().any(|w| w.contains("ED HH 1") && w.contains("2026-05-01"))
    );
    let since = on(Rules::Clp, date(2026, 5, 1));
    assert_eq!(since.euh(), ["EUH380", "EUH440"]);
    assert!(since.warnings.iter().any(|w| w.contains("may wait until 2028-05-01")));
    assert!(!on(Rules::Clp, date(2028, 5, 1)).warnings.iter().any(|w| w.contains("may wait")));
    assert!(on(Rules::ClpGb, date(2030, 1, 1)).classes.is_empty());
    assert!(on(Rules::UnGhs, date(2030, 1, 1)).classes.is_empty());
}

/// Table 3.7.2: letters for fertility (F, f) and the unborn child (D, d) are put together.
#[test]
fn letters_of_reproductive_toxicity_are_put_together() {
    for (lines, result) in [
        (vec![("0.3", "Repr. 1B, H360F"), ("0.3", "Repr. 1B, H360D")], "Repr. 1B, H360FD"),
        (vec![("0.3", "Repr. 1B, H360D"), ("3", "Repr. 2, H361f")], "Repr. 1B, H360Df"),
        (vec![("0.3", "Repr. 1B, H360F"), ("2.9", "Repr. 2, H361d")], "Repr. 1B, H360F"),
        (vec![("0.3", "Repr. 1B, H360F"), ("3", "Repr. 2, H361d")], "Repr. 1B, H360Fd"),
        (vec![("3", "Repr. 2, H361f"), ("3", "Repr. 2, H361d")], "Repr. 2, H361fd"),
        (vec![("0.3", "Repr. 1A, H360"), ("0.3", "Repr. 1B, H360D")], "Repr. 1A, H360"),
    ] {
        let lines: Vec<(&str, &[&str])> = lines.iter().map(|(p, c)| (*p, std::slice::from_ref(c))).collect();
        assert_eq!(mixed(&lines), [result]);
    }
    assert_eq!(mixed(&[("0.1", &["Carc. 1B, H350i"]), ("0.1", &["Carc. 1B, H350"])]), ["Carc. 1B, H350"]);
}

/// Regulation (EC) No 1907/2006, Annex XVII entries 28 to 30.
#[test]
fn mixtures_barred_from_the_public_are_told() {
    let barred = |class: &str, percent: &str| {
        let found = under(&mixture(vec![of(substance("a", &[class]), percent)]), Rules::Clp);
        !found.not_for_the_public().is_empty()
    };
    assert!(barred("Repr. 1B, H360D", "0.3") && !barred("Repr. 1B, H360D", "0.29"));
    assert!(barred("Carc. 1A", "0.1") && barred("Muta. 1B", "0.1") && !barred("Carc. 2", "50"));
}

#[test]
fn strange_mixtures_get_an_answer() {
    assert!(classes(&mixture(Vec::new())).is_empty());
    let all: Vec<String> = super::HazardClass::all().map(|c| c.to_string()).collect();
    let all: Vec<&str> = all.iter().map(String::as_str).collect();
    let mut s = substance("everything", &all);
    s.m = super::MFactors { acute: Some(100_000_000), chronic: Some(100_000_000) };
    s.unknown_toxicity = [true; 5];
    let mut m = mixture((0..50).map(|_| of(s.clone(), "100")).collect());
    for (state, rules) in State::ALL.iter().zip([Rules::Clp, Rules::ClpGb, Rules::UnGhs]) {
        m.state = *state;
        assert!(under(&m, rules).classes.len() > 10);
    }
    let nothing = mixture(vec![of(s, "0")]);
    assert!(classes(&nothing).is_empty());
}
