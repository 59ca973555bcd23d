//! Path data of SVG (SVG 1.1, 8.3): every command, numbers as tightly written as programs write them. Part of `logo`.

use super::outline::{At, Piece, Ring, arc, pieces};

/// The closed outlines of path data; the error is where it stops making sense.
///
/// What follows a fault is not drawn by browsers (F.2); here nothing is, for half a logo is worse than none.
pub fn read(data: &str) -> Result<Vec<Ring>, String> {
    let mut numbers = Numbers { rest: data };
    let mut pen = Pen { rings: Vec::new(), at: [0.0, 0.0], handle: None };
    let mut command = None;
    loop {
        numbers.skip();
        let Some(next) = numbers.rest.chars().next() else { break };
        if next.is_ascii_alphabetic() {
            numbers.rest = &numbers.rest[1..];
            command = Some(next);
            if pen.rings.is_empty() && !next.eq_ignore_ascii_case(&'m') {
                return Err(format!("a path that begins with `{next}`"));
            }
            if next.eq_ignore_ascii_case(&'z') {
                pen.close();
                command = None;
                continue;
            }
        }
        let before = numbers.rest;
        let fault =
            || format!("path data that stops making sense at `{}`", before.chars().take(12).collect::<String>());
        let letter = command.ok_or_else(fault)?;
        pen.step(letter, &mut numbers).ok_or_else(fault)?;
        // More pairs after a move are lines.
        command = Some(match letter {
            'm' => 'l',
            'M' => 'L',
            other => other,
        });
    }
    let mut rings = pen.rings;
    rings.retain(|r| !r.to.is_empty());
    Ok(rings)
}

/// Which curve went before: its last handle serves the next smooth one.
enum Handle {
    Cubic(At),
    Quadratic(At),
}

struct Pen {
    rings: Vec<Ring>,
    at: At,
    handle: Option<Handle>,
}

impl Pen {
    fn close(&mut self) {
        if let Some(ring) = self.rings.last() {
            self.at = ring.start;
            // What follows without a move begins a new outline where this one began.
            self.rings.push(Ring { start: self.at, to: Vec::new() });
        }
        self.handle = None;
    }

    fn add(&mut self, pieces: impl IntoIterator<Item = Piece>) {
        if let Some(ring) = self.rings.last_mut() {
            ring.to.extend(pieces);
        }
    }

    fn cubic(&mut self, a: At, b: At, to: At) {
        self.add(pieces(self.at, a, b, to));
        self.at = to;
    }

    fn quadratic(&mut self, a: At, to: At) {
        let two_thirds = |p: At| [p[0] + (a[0] - p[0]) * 2.0 / 3.0, p[1] + (a[1] - p[1]) * 2.0 / 3.0];
        self.cubic(two_thirds(self.at), two_thirds(to), to);
        self.handle = Some(Handle::Quadratic(a));
    }

    /// One command with one set of its numbers.
    fn step(&mut self, letter: char, numbers: &mut Numbers<'_>) -> Option<()> {
        let from = if letter.is_ascii_lowercase() { self.at } else { [0.0, 0.0] };
        let mut point = || Some([from[0] + numbers.number()?, from[1] + numbers.number()?]);
        let mirrored = |p: At, at: At| [2.0 * at[0] - p[0], 2.0 * at[1] - p[1]];
        let handle = self.handle.take();
        match letter.to_ascii_lowercase() {
            'm' => {
                self.at = point()?;
                self.rings.push(Ring { start: self.at, to: Vec::new() });
            }
            'l' => {
                self.at = point()?;
                self.add([Piece::Line(self.at)]);
            }
            'h' => {
                self.at[0] = from[0] + numbers.number()?;
                self.add([Piece::Line(self.at)]);
            }
            'v' => {
                self.at[1] = from[1] + numbers.number()?;
                self.add([Piece::Line(self.at)]);
            }
            'c' => {
                let (a, b, to) = (point()?, point()?, point()?);
                self.cubic(a, b, to);
                self.handle = Some(Handle::Cubic(b));
            }
            's' => {
                let (b, to) = (point()?, point()?);
                let a = if let Some(Handle::Cubic(p)) = handle { mirrored(p, self.at) } else { self.at };
                self.cubic(a, b, to);
                self.handle = Some(Handle::Cubic(b));
            }
            'q' => {
                let (a, to) = (point()?, point()?);
                self.quadratic(a, to);
            }
            't' => {
                let to = point()?;
                let a = if let Some(Handle::Quadratic(p)) = handle { mirrored(p, self.at) } else { self.at };
                self.quadratic(a, to);
            }
            'a' => {
                let (radii, turned) = ([numbers.number()?, numbers.number()?], numbers.number()?);
                let flags = [numbers.flag()?, numbers.flag()?];
                let to = [from[0] + numbers.number()?, from[1] + numbers.number()?];
                let mut curves = Vec::new();
                arc(self.at, radii, turned, flags, to, &mut curves);
                self.add(curves);
                self.at = to;
            }
            _ => return None,
        }
        Some(())
    }
}

/// Numbers parted by blanks, commas, or by nothing where a sign or a second point begins the next.
pub struct Numbers<'a> {
    pub rest: &'a str,
}

impl Numbers<'_> {
    pub fn skip(&mut self) {
        self.rest = self.rest.trim_start_matches(|c: char| c.is_ascii_whitespace() || c == ',');
    }

    pub fn number(&mut self) -> Option<f64> {
        self.skip();
        let bytes = self.rest.as_bytes();
        let digits = |mut at: usize| {
            while bytes.get(at).is_some_and(u8::is_ascii_digit) {
                at += 1;
            }
            at
        };
        let sign = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
        let mut end = digits(sign);
        if bytes.get(end) == Some(&b'.') {
            end = digits(end + 1);
        }
        if matches!(bytes.get(end), Some(b'e' | b'E')) {
            let from = end + 1 + usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
            if digits(from) > from {
                end = digits(from);
            }
        }
        let number = self.rest[..end].parse::<f64>().ok().filter(|n| n.is_finite() && n.abs() < 1e9)?;
        self.rest = &self.rest[end..];
        Some(number)
    }

    /// A flag of an arc is one character; the next number may follow at once.
    fn flag(&mut self) -> Option<bool> {
        self.skip();
        let flag = match self.rest.as_bytes().first() {
            Some(b'0') => false,
            Some(b'1') => true,
            _ => return None,
        };
        self.rest = &self.rest[1..];
        Some(flag)
    }
}
