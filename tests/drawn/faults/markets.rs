//! Faults of languages, and words of another market or another kind of candle.

use super::Sower;
use crate::drawn::{Label, Picture, Statement};
use waxbill::trade::{Kind, Lang, Market, Sign};

/// Two languages that stand unlike where the market wants them alike, or one before the other.
pub fn of_languages(sower: &mut Sower<'_>) {
    let (lead, next) = match sower.good.market {
        Market::CaQc => (Lang::Fr, Lang::En),
        Market::Ca => (Lang::En, Lang::Fr),
        _ => return,
    };
    let told = &["ca-qc/french", "ca/equal-languages"][..];
    let twins = |label: &Label, n: usize| {
        let s = &label.statements[n];
        s.lang == next && label.statements.iter().any(|o| o.id == s.id && o.lang == lead)
    };
    for n in (0..sower.good.statements.len()).filter(|&n| twins(sower.good, n)) {
        let what = sower.good.statements[n].id.clone();
        sower.sow("one language larger", Some(13), what.clone(), told, |l| l.statements[n].em *= 1.15);
        if !sower.good.statements[n].bold {
            sower.sow("one language bold", Some(13), what.clone(), told, |l| l.statements[n].bold = true);
        }
        if lead == Lang::Fr && !sower.good.statements[n].front {
            sower.sow("the other language first", Some(13), what, told, |l| {
                let s = l.statements.remove(n);
                let at = l.statements.iter().position(|o| o.id == s.id).unwrap();
                l.statements.insert(at, s);
            });
        }
    }
}

/// A language is missing.
pub fn of_missing_languages(sower: &mut Sower<'_>) {
    let languages: Vec<Lang> = {
        let mut l: Vec<Lang> = sower.good.statements.iter().map(|s| s.lang).collect();
        l.sort();
        l.dedup();
        l
    };
    if languages.len() > 1 {
        for lang in languages {
            let gone = |s: &&Statement| s.lang == lang && !s.front;
            let told: Vec<&str> = sower.good.statements.iter().filter(gone).map(|s| s.id.as_str()).collect();
            sower.sow("language missing", Some(13), lang.word(), &told, |l| l.statements.retain(|s| !gone(&s)));
        }
    }
}

/// Words of another kind of candle.
pub fn of_kind(sower: &mut Sower<'_>, kind: Kind) {
    let us = sower.good.market == Market::Us;
    if us && !matches!(kind, Kind::ContainerCandle | Kind::TeaLight | Kind::Votive) {
        sower.added("container sentence elsewhere", Some(17), "Container gets hot.", &["us/care-hot"]);
    }
    if us && sower.good.statements.iter().any(|s| s.key == "trim wooden wick") {
        sower.added(
            "wooden wick trimmed as cotton",
            Some(17),
            "Trim wick to 1/4 in (6 mm) before lighting.",
            &["us/care-trim", "practice/figures-as-tested"],
        );
    }
    if us && kind == Kind::WaxMelt {
        sower.added(
            "wick words on a melt",
            Some(17),
            "Trim wick to 1/4 in (6 mm) before lighting.",
            &["us/care-trim", "practice/figures-as-tested"],
        );
        sower.sow("candle sign on a melt", Some(17), "sign", &["label/other-kind"], |l| {
            l.pictures.push(Picture {
                id: "added".to_owned(),
                sign: Sign::KeepInSight,
                side: 8.0,
                rgb: [0.0; 3],
                turn: 0.0,
                empty: false,
                other: false,
            });
        });
    }
    if us && kind != Kind::WaxMelt {
        sower.added(
            "melt words on a candle",
            Some(17),
            "Use only in a warmer made for wax melts.",
            &["us/melt-warmer"],
        );
    }
}
