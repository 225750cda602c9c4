//! What a pulse costs to check: run by hand, as timing is no test.
//! `cargo test --release -p spokeshave-tests --test checker -- --ignored --nocapture cost`

use crate::machines::{SQUARE, circle, machine};
use crate::maker::{Breach, Job};
use std::time::Instant;

#[test]
#[ignore = "prints a time, asserts nothing of it"]
fn cost_of_a_pulse() {
    let lap = |points: Vec<[f64; 3]>| {
        points
            .iter()
            .cycle()
            .take(points.len() * 2)
            .copied()
            .collect::<Vec<_>>()
    };
    for (name, path, feed) in [
        ("squares, 80 steps/mm", lap(SQUARE.to_vec()), 80.0),
        ("squares, 400 steps/mm", lap(SQUARE.to_vec()), 400.0),
        (
            "circles in chords of 0.5 mm, 400 steps/mm",
            lap(circle(20.0, 0.5)),
            400.0,
        ),
        (
            "circles in chords of 0.1 mm, 400 steps/mm",
            lap(circle(20.0, 0.1)),
            400.0,
        ),
        (
            "circles in chords of 0.02 mm, 400 steps/mm",
            lap(circle(20.0, 0.02)),
            400.0,
        ),
        (
            "space, 400 steps/mm",
            lap(vec![[0.0; 3], [40.0, 30.0, 10.0], [3.0, 20.0, 2.0]]),
            400.0,
        ),
    ] {
        let job = Job::new(machine(feed, 1_000_000), &path, Some(40.0));
        let steps = job.steps(&Breach::default());
        let pulses = job.pulses(&steps);
        let mut best = f64::INFINITY;
        for _ in 0..60 {
            let start = Instant::now();
            let report = job.check_pulses(&pulses);
            best = best.min(start.elapsed().as_secs_f64());
            assert!(
                report.pass(),
                "{:#?}",
                report.failures().collect::<Vec<_>>()
            );
        }
        let (pulses, pieces) = (steps.len() as f64, path.len() as f64);
        println!(
            "{name}: {:.1} ns a pulse ({pulses} pulses, {:.1} a piece)",
            best * 1e9 / pulses,
            pulses / pieces
        );
    }
}
