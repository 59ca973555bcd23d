//! The faces a label is set in: metrics, shaping, coverage. Used by `page` to measure and by `pdf` to embed.
//!
//! All lengths here are in font units, [`Face::units_per_em`] to the em, y up from the baseline.

use rustybuzz::{Direction, Feature, ShapePlan, UnicodeBuffer, script};
use serde::Serialize;
use std::ops::RangeInclusive;
use std::sync::OnceLock;
use ttf_parser::{GlyphId, Rect, Tag};

/// One of the embedded faces, from the widest family to the narrowest. All have the same vertical metrics.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FaceId {
    /// Noto Sans SemiCondensed Regular.
    Normal,
    /// Noto Sans SemiCondensed Bold.
    NormalBold,
    /// Noto Sans Condensed Regular.
    Tight,
    /// Noto Sans Condensed Bold.
    TightBold,
    /// Noto Sans ExtraCondensed Regular.
    Tightest,
    /// Noto Sans ExtraCondensed Bold.
    TightestBold,
}

impl FaceId {
    /// Every face, in order.
    pub const ALL: [Self; 6] =
        [Self::Normal, Self::NormalBold, Self::Tight, Self::TightBold, Self::Tightest, Self::TightestBold];

    /// The name in the face's own name table.
    #[must_use]
    pub const fn postscript_name(self) -> &'static str {
        match self {
            Self::Normal => "NotoSans-SemiCondensed",
            Self::NormalBold => "NotoSans-SemiCondensedBold",
            Self::Tight => "NotoSans-Condensed",
            Self::TightBold => "NotoSans-CondensedBold",
            Self::Tightest => "NotoSans-ExtraCondensed",
            Self::TightestBold => "NotoSans-ExtraCondensedBold",
        }
    }

    const fn file(self) -> &'static [u8] {
        match self {
            Self::Normal => include_bytes!("../../fonts/NotoSans-SemiCondensed.ttf"),
            Self::NormalBold => include_bytes!("../../fonts/NotoSans-SemiCondensedBold.ttf"),
            Self::Tight => include_bytes!("../../fonts/NotoSans-Condensed.ttf"),
            Self::TightBold => include_bytes!("../../fonts/NotoSans-CondensedBold.ttf"),
            Self::Tightest => include_bytes!("../../fonts/NotoSans-ExtraCondensed.ttf"),
            Self::TightestBold => include_bytes!("../../fonts/NotoSans-ExtraCondensedBold.ttf"),
        }
    }
}

/// A character no face has; nothing is ever printed in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Missing(pub char);

/// A text as glyphs, in reading order, one for each character.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// One for each character of the text.
    pub glyphs: Vec<Glyph>,
    /// From the start of the first glyph to the end of the last, kerning included.
    pub advance: i64,
}

/// One glyph of a [`Run`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Glyph {
    /// Index in the face's file.
    pub id: u16,
    /// The character it shows.
    pub ch: char,
    /// To the start of the next glyph: `nominal` and the kerning between the two.
    pub advance: i64,
    /// The face's own advance.
    pub nominal: i64,
}

/// A parsed face.
pub struct Face {
    id: FaceId,
    shaper: rustybuzz::Face<'static>,
    plan: ShapePlan,
    /// Boxes of outlines by glyph, each found when first asked for.
    inks: Vec<OnceLock<Option<Rect>>>,
}

impl std::fmt::Debug for Face {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Face").field(&self.id).finish()
    }
}

/// The face, parsed on first use.
#[must_use]
pub fn face(id: FaceId) -> &'static Face {
    static FACES: [OnceLock<Face>; 6] = [const { OnceLock::new() }; 6];
    FACES[id as usize].get_or_init(|| {
        let shaper = rustybuzz::Face::from_slice(id.file(), 0).expect("a test parses each embedded face");
        // One script for all, so that a line measured alone and within its paragraph is kerned alike.
        let plan = ShapePlan::new(&shaper, Direction::LeftToRight, Some(script::LATIN), None, &FEATURES);
        let inks = (0..shaper.number_of_glyphs()).map(|_| OnceLock::new()).collect();
        Face { id, shaper, plan, inks }
    })
}

impl Face {
    /// The whole font file (TrueType outlines, no hinting).
    #[must_use]
    pub fn data(&self) -> &'static [u8] {
        self.id.file()
    }
    /// The PostScript name: `NotoSans-SemiCondensed`.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.id.postscript_name()
    }
    /// Units to the em.
    #[must_use]
    pub fn units_per_em(&self) -> i64 {
        i64::from(self.shaper.units_per_em())
    }
    /// Whether the face can show this character.
    #[must_use]
    pub fn has(&self, ch: char) -> bool {
        self.shaper.glyph_index(ch).is_some_and(|g| g.0 != 0)
    }

    /// The glyphs of `text`, kerned; no ligature and no alternate, so that each character keeps a glyph of its own.
    ///
    /// ```
    /// use waxbill::font::{FaceId, face};
    /// let run = face(FaceId::Normal).shape("To").unwrap();
    /// assert_eq!(run.glyphs.len(), 2);
    /// assert!(run.advance < run.glyphs.iter().map(|g| g.nominal).sum());
    /// ```
    ///
    /// # Errors
    /// The first character that the face does not have. Control characters and combining marks are such.
    pub fn shape(&self, text: &str) -> Result<Run, Missing> {
        let mut glyphs = Vec::with_capacity(text.len());
        for ch in text.chars() {
            let id = self.shaper.glyph_index(ch).filter(|g| g.0 != 0).ok_or(Missing(ch))?;
            let nominal = i64::from(self.shaper.glyph_hor_advance(id).unwrap_or(0));
            glyphs.push(Glyph { id: id.0, ch, advance: nominal, nominal });
        }
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.set_script(script::LATIN);
        buffer.set_direction(Direction::LeftToRight);
        let shaped = rustybuzz::shape_with_plan(&self.shaper, &self.plan, buffer);
        let same = shaped.len() == glyphs.len()
            && shaped.glyph_infos().iter().zip(&glyphs).all(|(i, g)| i.glyph_id == u32::from(g.id));
        if same {
            for (glyph, at) in glyphs.iter_mut().zip(shaped.glyph_positions()) {
                glyph.advance = i64::from(at.x_advance);
            }
        }
        let advance = glyphs.iter().map(|g| g.advance).sum();
        Ok(Run { glyphs, advance })
    }

    /// Height of flat capital letters: the box of `H`.
    #[must_use]
    pub fn cap_height(&self) -> i64 {
        self.height_of('H')
    }
    /// Height of flat lower-case letters: the box of `x`.
    #[must_use]
    pub fn x_height(&self) -> i64 {
        self.height_of('x')
    }
    /// Height of the box of `o`, which overshoots both lines a little.
    #[must_use]
    pub fn o_height(&self) -> i64 {
        self.height_of('o')
    }
    /// Ascender of `d` above the baseline.
    #[must_use]
    pub fn d_height(&self) -> i64 {
        self.ink('d').map_or(0, |b| i64::from(b.y_max))
    }
    /// Height of the box of the lowest figure.
    #[must_use]
    pub fn figure_height(&self) -> i64 {
        ('0'..='9').map(|c| self.height_of(c)).min().unwrap_or(0)
    }
    /// Width of the letter `N` as drawn.
    #[must_use]
    pub fn width_of_n(&self) -> i64 {
        self.ink('N').map_or(0, |b| i64::from(b.x_max) - i64::from(b.x_min))
    }
    /// Highest ink above the baseline among the letters, marked capitals included.
    #[must_use]
    pub fn ascender(&self) -> i64 {
        LETTERS.into_iter().flatten().filter_map(|c| self.ink(c)).map(|b| i64::from(b.y_max)).max().unwrap_or(0)
    }
    /// Lowest ink among the letters; negative, below the baseline.
    #[must_use]
    pub fn descender(&self) -> i64 {
        LETTERS.into_iter().flatten().filter_map(|c| self.ink(c)).map(|b| i64::from(b.y_min)).min().unwrap_or(0)
    }

    /// The box of a character's outline as `(x_min, y_min, x_max, y_max)`; `None` where nothing is drawn.
    #[must_use]
    pub fn ink_of(&self, ch: char) -> Option<(i64, i64, i64, i64)> {
        self.ink(ch).map(|b| (b.x_min.into(), b.y_min.into(), b.x_max.into(), b.y_max.into()))
    }

    fn ink(&self, ch: char) -> Option<Rect> {
        let id: GlyphId = self.shaper.glyph_index(ch)?;
        *self.inks.get(usize::from(id.0))?.get_or_init(|| self.shaper.glyph_bounding_box(id))
    }
    fn height_of(&self, ch: char) -> i64 {
        self.ink(ch).map_or(0, |b| i64::from(b.y_max) - i64::from(b.y_min))
    }
}

/// What counts for [`Face::ascender`] and [`Face::descender`]: Basic Latin and Latin-1.
const LETTERS: [RangeInclusive<char>; 2] = ['!'..='~', '\u{a1}'..='\u{ff}'];

/// The cut faces hold no ligatures; this keeps a face without that cut from forming them.
const FEATURES: [Feature; 4] = [off(b"liga"), off(b"clig"), off(b"calt"), off(b"ccmp")];

const fn off(tag: &[u8; 4]) -> Feature {
    Feature { tag: Tag::from_bytes(tag), value: 0, start: 0, end: u32::MAX }
}

#[cfg(test)]
mod tests {
    use super::{FaceId, Missing, face};

    /// Heights read from the `glyf` table with fonttools 4.68 (an outside reader of the same files).
    #[test]
    fn heights_agree_with_fonttools() {
        let f = face(FaceId::Normal);
        assert_eq!(f.units_per_em(), 1000);
        assert_eq!((f.x_height(), f.o_height(), f.cap_height(), f.d_height()), (536, 556, 714, 760));
        assert_eq!(f.figure_height(), 714);
    }

    #[test]
    fn each_face_parses_and_carries_its_name() {
        for id in FaceId::ALL {
            let f = face(id);
            let parsed = ttf_parser::Face::parse(f.data(), 0).unwrap();
            let name = parsed.names().into_iter().find(|n| n.name_id == 6 && n.is_unicode()).unwrap();
            assert_eq!(name.to_string().unwrap(), f.name());
            assert!(!parsed.names().into_iter().any(|n| n.to_string().is_some_and(|s| s.contains("Reserved Font"))));
        }
    }

    #[test]
    fn families_get_narrower_and_keep_their_heights() {
        let text = "Burn candle within sight.";
        let width = |id| face(id).shape(text).unwrap().advance;
        for (wide, narrow) in [
            (FaceId::Normal, FaceId::Tight),
            (FaceId::Tight, FaceId::Tightest),
            (FaceId::NormalBold, FaceId::TightBold),
            (FaceId::TightBold, FaceId::TightestBold),
        ] {
            assert!(width(narrow) < width(wide), "{narrow:?}");
            assert_eq!(face(narrow).cap_height(), face(wide).cap_height());
        }
    }

    #[test]
    fn kerning_draws_letters_together_and_keeps_one_glyph_each() {
        for id in FaceId::ALL {
            let run = face(id).shape("AVATAR To fi ffl").unwrap();
            assert_eq!(run.glyphs.len(), 16);
            assert!(run.advance < run.glyphs.iter().map(|g| g.nominal).sum());
        }
    }

    #[test]
    fn what_labels_say_is_covered_and_the_rest_is_named() {
        let wanted = "Aé ŒœÇŞșȚΩαЖя –—‘’“”„…†•‰′″\u{2009}\u{202f}\u{2011}\u{a0}℮½¼¾⅛µ°×±€™";
        for id in FaceId::ALL {
            assert!(face(id).shape(wanted).is_ok(), "{id:?}");
            assert_eq!(face(id).shape("wax ⚠").unwrap_err(), Missing('⚠'));
            assert_eq!(face(id).shape("a\nb").unwrap_err(), Missing('\n'));
            assert_eq!(face(id).shape("e\u{301}").unwrap_err(), Missing('\u{301}'));
        }
    }
}
