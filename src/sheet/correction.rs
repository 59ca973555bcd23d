//! What a printer does to a length: two numbers for each direction, measured on the test page. Part of `sheet`.
//!
//! A printer that feeds paper a little askew of its beginning or a little too fast lays a point `x` at `a + b x`. The test
//! page has a line at 20 mm and a ruler beginning there; where the line really stands and how long the ruler really is give
//! `a` and `b`, and what is drawn at `(x - a) / b` comes out at `x`.

use crate::unit::{Length, Wrong};

/// Where the rulers of the test page begin, from the left and from the upper edge.
pub const ORIGIN: Length = Length::mm(20);
/// Length of the ruler across.
pub const ACROSS: Length = Length::mm(150);
/// Length of the ruler down.
pub const DOWN: Length = Length::mm(200);
/// A ruler that comes out more than so many parts in a thousand off was fitted to the page, not printed at its size.
const MOST_SCALE: i64 = 30;
/// Most printers begin within a few millimetres.
const MOST_OFFSET: Length = Length::mm(10);

/// One direction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Axis {
    /// Where the ruler begins on paper, from the edge.
    starts: Length,
    /// How long it is on paper.
    measures: Length,
    /// How long it was drawn.
    ruler: Length,
}

impl Axis {
    /// A printer that makes no error.
    #[must_use]
    pub const fn exact(ruler: Length) -> Self {
        Self { starts: ORIGIN, measures: ruler, ruler }
    }

    /// From what was measured.
    ///
    /// # Errors
    /// When the figures cannot come from a test page printed at its size.
    pub fn measured(ruler: Length, starts: Length, measures: Length) -> Result<Self, Wrong> {
        let off = (measures - ruler).to_raw().abs();
        if off * 1000 > ruler.to_raw() * MOST_SCALE {
            return Err(Wrong::new(
                format!("the ruler of {ruler} measures {measures}"),
                "a printer is off by less than 3 %: print the test page again at 100 %, without fitting to the page",
            ));
        }
        if (starts - ORIGIN).to_raw().abs() > MOST_OFFSET.to_raw() {
            return Err(Wrong::new(
                format!("the ruler begins {starts} from the edge, and was drawn at {ORIGIN}"),
                "measure from the edge of the paper to the line where the ruler begins",
            ));
        }
        Ok(Self { starts, measures, ruler })
    }

    /// What a length is drawn as, so that it comes out at its size; 1 for a printer without error.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "both are far below 2^52")]
    pub fn scale(&self) -> f64 {
        self.ruler.to_raw() as f64 / self.measures.to_raw().max(1) as f64
    }

    /// Where a point is drawn, so that it comes out at `x`.
    #[must_use]
    pub fn drawn(&self, x: Length) -> Length {
        ORIGIN + (x - self.starts).times_ratio(self.ruler.to_raw(), self.measures.to_raw().max(1))
    }
}

/// Both directions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Correction {
    /// From left to right.
    pub across: Axis,
    /// From top to bottom.
    pub down: Axis,
}

impl Correction {
    /// None.
    pub const NONE: Self = Self { across: Axis::exact(ACROSS), down: Axis::exact(DOWN) };
}

#[cfg(test)]
mod tests {
    use super::{ACROSS, Axis, Correction, ORIGIN};
    use crate::unit::Length;

    /// By hand: a printer that begins 0.6 mm late and stretches 150 mm to 150.3 mm lays x at 0.56 + 1.002 x, since the line
    /// at 20 mm comes out at 20.6 mm. To reach 170.9 mm it is given 170 mm; to reach 20.6 mm, 20 mm.
    #[test]
    fn what_is_drawn_corrected_comes_out_where_it_belongs() {
        let axis = Axis::measured(ACROSS, Length::um(20_600), Length::um(150_300)).unwrap();
        assert_eq!(axis.drawn(Length::um(20_600)), ORIGIN);
        assert_eq!(axis.drawn(Length::um(170_900)), Length::mm(170));
        assert!((axis.scale() - 1.0 / 1.002).abs() < 1e-12);
        for mm in [0, 7, 11, 105, 210] {
            let drawn = axis.drawn(Length::mm(mm)).to_mm_f64();
            assert!((0.56 + 1.002 * drawn - Length::mm(mm).to_mm_f64()).abs() < 1e-4, "{mm}");
        }
    }

    #[test]
    fn a_printer_without_error_moves_nothing() {
        let none = Correction::NONE.across;
        assert_eq!(none.drawn(Length::um(149_500)), Length::um(149_500));
        assert!((none.scale() - 1.0).abs() < 1e-15);
    }

    /// 3 % of 150 mm are 4.5 mm.
    #[test]
    fn figures_of_a_fitted_page_are_refused() {
        assert!(Axis::measured(ACROSS, ORIGIN, Length::um(154_500)).is_ok());
        assert!(Axis::measured(ACROSS, ORIGIN, Length::um(154_501)).unwrap_err().cure.contains("100 %"));
        assert!(Axis::measured(ACROSS, ORIGIN, Length::um(145_499)).is_err());
        assert!(Axis::measured(ACROSS, Length::mm(30), ACROSS).is_ok());
        assert!(Axis::measured(ACROSS, Length::um(30_001), ACROSS).is_err());
        assert!(Axis::measured(ACROSS, Length::um(600), ACROSS).unwrap_err().message.contains("begins"));
    }
}
