//! What Annex VI says of known substances, held against a safety sheet: for a warning, never in the sheet's place.

use super::class::{Printed, Stated};
use super::mixture::{Dose, Route, Substance};
use super::table::cells;
use super::{Content, HazardClass};
use crate::unit::exact;
use std::sync::LazyLock;

/// An entry of Annex VI, Part 3, of a substance common in fragrances.
#[derive(Debug)]
pub struct Harmonised {
    /// A usual name.
    pub name: &'static str,
    /// Its CAS numbers.
    pub cas: Vec<&'static str>,
    /// Its EC numbers.
    pub ec: Vec<&'static str>,
    /// Index number.
    pub index: &'static str,
    /// Classes.
    pub classes: Vec<Stated>,
    /// Specific limit.
    pub limit: Option<(HazardClass, Content)>,
    /// Acute toxicity estimate.
    pub ate: Option<(Route, Dose)>,
}

static ENTRIES: LazyLock<Vec<Harmonised>> = LazyLock::new(|| TEXT.lines().skip(1).filter_map(read).collect());
const TEXT: &str = include_str!("../../rules/hazard/harmonised.csv");

fn read(line: &'static str) -> Option<Harmonised> {
    let cells = cells(line);
    let [name, cas, ec, index, classes, limit, ate, _by, _seen] = cells.as_slice() else { return None };
    let stated = |text: &str| match Stated::parse(text) {
        Ok(Printed::Class(stated)) => Some(stated),
        _ => None,
    };
    let pair = |text: &'static str| text.split_once(':').map(|(a, b)| (a.trim(), b.trim()));
    Some(Harmonised {
        name,
        cas: cas.split_whitespace().collect(),
        ec: ec.split_whitespace().collect(),
        index,
        classes: classes.split(';').map(|c| stated(c.trim())).collect::<Option<_>>()?,
        limit: pair(limit).and_then(|(class, from)| HazardClass::named(class).zip(Content::percent(from))),
        ate: pair(ate).and_then(|(route, dose)| Route::from_word(route).zip(exact(dose).ok().and_then(Dose::of))),
    })
}

/// The entry of a substance, by CAS or EC number.
#[must_use]
pub fn harmonised(substance: &Substance) -> Option<&'static Harmonised> {
    let is = |own: &Option<String>, list: &[&str]| own.as_deref().is_some_and(|own| list.contains(&own));
    ENTRIES.iter().find(|e| is(&substance.cas, &e.cas) || is(&substance.ec, &e.ec))
}

/// What the entry has and the sheet has not: classes, a specific limit, an estimate. Empty where they agree.
///
/// ```
/// use waxbill::hazard::{Substance, beside_harmonised};
/// let linalool = Substance { name: "linalool".into(), cas: Some("78-70-6".into()), ..Substance::default() };
/// assert_eq!(beside_harmonised(&linalool).unwrap().1, ["`Skin Sens. 1B, H317`"]);
/// ```
#[must_use]
pub fn beside_harmonised(substance: &Substance) -> Option<(&'static Harmonised, Vec<String>)> {
    let entry = harmonised(substance)?;
    let mut lacks = Vec::new();
    for stated in &entry.classes {
        // The list's class is the least: another of the same group that is more severe is the supplier's right with `*`.
        let has = substance.classes.iter().any(|own| {
            own.class == stated.class
                || (stated.least && own.class.group() == stated.class.group() && own.class < stated.class)
        });
        if !has {
            lacks.push(format!("`{stated}`"));
        }
    }
    if let Some((class, from)) = entry.limit
        && !substance.limits.iter().any(|l| l.class.group() == class.group() && l.from <= from)
    {
        lacks.push(format!("the specific limit `{}: {from}`", class.abbreviation()));
    }
    if let Some((route, dose)) = entry.ate
        && substance.ate[route.index()].is_none()
    {
        lacks.push(format!("the estimate `{route}: {dose} {}`", route.unit()));
    }
    (!lacks.is_empty()).then_some((entry, lacks))
}

#[cfg(test)]
mod tests {
    use super::{ENTRIES, TEXT, beside_harmonised, harmonised};
    use crate::hazard::{Substance, cas_holds, ec_holds};

    #[test]
    fn every_line_is_read_and_its_numbers_hold() {
        assert_eq!(ENTRIES.len(), TEXT.lines().count() - 1);
        for entry in ENTRIES.iter() {
            assert!(entry.cas.iter().all(|c| cas_holds(c)) && entry.ec.iter().all(|e| ec_holds(e)), "{}", entry.name);
            assert!(!entry.classes.is_empty() && !entry.cas.is_empty() && !entry.index.is_empty());
        }
        assert_eq!(ENTRIES.iter().filter(|e| e.limit.is_some()).count(), 1);
        assert_eq!(ENTRIES.iter().filter(|e| e.ate.is_some()).count(), 4);
    }

    /// Annex VI 604-094-00-X.
    #[test]
    fn a_sheet_without_the_laws_limit_is_told() {
        let mut isoeugenol = Substance { cas: Some("97-54-1".into()), ..Substance::default() };
        isoeugenol.classes = harmonised(&isoeugenol).unwrap().classes.clone();
        let (entry, lacks) = beside_harmonised(&isoeugenol).unwrap();
        assert_eq!(
            (entry.index, lacks),
            ("604-094-00-X", vec!["the specific limit `Skin Sens. 1A: 0.01 %`".to_owned()])
        );
        assert!(beside_harmonised(&Substance::default()).is_none());
    }
}
