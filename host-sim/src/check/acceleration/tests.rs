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

// By how much the directions of a stretch differ, the speed of the axis may differ. That over D is in doubt, T to 43/40 T
// where of samples T/40 apart each third is kept, with what rounding adds (0.2 % of the limit here); up to 2 % of the
// limit it is let pass.
#[test]
fn a_stretch_that_turns_much_tells_what_is_certain() {
    let steady = |t: f64| 1e-6 * t + 0.6 * MOST * t * t;
    let turned = |part: f64| part * MOST * SPAN / 5e-5;
    let found = worst(steady, SPAN / 40.0, 90, turned(0.015));
    assert!((found / (1.2 * MOST) - 1.0).abs() < 1e-6, "{found}");
    for part in [0.025, 0.5] {
        let found = worst(steady, SPAN / 40.0, 90, turned(part)) / MOST;
        let (low, high) = (1.2 - 0.002 - part, 1.2 - part * 40.0 / 43.0);
        assert!(
            (low..=high).contains(&found),
            "{part}: {low} {found} {high}"
        );
    }
}

// At 0.02 mm/tick a tick is as much as the deviation: no windows are long enough. Once the axis is slow they are, and show
// the change in their earlier window: all of it but 32·v/T² for rounding, over T to 17/16 T.
#[test]
fn a_sudden_end_of_a_speed_too_fast_to_measure_is_told() {
    let end = 4.0 * SPAN;
    let at = |t: f64| 0.02 * t.min(end) + 1e-6 * (t - end).max(0.0);
    let found = worst(at, SPAN / 40.0, 250, 0.0) * SPAN / 0.02;
    let (low, high) = ((1.0 - 32.0 / SPAN) * 16.0 / 17.0, 1.0);
    assert!((low..=high).contains(&found), "{low} {found} {high}");
}

// Steps so far apart that each is kept: windows lie from one to another. A mean over the parabola is exact.
#[test]
fn an_axis_of_coarse_steps_is_measured_at_each() {
    let found = worst(|t| 1e-6 * t + 0.6 * MOST * t * t, SPAN / 10.0, 60, 0.0);
    assert!((found / (1.2 * MOST) - 1.0).abs() < 1e-6, "{found}");
}
