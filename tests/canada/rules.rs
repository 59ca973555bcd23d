//! Panels and heights against the tables of the law, forms of the quantity, and words in English and French.

use crate::bench::{CANADA, Quillmere, lang, needs, planned, read, rules, sample, samples, text};
use std::collections::BTreeSet;
use waxbill::find::Severity;
use waxbill::law::{self, Extent};
use waxbill::plan;
use waxbill::product::Package;
use waxbill::require;
use waxbill::trade::{BlockName, Lang, Market};
use waxbill::unit::{Area, Length, Mass, Quantity};

/// Consumer Packaging and Labelling Regulations, C.R.C. c. 417, s. 2 (40 % of the wall) and s. 14(2): worked out by hand
/// from the text for five vessels; areas in cm², heights in mm.
#[test]
fn the_figures_of_vessels_of_the_trade_have_the_height_worked_out_by_hand() {
    for (name, diameter, height, wall, panel, figure) in [
        ("jar", "80 mm", "90 mm", 226.19, 90.48, "3.2 mm"),
        ("tin, just over", "65 mm", "40 mm", 81.68, 32.67, "3.2 mm"),
        ("tin, just under", "60 mm", "40 mm", 75.40, 30.16, "1.6 mm"),
        ("bowl with three wicks", "150 mm", "120 mm", 565.49, 226.19, "3.2 mm"),
        ("cup of a tea light", "38 mm", "15 mm", 17.91, 7.16, "1.6 mm"),
    ] {
        let length = |text| Length::parse(text).unwrap();
        let shape = Package::Round { diameter: length(diameter), height: length(height) };
        let area = require::panel_of_package(shape).area;
        assert!((area.to_cm2_f64() - panel).abs() < 0.005, "{name}: {}", area.to_cm2_f64());
        assert!((area.to_cm2_f64() / 0.4 - wall).abs() < 0.01, "{name}");
        assert_eq!(law::height_band("ca-panel-height", area).unwrap().least, length(figure), "{name}");
    }
}

/// C.R.C. c. 417, s. 14(2): each band includes its upper limit, in the centimetres the law prints.
#[test]
fn the_figures_grow_just_above_each_limit() {
    let least =
        |milli| law::builtin().height_by("ca-panel-height", Extent::Panel(Area::milli_cm2(milli))).unwrap().least;
    for (cm2, at, above) in [(32, 1600, 3200), (258, 3200, 6400), (645, 6400, 9500), (2580, 9500, 12_700)] {
        assert_eq!(least(cm2 * 1000 - 1), Length::um(at), "{cm2}");
        assert_eq!(least(cm2 * 1000), Length::um(at), "{cm2}");
        assert_eq!(least(cm2 * 1000 + 1), Length::um(above), "{cm2}");
    }
    // 5 square inches are 32.26 cm²: the centimetre is the stricter of the two limits the law prints.
    assert_eq!(law::height_band("ca-panel-height", Area::sq_in(5)).unwrap().least, Length::um(3200));
}

/// C.R.C. c. 417, s. 25 (three figures, below 100 g two), s. 26 (a zero before the point), s. 27 (grams below 1000 g).
#[test]
fn a_quantity_is_written_as_sections_25_to_27_ask() {
    for (mass, shown) in [
        ("0.559 g", "0.55 g"),
        ("5.59 g", "5.5 g"),
        ("9.99 g", "9.9 g"),
        ("10 g", "10 g"),
        ("56.69 g", "56 g"),
        ("99.99 g", "99 g"),
        ("100 g", "100 g"),
        ("255.9 g", "255 g"),
        ("500 g", "500 g"),
        ("999.9 g", "999 g"),
        ("1 kg", "1 kg"),
        ("1134 g", "1.13 kg"),
        ("12.5 kg", "12.5 kg"),
        ("12 oz", "340 g"),
    ] {
        let mass = Mass::parse(mass).unwrap();
        let (text, says) = require::in_canada(mass).unwrap();
        assert_eq!(text.replace('\u{a0}', " "), shown);
        assert!(says <= mass && says.to_g_f64() > mass.to_g_f64() * 0.9, "{shown}");
        let figures = text.chars().filter(char::is_ascii_digit).count() - usize::from(text.starts_with("0."));
        assert!((1..=3).contains(&figures) && text.ends_with("\u{a0}g") == (mass < Mass::g(1000)), "{shown}");
    }
    assert!(require::in_canada(Mass::ZERO).is_none());
}

/// What `needs` asks of each sample, with the words of both languages.
#[test]
fn the_needs_of_a_jar_of_tapers_and_of_melts() {
    for (id, market) in [("tidewrack", Market::Ca), ("godwit", Market::CaQc), ("eelgrass", Market::CaQc)] {
        let product = sample(id, "product:", "product:");
        let needs = needs(&product, market);
        let row = |r: &require::Requirement| {
            let least = r.least.map_or_else(String::new, |l| format!("{} {}", l.least_in_mm(1), r.measure));
            let marks = [(r.bold, " bold"), (r.principal, " principal"), (r.off_bottom.is_some(), " not-bottom")];
            let marks: String = marks.iter().filter(|m| m.0).map(|m| m.1).collect();
            let words: BTreeSet<&String> = r.texts.values().collect();
            let words = words.into_iter().map(|w| w.replace('\u{a0}', "_")).collect::<Vec<_>>().join(" | ");
            format!("{:28} {:9} {least}{marks}\n    {words}\n", r.rule, r.severity.word())
        };
        let text: String = needs.requirements.iter().map(row).collect();
        insta::assert_snapshot!(format!("needs_{id}_{market}"), text);
    }
}

#[test]
fn the_back_of_a_jar_has_a_column_for_each_language() {
    let product = sample("tidewrack", "product:", "product:");
    let plan = planned(&product, Market::CaQc);
    let lines = plan.parts[1].rows.iter().map(|row| {
        let cell = |c: &plan::Cell| {
            let langs: Vec<&str> = c.block.items.iter().filter_map(lang).map(Lang::word).collect();
            format!("{}: {}", c.block.name, langs.join(" "))
        };
        row.cells.iter().map(cell).collect::<Vec<_>>().join(" | ") + "\n"
    });
    insta::assert_snapshot!(lines.collect::<String>(), @"
    warning: fr fr fr fr | warning: en en en en
    care: fr fr fr fr fr fr fr fr fr fr fr fr | care: en en en en en en en en en en en en
    maker: fr fr fr | lot: fr | code: 
    ");
    let equal = plan.equal.unwrap();
    assert_eq!(
        (equal.rule.as_str(), equal.severity, equal.first),
        ("ca-qc/french", Severity::Required, Some(Lang::Fr))
    );
    let equal = planned(&product, Market::Ca).equal.unwrap();
    assert_eq!((equal.rule.as_str(), equal.severity, equal.first), ("ca/equal-languages", Severity::Policy, None));
}

/// C.R.C. c. 417, s. 6(2); French typography: a no-break space before `:`, accents on capitals, no straight apostrophe
/// (usage of the language, from memory).
#[test]
fn every_statement_has_words_in_both_languages() {
    let (mut seen, mut variants) = (BTreeSet::new(), 0);
    let asked = law::rules().iter().filter(|r| r.markets.contains(&Market::Ca)).flat_map(|r| r.needs);
    for need in asked.copied() {
        let words = [Lang::En, Lang::Fr].map(|l| law::wording(l, need).unwrap_or_else(|| panic!("`{need}` in {l}")));
        let held = |text| law::placeholders(text).collect::<BTreeSet<_>>();
        let [en, fr] = words.map(|w| w.text_in(Market::Ca));
        assert_eq!(held(en), held(fr), "{need}");
        let own = words[1].lang == Lang::Fr;
        assert_eq!(en == fr, !own || ["importer", "lot"].contains(&need), "{need}");
        for (at, _) in fr.match_indices([':', ';', '!', '?']) {
            assert!(!own || fr[..at].ends_with('\u{a0}'), "{need}: {fr}");
        }
        assert!(!fr.contains('\''), "{need}: {fr}");
        assert_eq!(words[1].text_in(Market::Eu), words[1].text);
        variants += usize::from(words[1].canada.is_some());
        seen.insert(need);
    }
    assert!(seen.len() > 35 && variants > 5, "{} statements, {variants} with words of their own", seen.len());
}

/// The words of CLP are not those of Canada: its `Warning` is `Attention` in French, Canada's is AVERTISSEMENT (Charcoal
/// Regulations, SOR/2016-178, s. 3(1)(a)), and `ATTENTION` is Canada's CAUTION (SOR/2001-269, s. 46).
#[test]
fn no_signal_word_or_pictogram_of_the_law_on_chemicals_gets_into_canada() {
    assert_eq!(law::wording(Lang::Fr, "signal word").unwrap().text, "AVERTISSEMENT");
    for product in samples() {
        for market in &product.markets {
            let needs = needs(&product, *market);
            assert!(needs.figures.hazards.is_none());
            for requirement in &needs.requirements {
                assert!(requirement.signs.is_empty() && requirement.block != BlockName::Hazard, "{}", requirement.id);
                let words = requirement.texts.values().map(|t| t.to_uppercase()).collect::<String>();
                assert!(!words.contains("ATTENTION") && !words.contains("DANGER"), "{words}");
            }
        }
    }
}

/// Words fixed by federal law serve as the pattern: `Tenir hors de la portée des enfants` (SOR/2001-269), `Tenir loin des
/// flammes` (s. 54(4)), `sans surveillance` (SOR/2016-179); bougie is the law's word (SOR/2016-165).
#[test]
fn the_french_sentences_are_built_of_the_laws_own_words() {
    let words = |key| law::wording(Lang::Fr, key).unwrap().text_in(Market::Ca);
    assert!(words("keep from children").starts_with("Tenir hors de la portée des enfants"));
    assert!(words("keep melts from children").starts_with("Tenir hors de la portée des enfants"));
    assert!(words("keep from things that catch fire").starts_with("Tenir loin des "));
    assert!(words("do not move").contains("bougie"));
    let (en, fr) = (law::wording(Lang::En, "importer").unwrap(), law::wording(Lang::Fr, "importer").unwrap());
    assert_eq!(en.text_in(Market::Ca), "Importé par / Imported by {responsible person}", "C.R.C. c. 417, s. 31(2)");
    assert_eq!(en.text_in(Market::Ca), fr.text_in(Market::CaQc), "printed once");
    assert_eq!(en.text_in(Market::Gb), "Imported by {responsible person}");
}

/// Each rule with conditions holds for one of the samples or a product named beside it, and does not hold for another.
#[test]
fn each_rule_holds_for_one_product_and_not_for_another() {
    let mut all = samples();
    all.push(sample("plover", "relights: no", "relights: no\nornamental container: yes"));
    all.push(sample("plover", "metal core: none", "metal core: zinc, lead: 0.01 %, count: 2"));
    all.push(sample(
        "plover",
        "vessel: round-tin-70",
        "pieces: 2\ncare: {cool: 2 h}\nvessel: {made of: ceramic, round: {diameter: 80 mm, wall height: 90 mm}}",
    ));
    all.push(sample(
        "periwinkle",
        "kind: tea light",
        "kind: votive\nvessel: {made of: glass, round: {diameter: 38 mm, wall height: 15 mm}}",
    ));
    let cup = "package: {box: {width: 40 mm, height: 25 mm}}";
    all.push(sample("periwinkle", "package: {box: {width: 120 mm, height: 80 mm}}", cup));
    let at_home = text("workshop.yaml").unwrap().replace("country: US", "country: CA");
    all.push(read("plover", text("products/plover.yaml").unwrap(), &Quillmere(Some(at_home))));
    let local = "relights: no\nlocal product: {municipality: Anse-aux-Brumes, language: fr, mother tongue: {en: 2 %, fr: 96 %}}";
    all.push(sample("plover", "relights: no", local));
    let facts: Vec<_> = all.iter().map(require::facts_of).collect();
    for rule in rules() {
        assert!(rule.markets.iter().all(|m| CANADA.contains(m)), "{}", rule.id);
        assert!(facts.iter().any(|f| rule.holds(f)), "{} holds for none", rule.id);
        assert!(rule.applies.is_empty() || facts.iter().any(|f| !rule.holds(f)), "{} holds for all", rule.id);
        assert!(law::rules().iter().filter(|r| r.id == rule.id).all(|r| !r.markets.contains(&Market::Us)));
    }
}
