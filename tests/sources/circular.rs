//! A circle from its pulses.
//!
//! Source: ISO 230-4, circular tests: the radial deviation F is between the actual path and the
//! nominal circle about the nominal centre; the circular deviation G is the least distance of
//! two concentric circles that hold the actual path, so that their distance about the nominal
//! centre is no less than G (from memory).

use spokeshave::{Arc, Coordinate, Turn};
use spokeshave_tests::exact::mm;
use spokeshave_tests::job::Job;
use spokeshave_tests::rules::norm;
use spokeshave_tests::{
    machines,
    run::{self, Pulses},
};

const RADIUS: f64 = 20.0;
const TOLERANCE: f64 = 0.002;

/// Least and most radius of the stairs that the pulses make, about the nominal centre.
fn radii(turn: Turn, feed: f32) -> (f64, f64) {
    let machine = machines::belts();
    let step = 1.0 / machine.axes()[0].steps_per_mm;
    let start = mm([RADIUS, 0.0, 0.0]);
    let centre = [Coordinate::ZERO; 2];
    let arc = Arc::new(start, start, (0, 1), centre, turn, 1, TOLERANCE as f32).unwrap();
    let mut job = Job::new(machine, start);
    for point in arc {
        job.line(point, Some(feed), false);
    }
    let mut pulses = Pulses::new(&machine, start);
    let mut at = pulses.generator.position();
    let ramps = run::ramps::<3, 64>(&job, 64);
    let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
    let mut see = |at: [i32; 3]| {
        let radius = norm(&[f64::from(at[0]) * step, f64::from(at[1]) * step]);
        least = least.min(radius);
        most = most.max(radius);
    };
    see(at);
    for pulse in pulses.all(&ramps) {
        // Both corners of the stair: an axis that steps first makes one, and then the other.
        for (axis, position) in at.iter_mut().enumerate() {
            *position += i32::from(pulse.step(axis));
        }
        see(at);
    }
    assert_eq!(at, [(RADIUS / step) as i32, 0, 0]);
    (least, most)
}

#[test]
fn a_circle_keeps_the_tolerance_and_its_steps_both_ways() {
    let machine = machines::belts();
    let step = 1.0 / machine.axes()[0].steps_per_mm;
    for turn in [Turn::Clockwise, Turn::CounterClockwise] {
        for feed in [2.0, 30.0, 90.0] {
            let (least, most) = radii(turn, feed);
            // Each of two axes is at most 9/16 step (half, and 1/16 of hysteresis) from the point
            // that the plan is at, a pulse at most a tick from its time, a coordinate 2⁻¹⁸ mm from
            // its number; the point is on a chord, at most the tolerance inside the circle.
            let tick = f64::from(feed) / f64::from(machine.controller().timer_hz);
            let off = 2_f64.sqrt() * (9.0 / 16.0 * step + 1.0 / 262_144.0) + tick;
            assert!(most <= RADIUS + off, "{turn:?} {feed}: {most}");
            assert!(
                least >= RADIUS - TOLERANCE - off,
                "{turn:?} {feed}: {least}"
            );
            println!(
                "{turn:?} at {feed} mm/s: radial {:+.4} {:+.4} mm, circular {:.4} mm",
                least - RADIUS,
                most - RADIUS,
                most - least
            );
            let circular = most - least;
            assert!(
                circular <= TOLERANCE + 2.0 * off,
                "{turn:?} {feed}: {circular}"
            );
        }
    }
}
