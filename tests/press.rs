//! A print shop's pages as others read them: the ground in the bleed, marks on every plate, folds, the line of the die.
//!
//! Places are worked out by hand from the templates; colours are looked up in a picture of the page, inks in its operations.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop at the first thing that is wrong")]

mod quillmere;

use lopdf::content::{Content, Operation};
use lopdf::{Dictionary, Document, Object};
use quillmere::{needs, samples};
use std::sync::Arc;
use waxbill::find::{Finding, Source};
use waxbill::page::{self, Series};
use waxbill::pdf::{About, Press, Red, press};
use waxbill::plan::template::{self, Template};
use waxbill::plan::{self, Plan};
use waxbill::sheet::{self, Blank, Correction, Cut, Leaf};
use waxbill::trade::Market;
use waxbill::unit::Length;
use waxbill::{find, inspect};

const ABOUT: About = About { title: "", language: "en", subject: "" };
const NAVY: [u8; 3] = [0x1f, 0x3a, 0x5f];

/// A built-in template with a dark ground on every part or face, and letters of the maker's own choice in white.
fn navy(name: &str) -> Template {
    let text = template::built_in(name).unwrap().text.clone();
    let mut lines: Vec<String> = Vec::new();
    let strip = text.contains("face: ");
    for line in text.lines() {
        let own =
            ["product name", "burn time", "care", "lot"].into_iter().find(|b| line.contains(&format!("block: {b}")));
        let line = own.map_or_else(|| line.to_owned(), |b| line.replace(b, &format!("{b}, ink: \"#ffffff\"")));
        let carries = if strip { line.contains("- face: ") } else { line.starts_with("    margin: ") };
        let indent = " ".repeat(if strip { 8 } else { 4 });
        lines.push(line);
        if carries {
            lines.push(format!("{indent}ground: \"#1f3a5f\""));
        }
    }
    template::read(&Arc::new(Source { name: "navy.yaml".to_owned(), text: lines.join("\n") })).unwrap()
}

struct Shop {
    plan: Plan,
    leaves: Vec<Leaf>,
    bytes: Vec<u8>,
}

impl Shop {
    fn of(product: &str, market: Market, template: &Template, cut: Cut, red: Red) -> Self {
        let product = samples().into_iter().find(|p| p.id == product).unwrap();
        let plan = plan::of(&needs(&product, market, Some("26329A4")), template).unwrap();
        let pages = page::set(&plan).unwrap();
        let printed = plan.printed();
        let blanks: Vec<Blank> = printed.iter().map(Blank::of).collect();
        let bled = pages.into_iter().zip(&printed).map(|(page, of)| Series::same(page::bled(page, of, cut.bleed)));
        let parts: Vec<Series> = bled.collect();
        let leaves: Vec<Leaf> = (0..parts.len()).map(|n| sheet::single(n, 0, &blanks[n], cut)).collect();
        let job = Press { parts: &parts, codes: &[], leaves: &leaves, correction: Correction::NONE, red };
        let bytes = press(&job, &ABOUT).unwrap();
        Self { plan, leaves, bytes }
    }

    fn read(&self) -> Vec<Finding> {
        let asked: Vec<inspect::Leaf> = self
            .leaves
            .iter()
            .map(|leaf| inspect::Leaf {
                width: (leaf.width - leaf.edge * 2).to_mm_f64(),
                height: (leaf.height - leaf.edge * 2).to_mm_f64(),
                edge: leaf.edge.to_mm_f64(),
                bleed: leaf.bleed.to_mm_f64(),
                labels: leaf
                    .spots
                    .iter()
                    .map(|s| inspect::Placed { part: s.part, unit: 0, left: 0.0, top: 0.0 })
                    .collect(),
            })
            .collect();
        let (plan, leaves) = (&self.plan, &asked[..]);
        inspect::leaves(&self.bytes, &inspect::Pressed { plan, codes: &[], across: 1.0, down: 1.0, leaves, known: &[] })
    }

    /// The colour at a place in mm from the upper left of the cut.
    fn colours(&self, page: usize, around: f64) -> impl Fn(f64, f64) -> [u8; 3] + use<> {
        const PER_MM: f64 = 10.0;
        let raster = inspect::picture(&self.bytes, page, PER_MM, around).unwrap();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "small and positive")]
        let dot = move |mm: f64| ((mm + around) * PER_MM) as usize;
        move |x, y| raster.pixels[dot(y) * raster.width + dot(x)]
    }

    fn document(&self) -> Document {
        Document::load_mem(&self.bytes).unwrap()
    }
}

const fn cut(bleed_mm: i64, marks: bool) -> Cut {
    Cut { bleed: Length::mm(bleed_mm), marks }
}

fn operations(document: &Document, page: u32) -> Vec<Operation> {
    Content::decode(&document.get_page_content(document.get_pages()[&page])).unwrap().operations
}

fn resources(document: &Document, page: u32) -> Dictionary {
    let page = document.get_dictionary(document.get_pages()[&page]).unwrap();
    document.get_dictionary(page.get(b"Resources").unwrap().as_reference().unwrap()).unwrap().clone()
}

/// The colorant of a separation by its name on the page.
fn ink(document: &Document, page: u32, name: &str) -> (String, Vec<f32>) {
    let resources = resources(document, page);
    let spaces = resources.get(b"ColorSpace").unwrap().as_dict().unwrap();
    let space = spaces.get(name.as_bytes()).unwrap().as_array().unwrap();
    assert_eq!(space[0].as_name().unwrap(), b"Separation");
    let full = space[3].as_dict().unwrap().get(b"C1").unwrap().as_array().unwrap();
    let word = String::from_utf8(space[1].as_name().unwrap().to_vec()).unwrap();
    (word, full.iter().map(|n| n.as_float().unwrap()).collect())
}

fn faults(shop: &Shop) -> Vec<String> {
    shop.read().iter().filter(|f| f.level == find::Level::Error).map(|f| f.message.clone()).collect()
}

/// The label measures 60 x 70 mm with round corners: 3 mm beyond the cut all is ground, corners and all, and no more.
#[test]
fn the_ground_fills_the_box_of_the_bleed() {
    let shop = Shop::of("low-tide", Market::Us, &navy("jar-front-and-base"), cut(3, true), Red::Rgb);
    assert_eq!(faults(&shop), [""; 0]);
    let at = shop.colours(1, 4.0);
    for [x, y] in [[-2.9, -2.9], [62.9, -2.9], [-2.9, 72.9], [62.9, 72.9], [30.0, -2.9], [-2.9, 35.0], [1.0, 1.0]] {
        assert_eq!(at(x, y), NAVY, "{x} {y}");
    }
    // Between two marks nothing is printed beyond the bleed.
    for [x, y] in [[-3.2, 35.0], [63.2, 35.0], [30.0, -3.2], [30.0, 73.2], [-3.2, -3.2], [63.2, 73.2]] {
        assert_eq!(at(x, y), [255; 3], "{x} {y}");
    }
    // Without bleed it ends at the cut.
    let plain = Shop::of("low-tide", Market::Us, &navy("jar-front-and-base"), cut(0, true), Red::Rgb);
    let at = plain.colours(1, 4.0);
    assert_eq!([at(-0.2, 35.0), at(0.2, 35.0)], [[255; 3], NAVY]);
}

/// Pythagoras: a disc of 68 mm with 3 mm of bleed has a radius of 37 mm, so 26.16 mm to each side at 45 degrees.
#[test]
fn the_ground_of_a_disc_is_a_larger_disc() {
    let shop = Shop::of("low-tide", Market::Us, &navy("jar-front-and-base"), cut(3, false), Red::Rgb);
    let at = shop.colours(2, 4.0);
    for (off, colour) in [(36.8, NAVY), (37.3, [255; 3])] {
        let leg = off * std::f64::consts::FRAC_1_SQRT_2;
        for [dx, dy] in [[0.0, -off], [0.0, off], [-off, 0.0], [off, 0.0], [leg, leg], [-leg, -leg]] {
            assert_eq!(at(34.0 + dx, 34.0 + dy), colour, "{dx} {dy}");
        }
    }
}

/// The faces of the sleeve measure 101, 40.5, 101 and 40.5 mm, then 12 mm of flap without ground.
#[test]
fn faces_of_a_piece_bleed_at_its_edges_and_folds_are_marked_outside() {
    let shop = Shop::of("mudflat", Market::Us, &navy("box-sleeve"), cut(3, false), Red::Rgb);
    assert_eq!(faults(&shop), [""; 0]);
    let at = shop.colours(1, 8.5);
    for x in [-2.9, 50.0, 120.0, 200.0, 282.0] {
        assert_eq!([at(x, -2.9), at(x, 72.9)], [NAVY; 2], "{x}");
    }
    assert_eq!(at(284.0, 35.0), [255; 3]);
    // Marks from 3 mm to 8 mm beyond the cut, dashed: 1 mm and then 0.6 mm of none, each way from the outer or inner end.
    let document = shop.document();
    let drawn = operations(&document, 1);
    let dash = drawn.iter().find(|o| o.operator == "d").unwrap();
    assert_eq!(dash.operands[0].as_array().unwrap().len(), 2);
    let edge = shop.leaves[0].edge.to_mm_f64();
    let mm = |o: &Operation, n: usize| f64::from(o.operands[n].as_float().unwrap()) * 25.4 / 72.0 - edge;
    let begins: Vec<[f64; 2]> = drawn.iter().filter(|o| o.operator == "m").map(|o| [mm(o, 0), mm(o, 1)]).collect();
    let hand = [101.0, 141.5, 242.5, 283.0];
    assert_eq!(begins.len(), 8);
    for (pair, fold) in begins.chunks(2).zip(hand) {
        assert!(pair.iter().all(|p| (p[0] - fold).abs() < 0.001), "{pair:?} {fold}");
        // The upper mark begins 8 mm above, the lower one 3 mm below the cut; y runs upwards.
        assert!((pair[0][1] - 78.0).abs() < 0.001 && (pair[1][1] + 3.0).abs() < 0.001, "{pair:?}");
    }
    for fold in hand {
        let dark = |y: f64| at(fold - 0.05, y)[0].min(at(fold + 0.05, y)[0]) < 200;
        assert!(dark(-7.5) && dark(73.5) && !dark(-8.3), "{fold}");
    }
    assert_eq!(ink(&document, 1, "All").0, "All");
}

/// ISO 32000-1, 8.6.6.4: `All` is every colorant of the device, so that marks stand on the plate of a spot ink too.
#[test]
fn marks_stand_on_every_plate() {
    for red in [Red::Rgb, Red::Cmyk, Red::Spot] {
        let template = template::read(&template::built_in("jar-wrap").unwrap()).unwrap();
        let shop = Shop::of("sea-thrift", Market::Gb, &template, cut(3, true), red);
        assert_eq!(faults(&shop), [""; 0]);
        let document = shop.document();
        for page in 1..=u32::try_from(shop.leaves.len()).unwrap() {
            let drawn = operations(&document, page);
            let label = drawn.iter().position(|o| o.operator == "q").unwrap();
            let chosen: Vec<&Operation> = drawn[..label]
                .iter()
                .filter(|o| matches!(o.operator.as_str(), "CS" | "SCN" | "G" | "RG" | "K"))
                .collect();
            assert_eq!(chosen[0].operands, [Object::Name(b"All".to_vec())]);
            assert_eq!(chosen[1].operands, [Object::Integer(1)]);
            assert_eq!((chosen.len(), drawn[..label].iter().filter(|o| o.operator == "S").count()), (2, 8));
            assert_eq!(ink(&document, page, "All"), ("All".to_owned(), vec![1.0; 4]));
            let spaces = resources(&document, page);
            let spaces = spaces.get(b"ColorSpace").unwrap().as_dict().unwrap().clone();
            assert_eq!(spaces.has(b"Red"), red == Red::Spot);
        }
    }
}

/// A tag of 62 x 110 mm with round corners of 4 mm and a hole of 4 mm, its middle 31 mm and 7 mm in.
#[test]
fn the_line_of_the_die_is_an_ink_of_its_own_laid_over_everything_and_read_as_nothing() {
    for template in [navy("hang-tag"), template::read(&template::built_in("hang-tag").unwrap()).unwrap()] {
        let shop = Shop::of("night-heron", Market::Us, &template, cut(3, true), Red::Spot);
        assert_eq!(faults(&shop), [""; 0]);
        let document = shop.document();
        for page in 1..=2 {
            let drawn = operations(&document, page);
            let over = drawn.iter().position(|o| o.operator == "gs").unwrap();
            assert!(drawn[over..].iter().all(|o| "gs CS SCN w m l c h S".split(' ').any(|word| word == o.operator)));
            assert_eq!(drawn[over..].iter().filter(|o| o.operator == "S").count(), 2, "the cut and the hole");
            let states = resources(&document, page);
            let states = states.get(b"ExtGState").unwrap().as_dict().unwrap().clone();
            let state = states.get(drawn[over].operands[0].as_name().unwrap()).unwrap().as_dict().unwrap();
            assert_eq!(state.get(b"OP").unwrap(), &Object::Boolean(true));
            assert_eq!(ink(&document, page, "Die").0, "Die line");
        }
        // On paper: 0.1 mm of magenta along the cut and the rim, on every side.
        let at = shop.colours(1, 1.0);
        let magenta = |x: f64, y: f64| {
            let near = [-0.1, -0.05, 0.0, 0.05].into_iter().flat_map(|d| [[x + d, y], [x, y + d]]);
            near.map(|[x, y]| at(x, y)).any(|[r, g, _]| u32::from(r) > u32::from(g) + 50)
        };
        for [x, y] in [[31.0, 0.0], [62.0, 50.0], [31.0, 110.0], [0.0, 50.0], [29.0, 7.0], [33.0, 7.0], [31.0, 5.0]] {
            assert!(magenta(x, y), "{x} {y}");
        }
        assert!(!magenta(31.0, 7.0) && !magenta(5.0, 7.0));
        // The reader sees neither words nor shapes in it.
        for seen in inspect::read(&shop.bytes).unwrap() {
            let inside = |m: &&inspect::Mark| m.area.left > -0.2 && m.area.top > -0.2;
            assert!(!seen.marks.iter().filter(inside).any(|m| m.area.width() > 61.5), "{}", seen.number);
            assert!(seen.glyphs.iter().all(|g| g.ink.is_none_or(|a| a.left > 1.0)));
        }
        let labels = inspect::labels(&shop.bytes, 0.4).unwrap();
        assert!(labels.iter().all(|l| l.of == 1));
    }
}

/// A plain rectangle has no die, and a label without bleed has none either.
#[test]
fn what_marks_at_the_corners_tell_needs_no_die() {
    let sleeve = template::read(&template::built_in("box-sleeve").unwrap()).unwrap();
    let tag = template::read(&template::built_in("hang-tag").unwrap()).unwrap();
    let sleeve = Shop::of("mudflat", Market::Us, &sleeve, cut(3, true), Red::Rgb);
    let tag = Shop::of("night-heron", Market::Us, &tag, cut(0, true), Red::Rgb);
    for shop in [sleeve, tag] {
        assert_eq!(faults(&shop), [""; 0]);
        assert!(operations(&shop.document(), 1).iter().all(|o| o.operator != "gs"));
    }
}
