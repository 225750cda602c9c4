//! The front of the queue: what is next, and how fast it may end.

use super::LookAhead;
use crate::braking::Bound;
use crate::coordinate::Point;
use crate::math::less;
use crate::moves::{PlannedMove, Queued};
use crate::reason::LowPoint;

/// A bound is one of a bend where it is lower than without by more than the rounding of a long
/// queue's maps; else the whole numbers of the braking queue are the better ones.
const WHOLE: f32 = 1.0 - 1.0 / 16_384.0;

impl<const N: usize, const Q: usize> LookAhead<N, Q> {
    /// Takes the front move out, with the speeds of its ends; rests are passed over. `None` when
    /// nothing is left.
    pub fn take(&mut self) -> Option<PlannedMove> {
        loop {
            let front = *self.front()?;
            let (bound, _) = self.bound();
            self.pop();
            let Queued::Move(front) = front else {
                continue;
            };
            let (cap, _) = front.cap(&self.pace);
            let exit_v2 = front.exit_v2(cap, front.length, self.entry_v2, &bound);
            let entry_v2 = core::mem::replace(&mut self.entry_v2, exit_v2);
            return Some(PlannedMove {
                tag: front.tag,
                entry_v2,
                exit_v2,
                limit_v2: front.entry,
                acceleration: front.acceleration,
                bend_v2: front.bend,
            });
        }
    }

    /// What is next; the limits of a move are final then.
    pub(crate) fn front(&mut self) -> Option<&Queued<N>> {
        self.course.settle_front(&mut self.queue);
        self.queue.front()
    }

    /// How fast the front may end, and what for.
    pub(crate) fn bound(&mut self) -> (Bound, LowPoint) {
        let mut bound = self.queue.bound();
        let at_end = if self.stops {
            LowPoint::Stop
        } else {
            LowPoint::QueueEnd
        };
        if let Some(eased) = self.course.passing()
            && less(eased.v2, bound.v2)
            && less(eased.v2, bound.v2 * WHOLE)
        {
            bound.v2 = eased.v2;
            bound.low = eased.low;
            bound.adjacent = eased.own;
        }
        let low = bound.low.unwrap_or(at_end);
        (bound, low)
    }

    /// So many moves can be pushed before the front is taken out.
    pub(crate) fn has_room(&self, moves: usize) -> bool {
        self.queue.has_room(moves)
    }

    pub(crate) fn pop(&mut self) {
        self.queue.pop();
        self.course.pop();
    }

    /// Drops all that is queued; the machine rests at `at`.
    pub(crate) fn clear(&mut self, at: Point<N>) {
        self.queue.clear();
        self.course.clear(at);
        self.tail = at;
        self.heading = None;
        self.stops = true;
        self.entry_v2 = 0.0;
    }

    /// Takes `ticks` off the rest at the front.
    pub(crate) fn pop_rest(&mut self, now: u64) {
        let mut over = false;
        if let Some((Queued::Rest { ticks, .. }, _)) = self.queue.get_mut(0) {
            let left = u64::from(*ticks) - now;
            *ticks = left.into();
            over = left == 0;
        }
        if over {
            self.pop();
        }
    }
}
