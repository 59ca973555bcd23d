//! Faults of one statement: its words, its letters, its place.

use super::{FIGURES, QUANTITY, Sower, misspelt, other_figure, without_a_word};
use waxbill::trade::Lang;

pub fn of_statements(sower: &mut Sower<'_>) {
    for n in 0..sower.good.statements.len() {
        let s = sower.good.statements[n].clone();
        let id = s.id.clone();
        let net = s.foot;
        let slip = match s.key.as_str() {
            "lot" | "batch" => Some(11),
            "ufi" | "phone" => Some(30),
            "postal address" | "maker address" | "maker name" | "electronic address" | "responsible person" => Some(12),
            "supplemental statements" => Some(9),
            "hazard names" => Some(8),
            _ => None,
        };
        sower.sow("statement removed", slip, format!("{id} ({})", s.lang), &[&id], |l| {
            l.statements.remove(n);
        });
        if let Some(text) = without_a_word(&s.text) {
            let told = if net { FIGURES } else { &[] };
            sower.one("word removed", None, n, told, |s| s.text = text);
        }
        if let Some(text) = misspelt(&s.text) {
            sower.one("word misspelt", None, n, &[], |s| s.text = text);
        }
        if let Some(text) = other_figure(&s.text) {
            let mut told = FIGURES.to_vec();
            match s.key.as_str() {
                "lot" | "batch" => told.push("policy/lot-code-check"),
                "burn at most" | "burn time" => told.push("practice/burn-claim-evidence"),
                _ if net => told.extend(QUANTITY),
                _ => {}
            }
            sower.one("figure changed", None, n, &told, |s| s.text = text);
        }
        if s.text.split(' ').count() >= 4 && !net {
            let words: Vec<String> = s.text.split(' ').map(str::to_owned).collect();
            let (first, second) = words.split_at(words.len() / 2);
            let rule = id.split('#').next().unwrap_or(&id).to_owned();
            sower.sow("sentence split over two parts", None, format!("{id} ({})", s.lang), &[&id, &rule], |l| {
                let mut rest = l.statements[n].clone();
                l.statements[n].text = first.join(" ");
                rest.text = second.join(" ");
                rest.front = !rest.front;
                rest.alert = false;
                l.statements.push(rest);
            });
        }
        if let Some((count, rest)) =
            s.text.split_once('\u{a0}').filter(|(c, _)| net && s.key.contains("count") && c.parse::<u32>().is_ok())
        {
            let (rest, date) = (rest.to_owned(), format!("Poured {count} May 2026"));
            sower.sow("number of pieces only in the date", None, format!("{id} ({})", s.lang), &[&id], |l| {
                let mut dated = l.statements[n].clone();
                (dated.text, dated.id, dated.key, dated.front, dated.foot) =
                    (date, "added".to_owned(), "added".to_owned(), false, false);
                l.statements[n].text = rest;
                l.statements.push(dated);
            });
        }
        let by_height = if s.measured { vec![] } else { vec!["policy/text-height"] };
        sower.one("type too small", Some(14), n, &by_height, |s| {
            // Without lower-case letters the capitals are measured, which are larger.
            s.em *= if s.text.chars().any(char::is_lowercase) { 0.7 } else { 0.5 };
        });
        sower.one("white letters", Some(14), n, &[], |s| s.rgb = [1.0; 3]);
        sower.one("pale letters", Some(14), n, &[], |s| s.rgb = [0.75; 3]);
        sower.one("letters not painted", Some(14), n, &[], |s| s.unpainted = true);
        sower.one("over the edge", None, n, &["label/over-the-edge"], |s| s.shift = [-24.0, 0.0]);
        sower.one("bar over the letters", None, n, &["label/overlap"], |s| s.struck = true);
        sower.one("slanted words over a statement", None, n, &["label/overlap"], |s| s.crossed = true);
        if n % 4 == 0 {
            sower.one("white line over a statement", None, n, &["label/overlap"], |s| s.whited = true);
        }
        let asks = ["Keep ", "Trim ", "Burn ", "Place ", "Read "].iter().any(|w| s.text.starts_with(w));
        if s.lang == Lang::En && asks {
            let mut text = s.text.clone();
            text.replace_range(..1, &text[..1].to_lowercase());
            sower.one("`Do not` before a statement", None, n, &[], |s| s.text = format!("Do not {text}"));
        }
        if s.bold {
            sower.one("regular instead of bold", Some(14), n, &[], |s| s.bold = false);
        }
        if s.foot {
            sower.one("squeezed letters", Some(14), n, &["label/squeezed"], |s| s.stretch = 35.0);
        }
    }
}

/// A second copy of a statement, which says something else.
pub fn of_copies(sower: &mut Sower<'_>) {
    for n in 0..sower.good.statements.len() {
        let s = sower.good.statements[n].clone();
        let what = format!("{} ({})", s.id, s.lang);
        let mut copied = |fault, text: Option<String>, told: &[&str]| {
            let Some(text) = text else { return };
            let mut told_by = vec![s.id.as_str()];
            told_by.extend(told);
            sower.sow(fault, None, what.clone(), &told_by, |l| {
                let mut copy = l.statements[n].clone();
                (copy.text, copy.front, copy.foot) = (text, false, false);
                l.statements.push(copy);
            });
        };
        // Names of a word or two come near too many others.
        if n % 3 == 0 && s.text.chars().filter(|c| c.is_alphanumeric()).count() >= 14 {
            let told: &[&str] =
                if s.key == "hazard names" { &["eu/clp-names", "gb/clp-names", "ni/clp-names"] } else { &[] };
            copied("second copy with a misspelt word", misspelt(&s.text), told);
        }
        if s.foot || s.key == "ufi" {
            copied("second copy with another figure", other_figure(&s.text), &[QUANTITY, FIGURES].concat());
        }
    }
}
