//! The closed lists of the trade: markets, languages, kinds of candle, blocks of a label.
//!
//! No dependencies, so that every room (and `build.rs`, which reads the rules) uses the same words.

/// Makes an enum with one spelling per value, `ALL`, `word()`, `from_word()`, `Display` and `Serialize`.
macro_rules! words {
    ($(#[$meta:meta])* $name:ident { $($(#[$vmeta:meta])* $value:ident = $word:literal),+ $(,)? }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$vmeta])* $value),+ }
        impl $name {
            /// Every value, in order.
            pub const ALL: &'static [Self] = &[$(Self::$value),+];
            /// The spelling used in files, messages and `--json`.
            #[must_use]
            pub const fn word(self) -> &'static str { match self { $(Self::$value => $word),+ } }
            /// The value with this spelling.
            #[must_use]
            pub fn from_word(word: &str) -> Option<Self> { Self::ALL.iter().copied().find(|v| v.word() == word) }
        }
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result { f.write_str(self.word()) }
        }
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> { s.serialize_str(self.word()) }
        }
        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
                let word = <String as serde::Deserialize>::deserialize(d)?;
                Self::from_word(&word).ok_or_else(|| {
                    let known = Self::ALL.iter().map(|v| v.word()).collect::<Vec<_>>().join("`, `");
                    serde::de::Error::custom(format!("`{word}` is not one of `{known}`"))
                })
            }
        }
    };
}

pub(crate) use words;

words! {
    /// Where a label is for.
    Market {
        /// United States.
        Us = "us",
        /// Canada, English and French.
        Ca = "ca",
        /// Quebec, on top of Canada.
        CaQc = "ca-qc",
        /// Great Britain.
        Gb = "gb",
        /// Northern Ireland.
        Ni = "ni",
        /// European Union.
        Eu = "eu",
    }
}

impl Market {
    /// Whether the rules of Canada hold: in all of it, Quebec among it.
    #[must_use]
    pub const fn is_canadian(self) -> bool {
        matches!(self, Self::Ca | Self::CaQc)
    }
}

words! {
    /// A language of a label, by its ISO 639-1 code: the 24 official languages of the European Union.
    Lang {
        /// English.
        En = "en",
        /// French.
        Fr = "fr",
        /// Bulgarian.
        Bg = "bg",
        /// Czech.
        Cs = "cs",
        /// Danish.
        Da = "da",
        /// German.
        De = "de",
        /// Greek.
        El = "el",
        /// Spanish.
        Es = "es",
        /// Estonian.
        Et = "et",
        /// Finnish.
        Fi = "fi",
        /// Irish.
        Ga = "ga",
        /// Croatian.
        Hr = "hr",
        /// Hungarian.
        Hu = "hu",
        /// Italian.
        It = "it",
        /// Lithuanian.
        Lt = "lt",
        /// Latvian.
        Lv = "lv",
        /// Maltese.
        Mt = "mt",
        /// Dutch.
        Nl = "nl",
        /// Polish.
        Pl = "pl",
        /// Portuguese.
        Pt = "pt",
        /// Romanian.
        Ro = "ro",
        /// Slovak.
        Sk = "sk",
        /// Slovenian.
        Sl = "sl",
        /// Swedish.
        Sv = "sv",
    }
}

words! {
    /// What is sold. Anything else (spray, diffuser) is refused: other laws apply to it.
    Kind {
        /// Produced and burnt in the same vessel.
        ContainerCandle = "container candle",
        /// Freestanding.
        Pillar = "pillar",
        /// Slender, needs a holder.
        Taper = "taper",
        /// Burnt inside a votive holder.
        Votive = "votive",
        /// In its own shallow cup.
        TeaLight = "tea light",
        /// No wick; melted in a warmer.
        WaxMelt = "wax melt",
    }
}

impl Kind {
    /// Whether it has a wick and a flame.
    #[must_use]
    pub const fn burns(self) -> bool {
        !matches!(self, Self::WaxMelt)
    }
}

words! {
    /// How strongly a rule binds. The order is from binding to ours.
    Severity {
        /// The file itself cannot be understood; not a rule.
        Input = "input",
        /// Law.
        Required = "required",
        /// Voluntary standard, expected by trade and insurers.
        Standard = "standard",
        /// Usual advice of the trade.
        Advice = "advice",
        /// House policy of this program, never called law.
        Policy = "policy",
    }
}

words! {
    /// How a rule or figure is known, strongest first.
    Evidence {
        /// The text of the law was read.
        Law = "law",
        /// A regulator's text was read.
        Regulator = "regulator",
        /// A secondary page was read.
        Secondary = "secondary",
        /// Computed from something of the above.
        Derived = "derived",
        /// Remembered, not read.
        Memory = "memory",
        /// Chosen by this program.
        Policy = "policy",
    }
}

words! {
    /// A hazard pictogram of CLP, by its number in the law: a symbol in a red frame set on its point.
    Ghs {
        /// Exploding bomb.
        Bomb = "GHS01",
        /// Flame.
        Flame = "GHS02",
        /// Flame over circle.
        FlameOverCircle = "GHS03",
        /// Gas cylinder.
        GasCylinder = "GHS04",
        /// Corrosion.
        Corrosion = "GHS05",
        /// Skull and crossbones.
        Skull = "GHS06",
        /// Exclamation mark.
        Exclamation = "GHS07",
        /// Health hazard.
        HealthHazard = "GHS08",
        /// Environment.
        Environment = "GHS09",
    }
}

words! {
    /// A picture on a label: a hazard pictogram of CLP by its code, or a sign for the safe use of a candle. Drawn by this
    /// program; the drawings of standards are not copied.
    Sign {
        /// Exploding bomb.
        Ghs01 = "GHS01",
        /// Flame.
        Ghs02 = "GHS02",
        /// Flame over circle.
        Ghs03 = "GHS03",
        /// Gas cylinder.
        Ghs04 = "GHS04",
        /// Corrosion.
        Ghs05 = "GHS05",
        /// Skull and crossbones.
        Ghs06 = "GHS06",
        /// Exclamation mark.
        Ghs07 = "GHS07",
        /// Health hazard.
        Ghs08 = "GHS08",
        /// Environment.
        Ghs09 = "GHS09",
        /// A triangle with an exclamation mark; stands alone, without words.
        GeneralWarning = "general warning",
        /// Never leave a burning candle unattended.
        KeepInSight = "keep in sight",
        /// Keep away from things that catch fire.
        ThingsThatCatchFire = "away from things that catch fire",
        /// Keep away from children and pets.
        ChildrenAndPets = "away from children and pets",
        /// Use a heat-resistant holder.
        Holder = "heat-resistant holder",
        /// The candle turns liquid: use a vessel that fits.
        Liquefies = "vessel for liquid wax",
        /// Tea lights: only in a holder with enough air.
        AiredHolder = "aired holder",
        /// Trim the wick to a length.
        Trim = "trim",
        /// Keep a distance between candles.
        Distance = "distance",
        /// Keep out of draughts.
        Draught = "no draught",
        /// Keep away from sources of heat.
        HeatSource = "no heat source",
        /// Stand the candle upright.
        Upright = "upright",
        /// Snuff the flame out, do not blow.
        Snuff = "snuff",
        /// Never put it out with a liquid.
        NoLiquid = "no liquid",
        /// Keep the molten wax free of bits.
        ClearPool = "clear pool",
        /// Do not move a burning candle.
        DoNotMove = "do not move",
        /// Take the packaging off before lighting.
        RemovePackaging = "remove packaging",
        /// Air the room after use.
        AirTheRoom = "air the room",
        /// Do not breathe the smoke.
        NoSmoke = "do not breathe smoke",
    }
}

words! {
    /// A sign of candle safety, drawn by this program; its sentence always stands beside it.
    SafetySign {
        /// Never leave a burning candle unattended.
        InSight = "in sight",
        /// Keep away from things that can catch fire.
        CatchFire = "away from what can catch fire",
        /// Keep away from children and pets.
        Children = "away from children and pets",
        /// Trim the wick.
        TrimWick = "trim wick",
        /// Keep a distance between burning candles.
        Distance = "distance between candles",
    }
}

words! {
    /// A group of statements that stays together on a label.
    BlockName {
        /// The maker's fancy name of the product.
        ProductName = "product name",
        /// What it is: `scented candle`.
        Identity = "identity",
        /// How much is in it.
        NetQuantity = "net quantity",
        /// Who is answerable for it.
        Maker = "maker",
        /// What the law on chemicals asks for, kept together: pictograms, signal word, statements, names, UFI.
        Hazard = "hazard",
        /// Safety alert symbol, signal word and messages.
        Warning = "warning",
        /// Signs for the safe burning of a candle, each with its words.
        CandleSymbols = "candle symbols",
        /// How to burn and look after it.
        Care = "care",
        /// How long it burns, where there is evidence.
        BurnTime = "burn time",
        /// Warning of California, where the maker declares one.
        California = "california",
        /// The lot code.
        Lot = "lot",
        /// The code a telephone reads.
        Code = "code",
        /// Words for the shipping box, not for the jar.
        ShippingBox = "shipping box",
    }
}

words! {
    /// On which letter a least height is measured.
    Measure {
        /// Capital letters.
        Capital = "capital",
        /// Lower-case `o`, where the text has lower-case letters; else capitals.
        LowerO = "lower-case o",
        /// Lower-case `x`.
        LowerX = "lower-case x",
        /// Figures.
        Figure = "figure",
        /// Canadian net quantity: figures; all other letters at least 1.6 mm, by the lower-case `o` or, where there are
        /// only capitals, by these (C.R.C. c. 417, s. 14(1), (2), (4)).
        FigureOverText = "figure over text",
        /// US net quantity: capitals if only capitals are used, else lower-case `o`;
        /// metric symbols by the height of `d` (16 CFR 500.21(d), (h)).
        NetQuantity = "net quantity",
    }
}

impl Sign {
    /// Its place in the law, where it is a hazard pictogram.
    #[must_use]
    pub fn ghs(self) -> Option<Ghs> {
        Ghs::from_word(self.word())
    }
}

impl From<Ghs> for Sign {
    fn from(ghs: Ghs) -> Self {
        match ghs {
            Ghs::Bomb => Self::Ghs01,
            Ghs::Flame => Self::Ghs02,
            Ghs::FlameOverCircle => Self::Ghs03,
            Ghs::GasCylinder => Self::Ghs04,
            Ghs::Corrosion => Self::Ghs05,
            Ghs::Skull => Self::Ghs06,
            Ghs::Exclamation => Self::Ghs07,
            Ghs::HealthHazard => Self::Ghs08,
            Ghs::Environment => Self::Ghs09,
        }
    }
}
