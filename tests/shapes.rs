//! Labels of every shape: wraps cut to their vessel, folds, holes, coloured ground; and the rules every layout keeps to.
//!
//! What is measured is what the reader sees in the bytes, or the placed glyphs against the fonts as ttf-parser reads them.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop at the first thing that is wrong")]

mod quillmere;

use quillmere::{needs, samples};
use std::sync::Arc;
use waxbill::find::{Finding, Level, Source};
use waxbill::page::{self, Page, Placed, Text};
use waxbill::plan::template::{self, BUILT_IN, Template};
use waxbill::plan::{self, Content, Part, Plan, Shape};
use waxbill::product::{Package, Product};
use waxbill::trade::{BlockName, Lang, Market, Severity};
use waxbill::unit::Length;
use waxbill::{inspect, pdf};

const ABOUT: pdf::About<'static> = pdf::About { title: "", language: "en", subject: "" };

fn sample(name: &str) -> Product {
    samples().into_iter().find(|p| p.id == name).unwrap()
}

fn built_in(name: &str) -> Template {
    template::read(&template::built_in(name).unwrap()).unwrap()
}

/// A built-in template after a change.
fn changed(name: &str, from: &str, to: &str) -> Result<Template, Vec<Finding>> {
    let text = template::built_in(name).unwrap().text.clone();
    assert!(text.contains(from), "{name} lacks {from}");
    template::read(&Arc::new(Source { name: "own.yaml".to_owned(), text: text.replace(from, to) }))
}

fn planned(product: &str, market: Market, template: &Template) -> Result<Plan, Vec<Finding>> {
    plan::of(&needs(&sample(product), market, Some("26329A4")), template)
}

fn clean(findings: &[Finding]) {
    assert!(findings.is_empty(), "{findings:#?}");
}

fn check(pages: &[Page], plan: &Plan) -> Vec<Finding> {
    inspect::check(&pdf::write(pages, &ABOUT).unwrap(), plan)
}

/// Every sample in every market and template that suits and holds it.
fn every_label() -> Vec<(String, Plan, Vec<Page>)> {
    let mut all = Vec::new();
    for product in samples() {
        for market in &product.markets {
            let needs = needs(&product, *market, Some("26329A4"));
            for (name, _) in BUILT_IN {
                let template = built_in(name);
                if !template.suits.contains(&product.kind) {
                    continue;
                }
                if let Ok(plan) = plan::of(&needs, &template)
                    && let Ok(pages) = page::set(&plan)
                {
                    all.push((format!("{} for {market} in {name}", product.id), plan, pages));
                }
            }
        }
    }
    assert!(all.len() > 30, "{}", all.len());
    all
}

fn texts(page: &Page) -> Vec<&Text> {
    page.items.iter().filter_map(|i| if let Placed::Text(t) = i { Some(t) } else { None }).collect()
}

fn moved(page: &Page, words: &str, right: Length, down: Length) -> Page {
    let mut page = page.clone();
    let item = page.items.iter_mut().find(|i| matches!(i, Placed::Text(t) if t.text.contains(words))).unwrap();
    *item = item.clone().moved(right, down);
    page
}

/// A vessel of 73 mm: 73 x 3.14159265 = 229.336 mm, cut at the next tenth, and 8 mm of overlap (computed by hand).
#[test]
fn a_wrap_is_as_long_as_the_way_round_its_vessel_and_its_overlap() {
    let plan = planned("low-tide", Market::Us, &built_in("jar-full-wrap")).unwrap();
    let printed = plan.printed();
    assert_eq!(printed.len(), 1);
    assert_eq!((printed[0].name, printed[0].shape.width()), ("wrap", Length::um(229_400 + 8_000)));
    assert_eq!(printed[0].folds(), []);
    let widths: Length = printed[0].faces.iter().map(|f| f.shape.width()).sum();
    assert!((widths - Length::um(229_400)).to_mm_f64().abs() < 0.001);
    // Its own measure of the circumference counts before the vessel's.
    let given = changed("jar-full-wrap", "overlap: 8 mm", "overlap: 10 mm, circumference: 240 mm").unwrap();
    let plan = planned("low-tide", Market::Us, &given).unwrap();
    assert_eq!(plan.printed()[0].shape.width(), Length::mm(250));
}

#[test]
fn a_wrap_without_a_diameter_or_with_faces_too_wide_is_refused() {
    let mut needs = needs(&sample("low-tide"), Market::Us, None);
    let id = |needs: &_, template: &Template| plan::of(needs, template).unwrap_err()[0].id.clone();
    needs.figures.container = None;
    assert_eq!(id(&needs, &built_in("jar-full-wrap")), "template/no-diameter");
    needs.figures.container = Some(Package::Box { width: Length::mm(70), height: Length::mm(90) });
    assert_eq!(id(&needs, &built_in("jar-full-wrap")), "template/no-diameter");
    needs.figures.container = Some(Package::Round { diameter: Length::mm(30), height: Length::mm(90) });
    assert_eq!(id(&needs, &built_in("jar-full-wrap")), "template/wrap-too-short");
}

#[test]
fn text_across_a_fold_or_on_a_flap_is_found_when_the_label_is_read_back() {
    let plan = planned("mudflat", Market::Us, &built_in("box-sleeve")).unwrap();
    // Front 101, right 40.5, back 101, left 40.5 mm, and a flap of 12 mm.
    let folds: Vec<f64> = plan.printed()[0].folds().iter().map(|f| f.to_mm_f64()).collect();
    assert_eq!(folds, [101.0, 141.5, 242.5, 283.0]);
    let pages = page::set(&plan).unwrap();
    clean(&check(&pages, &plan));
    let across = moved(&pages[0], "TEA LIGHTS", Length::mm(12), Length::ZERO);
    let found = check(&[across], &plan);
    assert!(found.iter().any(|f| f.id.starts_with("us/net-weight-pack") && f.level == Level::Error), "{found:?}");
    let on_flap = moved(&pages[0], "Lot 26329A4", Length::mm(40), Length::ZERO);
    let found = check(&[on_flap], &plan);
    assert!(found.iter().any(|f| f.id == "label/outside-faces"), "{found:?}");
}

#[test]
fn no_ink_comes_near_a_hole_and_what_does_is_found() {
    let plan = planned("night-heron", Market::Us, &built_in("hang-tag")).unwrap();
    let pages = page::set(&plan).unwrap();
    let bytes = pdf::write(&pages, &ABOUT).unwrap();
    clean(&inspect::check(&bytes, &plan));
    // 62 mm wide, the hole of 4 mm in the middle 7 mm from the top, 2 mm clear of its rim.
    for page in inspect::read(&bytes).unwrap() {
        let boxes = page.glyphs.iter().filter_map(|g| g.ink).chain(page.marks.iter().map(|m| m.area));
        for a in boxes {
            let (dx, dy) = ((a.left - 31.0).max(31.0 - a.right).max(0.0), (a.top - 7.0).max(7.0 - a.bottom).max(0.0));
            assert!(dx.hypot(dy) >= 4.0 - 0.005, "{a:?}");
        }
    }
    let baseline = texts(&pages[1])[0].baseline;
    for (to, found) in [(Length::mm(9), true), (Length::mm(15), false)] {
        let near = moved(&pages[1], "WARNING", Length::mm(18), to - baseline);
        let findings = check(&[pages[0].clone(), near], &plan);
        assert_eq!(findings.iter().any(|f| f.id == "label/hole"), found, "{findings:?}");
    }
}

#[test]
fn a_hole_outside_the_part_or_in_the_middle_of_it_is_refused() {
    for wrong in ["from top: 1 mm", "from top: 55 mm", "from top: 7 mm, from left: 31 mm, diameter: 0.2 mm"] {
        let to = if wrong.contains("diameter") {
            format!("hole: {{{wrong}")
        } else {
            format!("hole: {{diameter: 4 mm, {wrong}")
        };
        let findings = changed("hang-tag", "hole: {diameter: 4 mm, from top: 7 mm", &to).unwrap_err();
        assert_eq!(findings[0].id, "template/hole", "{wrong}");
    }
    // A hole at the side of a wide tag takes the strip beside it.
    let side = changed("hang-tag", "from top: 7 mm", "from top: 55 mm, from left: 6 mm").unwrap();
    let plan = planned("night-heron", Market::Us, &side).unwrap();
    for page in page::set(&plan).unwrap() {
        assert!(texts(&page).iter().all(|t| t.x >= Length::mm(6 + 2 + 2)));
    }
}

/// EN 15494:2019, 4.4 (second hand): mandatory items outside and repeated inside, and the outside tells where the rest is.
#[test]
fn a_fold_out_shows_what_is_mandatory_outside_repeats_it_inside_and_points_there() {
    let plan = planned("sea-thrift", Market::Gb, &built_in("jar-fold-out")).unwrap();
    let ids = |part: &Part| -> Vec<(String, Severity)> {
        let items = part.rows.iter().flat_map(|r| &r.cells).flat_map(|c| &c.block.items);
        items.map(|i| (i.id.clone(), i.severity)).collect()
    };
    let [outside, inside] =
        [&plan.printed()[0], &plan.printed()[1]].map(|page| page.faces.iter().flat_map(|f| ids(f)).collect::<Vec<_>>());
    for id in ["eu/candle-in-sight", "eu/candle-things", "eu/candle-children"] {
        for side in [&outside, &inside] {
            assert!(side.iter().any(|(i, _)| i.starts_with(id)), "{id}");
        }
    }
    assert!(outside.iter().any(|(i, _)| i == "eu/fold-out#look inside"));
    assert!(outside.iter().all(|(_, s)| *s != Severity::Advice));
    assert!(inside.iter().any(|(_, s)| *s == Severity::Advice));
    clean(&check(&page::set(&plan).unwrap(), &plan));
}

#[test]
fn a_fold_out_that_hides_what_is_mandatory_or_points_nowhere_is_refused() {
    for (row, id) in [
        ("- {block: look inside, align: left, largest: 2 mm}", "policy/fold-out"),
        ("- {block: warning, align: left, largest: 4 mm}\n          - {block: look inside", "us/fire-warning-signal"),
    ] {
        let to = if row.contains("warning") { "- {block: look inside" } else { "- {block: lot}" };
        let template = changed("jar-fold-out", row, to).unwrap();
        let findings = planned("low-tide", Market::Us, &template).unwrap_err();
        assert!(findings.iter().any(|f| f.id == id), "{findings:?}");
    }
}

#[test]
fn a_fold_out_without_words_to_point_inside_is_refused() {
    let mut needs = needs(&sample("low-tide"), Market::Us, None);
    needs.look_inside = None;
    let findings = plan::of(&needs, &built_in("jar-fold-out")).unwrap_err();
    assert!(findings.iter().any(|f| f.id == "template/look-inside"), "{findings:?}");
    assert!(plan::of(&needs, &built_in("jar-full-wrap")).is_ok());
}

/// WCAG 2.2, 1.4.3: 4.5 : 1; #767676 on white has 4.54 and #777777 has 4.48 (W3C).
#[test]
fn colours_under_four_and_a_half_to_one_are_refused_and_law_stays_black() {
    let name = "{block: product name, align: centre, largest: 8 mm";
    let with = |ink: &str| changed("jar-front-and-base", name, &format!("{name}, ink: \"{ink}\"")).unwrap();
    let plan = planned("low-tide", Market::Us, &with("#767676")).unwrap();
    clean(&check(&page::set(&plan).unwrap(), &plan));
    let findings = planned("low-tide", Market::Us, &with("#777777")).unwrap_err();
    assert_eq!(findings[0].id, "template/contrast");
    assert!(findings[0].message.contains("4.47 : 1"), "{}", findings[0].message);
    let law = "{block: net quantity, align: centre, largest: 4 mm";
    let red = changed("jar-front-and-base", law, &format!("{law}, ink: \"#a00000\"")).unwrap();
    assert_eq!(planned("low-tide", Market::Us, &red).unwrap_err()[0].id, "template/ink");
    let wrong = changed("jar-front-and-base", name, &format!("{name}, ink: navy")).unwrap_err();
    assert_eq!(wrong[0].id, "template/colour");
}

#[test]
fn on_a_coloured_ground_what_the_law_asks_for_stands_on_white() {
    let ground = |colour: &str, ink: &str| {
        let text = template::built_in("jar-front-and-base").unwrap().text.clone();
        let text = text.replace("    margin: 3 mm", &format!("    margin: 3 mm\n    ground: \"{colour}\""));
        let name = "{block: product name, align: centre";
        let text = text.replace(name, &format!("{name}, ink: \"{ink}\""));
        let time = "{block: burn time, align: centre";
        let text = text.replace(time, &format!("{time}, ink: \"{ink}\""));
        template::read(&Arc::new(Source { name: "own.yaml".to_owned(), text })).unwrap()
    };
    let plan = planned("low-tide", Market::Us, &ground("#1f3a5f", "#ffffff")).unwrap();
    let pages = page::set(&plan).unwrap();
    clean(&check(&pages, &plan));
    // Without its white field it is found.
    let mut bare = pages[0].clone();
    bare.items.retain(|i| !matches!(i, Placed::Path(p) if p.paint == page::Paint::Fill(page::Ink::White)));
    let found = check(&[bare, pages[1].clone()], &plan);
    assert!(found.iter().any(|f| f.id.starts_with("us/net-weight")), "{found:?}");
    let dark = planned("low-tide", Market::Us, &ground("#1f3a5f", "#000000")).unwrap_err();
    assert_eq!(dark[0].id, "template/contrast");
}

/// The line distance is a rule of the house: 120 % of the em at least (common practice of setting type, no source).
#[test]
fn lines_of_a_statement_stand_at_least_120_percent_apart_and_no_letter_is_squeezed() {
    let mut measured = 0;
    for (name, plan, pages) in every_label() {
        let bytes = pdf::write(&pages, &ABOUT).unwrap();
        for page in inspect::read(&bytes).unwrap() {
            assert!(page.glyphs.iter().all(|g| (g.stretch - 1.0).abs() < 0.001), "{name}");
        }
        for (page, sheet) in pages.iter().zip(plan.printed()) {
            for item in sheet.faces.iter().flat_map(|f| &f.rows).flat_map(|r| &r.cells).flat_map(|c| &c.block.items) {
                let (Content::Text { text, .. } | Content::AlertText { text, .. }) = &item.content else { continue };
                let lines: Vec<&Text> = texts(page).into_iter().filter(|t| text.contains(t.text.trim())).collect();
                for two in lines.windows(2).filter(|w| w[0].size == w[1].size && w[1].baseline > w[0].baseline) {
                    let apart = (two[1].baseline - two[0].baseline).to_mm_f64() / two[0].size.to_mm_f64();
                    assert!(apart >= 1.2 - 1e-6, "{name}: `{}` {apart}", two[1].text);
                    measured += 1;
                }
            }
        }
    }
    assert!(measured > 100, "{measured}");
}

/// The half chord at height `y` from the middle of a circle of radius `r` is the root of r^2 - y^2: Pythagoras.
#[test]
fn lines_in_a_circle_follow_its_curve() {
    let plan = planned("salt-lamp", Market::Us, &built_in("tin-lid-and-base")).unwrap();
    let pages = page::set(&plan).unwrap();
    let Shape::Circle { diameter } = pages[1].trim else { panic!("a base is round") };
    let radius = diameter.to_mm_f64() / 2.0;
    let seen = &inspect::read(&pdf::write(&pages, &ABOUT).unwrap()).unwrap()[1];
    let (mut widest, mut narrow, mut off_middle) = (0.0_f64, f64::MAX, 0.0_f64);
    for line in &seen.lines {
        let glyphs = line.words.iter().flat_map(|w| &w.glyphs).filter_map(|&n| seen.glyphs[n].ink);
        let area = inspect::Area::round(glyphs.collect::<Vec<_>>().iter()).unwrap();
        for y in [area.top, area.bottom] {
            let half = (radius * radius - (y - radius) * (y - radius)).sqrt() - 2.5;
            assert!(area.left >= radius - half - 0.3 && area.right <= radius + half + 0.3, "{area:?}");
        }
        let text: String = line.words.iter().map(|w| w.text.as_str()).collect();
        if text.contains("lighting") {
            narrow = area.width();
        }
        off_middle = off_middle.max((area.top - radius).abs());
        widest = widest.max(area.width());
    }
    // The first line of the running text is set to a shorter chord than the widest of it.
    assert!(narrow < widest && off_middle > radius * 0.7, "{narrow} {widest} {off_middle}");
}

#[test]
fn no_warning_ends_in_a_lone_short_word_that_could_have_had_company() {
    let blocks = [BlockName::Warning, BlockName::CandleSymbols, BlockName::Hazard, BlockName::California];
    let mut looked = 0;
    for (name, plan, pages) in every_label() {
        for (page, sheet) in pages.iter().zip(plan.printed()) {
            let cells = sheet.faces.iter().flat_map(|f| &f.rows).flat_map(|r| &r.cells);
            for block in cells.map(|c| &c.block).filter(|b| blocks.contains(&b.name)) {
                let Some(Content::Text { text, .. }) = block.items.last().map(|i| &i.content) else { continue };
                let lines: Vec<&Text> = texts(page).into_iter().filter(|t| text.ends_with(t.text.trim())).collect();
                let Some(last) = lines.iter().min_by_key(|t| t.text.len()) else { continue };
                looked += 1;
                let alone = !last.text.trim().contains([' ', '\u{a0}']) && last.text.trim() != text.trim();
                assert!(!alone || last.text.chars().count() > 7, "{name}: `{}` stands alone", last.text);
            }
        }
    }
    assert!(looked > 40, "{looked}");
}

/// Hazard block whole (CLP Article 31(1), 32: elements together), signs with their sentences, each language by itself.
#[test]
fn what_belongs_together_stands_on_one_part_and_languages_are_whole() {
    for (name, plan, _) in every_label() {
        for part in &plan.parts {
            for block in part.rows.iter().flat_map(|r| &r.cells).map(|c| &c.block) {
                let langs: Vec<Lang> = block
                    .items
                    .iter()
                    .filter_map(|i| match &i.content {
                        Content::Text { lang, .. } | Content::AlertText { lang, .. } => Some(*lang),
                        _ => None,
                    })
                    .collect();
                let mut once = langs.clone();
                once.dedup();
                let mut sorted = once.clone();
                sorted.sort();
                sorted.dedup();
                assert_eq!(once.len(), sorted.len(), "{name}: languages of `{}` are mixed: {langs:?}", block.name);
            }
            // Rows of one block in several languages follow each other.
            let rows: Vec<BlockName> = part.rows.iter().flat_map(|r| &r.cells).map(|c| c.block.name).collect();
            let mut once = rows.clone();
            once.dedup();
            let mut seen = Vec::new();
            assert!(
                once.iter().all(|b| !seen.contains(b) && {
                    seen.push(*b);
                    true
                }),
                "{name}: {rows:?}"
            );
        }
        let holding = |name: BlockName| {
            let on = |p: &&Part| p.rows.iter().flat_map(|r| &r.cells).any(|c| c.block.name == name);
            plan.parts.iter().filter(on).count()
        };
        assert!(holding(BlockName::Hazard) <= 1, "{name}");
    }
}

/// No row of the law's words is broken inside a word that fits its line: hyphenation is off.
#[test]
fn no_hyphen_is_printed_that_the_text_does_not_have() {
    for (name, plan, pages) in every_label() {
        let mut said = String::new();
        for item in plan.parts.iter().flat_map(|p| &p.rows).flat_map(|r| &r.cells).flat_map(|c| &c.block.items) {
            if let Content::Text { text, .. } | Content::AlertText { text, .. } = &item.content {
                said += text;
                said.push('\n');
            }
        }
        for text in pages.iter().flat_map(texts) {
            let line = text.text.trim();
            if line.ends_with('-') || line.contains('\u{ad}') {
                assert!(said.contains(line), "{name}: {line}");
            }
        }
    }
}

/// Two shapes of one size, 20 of 40 units wide: at 12 mm height the logo is 24 mm wide, in the middle of 60 mm.
#[test]
fn a_logo_of_shapes_that_are_alike_is_found_where_it_stands() {
    let svg = r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">
        <circle cx="10" cy="10" r="10" fill="#1f6f5f"/><path d="M20 0h20v20z" fill="#c8102e"/></svg>"##;
    let logo = Arc::new(waxbill::logo::read("logo.svg", svg.as_bytes()).unwrap());
    let mut plan = planned("low-tide", Market::Us, &built_in("jar-front-and-base")).unwrap();
    let mut item = plan.parts[0].rows[0].cells[0].block.items[0].clone();
    item.content = Content::Logo { logo, width: Length::mm(24), height: Length::mm(12) };
    let mut row = plan.parts[0].rows[0].clone();
    row.cells[0].block.items = vec![item];
    row.cells[0].block.name = BlockName::Logo;
    plan.parts[0].rows.insert(0, row);
    let bytes = pdf::write(&page::set(&plan).unwrap(), &ABOUT).unwrap();
    clean(&inspect::check(&bytes, &plan));
    let seen = inspect::sightings(&bytes, &plan).unwrap();
    let logo = seen[0].iter().find(|s| s.block == BlockName::Logo).unwrap();
    let [x, _] = logo.areas[0].middle();
    assert!((x - 30.0).abs() < 0.05 && (logo.areas[0].width() - 24.0).abs() < 0.05, "{:?}", logo.areas);
    // Half of it does not do.
    let mut half = page::set(&plan).unwrap();
    let red = |p: &Placed| matches!(p, Placed::Path(p) if matches!(p.paint, page::Paint::Fill(page::Ink::Own(c)) if c.red == 0xc8));
    half[0].items.retain(|i| !red(i));
    assert!(check(&half, &plan).iter().any(|f| f.message.contains("logo")));
}
