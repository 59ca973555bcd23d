//! The written PDF as others read it: hayro for what is seen, lopdf for how the file is made.
//!
//! Expected figures come from the trim sizes, from the `glyf` and `hmtx` tables of the faces and from ISO 32000-1
//! (PDF 1.7); nothing is expected because the writer says so.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test stops at the first surprise")]

use hayro::hayro_interpret::font::{Glyph, GlyphRun};
use hayro::hayro_interpret::hayro_cmap::BfString;
use hayro::hayro_interpret::{
    BlendMode, ClipPath, Context, Device, DrawMode, DrawProps, FillRule, Image, ImageDrawProps, InterpreterCache,
    InterpreterSettings, SoftMask, interpret_page,
};
use hayro::hayro_syntax::Pdf;
use hayro::kurbo::{Affine, BezPath, PathEl, Point as Place, Rect, Shape as _};
use lopdf::{Document, Object};
use waxbill::font::{FaceId, face};
use waxbill::page::{Ink, Page, Paint, Path, Placed, Point, Ring, Segment, Text};
use waxbill::pdf::{About, write};
use waxbill::plan::Shape;
use waxbill::unit::Length;

const ABOUT: About = About { title: "Low Tide", language: "en", subject: "candle label" };

const WORDS: [(FaceId, &str); 7] = [
    (FaceId::NormalBold, "WARNING"),
    (FaceId::Normal, "Burn candle within sight. 8½ oz (240 g) – 165 °F"),
    (FaceId::Normal, "Bougie parfumée\u{a0}: tenir hors de portée des enfants"),
    (FaceId::Tight, "«\u{a0}Cœur d’érable\u{a0}» à l’île, Noël, ça brûle"),
    (FaceId::TightBold, "AVATAR To Wax, Tr. fi ffl"),
    (FaceId::Tightest, "4 Saltpan Lane, Quillmere, ME\u{a0}00000"),
    (FaceId::TightestBold, "Lot 2026-327 · 100\u{202f}% ℮ µ α (test) <\\>"),
];

fn mm(mm: i64) -> Length {
    Length::mm(mm)
}

fn at(x_um: i64, y_um: i64) -> Point {
    Point { x: Length::um(x_um), y: Length::um(y_um) }
}

fn page(width: Length, height: Length, items: Vec<Placed>) -> Page {
    Page { part: "front".to_owned(), trim: Shape::Rectangle { width, height }, items }
}

fn text(words: &str, face: FaceId, size: Length, x: Length, baseline: Length) -> Placed {
    Placed::Text(Text { text: words.to_owned(), face, size, x, baseline, ink: Ink::Black })
}

fn polygon(corners: &[Point]) -> Ring {
    Ring { start: corners[0], to: corners[1..].iter().map(|&c| Segment::Line(c)).collect(), closed: true }
}

/// A part with every line of [`WORDS`], 6 pt, 6 mm apart.
fn lines() -> Page {
    let lines =
        WORDS.iter().zip(1..).map(|((face, words), n)| text(words, *face, Length::raw(76_200), mm(3), mm(6 * n)));
    page(mm(64), mm(50), lines.collect())
}

/// A run of glyphs as drawn, in points from the lower left corner.
struct Line {
    text: String,
    face_heights: Vec<f64>,
    starts: Vec<Place>,
    rgba: [u8; 4],
}

/// A painted path, in points from the lower left corner.
struct Painted {
    path: BezPath,
    rgba: [u8; 4],
    stroke: Option<f64>,
    even_odd: bool,
}

#[derive(Default)]
struct Seen {
    lines: Vec<Line>,
    paths: Vec<Painted>,
}

fn rgba(props: &DrawProps<'_>) -> [u8; 4] {
    match &props.paint {
        hayro::hayro_interpret::Paint::Color(c) => c.to_rgba().to_rgba8(),
        hayro::hayro_interpret::Paint::Pattern(_) => panic!("a pattern where only colours are written"),
    }
}

impl<'a> Device<'a> for Seen {
    fn draw_path(&mut self, path: &BezPath, props: DrawProps<'a>, mode: &DrawMode) {
        let (stroke, even_odd) = match mode {
            DrawMode::Fill(rule) => (None, matches!(rule, FillRule::EvenOdd)),
            DrawMode::Stroke(stroke) => (Some(f64::from(stroke.line_width)), false),
            _ => panic!("neither filled nor stroked"),
        };
        self.paths.push(Painted { path: props.transform * path.clone(), rgba: rgba(&props), stroke, even_odd });
    }
    fn draw_glyph_run(&mut self, run: &GlyphRun<'_, 'a>, props: DrawProps<'a>, _: &DrawMode) {
        let mut line = Line { text: String::new(), face_heights: vec![], starts: vec![], rgba: rgba(&props) };
        for glyph in run.glyphs() {
            let matrix = props.transform * glyph.transform();
            line.starts.push(matrix * Place::ZERO);
            let Glyph::Outline(outline) = &**glyph else { panic!("a glyph without outline") };
            line.face_heights.push((matrix * outline.outline()).bounding_box().height());
            match glyph.as_unicode() {
                Some(BfString::Char(c)) => line.text.push(c),
                Some(BfString::String(s)) => line.text.push_str(&s),
                None => line.text.push('\u{fffd}'),
            }
        }
        self.lines.push(line);
    }
    fn push_clip_path(&mut self, _: &ClipPath) {}
    fn push_transparency_group(&mut self, _: f32, _: Option<SoftMask<'a>>, _: BlendMode) {}
    fn draw_image(&mut self, _: Image<'a, '_>, _: ImageDrawProps<'a>) {}
    fn pop_clip(&mut self) {}
    fn pop_transparency_group(&mut self) {}
}

fn seen(bytes: &[u8], page: usize) -> Seen {
    let pdf = Pdf::new(bytes.to_vec()).unwrap();
    let page = &pdf.pages()[page];
    let mut seen = Seen::default();
    let everything = Rect::new(-1e6, -1e6, 1e6, 1e6);
    let (cache, settings) = (InterpreterCache::new(), InterpreterSettings::default());
    interpret_page(page, &mut Context::new(Affine::IDENTITY, everything, &cache, pdf.xref(), settings), &mut seen);
    seen
}

fn lopdf(bytes: &[u8]) -> Document {
    Document::load_mem(bytes).unwrap()
}

#[test]
fn every_word_is_read_back_as_written() {
    let bytes = write(&[lines()], &ABOUT).unwrap();
    let lines = seen(&bytes, 0).lines;
    // hayro gives a run for each string of a kerned line: join those of one baseline.
    let mut read: Vec<(f64, String)> = Vec::new();
    for line in lines {
        match read.last_mut() {
            Some((y, text)) if (*y - line.starts[0].y).abs() < 0.01 => text.push_str(&line.text),
            _ => read.push((line.starts[0].y, line.text)),
        }
    }
    let read: Vec<_> = read.iter().map(|(_, text)| text.as_str()).collect();
    assert_eq!(read, WORDS.map(|(_, words)| words));
}

// 1 in = 25.4 mm = 72 points (ISO 32000-1, 8.3.2.3): 64 mm = 181.417323 pt, 38.1 mm = 108 pt, 200 in = 14 400 pt.
#[test]
fn all_boxes_are_the_trim_box_of_the_part() {
    let disc = Page { part: "base".to_owned(), trim: Shape::Circle { diameter: Length::um(38_100) }, items: vec![] };
    let wide = page(Length::inch(200, 1), Length::inch(7, 2), vec![]);
    let bytes = write(&[page(mm(64), mm(50), vec![]), disc, wide], &ABOUT).unwrap();
    let document = lopdf(&bytes);
    let expected = [(181.417_323, 141.732_283), (108.0, 108.0), (14_400.0, 252.0)];
    assert_eq!(document.get_pages().len(), expected.len());
    for (id, (width, height)) in document.get_pages().values().zip(expected) {
        let page = document.get_dictionary(*id).unwrap();
        for name in ["MediaBox", "CropBox", "BleedBox", "TrimBox"] {
            let sides = page.get(name.as_bytes()).unwrap().as_array().unwrap();
            let sides: Vec<f64> = sides.iter().map(|side| f64::from(side.as_float().unwrap())).collect();
            assert_eq!((sides[0], sides[1]), (0.0, 0.0), "{name}");
            // A hundred-thousandth of a point is 3.5 nm.
            assert!((sides[2] - width).abs() < 1e-5 && (sides[3] - height).abs() < 1e-5, "{name}: {sides:?}");
        }
    }
    let pdf = Pdf::new(bytes).unwrap();
    let media = pdf.pages()[0].media_box();
    assert_eq!((Length::from_pt_f64(media.width()), Length::from_pt_f64(media.height())), (mm(64), mm(50)));
}

// Heights from the `glyf` tables, read with fonttools 4.68, of 1000 units to the em; H is 714 in all faces.
const X_HEIGHTS: [(FaceId, f64); 6] = [
    (FaceId::Normal, 0.536),
    (FaceId::NormalBold, 0.546),
    (FaceId::Tight, 0.537),
    (FaceId::TightBold, 0.547),
    (FaceId::Tightest, 0.537),
    (FaceId::TightestBold, 0.547),
];

#[test]
fn letters_are_as_tall_as_the_face_draws_them() {
    for (id, x) in X_HEIGHTS {
        let bytes = write(&[page(mm(64), mm(50), vec![text("xH", id, mm(10), mm(5), mm(20))])], &ABOUT).unwrap();
        let line = &seen(&bytes, 0).lines[0];
        let ten_mm = 10.0 * 72.0 / 25.4;
        for (height, units) in line.face_heights.iter().zip([x, 0.714]) {
            assert!((height - ten_mm * units).abs() < 0.005, "{id:?}: {height}");
        }
        // 3 mm, 5 mm from the left; 20 mm from the top is 30 mm from the bottom of 50 mm.
        let start = line.starts[0];
        assert!((start.x - 5.0 * 72.0 / 25.4).abs() < 1e-3 && (start.y - 30.0 * 72.0 / 25.4).abs() < 1e-3);
    }
}

#[test]
fn glyphs_stand_where_the_kerned_line_was_measured() {
    let words = "AVATAR To Wax, Té";
    for id in FaceId::ALL {
        let bytes = write(&[page(mm(200), mm(50), vec![text(words, id, mm(10), mm(5), mm(20))])], &ABOUT).unwrap();
        let starts: Vec<f64> = seen(&bytes, 0).lines.iter().flat_map(|line| &line.starts).map(|p| p.x).collect();
        let run = face(id).shape(words).unwrap();
        assert_eq!(starts.len(), run.glyphs.len());
        assert!(run.glyphs.iter().any(|glyph| glyph.advance != glyph.nominal), "nothing was kerned");
        let mut x = 5.0 * 72.0 / 25.4;
        for (start, glyph) in starts.iter().zip(&run.glyphs) {
            assert!((start - x).abs() < 0.002, "{id:?} `{}`: {start}, not {x}", glyph.ch);
            // 10 mm to the em of 1000 units, 12 700 units of `Length` to the point.
            x += (Length::mm(10) * glyph.advance / 1000).to_pt_f64();
        }
    }
}

#[test]
fn filled_and_stroked_outlines_keep_their_corners_curves_and_holes() {
    let triangle = polygon(&[at(10_000, 5_000), at(20_000, 25_000), at(0, 25_000)]);
    let hole = polygon(&[at(10_000, 10_000), at(15_000, 20_000), at(5_000, 20_000)]);
    let curve = Ring {
        start: at(30_000, 10_000),
        to: vec![Segment::Curve(at(30_000, 15_500), at(35_500, 20_000), at(40_000, 20_000))],
        closed: false,
    };
    let path = |rings: &[&Ring], paint| Placed::Path(Path { rings: rings.iter().map(|&r| r.clone()).collect(), paint });
    let bytes = write(
        &[page(
            mm(64),
            mm(50),
            vec![
                path(&[&triangle, &hole], Paint::FillEvenOdd(Ink::Red)),
                path(&[&triangle, &hole], Paint::Fill(Ink::Grey(50))),
                path(&[&triangle, &hole, &curve], Paint::Stroke(Ink::Black, Length::um(254))),
                path(&[&triangle], Paint::Fill(Ink::White)),
            ],
        )],
        &ABOUT,
    )
    .unwrap();
    let paths = seen(&bytes, 0).paths;
    let closed = |p: &Painted| p.path.elements().iter().filter(|e| matches!(e, PathEl::ClosePath)).count();
    let pt = 72.0 / 25.4;

    let red = &paths[0];
    assert!(red.even_odd && red.stroke.is_none());
    let corners: Vec<_> = red.path.elements().iter().filter_map(PathEl::end_point).collect();
    // 5 mm from the top is 45 mm from the bottom.
    let expected = [(10.0, 45.0), (20.0, 25.0), (0.0, 25.0), (10.0, 40.0), (15.0, 30.0), (5.0, 30.0)];
    for (corner, (x, y)) in corners.iter().filter(|c| **c != Place::ZERO).zip(expected) {
        assert!((corner.x - x * pt).abs() < 1e-3 && (corner.y - y * pt).abs() < 1e-3, "{corner:?}");
    }
    assert!(!paths[1].even_odd);
    assert!(red.rgba[0] > 150 && red.rgba[1] < 90 && red.rgba[2] < 90, "{:?}", red.rgba);

    let strokes: Vec<_> = paths.iter().filter(|p| p.stroke.is_some()).collect();
    assert_eq!(strokes.len(), 3);
    assert_eq!(strokes.iter().map(|s| closed(s)).collect::<Vec<_>>(), [1, 1, 0], "each closed ring closed, no other");
    // 0.254 mm = 0.01 in = 0.72 pt.
    assert!(strokes.iter().all(|s| (s.stroke.unwrap() - 0.72).abs() < 1e-4));
    let PathEl::CurveTo(first, second, end) = strokes[2].path.elements()[1] else { panic!("not a curve") };
    for (point, (x, y)) in [first, second, end].iter().zip([(30.0, 34.5), (35.5, 30.0), (40.0, 30.0)]) {
        assert!((point.x - x * pt).abs() < 1e-3 && (point.y - y * pt).abs() < 1e-3, "{point:?}");
    }
    assert_eq!(paths.last().unwrap().rgba, [255, 255, 255, 255]);
}

// Black on the black plate alone: DeviceGray 0 (ISO 32000-1, 8.6.4.2); no RGB, no other black.
#[test]
fn black_is_pure_black() {
    let rule = polygon(&[at(0, 0), at(9_000, 0), at(9_000, 900)]);
    let items = vec![
        text("Low Tide", FaceId::Normal, mm(3), mm(5), mm(20)),
        Placed::Path(Path { rings: vec![rule.clone()], paint: Paint::Fill(Ink::Black) }),
        Placed::Path(Path { rings: vec![rule], paint: Paint::Stroke(Ink::Black, mm(1)) }),
    ];
    let bytes = write(&[page(mm(64), mm(50), items)], &ABOUT).unwrap();
    let document = lopdf(&bytes);
    let content = document.get_page_content(document.get_pages()[&1]);
    let operations = lopdf::content::Content::decode(&content).unwrap().operations;
    let colours: Vec<_> = operations
        .iter()
        .filter(|o| ["k", "K", "g", "G", "rg", "RG", "sc", "SC", "scn", "SCN"].contains(&o.operator.as_str()))
        .map(|o| (o.operator.as_str(), o.operands.iter().map(|n| n.as_float().unwrap()).collect::<Vec<_>>()))
        .collect();
    assert_eq!(colours, [("g", vec![0.0]), ("G", vec![0.0])]);
    assert!(seen(&bytes, 0).lines.iter().all(|line| line.rgba[..3].iter().all(|&c| c < 60)));
}

// A QR code of the standard's size range, drawn as one path of runs; the reader is rqrr.
#[test]
fn a_code_of_many_rectangles_is_decoded() {
    let payload = "https://quillmere.example/lot/2026-327";
    let code = qrcode::QrCode::with_error_correction_level(payload, qrcode::EcLevel::M).unwrap();
    let (side, dark) = (code.width(), code.to_colors());
    let um = |modules: usize| 8_000 + 500 * i64::try_from(modules).unwrap();
    let mut rings = Vec::new();
    for (y, row) in dark.chunks(side).enumerate() {
        for (x, _) in row.iter().enumerate().filter(|(_, c)| **c == qrcode::Color::Dark) {
            let (left, top, right, bottom) = (um(x), um(y), um(x + 1), um(y + 1));
            rings.push(polygon(&[at(left, top), at(right, top), at(right, bottom), at(left, bottom)]));
        }
    }
    let path = Placed::Path(Path { rings, paint: Paint::Fill(Ink::Black) });
    let bytes = write(&[page(mm(40), mm(40), vec![path])], &ABOUT).unwrap();

    let pdf = Pdf::new(bytes).unwrap();
    let scale = 400.0 / 72.0;
    let settings = hayro::PixmapSettings {
        x_scale: scale,
        y_scale: scale,
        bg_color: hayro::vello_cpu::color::palette::css::WHITE,
    };
    let (cache, reading) = (hayro::RenderCache::new(), InterpreterSettings::default());
    let picture = hayro::render(&pdf.pages()[0], &cache, &reading, &hayro::RenderSettings::default(), &settings);
    let (width, height) = (usize::from(picture.width()), usize::from(picture.height()));
    let pixels = picture.data_as_u8_slice();
    let mut grey = rqrr::PreparedImage::prepare_from_greyscale(width, height, |x, y| pixels[(y * width + x) * 4]);
    let grids = grey.detect_grids();
    assert_eq!(grids.len(), 1);
    assert_eq!(grids[0].decode().unwrap().1, payload);
}

fn name(object: &Object) -> String {
    String::from_utf8(object.as_name().unwrap().to_vec()).unwrap()
}

// ISO 32000-1, 9.6.4: six capitals and a plus sign before the name of a subset, the same in all three places;
// 9.9: a TrueType program in FontFile2 with its Length1; 9.10.3: ToUnicode.
#[test]
fn faces_are_embedded_cut_down_and_tagged() {
    let bytes = write(&[lines()], &ABOUT).unwrap();
    let document = lopdf(&bytes);
    let page = document.get_pages()[&1];
    let fonts = document.get_page_fonts(page).unwrap();
    assert_eq!(fonts.len(), FaceId::ALL.len());
    let mut bases = Vec::new();
    for font in fonts.values() {
        let base = name(font.get(b"BaseFont").unwrap());
        let (tag, rest) = base.split_once('+').unwrap();
        assert!(tag.len() == 6 && tag.bytes().all(|b| b.is_ascii_uppercase()), "{base}");
        bases.push(rest.to_owned());
        let descendants = font.get(b"DescendantFonts").unwrap().as_array().unwrap();
        let descendant = descendants[0].as_dict().unwrap();
        assert_eq!(name(descendant.get(b"BaseFont").unwrap()), base);
        let descriptor = document.get_dict_in_dict(descendant, b"FontDescriptor").unwrap();
        assert_eq!(name(descriptor.get(b"FontName").unwrap()), base);
        // fonttools: OS/2.sCapHeight 714.
        assert_eq!(descriptor.get(b"CapHeight").unwrap().as_i64().unwrap(), 714);
        let file = document.get_object(descriptor.get(b"FontFile2").unwrap().as_reference().unwrap()).unwrap();
        let file = file.as_stream().unwrap();
        let program = file.decompressed_content().unwrap();
        assert_eq!(i64::try_from(program.len()).unwrap(), file.dict.get(b"Length1").unwrap().as_i64().unwrap());
        let face = ttf_parser::Face::parse(&program, 0).unwrap();
        assert!(face.number_of_glyphs() < 60, "{} glyphs are not a subset", face.number_of_glyphs());
        assert!(font.get(b"ToUnicode").is_ok());
    }
    bases.sort();
    let mut expected: Vec<_> = FaceId::ALL.iter().map(|id| id.postscript_name().to_owned()).collect();
    expected.sort();
    assert_eq!(bases, expected);
}

// ISO 32000-1: 14.9.2 Lang, 12.2 ViewerPreferences, 14.3.3 Info; XML 1.0, 2.4 escapes.
#[test]
fn the_file_says_what_it_is_and_claims_nothing_else() {
    let about = About { title: "Salt & <Lamp> – é", language: "fr", subject: "" };
    let bytes = write(&[lines()], &about).unwrap();
    assert!(bytes.starts_with(b"%PDF-1.7\n"));
    let document = lopdf(&bytes);
    let catalog = document.catalog().unwrap();
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"fr");
    let preferences = catalog.get(b"ViewerPreferences").unwrap().as_dict().unwrap();
    assert_eq!(preferences.get(b"PrintScaling").unwrap().as_name().unwrap(), b"None");
    let info = document.get_dict_in_dict(&document.trailer, b"Info").unwrap();
    let keys: Vec<_> = info.iter().map(|(key, _)| String::from_utf8_lossy(key).into_owned()).collect();
    assert_eq!(keys, ["Title", "Producer"], "no dates, no claim, no other producer");
    assert_eq!(lopdf::decode_text_string(info.get(b"Title").unwrap()).unwrap(), about.title);
    assert_eq!(info.get(b"Producer").unwrap().as_str().unwrap(), b"waxbill");
    let metadata = document.get_object(catalog.get(b"Metadata").unwrap().as_reference().unwrap()).unwrap();
    let packet = String::from_utf8(metadata.as_stream().unwrap().content.clone()).unwrap();
    assert!(packet.contains(">Salt &amp; &lt;Lamp&gt; – é<"), "{packet}");
    for page in document.get_pages().values() {
        assert!(!document.get_dictionary(*page).unwrap().has(b"Annots"));
    }
    let mut plain = document.clone();
    plain.decompress();
    let mut all = Vec::new();
    plain.save_to(&mut all).unwrap();
    for word in ["GTS_PDFX", "printpdf", "lopdf", "CreationDate", "OutputIntent"] {
        assert!(!all.windows(word.len()).any(|w| w.eq_ignore_ascii_case(word.as_bytes())), "{word}");
    }
}

#[test]
fn all_streams_but_the_description_are_deflated() {
    let document = lopdf(&write(&[lines()], &ABOUT).unwrap());
    let mut count = 0;
    for object in document.objects.values() {
        let Object::Stream(stream) = object else { continue };
        if stream.dict.get(b"Type").is_ok_and(|kind| kind.as_name().unwrap() == b"Metadata") {
            assert!(stream.filters().is_err());
        } else {
            assert_eq!(stream.filters().unwrap(), [b"FlateDecode"]);
            count += 1;
        }
    }
    // Six faces with a program and a ToUnicode map each, and one page.
    assert_eq!(count, 13);
}

#[test]
fn the_same_label_is_the_same_bytes() {
    let first = write(&[lines()], &ABOUT).unwrap();
    write(&[page(mm(9), mm(9), vec![])], &ABOUT).unwrap();
    let threads: Vec<_> = (0..2).map(|_| std::thread::spawn(|| write(&[lines()], &ABOUT).unwrap())).collect();
    for thread in threads {
        assert!(thread.join().unwrap() == first, "the bytes differ");
    }
    let id = |bytes: &[u8]| format!("{:?}", lopdf(bytes).trailer.get(b"ID").unwrap());
    let other = write(&[lines()], &About { title: "Salt Lamp", ..ABOUT }).unwrap();
    assert_ne!(id(&first), id(&other));
    assert_eq!(id(&first), id(&write(&[lines()], &ABOUT).unwrap()));
}

#[test]
fn a_character_no_face_has_is_named() {
    let items = vec![text("keep upright ☃", FaceId::Normal, mm(3), mm(5), mm(20))];
    let finding = write(&[page(mm(64), mm(50), items)], &ABOUT).unwrap_err();
    assert_eq!(finding.id, "pdf/missing-character");
    assert!(finding.message.contains("`☃` (U+2603)") && finding.message.contains("`keep upright ☃`"), "{finding:?}");
}

#[test]
fn what_cannot_be_drawn_is_refused() {
    let refused = |pages: &[Page]| write(pages, &ABOUT).unwrap_err().id;
    assert_eq!(refused(&[]), "pdf/no-page");
    for (width, height) in [
        (mm(0), mm(9)),
        (mm(9), mm(-1)),
        (Length::inch(200, 1) + Length::raw(1), mm(9)),
        (mm(9), Length::raw(i64::MAX)),
    ] {
        assert_eq!(refused(&[page(width, height, vec![])]), "pdf/page-size");
    }
    let words = |size| page(mm(9), mm(9), vec![text("x", FaceId::Normal, size, mm(1), mm(1))]);
    assert_eq!(refused(&[words(Length::ZERO)]), "pdf/text-size");
    let line = |width| {
        let rings = vec![polygon(&[at(0, 0), at(9_000, 0)])];
        page(mm(9), mm(9), vec![Placed::Path(Path { rings, paint: Paint::Stroke(Ink::Black, width) })])
    };
    assert_eq!(refused(&[line(Length::ZERO)]), "pdf/line-width");
    assert!(write(&[line(Length::raw(1))], &ABOUT).is_ok());
}

#[test]
fn empty_lines_and_far_coordinates_do_no_harm() {
    let far = Length::raw(i64::MIN);
    let items = vec![
        text("", FaceId::Normal, mm(3), mm(5), mm(20)),
        text("x", FaceId::Normal, Length::raw(i64::MAX), far, far),
        Placed::Path(Path { rings: vec![], paint: Paint::Fill(Ink::Black) }),
        Placed::Path(Path {
            rings: vec![Ring { start: at(0, 0), to: vec![], closed: true }],
            paint: Paint::Fill(Ink::Grey(255)),
        }),
    ];
    let bytes = write(&[page(mm(64), mm(50), items)], &ABOUT).unwrap();
    assert_eq!(lopdf(&bytes).get_pages().len(), 1);
}
