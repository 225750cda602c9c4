//! Why a job cannot be done on a machine.

use super::reach::Excess;
use crate::jobs_file::Job;
use crate::machine::Machine;
use crate::motion::AXIS_NAMES;
use crate::program::travel::mm;
use crate::summary::{Check, Summary};
use crate::terminal::{check_limit, check_name, check_worst};
use serde::Serialize;

/// Why a job cannot be done on a machine, with the numbers.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "reason", rename_all = "snake_case")]
pub enum Misfit {
    /// A program leaves the travel of an axis.
    Travel {
        /// The program.
        program: String,
        /// Where.
        #[serde(flatten)]
        excess: Excess,
    },
    /// The material is larger than the travel.
    Material {
        /// The axis.
        axis: char,
        /// Size of the material along it, mm.
        material_mm: f64,
        /// Length of the travel, mm.
        travel_mm: f64,
    },
    /// A program cannot be planned for the machine.
    Refused {
        /// The program.
        program: String,
        /// The line of it.
        line: u32,
        /// Why.
        cause: String,
    },
    /// A check of the pulses fails.
    Check {
        /// The program.
        program: String,
        /// The check, with its axis.
        check: String,
        /// Worst value and limit in `unit`.
        worst: Option<f64>,
        /// The limit.
        limit: Option<f64>,
        /// Unit of both.
        unit: &'static str,
        /// The line with the worst value.
        line: Option<u32>,
        /// The same as people read it.
        #[serde(skip)]
        shown: String,
    },
}

impl Misfit {
    /// What is larger than the machine.
    pub(super) fn of_material(job: &Job, machine: &Machine) -> Vec<Self> {
        let Some(material) = job.material_mm else {
            return Vec::new();
        };
        let axes = AXIS_NAMES.into_iter().zip(material).zip(&machine.axes);
        axes.filter_map(|((axis, material_mm), limits)| {
            let [lower, upper] = limits.travel_mm;
            let travel_mm = upper - lower;
            (material_mm > travel_mm).then_some(Self::Material {
                axis,
                material_mm,
                travel_mm,
            })
        })
        .collect()
    }

    /// The checks that a run failed.
    pub fn of_checks(summary: &Summary) -> Vec<Self> {
        let failed = summary.checks.iter().filter(|check| !check.pass);
        let one = |check: &Check| Self::Check {
            program: summary.program.clone(),
            check: check_name(check),
            worst: check.worst,
            limit: check.limit,
            unit: check.unit,
            line: check.line,
            shown: format!(
                "{}, {} {}",
                check_worst(check),
                check_limit(check),
                check.shown(0.0).1
            ),
        };
        failed.map(one).collect()
    }

    /// It, in words.
    pub fn words(&self) -> String {
        match self {
            Self::Travel { program, excess } => format!("{program}, {}", excess.words()),
            Self::Material {
                axis,
                material_mm,
                travel_mm,
            } => format!(
                "the material is {} mm long in {axis}, and the travel {} mm",
                mm(*material_mm),
                mm(*travel_mm)
            ),
            Self::Refused {
                program,
                line,
                cause,
            } => format!("{program} is refused, line {line}: {cause}"),
            Self::Check {
                program,
                check,
                line,
                shown,
                ..
            } => {
                let line = line.map_or(String::new(), |line| format!(", line {line}"));
                format!("{program}{line}: the check of {check} fails: {shown}")
            }
        }
    }
}
