//! From the classes of a mixture to what its label shows: pictograms, signal word, hazard and supplemental statements.
//!
//! Part of `hazard`, after the classification. Articles 17 to 32 of Regulation (EC) 1272/2008; the same in Great Britain
//! except where [`Law`] says otherwise.

use super::elements::{self, Element};
use super::statements::Signal;
use crate::find::{Finding, Level, Severity};
use crate::trade::{Evidence, Ghs, words};

words! {
    /// Whose CLP.
    Law {
        /// European Union and Northern Ireland.
        Eu = "eu",
        /// Great Britain: none of the classes of Regulation (EU) 2023/707, no UFI.
        Gb = "gb",
    }
}

/// Pictograms, signal word and hazard statements.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Elements {
    /// By number, after the precedence of Article 26.
    pub pictograms: Vec<Ghs>,
    /// `Danger` drives out `Warning` (Article 20(3)).
    pub signal: Option<Signal>,
    /// By number, without duplicates (Article 27).
    pub hazard: Vec<String>,
}

/// One class of the mixture with its row of the table.
#[derive(Debug, Clone, Copy)]
pub(super) struct Classed<'a> {
    pub class: &'a str,
    pub h: &'a str,
    pub row: &'static Element,
}

/// Finds the row of each class; those Great Britain does not have are left out.
///
/// # Errors
/// A class or statement that does not exist, or do not belong together: all of them.
pub(super) fn classed<'a>(classes: &[(&'a str, &'a str)], law: Law) -> Result<Vec<Classed<'a>>, Vec<Finding>> {
    let (mut found, mut wrong) = (Vec::new(), Vec::new());
    for (class, h) in classes {
        match elements::of(class, h) {
            // Statements of Regulation (EU) 2023/707 are the only EUH that belong to a class.
            Ok(row) if law == Law::Gb && row.h.starts_with("EUH") => {}
            Ok(row) => found.push(Classed { class, h: h.trim().trim_end_matches('*').trim_end(), row }),
            Err(finding) => wrong.push(finding),
        }
    }
    if wrong.is_empty() { Ok(found) } else { Err(wrong) }
}

/// The elements for these classes, given as class and statement: `("Skin Sens. 1", "H317")`.
///
/// # Errors
/// A class or statement that does not exist, or do not belong together.
///
/// ```
/// use waxbill::hazard::label::{Law, elements};
/// let label = elements(&[("Skin Sens. 1", "H317"), ("Aquatic Acute 1", "H400"), ("Aquatic Chronic 2", "H411")], Law::Eu);
/// assert_eq!(label.unwrap().hazard, ["H317", "H410"]);
/// ```
pub fn elements(classes: &[(&str, &str)], law: Law) -> Result<Elements, Vec<Finding>> {
    let classed = classed(classes, law)?;
    Ok(Elements {
        pictograms: pictograms(&classed),
        signal: classed.iter().filter_map(|c| c.row.signal).max(),
        hazard: hazard(&classed),
    })
}

/// Article 26.
fn pictograms(classed: &[Classed]) -> Vec<Ghs> {
    let has = |ghs| classed.iter().any(|c| c.row.pictograms.contains(&ghs));
    let respiratory = classed.iter().any(|c| c.row.h == "H334");
    let mut due: Vec<Ghs> = Vec::new();
    for Classed { row, .. } in classed {
        for &ghs in &row.pictograms {
            let irritates = matches!(row.h, "H315" | "H319");
            let out = match ghs {
                // (1)(a): optional beside GHS01, but where one class asks for both.
                Ghs::Flame | Ghs::FlameOverCircle => has(Ghs::Bomb) && !row.pictograms.contains(&Ghs::Bomb),
                // (1)(e): optional beside GHS02 or GHS06.
                Ghs::GasCylinder => has(Ghs::Flame) || has(Ghs::Skull),
                // (1)(b); (c) for skin and eye irritation; (d) for these and skin sensitisation.
                Ghs::Exclamation => {
                    has(Ghs::Skull)
                        || (irritates && has(Ghs::Corrosion))
                        || (respiratory && (irritates || row.h == "H317"))
                }
                _ => false,
            };
            if !out {
                due.push(ghs);
            }
        }
    }
    due.sort_unstable();
    due.dedup();
    due
}

/// Article 27: all statements but those that plainly say again what another says.
fn hazard(classed: &[Classed]) -> Vec<String> {
    let mut codes: Vec<&str> = classed.iter().map(|c| c.h).collect();
    codes.sort_by_key(|code| (code.starts_with("EUH"), *code));
    codes.dedup();
    // Table 3.3.5, footnote: severe burns say eye damage too.
    if codes.contains(&"H314") {
        codes.retain(|c| *c != "H318");
    }
    // As Annex VI labels them: very toxic at once and lasting is H410, whatever the lasting class.
    let lasting = ["H411", "H412", "H413"];
    if codes.contains(&"H400")
        && let Some(at) = codes.iter().position(|c| lasting.contains(c))
    {
        codes[at] = "H410";
    }
    if codes.contains(&"H410") {
        codes.retain(|c| *c != "H400" && !lasting.contains(c));
    }
    codes.into_iter().map(str::to_owned).collect()
}

/// Sensitisers at or above the limit of elicitation (Table 3.4.6), as the label has to tell them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sensitisers {
    /// None to tell.
    None,
    /// The sentence EUH208 with their names: the mixture itself is not classified as sensitising.
    Sentence,
    /// Only their names: it is.
    Names,
}

/// How sensitisers in the mixture are told (Annex II, 2.8). `any` says whether there is one at or above its limit.
#[must_use]
pub fn sensitisers(classes: &[(&str, &str)], any: bool) -> Sensitisers {
    let classified = classes.iter().any(|(_, h)| matches!(h.trim(), "H317" | "H334"));
    match (any, classified) {
        (false, _) => Sensitisers::None,
        (true, true) => Sensitisers::Names,
        (true, false) => Sensitisers::Sentence,
    }
}

/// Whether the words "Safety data sheet available on request" are due (EUH210; Annex II, 2.10): only for an unclassified
/// mixture not meant for the public, with a sensitiser, carcinogen or other substance above the limits there.
#[must_use]
pub fn data_sheet_on_request(classes: &[(&str, &str)], public: bool, above_limit: bool) -> bool {
    classes.is_empty() && !public && above_limit
}

/// Whether a UFI is printed: classified for health or physical hazards, in the Union or Northern Ireland (Annex VIII,
/// Article 45). Not for what is only dangerous to the environment, nor only carries EUH208.
///
/// ```
/// use waxbill::hazard::label::{Law, ufi_due};
/// assert!(ufi_due(&[("Skin Sens. 1", "H317")], Law::Eu));
/// assert!(!ufi_due(&[("Aquatic Chronic 3", "H412")], Law::Eu));
/// assert!(!ufi_due(&[("Skin Sens. 1", "H317")], Law::Gb));
/// ```
#[must_use]
pub fn ufi_due(classes: &[(&str, &str)], law: Law) -> bool {
    // Physical, health, and endocrine disruption in humans (Annex I, Parts 2 and 3).
    law == Law::Eu && classes.iter().any(|(_, h)| ["H2", "H3", "EUH38"].iter().any(|part| h.trim().starts_with(part)))
}

/// Remarks on what the elements rest on: rows known only from memory.
///
/// # Errors
/// As [`elements()`].
pub fn remarks(classes: &[(&str, &str)], law: Law) -> Result<Vec<Finding>, Vec<Finding>> {
    let mut notes = Vec::new();
    for c in classed(classes, law)? {
        for (what, seen) in [("label elements", c.row.elements), ("precautionary statements", c.row.precaution)] {
            if seen == Evidence::Memory {
                notes.push(Finding::of(
                    "hazard/unread",
                    Level::Note,
                    Severity::Advice,
                    Some(seen),
                    format!("the {what} of `{}`, `{}` are remembered, not read", c.class, c.h),
                    "compare with Annex I of the regulation or section 2 of a safety data sheet",
                ));
            }
        }
        if c.row.precautionary().next().is_none() {
            notes.push(Finding::of(
                "hazard/precaution-unknown",
                Level::Warning,
                Severity::Advice,
                Some(c.row.precaution),
                format!("the precautionary statements of `{}` are not in the table", c.class),
                "take them from Annex I of the regulation and give them yourself",
            ));
        }
    }
    Ok(notes)
}
