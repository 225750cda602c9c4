//! The front of the queue, cut into ramps.

use super::Planner;
use crate::events;
use crate::junction::slow_neighbour;
use crate::math::less;
use crate::moves::Straight;
use crate::ramp::Ramp;
use crate::reason::{Limit, LowPoint};
use crate::trapezoid::{Phase, Rest};
use crate::vector::pairwise;

#[derive(Clone, Copy, Debug)]
pub(super) struct Front<const N: usize> {
    from: [i64; N],
    way: [i64; N],
    /// Part of the move that is done, in 2⁻⁶⁴.
    done: u64,
    /// The v² that the move brakes to already.
    pub falls_to: Option<f32>,
}

impl<const N: usize> Front<N> {
    /// How much of its move is left, mm: of the fraction that is left, and not a difference of lengths,
    /// so that no digits are lost.
    pub fn left_of(&self, straight: &Straight<N>) -> f32 {
        straight.length * ((u64::MAX - self.done) as f32 / TWO_64)
    }
}

impl<const N: usize, const Q: usize> Planner<N, Q> {
    pub(super) fn slice(&mut self, straight: &Straight<N>) -> Ramp<N> {
        let mut front = self.front.take().unwrap_or_else(|| {
            events::begins(straight, self.speed, self.moves.pace());
            let to = self.scale.steps(&straight.to);
            Front {
                from: self.position,
                way: pairwise(&to, &self.position, |to, from| to - from),
                done: 0,
                falls_to: None,
            }
        });
        let (bound, low) = self.moves.bound();
        let length = front.left_of(straight);
        let (cap, cap_limit) = straight.cap(self.moves.pace());
        let entry_v2 = self.speed * self.speed;
        let exit_v2 = straight.exit_v2(cap, length, entry_v2, &bound);
        let rest = Rest {
            entry: self.speed,
            length,
            acceleration: straight.acceleration_between(cap, length, entry_v2, exit_v2),
            cap,
            exit_v2,
            falling: front.falls_to == Some(bound.v2),
        };
        let braking = self.brakes(straight, &rest);
        let slice = match &braking {
            Some(braking) => braking.brake(self.longest),
            None => rest.first_slice(self.longest, 0.5 / self.hz),
        };
        // To a place on its path, and not to one of the operator's.
        let falls = slice.phase == Phase::Fall && braking.is_none();
        if falls && front.falls_to.is_none() {
            events::brakes(straight.tag, self.speed, bound.v2, low);
        }
        match slice.phase {
            Phase::Fall if falls => self.low = low,
            Phase::Fall => self.low = LowPoint::Hold,
            Phase::Ease => self.low = LowPoint::Feed,
            Phase::Rise | Phase::Cruise => {}
        }
        let limit = match slice.phase {
            Phase::Cruise => cap_limit,
            _ => Limit::AxisAcceleration(straight.axes.acceleration()),
        };
        let ramp_low = self.low;
        if slice.phase == Phase::Cruise {
            self.low = slow_neighbour(cap_limit);
        }
        let end = if slice.whole {
            pairwise(&front.from, &front.way, |from, way| from + way)
        } else {
            let part = slice.length / straight.length;
            front.done = front.done.saturating_add((part * TWO_64) as u64);
            front.falls_to = falls.then_some(bound.v2);
            pairwise(&front.from, &front.way, |from, way| {
                from + part_of(way, front.done)
            })
        };
        let ramp = Ramp {
            steps: pairwise(&end, &self.position, |end, from| end - from),
            duration: (slice.time * self.hz * TWO_32) as u64,
            entry_speed: self.speed,
            exit_speed: slice.exit,
            tag: straight.tag,
            limit,
            low_point: ramp_low,
            ends_move: slice.whole,
        };
        self.position = end;
        self.speed = slice.exit;
        if slice.whole {
            // A junction that binds without braking before it is the slow place that is left.
            if bound.adjacent && braking.is_none() && !less(exit_v2, bound.v2) {
                self.low = low;
            }
            if slice.exit == 0.0 {
                events::stands(straight.tag, low);
            }
            self.moves.pop();
        } else {
            self.front = Some(front);
        }
        ramp
    }

    pub(super) fn resting(&mut self, ticks: u64, tag: u32) -> Ramp<N> {
        // A tick at least, where the timer has none within the ramp time.
        let most = ((self.longest * self.hz) as u64).max(1);
        let now = ticks.min(most);
        if now == ticks {
            events::rested(tag);
        }
        self.moves.pop_rest(now);
        self.low = LowPoint::Stop;
        Ramp {
            steps: [0; N],
            duration: now << 32,
            entry_speed: 0.0,
            exit_speed: 0.0,
            tag,
            limit: Limit::Rest,
            low_point: LowPoint::Stop,
            ends_move: now == ticks,
        }
    }
}

const TWO_32: f32 = 4_294_967_296.0;
const TWO_64: f32 = TWO_32 * TWO_32;

/// `way` × `part`, `part` in 2⁻⁶⁴, rounded down.
fn part_of(way: i64, part: u64) -> i64 {
    ((i128::from(way) * i128::from(part)) >> 64) as i64
}
