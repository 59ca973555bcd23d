//! The geometry of frames: which painted path is a square, a ring or a triangle, and where its corners are.

use super::seen::{Area, Mark, Painted};
use super::space;

/// Four corners, clockwise.
pub type Quad = [[f64; 2]; 4];

/// What frames a sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Frame {
    /// A square, more on its point than on its side.
    Diamond,
    /// A square on its side, its corners perhaps rounded.
    Square,
    /// A ring.
    Round,
    /// The safety alert symbol, its point up.
    Triangle,
}

/// The box round points.
pub fn around(points: &[[f64; 2]]) -> Option<Area> {
    points.iter().map(|&[x, y]| Area { left: x, top: y, right: x, bottom: y }).reduce(|a, b| a.with(&b))
}

/// Area of a polygon.
fn surface(points: &[[f64; 2]]) -> f64 {
    let next = points.iter().cycle().skip(1);
    let twice: f64 = points.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum();
    twice.abs() / 2.0
}

/// What the outermost ring of a mark frames, with its corners; `None` where it is no frame. Its area may differ by the share
/// `slack` from that of the frame: pixels round its corners off.
pub fn framed(mark: &Mark, slack: f64) -> Option<(Frame, Quad)> {
    let ring = mark.rings.iter().max_by(|a, b| surface(a).total_cmp(&surface(b)))?;
    let area = around(ring)?;
    let (width, height) = (area.width(), area.height());
    let whole = surface(ring);
    if width <= 0.0 || height <= 0.0 || whole <= 0.0 || !whole.is_finite() {
        return None;
    }
    let furthest = |f: &dyn Fn([f64; 2]) -> f64| ring.iter().copied().max_by(|a, b| f(*a).total_cmp(&f(*b)));
    let by = |dx: f64, dy: f64| furthest(&move |[x, y]| x * dx + y * dy);
    // The corners of a square on its point lie furthest up, right, down and left; of one on its side, in between.
    for [a, b, c, d] in
        [[(0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)], [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]]
    {
        let quad = [by(a.0, a.1)?, by(b.0, b.1)?, by(c.0, c.1)?, by(d.0, d.1)?];
        if (surface(&quad) / whole - 1.0).abs() < slack && is_square(&quad) {
            let turned = turn(quad[0], quad[1]);
            let frame = if turned.abs() > 22.5 { Frame::Square } else { Frame::Diamond };
            return Some((frame, quad));
        }
    }
    // The flattened ring lies inside its curves; the box round the path is exact, but holds the width of its line.
    let half = if let Painted::Stroked(line) = mark.painted { line / 2.0 } else { 0.0 };
    let exact = mark.area.widened(-half, -half).corners();
    let ratio = width / height;
    let full = whole / (width * height);
    if (ratio - 1.0).abs() < ROUNDED {
        let disc = std::f64::consts::FRAC_PI_4;
        if (full - disc).abs() < slack {
            return Some((Frame::Round, exact));
        }
        // Corners may be rounded to a fifth of the side each.
        if (0.965..=1.001).contains(&full) {
            return Some((Frame::Square, exact));
        }
    }
    // An equilateral triangle, its corners rounded a little; with sharp ones it is 1.155 times as wide as high.
    let upright = (1.05..=1.2).contains(&ratio) && (0.49..=0.62).contains(&full);
    (upright && space::triangular(mark)).then_some((Frame::Triangle, exact))
}

fn length(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

fn sides(quad: &Quad) -> [f64; 4] {
    [0, 1, 2, 3].map(|n| length(quad[n], quad[(n + 1) % 4]))
}

/// The shortest side.
pub fn shortest(quad: &Quad) -> f64 {
    sides(quad).into_iter().fold(f64::INFINITY, f64::min)
}

/// Programs that round to whole dots of a screen bring a square out of shape by a few hundredths.
const ROUNDED: f64 = 0.03;

/// Sides alike and corners right, but for what rounding does.
fn is_square(quad: &Quad) -> bool {
    let (sides, across) = (sides(quad), [length(quad[0], quad[2]), length(quad[1], quad[3])]);
    let near = |a: f64, b: f64| b > 0.0 && (a / b - 1.0).abs() < ROUNDED;
    sides.iter().all(|s| near(*s, sides[0])) && near(across[0], across[1])
}

/// The corners of what a line `width` wide along the edges prints.
pub fn grown(quad: Quad, width: f64) -> Quad {
    let [x, y] = middle(&quad);
    let more = 1.0 + width / shortest(&quad).max(1e-9);
    quad.map(|p| [x + (p[0] - x) * more, y + (p[1] - y) * more])
}

/// The corners of an upright square as far as its clip lets it print: browsers cut a hair off where its box ends.
pub fn cut(quad: Quad, frame: Frame, seen: &Area) -> Quad {
    /// Of each side; what loses more is no frame any more.
    const HAIR: f64 = 0.05;
    let Some(whole) = around(&quad) else { return quad };
    let left = whole.within(seen);
    let upright = surface(&quad) > whole.width() * whole.height() * 0.99;
    let hair = left.width() > whole.width() * (1.0 - HAIR) && left.height() > whole.height() * (1.0 - HAIR);
    if frame == Frame::Square && upright && hair { left.corners() } else { quad }
}

/// Where the diagonals meet.
pub fn middle(quad: &Quad) -> [f64; 2] {
    [f64::midpoint(quad[0][0], quad[2][0]), f64::midpoint(quad[0][1], quad[2][1])]
}

/// Degrees between an edge and the one it has in a square on its point, -45 to 45.
pub fn turn(a: [f64; 2], b: [f64; 2]) -> f64 {
    let angle = (b[1] - a[1]).atan2(b[0] - a[0]).to_degrees() - 45.0;
    angle - (angle / 90.0).round() * 90.0
}
