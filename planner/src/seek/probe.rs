//! Probing: a contact is touched twice, fast to know about where it is, slowly to know exactly.

use super::error::{Approach, SeekError, SeekQuantity, SetupError};
use super::line::{Line, within};
use super::watch::Level;
use crate::coordinate::Point;
use crate::machine::Machine;

/// How to look for a contact.
///
/// ```
/// use spokeshave::ProbePlan;
/// // Down to a touch plate, 20 mm at most.
/// let plan = ProbePlan { way: [0.0, 0.0, -1.0], longest: 20.0, fast: 5.0, slow: 0.5, back_off: 1.0 };
/// assert!(plan.slow < plan.fast);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct ProbePlan<const N: usize> {
    /// The direction, of any length: no part over 10⁶, and one at least over 10⁻⁶.
    pub way: [f32; N],
    /// No further than this from the start, mm, 0.01 to 16 000.
    pub longest: f32,
    /// Feed of the first approach and of backing off, mm/s, 0.001 to 10 000. Past the contact it takes
    /// v²/2a to brake, and v times the time in which the machine answers: choose it by how far the
    /// switch, or the probe, may be pressed.
    pub fast: f32,
    /// Feed of the second approach, mm/s, 0.001 to that of the first.
    pub slow: f32,
    /// How far to back off from the contact, mm, 0.001 up to `longest`: past where the switch opens again.
    /// Where the contact is nearer to the start than that, it leads to before the start.
    pub back_off: f32,
}

impl<const N: usize> ProbePlan<N> {
    fn line(&self, machine: &Machine<N>, from: Point<N>) -> Result<Line<N>, SetupError> {
        let line = Line::new(machine, from, self.way, self.longest)?;
        within(SeekQuantity::Fast, self.fast, 0.001, 10_000.0)?;
        within(SeekQuantity::Slow, self.slow, 0.001, 10_000.0)?;
        within(SeekQuantity::BackOff, self.back_off, 0.001, self.longest)?;
        if self.slow > self.fast {
            return Err(SetupError::SlowPastFast);
        }
        Ok(line)
    }
}

/// What the main loop sees. Read the level before the contact, so that a contact is there where the
/// level says so.
///
/// ```
/// use spokeshave::{Level, Sight};
/// let sight: Sight<3> = Sight { at_rest: true, level: Level::Open, contact: None };
/// assert!(sight.at_rest);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Sight<const N: usize> {
    /// The machine stands: the planner gives no ramp, no train is queued, the generator is idle.
    pub at_rest: bool,
    /// What the input says.
    pub level: Level,
    /// What [`Watch::read`](crate::Watch::read) returned since it was last asked, steps.
    pub contact: Option<[i32; N]>,
}

/// What the main loop does next. It asks again when it has done so, as often as it likes.
///
/// ```
/// use spokeshave::{Coordinate, Task};
/// let task = Task::Move { to: [Coordinate::ZERO], feed: 5.0 };
/// assert_ne!(task, Task::Wait);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Task<const N: usize> {
    /// Nothing: look again when there is something new.
    Wait,
    /// Arm the watch, then push this move and a stop.
    Seek {
        /// Where it ends at the latest.
        to: Point<N>,
        /// mm/s
        feed: f32,
    },
    /// Disarm the watch, then push this move and a stop.
    Move {
        /// Where it ends.
        to: Point<N>,
        /// mm/s
        feed: f32,
    },
    /// Ask the planner to end ([`Request::End`](crate::Request::End)). Where it refuses that because the plan is
    /// at rest, nothing is left to do.
    End,
    /// Place planner, train maker and generator here.
    Place(Point<N>),
    /// It is over.
    Done,
}

/// Looks for a contact: towards it fast, back, and towards it slowly.
///
/// The result is where the motors stood, in steps, when the contact was first read in the slow approach. In
/// that one it goes at most as far past the first contact as it backed off, and never past the longest way.
/// A contact that comes and goes is no error: the [`Watch`](crate::Watch) filters it.
///
/// **Keep the spindle off, and the probe's wire away from everything that turns.** Look that the input
/// changes when the probe is touched by hand, before it moves: a probe that is not plugged in is not
/// felt (common practice, no source).
///
/// ```
/// use spokeshave::*;
/// # let controller = Controller {
/// #     timer_hz: 1_000_000, pulse_width: 2e-6, pulse_period: 5e-6, direction_setup: 5e-6,
/// #     ramp_time: 0.01,
/// # };
/// # let axis = Axis { steps_per_mm: 100.0, speed_limit: 20.0, acceleration_limit: 200.0 };
/// let machine = Machine::new([axis], controller, 0.02)?;
/// let plan = ProbePlan { way: [-1.0], longest: 20.0, fast: 5.0, slow: 0.5, back_off: 1.0 };
/// let mut probe = Probe::new(&machine, [Coordinate::ZERO], plan)?;
///
/// let rests = |level| Sight { at_rest: true, level, contact: None };
/// let moves = |contact| Sight { at_rest: false, level: Level::Unsure, contact };
/// let down = probe.next(&rests(Level::Open))?;
/// assert_eq!(down, Task::Seek { to: [Coordinate::from_mm(-20.0).unwrap()], feed: 5.0 });
/// assert_eq!(probe.next(&moves(None))?, Task::Wait);
/// assert_eq!(probe.next(&moves(Some([-700])))?, Task::End); // 7 mm down
/// let up = probe.next(&rests(Level::Closed))?;
/// assert_eq!(up, Task::Move { to: [Coordinate::from_mm(-6.0).unwrap()], feed: 5.0 });
/// let down = probe.next(&rests(Level::Open))?;
/// assert_eq!(down, Task::Seek { to: [Coordinate::from_mm(-8.0).unwrap()], feed: 0.5 });
/// assert_eq!(probe.next(&moves(Some([-699])))?, Task::End);
/// assert_eq!(probe.next(&rests(Level::Closed))?, Task::Done);
/// assert_eq!(probe.contact(), Some([-699]));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Probe<const N: usize> {
    line: Line<N>,
    plan: ProbePlan<N>,
    phase: Phase,
    contact: [i32; N],
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Phase {
    Begins,
    Seeks(Approach),
    Brakes(Approach),
    BacksOff,
    Done,
    Failed(SeekError),
}

impl<const N: usize> Probe<N> {
    /// From `from`, where the plan rests ([`Planner::end`](crate::Planner::end)).
    ///
    /// # Errors
    /// A number out of its range, a slow feed faster than the fast one, or a way out of the range of
    /// coordinates, which is asked for twice as far and as far back.
    pub fn new(
        machine: &Machine<N>,
        from: Point<N>,
        plan: ProbePlan<N>,
    ) -> Result<Self, SetupError> {
        Ok(Self {
            line: plan.line(machine, from)?,
            plan,
            phase: Phase::Begins,
            contact: [0; N],
        })
    }

    /// What to do next.
    ///
    /// # Errors
    /// Why it was given up; again, however often it is asked.
    pub fn next(&mut self, sight: &Sight<N>) -> Result<Task<N>, SeekError> {
        let task = self.step(sight);
        if let Err(error) = task {
            self.phase = Phase::Failed(error);
        }
        task
    }

    fn step(&mut self, sight: &Sight<N>) -> Result<Task<N>, SeekError> {
        if let (Phase::Seeks(approach), Some(contact)) = (self.phase, sight.contact) {
            self.contact = contact;
            self.phase = Phase::Brakes(approach);
            return Ok(Task::End);
        }
        match self.phase {
            Phase::Done => return Ok(Task::Done),
            Phase::Failed(error) => return Err(error),
            _ if !sight.at_rest => return Ok(Task::Wait),
            _ => {}
        }
        let touched = self.line.along(&self.contact);
        match self.phase {
            Phase::Brakes(Approach::Fast) => {
                self.phase = Phase::BacksOff;
                Ok(Task::Move {
                    to: self.line.at(touched - f64::from(self.plan.back_off)),
                    feed: self.plan.fast,
                })
            }
            Phase::Brakes(Approach::Slow) => {
                self.phase = Phase::Done;
                Ok(Task::Done)
            }
            Phase::Seeks(approach) => open_or(
                sight.level,
                Err(SeekError::NoContact(approach)),
                SeekError::NotWatched,
            ),
            Phase::Begins => {
                let to = self.line.at(self.line.longest());
                self.seek(sight, Approach::Fast, to, SeekError::ClosedAtStart)
            }
            _ => {
                let furthest = touched + f64::from(self.plan.back_off);
                let to = self.line.at(furthest.min(self.line.longest()));
                self.seek(sight, Approach::Slow, to, SeekError::StillClosed)
            }
        }
    }

    /// Seeks, from an open contact.
    fn seek(
        &mut self,
        sight: &Sight<N>,
        approach: Approach,
        to: Point<N>,
        closed: SeekError,
    ) -> Result<Task<N>, SeekError> {
        let feed = match approach {
            Approach::Fast => self.plan.fast,
            Approach::Slow => self.plan.slow,
        };
        let task = open_or(sight.level, Ok(Task::Seek { to, feed }), closed)?;
        if task != Task::Wait {
            self.phase = Phase::Seeks(approach);
        }
        Ok(task)
    }

    /// Where the motors stood at the contact of the slow approach, steps; `None` before
    /// [`Task::Done`].
    pub fn contact(&self) -> Option<[i32; N]> {
        (self.phase == Phase::Done).then_some(self.contact)
    }

    /// The coordinates of that.
    pub fn contact_point(&self) -> Option<Point<N>> {
        Some(self.line.point(&self.contact()?))
    }

    pub(super) fn line(&self) -> &Line<N> {
        &self.line
    }
}

/// `open` for an open input, the error for a closed one, and a wait for one that is not sure.
fn open_or<const N: usize>(
    level: Level,
    open: Result<Task<N>, SeekError>,
    closed: SeekError,
) -> Result<Task<N>, SeekError> {
    match level {
        Level::Open => open,
        Level::Closed => Err(closed),
        Level::Unsure => Ok(Task::Wait),
        Level::Unsteady => Err(SeekError::Unsteady),
    }
}
