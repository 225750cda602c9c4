//! When a ramp reaches a part of its way.

use crate::math::sqrt;
use crate::track::Track;

/// Time as a function of the way within one ramp, in ticks.
///
/// With τ the part of the time, u the part of the way and w = 2·entry/(entry + exit), the way is
/// u = w·τ + (1 − w)·τ². Solved without a difference of near numbers,
/// τ = 2u/(w + √(w² + 4(1 − w)·u)); a ramp that slows down is solved backwards from its end,
/// where it is steepest.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Shape {
    kind: Kind,
    /// Duration, and ticks from the tick at which the ramp begins to its start and to its end,
    /// with half a tick for rounding to the nearest.
    ticks: f32,
    start: f32,
    end: f32,
}

#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
enum Kind {
    Steady,
    Rising(Curve),
    Falling(Curve),
}

/// A ramp that speeds up, seen from its slow end.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
struct Curve {
    w: f32,
    w2: f32,
    k: f32,
}

impl Curve {
    fn new(slow: f32, fast: f32) -> Self {
        let w = 2.0 * slow / (slow + fast);
        Self {
            w,
            w2: w * w,
            k: 4.0 * (1.0 - w),
        }
    }

    #[inline]
    fn time(&self, u: f32) -> f32 {
        let root = sqrt(self.w2 + self.k * u);
        // From rest, w is 0, and at u = 0 there is nothing to divide.
        if u > 0.0 {
            2.0 * u / (self.w + root)
        } else {
            0.0
        }
    }
}

impl Default for Shape {
    fn default() -> Self {
        Self::new(0.0, 0.0, 0, 0)
    }
}

impl Shape {
    /// A ramp between these speeds that lasts `duration` and begins `fraction` after a tick, both
    /// in 2⁻³² of a tick.
    pub fn new(entry: f32, exit: f32, duration: u64, fraction: u32) -> Self {
        const TICK: f32 = 1.0 / 4_294_967_296.0;
        Self {
            kind: if entry == exit {
                Kind::Steady
            } else if entry < exit {
                Kind::Rising(Curve::new(entry, exit))
            } else {
                Kind::Falling(Curve::new(exit, entry))
            },
            ticks: duration as f32 * TICK,
            start: fraction as f32 * TICK + 0.5,
            end: (duration + u64::from(fraction)) as f32 * TICK + 0.5,
        }
    }

    /// Whole ticks from the tick at which the ramp begins to the step that `track` looks at.
    #[inline]
    pub fn crossing(&self, track: &Track) -> u32 {
        let ticks = match &self.kind {
            Kind::Steady => self.start + self.ticks * track.part(),
            Kind::Rising(curve) => self.start + self.ticks * curve.time(track.part()),
            Kind::Falling(curve) => self.end - self.ticks * curve.time(track.part_left()),
        };
        ticks as u32
    }
}
