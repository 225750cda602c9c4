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
    /// What the override in force makes of [`Slice::asked_mm_s`], as a factor: 1 where there is none, and at rest.
    pub pace: f64,
    /// The override that sets the speed, or that the speed changes for; `None` where something else does.
    pub overridden: Option<Override>,
}

/// An override that an operator asked for, as a factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Override {
    /// Of programmed feeds, 0.1 to 2.
    Feed(f64),
    /// Of rapids, 0.1 to 1.
    Rapid(f64),
}

impl Override {
    /// What it makes of a speed, as a factor.
    pub fn part(self) -> f64 {
        let (Self::Feed(part) | Self::Rapid(part)) = self;
        part
    }
}

/// Why time was lost, or gained.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// What held the speed, and where it changed the low point that it was for.
    Planned(Limit, LowPoint),
    /// An override that was asked for. One above 100 % loses less than nothing.
    Override(Override),
}

impl Slice {
    /// Why it takes longer than at the speed asked for.
    pub fn reason(&self) -> Reason {
        let planned = Reason::Planned(self.limit, self.low_point);
        self.overridden.map_or(planned, Reason::Override)
    }

    /// It stands because somebody asked for it, or because no moves came: the program asks for no rest.
    pub fn is_standstill(&self) -> bool {
        self.kind.is_none() && self.low_point != LowPoint::Stop
    }

    /// Time lost against the speed that the program asks for, s; below 0 where the machine is faster. Rests that the
    /// program asks for lose nothing.
    pub fn lost_s(&self) -> f64 {
        match self.kind {
            Some(_) => self.duration_s - self.length_mm / self.asked_mm_s,
            None if self.is_standstill() => self.duration_s,
            None => 0.0,
        }
    }

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
    /// What cost the most time on this move.
    pub limited_by: Reason,
}
