//! The rules of the European Union, Northern Ireland, Great Britain and France: what which product needs, heights against
//! the tables of the law, and words in English and French.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use jiff::civil::{Date, date};
use std::collections::BTreeSet;
use waxbill::law::{self, Extent, Fact, Facts, GoesBy, Height, Rule};
use waxbill::trade::{BlockName, Evidence, Kind, Lang, Market, Measure, Severity, Sign};
use waxbill::unit::{Area, Length, Mass, Volume};

const MARKETS: [Market; 3] = [Market::Eu, Market::Ni, Market::Gb];
const TODAY: Date = date(2026, 11, 25);

/// A plain scented product of a maker in the Union, not classified, with all figures given.
fn facts(kind: Kind) -> Facts {
    let mut facts = Facts::new();
    let (wick, vessel) = match kind {
        Kind::WaxMelt => ("none", "none"),
        Kind::ContainerCandle => ("wood", "glass"),
        Kind::TeaLight => ("cotton", "tin"),
        _ => ("cotton", "none"),
    };
    for fact in Fact::ALL {
        let value = match fact {
            Fact::Kind => kind.word(),
            Fact::Wick => wick,
            Fact::Vessel => vessel,
            Fact::Wicks | Fact::Pieces => "one",
            Fact::MetalCore | Fact::CaliforniaRisk | Fact::SignalWord => "none",
            Fact::Panel => "over 5 sq in",
            Fact::SmallPack | Fact::SmallSurface => "larger",
            Fact::Scented
            | Fact::MakerInTheEu
            | Fact::MakerInTheUk
            | Fact::TrimGiven
            | Fact::DistanceGiven
            | Fact::StopGiven
            | Fact::SessionGiven
            | Fact::CoolGiven => "yes",
            _ => "no",
        };
        assert!(facts.set(*fact, value), "{fact}");
    }
    facts
}

/// The same, classified as a skin sensitiser: everything the law on chemicals can ask for but a supplement.
fn classified(kind: Kind) -> Facts {
    let mut facts = facts(kind);
    let all =
        [Fact::Classified, Fact::HazardText, Fact::HazardStatement, Fact::Precaution, Fact::HazardNames, Fact::UfiDue];
    for fact in all {
        facts.set(fact, "yes");
    }
    facts.set(Fact::SignalWord, "warning");
    facts
}

fn needs(market: Market, on: Date, facts: &Facts) -> Vec<(&'static Rule, &'static str)> {
    let rules = law::holding(market, on, facts).into_iter();
    rules.flat_map(|r| r.needs.iter().map(move |n| (r, *n))).collect()
}

fn statements(market: Market, facts: &Facts) -> BTreeSet<&'static str> {
    needs(market, TODAY, facts).into_iter().map(|(_, n)| n).collect()
}

fn told(market: Market, lang: Lang, facts: &Facts) -> String {
    let mut needs = needs(market, TODAY, facts);
    needs.sort_by_key(|(r, n)| (r.block, law::wording(lang, n).unwrap().order));
    let row = |(r, n): (&Rule, &str)| {
        let text = law::wording(lang, n).unwrap().text.replace('\u{a0}', "_");
        format!("{:24} {:9} {text}\n", r.id, r.severity.word())
    };
    needs.into_iter().map(row).collect()
}

#[test]
fn a_plain_jar_for_the_union_gets_maker_batch_and_candle_signs() {
    insta::assert_snapshot!(told(Market::Eu, Lang::En, &facts(Kind::ContainerCandle)));
}

#[test]
fn a_classified_jar_for_france_gets_the_block_of_the_law_on_chemicals_and_two_notices() {
    let mut facts = classified(Kind::ContainerCandle);
    facts.set(Fact::France, "yes");
    insta::assert_snapshot!(told(Market::Eu, Lang::Fr, &facts));
}

#[test]
fn a_melt_gets_no_word_about_wick_or_flame() {
    for market in MARKETS {
        let told = told(market, Lang::En, &facts(Kind::WaxMelt));
        for word in ["flame", "wick", "burn", "unattended", "lighting", "candle", "snuff"] {
            let words = told.lines().map(|l| l.split_at(35).1.to_lowercase()).find(|l| l.contains(word));
            assert_eq!(words, None, "{market}");
        }
        let signs = law::holding(market, TODAY, &facts(Kind::WaxMelt)).iter().map(|r| r.symbols.len()).sum::<usize>();
        assert_eq!(signs, 0, "EN 15494 is for candles (abstract)");
    }
    insta::assert_snapshot!(told(Market::Gb, Lang::En, &facts(Kind::WaxMelt)));
}

/// EN 15494:2019 as told by test houses: the general warning sign and three more on every indoor candle.
#[test]
fn every_candle_carries_four_signs_and_those_of_its_kind() {
    let always = [Sign::GeneralWarning, Sign::KeepInSight, Sign::ThingsThatCatchFire, Sign::ChildrenAndPets];
    for market in MARKETS {
        for kind in Kind::ALL.iter().filter(|k| k.burns()) {
            let rules = law::holding(market, TODAY, &facts(*kind));
            let standard = rules.iter().filter(|r| r.severity == Severity::Standard);
            let signs: BTreeSet<_> = standard.flat_map(|r| r.symbols).copied().collect();
            let own = match kind {
                Kind::Pillar | Kind::Taper => Some(Sign::Holder),
                Kind::Votive => Some(Sign::Liquefies),
                Kind::TeaLight => Some(Sign::AiredHolder),
                Kind::ContainerCandle | Kind::WaxMelt => None,
            };
            assert_eq!(signs, always.into_iter().chain(own).collect(), "{kind}, {market}");
        }
    }
    let used: BTreeSet<_> = law::rules().iter().flat_map(|r| r.symbols).copied().collect();
    let ours = Sign::ALL.iter().copied().filter(|s| s.ghs().is_none());
    assert_eq!(used, ours.collect(), "no sign without a rule");
}

/// Our signs are not those of the standard, so each needs its words; only the warning sign has none (Slovak inspectorate
/// on the edition of 2007).
#[test]
fn each_sign_has_its_own_words_but_the_warning_sign() {
    for rule in law::rules().iter().filter(|r| !r.symbols.is_empty()) {
        assert_eq!(rule.symbols.len(), 1, "{}", rule.id);
        let words = usize::from(rule.symbols != [Sign::GeneralWarning]);
        assert_eq!(rule.needs.len(), words, "{}", rule.id);
        assert_eq!(rule.block, Some(BlockName::CandleSymbols), "{}", rule.id);
    }
}

/// The numbers on signs are the maker's; no source names one (EN 15494, second hand).
#[test]
fn a_length_is_printed_only_where_the_maker_gives_it() {
    let figures = ["{trim metric}", "{distance metric}", "{stop metric}", "{session}", "{cool}"];
    for kind in Kind::ALL {
        let mut facts = facts(*kind);
        for fact in [Fact::TrimGiven, Fact::DistanceGiven, Fact::StopGiven, Fact::SessionGiven, Fact::CoolGiven] {
            facts.set(fact, "no");
        }
        for market in MARKETS {
            let told = told(market, Lang::En, &facts);
            assert!(figures.iter().all(|f| !told.contains(f)), "{kind}: {told}");
        }
    }
    for rule in law::rules().iter().filter(|r| r.markets.iter().any(|m| MARKETS.contains(m))) {
        for name in ["trim", "distance", "stop", "session", "cool"] {
            assert_eq!(rule.figure_text(name), None, "{}: no usual figure for these markets", rule.id);
        }
        let inches = rule.needs.iter().filter_map(|n| law::wording(Lang::En, n));
        for text in inches.map(|w| w.text) {
            for both in ["{trim}", "{stop}", "{distance}", "{net quantity}", "{maker address}"] {
                assert!(!text.contains(both), "{}: `{both}` is for the United States", rule.id);
            }
        }
    }
}

#[test]
fn nothing_of_the_law_on_chemicals_stands_on_an_unclassified_candle() {
    for market in MARKETS {
        for kind in Kind::ALL {
            let rules = law::holding(market, TODAY, &facts(*kind));
            assert!(rules.iter().all(|r| !r.id.starts_with("eu/clp-") && r.block != Some(BlockName::Hazard)));
            assert!(!statements(market, &facts(*kind)).contains("phone"), "CLP, Article 17(1)(a)");
        }
    }
}

/// CLP Article 17(1)(a) to (g), 18(3)(b); Annex VIII; a UFI never in Great Britain.
#[test]
fn a_classified_candle_carries_each_element_and_a_ufi_only_in_the_union_and_northern_ireland() {
    let elements = ["hazard names", "clp signal word", "hazard statements", "precautionary statements"];
    for market in MARKETS {
        for kind in Kind::ALL {
            let all = statements(market, &classified(*kind));
            assert!(elements.iter().chain(&["phone", "net metric"]).all(|e| all.contains(e)), "{kind}, {market}");
            assert!(!all.contains("supplemental statements"));
            assert_eq!(all.contains("ufi"), market != Market::Gb, "{kind}, {market}");
        }
    }
}

/// Annex II, 2.8: an unclassified mixture with a sensitiser carries EUH208, and names its supplier with telephone
/// (Article 25(6), from memory), but no pictogram, signal word or precautionary statement.
#[test]
fn a_supplement_alone_brings_its_sentence_and_the_supplier() {
    let mut facts = facts(Kind::WaxMelt);
    facts.set(Fact::HazardText, "yes");
    facts.set(Fact::Supplement, "yes");
    for market in MARKETS {
        let hazard = needs(market, TODAY, &facts).into_iter().filter(|(r, _)| r.block == Some(BlockName::Hazard));
        assert_eq!(hazard.map(|(_, n)| n).collect::<Vec<_>>(), ["supplemental statements"], "{market}");
        assert!(statements(market, &facts).contains("phone"));
    }
}

/// Chronic 2 has a pictogram and no signal word (CLP, Annex I, Table 4.1.4).
#[test]
fn a_class_without_signal_word_asks_for_none() {
    let mut facts = classified(Kind::ContainerCandle);
    facts.set(Fact::SignalWord, "none");
    assert!(!statements(Market::Eu, &facts).contains("clp signal word"));
}

/// GPSR Articles 9(6) and 16 hold from 13 December 2024; in Great Britain no electronic address (SI 2005/1803).
#[test]
fn identity_differs_between_the_union_and_great_britain() {
    let mut far = facts(Kind::Pillar);
    far.set(Fact::MakerInTheEu, "no");
    far.set(Fact::MakerInTheUk, "no");
    for market in [Market::Eu, Market::Ni] {
        let all = statements(market, &facts(Kind::Pillar));
        assert!(["maker name", "postal address", "electronic address", "batch"].iter().all(|n| all.contains(n)));
        assert!(!all.contains("responsible person") && statements(market, &far).contains("responsible person"));
        let before = needs(market, date(2024, 12, 12), &far);
        assert!(before.iter().all(|(r, _)| !["eu/maker", "eu/batch", "eu/responsible-person"].contains(&r.id)));
    }
    let all = statements(Market::Gb, &far);
    assert!(["maker name", "postal address", "batch", "importer"].iter().all(|n| all.contains(n)));
    assert!(!all.contains("electronic address") && !all.contains("responsible person"));
}

/// GPSR Article 2(1)(b) leaves open whether Articles 9 and 16 hold for a classified candle.
#[test]
fn no_rule_says_for_certain_that_articles_9_and_16_bind_a_classified_candle() {
    for id in ["eu/maker", "eu/batch", "eu/responsible-person", "eu/instructions"] {
        let rule = law::rule(id).unwrap();
        assert!(rule.because.contains("or good practice where Article 2(1)(b) applies"), "{id}");
        assert!(rule.stricter.is_some() && rule.sources.iter().any(|c| c.clause == "Art. 2(1)(b)"), "{id}");
    }
}

/// Décret 2017-946: scented products that burn, since 1 January 2019, in France only.
#[test]
fn the_two_notices_of_france_stand_on_scented_candles_that_go_there() {
    let french = |market, on, facts: &Facts| {
        law::holding(market, on, facts).iter().filter(|r| r.id.starts_with("fr/")).map(|r| r.needs.len()).sum::<usize>()
    };
    for kind in Kind::ALL {
        let mut facts = facts(*kind);
        assert_eq!(french(Market::Eu, TODAY, &facts), 0, "not for France");
        facts.set(Fact::France, "yes");
        assert_eq!(french(Market::Eu, TODAY, &facts), if kind.burns() { 2 } else { 0 }, "{kind}");
        assert_eq!(french(Market::Eu, date(2018, 12, 31), &facts), 0);
        assert_eq!(french(Market::Gb, TODAY, &facts) + french(Market::Ni, TODAY, &facts), 0);
        facts.set(Fact::Scented, "no");
        assert_eq!(french(Market::Eu, TODAY, &facts), 0, "without scent");
    }
    // EN 16740 as quoted on two pages.
    assert_eq!(law::wording(Lang::Fr, "air the room after use").unwrap().text, "Ventiler la pièce après utilisation.");
    let smoke = law::wording(Lang::Fr, "do not breathe smoke").unwrap().text;
    assert_eq!(smoke, "Éviter d’inhaler directement la fumée.");
}

/// Arrêté of 20 October 1978, Article 2 (France), the bands of Directive 76/211/EEC: each includes its upper limit, so
/// that 200 g still takes 3 mm and exactly 1 kg 4 mm.
#[test]
fn figures_of_a_quantity_grow_just_above_each_limit() {
    let least = |mass| law::builtin().height_by("eu-figure-height", Extent::Quantity(mass)).unwrap().least;
    let hair = Mass::ng(1);
    for (limit, at, above) in [(50, 2, 3), (200, 3, 4), (1000, 4, 6)] {
        let limit = Mass::g(limit);
        assert_eq!(least(limit - hair), Length::mm(at));
        assert_eq!(least(limit), Length::mm(at));
        assert_eq!(least(limit + hair), Length::mm(above));
    }
    // Sizes of the trade, read off the same table by hand.
    for (grams, mm) in [(20, 2), (75, 3), (120, 3), (180, 3), (220, 4), (340, 4), (600, 4), (1500, 6)] {
        assert_eq!(least(Mass::g(grams)), Length::mm(mm), "{grams} g");
    }
    for market in MARKETS {
        let rules = law::holding(market, TODAY, &facts(Kind::ContainerCandle));
        let ours: Vec<_> = rules.iter().filter(|r| r.governs(BlockName::NetQuantity, "net metric")).collect();
        let table =
            ours.iter().filter(|r| r.height == Height::Table { name: "eu-figure-height", measure: Measure::Figure });
        assert_eq!(table.count(), 1, "{market}");
        assert!(
            rules.iter().all(|r| !r.governs(BlockName::NetQuantity, "e mark")),
            "its own height counts for the sign"
        );
    }
}

/// The sign is at least 3 mm high (Arrêté of 20 October 1978, Article 2; SI 2006/659, reg. 2), for 5 g to 10 kg.
#[test]
fn the_e_mark_comes_only_when_asked_for() {
    let mut facts = facts(Kind::ContainerCandle);
    for market in MARKETS {
        facts.set(Fact::EMark, "no");
        assert!(!statements(market, &facts).contains("e mark"));
        facts.set(Fact::EMark, "yes");
        assert!(statements(market, &facts).contains("e mark"));
    }
    let mark = law::rule("eu/e-mark").unwrap();
    assert_eq!(mark.height, Height::Least { least: Length::mm(3), measure: Measure::LowerX });
    let range = law::rule("eu/e-mark-range").unwrap();
    assert_eq!((range.figure("least"), range.figure("most")), (Some(Mass::g(5)), Some(Mass::g(10_000))));
}

/// Regulation (EU) 2024/2865, Table 1.3, from three pages; Regulation (EU) 2025/2439 moves it to 1 January 2028.
#[test]
fn letters_of_a_hazard_label_have_a_fixed_height_from_2028_in_the_union() {
    let ids = |market, on| {
        let rules = law::holding(market, on, &classified(Kind::ContainerCandle));
        rules.iter().map(|r| r.id).filter(|id| ["eu/clp-letters", "eu/clp-type"].contains(id)).count()
    };
    assert_eq!((ids(Market::Eu, date(2027, 12, 31)), ids(Market::Eu, date(2028, 1, 1))), (0, 2));
    assert_eq!((ids(Market::Ni, date(2028, 1, 2)), ids(Market::Gb, date(2028, 1, 2))), (2, 0));
    assert!(law::rule("eu/clp-letters").unwrap().because.contains("is not yet law"));
    let least = |ml| law::builtin().height_by("clp-letter-height", Extent::Capacity(Volume::ml(ml))).unwrap().least;
    for (ml, um) in [(1, 1200), (500, 1200), (501, 1400), (3000, 1400), (3001, 1800), (50_000, 1800), (50_001, 2000)] {
        assert_eq!(least(ml), Length::um(um), "{ml} ml");
    }
    let now = law::rule("eu/clp-legible").unwrap();
    assert_eq!(now.severity, Severity::Advice);
    assert!(MARKETS.iter().all(|m| now.in_force(*m, TODAY)));
}

#[test]
fn a_table_answers_only_for_what_it_goes_by() {
    let book = law::builtin();
    assert_eq!(book.goes_by("eu-figure-height"), Some(GoesBy::Quantity));
    assert_eq!(book.goes_by("clp-letter-height"), Some(GoesBy::Capacity));
    assert_eq!(book.goes_by("us-panel-height/raised"), Some(GoesBy::Panel));
    assert_eq!(book.goes_by("moon"), None);
    assert_eq!(book.height_band("eu-figure-height", Area::sq_in(1)), None);
    assert_eq!(book.height_by("us-panel-height", Extent::Quantity(Mass::g(1))), None);
    assert_eq!(book.least(law::rule("eu/figure-height").unwrap(), Area::sq_in(1)), None);
}

#[test]
fn each_pack_declares_at_most_one_quantity() {
    for market in MARKETS {
        for kind in Kind::ALL {
            for (one, more) in [(facts(*kind), 0), (classified(*kind), 1)] {
                for pieces in ["one", "several"] {
                    let mut facts = one.clone();
                    facts.set(Fact::Pieces, pieces);
                    let count = needs(market, TODAY, &facts).iter().filter(|(_, n)| n.starts_with("net ")).count();
                    assert!((more..=1).contains(&count), "{kind}, {pieces}, {market}");
                }
            }
        }
    }
}

/// French sets a no-break space before `:`, `;`, `!` and `?` and a typographic apostrophe; from memory.
#[test]
fn every_statement_has_english_and_french_words() {
    let markets = |r: &&Rule| r.markets.iter().any(|m| MARKETS.contains(m));
    for need in law::rules().iter().filter(markets).flat_map(|r| r.needs) {
        let (en, fr) = (law::wording(Lang::En, need).unwrap(), law::wording(Lang::Fr, need));
        let fr = fr.unwrap_or_else(|| panic!("`{need}` has no French words"));
        let held = |text| law::placeholders(text).collect::<BTreeSet<_>>();
        assert_eq!(held(en.text), held(fr.text), "{need}");
        assert_eq!(en.order, fr.order, "{need}");
        assert_eq!(en.neutral, fr.lang == Lang::En, "{need}");
        for (at, _) in fr.text.match_indices([':', ';', '!', '?']) {
            assert!(fr.neutral || fr.text[..at].ends_with('\u{a0}'), "{need}: {}", fr.text);
        }
        assert!(!fr.text.contains('\''), "{need}: {}", fr.text);
        if law::rules().iter().any(|r| r.block == Some(BlockName::Care) && r.needs.contains(need)) {
            assert!(fr.text.chars().count() <= 64, "{need}: {}", fr.text);
        }
    }
}

#[test]
fn neutral_words_stand_for_every_language_and_the_rest_is_told_as_missing() {
    let book = law::builtin();
    for lang in Lang::ALL {
        assert_eq!(book.wording(*lang, "hazard statements").unwrap().text, "{hazard statements}", "{lang}");
        assert_eq!(book.wording(*lang, "ufi").unwrap().text, "UFI: {ufi}", "{lang}");
    }
    let keys = ["maker name", "never leave unattended", "batch", "do not eat"];
    assert_eq!(book.missing_words(Lang::De, &keys), ["never leave unattended", "do not eat"]);
    assert!(book.missing_words(Lang::Fr, &keys).is_empty());
}

#[test]
fn the_makers_own_words_fill_a_language_and_are_marked_as_such() {
    let text =
        "do not eat:\n  text: Nicht essen.\ntrim wick metric:\n  text: Docht auf {trim metric} kürzen.\n  note: N.\n";
    let own = law::own_wording(Lang::De, "wording/de.yaml", text).unwrap();
    let book = law::builtin().with_wording(own);
    let row = book.wording(Lang::De, "do not eat").unwrap();
    assert_eq!((row.text, row.seen, row.note), ("Nicht essen.", Evidence::Policy, "the maker's own words"));
    assert_eq!(row.order, law::wording(Lang::En, "do not eat").unwrap().order);
    assert_eq!(book.wording(Lang::De, "trim wick metric").unwrap().note, "N.");
    assert_eq!(law::wording(Lang::De, "do not eat"), None, "the built-in rules stay as they are");
    // In place of ours.
    let french = law::own_wording(Lang::Fr, "fr.yaml", "do not eat: {text: Non comestible.}").unwrap();
    let book = book.with_wording(french);
    assert_eq!(book.wording(Lang::Fr, "do not eat").unwrap().text, "Non comestible.");
    assert_eq!(book.wording(Lang::De, "do not eat").unwrap().text, "Nicht essen.");
    assert_eq!(book.wording.iter().filter(|w| w.lang == Lang::Fr && w.key == "do not eat").count(), 1);
}

#[test]
fn own_words_that_cannot_be_used_are_told_with_their_line() {
    let told = |text: &str| {
        let faults = law::own_wording(Lang::De, "wording/de.yaml", text).unwrap_err();
        faults.iter().map(|f| format!("{f}\n")).collect::<String>()
    };
    assert_eq!(
        told("do not eet: {text: Nicht essen.}\ntrim wick metric: {text: Docht kürzen.}\n"),
        "wording/de.yaml:1: `do not eet` is not a statement of any rule: `waxbill explain` lists them\n\
         wording/de.yaml:2: statement `trim wick metric`: the text holds `{trim metric}`, as the English one does\n"
    );
    let unknown = told("do not eat: {text: \"Nicht {essen}.\"}");
    assert!(unknown.starts_with("wording/de.yaml:1:20: statement `do not eat`: `{essen}` is not one of"), "{unknown}");
    assert_eq!(
        told("metal core shipping words: {text: Anders.}"),
        "wording/de.yaml:1: the words of `metal core shipping words` are fixed by law\n"
    );
    assert!(told("do not eat: {text: Nicht essen., neutral: true}").contains("only `en.yaml` says what is neutral"));
    assert_eq!(told("do not eat: ["), "wording/de.yaml:1:13: expected mapping start\n");
    assert!(told(&"[".repeat(100_000)).starts_with("wording/de.yaml:"));
    assert!(law::own_wording(Lang::De, "wording/de.yaml", "").is_ok_and(|w| w.is_empty()), "nothing of one's own");
}
