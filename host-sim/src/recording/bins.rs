//! The run against time, in bins that double their width when the job outgrows them.

use super::Cause;
use crate::motion::{AXES, Point};
use crate::trace::Slice;

/// The most bins that are kept.
pub const MAX_BINS: usize = 4096;

/// Width of a bin at first, s; a power of two, so that doubled bins meet exactly.
const FIRST_WIDTH_S: f64 = 1.0 / 16_384.0;

/// The lowest and the highest of some values; of none, `low` is above `high`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

impl Range {
    /// The range of no values.
    pub const NONE: Self = Self {
        low: f64::INFINITY,
        high: f64::NEG_INFINITY,
    };

    /// Widens the range to hold `value`.
    pub fn add(&mut self, value: f64) {
        self.low = self.low.min(value);
        self.high = self.high.max(value);
    }

    /// The value furthest from zero, without its sign; 0 for no values.
    pub fn largest(&self) -> f64 {
        self.high.abs().max(self.low.abs()) * f64::from(u8::from(self.low <= self.high))
    }

    fn absorb(&mut self, other: &Self) {
        self.low = self.low.min(other.low);
        self.high = self.high.max(other.high);
    }
}

/// What one axis did.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AxisRange {
    /// Speed, mm/s.
    pub speed_mm_s: Range,
    /// Acceleration along the moves, mm/s².
    pub acceleration_mm_s2: Range,
}

/// What happened in a span of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bin {
    /// Time covered by slices, s.
    pub time_s: f64,
    /// Path covered, mm.
    pub length_mm: f64,
    /// Speed along the path, mm/s.
    pub speed_mm_s: Range,
    /// Highest speed that was asked for, with the override in force, mm/s; 0 at rest.
    pub asked_mm_s: f64,
    /// How long each cause bound the speed, s, in the order of [`Cause::ALL`].
    pub cause_s: [f64; Cause::ALL.len()],
    /// The axes.
    pub axes: [AxisRange; AXES],
}

impl Bin {
    const EMPTY: Self = Self {
        time_s: 0.0,
        length_mm: 0.0,
        speed_mm_s: Range::NONE,
        asked_mm_s: 0.0,
        cause_s: [0.0; Cause::ALL.len()],
        axes: [AxisRange {
            speed_mm_s: Range::NONE,
            acceleration_mm_s2: Range::NONE,
        }; AXES],
    };

    /// Mean speed along the path, mm/s; 0 where nothing happened.
    pub fn mean_mm_s(&self) -> f64 {
        if self.time_s > 0.0 {
            self.length_mm / self.time_s
        } else {
            0.0
        }
    }

    fn absorb(&mut self, other: &Self) {
        self.time_s += other.time_s;
        self.length_mm += other.length_mm;
        self.speed_mm_s.absorb(&other.speed_mm_s);
        self.asked_mm_s = self.asked_mm_s.max(other.asked_mm_s);
        for (sum, more) in self.cause_s.iter_mut().zip(other.cause_s) {
            *sum += more;
        }
        for (axis, more) in self.axes.iter_mut().zip(&other.axes) {
            axis.speed_mm_s.absorb(&more.speed_mm_s);
            axis.acceleration_mm_s2.absorb(&more.acceleration_mm_s2);
        }
    }
}

/// A span of time and what happened in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// Its start, s.
    pub start_s: f64,
    /// Its end, s.
    pub end_s: f64,
    /// What happened in it.
    pub bin: Bin,
}

#[derive(Clone, Debug)]
pub(super) struct TimeBins {
    width_s: f64,
    bins: Vec<Bin>,
}

impl TimeBins {
    pub fn new() -> Self {
        Self {
            width_s: FIRST_WIDTH_S,
            bins: Vec::new(),
        }
    }

    pub fn slice(&mut self, slice: &Slice) {
        if slice.duration_s <= 0.0 {
            return;
        }
        let end_s = slice.start_s + slice.duration_s;
        while end_s > self.width_s * MAX_BINS as f64 {
            self.double();
        }
        let motion = Motion::of(slice);
        let last = (end_s / self.width_s) as usize;
        for index in (slice.start_s / self.width_s) as usize..=last.min(MAX_BINS - 1) {
            let (starts, ends) = (
                index as f64 * self.width_s,
                (index + 1) as f64 * self.width_s,
            );
            // The ends of the slice as they are, so that their speeds are kept to the last digit.
            let from_s = (starts - slice.start_s).max(0.0);
            let to_s = if ends < end_s {
                ends - slice.start_s
            } else {
                slice.duration_s
            };
            // A slice that ends with a bin only touches the next.
            if starts < end_s {
                if self.bins.len() <= index {
                    self.bins.resize(index + 1, Bin::EMPTY);
                }
                motion.add_to(&mut self.bins[index], slice, from_s, to_s);
            }
        }
    }

    fn double(&mut self) {
        self.width_s *= 2.0;
        self.bins = joined(&self.bins, 2);
    }

    pub fn columns(&self, most: usize, end_s: f64) -> Vec<Column> {
        let size = self.bins.len().div_ceil(most.max(1)).max(1);
        let width_s = self.width_s * size as f64;
        let column = |(index, bin)| Column {
            start_s: index as f64 * width_s,
            end_s: ((index + 1) as f64 * width_s).min(end_s),
            bin,
        };
        joined(&self.bins, size)
            .into_iter()
            .enumerate()
            .map(column)
            .collect()
    }

    pub fn whole(&self) -> Bin {
        joined(&self.bins, self.bins.len().max(1))
            .pop()
            .unwrap_or(Bin::EMPTY)
    }
}

/// Each `size` neighbours in one, which begins as `empty` and absorbs them.
pub(crate) fn groups<B: Clone>(
    bins: &[B],
    size: usize,
    empty: &B,
    absorb: impl Fn(&mut B, &B),
) -> Vec<B> {
    let whole = |group: &[B]| {
        let mut sum = empty.clone();
        group.iter().for_each(|bin| absorb(&mut sum, bin));
        sum
    };
    bins.chunks(size).map(whole).collect()
}

fn joined(bins: &[Bin], size: usize) -> Vec<Bin> {
    groups(bins, size, &Bin::EMPTY, Bin::absorb)
}

/// The motion within a slice: straight, at constant acceleration.
struct Motion {
    direction: Point,
    acceleration_mm_s2: f64,
}

impl Motion {
    fn of(slice: &Slice) -> Self {
        let along = |i: usize| {
            if slice.length_mm > 0.0 {
                (slice.to[i] - slice.from[i]) / slice.length_mm
            } else {
                0.0
            }
        };
        Self {
            direction: std::array::from_fn(along),
            acceleration_mm_s2: (slice.exit_mm_s - slice.entry_mm_s) / slice.duration_s,
        }
    }

    /// Adds what happens between `from_s` and `to_s`, counted from the start of the slice.
    fn add_to(&self, bin: &mut Bin, slice: &Slice, from_s: f64, to_s: f64) {
        let speed = |t: f64| slice.entry_mm_s + self.acceleration_mm_s2 * t;
        let first = if from_s > 0.0 {
            speed(from_s)
        } else {
            slice.entry_mm_s
        };
        let last = if to_s < slice.duration_s {
            speed(to_s)
        } else {
            slice.exit_mm_s
        };
        bin.time_s += to_s - from_s;
        bin.length_mm += (to_s - from_s) * (first + last) / 2.0;
        bin.cause_s[Cause::of(slice).index()] += to_s - from_s;
        if slice.kind.is_some() {
            bin.asked_mm_s = bin.asked_mm_s.max(slice.asked_mm_s * slice.pace);
        }
        for speed in [first, last] {
            bin.speed_mm_s.add(speed);
            for (axis, direction) in bin.axes.iter_mut().zip(self.direction) {
                axis.speed_mm_s.add(direction * speed);
                axis.acceleration_mm_s2
                    .add(direction * self.acceleration_mm_s2);
            }
        }
    }
}
