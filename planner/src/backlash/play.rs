//! The play between motors and load, as far as it is taken up.

use crate::coordinate::{Coordinate, Point};
use crate::scale::Scale;
use crate::vector::pairwise;

/// The play of each axis. How far the load is ahead of its motor, toward growing positions, is its lag:
/// 0 where the motor has driven it forward last, all of the play where back.
#[derive(Clone, Copy, Debug)]
pub(super) struct Play<const N: usize> {
    scale: Scale<N>,
    /// All of it, in counts of a coordinate and in 2⁻³² of a step.
    pub all: [i32; N],
    width: [i64; N],
    /// The lag after the ramps that were taken, 2⁻³² of a step.
    lag: [i64; N],
}

impl<const N: usize> Play<N> {
    pub fn new(scale: Scale<N>, all: [i32; N]) -> Self {
        Self {
            width: scale.steps(&all.map(Coordinate::from_counts)),
            all,
            lag: [0; N],
            scale,
        }
    }

    /// The motors go so far: the load stands until the play is taken up, then it goes with them.
    pub fn follow(&mut self, steps: &[i64; N]) {
        let ends = self.width.iter().zip(steps);
        for (lag, (width, steps)) in self.lag.iter_mut().zip(ends) {
            *lag = (*lag - steps).min(*width).max(0);
        }
    }

    /// The lags are these, in counts of a coordinate, 0 to all of the play, however the motors went.
    pub fn set(&mut self, lags: &[i32; N]) {
        self.lag = self.scale.steps(&lags.map(Coordinate::from_counts));
    }

    /// The lag of one axis is 0, or all of its play.
    pub fn take_up(&mut self, axis: usize, back: bool) {
        if let (Some(lag), Some(width)) = (self.lag.get_mut(axis), self.width.get(axis)) {
            *lag = if back { *width } else { 0 };
        }
    }

    /// The lags, in counts of a coordinate.
    pub fn lags(&self) -> [i32; N] {
        self.scale.point(&self.lag).map(Coordinate::counts)
    }
}

/// `point` moved by so many counts; the first axis (0 is the first) that no coordinate can hold.
pub(super) fn moved<const N: usize>(point: &Point<N>, by: &[i32; N]) -> Result<Point<N>, u8> {
    let sums = pairwise(point, by, |at, by| at.counts().checked_add(by));
    for (axis, sum) in (0_u8..).zip(&sums) {
        if sum.is_none() {
            return Err(axis);
        }
    }
    Ok(sums.map(|sum| Coordinate::from_counts(sum.unwrap_or(0))))
}
