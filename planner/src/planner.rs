//! The planner: moves in, ramps out.

mod control;
mod jog;
mod slicing;

use crate::coordinate::Point;
use crate::events;
use crate::look_ahead::LookAhead;
use crate::machine::Machine;
use crate::moves::{MoveFacts, Queued};
use crate::plan_error::PlanError;
use crate::ramp::Ramp;
use crate::reason::LowPoint;
use crate::scale::Scale;
use crate::travel::Travel;
use control::Course;
use slicing::Front;

/// Plans moves of `N` axes with a look-ahead of up to `Q` moves (2 to 16 384).
///
/// The main loop owns it, pushes moves while there is room and takes ramps while its queue of pulse
/// trains has room. What was pushed always ends at rest: if no more moves come, the ramps brake to the
/// end of the last one.
///
/// ```
/// use spokeshave::{Axis, Controller, Coordinate, Machine, Planner};
/// # let controller = Controller {
/// #     timer_hz: 1_000_000, pulse_width: 2e-6, pulse_period: 5e-6, direction_setup: 5e-6,
/// #     ramp_time: 0.01,
/// # };
/// # let axis = Axis { steps_per_mm: 80.0, speed_limit: 100.0, acceleration_limit: 500.0 };
/// let machine = Machine::new([axis; 2], controller, 0.02)?;
/// let mut planner: Planner<2, 32> = Planner::new(machine, [Coordinate::ZERO; 2]);
/// let target = [30.0, 40.0].map(|mm| Coordinate::from_mm(mm).unwrap());
/// planner.line(target, Some(50.0), 1)?;
/// planner.stop();
/// let mut ticks = 0.0;
/// while let Some(ramp) = planner.next_ramp() {
///     ticks += ramp.ticks();
/// }
/// // 50 mm at 50 mm/s, and 50/625 s more to speed up and brake (x allows 500 / 0.6 mm/s²,
/// // y allows 500 / 0.8 = 625).
/// assert!((ticks - 1e6 * (1.0 + 50.0 / 625.0)).abs() < 2.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug)]
pub struct Planner<const N: usize, const Q: usize> {
    machine: Machine<N>,
    scale: Scale<N>,
    moves: LookAhead<N, Q>,
    /// The part of the front move that is done, and the speed there.
    front: Option<Front<N>>,
    speed: f32,
    /// The slow place that the plan last left.
    low: LowPoint,
    /// Where the last ramp ends, in 2⁻³² of a step.
    position: [i64; N],
    hz: f32,
    longest: f32,
    travel: Option<Travel<N>>,
    course: Course,
}

#[cfg(feature = "defmt")]
impl<const N: usize, const Q: usize> defmt::Format for Planner<N, Q> {
    fn format(&self, f: defmt::Formatter<'_>) {
        let (moves, at) = (&self.moves, &self.position);
        defmt::write!(
            f,
            "Planner {{ {}, at: {}, mm/s: {} }}",
            moves,
            at,
            self.speed
        );
    }
}

impl<const N: usize, const Q: usize> Planner<N, Q> {
    /// A planner at rest at `start`, which looks ahead over all of `Q` moves.
    pub fn new(machine: Machine<N>, start: Point<N>) -> Self {
        let scale = Scale::new(&machine);
        let hz = machine.controller().timer_hz as f32;
        Self {
            scale,
            moves: LookAhead::new(&machine, start),
            front: None,
            speed: 0.0,
            low: LowPoint::Stop,
            position: scale.steps(&start),
            hz,
            // A little less, so that rounding cannot pass the most that a ramp may last.
            longest: machine
                .controller()
                .ramp_time
                .min(0.99 * Ramp::<N>::MOST_TICKS as f32 / hz),
            travel: None,
            course: Course::Program,
            machine,
        }
    }

    /// Looks ahead over `depth` moves from now on, as a machine with less memory would.
    ///
    /// # Errors
    /// [`PlanError::Depth`] where it is not 2 to `Q`; nothing changes then.
    pub fn limit_depth(&mut self, depth: usize) -> Result<(), PlanError> {
        self.moves.limit_depth(depth)
    }

    /// Plans by the corner rule alone from now on, as [`LookAhead::leave_out_bends`] says.
    pub fn leave_out_bends(&mut self) {
        self.moves.leave_out_bends();
    }

    /// The machine.
    pub fn machine(&self) -> &Machine<N> {
        &self.machine
    }

    /// Where the last move that was pushed ends.
    pub fn end(&self) -> Point<N> {
        self.moves.end()
    }

    /// Moves and rests in the queue, the one being cut into ramps with them.
    pub fn len(&self) -> usize {
        self.moves.len()
    }

    /// Nothing is left to plan: the last ramp ended at rest.
    pub fn is_empty(&self) -> bool {
        self.moves.is_empty()
    }

    /// No move can be pushed before ramps are taken.
    pub fn is_full(&self) -> bool {
        self.moves.is_full()
    }

    /// Adds a straight move to `target`: see [`LookAhead::line`].
    ///
    /// # Errors
    /// [`PlanError::Full`], [`PlanError::Feed`], [`PlanError::Travel`] and [`PlanError::State`]; nothing
    /// changes then.
    pub fn line(
        &mut self,
        target: Point<N>,
        feed: Option<f32>,
        tag: u32,
    ) -> Result<Option<MoveFacts>, PlanError> {
        let taken = self.takes_program().and_then(|()| {
            self.inside_travel(&target)?;
            self.moves.line(target, feed, tag)
        });
        events::told(taken, tag)
    }

    /// Makes the machine come to rest at the end of the last move that was pushed.
    pub fn stop(&mut self) {
        self.moves.stop();
    }

    /// Makes the machine come to rest at the end of the last move and stay so for `seconds`, with
    /// a `tag` that comes back in the ramps.
    ///
    /// # Errors
    /// [`PlanError::Full`], [`PlanError::Rest`] and [`PlanError::State`]; nothing changes then.
    pub fn rest(&mut self, seconds: f32, tag: u32) -> Result<(), PlanError> {
        let taken = self
            .takes_program()
            .and_then(|()| self.moves.rest(seconds, tag));
        events::told(taken, tag)
    }

    /// Makes the machine come to rest at the end of the last move and wait there, in
    /// [`State::Waiting`](crate::State::Waiting) with this `tag`, until it is told to resume.
    ///
    /// # Errors
    /// [`PlanError::Full`] and [`PlanError::State`]; nothing changes then.
    pub fn wait(&mut self, tag: u32) -> Result<(), PlanError> {
        let taken = self.takes_program().and_then(|()| self.moves.wait(tag));
        events::told(taken, tag)
    }

    /// The next ramp, final from here on; `None` when there is none, which is at rest:
    /// [`state`](Self::state) says why.
    pub fn next_ramp(&mut self) -> Option<Ramp<N>> {
        if self.stands_still() {
            return None;
        }
        match *self.moves.front()? {
            Queued::Move(straight) => Some(self.slice(&straight)),
            Queued::Rest { ticks, tag } => Some(self.resting(ticks.into(), tag)),
            Queued::Wait { tag } => {
                self.waits(tag);
                None
            }
        }
    }
}

#[cfg(test)]
mod tests;
