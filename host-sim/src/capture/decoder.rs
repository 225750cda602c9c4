//! From the levels of lines to the steps of axes, with what the lines show beside: how wide pulses
//! are, how far apart, and how long directions stand.
//!
//! Changes at one moment have no order: pulses end first, then directions change, then pulses begin.

use super::edges::Edges;
use super::event::{Event, Limits, Measure, Span};
use super::pairs::Pair;
use super::pulses::{Pulse, Pulses};
use super::state::State;
use super::wiring::Motor;
use super::{Level, Lines, seconds};
use crate::input_error::InputError;
use crate::motion::{AXES, AXIS_NAMES};
use std::collections::VecDeque;

/// The decoder.
pub struct Decoder {
    lines: Box<dyn Lines>,
    states: Vec<State>,
    pulses: Pulses,
    pairs: [Option<Pair>; AXES],
    limits: Limits,
    span: Span,
    /// Worst width, period and set-up so far.
    worst: [i64; 3],
    out: VecDeque<Event>,
    changes: Vec<(usize, Level)>,
    first: Option<i64>,
    last: i64,
    done: bool,
}

impl Decoder {
    /// Follows `lines`, on which [`wire`](super::wiring::wire) found the motors, over a stretch of time.
    pub fn new(lines: Box<dyn Lines>, motors: Vec<Motor>, limits: Limits, span: Span) -> Self {
        let (states, count) = State::all(motors);
        Self {
            lines,
            states,
            pulses: Pulses::default(),
            pairs: count.map(|motors| (motors > 1).then(|| Pair::new(motors))),
            limits,
            span,
            worst: [i64::MAX; 3],
            out: VecDeque::new(),
            changes: Vec::new(),
            first: None,
            last: 0,
            done: false,
        }
    }

    /// What comes next; `None` at the end.
    ///
    /// # Errors
    /// What the file gets wrong, and lines that are not known when they matter.
    pub fn next_event(&mut self) -> Result<Option<Event>, InputError> {
        while self.out.is_empty() && !self.done {
            self.changes.clear();
            let mut changes = std::mem::take(&mut self.changes);
            let time = self.lines.next(&mut changes)?;
            let time = time.filter(|time| time <= self.span.end());
            match time {
                Some(time) => {
                    self.first.get_or_insert(time);
                    self.last = time;
                    self.apply(time, &changes)?;
                    self.tell(time, self.limits.counts);
                }
                None => {
                    self.done = true;
                    // What is open now is as long as it was seen.
                    self.tell(self.last, 0);
                    self.part(i64::MAX / 2);
                }
            }
            self.changes = changes;
        }
        Ok(self.out.pop_front())
    }

    /// First and last change that were read, ps.
    pub fn reach(&self) -> Option<(i64, i64)> {
        self.first.map(|first| (first, self.last))
    }

    /// How far the motors of an axis stand apart, where there are several.
    pub fn apart(&self, axis: usize) -> Option<i64> {
        self.pairs[axis].as_ref().map(Pair::apart)
    }

    /// Step lines that were on for most of the time: they are most likely inverted.
    pub fn mostly_on(&self) -> impl Iterator<Item = &str> {
        let whole = self.last - self.first.unwrap_or(self.last);
        let mostly = move |state: &&State| state.on > whole - whole / 4 && state.told > 0;
        self.states
            .iter()
            .filter(mostly)
            .map(|state| state.motor.step.name.as_str())
    }

    /// Step lines whose last pulse has no end in the capture.
    pub fn unfinished(&self) -> impl Iterator<Item = &str> {
        let open = self.states.iter().filter(|state| state.rise.is_some());
        open.map(|state| state.motor.step.name.as_str())
    }

    /// An error about the whole file.
    pub fn refuse(&self, cause: String, remedy: &str) -> InputError {
        InputError::whole(self.lines.file(), cause, remedy)
    }

    fn apply(&mut self, time: i64, changes: &[(usize, Level)]) -> Result<(), InputError> {
        let inside = time >= *self.span.start();
        let of = |wire: usize| {
            let mine = changes.iter().filter(move |(place, _)| *place == wire);
            mine.map(|(_, level)| *level)
        };
        let mut begins: [Vec<usize>; 2] = Default::default();
        for at in 0..self.states.len() {
            let state = &self.states[at];
            let (wire, before) = (state.motor.step.place, state.step);
            if inside {
                self.known(&self.states[at].motor.step.name, before, of(wire))?;
            }
            let edges = Edges::new(before, self.states[at].motor.step.on, of(wire));
            self.states[at].step = edges.now;
            if edges.falls && inside {
                self.fall(at, time);
            }
            if edges.rises && inside {
                begins[0].push(at);
            } else if edges.empty && inside {
                begins[1].push(at);
            }
        }
        for at in 0..self.states.len() {
            let state = &self.states[at];
            let (wire, before) = (state.motor.direction.place, state.direction);
            if inside {
                self.known(&self.states[at].motor.direction.name, before, of(wire))?;
            }
            let state = &mut self.states[at];
            let turns = of(wire).any(|level| level != before && before != Level::Unknown);
            state.direction = of(wire).next_back().unwrap_or(before);
            if turns && inside {
                state.turned = Some(time);
                if state.rise.is_some() {
                    state.moved.get_or_insert(time);
                }
            }
        }
        let [lasting, empty] = begins;
        for at in lasting {
            self.rise(at, time)?;
        }
        for at in empty {
            self.rise(at, time)?;
            self.fall(at, time);
        }
        Ok(())
    }

    /// A line whose level was known must stay so.
    fn known(
        &self,
        name: &str,
        before: Level,
        mut seen: impl Iterator<Item = Level>,
    ) -> Result<(), InputError> {
        if before == Level::Unknown || seen.all(|level| level != Level::Unknown) {
            return Ok(());
        }
        Err(self.refuse(
            format!(
                "`{name}` is x or z after {}: steps that are made then cannot be seen",
                seconds(self.last)
            ),
            "capture again with the line driven, or look at a part with --from and --until",
        ))
    }

    fn rise(&mut self, at: usize, time: i64) -> Result<(), InputError> {
        let state = &mut self.states[at];
        state.rise = Some(time);
        if state.direction == Level::Unknown {
            let name = state.motor.direction.name.clone();
            return Err(self.refuse(
                format!(
                    "`{name}` has no level yet when {} steps, at {}",
                    AXIS_NAMES[self.states[at].motor.axis],
                    seconds(time)
                ),
                "begin the capture before the job, so that the direction is seen",
            ));
        }
        let forward = state.direction == state.motor.direction.on;
        self.pulses.begin(Pulse {
            motor: at,
            rise: time,
            direction: if forward { 1 } else { -1 },
            setup: state.turned.map(|turned| time - turned),
        });
        Ok(())
    }

    fn fall(&mut self, at: usize, time: i64) {
        let state = &mut self.states[at];
        let Some(rise) = state.rise.take() else {
            return; // It began before the capture.
        };
        let width = time - rise;
        state.on += width;
        let moved = state.moved.take();
        let waits = self.pulses.end(at, width >= self.limits.counts);
        let step = state.told + u64::from(waits);
        self.measured(at, step, rise, Measure::Width, width);
        if let Some(moved) = moved {
            self.measured(at, step, moved, Measure::Hold, time - moved);
        }
    }

    /// Tells the pulses of which it is known at `time` that they count.
    fn tell(&mut self, time: i64, enough: i64) {
        while let Some(pulse) = self.pulses.next(time, enough) {
            let at = pulse.motor;
            let state = &mut self.states[at];
            state.told += 1;
            let (axis, step) = (state.motor.axis, state.told);
            let (number, last) = (state.number, state.last.replace(pulse.rise));
            if number == 0 {
                self.out.push_back(Event::Step {
                    time: pulse.rise,
                    axis,
                    direction: pulse.direction,
                });
            }
            if let Some(last) = last {
                self.measured(at, step, pulse.rise, Measure::Period, pulse.rise - last);
            }
            if let Some(setup) = pulse.setup {
                self.measured(at, step, pulse.rise, Measure::Setup, setup);
            }
            if let Some(pair) = &mut self.pairs[axis] {
                let together = self.limits.together;
                let apart = pair.step(number, pulse.direction, pulse.rise, together);
                self.out
                    .extend(apart.map(|apart| Event::Apart { axis, step, apart }));
            }
        }
        self.part(time - self.limits.counts);
    }

    /// The motors of an axis stand as they do until `time`.
    fn part(&mut self, time: i64) {
        for (axis, pair) in self.pairs.iter_mut().enumerate() {
            let apart = pair
                .as_mut()
                .and_then(|pair| pair.stand(time, self.limits.together));
            let first = |state: &&State| state.motor.axis == axis && state.number == 0;
            let step = self.states.iter().find(first).map_or(0, |state| state.told);
            self.out
                .extend(apart.map(|apart| Event::Apart { axis, step, apart }));
        }
    }

    /// Tells a measure where it is the worst so far, or outside its limit.
    fn measured(&mut self, at: usize, step: u64, time: i64, measure: Measure, value: i64) {
        let (place, limit) = match measure {
            Measure::Width => (0, self.limits.width),
            Measure::Period => (1, self.limits.period),
            Measure::Setup => (2, self.limits.setup),
            Measure::Hold => (3, i64::MAX),
        };
        let worst = self.worst.get_mut(place);
        let news = worst.is_none_or(|worst| {
            let news = value < *worst;
            *worst = value.min(*worst);
            news
        });
        if news || value < limit {
            self.out.push_back(Event::Measured {
                time,
                axis: self.states[at].motor.axis,
                step,
                measure,
                value,
            });
        }
    }
}
