//! Checks step pulses against the machine's limits and the programmed path, from pulses alone.
//!
//! The checker is the judge of the planner, so it shares nothing with it: this module must not use
//! the crate `spokeshave`. It has the program's geometry as straight pieces, the machine file, and
//! a stream of pulses (from the simulator, or captured from a controller), works in f64, and derives
//! every rule by a route of its own. It streams: it holds the pieces that the pulses have not
//! passed, and sliding windows of fixed size.
//!
//! | file | what |
//! |---|---|
//! | `piece`, `geometry`, `segment` | the programmed path: lengths, directions, legs and what lies between |
//! | `matching`, `search` | where on the path each pulse is; the distance of each axis from it |
//! | `doubt` | steps that may have come later on the path than where they were put |
//! | `repair` | what the matcher does where pulses and path do not fit |
//! | `run`, `samples` | pulses on one piece, and the checks that take them as samples |
//! | `count` | steps and end position, from a walk of the path |
//! | `spacing` | period, and set-up of the direction |
//! | `speed` | speed of the axes, and of the path against the feed |
//! | `acceleration`, `windows` | acceleration of the axes on straight stretches |
//! | `curve_acceleration` | acceleration of the axes on bends and at corners |
//! | `steady` | where an acceleration need not be measured, as it can be no new worst |
//! | `turning`, `cluster` | whether a stretch of the path is a bend, close corners or a corner |
//! | `legs` | which pulses lie around a corner or a stop |
//! | `corner` | the corner rule, and the speed that pulses around a corner prove |
//! | `rest` | rest at the start, the end and the stops |
//! | `ring` | samples of the last while, in fixed memory |
//! | `steps` | the steps of one tick |
//! | `input` | whether pieces and pulses make sense |
//! | `result` | what is handed back |

mod acceleration;
mod cluster;
mod corner;
mod count;
mod curve_acceleration;
mod doubt;
mod geometry;
mod input;
mod legs;
mod matching;
mod piece;
mod repair;
mod rest;
mod result;
mod ring;
mod run;
mod samples;
mod search;
mod segment;
mod spacing;
mod speed;
mod steady;
mod steps;
mod turning;
mod windows;

pub use piece::Piece;
pub use result::{CheckResult, Report};

use crate::machine::Machine;
use crate::motion::{AXES, Point};
use count::Count;
use geometry::Path;
use input::Input;
use matching::{Crossing, Matcher};
use result::{Here, Writer};
use run::{Run, Sample};
use samples::Samples;
use spacing::Spacing;
use steps::Steps;

/// The path's speed is read from axes with at least this part of it (one of three axes always has
/// 1/√3 = 0.577): a position known to 1e-5 mm is then a path length known to 2e-5 mm.
const MAJOR: f64 = 0.5;

/// The checker. Give it each piece before the pulses that trace it, the pulses in the order of
/// time, and ask for the report at the end.
///
/// Input that makes no sense (numbers that are not finite, a piece that does not start where the
/// last one ended, ticks that go back) fails the check `input`, with the first cause in its sentence.
#[derive(Clone, Debug)]
pub struct Checker {
    writer: Writer,
    step: Point,
    origin: Point,
    here: Here,
    path: Path,
    matcher: Matcher,
    spacing: Spacing,
    counts: [Count; AXES],
    run: Run,
    samples: Samples,
    steps: [u64; AXES],
    net: Point,
    tick: u64,
    input: Input,
}

impl Checker {
    /// A checker for a job that starts at rest at `start` (mm, machine coordinates) at tick 0.
    pub fn new(machine: &Machine, start: Point) -> Self {
        let hz = f64::from(machine.controller.timer_hz);
        let per_mm = machine.axes.map(|axis| axis.steps_per_mm);
        let speed = machine.axes.map(|axis| axis.speed_limit_mm_s / hz);
        let accel = machine
            .axes
            .map(|axis| axis.acceleration_limit_mm_s2 / (hz * hz));
        let deviation = machine.junction_deviation_mm;
        let spacing = Spacing::new(&machine.controller);
        let late = spacing.waits();
        let origin = std::array::from_fn(|i| (start[i] * per_mm[i]).round() / per_mm[i]);
        let mut checker = Self {
            writer: Writer { hz },
            step: per_mm.map(|n| 1.0 / n),
            origin,
            here: Here {
                at: origin,
                ..Here::default()
            },
            path: Path::new(machine, start),
            matcher: Matcher::new(per_mm, start, late),
            spacing,
            counts: std::array::from_fn(|i| Count::new(i, per_mm[i], start[i])),
            run: Run::new(),
            samples: Samples::new(machine, &speed, &accel, late),
            steps: [0; AXES],
            net: [0.0; AXES],
            tick: 0,
            input: Input::default(),
        };
        let numbers = [hz, deviation]
            .into_iter()
            .chain(per_mm)
            .chain(speed)
            .chain(accel);
        if !numbers.into_iter().all(|x| x > 0.0 && x.is_finite())
            || !start.iter().all(|x| x.is_finite())
        {
            let cause = "the machine has a rate, resolution or limit that is not above 0, or the \
                         start is not finite";
            checker.input.trouble(cause.into(), Here::default());
        }
        checker
    }

    /// The next piece of the path.
    pub fn piece(&mut self, piece: &Piece) {
        self.look(0);
        if let Err(cause) = self.path.push(piece) {
            let here = Here {
                line: piece.line,
                ..self.here
            };
            return self.input.trouble(cause, here);
        }
        for (count, to) in self.counts.iter_mut().zip(piece.to) {
            count.walk(to);
        }
        self.enter_legs();
    }

    /// The pulses of many ticks.
    pub fn pulses(&mut self, pulses: &[(u64, [i8; AXES])]) {
        for (tick, steps) in pulses {
            self.pulse(*tick, *steps);
        }
    }

    /// The pulses of one tick: for each axis −1, 0 or 1.
    #[inline(always)]
    pub fn pulse(&mut self, tick: u64, steps: [i8; AXES]) {
        if tick < self.tick {
            return self.bad_pulses(tick, steps);
        }
        let mut moving = Steps::of(steps);
        if !moving.are_single() {
            self.bad_pulses(tick, steps);
            moving = Steps::single(steps);
        }
        self.tick = tick;
        let t = tick as f64;
        self.here.tick = t;
        while let Some((axis, step)) = moving.take() {
            self.steps[axis] += 1;
            let direction = f64::from(step);
            self.net[axis] += direction;
            self.here.at[axis] = self.origin[axis] + self.net[axis] * self.step[axis];
            let waited = self.spacing.pulse(t, axis, step, &self.here);
            let pulse = (t, axis, direction);
            let Some(crossing) = self.matcher.pulse_inside(&self.path, pulse) else {
                self.search(t, axis, direction, waited);
                continue;
            };
            if self.found(axis, crossing, waited) {
                self.look(0);
            }
        }
    }

    /// Adds what a pulse shows to the run; true where it is full.
    #[inline]
    fn found(&mut self, axis: usize, crossing: Crossing, waited: bool) -> bool {
        // A pulse that had to wait is a sample only of the axis, and in no fine check; nor is one
        // a sample of a place that may have come after the turn that it was put before.
        crossing.exact
            && self.run.add(Sample {
                here: self.here,
                x: crossing.x,
                s: self.matcher.s,
                on: crossing.on,
                axis: axis as u8,
                placed: crossing.placed & !waited,
                firm: crossing.firm & !waited,
            })
    }

    /// A pulse that does not plainly lie on the first piece.
    #[inline(never)]
    fn search(&mut self, t: f64, axis: usize, direction: f64, waited: bool) {
        self.look(0);
        self.path.passed_turns.at_speed(self.matcher.speed);
        let pulse = (t, axis, direction);
        let found = self
            .matcher
            .pulse_anywhere(&mut self.path, pulse, &self.here);
        self.enter_legs();
        if let Some((crossing, ahead)) = found {
            self.found(axis, crossing, waited);
            self.look(ahead);
        }
    }

    /// Looks at the pulses found so far, which lie on the `ahead`-th piece: before that, or what is
    /// known of the path, changes.
    #[inline(never)]
    fn look(&mut self, ahead: usize) {
        if !self.run.is_empty() {
            self.samples.take(&self.run, &self.path, ahead);
            self.run.clear();
        }
    }

    /// All that was found.
    pub fn finish(mut self) -> Report {
        self.look(0);
        let here = self.here;
        self.matcher.finish(&mut self.path, &here);
        self.enter_legs();
        self.samples.legs
            .finish(self.path.last().map_or(0.0, |last| last.s1), &here);
        let writer = self.writer;
        let end = Here {
            line: self.path.last().map_or(0, |last| last.line),
            ..here
        };
        let mut checks = Vec::new();
        let mut counted = Vec::new();
        for (axis, count) in self.counts.iter().enumerate() {
            let fault = self.matcher.first_fault[axis];
            let [position, steps] =
                count.results(self.steps[axis], self.net[axis], fault, end, writer);
            checks.push(position);
            counted.push(steps);
        }
        checks.append(&mut counted);
        checks.push(self.matcher.result(writer));
        checks.extend(self.spacing.results(writer));
        checks.extend(self.samples.speeds.iter().map(|speed| speed.result(writer)));
        checks.push(self.samples.feed.result(writer));
        checks.extend(self.samples.accelerations.iter().map(|a| a.result(writer)));
        checks.extend(self.samples.curves.results(writer));
        checks.extend(self.samples.legs.results(self.path.turns, writer));
        checks.push(self.input.result(writer));
        let peaks = self.samples.curves.peaks(writer);
        let peaks = std::array::from_fn(|i| self.samples.accelerations[i].peak(writer).max(peaks[i]));
        Report {
            checks,
            peak_speed_mm_s: std::array::from_fn(|i| self.samples.speeds[i].peak(writer)),
            peak_acceleration_mm_s2: peaks,
            steps: self.steps,
            net: self.net.map(|net| net as i64),
            end_mm: here.at,
        }
    }

    #[inline]
    fn enter_legs(&mut self) {
        if self.path.line != self.here.line {
            self.here.line = self.path.line;
        }
        while let Some(leg) = self.path.entered.pop_front() {
            self.samples.legs.enter(leg, &self.here);
        }
    }

    #[cold]
    fn bad_pulses(&mut self, tick: u64, steps: [i8; AXES]) {
        let cause = format!(
            "pulses {steps:?} at tick {tick} after tick {}: ticks must not go back, and an axis \
             makes at most one step",
            self.tick
        );
        self.input.trouble(cause, self.here);
    }
}
