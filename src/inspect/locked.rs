//! Takes the lock off files that are encrypted with an empty password, before `limits` and `read` look into them.
//!
//! Such a file opens in any viewer without a question, so a maker may not know of the lock. What lies in it is bounded
//! while it is unlocked as everything else is afterwards.

use super::limits;
use crate::find::Finding;
use lopdf::{Document, LoadOptions};
use std::borrow::Cow;

/// Largest locked file that is opened.
const MOST_BYTES: usize = 5 << 20;
/// Most streams in it: each may hold objects, which are unpacked at once.
const MOST_STREAMS: usize = 200;
/// Most that one of its streams of objects may unpack to.
const MOST_UNPACKED: usize = 512 << 10;

/// The file without its encryption; the bytes themselves if it has none.
///
/// # Errors
/// A finding when a password is needed, or when the file is too large to be unlocked safely.
pub fn opened(bytes: &[u8]) -> Result<Cow<'_, [u8]>, Finding> {
    if !limits::names(bytes).any(|n| n == b"Encrypt") {
        return Ok(Cow::Borrowed(bytes));
    }
    let refused = |message: &str| Finding::input("file/pdf", message, "save the PDF without a password");
    let streams = bytes.windows(6).filter(|w| w == b"stream").take(2 * MOST_STREAMS + 1).count();
    if bytes.len() > MOST_BYTES || streams > 2 * MOST_STREAMS {
        return Err(refused("the PDF is encrypted and too large to be unlocked"));
    }
    let options = LoadOptions {
        password: Some(String::new()),
        max_decompressed_size: Some(MOST_UNPACKED),
        ..LoadOptions::default()
    };
    let mut document = Document::load_mem_with_options(bytes, options)
        .map_err(|_| refused("the PDF is encrypted and asks for a password"))?;
    if document.is_encrypted() {
        return Err(refused("the PDF is encrypted and asks for a password"));
    }
    document.trailer.remove(b"Encrypt");
    let mut plain = Vec::new();
    document.save_to(&mut plain).map_err(|_| refused("the PDF is encrypted and cannot be unlocked"))?;
    Ok(Cow::Owned(plain))
}
