//! Reading of words and codes that stand on pictures, gradients and plates. What lies under printed words is paper of another
//! colour (common practice, no source); WCAG 2.2, 1.4.3, says by its contrast whether they can be read on it.

use super::tests::{GOOD, messages, page, plan, stream};
use super::{check, read};
use crate::plan::{ClearSpace, Content};
use crate::unit::Length;

const WORDS: &str = "Keep away from children.";
const GREY: &str = "/Type/XObject/Subtype/Image/Width 2/Height 2/ColorSpace/DeviceGray/BitsPerComponent 8";
/// All over the page of 100 x 50 mm.
const WHOLE: &str = "q 283.465 0 0 141.732 0 0 cm /X Do Q";

/// A page with a grey picture `/X`, a gradient `/S` from left to right and a pattern `/P` as resources.
fn on_paper(grey: u8, content: &str) -> Vec<u8> {
    let gradient = b"<</ShadingType 2/ColorSpace/DeviceGray/Coords[0 0 283 0]\
        /Function<</FunctionType 2/Domain[0 1]/C0[0.1]/C1[0.3]/N 1>>/Extend[true true]>>";
    page(
        "",
        "/XObject<</X 6 0 R>>/Shading<</S 7 0 R>>",
        stream("", content.as_bytes()),
        &[stream(GREY, &[grey; 4]), gradient.to_vec()],
    )
}

#[test]
fn words_on_a_picture_are_judged_by_their_contrast_only() {
    assert_eq!(messages(&on_paper(230, &format!("{WHOLE} {GOOD}")), WORDS), [""; 0]);
    // A plate between them leaves nothing of the picture, whatever its colour.
    assert_eq!(messages(&on_paper(40, &format!("{WHOLE} 1 g 10 10 250 120 re f 0 g {GOOD}")), WORDS), [""; 0]);
    // It ends within the words, or lies over them.
    let half = messages(&on_paper(230, &format!("q 60 0 0 62.5 0 0 cm /X Do Q {GOOD}")), WORDS);
    assert!(half[0].contains("lies over or under a picture"), "{half:?}");
    let over = messages(&on_paper(230, &format!("{GOOD} {WHOLE}")), WORDS);
    assert!(over[0].contains("is painted over"), "{over:?}");
}

#[test]
fn colours_that_are_left_out_of_rasters_are_not_told() {
    // White words on a dark gradient: the raster, which leaves it out, would show white on white.
    let seen = &read(&on_paper(40, &format!("/S sh 1 g {GOOD}"))).unwrap()[0];
    let inked = || seen.glyphs.iter().filter(|g| g.ink.is_some());
    assert!(inked().all(|g| g.hidden.is_none() && g.contrast.is_none()), "{:?}", seen.glyphs[0]);
    // On a plate upon it they are.
    let seen = &read(&on_paper(40, &format!("/S sh 1 g 10 10 250 120 re f 0 g {GOOD}"))).unwrap()[0];
    assert!(inked_contrast(seen).all(|c| c > 20.0), "{:?}", seen.glyphs[0]);
}

fn inked_contrast(seen: &super::SeenPage) -> impl Iterator<Item = f64> + '_ {
    seen.glyphs.iter().filter(|g| g.ink.is_some()).map(|g| g.contrast.unwrap())
}

/// 16 CFR 500.6(b) keeps printed matter away from the declaration; what lies under it and all round it is its ground.
#[test]
fn ground_under_all_of_the_free_space_is_no_printed_matter() {
    let mut asked = plan("NET WT 9 OZ");
    asked.parts[0].rows[0].cells[0].block.items[0].clear = Some(ClearSpace { heights: 1, widths_of_n: 2 });
    let net = "BT /F 9 Tf 80 60 Td (NET WT 9 OZ) Tj ET";
    let found = |content: &str| {
        let told = check(&on_paper(230, content), &asked).into_iter().map(|f| f.message);
        told.filter(|m| m.contains("must stay free")).collect::<Vec<_>>()
    };
    for ground in [
        WHOLE,
        "/S sh",
        // A field of its own.
        "0.2 g 40 20 180 100 re f 1 g",
        // A picture that ends beside it, under a plate there.
        "q 120 0 0 141.732 0 0 cm /X Do Q 1 g 40 20 180 100 re f 0 g",
    ] {
        assert_eq!(found(&format!("{ground} {net}")), [""; 0], "{ground}");
    }
    // They end within it; a picture laid down afterwards covers nothing and stands there.
    assert_eq!(found(&format!("q 78 0 0 141.732 0 0 cm /X Do Q {net}")).len(), 1);
    assert_eq!(found(&format!("0.2 g 78 50 70 25 re f 1 g {net}")).len(), 1);
    assert_eq!(found(&format!("{net} q 20 0 0 20 58 60 cm /X Do Q")).len(), 1);
}

/// ISO/IEC 18004: four light modules on all sides.
#[test]
fn code_on_a_picture_wants_a_white_field() {
    let code = qrcode::QrCode::new("26329A7").unwrap();
    let side = code.width();
    let dark = |n: usize| code.to_colors()[n] == qrcode::Color::Dark;
    // Modules of 0.5 mm (1.417 pt), the upper left corner at 60, 100 pt.
    let modules: String = (0..side * side)
        .filter(|n| dark(*n))
        .map(|n| {
            let at = |n: usize| 1.4173 * f64::from(u16::try_from(n).unwrap());
            format!("{:.3} {:.3} 1.42 1.42 re ", 60.0 + at(n % side), 100.0 - at(n / side))
        })
        .collect();
    let code = format!("0 g {modules} f");
    let mut asked = plan("");
    asked.parts[0].rows[0].cells[0].block.items[0].content =
        Content::Qr { payload: "26329A7".into(), module: Length::um(490) };
    let found =
        |content: &str| check(&on_paper(230, content), &asked).into_iter().map(|f| f.message).collect::<Vec<_>>();
    let plate = "1 g 53 64 45 45 re f";
    assert_eq!(found(&code), [""; 0]);
    assert_eq!(found(&format!("{WHOLE} {plate} {code}")), [""; 0]);
    assert_eq!(found(&format!("/S sh {plate} {code}")), [""; 0]);
    assert_eq!(found(&format!("{WHOLE} {code}")), ["a picture stands in the quiet zone of the QR code"]);
    assert_eq!(found(&format!("/S sh {code}")), ["a gradient or pattern stands in the quiet zone of the QR code"]);
    // The plate ends with the code.
    let narrow = "1 g 60 70.2 30 31 re f";
    assert_eq!(found(&format!("{WHOLE} {narrow} {code}")), ["a picture stands in the quiet zone of the QR code"]);
    // A picture beside it.
    let beside = found(&format!("{code} q 30 0 0 30 92 70 cm /X Do Q"));
    assert!(beside[0].contains("a drawn shape or picture stands in the quiet zone"), "{beside:?}");
}
