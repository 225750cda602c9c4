//! A simple model of a machine that an operator holds, resumes, overrides and ends: what it knows is
//! the list of moves, the rules of motion, and what each request means. It plans nothing; it says of
//! every ramp whether it may be.

mod ramps;

use crate::{exact, rules};
pub use ramps::bound;
use spokeshave::{Coordinate, Machine, Point, Request, State};
use std::collections::VecDeque;

/// What was pushed.
#[derive(Clone, Debug)]
enum Queued<const N: usize> {
    Move {
        tag: u32,
        unit: [f64; N],
        length: f64,
        feed: Option<f32>,
        to: Point<N>,
        /// Rest is asked for where it begins.
        stop: bool,
    },
    Rest {
        tag: u32,
        ticks: u64,
    },
    Wait {
        tag: u32,
    },
}

/// The model.
#[derive(Debug)]
pub struct Model<const N: usize> {
    machine: Machine<N>,
    queue: VecDeque<Queued<N>>,
    /// Where the last move that was pushed ends, and its direction; a stop is asked for there.
    tail: Point<N>,
    stops: bool,
    /// Where the last ramp ended, 2⁻³² of a step.
    pub position: [i64; N],
    /// The speed there, mm/s.
    pub speed: f32,
    /// Ramps of the front move so far, and the direction of the last move.
    slices: u32,
    last_unit: Option<[f64; N]>,
    /// How far it stands from the coordinates that a move is asked for from, mm.
    off: f64,
    state: State,
    feed_override: f64,
    rapid_override: f64,
    /// An override was asked for.
    overridden: bool,
    /// Since a hold or an end was asked for: seconds of ramps, and the speed then.
    braking: Option<(f64, f64)>,
    /// The longest that braking took, as a part of the bound.
    pub worst_braking: f64,
}

impl<const N: usize> Model<N> {
    /// At rest at `start`.
    pub fn new(machine: Machine<N>, start: Point<N>) -> Self {
        Self {
            queue: VecDeque::new(),
            tail: start,
            stops: true,
            position: exact::position(&machine, &start),
            speed: 0.0,
            slices: 0,
            last_unit: None,
            off: 0.0,
            state: State::AtRest,
            feed_override: 1.0,
            rapid_override: 1.0,
            overridden: false,
            braking: None,
            worst_braking: 0.0,
            machine,
        }
    }

    /// The planner counts from `position`, which may be rounded another way than this model's: to the
    /// next 2⁻³² of a step.
    ///
    /// # Panics
    /// Where it is further off.
    pub fn counts_from(&mut self, position: [i64; N]) {
        for (mine, its) in self.position.iter().zip(position) {
            assert!((mine - its).abs() <= 1, "{mine} and {its}");
        }
        self.position = position;
    }

    /// What the planner's state must be.
    pub fn state(&self) -> State {
        match self.state {
            State::Moving | State::Jogging | State::AtRest if self.queue.is_empty() => {
                State::AtRest
            }
            State::AtRest => State::Moving,
            State::Holding if self.speed == 0.0 => State::Held,
            state => state,
        }
    }

    /// A move was taken, by the program or as a jog.
    pub fn line(&mut self, to: Point<N>, feed: Option<f32>, tag: u32, jog: bool) {
        if self.state() == State::AtRest {
            self.state = if jog { State::Jogging } else { State::Moving };
        }
        if to == self.tail {
            return;
        }
        let way = rules::displacement(&self.tail, &to);
        let length = rules::norm(&way);
        self.queue.push_back(Queued::Move {
            tag,
            unit: way.map(|x| x / length),
            length,
            feed,
            to,
            stop: self.stops,
        });
        self.tail = to;
        self.stops = false;
    }

    /// The program stops where it ends so far.
    pub fn stop(&mut self) {
        self.stops = true;
    }

    /// A rest of so many ticks was taken.
    pub fn rest(&mut self, ticks: u64, tag: u32) {
        self.stops = true;
        if self.state() == State::AtRest {
            self.state = State::Moving;
        }
        if ticks > 0 {
            self.queue.push_back(Queued::Rest { tag, ticks });
        }
    }

    /// A wait was taken.
    pub fn wait(&mut self, tag: u32) {
        self.stops = true;
        if self.state() == State::AtRest {
            self.state = State::Moving;
        }
        self.queue.push_back(Queued::Wait { tag });
    }

    /// The request is legal now; if it is, the model follows it.
    pub fn request(&mut self, request: Request, headroom: f32) -> bool {
        use State::{AtRest, Held, Holding, InDoubt, Jogging, Moving, Waiting};
        let state = self.state();
        match (request, state) {
            (Request::Hold, AtRest | Moving) => {
                self.state = Holding;
                self.brake();
            }
            (Request::Resume, Holding | Held) => {
                self.state = Moving;
                self.braking = None;
            }
            (Request::Resume, Waiting(_)) => {
                self.queue.pop_front();
                self.state = Moving;
            }
            (Request::End, Moving | Holding | Held | Waiting(_) | Jogging) => {
                self.state = State::Ending;
                if self.braking.is_none() {
                    self.brake();
                }
                if self.speed == 0.0 {
                    self.forget();
                }
            }
            (Request::FeedOverride(feed), state) => {
                if state == InDoubt || !(0.1..=headroom).contains(&feed) {
                    return false;
                }
                self.feed_override = feed.into();
                self.overridden = true;
            }
            (Request::RapidOverride(rapid), state) => {
                if state == InDoubt || !(0.1..=1.0).contains(&rapid) {
                    return false;
                }
                self.rapid_override = rapid.into();
                self.overridden = true;
            }
            _ => return false,
        }
        true
    }

    fn brake(&mut self) {
        self.braking = Some((0.0, self.speed.into()));
    }

    fn forget(&mut self) {
        self.queue.clear();
        self.state = State::AtRest;
        self.braking = None;
        self.stops = true;
        self.slices = 0;
        self.last_unit = None;
        self.off = 0.0;
        for (tail, (at, axis)) in
            (self.tail.iter_mut()).zip(self.position.iter().zip(self.machine.axes()))
        {
            let mm = *at as f64 / 4_294_967_296.0 / axis.steps_per_mm;
            *tail = Coordinate::from_mm(mm).expect("in range");
            self.off = (tail.mm() - mm).hypot(self.off);
        }
    }

    /// The planner says that it stands.
    ///
    /// # Panics
    /// Where it should not.
    pub fn stands(&mut self, state: State) {
        assert_eq!(self.speed, 0.0, "it stands at speed");
        if self.state == State::Ending {
            self.forget();
        }
        if let (Some(Queued::Wait { tag }), State::Moving) = (self.queue.front(), self.state) {
            self.state = State::Waiting(*tag);
        }
        assert_eq!(state, self.state());
        assert!(
            !matches!(state, State::Moving | State::Jogging | State::Holding),
            "it stands, but it {state}"
        );
    }

    /// A cut, where the motors stand at so many whole steps.
    pub fn cut(&mut self, steps: [i32; N]) {
        self.position = steps.map(|steps| i64::from(steps) << 32);
        self.speed = 0.0;
        self.forget();
        self.state = State::InDoubt;
    }

    /// Homing put it there, which the planner says is `position`.
    ///
    /// # Panics
    /// Where it is not, to 2⁻³² of a step.
    pub fn place(&mut self, at: Point<N>, position: [i64; N]) {
        self.position = position;
        for (found, exact) in position.iter().zip(exact::position(&self.machine, &at)) {
            assert!((found - exact).abs() <= 1, "{found}, not {exact}");
        }
        self.forget();
        self.tail = at;
    }
}
