//! The declaration of quantity: figures against the product, units, both systems, qualifying words. Part of `review`.

use super::Desk;
use super::count;
use super::data::{self, Sort};
use super::label::Page;
use super::quantity::{self, Measures, Quantity};
use super::rows::{Row, above, below};
use super::search::Hit;
use super::statement::Stand;
use super::task::Task;
use super::told;
use crate::find::{Finding, Level, Severity};
use crate::law;
use crate::require::Net;
use crate::trade::Market;

/// A declaration in other words than ours: where its figures stand.
pub fn stands(desk: &Desk<'_>, task: &Task<'_>) -> Option<Stand> {
    let statement = task.requirement.statement;
    let weight = matches!(statement, "net weight" | "net count and weight" | "net metric");
    let wanted: Vec<String> = match (&desk.needs.figures.net, statement) {
        (Some(Net::Size { height, diameter }), s) if s.contains("size") || s.contains("length") => {
            [Some(height.clone()), diameter.clone()].into_iter().flatten().collect()
        }
        _ => Vec::new(),
    };
    for (number, page) in desk.pages.iter().enumerate() {
        let rows = page.rows(0);
        let all = quantity::all(rows);
        let figures: Vec<&Quantity> = if weight {
            declared(desk, rows, &all)
        } else if wanted.is_empty() {
            Vec::new()
        } else {
            sizes(&wanted, &all)
        };
        if statement == "net count"
            && let Some((row, words)) = count::in_language(desk, rows, task.lang)
        {
            return Some(Stand { page: number, hit: Hit { words, row } });
        }
        if figures.is_empty() {
            continue;
        }
        let on: Vec<usize> = figures.iter().map(|q| q.row).collect();
        if statement.contains("count") && !count::stands(desk, rows, &on) {
            continue;
        }
        let row = figures.iter().map(|q| q.row).min().unwrap_or(0);
        // What stands on the same lines, such as `NET WT`, belongs to it.
        let mut lines: Vec<usize> = figures.iter().map(|q| q.row).collect();
        lines.dedup();
        let short = lines.iter().all(|&r| rows[r].words.len() <= 8);
        let words = if short {
            lines.iter().flat_map(|&r| rows[r].words.iter().map(|w| w.glyphs.clone())).collect()
        } else {
            figures.iter().map(|q| q.glyphs.clone()).collect()
        };
        return Some(Stand { page: number, hit: Hit { words, row } });
    }
    None
}

/// The figures of mass that make a declaration: both systems where the market wants both; none where no figure is that of
/// the whole package. Of one that is wrong `mass` tells; the weight of a piece stands for nothing but the piece.
fn declared<'q>(desk: &Desk<'_>, rows: &[Row], all: &'q [Quantity]) -> Vec<&'q Quantity> {
    let whole = |q: &Quantity| of_whole(desk, q);
    let other = |q: &Quantity| !of_piece(desk, q);
    if desk.needs.market == Market::Us {
        let pairs = quantity::pairs(rows, all);
        let masses = || pairs.iter().copied().filter(|(a, _)| a.unit.measures == Measures::Mass);
        let pair =
            masses().find(|(a, b)| whole(a) && whole(b)).or_else(|| masses().find(|(a, b)| other(a) && other(b)));
        return pair.map_or_else(Vec::new, |(a, b)| vec![a, b]);
    }
    let masses = || all.iter().filter(|q| q.unit.measures == Measures::Mass && q.unit.metric);
    masses().find(|q| whole(q)).or_else(|| masses().find(|q| other(q))).into_iter().collect()
}

/// What the package holds, in nanograms.
fn whole_ng(desk: &Desk<'_>) -> i128 {
    let product = desk.product;
    i128::from(product.declared.unwrap_or_else(|| product.fill.mass().times(product.pieces)).to_ng())
}

/// Whether a figure states what the whole package holds, cut to three digits or finer (16 CFR 500.19(b)).
fn of_whole(desk: &Desk<'_>, q: &Quantity) -> bool {
    let whole = whole_ng(desk);
    q.value <= whole && q.value * 100 >= whole * 99
}

/// Whether a figure states what one of several pieces holds.
pub fn of_piece(desk: &Desk<'_>, q: &Quantity) -> bool {
    let piece = i128::from(desk.product.fill.mass().to_ng());
    // Cut like the declaration itself, or rounded.
    let cut = q.value <= piece && piece - q.value < q.step;
    desk.product.pieces > 1 && (cut || q.states(piece)) && !of_whole(desk, q)
}

/// Every wanted length in either system; empty unless all are there.
fn sizes<'q>(wanted: &[String], all: &'q [Quantity]) -> Vec<&'q Quantity> {
    let mut out = Vec::new();
    for text in wanted {
        for asked in quantity::all(&super::rows::of_text(text)) {
            match all.iter().find(|q| q.unit.metric == asked.unit.metric && q.value == asked.value) {
                Some(found) => out.push(found),
                None => return Vec::new(),
            }
        }
    }
    out
}

/// All figures of mass and volume on the label.
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    for page in desk.pages {
        let rows = page.rows(0);
        let all = quantity::all(rows);
        for quantity in &all {
            match quantity.unit.measures {
                Measures::Mass => mass(desk, page, quantity, &all, findings),
                Measures::Volume => volume(page, quantity, findings),
                _ => {}
            }
        }
        ranges(desk, page, &all, findings);
        single(desk, page, rows, &all, findings);
        findings.extend(misspelt(desk, page, rows, &all));
        qualified(desk, page, rows, &all, findings);
    }
}

fn mass(desk: &Desk<'_>, page: &Page<'_>, stated: &Quantity, all: &[Quantity], findings: &mut Vec<Finding>) {
    let product = desk.product;
    let whole = product.declared.unwrap_or_else(|| product.fill.mass().times(product.pieces));
    let us = desk.needs.market == Market::Us;
    let (whole_ng, is_piece) = (whole_ng(desk), of_piece(desk, stated));
    let place = |f: Finding| told::on(f, page, stated.glyphs.first().copied());
    let shown = format!("{} ({})", whole.in_g(1), whole.in_oz(2));
    let by_net = || desk.needs.requirements.iter().find(|r| r.statement.starts_with("net "));
    let (rule, over) = (law::rule("us/net-quantity-overstated"), stated.value > whole_ng);
    if over {
        let message = format!("the label promises `{}`, and the product file has less in it", stated.text);
        let cure = "state what is in it; a figure is cut, never rounded up";
        let finding = match (rule.filter(|_| us), by_net()) {
            (Some(rule), _) => told::under(rule, message, cure),
            (None, Some(r)) => Finding::of(&r.id, Level::Error, r.severity, Some(r.seen), message, cure),
            (None, None) => Finding::input("label/quantity", message, cure),
        };
        let mut finding = finding.instead(format!("at most {shown}"), stated.text.clone());
        finding.level = Level::Error;
        findings.push(place(finding));
    } else if !is_piece && stated.value * 100 < whole_ng * 99 {
        // A figure cut to three digits is short by less than a hundredth (16 CFR 500.19(b)).
        let message = format!("the label says `{}`, and the product file says otherwise", stated.text);
        let cure = "state the quantity of the product file, or correct the file";
        let mut finding = match by_net() {
            Some(r) => Finding::of(&r.id, Level::Error, r.severity, Some(r.seen), message, cure),
            None => Finding::input("label/quantity", message, cure),
        };
        finding.level = Level::Error;
        findings.push(place(finding.instead(shown, stated.text.clone())));
    }
    findings.extend(symbol(desk, page, stated));
    if !us {
        return;
    }
    let pound = 453_592_370_000;
    let kilo = 1_000_000_000_000;
    let clash = match stated.unit.word {
        // The total in ounces may stand beside the pounds, also before them (16 CFR 500.9(b)(2)).
        "oz" if stated.value >= pound
            && !all.iter().any(|q| q.unit.word == "lb" && q.row.abs_diff(stated.row) <= 1) =>
        {
            law::rule("us/net-quantity-pounds")
        }
        "g" if stated.value >= kilo => law::rule("us/net-quantity-kilograms"),
        _ => None,
    };
    if let Some(rule) = clash {
        let message = format!("`{}` is not in the unit of a quantity of this size", stated.text);
        findings.push(place(told::under(rule, message, format!("{}: {}", rule.title, rule.because))));
    }
}

/// The symbols of the gram are small letters: `g` and `kg` (16 CFR 500.23; SI Brochure, 9th edition, 5.2). `gr` is the
/// grain, 64.79891 mg (NIST Handbook 44, Appendix C).
fn symbol(desk: &Desk<'_>, page: &Page<'_>, stated: &Quantity) -> Option<Finding> {
    let printed = stated.text.rsplit(|c: char| !c.is_alphabetic()).next().filter(|_| stated.unit.metric)?;
    let folded = printed.to_lowercase();
    if !["g", "gr", "gm", "gms", "kg"].contains(&folded.as_str()) || printed == stated.unit.word {
        return None;
    }
    let right = stated.unit.word;
    let message = match folded.as_str() {
        "gr" | "gm" | "gms" => format!("`{printed}` in `{}` is not the symbol of the gram", stated.text),
        _ => format!("the symbol `{printed}` in `{}` is written with a small letter", stated.text),
    };
    let cure = format!("write `{right}`, without a full stop; other spellings are other units, or none");
    let rule = law::rule("us/net-quantity-units").filter(|_| desk.needs.market == Market::Us);
    let finding = match (rule, desk.needs.requirements.iter().find(|r| r.statement.starts_with("net "))) {
        (Some(rule), _) => told::under(rule, message, cure),
        (None, Some(r)) => Finding::of(&r.id, Level::Warning, Severity::Advice, Some(r.seen), message, cure),
        (None, None) => return None,
    };
    Some(told::on(finding.instead(right, printed), page, stated.glyphs.last().copied()))
}

/// Words that say `weight` after `net`.
const WEIGHT: [&str; 8] = ["wt", "wts", "weight", "weights", "mass", "contents", "content", "poids"];

/// The two words before a figure that are meant to say `net weight`, from left to right.
fn words_before<'r>(row: &'r Row, stated: &Quantity) -> Option<[&'r super::rows::Word; 2]> {
    let mut before = row.words[..stated.words.0.min(row.words.len())].iter().rev().filter(|w| !w.folded.is_empty());
    let (second, first) = (before.next()?, before.next()?);
    let alike = |a: &str, b: &str| a.len() <= 4 && super::search::similar(a, b) >= 0.5;
    let net = ["net", "nett"].contains(&first.folded.as_str());
    let weight = WEIGHT.contains(&second.folded.as_str());
    let short = |w: &str| w.starts_with('w') && alike(w, "wt");
    ((net && (weight || short(&second.folded))) || (weight && alike(&first.folded, "net"))).then_some([first, second])
}

/// `NT WT`, `NET WGT`: the words are free (16 CFR 500.9(a)), and the list of short forms is closed (500.22: `wt`).
fn misspelt(desk: &Desk<'_>, page: &Page<'_>, rows: &[Row], all: &[Quantity]) -> Option<Finding> {
    let first = all.iter().find(|q| q.unit.measures == Measures::Mass)?;
    let [net, weight] = words_before(&rows[first.row], first)?;
    let right = ["net", "nett"].contains(&net.folded.as_str()) && WEIGHT.contains(&weight.folded.as_str());
    let requirement = desk.needs.requirements.iter().find(|r| r.statement.starts_with("net ")).filter(|_| !right)?;
    // A word whose first letters lie beyond the edge is whole in the file, and told as cut off.
    let whole =
        |w: &super::rows::Word| w.folded.len() > net.folded.len() && net.glyphs.iter().all(|g| w.glyphs.contains(g));
    if page.with_hidden().iter().flat_map(|r| &r.words).any(whole) {
        return None;
    }
    let printed = format!("{} {}", net.text, weight.text);
    let message = format!("`{printed}` before `{}` is misspelt", first.text);
    let cure = "write `NET WT`, or leave both words out: the figures are what the law asks for";
    let (level, r) = (told::level(requirement.severity), requirement);
    let finding = Finding::of(&r.id, level, r.severity, Some(r.seen), message, cure).instead("NET WT", printed);
    Some(told::on(finding, page, net.glyphs.first().copied()))
}

/// Glyphs of the words before a declaration that belong to it, rightly spelt or not.
pub fn lead(task: &Task<'_>, page: &Page<'_>, hit: &Hit) -> Vec<usize> {
    let rows = page.rows(0);
    let all = quantity::all(rows);
    let own =
        |q: &&Quantity| q.unit.measures == Measures::Mass && q.glyphs.iter().any(|g| hit.glyphs().any(|h| h == *g));
    let first = all.iter().find(own).filter(|_| task.kind == super::task::Kind::Net);
    let Some(first) = first else { return Vec::new() };
    let row = &rows[first.row].words;
    // They may follow too: no rule gives them a place.
    let at = (1..row.len()).find(|&n| row[n - 1].folded == "net" && WEIGHT.contains(&row[n].folded.as_str()));
    let after = at.map(|n| [&row[n - 1], &row[n]]);
    let words = words_before(&rows[first.row], first).into_iter().chain(after).flatten();
    words.flat_map(|w| w.glyphs.iter().copied()).collect()
}

/// The words of a declaration as they stand there, where they are others than ours.
pub fn printed(task: &Task<'_>, seen: &crate::inspect::SeenPage, hit: &Hit) -> String {
    let word = |w: &Vec<usize>| w.iter().map(|&g| seen.glyphs[g].text.as_str()).collect::<String>();
    let text = hit.words.iter().map(word).collect::<Vec<_>>().join(" ");
    let other = super::fold::words(&text).concat() != super::fold::words(&task.texts[0]).concat();
    if task.kind == super::task::Kind::Net && other { text } else { task.texts[0].clone() }
}

/// Two figures that leave open what is in it: the quantity is stated accurately (15 U.S.C. 1453(a)(2)).
fn ranges(desk: &Desk<'_>, page: &Page<'_>, all: &[Quantity], findings: &mut Vec<Finding>) {
    let mut rows = Vec::new();
    for q in all.iter().filter(|q| q.range && q.unit.measures == Measures::Mass) {
        if rows.contains(&q.row) {
            continue;
        }
        rows.push(q.row);
        let message = format!("a range that ends with `{}` is no declaration of quantity", q.text);
        let cure = "state one figure: the least that is in it";
        let mut finding = match desk.needs.requirements.iter().find(|r| r.statement.starts_with("net ")) {
            Some(r) => Finding::of(&r.id, Level::Error, r.severity, Some(r.seen), message, cure),
            None => Finding::input("label/quantity", message, cure),
        };
        finding.level = Level::Error;
        findings.push(told::on(finding, page, q.glyphs.first().copied()));
    }
}

/// A candle is sold by weight; ounces of volume are another unit.
fn volume(page: &Page<'_>, stated: &Quantity, findings: &mut Vec<Finding>) {
    let Some(rule) = law::rule("practice/fluid-ounce") else { return };
    let message = format!("`{}` is a volume, and wax is sold by weight", stated.text);
    let cure = "weigh the fill of one candle and state ounces and grams; what the jar holds says nothing of the wax";
    let mut finding = Finding::of(rule.id, Level::Error, rule.severity, Some(rule.seen()), message, cure);
    if stated.unit.metric {
        finding.level = Level::Warning;
    }
    findings.push(told::on(finding, page, stated.glyphs.first().copied()));
}

/// A mass in one system where two are asked for.
fn single(desk: &Desk<'_>, page: &Page<'_>, rows: &[Row], all: &[Quantity], findings: &mut Vec<Finding>) {
    let Some(rule) = law::rule("us/net-quantity-dual").filter(|_| desk.needs.market == Market::Us) else { return };
    let by_weight = matches!(desk.needs.figures.net, Some(Net::Weight(_)));
    let masses: Vec<&Quantity> = all.iter().filter(|q| q.unit.measures == Measures::Mass).collect();
    let paired = quantity::pairs(rows, all).iter().any(|(a, _)| a.unit.measures == Measures::Mass);
    if let Some(first) = masses.first().filter(|_| by_weight && !paired) {
        let (there, wanted) = if first.unit.metric { ("metric", "ounces") } else { ("customary", "grams") };
        let message = format!("the quantity `{}` stands in {there} units only", first.text);
        let finding = told::under(rule, message, format!("put {wanted} beside it, as one declaration"));
        findings.push(told::on(finding, page, first.glyphs.first().copied()));
    }
}

/// Words that make the figure less than a promise.
fn qualified(desk: &Desk<'_>, page: &Page<'_>, rows: &[Row], all: &[Quantity], findings: &mut Vec<Finding>) {
    let Some(rule) = law::rule("us/net-quantity-qualifier") else { return };
    let us = desk.needs.market == Market::Us;
    let sizes = matches!(desk.needs.figures.net, Some(Net::Size { .. }));
    let mut told_already = Vec::new();
    let figures = all.iter().filter(|q| match q.unit.measures {
        Measures::Mass => true,
        // A length counts as declared where it stands with its name.
        Measures::Length => sizes && is_size(&rows[q.row]),
        _ => false,
    });
    for q in figures {
        let row = &rows[q.row];
        let same = |words: &[super::rows::Word]| words.iter().map(|w| w.folded.as_str()).collect::<Vec<_>>().join(" ");
        let before = same(&row.words[q.words.0.saturating_sub(4)..q.words.0]);
        let after = same(&row.words[q.words.1.min(row.words.len())..(q.words.1 + 4).min(row.words.len())]);
        let above = above(rows, q.row).map(|r| same(&rows[r].words));
        let under = below(rows, q.row).first().map(|&r| same(&rows[r].words));
        // Marks such as `~` before the figure or `±` after it are points to the eye, and words to the law.
        let beside = row.words[q.words.0.saturating_sub(1)..(q.words.1 + 1).min(row.words.len())].iter();
        let printed = beside.map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ");
        // A comma ends what belongs together.
        let from = row.words[..q.words.0].iter().rposition(|w| w.text.ends_with([',', ';'])).map_or(0, |at| at + 1);
        let close = same(&row.words[from.max(q.words.0.saturating_sub(4))..q.words.0]);
        let beside_it = |words: &str| {
            stands_before(&close, words)
                || stands_behind(&after, words)
                || [&above, &under].into_iter().flatten().any(|t| stands_before(t, words) && stands_behind(t, words))
        };
        for claim in data::claims(desk.needs.market).filter(|c| matches!(c.sort, Sort::Qualifier | Sort::Beside)) {
            let mark = !claim.words.contains(char::is_alphanumeric);
            let long = claim.words.len() > 5;
            let near = || {
                [&before, &after].into_iter().any(|t| !mark && has_word(t, claim.words))
                    || (mark && printed.contains(claim.words))
                    || (long && above.as_ref().is_some_and(|t| is_short(t) && has_word(t, claim.words)))
                    || (long && under.as_ref().is_some_and(|t| is_short(t) && has_word(t, claim.words)))
            };
            let there = if claim.sort == Sort::Beside { beside_it(claim.words) } else { near() };
            if there && !told_already.contains(&(q.row, claim.words)) {
                told_already.push((q.row, claim.words));
                let message = format!("`{}` stands with the quantity `{}`", claim.words, q.text);
                let (level, severity) =
                    if us { (told::level(rule.severity), rule.severity) } else { (Level::Warning, Severity::Advice) };
                let cure = format!("take it out: the figure is a promise ({})", claim.source);
                let finding = Finding::of(rule.id, level, severity, Some(rule.seen()), message, cure);
                findings.push(told::on(finding, page, q.glyphs.first().copied()));
            }
        }
    }
}

/// Words that name the quantity itself.
const OF_WEIGHT: [&str; 8] = ["net", "wt", "weight", "mass", "contents", "poids", "masse", "of"];

/// Whether nothing but words for the weight stands between these words and the figure after them.
fn stands_before(text: &str, words: &str) -> bool {
    let padded = format!(" {text} ");
    let at = padded.rfind(&format!(" {words} "));
    at.is_some_and(|at| padded[at + words.len() + 1..].split_whitespace().all(|w| OF_WEIGHT.contains(&w)))
}

/// Whether nothing but words for the weight stands between the figure and these words, nor behind them: `average burn time`
/// speaks of something else.
fn stands_behind(text: &str, words: &str) -> bool {
    let padded = format!(" {text} ");
    let of_weight = |t: &str| t.split_whitespace().all(|w| OF_WEIGHT.contains(&w));
    padded.split_once(&format!(" {words} ")).is_some_and(|(before, after)| of_weight(before) && of_weight(after))
}

fn is_size(row: &Row) -> bool {
    row.words.iter().any(|w| matches!(w.folded.as_str(), "height" | "diameter" | "length" | "dia" | "tall" | "each"))
}

/// A line of a declaration, and no sentence of its own.
fn is_short(text: &str) -> bool {
    text.split(' ').count() <= 4
}

/// Whether the words stand in a text of folded words.
pub fn has_word(text: &str, words: &str) -> bool {
    format!(" {text} ").contains(&format!(" {words} "))
}

#[cfg(test)]
mod tests {
    use super::{stands_before, stands_behind};

    #[test]
    fn average_counts_beside_the_quantity_only() {
        for text in ["average", "average net weight", "4 h average wt"] {
            assert!(stands_before(text, "average"), "{text}");
        }
        assert!(!stands_before("average burn 39 h net wt", "average"));
        assert!(stands_behind("average", "average") && stands_behind("net wt average", "average"));
        assert!(!stands_behind("average burn time", "average"));
    }
}
