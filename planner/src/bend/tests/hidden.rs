//! Paths that random ones seldom are, where one stretch hides another: as lengths, mm, and turns before them, rad.

use super::law::{Part, Path};
use super::{NEWTON, closed, off};
use std::vec::Vec;

/// At one speed, with 500 mm/s² on each axis.
fn keeps(path: &[(f64, f64)], speed: f64) {
    let mut angle = 0.0;
    let turned = |(length, turn): &(f64, f64)| {
        angle += turn;
        Part {
            way: [angle.cos(), angle.sin(), 0.0],
            length: *length,
            fastest: speed * speed,
        }
    };
    let parts: Vec<Part> = path.iter().map(turned).collect();
    let limits = [500.0; 3];
    let law = Path::new(limits, &parts, false);
    let bends = closed(limits, &parts);
    for at in 1..parts.len() {
        let off = off(&bends, &law, at);
        assert!(
            off < NEWTON,
            "{at}: {off}, {:?} {:?}",
            bends.chords[at].turn,
            law.turns[at]
        );
    }
}

/// Turns of thousandths spread over millimetres, to the middle of the shorter chord: between two of them some of a
/// chord stays straight, where a stretch begins that no other turn ends.
#[test]
fn between_turns_that_spread_far_something_is_straight() {
    keeps(
        &[
            (25.9, 0.0),
            (9.5, 0.134),
            (13.3, -0.0014),
            (18.1, 0.0027),
            (30.2, -0.0015),
        ],
        2000.0,
    );
    keeps(
        &[
            (14.2, 0.0),
            (19.5, 0.0757),
            (8.3, -0.0352),
            (11.8, 0.0009),
            (19.2, -0.0042),
        ],
        2000.0,
    );
}

/// Sharp turns further back ask nothing of slight ones: the shortest stretch does, and what is longer does not count.
#[test]
fn a_stretch_that_is_found_is_not_looked_for_again() {
    keeps(
        &[
            (0.43, 0.0),
            (0.254, 0.125),
            (0.267, -0.211),
            (0.684, -0.0245),
            (0.346, 1.467),
            (0.332, 0.075),
            (0.661, 2.349),
            (0.474, -0.088),
            (0.263, 0.052),
        ],
        100.0,
    );
    keeps(
        &[
            (0.186, 0.0),
            (0.32, 0.0283),
            (0.249, 0.003),
            (0.369, -0.3257),
            (0.116, 0.0872),
            (0.123, -0.0612),
            (0.25, 2.802),
            (0.186, -0.0515),
            (0.117, -0.0993),
            (0.36, 0.0427),
        ],
        100.0,
    );
}
