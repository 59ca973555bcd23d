//! The rules in force, held against one product: every statement its label needs, and why.

use super::checks;
use super::facts;
use super::figures::Figures;
use crate::find::{Finding, Level};
use crate::law::{self, Book, Facts, Height, Rule};
use crate::product::Product;
use crate::trade::{BlockName, Evidence, Lang, Market, Measure, Severity};
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
    /// What is needed, in the order of the blocks.
    pub requirements: Vec<Requirement>,
    /// What is wrong with the product under the rules.
    #[serde(skip)]
    pub findings: Vec<Finding>,
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
    /// Where it stands.
    pub block: BlockName,
    /// On the principal display panel.
    pub principal: bool,
    /// Least height.
    pub least: Option<Length>,
    /// Measured on this letter.
    pub measure: Measure,
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

/// Markets whose rules are in this version.
pub const MARKETS: &[Market] = &[Market::Us];

/// Works out the needs of `product` in `market` on `date`, with the rules of `book`; `lot` is the code to print.
///
/// # Errors
/// A finding when there are no rules for the market yet.
pub fn on(date: Date, product: &Product, market: Market, lot: Option<&str>, book: &Book) -> Result<Needs, Finding> {
    if !MARKETS.contains(&market) {
        let known = MARKETS.iter().map(|m| format!("`{m}`")).collect::<Vec<_>>().join(", ");
        return Err(Finding::input(
            "file/market-without-rules",
            format!("there are no rules for the market `{market}` in this version"),
            format!("take it out of `markets`, or ask for one with `--market`; there are rules for {known}"),
        )
        .at(product.places.of("markets"), "asked for here"));
    }
    let mut figures = Figures::of(product);
    let facts = facts::of(product, &figures);
    let languages = languages(market);
    let in_force: Vec<&'static Rule> =
        book.rules.iter().filter(|r| r.in_force(market, date) && r.holds(&facts)).collect();
    figures.add_usual(product, &in_force);
    let mut findings = Vec::new();
    let mut requirements = Vec::new();
    for rule in &in_force {
        let Some(block) = rule.block else { continue };
        if let Some(note) = left_out(rule, product) {
            findings.push(note);
            continue;
        }
        for &statement in rule.needs {
            match requirement(rule, block, statement, &in_force, product, &figures, &languages, lot, book) {
                Ok(requirement) => requirements.push(requirement),
                Err(finding) => findings.push(finding),
            }
        }
    }
    requirements.sort_by_key(|r| (r.block, order_in(book, languages[0], r.statement)));
    checks::run(product, &figures, &in_force, date, &mut findings);
    findings.sort_by_key(|f| f.level);
    Ok(Needs {
        product: product.id.clone(),
        title: product.name.values().next().cloned().unwrap_or_default(),
        market,
        date,
        languages,
        figures,
        requirements,
        findings,
    })
}

/// Advice the maker leaves out of the label with `accept` and a reason; nothing that law or standard asks for.
fn left_out(rule: &Rule, product: &Product) -> Option<Finding> {
    let accept = product.accept.iter().find(|a| a.rule == rule.id && rule.severity == Severity::Advice)?;
    let message = format!("left out of the label: {} (accepted: {})", rule.title, accept.because);
    Some(Finding::of(rule.id, Level::Note, rule.severity, Some(rule.seen()), message, "").at(&accept.place, "here"))
}

/// Languages a label of this market needs.
const fn languages_of(market: Market) -> &'static [Lang] {
    match market {
        Market::Ca => &[Lang::En, Lang::Fr],
        Market::CaQc => &[Lang::Fr, Lang::En],
        Market::Us | Market::Gb | Market::Ni | Market::Eu => &[Lang::En],
    }
}

fn languages(market: Market) -> Vec<Lang> {
    languages_of(market).to_vec()
}

/// Statements stand in the order in which the wording lists them.
fn order_in(book: &Book, lang: Lang, statement: &str) -> u32 {
    book.wording(lang, statement).map_or(u32::MAX, |w| w.order)
}

#[expect(clippy::too_many_arguments, reason = "one call, in the loop above")]
fn requirement(
    rule: &'static Rule,
    block: BlockName,
    statement: &'static str,
    in_force: &[&'static Rule],
    product: &Product,
    figures: &Figures,
    languages: &[Lang],
    lot: Option<&str>,
    book: &Book,
) -> Result<Requirement, Finding> {
    let mut texts = BTreeMap::new();
    let mut alert_symbol = false;
    for lang in languages {
        let Some(wording) = book.wording(*lang, statement) else {
            return Err(Finding::of(
                rule.id,
                Level::Error,
                rule.severity,
                Some(rule.seen()),
                format!("there are no words for `{statement}` in the language `{lang}`"),
                format!("add them to `rules/wording/{lang}.yaml`"),
            ));
        };
        alert_symbol |= wording.alert_symbol;
        let text = law::fill(wording.text, |name| figures.value(name, product, *lang, lot)).map_err(|name| {
            Finding::of(
                rule.id,
                Level::Error,
                rule.severity,
                Some(rule.seen()),
                format!("`{statement}` cannot be written: the product says nothing for `{name}`"),
                format!("give it in the product file; `waxbill explain {}` tells where", rule.id),
            )
            .at(&product.places.product, "in this product")
        })?;
        texts.insert(*lang, text);
    }
    let governing: Vec<&Rule> =
        in_force.iter().copied().filter(|r| r.governs(block, statement) || r.id == rule.id).collect();
    let (least, measure) = least(&governing, figures, book)?;
    Ok(Requirement {
        id: format!("{}#{statement}", rule.id),
        rule: rule.id,
        severity: rule.severity,
        seen: rule.seen(),
        statement,
        texts,
        alert_symbol,
        block,
        principal: governing.iter().any(|r| r.principal),
        least,
        measure,
        bold: governing.iter().any(|r| r.bold),
        clear: governing.iter().find_map(|r| r.clear),
        lowest_percent: governing.iter().filter_map(|r| r.lowest_percent).min(),
        because: rule.because,
        citation: rule.citation(),
    })
}

/// The greatest least height of all rules that govern a statement. Heights on different letters are compared by their figure:
/// the letter is that of the greatest one.
fn least(governing: &[&Rule], figures: &Figures, book: &Book) -> Result<(Option<Length>, Measure), Finding> {
    let mut found: Option<(Length, Measure)> = None;
    for rule in governing {
        let (least, measure) = match rule.height {
            Height::None => continue,
            Height::Least { least, measure } => (least, measure),
            Height::Table { name, measure } => {
                let Some(panel) = &figures.panel else {
                    return Err(Finding::of(
                        rule.id,
                        Level::Error,
                        rule.severity,
                        Some(rule.seen()),
                        "the least height of letters follows from the size of the package, and the file does not give it",
                        "add `package: {box: {width: …, height: …}}` or the size of the candle",
                    ));
                };
                match book.height_band(name, panel.area) {
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
