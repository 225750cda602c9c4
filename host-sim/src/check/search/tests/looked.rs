//! What is told of a step once its place is found.

use super::*;

/// A step of x upward.
fn step((mut matcher, mut path): (Matcher, Path), t: f64) -> (Matcher, Path, Crossing, usize) {
    let found = matcher.pulse_anywhere(&mut path, (t, 0, 1.0), &Here::default());
    let (crossing, ahead) = found.expect("a place");
    (matcher, path, crossing, ahead)
}

// A joint of a straight stretch 0.0008 of a step past a crossing or less: the step may lie behind it. So it is on the
// stretch for certain, but not on its first piece.
#[test]
fn a_step_beside_a_joint_is_placed_but_not_firm() {
    for (joint, ahead, firm) in [
        (-0.0004, 1, false),
        (0.0004, 0, false),
        (0.0007, 0, false),
        (0.0009, 0, true),
        (0.3, 0, true),
    ] {
        let points = in_x(&[0.2, 5.5 + joint, 9.1], 1.0);
        let start = there(&points, 0, 0.0, [5.0, 0.0, 0.0]);
        let (matcher, path, crossing, on) = step(start, LATE);
        assert!((crossing.on - 5.3 / 80.0).abs() < 1e-12, "{crossing:?}");
        assert!((crossing.x - 5.5 / 80.0).abs() < 1e-12, "{crossing:?}");
        assert!(crossing.placed && crossing.exact);
        assert_eq!(
            (crossing.firm, on, path.passed),
            (firm, ahead, 0),
            "{joint}"
        );
        assert!(matcher.sure && (matcher.s - (5.3 / 80.0 - 1e-5)).abs() < 1e-12);
    }
}

// x was due before the corner that the path has passed: it lies on no piece that is left. Right at the corner it lies on
// the piece that begins there.
#[test]
fn an_overdue_step_lies_on_no_piece_before_this_one() {
    for (due, placed) in [(1.52, false), (1.5, true)] {
        let points = [[0.0, 0.0, 0.0], [due, 0.3, 0.0], [3.1, 2.3, 0.0]];
        let (mut matcher, path) = there(&points, 1, 1e-4, [1.0, 0.0, 0.0]);
        // The crossing is the corner, to the last digit.
        if placed {
            matcher.step[0] = path.front().from[0] / due;
        }
        assert_eq!(matcher.crossing(0, 1.0) == path.front().from[0], placed);
        let s0 = path.front().s0;
        let (matcher, _, crossing, _) = step((matcher, path), LATE);
        assert_eq!(crossing.placed, placed);
        assert!(!placed || crossing.on == s0);
        assert_eq!((matcher.s, matcher.stair[0]), (s0 + 1e-4, 2.0));
    }
}

// y alone, then x with it by 1/2000: one leg, as it turns by less than 1/1000. x is at 2.5e-5 mm half-way along the
// second piece.
#[test]
fn a_place_on_a_later_piece_of_the_leg() {
    let there = path(&[[0.0; 3], [0.0, 10.0, 0.0], [80.0 * 5e-5, 20.0, 0.0]]);
    let matcher = Matcher::new(PER_MM, [0.0; AXES], 10.0);
    for d in [1.0, -1.0] {
        let place = matcher.place(&there, 0, d, 2.5e-5);
        assert_eq!(place.is_some(), d > 0.0);
        let near = |(s, ahead): (f64, usize)| (s - 0.15).abs() < 1e-6 && ahead == 1;
        assert!(place.is_none_or(near), "{place:?}");
    }
}

// y is in doubt. x's step, whose place is known, settles that, but not where it may have waited for its last one.
#[test]
fn a_step_that_may_have_waited_settles_nothing() {
    for (since, settled) in [(10.0, false), (11.0, true)] {
        let mut start = there(&in_x(&[0.2, 9.1], 1.0), 0, 0.0, [5.0, 0.0, 0.0]);
        start.0.settle((LATE - 100.0, 1, 1.0), false, false);
        start.0.last = [LATE - since, LATE - 100.0, 0.0];
        let (matcher, _, crossing, _) = step(start, LATE);
        assert!(crossing.placed && crossing.firm);
        assert_eq!(matcher.sure, settled, "{since}");
    }
}

// It starts half-way, at 7.5, and is at 9.2 when its first pulse comes: from 7 that is 2.2 off, from 8 it is 1.2. The
// nearer start is taken, and room is given for two ticks.
#[test]
fn a_fault_is_that_of_the_nearer_start() {
    for d in [1.0, -1.0] {
        let points = in_x(&[7.5, 7.5 + d * 0.9, 7.5 + d * 20.0], 1.0);
        let mut path = path(&points);
        let mut matcher = Matcher::new(PER_MM, [7.5 / 80.0, 0.0, 0.0], 10.0);
        path.pass();
        matcher.s = 1.7 / 80.0;
        let found = matcher.pulse_anywhere(&mut path, (LATE, 0, d), &Here::default());
        assert!(found.is_some_and(|(crossing, _)| !crossing.exact));
        assert!((matcher.worst.value - (1.2 - 0.032)).abs() < 1e-9);
        let stair = 7.5 + d * 1.5;
        assert_eq!((matcher.stair[0], matcher.unsure[0]), (stair, 0.0));
        assert_eq!(
            matcher.first_fault.map(|here| here.is_some()),
            [true, false, false]
        );
    }
}
