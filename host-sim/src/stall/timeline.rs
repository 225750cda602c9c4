//! Torque against time, in bins that double their width when the job outgrows them.

use super::axis::AxisWatch;
use super::stretch::{Stretch, Worst};
use crate::motion::AXES;
use crate::recording::groups;
use crate::trace::Slice;

/// The most bins that are kept.
pub const MAX_BINS: usize = 4096;

/// Width of a bin at first, s; a power of two, so that doubled bins meet exactly.
const FIRST_WIDTH_S: f64 = 1.0 / 16_384.0;

/// Torque of each motor of an axis in a span of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TorqueRange {
    /// The most that it must give, N·m.
    pub needed_nm: f64,
    /// The least that it has, N·m; infinite where nothing happened.
    pub available_nm: f64,
    /// The least of what it has over what it must give at the same moment; infinite where nothing is asked.
    pub margin: f64,
}

impl TorqueRange {
    const EMPTY: Self = Self {
        needed_nm: 0.0,
        available_nm: f64::INFINITY,
        margin: f64::INFINITY,
    };

    fn absorb(&mut self, other: &Self) {
        self.needed_nm = self.needed_nm.max(other.needed_nm);
        self.available_nm = self.available_nm.min(other.available_nm);
        self.margin = self.margin.min(other.margin);
    }
}

/// A span of time and the torque in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TorqueColumn {
    /// Its start, s.
    pub start_s: f64,
    /// Its end, s.
    pub end_s: f64,
    /// The torque of each axis.
    pub axes: [TorqueRange; AXES],
}

/// Torque against time, at the resolution of a picture; at most [`MAX_BINS`] bins.
#[derive(Clone, Debug, PartialEq)]
pub struct Timeline {
    width_s: f64,
    end_s: f64,
    bins: Vec<[TorqueRange; AXES]>,
}

impl Timeline {
    pub(super) fn new() -> Self {
        Self {
            width_s: FIRST_WIDTH_S,
            end_s: 0.0,
            bins: Vec::new(),
        }
    }

    /// Makes room for a slice.
    pub(super) fn begin(&mut self, slice: &Slice) {
        self.end_s = slice.start_s + slice.duration_s;
        while self.end_s > self.width_s * MAX_BINS as f64 {
            self.width_s *= 2.0;
            self.bins = joined(&self.bins, 2);
        }
        let bins = ((self.end_s / self.width_s).ceil() as usize).min(MAX_BINS);
        self.bins
            .resize(bins.max(self.bins.len()), [TorqueRange::EMPTY; AXES]);
    }

    /// Takes in what an axis does in a slice that there is room for.
    pub(super) fn axis(&mut self, axis: usize, slice: &Slice, watch: &AxisWatch) {
        let stretch = watch.stretch(slice);
        let [entry, exit] = stretch.speeds_mm_s;
        let speed = |time_s: f64| {
            let part = ((time_s - slice.start_s) / slice.duration_s).clamp(0.0, 1.0);
            entry + part * (exit - entry)
        };
        let range = |worst: Worst| TorqueRange {
            needed_nm: worst.needed_nm,
            available_nm: worst.available_nm,
            margin: worst.margin().unwrap_or(f64::INFINITY),
        };
        let first = (slice.start_s / self.width_s) as usize;
        if let (Some(worst), Some(bin)) = (watch.last_junction(), self.bins.get_mut(first)) {
            bin[axis].absorb(&range(worst));
        }
        for (index, bin) in self.bins.iter_mut().enumerate().skip(first) {
            let starts = index as f64 * self.width_s;
            let part = Stretch {
                speeds_mm_s: [speed(starts), speed(starts + self.width_s)],
                ..stretch
            };
            bin[axis].absorb(&range(part.worst(watch.driven())));
        }
    }

    /// When the job ends, s.
    pub fn total_s(&self) -> f64 {
        self.end_s
    }

    /// In at most `most` columns of equal width (the last may be shorter).
    pub fn columns(&self, most: usize) -> Vec<TorqueColumn> {
        let size = self.bins.len().div_ceil(most.max(1)).max(1);
        let width_s = self.width_s * size as f64;
        let column = |(index, axes)| TorqueColumn {
            start_s: index as f64 * width_s,
            end_s: ((index + 1) as f64 * width_s).min(self.end_s),
            axes,
        };
        let joined = joined(&self.bins, size);
        joined.into_iter().enumerate().map(column).collect()
    }
}

/// Each `size` neighbours in one.
fn joined(bins: &[[TorqueRange; AXES]], size: usize) -> Vec<[TorqueRange; AXES]> {
    let absorb = |sum: &mut [TorqueRange; AXES], other: &[TorqueRange; AXES]| {
        for (sum, other) in sum.iter_mut().zip(other) {
            sum.absorb(other);
        }
    };
    groups(bins, size, &[TorqueRange::EMPTY; AXES], absorb)
}
