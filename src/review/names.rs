//! Names of substances on the label against those computed, by CAS number and in any order. Part of `review`.

use super::Desk;
use super::data;
use super::rows::below;
use super::search;
use super::statement::Taken;
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

/// All asked for, none besides.
pub fn judge(desk: &Desk<'_>, task: &Task<'_>, taken: &mut Taken, findings: &mut Vec<Finding>) {
    let Some(hazards) = desk.needs.figures.hazards.as_ref() else { return };
    let asked = match task.piece {
        Some(_) => desk.sensitisers(),
        None => hazards.whole.names.printed.clone(),
    };
    let contains = contains(task.lang.word());
    let listed: Vec<(usize, Item)> = desk
        .pages
        .iter()
        .enumerate()
        .flat_map(|(n, p)| items(p.rows(0), contains).into_iter().flatten().map(move |i| (n, i)))
        .collect();
    if listed.is_empty() && !super::unread::any(desk) {
        let message = format!("{} is not on the label in `{}`", told::called(task), task.lang);
        findings.push(
            told::of(task, message, "name the substances after the word for `contains` of the language")
                .instead(task.texts[0].clone(), "nothing"),
        );
        return;
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
        let with_names = |n: usize| listed.iter().any(|(page, _)| *page == n);
        let mut there = desk.pages.iter().enumerate().filter(|(_, p)| search::has(p.rows(0), fixed)).peekable();
        there.peek().is_some() && !listed.is_empty() && !there.any(|(n, _)| with_names(n))
    });
    if let Some(fixed) = apart {
        let message = format!("the names and `{fixed}` stand on two parts");
        let finding = told::of(task, message, "put the whole statement on one part");
        findings.push(finding.instead(task.texts[0].clone(), "two pieces"));
    }
    for name in &asked {
        let names: Vec<String> = desk.synonyms(name).iter().map(|n| folded(n)).collect();
        if let Some((page, item)) = listed.iter().find(|(_, i)| i.begins(&names)) {
            taken.extend(item.glyphs.iter().map(|&g| (*page, g)));
            continue;
        }
        // Names set below each other without commas, in whatever order.
        if let Some((page, glyphs)) = below_contains(desk, &desk.synonyms(name), contains) {
            taken.extend(glyphs.into_iter().map(|g| (page, g)));
            continue;
        }
        let near = listed.iter().find(|(_, i)| names.iter().any(|n| search::similar(n, &i.folded) > 0.6));
        let unreadable = near.is_none() && super::unread::any(desk);
        let message = match &near {
            Some(_) => format!("the name `{name}` is misspelt"),
            None if unreadable => format!("could not read whether the name `{name}` is on the label"),
            None => format!("the name `{name}` is not on the label"),
        };
        let cure = "name every substance that the computation names; `waxbill classify` tells why each is there";
        let found = near.map_or("nothing", |(_, i)| i.text.as_str());
        let mut finding = told::of(task, message, cure).instead(asked.join(", "), found);
        if unreadable {
            finding.level = Level::Warning;
        }
        findings.push(match near {
            Some((page, item)) => told::on(finding, &desk.pages[*page], item.glyphs.first().copied()),
            None => finding,
        });
    }
}

/// Where one of the names stands as words of its own, at or a few rows below the word for `contains`.
fn below_contains(desk: &Desk<'_>, names: &[String], contains: &str) -> Option<(usize, Vec<usize>)> {
    const REACH: usize = 12;
    let contains = search::letters(contains);
    desk.pages.iter().enumerate().find_map(|(n, page)| {
        let rows = page.rows(0);
        let starts: Vec<usize> = search::find(rows, &contains).iter().map(|h| h.row).collect();
        let near = |row: usize| starts.iter().any(|s| (*s..=s + REACH).contains(&row));
        let mut hits = names.iter().flat_map(|name| search::find(rows, &search::letters(name)));
        hits.find(|h| near(h.row)).map(|h| (n, h.glyphs().collect()))
    })
}

/// The word for `contains` of a language: the beginning of EUH208.
fn contains(lang: &str) -> &'static str {
    statements::statement("EUH208", lang).and_then(|s| s.split(['<', '…']).next()).unwrap_or("")
}

fn folded(name: &str) -> String {
    super::fold::words(name).concat()
}

/// One name of a list on the label.
struct Item {
    text: String,
    folded: String,
    glyphs: Vec<usize>,
}

impl Item {
    /// Whether it is one of these names, or one with something behind it: the last name of a list without a full stop runs
    /// into what stands below.
    fn begins(&self, names: &[String]) -> bool {
        let mut so_far = String::new();
        self.text.split_whitespace().any(|word| {
            so_far += &folded(word);
            names.contains(&so_far)
        })
    }
}

/// Words that part two names as a comma does.
const AND: [&str; 8] = ["and", "et", "und", "en", "y", "e", "og", "och"];

/// The lists that follow the word for `contains`, each up to its full stop, at most five rows long.
fn items(rows: &[super::rows::Row], contains: &str) -> Vec<Vec<Item>> {
    let first = search::letters(contains);
    let mut lists = Vec::new();
    for start in search::find(rows, &first) {
        let last = start.glyphs().last();
        let mut list: Vec<Item> = Vec::new();
        let (mut row, mut begun, mut open, mut done) = (Some(start.row), false, false, false);
        for _ in 0..5 {
            let Some(r) = row.filter(|_| !done) else { break };
            for word in &rows[r].words {
                if !begun {
                    begun = last.is_some_and(|l| word.glyphs.contains(&l));
                    continue;
                }
                if done {
                    break;
                }
                if AND.contains(&word.folded.as_str()) || word.text == "&" {
                    open = false;
                    continue;
                }
                if !word.folded.is_empty() {
                    if !open {
                        list.push(Item { text: String::new(), folded: String::new(), glyphs: Vec::new() });
                    }
                    if let Some(item) = list.last_mut() {
                        let space = if item.text.is_empty() { "" } else { " " };
                        item.text = format!("{}{space}{}", item.text, word.text.trim_matches(['.', ',', ';']));
                        item.folded += &word.folded;
                        item.glyphs.extend(&word.glyphs);
                    }
                }
                open = !word.text.ends_with([',', ';']);
                done = word.text.ends_with('.');
            }
            row = below(rows, r).first().copied();
        }
        lists.push(list);
    }
    lists
}

/// Names that stand in such a list and that nothing asks for.
pub fn besides(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    let Some(hazards) = desk.needs.figures.hazards.as_ref() else { return };
    let Some(rule) = crate::law::rule("eu/clp-names") else { return };
    let mut asked = hazards.whole.names.printed.clone();
    asked.extend(desk.sensitisers());
    let ours: Vec<String> = asked.iter().flat_map(|n| desk.synonyms(n)).map(|n| folded(&n)).collect();
    let known: Vec<String> = data::names().flat_map(|(_, n)| n).map(folded).collect();
    for page in desk.pages {
        for lang in &desk.needs.languages {
            for list in items(page.rows(0), contains(lang.word())) {
                // `Contains soy wax` is no list of names.
                let of_names = list.iter().any(|i| i.begins(&ours) || i.begins(&known));
                for item in list.iter().filter(|i| of_names && !i.begins(&ours)) {
                    // What runs on is a sentence below the list.
                    if item.text.split(' ').count() > 5 && !item.begins(&known) {
                        continue;
                    }
                    if ours.iter().any(|n| search::similar(n, &item.folded) > 0.6) {
                        continue;
                    }
                    let name = &item.text;
                    let message = format!("the label names `{name}`, which this candle does not hold above its limit");
                    let cure = "name what the computation names and nothing else; `waxbill classify` tells the limits";
                    let expected = if asked.is_empty() { "no name".to_owned() } else { asked.join(", ") };
                    let mut finding = told::under(rule, message, cure).instead(expected, name.clone());
                    finding.level = Level::Warning;
                    if !findings.iter().any(|f| f.message == finding.message) {
                        findings.push(told::on(finding, page, item.glyphs.first().copied()));
                    }
                }
            }
        }
    }
}
