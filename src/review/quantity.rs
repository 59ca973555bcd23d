//! Figures with units on a label: masses, lengths, times, temperatures, volumes, as exact fractions. Part of `review`.

use super::fold;
use super::rows::{Row, below};

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measures {
    /// In nanograms.
    Mass,
    /// In 1/36 000 mm.
    Length,
    /// In nanolitres.
    Volume,
    /// In seconds.
    Time,
    /// In thousandths of a degree Celsius.
    Temperature,
}

/// A unit of measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unit {
    /// As messages name it.
    pub word: &'static str,
    /// What it measures.
    pub measures: Measures,
    /// Whether it is metric.
    pub metric: bool,
    /// Its size in the base unit, as a fraction.
    size: (i128, i128),
}

const fn unit(word: &'static str, measures: Measures, metric: bool, num: i128, den: i128) -> Unit {
    Unit { word, measures, metric, size: (num, den) }
}

const G: Unit = unit("g", Measures::Mass, true, 1_000_000_000, 1);
const KG: Unit = unit("kg", Measures::Mass, true, 1_000_000_000_000, 1);
const OZ: Unit = unit("oz", Measures::Mass, false, 28_349_523_125, 1);
const LB: Unit = unit("lb", Measures::Mass, false, 453_592_370_000, 1);
const FL_OZ: Unit = unit("fl oz", Measures::Volume, false, 295_735_295_625, 10_000);
const ML: Unit = unit("ml", Measures::Volume, true, 1_000_000, 1);
const CL: Unit = unit("cl", Measures::Volume, true, 10_000_000, 1);
const L: Unit = unit("l", Measures::Volume, true, 1_000_000_000, 1);
const MM: Unit = unit("mm", Measures::Length, true, 36_000, 1);
const CM: Unit = unit("cm", Measures::Length, true, 360_000, 1);
const M: Unit = unit("m", Measures::Length, true, 36_000_000, 1);
const IN: Unit = unit("in", Measures::Length, false, 914_400, 1);
const FT: Unit = unit("ft", Measures::Length, false, 10_972_800, 1);
const H: Unit = unit("h", Measures::Time, true, 3600, 1);
const MIN: Unit = unit("min", Measures::Time, true, 60, 1);
const CELSIUS: Unit = unit("°C", Measures::Temperature, true, 1000, 1);
const FAHRENHEIT: Unit = unit("°F", Measures::Temperature, false, 5000, 9);

/// Spellings, longer ones before those they begin with.
const SPELT: &[(&str, Unit)] = &[
    ("fl. oz.", FL_OZ),
    ("fl. oz", FL_OZ),
    ("fl.oz", FL_OZ),
    ("fl oz", FL_OZ),
    ("floz", FL_OZ),
    ("fluid ounces", FL_OZ),
    ("fluid ounce", FL_OZ),
    ("kilograms", KG),
    ("kilogram", KG),
    ("kg", KG),
    ("grammes", G),
    ("gramme", G),
    ("grams", G),
    ("gram", G),
    ("gms", G),
    ("gm", G),
    ("gr", G),
    ("g", G),
    ("ounces", OZ),
    ("ounce", OZ),
    ("oz", OZ),
    ("onces", OZ),
    ("once", OZ),
    ("pounds", LB),
    ("pound", LB),
    ("lbs", LB),
    ("lb", LB),
    ("millilitres", ML),
    ("milliliters", ML),
    ("ml", ML),
    ("cl", CL),
    ("litres", L),
    ("liters", L),
    ("millimetres", MM),
    ("millimeters", MM),
    ("mm", MM),
    ("centimetres", CM),
    ("centimeters", CM),
    ("cm", CM),
    ("metres", M),
    ("metre", M),
    ("m", M),
    ("inches", IN),
    ("inch", IN),
    ("in", IN),
    ("po", IN),
    ("\"", IN),
    ("″", IN),
    ("”", IN),
    ("feet", FT),
    ("foot", FT),
    ("ft", FT),
    ("hours", H),
    ("hour", H),
    ("heures", H),
    ("heure", H),
    ("hrs", H),
    ("hr", H),
    ("h", H),
    ("minutes", MIN),
    ("minute", MIN),
    ("°c", CELSIUS),
    ("º c", CELSIUS),
    ("° c", CELSIUS),
    ("ºc", CELSIUS),
    ("°f", FAHRENHEIT),
    ("ºf", FAHRENHEIT),
    ("° f", FAHRENHEIT),
    ("degrees f", FAHRENHEIT),
    ("degrees c", CELSIUS),
    ("deg f", FAHRENHEIT),
    ("deg c", CELSIUS),
];

/// A figure with its unit, as printed.
#[derive(Debug, Clone)]
pub struct Quantity {
    /// Its value in the base unit of what it measures, rounded to a whole one.
    pub value: i128,
    /// One unit of its last digit (or the smallest part of its fraction) in the base unit.
    pub step: i128,
    /// Whether it is written as a fraction, as rulers in inches are read.
    pub fraction: bool,
    /// Its unit; of `1 lb 8 oz` the first.
    pub unit: Unit,
    /// Whether it is the upper end of a range, as in `8-9 oz`.
    pub range: bool,
    /// As printed.
    pub text: String,
    /// Its glyphs.
    pub glyphs: Vec<usize>,
    /// Row.
    pub row: usize,
    /// First and one past the last word in that row.
    pub words: (usize, usize),
}

impl Quantity {
    /// Whether another figure, printed after this one, states the same: rounded to its last digit, or cut, which is usual
    /// with masses only; or this one is fine enough (a 33rd part) to have been worked out from the other.
    pub fn agrees(&self, other: &Self) -> bool {
        let cut = self.unit.measures == Measures::Mass;
        let from = |exact: i128, shown: &Self| {
            let apart = exact - shown.value;
            apart.abs() <= shown.slack() || (cut && apart >= 0 && apart < shown.step)
        };
        from(self.value, other) || (33 * self.step <= self.value && from(other.value, self))
    }

    /// Whether it states this value, as closely as it is written.
    pub fn states(&self, value: i128) -> bool {
        (self.value - value).abs() <= self.slack()
    }

    /// How far from it what was meant may lie: half a unit of its last digit, of a length or time never more than an eighth of
    /// it; of a fraction a thirty-second of an inch, as fine as rulers go (our own bounds).
    fn slack(&self) -> i128 {
        let half = self.step / 2;
        match self.unit.measures {
            Measures::Length if self.fraction => IN.size.0 / 32,
            Measures::Length | Measures::Time => half.min(self.value.abs() / 8),
            _ => half,
        }
    }
}

/// A character of a row with its glyph and word.
struct Char {
    c: char,
    /// As printed; of a fraction in one character the first only.
    printed: Option<char>,
    glyph: usize,
    word: usize,
}

/// All figures with units in the rows, in reading order.
pub fn all(rows: &[Row]) -> Vec<Quantity> {
    let mut out = Vec::new();
    for (n, row) in rows.iter().enumerate() {
        of_row(row, n, &mut out);
    }
    out
}

fn of_row(row: &Row, number: usize, out: &mut Vec<Quantity>) {
    let mut chars: Vec<Char> = Vec::new();
    for (w, word) in row.words.iter().enumerate() {
        let mut push = |c: char, printed: Option<char>, glyph: usize| chars.push(Char { c, printed, glyph, word: w });
        if w > 0 {
            push(' ', Some(' '), word.glyphs.first().copied().unwrap_or(0));
        }
        // Where a glyph stands for several characters they are spread over the glyphs evenly enough.
        let count = word.text.chars().count().max(1);
        for (k, c) in word.text.chars().enumerate() {
            let glyph = word.glyphs.get(k * word.glyphs.len() / count).copied().unwrap_or(0);
            match c {
                '\u{2044}' => push('/', Some(c), glyph),
                '½' | '¼' | '¾' | '⅛' | '⅜' | '⅝' | '⅞' => {
                    let text = match c {
                        '½' => " 1/2",
                        '¼' => " 1/4",
                        '¾' => " 3/4",
                        '⅛' => " 1/8",
                        '⅜' => " 3/8",
                        '⅝' => " 5/8",
                        _ => " 7/8",
                    };
                    text.chars().enumerate().for_each(|(n, part)| push(part, (n == 0).then_some(c), glyph));
                }
                c => push(fold::plain_digit(c).to_lowercase().next().unwrap_or(c), Some(c), glyph),
            }
        }
    }
    let (mut at, mut last_end) = (0, None);
    while at < chars.len() {
        // `9 OZ/255 g`: a stroke or dash right after a figure parts it from the next.
        let parted = at > 0 && last_end == Some(at - 1);
        match one(&chars, at, parted) {
            Some((quantity, end)) => {
                let (value, step, unit, fraction) = quantity;
                let words = (chars[at].word, chars[end - 1].word + 1);
                let text: String = chars[at..end].iter().filter_map(|c| c.printed).collect();
                let glyphs: Vec<usize> = chars[at..end].iter().filter(|c| c.c != ' ').map(|c| c.glyph).collect();
                let between = &chars[last_end.unwrap_or(at).min(at)..at];
                let plain = between.iter().all(|c| matches!(c.c, ' ' | ',' | '.'));
                let joined = out.last_mut().filter(|last: &&mut Quantity| {
                    let compound = (last.unit == LB && unit == OZ) || (last.unit == FT && unit == IN);
                    compound && plain && last.row == number && last.words.1 >= words.0
                });
                if let Some(last) = joined {
                    last.value += value;
                    last.step = step;
                    last.text = format!("{} {text}", last.text);
                    last.glyphs.extend(glyphs);
                    last.words.1 = words.1;
                } else {
                    let range = upper_end(&chars, at);
                    out.push(Quantity { value, step, fraction, unit, range, text, glyphs, row: number, words });
                }
                // An abbreviation may have its full stop (16 CFR 500.22).
                let stop = usize::from(chars.get(end).is_some_and(|c| c.c == '.'));
                (at, last_end) = (end, Some(end + stop));
            }
            None => at += 1,
        }
    }
}

const DASHES: [char; 5] = ['-', '\u{2010}', '\u{2011}', '\u{2013}', '\u{2014}'];

/// Whether another figure and a dash or the word `to` stand before it.
fn upper_end(chars: &[Char], at: usize) -> bool {
    let before: String = chars[at.saturating_sub(12)..at].iter().map(|c| c.c).collect();
    let before = before.trim_end();
    let first = before
        .strip_suffix(DASHES)
        .or_else(|| [" to", " à", " bis", " or"].iter().find_map(|word| before.strip_suffix(word)));
    let Some(first) = first.map(str::trim_end).filter(|f| f.ends_with(|c: char| c.is_ascii_digit())) else {
        return false;
    };
    // `No. 5 - 9 oz`: a name with a number, and then the quantity.
    let name = first.trim_end_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/')).trim_end();
    !["no", "no.", "nr", "nr.", "n°", "nº", "#"].iter().any(|n| name.ends_with(n))
}

/// Value and step in the base unit, unit, and whether it is a fraction.
type Read = (i128, i128, Unit, bool);

/// A figure with its unit that begins at `at`, `parted` from one before it by one character: value, step, unit, and where it ends.
fn one(chars: &[Char], at: usize, parted: bool) -> Option<(Read, usize)> {
    let before = at.checked_sub(1).map(|b| chars[b].c);
    // `3-4 hours`: the upper end counts.
    let range = before == Some('-') && at.checked_sub(2).is_some_and(|b| chars[b].c.is_ascii_digit());
    let digit = |at: usize| chars.get(at).is_some_and(|c| c.c.is_ascii_digit());
    // `.5 mm`: the nought is left out.
    let begins = (chars[at].c.is_ascii_digit() || (matches!(chars[at].c, '.' | ',') && digit(at + 1)))
        && (range
            || (parted && before.is_some_and(|b| !b.is_alphanumeric() && !matches!(b, '.' | ',')))
            || before
                .is_none_or(|b| !b.is_alphanumeric() && !matches!(b, '.' | ',' | '/' | '-' | '\u{2010}' | '\u{2011}')));
    if !begins {
        return None;
    }
    // `1 1/2` or `1-1/2`: not preceded by another figure, else it is the fraction of that one.
    let (first, mut end) = number(chars, at)?;
    let mut value = first;
    if value.1 == 1
        && !value.2
        && chars.get(end).is_some_and(|c| c.c == ' ' || DASHES.contains(&c.c))
        && let Some((fraction, after)) =
            number(chars, end + usize::from(chars.get(end + 1).is_some_and(|c| c.c == ' ')) + 1)
                .filter(|(f, after)| f.2 && f.0 < f.1 && *after > end)
    {
        value = (value.0 * fraction.1 + fraction.0, fraction.1, true);
        end = after;
    }
    while chars.get(end).is_some_and(|c| matches!(c.c, ' ' | '-' | '+')) {
        end += 1;
    }
    let (unit, length) = SPELT.iter().find_map(|(spelt, unit)| {
        let fits = spelt.chars().enumerate().all(|(k, s)| chars.get(end + k).is_some_and(|c| c.c == s));
        let length = spelt.chars().count();
        let after = chars.get(end + length).map(|c| c.c);
        let ends = !spelt.ends_with(char::is_alphabetic) || after.is_none_or(|c| !c.is_alphanumeric());
        (fits && ends).then_some((*unit, length))
    })?;
    // `1,000 g`: a comma before three figures parts thousands, but in the large units.
    let at_comma = (at..end).find(|&n| chars[n].c == ',').filter(|&n| n > at && value.1 == 1000);
    if at_comma.is_some() && [G, ML, MM].contains(&unit) {
        value = (value.0, 1, false);
    }
    let (num, den, fraction) = value;
    let base = |num: i128| (num * unit.size.0 * 2 + den * unit.size.1) / (den * unit.size.1 * 2);
    let offset = if unit == FAHRENHEIT { 32 * 5000 / 9 } else { 0 };
    Some(((base(num) - offset, base(1).max(1), unit, fraction), end + length))
}

/// A whole number, decimal or fraction: numerator, denominator, whether written as a fraction; and where it ends.
fn number(chars: &[Char], at: usize) -> Option<((i128, i128, bool), usize)> {
    let digits = |from: usize| {
        let mut end = from;
        while end < from + 9 && chars.get(end).is_some_and(|c| c.c.is_ascii_digit()) {
            end += 1;
        }
        let text: String = chars.get(from..end)?.iter().map(|c| c.c).collect();
        Some((text.parse::<i128>().ok()?, end))
    };
    let leads = chars.get(at).is_some_and(|c| matches!(c.c, '.' | ','));
    let (whole, end) = if leads { (0, at) } else { digits(at)? };
    match chars.get(end).map(|c| c.c) {
        Some('.' | ',' | '·' | '∙' | '•') => match digits(end + 1) {
            Some((part, after)) => {
                let scale = 10_i128.pow(u32::try_from(after - end - 1).ok()?);
                Some(((whole * scale + part, scale, false), after))
            }
            None => Some(((whole, 1, false), end)),
        },
        Some('/') => match digits(end + 1) {
            Some((part, after)) if part > 0 => Some(((whole, part, true), after)),
            _ => Some(((whole, 1, false), end)),
        },
        _ => Some(((whole, 1, false), end)),
    }
}

/// Figures after one among which its twin is looked for: lines of other columns may stand between.
const NEXT: usize = 40;

/// Pairs of figures that stand together and say the same in two systems: `3/16 in (5 mm)`.
pub fn pairs<'q>(rows: &[Row], all: &'q [Quantity]) -> Vec<(&'q Quantity, &'q Quantity)> {
    let mut out = Vec::new();
    for (n, first) in all.iter().enumerate() {
        let next = all[n + 1..].iter().take(NEXT).find(|second| {
            if second.row == first.row {
                return second.words.0 + 1 >= first.words.1 && near(&rows[first.row], first, second);
            }
            first.words.1 == rows[first.row].words.len()
                && second.words.0 == 0
                && below(rows, first.row).contains(&second.row)
        });
        if let Some(second) = next
            && second.unit.measures == first.unit.measures
            && second.unit.metric != first.unit.metric
        {
            out.push((first, second));
        }
    }
    out
}

/// Only a bracket, a stroke or a word such as `or` stands between them.
fn near(row: &Row, first: &Quantity, second: &Quantity) -> bool {
    let between = row.words.get(first.words.1..second.words.0).unwrap_or(&[]);
    between.iter().all(|w| w.folded.is_empty() || matches!(w.folded.as_str(), "/" | "-" | "or" | "=" | "ou" | "℮"))
}

#[cfg(test)]
mod tests {
    use super::super::rows::of_text;
    use super::{all, pairs};

    fn values(text: &str) -> Vec<(String, i128)> {
        all(&of_text(text)).into_iter().map(|q| (q.unit.word.to_owned(), q.value)).collect()
    }

    /// 1 oz = 28.349523125 g and 1 lb = 453.59237 g (international yard and pound agreement of 1959), 1 in = 25.4 mm.
    #[test]
    fn figures_are_read_in_every_form() {
        let oz = 28_349_523_125;
        assert_eq!(values("NET WT 9 OZ (255 g)"), [("oz".into(), 9 * oz), ("g".into(), 255_000_000_000)]);
        assert_eq!(values("1 lb 8 oz"), [("lb".to_owned(), 24 * oz)]);
        // 16 CFR 500.9(b)(2) has both forms: pounds and the same in ounces.
        assert_eq!(values("1.5 lb./24 oz. (680 g)").len(), 3);
        assert_eq!(values("24 oz. (1 1/2 lb.) 680 g").len(), 3);
        assert_eq!(values("8.5oz"), [("oz".to_owned(), 8 * oz + oz / 2 + 1)]);
        assert_eq!(values("1 1/2 in"), [("in".to_owned(), 914_400 * 3 / 2)]);
        assert_eq!(values("1½ in"), [("in".to_owned(), 914_400 * 3 / 2)]);
        // Mixed numbers with a hyphen, as usual in the United States; common practice, no source.
        assert_eq!(values("1-1/2 oz"), [("oz".to_owned(), oz + oz / 2 + 1)]);
        assert_eq!(values("2-1/2 in"), [("in".to_owned(), 914_400 * 5 / 2)]);
        assert_eq!(values("1-3/16 in"), [("in".to_owned(), 914_400 * 19 / 16)]);
        assert_eq!(values("1-½ in"), [("in".to_owned(), 914_400 * 3 / 2)]);
        assert_eq!(values("1/4-1/2 in"), [("in".to_owned(), 914_400 / 2)]);
        assert_eq!(values("\u{b3}\u{2044}\u{2081}\u{2086} in"), [("in".to_owned(), 171_450)]);
        assert_eq!(values("3-4 hours"), [("h".to_owned(), 4 * 3600)]);
        assert_eq!(values("3/16 inch"), [("in".to_owned(), 171_450)]);
        assert_eq!(values(".9 OZ (,255 g)"), [("oz".to_owned(), 25_514_570_813), ("g".to_owned(), 255_000_000)]);
        assert_eq!(values("1·9 g"), [("g".to_owned(), 1_900_000_000)]);
        assert_eq!(
            values("1,000 g 1,250 kg"),
            [("g".to_owned(), 10_i128.pow(12)), ("kg".to_owned(), 125 * 10_i128.pow(10))]
        );
        assert_eq!(values("2,5 cm"), [("cm".to_owned(), 900_000)]);
        assert_eq!(values("up to 4 hours"), [("h".to_owned(), 4 * 3600)]);
        assert_eq!(all(&of_text("NET WT 9 OZ/1½ in"))[1].text, "1½ in", "as printed");
        assert_eq!(values("185 °F"), [("°F".to_owned(), 85_001)]);
        assert_eq!(values("Lot 26329A4, +1 207-555-0134, 4 Saltpan Lane, ME 00000"), []);
    }

    #[test]
    fn upper_end_of_a_range_is_known_as_one() {
        let ranges = |text: &str| all(&of_text(text)).into_iter().map(|q| q.range).collect::<Vec<_>>();
        for text in ["8-9 oz", "8 to 9 oz", "8 - 9 oz", "8\u{2013}9 oz", "200-255 g", "8.5-9 oz"] {
            assert_eq!(ranges(text), [true], "{text}");
        }
        for text in ["9 oz", "1-1/2 oz", "Candle No. 5 - 9 oz", "NET WT 9 OZ", "up to 9 oz", "Lot A-9 oz"] {
            assert!(!ranges(text).contains(&true), "{text}");
        }
    }

    /// 1/4 in became 2.5 cm and 1/2 in became 50 mm on a page that was seen; right are 6.35 mm and 12.7 mm (1 in = 25.4 mm).
    #[test]
    fn pairs_agree_within_half_the_last_digit() {
        let agree = |text: &str| {
            let rows = of_text(text);
            let all = all(&rows);
            let pairs = pairs(&rows, &all);
            assert_eq!(pairs.len(), 1, "{text}");
            pairs[0].0.agrees(pairs[0].1)
        };
        for text in [
            "1/4 in (6 mm)",
            "3/16 in (5 mm)",
            "9 oz (255 g)",
            "3 15/16 in (100 mm)",
            "6.34 OZ (180 g)",
            "185 °F / 85 °C",
            "1/2 in\n(13 mm)",
            "9 oz / 255 g",
            "9 OZ/255 g",
            "NET WT 255 g/9 OZ",
            "NET WT 9 OZ - 255 g",
            "9 OZ\u{2013}255 g",
            "NET WT 9 OZ | 255 g",
            "NET WT 9 OZ \u{b7} 255 g",
            "1/4 in/6 mm",
        ] {
            assert!(agree(text), "{text}");
        }
        for text in [
            "1/4 in (2.5 cm)",
            "1/2 in (50 mm)",
            "12 oz (350 g)",
            "9 oz (225 g)",
            "165 °F (85 °C)",
            "3 in (10 cm)",
            "10 cm (3 in)",
            "7 mm (1/2 in)",
            "1 in (13 mm)",
            "70-85 degrees F (21-40 degrees C)",
        ] {
            assert!(!agree(text), "{text}");
        }
    }
}
