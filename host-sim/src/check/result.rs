//! What the checker hands back: one result a check, and the figures that a summary shows.

use crate::motion::{AXES, AXIS_NAMES, Point};

/// One check: its limit, the worst value found, where, and the verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckResult {
    /// Short name, the same for every axis.
    pub name: &'static str,
    /// What was checked and how, in a sentence.
    pub what: String,
    /// The limit, margin included, in `unit`. It is the least value allowed for `pulse period` and
    /// `direction setup`, the greatest for all others.
    pub limit: f64,
    /// The worst value found, in `unit`; NaN where there was nothing to measure.
    pub worst: f64,
    /// Unit of `limit` and `worst`.
    pub unit: &'static str,
    /// Axis of the worst value, 0 to 2.
    pub axis: Option<usize>,
    /// Line of the part program, from 1.
    pub line: Option<u32>,
    /// Time from the start of the job, s.
    pub time_s: Option<f64>,
    /// Where the motors stood, mm.
    pub position: Option<Point>,
    /// Within the limit.
    pub pass: bool,
}

/// All that the checker found.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// The checks, in the order in which they are shown.
    pub checks: Vec<CheckResult>,
    /// Highest speed measured on each axis, mm/s.
    pub peak_speed_mm_s: Point,
    /// Highest acceleration measured on each axis, mm/s², on straight stretches, bends and corners: a
    /// change of velocity over T = √(8·junction deviation/limit) or longer, divided by that time.
    pub peak_acceleration_mm_s2: Point,
    /// Pulses of each axis, both directions.
    pub steps: [u64; AXES],
    /// Steps forward less steps back, each axis.
    pub net: [i64; AXES],
    /// Where the motors stand at the end, mm.
    pub end_mm: Point,
}

impl Report {
    /// Every check passed.
    pub fn pass(&self) -> bool {
        self.checks.iter().all(|check| check.pass)
    }

    /// The checks that failed.
    pub fn failures(&self) -> impl Iterator<Item = &CheckResult> {
        self.checks.iter().filter(|check| !check.pass)
    }
}

/// Where the job is at a pulse: enough to tell a reader where to look.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Here {
    /// Line of the part program.
    pub line: u32,
    /// Time, ticks.
    pub tick: f64,
    /// Where the motors stand, mm.
    pub at: Point,
}

/// The worst value of one check so far, and where it was.
#[derive(Clone, Copy, Debug)]
pub(super) struct Worst {
    /// The value; minus infinity before the first.
    pub value: f64,
    /// Limit in force there.
    pub limit: f64,
    /// Axis, where one is to blame.
    pub axis: Option<usize>,
    /// Where.
    pub here: Option<Here>,
}

impl Worst {
    /// Nothing found yet.
    pub const NONE: Self = Self {
        value: f64::NEG_INFINITY,
        limit: f64::NAN,
        axis: None,
        here: None,
    };

    /// Takes the value when it is greater than all before.
    pub fn raise(&mut self, value: f64, limit: f64, axis: Option<usize>, here: &Here) {
        if value > self.value {
            *self = Self {
                value,
                limit,
                axis,
                here: Some(*here),
            };
        }
    }
}

/// Makes results: knows the length of a tick.
#[derive(Clone, Copy, Debug)]
pub(super) struct Writer {
    /// Timer rate, Hz.
    pub hz: f64,
}

impl Writer {
    /// A result from its figures; `found` gives axis and place.
    pub fn result(
        &self,
        name: &'static str,
        what: String,
        (limit, worst, unit): (f64, f64, &'static str),
        found: &Worst,
        pass: bool,
    ) -> CheckResult {
        CheckResult {
            name,
            what,
            limit,
            worst: if worst.is_finite() { worst } else { f64::NAN },
            unit,
            axis: found.axis,
            line: found.here.map(|here| here.line),
            time_s: found.here.map(|here| here.tick / self.hz),
            position: found.here.map(|here| here.at),
            pass,
        }
    }
}

/// Name of an axis in a sentence, in capitals.
pub(super) fn axis_name(axis: usize) -> char {
    AXIS_NAMES[axis].to_ascii_uppercase()
}

#[cfg(test)]
mod tests;
