//! A machine for the tests of the library's parts.

use crate::axis::Axis;
use crate::machine::{Controller, Machine};

pub(crate) const CONTROLLER: Controller = Controller {
    timer_hz: 1_000_000,
    pulse_width: 2e-6,
    pulse_period: 5e-6,
    direction_setup: 5e-6,
    ramp_time: 0.01,
};

/// Axes of 100 steps/mm and 500 mm/s², as fast as said, mm/s.
pub(crate) fn machine<const N: usize>(controller: Controller, speed_limit: f32) -> Machine<N> {
    let axis = Axis {
        steps_per_mm: 100.0,
        speed_limit,
        acceleration_limit: 500.0,
    };
    Machine::new([axis; N], controller, 0.02).unwrap()
}
