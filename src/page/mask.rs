//! QR codes (ISO/IEC 18004) as modules, with the mask of the lowest penalty. Part of `page`, used by `code` and `unit`.
//!
//! Choosing among the eight masks takes most of the time of making a code where every module is looked at by itself. Here a
//! row is one number: the masked symbol is the data, found once, with the template of the mask laid over it (exclusive or),
//! and runs, blocks and false finder patterns of a whole row are counted at once. A test holds the choice against the crate's.

use qrcode::bits::encode_auto;
use qrcode::canvas::{Canvas, MaskPattern};
use qrcode::ec::construct_codewords;
use qrcode::{Color, EcLevel, QrCode, Version};
use std::collections::BTreeMap;

/// The eight masks in the order of their numbers; the first of equals is taken.
const PATTERNS: [MaskPattern; 8] = [
    MaskPattern::Checkerboard,
    MaskPattern::HorizontalLines,
    MaskPattern::VerticalLines,
    MaskPattern::DiagonalLines,
    MaskPattern::LargeCheckerboard,
    MaskPattern::Fields,
    MaskPattern::Diamonds,
    MaskPattern::Meadow,
];
/// A row must fit into a number of 64 bits: up to version 11 (61 modules).
const WIDEST: usize = 64;

/// Makes codes of level M; what is the same for all codes of a version is kept.
#[derive(Default)]
pub(super) struct Encoder(BTreeMap<usize, Templates>);

/// A code without data under each mask: rows, and the same by columns.
struct Templates([(Vec<u64>, Vec<u64>); 8]);

/// A finished code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Symbol {
    /// Modules along a side.
    pub side: usize,
    /// Dark or light, row by row.
    pub dark: Vec<bool>,
}

impl Symbol {
    /// Each horizontal run of dark modules: column, row, length.
    pub fn runs(&self) -> impl Iterator<Item = (usize, usize, usize)> + '_ {
        self.dark.chunks(self.side.max(1)).enumerate().flat_map(|(row, line)| {
            let mut column = 0;
            line.chunk_by(|a, b| a == b).filter_map(move |run| {
                let begins = column;
                column += run.len();
                run[0].then_some((begins, row, run.len()))
            })
        })
    }
}

impl Encoder {
    /// The smallest code that holds the payload; `None` where none does.
    pub fn encode(&mut self, payload: &str) -> Option<Symbol> {
        let bits = encode_auto(payload.as_bytes(), EcLevel::M).ok()?;
        let version = bits.version();
        let side = usize::try_from(version.width()).ok()?;
        if side > WIDEST {
            let code = QrCode::with_bits(bits, EcLevel::M).ok()?;
            return Some(Symbol { side, dark: code.into_colors().into_iter().map(|c| c == Color::Dark).collect() });
        }
        let (data, correction) = construct_codewords(&bits.into_bytes(), version, EcLevel::M).ok()?;
        let templates = self.0.entry(side).or_insert_with(|| Templates::of(version, data.len(), correction.len()));
        let masked = rows(drawn(version, &data, &correction, PATTERNS[0]), side);
        let data: Vec<u64> = masked.iter().zip(&templates.0[0].0).map(|(row, blank)| row ^ blank).collect();
        let across = transposed(&data);
        let under = |n: usize| -> (Vec<u64>, Vec<u64>) {
            let (rows, columns) = &templates.0[n];
            let over = |data: &[u64], mask: &[u64]| data.iter().zip(mask).map(|(d, m)| d ^ m).collect();
            (over(&data, rows), over(&across, columns))
        };
        let (best, _) =
            (0..8).map(under).map(|(r, c)| (penalty(&r, &c), r)).map(|(p, r)| (r, p)).min_by_key(|(_, p)| *p)?;
        let dark = best.iter().flat_map(|row| (0..side).map(move |n| row >> n & 1 == 1)).collect();
        Some(Symbol { side, dark })
    }
}

fn drawn(version: Version, data: &[u8], correction: &[u8], pattern: MaskPattern) -> Canvas {
    let mut canvas = Canvas::new(version, EcLevel::M);
    canvas.draw_all_functional_patterns();
    canvas.draw_data(data, correction);
    canvas.apply_mask(pattern);
    canvas
}

impl Templates {
    /// Data of zeros shows the mask alone, with the figures that name it.
    fn of(version: Version, data: usize, correction: usize) -> Self {
        let side = usize::try_from(version.width()).unwrap_or(0);
        Self(PATTERNS.map(|pattern| {
            let rows = rows(drawn(version, &vec![0; data], &vec![0; correction], pattern), side);
            let columns = transposed(&rows);
            (rows, columns)
        }))
    }
}

/// Each row as a number, its first module the lowest bit.
fn rows(canvas: Canvas, side: usize) -> Vec<u64> {
    let colours = canvas.into_colors();
    let bit = |(n, colour): (usize, &Color)| u64::from(*colour == Color::Dark) << n;
    colours.chunks(side.max(1)).map(|row| row.iter().enumerate().map(bit).sum()).collect()
}

fn transposed(rows: &[u64]) -> Vec<u64> {
    (0..rows.len()).map(|n| rows.iter().enumerate().map(|(row, bits)| (bits >> n & 1) << row).sum()).collect()
}

/// The penalty of a symbol (ISO/IEC 18004, evaluation of masks; from memory, and as the crate counts it), less what all
/// masks have alike.
fn penalty(rows: &[u64], columns: &[u64]) -> u32 {
    let side = rows.len();
    let lines = || rows.iter().chain(columns);
    let runs: u32 = lines().map(|line| run_penalty(*line, side)).sum();
    let finders: u32 = lines().map(|line| finder_penalty(*line, side)).sum();
    let pairs = |row: u64| same_as_next(row, side);
    let blocks: u32 = rows.windows(2).map(|w| 3 * (pairs(w[0]) & pairs(w[1]) & !(w[0] ^ w[1])).count_ones()).sum();
    let dark: u32 = rows.iter().map(|row| row.count_ones()).sum();
    let modules = u32::try_from(side * side).unwrap_or(u32::MAX).max(1);
    runs + finders + blocks + (dark * 200 / modules).abs_diff(100)
}

/// A bit for each module that is like the next in its line.
fn same_as_next(line: u64, side: usize) -> u64 {
    !(line ^ line >> 1) & ((1 << (side - 1)) - 1)
}

/// Five and more alike in a line: 3 points, and one for each beyond five.
fn run_penalty(line: u64, side: usize) -> u32 {
    let same = same_as_next(line, side);
    let five = same & same >> 1 & same >> 2 & same >> 3;
    five.count_ones() + 2 * (five & !(five << 1)).count_ones()
}

/// Dark and light in 1 : 1 : 3 : 1 : 1 with four light before or after: 40 points. Beyond the edge all is light.
fn finder_penalty(line: u64, side: usize) -> u32 {
    let r = |n: u32| line >> n;
    let like = line & !r(1) & r(2) & r(3) & r(4) & !r(5) & r(6) & ((1 << (side - 6)) - 1);
    let before = !(line << 1 | line << 2 | line << 3 | line << 4);
    let after = !(r(7) | r(8) | r(9) | r(10));
    40 * (like & (before | after)).count_ones()
}

#[cfg(test)]
mod tests {
    use super::Encoder;
    use qrcode::{Color, EcLevel, QrCode};

    /// Against the crate's own search, module by module, versions 1 to 15.
    #[test]
    fn the_mask_is_the_one_a_search_module_by_module_finds() {
        let mut encoder = Encoder::default();
        for n in 0..400_usize {
            let text = format!("https://quillmere.example/{n:05}/{}", "tide ".repeat(n % 70));
            let text = &text[..=(n * 7) % text.len().min(400)];
            let whole = QrCode::with_error_correction_level(text, EcLevel::M).unwrap();
            let symbol = encoder.encode(text).unwrap();
            assert_eq!(symbol.side, whole.width());
            let dark: Vec<bool> = whole.into_colors().into_iter().map(|c| c == Color::Dark).collect();
            assert!(symbol.dark == dark, "{text}");
        }
    }

    #[test]
    fn a_payload_no_code_holds_gives_none() {
        assert_eq!(Encoder::default().encode(&"q".repeat(3000)), None);
    }
}
