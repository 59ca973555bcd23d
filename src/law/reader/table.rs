//! Tables of heights and of conversion factors (`tables/*.csv`); read beside the rows that name them.

use super::{Fault, keep, shown};
use crate::trade::{Evidence, words};
use crate::unit::{Area, Length, Mass, Volume, exact};
use std::fmt;

/// The unit in which a table gives its limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitUnit {
    /// Whole square inches.
    SqIn,
    /// Thousandths of a square centimetre.
    MilliCm2,
    /// Thousandths of a gram.
    MilliG,
    /// Whole millilitres.
    Ml,
}

words! {
    /// What decides on the line of a table of heights.
    GoesBy {
        /// Area of the principal display panel.
        Panel = "panel",
        /// The declared quantity.
        Quantity = "quantity",
        /// Capacity of the package.
        Capacity = "capacity",
    }
}

/// How large something is, to look up a line of a table of heights.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extent {
    /// Area of the principal display panel.
    Panel(Area),
    /// The declared quantity.
    Quantity(Mass),
    /// Capacity of the package.
    Capacity(Volume),
}

/// The end of a band, as the law prints it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limit {
    /// How many.
    pub n: i64,
    /// Of what.
    pub unit: LimitUnit,
}

impl LimitUnit {
    /// What it measures.
    #[must_use]
    pub const fn goes_by(self) -> GoesBy {
        match self {
            Self::SqIn | Self::MilliCm2 => GoesBy::Panel,
            Self::MilliG => GoesBy::Quantity,
            Self::Ml => GoesBy::Capacity,
        }
    }
}

impl Limit {
    /// The exact extent.
    #[must_use]
    pub fn extent(self) -> Extent {
        match self.unit {
            LimitUnit::SqIn => Extent::Panel(Area::sq_in(self.n.into())),
            LimitUnit::MilliCm2 => Extent::Panel(Area::milli_cm2(self.n.into())),
            LimitUnit::MilliG => Extent::Quantity(Mass::mg(self.n)),
            LimitUnit::Ml => Extent::Capacity(Volume::ml(self.n)),
        }
    }
    /// Whether something so large lies within this upper end. `None` where the two cannot be compared.
    #[must_use]
    pub fn holds(self, size: Extent) -> Option<bool> {
        match (size, self.extent()) {
            (Extent::Panel(a), Extent::Panel(b)) => Some(a <= b),
            (Extent::Quantity(a), Extent::Quantity(b)) => Some(a <= b),
            (Extent::Capacity(a), Extent::Capacity(b)) => Some(a <= b),
            _ => None,
        }
    }
}

impl fmt::Display for Limit {
    #[expect(clippy::cast_precision_loss, reason = "messages; at most nine digits")]
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = match self.unit {
            LimitUnit::SqIn => return write!(f, "{} sq in", self.n),
            LimitUnit::Ml => return write!(f, "{} ml", self.n),
            LimitUnit::MilliCm2 => "cm2",
            LimitUnit::MilliG => "g",
        };
        write!(f, "{} {unit}", self.n as f64 / 1000.0)
    }
}

/// One line of a table of heights.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BandRow {
    /// Larger than this; `None` in the first line.
    pub over: Option<Limit>,
    /// At most this; `None` in the last line.
    pub up_to: Option<Limit>,
    /// Least heights, in the order of [`HeightTable::columns`].
    pub least: &'static [Length],
    /// Key of the source.
    pub source: &'static str,
    /// Place in it.
    pub clause: &'static str,
    /// How the line is known.
    pub seen: Evidence,
}

/// Least heights by area, quantity or capacity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HeightTable {
    /// Name of the file.
    pub name: &'static str,
    /// What decides on the line.
    pub by: GoesBy,
    /// Names of the heights; the first is taken where a rule names none.
    pub columns: &'static [&'static str],
    /// From the smallest area; without gaps.
    pub rows: &'static [BandRow],
}

/// A conversion factor of the law, exact as printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Factor {
    /// One of this …
    pub from: &'static str,
    /// … is so many of that.
    pub to: &'static str,
    /// The factor's digits …
    pub num: i64,
    /// … over a power of ten.
    pub den: i64,
    /// Key of the source.
    pub source: &'static str,
    /// Place in it.
    pub clause: &'static str,
    /// How it is known.
    pub seen: Evidence,
}

type Line<'t> = (u64, Vec<&'t str>);

/// Splits a file into its head and lines; marks for text are not known here, so they are refused.
fn lines<'t>(path: &str, text: &'t str) -> Result<(Vec<&'t str>, Vec<Line<'t>>), Vec<Fault>> {
    let mut faults = Vec::new();
    let mut rows: Vec<Line<'t>> = Vec::new();
    for (number, line) in (1..).zip(text.lines()) {
        if line.trim().is_empty() || line.starts_with('#') {
            continue;
        }
        let cells: Vec<_> = line.split(',').map(str::trim).collect();
        if line.contains('"') {
            faults.push(fault(path, number, "quotation marks are not known here: write the cell without comma"));
        } else if let Some((_, head)) = rows.first().filter(|(_, head)| head.len() != cells.len()) {
            faults.push(fault(path, number, format!("has {} cells, the first line {}", cells.len(), head.len())));
        }
        rows.push((number, cells));
    }
    if rows.len() < 2 {
        faults.push(fault(path, 1, "has no line below the names of its columns"));
    }
    if faults.is_empty() { Ok((rows.remove(0).1, rows)) } else { Err(faults) }
}

fn fault(path: &str, line: u64, message: impl Into<String>) -> Fault {
    Fault { file: shown(path), line, column: 0, message: message.into() }
}

fn limit(cell: &str, unit: LimitUnit) -> Result<Option<Limit>, String> {
    if cell.is_empty() {
        return Ok(None);
    }
    let times = if matches!(unit, LimitUnit::SqIn | LimitUnit::Ml) { 1 } else { 1000 };
    let n = exact(cell).map_err(|e| e.to_string())?.times_floor(times).filter(|n| (1..1_000_000_000).contains(n));
    n.map(|n| Some(Limit { n, unit })).ok_or_else(|| format!("`{cell}` is not the end of a band"))
}

fn length(cell: &str, unit: &str) -> Result<Length, String> {
    use crate::unit::Quantity;
    Length::parse(&format!("{cell} {unit}")).map_err(|e| e.to_string())
}

fn evidence(cell: &str) -> Result<Evidence, String> {
    Evidence::from_word(cell).ok_or_else(|| {
        let known = Evidence::ALL.iter().map(|e| e.word()).collect::<Vec<_>>().join("`, `");
        format!("`{cell}` is not one of `{known}`")
    })
}

/// A table of heights: `over_sq_in,up_to_sq_in,<name>_in,…,source,clause,seen` (or `_cm2`, `_g`, `_ml`; `_mm`).
pub(super) fn heights(path: &str, name: &str, text: &str) -> Result<HeightTable, Vec<Fault>> {
    let (head, rows) = lines(path, text)?;
    let unit = match head.as_slice() {
        ["over_sq_in", "up_to_sq_in", .., "source", "clause", "seen"] if head.len() > 5 => LimitUnit::SqIn,
        ["over_cm2", "up_to_cm2", .., "source", "clause", "seen"] if head.len() > 5 => LimitUnit::MilliCm2,
        ["over_g", "up_to_g", .., "source", "clause", "seen"] if head.len() > 5 => LimitUnit::MilliG,
        ["over_ml", "up_to_ml", .., "source", "clause", "seen"] if head.len() > 5 => LimitUnit::Ml,
        _ => {
            let right = "`over_sq_in,up_to_sq_in,printed_in,source,clause,seen` (or `_cm2`, `_g`, `_ml` and `_mm`)";
            return Err(vec![fault(path, 1, format!("the columns of a table of heights are {right}"))]);
        }
    };
    let middle = 2..head.len() - 3;
    let columns: Vec<_> = head[middle.clone()].iter().map(|c| c.rsplit_once('_').unwrap_or((c, ""))).collect();
    let mut faults = Vec::new();
    let mut out: Vec<BandRow> = Vec::new();
    for (number, cells) in &rows {
        let row = || -> Result<BandRow, String> {
            let least: Result<Vec<_>, _> =
                cells[middle.clone()].iter().zip(&columns).map(|(cell, (_, unit))| length(cell, unit)).collect();
            let at = cells.len() - 3;
            Ok(BandRow {
                over: limit(cells[0], unit)?,
                up_to: limit(cells[1], unit)?,
                least: least?.leak(),
                source: keep(cells[at].to_owned()),
                clause: keep(cells[at + 1].to_owned()),
                seen: evidence(cells[at + 2])?,
            })
        };
        match row() {
            Ok(row) => {
                if row.over != out.last().and_then(|r| r.up_to) || (row.over.is_none() && !out.is_empty()) {
                    faults.push(fault(path, *number, "does not begin where the line before ends"));
                }
                if let (Some(over), Some(up_to)) = (row.over, row.up_to)
                    && over.n >= up_to.n
                {
                    faults.push(fault(path, *number, "ends before it begins"));
                }
                out.push(row);
            }
            Err(wrong) => faults.push(fault(path, *number, wrong)),
        }
    }
    if out.last().is_some_and(|r| r.up_to.is_some()) {
        faults.push(fault(path, rows.last().map_or(1, |r| r.0), "the last line has an end: leave `up_to` empty"));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let columns: Vec<_> = columns.into_iter().map(|(name, _)| keep(name.replace('_', " "))).collect();
    Ok(HeightTable { name: keep(name.to_owned()), by: unit.goes_by(), columns: columns.leak(), rows: out.leak() })
}

/// A table of factors: `from,to,factor,source,clause,seen`.
pub(super) fn factors(path: &str, text: &str) -> Result<Vec<Factor>, Vec<Fault>> {
    let (head, rows) = lines(path, text)?;
    if head != ["from", "to", "factor", "source", "clause", "seen"] {
        return Err(vec![fault(path, 1, "the columns of a table of factors are `from,to,factor,source,clause,seen`")]);
    }
    let (mut out, mut faults) = (Vec::new(), Vec::new());
    for (number, cells) in rows {
        let row = || -> Result<Factor, String> {
            let decimals = cells[2].split_once('.').map_or(0, |(_, d)| d.len());
            let den = u32::try_from(decimals).ok().filter(|d| *d <= 9).map(|d| 10_i64.pow(d));
            let den = den.ok_or_else(|| format!("`{}` has more than nine decimals", cells[2]))?;
            let num = exact(cells[2]).map_err(|e| e.to_string())?.times_floor(den.into()).filter(|n| *n > 0);
            Ok(Factor {
                from: keep(cells[0].to_owned()),
                to: keep(cells[1].to_owned()),
                num: num.ok_or_else(|| format!("`{}` is not a factor", cells[2]))?,
                den,
                source: keep(cells[3].to_owned()),
                clause: keep(cells[4].to_owned()),
                seen: evidence(cells[5])?,
            })
        };
        match row() {
            Ok(row) => out.push(row),
            Err(wrong) => faults.push(fault(path, number, wrong)),
        }
    }
    if faults.is_empty() { Ok(out) } else { Err(faults) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> String {
        heights("tables/x.csv", "x", text).unwrap_err().iter().map(|f| format!("{f}\n")).collect()
    }

    #[test]
    fn a_metric_table_is_read_exactly() {
        let text = "over_cm2,up_to_cm2,least_mm,source,clause,seen\n,32.2,1.6,s,1,memory\n32.2,,3.2,s,2,law\n";
        let table = heights("tables/x.csv", "x", text).unwrap();
        assert_eq!(table.columns, ["least"]);
        assert_eq!(table.rows[0].up_to.unwrap().extent(), Extent::Panel(Area::milli_cm2(32_200)));
        assert_eq!(table.rows[0].up_to.unwrap().to_string(), "32.2 cm2");
        assert_eq!(table.rows[1].least, [Length::um(3200)]);
    }

    #[test]
    fn a_table_with_holes_is_told_by_line() {
        let head = "over_sq_in,up_to_sq_in,printed_in,source,clause,seen\n";
        assert!(told("a,b\n1,2\n").contains("rules/tables/x.csv:1: the columns of a table of heights are"));
        assert!(told(head).contains(":1: has no line below"));
        assert!(told(&format!("{head},5,1/16,s,law\n")).contains(":2: has 5 cells, the first line 6"));
        assert!(told(&format!("{head},5,1/16,s,c,law\n")).contains(":2: the last line has an end"));
        assert!(told(&format!("{head},5,1/16,s,c,law\n5,5,1/8,s,c,law\n5,,1/4,s,c,law\n")).contains(":3: ends before"));
        assert!(told(&format!("{head},,1/16,s,c,hearsay\n")).contains("`hearsay` is not one of `law`"));
        assert!(told(&format!("{head},5,tall,s,c,law\n5,,1/8,s,c,law\n")).contains(":2: "));
        assert!(told(&format!("{head},\"5\",1/16,s,c,law\n")).contains(":2: quotation marks"));
        assert!(told(&format!("{head},x,1/16,s,c,law\n")).contains("`x` is not a number"));
    }
}
