//! What the package changes: small packages, sizes of pictogram and letters, tactile warnings and child-resistant closures.
//!
//! Part of `hazard`, after `label` and `precaution`.

use super::label::{Law, classed};
use super::precaution::candidates;
use crate::find::{Evidence, Finding};
use crate::unit::{Length, Volume};
use jiff::civil::{Date, date};

/// What may be left out on a package of up to 125 ml (Annex I, 1.5.2.1), if nothing else makes room. Pictograms, signal
/// word, names, UFI and the sentences for sensitisers always stay.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Relief {
    /// Hazard statements, as the label has them.
    pub hazard: Vec<String>,
    /// Precautionary statements no other class asks for.
    pub precautionary: Vec<String>,
}

impl Relief {
    /// Whether everything stays.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.hazard.is_empty() && self.precautionary.is_empty()
    }

    /// The codes of both kinds, those of hazard first: `H411, P273`.
    #[must_use]
    pub fn codes(&self) -> String {
        self.hazard.iter().chain(&self.precautionary).map(String::as_str).collect::<Vec<_>>().join(", ")
    }
}

/// The largest package with this relief. For a solid the volume of the contents is meant (own reading).
pub const SMALL: Volume = Volume::ml(125);

/// 1.5.2.1.1: statements of hazard and precaution may go; first list for anyone, second only not for the public.
const BOTH: [&[&str]; 2] = [
    &[
        "Ox. Gas 1",
        "Press. Gas",
        "Flam. Liq. 2",
        "Flam. Liq. 3",
        "Flam. Sol. 1",
        "Flam. Sol. 2",
        "Self-react. C",
        "Self-react. D",
        "Self-react. E",
        "Self-react. F",
        "Self-heat. 2",
        "Water-react. 1",
        "Water-react. 2",
        "Water-react. 3",
        "Ox. Liq. 2",
        "Ox. Liq. 3",
        "Ox. Sol. 2",
        "Ox. Sol. 3",
        "Org. Perox. C",
        "Org. Perox. D",
        "Org. Perox. E",
        "Org. Perox. F",
        "Skin Irrit. 2",
        "Eye Irrit. 2",
        "Aquatic Acute 1",
        "Aquatic Chronic 1",
        "Aquatic Chronic 2",
    ],
    &["Acute Tox. 4", "STOT SE 2", "STOT SE 3", "STOT RE 2"],
];
/// 1.5.2.1.2: only statements of precaution may go.
const PRECAUTION: &[&str] = &["Flam. Gas 2", "Lact.", "Aquatic Chronic 3", "Aquatic Chronic 4"];

/// What may be left out for these classes on a package of up to [`SMALL`].
///
/// # Errors
/// A class or statement that does not exist, or do not belong together.
///
/// ```
/// use waxbill::hazard::{label::Law, pack::small};
/// let relief = small(&[("Skin Sens. 1", "H317"), ("Aquatic Chronic 2", "H411")], Law::Eu, true).unwrap();
/// assert_eq!(relief.hazard, ["H411"]);
/// assert_eq!(relief.precautionary, ["P273", "P391"]); // P501 is asked for by H317 too
/// ```
pub fn small(classes: &[(&str, &str)], law: Law, public: bool) -> Result<Relief, Vec<Finding>> {
    let classed = classed(classes, law)?;
    let both = |class: &str| BOTH[0].contains(&class) || (!public && BOTH[1].contains(&class));
    let metal = |class: &str| class == "Met. Corr. 1"; // 1.5.2.1.3
    let precaution = |class: &str| both(class) || metal(class) || PRECAUTION.contains(&class);
    let all = |h: &str, may: &dyn Fn(&str) -> bool| {
        let mut of = classed.iter().filter(|c| c.h == h).peekable();
        of.peek().is_some() && of.all(|c| may(c.row.class))
    };
    let printed = super::label::elements(classes, law)?.hazard;
    // H410 may stand for two classes of which one is Chronic 3 or 4: it goes only where both might.
    let aquatic = |c: &str| c.starts_with("Aquatic");
    let merged = classed.iter().filter(|c| aquatic(c.row.class)).all(|c| both(c.row.class));
    let hazard = printed
        .iter()
        .filter(|h| if h.as_str() == "H410" { merged } else { all(h, &|c| both(c) || metal(c)) })
        .cloned()
        .collect();
    let precautionary = candidates(classes, law)?
        .into_iter()
        .filter(|c| c.because.iter().all(|h| all(h, &precaution)))
        .map(|c| c.code.to_owned())
        .collect();
    Ok(Relief { hazard, precautionary })
}

/// What the package itself must have for the public, any size (Annex II, Part 3), with the classes that ask for it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Fastening {
    /// A closure children cannot open (3.1.1).
    pub child_resistant: Vec<String>,
    /// A mark blind people can feel (3.2.1).
    pub tactile: Vec<String>,
}

/// Closure and tactile mark for these classes.
///
/// # Errors
/// A class or statement that does not exist, or do not belong together.
///
/// ```
/// use waxbill::hazard::{label::Law, pack::fastening};
/// let due = fastening(&[("Repr. 2", "H361"), ("Skin Sens. 1", "H317")], Law::Eu, true).unwrap();
/// assert_eq!(due.tactile, ["Repr. 2"]);
/// assert!(due.child_resistant.is_empty());
/// ```
pub fn fastening(classes: &[(&str, &str)], law: Law, public: bool) -> Result<Fastening, Vec<Finding>> {
    let mut due = Fastening::default();
    for c in classed(classes, law)?.iter().filter(|_| public) {
        let child = matches!(
            c.row.class,
            "Acute Tox. 1"
                | "Acute Tox. 2"
                | "Acute Tox. 3"
                | "STOT SE 1"
                | "STOT RE 1"
                | "Skin Corr. 1"
                | "Asp. Tox. 1"
        );
        let tactile = matches!(
            c.row.h,
            "H300" | "H301" | "H302" | "H310" | "H311" | "H312" | "H330" | "H331" | "H332" | "H314" | "H334" | "H304"
        ) || matches!(
            c.row.class,
            "Muta. 2"
                | "Carc. 2"
                | "Repr. 2"
                | "STOT SE 1"
                | "STOT SE 2"
                | "STOT RE 1"
                | "STOT RE 2"
                | "Flam. Gas 1"
                | "Flam. Gas 1B"
                | "Flam. Gas 2"
                | "Flam. Liq. 1"
                | "Flam. Liq. 2"
                | "Flam. Sol. 1"
                | "Flam. Sol. 2"
        );
        for (wanted, list) in [(child, &mut due.child_resistant), (tactile, &mut due.tactile)] {
            if wanted && !list.iter().any(|l| l == c.class) {
                list.push(c.class.to_owned());
            }
        }
    }
    Ok(due)
}

/// Size of label and pictograms for a package (Table 1.3; the rows before Regulation (EU) 2024/2865).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sizes {
    /// Width and height the label should have where possible.
    pub label: (Length, Length),
    /// The side of each pictogram is at least this.
    pub least: Length,
    /// And this where possible.
    pub wanted: Length,
    /// Whether `label` binds, or only where possible.
    pub binding: bool,
}

/// Table 1.3 for this capacity.
#[must_use]
pub fn sizes(capacity: Volume) -> Sizes {
    let of = |width, height, least, wanted, binding| Sizes {
        label: (Length::mm(width), Length::mm(height)),
        least: Length::mm(least),
        wanted: Length::mm(wanted),
        binding,
    };
    match capacity {
        c if c <= Volume::ml(3_000) => of(52, 74, 10, 16, false),
        c if c <= Volume::ml(50_000) => of(74, 105, 23, 23, true),
        c if c <= Volume::ml(500_000) => of(105, 148, 32, 32, true),
        _ => of(148, 210, 46, 46, true),
    }
}

/// The least side of a pictogram on a label whose part for these elements is so large (1.2.1.4): an area of one fifteenth,
/// and at least 1 cm2. A label larger than [`Sizes::label`] asks for no more than that size does.
///
/// ```
/// use waxbill::{hazard::pack::{pictogram_side, sizes}, unit::{Length, Volume}};
/// let (width, height) = sizes(Volume::ml(250)).label;
/// assert_eq!(pictogram_side(width, height).in_mm(2), "16.01 mm"); // the root of 256.53 mm2
/// assert_eq!(pictogram_side(Length::mm(40), Length::mm(30)), Length::mm(10));
/// ```
#[must_use]
pub fn pictogram_side(width: Length, height: Length) -> Length {
    let area = u128::from(width.to_raw().unsigned_abs()) * u128::from(height.to_raw().unsigned_abs());
    let fifteenth = area.div_ceil(15);
    let root = fifteenth.isqrt();
    let up = if root * root < fifteenth { root + 1 } else { root };
    Length::raw(i64::try_from(up).unwrap_or(i64::MAX / 64)).max_of(Length::mm(10))
}

/// How letters of the label are set on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Letters {
    /// Least height of the lower-case x.
    pub x_height: Length,
    /// Whether the law asks for it, or only good sense.
    pub required: bool,
    /// From line to line, in percent of the em; black on white in one face without serifs goes with it.
    pub line_percent: u16,
    /// Where it stands.
    pub source: &'static str,
    /// Place in it.
    pub clause: &'static str,
    /// How it is known.
    pub seen: Evidence,
    /// What may still change it, if anything.
    pub unsettled: &'static str,
}

/// What the agreed but unpublished amendment would change: told with every answer it touches.
const AGREED: &str = "an amendment agreed in June 2026 (Omnibus VI) was not published by 3 October 2026: it would move the \
    start from 1 January 2028 to 1 January 2030 and ask for an x-height of 1.2 mm, 0.9 mm up to 125 ml, on products \
    for the public only; until it is law the table of Regulation (EU) 2024/2865 stands";

/// What a code on the label may do for these elements, with how it is known.
///
/// Article 21 of Regulation (EU) 2023/988 was read; the digital contact is known from secondary pages.
#[must_use]
pub const fn digital(law: Law) -> Option<(&'static str, Evidence)> {
    match law {
        Law::Eu => Some((
            "a code or link only adds to what is printed: it replaces no hazard element, no name, no address and no \
             safety sentence; a digital contact on the label was agreed in June 2026 and is not law yet",
            Evidence::Secondary,
        )),
        Law::Gb => None,
    }
}

/// The rule in force on a day for a package of this capacity.
///
/// ```
/// use waxbill::{hazard::{label::Law, pack::letters}, unit::{Length, Volume}};
/// use jiff::civil::date;
/// let now = letters(Law::Eu, date(2026, 11, 25), Volume::ml(200));
/// assert!(!now.required && now.unsettled.contains("2030"));
/// let then = letters(Law::Eu, date(2028, 1, 2), Volume::ml(750));
/// assert!(then.required && then.x_height == Length::um(1400));
/// ```
#[must_use]
pub fn letters(law: Law, on: Date, capacity: Volume) -> Letters {
    let rows = include_str!("../../rules/hazard/type-rules.csv").lines().skip(1);
    let mut found: Option<(Date, Letters)> = None;
    for row in rows.filter_map(|line| read(line, law)) {
        let (from, up_to, letters) = row;
        let later = found.as_ref().is_none_or(|(so_far, _)| from > *so_far);
        if from <= on && later && up_to.is_none_or(|up_to| capacity <= up_to) {
            found = Some((from, letters));
        }
    }
    let none = Letters {
        x_height: Length::um(1200),
        required: false,
        line_percent: 120,
        source: "",
        clause: "",
        seen: Evidence::Policy,
        unsettled: "",
    };
    found.map_or(none, |(_, letters)| letters)
}

/// A line of the table: first day, largest capacity, rule.
fn read(line: &'static str, law: Law) -> Option<(Date, Option<Volume>, Letters)> {
    let cells: Vec<&'static str> = line.split(',').collect();
    let [whose, from, up_to, x, binding, source, clause, seen] = <[&str; 8]>::try_from(cells).ok()?;
    if Law::from_word(whose)? != law {
        return None;
    }
    let from = if from.is_empty() { date(1, 1, 1) } else { from.parse().ok()? };
    let up_to = if up_to.is_empty() { None } else { Some(Volume::ml(up_to.parse().ok()?)) };
    let letters = Letters {
        x_height: Length::um(x.parse().ok()?),
        required: binding == "required",
        line_percent: 120,
        source,
        clause,
        seen: Evidence::from_word(seen)?,
        unsettled: if law == Law::Eu { AGREED } else { "" },
    };
    Some((from, up_to, letters))
}
