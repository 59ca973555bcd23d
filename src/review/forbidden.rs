//! Statements that have no place on this product's label: those of other kinds, and hazard words it does not have. Part of `review`.

use super::Desk;
use super::fold;
use super::label::Page;
use super::search::{self, Hit};
use super::statement::Taken;
use super::told;
use crate::find::{Evidence, Finding, Level, Severity};
use crate::hazard::statements::{self, Signal};
use crate::law::{self, Rule};
use crate::require;
use crate::trade::Lang;

/// Rules whose words are judged elsewhere, or that hold whenever the maker wishes.
const ELSEWHERE: [&str; 1] = ["burn time"];

/// Judges what must not be there.
pub fn judge(desk: &Desk<'_>, taken: &mut Taken, findings: &mut Vec<Finding>) {
    let needed: Vec<String> =
        desk.needs.requirements.iter().flat_map(|r| r.texts.values()).map(|t| fold::words(t).concat()).collect();
    hazard_words(desk, &needed, taken, findings);
    hazard_codes(desk, findings);
    signal_words(desk, taken, findings);
    too_many_precautions(desk, findings);
    of_other_kinds(desk, &needed, taken, findings);
}

/// Languages a stranger's label may be in: those asked for, and English.
fn languages(desk: &Desk<'_>) -> Vec<Lang> {
    let mut languages = desk.needs.languages.clone();
    if !languages.contains(&Lang::En) {
        languages.push(Lang::En);
    }
    languages
}

/// The first place of a text in glyphs that serve nothing else. What a needed statement (folded, in `needed`) says as well may
/// stand again.
fn free<'p>(desk: &Desk<'p>, text: &str, needed: &[String], taken: &Taken) -> Option<(usize, &'p Page<'p>, Hit)> {
    let says = fold::words(text).concat();
    if needed.iter().any(|t| t.contains(&says)) {
        return None;
    }
    let letters = search::letters(text);
    desk.pages.iter().enumerate().find_map(|(n, page)| {
        let mut hits = search::find(page.rows(0), &letters).into_iter();
        hits.find(|h| !h.glyphs().any(|g| taken.contains(&(n, g)))).map(|h| (n, page, h))
    })
}

/// Words of a text: how many.
fn length(text: &str) -> usize {
    text.split_whitespace().count()
}

/// The longest stretch of a text between its placeholders.
fn fixed(text: &str) -> &str {
    let pieces = text.split(['{', '}', '<', '>', '…', '[', ']']).enumerate();
    let outside = pieces.filter(|(n, _)| n % 2 == 0 || !text.contains(['{', '<', '['])).map(|(_, p)| p.trim());
    // The first of those that are as long: `Burn at most`, not `at a time`.
    outside.reduce(|best, p| if length(p) > length(best) { p } else { best }).unwrap_or("")
}

/// Statements of rules that do not hold for this product: container text on a pillar, a cotton wick's trim on a wooden one.
fn of_other_kinds(desk: &Desk<'_>, needed: &[String], taken: &mut Taken, findings: &mut Vec<Finding>) {
    let facts = require::facts_of(desk.product);
    let asked = |statement: &str| desk.needs.requirements.iter().any(|r| r.statement == statement);
    let kind_of = |r: &&Rule| r.in_force(desk.needs.market, desk.needs.date) && !r.holds(&facts) && !r.needs.is_empty();
    for rule in desk.book.rules.iter().filter(kind_of) {
        for statement in rule.needs.iter().filter(|s| !asked(s) && !ELSEWHERE.contains(s) && !s.starts_with("net ")) {
            for lang in languages(desk) {
                let Some(wording) = desk.book.wording(lang, statement).filter(|w| !w.neutral) else { continue };
                let text = fixed(wording.text);
                // One or two words may stand on a label for other reasons.
                if length(text) < 3 {
                    continue;
                }
                let Some((n, page, hit)) = free(desk, text, needed, taken) else { continue };
                let fails = |fact, values: &&[&str]| facts.get(fact).is_none_or(|v| !values.contains(&v));
                let when: Vec<String> = rule
                    .applies
                    .iter()
                    .filter(|(fact, values)| fails(*fact, &&values[..]))
                    .map(|(fact, values)| format!("{fact} is {}", values.join(" or ")))
                    .collect();
                let message = format!("`{text}` has no place on this label: it is for goods whose {}", when.join(", "));
                let cure = "take it out; what does not fit the product makes the rest less believed";
                let finding = Finding::of(rule.id, Level::Warning, rule.severity, Some(rule.seen()), message, cure);
                findings.push(told::on(finding, page, hit.glyphs().next()));
                taken.extend(hit.glyphs().map(|g| (n, g)));
                break;
            }
        }
    }
}

/// Official hazard and supplemental statements the mixture does not have.
fn hazard_words(desk: &Desk<'_>, needed: &[String], taken: &mut Taken, findings: &mut Vec<Finding>) {
    let hazards = desk.needs.figures.hazards.as_ref();
    let mut own: Vec<String> = hazards.map_or_else(Vec::new, |h| h.whole.elements.hazard.clone());
    own.extend(hazards.map_or_else(Vec::new, |h| h.found.euh()));
    for lang in languages(desk) {
        let mut texts: Vec<(&str, &str)> = statements::codes()
            .filter(|c| (c.starts_with('H') || c.starts_with("EUH")) && !own.iter().any(|o| o == c))
            .filter_map(|c| Some((c, fixed(statements::statement(c, lang.word())?))))
            .filter(|(_, text)| length(text) >= 3)
            .collect();
        // The longest first: shorter ones stand within them.
        texts.sort_by_key(|(_, text)| std::cmp::Reverse(text.len()));
        for (code, text) in texts {
            let Some((n, page, hit)) = free(desk, text, needed, taken) else { continue };
            taken.extend(hit.glyphs().map(|g| (n, g)));
            let first = hit.glyphs().next();
            findings.push(told::on(not_ours(desk, code, text), page, first));
        }
    }
}

fn not_ours(desk: &Desk<'_>, code: &str, text: &str) -> Finding {
    let id = if code.starts_with("EUH") { "eu/clp-supplement" } else { "eu/clp-hazard-statements" };
    match law::rule(id).filter(|_| desk.needs.figures.hazards.is_some()) {
        Some(rule) => {
            let message = format!("`{text}` ({code}) is on the label, and the mixture does not call for it");
            let cure = "take it out, or bring the recipe and its safety sheets up to date; `waxbill classify` tells the classes";
            Finding::of(rule.id, Level::Error, rule.severity, Some(rule.seen()), message, cure)
                .instead("not there", text)
        }
        None => {
            let message =
                format!("`{text}` ({code}) is a statement of the law on chemicals of the EU and Great Britain");
            let cure = "take it out: this market has its own words";
            Finding::of("label/other-market", Level::Warning, Severity::Advice, Some(Evidence::Derived), message, cure)
        }
    }
}

/// The signal word that is not due: a label has one of them, and `Warning` does not stand where `Danger` does (CLP, Article
/// 20(3)). What heads another statement the label needs is none.
fn signal_words(desk: &Desk<'_>, taken: &Taken, findings: &mut Vec<Finding>) {
    let Some(own) = desk.needs.requirements.iter().find(|r| r.statement == "clp signal word") else { return };
    for lang in &desk.needs.languages {
        let Some(word) = own.texts.get(lang) else { continue };
        let both: Vec<&str> = [Signal::Danger, Signal::Warning]
            .into_iter()
            .filter_map(|signal| Some(statements::signal(signal, lang.word())?.0))
            .collect();
        let folded: Vec<String> = both.iter().flat_map(|w| fold::words(w)).collect();
        for other in both.iter().filter(|other| fold::words(other) != fold::words(word)) {
            let letters = search::letters(other);
            for (number, page) in desk.pages.iter().enumerate() {
                // In lines of signal words only; in a sentence it is a word like others.
                let alone = |h: &Hit| {
                    let row = page.rows(0).get(h.row);
                    row.is_some_and(|r| r.words.iter().all(|w| w.folded.is_empty() || folded.contains(&w.folded)))
                };
                let free = |h: &Hit| !h.glyphs().any(|g| taken.contains(&(number, g)));
                let mut hits = search::find(page.rows(0), &letters).into_iter();
                if let Some(hit) = hits.find(|h| alone(h) && free(h)) {
                    let message =
                        format!("`{other}` stands on the label, and the signal word of this mixture is `{word}`");
                    let cure = "take it out: a label has one signal word";
                    let finding = Finding::of(&own.id, Level::Error, own.severity, Some(own.seen), message, cure);
                    let finding = finding.instead(word.clone(), *other);
                    findings.push(told::on(finding, page, hit.glyphs().next()));
                }
            }
        }
    }
}

/// More precautionary statements than a label should have: not more than six, unless the hazards need them (CLP, Article 28(3)).
fn too_many_precautions(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    const MOST: usize = 6;
    let Some(hazards) = desk.needs.figures.hazards.as_ref() else { return };
    let Some(rule) = law::rule("eu/clp-precautionary-statements") else { return };
    for lang in &desk.needs.languages {
        let mut texts: Vec<(&str, &str)> = statements::codes()
            .filter(|c| c.starts_with('P'))
            .filter_map(|c| Some((c, fixed(statements::statement(c, lang.word())?))))
            .filter(|(_, text)| length(text) >= 3)
            .collect();
        texts.sort_by_key(|(_, text)| std::cmp::Reverse(text.len()));
        let (mut taken, mut codes) = (Taken::new(), Vec::new());
        for (code, text) in texts {
            let letters = search::letters(text);
            for (n, page) in desk.pages.iter().enumerate() {
                let hits = search::find(page.rows(0), &letters).into_iter();
                if let Some(hit) = hits.into_iter().find(|h| !h.glyphs().any(|g| taken.contains(&(n, g)))) {
                    taken.extend(hit.glyphs().map(|g| (n, g)));
                    codes.push(code);
                    break;
                }
            }
        }
        if codes.len() > MOST.max(hazards.precautions.len()) {
            codes.sort_unstable();
            let message = format!("{} precautionary statements stand on the label, more than {MOST}", codes.len());
            let cure = "keep those that the rules give for this mixture: `waxbill needs` lists them";
            let finding = Finding::of(rule.id, Level::Warning, rule.severity, Some(rule.seen()), message, cure);
            findings.push(finding.instead(format!("at most {MOST}"), codes.join(", ")));
            break;
        }
    }
}

/// Codes such as `H317`, `EUH208` or `UFI:` where nothing calls for them.
fn hazard_codes(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    let hazards = desk.needs.figures.hazards.as_ref();
    let own = |code: &str| {
        hazards.is_some_and(|h| {
            h.whole.elements.hazard.iter().chain(&h.found.euh()).any(|o| o.eq_ignore_ascii_case(code))
                || h.precautions.iter().any(|p| p.code.split('+').any(|c| c.eq_ignore_ascii_case(code)))
        })
    };
    let has_ufi = desk.needs.requirements.iter().any(|r| r.statement == "ufi");
    for page in desk.pages {
        for row in page.rows(0) {
            for word in &row.words {
                let code = word.folded.split('+').next().unwrap_or("").to_uppercase();
                let number = |text: &str| {
                    text.len() >= 3 && text.is_char_boundary(3) && text[..3].bytes().all(|b| b.is_ascii_digit())
                };
                let form = code.strip_prefix("EUH").is_some_and(number)
                    || code.strip_prefix('H').is_some_and(|r| number(r) && matches!(r.as_bytes()[0], b'2'..=b'4'))
                    || code
                        .strip_prefix('P')
                        .is_some_and(|r| number(r) && matches!(r.as_bytes()[0], b'1'..=b'5') && r.len() == 3);
                let known = form && statements::codes().any(|c| c == code);
                let stray = known && !own(&code);
                let ufi = code == "UFI" && !has_ufi;
                if !stray && !ufi {
                    continue;
                }
                let message = format!("`{}` is on the label, and nothing calls for it here", word.text);
                let cure =
                    "take it out; the law asks for words, and only for those that fit the mixture and the market";
                let finding = Finding::of(
                    "label/other-market",
                    Level::Warning,
                    Severity::Advice,
                    Some(Evidence::Derived),
                    message,
                    cure,
                );
                findings.push(told::on(finding, page, word.glyphs.first().copied()));
            }
        }
    }
}
