//! What each hazard class puts on a label: pictogram, signal word, hazard statement and the precautionary statements to
//! choose from. Part of `hazard`, beneath `label`; the table stands in `rules/hazard/label-elements.csv`.

use super::statements::Signal;
use crate::find::Finding;
use crate::trade::{Evidence, Ghs};
use std::sync::OnceLock;

/// One row of the table.
#[derive(Debug, Clone)]
pub struct Element {
    /// The class, sub-categories left out where they change nothing: `Skin Sens. 1`.
    pub class: &'static str,
    /// The hazard statement, without letters for the route or effect: `H360`.
    pub h: &'static str,
    /// None for a few classes.
    pub pictograms: Vec<Ghs>,
    /// None for a few classes.
    pub signal: Option<Signal>,
    /// On prevention.
    pub prevention: Vec<&'static str>,
    /// On response.
    pub response: Vec<&'static str>,
    /// On storage.
    pub storage: Vec<&'static str>,
    /// On disposal.
    pub disposal: Vec<&'static str>,
    /// How pictogram, signal word and hazard statement are known.
    pub elements: Evidence,
    /// How the precautionary statements are known.
    pub precaution: Evidence,
}

impl Element {
    /// All precautionary statements the class offers, in the order of the law.
    pub fn precautionary(&self) -> impl Iterator<Item = &'static str> {
        [&self.prevention, &self.response, &self.storage, &self.disposal].into_iter().flatten().copied()
    }
}

/// The whole table, read at the first question.
#[must_use]
pub fn all() -> &'static [Element] {
    static TABLE: OnceLock<Vec<Element>> = OnceLock::new();
    TABLE.get_or_init(|| {
        include_str!("../../rules/hazard/label-elements.csv").lines().skip(1).filter_map(read).collect()
    })
}

fn read(line: &'static str) -> Option<Element> {
    let cells: Vec<&'static str> = line.split(',').collect();
    let [class, h, pictograms, signal, prevention, response, storage, disposal, elements, precaution] =
        <[&str; 10]>::try_from(cells).ok()?;
    let codes = |cell: &'static str| cell.split_whitespace().collect();
    Some(Element {
        class,
        h,
        pictograms: pictograms.split_whitespace().filter_map(Ghs::from_word).collect(),
        signal: Signal::from_word(signal),
        prevention: codes(prevention),
        response: codes(response),
        storage: codes(storage),
        disposal: codes(disposal),
        elements: Evidence::from_word(elements)?,
        precaution: Evidence::from_word(precaution)?,
    })
}

/// The row of a class with its statement, as safety data sheets write them: `Skin Sens. 1B`, `H317`; `Repr. 2`, `H361d`.
///
/// # Errors
/// A class that is not in the table, or a statement that does not belong to it.
///
/// ```
/// use waxbill::hazard::elements;
/// assert_eq!(elements::of("Skin Sens. 1B", "H317").unwrap().class, "Skin Sens. 1");
/// assert!(elements::of("Skin Sens. 1B", "H315").is_err());
/// ```
pub fn of(class: &str, h: &str) -> Result<&'static Element, Finding> {
    let class = class.trim().trim_end_matches('*').trim_end();
    let h = h.trim().trim_end_matches('*').trim_end();
    let rows = |name: &str| all().iter().filter(|e| e.class == name).collect::<Vec<_>>();
    let exact = rows(class);
    // `1A` is a part of category 1; `Press. Gas (Liq.)` a kind of `Press. Gas`.
    let wider = class.split(" (").next().unwrap_or(class);
    let wider =
        wider.strip_suffix(['A', 'B', 'C']).filter(|c| c.ends_with(|c: char| c.is_ascii_digit())).unwrap_or(wider);
    let found = if exact.is_empty() { rows(wider) } else { exact };
    if found.is_empty() {
        let known: Vec<&str> = all().iter().map(|e| e.class).collect();
        let near = crate::find::nearest(class, &known);
        let cure = near.map_or_else(
            || "write it as the safety data sheet does, for example `Skin Sens. 1B`".to_owned(),
            |n| format!("did you mean `{n}`?"),
        );
        return Err(Finding::input("hazard/class", format!("there is no hazard class `{}`", short(class)), cure));
    }
    let belongs = |e: &&Element| {
        h.strip_prefix(e.h).is_some_and(|rest| rest.bytes().all(|b| matches!(b, b'F' | b'f' | b'D' | b'd' | b'i')))
    };
    found.iter().copied().find(belongs).ok_or_else(|| {
        let own: Vec<&str> = found.iter().map(|e| e.h).collect();
        Finding::input(
            "hazard/statement",
            format!("`{}` does not belong to the class `{class}`", short(h)),
            format!("its statement is `{}`: compare with the safety data sheet", own.join("` or `")),
        )
    })
}

fn short(text: &str) -> String {
    text.chars().take(40).collect()
}

#[cfg(test)]
mod tests {
    use super::{all, of};
    use crate::hazard::statements;

    #[test]
    fn every_line_is_read_and_names_statements_that_exist() {
        let lines = include_str!("../../rules/hazard/label-elements.csv").lines().count() - 1;
        assert_eq!(all().len(), lines);
        for row in all() {
            assert_eq!(of(row.class, row.h).unwrap().h, row.h);
            for code in row.precautionary() {
                assert!(statements::statement(code, "en").is_some(), "{}: {code}", row.class);
            }
        }
    }

    #[test]
    fn sub_categories_and_letters_find_their_row() {
        for (class, h, row) in [
            ("Skin Corr. 1B", "H314", "Skin Corr. 1"),
            ("Repr. 1B", "H360Fd", "Repr. 1"),
            ("Carc. 1B", "H350i", "Carc. 1"),
            ("Flam. Gas 1B", "H221", "Flam. Gas 1B"),
            ("Flam. Gas 1A", "H220", "Flam. Gas 1"),
            ("Press. Gas (Liq.)", "H280", "Press. Gas"),
            ("Acute Tox. 4 *", "H302 *", "Acute Tox. 4"),
            ("Org. Perox. C", "H242", "Org. Perox. C"),
        ] {
            assert_eq!(of(class, h).unwrap().class, row);
        }
        assert!(of("Skin Sans. 1", "H317").unwrap_err().cure.contains("Skin Sens. 1"));
        assert!(of("Repr. 2", "H361x").unwrap_err().message.contains("H361x"));
        assert!(of("", "").is_err() && of("A", "H317").is_err());
    }
}
