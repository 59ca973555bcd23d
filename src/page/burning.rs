//! The pictures of the signs for the safe burning of a candle, beyond those of `safety`. Part of `page`.
//!
//! Our own drawings of the sentences they stand beside; they follow no standard's drawings. In thousandths of half the side.

use super::figure::{At, Figure, Outline, black, curves, disc, ellipse, polygon, rod, scaled, white};
use super::safety::{self, candle, forbidden, framed};
use crate::trade::{SafetySign, Sign};

/// What a sign for use shows; nothing for hazard pictograms and the alert symbol, which are drawn elsewhere.
pub(super) fn figures(sign: Sign) -> Vec<Figure> {
    use Sign::*;
    match sign {
        KeepInSight => safety::figures(SafetySign::InSight),
        ThingsThatCatchFire => safety::figures(SafetySign::CatchFire),
        ChildrenAndPets => safety::figures(SafetySign::Children),
        Trim => safety::figures(SafetySign::TrimWick),
        Distance => safety::figures(SafetySign::Distance),
        Holder => framed(holder()),
        Liquefies => framed(liquefies()),
        AiredHolder => framed(aired_holder()),
        Upright => framed(upright()),
        Snuff => framed(snuff()),
        RemovePackaging => framed(remove_packaging()),
        AirTheRoom => framed(air_the_room()),
        Draught => forbidden(draught()),
        HeatSource => forbidden(heat_source()),
        NoLiquid => forbidden(no_liquid()),
        ClearPool => forbidden(clear_pool()),
        DoNotMove => forbidden(do_not_move()),
        NoSmoke => forbidden(no_smoke()),
        GeneralWarning | Ghs01 | Ghs02 | Ghs03 | Ghs04 | Ghs05 | Ghs06 | Ghs07 | Ghs08 | Ghs09 => Vec::new(),
    }
}

/// A flame on its wick, whose lower end is at `foot`; at 100 percent 500 high.
fn flame(percent: i64, foot: At) -> Vec<Figure> {
    let body = curves(
        (0, -500),
        &[
            ((40, -380), (140, -310), (140, -210)),
            ((140, -40), (-140, -40), (-140, -210)),
            ((-140, -310), (-40, -380), (0, -500)),
        ],
    );
    [black(body), white(ellipse((0, -170), 50, 70)), black(rod((0, -150), (0, 0), 36))]
        .map(|f| Figure { ink: f.ink, outline: scaled(&f.outline, percent, foot) })
        .into()
}

/// Straight from `a` to `b`, with its head there; upright or level.
fn arrow(a: At, b: At, width: i64) -> Vec<Figure> {
    let sign = (b.0 - a.0).signum();
    let down = (b.1 - a.1).signum();
    let (long, wide) = (width * 5 / 2, width * 8 / 5);
    let back = (b.0 - sign * long, b.1 - down * long);
    let head =
        polygon(&[b, (back.0 + down * wide, back.1 + sign * wide), (back.0 - down * wide, back.1 - sign * wide)]);
    vec![black(rod(a, (b.0 - sign * long / 2, b.1 - down * long / 2), width)), black(head)]
}

fn bar(left: i64, top: i64, right: i64, foot: i64) -> Outline {
    polygon(&[(left, top), (right, top), (right, foot), (left, foot)])
}

/// Lines from point to point.
fn lines(points: &[At], width: i64) -> Vec<Figure> {
    points.windows(2).map(|two| black(rod(two[0], two[1], width))).collect()
}

/// Burning wax, liquid to the wall of its glass.
fn liquefies() -> Vec<Figure> {
    let wax = curves(
        (-440, 130),
        &[
            ((-300, 60), (-150, 200), (0, 130)),
            ((150, 60), (300, 200), (440, 130)),
            ((440, 300), (440, 400), (440, 580)),
            ((200, 580), (-200, 580), (-440, 580)),
            ((-440, 400), (-440, 300), (-440, 130)),
        ],
    );
    let mut all = lines(&[(-560, -200), (-560, 690), (560, 690), (560, -200)], 90);
    all.push(black(wax));
    all.extend(flame(130, (0, 160)));
    all
}

/// A tea light in a holder that air flows into from below.
fn aired_holder() -> Vec<Figure> {
    let mut all = vec![
        black(rod((-480, -520), (-480, 230), 90)),
        black(rod((480, -520), (480, 230), 90)),
        black(rod((-700, 730), (700, 730), 90)),
        black(bar(-240, 420, 240, 630)),
    ];
    all.extend(flame(120, (0, 430)));
    all.extend(arrow((-800, 480), (-310, 480), 84));
    all.extend(arrow((800, 480), (310, 480), 84));
    all
}

/// A candle that stands straight on a level ground, and an arrow up.
fn upright() -> Vec<Figure> {
    let mut all = candle(165, (-150, 660));
    all.push(black(rod((-660, 700), (660, 700), 90)));
    all.extend(arrow((440, 560), (440, -560), 110));
    all
}

/// A snuffer over a flame.
fn snuff() -> Vec<Figure> {
    let bell = curves(
        (-70, -430),
        &[
            ((-40, -470), (40, -470), (70, -430)),
            ((110, -250), (200, -60), (300, 60)),
            ((100, 60), (-100, 60), (-300, 60)),
            ((-200, -60), (-110, -250), (-70, -430)),
        ],
    );
    let mut all = lines(&[(0, -430), (0, -560), (60, -640), (720, -700)], 84);
    all.extend([black(bell), black(rod((0, 60), (0, 260), 50)), black(bar(-190, 250, 190, 760))]);
    all
}

/// A candle out of its box.
fn remove_packaging() -> Vec<Figure> {
    let mut all = lines(&[(-720, -20), (-430, 170), (-430, 730), (430, 730), (430, 170), (720, -20)], 90);
    all.extend([black(bar(-170, -420, 170, 420)), black(rod((0, -410), (0, -560), 50))]);
    all.extend(arrow((340, 0), (340, -600), 96));
    all.extend(arrow((-340, 0), (-340, -600), 96));
    all
}

/// An open window.
fn air_the_room() -> Vec<Figure> {
    let mut all = lines(&[(-720, -640), (120, -640), (120, 640), (-720, 640), (-720, -640)], 90);
    all.extend(lines(&[(120, -640), (560, -460), (560, 760), (120, 640)], 80));
    all.extend(arrow((-540, -260), (-20, -260), 90));
    all.extend(arrow((-540, 40), (-20, 40), 90));
    all.extend(arrow((-540, 340), (-20, 340), 90));
    all
}

/// A candle and the sun.
fn heat_source() -> Vec<Figure> {
    let (x, y) = (330, -330);
    let mut all = candle(95, (-330, 560));
    all.push(black(disc((x, y), 140)));
    for (dx, dy) in [(100, 0), (71, 71), (0, 100), (-71, 71), (-100, 0), (-71, -71), (0, -100), (71, -71)] {
        all.push(black(rod((x + dx * 21 / 10, y + dy * 21 / 10), (x + dx * 31 / 10, y + dy * 31 / 10), 66)));
    }
    all
}

/// A candle and drops of water.
fn no_liquid() -> Vec<Figure> {
    let drop = curves(
        (0, -200),
        &[
            ((40, -110), (130, -20), (130, 70)),
            ((130, 240), (-130, 240), (-130, 70)),
            ((-130, -20), (-40, -110), (0, -200)),
        ],
    );
    let mut all = candle(95, (-330, 560));
    for (percent, at) in [(120, (130, -470)), (120, (520, -290)), (90, (290, -110))] {
        all.push(black(scaled(&drop, percent, at)));
    }
    all
}

/// A wide candle and a match.
fn clear_pool() -> Vec<Figure> {
    let mut all = vec![black(bar(-650, 230, -90, 560))];
    all.extend(flame(90, (-370, 240)));
    all.extend([black(rod((170, -220), (560, -560), 84)), black(ellipse((180, -230), 105, 95))]);
    all.extend([black(disc((470, -170), 52)), black(disc((620, -300), 52))]);
    all
}

/// A candle here, and the same elsewhere in outline.
fn do_not_move() -> Vec<Figure> {
    let mut all = candle(95, (-400, 540));
    let there = (360, -160);
    all.extend([black(bar(there.0 - 145, there.1 - 380, there.0 + 145, there.1 + 40))]);
    all.extend([white(bar(there.0 - 85, there.1 - 320, there.0 + 85, there.1 - 20))]);
    all.extend([black(rod((there.0, there.1 - 380), (there.0, there.1 - 480), 40))]);
    all.extend(arrow((-180, 420), (330, 420), 90));
    all
}

/// A face over the smoke of a candle that was put out.
fn no_smoke() -> Vec<Figure> {
    let face = curves(
        (620, -40),
        &[
            ((620, -120), (680, -180), (680, -310)),
            ((680, -600), (200, -640), (180, -380)),
            ((180, -330), (110, -250), (90, -220)),
            ((90, -190), (150, -190), (160, -180)),
            ((150, -130), (170, -90), (170, -60)),
            ((200, -20), (280, -60), (320, -40)),
            ((400, 20), (520, 20), (620, -40)),
        ],
    );
    let smoke = [(-380, 220), (-330, 130), (-400, 20), (-450, -90), (-380, -200), (-330, -290), (-390, -380)];
    let mut all = lines(&smoke, 80);
    all.extend([black(bar(-510, 310, -250, 600)), black(rod((-380, 320), (-380, 250), 40)), black(face)]);
    all
}

/// A candle in a dish with a handle.
fn holder() -> Vec<Figure> {
    let dish = curves(
        (-700, 320),
        &[
            ((-620, 350), (-490, 370), (-360, 370)),
            ((-160, 370), (40, 370), (240, 370)),
            ((370, 370), (500, 350), (580, 320)),
            ((580, 470), (460, 630), (270, 630)),
            ((50, 630), (-170, 630), (-390, 630)),
            ((-580, 630), (-700, 470), (-700, 320)),
        ],
    );
    let mut all = vec![black(ellipse((620, 430), 190, 150)), white(ellipse((640, 430), 110, 80))];
    all.extend(candle(125, (-40, 400)));
    all.push(black(dish));
    all
}

/// A candle whose flame is blown aside by gusts from the right.
fn draught() -> Vec<Figure> {
    // The end of a gust curls over, in straight pieces too short to be seen as such.
    const CURL: [(i64, i64); 7] = [(0, 0), (-70, -18), (-116, -66), (-116, -130), (-70, -178), (-5, -178), (44, -140)];
    let mut all = Vec::new();
    all.extend(
        CURL.windows(2).map(|two| black(rod((20 + two[0].0, two[0].1 - 380), (20 + two[1].0, two[1].1 - 380), 76))),
    );
    all.extend(
        [(-380, 480, 20), (-170, 660, 120), (40, 700, 330)].map(|(y, from, to)| black(rod((from, y), (to, y), 76))),
    );
    let flame = curves(
        (-700, -190),
        &[
            ((-560, -190), (-270, -190), (-230, 10)),
            ((-210, 190), (-440, 210), (-480, 50)),
            ((-500, -60), (-570, -140), (-700, -190)),
        ],
    );
    all.extend([
        black(polygon(&[(-490, 270), (-190, 270), (-190, 600), (-490, 600)])),
        black(rod((-340, 290), (-350, 120), 44)),
        black(flame),
    ]);
    all
}

#[cfg(test)]
mod tests {
    use super::figures;
    use crate::page::figure::Piece;
    use crate::trade::Sign;

    #[test]
    fn every_sign_for_use_has_a_picture_of_its_own_that_leaves_its_frame_free() {
        let mut seen = Vec::new();
        for sign in Sign::ALL.iter().copied().filter(|s| s.ghs().is_none() && *s != Sign::GeneralWarning) {
            let all = figures(sign);
            let said = format!("{all:?}");
            assert!(all.len() > 3 && !seen.contains(&said), "{sign}");
            seen.push(said);
            // The frame are the first two figures, the bar of a ring and its seam the last two.
            let start = all[0].outline.start;
            let round = start == (1000, 0);
            let pictures = &all[2..all.len() - if round { 2 } else { 0 }];
            for figure in pictures {
                let ends = figure.outline.to.iter().map(|p| match p {
                    Piece::Line(p) | Piece::Curve(_, _, p) => *p,
                });
                for (x, y) in ends {
                    let free = if round { x * x + y * y <= 870 * 870 } else { x.abs().max(y.abs()) <= 880 };
                    assert!(free, "{sign}: {x}, {y}");
                }
            }
        }
        assert_eq!(seen.len(), 18);
    }
}
