//! Writes PNG (ISO/IEC 15948). Part of `pixel`.

use crate::find::Finding;
use png::{BitDepth, ColorType, Compression, Encoder, Filter, PixelDimensions, Unit};

/// Three bytes a pixel, red, green and blue; `pixels` holds `width` times some rows.
///
/// # Errors
/// The writer's, which no picture that fits the memory causes.
pub fn colour(width: usize, pixels: &[[u8; 3]], per_metre: u32) -> Result<Vec<u8>, Finding> {
    let rows = pixels.len() / width.max(1);
    encode(width, rows, (ColorType::Rgb, BitDepth::Eight), per_metre, pixels.as_flattened())
}

/// One bit a dot, 0 black and 1 white (11.2.2: greyscale of depth 1), eight to a byte from the left, each row beginning a byte.
///
/// # Errors
/// As [`colour`].
pub fn one_bit(width: usize, rows: usize, bits: &[u8], per_metre: u32) -> Result<Vec<u8>, Finding> {
    encode(width, rows, (ColorType::Grayscale, BitDepth::One), per_metre, bits)
}

fn encode(
    width: usize,
    rows: usize,
    of: (ColorType, BitDepth),
    per_metre: u32,
    data: &[u8],
) -> Result<Vec<u8>, Finding> {
    let broken = |what: &dyn std::fmt::Display| {
        Finding::input("file/picture", format!("the PNG cannot be written: {what}"), "choose a smaller picture")
    };
    let side = |n: usize| u32::try_from(n).map_err(|e| broken(&e));
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, side(width)?, side(rows)?);
    encoder.set_color(of.0);
    encoder.set_depth(of.1);
    encoder.set_compression(Compression::Balanced);
    encoder.set_filter(if of.1 == BitDepth::One { Filter::NoFilter } else { Filter::Adaptive });
    encoder.set_pixel_dims(Some(PixelDimensions { xppu: per_metre, yppu: per_metre, unit: Unit::Meter }));
    let mut writer = encoder.write_header().map_err(|e| broken(&e))?;
    writer.write_image_data(data).map_err(|e| broken(&e))?;
    writer.finish().map_err(|e| broken(&e))?;
    Ok(bytes)
}
