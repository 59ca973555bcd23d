//! Pages of labels as others read them: places, boxes, inks and codes; and what the reader says of pages that are wrong.
//!
//! Expected places are worked out by hand from the geometry of the sheet, not by the program.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test stops at the first surprise")]

#[path = "layout/plan.rs"]
#[allow(dead_code, reason = "shared with the tests of layout")]
mod plan;

use lopdf::content::{Content as Drawing, Operation};
use lopdf::{Document, Object};
use std::sync::Arc;
use waxbill::find::{Finding, Source};
use waxbill::page::{self, Series};
use waxbill::pdf::{About, Press, Red, press};
use waxbill::plan::{Content, Part, Plan, Shape};
use waxbill::sheet::{self, ACROSS, Axis, Blank, Correction, Cut, DOWN, Job, Leaf, Sheet};
use waxbill::unit::Length;
use waxbill::{inspect, pdf};

const ABOUT: About = About { title: "Low Tide", language: "en", subject: "candle labels" };

fn mm(mm: i64) -> Length {
    Length::mm(mm)
}

/// Base labels of one lot, numbered.
struct Work {
    plan: Plan,
    codes: Vec<String>,
    series: Vec<Series>,
    correction: Correction,
    red: Red,
}

impl Work {
    fn new(numbers: std::ops::RangeInclusive<u32>) -> Self {
        let codes: Vec<String> = numbers.map(|n| format!("26329A4-{n:03}")).collect();
        let mut plan = plan::plan(vec![Part { shape: Shape::Circle { diameter: mm(70) }, ..plan::base() }]);
        let cells = plan.parts.iter_mut().flat_map(|p| &mut p.rows).flat_map(|r| &mut r.cells);
        for item in cells.flat_map(|c| &mut c.block.items) {
            match &mut item.content {
                Content::Text { text, .. } => *text = text.replace("26329A4", &codes[0]),
                Content::Qr { payload, .. } => *payload = payload.replace("26329A4", &codes[0]),
                _ => {}
            }
        }
        let pages = page::set(&plan).unwrap();
        let parted = pages.into_iter().zip(&plan.parts).map(|(page, part)| Series::of(page, part, &codes[0]).unwrap());
        let series = parted.collect();
        Self { plan, codes, series, correction: Correction::NONE, red: Red::Rgb }
    }

    fn part(&self) -> &Part {
        &self.plan.parts[0]
    }

    fn on_sheets(&self, sheet: &Sheet, start: u32) -> Vec<Leaf> {
        let Part { name, shape, margin, .. } = self.part();
        let count = u32::try_from(self.codes.len()).unwrap();
        sheet::fill(sheet, &Job { name, part: 0, shape: *shape, margin: *margin, start, count }).unwrap()
    }

    fn written(&self, leaves: &[Leaf]) -> Vec<u8> {
        let Self { series, codes, correction, red, .. } = self;
        press(&Press { parts: series, codes, leaves, correction: *correction, red: *red }, &ABOUT).unwrap()
    }

    fn read(&self, leaves: &[Leaf], bytes: &[u8]) -> Vec<Finding> {
        let (across, down) = (self.correction.across, self.correction.down);
        let asked: Vec<inspect::Leaf> = leaves
            .iter()
            .map(|leaf| inspect::Leaf {
                width: (leaf.width - leaf.edge * 2).to_mm_f64(),
                height: (leaf.height - leaf.edge * 2).to_mm_f64(),
                edge: leaf.edge.to_mm_f64(),
                bleed: leaf.bleed.to_mm_f64(),
                labels: leaf
                    .spots
                    .iter()
                    .map(|spot| inspect::Placed {
                        part: spot.part,
                        unit: usize::try_from(spot.unit).unwrap(),
                        left: (across.drawn(spot.left) - leaf.edge).to_mm_f64(),
                        top: (down.drawn(spot.top) - leaf.edge).to_mm_f64(),
                    })
                    .collect(),
            })
            .collect();
        let (plan, codes, leaves) = (&self.plan, &self.codes[..], &asked[..]);
        let (across, down) = (across.scale(), down.scale());
        inspect::leaves(bytes, &inspect::Pressed { plan, codes, across, down, leaves, known: &[] })
    }
}

/// A sheet whose figures are easy to reckon with: 2 x 3 discs of 75 mm on A4, 20 mm and 25 mm in, 90 mm and 85 mm on.
fn sheet() -> Sheet {
    let text = "
sheet: easy
paper: A4
columns: 2
rows: 3
shape: {circle: {diameter: 75 mm}}
margin: {left: 20 mm, top: 25 mm}
pitch: {across: 90 mm, down: 85 mm}
";
    sheet::read(&Arc::new(Source { name: "easy.yaml".into(), text: text.into() })).unwrap()
}

/// Where the letter `W` of `WARNING` stands on each page: left end of its origin, baseline, in mm.
fn warnings(bytes: &[u8]) -> Vec<Vec<(f64, f64)>> {
    let pages = inspect::read(bytes).unwrap();
    let of = |page: &inspect::SeenPage| {
        let word = |n: usize| page.glyphs[n..].iter().take(7).map(|g| g.text.as_str()).collect::<String>() == "WARNING";
        (0..page.glyphs.len()).filter(|&n| word(n)).map(|n| (page.glyphs[n].x, page.glyphs[n].baseline)).collect()
    };
    pages.iter().map(of).collect()
}

/// The label alone on a page of its size.
fn alone(work: &Work) -> (f64, f64) {
    let page = page::set(&work.plan).unwrap();
    warnings(&pdf::write(&page, &ABOUT).unwrap())[0][0]
}

// By hand: the label measures 70 mm, so it stands 2.5 mm in from each position's box. Position 4 is second row, second
// column: 20 + 90 + 2.5 = 112.5 mm and 25 + 85 + 2.5 = 112.5 mm; 5: 22.5, 197.5; 6: 112.5, 197.5; then a new sheet.
#[test]
fn labels_stand_within_a_tenth_of_a_millimetre_of_their_places() {
    let work = Work::new(1..=5);
    let leaves = work.on_sheets(&sheet(), 4);
    let bytes = work.written(&leaves);
    assert!(work.read(&leaves, &bytes).is_empty());
    let (x, y) = alone(&work);
    let hand: [&[(f64, f64)]; 2] = [&[(112.5, 112.5), (22.5, 197.5), (112.5, 197.5)], &[(22.5, 27.5), (112.5, 27.5)]];
    let seen = warnings(&bytes);
    assert_eq!(seen.iter().map(Vec::len).collect::<Vec<_>>(), [3, 2]);
    for (seen, hand) in seen.iter().flatten().zip(hand.into_iter().flatten()) {
        let off = (seen.0 - x - hand.0).hypot(seen.1 - y - hand.1);
        assert!(off < 0.01, "{off:.4} mm off {hand:?}");
    }
}

// A printer that lays x at 0.56 + 1.002 x and y at -1.09 + 0.9985 y: the line at 20 mm then comes out at 20.6 mm and
// 18.88 mm, 150 mm as 150.3 mm and 200 mm as 199.7 mm.
#[test]
fn a_corrected_sheet_comes_out_right_on_the_printer_it_is_for() {
    let mut work = Work::new(1..=2);
    work.correction = Correction {
        across: Axis::measured(ACROSS, Length::um(20_600), Length::um(150_300)).unwrap(),
        down: Axis::measured(DOWN, Length::um(18_880), Length::um(199_700)).unwrap(),
    };
    let leaves = work.on_sheets(&sheet(), 5);
    let bytes = work.written(&leaves);
    assert!(work.read(&leaves, &bytes).is_empty());
    let (x, y) = alone(&work);
    let seen = &warnings(&bytes)[0];
    for (seen, hand) in seen.iter().zip([(22.5, 197.5), (112.5, 197.5)]) {
        let printed = (0.56 + 1.002 * seen.0, -1.09 + 0.9985 * seen.1);
        let off = (printed.0 - x - hand.0).hypot(printed.1 - y - hand.1);
        assert!(off < 0.02, "{off:.4} mm off {hand:?}");
        assert!((seen.0 - x - hand.0).abs() > 0.3, "nothing was corrected");
    }
    // Read as a sheet for a printer without error, the same labels stand wrong and have the wrong size.
    work.correction = Correction::NONE;
    assert!(!work.read(&leaves, &bytes).is_empty());
}

fn numbers(object: &Object) -> Vec<f32> {
    object.as_array().unwrap().iter().map(|n| n.as_float().unwrap()).collect()
}

// By hand, 1 mm = 72 / 25.4 pt: 70 mm of label, 3 mm of bleed, marks to 9 mm from the cut: 88 mm of paper = 249.449 pt,
// the cut from 9 mm = 25.512 pt to 79 mm = 223.937 pt, the bleed from 6 mm = 17.008 pt to 82 mm = 232.441 pt.
#[test]
fn a_print_shop_gets_its_boxes_and_marks() {
    let work = Work::new(1..=1);
    let blank = Blank::of(&work.plan.printed()[0]);
    let leaf = sheet::single(0, 0, &blank, Cut { bleed: mm(3), marks: true });
    let leaves = [leaf];
    let bytes = work.written(&leaves);
    assert!(work.read(&leaves, &bytes).is_empty());
    let document = Document::load_mem(&bytes).unwrap();
    let page = document.get_dictionary(document.get_pages()[&1]).unwrap();
    for (name, hand) in [
        ("MediaBox", [0.0, 0.0, 249.449, 249.449]),
        ("CropBox", [0.0, 0.0, 249.449, 249.449]),
        ("BleedBox", [17.008, 17.008, 232.441, 232.441]),
        ("TrimBox", [25.512, 25.512, 223.937, 223.937]),
    ] {
        let found = numbers(page.get(name.as_bytes()).unwrap());
        assert!(found.iter().zip(hand).all(|(a, b)| (a - b).abs() < 0.002), "{name} {found:?}");
    }
    // Eight marks, none of them over the bleed box; then the die's disc, after the label.
    let (_, drawing) = drawings(&document).remove(0);
    let (over, label) = (nth(&drawing, "gs", 0), nth(&drawing, "q", 0));
    assert!(over > label);
    let lines: Vec<_> = drawing[..label].iter().filter(|o| o.operator == "l" || o.operator == "m").collect();
    assert_eq!(lines.len(), 16);
    for line in lines {
        let outside = |n: &Object| !(17.1..232.3).contains(&n.as_float().unwrap());
        assert!(line.operands.iter().any(outside), "{line:?}");
    }
}

/// The operations of every page, then of every form.
fn drawings(document: &Document) -> Vec<(lopdf::ObjectId, Vec<Operation>)> {
    let mut all: Vec<lopdf::ObjectId> = Vec::new();
    for page in document.get_pages().values() {
        all.push(document.get_dictionary(*page).unwrap().get(b"Contents").unwrap().as_reference().unwrap());
    }
    let form = |o: &Object| {
        o.as_stream().is_ok_and(|s| s.dict.get(b"Subtype").and_then(Object::as_name).is_ok_and(|n| n == b"Form"))
    };
    all.extend(document.objects.iter().filter(|(_, o)| form(o)).map(|(id, _)| *id));
    all.into_iter()
        .map(|id| {
            let content = document.get_object(id).unwrap().as_stream().unwrap().decompressed_content().unwrap();
            (id, Drawing::decode(&content).unwrap().operations)
        })
        .collect()
}

// ISO 32000-1, 8.6.4.2: `g` and `G` put ink on the black plate alone; no other operator sets a colour here.
#[test]
fn black_is_black_ink_alone() {
    let mut work = Work::new(1..=3);
    for red in [Red::Rgb, Red::Cmyk, Red::Spot] {
        work.red = red;
        let bytes = work.written(&work.on_sheets(&sheet(), 1));
        let document = Document::load_mem(&bytes).unwrap();
        let colours = ["g", "G", "rg", "RG", "k", "K", "cs", "CS", "sc", "SC", "scn", "SCN"];
        let all: Vec<Operation> = drawings(&document).into_iter().flat_map(|(_, d)| d).collect();
        let set: Vec<_> = all.iter().filter(|o| colours.contains(&o.operator.as_str())).collect();
        assert!(set.len() > 3);
        for o in set {
            assert!(o.operator.eq_ignore_ascii_case("g"), "{o:?}");
            let grey = o.operands[0].as_float().unwrap();
            assert!(grey.abs() < 1e-6 || (grey - 1.0).abs() < 1e-6, "{o:?}");
        }
    }
}

#[test]
fn what_all_labels_have_alike_is_written_once() {
    let (few, many) = (Work::new(1..=2), Work::new(1..=200));
    let size = |work: &Work| work.written(&work.on_sheets(&sheet(), 1)).len();
    let (few, many) = (size(&few), size(&many));
    assert!((many - few) / 198 < 900, "{} bytes a label", (many - few) / 198);
    let document = Document::load_mem(&Work::new(1..=2).written(&Work::new(1..=2).on_sheets(&sheet(), 1))).unwrap();
    assert_eq!(drawings(&document).len(), 2, "one page and one form");
}

/// What pictures of the positions of [`sheet`] hold of codes at `dpi`, found by a search within each.
fn codes(bytes: &[u8], dpi: f32) -> Vec<String> {
    let pdf = hayro::hayro_syntax::Pdf::new(bytes.to_vec()).unwrap();
    let (cache, reading) = (hayro::RenderCache::new(), hayro::hayro_interpret::InterpreterSettings::default());
    let (x_scale, y_scale) = (dpi / 72.0, dpi / 72.0);
    let bg_color = hayro::vello_cpu::color::palette::css::WHITE;
    let settings = hayro::PixmapSettings { x_scale, y_scale, bg_color };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "small and positive")]
    let dots = |mm: f32| (mm / 25.4 * dpi) as usize;
    let mut found = Vec::new();
    for page in pdf.pages().iter() {
        let picture = hayro::render(page, &cache, &reading, &hayro::RenderSettings::default(), &settings);
        let (width, pixels) = (usize::from(picture.width()), picture.data_as_u8_slice());
        for (left, top) in [(20., 25.), (110., 25.), (20., 110.), (110., 110.), (20., 195.), (110., 195.)] {
            let (left, top, side) = (dots(left), dots(top), dots(75.0));
            let dot = |x: usize, y: usize| pixels[((top + y) * width + left + x) * 4];
            let mut grey = rqrr::PreparedImage::prepare_from_greyscale(side, side, dot);
            found.extend(grey.detect_grids().iter().filter_map(|grid| grid.decode().ok()).map(|(_, payload)| payload));
        }
    }
    found
}

#[test]
fn every_unit_has_a_code_of_its_own_that_a_picture_shows() {
    let work = Work::new(8..=12);
    let bytes = work.written(&work.on_sheets(&sheet(), 5));
    let hand: Vec<String> =
        (8..=12).map(|n| format!("https://quillmere.example/l/26329A4-{n:03}?p=low-tide&s=harbour-soy")).collect();
    assert_eq!(codes(&bytes, 300.0), hand);
}

#[test]
fn the_same_labels_give_the_same_bytes() {
    let work = Work::new(1..=40);
    let leaves = work.on_sheets(&sheet(), 2);
    assert!(work.written(&leaves) == work.written(&leaves));
}

/// The file after a change to the operations of one page.
fn changed(bytes: &[u8], page: u32, change: impl Fn(&mut Vec<Operation>)) -> Vec<u8> {
    let mut document = Document::load_mem(bytes).unwrap();
    let content = document.get_dictionary(document.get_pages()[&page]).unwrap().get(b"Contents").unwrap();
    let id = content.as_reference().unwrap();
    let stream = document.get_object_mut(id).unwrap().as_stream_mut().unwrap();
    let mut drawing = Drawing::decode(&stream.decompressed_content().unwrap()).unwrap();
    change(&mut drawing.operations);
    stream.set_plain_content(drawing.encode().unwrap());
    let mut out = Vec::new();
    document.save_to(&mut out).unwrap();
    out
}

/// The nth operation of this name.
fn nth(operations: &[Operation], operator: &str, n: usize) -> usize {
    operations.iter().enumerate().filter(|(_, o)| o.operator == operator).nth(n).unwrap().0
}

/// Something done to the operations of a page.
type Change = fn(&mut Vec<Operation>);

#[test]
fn whatever_is_wrong_with_one_label_of_many_is_found() {
    let work = Work::new(1..=14);
    let leaves = work.on_sheets(&sheet(), 1);
    let bytes = work.written(&leaves);
    assert!(work.read(&leaves, &bytes).is_empty());
    // Nothing changed: still nothing found.
    assert!(work.read(&leaves, &changed(&bytes, 2, |_| {})).is_empty());
    let wrong: [(&str, Change); 9] = [
        ("a label moved by half a millimetre", |all| {
            let at = nth(all, "cm", 4);
            all[at].operands[4] = Object::Real(all[at].operands[4].as_float().unwrap() + 1.417);
        }),
        ("a label twice as large", |all| {
            let at = nth(all, "cm", 4);
            all[at].operands[0] = Object::Integer(2);
        }),
        ("another form drawn nowhere", |all| drop(all.remove(nth(all, "Do", 2)))),
        ("the code of a unit taken away", |all| drop(all.remove(nth(all, "TJ", 2)))),
        ("the code of another unit", |all| {
            let (one, other) = (nth(all, "TJ", 1), nth(all, "TJ", 2));
            all[one].operands = all[other].operands.clone();
        }),
        ("a smaller letter", |all| {
            let at = nth(all, "Tf", 1);
            all[at].operands[1] = Object::Real(all[at].operands[1].as_float().unwrap() / 2.0);
        }),
        ("the codes of two units changed about", |all| {
            let ends: Vec<usize> = (0..6).map(|n| nth(all, "f", n)).collect();
            let code = |n: usize| all[..ends[n]].iter().rposition(|o| o.operator != "re").unwrap() + 1..ends[n];
            let (first, second) = (all[code(1)].to_vec(), all[code(2)].to_vec());
            all.splice(code(2), first);
            let from = all[..ends[1]].iter().rposition(|o| o.operator != "re").unwrap() + 1;
            all.splice(from..ends[1], second);
        }),
        ("a bar over a label", |all| {
            let bar = |o: &str, n: &[i64]| Operation::new(o, n.iter().map(|n| Object::Integer(*n)).collect());
            all.extend([bar("re", &[0, 0, 600, 850]), bar("f", &[])]);
        }),
        ("the whole page shrunk", |all| {
            let shrunk = [0.97, 0.0, 0.0, 0.97, 0.0, 0.0].map(Object::Real).to_vec();
            all.insert(0, Operation::new("cm", shrunk));
        }),
    ];
    for (what, change) in wrong {
        let found = work.read(&leaves, &changed(&bytes, 2, change));
        assert!(!found.is_empty(), "{what} was not found");
    }
}

// The width of a glyph that only some units show: their lines would be torn apart.
#[test]
fn a_figure_with_a_wrong_width_is_found_wherever_it_first_stands() {
    let work = Work::new(1..=9);
    let leaves = work.on_sheets(&sheet(), 1);
    let bytes = work.written(&leaves);
    let mut document = Document::load_mem(&bytes).unwrap();
    let mut changed = 0;
    for object in document.objects.values_mut() {
        let Ok(font) = object.as_dict_mut() else { continue };
        let Ok(fonts) = font.get_mut(b"DescendantFonts").and_then(Object::as_array_mut) else { continue };
        let widths = fonts[0].as_dict_mut().unwrap().get_mut(b"W").and_then(Object::as_array_mut).unwrap();
        for run in widths.iter_mut().filter_map(|w| w.as_array_mut().ok()) {
            for w in run.iter_mut() {
                *w = Object::Integer(1600);
            }
            changed += 1;
        }
    }
    assert!(changed > 0);
    let mut wide = Vec::new();
    document.save_to(&mut wide).unwrap();
    assert!(!work.read(&leaves, &wide).is_empty());
}

#[test]
fn a_page_too_many_and_one_too_few_are_found() {
    let work = Work::new(1..=8);
    let leaves = work.on_sheets(&sheet(), 1);
    let bytes = work.written(&leaves);
    assert_eq!(leaves.len(), 2);
    assert_eq!(work.read(&leaves[..1], &bytes)[0].id, "label/pages");
    assert_eq!(work.read(&leaves, b"%PDF-1.7")[0].id, "file/pdf");
}
