//! Reads damaged and hostile PDFs: each gives pages, a finding or pages told as unread, and none a panic or a long wait.
//!
//! The files are made by `tests/foreign/make/broken.py`; what is to come of each is stated here.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::collections::BTreeSet;
use std::fs;
use waxbill::inspect::{self, Unread};

/// What must come of a file.
enum Outcome {
    /// The word on it is read all the same.
    Word(&'static str),
    /// A page, on which nothing is claimed to be read.
    Unread,
    /// Nothing is drawn on it, so nothing is read.
    Nothing,
    /// A finding that says this.
    Refused(&'static str),
}
use Outcome::{Nothing, Refused, Word};

const FILES: &[(&str, Outcome)] = &[
    ("bad-xref", Word("Keep")),
    ("bomb-twice", Refused("unpack to more than 96 MB")),
    // Every code from 0 to FFFFFFFF is mapped in one range.
    ("cmap-range", Word("")),
    ("cyclic-pages", Refused("damaged")),
    ("cyclic-parent", Refused("damaged")),
    ("font-wrong-tables", Word("Keep")),
    ("image-CCITTFaxDecode", Word("Keep")),
    ("image-DCTDecode", Word("Keep")),
    ("image-JBIG2Decode", Word("Keep")),
    ("image-JPXDecode", Word("Keep")),
    ("image-huge", Word("Keep")),
    ("many-q", Nothing),
    ("mediabox-huge", Refused("damaged")),
    ("no-xref", Word("Keep")),
    ("predictor-huge", Outcome::Unread),
    ("predictor-zero", Outcome::Unread),
    ("self-length", Word("Keep")),
    ("shading-mesh", Refused("damaged")),
    ("truncated", Outcome::Unread),
    // A drawn font whose letter shows itself.
    ("type3-self", Outcome::Unread),
];

#[test]
fn damaged_and_hostile_files_end_as_stated() {
    for (name, outcome) in FILES {
        let read = inspect::read(&fs::read(format!("tests/foreign/broken/{name}.pdf")).unwrap());
        match (outcome, read) {
            (Refused(says), Err(finding)) => assert!(finding.message.contains(says), "{name}: {}", finding.message),
            (Word(word), Ok(pages)) => {
                let text: String = pages[0].lines.iter().flat_map(|l| &l.words).map(|w| w.text.as_str()).collect();
                assert!(text.contains(word), "{name}: {text}");
            }
            (Outcome::Unread, Ok(pages)) => {
                let lost = |u: &Unread| {
                    matches!(u, Unread::Content | Unread::Overfull | Unread::Letters { .. } | Unread::Heights { .. })
                };
                assert!(pages[0].unread.iter().any(lost), "{name}: {:?}", pages[0].unread);
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
