//! Corners and passages by hand.

use super::*;

// A right angle: the circle in the corner of a square. Its centre lies at (r, r) from both
// legs, √2·r from the corner, so δ = r(√2 − 1).
#[test]
fn circle_in_a_right_angle() {
    let (r, n, ..) = inscribed_circle(&[1.0, 0.0, 0.0], &[0.0, 1.0, 0.0], 0.02);
    assert!((r - 0.02 / (2f64.sqrt() - 1.0)).abs() < 1e-12);
    assert!((n[0] + 0.5f64.sqrt()).abs() < 1e-12 && (n[1] - 0.5f64.sqrt()).abs() < 1e-12);
}

// 60° between the legs (an equilateral triangle's corner): the centre at distance r + δ is seen
// from the leg under 30°, so r = (r + δ)/2 and r = δ.
#[test]
fn circle_in_a_sharp_corner() {
    let u2 = [-0.5, 0.75f64.sqrt(), 0.0];
    let (r, ..) = inscribed_circle(&[1.0, 0.0, 0.0], &u2, 0.02);
    assert!((r - 0.02).abs() < 1e-12);
}

// From 1 mm before to 1 mm after at 10 mm/s in the corner, speeding up by 500 mm/s²:
// v = √(100 + 1000) = 33.17 mm/s, (33.17 − 10)/500 = 46.33 ms on each side.
#[test]
fn passage_gives_back_its_speed() {
    let passage = Passage {
        before: (1.0, 500.0),
        after: (1.0, 500.0),
        time: 2.0 * (1100f64.sqrt() - 10.0) / 500.0,
    };
    assert!((passage.proven_speed(1.0) - 10.0).abs() < 1e-6);
}

fn unit(v: Point) -> Point {
    v.map(|x| x / length(&v))
}

fn turn(u1: Point, u2: Point, slack: f64, cap: f64) -> Turn {
    match junction(&u1, &u2, 0.02, &[500.0, 500.0, 20.0], cap, slack) {
        Junction::Turn(turn) => turn,
        Junction::Stop(stop) => panic!("{stop:?}"),
    }
}

// A slight turn that z limits: with both directions off by the slack, z has as much less of it as is allowed for.
#[test]
fn a_corner_may_be_what_its_directions_may_be() {
    let legs = |z: f64| (unit([1.0, -0.02, -z]), unit([1.0, 0.02, z]));
    let (u1, u2) = legs(0.002);
    let least = turn(u1, u2, 0.0, f64::INFINITY).speed;
    let most = turn(u1, u2, 1e-4, f64::INFINITY).speed;
    let (u1, u2) = legs(0.0019);
    let real = turn(u1, u2, 0.0, f64::INFINITY).speed;
    assert!((most / real - 1.0).abs() < 1e-3, "{most} {real}");
    // 20/(0.0945) over 20/(0.0995), and the root of it.
    assert!((most / least - 1.026).abs() < 1e-3, "{most} {least}");
}

// Legs that point at each other, but for the slack of each: a corner of twice that angle.
#[test]
fn a_turn_back_may_be_a_sharp_corner() {
    let slack = 0.01;
    let (along, back) = ([1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]);
    let Junction::Stop(stop) = junction(&along, &back, 0.02, &[500.0; 3], 1e9, slack) else {
        panic!("a turn");
    };
    let off = |x: f64| [x * slack.cos(), slack.sin(), 0.0];
    let Junction::Turn(real) = junction(&off(1.0), &off(-1.0), 0.02, &[500.0; 3], 1e9, 0.0) else {
        panic!("a stop");
    };
    // Along the bisector 1 % more is allowed for, which is half of it in the speed.
    assert!(
        stop.speed >= real.speed && stop.speed < 1.01 * real.speed,
        "{stop:?} {real:?}"
    );
    assert_eq!(stop.rest, 0.0);
}

#[test]
fn what_is_a_turn_back() {
    // `q` is the sine of half the angle between the legs.
    let stops = |q: f64, slack: f64| {
        let p = (1.0 - q * q).sqrt();
        let found = junction(&[p, q, 0.0], &[-p, q, 0.0], 0.02, &[500.0; 3], 1e9, slack);
        matches!(found, Junction::Stop(_))
    };
    assert!(stops(0.9e-3, 0.0) && !stops(1.1e-3, 0.0));
    assert!(stops(1.9e-3, 1e-3) && !stops(2.1e-3, 1e-3));
}

#[test]
fn which_corners_can_be_measured() {
    let slight = (unit([1.0, -0.02, 0.0]), unit([1.0, 0.02, 0.0]));
    // Sine and cosine of half the turn are 0.02 and 1: 1e-4·(2/0.02 + 1) is 1.01 %.
    assert!(turn(slight.0, slight.1, 0.98e-4, 1e9).holds);
    assert!(!turn(slight.0, slight.1, 1.0e-4, 1e9).holds);
    let sharp = (unit([1.0, 0.02, 0.0]), unit([-1.0, 0.02, 0.0]));
    // 2e-4·(2 + 1/0.02) is 1.04 %.
    assert!(turn(sharp.0, sharp.1, 1.9e-4, 1e9).holds);
    assert!(!turn(sharp.0, sharp.1, 2.0e-4, 1e9).holds);
    // What feed and axes allow no more than, holds nothing.
    let speed = turn(slight.0, slight.1, 0.0, 1e9).speed;
    assert!(turn(slight.0, slight.1, 0.0, speed / 0.97).holds);
    assert!(!turn(slight.0, slight.1, 0.0, speed / 0.99).holds);
}

// At a steady speed v, d on each side takes 2·d/v; 1.5 % more speed is 1.48 % less. Two ticks must lie between,
// and at 0.001 mm a tick the 0.02 of a tick that two positions are off.
#[test]
fn what_two_pulses_resolve() {
    let resolves = |d: f64, v: f64| {
        Passage {
            before: (d, 0.0),
            after: (d, 0.0),
            time: 0.0,
        }
        .resolves(v)
    };
    let least = 1.0 / (1.0 - 1.0 / 1.015);
    assert!(!resolves(0.999 * least, 1.0) && resolves(1.001 * least, 1.0));
    let least = 1.01e-3 * least;
    assert!(!resolves(0.999 * least, 1e-3) && resolves(1.001 * least, 1e-3));
}

#[test]
fn time_before_a_place() {
    // From rest 1 mm at 500 mm/s²: √(2/500) s. None for no way.
    assert!((least_time(1.0, 0.0, 500.0) - 0.004f64.sqrt()).abs() < 1e-15);
    assert_eq!(
        (least_time(0.0, 0.0, 500.0), least_time(-1.0, 3.0, 500.0)),
        (0.0, 0.0)
    );
}

// Legs with half of the sine `q` between them, each off by the slack: the real corner may have `q` and the slack. What
// is still allowed at the turn back is no less than its rule.
#[test]
fn a_turn_back_allows_all_that_its_directions_may_be() {
    let legs = |q: f64| {
        let p = (1.0 - q * q).sqrt();
        ([p, q, 0.0], [-p, q, 0.0])
    };
    for (q, slack) in [(0.0, 0.05), (0.05, 0.1), (0.1, 0.1), (0.05, 0.2)] {
        let (u1, u2) = legs(q);
        let Junction::Stop(stop) = junction(&u1, &u2, 0.02, &[500.0; 3], 1e9, slack) else {
            panic!("a turn at {q}");
        };
        let (u1, u2) = legs(q + slack);
        let real = turn(u1, u2, 0.0, 1e9).speed;
        assert!(stop.speed >= real, "{q} {slack}: {stop:?} {real}");
    }
}

// From slow to fast, with as much again in speed gained on each side.
#[test]
fn any_speed_is_proven_from_any_start() {
    for v in [1e-9, 3e-6, 0.02, 1.0, 700.0] {
        let accel = 1e-3 * v;
        let d = 1500.0 * v;
        // From v to 2·v in 1000 ticks, at 1.5·v in the mean.
        let passage = Passage {
            before: (d, accel),
            after: (d, accel),
            time: 2000.0,
        };
        for low in [0.0, 1e-3 * v, 0.9 * v] {
            let found = passage.proven_speed(low);
            assert!((found / v - 1.0).abs() < 1e-9, "{v} {low}: {found}");
        }
    }
}

// What takes just as long as at that speed is no faster; and no time at all proves no more than 10¹².
#[test]
fn a_passage_at_a_speed_is_not_faster() {
    let passage = |time: f64| Passage {
        before: (1.0, 0.0),
        after: (3.0, 0.0),
        time,
    };
    assert!(!passage(4.0).faster_than(1.0) && passage(4.0).faster_than(0.999));
    assert_eq!(passage(0.0).proven_speed(1e12), 1e12);
}
