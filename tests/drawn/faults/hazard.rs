//! Faults of pictograms, signs and hazard statements.

use super::Sower;
use crate::drawn::Picture;
use waxbill::trade::{Market, Sign};

/// Pictograms and signs.
pub fn of_pictures(sower: &mut Sower<'_>) {
    let hazard = sower.good.pictures.iter().position(|p| p.sign.ghs().is_some());
    if let Some(n) = hazard {
        let id = sower.good.pictures[n].id.clone();
        let told = &[id.as_str()][..];
        sower.sow("pictogram missing", Some(15), id.clone(), told, |l| {
            l.pictures.remove(n);
        });
        sower.sow("pictogram twice", Some(15), id.clone(), told, |l| {
            let again = l.pictures[n].clone();
            l.pictures.insert(n, again);
        });
        sower.sow("pictogram too small", Some(15), id.clone(), told, |l| l.pictures[n].side *= 0.7);
        sower.sow("pictogram in a black frame", Some(15), id.clone(), told, |l| l.pictures[n].rgb = [0.0; 3]);
        sower.sow("pictogram not on its point", Some(15), id.clone(), told, |l| l.pictures[n].turn = 12.0);
        sower.sow("pictogram of another hazard", Some(15), id.clone(), told, |l| l.pictures[n].other = true);
        sower.sow("pictogram without its symbol", Some(15), id.clone(), told, |l| l.pictures[n].empty = true);
        sower.sow("label too small for the package", Some(16), "48 mm wide", &["eu/clp-label-size"], |l| {
            l.back_width = 48.0
        });
    }
    let for_use = sower.good.pictures.iter().filter(|p| p.sign.ghs().is_none());
    let signs: Vec<&str> = for_use.map(|p| p.id.as_str()).collect();
    for n in 0..sower.good.pictures.len() {
        if Some(n) == hazard {
            continue;
        }
        let id = sower.good.pictures[n].id.clone();
        // All are counted together, under the first of their rules.
        sower.sow("sign missing", None, id, &signs, |l| {
            l.pictures.remove(n);
        });
    }
}

/// Names of substances.
pub fn of_names(sower: &mut Sower<'_>) {
    for n in 0..sower.good.statements.len() {
        let s = sower.good.statements[n].clone();
        if s.key == "hazard names" && s.text.contains(", ") {
            let told = &["eu/clp-names", "eu/clp-supplement"][..];
            let (start, _) = s.text.split_once(", ").unwrap();
            sower.one("allergen missing", Some(8), n, told, |s| s.text = format!("{}.", start.trim_end_matches(',')));
            let text = s.text.replacen("linalool", "linalool oxide", 1);
            if text != s.text {
                sower.one("allergen named otherwise", Some(8), n, told, |s| s.text = text);
            }
            let run = s.text.replacen(", ", " ", 1);
            sower.one("names run together", Some(8), n, told, |s| s.text = run);
            let more = s.text.replacen(", ", ", eugenol, ", 1);
            sower.one("allergen below its limit named", Some(9), n, told, |s| s.text = more);
        }
    }
}

/// Signal words and statements.
pub fn of_words(sower: &mut Sower<'_>) {
    let clp = matches!(sower.good.market, Market::Eu | Market::Ni | Market::Gb);
    // CLP, Article 20(3): one signal word, whichever of the two is due.
    for (own, other) in [("Warning", "Danger"), ("Danger", "Warning")] {
        let here = sower.good.statements.iter().find(|s| s.key == "clp signal word" && s.text == own).cloned();
        if let Some(mut more) = here {
            sower.sow("two signal words", Some(7), other, &["eu/clp-signal-word"], |l| {
                (more.text, more.id) = (other.to_owned(), "added".to_owned());
                l.statements.push(more);
            });
        }
    }
    let has = |code: &str| sower.good.statements.iter().any(|s| s.text.contains(code));
    let eye = !has("Causes serious eye irritation");
    if clp {
        if !has("Harmful to aquatic life") {
            sower.added(
                "hazard statement too much",
                Some(7),
                "Harmful to aquatic life with long lasting effects.",
                &["eu/clp-hazard-statements"],
            );
        }
        if eye {
            sower.added(
                "hazard statement too much",
                Some(7),
                "Causes serious eye irritation.",
                &["eu/clp-hazard-statements"],
            );
        }
        if !has("May produce an allergic reaction") {
            sower.added(
                "EUH208 below the limit",
                Some(9),
                "Contains eugenol. May produce an allergic reaction.",
                &["eu/clp-supplement", "eu/clp-names"],
            );
        }
    } else {
        sower.added(
            "words of another market",
            Some(17),
            "May cause an allergic skin reaction.",
            &["label/other-market"],
        );
        sower.added(
            "words of another market",
            Some(17),
            "EUH208 Contains linalool. May produce an allergic reaction.",
            &["label/other-market"],
        );
        sower.added("words of another market", Some(17), "UFI: X300-C0GY-4006-GJTU", &["label/other-market"]);
        sower.sow("pictogram of another market", Some(15), "GHS07", &["label/other-market"], |l| {
            l.pictures.push(Picture {
                id: "added".to_owned(),
                sign: Sign::Ghs07,
                side: 12.0,
                rgb: [0.85, 0.1, 0.1],
                turn: 0.0,
                empty: false,
                other: false,
            });
        });
    }
}
