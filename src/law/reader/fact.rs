//! The closed list of facts about a product that a rule may ask for; used by `row` and, with values, by `require`.

use crate::trade::{Kind, words};
use std::collections::BTreeMap;

words! {
    /// One thing about a product that decides whether a rule applies.
    Fact {
        /// What is sold: a value of [`Kind`].
        Kind = "kind",
        /// What the wick is made of.
        Wick = "wick",
        /// The wire inside the wick.
        MetalCore = "metal core",
        /// One wick or more in a candle.
        Wicks = "wicks",
        /// Whether fragrance was added.
        Scented = "scented",
        /// What the vessel is made of.
        Vessel = "vessel",
        /// Whether a lid is sold with it.
        Lid = "lid",
        /// Whether the label states how long it burns.
        BurnClaim = "burn claim",
        /// Whether the maker declares a warning of California.
        California = "california",
        /// Which harm the declared chemicals of California are listed for.
        CaliforniaRisk = "california risk",
        /// One candle in the pack, or several.
        Pieces = "pieces",
        /// Area of the principal display panel (16 CFR 500.6(b)(1) knows one limit).
        Panel = "panel",
        /// Whether the maker wants a code for telephones.
        QrCode = "qr code",
        /// Whether the maker gives a telephone number for the label.
        Phone = "phone",
        /// Whether the mixture has at least one hazard class.
        Classified = "classified",
        /// Whether the law on chemicals asks for any text: classified, or a supplemental statement such as EUH208 is due.
        HazardText = "hazard text",
        /// Signal word of the mixture.
        SignalWord = "signal word",
        /// Whether hazard statements are printed: of a class, and not left out on a small package.
        HazardStatement = "hazard statement",
        /// Whether precautionary statements are printed.
        Precaution = "precaution",
        /// Whether a supplemental statement such as EUH208 is due.
        Supplement = "supplement",
        /// Whether substances are named for the classes they cause (CLP, Article 18(3)(b)); not the names within EUH208.
        HazardNames = "hazard names",
        /// Whether ingredients of unknown acute toxicity have to be told on the label.
        UnknownToxicity = "unknown toxicity",
        /// Whether a UFI is due: classified for health or physical hazards, in the Union or Northern Ireland.
        UfiDue = "ufi due",
        /// Contents of the package (CLP, Annex I, 1.5.2): for a solid the volume of the wax.
        SmallPack = "small pack",
        /// Whether the maker is established in the Union or in Northern Ireland.
        MakerInTheEu = "maker in the eu",
        /// Whether the maker is established in the United Kingdom.
        MakerInTheUk = "maker in the uk",
        /// Whether the maker is in Canada.
        MakerInCanada = "maker in canada",
        /// Whether the container is an ornament, and sold as one (C.R.C. c. 417, s. 2).
        OrnamentalContainer = "ornamental container",
        /// Whether the product is made and sold in one place alone (C.R.C. c. 417, s. 6(1)).
        LocalProduct = "local product",
        /// Whether the principal display surface is so small that s. 16 of C.R.C. c. 417 lets letters be lower.
        SmallSurface = "small surface",
        /// Whether the product goes to France.
        France = "france",
        /// Whether the maker puts the sign ℮ beside the quantity.
        EMark = "e mark",
        /// Whether the maker gives the length to trim the wick to.
        TrimGiven = "trim given",
        /// Whether the maker gives a distance between candles.
        DistanceGiven = "distance given",
        /// Whether the maker gives the height of wax at which to stop.
        StopGiven = "stop given",
        /// Whether the maker gives the longest time to burn at once.
        SessionGiven = "session given",
        /// Whether the maker gives the time to cool before relighting.
        CoolGiven = "cool given",
    }
}

impl Fact {
    /// The values it can take, as written in rule files.
    #[must_use]
    pub fn values(self) -> Vec<&'static str> {
        match self {
            Self::Kind => Kind::ALL.iter().map(|k| k.word()).collect(),
            Self::Wick => vec!["wood", "cotton", "paper", "hemp", "none"],
            Self::MetalCore => vec!["none", "zinc", "tin", "other"],
            Self::Wicks | Self::Pieces => vec!["one", "several"],
            Self::Vessel => vec!["glass", "tin", "ceramic", "stone", "wood", "plastic", "none"],
            Self::Scented
            | Self::Lid
            | Self::BurnClaim
            | Self::California
            | Self::QrCode
            | Self::Phone
            | Self::Classified
            | Self::HazardText
            | Self::HazardStatement
            | Self::Precaution
            | Self::Supplement
            | Self::HazardNames
            | Self::UnknownToxicity
            | Self::UfiDue
            | Self::MakerInTheEu
            | Self::MakerInTheUk
            | Self::MakerInCanada
            | Self::OrnamentalContainer
            | Self::LocalProduct
            | Self::France
            | Self::EMark
            | Self::TrimGiven
            | Self::DistanceGiven
            | Self::StopGiven
            | Self::SessionGiven
            | Self::CoolGiven => vec!["yes", "no"],
            Self::SignalWord => vec!["none", "warning", "danger"],
            Self::SmallPack => vec!["up to 125 ml", "larger"],
            Self::CaliforniaRisk => {
                vec!["none", "cancer", "reproductive harm", "both from one chemical", "both from two chemicals"]
            }
            Self::Panel => vec!["up to 5 sq in", "over 5 sq in"],
            Self::SmallSurface => vec!["up to 10 cm2", "larger"],
        }
    }
}

/// What is known about one product, a value for each fact.
///
/// ```
/// use waxbill::law::{Fact, Facts};
/// let mut facts = Facts::new();
/// assert!(facts.set(Fact::Kind, "wax melt"));
/// assert_eq!(facts.get(Fact::Kind), Some("wax melt"));
/// assert!(!facts.set(Fact::Kind, "spray"), "not a value of this fact");
/// ```
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Facts(BTreeMap<Fact, &'static str>);

impl Facts {
    /// Nothing known: only rules without conditions apply.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }
    /// Sets a fact. Answers whether `value` is one of its values; any other is not taken.
    pub fn set(&mut self, fact: Fact, value: &str) -> bool {
        let known = fact.values().into_iter().find(|v| *v == value);
        if let Some(value) = known {
            self.0.insert(fact, value);
        }
        known.is_some()
    }
    /// The value, where known.
    #[must_use]
    pub fn get(&self, fact: Fact) -> Option<&'static str> {
        self.0.get(&fact).copied()
    }
    /// All that is known, in the order of the facts.
    pub fn iter(&self) -> impl Iterator<Item = (Fact, &'static str)> + '_ {
        self.0.iter().map(|(fact, value)| (*fact, *value))
    }
}
