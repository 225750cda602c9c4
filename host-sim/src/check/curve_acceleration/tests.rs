//! What is left out finds the same; and nothing is left out at the start.

use super::super::random_motion::{COARSE, DEVIATION, LIMIT, Random, SPAN, pulses};
use super::*;

// With turns alone and in rows, as often on a slow path as on a fast one.
#[test]
fn even_samples_and_single_turns_hide_no_acceleration() {
    for seed in 0..60 {
        let mut random = Random::new(seed);
        let mut quick = CurveAcceleration::new(0, LIMIT, DEVIATION);
        let mut plain = quick.clone();
        let mut turns = Clusters::new(SPAN);
        let (mut s, mut last, mut row) = (0.0, 0.0, false);
        for (tick, x) in pulses(&mut random, COARSE, 4000) {
            s += f64::abs(x - last);
            last = x;
            row = if row {
                random.part() < 0.9
            } else {
                random.part() < 0.005
            };
            if row || random.part() < 0.01 {
                turns.at_speed(1e-4 * random.part());
                turns.pass(s, &[0.0; AXES], &[0.3 * random.side(), 0.1, 0.0]);
            }
            let here = Here {
                tick,
                ..Here::default()
            };
            if quick.ring.takes(tick) {
                quick.sample((tick, s), x, &turns, &here);
                plain.told = f64::NEG_INFINITY;
                plain.steady.start(usize::MAX);
                plain.sample((tick, s), x, &turns, &here);
            }
        }
        let found = |axis: &CurveAcceleration| {
            let each = |worst: &Worst| (worst.value, worst.here.map(|here| here.tick));
            (axis.worst.each_ref().map(each), axis.peak, axis.longest)
        };
        assert_eq!(found(&quick), found(&plain), "seed {seed}");
    }
}

// At rest to the second sample, a seventh of T after the first, and then at 2e-5 mm/tick: 1.77 of a·T, seen over
// 1.05 T: two intervals of 0.065 T and fourteen before them.
#[test]
fn a_jump_at_the_second_sample_is_found() {
    let mut axis = CurveAcceleration::new(0, LIMIT, DEVIATION);
    let turns = Clusters::new(SPAN);
    axis.sample((0.0, 0.0), 0.0, &turns, &Here::default());
    for k in 0..20 {
        let late = f64::from(k) * 0.065 * SPAN;
        let x = 2e-5 * late;
        axis.sample((SPAN / 7.0 + late, x), x, &turns, &Here::default());
    }
    assert!(
        (1.65..=1.7).contains(&(axis.peak / LIMIT)),
        "{}",
        axis.peak / LIMIT
    );
}

// Over as many samples as a ring holds, and no more than twice as many.
#[test]
fn the_fastest_of_the_samples_still_there() {
    let mut random = Random::new(5);
    let mut fastest = Fastest::default();
    let mut all: Vec<f64> = Vec::new();
    let most = |some: &[f64]| some.iter().copied().fold(0.0, f64::max);
    for k in 0..5 * Kept::ROOM {
        // Slower and slower, but for some.
        let speed = random.part() / (1.0 + k as f64 / 100.0);
        fastest.next(speed);
        all.push(speed);
        let least = most(&all[all.len().saturating_sub(Kept::ROOM)..]);
        let greatest = most(&all[all.len().saturating_sub(2 * Kept::ROOM)..]);
        let yet = fastest.yet();
        assert!(
            (least..=greatest).contains(&yet),
            "{k}: {least} {yet} {greatest}"
        );
    }
}

#[test]
fn the_fastest_is_known_from_the_second_sample_on() {
    let turns = Clusters::new(SPAN);
    let mut axis = CurveAcceleration::new(0, LIMIT, DEVIATION);
    let (mut t, mut s) = (1000.0, 5.0);
    axis.sample((t, s), 0.0, &turns, &Here::default());
    for (speed, fastest) in [(3e-5, 3e-5), (1e-5, 3e-5), (4e-5, 4e-5), (2e-5, 4e-5)] {
        t += 1000.0;
        s += 1000.0 * speed;
        axis.sample((t, s), 0.0, &turns, &Here::default());
        let yet = axis.fastest.yet();
        assert!((yet / fastest - 1.0).abs() < 1e-9, "{yet} {fastest}");
    }
}

// T is 1024 ticks, and samples are kept 64 apart. Along x, y and z go 0.6, 0.8 and −0.6.
#[test]
fn axes_that_move_no_more_are_sampled_too() {
    let limit = 1.0 / 65_536.0;
    let mut curves = Curves::new(&[limit; AXES], 2.0);
    let turns = Clusters::new(1024.0);
    let mut segment = Segment::NONE;
    (segment.u, segment.from, segment.s0) = ([0.6, 0.8, -0.6], [1.0, 2.0, 3.0], 10.0);
    let mut sample = |t: f64, pulse: (usize, f64), on: Option<f64>| {
        let on = on.map(|at| (at, &segment));
        curves.sample((t, t / 100.0), pulse, on, &turns, &Here::default());
        let last = |curve: &CurveAcceleration| {
            let last = curve.ring.next().checked_sub(1);
            last.map(|at| curve.ring.get(at))
        };
        let positions = curves.axes.each_ref().map(|curve| {
            let last = last(curve).filter(|last| last[0] == t);
            last.map(|[_, x, s]| (x, s == t / 100.0))
        });
        (positions, curves.due)
    };
    let close = |found: [Option<(f64, bool)>; AXES], expected: [Option<f64>; AXES]| {
        for (found, expected) in found.into_iter().zip(expected) {
            let same = match (found, expected) {
                (Some((x, at_s)), Some(y)) => at_s && (x - y).abs() < 1e-12,
                (None, None) => true,
                _ => false,
            };
            assert!(same, "{found:?} {expected:?}");
        }
    };
    // Off the path only its own axis is known.
    let (found, due) = sample(100.0, (1, 7.0), None);
    close(found, [None, Some(7.0), None]);
    assert_eq!(due, f64::NEG_INFINITY);
    // Of x: its own position, that of z, and not that of y, which moves more.
    let (found, due) = sample(150.0, (0, 2.3), Some(12.0));
    close(found, [Some(2.3), None, Some(3.0 - 1.2)]);
    assert_eq!(due, 164.0);
    // Not 63 ticks later, but 64.
    let (found, _) = sample(163.0, (1, 4.0), Some(12.5));
    close(found, [None, None, None]);
    let (found, due) = sample(164.0, (1, 4.1), Some(12.5));
    close(found, [None, Some(4.1), None]);
    assert_eq!(due, 214.0);
    let (found, due) = sample(214.0, (2, 1.0), Some(13.0));
    close(found, [Some(1.0 + 1.8), None, Some(1.0)]);
    assert_eq!(due, 228.0);
    // All may be sampled now, but of z y is not known, and of y all are.
    let (found, _) = sample(300.0, (2, 2.0), Some(13.5));
    close(found, [Some(1.0 + 2.1), None, Some(2.0)]);
    let (found, _) = sample(400.0, (1, 5.0), Some(14.0));
    close(found, [Some(1.0 + 2.4), Some(5.0), Some(3.0 - 2.4)]);
}

// A limit of a quarter: there less is more of it.
#[test]
fn the_axis_worst_for_its_limit_is_told() {
    let mut curves = Curves::new(&[LIMIT, LIMIT / 4.0, LIMIT], DEVIATION);
    for (axis, part) in [(0, 0.9), (1, 1.5 / 4.0), (2, 0.6)] {
        let here = Here {
            line: 10 + axis as u32,
            ..Here::default()
        };
        let curve = &mut curves.axes[axis];
        let limit = curve.measured.limit;
        curve.worst[Class::Corner as usize].raise(part * LIMIT, limit, Some(axis), &here);
    }
    let hz = 1e3;
    let [bend, close, corner] = &curves.results(Writer { hz }).collect::<Vec<_>>()[..] else {
        panic!("three classes");
    };
    assert!(bend.worst.is_nan() && bend.pass && close.worst.is_nan() && close.pass);
    assert_eq!((corner.axis, corner.line), (Some(1), Some(11)));
    let near = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-9;
    assert!(
        near(corner.worst, 1.5 / 4.0 * LIMIT * hz * hz),
        "{corner:?}"
    );
    assert!(
        near(corner.limit, 2.1 / 4.0 * LIMIT * hz * hz) && corner.pass,
        "{corner:?}"
    );
}

/// Samples T/16 apart, from `t0` on, of an axis that is at `x` of the time since then.
fn go(axis: &mut CurveAcceleration, (t0, x0): (f64, f64), count: u32, x: impl Fn(f64) -> f64) {
    let turns = Clusters::new(SPAN);
    for k in 0..count {
        let late = f64::from(k) * SPAN / 16.0;
        let x = x0 + x(late);
        axis.sample((t0 + late, x), x, &turns, &Here::default());
    }
}

// The first windows that are short enough for the new speed have the old one in the earlier of them. Their middles are T
// to 9/8 T apart, and a tick's way at the old speed v at the ends of windows of T/8 and more hides 2·v·2·(8/T)/D at most.
#[test]
fn a_sudden_change_of_speed_is_told_as_far_as_it_is_certain() {
    for (before, after) in [(4e-4, 1e-5), (8e-4, 1e-5), (0.02, 1e-6), (1e-5, 4e-4)] {
        for phase in 0..50 {
            let mut axis = CurveAcceleration::new(0, LIMIT, DEVIATION);
            let jump = (100.0 + f64::from(phase) / 50.0) * SPAN / 16.0;
            go(&mut axis, (0.0, 0.0), 250, |t| {
                before * t.min(jump) + after * (t - jump).max(0.0)
            });
            let most = f64::abs(after - before) / SPAN;
            let hidden = 32.0 * f64::max(before, after) / (SPAN * SPAN);
            let found = axis.peak;
            let least = (most - hidden) * 8.0 / 9.0;
            // A change within an interval of samples may fall into a window by a part: then the one before or after
            // has the rest, a sixteenth of T further on.
            let least = least * 15.0 / 16.0;
            assert!(
                (least..=most).contains(&found),
                "{before} {after} {phase}: {least} {found} {most}"
            );
        }
    }
}

// At 1.5e-4 mm/tick windows are T/4 long: 4·(1.5e-4 + 2e-5)/(0.02·a) lies between T²/8 and T²/4.
#[test]
fn the_longest_windows_that_showed_something_are_told() {
    // A worse bend and a worse corner are known of before, and no turn is near.
    let mut axis = CurveAcceleration::new(0, LIMIT, DEVIATION);
    axis.told = 2.0 * LIMIT;
    go(&mut axis, (0.0, 0.0), 40, |late| {
        1.5e-4 * late + 0.4 * LIMIT * late * late
    });
    assert_eq!(axis.longest, 1);
    // Up to 4e-5 mm/tick with 0.9 of the limit, then on with a tenth to 1.5e-4, which is no news.
    let mut axis = CurveAcceleration::new(0, LIMIT, DEVIATION);
    let early = 4e-5 / (0.9 * LIMIT);
    go(&mut axis, (0.0, 0.0), 1700, |t| {
        let late = (t - early).max(0.0);
        0.45 * LIMIT * t.min(early).powi(2) + 4e-5 * late + 0.05 * LIMIT * late * late
    });
    assert!(axis.fastest.yet() > 1.4e-4);
    assert_eq!(axis.longest, 0);
}
