//! Rest at the start, at the end, at every stop, and where the path turns back on itself.
//!
//! What pulses can prove. A pulse shows where the path is at one moment, never a speed; rest is
//! proven by the time that motion within the acceleration limit must take around it. On a straight
//! leg with acceleration at most A that starts at rest, the path is at distance d not sooner than
//! √(2d/A) after it starts, and its speed there is at most √(2Ad). Hence:
//!
//! - *across a stop*, from d₁ before it to d₂ after it: at least √(2d₁/A₁) + the rest asked +
//!   √(2d₂/A₂);
//! - *after a stop*, from its first pulse at d₁ to a later one at d₂: at least √(2d₂/A) − √(2d₁/A)
//!   (D. Austin, 2004: the interval of the n-th step from rest);
//! - *before a stop*, the same, read backwards.
//!
//! The first holds when the machine is slow enough, wherever it rests; the other two show that it
//! did not halt or start at speed with a pause between. At the job's start the time runs from tick
//! 0; at its end only the third can be said. What cannot be proven: that an axis rests rather than
//! creeps between two steps, and anything about a leg that holds no pulse but its length.

use super::corner::least_time;
use super::result::{CheckResult, Here, Worst, Writer};
use super::ring::Ring;
use super::segment::POSITION_MM;

/// A place where the machine rests.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stop {
    /// Speed still allowed there, mm/tick: 0 but at a turn back that is not quite one.
    pub speed: f64,
    /// Least rest, ticks.
    pub rest: f64,
}

/// Part of a time that is not asked for: arithmetic in single precision (1e-6) and directions of
/// short pieces.
const PART: f64 = 2e-3;

/// A pulse's path length is known to this, mm: the position, seen along an axis that has at least
/// half of the path's speed.
const ALONG_MM: f64 = 2.0 * POSITION_MM;

/// Pulses before a stop that are held against its last one.
const LOOK_BACK: usize = 48;

/// The pulses that are kept of the legs.
pub(super) type Kept = Ring<256>;

/// The check: the largest time that was missing.
#[derive(Clone, Debug)]
pub(super) struct Rest {
    short: Worst,
    stops: u64,
    limit: f64,
}

impl Rest {
    /// `late`: the most that a pulse may be late, ticks.
    pub fn new(late: f64) -> Self {
        Self {
            short: Worst::NONE,
            stops: 0,
            limit: 2.0 + late,
        }
    }

    /// A stop was passed (the start and the end count).
    pub fn stopped(&mut self) {
        self.stops += 1;
    }

    /// Time at least from rest to distance `d`, for one leg.
    pub fn time(stop: &Stop, d: f64, accel: f64) -> f64 {
        (1.0 - PART) * least_time(d - ALONG_MM, stop.speed, accel)
    }

    /// `taken` is the time between two pulses, `asked` what it must be at least, ticks.
    pub fn require(&mut self, taken: f64, asked: f64, here: &Here) {
        self.short.raise(asked - taken, self.limit, None, here);
    }

    /// Between two pulses of one leg, `near` and `far` (mm) from a stop at its start or end.
    pub fn beside(
        &mut self,
        stop: &Stop,
        near: f64,
        far: f64,
        accel: f64,
        taken: f64,
        here: &Here,
    ) {
        let near = least_time(near.max(0.0) + ALONG_MM, stop.speed, accel);
        self.require(taken, Self::time(stop, far, accel) - near, here);
    }

    /// The stop at path length `s` that the leg leads to, whose kept pulses are `first..` in the
    /// ring and whose very last is at time `last`, path length `end`.
    pub fn before(
        &mut self,
        stop: &Stop,
        s: f64,
        accel: f64,
        (ring, first): (&Kept, usize),
        ((last, end), here): ((f64, f64), &Here),
    ) {
        let first = first
            .max(ring.oldest())
            .max(ring.next().saturating_sub(LOOK_BACK));
        for at in first..ring.next() {
            let [t, far, _] = ring.get(at);
            self.beside(stop, s - end, s - far, accel, last - t, here);
        }
    }

    pub fn result(&self, writer: Writer) -> CheckResult {
        let limit = self.limit / writer.hz;
        let worst = self.short.value.max(0.0) / writer.hz;
        let what = format!(
            "At rest at the start, at the end and at every stop ({} in all): the time that must \
             have passed by the acceleration limits, and the rest asked, is not missing by more \
             than the rounding of two pulses and the most that one may be late.",
            self.stops
        );
        let pass = self.short.value <= self.limit;
        writer.result("rest", what, (limit, worst, "s"), &self.short, pass)
    }
}
