//! Places on the path, by hand, and against a walk in small steps; x has 80 steps/mm, y 100 and z 40, so that 1e-5 mm
//! are 0.0008, 0.001 and 0.0004 of a step.

use super::super::test_walk::{PER_MM, path};
use super::*;
use crate::motion::Point;

mod looked;
mod near;
mod walked;

/// So late that the path may have come to its feed: it then moves 4e-4 mm in two ticks, 0.032 of a step of x alone.
const LATE: f64 = 1e6;
const ROUNDING_MM: f64 = 4e-4;

/// At rest at the start: nothing is rounded.
const REST: f64 = 0.0;

/// A matcher on the path through these points, of which so many pieces are passed: `along` mm on the next one. Each axis
/// stands at `stand`, where its last step, upward, took it; pulses may have to wait for 10 ticks.
fn there(points: &[Point], passed: usize, along: f64, stand: Point) -> (Matcher, Path) {
    let mut path = path(points);
    (0..passed).for_each(|_| path.pass());
    let mut matcher = Matcher::new(PER_MM, [0.0; AXES], 10.0);
    matcher.s = path.front().s0 + along;
    matcher.stair = stand;
    matcher.direction = [1.0; AXES];
    (matcher, path)
}

/// The place of the next step of an axis, and the fault, with a distance to 1e-9 of a step.
fn find((mut matcher, mut path): (Matcher, Path), (t, j, d): (f64, usize, f64)) -> Option<Place> {
    let found = matcher.find(&mut path, t, j, d, &Here::default());
    found.map(|(ahead, s, fault)| {
        let near = |x: f64| (x * 1e9).round() / 1e9;
        (
            ahead,
            s,
            fault.map(|(axis, distance)| (axis, near(distance))),
        )
    })
}

fn at(found: Option<Place>, ahead: usize, s: f64) {
    let (on, place, fault) = found.expect("a place");
    assert!(
        on == ahead && (place - s).abs() < 1e-9,
        "{on} {place}, not {ahead} {s}"
    );
    assert_eq!(fault, None);
}

fn in_x(places: &[f64], d: f64) -> Vec<Point> {
    places.iter().map(|x| [d * x, 0.0, 0.0]).collect()
}

// x went up to 1.52, past its crossing at 1.5, and goes down. The pulse may be due 0.032 of a step before `s`: it is
// placed where x is at 1.4992 − 0.032 still, if no place lies ahead. The same upside down.
#[test]
fn a_place_just_past_a_turning_point_where_none_lies_ahead() {
    for d in [1.0, -1.0] {
        for (down, place) in [
            (0.034, true),
            (0.050, true),
            (0.0525, true),
            (0.0531, false),
        ] {
            let points = in_x(&[0.0, 1.52, 0.6], d);
            let mut start = there(&points, 1, down / 80.0, [d, 0.0, 0.0]);
            start.0.direction[0] = d;
            let s = start.0.s;
            let found = find(start, (LATE, 0, d));
            assert_eq!(found, place.then_some((0, s, None)), "{down}");
        }
    }
}

// x went up to 1.6 and goes down; at 1.55 the crossing at 1.5 is no more than 0.05 of a step behind, but the path comes to
// it again: there, less 1e-5 mm.
#[test]
fn a_place_ahead_rather_than_one_past_a_turning_point() {
    for d in [1.0, -1.0] {
        let points = in_x(&[0.0, 1.6, 0.6, 3.1], d);
        let mut start = there(&points, 1, 0.05 / 80.0, [d, 0.0, 0.0]);
        start.0.direction[0] = d;
        let s = (1.6 + 1.0 + 0.9) / 80.0 - 1e-5;
        at(find(start, (LATE, 0, d)), 1, s);
    }
}

// x went up to 1.52 and back to 1.49, in less than two ticks; then y goes on alone. x came to its crossing at 1.5, and a
// pulse of it may come two ticks late.
#[test]
fn a_place_at_once_where_an_axis_turned_shortly_before() {
    for (along, once) in [
        (0.0, true),
        (0.9 * ROUNDING_MM, true),
        (1.1 * ROUNDING_MM, false),
    ] {
        let points = [
            [0.0, 0.0, 0.0],
            [1.52, 0.0, 0.0],
            [1.49, 0.0, 0.0],
            [1.49, 0.4, 0.0],
            [3.1, 0.4, 0.0],
        ];
        let start = there(&points, 2, along, [1.0, 0.0, 0.0]);
        let s = start.0.s;
        let later = (1.52 + 0.03 + 0.01) / 80.0 + 0.4 / 100.0 - 1e-5;
        let found = find(start, (LATE, 0, 1.0));
        if once {
            at(found, 0, s)
        } else {
            at(found, 1, later)
        }
    }
}

// The same, but x goes up again at once: its crossing lies on this piece.
#[test]
fn a_place_on_the_piece_that_comes_to_it_again() {
    let points = in_x(&[0.0, 1.52, 1.49, 3.1], 1.0);
    let start = there(&points, 2, 0.0, [1.0, 0.0, 0.0]);
    let s = (1.52 + 0.03 + 0.01) / 80.0 - 1e-5;
    at(find(start, (LATE, 0, 1.0)), 0, s);
}

// x stands still past its crossing, and its pulse is overdue: that it is put here hides nothing of z, which is a step off.
#[test]
fn a_fault_where_an_axis_stands_still() {
    for d in [1.0, -1.0] {
        for along in [0.0, 2.0 * ROUNDING_MM] {
            let points = [[0.0, 0.0, 0.0], [d * 1.6, 0.0, 0.0], [d * 1.6, 0.4, 0.0]];
            let mut start = there(&points, 1, along, [d, 0.0, 1.0]);
            start.0.direction[0] = d;
            let s = start.0.s;
            let found = find(start, (REST, 0, d));
            assert_eq!(found, Some((0, s, Some((2, 1.0)))));
        }
    }
}

// On the way to x's place the path passes a corner, where z is so far off. More than 4 steps, and the pulse has no place.
#[test]
fn a_pulse_that_takes_an_axis_too_far_has_no_place() {
    let points = [[0.0, 0.0, 0.0], [0.0, 0.4, 0.0], [3.1, 0.4, 0.0]];
    for (off, place) in [
        (0.5, true),
        (2.0, true),
        (4.0, true),
        (4.25, false),
        (-4.25, false),
    ] {
        let start = there(&points, 0, 0.0, [0.0, 0.0, -off]);
        let found = find(start, (REST, 0, 1.0));
        let fault = (off > 0.5).then_some((2, off));
        assert_eq!(
            found.map(|(ahead, _, fault)| (ahead, fault)),
            place.then_some((1, fault))
        );
    }
}

// x comes to its crossing where y and z stand off by so much; of two as far, the first is told.
#[test]
fn the_furthest_axis_is_told() {
    for (y, z, fault) in [
        (0.25, 0.5, None),
        (0.75, 0.5, Some((1, 0.75))),
        (0.75, 1.25, Some((2, 1.25))),
        (1.25, 0.75, Some((1, 1.25))),
        (1.25, 1.25, Some((1, 1.25))),
    ] {
        let start = there(&in_x(&[0.0, 3.1], 1.0), 0, 0.0, [0.0, y, -z]);
        let found = find(start, (REST, 0, 1.0)).map(|(_, _, fault)| fault);
        assert_eq!(found, Some(fault));
    }
}

// 9/16 of a step and 1e-5 mm are allowed, and no more.
#[test]
fn the_bound_itself_is_allowed() {
    for (more, fault) in [(0.0, false), (1e-12, true)] {
        let mut start = there(&in_x(&[0.0, 3.1], 1.0), 0, 0.0, [0.0; AXES]);
        start.0.stair[2] = -(0.5625 + 1e-5 * 40.0) - more;
        let found = find(start, (REST, 0, 1.0)).and_then(|(_, _, fault)| fault);
        assert_eq!(found.is_some(), fault);
    }
}
