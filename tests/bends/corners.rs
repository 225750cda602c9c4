//! What the law leaves to the corner rule, and what each is called.

use crate::support::{LONE, equal, job, long, machine};
use spokeshave::{Limit, LowPoint};
use spokeshave_tests::shapes::{self, Path};
use spokeshave_tests::{audit, run};

/// A corner between long moves: the law gives the corner rule back (8δ/φ is its stretch, and over
/// that it allows A·8δ/φ²), so nothing changes.
#[test]
fn a_lone_corner_is_left_to_the_corner_rule() {
    for degrees in [1.0, 5.0, 20.0, 45.0, 90.0, 120.0, 150.0, 170.0, 179.0_f64] {
        let (sin, cos) = degrees.to_radians().sin_cos();
        let path: Path<2> = vec![[0.0, 0.0], [30.0, 0.0], [30.0 + 30.0 * cos, 30.0 * sin]];
        let job = job(equal(), &path);
        let hz = job.machine.controller().timer_hz;
        let with = audit::time(hz, &run::ramps::<2, 8>(&job, 8));
        let alone = audit::time(hz, &run::ramps_of_corners::<2, 8>(&job, 8));
        // The bound of a bend counts from 2^-14 of v² on.
        assert!(
            (with / alone - 1.0).abs() < 1e-5,
            "{degrees} degrees: {with} s, {alone} s by the corner rule"
        );
    }
}

/// A square of 10 mm: corners hold it. A circle of the same size in short chords: a bend does.
#[test]
fn a_bend_is_not_called_a_corner() {
    let square: Path<2> = vec![
        [0.0, 0.0],
        [10.0, 0.0],
        [10.0, 10.0],
        [0.0, 10.0],
        [0.0, 0.0],
    ];
    let circle: Path<2> = shapes::circle(5.0, 0.1);
    for (path, wanted, other) in [
        (square, LowPoint::Corner, LowPoint::Bend),
        (circle, LowPoint::Bend, LowPoint::Corner),
    ] {
        let ramps = run::ramps::<2, 1024>(&job(equal(), &path), 1024);
        let slows = |low| {
            ramps
                .iter()
                .any(|r| matches!(r.limit, Limit::AxisAcceleration(_)) && r.low_point == low)
        };
        assert!(slows(wanted) && !slows(other), "{wanted:?}");
    }
}

/// Cut coarsely or finely, the same corner is the same corner: its straights in one move each, or
/// in chords of 0.1 mm.
#[test]
fn straights_in_short_chords_do_not_change_a_corner() {
    let corner = |chord: f64| -> Path<2> {
        let parts = (30.0 / chord) as u32;
        let along = (0..=parts).map(|k| [f64::from(k) * chord, 0.0]);
        let up = (1..=parts).map(|k| [30.0, f64::from(k) * chord]);
        along.chain(up).collect()
    };
    let whole = long(equal(), &corner(30.0)).seconds;
    let cut = long(equal(), &corner(0.1)).seconds;
    assert!((cut / whole - 1.0).abs() < 1e-4, "{cut} s, {whole} s");
}

/// Back along the way it came over a few hairs: the corner rule sees right angles, each to where
/// another axis helps, and what lies between is thinned.
#[test]
fn a_turn_back_within_a_hair_is_one_turn() {
    let path = vec![
        [9.461, -6.2425, 5.584],
        [9.461, -5.7648, 5.398],
        [9.513, -5.7648, 5.3975],
        [9.513, -5.7668, 5.3976],
        [8.758, -5.7668, 5.3976],
    ];
    let worst = long(machine([1006.0, 1161.0, 3701.0], 0.02634), &path).ratio();
    println!("{worst:.3} of the limit");
    assert!(worst <= LONE, "{worst}");
}

/// Two sharp corners of a weak axis, with a way between that a strong one passes in a moment.
#[test]
fn two_corners_in_one_moment_share_it() {
    for length in [0.1, 0.3, 0.5, 1.0, 2.0] {
        let path = vec![
            [0.0, -17.0],
            [0.0, 0.0],
            [0.52, -0.74],
            [0.52 + length, -0.74],
            [0.52 + length, 14.0],
        ];
        let worst = long(machine([2555.0, 63.0], 0.096), &path).ratio();
        println!("{length} mm between: {worst:.3} of the limit");
        assert!(worst <= LONE, "{length} mm between: {worst}");
    }
}
