//! Inputs shared by the benchmarks.

pub mod floor;
pub mod merged;
pub mod textbook;

use spokeshave::{Axis, Controller, Coordinate, Machine, Point};

/// A belt router: 80 steps/mm, 500 mm/s², 1 MHz timer.
///
/// # Panics
/// Never: the numbers are good.
pub fn belt_router() -> Machine<3> {
    let axis = |steps_per_mm, speed_limit, acceleration_limit| Axis {
        steps_per_mm,
        speed_limit,
        acceleration_limit,
    };
    let controller = Controller {
        timer_hz: 1_000_000,
        pulse_width: 2e-6,
        pulse_period: 5e-6,
        direction_setup: 5e-6,
        ramp_time: 0.01,
    };
    let axes = [
        axis(80.0, 133.0, 500.0),
        axis(80.0, 100.0, 400.0),
        axis(400.0, 20.0, 150.0),
    ];
    Machine::new(axes, controller, 0.02).expect("a good machine")
}

/// A wavy path of `count` moves of `step` mm that never ends a turn: all three axes move.
///
/// # Panics
/// Where the path leaves the range of a coordinate, which takes moves of metres.
pub fn wave(count: usize, step: f64) -> Vec<Point<3>> {
    let mut at = [0.0_f64; 3];
    (1..=count)
        .map(|i| {
            let heading = 1.2 * (i as f64 * step / 7.0).sin();
            at[0] += step * heading.cos();
            at[1] += step * heading.sin();
            at[2] = 2.0 * (i as f64 * step / 31.0).sin();
            at.map(|mm| Coordinate::from_mm(mm).expect("within ±16 m"))
        })
        .collect()
}
