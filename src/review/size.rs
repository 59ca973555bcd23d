//! Whether the label is as large as the law wants it for the package, and holds all its lines. Part of `review`.

use super::statement::Taken;
use super::{Desk, told};
use crate::find::{Aspect, Evidence, Finding, Level, Severity};
use crate::inspect::{Area, Hidden, TOLERANCE};
use crate::law;
use crate::require::Hazards;
use crate::unit::Length;

/// Lines that run over the edge of the label: whatever they say, the knife or the end of the sheet cuts them.
/// Statements of which that was told, whose letters are `taken`, are not told again.
pub fn over_the_edge(desk: &Desk<'_>, taken: &Taken, findings: &mut Vec<Finding>) {
    for (number, page) in desk.pages.iter().enumerate().filter(|(_, p)| p.edges_known()) {
        let Some(seen) = page.seen else { continue };
        let label = Area { left: 0.0, top: 0.0, right: seen.width, bottom: seen.height };
        for row in page.with_hidden() {
            let inks = || {
                let glyphs = row.words.iter().flat_map(|w| &w.glyphs).filter_map(|&g| seen.glyphs.get(g));
                glyphs.filter(|g| !matches!(g.hidden, Some(Hidden::Unpainted | Hidden::Pale))).filter_map(|g| g.ink)
            };
            let inside = |a: &Area| label.holds(a, TOLERANCE);
            // What stands beyond as a whole is a mark for the printer.
            if !inks().any(|a| inside(&a)) || inks().all(|a| inside(&a)) {
                continue;
            }
            let outside = |g: usize| seen.glyphs[g].ink.is_some_and(|a| !inside(&a));
            let mut beyond = row.words.iter().flat_map(|w| &w.glyphs).copied().filter(|&g| outside(g));
            let told = |f: &Finding| {
                let at = f.on_page.as_ref().filter(|o| o.page == page.number).and_then(|o| o.y_mm);
                let here = at.is_some_and(|y| (y - row.baseline).abs() < 2.0 * row.em);
                here && f.aspect == Some(Aspect::Edge)
            };
            if beyond.all(|g| taken.contains(&(number, g))) && findings.iter().any(told) {
                continue;
            }
            let text: String = row.text().chars().take(60).collect();
            let message = format!("`{text}` runs over the edge of the label");
            let cure = "move it inwards or give the part more room";
            let finding = Finding::of(
                "label/over-the-edge",
                Level::Warning,
                Severity::Policy,
                Some(Evidence::Policy),
                message,
                cure,
            );
            let at = inks().find(|a| !inside(a)).map(|a| (a.left, a.top));
            findings.push(told::at(finding, page, at));
        }
    }
}

/// Words over each other, whatever they say, that no finding of a statement tells of already.
pub fn overlapping(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    /// Whoever has these to mend looks again.
    const MOST_OVERLAPS: usize = 20;
    /// A finding so many mm from words over each other tells of them.
    const NEAR: f64 = 5.0;
    for (page, seen) in desk.pages.iter().filter_map(|p| Some((p, p.seen?))) {
        let Some(overlaps) = seen.overlaps() else {
            let message = format!("{} holds so many words that none was held against the others", told::side(page));
            let cure = "look yourself whether words stand over each other";
            let note =
                Finding::of("label/not-read", Level::Note, Severity::Policy, Some(Evidence::Policy), message, cure);
            findings.push(told::at(note, page, None));
            continue;
        };
        let mut count = 0;
        for over in overlaps {
            let around = over.area.widened(NEAR, NEAR);
            let told = |f: &Finding| {
                let on = f.on_page.as_ref().filter(|o| o.page == page.number);
                let at = on.and_then(|o| Some([o.x_mm?, o.y_mm?]));
                f.aspect == Some(Aspect::Overlap) && at.is_some_and(|at| around.has(at))
            };
            if findings.iter().any(told) {
                continue;
            }
            count += 1;
            if count > MOST_OVERLAPS {
                break;
            }
            let [first, second] = &over.words;
            let message = format!(
                "`{first}` and `{second}` are printed over each other: they share {:.1} x {:.1} mm",
                over.area.width(),
                over.area.height()
            );
            let finding = Finding::of(
                "label/overlap",
                Level::Error,
                Severity::Policy,
                Some(Evidence::Policy),
                message,
                "move them apart",
            );
            findings.push(told::at(finding, page, Some((over.area.left, over.area.top))));
        }
    }
}

/// A classified mixture wants a label of a least size where there is room (CLP, Annex I, Table 1.3).
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    let Some(hazards) = desk.needs.figures.hazards.as_ref().filter(|h| Hazards::is_classified(h)) else { return };
    let Some(rule) = law::rule("eu/clp-label-size").filter(|r| r.in_force(desk.needs.market, desk.needs.date)) else {
        return;
    };
    let (Some(long), Some(short)) = (rule.figure::<Length>("width"), rule.figure::<Length>("height")) else { return };
    let lang = desk.needs.languages.first().map_or("en", |l| l.word());
    let texts: Vec<String> = hazards
        .whole
        .elements
        .hazard
        .iter()
        .filter_map(|c| crate::hazard::statements::printed(c, lang, "", &[]).ok())
        .collect();
    for page in desk.pages.iter().filter(|p| p.seen.is_some()) {
        if !texts.iter().any(|t| super::search::has(page.rows(0), t)) {
            continue;
        }
        let (width, height) = (page.shape.width(), page.shape.height());
        let small = width.max_of(height) < long || width.min(height) < short;
        if small {
            let message = format!("{} measures {} by {}", told::side(page), width.in_mm(1), height.in_mm(1));
            let cure = "make it larger where the package has room; the pictograms keep their least size in any case";
            let finding = Finding::of(rule.id, Level::Warning, rule.severity, Some(rule.seen()), message, cure)
                .instead(
                    format!("{} by {}", long.in_mm(1), short.in_mm(1)),
                    format!("{} by {}", width.in_mm(1), height.in_mm(1)),
                );
            findings.push(told::at(finding, page, None));
        }
    }
}
