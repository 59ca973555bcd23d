//! A block of statements as paragraphs and codes, laid down from a given height at a given scale. Part of `page`.

use super::code::{Code, Codes};
use super::emblem::Emblem;
use super::lines::{Paragraph, Short, Words};
use super::outline::Area;
use super::sign::Signs;
use super::size::{Scale, em_for};
use super::wording;
use crate::find::Finding;
use crate::font::{FaceId, Missing, face};
use crate::plan::{self, Align, Content};
use crate::trade::BlockName;
use crate::unit::Length;
use std::ops::Range;

/// Thickness of a frame's line.
pub(super) const FRAME: Length = Length::um(250);

/// One of the three families, from wide to narrow.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Family {
    Normal,
    Tight,
    Tightest,
}

impl Family {
    pub const ALL: [Self; 3] = [Self::Normal, Self::Tight, Self::Tightest];

    pub const fn face(self, bold: bool) -> FaceId {
        match (self, bold) {
            (Self::Normal, false) => FaceId::Normal,
            (Self::Normal, true) => FaceId::NormalBold,
            (Self::Tight, false) => FaceId::Tight,
            (Self::Tight, true) => FaceId::TightBold,
            (Self::Tightest, false) => FaceId::Tightest,
            (Self::Tightest, true) => FaceId::TightestBold,
        }
    }
}

/// How much space is left between things.
#[derive(Debug, Clone, Copy)]
pub(super) struct Air {
    /// Between statements of a block, in percent of the em.
    pub statement: i64,
    /// Between rows, in percent of the em of the two, the smaller counted three times.
    pub row: i64,
    /// Between rows, at least.
    pub least: Length,
    /// Between a frame and its text.
    pub padding: Length,
    /// Between cells.
    pub cell: Length,
}

impl Air {
    /// As a label is meant to look.
    pub const AMPLE: Self =
        Self { statement: 22, row: 65, least: Length::um(1200), padding: Length::um(1500), cell: Length::um(2000) };
    /// Closer, where there is no room for that.
    pub const MIDDLE: Self =
        Self { statement: 12, row: 42, least: Length::um(800), padding: Length::um(1200), cell: Length::um(1500) };
    /// The least that keeps things apart; used only where nothing else fits.
    pub const CLOSE: Self =
        Self { statement: 2, row: 24, least: Length::um(600), padding: Length::um(1000), cell: Length::um(1000) };
}

/// A statement, several in one paragraph, a code, or pictograms.
pub(super) enum Piece {
    Words(Paragraph),
    Code(Code),
    Signs(Signs),
    Logo(Emblem),
}

/// A block of the plan, shaped in one family.
pub(super) struct Block<'p> {
    pub plan: &'p plan::Block,
    pub pieces: Vec<Piece>,
    /// How far it may grow.
    pub most: Scale,
    /// A name that stays large enough on one line.
    one_line: bool,
}

/// The widest free stretch between two heights.
pub(super) type Room<'a> = &'a mut dyn FnMut(Length, Length) -> Option<(Length, Length)>;

/// A block in its place.
pub(super) struct Laid {
    pub lines: Vec<Line>,
    pub codes: Vec<Spot>,
    pub signs: Vec<SignRow>,
    /// Middle of the frame's line.
    pub frame: Option<Area>,
    pub bottom: Length,
}

/// A code with its quiet zone, or a logo.
pub(super) struct Spot {
    pub piece: usize,
    pub top: Length,
    /// The stretch it may use.
    pub room: (Length, Length),
}

/// Pictograms side by side.
pub(super) struct SignRow {
    pub piece: usize,
    pub signs: Range<usize>,
    pub top: Length,
    /// The stretch they may use.
    pub room: (Length, Length),
}

/// A line of a paragraph.
pub(super) struct Line {
    pub piece: usize,
    pub letters: Range<usize>,
    pub baseline: Length,
    /// The stretch it may use.
    pub room: (Length, Length),
}

impl<'p> Block<'p> {
    pub fn new(
        plan: &'p plan::Block,
        width: Option<Length>,
        family: Family,
        codes: &mut Codes,
    ) -> Result<Self, Vec<Finding>> {
        let mut pieces = Vec::new();
        let mut findings = Vec::new();
        let mut open: Vec<Words> = Vec::new();
        let mut opened = Opened::default();
        for item in &plan.items {
            let (text, alert) = match &item.content {
                Content::Text { text, .. } => (text, false),
                Content::AlertText { text, .. } => (text, true),
                Content::Logo { logo, width, height } => {
                    opened.close(&mut open, &mut pieces);
                    pieces.push(Piece::Logo(Emblem { logo: logo.clone(), width: *width, height: *height }));
                    continue;
                }
                Content::Pictograms { signs, side } => {
                    opened.close(&mut open, &mut pieces);
                    pieces.extend(Signs::new(signs, *side).map(Piece::Signs));
                    continue;
                }
                Content::Qr { payload, module } => {
                    opened.close(&mut open, &mut pieces);
                    match Code::new(payload, *module, width, codes) {
                        Some(code) => pieces.push(Piece::Code(code)),
                        None => findings.push(wording::code_too_long(item, payload.len())),
                    }
                    continue;
                }
            };
            if text.trim().is_empty() {
                continue;
            }
            let id = family.face(item.bold);
            let f = face(id);
            if let Some(missing) = text.chars().find(|c| !f.has(*c)) {
                findings.push(wording::missing_character(item, text, Missing(missing)));
                continue;
            }
            let apart = item.clear.is_some() || item.lowest_percent.is_some();
            if alert || apart || opened.apart || !plan.run_on {
                opened.close(&mut open, &mut pieces);
            }
            let floor = em_for(text, item.measure, item.least, f);
            let most = Scale::within(floor, em_for(text, item.measure, plan.largest, f));
            open.push(Words { text: text.clone(), face: id, floor });
            opened.alert |= alert;
            opened.apart = apart;
            opened.most = Some(opened.most.map_or(most, |m| m.min(most)));
            opened.clear = opened.clear.or(item.clear);
            opened.lowest = item.lowest_percent.map(|p| (p, item.id.clone())).or(opened.lowest.take());
        }
        opened.close(&mut open, &mut pieces);
        if !findings.is_empty() {
            return Err(findings);
        }
        // The statement that may grow least holds the others, so that their order of size stays as planned.
        let text = |p: &Piece| match p {
            Piece::Words(w) => Some(w.most),
            Piece::Code(_) | Piece::Signs(_) | Piece::Logo(_) => None,
        };
        let held = pieces.iter().filter_map(text).min().unwrap_or(Scale::FLOOR);
        let mut most = held;
        for piece in &mut pieces {
            match piece {
                Piece::Words(words) => words.most = held,
                Piece::Code(code) => most = most.max(code.most()),
                Piece::Signs(signs) => most = most.max(signs.most()),
                Piece::Logo(_) => {}
            }
        }
        Ok(Self { plan, pieces, most, one_line: false })
    }

    /// Where a statement must stand low, the block grows only as long as it keeps the number of lines it has at its floor;
    /// pictograms grow only as long as they keep their rows.
    pub fn keep_lines(&mut self, width: Length) {
        let sides = if self.plan.frame { (FRAME + Air::AMPLE.padding) * 2 } else { Length::ZERO };
        for piece in &mut self.pieces {
            if let Piece::Signs(signs) = piece {
                signs.keep_rows(width - sides);
            }
        }
        for piece in &self.pieces {
            let Piece::Words(words) = piece else { continue };
            let lines = |scale| words.lines(scale, true, &mut |_| Some(width)).map(|l| l.len()).ok();
            if words.lowest.is_some() {
                let at_floor = lines(Scale::FLOOR);
                while self.most > Scale::FLOOR && lines(self.most) != at_floor {
                    self.most = Scale(self.most.0 - 1);
                }
            }
        }
    }
    /// Whether each of its statements has a line of its own, and is not a name that may take two lines.
    pub fn is_single(&self) -> bool {
        !self.plan.run_on && (self.one_line || self.plan.name != BlockName::ProductName)
    }
    /// A statement with a line of its own that fits on one at its floor, as it was `laid` there, keeps to it while the block
    /// grows.
    /// A name breaks only where one line would leave it at less than two thirds of its planned size.
    pub fn keep_single_lines(&mut self, laid: &Laid) {
        let name = self.plan.name == BlockName::ProductName;
        if !self.is_single() && !name {
            return;
        }
        let planned = self.most;
        for lines in laid.lines.chunk_by(|a, b| a.piece == b.piece) {
            let ([line], Some(Piece::Words(words))) = (lines, lines.first().and_then(|l| self.pieces.get(l.piece)))
            else {
                continue;
            };
            let room = line.room.1 - line.room.0;
            let wide = |scale: Scale| words.width(&line.letters, scale) + words.symbol_advance(scale) > room;
            while self.most > Scale::FLOOR && wide(self.most) {
                self.most = Scale(self.most.0 - 1);
            }
        }
        if name {
            self.one_line = self.most >= planned.times(2, 3);
            self.most = if self.one_line { self.most } else { planned };
        }
    }
    /// How far it grows together with the others: words first, pictures in the room they leave.
    pub fn most_together(&self) -> Scale {
        let words = self.pieces.iter().filter_map(|p| if let Piece::Words(w) = p { Some(w.most) } else { None });
        words.min().map_or(self.most, |w| w.min(self.most))
    }
    /// Nothing but a code: as wide as that.
    pub fn only_code(&self) -> bool {
        self.pieces.iter().all(|p| matches!(p, Piece::Code(_)))
    }
    /// Nothing but codes or pictograms: as wide as they are.
    pub fn only_drawn(&self) -> bool {
        self.pieces.iter().all(|p| !matches!(p, Piece::Words(_)))
    }
    /// Width of its widest code, or of as many pictograms as stand side by side in half of `room`.
    pub fn drawn_width(&self, room: Length, scale: Scale) -> Length {
        let sizes = self.pieces.iter().map(|p| match p {
            Piece::Code(code) => code.size(scale),
            Piece::Signs(signs) => signs.width_in(room / 2, scale),
            Piece::Logo(emblem) => emblem.width,
            Piece::Words(_) => Length::ZERO,
        });
        sizes.max().unwrap_or(Length::ZERO)
    }
    /// Width of the widest line, code or row of pictograms as laid.
    pub fn laid_width(&self, laid: &Laid, scale: Scale) -> Length {
        let lines = laid.lines.iter().map(|l| self.line_width(l, scale));
        let codes = laid.codes.iter().map(|c| match self.pieces.get(c.piece) {
            Some(Piece::Code(code)) => code.size(scale),
            Some(Piece::Logo(emblem)) => emblem.width,
            _ => Length::ZERO,
        });
        lines.chain(codes).chain(laid.signs.iter().map(|r| self.row_width(r, scale))).max().unwrap_or(Length::ZERO)
    }
    /// The largest em in it.
    pub fn largest_em(&self, scale: Scale) -> Length {
        let ems = self.pieces.iter().map(|p| if let Piece::Words(w) = p { w.largest_em(scale) } else { Length::ZERO });
        ems.max().unwrap_or(Length::ZERO)
    }
    /// Free space it wants to its neighbours: above and below, left and right. Inside a frame the frame keeps it.
    pub fn clearance(&self, scale: Scale) -> (Length, Length) {
        let pieces =
            self.pieces.iter().filter_map(|p| if let Piece::Words(w) = p { Some(w.clearance(scale)) } else { None });
        pieces.fold((Length::ZERO, Length::ZERO), |a, b| (a.0.max(b.0), a.1.max(b.1)))
    }
    /// The lowest percent of the part that one of its statements must stand in.
    pub fn lowest(&self) -> Option<u8> {
        let all = self.pieces.iter().filter_map(|p| if let Piece::Words(w) = p { w.lowest.as_ref() } else { None });
        all.map(|(percent, _)| *percent).min()
    }
    /// Space between the middle of the frame's line and the text, at the sides and above.
    fn padding(&self, scale: Scale, air: Air) -> (Length, Length) {
        let (above, side) = self.clearance(scale);
        (FRAME / 2 + air.padding.max(side), FRAME / 2 + air.padding.max(above))
    }

    /// Lays the block down with its highest ink at `top`. `room` tells the free stretch between two heights; the highest ink of
    /// statements with a least place is checked against `part_height`.
    pub fn lay(&self, top: Length, scale: Scale, air: Air, part_height: Length, room: Room) -> Result<Laid, Short> {
        let mut laid = Laid { lines: Vec::new(), codes: Vec::new(), signs: Vec::new(), frame: None, bottom: top };
        let (side, above) = if self.plan.frame { self.padding(scale, air) } else { (Length::ZERO, Length::ZERO) };
        let outer = if self.plan.frame { FRAME / 2 } else { Length::ZERO };
        let mut inside = |from: Length, to: Length| {
            let (left, right) = room(from, to)?;
            Some((left + outer + side, right - outer - side)).filter(|(l, r)| l < r)
        };
        let mut y = top + outer + above;
        for (n, piece) in self.pieces.iter().enumerate() {
            if n > 0 {
                y = y + self.gap(n, scale, air);
            }
            y = match piece {
                Piece::Code(code) => {
                    let size = code.size(scale);
                    let room = inside(y, y + size).ok_or(Short::Height(size))?;
                    if room.1 - room.0 < size {
                        return Err(Short::Width(size - (room.1 - room.0), "the code".into()));
                    }
                    laid.codes.push(Spot { piece: n, top: y, room });
                    y + size
                }
                Piece::Logo(emblem) => {
                    let room = inside(y, y + emblem.height).ok_or(Short::Height(emblem.height))?;
                    if room.1 - room.0 < emblem.width {
                        return Err(Short::Width(emblem.width - (room.1 - room.0), "the logo".into()));
                    }
                    laid.codes.push(Spot { piece: n, top: y, room });
                    y + emblem.height
                }
                Piece::Signs(signs) => {
                    let (each, gap) = (signs.each(scale), signs.gap(scale));
                    let mut rooms = Vec::new();
                    let rows = signs.rows(scale, |row| {
                        let from = y + (each + gap) * i64::try_from(row).unwrap_or(0);
                        let at = inside(from, from + each)?;
                        rooms.push((from, at));
                        Some(at.1 - at.0)
                    });
                    let rows = rows.map_err(|missing| match missing {
                        Some(width) => Short::Width(width, "the pictogram".into()),
                        None => Short::Height(each),
                    })?;
                    for (row, (from, room)) in rows.into_iter().zip(&rooms) {
                        laid.signs.push(SignRow { piece: n, signs: row, top: *from, room: *room });
                    }
                    rooms.last().map_or(y, |(from, _)| *from + each)
                }
                Piece::Words(words) => {
                    if let Some((percent, id)) = &words.lowest
                        && y < part_height.times_ratio(100 - i64::from((*percent).min(100)), 100)
                    {
                        return Err(Short::Lowest(*percent, id.clone()));
                    }
                    let (ascent, descent, leading) = (words.ascent(scale), words.descent(scale), words.leading(scale));
                    let baseline = |line: usize| y + ascent + leading * i64::try_from(line).unwrap_or(0);
                    let mut stretches = Vec::new();
                    let lines = words.lines(scale, true, &mut |line| {
                        let at = inside(baseline(line) - ascent, baseline(line) + descent)?;
                        stretches.truncate(line);
                        stretches.push(at);
                        Some(at.1 - at.0)
                    })?;
                    let end = baseline(lines.len().max(1) - 1) + descent;
                    for (line, (letters, room)) in lines.into_iter().zip(stretches).enumerate() {
                        laid.lines.push(Line { piece: n, letters, baseline: baseline(line), room });
                    }
                    end
                }
            };
        }
        laid.bottom = y + above + outer;
        if self.plan.frame {
            let (left, right) = room(top, laid.bottom).ok_or(Short::Height(laid.bottom - top))?;
            laid.frame =
                Some(Area { left: left + outer, top: top + outer, right: right - outer, bottom: laid.bottom - outer });
        }
        Ok(laid)
    }

    /// Ink to ink between piece `n - 1` and piece `n`.
    fn gap(&self, n: usize, scale: Scale, air: Air) -> Length {
        match (&self.pieces[n - 1], &self.pieces[n]) {
            (Piece::Words(a), Piece::Words(b)) => {
                let em = a.largest_em(scale).min(b.largest_em(scale));
                let leading = a.leading(scale).max(b.leading(scale));
                let plain = (leading - a.descent(scale) - b.ascent(scale)).max(Length::ZERO);
                // A name in two languages is one thing: closer than it stands to what comes below.
                let apart = if self.plan.name == BlockName::ProductName { air.statement.min(8) } else { air.statement };
                (plain + em.times_ratio(apart, 100)).max(a.clearance(scale).0).max(b.clearance(scale).0)
            }
            (Piece::Words(a), Piece::Code(_)) | (Piece::Code(_), Piece::Words(a)) => {
                a.clearance(scale).0.max(air.least / 2)
            }
            // Half an em more than the accents of a line take, so that words do not hang on the pictures.
            (Piece::Words(a), Piece::Signs(_)) | (Piece::Signs(_), Piece::Words(a)) => {
                let room = air.least.max(a.largest_em(scale).times_ratio(i64::from(air.statement > 10) * 20 + 35, 100));
                a.clearance(scale).0.max(room)
            }
            _ => air.least,
        }
    }

    /// Breaks each paragraph anew into as many lines as it has, evenly.
    pub fn even_out(&self, laid: &mut Laid, align: Align, scale: Scale) {
        for lines in laid.lines.chunk_by_mut(|a, b| a.piece == b.piece) {
            let Some(Piece::Words(words)) = lines.first().and_then(|l| self.pieces.get(l.piece)) else { continue };
            let rooms: Vec<_> = lines.iter().map(|l| l.room).collect();
            // On a straight edge a paragraph fills its column, as long as its last line is no stump.
            let fills = lines.len() > 1
                && align != Align::Centre
                && lines.last().is_some_and(|l| self.line_width(l, scale) * 3 >= l.room.1 - l.room.0);
            if rooms.len() > 1 && !fills {
                for (line, letters) in lines.iter_mut().zip(words.balanced(scale, &rooms)) {
                    line.letters = letters;
                }
            } else if fills {
                let letters: Vec<_> = lines.iter().map(|l| l.letters.clone()).collect();
                for (line, letters) in
                    lines.iter_mut().zip(words.even_rag(&letters, scale, &rooms).into_iter().flatten())
                {
                    line.letters = letters;
                }
            }
        }
    }

    /// Width of a row of pictograms.
    pub fn row_width(&self, row: &SignRow, scale: Scale) -> Length {
        let Some(Piece::Signs(signs)) = self.pieces.get(row.piece) else { return Length::ZERO };
        signs.width(row.signs.len(), scale)
    }

    /// Width of a line with the symbol before it.
    pub fn line_width(&self, line: &Line, scale: Scale) -> Length {
        let Some(Piece::Words(words)) = self.pieces.get(line.piece) else { return Length::ZERO };
        let symbol = if line.letters.start == 0 { words.symbol_advance(scale) } else { Length::ZERO };
        words.width(&line.letters, scale) + symbol
    }
}

/// What the paragraph being collected has so far.
#[derive(Default)]
struct Opened {
    alert: bool,
    /// Holds a statement that stands alone.
    apart: bool,
    most: Option<Scale>,
    clear: Option<plan::ClearSpace>,
    lowest: Option<(u8, String)>,
}

impl Opened {
    fn close(&mut self, open: &mut Vec<Words>, pieces: &mut Vec<Piece>) {
        let done = std::mem::take(self);
        let words = std::mem::take(open);
        if words.is_empty() {
            return;
        }
        // Each character was looked up before; a space, which joins them, is in every face.
        if let Ok(mut paragraph) = Paragraph::new(words) {
            paragraph.alert = done.alert;
            paragraph.most = done.most.unwrap_or(Scale::FLOOR);
            paragraph.clear = done.clear;
            paragraph.lowest = done.lowest;
            pieces.push(Piece::Words(paragraph));
        }
    }
}

/// Where a line's left end stands within its room.
pub(super) fn start(align: Align, room: (Length, Length), width: Length) -> Length {
    let free = (room.1 - room.0 - width).max(Length::ZERO);
    match align {
        Align::Left => room.0,
        Align::Centre => room.0 + free / 2,
        Align::Right => room.0 + free,
    }
}
