//! The least work that gives the same pages: reads what `waxbill label --show page` prints and writes it as a PDF.
//!
//!     bare PAGES.json OUT.pdf
//!     bare PAGES.json OUT.pdf LOT UNITS
//!
//! No rules, no fitting, no shaping (plain advances), no reading back. What it takes is the floor `label` is held to.
//! With a lot code and a number of units, the page that carries the code is placed so often on sheets of 2 x 4 on A4: what
//! all have alike once as a form, for each the line with its code and a QR code as the crate makes it.

use flate2::{Compression, write::ZlibEncoder};
use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};
use serde::{Deserialize, Deserializer};
use std::collections::BTreeMap;
use std::error::Error;
use std::io::Write;

/// Millimetres, read from `12.3 mm`.
#[derive(Clone, Copy)]
struct Mm(f32);

impl Mm {
    fn pt(self) -> f32 {
        self.0 * 72.0 / 25.4
    }
}

impl<'de> Deserialize<'de> for Mm {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let text = <&str>::deserialize(d)?;
        text.trim_end_matches("mm").trim().parse().map(Self).map_err(serde::de::Error::custom)
    }
}

#[derive(Deserialize)]
struct Page {
    trim: Shape,
    items: Vec<Placed>,
}

impl Page {
    fn width(&self) -> f32 {
        match self.trim {
            Shape::Rectangle { width, .. } | Shape::Rounded { width, .. } => width.pt(),
            Shape::Circle { diameter } => diameter.pt(),
        }
    }

    fn height(&self) -> f32 {
        match self.trim {
            Shape::Rectangle { height, .. } | Shape::Rounded { height, .. } => height.pt(),
            Shape::Circle { diameter } => diameter.pt(),
        }
    }
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Shape {
    Rectangle { width: Mm, height: Mm },
    Rounded { width: Mm, height: Mm },
    Circle { diameter: Mm },
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Placed {
    Text { text: String, face: FaceId, size: Mm, x: Mm, baseline: Mm },
    Path { rings: Vec<Ring>, paint: Paint },
}

#[derive(Deserialize, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[serde(rename_all = "kebab-case")]
enum FaceId {
    Normal,
    NormalBold,
    Tight,
    TightBold,
    Tightest,
    TightestBold,
}

impl FaceId {
    fn file(self) -> &'static [u8] {
        match self {
            Self::Normal => include_bytes!("../../../fonts/NotoSans-SemiCondensed.ttf"),
            Self::NormalBold => include_bytes!("../../../fonts/NotoSans-SemiCondensedBold.ttf"),
            Self::Tight => include_bytes!("../../../fonts/NotoSans-Condensed.ttf"),
            Self::TightBold => include_bytes!("../../../fonts/NotoSans-CondensedBold.ttf"),
            Self::Tightest => include_bytes!("../../../fonts/NotoSans-ExtraCondensed.ttf"),
            Self::TightestBold => include_bytes!("../../../fonts/NotoSans-ExtraCondensedBold.ttf"),
        }
    }
}

#[derive(Deserialize)]
struct Ring {
    start: Point,
    to: Vec<Segment>,
    closed: bool,
}

#[derive(Deserialize, Clone, Copy)]
struct Point {
    x: Mm,
    y: Mm,
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Segment {
    Line(Point),
    Curve(Point, Point, Point),
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Paint {
    Fill(serde_json::Value),
    FillEvenOdd(serde_json::Value),
    Stroke(serde_json::Value, Mm),
}

/// Glyphs of one face: character to glyph of the cut-down file, and its width in thousandths of the em.
struct Used {
    name: String,
    glyphs: BTreeMap<char, u16>,
    widths: Vec<f32>,
    ascent: f32,
    descent: f32,
    cut: Vec<u8>,
}

fn used(n: usize, id: FaceId, chars: &str) -> Result<Used, Box<dyn Error>> {
    let face = ttf_parser::Face::parse(id.file(), 0)?;
    let em = 1000.0 / f32::from(face.units_per_em());
    let mut kept = subsetter::GlyphRemapper::new();
    let (mut glyphs, mut widths) = (BTreeMap::new(), vec![0.0]);
    for c in chars.chars() {
        if glyphs.contains_key(&c) {
            continue;
        }
        let glyph = face.glyph_index(c).ok_or_else(|| format!("no glyph for {c:?}"))?;
        let new = kept.remap(glyph.0);
        widths.resize(widths.len().max(usize::from(new) + 1), 0.0);
        widths[usize::from(new)] = f32::from(face.glyph_hor_advance(glyph).unwrap_or(0)) * em;
        glyphs.insert(c, new);
    }
    let cut = subsetter::subset(id.file(), 0, &kept).map_err(|e| e.to_string())?;
    let (ascent, descent) = (f32::from(face.ascender()) * em, f32::from(face.descender()) * em);
    Ok(Used { name: format!("AAAAA{}+Face{n}", char::from(b'A' + n as u8)), glyphs, widths, ascent, descent, cut })
}

fn deflated(bytes: &[u8]) -> Result<Vec<u8>, Box<dyn Error>> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::default());
    encoder.write_all(bytes)?;
    Ok(encoder.finish()?)
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let (Some(from), Some(to)) = (arguments.next(), arguments.next()) else {
        return Err("bare PAGES.json OUT.pdf".into());
    };
    let units = match (arguments.next(), arguments.next()) {
        (Some(first), Some(count)) => Some((first, count.parse::<usize>()?)),
        _ => None,
    };
    let json = std::fs::read_to_string(from)?;
    let mut pages: Vec<Page> = serde_json::from_str(&json)?;
    if let Some((lot, _)) = &units {
        let holds = |item: &Placed| matches!(item, Placed::Text { text, .. } if text.contains(lot.as_str()));
        pages.retain(|page| page.items.iter().any(holds));
    }
    let own = units.as_ref().map(|(lot, _)| own(pages.first_mut().ok_or("no page")?, lot)).transpose()?;

    let mut texts: BTreeMap<FaceId, String> = BTreeMap::new();
    for item in pages.iter().flat_map(|p| &p.items) {
        if let Placed::Text { text, face, .. } = item {
            texts.entry(*face).or_default().push_str(text);
        }
    }
    if let Some((text, ..)) = &own {
        texts.entry(text.2).or_default().push_str(&format!("{}-0123456789", text.0));
    }
    let mut faces = BTreeMap::new();
    for (n, (id, chars)) in texts.iter().enumerate() {
        faces.insert(*id, (n, used(n, *id, chars)?));
    }

    let id = |n: usize| Ref::new(n as i32 + 1);
    let (catalog, tree, info) = (id(0), id(1), id(2));
    let face_id = |n: usize, part: usize| id(3 + n * 5 + part);
    let page_id = |n: usize, part: usize| id(3 + faces.len() * 5 + n * 2 + part);
    let names: Vec<String> = (0..faces.len()).map(|n| format!("F{n}")).collect();

    let mut pdf = Pdf::new();
    pdf.catalog(catalog).pages(tree).lang(TextStr("en"));
    pdf.document_info(info).title(TextStr("Low Tide"));
    let sheets = units.as_ref().map_or(pages.len(), |(_, count)| count.div_ceil(8));
    // Of the one page only the content is kept, as a form.
    let shift = usize::from(units.is_some());
    pdf.pages(tree).kids((0..sheets).map(|n| page_id(n + shift, 0))).count(sheets as i32);
    for (n, used) in faces.values() {
        let name = Name(used.name.as_bytes());
        let system = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
        let [font, cid, descriptor, file, cmap] = [0, 1, 2, 3, 4].map(|part| face_id(*n, part));
        pdf.type0_font(font)
            .base_font(name)
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(cid)
            .to_unicode(cmap);
        let mut cid_font = pdf.cid_font(cid);
        cid_font.subtype(CidFontType::Type2).base_font(name).system_info(system).font_descriptor(descriptor);
        cid_font.default_width(0.0).cid_to_gid_map_predefined(Name(b"Identity"));
        cid_font.widths().consecutive(0, used.widths.iter().copied());
        cid_font.finish();
        pdf.font_descriptor(descriptor)
            .name(name)
            .flags(FontFlags::NON_SYMBOLIC)
            .bbox(Rect::new(-1000.0, -500.0, 2000.0, 1500.0))
            .italic_angle(0.0)
            .ascent(used.ascent)
            .descent(used.descent)
            .cap_height(714.0)
            .stem_v(80.0)
            .font_file2(file);
        let packed = deflated(&used.cut)?;
        pdf.stream(file, &packed).filter(Filter::FlateDecode).pair(Name(b"Length1"), used.cut.len() as i32);
        let mut map = UnicodeCmap::new(Name(b"Custom"), system);
        for (c, glyph) in &used.glyphs {
            map.pair(*glyph, *c);
        }
        let map = map.finish();
        pdf.cmap(cmap, map.as_slice());
    }
    for (n, page) in pages.iter().enumerate() {
        let (width, height) = (page.width(), page.height());
        let mut content = Content::new();
        for item in &page.items {
            match item {
                Placed::Text { text, face, size, x, baseline } => {
                    let (n, used) = &faces[face];
                    let bytes: Vec<u8> = text.chars().flat_map(|c| used.glyphs[&c].to_be_bytes()).collect();
                    content.begin_text().set_font(Name(names[*n].as_bytes()), size.pt());
                    content.set_text_matrix([1.0, 0.0, 0.0, 1.0, x.pt(), height - baseline.pt()]);
                    content.show(Str(&bytes)).end_text();
                }
                Placed::Path { rings, paint } => draw(&mut content, rings, paint, height),
            }
        }
        let packed = deflated(&content.finish())?;
        if units.is_some() {
            let mut form = pdf.form_xobject(page_id(n, 1), &packed);
            form.bbox(Rect::new(0.0, 0.0, width, height)).filter(Filter::FlateDecode);
            let mut resources = form.resources();
            let mut fonts = resources.fonts();
            for (name, n) in names.iter().zip(0..) {
                fonts.pair(Name(name.as_bytes()), face_id(n, 0));
            }
            continue;
        }
        let mut leaf = pdf.page(page_id(n, 0));
        leaf.media_box(Rect::new(0.0, 0.0, width, height)).parent(tree).contents(page_id(n, 1));
        let mut resources = leaf.resources();
        let mut fonts = resources.fonts();
        for (name, n) in names.iter().zip(0..) {
            fonts.pair(Name(name.as_bytes()), face_id(n, 0));
        }
        fonts.finish();
        resources.finish();
        leaf.finish();
        pdf.stream(page_id(n, 1), &packed).filter(Filter::FlateDecode);
    }
    if let (Some((lot, count)), Some((text, code))) = (&units, &own) {
        let (height, figures) = (pages[0].height(), count.to_string().len().max(3));
        for sheet in 0..sheets {
            let mut content = Content::new();
            for unit in sheet * 8..((sheet + 1) * 8).min(*count) {
                let (column, row) = ((unit % 2) as f32, (unit % 8 / 2) as f32);
                let serial = format!("{lot}-{:0figures$}", unit + 1);
                let (x, y) = (Mm(31.0 + 80.0 * column).pt(), Mm(6.5 + 72.0 * row).pt());
                content.save_state().transform([1.0, 0.0, 0.0, 1.0, x, Mm(297.0).pt() - y - height]);
                content.x_object(Name(b"P"));
                let (n, used) = &faces[&text.2];
                let words = text.0.replace(lot.as_str(), &serial);
                let bytes: Vec<u8> = words.chars().flat_map(|c| used.glyphs[&c].to_be_bytes()).collect();
                content.begin_text().set_font(Name(names[*n].as_bytes()), text.1.pt());
                content.next_line(text.3.pt(), height - text.4.pt()).show(Str(&bytes)).end_text();
                let payload = format!("Lot {serial}, Low Tide, Quillmere Candle Shed");
                let symbol = qrcode::QrCode::with_error_correction_level(&payload, qrcode::EcLevel::M)?;
                let (side, module) = (symbol.width(), code.2.pt());
                content.transform([module, 0.0, 0.0, -module, code.0.pt(), height - code.1.pt()]);
                for (row, line) in symbol.to_colors().chunks(side).enumerate() {
                    let mut column = 0;
                    for run in line.chunk_by(|a, b| a == b) {
                        if run[0] == qrcode::Color::Dark {
                            content.rect(column as f32, row as f32, run.len() as f32, 1.0);
                        }
                        column += run.len();
                    }
                }
                content.fill_nonzero().restore_state();
            }
            let packed = deflated(&content.finish())?;
            let mut leaf = pdf.page(page_id(sheet + 1, 0));
            leaf.media_box(Rect::new(0.0, 0.0, Mm(210.0).pt(), Mm(297.0).pt())).parent(tree);
            leaf.contents(page_id(sheet + 1, 1));
            let mut resources = leaf.resources();
            let mut fonts = resources.fonts();
            for (name, n) in names.iter().zip(0..) {
                fonts.pair(Name(name.as_bytes()), face_id(n, 0));
            }
            fonts.finish();
            resources.x_objects().pair(Name(b"P"), page_id(0, 1));
            resources.finish();
            leaf.finish();
            pdf.stream(page_id(sheet + 1, 1), &packed).filter(Filter::FlateDecode);
        }
    }
    std::fs::write(to, pdf.finish())?;
    Ok(())
}

/// The line with a unit's code: words, size, face, left end, baseline.
type Line = (String, Mm, FaceId, Mm, Mm);
/// A QR code: left and upper edge, side of a module.
type Square = (Mm, Mm, Mm);

/// Takes the line that holds the code and the QR code (the path of most rings) out of a page.
fn own(page: &mut Page, code: &str) -> Result<(Line, Square), Box<dyn Error>> {
    let rings = |item: &Placed| if let Placed::Path { rings, .. } = item { rings.len() } else { 0 };
    let most = page.items.iter().map(rings).max().unwrap_or(0);
    let (mut line, mut square) = (None, None);
    page.items.retain(|item| match item {
        Placed::Text { text, face, size, x, baseline } if text.contains(code) => {
            line = Some((text.clone(), *size, *face, *x, *baseline));
            false
        }
        Placed::Path { rings, .. } if rings.len() == most => {
            let first = &rings[0];
            if let Segment::Line(corner) = first.to[1] {
                square = Some((first.start.x, first.start.y, Mm(corner.y.0 - first.start.y.0)));
            }
            false
        }
        _ => true,
    });
    Ok((line.ok_or("no line holds the code")?, square.ok_or("there is no QR code")?))
}

fn draw(content: &mut Content, rings: &[Ring], paint: &Paint, height: f32) {
    let (ink, stroke) = match paint {
        Paint::Fill(ink) | Paint::FillEvenOdd(ink) => (ink, None),
        Paint::Stroke(ink, width) => (ink, Some(width.pt())),
    };
    let inks = match ink.as_str() {
        Some("white") => [0.0; 4],
        Some("red") => [0.0, 1.0, 1.0, 0.0],
        _ => [0.0, 0.0, 0.0, ink["grey"].as_f64().map_or(1.0, |percent| percent as f32 / 100.0)],
    };
    let [c, m, y, k] = inks;
    match stroke {
        Some(width) => content.set_stroke_cmyk(c, m, y, k).set_line_width(width),
        None => content.set_fill_cmyk(c, m, y, k),
    };
    for ring in rings {
        content.move_to(ring.start.x.pt(), height - ring.start.y.pt());
        for step in &ring.to {
            match step {
                Segment::Line(p) => content.line_to(p.x.pt(), height - p.y.pt()),
                Segment::Curve(a, b, p) => content.cubic_to(
                    a.x.pt(),
                    height - a.y.pt(),
                    b.x.pt(),
                    height - b.y.pt(),
                    p.x.pt(),
                    height - p.y.pt(),
                ),
            };
        }
        if ring.closed {
            content.close_path();
        }
    }
    match paint {
        Paint::Fill(_) => content.fill_nonzero(),
        Paint::FillEvenOdd(_) => content.fill_even_odd(),
        Paint::Stroke(..) => content.stroke(),
    };
    content.set_fill_cmyk(0.0, 0.0, 0.0, 1.0);
}
