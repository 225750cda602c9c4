//! A place as tables, files and reports show it.

use super::place::{Found, Place};
use super::sentence::sentence;
use crate::machine::Machine;
use crate::motion::AXIS_NAMES;
use crate::summary::ByAxis;
use crate::trace::Reason;
use serde::Serialize;
use spokeshave::Limit;

/// A place, with all that is said of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// 1 for the dearest.
    pub number: usize,
    /// Line of the part program whose move leads to the low point, or, at the start, from it.
    pub line: u32,
    /// First line of the slow stretch.
    pub first_line: u32,
    /// Last line of the slow stretch.
    pub last_line: u32,
    /// Kind of the move at the low point: rapid, line, arc.
    pub kind: &'static str,
    /// Where the low point is, mm.
    pub position_mm: ByAxis<f64>,
    /// When it is passed, s from the start of the job.
    pub time_s: f64,
    /// How far the path turns, degrees; `None` where no turn limits.
    pub turn_degrees: Option<f64>,
    /// Over what length it turns, mm; 0 at a corner.
    pub turn_within_mm: Option<f64>,
    /// Lowest speed reached, mm/s.
    pub reached_mm_s: f64,
    /// Speed asked for there, mm/s: the programmed feed, or for a rapid the axes' speed limits.
    pub asked_mm_s: f64,
    /// Time that it costs, s.
    pub lost_s: f64,
    /// That as a part of the job time.
    pub share: f64,
    /// The reason by name, as in `time_lost_s` of `summary.json`.
    pub reason: &'static str,
    /// The limit that decides.
    #[serde(flatten)]
    pub limit: AxisLimit,
    /// The most that feed and axes allow is reached right before or right after it; if not, the next
    /// slow places are too close for that.
    pub full_speed_beside: bool,
    /// The reason in a sentence.
    pub why: String,
}

/// The axis that decides, and its limit; nothing where no axis does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct AxisLimit {
    /// The axis.
    pub axis: Option<char>,
    /// Its limit, in `axis_limit_unit`.
    pub axis_limit: Option<f64>,
    /// `mm/s²` where the speed changes as fast as the axis can, `mm/s` where it is at its fastest.
    pub axis_limit_unit: Option<&'static str>,
}

impl AxisLimit {
    fn of(place: &Place, machine: &Machine) -> Self {
        let Some(axis) = place.axis else {
            return Self::default();
        };
        let limits = &machine.axes[axis];
        let (limit, unit) = match place.reason {
            Reason::Planned(Limit::AxisSpeed(_), _) => (limits.speed_limit_mm_s, "mm/s"),
            _ => (limits.acceleration_limit_mm_s2, "mm/s²"),
        };
        Self {
            axis: Some(AXIS_NAMES[axis]),
            axis_limit: Some(limit),
            axis_limit_unit: Some(unit),
        }
    }
}

/// The dearest of `found` that cost time, at most `top`, in a job on `machine` that takes `job_time_s`.
pub fn rows(found: &Found, top: usize, machine: &Machine, job_time_s: f64) -> Vec<Row> {
    let row = |(index, place): (usize, &Place)| Row {
        number: index + 1,
        line: place.line,
        first_line: place.lines[0],
        last_line: place.lines[1],
        kind: place.kind.name(),
        position_mm: place.at.into(),
        time_s: place.time_s,
        turn_degrees: place.turn.map(|turn| turn.degrees),
        turn_within_mm: place.turn.map(|turn| turn.within_mm),
        reached_mm_s: place.lowest_mm_s,
        asked_mm_s: place.asked_mm_s,
        lost_s: place.lost_s,
        share: place.lost_s / job_time_s,
        reason: place.reason_name(),
        limit: AxisLimit::of(place, machine),
        full_speed_beside: place.full_speed_beside,
        why: sentence(place, machine),
    };
    let dear = found.places.iter().take_while(|place| place.lost_s >= 0.0);
    dear.take(top).enumerate().map(row).collect()
}
