//! Against each neighbour by itself, and at the limits by hand.

use super::super::random_motion::Random;
use super::*;

/// A bound of b = 0.8·bound.
fn with_bound(bound: f64) -> Steady {
    let mut steady = Steady::NEW;
    steady.start(0);
    steady.exceed(bound, bound);
    steady
}

// Velocities of eighths between whole times: windows from a sample on are even where no neighbours after it
// differ by more than 0.8·bound times the time between their middles.
#[test]
fn neighbours_one_by_one() {
    const BOUND: f64 = 5.0 / 16.0;
    let mut random = Random::new(1);
    for _ in 0..50 {
        let mut steady = with_bound(BOUND);
        let mut times = vec![0.0];
        let mut velocities: Vec<f64> = Vec::new();
        let mut velocity = 0.0;
        for last in 0..40 {
            let from = times[last];
            times.push(from + 1.0 + (3.0 * random.part()).floor());
            velocity += (random.side() * 5.0).round() / 8.0;
            velocities.push(velocity);
            steady.keep(last, from, times[last + 1], velocity);
            // What lies between samples k and k + 1 against what lies before it.
            let uneven = (1..velocities.len()).rev().find(|k| {
                let apart = (times[k + 1] + times[*k]) / 2.0 - (times[*k] + times[k - 1]) / 2.0;
                (velocities[*k] - velocities[k - 1]).abs() > 0.25 * apart
            });
            for first in 0..=last {
                // The window starts with that interval or later.
                let even = uneven.is_none_or(|k| first >= k);
                assert_eq!(steady.is_even(first), even, "{first} of {last}");
            }
        }
    }
}

#[test]
fn a_bound_too_near_to_the_rounding_is_none() {
    let even = |bound: f64| {
        let mut steady = with_bound(1.0);
        steady.exceed(2.0 * bound, 2.0);
        steady.keep(0, 0.0, 1.0, 1.0);
        steady.keep(1, 1.0, 2.0, 1.0);
        steady.is_even(0)
    };
    assert!(even(0.01) && even(0.02) && even(0.5));
    assert!(!even(0.0099) && !even(0.0));
}

// With 1 mm/tick before, 4 ticks on, the axis is 4 mm on; and 0.19·bound·w·D more or less.
#[test]
fn how_far_off_an_end_may_be() {
    let mut steady = with_bound(2.0);
    // Nothing before: there is nothing to be even with.
    assert!(steady.goes_on(4.0, 1e9, 3.0));
    steady.keep(0, 0.0, 1.0, 1.0);
    let room = 0.19 * 2.0 * 3.0;
    for (way, goes_on) in [
        (4.0, true),
        (4.0 + 0.999 * room, true),
        (4.0 - 0.999 * room, true),
        (4.0 + 1.001 * room, false),
        (4.0 - 1.001 * room, false),
    ] {
        assert_eq!(steady.goes_on(4.0, way, 3.0), goes_on, "{way}");
    }
    // With a new start all is unknown again.
    steady.start(7);
    assert!(steady.goes_on(4.0, 1e9, 3.0) && steady.is_even(7) && !steady.is_even(6));
}
