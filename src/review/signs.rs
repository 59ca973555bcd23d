//! Pictograms and signs: how many, of which colour and size, and whether there are some that have no place. Part of `review`.

use super::label::Page;
use super::lot;
use super::search::Hit;
use super::statement::{found, part};
use super::task::Task;
use super::told;
use super::{Desk, Stands};
use crate::find::{Aspect, Evidence, Finding, Level, Severity};
use crate::hazard::pack;
use crate::inspect::{self, Area, Frame, Place, SeenPage, Shared, SignKind};
use crate::law;
use crate::plan::{Content, Item, Part, SIGN};
use crate::require::Requirement;
use crate::unit::Length;

/// Judges every requirement that is a picture.
pub fn judge(desk: &Desk<'_>, findings: &mut Vec<Finding>) {
    let asked: Vec<&Requirement> = desk.needs.requirements.iter().filter(|r| !r.signs.is_empty()).collect();
    let pages: Vec<(&Page<'_>, &SeenPage)> = desk.pages.iter().filter_map(|p| Some((p, p.seen?))).collect();
    if pages.is_empty() {
        return;
    }
    // Hazard pictograms together, signs for use together: each group on the page that has most of them.
    for hazard in [true, false] {
        let group: Vec<&Requirement> =
            asked.iter().copied().filter(|r| r.signs.iter().any(|s| s.ghs().is_some()) == hazard).collect();
        if group.is_empty() {
            continue;
        }
        let mut best: Option<(usize, usize, Vec<Finding>)> = None;
        for &(page, seen) in &pages {
            let (found, faults) = on_page(desk, page, seen, &group);
            let better =
                best.as_ref().is_none_or(|(most, least, _)| found > *most || (found == *most && faults.len() < *least));
            if better {
                best = Some((found, faults.len(), faults));
            }
        }
        findings.extend(best.map_or_else(Vec::new, |(.., faults)| faults));
    }
    for (page, seen) in pages {
        stray(desk, page, seen, &asked, findings);
    }
}

/// The safety alert symbol set as a letter: whether its triangle is solid is not told by its outline's box.
pub fn letter(task: &Task<'_>, page: &Page<'_>, seen: &SeenPage, hit: &Hit) -> Option<Finding> {
    let found = found(hit);
    let drawn = || inspect::alert_symbol(seen, &found);
    let glyph = inspect::alert_letter(seen, &found).filter(|_| task.requirement.alert_symbol && !drawn())?;
    let message = format!("the safety alert symbol before {} is a letter of a font (U+26A0)", told::called(task));
    let cure = "look whether its triangle and its exclamation mark are as bold as the word; a drawn one is sure to be";
    let finding =
        Finding::of("label/alert-letter", Level::Note, Severity::Policy, Some(Evidence::Policy), message, cure);
    Some(told::on(finding, page, Some(glyph)))
}

/// How many of the signs are on the page, and what is wrong with them or missing.
fn on_page(desk: &Desk<'_>, page: &Page<'_>, seen: &SeenPage, group: &[&Requirement]) -> (usize, Vec<Finding>) {
    let part: Part = part(page);
    let items: Vec<Item> = group
        .iter()
        .map(|r| {
            let hazard = r.signs.iter().any(|s| s.ghs().is_some());
            // A hazard pictogram takes a fifteenth of the least area of the label (CLP, Annex I, 1.2.1.3).
            let fifteenth = pack::pictogram_side(page.shape.width(), page.shape.height())
                .min(pack::pictogram_side(Length::mm(52), Length::mm(74)));
            let least = r.least.unwrap_or(SIGN);
            let side = if hazard { least.max_of(fifteenth) } else { least };
            lot::item(r, Content::Pictograms { signs: r.signs.clone(), side })
        })
        .collect();
    let (mut found, mut faults) = (0, Vec::new());
    let mut lacking: Vec<(&Shared, Finding)> = Vec::new();
    let all_shared = inspect::share(seen, &part, items.iter());
    for ((item, requirement), shared) in items.iter().zip(group).zip(&all_shared) {
        let spot = Place { item, page: seen, part: &part };
        let Content::Pictograms { side, .. } = &item.content else { continue };
        for of_kind in shared {
            found += of_kind.found.len();
            let mut raw = Vec::new();
            inspect::framed(&spot, of_kind, side.to_mm_f64(), &mut raw);
            for mut finding in raw {
                finding.seen = Some(requirement.seen);
                told::part_of(&mut finding, page);
                let few = finding.aspect == Some(Aspect::FewSigns);
                if few && seen.may_show_sign(of_kind.kind) {
                    finding.message =
                        format!("could not tell whether all signs are there: {} has a picture", told::side(page));
                    finding.level = Level::Warning;
                    "look yourself whether the picture holds them, each in its colour and size"
                        .clone_into(&mut finding.cure);
                } else if few {
                    lacking.push((of_kind, finding));
                    continue;
                }
                faults.push(finding);
            }
            // The same of several requirements is said once.
            let note = untold(page, of_kind).filter(|note| !faults.iter().any(|f| f.message == note.message));
            faults.extend(note);
        }
    }
    faults.extend(missing(desk, page, group, lacking));
    (found, faults)
}

/// Says of which signs it was not told what they show.
fn untold(page: &Page<'_>, shared: &Shared) -> Option<Finding> {
    let (what, at) = match shared.kind {
        SignKind::Hazard => {
            let odd = shared.found.iter().find(|s| s.ghs.is_none() && s.faults.is_empty())?;
            ("which hazard a pictogram shows could not be told: its drawing is like none of the official ones", odd)
        }
        SignKind::Use => {
            let first = shared.found.first()?;
            ("signs for use were counted and measured; what each shows was not read", first)
        }
        SignKind::Alert => return None,
    };
    let cure = "look yourself whether it is the one asked for";
    let note = Finding::of("label/not-read", Level::Note, Severity::Policy, Some(Evidence::Policy), what, cure);
    Some(told::at(note, page, Some((at.area.left, at.area.top))))
}

/// One finding for the signs of a kind that are not there. Which ones these are cannot be told: symbols are not read.
fn missing(
    desk: &Desk<'_>,
    page: &Page<'_>,
    group: &[&Requirement],
    lacking: Vec<(&Shared, Finding)>,
) -> Option<Finding> {
    let count: usize = lacking.iter().map(|(shared, _)| shared.asked - shared.found.len()).sum();
    let (shared, mut first) = lacking.into_iter().next()?;
    let signs: Vec<&str> = group.iter().flat_map(|r| &r.signs).map(|s| s.word()).collect();
    let (all, kind) = (signs.len(), if shared.kind == SignKind::Hazard { "hazard pictogram" } else { "sign" });
    let there = all.saturating_sub(count);
    first.message = match (all, there) {
        (1, _) => format!("the {kind} `{}` is not on the label", signs[0]),
        (_, 0) => format!("none of the {all} {kind}s is on the label"),
        _ if desk.pages.len() == 1 => format!("only {there} of the {all} {kind}s are on the label"),
        _ => format!("only {there} of the {all} {kind}s are on {}", told::side(page)),
    };
    let alike = shared.asked == all || shared.kind == SignKind::Hazard;
    let looks = if alike { format!("; each is to be drawn as {}", shared.kind.looks()) } else { String::new() };
    first.cure = format!("put them on one part: {}{looks}", signs.join(", "));
    if there == 0 {
        first.on_page = None;
    }
    Some(first.instead(format!("{all} {kind}{}", if all == 1 { "" } else { "s" }), there.to_string()))
}

/// The signs that are asked for and found, and the codes, for a picture of what was read.
pub fn stands(desk: &Desk<'_>) -> Vec<Stands> {
    let asked: Vec<&Requirement> = desk.needs.requirements.iter().filter(|r| !r.signs.is_empty()).collect();
    let mut out = Vec::new();
    for (number, page) in desk.pages.iter().enumerate() {
        let Some(seen) = page.seen else { continue };
        let mut add = |areas: Vec<Area>, what: String, id: &str| {
            if !areas.is_empty() {
                out.push(Stands { page: number, areas, what, id: id.to_owned() });
            }
        };
        let code = |area: &Area| page.codes.iter().any(|c| c.area.widened(0.5, 0.5).holds(area, 0.0));
        let found: Vec<_> = inspect::signs(seen, page.shape).into_iter().filter(|s| !code(&s.area)).collect();
        for hazard in [true, false] {
            let of = |r: &&&Requirement| r.signs.iter().any(|s| s.ghs().is_some()) == hazard;
            let Some(first) = asked.iter().find(of) else { continue };
            let areas = found.iter().filter(|s| (s.frame == Frame::Diamond) == hazard).map(|s| s.area);
            let what = if hazard { "hazard pictograms" } else { "signs for use" };
            add(areas.collect(), what.to_owned(), &first.id);
        }
        for code in page.codes {
            add(vec![code.area], format!("QR code: {}", code.payload), "policy/qr-code#code");
        }
    }
    out
}

/// Signs nothing asks for: a red diamond on a candle without classes, signs for flames on a melt.
fn stray(desk: &Desk<'_>, page: &Page<'_>, seen: &SeenPage, asked: &[&Requirement], findings: &mut Vec<Finding>) {
    let hazard = asked.iter().flat_map(|r| &r.signs).any(|s| s.ghs().is_some());
    let for_use = asked.iter().flat_map(|r| &r.signs).any(|s| s.ghs().is_none());
    let code = |area: &Area| page.codes.iter().any(|c| c.area.widened(0.5, 0.5).holds(area, 0.0));
    let all: Vec<_> = inspect::signs(seen, page.shape).into_iter().filter(|s| !code(&s.area)).collect();
    findings.extend(surplus(page, &all, asked));
    for sign in all {
        let at = Some((sign.area.left, sign.area.top));
        // One symbol too many; one in place of another is told where those asked for are judged.
        let asked_for = |ghs| asked.iter().flat_map(|r| &r.signs).any(|s| s.ghs() == Some(ghs));
        let other = sign.ghs.filter(|ghs| hazard && !asked_for(*ghs));
        let told = |f: &Finding| {
            let on = f.on_page.as_ref().filter(|o| o.page == page.number);
            on.and_then(|o| Some([o.x_mm?, o.y_mm?])).is_some_and(|p| sign.area.widened(0.1, 0.1).has(p))
        };
        if other.is_some() && findings.iter().any(told) {
            continue;
        }
        if sign.frame == Frame::Diamond && sign.is_red() && (!hazard || other.is_some()) {
            let which = other.map_or_else(String::new, |ghs| format!(" {}", ghs.word()));
            let message =
                format!("a hazard pictogram{which} stands on the label, and the mixture does not call for it");
            let cure = "take it out, or bring the recipe and its safety sheets up to date";
            let finding = match law::rule("eu/clp-pictograms").filter(|_| desk.needs.figures.hazards.is_some()) {
                Some(rule) => Finding::of(rule.id, Level::Error, rule.severity, Some(rule.seen()), message, cure),
                None => Finding::of(
                    "label/other-market",
                    Level::Warning,
                    Severity::Advice,
                    Some(Evidence::Derived),
                    message,
                    "take it out: this market has its own signs",
                ),
            };
            findings.push(told::at(finding, page, at));
        } else if matches!(sign.frame, Frame::Square | Frame::Round)
            && sign.faults.is_empty()
            && !for_use
            && !desk.product.kind.burns()
        {
            let message = "a sign for the use of candles stands on the label of goods that are not lit".to_owned();
            let cure = "take it out: a melt has no wick and no flame";
            let finding = Finding::of(
                "label/other-kind",
                Level::Warning,
                Severity::Advice,
                Some(Evidence::Derived),
                message,
                cure,
            );
            findings.push(told::at(finding, page, at));
        }
    }
}

/// More red diamonds than hazards, where each by itself may be one of those asked for.
fn surplus(page: &Page<'_>, all: &[inspect::SeenSign], asked: &[&Requirement]) -> Option<Finding> {
    let hazards: Vec<_> = asked.iter().flat_map(|r| &r.signs).filter_map(|s| s.ghs()).collect();
    let may =
        |s: &&inspect::SeenSign| s.frame == Frame::Diamond && s.is_red() && s.ghs.is_none_or(|g| hazards.contains(&g));
    let there = all.iter().filter(may).count();
    let last = all.iter().rfind(may).filter(|_| !hazards.is_empty() && there > hazards.len())?;
    let requirement = asked.iter().find(|r| r.signs.iter().any(|s| s.ghs().is_some()))?;
    let message = format!(
        "{there} hazard pictograms stand on {}, and {} asked for",
        told::side(page),
        match hazards.len() {
            1 => "1 is".to_owned(),
            n => format!("{n} are"),
        }
    );
    let cure = "take out what is one too many: one of each hazard";
    let (severity, known) = (requirement.severity, Some(requirement.seen));
    let finding = Finding::of(&requirement.id, Level::Warning, severity, known, message, cure);
    Some(told::at(
        finding.instead(hazards.len().to_string(), there.to_string()),
        page,
        Some((last.area.left, last.area.top)),
    ))
}
