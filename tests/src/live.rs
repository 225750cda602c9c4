//! A simple model of a machine that an operator holds, resumes, overrides and ends: what it knows is
//! the list of moves, the rules of motion, and what each request means. It plans nothing; it says of
//! every ramp whether it may be.

use crate::{audit, exact, rules};
use spokeshave::{Coordinate, Machine, Point, Ramp, Request, State};
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

/// The part of its speed that an axis keeps for braking where it turns as fast as it can: what the
/// planner leaves at the least (`theory.md`, the law of bends).
const LEFT: f64 = 0.03;

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
            }
            (Request::RapidOverride(rapid), state) => {
                if state == InDoubt || !(0.1..=1.0).contains(&rapid) {
                    return false;
                }
                self.rapid_override = rapid.into();
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

    /// The planner gave this ramp.
    ///
    /// # Panics
    /// Where it may not be.
    pub fn ramp(&mut self, ramp: &Ramp<N>) {
        let seconds = ramp.ticks() / f64::from(self.machine.controller().timer_hz);
        assert_eq!(ramp.entry_speed, self.speed, "speed jumps: {ramp:?}");
        audit::duration(&self.machine, ramp);
        assert!(
            matches!(
                self.state(),
                State::Moving | State::Jogging | State::Holding | State::Ending
            ),
            "{:?}: {ramp:?}",
            self.state()
        );
        for (position, steps) in self.position.iter_mut().zip(ramp.steps) {
            *position += steps;
        }
        self.speed = ramp.exit_speed;
        match self.queue.front_mut() {
            Some(Queued::Move { tag, .. }) => {
                assert_eq!(*tag, ramp.tag, "order: {ramp:?}");
                self.moves(ramp, seconds);
            }
            Some(Queued::Rest { tag, ticks }) => {
                assert_eq!(*tag, ramp.tag, "order: {ramp:?}");
                assert_eq!((ramp.steps, ramp.exit_speed), ([0; N], 0.0), "{ramp:?}");
                let ticks_now = ramp.duration >> 32;
                *ticks = ticks.checked_sub(ticks_now).expect("it rests too long");
                assert_eq!(ramp.ends_move, *ticks == 0);
                if ramp.ends_move {
                    self.queue.pop_front();
                }
            }
            other => panic!("a ramp of {other:?}: {ramp:?}"),
        }
    }

    fn moves(&mut self, ramp: &Ramp<N>, seconds: f64) {
        let Some(Queued::Move {
            unit,
            length,
            feed,
            to,
            stop,
            ..
        }) = self.queue.front().cloned()
        else {
            unreachable!("looked at before");
        };
        let axes = rules::speed_cap(&self.machine, &unit, None);
        let cap = match feed {
            Some(feed) => axes.min(f64::from(feed) * self.feed_override),
            None => axes * self.rapid_override,
        };
        // Where an override made it slower, it comes down to the cap, and does so without delay.
        let entry = f64::from(ramp.entry_speed);
        let over = 1e-4;
        self.slices += 1;
        let leg = audit::Leg {
            unit,
            length,
            cap: cap.max(entry),
            off: self.off,
        };
        audit::one(&self.machine, &leg, ramp, self.slices);
        let acceleration = rules::acceleration(&self.machine, &unit);
        let exit = f64::from(ramp.exit_speed);
        if entry > cap * (1.0 + over) {
            let most = (entry - LEFT * acceleration * seconds * 0.99).max(cap);
            assert!(
                exit <= most * (1.0 + over),
                "past the cap of {cap}: {ramp:?}"
            );
        }
        if self.slices == 1 {
            self.corner(&unit, stop, ramp);
        }
        if let Some((braked, from)) = &mut self.braking {
            assert!(exit <= entry, "speeds up while it brakes: {ramp:?}");
            *braked += seconds;
            let bound = bound(&self.machine, *from);
            assert!(*braked <= bound, "brakes for {braked} s, and not {bound}");
            self.worst_braking = self.worst_braking.max(*braked / bound);
        }
        if ramp.ends_move {
            let target = exact::position(&self.machine, &to);
            for (axis, (at, target)) in self.position.iter().zip(target).enumerate() {
                // Rounded to 2⁻³² step from a scale that is off by 1/4 of it.
                let off = (at - target).abs();
                assert!(off <= 1, "axis {axis}: {off}/2³² step off at {ramp:?}");
            }
            self.last_unit = Some(unit);
            self.off = 0.0;
            self.queue.pop_front();
            self.slices = 0;
        }
    }

    /// A move begins no faster than its corner allows, and at rest where the program stops.
    fn corner(&self, unit: &[f64; N], stop: bool, ramp: &Ramp<N>) {
        let b = f64::from(ramp.entry_speed).powi(2);
        let most = match &self.last_unit {
            Some(last) if !stop => rules::corner(&self.machine, last, unit).hi,
            _ => 0.0,
        };
        // The root and the conversion of v² from a whole number, in its unit.
        let unit_of_sums = 1.0 / 8_388_608.0;
        assert!(
            b <= most * (1.0 + 12.0 * rules::U) + unit_of_sums,
            "corner: {b} past {most}"
        );
    }
}

/// The longest that braking from `speed` to rest may take, s. In a bend at its limit, the axes have
/// 3 % for braking left, and more as it slows down; where every bend is tighter than the last, 3 % may
/// be all there is. Ramps are cut where they began to brake (one ramp time), and each takes what was left
/// at its start.
pub fn bound<const N: usize>(machine: &Machine<N>, speed: f64) -> f64 {
    let weakest = machine
        .axes()
        .iter()
        .map(|axis| f64::from(axis.acceleration_limit))
        .fold(f64::INFINITY, f64::min);
    let ramp = f64::from(machine.controller().ramp_time);
    let tick = 1.0 / f64::from(machine.controller().timer_hz);
    speed / (LEFT * weakest) * (1.0 + 1e-4) + 5.0 * ramp + tick
}
