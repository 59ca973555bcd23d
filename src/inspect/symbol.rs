//! Which symbol a hazard pictogram holds: what is black in it, held against the pictures of the United Nations. Serves `sign`.

use crate::trade::Ghs;
use std::sync::LazyLock;

const TABLE: &str = include_str!("../../rules/label/symbols.csv");
/// Cells along a side of a symbol in the table.
const CELLS: usize = 16;
/// Less alike than this (correlation of the cells) is no symbol that is known. Of the nine among themselves the flame and the
/// flame over a circle are the most alike, with 0.8; the next are below 0.65.
const LEAST: f64 = 0.7;
/// The next best must be less alike by this much.
const AHEAD: f64 = 0.08;

type Cells = [f64; CELLS * CELLS];

static KNOWN: LazyLock<Vec<(Ghs, Cells)>> = LazyLock::new(|| {
    let rows = TABLE.lines().filter(|l| !l.starts_with('#')).skip(1);
    let mut known: Vec<(Ghs, Cells)> = Vec::new();
    for line in rows {
        let mut fields = line.split(',');
        let (Some(sign), Some(row), Some(cells)) = (fields.next(), fields.next(), fields.next()) else { continue };
        let (Some(ghs), Ok(row)) = (Ghs::from_word(sign), row.parse::<usize>()) else { continue };
        if known.last().is_none_or(|(last, _)| *last != ghs) {
            known.push((ghs, [0.0; CELLS * CELLS]));
        }
        let Some((_, all)) = known.last_mut() else { continue };
        for (to, digit) in all.iter_mut().skip(row * CELLS).take(CELLS).zip(cells.chars()) {
            *to = f64::from(digit.to_digit(10).unwrap_or(0)) / 9.0;
        }
    }
    known
});

/// The symbol that a square grid shows, `side` places along each side, `true` where it is black; `None` where none is like it.
pub fn told(grid: &[bool], side: usize) -> Option<Ghs> {
    let cells = cells(grid, side)?;
    let mut alike: Vec<(f64, Ghs)> = KNOWN.iter().map(|(ghs, known)| (correlation(&cells, known), *ghs)).collect();
    alike.sort_by(|a, b| b.0.total_cmp(&a.0));
    let (best, next) = (alike.first()?, alike.get(1)?);
    (best.0 >= LEAST && best.0 - next.0 >= AHEAD).then_some(best.1)
}

/// Shares of black in the box round the symbol, made square.
fn cells(grid: &[bool], side: usize) -> Option<Cells> {
    let black = || grid.iter().enumerate().filter(|(_, b)| **b).map(|(n, _)| (n % side, n / side));
    let (left, right) = (black().map(|p| p.0).min()?, black().map(|p| p.0).max()? + 1);
    let (top, bottom) = (black().map(|p| p.1).min()?, black().map(|p| p.1).max()? + 1);
    let number = |n: usize| f64::from(u16::try_from(n).unwrap_or(u16::MAX));
    let long = number((right - left).max(bottom - top));
    let corner = [number(left + right) - long, number(top + bottom) - long].map(|c| c / 2.0);
    let at = |from: f64, cell: usize, third: usize| {
        let place = from + (number(cell) + (number(third) + 0.5) / 3.0) / number(CELLS) * long;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "inside the grid, or left out")]
        (0.0..number(side)).contains(&place).then_some(place as usize)
    };
    let mut out = [0.0; CELLS * CELLS];
    for (n, to) in out.iter_mut().enumerate() {
        for (i, j) in (0..3).flat_map(|i| (0..3).map(move |j| (i, j))) {
            let place = at(corner[0], n % CELLS, i).zip(at(corner[1], n / CELLS, j));
            let black = place.and_then(|(x, y)| grid.get(y * side + x)).copied().unwrap_or(false);
            *to += if black { 1.0 / 9.0 } else { 0.0 };
        }
    }
    Some(out)
}

/// Pearson's correlation; 0 where one of them is all alike.
fn correlation(a: &Cells, b: &Cells) -> f64 {
    let mean = |c: &Cells| c.iter().sum::<f64>() / f64::from(u16::try_from(CELLS * CELLS).unwrap_or(1));
    let (of_a, of_b) = (mean(a), mean(b));
    let sum = |f: &dyn Fn(f64, f64) -> f64| a.iter().zip(b).map(|(x, y)| f(x - of_a, y - of_b)).sum::<f64>();
    let spread = (sum(&|x, _| x * x) * sum(&|_, y| y * y)).sqrt();
    if spread > 0.0 { sum(&|x, y| x * y) / spread } else { 0.0 }
}
