//! A move in the queue, and what is known of it when it comes in and when it leaves.

use crate::brake_map::BrakeMap;
use crate::braking::Bound;
use crate::coordinate::Point;
use crate::junction::{slow_neighbour, slower};
use crate::math::{halved, least, less, most, sqrt};
use crate::pace::{Pace, scaled};
use crate::reason::{Limit, LowPoint};

/// A profile needs some acceleration, however much a bend takes.
const MOST_TURN: f32 = 0.97;

/// Turns are a little of a move where they take 2⁻³ of its acceleration, and it is much faster where its
/// v² is 2³ times theirs: that exponent.
pub(crate) const LONG: u32 = 3;

/// A count of ticks that takes no more room in a queue than a move leaves.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ticks([u32; 2]);

impl From<u64> for Ticks {
    fn from(ticks: u64) -> Self {
        Self([ticks as u32, (ticks >> 32) as u32])
    }
}

impl From<Ticks> for u64 {
    fn from(Ticks([low, high]): Ticks) -> Self {
        Self::from(high) << 32 | Self::from(low)
    }
}

/// What waits in the queue.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Queued<const N: usize> {
    Move(Straight<N>),
    /// Rest for so many ticks.
    Rest {
        ticks: Ticks,
        tag: u32,
    },
    /// Rest until it is told to go on.
    Wait {
        tag: u32,
    },
}

impl<const N: usize> Queued<N> {
    /// Braking over it.
    pub fn braking(&self) -> BrakeMap {
        match self {
            Self::Move(straight) => straight.braking(straight.reach()),
            Self::Rest { .. } | Self::Wait { .. } => BrakeMap::REST,
        }
    }
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct Straight<const N: usize> {
    pub to: Point<N>,
    pub length: f32,
    /// The highest speed that any override may ask for, and the programmed one, infinite for a rapid.
    pub most: f32,
    pub feed: f32,
    pub acceleration: f32,
    /// The axes that limit its speed and its acceleration.
    pub axes: AxisPair,
    pub tag: u32,
    /// The most v² at its start, and the place that sets it.
    pub entry: f32,
    pub low: LowPoint,
    /// The most v² that the turn at its start allows, whatever the feeds; a bend sets it.
    pub turn: f32,
    pub turn_bends: bool,
    /// v² at which a bend leaves no acceleration along it; infinite where it is straight, or long.
    pub bend: f32,
}

/// Two axes in one byte.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AxisPair(u8);

impl AxisPair {
    pub const fn new(speed: u8, acceleration: u8) -> Self {
        Self(speed << 4 | acceleration & 15)
    }

    pub const fn speed(self) -> u8 {
        self.0 >> 4
    }

    pub const fn acceleration(self) -> u8 {
        self.0 & 15
    }
}

impl<const N: usize> Straight<N> {
    /// Its highest speed at this pace, and what sets it.
    pub fn cap(&self, pace: &Pace) -> (f32, Limit) {
        if !less(self.feed, f32::INFINITY) {
            let slowed = less(pace.rapid, 1.0);
            let limit = if slowed {
                Limit::Feed
            } else {
                Limit::AxisSpeed(self.axes.speed())
            };
            return (scaled(self.most, pace.rapid), limit);
        }
        let wanted = scaled(self.feed, pace.feed);
        if less(self.most, wanted) {
            (self.most, Limit::AxisSpeed(self.axes.speed()))
        } else {
            (wanted, Limit::Feed)
        }
    }

    /// How much v² can change over it.
    pub fn reach(&self) -> f32 {
        let half = self.acceleration * self.length;
        half + half
    }

    /// The least v² that can be had `length` mm after v² = `entry` with what its bend leaves of the
    /// acceleration.
    pub fn eased(&self, entry: f32, length: f32) -> f32 {
        let half = self.acceleration * length;
        let mut change = half + half;
        if less(self.bend, f32::INFINITY) {
            change *= most(1.0 - entry / self.bend, 0.0);
        }
        most(entry - change, 0.0)
    }

    /// The most v² that can be had at its end, `length` mm from a place passed at v² = `entry`, with
    /// `cap` as its highest speed.
    ///
    /// On a bend, speeding up gets what the turn leaves, as braking does. Where moves that came
    /// late make a bend of what is too near to slow down for, the machine brakes as hard as the
    /// axes allow: corners and stops can always be kept.
    pub fn exit_v2(&self, cap: f32, length: f32, entry: f32, bound: &Bound) -> f32 {
        let half = self.acceleration * length;
        let reach = half + half;
        let cap2 = cap * cap;
        let mut fastest = bound.v2;
        if less(cap2, fastest) {
            fastest = if less(cap2, entry) {
                // An override made it slower since: it gets there in its own time.
                most(cap2, least(fastest, self.eased(entry, length)))
            } else {
                cap2
            };
        }
        // Below `bend`, the entry itself can be had.
        if !less(fastest, entry) || less(self.bend, entry) {
            let mut reached = entry + reach;
            if less(self.bend, f32::INFINITY) {
                reached /= 1.0 + reach / self.bend;
            }
            fastest = least(fastest, reached);
        }
        if less(fastest, entry) {
            fastest = most(fastest, least(bound.firm, entry - reach));
        }
        fastest
    }

    /// The acceleration for a profile between two v² over `length` mm: what a bend leaves at the
    /// highest speed of that profile, and at least what the ends ask for.
    ///
    /// The peak b without a cruise is where b = (b₀ + b₁)/2 + a·h (see `trapezoid.rs`) meets
    /// a = A·(1 − b/`bend`).
    pub fn acceleration_between(&self, cap: f32, length: f32, entry: f32, exit: f32) -> f32 {
        if !(less(self.bend, f32::INFINITY) && less(0.0, length)) {
            return self.acceleration;
        }
        let half = self.acceleration * length;
        let peak = (0.5 * (entry + exit) + half) / (1.0 + half / self.bend);
        let highest = most(most(least(peak, cap * cap), entry), exit);
        let left = 1.0 - least(highest / self.bend, MOST_TURN);
        let asked = (exit - entry).abs() / (2.0 * length);
        most(self.acceleration * left, asked)
    }

    /// A bend at its start allows this v² at most.
    pub fn bends_to(&mut self, v2: f32) {
        if less(v2, self.turn) {
            (self.turn, self.turn_bends) = (v2, true);
            if less(v2, self.entry) {
                (self.entry, self.low) = (v2, LowPoint::Bend);
            }
        }
    }

    /// Turns on it, passed at v² = `within` at most, take `taken` of the acceleration per v² and mm.
    ///
    /// Where they are but a little of a long and much faster move, nothing turns where it is fast: then they
    /// take at any speed what they take at theirs, and its reach is another.
    pub fn shares(&mut self, taken: f32, within: f32) -> bool {
        self.bend = self.length / taken;
        let long = less(within, halved(self.bend, LONG));
        if long {
            self.acceleration *= 1.0 - within / self.bend;
            self.bend = f32::INFINITY;
        }
        long
    }

    /// What is left of the acceleration for braking from v² = `v2` on.
    pub fn braking_from(&self, v2: f32) -> f32 {
        if less(self.bend, f32::INFINITY) {
            self.acceleration * (1.0 - least(v2 / self.bend, MOST_TURN))
        } else {
            self.acceleration
        }
    }

    /// Gives it a new entry, v² and what sets it, where the caps of the move before and of this one
    /// have changed; from the move before, v² comes down to `reached` at least, or to `shared` with what
    /// bends leave. The v² that is for sure comes back.
    pub fn renew(
        &mut self,
        before: (f32, Limit),
        after: (f32, Limit),
        reached: f32,
        shared: f32,
    ) -> f32 {
        // Where the program stops it goes on doing so, for the same reason.
        if !less(0.0, self.turn) {
            return 0.0;
        }
        let (slower, limit) = slower(before, after);
        (self.entry, self.low) = (
            least(self.turn, most(slower, shared)),
            slow_neighbour(limit),
        );
        if less(self.turn, slower) {
            self.low = if self.turn_bends {
                LowPoint::Bend
            } else {
                LowPoint::Corner
            };
        }
        if self.turn_bends {
            // A bend that moves made that came late need not be one that can be braked for.
            most(least(self.turn, slower), reached)
        } else {
            least(self.turn, most(slower, reached))
        }
    }

    /// Braking over it, with its reach.
    pub fn braking(&self, reach: f32) -> BrakeMap {
        BrakeMap::new(self.entry, self.low, reach, self.bend)
    }
}

/// What the look-ahead found out about a move when it came in.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct MoveFacts {
    /// Length, mm.
    pub length: f32,
    /// Highest speed, mm/s.
    pub speed_cap: f32,
    /// What sets it: the feed or an axis's speed.
    pub cap_limit: Limit,
    /// Acceleration along the move, mm/s².
    pub acceleration: f32,
    /// The most v² that the corner at its start allows, mm²/s²; infinite for no limit, 0 at a stop.
    pub corner_v2: f32,
}

impl MoveFacts {
    /// The most speed that the corner at its start allows, mm/s; `None` for no limit, 0 at a stop.
    pub fn corner_speed(&self) -> Option<f32> {
        self.corner_v2.is_finite().then(|| sqrt(self.corner_v2))
    }
}

/// A move and the speeds of its ends, as [`LookAhead::take`](crate::LookAhead::take) gives it.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PlannedMove {
    /// The tag that the caller gave it.
    pub tag: u32,
    /// v² at its start, mm²/s².
    pub entry_v2: f32,
    /// v² at its end, mm²/s².
    pub exit_v2: f32,
    /// The most v² that corner, bends and caps allow at its start, mm²/s².
    pub limit_v2: f32,
    /// What bends at its ends leave of the acceleration along it at any speed, mm/s².
    pub acceleration: f32,
    /// The v² at which a bend along it leaves no acceleration along it, mm²/s²; infinite where it is
    /// straight. At v² = b, speed may change with the part 1 − b/`bend_v2` of the acceleration.
    pub bend_v2: f32,
}

#[cfg(test)]
mod tests;
