//! What is in doubt, by hand; x has 80 steps/mm, so that 1e-5 mm are 0.0008 of a step.

use super::super::test_walk::{PER_MM, path};
use super::*;

fn matcher() -> Matcher {
    Matcher::new(PER_MM, [0.0; AXES], 10.0)
}

/// x to these places, in steps.
fn along_x(places: &[f64]) -> Path {
    let points: Vec<_> = places.iter().map(|x| [*x, 0.0, 0.0]).collect();
    path(&points)
}

#[test]
fn distance_from_the_nearest_position_there_was() {
    let doubt = Doubt {
        below: -2.0,
        above: 1.0,
    };
    for (off, distance) in [
        (-3.5, 1.5),
        (-2.0, 0.0),
        (-0.3, 0.0),
        (1.0, 0.0),
        (1.75, 0.75),
    ] {
        assert_eq!(doubt.distance(off), distance);
        assert_eq!(Doubt::NONE.distance(off), f64::abs(off));
    }
}

// Positions are told from the last one: a step up puts those that were one further down.
#[test]
fn positions_in_doubt_and_what_leaves_them() {
    let up = Doubt::NONE.step(1.0);
    assert_eq!((up.below, up.above), (-1.0, 0.0));
    assert!(up.leaves(1.0) && !up.leaves(-1.0));
    let back = up.step(-1.0);
    assert_eq!((back.below, back.above), (0.0, 1.0));
    assert!(back.leaves(-1.0) && !back.leaves(1.0));
    let below = back.step(-1.0);
    assert_eq!((below.below, below.above), (0.0, 2.0));
    assert!(Doubt::NONE.leaves(1.0) && Doubt::NONE.leaves(-1.0));
}

// The crossing at half a step, and 0.0008 of a step more; 9/16 where something is in doubt.
#[test]
fn a_step_is_known_where_the_path_goes_past_it() {
    for (end, doubt, known) in [
        (0.5007, false, false),
        (0.5009, false, true),
        (0.5632, true, false),
        (0.5634, true, true),
    ] {
        let mut matcher = matcher();
        if doubt {
            matcher.doubt[0] = Doubt::NONE.step(1.0);
        }
        let there = along_x(&[0.0, 0.2, end]);
        assert_eq!(matcher.known(&there, 0, 0, 1.0), known, "{end}");
        assert_eq!(matcher.known(&there, 1, 0, 1.0), known, "{end}");
        assert!(!matcher.known(&there, 2, 0, 1.0) && !matcher.known(&there, 0, 0, -1.0));
        let back = along_x(&[0.0, -end]);
        let mut matcher = self::matcher();
        if doubt {
            matcher.doubt[0] = Doubt::NONE.step(-1.0);
        }
        assert_eq!(matcher.known(&back, 0, 0, -1.0), known, "{end}");
    }
    // Not where the axis stands still before it goes on.
    let still = [
        [0.0; 3],
        [0.5004, 0.0, 0.0],
        [0.5004, 5.0, 0.0],
        [3.0, 5.0, 0.0],
    ];
    let still = path(&still);
    let known = |ahead| matcher().known(&still, ahead, 0, 1.0);
    assert!(!known(0) && !known(1) && known(2));
    // Not beyond a turn back.
    let turned = along_x(&[0.0, 0.4, 0.3, 2.0]);
    assert!(!matcher().known(&turned, 0, 0, 1.0) && matcher().known(&turned, 2, 0, 1.0));
}

#[test]
fn a_step_is_firm_on_the_piece_that_goes_past_it() {
    for (end, firm) in [(0.5007, false), (0.5009, true), (3.0, true)] {
        for d in [1.0, -1.0] {
            let there = along_x(&[0.0, d * end]);
            let piece = there.get(0).expect("a piece");
            assert_eq!(matcher().firm(piece, 0, d), firm, "{end}");
            assert!(!matcher().firm(piece, 0, -d));
        }
    }
    // The axis turned back: 9/16 on from step 2 is at 2.5625, and at 1.4375 going down.
    let mut matcher = matcher();
    (matcher.stair[0], matcher.direction[0]) = (2.0, -1.0);
    for (end, firm) in [(2.5632, false), (2.5634, true)] {
        let there = along_x(&[0.0, end]);
        assert_eq!(matcher.firm(there.get(0).expect("a piece"), 0, 1.0), firm);
    }
    // Not on a piece on which the axis stands still past it.
    let still = path(&[[0.6, 0.0, 0.0], [0.6, 5.0, 0.0]]);
    assert!(!self::matcher().firm(still.get(0).expect("a piece"), 0, 1.0));
    // From above to below: one that ends above the crossing, far from 0, is not firm.
    let above = along_x(&[9.0, 5.0]);
    assert!(!matcher.firm(above.get(0).expect("a piece"), 0, -1.0));
    let from_below = along_x(&[-5.0, -4.0]);
    assert!(!matcher.firm(from_below.get(0).expect("a piece"), 0, -1.0));
}

// A pulse at most 10 ticks after the last of its axis may have waited: so far the path may have gone on.
#[test]
fn what_the_path_just_passed() {
    let there = along_x(&[2.0, 1.0, 0.0]);
    let piece = there.get(1).expect("a piece");
    let cap = piece.cap;
    let mut matcher = matcher();
    let mm = |steps: f64| steps / PER_MM[0];
    for (last, along, passed) in [
        (100.0, 0.0, true),
        (100.0, 10.0 * cap, true),
        (100.0, 10.1 * cap, false),
        (99.0, 0.0, true),
        (99.0, 0.1 * cap, false),
    ] {
        matcher.last[0] = last;
        let pulse = (110.0, 0, 1.0);
        assert_eq!(
            matcher.just_passed(piece, pulse, mm(1.0), along),
            passed,
            "{last} {along}"
        );
        assert!(!matcher.just_passed(piece, pulse, mm(1.01), along));
        let pulse = (110.0, 0, -1.0);
        assert_eq!(matcher.just_passed(piece, pulse, -mm(1.0), along), passed);
        assert!(!matcher.just_passed(piece, pulse, -mm(0.99), along));
    }
}

// The highest place counts upward, and the lowest downward.
#[test]
fn what_was_passed_shortly_before() {
    let there = along_x(&[2.0, 1.0, 0.0]);
    let mut piece = *there.get(1).expect("a piece");
    (piece.crest[0][0], piece.crest[1][0]) = (0.0, 0.05);
    for (d, goal, passed) in [
        (1.0, 0.05, true),
        (1.0, 0.06, false),
        (-1.0, 0.0, true),
        (-1.0, 0.01, false),
    ] {
        let pulse = (110.0, 0, d);
        assert_eq!(
            matcher().just_passed(&piece, pulse, goal, 0.0),
            passed,
            "{d} {goal}"
        );
    }
}

#[test]
fn which_steps_tell_where_the_path_is() {
    let mut matcher = matcher();
    let tells = |matcher: &Matcher| matcher.tells(100.0, 0);
    // The last direction is not known before the first step.
    assert!(!tells(&matcher));
    matcher.direction[0] = -1.0;
    assert!(tells(&matcher));
    for (last, tell) in [(89.0, true), (90.0, false), (95.0, false), (-95.0, true)] {
        matcher.last[0] = last;
        assert_eq!(tells(&matcher), tell, "{last}");
    }
    matcher.last[0] = 80.0;
    matcher.unsure[0] = 1.0;
    assert!(!tells(&matcher));
    matcher.direction[0] = 0.0;
    assert!(!tells(&matcher));
}

#[test]
fn what_is_made_before_however_it_is_rounded() {
    let mut matcher = matcher();
    for (last, made) in [(97.9, true), (98.0, false), (99.0, false), (100.0, false)] {
        matcher.last[1] = last;
        assert_eq!(matcher.made(1, 100.0), made, "{last}");
    }
    matcher.last[1] = -1.0;
    assert!(!matcher.made(1, 1.0) && matcher.made(1, 1.5));
}

// x's own step that is known ends its doubt; that of another only where it tells, and what was made before it.
#[test]
fn what_a_step_settles() {
    let some = Doubt::NONE.step(1.0);
    for (known, tells, [x, y, z]) in [
        (false, false, [true, true, true]),
        (true, false, [false, true, true]),
        (true, true, [false, false, true]),
        (false, true, [true, false, true]),
    ] {
        let mut matcher = matcher();
        matcher.doubt = [some; AXES];
        matcher.last = [90.0, 50.0, 99.0];
        matcher.settle((100.0, 0, 1.0), known, tells);
        let left = matcher.doubt.map(|doubt| doubt != Doubt::NONE);
        assert_eq!((left, matcher.sure), ([x, y, z], false));
        assert_eq!(matcher.doubt[2], some);
        matcher.last = [0.0; AXES];
        matcher.settle((100.0, 0, 1.0), true, true);
        assert!(matcher.sure);
    }
}
