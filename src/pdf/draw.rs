//! A page as drawing operations: millimetres down from the top become points up from the bottom.
//!
//! In `pdf`, after `embed`, before `finish`. The operations set every colour, width and font they use, so that they may
//! stand on a page or in a form that is placed many times.

use super::Red;
use super::embed::Faces;
use crate::font::Run;
use crate::page::{Ink, Page, Paint, Path, Placed, Point, Ring, Segment, Text};
use crate::unit::Length;
use printpdf::{
    Cmyk, Color, DictItem, Greyscale, Line, LinePoint, Op, PaintMode, PdfFontHandle, Polygon, PolygonRing, Pt, Rgb,
    TextItem, WindingOrder,
};

/// The operations of one page; `runs` are its texts, shaped, in order.
pub fn operations(page: &Page, runs: &[Run], faces: &Faces, red: Red) -> Vec<Op> {
    let mut pen = Pen { height: page.trim.height(), ops: Vec::new(), fill: None, stroke: None, width: None, red };
    let mut runs = runs.iter();
    for item in &page.items {
        match item {
            Placed::Text(text) => {
                if let Some(run) = runs.next() {
                    pen.text(text, run, faces);
                }
            }
            Placed::Path(path) => pen.path(path),
        }
    }
    pen.ops
}

/// Points, as precise as the single precision numbers of the drawing layer: within 0.02 µm on a page up to A3.
#[expect(clippy::cast_possible_truncation, reason = "the drawing layer's numbers are f32")]
pub fn points(length: Length) -> f32 {
    length.to_pt_f64() as f32
}

/// What is drawn so far, and the graphics state at its end.
struct Pen {
    height: Length,
    ops: Vec<Op>,
    fill: Option<Ink>,
    stroke: Option<Ink>,
    width: Option<Length>,
    red: Red,
}

impl Pen {
    /// The y axis turned over in whole units, so that nothing is lost by it.
    fn place(&self, at: Point) -> printpdf::Point {
        printpdf::Point { x: Pt(points(at.x)), y: Pt(points(self.height - at.y)) }
    }

    fn text(&mut self, text: &Text, run: &Run, faces: &Faces) {
        let Some((font, glyphs)) = faces.show(text.face, run) else { return };
        self.fill_with(text.ink);
        // `SetTextCursor`, not `SetTextMatrix`: the latter makes printpdf join neighbouring runs into one.
        self.ops.extend([
            Op::StartTextSection,
            Op::SetFont { font: PdfFontHandle::External(font), size: Pt(points(text.size)) },
            Op::SetTextCursor { pos: self.place(Point { x: text.x, y: text.baseline }) },
            Op::ShowText { items: vec![TextItem::GlyphIds(glyphs)] },
            Op::EndTextSection,
        ]);
    }

    fn path(&mut self, path: &Path) {
        let rings = path.rings.iter().filter(|ring| !ring.to.is_empty());
        match path.paint {
            Paint::Fill(ink) => self.fill(rings, ink, WindingOrder::NonZero),
            Paint::FillEvenOdd(ink) => self.fill(rings, ink, WindingOrder::EvenOdd),
            Paint::Stroke(ink, width) => {
                if self.stroke != Some(ink) {
                    match colour(ink, self.red) {
                        Some(col) => self.ops.push(Op::SetOutlineColor { col }),
                        None => self.ops.extend(spot("CS", "SCN")),
                    }
                    self.stroke = Some(ink);
                }
                if self.width != Some(width) {
                    self.ops.push(Op::SetOutlineThickness { pt: Pt(points(width)) });
                    self.width = Some(width);
                }
                // One by one: in a polygon of many rings printpdf closes only the last.
                for ring in rings {
                    let line = Line { points: self.outline(ring), is_closed: ring.closed };
                    self.ops.push(Op::DrawLine { line });
                }
            }
        }
    }

    fn fill<'a>(&mut self, rings: impl Iterator<Item = &'a Ring>, ink: Ink, winding_order: WindingOrder) {
        let rings: Vec<_> = rings.map(|ring| PolygonRing { points: self.outline(ring) }).collect();
        if rings.is_empty() {
            return;
        }
        self.fill_with(ink);
        self.ops.push(Op::DrawPolygon { polygon: Polygon { rings, mode: PaintMode::Fill, winding_order } });
    }

    fn fill_with(&mut self, ink: Ink) {
        if self.fill != Some(ink) {
            match colour(ink, self.red) {
                Some(col) => self.ops.push(Op::SetFillColor { col }),
                None => self.ops.extend(spot("cs", "scn")),
            }
            self.fill = Some(ink);
        }
    }

    /// The points of a ring; the two control points of a curve are marked and come before its end.
    fn outline(&self, ring: &Ring) -> Vec<LinePoint> {
        let point = |at, bezier| LinePoint { p: self.place(at), bezier };
        let mut outline = vec![point(ring.start, false)];
        for segment in &ring.to {
            match *segment {
                Segment::Line(end) => outline.push(point(end, false)),
                Segment::Curve(first, second, end) => {
                    outline.extend([point(first, true), point(second, true), point(end, false)]);
                }
            }
        }
        outline
    }
}

/// The name of the red ink where it is printed as one of its own.
pub const SPOT: &str = "Red";

/// The operations that choose the red ink in full.
fn spot(space: &str, amount: &str) -> [Op; 2] {
    [
        Op::Unknown { key: space.to_owned(), value: vec![DictItem::Name(SPOT.as_bytes().to_vec())] },
        Op::Unknown { key: amount.to_owned(), value: vec![DictItem::Int(1)] },
    ]
}

/// Device grey for black, grey and white: what a printer puts on its black plate alone (ISO 32000-1, 8.6.4.2), so that
/// small type never shows a colour fringe. Readers also need no colour profile for it. `None` for an ink of its own.
fn colour(ink: Ink, red: Red) -> Option<Color> {
    Some(match (ink, red) {
        (Ink::Black, _) => Color::Greyscale(Greyscale::new(0.0, None)),
        (Ink::White, _) => Color::Greyscale(Greyscale::new(1.0, None)),
        (Ink::Grey(percent), _) => Color::Greyscale(Greyscale::new(1.0 - f32::from(percent.min(100)) / 100.0, None)),
        (Ink::Own(own), _) => {
            let share = |c: u8| f32::from(c) / 255.0;
            Color::Rgb(Rgb::new(share(own.red), share(own.green), share(own.blue), None))
        }
        (Ink::Red, Red::Rgb) => Color::Rgb(Rgb::new(0.87, 0.0, 0.1, None)),
        (Ink::Red, Red::Cmyk) => Color::Cmyk(Cmyk::new(CMYK_RED[0], CMYK_RED[1], CMYK_RED[2], CMYK_RED[3], None)),
        (Ink::Red, Red::Spot) => return None,
    })
}

/// Red from the four inks of a press: full magenta and nearly full yellow (common practice, no source).
pub const CMYK_RED: [f32; 4] = [0.0, 1.0, 0.9, 0.0];
