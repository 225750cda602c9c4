//! Faults, and starts half-way, on paths whose steps are known.

use super::super::random_motion::Random;
use super::super::result::Here;
use super::super::test_walk::{PER_MM, Step, path, points, steps};
use super::*;
use crate::motion::Point;

mod by_hand;
mod end;

/// The matcher after these steps, and the path.
fn follow(points: &[Point], steps: &[Step]) -> (Matcher, Path) {
    let mut path = path(points);
    let start = std::array::from_fn(|i| points[0][i] / PER_MM[i]);
    let mut matcher = Matcher::new(PER_MM, start, 1.0);
    for step in steps {
        let pulse = (step.t, step.axis, step.d);
        let here = Here {
            tick: step.t,
            ..Here::default()
        };
        if matcher.pulse_inside(&path, pulse).is_none() {
            matcher.pulse_anywhere(&mut path, pulse, &here);
        }
    }
    (matcher, path)
}

fn faulty(matcher: &Matcher) -> [bool; AXES] {
    matcher.first_fault.map(|here| here.is_some())
}

// All axes go on for 40 steps and more: one that lacks a step is a step behind, whichever it is, and no other is
// blamed. After that it is where it ought to be.
#[test]
fn a_lost_step_is_the_fault_of_its_axis_alone() {
    let points = [[0.1, 0.2, 0.3], [60.1, 50.2, 45.3], [100.4, 20.3, 90.2]];
    let all = steps(&points, [0.0; AXES]);
    let end = points[2].map(f64::round);
    for lost in 30..60 {
        let mut some = all.clone();
        let lost = some.remove(lost);
        let (matcher, _) = follow(&points, &some);
        let blamed = std::array::from_fn(|axis| axis == lost.axis);
        assert_eq!(faulty(&matcher), blamed, "{lost:?}");
        assert_eq!(matcher.stair, end, "{lost:?}");
        let (worst, first) = (matcher.worst, matcher.first_fault[lost.axis]);
        assert_eq!(worst.axis, Some(lost.axis));
        assert!((0.56..1.7).contains(&worst.value), "{worst:?}");
        let late = first.map_or(0.0, |here| here.tick) - lost.t;
        assert!((0.0..450.0).contains(&late), "{late}");
    }
}

// One more than there ought to be comes long before its time: it is dropped.
#[test]
fn a_step_too_many_is_the_fault_of_its_axis_alone() {
    let points = [[0.1, 0.2, 0.3], [60.1, 50.2, 45.3], [100.4, 20.3, 90.2]];
    let all = steps(&points, [0.0; AXES]);
    for k in 40..70 {
        let mut some = all.clone();
        let more = Step {
            t: all[k].t + 1.0,
            ..all[k]
        };
        some.insert(k + 1, more);
        let (matcher, path) = follow(&points, &some);
        let blamed = std::array::from_fn(|axis| axis == more.axis);
        assert_eq!(faulty(&matcher), blamed, "{more:?}");
        assert_eq!(matcher.stair, points[2].map(f64::round), "{more:?}");
        assert_eq!((matcher.missed, path.passed), (0, 1));
    }
}

// Half-way, so that either of two steps may be the start: both readings fit, and no axis is far from the path.
#[test]
fn either_start_fits() {
    for seed in 0..200 {
        let mut random = Random::new(seed);
        let mut points = points(&mut random, 12);
        let half = (seed % 3) as usize;
        points[0][half] = points[0][half].floor() + 0.5;
        for down in [0.0, 1.0] {
            let mut stand = points[0].map(f64::round);
            stand[half] = points[0][half] + 0.5 - down;
            let steps = steps(&points, stand);
            let (mut matcher, mut path) = follow(&points, &steps);
            assert_eq!(faulty(&matcher), [false; AXES], "seed {seed} {down}");
            matcher.finish(&mut path, &Here::default());
            assert_eq!(faulty(&matcher), [false; AXES], "seed {seed} {down}");
        }
    }
}

// x stops two steps short of the end, y one beyond; z is where it ought to be.
#[test]
fn what_is_missing_at_the_end() {
    let points = [[0.1, 0.2, 0.3], [9.1, 5.2, 4.3]];
    let (mut matcher, mut path) = follow(&points, &steps(&points, [0.0; AXES]));
    matcher.stair[0] -= 2.0;
    matcher.stair[1] += 1.0;
    let here = Here {
        line: 7,
        tick: 5.0,
        ..Here::default()
    };
    matcher.finish(&mut path, &here);
    assert_eq!(faulty(&matcher), [true, true, false]);
    // x is 9.1 − 7 off, and put where it belongs.
    assert!((matcher.worst.value - 2.1).abs() < 1e-9 && matcher.worst.axis == Some(0));
    assert_eq!(
        matcher.worst.here.map(|here| (here.line, here.tick)),
        Some((1, 5.0))
    );
    assert_eq!(matcher.stair, [9.0, 5.0, 4.0]);
}

// From 7.5 steps the later crossing is a step on, or the end of the piece: the path speeds up from rest to it, and a
// pulse may be a tick early. What comes sooner was made with the start that crosses sooner.
#[test]
fn a_start_is_sure_where_the_later_crossing_is_too_far() {
    let unsure = |to: Point, t: f64, d: f64, s: f64| {
        let there = path(&[[7.5, 0.1, 0.0], to]);
        let mut matcher = Matcher::new(PER_MM, [7.5 / 80.0, 1e-3, 0.0], 1.0);
        assert_eq!((matcher.unsure[0], matcher.stair[0]), (-1.0, 8.0));
        matcher.s = s;
        matcher.choose_start(&there, t, 0, d);
        assert_eq!(matcher.stair[0], if d > 0.0 { 7.0 } else { 8.0 });
        assert!([0.0, d].contains(&matcher.unsure[0]));
        matcher.unsure[0] != 0.0
    };
    for (x, y, steps) in [
        (40.0, 0.1, 1.0),
        (40.0, 50.1, 1.0),
        (40.0, 90.1, 1.0),
        (0.9, 0.1, 0.9),
    ] {
        for d in [1.0, -1.0] {
            let to = [7.5 + d * x, y, 0.0];
            let there = path(&[[7.5, 0.1, 0.0], to]);
            let piece = there.get(0).expect("a piece");
            // Half a turn's room of 1e-5 mm, but not where the piece ends before.
            let way = if x > 1.0 {
                1.0 / 80.0 - 1e-5
            } else {
                steps / 80.0
            };
            let time = f64::sqrt(2.0 * way / (piece.accel * piece.u[0].abs()));
            assert!(!unsure(to, 0.9999 * time - 1.0, d, 0.0), "{to:?}");
            assert!(unsure(to, 1.0001 * time - 1.0, d, 0.0), "{to:?}");
            assert!(unsure(to, 0.9999 * time - 1.0, d, 1e-3), "{to:?}");
        }
    }
}
