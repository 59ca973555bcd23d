//! Measures the letters of a statement as the law measures them: on the printed ink, never on the point size.
//!
//! 16 CFR 500.21(d): heights are of capitals; where upper and lower case or only lower case is used, of the lower-case
//! "o" or its equivalent. (h): of SI symbols in mixed or lower case the capital "L", the lower-case "d" or their
//! equivalent must meet the height, and no letter may be under 1/16 in. (e): no letter more than 3 times as high as wide.
//! Where a font's own letter is not in the statement, it is taken from the same font elsewhere on the page by the
//! em; failing that from a related letter with a ratio on the safe side. The ratios given beside each were measured on
//! the outlines of Noto Sans (four widths, two weights), Noto Serif and `DejaVu` Sans (two weights).

use super::matching::Found;
use super::seen::{Glyph, SeenPage};
use crate::trade::Measure;

/// One letter that decides.
#[derive(Debug, Clone)]
pub struct Measured {
    /// Which letter, in words.
    pub letter: String,
    /// Height in mm.
    pub height: f64,
    /// A glyph at that size.
    pub glyph: usize,
}

/// Capitals without tails and accents.
const CAPITALS: &str = "ABCDEFGHIKLMNOPRSTUVWXYZ";
/// As high as the `o`, with its overshoot.
const ROUND: &str = "aceos";
/// About as high as the `x`, which is lower than the `o`: x : o is .952 to .965.
const FLAT: &str = "xvwzurnm";
/// As high as the `d`.
const ASCENDERS: &str = "dbhkl";
const FIGURES: &str = "0123456789";
/// SI symbols of mass, length and volume used on candles.
const SI: [&str; 8] = ["g", "kg", "mg", "mm", "cm", "m", "L", "mL"];

/// Glyphs of one font at one size.
struct Group<'a> {
    page: &'a SeenPage,
    glyphs: Vec<usize>,
    face: usize,
    em: f64,
}

fn groups<'a>(page: &'a SeenPage, glyphs: impl Iterator<Item = usize>) -> Vec<Group<'a>> {
    let mut out: Vec<Group<'a>> = Vec::new();
    for n in glyphs {
        let glyph = &page.glyphs[n];
        match out.iter_mut().find(|g| g.face == glyph.face && (g.em - glyph.em).abs() < 0.001) {
            Some(group) => group.glyphs.push(n),
            None => out.push(Group { page, glyphs: vec![n], face: glyph.face, em: glyph.em }),
        }
    }
    out
}

/// Across the direction of writing, in mm.
pub(super) fn height(glyph: &Glyph) -> Option<f64> {
    glyph.tall.or_else(|| glyph.ink.map(|a| a.height()))
}

/// Along the direction of writing, in mm.
fn width(glyph: &Glyph) -> Option<f64> {
    let askew = glyph.slant.filter(|_| !glyph.level).map(|s| s.wide());
    askew.or_else(|| glyph.ink.map(|a| a.width()))
}

impl Group<'_> {
    fn any(&self, test: impl Fn(char) -> bool) -> bool {
        self.glyphs.iter().any(|&n| self.page.glyphs[n].text.chars().any(&test))
    }

    fn first(&self) -> usize {
        self.glyphs.first().copied().unwrap_or(0)
    }

    /// The lowest of these letters in the statement.
    fn own(&self, letters: &str) -> Option<Measured> {
        self.glyphs
            .iter()
            .filter_map(|&n| {
                let glyph = &self.page.glyphs[n];
                let letter = glyph.letter().filter(|c| letters.contains(*c))?;
                Some(Measured { letter: format!("`{letter}`"), height: height(glyph)?, glyph: n })
            })
            .min_by(|a, b| a.height.total_cmp(&b.height))
    }

    /// The lowest of these letters in the same font anywhere on the page, brought to this size.
    fn elsewhere(&self, letters: &str) -> Option<Measured> {
        self.page
            .glyphs
            .iter()
            .filter(|g| g.face == self.face && g.em > 0.0)
            .filter_map(|g| Some((g.letter().filter(|c| letters.contains(*c))?, height(g)? / g.em * self.em)))
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(letter, height)| Measured { letter: format!("`{letter}`"), height, glyph: self.first() })
    }

    fn either(&self, letters: &str) -> Option<Measured> {
        self.own(letters).or_else(|| self.elsewhere(letters))
    }

    fn times(&self, letters: &str, ratio: f64, instead: &str) -> Option<Measured> {
        self.either(letters).map(|m| Measured { letter: instead.to_owned(), height: m.height * ratio, ..m })
    }

    /// The capital of the font at this size, whether or not one stands in the statement.
    fn capital(&self) -> Option<Measured> {
        self.own(CAPITALS)
            .or_else(|| self.elsewhere("HEITFL"))
            .or_else(|| self.elsewhere(CAPITALS))
            // H : (d or k) is .927 to .960, H : x is 1.305 to 1.333.
            .or_else(|| self.times(ASCENDERS, 0.92, "the capitals that belong to these letters"))
            .or_else(|| self.times("xvwz", 1.3, "the capitals that belong to these letters"))
    }

    fn lower_o(&self) -> Option<Measured> {
        self.own("o")
            .or_else(|| self.elsewhere("o"))
            .or_else(|| self.own(ROUND))
            .or_else(|| self.own(FLAT))
            .or_else(|| self.either(ROUND))
            .or_else(|| self.either(FLAT))
            // o : (d or k) is .722 to .756, o : (p, g or y with its tail) .689 to .761.
            .or_else(|| self.times(ASCENDERS, 0.70, "the `o` that belongs to these letters"))
            .or_else(|| self.times("pqgy", 0.67, "the `o` that belongs to these letters"))
    }

    fn lower_x(&self) -> Option<Measured> {
        self.own("xvwz")
            .or_else(|| self.elsewhere("xvwz"))
            // x : o is .952 to .965.
            .or_else(|| self.times("o", 0.95, "the `x` that belongs to these letters"))
            .or_else(|| self.lower_o().map(|m| Measured { height: m.height * 0.95, ..m }))
    }

    /// The `d` that belongs to an SI symbol; capitals and figures are lower than the `d`, so they stand on the safe side.
    fn ascender(&self) -> Option<Measured> {
        self.own("dbhklL")
            .or_else(|| self.elsewhere(ASCENDERS))
            .or_else(|| self.elsewhere("HEITFL"))
            .or_else(|| self.elsewhere("147"))
            .or_else(|| self.elsewhere(FIGURES))
            // d : m is 1.382 to 1.410, d : c is 1.348 to 1.385.
            .or_else(|| self.times("mc", 1.3, "the `d` that belongs to these letters"))
            .map(|m| Measured { letter: format!("the height of `d` for SI symbols, by {}", m.letter), ..m })
    }
}

/// The deciding letters of a statement: one for each font and size it is set in. Empty if nothing can be measured.
#[must_use]
pub fn measured(page: &SeenPage, found: &Found, measure: Measure) -> Vec<Measured> {
    match measure {
        Measure::NetQuantity => net_quantity(page, found),
        Measure::FigureOverText => plain(page, found.glyphs(), Measure::Figure),
        _ => plain(page, found.glyphs(), measure),
    }
}

fn plain(page: &SeenPage, glyphs: impl Iterator<Item = usize>, measure: Measure) -> Vec<Measured> {
    let groups = groups(page, glyphs);
    let any = |test: fn(char) -> bool| groups.iter().any(|g| g.any(test));
    let (lower, upper) = (any(char::is_lowercase), any(char::is_uppercase));
    // What the text does not have cannot be measured on it: capitals give way to `o`, letters to figures.
    // A line in another size is measured by the letter of its own size, also where it has none itself.
    let by: fn(&Group<'_>) -> Option<Measured> = match measure {
        Measure::Figure => |g| if g.any(|c| c.is_ascii_digit()) { g.own(FIGURES) } else { None },
        // The size of type is told by its capitals, whether or not this statement has one.
        Measure::Capital => |g| if g.any(char::is_alphabetic) { g.capital() } else { g.own(FIGURES) },
        Measure::LowerX if lower => |g| if g.any(char::is_lowercase) { g.lower_x() } else { None },
        Measure::LowerO | Measure::NetQuantity if lower => {
            |g| if g.any(char::is_lowercase) { g.lower_o() } else { None }
        }
        _ if upper => |g| if g.any(char::is_uppercase) { g.capital() } else { None },
        _ => |g| if g.any(|c| c.is_ascii_digit()) { g.own(FIGURES) } else { None },
    };
    let mut out: Vec<Measured> = groups.iter().filter_map(by).collect();
    // In mixed setting a font or size that has only capitals is judged by them.
    if lower && matches!(measure, Measure::LowerO | Measure::LowerX | Measure::NetQuantity) {
        out.extend(groups.iter().filter(|g| !g.any(char::is_lowercase)).filter_map(|g| g.own(CAPITALS)));
    }
    out
}

/// The SI symbols among the words, each as its glyphs: `(255`, `g)` or `(255g)`.
fn si_symbols(page: &SeenPage, found: &Found) -> Vec<Vec<usize>> {
    let text = |word: &[usize]| word.iter().map(|&n| page.glyphs[n].text.as_str()).collect::<String>();
    let mut out = Vec::new();
    let mut after_figure = false;
    for word in &found.words {
        let letters: Vec<usize> =
            word.iter().copied().filter(|&n| page.glyphs[n].text.chars().any(char::is_alphabetic)).collect();
        let figure = text(word).chars().any(|c| c.is_ascii_digit());
        if (after_figure || figure) && SI.contains(&text(&letters).as_str()) {
            out.push(letters);
        }
        after_figure = figure;
    }
    out
}

fn net_quantity(page: &SeenPage, found: &Found) -> Vec<Measured> {
    let symbols = si_symbols(page, found);
    let in_symbol = |n: &usize| symbols.iter().flatten().any(|s| s == n);
    let mut out = plain(page, found.glyphs().filter(|n| !in_symbol(n)), Measure::NetQuantity);
    for symbol in &symbols {
        let lower = symbol.iter().any(|&n| page.glyphs[n].text.chars().any(char::is_lowercase));
        for group in groups(page, symbol.iter().copied()) {
            out.extend(if lower { group.ascender() } else { group.capital() });
        }
    }
    // Figures carry the declaration; each part of a fraction must be half as high (500.21(f)).
    let stroke = |w: &&Vec<usize>| w.iter().any(|&n| ["/", "\u{2044}"].contains(&&*page.glyphs[n].text));
    let (fractions, whole): (Vec<_>, Vec<_>) = found.words.iter().partition(stroke);
    let figures = |words: Vec<&Vec<usize>>| groups(page, words.into_iter().flatten().copied());
    out.extend(figures(whole).iter().filter_map(|g| g.own(FIGURES)));
    out.extend(figures(fractions).iter().filter_map(|g| g.own(FIGURES)).map(|m| Measured {
        letter: format!("{} of a fraction, which counts double", m.letter),
        height: m.height * 2.0,
        ..m
    }));
    out
}

/// Letters of SI symbols under 1/16 in (16 CFR 500.21(h)).
#[must_use]
pub fn small_symbol(page: &SeenPage, found: &Found) -> Option<Measured> {
    let least = 25.4 / 16.0 - super::TOLERANCE;
    si_symbols(page, found).concat().into_iter().find_map(|n| {
        let height = height(&page.glyphs[n])?;
        (height < least).then(|| Measured { letter: format!("`{}`", page.glyphs[n].text), height, glyph: n })
    })
}

/// Letters beside the figures of a Canadian net quantity that are under 1.6 mm (C.R.C. c. 417, s. 14(1), (4)).
#[must_use]
pub fn small_letters(page: &SeenPage, found: &Found) -> Option<Measured> {
    let letters = found.glyphs().filter(|&n| page.glyphs[n].text.chars().any(char::is_alphabetic));
    let lowest = plain(page, letters, Measure::LowerO).into_iter().min_by(|a, b| a.height.total_cmp(&b.height))?;
    (lowest.height < 1.6 - super::TOLERANCE).then_some(lowest)
}

/// A letter more than 3 times as high as wide (16 CFR 500.21(e)); letters that are strokes in every style are left out.
#[must_use]
pub fn too_narrow(page: &SeenPage, found: &Found) -> Option<usize> {
    found.glyphs().find(|&n| {
        let glyph = &page.glyphs[n];
        let stroke = glyph.letter().is_none_or(|c| !c.is_alphanumeric() || "Iijlftr1J".contains(c));
        !stroke && height(glyph).zip(width(glyph)).is_some_and(|(high, wide)| high > 3.0 * wide)
    })
}

/// Height of the lettering as printed: the tallest capital, figure or ascender.
#[must_use]
pub fn lettering(page: &SeenPage, found: &Found) -> Option<f64> {
    let upright = |c: char| c.is_ascii_uppercase() || c.is_ascii_digit() || ASCENDERS.contains(c);
    let tall = found
        .glyphs()
        .filter(|&n| page.glyphs[n].letter().is_some_and(upright))
        .filter_map(|n| height(&page.glyphs[n]))
        .reduce(f64::max);
    tall.or_else(|| found.glyphs().filter_map(|n| height(&page.glyphs[n])).reduce(f64::max))
}

/// Width of the letter `N` in the style of the statement; where the page has none, the height of the capitals, which
/// errs on the wide side (N : H is .594 to .976).
#[must_use]
pub fn width_of_n(page: &SeenPage, found: &Found) -> Option<f64> {
    groups(page, found.glyphs())
        .iter()
        .filter_map(|g| {
            let n = page.glyphs.iter().find(|n| n.face == g.face && n.text == "N" && n.ink.is_some() && n.em > 0.0);
            n.and_then(|n| Some(width(n)? / n.em * g.em)).or_else(|| g.capital().map(|c| c.height))
        })
        .reduce(f64::max)
        .or_else(|| lettering(page, found))
}
