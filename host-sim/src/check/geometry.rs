//! The programmed path as the checker sees it: straight pieces that the pulses have not passed
//! yet, with the lengths, directions and limits worked out from the program and the machine file.

use super::Piece;
use super::corner;
use super::news::Event;
use super::rest::Stop;
use super::segment::{Junction, Leg, POSITION_MM, Segment};
use crate::machine::Machine;
use crate::motion::{AXES, Point};
use std::collections::VecDeque;

/// Pieces whose directions differ by less than this (rad) count as one straight stretch.
pub(super) const STRAIGHT: f64 = 1e-3;

/// How far a piece may start from the end of the last one, mm.
const JOIN_MM: f64 = 1e-6;

/// Pieces shorter than this (mm) do not move: 1/1000 of what targets are kept to.
const NOTHING_MM: f64 = 1e-9;

/// The path: pieces still to be passed.
#[derive(Clone, Debug)]
pub(super) struct Path {
    segments: VecDeque<Segment>,
    /// Copy of the first one, for nearly every pulse lies there; a piece without length if none is left.
    front: Segment,
    /// Legs to come, with the path length where they start.
    legs: VecDeque<Leg>,
    /// What was passed since the caller looked.
    pub events: Vec<Event>,
    /// Last piece added.
    last: Option<Segment>,
    reference: Point,
    end: Point,
    /// The machine rests at the end of what was added, for so many ticks.
    stop: Option<f64>,
    hz: f64,
    deviation: f64,
    speed: Point,
    acceleration: Point,
    /// Turns that can hold the speed.
    pub turns: u64,
    /// Line of the first piece not passed.
    pub line: u32,
    per_mm: Point,
    /// Number of pieces passed.
    pub passed: usize,
}

impl Path {
    pub fn new(machine: &Machine, start: Point) -> Self {
        let hz = f64::from(machine.controller.timer_hz);
        Self {
            segments: VecDeque::new(),
            front: Segment::NONE,
            legs: VecDeque::new(),
            events: Vec::new(),
            last: None,
            reference: [0.0; AXES],
            end: start,
            stop: Some(0.0),
            hz,
            deviation: machine.junction_deviation_mm,
            speed: machine.axes.map(|axis| axis.speed_limit_mm_s / hz),
            acceleration: machine
                .axes
                .map(|axis| axis.acceleration_limit_mm_s2 / (hz * hz)),
            turns: 0,
            line: 0,
            per_mm: machine.axes.map(|axis| axis.steps_per_mm),
            passed: 0,
        }
    }

    /// Where the programmed path ends, mm.
    pub fn end(&self) -> Point {
        self.end
    }

    /// Last piece added, passed or not.
    pub fn last(&self) -> Option<&Segment> {
        self.last.as_ref()
    }

    /// The `ahead`-th piece that is not passed yet.
    #[inline]
    pub fn get(&self, ahead: usize) -> Option<&Segment> {
        self.segments.get(ahead)
    }

    /// The first piece that is not passed yet; [`Segment::NONE`] if none is left.
    #[inline]
    pub fn front(&self) -> &Segment {
        &self.front
    }

    pub fn len(&self) -> usize {
        self.segments.len()
    }

    /// Adds a piece, or tells what is wrong with it.
    pub fn push(&mut self, piece: &Piece) -> Result<(), String> {
        let finite = |p: &Point| p.iter().all(|x| x.is_finite());
        if !finite(&piece.from) || !finite(&piece.to) || !piece.rest_s.is_finite() {
            return Err("a piece of the path has a number that is not finite".into());
        }
        if piece.feed.is_some_and(|feed| feed.is_nan() || feed <= 0.0) {
            return Err("a piece of the path has a feed that is not above 0".into());
        }
        if (0..AXES).any(|i| (piece.from[i] - self.end[i]).abs() > JOIN_MM) {
            return Err(format!(
                "a piece of the path starts at {:?}, but the last one ended at {:?}",
                piece.from, self.end
            ));
        }
        let delta: Point = std::array::from_fn(|i| piece.to[i] - piece.from[i]);
        let length = corner::length(&delta);
        if length > NOTHING_MM {
            self.add(piece, delta.map(|x| x / length), length);
            self.end = piece.to;
        }
        if piece.stop || piece.rest_s > 0.0 {
            let before = self.stop.unwrap_or(0.0);
            self.stop = Some(before + piece.rest_s.max(0.0) * self.hz);
        }
        Ok(())
    }

    fn add(&mut self, piece: &Piece, u: Point, length: f64) {
        let last = self.last;
        let apart = corner::length(&std::array::from_fn(|i| u[i] - self.reference[i]));
        let turned = last.is_none() || apart >= STRAIGHT;
        let slack = 2.0 * POSITION_MM / length;
        let along = |limits: &Point, slack: f64| {
            let each = (0..AXES).map(|i| limits[i] / (u[i].abs() - slack).max(1e-9));
            each.fold(f64::INFINITY, f64::min)
        };
        let feed = piece.feed.map(|feed| feed / self.hz);
        let cap = along(&self.speed, 0.0).min(feed.unwrap_or(f64::INFINITY));
        // The greatest that the piece may have: its direction is known to the positions of its ends.
        let accel = along(&self.acceleration, slack);
        let s0 = last.map_or(0.0, |last| last.s1);
        let after_stop = self.stop.is_some();
        let junction = match last {
            _ if self.stop.is_some() => Some(Junction::Stop(Stop {
                speed: 0.0,
                rest: self.stop.take().unwrap_or(0.0),
            })),
            Some(last) if turned => {
                let slack = slack + 2.0 * POSITION_MM / (last.s1 - last.s0);
                let caps = last.cap.min(cap);
                Some(corner::junction(
                    &last.u,
                    &u,
                    self.deviation,
                    &self.acceleration,
                    caps,
                    slack,
                ))
            }
            _ => None,
        };
        if let Some(junction) = junction {
            if let Junction::Turn(turn) = &junction {
                self.turns += u64::from(turn.holds);
            }
            let leg = Leg {
                s0,
                accel,
                junction,
            };
            if self.segments.is_empty() {
                self.events.push(Event::Leg(leg));
            } else {
                self.legs.push_back(leg);
            }
        }
        if let Some(back) = self.segments.back_mut() {
            back.ends_leg = junction.is_some();
            back.ends_straight = turned;
        }
        if turned {
            self.reference = u;
        }
        // A piece shorter than what passes in two ticks does not hide the ones before.
        let short = last.filter(|last| last.s1 - last.s0 < 2.0 * last.cap);
        let inverse = u.map(|u| if u.abs() > 1e-12 { 1.0 / u.abs() } else { 0.0 });
        let segment = Segment {
            line: piece.line,
            s0,
            s1: s0 + length,
            from: piece.from,
            to: piece.to,
            start: std::array::from_fn(|i| piece.from[i] * self.per_mm[i]),
            slope: std::array::from_fn(|i| u[i] * self.per_mm[i]),
            before: last.map_or([0.0; AXES], |last| {
                let before = short.map_or([0.0; AXES], |last| last.before);
                std::array::from_fn(|i| last.slope[i].abs().max(before[i]))
            }),
            crest: {
                let [low, high] = short.map_or([piece.from; 2], |last| last.crest);
                [
                    std::array::from_fn(|i| low[i].min(piece.from[i])),
                    std::array::from_fn(|i| high[i].max(piece.from[i])),
                ]
            },
            u,
            doubt: inverse.map(|inverse| POSITION_MM * inverse),
            inverse,
            due0: last.map_or(0.0, |last| last.due0 + (last.s1 - last.s0) * last.pace),
            pace: feed.map_or(0.0, |feed| 1.0 / feed),
            cap,
            accel,
            leg0: last.map_or(0.0, |l| if junction.is_some() { s0 } else { l.leg0 }),
            straight0: last.map_or(0.0, |l| if turned { s0 } else { l.straight0 }),
            straight: last.map_or(0, |l| l.straight + usize::from(turned)),
            straight_accel: last
                .filter(|_| !turned)
                .map_or(accel, |l| l.straight_accel.max(accel)),
            turned: last.map_or(0.0, |l| if turned { 0.0 } else { l.turned.max(apart) }),
            ends_leg: false,
            ends_straight: false,
            after_stop,
        };
        if self.segments.is_empty() {
            self.line = segment.line;
        }
        self.last = Some(segment);
        self.segments.push_back(segment);
        if self.segments.len() <= 2 {
            self.copy_front();
        }
    }

    fn copy_front(&mut self) {
        self.front = self.segments.front().copied().unwrap_or(Segment::NONE);
    }

    /// Passes the first piece.
    pub fn pass(&mut self) {
        let passed = self.segments.pop_front();
        self.passed += usize::from(passed.is_some());
        self.copy_front();
        let Some(front) = self.segments.front() else {
            return;
        };
        self.line = front.line;
        if front.after_stop {
            self.events.push(Event::Rest);
        } else if let Some(passed) = passed {
            let turn = Event::Turn(front.s0, passed.u, front.u);
            self.events.push(turn);
        }
        while self.legs.front().is_some_and(|leg| leg.s0 <= front.s0) {
            self.events.extend(self.legs.pop_front().map(Event::Leg));
        }
    }

    /// Passes pieces until only one is left.
    pub fn pass_all(&mut self) {
        while self.segments.len() > 1 {
            self.pass();
        }
    }

    /// Whether path length `s` on the `ahead`-th piece lies within `margin` of a place where the
    /// leg (or, for `straight`, the straight stretch) starts or ends, or where no more is known.
    pub fn near_end(&self, mut ahead: usize, s: f64, margin: f64, straight: bool) -> bool {
        let Some(first) = self.segments.get(ahead) else {
            return true;
        };
        let start = if straight {
            first.straight0
        } else {
            first.leg0
        };
        if s - start < margin {
            return true;
        }
        while let Some(segment) = self.segments.get(ahead) {
            if segment.s1 - s >= margin {
                return false;
            }
            if if straight {
                segment.ends_straight
            } else {
                segment.ends_leg
            } {
                return true;
            }
            ahead += 1;
        }
        true
    }
}

#[cfg(test)]
mod tests;
