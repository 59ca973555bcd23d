//! The sentences of what layout finds. Part of `page`.

use super::lines::Short;
use crate::find::{Finding, Level, OnPage};
use crate::font::Missing;
use crate::plan::{Item, Part, Shape};
use crate::trade::{BlockName, Severity};
use crate::unit::Length;
use std::collections::BTreeSet;

/// A character that no face has.
pub(super) fn missing_character(item: &Item, text: &str, missing: Missing) -> Finding {
    character("label/character", item.severity, text, missing)
}

/// The same on a form.
pub(super) fn form_character(text: &str, missing: Missing) -> Finding {
    character("form/character", Severity::Input, text, missing)
}

fn character(id: &str, severity: Severity, text: &str, Missing(ch): Missing) -> Finding {
    let shown =
        if ch.is_control() { format!("U+{:04X}", u32::from(ch)) } else { format!("{ch} (U+{:04X})", u32::from(ch)) };
    Finding::of(
        id,
        Level::Error,
        severity,
        None,
        format!("the character `{shown}` of `{}` is in none of the faces that are printed with", shorten(text)),
        "write it with letters of the Latin, Greek or Cyrillic alphabet and usual punctuation",
    )
}

/// A payload no code can hold.
pub(super) fn code_too_long(item: &Item, bytes: usize) -> Finding {
    Finding::of(
        "label/code-too-long",
        Level::Error,
        item.severity,
        None,
        format!("`{bytes}` bytes are more than a QR code holds at error correction level M"),
        "shorten what the code says, for example to an address of a page that tells the rest",
    )
}

/// What does not fit into a part, and what would.
pub(super) fn does_not_fit(part: &Part, page: usize, short: &Short, enough: Option<Shape>) -> Finding {
    let items =
        || part.rows.iter().flat_map(|r| &r.cells).flat_map(|c| c.block.items.iter().map(|i| (c.block.name, i)));
    let severity = items().map(|(_, i)| i.severity).filter(|s| *s != Severity::Input).min().unwrap_or(Severity::Policy);
    let missing = match (short, part.shape, enough) {
        (Short::Lowest(..), _, _) => self::short(short),
        (_, Shape::Circle { diameter }, Some(Shape::Circle { diameter: more })) => {
            format!("its diameter is `{}` too small", up(more - diameter))
        }
        (_, Shape::Circle { .. }, _) => "no diameter up to four times as large is enough".to_owned(),
        _ => self::short(short),
    };
    let mut optional: Vec<&str> = items()
        .filter(|(_, i)| i.severity == Severity::Advice)
        .map(|(_, i)| i.id.split_once('#').map_or(i.id.as_str(), |(rule, _)| rule))
        .collect();
    // A rule of two languages is named once.
    let mut named = BTreeSet::new();
    optional.retain(|id| named.insert(*id));
    let mut cures = Vec::new();
    match enough {
        Some(shape) => cures.push(format!("make the part at least {}", describe(shape))),
        None => cures.push("move statements to another part".to_owned()),
    }
    if !optional.is_empty() {
        cures.push(format!(
            "leave out what is optional here, with `accept: [{{rule: {}, because: …}}]` in the product file: `{}`",
            optional[0],
            optional.join("`, `")
        ));
    }
    if items().any(|(name, _)| name == BlockName::Code) {
        cures.push("leave out the code with `code: none`".to_owned());
    }
    let message =
        format!("part `{}` ({}) cannot hold its text at legal size: {missing}", part.name, describe(part.shape));
    let mut finding = Finding::of("label/does-not-fit", Level::Error, severity, None, message, cures.join(", or "));
    if let Some(shape) = enough {
        finding = finding.instead(format!("at least {}", describe(shape)), describe(part.shape));
    }
    finding.on(OnPage { page, part: Some(part.name.clone()), x_mm: None, y_mm: None })
}

/// A payload no code on a form can hold.
pub(super) fn form_code_too_long(bytes: usize) -> Finding {
    Finding::input(
        "form/code-too-long",
        format!("`{bytes}` bytes are more than a QR code holds at error correction level M"),
        "shorten what the code says",
    )
}

/// A form that needs more than one page.
pub(super) fn form_does_not_fit(part: &str, why: &str) -> Finding {
    Finding::input(
        "form/does-not-fit",
        format!("the {part} does not fit on one page: {why}"),
        "shorten its texts, or make fewer pitchers or candles at a time",
    )
}

/// What is missing, in a few words.
pub(super) fn short(short: &Short) -> String {
    match short {
        Short::Height(by) => format!("`{}` of height are missing", up(*by)),
        Short::Width(by, what) => format!("`{}` is `{}` too wide", shorten(what), up(*by)),
        Short::Lowest(percent, id) => {
            format!("`{id}` cannot stand in the lowest {percent} % together with what is below it")
        }
    }
}

/// The part has no inside, or is larger than anything printed.
pub(super) fn no_room(part: &Part, page: usize) -> Finding {
    Finding::input(
        "label/no-room",
        format!("part `{}` ({}) has no room inside its margin of `{}`", part.name, describe(part.shape), part.margin),
        "give the part a size between 5 mm and 3 m and a margin smaller than half of it",
    )
    .on(OnPage { page, part: Some(part.name.clone()), x_mm: None, y_mm: None })
}

/// A fault of the layout itself, caught before anything is printed.
pub(super) fn fault(part: &Part, page: usize, what: &str) -> Finding {
    Finding::of(
        "label/layout-fault",
        Level::Error,
        Severity::Policy,
        None,
        format!("part `{}` was laid out wrongly: {what}", part.name),
        "change the size of the part a little, and report this as a fault of the program",
    )
    .on(OnPage { page, part: Some(part.name.clone()), x_mm: None, y_mm: None })
}

/// A shape in words: `64 x 76 mm`, `circle of 62 mm`.
pub(super) fn describe(shape: Shape) -> String {
    match shape {
        Shape::Rectangle { width, height } | Shape::Rounded { width, height, .. } => {
            format!("{} x {}", width.in_mm(1).trim_end_matches(" mm"), height.in_mm(1))
        }
        Shape::Circle { diameter } => format!("a circle of {}", diameter.in_mm(1)),
    }
}

/// To the next tenth of a millimetre, so that the figure is enough.
fn up(length: Length) -> String {
    let tenth = Length::um(100).to_raw();
    Length::raw((length.to_raw().clamp(1, i64::MAX / 2) + tenth - 1) / tenth * tenth).in_mm(1)
}

fn shorten(text: &str) -> String {
    if text.chars().count() <= 40 {
        return text.to_owned();
    }
    text.chars().take(37).chain("...".chars()).collect()
}
