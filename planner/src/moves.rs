//! A move in the queue, and what is known of it when it comes in and when it leaves.

use crate::coordinate::Point;
use crate::math::sqrt;
use crate::reason::Limit;

/// What waits in the queue.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Queued<const N: usize> {
    Move(Straight<N>),
    /// Rest for so many ticks.
    Rest {
        ticks: u64,
        tag: u32,
    },
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct Straight<const N: usize> {
    pub to: Point<N>,
    pub length: f32,
    pub cap: f32,
    pub acceleration: f32,
    pub cap_limit: Limit,
    pub axis: u8,
    pub tag: u32,
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
}
