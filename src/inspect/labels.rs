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
    is_words: bool,
    area: Area,
}

impl SeenPage {
    /// The boxes of the single labels in reading order; one box, the page, where nothing repeats.
    ///
    /// Where a frame or a filled shape goes round each label, its edge is the label's; else the room between two labels
    /// is shared out evenly. What differs from label to label (lot, serial) need not repeat.
    /// Labels may stand turned to each other by a quarter or a half; the first is one that stands upright.
    #[must_use]
    pub fn labels(&self) -> Vec<Area> {
        let level = self.level_labels();
        turned(self).filter(|all| all.len() > level.len()).unwrap_or(level)
    }

    /// Those that stand upright.
    fn level_labels(&self) -> Vec<Area> {
        let whole = vec![Area { left: 0.0, top: 0.0, right: self.width, bottom: self.height }];
        let anchors = anchors(self);
        if anchors.len() > MOST_ANCHORS {
            return whole;
        }
        let mut alike: BTreeMap<&str, Vec<&Anchor>> = BTreeMap::new();
        for anchor in &anchors {
            alike.entry(&anchor.what).or_default().push(anchor);
        }
        let Some((times, held)) = most(alike.values().map(Vec::len)) else { return whole };
        let groups: Vec<Vec<Area>> = alike
            .values()
            .filter(|p| p.len() == times)
            .map(|p| {
                let mut areas: Vec<Area> = p.iter().map(|a| a.area).collect();
                in_reading_order(&mut areas);
                areas
            })
            .collect();
        if groups.len() < FEWEST || !enough(held, anchors.len()) {
            return whole;
        }
        let Some((steps, content)) = agreed(&groups) else { return whole };
        let boxes: Vec<Area> = steps.iter().map(|step| moved(&content, *step)).collect();
        let first = framed(self, &content, &boxes).unwrap_or_else(|| spaced(self, &content, &steps, &boxes));
        steps.iter().map(|step| moved(&first, *step)).collect()
    }
}

/// The number of times that most of the page stands there, and how many places that is.
fn most(times: impl Iterator<Item = usize>) -> Option<(usize, usize)> {
    let mut weight: BTreeMap<usize, usize> = BTreeMap::new();
    for times in times.filter(|t| *t > 1) {
        *weight.entry(times).or_default() += times;
    }
    weight.into_iter().max_by_key(|(times, held)| (*held, *times))
}

/// Whether so many of all repeat.
fn enough(held: usize, all: usize) -> bool {
    let number = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    number(held) >= SHARE * number(all)
}

/// Labels of a sheet where not all stand upright. The page is looked at from its four sides; what is alike from one side
/// and another belongs to labels turned to each other.
fn turned(page: &SeenPage) -> Option<Vec<Area>> {
    let level = |quarters: u8| {
        let degrees = 90.0 * f64::from(quarters);
        page.glyphs
            .iter()
            .any(|g| g.hidden.is_none() && ((g.turn - degrees).abs() < 2.0 || (g.turn + 360.0 - degrees).abs() < 2.0))
    };
    let views: Vec<SeenPage> = (0..4).filter(|q| *q == 0 || level(*q)).map(|q| page.turned(q)).collect();
    if views.len() < 2 {
        return None;
    }
    let mut alike: BTreeMap<String, Vec<(usize, Area)>> = BTreeMap::new();
    let mut all = 0;
    for (side, view) in views.iter().enumerate() {
        // Pictures and curves look the same from several sides.
        for anchor in anchors(view).into_iter().filter(|a| a.is_words) {
            all += 1;
            alike.entry(anchor.what).or_default().push((side, anchor.area));
        }
    }
    let (times, held) = most(alike.values().map(Vec::len)).filter(|_| all <= MOST_ANCHORS)?;
    let groups: Vec<&Vec<(usize, Area)>> = alike.values().filter(|p| p.len() == times).collect();
    if groups.len() < FEWEST || !enough(held, all) {
        return None;
    }
    // From each side the places of one group, then how those that most groups share lie to each other.
    let from_side = |side: usize| -> Option<(Vec<[f64; 2]>, Area)> {
        let places = |g: &&Vec<(usize, Area)>| {
            let mut areas: Vec<Area> = g.iter().filter(|(s, _)| *s == side).map(|(_, area)| *area).collect();
            in_reading_order(&mut areas);
            areas
        };
        let own: Vec<Vec<Area>> = groups.iter().map(places).filter(|g| !g.is_empty()).collect();
        agreed(&own)
    };
    let (steps, content) = from_side(0)?;
    let mut found: Vec<(usize, Area)> = steps.iter().map(|step| (0, moved(&content, *step))).collect();
    for side in 1..views.len() {
        let Some((steps, other)) = from_side(side) else { continue };
        let like = (other.width() - content.width()).abs() <= 2.0 * SLACK
            && (other.height() - content.height()).abs() <= 2.0 * SLACK;
        if like {
            found.extend(steps.iter().map(|step| (side, moved(&other, *step))));
        }
    }
    if found.len() != times || found.len() == steps.len() {
        return None;
    }
    let here = |side: usize, area: &Area| area.mapped(|p| page.view.from_page(views[side].view.on_page(p)));
    let boxes: Vec<Area> = found.iter().map(|(side, area)| here(*side, area)).collect();
    let apart = boxes.iter().enumerate().all(|(n, a)| boxes[..n].iter().all(|b| !a.meets(b, SLACK)));
    if !apart {
        return None;
    }
    let first = framed(page, &content, &boxes[..steps.len()]).unwrap_or_else(|| spaced(page, &content, &steps, &boxes));
    let edges = |area: &Area| Area {
        left: area.left + first.left - content.left,
        top: area.top + first.top - content.top,
        right: area.right + first.right - content.right,
        bottom: area.bottom + first.bottom - content.bottom,
    };
    Some(found.iter().map(|(side, area)| here(*side, &edges(area))).collect())
}

fn anchors(page: &SeenPage) -> Vec<Anchor> {
    let line = |line: &super::lines::Line| {
        let what: Vec<&str> = line.words.iter().map(|w| w.text.as_str()).collect();
        let inks = line.words.iter().flat_map(|w| &w.glyphs).filter_map(|&g| page.glyphs[g].ink.as_ref());
        Some(Anchor { what: what.join(" "), is_words: true, area: Area::round(inks)? })
    };
    let sized = |kind: &str, area: Area| Anchor {
        what: format!("{kind} {:.1} x {:.1}", area.width(), area.height()),
        is_words: false,
        area,
    };
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

/// A shape round the contents that stands there for every label: its cut line or its ground. `boxes` are the contents of
/// all labels that stand alike.
fn framed(page: &SeenPage, content: &Area, boxes: &[Area]) -> Option<Area> {
    let steps: Vec<[f64; 2]> = boxes.iter().map(|b| [b.left - content.left, b.top - content.top]).collect();
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

/// The contents with half the room to the next label all round, not beyond the page. `boxes` are the contents of all labels,
/// those reached by `steps` stand alike.
fn spaced(page: &SeenPage, content: &Area, steps: &[[f64; 2]], boxes: &[Area]) -> Area {
    // Beside each other where they share a height, below each other where they share a width.
    let gaps = |axis: usize| {
        let (from, to) = (move |a: &Area| [a.left, a.top][axis], move |a: &Area| [a.right, a.bottom][axis]);
        let across = move |a: &Area, b: &Area| {
            let ([a0, a1], [b0, b1]) =
                ([[a.top, a.bottom], [a.left, a.right]][axis], [[b.top, b.bottom], [b.left, b.right]][axis]);
            a1.min(b1) > a0.max(b0)
        };
        boxes
            .iter()
            .flat_map(|a| boxes.iter().map(move |b| (a, b)))
            .filter(|(a, b)| from(b) >= to(a) && across(a, b))
            .map(|(a, b)| from(b) - to(a))
            .min_by(f64::total_cmp)
    };
    let room = |axis: usize| gaps(axis).map(|gap| gap / 2.0);
    let (across, down) = (room(0), room(1));
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
