//! What a run adds up to.

use super::live::Happened;
use crate::motion::{AXES, Point};
use crate::trace::Reason;

/// How long a planned job takes. Each number is the one of the same name in [`Totals`].
#[derive(Clone, Debug, PartialEq)]
pub struct Times {
    /// Time from the first tick to rest at the end, s.
    pub job_time_s: f64,
    /// What the programmed feeds alone would take, s, with the rests.
    pub feed_time_s: f64,
    /// Time at rest, as the program asks, s.
    pub rest_s: f64,
    /// Time lost against the feed time by reason, s, the dearest first.
    pub time_lost_s: Vec<(Reason, f64)>,
}

/// Totals of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Totals {
    /// Time from the first tick to rest at the end, s.
    pub job_time_s: f64,
    /// What the programmed feeds alone would take, s, rapids at the axes' speed limits, with the
    /// rests.
    pub feed_time_s: f64,
    /// Time at rest, as the program asks, s.
    pub rest_s: f64,
    /// Length of the path, mm.
    pub path_mm: f64,
    /// Of that, at a programmed feed.
    pub cutting_mm: f64,
    /// Moves planned, arcs counted by their chords.
    pub moves: u64,
    /// Where the motors stand at the end, mm.
    pub end_mm: Point,
    /// Highest planned speed of each axis, mm/s.
    pub peak_speed_mm_s: [f64; AXES],
    /// Highest planned acceleration of each axis along the path, mm/s².
    pub peak_acceleration_mm_s2: [f64; AXES],
    /// Time lost against the feed time by reason, s; the sum is exact.
    pub time_lost_s: Vec<(Reason, f64)>,
    /// Steps that came later than planned because of the drivers' minimum times.
    pub late_steps: u32,
    /// The worst of them, s.
    pub worst_late_s: f64,
    /// What came of the events of a script.
    pub happened: Vec<Happened>,
}
