//! The hazard pictograms of CLP, drawn by this program from the words of the regulation. Part of `page`.
//!
//! Annex I, 1.2.1 of Regulation (EC) 1272/2008: a square set at a point, a black symbol on white, a red frame wide enough to
//! be clearly visible. Annex V names the symbols; the shapes here are our own, meant to be known at a side of 10 mm.
//! In thousandths of half the diagonal, the inner square reaches from -`INNER` to `INNER`.

use super::figure::{
    At, Figure, Outline, Piece, black, curves, disc, ellipse, mirrored, placed, polygon, rod, scaled, white,
};
use super::{Ink, Path, Point};
use crate::trade::Ghs;
use crate::unit::Length;

/// Half the diagonal of the white square; the rest is the frame, 6 hundredths of the side wide.
const INNER: i64 = 880;

/// Width and height of the box around a pictogram whose side is so long: its diagonal.
#[must_use]
pub fn extent(side: Length) -> Length {
    side.times_ratio(1_414_213_562, 1_000_000_000)
}

/// A pictogram; `top_left` is the corner of the box around it, `side` the side of the red square.
#[must_use]
pub fn pictogram(ghs: Ghs, top_left: Point, side: Length) -> Vec<Path> {
    let half = extent(side) / 2;
    let middle = Point { x: top_left.x + half, y: top_left.y + half };
    let square = |r: i64| polygon(&[(0, -r), (r, 0), (0, r), (-r, 0)]);
    let mut figures = vec![Figure { ink: Ink::Red, outline: square(1000) }, white(square(INNER))];
    figures.extend(symbol(ghs));
    placed(&figures, middle, half)
}

fn symbol(ghs: Ghs) -> Vec<Figure> {
    match ghs {
        Ghs::Bomb => bomb(),
        Ghs::Flame => {
            let mut figures = flame(100, (0, 20));
            figures.push(black(polygon(&[(-300, 370), (300, 370), (300, 440), (-300, 440)])));
            figures
        }
        Ghs::FlameOverCircle => flame_over_circle(),
        Ghs::GasCylinder => gas_cylinder(),
        Ghs::Corrosion => corrosion(),
        Ghs::Skull => skull(),
        Ghs::Exclamation => exclamation(),
        Ghs::HealthHazard => health_hazard(),
        Ghs::Environment => environment(),
    }
}

/// A tapering stroke above a dot.
fn exclamation() -> Vec<Figure> {
    let stroke = curves(
        (-62, 180),
        &[
            ((-62, 215), (62, 215), (62, 180)),
            ((75, 0), (130, -300), (130, -440)),
            ((130, -620), (-130, -620), (-130, -440)),
            ((-130, -300), (-75, 0), (-62, 180)),
        ],
    );
    vec![black(stroke), black(disc((0, 400), 118))]
}

/// Two tongues of fire with a light core; at 100 percent from -580 to 290.
fn flame(percent: i64, shift: At) -> Vec<Figure> {
    let body = curves(
        (-110, 290),
        &[
            ((-350, 250), (-400, 0), (-265, -150)),
            ((-260, -80), (-235, -30), (-185, 0)),
            ((-225, -200), (-90, -330), (-50, -580)),
            ((60, -450), (165, -330), (150, -150)),
            ((190, -190), (215, -240), (210, -320)),
            ((360, -130), (390, 190), (130, 290)),
        ],
    );
    let core = curves(
        (-10, 290),
        &[
            ((-170, 240), (-130, 80), (-40, -60)),
            ((-30, 40), (10, 70), (50, 90)),
            ((75, 60), (85, 20), (80, -20)),
            ((180, 110), (160, 250), (-10, 290)),
        ],
    );
    vec![black(scaled(&body, percent, shift)), white(scaled(&core, percent, shift))]
}

fn flame_over_circle() -> Vec<Figure> {
    let mut figures = vec![black(disc((0, 250), 205)), white(disc((0, 250), 135))];
    figures.extend(flame(72, (0, -165)));
    figures.push(black(polygon(&[(-270, 490), (270, 490), (270, 550), (-270, 550)])));
    figures
}

/// A lying bottle of gas, its valve to the upper right.
fn gas_cylinder() -> Vec<Figure> {
    // Turned by the angle of the triangle 5, 12, 13.
    let turned = |o: &Outline| o.moved(|(x, y)| ((x * 12 + y * 5) / 13, (y * 12 - x * 5) / 13));
    let body = curves(
        (-470, -160),
        &[
            ((-330, -160), (100, -160), (260, -160)),
            ((350, -160), (410, -115), (440, -60)),
            ((470, -60), (490, -60), (510, -60)),
            ((510, -20), (510, 20), (510, 60)),
            ((490, 60), (470, 60), (440, 60)),
            ((410, 115), (350, 160), (260, 160)),
            ((100, 160), (-330, 160), (-470, 160)),
            ((-590, 130), (-590, -130), (-470, -160)),
        ],
    );
    let valve = polygon(&[(525, -90), (610, -90), (610, 90), (525, 90)]);
    let stem = polygon(&[(500, -40), (540, -40), (540, 40), (500, 40)]);
    let shine = rod((-430, -85), (230, -85), 40);
    vec![black(turned(&body)), black(turned(&valve)), black(turned(&stem)), white(turned(&shine))]
}

/// Two glass tubes; what drops from them eats into a slab and a hand.
fn corrosion() -> Vec<Figure> {
    // A tube lies along its own axis, closed at 0, and is turned so that its mouth points down to the left; the other
    // one is its mirror image.
    let (end, axis, length) = ((-105, -475), (-330, 190), 381);
    let turned = |o: &Outline| {
        o.moved(|(x, y)| (end.0 + (x * axis.0 - y * axis.1) / length, end.1 + (x * axis.1 + y * axis.0) / length))
    };
    let tube = |r: i64, mouth: i64| {
        let round = curves((0, r), &[((-r * 4 / 3, r), (-r * 4 / 3, -r), (0, -r))]);
        let mut to = round.to;
        to.extend([(mouth, -r), (mouth, r)].map(Piece::Line));
        Outline { start: round.start, to }
    };
    let liquid = polygon(&[(381, -58), (381, 40), (207, -58)]);
    let drop = |x: i64, y: i64| {
        curves(
            (x, y - 80),
            &[
                ((x + 20, y - 35), (x + 52, y), (x + 52, y + 25)),
                ((x + 52, y + 90), (x - 52, y + 90), (x - 52, y + 25)),
                ((x - 52, y), (x - 20, y - 35), (x, y - 80)),
            ],
        )
    };
    let left = [
        black(turned(&tube(92, 380))),
        white(turned(&tube(56, 386))),
        black(turned(&liquid)),
        black(drop(-400, -95)),
        black(drop(-400, 65)),
    ];
    let mut figures: Vec<Figure> =
        left.iter().flat_map(|f| [f.clone(), Figure { ink: f.ink, outline: mirrored(&f.outline) }]).collect();
    // The slab, eaten.
    figures.push(black(polygon(&[
        (-570, 175),
        (-490, 175),
        (-465, 220),
        (-430, 205),
        (-400, 245),
        (-360, 205),
        (-325, 225),
        (-300, 175),
        (-70, 175),
        (-70, 280),
        (-570, 280),
    ])));
    // The hand, palm up, fingers to the left.
    let palm = curves(
        (50, 240),
        &[
            ((40, 200), (85, 185), (130, 195)),
            ((180, 200), (270, 200), (310, 190)),
            ((335, 235), (350, 215), (390, 250)),
            ((420, 215), (440, 225), (460, 175)),
            ((490, 160), (540, 165), (580, 170)),
            ((590, 200), (590, 240), (570, 280)),
            ((520, 290), (490, 330), (440, 365)),
            ((360, 410), (260, 390), (180, 370)),
            ((135, 360), (135, 325), (175, 325)),
            ((135, 325), (95, 320), (95, 290)),
            ((95, 280), (60, 280), (50, 240)),
        ],
    );
    figures.push(black(palm));
    figures.push(white(rod((175, 328), (300, 336), 18)));
    figures.push(white(rod((98, 283), (260, 293), 18)));
    figures
}

/// A skull above two crossed bones.
fn skull() -> Vec<Figure> {
    let bone = |left: bool| {
        let turn = |o: Outline| if left { o } else { mirrored(&o) };
        let (a, b) = ((-365, 140), (320, 355));
        [
            rod(a, b, 92),
            disc((a.0 - 12, a.1 - 52), 62),
            disc((a.0 - 42, a.1 + 44), 62),
            disc((b.0 + 42, b.1 - 44), 62),
            disc((b.0 + 2, b.1 + 56), 62),
        ]
        .map(|o| black(turn(o)))
    };
    let mut figures: Vec<Figure> = bone(true).into_iter().chain(bone(false)).collect();
    // A light seam keeps skull and bones apart.
    let jaw = |grow: i64| {
        polygon(&[(-150 - grow, -80), (150 + grow, -80), (130 + grow, 150 + grow), (-130 - grow, 150 + grow)])
    };
    figures.extend([
        white(ellipse((0, -230), 292, 292)),
        white(jaw(40)),
        black(ellipse((0, -230), 255, 260)),
        black(jaw(0)),
    ]);
    figures.extend([white(ellipse((-105, -200), 78, 72)), white(ellipse((105, -200), 78, 72))]);
    figures.push(white(polygon(&[(0, -120), (42, -40), (-42, -40)])));
    for x in [-70, 0, 70] {
        figures.push(white(polygon(&[(x - 11, 25), (x + 11, 25), (x + 11, 150), (x - 11, 150)])));
    }
    figures
}

/// Head and shoulders of a person with a star bursting on the chest.
fn health_hazard() -> Vec<Figure> {
    let bust = curves(
        (-95, -300),
        &[
            ((-85, -230), (-110, -210), (-170, -185)),
            ((-300, -140), (-370, -60), (-380, 60)),
            ((-390, 180), (-390, 300), (-390, 440)),
            ((-200, 440), (200, 440), (390, 440)),
            ((390, 300), (390, 180), (380, 60)),
            ((370, -60), (300, -140), (170, -185)),
            ((110, -210), (85, -230), (95, -300)),
            ((50, -260), (-50, -260), (-95, -300)),
        ],
    );
    let star = polygon(&[
        (0, -220),
        (42, 15),
        (210, -120),
        (100, 75),
        (330, 95),
        (110, 150),
        (230, 330),
        (50, 215),
        (0, 425),
        (-50, 215),
        (-230, 330),
        (-110, 150),
        (-330, 95),
        (-100, 75),
        (-210, -120),
        (-42, 15),
    ]);
    vec![black(ellipse((0, -430), 140, 170)), black(bust), white(star)]
}

/// A bare tree and a dead fish at the water.
fn environment() -> Vec<Figure> {
    let mut figures: Vec<Figure> = [
        // Trunk, then branches.
        polygon(&[(-262, 250), (-215, -60), (-225, -330), (-190, -330), (-145, -60), (-110, 250)]),
        polygon(&[(-200, 0), (-370, -150), (-348, -180), (-180, -75)]),
        polygon(&[(-300, -105), (-430, -130), (-427, -158), (-300, -140)]),
        polygon(&[(-200, -60), (-60, -230), (-20, -400), (10, -393), (-28, -215), (-165, -5)]),
        polygon(&[(-62, -200), (60, -293), (78, -268), (-40, -165)]),
        polygon(&[(-215, -195), (-302, -330), (-277, -348), (-195, -255)]),
        polygon(&[(-205, -240), (-120, -420), (-95, -408), (-188, -175)]),
    ]
    .iter()
    .map(|o| black(scaled(o, 120, (10, -40))))
    .collect();
    // The shore: land to the left, running out into water.
    figures.push(black(curves(
        (-560, 270),
        &[
            ((-480, 235), (-300, 230), (-100, 245)),
            ((0, 255), (20, 330), (110, 350)),
            ((220, 375), (350, 365), (440, 368)),
            ((420, 390), (410, 400), (390, 420)),
            ((100, 435), (-250, 430), (-400, 420)),
            ((-450, 370), (-510, 320), (-560, 270)),
        ],
    )));
    // The fish, belly up, and the gap behind its gills.
    let fish = curves(
        (-10, 190),
        &[
            ((70, 30), (270, 10), (400, 150)),
            ((450, 110), (510, 70), (580, 50)),
            ((550, 110), (550, 200), (570, 270)),
            ((510, 270), (450, 240), (400, 215)),
            ((270, 350), (70, 350), (-10, 190)),
        ],
    );
    let gills = curves(
        (178, 75),
        &[
            ((215, 150), (215, 230), (178, 305)),
            ((195, 308), (203, 308), (212, 306)),
            ((250, 230), (250, 150), (212, 72)),
            ((203, 70), (195, 72), (178, 75)),
        ],
    );
    figures.extend([white(scaled(&fish, 108, (-15, -15))), black(fish), white(gills)]);
    figures.extend([white(rod((65, 165), (125, 225), 24)), white(rod((125, 165), (65, 225), 24))]);
    figures
}

/// A ball blown to pieces.
fn bomb() -> Vec<Figure> {
    let mut figures = vec![black(polygon(&[
        (-60, -560),
        (10, -330),
        (170, -470),
        (130, -260),
        (420, -330),
        (240, -120),
        (480, -60),
        (250, 20),
        (420, 190),
        (180, 130),
        (160, 330),
        (40, 170),
        (-150, 400),
        (-150, 190),
        (-390, 250),
        (-240, 60),
        (-520, 20),
        (-260, -70),
        (-420, -260),
        (-170, -190),
        (-220, -420),
        (-60, -280),
    ]))];
    // The ball, with a light seam round it and cracks through it.
    figures.extend([white(disc((-10, -10), 222)), black(disc((-10, -10), 190))]);
    figures.extend([
        white(polygon(&[(-20, -205), (15, -205), (-25, -80), (35, -30), (-30, 60), (5, -25), (-60, -75)])),
        white(polygon(&[(185, 40), (185, 70), (90, 20), (60, 100), (40, 95), (75, -5)])),
        white(polygon(&[(-150, 120), (-130, 145), (-90, 60), (-35, 105), (-30, 85), (-95, 25)])),
    ]);
    for piece in [
        [(300, -470), (350, -440), (310, -400)],
        [(500, 110), (560, 140), (500, 180)],
        [(280, 330), (340, 360), (290, 410)],
        [(-20, 430), (40, 470), (-30, 520)],
        [(-380, 340), (-330, 390), (-400, 410)],
        [(-560, 170), (-520, 120), (-500, 190)],
        [(-380, -430), (-330, -400), (-390, -370)],
    ] {
        figures.push(black(polygon(&piece)));
    }
    figures
}

#[cfg(test)]
mod tests {
    use super::{INNER, extent, pictogram, symbol};
    use crate::page::figure::{At, Piece};
    use crate::page::{Ink, Paint, Point, Segment};
    use crate::trade::Ghs;
    use crate::unit::Length;

    /// Ends of all pieces, and eight places along each curve.
    fn along(start: At, to: &[Piece]) -> Vec<At> {
        let (mut at, mut all) = (start, vec![start]);
        for piece in to {
            match *piece {
                Piece::Line(p) => at = p,
                Piece::Curve(a, b, c) => {
                    for t in 1..8_i64 {
                        let weights = [(8 - t).pow(3), 3 * t * (8 - t).pow(2), 3 * t * t * (8 - t), t.pow(3)];
                        let sum = |f: fn(At) -> i64| {
                            [at, a, b, c].iter().zip(weights).map(|(p, w)| f(*p) * w).sum::<i64>() / 512
                        };
                        all.push((sum(|p| p.0), sum(|p| p.1)));
                    }
                    at = c;
                }
            }
            all.push(at);
        }
        all
    }

    #[test]
    fn no_symbol_touches_its_frame() {
        for ghs in Ghs::ALL {
            let figures = symbol(*ghs);
            let black =
                figures.iter().filter(|f| f.ink == Ink::Black).flat_map(|f| along(f.outline.start, &f.outline.to));
            let (mut least, mut most) = (i64::MAX, 0);
            for (x, y) in black {
                assert!(x.abs() + y.abs() <= INNER - 30, "{ghs}: {x}, {y}");
                (least, most) = (least.min(y), most.max(y));
            }
            assert!(most - least > 550, "{ghs} is only {} high", most - least);
            for (x, y) in figures.iter().flat_map(|f| along(f.outline.start, &f.outline.to)) {
                assert!(x.abs() + y.abs() < INNER, "{ghs} cuts into its frame: {x}, {y}");
            }
        }
    }

    #[test]
    fn the_frame_is_a_red_square_of_the_asked_side_on_its_point() {
        let (side, corner) = (Length::mm(10), Point { x: Length::mm(3), y: Length::mm(7) });
        assert!((extent(side).to_mm_f64() - 14.142_135).abs() < 1e-3);
        let paths = pictogram(Ghs::Exclamation, corner, side);
        let points = |n: usize| {
            let ring = &paths[n].rings[0];
            let rest = ring.to.iter().map(|s| match s {
                Segment::Line(p) | Segment::Curve(_, _, p) => *p,
            });
            std::iter::once(ring.start).chain(rest).collect::<Vec<_>>()
        };
        let length = |a: Point, b: Point| (a.x - b.x).to_mm_f64().hypot((a.y - b.y).to_mm_f64());
        let outer = points(0);
        assert_eq!(paths[0].paint, Paint::Fill(Ink::Red));
        assert_eq!(paths[1].paint, Paint::Fill(Ink::White));
        for edge in [(0, 1), (1, 2), (2, 3), (3, 0)] {
            assert!((length(outer[edge.0], outer[edge.1]) - 10.0).abs() < 1e-3);
        }
        assert!((outer[0].y - corner.y).to_raw().abs() < 4 && (outer[3].x - corner.x).to_raw().abs() < 4);
        // Wide enough to be clearly visible: 0.6 mm of 10 mm.
        assert!((length(points(1)[0], points(1)[1]) - 8.8).abs() < 1e-3);
    }
}
