//! Makes texts alike that mean the same on paper: case, quotes, ligatures, accents in two pieces. First step of `review`.

/// Letters that stand for others, after lower case.
const SPELT: &[(char, &str)] = &[
    ('ß', "ss"),
    ('æ', "ae"),
    ('œ', "oe"),
    ('ﬀ', "ff"),
    ('ﬁ', "fi"),
    ('ﬂ', "fl"),
    ('ﬃ', "ffi"),
    ('ﬄ', "ffl"),
    ('ﬅ', "st"),
    ('ﬆ', "st"),
    ('⁄', "/"),
    ('−', "-"),
    ('‐', "-"),
    ('‑', "-"),
    ('µ', "μ"),
    ('½', "1/2"),
    ('¼', "1/4"),
    ('¾', "3/4"),
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
];

/// A mark that follows its letter, the letters it may follow, and what they make together.
const ACCENTS: &[(char, &str, &str)] = &[
    ('\u{300}', "aeiou", "àèìòù"),
    ('\u{301}', "aeiouycnszlr", "áéíóúýćńśźĺŕ"),
    ('\u{302}', "aeiou", "âêîôû"),
    ('\u{303}', "ano", "ãñõ"),
    ('\u{304}', "aeiou", "āēīōū"),
    ('\u{306}', "ag", "ăğ"),
    ('\u{307}', "ceg z", "ċėġ ż"),
    ('\u{308}', "aeiouy", "äëïöüÿ"),
    ('\u{30A}', "au", "åů"),
    ('\u{30B}', "ou", "őű"),
    ('\u{30C}', "cdenrstzl", "čďěňřšťžľ"),
    ('\u{326}', "st", "șț"),
    ('\u{327}', "cstklnrg", "çşţķļņŗģ"),
    ('\u{328}', "aeiu", "ąęįų"),
];

/// Raised and lowered figures, as fractions are set with, on the line.
pub fn plain_digit(c: char) -> char {
    let digit = |n: u32| char::from_digit(n, 10).unwrap_or(c);
    match c {
        '\u{b9}' => '1',
        '\u{b2}' | '\u{b3}' => digit(u32::from(c) - 0xb0),
        '\u{2070}' | '\u{2074}'..='\u{2079}' => digit(u32::from(c) - 0x2070),
        '\u{2080}'..='\u{2089}' => digit(u32::from(c) - 0x2080),
        c => c,
    }
}

/// Points, quotes, brackets, bullets and dashes: how a sentence is pointed is no matter of its words.
fn is_point(c: char) -> bool {
    matches!(
        c,
        '.' | ','
            | ';'
            | ':'
            | '!'
            | '?'
            | '('
            | ')'
            | '['
            | ']'
            | '"'
            | '\''
            | '`'
            | '´'
            | '«'
            | '»'
            | '“'
            | '”'
            | '„'
            | '‟'
            | '‘'
            | '’'
            | '‚'
            | '‹'
            | '›'
            | '•'
            | '·'
            | '∙'
            | '●'
            | '▪'
            | '■'
            | '*'
            | '–'
            | '—'
            | '|'
    )
}

/// Characters of one word, each with the number it was given (a glyph), folded. A point or comma stays between figures, and
/// before the first of them: `.9` is no 9.
pub fn word(chars: &[(char, usize)]) -> Vec<(char, usize)> {
    let mut out: Vec<(char, usize)> = Vec::with_capacity(chars.len());
    for (at, &(c, n)) in chars.iter().enumerate() {
        if let Some((_, letters, made)) = ACCENTS.iter().find(|(mark, ..)| *mark == c) {
            if let Some((last, _)) = out.last_mut()
                && let Some(both) = letters.chars().zip(made.chars()).find(|(l, _)| l == last)
            {
                *last = both.1;
            }
            continue;
        }
        let digit = |at: Option<usize>| at.and_then(|a| chars.get(a)).is_some_and(|(c, _)| c.is_ascii_digit());
        let leads = matches!(c, '.' | ',') && at.checked_sub(1).is_none_or(|b| is_point(chars[b].0));
        let between = matches!(c, '.' | ',' | '·' | '∙' | '•') && digit(at.checked_sub(1));
        let in_number = (leads || between) && digit(Some(at + 1));
        if is_point(c) && !in_number {
            continue;
        }
        for lower in plain_digit(c).to_lowercase() {
            match SPELT.iter().find(|(from, _)| *from == lower) {
                Some((_, text)) => out.extend(text.chars().map(|c| (c, n))),
                None => out.push((lower, n)),
            }
        }
    }
    out
}

/// A text as folded words.
pub fn words(text: &str) -> Vec<String> {
    let plain: Vec<(char, usize)> = text.chars().filter_map(crate::inspect::plain).map(|c| (c, 0)).collect();
    plain
        .split(|(c, _)| *c == ' ')
        .map(|w| word(w).into_iter().map(|(c, _)| c).collect::<String>())
        .filter(|w| !w.is_empty())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::words;

    #[test]
    fn what_looks_the_same_on_paper_folds_to_the_same() {
        for (a, b) in [
            ("Bougie parfum\u{e9}e", "BOUGIE PARFUME\u{301}E"),
            ("the wax\u{2019}s sheet", "The wax's sheet."),
            ("e\u{fb03}cient", "efficient"),
            ("heat\u{2010}safe", "heat-safe"),
            ("3/16\u{a0}in\u{202f}(5\u{a0}mm)", "3/16 in (5 mm)"),
            ("\u{bd} in", "1/2 in"),
            ("\u{b3}\u{2044}\u{2081}\u{2086} in", "3/16 in"),
            ("Gro\u{df}", "GROSS"),
        ] {
            assert_eq!(words(a), words(b));
        }
        assert_eq!(words("1.5 oz, 2,5 g."), ["1.5", "oz", "2,5", "g"]);
        assert_ne!(words("parfum\u{e9}e"), words("parfumee"));
        assert_eq!(words("(.255 g) 1·9 oz. ...no.9"), [".255", "g", "1·9", "oz", "no9"]);
    }
}
