//! A bare mixture file: composition in, nothing of candles; after `yaml`, before `hazard`.

use super::composition::{composition, figure};
use crate::find::{Finding, Report, Source};
use crate::hazard::{Content, Ingredient, Mixture, Rules, State};
use crate::yaml::{self, Form, Node, Words};
use std::sync::Arc;

/// A mixture as a file states it.
#[derive(Debug, Clone)]
pub struct MixtureFile {
    /// What is classified.
    pub mixture: Mixture,
    /// The rules the file asks for.
    pub rules: Option<Rules>,
}

impl Words for State {
    fn words() -> Vec<(&'static str, Self)> {
        Self::ALL.iter().map(|v| (v.word(), *v)).collect()
    }
}
impl Words for Rules {
    fn words() -> Vec<(&'static str, Self)> {
        Self::ALL.iter().map(|v| (v.word(), *v)).collect()
    }
}

/// `source` and those after it are for the reader of the file: where an example comes from and what it should give.
const KEYS: &[&str] = &[
    "mixture",
    "id",
    "state",
    "kinematic_viscosity_40c_mm2_s",
    "additive",
    "ph",
    "rules",
    "ingredients",
    "source",
    "evidence",
    "note",
    "expect",
    "expect_clp",
];

/// Reads a mixture file.
///
/// The mixture is `None` when something stops it; the findings tell everything that was seen.
#[must_use]
pub fn read_mixture(source: &Arc<Source>) -> (Option<MixtureFile>, Vec<Finding>) {
    let report = Report::new();
    let file = match yaml::read(source) {
        Ok(node) => mixture(&node, &report),
        Err(finding) => {
            report.add(finding);
            None
        }
    };
    (file.filter(|_| !report.stops()), report.into_findings())
}

/// Reads a mixture that is part of a larger file, such as a collection of examples.
pub fn mixture(node: &Node, report: &Report) -> Option<MixtureFile> {
    let form = Form::open(node, "a mixture", KEYS, report)?;
    let name = form.text("mixture").or_else(|| form.text("id"));
    if name.is_none() {
        form.need("mixture", "Low Tide")?;
    }
    let state = form.word::<State>("state").map_or(State::Solid, |s| s.value);
    let rules = form.word::<Rules>("rules").map(|r| r.value);
    let nodes = form.list("ingredients");
    let lines = composition(nodes, report);
    if nodes.is_empty() {
        let place = form.get("ingredients").map_or_else(|| form.place(), |n| n.place.clone());
        report.add(
            Finding::input(
                "hazard/composition-missing",
                "the mixture has no ingredients: nothing can be said of its hazards",
                "add `ingredients:` with a line each, for example `- {name: linalool, percent: 1.6, classes: [\"Skin Sens. 1B, H317\"]}`",
            )
            .at(&place, "here"),
        );
    }
    let ingredients =
        lines.into_iter().map(|l| Ingredient { substance: l.hazards, content: Content::of(l.percent.1) }).collect();
    Some(MixtureFile {
        mixture: Mixture {
            name: name?.value,
            state,
            viscosity: figure(&form, "kinematic_viscosity_40c_mm2_s", report),
            additive: form.yes_no("additive").unwrap_or(true),
            ph: figure(&form, "ph", report),
            ingredients,
        },
        rules,
    })
}
