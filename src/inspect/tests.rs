//! Reading of files made by hand, hostile ones among them.

use super::{Hidden, check, limits, read};
use crate::find::Severity;
use crate::plan::{Align, Block, Cell, Content, Item, Part, Plan, Row, Shape};
use crate::trade::{BlockName, Lang, Market, Measure};
use crate::unit::Length;
use flate2::Compression;
use flate2::write::ZlibEncoder;
use std::io::Write;

/// A file of these objects, numbered from 1; the first is the catalogue.
pub(super) fn file(objects: &[Vec<u8>]) -> Vec<u8> {
    let mut out = b"%PDF-1.7\n".to_vec();
    let mut places = Vec::new();
    for (n, object) in objects.iter().enumerate() {
        places.push(out.len());
        out.extend(format!("{} 0 obj\n", n + 1).bytes());
        out.extend(object);
        out.extend(b"\nendobj\n");
    }
    let start = out.len();
    out.extend(format!("xref\n0 {}\n0000000000 65535 f \n", objects.len() + 1).bytes());
    for place in places {
        out.extend(format!("{place:010} 00000 n \n").bytes());
    }
    let trailer = format!("trailer\n<</Size {}/Root 1 0 R>>\nstartxref\n{start}\n%%EOF\n", objects.len() + 1);
    out.extend(trailer.bytes());
    out
}

pub(super) fn stream(entries: &str, data: &[u8]) -> Vec<u8> {
    let mut out = format!("<</Length {}{entries}>>\nstream\n", data.len()).into_bytes();
    out.extend(data);
    out.extend(b"\nendstream");
    out
}

/// A page of 100 x 50 mm with this content, one of the 14 standard fonts as /F, and more objects from number 6.
pub(super) fn page(entries: &str, resources: &str, content: Vec<u8>, more: &[Vec<u8>]) -> Vec<u8> {
    let page = format!(
        "<</Type/Page/Parent 2 0 R/MediaBox[0 0 283.465 141.732]{entries}/Contents 5 0 R\
         /Resources<</Font<</F 4 0 R>>{resources}>>>>"
    );
    let mut objects = vec![
        b"<</Type/Catalog/Pages 2 0 R>>".to_vec(),
        b"<</Type/Pages/Kids[3 0 R]/Count 1>>".to_vec(),
        page.into_bytes(),
        b"<</Type/Font/Subtype/Type1/BaseFont/Helvetica-Bold/Encoding/WinAnsiEncoding>>".to_vec(),
        content,
    ];
    objects.extend_from_slice(more);
    file(&objects)
}

fn simple(content: &str) -> Vec<u8> {
    page("", "", stream("", content.as_bytes()), &[])
}

#[test]
fn page_without_a_size_that_can_be_told_is_refused_and_has_none() {
    let huge = "1".repeat(200);
    let sizes =
        [("283.465 141.732", "", false), (&format!("283.465 {huge}"), "", true), ("14400 14400", "/UserUnit 2", true)];
    for (media, entries, refused) in sizes {
        let bytes = page(entries, "", stream("", b"BT /F 9 Tf 20 60 Td (Keep) Tj ET"), &[]);
        let bytes = String::from_utf8(bytes).unwrap().replace("283.465 141.732", media).into_bytes();
        let seen = &read(&bytes).unwrap()[0];
        assert!(seen.width.is_finite() && seen.height.is_finite(), "{media}");
        assert_eq!(seen.refused().is_some(), refused, "{media}: {} x {}", seen.width, seen.height);
    }
}

pub(super) fn plan(text: &str) -> Plan {
    let item = Item {
        id: "words".into(),
        severity: Severity::Required,
        content: Content::Text { text: text.into(), lang: Lang::En },
        least: Length::um(1500),
        measure: Measure::Capital,
        bold: false,
        clear: None,
        lowest_percent: None,
    };
    let block =
        Block { name: BlockName::Warning, items: vec![item], run_on: false, frame: false, largest: Length::mm(3) };
    let cell = Cell { block, align: Align::Left, width: None, ink: None };
    let part = Part {
        name: "front".into(),
        principal: true,
        shape: Shape::Rectangle { width: Length::mm(100), height: Length::mm(50) },
        margin: Length::mm(2),
        hole: None,
        piece: None,
        ground: None,
        rows: vec![Row { cells: vec![cell], at_foot: false }],
    };
    Plan { market: Market::Us, product: "Low Tide".into(), languages: vec![Lang::En], equal: None, parts: vec![part] }
}

pub(super) fn messages(bytes: &[u8], text: &str) -> Vec<String> {
    check(bytes, &plan(text)).into_iter().map(|f| f.message).collect()
}

/// Asserts exactly one finding, whose message contains this.
fn only(bytes: &[u8], text: &str, says: &str) {
    let found = messages(bytes, text);
    assert!(found.len() == 1 && found[0].contains(says), "{found:?}");
}

pub(super) const GOOD: &str = "BT /F 9 Tf 20 60 Td (Keep away) Tj 0 -12 Td (from children.) Tj ET";

#[test]
fn plain_text_is_found() {
    assert_eq!(messages(&simple(GOOD), "Keep away from children."), [""; 0]);
}

#[test]
fn words_set_letter_by_letter_and_out_of_order_are_found() {
    let content = "BT /F 9 Tf 1 0 0 1 38 60 Tm (away) Tj 1 0 0 1 20 60 Tm [(Ke) 20 (ep)] TJ ET";
    // `Keep` of Helvetica-Bold at 9 pt ends at 40.5; moved so that a word space is left.
    let content = content.replace("38 60", "45 60");
    assert_eq!(messages(&simple(&content), "Keep away"), [""; 0]);
}

#[test]
fn invisible_text_is_found_out() {
    only(&simple(&format!("3 Tr {GOOD}").replace("BT", "BT 3 Tr")), "Keep away from children.", "not painted");
}

#[test]
fn clipped_text_is_found_out() {
    only(&simple(&format!("20 0 30 200 re W n {GOOD}")), "Keep away from children.", "cut off by a clip");
    assert_eq!(messages(&simple(&format!("10 10 200 100 re W n {GOOD}")), "Keep away from children."), [""; 0]);
    // A clip in the shape of a triangle.
    only(&simple(&format!("0 0 m 200 0 l 0 75 l h W n {GOOD}")), "Keep away from children.", "cut off by a clip");
}

#[test]
fn white_text_is_found_out() {
    only(&simple(&format!("1 g {GOOD}")), "Keep away from children.", "too pale");
    only(&simple(&format!("0 0 0 0.2 k {GOOD}")), "Keep away from children.", "too pale");
}

#[test]
fn light_text_on_a_dark_ground_is_seen_and_its_contrast_told() {
    let ground = "0.1 0.2 0.4 rg 10 10 200 100 re f";
    // It can be read, and what the law asks for is black on white all the same (house policy of this program's labels).
    only(&simple(&format!("{ground} 1 g {GOOD}")), "Keep away from children.", "not printed in black on white");
    only(&simple(&format!("{ground} 0.2 g {GOOD}")), "Keep away from children.", "too pale");
    // WCAG 2.2: white has luminance 1, this blue 0.0331 by its formula; worked out by hand with the formula's constants.
    let page = &read(&simple(&format!("{ground} 1 g {GOOD}"))).unwrap()[0];
    let light = |c: f64| ((c + 0.055) / 1.055).powf(2.4);
    let blue = 0.2126 * light(0.1) + 0.7152 * light(0.2) + 0.0722 * light(0.4);
    assert!((page.glyphs[0].contrast.unwrap() - 1.05 / (blue + 0.05)).abs() < 0.01, "{:?}", page.glyphs[0]);
}

#[test]
fn text_on_a_picture_is_held_against_its_pixels() {
    let picture = |grey: u8| {
        let entries = "/Type/XObject/Subtype/Image/Width 2/Height 2/ColorSpace/DeviceGray/BitsPerComponent 8";
        let content = stream("", format!("q 250 0 0 120 5 5 cm /X Do Q 0 g {GOOD}").as_bytes());
        page("", "/XObject<</X 6 0 R>>", content, &[stream(entries, &[grey; 4])])
    };
    let light = &read(&picture(255)).unwrap()[0];
    assert!(light.glyphs.iter().filter_map(|g| g.contrast).all(|c| c > 15.0), "{:?}", light.glyphs[0]);
    assert!(light.glyphs.iter().filter(|g| g.ink.is_some()).all(|g| g.contrast.is_some()));
    let dark = &read(&picture(40)).unwrap()[0];
    assert_eq!(dark.glyphs[0].hidden, Some(Hidden::Pale));
}

#[test]
fn squeezed_turned_and_boldened_letters_are_told() {
    let first = |content: &str| read(&simple(content)).unwrap().remove(0);
    let squeezed = first("BT /F 9 Tf 80 Tz 20 60 Td (Hm) Tj ET");
    assert!((squeezed.glyphs[0].stretch - 0.8).abs() < 1e-6);
    let by_matrix = first("BT /F 9 Tf 0.7 0 0 1 20 60 Tm (Hm) Tj ET");
    assert!((by_matrix.lines[0].words[0].stretch - 0.7).abs() < 1e-6);
    let turned = first("BT /F 9 Tf 0 1 -1 0 100 20 Tm (Keep) Tj ET");
    assert!((turned.glyphs[0].turn - 90.0).abs() < 1e-6 && turned.lines.is_empty());
    assert_eq!(turned.upright(), 1);
    let upright = turned.turned(1);
    assert_eq!(upright.lines[0].words[0].text, "Keep");
    assert!((upright.width - 50.0).abs() < 0.01 && (upright.height - 100.0).abs() < 0.01);
    let glyph = &upright.glyphs[0];
    let back = upright.view.on_page([glyph.x, glyph.baseline]);
    assert!((back[0] - turned.glyphs[0].x).abs() < 1e-9 && (back[1] - turned.glyphs[0].baseline).abs() < 1e-9);
    assert_eq!(upright.turned(3).glyphs[0].x.to_bits() >> 8, turned.glyphs[0].x.to_bits() >> 8);
    // Helvetica of regular weight, made bold by a line of half a point round letters of 9 pt.
    let regular = |content: &str| {
        let bytes = String::from_utf8_lossy(&simple(content)).replace("Helvetica-Bold/", "Helvetica/     ");
        read(bytes.as_bytes()).unwrap().remove(0).lines[0].words[0].bold
    };
    assert_eq!(regular("BT /F 9 Tf 20 60 Td (Him) Tj ET"), Some(false));
    assert_eq!(regular("BT 2 Tr 0.5 w /F 9 Tf 20 60 Td (Him) Tj ET"), Some(true));
    assert_eq!(first("BT /F 9 Tf 20 60 Td (Him) Tj ET").lines[0].words[0].bold, Some(true));
    let off = first("BT /F 9 Tf 400 60 Td (Him) Tj ET");
    assert_eq!(off.glyphs[0].hidden, Some(Hidden::OffSheet));
    assert_eq!(off.outside(0.1).count(), 3);
}

#[test]
fn turned_or_mirrored_text_does_not_count() {
    let turned = "BT /F 9 Tf 0 1 -1 0 100 20 Tm (Keep away) Tj ET";
    only(&simple(turned), "Keep away", "not on part");
    let mirrored = "BT /F 9 Tf -1 0 0 1 100 20 Tm (Keep away) Tj ET";
    only(&simple(mirrored), "Keep away", "not on part");
}

#[test]
fn height_counts_the_whole_matrix() {
    // 9 pt Helvetica capitals are .729 em, 2.3 mm; drawn at 60 % they are 1.39 mm.
    only(&simple(&format!("0.6 0 0 0.6 0 0 cm {GOOD}")), "Keep away from children.", "too small");
    let narrow_only = GOOD.replace("/F 9 Tf", "/F 9 Tf 60 Tz");
    // Drawn at 60 % of its width only it keeps its height, and is squeezed; at 99.8 % nothing is seen.
    only(&simple(&narrow_only), "Keep away from children.", "are squeezed");
    let rounded = GOOD.replace("/F 9 Tf", "/F 9 Tf 99.8 Tz");
    assert_eq!(messages(&simple(&rounded), "Keep away from children."), [""; 0]);
}

/// Findings of a net quantity in Helvetica-Bold (capitals .729 em, `o` .557 em) with this least height in micrometres.
fn quantity(content: &str, text: &str, least: i64) -> Vec<String> {
    let mut plan = plan(text);
    let item = &mut plan.parts[0].rows[0].cells[0].block.items[0];
    item.measure = Measure::NetQuantity;
    item.least = Length::um(least);
    check(&simple(content), &plan).into_iter().map(|f| f.message).collect()
}

#[test]
fn net_quantity_in_capitals_is_measured_on_capitals() {
    // 16 CFR 500.21(d). 9 pt is 3.175 mm: capitals 2.31 mm, `o` 1.77 mm.
    let set = |text: &str| format!("BT /F 9 Tf 20 60 Td ({text}) Tj ET");
    assert_eq!(quantity(&set("NET WT 9 OZ"), "NET WT 9 OZ", 2200), [""; 0]);
    let mixed = quantity(&set("Net Wt 9 oz"), "Net Wt 9 oz", 2200);
    assert!(mixed.len() == 1 && mixed[0].contains("too small"), "{mixed:?}");
    assert_eq!(quantity(&set("Net Wt 9 oz"), "Net Wt 9 oz", 1700), [""; 0]);
}

#[test]
fn si_symbol_is_measured_by_the_d_that_belongs_to_it() {
    // 16 CFR 500.21(h): `g` beside capitals does not have to be as high as they are, but its `d` does.
    let text = "NET WT 9 OZ \\(255 g\\)";
    let set = format!("BT /F 9 Tf 20 60 Td ({text}) Tj ET");
    assert_eq!(quantity(&set, "NET WT 9 OZ (255 g)", 2200), [""; 0]);
    let small = "BT /F 9 Tf 20 60 Td (NET WT 9 OZ \\(255 ) Tj /F 7 Tf (g) Tj /F 9 Tf (\\)) Tj ET";
    let found = quantity(small, "NET WT 9 OZ (255 g)", 2200);
    assert!(found.len() == 1 && found[0].contains("`d` for SI symbols"), "{found:?}");
}

#[test]
fn letters_of_si_symbols_are_never_under_a_sixteenth_of_an_inch() {
    // 16 CFR 500.21(h). At 6.5 pt capitals are 1.67 mm, above 1/16 in, but `c` and `m` are 1.28 mm.
    let set = |text: &str| format!("BT /F 6.5 Tf 20 60 Td ({text}) Tj ET");
    let found = quantity(&set("10 IN \\(25.4 cm\\)"), "10 IN (25.4 cm)", 1588);
    assert!(found.len() == 1 && found[0].contains("under 1/16 in"), "{found:?}");
    assert_eq!(quantity(&set("9 OZ \\(255 g\\)"), "9 OZ (255 g)", 1588), [""; 0]);
}

#[test]
fn parts_of_a_fraction_are_half_as_high_as_the_rest() {
    // 16 CFR 500.21(f). Figures of 9 pt are 2.27 mm, those of 5 pt 1.26 mm, of 4 pt 1.01 mm.
    let set = |size: u8| format!("BT /F 9 Tf 20 60 Td (NET WT 9) Tj /F {size} Tf ( 1/2) Tj /F 9 Tf ( OZ) Tj ET");
    assert_eq!(quantity(&set(5), "NET WT 9 1/2 OZ", 2200), [""; 0]);
    let found = quantity(&set(4), "NET WT 9 1/2 OZ", 2200);
    assert!(found.len() == 1 && found[0].contains("fraction"), "{found:?}");
}

#[test]
fn letters_thrice_as_high_as_wide_are_found() {
    // 16 CFR 500.21(e).
    let set = |stretch: u8| format!("BT /F 9 Tf {stretch} Tz 20 60 Td (NET WT 9 OZ) Tj ET");
    let found = quantity(&set(60), "NET WT 9 OZ", 2200);
    assert!(found.len() == 1 && found[0].contains("squeezed"), "{found:?}");
    let found = quantity(&set(35), "NET WT 9 OZ", 2200);
    assert!(found.len() == 2 && found[0].contains("3 times as high as wide"), "{found:?}");
}

#[test]
fn trim_box_and_turned_page_set_the_origin() {
    let boxes = "/TrimBox[28.3465 28.3465 255.1185 113.3855]";
    let seen = read(&page(boxes, "", stream("", b"BT /F 9 Tf 1 0 0 1 56.693 85.0395 Tm (K) Tj ET"), &[])).unwrap();
    assert!((seen[0].width - 80.0).abs() < 0.01 && (seen[0].height - 30.0).abs() < 0.01);
    let glyph = &seen[0].glyphs[0];
    assert!((glyph.x - 10.0).abs() < 0.01 && (glyph.baseline - 10.0).abs() < 0.01, "{glyph:?}");
    let seen = read(&page("/Rotate 90", "", stream("", b"BT /F 9 Tf 20 60 Td (K) Tj ET"), &[])).unwrap();
    assert!((seen[0].width - 50.0).abs() < 0.01 && (seen[0].height - 100.0).abs() < 0.01);
    assert!(!seen[0].glyphs[0].level);
}

#[test]
fn hidden_glyphs_are_read_but_not_in_lines() {
    let seen = &read(&simple("BT 3 Tr /F 9 Tf 20 60 Td (K) Tj ET")).unwrap()[0];
    assert_eq!(seen.glyphs[0].hidden, Some(Hidden::Unpainted));
    assert!(seen.lines.is_empty());
}

#[test]
fn garbage_gets_a_finding_and_no_panic() {
    let says = |bytes: &[u8]| check(bytes, &plan("Keep away")).remove(0).message;
    assert_eq!(says(b""), "the file is empty, and not a PDF");
    assert_eq!(says(&[0xff; 5000]), "the file is not a PDF");
    assert_eq!(says(b"%PDF-1.7"), "the PDF is damaged and cannot be read");
    assert_eq!(says(&vec![b' '; limits::MOST_BYTES + 1]), "the PDF is 20 MB large; at most 20 MB are read");
    let good = simple(GOOD);
    for end in (0..good.len()).step_by(7) {
        let _ = check(&good[..end], &plan("Keep away from children."));
    }
    for at in 0..good.len() {
        for byte in [0_u8, b'9', b'<', b'(', 0xff] {
            let mut bad = good.clone();
            bad[at] = byte;
            let _ = check(&bad, &plan("Keep away from children."));
        }
    }
}

pub(super) fn zlib(data: &[u8]) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::fast());
    encoder.write_all(data).unwrap();
    encoder.finish().unwrap()
}

#[test]
fn compressed_page_is_read() {
    let content = stream("/Filter/FlateDecode", &zlib(GOOD.as_bytes()));
    assert_eq!(messages(&page("", "", content, &[]), "Keep away from children."), [""; 0]);
}

#[test]
fn deflate_bomb_is_refused() {
    let spaces = vec![b' '; limits::MOST_INFLATED + 1];
    let once = zlib(&spaces);
    let bomb = page("", "", stream("/Filter/FlateDecode", &once), &[]);
    assert!(bomb.len() < 1 << 20);
    only(&bomb, "Keep away", "unpack to more than 96 MB");
    // The same wrapped again, behind ASCII, and under a name with escapes.
    let twice = page("", "", stream("/Filter[/FlateDecode/FlateDecode]", &zlib(&once)), &[]);
    only(&twice, "Keep away", "unpack to more than 96 MB");
    let digits: String = zlib(&once).iter().map(|b| format!("{b:02x}")).chain([">".to_owned()]).collect();
    let filters = "/Filter[/ASCIIHexDecode/Fl#61teDecode/FlateDecode]";
    only(&page("", "", stream(filters, digits.as_bytes()), &[]), "Keep away", "unpack to more than 96 MB");
    // Many streams that are each within the bound.
    let third = stream("/Filter/FlateDecode", &zlib(&spaces[..limits::MOST_INFLATED / 3]));
    only(&page("", "", stream("", b""), &vec![third; 4]), "Keep away", "unpack to more than 96 MB");
}

#[test]
fn what_is_packed_by_other_codings_is_counted_too() {
    // Codes of nine bits that all grow the table: `a`, then 258, 259 and so on, each one letter longer than the last.
    let lzw = |times: usize| {
        let (mut bits, mut out) = (Vec::new(), Vec::new());
        for _ in 0..times {
            for code in std::iter::once(256).chain(std::iter::once(97)).chain(258..511_u32) {
                bits.extend((0..9).rev().map(|bit| u8::try_from(code >> bit & 1).unwrap()));
            }
        }
        out.extend(bits.chunks_exact(8).map(|b| b.iter().fold(0_u8, |byte, bit| byte << 1 | bit)));
        out
    };
    let filtered = |name: &str, data: &[u8]| page("", "", stream(&format!("/Filter[/{name}]"), data), &[]);
    only(&filtered("L#5aWDecode", &lzw(4_000)), "Keep away", "unpack to more than 96 MB");
    only(&filtered("LZWDecode", &lzw(2)), "Keep away", "not on part");
    only(&filtered("RunLengthDecode", &[129, b' '].repeat(800_000)), "Keep away", "unpack to more than 96 MB");
    let runs = [&[u8::try_from(GOOD.len() - 1).unwrap()], GOOD.as_bytes(), &[128]].concat();
    assert_eq!(messages(&filtered("RunLengthDecode", &runs), "Keep away from children."), [""; 0]);
    only(&filtered("FlateDecode/LZWDecode", &zlib(&lzw(2))), "Keep away", "packed several times over");
    // Without the two bytes of zlib in front, or damaged after them: the reader unpacks it all the same.
    let bomb = zlib(&vec![b' '; limits::MOST_INFLATED + 1]);
    only(&filtered("FlateDecode", &bomb[2..]), "Keep away", "unpack to more than 96 MB");
    only(
        &filtered("Fl", &[&[0x78, 0x9c, 0, 1, 0, 0, 0, 9], &bomb[2..]].concat()),
        "Keep away",
        "unpack to more than 96 MB",
    );
    // The inner one of two without them, and an outer one that is damaged: what comes out of it is not known.
    only(&filtered("FlateDecode/FlateDecode", &zlib(&bomb[2..])), "Keep away", "unpack to more than 96 MB");
    let mut damaged = zlib(&bomb[2..]);
    *damaged.last_mut().unwrap() ^= 1;
    only(&filtered("FlateDecode/FlateDecode", &damaged), "Keep away", "packed several times over");
    let elsewhere = page("", "", stream("/Filter 6 0 R", &bomb[2..]), &[b"/FlateDecode".to_vec()]);
    only(&elsewhere, "Keep away", "unpack to more than 96 MB");
    // A line may end in a carriage return alone.
    let mut lone = filtered("FlateDecode", &bomb);
    let at = lone.windows(8).position(|w| w == b"\nstream\n").unwrap();
    lone[at + 7] = b'\r';
    only(&lone, "Keep away", "unpack to more than 96 MB");
    // A stream within a stream of objects.
    let inner = stream("/Filter/FlateDecode", &bomb);
    let entries = "/Type/ObjStm/N 1/First 4/Filter/FlateDecode";
    let nested = stream(entries, &zlib(&[b"7 0 ", inner.as_slice()].concat()));
    only(&page("", "", stream("", b""), &[nested]), "Keep away", "unpack to more than 96 MB");
}

#[test]
fn what_the_reading_library_panics_on_is_a_finding() {
    // Rows of no length: hayro-syntax 0.9.0 divides by it.
    let entries = "/Filter/FlateDecode/DecodeParms<</Predictor 2/Columns 0>>";
    let bytes = page("", "", stream(entries, &zlib(GOOD.as_bytes())), &[]);
    let found = messages(&bytes, "Keep away from children.");
    assert!(!found.is_empty(), "{found:?}");
}

#[test]
fn file_with_a_broken_lock_is_refused() {
    let mut locked = simple(GOOD);
    let at = locked.windows(5).rposition(|w| w == b"/Size").unwrap();
    locked.splice(at..at, b"/Encr#79pt 9 0 R".iter().copied());
    only(&locked, "Keep away", "encrypted");
}

#[test]
fn forms_within_forms_without_end_are_refused() {
    // Each of ten forms draws the next ten times: ten thousand million texts.
    let forms: Vec<Vec<u8>> = (0..10)
        .map(|n| {
            let entries = format!(
                "/Type/XObject/Subtype/Form/BBox[0 0 300 200]/Resources<</XObject<</X {} 0 R>>/Font<</F 4 0 R>>>>",
                7 + n
            );
            stream(&entries, "/X Do ".repeat(10).as_bytes())
        })
        .chain([stream("/Type/XObject/Subtype/Form/BBox[0 0 300 200]", GOOD.as_bytes())])
        .collect();
    let content = stream("", b"/X Do");
    only(&page("", "/XObject<</X 6 0 R>>", content.clone(), &forms), "Keep away", "more on the page");
    // One form, once, is fine; one that draws itself draws nothing.
    let last = &forms[10..];
    assert_eq!(messages(&page("", "/XObject<</X 6 0 R>>", content.clone(), last), "Keep away from children."), [""; 0]);
    let entries = "/Type/XObject/Subtype/Form/BBox[0 0 300 200]/Resources<</XObject<</X 6 0 R>>>>";
    let own = [stream(entries, b"/X Do /X Do")];
    only(&page("", "/XObject<</X 6 0 R>>", content, &own), "Keep away", "not on part");
}

#[test]
fn page_full_of_marks_is_refused() {
    let marks = "0 0 1 1 re f ".repeat(limits::MOST_MARKS + 1);
    only(&simple(&marks), "Keep away", "more on the page");
    let letters = format!("BT /F 1 Tf ({}) Tj ET", "a".repeat(limits::MOST_MARKS + 1));
    only(&simple(&letters), "Keep away", "more on the page");
}

#[test]
fn long_run_of_letters_is_refused() {
    let letters = format!("BT /F 1 Tf ({}) Tj ET", "a".repeat(3 << 20));
    let content = stream("/Filter/FlateDecode", &zlib(letters.as_bytes()));
    let bytes = page("", "", content, &[]);
    assert!(bytes.len() < 50_000);
    only(&bytes, "Keep away", "more on the page");
}

#[test]
fn code_printed_as_a_picture_is_read_and_measured() {
    let code = qrcode::QrCode::new("26329A7").unwrap();
    let side = code.width();
    let grey: Vec<u8> = code.to_colors().iter().map(|c| if *c == qrcode::Color::Dark { 0 } else { 255 }).collect();
    let entries = format!(
        "/Type/XObject/Subtype/Image/Width {side}/Height {side}/ColorSpace/DeviceGray/BitsPerComponent 8/Filter/FlateDecode"
    );
    // 21 modules of 0.5 mm are 29.764 pt; the page is 100 x 50 mm.
    let draw = |points: f64| {
        let content = stream("", format!("q {points} 0 0 {points} 60 60 cm /X Do Q").as_bytes());
        page("", "/XObject<</X 6 0 R>>", content, &[stream(&entries, &zlib(&grey))])
    };
    let mut plan = plan("");
    plan.parts[0].rows[0].cells[0].block.items[0].content =
        Content::Qr { payload: "26329A7".into(), module: Length::um(500) };
    assert!(check(&draw(29.764), &plan).is_empty(), "{:#?}", check(&draw(29.764), &plan));
    let small = check(&draw(29.0), &plan);
    assert_eq!(small.len(), 1);
    assert_eq!(small[0].found.as_deref(), Some("0.487 mm"));
}

#[test]
fn too_many_pages_are_refused() {
    let kids = "3 0 R ".repeat(limits::MOST_PAGES + 1);
    let objects = [
        b"<</Type/Catalog/Pages 2 0 R>>".to_vec(),
        format!("<</Type/Pages/Kids[{kids}]/Count {}>>", limits::MOST_PAGES + 1).into_bytes(),
        b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 100 100]>>".to_vec(),
    ];
    let found = check(&file(&objects), &plan("Keep away"));
    // The reader takes a page that is listed twice only once; either way it is a finding and not a long wait.
    assert!(!found.is_empty());
}
