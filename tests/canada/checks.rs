//! Each check of the product fires where it should and is silent where it should.

use crate::bench::{Quillmere, needs, read, sample, text, told};
use waxbill::find::Level;
use waxbill::law;
use waxbill::product::Product;
use waxbill::require::{self, Occasion};
use waxbill::trade::{Lang, Market};

fn errors(told: &[(Level, String)]) -> Vec<&str> {
    told.iter().filter(|t| t.0 == Level::Error).map(|t| t.1.as_str()).collect()
}

fn warnings(told: &[(Level, String)]) -> Vec<&str> {
    told.iter().filter(|t| t.0 == Level::Warning).map(|t| t.1.as_str()).collect()
}

/// C.R.C. c. 417, s. 6(2): identity in both languages.
#[test]
fn an_identity_in_english_alone_stops_the_label() {
    let english = sample("plover", "{en: Scented candle, fr: Bougie parfumée}", "Scented candle");
    let wrong = told(&english, "ca/identity");
    assert_eq!(errors(&wrong), ["`identity` cannot be written in the language `fr`: nothing stands for `identity`"]);
    assert!(told(&sample("plover", "product:", "product:"), "ca/identity").is_empty());
}

/// C.R.C. c. 417, s. 31(2): a maker elsewhere needs the dealer in Canada; one in Canada does not.
#[test]
fn a_maker_abroad_without_importer_is_told() {
    let file = text("products/plover.yaml").unwrap();
    let workshop = text("workshop.yaml").unwrap();
    let importer = workshop.lines().find(|l| l.trim_start().starts_with("ca:")).unwrap().to_owned();
    let without = Quillmere(Some(workshop.replace(&importer, "")));
    let wrong = told(&read("plover", file.clone(), &without), "ca/importer");
    assert!(errors(&wrong)[0].contains("nothing stands for `responsible person`"), "{wrong:?}");
    let at_home = workshop.replace("country: US", "country: CA").replace(&importer, "");
    let at_home = read("plover", file.clone(), &Quillmere(Some(at_home)));
    assert!(told(&at_home, "ca/importer").is_empty());
    let words = |product: &Product| {
        let needs = needs(product, Market::CaQc);
        needs.requirements.iter().filter(|r| r.rule == "ca/importer").count()
    };
    assert_eq!((words(&at_home), words(&read("plover", file, &Quillmere::default()))), (0, 1));
}

/// SOR/2016-165, s. 1.
#[test]
fn a_candle_that_lights_again_is_refused_and_silence_is_asked_about() {
    let say = |to: &str| told(&sample("tidewrack", "relights: no", to), "ca/no-relighting");
    assert!(say("relights: no").is_empty());
    assert_eq!(
        errors(&say("relights: yes")),
        ["the candle lights again by itself after it is put out: it may not be sold"]
    );
    let unsaid = say("cure: 14 days");
    assert_eq!(warnings(&unsaid), ["the file does not say that the candle stays out once it is put out"]);
    assert!(told(&sample("eelgrass", "product:", "product:"), "ca/no-relighting").is_empty(), "a melt has no flame");
}

/// 16 CFR 1500.17(a)(13) sets 0.06 %; Canada names no figure, so the rule is a policy and says so.
#[test]
fn a_core_with_lead_is_refused_and_one_without_figure_asked_about() {
    let say = |core: &str| told(&sample("plover", "metal core: none", core), "ca/wick-lead");
    assert!(say("metal core: none").is_empty());
    assert!(say("metal core: zinc, lead: 0.06 %").is_empty());
    assert!(errors(&say("metal core: zinc, lead: 0.061 %"))[0].contains("0.061 %"));
    assert!(errors(&say("metal core: tin"))[0].contains("its lead is not declared"));
    assert_eq!(law::rule("ca/wick-lead").unwrap().severity.word(), "policy");
}

/// C.R.C. c. 417, s. 39(4)(a): the average may not be below the declaration.
#[test]
fn a_declaration_above_the_fill_stops_the_label() {
    let say = |to: &str| told(&sample("tidewrack", "fill: 255 g", to), "ca/fill-covers-declaration");
    assert!(say("fill: 255 g").is_empty());
    assert!(say("fill: 255 g\nnet quantity: 255 g").is_empty());
    assert!(say("fill: 255.9 g\nnet quantity: 255.95 g").is_empty(), "the label says 255 g");
    assert_eq!(
        errors(&say("fill: 255 g\nnet quantity: 256 g")),
        ["the label would declare 256 g, and 255 g are filled"]
    );
}

#[test]
fn a_quantity_too_small_to_write_is_told() {
    let product = sample("eelgrass", "fill: 13 g", "fill: 13 g\nnet quantity: 1 mg");
    assert_eq!(errors(&told(&product, "ca/net-quantity-form")), ["the quantity is too small to be declared"]);
    assert!(told(&sample("eelgrass", "fill: 13 g", "fill: 12 g"), "ca/net-quantity-form").is_empty());
}

/// C.R.C. c. 417, s. 21: by weight unless the trade does otherwise; that is taken for granted, so it is said.
#[test]
fn the_choice_of_weight_or_count_is_shown_as_an_assumption() {
    for (id, how) in [("tidewrack", "weight"), ("eelgrass", "weight"), ("godwit", "count"), ("periwinkle", "count")] {
        let all = told(&sample(id, "product:", "product:"), "ca/quantity-by-kind");
        assert_eq!(all.len(), 1, "{id}");
        assert!(all[0].0 == Level::Note && all[0].1.contains(&format!("by {how}: taken for granted")), "{all:?}");
    }
}

/// The sheet of one invented oil with a single substance, so that the candle holds exactly so much of it.
fn with(percent: &str, class: &str) -> Product {
    let oil = "{use: {material: Trial oil, role: fragrance, max load: {of total: 100 %}, safety sheet: {date: 2026-01-01, \
               composition: [{name: trial, percent: PERCENT, classes: [\"CLASS\"]}]}}, load: 10 %, of: total}";
    let oil = oil.replace("PERCENT", percent).replace("CLASS", class);
    sample("plover", "{use: marram-and-rain, load: 6 %, of: total}", &oil)
}

/// SOR/2001-269, s. 42(5): 5 % or more of irritants; s. 42(4): of what destroys tissue from 1 % an irritant.
#[test]
fn irritants_are_counted_and_asked_about_from_the_limits_up() {
    const RULE: &str = "ca/chemical-irritant";
    for (percent, class, level, share) in [
        ("49.9", "Skin Irrit. 2, H315", Level::Note, "4.99 % of it irritates skin or eyes (trial 4.99 %)"),
        ("50", "Skin Irrit. 2, H315", Level::Warning, "5.00 % of it irritates"),
        ("50", "Eye Irrit. 2, H319", Level::Warning, "5.00 % of it irritates"),
        ("50", "Eye Dam. 1, H318", Level::Warning, "5.00 % of it irritates"),
        ("50", "Skin Sens. 1, H317", Level::Note, "0.00 % of it irritates skin or eyes and 0.00 % destroys"),
        ("9.9", "Skin Corr. 1B, H314", Level::Note, "0.99 % destroys tissue"),
        ("10", "Skin Corr. 1B, H314", Level::Warning, "1.00 % destroys tissue"),
    ] {
        let all = told(&with(percent, class), RULE);
        assert_eq!(all.len(), 1, "{all:?}");
        assert!(all[0].0 == level && all[0].1.contains(share), "{percent} % of {class}: {all:?}");
        assert!(all[0].1.contains("from 5 % and 1 %"), "the limits are shown: {all:?}");
    }
    let unknown = sample("plover", "{use: marram-and-rain,", "{use: {material: Trial oil, role: fragrance},");
    assert!(
        warnings(&told(&unknown, RULE))[0].starts_with("how much of it irritates skin or eyes cannot be worked out")
    );
    assert!(told(&sample("sandpiper", "product:", "product:"), RULE).is_empty(), "no scent");
}

/// C.R.C. c. 417, s. 16 with s. 15: where the surface has at most 10 cm².
#[test]
fn a_tiny_surface_is_a_fact_up_to_ten_square_centimetres() {
    let fact = |height: &str| {
        let shape = format!("package: {{box: {{width: 40 mm, height: {height}}}}}");
        let product = sample("periwinkle", "package: {box: {width: 120 mm, height: 80 mm}}", &shape);
        require::facts_of(&product).get(law::Fact::SmallSurface).unwrap()
    };
    assert_eq!((fact("25 mm"), fact("25.01 mm")), ("up to 10 cm2", "larger"));
}

/// Bulletins on the Regulation respecting the language of commerce and business: in force since 1 June 2025.
#[test]
fn the_rule_on_words_within_a_name_begins_in_june_2025() {
    let on = |day: &str| law::rule("ca-qc/name").unwrap().in_force(Market::CaQc, day.parse().unwrap());
    assert!(!on("2025-05-31") && on("2025-06-01"));
    let french = law::rule("ca-qc/french").unwrap();
    assert!(!french.in_force(Market::Ca, "2026-11-25".parse().unwrap()), "Quebec alone");
}

/// Bulletins on the same, second hand: a generic term within a mark; the maker is asked, nothing is decided.
#[test]
fn a_name_in_one_language_is_asked_about_in_quebec() {
    let say = |name: &str| told(&sample("godwit", "{en: Godwit, fr: Barge}", name), "ca-qc/name");
    assert!(say("{en: Godwit, fr: Barge}").is_empty());
    for name in ["Godwit", "{en: Godwit, fr: Godwit}"] {
        assert_eq!(say(name), [(Level::Note, "the name `Godwit` stands in one language".to_owned())]);
    }
    let canada = sample("plover", "{en: Plover, fr: Pluvier}", "Plover");
    assert!(told(&canada, "ca-qc/name").is_empty(), "Quebec alone");
}

#[test]
fn nothing_of_canada_is_told_elsewhere() {
    let product = sample("tidewrack", "relights: no", "relights: yes");
    for market in [Market::Us, Market::Gb] {
        let at = Occasion { market, date: "2026-11-25".parse().unwrap(), lot: None, weighed: None };
        let needs = require::on(&product, &at, law::builtin()).unwrap();
        assert!(needs.findings.iter().all(|f| !f.id.starts_with("ca")), "{market}");
        assert!(needs.requirements.iter().all(|r| !r.rule.starts_with("ca")), "{market}");
    }
}

/// Plover with one oil of one substance: 6 % of the whole.
fn with_oil(sheet: &str) -> Product {
    let oil = format!("{{use: {{material: Trial oil, role: fragrance, {sheet}}}, load: 6 %, of: total}}");
    sample("plover", "{use: marram-and-rain, load: 6 %, of: total}", &oil)
}

fn composed(line: &str) -> String {
    format!(
        "flash point: 93 C, safety sheet: {{date: 2026-03-02, composition: [{{name: trial, percent: 100, {line}}}]}}"
    )
}

/// SOR/2001-269: the vapour of a solid that takes fire up to 37.8 °C is flammable, above it up to 60.0 °C combustible.
#[test]
fn a_flash_point_is_asked_about_up_to_sixty_degrees() {
    let asked = |point: &str| {
        let oil = with_oil(&format!("flash point: {point}, safety sheet: {{date: 2026-03-02, composition: none}}"));
        let told = told(&oil, "ca/chemical-flammable");
        warnings(&told).first().map(|t| t.split("candle ").last().unwrap_or("").to_owned())
    };
    assert_eq!(asked("60.1 C"), None);
    assert_eq!(asked("60 C").as_deref(), Some("combustible?"));
    assert_eq!(asked("37.9 C").as_deref(), Some("combustible?"));
    assert_eq!(asked("37.8 C").as_deref(), Some("flammable?"));
    let unknown = with_oil("safety sheet: {date: 2026-03-02, composition: none}");
    assert!(told(&unknown, "ca/chemical-flammable").is_empty());
    let looked = told(&unknown, "ca/chemical-classes");
    assert!(looked[0].1.contains("no flash point is given for Trial oil"), "{looked:?}");
}

/// SOR/2001-269, s. 34: by mouth up to 50 very toxic, 500 toxic, 2000 harmful, by skin 200, 1000, 2000 mg/kg. Worked out by
/// hand: 6 % of a substance of 120 mg/kg make 100 / (6 / 120) = 2000 mg/kg (the sum of parts, UN GHS 3.1.3.6.1).
#[test]
fn doses_by_mouth_and_skin_are_added_up_and_asked_about() {
    let asked = |ate: &str| told(&with_oil(&composed(&format!("ate: {{{ate}}}"))), "ca/chemical-toxic");
    let mouth = asked("oral: 120");
    let message = "by the safety sheets about 2000 mg/kg of it kill by mouth: very toxic up to 50, toxic up to 500, harmful \
                   up to 2000, where a user can be exposed to it";
    assert_eq!(warnings(&mouth), [message]);
    assert!(asked("oral: 121").is_empty(), "2016.7 mg/kg");
    assert_eq!(warnings(&asked("dermal: 120")).len(), 1);
    assert!(asked("dermal: 121").is_empty());
    let looked = told(&with_oil(&composed("ate: {oral: 240}")), "ca/chemical-classes");
    assert!(looked[0].1.contains("about 4000 mg/kg kill by mouth"), "{looked:?}");
}

/// What is not looked at is said, with every scented product; wax alone is no question.
#[test]
fn classes_that_are_not_looked_at_are_named() {
    for id in ["tidewrack", "eelgrass", "periwinkle", "plover"] {
        let looked = told(&sample(id, "product:", "product:"), "ca/chemical-classes");
        let [(Level::Note, text)] = looked.as_slice() else { panic!("{looked:?}") };
        for class in ["toxic when breathed in", "glues that bond skin", "containers under pressure"] {
            assert!(text.contains(class), "{text}");
        }
    }
    assert!(told(&sample("sandpiper", "product:", "product:"), "ca/chemical-classes").is_empty());
}

/// C.R.C. c. 417, s. 6(1), (3): made and sold in one place, where under 10 % have the other language as mother tongue and at
/// least 10 % the one used. Quebec asks for French wherever it is sold (CQLR c. C-11, s. 51).
#[test]
fn a_local_product_may_stand_in_one_language_within_the_limits_of_the_law() {
    let at_home = text("workshop.yaml").unwrap().replace("country: US", "country: CA");
    let local = |workshop: &str, market: Market, language: &str, english: &str, french: &str| {
        let key = format!(
            "relights: no\nlocal product: {{municipality: Anse-aux-Brumes, language: {language}, \
             mother tongue: {{en: {english} %, fr: {french} %}}}}"
        );
        let file = text("products/plover.yaml").unwrap().replace("relights: no", &key);
        let needs = needs(&read("plover", file, &Quillmere(Some(workshop.to_owned()))), market);
        let refused = needs.findings.iter().any(|f| f.id == "ca/local-product" && f.level == Level::Error);
        (refused, needs.languages)
    };
    let (both, french, english) = (vec![Lang::En, Lang::Fr], vec![Lang::Fr], vec![Lang::En]);
    let ca = Market::Ca;
    assert_eq!(local(&at_home, ca, "fr", "9.9", "90"), (false, french.clone()));
    assert_eq!(local(&at_home, ca, "fr", "10", "90"), (true, both.clone()));
    assert_eq!(local(&at_home, ca, "fr", "1", "10"), (false, french.clone()));
    assert_eq!(local(&at_home, ca, "fr", "1", "9.9"), (true, both.clone()));
    assert_eq!(local(&at_home, ca, "en", "90", "9.9"), (false, english));
    assert_eq!(local(&at_home, Market::CaQc, "en", "90", "9.9"), (true, vec![Lang::Fr, Lang::En]));
    let in_quebec = at_home.replace("region: ME", "region: QC");
    assert_eq!(local(&in_quebec, ca, "en", "90", "9.9"), (true, both.clone()), "sold where it is made: in Quebec");
    assert_eq!(local(&in_quebec, ca, "fr", "1", "90"), (false, french.clone()));
    assert_eq!(local(&at_home, Market::CaQc, "fr", "1", "90"), (false, french));
    let abroad = text("workshop.yaml").unwrap();
    assert_eq!(local(&abroad, ca, "fr", "1", "90"), (true, both), "it has to be made there");
}
