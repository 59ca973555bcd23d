//! Where a statement stands: inside the cut, clear of other ink, low enough on the panel.

use super::backdrop;
use super::heights;
use super::matching::Found;
use super::read::LEAST_CONTRAST;
use super::seen::{Area, Glyph, Mark, Painted, Picture, SeenPage};
use crate::logo::{self, Logo};
use crate::plan::{ClearSpace, Shape};

/// Ink nearer to the cut than this is warned of: knives wander (common practice, no source).
pub const KNIFE: f64 = 0.5;
/// More shapes of a logo are not looked for one by one.
const MOST_SHAPES: usize = 20;
/// Boxes of letters may share this much (in mm) before they count as overlapping.
pub const OVERLAP: f64 = 0.03;
/// The same for letters at an angle to each other, in ems: the corners of a letter's box are mostly blank.
const CORNERS: f64 = 0.1;

/// The box round the ink of a statement.
#[must_use]
pub fn ink(page: &SeenPage, found: &Found) -> Option<Area> {
    Area::round(found.glyphs().filter_map(|n| page.glyphs[n].ink.as_ref()))
}

/// How far inside the cut the worst corner of the box lies, in mm; negative outside.
#[must_use]
pub fn inside(shape: Shape, area: &Area) -> f64 {
    area.corners().into_iter().map(|p| depth(shape, p)).fold(f64::INFINITY, f64::min)
}

/// How far inside the cut a point lies, in mm; negative outside.
#[must_use]
pub fn depth(shape: Shape, [x, y]: [f64; 2]) -> f64 {
    let (width, height) = (shape.width().to_mm_f64(), shape.height().to_mm_f64());
    let to_edge = x.min(y).min(width - x).min(height - y);
    match shape {
        Shape::Rectangle { .. } => to_edge,
        Shape::Circle { .. } => width / 2.0 - (x - width / 2.0).hypot(y - height / 2.0),
        Shape::Rounded { corner, .. } => {
            let r = corner.to_mm_f64().min(width / 2.0).min(height / 2.0);
            let (dx, dy) = (r - x.min(width - x), r - y.min(height - y));
            if dx > 0.0 && dy > 0.0 { r - dx.hypot(dy) } else { to_edge }
        }
    }
}

/// The worst glyph of a statement against the cut: how far inside, and which.
#[must_use]
pub fn worst(page: &SeenPage, found: &Found, shape: Shape) -> Option<(f64, usize)> {
    found.glyphs().filter_map(|n| page.glyphs[n].ink.map(|a| (inside(shape, &a), n))).min_by(|a, b| a.0.total_cmp(&b.0))
}

/// Where the logo stands: the box round it. Its largest shape is looked for by its size; the others stand where they belong
/// from there, as far as [`MOST_SHAPES`] of them.
#[must_use]
pub fn drawn(page: &SeenPage, emblem: &Logo, width: f64, height: f64) -> Option<Area> {
    #[expect(clippy::cast_precision_loss, reason = "at most a million")]
    let mm = |units: i64, whole: i64, size: f64| units as f64 / whole.max(1) as f64 * size;
    let mut boxes: Vec<[i64; 4]> = emblem.shapes.iter().filter_map(logo::Shape::extent).collect();
    boxes.sort_by_key(|b| std::cmp::Reverse((b[2] - b[0]) * (b[3] - b[1])));
    let x = |units: i64| mm(units, emblem.width, width);
    let y = |units: i64| mm(units, emblem.height, height);
    // With the corner of the logo at a place.
    let at = |b: &[i64; 4], left: f64, top: f64| Area {
        left: left + x(b[0]),
        top: top + y(b[1]),
        right: left + x(b[2]),
        bottom: top + y(b[3]),
    };
    let same = |a: &Area, b: &Area| {
        let off = [a.left - b.left, a.top - b.top, a.right - b.right, a.bottom - b.bottom];
        off.iter().all(|d| d.abs() < 0.15)
    };
    let largest = boxes.first()?;
    page.marks.iter().find_map(|mark| {
        let (left, top) = (mark.area.left - x(largest[0]), mark.area.top - y(largest[1]));
        let there = |b: &[i64; 4]| {
            same(&mark.area, &at(b, left, top)) || page.marks.iter().any(|m| same(&m.area, &at(b, left, top)))
        };
        let whole = same(&mark.area, &at(largest, left, top)) && boxes.iter().take(MOST_SHAPES).all(there);
        whole.then_some(Area { left, top, right: left + width, bottom: top + height })
    })
}

/// What runs into a statement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Clash {
    /// Another glyph.
    Glyph(usize),
    /// A painted path.
    Mark(usize),
    /// A picture.
    Picture(usize),
}

/// Something printed over or under the letters of the statement, with the letter it meets.
#[must_use]
pub fn clash(page: &SeenPage, found: &Found) -> Option<(usize, Clash)> {
    let round = ink(page, found)?;
    let mut own: Vec<usize> = found.glyphs().collect();
    own.sort_unstable();
    let glyphs: Vec<usize> = (0..page.glyphs.len())
        .filter(|n| {
            let g = &page.glyphs[*n];
            g.hidden.is_none() && own.binary_search(n).is_err() && g.ink.is_some_and(|a| a.meets(&round, OVERLAP))
        })
        .collect();
    let dark = |m: &super::seen::Mark| m.contrast >= LEAST_CONTRAST;
    let marks: Vec<usize> =
        (0..page.marks.len()).filter(|&n| dark(&page.marks[n]) && page.marks[n].area.meets(&round, 0.0)).collect();
    for n in found.glyphs() {
        let Some(area) = page.glyphs[n].ink else { continue };
        if let Some(&other) = glyphs.iter().find(|&&o| runs_into(page, n, o)) {
            return Some((n, Clash::Glyph(other)));
        }
        // A dark ground that lies wholly behind a lighter letter is no clash; its contrast has been looked at.
        let ground = |m: &super::seen::Mark| {
            m.order < page.glyphs[n].order && area.corners().iter().chain([&area.middle()]).all(|p| m.covers(*p))
        };
        let strikes = |m: &super::seen::Mark| m.touches(&area) && !ground(m);
        if let Some(&other) = marks.iter().find(|&&m| strikes(&page.marks[m])) {
            return Some((n, Clash::Mark(other)));
        }
        // So is a picture; what is painted after the letters, or ends within one, is none.
        let in_the_way =
            |p: &Picture| p.area.meets(&area, OVERLAP) && !backdrop::is_under(page, p, &page.glyphs[n], &area);
        if let Some(other) = page.pictures.iter().position(in_the_way) {
            return Some((n, Clash::Picture(other)));
        }
    }
    // Letters of the statement over each other: two lines too near, or words pushed together.
    let mut last: Option<usize> = None;
    for n in found.glyphs() {
        if let Some(before) = last.filter(|&b| jumbled(page, n, b)) {
            return Some((n, Clash::Glyph(before)));
        }
        last = Some(n);
    }
    let lines = by_baseline(page, found);
    for (k, upper) in lines.iter().enumerate() {
        for lower in lines.iter().skip(k + 1).take(1) {
            for &a in upper {
                if let Some(&b) = lower.iter().find(|&&b| jumbled(page, a, b)) {
                    return Some((a, Clash::Glyph(b)));
                }
            }
        }
    }
    None
}

fn by_baseline(page: &SeenPage, found: &Found) -> Vec<Vec<usize>> {
    let mut lines: Vec<Vec<usize>> = Vec::new();
    for n in found.glyphs() {
        let glyph = &page.glyphs[n];
        let same = |m: usize| {
            let before = &page.glyphs[m];
            before.parallel(glyph) && before.between_lines(glyph) < 0.1 * glyph.em
        };
        match lines.last_mut().filter(|l| l.last().is_some_and(|&m| same(m))) {
            Some(line) => line.push(n),
            None => lines.push(vec![n]),
        }
    }
    lines
}

/// Whether two letters of one statement lie over each other. On a curve their boxes run into each other where they do not, so
/// there they must stand in the same place.
fn jumbled(page: &SeenPage, a: usize, b: usize) -> bool {
    let (first, second) = (&page.glyphs[a], &page.glyphs[b]);
    if first.parallel(second) { runs_into(page, a, b) } else { same_place(first, second) }
}

fn same_place(first: &Glyph, second: &Glyph) -> bool {
    let (here, there) = (first.middle(), second.middle());
    (here[0] - there[0]).hypot(here[1] - there[1]) < 0.2 * first.em.min(second.em)
}

/// Whether two glyphs lie over each other. Neighbours on a line may overlap a little by kerning, accents wholly.
pub fn runs_into(page: &SeenPage, a: usize, b: usize) -> bool {
    let (first, second) = (&page.glyphs[a], &page.glyphs[b]);
    let (Some(one), Some(two)) = (first.ink, second.ink) else { return false };
    let em = first.em.min(second.em);
    if !first.parallel(second) {
        if !one.meets(&two, OVERLAP) {
            return false;
        }
        if first.next_on_a_curve(second) {
            return same_place(first, second);
        }
        return first.slant.zip(second.slant).is_none_or(|(a, b)| a.depth(&b) > OVERLAP.max(CORNERS * em));
    }
    let Some([one, two]) = first.boxes(second) else { return false };
    if !one.meets(&two, OVERLAP) {
        return false;
    }
    if first.between_lines(second) > 0.1 * em {
        return true;
    }
    let accent = |g: &Glyph| g.text.chars().all(|c| ('\u{300}'..='\u{36F}').contains(&c));
    if accent(first) || accent(second) {
        return false;
    }
    let shared = one.right.min(two.right) - one.left.max(two.left);
    shared > 0.6 * one.width().min(two.width())
}

/// What stands in the space that must stay free round a statement, given all glyphs that belong to it.
///
/// 16 CFR 500.6(b): above and below at least the height of the lettering, left and right at least twice the width
/// of the letter N of its style. The edge of the label is no printed matter; a frame round the statement is left out, and so
/// is what lies under all of that space: paper of another colour, a picture, a pattern.
#[must_use]
pub fn crowd(page: &SeenPage, found: &Found, own: &[usize], clear: ClearSpace) -> Option<(Area, String)> {
    let round = Area::round(own.iter().filter_map(|&n| page.glyphs[n].ink.as_ref()))?;
    let high = f64::from(clear.heights) * heights::lettering(page, found)?;
    let wide = f64::from(clear.widths_of_n) * heights::width_of_n(page, found)?;
    let zones = [round.widened(0.0, high - super::TOLERANCE), round.widened(wide - super::TOLERANCE, 0.0)];
    let in_zone = |area: &Area| zones.iter().any(|z| z.meets(area, 0.0));
    let glyph = page.glyphs.iter().enumerate().find_map(|(n, g)| {
        let area = g.ink.filter(in_zone)?;
        (g.hidden.is_none() && !own.contains(&n)).then(|| (area, format!("the letter `{}`", g.text)))
    });
    let first = own.iter().map(|&n| page.glyphs[n].order).min()?;
    let label = Area { left: 0.0, top: 0.0, right: page.width, bottom: page.height };
    let under = |m: &Mark| zones.iter().all(|z| backdrop::mark_lies_under(page, m, &z.within(&label), first));
    let mark = || {
        page.marks.iter().find_map(|m| {
            let frame =
                m.area.holds(&round, 0.0) && (matches!(m.painted, Painted::Stroked(_)) || !m.covers(round.middle()));
            let there = m.contrast >= LEAST_CONTRAST && !frame && zones.iter().any(|z| m.touches(z)) && !under(m);
            there.then(|| (m.area, "a drawn shape".to_owned()))
        })
    };
    let beneath = |p: &Picture| zones.iter().all(|z| backdrop::picture_lies_under(page, p, &z.within(&label), first));
    let picture =
        || page.pictures.iter().find(|p| in_zone(&p.area) && !beneath(p)).map(|p| (p.area, "a picture".to_owned()));
    glyph.or_else(mark).or_else(picture)
}

/// Wide at its foot, narrow at its top; a clip may take a hair off it.
pub fn triangular(mark: &super::seen::Mark) -> bool {
    let points = mark.rings.iter().flatten().map(|&[x, y]| Area { left: x, top: y, right: x, bottom: y });
    let Some(area) = points.reduce(|a, b| a.with(&b)) else { return false };
    if mark.area.width() < 0.9 * area.width() || mark.area.height() < 0.9 * area.height() {
        return false;
    }
    let spread = |from: f64, to: f64| {
        let (top, bottom) = (area.top + from * area.height(), area.top + to * area.height());
        let xs = mark.rings.iter().flatten().filter(|p| p[1] >= top && p[1] <= bottom).map(|p| p[0]);
        let (low, high) = xs.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| (l.min(x), h.max(x)));
        if high >= low { (high - low) / area.width() } else { 0.0 }
    };
    spread(0.75, 1.0) > 0.7 && spread(0.0, 0.2) < 0.4
}
