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
//! | `follower` | follows pulses and path, and tells where the pulses are |
//! | `news`, `samples` | what it tells, and the checks that take pulses as samples |
//! | `count` | steps and end position, from a walk of the path |
//! | `spacing` | period, and set-up of the direction |
//! | `speed` | speed of the axes, and of the path against the feed |
//! | `acceleration`, `windows` | acceleration of the axes on straight stretches |
//! | `curve_acceleration` | acceleration of the axes on bends and at corners |
//! | `steady` | where an acceleration need not be measured, as it can be no new worst |
//! | `turning`, `cluster` | whether a stretch of the path is a bend, close corners or a corner |
//! | `legs` | which pulses lie around a corner or a stop |
//! | `corner` | the corner rule, and the speed that pulses around a corner prove |
//! | `pause` | that the path does not stop dead, nor start at speed, between two pulses |
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
mod follower;
mod geometry;
mod input;
mod legs;
mod matching;
mod news;
mod pause;
mod piece;
#[cfg(test)]
mod random_motion;
mod repair;
mod rest;
mod result;
mod ring;
mod samples;
mod search;
mod segment;
mod spacing;
mod speed;
mod steady;
mod steps;
#[cfg(test)]
mod test_machine;
#[cfg(test)]
mod test_walk;
mod turning;
mod windows;

pub use piece::Piece;
pub use result::{CheckResult, Report};

use crate::machine::Machine;
use crate::motion::{AXES, Point};
use follower::Follower;
use result::{Here, Writer};
use samples::Samples;

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
    follower: Follower,
    samples: Samples,
    writer: Writer,
}

/// News after which the checks of samples are told: few enough for the nearest cache.
const MANY: usize = 256;

impl Checker {
    /// A checker for a job that starts at rest at `start` (mm, machine coordinates) at tick 0.
    pub fn new(machine: &Machine, start: Point) -> Self {
        let hz = f64::from(machine.controller.timer_hz);
        let per_mm = machine.axes.map(|axis| axis.steps_per_mm);
        let speed = machine.axes.map(|axis| axis.speed_limit_mm_s / hz);
        let accel = machine
            .axes
            .map(|axis| axis.acceleration_limit_mm_s2 / (hz * hz));
        let late = spacing::Spacing::new(&machine.controller).waits();
        let mut checker = Self {
            follower: Follower::new(machine, start),
            samples: Samples::new(machine, &speed, &accel, late),
            writer: Writer { hz },
        };
        let numbers = [hz, machine.junction_deviation_mm]
            .into_iter()
            .chain(per_mm)
            .chain(speed)
            .chain(accel);
        if !numbers.into_iter().all(|x| x > 0.0 && x.is_finite())
            || !start.iter().all(|x| x.is_finite())
        {
            let cause = "the machine has a rate, resolution or limit that is not above 0, or the \
                         start is not finite";
            let input = &mut checker.follower.input;
            input.trouble(cause.into(), Here::default());
        }
        checker
    }

    /// The next piece of the path.
    pub fn piece(&mut self, piece: &Piece) {
        self.follower.piece(piece);
        if self.follower.news.len() >= MANY {
            self.tell();
        }
    }

    /// The pulses of one tick: for each axis −1, 0 or 1.
    pub fn pulse(&mut self, tick: u64, steps: [i8; AXES]) {
        self.pulses(&[(tick, steps)]);
    }

    /// The pulses of many ticks, faster than one by one.
    pub fn pulses(&mut self, pulses: &[(u64, [i8; AXES])]) {
        for some in pulses.chunks(MANY) {
            self.follower.pulses(some);
            if self.follower.news.len() >= MANY {
                self.tell();
            }
        }
    }

    fn tell(&mut self) {
        self.samples.read(&self.follower.news);
        self.follower.news.clear();
    }

    /// All that was found so far, of a job that goes on: what it says of the end position and of the
    /// count of steps is held against the end of the path that was told.
    pub fn so_far(&self) -> Report {
        let mut now = self.clone();
        now.tell();
        now.report()
    }

    /// All that was found.
    pub fn finish(mut self) -> Report {
        self.follower.finish();
        self.tell();
        let (end, _) = self.follower.end();
        self.samples.legs.finish(end, &self.follower.here());
        self.report()
    }

    fn report(self) -> Report {
        let (follower, samples, writer) = (self.follower, self.samples, self.writer);
        let here = follower.here();
        let (_, turns) = follower.end();
        let (steps, net) = follower.counted();
        let mut checks = follower.results(writer);
        checks.extend(samples.speeds.iter().map(|speed| speed.result(writer)));
        checks.push(samples.feed.result(writer));
        checks.extend(samples.accelerations.iter().map(|a| a.result(writer)));
        checks.extend(samples.curves.results(writer));
        checks.extend(samples.legs.results(turns, writer));
        checks.push(samples.pause.result(writer));
        checks.push(follower.input.result(writer));
        let peaks = samples.curves.peaks(writer);
        let peaks = std::array::from_fn(|i| samples.accelerations[i].peak(writer).max(peaks[i]));
        Report {
            checks,
            peak_speed_mm_s: std::array::from_fn(|i| samples.speeds[i].peak(writer)),
            peak_acceleration_mm_s2: peaks,
            steps,
            net: net.map(|net| net as i64),
            end_mm: here.at,
        }
    }
}

#[cfg(test)]
mod tests;
