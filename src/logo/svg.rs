//! Plain SVG: filled shapes in groups. What else may stand in such a file is refused by name, with its line. Part of `logo`.
//!
//! Read are `svg`, `g`, `path`, `rect`, `circle`, `ellipse`, `polygon`, `polyline`, the attributes `transform`, `fill`,
//! `fill-rule` and `style` with these two. Strokes, text, pictures, gradients, clips, masks, filters, references, style sheets
//! and see-through paint are not.

use super::outline::{At, Filled, Piece, Ring, Transform, ellipse, extent};
use super::path::{self, Numbers};
use super::{Drawn, wrong};
use crate::find::Finding;
use roxmltree::{Document, Node, ParsingOptions};

/// Most elements, attributes and texts of a file, and most groups within groups.
const MOST_NODES: u32 = 100_000;
const DEEPEST: usize = 60;
const SVG: &str = "http://www.w3.org/2000/svg";
const CURE: &str =
    "in the drawing program turn text and strokes into paths, give everything a plain colour, and save as plain SVG";

/// Reads a file.
pub fn read(file: &str, bytes: &[u8]) -> Result<Drawn, Finding> {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return Err(wrong(file, "is not UTF-8 text", "save it as plain SVG again"));
    };
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    // Nesting is counted before the reader, which follows it by calling itself.
    if depth(text) > DEEPEST * 4 {
        return Err(wrong(file, "has groups within groups without end", CURE));
    }
    let options = ParsingOptions { allow_dtd: false, nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, options)
        .map_err(|e| wrong(file, format!("is damaged or no plain SVG: {e}"), "save it as plain SVG again"))?;
    let root = document.root_element();
    if !root.has_tag_name((SVG, "svg")) {
        return Err(wrong(file, "is no SVG", "save the logo as PNG, or as plain SVG"));
    }
    let mut reader = Reader::default();
    let refused = |(node, what): (Node<'_, '_>, String)| {
        let line = document.text_pos_at(node.range().start).row;
        wrong(file, format!("holds what is not printed: {what} in line {line}"), CURE)
    };
    reader.group(root, Style { fill: Some([0; 3]), even_odd: false }, Transform::NONE, 0).map_err(refused)?;
    if beyond(root, &reader.shapes) {
        let message = "reaches beyond its own page, so that viewers show less of it than would be printed";
        return Err(wrong(file, message, "fit the page to the drawing, or cut the shapes, and save it again"));
    }
    Ok(Drawn { shapes: reader.shapes, rows: None, flattened: false })
}

/// Whether ink lies more than a hundredth of the page outside it.
fn beyond(root: Node<'_, '_>, shapes: &[Filled]) -> bool {
    let mut numbers = Numbers { rest: root.attribute("viewBox").unwrap_or("") };
    let mut next = || numbers.number();
    let (Some(x), Some(y), Some(w), Some(h)) = (next(), next(), next(), next()) else { return false };
    let slack = w.max(h) / 100.0;
    extent(shapes).is_some_and(|[left, top, right, bottom]| {
        left < x - slack || top < y - slack || right > x + w + slack || bottom > y + h + slack
    })
}

/// About how deep elements stand within each other; counted too high rather than too low.
fn depth(text: &str) -> usize {
    let (mut now, mut most, bytes) = (0_usize, 0, text.as_bytes());
    for (n, byte) in bytes.iter().enumerate() {
        match byte {
            b'<' if bytes.get(n + 1) == Some(&b'/') => now = now.saturating_sub(1),
            b'<' if bytes.get(n + 1).is_some_and(u8::is_ascii_alphabetic) => now += 1,
            b'/' if bytes.get(n + 1) == Some(&b'>') => now = now.saturating_sub(1),
            _ => {}
        }
        most = most.max(now);
    }
    most
}

/// How shapes are filled here; `None` is not at all.
#[derive(Clone, Copy)]
struct Style {
    fill: Option<[u8; 3]>,
    even_odd: bool,
}

type Refused<'a, 'i> = (Node<'a, 'i>, String);

#[derive(Default)]
struct Reader {
    shapes: Vec<Filled>,
}

impl Reader {
    fn group<'a, 'i>(
        &mut self,
        node: Node<'a, 'i>,
        style: Style,
        by: Transform,
        deep: usize,
    ) -> Result<(), Refused<'a, 'i>> {
        let Some((style, by)) = dressed(node, style, by)? else { return Ok(()) };
        if deep > DEEPEST {
            return Err((node, "groups within groups without end".to_owned()));
        }
        for child in node.children().filter(Node::is_element) {
            let name = child.tag_name();
            match (name.namespace(), name.name()) {
                // Notes of drawing programs.
                (Some(space), _) if space != SVG => {}
                (_, "title" | "desc" | "metadata") => {}
                // Nothing can be taken from it, since references are refused.
                (_, "defs") => {}
                (_, "style") if child.text().is_none_or(|t| t.trim().is_empty()) => {}
                (_, "g") => self.group(child, style, by, deep + 1)?,
                (_, "path" | "rect" | "circle" | "ellipse" | "polygon" | "polyline") => self.shape(child, style, by)?,
                (_, other) => return Err((child, format!("`{}`", other.chars().take(40).collect::<String>()))),
            }
        }
        Ok(())
    }

    fn shape<'a, 'i>(&mut self, node: Node<'a, 'i>, style: Style, by: Transform) -> Result<(), Refused<'a, 'i>> {
        let Some((style, by)) = dressed(node, style, by)? else { return Ok(()) };
        let Some(colour) = style.fill else { return Ok(()) };
        let rings = outlines(node)?;
        if !rings.is_empty() {
            let rings = rings.iter().map(|r| r.moved(by)).collect();
            self.shapes.push(Filled { colour, even_odd: style.even_odd, rings });
        }
        Ok(())
    }
}

/// The outlines of a shape in its own place.
fn outlines<'a, 'i>(node: Node<'a, 'i>) -> Result<Vec<Ring>, Refused<'a, 'i>> {
    let figure = |name: &str| match node.attribute(name).map(str::trim) {
        None => Ok(0.0),
        Some(text) => {
            let mut numbers = Numbers { rest: text.strip_suffix("px").unwrap_or(text) };
            match numbers.number() {
                Some(number) if numbers.rest.trim().is_empty() => Ok(number),
                _ => Err((node, format!("the figure `{}` of `{name}`", text.chars().take(20).collect::<String>()))),
            }
        }
    };
    let positive = |ring: Ring, sides: [f64; 2]| if sides.iter().all(|s| *s > 0.0) { vec![ring] } else { Vec::new() };
    Ok(match node.tag_name().name() {
        "path" => path::read(node.attribute("d").unwrap_or("")).map_err(|what| (node, what))?,
        "rect" => {
            let (x, y, w, h) = (figure("x")?, figure("y")?, figure("width")?, figure("height")?);
            // One radius given stands for both (SVG 1.1, 9.2).
            let (rx, ry) = match (node.attribute("rx"), node.attribute("ry")) {
                (Some(_), None) => (figure("rx")?, figure("rx")?),
                (None, Some(_)) => (figure("ry")?, figure("ry")?),
                _ => (figure("rx")?, figure("ry")?),
            };
            positive(
                rectangle([x, y], [w, h], [rx.clamp(0.0, w.max(0.0) / 2.0), ry.clamp(0.0, h.max(0.0) / 2.0)]),
                [w, h],
            )
        }
        "circle" => {
            let r = figure("r")?;
            positive(ellipse([figure("cx")?, figure("cy")?], r, r), [r, r])
        }
        "ellipse" => {
            let (rx, ry) = (figure("rx")?, figure("ry")?);
            positive(ellipse([figure("cx")?, figure("cy")?], rx, ry), [rx, ry])
        }
        _ => {
            let (mut numbers, mut points) = (Numbers { rest: node.attribute("points").unwrap_or("") }, Vec::new());
            while let Some(x) = numbers.number() {
                let y = numbers.number().ok_or_else(|| (node, "points that are no pairs".to_owned()))?;
                points.push([x, y]);
            }
            numbers.skip();
            if !numbers.rest.is_empty() {
                return Err((node, "points that are no figures".to_owned()));
            }
            Ring::polygon(&points).filter(|_| points.len() > 2).into_iter().collect()
        }
    })
}

fn rectangle([x, y]: At, [w, h]: [f64; 2], [rx, ry]: [f64; 2]) -> Ring {
    let line = |x: f64, y: f64| Piece::Line([x, y]);
    if rx <= 0.0 || ry <= 0.0 {
        return Ring { start: [x, y], to: vec![line(x + w, y), line(x + w, y + h), line(x, y + h)] };
    }
    let mut to = Vec::new();
    let corner = |from: At, end: At, to: &mut Vec<Piece>| {
        to.push(Piece::Line(from));
        super::outline::arc(from, [rx, ry], 0.0, [false, true], end, to);
    };
    corner([x + w - rx, y], [x + w, y + ry], &mut to);
    corner([x + w, y + h - ry], [x + w - rx, y + h], &mut to);
    corner([x + rx, y + h], [x, y + h - ry], &mut to);
    corner([x, y + ry], [x + rx, y], &mut to);
    Ring { start: [x + rx, y], to }
}

/// Style and place of an element; `None` where it is not shown.
fn dressed<'a, 'i>(
    node: Node<'a, 'i>,
    style: Style,
    by: Transform,
) -> Result<Option<(Style, Transform)>, Refused<'a, 'i>> {
    let mut style = style;
    let own = node.attribute("style").unwrap_or("");
    let declared = own.split(';').filter_map(|d| d.split_once(':')).map(|(k, v)| (k.trim(), v.trim()));
    let attributes = node.attributes().filter(|a| a.namespace().is_none()).map(|a| (a.name(), a.value().trim()));
    let (mut stroke, mut thick) = (false, true);
    // What stands in `style` goes before the attributes.
    for (key, value) in attributes.chain(declared) {
        let refused = || (node, format!("`{key}: {}`", value.chars().take(30).collect::<String>()));
        match key {
            "fill" => style.fill = if value == "none" { None } else { Some(colour(value).ok_or_else(refused)?) },
            "fill-rule" => style.even_odd = value == "evenodd",
            "opacity" | "fill-opacity" if value.parse() != Ok(1.0) && value != "100%" => return Err(refused()),
            "display" if value == "none" => return Ok(None),
            "visibility" if value != "visible" => return Err(refused()),
            "stroke" => stroke = value != "none",
            "stroke-width" => thick = Numbers { rest: value }.number() != Some(0.0),
            "clip-path" | "mask" | "filter" if value != "none" => return Err(refused()),
            "mix-blend-mode" if value != "normal" => return Err(refused()),
            "href" => return Err(refused()),
            _ => {}
        }
    }
    if stroke && thick {
        return Err((node, "a stroke".to_owned()));
    }
    let by = match node.attribute("transform") {
        Some(text) => by.after(
            transform(text)
                .ok_or_else(|| (node, format!("the transform `{}`", text.chars().take(30).collect::<String>())))?,
        ),
        None => by,
    };
    Ok(Some((style, by)))
}

/// A list of transforms (SVG 1.1, 7.6): the first is done last.
#[expect(clippy::many_single_char_names, reason = "the letters of the standard's formulas")]
fn transform(text: &str) -> Option<Transform> {
    let mut all = Transform::NONE;
    let mut rest = text.trim();
    while !rest.is_empty() {
        let (name, after) = rest.split_once('(')?;
        let (figures, after) = after.split_once(')')?;
        let (mut numbers, mut n) = (Numbers { rest: figures }, Vec::new());
        while let Some(number) = numbers.number() {
            n.push(number);
        }
        numbers.skip();
        if !numbers.rest.is_empty() {
            return None;
        }
        let turn = |degrees: f64| {
            let (sin, cos) = degrees.to_radians().sin_cos();
            Transform([cos, sin, -sin, cos, 0.0, 0.0])
        };
        let shift = |x: f64, y: f64| Transform([1.0, 0.0, 0.0, 1.0, x, y]);
        let one = match (name.trim(), n.as_slice()) {
            ("matrix", [a, b, c, d, e, f]) => Transform([*a, *b, *c, *d, *e, *f]),
            ("translate", [x]) => shift(*x, 0.0),
            ("translate", [x, y]) => shift(*x, *y),
            ("scale", [s]) => Transform([*s, 0.0, 0.0, *s, 0.0, 0.0]),
            ("scale", [x, y]) => Transform([*x, 0.0, 0.0, *y, 0.0, 0.0]),
            ("rotate", [a]) => turn(*a),
            ("rotate", [a, x, y]) => shift(*x, *y).after(turn(*a)).after(shift(-*x, -*y)),
            ("skewX", [a]) => Transform([1.0, 0.0, a.to_radians().tan(), 1.0, 0.0, 0.0]),
            ("skewY", [a]) => Transform([1.0, a.to_radians().tan(), 0.0, 1.0, 0.0, 0.0]),
            _ => return None,
        };
        all = all.after(one);
        rest = after.trim_start_matches(|c: char| c.is_ascii_whitespace() || c == ',');
    }
    Some(all)
}

/// A plain colour: `#1a2b3c`, `#123`, `rgb(1, 2, 3)`, or one of the sixteen names of HTML 4 (6.5).
fn colour(text: &str) -> Option<[u8; 3]> {
    let text = text.to_ascii_lowercase();
    if let Some(digits) = text.strip_prefix('#') {
        let digit = |n: usize| u8::try_from(digits.chars().nth(n)?.to_digit(16)?).ok();
        return match digits.len() {
            3 => Some([digit(0)? * 17, digit(1)? * 17, digit(2)? * 17]),
            6 => Some([digit(0)? * 16 + digit(1)?, digit(2)? * 16 + digit(3)?, digit(4)? * 16 + digit(5)?]),
            _ => None,
        };
    }
    if let Some(inside) = text.strip_prefix("rgb(").and_then(|t| t.strip_suffix(')')) {
        let parts: Vec<u8> = inside.split(',').map(|p| p.trim().parse().ok()).collect::<Option<_>>()?;
        return parts.try_into().ok();
    }
    let named = [
        ("black", [0, 0, 0]),
        ("silver", [192, 192, 192]),
        ("gray", [128, 128, 128]),
        ("grey", [128, 128, 128]),
        ("white", [255, 255, 255]),
        ("maroon", [128, 0, 0]),
        ("red", [255, 0, 0]),
        ("purple", [128, 0, 128]),
        ("fuchsia", [255, 0, 255]),
        ("green", [0, 128, 0]),
        ("lime", [0, 255, 0]),
        ("olive", [128, 128, 0]),
        ("yellow", [255, 255, 0]),
        ("navy", [0, 0, 128]),
        ("blue", [0, 0, 255]),
        ("teal", [0, 128, 128]),
        ("aqua", [0, 255, 255]),
        ("currentcolor", [0, 0, 0]),
    ];
    named.into_iter().find(|(name, _)| *name == text).map(|(_, colour)| colour)
}
