//! How near the other axes must be to the path at the place of a pulse.

use super::*;

/// 3, 4 and 5: x moves at 0.6 of the path's speed, y at 0.8; x is at `x` where this starts, y at `y`.
fn slope(x: f64, y: f64) -> [Point; 2] {
    [[x, y, 0.0], [x + 48.0, y + 80.0, 0.0]]
}

/// Where x then comes to its crossing at 0.5 from 0, less 1e-5 mm: mm of x, and as many steps of y.
const X_MM: f64 = 0.5 / 80.0 - 1e-5;
const Y_STEPS: f64 = X_MM / 0.6 * 0.8 * 100.0;

/// The room of y, steps.
const ROOM: f64 = 0.5625 + 1e-5 * 100.0;

/// What y moves in two ticks, steps.
const TWO_TICKS: f64 = ROUNDING_MM * 80.0;

fn close(a: Option<(usize, f64)>, b: Option<(usize, f64)>) -> bool {
    match (a, b) {
        (Some((i, a)), Some((k, b))) => i == k && (a - b).abs() < 1e-8,
        _ => a == b,
    }
}

// y is due, and may be 10 ticks late if its last step was no more than 10 ticks ago: it moves 0.8·2e-3 mm meanwhile, 0.16
// of a step.
#[test]
fn an_axis_that_waits_may_be_late() {
    for (since, beyond, fault) in [
        (10.0, 0.1, false),
        (10.0, 0.15, false),
        (10.0, 0.17, true),
        (11.0, 0.1, true),
        (11.0, -0.01, false),
        (10.0, -0.01, false),
    ] {
        let y = ROOM + TWO_TICKS + beyond - Y_STEPS;
        let mut start = there(&slope(0.0, y), 0, 0.0, [0.0; AXES]);
        start.0.last[1] = LATE - since;
        let found = find(start, (LATE, 0, 1.0)).and_then(|(_, _, fault)| fault);
        let fault = fault.then_some((1, ROOM + beyond));
        assert!(close(found, fault), "{since} {beyond} {found:?}");
    }
}

// A pulse of x that was due before the corner may come two ticks after it: x was as fast as the path then, and moved
// 0.032 of a step. It stands at 1, and is at 1.57.
#[test]
fn room_for_what_an_axis_moved_before_a_corner() {
    for (along, fault) in [(0.1, None), (0.9, None), (1.1, Some((0, 0.57)))] {
        // So that y comes to 0.499, its crossing less 1e-5 mm, there.
        let y = 0.499 - along * ROUNDING_MM * 100.0;
        let points = [[0.0, y, 0.0], [1.57, y, 0.0], [1.57, y + 2.0, 0.0]];
        let start = there(&points, 1, 0.0, [1.0, 0.0, 0.0]);
        let found = find(start, (LATE, 1, 1.0)).and_then(|(_, _, fault)| fault);
        assert!(close(found, fault), "{along} {found:?}");
    }
}

// y's last step up is in doubt: it may have been made, or not yet. At x's next it is 0.8 behind, which fits what was
// before; but not if x's place is known, for y's step was made before it.
#[test]
fn a_step_in_doubt_may_come_later_but_not_after_a_known_one() {
    for (direction, fault) in [(0.0, None), (1.0, Some((1, 0.8)))] {
        let mut start = there(&slope(0.0, 0.2 - Y_STEPS), 0, 0.0, [0.0, 1.0, 0.0]);
        start.0.direction[0] = direction;
        start.0.settle((REST, 1, 1.0), false, false);
        start.0.last[1] = -50.0;
        let found = find(start, (REST, 0, 1.0)).expect("a place");
        assert!(close(found.2, fault), "{found:?}");
    }
}

// x's place is known to twice 1e-5 mm of x: the path may be so much further on, by which y, in doubt, is near enough.
#[test]
fn a_known_place_is_put_further_on_as_far_as_it_may_lie() {
    // In steps of y.
    let most = 2e-5 / 0.6 * 80.0;
    for (part, fault) in [(0.3, false), (0.9, false), (1.1, true), (40.0, true)] {
        let beyond = part * most;
        let y = 1.0 - ROOM - beyond - Y_STEPS;
        let mut start = there(&slope(0.0, y), 0, 0.0, [0.0, 1.0, 0.0]);
        start.0.settle((REST, 1, 1.0), false, false);
        start.0.last[1] = -50.0;
        let (ahead, s, found) = find(start, (REST, 0, 1.0)).expect("a place");
        let further = if fault { 0.0 } else { beyond / 80.0 };
        assert_eq!(ahead, 0);
        assert!((s - (X_MM / 0.6 + further)).abs() < 1e-10, "{part} {s}");
        let fault = fault.then_some((1, ROOM + beyond));
        assert!(close(found, fault), "{part} {found:?}");
    }
}

/// Whether x's next place settles where y started: y has made a step from the lower start, and is a step further up.
fn settles(x_part: f64, s: f64) -> bool {
    // So that x comes to 0.5 after 0.02 mm of path.
    let way = [80.0 * x_part, 100.0 * f64::sqrt(1.0 - x_part * x_part), 0.0];
    let at = |mm: f64| [0.5 + way[0] * mm, 2.0 + way[1] * mm, 0.0];
    let mut start = there(&[at(-0.02), at(1.0)], 0, s, [0.0, 1.0, 0.0]);
    start.0.unsure[1] = 1.0;
    let (matcher, path) = &mut start;
    let found = matcher.find(path, LATE, 0, 1.0, &Here::default());
    let (_, place, fault) = found.expect("a place");
    assert!(fault.is_none());
    assert!((place - s.max(0.02 - 1e-5 / x_part)).abs() < 1e-9);
    let settled = matcher.unsure[1] == 0.0;
    assert_eq!(matcher.stair[1], if settled { 2.0 } else { 1.0 });
    settled
}

// 1e-5 mm of x are 1e-5 mm/part of the path, less than 1/16 step of y where the part is above 0.016.
#[test]
fn where_an_axis_started_is_known_at_a_sharp_place_of_another() {
    for (x_part, settled) in [
        (0.8, true),
        (0.1, true),
        (0.017, true),
        (0.015, false),
        (0.005, false),
    ] {
        assert_eq!(settles(x_part, 0.0), settled, "{x_part}");
    }
    // Not where the path was known to be as far before: x's pulse is overdue, and tells nothing.
    assert!(!settles(0.8, 0.021));
}
