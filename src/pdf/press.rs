//! Labels many to a page, or one with room to cut: each part a form, written once and placed; what differs is written by unit.
//!
//! In `pdf`, beside `write`. A page is a few numbers and what its units have of their own, so ten thousand labels need
//! little more room than what is deflated of them; pages are made on all cores, and their bytes do not depend on how many.

use super::draw::{self, points};
use super::embed::Faces;
use super::finish::{self, Drawn};
use super::marks::{self, number, put};
use super::{About, Red, broken, ruled, shape, shaped, sized};
use crate::find::Finding;
use crate::page::{Ink, Page, Placed, Series, Text, UnitCode, UnitCodes};
use crate::plan::Shape;
use crate::sheet::{Correction, Leaf, Spot};
use crate::unit::Length;
use lopdf::{Dictionary, Document, Object, Stream};

/// What is printed, and for which printer.
#[derive(Debug, Clone, Copy)]
pub struct Press<'a> {
    /// The parts of the label, set for the first unit.
    pub parts: &'a [Series],
    /// The code of each unit, the first one that of `parts`; empty where units are all alike.
    pub codes: &'a [String],
    /// The pages of paper.
    pub leaves: &'a [Leaf],
    /// What the printer does to lengths.
    pub correction: Correction,
    /// How red is printed.
    pub red: Red,
}

/// Writes the leaves as a PDF 1.7 file, a page for each. The trim box is the leaf less its edge, the bleed box that and the
/// bleed; media and crop box are the paper. Same input, same bytes.
///
/// # Errors
/// As [`super::write`]; and a unit whose code is longer than the first one's, or fits no QR code of the same size.
pub fn press(job: &Press<'_>, about: &About) -> Result<Vec<u8>, Finding> {
    if job.leaves.is_empty() {
        return Err(Finding::input("pdf/no-page", "there is no page to write", "ask for at least one label"));
    }
    let fixed: Vec<Page> = job.parts.iter().map(|part| part.fixed.clone()).collect();
    fixed.iter().try_for_each(|page| sized(page).and_then(|()| ruled(page)))?;
    for leaf in job.leaves {
        let (width, height) = (leaf.width, leaf.height);
        sized(&Page { part: "sheet".to_owned(), trim: Shape::Rectangle { width, height }, items: Vec::new() })?;
    }
    let mut pages = fixed;
    let forms = pages.len();
    // A page that is left out again makes the fonts hold every character of every unit, with its width.
    pages.push(every_character(job));
    let runs = pages.iter().map(shaped).collect::<Result<Vec<_>, _>>()?;
    let faces = Faces::of(&pages, &runs)?;
    let operations =
        |(page, runs): (&Page, &Vec<_>)| Drawn { trim: page.trim, ops: draw::operations(page, runs, &faces, job.red) };
    let drawn = pages.iter().zip(&runs).map(operations).collect();
    let contents = contents(job, &faces)?;
    let (mut document, rests) = finish::lay_down(drawn, faces, job.red)?;
    let templates = document.get_pages();
    let bleed = job.leaves.iter().map(|leaf| leaf.bleed).max().unwrap_or(Length::ZERO);
    let build = |document: &mut Document| -> Result<(), lopdf::Error> {
        let mut resources = finish::resources(document, &templates, &rests, job.red)?;
        let inner = document.add_object(resources.clone());
        let mut placed = Dictionary::new();
        for (n, (template, page)) in templates.values().zip(&pages).take(forms).enumerate() {
            let content = document.get_dictionary(*template)?.get(b"Contents")?.as_reference()?;
            let stream = document.get_object_mut(content)?.as_stream_mut()?;
            finish::join_strings(stream);
            let (width, height) = (page.trim.width() + bleed, page.trim.height() + bleed);
            let corners = [-bleed, -bleed, width, height].map(|length| Object::Real(points(length)));
            stream.dict.set("Type", finish::name("XObject"));
            stream.dict.set("Subtype", finish::name("Form"));
            stream.dict.set("BBox", Object::Array(corners.to_vec()));
            stream.dict.set("Resources", Object::Reference(inner));
            placed.set(form_name(n), Object::Reference(content));
        }
        resources.set("XObject", placed);
        marks::resources(job.leaves, &mut resources)?;
        let resources = document.add_object(resources);
        let tree = document.catalog()?.get(b"Pages")?.clone();
        let mut kids = Vec::with_capacity(job.leaves.len());
        for (leaf, content) in job.leaves.iter().zip(contents) {
            let filter = Dictionary::from_iter([("Filter", finish::name("FlateDecode"))]);
            let content = document.add_object(Stream::new(filter, content));
            let entries = [
                ("Type", finish::name("Page")),
                ("Parent", tree.clone()),
                ("MediaBox", inset(leaf, Length::ZERO)),
                ("CropBox", inset(leaf, Length::ZERO)),
                ("BleedBox", inset(leaf, leaf.edge - leaf.bleed)),
                ("TrimBox", inset(leaf, leaf.edge)),
                ("Resources", Object::Reference(resources)),
                ("Contents", Object::Reference(content)),
            ];
            kids.push(Object::Reference(document.add_object(Dictionary::from_iter(entries))));
        }
        let pages = document.get_dictionary_mut(tree.as_reference()?)?;
        pages.set("Count", i64::try_from(kids.len()).unwrap_or(i64::MAX));
        pages.set("Kids", kids);
        finish::describe(document, tree, about);
        Ok(())
    };
    build(&mut document).map_err(broken)?;
    finish::sealed(document)
}

/// The paper less so much at each edge, in points from its lower left corner.
fn inset(leaf: &Leaf, by: Length) -> Object {
    let at = |length: Length| Object::Real(points(length));
    Object::Array(vec![at(by), at(by), at(leaf.width - by), at(leaf.height - by)])
}

fn form_name(part: usize) -> String {
    format!("P{part}")
}

fn every_character(job: &Press<'_>) -> Page {
    let of_codes: std::collections::BTreeSet<char> = job.codes.iter().flat_map(|code| code.chars()).collect();
    let of_codes: String = of_codes.into_iter().collect();
    let texts = job.parts.iter().flat_map(|part| &part.texts);
    let items = texts.map(|text| Placed::Text(Text { text: format!("{}{of_codes}", text.text), ..text.clone() }));
    let trim = Shape::Circle { diameter: Length::mm(10) };
    Page { part: "units".to_owned(), trim, items: items.collect() }
}

/// The deflated content of every leaf, in order.
fn contents(job: &Press<'_>, faces: &Faces) -> Result<Vec<Vec<u8>>, Finding> {
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get).min(8);
    let share = job.leaves.len().div_ceil(cores).max(1);
    let some = |leaves: &[Leaf]| -> Result<Vec<Vec<u8>>, Finding> {
        let mut codes = UnitCodes::default();
        leaves.iter().map(|leaf| finish::packed(&content(job, leaf, faces, &mut codes)?).map_err(broken)).collect()
    };
    if job.leaves.len() <= cores {
        return some(job.leaves);
    }
    let some = &some;
    let made: Vec<_> = std::thread::scope(|scope| {
        let started: Vec<_> = job.leaves.chunks(share).map(|leaves| scope.spawn(move || some(leaves))).collect();
        started
            .into_iter()
            .map(|thread| thread.join().unwrap_or_else(|_| Err(broken("a thread ended early"))))
            .collect()
    });
    let mut all = Vec::with_capacity(job.leaves.len());
    for share in made {
        all.extend(share?);
    }
    Ok(all)
}

/// The operations of one leaf.
fn content(job: &Press<'_>, leaf: &Leaf, faces: &Faces, codes: &mut UnitCodes) -> Result<Vec<u8>, Finding> {
    let mut out = Vec::with_capacity(256 + leaf.spots.len() * 5000);
    corrected(leaf, job.correction, &mut out);
    marks::under(leaf, &mut out);
    for spot in &leaf.spots {
        label(job, leaf, spot, faces, codes, &mut out)?;
    }
    marks::over(leaf, &mut out);
    Ok(out)
}

/// A line of the paper as the printer must be given it, so that it comes out right: `x' = k x + t`, y from the foot.
fn corrected(leaf: &Leaf, correction: Correction, out: &mut Vec<u8>) {
    if correction == Correction::NONE {
        return;
    }
    let (across, down) = (correction.across, correction.down);
    put(out, format_args!("{:.8} 0 0 {:.8} ", across.scale(), down.scale()));
    number(across.drawn(Length::ZERO), out);
    number(leaf.height - down.drawn(leaf.height), out);
    out.extend_from_slice(b"cm\n");
}

fn label(
    job: &Press<'_>,
    leaf: &Leaf,
    spot: &Spot,
    faces: &Faces,
    codes: &mut UnitCodes,
    out: &mut Vec<u8>,
) -> Result<(), Finding> {
    let Some(part) = job.parts.get(spot.part) else { return Err(broken("a leaf names a part that is not there")) };
    let height = part.fixed.trim.height();
    out.extend_from_slice(b"q 1 0 0 1 ");
    number(spot.left, out);
    number(leaf.height - spot.top - height, out);
    put(out, format_args!("cm /{} Do\n", form_name(spot.part)));
    if part.differs() {
        let unit = usize::try_from(spot.unit).ok().and_then(|n| job.codes.get(n));
        let (Some(first), Some(unit)) = (job.codes.first(), unit) else { return Err(broken("a unit has no code")) };
        for text in &part.texts {
            line(text, &text.text.replace(first, unit), height, faces, &part.fixed.part, out)?;
        }
        for code in &part.codes {
            modules(code, &code.payload.replace(first, unit), height, codes, out)?;
        }
    }
    out.extend_from_slice(b"Q\n");
    Ok(())
}

fn line(text: &Text, words: &str, height: Length, faces: &Faces, part: &str, out: &mut Vec<u8>) -> Result<(), Finding> {
    let run = shape(&Text { text: words.to_owned(), ..text.clone() }, part)?;
    if run.advance > shape(text, part)?.advance {
        return Err(Finding::input(
            "sheet/unit-code",
            format!("`{words}` is longer than `{}`, for which the label was set", text.text),
            "number units with as many figures each",
        ));
    }
    let Some((font, glyphs)) = faces.show(text.face, &run) else { return Ok(()) };
    match text.ink {
        Ink::White => out.extend_from_slice(b"1 g "),
        Ink::Own(own) => {
            let [red, green, blue] = [own.red, own.green, own.blue].map(|c| f32::from(c) / 255.0);
            put(out, format_args!("{red:.4} {green:.4} {blue:.4} rg "));
        }
        Ink::Black | Ink::Grey(_) | Ink::Red => out.extend_from_slice(b"0 g "),
    }
    put(out, format_args!("BT /{} ", font.0));
    number(text.size, out);
    out.extend_from_slice(b"Tf ");
    number(text.x, out);
    number(height - text.baseline, out);
    out.extend_from_slice(b"Td [<");
    for (n, glyph) in glyphs.iter().enumerate() {
        put(out, format_args!("{:04X}", glyph.gid));
        if glyph.offset != 0.0 && n + 1 < glyphs.len() {
            put(out, format_args!(">{:.0}<", glyph.offset));
        }
    }
    out.extend_from_slice(b">]TJ ET\n");
    Ok(())
}

/// A rectangle for each run of dark modules, in modules from the code's upper left corner.
fn modules(
    code: &UnitCode,
    payload: &str,
    height: Length,
    codes: &mut UnitCodes,
    out: &mut Vec<u8>,
) -> Result<(), Finding> {
    let Some((side, runs)) = codes.runs(payload).filter(|(side, _)| *side == code.side) else {
        return Err(Finding::input(
            "sheet/unit-code",
            format!("`{payload}` needs a QR code of another size than `{}`, for which the label was set", code.payload),
            "number units with as many figures each",
        ));
    };
    out.extend_from_slice(b"q 0 g ");
    number(code.module, out);
    out.extend_from_slice(b"0 0 ");
    number(code.module, out);
    number(code.x, out);
    number(height - code.y - code.module * i64::try_from(side).unwrap_or(0), out);
    out.extend_from_slice(b"cm\n");
    for (column, row, length) in runs {
        whole(column, out);
        whole(side - 1 - row, out);
        whole(length, out);
        out.extend_from_slice(b"1 re\n");
    }
    out.extend_from_slice(b"f Q\n");
    Ok(())
}

/// A whole number below a thousand, and a blank.
fn whole(n: usize, out: &mut Vec<u8>) {
    let digits = [n / 100 % 10, n / 10 % 10, n % 10].map(|d| b"0123456789"[d]);
    let from = if n >= 100 { 0 } else { 1 + usize::from(n < 10) };
    out.extend_from_slice(&digits[from..]);
    out.push(b' ');
}

#[cfg(test)]
mod tests {
    use super::whole;

    #[test]
    fn whole_numbers_are_written_with_as_many_digits_as_they_have() {
        for (n, text) in [(0, "0 "), (9, "9 "), (10, "10 "), (99, "99 "), (100, "100 "), (177, "177 ")] {
            let mut out = Vec::new();
            whole(n, &mut out);
            assert_eq!(String::from_utf8(out).unwrap(), text);
        }
    }
}
