//! Where a line may end: Unicode Standard Annex #14, less what belongs together on a label. Part of `page`.

use std::collections::BTreeSet;
use unicode_linebreak::linebreaks;
use unicode_segmentation::UnicodeSegmentation;

/// A place where a line may end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Opportunity {
    /// Byte at which the next line would begin.
    pub next: usize,
    /// At a space. The others, inside a word, are taken only where the whole word is wider than its line, so that a
    /// statement can be found unbroken.
    pub at_space: bool,
}

/// Spaces that vanish at the end of a line; the no-break spaces are none.
pub(super) const fn is_space(c: char) -> bool {
    matches!(c, ' ' | '\u{2009}')
}

/// Units and words that stay with the figure before them.
const UNITS: &[&str] = &[
    "in", "inch", "inches", "ft", "mm", "cm", "m", "mg", "g", "kg", "oz", "ozs", "fl", "lb", "lbs", "ounce", "ounces",
    "pound", "pounds", "ml", "l", "s", "min", "minute", "minutes", "h", "hr", "hrs", "hour", "hours", "heure",
    "heures", "day", "days", "jours", "po", "pouce", "pouces", "c", "f", "°c", "°f", "°", "%", "‰", "/",
];
/// Words that stay with the figure after them.
const BEFORE_FIGURES: &[&str] = &["lot", "no", "no.", "n°", "№", "art.", "h", "p"];
const DASHES: &[&str] = &["-", "–", "×", "x", "/", "±", "~"];

/// All places where a line of `text` may end, in order, its end not among them.
pub(super) fn opportunities(text: &str) -> Vec<Opportunity> {
    let graphemes: BTreeSet<usize> = text.grapheme_indices(true).map(|(i, _)| i).collect();
    linebreaks(text)
        .map(|(next, _)| next)
        .filter(|next| *next < text.len() && graphemes.contains(next))
        .filter_map(|next| {
            let (before, right) = (&text[..next], &text[next..]);
            let left = before.trim_end_matches(is_space);
            let at_space = left.len() < before.len();
            let apart = if at_space { may_part(left, right) } else { may_part_word(left, right) };
            apart.then_some(Opportunity { next, at_space })
        })
        .collect()
}

/// Whether a line may end at the space between the two.
fn may_part(left: &str, right: &str) -> bool {
    let last = left.rsplit(|c: char| is_space(c) || c == '\u{a0}' || c == '(').next().unwrap_or("");
    let first = right.split(|c: char| is_space(c) || c == '\u{a0}').next().unwrap_or("");
    let bare = first.trim_end_matches(['.', ',', ';', ':', ')', '!', '?', '*', '†']).to_lowercase();
    let figure_left = last.chars().next_back().is_some_and(is_figure);
    let figure_right = first.chars().next().is_some_and(is_figure);
    let loose_mark = first.starts_with(['»', ':', ';', '!', '?', '%']) || left.ends_with('«');
    let unit = figure_left && (UNITS.contains(&bare.as_str()) || DASHES.contains(&first) || figure_right);
    // The number of a house stays with its street: `Quillmere, 4 Saltpan Lane` (common practice, no source).
    let house = !last.is_empty()
        && last.chars().all(|c| c.is_ascii_digit())
        && left[..left.len() - last.len()].trim_end_matches(is_space).ends_with(',')
        && first.chars().next().is_some_and(char::is_uppercase);
    let counted = figure_right && (DASHES.contains(&last) || BEFORE_FIGURES.contains(&last.to_lowercase().as_str()));
    !(loose_mark || unit || counted || house)
}

/// Whether a line may end inside a word: after a hyphen, dash or slash between words of three letters and more, never in a
/// figure or a chemical name such as `p-mentha-1,8-diene`.
fn may_part_word(left: &str, right: &str) -> bool {
    const JOINTS: [char; 4] = ['-', '–', '/', '\u{2010}'];
    let (Some(last), Some(first)) = (left.chars().next_back(), right.chars().next()) else { return false };
    if JOINTS.contains(&last) {
        let ends = |c: char| JOINTS.contains(&c) || c.is_whitespace();
        let word = |w: &str| {
            let w = w.trim_matches(['.', ',', ';', ':', ')', '(']);
            w.chars().count() >= 3 && w.chars().all(|c| c.is_alphabetic() || c == '.' || c == '\'' || c == '’')
        };
        let before = left[..left.len() - last.len_utf8()].rsplit(ends).next().unwrap_or("");
        return word(before) && word(right.split(ends).next().unwrap_or(""));
    }
    !is_figure(last) && !is_figure(first)
}

fn is_figure(c: char) -> bool {
    c.is_ascii_digit() || matches!(c, '½' | '¼' | '¾' | '⅓' | '⅔' | '⅛'..='⅞')
}

#[cfg(test)]
mod tests {
    use super::{Opportunity, opportunities};

    fn pieces(text: &str, inside_words: bool) -> Vec<&str> {
        let mut from = 0;
        let mut pieces = Vec::new();
        for Opportunity { next, at_space } in opportunities(text) {
            if at_space || inside_words {
                pieces.push(&text[from..next]);
                from = next;
            }
        }
        pieces.push(&text[from..]);
        pieces
    }

    /// Unicode Standard Annex #14, LB18 (break after spaces), LB7 (not before), LB12 (no-break space glues), LB13 (not before
    /// closing marks), LB14 (not after opening ones).
    #[test]
    fn lines_end_at_spaces_as_annex_14_says() {
        assert_eq!(pieces("Burn within sight.", false), ["Burn ", "within ", "sight."]);
        assert_eq!(pieces("trim to 1/4\u{a0}in first", false), ["trim ", "to ", "1/4\u{a0}in ", "first"]);
        assert_eq!(pieces("keep (see lid) away", false), ["keep ", "(see ", "lid) ", "away"]);
        assert_eq!(pieces("Bougie parfumée\u{a0}: attention", false), ["Bougie ", "parfumée\u{a0}: ", "attention"]);
    }

    /// Unicode Standard Annex #14, LB21 and LB25 alone would part these after hyphen, dash or slash; a label must not.
    #[test]
    fn figures_and_chemical_names_stay_whole() {
        for whole in ["40–60", "1/4", "g/7.8", "(R)-p-mentha-1,8-diene", "a-isométhyl", "l’huile", "207-555-0134"]
        {
            assert_eq!(pieces(whole, true), [whole]);
        }
        assert_eq!(pieces("heat-resistant", true), ["heat-", "resistant"]);
        assert_eq!(pieces("heat-resistant", false), ["heat-resistant"]);
    }

    #[test]
    fn figure_and_unit_stay_together_with_plain_spaces_too() {
        for whole in [
            "1/4 in",
            "4 h",
            "13 mm.",
            "9 OZ",
            "½ in",
            "165 °F",
            "Lot 26329A4",
            "40 – 60",
            "1 1/2 lb",
            "« Attention » :",
        ] {
            assert_eq!(pieces(whole, true), [whole], "{whole}");
        }
        assert_eq!(pieces("NET WT 9 OZ (255 g)", false), ["NET ", "WT ", "9 OZ ", "(255 g)"]);
        assert_eq!(pieces("9 candles", false), ["9 ", "candles"]);
    }

    /// Unicode Standard Annex #29: no break inside a grapheme cluster.
    #[test]
    fn a_letter_keeps_its_accent() {
        assert_eq!(pieces("e\u{301}te\u{301} chaud", true), ["e\u{301}te\u{301} ", "chaud"]);
    }
}
