//! A machine as its file describes it: plain numbers in mm and s, axes in the order x, y, z.

use crate::motion::{AXES, Point};

/// A machine, read from its file.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    /// Name for titles and reports.
    pub name: String,
    /// Junction deviation, mm: 0.0005 to 1.
    pub junction_deviation_mm: f64,
    /// How far a chord may lie from the arc it stands for, mm: 0.0001 to 1.
    pub chord_tolerance_mm: f64,
    /// Capacity of the look-ahead queue, moves: 2 to 16 384.
    pub look_ahead: usize,
    /// The controller that makes the pulses.
    pub controller: Controller,
    /// The axes x, y, z.
    pub axes: [Axis; AXES],
    /// Where the zero of each work offset G54 to G59 lies in machine coordinates, mm. The zero of
    /// G54 lies inside the travel of every axis, and so does every other that the file gives.
    pub work_zero_mm: [Point; 6],
}

/// The controller and its drivers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Controller {
    /// Rate of the step timer, Hz: 10 kHz to 200 MHz.
    pub timer_hz: u32,
    /// Width of a step pulse, s: 50 ns to 1 ms, less than the period.
    pub pulse_width_s: f64,
    /// Shortest time from one step of an axis to its next, s: 100 ns to 10 ms.
    pub pulse_period_s: f64,
    /// How long a direction line must stand before a step, s: 0 to 1 ms. It may change once the
    /// pulse of the last step is over, so steps in opposite directions lie at least
    /// max(`pulse_period_s`, `pulse_width_s` + `direction_setup_s`) apart.
    pub direction_setup_s: f64,
}

/// One axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// Resolution, steps/mm: 0.1 to 20 000.
    pub steps_per_mm: f64,
    /// Speed limit, mm/s: 0.01 to 2 000, and so that the steps at this speed lie no closer than
    /// `pulse_period_s` rounded up to whole timer ticks, and than two ticks.
    pub speed_limit_mm_s: f64,
    /// Acceleration limit, mm/s²: 1 to 50 000.
    pub acceleration_limit_mm_s2: f64,
    /// Travel limits, mm, lower and upper, in machine coordinates: -10 000 to 10 000, the upper
    /// above the lower.
    pub travel_mm: [f64; 2],
    /// Backlash, mm: 0 to 5. How far the motor turns after a reversal before the axis follows.
    pub backlash_mm: f64,
}
