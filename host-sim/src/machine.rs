//! A machine as its file describes it: plain numbers in mm and s, axes in the order x, y, z.

use crate::motion::{AXES, Point};

/// A machine, read from its file.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    /// Name for titles and reports.
    pub name: String,
    /// Junction deviation, mm, more than 0.
    pub junction_deviation_mm: f64,
    /// How far a chord may lie from the arc it stands for, mm, more than 0.
    pub chord_tolerance_mm: f64,
    /// Capacity of the look-ahead queue, moves.
    pub look_ahead: usize,
    /// The controller that makes the pulses.
    pub controller: Controller,
    /// The axes x, y, z.
    pub axes: [Axis; AXES],
    /// Where the zero of each work offset G54 to G59 lies in machine coordinates, mm.
    pub work_zero_mm: [Point; 6],
}

/// The controller and its drivers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Controller {
    /// Rate of the step timer, Hz.
    pub timer_hz: u32,
    /// Width of a step pulse, s.
    pub pulse_width_s: f64,
    /// Shortest time from one step of an axis to its next, s.
    pub pulse_period_s: f64,
    /// How long a direction line must stand before a step, s. It may change once the pulse of the
    /// last step is over, so steps in opposite directions lie at least
    /// max(`pulse_period_s`, `pulse_width_s` + `direction_setup_s`) apart.
    pub direction_setup_s: f64,
}

/// One axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// Resolution, steps/mm.
    pub steps_per_mm: f64,
    /// Speed limit, mm/s.
    pub speed_limit_mm_s: f64,
    /// Acceleration limit, mm/s².
    pub acceleration_limit_mm_s2: f64,
    /// Travel limits, mm, lower and upper, in machine coordinates.
    pub travel_mm: [f64; 2],
}
