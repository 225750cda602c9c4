//! What a check of a capture finds, as data.

use super::arguments::Check as Arguments;
use super::clock::Clock;
use super::judge::{Judged, Stream};
use crate::capture::PS;
use crate::check::CheckResult;
use crate::machine::Machine;
use crate::motion::{AXES, AXIS_NAMES};
use crate::summary::{ByAxis, Check, Peak};
use serde::Serialize;

/// A motor and its lines in the capture.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[allow(missing_docs)]
pub struct Wired {
    pub axis: char,
    pub step: String,
    pub direction: String,
}

/// What was found. The names are those of `--json`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Found {
    /// Name of the capture.
    pub capture: String,
    /// What kind of file it is.
    pub format: &'static str,
    /// Name of the part program.
    pub program: String,
    /// Name of the machine.
    pub machine: String,
    /// The motors, and their lines.
    pub motors: Vec<Wired>,
    /// First and last change of a line, in the time of the capture, s.
    pub reach_s: Option<[f64; 2]>,
    /// Steps counted, both ways.
    pub steps: ByAxis<u64>,
    /// Steps in the plan of the same program.
    pub planned_steps: ByAxis<u64>,
    /// Where the motors stand at the end, mm.
    pub end_mm: ByAxis<f64>,
    /// Peaks measured on each axis beside its limits, in the time that is judged.
    pub peaks: ByAxis<Peak>,
    /// The controller's clock against the plan; none where there are too few steps.
    pub clock: Option<Clock>,
    /// What the clocks may differ by, ppm: times are judged so much longer.
    pub clock_tolerance_ppm: f64,
    /// What edges may come late, as told.
    pub lateness_us: f64,
    /// What times were put right by, ppm.
    pub clock_error_ppm: f64,
    /// The checks; times are those of the capture.
    pub checks: Vec<Check>,
    /// What should be known of the capture and the program.
    pub notes: Vec<String>,
}

impl Found {
    pub(super) fn new(
        [capture, program]: [String; 2],
        machine: &Machine,
        (format, motors, seen): (&'static str, Vec<Wired>, [bool; AXES]),
        judged: Judged,
        arguments: &Arguments,
        mut notes: Vec<String>,
    ) -> Self {
        let report = &judged.report;
        let peaks = std::array::from_fn(|i| Peak {
            speed_mm_s: report.peak_speed_mm_s[i],
            speed_limit_mm_s: machine.axes[i].speed_limit_mm_s,
            acceleration_mm_s2: report.peak_acceleration_mm_s2[i],
            acceleration_limit_mm_s2: machine.axes[i].acceleration_limit_mm_s2,
        });
        notes.extend(of_capture(&judged, seen));
        let ticks = matches!(judged.stream, Stream::Ticks(_));
        let reach = match &judged.stream {
            Stream::Lines(both) => both.0.reach(),
            Stream::Ticks(_) => None,
        };
        let (steps, end) = (report.steps, report.end_mm);
        Self {
            capture,
            format,
            program,
            machine: machine.name.clone(),
            motors,
            reach_s: reach.map(|(from, to)| [from, to].map(|ps| ps as f64 / PS)),
            steps: steps.into(),
            planned_steps: judged.planned.into(),
            end_mm: end.into(),
            peaks: ByAxis::from(peaks),
            clock: judged.clock,
            lateness_us: arguments.lateness * 1e6,
            clock_tolerance_ppm: if ticks {
                0.0
            } else {
                arguments.clock_tolerance * 1e6
            },
            clock_error_ppm: arguments.clock_error * 1e6,
            checks: checks(judged).into_iter().map(Check::from).collect(),
            notes,
        }
    }

    /// As JSON.
    pub fn json(&self) -> String {
        // Only a map with keys that are no strings could fail.
        serde_json::to_string_pretty(self).expect("what was found is plain data") + "\n"
    }

    /// All limits hold.
    pub fn pass(&self) -> bool {
        self.checks.iter().all(|check| check.pass)
    }
}

/// The checks of the lines in place of those that count ticks, and all times in that of the capture.
fn checks(judged: Judged) -> Vec<CheckResult> {
    let timing = judged.timing;
    let mut checks = judged.report.checks;
    let Some(lines) = judged.lines else {
        return checks;
    };
    for check in &mut checks {
        check.time_s = check.time_s.map(|time| timing.in_capture(time));
    }
    let coarse = |check: &CheckResult| matches!(check.name, "pulse period" | "direction setup");
    let at = checks.iter().position(coarse).unwrap_or(checks.len());
    checks.retain(|check| !coarse(check));
    checks.splice(at..at, lines);
    checks
}

/// What a reader should know before the verdict.
fn of_capture(judged: &Judged, seen: [bool; AXES]) -> Vec<String> {
    let mut notes = Vec::new();
    for axis in (0..AXES).filter(|axis| !seen[*axis]) {
        notes.push(format!(
            "{} has no lines in the capture: it is taken not to move",
            AXIS_NAMES[axis]
        ));
    }
    if let Stream::Lines(both) = &judged.stream {
        for line in both.0.unfinished() {
            notes.push(format!(
                "the capture ends in a pulse of {line}: it is counted as a step"
            ));
        }
        for line in both.0.mostly_on() {
            notes.push(format!(
                "{line} is on for most of the time: if it is low in a pulse, say --inverted {line}"
            ));
        }
    }
    let steps = |steps: [u64; AXES]| -> u64 {
        (0..AXES)
            .filter(|axis| seen[*axis])
            .map(|axis| steps[axis])
            .sum()
    };
    let (counted, planned) = (steps(judged.report.steps), steps(judged.planned));
    // The plan may differ by pairs of steps at turning points, one in some thousands.
    if counted + counted / 100 < planned {
        notes.push(format!(
            "the capture has {counted} steps where the plan has {planned}: it may begin after the \
             start of the job, or end before its end"
        ));
    } else if planned + planned / 100 < counted {
        notes.push(format!(
            "the capture has {counted} steps where the plan has {planned}: it may hold more than the \
             job; --from and --until cut it out"
        ));
    }
    notes
}
