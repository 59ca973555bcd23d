//! The sentences of what `inspect` finds.

use super::alert;
use super::code::Code;
use super::frame::Frame;
use super::heights::Measured;
use super::matching::{Found, Near};
use super::seen::{Area, Hidden, SeenPage};
use super::sign::{Fault, Kind, Seen, Shared};
use crate::find::{Aspect, Finding, Level, OnPage, Severity};
use crate::plan::{ClearSpace, Content, Item, Part};
use crate::trade::Measure;

/// A statement being checked, and where.
pub struct Place<'a> {
    /// The statement.
    pub item: &'a Item,
    /// The page it is looked for on.
    pub page: &'a SeenPage,
    /// The part that page prints.
    pub part: &'a Part,
}

/// Statements of law and standards stop the work; others are shown.
fn level(item: &Item) -> Level {
    match item.severity {
        Severity::Input | Severity::Required | Severity::Standard => Level::Error,
        Severity::Advice | Severity::Policy => Level::Warning,
    }
}

/// The first words of a statement, to tell it by.
pub fn called(item: &Item) -> String {
    let text = match &item.content {
        Content::Text { text, .. } | Content::AlertText { text, .. } => text,
        Content::Qr { .. } => return "the QR code".to_owned(),
        Content::Logo { .. } => return "the logo".to_owned(),
        Content::Pictograms { signs, .. } => {
            let names: Vec<&str> = signs.iter().map(|s| s.word()).collect();
            return format!("the row of signs `{}`", names.join("`, `"));
        }
    };
    match text.char_indices().nth(40) {
        Some((end, _)) => format!("`{}...`", text[..end].trim_end()),
        None => format!("`{text}`"),
    }
}

impl Place<'_> {
    fn finding(&self, at: Option<(f64, f64)>, message: String, cure: impl Into<String>) -> Finding {
        of(self.item, self.page.number, self.part, at, message, cure)
    }
    fn at_glyph(&self, n: usize, message: String, cure: impl Into<String>) -> Finding {
        let at = self.page.glyphs.get(n).map(|g| g.ink.map_or((g.x, g.baseline), |a| (a.left, a.top)));
        self.finding(at, message, cure)
    }
}

fn of(
    item: &Item,
    page: usize,
    part: &Part,
    at: Option<(f64, f64)>,
    message: String,
    cure: impl Into<String>,
) -> Finding {
    let round = |v: f64| (v * 100.0).round() / 100.0;
    Finding::of(&item.id, level(item), item.severity, None, message, cure).on(OnPage {
        page,
        part: Some(part.name.clone()),
        x_mm: at.map(|p| round(p.0)),
        y_mm: at.map(|p| round(p.1)),
    })
}

/// Millimetres, cut off so that a short measure never looks sufficient.
fn cut(mm: f64) -> String {
    format!("{:.3} mm", (mm * 1000.0).floor() / 1000.0)
}

/// Millimetres asked for, rounded up.
fn asked(mm: f64) -> String {
    format!("{:.3} mm", (mm * 1000.0 - 1e-6).ceil() / 1000.0)
}

/// The statement is not there, or not whole.
pub fn missing(item: &Item, page: usize, part: &Part, near: Option<&Near>, at: Option<(f64, f64)>) -> Finding {
    let name = &part.name;
    let told = called(item);
    let cure =
        "make the label anew; if it stays so, give the part more room or a smaller type where the rules allow it";
    match near {
        None => of(item, page, part, at, format!("{told} is not on part `{name}`"), cure),
        Some(near) => {
            let list = |words: &[String]| if words.is_empty() { "nothing".to_owned() } else { words.join(" ") };
            of(item, page, part, at, format!("{told} is not whole on part `{name}`"), cure)
                .instead(list(&near.wanted), list(&near.instead))
        }
    }
}

/// The logo is not drawn as large as planned.
pub fn no_logo(place: &Place<'_>) -> Finding {
    let message = format!("the logo is not on part `{}`, or not whole", place.part.name);
    place.finding(None, message, "make the label anew; if it stays so, save the logo as a plainer drawing")
}

/// In the file, but not seen on paper.
pub fn hidden(place: &Place<'_>, glyph: usize) -> Finding {
    let why = match place.page.glyphs[glyph].hidden {
        Some(Hidden::Unpainted) | None => "is not painted",
        Some(Hidden::Clipped) => "is cut off by a clip",
        Some(Hidden::Pale) => "is too pale against what it stands on",
        Some(Hidden::Covered) => "is painted over",
        Some(Hidden::OffSheet) => "lies beyond the edge of the sheet",
    };
    let message = format!("{} is in the file but cannot be seen: it {why}", called(place.item));
    let cure = if place.page.glyphs[glyph].hidden == Some(Hidden::OffSheet) {
        "move it onto the sheet; where labels go on a sheet of stickers, use one with wider margins"
    } else {
        "print it in a dark colour, in front of everything else"
    };
    place.at_glyph(glyph, message, cure)
}

/// Lower than the rule asks.
pub fn too_small(place: &Place<'_>, lowest: &Measured) -> Finding {
    let least = place.item.least.to_mm_f64();
    let by = match place.item.measure {
        Measure::Capital => "capital letters",
        Measure::LowerO => "the lower-case `o`",
        Measure::LowerX => "the lower-case `x`",
        Measure::Figure | Measure::FigureOverText => "figures",
        Measure::NetQuantity => "the letters of a net quantity",
    };
    let message = format!("{} is printed too small, measured on {}", called(place.item), lowest.letter);
    place
        .at_glyph(lowest.glyph, message, format!("make it larger: at least {} for {by}", asked(least)))
        .instead(asked(least), cut(lowest.height))
}

/// None of its letters has an outline that could be measured.
pub fn unmeasured(place: &Place<'_>, found: &Found) -> Finding {
    let message = format!("the height of {} cannot be measured", called(place.item));
    place.at_glyph(found.glyphs().next().unwrap_or(0), message, "set it in an embedded outline font")
}

/// 16 CFR 500.21(h).
pub fn under_a_sixteenth(place: &Place<'_>, letter: &Measured) -> Finding {
    let message = format!("{} in {} is under 1/16 in", letter.letter, called(place.item));
    place
        .at_glyph(letter.glyph, message, "make the net quantity larger")
        .instead("1.5875 mm (1/16 in)", cut(letter.height))
}

/// C.R.C. c. 417, s. 14(4).
pub fn under_1_6_mm(place: &Place<'_>, letter: &Measured) -> Finding {
    let message =
        format!("letters beside the figures of {} are under 1.6 mm, measured on {}", called(place.item), letter.letter);
    place.at_glyph(letter.glyph, message, "make the net quantity larger").instead("1.600 mm", cut(letter.height))
}

/// 16 CFR 500.21(e).
pub fn too_narrow(place: &Place<'_>, glyph: usize) -> Finding {
    let letter = &place.page.glyphs[glyph].text;
    let message = format!("the letter `{letter}` of {} is more than 3 times as high as wide", called(place.item));
    place.at_glyph(glyph, message, "set it in a wider face")
}

/// Regular where bold is asked.
pub fn not_bold(place: &Place<'_>, glyph: usize) -> Finding {
    let face = &place.page.faces[place.page.glyphs[glyph].face];
    let font = face.name.clone().unwrap_or_else(|| "a font without a name".to_owned());
    let message = format!("{} is not printed in bold", called(place.item));
    place.at_glyph(glyph, message, "set it in the bold face").instead("bold", font)
}

/// Narrower than its font has it.
pub fn squeezed(place: &Place<'_>, glyph: usize) -> Finding {
    let stretch = place.page.glyphs[glyph].stretch;
    let message = format!("the letters of {} are squeezed", called(place.item));
    place
        .at_glyph(glyph, message, "set it in a narrower face instead, or give it more room")
        .instead("100 % of the font's width", format!("{:.1} %", (stretch * 1000.0).floor() / 10.0))
        .about(Aspect::Squeezed)
}

/// In colour, or on it.
pub fn not_black(place: &Place<'_>, glyph: usize) -> Finding {
    let message = format!("{} is not printed in black on white", called(place.item));
    place.at_glyph(glyph, message, "take its `ink` out of the template, or print it on a white field")
}

/// Hard to tell from its ground.
pub fn faint(place: &Place<'_>, glyph: usize, ratio: f64) -> Finding {
    let message = format!("{} can hardly be told from its ground", called(place.item));
    place
        .at_glyph(glyph, message, "choose a darker ink or a lighter ground")
        .instead("a contrast of 4.5 : 1", format!("{:.2} : 1", (ratio * 100.0).floor() / 100.0))
}

/// Over the cut.
pub fn outside(place: &Place<'_>, glyph: usize, by: f64) -> Finding {
    let message = format!("{} runs {by:.2} mm over the edge of part `{}`", called(place.item), place.part.name);
    place.at_glyph(glyph, message, "move it inwards or give the part more room").about(Aspect::Edge)
}

/// Nearly over the cut.
pub fn near_edge(place: &Place<'_>, glyph: usize, depth: f64) -> Finding {
    let message = format!("{} stands only {depth:.2} mm from the edge", called(place.item));
    let cure = "keep a wider margin; a knife wanders by about half a millimetre";
    let mut finding = place.at_glyph(glyph, message, cure).about(Aspect::Edge);
    finding.level = Level::Warning;
    finding
}

/// Above the lowest part of the panel.
pub fn too_high(place: &Place<'_>, ink: &Area, percent: u8, line: f64) -> Finding {
    let message = format!("{} is not in the lowest {percent} % of part `{}`", called(place.item), place.part.name);
    place
        .finding(Some((ink.left, ink.top)), message, "push its row to the foot of the part")
        .instead(format!("below {line:.2} mm from the top"), format!("{:.2} mm from the top", ink.top))
}

/// A line break where a no-break space stands.
pub fn torn(place: &Place<'_>, found: &Found, word: &str) -> Finding {
    let message = format!("{} is broken before `{word}`, where it must hold together", called(place.item));
    let mut finding =
        place.at_glyph(found.glyphs().next().unwrap_or(0), message, "give the line more room, or break it elsewhere");
    finding.level = Level::Warning;
    finding
}

/// Over or under something else.
pub fn overlapping(place: &Place<'_>, glyph: usize, with: &str) -> Finding {
    let message =
        format!("the letter `{}` of {} lies over or under {with}", place.page.glyphs[glyph].text, called(place.item));
    place.at_glyph(glyph, message, "move them apart").about(Aspect::Overlap)
}

/// Something stands in the free space.
pub fn crowded(place: &Place<'_>, area: &Area, what: &str, clear: ClearSpace) -> Finding {
    let message = format!("{what} stands in the space that must stay free round {}", called(place.item));
    let cure = format!(
        "leave {} times the height of its letters free above and below, and {} times the width of its `N` left and right",
        clear.heights, clear.widths_of_n
    );
    place.finding(Some((area.left, area.top)), message, cure)
}

/// No triangle before the signal word, or one that is too low or too far off.
pub fn no_symbol(place: &Place<'_>, found: &Found, fault: Option<alert::Fault>) -> Finding {
    let of = called(place.item);
    let glyph = found.glyphs().next().unwrap_or(0);
    match fault {
        None => place.at_glyph(
            glyph,
            format!("the safety alert symbol does not stand immediately before {of}"),
            "draw the triangle with its exclamation mark on the same line, at least as high as the capitals",
        ),
        Some(alert::Fault::Low(symbol, capitals)) => place
            .at_glyph(
                glyph,
                format!("the safety alert symbol before {of} is lower than its capitals"),
                "make it at least as high as the capitals; a letter of a font is set in a larger size for that",
            )
            .instead(asked(capitals), cut(symbol)),
        Some(alert::Fault::Far(gap, most)) => place
            .at_glyph(
                glyph,
                format!("the safety alert symbol stands too far before {of}"),
                "move it up to the word, on the same line",
            )
            .instead(format!("at most {}", cut(most)), cut(gap)),
    }
}

/// No such QR code.
pub fn no_code(place: &Place<'_>, payload: &str, other: Option<&Code>) -> Finding {
    let cure = "make the label anew; if it stays so, make the modules larger";
    match other {
        Some(code) => place
            .finding(Some((code.area.left, code.area.top)), "the QR code holds something else".to_owned(), cure)
            .instead(payload, &code.payload),
        None if place.page.no_raster => place.finding(
            None,
            format!("the QR code on part `{}` cannot be read safely", place.part.name),
            "print the label without patterns, masks and drawn fonts",
        ),
        None => place
            .finding(None, format!("no QR code can be read on part `{}`", place.part.name), cure)
            .instead(payload, "no readable code"),
    }
}

/// Modules smaller than asked.
pub fn small_module(place: &Place<'_>, code: &Code, module: f64) -> Finding {
    place
        .finding(
            Some((code.area.left, code.area.top)),
            "the modules of the QR code are too small".to_owned(),
            "make the code larger or its content shorter",
        )
        .instead(asked(module), cut(code.module))
}

/// Ink in the quiet zone.
pub fn not_quiet(place: &Place<'_>, code: &Code, area: &Area, what: &str) -> Finding {
    place.finding(
        Some((area.left, area.top)),
        format!("{what} stands in the quiet zone of the QR code"),
        format!("leave 4 modules ({}) free on all sides", asked(4.0 * code.module)),
    )
}

/// The code reaches over the cut.
pub fn code_outside(place: &Place<'_>, code: &Code, by: f64) -> Finding {
    place.finding(
        Some((code.area.left, code.area.top)),
        format!("the QR code runs {by:.2} mm over the edge of part `{}`", place.part.name),
        "move it inwards or give the part more room",
    )
}

/// Fewer pictograms than asked for.
pub fn signs_missing(place: &Place<'_>, shared: &Shared) -> Finding {
    let told = match shared.kind {
        Kind::Hazard => "hazard pictograms",
        Kind::Use => "signs for use",
        Kind::Alert => "safety alert symbols",
    };
    let looks = shared.kind.looks();
    place
        .finding(
            None,
            format!("not all of {} are on part `{}`: {told} are missing", called(place.item), place.part.name),
            format!("make the label anew; each is to be drawn as {looks}"),
        )
        .instead(format!("{} {told}", shared.asked), shared.found.len().to_string())
        .about(Aspect::FewSigns)
}

/// Smaller than the rule asks.
pub fn small_sign(place: &Place<'_>, seen: &Seen, least: f64) -> Finding {
    place
        .finding(
            Some((seen.area.left, seen.area.top)),
            format!("a pictogram of {} is printed too small, measured along its side", called(place.item)),
            format!("make it larger: at least {} along its side", asked(least)),
        )
        .instead(asked(least), cut(seen.side))
}

/// The signs an item asks for, by their words.
fn asked_for(item: &Item) -> String {
    let Content::Pictograms { signs, .. } = &item.content else { return String::new() };
    signs.iter().map(|s| s.word()).collect::<Vec<_>>().join(", ")
}

/// Drawn or placed wrongly.
pub fn sign_fault(place: &Place<'_>, seen: &Seen, fault: &Fault) -> Finding {
    let of = called(place.item);
    let at = Some((seen.area.left, seen.area.top));
    match fault {
        Fault::Colour(rgb) => {
            let percent: Vec<String> = rgb.iter().map(|c| format!("{:.0}", c * 100.0)).collect();
            let (colour, cure) = if seen.frame == Frame::Diamond {
                ("red", "draw the frame in a clear red")
            } else {
                ("black", "draw the frame in black")
            };
            place
                .finding(at, format!("the frame of a pictogram of {of} is not {colour}"), cure)
                .instead(colour, format!("red, green, blue {} %", percent.join(", ")))
        }
        Fault::Turned(by) => place
            .finding(
                at,
                format!("a hazard pictogram of {of} does not stand on its point"),
                "turn its square so that one corner points down",
            )
            .instead("on its point, within 2 degrees", format!("{:.1} degrees off", by.abs())),
        Fault::NoSymbol => place.finding(
            at,
            format!("a pictogram of {of} does not hold a black symbol on white"),
            "draw the symbol in black, the ground white, and nothing else inside the frame",
        ),
        Fault::Letter(letter) => place.finding(
            at,
            format!("the letter `{letter}` stands on a pictogram of {of}"),
            "move the words away from the pictogram",
        ),
        Fault::Outside(by) => place.finding(
            at,
            format!("a pictogram of {of} runs {by:.2} mm over the edge of part `{}`", place.part.name),
            "move it inwards or give the part more room",
        ),
        Fault::Twice => place.finding(
            at,
            format!("two pictograms of {of} show the same symbol"),
            "draw each of them once, with its own symbol",
        ),
        Fault::Other(ghs) => place
            .finding(
                at,
                format!("a pictogram shows the symbol {}, and {of} asks for another", ghs.word()),
                "put the pictogram of the hazard that the rules give; an odd drawing may be taken for another: use the official one",
            )
            .instead(asked_for(place.item), ghs.word()),
    }
}
