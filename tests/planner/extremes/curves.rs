//! Curves of short chords at the ends of the junction deviation, on machines far apart.

use super::judge;
use super::machines::controller;
use spokeshave::{Axis, Machine};
use spokeshave_tests::exact::mm;
use spokeshave_tests::job::Job;
use spokeshave_tests::shapes;

/// From the least that is more than nothing to the most that is allowed, mm.
const DEVIATIONS: [f32; 5] = [f32::MIN_POSITIVE, 1e-12, 1e-4, 0.02, 10.0];

#[test]
fn every_deviation_keeps_every_rule_on_a_curve() {
    for deviation in DEVIATIONS {
        for (steps_per_mm, acceleration_limit) in
            [(1.0, 50_000.0), (629.921, 300.0), (20_000.0, 1.0)]
        {
            let axis = Axis {
                steps_per_mm,
                speed_limit: 50.0,
                acceleration_limit,
            };
            let machine = Machine::new([axis; 2], controller(200_000_000, 1), deviation).unwrap();
            for (radius, chord) in [(0.3, 0.01), (2.0, 0.5)] {
                let path = shapes::circle(radius, chord);
                let mut job = Job::new(machine, mm(path[0]));
                for at in &path[1..] {
                    job.line(mm(*at), None, false);
                }
                judge::run(&job, &format!("{axis:?} {deviation} mm, {radius} mm"));
            }
        }
    }
}
