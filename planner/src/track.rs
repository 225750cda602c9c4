//! One axis in the pulse generator: where it stands, and where it steps next.

use crate::machine::Timing;
use crate::shape::Shape;

/// One step, half a step and 1/16 step, in 2⁻³² of a step.
const STEP: i64 = 1 << 32;
const HALF: i64 = STEP / 2;
/// How far past the half-way point an axis goes before it steps back.
const TURN: i64 = STEP / 16;

/// No step is due.
pub(crate) const NEVER: u64 = u64::MAX;

#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Track {
    /// When the next step is due, [`NEVER`] where this ramp has none left.
    pub due: u64,
    /// When the last step was made.
    made: u64,
    /// Steps left in this ramp.
    left: u32,
    /// Ticks from the start of the ramp to the step after the one that is due: one step ahead, so
    /// that a processor that works out of order need not wait for it.
    after: u32,
    /// Where that step is made, and where the current ramp begins and ends, 2⁻³² of a step.
    at: i64,
    from: i64,
    to: i64,
    /// 1 over the length of the ramp.
    inverse: f32,
    /// Where the motor stands, and which way it stepped last.
    step: i32,
    last_way: i8,
    way: i8,
}

impl Track {
    /// An axis at rest at `position`.
    pub fn new(position: i64) -> Self {
        Self {
            due: NEVER,
            made: 0,
            left: 0,
            after: 0,
            at: position,
            from: position,
            to: position,
            inverse: 0.0,
            step: ((position + HALF) >> 32) as i32,
            last_way: 0,
            way: 1,
        }
    }

    pub fn step(&self) -> i32 {
        self.step
    }

    /// Begins a ramp of `length` and this shape, where the last one ended; true if it has steps.
    pub fn begin(&mut self, length: i64, shape: &Shape) -> bool {
        self.from = self.to;
        self.to += length;
        if length == 0 {
            return false;
        }
        self.way = if length > 0 { 1 } else { -1 };
        let way = i64::from(self.way);
        let half_way = i64::from(self.step) * STEP + HALF * way;
        let turns = self.last_way == -self.way;
        self.at = half_way + if turns { TURN * way } else { 0 };
        if (self.to - self.at) * way < 0 {
            return false;
        }
        self.left = ((self.to - half_way) * way / STEP) as u32 + 1;
        self.inverse = 1.0 / (length.unsigned_abs() as f32);
        self.after = shape.crossing(self);
        self.at = half_way + STEP * way;
        true
    }

    /// Looks one step further; the time of the step before comes back, `None` where the ramp has
    /// no step left.
    #[inline]
    pub fn advance(&mut self, shape: &Shape) -> Option<u32> {
        self.left = self.left.checked_sub(1)?;
        let ticks = self.after;
        if self.left > 0 {
            self.after = shape.crossing(self);
            self.at += STEP * i64::from(self.way);
        }
        Some(ticks)
    }

    /// The part of the ramp up to the step that is looked at.
    #[inline]
    pub fn part(&self) -> f32 {
        (self.at - self.from).unsigned_abs() as f32 * self.inverse
    }

    /// The part of the ramp from that step to the end: it keeps its digits where it is small.
    #[inline]
    pub fn part_left(&self) -> f32 {
        (self.to - self.at).unsigned_abs() as f32 * self.inverse
    }

    /// The earliest tick at which the driver can take the next step.
    #[inline]
    pub fn earliest(&self, timing: Timing) -> u64 {
        let gap = match self.last_way * self.way {
            0 => return 0,
            1 => timing.same_way,
            _ => timing.other_way,
        };
        self.made + u64::from(gap)
    }

    /// Makes the step that is due; true if the position grows.
    #[inline]
    pub fn take(&mut self) -> bool {
        self.step += i32::from(self.way);
        self.last_way = self.way;
        self.made = self.due;
        self.due = NEVER;
        self.way > 0
    }
}
