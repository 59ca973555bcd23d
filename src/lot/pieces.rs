//! What a pour takes by the piece: vessels, wicks, lids, label stock, boxes. Beside `sheet`, before `draw`.

use super::sheet::MaterialRow;
use crate::product::{Piece, Product, Thing};
use crate::recipe::Pour;
use serde::Serialize;

/// What a pour takes by the piece.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Pieces {
    /// The thing's id.
    pub material: String,
    /// Its name.
    pub name: String,
    /// How many the whole pour takes.
    pub number: u32,
}

/// What a pour takes by the piece: vessels, and what the product names under `counted`.
#[must_use]
pub fn pieces(product: &Product, pour: &Pour) -> Vec<Pieces> {
    let vessel =
        product.vessel.iter().map(|v| Pieces { material: v.id.clone(), name: v.id.clone(), number: pour.candles });
    let counted = product.counted.iter().map(|c| Pieces {
        material: c.piece.id.clone(),
        name: c.piece.name.clone(),
        number: c.of(pour.candles, pour.units),
    });
    vessel.chain(counted).collect()
}

/// Their rows on the batch sheet; a wick that has no file of its own is named as the product tells it.
pub(super) fn counted_rows(product: &Product, pour: &Pour) -> Vec<MaterialRow> {
    let mut rows = Vec::new();
    let pieces = |material: &str, role: &str, supplier: Option<&String>, number: u32| MaterialRow {
        material: material.to_owned(),
        role: role.to_owned(),
        supplier: supplier.cloned(),
        planned: number.to_string(),
        safety_sheet: None,
    };
    let named_wick = product.counted.iter().any(|c| c.piece.thing == Thing::Wick);
    if let Some(wick) = product.wick.as_ref().filter(|_| !named_wick) {
        let width = wick.width.map_or_else(String::new, |w| format!(", {w}"));
        let number = wick.count.saturating_mul(pour.candles);
        rows.push(pieces(&format!("{}{width}", wick.kind.word()), "wick", None, number));
    }
    if let Some(vessel) = &product.vessel {
        rows.push(pieces(&vessel.id, "vessel", vessel.supplier.as_ref(), pour.candles));
    }
    for counted in &product.counted {
        let Piece { name, thing, supplier, .. } = &counted.piece;
        rows.push(pieces(name, thing.word(), supplier.as_ref(), counted.of(pour.candles, pour.units)));
    }
    rows
}
