//! Faults of the net quantity.

use super::{QUANTITY, Sower};
use crate::drawn::sample;
use waxbill::trade::Market;

pub fn of_quantity(sower: &mut Sower<'_>) {
    let Some(n) = sower
        .good
        .statements
        .iter()
        .position(|s| s.foot && (s.text.contains("OZ") || s.text.ends_with(" g") || s.text.ends_with("\u{a0}g")))
    else {
        return;
    };
    let text = sower.good.statements[n].text.replace('\u{a0}', " ");
    let us = sower.good.market == Market::Us;
    let numbers: Vec<&str> =
        text.split([' ', '(', ')']).filter(|w| w.starts_with(|c: char| c.is_ascii_digit()) && !w.is_empty()).collect();
    let Some(last) = numbers.last().copied() else { return };
    let figure: f64 = last.parse().unwrap_or(1.0);
    let net = QUANTITY;
    let loose = &["us/net-quantity-qualifier"][..];
    sower.one("more promised than is in it", Some(4), n, net, |s| {
        s.text = text.replace(last, &format!("{:.0}", figure * 28.35))
    });
    sower.one("less stated than is in it", Some(4), n, net, |s| {
        s.text = text.replace(last, &format!("{:.1}", figure * 0.8))
    });
    let range = text.replacen(last, &format!("{:.0}-{last}", figure * 0.9), 1);
    sower.one("range for a quantity", None, n, loose, |s| s.text = range);
    for words in ["approx. {}", "~ {}", "{} when filled", "min. {}", "{} ± 5 %"] {
        sower.one("qualified quantity", None, n, loose, |s| s.text = words.replace("{}", &text));
    }
    sower.one("quantity when poured", None, n, loose, |s| s.text = format!("{text} when poured"));
    if us {
        sower.one("both units do not agree", Some(6), n, &["us/net-quantity-conversion"], |s| {
            s.text = text.replace(last, &format!("{:.0}", figure * 1.03 + 3.0))
        });
        let (first, _) = text.split_once(" (").unwrap();
        sower.one("one system only", Some(6), n, &["us/net-quantity-dual"], |s| s.text = first.to_owned());
        sower.one("fluid ounces", Some(3), n, &["practice/fluid-ounce"], |s| s.text = text.replace(" OZ", " FL OZ"));
        sower.one("quantity a quarter turned", None, n, &["us/net-quantity-parallel"], |s| {
            (s.turned, s.shift) = (true, [40.0, 0.0])
        });
        sower.one("quantity not at the foot", None, n, &["us/net-quantity-place"], |s| s.shift = [0.0, -45.0]);
        sower.one("words crowd the quantity", None, n, &["us/net-quantity-clear-space"], |s| {
            s.text = format!("{text} soy wax blend")
        });
    }
    let pointed = text.replacen(numbers[0], &format!(".{}", numbers[0].replace('.', "")), 1);
    let first = text.replacen(last, &format!(".{}", last.replace('.', "")), 1);
    sower.one("nothing before the decimal point", None, n, net, |s| s.text = if us { pointed } else { first });
    let times = numbers.iter().fold(text.clone(), |t, w| t.replacen(w, &format!("2 x {w}"), 1));
    sower.one("quantity times two", None, n, net, |s| s.text = times);
    let pieces = pieces(sower);
    if pieces > 1.0 {
        let one = |w: &str| w.parse::<f64>().map_or(w.to_owned(), |v| format!("{:.1}", v / pieces));
        let weights = numbers.iter().filter(|w| text.contains(&format!("{w} OZ")) || text.contains(&format!("{w} g")));
        let each = weights.fold(text.clone(), |t, w| t.replacen(&format!("{w} "), &format!("{} ", one(w)), 1));
        sower.one("weight of one piece for the pack", Some(4), n, net, |s| s.text = each);
    }
}

/// How many are in the pack.
fn pieces(sower: &Sower<'_>) -> f64 {
    f64::from(sample(&sower.good.sample, sower.good.market).0.pieces)
}
