//! Paper forms: headings, paragraphs, tables and boxes to write in, on one page of paper. Part of `page`; `lot` fills it.
//!
//! Blocks follow each other from top to bottom inside 12 mm margins. The text is set in 9.5 pt if all fits on one page so,
//! else smaller in steps of 0.25 pt down to 7.5 pt (house policy: what still reads well at a bench). What does not fit then
//! is a finding.

use super::check;
use super::code::{Code, Codes};
use super::draw::{Drawn, Mark, rounded};
use super::lines::{Paragraph, Short, Words};
use super::outline::{Area, Outline};
use super::picture::{Small, picture};
use super::size::{Scale, at};
use super::{Ink, Page, Paint, Path, Placed, Point, Ring, Segment, Text, wording};
use crate::find::Finding;
use crate::font::{FaceId, face};
use crate::plan::{Align, Shape};
use crate::unit::Length;

/// A4, upright.
pub const A4: Shape = Shape::Rectangle { width: Length::mm(210), height: Length::mm(297) };
/// US Letter, upright: 8.5 x 11 in.
pub const LETTER: Shape = Shape::Rectangle { width: Length::inch(17, 2), height: Length::inch(11, 1) };

const MARGIN: Length = Length::mm(12);
/// Sizes of text in hundredths of a point, tried in this order.
const SIZES: [i64; 9] = [950, 925, 900, 875, 850, 825, 800, 775, 750];
const HAIRLINE: Length = Length::um(150);
const RULE: Ink = Ink::Grey(60);
/// Side of a module of a form's code.
const MODULE: Length = Length::um(500);

/// One thing on a form, as wide as the page inside its margins.
#[derive(Debug, Clone)]
pub enum FormBlock {
    /// Words in bold, larger, with space above.
    Heading(String),
    /// Running text.
    Paragraph(String),
    /// One paragraph each, led by a bullet.
    Bullets(Vec<String>),
    /// Rows under titles, with rules between.
    Table {
        /// Left to right.
        columns: Vec<Column>,
        /// Each with a text for each column; missing ones are left empty to be written in.
        rows: Vec<Vec<String>>,
        /// Least height of a row; zero to follow the text. 7 mm leaves room for handwriting.
        row_height: Length,
    },
    /// Labels, each above an empty box for handwriting.
    Boxes {
        /// What is to be written.
        labels: Vec<String>,
        /// How many side by side.
        per_row: usize,
        /// Height of each box.
        height: Length,
    },
    /// Empty space.
    Space(Length),
    /// Finished pages in small, side by side, each in a frame; never larger than they are.
    Pictures {
        /// What is shown.
        pages: Vec<Page>,
        /// The most height one takes.
        height: Length,
    },
    /// A QR code at the right margin; what follows stands at its left until it is below.
    Qr {
        /// What it holds.
        payload: String,
    },
}

/// A column of a [`FormBlock::Table`].
#[derive(Debug, Clone)]
pub struct Column {
    /// Set in bold above the column; a table whose titles are all empty has no title row.
    pub title: String,
    /// Share of the width, relative to the other columns'; at least 1.
    pub share: u16,
    /// Where the texts stand. Figures are best set to the right.
    pub align: Align,
}

/// Sets a form on one page of `paper`: the title, the lines of `note` at its right (may be empty, the first one larger), then the blocks.
///
/// ```
/// use waxbill::page::form::{A4, FormBlock, form};
/// let blocks = [FormBlock::Heading("To weigh".into()), FormBlock::Paragraph("Wax first, then fragrance.".into())];
/// let page = form(A4, "batch sheet", "Low Tide", "Lot 26329A4", &blocks).unwrap();
/// assert_eq!(page.part, "batch sheet");
/// ```
///
/// # Errors
/// When not all fits on one page at 7.5 pt, a word is wider than its column, or a character is in no face.
pub fn form(paper: Shape, part: &str, title: &str, note: &str, blocks: &[FormBlock]) -> Result<Page, Vec<Finding>> {
    let outline = Outline::new(paper, MARGIN);
    if !outline.has_room() {
        return Err(vec![wording::form_does_not_fit(part, "the paper is smaller than its margins")]);
    }
    let mut why = String::new();
    for size in SIZES {
        let em = Length::raw(size * Length::inch(1, 72).to_raw() / 100);
        let mut sheet = Sheet {
            marks: Vec::new(),
            pictures: Vec::new(),
            y: MARGIN,
            outline,
            em,
            owner: 0,
            code: (Length::ZERO, Length::ZERO),
        };
        match sheet.fill(title, note, blocks) {
            Ok(()) => {
                let drawn = Drawn { marks: std::mem::take(&mut sheet.marks), reserved: Vec::new() };
                let faults = check::faults(&drawn, outline);
                if let Some(fault) = faults.first() {
                    return Err(vec![wording::form_does_not_fit(part, fault)]);
                }
                let items = drawn.marks.into_iter().map(|m| m.placed).chain(sheet.pictures).collect();
                return Ok(Page { part: part.to_owned(), trim: paper, items });
            }
            Err(Stop::Finding(finding)) => return Err(vec![*finding]),
            Err(Stop::Short(short)) => why = wording::short(&short),
        }
    }
    Err(vec![wording::form_does_not_fit(part, &why)])
}

enum Stop {
    Finding(Box<Finding>),
    Short(Short),
}

impl From<Short> for Stop {
    fn from(short: Short) -> Self {
        Self::Short(short)
    }
}

/// A page being filled from the top.
struct Sheet {
    marks: Vec<Mark>,
    /// Ink of pages that were looked at when they were set.
    pictures: Vec<Placed>,
    y: Length,
    outline: Outline,
    em: Length,
    owner: usize,
    /// How much a code takes at the right, and down to where.
    code: (Length, Length),
}

impl Sheet {
    fn right(&self) -> Length {
        let taken = if self.y < self.code.1 { self.code.0 } else { Length::ZERO };
        self.outline.bottom_right().0 - MARGIN - taken
    }
    /// A share of the em.
    fn part(&self, percent: i64) -> Length {
        self.em.times_ratio(percent, 100)
    }

    fn fill(&mut self, title: &str, note: &str, blocks: &[FormBlock]) -> Result<(), Stop> {
        let (left, right) = (MARGIN, self.right());
        let top = self.y;
        let mut end = self.text(title, true, 170, Align::Left, (left, right - (right - left) / 3), top)?;
        let mut beside = top + self.part(33);
        for (n, line) in note.lines().enumerate() {
            let percent = if n == 0 { 130 } else { 100 };
            beside = self.text(line, n == 0, percent, Align::Right, (right - (right - left) / 3, right), beside)?;
            end = end.max(beside);
            beside = beside + self.part(15);
        }
        self.y = end + self.part(50);
        self.rule(self.y, left, right, Ink::Black, HAIRLINE * 2);
        self.y = self.y + self.part(60);
        for block in blocks {
            self.block(block)?;
            let code = if matches!(block, FormBlock::Qr { .. }) { self.code.1 } else { self.y };
            if code > self.outline.bottom() {
                return Err(Short::Height(code - self.outline.bottom()).into());
            }
            if self.y > self.outline.bottom() {
                return Err(Short::Height(self.y - self.outline.bottom()).into());
            }
        }
        Ok(())
    }

    fn block(&mut self, block: &FormBlock) -> Result<(), Stop> {
        let (left, right) = (MARGIN, self.right());
        match block {
            FormBlock::Heading(words) => {
                let y = self.y + self.part(70);
                self.y = self.text(words, true, 120, Align::Left, (left, right), y)? + self.part(45);
            }
            FormBlock::Paragraph(words) => {
                self.y = self.text(words, false, 100, Align::Left, (left, right), self.y)? + self.part(50);
            }
            FormBlock::Bullets(all) => {
                for words in all {
                    let y = self.y;
                    self.text("•", false, 100, Align::Left, (left, left + self.part(120)), y)?;
                    let end = self.text(words, false, 100, Align::Left, (left + self.part(120), right), y)?;
                    self.y = end + self.part(35);
                }
                self.y = self.y + self.part(20);
            }
            FormBlock::Table { columns, rows, row_height } => self.table(columns, rows, *row_height)?,
            FormBlock::Boxes { labels, per_row, height } => self.boxes(labels, (*per_row).clamp(1, 12), *height)?,
            FormBlock::Pictures { pages, height } => self.pictures(pages, *height),
            FormBlock::Space(by) => self.y = self.y + by.max(&Length::ZERO).to_owned(),
            FormBlock::Qr { payload } => {
                let code = Code::new(payload, MODULE, None, &mut Codes::default())
                    .ok_or_else(|| Stop::Finding(Box::new(wording::form_code_too_long(payload.len()))))?;
                let (size, quiet) = (code.size(Scale::FLOOR), code.quiet(Scale::FLOOR));
                // The margin is the quiet zone on the right.
                let top = self.y - quiet.min(self.part(60));
                self.draw(Placed::Path(code.path(right - size + quiet, top, Scale::FLOOR)));
                self.code = (size - quiet, top + size);
            }
        }
        self.owner += 1;
        Ok(())
    }

    fn table(&mut self, columns: &[Column], rows: &[Vec<String>], row_height: Length) -> Result<(), Stop> {
        let (left, right) = (MARGIN, self.right());
        let shares: i64 = columns.iter().map(|c| i64::from(c.share.max(1))).sum();
        if shares == 0 {
            return Ok(());
        }
        let mut edges = vec![left];
        let mut sum = 0;
        for column in columns {
            sum += i64::from(column.share.max(1));
            edges.push(left + (right - left).times_ratio(sum, shares));
        }
        let pad = self.part(40);
        self.rule(self.y, left, right, RULE, HAIRLINE);
        if columns.iter().any(|c| !c.title.trim().is_empty()) {
            let titles: Vec<&str> = columns.iter().map(|c| c.title.as_str()).collect();
            self.table_row(columns, &titles, &edges, pad, Length::ZERO, true)?;
        }
        for row in rows {
            let texts: Vec<&str> = row.iter().map(String::as_str).collect();
            self.table_row(columns, &texts, &edges, pad, row_height, false)?;
        }
        self.y = self.y + self.part(70);
        Ok(())
    }

    fn table_row(
        &mut self,
        columns: &[Column],
        texts: &[&str],
        edges: &[Length],
        pad: Length,
        least: Length,
        bold: bool,
    ) -> Result<(), Stop> {
        let top = self.y;
        let from = self.marks.len();
        let mut end = top + pad;
        for (n, column) in columns.iter().enumerate() {
            // The outer cells are flush with the margins.
            let inner_left = if n == 0 { edges[n] } else { edges[n] + pad * 2 };
            let inner_right = if n + 1 == columns.len() { edges[n + 1] } else { edges[n + 1] - pad };
            let text = texts.get(n).copied().unwrap_or("");
            end = end.max(self.text(text, bold, 100, column.align, (inner_left, inner_right), top + pad)?);
        }
        let height = (end + pad - top).max(least);
        // Text stands in the middle of a row that is higher than it.
        let down = (height - (end + pad - top)) / 2;
        for mark in &mut self.marks[from..] {
            if let Placed::Text(text) = &mut mark.placed {
                text.baseline = text.baseline + down;
            }
        }
        self.y = top + height;
        let ink = if bold { Ink::Black } else { RULE };
        self.rule(self.y, edges[0], edges[edges.len() - 1], ink, HAIRLINE);
        Ok(())
    }

    fn boxes(&mut self, labels: &[String], per_row: usize, height: Length) -> Result<(), Stop> {
        let (left, right) = (MARGIN, self.right());
        let gap = Length::mm(4);
        let count = i64::try_from(per_row).unwrap_or(1);
        let width = (right - left - gap * (count - 1)) / count;
        for row in labels.chunks(per_row) {
            let top = self.y;
            let mut below = top;
            for (n, label) in (0..).zip(row) {
                let x = left + (width + gap) * n;
                below = below.max(self.text(label, false, 90, Align::Left, (x, x + width), top)?);
            }
            let top = below + self.part(25);
            for n in 0..i64::try_from(row.len()).unwrap_or(0) {
                let x = left + (width + gap) * n + HAIRLINE / 2;
                let area = Area { left: x, top, right: x + width - HAIRLINE, bottom: top + height.max(self.em) };
                let path = Path { rings: vec![rounded(area, Length::um(500))], paint: Paint::Stroke(RULE, HAIRLINE) };
                self.draw(Placed::Path(path));
            }
            self.y = top + height.max(self.em) + self.part(80);
        }
        Ok(())
    }

    fn pictures(&mut self, pages: &[Page], height: Length) {
        const GAP: Length = Length::mm(5);
        let (left, right) = (MARGIN, self.right());
        let gaps = GAP * i64::try_from(pages.len().saturating_sub(1)).unwrap_or(0);
        let wide: Length = pages.iter().map(|p| p.trim.width()).fold(Length::ZERO, |sum, w| sum + w);
        let Some(high) = pages.iter().map(|p| p.trim.height()).max() else { return };
        let room = right - left - gaps;
        if wide <= Length::ZERO || high <= Length::ZERO || room <= Length::ZERO {
            return;
        }
        // the smallest of: as it is, as wide as there is room, as high as asked for
        let mut scale = (1, 1);
        for (num, den) in [(room.to_raw(), wide.to_raw()), (height.to_raw(), high.to_raw())] {
            if i128::from(num) * i128::from(scale.1) < i128::from(scale.0) * i128::from(den) {
                scale = (num, den);
            }
        }
        let (num, den) = scale;
        let mut x = left;
        for page in pages {
            self.pictures.extend(picture(page, Small { num, den, left: x, top: self.y }));
            x = x + page.trim.width().times_ratio(num, den) + GAP;
        }
        self.y = self.y + high.times_ratio(num, den) + self.part(60);
    }

    /// Sets a text of `percent` of the form's size with its capitals' height at `top`; returns where it ends.
    fn text(
        &mut self,
        words: &str,
        bold: bool,
        percent: i64,
        align: Align,
        room: (Length, Length),
        top: Length,
    ) -> Result<Length, Stop> {
        if words.trim().is_empty() {
            return Ok(top);
        }
        let id = if bold { FaceId::NormalBold } else { FaceId::Normal };
        let (f, size) = (face(id), self.part(percent));
        let missing = |m| Stop::Finding(Box::new(wording::form_character(words, m)));
        let paragraph =
            Paragraph::new(vec![Words { text: words.to_owned(), face: id, floor: size }]).map_err(missing)?;
        let width = room.1 - room.0;
        let lines = paragraph.lines(Scale::FLOOR, true, &mut |_| Some(width))?;
        // The same for all texts of a row, so that they share their baseline.
        let ascent =
            at(size, f.ascender().min(f.d_height().max(f.cap_height()) + 60), f).max(paragraph.ascent(Scale::FLOOR));
        let mut baseline = top + ascent;
        for (n, line) in lines.iter().enumerate() {
            if n > 0 {
                baseline = baseline + paragraph.leading(Scale::FLOOR);
            }
            let x = super::block::start(align, room, paragraph.width(line, Scale::FLOOR));
            for part in paragraph.stretches(line, Scale::FLOOR) {
                let text = Text {
                    text: paragraph.text(&part.letters),
                    face: part.face,
                    size,
                    x: x + part.out.0,
                    baseline,
                    ink: Ink::Black,
                };
                self.draw(Placed::Text(text));
            }
        }
        Ok(baseline + at(size, -f.descender(), f))
    }

    fn rule(&mut self, y: Length, left: Length, right: Length, ink: Ink, width: Length) {
        // Ends are drawn in by half the width, so that the line stays inside the margins.
        let (start, end) = (Point { x: left + width / 2, y }, Point { x: right - width / 2, y });
        let ring = Ring { start, to: vec![Segment::Line(end)], closed: false };
        self.draw(Placed::Path(Path { rings: vec![ring], paint: Paint::Stroke(ink, width) }));
    }

    fn draw(&mut self, placed: Placed) {
        self.marks.push(Mark { placed, owner: (self.owner, None) });
    }
}
