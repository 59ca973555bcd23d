//! Which scale weighs a line, and whether it is fine enough; beneath `pour`.

use super::formula::FormulaLine;
use crate::find::{Evidence, Finding, Level, Severity};
use crate::product::Scale;
use crate::unit::Mass;

/// The finest scale that holds `mass`; where none does, the one that holds most. `None` without scales.
pub(super) fn scale_for(mass: Mass, scales: &[Scale]) -> Option<&Scale> {
    scales
        .iter()
        .filter(|s| s.up_to >= mass)
        .min_by_key(|s| s.reads_to)
        .or_else(|| scales.iter().max_by_key(|s| s.up_to))
}

/// Half a step is more than 1 % of the line (common practice, no source: 1 g steps for 28 g of oil are 1.8 % out).
fn too_coarse(mass: Mass, scale: &Scale) -> bool {
    scale.reads_to.times(50) > mass
}

/// A finding on a line as it is weighed.
fn told(level: Level, line: &FormulaLine, message: String, cure: String) -> Finding {
    Finding::of("practice/scale-readability", level, Severity::Advice, Some(Evidence::Memory), message, cure)
        .at(&line.place, "this line")
}

/// Warning for a line that the scale cannot weigh to 1 %.
pub(super) fn half_step_counts(
    line: &FormulaLine,
    mass: Mass,
    pitchers: u32,
    scale: &Scale,
    scales: &[Scale],
) -> Option<Finding> {
    if !too_coarse(mass, scale) {
        return None;
    }
    let whole = mass.times(pitchers);
    let fine = scale_for(whole, scales).filter(|s| pitchers > 1 && !too_coarse(whole, s));
    let cure = if let Some(scale) = fine {
        format!(
            "weigh {} once for the whole lot ({}) and stir it into all the wax before it is divided, or {}",
            whole.rounded_to(scale.reads_to).in_g(3),
            scale.name,
            finer(mass)
        )
    } else {
        format!("{}, weigh a premix in wax, or pour more candles in one lot", finer(mass))
    };
    Some(told(
        Level::Warning,
        line,
        format!(
            "{} of {} on a scale that reads to {} may be more than 1 % out",
            mass.in_g(3),
            line.material.name,
            scale.reads_to
        ),
        cure,
    ))
}

/// Error for a line that is nothing on the scale.
pub(super) fn too_small(line: &FormulaLine, mass: Mass, scale: &Scale) -> Finding {
    told(
        Level::Error,
        line,
        format!("{} of {} is nothing on a scale that reads to {}", mass.in_g(3), line.material.name, scale.reads_to),
        format!("{}, weigh a premix in wax, or pour more candles in one lot", finer(mass)),
    )
}

/// Warning for a line no scale holds at once.
pub(super) fn no_scale_holds(line: &FormulaLine, mass: Mass, scale: &Scale) -> Option<Finding> {
    (mass > scale.up_to).then(|| {
        told(
            Level::Warning,
            line,
            format!("{} of {} is more than any scale of the workshop holds", mass.in_g(1), line.material.name),
            format!(
                "weigh it in portions of at most {}, or write the size of the pitcher you pour from (`pitcher: 1.8 kg`)",
                scale.up_to.in_g(1)
            ),
        )
    })
}

/// The step, a power of ten of a gram, that weighs `mass` to 1 %.
fn finer(mass: Mass) -> String {
    let step = [Mass::g(1), Mass::mg(100), Mass::mg(10), Mass::mg(1)]
        .into_iter()
        .find(|step| step.times(50) <= mass)
        .unwrap_or(Mass::mg(1));
    format!("use a scale that reads to {step}")
}
