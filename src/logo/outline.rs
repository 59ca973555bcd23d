//! Outlines while a logo is read: any units, transforms, arcs as curves. Part of `logo`.

/// A place: right and down.
pub type At = [f64; 2];

/// A piece of an outline.
#[derive(Debug, Clone, Copy)]
pub enum Piece {
    Line(At),
    Curve(At, At, At),
}

/// A closed outline.
#[derive(Debug, Clone)]
pub struct Ring {
    pub start: At,
    pub to: Vec<Piece>,
}

/// Outlines and their colour.
#[derive(Debug, Clone)]
pub struct Filled {
    pub colour: [u8; 3],
    pub even_odd: bool,
    pub rings: Vec<Ring>,
}

/// A linear map and a shift: x' = a x + c y + e, y' = b x + d y + f.
#[derive(Debug, Clone, Copy)]
pub struct Transform(pub [f64; 6]);

impl Transform {
    pub const NONE: Self = Self([1.0, 0.0, 0.0, 1.0, 0.0, 0.0]);

    /// This one after `first`.
    #[expect(clippy::many_single_char_names, reason = "the letters of the standard's formulas")]
    pub fn after(self, first: Self) -> Self {
        let ([a, b, c, d, e, f], [g, h, i, j, k, l]) = (self.0, first.0);
        Self([a * g + c * h, b * g + d * h, a * i + c * j, b * i + d * j, a * k + c * l + e, b * k + d * l + f])
    }

    #[expect(clippy::many_single_char_names, reason = "the letters of the standard's formulas")]
    pub fn of(self, [x, y]: At) -> At {
        let [a, b, c, d, e, f] = self.0;
        [a * x + c * y + e, b * x + d * y + f]
    }
}

impl Ring {
    pub fn moved(&self, by: Transform) -> Self {
        let piece = |p: &Piece| match *p {
            Piece::Line(p) => Piece::Line(by.of(p)),
            Piece::Curve(a, b, p) => Piece::Curve(by.of(a), by.of(b), by.of(p)),
        };
        Self { start: by.of(self.start), to: self.to.iter().map(piece).collect() }
    }

    pub fn polygon(points: &[At]) -> Option<Self> {
        let (start, rest) = points.split_first()?;
        Some(Self { start: *start, to: rest.iter().map(|p| Piece::Line(*p)).collect() })
    }
}

/// Left, top, right and bottom of everything that is not white, handles of curves counted: curves are in short pieces.
pub fn extent(shapes: &[Filled]) -> Option<[f64; 4]> {
    let rings = shapes.iter().filter(|s| s.colour != [255; 3]).flat_map(|s| &s.rings);
    let points = rings.flat_map(|r| {
        std::iter::once(r.start).chain(r.to.iter().flat_map(|p| match *p {
            Piece::Line(p) => [p, p, p],
            Piece::Curve(a, b, p) => [a, b, p],
        }))
    });
    points.fold(None, |all: Option<[f64; 4]>, [x, y]| {
        let [l, t, r, b] = all.unwrap_or([x, y, x, y]);
        Some([l.min(x), t.min(y), r.max(x), b.max(y)])
    })
}

/// A cubic curve as sixteen short ones, whose handles lie so close to it that they tell its extent.
pub fn pieces(from: At, a: At, b: At, to: At) -> Vec<Piece> {
    let mut curves = vec![[from, a, b, to]];
    for _ in 0..4 {
        curves = curves.iter().flat_map(|c| <[_; 2]>::from(halves(c[0], c[1], c[2], c[3]))).collect();
    }
    curves.iter().map(|c| Piece::Curve(c[1], c[2], c[3])).collect()
}

fn halves(from: At, a: At, b: At, to: At) -> ([At; 4], [At; 4]) {
    let mid = |p: At, q: At| [f64::midpoint(p[0], q[0]), f64::midpoint(p[1], q[1])];
    let (one, two, three) = (mid(from, a), mid(a, b), mid(b, to));
    let (left, right) = (mid(one, two), mid(two, three));
    let middle = mid(left, right);
    ([from, one, left, middle], [middle, right, three, to])
}

/// An ellipse round `middle`.
pub fn ellipse([x, y]: At, across: f64, down: f64) -> Ring {
    let start = [x + across, y];
    let mut to = Vec::new();
    arc(start, [across, down], 0.0, [false, true], [x - across, y], &mut to);
    arc([x - across, y], [across, down], 0.0, [false, true], start, &mut to);
    Ring { start, to }
}

/// An elliptical arc as curves (SVG 1.1, appendix F.6: from end points to a middle, then pieces of at most a quarter).
#[expect(clippy::many_single_char_names, reason = "the letters of the standard's formulas")]
#[expect(clippy::disallowed_methods, reason = "what follows is rounded to a millionth of the logo's side")]
#[expect(clippy::float_cmp, reason = "the standard asks whether the ends are the same")]
pub fn arc(from: At, radii: [f64; 2], turned: f64, [large, sweep]: [bool; 2], to: At, out: &mut Vec<Piece>) {
    let [mut rx, mut ry] = radii.map(f64::abs);
    if rx < 1e-12 || ry < 1e-12 || from == to {
        out.push(Piece::Line(to));
        return;
    }
    let (sin, cos) = turned.to_radians().sin_cos();
    let half = [(from[0] - to[0]) / 2.0, (from[1] - to[1]) / 2.0];
    let [x, y] = [cos * half[0] + sin * half[1], cos * half[1] - sin * half[0]];
    // F.6.6: radii too small to reach are grown.
    let reach = (x / rx).powi(2) + (y / ry).powi(2);
    if reach > 1.0 {
        rx *= reach.sqrt();
        ry *= reach.sqrt();
    }
    let (a, b) = ((rx * y).powi(2), (ry * x).powi(2));
    let root = ((rx * ry).powi(2) - a - b).max(0.0) / (a + b).max(f64::MIN_POSITIVE);
    let sign = if large == sweep { -1.0 } else { 1.0 };
    let [cx, cy] = [sign * root.sqrt() * rx * y / ry, -sign * root.sqrt() * ry * x / rx];
    let angle = |x: f64, y: f64| (y / ry).atan2(x / rx);
    let start = angle(x - cx, y - cy);
    let mut by = angle(-x - cx, -y - cy) - start;
    let round = std::f64::consts::TAU;
    if sweep && by < 0.0 {
        by += round;
    } else if !sweep && by > 0.0 {
        by -= round;
    }
    let middle =
        [f64::midpoint(from[0], to[0]) + cos * cx - sin * cy, f64::midpoint(from[1], to[1]) + sin * cx + cos * cy];
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 1 and 4")]
    let steps = (by.abs() / (round / 4.0)).ceil().clamp(1.0, 4.0) as u8;
    let step = by / f64::from(steps);
    let mut last = from;
    // Length of the handles on a circle of radius 1.
    let handle = 4.0 / 3.0 * (step / 4.0).tan();
    let at = |x: f64, y: f64| [middle[0] + cos * rx * x - sin * ry * y, middle[1] + sin * rx * x + cos * ry * y];
    for n in 0..steps {
        let (s, e) = (start + step * f64::from(n), start + step * f64::from(n + 1));
        let first = at(s.cos() - handle * s.sin(), s.sin() + handle * s.cos());
        let second = at(e.cos() + handle * e.sin(), e.sin() - handle * e.cos());
        let end = if n + 1 == steps { to } else { at(e.cos(), e.sin()) };
        out.extend(pieces(last, first, second, end));
        last = end;
    }
}
