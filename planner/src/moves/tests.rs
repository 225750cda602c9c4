use super::*;
use crate::coordinate::Coordinate;
use crate::random::Random;

const A: f32 = 500.0;
const NONE: f32 = f32::INFINITY;

/// 2 mm: v² can change by 2000.
fn straight(bend: f32) -> Straight<1> {
    Straight {
        to: [Coordinate::ZERO],
        length: 2.0,
        most: 120.0,
        feed: 80.0,
        acceleration: A,
        axes: AxisPair::new(5, 3),
        tag: 0,
        entry: 900.0,
        low: LowPoint::Corner,
        turn: 900.0,
        turn_bends: false,
        bend,
    }
}

fn bound(v2: f32, firm: f32) -> Bound {
    Bound {
        v2,
        firm,
        low: None,
        adjacent: false,
    }
}

#[test]
fn counts_and_axes_come_back() {
    for ticks in [0, 1, 0xffff_ffff, 0x1_0000_0000, 0x1234_5678_9abc_def0] {
        assert_eq!(u64::from(Ticks::from(ticks)), ticks);
    }
    for (speed, acceleration) in [(0, 5), (5, 0), (3, 4), (15, 15)] {
        let pair = AxisPair::new(speed, acceleration);
        assert_eq!((pair.speed(), pair.acceleration()), (speed, acceleration));
    }
}

#[test]
fn the_pace_sets_the_cap() {
    let pace = |feed, rapid| Pace { feed, rapid };
    let axis = Limit::AxisSpeed(5);
    let fed = straight(NONE);
    assert_eq!(fed.cap(&pace(1.0, 0.5)), (80.0, Limit::Feed));
    assert_eq!(fed.cap(&pace(0.5, 0.5)), (40.0, Limit::Feed));
    // 120 mm/s is what the axes allow, and what a feed of as much asks for.
    assert_eq!(fed.cap(&pace(1.5, 1.0)), (120.0, Limit::Feed));
    assert_eq!(fed.cap(&pace(2.0, 1.0)), (120.0, axis));
    let rapid = Straight { feed: NONE, ..fed };
    assert_eq!(rapid.cap(&pace(2.0, 1.0)), (120.0, axis));
    assert_eq!(rapid.cap(&pace(2.0, 0.5)), (60.0, Limit::Feed));
}

#[test]
fn slows_down_with_what_a_bend_leaves() {
    for (bend, entry, length, least) in [
        (NONE, 5000.0, 2.0, 3000.0),
        (NONE, 5000.0, 1.0, 4000.0),
        (NONE, 1000.0, 2.0, 0.0),
        // Half of the acceleration is left, three quarters, none.
        (10_000.0, 5000.0, 2.0, 4000.0),
        (10_000.0, 2500.0, 1.0, 1750.0),
        (4000.0, 5000.0, 2.0, 5000.0),
    ] {
        assert_eq!(straight(bend).eased(entry, length), least, "{bend} {entry}");
    }
    assert_eq!(straight(NONE).reach(), 2000.0);
    assert_eq!(straight(NONE).braking_from(5000.0), A);
    assert_eq!(straight(10_000.0).braking_from(2500.0), 375.0);
    // A profile needs some.
    let left = straight(10_000.0).braking_from(20_000.0);
    assert!((left - 0.03 * A).abs() < 1e-3, "{left}");
}

#[test]
fn ends_as_fast_as_it_can_and_may() {
    let high = bound(1e6, 1e6);
    for (bend, cap, entry, bound, exit) in [
        // As fast as it gets, as the cap, as what comes later.
        (NONE, 100.0, 0.0, &high, 2000.0),
        (NONE, 100.0, 9000.0, &high, 10_000.0),
        (NONE, 100.0, 8000.0, &high, 10_000.0),
        (NONE, 100.0, 3000.0, &bound(1500.0, 1500.0), 1500.0),
        (NONE, 100.0, 3000.0, &bound(3000.0, 3000.0), 3000.0),
        // Too late for a bend: as slow as it gets, or as corners need.
        (NONE, 100.0, 3000.0, &bound(500.0, 2500.0), 1000.0),
        (NONE, 100.0, 3000.0, &bound(500.0, 800.0), 800.0),
        (NONE, 100.0, 3000.0, &bound(1200.0, 2500.0), 1200.0),
        // The cap is lower than it was: in its own time, with what a bend leaves, and no faster than later
        // places want.
        (NONE, 100.0, 15_000.0, &high, 13_000.0),
        (NONE, 100.0, 11_000.0, &high, 10_000.0),
        (NONE, 100.0, 15_000.0, &bound(12_500.0, 1e6), 13_000.0),
        (NONE, 100.0, 15_000.0, &bound(12_500.0, 12_500.0), 12_500.0),
        (NONE, 100.0, 15_000.0, &bound(13_500.0, 1e6), 13_000.0),
        // (v² + 2000)/(1 + 2000/8000) on a bend.
        (8000.0, 1000.0, 1000.0, &high, 2400.0),
        (8000.0, 1000.0, 4000.0, &high, 4800.0),
        (8000.0, 1000.0, 8000.0, &high, 8000.0),
        (8000.0, 1000.0, 4000.0, &bound(4500.0, 4500.0), 4500.0),
        (8000.0, 1000.0, 4000.0, &bound(4000.0, 4000.0), 4000.0),
        // Faster than the bend can be gone round with any acceleration.
        (8000.0, 1000.0, 9000.0, &bound(8900.0, 8900.0), 8800.0),
    ] {
        let found = straight(bend).exit_v2(cap, 2.0, entry, bound);
        assert!(
            (found - exit).abs() <= 1e-6 * exit,
            "{bend} {cap} {entry} {} {}: {found}",
            bound.v2,
            bound.firm
        );
    }
    // Over a part of it.
    assert_eq!(straight(NONE).exit_v2(100.0, 0.5, 0.0, &high), 500.0);
}

/// The acceleration is what the bend leaves at the peak that this acceleration makes.
#[test]
fn the_acceleration_is_that_of_its_own_peak() {
    let mut random = Random::new(2);
    for _ in 0..500 {
        let bend = random.of_any_size(1e3, 1e6);
        let length = random.of_any_size(0.01, 10.0);
        let (a, cap) = (f64::from(A), random.of_any_size(10.0, 1000.0));
        let [entry, exit] = [0, 1].map(|_| random.within(0.0, (cap * cap).min(bend)));
        let found: f64 = straight(bend as f32)
            .acceleration_between(cap as f32, length as f32, entry as f32, exit as f32)
            .into();
        let peak = (0.5 * (entry + exit) + found * length)
            .min(cap * cap)
            .max(entry)
            .max(exit);
        let leaves = a * (1.0 - (peak / bend).min(0.97));
        let asked = (exit - entry).abs() / (2.0 * length);
        // Where the ends ask for more than the bend leaves, the peak says nothing.
        let exact = leaves.max(asked);
        assert!(
            (found - exact).abs() <= 1e-4 * a.max(exact),
            "{bend} {length} {cap} {entry} {exit}: {found} {exact}"
        );
    }
    assert_eq!(
        straight(NONE).acceleration_between(100.0, 2.0, 0.0, 100.0),
        A
    );
    assert_eq!(
        straight(1000.0).acceleration_between(100.0, 0.0, 0.0, 0.0),
        A
    );
}

#[test]
fn turns_take_their_part_of_it() {
    // Nothing is left at v² = 2·2048.
    let mut all = straight(NONE);
    assert!(!all.shares(1.0 / 2048.0, NONE));
    assert_eq!((all.bend, all.acceleration), (4096.0, A));
    let mut at = straight(NONE);
    assert!(!at.shares(1.0 / 2048.0, 512.0));
    assert_eq!(at.bend, 4096.0);
    // Passed at less than an eighth of that, they take as much at any speed.
    let mut little = straight(NONE);
    assert!(little.shares(1.0 / 2048.0, 256.0));
    assert_eq!((little.bend, little.acceleration), (NONE, 468.75));
}

#[test]
fn a_bend_lowers_the_turn_and_the_entry() {
    let mut straight = straight(NONE);
    let state = |s: &Straight<1>| (s.turn, s.turn_bends, s.entry, s.low);
    straight.entry = 400.0;
    straight.bends_to(900.0);
    assert_eq!(state(&straight), (900.0, false, 400.0, LowPoint::Corner));
    straight.bends_to(400.0);
    assert_eq!(state(&straight), (400.0, true, 400.0, LowPoint::Corner));
    straight.bends_to(300.0);
    assert_eq!(state(&straight), (300.0, true, 300.0, LowPoint::Bend));
}

#[test]
fn an_override_gives_a_new_entry() {
    let feed = |v2| (v2, Limit::Feed);
    let axis = |v2| (v2, Limit::AxisSpeed(2));
    // The turn allows 900. Caps before and after, what braking comes down to; entry, why, and what is sure.
    for (bends, before, after, reached, shared, entry, low, sure) in [
        (
            false,
            feed(400.0),
            axis(2500.0),
            0.0,
            0.0,
            400.0,
            LowPoint::Feed,
            400.0,
        ),
        (
            false,
            feed(2500.0),
            axis(400.0),
            0.0,
            0.0,
            400.0,
            LowPoint::AxisSpeed(2),
            400.0,
        ),
        (
            false,
            feed(900.0),
            axis(2500.0),
            0.0,
            0.0,
            900.0,
            LowPoint::Feed,
            900.0,
        ),
        (
            false,
            feed(1600.0),
            axis(2500.0),
            0.0,
            0.0,
            900.0,
            LowPoint::Corner,
            900.0,
        ),
        (
            true,
            feed(1600.0),
            axis(2500.0),
            0.0,
            0.0,
            900.0,
            LowPoint::Bend,
            900.0,
        ),
        // It cannot slow down so soon: to 500, or to 600 with what bends leave.
        (
            false,
            feed(400.0),
            feed(2500.0),
            500.0,
            600.0,
            600.0,
            LowPoint::Feed,
            500.0,
        ),
        (
            false,
            feed(400.0),
            feed(2500.0),
            1500.0,
            1600.0,
            900.0,
            LowPoint::Feed,
            900.0,
        ),
        (
            true,
            feed(400.0),
            feed(2500.0),
            1500.0,
            1600.0,
            900.0,
            LowPoint::Feed,
            1500.0,
        ),
        (
            true,
            feed(400.0),
            feed(2500.0),
            300.0,
            600.0,
            600.0,
            LowPoint::Feed,
            400.0,
        ),
    ] {
        let mut straight = straight(NONE);
        straight.turn_bends = bends;
        let found = straight.renew(before, after, reached, shared);
        assert_eq!(
            (straight.entry, straight.low, found),
            (entry, low, sure),
            "{before:?} {after:?} {reached}"
        );
    }
    let mut stop = Straight {
        turn: 0.0,
        entry: 0.0,
        low: LowPoint::Stop,
        ..straight(NONE)
    };
    assert_eq!(stop.renew(feed(400.0), feed(400.0), 900.0, 900.0), 0.0);
    assert_eq!((stop.entry, stop.low), (0.0, LowPoint::Stop));
}

#[test]
fn a_corner_tells_its_speed() {
    for (corner_v2, speed) in [(f32::INFINITY, None), (0.0, Some(0.0)), (400.0, Some(20.0))] {
        let facts = MoveFacts {
            length: 1.0,
            speed_cap: 1.0,
            cap_limit: Limit::Feed,
            acceleration: 1.0,
            corner_v2,
        };
        assert_eq!(facts.corner_speed(), speed);
    }
}
