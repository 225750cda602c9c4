//! What a caller of the planner does with a machine: all that the target `planner` is made of.
//!
//! Bytes become numbers, and each number a value of its range, so that most of what is tried is a job
//! that a machine could have. What the caller is told to keep to is in `Live` and its model
//! (`spokeshave_tests::caller`), which follow every operation and every ramp.

use crate::machine::{N, Numbers, Part, between};
use arbitrary::Arbitrary;
use spokeshave::{
    Coordinate, Event, Machine, PlanError, Point, PulseGenerator, Ramp, Request, State, TrainMaker,
};
use spokeshave_tests::caller::Live;
use spokeshave_tests::rules;
use spokeshave_tests::run::Pulses;

/// How far feed overrides are prepared for.
const HEADROOM: f32 = 2.0;

/// So many steps, and so many ramps by a rough count, are enough for a job.
const MOST_STEPS: f64 = 20_000.0;
const MOST_RAMPS: f64 = 2_000.0;

/// As far out as jobs go, counts: 12 m. A machine has 10 m, and a coordinate holds 16; a step may be 0.1 m
/// wide, and a cut leaves the motors on a whole one.
const FAR: i64 = 12_000 * Coordinate::PER_MM as i64;

/// A job.
#[derive(Arbitrary, Clone, Debug)]
pub struct Job {
    machine: Numbers,
    start: [i32; N],
    depth: u8,
    operations: Vec<Operation>,
}

/// What a caller does. Further operations go here, and into [`Run::act`].
#[derive(Arbitrary, Clone, Debug)]
enum Operation {
    /// A move: how long, with what part of it on each axis, at what feed.
    Move(Part, [i8; N], Option<Part>),
    /// The last move again, in 32nds of its length, each axis some counts off.
    Again(i8, [i8; N], Option<Part>),
    /// Chords in the plane of the first two axes: how many, how long, turned by how much.
    Chords(u8, Part, i16, Option<Part>),
    /// A feed, and a rest, that may be any number.
    WildFeed(f32),
    WildRest(f32),
    Rest(Part),
    Stop,
    Depth(u8),
    Take(u8),
    UntilRest,
    // What an operator does.
    Wait,
    Hold,
    Resume,
    End,
    FeedOverride(Part),
    RapidOverride(Part),
    WildOverride(f32),
    Jog(Part, [i8; N]),
    Cut(Part),
}

impl Job {
    /// Does it all; whatever state it is in then, it is let run to its end.
    ///
    /// # Panics
    /// Where a promise is broken.
    pub fn run(&self) {
        let Some(machine) = self.machine.machine() else {
            return;
        };
        // Anywhere on 10 m.
        let start = self
            .start
            .map(|counts| Coordinate::from_counts(counts / 2 + counts / 8));
        let depth = 2 + usize::from(self.depth) % 63;
        let mut run = Run {
            live: Live::new(machine, start, depth, HEADROOM),
            machine,
            start,
            tag: 0,
            heading: 0.0,
            last: [0; N],
            steps: 0.0,
            ramps: 0.0,
        };
        for operation in &self.operations {
            run.act(operation);
        }
        run.finish();
    }
}

struct Run {
    live: Live<N>,
    machine: Machine<N>,
    start: Point<N>,
    tag: u32,
    heading: f64,
    last: [i64; N],
    /// What was asked for so far.
    steps: f64,
    ramps: f64,
}

impl Run {
    fn act(&mut self, operation: &Operation) {
        match *operation {
            Operation::Move(size, parts, feed) => self.line(way(size, parts), feed),
            Operation::Again(factor, off, feed) => {
                let way = std::array::from_fn(|i| {
                    self.last[i] * i64::from(factor) / 32 + i64::from(off[i]) / 16
                });
                self.line(way, feed);
            }
            Operation::Chords(count, size, turn, feed) => {
                let turn = std::f64::consts::PI * f64::from(turn) / f64::from(i16::MAX);
                let length = between(1.0, 1e7, size);
                for _ in 0..count {
                    self.heading += turn;
                    let mut way = [0; N];
                    way[0] = (length * self.heading.cos()).round() as i64;
                    way[1] = (length * self.heading.sin()).round() as i64;
                    self.line(way, feed);
                }
            }
            Operation::WildFeed(feed) => self.wild_feed(feed),
            Operation::WildRest(seconds) => self.wild_rest(seconds),
            Operation::Rest(seconds) => {
                let seconds = between(1e-6, 10.0, seconds) as f32;
                self.ramps += f64::from(seconds / self.machine.controller().ramp_time);
                if self.ramps < MOST_RAMPS {
                    self.push(|live, tag| live.rest(seconds, tag));
                }
            }
            Operation::Stop => self.live.stop(),
            Operation::Depth(depth) => {
                let depth = usize::from(depth);
                let taken = self.live.planner.limit_depth(depth);
                assert_eq!(taken.is_ok(), (2..=64).contains(&depth), "{depth}");
            }
            Operation::Take(count) => {
                self.live.take(count.into());
            }
            Operation::UntilRest => self.live.until_rest(),
            Operation::Wait => self.push(Live::wait),
            Operation::Hold => self.ask(Request::Hold),
            Operation::Resume => self.ask(Request::Resume),
            Operation::End => self.ask(Request::End),
            Operation::FeedOverride(part) => {
                self.ask(Request::FeedOverride(between(0.08, 2.1, part) as f32));
            }
            Operation::RapidOverride(part) => {
                self.ask(Request::RapidOverride(between(0.08, 1.1, part) as f32));
            }
            Operation::WildOverride(factor) => self.ask(Request::FeedOverride(factor)),
            Operation::Jog(size, parts) => {
                let Some((to, _)) = self.target(way(size, parts), None) else {
                    return;
                };
                self.push(|live, tag| live.jog(to, tag));
            }
            Operation::Cut(part) => {
                let place = self.live.planner.here();
                self.live.cut(f64::from(part) / f64::from(Part::MAX), place);
                self.start = place;
            }
        }
    }

    fn ask(&mut self, request: Request) {
        self.live.request(request);
    }

    /// Pushes something; where there is no room, ramps make some.
    fn push(&mut self, mut push: impl FnMut(&mut Live<N>, u32) -> bool) {
        self.tag += 1;
        for _ in 0..1_000_000 {
            if push(&mut self.live, self.tag) || !self.live.take(1) {
                return;
            }
        }
        panic!("no room comes");
    }

    fn line(&mut self, way: [i64; N], feed: Option<Part>) {
        let feed = feed.map(|part| between(1.1e-3, 9_999.0, part) as f32);
        let Some((to, way)) = self.target(way, feed) else {
            return;
        };
        self.last = way;
        self.push(|live, tag| live.line(to, feed, tag));
    }

    /// Where a move goes, back where it would go too far; `None` where the job would last
    /// too long.
    fn target(&mut self, way: [i64; N], feed: Option<f32>) -> Option<(Point<N>, [i64; N])> {
        let end = self.live.planner.end();
        let to = std::array::from_fn(|i| {
            let at = i64::from(end[i].counts());
            let inside = |to: &i64| to.abs() <= FAR;
            let to = [at + way[i], at - way[i]].into_iter().find(inside);
            Coordinate::from_counts(to.unwrap_or(at) as i32)
        });
        let way = rules::displacement(&end, &to);
        let length = rules::norm(&way);
        if length > 0.0 {
            let unit = way.map(|mm| mm / length);
            let cap = rules::speed_cap(&self.machine, &unit, feed);
            let acceleration = rules::acceleration(&self.machine, &unit);
            let axes = self.machine.axes().iter();
            let steps = axes.zip(way).map(|(axis, mm)| mm.abs() * axis.steps_per_mm);
            let (steps, rise) = (steps.sum::<f64>(), cap.min((acceleration * length).sqrt()));
            let longest = f64::from(self.machine.controller().ramp_time).min(
                f64::from(Ramp::<N>::MOST_TICKS) / f64::from(self.machine.controller().timer_hz),
            );
            let ramps = 3.0 + (length / rise + rise / acceleration) / longest;
            if self.steps + steps > MOST_STEPS || self.ramps + ramps > MOST_RAMPS {
                return None;
            }
            self.steps += steps;
            self.ramps += ramps;
        }
        Some((
            to,
            std::array::from_fn(|i| i64::from(to[i].counts()) - i64::from(end[i].counts())),
        ))
    }

    /// A feed out of its range is refused, and nothing changes.
    fn wild_feed(&mut self, feed: f32) {
        if (0.001..=10_000.0).contains(&feed) {
            return;
        }
        let (planner, state) = (&mut self.live.planner, self.live.model.state());
        let before = (planner.end(), planner.len());
        let to = before.0.map(|at| Coordinate::from_counts(at.counts() / 2));
        let refused = planner.line(to, Some(feed), 0).expect_err("a bad feed");
        assert!(
            matches!(refused, PlanError::Feed(_)) || refused == PlanError::State(state),
            "{refused}"
        );
        assert_eq!(before, (planner.end(), planner.len()));
    }

    /// And so is a time to rest.
    fn wild_rest(&mut self, seconds: f32) {
        if (0.0..=100_000.0).contains(&seconds) {
            return;
        }
        let (planner, state) = (&mut self.live.planner, self.live.model.state());
        let before = planner.len();
        let refused = planner.rest(seconds, 0).expect_err("a bad rest");
        assert!(
            matches!(refused, PlanError::Rest(_)) || refused == PlanError::State(state),
            "{refused}"
        );
        assert_eq!(before, planner.len());
    }

    /// It ends at rest, with all done or ended, and its pulses are right.
    fn finish(&mut self) {
        for _ in 0..1_000 {
            self.live.until_rest();
            match self.live.state() {
                State::AtRest => {
                    self.live.check_pulses();
                    self.same_by_ramps();
                    return;
                }
                State::Held | State::Waiting(_) => assert!(self.live.request(Request::Resume)),
                state => panic!("it stands, but it {state}"),
            }
        }
        panic!("it does not end");
    }

    /// Trains that are made ramp by ramp are those that are made as they are asked for.
    fn same_by_ramps(&self) {
        let asked = Pulses::new(&self.machine, self.start).all(&self.live.ramps);
        let mut trains = TrainMaker::new(&self.machine, self.start);
        let mut generator = PulseGenerator::new(&self.machine, self.start);
        let mut made = Vec::new();
        for ramp in &self.live.ramps {
            trains.trains_of(ramp, |train| {
                let mut next = Some(train);
                loop {
                    match generator.next_event(&mut || next.take()) {
                        Event::Pulse(pulse) => made.push(pulse),
                        Event::Wait(_) => {}
                        Event::Idle => return,
                    }
                }
            });
        }
        assert_eq!(asked, made);
    }
}

/// From a count to some metres, with a part of it on each axis.
fn way(size: Part, parts: [i8; N]) -> [i64; N] {
    let size = between(1.0, 2e9, size);
    parts.map(|part| (size * f64::from(part) / f64::from(i8::MAX)).round() as i64)
}
