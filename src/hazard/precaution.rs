//! Precautionary statements: what the classes offer, the choice of at most six, and the check of the maker's own choice.
//!
//! Part of `hazard`, after `label`. Article 28 of Regulation (EC) 1272/2008 leaves the choice to the supplier; the order
//! here is this program's, meant to be changed in the product file.

use super::label::{Law, classed};
use super::statements::{self, Signal};
use crate::find::{Evidence, Finding, Level, Severity, nearest};

/// Article 28(3): as many statements as a label has, unless nature and severity of the hazards ask for more.
pub const MOST: usize = 6;

/// General statements for products of the public (Annex IV, Table 6.1); any label may carry them.
const GENERAL: [&str; 3] = ["P101", "P102", "P103"];

/// A statement with the reason it is there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// As in the law: `P302+P352`.
    pub code: &'static str,
    /// Which of its words fit, for [`statements::printed`] as `P280/skin`; empty where all of it does.
    pub variant: &'static str,
    /// Hazard statements of the classes that offer it; empty for the general ones.
    pub because: Vec<String>,
}

impl Choice {
    /// The code with its variant, as [`statements::printed`] takes it.
    #[must_use]
    pub fn worded(&self) -> String {
        if self.variant.is_empty() { self.code.to_owned() } else { format!("{}/{}", self.code, self.variant) }
    }
}

/// What a hazard statement asks for: always, and where there is room.
struct Wish {
    h: &'static [&'static str],
    always: &'static [&'static str],
    room: &'static [&'static str],
}

const fn wish(h: &'static [&'static str], always: &'static [&'static str], room: &'static [&'static str]) -> Wish {
    Wish { h, always, room }
}

/// Most severe first. Every code stands in the table of its class, which a test checks.
const WISHES: &[Wish] = &[
    wish(&["H300", "H301"], &["P301+P310", "P405"], &["P330"]),
    wish(&["H310"], &["P280", "P302+P352", "P310", "P405"], &[]),
    wish(&["H311"], &["P280", "P302+P352", "P312", "P405"], &[]),
    wish(&["H330"], &["P260", "P304+P340", "P310", "P405"], &[]),
    wish(&["H331"], &["P261", "P304+P340", "P311", "P405"], &[]),
    wish(&["H314", "H318"], &["P280", "P305+P351+P338", "P310"], &[]),
    wish(&["H304"], &["P301+P310", "P331", "P405"], &[]),
    wish(&["H334"], &["P261", "P304+P340", "P342+P311"], &[]),
    wish(&["H340", "H350", "H360"], &["P201", "P308+P313", "P405"], &[]),
    wish(&["H370"], &["P260", "P308+P311"], &["P405"]),
    wish(&["H372"], &["P260", "P314"], &[]),
    wish(&["EUH380"], &["P201", "P308+P313", "P405"], &[]),
    wish(&["H224", "H225", "H226"], &["P210"], &["P403+P235"]),
    wish(&["H228"], &["P210"], &[]),
    wish(&["H341", "H351", "H361", "EUH381"], &["P201", "P308+P313"], &[]),
    wish(&["H371"], &["P308+P311"], &["P260"]),
    wish(&["H373"], &["P314"], &["P260"]),
    wish(&["H362"], &["P263", "P308+P313"], &[]),
    wish(&["H317"], &["P302+P352", "P333+P313"], &["P280"]),
    wish(&["H319"], &["P305+P351+P338", "P337+P313"], &[]),
    wish(&["H315"], &["P302+P352"], &["P332+P313"]),
    wish(&["H302"], &["P301+P312"], &["P330"]),
    wish(&["H312"], &["P302+P352"], &["P312"]),
    wish(&["H332"], &["P304+P340"], &["P312"]),
    wish(&["H335", "H336"], &["P271", "P304+P340"], &["P312"]),
    wish(
        &["H400", "H410", "H411", "H412", "H413", "EUH430", "EUH431", "EUH440", "EUH441", "EUH450", "EUH451"],
        &["P273"],
        &["P391"],
    ),
];

/// What kind of product is labelled.
#[derive(Debug, Clone, Copy)]
pub struct Product {
    /// Whose law.
    pub law: Law,
    /// Sold to the general public.
    pub public: bool,
    /// A solid cannot be spilt: P391 is left out.
    pub solid: bool,
}

/// Every statement the classes offer, with who offers it, in the order of the codes.
///
/// # Errors
/// A class or statement that does not exist, or do not belong together.
pub fn candidates(classes: &[(&str, &str)], law: Law) -> Result<Vec<Choice>, Vec<Finding>> {
    let mut found: Vec<Choice> = Vec::new();
    for c in classed(classes, law)? {
        for code in c.row.precautionary() {
            match found.iter_mut().find(|f| f.code == code) {
                Some(choice) if choice.because.iter().any(|h| h == c.h) => {}
                Some(choice) => choice.because.push(c.h.to_owned()),
                None => found.push(Choice { code, variant: "", because: vec![c.h.to_owned()] }),
            }
        }
    }
    found.sort_by_key(|f| f.code);
    for choice in found.iter_mut().filter(|f| f.code == "P280") {
        choice.variant = protection(&choice.because);
    }
    Ok(found)
}

/// Which protection P280 means: for the skin, the eyes, or both; all of it where neither is meant alone.
fn protection(because: &[String]) -> &'static str {
    let any = |list: &[&str]| because.iter().any(|h| list.contains(&h.as_str()));
    match (any(&["H310", "H311", "H312", "H314", "H315", "H317"]), any(&["H314", "H318", "H319"])) {
        (true, false) => "skin",
        (false, true) => "eyes",
        (true, true) => "skin and eyes",
        (false, false) => "",
    }
}

/// The choice for these classes, in the order of the codes.
///
/// P102 leads and P501 closes for the public; between them the classes' wishes, most severe first, up to six; those of
/// classes with `Danger` are kept beyond six. P101 comes only where there is room. Nothing for an unclassified mixture.
///
/// # Errors
/// A class or statement that does not exist, or do not belong together.
///
/// ```
/// use waxbill::hazard::{label::Law, precaution::{Product, choose}};
/// let candle = Product { law: Law::Eu, public: true, solid: true };
/// let codes: Vec<_> = choose(&[("Skin Sens. 1", "H317"), ("Aquatic Chronic 3", "H412")], candle).unwrap();
/// let codes: Vec<_> = codes.iter().map(|c| c.code).collect();
/// assert_eq!(codes, ["P102", "P273", "P280", "P302+P352", "P333+P313", "P501"]);
/// ```
pub fn choose(classes: &[(&str, &str)], product: Product) -> Result<Vec<Choice>, Vec<Finding>> {
    let offered = candidates(classes, product.law)?;
    let classed = classed(classes, product.law)?;
    if classed.is_empty() {
        return Ok(Vec::new());
    }
    let disposal = classed.iter().flat_map(|c| c.row.disposal.iter().copied()).min().filter(|_| product.public);
    let room = MOST - usize::from(disposal.is_some());
    let mut codes: Vec<&'static str> = Vec::new();
    if product.public {
        codes.push("P102");
    }
    let wished = |wish: &Wish| {
        let of = classed.iter().filter(|c| wish.h.contains(&c.row.h));
        of.map(|c| c.row.signal == Some(Signal::Danger)).max()
    };
    let offers = |code: &str| offered.iter().any(|c| c.code == code);
    for wish in WISHES {
        let Some(danger) = wished(wish) else { continue };
        for code in wish.always.iter().filter(|c| offers(c)) {
            if !codes.contains(code) && (danger || codes.len() < room) {
                codes.push(code);
            }
        }
    }
    for wish in WISHES.iter().filter(|w| wished(w).is_some()) {
        for code in wish.room.iter().filter(|c| offers(c)) {
            let spilt = *code == "P391" && product.solid;
            // Advice on a rash covers irritation of the skin.
            let said = *code == "P332+P313" && codes.contains(&"P333+P313");
            if !codes.contains(code) && !spilt && !said && codes.len() < room {
                codes.push(code);
            }
        }
    }
    if product.public && codes.len() < room {
        codes.push("P101");
    }
    codes.extend(disposal);
    codes.sort_unstable();
    let general = |code| Choice { code, variant: "", because: Vec::new() };
    Ok(codes
        .into_iter()
        .map(|code| offered.iter().find(|c| c.code == code).cloned().unwrap_or_else(|| general(code)))
        .collect())
}

/// Takes the maker's own list instead, in the maker's order. A reason allows more than six.
///
/// # Errors
/// Codes that do not exist, that none of the classes offers, twice the same, no word on disposal for the public, or more
/// than six without a reason. Warnings come with the list.
pub fn check(
    own: &[&str],
    reason: Option<&str>,
    classes: &[(&str, &str)],
    product: Product,
) -> Result<Vec<Choice>, Vec<Finding>> {
    let offered = candidates(classes, product.law)?;
    let wrong = |id: &str, seen, message: String, cure: String| {
        Finding::of(id, Level::Error, Severity::Required, Some(seen), message, cure)
    };
    let known: Vec<&str> = offered.iter().map(|c| c.code).chain(GENERAL).collect();
    let (mut list, mut findings): (Vec<Choice>, Vec<Finding>) = (Vec::new(), Vec::new());
    for typed in own {
        let code: String = typed.chars().filter(|c| !c.is_whitespace()).collect::<String>().to_uppercase();
        if list.iter().any(|c| c.code == code) {
            let cure = "name it once".to_owned();
            findings.push(wrong("hazard/precaution-twice", Evidence::Law, format!("`{code}` stands twice"), cure));
        } else if let Some(choice) = offered.iter().find(|c| c.code == code) {
            list.push(choice.clone());
        } else if let Some(code) = GENERAL.into_iter().find(|g| *g == code) {
            list.push(Choice { code, variant: "", because: Vec::new() });
        } else if statements::statement(&code, "en").is_some() && code.starts_with('P') {
            let message = format!("none of the classes asks for `{code}`");
            let cure = format!("choose among `{}`", known.join("`, `"));
            findings.push(wrong("hazard/precaution-foreign", Evidence::Law, message, cure));
        } else {
            let code: String = typed.chars().take(40).collect();
            let all: Vec<&str> = statements::codes().collect();
            let cure = nearest(&code, &known)
                .or_else(|| nearest(&code, &all))
                .map_or_else(|| "write it as `P302+P352`".to_owned(), |n| format!("did you mean `{n}`?"));
            let message = format!("there is no precautionary statement `{code}`");
            findings.push(Finding::input("hazard/precaution-unknown", message, cure));
        }
    }
    if product.public
        && let Some(disposal) = offered.iter().find(|c| matches!(c.code, "P501" | "P502"))
        && !list.iter().any(|c| c.code == disposal.code)
    {
        let message = format!("a product for the public says how to dispose of it: `{}` is missing", disposal.code);
        let cure = format!("add `{}` (Article 28(2))", disposal.code);
        findings.push(wrong("hazard/precaution-disposal", Evidence::Law, message, cure));
    }
    if list.len() > MOST && reason.is_none_or(|r| r.trim().is_empty()) {
        let message = format!("{} precautionary statements are more than six", list.len());
        let cure = "leave out the least useful, or say why nature and severity of the hazards ask for more \
                    (Article 28(3))";
        findings.push(wrong("hazard/precaution-many", Evidence::Law, message, cure.to_owned()));
    }
    if findings.is_empty() { Ok(list) } else { Err(findings) }
}

#[cfg(test)]
mod tests {
    use super::{GENERAL, WISHES};
    use crate::hazard::elements;

    #[test]
    fn every_wish_is_offered_by_each_of_its_classes() {
        for wish in WISHES {
            for h in wish.h {
                let rows: Vec<_> = elements::all().iter().filter(|e| e.h == *h).collect();
                assert!(!rows.is_empty(), "{h}");
                for row in rows {
                    // Only Chronic 3 and 4 have no P391, only category 3 of `H301` is as `H300`.
                    for code in wish.always {
                        let offered = row.precautionary().any(|c| c == *code);
                        assert!(offered, "{} {h} does not offer {code}", row.class);
                    }
                    assert!(wish.room.iter().all(|c| !GENERAL.contains(c)));
                }
            }
        }
        // No class whose statements are in the table goes without a wish, but those for liquids and gases.
        for row in elements::all().iter().filter(|e| !e.prevention.is_empty()) {
            assert!(WISHES.iter().any(|w| w.h.contains(&row.h)) || row.h == "H290", "{}", row.class);
        }
    }
}
