//! The rules of the United States: figures against the law's own tables and examples, and what which product needs.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use waxbill::law::{self, Fact, Facts, Height, Rule};
use waxbill::trade::{BlockName, Kind, Lang, Market, Measure, Severity};
use waxbill::unit::{Area, Length};

/// 16 CFR 500.21(b): the limits belong to the smaller height. The law prints the millimetres rounded down, so the check
/// is against the inches; (c) adds 1/16 in to letters blown, embossed or molded.
#[test]
fn panel_heights_change_just_above_each_limit_of_the_law() {
    let inch = Length::inch(1, 1);
    let hair = Length::raw(1);
    let rows = [
        (5, Length::inch(1, 16), Length::inch(1, 8), "1.5"),
        (25, Length::inch(1, 8), Length::inch(3, 16), "3.1"),
        (100, Length::inch(3, 16), Length::inch(1, 4), "4.7"),
        (400, Length::inch(1, 4), Length::inch(1, 2), "6.35"),
    ];
    for (limit, at, above, printed_mm) in rows {
        let area = |width| Area::rectangle(width, inch * limit);
        assert_eq!(law::height_band("us-panel-height", area(inch)).unwrap().least, at, "{limit} sq in");
        assert_eq!(law::height_band("us-panel-height", area(inch - hair)).unwrap().least, at, "below {limit} sq in");
        assert_eq!(law::height_band("us-panel-height", area(inch + hair)).unwrap().least, above, "above {limit} sq in");
        assert!(at.in_mm(4).starts_with(printed_mm), "{} in the law is {}", printed_mm, at.in_mm(4));
        let raised = law::height_band("us-panel-height/raised", area(inch)).unwrap().least;
        assert_eq!(raised, at + Length::inch(1, 16), "16 CFR 500.21(c)");
    }
    assert_eq!(law::height_band("us-panel-height", Area::sq_in(401)).unwrap().clause, "500.21(b)(4)");
    assert!(law::height_band("us-panel-height/carved", Area::sq_in(1)).is_none());
    assert!(law::height_band("moon", Area::sq_in(1)).is_none());
}

/// Area by 16 CFR 500.21(a), heights by (b). The box and the bottle are examples of secondary pages, the rest was
/// computed by hand.
#[test]
fn packages_of_the_trade_get_the_height_of_their_panel() {
    let box_face = Area::rectangle(Length::inch(2, 1), Length::inch(3, 1));
    let bottle = Area::rectangle(Length::inch(11, 2), Length::inch(7, 2)).percent_rounded_up(40);
    let round = |diameter: Length, height: Length| {
        Area::rectangle(diameter.circumference_rounded_up(), height).percent_rounded_up(40)
    };
    let cases = [
        ("box face 2 x 3 in", box_face, 6.0, Length::inch(1, 8)),
        ("bottle 5.5 in round, 3.5 in high", bottle, 7.7, Length::inch(1, 8)),
        ("tea light 1.5 x 0.75 in", round(Length::inch(3, 2), Length::inch(3, 4)), 1.414, Length::inch(1, 16)),
        ("votive 2 x 2 in", round(Length::inch(2, 1), Length::inch(2, 1)), 5.027, Length::inch(1, 8)),
        ("tin 2.75 x 2 in", round(Length::inch(11, 4), Length::inch(2, 1)), 6.912, Length::inch(1, 8)),
        ("jar 3 x 3.5 in", round(Length::inch(3, 1), Length::inch(7, 2)), 13.195, Length::inch(1, 8)),
        ("jar 3.25 x 4 in", round(Length::inch(13, 4), Length::inch(4, 1)), 16.336, Length::inch(1, 8)),
        ("pillar 4 x 6 in", round(Length::inch(4, 1), Length::inch(6, 1)), 30.159, Length::inch(3, 16)),
    ];
    for (what, area, sq_in, least) in cases {
        assert!((area.to_sq_in_f64() - sq_in).abs() < 0.0006, "{what}: {}", area.to_sq_in_f64());
        assert_eq!(law::height_band("us-panel-height", area).unwrap().least, least, "{what}");
    }
}

/// The examples printed in 16 CFR 500.8, 500.9, 500.19 and 500.27 to 500.29; all cut the metric figure.
#[test]
fn printed_examples_follow_from_the_factors_of_the_law() {
    let oz = law::factor("oz", "g").unwrap();
    let thousandths = [
        (12_000, 340, 0),
        (15_000, 425, 0),
        (2_500, 708, 1),
        (2_000, 56, 0),
        (2_000, 566, 1),
        (4_000, 113, 0),
        (20_000, 566, 0),
        (3_400, 963, 1),
        (20_400, 578, 0),
        (6_000, 170, 0),
        (3_200, 90, 0),
        (5_000, 141, 0),
        (11_400, 323, 0),
        (24_000, 680, 0),
    ];
    for (ounces, shown, decimals) in thousandths {
        let exact = i128::from(ounces) * i128::from(oz.num) * 10_i128.pow(decimals);
        assert_eq!(exact / (i128::from(oz.den) * 1000), shown, "{ounces}/1000 oz");
    }
    let lb = law::factor("lb", "g").unwrap();
    assert_eq!(lb.num / lb.den, 453, "1 lb (453 g)");
    let g = law::factor("g", "oz").unwrap();
    assert_eq!(100 * g.num * 10 / g.den, 35, "100 g (3.5 oz)");
    let inch = law::factor("in", "cm").unwrap();
    assert_eq!((inch.num, inch.den), (254, 100), "exact by definition");
    assert!(law::factor("stone", "g").is_none());
}

#[test]
fn a_rule_holds_from_its_first_to_its_last_day() {
    let day = |y, m, d| jiff::civil::date(y, m, d);
    let lead = law::rule("us/wick-lead").unwrap();
    assert!(!lead.in_force(Market::Us, day(2003, 10, 14)), "16 CFR 1500.17(a)(13): from 15 October 2003");
    assert!(lead.in_force(Market::Us, day(2003, 10, 15)));
    assert!(!lead.in_force(Market::Eu, day(2026, 11, 25)));
    let ended = Rule { to: Some(law::Day(2020, 2, 29)), ..*lead };
    assert!(ended.in_force(Market::Us, day(2020, 2, 29)) && !ended.in_force(Market::Us, day(2020, 3, 1)));
}

/// Facts of a plain product of a kind.
fn facts(kind: Kind) -> Facts {
    let mut facts = Facts::new();
    let (wick, vessel) = match kind {
        Kind::WaxMelt => ("none", "none"),
        Kind::ContainerCandle => ("wood", "glass"),
        Kind::TeaLight => ("cotton", "tin"),
        _ => ("cotton", "none"),
    };
    let values = [
        (Fact::Kind, kind.word()),
        (Fact::Wick, wick),
        (Fact::MetalCore, "none"),
        (Fact::Wicks, "one"),
        (Fact::Scented, "yes"),
        (Fact::Vessel, vessel),
        (Fact::Lid, "no"),
        (Fact::BurnClaim, "no"),
        (Fact::California, "no"),
        (Fact::CaliforniaRisk, "none"),
        (Fact::Pieces, "one"),
        (Fact::QrCode, "no"),
        (Fact::Panel, "over 5 sq in"),
        (Fact::Phone, "no"),
    ];
    for (fact, value) in values {
        assert!(facts.set(fact, value));
    }
    facts
}

/// Every statement a product needs in the United States, as `rule: words`.
fn needs(facts: &Facts) -> Vec<(&'static Rule, &'static str, &'static str)> {
    let rules = law::holding(Market::Us, jiff::civil::date(2026, 11, 25), facts).into_iter();
    rules.flat_map(|r| r.needs.iter().map(move |n| (r, *n, law::wording(Lang::En, n).unwrap().text))).collect()
}

fn told(kind: Kind) -> String {
    let mut needs = needs(&facts(kind));
    needs.sort_by_key(|(_, n, _)| law::wording(Lang::En, n).unwrap().order);
    needs.into_iter().map(|(r, _, text)| format!("{:24} {:9} {text}\n", r.id, r.severity.word())).collect()
}

#[test]
fn a_jar_with_a_wooden_wick_gets_its_own_words() {
    insta::assert_snapshot!(told(Kind::ContainerCandle), @"
    policy/product-name      policy    {product name}
    us/identity              required  {identity}
    us/maker                 required  {maker name}
    us/maker                 required  {maker address}
    us/net-weight            required  NET WT {net quantity}
    us/fire-warning-signal   standard  WARNING
    us/fire-warning-messages standard  To prevent fire and serious injury:
    us/fire-warning-messages standard  Burn candle within sight.
    us/fire-warning-messages standard  Keep away from things that catch fire.
    us/fire-warning-messages standard  Keep away from children and pets.
    us/care-trim-wood        advice    Trim wooden wick to {trim} before lighting.
    us/care-light-wood       advice    Light along the whole wick.
    us/care-session          advice    Burn at most {session} at a time.
    us/care-cool             advice    Let cool {cool} before relighting.
    us/care-first-burn       advice    First burn: about {first burn}.
    us/care-stop             advice    Stop at {stop} of wax.
    us/care-pool             advice    Keep wax free of wick bits and matches.
    us/care-draft            advice    Keep from drafts.
    us/care-surface          advice    Burn on a level, heat-safe surface.
    us/care-move             advice    Do not move while lit or hot.
    us/care-snuff            advice    Snuff out; never use water.
    us/care-high-flame       advice    Put out if flame is high or smokes.
    us/care-distance         advice    Keep candles {distance} apart.
    us/care-glass            advice    Do not use chipped or cracked glass.
    us/care-hot              advice    Container gets hot.
    policy/fold-out          policy    Open here: more on safe use inside.
    us/care-ventilate        advice    Use in a ventilated room.
    us/lot-code              policy    Lot {lot}
    ");
}

#[test]
fn a_wax_melt_gets_no_word_about_wick_or_flame() {
    let told = told(Kind::WaxMelt);
    for word in ["flame", "wick", "burn", "fire", "lit ", "lighting", "candle", "snuff"] {
        let words = told.lines().map(|l| l.split_at(35).1.to_lowercase()).find(|l| l.contains(word));
        assert_eq!(words, None);
    }
    insta::assert_snapshot!(told, @"
    policy/product-name      policy    {product name}
    us/identity              required  {identity}
    us/maker                 required  {maker name}
    us/maker                 required  {maker address}
    us/net-weight            required  NET WT {net quantity}
    us/melt-warmer           advice    Use only in a warmer made for wax melts.
    us/melt-no-water         advice    Do not add water.
    us/melt-fill             advice    Do not fill above the rim.
    us/melt-hot              advice    Melted wax is hot: do not touch or move.
    us/melt-eat              advice    Do not eat.
    us/melt-drain            advice    Do not pour down a drain.
    us/melt-children         advice    Keep away from children and pets.
    policy/fold-out          policy    Open here: more on safe use inside.
    us/care-ventilate        advice    Use in a ventilated room.
    us/lot-code              policy    Lot {lot}
    ");
}

#[test]
fn freestanding_candles_get_no_word_about_vessels() {
    for kind in [Kind::Pillar, Kind::Taper] {
        let told = told(kind).to_lowercase();
        for word in ["glass", "container", "vessel", "of wax"] {
            assert!(!told.contains(word), "{kind}: {word}");
        }
        assert!(told.contains("{stop} of candle is left"), "{kind}");
    }
    insta::assert_snapshot!(told(Kind::Taper), @"
    policy/product-name      policy    {product name}
    us/identity              required  {identity}
    us/maker                 required  {maker name}
    us/maker                 required  {maker address}
    us/net-length-taper      required  {count}, LENGTH {length}
    us/fire-warning-signal   standard  WARNING
    us/fire-warning-messages standard  To prevent fire and serious injury:
    us/fire-warning-messages standard  Burn candle within sight.
    us/fire-warning-messages standard  Keep away from things that catch fire.
    us/fire-warning-messages standard  Keep away from children and pets.
    us/care-trim             advice    Trim wick to {trim} before lighting.
    us/care-stop-taper       advice    Put out when {stop} of candle is left.
    us/care-draft            advice    Keep from drafts.
    us/care-holder-taper     advice    Burn upright in a holder that fits.
    us/care-move             advice    Do not move while lit or hot.
    us/care-snuff            advice    Snuff out; never use water.
    us/care-high-flame       advice    Put out if flame is high or smokes.
    us/care-distance         advice    Keep candles {distance} apart.
    policy/fold-out          policy    Open here: more on safe use inside.
    us/care-ventilate        advice    Use in a ventilated room.
    us/lot-code              policy    Lot {lot}
    ");
}

#[test]
fn each_pack_declares_its_quantity_exactly_once() {
    for kind in Kind::ALL {
        for pieces in ["one", "several"] {
            let mut facts = facts(*kind);
            facts.set(Fact::Pieces, pieces);
            let found = needs(&facts).into_iter().filter(|(_, n, _)| n.starts_with("net ")).count();
            assert_eq!(found, 1, "{kind}, {pieces}");
        }
    }
}

#[test]
fn no_product_is_asked_twice_for_the_same_statement() {
    let apart = |a: &Rule, b: &Rule| {
        let same_market = a.markets.iter().any(|m| b.markets.contains(m));
        !same_market
            || a.applies.iter().any(|(fact, values)| {
                b.applies.iter().any(|(other, others)| other == fact && values.iter().all(|v| !others.contains(v)))
            })
    };
    for (index, a) in law::rules().iter().enumerate() {
        for b in &law::rules()[index + 1..] {
            if let Some(statement) = a.needs.iter().find(|n| b.needs.contains(n)) {
                assert!(apart(a, b), "{} and {} can both ask for `{statement}`", a.id, b.id);
            }
        }
    }
}

/// A net quantity on a jar of 13.2 sq in: 1/8 in (16 CFR 500.21(b)(2)), free space and lowest 30 % (500.6(b)).
#[test]
fn the_net_quantity_is_governed_by_height_space_and_place() {
    let rules = law::holding(Market::Us, jiff::civil::date(2026, 11, 25), &facts(Kind::ContainerCandle));
    let ours: Vec<_> = rules.into_iter().filter(|r| r.governs(BlockName::NetQuantity, "net weight")).collect();
    let least = ours.iter().filter_map(|r| law::builtin().least(r, Area::sq_in(13))).max();
    assert_eq!(least, Some((Length::inch(1, 8), Measure::NetQuantity)));
    assert_eq!(ours.iter().find_map(|r| r.clear), Some((1, 2)));
    assert_eq!(ours.iter().find_map(|r| r.lowest_percent), Some(30));
    assert!(ours.iter().any(|r| r.bold) && ours.iter().any(|r| r.principal));
    let mut small = facts(Kind::TeaLight);
    small.set(Fact::Panel, "up to 5 sq in");
    let rules = law::holding(Market::Us, jiff::civil::date(2026, 11, 25), &small);
    assert!(rules.iter().all(|r| r.lowest_percent.is_none()), "16 CFR 500.6(b)(1)");
}

/// The signal word takes the stricter of the fixed height and the one by area.
#[test]
fn the_signal_word_is_never_lower_than_one_and_a_half_messages() {
    let rules = law::holding(Market::Us, jiff::civil::date(2026, 11, 25), &facts(Kind::ContainerCandle));
    for (sq_in, signal, message) in [(1, 2400, 1600), (13, 2778, 1600), (40, 3968, 2381)] {
        let least = |statement: &str| {
            let ours = rules.iter().filter(|r| r.governs(BlockName::Warning, statement));
            ours.filter_map(|r| law::builtin().least(r, Area::sq_in(sq_in))).map(|l| l.0).max().unwrap()
        };
        assert_eq!(least("signal word").to_raw() / 36, signal, "{sq_in} sq in");
        assert_eq!(least("burn within sight").to_raw() / 36, message, "{sq_in} sq in");
        assert!(least("signal word") * 2 >= least("burn within sight") * 3);
    }
}

#[test]
fn every_burning_kind_carries_the_whole_fire_warning() {
    for kind in Kind::ALL {
        let count = needs(&facts(*kind)).into_iter().filter(|(r, ..)| r.severity == Severity::Standard).count();
        assert_eq!(count, if kind.burns() { 5 } else { 0 }, "{kind}");
    }
}

#[test]
fn california_text_comes_only_when_declared_and_only_once() {
    for risk in Fact::CaliforniaRisk.values() {
        let mut facts = facts(Kind::Pillar);
        facts.set(Fact::CaliforniaRisk, risk);
        let count = |facts: &Facts| needs(facts).iter().filter(|(_, n, _)| n.starts_with("california")).count();
        assert_eq!(count(&facts), 0, "not declared");
        facts.set(Fact::California, "yes");
        assert_eq!(count(&facts), if risk == "none" { 1 } else { 2 }, "{risk}");
    }
}

#[test]
fn metal_cored_wicks_bring_the_words_for_the_shipping_box() {
    for kind in [Kind::Pillar, Kind::ContainerCandle] {
        let mut facts = facts(kind);
        facts.set(Fact::MetalCore, "zinc");
        let found = needs(&facts).into_iter().find(|(_, n, _)| *n == "metal core shipping words").unwrap();
        // 16 CFR 1500.17(a)(13)(ii), the words with their full stop.
        assert_eq!(found.2, "Conforms to 16 CFR 1500.17(a)(13).");
        assert!(law::wording(Lang::En, found.1).unwrap().fixed);
    }
}

#[test]
fn care_sentences_are_short_enough_for_a_small_base_label() {
    for rule in law::rules().iter().filter(|r| r.block == Some(BlockName::Care)) {
        for need in rule.needs {
            let text = law::wording(Lang::En, need).unwrap().text;
            assert!(text.chars().count() <= 48, "{need}: {text}");
        }
    }
}

#[test]
fn heights_of_the_warning_rise_from_messages_to_signal_word() {
    let least = |id: &str| match law::rule(id).unwrap().height {
        Height::Least { least, .. } => least,
        other => panic!("{other:?}"),
    };
    let (signal, message) = (least("policy/warning-signal-height"), least("policy/warning-message-height"));
    assert_eq!(message, Length::um(1600));
    assert_eq!(law::rule("policy/warning-ratio").unwrap().figure_text("times"), Some("1.5"));
    assert_eq!(signal, message * 3 / 2);
    assert!(least("policy/text-height") < message);
    for area in [1, 3, 8, 12, 20, 40] {
        let height = |column: &str| {
            law::height_band(&format!("policy-warning-height/{column}"), Area::sq_in(area)).unwrap().least
        };
        assert!(height("signal word") >= height("hazard") && height("hazard") >= height("other text"));
    }
}
