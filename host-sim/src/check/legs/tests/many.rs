//! Which pulses beside a stop are held against its first, and its last.

use super::*;

const ACCEL: f64 = 1e-6;

/// From rest to 1 mm and to 6 mm, in so many ticks less than that takes.
fn missing(taken: f64) -> f64 {
    let near = f64::sqrt(2.0 * (1.0 + 2e-5) / ACCEL);
    (asked(6.0, ACCEL) - near - taken).max(0.0)
}

// Pulses 20 ticks apart creep on from 1 mm, and the last is 6 mm on: that asks for 2000 ticks. The 48th is the last one
// that is held against the first.
#[test]
fn forty_eight_pulses_after_a_stop() {
    for (count, looked_at) in [(2, true), (47, true), (48, true), (49, false)] {
        let mut job = Job::new(ACCEL);
        for k in 0..count - 1 {
            job.pulse(2000.0 + 20.0 * f64::from(k), 1.0 + 0.001 * f64::from(k));
        }
        let taken = 20.0 * f64::from(count - 1);
        job.pulse(2000.0 + taken, 6.0);
        let expected = if looked_at { missing(taken) } else { 0.0 };
        assert!((job.found().1 - expected).abs() < 1e-9, "{count}");
    }
}

// The same read backwards: 6 mm before the stop, and creeping to 1 mm before it.
#[test]
fn forty_eight_pulses_before_a_stop() {
    for (count, looked_at) in [(2, true), (47, true), (48, true), (49, false)] {
        let mut job = Job::new(ACCEL);
        job.enter(1.0, ACCEL, turn(false));
        job.pulse(9000.0, 4.0);
        for k in 1..count {
            let left = 0.001 * f64::from(count - 1 - k);
            job.pulse(9000.0 + 20.0 * f64::from(k), 9.0 - left);
        }
        job.enter(10.0, ACCEL, stop(0.0));
        let taken = 20.0 * f64::from(count - 1);
        let expected = if looked_at { missing(taken) } else { 0.0 };
        assert!((job.found().1 - expected).abs() < 1e-9, "{count}");
    }
}

// At 1 mm/tick² the first pulse after a stop may come 5 ticks after the last one before it, closer than samples are
// kept, and later ones are held against it: from 3 to 103 mm, a tick too soon.
#[test]
fn a_first_pulse_close_to_the_last_one_before_counts() {
    let mut job = Job::new(1.0);
    job.pulse(1000.0, 8.0);
    job.enter(10.0, 1.0, stop(0.0));
    job.pulse(1005.0, 13.0);
    let least = asked(103.0, 1.0) - f64::sqrt(2.0 * (3.0 + 2e-5));
    job.pulse(1005.0 + least - 1.0, 113.0);
    assert!((job.found().1 - 1.0).abs() < 1e-9);
}
