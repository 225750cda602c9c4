//! Live control: hold, resume, end, overrides, and a cut.

use super::Planner;
use crate::axis::Fault;
use crate::coordinate::Point;
use crate::events;
use crate::math::less;
use crate::moves::{Queued, Straight};
use crate::pace::Pace;
use crate::plan_error::PlanError;
use crate::reason::LowPoint;
use crate::request::{Request, RequestError, State};
use crate::trapezoid::Rest;

/// What the planner is about.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(super) enum Course {
    Program,
    Jog,
    Hold,
    End,
    Wait(u32),
    Doubt,
}

impl<const N: usize, const Q: usize> Planner<N, Q> {
    /// What the plan is doing. Where it stands, the machine does so when the ramps that were taken
    /// are done.
    pub fn state(&self) -> State {
        match self.course {
            Course::Program | Course::Jog if self.is_empty() => State::AtRest,
            Course::Program => State::Moving,
            Course::Jog => State::Jogging,
            Course::Hold if self.speed == 0.0 => State::Held,
            Course::Hold => State::Holding,
            Course::End => State::Ending,
            Course::Wait(tag) => State::Waiting(tag),
            Course::Doubt => State::InDoubt,
        }
    }

    /// Does what the operator asks for, from the next ramp on: the ramps that were taken are final, and
    /// the time that they last is the time in which the machine answers.
    ///
    /// A hold or an end brakes along the path as hard as the axes allow, across as many moves as that
    /// takes. An override acts on all that is queued, at once where the machine can speed up or
    /// slow down, and never faster than the axes allow; it takes one walk over the queue.
    ///
    /// ```
    /// use spokeshave::*;
    /// # let controller = Controller {
    /// #     timer_hz: 1_000_000, pulse_width: 2e-6, pulse_period: 5e-6, direction_setup: 5e-6,
    /// #     ramp_time: 0.01,
    /// # };
    /// # let axis = Axis { steps_per_mm: 80.0, speed_limit: 100.0, acceleration_limit: 500.0 };
    /// # let machine = Machine::new([axis], controller, 0.02)?;
    /// let mut planner: Planner<1, 32> = Planner::new(machine, [Coordinate::ZERO]);
    /// planner.line([Coordinate::from_mm(100.0).unwrap()], Some(50.0), 1)?;
    /// for _ in 0..20 {
    ///     planner.next_ramp();
    /// }
    /// planner.request(Request::Hold)?;
    /// while planner.next_ramp().is_some() {} // It brakes.
    /// assert_eq!(planner.state(), State::Held);
    /// let here = planner.position();
    /// planner.request(Request::FeedOverride(0.5))?;
    /// planner.request(Request::Resume)?;
    /// assert_eq!(planner.position(), here); // Nothing is lost.
    /// while planner.next_ramp().is_some() {}
    /// assert_eq!(planner.position(), [8000 << 32]);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`RequestError`], and nothing changes: see [`Request`] for the states in which it can be asked.
    pub fn request(&mut self, request: Request) -> Result<(), RequestError> {
        events::asked(request, self.answer(request))
    }

    fn answer(&mut self, request: Request) -> Result<(), RequestError> {
        let state = self.state();
        match (request, state) {
            (Request::Hold, State::AtRest | State::Moving) => self.course = Course::Hold,
            (Request::Resume, State::Holding | State::Held) => self.course = Course::Program,
            (Request::Resume, State::Waiting(_)) => {
                self.moves.pop();
                self.course = Course::Program;
            }
            (
                Request::End,
                State::Moving | State::Holding | State::Held | State::Waiting(_) | State::Jogging,
            ) => {
                self.course = Course::End;
                self.stands_still();
            }
            (Request::Hold | Request::Resume | Request::End, _)
            | (Request::FeedOverride(_) | Request::RapidOverride(_), State::InDoubt) => {
                return Err(RequestError::State(state));
            }
            (Request::FeedOverride(feed), _) => {
                within(feed, self.moves.headroom())?;
                self.set_pace(Pace {
                    feed,
                    ..*self.moves.pace()
                });
            }
            (Request::RapidOverride(rapid), _) => {
                within(rapid, 1.0)?;
                self.set_pace(Pace {
                    rapid,
                    ..*self.moves.pace()
                });
            }
        }
        Ok(())
    }

    /// Prepares moves for feed overrides up to `headroom`, 1 to 2; 1 where this is not called. What is
    /// prepared for twice the feed looks further ahead for bends, which takes some more time.
    ///
    /// # Errors
    /// [`RequestError::Override`] where it is not 1 to 2, [`RequestError::Queued`] where moves are
    /// queued.
    pub fn prepare_override(&mut self, headroom: f32) -> Result<(), RequestError> {
        if let Some(fault) = Fault::of(headroom.into(), 1.0, Pace::MOST_FEED.into()) {
            return Err(RequestError::Override(fault));
        }
        if !self.is_empty() {
            return Err(RequestError::Queued);
        }
        self.moves.prepare(headroom);
        Ok(())
    }

    /// Where the last ramp that was taken ends, in 2⁻³² of a step of each axis.
    pub fn position(&self) -> [i64; N] {
        self.position
    }

    /// The coordinates nearest to where the last ramp that was taken ends.
    pub fn here(&self) -> Point<N> {
        self.scale.point(&self.position)
    }

    /// The pulses were cut short where the motors stand at `position` (2⁻³² of a step): forgets all
    /// that is queued. From speed, motors can lose steps then, so the position is in doubt until
    /// [`place`](Self::place) says otherwise.
    pub fn cut(&mut self, position: [i64; N]) {
        self.position = position;
        self.forget();
        self.course = Course::Doubt;
        events::stays(State::InDoubt);
    }

    /// The machine stands at `point`, whatever was known of it before, as homing finds out. The same
    /// [`position`](Self::position) has to go to the [`TrainMaker`](crate::TrainMaker) and the
    /// [`PulseGenerator`](crate::PulseGenerator).
    ///
    /// # Errors
    /// [`RequestError::State`] where the plan is not at rest and not in doubt.
    pub fn place(&mut self, point: Point<N>) -> Result<(), RequestError> {
        match self.state() {
            State::AtRest | State::InDoubt => {}
            state => return Err(RequestError::State(state)),
        }
        self.position = self.scale.steps(&point);
        self.moves.clear(point);
        self.course = Course::Program;
        Ok(())
    }

    /// Moves of a program are taken in this state.
    pub(super) fn takes_program(&mut self) -> Result<(), PlanError> {
        match self.state() {
            state @ (State::Jogging | State::Ending | State::InDoubt) => {
                return Err(PlanError::State(state));
            }
            // A jog may have brought it here.
            State::AtRest => self.course = Course::Program,
            _ => {}
        }
        Ok(())
    }

    /// The program waits here.
    pub(super) fn waits(&mut self, tag: u32) {
        self.course = Course::Wait(tag);
        events::stays(State::Waiting(tag));
    }

    /// It is at rest, and is to stay so. An end that comes to rest is over.
    pub(super) fn stands_still(&mut self) -> bool {
        // 0 is the one float whose bits are all 0.
        if self.speed.to_bits() != 0 {
            return false;
        }
        match self.course {
            Course::Program | Course::Jog => false,
            Course::Hold | Course::Wait(_) | Course::Doubt => true,
            Course::End => {
                self.forget();
                self.course = Course::Program;
                events::stays(State::AtRest);
                true
            }
        }
    }

    /// What is left of a move for an operator who wants rest; `None` where nobody does, or where the
    /// path itself asks for more.
    pub(super) fn brakes(&self, straight: &Straight<N>, rest: &Rest) -> Option<Rest> {
        if !matches!(self.course, Course::Hold | Course::End) {
            return None;
        }
        let v2 = rest.entry * rest.entry;
        let acceleration = straight.braking_from(v2);
        let exit_v2 = v2 - 2.0 * acceleration * rest.length;
        (!less(rest.exit_v2, exit_v2)).then_some(Rest {
            acceleration,
            ..*rest
        })
    }

    fn forget(&mut self) {
        let here = self.here();
        self.moves.clear(here);
        self.front = None;
        self.speed = 0.0;
        self.low = LowPoint::Stop;
    }

    fn set_pace(&mut self, pace: Pace) {
        let left = match (self.moves.front(), &self.front) {
            (Some(Queued::Move(straight)), Some(front)) => front.left_of(straight),
            (Some(Queued::Move(straight)), None) => straight.length,
            _ => 0.0,
        };
        self.moves.set_pace(pace, self.speed * self.speed, left);
        if let Some(front) = &mut self.front {
            front.falls_to = None;
        }
    }
}

/// An override is in its range.
fn within(factor: f32, most: f32) -> Result<(), RequestError> {
    // The least is a float of its own: 0.1 in double precision is a little less.
    match Fault::of(factor.into(), Pace::LEAST.into(), most.into()) {
        Some(fault) => Err(RequestError::Override(fault)),
        None => Ok(()),
    }
}
