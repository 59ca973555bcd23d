//! From needs to a label that has been read back: plan, page, PDF, reading. Shared by `label`, `check` and `pour`.

use super::Stop;
use super::open::{self, Opened};
use crate::find::{Finding, Level};
use crate::lot::Digest;
use crate::page::{self, Page};
use crate::pdf::{self, About};
use crate::plan::template::Template;
use crate::plan::{self, Plan};
use crate::require::{Needs, SMALL_PACK};
use crate::trade::{BlockName, Market};
use crate::{find, inspect, law};
use jiff::civil::Date;

/// A label, read back and found whole.
pub struct Made {
    /// What it had to carry.
    pub plan: Plan,
    /// How it was set.
    pub pages: Vec<Page>,
    /// The file.
    pub bytes: Vec<u8>,
    /// What reading it back found beside faults.
    pub findings: Vec<Finding>,
}

impl Stop {
    /// The findings, or the machine's failure again.
    pub(super) fn into_findings(self) -> Result<Vec<Finding>, Self> {
        match self {
            Self::Input(findings) | Self::Findings(findings) => Ok(findings),
            Self::Machine(message) => Err(Self::Machine(message)),
        }
    }
}

/// Where the label's statements go.
pub fn plan(opened: &Opened, needs: &Needs) -> Result<Plan, Stop> {
    let template = open::template(opened, needs.market)?;
    plan::of(needs, &template).map_err(Stop::of)
}

/// Whether the label still fits with a lot code in it: without one its code for telephones holds less.
pub fn fits_with_lot(opened: &Opened, needs: &Needs) -> Result<(), Stop> {
    let specimen = open::specimen(needs.date);
    let with_lot = open::needs(opened, needs.market, needs.date, specimen.as_deref())?;
    page::set(&plan(opened, &with_lot)?).map(|_| ()).map_err(Stop::of)
}

/// Makes the label in memory and reads it back.
pub fn label(opened: &Opened, needs: &Needs) -> Result<Made, Stop> {
    if find::stops(&needs.findings) {
        return Err(Stop::of(needs.findings.clone()));
    }
    let template = open::template(opened, needs.market)?;
    let plan = plan::of(needs, &template).map_err(Stop::of)?;
    let pages = page::set(&plan).map_err(|findings| Stop::of(roomier(findings, needs, &template)))?;
    if let Some(finding) = fits_whole(needs, &template) {
        return Err(Stop::of(vec![finding]));
    }
    let language = plan.languages.first().map_or("en", |l| l.word());
    let title = format!("{} label, {}", plan.product, needs.market);
    let about = About { title: &title, language, subject: "candle label, read back before it was handed over" };
    let bytes = pdf::write(&pages, &about).map_err(|f| Stop::of(vec![f]))?;
    let mut findings = inspect::check(&bytes, &plan);
    if let Some(rule) = law::rule("practice/label-fits") {
        findings.extend(plan::sizes(needs, &template, rule));
    }
    if let Some(rule) = law::rule("eu/clp-label-size") {
        findings.extend(plan::hazard_sizes(needs, &template, rule));
    }
    findings.extend(other_kind(opened, &template));
    if findings.iter().any(|f| f.level == Level::Error) {
        return Err(Stop::Findings(findings));
    }
    Ok(Made { plan, pages, bytes, findings })
}

/// What makes room on a small package, beside the findings of a label that does not fit.
fn roomier(mut findings: Vec<Finding>, needs: &Needs, template: &Template) -> Vec<Finding> {
    let hazards = needs.figures.hazards.as_ref().filter(|h| !h.relieved);
    let (Some(hazards), Some(less), Some(rule)) = (hazards, &needs.otherwise, law::rule(SMALL_PACK)) else {
        return findings;
    };
    let whole_fits = fits(&without_advice(needs), template);
    if !whole_fits && fits(&without_advice(less), template) {
        let message = format!(
            "without {} and without advice it would fit, and the package holds no more than 125 ml",
            hazards.may_go.codes()
        );
        let cure = format!(
            "a fold-out label, a tag or a box comes first (CLP, Annex I, 1.5.1); where none of them can be used, write \
             `accept: [{{rule: {SMALL_PACK}, because: \"…\"}}]` with the reason"
        );
        findings.push(Finding::of(rule.id, Level::Note, rule.severity, Some(rule.seen()), message, cure));
    }
    findings
}

/// Statements may only go where there is no room for them: the fault when there is.
fn fits_whole(needs: &Needs, template: &Template) -> Option<Finding> {
    let hazards = needs.figures.hazards.as_ref().filter(|h| h.relieved)?;
    let (whole, rule) = (needs.otherwise.as_ref()?, law::rule(SMALL_PACK)?);
    fits(&without_advice(whole), template).then(|| {
        let message = format!("{} are left out, and the label has room for them", hazards.may_go.codes());
        let cure = format!(
            "take the exception for `{SMALL_PACK}` out of the product file; if the label is too small then, leave advice or \
             the code for telephones out first"
        );
        Finding::of(rule.id, Level::Error, rule.severity, Some(rule.seen()), message, cure)
    })
}

/// What has to go before any statement of the law does: advice, and the code for telephones.
fn without_advice(needs: &Needs) -> Needs {
    let mut less = needs.clone();
    less.requirements.retain(|r| r.severity != find::Severity::Advice && r.block != BlockName::Code);
    less
}

fn fits(needs: &Needs, template: &Template) -> bool {
    plan::of(needs, template).is_ok_and(|plan| page::set(&plan).is_ok())
}

/// A template made for other kinds: its parts may not be where a buyer looks, and blocks may be missing.
fn other_kind(opened: &Opened, template: &Template) -> Option<Finding> {
    let kind = opened.product.kind;
    (!template.suits.is_empty() && !template.suits.contains(&kind)).then(|| {
        let kinds = template.suits.iter().map(|k| format!("`{k}`")).collect::<Vec<_>>().join(", ");
        Finding::of(
            "file/template-kind",
            Level::Warning,
            find::Severity::Policy,
            Some(find::Evidence::Policy),
            format!("the template `{}` is meant for {kinds}, and this is a {kind}", template.name),
            "choose another template, or copy this one into `templates`, look it over and add the kind to `suits`",
        )
        .at(opened.product.places.of("label"), "named here")
    })
}

/// The version of a label: what it says and how it is set in all these markets, but for the lot. The same for every lot
/// until product, rules or template change what stands on it.
pub fn label_digest(opened: &Opened, markets: &[Market], on: Date) -> Result<Digest, Stop> {
    let mut said = String::new();
    for market in markets {
        let without_lot = plan(opened, &open::needs(opened, *market, on, None)?)?;
        said += &serde_json::to_string(&without_lot)
            .map_err(|e| Stop::Machine(format!("the plan cannot be written: {e}")))?;
    }
    Ok(Digest::of(said.as_bytes()))
}

/// The version of a recipe: the texts of the product file and of every file it draws on.
pub fn recipe_digest(opened: &Opened) -> Digest {
    let mut read = Vec::new();
    for source in &opened.product.sources {
        read.extend_from_slice(&(source.text.len() as u64).to_be_bytes());
        read.extend_from_slice(source.text.as_bytes());
    }
    Digest::of(&read)
}
