//! Letters that run neither level nor upright: over each other, alone, and their height.

use super::read;
use super::seen::SeenPage;
use super::tests::{GOOD, messages, page, stream};

fn simple(content: &str) -> Vec<u8> {
    page("", "", stream("", content.as_bytes()), &[])
}

fn seen(content: &str) -> SeenPage {
    read(&simple(content)).unwrap().remove(0)
}

/// Words at `em` points from a point of the page (in points, from below), `turn` degrees anticlockwise, leaning by `lean`.
fn words(text: &str, em: f64, [x, y]: [f64; 2], turn: f64, lean: f64) -> String {
    let ((sin, cos), lean) = (turn.to_radians().sin_cos(), lean.to_radians().tan());
    let (c, d) = (lean * cos - sin, lean * sin + cos);
    format!("BT /F {em} Tf {cos:.6} {sin:.6} {c:.6} {d:.6} {x} {y} Tm ({text}) Tj ET")
}

#[test]
fn slanted_words_over_a_statement_are_found() {
    for (turn, corner) in
        [(4.0, [20.0, 58.0]), (6.0, [15.0, 57.0]), (-6.0, [20.0, 63.0]), (20.0, [25.0, 50.0]), (-45.0, [30.0, 75.0])]
    {
        let over = words("SMALL BATCH", 14.0, corner, turn, 0.0);
        let found = messages(&simple(&format!("{GOOD} {over}")), "Keep away from children.");
        assert!(found.len() == 1 && found[0].contains("lies over or under the letter"), "{turn}: {found:?}");
        assert!(!seen(&format!("{GOOD} {over}")).overlaps().unwrap().is_empty(), "{turn}");
        // The same words beside it.
        let beside = words("SMALL BATCH", 14.0, [corner[0] + 100.0, corner[1]], turn, 0.0);
        assert_eq!(messages(&simple(&format!("{GOOD} {beside}")), "Keep away from children."), [""; 0], "{turn}");
        assert_eq!(seen(&format!("{GOOD} {beside}")).overlaps().unwrap(), [], "{turn}");
    }
}

#[test]
fn two_slanted_lines_over_each_other_are_found() {
    let line = |x: f64, turn: f64| words("Keep away", 9.0, [x, 40.0], turn, 0.0);
    for turn in [12.0, -30.0, 60.0, 179.9, -179.9] {
        let over = words("SMALL", 9.0, [103.0, 41.0], turn, 0.0);
        assert!(!seen(&format!("{} {over}", line(100.0, turn))).overlaps().unwrap().is_empty(), "{turn}");
        assert!(!seen(&format!("{} {over}", line(100.0, turn + 5.0))).overlaps().unwrap().is_empty(), "{turn}");
    }
}

#[test]
fn slanted_or_curved_words_alone_lie_over_nothing() {
    for turn in [3.0, 12.0, 45.0, 91.0, 170.0, -12.0, -100.0] {
        for lean in [0.0, 20.0, 35.0] {
            // Two lines 1.2 ems apart.
            let (sin, cos) = f64::to_radians(turn).sin_cos();
            let first = words("NET WT 9 OZ \\(255 g\\)", 9.0, [140.0, 70.0], turn, lean);
            let second = words("Illinois lily", 9.0, [140.0 + 10.8 * sin, 70.0 - 10.8 * cos], turn, lean);
            let page = seen(&format!("{first} {second}"));
            assert_eq!(page.overlaps().unwrap(), [], "{turn} {lean}");
            let all = 0..page.glyphs.len();
            let clash =
                all.clone().find_map(|a| (0..a).find(|&b| super::space::runs_into(&page, a, b)).map(|b| (a, b)));
            assert_eq!(clash, None, "{turn} {lean}");
        }
    }
    // Round a circle, each letter by itself, as close as they are on a line: Helvetica-Bold's widths (Adobe's font metrics).
    let widths = [
        ("N", 722.0),
        ("E", 667.0),
        ("T", 611.0),
        ("A", 722.0),
        ("V", 667.0),
        ("W", 944.0),
        ("T", 611.0),
        ("o", 611.0),
    ];
    for radius in [12.0, 25.0, 60.0] {
        let (mut angle, mut content) = (150.0_f64, String::new());
        for (letter, width) in widths {
            let (sin, cos) = angle.to_radians().sin_cos();
            content += &words(
                letter,
                9.0,
                [140.0 + radius * cos, 60.0 + radius * sin],
                angle - 90.0 - (width * 0.009 / radius / 2.0).to_degrees(),
                0.0,
            );
            angle -= (width * 0.009 / radius).to_degrees();
        }
        assert_eq!(seen(&content).overlaps().unwrap(), [], "{radius}");
    }
}

/// Capitals of Helvetica-Bold are 718 thousandths of the em high, its `x` is 532 (Adobe's font metrics, `CapHeight` and `XHeight`).
/// Across the direction of writing neither a turn nor a lean changes that.
#[test]
fn height_of_leaning_letters_is_measured_across_the_writing() {
    let em = 9.0 * 25.4 / 72.0;
    for (turn, lean) in [
        (0.0, 0.0),
        (0.0, 35.0),
        (1.1, 0.0),
        (1.1, 35.0),
        (5.0, 0.0),
        (5.0, 35.0),
        (5.0, -35.0),
        (-40.0, 20.0),
        (90.0, 35.0),
    ] {
        let page = seen(&words("HTEx", 9.0, [140.0, 70.0], turn, lean));
        for (glyph, share) in page.glyphs.iter().zip([0.718, 0.718, 0.718, 0.532]) {
            let high = super::heights::height(glyph).unwrap();
            assert!((high / (share * em) - 1.0).abs() < 0.02, "{} at {turn}, leaning {lean}: {high}", glyph.text);
            assert!((glyph.em / em - 1.0).abs() < 1e-4, "{} at {turn}, leaning {lean}: {}", glyph.text, glyph.em);
        }
    }
}
