//! A maker's logo: the bytes of a PNG or SVG file to shapes of plain colour. Knows neither products nor labels.
//!
//! After `pixel`, before `product`. Shapes are all that a label prints, so that black stays black ink alone, a thermal printer
//! needs no half-tones, and a logo is as sharp as its drawing. Everything is bounded before it is unpacked; what is not read is
//! refused by name, never left out.

mod bitmap;
mod outline;
mod path;
mod svg;

#[cfg(test)]
mod tests;

use crate::find::Finding;
use serde::{Serialize, Serializer};
use sha2::{Digest, Sha256};
use std::fmt::Write;
use std::sync::Arc;

/// Largest file read.
pub const MOST_BYTES: usize = 4 << 20;
/// Most pieces of outline in a logo: a label's page holds many more, and a logo of more is a photograph.
const MOST_PIECES: usize = 120_000;
/// The longer side of a logo in its own units.
const UNITS: f64 = 1_000_000.0;

/// A logo, ready to be drawn at any size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Logo {
    /// Name of its file.
    pub file: String,
    /// SHA-256 of its file, so that a label with another logo is another label.
    pub digest: String,
    /// Width of its ink in its own units.
    pub width: i64,
    /// Height of its ink in its own units.
    pub height: i64,
    /// Rows of pixels, where it is made of pixels.
    pub rows: Option<u32>,
    /// Whether colours of a PNG were made black and white.
    pub flattened: bool,
    /// In drawing order.
    #[serde(skip)]
    pub shapes: Vec<Shape>,
}

/// Writes a shared logo as the logo itself.
///
/// # Errors
/// The writer's.
pub fn shared<S: Serializer>(logo: &Arc<Logo>, to: S) -> Result<S::Ok, S::Error> {
    logo.as_ref().serialize(to)
}

/// Outlines filled with one colour.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shape {
    /// Red, green and blue.
    pub colour: [u8; 3],
    /// Rings cut holes by the even-odd rule; else the nonzero rule holds.
    pub even_odd: bool,
    /// Closed outlines.
    pub rings: Vec<Ring>,
}

impl Shape {
    /// Left, top, right and bottom; handles of curves, which lie close to them, are counted.
    #[must_use]
    pub fn extent(&self) -> Option<[i64; 4]> {
        let ends = |r: &Ring| {
            let pieces = r.to.iter().flat_map(|p| match *p {
                Piece::Line(p) => [p, p, p],
                Piece::Curve(a, b, p) => [a, b, p],
            });
            std::iter::once(r.start).chain(pieces).collect::<Vec<At>>()
        };
        self.rings.iter().flat_map(ends).fold(None, |all: Option<[i64; 4]>, [x, y]| {
            let [l, t, r, b] = all.unwrap_or([x, y, x, y]);
            Some([l.min(x), t.min(y), r.max(x), b.max(y)])
        })
    }
}

/// A closed outline in the logo's units, from the upper left of its ink, y down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ring {
    /// Where it starts and ends.
    pub start: At,
    /// Where it goes.
    pub to: Vec<Piece>,
}

/// A place: right and down.
pub type At = [i64; 2];

/// A piece of an outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Piece {
    /// Straight.
    Line(At),
    /// Cubic Bézier: two control points, then the end.
    Curve(At, At, At),
}

/// Reads a logo by what its bytes are, whatever its file is called.
///
/// # Errors
/// What is wrong with the file, or what in it is not read, and how to save it instead.
pub fn read(file: &str, bytes: &[u8]) -> Result<Logo, Finding> {
    if bytes.len() > MOST_BYTES {
        return Err(too_large(file, bytes.len() as u64));
    }
    let digest = Sha256::digest(bytes).iter().fold(String::new(), |mut out, byte| {
        // Writing to a text cannot fail.
        let _ = write!(out, "{byte:02x}");
        out
    });
    let drawn = if bytes.starts_with(b"\x89PNG") {
        bitmap::read(file, bytes)?
    } else if looks_like_xml(bytes) {
        svg::read(file, bytes)?
    } else {
        return Err(wrong(
            file,
            "is neither a PNG nor an SVG file".to_owned(),
            "save the logo as PNG, or as plain SVG",
        ));
    };
    drawn.logo(file, digest)
}

/// The file is larger than is read.
#[must_use]
pub fn too_large(file: &str, bytes: u64) -> Finding {
    let message = format!("is {} MB large; at most {} MB are read", bytes.div_ceil(1 << 20), MOST_BYTES >> 20);
    wrong(file, message, "save the logo smaller: 1000 pixels across print well at 40 mm")
}

fn looks_like_xml(bytes: &[u8]) -> bool {
    let text = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    text.iter().find(|b| !b.is_ascii_whitespace()) == Some(&b'<')
}

fn wrong(file: &str, message: impl std::fmt::Display, cure: &str) -> Finding {
    Finding::input("file/logo", format!("the logo `{file}` {message}"), cure)
}

/// A logo in whatever units its file has.
struct Drawn {
    shapes: Vec<outline::Filled>,
    rows: Option<u32>,
    flattened: bool,
}

impl Drawn {
    /// Moves and scales everything so that the ink begins at the corner and its longer side has [`UNITS`].
    fn logo(self, file: &str, digest: String) -> Result<Logo, Finding> {
        let pieces: usize = self.shapes.iter().flat_map(|s| &s.rings).map(|r| r.to.len()).sum();
        if pieces > MOST_PIECES {
            let message = format!("has {pieces} pieces of outline; at most {MOST_PIECES} are printed");
            return Err(wrong(file, message, "use a plain drawing: a photograph or a scan with grain is none"));
        }
        let Some([left, top, right, bottom]) = outline::extent(&self.shapes) else {
            return Err(wrong(file, "shows nothing", "save it with its shapes filled with a colour"));
        };
        let (width, height) = (right - left, bottom - top);
        // Written so that what is no number is refused.
        let sound =
            width > 1e-6 && height > 1e-6 && width.max(height) < 1e9 && (0.02..=50.0).contains(&(width / height));
        if !sound {
            let message = "has no width or no height, or one is more than 50 times the other";
            return Err(wrong(file, message, "save the drawing by itself, without the page round it"));
        }
        let scale = UNITS / width.max(height);
        #[expect(clippy::cast_possible_truncation, reason = "within the extent, which has at most UNITS")]
        let at = |[x, y]: [f64; 2]| [((x - left) * scale).round() as i64, ((y - top) * scale).round() as i64];
        let piece = |p: &outline::Piece| match *p {
            outline::Piece::Line(p) => Piece::Line(at(p)),
            outline::Piece::Curve(a, b, p) => Piece::Curve(at(a), at(b), at(p)),
        };
        let ring = |r: &outline::Ring| Ring { start: at(r.start), to: r.to.iter().map(piece).collect() };
        let shapes = self.shapes.iter().map(|s| Shape {
            colour: s.colour,
            even_odd: s.even_odd,
            rings: s.rings.iter().map(ring).collect(),
        });
        let [width, height] = at([right, bottom]);
        Ok(Logo {
            file: file.to_owned(),
            digest,
            width,
            height,
            rows: self.rows,
            flattened: self.flattened,
            shapes: shapes.collect(),
        })
    }
}
