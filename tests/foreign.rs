//! Reads PDFs that general-purpose programs made of one label; what each was told to set is what must be read.
//!
//! `tests/foreign/README.md` tells which program made each file; `tests/foreign/make/low-tide.json` is what it was given.

#![allow(clippy::unwrap_used, clippy::disallowed_methods, clippy::panic, reason = "a test stops at the first surprise")]

use serde_json::Value;
use std::fs;
use std::path::Path;
use waxbill::inspect::{self, SeenPage, Unread};

const FOLDER: &str = "tests/foreign";
const MM_PER_POINT: f64 = 25.4 / 72.0;

/// Height of the capital `E` and of the lower-case `x` in the font, as shares of the em.
///
/// Read by fontTools from the outlines of the fonts that were given to the tools (bounding boxes of `E` and `x`), regular
/// and bold; of Helvetica by the URW font of the same measures.
struct Font {
    capital: [f64; 2],
    x: [f64; 2],
}

const NOTO: Font = Font { capital: [0.714, 0.714], x: [0.536, 0.546] };
const DEJAVU: Font = Font { capital: [0.729, 0.729], x: [0.547, 0.547] };
const NIMBUS: Font = Font { capital: [0.729, 0.729], x: [0.524, 0.540] };
const LM_SANS: Font = Font { capital: [0.691, 0.691], x: [0.444, 0.458] };
const LM_ROMAN: Font = Font { capital: [0.680, 0.680], x: [0.431, 0.444] };

/// Files whose text can be read, with their font.
const READABLE: &[(&str, &Font)] = &[
    ("cairo", &NOTO),
    ("reportlab-standard", &NIMBUS),
    ("reportlab", &DEJAVU),
    ("fpdf2", &DEJAVU),
    ("typst", &NOTO),
    ("chromium", &DEJAVU),
    ("libreoffice", &DEJAVU),
    ("pdflatex", &LM_SANS),
    ("xelatex", &LM_ROMAN),
    ("ghostscript-1.3", &NIMBUS),
    ("qpdf-object-streams", &DEJAVU),
    ("qpdf-2.0", &NOTO),
    ("qpdf-turned", &DEJAVU),
    ("qpdf-rc4", &NOTO),
    ("qpdf-aes-128", &NOTO),
    ("qpdf-aes-256", &NOTO),
    ("qpdf-forms", &LM_SANS),
];

fn bytes(name: &str) -> Vec<u8> {
    fs::read(format!("{FOLDER}/{name}.pdf")).unwrap()
}

fn label() -> Value {
    serde_json::from_str(&fs::read_to_string(format!("{FOLDER}/make/low-tide.json")).unwrap()).unwrap()
}

/// The pages, each brought upright.
fn pages(name: &str) -> Vec<SeenPage> {
    let pages = inspect::read(&bytes(name)).unwrap_or_else(|finding| panic!("{name}: {finding:?}"));
    pages.iter().map(|p| p.turned(p.upright())).collect()
}

/// Words with the soft break of a hyphen at a line's end left out: letters and figures only, run together.
fn bare(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).collect()
}

fn read_words(page: &SeenPage) -> String {
    page.lines.iter().flat_map(|l| &l.words).map(|w| bare(&w.text)).collect()
}

fn statements(page: &Value) -> impl Iterator<Item = (&Value, &str)> {
    let texts = page["texts"].as_array().unwrap();
    texts.iter().flat_map(|t| t["text"].as_array().unwrap().iter().map(move |s| (t, s.as_str().unwrap())))
}

#[test]
fn every_word_that_another_program_set_is_read() {
    for (name, _) in READABLE {
        let (label, pages) = (label(), pages(name));
        let wanted = label["pages"].as_array().unwrap();
        assert_eq!(pages.len(), wanted.len(), "{name}");
        for (page, wanted) in pages.iter().zip(wanted) {
            let read = read_words(page);
            for (_, statement) in statements(wanted) {
                // A typesetter may hyphenate; the lines of a block stand below each other, so their words run on.
                assert!(read.contains(&bare(statement)), "{name}: `{statement}` in\n{read}");
            }
            let all: usize = statements(wanted).map(|(_, s)| bare(s).len()).sum();
            assert_eq!(read.len(), all, "{name}: more was read than was set");
        }
    }
}

#[test]
fn letters_are_as_high_as_the_program_was_told() {
    for (name, font) in READABLE {
        for (page, wanted) in pages(name).iter().zip(label()["pages"].as_array().unwrap()) {
            for (text, statement) in statements(wanted) {
                let bold = usize::from(text["bold"].as_bool().unwrap());
                let em = text["pt"].as_f64().unwrap() * MM_PER_POINT;
                let first = statement.split_whitespace().next().unwrap();
                let word =
                    page.lines.iter().flat_map(|l| &l.words).find(|w| w.text == first && (w.em - em).abs() < 0.02 * em);
                let word = word.unwrap_or_else(|| panic!("{name}: `{first}` at {em} mm"));
                for &n in &word.glyphs {
                    let glyph = &page.glyphs[n];
                    let share = match glyph.text.as_str() {
                        "E" | "T" | "L" | "B" | "N" | "K" | "D" | "F" | "P" => font.capital[bold],
                        "x" | "z" => font.x[bold],
                        _ => continue,
                    };
                    let height = glyph.ink.unwrap().height();
                    assert!(
                        (height / (share * em) - 1.0).abs() < 0.02,
                        "{name}: {height} of `{}` in `{first}`",
                        glyph.text
                    );
                }
                assert_eq!(word.bold, Some(bold == 1), "{name}: `{first}`");
                assert!((word.stretch - 1.0).abs() < 0.01, "{name}: `{first}` is stretched by {}", word.stretch);
                assert!(word.contrast.unwrap() > 20.0, "{name}: `{first}`");
            }
        }
    }
}

#[test]
fn pages_are_as_large_as_the_program_was_told() {
    for (name, _) in READABLE {
        for (page, wanted) in pages(name).iter().zip(label()["pages"].as_array().unwrap()) {
            // Browsers round to their own pixels, 1/96 in; office programs to 1/100 mm.
            let slack = 25.4 / 96.0;
            // The office program kept its own sheet, A4, with the label in its corner.
            let office = ["libreoffice", "qpdf-object-streams"].contains(name);
            let [width, height] =
                if office { [210.0, 297.0] } else { ["width", "height"].map(|k| wanted[k].as_f64().unwrap()) };
            let off = [page.width - width, page.height - height];
            assert!(off.iter().all(|d| d.abs() < slack), "{name}: {off:?}");
            assert!(page.outside(0.0).next().is_none(), "{name}");
            assert!(page.unread.is_empty(), "{name}: {:?}", page.unread);
            assert!(page.overlaps().unwrap().is_empty(), "{name}: {:?}", page.overlaps());
        }
    }
}

#[test]
fn letters_turned_to_curves_are_told_as_unread() {
    for name in ["cairo-outlined", "ghostscript-outlined"] {
        for page in pages(name) {
            assert!(page.glyphs.is_empty(), "{name}");
            let rows = page.unread.iter().filter(|u| matches!(u, Unread::Curves { .. })).count();
            // The front has five lines, the base five lines of warning, the maker's three and the lot.
            assert!(rows >= 5, "{name}: {:?}", page.unread);
        }
    }
}

#[test]
fn page_that_is_one_picture_is_told_as_unread() {
    for page in pages("cairo-picture") {
        assert!(page.glyphs.is_empty());
        assert!(page.unread.iter().any(|u| matches!(u, Unread::Picture { whole: true, .. })), "{:?}", page.unread);
    }
}

#[test]
fn letters_without_names_are_told_as_unread_and_still_measured() {
    for page in pages("no-unicode") {
        assert!(
            page.unread.iter().any(|u| matches!(u, Unread::Letters { count, .. } if *count > 10)),
            "{:?}",
            page.unread
        );
        assert!(page.glyphs.iter().any(|g| g.ink.is_some_and(|a| a.height() > 1.0)));
    }
}

#[test]
fn file_that_asks_for_a_password_is_refused_with_the_reason() {
    let finding = inspect::read(&bytes("qpdf-password")).unwrap_err();
    assert!(finding.message.contains("asks for a password"), "{}", finding.message);
}

#[test]
fn single_labels_of_a_sheet_are_found_by_their_repetition() {
    // `make.py` sets six fronts of 60 x 70 mm, 70 mm and 80 mm apart, the first at 8 mm and 12 mm.
    let sheet = &pages("cairo-sheet")[0];
    let labels = sheet.labels();
    assert_eq!(labels.len(), 6);
    for (n, area) in labels.iter().enumerate() {
        let (column, row) = (f64::from(u32::try_from(n % 3).unwrap()), f64::from(u32::try_from(n / 3).unwrap()));
        let corner = [8.0 + 70.0 * column, 12.0 + 80.0 * row];
        assert!(area.has([corner[0] + 30.0, corner[1] + 35.0]), "{n}: {area:?}");
        let one = sheet.within(area);
        let words = read_words(&one);
        for word in ["LowTide", "Scentedcandle", "Burnsabout39hours", "NETWT9OZ", "255g", &format!("No{}of6", n + 1)] {
            assert_eq!(words.matches(word).count(), 1, "{n}: {word} in {words}");
        }
        let glyph = &one.glyphs[0];
        let back = one.view.on_page([glyph.x, glyph.baseline]);
        assert!(sheet.glyphs.iter().any(|g| (g.x - back[0]).abs() < 1e-6 && (g.baseline - back[1]).abs() < 1e-6));
    }
    assert_eq!(pages("typst")[1].labels().len(), 1);
}

#[test]
fn every_file_that_is_kept_is_small_and_its_maker_is_told() {
    let readme = fs::read_to_string(format!("{FOLDER}/README.md")).unwrap();
    for entry in fs::read_dir(FOLDER).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|e| e == "pdf") {
            let name = Path::new(path.file_name().unwrap()).display().to_string();
            assert!(fs::metadata(&path).unwrap().len() < 60_000, "{name}");
            assert!(readme.contains(&format!("`{name}`")), "{name} is not in the README");
        }
    }
}
