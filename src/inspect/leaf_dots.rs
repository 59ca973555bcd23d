//! Pages of labels as a one-colour printer prints them, each label's codes fitted to the dots. Part of `inspect`.

use super::dots::{Dots, Spot, Stock, drawn, judged};
use super::leaves::Pressed;
use super::read;
use super::seen::{SeenPage, View};
use crate::find::{Finding, Level};
use hayro::hayro_interpret::InterpreterCache;
use hayro::hayro_syntax::Pdf;
use std::collections::BTreeMap;

/// Every page of a file of labels in dots, so many to the inch; the bytes are our own, so their size is not bounded.
/// What is told of the first label of a part is not told again of the others.
///
/// # Errors
/// As [`super::dots`].
pub fn leaf_dots(bytes: &[u8], asked: &Pressed<'_>, per_inch: u32, stock: Stock) -> Result<Vec<Dots>, Vec<Finding>> {
    let broken = || vec![Finding::input("file/pdf", "the PDF is damaged and cannot be read", "make the PDF anew")];
    let pdf = Pdf::new(bytes.to_vec()).map_err(|_| broken())?;
    let (whole, cache, per_inch) = (asked.plan.pages(), InterpreterCache::new(), f64::from(per_inch));
    let (mut pages, mut told) = (Vec::new(), Vec::new());
    // What was seen of a label that all others of its part are like.
    let mut alike: BTreeMap<usize, SeenPage> = BTreeMap::new();
    for (n, leaf) in asked.leaves.iter().enumerate() {
        let page = pdf.pages().get(n).ok_or_else(broken)?;
        let names: Vec<&str> = leaf.labels.iter().filter_map(|l| Some(whole.get(l.part)?.name.as_str())).collect();
        let name = names.first().copied().unwrap_or("sheet");
        let mut dots = drawn(page, [leaf.width, leaf.height], name, per_inch / 25.4, stock).map_err(|f| vec![f])?;
        let mut found = Vec::new();
        for placed in &leaf.labels {
            let part = whole.get(placed.part).and_then(|part| asked.of_unit(part, placed)).ok_or_else(broken)?;
            // The label as it is drawn, the printer's error and all: that is what the dots show.
            let view = View { left: placed.left, top: placed.top, ..View::default() };
            let (width, height) = (part.shape.width().to_mm_f64(), part.shape.height().to_mm_f64());
            let size = [width * asked.across, height * asked.down];
            let all_alike = asked.codes.is_empty();
            if !(all_alike && alike.contains_key(&placed.part)) {
                alike.insert(placed.part, read::label(&pdf, page, n + 1, &cache, view, size));
            }
            let Some(seen) = alike.get_mut(&placed.part) else { return Err(broken()) };
            seen.view = view;
            let corner = [placed.left, placed.top];
            found.extend(judged(page, &mut dots, &Spot { seen, part: &part, per_inch, corner }, stock));
        }
        for finding in found {
            let same = |f: &Finding| f.id == finding.id && f.message == finding.message;
            if !told.iter().chain(&dots.findings).any(same) {
                dots.findings.push(finding);
            }
        }
        told.extend(dots.findings.iter().cloned());
        pages.push(dots);
    }
    if told.iter().any(|f| f.level == Level::Error) { Err(told) } else { Ok(pages) }
}
