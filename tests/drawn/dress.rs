//! How the lines of a stranger's label are set: turned, round a circle, justified, with hyphens, in capitals.

use super::{Line, MARGIN, Sheet, Statement, put, width};
use waxbill::trade::Measure;

/// How the lines of the back are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dress {
    /// Flush left, one statement below the other.
    Plain,
    /// Maker and lot along the edge, a quarter turn to the left.
    Turned,
    /// Maker and lot round a circle.
    Curved,
    /// Narrow and justified: wide gaps between words.
    Justified,
    /// Narrow, words parted by hyphens at the ends of lines.
    Hyphens,
    /// Letters spaced out by a fifth of the em.
    Spaced,
    /// All capitals, but for what is measured on its small letters.
    Capitals,
    /// Typographic quotes, ligatures and bullets.
    Typographic,
}

impl Dress {
    pub const ALL: [Self; 8] = [
        Self::Plain,
        Self::Turned,
        Self::Curved,
        Self::Justified,
        Self::Hyphens,
        Self::Spaced,
        Self::Capitals,
        Self::Typographic,
    ];

    /// As the table names it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Plain => "flush left",
            Self::Turned => "maker and lot a quarter turned",
            Self::Curved => "maker and lot round a circle",
            Self::Justified => "narrow and justified",
            Self::Hyphens => "hyphens at line ends",
            Self::Spaced => "letters spaced out",
            Self::Capitals => "all capitals",
            Self::Typographic => "quotes, ligatures, bullets",
        }
    }
}

/// A statement as the dress writes it.
pub fn clothed(s: &Statement, dress: Dress) -> Statement {
    let mut s = s.clone();
    let small = matches!(s.measure, Measure::LowerO | Measure::LowerX);
    match dress {
        Dress::Capitals if !small && !s.text.contains('@') => s.text = s.text.to_uppercase(),
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

/// Lines on a sheet of their own, which stands along the right edge, a quarter turned to the left.
pub fn along_the_edge(back: &mut Sheet, strip: &[Statement]) {
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
    for mut shape in side.shapes {
        shape.rings.iter_mut().flatten().for_each(|p| *p = [left + p[1], foot - p[0]]);
        back.shapes.push(shape);
    }
    back.width += y + MARGIN;
}

/// A statement round a circle, letter by letter; answers where the next may begin.
pub fn curved(sheet: &mut Sheet, s: &Statement, y: f64) -> f64 {
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
    middle + radius + 2.0 * s.em
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

/// The first long word of each line but the first goes in part up to the line before, with a hyphen.
pub fn hyphenated(lines: &[String]) -> Vec<String> {
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
