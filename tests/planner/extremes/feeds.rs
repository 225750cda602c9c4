//! The slowest feed and the fastest, and a step at every tick.

use super::judge::{self, room, trapezoid};
use super::machines::{TIMERS, controller};
use spokeshave::{Axis, Machine, Pulse};
use spokeshave_tests::exact::mm;
use spokeshave_tests::job::Job;

/// 0.001 mm/s and 10 000 mm/s on a machine of 1 m/s: the one is kept, the other is more than the axis
/// has. At every timer, on a coarse axis and on a fine one.
#[test]
fn the_slowest_and_the_fastest_feed_are_kept() {
    for timer in TIMERS {
        for resolution in [1.0, 20_000.0] {
            let fastest = 0.9 * f64::from(timer) / resolution;
            let axis = Axis {
                steps_per_mm: resolution,
                speed_limit: fastest.min(1_000.0) as f32,
                acceleration_limit: 5_000.0,
            };
            let machine = Machine::new([axis], controller(timer, 1), 0.02).unwrap();
            for (feed, way) in [(0.001, 0.01), (10_000.0, 2.0 + 1000.0 / resolution)] {
                let mut job = Job::new(machine, mm([0.0]));
                job.line(mm([way]), Some(feed), false);
                let what = format!("{axis:?} {timer} Hz {feed} mm/s");
                let done = judge::run(&job, &what);
                let (h, v, a) = (
                    job.end()[0].mm(),
                    f64::from(feed.min(axis.speed_limit)),
                    f64::from(axis.acceleration_limit),
                );
                let off = (done.time - trapezoid(h, v, a)).abs();
                assert!(off <= room(&machine, h, v, a), "{what}: {off} s");
            }
        }
    }
}

/// As fast as a timer can: a step at each of its ticks, on the slowest and on the fastest where the finest
/// axis may be as fast as that.
#[test]
fn a_step_at_every_tick() {
    for timer in [10_000, 1_000_000, 40_000_000] {
        let axis = Axis {
            steps_per_mm: 20_000.0,
            speed_limit: timer as f32 / 20_000.0,
            acceleration_limit: 50_000.0_f32.min(timer as f32 / 200.0),
        };
        let machine = Machine::new([axis], controller(timer, 1), 0.02).unwrap();
        let (v, a) = (
            f64::from(axis.speed_limit),
            f64::from(axis.acceleration_limit),
        );
        let mut job = Job::new(machine, mm([0.0]));
        // Twice as long as speeding up and braking take, and a second at most.
        job.line(mm([(2.0 * v * v / a).min(v)]), None, false);
        let what = format!("{timer} Hz");
        let done = judge::run(&job, &what);
        let h = job.end()[0].mm();
        let off = (done.time - trapezoid(h, v, a)).abs();
        assert!(off <= room(&machine, h, v, a), "{what}: {off} s");
        let next = |pair: &&[Pulse]| pair[1].tick - pair[0].tick == 1;
        let at_once = done.pulses.windows(2).filter(next).count();
        assert!(3 * at_once > done.pulses.len(), "{what}: {at_once}");
    }
}

/// A driver that takes a step in 10 ms, 2 000 000 ticks of the fastest timer, which single precision has to 0.12
/// ticks. At a speed limit that is too high by as little as a machine takes for rounding, not one step comes a
/// tick too soon: steps are late.
#[test]
fn the_longest_period_on_the_fastest_timer_is_kept() {
    let axis = Axis {
        steps_per_mm: 1.0,
        speed_limit: 100.000_09,
        acceleration_limit: 50_000.0,
    };
    let period = 2_000_000;
    let machine = Machine::new([axis], controller(200_000_000, period), 0.02).unwrap();
    let mut job = Job::new(machine, mm([0.0]));
    job.line(mm([500.0]), None, false);
    let done = judge::run(&job, "10 ms");
    let least = done
        .pulses
        .windows(2)
        .map(|pair| pair[1].tick - pair[0].tick);
    assert_eq!(least.min(), Some(period.into()));
}
