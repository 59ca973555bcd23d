//! Counts how much a page would draw through forms within forms, before `read` interprets it.
//!
//! Ten forms that each draw the next ten times are a few hundred bytes and ten thousand million drawings.

use hayro::hayro_syntax::content::TypedIter;
use hayro::hayro_syntax::content::ops::TypedInstruction;
use hayro::hayro_syntax::object::{Dict, Stream};
use hayro::hayro_syntax::page::{Page, Resources};
use std::collections::HashMap;

/// Deeper nesting counts as endless; the interpreter itself stops at 50.
const DEEPEST: usize = 20;

type Known = HashMap<(u32, i32), u64>;

/// How many forms and pictures the page draws, all told; `u64::MAX` if they nest too deep.
pub fn weigh(page: &Page<'_>) -> u64 {
    if page.resources().x_objects.is_empty() {
        return 0;
    }
    drawn(page.typed_operations(), page.resources(), &mut Known::new(), 0)
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
            total = total.saturating_add(1).saturating_add(form(&stream, resources, known, depth));
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
    // Until it is weighed, a form that draws itself counts as endless.
    known.insert(id, u64::MAX);
    let own = stream.dict().get::<Dict<'_>>(b"Resources".as_slice()).map(Resources::new);
    let resources = own.as_ref().unwrap_or(outer);
    let weight = if resources.x_objects.is_empty() || stream.dict().contains_key(b"Width".as_slice()) {
        0
    } else {
        stream.decoded_data().map_or(0, |data| drawn(TypedIter::new(data.as_ref()), resources, known, depth + 1))
    };
    known.insert(id, weight);
    weight
}
