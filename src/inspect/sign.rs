//! Finds pictograms by their geometry and colour: red squares on their points, black squares and discs, warning triangles.
//!
//! The reader shares no drawing with the writer: a frame is known by its corners, what is in it by the paint that lies
//! uppermost at a grid of places, or by the pixels of a picture. Which hazard a pictogram shows is told by what is black in it
//! (`symbol`); of signs for use only that they hold something, and that no two are alike.

use super::frame::{Frame, around, cut, framed, grown, middle, shortest, turn};
use super::ground;
use super::read::LEAST_CONTRAST;
use super::seen::{Area, Glyph, Mark, Painted, SeenPage};
use super::{space, symbol};
use crate::plan::{Content, Item, Part, Shape};
use crate::trade::{Ghs, Sign};
use crate::unit::Length;

/// A side may be this many mm short before it counts.
const SIDE_TOLERANCE: f64 = 0.02;
/// A square on its point may be turned by this much (degrees).
const TURN: f64 = 2.0;
/// Most paths of a page that are taken for frames, and most that turn out to be; a label has a dozen.
const MOST_FRAMES: (usize, usize) = (300, 64);
/// Most corners of the paths that meet one frame; a symbol has some hundreds.
const MOST_CORNERS: usize = 3_000;
/// Cosine and sine of multiples of 30 degrees.
const DIRECTIONS: [[f64; 2]; 12] = {
    const C: f64 = 0.866_025_403_784_438_6;
    [
        [1.0, 0.0],
        [C, 0.5],
        [0.5, C],
        [0.0, 1.0],
        [-0.5, C],
        [-C, 0.5],
        [-1.0, 0.0],
        [-C, -0.5],
        [-0.5, -C],
        [0.0, -1.0],
        [0.5, -C],
        [C, -0.5],
    ]
};
/// Places looked at along a side.
const GRID: u8 = 96;
/// A frame's area may differ by these shares from what its corners give: drawn, and made of pixels.
const EXACT: f64 = 0.01;
const PIXELS: f64 = 0.04;

/// A framed sign as it stands on the page.
#[derive(Debug, Clone)]
pub struct Seen {
    /// Its frame.
    pub frame: Frame,
    /// Side of the square or triangle, or diameter, in mm.
    pub side: f64,
    /// Clockwise: of a diamond from the uppermost, of the others those of the box round them, from the upper left.
    corners: [[f64; 2]; 4],
    /// The box round it.
    pub area: Area,
    /// What is wrong with it, whatever was asked.
    pub faults: Vec<Fault>,
    /// Where its symbol is black.
    symbol: Vec<bool>,
    /// Whether its frame is red.
    red: bool,
    /// Whether it is part of a picture.
    printed: bool,
    /// Which hazard it shows, where that can be told.
    pub ghs: Option<Ghs>,
}

/// What is wrong with a sign by itself.
#[derive(Debug, Clone, PartialEq)]
pub enum Fault {
    /// The frame has another colour than it should: red, green and blue from 0 to 1.
    Colour([f64; 3]),
    /// The square does not stand on its point: so many degrees off.
    Turned(f64),
    /// No black symbol on white inside the frame.
    NoSymbol,
    /// A letter stands on it.
    Letter(String),
    /// So many mm run over the cut.
    Outside(f64),
    /// The same symbol as another one on the part.
    Twice,
    /// The symbol of a hazard that none of the signs asked for has.
    Other(Ghs),
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Paint {
    White,
    Black,
    Red,
    Other,
}

/// Which of the four a colour is.
fn paint([r, g, b]: [f64; 3]) -> Paint {
    let (most, least) = (r.max(g).max(b), r.min(g).min(b));
    if least > 0.9 {
        Paint::White
    } else if most < 0.35 {
        Paint::Black
    } else if is_red([r, g, b]) {
        Paint::Red
    } else {
        Paint::Other
    }
}

/// Within 20 degrees of pure red on the wheel of hues, strong, and neither dark nor pale. CLP Annex I, 1.2.1 says "red" and
/// no more; the bounds are this program's.
fn is_red([r, g, b]: [f64; 3]) -> bool {
    let (most, least) = (r.max(g).max(b), r.min(g).min(b));
    let spread = most - least;
    r >= most && spread > 0.0 && 60.0 * (g - b).abs() / spread <= 20.0 && spread / most >= 0.6 && most >= 0.5
}

/// Which of the four a pixel is: its edges are mixed with what lies beside it.
fn mixed([r, g, b]: [f64; 3]) -> Paint {
    let (most, least) = (r.max(g).max(b), r.min(g).min(b));
    if r >= most && most - least >= 0.45 * most && (g - b).abs() <= 0.4 * (most - least) && most >= 0.4 {
        Paint::Red
    } else if most - least > 0.3 {
        Paint::Other
    } else if most >= 0.5 {
        Paint::White
    } else {
        Paint::Black
    }
}

/// The signs of one kind of frame that an item asks for, and those given to it.
#[derive(Debug)]
pub struct Shared {
    /// Hazard pictograms, else signs for use or the alert symbol.
    pub kind: Kind,
    /// How many are asked for.
    pub asked: usize,
    /// At most as many.
    pub found: Vec<Seen>,
}

/// Kinds that are told apart by their frames.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A hazard pictogram: red, on its point.
    Hazard,
    /// A sign for use: black, square or round.
    Use,
    /// The safety alert symbol.
    Alert,
}

impl Kind {
    const ALL: [Self; 3] = [Self::Hazard, Self::Use, Self::Alert];

    fn of(sign: Sign) -> Self {
        match sign {
            Sign::GeneralWarning => Self::Alert,
            _ if sign.ghs().is_some() => Self::Hazard,
            _ => Self::Use,
        }
    }
    /// What it has to look like, for messages.
    pub const fn looks(self) -> &'static str {
        match self {
            Self::Hazard => "a black symbol on white in a red square set on its point",
            Self::Use => "a black picture on white in a black square or ring",
            Self::Alert => "an exclamation mark in a black triangle",
        }
    }
    fn framed(self, frame: Frame) -> bool {
        match self {
            Self::Hazard => frame == Frame::Diamond,
            Self::Use => matches!(frame, Frame::Square | Frame::Round),
            Self::Alert => frame == Frame::Triangle,
        }
    }
}

/// Gives each item the signs of the page that suit it: those without faults first, and of these the largest to the items
/// that ask for the largest.
pub fn share<'a>(page: &SeenPage, part: &Part, items: impl Iterator<Item = &'a Item>) -> Vec<Vec<Shared>> {
    let asked: Vec<(&[Sign], f64)> = items
        .map(|item| match &item.content {
            Content::Pictograms { signs, side } => (signs.as_slice(), side.to_mm_f64()),
            _ => (&[][..], 0.0),
        })
        .collect();
    let mut shared: Vec<Vec<Shared>> = asked.iter().map(|_| Vec::new()).collect();
    if asked.iter().all(|(signs, _)| signs.is_empty()) {
        return shared;
    }
    let mut seen = all(page, part.shape);
    // No symbol may stand on the part more often than the sign asked for most often.
    let every = || asked.iter().flat_map(|(signs, _)| *signs);
    let most = every().map(|a| every().filter(|b| a == *b).count()).max().unwrap_or(1);
    for n in most..seen.len() {
        let (before, rest) = seen.split_at_mut(n);
        let Some(this) = rest.first_mut() else { continue };
        let same = |b: &&Seen| {
            b.frame == this.frame && (alike(&b.symbol, &this.symbol) || (b.ghs.is_some() && b.ghs == this.ghs))
        };
        if before.iter().filter(same).count() >= most {
            this.faults.push(Fault::Twice);
        }
    }
    for this in &mut seen {
        if let Some(ghs) = this.ghs.filter(|ghs| !every().any(|sign| sign.ghs() == Some(*ghs))) {
            this.faults.push(Fault::Other(ghs));
        }
    }
    // Last is taken first.
    seen.sort_by(|a, b| b.faults.len().cmp(&a.faults.len()).then(a.side.total_cmp(&b.side)));
    let mut order: Vec<usize> = (0..asked.len()).collect();
    order.sort_by(|&a, &b| asked[b].1.total_cmp(&asked[a].1));
    for n in order {
        for kind in Kind::ALL {
            let count = asked[n].0.iter().filter(|s| Kind::of(**s) == kind).count();
            let mut found = Vec::new();
            while found.len() < count
                && let Some(next) = seen.iter().rposition(|s| kind.framed(s.frame))
            {
                found.push(seen.remove(next));
            }
            if count > 0 {
                shared[n].push(Shared { kind, asked: count, found });
            }
        }
    }
    shared
}

/// The hazard pictograms of a page, row by row: the box round each, and the symbol it shows where that can be told.
#[must_use]
pub fn pictograms(page: &SeenPage) -> Vec<(Area, Option<Ghs>)> {
    let shape = Shape::Rectangle { width: Length::from_mm_f64(page.width), height: Length::from_mm_f64(page.height) };
    let of_hazard = all(page, shape).into_iter().filter(|s| s.frame == Frame::Diamond && s.red);
    let mut found: Vec<(Area, Option<Ghs>)> = of_hazard.map(|s| (s.area, s.ghs)).collect();
    found.sort_by(|(a, _), (b, _)| a.top.round().total_cmp(&b.top.round()).then(a.left.total_cmp(&b.left)));
    found
}

/// All framed signs on the page; of those within each other the inner ones.
pub fn all(page: &SeenPage, shape: Shape) -> Vec<Seen> {
    let (mut found, mut tried): (Vec<Seen>, usize) = (Vec::new(), 0);
    let dark = |m: &&Mark| m.contrast >= LEAST_CONTRAST && m.area.width().min(m.area.height()) >= 3.0;
    let drawn = page.marks.iter().map(|m| (m, false));
    for (mark, printed) in drawn.chain(page.printed.iter().map(|m| (m, true))).filter(|(m, _)| dark(m)) {
        let Some((frame, corners)) = framed(mark, if printed { PIXELS } else { EXACT }) else { continue };
        let stroke = if let Painted::Stroked(width) = mark.painted { width } else { 0.0 };
        let corners = cut(grown(corners, stroke), frame, &mark.area);
        let Some(area) = around(&corners) else { continue };
        let side = if frame == Frame::Triangle { area.width() } else { shortest(&corners) };
        // Two frames on the same spot are one to the eye.
        let same = |s: &Seen| {
            let (a, b) = (s.area.middle(), area.middle());
            (a[0] - b[0]).hypot(a[1] - b[1]) < 0.45 * s.side.max(side)
        };
        if found.iter().any(same) {
            continue;
        }
        let mut seen =
            Seen { frame, side, corners, area, faults: Vec::new(), symbol: Vec::new(), red: false, printed, ghs: None };
        tried += 1;
        if look(page, shape, &mut seen) {
            found.push(seen);
        }
        if tried >= MOST_FRAMES.0 || found.len() >= MOST_FRAMES.1 {
            break;
        }
    }
    // A frame drawn round signs is none itself.
    let areas: Vec<Area> = found.iter().map(|s| s.area).collect();
    found.retain(|s| !areas.iter().any(|a| *a != s.area && s.area.holds(a, 0.0)));
    found
}

/// Whether hardly a place differs.
fn alike(a: &[bool], b: &[bool]) -> bool {
    let (differ, black) = (a.iter().zip(b).filter(|(a, b)| a != b).count(), a.iter().filter(|b| **b).count());
    a.len() == b.len() && black > 0 && differ * 20 < black
}

impl Seen {
    /// How many mm its side may be short before it counts: in a picture the outermost pixels are mixed with the paper.
    pub fn tolerance(&self) -> f64 {
        if self.printed { 0.02 * self.side } else { SIDE_TOLERANCE }
    }

    /// Whether its frame is red.
    pub const fn is_red(&self) -> bool {
        self.red
    }

    /// A place in the frame: from the middle, -1 to 1 from edge to edge.
    fn at(&self, u: f64, v: f64) -> [f64; 2] {
        let ([corner, across, _, down], middle) = (&self.corners, middle(&self.corners));
        [0, 1].map(|n| middle[n] + u * (across[n] - corner[n]) / 2.0 + v * (down[n] - corner[n]) / 2.0)
    }

    /// Whether a box reaches into the frame.
    fn meets(&self, area: &Area) -> bool {
        let shared = self.area.within(area);
        if shared.width() <= 0.0 || shared.height() <= 0.0 {
            return false;
        }
        let [x, y] = self.area.middle();
        let away = |low: f64, high: f64, at: f64| (low - at).max(at - high).max(0.0);
        let (dx, dy) = (away(area.left, area.right, x), away(area.top, area.bottom, y));
        let (half_x, half_y) = (self.area.width() / 2.0, self.area.height() / 2.0);
        match self.frame {
            Frame::Diamond => dx / half_x + dy / half_y < 1.0,
            Frame::Round => (dx / half_x).hypot(dy / half_y) < 1.0,
            Frame::Square | Frame::Triangle => true,
        }
    }

    /// How far its worst corner lies inside the cut; negative outside.
    fn depth(&self, shape: Shape) -> f64 {
        let a = self.area;
        let [x, _] = a.middle();
        let points: Vec<[f64; 2]> = match self.frame {
            Frame::Diamond | Frame::Square => self.corners.to_vec(),
            Frame::Round => DIRECTIONS.map(|[u, v]| self.at(u, v)).to_vec(),
            Frame::Triangle => vec![[x, a.top], [a.right, a.bottom], [a.left, a.bottom]],
        };
        points.into_iter().map(|p| space::depth(shape, p)).fold(f64::INFINITY, f64::min)
    }
}

/// Looks at frame and inside; `false` where it is no sign at all.
fn look(page: &SeenPage, shape: Shape, seen: &mut Seen) -> bool {
    let marks: Vec<&Mark> = page.marks.iter().filter(|m| m.area.meets(&seen.area, 0.0)).collect();
    if marks.iter().flat_map(|m| &m.rings).map(Vec::len).sum::<usize>() > MOST_CORNERS {
        return false;
    }
    let colour = |p: [f64; 2]| {
        let over = marks.iter().rfind(|m| m.covers(p));
        let picture = page.pictures.iter().any(|i| i.area.has(p) && over.is_none_or(|m| m.order < i.order));
        if picture {
            page.paper.as_ref()?.colour(page.view.on_page(p))
        } else {
            Some(over.map_or_else(|| ground::paper(page, p), |m| m.rgb))
        }
    };
    let paint = if seen.printed { mixed } else { paint };
    if seen.frame == Frame::Triangle {
        let inner = [0.0, 0.2, 0.4].map(|v| colour(seen.at(0.0, v)).map(paint));
        let sides = [-0.75, 0.75].map(|u| colour(seen.at(u, 0.9)).map(paint));
        if !inner.contains(&Some(Paint::White)) || sides.iter().any(|s| *s != Some(Paint::Black)) {
            return false;
        }
    } else {
        let Some(rim) = rim(seen, &colour, paint) else { return false };
        inside(seen, &colour, paint);
        // A plain panel of paint, or a frame round text, is no sign.
        let white = seen.faults.contains(&Fault::NoSymbol) && seen.symbol.iter().filter(|b| **b).count() < 8;
        let red = paint(rim) == Paint::Red;
        seen.red = red;
        if white && !red {
            return false;
        }
        match (seen.frame, red) {
            (Frame::Diamond, false) => seen.faults.push(Fault::Colour(rim)),
            (Frame::Round, _) | (Frame::Square, false) if paint(rim) != Paint::Black => {
                seen.faults.push(Fault::Colour(rim));
            }
            _ => {}
        }
        let turned = turn(seen.corners[0], seen.corners[1]);
        if seen.frame == Frame::Square && red {
            // A hazard pictogram laid flat.
            seen.frame = Frame::Diamond;
        }
        if seen.frame == Frame::Diamond {
            seen.ghs = symbol::told(&seen.symbol, usize::from(GRID));
            if turned.abs() > TURN {
                seen.faults.push(Fault::Turned(turned));
            }
        }
    }
    let over = |g: &&Glyph| g.hidden.is_none() && g.ink.is_some_and(|a| seen.meets(&a));
    if let Some(glyph) = page.glyphs.iter().find(over) {
        seen.faults.push(Fault::Letter(glyph.text.clone()));
    }
    let depth = seen.depth(shape);
    if depth < -super::TOLERANCE {
        seen.faults.push(Fault::Outside(-depth));
    }
    true
}

/// The colour of the frame where it has one all round, at two depths; `None` where it has not.
fn rim(seen: &Seen, colour: &impl Fn([f64; 2]) -> Option<[f64; 3]>, paint: fn([f64; 3]) -> Paint) -> Option<[f64; 3]> {
    let mut first = None;
    // The outermost pixel is mixed with the paper.
    for depth in if seen.printed { [0.96, 0.94] } else { [0.98, 0.95] } {
        for (n, [u, v]) in (0..12_u8).zip(DIRECTIONS) {
            // Away from the corners, which may be rounded.
            let along = (f64::from(n) - 5.5) / 5.5 * 0.7;
            let places = match seen.frame {
                Frame::Round => vec![seen.at(depth * u, depth * v)],
                _ => vec![seen.at(along, -depth), seen.at(along, depth), seen.at(-depth, along), seen.at(depth, along)],
            };
            for place in places {
                let here = colour(place)?;
                let like = *first.get_or_insert(here);
                if paint(here) == Paint::White || paint(here) != paint(like) {
                    return None;
                }
            }
        }
    }
    first
}

/// White with a black symbol, and nothing else; notes where it is black.
fn inside(seen: &mut Seen, colour: &impl Fn([f64; 2]) -> Option<[f64; 3]>, paint: fn([f64; 3]) -> Paint) {
    let (mut white, mut black, mut other, mut symbol) = (0, 0, 0, Vec::new());
    for row in 0..GRID {
        for column in 0..GRID {
            let place = |n: u8| ((f64::from(n) + 0.5) / f64::from(GRID) * 2.0 - 1.0) * 0.82;
            let (u, v) = (place(column), place(row));
            if seen.frame == Frame::Round && u.hypot(v) > 0.82 {
                continue;
            }
            let here = colour(seen.at(u, v)).map_or(Paint::Other, paint);
            match here {
                Paint::White => white += 1,
                Paint::Black => black += 1,
                Paint::Red | Paint::Other => other += 1,
            }
            symbol.push(here == Paint::Black);
        }
    }
    let all = white + black + other;
    if black * 50 < all || white * 3 < all || other * 50 > all {
        seen.faults.push(Fault::NoSymbol);
    }
    seen.symbol = symbol;
}
