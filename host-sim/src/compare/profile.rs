//! Speed along one axis, in memory that does not grow with the job: bins double their width when the
//! job outgrows them.

use super::ramp::{Point, Ramp};
use crate::recording::groups;

/// The most bins that are kept.
const MAX_BINS: usize = 4096;

/// Speed along one axis, in bins of equal width.
#[derive(Clone, Debug)]
pub struct Profile {
    width: f64,
    end: f64,
    bins: Vec<Bin>,
}

/// What happens within a bin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bin {
    /// Time spent in it, s.
    pub time_s: f64,
    /// Way covered in it, mm.
    pub length_mm: f64,
    /// Lowest speed, mm/s; endless where nothing happens.
    pub low_mm_s: f64,
    /// Highest speed, mm/s.
    pub high_mm_s: f64,
}

impl Bin {
    const EMPTY: Self = Self {
        time_s: 0.0,
        length_mm: 0.0,
        low_mm_s: f64::INFINITY,
        high_mm_s: 0.0,
    };

    /// Mean speed, mm/s: the way over the time, so that slow places count by what they cost.
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
        self.low_mm_s = self.low_mm_s.min(other.low_mm_s);
        self.high_mm_s = self.high_mm_s.max(other.high_mm_s);
    }
}

impl Profile {
    /// Of a run that has not begun, in bins `width` wide at first: a power of two, so that doubled
    /// bins meet exactly.
    pub(super) fn new(width: f64) -> Self {
        Self {
            width,
            end: 0.0,
            bins: Vec::new(),
        }
    }

    /// Where the run ends on this axis.
    pub fn end(&self) -> f64 {
        self.end
    }

    /// The time spent up to `at`, s. Within a bin it goes evenly.
    pub fn time_up_to(&self, at: f64) -> f64 {
        let place = (at / self.width).max(0.0);
        let index = (place as usize).min(self.bins.len());
        let before: f64 = self.bins[..index].iter().map(|bin| bin.time_s).sum();
        let Some(bin) = self.bins.get(index) else {
            return before;
        };
        let start = index as f64 * self.width;
        let width = (self.end - start).min(self.width);
        before + bin.time_s * ((at - start) / width).clamp(0.0, 1.0)
    }

    /// The run in bins at least `least` wide: the middle of each and what happens in it. The last
    /// may be narrower.
    pub fn bins(&self, least: f64) -> Vec<(f64, Bin)> {
        let size = (least / self.width).ceil().max(1.0) as usize;
        let width = size as f64 * self.width;
        let middle = |index: usize| {
            let start = index as f64 * width;
            0.5 * (start + (start + width).min(self.end))
        };
        let bins = joined(&self.bins, size).into_iter().enumerate();
        bins.map(|(index, bin)| (middle(index), bin)).collect()
    }

    /// Adds `ramp`, which spans `span` of this axis; `point` tells where it is after a part of that.
    pub(super) fn add(&mut self, span: f64, ramp: &Ramp, point: impl Fn(f64) -> Point) {
        if span <= 0.0 {
            return;
        }
        let start = self.end;
        self.end += span;
        while self.end > self.width * MAX_BINS as f64 {
            self.width *= 2.0;
            self.bins = joined(&self.bins, 2);
        }
        let last = ((self.end / self.width) as usize).min(MAX_BINS - 1);
        let mut from = ramp.start();
        for index in (start / self.width) as usize..=last {
            let edge = (index + 1) as f64 * self.width - start;
            // The end of the ramp as it is, so that its speed is kept to the last digit.
            let to = if edge < span { point(edge) } else { ramp.end() };
            // A ramp that ends with a bin only touches the next.
            if to.time_s <= from.time_s {
                continue;
            }
            if self.bins.len() <= index {
                self.bins.resize(index + 1, Bin::EMPTY);
            }
            self.bins[index].absorb(&Bin {
                time_s: to.time_s - from.time_s,
                length_mm: to.length_mm - from.length_mm,
                low_mm_s: from.speed_mm_s.min(to.speed_mm_s),
                high_mm_s: from.speed_mm_s.max(to.speed_mm_s),
            });
            from = to;
        }
    }
}

fn joined(bins: &[Bin], size: usize) -> Vec<Bin> {
    groups(bins, size, &Bin::EMPTY, Bin::absorb)
}
