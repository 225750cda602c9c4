//! The speed around the events of a script, ramp by ramp, in bounded memory.

use crate::run::Happened;
use crate::script::What;
use crate::summary::Event;
use crate::trace::Slice;
use spokeshave::LowPoint;
use std::collections::VecDeque;

/// How much is kept before an event acts, s.
pub const BEFORE_S: f64 = 0.3;
/// How much is kept after an event acts, s, and for a stop at least what leads to it.
pub const AFTER_S: f64 = 1.2;
/// A stop that takes longer is not kept whole, s.
const LONGEST_STOP_S: f64 = 60.0;

/// Most events whose surroundings are kept, beside the one that ends the job, and most ends of ramps of each.
const MOST: usize = 12;
const MOST_ENDS: usize = 8192;

/// The speed around one event.
#[derive(Clone, Debug)]
pub struct Moment {
    /// What happened, and what came of it.
    pub event: Event,
    /// Time, s, and speed, mm/s, at the ends of ramps, in order.
    pub speeds: Vec<(f64, f64)>,
    /// What comes from then on is not kept, s.
    until_s: f64,
}

impl Moment {
    fn new(event: Event, speeds: Vec<(f64, f64)>) -> Self {
        let longest = match event.kind {
            What::Hold | What::End | What::Contact => LONGEST_STOP_S,
            What::Stall(seconds) => seconds.clamp(AFTER_S, 3600.0) + AFTER_S,
            What::Resume | What::Feed(_) | What::Rapid(_) => AFTER_S,
        };
        Self {
            until_s: event.acts_s + longest,
            event,
            speeds,
        }
    }

    fn slice(&mut self, slice: &Slice, ends: [(f64, f64); 2]) {
        if slice.start_s >= self.until_s {
            return;
        }
        for end in ends {
            if self.speeds.last() != Some(&end) {
                self.speeds.push(end);
            }
        }
        let stood = match self.event.kind {
            What::Hold | What::End | What::Contact => slice.exit_mm_s == 0.0,
            What::Stall(_) => slice.is_standstill() && slice.low_point == LowPoint::QueueEnd,
            _ => false,
        };
        if stood {
            let goes_on_s = slice.start_s + slice.duration_s;
            self.until_s = self.until_s.min(goes_on_s + AFTER_S);
        }
        if self.speeds.len() > MOST_ENDS {
            // Coarser, from the first end to the last.
            let last = self.speeds.len() - 1;
            let mut index = 0..=last;
            self.speeds
                .retain(|_| index.next().is_none_or(|i| i % 2 == 0 || i == last));
        }
    }
}

/// The moments, and the ramps before the next.
#[derive(Clone, Debug, Default)]
pub(super) struct Moments {
    past: VecDeque<(f64, f64)>,
    all: Vec<Moment>,
    /// Numbers of the events that the moments are of.
    of: Vec<usize>,
    happened: usize,
    /// All events, once the run is over.
    events: Vec<Event>,
}

impl Moments {
    pub fn all(&self) -> &[Moment] {
        &self.all
    }

    pub fn events(&self) -> &[Event] {
        &self.events
    }

    pub fn slice(&mut self, slice: &Slice) {
        let end_s = slice.start_s + slice.duration_s;
        let ends = [(slice.start_s, slice.entry_mm_s), (end_s, slice.exit_mm_s)];
        for moment in &mut self.all {
            moment.slice(slice, ends);
        }
        self.past.extend(ends);
        while self.past.len() > MOST_ENDS
            || (self.past.get(1)).is_some_and(|(next, _)| *next < end_s - BEFORE_S)
        {
            self.past.pop_front();
        }
    }

    pub fn happens(&mut self, happened: &Happened) {
        let event = Event::from(happened.clone());
        if self.all.len() < MOST || event.ends_the_job() {
            let past = self.past.iter().copied().collect();
            self.all.push(Moment::new(event, past));
            self.of.push(self.happened);
        }
        self.happened += 1;
    }

    /// Only at the end is it known when the machine came to rest.
    pub fn mark(&mut self, events: &[Event]) {
        for (moment, number) in self.all.iter_mut().zip(&self.of) {
            if let Some(event) = events.get(*number) {
                moment.event = event.clone();
            }
        }
        self.events = events.to_vec();
    }
}
