//! Writes sheets as a PDF 1.4 by hand: standard fonts that are not embedded (Type 1), nothing compressed.

use super::Sheet;
use super::setting::Shape;
use std::fmt::Write;

const PT: f64 = 72.0 / 25.4;

/// Windows-1252, the usual encoding of standard fonts in PDF (ISO 32000-1, Annex D); what it has not becomes a question mark.
fn win(c: char) -> u8 {
    match c {
        '\u{20}'..='\u{7e}' | '\u{a0}'..='\u{ff}' => u8::try_from(u32::from(c)).unwrap(),
        'œ' => 0x9c,
        'Œ' => 0x8c,
        '’' => 0x92,
        '–' => 0x96,
        '—' => 0x97,
        '€' => 0x80,
        '•' => 0x95,
        _ => b'?',
    }
}

fn shown(text: &str) -> Vec<u8> {
    let mut out = vec![b'('];
    for c in text.chars() {
        let byte = win(c);
        if matches!(byte, b'(' | b')' | b'\\') {
            out.push(b'\\');
        }
        out.push(byte);
    }
    out.push(b')');
    out
}

fn painted(shape: &Shape, height: f64, out: &mut Vec<u8>) {
    let [r, g, b] = shape.rgb;
    let mut path = format!("{r} {g} {b} rg {r} {g} {b} RG {:.3} w\n", shape.line * PT);
    let open = shape.line > 0.0;
    for ring in &shape.rings {
        for (n, [x, y]) in ring.iter().enumerate() {
            let _ = writeln!(path, "{:.3} {:.3} {}", x * PT, (height - y) * PT, if n == 0 { "m" } else { "l" });
        }
        path += if open { "" } else { "h\n" };
    }
    path += if open { "S\n" } else { "f*\n" };
    out.extend(path.bytes());
}

fn content(sheet: &Sheet) -> Vec<u8> {
    let mut out = Vec::new();
    let up = |y: f64| (sheet.height - y) * PT;
    sheet.shapes.iter().for_each(|s| painted(s, sheet.height, &mut out));
    for line in &sheet.lines {
        let [r, g, b] = line.rgb;
        let font = if line.bold { "F2" } else { "F1" };
        let mode = if line.unpainted { 3 } else { 0 };
        let (cos, sin) = (line.turn.to_radians().cos(), line.turn.to_radians().sin());
        let head = format!(
            "BT {r} {g} {b} rg {mode} Tr {} Tz {:.3} Tc {:.3} Tw /{font} {:.3} Tf {cos:.5} {sin:.5} {:.5} {cos:.5} {:.3} {:.3} Tm ",
            line.stretch,
            line.spaced[0] * PT,
            line.spaced[1] * PT,
            line.em * PT,
            -sin,
            line.x * PT,
            up(line.baseline)
        );
        out.extend(head.bytes());
        out.extend(shown(&line.text));
        out.extend(b" Tj ET\n");
    }
    sheet.over.iter().for_each(|s| painted(s, sheet.height, &mut out));
    out
}

/// The file.
pub fn write(sheets: &[Sheet]) -> Vec<u8> {
    let font = |name: &str| {
        format!("<< /Type /Font /Subtype /Type1 /BaseFont /{name} /Encoding /WinAnsiEncoding >>").into_bytes()
    };
    let kids: Vec<String> = (0..sheets.len()).map(|n| format!("{} 0 R", 5 + 2 * n)).collect();
    let mut objects = vec![
        b"<< /Type /Catalog /Pages 2 0 R >>".to_vec(),
        format!("<< /Type /Pages /Kids [{}] /Count {} >>", kids.join(" "), sheets.len()).into_bytes(),
        font("Helvetica"),
        font("Helvetica-Bold"),
    ];
    for (n, sheet) in sheets.iter().enumerate() {
        objects.push(
            format!(
                "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {:.3} {:.3}] /Contents {} 0 R /Resources << /Font << /F1 3 0 R /F2 4 0 R >> >> >>",
                sheet.width * PT,
                sheet.height * PT,
                6 + 2 * n
            )
            .into_bytes(),
        );
        let content = content(sheet);
        let mut stream = format!("<< /Length {} >>\nstream\n", content.len()).into_bytes();
        stream.extend(content);
        stream.extend(b"\nendstream");
        objects.push(stream);
    }
    let mut out = b"%PDF-1.4\n".to_vec();
    let mut places = Vec::new();
    for (n, object) in objects.iter().enumerate() {
        places.push(out.len());
        out.extend(format!("{} 0 obj\n", n + 1).bytes());
        out.extend(object);
        out.extend(b"\nendobj\n");
    }
    let start = out.len();
    out.extend(format!("xref\n0 {}\n0000000000 65535 f \n", objects.len() + 1).bytes());
    for place in places {
        out.extend(format!("{place:010} 00000 n \n").bytes());
    }
    out.extend(format!("trailer\n<< /Size {} /Root 1 0 R >>\nstartxref\n{start}\n%%EOF\n", objects.len() + 1).bytes());
    out
}
