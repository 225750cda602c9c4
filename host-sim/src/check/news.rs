//! What finding the places of the pulses hands on to the checks that take pulses as samples: in the
//! order of time, and with all that these need of the path, so that they may run on a thread of their own.

use super::result::Here;
use super::segment::{Leg, Segment};
use crate::motion::Point;

/// A pulse that shows where its axis is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sample {
    /// Its time, ticks.
    pub t: f64,
    /// Where its motor then stands, mm.
    pub at: f64,
    /// The crossing that its axis comes to, mm.
    pub x: f64,
    /// Path length that is reached at least, mm.
    pub s: f64,
    /// Path length of the crossing, mm, if it is `placed`.
    pub on: f64,
    pub axis: u8,
    /// The crossing has a place on the piece, and the pulse did not have to wait.
    pub placed: bool,
    /// It lies on the first piece for certain, and the pulse did not have to wait.
    pub firm: bool,
    /// It is placed clear of the ends of the straight stretch.
    pub straight: bool,
    /// It is placed clear of the ends of the leg, along an axis that has much of the path's speed.
    pub leg: bool,
}

/// What happens between pulses.
#[derive(Clone, Copy, Debug)]
pub(super) enum Event {
    /// The next samples lie on the piece with this index.
    Piece(usize),
    /// The job is here: sent where samples alone do not tell.
    Here(Here),
    /// The speed of the path, mm/tick.
    Speed(f64),
    /// The path rests.
    Rest,
    /// It turns at this length from one direction to another.
    Turn(f64, Point, Point),
    /// It goes on to a leg.
    Leg(Leg),
}

/// The news, to be read from one to the other.
#[derive(Clone, Debug, Default)]
pub(super) struct News {
    pub samples: Vec<Sample>,
    /// Each with the number of samples before it.
    pub events: Vec<(usize, Event)>,
    pub pieces: Vec<Segment>,
}

impl News {
    #[inline]
    pub fn sample(&mut self, sample: Sample) {
        self.samples.push(sample);
    }

    pub fn event(&mut self, event: Event) {
        self.events.push((self.samples.len(), event));
    }

    pub fn piece(&mut self, piece: &Segment) {
        self.event(Event::Piece(self.pieces.len()));
        self.pieces.push(*piece);
    }

    /// How much there is to read.
    #[inline]
    pub fn len(&self) -> usize {
        self.samples.len() + self.events.len()
    }

    /// Makes room for others.
    pub fn clear(&mut self) {
        self.samples.clear();
        self.events.clear();
        self.pieces.clear();
    }
}

#[cfg(test)]
mod tests;
