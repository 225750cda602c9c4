//! What was asked for and is not all planned yet: moves and rests.

use crate::motion::{AXES, Move, MoveKind, Point, RestReason};
use spokeshave::{MoveFacts, Ramp};
use std::collections::VecDeque;

/// A move, or a chord of one.
pub(super) struct Pending {
    pub line: u32,
    pub kind: MoveKind,
    pub to: Point,
    /// Where it goes, a unit vector.
    pub direction: Point,
    pub feed: Option<f64>,
    pub in_cycle: bool,
    pub spindle_rpm: Option<f64>,
    /// What the program stops for at its end.
    pub stop: Option<RestReason>,
    pub facts: MoveFacts,
    /// The most that feed and axes allow as programmed, without an override, mm/s.
    pub cap: f64,
}

impl Pending {
    /// With the planner's cap, which has the overrides of the moment.
    pub fn new(line: u32, path: &Move, to: Point, way: Point, facts: &MoveFacts) -> Self {
        Self {
            cap: facts.speed_cap.into(),
            line,
            kind: path.kind,
            to,
            direction: direction(way),
            feed: path.feed,
            in_cycle: path.in_cycle,
            spindle_rpm: path.spindle_rpm,
            stop: None,
            facts: *facts,
        }
    }

    /// The cap without the override that made it what it is.
    pub fn programmed(mut self, speed_limits: &Point) -> Self {
        let along = self.direction.iter().zip(speed_limits);
        let axes = along.map(|(part, limit)| limit / part.abs());
        self.cap = axes.fold(self.feed.unwrap_or(f64::INFINITY), f64::min);
        self
    }
}

/// The direction of a move that goes so far on each axis.
fn direction(way: Point) -> Point {
    let length = way.iter().map(|part| part * part).sum::<f64>().sqrt();
    if length > 0.0 {
        way.map(|part| part / length)
    } else {
        way
    }
}

/// Rests that take time, in order.
#[derive(Default)]
pub(super) struct Rests(VecDeque<(u32, RestReason)>);

impl Rests {
    /// The program rests.
    pub fn add(&mut self, line: u32, seconds: f64, why: RestReason) {
        if seconds > 0.0 {
            self.0.push_back((line, why));
        }
    }

    /// What a ramp at rest is for.
    pub fn ramp(&mut self, ramp: &Ramp<AXES>) -> Option<RestReason> {
        // Those that are shorter than half a tick make no ramp.
        while self.0.front().is_some_and(|(line, _)| *line != ramp.tag) {
            self.0.pop_front();
        }
        let why = self.0.front().map(|(_, why)| *why);
        if ramp.ends_move {
            self.0.pop_front();
        }
        why
    }
}
