//! Each ramp says what holds it, and which slow place a speed change belongs to.

use spokeshave::{Limit, LowPoint, Machine, Planner, Ramp};
use spokeshave_tests::exact::mm;
use spokeshave_tests::machines::{belts, router};

/// Limit and low point of each stretch of ramps that say the same, with the move it is in.
type Reasons = Vec<(u32, Limit, LowPoint)>;

/// Moves from 0, 0, 0, each with its feed; `stop` after the last.
fn reasons(machine: Machine<3>, moves: &[([f64; 3], Option<f32>)], stop: bool) -> Reasons {
    let mut planner: Planner<3, 16> = Planner::new(machine, mm([0.0; 3]));
    for (tag, (to, feed)) in (0..).zip(moves) {
        planner.line(mm(*to), *feed, tag).unwrap();
    }
    if stop {
        planner.stop();
    }
    said(std::iter::from_fn(|| planner.next_ramp()))
}

fn said(ramps: impl Iterator<Item = Ramp<3>>) -> Reasons {
    let mut said: Reasons = ramps.map(|r| (r.tag, r.limit, r.low_point)).collect();
    said.dedup_by(|next, before| {
        // What a ramp that keeps its speed says of slow places does not matter.
        let changes = |limit| matches!(limit, Limit::AxisAcceleration(_));
        next.0 == before.0 && next.1 == before.1 && (next.2 == before.2 || !changes(next.1))
    });
    said
}

const X: Limit = Limit::AxisAcceleration(0);
const Y: Limit = Limit::AxisAcceleration(1);

/// As `said`, where only speed changes name their slow place.
fn assert_said(said: &Reasons, expected: &[(u32, Limit, Option<LowPoint>)]) {
    let said: Vec<_> = said
        .iter()
        .map(|&(tag, limit, low)| {
            let changes = matches!(limit, Limit::AxisAcceleration(_) | Limit::Rest);
            (tag, limit, changes.then_some(low))
        })
        .collect();
    assert_eq!(said, expected);
}

#[test]
fn a_move_at_its_feed_says_feed_between_two_stops() {
    let said = reasons(belts(), &[([50.0, 0.0, 0.0], Some(30.0))], true);
    let stop = Some(LowPoint::Stop);
    assert_said(&said, &[(0, X, stop), (0, Limit::Feed, None), (0, X, stop)]);
}

#[test]
fn the_end_of_the_queue_is_said_where_no_stop_was_asked_for() {
    let said = reasons(belts(), &[([50.0, 0.0, 0.0], Some(30.0))], false);
    assert_said(
        &said,
        &[
            (0, X, Some(LowPoint::Stop)),
            (0, Limit::Feed, None),
            (0, X, Some(LowPoint::QueueEnd)),
        ],
    );
}

#[test]
fn a_rapid_says_which_axis_limits_it() {
    // Speeds 133, 100, 20; accelerations 500, 400, 150: x alone; y in (3, 4), by speed (100/0.8)
    // as by acceleration (400/0.8); z in (1, 1, 1).
    let z = Limit::AxisAcceleration(2);
    for (to, acceleration, axis) in [
        ([300.0, 0.0, 0.0], X, 0),
        ([300.0, 400.0, 0.0], Y, 1),
        ([100.0, 100.0, 100.0], z, 2),
    ] {
        let said = reasons(belts(), &[(to, None)], true);
        let stop = Some(LowPoint::Stop);
        let cruise = (0, Limit::AxisSpeed(axis), None);
        assert_said(
            &said,
            &[(0, acceleration, stop), cruise, (0, acceleration, stop)],
        );
        // A feed that no axis reaches holds nothing.
        assert_eq!(reasons(belts(), &[(to, Some(9_000.0))], true), said);
    }
}

#[test]
fn a_corner_is_named_before_and_after() {
    let feed = Some(40.0);
    let said = reasons(
        belts(),
        &[([50.0, 0.0, 0.0], feed), ([50.0, 50.0, 0.0], feed)],
        true,
    );
    let (stop, corner) = (Some(LowPoint::Stop), Some(LowPoint::Corner));
    assert_said(
        &said,
        &[
            (0, X, stop),
            (0, Limit::Feed, None),
            (0, X, corner),
            (1, Y, corner),
            (1, Limit::Feed, None),
            (1, Y, stop),
        ],
    );
}

#[test]
fn a_slower_feed_is_named_before_and_after() {
    let moves = [
        ([50.0, 0.0, 0.0], Some(40.0)),
        ([60.0, 0.0, 0.0], Some(10.0)),
        ([110.0, 0.0, 0.0], Some(40.0)),
    ];
    let (stop, feed) = (Some(LowPoint::Stop), Some(LowPoint::Feed));
    assert_said(
        &reasons(belts(), &moves, true),
        &[
            (0, X, stop),
            (0, Limit::Feed, None),
            (0, X, feed),
            (1, Limit::Feed, None),
            (2, X, feed),
            (2, Limit::Feed, None),
            (2, X, stop),
        ],
    );
}

#[test]
fn a_neighbour_at_its_axis_limit_is_named_before_and_after() {
    // y may do 1 mm/s, and 0.02 of a way of 50 mm is 1 mm: 50 mm/s, where x alone does 133. The
    // turn of 0.02 rad allows more than 400 mm/s.
    let machine = router(80.0, [133.0, 1.0, 20.0], [500.0, 400.0, 150.0]);
    let moves = [
        ([80.0, 0.0, 0.0], None),
        ([130.0, 1.0, 0.0], None),
        ([210.0, 1.0, 0.0], None),
    ];
    let (stop, axis) = (Some(LowPoint::Stop), Some(LowPoint::AxisSpeed(1)));
    assert_said(
        &reasons(machine, &moves, true),
        &[
            (0, X, stop),
            (0, Limit::AxisSpeed(0), None),
            (0, X, axis),
            (1, Limit::AxisSpeed(1), None),
            (2, X, axis),
            (2, Limit::AxisSpeed(0), None),
            (2, X, stop),
        ],
    );
}

/// The low point may be several moves ahead, and is left behind several moves later.
#[test]
fn braking_over_several_moves_names_where_it_leads() {
    // From 100 mm/s, x brakes over 10 mm: three moves of 4 mm. The corner allows
    // 400·0.02·c(1+c)/s² mm²/s² with s = c = √½, 4.4 mm/s.
    let mut moves: Vec<([f64; 3], Option<f32>)> = (0..=5)
        .map(|k| ([40.0 + 4.0 * f64::from(k), 0.0, 0.0], Some(100.0)))
        .collect();
    moves.extend((1..=5).map(|k| ([60.0, 4.0 * f64::from(k), 0.0], Some(50.0))));
    moves.push(([60.0, 60.0, 0.0], Some(50.0)));
    let said = reasons(belts(), &moves, true);
    let of = |tag| said.iter().filter(move |s| s.0 == tag).map(|s| (s.1, s.2));
    for tag in [4, 5] {
        assert!(of(tag).all(|s| s == (X, LowPoint::Corner)), "{said:?}");
    }
    assert_eq!(of(3).next_back(), Some((X, LowPoint::Corner)));
    assert_eq!(of(6).next(), Some((Y, LowPoint::Corner)));
    // 50 mm/s are reached after 3.1 mm, within the first move; the rest is at the feed.
    assert!(of(8).all(|s| s.0 == Limit::Feed), "{said:?}");
}

/// With a queue that is shorter than the braking distance, the end of the queue is what brakes.
#[test]
fn a_queue_that_is_too_short_says_so() {
    let mut planner: Planner<3, 2> = Planner::new(belts(), mm([0.0; 3]));
    let mut ramps = Vec::new();
    for k in 1..=100 {
        let to = mm([0.1 * f64::from(k), 0.0, 0.0]);
        while planner.line(to, Some(100.0), k).is_err() {
            ramps.extend(planner.next_ramp());
        }
    }
    let said = said(ramps.into_iter());
    // The plan pulls away and brakes within each move, never near the feed.
    assert!(said.iter().all(|s| s.1 == X), "{said:?}");
    // 100 came in when 98 was done.
    for tag in 2..=98 {
        let last = said.iter().rfind(|s| s.0 == tag);
        assert_eq!(
            last.map(|s| s.2),
            Some(LowPoint::QueueEnd),
            "{tag}: {said:?}"
        );
    }
}

#[test]
fn stops_and_rests_are_named_on_both_sides() {
    let mut planner: Planner<3, 16> = Planner::new(belts(), mm([0.0; 3]));
    planner.line(mm([50.0, 0.0, 0.0]), Some(30.0), 0).unwrap();
    planner.stop();
    planner.line(mm([100.0, 0.0, 0.0]), Some(30.0), 1).unwrap();
    planner.rest(0.05, 2).unwrap();
    planner.line(mm([150.0, 0.0, 0.0]), Some(30.0), 3).unwrap();
    let said = said(std::iter::from_fn(|| planner.next_ramp()));
    let stop = Some(LowPoint::Stop);
    let straight = |tag, end| {
        [
            (tag, X, stop),
            (tag, Limit::Feed, None),
            (tag, X, Some(end)),
        ]
    };
    let mut expected = Vec::new();
    expected.extend(straight(0, LowPoint::Stop));
    expected.extend(straight(1, LowPoint::Stop));
    expected.push((2, Limit::Rest, stop));
    expected.extend(straight(3, LowPoint::QueueEnd));
    assert_said(&said, &expected);
}

/// A rest that comes when the queue has run dry is what the next move pulls away from.
#[test]
fn a_rest_after_the_queue_ran_dry_is_a_stop() {
    let mut planner: Planner<3, 16> = Planner::new(belts(), mm([0.0; 3]));
    planner.line(mm([50.0, 0.0, 0.0]), Some(30.0), 0).unwrap();
    let dry = said(std::iter::from_fn(|| planner.next_ramp()));
    assert_eq!(dry.last().unwrap().2, LowPoint::QueueEnd);
    planner.rest(0.05, 1).unwrap();
    planner.line(mm([100.0, 0.0, 0.0]), Some(30.0), 2).unwrap();
    let said = said(std::iter::from_fn(|| planner.next_ramp()));
    assert_eq!(said[0], (1, Limit::Rest, LowPoint::Stop));
    assert_eq!(said[1], (2, X, LowPoint::Stop));
}
