//! Counts objects and levels in the raw bytes of a file, before anything follows them. Serves `limits`.

use super::limits::{self, MOST_LEVELS};
use crate::find::Finding;

/// Strings without an end that are looked through; brackets after these count as if there were no strings.
const MOST_UNCLOSED: usize = 100;

/// Refuses bytes whose lists and dictionaries stand within each other too deep.
///
/// What stands in streams is passed over, brackets in strings and remarks are none (ISO 32000-1, 7.2 and 7.3.4).
///
/// # Errors
/// A finding that says so.
pub fn shallow(bytes: &[u8]) -> Result<(), Finding> {
    let (mut at, mut level, mut unclosed) = (0, 0_usize, 0_usize);
    while let Some(&byte) = bytes.get(at) {
        let rest = &bytes[at..];
        at += match byte {
            // Looking for the end again and again of what has none would take for ever.
            b'(' if unclosed < MOST_UNCLOSED => string(rest).unwrap_or_else(|| {
                unclosed += 1;
                1
            }),
            b'%' => rest.iter().position(|b| matches!(b, b'\n' | b'\r')).unwrap_or(rest.len()),
            b'<' if rest.starts_with(b"<<") => {
                level += 1;
                2
            }
            b'[' => {
                level += 1;
                1
            }
            b'>' if rest.starts_with(b">>") => {
                level = level.saturating_sub(1);
                2
            }
            b']' => {
                level = level.saturating_sub(1);
                1
            }
            b's' if rest.starts_with(b"stream") => {
                level = 0;
                limits::find(rest, b"endstream").map_or(rest.len(), |end| end + b"endstream".len())
            }
            b'e' if rest.starts_with(b"endobj") => {
                level = 0;
                b"endobj".len()
            }
            _ => 1,
        };
        if level > MOST_LEVELS {
            let message =
                format!("lists or dictionaries of the PDF stand within each other deeper than {MOST_LEVELS} levels");
            return Err(limits::refused(message, "save the PDF again from the program that drew it"));
        }
    }
    Ok(())
}

/// How long a string is with its brackets, if it ends.
fn string(bytes: &[u8]) -> Option<usize> {
    let (mut open, mut escaped) = (0_usize, false);
    for (n, byte) in bytes.iter().enumerate().take(1 << 16) {
        match byte {
            _ if escaped => escaped = false,
            b'\\' => escaped = true,
            b'(' => open += 1,
            b')' => {
                open -= 1;
                if open == 0 {
                    return Some(n + 1);
                }
            }
            _ => {}
        }
    }
    None
}

/// How many objects a stream of objects says it holds: pairs of whole numbers at its head (ISO 32000-1, 7.5.7).
pub fn objects(stream: &[u8]) -> usize {
    let words = stream.split(u8::is_ascii_whitespace).filter(|word| !word.is_empty());
    words.take_while(|word| word.iter().all(u8::is_ascii_digit)).count() / 2
}

#[cfg(test)]
mod tests {
    use super::{objects, shallow};

    #[test]
    fn brackets_are_counted_where_they_open_lists_and_dictionaries() {
        let deep = |open: &str, times: usize| format!("1 0 obj {} endobj", open.repeat(times));
        for (open, levels) in [("[", 1), ("<<", 1), ("<</A[", 2), ("(a)[", 1), ("[(\\)(\\))", 1), ("[%]\n", 1)] {
            assert!(shallow(deep(open, 100 / levels).as_bytes()).is_ok(), "{open}");
            assert!(shallow(deep(open, 100 / levels + 1).as_bytes()).is_err(), "{open}");
        }
        // In a string, a stream or a remark they are none; nor where each is closed.
        for none in ["([[)", "[]", "<<>>", "%[[[\n"] {
            assert!(shallow(deep(none, 500).as_bytes()).is_ok(), "{none}");
        }
        assert!(shallow(deep("<</Length 9>>stream\n[[[\nendstream ", 500).as_bytes()).is_ok());
        // A string that is never closed hides nothing.
        assert!(shallow(format!("({}", "[".repeat(101)).as_bytes()).is_err());
    }

    #[test]
    fn objects_of_a_stream_are_counted_by_its_head() {
        // ISO 32000-1, 7.5.7, example: "11 0 12 547 13 665" and then the objects.
        assert_eq!(objects(b"11 0 12 547 13 665 <</Type/Font>>"), 3);
        assert_eq!(objects(b"<<>>"), 0);
    }
}
