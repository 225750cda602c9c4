//! One place that costs time, and all of them.

use crate::motion::{MoveKind, Point, RestReason};
use crate::output::wording::{reason_name, reason_words};
use spokeshave::{Limit, LowPoint};

/// A slow stretch around one low point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Line of the part program whose move leads to the low point, or, at the start, from it.
    pub line: u32,
    /// Kind of that move.
    pub kind: MoveKind,
    /// Where the low point is, mm.
    pub at: Point,
    /// Lowest speed reached, mm/s.
    pub lowest_mm_s: f64,
    /// Speed asked for there, mm/s: the programmed feed, or for a rapid the axes' speed limits.
    pub asked_mm_s: f64,
    /// Time lost against the speeds asked for, s.
    pub lost_s: f64,
    /// What cost the most of that time: what held the speed, and what it changed for.
    pub reason: (Limit, LowPoint),
    /// The axis that limits: for a corner or a bend the one that could turn no faster.
    pub axis: Option<usize>,
    /// How far the path turns there; `None` where no turn limits.
    pub turn: Option<Turn>,
    /// What stops the machine, where the program makes it stop.
    pub stop: Option<Stop>,
}

/// How far a path turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// For a corner, the angle between its two moves; for a bend, how far the direction swings over
    /// the stretch where the speed is within [`super::PROMINENCE`] of the lowest, so a full circle
    /// has 360 and an S of two half circles 180. Degrees.
    pub degrees: f64,
    /// Length of path from the first turn of that stretch to the last, mm; 0 for a corner.
    pub within_mm: f64,
}

/// What makes the machine stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// The job begins from rest.
    Start,
    /// The job ends at rest.
    End,
    /// A rest that the program asks for; for what, where it is known.
    Rest(Option<RestReason>),
}

impl Place {
    /// The name of its reason, as in `time_lost_s` of `summary.json`.
    pub fn reason_name(&self) -> &'static str {
        reason_name(self.reason.0, self.reason.1)
    }

    /// A corner or a bend holds the speed down.
    pub fn is_turn(&self) -> bool {
        let (limit, low_point) = self.reason;
        matches!(limit, Limit::AxisAcceleration(_))
            && matches!(low_point, LowPoint::Corner | LowPoint::Bend)
    }
}

/// Places that are not kept one by one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Smaller {
    /// Their reason.
    pub reason: (Limit, LowPoint),
    /// How many.
    pub count: u64,
    /// Time that they cost, s.
    pub lost_s: f64,
}

impl Smaller {
    /// The name of their reason, as in `time_lost_s` of `summary.json`.
    pub fn name(&self) -> &'static str {
        reason_name(self.reason.0, self.reason.1)
    }

    /// Their reason in words, in the plural.
    pub fn words(&self) -> &'static str {
        reason_words(self.reason.0, self.reason.1)
    }

    /// Adds a place to those of its reason.
    pub(super) fn sum(all: &mut Vec<Self>, place: &Place) {
        match all.iter_mut().find(|one| one.name() == place.reason_name()) {
            Some(one) => {
                one.count += 1;
                one.lost_s += place.lost_s;
            }
            None => all.push(Self {
                reason: place.reason,
                count: 1,
                lost_s: place.lost_s,
            }),
        }
    }
}

/// All places of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// Those that cost the most, the dearest first: at most [`super::MAX_PLACES`].
    pub places: Vec<Place>,
    /// The others, by reason, the dearest first.
    pub smaller: Vec<Smaller>,
    /// What is left for moves at the speed asked for, s: rounding.
    pub as_asked_s: f64,
}

impl Found {
    /// The whole time lost, s: all places and what is left.
    pub fn lost_s(&self) -> f64 {
        let kept: f64 = self.places.iter().map(|place| place.lost_s).sum();
        let smaller: f64 = self.smaller.iter().map(|one| one.lost_s).sum();
        kept + smaller + self.as_asked_s
    }

    /// How many places there are, kept or not.
    pub fn count(&self) -> u64 {
        self.places.len() as u64 + self.smaller.iter().map(|one| one.count).sum::<u64>()
    }

    /// The places but for the first `shown`, by reason, the dearest first.
    pub fn beyond(&self, shown: usize) -> Vec<Smaller> {
        let mut all = self.smaller.clone();
        for place in self.places.iter().skip(shown) {
            Smaller::sum(&mut all, place);
        }
        all.sort_by(|a, b| b.lost_s.total_cmp(&a.lost_s));
        all
    }
}
