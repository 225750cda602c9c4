//! The trapezoidal profile of a move, one slice at a time.

use crate::math::{least, less, most, sqrt};

/// What a move still has to do, mm, mm/s, mm/s².
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rest {
    /// Speed now.
    pub entry: f32,
    /// Length left, 0 where rounding took the last of it.
    pub length: f32,
    /// Acceleration along the move.
    pub acceleration: f32,
    /// Highest speed on the move.
    pub cap: f32,
    /// v² at its end, which can be had.
    pub exit_v2: f32,
    /// It brakes to this end already: what rounding leaves over is no reason to stop braking.
    pub falling: bool,
}

/// What the speed does in a slice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Phase {
    Rise,
    Cruise,
    /// To the end of the move, or to rest.
    Fall,
    /// To the cap, which is lower now than it was.
    Ease,
}

/// The next stretch of constant acceleration.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Slice {
    pub phase: Phase,
    /// mm; the whole rest where `whole` is set.
    pub length: f32,
    /// mm/s
    pub exit: f32,
    /// s
    pub time: f32,
    /// Nothing of the move is left after this.
    pub whole: bool,
}

impl Rest {
    /// The first slice of the fastest profile, at most `longest` s; what would last less than
    /// `shortest` s at nearly the same speed is joined to its neighbour.
    ///
    /// The peak is v² = (v₀² + v₁²)/2 + a·h where there is no cruise (Biagiotti, Melchiorri,
    /// *Trajectory Planning for Automatic Machines and Robots*, 2008, §3.2).
    pub fn first_slice(&self, longest: f32, shortest: f32) -> Slice {
        let (v0, a) = (self.entry, self.acceleration);
        let b0 = v0 * v0;
        let b1 = self.exit_v2;
        let exit = sqrt(b1);
        if !less(0.0, self.length) {
            let (phase, length, time) = (Phase::Fall, 0.0, 0.0);
            return Slice {
                phase,
                length,
                exit,
                time,
                whole: true,
            };
        }
        let cap2 = self.cap * self.cap;
        let peak2 = least(0.5 * (b0 + b1) + a * self.length, cap2);
        let peak = if peak2 == cap2 { self.cap } else { sqrt(peak2) };
        // Speeds are known to a few units in the last place, so that times are to the same part
        // of v/a. Less than that is no slice of its own either, however fast the timer is.
        let shortest = most(shortest, 4.0 * f32::EPSILON * most(peak, v0) / a);
        let same = |u: f32, v: f32| !less(least(1e-4 * u, shortest * a), u - v);

        if less(self.cap, v0) && !same(v0, self.cap) && !self.falling {
            let time = (v0 - self.cap) / a;
            if less(0.5 * (v0 + self.cap) * time, self.length) {
                return even(Phase::Ease, v0, -a, time, longest);
            }
            let braking = (b1 - b0) / (2.0 * self.length);
            return self.up_to_end(Phase::Ease, exit, braking, longest);
        }
        if less(v0, peak) && !same(peak, v0) && !self.falling {
            let time = (peak - v0) / a;
            let after = self.length - 0.5 * (v0 + peak) * time;
            if !less(peak * shortest, after) && same(peak, exit) {
                // Over all of the length that is left, which is more than the rise asks for: where a
                // tick is long, so much that the full acceleration would go past the cap.
                let rising = (b1 - b0) / (2.0 * self.length);
                return self.up_to_end(Phase::Rise, exit, rising, longest);
            }
            return even(Phase::Rise, v0, a, time, longest);
        }
        let fall = most(b0 - b1, 0.0) / (2.0 * a);
        let steady = self.length - fall;
        // A peak left out because it is the same leaves (peak² − v₀²)/a ≤ 2·peak·shortest.
        if less(0.0, v0) && !self.falling && less(2.0 * peak * shortest, steady) {
            if same(v0, exit) {
                return self.up_to_end(Phase::Cruise, exit, 0.0, longest);
            }
            return even(Phase::Cruise, v0, 0.0, steady / v0, longest);
        }
        let phase = if less(exit, v0) {
            Phase::Fall
        } else if exit == v0 && same(self.cap, v0) {
            Phase::Cruise
        } else {
            Phase::Rise
        };
        // From the length that is left and not from the limit, so that what rounding did to the
        // length is spread over the whole of the braking.
        let braking = (b1 - b0) / (2.0 * self.length);
        self.up_to_end(phase, exit, braking, longest)
    }

    /// The first slice of braking to rest as soon as can be, or to the end of the move if that is
    /// sooner.
    pub fn brake(&self, longest: f32) -> Slice {
        let (v0, a) = (self.entry, self.acceleration);
        let b1 = v0 * v0 - 2.0 * a * self.length;
        if less(0.0, b1) || !less(0.0, self.length) {
            // With all of the way used up, nothing is left to brake on.
            let exit = least(v0, sqrt(least(b1, self.exit_v2)));
            return self.up_to_end(Phase::Fall, exit, -a, longest);
        }
        let time = v0 / a;
        if less(longest, time) {
            return even(Phase::Fall, v0, -a, time, longest);
        }
        Slice {
            phase: Phase::Fall,
            length: least(0.5 * v0 * time, self.length),
            exit: 0.0,
            time,
            whole: false,
        }
    }

    /// A slice of the way to the end of the move, or all of it where it is short enough.
    fn up_to_end(&self, phase: Phase, exit: f32, acceleration: f32, longest: f32) -> Slice {
        let time = 2.0 * self.length / (self.entry + exit);
        if !less(longest, time) {
            return Slice {
                phase,
                length: self.length,
                exit,
                time,
                whole: true,
            };
        }
        even(phase, self.entry, acceleration, time, longest)
    }
}

/// Past this count, slices differ by less than single precision shows, and are as long as may be.
const MOST_PARTS: f32 = 16_777_216.0;

/// The first of the equal slices, each at most `longest`, of a stretch that lasts `time`.
fn even(phase: Phase, entry: f32, acceleration: f32, time: f32, longest: f32) -> Slice {
    let parts = time / longest;
    let whole = parts as u32;
    let time = if less(MOST_PARTS, parts) {
        longest
    } else if !less(whole as f32, parts) {
        time / whole.max(1) as f32
    } else {
        time / (whole + 1) as f32
    };
    let exit = most(entry + acceleration * time, 0.0);
    Slice {
        phase,
        length: 0.5 * (entry + exit) * time,
        exit,
        time,
        whole: false,
    }
}

#[cfg(test)]
mod tests;
