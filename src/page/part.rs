//! Rows stacked into a part's outline. Part of `page`.
//!
//! In a circle a row of one unframed block sets each line to the chord free over that line's whole height; everything else is
//! laid into a rectangle that lies inside over the row's whole height. Rows at the foot stand as low as they can with the
//! fewest lines, the others in the middle of what is left above.

use super::block::{Air, Block, Family, Laid};
use super::code::Codes;
use super::lines::Short;
use super::outline::{Area, Outline};
use super::size::Scale;
use crate::find::Finding;
use crate::plan::{Align, Colour, Part, Shape};
use crate::unit::Length;
use std::ops::RangeInclusive;

/// How far type grows at the foot of a circle: a little, so that it does not stand on its legal limit.
const IN_A_SEGMENT: Scale = Scale(68);

/// A part shaped in one family.
pub(super) struct Ready<'p> {
    pub part: &'p Part,
    pub outline: Outline,
    pub head: Vec<Row<'p>>,
    pub foot: Vec<Row<'p>>,
    /// Statements at the head that have a line of their own and fit on one at their floor: cell and piece.
    single: Vec<(usize, usize)>,
}

/// Blocks side by side.
pub(super) struct Row<'p> {
    pub cells: Vec<Cell<'p>>,
}

/// A block and its number in the part.
pub(super) struct Cell<'p> {
    pub block: Block<'p>,
    pub number: usize,
    width: Option<Length>,
    pub align: Align,
    /// Colour of its letters.
    pub ink: Option<Colour>,
    /// On white whatever the ground.
    pub on_white: bool,
}

/// How a part is laid.
#[derive(Clone, Copy)]
pub(super) struct Manner<'a> {
    /// For each block by its number.
    pub scales: &'a [Scale],
    pub air: Air,
    /// Eighths of the room between rows that is added where height is left over.
    pub extra: i64,
    /// Stand in the middle, not just anywhere.
    pub compose: bool,
    /// In a circle: where rows began at nearly the same sizes, so that only the heights round it are tried.
    pub near: Option<Length>,
}

/// Rows in their places.
pub(super) struct Stack {
    /// For each row its blocks, in the order of cells.
    pub rows: Vec<Vec<Laid>>,
    /// Highest ink, or where it might be in an empty stack.
    pub top: Length,
    bottom: Length,
}

impl Stack {
    fn lines(&self) -> usize {
        self.rows.iter().flatten().map(|l| l.lines.len()).sum()
    }
}

impl<'p> Ready<'p> {
    /// Shapes all blocks of a part; rows that say nothing fall away.
    pub fn new(part: &'p Part, family: Family, codes: &mut Codes) -> Result<Self, Vec<Finding>> {
        let (mut head, mut foot, mut findings, mut number) = (Vec::new(), Vec::new(), Vec::new(), 0);
        for row in &part.rows {
            let mut cells = Vec::new();
            for cell in &row.cells {
                match Block::new(&cell.block, cell.width, family, codes) {
                    Ok(block) if block.pieces.is_empty() => {}
                    Ok(block) => {
                        let (ink, on_white) = (cell.ink, cell.black_on_white());
                        cells.push(Cell { block, number, width: cell.width, align: cell.align, ink, on_white });
                        number += 1;
                    }
                    Err(found) => findings.extend(found),
                }
            }
            if cells.is_empty() {
                continue;
            }
            let low = row.at_foot || cells.iter().any(|c| c.block.lowest().is_some());
            if low && matches!(part.shape, Shape::Circle { .. }) {
                // Larger type would need a longer chord and climb away from the foot.
                for cell in &mut cells {
                    cell.block.most = cell.block.most.min(IN_A_SEGMENT);
                }
            }
            if let [cell] = cells.as_mut_slice() {
                cell.block.keep_lines(part.shape.width() - part.margin.max(Length::ZERO) * 2);
            }
            if low { &mut foot } else { &mut head }.push(Row { cells });
        }
        if findings.is_empty() {
            Ok(Self {
                part,
                outline: Outline::new(part.shape, part.margin).with(part.hole),
                head,
                foot,
                single: Vec::new(),
            })
        } else {
            Err(findings)
        }
    }

    /// Keeps statements that have a line of their own, where all is laid at its floor, to that line.
    pub fn keep_single_lines(&mut self, air: Air) {
        let scales = vec![Scale::FLOOR; self.cells().len()];
        let how = Manner { scales: &scales, air, extra: 0, compose: false, near: None };
        let Ok((head, foot)) = self.arrange(how) else { return };
        let rows = self.head.iter_mut().zip(&head.rows).chain(self.foot.iter_mut().zip(&foot.rows));
        for (row, laid) in rows {
            for (cell, laid) in row.cells.iter_mut().zip(laid) {
                cell.block.keep_single_lines(laid);
            }
        }
        self.single = self.singles(&head, 1..=1);
    }

    /// Cell and piece of each statement at the head that has a line of its own and stands on so many lines.
    fn singles(&self, head: &Stack, lines: RangeInclusive<usize>) -> Vec<(usize, usize)> {
        let cells = self.head.iter().zip(&head.rows).flat_map(|(row, laid)| row.cells.iter().zip(laid));
        let single = cells.filter(|(cell, _)| cell.block.is_single());
        let pieces = single.flat_map(|(cell, laid)| {
            let pieces = laid.lines.chunk_by(|a, b| a.piece == b.piece);
            pieces.filter(|p| lines.contains(&p.len())).map(|p| (cell.number, p[0].piece)).collect::<Vec<_>>()
        });
        pieces.collect()
    }

    /// The same rows in another shape.
    pub fn reshape(&mut self, shape: Shape) {
        self.outline = Outline::new(shape, self.part.margin).with(self.part.hole);
        self.single.clear();
    }
    /// All cells, by number.
    pub fn cells(&self) -> Vec<&Cell<'p>> {
        let mut cells: Vec<&Cell> = self.head.iter().chain(&self.foot).flat_map(|r| &r.cells).collect();
        cells.sort_by_key(|c| c.number);
        cells
    }

    /// How far each block may grow by itself beyond `scales`, in this order: on the panel with the name as far as its plan
    /// says, elsewhere by a quarter; codes and pictograms come last and take what their cells have left.
    pub fn growth(&self, scales: &[Scale]) -> Vec<(Vec<usize>, Scale)> {
        let most = |c: &Cell| {
            let free = self.part.principal || c.block.only_drawn();
            let most = self.most(c);
            if free { most } else { most.min(scales[c.number].times(5, 4)) }
        };
        let mut cells: Vec<&Cell> = self.all().collect();
        cells.sort_by_key(|c| c.block.only_drawn());
        let mut groups: Vec<(Vec<usize>, Scale)> = Vec::new();
        for (at, cell) in cells.iter().enumerate() {
            if cells[..at].iter().any(|c| c.block.plan.name == cell.block.plan.name) {
                continue;
            }
            let alike = || cells[at..].iter().filter(|c| c.block.plan.name == cell.block.plan.name);
            let least = alike().map(|c| most(c)).min().unwrap_or(Scale::FLOOR);
            groups.push((alike().map(|c| c.number).collect(), least));
        }
        groups
    }

    fn all(&self) -> impl Iterator<Item = &Cell<'p>> {
        self.head.iter().chain(&self.foot).flat_map(|r| &r.cells)
    }

    /// How far a block may grow: as far as the same block in another language may, so that both keep one size.
    pub fn most(&self, cell: &Cell) -> Scale {
        let alike = self.all().filter(|c| c.block.plan.name == cell.block.plan.name);
        alike.map(|c| c.block.most).min().unwrap_or(cell.block.most)
    }

    /// The same as long as all grow together: words first, pictures in the room they leave.
    pub fn most_together(&self, cell: &Cell) -> Scale {
        let alike = self.all().filter(|c| c.block.plan.name == cell.block.plan.name);
        alike.map(|c| c.block.most_together()).min().unwrap_or(cell.block.most)
    }

    /// Places all rows: those at the head, those at the foot.
    pub fn arrange(&self, how: Manner) -> Result<(Stack, Stack), Short> {
        let foot = self.stand_low(how)?;
        let between = match (self.head.last(), self.foot.first()) {
            (Some(a), Some(b)) => gap(a, b, how),
            _ => Length::ZERO,
        };
        let limit = foot.top - between;
        let head = if self.head.is_empty() {
            Stack { rows: Vec::new(), top: limit, bottom: limit }
        } else if self.outline.is_circle() {
            self.stand_in_circle(limit, how)?
        } else {
            self.stand_in_middle(limit, how)?
        };
        Ok((head, foot))
    }

    /// Height of all rows in a part of this width without end, to tell how much is missing.
    pub fn height_wanted(&self, how: Manner) -> Result<Length, Short> {
        let free = self.endless();
        let head = free.stack(&self.head, Length::ZERO, None, how)?;
        let foot = free.stack(&self.foot, Length::ZERO, None, how)?;
        let between = match (self.head.last(), self.foot.first()) {
            (Some(a), Some(b)) => gap(a, b, how),
            _ => Length::ZERO,
        };
        Ok(head.bottom + between + foot.bottom)
    }

    /// The part's width, without end downwards.
    fn endless(&self) -> Field {
        let width = (self.outline_width() - self.outline.margin() * 2).max(Length::ZERO);
        Field {
            outline: Outline::new(Shape::Rectangle { width, height: Length::mm(20_000) }, Length::ZERO),
            height: Length::ZERO,
        }
    }
    fn outline_width(&self) -> Length {
        self.outline.bottom_right().0
    }
    fn field(&self) -> Field {
        Field { outline: self.outline, height: self.outline.bottom_right().1 }
    }

    fn stand_low(&self, how: Manner) -> Result<Stack, Short> {
        let (top, bottom) = (self.outline.top(), self.outline.bottom());
        if self.foot.is_empty() {
            return Ok(Stack { rows: Vec::new(), top: bottom, bottom });
        }
        let free = self.endless().stack(&self.foot, Length::ZERO, None, how)?;
        let lines = free.lines();
        let step = Length::um(250);
        let mut first = None;
        for more in [0, 1, 2, 4] {
            let mut y = bottom - free.bottom;
            for _ in 0..240 {
                match self.field().stack(&self.foot, y, Some(bottom), how) {
                    Ok(stack) if stack.lines() <= lines + more => return Ok(stack),
                    Ok(_) => {}
                    Err(short @ Short::Lowest(..)) => return Err(first.unwrap_or(short)),
                    Err(short) => first = first.or(Some(short)),
                }
                y = y - step;
                if y < top {
                    break;
                }
            }
        }
        Err(first.unwrap_or(Short::Height(free.bottom - (bottom - top))))
    }

    fn stand_in_middle(&self, limit: Length, how: Manner) -> Result<Stack, Short> {
        let top = self.outline.top();
        let stack = self.field().stack(&self.head, top, Some(limit), how)?;
        if !how.compose {
            return Ok(stack);
        }
        // A little above the middle looks like the middle when something stands below.
        let share = if self.foot.is_empty() { 50 } else { 42 };
        let lower = top + (limit - stack.bottom).times_ratio(share, 100);
        Ok(self.field().stack(&self.head, lower, Some(limit), how).unwrap_or(stack))
    }

    fn stand_in_circle(&self, limit: Length, how: Manner) -> Result<Stack, Short> {
        let top = self.outline.top();
        let off = |s: &Stack| (s.top - top) - (limit - s.bottom);
        let mut best: Option<Stack> = None;
        let mut least: Option<Short> = None;
        let mut try_at = |y: Length, best: &mut Option<Stack>| match self.field().stack(&self.head, y, Some(limit), how)
        {
            // Lower down a line is shorter, and a statement would break that need not.
            Ok(stack) if self.singles(&stack, 2..=usize::MAX).iter().any(|s| self.single.contains(s)) => None,
            Ok(stack) => {
                let found = off(&stack);
                if best.as_ref().is_none_or(|b| found.to_raw().abs() < off(b).to_raw().abs()) {
                    *best = Some(stack);
                }
                Some(found)
            }
            Err(short) => {
                least.get_or_insert(short);
                None
            }
        };
        let step = (limit - top) / 64;
        let starts: Vec<Length> = match how.near {
            // Larger rows begin higher: down from a little above.
            Some(near) => (-2..=8).map(|n| (near - step * n).max(top)).collect(),
            None => (0..=32).map(|n| top + step * n).collect(),
        };
        for y in starts {
            try_at(y, &mut best);
            if best.is_some() && !how.compose {
                break;
            }
        }
        for _ in 0..6 {
            let Some(stack) = &best else { break };
            let y = stack.top - off(stack) / 2;
            if try_at(y, &mut best).is_none_or(|found| found == Length::ZERO) {
                break;
            }
        }
        best.ok_or_else(|| least.unwrap_or(Short::Height(Length::ZERO)))
    }
}

/// Where rows are laid: an outline, and the height of the part that `lowest_percent` is counted from (zero: not counted).
struct Field {
    outline: Outline,
    height: Length,
}

impl Field {
    fn stack(&self, rows: &[Row], top: Length, limit: Option<Length>, how: Manner) -> Result<Stack, Short> {
        let mut y = top;
        let mut stack = Stack { rows: Vec::new(), top, bottom: top };
        for (n, row) in rows.iter().enumerate() {
            if n > 0 {
                y = y + gap(&rows[n - 1], row, how);
            }
            let (laid, bottom) = self.row(row, y, how)?;
            if let Some(limit) = limit
                && bottom > limit
            {
                return Err(Short::Height(bottom - limit));
            }
            stack.rows.push(laid);
            y = bottom;
        }
        stack.bottom = y;
        Ok(stack)
    }

    fn row(&self, row: &Row, top: Length, how: Manner) -> Result<(Vec<Laid>, Length), Short> {
        if let [cell] = row.cells.as_slice()
            && self.outline.is_circle()
            && !cell.block.plan.frame
        {
            let scale = how.scales[cell.number];
            let mut chord = |from, to| self.outline.chord(from, to);
            let laid = cell.block.lay(top, scale, how.air, self.height, &mut chord)?;
            let bottom = laid.bottom;
            return Ok((vec![laid], bottom));
        }
        let mut height = Length::ZERO;
        for _ in 0..12 {
            let room = self.outline.chord(top, top + height).ok_or(Short::Height(height))?;
            let (cells, bottom) = self.beside(row, top, room, how)?;
            let grown = bottom - top;
            if grown <= height || self.outline.chord(top, bottom) == Some(room) {
                return Ok((cells, bottom));
            }
            height = grown;
        }
        Err(Short::Height(height))
    }

    /// Lays the cells of a row side by side into a stretch.
    fn beside(
        &self,
        row: &Row,
        top: Length,
        room: (Length, Length),
        how: Manner,
    ) -> Result<(Vec<Laid>, Length), Short> {
        let scale = |cell: &Cell| how.scales[cell.number];
        let shared = |cell: &Cell| cell.width.is_none() && !(cell.block.only_drawn() && row.cells.len() > 1);
        let own = |cell: &Cell| match cell.width {
            _ if shared(cell) => Length::ZERO,
            Some(width) => width,
            None => cell.block.drawn_width(room.1 - room.0, scale(cell)),
        };
        let side = |cell: &Cell| cell.block.clearance(scale(cell)).1;
        let between = |pair: &[Cell]| {
            // A code brings its own quiet zone; two columns of one text need more, or the eye runs on into the other.
            let columns = pair[0].block.plan.name == pair[1].block.plan.name;
            let plain = match pair.iter().any(|c| c.block.only_code()) {
                true => how.air.cell / 4,
                false if columns => how.air.cell * 2,
                false => how.air.cell,
            };
            plain.max(side(&pair[0])).max(side(&pair[1]))
        };
        let gaps: Vec<Length> = row.cells.windows(2).map(between).collect();
        let taken = row.cells.iter().map(own).sum::<Length>() + gaps.iter().copied().sum::<Length>();
        let sharing = i64::try_from(row.cells.iter().filter(|c| shared(c)).count()).unwrap_or(0);
        let free = room.1 - room.0 - taken;
        if free < Length::ZERO || (sharing > 0 && free / sharing <= Length::ZERO) {
            return Err(Short::Width(-free, "the row".into()));
        }
        let mut left = if sharing == 0 { room.0 + free / 2 } else { room.0 };
        let mut cells = Vec::new();
        for (n, cell) in row.cells.iter().enumerate() {
            let width = if shared(cell) { free / sharing } else { own(cell) };
            let mut stretch = |_: Length, _: Length| Some((left, left + width));
            cells.push(cell.block.lay(top, scale(cell), how.air, self.height, &mut stretch)?);
            left = left + width + gaps.get(n).copied().unwrap_or(Length::ZERO);
        }
        level(row, &mut cells);
        let bottom = cells.iter().map(|l| l.bottom).max().unwrap_or(top);
        if row.cells.iter().any(|c| c.block.only_drawn()) {
            for laid in &mut cells {
                let down = (bottom - laid.bottom) / 2;
                laid.lower(down);
            }
        }
        Ok((cells, bottom))
    }
}

/// The same block in two languages: their first lines stand level, also where only one of them begins with an accent.
fn level(row: &Row, cells: &mut [Laid]) {
    let first = |laid: &Laid| laid.lines.first().map(|l| l.baseline);
    for n in 0..cells.len() {
        let alike = |m: &usize| row.cells[*m].block.plan.name == row.cells[n].block.plan.name;
        let lowest = (0..cells.len()).filter(alike).filter_map(|m| first(&cells[m])).max();
        if let (Some(own), Some(lowest)) = (first(&cells[n]), lowest) {
            cells[n].lower(lowest - own);
        }
    }
}

/// Ink to ink between two rows.
fn gap(above: &Row, below: &Row, how: Manner) -> Length {
    let largest = |row: &Row| {
        let ems = row.cells.iter().map(|c| c.block.largest_em(how.scales[c.number]));
        ems.max().unwrap_or(Length::ZERO)
    };
    let clear = |row: &Row| {
        let all = row.cells.iter().map(|c| c.block.clearance(how.scales[c.number]).0);
        all.max().unwrap_or(Length::ZERO)
    };
    let (a, b) = (largest(above), largest(below));
    let plain = (a.max(b) + a.min(b) * 3).times_ratio(how.air.row, 400).max(how.air.least);
    let more = a.max(b).clamp(Length::um(2500), Length::mm(6)).times_ratio(how.extra, 20);
    (plain + more).max(clear(above)).max(clear(below))
}

impl Laid {
    /// Moves everything down.
    fn lower(&mut self, by: Length) {
        for line in &mut self.lines {
            line.baseline = line.baseline + by;
        }
        for code in &mut self.codes {
            code.top = code.top + by;
        }
        for row in &mut self.signs {
            row.top = row.top + by;
        }
        if let Some(f) = self.frame {
            self.frame = Some(Area { top: f.top + by, bottom: f.bottom + by, ..f });
        }
        self.bottom = self.bottom + by;
    }
}
