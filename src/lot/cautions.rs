//! What the batch sheet says about safety at the bench: common practice, no source, in plain words.
//!
//! These are reminders for somebody who knows the work. Local codes and the suppliers' sheets come first.

/// One caution of the batch sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Caution {
    pub text: &'static str,
    /// Only where the recipe has fragrance.
    pub scented: bool,
    /// Only where the goods have a flame.
    pub burns: bool,
}

const fn always(text: &'static str) -> Caution {
    Caution { text, scented: false, burns: false }
}

const fn scented(text: &'static str) -> Caution {
    Caution { text, scented: true, burns: false }
}

/// How all of [`CAUTIONS`] are known.
pub const KNOWN_FROM: &str = "common practice, no source";

/// In the order of the work.
pub(super) const CAUTIONS: &[Caution] = &[
    always("Melt in a water bath or a melter with a thermostat, never on direct heat. Do not leave melting wax alone."),
    always(
        "Keep a thermometer in the wax and stop at this sheet's ceilings. Above 100 °C only with good reason, never above 120 °C.",
    ),
    always("Keep water out of wax and vessels: a drop flashes to steam and spits. Do not let the bath boil dry."),
    always(
        "A wax fire is a fat fire: lid on, heat off, fire blanket, powder or CO2. Never water. Have lid and extinguisher at hand first.",
    ),
    scented(
        "No flame, gas ring or glowing heater near open fragrance oil or scented hot wax. Close the bottles, store them cool.",
    ),
    scented(
        "Air the room. Wear gloves and eye protection with neat oil: its own safety sheet applies to you, not the candle's. Oily rags go into a closed metal tin.",
    ),
    always("Burnt skin: cool under running water, do not peel wax off."),
    always(
        "Pour on a level, heat-proof bench into dry, clean vessels. Mark the pitchers. No children or animals in the room.",
    ),
    always("No wax down the drain."),
    Caution {
        text: "A burn test is a fire: 30 cm (1 ft) clear all round, extinguisher at hand, somebody watching all the time.",
        scented: false,
        burns: true,
    },
    scented("Neat oil attacks plastic and lacquer: wipe spills before labels go on."),
];

/// What the whole sheet yields to.
pub const DEFERENCE: &str = "Local fire and building codes, the suppliers' sheets and licensed advice come before this sheet. \
                             It is the maker's own record, and no approval of any kind.";
