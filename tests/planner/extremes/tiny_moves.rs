//! Moves that are shorter than a coordinate, a step or a tick can tell, by the thousand.

use super::judge;
use super::machines::{RESOLUTIONS, TIMERS, controller};
use spokeshave::{Axis, Coordinate, Machine};
use spokeshave_tests::job::Job;

fn machine(steps_per_mm: f64, timer: u32) -> Machine<3> {
    let axis = Axis {
        steps_per_mm,
        // Half of what one step a tick allows.
        speed_limit: (0.5 * f64::from(timer) / steps_per_mm).min(200.0) as f32,
        acceleration_limit: 500.0,
    };
    Machine::new([axis; 3], controller(timer, 1), 0.02).unwrap()
}

/// A job through points that `at` gives in mm.
fn job(machine: Machine<3>, moves: u32, feed: Option<f32>, at: impl Fn(f64) -> [f64; 3]) -> Job<3> {
    let point = |k: u32| at(k.into()).map(|mm| Coordinate::from_mm(mm).unwrap());
    let mut job = Job::new(machine, point(0));
    for k in 1..=moves {
        job.line(point(k), feed, false);
    }
    job
}

/// 1 nm is less than a coordinate tells (7.6 nm): most such moves go nowhere, and are no moves. What
/// they add up to is kept all the same, from a start that no coordinate hits, and far out.
#[test]
fn nanometres_add_up() {
    for resolution in RESOLUTIONS {
        for timer in TIMERS {
            let machine = machine(resolution, timer);
            for start in [0.000_123_4, -9_999.5] {
                let at = |k: f64| [start + 1e-6 * k, 1e-6 * k, -1e-6 * k];
                let job = job(machine, 10_000, None, at);
                // 0.01 mm of 1/131 072 mm each.
                assert!(
                    (1_300..4_000).contains(&job.moves.len()),
                    "{}",
                    job.moves.len()
                );
                judge::run(&job, &format!("{resolution} {timer} {start}"));
            }
        }
    }
}

/// A curve in moves of one count, and a zigzag of one count to each side, at the feeds' ends too.
#[test]
fn single_counts_add_up() {
    let count = 1.0 / f64::from(Coordinate::PER_MM);
    for resolution in RESOLUTIONS {
        for timer in TIMERS {
            let machine = machine(resolution, timer);
            for feed in [Some(0.001), Some(10_000.0), None] {
                let what = format!("{resolution} {timer} {feed:?}");
                // 0.001 mm/s is 131 counts a second.
                let moves = if feed == Some(0.001) { 300 } else { 3_000 };
                let curve = |k: f64| [k.floor(), (0.1 * k).floor(), (1e-4 * k * k).floor()];
                let zigzag = |k: f64| [k, k % 2.0, 0.0];
                let curve = job(machine, moves, feed, |k| curve(k).map(|x| x * count));
                let zigzag = job(machine, moves, feed, |k| zigzag(k).map(|x| x * count));
                judge::run(&curve, &what);
                judge::run(&zigzag, &what);
            }
        }
    }
}
