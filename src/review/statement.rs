//! Finds each required statement on the label and judges it: words, language, height, weight, place, space. Part of `review`.

use super::label::{GROUPINGS, Page};
use super::search::{self, Hit};
use super::task::{Kind, Task};
use super::told;
use super::{Desk, lot, names, nearest, net, signs};
use crate::find::{Aspect, Finding, Level};
use crate::inspect::{self, Found, Hidden, Place, SeenPage, heights};
use crate::law;
use crate::plan::{ClearSpace, Content, Equal, Item, LEGIBLE, Part, Shape};
use crate::require::Requirement;
use crate::trade::{Lang, Measure};
use crate::unit::Length;
use std::collections::BTreeSet;

/// Where a task was found.
#[derive(Debug, Clone)]
pub struct Stand {
    /// Index of the page.
    pub page: usize,
    /// Its glyphs.
    pub hit: Hit,
}

/// Glyphs that serve a statement already, by page.
pub type Taken = BTreeSet<(usize, usize)>;

/// What `inspect` needs to measure a statement of a stranger's page.
pub struct Gauge {
    item: Item,
    part: Part,
}

impl Gauge {
    /// For a requirement on a page.
    pub fn of(requirement: &Requirement, text: &str, lang: Lang, page: &Page<'_>) -> Self {
        let content = if requirement.alert_symbol {
            Content::AlertText { text: text.to_owned(), lang }
        } else {
            Content::Text { text: text.to_owned(), lang }
        };
        let item = Item {
            id: requirement.id.clone(),
            severity: requirement.severity,
            content,
            least: requirement.least.unwrap_or(Length::mm(0)),
            measure: requirement.measure,
            bold: requirement.bold,
            clear: requirement.clear.map(|(heights, widths_of_n)| ClearSpace { heights, widths_of_n }),
            // Where the edges of the label are not known, nothing can be said of its lowest part.
            lowest_percent: requirement.lowest_percent.filter(|_| page.edges_known()),
        };
        Self { item, part: part(page) }
    }

    /// For a page turned by so many quarters.
    fn turned(mut self, quarters: u8) -> Self {
        if quarters != 0 {
            self.item.lowest_percent = None;
        }
        if quarters % 2 == 1
            && let Shape::Rectangle { width, height } | Shape::Rounded { width, height, .. } = &mut self.part.shape
        {
            std::mem::swap(width, height);
        }
        self
    }

    /// With the page.
    pub fn place<'s>(&'s self, seen: &'s SeenPage) -> Place<'s> {
        Place { item: &self.item, page: seen, part: &self.part }
    }
}

/// A part without contents, of the size of the page.
pub fn part(page: &Page<'_>) -> Part {
    Part {
        name: page.name(),
        principal: page.principal == Some(true),
        shape: page.shape,
        margin: Length::mm(0),
        hole: None,
        piece: None,
        ground: None,
        rows: Vec::new(),
    }
}

/// As `inspect` measures it.
pub fn found(hit: &Hit) -> Found {
    Found { words: hit.words.clone(), torn: Vec::new() }
}

/// Finds and judges all tasks. Answers where each was found.
pub fn judge(desk: &Desk<'_>, tasks: &[Task<'_>], findings: &mut Vec<Finding>) -> (Vec<Option<Stand>>, Taken) {
    let mut taken = Taken::new();
    let mut stands: Vec<Option<Stand>> = tasks.iter().map(|_| None).collect();
    let mut order: Vec<usize> = (0..tasks.len()).collect();
    order.sort_by_key(|&n| std::cmp::Reverse(tasks[n].texts.first().map_or(0, |t| search::letters(t).len())));
    // Ours first, then the other wordings that count, so that a short variant takes nothing from a longer statement.
    for ours in [true, false] {
        for &n in order.iter().filter(|&&n| ours || tasks[n].kind != Kind::Names) {
            if stands[n].is_some() {
                continue;
            }
            if let Some(stand) = place(desk, &tasks[n], ours, &taken) {
                taken.extend(stand.hit.glyphs().map(|g| (stand.page, g)));
                stands[n] = Some(stand);
            }
        }
    }
    // What is there in other words than ours.
    for (n, task) in tasks.iter().enumerate().filter(|(_, t)| matches!(t.kind, Kind::Net | Kind::Lot)) {
        if stands[n].is_none() {
            stands[n] = if task.kind == Kind::Net { net::stands(desk, task) } else { lot::stands(desk) };
            // The figures are there; a misspelt word beside them is told all the same.
            let misspelt = |differ: &[(String, String)]| {
                let word = |w: &str| w.len() > 3 && w.chars().all(|c| c.is_alphabetic() || ".,".contains(c));
                let alike = |a: &str, b: &str| search::similar(&a.to_lowercase(), &b.to_lowercase()) > 0.0;
                differ.iter().any(|(a, b)| word(a) && word(b) && alike(a, b))
            };
            if task.kind == Kind::Net && stands[n].is_some() {
                let close = near(desk, task, &taken).filter(|c| misspelt(&c.near.differ));
                findings.extend(close.map(|c| told_near(desk, task, &c)));
            }
        }
    }
    let mut absent = Vec::new();
    for (n, task) in tasks.iter().enumerate() {
        match &stands[n] {
            Some(stand) => measured(desk, task, stand, tasks, &stands, findings),
            None if is_hidden(desk, task, &mut taken, findings) => {}
            // Names may stand in another order, or under other names.
            None if task.kind == Kind::Names => {
                if let Some((stand, whole)) = names::judge(desk, task, &mut taken, findings) {
                    measured(desk, task, &stand, tasks, &stands, findings);
                    stands[n] = Some(stand).filter(|_| whole);
                }
            }
            None => absent.push(task),
        }
    }
    nearest::share(desk, absent, &mut taken, findings);
    equal(desk, tasks, &stands, findings);
    (stands, taken)
}

/// The best place for a task: on the right side of the label, with the fewest faults.
fn place(desk: &Desk<'_>, task: &Task<'_>, ours: bool, taken: &Taken) -> Option<Stand> {
    let mut best: Option<((bool, usize, usize), Stand)> = None;
    let texts = if ours { &task.texts[..1] } else { &task.texts[1..] };
    for text in texts.iter().filter(|t| !t.contains("____")) {
        let letters = search::letters(text);
        for (number, page) in desk.pages.iter().enumerate() {
            for grouping in 0..GROUPINGS {
                let hits = search::find(page.rows(grouping), &letters);
                let free = hits.into_iter().filter(|h| !h.glyphs().any(|g| taken.contains(&(number, g))));
                let mut any = false;
                for hit in free {
                    any = true;
                    let wrong_side = task.requirement.principal && page.principal == Some(false);
                    let mut faults = Vec::new();
                    if let Some((seen, quarters)) = page.view(hit.glyphs().next()) {
                        let gauge = Gauge::of(task.requirement, text, task.lang, page).turned(quarters);
                        let spot = gauge.place(seen);
                        inspect::alone(&spot, &found(&hit), &mut faults);
                        let own: Vec<usize> = hit.glyphs().collect();
                        inspect::beside(&spot, &found(&hit), &own, black(desk, task), &mut faults);
                    }
                    let rank = (wrong_side, faults.len(), number);
                    if best.as_ref().is_none_or(|(r, _)| rank < *r) {
                        best = Some((rank, Stand { page: number, hit }));
                    }
                }
                if any {
                    break;
                }
            }
        }
        if best.is_some() {
            break;
        }
    }
    best.map(|(_, stand)| stand)
}

/// Size, weight, place and space of what was found.
fn measured(
    desk: &Desk<'_>,
    task: &Task<'_>,
    stand: &Stand,
    tasks: &[Task<'_>],
    stands: &[Option<Stand>],
    findings: &mut Vec<Finding>,
) {
    let page = &desk.pages[stand.page];
    if task.requirement.principal && page.principal == Some(false) {
        let message = format!(
            "{} stands on {}, and belongs on the side shown to the customer",
            told::called(task),
            told::side(page)
        );
        let cure = "move it to the principal display panel; name the parts with `--part` if this is that side";
        findings.push(told::on(told::of(task, message, cure), page, stand.hit.glyphs().next()));
    }
    let Some((seen, quarters)) = page.view(stand.hit.glyphs().next()) else { return };
    let gauge = Gauge::of(task.requirement, &net::printed(task, seen, &stand.hit), task.lang, page).turned(quarters);
    let spot = gauge.place(seen);
    if let Some(rule) = law::rule("us/net-quantity-parallel")
        .filter(|r| task.kind == Kind::Net && !is_level(page, stand) && r.in_force(desk.needs.market, desk.needs.date))
    {
        let message = format!("{} does not run parallel to the base", told::called(task));
        let finding = told::under(rule, message, "set it in level lines, as the package stands on the shelf");
        findings.push(told::on(finding, page, stand.hit.glyphs().next()));
    }
    // What is declared together needs no space within itself.
    let own: Vec<usize> = tasks
        .iter()
        .zip(stands)
        .filter(|(t, _)| t.requirement.block == task.requirement.block && t.requirement.clear.is_some())
        .filter_map(|(_, s)| s.as_ref().filter(|s| s.page == stand.page))
        .flat_map(|s| s.hit.glyphs())
        .chain(stand.hit.glyphs())
        .chain(net::lead(task, page, &stand.hit))
        .collect();
    let mut raw = Vec::new();
    inspect::alone(&spot, &found(&stand.hit), &mut raw);
    inspect::beside(&spot, &found(&stand.hit), &own, black(desk, task), &mut raw);
    for mut finding in raw {
        // Squeezed letters are told once, as what they are on a stranger's label.
        if finding.aspect == Some(Aspect::Squeezed) {
            continue;
        }
        // On a sheet of labels the edges are only guessed.
        if finding.aspect == Some(Aspect::Edge) && !page.edges_known() {
            continue;
        }
        finding.seen = Some(task.requirement.seen);
        told::part_of(&mut finding, page);
        told::turn_back(&mut finding, page, quarters);
        findings.push(finding);
    }
    findings.extend(signs::letter(task, page, seen, &stand.hit));
    drawn(task, page, seen, stand, findings);
    if task.requirement.least.is_none() {
        legible(desk, task, stand, seen, findings);
    }
}

/// Whether all its letters run parallel to the base. `Generally parallel` (16 CFR 500.6(b)) has no figure: three degrees
/// are the most that a slip of the knife gives (our own bound).
fn is_level(page: &Page<'_>, stand: &Stand) -> bool {
    const SLANT: f64 = 3.0;
    let glyphs = || stand.hit.glyphs().filter_map(|g| page.seen?.glyphs.get(g)).filter(|g| !g.is_space());
    glyphs().all(|g| g.turn.abs() <= SLANT)
}

/// Whether the law asks for black letters on white: of the text of a hazard label from a day on. Others need only stand out.
fn black(desk: &Desk<'_>, task: &Task<'_>) -> bool {
    let rule = law::rule("eu/clp-type").filter(|r| r.in_force(desk.needs.market, desk.needs.date));
    rule.is_some() && task.requirement.id.starts_with("eu/clp")
}

/// Squeezed letters, and letters that hardly stand out from what is behind them.
fn drawn(task: &Task<'_>, page: &Page<'_>, seen: &SeenPage, stand: &Stand, findings: &mut Vec<Finding>) {
    use crate::find::{Evidence, Severity};
    /// Less than this share of the width the font gives is no accident of setting (our own bound).
    const SQUEEZED: f64 = 0.9;
    /// Contrast of text that most people read well (WCAG 2.2, success criterion 1.4.3).
    const CLEAR: f64 = 4.5;
    let policy = |id: &str, message: String, cure: &str| {
        Finding::of(id, Level::Warning, Severity::Policy, Some(Evidence::Policy), message, cure)
    };
    let glyphs = || stand.hit.glyphs().filter(|&g| seen.glyphs.get(g).is_some_and(|g| !g.is_space()));
    if let Some(glyph) = glyphs().find(|&g| seen.glyphs[g].stretch < SQUEEZED) {
        let message = format!("the letters of {} are squeezed", told::called(task));
        let finding = policy(
            "label/squeezed",
            message,
            "set it in a narrower face instead; the width of letters is the font's own",
        )
        .instead("100 %", format!("{:.0} %", seen.glyphs[glyph].stretch * 100.0));
        findings.push(told::on(finding, page, Some(glyph)));
    }
    if let Some(glyph) = glyphs().find(|&g| seen.glyphs[g].contrast.is_some_and(|c| c < CLEAR)) {
        let message = format!("the letters of {} hardly stand out from what is behind them", told::called(task));
        let contrast = seen.glyphs[glyph].contrast.unwrap_or(1.0);
        let mut finding = policy("label/contrast", message, "print it dark on light, or light on dark")
            .instead("a contrast of 4.5 or more", format!("{contrast:.1}"));
        // Below 3 hardly anybody reads it.
        if contrast < 3.0 && task.requirement.severity <= Severity::Standard {
            finding.level = Level::Error;
            finding.id.clone_from(&task.requirement.id);
            finding.severity = task.requirement.severity;
            finding.seen = Some(task.requirement.seen);
        }
        findings.push(told::on(finding, page, Some(glyph)));
    }
}

/// Letters no law gives a height for are still to be read.
fn legible(desk: &Desk<'_>, task: &Task<'_>, stand: &Stand, seen: &SeenPage, findings: &mut Vec<Finding>) {
    let Some(rule) = law::rule("policy/text-height") else { return };
    let lowest = heights::measured(seen, &found(&stand.hit), Measure::Capital)
        .into_iter()
        .min_by(|a, b| a.height.total_cmp(&b.height));
    if let Some(lowest) = lowest.filter(|l| l.height < LEGIBLE.to_mm_f64() - inspect::TOLERANCE) {
        let message = format!("{} is printed very small, measured on {}", told::called(task), lowest.letter);
        let cure = format!("make its capital letters at least {} high", LEGIBLE.in_mm(1));
        let finding = Finding::of(rule.id, Level::Warning, rule.severity, Some(rule.seen()), message, cure)
            .instead(LEGIBLE.least_in_mm(3), format!("{:.3} mm", lowest.height));
        findings.push(told::on(finding, &desk.pages[stand.page], Some(lowest.glyph)));
    }
}

/// Why a statement was not found that nothing comes near.
pub fn lacking(desk: &Desk<'_>, task: &Task<'_>) -> Finding {
    let text = &task.texts[0];
    let Some((first, second)) = split(desk, text) else { return missing(desk, task) };
    let message = format!(
        "{} is split: it begins on {} and goes on on {}",
        told::called(task),
        told::side(first),
        told::side(second)
    );
    let finding = told::of(task, message, "put the whole statement on one part").instead(text.clone(), "two pieces");
    told::on(finding, first, None)
}

/// What comes near a statement, in one of its wordings.
pub struct Close<'t> {
    /// Index of the page.
    pub page: usize,
    /// The wording it comes near.
    text: &'t str,
    /// What stands there.
    pub near: search::Near,
}

/// What comes nearest a statement, of words that serve no other.
pub fn near<'t>(desk: &Desk<'_>, task: &'t Task<'_>, taken: &Taken) -> Option<Close<'t>> {
    let pages = desk.pages.iter().enumerate();
    pages
        .flat_map(|(n, page)| task.texts.iter().map(move |t| (n, page, t)))
        .filter_map(|(page, seen, text)| {
            let near = search::near(seen.rows(0), text, |g| taken.contains(&(page, g)))?;
            Some(Close { page, text, near })
        })
        // Of wordings that come equally near the first counts, which is the maker's own.
        .reduce(|best, other| if other.near.alike > best.near.alike { other } else { best })
}

/// Tells it word by word.
pub fn told_near(desk: &Desk<'_>, task: &Task<'_>, close: &Close<'_>) -> Finding {
    let near = &close.near;
    let differ = near.differ.iter().map(|(asked, there)| match (asked.as_str(), there.as_str()) {
        ("", there) => format!("`{there}` is too much"),
        (asked, "") => format!("`{asked}` is missing"),
        (asked, there) => {
            // What both end with is not what differs.
            let points = |c: char| ".,;:!?()".contains(c);
            let same = asked.trim_start_matches(points) != asked || asked.ends_with(points);
            let bare = |t: &str| t.trim_matches(points).to_owned();
            let (a, t) = if same && bare(asked) != bare(there) {
                (bare(asked), bare(there))
            } else {
                (asked.to_owned(), there.to_owned())
            };
            format!("`{t}` instead of `{a}`")
        }
    });
    let message = format!("{} is not whole: {}", told::called(task), differ.collect::<Vec<_>>().join(", "));
    let cure = "write it as expected, or with one of the accepted wordings that `waxbill explain` tells";
    let finding = told::of(task, message, cure).instead(close.text, near.found.clone());
    told::on(finding, &desk.pages[close.page], near.glyph)
}

/// Whether it is in the file and cannot be seen, or not all of it, which is then told.
fn is_hidden(desk: &Desk<'_>, task: &Task<'_>, taken: &mut Taken, findings: &mut Vec<Finding>) -> bool {
    let text = &task.texts[0];
    for (number, page) in desk.pages.iter().enumerate() {
        let hidden =
            task.texts.iter().find_map(|t| search::find(page.with_hidden(), &search::letters(t)).into_iter().next());
        if let (Some(hit), Some(seen)) = (hidden, page.seen)
            && let Some(glyph) = hit.glyphs().find(|&g| seen.glyphs[g].hidden.is_some())
        {
            let off = seen.glyphs[glyph].hidden == Some(Hidden::OffSheet);
            let finding = if off && hit.glyphs().any(|g| seen.glyphs[g].hidden.is_none()) {
                let message = format!("{} is cut off at the edge of {}", told::called(task), told::side(page));
                let cure = "move it inwards or give the part more room";
                told::on(told::of(task, message, cure).about(Aspect::Edge), page, Some(glyph))
            } else {
                let gauge = Gauge::of(task.requirement, text, task.lang, page);
                let mut finding = inspect::hidden(&gauge.place(seen), glyph);
                finding.seen = Some(task.requirement.seen);
                told::part_of(&mut finding, page);
                finding
            };
            findings.push(finding);
            // What is left of it to see is no slip of another statement.
            taken.extend(hit.glyphs().map(|g| (number, g)));
            return true;
        }
    }
    false
}

/// Not there at all, or in another language only.
fn missing(desk: &Desk<'_>, task: &Task<'_>) -> Finding {
    let text = &task.texts[0];
    let others: Vec<&str> = desk.in_other_languages(task).into_iter().map(Lang::word).collect();
    if super::unread::any(desk) {
        let message = format!("could not read whether {} is on the label", told::called(task));
        let mut finding = told::of(task, message, "look for it yourself, or save the PDF with its letters as text");
        finding.level = Level::Warning;
        return finding.instead(text.clone(), "not readable");
    }
    let message = if others.is_empty() {
        format!("{} is not on the label", told::called(task))
    } else {
        format!("{} is on the label in `{}` and not in `{}`", told::called(task), others.join("`, `"), task.lang)
    };
    let mut finding =
        told::of(task, message, format!("add it: {}", task.requirement.because)).instead(text.clone(), "nothing");
    if let Some(page) = desk.pages.iter().find(|p| task.requirement.principal && p.principal == Some(true)) {
        finding = told::on(finding, page, None);
    }
    finding
}

/// The pages on which the two pieces of a sentence stand that was torn apart.
fn split<'p>(desk: &Desk<'p>, text: &str) -> Option<(&'p Page<'p>, &'p Page<'p>)> {
    let words: Vec<&str> = text.split_whitespace().collect();
    if words.len() < 4 || desk.pages.len() < 2 {
        return None;
    }
    (2..words.len() - 1).rev().find_map(|at| {
        let (before, after) = (words[..at].join(" "), words[at..].join(" "));
        let first = desk.pages.iter().find(|p| search::has(p.rows(0), &before))?;
        let second = desk.pages.iter().find(|p| p.number != first.number && search::has(p.rows(0), &after))?;
        Some((first, second))
    })
}

/// Of many findings that say the same of one statement after another, the first, which tells how many follow.
fn alike(raw: Vec<Finding>) -> Vec<Finding> {
    const MANY: usize = 3;
    let says =
        |f: &Finding| f.message.rsplit_once("` is ").or(f.message.rsplit_once("` stands ")).map(|(_, s)| s.to_owned());
    let all: Vec<Option<String>> = raw.iter().map(says).collect();
    let mut out: Vec<Finding> = Vec::new();
    for (n, mut finding) in raw.into_iter().enumerate() {
        let same = all.iter().filter(|s| **s == all[n] && s.is_some()).count();
        if same > MANY {
            if all[..n].contains(&all[n]) {
                continue;
            }
            finding.message += &format!("; so it is with {} more statements", same - 1);
        }
        out.push(finding);
    }
    out
}

/// Statements that stand in two languages, where the market asks that neither outdoes the other.
fn equal(desk: &Desk<'_>, tasks: &[Task<'_>], stands: &[Option<Stand>], findings: &mut Vec<Finding>) {
    let Some(rule) = desk.needs.both_languages else { return };
    let required = rule.severity == crate::trade::Severity::Required;
    let equal = Equal {
        rule: rule.id.to_owned(),
        severity: rule.severity,
        first: required.then(|| desk.needs.languages.first().copied()).flatten(),
    };
    for (number, page) in desk.pages.iter().enumerate() {
        let Some(seen) = page.seen else { continue };
        let here: Vec<(Item, Found)> = tasks
            .iter()
            .zip(stands)
            .filter_map(|(task, stand)| {
                let stand = stand.as_ref().filter(|s| s.page == number)?;
                let mut item = Gauge::of(task.requirement, &task.texts[0], task.lang, page).item;
                // Each sentence with the same sentence of the other language.
                item.id += task.piece.as_deref().unwrap_or("");
                Some((item, found(&stand.hit)))
            })
            .collect();
        let pairs: Vec<(&Item, &Found)> = here.iter().map(|(item, found)| (item, found)).collect();
        let mut raw = Vec::new();
        inspect::languages::check(seen, &part(page), &equal, &pairs, &mut raw);
        for mut finding in alike(raw) {
            finding.seen = Some(rule.seen());
            told::part_of(&mut finding, page);
            findings.push(finding);
        }
    }
}
