//! Which text may not be larger than which: advice stays under the warnings beside it. Part of `page`.
//!
//! What a reader must not miss is not set smaller than what is only good to know (our own rule, no law).

use super::block::{Block, Piece};
use super::part::Ready;
use super::size::Scale;
use crate::trade::BlockName;
use crate::unit::Length;

impl Ready<'_> {
    /// The scale up to which a block may grow so that its text is no larger than the messages of the warnings on the same
    /// part, at the `scales` those have; `None` where nothing holds it.
    pub fn under_warnings(&self, number: usize, scales: &[Scale]) -> Option<Scale> {
        let cells = self.cells();
        let advice = |b: &Block| b.plan.name == BlockName::Care;
        let warns = |b: &Block| matches!(b.plan.name, BlockName::Warning | BlockName::CandleSymbols);
        cells.iter().find(|c| c.number == number && advice(&c.block))?;
        // Blocks of one name keep one scale: that of the one held most.
        let floor =
            cells.iter().filter(|c| advice(&c.block)).filter_map(|c| c.block.smallest_em(Scale::FLOOR)).max()?;
        let warnings = cells.iter().filter(|c| warns(&c.block));
        let least = warnings.filter_map(|c| c.block.smallest_em(scales[c.number])).min()?;
        Some(Scale::within(floor, least))
    }
}

impl Block<'_> {
    /// The smallest em of its words.
    fn smallest_em(&self, scale: Scale) -> Option<Length> {
        let words = self.pieces.iter().filter_map(|p| if let Piece::Words(w) = p { Some(w) } else { None });
        words.map(|w| w.smallest_em(scale)).min()
    }
}
