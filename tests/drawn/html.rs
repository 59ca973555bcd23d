//! Writes sheets as a page for a browser, which prints it to PDF in its own way (TrueType, subset, compressed).

use super::Sheet;
use std::fmt::Write;

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

fn colour([r, g, b]: [f64; 3]) -> String {
    format!("rgb({:.0},{:.0},{:.0})", r * 255.0, g * 255.0, b * 255.0)
}

/// The page; sheets become pages of their sizes.
pub fn write(sheets: &[Sheet]) -> String {
    let mut out = String::from("<!doctype html><meta charset=utf-8><style>*{margin:0;padding:0}");
    for (n, sheet) in sheets.iter().enumerate() {
        let _ = write!(
            out,
            "@page p{n}{{size:{w}mm {h}mm;margin:0}} .p{n}{{page:p{n};position:relative;width:{w}mm;height:{h}mm;overflow:hidden;break-after:page}}",
            w = sheet.width,
            h = sheet.height
        );
    }
    out += "svg{position:absolute;left:0;top:0} text{font-family:'Liberation Sans','DejaVu Sans',sans-serif;white-space:pre}</style>";
    for (n, sheet) in sheets.iter().enumerate() {
        let _ = write!(
            out,
            "<div class=p{n}><svg width={w}mm height={h}mm viewBox='0 0 {w} {h}' xmlns='http://www.w3.org/2000/svg'>",
            w = sheet.width,
            h = sheet.height
        );
        for shape in &sheet.shapes {
            let rings: Vec<String> = shape
                .rings
                .iter()
                .map(|ring| {
                    let points: Vec<String> = ring.iter().map(|[x, y]| format!("{x:.3} {y:.3}")).collect();
                    format!("M{}Z", points.join("L"))
                })
                .collect();
            let _ = write!(out, "<path fill-rule=evenodd fill='{}' d='{}'/>", colour(shape.rgb), rings.join(""));
        }
        for line in &sheet.lines {
            let weight = if line.bold { 700 } else { 400 };
            let hidden = if line.unpainted { " opacity='0'" } else { "" };
            let _ = write!(
                out,
                "<text transform='translate({:.3} {:.3}) rotate({:.3}) scale({} 1)' letter-spacing='{:.3}' word-spacing='{:.3}' font-size='{:.3}' font-weight='{weight}' fill='{}'{hidden}>{}</text>",
                line.x,
                line.baseline,
                -line.turn,
                line.stretch / 100.0,
                line.spaced[0],
                line.spaced[1],
                line.em,
                colour(line.rgb),
                escaped(&line.text)
            );
        }
        out += "</svg></div>";
    }
    out
}
