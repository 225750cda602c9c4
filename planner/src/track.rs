//! The way of one axis through the ramps: where its steps are, and when.

use crate::pulse_train::{Steps, Times};
use crate::shape::{Kind, Shape};

/// One step, half a step and 1/16 step, in 2⁻³² of a step.
const STEP: i64 = 1 << 32;
const HALF: i64 = STEP / 2;
/// How far past the half-way point an axis goes before it steps back.
const TURN: i64 = STEP / 16;

const TWO_32: f32 = 4_294_967_296.0;

/// The step nearest to `position`, which is in 2⁻³² of a step.
pub(crate) fn nearest_step(position: i64) -> i32 {
    ((position + HALF) >> 32) as i32
}

#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Track {
    /// Where the next step is made, and where the current ramp begins and ends, 2⁻³² of a step.
    at: i64,
    from: i64,
    to: i64,
    /// 1 over the length of the ramp.
    inverse: f32,
    /// Steps left in this ramp.
    left: u32,
    /// Where the motor will stand, and which way it steps last.
    step: i32,
    last_way: i8,
    way: i8,
}

impl Track {
    /// An axis at rest at `position`.
    pub fn new(position: i64) -> Self {
        Self {
            at: position,
            from: position,
            to: position,
            inverse: 0.0,
            left: 0,
            step: nearest_step(position),
            last_way: 0,
            way: 1,
        }
    }

    /// Begins a ramp of `length` where the last one ended; the number of its steps comes back.
    pub fn begin(&mut self, length: i64) -> u32 {
        self.from = self.to;
        self.to += length;
        self.left = 0;
        if length == 0 {
            return 0;
        }
        self.way = if length > 0 { 1 } else { -1 };
        let way = i64::from(self.way);
        let half_way = i64::from(self.step) * STEP + HALF * way;
        let turns = self.last_way == -self.way;
        self.at = half_way + if turns { TURN * way } else { 0 };
        if (self.to - self.at) * way >= 0 {
            self.left = (((self.to - half_way) * way) >> 32) as u32 + 1;
            self.inverse = 1.0 / (length.unsigned_abs() as f32);
        }
        self.left
    }

    /// How many steps of the ramp are left up to the part `u` of it.
    pub fn steps_up_to(&self, u: f32) -> u32 {
        let way = i64::from(self.way);
        let length = (self.to - self.from).unsigned_abs() as f32;
        let up_to = (length * u) as i64;
        if self.left == 0 || up_to < (self.at - self.from) * way {
            return 0;
        }
        // After a turn, the step after the first is nearer than the others.
        let half_way = i64::from(self.step) * STEP + HALF * way;
        let ahead = up_to - (half_way - self.from) * way;
        ((ahead >> 32) as u32 + 1).min(self.left)
    }

    /// The last step that was taken makes the position grow.
    pub fn grew(&self) -> bool {
        self.last_way > 0
    }

    /// All steps that are left.
    pub fn left(&self) -> u32 {
        self.left
    }

    /// The next `count` steps, at most those that are left, of a ramp of this shape.
    pub fn take(&mut self, count: u32, shape: &Shape) -> Steps {
        if count == 0 {
            return Steps::default();
        }
        let first = shape.time(self.part(shape)) as i32;
        let way = i64::from(self.way);
        // After a turn, the step after the first is nearer than the others.
        self.step += i32::from(self.way);
        self.at = i64::from(self.step) * STEP + HALF * way;
        self.last_way = self.way;
        let more = count - 1;
        let times = match more {
            0 => Times::default(),
            _ if shape.kind == Kind::Steady => self.even(shape),
            1..=EXACT => self.exact(more, shape),
            _ => self.cubic(more, shape),
        };
        self.step += i32::from(self.way) * more as i32;
        self.at += STEP * i64::from(more) * way;
        self.left -= count;
        Steps {
            times,
            first,
            count: i32::from(self.way) * count as i32,
        }
    }

    /// The part of the ramp between its slow end and the next step: it keeps its digits where it is
    /// small.
    fn part(&self, shape: &Shape) -> f32 {
        let end = match shape.kind {
            Kind::Falling => self.to,
            Kind::Steady | Kind::Rising => self.from,
        };
        (self.at - end).unsigned_abs() as f32 * self.inverse
    }

    /// A step's part of the ramp, signed as the part between slow end and step changes.
    fn part_of_step(&self, shape: &Shape) -> f32 {
        let part = TWO_32 * self.inverse;
        if shape.kind == Kind::Falling {
            -part
        } else {
            part
        }
    }

    fn even(&self, shape: &Shape) -> Times {
        Times {
            next: fixed(shape.time(self.part(shape))),
            first: fixed(shape.ticks * self.part_of_step(shape)),
            second: 0,
            third: 0,
        }
    }

    /// Through each of up to four steps.
    fn exact(&self, count: u32, shape: &Shape) -> Times {
        let mut ahead = *self;
        let mut time = || {
            let time = fixed(shape.time(ahead.part(shape)));
            ahead.at += STEP * i64::from(ahead.way);
            time
        };
        let mut times = Times {
            next: time(),
            ..Times::default()
        };
        if count > 1 {
            let one = time();
            times.first = one - times.next;
            if count > 2 {
                let two = time();
                times.second = two - one - times.first;
                if count > 3 {
                    times.third = (time() - two) - (two - one) - times.second;
                }
            }
        }
        times
    }

    /// The cubic through four places, evenly spread from the first of the steps to the last.
    fn cubic(&self, count: u32, shape: &Shape) -> Times {
        let (first, part) = (self.part(shape), self.part_of_step(shape));
        let gaps = (count - 1) as f32;
        let space = part * gaps * (1.0 / 3.0);
        // Rounding can bring the last place beyond the slow end.
        let time = |i: f32| shape.time((first + space * i).max(0.0));
        let [t0, t1, t2, t3] = [time(0.0), time(1.0), time(2.0), time(3.0)];
        let (one, two, three) = (t1 - t0, t2 - t1, t3 - t2);
        let (c1, c2) = (one, two - one);
        let c3 = (three - two) - c2;
        // Newton's forward formula over the places, and what it gives from step to step, r of a space.
        let r = 3.0 / gaps;
        let r2 = r * r;
        Times {
            next: fixed(t0),
            first: fixed(r * (c1 + (r - 1.0) * (0.5 * c2 + c3 * (r - 2.0) * (1.0 / 6.0)))),
            second: fixed(r2 * (c2 + c3 * (r - 1.0))),
            third: fixed(r2 * r * c3),
        }
    }
}

/// As many steps as a cubic can be led through.
pub(crate) const EXACT: u32 = 4;

/// Ticks to 2⁻³² of a tick.
fn fixed(ticks: f32) -> i64 {
    (ticks * TWO_32) as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An axis goes forward to a place between two steps, and back by twenty: up to any part of the way back
    /// there are the half-way points up to there, the first of them 1/16 step further.
    #[test]
    fn a_cut_parts_the_steps_after_a_turn() {
        let shape = Shape::new(1.0, 1.0, 1 << 50, 0);
        for sixty_fourths in 0..64 {
            let peak = 3.0 + f64::from(sixty_fourths) / 64.0 + 0.003;
            let mut track = Track::new(0);
            let forward = track.begin((peak * STEP as f64) as i64);
            track.take(forward, &shape);
            let stands = (peak + 0.5).floor();
            track.begin(-20 * STEP);
            for percent in 0..=100 {
                let u = f64::from(percent) / 100.0;
                let passed = |k: i32| {
                    let turn = if k == 0 { 0.0625 } else { 0.0 };
                    stands - 0.5 - f64::from(k) - turn >= peak - 20.0 * u
                };
                let expected = (0..30).take_while(|k| passed(*k)).count();
                let found = track.steps_up_to(u as f32);
                assert_eq!(found as usize, expected, "{peak} {u}");
            }
        }
    }
}
