//! Reads PNG within bounds that are looked at before anything is unpacked. Part of `pixel`.

use png::{ColorType, Decoder, Limits, Transformations};
use std::io::Cursor;

/// A picture in shades.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shades {
    /// Pixels in a row.
    pub width: usize,
    /// Each pixel on white paper, row by row: 0 black to 255 white.
    pub luma: Vec<u8>,
    /// Whether there were colours or shades between black and white over larger stretches.
    pub coloured: bool,
}

/// Why a picture was not read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unread {
    /// Its width and height.
    TooLarge(u32, u32),
    /// What the reader says.
    Broken(String),
}

/// Reads a PNG of at most so many pixels a side and in all, in shades on white paper.
///
/// # Errors
/// The picture is too large, which its first bytes tell, or broken.
pub fn read(bytes: &[u8], most_side: u32, most_pixels: u64) -> Result<Shades, Unread> {
    let broken = |e: png::DecodingError| Unread::Broken(e.to_string());
    let mut decoder = Decoder::new_with_limits(Cursor::new(bytes), Limits { bytes: 64 << 20 });
    let header = decoder.read_header_info().map_err(broken)?;
    let (width, height) = (header.width, header.height);
    if width > most_side || height > most_side || u64::from(width) * u64::from(height) > most_pixels {
        return Err(Unread::TooLarge(width, height));
    }
    decoder.set_transformations(Transformations::normalize_to_color8());
    let mut reader = decoder.read_info().map_err(broken)?;
    let size = reader.output_buffer_size().ok_or_else(|| Unread::Broken("it has no size".to_owned()))?;
    let mut pixels = vec![0; size];
    let info = reader.next_frame(&mut pixels).map_err(broken)?;
    let samples = match info.color_type {
        ColorType::Grayscale => 1,
        ColorType::GrayscaleAlpha => 2,
        ColorType::Rgb => 3,
        ColorType::Rgba => 4,
        ColorType::Indexed => return Err(Unread::Broken("its palette cannot be read".to_owned())),
    };
    let on_white = |p: &[u8]| {
        let alpha = if samples % 2 == 0 { u32::from(p[samples - 1]) } else { 255 };
        let channel = |n: usize| (u32::from(p[n]) * alpha + 255 * (255 - alpha) + 127) / 255;
        match samples {
            1 | 2 => [channel(0); 3],
            _ => [channel(0), channel(1), channel(2)],
        }
    };
    let seen: Vec<[u32; 3]> = pixels[..info.buffer_size().min(size)].chunks_exact(samples).map(on_white).collect();
    // Luma of ITU-R BT.601.
    let shade = |[r, g, b]: &[u32; 3]| u8::try_from((r * 299 + g * 587 + b * 114) / 1000).unwrap_or(u8::MAX);
    let strong = |p: &&[u32; 3]| p.iter().max().zip(p.iter().min()).is_some_and(|(a, b)| a - b > 40);
    let between = |p: &&[u32; 3]| (40..216).contains(&shade(p));
    // The soft edges of a drawing in black and white are a small part of it.
    let coloured = seen.iter().any(|p| strong(&p)) || seen.iter().filter(between).count() * 10 > seen.len();
    Ok(Shades { width: info.width as usize, luma: seen.iter().map(shade).collect(), coloured })
}
