//! Labels that fold open: what must be seen at once stands outside, and the outside tells where the rest is. Part of `plan`.
//!
//! EN 15494:2019, 4.4 (second hand): where room is scarce, what is optional may stand inside a fold-out label; the mandatory
//! items are repeated there, and the outside says where to find the rest.

use super::make::cells;
use super::template::{Template, TemplatePart};
use crate::find::{Finding, Level};
use crate::require::{Needs, Requirement};
use crate::trade::{BlockName, Severity};

/// What is repeated beside the advice: signs and sentences for safe use.
const REPEATED: [BlockName; 2] = [BlockName::Warning, BlockName::CandleSymbols];

/// A requirement of law or standard that would be seen only when the label is opened, or is not repeated inside.
pub(super) fn outside(requirement: &Requirement, template: &Template, holders: &[&TemplatePart]) -> Option<Finding> {
    let binds = matches!(requirement.severity, Severity::Required | Severity::Standard);
    if !binds || !template.parts.iter().any(|p| p.inside) {
        return None;
    }
    let block = requirement.block;
    let (message, cure) = if holders.iter().all(|p| p.inside) {
        (
            format!("the block `{block}` would be seen only when the label is opened"),
            format!("add a row `- {{block: {block}, only: mandatory}}` to a part on the outside"),
        )
    } else if REPEATED.contains(&block) && !holders.iter().any(|p| p.inside) {
        (
            format!("the block `{block}` is not repeated inside the label, where the advice stands"),
            format!("add a row `- {{block: {block}}}` to a part with `inside: yes`"),
        )
    } else {
        return None;
    };
    let (rule, severity, seen) = (requirement.rule, requirement.severity, requirement.seen);
    Some(Finding::of(rule, Level::Error, severity, Some(seen), message, cure).at(&template.place, "this template"))
}

/// The words that send the reader inside, where the label folds open; they need a place on the outside.
pub(super) fn pointer<'n>(
    needs: &'n Needs,
    template: &Template,
    findings: &mut Vec<Finding>,
) -> Option<&'n Requirement> {
    if !template.parts.iter().any(|p| p.inside) {
        return None;
    }
    let Some(pointer) = &needs.look_inside else {
        let message = format!("`{}` folds open, and there are no words in each language that say so", template.name);
        let cure = "write `look inside` into the language's file in the folder `wording` of the workshop";
        findings.push(Finding::input("template/look-inside", message, cure).at(&template.place, "this template"));
        return None;
    };
    let outside = |p: &TemplatePart| !p.inside && cells(p).any(|c| c.takes(pointer.block, pointer.severity));
    if template.parts.iter().any(outside) {
        return Some(pointer);
    }
    findings.push(
        Finding::of(
            pointer.rule,
            Level::Error,
            pointer.severity,
            Some(pointer.seen),
            format!("nothing on the outside of `{}` tells that more stands inside", template.name),
            format!("add a row `- {{block: {}}}` to the part that is seen first", pointer.block),
        )
        .at(&template.place, "this template"),
    );
    None
}
