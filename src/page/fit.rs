//! The search for sizes at which a part is full. Part of `page`.
//!
//! **Rule for the family:** the widest in which everything fits at its floor, unless it reaches less than 1.1 times the floor
//! and a narrower one gives at least 15 % more. Space is ample first; only if no family fits so are rows set closer, in two steps.

use super::block::{Air, Family};
use super::check;
use super::code::Codes;
use super::draw::draw;
use super::ground::ground;
use super::lines::Short;
use super::outline::Outline;
use super::part::{Manner, Ready, Stack};
use super::size::Scale;
use super::{Page, Placed, relief, wording};
use crate::find::Finding;
use crate::plan::{Part, Plan};
use crate::unit::Length;

/// Below this scale a narrower family is tried: 1.1.
const READABLE: Scale = Scale(70);

/// Lays out every part of a label: one page for each printed piece, in the plan's order.
///
/// # Errors
/// One finding for each part that cannot hold its statements at their least heights, with what is missing and the smallest
/// part that would do; and one for each character that no face has.
pub fn set(plan: &Plan) -> Result<Vec<Page>, Vec<Finding>> {
    let (mut pages, mut findings, mut codes) = (Vec::new(), Vec::new(), Codes::default());
    for (printed, number) in plan.printed().iter().zip(1..) {
        let mut page = Page { part: printed.name.to_owned(), trim: printed.shape, items: Vec::new() };
        for part in &printed.faces {
            match set_part(part, number, &mut codes) {
                Ok(items) => {
                    let left = part.piece.as_ref().map_or(Length::ZERO, |on| on.left);
                    page.items.extend(items.into_iter().map(|i| i.moved(left, Length::ZERO)));
                }
                Err(found) => findings.extend(found),
            }
        }
        pages.push(page);
    }
    if findings.is_empty() { Ok(pages) } else { Err(findings) }
}

fn set_part(part: &Part, number: usize, codes: &mut Codes) -> Result<Vec<Placed>, Vec<Finding>> {
    if !Outline::new(part.shape, part.margin).with(part.hole).has_room() {
        return Err(vec![wording::no_room(part, number)]);
    }
    // Shaped when first needed, the widest family first.
    let mut ready = vec![Ready::new(part, Family::ALL[0], codes)?];
    for air in [Air::AMPLE, Air::MIDDLE, Air::CLOSE] {
        let mut best: Option<(usize, Scale, Length)> = None;
        for (n, family) in Family::ALL.into_iter().enumerate() {
            if best.is_some_and(|(_, scale, _)| scale >= READABLE) {
                break;
            }
            if ready.len() <= n {
                ready.push(Ready::new(part, family, codes)?);
            }
            ready[n].keep_single_lines(air);
            let Some((scale, top)) = largest(&ready[n], air) else { continue };
            if best.is_none_or(|(_, other, _)| scale.0 * 100 >= other.0 * 115) {
                best = Some((n, scale, top));
            }
        }
        if let Some((n, scale, top)) = best {
            return finish(&ready[n], scale, top, air, number);
        }
    }
    let short = shortage(&ready);
    let relief = ready.last_mut().map(|tightest| relief::of(tightest, codes)).unwrap_or_default();
    Err(vec![wording::does_not_fit(part, number, &short, &relief)])
}

/// How a part was fitted, and what a search step by step says of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fitted {
    /// The part.
    pub part: String,
    /// The scale at which all its blocks grow together, in 64ths of their floors.
    pub scale: i64,
    /// Every larger one, up to where none of its blocks may grow further, at which all of them fit as well: there is none.
    pub larger: Vec<i64>,
    /// How many larger ones were tried.
    pub tried: usize,
}

/// Tries each scale above the one at which a part is set, in every family it can be set in, for whoever doubts the search of
/// [`set`]. Parts that cannot be set are left out.
#[must_use]
pub fn fitted(plan: &Plan) -> Vec<Fitted> {
    let (mut all, mut codes) = (Vec::new(), Codes::default());
    for part in &plan.parts {
        for air in [Air::AMPLE, Air::MIDDLE, Air::CLOSE] {
            let before = all.len();
            for family in Family::ALL {
                let Ok(mut ready) = Ready::new(part, family, &mut codes) else { continue };
                ready.keep_single_lines(air);
                let Some((scale, near)) = largest(&ready, air) else { continue };
                let most = ready.cells().iter().map(|c| c.block.most).max().unwrap_or(Scale::FLOOR);
                let steps = (scale.0 + 1..=most.0).filter(|s| even(&ready, Scale(*s)) != even(&ready, scale));
                let steps: Vec<i64> = steps.collect();
                let fit = |s: &i64| {
                    let scales = even(&ready, Scale(*s));
                    [None, Some(near)].into_iter().any(|near| fits(&ready, &scales, air, 0, near).is_some())
                };
                let larger = steps.iter().copied().filter(|s| fit(s)).collect();
                all.push(Fitted { part: part.name.clone(), scale: scale.0, larger, tried: steps.len() });
            }
            if all.len() > before {
                break;
            }
        }
    }
    all
}

/// Every block at `scale`, or as far as it may grow.
pub(super) fn even(ready: &Ready, scale: Scale) -> Vec<Scale> {
    let mut scales: Vec<Scale> = ready.cells().iter().map(|c| scale.min(ready.most_together(c))).collect();
    for n in 0..scales.len() {
        if let Some(most) = ready.under_warnings(n, &scales) {
            scales[n] = scales[n].min(most);
        }
    }
    scales
}

/// Where the rows begin if all fit. `near` is where they began at sizes a little smaller.
pub(super) fn fits(ready: &Ready, scales: &[Scale], air: Air, extra: i64, near: Option<Length>) -> Option<Length> {
    let how = Manner { scales, air, extra, compose: false, near };
    ready.arrange(how).ok().map(|(head, _)| head.top)
}

/// The largest scale at which all of the part fits, and where its rows begin then.
fn largest(ready: &Ready, air: Air) -> Option<(Scale, Length)> {
    let near = fits(ready, &even(ready, Scale::FLOOR), air, 0, None)?;
    let most = ready.cells().iter().map(|c| ready.most_together(c)).max().unwrap_or(Scale::FLOOR);
    Some(search(Scale::FLOOR, most, near, ready.outline.is_circle(), |scale, near| {
        fits(ready, &even(ready, scale), air, 0, near)
    }))
}

/// The largest scale from `low` (which fits, its rows beginning at `near`) to `high` that fits, and where rows begin at it:
/// by halving the distance, then every step above what that found.
fn search(
    low: Scale,
    high: Scale,
    near: Length,
    round: bool,
    fits: impl Fn(Scale, Option<Length>) -> Option<Length>,
) -> (Scale, Length) {
    let (mut low, mut high, mut near) = (low.0, high.0, near);
    if low >= high {
        return (Scale(low), near);
    }
    if let Some(top) = fits(Scale(high), Some(near)) {
        return (Scale(high), top);
    }
    let largest = high;
    while high - low > 1 {
        let middle = i64::midpoint(low, high);
        if let Some(top) = fits(Scale(middle), Some(near)) {
            (low, near) = (middle, top);
        } else {
            high = middle;
        }
    }
    // Larger type breaks into other lines, which may fit again: what lies above is tried step by step from the largest.
    let above = (low + 1..=largest).rev().find_map(|scale| {
        // In a circle, where rows began at smaller type tells nothing then.
        let anywhere = || if round { fits(Scale(scale), None) } else { None };
        Some((Scale(scale), fits(Scale(scale), Some(near)).or_else(anywhere)?))
    });
    above.unwrap_or((Scale(low), near))
}

/// Lets single blocks grow, spreads left-over height, draws and looks once more.
fn finish(ready: &Ready, scale: Scale, top: Length, air: Air, number: usize) -> Result<Vec<Placed>, Vec<Finding>> {
    let part = ready.part;
    let mut scales = even(ready, scale);
    // Some air between rows comes before single blocks that grow: a name that takes all the height looks squeezed.
    let placed = spread(ready, &scales, air, 4, top);
    let (extra, mut near) = placed.map_or((0, top), |(extra, (head, _))| (extra, head.top));
    for (alike, most) in ready.growth(&scales) {
        let set = |scales: &mut Vec<Scale>, scale| alike.iter().for_each(|n| scales[*n] = scale);
        let from = alike.first().map_or(Scale::FLOOR, |n| scales[*n]);
        let most = alike.iter().filter_map(|n| ready.under_warnings(*n, &scales)).fold(most, Scale::min).max(from);
        let (scale, top) = search(from, most, near, ready.outline.is_circle(), |scale, near| {
            let mut tried = scales.clone();
            set(&mut tried, scale);
            fits(ready, &tried, air, extra, near)
        });
        set(&mut scales, scale);
        near = top;
    }
    let arranged = spread(ready, &scales, air, 8, near).map(|(_, stacks)| stacks);
    let Some((head, foot)) = arranged else {
        return Err(vec![wording::fault(part, number, "it fitted once and then no more")]);
    };
    let drawn = draw(ready, head, foot, &scales);
    let faults = check::faults(&drawn, ready.outline);
    if !faults.is_empty() {
        return Err(faults.iter().map(|f| wording::fault(part, number, f)).collect());
    }
    let mut items = ground(ready, &drawn);
    items.extend(drawn.marks.into_iter().map(|m| m.placed));
    Ok(items)
}

/// The most room between rows, up to `most` eighths, at which everything still fits, and the rows so placed. They began at
/// `near` when they were last tried.
fn spread(ready: &Ready, scales: &[Scale], air: Air, most: i64, near: Length) -> Option<(i64, (Stack, Stack))> {
    (0..=most).rev().find_map(|extra| {
        let how = Manner { scales, air, extra, compose: true, near: Some(near) };
        ready.arrange(how).ok().map(|stacks| (extra, stacks))
    })
}

/// What is missing at the floor in the narrowest family, rows close.
fn shortage(ready: &[Ready]) -> Short {
    let Some(tightest) = ready.last() else { return Short::Height(Length::ZERO) };
    let scales = even(tightest, Scale::FLOOR);
    let how = Manner { scales: &scales, air: Air::CLOSE, extra: 0, compose: false, near: None };
    let room = tightest.outline.bottom() - tightest.outline.top();
    match (tightest.height_wanted(how), tightest.arrange(how)) {
        (Err(short), _) | (_, Err(short @ Short::Lowest(..))) => short,
        (Ok(wanted), Err(short)) if wanted <= room => short,
        (Ok(wanted), _) => Short::Height(wanted - room),
    }
}
