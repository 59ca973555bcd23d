//! Lines for those who cut and fold: marks on every plate, and the line of the die as an ink that is never printed.
//!
//! In `pdf`, used by `press`.

use super::finish;
use crate::page::{Point, Ring, Segment};
use crate::sheet::{Leaf, Mark, MarkKind};
use crate::unit::Length;
use lopdf::{Dictionary, Object};
use std::io::Write;

/// What pages call the ink of marks: it puts them on each plate there is, whatever inks the press has (ISO 32000-1, 8.6.6.4).
const ALL: &str = "All";
/// What pages call the ink of the die.
const DIE: &str = "Die";
/// The state in which the line of the die leaves what is under it as it is.
const OVER: &str = "Over";
/// The name by which a print shop finds the line of the die (the trade's own words; common practice, no source).
const DIE_LINE: &str = "Die line";
/// What stands for them where there is no such plate: all four inks; magenta, which is seen on anything.
const EVERY_INK: [f32; 4] = [1.0, 1.0, 1.0, 1.0];
const MAGENTA: [f32; 4] = [0.0, 1.0, 0.0, 0.0];

/// Adds the inks of the marks of all leaves to what pages may name.
pub fn resources(leaves: &[Leaf], resources: &mut Dictionary) -> Result<(), lopdf::Error> {
    let has = |kinds: &[MarkKind]| leaves.iter().flat_map(|l| &l.marks).any(|m| kinds.contains(&m.kind));
    let (plates, die) = (has(&[MarkKind::Cut, MarkKind::Fold]), has(&[MarkKind::Die]));
    if !plates && !die {
        return Ok(());
    }
    let mut spaces = match resources.get(b"ColorSpace") {
        Ok(given) => given.as_dict()?.clone(),
        Err(_) => Dictionary::new(),
    };
    if plates {
        spaces.set(ALL, finish::separation(ALL, EVERY_INK));
    }
    if die {
        spaces.set(DIE, finish::separation(DIE_LINE, MAGENTA));
        let over = [("OP", Object::Boolean(true)), ("op", Object::Boolean(true)), ("OPM", Object::Integer(1))];
        resources.set("ExtGState", Dictionary::from_iter([(OVER, Object::Dictionary(Dictionary::from_iter(over)))]));
    }
    resources.set("ColorSpace", spaces);
    Ok(())
}

/// What is drawn before the labels: marks beyond the bleed.
pub fn under(leaf: &Leaf, out: &mut Vec<u8>) {
    for mark in &leaf.marks {
        match mark.kind {
            MarkKind::Cut => drawn(mark, ALL, leaf.height, out),
            MarkKind::Fold => {
                // Dashed, as folds are everywhere (common practice, no source): 1 mm of line, 0.6 mm of none.
                out.extend_from_slice(b"[");
                number(Length::um(1000), out);
                number(Length::um(600), out);
                out.extend_from_slice(b"] 0 d\n");
                drawn(mark, ALL, leaf.height, out);
                out.extend_from_slice(b"[] 0 d\n");
            }
            MarkKind::Die => {}
        }
    }
}

/// What is drawn after them: the line of the die, printed over everything and hiding nothing.
pub fn over(leaf: &Leaf, out: &mut Vec<u8>) {
    for mark in leaf.marks.iter().filter(|mark| mark.kind == MarkKind::Die) {
        put(out, format_args!("/{OVER} gs\n"));
        drawn(mark, DIE, leaf.height, out);
    }
}

fn drawn(mark: &Mark, ink: &str, height: Length, out: &mut Vec<u8>) {
    put(out, format_args!("/{ink} CS 1 SCN "));
    number(mark.line, out);
    out.extend_from_slice(b"w\n");
    for ring in &mark.rings {
        outlined(ring, height, out);
    }
}

fn outlined(ring: &Ring, height: Length, out: &mut Vec<u8>) {
    let place = |at: Point, out: &mut Vec<u8>| {
        number(at.x, out);
        number(height - at.y, out);
    };
    place(ring.start, out);
    out.extend_from_slice(b"m ");
    for segment in &ring.to {
        match *segment {
            Segment::Line(end) => {
                place(end, out);
                out.extend_from_slice(b"l ");
            }
            Segment::Curve(first, second, end) => {
                for at in [first, second, end] {
                    place(at, out);
                }
                out.extend_from_slice(b"c ");
            }
        }
    }
    out.extend_from_slice(if ring.closed { b"h S\n" } else { b"S\n" });
}

pub fn put(out: &mut Vec<u8>, words: std::fmt::Arguments<'_>) {
    out.write_fmt(words).expect("a buffer takes what it is given");
}

/// A length in points to the ten-thousandth (35 nm), and a blank.
pub fn number(length: Length, out: &mut Vec<u8>) {
    let point = Length::inch(1, 72).to_raw();
    let parts = (i128::from(length.to_raw()) * 20_000 + i128::from(point)).div_euclid(2 * i128::from(point));
    let (sign, parts) = if parts < 0 { ("-", -parts) } else { ("", parts) };
    let (whole, rest) = (parts / 10_000, parts % 10_000);
    if rest == 0 {
        put(out, format_args!("{sign}{whole} "));
    } else {
        let rest = format!("{rest:04}");
        put(out, format_args!("{sign}{whole}.{} ", rest.trim_end_matches('0')));
    }
}

#[cfg(test)]
mod tests {
    use super::number;
    use crate::unit::Length;

    /// 1 in is 72 pt and 25.4 mm: 1 mm is 2.83465 pt.
    #[test]
    fn lengths_are_written_as_points() {
        for (length, text) in [
            (Length::inch(1, 1), "72 "),
            (Length::mm(1), "2.8346 "),
            (-Length::mm(1), "-2.8346 "),
            (Length::um(18), "0.051 "),
            (Length::ZERO, "0 "),
        ] {
            let mut out = Vec::new();
            number(length, &mut out);
            assert_eq!(String::from_utf8(out).unwrap(), text);
        }
    }
}
