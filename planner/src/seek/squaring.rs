//! Squaring a gantry: a motor and a switch on each side, and each side stops at its own.

use super::error::{Approach, SeekError, SeekQuantity, SetupError, Side};
use super::homing::HomingPlan;
use super::line::{Line, within};
use super::probe::Probe;
use super::sides::{SidesSight, SidesTask};
use super::watch::Level;
use crate::coordinate::{Coordinate, Point};
use crate::machine::Machine;
use crate::math::sqrt;

/// Homes an axis with two motors and a switch on each side, and squares it.
///
/// Both sides go to the first switch that closes, fast, and back. Then they go slowly, and each stops at
/// its own switch, held back while the other goes on. In the end both stand the same whole number of
/// steps off their own switches. The axis is square as the switches are: set the two by measuring the
/// diagonals of a large rectangle (common practice, no source).
///
/// **A gantry that is racked bends, and its guides jam: give as the most that one side may go alone no more
/// than the frame takes.** Past that the side is held in the interrupt, to the step; it is moved back by what it went
/// alone, and the search fails. Keep hands out, and the spindle off, as for [`Homing`](crate::Homing).
///
/// After an error the axis is not placed, and both motors run. What one side is held back for makes the other
/// move alone, at the slow feed:
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
/// let mut squaring = Squaring::new(&machine, [Coordinate::ZERO], plan, 0.5)?;
/// let open = [Level::Open; 2];
/// let mut see = |at_rest, levels, contacts, motors, axis| {
///     squaring.next(&SidesSight { at_rest, levels, contacts, motors, axes: [axis] })
/// };
/// assert!(matches!(see(true, open, [None; 2], [0, 0], 0)?, SidesTask::SeekEither { .. }));
/// let first = [Some(-500), None];
/// assert_eq!(see(false, open, first, [-510, -510], -510)?, SidesTask::End);
/// assert!(matches!(see(true, open, [None; 2], [-600, -600], -600)?, SidesTask::Move { .. }));
/// // 2 mm back; then slowly, 0.5 mm alone at most.
/// let slowly = see(true, open, [None; 2], [-300, -300], -300)?;
/// assert!(matches!(slowly, SidesTask::SeekEach { most_alone: 50, .. }));
/// assert_eq!(see(false, open, first, [-502, -502], -502)?, SidesTask::Wait);
/// assert_eq!(see(false, open, [None, Some(-530)], [-502, -532], -532)?, SidesTask::End);
/// // Each 1 mm off its own switch: the first moves by 102 steps, the second by as many.
/// let off = see(true, open, [None; 2], [-502, -532], -533)?;
/// let to = [Coordinate::from_mm(-4.31).unwrap()];
/// assert_eq!(off, SidesTask::Move { to, feed: 1.0, hold_back: [0, 0] });
/// let placed = see(true, open, [None; 2], [-400, -430], -431)?;
/// assert_eq!(placed, SidesTask::Place([Coordinate::from_mm(1.0).unwrap()]));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Squaring<const N: usize> {
    line: Line<N>,
    plan: HomingPlan,
    at: Coordinate,
    off: i32,
    most_alone: u32,
    phase: Phase,
    /// What each motor's count is ahead of the axis's, while both run.
    ahead: [i32; 2],
    /// Where each side touched.
    touches: [Option<i32>; 2],
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Phase {
    Begins,
    SeeksEither,
    Brakes,
    BacksOff,
    SeeksEach,
    BrakesLast,
    MovesOff,
    GoesBack(SeekError),
    Done,
    Failed(SeekError),
}

type Step<const N: usize> = Result<SidesTask<N>, SeekError>;

impl<const N: usize> Squaring<N> {
    /// From `from`, where the plan rests ([`Planner::end`](crate::Planner::end)); one side goes at most
    /// `most_alone` mm while the other is held, 0.001 up to the way to back off.
    ///
    /// # Errors
    /// Those of [`Homing::new`](crate::Homing::new), and a slow feed from which a motor may not stop at
    /// once: more than the change of speed that the axis may take at a corner, √(8·a·δ) (`theory.md`, the
    /// law of bends).
    pub fn new(
        machine: &Machine<N>,
        from: Point<N>,
        plan: HomingPlan,
        most_alone: f32,
    ) -> Result<Self, SetupError> {
        let (at, off) = plan.rest(machine)?;
        let probe = Probe::new(machine, from, plan.probe()?)?;
        within(SeekQuantity::MostAlone, most_alone, 0.001, plan.back_off)?;
        let axis = machine.axes().get(usize::from(plan.axis));
        let axis = axis.ok_or(SetupError::NoAxis(plan.axis))?;
        let jump = sqrt(8.0 * axis.acceleration_limit * machine.junction_deviation());
        if plan.slow > jump {
            return Err(SetupError::SlowPastStop);
        }
        Ok(Self {
            line: *probe.line(),
            plan,
            at,
            off,
            most_alone: (f64::from(most_alone) * axis.steps_per_mm) as u32,
            phase: Phase::Begins,
            ahead: [0; 2],
            touches: [None; 2],
        })
    }

    /// What to do next.
    ///
    /// # Errors
    /// Why it was given up; again, however often it is asked. The machine is not placed then, and the axis
    /// is not square.
    pub fn next(&mut self, sight: &SidesSight<N>) -> Step<N> {
        let task = self.step(sight);
        if let Err(error) = task {
            self.phase = Phase::Failed(error);
        }
        task
    }

    /// Where the two sides touched in the slow approach, counts of their motors; `None` before that.
    pub fn contacts(&self) -> Option<[i32; 2]> {
        let [first, second] = self.touches;
        let slow = matches!(
            self.phase,
            Phase::BrakesLast | Phase::MovesOff | Phase::Done
        );
        slow.then_some([first?, second?])
    }

    fn step(&mut self, sight: &SidesSight<N>) -> Step<N> {
        if matches!(self.phase, Phase::SeeksEither | Phase::SeeksEach) {
            for (touch, contact) in self.touches.iter_mut().zip(sight.contacts) {
                *touch = touch.or(contact);
            }
            let touched = self.touches.iter().flatten().count();
            let (enough, then) = match self.phase {
                Phase::SeeksEither => (1, Phase::Brakes),
                _ => (2, Phase::BrakesLast),
            };
            if touched >= enough {
                self.phase = then;
                return Ok(SidesTask::End);
            }
        }
        match self.phase {
            Phase::Done => Ok(SidesTask::Done),
            Phase::Failed(error) => Err(error),
            _ if !sight.at_rest => Ok(SidesTask::Wait),
            Phase::Begins => {
                if let Some(wait) = open(sight, SeekError::ClosedAtStart)? {
                    return Ok(wait);
                }
                let axis = self.axis(sight);
                self.ahead = sight.motors.map(|motor| motor.wrapping_sub(axis));
                self.phase = Phase::SeeksEither;
                Ok(SidesTask::SeekEither {
                    to: self.line.at(self.line.longest()),
                    feed: self.plan.fast,
                })
            }
            Phase::SeeksEither => none_or(sight, SeekError::NoContact(Approach::Fast)),
            Phase::Brakes => {
                self.phase = Phase::BacksOff;
                Ok(SidesTask::Move {
                    to: self.line.at(self.touched() - f64::from(self.plan.back_off)),
                    feed: self.plan.fast,
                    hold_back: [0; 2],
                })
            }
            Phase::BacksOff => {
                if let Some(wait) = open(sight, SeekError::StillClosed)? {
                    return Ok(wait);
                }
                // As far past the first contact, and what one side may go alone.
                let furthest = self.touched() + 2.0 * f64::from(self.plan.back_off);
                self.touches = [None; 2];
                self.phase = Phase::SeeksEach;
                Ok(SidesTask::SeekEach {
                    to: self.line.at(furthest.min(self.line.longest())),
                    feed: self.plan.slow,
                    most_alone: self.most_alone,
                })
            }
            Phase::SeeksEach => match self.touches {
                [None, None] => none_or(sight, SeekError::NoContact(Approach::Slow)),
                [Some(_), _] => Ok(self.go_back(sight, Side::Second)),
                [None, _] => Ok(self.go_back(sight, Side::First)),
            },
            Phase::BrakesLast => Ok(self.move_off(sight)),
            Phase::MovesOff => {
                if let Some(wait) = open(sight, SeekError::StillClosed)? {
                    return Ok(wait);
                }
                self.phase = Phase::Done;
                let point = self.line.point(&sight.axes);
                Ok(SidesTask::Place(self.plan.with(point, self.at)))
            }
            Phase::GoesBack(error) => Err(error),
        }
    }

    /// The count of the axis.
    fn axis(&self, sight: &SidesSight<N>) -> i32 {
        let axis = sight.axes.get(usize::from(self.plan.axis));
        axis.copied().unwrap_or_default()
    }

    /// How far along the line the side that is nearer to its switch touched, mm.
    fn touched(&self) -> f64 {
        let sides = self.touches.iter().zip(self.ahead);
        let counts = sides.filter_map(|(touch, ahead)| Some((*touch)?.wrapping_sub(ahead)));
        let along = counts.map(|count| {
            let mut steps = [0; N];
            if let Some(steps) = steps.get_mut(usize::from(self.plan.axis)) {
                *steps = count;
            }
            self.line.along(&steps)
        });
        along.fold(f64::INFINITY, f64::min)
    }

    /// Both sides the same number of steps off their switches.
    fn move_off(&mut self, sight: &SidesSight<N>) -> SidesTask<N> {
        self.phase = Phase::MovesOff;
        // How far each has to go, signed as `off` is.
        let mut ways = [0; 2];
        for (way, (touch, motor)) in ways.iter_mut().zip(self.touches.iter().zip(sight.motors)) {
            let past = motor.wrapping_sub(touch.unwrap_or(motor));
            *way = self.off.saturating_sub(past);
        }
        let [first, second] = ways;
        let way = if self.plan.forward {
            first.min(second)
        } else {
            first.max(second)
        };
        self.move_by(sight, way, ways.map(|own| way.abs_diff(own)))
    }

    /// What one side went alone, back; `late` is the side that was still on its way.
    fn go_back(&mut self, sight: &SidesSight<N>, late: Side) -> SidesTask<N> {
        let [first, second] = sight.motors;
        let [first_ahead, second_ahead] = self.ahead;
        let alone = first
            .wrapping_sub(first_ahead)
            .wrapping_sub(second.wrapping_sub(second_ahead));
        let (way, hold_back) = match late {
            Side::First => (alone.wrapping_neg(), [0, alone.unsigned_abs()]),
            Side::Second => (alone, [alone.unsigned_abs(), 0]),
        };
        self.phase = Phase::GoesBack(SeekError::Skewed(late));
        self.move_by(sight, way, hold_back)
    }

    fn move_by(&self, sight: &SidesSight<N>, way: i32, hold_back: [u32; 2]) -> SidesTask<N> {
        let axis = usize::from(self.plan.axis);
        let mut steps = sight.axes;
        if let Some(steps) = steps.get_mut(axis) {
            *steps = steps.saturating_add(way);
        }
        let at = self.line.point(&steps).get(axis).copied();
        SidesTask::Move {
            to: self.plan.with(*self.line.from(), at.unwrap_or_default()),
            feed: self.plan.slow,
            hold_back,
        }
    }
}

/// Goes on where both inputs are open; else a wait, or the error for a closed one.
fn open<const N: usize>(
    sight: &SidesSight<N>,
    closed: SeekError,
) -> Result<Option<SidesTask<N>>, SeekError> {
    let is = |level| sight.levels.contains(&level);
    if is(Level::Closed) {
        Err(closed)
    } else if is(Level::Unsteady) {
        Err(SeekError::Unsteady)
    } else {
        Ok(is(Level::Unsure).then_some(SidesTask::Wait))
    }
}

/// The error where both inputs are open.
fn none_or<const N: usize>(sight: &SidesSight<N>, error: SeekError) -> Step<N> {
    match open(sight, SeekError::NotWatched)? {
        Some(wait) => Ok(wait),
        None => Err(error),
    }
}
