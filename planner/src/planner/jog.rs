//! Jogging, and the travel limits that every move keeps.

use super::{Planner, control::Course};
use crate::coordinate::Point;
use crate::events;
use crate::moves::MoveFacts;
use crate::plan_error::PlanError;
use crate::request::State;
use crate::speed_caps::SpeedCaps;
use crate::travel::Travel;

impl<const N: usize, const Q: usize> Planner<N, Q> {
    /// Refuses moves that leave the box between two corners from now on.
    pub fn limit_travel(&mut self, corner: Point<N>, opposite: Point<N>) {
        self.travel = Some(Travel::between(&corner, &opposite));
    }

    /// Takes all moves from now on, wherever they go: while nobody knows where the machine stands, as
    /// before homing, its limits mean nothing.
    pub fn free_travel(&mut self) {
        self.travel = None;
    }

    /// Jogs to `target`, at `feed` (mm/s; `None` for a rapid), with a `tag` that comes back in its
    /// ramps. Another jog may follow while it runs; [`Request::End`](crate::Request::End) ends it
    /// at any time.
    ///
    /// # Errors
    /// [`PlanError::State`] while a program runs or the position is in doubt, and those of
    /// [`line`](Self::line); nothing changes then.
    pub fn jog(
        &mut self,
        target: Point<N>,
        feed: Option<f32>,
        tag: u32,
    ) -> Result<Option<MoveFacts>, PlanError> {
        let taken = self.jogs().and_then(|()| {
            self.inside_travel(&target)?;
            self.moves.line(target, feed, tag)
        });
        if taken.is_ok() {
            self.course = Course::Jog;
        }
        events::told(taken, tag)
    }

    /// Jogs along `way`, a direction of any length, as far as the travel limits let it: for a
    /// button that is held, and asks to end where it is let go. `None` where it stands at the limit
    /// already.
    ///
    /// # Errors
    /// [`PlanError::NoTravel`] where no travel limits are set, and those of [`jog`](Self::jog);
    /// nothing changes then.
    pub fn jog_along(
        &mut self,
        way: [f32; N],
        feed: Option<f32>,
        tag: u32,
    ) -> Result<Option<MoveFacts>, PlanError> {
        let Some(travel) = &self.travel else {
            return events::told(Err(PlanError::NoTravel), tag);
        };
        let target = travel.farthest(&self.end(), &way);
        self.jog(target, feed, tag)
    }

    /// So many moves at `feed` would be taken now, by the program or as jogs, wherever they go.
    pub(crate) fn would_take(
        &mut self,
        moves: usize,
        feed: Option<f32>,
        jog: bool,
    ) -> Result<(), PlanError> {
        if jog {
            self.jogs()?;
        } else {
            self.takes_program()?;
        }
        SpeedCaps::<N>::check(feed).map_err(PlanError::Feed)?;
        if self.moves.has_room(moves) {
            Ok(())
        } else {
            Err(PlanError::Full)
        }
    }

    fn jogs(&self) -> Result<(), PlanError> {
        match self.state() {
            State::AtRest | State::Jogging => Ok(()),
            state => Err(PlanError::State(state)),
        }
    }

    pub(super) fn inside_travel(&self, target: &Point<N>) -> Result<(), PlanError> {
        match self
            .travel
            .as_ref()
            .and_then(|travel| travel.left_by(target))
        {
            Some(axis) => Err(PlanError::Travel(axis)),
            None => Ok(()),
        }
    }
}
