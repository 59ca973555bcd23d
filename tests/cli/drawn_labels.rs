//! `check --label` and `check --text` as the user meets them.

use crate::bench::Bench;
use crate::drawn::{Dress, Line, advance, good, pdf, set};
use insta::assert_snapshot;
use waxbill::trade::{Lang, Market};

#[test]
fn a_misspelt_warning_is_told_word_by_word_with_its_place() {
    let bench = Bench::new();
    let mut label = good("sea-thrift", Market::Gb);
    let statement = label.statements.iter_mut().find(|s| s.text.contains("allergic")).unwrap();
    statement.text = statement.text.replace("allergic", "alergic");
    bench.file("drawn.pdf", pdf::write(&set(&label)));
    assert_snapshot!(bench.on_the_day(
        "check products/sea-thrift.yaml --market gb --label drawn.pdf --part front=1 --part back=2 --lot 26329A4"
    ));
}

#[test]
fn words_of_a_text_are_checked_without_their_size() {
    let bench = Bench::new();
    let text: Vec<String> = good("dune-grass", Market::Us).statements.iter().map(|s| s.text.clone()).collect();
    bench.file("label.txt", text.join("\n"));
    assert_snapshot!(bench.on_the_day("check products/dune-grass.yaml --text label.txt --lot 26329A4"));
    bench.file("label.txt", text.join("\n").replace("Do not eat", "Do not heat"));
    assert_snapshot!(bench.on_the_day("check products/dune-grass.yaml --text label.txt --lot 26329A4"));
}

#[test]
fn a_label_is_for_one_market_and_its_parts_are_on_its_pages() {
    let bench = Bench::new();
    bench.file("drawn.pdf", pdf::write(&set(&good("low-tide", Market::Us))));
    assert_snapshot!(bench.on_the_day("check products/sea-thrift.yaml --label drawn.pdf"));
    assert_snapshot!(bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=3"));
    bench.file("no.pdf", "no PDF at all");
    assert_snapshot!(bench.on_the_day("check products/low-tide.yaml --label no.pdf"));
}

#[test]
fn a_proof_shows_what_was_read() {
    let bench = Bench::new();
    bench.file("drawn.pdf", pdf::write(&set(&good("low-tide", Market::Us))));
    let told = bench.on_the_day(
        "check products/low-tide.yaml --label drawn.pdf --part front=1 --part back=2 --lot 26329A4 --proof seen.png --json",
    );
    assert!(told.contains("\"verdict\": \"pass\""), "{told}");
    // ISO/IEC 15948, 5.2: the signature every PNG begins with.
    assert!(std::fs::read(bench.path("seen.png")).unwrap().starts_with(b"\x89PNG\r\n\x1a\n"));
}

fn checked(bench: &Bench, label: &crate::drawn::Label) -> String {
    bench.file("drawn.pdf", pdf::write(&set(label)));
    bench.on_the_day(&format!(
        "check products/{}.yaml --market {} --label drawn.pdf --part front=1 --part back=2 --lot 26329A4",
        label.sample, label.market
    ))
}

#[test]
fn a_line_over_the_edge_is_told_and_explained() {
    let bench = Bench::new();
    let mut label = good("low-tide", Market::Us);
    let n = label.statements.iter().position(|s| s.text.starts_with("Light along")).unwrap();
    let mut other = label.statements[n].clone();
    // What a rule asks for is told once, as that.
    label.statements[n].shift = [-12.0, 0.0];
    let told = checked(&bench, &label);
    assert!(told.contains("`Light along the whole wick.` is cut off at the edge of"), "{told}");
    assert!(!told.contains("label/over-the-edge"), "{told}");
    label.statements[n].shift = [0.0, 0.0];
    "Poured while the tide is out.".clone_into(&mut other.text);
    other.shift = [-12.0, 0.0];
    label.statements.push(other);
    let told = checked(&bench, &label);
    assert!(told.contains("[label/over-the-edge]: `Poured while the tide is out.` runs over the edge"), "{told}");
    let said = bench.run("explain label/over-the-edge");
    assert!(said.starts_with("exit code 0") && said.contains("a line of words lies partly beyond the edge"), "{said}");
    let said = bench.run("explain label/over-the-edge --json");
    assert!(said.contains("\"id\": \"label/over-the-edge\""), "{said}");
}

/// The sentence of EUH208 is one statement with its names (CLP, Annex II, 2.8).
#[test]
fn names_on_another_part_than_their_sentence_are_told() {
    let bench = Bench::new();
    let mut label = good("samphire", Market::Gb);
    let n = label.statements.iter().position(|s| s.text.contains("May produce an allergic reaction.")).unwrap();
    let (names, _) = label.statements[n].text.split_once(" May produce").unwrap();
    let mut front = label.statements[n].clone();
    (front.text, front.front) = (names.to_owned(), true);
    label.statements[n].text = "May produce an allergic reaction.".to_owned();
    label.statements.push(front);
    let told = checked(&bench, &label);
    assert!(told.contains("the names and `May produce an allergic reaction` stand on two parts"), "{told}");
}

#[test]
fn words_a_quarter_turned_or_round_a_circle_are_read_where_they_stand() {
    for dress in [Dress::Turned, Dress::Curved] {
        let bench = Bench::new();
        let mut label = crate::drawn::Label { dress, ..good("low-tide", Market::Us) };
        let told = checked(&bench, &label);
        assert!(told.starts_with("exit code 0"), "{dress:?} {told}");
        let name = label.statements.iter_mut().find(|s| s.key == "maker name").unwrap();
        name.text = name.text.replace("Shed", "Shde");
        let told = checked(&bench, &label);
        assert!(told.contains("us/maker#maker name") && told.contains("`Shde` instead of `Shed`"), "{dress:?} {told}");
        assert!(told.contains("page 2 (back), "), "{dress:?} {told}");
    }
}

/// 16 CFR 500.6(b): in lines generally parallel to the base on which the package rests.
#[test]
fn a_quantity_that_climbs_the_label_is_told() {
    let bench = Bench::new();
    let mut label = good("low-tide", Market::Us);
    let net = label.statements.iter_mut().find(|s| s.foot).unwrap();
    (net.turned, net.shift) = (true, [40.0, 0.0]);
    let told = checked(&bench, &label);
    assert!(told.contains("[us/net-quantity-parallel]"), "{told}");
}

/// 16 CFR 500.6(b): in lines generally parallel to the base; more than three degrees off is our own bound.
#[test]
fn a_quantity_on_a_slant_or_round_a_circle_is_told() {
    let bench = Bench::new();
    let net = |turn: f64, each: f64| {
        let mut sheets = set(&good("low-tide", Market::Us));
        let at = sheets[0].lines.iter().position(|l| l.text.contains("NET WT")).unwrap();
        let line = sheets[0].lines.remove(at);
        // Letter by letter, each turned a little more than the one before.
        let (mut x, mut y, mut angle) = (line.x + 4.0, line.baseline - 14.0, turn);
        for c in line.text.chars() {
            let along = advance(c, line.bold) * line.em;
            sheets[0].lines.push(Line { text: c.to_string(), x, baseline: y, turn: angle, ..line.clone() });
            let (sin, cos) = angle.to_radians().sin_cos();
            (x, y, angle) = (x + along * cos, y - along * sin, angle - each);
        }
        bench.file("drawn.pdf", pdf::write(&sheets));
        bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=1 --part back=2 --lot 26329A4")
    };
    for (turn, each) in [(5.0, 0.0), (-5.0, 0.0), (12.0, 0.0), (20.0, 2.0)] {
        let told = net(turn, each);
        assert!(told.contains("[us/net-quantity-parallel]"), "{turn} {each} {told}");
    }
    let told = net(0.0, 0.0);
    assert!(!told.contains("[us/net-quantity-parallel]") && !told.contains("not on the label"), "{told}");
}

/// Letters as in a mirror are none a customer reads.
#[test]
fn mirrored_words_do_not_count_as_written() {
    let bench = Bench::new();
    let content = |mirror: f64| {
        // Of 10 degrees.
        let (cos, sin) = (0.984_807_753, 0.173_648_178);
        let (a, b) = (cos * mirror, sin * mirror);
        format!("BT /F 12 Tf {a:.4} {b:.4} {:.4} {cos:.4} 140 40 Tm (Scented candle) Tj ET", -sin)
    };
    for (mirror, missing) in [(1.0, false), (-1.0, true)] {
        bench.file("drawn.pdf", page(&content(mirror)));
        let told = bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=1");
        let says = told.contains("`Scented candle` is not on the label");
        assert_eq!(says, missing, "{mirror} {told}");
    }
}

/// The text of a label with one statement changed, checked as plain words.
fn worded(bench: &Bench, sample: &str, market: Market, from: &str, to: &str) -> String {
    let text: Vec<String> = good(sample, market).statements.iter().map(|s| s.text.replace('\u{a0}', " ")).collect();
    let text = text.join("\n\n");
    assert!(text.contains(from), "{from} is not in {text}");
    bench.file("label.txt", text.replacen(from, to, 1));
    bench.on_the_day(&format!("check products/{sample}.yaml --market {market} --text label.txt --lot 26329A4"))
}

/// CLP, Annex II, 2.8: `Contains <name of sensitising substance>.` Linalool oxide (CAS 1365-19-1) is another substance than
/// linalool (CAS 78-70-6).
#[test]
fn a_name_counts_whole_and_in_the_list_only() {
    let bench = Bench::new();
    let all = good("samphire", Market::Gb);
    let own = all.statements.iter().find(|s| s.text.contains("May produce")).unwrap().text.replace('\u{a0}', " ");
    let (names, sentence) = own.split_once(". May").unwrap();
    let names: Vec<&str> = names.trim_start_matches("Contains ").split(", ").collect();
    assert!(names.len() > 1, "{own}");
    let (first, last) = (names[0], names[names.len() - 1]);
    let rest = names[1..].join(", ");
    let said = |text: &str| worded(&bench, "samphire", Market::Gb, &own, text);
    let missing = |told: &str, name: &str| {
        told.contains(&format!("the name `{name}` is misspelt"))
            || told.contains(&format!("the name `{name}` is not on the label"))
    };
    let mut turned = names.clone();
    turned.reverse();
    for fine in [
        own.clone(),
        format!("Contains {}. May{sentence}", turned.join(", ")),
        format!("Contains {}\nMay{sentence}", turned.join(", ")),
        format!("Contains {} May{sentence}", turned.join(", ")),
        format!("Contains:\n{}\nMay{sentence}", turned.join("\n")),
        format!("Contains: {}\nMay{sentence}", turned.join("\n")),
    ] {
        let told = said(&fine);
        assert!(!told.contains("the name `"), "{fine} {told}");
    }
    for (wrong, name) in [
        (format!("Contains {first} oxide, {rest}. May{sentence}"), first),
        (format!("Contains {first} oxide, {rest} derivative. May{sentence}"), last),
        (format!("Contains: {rest}\nFree of {first}\nMay{sentence}"), first),
        (format!("Contains {rest}. May{sentence}\nNever mix with {first}."), first),
        (format!("Contains {rest}. {first}. May{sentence}"), first),
    ] {
        let told = said(&wrong);
        assert!(missing(&told, name), "{wrong} {told}");
    }
}

/// Names in another order than ours are measured as they are in ours.
#[test]
fn names_in_another_order_are_measured() {
    let bench = Bench::new();
    let mut label = good("samphire", Market::Gb);
    let s = label.statements.iter_mut().find(|s| s.text.contains("May produce")).unwrap();
    let (names, sentence) = s.text.split_once(". May").unwrap();
    let mut names: Vec<&str> = names.trim_start_matches("Contains").trim_start().split(", ").collect();
    names.reverse();
    s.text = format!("Contains {}. May{sentence}", names.join(", "));
    let told = checked(&bench, &label);
    assert!(told.starts_with("exit code 0"), "{told}");
    let s = label.statements.iter_mut().find(|s| s.text.contains("May produce")).unwrap();
    let (id, em) = (s.id.clone(), s.em);
    s.em *= 0.4;
    let told = checked(&bench, &label);
    assert!(told.contains(&format!("[{id}]")) || told.contains("[policy/text-height]"), "{told}");
    let s = label.statements.iter_mut().find(|s| s.text.contains("May produce")).unwrap();
    (s.em, s.rgb) = (em, [0.5; 3]);
    let told = checked(&bench, &label);
    assert!(told.contains("hardly stand out"), "{told}");
}

/// 15 U.S.C. 1453(a)(2): the net quantity is stated accurately.
#[test]
fn a_range_is_no_net_quantity() {
    let bench = Bench::new();
    let own = "NET WT 9 OZ (255 g)";
    let said = |text: &str| worded(&bench, "low-tide", Market::Us, own, text);
    assert!(said(own).starts_with("exit code 0"), "{}", said(own));
    for wrong in [
        "NET WT 8-9 OZ (255 g)",
        "NET WT 8 to 9 OZ (255 g)",
        "NET WT 5-9 OZ (200-255 g)",
        "NET WT 9 OZ (250\u{2013}255 g)",
    ] {
        let told = said(wrong);
        assert!(told.contains("is no declaration of quantity") && told.starts_with("exit code 1"), "{wrong} {told}");
    }
}

/// 16 CFR 500.6(b) speaks of words that qualify the quantity.
#[test]
fn average_counts_where_it_qualifies_the_quantity() {
    let bench = Bench::new();
    let own = "NET WT 9 OZ (255 g)";
    let said = |text: &str| worded(&bench, "low-tide", Market::Us, own, text);
    for wrong in ["AVERAGE NET WT 9 OZ (255 g)", "NET WT 9 OZ (255 g) nominal", "avg. 9 OZ (255 g)"] {
        let told = said(wrong);
        assert!(told.contains("[us/net-quantity-qualifier]"), "{wrong} {told}");
    }
    let told = said("39 h average, NET WT 9 OZ (255 g)");
    assert!(!told.contains("[us/net-quantity-qualifier]"), "{told}");
}

#[test]
fn insects_are_told_where_something_is_promised_about_them() {
    let bench = Bench::new();
    let own = "NET WT 9 OZ (255 g)";
    for (words, warned) in [("Keeps bugs away", true), ("Stops insects", true), ("A June evening, bugs and all", false)]
    {
        let told = worded(&bench, "low-tide", Market::Us, own, &format!("{own}\n\n{words}"));
        assert!(told.contains("[label/insect-claim]"), "{told}");
        assert_eq!(told.contains("warning[label/insect-claim]"), warned, "{words} {told}");
        assert_eq!(told.starts_with("exit code 1"), warned, "{words} {told}");
    }
}

/// CLP, Article 20(3): where `Danger` is used `Warning` does not appear. Serious eye damage, category 1, from 3 % on calls for
/// `Danger` (CLP, Annex I, Tables 3.3.3 and 3.3.5).
#[test]
fn the_signal_word_that_is_not_due_is_told_either_way() {
    let bench = Bench::new();
    let mut text =
        good("sea-thrift", Market::Gb).statements.iter().map(|s| s.text.clone()).collect::<Vec<_>>().join("\n\n");
    text = text.replace('\u{a0}', " ");
    let said = |text: &str| {
        bench.file("label.txt", text);
        bench.on_the_day("check products/sea-thrift.yaml --market gb --text label.txt --lot 26329A4")
    };
    let told_in = |told: &str, there: &str, due: &str| {
        told.contains(&format!("`{there}` stands on the label, and the signal word of this mixture is `{due}`"))
    };
    assert!(!said(&text).contains("[eu/clp-signal-word"), "{}", said(&text));
    for two in ["Warning\nDANGER", "Danger\nWarning", "Warning Danger"] {
        let told = said(&text.replace("Warning", two));
        assert!(
            told.to_lowercase().contains("`danger` stands on the label") && told_in(&told, "Danger", "Warning"),
            "{told}"
        );
    }
    bench.change("materials/thrift-and-salt.yaml", "\"Skin Sens. 1B, H317\"]}\n    - {name: citral", "\"Skin Sens. 1B, H317\"]}\n    - {name: eugenol, cas: 97-53-0, percent: [55, 60], classes: [\"Eye Dam. 1, H318\"]}\n    - {name: citral");
    let alone = text.replace("Warning", "Danger");
    assert!(!said(&alone).contains("[eu/clp-signal-word"), "{}", said(&alone));
    let told = said(&text.replace("Warning", "Danger\nWarning"));
    assert!(told_in(&told, "Warning", "Danger"), "{told}");
    // In a sentence it is a word like others.
    let told = said(&alone.replace("Danger\n", "Danger\n\nWarning: hot wax runs.\n"));
    assert!(!told_in(&told, "Warning", "Danger"), "{told}");
}

/// Every name of a finding on a stranger's label, each with a label that earns it.
#[test]
fn each_fault_of_a_strangers_label_is_told_by_its_name() {
    let bench = Bench::new();
    let with = |sample: &str, words: &str| {
        let mut label = good(sample, Market::Us);
        let mut more = label.statements.iter().rfind(|s| !s.front).unwrap().clone();
        (more.text, more.id) = (words.to_owned(), "added".to_owned());
        label.statements.push(more);
        checked(&bench, &label)
    };
    let changed = |change: fn(&mut crate::drawn::Statement)| {
        let mut label = good("low-tide", Market::Us);
        change(label.statements.iter_mut().find(|s| s.text.starts_with("Light along")).unwrap());
        checked(&bench, &label)
    };
    let mut melt = good("dune-grass", Market::Us);
    let mut sign = good("sea-thrift", Market::Gb).pictures.into_iter().find(|p| p.sign.ghs().is_none()).unwrap();
    (sign.sign, sign.id) = (waxbill::trade::Sign::KeepInSight, "added".to_owned());
    melt.pictures.push(sign);
    let picture = "q 60 0 0 30 20 20 cm BI /W 2 /H 2 /CS /G /BPC 8 ID 0a0a EI Q";
    bench.file(
        "picture.pdf",
        page(&format!("BT /F 12 Tf 20 125 Td (Low Tide, a scented candle of soy wax) Tj ET {picture}")),
    );
    bench.file("paper.pdf", page("BT /F 12 Tf 20 125 Td (Low Tide) Tj ET").replace("283.465 141.732", "595 842"));
    bench.file("curves.pdf", std::fs::read("tests/foreign/cairo-outlined.pdf").unwrap());
    for (name, told) in [
        ("[label/claim]", with("low-tide", "Non-toxic.")),
        ("[label/other-market]", with("low-tide", "UFI: X300-C0GY-4006-GJTU")),
        ("[label/pair]", with("low-tide", "Keep 10 cm (3 in) from the wall.")),
        ("[label/figure]", with("low-tide", "4 cm")),
        ("[label/contrast]", changed(|s| s.rgb = [0.5; 3])),
        ("[label/squeezed]", changed(|s| s.stretch = 35.0)),
        ("[label/other-kind]", checked(&bench, &melt)),
        ("[label/not-read]", bench.on_the_day("check products/low-tide.yaml --label picture.pdf")),
        ("[label/sheet]", bench.on_the_day("check products/low-tide.yaml --label paper.pdf")),
        ("[label/no-text]", bench.on_the_day("check products/low-tide.yaml --label curves.pdf")),
    ] {
        assert!(told.contains(name), "{name} {told}");
    }
}

/// Every name of a finding that docs/answers.md lists beside those of rules.
#[test]
fn every_listed_name_of_a_finding_is_explained() {
    let bench = Bench::new();
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/docs/answers.md")).unwrap();
    let ids: Vec<&str> = text.split('`').filter(|t| t.starts_with("label/")).collect();
    assert!(ids.len() > 8, "{ids:?}");
    for id in ids {
        let told = bench.run(&format!("explain {id}"));
        assert!(told.starts_with("exit code 0"), "{id}: {told}");
    }
}

#[test]
fn slanted_words_over_a_statement_are_told() {
    let bench = Bench::new();
    let mut label = good("low-tide", Market::Us);
    label.statements.iter_mut().find(|s| s.text.starts_with("Light along")).unwrap().crossed = true;
    let told = checked(&bench, &label);
    assert!(told.contains("of `Light along the whole wick.` lies over or under the letter"), "{told}");
}

/// A line of a label may climb a little; its letters do not lie over each other for that.
#[test]
fn a_slanted_line_alone_is_clean() {
    for slant in [5.0, 12.0, -3.0] {
        let bench = Bench::new();
        let mut label = good("low-tide", Market::Us);
        label.statements.iter_mut().find(|s| s.foot).unwrap().slant = slant;
        let told = checked(&bench, &label);
        // But for what the law says of the direction of a net quantity.
        let other = told.replace("error[us/net-quantity-parallel]", "");
        assert!(!other.contains("error[") && !other.contains("warning["), "{slant}: {told}");
    }
}

#[test]
fn one_finding_tells_of_all_statements_that_stand_unlike_in_two_languages() {
    let bench = Bench::new();
    let mut label = good("plover", Market::Ca);
    label.statements.iter_mut().filter(|s| s.lang == Lang::En && !s.front).for_each(|s| s.em *= 1.2);
    let told = checked(&bench, &label);
    assert_eq!(told.matches("[ca/equal-languages]").count(), 1, "{told}");
    assert!(told.contains("so it is with "), "{told}");
}

/// A page of 100 x 50 mm with this content, one of the 14 standard fonts as /F.
fn page(content: &str) -> String {
    format!(
        "%PDF-1.7\n1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n2 0 obj\n<</Type/Pages/Kids[3 0 R]/Count 1>>\nendobj\n\
         3 0 obj\n<</Type/Page/Parent 2 0 R/MediaBox[0 0 283.465 141.732]/Contents 5 0 R/Resources<</Font<</F 4 0 R>>>>>>\nendobj\n\
         4 0 obj\n<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>\nendobj\n\
         5 0 obj\n<</Length {}>>\nstream\n{content}\nendstream\nendobj\ntrailer\n<</Size 6/Root 1 0 R>>\n%%EOF\n",
        content.len()
    )
}

#[test]
fn words_over_each_other_are_told_once_whether_the_law_asks_for_them_or_not() {
    let bench = Bench::new();
    let over = |first: &str, second: &str| {
        let content = format!("BT /F 9 Tf 20 60 Td ({first}) Tj ET BT /F 9 Tf 22 61 Td ({second}) Tj ET");
        bench.file("drawn.pdf", page(&content));
        bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=1")
    };
    let told = over("Salty and calm", "Brushed with kelp");
    assert!(told.starts_with("exit code 1"), "{told}");
    assert!(
        told.contains("error[label/overlap]: `Salty` and `Brushed` are printed over each other: they share"),
        "{told}"
    );
    let told = over("Scented candle", "Brushed with kelp");
    let times = told.matches("over or under").count() + told.matches("[label/overlap]: `Scented`").count();
    assert_eq!(times, 1, "{told}");
}

#[test]
fn file_that_costs_too_much_to_read_is_refused_with_the_reason() {
    let bench = Bench::new();
    for (name, says) in [
        ("function-wide", "page 1 of the PDF holds a colour, a gradient or a function of more than 512 KB"),
        ("function-program-deep", "page 1 of the PDF holds forms, functions or colours within each other"),
        ("font-widths", "page 1 of the PDF has a font that tells of more letters than any font has"),
        ("bomb-twice", "the streams of the PDF unpack to more than 96 MB"),
    ] {
        bench.file("drawn.pdf", std::fs::read(format!("tests/foreign/broken/{name}.pdf")).unwrap());
        let told = bench.on_the_day("check products/low-tide.yaml --label drawn.pdf --part front=1");
        assert!(told.starts_with(&format!("exit code 2\n--- stderr\nerror[file/pdf]: {says}")), "{name}: {told}");
    }
}
