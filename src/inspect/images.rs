//! Whether the pictures of a page can be unpacked and drawn within the bounds. Serves `note`.
//!
//! What a picture costs is told in several places that need not agree: its size in the dictionary, the rows and columns of
//! its coding, the head of its own data, its mask. The largest counts, each time it is drawn.

use super::limits;
use hayro::hayro_syntax::object::{Array, Dict, Stream};
use std::collections::BTreeMap;

/// Most pixels of one picture.
pub const MOST_PIXELS: u64 = 25_000_000;
/// Most pixels of all pictures of a page, counted as often as drawn.
pub const MOST_DRAWN: u64 = 2 * MOST_PIXELS;
/// Most bytes that they unpack to, counted as often as drawn.
const MOST_UNPACKED: u64 = 256 << 20;

/// What the pictures of a page cost so far.
#[derive(Debug, Default)]
pub struct Images {
    pixels: u64,
    unpacked: u64,
    /// Pixels and unpacked bytes of each, `None` if it is beyond the bounds by itself.
    known: BTreeMap<(u32, i32, usize), Option<(u64, u64)>>,
}

impl Images {
    /// Whether one more can be drawn.
    pub fn fits(&mut self, stream: &Stream<'_>, width: u32, height: u32) -> bool {
        let id = stream.obj_id();
        let data = stream.raw_data();
        let key = (id.obj_number, id.gen_number, data.len());
        let cost = match self.known.get(&key).filter(|_| id.obj_number != 0) {
            Some(cost) => *cost,
            None => {
                let left = MOST_UNPACKED.saturating_sub(self.unpacked);
                let cost = cost(stream, width, height, left);
                self.known.insert(key, cost);
                cost
            }
        };
        let Some((pixels, unpacked)) = cost else { return false };
        self.pixels = self.pixels.saturating_add(pixels);
        self.unpacked = self.unpacked.saturating_add(unpacked);
        self.pixels <= MOST_DRAWN && self.unpacked <= MOST_UNPACKED
    }
}

/// Pixels and unpacked bytes of a picture with its masks; `None` if either is beyond the bounds.
fn cost(stream: &Stream<'_>, width: u32, height: u32, left: u64) -> Option<(u64, u64)> {
    let (mut pixels, mut unpacked) = alone(stream, width, height, left)?;
    for name in [b"SMask".as_slice(), b"Mask"] {
        let Some(mask) = stream.dict().get::<Stream<'_>>(name) else { continue };
        let side = |key: &[u8]| mask.dict().get::<u32>(key).unwrap_or(u32::MAX);
        let (more, bytes) = alone(&mask, side(b"Width"), side(b"Height"), left.saturating_sub(unpacked))?;
        (pixels, unpacked) = (pixels + more, unpacked + bytes);
    }
    Some((pixels, unpacked))
}

fn alone(stream: &Stream<'_>, width: u32, height: u32, left: u64) -> Option<(u64, u64)> {
    let dict = stream.dict();
    let data = stream.raw_data();
    let parts = [b"DecodeParms".as_slice(), b"DP"].into_iter().flat_map(|key| {
        let several = dict.get::<Array<'_>>(key).map(|all| all.iter::<Dict<'_>>().collect::<Vec<_>>());
        several.unwrap_or_else(|| dict.get::<Dict<'_>>(key).into_iter().collect())
    });
    let columns = parts.map(|part| part.get::<u32>(b"Columns".as_slice()).unwrap_or(0)).max().unwrap_or(0);
    let (own_width, own_height) = jpeg(&data).unwrap_or((0, 0));
    let pixels = u64::from(width.max(columns).max(own_width)).checked_mul(u64::from(height.max(own_height)))?;
    if pixels > MOST_PIXELS {
        return None;
    }
    let unpacked = limits::picture(dict.data(), &data, usize::try_from(left).ok()?).ok()?;
    Some((pixels, u64::try_from(unpacked).ok()?))
}

/// Width and height as the head of JPEG data tells them (ISO/IEC 10918-1, B.2.2), the largest of several.
fn jpeg(data: &[u8]) -> Option<(u32, u32)> {
    if !data.starts_with(&[0xff, 0xd8]) {
        return None;
    }
    let frames =
        data.windows(9).filter(|w| w[0] == 0xff && matches!(w[1], 0xc0..=0xcf) && !matches!(w[1], 0xc4 | 0xc8 | 0xcc));
    let size = |w: &[u8]| (u32::from(u16::from_be_bytes([w[7], w[8]])), u32::from(u16::from_be_bytes([w[5], w[6]])));
    // What looks like a head within the compressed data is no harm: it may only make the picture count as larger if its
    // length fits that of a frame's head as well.
    let whole = frames.filter(|w| (11..=20).contains(&u16::from_be_bytes([w[2], w[3]])));
    whole.map(size).reduce(|a, b| (a.0.max(b.0), a.1.max(b.1)))
}
