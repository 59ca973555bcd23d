//! A finished page once more in small, as a picture on a form. Part of `page`, used by `form`.

use super::{Ink, Page, Paint, Path, Placed, Point, Ring, Segment, Text};
use crate::plan::Shape;
use crate::unit::Length;

/// The scale as numerator and denominator, and where the top left corner goes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Small {
    pub num: i64,
    pub den: i64,
    pub left: Length,
    pub top: Length,
}

impl Small {
    fn length(self, of: Length) -> Length {
        of.times_ratio(self.num, self.den)
    }
    /// A width that still marks the paper.
    fn width(self, of: Length) -> Length {
        self.length(of).max(Length::um(20))
    }
    fn point(self, at: Point) -> Point {
        Point { x: self.left + self.length(at.x), y: self.top + self.length(at.y) }
    }
    fn ring(self, ring: &Ring) -> Ring {
        let to = ring.to.iter().map(|segment| match *segment {
            Segment::Line(end) => Segment::Line(self.point(end)),
            Segment::Curve(a, b, end) => Segment::Curve(self.point(a), self.point(b), self.point(end)),
        });
        Ring { start: self.point(ring.start), to: to.collect(), closed: ring.closed }
    }
}

/// Everything on the page, smaller, in a frame of the page's own shape.
pub(super) fn picture(page: &Page, small: Small) -> Vec<Placed> {
    let mut out = vec![frame(page.trim, small)];
    for item in &page.items {
        out.push(match item {
            Placed::Text(text) => {
                let at = small.point(Point { x: text.x, y: text.baseline });
                let size = small.length(text.size).max(Length::raw(1));
                Placed::Text(Text { size, x: at.x, baseline: at.y, ..text.clone() })
            }
            Placed::Path(path) => {
                let paint = match path.paint {
                    Paint::Stroke(ink, width) => Paint::Stroke(ink, small.width(width)),
                    other => other,
                };
                Placed::Path(Path { rings: path.rings.iter().map(|r| small.ring(r)).collect(), paint })
            }
        });
    }
    out
}

/// The edge of the part, as a thin line.
fn frame(shape: Shape, small: Small) -> Placed {
    let (width, height) = (shape.width(), shape.height());
    let point = |x, y| small.point(Point { x, y });
    let ring = if let Shape::Circle { .. } = shape {
        // four curves; 0.5523 of the radius to the control points
        let (r, k) = (width / 2, (width / 2).times_ratio(5523, 10_000));
        let zero = Length::ZERO;
        let curve = |a: (Length, Length), b: (Length, Length), end: (Length, Length)| {
            Segment::Curve(point(a.0, a.1), point(b.0, b.1), point(end.0, end.1))
        };
        let to = vec![
            curve((r + k, zero), (width, r - k), (width, r)),
            curve((width, r + k), (r + k, width), (r, width)),
            curve((r - k, width), (zero, r + k), (zero, r)),
            curve((zero, r - k), (r - k, zero), (r, zero)),
        ];
        Ring { start: point(r, zero), to, closed: true }
    } else {
        let corners = [(width, Length::ZERO), (width, height), (Length::ZERO, height)];
        let to = corners.map(|(x, y)| Segment::Line(point(x, y))).to_vec();
        Ring { start: point(Length::ZERO, Length::ZERO), to, closed: true }
    };
    Placed::Path(Path { rings: vec![ring], paint: Paint::Stroke(Ink::Grey(60), Length::um(100)) })
}

#[cfg(test)]
mod tests {
    use super::{Small, picture};
    use crate::font::FaceId;
    use crate::page::{Ink, Page, Placed, Text};
    use crate::plan::Shape;
    use crate::unit::Length;

    /// A text of 4 mm, 20 mm from the left and 30 mm down, at half its size from (100, 50) mm on.
    #[test]
    fn what_is_on_the_page_stands_smaller_in_its_place() {
        let mm = Length::mm;
        let (face, ink) = (FaceId::Normal, Ink::Black);
        let text = Text { text: "Wax".into(), face, size: mm(4), x: mm(20), baseline: mm(30), ink };
        let trim = Shape::Rectangle { width: mm(60), height: mm(50) };
        let page = Page { part: "front".into(), trim, items: vec![Placed::Text(text)] };
        let small = picture(&page, Small { num: 1, den: 2, left: mm(100), top: mm(50) });
        let [Placed::Path(frame), Placed::Text(text)] = small.as_slice() else { panic!("{small:?}") };
        assert_eq!((text.size, text.x, text.baseline), (mm(2), mm(110), mm(65)));
        assert_eq!((frame.rings[0].start.x, frame.rings[0].start.y), (mm(100), mm(50)));
    }
}
