//! Rows in their places turned into what is drawn. Part of `page`.

use super::block::{FRAME, Laid, Piece, start};
use super::outline::{Area, Outline};
use super::part::{Cell, Ready, Row, Stack};
use super::size::{Scale, at};
use super::symbol;
use super::{Ink, Paint, Path, Placed, Point, Ring, Segment, Text};
use crate::font::face;
use crate::plan::Align;
use crate::unit::Length;

/// Something drawn, and the statement it belongs to: block and piece (a frame has no piece).
pub(super) struct Mark {
    pub placed: Placed,
    pub owner: (usize, Option<usize>),
}

/// Space that only its owner may print in.
pub(super) struct Reserved {
    pub area: Area,
    pub owner: (usize, Option<usize>),
}

/// A part as drawn.
pub(super) struct Drawn {
    pub marks: Vec<Mark>,
    pub reserved: Vec<Reserved>,
}

/// Radius of a frame's corners.
const ROUND: Length = Length::um(800);

/// Draws all rows: frames first, then symbols and codes, then text.
pub(super) fn draw(ready: &Ready, head: Stack, foot: Stack, scales: &[Scale]) -> Drawn {
    let mut drawn = Drawn { marks: Vec::new(), reserved: Vec::new() };
    let rows = ready.head.iter().zip(head.rows).chain(ready.foot.iter().zip(foot.rows));
    for (row, mut laid) in rows {
        let centred = ready.outline.is_circle() && row.cells.len() == 1;
        let align = |cell: &Cell| if centred { Align::Centre } else { cell.align };
        for (cell, laid) in row.cells.iter().zip(&mut laid) {
            cell.block.even_out(laid, align(cell), scales[cell.number]);
        }
        if ready.outline.is_circle() {
            gather(row, &mut laid, ready.outline, scales);
        }
        for (cell, laid) in row.cells.iter().zip(&laid) {
            drawn.cell(cell, laid, align(cell), scales[cell.number], ready.outline);
        }
    }
    drawn.marks.sort_by_key(|m| match &m.placed {
        Placed::Path(p) if matches!(p.paint, Paint::Stroke(..)) => 0,
        Placed::Path(_) => 1,
        Placed::Text(_) => 2,
    });
    drawn
}

/// In a circle, draws frames and cells together round what they hold, so that nothing looks lopsided.
fn gather(row: &Row, laid: &mut [Laid], outline: Outline, scales: &[Scale]) {
    let middle = outline.bottom_right().0 / 2;
    let widest = |cell: &Cell, laid: &Laid| cell.block.laid_width(laid, scales[cell.number]);
    if let ([cell], [laid]) = (row.cells.as_slice(), &mut *laid) {
        if let (Some(frame), Some(room)) = (laid.frame, laid.lines.first().map(|l| l.room)) {
            let unused = (room.1 - room.0 - widest(cell, laid)).max(Length::ZERO) / 2;
            laid.frame = Some(Area { left: frame.left + unused, right: frame.right - unused, ..frame });
        }
        return;
    }
    // The stretch each cell has, the stretch it needs, and the gaps between.
    let stretch = |l: &Laid| {
        let first = l.lines.first().map(|l| l.room).or(l.codes.first().map(|c| c.room));
        first.or(l.signs.first().map(|r| r.room))
    };
    let has: Vec<_> = laid.iter().map(stretch).collect();
    let Some(has) = has.into_iter().collect::<Option<Vec<(Length, Length)>>>() else { return };
    if laid.iter().any(|l| l.frame.is_some()) {
        return;
    }
    let wants: Vec<Length> = row.cells.iter().zip(&*laid).map(|(c, l)| widest(c, l)).collect();
    let gaps: Vec<Length> = has.windows(2).map(|w| w[1].0 - w[0].1).collect();
    let total = wants.iter().copied().sum::<Length>() + gaps.iter().copied().sum::<Length>();
    let mut left = middle - total / 2;
    for (n, laid) in laid.iter_mut().enumerate() {
        let room = (left, left + wants[n]);
        for line in &mut laid.lines {
            line.room = room;
        }
        for code in &mut laid.codes {
            code.room = room;
        }
        for row in &mut laid.signs {
            row.room = room;
        }
        left = room.1 + gaps.get(n).copied().unwrap_or(Length::ZERO);
    }
}

impl Drawn {
    fn cell(&mut self, cell: &Cell, laid: &Laid, align: Align, scale: Scale, outline: Outline) {
        if let Some(area) = laid.frame {
            let paint = Paint::Stroke(Ink::Black, FRAME);
            let path = Path { rings: vec![rounded(area, ROUND)], paint };
            self.marks.push(Mark { placed: Placed::Path(path), owner: (cell.number, None) });
        }
        for spot in &laid.codes {
            if let Some(Piece::Logo(emblem)) = cell.block.pieces.get(spot.piece) {
                let owner = (cell.number, Some(spot.piece));
                let (left, top) = (start(align, spot.room, emblem.width), spot.top);
                let drawn = emblem.paths(Point { x: left, y: top });
                self.marks.extend(drawn.into_iter().map(|p| Mark { placed: Placed::Path(p), owner }));
                let area = Area { left, top, right: left + emblem.width, bottom: top + emblem.height };
                self.reserved.push(Reserved { area, owner });
                continue;
            }
            let Some(Piece::Code(code)) = cell.block.pieces.get(spot.piece) else { continue };
            let owner = (cell.number, Some(spot.piece));
            let size = code.size(scale);
            let (top, bottom) = (spot.top, spot.top + size);
            let mut left = start(align, spot.room, size);
            // At the edge of the part the margin, where nothing is printed, serves as quiet zone, so that the modules stand
            // flush with the text.
            let over = if laid.frame.is_some() { Length::ZERO } else { code.quiet(scale).min(outline.margin()) };
            match (align, outline.chord(top, bottom)) {
                (Align::Left, Some((edge, _))) if edge == left => left = left - over,
                (Align::Right, Some((_, edge))) if edge == left + size => left = left + over,
                _ => {}
            }
            self.marks.push(Mark { placed: Placed::Path(code.path(left, top, scale)), owner });
            let area = Area { left, top, right: left + size, bottom };
            self.reserved.push(Reserved { area, owner });
        }
        for row in &laid.signs {
            let Some(Piece::Signs(signs)) = cell.block.pieces.get(row.piece) else { continue };
            let owner = (cell.number, Some(row.piece));
            let (each, gap) = (signs.each(scale), signs.gap(scale));
            let mut left = start(align, row.room, cell.block.row_width(row, scale));
            for n in row.signs.clone() {
                let drawn = signs.paths(n, Point { x: left, y: row.top }, scale);
                self.marks.extend(drawn.into_iter().map(|p| Mark { placed: Placed::Path(p), owner }));
                let area = Area { left, top: row.top, right: left + each, bottom: row.top + each };
                self.reserved.push(Reserved { area, owner });
                left = left + each + gap;
            }
        }
        for line in &laid.lines {
            let Some(Piece::Words(words)) = cell.block.pieces.get(line.piece) else { continue };
            let owner = (cell.number, Some(line.piece));
            let mut x = start(align, line.room, cell.block.line_width(line, scale));
            if line.letters.start == 0 && words.alert {
                let path = symbol::path(x, line.baseline, words.symbol_height(scale));
                self.marks.push(Mark { placed: Placed::Path(path), owner });
                x = x + words.symbol_advance(scale);
            }
            for (n, part) in words.stretches(&line.letters, scale).into_iter().enumerate() {
                if n == 0 {
                    x = x + part.out.0;
                }
                let text = Text {
                    text: words.text(&part.letters),
                    face: part.face,
                    size: part.em,
                    x,
                    baseline: line.baseline,
                    ink: cell.ink.map_or(Ink::Black, Ink::Own),
                };
                if words.clear.is_some()
                    && let Some(ink) = ink(&text)
                {
                    let (height, side) = words.clearance(scale);
                    self.reserved.push(Reserved { area: ink.grown(side, height), owner });
                }
                x = x + part.advance;
                self.marks.push(Mark { placed: Placed::Text(text), owner });
            }
        }
    }
}

/// The box of a text's ink; `None` where nothing is seen.
pub(super) fn ink(text: &Text) -> Option<Area> {
    let f = face(text.face);
    let run = f.shape(&text.text).ok()?;
    let mut x = 0;
    let mut area: Option<(i64, i64, i64, i64)> = None;
    for glyph in run.glyphs {
        if let Some((left, low, right, high)) = f.ink_of(glyph.ch) {
            let here = (x + left, low, x + right, high);
            area = Some(area.map_or(here, |a| (a.0.min(here.0), a.1.min(here.1), a.2.max(here.2), a.3.max(here.3))));
        }
        x += glyph.advance;
    }
    let (left, low, right, high) = area?;
    Some(Area {
        left: text.x - at(text.size, -left, f),
        right: text.x + at(text.size, right, f),
        top: text.baseline - at(text.size, high, f),
        bottom: text.baseline + at(text.size, -low, f),
    })
}

/// A rectangle with rounded corners, clockwise from the upper left.
#[expect(clippy::many_single_char_names, reason = "left, top, bottom, radius, handle: short, to show the pattern")]
pub(super) fn rounded(area: Area, radius: Length) -> Ring {
    let r = radius.min((area.right - area.left) / 2).min((area.bottom - area.top) / 2).max(Length::ZERO);
    let h = r.times_ratio(552_285, 1_000_000);
    let (l, t, ri, b) = (area.left, area.top, area.right, area.bottom);
    let p = |x, y| Point { x, y };
    let to = vec![
        Segment::Line(p(ri - r, t)),
        Segment::Curve(p(ri - r + h, t), p(ri, t + r - h), p(ri, t + r)),
        Segment::Line(p(ri, b - r)),
        Segment::Curve(p(ri, b - r + h), p(ri - r + h, b), p(ri - r, b)),
        Segment::Line(p(l + r, b)),
        Segment::Curve(p(l + r - h, b), p(l, b - r + h), p(l, b - r)),
        Segment::Line(p(l, t + r)),
        Segment::Curve(p(l, t + r - h), p(l + r - h, t), p(l + r, t)),
    ];
    Ring { start: p(l + r, t), to, closed: true }
}

/// The boxes a path prints in: one for what is filled, one for each piece of what is stroked.
pub(super) fn path_ink(path: &Path) -> Vec<Area> {
    let mut areas: Vec<Area> = Vec::new();
    let around =
        |points: &[Point]| {
            let first = points.first()?;
            Some(points.iter().fold(Area { left: first.x, top: first.y, right: first.x, bottom: first.y }, |a, p| {
                Area { left: a.left.min(p.x), top: a.top.min(p.y), right: a.right.max(p.x), bottom: a.bottom.max(p.y) }
            }))
        };
    let mut all = Vec::new();
    for ring in &path.rings {
        let mut from = ring.start;
        for segment in &ring.to {
            let points = match segment {
                Segment::Line(p) => vec![from, *p],
                Segment::Curve(a, b, c) => halved(from, *a, *b, *c),
            };
            from = *points.last().unwrap_or(&from);
            if let (Paint::Stroke(_, width), Some(area)) = (path.paint, around(&points)) {
                areas.push(area.grown(width / 2, width / 2));
            }
            all.extend(points);
        }
    }
    if matches!(path.paint, Paint::Stroke(..)) { areas } else { around(&all).into_iter().collect() }
}

/// Ends and handles of both halves of a curve: they lie nearer to it than its own handles, which stick out of round corners.
fn halved(from: Point, a: Point, b: Point, to: Point) -> Vec<Point> {
    let mid = |p: Point, q: Point| Point { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 };
    let (one, two, three) = (mid(from, a), mid(a, b), mid(b, to));
    let (left, right) = (mid(one, two), mid(two, three));
    vec![from, one, left, mid(left, right), right, three, to]
}
