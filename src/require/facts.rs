//! What the rules may ask about a product.

use super::figures::{BurnTime, Figures};
use crate::law::{Fact, Facts};
use crate::product::{California, Code, MetalCore, Product, Role};
use crate::unit::Area;

/// The facts of this product.
#[must_use]
pub fn of(product: &Product, figures: &Figures) -> Facts {
    let yes_no = |b: bool| if b { "yes" } else { "no" };
    let one_several = |n: u32| if n == 1 { "one" } else { "several" };
    let wick = product.wick.as_ref();
    let mut facts = Facts::new();
    let mut set = |fact: Fact, value: &str| {
        let known = facts.set(fact, value);
        debug_assert!(known, "`{value}` is a value of `{fact}`");
    };
    set(Fact::Kind, product.kind.word());
    set(Fact::Wick, wick.map_or("none", |w| w.kind.word()));
    set(Fact::MetalCore, wick.and_then(|w| w.metal_core).unwrap_or(MetalCore::None).word());
    set(Fact::Wicks, one_several(wick.map_or(1, |w| w.count)));
    set(Fact::Scented, yes_no(product.recipe.iter().any(|l| l.role == Role::Fragrance)));
    set(Fact::Vessel, product.vessel.as_ref().map_or("none", |v| v.material.word()));
    set(Fact::Lid, yes_no(product.vessel.as_ref().is_some_and(|v| v.lid)));
    set(Fact::BurnClaim, yes_no(matches!(figures.burn_time, BurnTime::Claim(_))));
    set(Fact::California, yes_no(product.california.is_some()));
    set(Fact::CaliforniaRisk, california_risk(product.california.as_ref()));
    set(Fact::Pieces, one_several(product.pieces));
    set(Fact::QrCode, yes_no(product.label.code != Code::None));
    set(Fact::Phone, yes_no(product.workshop.maker.phone.is_some()));
    if let Some(panel) = &figures.panel {
        set(Fact::Panel, if panel.area <= Area::sq_in(5) { "up to 5 sq in" } else { "over 5 sq in" });
    }
    facts
}

fn california_risk(declared: Option<&California>) -> &'static str {
    match declared.map(|c| (c.cancer.as_deref(), c.reproductive.as_deref())) {
        None | Some((None, None)) => "none",
        Some((Some(_), None)) => "cancer",
        Some((None, Some(_))) => "reproductive harm",
        Some((Some(a), Some(b))) if a.eq_ignore_ascii_case(b) => "both from one chemical",
        Some((Some(_), Some(_))) => "both from two chemicals",
    }
}
