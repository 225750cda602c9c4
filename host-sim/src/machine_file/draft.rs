//! A machine with the parts behind its axes, and one whose limits are yet to be found.

use crate::machine::{Controller, Machine};
use crate::motion::AXES;
use crate::parts::{Driven, Parts};

/// A machine file, with drives, loads and motors.
#[derive(Clone, Debug, PartialEq)]
pub struct WithParts {
    /// What the planner needs.
    pub machine: Machine,
    /// The parts of the axes x, y, z; none for an axis that gives its bare resolution.
    pub parts: [Option<Parts>; AXES],
    /// How many times the torque that a job asks for the motors must have: 1 to 20.
    pub stall_margin: f64,
}

impl WithParts {
    /// Drive, load and motor of the axis 0, 1 or 2, where the file gives all three.
    pub fn driven(&self, axis: usize) -> Option<Driven> {
        self.parts.get(axis)?.as_ref()?.driven()
    }
}

/// A machine file in which limits of speed and acceleration may be missing.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// Name for titles and reports.
    pub name: String,
    /// Junction deviation, mm.
    pub junction_deviation_mm: f64,
    /// The controller that makes the pulses.
    pub controller: Controller,
    /// The axes x, y, z.
    pub axes: [DraftAxis; AXES],
    /// Their parts.
    pub parts: [Option<Parts>; AXES],
    /// How many times the torque that a job asks for the motors must have: 1 to 20.
    pub stall_margin: f64,
}

/// One axis of it; see [`Axis`](crate::machine::Axis).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DraftAxis {
    /// Resolution, steps/mm.
    pub steps_per_mm: f64,
    /// Speed limit, mm/s.
    pub speed_limit_mm_s: Option<f64>,
    /// Acceleration limit, mm/s².
    pub acceleration_limit_mm_s2: Option<f64>,
    /// Travel limits, mm, lower and upper.
    pub travel_mm: [f64; 2],
    /// Backlash, mm.
    pub backlash_mm: f64,
}
