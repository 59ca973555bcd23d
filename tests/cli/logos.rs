//! A maker's logo on a label: printed at its size, and every kind of bad file refused with what to do.

use crate::bench::Bench;
use std::fs;
use waxbill::inspect;

const TIDE: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 80 40">
  <g transform="translate(10 0)"><path d="M0 0 h60 v40 h-60 z M20 10 v20 h20 v-20 z" fill-rule="evenodd"/></g>
</svg>"#;

/// A bench whose front label carries a logo of 12 mm height.
fn bench(name: &str, bytes: impl AsRef<[u8]>) -> Bench {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "label:\n", &format!("label:\n  logo: {{file: {name}, height: 12 mm}}\n"));
    bench.file(name, bytes);
    bench
}

fn label(bench: &Bench) -> String {
    bench.on_the_day("label products/low-tide.yaml --lot 26329A4 -o jar.pdf")
}

/// A PNG of so many shades, one byte a pixel.
fn png(width: u32, height: u32, shades: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Grayscale);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(shades).unwrap();
    writer.finish().unwrap();
    bytes
}

/// The first bytes of a PNG (ISO/IEC 15948, 5.2 and 11.2.2) that claims so many pixels; `crc` is that of its header.
fn claim(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = png(1, 1, &[0]);
    bytes[16..20].copy_from_slice(&width.to_be_bytes());
    bytes[20..24].copy_from_slice(&height.to_be_bytes());
    let mut crc = flate2::Crc::new();
    crc.update(&bytes[12..29]);
    bytes[29..33].copy_from_slice(&crc.sum().to_be_bytes());
    bytes
}

// 60 x 40 units at 12 mm height: 18 mm wide, the hole a third of the width, half the height.
#[test]
fn a_drawing_is_printed_at_its_height_in_its_proportions() {
    let bench = bench("logo.svg", TIDE);
    let answer = label(&bench);
    assert!(answer.starts_with("exit code 0"), "{answer}");
    let pages = inspect::read(&fs::read(bench.path("jar.pdf")).unwrap()).unwrap();
    let near = |a: f64, b: f64| (a - b).abs() < 0.01;
    let mark = pages[0].marks.iter().find(|m| near(m.area.width(), 18.0) && near(m.area.height(), 12.0)).unwrap();
    let [x, y] = mark.area.middle();
    assert!(near(x, 30.0), "in the middle of 60 mm: {x}");
    assert!(!mark.covers([x, y]) && mark.covers([x - 5.0, y]) && mark.covers([x, y - 5.0]), "the hole is a hole");
    assert!(!mark.covers([x - 2.9, y]) && mark.covers([x - 3.1, y]));
}

/// Four bars of 10 units: navy, red, a grey and black; at 12 mm height each is 12 mm wide.
const BARS: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 10">
  <rect width="10" height="10" fill="#1f3a5f"/><rect x="10" width="10" height="10" fill="rgb(200, 16, 46)"/>
  <rect x="20" width="10" height="10" fill="#808080"/><rect x="30" width="10" height="10" fill="black"/>
</svg>"##;

/// Colours as written; ISO 32000-1, 8.6.4.2: greys by `g`, so that they are black ink alone.
#[test]
fn a_drawing_keeps_its_colours_and_what_must_be_black_stays_so() {
    let bench = bench("logo.svg", BARS);
    let answer = label(&bench);
    assert!(answer.starts_with("exit code 0"), "{answer}");
    let bytes = fs::read(bench.path("jar.pdf")).unwrap();
    let page = &inspect::read(&bytes).unwrap()[0];
    let mut bars: Vec<_> = page.marks.iter().filter(|m| (m.area.height() - 12.0).abs() < 0.01).collect();
    bars.sort_by(|a, b| a.area.left.total_cmp(&b.area.left));
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "shares from 0 to 1")]
    let colours: Vec<[u8; 3]> = bars.iter().map(|m| m.rgb.map(|c| (c * 255.0).round() as u8)).collect();
    assert_eq!(colours, [[0x1f, 0x3a, 0x5f], [200, 16, 46], [128; 3], [0; 3]]);
    // Words of the label are black as before, and only the two colours are set as such.
    assert!(page.glyphs.iter().all(|g| g.rgb.iter().all(|c| c.abs() < 1e-6)));
    let document = lopdf::Document::load_mem(&bytes).unwrap();
    let content = lopdf::content::Content::decode(&document.get_page_content(document.get_pages()[&1])).unwrap();
    assert_eq!(content.operations.iter().filter(|o| o.operator == "rg").count(), 2);
}

/// Navy, red and a grey of 128 have lumas of 54, 75 and 128 (ITU-R BT.601): two bars are black, the third white, the last black.
#[test]
fn in_one_colour_a_logo_is_black_where_it_is_dark_its_red_too() {
    let bench = bench("logo.svg", BARS);
    for more in ["", "--frames-printed"] {
        let answer =
            bench.on_the_day(&format!("label products/low-tide.yaml --lot 26329A4 -o jar.pdf --png 203 {more}"));
        assert!(answer.starts_with("exit code 0"), "{answer}");
        let file = fs::File::open(bench.path("jar-front.png")).unwrap();
        let mut reader = png::Decoder::new(std::io::BufReader::new(file)).read_info().unwrap();
        let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
        let width = reader.next_frame(&mut bytes).unwrap().width as usize;
        let black = |x: usize, y: usize| bytes[y * width.div_ceil(8) + x / 8] & (0x80 >> (x % 8)) == 0;
        // A row of dots through all bars: each is 12 mm wide, 96 dots.
        let runs = |y: usize| (0..width).map(|x| black(x, y)).collect::<Vec<_>>();
        let row = (0..300).map(runs).find(|r| r.iter().filter(|b| **b).count() > 250).unwrap();
        let lengths: Vec<(bool, usize)> = row.chunk_by(|a, b| a == b).map(|c| (c[0], c.len())).collect();
        let near = |n: usize, hand: usize| n.abs_diff(hand) <= 1;
        assert!(
            matches!(lengths[..], [(false, _), (true, a), (false, b), (true, c), (false, _)]
            if near(a, 192) && near(b, 96) && near(c, 96)),
            "{lengths:?}"
        );
    }
}

#[test]
fn a_logo_of_the_workshop_is_printed_unless_the_product_says_none() {
    let bench = Bench::new();
    bench.file("logo.svg", TIDE);
    bench.change("workshop.yaml", "scales:", "logo: {file: logo.svg, height: 9 mm}\nscales:");
    let _ = label(&bench);
    let with = fs::read(bench.path("jar.pdf")).unwrap();
    bench.change("products/low-tide.yaml", "label:\n", "label:\n  logo: none\n");
    let _ = label(&bench);
    let without = fs::read(bench.path("jar.pdf")).unwrap();
    let marks = |bytes: &[u8]| inspect::read(bytes).unwrap()[0].marks.len();
    assert_eq!((marks(&with), marks(&without)), (1, 0));
}

// 100 rows at 12 mm: 100 / 12 * 25.4 = 211 per inch; 60 rows: 127.
#[test]
fn pixels_are_printed_as_black_areas_and_too_few_are_told() {
    let ring = |side: u32| {
        let inside = |x: u32| x >= side / 4 && x < side * 3 / 4;
        let all = (0..side).flat_map(|y| (0..side).map(move |x| (x, y)));
        png(side, side, &all.map(|(x, y)| if inside(x) && inside(y) { 255 } else { 0 }).collect::<Vec<_>>())
    };
    let fine = bench("logo.png", ring(100));
    let answer = label(&fine);
    assert!(answer.starts_with("exit code 0") && !answer.contains("print/"), "{answer}");
    let page = &inspect::read(&fs::read(fine.path("jar.pdf")).unwrap()).unwrap()[0];
    let mark = page.marks.iter().find(|m| (m.area.width() - 12.0).abs() < 0.01).unwrap();
    let [x, y] = mark.area.middle();
    assert!(!mark.covers([x, y]) && !mark.covers([x - 2.9, y]) && mark.covers([x - 3.1, y]));
    let answer = label(&bench("logo.png", ring(60)));
    assert!(answer.contains("print/logo-pixels") && answer.contains("127 per inch"), "{answer}");
}

#[test]
fn a_logo_the_template_has_no_place_for_is_told() {
    let bench = bench("logo.svg", TIDE);
    let text = include_str!("../../templates/jar-front-and-base.yaml");
    bench.file("templates/jar-front-and-base.yaml", text.replace("      - {block: logo, align: centre}\n", ""));
    let answer = label(&bench);
    assert!(answer.starts_with("exit code 0") && answer.contains("warning[template/no-logo]"), "{answer}");
}

#[test]
fn a_logo_that_leaves_no_room_may_go() {
    let bench = bench("logo.svg", TIDE);
    bench.change("products/low-tide.yaml", "height: 12 mm", "height: 50 mm");
    let answer = label(&bench);
    assert!(answer.starts_with("exit code 1") && answer.contains("leave out the logo"), "{answer}");
}

#[test]
fn hostile_and_broken_files_are_refused_with_a_cure() {
    let svg = |inside: &str| {
        format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\">{inside}</svg>").into_bytes()
    };
    let shape = "<rect width=\"9\" height=\"9\"/>";
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        ("40 000 pixels a side", claim(40_000, 40_000), "40000 x 40000 pixels"),
        ("five thousand a side", claim(5_000, 5_000), "5000 x 5000 pixels"),
        ("cut off", png(50, 50, &[0; 2500])[..60].to_vec(), "damaged PNG"),
        ("all white", png(5, 5, &[255; 25]), "shows nothing"),
        ("empty", Vec::new(), "neither a PNG nor an SVG"),
        ("another format", b"GIF89a....".to_vec(), "neither a PNG nor an SVG"),
        ("5 MB", vec![b'<'; 5 << 20], "5 MB large"),
        ("no XML", b"<svg".to_vec(), "damaged or no plain SVG"),
        ("another XML", b"<html/>".to_vec(), "is no SVG"),
        (
            "entities",
            b"<!DOCTYPE svg [<!ENTITY a \"b\">]><svg xmlns=\"http://www.w3.org/2000/svg\"/>".to_vec(),
            "damaged or no plain SVG",
        ),
        ("nothing in it", svg(""), "shows nothing"),
        ("text", svg("\n<text>Tide</text>"), "`text` in line 2"),
        ("a picture", svg("<image href=\"x.png\"/>"), "`image`"),
        ("a reference", svg("<use href=\"#a\"/>"), "`use`"),
        ("a script", svg("<script>1</script>"), "`script`"),
        ("a style sheet", svg(&format!("<style>rect {{fill: red}}</style>{shape}")), "`style`"),
        ("a stroke", svg("<path d=\"M0 0 L9 9\" stroke=\"black\"/>"), "a stroke"),
        ("a gradient", svg("<rect width=\"9\" height=\"9\" fill=\"url(#g)\"/>"), "`fill: url(#g)`"),
        ("see-through", svg("<rect width=\"9\" height=\"9\" style=\"opacity:0.5\"/>"), "`opacity: 0.5`"),
        ("a clip", svg("<g clip-path=\"url(#c)\"><rect width=\"9\" height=\"9\"/></g>"), "`clip-path: url(#c)`"),
        ("bad path data", svg("<path d=\"M0 0 L5 x\"/>"), "stops making sense at `5 x`"),
        ("figures without end", svg("<path d=\"M0 0 L1e999 5 9 9z\"/>"), "stops making sense"),
        ("beyond its page", svg("<rect width=\"90\" height=\"9\"/>"), "beyond its own page"),
        ("a line", svg("<rect width=\"9\" height=\"0.01\"/>"), "more than 50 times"),
        ("deep", svg(&format!("{}{shape}{}", "<g>".repeat(100_000), "</g>".repeat(100_000))), "groups within groups"),
        ("no text", b"<svg \xff\xfe".to_vec(), "not UTF-8"),
    ];
    for (what, bytes, told) in cases {
        let bench = bench("logo.any", bytes);
        let answer = label(&bench);
        assert!(
            answer.starts_with("exit code 2") && answer.contains("error[file/logo]") && answer.contains(told),
            "{what}: {answer}"
        );
        assert!(answer.contains("low-tide.yaml:") && answer.contains("help: "), "{what}: {answer}");
        assert!(!bench.path("jar.pdf").exists(), "{what}");
    }
}

#[test]
fn a_logo_outside_the_workshop_or_not_there_is_refused() {
    let bench = bench("logo.svg", TIDE);
    for (name, told) in [
        ("../logo.svg", "no name of a file"),
        ("other.svg", "there is no logo"),
        ("/etc/hostname", "no name of a file"),
    ] {
        bench.change("products/low-tide.yaml", "file: logo.svg", &format!("file: {name}"));
        let answer = label(&bench);
        assert!(answer.starts_with("exit code 2") && answer.contains(told), "{answer}");
        bench.change("products/low-tide.yaml", &format!("file: {name}"), "file: logo.svg");
    }
}

#[test]
fn a_picture_never_replaces_the_logo_it_shows() {
    let before = png(40, 20, &[0; 800]);
    let bench = bench("logo.png", &before);
    for command in [
        "label products/low-tide.yaml --lot 26329A4 -o jar.pdf --proof logo.png",
        "check products/low-tide.yaml --label jar.pdf --proof logo.png",
    ] {
        let told = bench.on_the_day(command);
        assert!(told.starts_with("exit code 2") && told.contains("is one of the files this is made from"), "{told}");
        assert_eq!(fs::read(bench.path("logo.png")).unwrap(), before);
        bench.on_the_day("label products/low-tide.yaml --lot 26329A4 -o jar.pdf");
    }
}
