//! Writes sheets as the JSON that `tests/foreign/make/placed.py` draws with other programs.

use super::Sheet;
use super::setting::Shape;
use serde_json::{Value, json};

fn shapes(shapes: &[Shape]) -> Value {
    shapes.iter().map(|s| json!({ "rings": s.rings, "rgb": s.rgb, "line": s.line })).collect()
}

/// The pages, in mm from the top left.
pub fn write(sheets: &[Sheet]) -> String {
    let page = |sheet: &Sheet| {
        let lines: Value = sheet
            .lines
            .iter()
            .map(|l| {
                json!({
                    "text": l.text, "x": l.x, "baseline": l.baseline, "em": l.em, "bold": l.bold, "rgb": l.rgb,
                    "stretch": l.stretch, "unpainted": l.unpainted, "turn": l.turn, "spaced": l.spaced,
                })
            })
            .collect();
        json!({
            "width": sheet.width, "height": sheet.height, "shapes": shapes(&sheet.shapes), "lines": lines,
            "over": shapes(&sheet.over),
        })
    };
    sheets.iter().map(page).collect::<Value>().to_string()
}
