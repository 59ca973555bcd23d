//! Weighs how much content a page would have the reader work through, forms within forms and all, before `read` does so.
//!
//! Ten forms that each draw the next ten times are a few hundred bytes and ten thousand million drawings; a megabyte of
//! one letter is a kilobyte deflated, and the reader keeps a hundred bytes for each letter of a line.

use hayro::hayro_syntax::content::TypedIter;
use hayro::hayro_syntax::content::ops::TypedInstruction;
use hayro::hayro_syntax::object::{Dict, Stream};
use hayro::hayro_syntax::page::{Page, Resources};
use std::collections::BTreeMap;

/// Deeper nesting counts as endless; the interpreter itself stops at 50.
const DEEPEST: usize = 20;

type Known = BTreeMap<(u32, i32), u64>;

/// Bytes of content that drawing the page takes, all told; `u64::MAX` if forms nest too deep.
pub fn weigh(page: &Page<'_>) -> u64 {
    let own = bytes(page.page_stream().unwrap_or_default());
    if page.resources().x_objects.is_empty() {
        return own;
    }
    own.saturating_add(drawn(page.typed_operations(), page.resources(), &mut Known::new(), 0))
}

fn bytes(content: &[u8]) -> u64 {
    u64::try_from(content.len()).unwrap_or(u64::MAX)
}

fn drawn(mut operations: TypedIter<'_>, resources: &Resources<'_>, known: &mut Known, depth: usize) -> u64 {
    if depth > DEEPEST {
        return u64::MAX;
    }
    let mut total = 0_u64;
    while let Some(operation) = operations.next() {
        if let TypedInstruction::XObject(object) = operation
            && let Some(stream) = resources.get_x_object(object.0)
        {
            total = total.saturating_add(form(&stream, resources, known, depth));
        }
    }
    total
}

fn form(stream: &Stream<'_>, outer: &Resources<'_>, known: &mut Known, depth: usize) -> u64 {
    let id = stream.obj_id();
    let id = (id.obj_number, id.gen_number);
    if let Some(weight) = known.get(&id) {
        return *weight;
    }
    let picture = stream.dict().contains_key(b"Width".as_slice());
    // Until it is weighed, a form that draws itself counts as endless.
    known.insert(id, u64::MAX);
    let weight = match (!picture).then(|| stream.decoded_data()) {
        Some(Ok(content)) => {
            let own = stream.dict().get::<Dict<'_>>(b"Resources".as_slice()).map(Resources::new);
            let resources = own.as_ref().unwrap_or(outer);
            let within = if resources.x_objects.is_empty() {
                0
            } else {
                drawn(TypedIter::new(content.as_ref()), resources, known, depth + 1)
            };
            bytes(content.as_ref()).saturating_add(within)
        }
        _ => 0,
    };
    known.insert(id, weight);
    weight
}
