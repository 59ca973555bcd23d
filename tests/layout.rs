//! Label parts laid out from a plan: legal sizes, free space, breaks, and what is said when nothing fits.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

#[path = "layout/plan.rs"]
mod plan;
#[path = "layout/rank.rs"]
mod rank;
#[path = "layout/relief.rs"]
mod relief;

use plan::{base, block, care, cell, code, front, lot, maker, quantity, row, text, warning};
use proptest::prelude::{Just, ProptestConfig, Strategy, any, prop, prop_assert, prop_assert_eq, prop_oneof, proptest};
use waxbill::find::{Level, Severity};
use waxbill::font::face;
use waxbill::page::form::{A4, Column, FormBlock, LETTER, form};
use waxbill::page::{Page, Paint, Path, Placed, Segment, Text, set};
use waxbill::plan::{Align, Content, Part, Row, Shape};
use waxbill::trade::{BlockName, Measure};
use waxbill::unit::Length;

const TOLERANCE: f64 = 0.001;

fn one(part: Part) -> Page {
    set(&plan::plan(vec![part])).unwrap().remove(0)
}

fn texts(page: &Page) -> Vec<&Text> {
    page.items.iter().filter_map(|i| if let Placed::Text(t) = i { Some(t) } else { None }).collect()
}

fn paths(page: &Page) -> Vec<&Path> {
    page.items.iter().filter_map(|i| if let Placed::Path(p) = i { Some(p) } else { None }).collect()
}

/// All words in drawing order, each line joined to the next by a space.
fn words(page: &Page) -> String {
    let lines: Vec<String> = texts(page)
        .chunk_by(|a, b| a.baseline == b.baseline)
        .map(|line| line.iter().map(|t| t.text.as_str()).collect())
        .collect();
    lines.join(" ")
}

/// The box of a text in millimetres (left, top, right, bottom), from the outlines as ttf-parser reads them.
fn ink(text: &Text) -> Option<[f64; 4]> {
    let parsed = ttf_parser::Face::parse(face(text.face).data(), 0).unwrap();
    let em = text.size.to_mm_f64() / f64::from(parsed.units_per_em());
    let (mut x, mut found) = (text.x.to_mm_f64(), None::<[f64; 4]>);
    for glyph in face(text.face).shape(&text.text).unwrap().glyphs {
        if let Some(b) = parsed.glyph_bounding_box(ttf_parser::GlyphId(glyph.id)) {
            let y = text.baseline.to_mm_f64();
            let here = [
                x + f64::from(b.x_min) * em,
                y - f64::from(b.y_max) * em,
                x + f64::from(b.x_max) * em,
                y - f64::from(b.y_min) * em,
            ];
            let min_max = |f: [f64; 4]| [f[0].min(here[0]), f[1].min(here[1]), f[2].max(here[2]), f[3].max(here[3])];
            found = Some(found.map_or(here, min_max));
        }
        #[expect(clippy::cast_precision_loss, reason = "font units")]
        let advance = glyph.advance as f64;
        x += advance * em;
    }
    found
}

fn inside(shape: Shape, margin: f64, [left, top, right, bottom]: [f64; 4]) -> bool {
    let (w, h) = (shape.width().to_mm_f64(), shape.height().to_mm_f64());
    let m = margin - TOLERANCE;
    let within = left >= m && top >= m && right <= w - m && bottom <= h - m;
    let corners = [(left, top), (right, top), (left, bottom), (right, bottom)];
    match shape {
        Shape::Circle { .. } => corners.iter().all(|(x, y)| (x - w / 2.0).hypot(y - h / 2.0) <= w / 2.0 - m),
        Shape::Rectangle { .. } => within,
        Shape::Rounded { corner, .. } => {
            let r = corner.to_mm_f64().min(w / 2.0).min(h / 2.0);
            let near = |v: f64, size: f64| {
                if v < r {
                    r - v
                } else if v > size - r {
                    v - (size - r)
                } else {
                    0.0
                }
            };
            within
                && corners.iter().all(|(x, y)| {
                    let (dx, dy) = (near(*x, w), near(*y, h));
                    dx == 0.0 || dy == 0.0 || r < margin || dx.hypot(dy) <= r - m
                })
        }
    }
}

fn overlap(a: [f64; 4], b: [f64; 4]) -> bool {
    a[0] < b[2] - TOLERANCE && b[0] < a[2] - TOLERANCE && a[1] < b[3] - TOLERANCE && b[1] < a[3] - TOLERANCE
}

/// Height in millimetres of a letter of a text's face at its size.
fn height_of(text: &Text, letter: char) -> f64 {
    let alone = Text { text: letter.to_string(), ..text.clone() };
    let [_, top, _, bottom] = ink(&alone).unwrap();
    bottom - top
}

#[test]
fn every_statement_is_on_the_page_unbroken() {
    let pages = set(&plan::plan(vec![front(), base()])).unwrap();
    assert_eq!(words(&pages[0]), "Low Tide Scented candle NET WT 9\u{a0}OZ (255\u{a0}g)");
    let all = words(&pages[1]);
    for item in base().rows.iter().flat_map(|r| &r.cells).flat_map(|c| &c.block.items) {
        match &item.content {
            Content::Text { text, .. } | Content::AlertText { text, .. } => {
                assert!(all.contains(text), "{text}: {all}");
            }
            Content::Qr { .. } | Content::Pictograms { .. } | Content::Logo { .. } => {}
        }
    }
}

#[test]
fn all_text_is_inside_the_margin_and_apart() {
    for part in [front(), base()] {
        let (shape, margin) = (part.shape, part.margin.to_mm_f64());
        let page = one(part);
        let boxes: Vec<[f64; 4]> = texts(&page).into_iter().filter_map(ink).collect();
        for (n, b) in boxes.iter().enumerate() {
            assert!(inside(shape, margin, *b), "{} at {b:?}", texts(&page)[n].text);
            assert!(boxes[n + 1..].iter().all(|c| !overlap(*b, *c)));
        }
    }
}

/// 16 CFR 500.21(b)(2) for a panel over 5 and up to 25 sq in: 1/8 in, here in capitals; (h): `g` judged by the height of `d`.
/// 16 CFR 500.6(b): in the lowest 30 %, one height free above and below, two widths of `N` at the sides.
#[test]
fn net_quantity_stands_low_and_free_at_its_legal_height() {
    let mut part = front();
    part.rows.push(row(block(BlockName::Lot, lot().items, Length::mm(3)), Align::Centre));
    part.rows.last_mut().unwrap().at_foot = true;
    let page = one(part);
    let net = texts(&page).into_iter().find(|t| t.text.starts_with("NET")).unwrap();
    assert!(height_of(net, 'H') >= 3.175 && height_of(net, 'd') >= 3.175);
    let b = ink(net).unwrap();
    assert!(b[1] >= 76.0 * 0.7, "{b:?}");
    let (tall, wide) = (height_of(net, 'N'), 2.0 * height_of(net, 'N') * 0.7);
    let free = [b[0] - wide, b[1] - tall, b[2] + wide, b[3] + tall];
    for other in texts(&page).into_iter().filter(|t| t.text != net.text) {
        assert!(!overlap(free, ink(other).unwrap()), "{}", other.text);
    }
}

#[test]
fn the_name_is_the_largest_and_sizes_never_fall_below_their_floor() {
    let page = one(front());
    let sizes: Vec<Length> = texts(&page).iter().map(|t| t.size).collect();
    assert!(sizes.iter().skip(1).all(|s| *s < sizes[0]), "{sizes:?}");
    let page = one(base());
    for t in texts(&page) {
        let least = match t.text.as_str() {
            "WARNING" => 2.4,
            t if plan::MESSAGES.contains(&t) || t.contains("Quillmere") || t.contains("Lot") => 1.6,
            _ => 1.2,
        };
        assert!(height_of(t, 'H') >= least, "{} {}", t.text, height_of(t, 'H'));
    }
}

#[test]
fn the_alert_symbol_stands_immediately_before_the_signal_word_on_its_baseline() {
    let page = one(base());
    let signal = texts(&page).into_iter().find(|t| t.text == "WARNING").unwrap();
    let symbol = paths(&page).into_iter().find(|p| matches!(p.paint, Paint::FillEvenOdd(_))).unwrap();
    let points = symbol.rings.iter().flat_map(|r| &r.to).map(|s| match s {
        Segment::Line(p) | Segment::Curve(_, _, p) => *p,
    });
    let points: Vec<_> = points.into_iter().collect();
    let (top, bottom) = (points.iter().map(|p| p.y).min().unwrap(), points.iter().map(|p| p.y).max().unwrap());
    assert!((bottom - signal.baseline).to_mm_f64().abs() < 0.02);
    assert!((bottom - top).to_mm_f64() >= height_of(signal, 'H'));
    let right = points.iter().map(|p| p.x).max().unwrap();
    let gap = (signal.x - right).to_mm_f64();
    assert!(gap > 0.0 && gap < signal.size.to_mm_f64() / 2.0, "{gap}");
}

/// ISO/IEC 18004, read by rqrr (a reader that shares nothing with the writer) from the drawn rectangles.
#[test]
fn the_code_is_read_from_its_rectangles() {
    let page = one(base());
    let path = paths(&page).into_iter().find(|p| p.rings.len() > 20).unwrap();
    let scale = 10.0;
    let mut image = vec![255u8; 620 * 620];
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "pixels")]
    for ring in &path.rings {
        let Segment::Line(corner) = ring.to[1] else { panic!("a rectangle has lines") };
        let (x0, y0) = (ring.start.x.to_mm_f64() * scale, ring.start.y.to_mm_f64() * scale);
        // The second corner is the lower right one.
        let (x1, y1) = (corner.x.to_mm_f64() * scale, corner.y.to_mm_f64() * scale);
        for y in y0.round() as usize..y1.round() as usize {
            image[y * 620 + x0.round() as usize..y * 620 + x1.round() as usize].fill(0);
        }
    }
    let mut prepared = rqrr::PreparedImage::prepare_from_greyscale(620, 620, |x, y| image[y * 620 + x]);
    let (_, content) = prepared.detect_grids()[0].decode().unwrap();
    assert_eq!(content, "https://quillmere.example/l/26329A4?p=low-tide&s=harbour-soy");
}

#[test]
fn a_framed_block_never_touches_its_frame() {
    let mut part = base();
    part.shape = Shape::Rounded { width: Length::mm(90), height: Length::mm(60), corner: Length::mm(3) };
    part.rows[0] = row(warning(true), Align::Left);
    let page = one(part);
    let frame = paths(&page).into_iter().find(|p| matches!(p.paint, Paint::Stroke(..))).unwrap();
    let Paint::Stroke(_, width) = frame.paint else { panic!("a frame is stroked") };
    let ends = frame.rings[0].to.iter().map(|s| match s {
        Segment::Line(p) | Segment::Curve(_, _, p) => *p,
    });
    let ends: Vec<_> = ends.collect();
    let half = width.to_mm_f64() / 2.0;
    let left = ends.iter().map(|p| p.x).min().unwrap().to_mm_f64() + half;
    let right = ends.iter().map(|p| p.x).max().unwrap().to_mm_f64() - half;
    let top = ends.iter().map(|p| p.y).min().unwrap().to_mm_f64() + half;
    let bottom = ends.iter().map(|p| p.y).max().unwrap().to_mm_f64() - half;
    for t in texts(&page).into_iter().filter(|t| plan::MESSAGES.contains(&t.text.as_str()) || t.text == "WARNING") {
        let b = ink(t).unwrap();
        let clear = (b[0] - left).min(b[1] - top).min(right - b[2]).min(bottom - b[3]);
        assert!(clear >= 1.0 - TOLERANCE, "{} {clear}", t.text);
    }
}

#[test]
fn no_message_ends_in_a_lone_short_word() {
    for width in 30..60 {
        let mut part = front();
        part.shape = Shape::Rectangle { width: Length::mm(width), height: Length::mm(60) };
        part.rows = vec![row(warning(false), Align::Left)];
        let Ok(pages) = set(&plan::plan(vec![part])) else { continue };
        let lines: Vec<&str> = texts(&pages[0]).iter().map(|t| t.text.as_str()).collect();
        for lone in ["fire.", "sight.", "pets.", "injury:"] {
            assert!(!lines.contains(&lone), "{width} mm: {lines:?}");
        }
    }
}

#[test]
fn what_does_not_fit_is_told_with_a_size_that_would() {
    let mut part = base();
    part.shape = Shape::Circle { diameter: Length::mm(50) };
    let findings = set(&plan::plan(vec![front(), part.clone()])).unwrap_err();
    assert_eq!(findings.len(), 1);
    let f = &findings[0];
    assert_eq!((f.id.as_str(), f.level, f.severity), ("label/does-not-fit", Level::Error, Severity::Required));
    assert!(
        f.message.starts_with("part `base` (a circle of 50 mm) cannot hold its text at legal size"),
        "{}",
        f.message
    );
    assert!(
        f.cure.ends_with("or leave out the code, with `code: none` under `label`: the rest then fits"),
        "{}",
        f.cure
    );
    assert_eq!(f.on_page.as_ref().map(|p| p.page), Some(2));
    let said = f.expected.as_ref().unwrap();
    let enough: i64 = said.trim_start_matches("at least a circle of ").trim_end_matches(" mm").parse().unwrap();
    for (diameter, fits) in [(enough, true), (enough - 1, false)] {
        part.shape = Shape::Circle { diameter: Length::mm(diameter) };
        assert_eq!(set(&plan::plan(vec![part.clone()])).is_ok(), fits, "{diameter}");
    }
}

#[test]
fn millimetres_missing_in_height_or_width_are_told() {
    let mut part = front();
    part.shape = Shape::Rectangle { width: Length::mm(64), height: Length::mm(14) };
    let message = |part: &Part| set(&plan::plan(vec![part.clone()])).unwrap_err()[0].message.clone();
    part.rows[2] = row(quantity("NET WT 9\u{a0}OZ (255\u{a0}g)"), Align::Centre);
    assert!(message(&part).contains("of height are missing") || message(&part).contains("lowest 30 %"));
    part.shape = Shape::Rectangle { width: Length::mm(16), height: Length::mm(80) };
    assert!(message(&part).contains("too wide"), "{}", message(&part));
    let mut tall = front();
    tall.shape = Shape::Rectangle { width: Length::mm(64), height: Length::mm(20) };
    tall.rows = vec![row(warning(false), Align::Left)];
    assert!(message(&tall).contains("of height are missing"), "{}", message(&tall));
}

#[test]
fn a_character_without_a_glyph_is_named() {
    let mut part = front();
    part.rows[1] = row(
        block(
            BlockName::Identity,
            vec![text("us/identity", "Candle ≥ 9 oz 🕯", Length::mm(2), Measure::LowerO)],
            Length::mm(4),
        ),
        Align::Centre,
    );
    let findings = set(&plan::plan(vec![part])).unwrap_err();
    assert_eq!((findings[0].id.as_str(), findings.len()), ("label/character", 1));
    assert!(findings[0].message.contains("`≥ (U+2265)`"), "{}", findings[0].message);
}

#[test]
fn a_part_without_an_inside_and_a_code_too_long_are_findings() {
    let mut part = front();
    part.margin = Length::mm(40);
    assert_eq!(set(&plan::plan(vec![part])).unwrap_err()[0].id, "label/no-room");
    let mut part = base();
    let mut long = code();
    if let Content::Qr { payload, .. } = &mut long.items[0].content {
        *payload = "q".repeat(4000);
    }
    part.rows = vec![row(long, Align::Centre)];
    assert_eq!(set(&plan::plan(vec![part])).unwrap_err()[0].id, "label/code-too-long");
}

#[test]
fn absurd_figures_are_findings_not_panics() {
    for raw in [i64::MAX, i64::MAX / 64, i64::MIN / 2, -1, 0] {
        let odd = Length::raw(raw);
        let mut parts = [front(), front(), front(), base(), base()];
        parts[0].shape = Shape::Rectangle { width: odd, height: odd };
        parts[1].margin = odd;
        for item in &mut parts[2].rows[2].cells[0].block.items {
            item.least = odd;
        }
        parts[3].rows[2].cells[0].width = Some(odd);
        parts[4].rows[0].cells[0].block.largest = odd;
        if let Content::Qr { module, .. } = &mut parts[4].rows[2].cells[0].block.items[0].content {
            *module = odd;
        }
        for part in parts {
            if let Err(findings) = set(&plan::plan(vec![part])) {
                assert!(findings.iter().all(|f| f.id.starts_with("label/") && f.id != "label/layout-fault"));
            }
        }
    }
    let words = "wax ".repeat(50_000);
    let mut part = front();
    part.rows[0] = row(
        block(BlockName::Care, vec![text("x", &words, Length::mm(2), Measure::Capital)], Length::mm(3)),
        Align::Left,
    );
    assert_eq!(set(&plan::plan(vec![part])).unwrap_err()[0].id, "label/does-not-fit");
}

#[test]
fn a_tighter_family_is_taken_only_when_it_gives_more() {
    let roomy = one(base_of(90));
    assert!(
        texts(&roomy)
            .iter()
            .all(|t| matches!(t.face, waxbill::font::FaceId::Normal | waxbill::font::FaceId::NormalBold))
    );
    let scarce = one(base_of(60));
    let tight = texts(&scarce).iter().any(|t| t.face >= waxbill::font::FaceId::Tight);
    assert!(tight, "{:?}", texts(&scarce)[0].face);
}

fn base_of(diameter: i64) -> Part {
    Part { shape: Shape::Circle { diameter: Length::mm(diameter) }, ..base() }
}

#[test]
fn a_form_keeps_to_its_margins_and_one_page() {
    let column = |title: &str, align| Column { title: title.into(), share: 1, align };
    let rows = |n: usize| (0..n).map(|i| vec![format!("Harbour soy blend {i}"), "1445".to_owned()]).collect::<Vec<_>>();
    let blocks = |n| {
        [
            FormBlock::Qr { payload: "26329A4".into() },
            FormBlock::Heading("To weigh".into()),
            FormBlock::Table {
                columns: vec![column("Material", Align::Left), column("g", Align::Right)],
                rows: rows(n),
                row_height: Length::mm(7),
            },
            FormBlock::Bullets(vec!["Never leave wax on direct heat unattended.".into()]),
            FormBlock::Boxes {
                labels: vec!["Poured at, °F".into(), "Time".into()], per_row: 2, height: Length::mm(9)
            },
        ]
    };
    for paper in [A4, LETTER] {
        let page = form(paper, "batch sheet", "Low Tide", "Lot 26329A4", &blocks(5)).unwrap();
        assert!(texts(&page).iter().all(|t| inside(paper, 12.0, ink(t).unwrap())));
        assert!((texts(&page).iter().find(|t| t.text == "1445").unwrap().size.to_pt_f64() - 9.5).abs() < 0.001);
        let found = form(paper, "batch sheet", "Low Tide", "", &blocks(200)).unwrap_err();
        assert_eq!(found[0].id, "form/does-not-fit");
        assert!(found[0].message.contains("of height are missing"), "{}", found[0].message);
    }
}

fn any_text() -> impl Strategy<Value = String> {
    let word = prop_oneof![
        Just("wax".to_owned()),
        Just("heat-resistant".to_owned()),
        Just("1/4\u{a0}in".to_owned()),
        Just("40–60".to_owned()),
        Just("Élan".to_owned()),
        "[A-Za-z]{1,12}",
    ];
    prop::collection::vec(word, 1..14).prop_map(|w| w.join(" "))
}

fn any_part() -> impl Strategy<Value = Part> {
    let shape = (20i64..110, 15i64..110, 0i64..20, 0..3).prop_map(|(w, h, r, kind)| {
        let (width, height) = (Length::mm(w), Length::mm(h));
        match kind {
            0 => Shape::Rectangle { width, height },
            1 => Shape::Rounded { width, height, corner: Length::mm(r) },
            _ => Shape::Circle { diameter: width },
        }
    });
    let measure = prop_oneof![
        Just(Measure::Capital),
        Just(Measure::LowerO),
        Just(Measure::LowerX),
        Just(Measure::Figure),
        Just(Measure::NetQuantity)
    ];
    let item = (any_text(), 900i64..2500, measure, any::<bool>()).prop_map(|(words, um, measure, bold)| {
        let mut item = text("x/y", &words, Length::um(um), measure);
        item.bold = bold;
        item
    });
    let any_block = (prop::collection::vec(item, 1..4), any::<bool>(), any::<bool>(), 1000i64..6000).prop_map(
        |(items, run_on, frame, um)| {
            let mut b = block(BlockName::Care, items, Length::um(um));
            (b.run_on, b.frame) = (run_on, frame);
            b
        },
    );
    let other = prop_oneof![
        Just(warning(true)),
        Just(care()),
        Just(maker()),
        Just(code()),
        Just(quantity("NET WT 9\u{a0}OZ (255\u{a0}g)"))
    ];
    let align = prop_oneof![Just(Align::Left), Just(Align::Centre), Just(Align::Right)];
    let any_cell = (prop_oneof![any_block, other], align).prop_map(|(b, a)| cell(b, a));
    let any_row =
        (prop::collection::vec(any_cell, 1..3), any::<bool>()).prop_map(|(cells, at_foot)| Row { cells, at_foot });
    (shape, 0i64..5, prop::collection::vec(any_row, 1..5), any::<bool>()).prop_map(
        |(shape, margin, rows, principal)| Part {
            name: "front".into(),
            principal,
            shape,
            margin: Length::mm(margin),
            hole: None,
            piece: None,
            ground: None,
            rows,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_plan_fits_inside_its_margins_or_is_refused_in_words(part in any_part()) {
        let again = set(&plan::plan(vec![part.clone()]));
        match set(&plan::plan(vec![part.clone()])) {
            Ok(pages) => {
                let boxes: Vec<[f64; 4]> = texts(&pages[0]).into_iter().filter_map(ink).collect();
                for (n, b) in boxes.iter().enumerate() {
                    prop_assert!(inside(part.shape, part.margin.to_mm_f64(), *b), "{:?}", b);
                    prop_assert!(boxes[n + 1..].iter().all(|c| !overlap(*b, *c)));
                }
                let floor = part.rows.iter().flat_map(|r| &r.cells).flat_map(|c| &c.block.items)
                    .filter(|i| matches!(i.content, Content::Text { .. } | Content::AlertText { .. }))
                    .map(|i| i.least.to_mm_f64()).fold(f64::MAX, f64::min);
                // No least height is measured on anything higher than `d`.
                prop_assert!(texts(&pages[0]).iter().all(|t| height_of(t, 'd') >= floor));
                prop_assert_eq!(format!("{pages:?}"), format!("{:?}", again.unwrap()));
            }
            Err(findings) => {
                prop_assert_eq!(findings[0].id.as_str(), "label/does-not-fit", "{}", findings[0].message);
                prop_assert!(findings.iter().all(|f| f.level == Level::Error && !f.cure.is_empty()));
            }
        }
    }
}
