//! Machines of our own that more than one check uses.

use spokeshave::{Axis, Controller, Machine};

/// A controller with a 1 MHz timer and drivers that take 200 000 steps a second.
pub const CONTROLLER: Controller = Controller {
    timer_hz: 1_000_000,
    pulse_width: 2e-6,
    pulse_period: 5e-6,
    direction_setup: 5e-6,
    ramp_time: 0.01,
};

/// An axis that speeds up quickly.
pub const QUICK: Axis = Axis {
    steps_per_mm: 100.0,
    speed_limit: 100.0,
    acceleration_limit: 2_000.0,
};

/// Three axes of one resolution, with these speed (mm/s) and acceleration limits (mm/s²).
///
/// # Panics
/// Where the numbers do not make a machine.
pub fn router(steps_per_mm: f64, speeds: [f32; 3], accelerations: [f32; 3]) -> Machine<3> {
    let axes = std::array::from_fn(|i| Axis {
        steps_per_mm,
        speed_limit: speeds[i],
        acceleration_limit: accelerations[i],
    });
    Machine::new(axes, CONTROLLER, 0.02).expect("a valid machine")
}

/// A quick router with belts.
pub fn belts() -> Machine<3> {
    router(80.0, [133.0, 100.0, 20.0], [500.0, 400.0, 150.0])
}

/// A heavier router with screws.
pub fn screws() -> Machine<3> {
    router(400.0, [50.0, 50.0, 20.0], [300.0, 250.0, 100.0])
}

/// One axis.
///
/// # Panics
/// Where the numbers do not make a machine.
pub fn single(timer_hz: u32, steps_per_mm: f64, speed: f32, acceleration: f32) -> Machine<1> {
    let axis = Axis {
        steps_per_mm,
        speed_limit: speed,
        acceleration_limit: acceleration,
    };
    let controller = Controller {
        timer_hz,
        ..CONTROLLER
    };
    Machine::new([axis], controller, 0.02).expect("a valid machine")
}
