//! When a ramp reaches a part of its way.

use crate::math::sqrt;

/// Time as a function of the way within one ramp, in ticks.
///
/// With τ the part of the time, u the part of the way and w = 2·entry/(entry + exit), the way is
/// u = w·τ + (1 − w)·τ². Solved without a difference of near numbers,
/// τ = 2u/(w + √(w² + 4(1 − w)·u)); a ramp that slows down is solved backwards from its end,
/// where it is steepest. So the way is always counted from the slow end.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Shape {
    pub kind: Kind,
    /// How long it lasts, ticks.
    pub ticks: f32,
    /// Ticks from the tick at which the ramp begins to its slow end, with half a tick for rounding
    /// to the nearest.
    slow_end: f32,
    /// w of the ramp seen from its slow end, w², and 4(1 − w).
    w: f32,
    pub w2: f32,
    pub k: f32,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) enum Kind {
    Steady,
    Rising,
    Falling,
}

impl Shape {
    /// A ramp between these speeds that lasts `duration` and begins `fraction` after a tick, both
    /// in 2⁻³² of a tick.
    pub fn new(entry: f32, exit: f32, duration: u64, fraction: u32) -> Self {
        const TICK: f32 = 1.0 / 4_294_967_296.0;
        let (kind, slow, from_tick) = if entry < exit {
            (Kind::Rising, entry, fraction.into())
        } else if entry > exit {
            (Kind::Falling, exit, duration + u64::from(fraction))
        } else {
            (Kind::Steady, entry, fraction.into())
        };
        let w = if kind == Kind::Steady {
            1.0
        } else {
            2.0 * slow / (entry + exit)
        };
        Self {
            kind,
            ticks: duration as f32 * TICK,
            slow_end: from_tick as f32 * TICK + 0.5,
            w,
            w2: w * w,
            k: 4.0 * (1.0 - w),
        }
    }

    /// Ticks, plus half a tick, from the tick at which the ramp begins to where the part `u` of its
    /// way lies between there and the slow end.
    #[inline]
    pub fn time(&self, u: f32) -> f32 {
        match self.kind {
            Kind::Steady => self.slow_end + self.ticks * u,
            Kind::Rising => self.slow_end + self.ticks * self.part_of_time(u),
            Kind::Falling => self.slow_end - self.ticks * self.part_of_time(u),
        }
    }

    /// The part of the time, from the slow end as the way.
    #[inline]
    fn part_of_time(&self, u: f32) -> f32 {
        let root = sqrt(self.w2 + self.k * u);
        // From rest, w is 0, and at u = 0 there is nothing to divide.
        if u > 0.0 {
            2.0 * u / (self.w + root)
        } else {
            0.0
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Half a tick is for rounding.
    #[test]
    fn a_ramp_begins_and_ends_in_time_from_rest_too() {
        let ticks = 1000_u64 << 32;
        for (entry, exit, at_slow_end, at_other) in [
            (0.0, 5.0, 0.5, 1000.5),
            (5.0, 0.0, 1000.5, 0.5),
            (5.0, 5.0, 0.5, 1000.5),
            (2.0, 5.0, 0.5, 1000.5),
        ] {
            let shape = Shape::new(entry, exit, ticks, 0);
            assert_eq!([shape.time(0.0), shape.time(1.0)], [at_slow_end, at_other]);
        }
    }
}
