//! The moves that leave the reader: from where the last one ended, never of zero length, inside the
//! travel limits.

use super::arcs::SAME_PLACE_MM;
use super::fault::Fault;
use super::modal::Places;
use super::spindle::Spindle;
use super::travel;
use crate::motion::{AXES, Arc, Move, MoveKind, Point};

/// One move, before it is known where it starts.
pub(super) struct Leg {
    pub to: Point,
    /// mm/s; `None` for a rapid.
    pub feed: Option<f64>,
    pub arc: Option<Arc>,
    pub exact_stop: bool,
    /// It is part of a canned cycle.
    pub in_cycle: bool,
}

/// Where the machine stands, how far it may go, and how the spindle turns meanwhile.
pub(super) struct Mover {
    pub position: Point,
    pub spindle: Spindle,
    travel: Option<[[f64; 2]; AXES]>,
}

impl Mover {
    pub fn new(position: Point, travel: Option<[[f64; 2]; AXES]>) -> Self {
        Self {
            position,
            spindle: Spindle::default(),
            travel,
        }
    }

    /// Makes the move, or nothing where it ends in the place where it starts.
    pub fn go(&mut self, leg: Leg, places: &Places) -> Result<Option<Move>, Fault> {
        let from = self.position;
        if leg.arc.is_none() && distance(&from, &leg.to) < SAME_PLACE_MM {
            return Ok(None);
        }
        let kind = match (&leg.arc, leg.feed) {
            (Some(_), _) => MoveKind::Arc,
            (None, Some(_)) => MoveKind::Line,
            (None, None) => MoveKind::Rapid,
        };
        let made = Move {
            kind,
            from,
            to: leg.to,
            feed: leg.feed,
            arc: leg.arc,
            exact_stop: leg.exact_stop,
            in_cycle: leg.in_cycle,
            spindle_rpm: self.spindle.rpm(),
        };
        travel::check(self.travel.as_ref(), &made)
            .map_err(|excess| Fault::new(places.axis(excess.axis), excess.cause, excess.remedy))?;
        self.position = leg.to;
        Ok(Some(made))
    }
}

/// Straight distance, mm.
pub(super) fn distance(from: &Point, to: &Point) -> f64 {
    let [x, y, z]: Point = std::array::from_fn(|axis| to[axis] - from[axis]);
    // Coordinates below 1e10 mm: the squares cannot overflow.
    (x * x + y * y + z * z).sqrt()
}
