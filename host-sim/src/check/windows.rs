//! Two windows that follow each other, slid along the samples of an axis.

use super::ring::Ring;

/// Samples kept in T.
pub(super) const PARTS: usize = 16;

/// The longest pair spans 8 T.
pub(super) type Kept = Ring<{ (8 * PARTS + 2).next_power_of_two() }>;

/// Two windows: their length w and the gap between them, ticks; w·D; where their samples are.
#[derive(Clone, Copy, Debug)]
pub(super) struct Windows {
    length: f64,
    gap: f64,
    pub product: f64,
    at: [usize; 3],
}

/// Two windows up to the last sample of the earlier one and the first of the later one: what stays
/// the same from pulse to pulse until the windows slide on.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placed {
    /// Way moved in the earlier window, mm, and its length, ticks.
    way: f64,
    wide: f64,
    /// First sample of the later window.
    t2: f64,
    x2: f64,
    /// Sum of the times of the samples of the earlier one.
    t01: f64,
}

impl Placed {
    /// No windows: numbers that compare with nothing.
    pub const NONE: Self = Self {
        way: f64::NAN,
        wide: f64::NAN,
        t2: f64::NAN,
        x2: f64::NAN,
        t01: f64::NAN,
    };

    /// What they show where the axis is at `x` at `t`.
    #[inline]
    pub fn end(&self, t: f64, x: f64) -> Pair {
        let late = t - self.t2;
        Pair {
            ways: [self.way, x - self.x2],
            wide: self.wide,
            late,
            distance: (t + self.t2 - self.t01) / 2.0,
            change: ((x - self.x2) * self.wide - self.way * late).abs(),
        }
    }
}

/// What two windows show.
pub(super) struct Pair {
    /// Ways moved in them, mm; lengths of the windows and between their middles, ticks.
    pub ways: [f64; 2],
    pub wide: f64,
    pub late: f64,
    pub distance: f64,
    /// Change of velocity times both lengths.
    pub change: f64,
}

impl Pair {
    /// What `change` is to be divided by for the acceleration.
    #[inline]
    pub fn unit(&self) -> f64 {
        self.distance * self.wide * self.late
    }

    /// The most by which rounding can shift the acceleration, where positions are known to
    /// `position` mm and times to a tick.
    pub fn rounding(&self, position: f64) -> f64 {
        let speed = (self.ways[0].abs() / self.wide).max(self.ways[1].abs() / self.late);
        2.0 * (speed + position) * (1.0 / self.wide + 1.0 / self.late) / self.distance
    }
}

impl Windows {
    pub fn new(length: f64, distance: f64) -> Self {
        Self {
            length,
            gap: distance - length,
            product: length * distance,
            at: [0; 3],
        }
    }

    /// Index of the sample where the earlier window starts, as it was placed last.
    pub fn first(&self) -> usize {
        self.at[0]
    }

    /// Places the windows so that they end at `t`, if there are samples from `first` on for both.
    #[inline]
    pub fn place(&mut self, ring: &Kept, first: usize, t: f64) -> Option<Placed> {
        let [i0, i1, i2] = self.at;
        let i2 = ring.back(i2.max(first), ring.next(), t, self.length)?;
        self.at[2] = i2;
        let [t2, x2, _] = ring.get(i2);
        let i1 = ring.back(i1.max(first), i2 + 1, t2, self.gap)?;
        self.at[1] = i1;
        let [t1, x1, _] = ring.get(i1);
        let i0 = ring.back(i0.max(first), i1 + 1, t1, self.length)?;
        self.at[0] = i0;
        let [t0, x0, _] = ring.get(i0);
        Some(Placed {
            way: x1 - x0,
            wide: t1 - t0,
            t2,
            x2,
            t01: t0 + t1,
        })
    }

    /// Places them, and tells before what time they need not be placed again.
    pub fn slide(&mut self, ring: &Kept, first: usize, t: f64) -> (Option<Placed>, f64) {
        let placed = self.place(ring, first, t);
        // What comes before follows from the start of the later window alone.
        let until = ring.until(self.at[2].max(first), t, self.length);
        // Before the stretch is as long as both windows (less a tick, for f64) there are none.
        let [start, ..] = ring.get(first);
        let soonest = start + 2.0 * self.length + self.gap - 1.0;
        (
            placed,
            if placed.is_none() {
                until.max(soonest)
            } else {
                until
            },
        )
    }
}

#[cfg(test)]
mod tests;
