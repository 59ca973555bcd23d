//! All a label shows of a classification: elements, precautionary statements and names together; last of `hazard`.

use super::label::{self, Elements, Law};
use super::names::{Contributor, Names, names};
use super::precaution::{self, Choice};
use super::{Classification, Rules, State};
use crate::find::Finding;

/// What follows for the label from a classification.
#[derive(Debug, Clone)]
pub struct Whole {
    /// Whose law.
    pub law: Law,
    /// The classes as pairs of abbreviation and statement: `("Skin Sens. 1", "H317")`.
    pub rows: Vec<(&'static str, String)>,
    /// Pictograms, signal word, hazard statements.
    pub elements: Elements,
    /// Precautionary statements, chosen.
    pub precautions: Vec<Choice>,
    /// Substances to name (Article 18(3)).
    pub names: Names,
}

impl Whole {
    /// Works it out for goods sold to the public.
    ///
    /// # Errors
    /// A class or statement that does not exist, or do not belong together.
    pub fn of(found: &Classification, state: State) -> Result<Self, Vec<Finding>> {
        let law = if found.rules == Rules::ClpGb { Law::Gb } else { Law::Eu };
        // Category 5 of the UN system has no row: CLP does not know it.
        let classes = found.classes.iter().filter(|c| c.class.is_of(Rules::Clp));
        let rows: Vec<(&'static str, String)> = classes.map(|c| (c.class.abbreviation(), c.code.clone())).collect();
        let pairs: Vec<(&str, &str)> = rows.iter().map(|(class, code)| (*class, code.as_str())).collect();
        let product = precaution::Product { law, public: true, solid: state == State::Solid };
        let (elements, precautions) = (label::elements(&pairs, law)?, precaution::choose(&pairs, product)?);
        Ok(Self { law, elements, precautions, names: chosen(found, law), rows })
    }

    /// The classes in the shape the functions of this room take.
    #[must_use]
    pub fn pairs(&self) -> Vec<(&str, &str)> {
        self.rows.iter().map(|(class, code)| (*class, code.as_str())).collect()
    }
}

/// The names of Article 18(3), from the reasons of the classes and the sensitisers beside them.
fn chosen(found: &Classification, law: Law) -> Names {
    let mut contributors: Vec<Contributor<'_>> = Vec::new();
    let reasons = found.classes.iter().flat_map(|c| c.because.iter().map(move |r| (r, Some(c.code.as_str()))));
    for (reason, code) in reasons.chain(found.also_named.iter().map(|r| (r, None))) {
        let at = contributors.iter().position(|c| c.name == reason.name()).unwrap_or_else(|| {
            let content = reason.content.to_parts();
            contributors.push(Contributor { name: reason.name(), causes: Vec::new(), elicits: false, content });
            contributors.len() - 1
        });
        let contributor = &mut contributors[at];
        match code {
            Some(code) => contributor.causes.push(code),
            None => contributor.elicits = true,
        }
    }
    names(&contributors, law)
}
