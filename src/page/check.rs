//! A last look at a finished part: all ink inside, nothing on top of another, reserved space kept. Part of `page`.
//!
//! Layout should never break these; where it did, the label is refused rather than printed.

use super::draw::{Drawn, ink, path_ink};
use super::outline::{Area, Outline};
use super::{Placed, Text};

/// What is wrong with a part, in words; empty when all is well.
pub(super) fn faults(drawn: &Drawn, outline: Outline) -> Vec<String> {
    let mut faults = Vec::new();
    let areas: Vec<(usize, Area)> = drawn
        .marks
        .iter()
        .enumerate()
        .flat_map(|(n, mark)| match &mark.placed {
            Placed::Text(text) => ink(text).into_iter().map(|a| (n, a)).collect::<Vec<_>>(),
            Placed::Path(path) => path_ink(path).into_iter().map(|a| (n, a)).collect(),
        })
        .collect();
    let name = |n: usize| match &drawn.marks[n].placed {
        Placed::Text(Text { text, .. }) => format!("`{text}`"),
        Placed::Path(_) => "a drawing".to_owned(),
    };
    let is_text = |n: usize| matches!(drawn.marks[n].placed, Placed::Text(_));
    for (n, area) in &areas {
        if !outline.holds(*area) {
            faults.push(format!("{} stands outside the margin", name(*n)));
        }
    }
    for (i, (n, a)) in areas.iter().enumerate() {
        for (m, b) in &areas[i + 1..] {
            if n != m && (is_text(*n) || is_text(*m)) && a.meets(*b) {
                faults.push(format!("{} and {} stand on each other", name(*n), name(*m)));
            }
        }
    }
    for reserved in &drawn.reserved {
        if let Some((n, _)) =
            areas.iter().find(|(n, a)| drawn.marks[*n].owner != reserved.owner && reserved.area.meets(*a))
        {
            faults.push(format!("{} stands in the free space of another statement", name(*n)));
        }
    }
    faults
}

#[cfg(test)]
mod tests {
    use super::faults;
    use crate::font::FaceId;
    use crate::page::draw::{Drawn, Mark, Reserved, ink};
    use crate::page::outline::Outline;
    use crate::page::{Ink, Placed, Text};
    use crate::plan::Shape;
    use crate::unit::Length;

    fn text(x: i64, y: i64) -> Text {
        let (size, ink) = (Length::mm(3), Ink::Black);
        Text { text: "Wax".into(), face: FaceId::Normal, size, x: Length::mm(x), baseline: Length::mm(y), ink }
    }
    fn found(marks: &[Text], reserve: Option<Length>) -> Vec<String> {
        let reserved = reserve
            .map(|by| Reserved { area: ink(&marks[0]).unwrap().grown(by, by), owner: (0, Some(0)) })
            .into_iter()
            .collect();
        let marks =
            marks.iter().enumerate().map(|(n, t)| Mark { placed: Placed::Text(t.clone()), owner: (n, Some(0)) });
        let outline = Outline::new(Shape::Circle { diameter: Length::mm(40) }, Length::mm(2));
        faults(&Drawn { marks: marks.collect(), reserved }, outline)
    }

    #[test]
    fn text_outside_on_another_or_in_reserved_space_is_found() {
        assert_eq!(found(&[text(15, 20), text(15, 25)], None), Vec::<String>::new());
        assert!(found(&[text(4, 8)], None)[0].contains("outside the margin"));
        assert!(found(&[text(15, 20), text(16, 21)], None)[0].contains("stand on each other"));
        assert_eq!(found(&[text(15, 20), text(15, 25)], Some(Length::mm(2))).len(), 0);
        assert!(found(&[text(15, 20), text(15, 25)], Some(Length::mm(4)))[0].contains("free space"));
    }
}
