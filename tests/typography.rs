//! French words of the rules as French is set: spaces before high punctuation, apostrophes, accents, figures.
//!
//! Rules of the Lexique des règles typographiques en usage à l'Imprimerie nationale, from memory; the no-break space before
//! `:` `;` `!` `?` is in F.1 of the sources of `rules/wording/fr.yaml` too, from memory.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first thing that is wrong")]

mod quillmere;

use quillmere::{needs, read, samples, source};
use std::sync::Arc;
use waxbill::find::Source;
use waxbill::hazard::statements;
use waxbill::law;
use waxbill::plan::{self, Content, template};
use waxbill::trade::{BlockName, Lang, Market};

/// What is wrong with a French text as France sets it; empty when all is well.
fn faults(text: &str) -> Vec<String> {
    faults_in(text, &[':', ';', '!', '?', '»'])
}

/// The same as Canada sets it, where `;`, `!` and `?` follow their word (from memory).
fn faults_in_canada(text: &str) -> Vec<String> {
    faults_in(text, &[':', '»'])
}

fn faults_in(text: &str, high: &[char]) -> Vec<String> {
    let mut faults = Vec::new();
    let letters: Vec<char> = text.chars().collect();
    let space = |c: Option<&char>| matches!(c, Some('\u{a0}' | '\u{202f}'));
    for (n, c) in letters.iter().enumerate() {
        let before = n.checked_sub(1).and_then(|n| letters.get(n));
        let after = letters.get(n + 1);
        // A colon inside an address (`https:`) or after a code without words (`UFI:`) is no punctuation of a sentence.
        let address = *c == ':' && (after == Some(&'/') || text.contains("UFI:"));
        if high.contains(c) && !space(before) && !address {
            faults.push(format!("no no-break space before `{c}`"));
        }
        if *c == '«' && !space(after) {
            faults.push("no no-break space after `«`".to_owned());
        }
        if matches!(c, '\'' | '"') {
            faults.push(format!("`{c}` is for typewriters"));
        }
        if *c == '.' && before.is_some_and(char::is_ascii_digit) && after.is_some_and(char::is_ascii_digit) {
            faults.push("a decimal point".to_owned());
        }
    }
    // Capitals keep their accents: words that begin a sentence and would have one.
    for bare in [
        "A ", "Eteindre", "Etouffer", "Eviter", "Oter", "Eloigner", "Electro", "Eliminer", "Ecarter", "Etre", "Evacuer",
    ] {
        if text.starts_with(bare) || text.contains(&format!(". {bare}")) {
            faults.push(format!("`{bare}` without its accent"));
        }
    }
    // And words all in capitals.
    for bare in
        ["APRES", "DEGAGE", "ELIMINER", "ETIQUETTE", "EVITER", "MEDECIN", "REPETE", "A LA", "SECURITE", "PRECAUTION"]
    {
        if text
            .split(|c: char| !c.is_alphanumeric() && c != ' ')
            .any(|w| format!(" {w} ").contains(&format!(" {bare}")))
        {
            faults.push(format!("`{bare}` without its accent"));
        }
    }
    faults
}

#[test]
fn the_checker_finds_what_french_setting_forbids() {
    for (wrong, count) in [
        ("Attention: chaud", 1),
        ("Attention : chaud", 1),
        ("Attention\u{a0}: chaud", 0),
        ("«chaud»", 2),
        ("«\u{a0}chaud\u{a0}»", 0),
        ("Ne pas utiliser d'eau!", 2),
        ("Couper à 0.5\u{a0}cm", 1),
        ("Couper à 0,5\u{a0}cm", 0),
        ("Eteindre la flamme.", 1),
        ("Éteindre la flamme.", 0),
    ] {
        assert_eq!(faults(wrong).len(), count, "{wrong}: {:?}", faults(wrong));
    }
}

#[test]
fn french_words_of_the_rules_are_set_as_french() {
    let french: Vec<_> = law::builtin().wording.iter().filter(|w| w.lang == Lang::Fr).collect();
    assert!(french.len() > 40);
    for word in french {
        for text in word.accept.iter().copied().chain([word.text]) {
            assert_eq!(faults(text), Vec::<String>::new(), "{}: {text}", word.key);
        }
        let canada = word.text_in(Market::Ca);
        assert_eq!(faults_in_canada(canada), Vec::<String>::new(), "{}: {canada}", word.key);
    }
}

/// Every French statement of the law on chemicals (Regulation (EC) 1272/2008, Annexes III and IV), set as a label sets it.
#[test]
fn every_french_statement_of_hazard_is_set_as_french() {
    let mut looked = 0;
    for code in statements::codes() {
        let Some(text) = statements::statement(code, "fr") else { continue };
        let set = plan::in_french(text, Market::Eu);
        assert_eq!(faults(&set), Vec::<String>::new(), "{code}: {set}");
        let letters = |t: &str| t.chars().filter(|c| c.is_alphanumeric()).collect::<String>();
        assert_eq!(letters(&set), letters(text), "{code}: the law's words are kept");
        looked += 1;
    }
    assert!(looked > 80, "{looked}");
}

/// All that the program prints in French for any sample in any market with French, figures put in, also broken ones.
#[test]
fn figures_in_french_have_a_comma() {
    let mut looked = 0;
    for (id, market) in [("tidewrack", Market::Ca), ("tidewrack", Market::CaQc), ("sea-thrift", Market::Eu)] {
        let text = source(&format!("products/{id}.yaml")).unwrap().text.replace("session: 4 h", "session: 3.5 h");
        let product = read(id, &Arc::new(Source { name: format!("{id}.yaml"), text }));
        for requirement in needs(&product, market, None).requirements {
            // The net quantity is one figure for both languages in Canada, whose law speaks of the `point décimal`.
            let own = !matches!(requirement.block, BlockName::Maker | BlockName::Lot | BlockName::NetQuantity);
            if let Some(french) = requirement.texts.get(&Lang::Fr).filter(|_| own) {
                let set = plan::in_french(french, market);
                let wrong = if market == Market::Eu { faults(&set) } else { faults_in_canada(&set) };
                assert_eq!(wrong, Vec::<String>::new(), "{}: {set}", requirement.id);
                looked += usize::from(set.contains("3,5\u{a0}h"));
            }
        }
    }
    assert_eq!(looked, 3);
}

#[test]
fn french_statements_as_printed_are_set_as_french() {
    let mut looked = 0;
    for product in samples() {
        for market in product.markets.iter().filter(|m| matches!(m, Market::Eu)) {
            let name = product.label.template.as_deref().unwrap();
            let template = template::read(&template::built_in(name).unwrap()).unwrap();
            let plan = plan::of(&needs(&product, *market, Some("26329A4")), &template).unwrap();
            let blocks = plan.parts.iter().flat_map(|p| &p.rows).flat_map(|r| &r.cells).map(|c| &c.block);
            // Addresses and codes are the maker's and the law's own, the same in every language.
            for item in blocks.filter(|b| !matches!(b.name, BlockName::Maker | BlockName::Lot)).flat_map(|b| &b.items) {
                if let Content::Text { text, lang: Lang::Fr } = &item.content {
                    looked += 1;
                    assert_eq!(faults(text), Vec::<String>::new(), "{}: {text}", item.id);
                }
            }
        }
    }
    assert!(looked > 20, "{looked}");
}
