//! What was found of a job. The names are those in `summary.json`.

use super::sentence;
use crate::summary::{ByAxis, Check};
use serde::Serialize;

/// Stall margins of a run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stall {
    /// How many times the torque needed the motors must have.
    pub asked: f64,
    /// The least margin of each axis whose motor was asked for torque.
    pub margins: Vec<StallMargin>,
    /// The worst sudden change of speed of each axis that has one.
    pub speed_changes: Vec<SpeedChange>,
    /// Axes whose parts the machine file does not describe.
    pub without_motor: Vec<char>,
    /// Axes whose sudden changes of speed are not judged: the start-stop rate of the motor is not known.
    pub without_start_stop_rate: Vec<char>,
}

/// The least margin of an axis, and where that is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StallMargin {
    /// Letter of the axis.
    pub axis: char,
    /// Torque available over torque needed.
    pub margin: f64,
    /// It is what is asked for, or more.
    pub pass: bool,
    /// Lines of the part program on which the axis has less than is asked for somewhere.
    pub lines_below: u32,
    /// The torque that is available is an estimate from the motor's ratings.
    pub estimate: bool,
    /// Motors that share the axis.
    pub motors: u16,
    /// Line of the part program, from 1.
    pub line: u32,
    /// Time from the start of the job, s.
    pub time_s: f64,
    /// Where the motors stand, mm.
    pub position_mm: ByAxis<f64>,
    /// Speed of the axis, mm/s, its sign the direction.
    pub speed_mm_s: f64,
    /// Acceleration of the axis, mm/s², signed alike.
    pub acceleration_mm_s2: f64,
    /// It is where moves meet: the acceleration is that of a corner or a bend, its changes of speed at
    /// junctions within √(8 · junction deviation / acceleration limit), over that time.
    pub in_bend: bool,
    /// A cutting force is in the torque needed.
    pub with_cutting_force: bool,
    /// Speed of the motor, rpm, signed as that of the axis.
    pub motor_rpm: f64,
    /// Torque that each motor must give, N·m.
    pub needed_nm: f64,
    /// Torque that each motor has at that speed, N·m.
    pub available_nm: f64,
    /// What would mend it in the whole job, in a sentence, where it is too little.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remedy: Option<String>,
}

/// A sudden change of speed of an axis, from one move to the next.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpeedChange {
    /// Letter of the axis.
    pub axis: char,
    /// The change, mm/s.
    pub change_mm_s: f64,
    /// The same in full steps of the motor a second.
    pub change_steps_s: f64,
    /// The most that the motor follows with its load there, mm/s; none where its start-stop rate is not
    /// known.
    pub allowed_mm_s: Option<f64>,
    /// The same in full steps a second.
    pub allowed_steps_s: Option<f64>,
    /// Within what is allowed, or not judged.
    pub pass: bool,
    /// Speed before, mm/s, its sign the direction.
    pub before_mm_s: f64,
    /// Speed after, mm/s.
    pub after_mm_s: f64,
    /// Line of the move that begins there, from 1.
    pub line: u32,
    /// Time from the start of the job, s.
    pub time_s: f64,
    /// Where the motors stand, mm.
    pub position_mm: ByAxis<f64>,
}

impl Stall {
    /// The least margin of all axes.
    pub fn least(&self) -> Option<&StallMargin> {
        let margins = self.margins.iter();
        margins.min_by(|a, b| a.margin.total_cmp(&b.margin))
    }

    /// The margin of an axis, by its letter.
    pub fn of(&self, axis: char) -> Option<&StallMargin> {
        self.margins.iter().find(|found| found.axis == axis)
    }

    /// Which margins rest on an estimate, and what would be better; none where none does.
    pub fn estimate(&self) -> Option<String> {
        sentence::estimate(self)
    }

    /// The check of the margin, and that of sudden changes of speed where a start-stop rate is known.
    pub(crate) fn checks(&self) -> Vec<Check> {
        let mut checks = vec![self.margin_check()];
        let known = |change: &&SpeedChange| change.allowed_mm_s.is_some();
        let part = |change: &SpeedChange| change.change_mm_s / change.allowed_mm_s.unwrap_or(1.0);
        let judged = self.speed_changes.iter().filter(known);
        if let Some(worst) = judged.max_by(|a, b| part(a).total_cmp(&part(b))) {
            checks.push(self.change_check(worst));
        }
        checks
    }

    fn margin_check(&self) -> Check {
        let least = self.least();
        Check {
            name: MARGIN,
            limit: Some(self.asked),
            worst: least.map(|least| least.margin),
            unit: match least {
                Some(least) if least.estimate => "× estimate",
                _ => "×",
            },
            line: least.map(|least| least.line),
            pass: self.margins.iter().all(|margin| margin.pass),
            axis: least.map(|least| least.axis),
            time_s: least.map(|least| least.time_s),
            position_mm: least.map(|least| least.position_mm),
            what: sentence::margins(self),
        }
    }

    fn change_check(&self, worst: &SpeedChange) -> Check {
        Check {
            name: "corner speed change",
            limit: worst.allowed_steps_s,
            worst: Some(worst.change_steps_s),
            unit: "steps/s",
            line: Some(worst.line),
            pass: self.speed_changes.iter().all(|change| change.pass),
            axis: Some(worst.axis),
            time_s: Some(worst.time_s),
            position_mm: Some(worst.position_mm),
            what: sentence::changes(self),
        }
    }
}

/// The name of the check of the margin.
pub(crate) const MARGIN: &str = "stall margin";
