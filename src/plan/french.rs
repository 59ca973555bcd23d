//! French words as French is set: spaces that hold before high punctuation, apostrophes. Part of `plan`.
//!
//! The law's own words are kept; only what surrounds them is set as a French printer sets it (Lexique des règles typographiques
//! en usage à l'Imprimerie nationale, from memory). In Canada `;`, `!` and `?` follow their word (from memory).

use crate::trade::Market;

const HOLDS: char = '\u{a0}';

/// A sentence or notice; not for addresses and codes, whose colons are their own.
#[must_use]
pub fn set(text: &str, market: Market) -> String {
    let canada = matches!(market, Market::Ca | Market::CaQc);
    let high: &[char] = if canada { &[':', '»'] } else { &[':', ';', '!', '?', '»'] };
    let letters: Vec<char> = text.chars().collect();
    let mut done = String::with_capacity(text.len() + 8);
    for (n, c) in letters.iter().enumerate() {
        let before = n.checked_sub(1).and_then(|n| letters.get(n)).copied();
        let after = letters.get(n + 1).copied();
        let ends = after.is_none_or(char::is_whitespace);
        let spaced = before.is_some_and(|b| matches!(b, ' ' | HOLDS | '\u{202f}'));
        if high.contains(c) && (ends || *c == '»') && before.is_some_and(|b| !high.contains(&b)) {
            if spaced {
                let _ = done.pop();
            }
            done.push(HOLDS);
        }
        match c {
            '\'' if before.is_some_and(char::is_alphabetic) && after.is_some_and(char::is_alphabetic) => done.push('’'),
            ' ' if before == Some('«') => done.push(HOLDS),
            '«' if after.is_some_and(|a| !a.is_whitespace()) => done.extend(['«', HOLDS]),
            c => done.push(*c),
        }
    }
    done
}

#[cfg(test)]
mod tests {
    use super::set;
    use crate::trade::Market;

    #[test]
    fn french_gets_its_spaces_and_apostrophes_once() {
        for (from, to) in [
            ("SI IRRITATION: consulter", "SI IRRITATION\u{a0}: consulter"),
            ("Attention : chaud", "Attention\u{a0}: chaud"),
            ("Attention\u{a0}: chaud", "Attention\u{a0}: chaud"),
            ("«chaud»", "«\u{a0}chaud\u{a0}»"),
            ("« chaud »", "«\u{a0}chaud\u{a0}»"),
            ("d'eau; l'huile", "d’eau\u{a0}; l’huile"),
            ("https://quillmere.example et 12:30", "https://quillmere.example et 12:30"),
            ("", ""),
        ] {
            assert_eq!(set(from, Market::Eu), to);
            assert_eq!(set(to, Market::Eu), to);
        }
        assert_eq!(set("Chaud! Ici: eau", Market::Ca), "Chaud! Ici\u{a0}: eau");
    }
}
