//! The drawing operations of a page of labels, label by label, so that many alike can be told alike without drawing each.
//!
//! A page is taken apart where it is built plainly: things drawn on the page itself, then for each label a saved state with
//! a place, a form, text and filled rectangles. Anything else gives nothing, and the labels are looked at one by one.

use hayro::hayro_interpret::hayro_cmap::{BfString, CMap};
use hayro::hayro_syntax::content::TypedIter;
use hayro::hayro_syntax::content::ops::TypedInstruction as Op;
use hayro::hayro_syntax::object::{Array, Number, Object, Stream};
use hayro::hayro_syntax::page::Page;
use std::collections::BTreeMap;

/// One operation; strings and rectangles, which may differ from unit to unit, are kept apart.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// The state is kept.
    Save,
    /// The kept state is taken again.
    Restore,
    /// A matrix before the others.
    Transform([f64; 6]),
    /// A form is drawn.
    Form(Vec<u8>),
    /// Which font, how large.
    Font(Vec<u8>, f64),
    /// Text is shown; numbers move it between letters: after how many, how far.
    Shown(Moved),
    /// Rectangles are filled: how far they reach.
    Rectangles([f64; 4]),
    /// A colour space or a graphics state is chosen, by its operator and name.
    Chosen(&'static str, Vec<u8>),
    /// Something else, by its operator and numbers.
    Plain(&'static str, Vec<f64>),
}

/// One label as drawn.
#[derive(Debug, Default)]
pub struct Label {
    /// Its place: the matrix it begins with.
    pub at: [f64; 6],
    /// What is drawn.
    pub steps: Vec<Step>,
    /// The texts: font and two bytes a letter.
    pub texts: Vec<(Vec<u8>, Vec<u16>)>,
    /// The rectangles filled together: left, lower edge, width, height.
    pub filled: Vec<Vec<[f64; 4]>>,
}

/// A page taken apart.
#[derive(Debug, Default)]
pub struct Steps {
    /// What is drawn on the page itself, before the labels.
    pub before: Vec<Step>,
    /// Its labels.
    pub labels: Vec<Label>,
    /// What is drawn on the page after its only label: the line of the die.
    pub after: Vec<Step>,
}

/// Takes a page apart; `None` where it is built otherwise.
pub fn of(page: &Page<'_>) -> Option<Steps> {
    // Not by `page_stream`, which would keep what it inflates as long as the file is open.
    let stream = page.raw().get::<Stream<'_>>(b"Contents".as_slice())?;
    let content = stream.decoded_data().ok()?;
    let (mut steps, mut label): (Steps, Option<Label>) = (Steps::default(), None);
    let (mut depth, mut font, mut rectangles) = (0_usize, Vec::new(), Vec::new());
    let mut operations = TypedIter::new(content.as_ref());
    while let Some(operation) = operations.next() {
        let step = match operation {
            Op::SaveState(_) => {
                depth += 1;
                if depth == 1 {
                    label = Some(Label { at: [f64::NAN; 6], ..Label::default() });
                    continue;
                }
                Step::Save
            }
            Op::RestoreState(_) => {
                depth = depth.checked_sub(1)?;
                if depth == 0 {
                    steps.labels.push(label.take()?);
                    continue;
                }
                Step::Restore
            }
            Op::Transform(t) => {
                let matrix = [t.0, t.1, t.2, t.3, t.4, t.5].map(|n| n.as_f64());
                match &mut label {
                    Some(label) if label.at[0].is_nan() => {
                        label.at = matrix;
                        continue;
                    }
                    _ => Step::Transform(matrix),
                }
            }
            Op::XObject(form) => Step::Form(form.0.as_ref().to_vec()),
            Op::TextFont(named) => {
                font = named.0.as_ref().to_vec();
                Step::Font(font.clone(), named.1.as_f64())
            }
            Op::ShowTexts(texts) => {
                let (codes, moved) = shown(texts.0)?;
                label.as_mut()?.texts.push((font.clone(), codes));
                Step::Shown(moved)
            }
            Op::RectPath(r) => {
                rectangles.push([r.0, r.1, r.2, r.3].map(|n| n.as_f64()));
                continue;
            }
            Op::FillPathNonZero(_) => {
                let reach = reach(&rectangles)?;
                label.as_mut()?.filled.push(std::mem::take(&mut rectangles));
                Step::Rectangles(reach)
            }
            Op::NextLine(to) => Step::Plain("Td", vec![to.0.as_f64(), to.1.as_f64()]),
            Op::BeginText(_) => Step::Plain("BT", Vec::new()),
            Op::EndText(_) => Step::Plain("ET", Vec::new()),
            Op::NonStrokeColorDeviceGray(grey) => Step::Plain("g", vec![grey.0.as_f64()]),
            Op::StrokeColorDeviceGray(grey) => Step::Plain("G", vec![grey.0.as_f64()]),
            Op::NonStrokeColorDeviceRgb(c) => Step::Plain("rg", [c.0, c.1, c.2].map(|n| n.as_f64()).to_vec()),
            Op::ColorSpaceStroke(space) => Step::Chosen("CS", space.0.as_ref().to_vec()),
            Op::StrokeColorNamed(tint) if tint.1.is_none() => {
                Step::Plain("SCN", tint.0.iter().map(Number::as_f64).collect())
            }
            Op::SetGraphicsState(state) => Step::Chosen("gs", state.0.as_ref().to_vec()),
            Op::DashPattern(dash) => {
                let lengths = dash.0.iter::<Number>().map(|n| n.as_f64());
                Step::Plain("d", lengths.chain([dash.1.as_f64()]).collect())
            }
            Op::CubicTo(c) => Step::Plain("c", [c.0, c.1, c.2, c.3, c.4, c.5].map(|n| n.as_f64()).to_vec()),
            Op::ClosePath(_) => Step::Plain("h", Vec::new()),
            Op::LineWidth(width) => Step::Plain("w", vec![width.0.as_f64()]),
            Op::MoveTo(to) => Step::Plain("m", vec![to.0.as_f64(), to.1.as_f64()]),
            Op::LineTo(to) => Step::Plain("l", vec![to.0.as_f64(), to.1.as_f64()]),
            Op::StrokePath(_) => Step::Plain("S", Vec::new()),
            _ => return None,
        };
        match &mut label {
            Some(label) if label.at[0].is_nan() => return None,
            Some(label) => label.steps.push(step),
            None if steps.labels.is_empty() => steps.before.push(step),
            // What is drawn after the label could lie on it: it was looked at with the first one, and nothing but lines may
            // follow. A page of several labels has none.
            None if steps.labels.len() == 1 && line(&step) => steps.after.push(step),
            None => return None,
        }
    }
    let alone = steps.after.is_empty() || steps.labels.len() == 1;
    (depth == 0 && rectangles.is_empty() && alone).then_some(steps)
}

/// Whether it does nothing but draw lines.
fn line(step: &Step) -> bool {
    match step {
        Step::Chosen(..) => true,
        Step::Plain(operator, _) => matches!(*operator, "SCN" | "d" | "w" | "m" | "l" | "c" | "h" | "S"),
        _ => false,
    }
}

/// What moves a text between its letters: after how many, how far.
type Moved = Vec<(usize, f64)>;

/// The two-byte codes of a text, and what moves it.
fn shown(texts: &Array<'_>) -> Option<(Vec<u16>, Moved)> {
    let (mut codes, mut moved) = (Vec::new(), Vec::new());
    for object in texts.iter::<Object<'_>>() {
        match object {
            Object::String(text) => {
                let bytes = text.as_bytes();
                if bytes.len() % 2 != 0 {
                    return None;
                }
                codes.extend(bytes.chunks(2).map(|pair| u16::from_be_bytes([pair[0], pair[1]])));
            }
            Object::Number(by) => moved.push((codes.len(), Number::as_f64(&by))),
            _ => return None,
        }
    }
    Some((codes, moved))
}

/// The box round rectangles: left, lower, right, upper edge.
fn reach(rectangles: &[[f64; 4]]) -> Option<[f64; 4]> {
    let boxes = rectangles.iter().map(|&[x, y, w, h]| [x, y, x + w, y + h]);
    boxes.reduce(|a, b| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])])
}

/// The maps from codes to characters of a page's fonts.
pub struct Fonts(BTreeMap<Vec<u8>, CMap>);

impl Fonts {
    /// Those that say what their codes mean.
    pub fn of(page: &Page<'_>) -> Self {
        let fonts = &page.resources().fonts;
        let map = |name: &[u8]| {
            let font = fonts.get::<hayro::hayro_syntax::object::Dict<'_>>(name)?;
            let unicode = font.get::<Stream<'_>>(b"ToUnicode".as_slice())?;
            CMap::parse(unicode.decoded_data().ok()?.as_ref(), |_| None)
        };
        Self(fonts.keys().filter_map(|name| Some((name.as_ref().to_vec(), map(name.as_ref())?))).collect())
    }

    /// The words of a text; `None` where a code means nothing.
    pub fn words(&self, (font, codes): &(Vec<u8>, Vec<u16>)) -> Option<String> {
        let map = self.0.get(font)?;
        let mut words = String::with_capacity(codes.len());
        for code in codes {
            match map.lookup_bf_string(u32::from(*code))? {
                BfString::Char(c) => words.push(c),
                BfString::String(s) => words.push_str(&s),
            }
        }
        Some(words)
    }
}

/// What the QR code drawn by these rectangles holds: each one module high, on whole modules, the code standing upright.
pub fn decoded(rectangles: &[[f64; 4]]) -> Option<String> {
    let [left, lower, right, upper] = reach(rectangles)?;
    let square = left == 0.0 && lower == 0.0 && (right - upper).abs() < 1e-9 && (21.0..=177.0).contains(&right);
    if !square || rectangles.iter().flatten().any(|n| n.fract() != 0.0) {
        return None;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole, from 0 to 177")]
    let whole = |n: f64| n as usize;
    let side = whole(right);
    let mut dark = vec![false; side * side];
    for &[x, y, width, height] in rectangles {
        // Whole numbers, as was looked at above.
        if !(0.5..1.5).contains(&height) || width < 0.5 {
            return None;
        }
        let (row, column) = (side - 1 - whole(y), whole(x));
        dark.get_mut(row * side + column..row * side + column + whole(width))?.fill(true);
    }
    let grid = rqrr::Grid::new(rqrr::SimpleGrid::from_func(side, |x, y| dark[y * side + x]));
    grid.decode().ok().map(|(_, payload)| payload)
}
