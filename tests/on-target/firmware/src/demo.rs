//! A machine where it does not matter which; invented.

use spokeshave::{Axis, Controller};

/// Each axis.
pub const AXIS: Axis = Axis {
    steps_per_mm: 80.0,
    speed_limit: 100.0,
    acceleration_limit: 500.0,
};

/// Its controller.
pub const CONTROLLER: Controller = Controller {
    timer_hz: 1_000_000,
    pulse_width: 2e-6,
    pulse_period: 5e-6,
    direction_setup: 5e-6,
    ramp_time: 0.01,
};
