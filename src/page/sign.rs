//! Rows of pictograms on a label: hazard pictograms, and our own signs for the use of a candle. Part of `page`.
//!
//! A sign for use is a picture of our own in a black frame, meant to be known at 8 mm, and never stands without its words.

use super::figure::placed;
use super::size::Scale;
use super::{Path, Point, burning, diamond, symbol};
use crate::trade::Sign;
use crate::unit::Length;
use std::ops::Range;

/// Signs grow to so many percent of their least side (house policy: larger ones would outshine the words).
const MOST: i64 = 160;
/// Space between two signs, in percent of the side (house policy).
const GAP: i64 = 20;

/// Signs of equal size, in one row or several.
pub(super) struct Signs {
    all: Vec<Sign>,
    least: Length,
    most: Length,
}

impl Signs {
    /// `None` where there are none.
    pub fn new(signs: &[Sign], side: Length) -> Option<Self> {
        let least = side.clamp(Length::mm(1), Length::mm(3000));
        let most = least.times_ratio(MOST, 100);
        (!signs.is_empty()).then(|| Self { all: signs.to_vec(), least, most })
    }
    /// How far they may grow.
    pub fn most(&self) -> Scale {
        Scale::within(self.least, self.most)
    }
    /// Lets them grow only as long as they need no more rows than at their least, side by side in `width`.
    pub fn keep_rows(&mut self, width: Length) {
        let holds = self.holds(width, Scale::FLOOR).clamp(1, self.all.len());
        let in_a_row = self.all.len().div_ceil(self.all.len().div_ceil(holds));
        let wanted = self.width(in_a_row, Scale::FLOOR).to_raw().max(1);
        self.most = self.most.min(self.least.times_ratio(width.to_raw().max(0), wanted)).max(self.least);
    }
    /// Side of the square, on its point or not.
    fn side(&self, scale: Scale) -> Length {
        scale.min(self.most()).of(self.least)
    }
    /// Width and height of the box each sign stands in.
    pub fn each(&self, scale: Scale) -> Length {
        let side = self.side(scale);
        if self.all.iter().any(|s| s.ghs().is_some()) {
            diamond::extent(side)
        } else if self.all.contains(&Sign::GeneralWarning) {
            alert_box(side)
        } else {
            side
        }
    }
    /// Space between two signs and between two rows.
    pub fn gap(&self, scale: Scale) -> Length {
        self.side(scale).times_ratio(GAP, 100)
    }
    /// Width of so many side by side.
    pub fn width(&self, count: usize, scale: Scale) -> Length {
        let count = i64::try_from(count).unwrap_or(0);
        self.each(scale) * count + self.gap(scale) * (count - 1).max(0)
    }
    /// Width of all of them side by side, or of as many as stand in `room`; never less than one.
    pub fn width_in(&self, room: Length, scale: Scale) -> Length {
        self.width(self.holds(room, scale).clamp(1, self.all.len()), scale)
    }
    /// How many stand side by side in `room`.
    fn holds(&self, room: Length, scale: Scale) -> usize {
        let (each, gap) = (self.each(scale), self.gap(scale));
        usize::try_from((room + gap).to_raw() / (each + gap).to_raw().max(1)).unwrap_or(0)
    }

    /// Parts the signs into the fewest rows, as even as they can be. `room` tells how wide the place of a row is.
    /// The error is how much of the width of one sign is missing.
    pub fn rows(
        &self,
        scale: Scale,
        mut room: impl FnMut(usize) -> Option<Length>,
    ) -> Result<Vec<Range<usize>>, Option<Length>> {
        let all = self.all.len();
        let (mut held, mut sum) = (Vec::new(), 0);
        while sum < all {
            let width = room(held.len()).ok_or(None)?;
            let holds = self.holds(width, scale);
            if holds == 0 {
                return Err(Some(self.each(scale) - width));
            }
            held.push(holds);
            sum += holds;
        }
        let (mut from, mut rows) = (0, Vec::new());
        for (n, holds) in held.iter().enumerate() {
            let left = all - from;
            let later: usize = held[n + 1..].iter().sum();
            let even = left.div_ceil(held.len() - n);
            let count = even.max(left.saturating_sub(later)).min(*holds);
            rows.push(from..from + count);
            from += count;
        }
        Ok(rows)
    }

    /// One of the signs with its box's corner at `corner`.
    pub fn paths(&self, n: usize, corner: Point, scale: Scale) -> Vec<Path> {
        let Some(sign) = self.all.get(n) else { return Vec::new() };
        let (side, spare) = (self.side(scale), self.each(scale) - self.side(scale));
        match sign.ghs() {
            Some(ghs) => diamond::pictogram(ghs, corner, side),
            // Beside hazard pictograms, in the middle of a box as large as theirs.
            None => candle(*sign, Point { x: corner.x + spare / 2, y: corner.y + spare / 2 }, side),
        }
    }
}

/// A sign for use in a square so wide and high.
fn candle(sign: Sign, corner: Point, side: Length) -> Vec<Path> {
    if sign == Sign::GeneralWarning {
        return alert(corner, side);
    }
    let half = side / 2;
    placed(&burning::figures(sign), Point { x: corner.x + half, y: corner.y + half }, half)
}

/// The alert symbol's round corners lie up to two thousandths of its width within its box.
fn alert_box(side: Length) -> Length {
    side.times_ratio(1003, 1000)
}

/// The safety alert symbol, as wide as the square and in the middle of its height.
fn alert(corner: Point, side: Length) -> Vec<Path> {
    const ENOUGH: i64 = 1_000_000;
    let wide = alert_box(side);
    let height = wide.times_ratio(ENOUGH, symbol::width(Length::raw(ENOUGH)).to_raw());
    vec![symbol::path(corner.x - (wide - side) / 2, corner.y + (side + height) / 2, height)]
}

#[cfg(test)]
mod tests {
    use super::Signs;
    use crate::page::size::Scale;
    use crate::page::{Point, Segment};
    use crate::trade::Sign;
    use crate::unit::Length;

    fn counts(signs: &Signs, rooms: &[i64]) -> Option<Vec<usize>> {
        let rows = signs.rows(Scale::FLOOR, |n| rooms.get(n).copied().map(Length::mm)).ok()?;
        Some(rows.iter().map(std::ops::Range::len).collect())
    }

    /// Squares of 10 mm with 2 mm between: n of them need 12 n - 2 mm.
    #[test]
    fn rows_are_few_and_even() {
        let five = Signs::new(&[Sign::Trim; 5], Length::mm(10)).unwrap();
        assert_eq!(counts(&five, &[58]), Some(vec![5]));
        assert_eq!(counts(&five, &[57, 57]), Some(vec![3, 2]));
        assert_eq!(counts(&five, &[10, 57]), Some(vec![1, 4]));
        assert_eq!(counts(&five, &[25, 57]), Some(vec![2, 3]));
        assert_eq!(counts(&five, &[9, 57]), None);
        assert_eq!(counts(&five, &[33]), None);
        assert!(Signs::new(&[], Length::mm(10)).is_none());
    }

    /// Three diamonds of 10 mm need 3 x 14.142 + 2 x 2 = 46.43 mm.
    #[test]
    fn growth_ends_at_the_width_or_at_the_house_limit() {
        let grown = |width| {
            let mut three = Signs::new(&[Sign::Ghs02, Sign::Ghs07, Sign::Ghs09], Length::mm(10)).unwrap();
            three.keep_rows(Length::mm(width));
            three.side(Scale(1000)).to_mm_f64()
        };
        assert!((11.9..12.06).contains(&grown(56)), "{}", grown(56));
        assert!((15.8..=16.0).contains(&grown(200)));
        assert!((grown(5) - 10.0).abs() < 1e-9);
    }

    #[test]
    fn signs_for_use_fill_their_square_and_stay_in_it() {
        for sign in Sign::ALL.iter().copied().filter(|s| s.ghs().is_none()) {
            let (corner, side) = (Point { x: Length::mm(2), y: Length::mm(4) }, Length::mm(8));
            let paths = Signs::new(&[sign], side).unwrap().paths(0, corner, Scale::FLOOR);
            let ends: Vec<Point> = paths
                .iter()
                .flat_map(|p| &p.rings)
                .flat_map(|ring| {
                    let ends = ring.to.iter().map(|s| match s {
                        Segment::Line(p) | Segment::Curve(_, _, p) => *p,
                    });
                    std::iter::once(ring.start).chain(ends)
                })
                .collect();
            let (left, right) = (ends.iter().map(|p| p.x).min().unwrap(), ends.iter().map(|p| p.x).max().unwrap());
            let (top, foot) = (ends.iter().map(|p| p.y).min().unwrap(), ends.iter().map(|p| p.y).max().unwrap());
            assert!(left >= corner.x && top >= corner.y, "{sign}");
            let side = if sign == Sign::GeneralWarning { super::alert_box(side) } else { side };
            assert!(right <= corner.x + side && foot <= corner.y + side, "{sign}");
            // Of the round corners of the triangle only the ends of their arcs are looked at.
            let least = if sign == Sign::GeneralWarning { 7.8 } else { 7.98 };
            assert!((right - left).to_mm_f64() > least, "{sign}: {}", right - left);
        }
    }
}
