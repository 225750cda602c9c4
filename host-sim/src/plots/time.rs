//! The time axis: seconds, or minutes for long jobs.

use crate::recording::Recording;
use std::ops::Range;

/// How a chart shows time.
pub(super) struct TimeAxis {
    /// Shown units in a second.
    pub scale: f64,
    /// From 0 to the end of the job, in shown units; never empty.
    pub span: Range<f64>,
    pub title: &'static str,
}

impl TimeAxis {
    pub fn new(recording: &Recording) -> Self {
        Self::up_to(recording.total_s())
    }

    /// For a job of so many seconds.
    pub fn up_to(total_s: f64) -> Self {
        let (scale, title) = unit(total_s);
        let end = if total_s > 0.0 { total_s * scale } else { 1.0 };
        Self {
            scale,
            span: 0.0..end,
            title,
        }
    }
}

/// Shown units in a second, and the title of the axis, for a job as long as this.
pub(crate) fn unit(total_s: f64) -> (f64, &'static str) {
    if total_s > 300.0 {
        (1.0 / 60.0, "time, min")
    } else {
        (1.0, "time, s")
    }
}
