//! What a run adds up to.

use super::live::Happened;
use crate::motion::{AXES, Point};
use crate::trace::{Reason, Slice};

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

impl Totals {
    /// Of nothing yet, at `start`, mm.
    pub(super) fn at_rest(start: Point) -> Self {
        Self {
            job_time_s: 0.0,
            feed_time_s: 0.0,
            rest_s: 0.0,
            path_mm: 0.0,
            cutting_mm: 0.0,
            moves: 0,
            end_mm: start,
            peak_speed_mm_s: [0.0; AXES],
            peak_acceleration_mm_s2: [0.0; AXES],
            time_lost_s: Vec::new(),
            late_steps: 0,
            worst_late_s: 0.0,
            happened: Vec::new(),
        }
    }

    /// Takes in the peaks of a moving `slice`; its highest speed along the path, mm/s.
    pub(super) fn peaks(&mut self, slice: &Slice) -> f64 {
        let peak = slice.entry_mm_s.max(slice.exit_mm_s);
        let acceleration = slice.acceleration_mm_s2().abs();
        for (i, share) in slice.direction.map(f64::abs).into_iter().enumerate() {
            let speeds = &mut self.peak_speed_mm_s[i];
            *speeds = speeds.max(share * peak);
            let accelerations = &mut self.peak_acceleration_mm_s2[i];
            *accelerations = accelerations.max(share * acceleration);
        }
        peak
    }
}

/// Adds to the sum of a reason. There are few reasons.
pub(super) fn add(sums: &mut Vec<(Reason, f64)>, reason: Reason, seconds: f64) {
    match sums.iter_mut().find(|(known, _)| *known == reason) {
        Some((_, sum)) => *sum += seconds,
        None => sums.push((reason, seconds)),
    }
}
