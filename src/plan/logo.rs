//! The maker's logo in a plan, and what may be wrong with it. Part of `plan`.

use super::template::Template;
use super::{Content, Item};
use crate::find::{Evidence, Finding, Level};
use crate::product::logo::Printed;
use crate::require::Needs;
use crate::trade::{BlockName, Measure, Severity};
use crate::unit::Length;

/// Nobody asks for it, so it goes first where there is no room.
pub(super) fn item(printed: &Printed) -> Item {
    let logo = &printed.logo;
    let width = printed.height.times_ratio(logo.width, logo.height.max(1));
    Item {
        id: "logo".to_owned(),
        severity: Severity::Policy,
        content: Content::Logo { logo: logo.clone(), width, height: printed.height },
        least: Length::ZERO,
        measure: Measure::Capital,
        bold: false,
        clear: None,
        lowest_percent: None,
    }
}

/// A logo that the template has no place for, or one of too few pixels for its size.
#[must_use]
pub fn faults(needs: &Needs, template: &Template) -> Vec<Finding> {
    let Some(printed) = &needs.logo else { return Vec::new() };
    let policy = |id: &str, level: Level, message: String, cure: &str| {
        Finding::of(id, level, Severity::Policy, Some(Evidence::Policy), message, cure)
    };
    let logo = &printed.logo;
    let mut findings = Vec::new();
    if !template.parts.iter().flat_map(|p| &p.rows).flat_map(|r| &r.cells).any(|c| c.block == BlockName::Logo) {
        let message = format!("the template `{}` has no place for the logo, so it is not printed", template.name);
        let cure =
            "add a row `- {block: logo, align: centre}` to one of its parts, or write `logo: none` under `label`";
        findings.push(policy("template/no-logo", Level::Warning, message, cure).at(&template.place, "this template"));
    }
    if let Some(rows) = logo.rows {
        let per_inch = i64::from(rows) * Length::inch(1, 1).to_raw() / printed.height.to_raw().max(1);
        if per_inch < LEAST_PER_INCH {
            let message = format!(
                "the logo `{}` has `{rows}` rows of pixels for `{}`: {per_inch} per inch, and under {LEAST_PER_INCH} steps show",
                logo.file, printed.height
            );
            let cure = "save it with more pixels or as SVG, or print it smaller";
            findings.push(policy("print/logo-pixels", Level::Warning, message, cure));
        }
    }
    if logo.flattened {
        let message = format!("the logo `{}` has colours or shades; a PNG is printed in black and white", logo.file);
        let cure = "look at a proof; a plain SVG keeps its colours";
        findings.push(policy("print/logo-colours", Level::Warning, message, cure));
    }
    findings
}

/// Below so many pixels to the inch steps show at arm's length (common practice, no source).
const LEAST_PER_INCH: i64 = 150;
