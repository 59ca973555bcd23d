//! Refuses files that would cost too much to read, before `read` hands the bytes to the PDF reader.
//!
//! The PDF reader sets no bounds of its own when it inflates a stream, so every stretch of the file that could be
//! taken for a compressed stream is inflated here first, in small pieces and without keeping them.

use super::structure;
use super::unpack;
use super::whole;
use crate::find::Finding;
use flate2::{Decompress, FlushDecompress, Status};

/// Largest file read.
pub const MOST_BYTES: usize = 20 << 20;
/// Most pages read.
pub const MOST_PAGES: usize = 200;
/// Most objects of a file, those in streams of objects counted.
pub const MOST_OBJECTS: usize = 100_000;
/// Deepest nesting of lists and dictionaries.
pub const MOST_LEVELS: usize = 100;
/// Most that all streams of a file may inflate to, together.
pub const MOST_INFLATED: usize = 96 << 20;
/// Longest side of a page in mm: 14 400 points (ISO 32000-1, annex C.2, table C.1).
pub const MOST_SIDE: f64 = 5080.0;
/// Most glyphs, painted paths or pictures on one page.
pub const MOST_MARKS: usize = 20_000;
/// Most corners of all painted paths of one page.
pub const MOST_CORNERS: usize = 400_000;
/// Longest a command may take over a stranger's file, in seconds of processor time; kept by `cli`, which watches the reading.
pub const MOST_SECONDS: u64 = 20;
/// Most memory it may take, in bytes.
pub const MOST_MEMORY: u64 = 1 << 30;
/// Most streams compressed within a compressed stream.
const MOST_LAYERS: usize = 3;

pub fn refused(message: String, cure: &str) -> Finding {
    Finding::input("file/pdf", message, cure)
}

/// Checks the size of the file, and whether it is a PDF at all.
///
/// # Errors
/// A finding that says so.
pub fn check_outside(bytes: &[u8]) -> Result<(), Finding> {
    if bytes.len() > MOST_BYTES {
        return Err(refused(
            format!("the PDF is {} MB large; at most {} MB are read", bytes.len() >> 20, MOST_BYTES >> 20),
            "write the pages to smaller files",
        ));
    }
    if find(&bytes[..bytes.len().min(1024)], b"%PDF-").is_none() {
        let Some(kind) = whole::kind(bytes) else {
            return Err(refused("the file is not a PDF".into(), "give the PDF file of the label"));
        };
        let cure = "save the label as a PDF, with its letters as text, and give that";
        return Err(refused(format!("the file is {kind}, and not a PDF"), cure));
    }
    Ok(())
}

/// Checks the raw bytes of an unlocked file: how many objects it has, how deep they nest, what all its streams unpack to.
///
/// # Errors
/// A finding that says which bound the file breaks.
pub fn check(bytes: &[u8]) -> Result<(), Finding> {
    let mut budget = Budget::new();
    budget.object(
        bytes.windows(5).filter(|w| *w == b" obj\n" || *w == b" obj\r" || *w == b" obj " || *w == b" obj<").count(),
    )?;
    structure::shallow(bytes)?;
    streams(bytes, &mut budget, 0)
}

/// Checks everything in the bytes that may be a stream.
fn streams(bytes: &[u8], budget: &mut Budget, layer: usize) -> Result<(), Finding> {
    let mut at = 0;
    let mut last_dictionary = 0;
    while let Some(found) = find(&bytes[at..], b"stream") {
        let start = at + found;
        at = start + b"stream".len();
        if bytes[..start].ends_with(b"end") {
            last_dictionary = at;
            continue;
        }
        stream(&bytes[last_dictionary..start], &bytes[at..], budget, layer)?;
    }
    Ok(())
}

/// How many bytes one picture unpacks to, of at most `left`; it may stand within a page's own content where [`check`] did
/// not see it.
///
/// # Errors
/// As [`check`], and for codings whose cost the picture's own data decides.
pub fn picture(dictionary: &[u8], data: &[u8], left: usize) -> Result<usize, Finding> {
    if names(dictionary).any(|n| [b"JPXDecode".as_slice(), b"JBIG2Decode"].contains(&n.as_slice())) {
        return Err(refused("the PDF holds a picture with a coding that is not read".into(), "use another coding"));
    }
    let most = left.min(MOST_INFLATED);
    let mut budget = Budget { inflated: most, ..Budget::new() };
    stream(dictionary, data, &mut budget, 0)?;
    Ok(most - budget.inflated)
}

/// What is left of the bounds while a file is checked.
struct Budget {
    inflated: usize,
    scanned: usize,
    objects: usize,
    piece: Vec<u8>,
}

impl Budget {
    fn new() -> Self {
        Self { inflated: MOST_INFLATED, scanned: MOST_INFLATED, objects: MOST_OBJECTS, piece: vec![0; 1 << 16] }
    }
    fn object(&mut self, more: usize) -> Result<(), Finding> {
        self.objects = self.objects.checked_sub(more).ok_or_else(|| {
            let message = format!("the PDF is made of more than {MOST_OBJECTS} objects");
            refused(message, "write the pages to smaller files")
        })?;
        Ok(())
    }
    fn scan(&mut self, bytes: usize) -> Result<(), Finding> {
        self.scanned = self
            .scanned
            .checked_sub(bytes)
            .ok_or_else(|| refused("the PDF is made of too many pieces to be read".into(), "make the PDF anew"))?;
        Ok(())
    }
    fn inflate(&mut self, bytes: usize) -> Result<(), Finding> {
        self.inflated = self.inflated.checked_sub(bytes).ok_or_else(bomb)?;
        Ok(())
    }
}

fn bomb() -> Finding {
    refused(
        format!("the streams of the PDF unpack to more than {} MB", MOST_INFLATED >> 20),
        "make the PDF anew; a label never needs that much",
    )
}

fn packed() -> Finding {
    refused("the PDF holds a stream that is packed several times over".into(), "make the PDF anew")
}

/// Checks one possible stream: what stands before the keyword, and the data after it.
fn stream(dictionary: &[u8], data: &[u8], budget: &mut Budget, layer: usize) -> Result<(), Finding> {
    budget.scan(dictionary.len())?;
    let is = |wanted: &[&[u8]]| names(dictionary).filter(|n| wanted.contains(&n.as_slice())).count();
    let data = [b"\r\n".as_slice(), b"\n", b"\r"].iter().find_map(|end| data.strip_prefix(*end)).unwrap_or(data);
    let (base_85, hexadecimal) = (is(&[b"ASCII85Decode", b"A85"]), is(&[b"ASCIIHexDecode", b"AHx"]));
    let (lzw, runs) = (is(&[b"LZWDecode", b"LZW"]), is(&[b"RunLengthDecode", b"RL"]));
    if lzw + runs > 0 && (lzw + runs + is(FLATE) > 1 || layer > 0) || base_85 + hexadecimal > 1 {
        return Err(packed());
    }
    let own = (base_85 + hexadecimal > 0).then(|| from_ascii(data, base_85 > 0));
    if let Some(decoded) = &own {
        budget.scan(decoded.len())?;
    }
    let data = own.as_deref().unwrap_or(data);
    if lzw > 0 {
        return budget.inflate(unpack::lzw(data, budget.inflated));
    }
    if runs > 0 {
        return budget.inflate(unpack::run_length(data));
    }
    // The names of the filters may stand elsewhere in the file.
    let times = is(FLATE).max(usize::from(filter_elsewhere(dictionary)));
    inflate(data, budget, layer, times, is(&[b"ObjStm"]) > 0)
}

/// Names of deflate compression.
const FLATE: &[&[u8]] = &[b"FlateDecode", b"Fl"];

/// Whether the dictionary gives its filters by a reference, so that they are not to be seen here.
fn filter_elsewhere(dictionary: &[u8]) -> bool {
    let name = |at: usize| names(&dictionary[at..]).next().is_some_and(|n| n == b"Filter" || n == b"F");
    (0..dictionary.len()).filter(|&at| dictionary[at] == b'/' && name(at)).any(|at| {
        let rest = &dictionary[at + 1..];
        let value = rest.iter().position(|b| b.is_ascii_whitespace() || b"[/(<0123456789".contains(b));
        let value = rest[value.unwrap_or(rest.len())..].trim_ascii_start();
        let inner = value.strip_prefix(b"[").map_or(value, <[u8]>::trim_ascii_start);
        inner.first().is_some_and(u8::is_ascii_digit)
    })
}

/// Inflates what may be zlib data, and what comes out if that may be zlib data again; keeps only what is looked into.
///
/// `times`: so often the file says that it is deflated, so the reader will get out of it what it can, however damaged; what is
/// damaged and has a further layer is refused, for what comes out of it is not known here. `objects`: it holds objects, which
/// may be streams again.
fn inflate(data: &[u8], budget: &mut Budget, layer: usize, times: usize, objects: bool) -> Result<(), Finding> {
    // Zlib (RFC 1950): method 8 in the low half of the first byte, and the first two bytes are a multiple of 31.
    let [first, second, ..] = data else { return Ok(()) };
    let headed = first & 0x0f == 8 && (u16::from(*first) * 256 + u16::from(*second)) % 31 == 0;
    let forgiving = |budget: &mut Budget| {
        if times > 1 {
            return Err(packed());
        }
        budget.scan(data.len())?;
        let most = budget.inflated;
        let bare = unpack::inflated(data, most);
        budget.inflate(if headed { bare.max(unpack::inflated(&data[2..], most)) } else { bare })
    };
    if !headed {
        return if times > 0 { forgiving(budget) } else { Ok(()) };
    }
    if layer >= MOST_LAYERS {
        return Err(bomb());
    }
    let mut inflater = Decompress::new(true);
    let mut kept: Vec<u8> = Vec::new();
    let mut again = objects || times > 1;
    let whole = loop {
        let (read, written) = (inflater.total_in(), inflater.total_out());
        let from = usize::try_from(read).unwrap_or(usize::MAX).min(data.len());
        let status = inflater.decompress(&data[from..], &mut budget.piece, FlushDecompress::None);
        let out = usize::try_from(inflater.total_out() - written).unwrap_or(usize::MAX);
        budget.inflate(out)?;
        let piece = &budget.piece;
        if written == 0 && out >= 2 {
            again |= piece[0] & 0x0f == 8 && (u16::from(piece[0]) * 256 + u16::from(piece[1])) % 31 == 0;
        }
        if again {
            kept.extend_from_slice(&piece[..out.min(piece.len())]);
        }
        match status {
            Ok(Status::StreamEnd) => break true,
            Err(_) => break false,
            Ok(_) if out == 0 && inflater.total_in() == read => break false,
            Ok(_) => {}
        }
    };
    if !whole && times > 0 {
        forgiving(budget)?;
    }
    if objects {
        budget.object(structure::objects(&kept))?;
        structure::shallow(&kept)?;
        streams(&kept, budget, layer + 1)?;
    }
    if again { inflate(&kept, budget, layer + 1, times.saturating_sub(1), false) } else { Ok(()) }
}

/// The bytes behind ASCII base 85 or hexadecimal digits, up to the end mark.
fn from_ascii(data: &[u8], base_85: bool) -> Vec<u8> {
    let (base, size, bytes) = if base_85 { (85_u64, 5, 4) } else { (16, 2, 1) };
    let mut out = Vec::new();
    let (mut value, mut digits) = (0_u64, 0);
    for &c in data {
        let digit = match c {
            b'~' | b'>' => break,
            b'z' if base_85 && digits == 0 => {
                out.extend([0; 4]);
                continue;
            }
            b'!'..=b'u' if base_85 => u64::from(c - b'!'),
            _ if !base_85 && c.is_ascii_hexdigit() => (c as char).to_digit(16).map_or(0, u64::from),
            _ => continue,
        };
        value = value * base + digit;
        digits += 1;
        if digits == size {
            out.extend_from_slice(&value.to_be_bytes()[8 - bytes..]);
            (value, digits) = (0, 0);
        }
    }
    out
}

/// Where `needle` first stands.
pub fn find(bytes: &[u8], needle: &[u8]) -> Option<usize> {
    let first = *needle.first()?;
    let mut at = 0;
    loop {
        at += bytes[at..].iter().position(|b| *b == first)?;
        if bytes[at..].starts_with(needle) {
            return Some(at);
        }
        at += 1;
    }
}

/// Every PDF name in the bytes, with `#xx` written out (ISO 32000-1, 7.3.5).
pub fn names(bytes: &[u8]) -> impl Iterator<Item = Vec<u8>> + '_ {
    bytes.iter().enumerate().filter(|(_, b)| **b == b'/').map(|(at, _)| {
        let mut name = Vec::new();
        let mut rest = bytes[at + 1..].iter().take(64);
        while let Some(&c) = rest.next() {
            match c {
                b'#' => {
                    let digits = [rest.next(), rest.next()].map(|d| d.and_then(|d| (*d as char).to_digit(16)));
                    if let [Some(a), Some(b)] = digits {
                        name.extend(u8::try_from(a * 16 + b));
                    }
                }
                c if c.is_ascii_whitespace() || c == 0 || b"()<>[]{}/%".contains(&c) => break,
                c => name.push(c),
            }
        }
        name
    })
}
