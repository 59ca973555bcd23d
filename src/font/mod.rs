//! The faces a label is set in: metrics, shaping, coverage. Used by `page` to measure and by `pdf` to embed.

use serde::Serialize;

/// One of the embedded faces.
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
}
