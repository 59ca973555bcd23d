//! Names of substances on the label against those computed, by CAS number and in any order. Part of `review`.

use super::Desk;
use super::data;
use super::rows::{Row, Word, below};
use super::search::{self, Hit};
use super::statement::{Stand, Taken};
use super::task::Task;
use super::told;
use crate::find::{Finding, Level};
use crate::hazard::{Reason, statements};

impl Desk<'_> {
    /// Sensitisers of the sentence EUH208.
    pub fn sensitisers(&self) -> Vec<String> {
        let hazards = self.needs.figures.hazards.as_ref();
        hazards.map_or_else(Vec::new, |h| h.found.euh208.iter().map(|r| r.name().to_owned()).collect())
    }

    /// CAS number of a substance the classification names.
    fn cas(&self, name: &str) -> Option<String> {
        let found = &self.needs.figures.hazards.as_ref()?.found;
        let reasons = found.classes.iter().flat_map(|c| &c.because).chain(&found.euh208).chain(&found.also_named);
        reasons.filter(|r: &&Reason| r.name() == name).find_map(|r| r.substance.cas.clone())
    }

    /// Every name a substance may stand under.
    fn synonyms(&self, name: &str) -> Vec<String> {
        let cas = self.cas(name);
        let mut names = vec![name.to_owned()];
        let of_cas = data::names().filter(|(c, _)| Some(*c) == cas.as_deref());
        names.extend(of_cas.flat_map(|(_, n)| n).map(str::to_owned));
        names
    }
}

/// All asked for; answers where they stand with their sentence, and whether all of it is there.
pub fn judge(
    desk: &Desk<'_>,
    task: &Task<'_>,
    taken: &mut Taken,
    findings: &mut Vec<Finding>,
) -> Option<(Stand, bool)> {
    let hazards = desk.needs.figures.hazards.as_ref()?;
    let before = findings.len();
    let asked = match task.piece {
        Some(_) => desk.sensitisers(),
        None => hazards.whole.names.printed.clone(),
    };
    let (contains, tail) = (contains(task.lang.word()), tail(task.lang.word()));
    let ours: Vec<String> = asked.iter().flat_map(|n| desk.synonyms(n)).map(|n| folded(&n)).collect();
    let known = known(&ours);
    let all = desk.pages.iter().enumerate();
    let lists: Vec<(usize, Listed)> =
        all.flat_map(|(n, p)| lists(p.rows(0), contains, &known).into_iter().map(move |l| (n, l))).collect();
    let listed: Vec<(usize, &Listed, &Item)> =
        lists.iter().flat_map(|(n, l)| l.items.iter().map(move |i| (*n, l, i))).collect();
    if listed.is_empty() && !super::unread::any(desk) {
        let message = format!("{} is not on the label in `{}`", told::called(task), task.lang);
        findings.push(
            told::of(task, message, "name the substances after the word for `contains` of the language")
                .instead(task.texts[0].clone(), "nothing"),
        );
        return None;
    }
    if let Some(fixed) = task.texts.get(1).filter(|t| !desk.pages.iter().any(|p| search::has(p.rows(0), t))) {
        let near = desk.pages.iter().find_map(|p| Some((p, search::near(p.rows(0), fixed, |_| false)?)));
        let found = near.as_ref().map_or("nothing", |(_, n)| n.found.as_str());
        let message = format!("`{fixed}` (EUH208) is not on the label");
        let cure = "write the sentence of the law after the names";
        let finding = told::of(task, message, cure).instead(fixed.clone(), found);
        findings.push(match &near {
            Some((page, near)) => told::on(finding, page, near.glyph),
            None => finding,
        });
    }
    // One statement: the sentence on one part and its names on another are none.
    let apart = task.texts.get(1).filter(|fixed| {
        let with_names = |n: usize| listed.iter().any(|(page, ..)| *page == n);
        let mut there = desk.pages.iter().enumerate().filter(|(_, p)| search::has(p.rows(0), fixed)).peekable();
        there.peek().is_some() && !listed.is_empty() && !there.any(|(n, _)| with_names(n))
    });
    if let Some(fixed) = apart {
        let message = format!("the names and `{fixed}` stand on two parts");
        let finding = told::of(task, message, "put the whole statement on one part");
        findings.push(finding.instead(task.texts[0].clone(), "two pieces"));
    }
    let mut stand: Option<Stand> = None;
    for name in &asked {
        let names: Vec<String> = desk.synonyms(name).iter().map(|n| folded(n)).collect();
        let place = listed.iter().find_map(|(page, list, i)| Some((*page, *list, &i.words[..i.named(&names, tail)?])));
        if let Some((page, list, words)) = place {
            let stand = stand.get_or_insert_with(|| Stand { page, hit: list.start.clone() });
            if stand.page == page {
                stand.hit.words.extend(words.iter().map(|w| w.glyphs.clone()));
            }
            taken.extend(words.iter().flat_map(|w| &w.glyphs).map(|&g| (page, g)));
            continue;
        }
        let near = listed.iter().find(|(.., i)| names.iter().any(|n| search::similar(n, &i.folded()) > 0.6));
        let unreadable = near.is_none() && super::unread::any(desk);
        // Some names are the same in several languages, and each of them wants it.
        let of = if desk.needs.languages.len() > 1 { format!(" in `{}`", task.lang) } else { String::new() };
        let message = match &near {
            Some(_) => format!("the name `{name}`{of} is misspelt"),
            None if unreadable => format!("could not read whether the name `{name}`{of} is on the label"),
            None => format!("the name `{name}`{of} is not on the label"),
        };
        let cure = "name every substance that the computation names; `waxbill classify` tells why each is there";
        let found = near.map_or_else(|| "nothing".to_owned(), |(.., i)| i.text());
        let mut finding = told::of(task, message, cure).instead(asked.join(", "), found);
        if unreadable {
            finding.level = Level::Warning;
        }
        findings.push(match near {
            Some((page, _, item)) => told::on(finding, &desk.pages[*page], item.glyph()),
            None => finding,
        });
    }
    if let (Some(stand), Some(fixed)) = (&mut stand, task.texts.get(1)) {
        let sentence = search::find(desk.pages[stand.page].rows(0), &search::letters(fixed)).into_iter().next();
        stand.hit.words.extend(sentence.into_iter().flat_map(|h| h.words));
    }
    stand.map(|stand| (stand, findings.len() == before))
}

/// The word for `contains` of a language: the beginning of EUH208.
fn contains(lang: &str) -> &'static str {
    statements::statement("EUH208", lang).and_then(|s| s.split(['<', '…']).next()).unwrap_or("")
}

/// What follows the names in EUH208.
fn tail(lang: &str) -> &'static str {
    statements::statement("EUH208", lang)
        .and_then(|s| s.rsplit(['>', '…']).next())
        .map_or("", |t| t.trim_start_matches(['.', ' ']))
}

/// Without hyphens, which a line break may put in.
fn folded(name: &str) -> String {
    super::fold::words(name).concat().replace('-', "")
}

/// One name of a list on the label, with what runs on behind it.
#[derive(Default)]
struct Item {
    words: Vec<Piece>,
}

/// A word of a name.
struct Piece {
    text: String,
    folded: String,
    row: usize,
    glyphs: Vec<usize>,
}

impl Item {
    fn text(&self) -> String {
        self.words.iter().map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ")
    }

    fn folded(&self) -> String {
        self.words.iter().map(|w| w.folded.as_str()).collect()
    }

    fn glyph(&self) -> Option<usize> {
        self.words.first().and_then(|w| w.glyphs.first().copied())
    }

    /// How many of its words are one of these names: all, or those in front where the list has no full stop and runs into the
    /// sentence that follows it or into the line below. `linalool oxide` is another substance than `linalool`.
    fn named(&self, names: &[String], tail: &str) -> Option<usize> {
        let first = super::fold::words(tail).into_iter().next();
        let mut so_far = String::new();
        (1..=self.words.len()).find(|&count| {
            so_far += &self.words[count - 1].folded;
            let ends = match self.words.get(count) {
                None => true,
                // A word without a capital goes on with the name, but where it is a name itself.
                Some(next) if next.row != self.words[count - 1].row => {
                    !next.text.starts_with(char::is_lowercase) || is_name(&next.folded)
                }
                Some(next) => first.as_ref() == Some(&next.folded),
            };
            ends && names.contains(&so_far)
        })
    }
}

/// Whether a name of the list begins with this word.
fn is_name(word: &str) -> bool {
    word.len() > 3 && data::names().flat_map(|(_, n)| n).any(|n| folded(n).starts_with(word))
}

/// Words that part two names as a comma does.
const AND: [&str; 8] = ["and", "et", "und", "en", "y", "e", "og", "och"];

/// Words of the rows from the one for `contains` on, each with its row.
fn after<'r>(rows: &'r [Row], start: &Hit, reach: usize) -> Vec<(usize, Vec<&'r Word>)> {
    let last = start.glyphs().last();
    let at = rows[start.row].words.iter().position(|w| last.is_some_and(|l| w.glyphs.contains(&l)));
    let first = at.map_or_else(Vec::new, |at| rows[start.row].words[at + 1..].iter().collect());
    let mut out = vec![(start.row, first)];
    let mut row = start.row;
    while let Some(next) = below(rows, row).first().copied().filter(|_| out.len() < reach) {
        out.push((next, rows[next].words.iter().collect()));
        row = next;
    }
    out
}

fn piece(word: &Word, row: usize) -> Piece {
    Piece {
        text: word.text.trim_matches(['.', ',', ';']).to_owned(),
        folded: word.folded.replace('-', ""),
        row,
        glyphs: word.glyphs.clone(),
    }
}

/// A list of names and the word for `contains` before it.
struct Listed {
    start: Hit,
    items: Vec<Item>,
}

/// The lists that follow the word for `contains`, each up to its full stop, at most five rows long; then names that stand
/// below each other.
fn lists(rows: &[Row], contains: &str, known: &[String]) -> Vec<Listed> {
    let mut lists = Vec::new();
    for start in search::find(rows, &search::letters(contains)) {
        let mut items: Vec<Item> = Vec::new();
        let mut open = false;
        'list: for (row, words) in after(rows, &start, 5) {
            for word in words {
                let parts = word.folded.is_empty() || AND.contains(&word.folded.as_str());
                if !parts {
                    if !open {
                        items.push(Item::default());
                    }
                    if let Some(item) = items.last_mut() {
                        item.words.push(piece(word, row));
                    }
                }
                open = !parts && !word.text.ends_with([',', ';']);
                if word.text.ends_with('.') {
                    break 'list;
                }
            }
        }
        items.extend(stacked(rows, &start, known));
        lists.push(Listed { start, items });
    }
    lists
}

/// Names below each other without commas, in rows that hold nothing but known names, up to a full stop.
fn stacked(rows: &[Row], start: &Hit, known: &[String]) -> Vec<Item> {
    const REACH: usize = 13;
    /// Words of the longest name.
    const LONGEST: usize = 6;
    let mut out = Vec::new();
    for (n, (row, words)) in after(rows, start, REACH).into_iter().enumerate() {
        let words: Vec<&Word> =
            words.into_iter().filter(|w| !w.folded.is_empty() && !AND.contains(&w.folded.as_str())).collect();
        let (mut at, mut here) = (0, Vec::new());
        while at < words.len() {
            let fits = (1..=LONGEST.min(words.len() - at)).rev().find(|count| {
                let name: String = words[at..at + count].iter().map(|w| w.folded.replace('-', "")).collect();
                known.contains(&name)
            });
            let Some(count) = fits else { return out };
            here.push(Item { words: words[at..at + count].iter().map(|w| piece(w, row)).collect() });
            at += count;
        }
        // Names side by side are parted by commas, or they are another name together.
        if here.len() > 1 && n > 0 && !words.iter().any(|w| w.text.ends_with([',', ';'])) {
            return out;
        }
        if n > 0 {
            out.extend(here);
        }
        if words.last().is_some_and(|w| w.text.ends_with('.')) {
            return out;
        }
    }
    out
}

/// Names that stand in such a list and that nothing asks for.
pub fn besides(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    let Some(hazards) = desk.needs.figures.hazards.as_ref() else { return };
    let Some(rule) = crate::law::rule("eu/clp-names") else { return };
    let mut asked = hazards.whole.names.printed.clone();
    asked.extend(desk.sensitisers());
    let ours: Vec<String> = asked.iter().flat_map(|n| desk.synonyms(n)).map(|n| folded(&n)).collect();
    let known = known(&ours);
    let is_ours = |i: &Item, tail: &str| i.named(&ours, tail).is_some();
    for page in desk.pages {
        for lang in &desk.needs.languages {
            let tail = tail(lang.word());
            for Listed { items, .. } in lists(page.rows(0), contains(lang.word()), &known) {
                // `Contains soy wax` is no list of names.
                let of_names = items.iter().any(|i| i.named(&known, tail).is_some());
                for item in items.iter().filter(|i| of_names && !is_ours(i, tail)) {
                    // What runs on is a sentence below the list.
                    if item.words.len() > 5 && item.named(&known, tail).is_none() {
                        continue;
                    }
                    let whole = item.folded();
                    // A slip of a name of ours is told where that name is missed.
                    let near = |n: &&String| search::similar(n, &whole) > 0.6;
                    let listed = |n: &String| desk.pages.iter().any(|p| search::has(p.rows(0), n));
                    if ours.iter().filter(near).any(|n| !listed(n)) {
                        continue;
                    }
                    let name = item.text();
                    let message = format!("the label names `{name}`, which this candle does not hold above its limit");
                    let cure = "name what the computation names and nothing else; `waxbill classify` tells the limits";
                    let expected = if asked.is_empty() { "no name".to_owned() } else { asked.join(", ") };
                    let mut finding = told::under(rule, message, cure).instead(expected, name);
                    finding.level = Level::Warning;
                    if !findings.iter().any(|f| f.message == finding.message) {
                        findings.push(told::on(finding, page, item.glyph()));
                    }
                }
            }
        }
    }
}

/// Names of the list, and ours.
fn known(ours: &[String]) -> Vec<String> {
    data::names().flat_map(|(_, n)| n).map(folded).chain(ours.iter().cloned()).collect()
}
