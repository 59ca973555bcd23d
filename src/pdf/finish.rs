//! Drawn pages to a finished file: boxes, shared resources, description, compression, identity.
//!
//! In `pdf`, last of its steps. printpdf's own writing is not used: it gives boxes as width and height, claims a
//! press standard in every file, stamps the time and random identifiers, and leaves the mark of a cut face out.

use super::draw::{CMYK_RED, SPOT, points};
use super::embed::{Faces, Rest};
use super::{About, Red, broken, xmp};
use crate::find::Finding;
use crate::plan::Shape;
use flate2::Compression;
use flate2::write::ZlibEncoder;
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, StringFormat};
use printpdf::{Op, PdfDocument, PdfPage, PdfSaveOptions, Pt};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::io::Write;

/// Who wrote the file, in its description.
pub const PRODUCER: &str = "waxbill";

/// ISO 32000-1 is PDF 1.7.
const VERSION: &str = "1.7";

/// A page with its operations.
pub struct Drawn {
    /// The outline it is cut to.
    pub trim: Shape,
    /// What is on it.
    pub ops: Vec<Op>,
}

/// The whole file.
pub fn document(drawn: Vec<Drawn>, faces: Faces, red: Red, about: &About) -> Result<Vec<u8>, Finding> {
    let boxes: Vec<_> = drawn.iter().map(|page| page_box(page.trim)).collect();
    let (mut document, rests) = lay_down(drawn, faces, red)?;
    assemble(&mut document, &boxes, &rests, red, about).map_err(broken)?;
    sealed(document)
}

/// What nobody refers to is left out, the rest compressed and written.
pub fn sealed(mut document: Document) -> Result<Vec<u8>, Finding> {
    document.prune_objects();
    document.renumber_objects();
    document.objects.values_mut().try_for_each(deflate).map_err(broken)?;
    identify(&mut document).map_err(broken)
}

/// The box around the trim shape, in points from its lower left corner.
fn page_box(trim: Shape) -> Object {
    let side = |length| Object::Real(points(length));
    Object::Array(vec![Object::Integer(0), Object::Integer(0), side(trim.width()), side(trim.height())])
}

/// Has printpdf write the content streams and the font dictionaries.
pub fn lay_down(drawn: Vec<Drawn>, faces: Faces, red: Red) -> Result<(Document, BTreeMap<Vec<u8>, Rest>), Finding> {
    let mut pdf = PdfDocument::new("");
    let mut rests = BTreeMap::new();
    for (name, font, rest) in faces.into_fonts() {
        rests.insert(name.0.clone().into_bytes(), rest);
        // Straight into the map: `add_font` would invent a name from a counter of the whole process.
        pdf.resources.fonts.map.insert(name, font);
    }
    pdf.pages = drawn
        .into_iter()
        .map(|page| {
            let (width, height) = (Pt(points(page.trim.width())), Pt(points(page.trim.height())));
            PdfPage::new(width.into(), height.into(), page.ops)
        })
        .collect();
    let mut warnings = Vec::new();
    // An ink of its own is chosen with operations printpdf does not know, and leaves out where it is `secure`.
    let options = PdfSaveOptions { secure: red != Red::Spot, ..PdfSaveOptions::default() };
    let document = pdf.to_lopdf_document(&options, &mut warnings);
    warnings.first().map_or(Ok((document, rests)), |warning| Err(broken(&warning.msg)))
}

/// Replaces everything around the content streams.
fn assemble(
    document: &mut Document,
    boxes: &[Object],
    rests: &BTreeMap<Vec<u8>, Rest>,
    red: Red,
    about: &About,
) -> Result<(), lopdf::Error> {
    let pages = document.get_pages();
    let tree = document.catalog()?.get(b"Pages")?.clone();
    let resources = resources(document, &pages, rests, red)?;
    let resources = document.add_object(resources);
    for (page, page_box) in pages.values().zip(boxes) {
        let contents = document.get_dictionary(*page)?.get(b"Contents")?.as_reference()?;
        join_strings(document.get_object_mut(contents)?.as_stream_mut()?);
        let entries = [
            ("Type", name("Page")),
            ("Parent", tree.clone()),
            ("MediaBox", page_box.clone()),
            ("CropBox", page_box.clone()),
            ("BleedBox", page_box.clone()),
            ("TrimBox", page_box.clone()),
            ("Resources", Object::Reference(resources)),
            ("Contents", Object::Reference(contents)),
        ];
        document.set_object(*page, Dictionary::from_iter(entries));
    }
    describe(document, tree, about);
    Ok(())
}

/// Title, language and the rest of what the file says about itself.
pub fn describe(document: &mut Document, tree: Object, about: &About) {
    let kind = [("Type", name("Metadata")), ("Subtype", name("XML"))];
    let metadata = Stream::new(Dictionary::from_iter(kind), xmp::packet(about).into_bytes());
    // Left readable for tools that look for the packet without knowing PDF (ISO 32000-1, 14.3.2).
    let metadata = document.add_object(metadata.with_compression(false));
    // Labels are printed at their size: the reader is asked not to scale them to its paper.
    let preferences = [("DisplayDocTitle", Object::Boolean(true)), ("PrintScaling", name("None"))];
    let catalog = document.add_object(Dictionary::from_iter([
        ("Type", name("Catalog")),
        ("Pages", tree),
        ("Lang", words(about.language)),
        ("Metadata", Object::Reference(metadata)),
        ("ViewerPreferences", Object::Dictionary(Dictionary::from_iter(preferences))),
    ]));
    let mut info = Dictionary::from_iter([("Title", words(about.title)), ("Producer", words(PRODUCER))]);
    if !about.subject.is_empty() {
        info.set("Subject", words(about.subject));
    }
    let info = document.add_object(info);
    let entries = [("Root", Object::Reference(catalog)), ("Info", Object::Reference(info))];
    document.trailer = Dictionary::from_iter(entries);
    VERSION.clone_into(&mut document.version);
}

/// The resources of all pages: the fonts, set right, and the red ink where it is one of its own.
pub fn resources(
    document: &mut Document,
    pages: &BTreeMap<u32, ObjectId>,
    rests: &BTreeMap<Vec<u8>, Rest>,
    red: Red,
) -> Result<Dictionary, lopdf::Error> {
    let first = pages.values().next().ok_or(lopdf::Error::PageNumberNotFound(1))?;
    let given = document.get_dictionary(*first)?.get(b"Resources")?.as_reference()?;
    let fonts = document.get_dictionary(given)?.get(b"Font")?.as_reference()?;
    let fonts = document.get_dictionary(fonts)?.clone();
    for (resource, font) in &fonts {
        if let Some(rest) = rests.get(resource) {
            mend_font(document, font.as_reference()?, rest)?;
        }
    }
    let mut resources = Dictionary::new();
    if !fonts.is_empty() {
        resources.set("Font", fonts);
    }
    if red == Red::Spot {
        resources.set("ColorSpace", Dictionary::from_iter([(SPOT, separation(SPOT, CMYK_RED))]));
    }
    Ok(resources)
}

/// An ink of its own with what stands for it where there is none (ISO 32000-1, 8.6.6.4): from no ink to these
/// shares of cyan, magenta, yellow and black.
pub fn separation(ink: &str, stands_for: [f32; 4]) -> Object {
    let numbers = |values: [f32; 4]| Object::Array(values.into_iter().map(Object::Real).collect());
    let tint = Dictionary::from_iter([
        ("FunctionType", Object::Integer(2)),
        ("Domain", Object::Array(vec![Object::Integer(0), Object::Integer(1)])),
        ("C0", numbers([0.0; 4])),
        ("C1", numbers(stands_for)),
        ("N", Object::Integer(1)),
    ]);
    Object::Array(vec![name("Separation"), name(ink), name("DeviceCMYK"), Object::Dictionary(tint)])
}

/// The height of capitals, and the map from codes to glyphs where it is not the identity.
fn mend_font(document: &mut Document, font: ObjectId, rest: &Rest) -> Result<(), lopdf::Error> {
    let map = rest.glyph_of_code.as_ref().map(|map| document.add_object(Stream::new(Dictionary::new(), map.clone())));
    let descendants = document.get_dictionary_mut(font)?.get_mut(b"DescendantFonts")?.as_array_mut()?;
    let mut descriptors = Vec::new();
    for descendant in descendants {
        let descendant = descendant.as_dict_mut()?;
        if let Some(map) = map {
            descendant.set("CIDToGIDMap", Object::Reference(map));
        }
        descriptors.push(descendant.get(b"FontDescriptor")?.as_reference()?);
    }
    for descriptor in descriptors {
        document.get_dictionary_mut(descriptor)?.set("CapHeight", rest.cap_height);
    }
    Ok(())
}

/// Glyphs that follow each other without kerning become one string: printpdf writes each by itself.
/// Angle brackets stand in our content streams only around such strings.
pub fn join_strings(content: &mut Stream) {
    let mut joined: Vec<u8> = Vec::with_capacity(content.content.len());
    for &byte in &content.content {
        if byte == b'<' && joined.last() == Some(&b'>') {
            joined.pop();
        } else {
            joined.push(byte);
        }
    }
    content.set_content(joined);
}

fn deflate(object: &mut Object) -> std::io::Result<()> {
    let Object::Stream(stream) = object else { return Ok(()) };
    if stream.dict.get(b"Type").and_then(Object::as_name).is_ok_and(|kind| kind == b"Metadata") {
        return Ok(());
    }
    if stream.dict.has(b"Filter") {
        return Ok(());
    }
    let packed = packed(&stream.content)?;
    stream.set_content(packed);
    stream.dict.set("Filter", name("FlateDecode"));
    Ok(())
}

/// The content, deflated.
pub fn packed(content: &[u8]) -> std::io::Result<Vec<u8>> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::new(6));
    encoder.write_all(content)?;
    encoder.finish()
}

/// Writes the file with an identity made from its content (ISO 32000-1, 14.4), so that equal files are the same file.
fn identify(document: &mut Document) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    document.save_to(&mut bytes)?;
    let identity = Object::String(Sha256::digest(&bytes).iter().take(16).copied().collect(), StringFormat::Hexadecimal);
    document.trailer.set("ID", vec![identity.clone(), identity]);
    bytes.clear();
    document.save_to(&mut bytes)?;
    bytes.push(b'\n');
    Ok(bytes)
}

pub fn name(word: &str) -> Object {
    Object::Name(word.as_bytes().to_vec())
}

/// A text string (ISO 32000-1, 7.9.2.2): ASCII as it is, all else in UTF-16.
fn words(text: &str) -> Object {
    if text.bytes().all(|byte| (b' '..=b'~').contains(&byte)) {
        return Object::String(text.as_bytes().to_vec(), StringFormat::Literal);
    }
    let units = std::iter::once(0xfeff).chain(text.encode_utf16());
    Object::String(units.flat_map(u16::to_be_bytes).collect(), StringFormat::Hexadecimal)
}
