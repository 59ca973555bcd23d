//! Counts what packed data unpacks to, without unpacking it, as forgivingly as the PDF reader does. Serves `limits`.
//!
//! The reader goes on after damage where a strict inflater stops, so damaged data can hide more than a strict one sees.
//! How long the output is does not hang on what it says: no output is kept here.

/// Lengths and extra bits of the codes 257 to 285 (RFC 1951, 3.2.5).
const LENGTHS: [(u16, u8); 29] = [
    (3, 0),
    (4, 0),
    (5, 0),
    (6, 0),
    (7, 0),
    (8, 0),
    (9, 0),
    (10, 0),
    (11, 1),
    (13, 1),
    (15, 1),
    (17, 1),
    (19, 2),
    (23, 2),
    (27, 2),
    (31, 2),
    (35, 3),
    (43, 3),
    (51, 3),
    (59, 3),
    (67, 4),
    (83, 4),
    (99, 4),
    (115, 4),
    (131, 5),
    (163, 5),
    (195, 5),
    (227, 5),
    (258, 0),
];
/// Order in which the lengths of the codes of code lengths stand (RFC 1951, 3.2.7).
const ORDER: [usize; 19] = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];

/// Bits from the low end of each byte on.
struct Bits<'a> {
    data: &'a [u8],
    at: usize,
    held: u32,
    count: u8,
}

impl Bits<'_> {
    fn fill(&mut self, wanted: u8) -> bool {
        while self.count < wanted {
            let Some(&byte) = self.data.get(self.at) else { return false };
            self.at += 1;
            self.held |= u32::from(byte) << self.count;
            self.count += 8;
        }
        true
    }

    fn take(&mut self, wanted: u8) -> Option<u32> {
        if !self.fill(wanted) {
            return None;
        }
        let bits = self.held & ((1 << wanted) - 1);
        self.held >>= wanted;
        self.count -= wanted;
        Some(bits)
    }

    fn code(&mut self, table: &Table) -> Option<u16> {
        // Fewer bits than the longest code may be left at the end.
        self.fill(table.longest);
        let (symbol, length) = *table.codes.get(usize::try_from(self.held & ((1 << table.longest) - 1)).ok()?)?;
        if length == 0 || self.count < length {
            return None;
        }
        self.held >>= length;
        self.count -= length;
        Some(symbol)
    }
}

/// Symbol and length of the code for each value of the next `longest` bits.
struct Table {
    codes: Vec<(u16, u8)>,
    longest: u8,
}

impl Table {
    fn new(lengths: &[u8]) -> Self {
        let longest = lengths.iter().copied().max().unwrap_or(0).min(15);
        let size = 1_usize << longest;
        let mut codes = vec![(0, 0); size];
        let mut code = 0_usize;
        for length in 1..=longest {
            for (symbol, _) in lengths.iter().enumerate().filter(|(_, l)| **l == length) {
                let reversed = (0..length).fold(0_usize, |r, bit| r << 1 | (code >> bit & 1));
                for slot in codes.iter_mut().skip(reversed).step_by(1 << length) {
                    *slot = (u16::try_from(symbol).unwrap_or(0), length);
                }
                code += 1;
            }
            code <<= 1;
        }
        Self { codes, longest }
    }
}

/// How many bytes deflated data (RFC 1951) unpacks to when damage is passed over; stops counting above `most`.
pub fn inflated(data: &[u8], most: usize) -> usize {
    let mut bits = Bits { data, at: 0, held: 0, count: 0 };
    let mut out = 0_usize;
    while out <= most && block(&mut bits, &mut out, most).is_some_and(|last| !last) {}
    out
}

/// One block; whether it is the last, or `None` where the data ends.
fn block(bits: &mut Bits<'_>, out: &mut usize, most: usize) -> Option<bool> {
    let head = bits.take(3)?;
    let (literals, distances) = match head >> 1 {
        0 => {
            (bits.held, bits.count) = (0, 0);
            let low = *bits.data.get(bits.at)?;
            let high = *bits.data.get(bits.at + 1)?;
            let left = bits.data.len().saturating_sub(bits.at + 4);
            let stored = usize::from(u16::from_le_bytes([low, high])).min(left);
            bits.at += 4 + stored;
            *out += stored;
            return Some(head & 1 == 1 || bits.at >= bits.data.len());
        }
        1 => {
            let lengths: Vec<u8> = (0..288)
                .map(|n| [8, 9, 7, 8][usize::from(n > 143) + usize::from(n > 255) + usize::from(n > 279)])
                .collect();
            (Table::new(&lengths), Table::new(&[5; 30]))
        }
        2 => dynamic(bits)?,
        _ => return Some(true),
    };
    while *out <= most {
        match bits.code(&literals)? {
            0..=255 => *out += 1,
            256 => return Some(head & 1 == 1),
            symbol => {
                let (length, extra) = *LENGTHS.get(usize::from(symbol - 257))?;
                *out += usize::from(length) + usize::try_from(bits.take(extra)?).ok()?;
                let distance = bits.code(&distances)?;
                // Two codes for each number of extra bits, from the third on (RFC 1951, 3.2.5).
                bits.take(u8::try_from((distance / 2).saturating_sub(1)).ok()?.min(13))?;
            }
        }
    }
    Some(true)
}

fn dynamic(bits: &mut Bits<'_>) -> Option<(Table, Table)> {
    let size = |bits: &mut Bits<'_>, count, least: usize| Some(usize::try_from(bits.take(count)?).ok()? + least);
    let (literals, distances, codes) = (size(bits, 5, 257)?, size(bits, 5, 1)?, size(bits, 4, 4)?);
    let mut of_lengths = [0_u8; 19];
    for &place in ORDER.iter().take(codes) {
        of_lengths[place] = u8::try_from(bits.take(3)?).ok()?;
    }
    let table = Table::new(&of_lengths);
    let mut lengths: Vec<u8> = Vec::new();
    while lengths.len() < literals + distances {
        let (value, times) = match bits.code(&table)? {
            16 => (lengths.last().copied().unwrap_or(0), size(bits, 2, 3)?),
            17 => (0, size(bits, 3, 3)?),
            18 => (0, size(bits, 7, 11)?),
            length => (u8::try_from(length).ok()?, 1),
        };
        lengths.resize(lengths.len() + times, value);
    }
    lengths.truncate(literals + distances);
    let (first, second) = lengths.split_at(literals);
    Some((Table::new(first), Table::new(second)))
}

/// How many bytes LZW data unpacks to (ISO 32000-1, 7.4.4); stops counting above `most`.
///
/// Codes grow by a bit one entry early or not; the larger count of the two is taken.
pub fn lzw(data: &[u8], most: usize) -> usize {
    lzw_by(data, most, 1).max(lzw_by(data, most, 0))
}

fn lzw_by(data: &[u8], most: usize, early: usize) -> usize {
    let mut lengths: Vec<usize> = vec![1; 258];
    let (mut at, mut out) = (0_usize, 0_usize);
    let mut last: Option<usize> = None;
    while out <= most {
        let width = match lengths.len() + early {
            0..512 => 9,
            512..1024 => 10,
            1024..2048 => 11,
            _ => 12,
        };
        let mut code = 0_usize;
        for bit in at..at + width {
            let Some(byte) = data.get(bit / 8) else { return out };
            code = code << 1 | usize::from(byte >> (7 - bit % 8) & 1);
        }
        at += width;
        match code {
            256 => {
                lengths.truncate(258);
                last = None;
            }
            257 => return out,
            _ => {
                let grown = last.and_then(|l| lengths.get(l)).map(|l| l + 1);
                let Some(length) = lengths.get(code).copied().or(grown.filter(|_| code == lengths.len())) else {
                    return out;
                };
                out += length;
                if let Some(grown) = grown.filter(|_| lengths.len() < 4096) {
                    lengths.push(grown);
                }
                last = Some(code);
            }
        }
    }
    out
}

/// How many bytes run-length data unpacks to (ISO 32000-1, 7.4.5).
pub fn run_length(data: &[u8]) -> usize {
    let (mut at, mut out) = (0_usize, 0_usize);
    while let Some(&length) = data.get(at) {
        let length = usize::from(length);
        let (read, written) = match length {
            128 => break,
            0..=127 => (length + 2, length + 1),
            _ => (2, 257 - length),
        };
        (at, out) = (at + read, out + written);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{inflated, lzw, run_length};
    use flate2::Compression;
    use flate2::write::DeflateEncoder;
    use std::io::Write;

    fn deflated(data: &[u8], level: Compression) -> Vec<u8> {
        let mut encoder = DeflateEncoder::new(Vec::new(), level);
        encoder.write_all(data).unwrap();
        encoder.finish().unwrap()
    }

    #[test]
    fn count_of_deflated_data_is_what_another_program_packed() {
        // Noise, runs and text, in stored, fixed and dynamic blocks; packed by flate2.
        let noise =
            |n: u32| (0..n).map(|i| (i.wrapping_mul(2_654_435_761) >> 13).to_le_bytes()[0]).collect::<Vec<u8>>();
        let text = "Keep away from children and pets. ".repeat(300).into_bytes();
        for data in
            [vec![], b"a".to_vec(), noise(100_000), vec![b' '; 1_000_000], text, [noise(500), vec![0; 70_000]].concat()]
        {
            for level in [Compression::none(), Compression::fast(), Compression::best()] {
                assert_eq!(inflated(&deflated(&data, level), usize::MAX), data.len());
            }
        }
        assert!(inflated(&deflated(&vec![0; 1 << 24], Compression::best()), 1000) < 2000);
    }

    #[test]
    fn count_of_lzw_data_is_that_of_the_standard_s_example() {
        // ISO 32000-1, 7.4.4.2, EXAMPLE 1: 45 45 45 45 45 65 45 45 45 66.
        assert_eq!(lzw(&[0x80, 0x0B, 0x60, 0x50, 0x22, 0x0C, 0x0C, 0x85, 0x01], usize::MAX), 9 + 1);
    }

    #[test]
    fn count_of_runs_is_that_of_the_standard_s_description() {
        // ISO 32000-1, 7.4.5: 4 copies the next five bytes, 253 repeats one 257 - 253 times, 128 ends.
        assert_eq!(run_length(&[4, 10, 11, 12, 13, 14, 253, 3, 128, 9, 9]), 9);
    }
}
