//! Feed hold: rest within the bound, at an exact place, and nothing lost.

use crate::caller::Live;
use spokeshave::{Limit, LowPoint, Point, Request, State};
use spokeshave_tests::exact::mm;
use spokeshave_tests::machines::{belts, screws, single};
use spokeshave_tests::shapes::{self, Path, Straights};

/// On a straight, braking is v²/2a long and takes v/a (any mechanics text).
#[test]
fn on_a_straight_it_brakes_as_hard_as_the_axis_allows() {
    let machine = single(1_000_000, 100.0, 100.0, 500.0);
    let mut live: Live<1> = Live::new(machine, mm([0.0]), 8, 1.0);
    live.line(mm([200.0]), Some(60.0), 1);
    // 60 mm/s after 0.12 s, and some way at that.
    live.take(30);
    let (from, taken) = (live.planner.position()[0], live.ramps.len());
    assert_eq!(live.model.speed, 60.0);
    assert!(live.request(Request::Hold));
    assert_eq!(live.state(), State::Holding);
    live.until_rest();
    assert_eq!(live.state(), State::Held);
    let braking = &live.ramps[taken..];
    let seconds: f64 = braking.iter().map(|ramp| ramp.ticks() / 1e6).sum();
    // A speed is right to 2⁻²⁴, and each of the 13 ramps rounds it and its time a few times.
    assert!(
        (seconds - 60.0 / 500.0).abs() < 60.0 / 500.0 * 1e-5,
        "{seconds}"
    );
    let way = (live.planner.position()[0] - from) as f64 / 4_294_967_296.0 / 100.0;
    assert!((way - 60.0 * 60.0 / 1000.0).abs() < 3.6e-5, "{way} mm");
    for ramp in braking {
        assert_eq!(ramp.limit, Limit::AxisAcceleration(0));
        assert_eq!(ramp.low_point, LowPoint::Hold);
    }
    // It stays held, however often it is asked.
    assert!(live.planner.next_ramp().is_none());
    assert!(!live.request(Request::Hold));
    assert!(live.request(Request::Resume));
    live.until_rest();
    assert_eq!(live.state(), State::AtRest);
    assert_eq!(live.planner.position(), [20_000 << 32]);
    live.check_pulses();
}

/// Held after every number of ramps: always at rest in time, and the same end. Curves of short chords,
/// corners and a reversal.
#[test]
fn at_any_moment_of_any_path_it_rests_in_time_and_loses_nothing() {
    for (name, path) in paths() {
        for machine in [belts(), screws()] {
            let total = ramps_of(&machine, &path, usize::MAX).ramps.len();
            let mut worst = 0.0_f64;
            // Every ramp of the first hundred, then some.
            for after in (0..total).filter(|k| *k < 100 || k % 17 == 0) {
                let mut live = ramps_of(&machine, &path, after);
                assert!(live.request(Request::Hold), "{name} {after}");
                live.until_rest();
                assert_eq!(live.state(), State::Held);
                assert!(live.request(Request::Resume));
                feed(&mut live, &path);
                assert_eq!(live.state(), State::AtRest, "{name} {after}");
                assert_eq!(live.planner.end(), *path.last().unwrap());
                worst = worst.max(live.model.worst_braking);
                if after % 10 == 0 {
                    live.check_pulses();
                }
            }
            assert!(worst > 0.0);
        }
    }
}

/// Held again while it speeds up, ten times in a row, and resumed while it brakes.
#[test]
fn hold_and_resume_follow_each_other_at_once() {
    let path = points(shapes::rounded_corner(5.0, 0.1, Straights::Whole));
    let mut live = ramps_of(&belts(), &path, 20);
    for round in 0..200 {
        live.request(Request::Hold);
        live.take(1 + round % 3);
        live.request(Request::Resume);
        live.take(1 + round % 2);
    }
    feed(&mut live, &path);
    assert_eq!(live.planner.end(), *path.last().unwrap());
    live.check_pulses();
}

/// A dwell that is held goes on afterwards, and lasts as long as the program asks.
#[test]
fn a_dwell_is_held_and_goes_on() {
    let mut live: Live<3> = Live::new(belts(), mm([0.0; 3]), 8, 1.0);
    live.line(mm([1.0, 0.0, 0.0]), Some(20.0), 1);
    live.rest(0.5, 2);
    live.line(mm([2.0, 0.0, 0.0]), Some(20.0), 3);
    while live.ramps.last().is_none_or(|ramp| ramp.tag != 2) {
        live.take(1);
    }
    live.take(3);
    assert!(live.request(Request::Hold));
    assert_eq!(live.state(), State::Held);
    assert!(!live.take(1));
    assert!(live.request(Request::Resume));
    live.until_rest();
    let rest: f64 = (live.ramps.iter().filter(|ramp| ramp.tag == 2))
        .map(|ramp| ramp.ticks())
        .sum();
    assert_eq!(rest, 500_000.0);
    live.check_pulses();
}

/// A wait is a place where the program rests until it is told to go on.
#[test]
fn a_wait_lasts_until_it_is_resumed() {
    let mut live: Live<3> = Live::new(belts(), mm([0.0; 3]), 8, 1.0);
    live.line(mm([10.0, 0.0, 0.0]), Some(50.0), 1);
    live.wait(7);
    live.line(mm([20.0, 0.0, 0.0]), Some(50.0), 2);
    live.until_rest();
    assert_eq!(live.state(), State::Waiting(7));
    assert_eq!(live.planner.here(), mm([10.0, 0.0, 0.0]));
    assert!(!live.request(Request::Hold));
    assert!(!live.take(1));
    assert!(live.request(Request::Resume));
    live.until_rest();
    assert_eq!(live.planner.here(), mm([20.0, 0.0, 0.0]));
    live.check_pulses();
}

/// Ended: at rest where the braking ends, the rest of the program forgotten, and ready for another.
#[test]
fn an_end_forgets_what_is_left() {
    let path = points(shapes::circle(10.0, 0.05));
    let mut live = ramps_of(&belts(), &path, 60);
    assert!(live.request(Request::End));
    assert_eq!(live.state(), State::Ending);
    live.until_rest();
    assert_eq!(live.state(), State::AtRest);
    assert!(live.planner.is_empty());
    let here = live.planner.here();
    assert_eq!(here, live.planner.end());
    // From here to a new place, to the step.
    let target = mm([3.0, -4.0, 1.0]);
    live.line(target, None, 9);
    live.until_rest();
    assert_eq!(live.planner.here(), target);
    live.check_pulses();
}

fn paths() -> [(&'static str, Vec<Point<3>>); 5] {
    [
        (
            "corner, 0.02",
            shapes::rounded_corner(5.0, 0.02, Straights::Whole),
        ),
        (
            "corner, 0.5",
            shapes::rounded_corner(5.0, 0.5, Straights::Cut),
        ),
        ("hairpin", shapes::hairpin(2.0, 0.1)),
        ("spiral", shapes::spiral([1.0, 6.0], 1.0, 0.1)),
        ("zigzag", shapes::zigzag(0.03, 0.1)),
    ]
    .map(|(name, path)| (name, points(path)))
}

fn points(path: Path<3>) -> Vec<Point<3>> {
    path.into_iter().map(mm).collect()
}

/// A path at 80 mm/s, of which so many ramps are taken.
fn ramps_of(machine: &spokeshave::Machine<3>, path: &[Point<3>], ramps: usize) -> Live<3> {
    let mut live = Live::new(*machine, path[0], 64, 1.0);
    let mut left = ramps;
    for (tag, to) in (0..).zip(path).skip(1) {
        while !live.line(*to, Some(80.0), tag) {
            if left == 0 {
                return live;
            }
            live.take(1);
            left -= 1;
        }
    }
    while left > 0 && live.take(1) {
        left -= 1;
    }
    live
}

/// Pushes what is left of the path, and runs it.
fn feed(live: &mut Live<3>, path: &[Point<3>]) {
    let end = live.planner.end();
    let next = 1 + path.iter().rposition(|point| *point == end).unwrap();
    for (tag, to) in (0..).zip(path).skip(next) {
        while !live.line(*to, Some(80.0), tag) {
            assert!(
                live.take(1),
                "it stands with moves left: {:?}",
                live.state()
            );
        }
    }
    live.until_rest();
}
