//! One axis in the pulse generator: where it stands, and where it steps next.

use crate::machine::Timing;

/// One step, half a step and 1/16 step, in 2⁻³² of a step.
const STEP: i64 = 1 << 32;
const HALF: i64 = STEP / 2;
/// How far past the half-way point an axis goes before it steps back.
const TURN: i64 = STEP / 16;

#[derive(Clone, Copy, Debug)]
pub(crate) struct Track {
    /// Where the current ramp begins and ends, 2⁻³² of a step.
    from: i64,
    to: i64,
    /// Where the next step is made.
    next: i64,
    /// 1 over the length of the ramp.
    inverse: f32,
    /// Steps left in this ramp.
    left: u32,
    /// Where the motor stands, and which way it stepped last.
    step: i32,
    last_way: i8,
    way: i8,
    /// When the next step is due, and when the last was made.
    pub due: u64,
    made: u64,
}

impl Track {
    /// An axis at rest at `position`.
    pub fn new(position: i64) -> Self {
        Self {
            from: position,
            to: position,
            next: 0,
            inverse: 0.0,
            left: 0,
            step: ((position + HALF) >> 32) as i32,
            last_way: 0,
            way: 1,
            due: 0,
            made: 0,
        }
    }

    pub fn step(&self) -> i32 {
        self.step
    }

    pub fn is_due(&self) -> bool {
        self.left > 0
    }

    /// Begins a ramp of `length`, where the last one ended.
    pub fn begin(&mut self, length: i64) {
        self.from = self.to;
        self.to += length;
        self.left = 0;
        if length == 0 {
            return;
        }
        self.way = if length > 0 { 1 } else { -1 };
        let half_way = self.half_way();
        let turns = self.last_way == -self.way;
        self.next = half_way + if turns { TURN * i64::from(self.way) } else { 0 };
        let past = |point: i64| (self.to - point) * i64::from(self.way);
        if past(self.next) >= 0 {
            self.left = (past(half_way) / STEP) as u32 + 1;
            self.inverse = 1.0 / (length.unsigned_abs() as f32);
        }
    }

    /// The half-way point ahead.
    fn half_way(&self) -> i64 {
        i64::from(self.step) * STEP + HALF * i64::from(self.way)
    }

    /// The part of the ramp up to the next step.
    #[inline]
    pub fn part(&self) -> f32 {
        (self.next - self.from).unsigned_abs() as f32 * self.inverse
    }

    /// The part of the ramp from the next step to the end: it keeps its digits where it is small.
    #[inline]
    pub fn part_left(&self) -> f32 {
        (self.to - self.next).unsigned_abs() as f32 * self.inverse
    }

    /// The earliest tick at which the driver can take the next step.
    pub fn earliest(&self, timing: Timing) -> u64 {
        let gap = match self.last_way * self.way {
            0 => return 0,
            1 => timing.same_way,
            _ => timing.other_way,
        };
        self.made + u64::from(gap)
    }

    /// Makes the step that is due; true if the position grows.
    pub fn take(&mut self) -> bool {
        self.step += i32::from(self.way);
        self.last_way = self.way;
        self.made = self.due;
        self.left -= 1;
        self.next = self.half_way();
        self.way > 0
    }
}
