//! How large the em must be for a letter to have its height. Part of `page`.

use crate::font::Face;
use crate::trade::Measure;
use crate::unit::Length;

/// A scale of type in 64ths; 64 sets each text at its floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Scale(pub i64);

impl Scale {
    /// Every text at its floor.
    pub const FLOOR: Self = Self(64);

    /// A length of the floor, grown.
    pub fn of(self, floor: Length) -> Length {
        floor.times_ratio(self.0, 64)
    }
    /// `num / den` of this scale.
    pub fn times(self, num: i64, den: i64) -> Self {
        Self(self.0 * num / den)
    }
    /// The largest scale at which `floor` stays within `largest`; never below the floor itself.
    pub fn within(floor: Length, largest: Length) -> Self {
        if floor <= Length::ZERO {
            return Self::FLOOR;
        }
        Self((i128::from(largest.to_raw()) * 64 / i128::from(floor.to_raw())).clamp(64, 64 * 64) as i64)
    }
}

/// `units` of a face at this em, rounded up.
pub(super) fn at(em: Length, units: i64, face: &Face) -> Length {
    let upem = face.units_per_em().max(1);
    Length::raw(em.to_raw().saturating_mul(units).saturating_add(upem - 1).div_euclid(upem))
}

/// The em at which `units` of the face are more than `height`, at the next hundredth of a point: a file holds such a figure
/// exactly enough that nothing read from it falls below the height by rounding.
fn em(height: Length, units: i64, face: &Face) -> Length {
    const STEP: i128 = Length::inch(1, 7200).to_raw() as i128;
    let n = i128::from(height.to_raw().max(0)) * i128::from(face.units_per_em());
    let steps = n / (i128::from(units.max(1)) * STEP) + 1;
    Length::raw(i64::try_from(steps * STEP).unwrap_or(i64::MAX / 64))
}

/// Letters by which the height of the `x` can be measured on a print.
const AS_HIGH_AS_X: [char; 4] = ['x', 'v', 'w', 'z'];

/// Letters beside the figures of a Canadian net quantity: 1.6 mm (C.R.C. c. 417, s. 14(4)), and 6 % for who has to judge
/// the `o` by a `g` with its tail.
const REST: Length = Length::um(1700);

/// The least em at which `text` has `height`, measured as `measure` says.
///
/// US net quantity (16 CFR 500.21): (d) capitals where only capitals are used, else the lower-case `o`; (h) SI symbols are
/// judged by the lower-case `d`, and no letter is under 1.6 mm.
pub(super) fn em_for(text: &str, measure: Measure, height: Length, face: &Face) -> Length {
    let small = text.chars().any(char::is_lowercase);
    match measure {
        Measure::Capital => em(height, face.cap_height(), face),
        Measure::LowerX if text.contains(AS_HIGH_AS_X) => em(height, face.x_height(), face),
        // Who measures the print has only an `o` or `a` to go by, and must allow for faces whose `x` is .952 of it.
        Measure::LowerX => em(height.times_ratio(102, 100), face.x_height(), face),
        Measure::Figure => em(height, face.figure_height(), face),
        Measure::FigureOverText => {
            let letters = if small { face.o_height() } else { face.cap_height() };
            em(height, face.figure_height(), face).max(em(REST, letters, face))
        }
        Measure::LowerO if small => em(height, face.o_height(), face),
        Measure::LowerO => em(height, face.cap_height(), face),
        Measure::NetQuantity => {
            let words = || text.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty());
            let si = |w: &str| matches!(w, "g" | "kg" | "mg" | "cm" | "mm" | "m");
            let letters = if words().any(|w| !si(w) && w.chars().any(char::is_lowercase)) {
                face.o_height()
            } else {
                face.cap_height()
            };
            let by_letters = em(height, letters, face);
            let by_symbol = if words().any(si) { em(height, face.d_height(), face) } else { Length::ZERO };
            let smallest = if small { face.x_height() } else { face.cap_height() };
            by_letters.max(by_symbol).max(em(Length::um(1600), smallest, face))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Scale, at, em_for};
    use crate::font::{FaceId, face};
    use crate::trade::Measure;
    use crate::unit::Length;

    const EIGHTH: Length = Length::inch(1, 8);

    /// 16 CFR 500.21(b)(2), (d), (h). Unit heights read from the face with fonttools: H 714, o 556, d 760, x 536 of 1000.
    #[test]
    fn net_quantity_is_measured_on_the_letter_the_rule_names() {
        let f = face(FaceId::NormalBold);
        let em = |text: &str| em_for(text, Measure::NetQuantity, EIGHTH, f);
        let capitals = em("NET WT 9 OZ (255 g)");
        assert!(at(capitals, f.cap_height(), f) >= EIGHTH && at(capitals, f.d_height(), f) >= EIGHTH);
        assert!(at(capitals - Length::um(8), f.cap_height(), f) < EIGHTH);
        let mixed = em("Net Wt 9 oz (255 g)");
        assert!(at(mixed, f.o_height(), f) >= EIGHTH && at(mixed - Length::um(8), f.o_height(), f) < EIGHTH);
        assert!(mixed > capitals);
    }

    #[test]
    fn no_letter_of_a_net_quantity_is_under_1_6_mm() {
        let f = face(FaceId::Normal);
        let em = em_for("2 OZ (56 g)", Measure::NetQuantity, Length::inch(1, 16), f);
        assert!(at(em, f.x_height(), f) >= Length::um(1600));
    }

    #[test]
    fn text_without_small_letters_is_measured_on_capitals() {
        let f = face(FaceId::Normal);
        let mm = Length::mm(2);
        assert_eq!(em_for("LOT 26329A4", Measure::LowerO, mm, f), em_for("LOT 26329A4", Measure::Capital, mm, f));
        assert!(em_for("Lot", Measure::LowerO, mm, f) > em_for("Lot", Measure::Capital, mm, f));
    }

    /// x : o is .952 to .965 in Noto Sans, Noto Serif and `DejaVu` Sans, measured on their outlines.
    #[test]
    fn words_without_an_x_are_high_enough_by_their_o() {
        let f = face(FaceId::NormalBold);
        let em = |text| em_for(text, Measure::LowerX, Length::um(1200), f);
        assert!(at(em("Danger"), f.o_height(), f).times_ratio(952, 1000) >= Length::um(1200));
        assert!(at(em("Away"), f.x_height(), f) >= Length::um(1200) && em("Away") < em("Danger"));
    }

    #[test]
    fn scale_never_goes_below_the_floor() {
        assert_eq!(Scale::within(Length::mm(3), Length::mm(1)), Scale::FLOOR);
        assert_eq!(Scale::within(Length::mm(2), Length::mm(3)), Scale(96));
        assert_eq!(Scale(96).of(Length::mm(2)), Length::mm(3));
    }
}
