//! Rows of pictograms on a label: hazard pictograms, and our own signs for the use of a candle. Part of `page`.
//!
//! A sign for use is a picture of our own in a black frame, meant to be known at 8 mm, and never stands without its words.

use super::figure::{Figure, black, curves, ellipse, placed, polygon, rod, white};
use super::size::Scale;
use super::{Path, Point, diamond, safety, symbol};
use crate::trade::{SafetySign, Sign};
use crate::unit::Length;
use std::ops::Range;

/// Signs grow to so many percent of their least side (house policy: larger ones would outshine the words).
const MOST: i64 = 160;
/// Space between two signs, in percent of the side (house policy).
const GAP: i64 = 20;

/// Signs of equal size, in one row or several.
pub(super) struct Signs {
    signs: Vec<Sign>,
    least: Length,
}

impl Signs {
    /// `None` where there are none.
    pub fn new(signs: &[Sign], side: Length) -> Option<Self> {
        (!signs.is_empty()).then(|| Self { signs: signs.to_vec(), least: side.max(Length::mm(1)) })
    }
    /// How far they may grow.
    pub fn most(&self) -> Scale {
        Scale::within(self.least, self.least.times_ratio(MOST, 100))
    }
    /// Side of the square, on its point or not.
    fn side(&self, scale: Scale) -> Length {
        scale.min(self.most()).of(self.least)
    }
    /// Width and height of the box each sign stands in.
    pub fn each(&self, scale: Scale) -> Length {
        let side = self.side(scale);
        if self.signs.iter().any(|s| s.ghs().is_some()) { diamond::extent(side) } else { side }
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
        self.width(self.holds(room, scale).clamp(1, self.signs.len()), scale)
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
        let all = self.signs.len();
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
        let Some(sign) = self.signs.get(n) else { return Vec::new() };
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
    let safety = match sign {
        Sign::KeepInSight => SafetySign::InSight,
        Sign::ThingsThatCatchFire => SafetySign::CatchFire,
        Sign::ChildrenAndPets => SafetySign::Children,
        Sign::Trim => SafetySign::TrimWick,
        Sign::Distance => SafetySign::Distance,
        Sign::GeneralWarning => return alert(corner, side),
        _ => {
            let figures = if sign == Sign::Holder { safety::framed(holder()) } else { safety::forbidden(draught()) };
            let half = side / 2;
            return placed(&figures, Point { x: corner.x + half, y: corner.y + half }, half);
        }
    };
    safety::sign(safety, corner, side)
}

/// The safety alert symbol, as wide as the square and in the middle of its height.
fn alert(corner: Point, side: Length) -> Vec<Path> {
    const ENOUGH: i64 = 1_000_000;
    let height = side.times_ratio(ENOUGH, symbol::width(Length::raw(ENOUGH)).to_raw());
    vec![symbol::path(corner.x, corner.y + (side + height) / 2, height)]
}

/// A candle in a dish with a handle.
fn holder() -> Vec<Figure> {
    let dish = curves(
        (-700, 320),
        &[
            ((-620, 350), (-490, 370), (-360, 370)),
            ((-160, 370), (40, 370), (240, 370)),
            ((370, 370), (500, 350), (580, 320)),
            ((580, 470), (460, 630), (270, 630)),
            ((50, 630), (-170, 630), (-390, 630)),
            ((-580, 630), (-700, 470), (-700, 320)),
        ],
    );
    let mut all = vec![black(ellipse((620, 430), 190, 150)), white(ellipse((640, 430), 110, 80))];
    all.extend(safety::candle(125, (-40, 370)));
    all.push(black(dish));
    all
}

/// A candle whose flame is blown aside by gusts from the right.
fn draught() -> Vec<Figure> {
    // The end of a gust curls over, in straight pieces too short to be seen as such.
    const CURL: [(i64, i64); 7] = [(0, 0), (-70, -18), (-116, -66), (-116, -130), (-70, -178), (-5, -178), (44, -140)];
    let mut all = Vec::new();
    all.extend(
        CURL.windows(2).map(|two| black(rod((20 + two[0].0, two[0].1 - 380), (20 + two[1].0, two[1].1 - 380), 76))),
    );
    all.extend(
        [(-380, 480, 20), (-170, 660, 120), (40, 700, 330)].map(|(y, from, to)| black(rod((from, y), (to, y), 76))),
    );
    let flame = curves(
        (-700, -190),
        &[
            ((-560, -190), (-270, -190), (-230, 10)),
            ((-210, 190), (-440, 210), (-480, 50)),
            ((-500, -60), (-570, -140), (-700, -190)),
        ],
    );
    all.extend([
        black(polygon(&[(-490, 270), (-190, 270), (-190, 600), (-490, 600)])),
        black(rod((-340, 290), (-350, 120), 44)),
        black(flame),
    ]);
    all
}
