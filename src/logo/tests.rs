//! Outlines against geometry: what a curve is must not depend on how it is written.

use super::{Piece, Shape, read};

fn shapes(inside: &str) -> Vec<Shape> {
    let text = format!("<svg xmlns=\"http://www.w3.org/2000/svg\">{inside}</svg>");
    read("a.svg", text.as_bytes()).unwrap().shapes
}

/// Area of a ring by its corners and eight points of each curve, as share of the whole extent.
#[expect(clippy::many_single_char_names, reason = "the letters of the formula of a cubic curve")]
fn area(shape: &Shape) -> f64 {
    let [l, t, r, b] = shape.extent().unwrap();
    let float = |p: [i64; 2]| p.map(|v| f64::from(i32::try_from(v).unwrap()));
    let mut total = 0.0;
    for ring in &shape.rings {
        let mut points = vec![float(ring.start)];
        for piece in &ring.to {
            match *piece {
                Piece::Line(p) => points.push(float(p)),
                Piece::Curve(p, q, end) => {
                    let from = *points.last().unwrap();
                    let (p, q, end) = (float(p), float(q), float(end));
                    for n in 1..=8 {
                        let (u, v) = (f64::from(n) / 8.0, 1.0 - f64::from(n) / 8.0);
                        let at = |k: usize| {
                            v * v * v * from[k] + 3.0 * v * v * u * p[k] + 3.0 * v * u * u * q[k] + u * u * u * end[k]
                        };
                        points.push([at(0), at(1)]);
                    }
                }
            }
        }
        let next = points.iter().cycle().skip(1);
        total += points.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0;
    }
    total.abs() / (float([r - l, 0])[0] * float([0, b - t])[1])
}

// A disc covers pi / 4 of its box.
#[test]
fn a_circle_is_round_however_it_is_written() {
    for text in [
        "<circle cx=\"50\" cy=\"50\" r=\"40\"/>",
        "<ellipse cx=\"5\" cy=\"5\" rx=\"4\" ry=\"2\"/>",
        "<path d=\"M10 50A40 40 0 1 1 90 50A40 40 0 1 1 10 50z\"/>",
        "<path d=\"m10,50a40,40,0,1080,0a40 40 0 10-80 0\"/>",
        "<rect width=\"20\" height=\"20\" rx=\"10\"/>",
        "<circle r=\"7\" transform=\"rotate(30) scale(2 2) translate(1,1)\"/>",
    ] {
        let all = shapes(text);
        let share = area(&all[0]);
        assert!((share - std::f64::consts::FRAC_PI_4).abs() < 0.003, "{text}: {share}");
    }
}

// SVG 1.1, 8.3.2 to 8.3.7: each row is one outline.
#[test]
fn relative_short_and_smooth_commands_say_the_same_as_the_long_ones() {
    let same = |a: &str, b: &str| {
        let one = |d: &str| shapes(&format!("<path d=\"{d}\"/>"));
        assert_eq!(one(a), one(b), "{a} | {b}");
    };
    same("M1 2L9 2L9 8L1 8Z", "m1,2h8v6h-8z");
    same("M1 2L9 2L9 8L1 8Z", "M1 2 9 2 9 8 1 8z");
    same("M0 0C0 5 5 5 5 0C5 -5 10 -5 10 0L10 9z", "M0 0C0 5 5 5 5 0S10-5 10 0V9z");
    same("M0 0Q2 4 4 0Q6 -4 8 0V9z", "M0 0Q2 4 4 0T8 0v9z");
    same("M.5.5L1.5.5L1.5-3z", "M0.5,0.5 L1.5,0.5 L1.5,-3 z");
    same("M0 0h4v4zM6 0h4v4z", "M0 0h4v4zm6 0h4v4z");
}

#[test]
fn places_follow_groups_and_the_last_transform_is_done_first() {
    let [a, b]: [Shape; 2] = shapes(
        "<rect width=\"10\" height=\"10\"/><g transform=\"translate(20 0)\"><rect width=\"1\" height=\"1\" transform=\"scale(10)\"/></g>",
    )
    .try_into()
    .unwrap();
    // The whole is 30 wide and has a million units.
    assert_eq!(a.extent(), Some([0, 0, 333_333, 333_333]));
    assert_eq!(b.extent(), Some([666_667, 0, 1_000_000, 333_333]));
}
