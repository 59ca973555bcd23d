//! The walk itself, over the steps of `ledger`.

use crate::ledger::{Balance, HandOver, Ledger, Node, Receipt, Trouble, Use};
use crate::lot::{Digest, LotCode};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// A material lot on the way.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Component {
    /// Its number in the ledger.
    pub id: i64,
    /// The material's id.
    pub material: String,
    /// The supplier's lot.
    pub supplier_lot: String,
    /// What is left of it in the store, with unit.
    pub in_store: String,
    /// Its deliveries.
    pub receipts: Vec<Receipt>,
    /// Where it is in the lots of this trace.
    pub used_in: Vec<Use>,
}

/// A lot that is taken in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct TracedLot {
    /// Its code.
    pub code: LotCode,
    /// The product's id.
    pub product: String,
    /// The product's name.
    pub name: String,
    /// Day of the pour.
    pub poured: String,
    /// Digest of what its label says.
    pub label: Digest,
    /// Digest of the recipe as it was.
    pub recipe: Digest,
    /// Units taken in: ranges in order, not touching each other.
    pub units: Vec<(u32, u32)>,
    /// Units of the whole lot.
    pub of: u32,
    /// Where the units of the whole lot are.
    pub balance: Balance,
}

/// What belongs together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Trace {
    /// Where it began.
    pub subject: Node,
    /// Material lots, by number.
    pub components: Vec<Component>,
    /// Lots that were melted down into what is traced, without themselves being taken in.
    pub melted: Vec<LotCode>,
    /// Lots taken in, by code.
    pub lots: Vec<TracedLot>,
    /// Hand-overs of units taken in, by entry.
    pub hand_overs: Vec<HandOver>,
    /// Sum over the lots.
    pub balance: Balance,
}

type Ranges = BTreeSet<(u32, u32)>;

/// All of a lot, for a range that is not known more closely.
const ALL: (u32, u32) = (1, u32::MAX);

/// Walks from `from`.
///
/// # Errors
/// [`Trouble`] when the ledger cannot be read.
pub fn walk(ledger: &Ledger, from: &Node) -> Result<Trace, Trouble> {
    let mut lots: BTreeMap<LotCode, Ranges> = BTreeMap::new();
    let mut materials: BTreeSet<i64> = BTreeSet::new();
    let mut only_to = None;
    match from {
        Node::Lot(code, units) => drop(lots.insert(*code, [units.unwrap_or(ALL)].into())),
        Node::MaterialLot(id) => drop(materials.insert(*id)),
        Node::Label(label) => lots.extend(ledger.lots_labelled(label)?.into_iter().map(|l| (l, [ALL].into()))),
        Node::Sheet(_) | Node::Revision(..) => materials.extend(ledger.delivered_under(from)?),
        Node::Buyer(id) => {
            only_to = Some(*id);
            lots.extend(ledger.hand_overs_to(*id)?.into_iter().map(|h| (h.lot, [h.which.unwrap_or(ALL)].into())));
        }
    }
    let (mut components, melted) = backward(ledger, &lots, &materials)?;
    if only_to.is_none() {
        forward(ledger, &mut lots, &mut components, materials)?;
    }
    finished(ledger, from, &lots, components, melted, only_to)
}

fn meet((a, b): (u32, u32), (c, d): (u32, u32)) -> bool {
    a <= d && c <= b
}

/// Material lots upstream, and the lots that were melted down on the way.
fn backward(
    ledger: &Ledger,
    lots: &BTreeMap<LotCode, Ranges>,
    materials: &BTreeSet<i64>,
) -> Result<(BTreeSet<i64>, BTreeSet<LotCode>), Trouble> {
    let (mut components, mut melted) = (BTreeSet::new(), BTreeSet::new());
    let mut open: Vec<i64> = materials.iter().copied().collect();
    for (lot, ranges) in lots {
        let uses = ledger.made_from(lot)?;
        open.extend(uses.iter().filter(|u| ranges.iter().any(|r| meet(*r, u.units))).map(|u| u.material_lot));
    }
    while let Some(id) = open.pop() {
        if !components.insert(id) {
            continue;
        }
        for origin in ledger.receipts(id)?.into_iter().filter_map(|r| r.origin) {
            if melted.insert(origin) {
                open.extend(ledger.made_from(&origin)?.into_iter().map(|u| u.material_lot));
            }
        }
    }
    Ok((components, melted))
}

/// Lots downstream with the units that may be concerned, through every melting down.
fn forward(
    ledger: &Ledger,
    lots: &mut BTreeMap<LotCode, Ranges>,
    components: &mut BTreeSet<i64>,
    materials: BTreeSet<i64>,
) -> Result<(), Trouble> {
    let mut seen: BTreeSet<i64> = materials.clone();
    let mut open: Vec<i64> = materials.into_iter().collect();
    for lot in lots.keys() {
        open.extend(ledger.melted_from(lot)?.into_iter().filter(|id| seen.insert(*id)));
    }
    while let Some(id) = open.pop() {
        components.insert(id);
        for used in ledger.lots_with(id)? {
            let new = !lots.contains_key(&used.lot);
            lots.entry(used.lot).or_default().insert(used.units);
            if new {
                open.extend(ledger.melted_from(&used.lot)?.into_iter().filter(|id| seen.insert(*id)));
            }
        }
    }
    Ok(())
}

/// Ranges in order, joined where they touch, cut to the lot.
fn joined(ranges: &Ranges, of: u32) -> Vec<(u32, u32)> {
    let mut out: Vec<(u32, u32)> = Vec::new();
    for (first, last) in ranges.iter().map(|(f, l)| (*f, (*l).min(of))).filter(|(f, l)| f <= l) {
        match out.last_mut() {
            Some((_, end)) if first <= end.saturating_add(1) => *end = last.max(*end),
            _ => out.push((first, last)),
        }
    }
    out
}

fn finished(
    ledger: &Ledger,
    from: &Node,
    lots: &BTreeMap<LotCode, Ranges>,
    components: BTreeSet<i64>,
    melted: BTreeSet<LotCode>,
    only_to: Option<i64>,
) -> Result<Trace, Trouble> {
    let mut trace = Trace {
        subject: from.clone(),
        components: Vec::new(),
        melted: melted.into_iter().filter(|m| !lots.contains_key(m)).collect(),
        lots: Vec::new(),
        hand_overs: Vec::new(),
        balance: Balance::default(),
    };
    let mut uses: BTreeMap<i64, Vec<Use>> = BTreeMap::new();
    for (code, ranges) in lots {
        let Some(row) = ledger.lot(code)? else { continue };
        let units = joined(ranges, row.units);
        let balance = ledger.balance(code)?;
        trace.balance += balance;
        for used in ledger.made_from(code)? {
            uses.entry(used.material_lot).or_default().push(used);
        }
        let gone = ledger.hand_overs(code)?.into_iter().filter(|h| only_to.is_none_or(|buyer| h.buyer == buyer));
        trace
            .hand_overs
            .extend(gone.filter(|h| h.which.is_none_or(|which| units.iter().any(|range| meet(*range, which)))));
        trace.lots.push(TracedLot {
            code: *code,
            product: row.product,
            name: row.name,
            poured: row.date.to_string(),
            label: row.label_hash,
            recipe: row.product_hash,
            units,
            of: row.units,
            balance,
        });
    }
    trace.hand_overs.sort_by_key(|h| h.seq);
    for id in components {
        let Some(stored) = ledger.stored_lot(id)? else { continue };
        trace.components.push(Component {
            id,
            in_store: stored.shown(),
            material: stored.material,
            supplier_lot: stored.supplier_lot,
            receipts: ledger.receipts(id)?,
            used_in: uses.remove(&id).unwrap_or_default(),
        });
    }
    Ok(trace)
}

#[cfg(test)]
mod tests {
    use super::joined;

    #[test]
    fn ranges_are_joined_where_they_touch_and_cut_to_the_lot() {
        assert_eq!(joined(&[(1, 3), (4, 6), (9, 40)].into(), 24), [(1, 6), (9, 24)]);
        assert_eq!(joined(&[(1, u32::MAX), (5, 6)].into(), 24), [(1, 24)]);
        assert_eq!(joined(&[(30, 40)].into(), 24), []);
    }
}
