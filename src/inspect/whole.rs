//! Whether a file is there to its end: what was cut off or damaged on its way is read as far as it goes, and that is told. Part
//! of `inspect`.

use crate::find::{Finding, Level};

/// The mark of the end stands within so many bytes of it (ISO 32000-1, annex H, 18: what readers put up with).
const END: usize = 1024;

/// What is wrong with the end of the file, if anything is: ISO 32000-1, 7.5.5, wants `startxref`, a place and `%%EOF` there.
#[must_use]
pub fn incomplete(bytes: &[u8]) -> Option<Finding> {
    let tail = &bytes[bytes.len().saturating_sub(END)..];
    let Some(end) = last(tail, b"%%EOF") else {
        let message = "the file is damaged or incomplete: its end is missing, and what was lost cannot be judged";
        let cure = "send or save the file once more, and check that; findings below may come of what is missing";
        return Some(Finding::input("label/damaged", message, cure));
    };
    if last(&tail[..end], b"startxref").is_some_and(|at| points_to_a_list(bytes, &tail[at + 9..end])) {
        return None;
    }
    let message = "the file may be damaged: its list of contents is not where it should be, and was made anew";
    let cure = "save it once more from the program that drew it if something is missing below";
    let mut finding = Finding::input("label/damaged", message, cure);
    finding.level = Level::Note;
    Some(finding)
}

fn last(bytes: &[u8], word: &[u8]) -> Option<usize> {
    bytes.windows(word.len()).rposition(|w| w == word)
}

/// Whether a list of contents, or an object that holds one, stands at the place; counted from the head of the PDF too, for
/// bytes before it shift all places.
fn points_to_a_list(bytes: &[u8], place: &[u8]) -> bool {
    let Some(place) = std::str::from_utf8(place).ok().and_then(|t| t.trim().parse::<usize>().ok()) else {
        return false;
    };
    let head = bytes[..bytes.len().min(END)].windows(5).position(|w| w == b"%PDF-").unwrap_or(0);
    [0, head].into_iter().any(|shift| {
        let there = place.checked_add(shift).and_then(|at| bytes.get(at..)).unwrap_or(&[]).trim_ascii_start();
        there.starts_with(b"xref") || there.first().is_some_and(u8::is_ascii_digit)
    })
}

/// What a file that is no PDF is instead, told by its first bytes, in words for people.
#[must_use]
pub fn kind(bytes: &[u8]) -> Option<&'static str> {
    let is = |head: &[u8]| bytes.starts_with(head);
    Some(match () {
        () if bytes.is_empty() => "empty",
        () if is(b"\x89PNG\r\n\x1a\n") => "a PNG picture",
        () if is(b"\xFF\xD8\xFF") => "a JPEG picture",
        () if is(b"GIF8") => "a GIF picture",
        () if is(b"II*\0") || is(b"MM\0*") => "a TIFF picture",
        () if is(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") => "a WebP picture",
        () if is(b"PK\x03\x04") => "a ZIP archive or the document of an office program",
        () if is(b"%!PS") => "a PostScript file",
        () if bytes.trim_ascii_start().starts_with(b"<svg") => "an SVG drawing",
        () => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::super::tests::{GOOD, page, stream};
    use super::*;

    /// ISO 32000-1, 7.5.5 and annex H.
    #[test]
    fn cut_off_file_is_told_and_a_whole_one_is_not() {
        let whole = page("", "", stream("", GOOD.as_bytes()), &[]);
        assert!(incomplete(&whole).is_none());
        // Bytes of a mail before it, lines after it.
        assert!(incomplete(&[b"From here on:\n".as_slice(), &whole, b"\n\n"].concat()).is_none());
        let cut = incomplete(&whole[..whole.len() - 10]).unwrap();
        assert!(cut.level == Level::Error && cut.message.contains("its end is missing"), "{cut:?}");
        let moved = String::from_utf8(whole).unwrap().replace("startxref\n", "startxref\n9");
        let found = incomplete(moved.as_bytes()).unwrap();
        assert!(found.level == Level::Note && found.message.contains("made anew"), "{found:?}");
    }
}
