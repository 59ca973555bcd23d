//! Sets a label: its statements as lines in one dress or another, its pictures and its code as shapes.

use super::{Dress, Label, Picture, Qr, Statement, symbols};
use waxbill::trade::{Measure, Sign};

/// A line of text on a page, in mm from the top left.
#[derive(Debug, Clone)]
pub struct Line {
    pub text: String,
    pub x: f64,
    pub baseline: f64,
    pub em: f64,
    pub bold: bool,
    pub rgb: [f64; 3],
    pub stretch: f64,
    pub unpainted: bool,
    /// Degrees anticlockwise.
    pub turn: f64,
    /// Between letters, and between words beyond the space, in mm.
    pub spaced: [f64; 2],
}

/// A painted shape: rings filled by the even-odd rule, or a line along them.
#[derive(Debug, Clone)]
pub struct Shape {
    pub rings: Vec<Vec<[f64; 2]>>,
    pub rgb: [f64; 3],
    /// Its width in mm; 0 where the rings are filled.
    pub line: f64,
}

impl Shape {
    fn filled(rings: Vec<Vec<[f64; 2]>>, rgb: [f64; 3]) -> Self {
        Self { rings, rgb, line: 0.0 }
    }
}

/// A page.
#[derive(Debug, Clone, Default)]
pub struct Sheet {
    pub width: f64,
    pub height: f64,
    pub lines: Vec<Line>,
    pub shapes: Vec<Shape>,
    /// Painted after the lines.
    pub over: Vec<Shape>,
}

/// A generous width of a text in Helvetica.
fn width(text: &str, em: f64, bold: bool) -> f64 {
    let of = |c: char| match c {
        'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '!' | '|' | ' ' | '/' | 't' | 'f' | 'I' | '(' | ')' => 0.34,
        'm' | 'w' | 'M' | 'W' | '@' | '%' => 0.96,
        c if c.is_uppercase() => 0.76,
        _ => 0.59,
    };
    text.chars().map(of).sum::<f64>() * em * if bold { 1.06 } else { 1.0 }
}

/// Words broken to lines of at most `most` mm.
fn broken(text: &str, em: f64, bold: bool, most: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    // A no-break space holds together what it joins, unless nothing would fit.
    let together = text.split(' ').all(|w| width(&w.replace('\u{a0}', " "), em, bold) < most);
    let spaced = if together { text.to_owned() } else { text.replace('\u{a0}', " ") };
    for word in spaced.split(' ') {
        let line = lines.last_mut().unwrap();
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width(&longer, em, bold) > most && !line.is_empty() {
            lines.push(word.to_owned());
        } else {
            *line = longer;
        }
    }
    lines.into_iter().map(|l| l.replace('\u{a0}', " ")).collect()
}

const MARGIN: f64 = 5.0;

/// Sets the label: the front, then the back.
pub fn set(label: &Label) -> Vec<Sheet> {
    let mut front = Sheet { width: label.front[0], height: label.front[1], ..Sheet::default() };
    let mut back = Sheet { width: label.back_width, ..Sheet::default() };
    let mut y = MARGIN;
    let (on_front, on_back): (Vec<&Statement>, Vec<&Statement>) = label.statements.iter().partition(|s| s.front);
    for s in on_front.iter().filter(|s| !s.foot) {
        y = put(&mut front, s, y, Dress::Plain);
    }
    let mut foot = front.height - MARGIN;
    for s in on_front.iter().filter(|s| s.foot).rev() {
        let lines = broken(&s.text, s.em, s.bold, front.width - 2.0 * MARGIN).len() as f64;
        foot -= lines * s.em * 1.25;
        let dress = if s.turned { Dress::Turned } else { Dress::Plain };
        put(&mut front, s, foot - s.em * 0.5, dress);
    }
    let mut y = MARGIN;
    let mut x = MARGIN;
    let mut tallest: f64 = 0.0;
    for (n, picture) in label.pictures.iter().enumerate() {
        let wide = if picture.sign.ghs().is_some() { picture.side * 1.4143 } else { picture.side * 1.16 };
        if x + wide > back.width - MARGIN {
            (x, y) = (MARGIN, y + tallest + 2.0);
            tallest = 0.0;
        }
        draw(&mut back, picture, n, [x + wide / 2.0, y + wide / 2.0]);
        x += wide + 2.0;
        tallest = tallest.max(wide);
    }
    if tallest > 0.0 {
        y += tallest + 3.0;
    }
    let aside = |s: &Statement| {
        matches!(label.dress, Dress::Turned | Dress::Curved)
            && matches!(
                s.key.as_str(),
                "maker name" | "maker address" | "postal address" | "lot" | "batch" | "importer"
            )
    };
    let mut dressed: Vec<Statement> = on_back.iter().map(|s| clothed(s, label.dress)).collect();
    let strip: Vec<Statement> = dressed.extract_if(.., |s| aside(s)).collect();
    for s in &dressed {
        y = put(&mut back, s, y, label.dress);
    }
    if label.dress == Dress::Curved {
        for s in &strip {
            y = curved(&mut back, s, y);
        }
    }
    if let Some(qr) = &label.qr {
        y = code(&mut back, qr, y + 4.0);
    }
    back.height = y + MARGIN;
    if label.dress == Dress::Turned {
        along_the_edge(&mut back, &strip);
    }
    vec![front, back]
}

/// A statement as the dress writes it.
fn clothed(s: &Statement, dress: Dress) -> Statement {
    let mut s = s.clone();
    let small = matches!(s.measure, Measure::LowerO | Measure::LowerX);
    match dress {
        Dress::Capitals if !small && !s.text.contains('@') => s.text = capitals(&s.text),
        Dress::Typographic => {
            s.text = s.text.replace('\'', "’");
            if !s.alert && !s.text.contains("__") {
                s.text = format!("• {}", s.text);
            }
        }
        _ => {}
    }
    s
}

/// All in capitals but the symbols of the gram, which have none (16 CFR 500.23).
fn capitals(text: &str) -> String {
    let word = |w: &str| {
        if ["g", "kg"].contains(&w.trim_matches(['(', ')', '.', ','])) { w.to_owned() } else { w.to_uppercase() }
    };
    text.split(' ').map(word).collect::<Vec<_>>().join(" ")
}

/// Lines on a sheet of their own, which stands along the right edge, a quarter turned to the left.
fn along_the_edge(back: &mut Sheet, strip: &[Statement]) {
    let mut side = Sheet { width: back.height, ..Sheet::default() };
    let mut y = MARGIN;
    for s in strip {
        y = put(&mut side, s, y, Dress::Plain);
    }
    let (left, foot) = (back.width, back.height);
    for mut line in side.lines {
        (line.x, line.baseline, line.turn) = (left + line.baseline, foot - line.x, 90.0);
        back.lines.push(line);
    }
    let turn = |shape: &mut Shape| shape.rings.iter_mut().flatten().for_each(|p| *p = [left + p[1], foot - p[0]]);
    side.shapes.iter_mut().chain(&mut side.over).for_each(turn);
    back.shapes.append(&mut side.shapes);
    back.over.append(&mut side.over);
    back.width += y + MARGIN;
}

/// A statement round a circle, letter by letter; answers where the next may begin.
fn curved(sheet: &mut Sheet, s: &Statement, y: f64) -> f64 {
    let text = s.text.replace('\u{a0}', " ");
    let long = width(&text, s.em, s.bold);
    let radius = (long * 1.1 / std::f64::consts::TAU).max(12.0);
    let [x, middle] = [MARGIN + radius + 2.0 * s.em + s.shift[0], y + radius + 2.0 * s.em + s.shift[1]];
    // From the left over the top.
    let mut angle = std::f64::consts::PI;
    for c in text.chars() {
        let mut one = [0; 4];
        let letter: &str = c.encode_utf8(&mut one);
        let across = advance(c, s.bold) * s.em;
        let at = angle - across / 2.0 / radius;
        let turn = at.to_degrees() - 90.0;
        let (cos, sin) = (turn.to_radians().cos(), turn.to_radians().sin());
        sheet.lines.push(Line {
            text: letter.to_owned(),
            x: x + radius * at.cos() - across / 2.0 * cos,
            baseline: middle - radius * at.sin() + across / 2.0 * sin,
            em: s.em,
            bold: s.bold,
            rgb: s.rgb,
            stretch: s.stretch,
            unpainted: s.unpainted,
            turn,
            spaced: [0.0; 2],
        });
        angle -= across / radius;
    }
    if s.crossed {
        // Through the letters on the left, which climb.
        sheet.lines.push(crossing(s, [x - radius - 2.0 * s.em, middle - 0.3 * radius]));
    }
    if s.struck {
        let (left, right, high) = (x - radius - s.em, x - radius + s.em, 0.2 * s.em);
        let bar = vec![[left, middle - high], [right, middle - high], [right, middle], [left, middle]];
        sheet.shapes.push(Shape::filled(vec![bar], [0.0; 3]));
    }
    if s.whited {
        sheet.over.push(white_line([x - radius - s.em, middle], 2.0 * s.em, s.em));
    }
    middle + radius + 2.0 * s.em
}

/// A white line from a place to the right, broad enough that nobody reads the letters under it.
fn white_line([x, y]: [f64; 2], long: f64, em: f64) -> Shape {
    Shape { rings: vec![vec![[x, y], [x + long, y]]], rgb: [1.0; 3], line: em * 0.6 }
}

/// Words that climb by 5 degrees from a place.
fn crossing(s: &Statement, [x, baseline]: [f64; 2]) -> Line {
    Line {
        text: "SMALL BATCH".to_owned(),
        x,
        baseline,
        em: s.em * 1.2,
        bold: true,
        rgb: s.rgb,
        stretch: 100.0,
        unpainted: false,
        turn: 5.0,
        spaced: [0.0; 2],
    }
}

/// Widths of Helvetica in thousandths of the em for the letters of addresses (Adobe's font metrics), bold a little wider.
pub fn advance(c: char, bold: bool) -> f64 {
    let plain = match c {
        'i' | 'j' | 'l' => 222.0,
        ' ' | ',' | '.' | ':' | '/' | 'f' | 't' | 'I' => 278.0,
        'r' | '-' | '(' | ')' => 333.0,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => 500.0,
        'w' | 'C' | 'D' | 'H' | 'N' | 'R' | 'U' => 722.0,
        'm' | 'M' => 833.0,
        'A' | 'B' | 'E' | 'K' | 'P' | 'S' | 'V' | 'X' | 'Y' => 667.0,
        'F' | 'T' | 'Z' => 611.0,
        'G' | 'O' | 'Q' => 778.0,
        '@' => 1015.0,
        'W' => 944.0,
        _ => 556.0,
    };
    plain / 1000.0 * if bold { 1.06 } else { 1.0 }
}

/// Sets a statement below `y`; answers where the next may begin.
fn put(sheet: &mut Sheet, s: &Statement, y: f64, dress: Dress) -> f64 {
    let cap = 0.718 * s.em;
    let indent = if s.alert { cap * 1.3 * 1.155 + cap * 0.4 } else { 0.0 };
    let mut baseline = y;
    let whole = sheet.width - 2.0 * MARGIN - indent;
    let narrow = matches!(dress, Dress::Justified | Dress::Hyphens);
    let spaced = if dress == Dress::Spaced && !s.foot { 0.2 * s.em } else { 0.0 };
    let most = if narrow { whole.min(24.0 * s.em) } else { whole / if spaced > 0.0 { 1.5 } else { 1.0 } };
    let text = if dress == Dress::Hyphens { s.text.replace('\u{a0}', " ") } else { s.text.clone() };
    let mut lines = broken(&text, s.em, s.bold, most);
    if dress == Dress::Hyphens {
        lines = hyphenated(&lines);
    }
    let last = lines.len() - 1;
    for (n, text) in lines.into_iter().enumerate() {
        baseline += s.em * 1.25;
        let (x, at) = (MARGIN + indent + s.shift[0], baseline + s.shift[1]);
        if s.alert && n == 0 {
            let high = cap * 1.3;
            sheet.shapes.push(triangle([x - cap * 0.4 - high * 1.155, at], high, [0.0; 3]));
        }
        if s.struck {
            let (top, bottom) = (at - cap * 0.45, at - cap * 0.3);
            let right = x + width(&text, s.em, s.bold) / 2.0;
            let bar = vec![[x, top], [right, top], [right, bottom], [x, bottom]];
            sheet.shapes.push(Shape::filled(vec![bar], [0.0; 3]));
        }
        if s.whited {
            sheet.over.push(white_line([x, at - cap * 0.4], width(&text, s.em, s.bold) / 2.0, s.em));
        }
        if s.crossed && n == 0 {
            sheet.lines.push(crossing(s, [x, at + s.em * 0.1]));
        }
        let gaps = text.matches(' ').count();
        let stretched = dress == Dress::Justified && n < last && gaps > 1;
        let room = (most - width(&text, s.em, s.bold)).max(0.0) / gaps.max(1) as f64;
        sheet.lines.push(Line {
            text,
            x,
            baseline: at,
            em: s.em,
            bold: s.bold,
            rgb: s.rgb,
            stretch: s.stretch,
            unpainted: s.unpainted,
            turn: if dress == Dress::Turned && s.turned { 90.0 } else { s.slant },
            spaced: [spaced, if stretched { room.min(3.0 * s.em) } else { spaced }],
        });
    }
    baseline + s.em * 0.75
}

/// The first long word of each line but the first goes in part up to the line before, with a hyphen.
fn hyphenated(lines: &[String]) -> Vec<String> {
    let mut out: Vec<String> = lines.to_vec();
    for n in 1..out.len() {
        let (word, rest) = out[n].split_once(' ').map_or((out[n].clone(), ""), |(w, r)| (w.to_owned(), r));
        let plain = word.trim_end_matches(['.', ',']).chars().all(char::is_alphabetic);
        if plain && word.chars().count() > 6 {
            let cut = word.char_indices().nth(3).map_or(0, |(at, _)| at);
            let after = format!("{} {rest}", &word[cut..]).trim_end().to_owned();
            let before = format!("{} {}-", out[n - 1], &word[..cut]);
            (out[n - 1], out[n]) = (before, after);
        }
    }
    out
}

/// A triangle with an exclamation mark cut out, standing on `foot`.
fn triangle([x, foot]: [f64; 2], high: f64, rgb: [f64; 3]) -> Shape {
    let wide = high * 1.155;
    let (middle, bar) = (x + wide / 2.0, high / 12.0);
    let bars = |top: f64, bottom: f64| {
        vec![[middle - bar, top], [middle + bar, top], [middle + bar, bottom], [middle - bar, bottom]]
    };
    let rings = vec![
        vec![[x, foot], [middle, foot - high], [x + wide, foot]],
        bars(foot - high * 0.67, foot - high * 0.27),
        bars(foot - high * 0.2, foot - high * 0.1),
    ];
    Shape::filled(rings, rgb)
}

/// A frame with a symbol of its own: bars whose number and place tell signs apart.
fn draw(sheet: &mut Sheet, picture: &Picture, n: usize, [x, y]: [f64; 2]) {
    if picture.sign == Sign::GeneralWarning {
        let high = picture.side * 0.866;
        sheet.shapes.push(triangle([x - picture.side / 2.0, y + high / 2.0], high, picture.rgb));
        return;
    }
    let diamond = picture.sign.ghs().is_some();
    let angle = (picture.turn + if diamond { 45.0 } else { 0.0 }).to_radians();
    let corner = |u: f64, v: f64, half: f64| {
        let (a, b) = (u * half, v * half);
        [x + a * angle.cos() - b * angle.sin(), y + a * angle.sin() + b * angle.cos()]
    };
    let square =
        |half: f64| [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(u, v)| corner(u, v, half)).to_vec();
    let half = picture.side / 2.0;
    sheet.shapes.push(Shape::filled(vec![square(half)], picture.rgb));
    sheet.shapes.push(Shape::filled(vec![square(half * 0.88)], [1.0; 3]));
    if picture.empty {
        return;
    }
    if let Some(rings) = outline(picture) {
        let diagonal = half * std::f64::consts::SQRT_2;
        let placed = |[u, v]: &[f64; 2]| [x + u * diagonal, y + v * diagonal];
        let rings = rings.iter().map(|ring| ring.iter().map(placed).collect()).collect();
        sheet.shapes.push(Shape::filled(rings, [0.0; 3]));
        return;
    }
    let upright = |left: f64, top: f64, right: f64, bottom: f64| {
        vec![
            [x + left * half, y + top * half],
            [x + right * half, y + top * half],
            [x + right * half, y + bottom * half],
            [x + left * half, y + bottom * half],
        ]
    };
    let mut rings = vec![upright(-0.12, -0.4, 0.12, 0.4)];
    for bit in 0..5 {
        if (n + 1) >> bit & 1 == 1 {
            let top = -0.4 + 0.16 * f64::from(bit);
            rings.push(upright(0.16, top, 0.42, top + 0.13));
        }
    }
    sheet.shapes.push(Shape::filled(rings, [0.0; 3]));
}

/// The symbol of a hazard, where it is drawn as it should be, or as that of another.
fn outline(picture: &Picture) -> Option<&'static [&'static [[f64; 2]]]> {
    match picture.sign {
        Sign::Ghs07 => Some(if picture.other { symbols::FLAME } else { symbols::EXCLAMATION }),
        _ => picture.other.then_some(symbols::EXCLAMATION),
    }
}

fn code(sheet: &mut Sheet, qr: &Qr, y: f64) -> f64 {
    let drawn = qrcode::QrCode::new(qr.payload.as_bytes()).unwrap();
    let across = drawn.width();
    let left = MARGIN + 4.0;
    for row in 0..across {
        for column in 0..across {
            if drawn[(column, row)] == qrcode::Color::Dark {
                let (a, b) = (left + column as f64 * qr.module, y + row as f64 * qr.module);
                let (c, d) = (a + qr.module, b + qr.module);
                sheet.shapes.push(Shape::filled(vec![vec![[a, b], [c, b], [c, d], [a, d]]], [0.0; 3]));
            }
        }
    }
    let side = across as f64 * qr.module;
    if qr.crowded {
        let (x, baseline) = (left + side + qr.module, y + side / 2.0);
        let plain = Line {
            text: "scan".to_owned(),
            x,
            baseline,
            em: 2.5,
            bold: false,
            rgb: [0.0; 3],
            stretch: 100.0,
            unpainted: false,
            turn: 0.0,
            spaced: [0.0; 2],
        };
        sheet.lines.push(plain);
    }
    y + side + 4.0
}
