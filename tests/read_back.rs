//! Sets a small label by hand, writes it, and sees that `inspect` finds every single fault and none where there is none.

#![allow(
    clippy::cast_possible_wrap,
    clippy::disallowed_methods,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test stops at the first surprise and reads the clock"
)]

use waxbill::find::{Finding, Level};
use waxbill::font::FaceId;
use waxbill::inspect;
use waxbill::page::{Ink, Page, Paint, Path, Placed, Point, Ring, Segment, Text};
use waxbill::pdf;
use waxbill::plan::{Align, Block, Cell, ClearSpace, Content, Item, Part, Plan, Row, Shape};
use waxbill::trade::{BlockName, Lang, Market, Measure, Severity};
use waxbill::unit::Length;

const URL: &str = "https://quillmere.example/26329A7";

fn um(um: i64) -> Length {
    Length::um(um)
}

/// Heights of Noto Sans SemiCondensed in thousandths of the em: capital, `o` (measured on the font's outlines).
const CAP: i64 = 714;
const LOWER_O: i64 = 556;

/// The em at which a letter of so many thousandths is `height` high.
fn em(height: Length, letter: i64) -> Length {
    Length::raw((height.to_raw() * 1000 + letter - 1) / letter)
}

fn item(id: &str, text: &str, least: Length, measure: Measure) -> Item {
    Item {
        id: id.into(),
        severity: Severity::Required,
        content: Content::Text { text: text.into(), lang: Lang::En },
        least,
        measure,
        bold: false,
        clear: None,
        lowest_percent: None,
    }
}

/// The statements of the label.
fn plan(shape: Shape) -> Plan {
    let cap = um(1600);
    let warning = Item {
        content: Content::AlertText { text: "WARNING".into(), lang: Lang::En },
        bold: true,
        severity: Severity::Standard,
        ..item("warning", "", cap, Measure::Capital)
    };
    let quantity = Item {
        clear: Some(ClearSpace { heights: 1, widths_of_n: 2 }),
        lowest_percent: Some(30),
        ..item("quantity", "Net Wt 9\u{A0}oz (255\u{A0}g)", um(2000), Measure::NetQuantity)
    };
    let code = Item {
        content: Content::Qr { payload: URL.into(), module: um(400) },
        severity: Severity::Policy,
        ..item("code", "", Length::ZERO, Measure::Figure)
    };
    let block = |name, items| Cell {
        block: Block { name, items, run_on: false, frame: false, largest: um(3000) },
        align: Align::Left,
        width: None,
    };
    let row = |cells| Row { cells, at_foot: false };
    let fire = vec![
        warning,
        item("sight", "Burn within sight.", cap, Measure::Capital),
        item("things", "Keep away from things that catch fire.", cap, Measure::Capital),
        item("children", "Keep away from children and pets.", cap, Measure::Capital),
    ];
    let care = vec![item("trim", "Trim the wick to 3/16\u{A0}in before each burning.", um(1200), Measure::LowerX)];
    let rows = vec![
        row(vec![block(BlockName::Identity, vec![item("identity", "Scented candle", cap, Measure::LowerO)])]),
        row(vec![block(BlockName::Warning, fire), block(BlockName::Care, care)]),
        row(vec![block(BlockName::Code, vec![code])]),
        row(vec![block(BlockName::NetQuantity, vec![quantity])]),
    ];
    let part = Part { name: "front".into(), principal: true, shape, margin: um(2000), rows };
    Plan { market: Market::Us, product: "Low Tide".into(), languages: vec![Lang::En], equal: None, parts: vec![part] }
}

fn text(x: i64, baseline: i64, size: Length, face: FaceId, text: &str) -> Placed {
    Placed::Text(Text { text: text.into(), face, size, x: um(x), baseline: um(baseline), ink: Ink::Black })
}

fn at(x: i64, y: i64) -> Point {
    Point { x: um(x), y: um(y) }
}

fn ring(points: &[(i64, i64)]) -> Ring {
    let mut points = points.iter().map(|&(x, y)| at(x, y));
    let start = points.next().unwrap();
    Ring { start, to: points.map(Segment::Line).collect(), closed: true }
}

fn rectangle(x: i64, y: i64, width: i64, height: i64) -> Ring {
    ring(&[(x, y), (x + width, y), (x + width, y + height), (x, y + height)])
}

/// The safety alert symbol: a triangle with an exclamation mark cut out.
fn symbol(x: i64, foot: i64, height: i64) -> Placed {
    let width = height * 1155 / 1000;
    let (middle, bar) = (x + width / 2, height / 12);
    let rings = vec![
        ring(&[(x, foot), (middle, foot - height), (x + width, foot)]),
        rectangle(middle - bar, foot - height * 2 / 3, 2 * bar, height * 2 / 5),
        rectangle(middle - bar, foot - height * 2 / 10, 2 * bar, height / 10),
    ];
    Placed::Path(Path { rings, paint: Paint::FillEvenOdd(Ink::Black) })
}

/// A QR code with modules of so many micrometres, one ring for each run of dark modules.
fn qr(payload: &str, x: i64, y: i64, module: i64) -> Placed {
    let code = qrcode::QrCode::new(payload).unwrap();
    let side = code.width();
    let colors = code.to_colors();
    let mut rings = Vec::new();
    for (row, line) in colors.chunks(side).enumerate() {
        let mut from = 0;
        while from < side {
            let run = line[from..].iter().take_while(|c| **c == qrcode::Color::Dark).count();
            if run > 0 {
                let (from, run, row) = (from as i64, run as i64, row as i64);
                rings.push(rectangle(x + from * module, y + row * module, run * module, module));
            }
            from += run.max(1);
        }
    }
    Placed::Path(Path { rings, paint: Paint::Fill(Ink::Black) })
}

/// What the faultless label carries: 60 x 80 mm.
fn items() -> Vec<Placed> {
    let (cap, o) = (em(um(1600), CAP), em(um(1600), LOWER_O));
    let small = em(um(1200), 536);
    let quantity = em(um(2000), LOWER_O);
    let (normal, bold) = (FaceId::Normal, FaceId::NormalBold);
    vec![
        text(4_000, 8_000, o, normal, "Scented candle"),
        symbol(4_000, 20_000, 2_200),
        text(7_000, 20_000, cap, bold, "WARNING"),
        text(4_000, 23_000, cap, normal, "Burn within sight."),
        text(4_000, 26_000, cap, normal, "Keep away from things"),
        text(4_000, 29_000, cap, normal, "that catch fire."),
        text(4_000, 32_000, cap, normal, "Keep away from"),
        text(4_000, 35_000, cap, normal, "children and pets."),
        text(32_000, 23_000, small, normal, "Trim the wick to"),
        text(32_000, 26_000, small, normal, "3/16\u{A0}in before each"),
        text(32_000, 29_000, small, normal, "burning."),
        qr(URL, 6_000, 40_000, 420),
        text(10_000, 70_000, quantity, normal, "Net Wt 9\u{A0}oz (255\u{A0}g)"),
    ]
}

const RECTANGLE: Shape = Shape::Rectangle { width: Length::mm(60), height: Length::mm(80) };
const ABOUT: pdf::About<'static> = pdf::About { title: "Low Tide", language: "en", subject: "candle label" };

fn write(items: Vec<Placed>, trim: Shape) -> Vec<u8> {
    pdf::write(&[Page { part: "front".into(), trim, items }], &ABOUT).unwrap()
}

fn check(items: Vec<Placed>) -> Vec<Finding> {
    inspect::check(&write(items, RECTANGLE), &plan(RECTANGLE))
}

/// Changes the text that reads so.
fn change(reads: &str, how: impl Fn(&mut Text)) -> Vec<Finding> {
    let mut items = items();
    let mut changed = 0;
    for item in &mut items {
        if let Placed::Text(text) = item
            && text.text == reads
        {
            how(text);
            changed += 1;
        }
    }
    assert_eq!(changed, 1, "no line reads `{reads}`");
    check(items)
}

/// Exactly one finding, of this item, and its message says this.
fn only(findings: &[Finding], id: &str, says: &str) {
    assert_eq!(findings.len(), 1, "{findings:#?}");
    assert_eq!(findings[0].id, id, "{findings:#?}");
    assert!(findings[0].message.contains(says), "{findings:#?}");
    assert!(!findings[0].cure.is_empty());
}

#[test]
fn faultless_label_has_no_findings() {
    let findings = check(items());
    assert!(findings.is_empty(), "{findings:#?}");
}

#[test]
fn every_missing_line_is_found() {
    for n in 0..items().len() {
        let mut rest = items();
        let removed = rest.remove(n);
        let findings = check(rest);
        assert_eq!(findings.len(), 1, "without {removed:?}: {findings:#?}");
        assert!(findings[0].on_page.as_ref().is_some_and(|p| p.page == 1 && p.part.as_deref() == Some("front")));
    }
}

#[test]
fn one_wrong_letter_is_found() {
    let findings = change("children and pets.", |t| t.text = "childern and pets.".into());
    only(&findings, "children", "not whole");
    assert_eq!(findings[0].expected.as_deref(), Some("children"));
    assert_eq!(findings[0].found.as_deref(), Some("childern"));
    assert_eq!(findings[0].level, Level::Error);
}

#[test]
fn letters_one_percent_too_small_are_found() {
    let smaller = |t: &mut Text| t.size = t.size.times_ratio(99, 100);
    only(&change("WARNING", smaller), "warning", "too small");
    only(&change("Burn within sight.", smaller), "sight", "too small");
    only(&change("that catch fire.", smaller), "things", "too small");
    only(&change("Scented candle", smaller), "identity", "too small");
    only(&change("Net Wt 9\u{A0}oz (255\u{A0}g)", smaller), "quantity", "too small");
    // This line has neither `x` nor `z` but `w` and `v` stand in the same font.
    only(&change("burning.", smaller), "trim", "too small");
}

#[test]
fn regular_signal_word_is_found() {
    only(&change("WARNING", |t| t.face = FaceId::Normal), "warning", "not printed in bold");
}

#[test]
fn text_over_the_edge_is_found() {
    only(&change("Scented candle", |t| t.x = um(-500)), "identity", "over the edge");
    only(&change("Scented candle", |t| t.x = um(100)), "identity", "from the edge");
}

#[test]
fn text_outside_a_disc_is_found() {
    let disc = Shape::Circle { diameter: Length::mm(60) };
    let plan = |text: &str| {
        let mut plan = plan(disc);
        plan.parts[0].rows.truncate(1);
        plan.parts[0].rows[0].cells[0].block.items = vec![item("name", text, um(1200), Measure::LowerX)];
        plan
    };
    let size = em(um(1500), 536);
    let at = |x, y| write(vec![text(x, y, size, FaceId::Normal, "Low Tide")], disc);
    assert!(inspect::check(&at(25_000, 30_000), &plan("Low Tide")).is_empty());
    // Inside the page's box, outside the disc.
    only(&inspect::check(&at(2_000, 8_000), &plan("Low Tide")), "name", "over the edge");
}

#[test]
fn text_outside_rounded_corners_is_found() {
    let trim = Shape::Rounded { width: Length::mm(60), height: Length::mm(80), corner: Length::mm(10) };
    let mut plan = plan(trim);
    plan.parts[0].rows.truncate(1);
    let set = |x, y| write(vec![text(x, y, em(um(1600), LOWER_O), FaceId::Normal, "Scented candle")], trim);
    assert!(inspect::check(&set(10_000, 8_000), &plan).is_empty());
    only(&inspect::check(&set(1_000, 4_000), &plan), "identity", "over the edge");
}

#[test]
fn text_over_text_is_found() {
    let findings = change("Burn within sight.", |t| t.baseline = um(25_000));
    assert!(findings.iter().any(|f| f.id == "sight" && f.message.contains("over or under")), "{findings:#?}");
    assert!(findings.iter().all(|f| f.message.contains("over or under")), "{findings:#?}");
}

#[test]
fn text_over_a_dark_shape_is_found() {
    let mut with = items();
    with.insert(
        0,
        Placed::Path(Path { rings: vec![rectangle(3_000, 21_500, 8_000, 2_000)], paint: Paint::Fill(Ink::Black) }),
    );
    only(&check(with), "sight", "too pale against what it stands on");
}

#[test]
fn net_quantity_too_high_on_the_panel_is_found() {
    only(&change("Net Wt 9\u{A0}oz (255\u{A0}g)", |t| t.baseline = um(57_500)), "quantity", "lowest 30 %");
}

#[test]
fn crowded_net_quantity_is_found() {
    let line = |x, y| text(x, y, em(um(1200), 536), FaceId::Normal, "Quillmere");
    // Above: capitals of the quantity are 2.57 mm high. Left and right: twice its N is 3.70 mm.
    for (x, y) in [(15_000, 65_500), (42_000, 70_000), (15_000, 74_500)] {
        let mut with = items();
        with.push(line(x, y));
        only(&check(with), "quantity", "must stay free");
    }
    let mut with = items();
    with.push(line(15_000, 63_500));
    with.push(line(15_000, 76_500));
    with.push(line(43_000, 70_000));
    assert!(check(with).is_empty());
}

#[test]
fn white_text_is_found() {
    only(&change("Burn within sight.", |t| t.ink = Ink::White), "sight", "too pale");
}

#[test]
fn text_under_a_white_patch_is_found() {
    let mut with = items();
    with.push(Placed::Path(Path {
        rings: vec![rectangle(3_000, 20_900, 30_000, 3_000)],
        paint: Paint::Fill(Ink::White),
    }));
    let findings = check(with);
    assert!(findings.iter().any(|f| f.id == "sight" && f.message.contains("painted over")), "{findings:#?}");
}

#[test]
fn code_with_other_content_is_found() {
    let mut other = items();
    other[11] = qr("https://quillmere.example/26329B5", 6_000, 40_000, 420);
    let findings = check(other);
    only(&findings, "code", "something else");
    assert_eq!(findings[0].level, Level::Warning);
    assert_eq!(findings[0].found.as_deref(), Some("https://quillmere.example/26329B5"));
}

#[test]
fn code_with_small_modules_is_found() {
    let mut other = items();
    other[11] = qr(URL, 6_000, 40_000, 390);
    only(&check(other), "code", "modules");
    let mut other = items();
    other[11] = qr(URL, 6_000, 40_000, 400);
    assert!(check(other).is_empty());
}

#[test]
fn ink_in_the_quiet_zone_is_found() {
    let mut with = items();
    with.push(text(6_000, 39_000, em(um(1200), 536), FaceId::Normal, "Quillmere"));
    only(&check(with), "code", "quiet zone");
}

#[test]
fn alert_symbol_missing_small_or_far_is_found() {
    let with = |new: Placed| {
        let mut items = items();
        items[1] = new;
        check(items)
    };
    only(&with(symbol(4_000, 20_000, 1_500)), "warning", "safety alert symbol");
    only(&with(symbol(4_000, 17_000, 2_200)), "warning", "safety alert symbol");
    let square = Path { rings: vec![rectangle(4_000, 17_800, 2_200, 2_200)], paint: Paint::Fill(Ink::Black) };
    only(&with(Placed::Path(square)), "warning", "safety alert symbol");
}

#[test]
fn statement_on_another_part_does_not_count() {
    let mut plan = plan(RECTANGLE);
    let mut base = plan.parts[0].clone();
    base.name = "base".into();
    base.rows = vec![plan.parts[0].rows.remove(0)];
    plan.parts.push(base);
    let mut front = items();
    let name = front[0].clone();
    let pages = |front: &[Placed], base: Vec<Placed>| {
        let page = |part: &str, items| Page { part: part.into(), trim: RECTANGLE, items };
        pdf::write(&[page("front", front.to_vec()), page("base", base)], &ABOUT).unwrap()
    };
    only(&inspect::check(&pages(&front, Vec::new()), &plan), "identity", "not on part `base`");
    front.remove(0);
    assert!(inspect::check(&pages(&front, vec![name]), &plan).is_empty());
    // A missing page is told, and all that it should carry.
    let findings = inspect::check(&write(front, RECTANGLE), &plan);
    assert_eq!(findings.iter().map(|f| f.id.as_str()).collect::<Vec<_>>(), ["label/pages", "identity"]);
}

#[test]
fn page_of_another_size_is_found() {
    let larger = Shape::Rectangle { width: Length::um(60_100), height: Length::mm(80) };
    only(&inspect::check(&write(items(), larger), &plan(RECTANGLE)), "label/page-size", "not the size");
}

#[test]
fn all_glyphs_of_a_page_are_read() {
    let seen = &inspect::read(&write(items(), RECTANGLE)).unwrap()[0];
    assert!((seen.width - 60.0).abs() < 1e-3 && (seen.height - 80.0).abs() < 1e-3);
    let x = seen.glyphs.iter().find(|g| g.text == "k").unwrap();
    assert!(x.ink.is_some() && x.hidden.is_none() && x.level);
    let word = seen.lines.iter().flat_map(|l| &l.words).find(|w| w.text == "WARNING").unwrap();
    let first = &seen.glyphs[word.glyphs[0]];
    assert!((first.x - 7.0).abs() < 0.01 && (first.baseline - 20.0).abs() < 0.01);
    // A capital W of this face has no overshoot: its ink is the capital height.
    assert!((first.ink.unwrap().height() - 1.6).abs() < 0.005, "{first:?}");
    assert!(seen.faces[first.face].name.as_deref().is_some_and(|n| n.contains("Bold")));
}

/// Prints how long a check takes; run with `--nocapture`.
#[test]
fn check_is_quick() {
    let with_code = write(items(), RECTANGLE);
    let plan_with = plan(RECTANGLE);
    let mut plan_without = plan_with.clone();
    plan_without.parts[0].rows.remove(2);
    for (what, plan) in [("with the QR code", &plan_with), ("without", &plan_without)] {
        let start = std::time::Instant::now();
        for _ in 0..20 {
            assert!(inspect::check(&with_code, plan).is_empty());
        }
        println!("read and check of a label {what}: {:?}", start.elapsed() / 20);
    }
}

/// The check trusts no font's name alone: regular and bold letters must lie to both sides of 0.1 em by their outlines.
#[test]
fn strokes_of_all_faces_tell_bold_from_regular() {
    let letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789";
    let faces =
        [(FaceId::Normal, false), (FaceId::Tight, false), (FaceId::NormalBold, true), (FaceId::TightBold, true)];
    let wide = Shape::Rectangle { width: Length::mm(300), height: Length::mm(80) };
    for (face, bold) in faces {
        let seen = inspect::read(&write(vec![text(4_000, 20_000, Length::mm(4), face, letters)], wide)).unwrap();
        assert_eq!(seen[0].glyphs.len(), letters.len());
        for glyph in &seen[0].glyphs {
            let thickness = glyph.thickness.unwrap();
            assert_eq!(thickness >= 0.1, bold, "`{}` of {face:?}: {thickness}", glyph.text);
        }
    }
}

#[test]
fn code_drawn_module_by_module_is_read_and_measured() {
    let mut with = items();
    let Placed::Path(path) = with.remove(11) else { panic!("the code is a path") };
    // Each run of modules as a path of its own.
    with.extend(path.rings.into_iter().map(|r| Placed::Path(Path { rings: vec![r], paint: Paint::Fill(Ink::Black) })));
    assert!(check(with).is_empty());
}

/// Bytes knocked over at random never make the reader panic, and never take long.
#[test]
fn damaged_labels_are_survived() {
    let good = write(items(), RECTANGLE);
    let with_code = plan(RECTANGLE);
    let mut without = with_code.clone();
    without.parts[0].rows.remove(2);
    // A linear congruential generator (Numerical Recipes' constants), so that each run does the same.
    let mut state = 1_u32;
    let mut next = |below: usize| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 8) as usize % below
    };
    let start = std::time::Instant::now();
    for round in 0..500 {
        let mut bad = good.clone();
        for _ in 0..=next(6) {
            let at = next(bad.len());
            bad[at] = u8::try_from(next(256)).unwrap();
        }
        // Looking for a code that cannot be read any more takes longest.
        let _ = inspect::check(&bad, if round < 20 { &with_code } else { &without });
    }
    assert!(start.elapsed().as_secs() < 120, "{:?}", start.elapsed());
}
