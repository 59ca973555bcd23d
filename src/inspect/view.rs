//! Other views of a page that was read: turned upright, or one label cut out of a sheet of them. Used by the checks.

use super::ground;
use super::lines::{self, Line};
use super::read::BLOCK_GAP;
use super::seen::{Area, Glyph, SeenPage, View};
use hayro::kurbo::Affine;

impl View {
    /// Where a point of this view lies on the page of the file, in mm from its top left corner.
    #[must_use]
    pub fn on_page(&self, point: [f64; 2]) -> [f64; 2] {
        let [x, y] = (0..self.quarters % 4).fold(point, |[x, y], _| [y, -x]);
        [self.left + x * self.across, self.top + y * self.down]
    }

    /// Where a point of the page of the file lies in this view.
    #[must_use]
    pub fn from_page(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let at = [(x - self.left) / self.across, (y - self.top) / self.down];
        (0..self.quarters % 4).fold(at, |[x, y], _| [-y, x])
    }

    /// The same as a matrix, for `units` to the millimetre on both sides.
    pub(super) fn matrix(&self, units: f64) -> Affine {
        let there = Affine::scale_non_uniform(1.0 / self.across, 1.0 / self.down)
            * Affine::translate((-self.left * units, -self.top * units));
        (0..self.quarters % 4).fold(there, |to, _| Affine::new([0.0, 1.0, -1.0, 0.0, 0.0, 0.0]) * to)
    }
}

impl SeenPage {
    /// The page turned clockwise by so many quarters, so that what was written upwards at one quarter is level.
    #[must_use]
    pub fn turned(&self, quarters: u8) -> Self {
        let mut page = self.clone();
        for _ in 0..quarters % 4 {
            page.turn_once();
        }
        page.regroup();
        page
    }

    /// The quarter turns clockwise that make the most of the seen letters level; 0 where none is better.
    #[must_use]
    pub fn upright(&self) -> u8 {
        let mut counts = [0_usize; 4];
        for glyph in self.glyphs.iter().filter(|g| g.hidden.is_none() && !g.mirrored && !g.is_space()) {
            let nearest = [(0_u8, 0.0), (1, 90.0), (2, 180.0), (2, -180.0), (3, -90.0)];
            if let Some((quarter, _)) = nearest.into_iter().find(|(_, degrees)| (glyph.turn - degrees).abs() < 2.0) {
                counts[usize::from(quarter)] += 1;
            }
        }
        let most = counts.iter().copied().max().unwrap_or(0);
        (0..4).find(|&q| counts[usize::from(q)] == most).unwrap_or(0)
    }

    /// What stands in the box, as a page of its own whose corner is the corner of the box.
    ///
    /// A letter belongs to the box that its middle lies in; shapes and pictures to every box they meet.
    #[must_use]
    pub fn within(&self, area: &Area) -> Self {
        let [left, top] = self.view.on_page([area.left, area.top]);
        let mut page = Self {
            number: self.number,
            width: area.width(),
            height: area.height(),
            glyphs: self.glyphs.iter().filter(|g| area.has(g.middle())).cloned().collect(),
            faces: self.faces.clone(),
            marks: self.marks.iter().chain(&self.grounds).filter(|m| m.area.meets(area, 0.0)).cloned().collect(),
            grounds: Vec::new(),
            pictures: self.pictures.iter().filter(|p| p.area.meets(area, 0.0)).cloned().collect(),
            printed: self.printed.iter().filter(|m| m.area.meets(area, 0.0)).cloned().collect(),
            paper: self.paper.clone(),
            lines: Vec::new(),
            overfull: self.overfull,
            excess: self.excess.clone(),
            no_raster: self.no_raster,
            heaviest: self.heaviest,
            sheet: self.sheet,
            trim_given: true,
            unread: self.unread.clone(),
            view: View { left, top, ..self.view },
        };
        page.unread.retain(|u| u.area().is_none_or(|a| a.meets(area, 0.0)));
        page.each_point(|[x, y]| [x - area.left, y - area.top]);
        page.marks.sort_by_key(|m| m.order);
        ground::settle(&mut page);
        page.regroup();
        page
    }

    /// Words of the letters that `take` chooses, grouped to lines; only level letters are looked at.
    pub fn lines_of(&self, take: impl Fn(&Glyph) -> bool) -> Vec<Line> {
        lines::group(self, BLOCK_GAP, take)
    }

    /// The letters whose ink lies beyond the trimmed page, wholly or in part, by more than `slack` mm.
    pub fn outside(&self, slack: f64) -> impl Iterator<Item = usize> + '_ {
        let page = Area { left: 0.0, top: 0.0, right: self.width, bottom: self.height };
        (0..self.glyphs.len()).filter(move |&n| self.glyphs[n].ink.is_some_and(|a| !page.holds(&a, slack)))
    }

    pub(super) fn regroup(&mut self) {
        self.lines = lines::group(self, BLOCK_GAP, |g| g.hidden.is_none());
    }

    /// A quarter clockwise: what was the left edge is the upper one.
    fn turn_once(&mut self) {
        let height = self.height;
        let [left, top] = self.view.on_page([0.0, height]);
        self.view = View { quarters: (self.view.quarters + 1) % 4, left, top, ..self.view };
        self.each_point(|[x, y]| [height - y, x]);
        (self.width, self.height) = (self.height, self.width);
        for glyph in &mut self.glyphs {
            glyph.turn -= 90.0;
            if glyph.turn <= -180.0 {
                glyph.turn += 360.0;
            }
            glyph.level = glyph.turn.abs() < 1.2 && !glyph.mirrored;
        }
    }

    fn each_point(&mut self, to: impl Fn([f64; 2]) -> [f64; 2]) {
        for glyph in &mut self.glyphs {
            let ([x, baseline], [end, end_y]) = (to([glyph.x, glyph.baseline]), to([glyph.end, glyph.end_y]));
            (glyph.x, glyph.baseline, glyph.end, glyph.end_y) = (x, baseline, end, end_y);
            glyph.ink = glyph.ink.map(|a| a.mapped(&to));
            if let Some(slant) = &mut glyph.slant {
                slant.0 = slant.0.map(&to);
            }
        }
        for mark in self.marks.iter_mut().chain(&mut self.grounds).chain(&mut self.printed) {
            mark.area = mark.area.mapped(&to);
            mark.rings.iter_mut().flatten().for_each(|p| *p = to(*p));
        }
        for picture in &mut self.pictures {
            picture.area = picture.area.mapped(&to);
        }
        for unread in &mut self.unread {
            if let Some(area) = unread.area_mut() {
                *area = area.mapped(&to);
            }
        }
        self.sheet = self.sheet.mapped(&to);
    }
}
