//! What is looked for on the label: each required statement in each language, in every wording that counts. Part of `review`.

use super::Desk;
use super::data;
use crate::hazard::precaution::Choice;
use crate::hazard::statements;
use crate::law;
use crate::require::{Occasion, Requirement};
use crate::trade::{BlockName, Lang};

/// How a statement is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// By its words.
    Words,
    /// By its figures, where the words are others.
    Net,
    /// A lot code.
    Lot,
    /// Names of substances, in any order.
    Names,
}

/// One thing looked for.
pub struct Task<'a> {
    /// The requirement behind it.
    pub requirement: &'a Requirement,
    /// In this language.
    pub lang: Lang,
    /// Which of several statements of the requirement: `H317`.
    pub piece: Option<String>,
    /// Wordings that count, ours first.
    pub texts: Vec<String>,
    /// How it is judged.
    pub kind: Kind,
}

/// Statements of net quantity.
const NET: &[&str] = &[
    "net weight",
    "net count and weight",
    "net size",
    "net count and size",
    "net count and length",
    "net count and length each",
    "net metric",
    "net count",
];

/// Everything that words are to be found for.
pub fn all<'a>(desk: &Desk<'a>) -> Vec<Task<'a>> {
    let mut tasks = Vec::new();
    let wordy = |r: &&Requirement| r.signs.is_empty() && !matches!(r.block, BlockName::ShippingBox | BlockName::Code);
    for requirement in desk.needs.requirements.iter().filter(wordy) {
        for (n, lang) in desk.needs.languages.iter().enumerate() {
            let Some(text) = requirement.texts.get(lang) else { continue };
            // What is the same in several languages stands once.
            if desk.needs.languages[..n].iter().any(|l| requirement.texts.get(l) == Some(text)) {
                continue;
            }
            of(desk, requirement, *lang, text, &mut tasks);
        }
    }
    tasks
}

fn of<'a>(desk: &Desk<'a>, requirement: &'a Requirement, lang: Lang, text: &str, tasks: &mut Vec<Task<'a>>) {
    let mut add = |piece: Option<String>, texts: Vec<String>, kind: Kind| {
        tasks.push(Task { requirement, lang, piece, texts, kind });
    };
    let statement = requirement.statement;
    if let Some(codes) = codes(desk, statement) {
        for code in codes {
            let names = desk.sensitisers().join(", ");
            let Ok(text) = statements::printed(&code, lang.word(), &names, &[]) else { continue };
            if code == "EUH208" {
                // The names may stand in any order; the sentence after them is fixed.
                let fixed = text.split_once(&names).map_or(text.as_str(), |(_, rest)| rest).trim_matches(['.', ' ']);
                let fixed = fixed.to_owned();
                add(Some(code), vec![text, fixed], Kind::Names);
            } else {
                add(Some(code), vec![text], Kind::Words);
            }
        }
        return;
    }
    let wording = desk.book.wording(lang, statement);
    let template = wording.map_or("", |w| w.text);
    let mut texts = vec![text.to_owned()];
    let at = Occasion { market: desk.needs.market, date: desk.needs.date, lot: desk.lot, weighed: None };
    let value = |name: &str| desk.needs.figures.value(name, desk.product, &at, lang);
    for other in wording.map_or(&[][..], |w| w.accept) {
        texts.extend(law::fill(other, value));
    }
    let kind = match statement {
        "hazard names" => Kind::Names,
        _ if template.contains("{lot}") => Kind::Lot,
        _ if NET.contains(&statement) => Kind::Net,
        _ => Kind::Words,
    };
    match statement {
        "phone" => texts.extend(telephone(text)),
        "maker address" | "postal address" => texts.extend(address(text)),
        "electronic address" => {
            let maker = &desk.product.workshop.maker;
            texts.extend([maker.email.clone(), maker.web.clone()].into_iter().flatten());
        }
        _ => {}
    }
    add(None, texts, kind);
}

/// The codes of a requirement that prints several official statements one after the other.
fn codes(desk: &Desk<'_>, statement: &str) -> Option<Vec<String>> {
    let hazards = desk.needs.figures.hazards.as_ref()?;
    Some(match statement {
        "hazard statements" => {
            hazards.whole.elements.hazard.iter().filter(|c| !c.starts_with("EUH")).cloned().collect()
        }
        "precautionary statements" => hazards.precautions.iter().map(Choice::worded).collect(),
        "supplemental statements" => hazards.found.euh(),
        _ => return None,
    })
}

/// A telephone number in the ways it is written: with or without the country's code, with hyphens, points or spaces.
fn telephone(text: &str) -> Vec<String> {
    let groups: Vec<&str> = text.split(|c: char| !c.is_ascii_digit()).filter(|g| !g.is_empty()).collect();
    let home = match groups.split_first() {
        Some((first, rest)) if text.trim_start().starts_with('+') && !rest.is_empty() => Some((*first, rest)),
        _ => None,
    };
    let mut out = Vec::new();
    for join in ["-", " ", "."] {
        out.push(groups.join(join));
        if let Some((code, rest)) = home {
            out.push(rest.join(join));
            out.push(format!("+{code} {}", rest.join(join)));
            if let [area, others @ ..] = rest {
                out.push(format!("({area}) {}", others.join(join)));
                out.push(format!("+{code} ({area}) {}", others.join(join)));
            }
        }
    }
    out
}

/// An address with its country in words instead of letters.
fn address(text: &str) -> Vec<String> {
    let Some((rest, code)) = text.rsplit_once(", ") else { return Vec::new() };
    data::countries().filter(|(c, _)| *c == code).map(|(_, name)| format!("{rest}, {name}")).collect()
}
