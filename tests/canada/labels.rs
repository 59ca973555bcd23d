//! Labels of Canada and Quebec: where statements may stand, and what is read back of two languages.

use crate::bench::{CANADA, built_in, items, lang, needs, own, planned, sample, samples, written};
use waxbill::find::{Finding, Level, Severity};
use waxbill::inspect;
use waxbill::plan::{self, Content, Plan};
use waxbill::product::Product;
use waxbill::trade::{BlockName, Lang, Market, Measure};
use waxbill::unit::Length;

fn jar() -> Product {
    sample("tidewrack", "product:", "product:")
}

fn found(printed: &Plan, asked: &Plan) -> Vec<Finding> {
    inspect::check(&written(printed), asked)
}

#[test]
fn every_sample_is_read_back_clean_with_both_languages_in_one_size() {
    for product in samples() {
        for market in &product.markets {
            let plan = planned(&product, *market);
            let findings = found(&plan, &plan);
            assert!(findings.is_empty(), "{} for {market}: {findings:#?}", product.id);
            let both = plan.equal.is_some() && plan.languages.len() == 2;
            assert!(both && CANADA.contains(market));
        }
    }
}

/// C.R.C. c. 417, s. 13: anywhere but on the bottom; ss. 2 and 10: an ornamental container may carry it there.
#[test]
fn the_makers_name_may_not_stand_on_the_base_of_a_plain_jar() {
    let base = built_in("jar-front-and-base");
    let refused = plan::of(&needs(&jar(), Market::Ca), &base).unwrap_err();
    assert!(refused.iter().all(|f| f.id == "ca/dealer-place" && f.level == Level::Error), "{refused:?}");
    assert_eq!(
        refused[0].message,
        "the block `maker` may not stand on the bottom of the container, and the template puts it on `base`"
    );
    let ornament = sample("tidewrack", "relights: no", "relights: no\nornamental container: yes");
    assert!(plan::of(&needs(&ornament, Market::Ca), &base).is_ok());
    let american = needs(&jar(), Market::Us);
    assert!(plan::of(&american, &base).is_ok(), "the United States let it stand there");
}

/// C.R.C. c. 417, s. 12: identity and quantity belong on the principal panel.
#[test]
fn identity_and_quantity_away_from_the_front_are_refused() {
    let template = |front: &str, back: &str| {
        let shape = "shape: {rectangle: {width: 110 mm, height: 90 mm}}";
        own(&format!(
            "template: t\nparts:\n  - {{part: front, principal: yes, {shape}, rows: [{front}]}}\n  - {{part: back, {shape}, rows: [{back}, \
             {{block: burn time}}, {{block: warning}}, {{block: care}}, {{block: maker}}, {{block: lot}}, {{block: code}}]}}\n"
        ))
    };
    let (name, identity, quantity) = ("{block: product name}", "{block: identity}", "{block: net quantity}");
    let needs = needs(&jar(), Market::Ca);
    let refused = |front: &[&str], back: &str| -> Vec<String> {
        let made = plan::of(&needs, &template(&front.join(", "), back));
        made.map_or_else(|f| f.into_iter().map(|f| f.id).collect(), |_| Vec::new())
    };
    assert_eq!(refused(&[name, quantity], identity), ["ca/identity"]);
    assert_eq!(refused(&[name, identity], quantity), ["ca/net-quantity"]);
    assert!(refused(&[identity, quantity], name).is_empty());
}

/// The same for a part of any name that says it is the bottom, and a `base` that says it is not.
#[test]
fn the_file_may_say_which_part_is_the_bottom() {
    let template = |part: &str| {
        own(&format!(
            "template: t\nparts:\n  - part: front\n    principal: yes\n    shape: {{rectangle: {{width: 60 mm, height: 80 mm}}}}\n    \
             rows: [{{block: product name}}, {{block: identity}}, {{block: burn time}}, {{block: net quantity}}]\n  - {part}\n    \
             shape: {{rectangle: {{width: 110 mm, height: 90 mm}}}}\n    \
             rows: [{{block: warning}}, {{block: care}}, {{block: maker}}, {{block: lot}}, {{block: code}}]\n"
        ))
    };
    let of = |part: &str| plan::of(&needs(&jar(), Market::Ca), &template(part)).is_ok();
    assert!(
        of("part: back") && of("{part: base, bottom: no}".trim_matches(['{', '}']).replace(", ", "\n    ").as_str())
    );
    assert!(!of("part: base") && !of("part: round\n    bottom: yes"));
}

/// C.R.C. c. 417, s. 12 with s. 14(2): bold figures on the principal panel, in their height.
#[test]
fn figures_too_low_or_not_bold_are_found() {
    let plan = planned(&jar(), Market::Ca);
    let quantity = |f: &Finding| f.id == "ca/net-quantity#net metric" && f.level == Level::Error;
    let with = |change: fn(&mut plan::Item)| {
        let mut printed = plan.clone();
        items(&mut printed).filter(|i| i.id.ends_with("#net metric")).for_each(change);
        for block in printed.parts.iter_mut().flat_map(|p| &mut p.rows).flat_map(|r| &mut r.cells) {
            if block.block.name == BlockName::NetQuantity {
                block.block.largest = Length::um(3100);
            }
        }
        found(&printed, &plan)
    };
    let low = with(|i| i.least = Length::um(3100));
    assert!(low.iter().any(|f| quantity(f) && f.message.contains("printed too small")), "{low:?}");
    let light = with(|i| i.bold = false);
    assert!(light.iter().any(|f| quantity(f) && f.message.contains("not printed in bold")), "{light:?}");
    // At the floor it is large enough, to the hundredth of a point.
    let floor = with(|i| i.least = Length::um(3200));
    assert!(floor.is_empty(), "{floor:?}");
}

/// C.R.C. c. 417, s. 14(4): what stands beside the figures is at least 1.6 mm, measured on the lower-case `o`.
#[test]
fn letters_beside_low_figures_keep_their_own_height() {
    let small = "package: {box: {width: 40 mm, height: 80 mm}}";
    let box_of_12 = sample("periwinkle", "package: {box: {width: 120 mm, height: 80 mm}}", small);
    let needs = needs(&box_of_12, Market::Ca);
    let count = needs.requirements.iter().find(|r| r.statement == "net count").unwrap();
    assert_eq!((count.least, count.measure), (Some(Length::um(1600)), Measure::FigureOverText), "32 cm² takes 1.6 mm");
    let plan = plan::of(&needs, &built_in("tea-light-two-languages")).unwrap();
    let mut floor = plan.clone();
    for cell in floor.parts.iter_mut().flat_map(|p| &mut p.rows).flat_map(|r| &mut r.cells) {
        cell.block.largest = Length::um(1);
    }
    let findings = found(&floor, &plan);
    assert!(findings.is_empty(), "all at their floors: {findings:?}");
    for item in items(&mut floor).filter(|i| i.id.ends_with("#net count")) {
        item.measure = Measure::Figure;
    }
    let findings = found(&floor, &plan);
    let under = |f: &&Finding| f.message.starts_with("letters beside the figures of `12");
    assert_eq!(findings.iter().filter(under).count(), 2, "{findings:?}");
}

/// C.R.C. c. 417, s. 15: other words that are asked for have 1.6 mm on the lower-case `o`.
#[test]
fn an_identity_under_1_6_mm_is_found() {
    let plan = planned(&jar(), Market::Ca);
    let mut printed = plan.clone();
    for item in items(&mut printed).filter(|i| i.id == "ca/identity#identity") {
        assert_eq!((item.least, item.measure), (Length::um(1600), Measure::LowerO));
        item.least = Length::um(1580);
    }
    for cell in printed.parts.iter_mut().flat_map(|p| &mut p.rows).flat_map(|r| &mut r.cells) {
        if cell.block.name == BlockName::Identity {
            cell.block.largest = Length::um(1580);
        }
    }
    let findings = found(&printed, &plan);
    assert_eq!(findings.iter().filter(|f| f.id == "ca/identity#identity").count(), 2, "{findings:?}");
}

/// C.R.C. c. 417, s. 16: at most 10 cm², and all on the principal panel: 0.8 mm, not for the quantity. Our own least height
/// for all words, capitals of 1.4 mm, is what is left then.
#[test]
fn on_a_tiny_panel_with_everything_lower_letters_are_enough() {
    let cup = "package: {round: {diameter: 38 mm, wall height: 15 mm}}";
    let product = sample("periwinkle", "package: {box: {width: 120 mm, height: 80 mm}}", cup);
    let blocks = "[{block: product name}, {block: identity}, {block: net quantity}, {block: maker}, {block: warning}, {block: care}, \
                  {block: lot}, {block: code}]";
    let one = format!(
        "template: one\nparts: [{{part: wrap, principal: yes, shape: {{rectangle: {{width: 150 mm, height: 150 mm}}}}, rows: {blocks}}}]\n"
    );
    let two = one.replace(
        ", {block: maker}, ",
        "]}, {part: back, shape: {rectangle: {width: 150 mm, height: 150 mm}}, rows: [{block: maker}, ",
    );
    let needs = needs(&product, Market::Ca);
    let least = |template: &str, id: &str| {
        let mut plan = plan::of(&needs, &own(template)).unwrap();
        items(&mut plan).find(|i| i.id == id).map(|i| (i.least, i.measure)).unwrap()
    };
    let identity = "ca/identity#identity";
    assert_eq!(least(&two, identity), (Length::um(1600), Measure::LowerO));
    assert_eq!(least(&one, identity), (Length::um(1400), Measure::Capital));
    assert_eq!(least(&one, "ca/net-count#net count"), (Length::um(1600), Measure::FigureOverText));
}

/// The label with the statements of one language set larger than those of the other.
fn larger(plan: &Plan, which: Lang) -> Plan {
    let mut printed = plan.clone();
    for item in items(&mut printed).filter(|i| lang(i) == Some(which) && i.id == "ca/identity#identity") {
        item.least = item.least.times_ratio(11, 10);
    }
    printed
}

/// Charter of the French language, s. 51 (second hand): no other language stands out more than French.
#[test]
fn french_smaller_than_english_stops_a_label_for_quebec() {
    let plan = planned(&jar(), Market::CaQc);
    let findings = found(&larger(&plan, Lang::En), &plan);
    let told: Vec<_> = findings.iter().map(|f| (f.id.as_str(), f.level, f.severity, f.message.as_str())).collect();
    let message = "`Bougie parfumée` is printed smaller in `fr` than its twin in `en`";
    assert_eq!(told, [("ca-qc/french", Level::Error, Severity::Required, message)]);
    assert!(found(&larger(&plan, Lang::Fr), &plan).is_empty(), "French may be larger in Quebec");
}

#[test]
fn languages_of_unlike_size_are_told_in_the_rest_of_canada() {
    let plan = planned(&jar(), Market::Ca);
    for (large, small, text) in [(Lang::En, "fr", "Bougie parfumée"), (Lang::Fr, "en", "Scented candle")] {
        let findings = found(&larger(&plan, large), &plan);
        let message = format!("`{text}` is printed smaller in `{small}` than its twin in `{large}`");
        let told: Vec<_> = findings.iter().map(|f| (f.id.as_str(), f.level, f.message.clone())).collect();
        assert_eq!(told, [("ca/equal-languages", Level::Warning, message)]);
    }
}

#[test]
fn french_after_english_is_found_below_and_beside() {
    let plan = planned(&jar(), Market::CaQc);
    let late = |block: BlockName| {
        let mut printed = plan.clone();
        for row in printed.parts.iter_mut().flat_map(|p| &mut p.rows) {
            if row.cells[0].block.name == block {
                row.cells.reverse();
                row.cells.iter_mut().for_each(|c| c.block.items.reverse());
            }
        }
        let findings = found(&printed, &plan);
        findings
            .iter()
            .filter(|f| f.id == "ca-qc/french" && f.message.ends_with("in `fr` after its twin in `en`"))
            .count()
    };
    assert_eq!((late(BlockName::Identity), late(BlockName::Care)), (1, 12));
    let plain = found(&plan, &plan);
    assert!(plain.is_empty(), "{plain:?}");
}

/// C.R.C. c. 417, s. 6(2).
#[test]
fn a_language_left_out_is_found_missing() {
    for market in CANADA {
        let plan = planned(&jar(), market);
        let mut printed = plan.clone();
        for cell in printed.parts.iter_mut().flat_map(|p| &mut p.rows).flat_map(|r| &mut r.cells) {
            cell.block.items.retain(|i| lang(i) != Some(Lang::Fr) || i.id != "ca/identity#identity");
        }
        let findings = found(&printed, &plan);
        let missing = |f: &Finding| f.id == "ca/identity#identity" && f.level == Level::Error;
        assert!(findings.len() == 1 && missing(&findings[0]), "{market}: {findings:?}");
        assert!(findings[0].message.contains("Bougie parfumée"), "{findings:?}");
    }
}

/// An identity in capitals in one language alone is judged by its capitals (s. 14(1)), so both come out unlike.
#[test]
fn capitals_in_one_language_alone_are_told() {
    let product = sample("tidewrack", "{en: Scented candle,", "{en: SCENTED CANDLE,");
    let plan = planned(&product, Market::Ca);
    let findings = found(&plan, &plan);
    assert_eq!(findings.iter().map(|f| f.id.as_str()).collect::<Vec<_>>(), ["ca/equal-languages"]);
    assert!(findings[0].cure.contains("both in capitals, or both in small letters"));
}

/// What is the same in both languages, such as an address or a figure with its symbol, is printed once.
#[test]
fn a_name_a_symbol_and_the_importer_are_printed_once() {
    let mut plan = planned(&jar(), Market::Ca);
    for once in ["ca/dealer#maker name", "ca/net-quantity#net metric", "ca/importer#importer", "ca/lot-code#lot"] {
        assert_eq!(items(&mut plan).filter(|i| i.id == once).count(), 1, "{once}");
    }
    let importer = items(&mut plan).find(|i| i.id == "ca/importer#importer").unwrap();
    let Content::Text { text, .. } = &importer.content else { panic!("words") };
    assert!(text.starts_with("Importé par / Imported by "), "{text}");
}
