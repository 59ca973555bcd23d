//! Whether the label is as large as the law wants it for the package. Part of `review`.

use super::{Desk, told};
use crate::find::{Finding, Level};
use crate::law;
use crate::require::Hazards;
use crate::unit::Length;

/// A classified mixture wants a label of a least size where there is room (CLP, Annex I, Table 1.3).
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    let Some(hazards) = desk.needs.figures.hazards.as_ref().filter(|h| Hazards::is_classified(h)) else { return };
    let Some(rule) = law::rule("eu/clp-label-size").filter(|r| r.in_force(desk.needs.market, desk.needs.date)) else {
        return;
    };
    let (Some(long), Some(short)) = (rule.figure::<Length>("width"), rule.figure::<Length>("height")) else { return };
    let lang = desk.needs.languages.first().map_or("en", |l| l.word());
    let texts: Vec<String> = hazards
        .whole
        .elements
        .hazard
        .iter()
        .filter_map(|c| crate::hazard::statements::printed(c, lang, "", &[]).ok())
        .collect();
    for page in desk.pages.iter().filter(|p| p.seen.is_some()) {
        if !texts.iter().any(|t| super::search::has(page.rows(0), t)) {
            continue;
        }
        let (width, height) = (page.shape.width(), page.shape.height());
        let small = width.max_of(height) < long || width.min(height) < short;
        if small {
            let message = format!("{} measures {} by {}", told::side(page), width.in_mm(1), height.in_mm(1));
            let cure = "make it larger where the package has room; the pictograms keep their least size in any case";
            let finding = Finding::of(rule.id, Level::Warning, rule.severity, Some(rule.seen()), message, cure)
                .instead(
                    format!("{} by {}", long.in_mm(1), short.in_mm(1)),
                    format!("{} by {}", width.in_mm(1), height.in_mm(1)),
                );
            findings.push(told::at(finding, page, None));
        }
    }
}
