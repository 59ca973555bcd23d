//! Which font a letter is of, and how heavy the file says it is: read from the font dictionaries before `read` begins.
//!
//! The PDF reader tells nothing of the font of a Type 1 letter, so each code of such a font is shown once on nothing, and
//! the outlines that come are remembered as this font's.

use super::read;
use super::seen::Face;
use hayro::hayro_interpret::font::{Glyph as Shape, GlyphRun};
use hayro::hayro_interpret::{
    BlendMode, ClipPath, Context, Device, DrawMode, DrawProps, Image, ImageDrawProps, InterpreterCache, SoftMask,
    interpret,
};
use hayro::hayro_syntax::Pdf;
use hayro::hayro_syntax::content::TypedIter;
use hayro::hayro_syntax::object::{Dict, Name, Stream};
use hayro::hayro_syntax::page::{Page, Resources};
use hayro::kurbo::{Affine, BezPath, Rect};
use std::collections::{BTreeMap, BTreeSet};

/// Most fonts of a page that are looked into.
const MOST_FONTS: usize = 100;
/// Deepest nesting of forms that is followed.
const DEEPEST: usize = 8;
/// "Set bold" in the flags of a font descriptor: bit 19 (ISO 32000-1, table 123).
const FORCE_BOLD: u32 = 1 << 18;

/// What the font dictionaries of a page say.
#[derive(Debug, Default)]
pub struct Fonts {
    /// By the outline of a Type 1 letter.
    by_outline: BTreeMap<u128, Face>,
    /// By the PostScript name: weight as the descriptor says it.
    weights: BTreeMap<String, u32>,
}

impl Fonts {
    /// The face of an outline of a Type 1 font.
    pub fn of_outline(&self, key: u128) -> Option<&Face> {
        self.by_outline.get(&key)
    }

    /// The weight the descriptor of the font states, 400 regular and 700 bold.
    pub fn weight(&self, name: &str) -> Option<u32> {
        self.weights.get(name).copied()
    }
}

/// Reads the dictionaries of all fonts of the page and of the forms it may draw.
pub fn of<'a>(pdf: &'a Pdf, page: &'a Page<'a>, cache: &InterpreterCache<'a>) -> Fonts {
    let mut fonts = Fonts::default();
    let mut seen = BTreeSet::new();
    let mut left = MOST_FONTS;
    walk(pdf, page.resources(), cache, &mut fonts, &mut seen, &mut left, 0);
    fonts
}

fn walk<'a>(
    pdf: &'a Pdf,
    resources: &Resources<'a>,
    cache: &InterpreterCache<'a>,
    fonts: &mut Fonts,
    seen: &mut BTreeSet<(u32, i32)>,
    left: &mut usize,
    depth: usize,
) {
    for name in resources.fonts.keys() {
        let Some(font) = resources.get_font(&name) else { continue };
        if *left == 0 {
            return;
        }
        *left -= 1;
        describe(pdf, resources, &name, &font, cache, fonts);
    }
    if depth >= DEEPEST {
        return;
    }
    for name in resources.x_objects.keys() {
        let Some(stream) = resources.get_x_object(&name) else { continue };
        let id = stream.obj_id();
        if *left == 0 || !seen.insert((id.obj_number, id.gen_number)) {
            continue;
        }
        if let Some(own) = form_resources(&stream) {
            walk(pdf, &own, cache, fonts, seen, left, depth + 1);
        }
    }
}

fn form_resources<'a>(stream: &Stream<'a>) -> Option<Resources<'a>> {
    stream.dict().get::<Dict<'a>>(b"Resources".as_slice()).map(Resources::new)
}

fn describe<'a>(
    pdf: &'a Pdf,
    resources: &Resources<'a>,
    name: &Name<'_>,
    font: &Dict<'a>,
    cache: &InterpreterCache<'a>,
    fonts: &mut Fonts,
) {
    let text = |dict: &Dict<'_>, key: &[u8]| dict.get::<Name<'_>>(key).map(|n| n.as_str().to_owned());
    let base = text(font, b"BaseFont").map(|n| without_tag(&n).to_owned());
    let descriptor = font.get::<Dict<'_>>(b"FontDescriptor".as_slice()).or_else(|| {
        let below = font.get::<hayro::hayro_syntax::object::Array<'_>>(b"DescendantFonts".as_slice())?;
        let first = below.iter::<Dict<'_>>().next()?;
        first.get::<Dict<'_>>(b"FontDescriptor".as_slice())
    });
    let weight = descriptor.and_then(|d| {
        let forced = d.get::<u32>(b"Flags".as_slice()).is_some_and(|f| f & FORCE_BOLD != 0);
        let said = d.get::<f32>(b"FontWeight".as_slice()).filter(|w| (100.0..=900.0).contains(w));
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 100 and 900")]
        said.map(|w| w as u32).or(forced.then_some(700))
    });
    if let (Some(base), Some(weight)) = (&base, weight) {
        fonts.weights.insert(base.clone(), weight);
    }
    if !matches!(text(font, b"Subtype").as_deref(), Some("Type1" | "MMType1")) {
        return;
    }
    let key = u128::try_from(fonts.by_outline.len()).unwrap_or_default() + 2;
    let face = Face { name: base, weight, key, drawn: false };
    let mut probe = Probe { outlines: BTreeSet::new() };
    // The name of a resource may hold any byte; written as in ISO 32000-1, 7.3.5.
    let spelled: String = name.as_ref().iter().map(|b| format!("#{b:02x}")).collect();
    let codes: String = (0..=255_u8).map(|b| format!("{b:02x}")).collect();
    let content = format!("BT /{spelled} 1 Tf <{codes}> Tj ET");
    let bounds = Rect::new(0.0, 0.0, 1.0, 1.0);
    let mut context = Context::new(Affine::IDENTITY, bounds, cache, pdf.xref(), read::settings());
    interpret(TypedIter::new(content.as_bytes()), resources, &mut context, &mut probe);
    for outline in probe.outlines {
        fonts.by_outline.entry(outline).or_insert_with(|| face.clone());
    }
}

/// A name without the tag of a subset: six capitals and a plus sign.
fn without_tag(name: &str) -> &str {
    match name.split_once('+') {
        Some((tag, rest)) if tag.len() == 6 && tag.bytes().all(|b| b.is_ascii_uppercase()) => rest,
        _ => name,
    }
}

/// Notes which outlines are shown.
struct Probe {
    outlines: BTreeSet<u128>,
}

impl<'a> Device<'a> for Probe {
    fn draw_glyph_run(&mut self, run: &GlyphRun<'_, 'a>, _: DrawProps<'a>, _: &DrawMode) {
        for glyph in run.glyphs() {
            if let Shape::Outline(outline) = &**glyph {
                self.outlines.insert(outline.identifier().cache_key());
            }
        }
    }
    fn draw_path(&mut self, _: &BezPath, _: DrawProps<'a>, _: &DrawMode) {}
    fn push_clip_path(&mut self, _: &ClipPath) {}
    fn push_transparency_group(&mut self, _: f32, _: Option<SoftMask<'a>>, _: BlendMode) {}
    fn draw_image(&mut self, _: Image<'a, '_>, _: ImageDrawProps<'a>) {}
    fn pop_clip(&mut self) {}
    fn pop_transparency_group(&mut self) {}
}
