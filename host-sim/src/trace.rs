//! What a run tells about each ramp and each move, as it goes: the form between the run and what
//! is shown. Nothing here is kept by the run itself; sinks keep what they need, in bounded memory.

use crate::motion::{MoveKind, Point, RestReason};
use spokeshave::{Limit, LowPoint};

/// One ramp: a slice of one move at constant acceleration, as planned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slice {
    /// Line of the part program, from 1.
    pub line: u32,
    /// Kind of the move; `None` while the machine rests (a dwell).
    pub kind: Option<MoveKind>,
    /// Time at its start, s from the start of the job.
    pub start_s: f64,
    /// Duration, s.
    pub duration_s: f64,
    /// Position at its start, mm.
    pub from: Point,
    /// Position at its end, mm.
    pub to: Point,
    /// Where the move that it belongs to goes, a unit vector: of the whole move, because short ramps lose
    /// their direction to rounding; 0 at rest.
    pub direction: Point,
    /// Path length covered, mm.
    pub length_mm: f64,
    /// Speed along the path at its start, mm/s.
    pub entry_mm_s: f64,
    /// Speed along the path at its end, mm/s.
    pub exit_mm_s: f64,
    /// Programmed feed, mm/s; for a rapid, the speed that the axes' limits alone allow.
    pub asked_mm_s: f64,
    /// The most the feed and the axes' speed limits allow on this move, mm/s.
    pub cap_mm_s: f64,
    /// The move is part of a canned cycle.
    pub in_cycle: bool,
    /// What the program makes the machine stop for at the end of the move, where it does; at rest,
    /// what it rests for.
    pub stop: Option<RestReason>,
    /// Spindle speed, 1/min; `None` where the spindle stands still or nothing says how fast it
    /// turns, and at rest.
    pub spindle_rpm: Option<f64>,
    /// What holds the speed.
    pub limit: Limit,
    /// Where the speed changes: the slow place that this belongs to.
    pub low_point: LowPoint,
}

impl Slice {
    /// Acceleration along the path, mm/s², below 0 where it brakes; never more than the speeds at its
    /// ends prove. They are the planner's, in single precision, from a root that is right to 2 units in
    /// the last place (2⁻²³). What that can make up is no acceleration: in a short ramp it would be a
    /// good part of one.
    pub fn acceleration_mm_s2(&self) -> f64 {
        let doubt = 4.0 * f64::from(f32::EPSILON) * self.entry_mm_s.max(self.exit_mm_s);
        let change = self.exit_mm_s - self.entry_mm_s;
        let sure = (change.abs() - doubt).max(0.0) / self.duration_s;
        if change < 0.0 { -sure } else { sure }
    }
}

/// One straight move as planned, told when its last ramp is. Arcs are told chord by chord.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoveRecord {
    /// Line of the part program, from 1.
    pub line: u32,
    /// Kind of the move.
    pub kind: MoveKind,
    /// Start, mm.
    pub from: Point,
    /// End, mm.
    pub to: Point,
    /// Length, mm.
    pub length_mm: f64,
    /// Programmed feed, mm/s; `None` for a rapid.
    pub feed_mm_s: Option<f64>,
    /// The most the feed and the axes' speed limits allow, mm/s.
    pub cap_mm_s: f64,
    /// Acceleration along the move, mm/s².
    pub accel_mm_s2: f64,
    /// The most its end junction allows, mm/s; `None` for no limit.
    pub corner_mm_s: Option<f64>,
    /// Speed at its start, mm/s.
    pub entry_mm_s: f64,
    /// Highest speed, mm/s.
    pub peak_mm_s: f64,
    /// Speed at its end, mm/s.
    pub exit_mm_s: f64,
    /// Duration, s.
    pub time_s: f64,
    /// What cost the most time on this move: its limit, and for a speed change its low point.
    pub limited_by: (Limit, LowPoint),
}
