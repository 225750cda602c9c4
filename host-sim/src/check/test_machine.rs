//! A machine for the tests of this module, with numbers that are easy to reckon with.

use crate::machine::{Axis, Controller, Machine};

/// A timer of 1 kHz; 1 mm a step; 50, 60 and 20 mm/s, and 500, 400 and 200 mm/s². No pulse need wait.
pub(super) fn machine() -> Machine {
    let axis = |speed_limit_mm_s, acceleration_limit_mm_s2| Axis {
        steps_per_mm: 1.0,
        speed_limit_mm_s,
        acceleration_limit_mm_s2,
        travel_mm: [-1000.0, 1000.0],
        backlash_mm: 0.0,
    };
    Machine {
        name: "a machine of round numbers".into(),
        junction_deviation_mm: 0.02,
        chord_tolerance_mm: 0.005,
        look_ahead: 32,
        controller: Controller {
            timer_hz: 1000,
            pulse_width_s: 1e-6,
            pulse_period_s: 1e-6,
            direction_setup_s: 1e-6,
        },
        axes: [axis(50.0, 500.0), axis(60.0, 400.0), axis(20.0, 200.0)],
        work_zero_mm: [[0.0; 3]; 6],
    }
}
