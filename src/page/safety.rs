//! Signs of candle safety, drawn by this program. Part of `page`.
//!
//! They follow the sentences they stand beside, not the drawings of any standard, and never stand alone: EN 15494 accepts
//! a sentence by itself, and asks for symbols at least 5 mm high (known from summaries; the standard was not read).

use super::figure::{At, Figure, Outline, black, curves, disc, ellipse, mirrored, placed, polygon, rod, scaled, white};
use super::{Path, Point};
use crate::trade::SafetySign;
use crate::unit::Length;

/// A sign in a square so wide and high; `top_left` is its corner.
#[must_use]
pub fn sign(sign: SafetySign, top_left: Point, height: Length) -> Vec<Path> {
    let half = height / 2;
    placed(&figures(sign), Point { x: top_left.x + half, y: top_left.y + half }, half)
}

pub(super) fn figures(sign: SafetySign) -> Vec<Figure> {
    match sign {
        SafetySign::InSight => framed(in_sight()),
        SafetySign::CatchFire => forbidden(catch_fire()),
        SafetySign::Children => forbidden(children()),
        SafetySign::TrimWick => framed(trim_wick()),
        SafetySign::Distance => framed(distance()),
    }
}

/// A square with rounded corners.
fn plate(r: i64, corner: i64) -> Outline {
    let c = r - corner;
    let h = r - corner / 2;
    curves(
        (-c, -r),
        &[
            ((-c, -r), (c, -r), (c, -r)),
            ((h, -r), (r, -h), (r, -c)),
            ((r, -c), (r, c), (r, c)),
            ((r, h), (h, r), (c, r)),
            ((c, r), (-c, r), (-c, r)),
            ((-h, r), (-r, h), (-r, c)),
            ((-r, c), (-r, -c), (-r, -c)),
            ((-r, -h), (-h, -r), (-c, -r)),
        ],
    )
}

/// What is to be done.
pub(super) fn framed(inside: Vec<Figure>) -> Vec<Figure> {
    let mut all = vec![black(plate(1000, 180)), white(plate(910, 120))];
    all.extend(inside);
    all
}

/// What is not to be: a ring with a bar across, a light seam beside the bar.
pub(super) fn forbidden(inside: Vec<Figure>) -> Vec<Figure> {
    let mut all = vec![black(disc((0, 0), 1000)), white(disc((0, 0), 870))];
    all.extend(inside);
    all.extend([white(rod((-530, -530), (530, 530), 190)), black(rod((-640, -640), (640, 640), 115))]);
    all
}

/// A candle that burns, standing on `foot`; at 100 percent 780 high.
pub(super) fn candle(percent: i64, foot: At) -> Vec<Figure> {
    let body = polygon(&[(-130, 0), (-130, -400), (130, -400), (130, 0)]);
    let wick = polygon(&[(-16, -395), (-16, -500), (16, -500), (16, -395)]);
    let flame = curves(
        (0, -800),
        &[
            ((30, -700), (110, -640), (110, -560)),
            ((110, -420), (-110, -420), (-110, -560)),
            ((-110, -640), (-30, -700), (0, -800)),
        ],
    );
    let core = ellipse((0, -530), 40, 58);
    let mut all: Vec<Figure> = [body, flame].iter().map(|o| black(scaled(o, percent, foot))).collect();
    all.push(white(scaled(&core, percent, foot)));
    all.push(black(scaled(&wick, percent, foot)));
    all
}

/// An eye that looks on a candle.
fn in_sight() -> Vec<Figure> {
    let lid = |wide: i64, high: i64| {
        curves(
            (-wide, -470),
            &[
                ((-wide / 2, -470 - high), (wide / 2, -470 - high), (wide, -470)),
                ((wide / 2, -470 + high), (-wide / 2, -470 + high), (-wide, -470)),
            ],
        )
    };
    let mut all =
        vec![black(lid(600, 400)), white(lid(450, 270)), black(disc((0, -470), 165)), white(disc((50, -520), 45))];
    all.extend(candle(110, (0, 780)));
    all
}

/// A candle under a curtain.
fn catch_fire() -> Vec<Figure> {
    let cloth = curves(
        (60, -600),
        &[
            ((200, -600), (400, -600), (540, -600)),
            ((560, -300), (520, 0), (590, 330)),
            ((530, 400), (470, 400), (430, 330)),
            ((390, 400), (330, 400), (290, 330)),
            ((220, 400), (170, 370), (150, 310)),
            ((150, 0), (40, -300), (60, -600)),
        ],
    );
    let hung = |o: &Outline| scaled(o, 75, (140, -150));
    let mut all = vec![black(rod((-330, -620), (560, -620), 60)), black(hung(&cloth))];
    for x in [250, 400] {
        all.push(white(hung(&rod((x, -480), (x + 20, 230), 34))));
    }
    all.extend(candle(95, (-270, 560)));
    all
}

/// A child who reaches for a candle on a shelf, and a cat.
fn children() -> Vec<Figure> {
    let mut all = candle(78, (330, 30));
    all.push(black(rod((210, 60), (600, 60), 60)));
    let child = curves(
        (-520, 70),
        &[
            ((-500, 0), (-360, 0), (-330, 70)),
            ((-300, 190), (-270, 290), (-250, 410)),
            ((-340, 420), (-480, 420), (-580, 410)),
            ((-560, 290), (-540, 190), (-520, 70)),
        ],
    );
    all.extend([
        black(disc((-420, -130), 140)),
        black(child),
        black(rod((-390, 100), (-130, 20), 84)),
        black(rod((-490, 400), (-490, 570), 88)),
        black(rod((-350, 400), (-350, 570), 88)),
    ]);
    // The cat, sitting.
    let cat = curves(
        (-70, 690),
        &[
            ((-140, 690), (-190, 680), (-170, 640)),
            ((-140, 540), (-190, 470), (-140, 400)),
            ((-30, 340), (120, 410), (160, 600)),
            ((170, 670), (140, 690), (90, 690)),
            ((30, 690), (-20, 690), (-70, 690)),
        ],
    );
    all.extend([
        black(cat),
        black(ellipse((-115, 325), 112, 98)),
        black(polygon(&[(-220, 290), (-220, 160), (-140, 245)])),
        black(polygon(&[(-12, 290), (-12, 160), (-90, 245)])),
    ]);
    all
}

/// Open scissors at the wick of a candle that does not burn.
fn trim_wick() -> Vec<Figure> {
    let mut all = vec![
        black(polygon(&[(-570, 800), (-570, 240), (110, 240), (110, 800)])),
        black(rod((-230, 260), (-230, -420), 66)),
        black(rod((-230, -420), (-130, -600), 66)),
    ];
    // One blade with its handle; the other is the same turned over.
    let middle = -130;
    for side in [1, -1] {
        let at = |x: i64, y: i64| (x, middle + side * y);
        all.extend([
            black(polygon(&[at(-480, -190), at(200, -45), at(240, 30), at(160, 50)])),
            black(rod(at(190, 0), at(430, 140), 88)),
            black(ellipse(at(570, 215), 225, 165)),
            white(ellipse(at(570, 215), 130, 80)),
        ]);
    }
    all.push(white(disc((190, middle), 26)));
    all
}

/// Two candles and the way between them.
fn distance() -> Vec<Figure> {
    let mut all = candle(115, (-560, 420));
    all.extend(candle(115, (560, 420)));
    let head = polygon(&[(-560, 660), (-360, 540), (-360, 780)]);
    all.extend([
        black(mirrored(&head)),
        black(head),
        black(polygon(&[(-380, 620), (380, 620), (380, 700), (-380, 700)])),
    ]);
    all
}

#[cfg(test)]
mod tests {
    use super::{figures, sign};
    use crate::page::figure::Piece;
    use crate::page::{Ink, Point, Segment};
    use crate::trade::SafetySign;
    use crate::unit::Length;

    #[test]
    fn every_sign_fills_its_square_and_stays_in_it() {
        let (corner, height) = (Point { x: Length::mm(2), y: Length::mm(4) }, Length::mm(8));
        for name in SafetySign::ALL {
            let mut ends = Vec::new();
            for path in sign(*name, corner, height) {
                for ring in path.rings {
                    ends.push(ring.start);
                    ends.extend(ring.to.iter().map(|s| match s {
                        Segment::Line(p) | Segment::Curve(_, _, p) => *p,
                    }));
                }
            }
            let (left, right) = (ends.iter().map(|p| p.x).min().unwrap(), ends.iter().map(|p| p.x).max().unwrap());
            let (top, foot) = (ends.iter().map(|p| p.y).min().unwrap(), ends.iter().map(|p| p.y).max().unwrap());
            assert!(left >= corner.x && top >= corner.y, "{name}");
            assert!(right <= corner.x + height && foot <= corner.y + height, "{name}");
            assert!(foot - top > height * 97 / 100, "{name}");
        }
    }

    #[test]
    fn what_stands_in_a_plate_leaves_its_edge_free() {
        for name in [SafetySign::InSight, SafetySign::TrimWick, SafetySign::Distance] {
            for figure in figures(name).iter().skip(2).filter(|f| f.ink == Ink::Black) {
                let ends = figure.outline.to.iter().map(|p| match p {
                    Piece::Line(p) | Piece::Curve(_, _, p) => *p,
                });
                assert!(ends.clone().all(|(x, y)| x.abs() <= 840 && y.abs() <= 840), "{name}");
            }
        }
    }
}
