//! The area of the principal display panel (16 CFR 500.21(a)): of the container, not of the sticker.

use crate::product::{Package, Product, VesselMaterial};
use crate::unit::Area;
use serde::Serialize;

/// The panel's area and how it was found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Panel {
    /// The area.
    pub area: Area,
    /// How it was found, for the maker.
    pub how: &'static str,
}

/// The panel of a package of this shape.
#[must_use]
pub fn of_package(package: Package) -> Panel {
    match package {
        Package::Round { diameter, height } => Panel {
            area: Area::rectangle(diameter.circumference_rounded_up(), height).percent_rounded_up(40),
            how: "40 % of wall height times circumference, 16 CFR 500.21(a)(2)",
        },
        Package::Box { width, height } => Panel {
            area: Area::rectangle(width, height),
            how: "height times width of the labelled side, 16 CFR 500.21(a)(1)",
        },
        Package::Lid { diameter } => Panel { area: Area::disc(diameter), how: "the whole top, 16 CFR 500.21(a)(3)" },
    }
}

/// What the label of a product is stuck on. `None` when no size is known.
#[must_use]
pub fn container(product: &Product) -> Option<Package> {
    let candle = || Some(Package::Round { diameter: product.size?.diameter?, height: product.size?.height });
    product.package.or_else(|| product.vessel.as_ref().map(|v| v.shape)).or_else(candle)
}

/// The panel of a product: of its sales package, else its vessel, else the candle itself. `None` when no size is known.
///
/// A round tin with a lid may be labelled on wall or lid; the rule does not name it, so the larger of the two is taken.
#[must_use]
pub fn of(product: &Product) -> Option<Panel> {
    if let Some(package) = product.package {
        return Some(of_package(package));
    }
    if let Some(vessel) = &product.vessel {
        let wall = of_package(vessel.shape);
        let lid = match vessel.shape {
            Package::Round { diameter, .. } if vessel.lid && vessel.material == VesselMaterial::Tin => {
                Some(of_package(Package::Lid { diameter }))
            }
            _ => None,
        };
        return Some(match lid {
            Some(lid) if lid.area > wall.area => {
                Panel { area: lid.area, how: "the lid, being larger than 40 % of the wall (house policy)" }
            }
            _ => wall,
        });
    }
    let size = product.size?;
    Some(of_package(Package::Round { diameter: size.diameter?, height: size.height }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::{Length, Quantity};

    fn round(diameter: &str, height: &str) -> f64 {
        let (diameter, height) = (Length::parse(diameter).unwrap(), Length::parse(height).unwrap());
        of_package(Package::Round { diameter, height }).area.to_sq_in_f64()
    }

    /// Areas computed by hand from the formula of 16 CFR 500.21(a)(2), in square inches.
    #[test]
    fn round_vessels_count_forty_percent_of_the_wall() {
        for (diameter, height, area) in [
            ("1.5 in", "0.75 in", 1.414),
            ("2 in", "2 in", 5.027),
            ("2.75 in", "2 in", 6.912),
            ("3 in", "3.5 in", 13.195),
            ("3.25 in", "4 in", 16.336),
            ("4 in", "6 in", 30.159),
        ] {
            assert!((round(diameter, height) - area).abs() < 0.001, "{diameter} x {height}");
        }
    }

    /// A box face of 2 by 3 inches has 6 square inches: secondary page on 16 CFR 500.21.
    #[test]
    fn a_box_counts_its_side() {
        let panel = of_package(Package::Box { width: Length::inch(2, 1), height: Length::inch(3, 1) });
        assert_eq!(panel.area, Area::sq_in(6));
    }
}
