//! Colours a template may give, and whether letters can be read on them. Part of `plan`.

use serde::{Serialize, Serializer};
use std::fmt;

/// A colour as on a screen (sRGB).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour {
    /// 0 to 255.
    pub red: u8,
    /// 0 to 255.
    pub green: u8,
    /// 0 to 255.
    pub blue: u8,
}

impl Colour {
    /// Ink where none is given.
    pub const BLACK: Self = Self { red: 0, green: 0, blue: 0 };
    /// Paper where no ground is given.
    pub const WHITE: Self = Self { red: 255, green: 255, blue: 255 };
    /// Least contrast of letters with their ground (WCAG 2.2, success criterion 1.4.3, level AA).
    pub const LEAST_CONTRAST: f64 = 4.5;

    /// Reads `#1f3a5f`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let digits = text.strip_prefix('#').filter(|d| d.len() == 6 && d.bytes().all(|b| b.is_ascii_hexdigit()))?;
        let pair = |from: usize| u8::from_str_radix(digits.get(from..from + 2)?, 16).ok();
        Some(Self { red: pair(0)?, green: pair(2)?, blue: pair(4)? })
    }

    /// Relative luminance from 0 (black) to 1 (white), as the W3C defines it in WCAG 2.2.
    #[must_use]
    pub fn luminance(self) -> f64 {
        let [r, g, b] = [self.red, self.green, self.blue].map(|c| {
            let c = f64::from(c) / 255.0;
            if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        });
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    /// Contrast ratio with another colour, from 1 to 21 (WCAG 2.2, "contrast ratio").
    ///
    /// ```
    /// use waxbill::plan::Colour;
    /// let grey = Colour::parse("#767676").unwrap();
    /// assert!((grey.contrast(Colour::WHITE) - 4.54).abs() < 0.005);
    /// ```
    #[must_use]
    pub fn contrast(self, other: Self) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }
}

impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.red, self.green, self.blue)
    }
}

impl Serialize for Colour {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::Colour;

    /// Published pairs on white. #767676 4.54:1 and #777777 4.48:1 (W3C, Understanding success criterion 1.4.3, and the
    /// usual examples of the lightest passing and darkest failing grey); black 21:1 and white 1:1 by definition; pure red
    /// 4.00:1, pure blue 8.59:1 and pure green 1.37:1 (0.2126, 0.0722 and 0.7152 put into the formula by hand).
    #[test]
    fn contrast_agrees_with_published_pairs() {
        for (colour, ratio) in [
            ("#767676", 4.54),
            ("#777777", 4.48),
            ("#000000", 21.0),
            ("#ffffff", 1.0),
            ("#ff0000", 4.00),
            ("#0000ff", 8.59),
            ("#00ff00", 1.37),
        ] {
            let found = Colour::parse(colour).unwrap().contrast(Colour::WHITE);
            assert!((found - ratio).abs() < 0.005, "{colour}: {found}");
        }
        let (a, b) = (Colour::parse("#1f3a5f").unwrap(), Colour::parse("#f4e9d8").unwrap());
        assert!((a.contrast(b) - b.contrast(a)).abs() < 1e-12);
    }

    #[test]
    fn only_six_hexadecimal_digits_after_a_hash_are_a_colour() {
        assert_eq!(Colour::parse("#1F3a5f").unwrap().to_string(), "#1f3a5f");
        for wrong in ["1f3a5f", "#1f3a5", "#1f3a5g", "#+1f3a5", "navy", "", "#é3a5f"] {
            assert_eq!(Colour::parse(wrong), None, "{wrong}");
        }
    }
}
