//! What the mixture's hazard puts on the label in the European Union, Northern Ireland and Great Britain.

use crate::find::{Finding, Level, Severity};
use crate::hazard::label::{self, Law};
use crate::hazard::pack::{self, Relief};
use crate::hazard::precaution::{self, Choice};
use crate::hazard::{Classification, Mixture, Reason, Rules, State, Whole, classify, statements};
use crate::product::Product;
use crate::recipe;
use crate::trade::{Evidence, Lang, Market};
use jiff::civil::Date;

/// A classified product and the elements of its label.
#[derive(Debug, Clone)]
pub struct Hazards {
    /// Classes with their reasons.
    pub found: Classification,
    /// Pictograms, signal word, statements, names.
    pub whole: Whole,
    /// Precautionary statements: the maker's own choice where there is one.
    pub precautions: Vec<Choice>,
    /// What may be left out where a package of up to 125 ml has no room; empty for a larger one.
    pub may_go: Relief,
    /// Whether that is left out of this label.
    pub relieved: bool,
}

/// The rules of classification of a market; `None` where its labels carry no such elements.
#[must_use]
pub const fn rules_of(market: Market) -> Option<Rules> {
    match market {
        Market::Eu | Market::Ni => Some(Rules::Clp),
        Market::Gb => Some(Rules::ClpGb),
        Market::Us | Market::Ca | Market::CaQc => None,
    }
}

impl Hazards {
    /// Classifies the product as the recipe states it, or `weighed` as it was really put together.
    ///
    /// # Errors
    /// What stops it: a composition that is missing, a class that does not exist, goods that may not go to the public.
    pub fn of(
        product: &Product,
        rules: Rules,
        date: Date,
        weighed: Option<&Mixture>,
    ) -> Result<(Self, Vec<Finding>), Vec<Finding>> {
        let (stated, mut findings) = recipe::mixture(product)?;
        let mixture = weighed.unwrap_or(&stated);
        let found = classify(mixture, rules, date);
        let barred = found.not_for_the_public();
        if !barred.is_empty() {
            return Err(barred.iter().map(|c| not_for_the_public(product, &c.to_string(), &c.because)).collect());
        }
        let whole = Whole::of(&found, State::Solid)?;
        let mut precautions = whole.precautions.clone();
        if !product.precautions.is_empty() {
            let own: Vec<&str> = product.precautions.iter().map(|p| p.value.as_str()).collect();
            let kind = precaution::Product { law: whole.law, public: true, solid: true };
            let place = product.places.of("precautionary statements");
            precautions = precaution::check(&own, None, &whole.pairs(), kind)
                .map_err(|f| f.into_iter().map(|f| f.at(place, "chosen here")).collect::<Vec<_>>())?;
        }
        for warning in &found.warnings {
            findings.push(Finding::of(
                "hazard/to-know",
                Level::Note,
                Severity::Advice,
                Some(Evidence::Derived),
                warning.clone(),
                "look it up in section 3 of the safety sheet, or ask the supplier",
            ));
        }
        findings.extend(label::remarks(&whole.pairs(), whole.law).unwrap_or_else(|f| f));
        Ok((Self { found, whole, precautions, may_go: Relief::default(), relieved: false }, findings))
    }

    /// Notes what of this label may go on a small package (Annex I, 1.5.2.1), and leaves it out when the maker says that
    /// nothing else makes room.
    pub(super) fn relieve(&mut self, no_room: bool) {
        let Ok(relief) = pack::small(&self.whole.pairs(), self.whole.law, true) else { return };
        let chosen = |code: &&String| self.precautions.iter().any(|p| p.code == code.as_str());
        let precautionary: Vec<String> = relief.precautionary.iter().filter(chosen).cloned().collect();
        self.may_go = Relief { hazard: relief.hazard, precautionary };
        if no_room && !self.may_go.is_empty() {
            self.whole.elements.hazard.retain(|h| !self.may_go.hazard.contains(h));
            self.precautions.retain(|p| !self.may_go.precautionary.iter().any(|code| code == p.code));
            self.relieved = true;
        }
    }

    /// Whether a hazard statement stands on the label.
    #[must_use]
    pub fn has_statement(&self) -> bool {
        !self.hazard_codes().is_empty()
    }

    /// Whether it has a class.
    #[must_use]
    pub fn is_classified(&self) -> bool {
        !self.found.classes.is_empty()
    }

    /// Whether anything of it stands on the label: a class, or EUH208 alone (Article 25(6)).
    #[must_use]
    pub fn has_text(&self) -> bool {
        self.is_classified() || !self.found.euh().is_empty()
    }

    /// Whether a unique formula identifier is due.
    #[must_use]
    pub fn ufi_due(&self) -> bool {
        self.whole.law == Law::Eu && label::ufi_due(&self.whole.pairs(), self.whole.law)
    }

    /// What stands for a placeholder in this language; `None` when nothing does.
    #[must_use]
    pub fn value(&self, placeholder: &str, lang: Lang) -> Option<String> {
        let lang = lang.word();
        let joined = |codes: &[String]| -> Option<String> {
            let texts: Option<Vec<String>> =
                codes.iter().map(|code| statements::printed(code, lang, &self.sensitisers(), &[]).ok()).collect();
            texts.filter(|t| !t.is_empty()).map(|t| t.join(" "))
        };
        match placeholder {
            "signal word" => Some(statements::signal(self.whole.elements.signal?, lang)?.0.to_owned()),
            "hazard statements" => joined(&self.hazard_codes()),
            "precautionary statements" => joined(&self.precautions.iter().map(Choice::worded).collect::<Vec<_>>()),
            "supplemental statements" => joined(&self.supplemental_codes()),
            "hazard names" => {
                let names = self.whole.names.printed.join(", ");
                // The word for "contains" in this language stands at the head of EUH208.
                let sentence = statements::printed("EUH208", lang, &names, &[]).ok()?;
                let end = sentence.find(&names)? + names.len();
                (!names.is_empty()).then(|| format!("{}.", &sentence[..end]))
            }
            _ => None,
        }
    }

    /// Hazard statements of the label; those that begin with EUH are supplemental.
    fn hazard_codes(&self) -> Vec<String> {
        self.whole.elements.hazard.iter().filter(|c| !c.starts_with("EUH")).cloned().collect()
    }

    fn supplemental_codes(&self) -> Vec<String> {
        self.found.euh()
    }

    fn sensitisers(&self) -> String {
        self.found.euh208.iter().map(Reason::name).collect::<Vec<_>>().join(", ")
    }
}

fn not_for_the_public(product: &Product, class: &str, because: &[Reason]) -> Finding {
    let names = because.iter().map(Reason::name).collect::<Vec<_>>().join("`, `");
    Finding::of(
        "hazard/not-for-the-public",
        Level::Error,
        Severity::Required,
        Some(Evidence::Law),
        format!("the candle would be classified `{class}` because of `{names}`, and such goods may not be sold to the public"),
        "change the fragrance or lower its load; no label is made for this",
    )
    .at(product.places.of("recipe"), "this recipe")
}
