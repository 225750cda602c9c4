//! One place that costs time, and all of them.

use crate::motion::{MoveKind, Point, RestReason};
use crate::trace::Reason;
use serde::Serialize;
use spokeshave::{Limit, LowPoint};

/// A slow stretch around one low point, a stretch on which an axis is at its speed limit, or all that an override
/// made slower or faster.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Line of the part program whose move leads to the low point, or, at the start, from it.
    pub line: u32,
    /// First and last line of the slow stretch.
    pub lines: [u32; 2],
    /// Kind of the move at the low point.
    pub kind: MoveKind,
    /// Where the low point is, mm.
    pub at: Point,
    /// When it is passed, s from the start of the job.
    pub time_s: f64,
    /// Lowest speed reached, mm/s.
    pub lowest_mm_s: f64,
    /// Speed asked for there, mm/s: the programmed feed, or for a rapid the axes' speed limits.
    pub asked_mm_s: f64,
    /// Time that it costs, s; below 0 where an override gains some.
    pub lost_s: f64,
    /// Of that, at rest because of a hold or because no moves came, s.
    pub stood_s: f64,
    /// What cost the most of that time: what held the speed and what it changed for, or an override.
    pub reason: Reason,
    /// The axis that decides: for a corner or a bend the one that could turn no faster.
    pub axis: Option<usize>,
    /// How far the path turns there; `None` where no turn limits.
    pub turn: Option<Turn>,
    /// What stops the machine, where the program makes it stop.
    pub stop: Option<Stop>,
    /// The most that feed and axes allow is reached right before or right after it.
    pub full_speed_beside: bool,
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
    /// A rest that the program asks for.
    Rest(RestReason),
}

impl Place {
    /// The name of its reason, as in `time_lost_s` of `summary.json`.
    pub fn reason_name(&self) -> &'static str {
        self.reason.name()
    }

    /// A corner or a bend holds the speed down.
    pub fn is_turn(&self) -> bool {
        is_turn(self.reason)
    }
}

fn is_turn(reason: Reason) -> bool {
    matches!(
        reason,
        Reason::Planned(
            Limit::AxisAcceleration(_),
            LowPoint::Corner | LowPoint::Bend
        )
    )
}

/// Places that are not told one by one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Others {
    /// Their reason, as in `time_lost_s` of `summary.json`.
    pub reason: &'static str,
    /// The same in words, in the plural.
    #[serde(skip)]
    pub words: &'static str,
    /// How many.
    pub places: u64,
    /// Time that they cost, s.
    pub lost_s: f64,
    /// Corners and bends.
    #[serde(skip)]
    pub(super) turn: bool,
}

impl Others {
    /// Adds a place to those of its reason.
    pub(super) fn sum(all: &mut Vec<Self>, place: &Place) {
        let reason = place.reason_name();
        match all.iter_mut().find(|one| one.reason == reason) {
            Some(one) => {
                one.places += 1;
                one.lost_s += place.lost_s;
            }
            None => all.push(Self {
                reason,
                words: place.reason.words(),
                places: 1,
                lost_s: place.lost_s,
                turn: place.is_turn(),
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
    pub others: Vec<Others>,
    /// What is left for moves at the speed asked for, s: single precision, rounding.
    pub rounding_s: f64,
}

impl Found {
    /// The whole time lost, s: all places and what is left.
    pub fn lost_s(&self) -> f64 {
        let kept: f64 = self.places.iter().map(|place| place.lost_s).sum();
        let others: f64 = self.others.iter().map(|one| one.lost_s).sum();
        kept + others + self.rounding_s
    }

    /// How many places there are, kept or not.
    pub fn count(&self) -> u64 {
        self.places.len() as u64 + self.others.iter().map(|one| one.places).sum::<u64>()
    }

    /// The corners and bends among those that are kept, the dearest first.
    pub fn turns(&self) -> impl Iterator<Item = &Place> {
        self.places.iter().filter(|place| place.is_turn())
    }

    /// How many corners and bends there are, kept or not.
    pub fn turn_count(&self) -> u64 {
        let others = self.others.iter().filter(|one| one.turn);
        self.turns().count() as u64 + others.map(|one| one.places).sum::<u64>()
    }

    /// The places but for the first `shown`, by reason, the dearest first.
    pub fn beyond(&self, shown: usize) -> Vec<Others> {
        let mut all = self.others.clone();
        for place in self.places.iter().skip(shown) {
            Others::sum(&mut all, place);
        }
        all.sort_by(|a, b| b.lost_s.total_cmp(&a.lost_s));
        all
    }
}
