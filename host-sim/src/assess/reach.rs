//! How far a program goes on each axis, and whether that is within the travel.

use crate::input_error::InputError;
use crate::job_time::JobTime;
use crate::machine::Machine;
use crate::motion::{AXES, AXIS_NAMES, Action, Point};
use crate::program::travel::{beyond, extremes, mm};
use crate::program::{self, Settings};
use serde::Serialize;
use std::path::Path;

/// A position on an axis, and the line that goes there.
#[derive(Clone, Copy)]
struct Furthest {
    at_mm: f64,
    line: u32,
}

/// The ends of what a program covers, in machine coordinates.
pub(super) struct Reach {
    /// Items of the program.
    pub items: u64,
    /// What they ask for.
    pub asked: JobTime,
    lower: [Furthest; AXES],
    upper: [Furthest; AXES],
}

impl Reach {
    /// Reads the whole program as it is read for `machine`, but without the ends of its travel.
    ///
    /// # Errors
    /// What the reader refuses on any machine with these work zeros.
    pub fn of(program: &Path, machine: &Machine) -> Result<Self, InputError> {
        let mut settings = Settings::for_machine(machine);
        settings.travel_mm = None;
        let start = settings.start.map(|at_mm| Furthest { at_mm, line: 1 });
        let mut reach = Self {
            items: 0,
            asked: JobTime::default(),
            lower: start,
            upper: start,
        };
        for item in program::open(program, settings)? {
            let item = item?;
            reach.items += 1;
            reach.asked.item(&item);
            if let Action::Move(leg) = &item.action {
                extremes(leg).for_each(|point| reach.take_in(&point, item.line));
            }
        }
        Ok(reach)
    }

    fn take_in(&mut self, point: &Point, line: u32) {
        for (axis, &at_mm) in point.iter().enumerate() {
            if at_mm < self.lower[axis].at_mm {
                self.lower[axis] = Furthest { at_mm, line };
            }
            if at_mm > self.upper[axis].at_mm {
                self.upper[axis] = Furthest { at_mm, line };
            }
        }
    }

    /// Where it leaves the travel of `machine`: one for each axis and end.
    pub fn excesses(&self, machine: &Machine) -> Vec<Excess> {
        let mut found = Vec::new();
        for (axis, name) in AXIS_NAMES.into_iter().enumerate() {
            let travel_mm = machine.axes[axis].travel_mm;
            let (lower, upper) = (self.lower[axis], self.upper[axis]);
            // A job starts inside the travel, so each end can only leave it on its own side.
            for end in [lower, upper] {
                if let Some(beyond_mm) = beyond(end.at_mm, travel_mm) {
                    found.push(Excess {
                        axis: name,
                        at_mm: end.at_mm,
                        line: end.line,
                        beyond_mm,
                        travel_mm,
                        spans_mm: upper.at_mm - lower.at_mm,
                    });
                }
            }
        }
        found
    }
}

/// A program leaves the travel of an axis.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Excess {
    /// The axis.
    pub axis: char,
    /// How far the program goes, machine coordinates, mm.
    pub at_mm: f64,
    /// The first line that goes there.
    pub line: u32,
    /// How far beyond the end of the travel that is, mm.
    pub beyond_mm: f64,
    /// The travel of the axis, mm.
    pub travel_mm: [f64; 2],
    /// What the program covers of the axis in all, mm.
    pub spans_mm: f64,
}

impl Excess {
    /// It, in words.
    pub fn words(&self) -> String {
        let [lower, upper] = self.travel_mm;
        let [at, beyond, lower_end, upper_end, spans, travel] = [
            self.at_mm,
            self.beyond_mm,
            lower,
            upper,
            self.spans_mm,
            upper - lower,
        ]
        .map(mm);
        let axis = self.axis;
        format!(
            "line {} goes to {axis} = {at} mm, {beyond} mm beyond the travel of {lower_end} to {upper_end} mm; \
             in all it covers {spans} mm of {axis}, and the travel is {travel} mm long",
            self.line
        )
    }
}
