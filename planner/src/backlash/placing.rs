//! Where the load is, and where it is placed.

use super::{Backlash, Drive};
use crate::coordinate::{Coordinate, Point};
use crate::planner::Planner;
use crate::request::RequestError;
use crate::vector::pairwise;

impl<const N: usize> Backlash<N> {
    /// The load's coordinates where the last ramp ends that was taken.
    pub fn here<const Q: usize>(&self, planner: &Planner<N, Q>) -> Point<N> {
        self.load(planner.here(), &self.play.lags())
    }

    /// Where the last move that was pushed takes the load; where it was ended before, where it stands.
    pub fn end<const Q: usize>(&self, planner: &Planner<N, Q>) -> Point<N> {
        if planner.is_empty() {
            self.load(planner.end(), &self.play.lags())
        } else {
            self.end
        }
    }

    /// The load stands at `point`, and was driven there so. Train maker and generator are placed at
    /// [`Planner::position`], as always.
    ///
    /// # Errors
    /// Those of [`Planner::place`], and nothing changes.
    pub fn place<const Q: usize>(
        &mut self,
        planner: &mut Planner<N, Q>,
        point: Point<N>,
        drives: [Drive; N],
    ) -> Result<(), RequestError> {
        let lags = pairwise(
            &self.play.all,
            &drives.map(|drive| drive == Drive::Back),
            |all, back| {
                if back { all } else { 0 }
            },
        );
        // At the very end of what coordinates hold, the motors are taken for as near as can be.
        let motors = pairwise(&point, &lags, |at, lag| {
            Coordinate::from_counts(at.counts().saturating_sub(lag))
        });
        planner.place(motors)?;
        self.base = [0; N];
        self.unknown = 0;
        for (axis, drive) in drives.iter().enumerate() {
            self.unknown |= u8::from(*drive == Drive::Unknown) << axis;
        }
        self.play.set(&lags);
        (self.end, self.lags) = (self.load(motors, &lags), lags);
        Ok(())
    }

    /// Places the machine where [`Homing`](crate::Homing) says: the `axis` (0 is the first) touched its
    /// switch driven one way and was driven off it the other, `drive`, so that its load is nearer to
    /// the switch by the play. The other axes keep the play that they have.
    ///
    /// # Errors
    /// Those of [`Planner::place`], and nothing changes.
    pub fn place_homed<const Q: usize>(
        &mut self,
        planner: &mut Planner<N, Q>,
        point: Point<N>,
        axis: u8,
        drive: Drive,
    ) -> Result<(), RequestError> {
        planner.place(point)?;
        let axis = usize::from(axis);
        let mut lags = self.play.lags();
        let all = self.play.all.get(axis).copied().unwrap_or(0);
        // Motors that count from the contact: the load was ahead of them by all of the play, or by nothing.
        let (base, lag) = match drive {
            Drive::Forward => (all, 0),
            Drive::Back => (0, all),
            Drive::Unknown => (0, 0),
        };
        if let (Some(axis_base), Some(axis_lag)) = (self.base.get_mut(axis), lags.get_mut(axis)) {
            (*axis_base, *axis_lag) = (base, lag);
            let bit = 1 << axis;
            self.unknown = if drive == Drive::Unknown {
                self.unknown | bit
            } else {
                self.unknown & !bit
            };
        }
        self.play.set(&lags);
        (self.end, self.lags) = (self.load(point, &lags), lags);
        Ok(())
    }

    /// Where the load is, with the motors there.
    pub(super) fn load(&self, motors: Point<N>, lags: &[i32; N]) -> Point<N> {
        let ahead = pairwise(lags, &self.base, |lag, base| lag - base);
        pairwise(&motors, &ahead, |at, ahead| {
            Coordinate::from_counts(at.counts().saturating_add(ahead))
        })
    }
}
