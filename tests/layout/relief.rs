//! What is said when nothing fits must be true: the sizes named, and what may go.

use crate::plan::{self, base, front};
use waxbill::page::set;
use waxbill::plan::Shape;
use waxbill::trade::BlockName;
use waxbill::unit::Length;

#[test]
fn what_may_go_is_told_and_is_enough_or_says_for_which_size() {
    let mut part = base();
    for diameter in (30..60).step_by(3) {
        part.shape = Shape::Circle { diameter: Length::mm(diameter) };
        let Err(findings) = set(&plan::plan(vec![part.clone()])) else { continue };
        let cure = &findings[0].cure;
        let mut rest = part.clone();
        let gone = |id: &str, name: BlockName| {
            (name == BlockName::Code && cure.contains("`code: none`"))
                || cure.contains(&format!("`{}`", id.split_once('#').map_or(id, |(rule, _)| rule)))
        };
        for cell in rest.rows.iter_mut().flat_map(|r| &mut r.cells) {
            let name = cell.block.name;
            cell.block.items.retain(|i| !gone(&i.id, name));
        }
        if cure.ends_with("the rest then fits") {
            assert!(set(&plan::plan(vec![rest])).is_ok(), "{diameter}: {cure}");
        } else if let Some((_, size)) = cure.rsplit_once("make the part at least a circle of ") {
            let size: i64 = size.split_once(' ').unwrap().0.parse().unwrap();
            for (diameter, fits) in [(size, true), (size - 1, false)] {
                rest.shape = Shape::Circle { diameter: Length::mm(diameter) };
                assert_eq!(set(&plan::plan(vec![rest.clone()])).is_ok(), fits, "{diameter}: {cure}");
            }
        }
    }
}

#[test]
fn higher_only_and_wider_only_are_told_beside_the_proportions() {
    let mut part = front();
    part.shape = Shape::Rectangle { width: Length::mm(64), height: Length::mm(14) };
    let cure = set(&plan::plan(vec![part.clone()])).unwrap_err()[0].cure.clone();
    let sizes = cure.strip_prefix("make the part at least ").unwrap();
    let higher =
        sizes.split(['(', ')', ';']).flat_map(|s| s.split("or ")).find(|s| s.starts_with("64 x ")).unwrap().trim();
    let high: i64 = higher.trim_start_matches("64 x ").trim_end_matches(" mm").parse().unwrap();
    for (height, fits) in [(high, true), (high - 1, false)] {
        part.shape = Shape::Rectangle { width: Length::mm(64), height: Length::mm(height) };
        assert_eq!(set(&plan::plan(vec![part.clone()])).is_ok(), fits, "{height}: {cure}");
    }
}
