//! Homing: the zero of an axis, from its switch.

use super::error::{SeekError, SeekQuantity, SetupError};
use super::line::within;
use super::probe::{Probe, ProbePlan, Sight, Task};
use super::watch::Level;
use crate::coordinate::{Coordinate, Point};
use crate::machine::Machine;

/// How to find the zero of an axis.
///
/// ```
/// use spokeshave::{Coordinate, HomingPlan};
/// // A switch at the low end of the first axis, 2 mm before the travel begins.
/// let plan = HomingPlan {
///     axis: 0,
///     forward: false,
///     switch_at: Coordinate::from_mm(-2.0).unwrap(),
///     longest: 650.0,
///     fast: 25.0,
///     slow: 1.0,
///     back_off: 3.0,
///     off: 2.0,
/// };
/// assert!(plan.off > 0.0);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct HomingPlan {
    /// The axis, 0 is the first.
    pub axis: u8,
    /// The switch is where the position grows to.
    pub forward: bool,
    /// The position of the axis where the switch closes.
    pub switch_at: Coordinate,
    /// No further than this from the start, mm, 0.01 to 16 000: a little more than the travel.
    pub longest: f32,
    /// Feed of the first approach and of backing off, mm/s, 0.001 to 10 000: see
    /// [`ProbePlan::fast`].
    pub fast: f32,
    /// Feed of the second approach, mm/s, 0.001 to that of the first.
    pub slow: f32,
    /// How far to back off from the switch, mm, 0.001 up to `longest`: past where it opens again.
    pub back_off: f32,
    /// How far off the switch to stop in the end, mm, 0.001 up to `longest`: past where it opens
    /// again. Made a whole number of steps.
    pub off: f32,
}

impl HomingPlan {
    pub(super) fn probe<const N: usize>(&self) -> Result<ProbePlan<N>, SetupError> {
        let mut way = [0.0; N];
        let part = way.get_mut(usize::from(self.axis));
        *part.ok_or(SetupError::NoAxis(self.axis))? = if self.forward { 1.0 } else { -1.0 };
        within(SeekQuantity::Off, self.off, 0.001, self.longest)?;
        Ok(ProbePlan {
            way,
            longest: self.longest,
            fast: self.fast,
            slow: self.slow,
            back_off: self.back_off,
        })
    }

    /// Where the axis stands after homing, and how many steps that is off the switch, signed.
    pub(super) fn rest<const N: usize>(
        &self,
        machine: &Machine<N>,
    ) -> Result<(Coordinate, i32), SetupError> {
        let axis = machine.axes().get(usize::from(self.axis));
        let per_mm = axis.ok_or(SetupError::NoAxis(self.axis))?.steps_per_mm;
        let steps = (f64::from(self.off) * per_mm + 0.5) as i32;
        let steps = if self.forward { -steps } else { steps };
        let mm = self.switch_at.mm() + f64::from(steps) / per_mm;
        let at = Coordinate::from_mm(mm).ok_or(SetupError::OutOfRange)?;
        Ok((at, steps))
    }

    /// `point` with the homed axis at `at`.
    pub(super) fn with<const N: usize>(&self, mut point: Point<N>, at: Coordinate) -> Point<N> {
        if let Some(place) = point.get_mut(usize::from(self.axis)) {
            *place = at;
        }
        point
    }
}

/// Homes an axis: towards its switch fast, back, towards it slowly, off it by a whole number of steps, and
/// placed there. So the zero repeats as exactly as the switch closes at the slow feed, to the step.
///
/// The other axes are placed where their motors stand. Free the travel limits first
/// ([`Planner::free_travel`](crate::Planner::free_travel)): what is not known cannot be kept. Set them
/// afterwards.
///
/// **Everything moves that homing moves: keep hands, hair and sleeves away from belts, screws and the gap
/// that the gantry closes, and a hand at the emergency stop. Spindle off.** Lift the tool before the other
/// axes are homed (common practice, no source).
///
/// ```
/// use spokeshave::*;
/// # let controller = Controller {
/// #     timer_hz: 1_000_000, pulse_width: 2e-6, pulse_period: 5e-6, direction_setup: 5e-6,
/// #     ramp_time: 0.01,
/// # };
/// # let axis = Axis { steps_per_mm: 100.0, speed_limit: 50.0, acceleration_limit: 200.0 };
/// let machine = Machine::new([axis], controller, 0.02)?;
/// let plan = HomingPlan {
///     axis: 0, forward: false, switch_at: Coordinate::ZERO,
///     longest: 300.0, fast: 20.0, slow: 1.0, back_off: 2.0, off: 1.0,
/// };
/// let mut homing = Homing::new(&machine, [Coordinate::ZERO], plan)?;
/// // The main loop does what it is told, and looks again.
/// let mut see = |at_rest, level, contact| homing.next(&Sight { at_rest, level, contact });
/// assert!(matches!(see(true, Level::Open, None)?, Task::Seek { .. })); // fast
/// assert_eq!(see(false, Level::Closed, Some([-4321]))?, Task::End);
/// assert!(matches!(see(true, Level::Closed, None)?, Task::Move { .. })); // back
/// assert!(matches!(see(true, Level::Open, None)?, Task::Seek { .. })); // slowly
/// assert_eq!(see(false, Level::Closed, Some([-4320]))?, Task::End);
/// let off = see(true, Level::Closed, None)?;
/// assert_eq!(off, Task::Move { to: [Coordinate::from_mm(-42.2).unwrap()], feed: 20.0 });
/// let one = [Coordinate::from_mm(1.0).unwrap()];
/// assert_eq!(see(true, Level::Open, None)?, Task::Place(one));
/// assert_eq!(see(true, Level::Open, None)?, Task::Done);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Homing<const N: usize> {
    probe: Probe<N>,
    plan: HomingPlan,
    at: Coordinate,
    off: i32,
    phase: Phase,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Phase {
    Probes,
    MovesOff,
    Done,
    Failed(SeekError),
}

impl<const N: usize> Homing<N> {
    /// From `from`, where the plan rests ([`Planner::end`](crate::Planner::end)).
    ///
    /// # Errors
    /// Those of [`Probe::new`], and an axis that the machine has not.
    pub fn new(machine: &Machine<N>, from: Point<N>, plan: HomingPlan) -> Result<Self, SetupError> {
        let (at, off) = plan.rest(machine)?;
        Ok(Self {
            probe: Probe::new(machine, from, plan.probe()?)?,
            plan,
            at,
            off,
            phase: Phase::Probes,
        })
    }

    /// What to do next.
    ///
    /// # Errors
    /// Why it was given up; again, however often it is asked. The machine is not placed then.
    pub fn next(&mut self, sight: &Sight<N>) -> Result<Task<N>, SeekError> {
        match self.phase {
            Phase::Done => Ok(Task::Done),
            Phase::Failed(error) => Err(error),
            Phase::Probes => match self.probe.next(sight)? {
                Task::Done => {
                    self.phase = Phase::MovesOff;
                    Ok(self.move_off())
                }
                task => Ok(task),
            },
            Phase::MovesOff if !sight.at_rest => Ok(Task::Wait),
            Phase::MovesOff => {
                let failed = match sight.level {
                    Level::Unsure => return Ok(Task::Wait),
                    Level::Open => {
                        self.phase = Phase::Done;
                        let motors = self.probe.contact().unwrap_or([0; N]);
                        let point = self.probe.line().point(&motors);
                        return Ok(Task::Place(self.plan.with(point, self.at)));
                    }
                    Level::Closed => SeekError::StillClosed,
                    Level::Unsteady => SeekError::Unsteady,
                };
                self.phase = Phase::Failed(failed);
                Err(failed)
            }
        }
    }

    /// By whole steps from the contact, along the axis alone.
    fn move_off(&self) -> Task<N> {
        let line = self.probe.line();
        let mut steps = self.probe.contact().unwrap_or([0; N]);
        if let Some(steps) = steps.get_mut(usize::from(self.plan.axis)) {
            *steps = steps.saturating_add(self.off);
        }
        let axis = usize::from(self.plan.axis);
        let at = line.point(&steps).get(axis).copied().unwrap_or_default();
        Task::Move {
            to: self.plan.with(*line.from(), at),
            feed: self.plan.fast,
        }
    }

    /// Where the motors stood at the contact of the slow approach, steps as they were counted before the
    /// machine was placed; `None` before that contact.
    pub fn contact(&self) -> Option<[i32; N]> {
        self.probe.contact()
    }
}
