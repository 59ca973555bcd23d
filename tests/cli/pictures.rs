//! Pictures of a label: one bit a dot for thermal printers, and the proof.

use crate::bench::Bench;
use insta::assert_snapshot;
use png::{BitDepth, ColorType, Unit};
use std::fs;
use waxbill::inspect;

/// A PNG taken apart by the crate that the maker's programs use too.
struct Seen {
    width: usize,
    height: usize,
    depth: BitDepth,
    colour: ColorType,
    per_metre: (u32, u32, Unit),
    bytes: Vec<u8>,
}

impl Seen {
    fn of(bench: &Bench, name: &str) -> Self {
        let file = fs::File::open(bench.path(name)).unwrap();
        let mut reader = png::Decoder::new(std::io::BufReader::new(file)).read_info().unwrap();
        let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
        let info = reader.next_frame(&mut bytes).unwrap();
        let dims = reader.info().pixel_dims.unwrap();
        bytes.truncate(info.buffer_size());
        Self {
            width: info.width as usize,
            height: info.height as usize,
            depth: info.bit_depth,
            colour: info.color_type,
            per_metre: (dims.xppu, dims.yppu, dims.unit),
            bytes,
        }
    }

    fn black(&self, x: usize, y: usize) -> bool {
        self.bytes[y * self.width.div_ceil(8) + x / 8] & (0x80 >> (x % 8)) == 0
    }

    /// What a reader of codes finds: payload, modules along a side, where about.
    fn codes(&self) -> Vec<(String, usize, [rqrr::Point; 4])> {
        self.codes_in(0, 0, self.width, self.height)
    }

    /// The same in a part of the image: on a sheet the reader takes finder patterns of several codes for one.
    fn codes_in(&self, left: usize, top: usize, width: usize, height: usize) -> Vec<(String, usize, [rqrr::Point; 4])> {
        let grey = |x, y| if self.black(left + x, top + y) { 0 } else { 255 };
        let mut image = rqrr::PreparedImage::prepare_from_greyscale(width, height, grey);
        let grids = image.detect_grids();
        let read = |g: &rqrr::Grid<_>| {
            let (meta, text) = g.decode().ok()?;
            Some((text, meta.version.to_size(), g.bounds))
        };
        grids.iter().filter_map(read).collect()
    }
}

fn label(bench: &Bench, product: &str, more: &str) -> String {
    bench.on_the_day(&format!("label products/{product}.yaml -o jar.pdf {more}"))
}

// PNG, ISO/IEC 15948: 11.2.2 greyscale may have a depth of 1; 11.3.4.3 pHYs counts pixels to the metre. 25.4 mm to the
// inch: 203 / 0.0254 = 7992.1, 300 / 0.0254 = 11811.0, 600 / 0.0254 = 23622.0. A part of 60 x 70 mm has 60 / 25.4 * 203
// = 479.5 by 559.4 dots, the last of each whole.
#[test]
fn an_image_for_a_thermal_printer_has_one_bit_a_dot_and_says_how_many_to_the_metre() {
    let bench = Bench::new();
    for (dpi, per_metre, width, height) in [(203, 7992, 480, 560), (300, 11811, 709, 827), (600, 23622, 1418, 1654)] {
        let answer = label(&bench, "low-tide", &format!("--png {dpi}"));
        assert!(answer.starts_with("exit code 0"), "{answer}");
        let seen = Seen::of(&bench, "jar-front.png");
        assert_eq!((seen.depth, seen.colour), (BitDepth::One, ColorType::Grayscale));
        assert_eq!(seen.per_metre, (per_metre, per_metre, Unit::Meter));
        assert_eq!((seen.width, seen.height), (width, height));
    }
}

#[test]
fn strokes_under_two_dots_are_told_with_the_printer_that_would_do() {
    let bench = Bench::new();
    assert_snapshot!(label(&bench, "low-tide", "--png 203 --lot 26329A4"), @"
    exit code 0
    --- stdout
    warning[print/thin-stroke]: `17` of `49` letters on part `front` have strokes under 2 dots at 203 per inch: those of `Burns` are `0.20 mm`, `1.6` dots
     |
    note: page 1 (front), 20.2 mm from the left, 38.4 mm from the top
    note: policy; known from: policy
    help: look at a print under a glass, or print at 300 dots per inch or more

    warning[print/thin-stroke]: `545` of `552` letters on part `base` have strokes under 2 dots at 203 per inch: those of `lighting.` are `0.14 mm`, `1.1` dots
     |
    note: page 2 (base), 39.6 mm from the left, 25.7 mm from the top
    note: policy; known from: policy
    help: look at a print under a glass, or print at 600 dots per inch or more

    note[print/module]: a module of the QR code on part `base` is `3` dots wide, `0.38 mm` in place of `0.40 mm`: as many whole dots as its place holds
     |
    note: page 2 (base), 36.4 mm from the left, 45.3 mm from the top
    note: policy; known from: policy
    help: read a print with a telephone before the rest is printed; with more white round it the code would be larger

    jar.pdf: 2 parts for us, each required text read back from the file
      front    60.0 x 70.0 mm
      base     68.0 x 68.0 mm
    jar-front.png: `front` in 480 x 560 dots at 203 per inch
    jar-base.png: `base` in 544 x 544 dots at 203 per inch
    Print at 100 %, without fitting to the page. Local codes and licensed practice come first.
    ");
    // 0.13 mm are 3.1 dots at 600 per inch.
    assert!(!label(&bench, "low-tide", "--png 600 --lot 26329A4").contains("print/"));
}

// 0.4 mm a module (its template's least), 25.4 mm to the inch: 3.2, 4.7 and 9.4 dots, so 3, 4 and 9 whole ones, or one more
// where there is room. How many modules a side has is told by the code (ISO/IEC 18004: 17 and 4 for each version); a finder
// pattern is dark, light, dark, light and dark over 1, 1, 3, 1 and 1 of them (6.3.3).
#[test]
fn each_module_of_the_code_has_the_same_whole_dots() {
    let bench = Bench::new();
    for (dpi, least) in [(203, 3), (300, 4), (600, 9)] {
        let _ = label(&bench, "low-tide", &format!("--png {dpi}"));
        let seen = Seen::of(&bench, "jar-base.png");
        let codes = seen.codes();
        let (text, modules, corners) = codes.first().unwrap();
        assert_eq!(text.lines().next(), Some("Low Tide, Quillmere Candle Shed"));
        // Along the middle of the upper left finder pattern, from white into white.
        let row = usize::try_from(corners[0].y).unwrap() + least * 7 / 2;
        let from = usize::try_from(corners[0].x).unwrap() - 3;
        let mut runs: Vec<(bool, usize)> = Vec::new();
        for x in from..from + least * modules * 3 / 2 {
            match runs.last_mut().filter(|(black, _)| *black == seen.black(x, row)) {
                Some((_, length)) => *length += 1,
                None => runs.push((seen.black(x, row), 1)),
            }
        }
        let runs: Vec<usize> = runs.iter().skip_while(|(black, _)| !black).map(|(_, length)| *length).collect();
        let module = runs[0];
        assert!((least..=least + 1).contains(&module), "{dpi}: {module} dots");
        assert_eq!(runs[..5], [module, module, 3 * module, module, module], "{dpi}");
        let all = runs[..runs.len() - 1].iter().all(|length| length % module == 0);
        assert!(all, "{dpi}: {runs:?}");
    }
}

#[test]
fn every_code_of_every_sample_is_read_from_dots_at_203_per_inch() {
    let bench = Bench::new();
    let mut read = 0;
    for entry in fs::read_dir(bench.path("products")).unwrap() {
        let name = entry.unwrap().path().file_stem().unwrap().to_str().unwrap().to_owned();
        let answer = bench.on_the_day(&format!("label products/{name}.yaml --png 203 --frames-printed --json"));
        assert!(answer.starts_with("exit code 0"), "{answer}");
        let json: serde_json::Value = serde_json::from_str(answer.split_once("--- stdout\n").unwrap().1).unwrap();
        let labels = json.as_array().cloned().unwrap_or_else(|| vec![json]);
        for label in &labels {
            let images = label["pictures"].as_array().unwrap();
            let codes: Vec<String> = images
                .iter()
                .flat_map(|p| Seen::of(&bench, p["file"].as_str().unwrap()).codes())
                .map(|(text, ..)| text)
                .collect();
            assert_eq!(codes.len(), 1, "{name}, {}", label["market"]);
            assert!(codes[0].contains("Quillmere Candle Shed"), "{codes:?}");
            read += 1;
        }
    }
    assert!(read >= 10, "{read}");
}

#[test]
fn a_round_label_has_no_ink_outside_its_circle() {
    let bench = Bench::new();
    for (product, parts) in [("low-tide", &["base"][..]), ("salt-lamp", &["lid", "base"])] {
        let answer = label(&bench, product, "--png 600");
        assert!(answer.starts_with("exit code 0"), "{answer}");
        for part in parts {
            let seen = Seen::of(&bench, &format!("jar-{part}.png"));
            assert_eq!(seen.width, seen.height, "{part}");
            let float = |n: usize| f64::from(u32::try_from(n).unwrap());
            let radius = float(seen.width) / 2.0;
            let all = (0..seen.height).flat_map(|y| (0..seen.width).map(move |x| (x, y)));
            let ink: Vec<f64> = all
                .filter(|(x, y)| seen.black(*x, *y))
                .map(|(x, y)| (float(x) + 0.5 - radius).hypot(float(y) + 0.5 - radius))
                .collect();
            assert!(ink.len() > 1000, "{part}");
            assert_eq!(ink.iter().filter(|r| **r > radius).count(), 0, "{part}");
        }
    }
}

// Regulation (EC) 1272/2008, Annex I, 1.2.1: a black symbol on white with a red frame.
#[test]
fn one_colour_cannot_show_a_red_frame() {
    let bench = Bench::new();
    assert_snapshot!(label(&bench, "sea-thrift", "--market gb --png 600"), @"
    exit code 1
    --- stderr
    error[eu/clp-pictograms#signs]: a hazard pictogram has a red frame (CLP, Annex I, 1.2.1), and an image of one bit has one colour: 1 on part `hazard` would lose theirs
     |
    note: page 2 (hazard), 3.0 mm from the left, 4.2 mm from the top
    help: print this label in colour from the PDF, or on labels whose red frames are printed already and say so with `--frames-printed`

    nothing was written
    ");
    assert!(!bench.path("jar.pdf").exists(), "nothing is written, the PDF neither");
}

#[test]
fn frames_that_are_printed_already_are_left_out_of_the_image() {
    let bench = Bench::new();
    let answer = label(&bench, "sea-thrift", "--market gb --png 600 --frames-printed");
    assert!(answer.starts_with("exit code 0") && answer.contains("the labels must bear them"), "{answer}");
    let pdf = fs::read(bench.path("jar.pdf")).unwrap();
    let colour = inspect::picture(&pdf, 2, 600.0 / 25.4, 0.0).unwrap();
    let dots = Seen::of(&bench, "jar-hazard.png");
    let red = |p: &[u8; 3]| p[0] > 200 && p[1] < 20 && p[2] < 60;
    let frame: Vec<usize> = (0..colour.pixels.len()).filter(|n| red(&colour.pixels[*n])).collect();
    assert!(frame.len() > 1000);
    assert!(frame.iter().all(|n| !dots.black(n % colour.width, n / colour.width)));
}

#[test]
fn dots_out_of_bounds_are_refused() {
    let bench = Bench::new();
    for dpi in ["99", "1201", "-5", "203.2", "many", "99999999999"] {
        let answer = label(&bench, "low-tide", &format!("--png={dpi}"));
        assert!(answer.starts_with("exit code 2") && answer.contains("100 to 1200"), "{answer}");
        assert!(!bench.path("jar.pdf").exists());
    }
    assert!(label(&bench, "low-tide", "--frames-printed").starts_with("exit code 2"), "only with an image");
}

#[test]
fn a_coarse_printer_is_refused_where_the_code_is_lost() {
    let bench = Bench::new();
    let answer = label(&bench, "low-tide", "--png 100 --lot 26329A4");
    assert!(answer.contains("print/thin-module") || answer.contains("cannot be read from dots"), "{answer}");
}

#[test]
fn a_proof_is_the_same_file_each_time_and_no_larger_than_a_screen_can_show() {
    let bench = Bench::new();
    let told = label(&bench, "low-tide", "--proof a.png");
    assert!(told.contains("a.png: proof with ruler and measured heights, not for print"), "{told}");
    let _ = label(&bench, "low-tide", "--proof b.png");
    assert_eq!(fs::read(bench.path("a.png")).unwrap(), fs::read(bench.path("b.png")).unwrap());
    let seen = Seen::of(&bench, "a.png");
    assert_eq!((seen.depth, seen.colour), (BitDepth::Eight, ColorType::Rgb));
    assert!(seen.width > 1200 && seen.width < 4000 && seen.height > 700, "{} x {}", seen.width, seen.height);
}

/// The colour of a place of a proof.
fn colour(seen: &Seen, x: usize, y: usize) -> [u8; 3] {
    let at = (y * seen.width + x) * 3;
    [seen.bytes[at], seen.bytes[at + 1], seen.bytes[at + 2]]
}

// A4 at 203 dots to the inch: 210 / 25.4 * 203 = 1678.3 and 297 / 25.4 * 203 = 2373.7. A base of 68 mm has 543.5.
#[test]
fn sheets_and_numbered_labels_have_their_images_with_a_code_each() {
    let bench = Bench::new();
    let units = |told: &str, names: &[&str], size: (usize, usize)| {
        assert!(told.starts_with("exit code 0"), "{told}");
        let mut codes: Vec<String> = Vec::new();
        for name in names {
            assert!(told.contains(name), "{told}");
            let seen = Seen::of(&bench, name);
            assert_eq!((seen.width, seen.height), size);
            codes.extend(seen.codes().into_iter().map(|(text, ..)| text));
        }
        codes.sort();
        codes
    };
    let hand = |n: u32| format!("Lot 26329A4-{n:03}, Low Tide, Quillmere Candle Shed");
    let told = label(&bench, "low-tide", "--lot 26329A4 --part base --serial 1..3 --png 203");
    let codes = units(&told, &["jar-base-1.png", "jar-base-2.png", "jar-base-3.png"], (544, 544));
    assert_eq!(codes, (1..=3).map(hand).collect::<Vec<_>>());
    let sheet = "--lot 26329A4 --part base --serial 1..5 --png 203 --sheet a4-2x4-round --start 6 -o sheet.pdf";
    let told = bench.on_the_day(&format!("label products/low-tide.yaml {sheet}"));
    let codes = units(&told, &["sheet-base-1.png", "sheet-base-2.png"], (1679, 2374));
    assert_eq!(codes, (1..=5).map(hand).collect::<Vec<_>>());
    // Nothing is printed in the positions that were used: the first four rows of 72 mm but for the sixth position.
    let seen = Seen::of(&bench, "sheet-base-1.png");
    assert!((0..seen.width).all(|x| (0..1200).all(|y| !seen.black(x, y))));
    // Labels that are all alike are fitted alike.
    let told = label(&bench, "low-tide", "--lot 26329A4 --part base --count 4 --png 203 --sheet a4-2x4-round");
    assert!(told.contains("4 on 1 sheet"), "{told}");
    let seen = Seen::of(&bench, "jar-base.png");
    for (row, column) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
        // 31 and 80 mm across, 6.5 and 72 mm down, in dots; 544 dots of label.
        let codes = seen.codes_in(247 + column * 639, 51 + row * 575, 546, 546);
        assert_eq!(codes.len(), 1, "{row} {column}");
        assert_eq!(codes[0].0, "Lot 26329A4, Low Tide, Quillmere Candle Shed");
    }
}

/// Lines of the cut are magenta, of the bleed orange, both perhaps mixed with the white they stand on.
fn is_cut([r, g, b]: [u8; 3]) -> bool {
    u32::from(r) > u32::from(g) + 60 && u32::from(b) > u32::from(g) + 40
}

fn is_bleed([r, g, b]: [u8; 3]) -> bool {
    u32::from(r) > u32::from(g) + 20 && u32::from(g) > u32::from(b) + 30
}

#[test]
fn a_proof_of_a_print_shops_page_shows_cut_bleed_and_marks() {
    let bench = Bench::new();
    let count = |seen: &Seen, is: fn([u8; 3]) -> bool| {
        let level = |y: usize| (0..seen.width).filter(|&x| is(colour(seen, x, y))).count();
        (0..seen.height).filter(|&y| level(y) > 300).count()
    };
    let _ = label(&bench, "low-tide", "--lot 26329A4 --part front --proof plain.png");
    let told = label(&bench, "low-tide", "--lot 26329A4 --part front --bleed 3 mm --crop-marks --proof shop.png");
    assert!(told.contains("shop.png: proof with ruler"), "{told}");
    let (plain, shop) = (Seen::of(&bench, "plain.png"), Seen::of(&bench, "shop.png"));
    // Level lines of the cut in both, of the bleed in one; 9 mm of paper more on each side, 14 pixels to the millimetre.
    assert!(count(&plain, is_cut) >= 2 && count(&shop, is_cut) >= 2);
    assert_eq!(count(&plain, is_bleed), 0);
    assert!(count(&shop, is_bleed) >= 2);
    assert_eq!((shop.width - plain.width, shop.height - plain.height), (2 * 9 * 14, 2 * 9 * 14));
}

#[test]
fn a_proof_of_sheets_shows_where_each_label_stands() {
    let bench = Bench::new();
    let line = "--lot 26329A4 --part front --count 6 --sheet a4-3x4 --start 3 --proof sheet.png";
    let told = label(&bench, "low-tide", line);
    assert!(told.contains("sheet.png: proof"), "{told}");
    let again = label(&bench, "low-tide", &line.replace("sheet.png", "again.png"));
    assert!(again.starts_with("exit code 0"));
    assert_eq!(fs::read(bench.path("sheet.png")).unwrap(), fs::read(bench.path("again.png")).unwrap());
    let seen = Seen::of(&bench, "sheet.png");
    // A4 at 8 pixels to the millimetre, and notes beside it.
    assert!(seen.width > 210 * 8 && seen.height > 297 * 8, "{} x {}", seen.width, seen.height);
    let level = |y: usize| (0..seen.width).filter(|&x| is_cut(colour(&seen, x, y))).count();
    // Labels of 60 mm: one in the first row, three in the second, two in the third; upper and lower edge of each row.
    let rows: Vec<usize> = (0..seen.height).map(level).filter(|n| (440..1560).contains(n)).collect();
    assert!(rows.len() >= 6, "{rows:?}");
}

#[test]
fn pictures_replace_no_other_file() {
    let bench = Bench::new();
    bench.file("jar-base.png", "a note that is called like a picture");
    let answer = label(&bench, "low-tide", "--png 203");
    assert!(answer.starts_with("exit code 2") && answer.contains("`jar-base.png` is there already"), "{answer}");
    assert!(!bench.path("jar.pdf").exists() && !bench.path("jar-front.png").exists());
    let answer = label(&bench, "low-tide", "--proof jar.pdf");
    assert!(answer.starts_with("exit code 2") && answer.contains("two files"), "{answer}");
    let answer = label(&bench, "low-tide", "--png 203 --proof jar-front.png");
    assert!(answer.starts_with("exit code 2"), "{answer}");
}

#[test]
fn the_list_of_templates_tells_parts_sizes_and_kinds() {
    let bench = Bench::empty();
    let answer = bench.run("label --list");
    assert!(answer.starts_with("exit code 0"), "{answer}");
    let jar = "jar-front-and-base (built in)\n  front label and round base label for a jar\n  for: container candle, votive\n  \
               front    60 x 70 mm, corners 3 mm, the side shown to the customer\n  base     a circle of 68 mm\n";
    assert!(answer.contains(jar), "{answer}");
    let built_in = waxbill::plan::template::BUILT_IN;
    assert!(built_in.iter().all(|(name, _)| answer.contains(&format!("{name} (built in)\n"))), "{answer}");
}

#[test]
fn templates_of_the_workshop_are_listed_before_those_of_the_program() {
    let bench = Bench::new();
    let text = include_str!("../../templates/pillar-band.yaml");
    bench
        .file("templates/tall-band.yaml", text)
        .file("templates/melt-card.yaml", text)
        .file("templates/odd.yaml", "template: [");
    let answer = bench.run("label --list --pictures shown --json");
    assert!(answer.starts_with("exit code 1"), "the broken one is told: {answer}");
    let json: serde_json::Value = serde_json::from_str(answer.split_once("--- stdout\n").unwrap().1).unwrap();
    let all = json["templates"].as_array().unwrap();
    let names: Vec<&str> = all.iter().map(|t| t["template"].as_str().unwrap()).collect();
    assert_eq!(names[..2], ["melt-card", "tall-band"]);
    assert_eq!(names.iter().filter(|n| **n == "melt-card").count(), 1, "the maker's own takes the place of ours");
    assert_eq!(all[1]["parts"][0]["width_mm"], 86.0);
    assert_eq!(json["findings"].as_array().unwrap().len(), 1);
    for name in &names {
        let seen = Seen::of(&bench, &format!("shown/{name}.png"));
        assert!(seen.width > 900 && seen.height > 500, "{name}: {} x {}", seen.width, seen.height);
    }
    assert!(bench.run("label --list --pictures shown").starts_with("exit code 1"), "and again over the old ones");
}

#[test]
fn a_list_takes_no_product_and_a_label_needs_one() {
    let bench = Bench::new();
    for line in ["label", "label --pictures shown", "label --list --png 203", "label --list --lot 26329A4"] {
        assert!(bench.run(line).starts_with("exit code 2"), "{line}");
    }
}

// 450 mm at 1200 per inch are 21 260 dots, 452 million in a square.
#[test]
fn more_dots_than_a_printer_takes_are_refused() {
    let bench = Bench::new();
    let text = include_str!("../../templates/jar-front-and-base.yaml");
    bench.file(
        "templates/jar-front-and-base.yaml",
        text.replace("width: 60 mm, height: 70 mm", "width: 450 mm, height: 450 mm"),
    );
    let answer = label(&bench, "low-tide", "--png 1200");
    assert!(answer.starts_with("exit code 2") && answer.contains("error[file/picture-size]"), "{answer}");
    assert!(!bench.path("jar.pdf").exists());
}
