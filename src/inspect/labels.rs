//! Finds the single labels on a sheet of alike ones: the same words again and again at the same steps. After `read`.

use super::seen::{Area, Painted, SeenPage, Unread};
use std::collections::BTreeMap;

/// Places that should repeat may be this many mm off.
const SLACK: f64 = 0.3;
/// Fewest lines that must repeat.
const FEWEST: usize = 2;
/// Share of everything on the page that must repeat as often.
const SHARE: f64 = 0.5;
/// Most lines and pictures that are compared.
const MOST_ANCHORS: usize = 5_000;

/// A line, a picture or a row of curves: what it is, and its box.
struct Anchor {
    what: String,
    area: Area,
}

impl SeenPage {
    /// The boxes of the single labels in reading order; one box, the page, where nothing repeats.
    ///
    /// Where a frame or a filled shape goes round each label, its edge is the label's; else the room between two labels
    /// is shared out evenly. What differs from label to label (lot, serial) need not repeat.
    #[must_use]
    pub fn labels(&self) -> Vec<Area> {
        let whole = vec![Area { left: 0.0, top: 0.0, right: self.width, bottom: self.height }];
        let anchors = anchors(self);
        if anchors.len() > MOST_ANCHORS {
            return whole;
        }
        let mut alike: BTreeMap<&str, Vec<&Anchor>> = BTreeMap::new();
        for anchor in &anchors {
            alike.entry(&anchor.what).or_default().push(anchor);
        }
        // The number of times that most of the page stands there.
        let mut weight: BTreeMap<usize, usize> = BTreeMap::new();
        for places in alike.values().filter(|p| p.len() > 1) {
            *weight.entry(places.len()).or_default() += places.len();
        }
        let Some((&times, &held)) = weight.iter().max_by_key(|(times, held)| (**held, **times)) else { return whole };
        let groups: Vec<Vec<Area>> = alike
            .values()
            .filter(|p| p.len() == times)
            .map(|p| {
                let mut areas: Vec<Area> = p.iter().map(|a| a.area).collect();
                in_reading_order(&mut areas);
                areas
            })
            .collect();
        let enough = f64::from(u32::try_from(held).unwrap_or(u32::MAX))
            >= SHARE * f64::from(u32::try_from(anchors.len()).unwrap_or(u32::MAX));
        if groups.len() < FEWEST || !enough {
            return whole;
        }
        let Some((steps, content)) = agreed(&groups) else { return whole };
        let first = framed(self, &content, &steps).unwrap_or_else(|| spaced(self, &content, &steps));
        steps.iter().map(|step| moved(&first, *step)).collect()
    }
}

fn anchors(page: &SeenPage) -> Vec<Anchor> {
    let line = |line: &super::lines::Line| {
        let what: Vec<&str> = line.words.iter().map(|w| w.text.as_str()).collect();
        let inks = line.words.iter().flat_map(|w| &w.glyphs).filter_map(|&g| page.glyphs[g].ink.as_ref());
        Some(Anchor { what: what.join(" "), area: Area::round(inks)? })
    };
    let sized =
        |kind: &str, area: Area| Anchor { what: format!("{kind} {:.1} x {:.1}", area.width(), area.height()), area };
    let curves = page.unread.iter().filter_map(|u| match u {
        Unread::Curves { area, .. } => Some(sized("curves", *area)),
        _ => None,
    });
    let pictures = page.pictures.iter().map(|p| sized("picture", p.area));
    page.lines.iter().filter_map(line).chain(pictures).chain(curves).collect()
}

/// Row by row; boxes belong to a row if their upper edges differ by less than half their height.
fn in_reading_order(areas: &mut [Area]) {
    areas.sort_by(|a, b| a.top.total_cmp(&b.top));
    let mut from = 0;
    while let Some(first) = areas.get(from).copied() {
        let row = areas[from..].iter().take_while(|a| a.top - first.top < (0.5 * first.height()).max(SLACK)).count();
        areas[from..from + row].sort_by(|a, b| a.left.total_cmp(&b.left));
        from += row;
    }
}

fn moved(area: &Area, [x, y]: [f64; 2]) -> Area {
    Area { left: area.left + x, top: area.top + y, right: area.right + x, bottom: area.bottom + y }
}

/// The steps from the first place to each of the others, if most groups agree on them, and the box round all that repeats
/// in the first place.
fn agreed(groups: &[Vec<Area>]) -> Option<(Vec<[f64; 2]>, Area)> {
    let steps = |g: &Vec<Area>| -> Vec<[f64; 2]> {
        g.first().map_or_else(Vec::new, |a| g.iter().map(|b| [b.left - a.left, b.top - a.top]).collect())
    };
    let same = |a: &[[f64; 2]], b: &[[f64; 2]]| {
        a.iter().zip(b).all(|(a, b)| (a[0] - b[0]).abs() <= SLACK && (a[1] - b[1]).abs() <= SLACK)
    };
    let all: Vec<Vec<[f64; 2]>> = groups.iter().map(steps).collect();
    let (best, held) =
        all.iter().map(|a| (a, all.iter().filter(|b| same(a, b)).count())).max_by_key(|(_, held)| *held)?;
    if held < FEWEST || 2 * held < groups.len() {
        return None;
    }
    let firsts: Vec<&Area> = groups.iter().zip(&all).filter(|(_, s)| same(best, s)).map(|(g, _)| &g[0]).collect();
    let content = Area::round(firsts)?;
    // Labels lie beside and below each other: the contents must not run into one another.
    let apart = best.iter().skip(1).all(|step| !content.meets(&moved(&content, *step), SLACK));
    apart.then(|| (best.clone(), content))
}

/// A shape round the contents that stands there for every label: its cut line or its ground.
fn framed(page: &SeenPage, content: &Area, steps: &[[f64; 2]]) -> Option<Area> {
    let line = |m: &super::seen::Mark| match m.painted {
        // The middle of a line is the edge, not its outer side.
        Painted::Stroked(width) => m.area.widened(-width / 2.0, -width / 2.0),
        Painted::Filled | Painted::FilledEvenOdd => m.area,
    };
    let there = |area: &Area| {
        page.marks.iter().map(line).any(|a| {
            let off = [a.left - area.left, a.top - area.top, a.right - area.right, a.bottom - area.bottom];
            off.iter().all(|d| d.abs() <= SLACK)
        })
    };
    page.marks
        .iter()
        .map(line)
        .filter(|a| a.holds(content, SLACK) && steps.iter().all(|step| there(&moved(a, *step))))
        .filter(|a| steps.iter().skip(1).all(|step| !a.meets(&moved(a, *step), SLACK)))
        .max_by(|a, b| (a.width() * a.height()).total_cmp(&(b.width() * b.height())))
}

/// The contents with half the room to the next label all round, not beyond the page.
fn spaced(page: &SeenPage, content: &Area, steps: &[[f64; 2]]) -> Area {
    let pitch = |axis: usize, size: f64| {
        let all = steps.iter().flat_map(|a| steps.iter().map(|b| (b[axis] - a[axis]).abs()));
        all.filter(|d| *d > size).min_by(f64::total_cmp)
    };
    let room = |axis: usize, size: f64| pitch(axis, size).map(|pitch| (pitch - size) / 2.0);
    let (across, down) = (room(0, content.width()), room(1, content.height()));
    let farthest = |axis: usize| steps.iter().map(|s| s[axis]).fold(0.0, f64::max);
    let nearest = |axis: usize| steps.iter().map(|s| s[axis]).fold(0.0, f64::min);
    // Towards the edges of the page no label is larger than the page leaves room for.
    let left = across.unwrap_or(f64::INFINITY).min(content.left + nearest(0));
    let right = across.unwrap_or(f64::INFINITY).min(page.width - content.right - farthest(0));
    let top = down.unwrap_or(f64::INFINITY).min(content.top + nearest(1));
    let bottom = down.unwrap_or(f64::INFINITY).min(page.height - content.bottom - farthest(1));
    Area {
        left: content.left - left.max(0.0),
        top: content.top - top.max(0.0),
        right: content.right + right.max(0.0),
        bottom: content.bottom + bottom.max(0.0),
    }
}
