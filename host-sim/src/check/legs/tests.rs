//! Corners and stops whose times are known: braking as hard as allowed, and speeding up again.

use super::super::corner::least_time;
use super::*;

mod many;
mod passages;

const WRITER: Writer = Writer { hz: 1.0 };
/// A span of 160 ticks, of which a sixteenth lies between pulses that are kept.
const SPAN: f64 = 160.0;
/// The most that a pulse may be late, ticks.
const LATE: f64 = 1.0;
const RULE: f64 = 0.05;

fn stop(rest: f64) -> Junction {
    Junction::Stop(Stop { speed: 0.0, rest })
}

fn turn(holds: bool) -> Junction {
    Junction::Turn(Turn { speed: RULE, holds })
}

struct Job {
    legs: Legs,
    segment: Segment,
}

impl Job {
    fn new(accel: f64) -> Self {
        let mut job = Self {
            legs: Legs::new(SPAN, LATE),
            segment: Segment::NONE,
        };
        job.enter(0.0, accel, stop(0.0));
        job
    }

    fn enter(&mut self, s0: f64, accel: f64, junction: Junction) {
        let leg = Leg {
            s0,
            accel,
            junction,
        };
        self.segment.accel = accel;
        self.legs.enter(leg, &Here::default());
    }

    fn pulse(&mut self, t: f64, s: f64) {
        let here = Here {
            tick: t,
            ..Here::default()
        };
        self.legs.sample(t, s, &self.segment, &here);
    }

    /// Speed that the corner was passed at, and what is missing of a rest.
    fn found(&self) -> (f64, f64) {
        let [corner, rest] = self.legs.results(1, WRITER);
        (corner.worst, rest.worst)
    }
}

/// Pulses every 0.3 mm about a corner 90 mm on that is passed at `v`, with these accelerations.
fn corner(v: f64, accel: [f64; 2], holds: bool) -> Job {
    let mut job = Job::new(accel[0]);
    let at = 1e5;
    for k in 1..300 {
        let far = 90.1 - 0.3 * f64::from(k);
        job.pulse(at - least_time(far, v, accel[0]), 90.0 - far);
    }
    job.enter(90.0, accel[1], turn(holds));
    for k in 0..300 {
        let far = 0.05 + 0.3 * f64::from(k);
        job.pulse(at + least_time(far, v, accel[1]), 90.0 + far);
    }
    job
}

#[test]
fn the_speed_at_a_corner_is_proven() {
    for accel in [[1e-4, 1e-4], [3e-4, 1e-4], [1e-4, 3e-4]] {
        for part in [0.5, 1.0, 1.05, 1.5] {
            let v = part * RULE;
            let job = corner(v, accel, true);
            let (found, _) = job.found();
            assert!((found / v - 1.0).abs() < 1e-6, "{accel:?} {part}: {found}");
            let [told, _] = job.legs.results(3, WRITER);
            assert_eq!(told.pass, part < 1.02, "{told:?}");
            assert!((told.limit / RULE - 1.02).abs() < 1e-12, "{told:?}");
            assert!(told.what.contains("1 of 3 corners"), "{told:?}");
            assert!(told.time_s.is_some_and(|t| t > 1e5), "{told:?}");
        }
    }
}

#[test]
fn what_holds_no_speed_is_not_measured() {
    let (found, _) = corner(2.0 * RULE, [1e-4; 2], false).found();
    assert!(found.is_nan(), "{found}");
}

// A machine that speeds up less than it may shows less than it had: never more.
#[test]
fn no_more_is_shown_than_was() {
    let mut job = Job::new(2e-4);
    for k in 0..300 {
        let far = 90.1 - 0.3 * f64::from(k);
        job.pulse(1e5 - least_time(far, RULE, 1e-4), 90.0 - far);
    }
    job.enter(90.0, 2e-4, turn(true));
    for k in 0..300 {
        let far = 0.05 + 0.3 * f64::from(k);
        job.pulse(1e5 + least_time(far, RULE, 1e-4), 90.0 + far);
    }
    let (found, _) = job.found();
    assert!(found > 0.0 && found < 0.9 * RULE, "{found}");
}

/// Time from rest to a distance that is asked for: 0.2 % less, and 2e-5 mm.
fn asked(d: f64, accel: f64) -> f64 {
    0.998 * f64::sqrt(2.0 * (d - 2e-5) / accel)
}

// From a pulse 2 mm before a stop of 70 ticks to one 3 mm after it.
#[test]
fn the_time_across_a_stop() {
    let (before, after) = (1e-4, 3e-4);
    let least = asked(2.0, before) + 70.0 + asked(3.0, after);
    for missing in [-5.0, 0.5, 20.0] {
        let mut job = Job::new(before);
        job.pulse(1000.0, 8.0);
        job.enter(10.0, after, stop(70.0));
        job.pulse(1000.0 + least - missing, 13.0);
        let (_, found) = job.found();
        assert!(
            (found - f64::max(missing, 0.0)).abs() < 1e-9,
            "{missing} {found}"
        );
        let [_, told] = job.legs.results(0, WRITER);
        assert_eq!(told.pass, missing < 3.0);
        assert!(told.what.contains("(2 in all)"), "{told:?}");
    }
}

// A leg of 4 mm without a pulse between two stops: from rest on one side.
#[test]
fn the_time_across_two_stops() {
    let accel = 1e-4;
    let least = asked(2.0, accel) + 70.0 + asked(4.0, accel) + 30.0 + asked(3.0, accel);
    for missing in [0.5, 20.0] {
        let mut job = Job::new(accel);
        job.pulse(1000.0, 8.0);
        job.enter(10.0, accel, stop(70.0));
        job.enter(14.0, accel, stop(30.0));
        job.pulse(1000.0 + least - missing, 17.0);
        let (_, found) = job.found();
        assert!((found - missing).abs() < 1e-9, "{missing} {found}");
    }
}

// The job starts at rest at tick 0; a leg without a pulse, and a turn, follow.
#[test]
fn the_time_from_the_start() {
    let accel = 1e-4;
    let mut job = Job::new(accel);
    job.pulse(asked(3.0, accel) - 20.0, 3.0);
    assert!((job.found().1 - 20.0).abs() < 1e-9);
    let mut job = Job::new(accel);
    job.enter(5.0, accel, turn(true));
    job.pulse(1.0, 6.0);
    // After a turn nothing is asked for but what lies before it, and that had no pulse.
    assert_eq!(job.found().1, 0.0);
}

/// A pulse 1 mm from rest and one 6 mm from it, so much too close in time.
fn beside(missing: f64) -> f64 {
    let accel = 1e-4;
    let near = f64::sqrt(2.0 * (1.0 + 2e-5) / accel);
    asked(6.0, accel) - near - missing
}

#[test]
fn the_time_after_and_before_a_stop() {
    for missing in [0.5, 20.0] {
        let mut job = Job::new(1e-4);
        job.pulse(500.0, 1.0);
        job.pulse(500.0 + beside(missing), 6.0);
        assert!((job.found().1 - missing).abs() < 1e-9);
        // The same after one further on, passed at leisure.
        let mut job = Job::new(1e-4);
        job.pulse(500.0, 1.0);
        job.enter(10.0, 1e-4, stop(0.0));
        job.pulse(5000.0, 11.0);
        job.pulse(5000.0 + beside(missing), 16.0);
        assert!((job.found().1 - missing).abs() < 1e-9);
        // The same before one, and before the end.
        let before = || {
            let mut job = Job::new(1e-4);
            job.enter(1.0, 1e-4, turn(false));
            job.pulse(500.0, 4.0);
            job.pulse(500.0 + beside(missing), 9.0);
            job
        };
        let mut job = before();
        job.enter(10.0, 1e-4, stop(0.0));
        assert!((job.found().1 - missing).abs() < 1e-9);
        let mut job = before();
        job.legs.finish(10.0, &Here::default());
        assert!((job.found().1 - missing).abs() < 1e-9);
    }
}
