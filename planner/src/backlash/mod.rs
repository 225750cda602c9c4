//! Backlash compensation: moves of the program in, moves of the motors out.

mod drive;
mod error;
mod placing;
mod play;
mod taken;

use crate::axis::Fault;
use crate::coordinate::{Coordinate, Point};
use crate::machine::Machine;
use crate::moves::MoveFacts;
use crate::plan_error::PlanError;
use crate::planner::Planner;
use crate::ramp::Ramp;
use crate::scale::Scale;
use crate::travel::Travel;
use crate::vector::pairwise;
pub use drive::Drive;
pub use error::BacklashError;
use play::{Play, moved};
pub use taken::Taken;

/// Takes up the play of the axes: it stands before a [`Planner`], and every move goes through it.
///
/// Where an axis turns back, its motor first goes by the backlash while the load stands: a move of the
/// axes that turn alone, together, as a rapid, with the tag of the move that it comes before. It is
/// planned as any other move: within the limits of its axes, with the corner rule at both its ends, so that
/// the machine stops only where the take-up itself turns right back. Positions are those of the load; the
/// motors' are the planner's.
///
/// On a circle that is four take-ups, where an axis turns back, each a corner of some 90° to the path: the
/// machine slows down to what a corner of 90° allows, and the cutter stays in its place for as long as the
/// take-up lasts. What it cannot know is the play under load: cutting forces may push the load through the play
/// by themselves, so that there is none to take up. And it makes no play smaller: better nuts and belts
/// do. Measure the backlash with a dial gauge, at several places (common practice, no source).
///
/// * Of an axis whose last drive is not known ([`Drive::Unknown`]), the first move takes up nothing: where the
///   load is in its play, nobody knows. The load is off by that, its play at the most, and always by the same
///   once it was driven further than its play. Set the zero points after that.
/// * Take ramps by [`next_ramp`](Self::next_ramp): it follows the play, so that after an
///   [`End`](crate::Request::End) in the middle of a move or a take-up it goes on from where the load is.
/// * Travel limits are set here, for the load: [`limit_travel`](Self::limit_travel), and not in the
///   planner.
/// * Dwells, waits and requests go to the planner; so does a cut, and after one the machine is placed by
///   [`place`](Self::place).
///
/// ```
/// use spokeshave::*;
/// # let controller = Controller {
/// #     timer_hz: 1_000_000, pulse_width: 2e-6, pulse_period: 5e-6, direction_setup: 5e-6,
/// #     ramp_time: 0.01,
/// # };
/// # let axis = Axis { steps_per_mm: 100.0, speed_limit: 50.0, acceleration_limit: 500.0 };
/// let machine = Machine::new([axis], controller, 0.02)?;
/// let start = [Coordinate::ZERO];
/// let mut planner: Planner<1, 8> = Planner::new(machine, start);
/// let mut backlash = Backlash::new(&machine, start, [0.25])?;
/// let to = |mm| [Coordinate::from_mm(mm).unwrap()];
/// backlash.line(&mut planner, to(10.0), Some(20.0), 1)?; // forward: play taken up from here on
/// backlash.line(&mut planner, to(4.0), Some(20.0), 2)?; // turns back
/// assert_eq!(planner.len(), 3); // with the take-up
/// while backlash.next_ramp(&mut planner).is_some() {}
/// assert_eq!(backlash.here(&planner), to(4.0));
/// assert_eq!(planner.position(), [375 << 32]); // the motor is 0.25 mm ahead
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Backlash<const N: usize> {
    play: Play<N>,
    /// Where the last move that was pushed ends, for the load, and how far the load is ahead there.
    end: Point<N>,
    lags: [i32; N],
    /// By how much more the motors' coordinates are ahead: of an axis that began its way back, with unknown
    /// play.
    base: [i32; N],
    /// Axes whose last drive is not known, bit 0 for the first.
    unknown: u8,
    travel: Option<Travel<N>>,
}

impl<const N: usize> Backlash<N> {
    /// For a planner at rest at `start`, with no drive known; the backlash of each axis in mm, 0 to 5, 0 for
    /// none, taken to the nearest 1/131 072 mm.
    ///
    /// # Errors
    /// The first amount out of its range.
    pub fn new(
        machine: &Machine<N>,
        start: Point<N>,
        amounts: [f32; N],
    ) -> Result<Self, BacklashError> {
        for (axis, amount) in (0_u8..).zip(amounts) {
            if amount != 0.0
                && let Some(fault) = Fault::of(amount.into(), 0.0, 5.0)
            {
                return Err(BacklashError { axis, fault });
            }
        }
        let counts = |mm| Coordinate::nearest(f64::from(mm) * f64::from(Coordinate::PER_MM));
        let all = amounts.map(|mm| counts(mm).counts());
        Ok(Self {
            play: Play::new(Scale::new(machine), all),
            end: start,
            lags: [0; N],
            base: [0; N],
            unknown: u8::MAX,
            travel: None,
        })
    }

    /// Refuses moves that take the load out of the box between two corners from now on. The motors go past it
    /// by their backlash: the planner has to have no limits of its own.
    pub fn limit_travel(&mut self, corner: Point<N>, opposite: Point<N>) {
        self.travel = Some(Travel::between(&corner, &opposite));
    }

    /// Adds a straight move of the load to `target`, with a take-up before it where one is needed: see
    /// [`Planner::line`].
    ///
    /// # Errors
    /// Those of [`Planner::line`], and nothing changes: [`PlanError::Full`] where there is no room for
    /// the take-up too, [`PlanError::Travel`] also where the motors would leave what coordinates
    /// can hold.
    pub fn line<const Q: usize>(
        &mut self,
        planner: &mut Planner<N, Q>,
        target: Point<N>,
        feed: Option<f32>,
        tag: u32,
    ) -> Result<Taken<N>, PlanError> {
        self.push(planner, target, feed, tag, false)
    }

    /// Jogs the load to `target`: see [`Planner::jog`].
    ///
    /// # Errors
    /// Those of [`Planner::jog`], as [`line`](Self::line) has them.
    pub fn jog<const Q: usize>(
        &mut self,
        planner: &mut Planner<N, Q>,
        target: Point<N>,
        feed: Option<f32>,
        tag: u32,
    ) -> Result<Taken<N>, PlanError> {
        self.push(planner, target, feed, tag, true)
    }

    /// Jogs along `way`, as far as the travel limits let it: see [`Planner::jog_along`].
    ///
    /// # Errors
    /// [`PlanError::NoTravel`] where no travel limits are set here, and those of [`jog`](Self::jog).
    pub fn jog_along<const Q: usize>(
        &mut self,
        planner: &mut Planner<N, Q>,
        way: [f32; N],
        feed: Option<f32>,
        tag: u32,
    ) -> Result<Taken<N>, PlanError> {
        let end = self.end(planner);
        let travel = self.travel.as_ref().ok_or(PlanError::NoTravel)?;
        let target = travel.farthest(&end, &way);
        self.push(planner, target, feed, tag, true)
    }

    /// The next ramp of the motors: see [`Planner::next_ramp`].
    pub fn next_ramp<const Q: usize>(&mut self, planner: &mut Planner<N, Q>) -> Option<Ramp<N>> {
        let ramp = planner.next_ramp()?;
        self.play.follow(&ramp.steps);
        Some(ramp)
    }

    fn push<const Q: usize>(
        &mut self,
        planner: &mut Planner<N, Q>,
        target: Point<N>,
        feed: Option<f32>,
        tag: u32,
        jog: bool,
    ) -> Result<Taken<N>, PlanError> {
        if let Some(axis) = (self.travel.as_ref()).and_then(|travel| travel.left_by(&target)) {
            return Err(PlanError::Travel(axis));
        }
        let mut after = *self;
        if planner.is_empty() {
            // It may have been ended.
            after.lags = self.play.lags();
            after.end = self.load(planner.end(), &after.lags);
        }
        let take_up = after.turn(&target);
        let shift = pairwise(&after.base, &after.lags, |base, lag| base - lag);
        let at = |point: &Point<N>| moved(point, &shift).map_err(PlanError::Travel);
        let (turned, motors) = (at(&after.end)?, at(&target)?);
        // What goes nowhere takes no room.
        let moves = usize::from(target != after.end) + usize::from(take_up);
        planner.would_take(moves, feed, jog)?;
        let mut taken = Taken::default();
        if take_up {
            let facts = put(planner, turned, None, tag, jog)?;
            taken.take_up = facts.map(|facts| (turned, facts));
        }
        taken.facts = put(planner, motors, feed, tag, jog)?;
        after.end = target;
        *self = after;
        Ok(taken)
    }

    /// Turns the axes that have to, to go to `target`; true where that takes a move.
    fn turn(&mut self, target: &Point<N>) -> bool {
        let mut take_up = false;
        let ways = target.iter().zip(&self.end);
        let sides = self.lags.iter_mut().zip(&mut self.base);
        for (axis, ((to, from), (lag, base))) in ways.zip(sides).enumerate() {
            if to == from {
                continue;
            }
            let back = to < from;
            let all = self.play.all.get(axis).copied().unwrap_or(0);
            let wanted = if back { all } else { 0 };
            if self.unknown >> axis & 1 == 1 {
                // No take-up: from here on it counts as taken up.
                self.unknown &= !(1 << axis);
                *base += wanted - *lag;
                self.play.take_up(axis, back);
            } else {
                take_up |= *lag != wanted;
            }
            *lag = wanted;
        }
        take_up
    }
}

fn put<const N: usize, const Q: usize>(
    planner: &mut Planner<N, Q>,
    target: Point<N>,
    feed: Option<f32>,
    tag: u32,
    jog: bool,
) -> Result<Option<MoveFacts>, PlanError> {
    if jog {
        planner.jog(target, feed, tag)
    } else {
        planner.line(target, feed, tag)
    }
}

#[cfg(test)]
mod tests;
