//! Whatever the bytes are: the reader gives pages or a finding, and neither panics nor takes long nor grows large.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    match waxbill::inspect::read(bytes) {
        Ok(pages) => {
            assert!(!pages.is_empty());
            for page in &pages {
                // What is reported is a place on paper, never a number that is none.
                assert!(page.width.is_finite() && page.height.is_finite());
                for glyph in &page.glyphs {
                    assert!(glyph.x.is_finite() && glyph.baseline.is_finite() && glyph.em.is_finite());
                    assert!(glyph.face < page.faces.len());
                }
                for over in page.overlaps().into_iter().flatten() {
                    assert!(over.area.left.is_finite() && over.words.iter().all(|word| !word.is_empty()));
                }
                for word in page.lines.iter().flat_map(|line| &line.words) {
                    assert!(word.glyphs.iter().all(|&n| n < page.glyphs.len()));
                }
            }
        }
        Err(finding) => assert!(!finding.message.is_empty() && !finding.cure.is_empty()),
    }
    // The same with codes looked for, so that what is plain of each page is drawn; labels of a sheet are told apart.
    if let Ok(labels) = waxbill::inspect::labels(bytes, 0.4) {
        for label in &labels {
            assert!(label.of >= 1 && label.page.width.is_finite());
            assert!(label.page.overfull == label.page.refused().is_some());
            assert!(label.codes.iter().all(|code| code.module.is_finite() && code.module > 0.0));
        }
    }
});
