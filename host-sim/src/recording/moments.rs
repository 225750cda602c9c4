//! The speed around the events of a script, ramp by ramp, in bounded memory.

use crate::run::Happened;
use crate::summary::Event;
use crate::trace::Slice;
use std::collections::VecDeque;

/// How much is kept before an event acts, and after, s.
pub const BEFORE_S: f64 = 0.3;
/// How much is kept after an event acts, s.
pub const AFTER_S: f64 = 1.2;

/// Most events whose surroundings are kept, and most ramps of each.
const MOST: usize = 12;
const MOST_RAMPS: usize = 4096;

/// The speed around one event.
#[derive(Clone, Debug)]
pub struct Moment {
    /// What happened, and what came of it.
    pub event: Event,
    /// Time, s, and speed, mm/s, at the ends of ramps, in order.
    pub speeds: Vec<(f64, f64)>,
}

/// The moments, and the ramps before the next.
#[derive(Clone, Debug, Default)]
pub(super) struct Moments {
    past: VecDeque<(f64, f64)>,
    all: Vec<Moment>,
}

impl Moments {
    pub fn all(&self) -> &[Moment] {
        &self.all
    }

    pub fn slice(&mut self, slice: &Slice) {
        let end_s = slice.start_s + slice.duration_s;
        let ends = [(slice.start_s, slice.entry_mm_s), (end_s, slice.exit_mm_s)];
        for moment in &mut self.all {
            if moment.event.acts_s + AFTER_S > slice.start_s && moment.speeds.len() < MOST_RAMPS {
                moment.speeds.extend(ends);
            }
        }
        self.past.extend(ends);
        while self.past.len() > MOST_RAMPS
            || (self.past.get(1)).is_some_and(|(next, _)| *next < end_s - BEFORE_S)
        {
            self.past.pop_front();
        }
    }

    pub fn happens(&mut self, happened: &Happened) {
        if self.all.len() < MOST {
            self.all.push(Moment {
                event: happened.clone().into(),
                speeds: self.past.iter().copied().collect(),
            });
        }
    }

    /// Only at the end is it known when the machine came to rest.
    pub fn mark(&mut self, events: &[Event]) {
        for (moment, event) in self.all.iter_mut().zip(events) {
            moment.event = event.clone();
        }
    }
}
