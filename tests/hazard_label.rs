//! Label elements from hazard classes, against Annex VI of the regulation and rules quoted from its text.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use jiff::civil::date;
use std::collections::BTreeSet;
use waxbill::hazard::elements as table;
use waxbill::hazard::label::{
    Elements, Law, Sensitisers, data_sheet_on_request, elements, remarks, sensitisers, ufi_due,
};
use waxbill::hazard::names::{Contributor, names};
use waxbill::hazard::pack::{SMALL, digital, fastening, letters, pictogram_side, sizes, small};
use waxbill::hazard::precaution::{MOST, Product, candidates, check, choose};
use waxbill::hazard::statements::Signal;
use waxbill::trade::{Evidence, Ghs};
use waxbill::unit::{Length, Volume};

const CANDLE: Product = Product { law: Law::Eu, public: true, solid: true };

/// Classes and labels of Annex VI, Table 3; the source stands in the file.
#[derive(serde::Deserialize)]
struct Published {
    substance_labels: Vec<Substance>,
}

#[derive(serde::Deserialize)]
struct Substance {
    index_no: String,
    classes: Vec<String>,
    class_h: Vec<String>,
    pictograms: Vec<String>,
    signal: Option<String>,
    label_h: Vec<String>,
}

fn of(classes: &[(&str, &str)]) -> Elements {
    elements(classes, Law::Eu).unwrap()
}

fn chosen(classes: &[(&str, &str)]) -> Vec<&'static str> {
    choose(classes, CANDLE).unwrap().iter().map(|c| c.code).collect()
}

#[test]
fn every_published_substance_gets_its_published_label() {
    let published: Published = serde_yaml::from_str(include_str!("published/substance-labels.yaml")).unwrap();
    assert_eq!(published.substance_labels.len(), 10);
    for substance in published.substance_labels {
        let classes: Vec<(&str, &str)> =
            substance.classes.iter().map(String::as_str).zip(substance.class_h.iter().map(String::as_str)).collect();
        let label = of(&classes);
        let set = |list: &[String]| list.iter().cloned().collect::<BTreeSet<_>>();
        let pictograms: BTreeSet<String> = label.pictograms.iter().map(|g| g.word().to_owned()).collect();
        assert_eq!(pictograms, set(&substance.pictograms), "{}", substance.index_no);
        assert_eq!(label.signal.map(|s| s.word().to_owned()), substance.signal, "{}", substance.index_no);
        assert_eq!(set(&label.hazard), set(&substance.label_h), "{}", substance.index_no);
        assert_eq!(label.hazard.len(), substance.label_h.len(), "{}", substance.index_no);
    }
}

/// Article 26(1) and 20(3) of Regulation (EC) 1272/2008.
#[test]
fn a_pictogram_gives_way_to_a_graver_one_only_for_the_hazards_the_law_names() {
    let pictograms = |classes: &[(&str, &str)]| of(classes).pictograms;
    // (b) the skull drives out the exclamation mark altogether.
    assert_eq!(pictograms(&[("Acute Tox. 3", "H301"), ("Skin Sens. 1", "H317")]), [Ghs::Skull]);
    // (c) corrosion drives it out for irritation, not for sensitisation.
    assert_eq!(pictograms(&[("Eye Dam. 1", "H318"), ("Skin Irrit. 2", "H315")]), [Ghs::Corrosion]);
    assert_eq!(pictograms(&[("Eye Dam. 1", "H318"), ("Skin Sens. 1", "H317")]), [Ghs::Corrosion, Ghs::Exclamation]);
    // (d) the health hazard does so only for sensitisation of the airways.
    let airways = [("Resp. Sens. 1", "H334"), ("Skin Sens. 1", "H317"), ("Eye Irrit. 2", "H319")];
    assert_eq!(pictograms(&airways), [Ghs::HealthHazard]);
    assert_eq!(
        pictograms(&[("Resp. Sens. 1A", "H334"), ("Acute Tox. 4", "H302")]),
        [Ghs::Exclamation, Ghs::HealthHazard]
    );
    assert_eq!(pictograms(&[("Repr. 2", "H361d"), ("Skin Irrit. 2", "H315")]), [Ghs::Exclamation, Ghs::HealthHazard]);
    // (a) and (e).
    assert_eq!(pictograms(&[("Unst. Expl.", "H200"), ("Ox. Sol. 2", "H272")]), [Ghs::Bomb]);
    assert_eq!(pictograms(&[("Org. Perox. B", "H241")]), [Ghs::Bomb, Ghs::Flame]);
    assert_eq!(pictograms(&[("Press. Gas (Liq.)", "H280"), ("Flam. Gas 1A", "H220")]), [Ghs::Flame]);
    assert_eq!(of(&[("Aquatic Chronic 2", "H411")]).signal, None);
    assert_eq!(of(&[("Aquatic Acute 1", "H400"), ("Asp. Tox. 1", "H304")]).signal, Some(Signal::Danger));
    assert_eq!(of(&[]), Elements::default());
}

/// Article 27; Table 3.3.5, footnote; labels of Annex VI with H400 beside another aquatic statement.
#[test]
fn a_hazard_statement_that_says_the_same_again_is_left_out() {
    let hazard = |classes: &[(&str, &str)]| of(classes).hazard;
    assert_eq!(hazard(&[("Skin Corr. 1B", "H314"), ("Eye Dam. 1", "H318")]), ["H314"]);
    assert_eq!(hazard(&[("Aquatic Acute 1", "H400"), ("Aquatic Chronic 1", "H410")]), ["H410"]);
    for (class, h) in [("Aquatic Chronic 2", "H411"), ("Aquatic Chronic 3", "H412"), ("Aquatic Chronic 4", "H413")] {
        assert_eq!(hazard(&[(class, h), ("Aquatic Acute 1", "H400")]), ["H410"]);
        assert_eq!(hazard(&[(class, h)]), [h]);
    }
    assert_eq!(hazard(&[("Aquatic Acute 1", "H400")]), ["H400"]);
    let sorted =
        hazard(&[("ED HH 1", "EUH380"), ("Repr. 1B", "H360Fd"), ("Acute Tox. 4", "H332"), ("Acute Tox. 4", "H302")]);
    assert_eq!(sorted, ["H302", "H332", "H360Fd", "EUH380"]);
    let swapped =
        hazard(&[("Acute Tox. 4", "H302"), ("Acute Tox. 4", "H332"), ("Repr. 1B", "H360Fd"), ("ED HH 1", "EUH380")]);
    assert_eq!(sorted, swapped);
}

#[test]
fn great_britain_has_none_of_the_classes_of_2023() {
    let classes = [("ED HH 1", "EUH380"), ("Skin Sens. 1", "H317")];
    let label = elements(&classes, Law::Gb).unwrap();
    assert_eq!((label.hazard, label.signal), (vec!["H317".to_owned()], Some(Signal::Warning)));
    assert_eq!(of(&classes).signal, Some(Signal::Danger));
    assert!(!ufi_due(&classes, Law::Gb) && ufi_due(&classes, Law::Eu));
    assert!(ufi_due(&[("ED HH 2", "EUH381")], Law::Eu));
    assert!(!ufi_due(&[("Aquatic Acute 1", "H400"), ("ED ENV 1", "EUH430")], Law::Eu));
}

#[test]
fn a_class_that_does_not_exist_or_has_another_statement_is_refused() {
    let wrong =
        elements(&[("Skin Sens. 1", "H315"), ("Skin Sons. 1", "H317"), ("Eye Irrit. 2", "H319")], Law::Eu).unwrap_err();
    assert_eq!(wrong.iter().map(|f| f.id.as_str()).collect::<Vec<_>>(), ["hazard/statement", "hazard/class"]);
    assert!(wrong[0].cure.contains("H317") && wrong[1].cure.contains("Skin Sens. 1"));
    assert!(choose(&[("", "")], CANDLE).is_err() && candidates(&[("X", "H1")], Law::Gb).is_err());
}

/// Annex II, 2.8 and 2.10.
#[test]
fn sensitisers_below_the_class_limit_are_told_in_a_sentence_or_by_name() {
    assert_eq!(sensitisers(&[("Aquatic Chronic 3", "H412")], true), Sensitisers::Sentence);
    assert_eq!(sensitisers(&[("Skin Sens. 1", "H317")], true), Sensitisers::Names);
    assert_eq!(sensitisers(&[("Resp. Sens. 1", "H334")], true), Sensitisers::Names);
    assert_eq!(sensitisers(&[], false), Sensitisers::None);
    assert!(data_sheet_on_request(&[], false, true));
    assert!(!data_sheet_on_request(&[], true, true), "never on what the public buys");
}

/// Article 28(2) and (3).
#[test]
fn six_statements_suffice_unless_a_danger_asks_for_more() {
    assert_eq!(chosen(&[("Skin Sens. 1", "H317")]), ["P101", "P102", "P280", "P302+P352", "P333+P313", "P501"]);
    let many = [
        ("Repr. 2", "H361"),
        ("Skin Sens. 1", "H317"),
        ("Eye Irrit. 2", "H319"),
        ("Skin Irrit. 2", "H315"),
        ("Acute Tox. 4", "H302"),
        ("Aquatic Chronic 2", "H411"),
    ];
    assert_eq!(chosen(&many), ["P102", "P201", "P302+P352", "P308+P313", "P333+P313", "P501"]);
    // Everything a severe class asks for stays, though it makes more than six.
    let severe = chosen(&[("Eye Dam. 1", "H318"), ("Asp. Tox. 1", "H304"), ("Skin Sens. 1", "H317")]);
    assert_eq!(severe, ["P102", "P280", "P301+P310", "P305+P351+P338", "P310", "P331", "P405", "P501"]);
    // Table 3.3.5 has no statement on disposal for irritation of the eyes.
    assert_eq!(chosen(&[("Eye Irrit. 2", "H319")]), ["P101", "P102", "P305+P351+P338", "P337+P313"]);
    assert_eq!(chosen(&[]), Vec::<&str>::new());
    // A spill is for liquids.
    let refill = Product { solid: false, ..CANDLE };
    let codes: Vec<_> = choose(&[("Aquatic Chronic 1", "H410")], refill).unwrap().iter().map(|c| c.code).collect();
    assert_eq!(codes, ["P101", "P102", "P273", "P391", "P501"]);
    assert_eq!(chosen(&[("Aquatic Chronic 1", "H410")]), ["P101", "P102", "P273", "P501"]);
}

#[test]
fn every_choice_is_offered_by_a_class_and_passes_its_own_check() {
    let rows: Vec<(&str, &str)> = table::all().iter().map(|e| (e.class, e.h)).collect();
    for first in &rows {
        for second in &rows {
            for product in
                [CANDLE, Product { law: Law::Gb, solid: false, ..CANDLE }, Product { public: false, ..CANDLE }]
            {
                let classes = [*first, *second];
                let choice = choose(&classes, product).unwrap();
                let codes: Vec<&str> = choice.iter().map(|c| c.code).collect();
                let turned = choose(&[*second, *first], product).unwrap();
                assert_eq!(codes, turned.iter().map(|c| c.code).collect::<Vec<_>>(), "{classes:?}: order matters");
                let danger = elements(&classes, product.law).unwrap().signal == Some(Signal::Danger);
                assert!(danger || codes.len() <= MOST, "{classes:?}: {codes:?}");
                let own = check(&codes, Some("severe"), &classes, product).unwrap();
                assert_eq!(own.len(), codes.len());
            }
        }
    }
}

#[test]
fn an_own_choice_is_checked_against_the_classes() {
    let classes = [("Skin Sens. 1", "H317"), ("Aquatic Chronic 3", "H412")];
    let ids = |own: &[&str], reason| {
        check(own, reason, &classes, CANDLE).map_err(|f| f.into_iter().map(|f| f.id).collect::<Vec<_>>())
    };
    assert!(ids(&["P102", "p302 + p352", "P333+P313", "P501"], None).is_ok());
    assert_eq!(ids(&["P102"], None).unwrap_err(), ["hazard/precaution-disposal"]);
    assert_eq!(ids(&["P301+P310", "P501"], None).unwrap_err(), ["hazard/precaution-foreign"]);
    assert_eq!(
        ids(&["P501", "P501", "P999"], None).unwrap_err(),
        ["hazard/precaution-twice", "hazard/precaution-unknown"]
    );
    assert_eq!(ids(&["H317", "P501"], None).unwrap_err(), ["hazard/precaution-unknown"]);
    let seven = ["P101", "P102", "P261", "P280", "P302+P352", "P333+P313", "P501"];
    assert_eq!(ids(&seven, None).unwrap_err(), ["hazard/precaution-many"]);
    assert_eq!(ids(&seven, Some(" ")).unwrap_err(), ["hazard/precaution-many"]);
    assert_eq!(ids(&seven, Some("two more sensitisers than usual")).unwrap().len(), 7);
    // Irritation of the eyes alone asks for nothing on disposal.
    assert!(check(&["P337+P313"], None, &[("Eye Irrit. 2", "H319")], CANDLE).is_ok());
}

/// Annex II, 2.8 (all sensitisers, no cap) and Article 18(3)(b) (four names suffice).
#[test]
fn sensitisers_are_all_named_and_others_up_to_four() {
    let of = |name, causes: &[&'static str], elicits, content| Contributor {
        name,
        causes: causes.to_vec(),
        elicits,
        content,
    };
    let mixture = [
        of("a", &["H317"], true, 10),
        of("b", &[], true, 90),
        of("c", &["H317", "H412"], true, 20),
        of("d", &["H412"], false, 500),
        of("e", &["H361"], false, 30),
        of("f", &["H361"], false, 40),
        of("g", &["H315"], false, 60),
    ];
    let chosen = names(&mixture, Law::Eu);
    assert_eq!(chosen.printed, ["c", "a", "b", "f"]);
    assert_eq!(chosen.left_out, ["e"]);
    let many: Vec<_> = ["p", "q", "r", "s", "t", "u"].into_iter().map(|n| of(n, &[], true, 1)).collect();
    assert_eq!(names(&many, Law::Eu).printed.len(), 6);
    // A class none of whose substances is among four sensitisers still has one named.
    let mut more = many.clone();
    more.push(of("v", &["H351"], false, 1));
    assert_eq!(names(&more, Law::Eu).printed.len(), 7);
    assert_eq!(names(&[of("x", &["EUH430"], false, 1)], Law::Eu).printed, ["x"]);
    assert!(names(&[of("x", &["EUH430"], false, 1)], Law::Gb).printed.is_empty());
}

/// Annex I, 1.5.2.1: read in Czech and German copies of the consolidated text.
#[test]
fn a_small_package_never_drops_sensitisation() {
    assert_eq!(SMALL, Volume::ml(125));
    let relief = |classes: &[(&str, &str)], public| small(classes, Law::Eu, public).unwrap();
    let all = relief(&[("Skin Irrit. 2", "H315"), ("Eye Irrit. 2", "H319"), ("Aquatic Chronic 2", "H411")], true);
    assert_eq!(all.hazard, ["H315", "H319", "H411"]);
    assert!(all.precautionary.contains(&"P501".to_owned()));
    let mixed = relief(&[("Skin Irrit. 2", "H315"), ("Skin Sens. 1", "H317")], true);
    assert_eq!(mixed.hazard, ["H315"]);
    assert_eq!(mixed.precautionary, ["P264", "P332+P313"], "the rest is asked for by H317 too");
    // Chronic 3: only precaution; so a merged H410 stays.
    assert_eq!(relief(&[("Aquatic Chronic 3", "H412")], true).hazard, Vec::<String>::new());
    assert_eq!(relief(&[("Aquatic Chronic 3", "H412")], true).precautionary, ["P273", "P501"]);
    assert_eq!(
        relief(&[("Aquatic Acute 1", "H400"), ("Aquatic Chronic 3", "H412")], true).hazard,
        Vec::<String>::new()
    );
    assert_eq!(relief(&[("Aquatic Acute 1", "H400"), ("Aquatic Chronic 2", "H411")], true).hazard, ["H410"]);
    for (class, h) in [("Acute Tox. 4", "H302"), ("STOT SE 3", "H335"), ("STOT RE 2", "H373")] {
        assert!(relief(&[(class, h)], true).hazard.is_empty(), "{class} for the public");
        assert_eq!(relief(&[(class, h)], false).hazard, [h]);
    }
    for (class, h) in [("Skin Corr. 1", "H314"), ("Eye Dam. 1", "H318"), ("Asp. Tox. 1", "H304"), ("Repr. 2", "H361")] {
        assert_eq!(relief(&[(class, h)], false), waxbill::hazard::pack::Relief::default());
    }
}

/// Annex II, Part 3, as told by a national authority and a Czech copy of the text.
#[test]
fn closure_and_tactile_mark_are_told_for_the_public() {
    let due = |class, h| {
        let due = fastening(&[(class, h)], Law::Eu, true).unwrap();
        (!due.child_resistant.is_empty(), !due.tactile.is_empty())
    };
    for (class, h, expected) in [
        ("Acute Tox. 3", "H301", (true, true)),
        ("Acute Tox. 4", "H302", (false, true)),
        ("Asp. Tox. 1", "H304", (true, true)),
        ("Skin Corr. 1B", "H314", (true, true)),
        ("Repr. 2", "H361d", (false, true)),
        ("Resp. Sens. 1", "H334", (false, true)),
        ("STOT SE 3", "H335", (false, false)),
        ("Skin Sens. 1", "H317", (false, false)),
        ("Skin Irrit. 2", "H315", (false, false)),
        ("Eye Dam. 1", "H318", (false, false)),
        ("Aquatic Acute 1", "H400", (false, false)),
    ] {
        assert_eq!(due(class, h), expected, "{class}");
    }
    assert_eq!(
        fastening(&[("Asp. Tox. 1", "H304")], Law::Eu, false).unwrap(),
        waxbill::hazard::pack::Fastening::default()
    );
}

/// Table 1.3 and 1.2.1.4. 52 mm times 74 mm, by 15, is 256.53 mm2; its root 16.017 mm.
#[test]
fn pictograms_are_a_fifteenth_of_the_label_and_a_square_centimetre() {
    let side = pictogram_side(Length::mm(52), Length::mm(74));
    assert!((side.to_mm_f64() - 16.0167).abs() < 0.001, "{side}");
    assert!(side.to_raw().pow(2) >= Length::mm(52).to_raw() * Length::mm(74).to_raw() / 15, "rounded up");
    assert_eq!(pictogram_side(Length::mm(15), Length::mm(100)), Length::mm(10));
    assert_eq!(pictogram_side(Length::ZERO, Length::mm(1)), Length::mm(10));
    for (ml, least) in [(125, 10), (3000, 10), (3001, 23), (50_000, 23), (50_001, 32), (500_000, 32), (500_001, 46)] {
        assert_eq!(sizes(Volume::ml(ml)).least, Length::mm(least));
    }
}

/// Regulation (EU) 2024/2865 with the dates of (EU) 2025/2439, read on secondary pages.
#[test]
fn letters_follow_the_rule_in_force_on_the_day() {
    let x = |on, ml| letters(Law::Eu, on, Volume::ml(ml));
    let before = x(date(2027, 12, 31), 200);
    assert!(!before.required && before.x_height == Length::um(1200) && before.seen == Evidence::Regulator);
    for (ml, um) in [(100, 1200), (500, 1200), (501, 1400), (3000, 1400), (3001, 1800), (50_001, 2000), (900_000, 2000)]
    {
        let rule = x(date(2028, 1, 2), ml);
        assert!(rule.required && rule.x_height == Length::um(um), "{ml} ml: {}", rule.x_height);
        assert!(rule.source.contains("2024/2865") && rule.unsettled.contains("not published"));
        assert_eq!((rule.seen, rule.line_percent), (Evidence::Secondary, 120));
    }
    assert!(digital(Law::Eu).unwrap().0.contains("only adds") && digital(Law::Gb).is_none());
    let gb = letters(Law::Gb, date(2030, 6, 1), Volume::ml(200));
    assert!(!gb.required && gb.unsettled.is_empty());
}

#[test]
fn what_is_only_remembered_is_told() {
    assert!(remarks(&[("Skin Sens. 1", "H317")], Law::Eu).unwrap().is_empty());
    let told = remarks(&[("Repr. 2", "H361"), ("Ox. Liq. 3", "H272")], Law::Eu).unwrap();
    assert!(told.iter().any(|f| f.message.contains("precautionary statements of `Repr. 2`")));
    assert!(told.iter().any(|f| f.id == "hazard/precaution-unknown"));
}
