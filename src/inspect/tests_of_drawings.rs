//! Reading of letters that are drawings, of what stands beside patterns, and of files with more in them than is read.

use super::tests::{GOOD, file, messages, page, plan, stream, zlib};
use super::{Unread, check, limits, read};
use crate::plan::Content;
use crate::unit::Length;

#[test]
fn labels_turned_to_each_other_on_a_sheet_are_found() {
    // Each 25 x 30 mm from its lower left corner, its words within; turned about the middle of its place. The page is
    // 100 x 50 mm; 1 mm is 2.8346 pt.
    let label = |x: f64, y: f64, turn: [i8; 4], serial: u8| {
        let [a, b, c, d] = turn;
        format!(
            "q 1 0 0 1 {:.3} {:.3} cm {a} {b} {c} {d} 0 0 cm BT /F 7 Tf -30 15 Td (Low Tide) Tj 0 -10 Td (Soy candle) Tj \
             0 -12 Td (NET WT 9 OZ) Tj 0 -10 Td (No {serial}) Tj ET Q ",
            x * 2.8346,
            y * 2.8346
        )
    };
    let (up, down, left, right) = ([1, 0, 0, 1], [-1, 0, 0, -1], [0, 1, -1, 0], [0, -1, 1, 0]);
    for turns in [[up, down, up], [up, up, down], [up, left, up], [up, left, right], [up, up, up]] {
        let content: String =
            turns.iter().zip([18.0, 50.0, 82.0]).zip(1..).map(|((t, x), n)| label(x, 25.0, *t, n)).collect();
        let seen = &read(&page("", "", stream("", content.as_bytes()), &[])).unwrap()[0];
        let labels = seen.labels();
        assert_eq!(labels.len(), 3, "{turns:?}: {labels:?}");
        for x in [18.0, 50.0, 82.0] {
            assert_eq!(labels.iter().filter(|a| a.has([x, 25.0])).count(), 1, "{turns:?}: {labels:?}");
        }
        // The first one stands upright and holds its own words only.
        let first = seen.within(&labels[0]);
        let words: Vec<&str> = first.lines.iter().flat_map(|l| &l.words).map(|w| w.text.as_str()).collect();
        assert_eq!(words, ["Low", "Tide", "Soy", "candle", "NET", "WT", "9", "OZ", "No", "1"], "{turns:?}");
    }
    // Two words that stand level and upright on one label are no sheet.
    let one =
        "BT /F 7 Tf 20 60 Td (Low Tide) Tj 0 -10 Td (Soy candle) Tj ET BT /F 7 Tf 0 1 -1 0 200 20 Tm (Low Tide) Tj ET";
    assert_eq!(read(&page("", "", stream("", one.as_bytes()), &[])).unwrap()[0].labels().len(), 1);
}

#[test]
fn words_over_each_other_are_named_with_their_place() {
    let found =
        |content: &str| read(&page("", "", stream("", content.as_bytes()), &[])).unwrap()[0].overlaps().unwrap();
    // On one baseline, and half a line apart; 9 pt is 3.175 mm, `Keep` begins 20 pt (7.06 mm) from the left.
    for (x, y) in [(22, 60), (24, 64)] {
        let over = &found(&format!("BT /F 9 Tf 20 60 Td (Keep away) Tj ET BT /F 9 Tf {x} {y} Td (Trim wick) Tj ET"))[0];
        assert_eq!(over.words, ["Keep", "Trim"], "{over:?}");
        assert!((7.0..9.0).contains(&over.area.left) && (0.5..4.0).contains(&over.area.height()), "{over:?}");
    }
    // Upright, and a word over one that stands level.
    assert_eq!(found("BT /F 9 Tf 20 60 Td (Keep) Tj ET BT /F 9 Tf 0 1 -1 0 30 50 Tm (Trim) Tj ET")[0].words[1], "Trim");
    // Lines as near as they may be set, a word set letter by letter, a shadow, a word made bold by a second print.
    for apart in [
        "BT /F 9 Tf 20 60 Td (Keep) Tj 0 -9 Td (glyph) Tj ET",
        "BT /F 9 Tf 1 0 0 1 20 60 Tm (K) Tj 1 0 0 1 26 60 Tm (e) Tj 1 0 0 1 31 60 Tm (e) Tj ET",
        "0.5 g BT /F 9 Tf 20.5 59.5 Td (Keep) Tj ET 0 g BT /F 9 Tf 20 60 Td (Keep) Tj ET",
        "BT /F 9 Tf 20 60 Td (Keep) Tj ET BT /F 9 Tf 20.2 60 Td (Keep) Tj ET",
        // Hidden under white paper, so never seen over each other.
        "BT /F 9 Tf 20 60 Td (Keep) Tj ET 1 g 15 50 60 30 re f 0 g BT /F 9 Tf 20 60 Td (Trim) Tj ET",
    ] {
        assert_eq!(found(apart), [], "{apart}");
    }
}

/// A page whose letters `K` and `x` are drawn by the file itself, in units of `unit` to the em.
fn drawn(k: &str, x: &str, unit: f64, content: &str) -> Vec<u8> {
    let font = format!(
        "<</Type/Font/Subtype/Type3/FontBBox[0 0 0 0]/FontMatrix[{unit} 0 0 {unit} 0 0]/FirstChar 75/LastChar 120\
         /Widths[{}]/Encoding<</Differences[75/K 120/x]>>/CharProcs<</K 7 0 R/x 8 0 R>>/Resources<<>>>>",
        format!("{} ", 0.6 / unit).repeat(46)
    );
    let own = "/Font<</F 4 0 R/D 6 0 R>>";
    let bytes = page(
        "",
        "",
        stream("", content.as_bytes()),
        &[font.into_bytes(), stream("", k.as_bytes()), stream("", x.as_bytes())],
    );
    String::from_utf8(bytes).unwrap().replace("/Font<</F 4 0 R>>", own).into_bytes()
}

#[test]
fn letters_that_the_file_draws_are_measured_on_their_paths() {
    // 9 pt is 3.175 mm. The K reaches from 0 to .729 em, the x to .524 em with a curve whose control points lie higher.
    let content = "BT /D 9 Tf 20 60 Td (Kx) Tj ET";
    for unit in [0.001, 0.01, 1.0] {
        let at = |share: f64| share / unit;
        let k = format!("{} 0 0 0 {} {} d1 0 0 {} {} re f", at(0.6), at(0.6), at(1.0), at(0.08), at(0.729));
        let top = at(0.524);
        let x = format!("{} 0 d0 0 0 m 0 {top} l {} {top} l {} 0 l f", at(0.6), at(0.5), at(0.5));
        let seen = &read(&drawn(&k, &x, unit, content)).unwrap()[0];
        let heights: Vec<f64> = seen.glyphs.iter().map(|g| g.ink.unwrap().height()).collect();
        assert!((heights[0] - 0.729 * 3.175).abs() < 1e-3 && (heights[1] - 0.524 * 3.175).abs() < 1e-3, "{heights:?}");
        assert!(seen.faces[0].drawn && seen.unread.is_empty(), "{:?}", seen.unread);
        // Turned and drawn at 60 % of their height.
        let seen = &read(&drawn(&k, &x, unit, "BT /D 9 Tf 0 1 -0.6 0 100 20 Tm (K) Tj ET")).unwrap()[0];
        assert!((seen.glyphs[0].ink.unwrap().width() - 0.6 * 0.729 * 3.175).abs() < 1e-3);
    }
}

#[test]
fn drawn_letters_of_pictures_lines_or_other_letters_are_told_as_unmeasured() {
    let k = "600 0 d0 q 500 0 0 700 0 0 cm BI /W 1 /H 1 /BPC 8 /CS /G ID \u{7f} EI Q";
    for x in
        ["600 0 d0 10 w 0 0 m 500 500 l S", "600 0 d0 0 0 9 9 re W n 0 0 5 5 re f", "600 0 d0 BT /F 5 Tf (x) Tj ET"]
    {
        let seen = &read(&drawn(k, x, 0.001, "BT /D 9 Tf 20 60 Td (Kx) Tj ET")).unwrap()[0];
        assert!(seen.glyphs.iter().all(|g| g.ink.is_none()), "{x}");
        assert!(seen.unread.contains(&Unread::Heights { count: 2 }), "{x}: {:?}", seen.unread);
    }
}

/// The code of 21 modules as a picture, 0.5 mm each, besides `more` in the content, with resources for it.
fn beside_a_code(more: &str, resources: &str, objects: &[Vec<u8>]) -> Vec<u8> {
    let code = qrcode::QrCode::new("26329A7").unwrap();
    let side = code.width();
    let grey: Vec<u8> = code.to_colors().iter().map(|c| if *c == qrcode::Color::Dark { 0 } else { 255 }).collect();
    let entries = format!(
        "/Type/XObject/Subtype/Image/Width {side}/Height {side}/ColorSpace/DeviceGray/BitsPerComponent 8/Filter/FlateDecode"
    );
    let content = stream("", format!("{more} q 29.764 0 0 29.764 60 60 cm /X Do Q").as_bytes());
    let objects = [&[stream(&entries, &zlib(&grey))], objects].concat();
    page("", &format!("/XObject<</X 6 0 R>>{resources}"), content, &objects)
}

#[test]
fn code_beside_a_gradient_tiles_or_a_mask_is_read() {
    let mut asked = plan("");
    asked.parts[0].rows[0].cells[0].block.items[0].content =
        Content::Qr { payload: "26329A7".into(), module: Length::um(500) };
    let gradient =
        b"<</ShadingType 2/ColorSpace/DeviceGray/Coords[150 0 280 0]/Function<</FunctionType 2/Domain[0 1]/N 1>>>>";
    let tile = stream(
        "/Type/Pattern/PatternType 1/PaintType 1/TilingType 1/BBox[0 0 4 4]/XStep 4/YStep 4/Resources<<>>",
        b"0 0 2 2 re f",
    );
    let group = "/Type/XObject/Subtype/Form/BBox[0 0 300 200]/Group<</S/Transparency/CS/DeviceGray>>";
    for (more, resources, object) in [
        ("q 150 10 100 100 re W n /S sh Q", "/Shading<</S 7 0 R>>", gradient.to_vec()),
        ("/Pattern cs /P scn 150 10 100 100 re f 0 g", "/Pattern<</P 7 0 R>>", tile.clone()),
        (
            "q /G gs 150 10 100 100 re f Q",
            "/ExtGState<</G<</SMask<</S/Luminosity/G 7 0 R>>>>>>",
            stream(group, b"1 g 150 10 50 100 re f"),
        ),
    ] {
        let bytes = beside_a_code(more, resources, &[object]);
        assert!(check(&bytes, &asked).is_empty(), "{more}: {:#?}", check(&bytes, &asked));
    }
    // What the tiles hold is not read, and told so.
    let bytes = beside_a_code("/Pattern cs /P scn 150 10 100 100 re f 0 g", "/Pattern<</P 7 0 R>>", &[tile]);
    let unread = &read(&bytes).unwrap()[0].unread;
    assert!(unread.iter().any(|u| matches!(u, Unread::Picture { area, .. } if area.left > 50.0)), "{unread:?}");
}

#[test]
fn colours_beside_a_gradient_are_told() {
    let picture =
        stream("/Type/XObject/Subtype/Image/Width 1/Height 1/ColorSpace/DeviceGray/BitsPerComponent 8", &[40]);
    let gradient =
        b"<</ShadingType 2/ColorSpace/DeviceGray/Coords[150 0 280 0]/Function<</FunctionType 2/Domain[0 1]/N 1>>>>";
    let content = format!("q 200 10 50 50 re W n /S sh Q q 150 0 0 120 5 5 cm /X Do Q 1 g {GOOD}");
    let bytes = page(
        "",
        "/XObject<</X 6 0 R>>/Shading<</S 7 0 R>>",
        stream("", content.as_bytes()),
        &[picture, gradient.to_vec()],
    );
    let seen = &read(&bytes).unwrap()[0];
    // White on a grey of 40: 1.05 / (luminance + 0.05) by WCAG 2.2 is 14.74.
    let told = seen.glyphs.iter().filter(|g| g.ink.is_some()).map(|g| g.contrast.unwrap());
    assert!(told.into_iter().all(|c| (14.0..15.5).contains(&c)), "{:?}", seen.glyphs[0]);
}

#[test]
fn too_many_objects_are_refused() {
    let objects = |count: usize| {
        let mut all = vec![
            b"<</Type/Catalog/Pages 2 0 R>>".to_vec(),
            b"<</Type/Pages/Kids[3 0 R]/Count 1>>".to_vec(),
            b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 283.465 141.732]>>".to_vec(),
        ];
        all.resize(count, b"1".to_vec());
        messages(&file(&all), "Keep away")
    };
    assert!(!objects(limits::MOST_OBJECTS)[0].contains("objects"));
    assert!(objects(limits::MOST_OBJECTS + 1)[0].contains("made of more than 100000 objects"));
    // The same within a stream of objects, told by its head.
    let head: String = (0..=limits::MOST_OBJECTS).map(|n| format!("{n} 0 ")).collect();
    let packed = stream("/Type/ObjStm/N 1/First 4/Filter/FlateDecode", &zlib(head.as_bytes()));
    let found = messages(&page("", "", stream("", b""), &[packed]), "Keep away");
    assert!(found[0].contains("made of more than 100000 objects"), "{found:?}");
}

#[test]
fn lists_and_dictionaries_too_deep_are_refused() {
    let deep = |levels: usize| {
        let entry = format!("/Y {}{}", "[".repeat(levels), "]".repeat(levels));
        messages(&page(&entry, "", stream("", GOOD.as_bytes()), &[]), "Keep away from children.")
    };
    // One level is the page's own dictionary.
    assert_eq!(deep(limits::MOST_LEVELS - 1), [""; 0]);
    assert!(deep(limits::MOST_LEVELS)[0].contains("deeper than 100 levels"));
}

/// The Unicode Standard, 23.2: a soft hyphen shows where the line is broken there; what is drawn within a line is a hyphen.
#[test]
fn soft_hyphen_that_is_drawn_within_a_line_is_a_hyphen() {
    // The file says that its hyphens are soft ones; ISO 32000-1, 9.10.3.
    let map = b"/CMapType 2 def 1 begincodespacerange <00> <ff> endcodespacerange 2 beginbfrange <30> <39> <0030> \
        <61> <7a> <0061> endbfrange 1 beginbfchar <2d> <00ad> endbfchar endcmap";
    let words = |content: &str| {
        let bytes = page("", "", stream("", content.as_bytes()), &[stream("", map)]);
        let own = "/Encoding/WinAnsiEncoding/ToUnicode 6 0 R>>";
        let bytes = String::from_utf8(bytes).unwrap().replace("/Encoding/WinAnsiEncoding>>", own);
        let seen = read(bytes.as_bytes()).unwrap().remove(0);
        assert!(seen.glyphs.iter().any(|g| g.text == "\u{AD}" && g.ink.is_some()), "{:?}", seen.glyphs);
        seen.lines.iter().flat_map(|l| &l.words).map(|w| w.text.clone()).collect::<Vec<_>>()
    };
    assert_eq!(words("BT /F 9 Tf 20 60 Td (207-555-0134) Tj ET"), ["207-555-0134"]);
    // At the end of a line it may be either, as every hyphen there.
    assert_eq!(words("BT /F 9 Tf 20 60 Td (heat-) Tj 0 -12 Td (safe) Tj ET"), ["heat-", "safe"]);
}
