//! Weighs what a page would have the reader work through and keep, before `read` does so.
//!
//! Ten forms that each draw the next ten times are a few hundred bytes and ten thousand million drawings; eight functions
//! that each name the next ten times are as many functions; a mesh of 90 MB of zeros is 90 KB deflated; a font's widths
//! may be told for two thousand million letters in twenty bytes.

use hayro::hayro_syntax::content::TypedIter;
use hayro::hayro_syntax::content::ops::TypedInstruction as Op;
use hayro::hayro_syntax::object::{Array, Dict, MaybeRef, Name, Number, Object, Stream};
use hayro::hayro_syntax::page::{Page, Resources};
use hayro::hayro_syntax::xref::XRef;
use std::collections::BTreeMap;

/// Most bytes of content of one page, counted as often as drawn.
pub const MOST_CONTENT: u64 = 2 << 20;
/// Most bytes that one colour, gradient, function or map of a font unpacks to, all that belongs to it counted.
pub const MOST_HELD: u64 = 512 << 10;
/// Deepest nesting of forms, functions, colours and of pages in their tree; the interpreter itself stops at 50.
pub const DEEPEST: usize = 20;
/// Most letters whose widths one font tells, ranges counted in full.
const MOST_WIDTHS: f64 = 200_000.0;

type Id = (u32, i32);

/// What a page weighs.
#[derive(Debug, Clone, Copy, Default)]
pub struct Load {
    /// Bytes of the heaviest letter that the file draws itself (of a Type 3 font), forms in it counted; 0 if there is none.
    pub letter: u64,
}

/// Weighs a page.
///
/// # Errors
/// What of it goes beyond the bounds, to be put after "page 1 of the PDF".
pub fn page(page: &Page<'_>) -> Result<Load, String> {
    let mut above = page.raw().get::<Dict<'_>>(b"Parent".as_slice());
    for _ in 0..DEEPEST {
        above = above.and_then(|dict| dict.get::<Dict<'_>>(b"Parent".as_slice()));
    }
    if above.is_some() {
        return Err(format!("lies deeper than {DEEPEST} levels in the tree of pages"));
    }
    let mut scale = Scale { xref: page.xref(), held: BTreeMap::new(), drawn: BTreeMap::new(), load: Load::default() };
    let own = bytes(page.page_stream().unwrap_or_default());
    let total = own.saturating_add(scale.content(page.typed_operations(), page.resources(), Within::Page, 0)?);
    if total > MOST_CONTENT {
        return Err(format!(
            "has more than {} MB to be drawn, what is drawn again and again counted each time",
            MOST_CONTENT >> 20
        ));
    }
    Ok(scale.load)
}

fn bytes(content: &[u8]) -> u64 {
    u64::try_from(content.len()).unwrap_or(u64::MAX)
}

fn too_deep() -> String {
    format!("holds forms, functions or colours within each other, deeper than {DEEPEST} levels")
}

/// What content is drawn for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Within {
    Page,
    /// A letter of a font that the file draws itself: text in it has no end that could be told.
    Letter,
}

/// What was weighed so far.
struct Scale<'a> {
    xref: &'a XRef,
    /// What is read whole as soon as it is named; until it is weighed it counts as endless.
    held: BTreeMap<Id, u64>,
    /// Forms: what is read each time it is drawn.
    drawn: BTreeMap<(Id, Within), u64>,
    load: Load,
}

impl<'a> Scale<'a> {
    /// The bytes that drawing the content takes besides its own.
    fn content(
        &mut self,
        mut operations: TypedIter<'_>,
        resources: &Resources<'a>,
        within: Within,
        depth: usize,
    ) -> Result<u64, String> {
        if depth > DEEPEST {
            return Err(too_deep());
        }
        let mut known: BTreeMap<(u8, Vec<u8>), u64> = BTreeMap::new();
        let mut total = 0_u64;
        while total <= MOST_CONTENT
            && let Some(operation) = operations.next()
        {
            let (kind, name) = match &operation {
                Op::XObject(named) => (0, named.0),
                Op::Shading(named) => (1, named.0),
                Op::NonStrokeColorNamed(colour) => match colour.1 {
                    Some(name) => (2, name),
                    None => continue,
                },
                Op::StrokeColorNamed(colour) => match colour.1 {
                    Some(name) => (2, name),
                    None => continue,
                },
                Op::ColorSpaceNonStroke(named) => (3, named.0),
                Op::ColorSpaceStroke(named) => (3, named.0),
                Op::SetGraphicsState(named) => (4, named.0),
                Op::TextFont(named) => (5, named.0),
                Op::ShowText(_) | Op::ShowTexts(_) | Op::NextLineAndShowText(_) | Op::ShowTextWithParameters(_)
                    if within == Within::Letter =>
                {
                    return Ok(u64::MAX);
                }
                _ => continue,
            };
            let key = (kind, name.as_ref().to_vec());
            let weight = match known.get(&key) {
                Some(weight) => *weight,
                None => {
                    let weight = self.named(kind, name, resources, within, depth)?;
                    known.insert(key, weight);
                    weight
                }
            };
            total = total.saturating_add(weight);
        }
        Ok(total)
    }

    /// What a name of the resources takes each time it is used.
    fn named(
        &mut self,
        kind: u8,
        name: &Name<'_>,
        resources: &Resources<'a>,
        within: Within,
        depth: usize,
    ) -> Result<u64, String> {
        let raw = |dict: &Dict<'a>| dict.get_raw::<Object<'a>>(name.as_ref());
        match kind {
            0 => match resources.get_x_object(name) {
                Some(stream) => self.form(&stream, resources, within, depth),
                None => Ok(0),
            },
            1 => self.held(raw(&resources.shadings)),
            // A tile is not read before it is drawn.
            2 => match resources.get_pattern(name) {
                Some(Object::Dict(dict)) => self.held(dict.get_raw::<Object<'a>>(b"Shading".as_slice())),
                _ => Ok(0),
            },
            // Read once and remembered by the interpreter.
            3 => self.held(raw(&resources.color_spaces)).map(|_| 0),
            4 => {
                let state = resources.get_ext_g_state(name).unwrap_or_default();
                let mask = state.get::<Dict<'a>>(b"SMask".as_slice()).unwrap_or_default();
                let of_state = [b"TR".as_slice(), b"TR2"].map(|key| state.get_raw::<Object<'a>>(key));
                let all = of_state.into_iter().chain([mask.get_raw::<Object<'a>>(b"TR".as_slice())]);
                all.map(|object| self.held(object)).sum()
            }
            _ => match resources.get_font(name) {
                Some(font) => self.font(&font, resources, depth),
                None => Ok(0),
            },
        }
    }

    fn form(
        &mut self,
        stream: &Stream<'a>,
        outer: &Resources<'a>,
        within: Within,
        depth: usize,
    ) -> Result<u64, String> {
        if stream.dict().contains_key(b"Width".as_slice()) {
            return self.held(stream.dict().get_raw::<Object<'a>>(b"ColorSpace".as_slice()));
        }
        let id = stream.obj_id();
        let key = ((id.obj_number, id.gen_number), within);
        if let Some(weight) = self.drawn.get(&key) {
            return Ok(*weight);
        }
        // Until it is weighed, a form that draws itself counts as endless.
        self.drawn.insert(key, u64::MAX);
        let weight = match stream.decoded_data() {
            Ok(content) => {
                let own = stream.dict().get::<Dict<'a>>(b"Resources".as_slice()).map(Resources::new);
                let inner = TypedIter::new(content.as_ref());
                let drawn = self.content(inner, own.as_ref().unwrap_or(outer), within, depth + 1)?;
                bytes(content.as_ref()).saturating_add(drawn)
            }
            Err(_) => 0,
        };
        self.drawn.insert(key, weight);
        Ok(weight)
    }

    /// What is read whole when it is named: a colour, a function, a gradient.
    fn held(&mut self, object: Option<MaybeRef<Object<'a>>>) -> Result<u64, String> {
        let weight = object.map_or(Ok(0), |object| self.object(object, 0))?;
        if weight > MOST_HELD {
            return Err(format!("holds a colour, a gradient or a function of more than {} KB", MOST_HELD >> 10));
        }
        Ok(weight)
    }

    fn object(&mut self, object: MaybeRef<Object<'a>>, depth: usize) -> Result<u64, String> {
        if depth > DEEPEST {
            return Err(too_deep());
        }
        let (id, object) = match object {
            MaybeRef::Ref(to) => {
                let id = (to.obj_number, to.gen_number);
                if let Some(weight) = self.held.get(&id) {
                    return Ok(*weight);
                }
                self.held.insert(id, u64::MAX);
                (Some(id), self.xref.get::<Object<'a>>(to.into()))
            }
            MaybeRef::NotRef(object) => (None, Some(object)),
        };
        let weight = match object {
            Some(object) => self.resolved(&object, depth)?,
            None => 0,
        };
        if let Some(id) = id {
            self.held.insert(id, weight);
        }
        Ok(weight)
    }

    fn resolved(&mut self, object: &Object<'a>, depth: usize) -> Result<u64, String> {
        let (own, within): (u64, Vec<MaybeRef<Object<'a>>>) = match object {
            Object::Array(array) => {
                let mut parts = array.raw_iter();
                let first = parts.next();
                if matches!(&first, Some(MaybeRef::NotRef(Object::Name(name))) if name.as_ref() == b"ICCBased") {
                    // The profile is read once for the file; of its dictionary only another colour counts.
                    let profile = array.iter::<Object<'a>>().nth(1).and_then(Object::into_stream);
                    let other = profile.and_then(|p| p.dict().get_raw::<Object<'a>>(b"Alternate".as_slice()));
                    (8, other.into_iter().collect())
                } else {
                    (bytes(array.data()), first.into_iter().chain(parts).collect())
                }
            }
            Object::Dict(dict) => (bytes(dict.data()), dict.entries().map(|(_, part)| part).collect()),
            Object::Stream(stream) => {
                let dict = stream.dict();
                let data = stream.decoded_data().map_err(|_| "holds data that cannot be unpacked".to_owned())?;
                if dict.get::<u8>(b"FunctionType".as_slice()) == Some(4) && braces(data.as_ref()) > DEEPEST {
                    return Err(too_deep());
                }
                (bytes(data.as_ref()), dict.entries().map(|(_, part)| part).collect())
            }
            _ => return Ok(8),
        };
        let mut total = own;
        for part in within {
            if matches!(&part, MaybeRef::Ref(_) | MaybeRef::NotRef(Object::Array(_) | Object::Dict(_))) {
                total = total.saturating_add(self.object(part, depth + 1)?);
            }
            if total > MOST_HELD {
                break;
            }
        }
        Ok(total)
    }

    /// Checks what a font tells of its letters, and weighs those that are drawings.
    fn font(&mut self, font: &Dict<'a>, resources: &Resources<'a>, depth: usize) -> Result<u64, String> {
        let below = font.get::<Array<'a>>(b"DescendantFonts".as_slice());
        for one in below.iter().flat_map(|fonts| fonts.iter::<Dict<'a>>().take(1)) {
            let map = one
                .get::<Stream<'a>>(b"CIDToGIDMap".as_slice())
                .and_then(|s| Some(bytes(s.decoded_data().ok()?.as_ref())));
            let wide = [b"W".as_slice(), b"W2"]
                .iter()
                .any(|key| one.get::<Array<'a>>(*key).is_some_and(|w| widths(&w) > MOST_WIDTHS));
            if wide || map.is_some_and(|m| m > MOST_HELD) {
                return Err("has a font that tells of more letters than any font has".to_owned());
            }
        }
        let kind = font.get::<Name<'a>>(b"Subtype".as_slice());
        if kind.is_none_or(|kind| kind.as_ref() != b"Type3") {
            return Ok(0);
        }
        let letters = font.get::<Dict<'a>>(b"CharProcs".as_slice()).unwrap_or_default();
        let own = font.get::<Dict<'a>>(b"Resources".as_slice()).map(Resources::new);
        for name in letters.keys() {
            if let Some(letter) = letters.get::<Stream<'a>>(name.as_ref()) {
                let weight = self.form(&letter, own.as_ref().unwrap_or(resources), Within::Letter, depth)?;
                self.load.letter = self.load.letter.max(weight);
            }
        }
        Ok(0)
    }
}

/// How deep the braces of a program nest.
fn braces(program: &[u8]) -> usize {
    let (mut now, mut most) = (0_usize, 0);
    for byte in program {
        match byte {
            b'{' => now += 1,
            b'}' => now = now.saturating_sub(1),
            _ => {}
        }
        most = most.max(now);
    }
    most
}

/// How many letters the ranges of a font's widths speak of (ISO 32000-1, 9.7.4.3: `first [w ...]` or `first last w`).
fn widths(array: &Array<'_>) -> f64 {
    let (mut total, mut waiting) = (0.0, Vec::new());
    for part in array.iter::<Object<'_>>() {
        match part {
            Object::Number(number) => waiting.push(Number::as_f64(&number)),
            _ => waiting.clear(),
        }
        if let [first, last, _] = waiting.as_slice() {
            total += (last - first).max(0.0) + 1.0;
            waiting.clear();
        }
    }
    total
}
