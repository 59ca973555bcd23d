//! The rules in force, held against one product: every statement its label needs, and why.

use super::canada;
use super::checks;
use super::facts;
use super::figures::Figures;
use super::hazards::{Hazards, rules_of};
use crate::find::{Finding, Level};
use crate::hazard::Mixture;
use crate::law::{self, Book, Extent, Facts, GoesBy, Height, Rule};
use crate::product::Product;
use crate::product::logo::Printed;
use crate::trade::{BlockName, Evidence, Lang, Market, Measure, Severity, Sign};
use crate::unit::Length;
use jiff::civil::Date;
use serde::Serialize;
use std::collections::BTreeMap;

/// All that a label must carry in one market on one day.
#[derive(Debug, Clone, Serialize)]
pub struct Needs {
    /// The product's id.
    pub product: String,
    /// Name of the product, for titles.
    pub title: String,
    /// Where.
    pub market: Market,
    /// When.
    pub date: Date,
    /// Languages, the main one first.
    pub languages: Vec<Lang>,
    /// The figures computed.
    pub figures: Figures,
    /// The rule that two languages are measured by on the finished label, where there is one.
    #[serde(skip)]
    pub both_languages: Option<&'static Rule>,
    /// What is needed, in the order of the blocks.
    pub requirements: Vec<Requirement>,
    /// What is needed besides where the label folds open.
    #[serde(skip)]
    pub look_inside: Option<Requirement>,
    /// The maker's logo, which nobody asks for.
    #[serde(skip)]
    pub logo: Option<Printed>,
    /// What is wrong with the product under the rules.
    #[serde(skip)]
    pub findings: Vec<Finding>,
    /// On a small package with statements that may go: the same label without them, or with them where the maker left them
    /// out. Tells whether room is really what is wanting.
    #[serde(skip)]
    pub otherwise: Option<Box<Needs>>,
}

/// A statement this product needs in this market, with the reason.
#[derive(Debug, Clone, Serialize)]
pub struct Requirement {
    /// `us/fire-warning-messages#keep from children`.
    pub id: String,
    /// The rule.
    pub rule: &'static str,
    /// How strongly it binds.
    pub severity: Severity,
    /// How the rule is known.
    pub seen: Evidence,
    /// Key of the statement.
    pub statement: &'static str,
    /// The words in each language, with no-break spaces in place.
    pub texts: BTreeMap<Lang, String>,
    /// The safety alert symbol stands immediately before.
    pub alert_symbol: bool,
    /// Pictograms or signs instead of words; `least` is then the least side of each.
    pub signs: Vec<Sign>,
    /// Where it stands.
    pub block: BlockName,
    /// On the principal display panel.
    pub principal: bool,
    /// Not on the bottom of the container alone: the rule that says so.
    pub off_bottom: Option<&'static str>,
    /// Least height.
    pub least: Option<Length>,
    /// Measured on this letter.
    pub measure: Measure,
    /// The least height where all that the law asks for stands on the principal panel, if that changes it.
    pub least_on_panel: Option<(Length, Measure)>,
    /// In bold.
    pub bold: bool,
    /// Free space: times its height above and below, times the width of `N` at the sides.
    pub clear: Option<(u8, u8)>,
    /// In the lowest so many percent of the panel.
    pub lowest_percent: Option<u8>,
    /// One plain sentence.
    pub because: &'static str,
    /// Where the rule comes from.
    pub citation: String,
}

/// The rule whose pictograms come from the classification.
const PICTOGRAMS: &str = "eu/clp-pictograms";
/// The rule under which statements may go from a small package.
pub const SMALL_PACK: &str = "eu/clp-small-pack";
/// The rule that says how large the signs for use are.
const SIGN_HEIGHT: &str = "eu/candle-sign-height";

/// The least height of Canadian texts, and the rule that takes its place on a tiny surface.
const TEXT_HEIGHT: &str = "ca/text-height";
const SMALL_SURFACE: &str = "ca/text-height-small-surface";
/// The rule that tells whose words the French ones are.
const FRENCH_WORDS: &str = "policy/french-words";
/// What a label of two languages is measured by, in the order in which they are asked.
const LANGUAGES: [&str; 2] = ["ca-qc/french", "ca/equal-languages"];

/// For which market and day a label is made, and for which lot.
#[derive(Debug, Clone, Copy)]
pub struct Occasion<'a> {
    /// Where.
    pub market: Market,
    /// When: the rules in force on this day count.
    pub date: Date,
    /// The lot code to print, once there is one.
    pub lot: Option<&'a str>,
    /// The mixture as it was really weighed; else the recipe counts.
    pub weighed: Option<&'a Mixture>,
}

/// Works out the needs of `product` on an occasion, with the rules of `book`.
///
/// # Errors
/// When the mixture may not be sold or cannot be classified.
pub fn on(product: &Product, at: &Occasion<'_>, book: &Book) -> Result<Needs, Vec<Finding>> {
    let no_room = product.accept.iter().any(|a| a.rule == SMALL_PACK);
    let mut needs = with(product, at, book, no_room)?;
    if needs.figures.hazards.as_ref().is_some_and(|h| !h.may_go.is_empty()) {
        needs.otherwise = Some(Box::new(with(product, at, book, !no_room)?));
    }
    Ok(needs)
}

/// The needs with what may go from a small package, or without it.
fn with(product: &Product, at: &Occasion<'_>, book: &Book, no_room: bool) -> Result<Needs, Vec<Finding>> {
    let market = at.market;
    let mut figures = Figures::of(product);
    figures.of_market(product, market);
    let mut findings = Vec::new();
    if let Some(rules) = rules_of(market) {
        let (hazards, told) = Hazards::of(product, rules, at.date, at.weighed)?;
        figures.hazards = Some(hazards);
        findings.extend(told);
    }
    if let Some(hazards) = figures.hazards.as_mut().filter(|_| facts::small(product)) {
        hazards.relieve(no_room);
    }
    let facts = facts::of(product, &figures);
    let in_force: Vec<&'static Rule> =
        book.rules.iter().filter(|r| r.in_force(market, at.date) && r.holds(&facts)).collect();
    let languages =
        canada::one_language(product, market, &in_force).map_or_else(|| languages(market, product), |l| vec![l]);
    figures.add_usual(product, &in_force);
    let desk = Desk { product, figures: &figures, languages: &languages, in_force: &in_force, at, book };
    let mut requirements = Vec::new();
    for rule in &in_force {
        let Some(block) = rule.block.filter(|b| *b != BlockName::LookInside) else { continue };
        if let Some(note) = left_out(rule, product) {
            findings.push(note);
            continue;
        }
        requirements.extend(desk.signs(rule, block));
        for &statement in rule.needs {
            match desk.requirement(rule, block, statement) {
                Ok(requirement) => requirements.push(requirement),
                Err(finding) => findings.push(finding),
            }
        }
    }
    findings.extend(in_force.iter().find(|r| r.id == SMALL_PACK).and_then(|rule| gone(rule, product, &figures)));
    requirements.sort_by_key(|r| (r.block, r.signs.is_empty(), order_in(book, languages[0], r.statement)));
    // Whether the label folds open is for its template to say; where words are missing, they are missed there.
    let inside = in_force.iter().find(|r| r.block == Some(BlockName::LookInside));
    let look_inside = inside.and_then(|r| desk.requirement(r, BlockName::LookInside, r.needs.first()?).ok());
    checks::run(product, &figures, &in_force, at.date, &mut findings);
    if languages.contains(&Lang::Fr) {
        findings.extend(in_force.iter().find(|r| r.id == FRENCH_WORDS).map(|rule| unread_french(rule, product)));
    }
    let both_languages = LANGUAGES.iter().find_map(|id| in_force.iter().copied().find(|r| r.id == *id));
    findings.sort_by_key(|f| f.level);
    Ok(Needs {
        product: product.id.clone(),
        title: product.name.values().next().cloned().unwrap_or_default(),
        market,
        date: at.date,
        languages,
        figures,
        both_languages,
        requirements,
        look_inside,
        logo: product.logo.clone(),
        findings,
        otherwise: None,
    })
}

/// Advice the maker leaves out of the label with `accept` and a reason; nothing that law or standard asks for.
fn left_out(rule: &Rule, product: &Product) -> Option<Finding> {
    let accept = product.accept.iter().find(|a| a.rule == rule.id && rule.severity == Severity::Advice)?;
    let message = format!("left out of the label: {} (accepted: {})", rule.title, accept.because);
    Some(Finding::of(rule.id, Level::Note, rule.severity, Some(rule.seen()), message, "").at(&accept.place, "here"))
}

/// Said once to each label with French on it.
fn unread_french(rule: &Rule, product: &Product) -> Finding {
    let message =
        "the French sentences for safe use are this program's own, and nobody whose language it is has read them yet";
    let cure = "have them read before a print run; `docs/unverified.md` lists them";
    Finding::of(rule.id, Level::Note, rule.severity, Some(rule.seen()), message, cure)
        .at(product.places.of("markets"), "here")
}

/// The note on what is left out because the maker says that nothing makes room for it.
fn gone(rule: &Rule, product: &Product, figures: &Figures) -> Option<Finding> {
    let hazards = figures.hazards.as_ref().filter(|h| h.relieved)?;
    let accept = product.accept.iter().find(|a| a.rule == rule.id)?;
    let message = format!("left out of the label for want of room: {} ({})", hazards.may_go.codes(), accept.because);
    Some(Finding::of(rule.id, Level::Note, rule.severity, Some(rule.seen()), message, "").at(&accept.place, "here"))
}

/// Languages a label of this market needs: in the Union those of the countries it goes to, English and French first.
fn languages(market: Market, product: &Product) -> Vec<Lang> {
    match market {
        Market::Ca => vec![Lang::En, Lang::Fr],
        Market::CaQc => vec![Lang::Fr, Lang::En],
        Market::Us | Market::Gb | Market::Ni => vec![Lang::En],
        Market::Eu => {
            let mut languages: Vec<Lang> = product.countries.iter().flat_map(|c| c.languages.clone()).collect();
            languages.sort_by_key(|l| (*l != Lang::En, *l != Lang::Fr, *l));
            languages.dedup();
            if languages.is_empty() { vec![Lang::En] } else { languages }
        }
    }
}

/// Statements stand in the order in which the wording lists them.
fn order_in(book: &Book, lang: Lang, statement: &str) -> u32 {
    // A sign without words, the general warning, leads.
    if statement.is_empty() { 0 } else { book.wording(lang, statement).map_or(u32::MAX, |w| w.order) }
}

/// Everything that decides on one requirement.
struct Desk<'a> {
    product: &'a Product,
    figures: &'a Figures,
    languages: &'a [Lang],
    in_force: &'a [&'static Rule],
    at: &'a Occasion<'a>,
    book: &'a Book,
}

impl Desk<'_> {
    fn requirement(
        &self,
        rule: &'static Rule,
        block: BlockName,
        statement: &'static str,
    ) -> Result<Requirement, Finding> {
        let mut texts = BTreeMap::new();
        let mut alert_symbol = false;
        for lang in self.languages {
            let wording = self.book.wording(*lang, statement).ok_or_else(|| {
                let cure = format!("write them into `wording/{lang}.yaml` of the workshop, as your own words");
                self.wrong(rule, format!("there are no words for `{statement}` in the language `{lang}`"), cure)
            })?;
            alert_symbol |= wording.alert_symbol;
            let value = |name: &str| self.figures.value(name, self.product, self.at, *lang);
            let text = law::fill(wording.text_in(self.at.market), value).map_err(|name| {
                let message =
                    format!("`{statement}` cannot be written in the language `{lang}`: nothing stands for `{name}`");
                let cure =
                    format!("give it in the product file or the workshop; `waxbill explain {}` tells where", rule.id);
                self.wrong(rule, message, cure)
            })?;
            texts.insert(*lang, text);
        }
        let governing: Vec<&Rule> =
            self.in_force.iter().copied().filter(|r| r.governs(block, statement) || r.id == rule.id).collect();
        let (least, measure) = self.least(&governing)?;
        Ok(Requirement {
            id: format!("{}#{statement}", rule.id),
            rule: rule.id,
            severity: rule.severity,
            seen: rule.seen(),
            statement,
            texts,
            alert_symbol,
            signs: Vec::new(),
            block,
            principal: governing.iter().any(|r| r.principal),
            off_bottom: governing.iter().find(|r| r.off_bottom).map(|r| r.id),
            least,
            measure,
            least_on_panel: self.least_on_panel(&governing)?,
            bold: governing.iter().any(|r| r.bold),
            clear: governing.iter().find_map(|r| r.clear),
            lowest_percent: governing.iter().filter_map(|r| r.lowest_percent).min(),
            because: rule.because,
            citation: rule.citation(),
        })
    }

    /// The pictograms of the mixture, or the signs a rule asks for, as one requirement without words.
    fn signs(&self, rule: &'static Rule, block: BlockName) -> Option<Requirement> {
        let (signs, side): (Vec<Sign>, Option<Length>) = if rule.id == PICTOGRAMS {
            let elements = &self.figures.hazards.as_ref()?.whole.elements;
            (elements.pictograms.iter().map(|g| Sign::from(*g)).collect(), rule.figure("least side"))
        } else {
            let height = self.in_force.iter().find(|r| r.id == SIGN_HEIGHT).and_then(|r| r.figure("least"));
            (rule.symbols.to_vec(), height)
        };
        (!signs.is_empty()).then(|| Requirement {
            id: format!("{}#signs", rule.id),
            rule: rule.id,
            severity: rule.severity,
            seen: rule.seen(),
            statement: rule.needs.first().copied().unwrap_or(""),
            texts: BTreeMap::new(),
            alert_symbol: false,
            signs,
            block,
            principal: rule.principal,
            off_bottom: None,
            least: side,
            measure: Measure::Capital,
            least_on_panel: None,
            bold: false,
            clear: None,
            lowest_percent: None,
            because: rule.because,
            citation: rule.citation(),
        })
    }

    fn wrong(&self, rule: &Rule, message: String, cure: String) -> Finding {
        Finding::of(rule.id, Level::Error, rule.severity, Some(rule.seen()), message, cure)
            .at(&self.product.places.product, "in this product")
    }

    /// The greatest least height of all rules that govern a statement. Heights on different letters are compared by their
    /// figure: the letter is that of the greatest one.
    fn least(&self, governing: &[&Rule]) -> Result<(Option<Length>, Measure), Finding> {
        let mut found: Option<(Length, Measure)> = None;
        for rule in governing {
            let (least, measure) = match rule.height {
                Height::None => continue,
                Height::Least { least, measure } => (least, measure),
                Height::Table { name, measure } => {
                    let Some(extent) = self.extent(name) else {
                        let message = "the least height of letters follows from the size of the package, and the file does not give it";
                        let cure = "add `package: {box: {width: …, height: …}}` or the size of the candle";
                        return Err(self.wrong(rule, message.to_owned(), cure.to_owned()));
                    };
                    match self.book.height_by(name, extent) {
                        Some(band) => (band.least, measure),
                        None => continue,
                    }
                }
            };
            if found.is_none_or(|(l, _)| least > l) {
                found = Some((least, measure));
            }
        }
        Ok((found.map(|f| f.0), found.map_or(Measure::Capital, |f| f.1)))
    }

    /// C.R.C. c. 417, s. 16: on a tiny surface that carries everything, another height takes the place of the usual one.
    fn least_on_panel(&self, governing: &[&Rule]) -> Result<Option<(Length, Measure)>, Finding> {
        let small = self.in_force.iter().find(|r| r.id == SMALL_SURFACE);
        let Some(allowed) = small.and_then(|r| r.figure::<Length>("least")) else { return Ok(None) };
        if !governing.iter().any(|r| r.id == TEXT_HEIGHT) {
            return Ok(None);
        }
        let others: Vec<&Rule> = governing.iter().copied().filter(|r| r.id != TEXT_HEIGHT).collect();
        let (least, measure) = self.least(&others)?;
        let other = least.filter(|l| *l > allowed).map(|l| (l, measure));
        Ok(Some(other.unwrap_or((allowed, Measure::LowerO))))
    }

    /// What a table of heights goes by, for this product.
    fn extent(&self, table: &str) -> Option<Extent> {
        let product = self.product;
        Some(match self.book.goes_by(table)? {
            GoesBy::Panel => Extent::Panel(self.figures.panel.as_ref()?.area),
            GoesBy::Quantity => {
                Extent::Quantity(product.declared.unwrap_or_else(|| product.fill.mass().times(product.pieces)))
            }
            GoesBy::Capacity => Extent::Capacity(facts::capacity(product)),
        })
    }
}

/// Exceptions the maker wrote: an accepted warning becomes a note, advice on the label is left out; what the law asks for
/// stays; an unused exception is told.
///
/// Called last, when the findings of recipe and burn test have joined those of [`on`].
pub fn accepted(product: &Product, findings: &mut Vec<Finding>, book: &Book) {
    for accept in &product.accept {
        let mut used = false;
        for finding in findings.iter_mut().filter(|f| f.id == accept.rule) {
            used = true;
            if finding.level == Level::Warning {
                finding.level = Level::Note;
                finding.message = format!("{} (accepted: {})", finding.message, accept.because);
            }
        }
        if !used {
            let known = book.rule(&accept.rule);
            let (message, cure) = if known.is_some_and(|r| !r.needs.is_empty() && r.severity != Severity::Advice) {
                (
                    format!("`{}` is accepted here, and what it asks for stays on the label", accept.rule),
                    "take the exception out; only advice can be left out",
                )
            } else if known.is_some() {
                (
                    format!("`{}` is accepted here, and nothing was found under it", accept.rule),
                    "take the exception out",
                )
            } else {
                (format!("there is no rule `{}`", accept.rule), "copy the id from the finding you accept")
            };
            findings.push(
                Finding::of(
                    "file/unused-exception",
                    Level::Warning,
                    Severity::Policy,
                    Some(Evidence::Policy),
                    message,
                    cure,
                )
                .at(&accept.place, "here"),
            );
        }
    }
}

/// Facts of a product, for `explain` and tests.
#[must_use]
pub fn facts_of(product: &Product) -> Facts {
    facts::of(product, &Figures::of(product))
}
