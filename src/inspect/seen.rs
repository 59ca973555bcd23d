//! What a reader sees on the pages of a PDF: glyphs, marks and pictures, in millimetres. Filled by `read`, used by the checks.

use super::printed::Paper;
use super::slant::Slant;
use crate::find::Finding;
use serde::Serialize;
use std::sync::Arc;

/// A box in millimetres from the top left corner of the trimmed page, y down.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Area {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Area {
    /// Across.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.right - self.left
    }
    /// Down.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }
    /// The box round both.
    #[must_use]
    pub fn with(&self, other: &Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }
    /// What both share; of no or negative size if they do not meet.
    #[must_use]
    pub fn within(&self, other: &Self) -> Self {
        Self {
            left: self.left.max(other.left),
            top: self.top.max(other.top),
            right: self.right.min(other.right),
            bottom: self.bottom.min(other.bottom),
        }
    }
    /// Widened by `x` mm left and right and `y` mm above and below.
    #[must_use]
    pub fn widened(&self, x: f64, y: f64) -> Self {
        Self { left: self.left - x, top: self.top - y, right: self.right + x, bottom: self.bottom + y }
    }
    /// Whether more than `slack` mm is shared in both directions.
    #[must_use]
    pub fn meets(&self, other: &Self, slack: f64) -> bool {
        self.right.min(other.right) - self.left.max(other.left) > slack
            && self.bottom.min(other.bottom) - self.top.max(other.top) > slack
    }
    /// Whether the other box lies in this one, give or take `slack` mm.
    #[must_use]
    pub fn holds(&self, other: &Self, slack: f64) -> bool {
        other.left >= self.left - slack
            && other.right <= self.right + slack
            && other.top >= self.top - slack
            && other.bottom <= self.bottom + slack
    }
    /// Whether the point lies in the box.
    #[must_use]
    pub fn has(&self, [x, y]: [f64; 2]) -> bool {
        x >= self.left && x <= self.right && y >= self.top && y <= self.bottom
    }
    /// The four corners.
    #[must_use]
    pub fn corners(&self) -> [[f64; 2]; 4] {
        [[self.left, self.top], [self.right, self.top], [self.right, self.bottom], [self.left, self.bottom]]
    }
    /// The box round its corners after `to` has moved them.
    #[must_use]
    pub fn mapped(&self, to: impl Fn([f64; 2]) -> [f64; 2]) -> Self {
        let [a, b] = [to([self.left, self.top]), to([self.right, self.bottom])];
        Self { left: a[0].min(b[0]), top: a[1].min(b[1]), right: a[0].max(b[0]), bottom: a[1].max(b[1]) }
    }
    /// The middle.
    #[must_use]
    pub fn middle(&self) -> [f64; 2] {
        [f64::midpoint(self.left, self.right), f64::midpoint(self.top, self.bottom)]
    }
    /// The box round all of them.
    #[must_use]
    pub fn round<'a>(areas: impl IntoIterator<Item = &'a Self>) -> Option<Self> {
        areas.into_iter().copied().reduce(|a, b| a.with(&b))
    }
}

/// Why a glyph that is in the file is not seen on paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hidden {
    /// Not painted at all (text rendering mode 3, or a fully transparent group).
    Unpainted,
    /// Cut away, wholly or in part, by a clip.
    Clipped,
    /// Too pale against white paper.
    Pale,
    /// Something opaque and pale is painted over it.
    Covered,
    /// Wholly beyond the edge of the sheet.
    OffSheet,
}

/// One printed glyph.
#[derive(Debug, Clone, Serialize)]
pub struct Glyph {
    /// The characters it stands for; U+FFFD where the file does not say.
    pub text: String,
    /// Its origin, from the left.
    pub x: f64,
    /// Its baseline, from the top.
    pub baseline: f64,
    /// Where the next glyph would begin without kerning.
    pub end: f64,
    /// How far from the top that is; the baseline again if the writing is level.
    pub end_y: f64,
    /// The em, measured across the direction of writing under the full matrix.
    pub em: f64,
    /// The box round its outline; `None` for spaces and for what has no outline.
    pub ink: Option<Area>,
    /// The box round its outline as it is drawn, turned and sheared with it.
    #[serde(skip)]
    pub slant: Option<Slant>,
    /// Height of its outline across the direction of writing, in mm: of letters that stand askew their box says nothing.
    pub tall: Option<f64>,
    /// Area of its outline in mm², where it is filled; what lies over itself counts twice.
    #[serde(skip)]
    pub fills: Option<f64>,
    /// Thickness of its strokes as a share of the em: twice the outline's area by its length.
    pub thickness: Option<f64>,
    /// Width of an upright stem as a share of the em, of letters that have a straight one.
    pub stem: Option<f64>,
    /// Index into [`SeenPage::faces`].
    pub face: usize,
    /// Whether it runs from left to right, level and not mirrored.
    pub level: bool,
    /// Direction of writing in degrees anticlockwise, over -180 and up to 180; 0 runs to the right.
    pub turn: f64,
    /// Whether it is drawn as in a mirror.
    pub mirrored: bool,
    /// Its width as a share of what the font itself gives at this height: below 1 squeezed, above 1 stretched.
    pub stretch: f64,
    /// Red, green and blue on white paper, from 0 to 1; grey for a pattern.
    pub rgb: [f64; 3],
    /// Contrast against what is painted behind it, 1 (none) to 21; `None` if that could not be told.
    pub contrast: Option<f64>,
    /// Width in mm of a line drawn along its outline besides the filling, which makes it bolder; 0 if there is none.
    pub rim: f64,
    /// Why it is not seen, if it is not.
    pub hidden: Option<Hidden>,
    /// Position in the order of painting.
    pub order: usize,
}

/// A font as the file describes it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Face {
    /// PostScript name, with the tag of a subset.
    pub name: Option<String>,
    /// Weight of the font program: 400 is regular, 700 bold.
    pub weight: Option<u32>,
    /// Tells fonts of the same name apart.
    pub key: u128,
    /// Whether its letters are drawings in the file (a Type 3 font) and no font program.
    pub drawn: bool,
}

/// How a path is painted.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Painted {
    /// Inside, by the nonzero rule.
    Filled,
    /// Inside, by the even-odd rule.
    FilledEvenOdd,
    /// Along the outline, so many mm wide.
    Stroked(f64),
}

/// A painted path.
#[derive(Debug, Clone, Serialize)]
pub struct Mark {
    /// The box round it, with the width of its stroke.
    pub area: Area,
    /// Its outlines, flattened to straight pieces.
    pub rings: Vec<Vec<[f64; 2]>>,
    /// How it is painted.
    pub painted: Painted,
    /// Contrast against white paper, 1 (none) to 21 (black).
    pub contrast: f64,
    /// Red, green and blue on white paper, from 0 to 1; grey for a pattern.
    pub rgb: [f64; 3],
    /// Whether that colour is all of it, and no pattern, gradient or mask.
    pub plain: bool,
    /// Whether it is painted through a mask, which may be a picture, or filled with tiles that may hold anything.
    pub masked: bool,
    /// Whether nothing shines through.
    pub opaque: bool,
    /// Position in the order of painting.
    pub order: usize,
}

/// A picture of pixels.
#[derive(Debug, Clone, Serialize)]
pub struct Picture {
    /// The box round it.
    pub area: Area,
    /// Pixels across and down.
    pub pixels: (u32, u32),
    /// Whether it is only a mask that paint is laid through.
    pub stencil: bool,
    /// Whether its coding is not read here, so that nothing in it can be seen.
    pub unread: bool,
    /// Position in the order of painting.
    pub order: usize,
}

/// What is on the page but could not be read as text.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "what")]
pub enum Unread {
    /// Shapes in a row that look like letters turned to curves.
    Curves {
        /// The box round the row.
        area: Area,
        /// How many separate shapes.
        shapes: usize,
    },
    /// A picture large enough to hold text.
    Picture {
        /// The box round it.
        area: Area,
        /// Whether it covers nearly the whole page.
        whole: bool,
    },
    /// Letters whose font does not say which characters they are.
    Letters {
        /// The box round them.
        area: Area,
        /// How many.
        count: usize,
    },
    /// Letters that are there but whose height cannot be measured.
    Heights {
        /// How many.
        count: usize,
    },
    /// Notes and form fields laid over the page, which a printer may leave out.
    Notes {
        /// How many.
        count: usize,
    },
    /// The page has content that cannot be unpacked, or none where it points to some.
    Content,
    /// More is on the page than is read.
    Overfull,
}

/// Everything on one page, or of one label on it.
#[derive(Debug, Clone, Serialize)]
pub struct SeenPage {
    /// From 1.
    pub number: usize,
    /// Width of the trimmed page in mm.
    pub width: f64,
    /// Height of the trimmed page in mm.
    pub height: f64,
    /// In painting order.
    pub glyphs: Vec<Glyph>,
    /// Fonts of the glyphs.
    pub faces: Vec<Face>,
    /// Paths, in painting order, but for those of `grounds`.
    pub marks: Vec<Mark>,
    /// What is painted over the whole page: coloured paper, as it were.
    pub grounds: Vec<Mark>,
    /// Pictures, in painting order.
    pub pictures: Vec<Picture>,
    /// What the pictures show, as far as it stands apart there: in no order.
    pub printed: Vec<Mark>,
    /// The pictures as they are printed, where they were looked at.
    #[serde(skip)]
    pub(super) paper: Option<Arc<Paper>>,
    /// Words of the seen glyphs, grouped to lines.
    pub lines: Vec<super::lines::Line>,
    /// More is on the page than is read; nothing can be said about it.
    pub overfull: bool,
    /// Why, to be put after "page 1 of the PDF".
    pub excess: Option<String>,
    /// Holds patterns, masks, or pictures and drawn letters whose cost is beyond the bounds: rasters leave them out.
    pub no_raster: bool,
    /// Bytes of the heaviest letter that the file draws itself.
    #[serde(skip)]
    pub(super) heaviest: u64,
    /// The sheet the page is printed on (the media box), in mm from the top left of the trimmed page.
    pub sheet: Area,
    /// Whether the file says where the page is trimmed; else the crop or media box stands for it.
    pub trim_given: bool,
    /// What could not be read; empty if all was.
    pub unread: Vec<Unread>,
    /// How this view lies on the page of the file.
    pub view: View,
}

/// How a view lies on the page of the file: a label cut out of a sheet, or a page that is turned upright. All figures of a
/// view are from its upper left, as on paper.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct View {
    /// Quarter turns clockwise that bring the page into this view.
    pub quarters: u8,
    /// Where the view's top left corner lies on the page, in mm from the left.
    pub left: f64,
    /// The same from the top.
    pub top: f64,
    /// What a millimetre across is drawn as on the page, for a printer that draws it longer or shorter.
    pub across: f64,
    /// What a millimetre down is drawn as.
    pub down: f64,
}

impl Default for View {
    /// The page itself.
    fn default() -> Self {
        Self { quarters: 0, left: 0.0, top: 0.0, across: 1.0, down: 1.0 }
    }
}

impl Unread {
    /// Where it is, if it is in one place.
    #[must_use]
    pub fn area(&self) -> Option<Area> {
        match self {
            Self::Curves { area, .. } | Self::Picture { area, .. } | Self::Letters { area, .. } => Some(*area),
            Self::Heights { .. } | Self::Notes { .. } | Self::Content | Self::Overfull => None,
        }
    }

    pub(super) fn area_mut(&mut self) -> Option<&mut Area> {
        match self {
            Self::Curves { area, .. } | Self::Picture { area, .. } | Self::Letters { area, .. } => Some(area),
            Self::Heights { .. } | Self::Notes { .. } | Self::Content | Self::Overfull => None,
        }
    }
}

impl SeenPage {
    /// Notes that nothing can be said of the page because it `excess` ("holds more than ..."). The first reason stays.
    pub(super) fn refuse(&mut self, excess: String) {
        self.overfull = true;
        self.excess.get_or_insert(excess);
    }

    /// That nothing can be said of the page, and why.
    #[must_use]
    pub fn refused(&self) -> Option<Finding> {
        let why = self.excess.as_deref().unwrap_or("holds more than is read");
        let message = format!("page {} of the PDF {why}", self.number);
        let cure = "save the label again as a plain PDF: letters as text, simple drawings, no patterns within patterns";
        self.overfull.then(|| Finding::input("file/pdf", message, cure))
    }
}

impl Glyph {
    /// The middle of its ink, or of its line where it has none.
    #[must_use]
    pub fn middle(&self) -> [f64; 2] {
        self.ink.map_or([f64::midpoint(self.x, self.end), f64::midpoint(self.baseline, self.end_y)], |a| a.middle())
    }
    /// Whether it stands only for white space.
    #[must_use]
    pub fn is_space(&self) -> bool {
        self.text.chars().all(char::is_whitespace)
    }
    /// The single character it stands for, if it is one.
    #[must_use]
    pub fn letter(&self) -> Option<char> {
        let mut chars = self.text.chars();
        chars.next().filter(|_| chars.next().is_none())
    }
}

impl Mark {
    /// Whether the paint covers the point.
    #[must_use]
    pub fn covers(&self, point: [f64; 2]) -> bool {
        if !self.area.has(point) {
            return false;
        }
        match self.painted {
            Painted::Filled => self.winding(point) != 0,
            Painted::FilledEvenOdd => self.winding(point) % 2 != 0,
            Painted::Stroked(width) => self.pieces().any(|(a, b)| distance(point, a, b) <= width / 2.0),
        }
    }

    /// Whether paint lies anywhere in the box: its outline runs through it, or it lies wholly in the paint.
    #[must_use]
    pub fn touches(&self, area: &Area) -> bool {
        if !self.area.meets(area, 0.0) {
            return false;
        }
        let (half, filled) = match self.painted {
            Painted::Stroked(width) => (width / 2.0, false),
            Painted::Filled | Painted::FilledEvenOdd => (0.0, true),
        };
        let wide = area.widened(half, half);
        self.pieces().any(|(a, b)| crosses(&wide, a, b)) || (filled && self.covers(area.middle()))
    }

    /// Distance of a point from its outline.
    #[must_use]
    pub fn to_outline(&self, point: [f64; 2]) -> f64 {
        self.pieces().map(|(a, b)| distance(point, a, b)).fold(f64::INFINITY, f64::min)
    }

    fn pieces(&self) -> impl Iterator<Item = ([f64; 2], [f64; 2])> + '_ {
        let close = !matches!(self.painted, Painted::Stroked(_));
        self.rings.iter().flat_map(move |ring| {
            let back = match (ring.first(), ring.last()) {
                (Some(first), Some(last)) if close => Some((*last, *first)),
                _ => None,
            };
            ring.windows(2).map(|w| (w[0], w[1])).chain(back)
        })
    }

    fn winding(&self, [x, y]: [f64; 2]) -> i32 {
        let mut turns = 0;
        for (a, b) in self.pieces() {
            if (a[1] <= y) != (b[1] <= y) {
                let at = a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]);
                if at > x {
                    turns += if b[1] > a[1] { 1 } else { -1 };
                }
            }
        }
        turns
    }
}

/// Distance of a point from a straight piece.
fn distance(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let length = dx * dx + dy * dy;
    let t = if length > 0.0 { (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length).clamp(0.0, 1.0) } else { 0.0 };
    (p[0] - a[0] - t * dx).hypot(p[1] - a[1] - t * dy)
}

/// Whether a straight piece runs through the inside of a box (Liang-Barsky clipping).
fn crosses(area: &Area, a: [f64; 2], b: [f64; 2]) -> bool {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (p, q) in [(-dx, a[0] - area.left), (dx, area.right - a[0]), (-dy, a[1] - area.top), (dy, area.bottom - a[1])] {
        if p == 0.0 {
            if q <= 0.0 {
                return false;
            }
        } else if p < 0.0 {
            from = from.max(q / p);
        } else {
            to = to.min(q / p);
        }
    }
    from < to
}
