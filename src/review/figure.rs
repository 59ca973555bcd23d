//! Lengths, times and temperatures on the label: both systems agree, and each is the product's own. Part of `review`.

use super::Desk;
use super::count;
use super::data::{self, Beside, Figure};
use super::label::Page;
use super::net::{self, has_word};
use super::quantity::{self, Measures, Quantity};
use super::rows::{Row, above, below};
use super::told;
use crate::find::{Evidence, Finding, Level, Severity};
use crate::law;
use crate::require::{BurnTime, Net};
use crate::trade::Market;

/// Judges every figure on the label.
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    let mut said: Vec<(Figure, i128)> = Vec::new();
    for page in desk.pages {
        let rows = page.rows(0);
        let all = quantity::all(rows);
        for (first, second) in quantity::pairs(rows, &all) {
            // The weight of all and that of a piece are no pair.
            let piece = |q: &Quantity| q.unit.measures == Measures::Mass && net::of_piece(desk, q);
            if !first.agrees(second) && piece(first) == piece(second) {
                findings.push(differ(desk, page, first, second));
            }
        }
        for q in &all {
            match meant(rows, q).filter(|f| *f != Figure::BurnTime || desk.product.kind.burns() || named(rows, q)) {
                Some(figure) => {
                    said.push((figure, q.value));
                    against(desk, page, q, figure, findings);
                }
                None => alone(desk, page, rows, q, findings),
            }
        }
    }
    first_burn(&said, findings);
}

/// Two systems that say different things.
fn differ(desk: &Desk<'_>, page: &Page<'_>, first: &Quantity, second: &Quantity) -> Finding {
    let message = format!("`{}` and `{}` are not the same", first.text, second.text);
    let right = converted(first, second);
    let cure = "work one out from the other and cut or round it to the digits shown";
    let mass = first.unit.measures == Measures::Mass;
    let finding = match law::rule("us/net-quantity-conversion").filter(|_| mass && desk.needs.market == Market::Us) {
        Some(rule) => told::under(rule, message, cure),
        None => Finding::of("label/pair", Level::Error, Severity::Policy, Some(Evidence::Policy), message, cure),
    };
    told::on(finding.instead(right, second.text.clone()), page, second.glyphs.first().copied())
}

/// What the second figure should say, from the first.
fn converted(first: &Quantity, second: &Quantity) -> String {
    #[expect(clippy::cast_precision_loss, reason = "for a message")]
    let (value, unit) = (first.value as f64, second.unit.word);
    let per = match unit {
        "g" => 1e9,
        "kg" => 1e12,
        "oz" => 28_349_523_125.0,
        "lb" => 453_592_370_000.0,
        "mm" => 36_000.0,
        "cm" => 360_000.0,
        "m" => 36_000_000.0,
        "in" => 914_400.0,
        "ft" => 10_972_800.0,
        "°C" => 1000.0,
        "°F" => return format!("{:.0} °F", value / 1000.0 * 1.8 + 32.0),
        _ => return first.text.clone(),
    };
    format!("about {:.2} {unit}", value / per)
}

/// Words round a figure, up to the ends of its sentence; and the words before it.
fn around(rows: &[Row], q: &Quantity) -> (String, String) {
    const REACH: usize = 6;
    let ends = |w: &super::rows::Word| w.text.ends_with(['.', ';', '!', '?']) && w.folded.len() > 2;
    let mut words: Vec<&str> = Vec::new();
    let row = &rows[q.row];
    let mut whole = true;
    for word in row.words[..q.words.0].iter().rev().take(REACH) {
        if ends(word) {
            whole = false;
            break;
        }
        words.push(&word.folded);
    }
    if whole && words.len() < REACH {
        let above = above(rows, q.row).filter(|&r| below(rows, r).first() == Some(&q.row));
        for word in above.map_or(&[][..], |r| &rows[r].words).iter().rev().take(REACH - words.len()) {
            if ends(word) {
                break;
            }
            words.push(&word.folded);
        }
    }
    words.reverse();
    words.retain(|w| !w.is_empty());
    let before = words.join(" ");
    let mut after: Vec<&super::rows::Word> = Vec::new();
    let last = row.words.get(q.words.1.saturating_sub(1));
    if last.is_some_and(|w| w.text.ends_with(['.', ';']) && !w.text.ends_with("in.")) {
        return (before.clone(), before);
    }
    after.extend(row.words.iter().skip(q.words.1));
    if let Some(&next) = below(rows, q.row).first() {
        after.extend(&rows[next].words);
    }
    for word in after.into_iter().take(REACH) {
        words.push(&word.folded);
        if ends(word) {
            break;
        }
    }
    words.retain(|w| !w.is_empty());
    (words.join(" "), before)
}

/// Before `burns` these tell of wounds.
const WOUNDS: [&str; 13] = [
    "avoid",
    "avoids",
    "prevent",
    "prevents",
    "cause",
    "causes",
    "against",
    "éviter",
    "évitez",
    "prévenir",
    "causer",
    "contre",
    "risque",
];

/// Which of the product's figures is meant.
pub(super) fn meant(rows: &[Row], q: &Quantity) -> Option<Figure> {
    let time = match q.unit.measures {
        Measures::Time => true,
        Measures::Length => false,
        _ => return None,
    };
    let (around, before) = around(rows, q);
    // `burns` may be wounds.
    let wounds = before.split(' ').any(|w| WOUNDS.contains(&w));
    let bare = |words: &str, figure: Figure| figure == Figure::BurnTime && !words.contains(' ');
    let right_before = |(_, words, figure): &(_, &str, Figure)| {
        time && bare(words, *figure) && !wounds && before.split(' ').next_back() == Some(words)
    };
    let fits = |(_, words, figure): &(_, &str, Figure)| {
        figure.is_time() == time && has_word(&around, words) && !(wounds && bare(words, *figure))
    };
    let found = data::figure_words().find(right_before).or_else(|| data::figure_words().find(fits));
    let meant = found.map(|(.., figure)| figure);
    // So many hours on a candle can hardly mean anything else: `80-hour candle`.
    let other = || data::beside(Beside::Hours).any(|w| has_word(&around, w));
    let hours = time && (q.value >= LONG || of_goods(rows, q)) && !other();
    meant.or(Some(Figure::BurnTime).filter(|_| hours && !wounds))
}

/// Whether the burn time is called so: what is never lit has none, but may say it has.
fn named(rows: &[Row], q: &Quantity) -> bool {
    let (around, _) = around(rows, q);
    data::figure_words().any(|(_, words, figure)| figure == Figure::BurnTime && has_word(&around, words))
}

/// `4-hour candle`: a time that names the goods.
fn of_goods(rows: &[Row], q: &Quantity) -> bool {
    ["hour", "hr"].iter().any(|w| q.text.to_lowercase().ends_with(w))
        && count::of_piece(&rows[q.row].words[q.words.1..])
}

/// Seconds from which on a time without a name is taken for the burn time (our own bound).
const LONG: i128 = 10 * 3600;

/// What the product says, in the base unit.
fn own(desk: &Desk<'_>, figure: Figure) -> Option<i128> {
    let f = &desk.needs.figures;
    let length = |l: Option<crate::unit::Length>| l.map(|l| i128::from(l.to_raw()));
    let hours = |h: Option<crate::unit::Hours>| h.map(|h| i128::from(h.to_seconds()));
    match figure {
        Figure::Trim => length(f.trim),
        Figure::Stop => length(f.stop),
        Figure::Distance => length(f.distance),
        Figure::Session => hours(f.session),
        Figure::Cool => hours(f.cool),
        Figure::FirstBurn => hours(f.first_burn),
        Figure::BurnTime => match &f.burn_time {
            BurnTime::Claim(claim) => Some(i128::from(claim.printed.to_seconds())),
            BurnTime::NotStated(_) => None,
        },
    }
}

fn against(desk: &Desk<'_>, page: &Page<'_>, q: &Quantity, figure: Figure, findings: &mut Vec<Finding>) {
    let place = |f: Finding| told::on(f, page, q.glyphs.first().copied());
    let own = own(desk, figure);
    if figure == Figure::BurnTime {
        let Some(rule) = law::rule("practice/burn-claim-evidence") else { return };
        let too_much = own.is_none_or(|own| q.value > own);
        if too_much {
            let (why, expected) = match (&desk.needs.figures.burn_time, own) {
                (BurnTime::NotStated(why), _) => (why.clone(), "no burn time".to_owned()),
                (_, own) => {
                    ("the burn tests bear out less".to_owned(), format!("at most {} h", own.unwrap_or(0) / 3600))
                }
            };
            let message = format!("the burn time `{}` is not backed by burn tests: {why}", q.text);
            let cure = "burn at least three candles to the stop line and write the hours into `burn test`, or take the claim out";
            findings.push(place(told::under(rule, message, cure).instead(expected, q.text.clone())));
        }
        return;
    }
    let Some(own) = own.filter(|own| !q.states(*own)) else { return };
    // A shorter session or a wider distance is the safer figure, and still not the tested one.
    let Some(rule) = law::rule("practice/figures-as-tested") else { return };
    let message = format!("the {} on the label is `{}`, and the product's is another", figure.word(), q.text);
    let cure = "print the figure of the product file: it is the one the burn test was made with";
    let finding = told::under(rule, message, cure).instead(shown(figure, own), q.text.clone());
    findings.push(place(finding));
}

fn shown(figure: Figure, own: i128) -> String {
    #[expect(clippy::cast_precision_loss, reason = "for a message")]
    let own = own as f64;
    if figure.is_time() { format!("{} h", own / 3600.0) } else { format!("{:.1} mm", own / 36_000.0) }
}

/// A length that stands by itself, as beside a sign: one of the product's lengths, else a clash of text and picture.
fn alone(desk: &Desk<'_>, page: &Page<'_>, rows: &[Row], q: &Quantity, findings: &mut Vec<Finding>) {
    if q.unit.measures != Measures::Length || rows[q.row].words.len() > q.words.1 - q.words.0 {
        return;
    }
    let f = &desk.needs.figures;
    let mut known: Vec<i128> =
        [f.trim, f.stop, f.distance].into_iter().flatten().map(|l| i128::from(l.to_raw())).collect();
    if let Some(Net::Size { height, diameter }) = &f.net {
        for text in [Some(height), diameter.as_ref()].into_iter().flatten() {
            known.extend(quantity::all(&super::rows::of_text(text)).iter().map(|q| q.value));
        }
    }
    if known.is_empty() || known.iter().any(|k| q.states(*k)) {
        return;
    }
    let message = format!("`{}` stands by itself and is none of the product's lengths", q.text);
    let cure = "let picture and sentence say the same length, that of the product file";
    let finding = Finding::of("label/figure", Level::Warning, Severity::Advice, Some(Evidence::Policy), message, cure);
    findings.push(told::on(finding, page, q.glyphs.first().copied()));
}

/// The first burn may not be longer than a session may last.
fn first_burn(said: &[(Figure, i128)], findings: &mut Vec<Finding>) {
    let of = |figure| said.iter().filter(move |(f, _)| *f == figure).map(|(_, v)| *v);
    let (Some(first), Some(session)) = (of(Figure::FirstBurn).max(), of(Figure::Session).min()) else { return };
    if first > session
        && let Some(rule) = law::rule("practice/first-burn-session")
    {
        let message = "the label asks for a first burn longer than the longest time it allows".to_owned();
        let finding = told::under(rule, message, "shorten the first burn, or test a longer session");
        findings.push(
            finding.instead(format!("at most {}", shown(Figure::Session, session)), shown(Figure::FirstBurn, first)),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::rows::of_text;
    use super::{Figure, meant, quantity};

    #[test]
    fn burns_that_are_wounds_are_no_burn_time() {
        let of = |text: &str| {
            let rows = of_text(text);
            quantity::all(&rows).iter().map(|q| meant(&rows, q)).collect::<Vec<_>>()
        };
        assert_eq!(of("To avoid burns never burn longer than 10 hours at a time."), [Some(Figure::Session)]);
        assert_eq!(of("Touching causes burns: let stand 2 hours."), [None]);
        assert_eq!(of("This candle burns 40 hours."), [Some(Figure::BurnTime)]);
        assert_eq!(of("It burns slowly for 40 hours"), [Some(Figure::BurnTime)]);
        assert_eq!(of("Burns 40 hours, burn for 4 hours at a time"), [Some(Figure::BurnTime), Some(Figure::Session)]);
        assert_eq!(of("Brûle 40 heures."), [Some(Figure::BurnTime)]);
        assert_eq!(of("4-hour tea lights"), [Some(Figure::BurnTime)]);
        assert_eq!(of("After a 4-hour wait"), [None]);
        assert_eq!(of("Ships within 24 h"), [None]);
    }
}
