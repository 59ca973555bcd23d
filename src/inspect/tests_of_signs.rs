//! Pictograms as other people draw them: told by their symbols, drawn or in pictures.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use super::{Frame, SeenPage, labels, signs};

use crate::plan::Shape;
use crate::trade::Ghs;
use crate::unit::Length;

fn told(page: &SeenPage) -> Vec<Option<Ghs>> {
    let shape = Shape::Rectangle { width: Length::from_mm_f64(page.width), height: Length::from_mm_f64(page.height) };
    let mut found: Vec<_> = signs(page, shape).into_iter().filter(|s| s.frame == Frame::Diamond).collect();
    found.sort_by(|a, b| (a.area.top.round(), a.area.left).partial_cmp(&(b.area.top.round(), b.area.left)).unwrap());
    for sign in &found {
        assert!(sign.is_red() && sign.faults.is_empty(), "{:?}", sign.faults);
        // 20 mm across its corners.
        assert!((sign.side - 20.0 / 2.0_f64.sqrt()).abs() < 0.02 * sign.side, "{} mm", sign.side);
    }
    found.into_iter().map(|s| s.ghs).collect()
}

/// The pictures of the United Nations (GHS, Annex 1) as the LaTeX package ghsystem has them; tests/foreign/README.md tells more.
#[test]
fn official_pictograms_are_told_drawn_and_in_pictures() {
    use Ghs::*;
    for label in labels(include_bytes!("../../tests/foreign/signs/pictograms.pdf"), 0.4).unwrap() {
        let all = [Bomb, Flame, FlameOverCircle, GasCylinder, Corrosion, Skull, Exclamation, HealthHazard, Environment];
        assert_eq!(told(&label.page), all.map(Some), "page {}", label.page.number);
    }
}
