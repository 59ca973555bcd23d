//! The faults that are seeded: each changes a good label in one place and names the findings that would tell it.

mod figures;
mod hazard;
mod markets;
mod quantity;
mod statements;

use super::{Label, Seeded, Statement};
use waxbill::trade::Kind;

struct Sower<'a> {
    good: &'a Label,
    out: Vec<Seeded>,
}

impl Sower<'_> {
    fn sow(
        &mut self,
        fault: &'static str,
        slip: Option<u8>,
        what: impl Into<String>,
        told_by: &[&str],
        change: impl FnOnce(&mut Label),
    ) {
        let mut label = self.good.clone();
        change(&mut label);
        let told_by = told_by.iter().map(|t| (*t).to_owned()).collect();
        self.out.push(Seeded { fault, slip, what: what.into(), told_by, noted: false, label });
    }

    /// A fault of one statement, told under its own rule or one of `others`.
    fn one(
        &mut self,
        fault: &'static str,
        slip: Option<u8>,
        n: usize,
        others: &[&str],
        change: impl FnOnce(&mut Statement),
    ) {
        let s = &self.good.statements[n];
        let id = s.id.clone();
        let mut told_by = vec![id.as_str()];
        told_by.extend(others);
        let what = format!("{} ({})", s.id, s.lang);
        self.sow(fault, slip, what, &told_by, |l| change(&mut l.statements[n]));
    }

    /// The last of these faults is told by a note.
    fn noted(&mut self) {
        self.out.last_mut().unwrap().noted = true;
    }

    /// A further sentence on the back.
    fn added(&mut self, fault: &'static str, slip: Option<u8>, text: &str, told_by: &[&str]) {
        self.sow(fault, slip, text, told_by, |l| {
            let mut s = l.statements.iter().rfind(|s| !s.front).unwrap().clone();
            s.text = text.to_owned();
            s.id = "added".to_owned();
            s.alert = false;
            l.statements.push(s);
        });
    }
}

/// Two letters in the middle of the longest word change places; `None` for short words.
fn misspelt(text: &str) -> Option<String> {
    let plain = |w: &&str| w.chars().all(char::is_alphabetic);
    let word = text
        .split([' ', '\u{a0}'])
        .map(|w| w.trim_matches(['.', ',', ';', ':']))
        .filter(plain)
        .max_by_key(|w| w.chars().count())?;
    let letters: Vec<char> = word.chars().collect();
    let at = (1..letters.len().checked_sub(1)?).find(|&n| letters[n] != letters[n + 1])?;
    if letters.len() < 5 {
        return None;
    }
    let mut swapped = letters.clone();
    swapped.swap(at, at + 1);
    Some(text.replacen(word, &swapped.into_iter().collect::<String>(), 1))
}

/// The last figure of the last number becomes another one.
fn other_figure(text: &str) -> Option<String> {
    let at = text.rfind(|c: char| c.is_ascii_digit())?;
    let digit = text.as_bytes()[at] - b'0';
    let mut out = text.to_owned();
    out.replace_range(at..=at, &((digit + 3) % 10).to_string());
    Some(out)
}

/// The middle word goes; `None` where there are fewer than three.
fn without_a_word(text: &str) -> Option<String> {
    let words: Vec<&str> = text.split(' ').collect();
    let middle = words.len() / 2;
    let out: Vec<&str> = words.iter().enumerate().filter(|(n, _)| *n != middle).map(|(_, w)| *w).collect();
    (words.len() >= 3 && words[middle] != "NET\u{a0}WT" && words[middle].chars().any(char::is_alphanumeric))
        .then(|| out.join(" "))
}

/// Ids that tell a wrong figure, wherever it stands.
const FIGURES: &[&str] = &["label/pair", "practice/figures-as-tested"];

/// Ids that tell a wrong figure of the net quantity.
const QUANTITY: &[&str] = &["us/net-quantity-overstated", "us/net-quantity-conversion"];

/// Every fault for one good label.
pub fn all(good: &Label, kind: Kind) -> Vec<Seeded> {
    let mut sower = Sower { good, out: Vec::new() };
    statements::of_statements(&mut sower);
    statements::of_copies(&mut sower);
    quantity::of_quantity(&mut sower);
    figures::of_figures(&mut sower);
    figures::of_claims(&mut sower);
    figures::of_codes(&mut sower);
    hazard::of_pictures(&mut sower);
    hazard::of_names(&mut sower);
    hazard::of_words(&mut sower);
    markets::of_missing_languages(&mut sower);
    markets::of_kind(&mut sower, kind);
    markets::of_languages(&mut sower);
    sower.out
}
