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
    let contains =
        statements::statement("EUH208", task.lang.word()).and_then(|s| s.split(['<', '…']).next()).unwrap_or("");
    // The names of a language stand after its word for `contains`, in the rows that follow.
    let regions: Vec<Vec<usize>> = desk.pages.iter().map(|p| regions(p.rows(0), contains)).collect();
    if regions.iter().all(Vec::is_empty) && !super::unread::any(desk) {
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
    for name in &asked {
        let names = desk.synonyms(name);
        let hit = desk.pages.iter().enumerate().find_map(|(n, page)| {
            let hits = names.iter().flat_map(|t| search::find(page.rows(0), &search::letters(t)));
            hits.into_iter().find(|h| regions[n].contains(&h.row)).map(|h| (n, h))
        });
        if let Some((page, hit)) = hit {
            taken.extend(hit.glyphs().map(|g| (page, g)));
            continue;
        }
        let near = desk.pages.iter().zip(&regions).find_map(|(p, rows)| {
            let rows: Vec<_> = rows.iter().map(|&r| p.rows(0)[r].clone()).collect();
            Some((p, search::near(&rows, name, |_| false)?))
        });
        let message = match &near {
            Some(_) => format!("the name `{name}` is misspelt"),
            None => format!("the name `{name}` is not on the label"),
        };
        let unreadable = near.is_none() && super::unread::any(desk);
        let message =
            if unreadable { format!("could not read whether the name `{name}` is on the label") } else { message };
        let cure = "name every substance that the computation names; `waxbill classify` tells why each is there";
        let found = near.as_ref().map_or("nothing", |(_, n)| n.found.as_str());
        let mut finding = told::of(task, message, cure).instead(asked.join(", "), found);
        if unreadable {
            finding.level = Level::Warning;
        }
        findings.push(match &near {
            Some((page, near)) => told::on(finding, page, near.glyph),
            None => finding,
        });
    }
}

/// Rows from each word for `contains` on, up to five.
fn regions(rows: &[super::rows::Row], contains: &str) -> Vec<usize> {
    let mut out = Vec::new();
    for start in search::find(rows, &search::letters(contains)) {
        let mut row = Some(start.row);
        for _ in 0..5 {
            let Some(r) = row else { break };
            out.push(r);
            row = below(rows, r).first().copied();
        }
    }
    out
}

/// Names that stand after the word for `contains` and that nothing asks for.
pub fn besides(desk: &Desk<'_>, taken: &Taken, findings: &mut Vec<Finding>) {
    let Some(hazards) = desk.needs.figures.hazards.as_ref() else { return };
    let mut asked = hazards.whole.names.printed.clone();
    asked.extend(desk.sensitisers());
    let asked: Vec<String> = asked.iter().flat_map(|n| desk.synonyms(n)).map(|n| n.to_lowercase()).collect();
    let numbers: Vec<String> =
        hazards.whole.names.printed.iter().cloned().chain(desk.sensitisers()).filter_map(|n| desk.cas(&n)).collect();
    for (number, page) in desk.pages.iter().enumerate() {
        let rows = page.rows(0);
        for lang in &desk.needs.languages {
            let Some(contains) = statements::statement("EUH208", lang.word()).and_then(|s| s.split(['<', '…']).next())
            else {
                continue;
            };
            let region = regions(rows, contains);
            if !region.is_empty() {
                let others = data::names().filter(|(cas, _)| !numbers.iter().any(|n| n == cas));
                for name in others.flat_map(|(_, n)| n).filter(|n| !asked.contains(&n.to_lowercase())) {
                    let hits = search::find(rows, &search::letters(name));
                    let free =
                        |h: &search::Hit| region.contains(&h.row) && !h.glyphs().any(|g| taken.contains(&(number, g)));
                    let Some(hit) = hits.into_iter().find(free) else { continue };
                    let message = format!("the label names `{name}`, which this candle does not hold above its limit");
                    let cure = "name what the computation names and nothing else; `waxbill classify` tells the limits";
                    let Some(rule) = crate::law::rule("eu/clp-names") else { continue };
                    let expected = if asked.is_empty() { "no name".to_owned() } else { asked.join(", ") };
                    let mut finding = told::under(rule, message, cure).instead(expected, name);
                    finding.level = Level::Warning;
                    if !findings.iter().any(|f| f.message == finding.message) {
                        findings.push(told::on(finding, page, hit.glyphs().next()));
                    }
                }
            }
        }
    }
}
