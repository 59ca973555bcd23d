//! Reads damaged and hostile PDFs: each gives pages, a finding or pages told as unread, and none a panic or a long wait.
//!
//! The files are made by `tests/foreign/make/broken.py`; what is to come of each is stated here.

#![allow(clippy::unwrap_used, clippy::panic, clippy::disallowed_methods, reason = "a test stops at the first surprise")]

use std::collections::BTreeSet;
use std::fs;
use std::time::{Duration, Instant};
use waxbill::inspect::{self, Unread};

/// What must come of a file.
enum Outcome {
    /// The word on it is read all the same.
    Word(&'static str),
    /// The word is in the file, and its font has nothing to print for it.
    Blank(&'static str),
    /// A page, on which nothing is claimed to be read.
    Unread,
    /// Nothing is drawn on it, so nothing is read.
    Nothing,
    /// A finding that says this.
    Refused(&'static str),
    /// A page that is told as beyond the bounds, for this reason.
    Beyond(&'static str),
}
use Outcome::{Beyond, Blank, Nothing, Refused, Word};

const FILES: &[(&str, Outcome)] = &[
    ("bad-xref", Word("Keep")),
    ("bomb-twice", Refused("unpack to more than 96 MB")),
    // Every code from 0 to FFFFFFFF is mapped in one range.
    ("cmap-range", Word("")),
    ("colour-circle", Beyond("more than 512 KB")),
    ("cyclic-pages", Refused("damaged")),
    ("cyclic-parent", Refused("damaged")),
    // A line of two hundred thousand different dashes, each a hundred-thousandth of a point.
    ("dash-many", Word("Keep")),
    // A letter made of itself.
    ("font-circle", Blank("Keep")),
    // Widths of two thousand million letters.
    ("font-widths", Beyond("tells of more letters")),
    ("font-wrong-tables", Blank("Keep")),
    ("forms-chain", Beyond("deeper than 20 levels")),
    ("function-chain", Beyond("deeper than 20 levels")),
    ("function-circle", Beyond("more than 512 KB")),
    ("function-program-deep", Beyond("deeper than 20 levels")),
    // Eight functions, each made of the next one ten times.
    ("function-wide", Beyond("more than 512 KB")),
    ("image-CCITTFaxDecode", Word("Keep")),
    ("image-DCTDecode", Word("Keep")),
    ("image-JBIG2Decode", Word("Keep")),
    ("image-JPXDecode", Word("Keep")),
    // Two thousand million columns in a picture that says it has nine.
    ("image-ccitt-lies", Word("Keep")),
    ("image-dct-lies", Word("Keep")),
    ("image-huge", Word("Keep")),
    ("image-inline", Word("Keep")),
    ("image-mask-huge", Word("Keep")),
    // One picture of 16 million pixels, drawn fifteen thousand times.
    ("image-often", Word("Keep")),
    ("kids-deep", Beyond("tree of pages")),
    ("many-q", Nothing),
    ("mask-circle", Word("Keep")),
    ("mediabox-huge", Refused("damaged")),
    ("no-xref", Word("Keep")),
    ("pattern-circle", Word("Keep")),
    // Tiles a ten-thousandth of a point apart, each a thousand points wide.
    ("pattern-tiny-step", Word("Keep")),
    ("predictor-huge", Outcome::Unread),
    ("predictor-zero", Outcome::Unread),
    ("self-length", Word("Keep")),
    ("shading-lattice", Beyond("more than 512 KB")),
    ("shading-mesh", Refused("damaged")),
    // A mesh of a megabyte, shown twenty thousand times.
    ("shading-mesh-often", Beyond("more than 512 KB")),
    ("truncated", Outcome::Unread),
    // Fifteen thousand letters, each drawn of ten million squares; of a hundred thousand.
    ("type3-forms", Outcome::Unread),
    ("type3-heavy", Outcome::Unread),
    // A drawn font whose letter shows itself.
    ("type3-self", Outcome::Unread),
    ("xref-stream-huge", Word("Keep")),
];

#[test]
fn damaged_and_hostile_files_end_as_stated() {
    for (name, outcome) in FILES {
        let bytes = fs::read(format!("tests/foreign/broken/{name}.pdf")).unwrap();
        let begun = Instant::now();
        // Codes are looked for in the picture of the page, so it is drawn too.
        let _ = inspect::labels(&bytes, 0.4);
        assert!(begun.elapsed() < Duration::from_secs(60), "{name}: {:?}", begun.elapsed());
        let read = inspect::read(&bytes);
        match (outcome, read) {
            (Refused(says), Err(finding)) => assert!(finding.message.contains(says), "{name}: {}", finding.message),
            (Word(word), Ok(pages)) => {
                let text: String = pages[0].lines.iter().flat_map(|l| &l.words).map(|w| w.text.as_str()).collect();
                assert!(text.contains(word), "{name}: {text}");
            }
            (Blank(word), Ok(pages)) => {
                let glyphs = &pages[0].glyphs;
                let text: String = glyphs.iter().map(|g| g.text.as_str()).collect();
                assert!(
                    text.contains(word) && glyphs.iter().all(|g| g.hidden.is_some() || g.is_space()),
                    "{name}: {text}"
                );
            }
            (Outcome::Unread, Ok(pages)) => {
                let lost = |u: &Unread| {
                    matches!(u, Unread::Content | Unread::Overfull | Unread::Letters { .. } | Unread::Heights { .. })
                };
                assert!(pages[0].unread.iter().any(lost), "{name}: {:?}", pages[0].unread);
            }
            (Beyond(says), Ok(pages)) => {
                let told = pages[0].refused().unwrap_or_else(|| panic!("{name} is not refused"));
                assert!(told.message.contains(says), "{name}: {}", told.message);
            }
            (Nothing, Ok(pages)) => assert!(pages[0].glyphs.is_empty() && pages[0].marks.is_empty(), "{name}"),
            (_, read) => panic!("{name}: {:?}", read.map(|pages| pages.len())),
        }
    }
}

#[test]
fn every_damaged_file_is_looked_at() {
    let there: BTreeSet<String> = fs::read_dir("tests/foreign/broken")
        .unwrap()
        .map(|e| e.unwrap().path().file_stem().unwrap().to_string_lossy().into_owned())
        .collect();
    assert_eq!(there, FILES.iter().map(|(name, _)| (*name).to_owned()).collect());
}
