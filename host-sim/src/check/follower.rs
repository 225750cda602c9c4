//! Follows the pulses along the path: counts them, holds their spacing and their distance from the path
//! against the limits, and tells where they are.

use super::count::Count;
use super::geometry::Path;
use super::input::Input;
use super::matching::{Crossing, Matcher};
use super::news::{Event, News, Sample};
use super::result::{CheckResult, Here, Writer};
use super::spacing::Spacing;
use super::steps::Steps;
use super::{MAJOR, Piece};
use crate::machine::Machine;
use crate::motion::{AXES, Point};

#[derive(Clone, Debug)]
pub(super) struct Follower {
    step: Point,
    origin: Point,
    here: Here,
    path: Path,
    matcher: Matcher,
    spacing: Spacing,
    counts: [Count; AXES],
    steps: [u64; AXES],
    net: Point,
    tick: u64,
    pub input: Input,
    /// What the checks of samples have yet to be told.
    pub news: News,
    /// Number of the piece that they were told of last.
    told: usize,
}

impl Follower {
    pub fn new(machine: &Machine, start: Point) -> Self {
        let per_mm = machine.axes.map(|axis| axis.steps_per_mm);
        let spacing = Spacing::new(&machine.controller);
        let origin = std::array::from_fn(|i| (start[i] * per_mm[i]).round() / per_mm[i]);
        Self {
            step: per_mm.map(|n| 1.0 / n),
            origin,
            here: Here {
                at: origin,
                ..Here::default()
            },
            path: Path::new(machine, start),
            matcher: Matcher::new(per_mm, start, spacing.waits()),
            spacing,
            counts: std::array::from_fn(|i| Count::new(i, per_mm[i], start[i])),
            steps: [0; AXES],
            net: [0.0; AXES],
            tick: 0,
            input: Input::default(),
            news: News::default(),
            told: usize::MAX,
        }
    }

    /// The next piece of the path.
    pub fn piece(&mut self, piece: &Piece) {
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
        self.tell_events();
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
            match self.matcher.pulse_inside(&self.path, pulse) {
                Some(crossing) if crossing.exact => self.tell(axis, &crossing, waited, 0),
                Some(_) => self.news.event(Event::Here(self.here)),
                None => self.search(t, axis, direction, waited),
            }
        }
    }

    /// A pulse that does not plainly lie on the first piece.
    #[inline(never)]
    fn search(&mut self, t: f64, axis: usize, direction: f64, waited: bool) {
        self.news.event(Event::Speed(self.matcher.speed));
        let pulse = (t, axis, direction);
        let found = self
            .matcher
            .pulse_anywhere(&mut self.path, pulse, &self.here);
        self.tell_events();
        if let Some((crossing, ahead)) = found.filter(|(crossing, _)| crossing.exact) {
            self.tell(axis, &crossing, waited, ahead);
        }
    }

    /// Tells of a pulse that is a sample of its axis, and mostly of a place on the `ahead`-th piece.
    #[inline(always)]
    fn tell(&mut self, axis: usize, crossing: &Crossing, waited: bool, ahead: usize) {
        if self.path.passed + ahead != self.told {
            self.tell_piece(ahead);
        }
        let other = if ahead > 0 {
            self.path.get(ahead)
        } else {
            None
        };
        let piece = other.unwrap_or(self.path.front());
        let s = crossing.on;
        // A pulse that had to wait is no sample of where the axis is in a fine check. Nor is one that
        // may have come after the turn that it was put before.
        let placed = crossing.placed & !waited;
        let margin = 2.0 * piece.doubt[axis];
        // Mostly plain from the piece alone.
        let before_end = piece.s1 - s >= margin;
        let clear = |start: f64, straight: bool| {
            before_end && s - start >= margin || !self.path.near_end(ahead, s, margin, straight)
        };
        self.news.sample(Sample {
            t: self.here.tick,
            at: self.here.at[axis],
            x: crossing.x,
            s: self.matcher.s,
            on: s,
            axis: axis as u8,
            placed,
            firm: crossing.firm & !waited,
            straight: placed && clear(piece.straight0, true),
            leg: placed && piece.u[axis].abs() >= MAJOR && clear(piece.leg0, false),
        });
    }

    #[inline(never)]
    fn tell_piece(&mut self, ahead: usize) {
        self.told = self.path.passed + ahead;
        if let Some(piece) = self.path.get(ahead) {
            self.news.piece(piece);
        }
    }

    /// Tells what the path has passed, and where the job is then.
    fn tell_events(&mut self) {
        self.here.line = self.path.line;
        self.news.event(Event::Here(self.here));
        for event in self.path.events.drain(..) {
            self.news.event(event);
        }
    }

    /// The end of the pulses.
    pub fn finish(&mut self) {
        let here = self.here;
        self.matcher.finish(&mut self.path, &here);
        self.tell_events();
        self.here = here;
    }

    /// Where the job is, or was at the end.
    pub fn here(&self) -> Here {
        self.here
    }

    /// Path length of the end, and how many turns can hold the speed.
    pub fn end(&self) -> (f64, u64) {
        let s = self.path.last().map_or(0.0, |last| last.s1);
        (s, self.path.turns)
    }

    /// Pulses of each axis, and steps forward less steps back.
    pub fn counted(&self) -> ([u64; AXES], Point) {
        (self.steps, self.net)
    }

    /// End positions, counts, path and spacing.
    pub fn results(&self, writer: Writer) -> Vec<CheckResult> {
        let end = Here {
            line: self.path.last().map_or(0, |last| last.line),
            ..self.here
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
        checks
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

#[cfg(test)]
mod tests;
