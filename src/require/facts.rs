//! What the rules may ask about a product.

use super::figures::{BurnTime, Figures};
use super::hazards::Hazards;
use crate::hazard::pack;
use crate::hazard::statements::Signal;
use crate::law::{Fact, Facts};
use crate::product::{California, Code, MetalCore, Product, Role, countries};
use crate::unit::{Area, Volume};

/// Contents of a pack (CLP, Annex I, 1.5.2): the volume of its wax at 0.90 g/ml, near which paraffin and soy lie (common
/// practice). Cut up to the millilitre, so that a pack at the limit counts as the larger one.
pub(super) fn capacity(product: &Product) -> Volume {
    let tenths = product.fill.mass().times(product.pieces).to_ng() / 90_000_000;
    Volume::ml(tenths / 10 + i64::from(tenths % 10 > 0))
}

/// Whether the pack is one of those for which some statements may go.
pub(super) fn small(product: &Product) -> bool {
    capacity(product) <= pack::SMALL
}

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
    let hazards = figures.hazards.as_ref();
    let hazard = |f: fn(&Hazards) -> bool| yes_no(hazards.is_some_and(f));
    set(Fact::Classified, hazard(Hazards::is_classified));
    set(Fact::HazardText, hazard(Hazards::has_text));
    set(
        Fact::SignalWord,
        hazards.and_then(|h| h.whole.elements.signal).map_or("none", |s| match s {
            Signal::Warning => "warning",
            Signal::Danger => "danger",
        }),
    );
    set(Fact::HazardStatement, hazard(Hazards::has_statement));
    set(Fact::Precaution, hazard(|h| !h.precautions.is_empty()));
    set(Fact::Supplement, hazard(|h| !h.found.euh().is_empty()));
    set(Fact::HazardNames, hazard(|h| h.is_classified() && !h.whole.names.printed.is_empty()));
    set(Fact::UnknownToxicity, hazard(|h| h.is_classified() && h.found.unknown.to_percent_f64() >= 1.0));
    set(Fact::UfiDue, hazard(Hazards::ufi_due));
    set(Fact::SmallPack, if small(product) { "up to 125 ml" } else { "larger" });
    let home = product.workshop.maker.country.to_lowercase();
    // Northern Ireland counts with the Union for goods; the file says `XI` for it.
    set(Fact::MakerInTheEu, yes_no(home == "xi" || countries().iter().any(|c| c.code == home)));
    set(Fact::MakerInTheUk, yes_no(home == "gb" || home == "xi"));
    set(Fact::MakerInCanada, yes_no(home == "ca"));
    set(Fact::OrnamentalContainer, yes_no(product.canada.ornamental));
    set(Fact::LocalProduct, yes_no(product.canada.local.is_some()));
    if let Some(panel) = &figures.panel {
        // C.R.C. c. 417, s. 16.
        set(Fact::SmallSurface, if panel.area <= Area::milli_cm2(10_000) { "up to 10 cm2" } else { "larger" });
    }
    set(Fact::France, yes_no(product.countries.iter().any(|c| c.code == "fr")));
    set(Fact::EMark, yes_no(product.e_mark));
    let test = product.burn_test.as_ref();
    set(Fact::TrimGiven, yes_no(wick.is_some_and(|w| w.trim.is_some())));
    set(Fact::DistanceGiven, yes_no(product.care.distance.is_some()));
    set(Fact::StopGiven, yes_no(product.care.stop.or_else(|| test?.stop).is_some()));
    set(Fact::SessionGiven, yes_no(product.care.session.or_else(|| test?.session).is_some()));
    set(Fact::CoolGiven, yes_no(product.care.cool.is_some()));
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
