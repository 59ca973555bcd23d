//! `label`: the label as PDF pages of exactly its size, read back before the file is written.

use super::args::LabelArgs;
use super::{Answer, Stop, files, listed, make, open, picture};
use crate::find::{self, Finding};
use crate::lot::LotCode;
use serde_json::json;
use std::path::PathBuf;

/// Runs the command.
pub fn run(args: &LabelArgs) -> Result<Answer, Stop> {
    let opened = open::product(&args.product)?;
    let on = args.product.on.unwrap_or_else(open::today);
    let lot = args
        .lot
        .as_deref()
        .map(LotCode::parse)
        .transpose()
        .map_err(|wrong| Stop::input(Finding::input("policy/lot-code-check", wrong.message, wrong.cure)))?;
    let lot = lot.map(|l| l.to_string());
    let markets = open::markets(&args.product, &opened.product);
    if args.output.is_some() && markets.len() > 1 {
        let list = markets.iter().map(|m| m.word()).collect::<Vec<_>>().join("`, `");
        return Err(Stop::input(Finding::input(
            "file/several-markets",
            format!("one file is named, and the product goes to several markets: `{list}`"),
            "choose one with `--market`, or leave `-o` away: each market gets its own file",
        )));
    }
    let mut made = Vec::new();
    for market in &markets {
        let needs = open::needs(&opened, *market, on, lot.as_deref())?;
        if args.show.as_deref() == Some("plan") {
            let plan = make::plan(&opened, &needs)?;
            return stage(&plan);
        }
        if lot.is_none() {
            make::fits_with_lot(&opened, &needs)?;
        }
        made.push((*market, make::label(&opened, &needs)?, needs));
    }
    if args.show.is_some() {
        let pages: Vec<_> = made.iter().flat_map(|(_, m, _)| &m.pages).collect();
        return stage(&pages);
    }
    let path_of =
        |market| args.output.clone().unwrap_or_else(|| PathBuf::from(format!("{}-{market}.pdf", opened.product.id)));
    for (market, ..) in &made {
        files::may_replace(&path_of(*market), &["%PDF"])?;
    }
    let mut pictures = Vec::new();
    for (market, label, _) in &mut made {
        let several = (markets.len() > 1).then_some(*market);
        pictures.push(picture::of(&args.picture, label, &path_of(*market), several)?);
    }
    let mut parts = Vec::new();
    for ((market, label, needs), pictures) in made.into_iter().zip(pictures) {
        let path = path_of(market);
        files::write(&path, &label.bytes)?;
        let (shown, pictures) = picture::write(&pictures)?;
        let findings: Vec<Finding> = needs.findings.iter().chain(&label.findings).cloned().collect();
        if args.json {
            let list: Vec<_> = findings.iter().map(find::json).collect();
            let value = json!({
                "product": needs.product, "market": market, "date": on, "lot": lot, "file": path,
                "parts": label.plan.parts.iter().map(|p| json!({
                    "part": p.name, "width_mm": p.shape.width().to_mm_f64(), "height_mm": p.shape.height().to_mm_f64()
                })).collect::<Vec<_>>(),
                "pictures": pictures, "findings": list,
            });
            parts.push(format!("{value:#}"));
        } else {
            let mut text = listed(&findings);
            text += &format!(
                "{}: {} for {market}, each required text read back from the file\n",
                path.display(),
                if label.plan.parts.len() == 1 {
                    "1 part".to_owned()
                } else {
                    format!("{} parts", label.plan.parts.len())
                }
            );
            for part in &label.plan.parts {
                text += &format!(
                    "  {:<8} {:.1} x {:.1} mm\n",
                    part.name,
                    part.shape.width().to_mm_f64(),
                    part.shape.height().to_mm_f64()
                );
            }
            text += &shown;
            if lot.is_none() {
                text += "  no lot code was given: space is left to write it in (`--lot CODE`, or use `waxbill pour`)\n";
            }
            text += "Print at 100 %, without fitting to the page. Local codes and licensed practice come first.\n";
            parts.push(text);
        }
    }
    Ok(open::joined(&parts, args.json, false))
}

fn stage<T: serde::Serialize>(value: &T) -> Result<Answer, Stop> {
    let text =
        serde_json::to_string_pretty(value).map_err(|e| Stop::Machine(format!("the stage cannot be shown: {e}")))?;
    Ok(Answer::fine(text + "\n"))
}
