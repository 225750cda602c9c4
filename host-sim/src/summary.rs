//! The summary of a run: what `summary.json` holds, and what the terminal and the report show.

mod event;

use crate::check::{CheckResult, Report};
use crate::machine::Machine;
use crate::motion::{AXES, AXIS_NAMES};
use crate::run::Totals;
use crate::stall::{self, Stall, StallMargin};
pub use event::Event;
use serde::Serialize;
use std::collections::BTreeMap;

/// One value for each axis.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[allow(missing_docs)]
pub struct ByAxis<T> {
    pub x: T,
    pub y: T,
    pub z: T,
}

impl<T> From<[T; AXES]> for ByAxis<T> {
    fn from([x, y, z]: [T; AXES]) -> Self {
        Self { x, y, z }
    }
}

impl<T> ByAxis<T> {
    /// The values in the order of the axes.
    pub fn each(&self) -> [&T; AXES] {
        [&self.x, &self.y, &self.z]
    }
}

/// The summary of a run. The names are those in `summary.json`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Summary {
    /// Name of the part program.
    pub program: String,
    /// Name of the machine.
    pub machine: String,
    /// From the first tick to rest at the end, s.
    pub job_time_s: f64,
    /// What the programmed feeds alone would take, s: rapids at the axes' speed limits, with the
    /// rests.
    pub feed_time_s: f64,
    /// At rest because the program asks for it, s.
    pub rest_s: f64,
    /// Length of the path, mm.
    pub path_length_mm: f64,
    /// Of that, at a programmed feed, mm.
    pub cutting_length_mm: f64,
    /// Rate of the step timer, Hz.
    pub tick_hz: u32,
    /// Moves planned, arcs counted by their chords.
    pub moves: u64,
    /// Step pulses, both ways.
    pub steps: ByAxis<u64>,
    /// Where the motors stand at the end, mm.
    pub end_mm: ByAxis<f64>,
    /// Peaks of each axis beside its limits.
    pub peaks: ByAxis<Peak>,
    /// Steps that came later than planned because of the drivers' minimum times.
    pub late_steps: u32,
    /// The worst of them, s.
    pub worst_late_s: f64,
    /// The checks.
    pub checks: Vec<Check>,
    /// Time lost against the feed time by reason, s; below 0 where an override gains some. The sum is `job_time_s` − `feed_time_s`.
    pub time_lost_s: BTreeMap<String, f64>,
    /// The same in words for a reader, s, the dearest first.
    #[serde(skip)]
    pub time_lost_to: Vec<(&'static str, f64)>,
    /// Words of the program that are harmless but acted on by nobody.
    pub notes: Vec<String>,
    /// What came of the events of a script, if one was played.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub events: Vec<Event>,
    /// What the motors have over what the job asks of them; none where the machine file describes no
    /// motors.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stall: Option<Stall>,
}

/// Peaks of one axis beside its limits.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[allow(missing_docs)]
pub struct Peak {
    pub speed_mm_s: f64,
    pub speed_limit_mm_s: f64,
    pub acceleration_mm_s2: f64,
    pub acceleration_limit_mm_s2: f64,
}

/// One check as the summary shows it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Check {
    /// Its name.
    pub name: &'static str,
    /// Limit, in `unit`, margin included; none where there was nothing to hold it against. It is
    /// the least value allowed where [`Check::is_least`] says so, else the greatest.
    pub limit: Option<f64>,
    /// Worst value, in `unit`; none where there was nothing to measure.
    pub worst: Option<f64>,
    /// Unit of both.
    pub unit: &'static str,
    /// Line of the program with the worst value.
    pub line: Option<u32>,
    /// Within the limit.
    pub pass: bool,
    /// Axis of the worst value.
    pub axis: Option<char>,
    /// Time of the worst value, s.
    pub time_s: Option<f64>,
    /// Position of the worst value, mm.
    pub position_mm: Option<ByAxis<f64>>,
    /// What was checked, in a sentence.
    pub what: String,
}

impl From<CheckResult> for Check {
    fn from(result: CheckResult) -> Self {
        Self {
            name: result.name,
            limit: number(result.limit),
            worst: number(result.worst),
            unit: result.unit,
            // Lines count from 1: a program without moves has no line to blame.
            line: result.line.filter(|line| *line > 0),
            pass: result.pass,
            axis: result.axis.map(|axis| AXIS_NAMES[axis]),
            time_s: result.time_s,
            position_mm: result.position.map(ByAxis::from),
            what: result.what,
        }
    }
}

/// JSON has no NaN.
fn number(value: f64) -> Option<f64> {
    (!value.is_nan()).then_some(value)
}

/// How a check came out, as a reader should hear it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Measured, and within the limit.
    Pass,
    /// Outside the limit.
    Fail,
    /// There was nothing to measure.
    NotMeasured,
}

impl Check {
    /// How it came out.
    pub fn verdict(&self) -> Verdict {
        match (self.pass, self.worst) {
            (false, _) => Verdict::Fail,
            (true, Some(_)) => Verdict::Pass,
            (true, None) => Verdict::NotMeasured,
        }
    }

    /// The limit is the least value allowed: see [`CheckResult::limit`].
    pub fn is_least(&self) -> bool {
        matches!(
            self.name,
            "pulse period" | "direction setup" | "pulse width" | stall::MARGIN
        )
    }

    /// A value in `unit` as it is shown, and the unit it is shown in: µs where the limit is a time
    /// short of 10 ms.
    pub fn shown(&self, value: f64) -> (f64, &'static str) {
        if self.unit == "s" && self.limit.is_some_and(|limit| limit < 0.01) {
            (value * 1e6, "µs")
        } else {
            (value, self.unit)
        }
    }
}

/// What places mean where axes have backlash.
const PLACES_OF_MOTORS: &str = "backlash is taken up: places are those of the motors, which stand \
    short of their axes by it after a move back";

impl Summary {
    /// The summary of a run of `program` on `machine`.
    pub fn new(
        program: &str,
        machine: &Machine,
        totals: Totals,
        report: Report,
        mut notes: Vec<String>,
    ) -> Self {
        if machine.axes.iter().any(|axis| axis.backlash_mm > 0.0) {
            notes.push(PLACES_OF_MOTORS.into());
        }
        let mut time_lost_s = BTreeMap::new();
        let mut time_lost_to = BTreeMap::new();
        for (reason, seconds) in totals.time_lost_s {
            *time_lost_s.entry(reason.name().to_owned()).or_default() += seconds;
            *time_lost_to.entry(reason.words()).or_default() += seconds;
        }
        let mut time_lost_to: Vec<(&str, f64)> = time_lost_to.into_iter().collect();
        time_lost_to.sort_by(|a, b| b.1.total_cmp(&a.1));
        let peaks = std::array::from_fn(|i| Peak {
            speed_mm_s: totals.peak_speed_mm_s[i],
            speed_limit_mm_s: machine.axes[i].speed_limit_mm_s,
            acceleration_mm_s2: totals.peak_acceleration_mm_s2[i],
            acceleration_limit_mm_s2: machine.axes[i].acceleration_limit_mm_s2,
        });
        Self {
            program: program.into(),
            machine: machine.name.clone(),
            job_time_s: totals.job_time_s,
            feed_time_s: totals.feed_time_s,
            rest_s: totals.rest_s,
            path_length_mm: totals.path_mm,
            cutting_length_mm: totals.cutting_mm,
            tick_hz: machine.controller.timer_hz,
            moves: totals.moves,
            // As the checker counted them, which had only the pulses.
            steps: report.steps.into(),
            end_mm: report.end_mm.into(),
            peaks: ByAxis::from(peaks),
            late_steps: totals.late_steps,
            worst_late_s: totals.worst_late_s,
            checks: report.checks.into_iter().map(Check::from).collect(),
            time_lost_s,
            time_lost_to,
            notes,
            events: totals.happened.into_iter().map(Event::from).collect(),
            stall: None,
        }
    }

    /// With what was found of the motors, and its checks after the others.
    #[must_use]
    pub fn with_stall(mut self, stall: Option<Stall>) -> Self {
        self.checks.extend(stall.iter().flat_map(Stall::checks));
        self.stall = stall;
        self
    }

    /// The least stall margin of all axes; none where the machine file describes no motors, or the job asks
    /// them for nothing.
    pub fn least_stall_margin(&self) -> Option<&StallMargin> {
        self.stall.as_ref()?.least()
    }

    /// As JSON, as `summary.json` and standard output have it.
    pub fn json(&self) -> String {
        // Only a map with keys that are no strings could fail.
        serde_json::to_string_pretty(self).expect("a summary is plain data") + "\n"
    }

    /// Every check passed.
    pub fn pass(&self) -> bool {
        self.checks.iter().all(|check| check.pass)
    }

    /// Reasons that cost time, the dearest first: words, s; below 0 what an override gains. What rounds to nothing is
    /// left out.
    pub fn reasons(&self) -> impl Iterator<Item = (&'static str, f64)> {
        let seen = |(_, seconds): &(_, f64)| seconds.abs() >= 0.0005;
        self.time_lost_to.iter().copied().filter(seen)
    }
}

/// A duration as people say it: `41.73 s`, `3 min 05.2 s`, `1 h 02 min 09 s`.
pub fn duration(seconds: f64) -> String {
    // Rounded before it is split, so that no part can round up to 60.
    if seconds < 59.995 {
        return format!("{seconds:.2} s");
    }
    let tenths = (seconds * 10.0).round();
    if tenths < 36_000.0 {
        let minutes = (tenths / 600.0).floor();
        return format!("{minutes} min {:04.1} s", (tenths - minutes * 600.0) / 10.0);
    }
    let whole = seconds.round();
    let (hours, rest) = ((whole / 3600.0).floor(), whole % 3600.0);
    format!(
        "{hours} h {:02.0} min {:02.0} s",
        (rest / 60.0).floor(),
        rest % 60.0
    )
}

#[cfg(test)]
mod tests {
    use super::duration;

    #[test]
    fn durations_never_show_sixty() {
        for (seconds, shown) in [
            (0.0, "0.00 s"),
            (41.731, "41.73 s"),
            (59.996, "1 min 00.0 s"),
            (185.24, "3 min 05.2 s"),
            (3599.96, "1 h 00 min 00 s"),
            (3729.2, "1 h 02 min 09 s"),
        ] {
            assert_eq!(duration(seconds), shown);
        }
    }
}
