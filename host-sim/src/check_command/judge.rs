//! Feeds the checker: pieces of the program as the run makes them, and the steps of the capture.
//!
//! The run plans the program as `simulate` does, for three things that are no part of the verdict: the
//! pace at which pieces are handed over, so that memory stays bounded; the line that a step belongs to;
//! and the times that the clock is estimated from. The pulses that it makes never reach the checker.

use super::clock::{self, Clock};
use super::line_checks::LineChecks;
use super::pace::Pace;
use super::place::Places;
use super::timing::Timing;
use crate::capture::PS;
use crate::capture::decoder::Decoder;
use crate::capture::event::Event;
use crate::capture::ticks::Ticks;
use crate::check::{CheckResult, Piece, Report};
use crate::input_error::InputError;
use crate::motion::AXES;
use crate::run::{Sink, SinkError};
use crate::simulate::checking::Checking;
use crate::trace::{MoveRecord, Slice};

/// The plan is so many steps ahead of the capture: steps that the controller lost, or made in another
/// order, still find their piece.
const AHEAD: u64 = 4096;

/// What is judged.
pub(super) enum Stream {
    Lines(Box<(Decoder, LineChecks)>),
    Ticks(Box<Ticks>),
}

/// What the verdict rests on.
pub(super) struct Judged {
    pub report: Report,
    pub lines: Option<Vec<CheckResult>>,
    pub clock: Option<Clock>,
    pub stream: Stream,
    pub timing: Timing,
    /// Steps in the plan, of each axis.
    pub planned: [u64; AXES],
}

pub(super) struct Judge {
    stream: Stream,
    checker: Checking,
    timing: Timing,
    /// Axes whose steps can be seen.
    seen: [bool; AXES],
    places: Places,
    plan: Pace,
    capture: Pace,
    planned: [u64; AXES],
    counted: [u64; AXES],
    /// Steps of one tick, which go to the checker together.
    row: Option<(u64, [i8; AXES])>,
    done: bool,
}

impl Judge {
    pub fn new(stream: Stream, checker: Checking, timing: Timing, seen: [bool; AXES]) -> Self {
        Self {
            stream,
            checker,
            timing,
            seen,
            places: Places::default(),
            plan: Pace::new(),
            capture: Pace::new(),
            planned: [0; AXES],
            counted: [0; AXES],
            row: None,
            done: false,
        }
    }

    /// The rest of the capture, and what was found.
    pub fn finish(mut self) -> Result<Judged, InputError> {
        self.follow(u64::MAX)?;
        if let Some((tick, steps)) = self.row.take() {
            self.checker.pulse(tick, steps);
        }
        let lines = match &self.stream {
            Stream::Ticks(_) => None,
            Stream::Lines(both) => {
                let (decoder, checks) = &**both;
                let apart = std::array::from_fn(|axis| decoder.apart(axis));
                Some(checks.results(apart))
            }
        };
        Ok(Judged {
            report: self.checker.finish(),
            lines,
            clock: clock::estimate(&self.plan, &self.capture),
            stream: self.stream,
            timing: self.timing,
            planned: self.planned,
        })
    }

    /// Follows the capture until it has made so many steps.
    fn follow(&mut self, steps: u64) -> Result<(), InputError> {
        while !self.done && self.counted.iter().sum::<u64>() < steps {
            let event = match &mut self.stream {
                Stream::Ticks(ticks) => {
                    let row = ticks.next_row()?;
                    self.done = row.is_none();
                    if let Some((tick, steps)) = row {
                        let time = self.timing.seconds(tick);
                        self.steps(time, tick, steps);
                    }
                    continue;
                }
                Stream::Lines(both) => both.0.next_event()?,
            };
            self.done = event.is_none();
            if let Some(event) = event {
                self.event(event);
            }
        }
        Ok(())
    }

    fn event(&mut self, event: Event) {
        match event {
            Event::Step {
                time,
                axis,
                direction,
            } => {
                let mut steps = [0; AXES];
                steps[axis] = direction;
                let tick = self.timing.tick(time);
                self.steps(time as f64 / PS, tick, steps);
            }
            Event::Measured {
                time,
                axis,
                step,
                measure,
                value,
            } => {
                let place = (time, axis, self.places.of(axis, step));
                if let Stream::Lines(both) = &mut self.stream {
                    both.1.measured(measure, value, place);
                }
            }
            Event::Apart { axis, step, apart } => {
                let place = (apart.since, axis, self.places.of(axis, step));
                if let Stream::Lines(both) = &mut self.stream {
                    both.1.apart(apart.steps, place);
                }
            }
        }
    }

    fn steps(&mut self, time: f64, tick: u64, steps: [i8; AXES]) {
        for axis in (0..AXES).filter(|axis| steps[*axis] != 0) {
            self.counted[axis] += 1;
            self.capture.step(axis, time);
            // Lines that are passed are forgotten.
            self.places.of(axis, self.counted[axis]);
        }
        match &mut self.row {
            Some((last, row))
                if *last == tick && (0..AXES).all(|i| row[i] == 0 || steps[i] == 0) =>
            {
                for (sum, step) in row.iter_mut().zip(steps) {
                    *sum += step;
                }
            }
            row => {
                if let Some((tick, steps)) = row.replace((tick, steps)) {
                    self.checker.pulse(tick, steps);
                }
            }
        }
    }
}

impl Sink for Judge {
    fn piece(&mut self, piece: &Piece) {
        self.checker.piece(piece);
    }

    fn slice(&mut self, slice: &Slice) {
        self.places.line(slice.line);
    }

    fn record(&mut self, _: &MoveRecord) -> Result<(), SinkError> {
        Ok(())
    }

    fn pulse(&mut self, tick: u64, steps: [i8; AXES]) -> Result<(), SinkError> {
        let time = self.timing.planned(tick);
        for axis in (0..AXES).filter(|axis| steps[*axis] != 0) {
            self.planned[axis] += 1;
            self.plan.step(axis, time);
            // Where the capture is over, nobody asks for lines any more.
            if !self.done && self.seen[axis] {
                self.places.step(axis);
            }
        }
        let seen = (0..AXES).filter(|axis| self.seen[*axis]);
        let planned: u64 = seen.map(|axis| self.planned[axis]).sum();
        Ok(self.follow(planned.saturating_sub(AHEAD))?)
    }
}
