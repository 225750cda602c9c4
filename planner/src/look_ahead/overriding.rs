//! Overrides on what is queued: every junction gets a new speed.

use super::LookAhead;
use crate::moves::{Queued, Straight};
use crate::pace::Pace;
use crate::reason::{Limit, LowPoint};

impl<const N: usize, const Q: usize> LookAhead<N, Q> {
    /// The pace.
    pub(crate) fn pace(&self) -> &Pace {
        &self.pace
    }

    /// Makes feeds up to `headroom` times the programmed ones to be had, for moves pushed from now on.
    pub(crate) fn prepare(&mut self, headroom: f32) {
        self.speeds.prepare(headroom);
    }

    /// The fastest feed override that moves are prepared for.
    pub(crate) fn headroom(&self) -> f32 {
        self.speeds.headroom()
    }

    /// Plans all that is queued anew for another pace, where the machine passes a place at v² = `v2`
    /// with `left` mm of the front move to go. One walk over the queue.
    ///
    /// Corners, bends and stops stay as they are. The caps of the moves may fall faster than the
    /// machine can brake: so a junction allows what the hardest braking from here comes down to, if
    /// that is more than the new caps. The plan can then be kept, and is the fastest that comes down to
    /// the new caps as soon as can be.
    pub(crate) fn set_pace(&mut self, pace: Pace, v2: f32, left: f32) {
        self.pace = pace;
        let (mut reached, mut shared) = (v2, v2);
        // The move before, how much of it lies ahead, and its cap.
        let mut last: Option<(Straight<N>, f32)> = None;
        let mut ahead = Some(left);
        self.queue.renew(|item| {
            let front = ahead.take();
            let Queued::Move(straight) = item else {
                (reached, shared, last) = (0.0, 0.0, None);
                return (0.0, LowPoint::Stop);
            };
            let after = squared(straight, &pace);
            let mut entry = 0.0;
            if let Some((before, length)) = &last {
                let half = before.acceleration * length;
                reached = (reached - (half + half)).max(0.0);
                shared = before.eased(shared, *length);
                entry = straight.renew(squared(before, &pace), after, reached, shared);
                if entry == 0.0 {
                    (reached, shared) = (0.0, 0.0);
                }
            }
            last = Some((*straight, front.unwrap_or(straight.length)));
            (entry, straight.low)
        });
        self.course.renew(&self.queue);
        if let Some(Queued::Move(straight)) = self.queue.last() {
            self.tail_cap = squared(straight, &pace);
        }
    }
}

/// The cap of a move as v², and what sets it.
fn squared<const N: usize>(straight: &Straight<N>, pace: &Pace) -> (f32, Limit) {
    let (cap, limit) = straight.cap(pace);
    (cap * cap, limit)
}
