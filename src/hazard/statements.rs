//! Hazard, supplemental and precautionary statements and the signal words, in the languages of the law.
//!
//! Part of `hazard`. The texts stand in `rules/hazard`, with source and licence in its README; they are built in as they are
//! and looked through only when a statement is asked for. Languages go by ISO 639-1 codes.

use crate::trade::{Evidence, words};
use std::sync::OnceLock;

/// Every language with statements.
pub const LANGUAGES: [&str; 24] = [
    "bg", "cs", "da", "de", "el", "en", "es", "et", "fi", "fr", "ga", "hr", "hu", "it", "lt", "lv", "mt", "nl", "pl",
    "pt", "ro", "sk", "sl", "sv",
];

/// Credit that goes wherever the texts are passed on as a set (CC BY 4.0).
pub const CREDIT: &str = "Hazard and precautionary statements: © European Union, https://eur-lex.europa.eu, 1998-2025, \
    CC BY 4.0; © hpstatements contributors, https://github.com/mhchem/hpstatements, CC BY 4.0; put into one table.";

words! {
    /// How severe the label says the hazard is (Article 20). Never mapped across markets by its English.
    Signal {
        /// The less severe.
        Warning = "Warning",
        /// The more severe.
        Danger = "Danger",
    }
}

/// Why a statement cannot be printed as it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gap {
    /// No such code.
    NoCode,
    /// The code has no text in this language, or there is no such language.
    NoText,
    /// A place in the text is left to the supplier.
    Blank,
}

/// The text of a code exactly as in the law, places left to the supplier included.
///
/// ```
/// use waxbill::hazard::statements::statement;
/// assert_eq!(statement("H317", "fr"), Some("Peut provoquer une allergie cutanée."));
/// assert_eq!(statement("P302+P352", "en"), Some("IF ON SKIN: Wash with plenty of water/…"));
/// assert_eq!(statement("EUH380", "ga"), None);
/// ```
#[must_use]
pub fn statement(code: &str, lang: &str) -> Option<&'static str> {
    let column = LANGUAGES.iter().position(|l| *l == lang)?;
    let rest = row(code)?;
    Fields(rest).nth(column).filter(|text| !text.is_empty())
}

/// Every code, in the order of the alphabet.
pub fn codes() -> impl Iterator<Item = &'static str> {
    rows().iter().map(|(code, _)| *code)
}

/// The signal word, with how it is known; none in Irish.
///
/// ```
/// use waxbill::hazard::statements::{Signal, signal};
/// assert_eq!(signal(Signal::Warning, "fr").unwrap().0, "Attention");
/// assert!(signal(Signal::Danger, "ga").is_none());
/// ```
#[must_use]
pub fn signal(signal: Signal, lang: &str) -> Option<(&'static str, Evidence)> {
    let line = include_str!("../../rules/hazard/signal-words.csv")
        .lines()
        .skip(1)
        .find(|l| l.split(',').next() == Some(lang))?;
    let mut fields = line.split(',').skip(1);
    let (danger, warning) = (fields.next()?, fields.next()?);
    let seen = Evidence::from_word(fields.next()?)?;
    Some((if signal == Signal::Danger { danger } else { warning }, seen))
}

/// The words to print. `names` fills EUH208. What is left to the supplier is filled by, in this order:
/// the maker's own words (`fill`: code, language, whole text), this program's choice for English and French, and leaving
/// out what the law leaves optional (routes of exposure, `/…`). A part after `/` stands for a variant: `P280/skin`.
///
/// # Errors
/// A [`Gap`]: nothing is ever printed in another language instead, nor with a place left open.
///
/// ```
/// use waxbill::hazard::statements::{Gap, printed};
/// assert_eq!(printed("P302+P352", "en", "", &[]).unwrap(), "IF ON SKIN: Wash with plenty of water.");
/// assert_eq!(printed("EUH208", "nl", "linalool", &[]).unwrap(), "Bevat linalool. Kan een allergische reactie veroorzaken.");
/// assert_eq!(printed("P501", "sv", "", &[]), Err(Gap::Blank));
/// ```
pub fn printed(code: &str, lang: &str, names: &str, fill: &[(&str, &str, &str)]) -> Result<String, Gap> {
    let plain = code.split('/').next().unwrap_or(code);
    row(plain).ok_or(Gap::NoCode)?;
    let own = |wanted: &str| fill.iter().find(|(c, l, _)| *c == wanted && *l == lang).map(|(.., text)| *text);
    if let Some(text) = own(code).or_else(|| own(plain)).or_else(|| filled(code, lang)).or_else(|| filled(plain, lang))
    {
        return Ok(text.to_owned());
    }
    let law = statement(plain, lang).ok_or(Gap::NoText)?;
    let text = if plain == "EUH208" { named(law, names) } else { without_instructions(law) }.ok_or(Gap::Blank)?;
    let text = without_options(&text);
    if text.contains(['…', '<', '>', '[', ']']) || text.contains("..") {
        return Err(Gap::Blank);
    }
    Ok(text)
}

fn filled(code: &str, lang: &str) -> Option<&'static str> {
    let lines = include_str!("../../rules/hazard/filled.csv").lines().skip(1);
    lines
        .filter_map(|line| line.split_once(',')?.1.split_once(',').map(|(l, text)| (line, l, text)))
        .find_map(|(line, l, text)| (l == lang && line.split(',').next() == Some(code)).then_some(text))
}

/// The row of a code: everything after its first comma.
fn row(code: &str) -> Option<&'static str> {
    let rows = rows();
    rows.binary_search_by_key(&code, |(c, _)| c).ok().map(|at| rows[at].1)
}

/// Code and rest of each line, sorted; made at the first question.
fn rows() -> &'static [(&'static str, &'static str)] {
    static ROWS: OnceLock<Vec<(&str, &str)>> = OnceLock::new();
    ROWS.get_or_init(|| {
        let lines = include_str!("../../rules/hazard/statements.csv").lines().skip(1);
        let mut rows: Vec<_> = lines.filter_map(|line| line.split_once(',')).collect();
        rows.sort_unstable();
        rows
    })
}

/// Fields of a line; a field with a comma stands in quotes, and no text of the table holds a quote itself.
struct Fields(&'static str);

impl Iterator for Fields {
    type Item = &'static str;

    fn next(&mut self) -> Option<&'static str> {
        if self.0.is_empty() {
            return None;
        }
        let (field, rest) = match self.0.strip_prefix('"') {
            Some(quoted) => {
                let (field, rest) = quoted.split_once('"').unwrap_or((quoted, ""));
                (field, rest.strip_prefix(',').unwrap_or_default())
            }
            None => self.0.split_once(',').unwrap_or((self.0, "")),
        };
        self.0 = rest;
        Some(field)
    }
}

/// `Contains <…>. May …` with the names in the place.
fn named(law: &str, names: &str) -> Option<String> {
    let (before, rest) = law.split_once('<')?;
    let (_, after) = rest.split_once('>')?;
    (!names.trim().is_empty()).then(|| format!("{before}{}{after}", names.trim()))
}

/// Without the places in angle brackets, which are printed only where organ, effect or route is known and proven.
fn without_instructions(law: &str) -> Option<String> {
    let mut out = String::new();
    let mut rest = law;
    while let Some((before, after)) = rest.split_once('<') {
        let (inside, after) = after.split_once('>')?;
        if inside.contains('<') || before.contains('>') {
            return None;
        }
        out += before;
        // One blank where two would meet, none before a full stop or comma.
        while out.ends_with(' ') && !after.starts_with(char::is_alphabetic) {
            out.pop();
        }
        rest = after;
        if !out.is_empty() && !out.ends_with(' ') && rest.starts_with(char::is_alphabetic) {
            out.push(' ');
        }
    }
    out += rest;
    let mut out = out.trim().to_owned();
    if law.contains('<') && !out.ends_with('.') {
        out.push('.');
    }
    Some(out)
}

/// Without ` /…`, which stands for other emergency services or cleaning agents than those named, and without optional
/// parts in square brackets.
fn without_options(text: &str) -> String {
    let mut out = text.to_owned();
    while let (Some(open), Some(close)) = (out.find('['), out.find(']')) {
        if close < open {
            break;
        }
        out.replace_range(open..=close, "");
        if open == 0 {
            // What followed now begins the sentence.
            let mut rest = out.trim_start_matches([' ', ',']).chars();
            out = rest.next().into_iter().flat_map(char::to_uppercase).chain(rest).collect();
        }
    }
    for open in ["…", ".."] {
        while let Some(at) = out.find(open) {
            let before = out[..at].trim_end();
            // Italian and Swedish print `medico…` for `medico/…` here and there.
            let Some(before) = before.strip_suffix('/').or_else(|| {
                let service = ["un medico", "läkare", "arstiga", "un medic"].iter().any(|w| before.ends_with(w));
                service.then_some(before)
            }) else {
                return out;
            };
            let after = out[at + open.len()..].trim_start_matches(['.', '/', ' ']).to_owned();
            let stop = if after.is_empty() {
                "."
            } else if after.starts_with(',') {
                ""
            } else {
                " "
            };
            out = format!("{}{stop}{after}", before.trim_end());
        }
    }
    let mut tidy = String::with_capacity(out.len());
    for c in out.trim().chars() {
        if matches!(c, '.' | ',') && tidy.ends_with(' ') {
            tidy.pop();
        }
        if !(c == ' ' && tidy.ends_with(' ')) {
            tidy.push(c);
        }
    }
    tidy
}

#[cfg(test)]
mod tests {
    use super::{CREDIT, Gap, LANGUAGES, Signal, codes, printed, signal, statement};
    use crate::trade::Evidence;

    #[test]
    fn every_code_has_a_text_in_every_language_but_those_irish_lacks() {
        let mut missing = Vec::new();
        for code in codes() {
            for lang in LANGUAGES {
                if statement(code, lang).is_none() {
                    assert_eq!(lang, "ga", "{code}");
                    missing.push(code);
                }
            }
        }
        assert_eq!(codes().count(), 214);
        assert_eq!(missing.len(), 17, "{missing:?}");
        assert_eq!(statement("H317", "tlh"), None);
        assert_eq!(statement("H999", "en"), None);
    }

    #[test]
    fn words_of_the_law_are_found_in_the_right_column() {
        // Regulation (EC) 1272/2008, Annexes III and IV, as quoted in the open data set; commas and quotes on the way.
        assert_eq!(statement("H410", "en"), Some("Very toxic to aquatic life with long lasting effects."));
        assert_eq!(statement("H410", "sv"), Some("Mycket giftigt för vattenlevande organismer med långtidseffekter."));
        assert_eq!(statement("H300+H310", "en"), Some("Fatal if swallowed or in contact with skin"));
        assert_eq!(statement("P102", "de"), Some("Darf nicht in die Hände von Kindern gelangen."));
        assert_eq!(statement("P312", "el").unwrap().matches(',').count(), 1);
    }

    #[test]
    fn optional_places_are_left_out_in_every_language() {
        for lang in LANGUAGES {
            for code in [
                "P310",
                "P311",
                "P312",
                "P301+P310",
                "P301+P312",
                "P302+P352",
                "P342+P311",
                "P308+P311",
                "H341",
                "H350",
            ] {
                let text = printed(code, lang, "", &[]).unwrap_or_else(|gap| panic!("{code} {lang}: {gap:?}"));
                assert!(
                    text.ends_with('.') && !text.contains("  ") && !text.contains(" .") && !text.contains("/."),
                    "{text}"
                );
                assert!(!text.contains("/ ") || statement(code, lang).unwrap().contains("/ "), "{lang}: {text}");
            }
            let names = printed("EUH208", lang, "linalool, citral", &[]).unwrap();
            assert!(names.contains("linalool, citral") && !names.contains('<'), "{names}");
            assert_eq!(printed("EUH208", lang, " ", &[]), Err(Gap::Blank));
        }
        assert_eq!(printed("P310", "de", "", &[]).unwrap(), "Sofort GIFTINFORMATIONSZENTRUM/Arzt anrufen.");
        assert_eq!(
            printed("P312", "fr", "", &[]).unwrap(),
            "Appeler un CENTRE ANTIPOISON/un médecin en cas de malaise."
        );
        assert_eq!(
            printed("H373", "en", "", &[]).unwrap(),
            "May cause damage to organs through prolonged or repeated exposure."
        );
        assert_eq!(
            printed("H373", "lt", "", &[]).unwrap(),
            "Gali pakenkti organams, jeigu medžiaga veikia ilgai arba kartotinai."
        );
        // The data set's Hungarian text lacks a bracket: better open than wrong.
        assert_eq!(printed("H373", "hu", "", &[]), Err(Gap::Blank));
        assert_eq!(printed("P284", "sv", "", &[]).unwrap(), "Använd andningsskydd.");
        assert_eq!(printed("P353", "en", "", &[]).unwrap(), "Rinse skin with water.");
    }

    #[test]
    fn what_the_supplier_fills_is_never_printed_open() {
        for lang in LANGUAGES {
            for code in codes() {
                if let Ok(text) = printed(code, lang, "geraniol", &[]) {
                    assert!(
                        !text.contains(['…', '<', '>', '[', ']', '"']) && text == text.trim(),
                        "{code} {lang}: {text}"
                    );
                }
            }
            let open = printed("P501", lang, "", &[]);
            assert_eq!(open.is_ok(), lang == "en" || lang == "fr", "{lang}: {open:?}");
        }
        let fill = [("P501", "sv", "Innehållet lämnas på återvinningscentralen.")];
        assert_eq!(printed("P501", "sv", "", &fill).unwrap(), fill[0].2);
        assert_eq!(printed("P280/skin", "en", "", &[]).unwrap(), "Wear protective gloves.");
        assert_eq!(printed("P280/skin", "de", "", &[]).unwrap(), statement("P280", "de").unwrap());
        assert_eq!(printed("P999", "de", "", &[]), Err(Gap::NoCode));
        assert_eq!(printed("EUH380", "ga", "", &[]), Err(Gap::NoText));
    }

    #[test]
    fn signal_words_tell_how_they_are_known() {
        assert_eq!(signal(Signal::Danger, "en"), Some(("Danger", Evidence::Law)));
        assert_eq!(signal(Signal::Warning, "de"), Some(("Achtung", Evidence::Memory)));
        assert_eq!(LANGUAGES.iter().filter(|l| signal(Signal::Warning, l).is_none()).collect::<Vec<_>>(), [&"ga"]);
        assert!(
            include_str!("../../rules/hazard/README.md").contains("CC BY 4.0") && CREDIT.contains("European Union")
        );
    }
}
