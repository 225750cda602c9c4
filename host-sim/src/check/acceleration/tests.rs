//! What is left out finds the same; and what is found is measured well enough.

use super::super::random_motion::{COARSE, DEVIATION, FINE, LIMIT as MOST, Random, SPAN, pulses};
use super::*;

#[test]
fn even_samples_hide_no_acceleration() {
    let mut left_out = 0;
    for seed in 0..60 {
        let mut random = Random::new(seed);
        let mut quick = AxisAcceleration::new(0, MOST, DEVIATION);
        let mut plain = quick.clone();
        let mut segment = Segment::NONE;
        (segment.u[0], segment.cap) = (1.0, 5e-5);
        let axis = if seed % 2 == 0 { COARSE } else { FINE };
        for (k, (tick, x)) in pulses(&mut random, axis, 4000).into_iter().enumerate() {
            // Some are off, more and more, so that there are new worst ones to the end.
            let off = if random.part() < 0.05 { 1e-6 } else { 0.0 };
            let x = x + off * k as f64;
            segment.straight += usize::from(random.part() < 0.005);
            let here = Here {
                tick,
                ..Here::default()
            };
            quick.sample(tick, x, &segment, &here);
            left_out += usize::from(quick.calm);
            plain.steady.start(usize::MAX);
            plain.calm = false;
            plain.sample(tick, x, &segment, &here);
        }
        let found = |axis: &AxisAcceleration| {
            let at = axis.worst.here.map(|here| here.tick);
            (axis.worst.value, at, axis.longest)
        };
        assert_eq!(found(&quick), found(&plain), "seed {seed}");
    }
    assert!(left_out > 0);
}

/// The worst acceleration of positions `at` of the time, each `spacing` ticks, where the stretch turns by `turned`.
fn worst(at: impl Fn(f64) -> f64, spacing: f64, count: i32, turned: f64) -> f64 {
    let mut axis = AxisAcceleration::new(0, MOST, DEVIATION);
    let mut segment = Segment::NONE;
    (segment.u[0], segment.cap, segment.turned) = (1.0, 5e-5, turned);
    for k in 0..count {
        let tick = f64::from(k) * spacing;
        let here = Here {
            tick,
            ..Here::default()
        };
        axis.sample(tick, at(tick), &segment, &here);
    }
    axis.worst.value
}

// Windows start where samples are kept, T/16 apart; they end at every sample. One that is off by ε between two that
// are kept adds ε/w to a velocity: ε/(w·D), w and D being T/8 and T, and T/16 more where they start at a kept sample.
#[test]
fn a_sample_between_those_kept_is_looked_at() {
    let off = 0.005;
    let spacing = SPAN / 64.0;
    let at = |t: f64| 5e-5 * t + if t == 131.0 * spacing { off } else { 0.0 };
    assert_eq!(worst(|t| 5e-5 * t, spacing, 200, 0.0).max(1e-12), 1e-12);
    let found = worst(at, spacing, 200, 0.0) * SPAN * SPAN / off;
    assert!((8.0 / 1.5 / 1.07..=8.0).contains(&found), "{found}");
}

// By how much the directions of a stretch differ, the speed of the axis may differ: that over D must be no more
// than 2 % of the limit, with what rounding adds (0.2 % here).
#[test]
fn a_stretch_that_turns_too_much_tells_nothing() {
    let steady = |t: f64| 1e-6 * t + 0.6 * MOST * t * t;
    let turned = |part: f64| part * MOST * SPAN / 5e-5;
    let found = worst(steady, SPAN / 40.0, 90, turned(0.015));
    assert!((found / (1.2 * MOST) - 1.0).abs() < 1e-6, "{found}");
    let found = worst(steady, SPAN / 40.0, 90, turned(0.025));
    assert_eq!(found, f64::NEG_INFINITY);
}

// At 0.02 mm/tick a tick is as much as the deviation: no windows are long enough. What follows is measured as if it
// had never been.
#[test]
fn what_follows_a_speed_too_fast_to_measure_is_measured() {
    let end = 4.0 * SPAN;
    let at = |t: f64| {
        let late = (t - end).max(0.0);
        0.02 * t.min(end) + 1e-6 * late + 0.6 * MOST * late * late
    };
    let found = worst(at, SPAN / 40.0, 250, 0.0);
    assert!((found / (1.2 * MOST) - 1.0).abs() < 1e-6, "{found}");
}
