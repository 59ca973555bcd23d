//! Lot codes in words and in the code for telephones: check character, the right lot, modules and quiet zone. Part of `review`.

use super::label::Page;
use super::search::Hit;
use super::statement::Stand;
use super::{Desk, told};
use crate::find::{Evidence, Finding, Level, Severity};
use crate::inspect::{self, Code, Ground, SeenPage};
use crate::law;
use crate::lot::LotCode;
use crate::plan::{Content, Item, MODULE};
use crate::require::Requirement;
use crate::trade::{BlockName, Measure};
use crate::unit::Length;

/// A word that may be a lot code.
struct Token<'p> {
    page: &'p Page<'p>,
    index: usize,
    text: String,
    glyphs: Vec<usize>,
    row: usize,
    /// `Lot`, `Batch` or the like stands before it.
    named: bool,
}

/// Words that stand before a lot code.
pub const NAMES: [&str; 3] = ["lot", "batch", "charge"];

/// Every word of five figures and two or three further characters, and whatever stands after `Lot`.
fn tokens<'p>(desk: &Desk<'p>) -> Vec<Token<'p>> {
    let mut out = Vec::new();
    for (index, page) in desk.pages.iter().enumerate() {
        for (row, line) in page.rows(0).iter().enumerate() {
            for (n, word) in line.words.iter().enumerate() {
                let text: String = word.text.chars().filter(char::is_ascii_alphanumeric).collect();
                let named = n > 0 && NAMES.contains(&line.words[n - 1].folded.as_str());
                let figures = text.chars().take_while(char::is_ascii_digit).count();
                let like = figures == 5
                    && (6..=8).contains(&text.len())
                    && text.chars().nth(5).is_some_and(|c| c.is_ascii_alphabetic());
                // `a lot: 5 h` names no lot.
                let any = named && text.len() >= 3 && text.chars().filter(char::is_ascii_digit).count() >= 2;
                if like || any {
                    out.push(Token { page, index, text, glyphs: word.glyphs.clone(), row, named });
                }
            }
        }
    }
    out
}

/// Whether a lot code, or room to write one, stands on the label in other words than ours.
pub fn stands(desk: &Desk<'_>) -> Option<Stand> {
    let stand = |page: usize, row: usize, glyphs: Vec<usize>| Stand { page, hit: Hit { words: vec![glyphs], row } };
    if let Some(lot) = desk.lot {
        let same = |t: &&Token<'_>| LotCode::parse(&t.text).is_ok_and(|c| c.to_string() == lot);
        return tokens(desk).iter().find(same).map(|t| stand(t.index, t.row, t.glyphs.clone()));
    }
    if let Some(t) = tokens(desk).iter().find(|t| t.named || LotCode::parse(&t.text).is_ok()) {
        return Some(stand(t.index, t.row, t.glyphs.clone()));
    }
    for (index, page) in desk.pages.iter().enumerate() {
        for (row, line) in page.rows(0).iter().enumerate() {
            // Room to write one: a line or points after the word, or nothing else on its line.
            let blank = |w: &super::rows::Word| w.text.chars().all(|c| matches!(c, '_' | '.' | ':' | '…'));
            let room = |n: usize| {
                NAMES.contains(&line.words[n].folded.as_str())
                    && line.words.get(n + 1).map_or(line.words.len() == 1, blank)
            };
            if let Some(n) = (0..line.words.len()).find(|&n| room(n)) {
                return Some(stand(index, row, line.words[n].glyphs.clone()));
            }
        }
    }
    None
}

/// Codes that do not hold together, or name another lot.
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    for token in tokens(desk) {
        let place = |f: Finding| told::on(f, token.page, token.glyphs.first().copied());
        let ours = token.text.len() == 7 && token.text[..5].bytes().all(|b| b.is_ascii_digit());
        match LotCode::parse(&token.text) {
            Ok(code) => {
                if let Some(lot) = desk.lot.filter(|l| *l != code.to_string()) {
                    let Some(rule) = law::rule("policy/lot-code-check") else { continue };
                    let message = format!("the label names the lot `{code}`, and it is for another");
                    let mut finding =
                        told::under(rule, message, "print the code of this lot").instead(lot, code.to_string());
                    finding.level = Level::Error;
                    findings.push(place(finding));
                }
            }
            Err(wrong)
                if ours
                    || (token.named
                        && token.text.len() == 6
                        && token.text[..5].bytes().all(|b| b.is_ascii_digit())) =>
            {
                let Some(rule) = law::rule("policy/lot-code-check") else { continue };
                let mut finding = told::under(rule, wrong.message, wrong.cure);
                finding.level = Level::Error;
                findings.push(place(finding));
            }
            // Another maker's way to number lots, on a label that has ours.
            Err(_)
                if token.named
                    && desk.lot.is_some()
                    && tokens(desk).iter().any(|t| LotCode::parse(&t.text).is_ok()) =>
            {
                let Some(rule) = law::rule("policy/lot-code-check") else { continue };
                let message = format!("`{}` stands on the label as the number of another lot", token.text);
                findings.push(place(told::under(rule, message, "leave one code on it: that of this lot")));
            }
            Err(_) => {}
        }
    }
}

/// The code for telephones.
pub fn code(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    let codes = || desk.pages.iter().flat_map(|p| p.codes.iter().map(move |c| (p, c)));
    let asked = desk.needs.requirements.iter().find(|r| r.block == BlockName::Code);
    for (page, code) in codes() {
        let Some(seen) = page.seen else { continue };
        let at = Some((code.area.left, code.area.top));
        if let Some(lot) = desk.lot
            && let Some(other) = other_lot(&code.payload, lot)
            && let Some(rule) = law::rule("policy/lot-code-check")
        {
            let message = format!("the QR code names the lot `{other}`, and the label is for another");
            let mut finding =
                told::under(rule, message, "make the code for this lot").instead(lot, code.payload.clone());
            finding.level = Level::Error;
            findings.push(told::at(finding, page, at));
        } else if let Some((requirement, payload)) = asked.and_then(|r| Some((r, r.texts.values().next()?)))
            && !holds(desk, &code.payload, payload)
        {
            let message = "the QR code holds something else than this product and its lot".to_owned();
            let finding = Finding::of(
                &requirement.id,
                Level::Warning,
                requirement.severity,
                Some(requirement.seen),
                message,
                "make the code with what the product file asks for, or change `code` there",
            );
            findings.push(told::at(finding.instead(payload.clone(), code.payload.clone()), page, at));
        }
        if code.module < MODULE.to_mm_f64() - inspect::TOLERANCE
            && let Some(rule) = law::rule("policy/qr-module")
        {
            let finding = told::under(
                rule,
                "the modules of the QR code are too small".to_owned(),
                "make the code larger or its content shorter",
            )
            .instead(MODULE.least_in_mm(3), format!("{:.3} mm", code.module));
            findings.push(told::at(finding, page, at));
        }
        if let Some((_, what)) = inspect::disturbed(seen, code)
            && let Some(rule) = law::rule("policy/qr-code")
        {
            let cure = format!("leave 4 modules ({:.2} mm) free on all sides (ISO/IEC 18004)", 4.0 * code.module);
            findings.push(told::at(
                told::under(rule, format!("{what} stands in the quiet zone of the QR code"), cure),
                page,
                at,
            ));
        } else {
            findings.extend(ground(seen, code).map(|finding| told::at(finding, page, at)));
        }
    }
    let read = desk.pages.iter().any(|p| p.seen.is_some());
    if let Some(requirement) = asked.filter(|_| read && codes().next().is_none()) {
        findings.push(none(desk, requirement));
    }
}

/// A code that stands on a picture, or on what only the eye can tell the colours of.
fn ground(seen: &SeenPage, code: &Code) -> Option<Finding> {
    match inspect::ground_of_code(seen, code)? {
        Ground::Picture => {
            let cure = "lay a plain white field under it, 4 modules wider on all sides (ISO/IEC 18004)";
            law::rule("policy/qr-code").map(|rule| {
                told::under(rule, "the QR code stands on a picture, and its quiet zone with it".to_owned(), cure)
            })
        }
        Ground::Pattern => {
            let message = "the QR code stands on a gradient or pattern; whether it is plain and light was not told";
            let cure = "look yourself, and try the code with a telephone; a white field under it is sure to do";
            let (severity, seen) = (Severity::Policy, Some(Evidence::Policy));
            Some(Finding::of("label/not-read", Level::Note, severity, seen, message, cure))
        }
    }
}

/// A lot code in the payload that is not this lot's.
fn other_lot(payload: &str, lot: &str) -> Option<String> {
    let found: Vec<String> = payload
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|w| w.len() == 7)
        .filter_map(|w| LotCode::parse(w).ok())
        .map(|c| c.to_string())
        .collect();
    if found.iter().any(|f| f == lot) { None } else { found.into_iter().next() }
}

/// Whether the payload is the one asked for, or names the lot it is for or the product, and no other product: the name of the
/// maker stands in the codes of all of hers.
fn holds(desk: &Desk<'_>, payload: &str, asked: &str) -> bool {
    let text = payload.to_lowercase();
    let there = |part: &str| part.trim().len() > 2 && text.contains(&part.trim().to_lowercase());
    let maker = &desk.product.workshop.maker;
    let ours = desk.product.name.values().any(|n| there(n))
        || there(&desk.product.id)
        || maker.web.as_deref().is_some_and(|w| there(w.trim_start_matches("https://")));
    let lot = desk.lot.is_none_or(there);
    let alone = desk.lot.is_some_and(|lot| {
        let rest = text.replace(&lot.to_lowercase(), "").replace(&maker.name.to_lowercase(), "");
        rest.split(|c: char| !c.is_alphabetic()).all(|w| w.len() < 2 || NAMES.contains(&w))
    });
    payload == asked || (lot && (ours || alone))
}

/// No code that can be read. The product file asks for one, no law does.
fn none(desk: &Desk<'_>, requirement: &Requirement) -> Finding {
    let message = if desk.pages.iter().filter_map(|p| p.seen).any(|s| s.no_raster) {
        "whether there is a QR code could not be read".to_owned()
    } else {
        "no QR code can be read on the label".to_owned()
    };
    let cure = "add it, or write `label: {code: none}` into the product file if there is to be none";
    // A label may go without, so this is told and does not count.
    Finding::of(&requirement.id, Level::Note, requirement.severity, Some(requirement.seen), message, cure)
        .instead(requirement.texts.values().next().cloned().unwrap_or_default(), "no readable code")
}

/// An item of a plan for what has no words; used to measure signs.
pub fn item(requirement: &Requirement, content: Content) -> Item {
    Item {
        id: requirement.id.clone(),
        severity: requirement.severity,
        content,
        least: Length::mm(0),
        measure: Measure::Capital,
        bold: false,
        clear: None,
        lowest_percent: None,
    }
}
