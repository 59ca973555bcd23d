//! The most fragrance a recipe may have, each limit on its own basis; between `formula` and `pour`.

use super::formula::{Formula, FormulaLine};
use crate::find::{Evidence, Finding, Level, Place, Severity};
use crate::product::{Basis, Load, Product, Role};
use crate::unit::{Mass, Share};
use std::cmp::Ordering;

/// A limit some material sets.
#[derive(Debug, Clone)]
pub struct Limit {
    /// Name of the material that sets it.
    pub set_by: String,
    /// Whether a wax sets it for all fragrance together; else a fragrance sets it for itself.
    pub of_wax: bool,
    /// Index of the lines it binds, counted together: a fragrance may stand on several lines.
    pub lines: Vec<usize>,
    /// The figure on its basis.
    pub most: Load,
    /// Where it stands.
    pub place: Place,
}

/// The limits that wax and fragrance of a recipe set. In a blend every wax binds, as if there were no other.
#[must_use]
pub fn limits(formula: &Formula) -> Vec<Limit> {
    if !formula.lines.iter().any(|l| l.role == Role::Fragrance) {
        return Vec::new();
    }
    let binding = |role| matches!(role, Role::Wax | Role::Fragrance);
    let of_line = |(at, l): (usize, &FormulaLine)| {
        let (most, place) = l.material.max_load.clone().filter(|_| binding(l.role))?;
        let of_wax = l.role == Role::Wax;
        let bound = |o: &FormulaLine| o.role == Role::Fragrance && (of_wax || o.material.name == l.material.name);
        let lines: Vec<usize> = (0..).zip(&formula.lines).filter(|(_, o)| bound(o)).map(|(i, _)| i).collect();
        let first = of_wax || lines.first() == Some(&at);
        first.then(|| Limit { set_by: l.material.name.clone(), of_wax, lines, most, place })
    };
    formula.lines.iter().enumerate().filter_map(of_line).collect()
}

/// Findings on loads and their limits: over a limit (error), limit not known (note).
#[must_use]
pub fn over_limits(product: &Product, formula: &Formula) -> Vec<Finding> {
    let mut findings: Vec<Finding> = limits(formula).iter().filter_map(|l| over(l, product, formula)).collect();
    if formula.lines.iter().any(|l| l.role == Role::Fragrance) {
        let binding = formula.lines.iter().filter(|l| matches!(l.role, Role::Wax | Role::Fragrance));
        findings.extend(binding.filter(|l| l.material.max_load.is_none()).map(|l| {
            let (what, sheet) = if l.role == Role::Wax {
                ("how much fragrance it holds", "max load: {of wax: 10 %}")
            } else {
                ("its limit in the finished product", "max load: {of total: 10 %}")
            };
            Finding::of(
                rule(l.role == Role::Wax),
                Level::Note,
                Severity::Advice,
                Some(Evidence::Secondary),
                format!("{} does not say {what}, so the load is not held against it", l.material.name),
                format!("copy the figure from the supplier's sheet into the material: `{sheet}`"),
            )
            .at(&l.material.place, "this material")
        }));
    }
    findings
}

/// The rule a limit belongs to.
const fn rule(of_wax: bool) -> &'static str {
    if of_wax { "practice/max-load" } else { "practice/max-load-fragrance" }
}

fn over(limit: &Limit, product: &Product, formula: &Formula) -> Option<Finding> {
    let has = formula.on(&limit.lines, limit.most.of);
    if has.against(limit.most.share) != Ordering::Greater {
        return None;
    }
    let basis = limit.most.of.word();
    let bound: Vec<&FormulaLine> = limit.lines.iter().filter_map(|i| formula.lines.get(*i)).collect();
    let what = if limit.of_wax { "the fragrance" } else { limit.set_by.as_str() };
    let mut cure = format!("lower the load to at most {} of {basis}", limit.most.share);
    if let [line] = bound.as_slice()
        && let crate::product::Amount::Load(load) = line.amount
        && load.of != limit.most.of
        && formula.lines.iter().filter(|l| !l.is_base).count() == 1
        && let Some(share) = on_basis(limit.most, load.of)
    {
        cure = format!("{cure}, which is {share} of {}", load.of.word());
    }
    // the same figure on the other basis is the usual slip
    if let [line] = bound.as_slice()
        && let crate::product::Amount::Load(load) = line.amount
        && let Some(grams) = on_the_other_basis(load, limit.most, product.fill.mass())
    {
        let other = if load.of == Basis::Wax { "total" } else { "wax" };
        cure = format!(
            "{cure}; if {} was meant of {other}, that is {} in one candle and fits: write `of: {other}`",
            load.share,
            grams.in_g(1)
        );
    }
    let has_shown = shown_above(has.share(), limit.most.share);
    let mut finding = Finding::of(
        rule(limit.of_wax),
        Level::Error,
        Severity::Advice,
        Some(Evidence::Secondary),
        if limit.of_wax {
            format!(
                "{what} comes to {has_shown} of {basis}, and {} allows {}: what the wax does not hold sweats out and can flare",
                limit.set_by, limit.most.share
            )
        } else {
            format!("{what} comes to {has_shown} of {basis}, and its supplier allows {}", limit.most.share)
        },
        cure,
    )
    .instead(
        format!("at most {} of {basis}", limit.most.share),
        format!("{has_shown} of {basis}"),
    );
    for line in &bound {
        finding = finding.at(&line.place, "this load");
    }
    Some(finding.at(&limit.place, "this limit"))
}

/// The same load on the other basis, where nothing else is stirred into the wax; cut off.
fn on_basis(most: Load, of: Basis) -> Option<Share> {
    match (most.of, of) {
        (Basis::Total, Basis::Wax) => most.share.of_total_as_of_rest(),
        (Basis::Wax, Basis::Total) => Some(most.share.of_rest_as_of_total()),
        _ => Some(most.share),
    }
}

/// Three decimals, or all nine where three would hide the excess.
fn shown_above(has: Share, most: Share) -> String {
    let short = has.in_percent(3);
    if short == most.in_percent(3) { has.in_percent(7) } else { short }
}

/// Oil in one candle if the stated figure were meant on the other basis, where that is within 0.1 g of the limit.
fn on_the_other_basis(load: Load, most: Load, fill: Mass) -> Option<Mass> {
    let of_total = |share: Share, of: Basis| if of == Basis::Wax { share.of_rest_as_of_total() } else { share };
    let other = if load.of == Basis::Wax { Basis::Total } else { Basis::Wax };
    let (would, may) = (fill.share(of_total(load.share, other)), fill.share(of_total(most.share, most.of)));
    (would <= may + Mass::mg(100)).then_some(would)
}

#[cfg(test)]
mod tests {
    use super::over_limits;
    use crate::find::{Level, plain};
    use crate::product::example::product;
    use crate::recipe::formula;

    fn told(load: &str, wax_limit: &str, oil_limit: &str) -> Vec<String> {
        let limit = |text: &str| if text.is_empty() { String::new() } else { format!(", max load: {{{text}}}") };
        let p = product(
            &format!(
                "[{{use: {{material: Soy, role: wax{}}}}}, {{use: {{material: Oil, role: fragrance{}}}, load: {load}}}]",
                limit(wax_limit),
                limit(oil_limit)
            ),
            "12 oz",
            "",
        );
        over_limits(&p, &formula(&p).unwrap())
            .iter()
            .map(|f| format!("{:?} {} | {}", f.level, f.message, f.cure))
            .collect()
    }

    /// Limits are met exactly at the limit, and compared on the limit's own basis.
    #[test]
    fn a_load_is_held_against_each_limit_on_the_limits_basis() {
        assert!(told("10 %, of: wax", "of wax: 10 %", "of total: 10 %").is_empty());
        assert!(told("10 %, of: total", "of wax: 12 %", "of total: 10 %").is_empty());
        // 10 % of total is 11.111 % of wax (table computed by hand)
        let findings = told("10 %, of: total", "of wax: 10 %", "of total: 10 %");
        assert_eq!(findings.len(), 1);
        assert!(findings[0].contains("11.111 % of wax, and Soy allows 10 %"), "{findings:?}");
        assert!(
            findings[0].contains("if 10 % was meant of wax, that is 30.9 g in one candle and fits"),
            "{findings:?}"
        );
        // 12 % of wax is 10.714 % of total
        let findings = told("12 %, of: wax", "of wax: 12 %", "of total: 10.7 %");
        assert!(findings[0].contains("Oil comes to 10.714 % of total, and its supplier allows 10.7 %"), "{findings:?}");
        assert!(!findings[0].contains("was meant"), "12 % of total is more still");
        // 10.7 / 89.3 = 11.98208…
        assert!(findings[0].contains("at most 10.7 % of total, which is 11.982 % of wax"), "{findings:?}");
    }

    #[test]
    fn an_excess_too_small_for_three_decimals_is_shown_in_full() {
        let findings = told("10.00001 %, of: wax", "of wax: 10 %", "of total: 20 %");
        assert!(findings[0].contains("10.00001 % of wax"), "{findings:?}");
    }

    #[test]
    fn a_limit_that_is_not_known_is_a_note() {
        let findings = told("10 %, of: wax", "", "");
        assert_eq!(findings.len(), 2);
        assert!(findings.iter().all(|f| f.starts_with("Note")), "{findings:?}");
    }

    #[test]
    fn several_fragrances_share_what_the_wax_holds() {
        let p = product(
            "[{use: {material: Soy, role: wax, max load: {of wax: 10 %}}}, {use: {material: Kelp, role: fragrance, max load: {of total: 9 %}}, load: 6 %, of: wax},
              {use: {material: Cedar, role: fragrance, max load: {of total: 9 %}}, load: 5 %, of: wax}]",
            "9 oz",
            "",
        );
        let findings = over_limits(&p, &formula(&p).unwrap());
        assert_eq!(findings.len(), 1);
        assert_eq!((findings[0].level, findings[0].places.len()), (Level::Error, 3));
        let text = plain(&findings[0]);
        assert!(text.contains("the fragrance comes to 11 % of wax, and Soy allows 10 %"), "{text}");
    }

    /// By hand: 6 + 6 = 12 % of total, over 10 % though each line alone is under it.
    #[test]
    fn one_fragrance_on_two_lines_is_held_against_its_limit_once() {
        let oil = "{use: {material: Oil, role: fragrance, max load: {of total: 10 %}}, load: 6 %, of: total}";
        let p = product(
            &format!("[{{use: {{material: Soy, role: wax, max load: {{of wax: 20 %}}}}}}, {oil}, {oil}]"),
            "9 oz",
            "",
        );
        let findings = over_limits(&p, &formula(&p).unwrap());
        assert_eq!(findings.len(), 1, "{findings:?}");
        assert!(findings[0].message.starts_with("Oil comes to 12 % of total"), "{findings:?}");
    }

    #[test]
    fn an_unscented_candle_needs_no_limit() {
        let p = product("[{use: {material: Paraffin, role: wax}}]", "600 g", "");
        assert!(over_limits(&p, &formula(&p).unwrap()).is_empty());
    }
}
