//! Keeps what the pictures need of a run, in memory that does not grow with the job.

mod bins;
mod cause;
mod moments;
mod path;

use crate::machine::{Axis, Machine};
use crate::motion::{AXES, Point};
use crate::places::{Found, Places};
use crate::run::Happened;
use crate::summary::Event;
use crate::trace::Slice;
pub(crate) use bins::groups;
pub use bins::{AxisRange, Bin, Column, MAX_BINS, Range};
pub use cause::Cause;
use moments::Moments;
pub use moments::{AFTER_S, BEFORE_S, Moment};
pub use path::{MAX_STRETCHES, Stretch};

/// What a run did, at the resolution of a picture.
///
/// Feed it every [`Slice`] in order; it holds at most [`MAX_STRETCHES`] stretches of path,
/// [`MAX_BINS`] bins of time and twice [`crate::places::MAX_PLACES`] places, about 4 MB in all.
#[derive(Clone, Debug)]
pub struct Recording {
    axes: [Axis; AXES],
    end_s: f64,
    path: path::PathKeeper,
    bins: bins::TimeBins,
    places: Places,
    moments: Moments,
}

impl Recording {
    /// An empty recording of a run on `machine`.
    pub fn new(machine: &Machine) -> Self {
        Self {
            axes: machine.axes,
            end_s: 0.0,
            path: path::PathKeeper::new(),
            bins: bins::TimeBins::new(),
            places: Places::new(machine),
            moments: Moments::default(),
        }
    }

    /// Takes in the next slice of the run; slices come in the order of time.
    pub fn slice(&mut self, slice: &Slice) {
        self.end_s = slice.start_s + slice.duration_s;
        self.path.slice(slice);
        self.bins.slice(slice);
        self.places.slice(slice);
        self.moments.slice(slice);
    }

    /// An event of a script acts from here on.
    pub fn happens(&mut self, happened: &Happened) {
        self.moments.happens(happened);
    }

    /// What came of the events in the end.
    pub fn mark(&mut self, events: &[Event]) {
        self.moments.mark(events);
    }

    /// All events of a script, after [`Self::mark`].
    pub fn events(&self) -> &[Event] {
        self.moments.events()
    }

    /// The speed around the events of a script.
    pub fn moments(&self) -> &[Moment] {
        self.moments.all()
    }

    /// The axes of the machine, with their limits.
    pub fn axes(&self) -> &[Axis; AXES] {
        &self.axes
    }

    /// When the last slice ends, s from the start of the job: exact, whatever was merged.
    pub fn total_s(&self) -> f64 {
        self.end_s
    }

    /// Where the path starts, mm; `None` before the first move.
    pub fn start(&self) -> Option<Point> {
        self.path.start()
    }

    /// The path, stretch by stretch; each starts where the one before it ends.
    pub fn stretches(&self) -> &[Stretch] {
        self.path.stretches()
    }

    /// How far the kept path may lie from the true one at most, mm.
    pub fn path_error_mm(&self) -> f64 {
        self.path.error_mm()
    }

    /// The run against time, in at most `most` columns of equal width (the last may be shorter).
    pub fn columns(&self, most: usize) -> Vec<Column> {
        self.bins.columns(most, self.end_s)
    }

    /// The whole run in one bin.
    pub fn whole(&self) -> Bin {
        self.bins.whole()
    }

    /// The places that cost time.
    pub fn places(&self) -> Found {
        self.places.found()
    }
}
