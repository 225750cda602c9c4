//! A planner and the model beside it: what one is told, the other is told too, and they must agree.

use crate::live::Model;
use crate::pulse_audit;
use crate::run::Pulses;
use spokeshave::{
    Fault, Machine, PlanError, Planner, Point, Pulse, Ramp, Request, RequestError, State,
};

/// Both, and the ramps since they were last placed.
#[derive(Debug)]
pub struct Live<const N: usize> {
    /// What is tested.
    pub planner: Box<Planner<N, 64>>,
    /// What is known of it.
    pub model: Model<N>,
    machine: Machine<N>,
    headroom: f32,
    start: Point<N>,
    /// Ramps since it was last placed.
    pub ramps: Vec<Ramp<N>>,
    /// Pulses that were checked.
    pub pulses: u64,
}

impl<const N: usize> Live<N> {
    /// At rest at `start`, with a queue of `depth` moves, prepared for overrides up to `headroom`.
    ///
    /// # Panics
    /// Where the two do not agree.
    pub fn new(machine: Machine<N>, start: Point<N>, depth: usize, headroom: f32) -> Self {
        let mut planner = Box::new(Planner::new(machine, start));
        planner.limit_depth(depth).unwrap();
        planner.prepare_override(headroom).unwrap();
        let mut model = Model::new(machine, start);
        model.counts_from(planner.position());
        Self {
            planner,
            model,
            machine,
            headroom,
            start,
            ramps: Vec::new(),
            pulses: 0,
        }
    }

    /// The state of both.
    ///
    /// # Panics
    /// Where the two do not agree.
    pub fn state(&self) -> State {
        let state = self.planner.state();
        assert_eq!(state, self.model.state());
        state
    }

    /// Pushes a move; false where there is no room.
    ///
    /// # Panics
    /// Where the two do not agree.
    pub fn line(&mut self, to: Point<N>, feed: Option<f32>, tag: u32) -> bool {
        let state = self.state();
        let refused = matches!(state, State::Jogging | State::Ending | State::InDoubt);
        match self.planner.line(to, feed, tag) {
            Ok(_) => assert!(!refused),
            Err(PlanError::Full) => return false,
            Err(error) => {
                assert_eq!(error, PlanError::State(state));
                assert!(refused);
                return true;
            }
        }
        self.model.line(to, feed, tag, false);
        true
    }

    /// Pushes a rest; false where there is no room.
    ///
    /// # Panics
    /// Where the two do not agree.
    pub fn rest(&mut self, seconds: f32, tag: u32) -> bool {
        match self.planner.rest(seconds, tag) {
            Ok(()) => {
                let hz = f64::from(self.machine.controller().timer_hz);
                let ticks = (f64::from(seconds) * hz).round() as u64;
                self.model.rest(ticks, tag);
                true
            }
            Err(PlanError::State(_)) => true,
            Err(error) => {
                assert_eq!(error, PlanError::Full);
                false
            }
        }
    }

    /// Pushes a wait; false where there is no room.
    ///
    /// # Panics
    /// Where the two do not agree.
    pub fn wait(&mut self, tag: u32) -> bool {
        match self.planner.wait(tag) {
            Ok(()) => {
                self.model.wait(tag);
                true
            }
            Err(PlanError::State(_)) => true,
            Err(error) => {
                assert_eq!(error, PlanError::Full);
                false
            }
        }
    }

    /// Jogs; false where there is no room.
    ///
    /// # Panics
    /// Where the two do not agree.
    pub fn jog(&mut self, to: Point<N>, tag: u32) -> bool {
        let state = self.state();
        let legal = matches!(state, State::AtRest | State::Jogging);
        match self.planner.jog(to, None, tag) {
            Ok(_) => {
                assert!(legal);
                self.model.line(to, None, tag, true);
                true
            }
            Err(PlanError::Full) => false,
            Err(error) => {
                assert_eq!(error, PlanError::State(state));
                assert!(!legal);
                true
            }
        }
    }

    /// Whether a stop means anything now is up to the caller.
    pub fn stop(&mut self) {
        self.planner.stop();
        self.model.stop();
    }

    /// Asks both; whether it was legal.
    ///
    /// # Panics
    /// Where the two do not agree.
    pub fn request(&mut self, request: Request) -> bool {
        let before = (
            self.planner.state(),
            self.planner.position(),
            self.planner.len(),
        );
        let legal = self.model.request(request, self.headroom);
        match self.planner.request(request) {
            Ok(()) => assert!(legal, "{request:?} in {:?}", before.0),
            Err(error) => {
                assert!(!legal, "{request:?} in {:?}: {error}", before.0);
                let after = (
                    self.planner.state(),
                    self.planner.position(),
                    self.planner.len(),
                );
                assert_eq!(before, after);
                let range = matches!(
                    error,
                    RequestError::Override(
                        Fault::TooLarge
                            | Fault::TooSmall
                            | Fault::Zero
                            | Fault::Negative
                            | Fault::Infinite
                            | Fault::NotANumber
                    )
                );
                assert!(range || error == RequestError::State(before.0), "{error:?}");
            }
        }
        self.state();
        legal
    }

    /// Takes up to so many ramps; false where the plan stands before.
    ///
    /// # Panics
    /// Where the two do not agree.
    pub fn take(&mut self, count: usize) -> bool {
        for _ in 0..count {
            let Some(ramp) = self.planner.next_ramp() else {
                self.model.stands(self.planner.state());
                assert_eq!(self.planner.position(), self.model.position);
                return false;
            };
            self.model.ramp(&ramp);
            assert_eq!(self.planner.position(), self.model.position);
            self.ramps.push(ramp);
        }
        true
    }

    /// Takes ramps until it stands.
    ///
    /// # Panics
    /// Where the two do not agree.
    pub fn until_rest(&mut self) {
        for _ in 0..10_000_000 {
            if !self.take(1) {
                return;
            }
        }
        panic!("the plan does not end");
    }

    /// Makes and checks the pulses of all ramps so far, which end at rest.
    ///
    /// # Panics
    /// Where the two do not agree.
    pub fn check_pulses(&mut self) {
        let made = Pulses::new(&self.machine, self.start).all(&self.ramps);
        pulse_audit::check(&self.machine, &self.start, &self.ramps, &made);
        self.pulses += made.len() as u64;
    }

    /// Cuts the pulses short after a part of them, and places the machine where the motors stand.
    ///
    /// # Panics
    /// Where the two do not agree.
    pub fn cut(&mut self, part: f64, place: Point<N>) {
        let whole = Pulses::new(&self.machine, self.start).all(&self.ramps);
        let mut cut = Pulses::new(&self.machine, self.start);
        let mut stands = cut.generator.position();
        let many = (part * whole.len() as f64) as usize;
        let mut ramps = self.ramps.iter().copied();
        let mut last: Option<Pulse> = None;
        for pulse in &whole[..many] {
            let made = cut.next(&mut || ramps.next()).expect("as many pulses");
            assert_eq!(made, *pulse);
            if let Some(last) = last.replace(made) {
                count(&mut stands, &last);
            }
        }
        // The last one was given out, but is not made.
        cut.generator.cut(last.as_ref());
        assert_eq!(cut.generator.position(), stands);
        assert_eq!(
            cut.next(&mut || ramps.next()),
            None,
            "a pulse after the cut"
        );
        self.planner.cut(stands.map(|steps| i64::from(steps) << 32));
        self.model.cut(stands);
        assert_eq!(self.state(), State::InDoubt);
        assert!(self.planner.line(place, None, 0).is_err());
        self.planner.place(place).unwrap();
        self.model.place(place, self.planner.position());
        self.pulses += many as u64;
        self.start = place;
        self.ramps.clear();
        self.state();
    }
}

fn count<const N: usize>(stands: &mut [i32; N], pulse: &Pulse) {
    for (axis, stands) in stands.iter_mut().enumerate() {
        *stands += i32::from(pulse.step(axis));
    }
}
