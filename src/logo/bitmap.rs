//! PNG to black shapes: each run of dark pixels a rectangle, alike runs below each other one. Part of `logo`.

use super::outline::{Filled, Ring};
use super::{Drawn, wrong};
use crate::find::Finding;
use crate::pixel;

/// Most pixels along a side: 6000 are 250 mm at 600 to the inch.
const MOST_SIDE: u32 = 6_000;
/// Most pixels in all.
const MOST_PIXELS: u64 = 16_000_000;

/// Reads a file.
pub fn read(file: &str, bytes: &[u8]) -> Result<Drawn, Finding> {
    let picture = pixel::read(bytes, MOST_SIDE, MOST_PIXELS).map_err(|unread| match unread {
        pixel::Unread::TooLarge(width, height) => wrong(
            file,
            format!("has {width} x {height} pixels; at most {MOST_SIDE} a side and 16 million in all are read"),
            "save it smaller: 1000 pixels across print well at 40 mm",
        ),
        pixel::Unread::Broken(why) => {
            wrong(file, format!("is a damaged PNG: {why}"), "save it again from the program it was drawn with")
        }
    })?;
    let width = picture.width;
    let dark: Vec<bool> = picture.luma.iter().map(|l| *l < 128).collect();
    let mut rings = Vec::new();
    // Runs that go on from the row above: from, to, the row they began in.
    let mut open: Vec<(usize, usize, usize)> = Vec::new();
    let rows = dark.len().checked_div(width).unwrap_or(0);
    for y in 0..=rows {
        let row = dark.get(y * width..(y + 1) * width).unwrap_or(&[]);
        let runs = runs(row);
        let mut now = Vec::new();
        for (from, to) in &runs {
            let began = open.iter().find(|(a, b, _)| a == from && b == to).map_or(y, |(.., began)| *began);
            now.push((*from, *to, began));
        }
        for (from, to, began) in open.iter().filter(|(a, b, _)| !runs.contains(&(*a, *b))) {
            rings.extend(rectangle(*from, *began, *to, y));
        }
        open = now;
        if rings.len() * 3 > super::MOST_PIECES {
            let message = "has more detail than a label prints: more than 40 000 spots";
            return Err(wrong(file, message, "use a plain drawing: a photograph or a scan with grain is none"));
        }
    }
    let shapes = if rings.is_empty() { Vec::new() } else { vec![Filled { colour: [0; 3], even_odd: false, rings }] };
    let rows = u32::try_from(rows).ok().and_then(|_| used_rows(&dark, width));
    Ok(Drawn { shapes, rows, flattened: picture.coloured })
}

/// Rows from the first with ink to the last.
fn used_rows(dark: &[bool], width: usize) -> Option<u32> {
    let inked: Vec<usize> =
        dark.chunks(width.max(1)).enumerate().filter(|(_, row)| row.contains(&true)).map(|(n, _)| n).collect();
    u32::try_from(inked.last()? - inked.first()? + 1).ok()
}

/// Where dark pixels follow each other: from, up to.
fn runs(row: &[bool]) -> Vec<(usize, usize)> {
    let mut runs = Vec::new();
    let mut at = 0;
    for run in row.chunk_by(|a, b| a == b) {
        if run[0] {
            runs.push((at, at + run.len()));
        }
        at += run.len();
    }
    runs
}

fn rectangle(left: usize, top: usize, right: usize, bottom: usize) -> Option<Ring> {
    let [l, t, r, b] = [left, top, right, bottom].map(|n| f64::from(u32::try_from(n).unwrap_or(0)));
    Ring::polygon(&[[l, t], [r, t], [r, b], [l, b]])
}
