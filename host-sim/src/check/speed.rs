//! Speed of each axis, and of the path against the programmed feed.
//!
//! A pulse is a position sample, so the mean speed between two pulses is known but for the rounding
//! of their times, and no mean is above the highest speed. The window must be long enough for the
//! rounding to be small, and is slid at every pulse:
//!
//! - two pulses, each within a tick of the plan, over 400 ticks or more: 2/400 = 0.5 %;
//! - a pulse may be late by the minimum period, over 200 of them or more: 0.5 %;
//! - positions are known to 1e-5 mm (twice that along the path, as seen from an axis with at least
//!   half of its speed), two of them over at least 0.016 mm: 0.25 %;
//! - arithmetic in single precision: 1e-6, nothing.
//!
//! Together 1.25 %, the margin of the limits: 3 % too much speed is always seen where it lasts for
//! a window. Coarse axes need no more: the window is then one step long, between two exact places.
//! The check holds pulses to the limit whatever the path does, so windows may span corners.
//!
//! The feed is programmed piece by piece. Let τ be the time that the path takes at the programmed
//! feed; the feed is kept when τ grows no faster than time does. Rapids add nothing to τ.

use super::result::{CheckResult, Here, Worst, Writer, axis_name};
use super::ring::Ring;
use super::segment::Segment;
use std::hint::select_unpredictable;

/// Margin of the limits, see above.
pub(super) const MARGIN: f64 = 0.0125;

/// Least path of a window, mm.
const LEAST_MM: f64 = 0.016;

/// Samples kept in a window.
const PARTS: usize = 4;

/// Least window, ticks: `late` is the most that a pulse may be late.
pub(super) fn window(late: f64) -> f64 {
    (200.0 * late).max(400.0)
}

/// Tells where no window can show a new worst speed: where from none of its samples to the next it was
/// faster than that.
#[derive(Clone, Copy, Debug)]
struct Slow {
    /// Last sample.
    last: (f64, f64),
    /// A little less than the worst speed, as sums are rounded.
    bound: f64,
    /// All windows begin after it was faster.
    yes: bool,
    /// When it was faster last, ticks.
    fast: f64,
}

impl Slow {
    const NEW: Self = Self {
        last: (f64::NEG_INFINITY, 0.0),
        bound: f64::NEG_INFINITY,
        yes: false,
        fast: f64::NEG_INFINITY,
    };

    /// The next sample, `value` at `t`, `way` from the last one: whether it was faster from there. No
    /// branch, as there is no telling at a steady speed. Where it is not slow a window must be measured.
    #[inline]
    fn goes_on(&mut self, t: f64, value: f64, way: f64) -> bool {
        let faster = way > self.bound * (t - self.last.0);
        self.yes &= !faster;
        self.last = (t, value);
        faster
    }

    /// The window from `t0` to the last sample was measured; the `worst` is known.
    #[inline]
    fn measured(&mut self, faster: bool, t0: f64, worst: f64) {
        let fast = select_unpredictable(faster, self.last.0.to_bits(), self.fast.to_bits());
        self.fast = f64::from_bits(fast);
        self.yes = t0 >= self.fast;
        self.bound = worst * (1.0 - 1e-9);
    }
}

/// Speed of one axis.
#[derive(Clone, Debug)]
pub(super) struct AxisSpeed {
    ring: Ring<{ (PARTS + 2).next_power_of_two() }>,
    from: usize,
    window: f64,
    axis: usize,
    limit: f64,
    worst: Worst,
    slow: Slow,
}

impl AxisSpeed {
    /// `limit` in mm/tick, `window` in ticks.
    pub fn new(axis: usize, limit: f64, window: f64) -> Self {
        Self {
            // Long enough for `LEAST_MM` at the limit: what is much slower is in no danger.
            window: window.max(LEAST_MM / limit),
            ring: Ring::new(window.max(LEAST_MM / limit), PARTS),
            from: 0,
            axis,
            limit,
            worst: Worst::NONE,
            slow: Slow::NEW,
        }
    }

    /// The axis is at `x` mm at `t` ticks.
    #[inline]
    pub fn sample(&mut self, t: f64, x: f64, here: &Here) {
        let way = (x - self.slow.last.1).abs();
        let faster = self.slow.goes_on(t, x, way);
        if !self.slow.yes {
            self.measure(t, x, faster, here);
        }
        self.ring.push([t, x, 0.0]);
    }

    fn measure(&mut self, t: f64, x: f64, faster: bool, here: &Here) {
        self.from = self.ring.follow(self.from, t, self.window);
        let [t0, x0, _] = self.ring.get(self.from);
        let way = (x - x0).abs();
        if way > self.worst.value * (t - t0) && t - t0 >= self.window && t0 >= 0.0 {
            let speed = way / (t - t0);
            self.worst.raise(speed, self.limit, Some(self.axis), here);
        }
        self.slow.measured(faster, t0, self.worst.value);
    }

    /// Highest speed measured, mm/s.
    pub fn peak(&self, writer: Writer) -> f64 {
        self.worst.value.max(0.0) * writer.hz
    }

    pub fn result(&self, writer: Writer) -> CheckResult {
        let limit = self.limit * (1.0 + MARGIN);
        let what = format!(
            "Speed of {}, a mean over {:.3} ms or one step, whichever is longer; the limit of \
             {:.3} mm/s has 1.25 % for the rounding of pulses.",
            axis_name(self.axis),
            self.window / writer.hz * 1e3,
            self.limit * writer.hz
        );
        let worst = Worst {
            axis: Some(self.axis),
            ..self.worst
        };
        let pass = worst.value <= limit;
        let figures = (limit * writer.hz, worst.value * writer.hz, "mm/s");
        writer.result("axis speed", what, figures, &worst, pass)
    }
}

/// Speed of the path against the feed.
#[derive(Clone, Debug)]
pub(super) struct Feed {
    ring: Ring<{ (16 * PARTS + 2).next_power_of_two() }>,
    from: usize,
    window: f64,
    /// Least window for the pace of late.
    asked: f64,
    pace: f64,
    /// Largest growth of τ over time.
    worst: Worst,
    slow: Slow,
}

impl Feed {
    pub fn new(window: f64) -> Self {
        Self {
            // Slow feeds need long windows for `LEAST_MM`: room for 16 of the shortest.
            ring: Ring::new(16.0 * window, 16 * PARTS),
            from: 0,
            window,
            asked: window,
            pace: 0.0,
            worst: Worst::NONE,
            slow: Slow::NEW,
        }
    }

    /// The path is at length `s` mm, on `segment`, at `t` ticks.
    #[inline]
    pub fn sample(&mut self, t: f64, s: f64, segment: &Segment, here: &Here) {
        let due = segment.due0 + (s - segment.s0) * segment.pace;
        if segment.pace != self.pace {
            self.other_pace(segment.pace);
        }
        let way = due - self.slow.last.1;
        let faster = self.slow.goes_on(t, due, way);
        if !self.slow.yes {
            self.measure((t, s), due, faster, here);
        }
        self.ring.push([t, s, due]);
    }

    /// Windows never begin earlier than those before: the last one of the old pace must be found.
    #[cold]
    fn other_pace(&mut self, pace: f64) {
        self.from = self.ring.follow(self.from, self.slow.last.0, self.asked);
        self.pace = pace;
        self.asked = self.window.max(LEAST_MM * pace);
    }

    fn measure(&mut self, (t, s): (f64, f64), due: f64, faster: bool, here: &Here) {
        self.from = self.ring.follow(self.from, t, self.asked);
        let [t0, s0, due0] = self.ring.get(self.from);
        if due - due0 > self.worst.value * (t - t0)
            && t - t0 >= self.asked
            && t0 >= 0.0
            && s - s0 >= LEAST_MM
            && self.pace > 0.0
        {
            let ratio = (due - due0) / (t - t0);
            self.worst.raise(ratio, 1.0 / self.pace, None, here);
        }
        self.slow.measured(faster, t0, self.worst.value);
    }

    pub fn result(&self, writer: Writer) -> CheckResult {
        let what = format!(
            "Speed along the path against the programmed feed, a mean over {:.3} ms and {LEAST_MM} \
             mm or more; the feed there has 1.25 % for the rounding of pulses. Rapids have no feed.",
            self.window / writer.hz * 1e3,
        );
        let feed = self.worst.limit * writer.hz;
        let figures = (feed * (1.0 + MARGIN), feed * self.worst.value, "mm/s");
        let pass = self.worst.value <= 1.0 + MARGIN;
        writer.result("feed", what, figures, &self.worst, pass)
    }
}

#[cfg(test)]
mod tests;
