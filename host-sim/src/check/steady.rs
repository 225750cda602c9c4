//! Where the velocity of an axis is so even that no windows can show a new worst acceleration.
//!
//! Let uᵢ be the velocity from one kept sample to the next, and mᵢ the middle of that time. The mean
//! velocity of a window is the mean of its uᵢ, and the middle of the window that of its mᵢ, both weighted
//! by time. So where
//!
//!   |uᵢ₊₁ − uᵢ| ≤ b·(mᵢ₊₁ − mᵢ)
//!
//! holds for all neighbours in two windows and between them, the velocities of the windows differ by
//! no more than b times the time between their middles: they show at most b, wherever they lie. One
//! comparison a kept sample then takes the place of sliding them.
//!
//! The windows may also end at a sample that is not kept, at `t`, a way ε off where the axis would be had
//! it gone on from the last kept sample at the velocity before that. Going on like this changes no
//! velocity, and ε adds ε/w to that of the later window: the windows show at most b + ε/(w·D).
//!
//! With b at 0.8 of what must be exceeded for a new worst, and ε/(w·D) at most 0.19 of it, a hundredth is
//! left: far more than the rounding of f64, which is below 1e-15 of the velocity over D.

/// Part of what must be exceeded that neighbours may show, and the end of a window.
const NEIGHBOURS: f64 = 0.8;
const END: f64 = 0.19;

/// The evenness of the samples so far.
#[derive(Clone, Copy, Debug)]
pub(super) struct Steady {
    /// Velocity between the last two kept samples, mm/tick, and the time of the earlier one; NaN
    /// where there are none.
    velocity: f64,
    start: f64,
    /// Windows that start at this sample or later are even.
    since: usize,
    /// Half of b, as the middles lie half as far apart as the ends; below 0 where nothing is even.
    half: f64,
}

impl Steady {
    /// Nothing known, and nothing even before `exceed` was called.
    pub const NEW: Self = Self {
        velocity: f64::NAN,
        start: f64::NAN,
        since: 0,
        half: -1.0,
    };

    /// New samples follow, from index `first` on, that have nothing to do with those before.
    pub fn start(&mut self, first: usize) {
        (self.velocity, self.start, self.since) = (f64::NAN, f64::NAN, first);
    }

    /// Only an acceleration above `bound` is of interest, mm/tick²; it may not become less. Bounds of
    /// less than a hundredth of the `limit` are too near to the rounding.
    pub fn exceed(&mut self, bound: f64, limit: f64) {
        self.half = if bound >= 0.01 * limit {
            NEIGHBOURS * bound / 2.0
        } else {
            -1.0
        };
    }

    /// The sample that follows the one with index `last`, kept at `from` ticks: at `t`, with
    /// `velocity` between them.
    #[inline]
    pub fn keep(&mut self, last: usize, from: f64, t: f64, velocity: f64) {
        // Not so where there is nothing before to compare with, which is NaN.
        if (velocity - self.velocity).abs() > self.half * (t - self.start) {
            self.since = last;
        }
        (self.velocity, self.start) = (velocity, from);
    }

    /// Whether windows that start at sample `first` or later are even.
    #[inline]
    pub fn is_even(&self, first: usize) -> bool {
        self.since <= first
    }

    /// Where `is_even`: whether they still are where they end `late` ticks after the last kept sample, and `way` mm
    /// from it. `product` is w·D, at least.
    #[inline]
    pub fn goes_on(&self, late: f64, way: f64, product: f64) -> bool {
        let off = (way - self.velocity * late).abs();
        // With nothing before, two windows have no room.
        off <= END / NEIGHBOURS * 2.0 * self.half * product || self.velocity.is_nan()
    }
}

#[cfg(test)]
mod tests;
