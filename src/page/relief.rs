//! What would make a part fit that does not: its least sizes, and what may go. Part of `page`.

use super::block::{Air, Family};
use super::code::Codes;
use super::fit::{even, fits};
use super::part::Ready;
use super::size::Scale;
use crate::plan::{Item, Part, Shape};
use crate::trade::{BlockName, Severity};
use crate::unit::Length;

/// Ways out.
#[derive(Default)]
pub(super) struct Relief {
    /// Least shapes that hold everything at its least height: in the part's proportions, higher only, wider only; the smallest
    /// first.
    pub shapes: Vec<Shape>,
    /// Everything that no law and no standard asks for.
    pub optional: Vec<Optional>,
    /// How many of these, from the first, must go before the rest fits; `None` if all are not enough.
    pub enough: Option<usize>,
    /// The least shape once all that is optional has gone, where that is not enough.
    pub without: Option<Shape>,
}

/// Something a maker may leave out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Optional {
    /// The maker's logo.
    Logo,
    /// The code for telephones.
    Code,
    /// The statements of a rule that advises.
    Rule(String),
}

impl Optional {
    fn of(block: BlockName, item: &Item) -> Option<Self> {
        match item.severity {
            _ if block == BlockName::Logo => Some(Self::Logo),
            _ if block == BlockName::Code => Some(Self::Code),
            Severity::Advice => {
                Some(Self::Rule(item.id.split_once('#').map_or(&*item.id, |(rule, _)| rule).to_owned()))
            }
            _ => None,
        }
    }
}

/// Looks for ways out. `ready` holds the part in the narrowest family.
pub(super) fn of(ready: &mut Ready, codes: &mut Codes) -> Relief {
    let part = ready.part;
    let mut relief = Relief { shapes: shapes(ready), ..Relief::default() };
    for cell in part.rows.iter().flat_map(|r| &r.cells) {
        for optional in cell.block.items.iter().filter_map(|i| Optional::of(cell.block.name, i)) {
            if !relief.optional.contains(&optional) {
                relief.optional.push(optional);
            }
        }
    }
    // The last on the part is the least missed; a logo and a code say nothing that the law looks for.
    relief.optional.reverse();
    relief.optional.sort_by_key(|o| (*o != Optional::Logo, *o != Optional::Code));
    let without = |gone: &[Optional]| {
        let mut rest = part.clone();
        for cell in rest.rows.iter_mut().flat_map(|r| &mut r.cells) {
            let name = cell.block.name;
            cell.block.items.retain(|i| Optional::of(name, i).is_none_or(|o| !gone.contains(&o)));
        }
        rest
    };
    // One that is enough by itself is better than several.
    if let Some(one) = (0..relief.optional.len()).find(|n| holds(&without(&relief.optional[*n..=*n]), codes)) {
        relief.optional.swap(0, one);
        relief.enough = Some(1);
        return relief;
    }
    relief.enough = (2..=relief.optional.len()).find(|n| holds(&without(&relief.optional[..*n]), codes));
    if relief.enough.is_none() && !relief.optional.is_empty() {
        let rest = without(&relief.optional);
        let ready = Ready::new(&rest, Family::Tightest, codes).ok();
        relief.without = ready.and_then(|mut r| shapes(&mut r).into_iter().next());
    }
    relief
}

/// Whether the part holds everything at its least height, set as narrow and close as is ever done.
fn holds(part: &Part, codes: &mut Codes) -> bool {
    Ready::new(part, Family::Tightest, codes).is_ok_and(|ready| at_floor(&ready))
}

fn at_floor(ready: &Ready) -> bool {
    fits(ready, &even(ready, Scale::FLOOR), Air::CLOSE, 0, None).is_some()
}

fn shapes(ready: &mut Ready) -> Vec<Shape> {
    let mut found: Vec<Shape> = in_proportion(ready).into_iter().collect();
    let shape = ready.part.shape;
    if !matches!(shape, Shape::Circle { .. }) {
        found.extend(least(ready, shape.height(), &|height| sized(shape, shape.width(), height)));
        found.extend(least(ready, shape.width(), &|width| sized(shape, width, shape.height())));
    }
    // The smallest first.
    found.sort_by_key(|s| i128::from(s.width().to_raw()) * i128::from(s.height().to_raw()));
    found.dedup();
    found
}

fn in_proportion(ready: &mut Ready) -> Option<Shape> {
    let shape = ready.part.shape;
    let mm = Length::mm(1).to_raw();
    let whole = |length: Length| Length::raw((length.to_raw() + mm - 1) / mm * mm);
    let tall = |width: Length| whole(shape.height().times_ratio(width.to_raw(), shape.width().to_raw().max(1)));
    least(ready, shape.width(), &|width| sized(shape, width, tall(width)))
}

fn sized(shape: Shape, width: Length, height: Length) -> Shape {
    match shape {
        Shape::Rectangle { .. } => Shape::Rectangle { width, height },
        Shape::Rounded { corner, .. } => Shape::Rounded { width, height, corner },
        Shape::Circle { .. } => Shape::Circle { diameter: width },
    }
}

/// The least shape that holds everything at its floor, in steps of a millimetre of one side, up to four times the side.
fn least(ready: &mut Ready, side: Length, shape: &dyn Fn(Length) -> Shape) -> Option<Shape> {
    let mut holds = |side: i64| {
        ready.reshape(shape(Length::mm(side)));
        ready.outline.has_room() && at_floor(ready)
    };
    let mut low = side.to_raw() / Length::mm(1).to_raw();
    let end = (low * 4).clamp(20, low + 400);
    let mut step = 1;
    let mut high = low + step;
    while !holds(high) {
        if high >= end {
            return None;
        }
        low = high;
        step *= 2;
        high = (low + step).min(end);
    }
    while high - low > 1 {
        let middle = i64::midpoint(low, high);
        if holds(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(shape(Length::mm(high)))
}
