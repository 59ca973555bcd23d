//! The box of a letter as it is drawn, turned and sheared with it. Used where level boxes say too little.

use super::seen::{Area, Glyph};

/// Letters whose directions differ by less than this (degrees) stand in one straight line.
const STRAIGHT: f64 = 0.5;
/// Letters of one curve differ by less than this from one to the next, in degrees.
const BEND: f64 = 60.0;
/// The next letter of a curve begins within this many ems of the end of the one before it.
const NEXT: f64 = 0.5;

/// A parallelogram round the outline of a letter, in mm: where its foot begins and ends, where its head ends and begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slant(pub [[f64; 2]; 4]);

fn from([x, y]: [f64; 2], [left, top]: [f64; 2]) -> [f64; 2] {
    [x - left, y - top]
}

fn dot(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

/// Of length 1; `None` for what has no length.
fn unit([x, y]: [f64; 2]) -> Option<[f64; 2]> {
    let long = x.hypot(y);
    (long.is_finite() && long > 1e-9).then(|| [x / long, y / long])
}

impl Slant {
    fn sides(&self) -> [[f64; 2]; 2] {
        let [foot, end, _, head] = self.0;
        [from(end, foot), from(head, foot)]
    }

    /// Along the direction of writing, in mm.
    #[must_use]
    pub fn wide(&self) -> f64 {
        let [along, _] = self.sides();
        along[0].hypot(along[1])
    }

    /// How far both reach into each other in the direction in which they do least, in mm; 0 or less where a straight line
    /// parts them (the theorem of the separating axis for convex shapes).
    #[must_use]
    pub fn depth(&self, other: &Self) -> f64 {
        let sides = self.sides().into_iter().chain(other.sides());
        let shared = sides.filter_map(|[x, y]| unit([-y, x])).map(|axis| {
            let span = |s: &Self| {
                let at = s.0.map(|p| dot(p, axis));
                (at.into_iter().fold(f64::INFINITY, f64::min), at.into_iter().fold(f64::NEG_INFINITY, f64::max))
            };
            let (a, b) = (span(self), span(other));
            a.1.min(b.1) - a.0.max(b.0)
        });
        shared.fold(f64::INFINITY, f64::min)
    }

    /// The box round another one as this letter lies: along its writing, and across it, with its shear taken out.
    fn seen_by(&self, other: &Self) -> Option<Area> {
        let [along, up] = self.sides();
        let along = unit(along)?;
        let across = [-along[1], along[0]];
        let lean = dot(up, along) / dot(up, across);
        let points = other.0.map(|p| {
            let (x, y) = (dot(p, along), dot(p, across));
            let x = x - lean * y;
            Area { left: x, top: y, right: x, bottom: y }
        });
        lean.is_finite().then(|| Area::round(&points)).flatten()
    }
}

impl Glyph {
    /// Degrees between the directions of both, 0 to 180.
    #[must_use]
    pub fn askew(&self, other: &Self) -> f64 {
        let apart = (self.turn - other.turn).abs() % 360.0;
        apart.min(360.0 - apart)
    }

    /// Whether both run in the same direction, as the letters of a straight line do.
    #[must_use]
    pub fn parallel(&self, other: &Self) -> bool {
        self.askew(other) <= STRAIGHT || (self.level && other.level)
    }

    /// Distance of the baselines across the direction of writing, in mm, of letters that are parallel.
    #[must_use]
    pub fn between_lines(&self, other: &Self) -> f64 {
        let (sin, cos) = if self.level { (0.0, 1.0) } else { self.turn.to_radians().sin_cos() };
        let (x, y) = (other.x - self.x, other.baseline - self.baseline);
        (x * sin + y * cos).abs()
    }

    /// Whether one follows the other on a curve.
    #[must_use]
    pub fn next_on_a_curve(&self, other: &Self) -> bool {
        let near = |a: &Self, b: &Self| (b.x - a.end).hypot(b.baseline - a.end_y) < NEXT * a.em.min(b.em);
        self.askew(other) < BEND && (near(self, other) || near(other, self))
    }

    /// The boxes of both as the first one lies, so that they can be compared along and across its writing.
    #[must_use]
    pub fn boxes(&self, other: &Self) -> Option<[Area; 2]> {
        let level = self.ink.zip(other.ink).map(|(a, b)| [a, b]);
        let (Some(one), Some(two)) = (self.slant, other.slant) else { return level };
        one.seen_by(&one).zip(one.seen_by(&two)).map(|(a, b)| [a, b]).or(level)
    }
}
