//! Overrides: what is queued runs at another pace, within all limits, and as soon as can be.

use crate::caller::Live;
use spokeshave::{Fault, Machine, Point, Ramp, Request, RequestError};
use spokeshave_tests::audit;
use spokeshave_tests::exact::mm;
use spokeshave_tests::machines::{belts, single};
use spokeshave_tests::shapes::{self, Straights};

const FACTORS: [f32; 7] = [0.1, 0.25, 0.5, 0.8, 1.0, 1.5, 2.0];

/// All is queued, then the override is set: the same plan, but for rounding, as of a program with those
/// feeds. Corners and axes limit it as before.
#[test]
fn a_queue_is_planned_as_if_it_had_been_programmed_so() {
    let path = [
        [0.0, 0.0, 0.0],
        [30.0, 0.0, 0.0],
        [30.0, 0.5, 0.0],
        [60.0, 4.0, 0.0],
    ];
    let feeds = [30.0, 8.0, 45.0];
    for factor in FACTORS {
        let run = |scale: f32, request: Option<f32>| {
            let mut live: Live<3> = Live::new(belts(), mm([0.0; 3]), 64, 2.0);
            for (tag, (to, feed)) in (0..).zip(path[1..].iter().zip(feeds)) {
                assert!(live.line(mm(*to), Some(feed * scale), tag));
            }
            if let Some(factor) = request {
                assert!(live.request(Request::FeedOverride(factor)));
            }
            live.until_rest();
            live.check_pulses();
            live.ramps
        };
        let overridden = run(1.0, Some(factor));
        let programmed = run(factor, None);
        assert_eq!(overridden.len(), programmed.len(), "{factor}");
        for (a, b) in overridden.iter().zip(&programmed) {
            // A product that is rounded once, squared, and the root of that: 2⁻²².
            let near = (a.exit_speed - b.exit_speed).abs() <= 3e-7 * b.exit_speed;
            assert!(near && a.tag == b.tag, "{factor}: {a:?} {b:?}");
            assert!(
                (a.limit, a.low_point) == (b.limit, b.low_point),
                "{a:?} {b:?}"
            );
        }
    }
}

/// A curve of short chords, where bends limit the speed: twice the feed, had by an override or by the
/// program, takes the same time.
#[test]
fn bends_limit_an_override_as_they_limit_a_feed() {
    let path: Vec<Point<3>> = shapes::rounded_corner(5.0, 0.1, Straights::Cut)
        .into_iter()
        .map(mm)
        .collect();
    let time = |feed: f32, factor: f32, headroom: f32| {
        let mut live: Live<3> = Live::new(belts(), path[0], 64, headroom);
        live.request(Request::FeedOverride(factor));
        for (tag, to) in (0..).zip(&path).skip(1) {
            while !live.line(*to, Some(feed), tag) {
                live.take(1);
            }
        }
        live.until_rest();
        live.check_pulses();
        audit::time(1_000_000, &live.ramps)
    };
    let programmed = time(80.0, 1.0, 1.0);
    for (feed, factor) in [(40.0, 2.0), (64.0, 1.25), (53.3333, 1.5)] {
        let overridden = time(feed, factor, 2.0);
        // Prepared for up to twice the feed, what a turn leaves for a change of speed is told by a
        // straight line up to a higher speed. That is another 5 % of the axis at the most (`BOTH` in
        // the planner), over the parts of the path that turn while the speed changes: about a fifth
        // of it here.
        assert!(
            (overridden / programmed - 1.0).abs() < 1e-2,
            "{overridden} {programmed}"
        );
    }
    // And the other way round it is slower, as slow as the feed alone makes it.
    let half = time(80.0, 0.5, 1.0);
    let slow = time(40.0, 1.0, 1.0);
    assert!((half / slow - 1.0).abs() < 2e-3, "{half} {slow}");
}

/// Lowered in the middle of a move: it brakes at once, as hard as the axis allows, to the new cap, and
/// goes on at that. Raised: the same upwards.
#[test]
fn the_new_speed_is_reached_as_soon_as_can_be() {
    let machine = single(1_000_000, 100.0, 100.0, 500.0);
    let speeds = |factor: f32| {
        let mut live: Live<1> = Live::new(machine, mm([0.0]), 8, 2.0);
        live.line(mm([300.0]), Some(40.0), 1);
        live.take(30);
        assert_eq!(live.model.speed, 40.0);
        let taken = live.ramps.len();
        live.request(Request::FeedOverride(factor));
        let mut ramps: Vec<Ramp<1>> = Vec::new();
        while live.model.speed != 40.0 * factor {
            assert!(live.take(1));
            ramps = live.ramps[taken..].to_vec();
        }
        live.until_rest();
        live.check_pulses();
        audit::time(1_000_000, &ramps)
    };
    for factor in [0.1, 0.5, 0.9, 1.1, 1.5, 2.0] {
        let time = speeds(factor);
        let least = 40.0 * f64::from((factor - 1.0).abs()) / 500.0;
        // Up to a few parts in 2²⁴ of each speed, over the change of it, which is a tenth at least.
        assert!(
            (time / least - 1.0).abs() < 1e-5,
            "{factor}: {time} s, not {least}"
        );
    }
}

/// Lowered right before a slow move that lies too near for the new cap: it comes down across
/// junctions, keeps every corner, and is never faster than the old plan.
#[test]
fn a_slow_move_near_by_is_reached_as_slow_as_braking_allows() {
    let machine = single(1_000_000, 100.0, 100.0, 500.0);
    for taken in 5..60 {
        let mut live: Live<1> = Live::new(machine, mm([0.0]), 16, 1.0);
        for (tag, (to, feed)) in (0..).zip([(20.0, 80.0), (22.0, 30.0), (23.0, 60.0), (60.0, 80.0)])
        {
            live.line(mm([to]), Some(feed), tag);
        }
        live.take(taken);
        if live.planner.is_empty() {
            break;
        }
        live.request(Request::FeedOverride(0.1));
        // The model sees to it that it brakes where it is past the cap.
        live.until_rest();
        assert_eq!(live.planner.position(), [6_000 << 32]);
        live.check_pulses();
    }
}

/// Rapids follow their own override, feeds theirs.
#[test]
fn rapids_and_feeds_have_overrides_of_their_own() {
    let machine = single(1_000_000, 100.0, 100.0, 2_000.0);
    let tops = |request: Request| {
        let mut live: Live<1> = Live::new(machine, mm([0.0]), 8, 2.0);
        live.line(mm([50.0]), None, 0);
        live.line(mm([100.0]), Some(20.0), 1);
        live.request(request);
        live.until_rest();
        live.check_pulses();
        [0, 1].map(|tag| {
            let ramps = live
                .ramps
                .iter()
                .filter(|ramp| ramp.tag == tag && ramp.entry_speed == ramp.exit_speed);
            ramps.map(|ramp| ramp.exit_speed).fold(0.0, f32::max)
        })
    };
    assert_eq!(tops(Request::FeedOverride(1.0)), [100.0, 20.0]);
    assert_eq!(tops(Request::FeedOverride(0.5)), [100.0, 10.0]);
    assert_eq!(tops(Request::RapidOverride(0.25)), [25.0, 20.0]);
    assert_eq!(tops(Request::FeedOverride(2.0)), [100.0, 40.0]);
}

/// What is out of range is refused, and changes nothing.
#[test]
fn an_override_out_of_range_is_refused() {
    let machine: Machine<1> = single(1_000_000, 100.0, 100.0, 500.0);
    let mut planner: spokeshave::Planner<1, 8> = spokeshave::Planner::new(machine, mm([0.0]));
    let feed = |factor| Request::FeedOverride(factor);
    for (request, fault) in [
        (feed(0.0), Fault::Zero),
        (feed(-0.5), Fault::Negative),
        (feed(f32::NAN), Fault::NotANumber),
        (feed(f32::INFINITY), Fault::Infinite),
        (feed(0.099_999), Fault::TooSmall),
        (feed(1.000_01), Fault::TooLarge), // Nothing was prepared for it.
        (Request::RapidOverride(1.1), Fault::TooLarge),
        (Request::RapidOverride(0.05), Fault::TooSmall),
    ] {
        assert_eq!(planner.request(request), Err(RequestError::Override(fault)));
    }
    for bad in [0.5, 0.999, 2.000_01, f32::NAN] {
        assert!(planner.prepare_override(bad).is_err(), "{bad}");
    }
    planner.prepare_override(1.5).unwrap();
    assert_eq!(planner.request(feed(1.5)), Ok(()));
    assert_eq!(planner.request(feed(0.1)), Ok(()));
    planner.line(mm([1.0]), Some(10.0), 0).unwrap();
    assert_eq!(planner.prepare_override(2.0), Err(RequestError::Queued));
}
