//! Spacing of the pulses of each axis: the driver's minimum period, and the time that the direction
//! line needs before a step the other way.

use super::result::{CheckResult, Here, Worst, Writer};
use crate::machine::Controller;
use crate::motion::AXES;

/// Ticks between pulses are whole numbers; a limit that is one but for f64 noise must not round up.
const NOISE: f64 = 1e-6;

/// The check.
#[derive(Clone, Debug)]
pub(super) struct Spacing {
    period: f64,
    turn: f64,
    last: [f64; AXES],
    direction: [i8; AXES],
    /// Least time, negated: the worst is the smallest.
    same: Worst,
    back: Worst,
}

impl Spacing {
    pub fn new(controller: &Controller) -> Self {
        let hz = f64::from(controller.timer_hz);
        let period = controller.pulse_period_s;
        let turn = period.max(controller.pulse_width_s + controller.direction_setup_s);
        Self {
            period: period * hz,
            turn: turn * hz,
            last: [f64::NEG_INFINITY; AXES],
            direction: [0; AXES],
            same: Worst::NONE,
            back: Worst::NONE,
        }
    }

    /// A pulse this long after the last of its axis, ticks, may have had to wait for it; later
    /// ones were free to come when due.
    pub fn waits(&self) -> f64 {
        (self.turn - NOISE).ceil().max(1.0)
    }

    /// A pulse; true if it may have had to wait for the one before.
    #[inline]
    pub fn pulse(&mut self, t: f64, axis: usize, direction: i8, here: &Here) -> bool {
        let apart = t - self.last[axis];
        let back = direction != self.direction[axis];
        let (worst, limit) = if back {
            (&mut self.back, self.turn)
        } else {
            (&mut self.same, self.period)
        };
        // The first one of an axis comes after infinity.
        if apart < -worst.value {
            worst.raise(-apart, -limit, Some(axis), here);
        }
        self.last[axis] = t;
        self.direction[axis] = direction;
        apart < limit + 1.0
    }

    pub fn results(&self, writer: Writer) -> [CheckResult; 2] {
        let one = |name, limit: f64, worst: &Worst, what: &str| {
            let figures = (limit / writer.hz, -worst.value / writer.hz, "s");
            let pass = -worst.value >= limit - NOISE;
            writer.result(name, what.into(), figures, worst, pass)
        };
        [
            one(
                "pulse period",
                self.period,
                &self.same,
                "Shortest time from one step of an axis to its next in the same direction; at \
                 least the driver's minimum period.",
            ),
            one(
                "direction setup",
                self.turn,
                &self.back,
                "Shortest time between two steps of an axis in opposite directions; at least the \
                 minimum period, and `pulse_width` and `direction_setup` together: the direction \
                 changes after the pulse, and must stand before the next.",
            ),
        ]
    }
}

#[cfg(test)]
mod tests;
